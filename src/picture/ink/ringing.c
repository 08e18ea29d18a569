/*
 * ringing: what looks like paper beside a strong edge through a pale ink, for the edge rings there.
 *
 * Compression, and enlarging that keeps edges sharp, overshoot beside an edge by a part of its
 * height. That is nothing beside the height itself, but can be all that parts a pale ink from the
 * paper. Such a ring lies within the ink, and nothing of it is more like paper than overshoot makes
 * it; paper goes on, along rows and columns, to where it is.
 */
#include <picture/raster.h>

#include <stdlib.h>

#define RING_PX 6      /* from an edge to its ring, at most */
#define RING_PART 0.15 /* of the edge's height, at most */

static bool is_like_paper(const uint8_t *values, unsigned nearest, ptrdiff_t i)
{
    return 2u * values[i] < nearest;
}

/* Whether there is an edge near, and a pale ink, no edge's blend, that its ringing can have made so
 * much like paper. */
static bool is_ring(const uint8_t *at, ptrdiff_t width, unsigned nearest)
{
    const ptrdiff_t steps[] = {1, -1, width, -width};
    unsigned edge = 0, ink = 2 * nearest;
    for (int i = 0; i < 4; i++) {
        bool pale = false; /* the pixel before */
        for (int k = 1; k <= RING_PX; k++) {
            uint8_t value = at[k * steps[i]];
            bool before = pale;
            pale = 2u * value >= nearest && value < 2 * nearest;
            ink = pale && before && value < ink ? value : ink;
            edge = value > edge ? value : edge;
        }
    }
    return ink < 2 * nearest && *at + RING_PART * edge >= ink;
}

/* Marks what is more like paper than an edge beside it can make the nearest ink. */
static void paper_begin(const uint8_t *values, unsigned nearest, nw_ink *paper)
{
    uint32_t width = paper->width, height = paper->height;
    for (uint32_t y = 0; y < height; y++) {
        const uint8_t *row = values + (size_t)y * width;
        bool inside = y > RING_PX && height - y > RING_PX + 1;
        for (uint32_t x = 0; x < width; x++) {
            bool ring = inside && x > RING_PX && width - x > RING_PX + 1;
            if (is_like_paper(row, nearest, x) && !(ring && is_ring(row + x, width, nearest)))
                nw_ink_put(paper, x, y);
        }
    }
}

/* Marks what is like paper and goes on from what is marked, in the order of reading or, `back`,
 * against it; returns whether there was any. */
static bool paper_spread(const uint8_t *values, unsigned nearest, nw_ink *paper, bool back)
{
    uint32_t width = paper->width, height = paper->height;
    bool any = false;
    for (uint32_t j = 0; j < height; j++) {
        uint32_t y = back ? height - 1 - j : j, before = back ? y + 1 : y - 1;
        for (uint32_t i = 0; i < width; i++) {
            uint32_t x = back ? width - 1 - i : i;
            if (is_like_paper(values, nearest, (ptrdiff_t)y * width + x) &&
                !nw_ink_has(paper, x, y) &&
                ((i && nw_ink_has(paper, back ? x + 1 : x - 1, y)) ||
                 (j && nw_ink_has(paper, x, before)))) {
                nw_ink_put(paper, x, y);
                any = true;
            }
        }
    }
    return any;
}

bool nw_rings_fill(uint8_t *values, uint32_t width, uint32_t height, unsigned nearest)
{
    if (nearest >= 2 * RING_PART * UINT8_MAX)
        return true;
    nw_ink paper = {width, height, ((size_t)width + 63) / 64, NULL};
    paper.words = nw_alloc(paper.stride * height, sizeof *paper.words);
    bool done = paper.words;
    if (done)
        paper_begin(values, nearest, &paper);
    for (bool any = done; any;) {
        any = paper_spread(values, nearest, &paper, false);
        any = paper_spread(values, nearest, &paper, true) || any;
    }
    for (uint32_t y = 0; done && y < height; y++)
        for (uint32_t x = 0; x < width; x++)
            if (is_like_paper(values, nearest, (ptrdiff_t)y * width + x) &&
                !nw_ink_has(&paper, x, y))
                values[(size_t)y * width + x] = (uint8_t)nearest;
    free(paper.words);
    return done;
}
