/*
 * restore: a ring of edges -> a path whose stretches along one line or curve are that step's exact
 * part again.
 *
 * Each edge knows the chords that run along it, and so the steps and parameters of its ends. A run
 * of edges along one step, in order, becomes the step's part between its two parameters (Ramshaw's
 * blossoms, 1987); a whole step comes back to the last digit.
 */
#include <solid/arrange.h>

#include <stdlib.h>

#define ROUNDS 5
#define LEAST_TURN 1e-3   /* of two steps that cross; others part along the way */
#define CUT_OF_FLATNESS 4 /* from the chords' crossing to the steps' */

/* Part of a step, from parameter `from` to `to`, which is less when it runs backwards. */
typedef struct {
    uint32_t step;
    double from, to;
} part;

/* The parameter of a node on a chord. */
static double parameter_of(const nw_arrangement *all, const nw_chord *chord, nw_node node)
{
    nw_node low = chord->low, high = chord->high;
    double dx = (double)high.x - low.x, dy = (double)high.y - low.y;
    double along =
        (((double)node.x - low.x) * dx + ((double)node.y - low.y) * dy) / (dx * dx + dy * dy);
    double at = nw_nodes_same(node, low) ? chord->at_low
                : nw_nodes_same(node, high)
                    ? chord->at_high
                    : chord->at_low + along * (chord->at_high - chord->at_low);
    return at / all->steps[chord->step].cuts;
}

static bool goes_on(part before, part now)
{
    return before.step == now.step && before.to == now.from &&
           (before.to > before.from) == (now.to > now.from);
}

/* The part that a half-edge is of: one that goes on from before, else that of its first chord. */
static part part_of(const nw_arrangement *all, uint32_t half, const part *before)
{
    nw_node from = all->nodes[nw_half_from(all, half)];
    nw_node to = all->nodes[nw_half_from(all, half ^ 1)];
    const nw_edge *edge = &all->edges[half >> 1];
    part first = {0};
    for (uint32_t i = edge->first; i < edge[1].first; i++) {
        const nw_chord *chord = &all->chords[all->members[i] >> 1];
        part now = {chord->step, parameter_of(all, chord, from), parameter_of(all, chord, to)};
        if (before && goes_on(*before, now))
            return now;
        first = i == edge->first ? now : first;
    }
    return first;
}

static nw_point step_place(const nw_chorded *step, double t)
{
    return t == 0 ? step->from : t == 1 ? step->step.to : nw_step_at(step->from, &step->step, t);
}

nw_place *nw_places_find(nw_arrangement *all)
{
    nw_place *places = nw_room(all, all->node_count, sizeof *places);
    for (size_t i = 0; places && i < all->node_count; i++)
        places[i] = (nw_place){{NAN, NAN}, NW_NO_INDEX, 0};
    for (uint32_t h = 0; places && h < 2 * all->edge_count; h++) {
        uint32_t node = nw_half_from(all, h);
        nw_place *place = &places[node];
        place->borders += nw_is_border(all, h);
        for (uint32_t m = all->edges[h / 2].first; m < all->edges[h / 2 + 1].first; m++) {
            const nw_chord *chord = &all->chords[all->members[m] >> 1];
            double t = parameter_of(all, chord, all->nodes[node]);
            if ((t == 0 || t == 1) && chord->step < place->step) {
                place->at = step_place(&all->steps[chord->step], t);
                place->step = chord->step;
            }
        }
    }
    return places;
}

/* ---- ends ------------------------------------------------------------------------------------ */

static nw_point way_at(const nw_chorded *step, double t)
{
    if (step->step.kind == NW_LINE)
        return nw_minus(step->step.to, step->from);
    nw_point way = nw_minus(nw_step_blossom(step->from, &step->step, 1, t, t),
                            nw_step_blossom(step->from, &step->step, 0, t, t));
    return nw_times(way, 3);
}

/* Where the steps of two runs cross (Newton's method), if that is near their common node. That of
 * two lines stays in the node's square, so places come apart as nodes are. */
static nw_point cut_find(const nw_arrangement *all, part a, part b, nw_point node)
{
    const nw_chorded *p = &all->steps[a.step], *q = &all->steps[b.step];
    double s = a.to, t = b.from;
    for (int i = 0; i < ROUNDS; i++) {
        nw_point u = way_at(p, s), v = way_at(q, t);
        nw_point d = nw_minus(nw_step_at(q->from, &q->step, t), nw_step_at(p->from, &p->step, s));
        double turn = nw_cross(u, v);
        if (!(fabs(turn) > LEAST_TURN * sqrt(nw_dot(u, u) * nw_dot(v, v))))
            return node;
        s += nw_cross(d, v) / turn;
        t += nw_cross(d, u) / turn;
    }
    nw_point cut = nw_step_at(p->from, &p->step, s);
    if (p->step.kind == NW_LINE && q->step.kind == NW_LINE) {
        double half = all->grid * 0.49;
        return (nw_point){fmax(fmin(cut.x, node.x + half), node.x - half),
                          fmax(fmin(cut.y, node.y + half), node.y - half)};
    }
    return nw_distance(cut, node) <= CUT_OF_FLATNESS * all->flatness ? cut : node;
}

/* The place of the node between two runs: before it was rounded to the grid, where a step begins or
 * ends there; else where the two cross. All rings take the same. */
static nw_point place_of(const nw_arrangement *all, nw_place *places, uint32_t half, part before,
                         part after)
{
    uint32_t node = nw_half_from(all, half);
    if (isnan(places[node].at.x)) {
        nw_point at = {(all->nodes[node].x + all->middle_x) * all->grid,
                       (all->nodes[node].y + all->middle_y) * all->grid};
        places[node].at = cut_find(all, before, after, at);
    }
    return places[node].at;
}

/* The parameter nearest to a place that is beside the step by less than its flatness. */
static double nearest(const nw_chorded *step, double t, nw_point place)
{
    for (int i = 0; i < ROUNDS && t != 0 && t != 1; i++) {
        nw_point way = way_at(step, t);
        nw_point off = nw_minus(place, nw_step_at(step->from, &step->step, t));
        double square = nw_dot(way, way), next = t + nw_dot(off, way) / square;
        t = square > 0 && next > 0 && next < 1 ? next : t;
    }
    return t;
}

/* The ends may lie beside the curve by its flatness: each handle goes along, so that the direction
 * stays. Ends that have not moved leave it as it was to the last digit. */
static bool curve_add(nw_path *path, const nw_chorded *whole, part p, nw_point from, nw_point to)
{
    const nw_step *step = &whole->step;
    double t = nearest(whole, p.from, from), u = nearest(whole, p.to, to);
    nw_point a = nw_step_blossom(whole->from, step, t, t, u);
    nw_point b = nw_step_blossom(whole->from, step, t, u, u);
    if (t + u == 1 && t * u == 0) {
        a = t == 0 ? step->a : step->b;
        b = t == 0 ? step->b : step->a;
    }
    nw_point start = step_place(whole, t), end = step_place(whole, u);
    return nw_path_curve(path, nw_plus(a, nw_minus(from, start), 1),
                         nw_plus(b, nw_minus(to, end), 1), to);
}

/* Whether a run goes on past the start of half-edge i: where rings touch, all have the node. */
static bool is_within(const nw_arrangement *all, const nw_place *places, const uint32_t *ring,
                      const part *parts, size_t count, size_t i)
{
    return goes_on(parts[i ? i - 1 : count - 1], parts[i]) &&
           places[nw_half_from(all, ring[i])].borders < 2;
}

static bool parts_join(const nw_arrangement *all, nw_place *places, const uint32_t *ring,
                       size_t count, const part *parts, nw_path *path)
{
    size_t begin = 0; /* where a run begins; in a ring of one run, where its step begins */
    while (begin < count && is_within(all, places, ring, parts, count, begin))
        begin++;
    begin = begin < count ? begin : 0;
    path->start =
        place_of(all, places, ring[begin], parts[begin ? begin - 1 : count - 1], parts[begin]);
    nw_point from = path->start;
    bool added = true;
    for (size_t done = 0; done < count && added;) {
        part run = parts[(begin + done++) % count];
        while (done < count && is_within(all, places, ring, parts, count, (begin + done) % count))
            run.to = parts[(begin + done++) % count].to;
        size_t end = (begin + done) % count;
        nw_point to = place_of(all, places, ring[end], run, parts[end]);
        const nw_chorded *step = &all->steps[run.step];
        added = step->step.kind == NW_CURVE ? curve_add(path, step, run, from, to)
                                            : nw_path_line(path, to);
        from = to;
    }
    return added;
}

bool nw_ring_restore(const nw_arrangement *all, nw_place *places, const uint32_t *ring,
                     size_t count, nw_path *path)
{
    *path = (nw_path){.closed = true};
    part *parts = nw_alloc(count, sizeof *parts);
    if (!parts)
        return false;
    /* The first edge too is told what comes before it. */
    part before = part_of(all, ring[count - 1], NULL);
    for (size_t i = 0; i < count; i++)
        before = parts[i] = part_of(all, ring[i], &before);
    bool added = parts_join(all, places, ring, count, parts, path);
    free(parts);
    if (!added)
        nw_path_free(path);
    return added;
}
