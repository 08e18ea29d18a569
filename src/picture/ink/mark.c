/*
 * mark: whether a half-transparent grey mark lies over art in several colours.
 *
 * What such a mark of colour m lies over, of colour c, shows as c + a (m - c), with one opacity a
 * everywhere (the operator over: Porter and Duff 1984). So what is over an ink t, u, is known from
 * what is over the paper p, q: u - t - (q - p) = a (p - t), in red, green and blue alike. Two inks
 * that agree on a, and that the mark's edge runs over, tell a mark from one more colour.
 */
#include <picture/ink/ink_choice.h>

#include <math.h>
#include <stdlib.h>

#define MARK_TONE 0.01  /* of the picture: the mark on paper, at least */
#define MARK_SHARE 0.15 /* and at most */
#define OVER_TONE 0.001 /* the mark on an ink, at least; never more than that ink */
#define OVER_EVEN 0.35  /* of it: an edge's blends, and shades, are not even */
#define INK_TONE 0.02   /* an ink that it may lie on */
#define INK_FAR 60      /* levels from paper to ink */
#define COLOURED 60     /* between red, green and blue of such an ink */
#define INKS_APART 40   /* and from one ink to another */
#define PALE_LEAST 12   /* levels from the paper to the mark on it, */
#define PALE_MOST 76    /* and at most */
#define GREY_FAR 10     /* between red, green and blue of the mark */
#define OFF_MOST 8.0    /* levels that a colour may be off what an opacity makes of it */
#define LEAST_OPACITY 0.1
#define MOST_OPACITY 0.8
#define OPACITY_OFF 0.05 /* between two inks */
#define COLOUR_OFF 12.0  /* levels that the mark's own colour may lie beyond black and white */
#define EDGE_LEAST 6     /* pixels of the mark's edge on an ink */

typedef struct {
    const nw_tone *paper, *pale;
} mark_tones;

/* By least squares; 0 where none makes this of the ink. */
static double opacity_of(const mark_tones *mark, const nw_tone *ink, const nw_tone *over)
{
    double shift[3], way[3], along = 0, square = 0;
    for (int i = 0; i < 3; i++) {
        int paper = mark->paper->colour[i];
        shift[i] = over->colour[i] - ink->colour[i] - (mark->pale->colour[i] - paper);
        way[i] = paper - ink->colour[i];
        along += shift[i] * way[i];
        square += way[i] * way[i];
    }
    double opacity = square > 0 ? along / square : 0;
    bool good = opacity >= LEAST_OPACITY && opacity <= MOST_OPACITY;
    for (int i = 0; i < 3 && good; i++) {
        int paper = mark->paper->colour[i];
        double own = paper + (mark->pale->colour[i] - paper) / opacity;
        good = fabs(shift[i] - opacity * way[i]) <= OFF_MOST && own >= -COLOUR_OFF &&
               own <= 255 + COLOUR_OFF;
    }
    return good ? opacity : 0;
}

/* Among greys any is what some opacity makes of another: they tell nothing. */
static bool is_ink(const nw_tone *tone, const mark_tones *mark)
{
    return tone->share >= INK_TONE && nw_tone_chroma(tone) >= COLOURED &&
           nw_colour_distance(tone->colour, mark->paper->colour) >= INK_FAR;
}

/* The opacity that the mark has on an ink, the most frequent tone that is what it makes of it; 0
 * where there is none whose edge is seen. */
static double opacity_on(const raster *r, const mark_tones *mark, const nw_tone *ink)
{
    const nw_tone *best = NULL;
    for (size_t k = 0; k < r->tone_count; k++) {
        const nw_tone *over = &r->tones[k];
        if (over != ink && over != mark->pale && over != mark->paper && over->share >= OVER_TONE &&
            over->even >= OVER_EVEN && over->share <= ink->share &&
            (!best || over->share > best->share) && opacity_of(mark, ink, over) > 0)
            best = over;
    }
    bool seen = best && nw_tones_border(r, ink, best, EDGE_LEAST) >= EDGE_LEAST &&
                nw_tones_border(r, mark->pale, best, EDGE_LEAST) >= EDGE_LEAST;
    return seen ? opacity_of(mark, ink, best) : 0;
}

/* Whether two inks agree on the opacity of this mark. */
static bool inks_agree(const raster *r, const mark_tones *mark)
{
    double known[COLOURS_MOST];
    const nw_tone *inks[COLOURS_MOST];
    size_t found = 0;
    for (size_t k = 0; k < r->tone_count; k++) {
        const nw_tone *ink = &r->tones[k];
        double opacity = is_ink(ink, mark) ? opacity_on(r, mark, ink) : 0;
        for (size_t i = 0; opacity > 0 && i < found; i++)
            if (fabs(known[i] - opacity) <= OPACITY_OFF &&
                nw_colour_distance(inks[i]->colour, ink->colour) >= INKS_APART)
                return true;
        if (opacity > 0) {
            known[found] = opacity;
            inks[found++] = ink;
        }
    }
    return false;
}

static bool may_be_mark(const nw_tone *tone, const nw_tone *paper)
{
    int far = abs(paper->grey - tone->grey);
    return tone != paper && tone->share >= MARK_TONE && tone->share <= MARK_SHARE &&
           nw_tone_chroma(tone) <= GREY_FAR && far >= PALE_LEAST && far <= PALE_MOST;
}

const nw_tone *nw_find_mark_over(const raster *r, const nw_tone *paper)
{
    for (size_t k = 0; k < r->tone_count; k++) {
        mark_tones mark = {paper, &r->tones[k]};
        if (may_be_mark(mark.pale, paper) && inks_agree(r, &mark))
            return mark.pale;
    }
    return NULL;
}
