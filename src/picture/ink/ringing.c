/*
 * ringing: what looks like paper beside a strong edge through a pale ink, for the edge rings there.
 *
 * Compression, and enlarging that keeps edges sharp, overshoot beside an edge by a part of its
 * height. That is nothing beside the height itself, but can be all that parts a pale ink from the
 * paper. Such a ring lies within the ink, is narrow, and nothing of it is more like paper than
 * overshoot makes it; paper goes on, along rows and columns, to where it is.
 */
#include <picture/raster.h>

#include <stdlib.h>

#define RING_PX 6      /* from an edge to its ring, at most */
#define STRETCH 16     /* pixels that are looked at together first */
#define RING_PART 0.15 /* of the edge's height, at most */

static bool is_like_paper(const uint8_t *values, unsigned nearest, ptrdiff_t i)
{
    return 2u * values[i] < nearest;
}

/* Whether all that touches a pixel is like paper too: rings are narrower. */
static bool is_broad(const uint8_t *at, ptrdiff_t width, unsigned nearest)
{
    for (ptrdiff_t y = -width; y <= width; y += width)
        for (ptrdiff_t x = -1; x <= 1; x++)
            if (!is_like_paper(at, nearest, y + x))
                return false;
    return true;
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
    return ink < 2 * nearest && *at + RING_PART * edge >= ink && !is_broad(at, width, nearest);
}

/* Whether the columns of some pixels, and of those RING_PX to either side, are all like paper. */
static bool are_paper(const uint8_t *most, uint32_t width, unsigned nearest, uint32_t first)
{
    uint32_t end = width - first > STRETCH + RING_PX ? first + STRETCH + RING_PX : width;
    for (uint32_t x = first > RING_PX ? first - RING_PX : 0; x < end; x++)
        if (!is_like_paper(most, nearest, x))
            return false;
    return true;
}

/* Marks what of a row is more like paper than an edge beside it can make the nearest ink; returns
 * whether anything else is. columns: room for two rows. */
static bool paper_begin(const uint8_t *values, unsigned nearest, nw_ink *paper, uint32_t y,
                        uint8_t *columns)
{
    uint32_t width = paper->width, height = paper->height;
    const uint8_t *row = values + (size_t)y * width, *most = columns + width;
    bool inside = y > RING_PX && height - y > RING_PX + 1, plain = true, doubt = false;
    if (inside)
        nw_columns_range(values, height, y - RING_PX, y + RING_PX + 1, width, columns,
                         columns + width);
    for (uint32_t x = 0; x < width; x++) {
        if (inside && x % STRETCH == 0)
            plain = are_paper(most, width, nearest, x);
        if (!is_like_paper(row, nearest, x))
            continue;
        if (!plain && x > RING_PX && width - x > RING_PX + 1 && is_ring(row + x, width, nearest))
            doubt = true;
        else
            nw_ink_put(paper, x, y);
    }
    return doubt;
}

/* Pixels that are marked and have neighbours to look at. */
typedef struct {
    uint32_t (*items)[2];
    size_t count, capacity;
} waiting;

/* Marks what is like paper and next to a pixel that is marked; false when memory runs out. */
static bool beside_mark(const uint8_t *values, unsigned nearest, nw_ink *paper, waiting *w,
                        uint32_t x, uint32_t y)
{
    static const int steps[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    for (int k = 0; k < 4; k++) {
        const uint32_t at[2] = {x + (uint32_t)steps[k][0], y + (uint32_t)steps[k][1]};
        if (at[0] >= paper->width || at[1] >= paper->height || nw_ink_has(paper, at[0], at[1]) ||
            !is_like_paper(values, nearest, (ptrdiff_t)at[1] * paper->width + at[0]))
            continue;
        nw_ink_put(paper, at[0], at[1]);
        if (!nw_push(&w->items, &w->count, &w->capacity, at, sizeof at))
            return false;
    }
    return true;
}

/* Marks what is like paper and goes on, along rows and columns, from what is marked in rows beside
 * those in doubt; false when memory runs out. Each pixel waits once, however the paper winds. */
static bool paper_spread(const uint8_t *values, unsigned nearest, nw_ink *paper, const bool *doubts)
{
    waiting w = {0};
    bool done = true;
    for (uint32_t y = 0; y < paper->height; y++) {
        bool near = (y && doubts[y - 1]) || doubts[y] || doubts[y + 1];
        for (uint32_t x = 0; near && x < paper->width; x++) {
            done =
                done && (!nw_ink_has(paper, x, y) || beside_mark(values, nearest, paper, &w, x, y));
            while (done && w.count) {
                const uint32_t *at = w.items[--w.count];
                done = beside_mark(values, nearest, paper, &w, at[0], at[1]);
            }
        }
    }
    free(w.items);
    return done;
}

bool nw_rings_fill(uint8_t *values, uint32_t width, uint32_t height, unsigned nearest)
{
    if (nearest >= 2 * RING_PART * UINT8_MAX)
        return true;
    nw_ink paper = {width, height, ((size_t)width + 63) / 64, NULL};
    paper.words = nw_alloc(paper.stride * height, sizeof *paper.words);
    uint8_t *columns = nw_alloc(width, 2);
    bool *doubts = nw_alloc((size_t)height + 1, sizeof *doubts);
    bool done = paper.words && columns && doubts;
    for (uint32_t y = 0; done && y < height; y++)
        doubts[y] = paper_begin(values, nearest, &paper, y, columns);
    done = done && paper_spread(values, nearest, &paper, doubts);
    for (uint32_t y = 0; done && y < height; y++)
        for (uint32_t x = 0; doubts[y] && x < width; x++)
            if (is_like_paper(values, nearest, (ptrdiff_t)y * width + x) &&
                !nw_ink_has(&paper, x, y))
                values[(size_t)y * width + x] = (uint8_t)nearest;
    free(doubts);
    free(columns);
    free(paper.words);
    return done;
}
