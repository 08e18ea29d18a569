/*
 * rims: whether all that lies between two levels are the soft rims of lines, or art of its own;
 * and whether the crossing splits a tone.
 *
 * Where lines are as thin as their edges are soft, few pixels of them have the ink's own level, and
 * the level that splits the picture best (otsu.c) lies nearer to the paper's than half-way: lines
 * come out too thick. Half-way is right, if what it takes for paper is nothing but rims: with ink
 * on the one side and paper on the other, along the row or the column, not far away.
 *
 * A third tone about the crossing is no rim: its pixels lie among others of it. Noise and
 * compression have some of them beyond the crossing, one by one, so that goes to half-way between
 * the tone and the ink's, or the paper's, for the tone to be whole on the side that its mean is on.
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
#define LOOKED_AT 4e6   /* pixels, in rows that lie evenly apart where there are more */
#define SAMPLE 2e5      /* the same, for tones */

/* The first that is not between, that way: -1: ink, 1: paper. */
static int side_seen(const int8_t sides[256], const uint8_t *at, ptrdiff_t step)
{
    int side = 0;
    for (int k = 0; k < RIM_PX && side == 0; k++)
        side = sides[*(at += step)];
    return side;
}

static bool is_rim(const int8_t sides[256], const uint8_t *at, ptrdiff_t width)
{
    return side_seen(sides, at, 1) * side_seen(sides, at, -1) < 0 ||
           side_seen(sides, at, width) * side_seen(sides, at, -width) < 0;
}

/* Ink's levels lie below paper's or above: what is beyond `half` is ink, beyond the crossing paper.
 */
void nw_ramp_sharpen(const uint8_t *values, uint32_t width, uint32_t height, nw_ramp *ramp)
{
    double half = floor((ramp->ink + ramp->paper) / 2) + 0.5;
    double sign = ramp->ink < ramp->paper ? 1 : -1;
    if (ramp->flat || !ramp->even || sign * half >= sign * ramp->crossing)
        return;
    int8_t sides[256];
    for (int level = 0; level < 256; level++)
        sides[level] =
            (int8_t)((sign * level > sign * ramp->crossing) - (sign * level < sign * half));
    uint32_t step = 1 + (uint32_t)((double)width * height / LOOKED_AT);
    size_t between = 0, rims = 0;
    for (uint32_t y = RIM_PX; y + RIM_PX < height; y += step) {
        const uint8_t *row = values + (size_t)y * width;
        for (uint32_t x = RIM_PX; x + RIM_PX < width; x++) {
            bool in = sides[row[x]] == 0;
            between += in;
            rims += in && is_rim(sides, row + x, width);
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

size_t nw_levels_among(const uint8_t *values, uint32_t width, uint32_t height, int spread,
                       uint64_t among[256])
{
    uint32_t step = 1 + (uint32_t)((double)width * height / SAMPLE);
    size_t looked = 0;
    for (uint32_t y = TONE_APART; y + TONE_APART < height; y += step) {
        const uint8_t *row = values + (size_t)y * width;
        for (uint32_t x = TONE_APART; x + TONE_APART < width; x++, looked++)
            among[row[x]] += lies_among(row + x, width, spread);
    }
    return looked;
}

int nw_tone_spread(const nw_ramp *ramp)
{
    return (int)fabs(ramp->paper - ramp->ink) / TONE_SPREAD;
}

/* About the crossing, and then about the mean of what is there. */
void nw_ramp_clear_tone(const uint64_t among[256], size_t looked, nw_ramp *ramp)
{
    double spread = nw_tone_spread(ramp), mean = ramp->crossing, near = 0, beyond = 0;
    for (int round = 0; round < 2; round++) {
        double sum = near = beyond = 0;
        for (int level = 0; level < 256; level++) {
            double off = fabs(level - mean), count = (double)among[level];
            beyond += off > spread && off <= 2 * spread ? count : 0;
            near += off <= spread ? count : 0;
            sum += off <= spread ? level * count : 0;
        }
        mean = sum / fmax(1, near);
    }
    if (near < fmax(TONE_PEAK * beyond, TONE_LEAST * (double)looked) ||
        fabs(mean - ramp->crossing) > spread)
        return;
    double low = fmin(ramp->ink, ramp->paper), high = fmax(ramp->ink, ramp->paper);
    ramp->crossing = floor((mean + (mean <= ramp->crossing ? high : low)) / 2) + 0.5;
}
