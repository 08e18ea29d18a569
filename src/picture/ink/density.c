/*
 * density: a picture's bytes -> how much of each pixel is ink, by what the picture holds or the
 * user says.
 *
 * A picture costs one byte a pixel. What has to be known before pixels can be reduced to that byte
 * is found in a first reading; where the choice asks for another byte, the picture is decoded once
 * more instead of being held.
 */
#include <picture/ink/ink_choice.h>

#include <math.h>
#include <string.h>

static const uint8_t white[3] = {255, 255, 255}, black[3] = {0, 0, 0};

/* Noise is found in grey levels, and taken from other values as well. What was counted is counted
 * in squares then, too. */
static nw_status lower_noise(reading *g)
{
    raster *r = &g->raster;
    bool grey = r->value == VALUE_GREY;
    if (!grey && r->coarse.squares == 0)
        return NW_OK;
    if (!nw_noise_lower(r->values, &r->width, &r->height, grey, &r->coarse))
        return nw_fail_memory(g->error, "the smoothed picture");
    r->pixels = (uint64_t)r->width * r->height;
    uint64_t *counts[] = {&r->clear, &r->opaque, &r->opaque_pale};
    for (size_t k = 0; r->counting && k < sizeof counts / sizeof *counts; k++)
        *counts[k] /= (uint64_t)r->coarse.squares * r->coarse.squares;
    for (int k = 0; r->counting && r->opaque && k < 4; k++)
        r->sheet[k] /= r->coarse.squares;
    return NW_OK;
}

static nw_status decode(reading *g, value_kind value)
{
    raster *r = &g->raster;
    r->counting = r->values == NULL;
    r->may_be_alpha = r->counting && r->options->ink == NW_INK_AUTO;
    r->stage = r->counting ? "reading the picture" : "reading it once more";
    r->value = value;
    raster_sink sink = nw_raster_sink(r);
    nw_status status = g->read(g->data, g->length, &sink, g->error);
    if (status == NW_OK && r->counting)
        nw_tones_find(r);
    if (status == NW_OK && r->value == VALUE_GREY && !r->sides_known)
        nw_cropped_find(r);
    return status == NW_OK ? lower_noise(g) : status;
}

/* What is transparent is paper: it is seen on the paper's colour. */
static nw_status decode_on(reading *g, value_kind value, const uint8_t ground[3])
{
    memcpy(g->raster.ground, ground, sizeof g->raster.ground);
    return decode(g, value);
}

static nw_status all_alike(const reading *g)
{
    return nw_fail_advised(g->error, NW_BAD_INPUT, NW_ADVICE_INK,
                           "this picture holds no shape: all of it is ink, or all of it paper");
}

static int fixed_level(const reading *g)
{
    const nw_picture_options *options = g->raster.options;
    return options->level_kind == NW_LEVEL_FIXED ? options->level : -1;
}

static void use_ramp(reading *g, const nw_ramp *ramp)
{
    uint8_t table[256];
    nw_ramp_table(ramp, table);
    nw_values_map(g->raster.values, (size_t)g->raster.pixels, table);
    g->picture->level_kind = NW_LEVEL_FIXED;
    g->picture->level = (int)ramp->crossing;
    g->raster.contrast = fabs(ramp->paper - ramp->ink);
}

static nw_status use_alpha(reading *g)
{
    raster *r = &g->raster;
    if (r->clear == 0) {
        return nw_fail_advised(g->error, NW_BAD_INPUT, NW_ADVICE_NOT_ALPHA,
                               "this picture has no transparent ground");
    }
    nw_status status = r->value == VALUE_ALPHA ? NW_OK : decode(g, VALUE_ALPHA);
    if (status != NW_OK)
        return status;
    uint64_t histogram[256];
    nw_values_count(r->values, (size_t)r->pixels, histogram);
    nw_ramp ramp;
    if (!nw_ramp_find(histogram, false, fixed_level(g), &ramp))
        return all_alike(g);
    use_ramp(g, &ramp);
    g->picture->ink = NW_INK_ALPHA;
    g->picture->several = nw_find_several(r);
    return NW_OK;
}

/* The colours that are not paper; *faded, and nothing is done, where they fade into it. */
static nw_status use_colours(reading *g, bool dark, const nw_colours *colours, bool *faded)
{
    raster *r = &g->raster;
    memcpy(r->colour, colours->colour, sizeof r->colour);
    bool marked = colours->mark >= 0 && colours->over < 0; /* which no level leaves out alone */
    int second = marked ? colours->mark : colours->checker;
    r->two_papers = second >= 0;
    r->second_paper = (uint8_t)second;
    nw_status status = decode_on(g, VALUE_COLOUR, r->colour);
    *faded = status == NW_OK &&
             nw_rims_fade(r->values, r->width, r->height, colours->nearest, colours->least);
    if (*faded)
        return decode_on(g, VALUE_GREY, dark ? white : black);
    if (status == NW_OK && !(nw_rings_fill(r->values, r->width, r->height, colours->nearest) &&
                             nw_rims_normalise(r->values, r->width, r->height, colours->nearest)))
        status = nw_fail_memory(g->error, "the picture's rims");
    g->picture->ink = NW_INK_COLOUR;
    r->contrast = colours->nearest;
    g->picture->level_kind = NW_LEVEL_FIXED;
    g->picture->level = (int)colours->nearest / 2;
    memcpy(g->picture->colour, r->colour, sizeof r->colour);
    g->picture->colours = colours->count;
    if (marked) {
        g->picture->mark_level = (colours->mark + colours->grey) / 2;
        g->picture->palest_level = 0;
    }
    return status;
}

/* The colour that the user names. */
static nw_status use_named_colour(reading *g)
{
    raster *r = &g->raster;
    memcpy(r->colour, r->options->colour, sizeof r->colour);
    unsigned other;
    if (!nw_find_near(r, r->colour, &other))
        return all_alike(g);
    bool pale = nw_colour_distance(r->colour, white) < other;
    nw_status status = decode_on(g, VALUE_COLOUR, pale ? black : white);
    if (status != NW_OK)
        return status;
    uint64_t histogram[256];
    nw_values_count(r->values, (size_t)r->pixels, histogram);
    int level = fixed_level(g) >= 0 ? fixed_level(g) : (int)((other - 1) / 2);
    nw_ramp found, ramp = {0, level + 0.5, fmax(other, level + 1), true, true};
    if (!nw_ramp_find(histogram, true, level, &found)) {
        return nw_fail_advised(
            g->error, NW_BAD_INPUT, NW_ADVICE_NOT_COLOUR,
            "nothing in this picture, or all of it, is near the colour #%02x%02x%02x; take "
            "the colour from the picture",
            r->colour[0], r->colour[1], r->colour[2]);
    }
    use_ramp(g, &ramp);
    g->picture->ink = NW_INK_COLOUR;
    memcpy(g->picture->colour, r->colour, sizeof r->colour);
    return NW_OK;
}

#define MARK_ROOM                                                                                  \
    10.5 /* levels from a mark on ink to the edge, for compression makes it uneven                 \
          */

static void invert(raster *r)
{
    uint8_t table[256];
    for (int i = 0; i < 256; i++)
        table[i] = (uint8_t)(255 - i);
    nw_values_map(r->values, (size_t)r->pixels, table);
}

static nw_status use_local(reading *g, const nw_paper *paper)
{
    raster *r = &g->raster;
    if (!nw_local_apply(r->values, r->width, r->height, paper))
        return nw_fail_memory(g->error, "the picture's local levels");
    g->picture->level_kind = NW_LEVEL_LOCAL;
    return NW_OK;
}

/* Grey: one level, or local ones where the light is uneven. */
static nw_status use_grey(reading *g, bool dark, const nw_ramp *ramp)
{
    raster *r = &g->raster;
    nw_level_kind kind = r->options->level_kind;
    g->picture->ink = dark ? NW_INK_DARK : NW_INK_LIGHT;
    /* What stands on transparent ground was drawn, not photographed. */
    bool lit = kind == NW_LEVEL_AUTO && !(ramp->flat && ramp->even) && !nw_find_ground(r);
    if (kind == NW_LEVEL_LOCAL || lit) {
        nw_ramp turned = *ramp;
        r->contrast = fabs(ramp->paper - ramp->ink);
        if (!dark) {
            invert(r);
            turned.ink = 255 - ramp->ink;
            turned.crossing = 255 - ramp->crossing;
            turned.paper = 255 - ramp->paper;
        }
        nw_paper paper;
        bool found = nw_paper_find(r->values, r->width, r->height, &paper);
        if (found && (kind == NW_LEVEL_LOCAL ||
                      nw_light_uneven(r->values, r->width, r->height, &turned, &paper)))
            return use_local(g, &paper);
        if (!dark)
            invert(r);
    }
    use_ramp(g, ramp);
    return NW_OK;
}

static void leave_ground_out(const raster *r, uint64_t histogram[256])
{
    uint64_t *ground = &histogram[r->ground[0]];
    *ground -= r->clear < *ground ? r->clear : *ground;
}

/* Grey levels and their histogram, with the transparent ground as dark as black for light ink.
 * Round a sheet that is none of the picture. */
static nw_status count_grey(reading *g, bool dark, uint64_t histogram[256])
{
    raster *r = &g->raster;
    const uint8_t *ground = dark ? white : black;
    bool ready = r->value == VALUE_GREY && (r->clear == 0 || r->ground[0] == ground[0]);
    nw_status status = ready ? NW_OK : decode_on(g, VALUE_GREY, ground);
    if (status == NW_OK)
        nw_values_count(r->values, (size_t)r->pixels, histogram);
    if (status == NW_OK && nw_find_sheet(r))
        leave_ground_out(r, histogram);
    return status;
}

/* Of art in several tones, too, the ground is none of those that a level has to part. */
static nw_status find_dark(reading *g, bool *dark, uint64_t histogram[256])
{
    nw_ink_kind ink = g->raster.options->ink;
    *dark = ink != NW_INK_LIGHT;
    nw_status status = count_grey(g, *dark, histogram);
    bool grey = ink == NW_INK_AUTO || ink == NW_INK_DARK;
    bool drawn = nw_find_drawn(&g->raster);
    bool on_table = status == NW_OK && grey && nw_find_on_table(&g->raster, histogram, !drawn);
    g->picture->on_table = g->raster.on_table = on_table && !drawn;
    if (status == NW_OK && ink == NW_INK_AUTO && !on_table &&
        !nw_find_dark(&g->raster, histogram)) {
        *dark = false;
        status = count_grey(g, false, histogram);
    }
    if ((ink != NW_INK_AUTO || !*dark) && !nw_find_sheet(&g->raster) && nw_find_several(&g->raster))
        leave_ground_out(&g->raster, histogram);
    return status;
}

/* One level of grey, or colours that one level would lose. */
static nw_status use_tones(reading *g, bool dark, const nw_ramp *ramp)
{
    const nw_picture_options *options = g->raster.options;
    nw_colours colours;
    bool own = options->ink == NW_INK_AUTO && options->level_kind == NW_LEVEL_AUTO;
    bool faded, coloured, pale = true;
    do { /* a pale area that fades into the paper may be a shadow on it: once more without such */
        colours = (nw_colours){.checker = -1, .mark = -1, .over = -1};
        faded = false;
        coloured = own && nw_find_colours(&g->raster, dark, ramp, pale, &colours);
        g->picture->checkered = colours.checker >= 0;
        g->picture->palest_level = colours.palest_level;
        g->picture->mark_level = colours.pale_level;
        nw_status status = coloured ? use_colours(g, dark, &colours, &faded) : NW_OK;
        if (status != NW_OK || (coloured && !faded))
            return status;
        pale = false;
    } while (colours.pale_areas);
    if (own && !coloured && !colours.pale_level)
        g->picture->mark_level = nw_find_pale(&g->raster, dark, ramp->crossing);
    nw_ramp clear = *ramp;
    if (dark && colours.checker >= 0) {
        g->picture->mark_level = 0;
        clear.paper = fmin(colours.checker, colours.grey);
        clear.crossing = floor((clear.ink + clear.paper) / 2) + 0.5;
        clear.flat = clear.even = true;
    } else if (dark && colours.over >= 0 && !faded) { /* a shade runs through all tones */
        clear = (nw_ramp){colours.over, fmax(ramp->crossing, colours.over + MARK_ROOM),
                          colours.mark, true, true};
        g->picture->mark_level = (colours.mark + colours.grey) / 2;
    }
    nw_status status = use_grey(g, dark, &clear);
    g->picture->several = own && colours.several;
    g->picture->shaded = faded;
    return status;
}

static nw_status choose_and_use(reading *g)
{
    raster *r = &g->raster;
    nw_ink_kind ink = r->options->ink;
    if (ink == NW_INK_ALPHA || (ink == NW_INK_AUTO && nw_find_alpha(r)))
        return use_alpha(g);
    if (ink == NW_INK_COLOUR)
        return use_named_colour(g);
    bool dark, ground = ink == NW_INK_AUTO && nw_find_ground(r);
    uint64_t histogram[256];
    nw_status status = find_dark(g, &dark, histogram);
    nw_ramp ramp;
    if (status == NW_OK && !nw_ramp_find(histogram, dark, fixed_level(g), &ramp))
        return ground && fixed_level(g) < 0 ? use_alpha(g) : all_alike(g);
    if (status == NW_OK && fixed_level(g) < 0) {
        nw_ramp_sharpen(r->values, r->width, r->height, &ramp);
        r->looked =
            nw_levels_among(r->values, r->width, r->height, nw_tone_spread(&ramp), r->among);
        nw_ramp_clear_tone(r->among, r->looked, &ramp);
    }
    if (status == NW_OK)
        status = use_tones(g, dark, &ramp);
    g->picture->dark_too = ink == NW_INK_AUTO && g->picture->ink == NW_INK_LIGHT;
    g->picture->clear_too = ground;
    return status;
}

/* Where tones meet without any between, a pale ink's pixel is as whole as a dark one's. */
static void steps_take(raster *r)
{
    for (uint64_t i = 0; i < r->pixels; i++)
        r->values[i] = r->values[i] >> 7 ? 255 : 0;
}

/* Ink that nothing of was left by its density, or that covers everything, is no shape. */
static nw_status check_ink(const reading *g)
{
    const uint8_t *values = g->raster.values;
    for (uint64_t i = 1; i < g->raster.pixels; i++)
        if ((values[i] ^ values[0]) >> 7)
            return NW_OK;
    return all_alike(g);
}

nw_status nw_reading_run(reading *g)
{
    value_kind value = g->raster.options->ink == NW_INK_ALPHA ? VALUE_ALPHA : VALUE_GREY;
    nw_status status = decode_on(g, value, white);
    g->picture->asked = g->raster.options->level_kind != NW_LEVEL_AUTO;
    if (status == NW_OK)
        status = choose_and_use(g);
    if (status == NW_OK && g->raster.value != VALUE_ALPHA)
        nw_cropped_take(&g->raster);
    if (status == NW_OK)
        status = check_ink(g);
    if (status == NW_OK && g->raster.value != VALUE_ALPHA && nw_find_steps(&g->raster))
        steps_take(&g->raster);
    bool failed = false;
    double noise = g->raster.coarse.left / fmax(1, g->raster.contrast);
    bool told = g->picture->ink == NW_INK_ALPHA && g->picture->asked; /* where drawn art ends */
    g->picture->greys = status == NW_OK && !told &&
                        nw_greys_find(g->raster.values, g->raster.width, g->raster.height, noise,
                                      g->picture->on_table, &failed);
    return failed ? nw_fail_memory(g->error, "the picture's shades") : status;
}
