/*
 * Outlines of the art and the sheet -> the rings that bound what the sheet has round the art. Where
 * the art comes as near to the sheet's edge as NW_FLUSH_MM there is no stock between them: those of
 * its points move onto the edge, what of its outlines then runs along the edge is weighed against
 * the edge itself, and what is left of both is joined to rings anew, those that touch in a point
 * kept apart.
 */
#include <fit/border.h>

#include <math.h>
#include <stdlib.h>

enum { SIDES = 4 }; /* bottom, right, top, left: as the sheet's outline runs */

/* A place on the sheet's outline; a corner belongs to the side that begins there. */
typedef struct {
    int side;
    double at; /* along the side's direction: x, y, -x or -y */
    nw_point point;
} mark;

/* A run of the art's outline from edge to edge, or a piece of the edge between two marks. */
typedef struct {
    size_t from, to; /* marks */
    size_t ring;     /* of the region, or NONE: the points are those of the marks */
    size_t first, steps;
    nw_point out, in; /* directions at its ends */
    bool used;
} chain;

#define NONE SIZE_MAX

typedef struct {
    nw_region art; /* turned round, its points moved onto the edge */
    const nw_box *sheet;
    mark *marks;
    size_t mark_count, mark_capacity;
    int *layers;   /* from each mark to the next: how often the edge bounds stock there */
    chain *chains; /* by where they start */
    size_t chain_count, chain_capacity;
    nw_region_builder rings;
} sheet_work;

static double onto(double value, double low, double high)
{
    return fabs(value - low) <= NW_FLUSH_MM    ? low
           : fabs(value - high) <= NW_FLUSH_MM ? high
                                               : value;
}

static bool on_edge(const nw_box *sheet, nw_point p)
{
    return p.x == sheet->min.x || p.x == sheet->max.x || p.y == sheet->min.y || p.y == sheet->max.y;
}

static mark mark_of(const nw_box *sheet, nw_point p)
{
    if (p.y == sheet->min.y && p.x < sheet->max.x)
        return (mark){0, p.x, p};
    if (p.x == sheet->max.x && p.y < sheet->max.y)
        return (mark){1, p.y, p};
    if (p.y == sheet->max.y && p.x > sheet->min.x)
        return (mark){2, -p.x, p};
    return (mark){3, -p.y, p};
}

static int mark_order(const void *left, const void *right)
{
    const mark *a = left, *b = right;
    return a->side != b->side ? a->side - b->side : (a->at > b->at) - (a->at < b->at);
}

static size_t mark_number(const sheet_work *work, nw_point p)
{
    mark one = mark_of(work->sheet, p);
    const mark *found =
        bsearch(&one, work->marks, work->mark_count, sizeof *work->marks, mark_order);
    return (size_t)(found - work->marks);
}

static bool mark_add(sheet_work *work, nw_point p)
{
    mark one = mark_of(work->sheet, p);
    return nw_push(&work->marks, &work->mark_count, &work->mark_capacity, &one, sizeof one);
}

static bool marks_make(sheet_work *work)
{
    const nw_box *s = work->sheet;
    nw_point corners[SIDES] = {s->min, {s->max.x, s->min.y}, s->max, {s->min.x, s->max.y}};
    bool good = true;
    for (int k = 0; k < SIDES; k++)
        good = good && mark_add(work, corners[k]);
    size_t points = work->art.count ? work->art.starts[work->art.count] : 0;
    for (size_t i = 0; i < points; i++)
        if (on_edge(s, work->art.points[i]))
            good = good && mark_add(work, work->art.points[i]);
    if (!good)
        return false;
    nw_sort(work->marks, work->mark_count, sizeof *work->marks, mark_order);
    size_t kept = 1;
    for (size_t k = 1; k < work->mark_count; k++)
        if (mark_order(&work->marks[k], &work->marks[kept - 1]))
            work->marks[kept++] = work->marks[k];
    work->mark_count = kept;
    work->layers = nw_alloc(kept, sizeof *work->layers);
    for (size_t k = 0; work->layers && k < kept; k++)
        work->layers[k] = 1;
    return work->layers != NULL;
}

/* ---- the art's outlines from edge to edge ---------------------------------------------------- */

static nw_point ring_point(const nw_region *region, size_t ring, size_t i)
{
    size_t first = region->starts[ring], count = region->starts[ring + 1] - first;
    return region->points[first + i % count];
}

static bool chain_add(sheet_work *work, chain one)
{
    return nw_push(&work->chains, &work->chain_count, &work->chain_capacity, &one, sizeof one);
}

/* A step of the art along one side, taken off the edge's layers, or put onto them where it runs as
 * the edge does. */
static void layers_count(sheet_work *work, size_t from, size_t to, nw_point a, nw_point b)
{
    const nw_box *s = work->sheet;
    bool with = a.y == b.y ? (b.x > a.x) == (a.y == s->min.y) : (b.y > a.y) == (a.x == s->max.x);
    size_t first = with ? from : to, last = with ? to : from;
    for (size_t k = first; k != last; k = (k + 1) % work->mark_count)
        work->layers[k] += with ? 1 : -1;
}

static bool same_side(const nw_box *s, nw_point a, nw_point b)
{
    return (a.x == b.x && (a.x == s->min.x || a.x == s->max.x)) ||
           (a.y == b.y && (a.y == s->min.y || a.y == s->max.y));
}

static bool run_add(sheet_work *work, size_t ring, size_t first, size_t steps)
{
    nw_point a = ring_point(&work->art, ring, first), b = ring_point(&work->art, ring, first + 1);
    nw_point end = ring_point(&work->art, ring, first + steps);
    size_t from = mark_number(work, a), to = mark_number(work, end);
    if (steps == 1 && (from == to || same_side(work->sheet, a, b))) {
        if (from != to)
            layers_count(work, from, to, a, b);
        return true;
    }
    nw_point before = ring_point(&work->art, ring, first + steps - 1);
    return chain_add(work, (chain){.from = from,
                                   .to = to,
                                   .ring = ring,
                                   .first = first,
                                   .steps = steps,
                                   .out = nw_unit(a, b),
                                   .in = nw_unit(before, end)});
}

static bool ring_copy(nw_region_builder *rings, const nw_region *from, size_t ring)
{
    if (!nw_region_begin_ring(rings, 0))
        return false;
    bool good = true;
    for (size_t i = from->starts[ring]; good && i < from->starts[ring + 1]; i++)
        good = nw_region_add_point(rings, from->points[i]);
    nw_region_end_ring(rings);
    return good;
}

/* A ring that keeps off the edge stays as it is. */
static bool ring_split(sheet_work *work, size_t ring)
{
    const nw_region *art = &work->art;
    size_t count = art->starts[ring + 1] - art->starts[ring], first = 0;
    while (first < count && !on_edge(work->sheet, ring_point(art, ring, first)))
        first++;
    if (first == count)
        return ring_copy(&work->rings, art, ring);
    bool good = true;
    for (size_t from = first, i = first + 1; good && i <= first + count; i++) {
        if (!on_edge(work->sheet, ring_point(art, ring, i)))
            continue;
        good = run_add(work, ring, from, i - from);
        from = i;
    }
    return good;
}

static bool edge_chains(sheet_work *work)
{
    bool good = true;
    for (size_t k = 0; k < work->mark_count; k++) {
        size_t next = (k + 1) % work->mark_count;
        bool with = work->layers[k] > 0;
        chain one = {.from = with ? k : next, .to = with ? next : k, .ring = NONE, .steps = 1};
        one.out = one.in = nw_unit(work->marks[one.from].point, work->marks[one.to].point);
        for (int n = abs(work->layers[k]); good && n > 0; n--)
            good = chain_add(work, one);
    }
    return good;
}

/* ---- joined to rings ------------------------------------------------------------------------- */

static int chain_order(const void *left, const void *right)
{
    const chain *a = left, *b = right;
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    if (a->ring != b->ring)
        return a->ring < b->ring ? -1 : 1;
    return (a->first > b->first) - (a->first < b->first);
}

/* Of the chains that start where this one ends, the one furthest to the left. */
static size_t chain_next(const sheet_work *work, const chain *one, size_t start)
{
    size_t low = 0, high = work->chain_count, best = NONE;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (work->chains[middle].from < one->to)
            low = middle + 1;
        else
            high = middle;
    }
    double most = -INFINITY;
    for (size_t k = low; k < work->chain_count && work->chains[k].from == one->to; k++) {
        nw_point out = work->chains[k].out;
        double turn = nw_angle(one->in, out);
        if ((work->chains[k].used && k != start) || turn <= most)
            continue;
        most = turn;
        best = k;
    }
    return best;
}

/* All points of a chain but its last. */
static bool points_add(sheet_work *work, const chain *one)
{
    bool good = true;
    for (size_t i = 0; good && i < one->steps; i++)
        good = nw_region_add_point(
            &work->rings, one->ring == NONE ? work->marks[one->from].point
                                            : ring_point(&work->art, one->ring, one->first + i));
    return good;
}

static bool rings_join(sheet_work *work)
{
    bool good = true;
    nw_sort(work->chains, work->chain_count, sizeof *work->chains, chain_order);
    for (size_t start = 0; good && start < work->chain_count; start++) {
        if (work->chains[start].used)
            continue;
        if (!nw_region_begin_ring(&work->rings, 0))
            return false;
        size_t k = start;
        do {
            work->chains[k].used = true;
            good = points_add(work, &work->chains[k]);
            k = chain_next(work, &work->chains[k], start);
        } while (good && k != start && k != NONE);
        nw_region_end_ring(&work->rings);
    }
    return good;
}

static bool art_make(sheet_work *work, const nw_region *region)
{
    bool good = true;
    nw_region_builder art = {0};
    for (size_t k = 0; good && k < region->count; k++) {
        if (!nw_region_begin_ring(&art, 0)) {
            good = false;
            break;
        }
        for (size_t i = region->starts[k + 1]; good && i-- > region->starts[k];) {
            nw_point p = region->points[i];
            p.x = onto(p.x, work->sheet->min.x, work->sheet->max.x);
            p.y = onto(p.y, work->sheet->min.y, work->sheet->max.y);
            good = nw_region_add_point(&art, p);
        }
        nw_region_end_ring(&art);
    }
    work->art = art.region;
    return good;
}

nw_status nw_sheet_rings(const nw_region *region, const nw_box *sheet, nw_region *rings,
                         nw_error *error)
{
    sheet_work work = {.sheet = sheet};
    bool good = art_make(&work, region) && marks_make(&work);
    for (size_t k = 0; good && k < work.art.count; k++)
        good = ring_split(&work, k);
    good = good && edge_chains(&work) && rings_join(&work);
    nw_region_free(&work.art);
    free(work.marks);
    free(work.layers);
    free(work.chains);
    *rings = work.rings.region;
    if (good)
        return NW_OK;
    nw_region_free(rings);
    return nw_fail_memory(error, "the sheet's edge");
}
