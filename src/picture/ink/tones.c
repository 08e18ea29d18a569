/*
 * tones: counted colours -> the picture's main colours, and where two of them meet; and distances
 * from the paper's colour -> density where the ink has several colours.
 *
 * Drawn pictures have few colours that fill areas evenly; scans and photographs have none such.
 */
#include <picture/raster.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define EVEN_SPREAD 3.0 /* standard deviation of grey within a bin of one drawn colour, at most */
#define SAME_TONE 20    /* colours nearer than this are one tone */
#define BORDER_PX 6     /* less from one tone to the other across their border */
#define RUN 3           /* pixels of a tone, one beside the other */
#define SOFT_PX 3       /* for the middle half of the way between them are soft */
#define LINES 300       /* rows and columns looked at, about */
#define RIM 2           /* pixels of an antialiased edge on either side */

static bool is_narrow(const colour_bin *bin)
{
    double n = (double)bin->count, mean = (double)bin->grey / n;
    return (double)bin->grey_squared / n - mean * mean <= EVEN_SPREAD * EVEN_SPREAD;
}

/* Those that are even along rows and along columns, the geometric mean of both: along a soft edge
 * its blends are even too, but not across. */
static double even_pixels(const colour_bin *bin)
{
    return sqrt((double)bin->beside * (double)bin->upright);
}

static nw_tone tone_of(const colour_bin *bin)
{
    uint64_t half = bin->count / 2;
    nw_tone tone = {.colour = {(uint8_t)((bin->red + half) / bin->count),
                               (uint8_t)((bin->green + half) / bin->count),
                               (uint8_t)((bin->blue + half) / bin->count)}};
    tone.grey = (uint8_t)nw_luma(tone.colour);
    return tone;
}

static nw_tone *tone_like(raster *r, const nw_tone *tone)
{
    for (size_t k = 0; k < r->tone_count; k++)
        if (nw_colour_distance(r->tones[k].colour, tone->colour) < SAME_TONE)
            return &r->tones[k];
    return NULL;
}

void nw_tones_find(raster *r)
{
    nw_ranked *order = nw_alloc(COLOUR_BINS, sizeof *order);
    if (!order)
        return;
    double total = 0, even = 0;
    for (uint32_t k = 0; k < COLOUR_BINS; k++) {
        const colour_bin *bin = &r->colours[k];
        order[k] = (nw_ranked){bin->count, k};
        total += (double)bin->count;
        even += bin->count && is_narrow(bin) ? (double)bin->count : 0;
    }
    nw_ranked_sort(order, COLOUR_BINS);
    for (size_t k = 0; k < COLOUR_BINS && order[k].size; k++) {
        const colour_bin *bin = &r->colours[order[k].index];
        nw_tone tone = tone_of(bin), *like = tone_like(r, &tone);
        if (!like && r->tone_count < COLOURS_MOST) {
            like = &r->tones[r->tone_count++];
            *like = tone;
        }
        if (like) {
            like->share += (double)bin->count / total;
            like->even += is_narrow(bin) ? even_pixels(bin) : 0;
        }
    }
    free(order);
    for (size_t k = 0; k < r->tone_count; k++)
        r->tones[k].even /= r->tones[k].share * total;
    r->flat = even / total;
}

int nw_tone_chroma(const nw_tone *tone)
{
    const uint8_t *c = tone->colour;
    int most = c[0] > c[1] ? c[0] : c[1], least = c[0] < c[1] ? c[0] : c[1];
    return (most > c[2] ? most : c[2]) - (least < c[2] ? least : c[2]);
}

/* ---- where two tones meet ---------------------------------------------------------------------
 */

/* Two pixels of a tone, at least: one may be an edge of others. */
static bool is_even(const uint8_t *v, size_t stride, int tone)
{
    return abs(v[0] - tone) <= TONE_NEAR && abs(v[stride] - tone) <= TONE_NEAR;
}

/* Does an edge begin at a pixel: down, or up, from one tone to the other without a turn? */
static bool edge_begins(const uint8_t *v, size_t stride, int from, int to)
{
    if (!is_even(v, stride, from))
        return false;
    for (size_t k = 2; k < BORDER_PX; k++) {
        if (is_even(v + k * stride, stride, to))
            return true;
        int up = v[k * stride] - v[(k - 1) * stride];
        if ((to > from ? -up : up) > TONE_NEAR)
            return false;
    }
    return false;
}

size_t nw_tones_border(const raster *r, const nw_tone *one, const nw_tone *other, size_t enough)
{
    int a = one->grey, b = other->grey;
    size_t met = 0, wide = r->width;
    for (size_t y = 0; y + BORDER_PX < r->height && met < enough; y++) {
        for (size_t x = 0; x + BORDER_PX < wide; x++) {
            const uint8_t *v = r->values + y * wide + x;
            met += edge_begins(v, 1, a, b) || edge_begins(v, 1, b, a) ||
                   edge_begins(v, wide, a, b) || edge_begins(v, wide, b, a);
        }
    }
    return met;
}

/* Borders between two tones along one row or column, and how many of them are soft. */
typedef struct {
    size_t all, soft;
} border_count;

/* A tone begins where RUN pixels are of it: an edge of ink passes by both in fewer. */
static void borders_count(const uint8_t *v, size_t count, size_t stride, int one, int other,
                          border_count *borders)
{
    int near = abs(one - other) / 4, last = -1, before = -1;
    size_t end = 0, run = 0;
    for (size_t i = 0; i < count; i++) {
        int value = v[i * stride];
        int at = abs(value - one) <= near ? one : abs(value - other) <= near ? other : -1;
        run = at == before ? run + 1 : 1;
        before = at;
        if (at < 0 && (value > one) == (value > other))
            last = -1; /* neither a tone nor between the two */
        if (at < 0 || (at != last && run < RUN))
            continue;
        if (last >= 0 && at != last) {
            borders->all++;
            borders->soft += i + 1 - run - end > SOFT_PX;
        }
        last = at;
        end = i;
    }
}

double nw_tones_soft(const raster *r, const nw_tone *one, const nw_tone *other)
{
    border_count borders = {0};
    for (size_t y = 0; y < r->height; y += r->height / LINES + 1)
        borders_count(r->values + y * r->width, r->width, 1, one->grey, other->grey, &borders);
    for (size_t x = 0; x < r->width; x += r->width / LINES + 1)
        borders_count(r->values + x, r->height, r->width, one->grey, other->grey, &borders);
    return borders.all ? (double)borders.soft / (double)borders.all : 0;
}

/* ---- rims ------------------------------------------------------------------------------------ */

/* A few rows as they were before they were changed: row y is rows[y % (2 RIM + 1)]. */
typedef struct {
    uint32_t width, height;
    uint8_t *rows;
    uint8_t *least, *most; /* of the columns' 2 RIM + 1 pixels */
} rim_window;

static uint8_t rim_density(const rim_window *w, uint32_t x, unsigned value, unsigned nearest)
{
    unsigned least = 255, most = 0;
    uint32_t first = x > RIM ? x - RIM : 0;
    for (uint32_t k = first; k <= x + RIM && k < w->width; k++) {
        least = w->least[k] < least ? w->least[k] : least;
        most = w->most[k] > most ? w->most[k] : most;
    }
    if (2 * least >= nearest)
        return 255; /* no paper near */
    most = most < nearest ? nearest : most;
    return (uint8_t)((255 * value + most / 2) / most);
}

#define FADE_REACH 4    /* pixels on either side of a border, along its row and its column, */
#define SHARP_STEP 0.75 /* of its height is the largest step of the sharpest edges */
#define WIDER_MOST 4    /* where edges are wider: times as many, at most */
#define FADE_STEP 0.5   /* of the height from paper to the nearest ink: an edge climbs that much */
#define FADE_SHARE 0.06 /* of the borders fade */

/* How far the values climb along a row or column, and the most from one to the next. */
typedef struct {
    unsigned height, step;
} fade_climb;

/* Around the border before index; stride: 1 along a row. */
static fade_climb climb_along(const uint8_t *values, size_t index, size_t stride, uint32_t reach)
{
    const uint8_t *at = values + index - reach * stride;
    uint8_t least = *at, most = *at;
    int step = 0;
    for (uint32_t k = 1; k < 2 * reach; k++, at += stride) {
        int to = abs(at[stride] - *at);
        step = to > step ? to : step;
        least = at[stride] < least ? at[stride] : least;
        most = at[stride] > most ? at[stride] : most;
    }
    return (fade_climb){most - least, (unsigned)step};
}

/* The steeper of the two ways: a sharp border climbs in at least one, however it runs. */
static fade_climb climb_at(const uint8_t *values, size_t index, size_t width, uint32_t reach)
{
    fade_climb along = climb_along(values, index, 1, reach),
               across = climb_along(values, index, width, reach);
    return along.height > across.height ? along : across;
}

/* Of borders along rows and columns, those that fade, and the heights and largest steps of others.
 */
typedef struct {
    uint64_t borders, fading, heights, steps;
} fade_counts;

static fade_counts fades_count(const uint8_t *values, uint32_t width, uint32_t height,
                               unsigned nearest, unsigned least, uint32_t reach)
{
    fade_counts counts = {0};
    for (uint32_t y = reach; y + reach < height; y++) {
        for (uint32_t x = reach; x + reach < width; x++) {
            size_t at = (size_t)y * width + x;
            bool ink = 2u * values[at] >= nearest;
            unsigned here = ((2u * values[at - 1] >= nearest) != ink) +
                            ((2u * values[at - width] >= nearest) != ink);
            if (!here)
                continue;
            fade_climb climb = climb_at(values, at, width, reach);
            bool fades = climb.height < FADE_STEP * least;
            counts.borders += here;
            counts.fading += fades ? here : 0;
            counts.heights += fades ? 0 : climb.height;
            counts.steps += fades ? 0 : climb.step;
        }
    }
    return counts;
}

/* What is far is so in pixels as wide as edges are: in an enlarged picture all are. */
bool nw_rims_fade(const uint8_t *values, uint32_t width, uint32_t height, unsigned nearest,
                  unsigned least)
{
    fade_counts counts = fades_count(values, width, height, nearest, least, FADE_REACH);
    double wider = SHARP_STEP * (double)counts.heights / fmax(1, (double)counts.steps);
    uint32_t reach = FADE_REACH * (uint32_t)fmin(WIDER_MOST, floor(wider + 0.5));
    if (reach > FADE_REACH && (double)counts.fading > FADE_SHARE * (double)counts.borders)
        counts = fades_count(values, width, height, nearest, least, reach);
    return (double)counts.fading > FADE_SHARE * (double)counts.borders;
}

bool nw_rims_normalise(uint8_t *values, uint32_t width, uint32_t height, unsigned nearest)
{
    uint8_t *memory = nw_alloc((size_t)width, 2 * RIM + 3);
    if (!memory)
        return false;
    rim_window w = {width, height, memory, memory + (size_t)(2 * RIM + 1) * width,
                    memory + (size_t)(2 * RIM + 2) * width};
    for (uint32_t y = 0, loaded = 0; y < height; y++) {
        for (; loaded < height && loaded <= y + RIM; loaded++) {
            memcpy(w.rows + (size_t)(loaded % (2 * RIM + 1)) * width,
                   values + (size_t)loaded * width, width);
        }
        uint32_t end = height - y > RIM ? y + RIM + 1 : height;
        nw_columns_range(w.rows, 2 * RIM + 1, y > RIM ? y - RIM : 0, end, width, w.least, w.most);
        uint8_t *to = values + (size_t)y * width;
        for (uint32_t x = 0; x < width; x++)
            to[x] = to[x] ? rim_density(&w, x, to[x], nearest) : 0;
    }
    free(memory);
    return true;
}
