/*
 * noding: lines on the grid -> the nodes at which they end, cross or pass one another by less than
 * half a unit, and each line's nodes in order.
 *
 * Snap rounding (Hobby, Comput. Geom. 13(4):199-214, 1999; Guibas and Marimont, Int. J. Comput.
 * Geom. Appl. 8(2):157-178, 1998): every unit square that holds an end or a crossing is hot, and
 * every line goes through the middles of all hot squares that it passes. Then lines meet in nodes
 * only, whichever way they were rounded. Squares hold their left and lower borders; all tests are
 * exact. Lines are joined with themselves in a quadtree, whose cells hold whole squares.
 */
#include <solid/arrange.h>

#include <stdlib.h>

#define FEW_LINES 12    /* a cell with so few is not divided */
#define GAIN 1.25       /* quarters that hold so many times their cell's pairs are no gain */
#define MOST_PASSES 4e6 /* of lines through nodes; about 60 bytes each, here and later */
#define MOST_TESTS 4e9  /* of two lines, or of a line and a square; about 20 s */

__extension__ typedef __int128 wide;

/* Squares from x and y on, size to a side. */
typedef struct {
    int64_t x, y, size;
} cell;

typedef struct {
    nw_node at;
    uint32_t first, count; /* of its passes */
} hot_square;

typedef struct {
    nw_arrangement *all;
    uint32_t *lists; /* lines of the cells from the root to the current one */
    size_t list_count, list_capacity;
    nw_node *spots; /* hot squares of one cell, some of them several times */
    size_t spot_count, spot_capacity;
    hot_square *hot;
    size_t hot_count, hot_capacity;
    uint32_t *passes; /* lines through hot squares, by square */
    size_t pass_count, pass_capacity;
    double tests;
} noder;

static const nw_chord *line_of(const noder *n, size_t place)
{
    return &n->all->chords[n->all->lines[n->lists[place]].chord];
}

/* ---- exact tests ----------------------------------------------------------------------------- */

static int64_t larger(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

static int64_t smaller(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

/* Whether the line may come into the cell; wrong at most where it touches a corner. */
static bool is_in_cell(const nw_chord *line, const cell *c)
{
    nw_node a = line->low, b = line->high;
    if (b.x < c->x || a.x >= c->x + c->size || larger(a.y, b.y) < c->y ||
        smaller(a.y, b.y) >= c->y + c->size)
        return false;
    int64_t dx = (int64_t)b.x - a.x, dy = (int64_t)b.y - a.y;
    int64_t side = dx * (2 * (c->y - a.y) + c->size - 1) - dy * (2 * (c->x - a.x) + c->size - 1);
    return llabs(side) <= c->size * (dx + llabs(dy));
}

/* Whether the line passes the square round p. Its ends are squares' middles, so only a corner can
 * lie on the border; the lower left one is the square's own. */
static bool is_through(const nw_chord *line, nw_node p)
{
    nw_node a = line->low, b = line->high;
    if (p.x < a.x || p.x > b.x || p.y < smaller(a.y, b.y) || p.y > larger(a.y, b.y))
        return false;
    int64_t dx = (int64_t)b.x - a.x, dy = (int64_t)b.y - a.y;
    int64_t side = 2 * nw_nodes_side(a, b, p);
    return llabs(side) < dx + llabs(dy) || side + dy - dx == 0;
}

/* start + the share over / under of the way by, rounded to the nearest; halves go up. */
static int32_t rounded(int32_t start, int64_t by, int64_t over, int64_t under)
{
    double near = (double)by * ((double)over / (double)under) + 0.5;
    if (fabs(near - round(near)) > 1e-5)
        return start + (int32_t)floor(near);
    wide up = 2 * (wide)over * by + under, down = 2 * (wide)under;
    wide whole = up / down - (up % down < 0);
    return start + (int32_t)whole;
}

/* The square in which the insides of two lines cross. */
static bool lines_cross(const nw_chord *p, const nw_chord *q, nw_node *at)
{
    if (p->high.x < q->low.x || q->high.x < p->low.x ||
        larger(p->low.y, p->high.y) < smaller(q->low.y, q->high.y) ||
        larger(q->low.y, q->high.y) < smaller(p->low.y, p->high.y))
        return false;
    int64_t low = nw_nodes_side(p->low, p->high, q->low);
    int64_t high = nw_nodes_side(p->low, p->high, q->high);
    if (!((low < 0 && high > 0) || (low > 0 && high < 0)))
        return false;
    int64_t over = nw_nodes_side(q->low, q->high, p->low);
    int64_t end = nw_nodes_side(q->low, q->high, p->high);
    if (!((over < 0 && end > 0) || (over > 0 && end < 0)))
        return false;
    int64_t under = over - end;
    over = under < 0 ? -over : over;
    under = llabs(under);
    at->x = rounded(p->low.x, (int64_t)p->high.x - p->low.x, over, under);
    at->y = rounded(p->low.y, (int64_t)p->high.y - p->low.y, over, under);
    return true;
}

/* ---- cells ----------------------------------------------------------------------------------- */

static bool spot_add(noder *n, const cell *c, nw_node at)
{
    return at.x < c->x || at.x >= c->x + c->size || at.y < c->y || at.y >= c->y + c->size ||
           nw_push(&n->spots, &n->spot_count, &n->spot_capacity, &at, sizeof at);
}

static int by_place(const void *p, const void *q)
{
    return nw_nodes_order(*(const nw_node *)p, *(const nw_node *)q); /* of hot squares too */
}

static bool spots_find(noder *n, const cell *c, size_t first, size_t count)
{
    n->spot_count = 0;
    for (size_t i = 0; i < count; i++) {
        const nw_chord *line = line_of(n, first + i);
        if (!spot_add(n, c, line->low) || !spot_add(n, c, line->high))
            return false;
        for (size_t j = 0; j < i && (c->size > 1 || !n->spot_count); j++) {
            nw_node at;
            if (lines_cross(line, line_of(n, first + j), &at) && !spot_add(n, c, at))
                return false;
        }
    }
    nw_sort(n->spots, n->spot_count, sizeof *n->spots, by_place);
    return true;
}

static bool square_add(noder *n, nw_node at, size_t first, size_t count)
{
    hot_square square = {at, (uint32_t)n->pass_count, 0};
    if (!nw_grow(&n->passes, &n->pass_capacity, n->pass_count + count, sizeof *n->passes))
        return nw_ran_out(n->all);
    for (size_t i = first; i < first + count; i++) {
        if (is_through(line_of(n, i), at)) {
            n->passes[n->pass_count++] = n->lists[i];
            n->all->lines[n->lists[i]].count++;
            square.count++;
        }
    }
    return nw_push(&n->hot, &n->hot_count, &n->hot_capacity, &square, sizeof square) ||
           nw_ran_out(n->all);
}

/* Beyond the limits of time or memory. */
static bool is_too_much(const noder *n)
{
    double more = n->all->more;
    if (n->tests <= MOST_TESTS * more && (double)n->pass_count <= MOST_PASSES * more)
        return false;
    n->all->status = nw_fail_advised(n->all->error, NW_BAD_INPUT, NW_ADVICE_SIMPLER,
                                     "the drawing is too complicated: too many of its outlines "
                                     "cross or lie along one another");
    return true;
}

static bool cell_finish(noder *n, const cell *c, size_t first, size_t count)
{
    n->tests += (double)count * (double)count / 2;
    if (is_too_much(n) || !(spots_find(n, c, first, count) || nw_ran_out(n->all)))
        return false;
    n->tests += (double)n->spot_count * (double)count;
    bool good = true;
    for (size_t i = 0; i < n->spot_count && good; i++) {
        good = (i && nw_nodes_same(n->spots[i], n->spots[i - 1])) ||
               (!is_too_much(n) && square_add(n, n->spots[i], first, count));
    }
    return good;
}

/* losses: how many divisions in a row were no gain. */
static bool cell_divide(noder *n, cell c, size_t first, size_t count, int losses)
{
    if (count <= FEW_LINES || c.size == 1 || losses == 2)
        return cell_finish(n, &c, first, count);
    size_t starts[5] = {n->list_count};
    cell quarters[4];
    double pairs = 0;
    n->tests += 4 * (double)count;
    if (is_too_much(n))
        return false;
    if (!nw_grow(&n->lists, &n->list_capacity, n->list_count + 4 * count, sizeof *n->lists))
        return nw_ran_out(n->all);
    for (int k = 0; k < 4; k++) {
        int64_t half = c.size / 2;
        quarters[k] = (cell){c.x + (k & 1) * half, c.y + (k >> 1) * half, half};
        for (size_t i = first; i < first + count; i++)
            if (is_in_cell(line_of(n, i), &quarters[k]))
                n->lists[n->list_count++] = n->lists[i];
        starts[k + 1] = n->list_count;
        pairs += nw_power((double)(starts[k + 1] - starts[k]), 2);
    }
    losses = pairs > GAIN * (double)count * (double)count ? losses + 1 : 0;
    bool good = true;
    for (int k = 0; k < 4 && good; k++)
        good = cell_divide(n, quarters[k], starts[k], starts[k + 1] - starts[k], losses);
    n->list_count = starts[0];
    return good;
}

/* ---- nodes and lines ------------------------------------------------------------------------- */

/* A line that runs downwards meets the nodes of one column from the top. */
static void columns_turn(const nw_arrangement *all, const nw_chord_line *line)
{
    uint32_t *along = &all->along[line->first];
    for (uint32_t i = 0, end; i < line->count; i = end) {
        end = i + 1;
        while (end < line->count && all->nodes[along[end]].x == all->nodes[along[i]].x)
            end++;
        for (uint32_t j = i, k = end; j + 1 < k; j++) {
            uint32_t node = along[j];
            along[j] = along[--k];
            along[k] = node;
        }
    }
}

static bool nodes_number(noder *n)
{
    nw_arrangement *all = n->all;
    all->node_count = n->hot_count;
    all->nodes = nw_room(all, n->hot_count, sizeof *all->nodes);
    all->along = nw_room(all, n->pass_count, sizeof *all->along);
    if (!all->nodes || !all->along)
        return false;
    nw_sort(n->hot, n->hot_count, sizeof *n->hot, by_place);
    uint32_t first = 0;
    for (size_t i = 0; i < all->line_count; i++) {
        all->lines[i].first = first;
        first += all->lines[i].count;
        all->lines[i].count = 0;
    }
    for (uint32_t i = 0; i < n->hot_count; i++) {
        all->nodes[i] = n->hot[i].at;
        for (uint32_t k = 0; k < n->hot[i].count; k++) {
            nw_chord_line *line = &all->lines[n->passes[n->hot[i].first + k]];
            all->along[line->first + line->count++] = i;
        }
    }
    for (size_t i = 0; i < all->line_count; i++) {
        const nw_chord *chord = &all->chords[all->lines[i].chord];
        if (chord->high.y < chord->low.y)
            columns_turn(all, &all->lines[i]);
    }
    return true;
}

bool nw_lines_node(nw_arrangement *all)
{
    noder n = {.all = all};
    cell whole = {-(1 << NW_GRID_BITS), -(1 << NW_GRID_BITS), (int64_t)2 << NW_GRID_BITS};
    bool good =
        nw_grow(&n.lists, &n.list_capacity, all->line_count, sizeof *n.lists) || nw_ran_out(all);
    for (; good && n.list_count < all->line_count; n.list_count++)
        n.lists[n.list_count] = (uint32_t)n.list_count;
    good = good && cell_divide(&n, whole, 0, n.list_count, 0) && nodes_number(&n);
    free(n.lists);
    free(n.spots);
    free(n.hot);
    free(n.passes);
    return good;
}
