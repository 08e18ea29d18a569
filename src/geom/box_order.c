/*
 * A list of boxes -> an order in which neighbours in the list are neighbours in the plane, for
 * trees that are packed from it.
 *
 * Things that follow one another and touch, as the segments of an outline do, stay together in
 * runs of up to four. The runs are sorted by where their middle lies along Hilbert's curve over all
 * boxes (Kamel and Faloutsos, Hilbert R-tree, VLDB 1994; the curve's place by Warren, Hacker's
 * Delight, 16-2, from memory), by counting digits (radix sort), so that equals keep their order.
 */
#include <geom/box_tree.h>

#include <stdlib.h>

#define RUN 4         /* things; as many as trees pack into a box */
#define FEW 64        /* things that are left as they are */
#define CELLS 65535.0 /* of the curve along the longer side of all boxes, less one */
#define DIGIT_BITS 8  /* of the sort */
#define DIGITS 256
#define KEY_BITS 32

typedef struct {
    uint32_t key, first, length; /* place along the curve; first thing; things */
} run;

/* The number of things in the run that begins with the first. */
static size_t run_length(const nw_box *boxes, size_t first, size_t count)
{
    size_t n = 1;
    while (n < RUN && first + n < count && nw_boxes_meet(boxes[first + n - 1], boxes[first + n], 0))
        n++;
    return n;
}

/* How far along Hilbert's curve the cell lies. */
static uint32_t place_along(uint32_t x, uint32_t y)
{
    uint32_t key = 0;
    for (uint32_t side = 1u << 15; side; side /= 2) {
        uint32_t right = (x & side) != 0, up = (y & side) != 0;
        key = 4 * key + (right ? 3 - up : up);
        uint32_t low = up - 1, swap = (x ^ y) & low, turn = (0 - right) & low; /* no branches */
        x ^= swap ^ turn;
        y ^= swap ^ turn;
    }
    return key;
}

static uint32_t cell(double from, double at, double scale)
{
    double cells = (at - from) * scale;
    return cells > 0 ? cells < CELLS ? (uint32_t)cells : (uint32_t)CELLS : 0;
}

static size_t runs_gather(const nw_box *boxes, size_t count, run *runs)
{
    nw_box all = boxes[0];
    for (size_t i = 1; i < count; i++)
        nw_box_grow(&all, boxes[i]);
    double size = fmax(nw_box_width(all), nw_box_height(all)), scale = size > 0 ? CELLS / size : 0;
    size_t runs_count = 0;
    for (size_t i = 0, n; i < count; i += n) {
        n = run_length(boxes, i, count);
        nw_box box = boxes[i];
        for (size_t k = 1; k < n; k++)
            nw_box_grow(&box, boxes[i + k]);
        uint32_t x = cell(all.min.x, (box.min.x + box.max.x) / 2, scale);
        uint32_t y = cell(all.min.y, (box.min.y + box.max.y) / 2, scale);
        runs[runs_count++] = (run){place_along(x, y), (uint32_t)i, (uint32_t)n};
    }
    return runs_count;
}

static void sort_by_digit(const run *from, run *to, size_t count, int shift)
{
    size_t start[DIGITS + 1] = {0};
    for (size_t i = 0; i < count; i++)
        start[(from[i].key >> shift) % DIGITS + 1]++;
    for (size_t d = 0; d < DIGITS; d++)
        start[d + 1] += start[d];
    for (size_t i = 0; i < count; i++)
        to[start[(from[i].key >> shift) % DIGITS]++] = from[i];
}

bool nw_boxes_order(const nw_box *boxes, size_t count, uint32_t *order)
{
    if (count <= FEW) {
        for (size_t i = 0; i < count; i++)
            order[i] = (uint32_t)i;
        return true;
    }
    run *runs = nw_alloc_raw(count, sizeof *runs), *room = nw_alloc_raw(count, sizeof *room);
    bool good = runs && room && count <= UINT32_MAX;
    if (good) {
        size_t runs_count = runs_gather(boxes, count, runs), at = 0;
        for (int shift = 0; shift < KEY_BITS; shift += 2 * DIGIT_BITS) {
            sort_by_digit(runs, room, runs_count, shift);
            sort_by_digit(room, runs, runs_count, shift + DIGIT_BITS);
        }
        for (size_t r = 0; r < runs_count; r++)
            for (uint32_t k = 0; k < runs[r].length; k++)
                order[at++] = runs[r].first + k;
    }
    free(runs);
    free(room);
    return good;
}
