/*
 * backdrop: whether the ground of a picture is the checkered pattern that stands for transparency.
 *
 * Squares of two greys: a square's side on, along rows and along columns, there is the other grey.
 */
#include <picture/ink/ink_choice.h>

#include <stdlib.h>

#define ALIKE 4         /* grey levels from a square's own */
#define SIDE_LEAST 3    /* px */
#define SIDE_MOST 128   /* px */
#define ROWS 64         /* looked at for the side, about */
#define SURE 0.9        /* of the pairs of pixels differ */
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

bool nw_find_checker(const raster *r, int one, int other)
{
    ground g = {r, one, other};
    uint32_t side = side_find(&g), step = r->height / (4 * ROWS) + 1;
    uint64_t pairs[2] = {0}, differ[2] = {0};
    for (uint32_t y = 0; side && y + side < r->height; y += step) {
        for (uint32_t x = 0; x + side < r->width; x += step) {
            int here = square_at(&g, x, y);
            int next[2] = {square_at(&g, x + side, y), square_at(&g, x, y + side)};
            for (int way = 0; way < 2; way++) {
                pairs[way] += here && next[way];
                differ[way] += here && next[way] && here != next[way];
            }
        }
    }
    return pairs[0] > PAIRS_LEAST && pairs[1] > PAIRS_LEAST &&
           (double)differ[0] > SURE * (double)pairs[0] &&
           (double)differ[1] > SURE * (double)pairs[1];
}
