/*
 * on_table: grey levels -> whether a sheet of light paper with a drawing on it lies on something
 * darker, as in a photograph taken from above.
 *
 * The picture is looked at in a grid of places. What is dark and reached from the picture's rim
 * over dark places is the table. The sheet is the largest part of the rest: it fills a rectangle,
 * turned as it may be, and is paper for the most part, with some that is dark within.
 */
#include <geom/geom.h>
#include <picture/ink/ink_choice.h>

#include <math.h>

#define SIDE 128         /* places across and down */
#define RIM_LEAST 0.5    /* of the picture's rim is table */
#define SHEET_LEAST 0.25 /* of the picture */
#define SHEET_FILLS                                                                                \
    0.85 /* of the rectangle round it: a disc fills 0.79, what tapers by a fifth 0.9 */
#define DRAWN_LEAST 0.02 /* of the sheet is dark: something is drawn on it, */
#define DRAWN_MOST 0.5   /* but it is paper for the most part */
#define TURNS 45         /* of the rectangle, in a right angle */

/* What is known of a place. */
enum { DARK = 1, TABLE = 2, SEEN = 4, SHEET = 8 };

typedef struct {
    uint8_t at[SIDE * SIDE];
    uint16_t stack[SIDE * SIDE];
} grid;

static void look(const raster *r, int level, grid *g)
{
    for (size_t j = 0; j < SIDE; j++) {
        const uint8_t *row = r->values + (2 * j + 1) * r->height / (2 * SIDE) * r->width;
        for (size_t i = 0; i < SIDE; i++)
            g->at[j * SIDE + i] = row[(2 * i + 1) * r->width / (2 * SIDE)] <= level ? DARK : 0;
    }
}

/* Marks place k, and all that are reached from there over places of which `mask` tells the same as
 * of it, without the mark; returns how many they are. */
static size_t fill(grid *g, size_t k, unsigned mask, unsigned mark)
{
    unsigned same = g->at[k] & mask;
    size_t depth = 0, count = 0;
    g->at[k] |= (uint8_t)mark;
    g->stack[depth++] = (uint16_t)k;
    while (depth) {
        size_t p = g->stack[--depth], column = p % SIDE;
        size_t next[] = {column ? p - 1 : p, column + 1 < SIDE ? p + 1 : p,
                         p >= SIDE ? p - SIDE : p, p + SIDE < SIDE * SIDE ? p + SIDE : p};
        count++;
        for (int i = 0; i < 4; i++) {
            if ((g->at[next[i]] & (mask | mark)) == same) {
                g->at[next[i]] |= (uint8_t)mark;
                g->stack[depth++] = (uint16_t)next[i];
            }
        }
    }
    return count;
}

static void mark_table(grid *g)
{
    for (size_t i = 0; i < SIDE; i++) {
        size_t rim[] = {i, (SIDE - 1) * SIDE + i, i * SIDE, i * SIDE + SIDE - 1};
        for (int k = 0; k < 4; k++)
            if ((g->at[rim[k]] & (DARK | TABLE)) == DARK)
                fill(g, rim[k], DARK, TABLE);
    }
}

/* The largest part of what is no table; returns how many places it has. */
static size_t mark_sheet(grid *g)
{
    size_t largest = 0, in = 0;
    for (size_t k = 0; k < SIDE * SIDE; k++) {
        size_t count = g->at[k] & (TABLE | SEEN) ? 0 : fill(g, k, TABLE, SEEN);
        if (count > largest) {
            largest = count;
            in = k;
        }
    }
    return largest ? fill(g, in, TABLE, SHEET) : 0;
}

static size_t count_drawn(const grid *g)
{
    size_t drawn = 0;
    for (size_t k = 0; k < SIDE * SIDE; k++)
        drawn += (g->at[k] & (DARK | SHEET)) == (DARK | SHEET);
    return drawn;
}

/* How many places the least rectangle round the sheet has, of those turned by two degrees each. */
static double least_rectangle(const raster *r, const grid *g)
{
    double least = INFINITY, wide = r->width, high = r->height;
    for (int turn = 0; turn < TURNS; turn++) {
        double angle = turn * NW_PI / 2 / TURNS, c = nw_cos(angle), s = nw_sin(angle);
        nw_box box = nw_box_empty();
        for (size_t k = 0; k < SIDE * SIDE; k++) {
            if (!(g->at[k] & SHEET))
                continue;
            for (size_t corner = 0; corner < 4; corner++) {
                double x = (double)(k % SIDE + corner % 2) * wide;
                double y = (double)(k / SIDE + corner / 2) * high;
                nw_box_take(&box, nw_turned((nw_point){x, y}, c, s), 0);
            }
        }
        least = fmin(least, (box.max.x - box.min.x) * (box.max.y - box.min.y) / (wide * high));
    }
    return least;
}

/* The level is the one that parts the picture's counts best, as where light art is told; or, in a
 * photograph, where that parts much ink from a table that is pale beside it, the one that parts
 * this from paper. */
bool nw_find_on_table(const raster *r, const uint64_t histogram[256], bool photograph)
{
    grid g;
    uint64_t lighter[256] = {0};
    int level = nw_otsu(histogram);
    bool dark = nw_rim_dark(r, level) >= RIM_LEAST;
    if (!dark && photograph) {
        for (int value = level + 1; value < 256; value++)
            lighter[value] = histogram[value];
        level = nw_otsu(lighter);
        dark = nw_rim_dark(r, level) >= RIM_LEAST;
    }
    if (!dark)
        return false;
    look(r, level, &g);
    mark_table(&g);
    double sheet = (double)mark_sheet(&g), drawn = (double)count_drawn(&g);
    return sheet >= SHEET_LEAST * SIDE * SIDE && drawn >= DRAWN_LEAST * sheet &&
           drawn <= DRAWN_MOST * sheet && sheet >= SHEET_FILLS * least_rectangle(r, &g);
}
