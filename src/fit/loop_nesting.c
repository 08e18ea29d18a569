/*
 * Hole loops -> the outer loops that they lie in, so that a residue with islands is one.
 *
 * From the leftmost point of a hole a ray goes left through the residue; the edge that it meets
 * first belongs to the loop round it, or to another hole of the same residue whose leftmost
 * point lies further left and is settled already. Edges are sorted into rows by their height, so
 * a ray looks at one row only.
 */
#include <fit/residue.h>

#include <math.h>
#include <stdlib.h>

typedef struct {
    nw_point a, b;
    uint32_t loop;
} side;

typedef struct {
    side *sides;
    size_t side_count, side_capacity;
    size_t *row_start; /* row_count + 1 of them, into row_sides */
    uint32_t *row_sides;
    size_t row_count;
    double low, high, rise; /* rise: of all sides together */
} rows;

typedef struct {
    nw_point leftmost;
    uint32_t loop;
} hole;

static bool side_add(rows *work, nw_point a, nw_point b, uint32_t loop)
{
    if (a.y == b.y)
        return true;
    side one = {a, b, loop};
    if (!nw_push(&work->sides, &work->side_count, &work->side_capacity, &one, sizeof one))
        return false;
    work->rise += fabs(b.y - a.y);
    work->low = fmin(work->low, fmin(a.y, b.y));
    work->high = fmax(work->high, fmax(a.y, b.y));
    return true;
}

static void leftmost_see(hole *found, nw_point p)
{
    if (p.x < found->leftmost.x)
        found->leftmost = p;
}

/* Contact arcs count as chords: between arc and chord lies only the disc. */
static bool edge_sides(rows *work, const nw_loops *loops, const nw_edge *edge, hole *found)
{
    leftmost_see(found, edge->arc ? edge->from : loops->walls->walls[edge->wall].first);
    if (edge->arc)
        return side_add(work, edge->from, edge->to, edge->loop);
    const nw_border *border = loops->walls->border;
    const nw_wall *wall = &loops->walls->walls[edge->wall];
    nw_point last = wall->first;
    uint32_t i = wall->segment;
    for (uint32_t k = 0; k < wall->span; k++) {
        i = border->next[i];
        leftmost_see(found, border->points[i]);
        if (!side_add(work, last, border->points[i], edge->loop))
            return false;
        last = border->points[i];
    }
    return side_add(work, last, wall->last, edge->loop);
}

static bool sides_gather(rows *work, const nw_loops *loops, hole *holes, size_t *hole_count)
{
    for (uint32_t l = 0; l < loops->loop_count; l++) {
        const nw_loop *loop = &loops->loops[l];
        if (loop->kind == NW_LOOP_LENS)
            continue;
        hole found = {{INFINITY, 0}, l};
        uint32_t e = loop->edge;
        do {
            if (!edge_sides(work, loops, &loops->edges[e], &found))
                return false;
            e = loops->edges[e].next;
        } while (e != loop->edge);
        if (loop->kind == NW_LOOP_HOLE)
            holes[(*hole_count)++] = found;
    }
    return true;
}

static size_t row_of(const rows *work, double y)
{
    double row = (y - work->low) / (work->high - work->low) * (double)work->row_count;
    return row <= 0 ? 0 : row >= (double)work->row_count ? work->row_count - 1 : (size_t)row;
}

/* Counting sort of sides into the rows that they reach: so many rows that a row holds few sides
 * and a side reaches few rows. */
static bool rows_make(rows *work)
{
    double sides = (double)work->side_count, few = sides / 8;
    if (work->rise > 0)
        few = fmin(few, 4 * sides * (work->high - work->low) / work->rise);
    work->row_count = 1 + (size_t)few;
    work->row_start = nw_alloc(work->row_count + 2, sizeof *work->row_start);
    if (!work->row_start)
        return false;
    size_t total = 0;
    for (size_t s = 0; s < work->side_count; s++) {
        size_t a = row_of(work, work->sides[s].a.y), b = row_of(work, work->sides[s].b.y);
        for (size_t row = a < b ? a : b; row <= (a < b ? b : a); row++, total++)
            work->row_start[row + 2]++;
    }
    work->row_sides = nw_alloc(total, sizeof *work->row_sides);
    if (!work->row_sides)
        return false;
    for (size_t row = 2; row < work->row_count + 2; row++)
        work->row_start[row] += work->row_start[row - 1];
    for (size_t s = 0; s < work->side_count; s++) {
        size_t a = row_of(work, work->sides[s].a.y), b = row_of(work, work->sides[s].b.y);
        for (size_t row = a < b ? a : b; row <= (a < b ? b : a); row++)
            work->row_sides[work->row_start[row + 1]++] = (uint32_t)s;
    }
    return true;
}

static bool same_place(nw_point a, nw_point b)
{
    return a.x == b.x && a.y == b.y;
}

/* The loop whose side a ray from p to the left meets first; the one around where it has a corner at
 * p, which a ray may pass by where both sides end there. Another hole that begins at p is not left
 * of it. */
static uint32_t loop_left_of(const nw_loops *loops, const rows *work, nw_point p, uint32_t self)
{
    size_t row = row_of(work, p.y);
    uint32_t loop = NW_NOWHERE;
    double nearest = -INFINITY;
    for (size_t k = work->row_start[row]; k < work->row_start[row + 1]; k++) {
        const side *s = &work->sides[work->row_sides[k]];
        if (s->loop == self)
            continue;
        if (same_place(s->a, p) || same_place(s->b, p)) {
            if (loops->loops[s->loop].kind == NW_LOOP_HOLE)
                continue;
            return s->loop;
        }
        if ((s->a.y > p.y) == (s->b.y > p.y))
            continue;
        double x = s->a.x + (p.y - s->a.y) * (s->b.x - s->a.x) / (s->b.y - s->a.y);
        if (x <= p.x && x > nearest) {
            nearest = x;
            loop = s->loop;
        }
    }
    return loop;
}

static int holes_order(const void *a, const void *b)
{
    const hole *p = a, *q = b;
    return p->leftmost.x != q->leftmost.x ? nw_order(p->leftmost.x, q->leftmost.x)
                                          : nw_order(p->loop, q->loop);
}

static void holes_join(nw_loops *loops, const rows *work, const hole *holes, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        uint32_t l = holes[k].loop, around = loop_left_of(loops, work, holes[k].leftmost, l);
        if (around == NW_NOWHERE)
            loops->loops[l].kind = NW_LOOP_LENS;
        else
            nw_rings_join(loops, loops->loops[l].ring, loops->loops[around].ring);
    }
}

nw_status nw_loops_nest(nw_loops *loops, nw_error *error)
{
    size_t expected = 0, hole_count = 0;
    for (size_t l = 0; l < loops->loop_count; l++)
        expected += loops->loops[l].kind == NW_LOOP_HOLE;
    if (expected == 0)
        return NW_OK;
    rows work = {.low = INFINITY, .high = -INFINITY};
    hole *holes = nw_alloc(expected, sizeof *holes);
    bool good = holes && sides_gather(&work, loops, holes, &hole_count) && rows_make(&work);
    if (good) {
        nw_sort(holes, hole_count, sizeof *holes, holes_order);
        holes_join(loops, &work, holes, hole_count);
    }
    free(holes);
    free(work.sides);
    free(work.row_start);
    free(work.row_sides);
    return good ? NW_OK : nw_fail_memory(error, "the residues");
}
