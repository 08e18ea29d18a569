/*
 * rims: whether all that lies between two levels are the soft rims of lines, or art of its own;
 * and whether the crossing splits a tone.
 *
 * Where lines are as thin as their edges are soft, few pixels of them have the ink's own level, and
 * the level that splits the picture best (otsu.c) lies nearer to the paper's than half-way: lines
 * come out too thick. Half-way is right, if what it takes for paper is nothing but rims: with ink
 * on the one side and paper on the other, along the row or the column, not far away.
 *
 * A third tone about the crossing is no rim: its pixels lie among others of it. Noise has them on
 * either side of the crossing, one by one, so that goes to half-way between the tone and the ink's,
 * or the paper's, for the tone to be whole on the side that its mean is on.
 */
#include <picture/ink/ink_levels.h>

#include <math.h>
#include <stdlib.h>

#define RIM_PX 6        /* to the ink and to the paper, at most */
#define RIMS_SHARE 0.9  /* of what lies between */
#define RIMS_LEAST 50   /* pixels, to be sure */
#define TONE_SPREAD 16  /* a tone reaches such a part of the contrast to either side */
#define TONE_APART 2    /* px: pixels of it so far off on four sides are of it */
#define TONE_PEAK 2     /* times as many are about the crossing as as far beyond that */
#define TONE_LEAST 1e-3 /* of all pixels */
#define TONE_SPLIT 0.1  /* of them are on either side of the crossing, at least */
#define LOOKED_AT 4e6   /* pixels, in rows that lie evenly apart where there are more */

typedef struct {
    const uint8_t *values;
    int64_t width, height;
    int8_t sides[256]; /* of each level: -1: ink, 1: paper, 0: between */
} rim_levels;

static int side_at(const rim_levels *of, int64_t x, int64_t y)
{
    return x < 0 || y < 0 || x >= of->width || y >= of->height
               ? 0
               : of->sides[of->values[y * of->width + x]];
}

/* The first that is not between, that way. */
static int side_seen(const rim_levels *of, int64_t x, int64_t y, int dx, int dy)
{
    int side = 0;
    for (int k = 1; k <= RIM_PX && side == 0; k++)
        side = side_at(of, x + k * dx, y + k * dy);
    return side;
}

static bool is_rim(const rim_levels *of, int64_t x, int64_t y)
{
    return side_seen(of, x, y, 1, 0) * side_seen(of, x, y, -1, 0) < 0 ||
           side_seen(of, x, y, 0, 1) * side_seen(of, x, y, 0, -1) < 0;
}

/* Ink's levels lie below paper's or above: what is beyond `half` is ink, beyond the crossing paper.
 */
void nw_ramp_sharpen(const uint8_t *values, uint32_t width, uint32_t height, nw_ramp *ramp)
{
    double half = floor((ramp->ink + ramp->paper) / 2) + 0.5;
    double sign = ramp->ink < ramp->paper ? 1 : -1;
    if (ramp->flat || !ramp->even || sign * half >= sign * ramp->crossing)
        return;
    rim_levels of = {.values = values, .width = width, .height = height};
    for (int level = 0; level < 256; level++)
        of.sides[level] = (int8_t)(sign * level < sign * half             ? -1
                                   : sign * level > sign * ramp->crossing ? 1
                                                                          : 0);
    int64_t step = 1 + (int64_t)((double)width * height / LOOKED_AT);
    size_t between = 0, rims = 0;
    for (int64_t y = step / 2; y < of.height; y += step) {
        for (int64_t x = 0; x < of.width; x++) {
            if (of.sides[values[y * of.width + x]])
                continue;
            between++;
            rims += is_rim(&of, x, y);
        }
    }
    if (between >= RIMS_LEAST && (double)rims >= RIMS_SHARE * (double)between)
        ramp->crossing = half;
}

/* Whether the pixels so far off on four sides are alike. */
static bool lies_among(const uint8_t *at, size_t width, int spread)
{
    const size_t down = TONE_APART * width;
    const int others[] = {at[-TONE_APART], at[TONE_APART], *(at - down), at[down]};
    for (int k = 0; k < 4; k++)
        if (abs(others[k] - *at) > spread)
            return false;
    return true;
}

void nw_ramp_clear_tone(const uint8_t *values, uint32_t width, uint32_t height, nw_ramp *ramp)
{
    double low = fmin(ramp->ink, ramp->paper), high = fmax(ramp->ink, ramp->paper);
    int spread = (int)(high - low) / TONE_SPREAD;
    uint32_t step = 1 + (uint32_t)((double)width * height / LOOKED_AT);
    int from = (int)ceil(ramp->crossing - 2 * spread), to = (int)(ramp->crossing + 2 * spread);
    size_t below = 0, above = 0, beyond = 0, looked = 0;
    double sum = 0;
    for (uint32_t y = TONE_APART; spread > 0 && y + TONE_APART < height; y += step) {
        for (uint32_t x = TONE_APART; x + TONE_APART < width; x++) {
            const uint8_t *at = values + (size_t)y * width + x;
            looked++;
            if (*at < from || *at > to || !lies_among(at, width, spread))
                continue;
            double off = *at - ramp->crossing;
            beyond += fabs(off) > spread;
            below += off >= -spread && off < 0;
            above += off <= spread && off > 0;
            sum += fabs(off) <= spread ? *at : 0;
        }
    }
    double near = (double)(below + above), fewer = (double)(below < above ? below : above);
    if (near == 0 || near < TONE_PEAK * (double)beyond || near < TONE_LEAST * (double)looked ||
        fewer < TONE_SPLIT * near)
        return;
    double mean = sum / near;
    ramp->crossing = floor((mean + (mean <= ramp->crossing ? high : low)) / 2) + 0.5;
}
