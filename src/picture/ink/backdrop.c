/*
 * backdrop: whether the ground of a picture is the checkered pattern that stands for transparency.
 *
 * Squares of two greys: a square's side on, along rows and along columns, there is the other grey,
 * and across a corner the same one.
 */
#include <picture/ink/ink_choice.h>

#include <stdlib.h>

#define ALIKE 4         /* grey levels from a square's own */
#define SIDE_LEAST 3    /* px */
#define SIDE_MOST 128   /* px */
#define ROWS 64         /* looked at for the side, about */
#define SURE 0.9        /* of the pairs of pixels are as they have to be */
#define PAIRS_LEAST 200 /* of pixels, to be sure */

typedef struct {
    const raster *r;
    int one, other;
} ground;

/* 1 or 2 for the two greys, 0 for what is no ground. */
static int square_at(const ground *g, uint32_t x, uint32_t y)
{
    int value = g->r->values[(size_t)y * g->r->width + x];
    return abs(value - g->one) <= ALIKE ? 1 : abs(value - g->other) <= ALIKE ? 2 : 0;
}

/* The most frequent length of a run of one grey between two others; 0 when there is none. */
static uint32_t side_find(const ground *g)
{
    uint32_t counts[SIDE_MOST + 1] = {0}, best = 0;
    for (uint32_t y = 0; y < g->r->height; y += g->r->height / ROWS + 1) {
        uint32_t from = 0;
        for (uint32_t x = 1; x < g->r->width; x++) {
            if (square_at(g, x, y) == square_at(g, x - 1, y))
                continue;
            if (from > 0 && x - from <= SIDE_MOST && square_at(g, x - 1, y) != 0)
                counts[x - from]++;
            from = x;
        }
    }
    for (uint32_t side = SIDE_LEAST; side <= SIDE_MOST; side++)
        best = counts[side] > counts[best] ? side : best;
    return best;
}

/* Steps of a side: to the right, down, and both. */
static const uint32_t STEPS[3][2] = {{1, 0}, {0, 1}, {1, 1}};

/* Whether, a side on, there is the other grey, and across a corner the same one: as seen from the
 * squares of this grey alone, for the art may have large areas of the other. */
static bool is_checkered(const ground *g, int square, uint32_t side)
{
    uint32_t width = g->r->width, height = g->r->height, step = height / (4 * ROWS) + 1;
    uint64_t pairs[3] = {0}, right[3] = {0};
    for (uint32_t y = 0; y + side < height; y += step) {
        for (uint32_t x = 0; x + side < width; x += step) {
            if (square_at(g, x, y) != square)
                continue;
            for (int k = 0; k < 3; k++) {
                int next = square_at(g, x + side * STEPS[k][0], y + side * STEPS[k][1]);
                pairs[k] += next != 0;
                right[k] += next && (next == square) == (k == 2);
            }
        }
    }
    for (int k = 0; k < 3; k++)
        if (pairs[k] <= PAIRS_LEAST || (double)right[k] <= SURE * (double)pairs[k])
            return false;
    return true;
}

bool nw_find_checker(const raster *r, int one, int other)
{
    ground g = {r, one, other};
    uint32_t side = side_find(&g);
    return side && (is_checkered(&g, 1, side) || is_checkered(&g, 2, side));
}
