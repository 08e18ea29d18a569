/*
 * ink_colour: what a picture holds -> how its ink is told from its paper.
 *
 * Rules, in this order, unless the user says:
 *  - On transparent ground the ink is what is not transparent, unless that is nearly all of the
 *    picture, or parts of the art are as good as white and its rim is not: that is a drawing made
 *    to be seen on white, and is taken so; or it fills a rectangle: that is a sheet of paper with a
 *    drawing on it, whose rim is the sheet's.
 *  - Drawn in flat colours, of which one level of grey would lose some: the ink is what is not of
 *    the paper's colour. Where noise or compression scatters colours, a pale one that fills no
 *    areas of its own cannot be told from paper: it is left out, and the level that takes it is
 *    said.
 *  - Else one level of grey; the paper is what most of the picture's rim is.
 *  - Where light is uneven, a level for each neighbourhood.
 */
#include <picture/ink/ink_choice.h>

#include <math.h>
#include <stdlib.h>

#define FILLS 0.85          /* of the pixels opaque: a picture with trimmed corners */
#define PALE_SHARE 0.02     /* of the art must be pale to be meant as paper */
#define PALE_RIM_SHARE 0.70 /* of the art's other rim: it would be lost on white */
#define FLAT_LEAST 0.75     /* of the pixels in flat colours make a drawn picture */
#define TONE_SHARE 0.002    /* of the pixels make a colour count */
#define TONE_EVEN 0.4       /* of a colour's pixels must lie in even areas, */
#define TONE_AMONG 0.25     /* or so many among others, */
#define TONE_SCATTER 40     /* if these are no shade, as paper must not be either */
#define TONE_ALONE 20       /* if there is no more of one beside them */
#define RIVAL_SHARE 0.5     /* of the most frequent one's: a ground that may be the paper */
#define BLEND_SHARE 0.05    /* of a colour's pixels may be its antialiased edges */
#define BLEND_FAR 12        /* from the straight mixture of two colours */
#define TONE_FAR 10         /* from the paper to be seen at all, */
#define TONE_CLEAR 40       /* and to be told from noise, and from compression's, */
#define TONE_FILLS 0.6      /* unless so much of it lies in even areas, */
#define TONE_OWN 1.2        /* and no more of its greys do than so: fringes have the paper's */
#define SOFT_SHARE 0.3      /* of its borders with the paper: a shadow */
#define PALE_LOST 0.02      /* of the pixels are a pale tone worth a word */
#define WHITE_FAR 3         /* from white, a colour that holds the clear ground */
#define SEVERAL_SHARE 0.1   /* of the art: a colour of some weight */
#define NAME_FAR 110        /* from a named colour: what it may mean */
#define COARSE_SHARE 0.25   /* of a colour's share: another one, not its fringes */
#define CHECKER_SHARE 0.2   /* of the paper's: the other squares of a checkered ground */
#define CHECKER_APART 110   /* levels between the two, at most: black on white is a pattern */
#define MARK_INK 0.1        /* of the paper's share: the ink that a mark may lie on */
#define MARK_TONE 0.01      /* of the picture: a mark's tone, at least */
#define MARK_OF 0.6         /* of all that is between paper and ink: no shadow */
#define MARK_SHARE 0.1      /* and at most */
#define MARK_LEAST 0.06     /* of the way from paper to ink: a mark's tone on paper, */
#define MARK_PALE 0.4       /* up to here; on ink, from here on, */
#define MARK_DARK 0.93      /* up to here */
#define MARK_HUE 0.25       /* of its distance from the paper: so much off the mixture, at most */
#define MARK_EVEN 0.1    /* of either tone: blends at edges, which look like them, are not even */
#define MARK_MEETS 0.5   /* of the middle tone's area: the square of how long such edges are */
#define MEET_LEAST 4     /* pixels of an edge between two inks */
#define GREY_FAR 16      /* between red, green and blue of a grey */
#define PALEST_ROOM 20   /* levels from a grey, or from the next ink, to a level between */
#define PALEST_SHARE 0.2 /* of the picture: more is no mark */
#define STEPS_MOST 8     /* tones of a picture without antialiased edges */
#define OTHER_FAR 24     /* between two colours that are told apart */

bool nw_find_alpha(const raster *r)
{
    double opaque = (double)r->opaque;
    if (!nw_find_ground(r) || opaque > FILLS * (double)r->pixels)
        return false;
    bool pale_rim = (double)r->rims[1] > PALE_RIM_SHARE * (double)r->rims[0];
    return (pale_rim && !nw_find_sheet(r)) || (double)r->opaque_pale < PALE_SHARE * opaque;
}

static bool is_shaded(const raster *r, const uint64_t histogram[256])
{
    nw_ramp ramp;
    return nw_ramp_find(histogram, true, -1, &ramp) && !(ramp.flat && ramp.even) &&
           nw_light_soft(r->values, r->width, r->height, &ramp);
}

bool nw_find_dark(const raster *r, const uint64_t histogram[256])
{
    int level = nw_otsu(histogram);
    double dark = nw_levels_sum(histogram, 0, level) / nw_levels_sum(histogram, 0, 255);
    double dark_rim = nw_rim_dark(r, level);
    /* A scanner's dark edge or a frame goes all round, but most of the picture is paper; so is a
     * shadow on paper, whose edge is soft. */
    bool light_art = (dark_rim > 0.75 && dark > 0.35) || (dark_rim > 0.5 && dark > 0.6);
    return !light_art || (dark_rim < 0.9 && is_shaded(r, histogram));
}

/* The share of a colour without the clear ground, which was counted as white. */
static double drawn_share(const raster *r, const nw_tone *tone)
{
    double clear = (double)r->clear / (double)r->pixels;
    bool white = nw_colour_distance(tone->colour, (const uint8_t[3]){255, 255, 255}) <= WHITE_FAR;
    return white ? tone->share - clear : tone->share;
}

/* How far the greys of a colour that lie among others of them are from it: evenly spread ones, as a
 * shade's, have a variance of 52. *all: how many they are. */
static double scatter(const raster *r, const nw_tone *tone, double *all)
{
    double sum = *all = 0;
    for (int off = -TONE_NEAR; off <= TONE_NEAR; off++) {
        unsigned level = (unsigned)(tone->grey + off);
        double count = level < 256 ? (double)r->among[level] : 0;
        *all += count;
        sum += off * off * count;
    }
    return sum / fmax(1, *all);
}

/* A colour that fills areas: by its own pixels or, for noise and compression scatter those, by its
 * greys. */
static bool counts(const raster *r, const nw_tone *tone)
{
    double all;
    bool near = scatter(r, tone, &all) < TONE_SCATTER;
    return tone->share >= TONE_SHARE &&
           (tone->even >= TONE_EVEN ||
            (near && all >= TONE_AMONG * tone->share * (double)r->looked));
}

/* The share of a colour that may be the paper's: round a sheet the clear ground is none of it. */
static double paper_share(const raster *r, const nw_tone *tone)
{
    return nw_find_sheet(r) ? drawn_share(r, tone) : tone->share;
}

/* The colour on the paper's side of the level that most of the picture is; of those that are nearly
 * as much, the one that most of its rim is. A frame's colour is not, nor a table's. */
static const nw_tone *paper_tone(const raster *r, bool dark, double crossing)
{
    uint64_t rim[257] = {0};
    const nw_tone *paper = NULL, *end = r->tones + r->tone_count;
    double largest = 0, most = 0;
    nw_rim_count(r, rim);
    double pixels = nw_levels_sum(rim, 0, 255);
    for (const nw_tone *tone = r->tones; tone < end; tone++)
        largest = fmax(largest, (tone->grey > crossing) == dark ? paper_share(r, tone) : 0);
    for (const nw_tone *tone = r->tones; tone < end; tone++) {
        double own = paper_share(r, tone);
        double side = (double)(rim[tone->grey] + rim[tone->grey + 1]) / pixels;
        double share = r->on_table ? own - side : own + side;
        bool rival = r->on_table || own >= RIVAL_SHARE * largest;
        if ((tone->grey > crossing) == dark && rival && share > most) {
            most = share;
            paper = tone;
        }
    }
    return paper;
}

/* How far a tone is from the straight mixture of paper and ink that is nearest to it. */
static double mixture_off(const nw_tone *tone, const nw_tone *paper, const nw_tone *ink)
{
    double far = nw_colour_distance(tone->colour, paper->colour), off = 0;
    double whole = nw_colour_distance(ink->colour, paper->colour);
    for (int i = 0; i < 3; i++) {
        double mixed = paper->colour[i] + (ink->colour[i] - paper->colour[i]) * far / whole;
        off = fmax(off, fabs(mixed - tone->colour[i]));
    }
    return off;
}

/* An antialiased edge: a mixture of paper and a colour that is far more frequent. */
static bool is_blend(const raster *r, const nw_tone *tone, const nw_tone *paper)
{
    double far = nw_colour_distance(tone->colour, paper->colour);
    for (const nw_tone *ink = r->tones; ink < r->tones + r->tone_count; ink++)
        if (nw_colour_distance(ink->colour, paper->colour) > far &&
            tone->share <= BLEND_SHARE * ink->share && mixture_off(tone, paper, ink) <= BLEND_FAR)
            return true;
    return false;
}

/* Whether the tones meet, as where ink ends under a mark; tones that are drawn need not. */
static bool tones_meet(const raster *r, const nw_tone *pale, const nw_tone *middle)
{
    double met = (double)nw_tones_border(r, pale, middle, SIZE_MAX);
    return met * met >= MARK_MEETS * middle->share * (double)r->pixels;
}

/* How far a mark's tone may be from the mixture: near to the paper all colours are. */
static double mixture_room(const nw_tone *tone, const nw_tone *paper)
{
    return fmin(BLEND_FAR, MARK_HUE * nw_colour_distance(tone->colour, paper->colour));
}

/* A half-transparent mark on a light paper: a pale tone and, where it lies on the darkest ink, a
 * middle one, both of them mixtures of the two, and of little area. */
static void find_mark(const raster *r, const nw_tone *paper, nw_colours *found)
{
    const nw_tone *ink = paper, *pale = NULL, *middle = NULL, *end = r->tones + r->tone_count;
    for (const nw_tone *tone = r->tones; tone < end; tone++)
        ink = tone->share > MARK_INK * paper->share && tone->grey < ink->grey ? tone : ink;
    double whole = paper->grey - ink->grey, between = 0;
    for (const nw_tone *tone = r->tones; tone < end && whole > 0; tone++) {
        double part = (paper->grey - tone->grey) / whole;
        bool in = part > MARK_LEAST && part < MARK_DARK;
        between += in ? tone->share : 0;
        if (!in || tone->share < MARK_TONE || tone->share > MARK_SHARE ||
            mixture_off(tone, paper, ink) > mixture_room(tone, paper))
            continue;
        const nw_tone **most = part < MARK_PALE ? &pale : &middle;
        *most = !*most || tone->share > (*most)->share ? tone : *most;
    }
    if (pale && middle && pale->share + middle->share > MARK_OF * between &&
        fmax(pale->even, middle->even) >= MARK_EVEN && tones_meet(r, pale, middle)) {
        found->mark = pale->grey;
        found->over = middle->grey;
    }
}

static bool is_grey(const nw_tone *tone)
{
    return nw_tone_chroma(tone) <= GREY_FAR;
}

/* The level that leaves out the palest ink alone, where that is a grey of little area. */
static int palest_level(const nw_tone *palest, int next, int paper)
{
    if (!palest || !is_grey(palest) || palest->share > PALEST_SHARE)
        return 0;
    int below = palest->grey - PALEST_ROOM, middle = (next + paper) / 2;
    int level = below < middle ? below : middle;
    return next >= 0 && level >= next + PALEST_ROOM ? level : 0;
}

/* Two colours that the eye tells apart, none of them a shade of the other, as an edge's blends are.
 */
static bool tones_differ(const nw_tone *one, const nw_tone *other, const nw_tone *paper)
{
    bool nearer = nw_colour_distance(one->colour, paper->colour) <
                  nw_colour_distance(other->colour, paper->colour);
    return nw_colour_distance(one->colour, other->colour) > NAME_FAR &&
           mixture_off(nearer ? one : other, paper, nearer ? other : one) > OTHER_FAR;
}

/* Whether there is an edge between two inks; of colours that are as dark nobody knows. */
static bool inks_meet(const raster *r, const nw_tone *one, const nw_tone *other)
{
    return abs(one->grey - other->grey) <= 2 * TONE_NEAR ||
           nw_tones_border(r, one, other, MEET_LEAST) >= MEET_LEAST;
}

/* The share of a colour that the level takes for ink. */
static double ink_share(const raster *r, const nw_tone *tone, const nw_tone *paper, double crossing)
{
    return (tone->grey > crossing) != (paper->grey > crossing) ? drawn_share(r, tone) : 0;
}

/* Whether what one level takes for ink has colours of some weight that differ and meet. */
static bool inks_differ(const raster *r, const nw_tone *paper, double crossing)
{
    const nw_tone *tones = r->tones, *end = tones + r->tone_count;
    double all = 0;
    for (const nw_tone *tone = tones; tone < end; tone++)
        all += ink_share(r, tone, paper, crossing);
    for (const nw_tone *other = tones; other < end; other++)
        for (const nw_tone *one = tones; one < other; one++)
            if (ink_share(r, one, paper, crossing) > SEVERAL_SHARE * all &&
                ink_share(r, other, paper, crossing) > SEVERAL_SHARE * all &&
                tones_differ(one, other, paper) && inks_meet(r, one, other))
                return true;
    return false;
}

/* A level between a tone that is left out and the paper, which takes it in; 0 where they are too
 * near for one. */
static int level_beyond(const nw_tone *tone, const nw_tone *paper)
{
    bool apart = abs(tone->grey - paper->grey) > TONE_NEAR;
    return apart ? (2 * tone->grey + paper->grey) / 3 : 0;
}

/* How far from the paper a tone is about half-way to the nearest ink, whose pixels would be ink and
 * paper by turns; 0: none is. A shade, which runs through there, has no side. */
static unsigned split_tone(const raster *r, const nw_tone *paper, unsigned nearest)
{
    double all;
    for (const nw_tone *tone = r->tones; tone < r->tones + r->tone_count; tone++) {
        unsigned far = nw_colour_distance(tone->colour, paper->colour);
        if (tone != paper && far >= TONE_FAR && tone->share >= TONE_SHARE && counts(r, tone) &&
            scatter(r, tone, &all) < TONE_ALONE && abs(2 * (int)far - (int)nearest) <= TONE_NEAR)
            return far;
    }
    return 0;
}

bool nw_find_drawn(const raster *r)
{
    return r->flat >= FLAT_LEAST && !r->coarse_colour;
}

/* A colour of areas that are its own, however pale; a shadow on the paper has a soft edge. */
static bool fills_areas(const raster *r, const nw_tone *tone, const nw_tone *paper)
{
    double all;
    scatter(r, tone, &all);
    return tone->even >= TONE_FILLS && all <= TONE_OWN * tone->share * (double)r->looked &&
           nw_tones_soft(r, tone, paper) < SOFT_SHARE;
}

/* The colours that are ink, beside the mark that is left out, if one is, and whether one level
 * would lose some of them. */
static bool inks_judge(const raster *r, bool dark, const nw_ramp *ramp, const nw_tone *paper,
                       bool pale_too, nw_colours *found)
{
    bool lost = false, clean = nw_find_drawn(r);
    const nw_tone *palest = NULL;
    int next = -1;
    unsigned clearest = 0, left_out = 0;
    for (const nw_tone *tone = r->tones; tone < r->tones + r->tone_count; tone++) {
        unsigned far = nw_colour_distance(tone->colour, paper->colour);
        if (tone == paper || far < TONE_FAR || tone->grey == found->mark ||
            drawn_share(r, tone) < TONE_SHARE || is_blend(r, tone, paper) || !counts(r, tone))
            continue;
        bool pale = (tone->grey > ramp->crossing) == dark;
        if (tone->share > CHECKER_SHARE * paper->share && is_grey(paper) && is_grey(tone) &&
            abs(paper->grey - tone->grey) <= CHECKER_APART &&
            nw_find_checker(r, paper->grey, tone->grey)) {
            found->checker = tone->grey;
            continue;
        }
        bool scattered = far < TONE_CLEAR && !clean;
        if (scattered && !(pale_too && fills_areas(r, tone, paper))) {
            if (pale && !found->pale_level)
                found->pale_level = level_beyond(tone, paper);
            left_out = tone->even >= TONE_EVEN && far > left_out ? far : left_out;
            continue;
        }
        found->count++;
        found->pale_areas |= scattered;
        found->nearest = far < found->nearest ? far : found->nearest;
        clearest = far > clearest ? far : clearest;
        lost |= pale;
        if (!palest || tone->grey > palest->grey) {
            next = palest ? palest->grey : -1;
            palest = tone;
        } else if (tone->grey > next) {
            next = tone->grey;
        }
    }
    if (dark && r->clear == 0 && found->mark < 0 && found->checker < 0 && is_grey(paper))
        found->palest_level = palest_level(palest, next, paper->grey);
    unsigned split = split_tone(r, paper, found->nearest);
    if (2 * split > found->nearest)
        found->nearest = split;
    else if (split > left_out)
        left_out = split;
    found->least = found->nearest - (left_out < found->nearest ? left_out : found->nearest);
    found->nearest += left_out; /* what is ink is nearer to the one than to the other */
    found->several = inks_differ(r, paper, ramp->crossing);
    double contrast = fabs(ramp->paper - ramp->ink);
    bool marked = found->mark >= 0 && found->over < 0; /* no level leaves that out alone */
    /* Where colour was stored more coarsely than light, light tells the edges better. */
    return found->count && (lost || ((marked || clearest > 2 * contrast) && !r->coarse_colour));
}

bool nw_find_colours(const raster *r, bool dark, const nw_ramp *ramp, bool pale, nw_colours *found)
{
    const nw_tone *paper = paper_tone(r, dark, ramp->crossing);
    double flat = 0, all;
    for (size_t k = 0; k < r->tone_count; k++)
        flat += counts(r, &r->tones[k]) ? r->tones[k].share : 0;
    if (!paper || !counts(r, paper) || scatter(r, paper, &all) >= TONE_SCATTER ||
        fmax(flat, r->flat) < FLAT_LEAST)
        return false;
    *found =
        (nw_colours){.nearest = 256, .grey = paper->grey, .checker = -1, .mark = -1, .over = -1};
    for (int i = 0; i < 3; i++)
        found->colour[i] = paper->colour[i];
    find_mark(r, paper, found);
    nw_colours beside = *found;
    bool coloured = inks_judge(r, dark, ramp, paper, pale, found);
    const nw_tone *mark = found->mark < 0 ? nw_find_mark_over(r, paper) : NULL;
    if (!mark)
        return coloured;
    beside.mark = mark->grey;
    if (!inks_judge(r, dark, ramp, paper, pale, &beside))
        return coloured; /* where it cannot be left out it is one ink more */
    beside.palest_level = found->palest_level;
    *found = beside;
    return true;
}

int nw_find_pale(const raster *r, bool dark, double crossing)
{
    const nw_tone *paper = paper_tone(r, dark, crossing);
    double all;
    if (!paper || scatter(r, paper, &all) >= TONE_SCATTER)
        return 0;
    for (const nw_tone *tone = r->tones; tone < r->tones + r->tone_count; tone++) {
        scatter(r, tone, &all);
        if ((tone->grey > crossing) == dark && drawn_share(r, tone) >= PALE_LOST &&
            level_beyond(tone, paper) && !is_blend(r, tone, paper) &&
            all >= TONE_AMONG * tone->share * (double)r->looked)
            return level_beyond(tone, paper);
    }
    return 0;
}

bool nw_find_steps(const raster *r)
{
    bool steps = r->tone_count > 0 && r->tone_count <= STEPS_MOST;
    for (size_t k = 0; k < r->tone_count; k++)
        steps = steps && r->tones[k].even >= TONE_EVEN;
    return steps;
}

bool nw_find_several(const raster *r)
{
    double clear = (double)r->clear / (double)r->pixels;
    size_t several = 0;
    for (size_t k = 0; k < r->tone_count; k++)
        several += drawn_share(r, &r->tones[k]) > SEVERAL_SHARE * (1 - clear);
    return several > 1;
}

/* A colour's name stands for the main colour near to it, if none is its very own; returns the share
 * of that. */
static double take_nearest(const raster *r, uint8_t colour[3])
{
    const nw_tone *nearest = NULL;
    unsigned least = NAME_FAR;
    for (const nw_tone *tone = r->tones; tone < r->tones + r->tone_count; tone++) {
        unsigned far = nw_colour_distance(tone->colour, colour);
        if (tone->share >= TONE_SHARE && far < least) {
            least = far;
            nearest = tone;
        }
    }
    for (int i = 0; nearest && least >= OTHER_FAR && i < 3; i++)
        colour[i] = nearest->colour[i];
    return nearest ? nearest->share : 0;
}

bool nw_find_near(const raster *r, uint8_t colour[3], unsigned *other)
{
    double share = take_nearest(r, colour);
    nw_tone named = {.colour = {colour[0], colour[1], colour[2]}};
    double least = r->coarse_colour ? fmax(TONE_SHARE, COARSE_SHARE * share) : TONE_SHARE;
    *other = 0;
    for (const nw_tone *tone = r->tones; tone < r->tones + r->tone_count; tone++) {
        unsigned far = nw_colour_distance(tone->colour, colour);
        if (tone->share >= least && far >= OTHER_FAR && (*other == 0 || far < *other) &&
            !is_blend(r, tone, &named))
            *other = far;
    }
    return *other != 0;
}
