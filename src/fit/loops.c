/*
 * Walls and contact arcs -> closed loops with their areas.
 *
 * Where a passage is short the discs from both sides overlap, and contact arcs cross. There each
 * arc is cut and the two swap what follows: what is left are loops round what stays uncovered,
 * and loops the other way round where both discs lie, the lenses, which are nothing.
 */
#include <fit/residue.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Crossings this near an end of an arc are the end itself: feet that two arcs share. */
#define CROSS_SKIN_MM 1e-9

/* What arcs bound from inside is a place where the disc fits; with less than this share of the
 * disc's area it is where the ends of a wall met within the slack. */
#define HOLE_LEAST 0.5

typedef struct {
    uint32_t arc, crossing;
    double sweep;
    bool second;
} cut;

typedef struct {
    nw_loops *loops;
    cut *cuts;
    size_t count, capacity;
    uint32_t crossing_count;
} cutting;

static nw_edge *edge_add(nw_loops *loops)
{
    nw_edge edge = {.next = NW_NOWHERE, .loop = NW_NOWHERE};
    bool good =
        nw_push(&loops->edges, &loops->edge_count, &loops->edge_capacity, &edge, sizeof edge);
    return good ? &loops->edges[loops->edge_count - 1] : NULL;
}

/* The arcs that follow walls, of the corners or of the others, in the walls' order. */
static bool arcs_make(nw_loops *loops, bool corners)
{
    const nw_walls *walls = loops->walls;
    for (uint32_t w = 0; w < walls->count; w++) {
        const nw_wall *wall = &walls->walls[w];
        if (!nw_wall_has_arc(walls, w))
            continue;
        if ((wall->next == w && nw_wall_is_corner(walls->border, wall)) != corners)
            continue;
        nw_point to = walls->walls[wall->next].first;
        nw_edge *edge = edge_add(loops);
        if (!edge)
            return false;
        double sweep = nw_clockwise(wall->after, wall->last, to);
        *edge = (nw_edge){true, w, wall->after, wall->last, to, sweep, wall->next, NW_NOWHERE};
        loops->edges[w].next = (uint32_t)loops->edge_count - 1;
    }
    return true;
}

/* Edge w is wall w; then come the arcs, those of corners first, which nothing crosses: *crossing is
 * the first that something may. */
static bool edges_make(nw_loops *loops, uint32_t *crossing)
{
    const nw_walls *walls = loops->walls;
    if (!nw_grow(&loops->edges, &loops->edge_capacity, 2 * walls->count, sizeof *loops->edges))
        return false;
    for (uint32_t w = 0; w < walls->count; w++) {
        nw_edge *edge = edge_add(loops);
        if (!edge)
            return false;
        edge->wall = w;
        edge->next = walls->walls[w].next;
    }
    if (!arcs_make(loops, true))
        return false;
    *crossing = (uint32_t)loops->edge_count;
    return arcs_make(loops, false);
}

/* ---- crossings ----------------------------------------------------------------------------- */

static nw_box arc_box(const nw_edge *arc, double radius)
{
    double half = fmin(arc->sweep / 2, 1.5707963267948966);
    double bulge = arc->sweep > NW_PI ? radius : radius * (1 - nw_cos(half));
    return nw_box_of(arc->from, arc->to, bulge);
}

/* The sweep at which p lies on the arc, negative where it does not. */
static double arc_at(const nw_edge *arc, nw_point p)
{
    if (nw_distance(p, arc->from) < CROSS_SKIN_MM || nw_distance(p, arc->to) < CROSS_SKIN_MM)
        return -1;
    double sweep = nw_clockwise(arc->centre, arc->from, p);
    return sweep < arc->sweep ? sweep : -1;
}

static bool cut_add(cutting *work, uint32_t a, uint32_t b, nw_point p)
{
    const nw_edge *edges = work->loops->edges;
    double at_a = arc_at(&edges[a], p), at_b = arc_at(&edges[b], p);
    if (at_a < 0 || at_b < 0)
        return true;
    if (!nw_grow(&work->cuts, &work->capacity, work->count + 2, sizeof *work->cuts))
        return false;
    work->cuts[work->count++] = (cut){a, work->crossing_count, at_a, false};
    work->cuts[work->count++] = (cut){b, work->crossing_count++, at_b, true};
    return true;
}

static bool pair_cut(cutting *work, uint32_t a, uint32_t b, double radius)
{
    const nw_edge *one = &work->loops->edges[a], *other = &work->loops->edges[b];
    nw_point between = nw_minus(other->centre, one->centre);
    double half = nw_length(between) / 2;
    if (half >= radius || half < NW_MERGE_MM)
        return true;
    nw_point middle = nw_plus(one->centre, between, 0.5), side = nw_left(between);
    double reach = sqrt(radius * radius - half * half) / (2 * half);
    return cut_add(work, a, b, nw_plus(middle, side, reach)) &&
           cut_add(work, a, b, nw_plus(middle, side, -reach));
}

static bool crossings_find(cutting *work, const nw_tree *tree, uint32_t first)
{
    double radius = work->loops->walls->roll->radius;
    for (uint32_t a = first; a < work->loops->edge_count; a++) {
        nw_walk walk;
        uint32_t other;
        nw_box box = arc_box(&work->loops->edges[a], radius);
        nw_walk_start(&walk, tree, box, work->loops->edges[a].from);
        while (nw_walk_next(&walk, &other))
            if (other + first > a && !pair_cut(work, a, other + first, radius))
                return false;
    }
    return true;
}

static int cuts_order(const void *a, const void *b)
{
    const cut *p = a, *q = b;
    if (p->arc != q->arc)
        return nw_order(p->arc, q->arc);
    return p->sweep != q->sweep ? nw_order(p->sweep, q->sweep) : nw_order(p->crossing, q->crossing);
}

static nw_point arc_point(const nw_edge *arc, double sweep)
{
    nw_point spoke = nw_minus(arc->from, arc->centre);
    return nw_plus(arc->centre, nw_turned(spoke, nw_cos(sweep), -nw_sin(sweep)), 1);
}

/* Splits the arc of cuts[k] there: the part before keeps its index, the rest is a new edge, and
 * later cuts of the same arc move on to it. Returns the new edge. */
static uint32_t arc_split(cutting *work, size_t k)
{
    nw_loops *loops = work->loops;
    cut here = work->cuts[k];
    if (!edge_add(loops))
        return NW_NOWHERE;
    uint32_t rest = (uint32_t)loops->edge_count - 1;
    nw_edge *arc = &loops->edges[here.arc], *after = &loops->edges[rest];
    *after = *arc;
    after->from = arc->to = arc_point(arc, here.sweep);
    after->sweep = arc->sweep - here.sweep;
    arc->sweep = here.sweep;
    for (size_t m = k + 1; m < work->count && work->cuts[m].arc == here.arc; m++) {
        work->cuts[m].arc = rest;
        work->cuts[m].sweep -= here.sweep;
    }
    arc->next = rest;
    return rest;
}

static bool crossings_cut(cutting *work)
{
    typedef struct {
        uint32_t in[2], out[2];
    } swap;
    swap *swaps = nw_alloc(work->crossing_count, sizeof *swaps);
    bool good = swaps != NULL;
    for (size_t k = 0; good && k < work->count; k++) {
        cut here = work->cuts[k];
        uint32_t rest = arc_split(work, k);
        good = rest != NW_NOWHERE;
        if (good) {
            swaps[here.crossing].in[here.second] = here.arc;
            swaps[here.crossing].out[here.second] = rest;
        }
    }
    for (uint32_t c = 0; good && c < work->crossing_count; c++) {
        work->loops->edges[swaps[c].in[0]].next = swaps[c].out[1];
        work->loops->edges[swaps[c].in[1]].next = swaps[c].out[0];
    }
    free(swaps);
    return good;
}

static nw_status cross_all(nw_loops *loops, uint32_t first, nw_error *error)
{
    cutting work = {.loops = loops};
    nw_tree tree = {0};
    size_t arcs = loops->edge_count - first;
    nw_box *boxes = nw_alloc(arcs, sizeof *boxes);
    if (!boxes)
        return nw_fail_memory(error, "the contact arcs");
    for (size_t k = 0; k < arcs; k++)
        boxes[k] = arc_box(&loops->edges[first + k], loops->walls->roll->radius);
    nw_status status = nw_tree_make(boxes, arcs, &tree, error);
    free(boxes);
    if (status == NW_OK) {
        bool good = crossings_find(&work, &tree, first);
        if (good)
            nw_sort(work.cuts, work.count, sizeof *work.cuts, cuts_order);
        if (!good || !crossings_cut(&work))
            status = nw_fail_memory(error, "the contact arcs");
    }
    free(work.cuts);
    nw_tree_free(&tree);
    return status;
}

/* ---- loops ---------------------------------------------------------------------------------- */

static double twice_area(const nw_loops *loops, const nw_edge *edge, nw_point origin)
{
    const nw_border *border = loops->walls->border;
    double radius = loops->walls->roll->radius;
    nw_point a = nw_minus(edge->from, origin), b = nw_minus(edge->to, origin);
    if (edge->arc)
        return nw_cross(nw_minus(edge->centre, origin), nw_minus(b, a)) -
               radius * radius * edge->sweep;
    const nw_wall *wall = &loops->walls->walls[edge->wall];
    double twice = 0;
    nw_point last = nw_minus(wall->first, origin);
    for (uint32_t i = wall->segment, k = 0; k < wall->span; k++) {
        i = border->next[i];
        nw_point p = nw_minus(border->points[i], origin);
        twice += nw_cross(last, p);
        last = p;
    }
    return twice + nw_cross(last, nw_minus(wall->last, origin));
}

static nw_loop_kind kind_of(const nw_loop *loop, bool arcs, double radius)
{
    if (loop->area >= 0)
        return NW_LOOP_OUTER;
    bool nothing = loop->wall_length < NW_ARC_LEAST_MM ||
                   (arcs && -loop->area < HOLE_LEAST * NW_PI * radius * radius);
    return nothing ? NW_LOOP_LENS : NW_LOOP_HOLE;
}

static bool loop_trace(nw_loops *loops, uint32_t first)
{
    if (!nw_grow(&loops->loops, &loops->loop_capacity, loops->loop_count + 1, sizeof *loops->loops))
        return false;
    uint32_t index = (uint32_t)loops->loop_count++;
    nw_loop loop = {.edge = first, .ring = loops->wall_ring[loops->edges[first].wall]};
    nw_point origin = loops->walls->walls[loops->edges[first].wall].first;
    double twice = 0, gap = 0;
    nw_point last = {0, 0};
    bool arcs = false;
    uint32_t e = first;
    do {
        nw_edge *edge = &loops->edges[e];
        const nw_wall *wall = &loops->walls->walls[edge->wall];
        nw_point from = edge->arc ? edge->from : wall->first;
        if (e != first)
            gap += nw_cross(nw_minus(last, origin), nw_minus(from, origin));
        last = edge->arc ? edge->to : wall->last;
        arcs = arcs || edge->arc;
        edge->loop = index;
        twice += twice_area(loops, edge, origin);
        if (!edge->arc) {
            loop.ring = loops->wall_ring[edge->wall];
            loop.wall_length += nw_wall_length(loops->walls->border, wall);
        }
        e = edge->next;
    } while (e != first && loops->edges[e].loop == NW_NOWHERE);
    loop.area = (twice + gap) / 2;
    loop.kind = kind_of(&loop, arcs, loops->walls->roll->radius);
    loops->loops[index] = loop;
    return true;
}

/* Walls whose end has no partner lead nowhere; what leads to them is no loop. */
static void rings_number(nw_loops *loops)
{
    const nw_walls *walls = loops->walls;
    memset(loops->wall_ring, 0xff, walls->count * sizeof *loops->wall_ring);
    for (uint32_t w = 0; w < walls->count; w++) {
        if (loops->wall_ring[w] != NW_NOWHERE)
            continue;
        uint32_t v = w, ring = (uint32_t)loops->ring_count;
        while (v != NW_NOWHERE && loops->wall_ring[v] == NW_NOWHERE) {
            loops->wall_ring[v] = ring;
            v = walls->walls[v].next;
        }
        loops->ring_parent[ring] = ring;
        loops->ring_count++;
    }
}

static bool leads_back(const nw_loops *loops, uint32_t first)
{
    size_t steps = 0;
    for (uint32_t e = first; e != NW_NOWHERE && steps <= loops->edge_count; steps++) {
        e = loops->edges[e].next;
        if (e == first)
            return true;
    }
    return false;
}

static bool loops_trace(nw_loops *loops)
{
    for (uint32_t e = 0; e < loops->edge_count; e++) {
        if (loops->edges[e].loop != NW_NOWHERE)
            continue;
        if (loops->walls->unpaired && !leads_back(loops, e))
            continue;
        if (!loop_trace(loops, e))
            return false;
    }
    return true;
}

nw_status nw_loops_make(const nw_walls *walls, nw_loops *loops, nw_error *error)
{
    *loops = (nw_loops){.walls = walls};
    loops->wall_ring = nw_alloc(walls->count, sizeof *loops->wall_ring);
    loops->ring_parent = nw_alloc(walls->count, sizeof *loops->ring_parent);
    nw_status status = NW_OK;
    if (!loops->wall_ring || !loops->ring_parent)
        status = nw_fail_memory(error, "the residues");
    if (status == NW_OK) {
        uint32_t first;
        rings_number(loops);
        status = edges_make(loops, &first) ? cross_all(loops, first, error)
                                           : nw_fail_memory(error, "the residues");
    }
    if (status == NW_OK && !loops_trace(loops))
        status = nw_fail_memory(error, "the residues");
    if (status != NW_OK)
        nw_loops_free(loops);
    return status;
}

void nw_loops_free(nw_loops *loops)
{
    if (!loops)
        return;
    free(loops->edges);
    free(loops->loops);
    free(loops->wall_ring);
    free(loops->ring_parent);
    *loops = (nw_loops){0};
}

uint32_t nw_ring_root(const nw_loops *loops, uint32_t ring)
{
    while (loops->ring_parent[ring] != ring)
        ring = loops->ring_parent[ring];
    return ring;
}

void nw_rings_join(nw_loops *loops, uint32_t a, uint32_t b)
{
    a = nw_ring_root(loops, a);
    b = nw_ring_root(loops, b);
    if (a != b)
        loops->ring_parent[a > b ? a : b] = a > b ? b : a;
}
