/*
 * rims: whether all that lies between two levels are the soft rims of lines, or art of its own.
 *
 * Where lines are as thin as their edges are soft, few pixels of them have the ink's own level, and
 * the level that splits the picture best (otsu.c) lies nearer to the paper's than half-way: lines
 * come out too thick. Half-way is right, if what it takes for paper is nothing but rims: with ink
 * on the one side and paper on the other, along the row or the column, not far away.
 */
#include <picture/ink/ink_levels.h>

#include <math.h>

#define RIM_PX 6       /* to the ink and to the paper, at most */
#define RIMS_SHARE 0.9 /* of what lies between */
#define RIMS_LEAST 50  /* pixels, to be sure */
#define LOOKED_AT 4e6  /* pixels, in rows that lie evenly apart where there are more */

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
