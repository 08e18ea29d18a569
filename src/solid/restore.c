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

/* Part of a step, from parameter `from` to `to`, which is less when it runs backwards. */
typedef struct {
    uint32_t step;
    double from, to;
} part;

/* The parameter of a node on a chord. */
static double parameter_of(const nw_arrangement *all, const nw_chord *chord, nw_node node)
{
    double cuts = all->steps[chord->step].cuts;
    if (nw_nodes_same(node, chord->a)) {
        return chord->first / cuts;
    }
    if (nw_nodes_same(node, chord->b)) {
        return chord->last / cuts;
    }
    double dx = (double)chord->b.x - chord->a.x, dy = (double)chord->b.y - chord->a.y;
    double along = ((double)node.x - chord->a.x) * dx + ((double)node.y - chord->a.y) * dy;
    return (chord->first + along / (dx * dx + dy * dy) * (chord->last - chord->first)) / cuts;
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
        if (before && goes_on(*before, now)) {
            return now;
        }
        first = i == edge->first ? now : first;
    }
    return first;
}

uint32_t *nw_origins_find(const nw_arrangement *all)
{
    uint32_t *origins = nw_alloc(all->node_count, sizeof *origins);
    for (size_t i = 0; origins && i < all->node_count; i++) {
        origins[i] = NW_NONE;
    }
    for (size_t i = 0; origins && i < 2 * all->edge_count; i++) {
        const nw_edge *edge = &all->edges[i / 2];
        uint32_t node = i % 2 ? edge->v : edge->u;
        for (uint32_t m = edge->first; m < edge[1].first; m++) {
            const nw_chord *chord = &all->chords[all->members[m] >> 1];
            bool begins = nw_nodes_same(all->nodes[node], chord->a);
            bool ends = nw_nodes_same(all->nodes[node], chord->b);
            uint32_t origin = 2 * chord->step + ends;
            if (((begins && chord->first == 0) ||
                 (ends && chord->last == all->steps[chord->step].cuts)) &&
                origin < origins[node]) {
                origins[node] = origin;
            }
        }
    }
    return origins;
}

/* A node's place; before it was rounded to the grid, where a step begins or ends there. */
static nw_point place_of(const nw_arrangement *all, const uint32_t *origins, uint32_t half)
{
    uint32_t node = nw_half_from(all, half);
    if (origins[node] != NW_NONE) {
        const nw_chorded *step = &all->steps[origins[node] / 2];
        return origins[node] % 2 ? step->step.to : step->from;
    }
    return (nw_point){(all->nodes[node].x + all->middle_x) * all->grid,
                      (all->nodes[node].y + all->middle_y) * all->grid};
}

/* The ends lie where chords were cut, within the flatness of the curve: each handle goes along, so
 * that the direction stays. Ends that have not moved leave it as it was to the last digit. */
static bool curve_add(nw_path *path, const nw_chorded *whole, part p, nw_point from, nw_point to)
{
    const nw_step *step = &whole->step;
    nw_point start = p.from == 0   ? whole->from
                     : p.from == 1 ? step->to
                                   : nw_step_at(whole->from, step, p.from);
    nw_point end = p.to == 0   ? whole->from
                   : p.to == 1 ? step->to
                               : nw_step_at(whole->from, step, p.to);
    nw_point a = nw_step_blossom(whole->from, step, p.from, p.from, p.to);
    nw_point b = nw_step_blossom(whole->from, step, p.from, p.to, p.to);
    if (p.from == 0 && p.to == 1) {
        a = step->a;
        b = step->b;
    } else if (p.from == 1 && p.to == 0) {
        a = step->b;
        b = step->a;
    }
    a = (nw_point){a.x + (from.x - start.x), a.y + (from.y - start.y)};
    b = (nw_point){b.x + (to.x - end.x), b.y + (to.y - end.y)};
    return nw_path_curve(path, a, b, to);
}

static bool parts_join(const nw_arrangement *all, const uint32_t *origins, const uint32_t *ring,
                       size_t count, const part *parts, nw_path *path)
{
    size_t begin = 0; /* where a run begins; in a ring of one run, where its step begins */
    while (begin < count && goes_on(parts[begin ? begin - 1 : count - 1], parts[begin])) {
        begin++;
    }
    begin = begin < count ? begin : 0;
    path->start = place_of(all, origins, ring[begin]);
    nw_point from = path->start;
    bool added = true;
    for (size_t done = 0; done < count && added;) {
        part run = parts[(begin + done++) % count];
        while (done < count && goes_on(run, parts[(begin + done) % count])) {
            run.to = parts[(begin + done++) % count].to;
        }
        nw_point to = place_of(all, origins, ring[(begin + done) % count]);
        const nw_chorded *step = &all->steps[run.step];
        added = step->step.kind == NW_CURVE ? curve_add(path, step, run, from, to)
                                            : nw_path_line(path, to);
        from = to;
    }
    return added;
}

bool nw_ring_restore(const nw_arrangement *all, const uint32_t *origins, const uint32_t *ring,
                     size_t count, nw_path *path)
{
    *path = (nw_path){.closed = true};
    part *parts = nw_alloc(count, sizeof *parts);
    if (!parts) {
        return false;
    }
    /* The first edge too is told what comes before it. */
    part before = part_of(all, ring[count - 1], NULL);
    for (size_t i = 0; i < count; i++) {
        before = parts[i] = part_of(all, ring[i], &before);
    }
    bool added = parts_join(all, origins, ring, count, parts, path);
    free(parts);
    if (!added) {
        nw_path_free(path);
    }
    return added;
}
