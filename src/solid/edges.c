/*
 * edges: the lines' stretches from node to node -> edges, each with the chords that run along it,
 * and the order in which edges leave their nodes. Stretches sorted by their ends in two passes of
 * counting meet those that coincide; edges at which no shape begins or ends are left out.
 */
#include <solid/arrange.h>

#include <stdlib.h>

#define MOST_MEMBERS ((size_t)1 << 26)

typedef struct {
    uint32_t u, v, line; /* u < v */
} stretch;

static nw_status refused(const nw_arrangement *all)
{
    return nw_fail_memory(all->error, "the crossings");
}

/* ---- stretches ------------------------------------------------------------------------------- */

static void stretches_make(const nw_arrangement *all, stretch *stretches)
{
    for (size_t i = 0; i < all->line_count; i++) {
        const uint32_t *along = &all->along[all->lines[i].first];
        for (uint32_t k = 1; k < all->lines[i].count; k++) {
            uint32_t u = along[k - 1], v = along[k];
            *stretches++ = (stretch){u < v ? u : v, u < v ? v : u, (uint32_t)i};
        }
    }
}

/* By one of their ends; those with the same stay in their order. */
static void stretches_sort(const stretch *from, stretch *to, size_t count, uint32_t *starts,
                           size_t node_count, bool by_u)
{
    for (size_t i = 0; i <= node_count; i++) {
        starts[i] = 0;
    }
    for (size_t i = 0; i < count; i++) {
        starts[(by_u ? from[i].u : from[i].v) + 1]++;
    }
    for (size_t i = 1; i <= node_count; i++) {
        starts[i] += starts[i - 1];
    }
    for (size_t i = 0; i < count; i++) {
        to[starts[by_u ? from[i].u : from[i].v]++] = from[i];
    }
}

/* How often each shape goes along an edge, forward less backward, while its chords are told. */
typedef struct {
    nw_arrangement *all;
    int32_t *sums;
    size_t member_count;
} merger;

/* Makes an edge of stretches between the same nodes; none where all shapes cancel. */
static void edge_merge(merger *m, const stretch *same, size_t count)
{
    nw_arrangement *all = m->all;
    size_t first = m->member_count;
    for (size_t i = 0; i < count; i++) {
        const nw_chord_line *line = &all->lines[same[i].line];
        for (uint32_t c = line->chord; c != NW_NONE; c = all->chords[c].next) {
            bool back = nw_node_before(all->chords[c].b, all->chords[c].a);
            /* Down one column, nodes' numbers run against the line. */
            back ^=
                all->nodes[same[i].u].x == all->nodes[same[i].v].x && line->high.y < line->low.y;
            all->members[m->member_count++] = 2 * c + back;
            m->sums[all->steps[all->chords[c].step].shape] += back ? -1 : 1;
        }
    }
    bool kept = false;
    for (size_t i = first; i < m->member_count; i++) {
        int32_t *sum = &m->sums[all->steps[all->chords[all->members[i] / 2].step].shape];
        kept = kept || *sum;
        *sum = 0;
    }
    if (kept) {
        all->edges[all->edge_count++] = (nw_edge){same->u, same->v, (uint32_t)first};
    } else {
        m->member_count = first;
    }
}

static nw_status edges_merge(nw_arrangement *all, const stretch *stretches, size_t count)
{
    size_t members = 0;
    for (size_t i = 0; i < all->chord_count; i++) {
        const nw_chord_line *line = &all->lines[all->chords[i].line];
        members += line->count ? line->count - 1 : 0;
    }
    if (members > MOST_MEMBERS) {
        return nw_fail(all->error, NW_BAD_INPUT,
                       "the drawing is too complicated: its outlines meet more than %zu times; "
                       "simplify its paths",
                       MOST_MEMBERS);
    }
    merger m = {.all = all, .sums = nw_alloc(all->shape_count, sizeof *m.sums)};
    all->members = nw_alloc(members, sizeof *all->members);
    all->edges = nw_alloc(count + 1, sizeof *all->edges);
    if (m.sums && all->members && all->edges) {
        for (size_t i = 0, end; i < count; i = end) {
            for (end = i; end < count && stretches[end].u == stretches[i].u &&
                          stretches[end].v == stretches[i].v;) {
                end++;
            }
            edge_merge(&m, &stretches[i], end - i);
        }
        all->edges[all->edge_count].first = (uint32_t)m.member_count;
    }
    bool done = m.sums && all->members && all->edges;
    free(m.sums);
    return done ? NW_OK : refused(all);
}

static nw_status stretches_merge(nw_arrangement *all)
{
    size_t count = 0;
    for (size_t i = 0; i < all->line_count; i++) {
        count += all->lines[i].count ? all->lines[i].count - 1 : 0;
    }
    stretch *one = nw_alloc(count, sizeof *one), *two = nw_alloc(count, sizeof *two);
    uint32_t *starts = nw_alloc(all->node_count + 1, sizeof *starts);
    nw_status status = one && two && starts ? NW_OK : refused(all);
    if (!status) {
        stretches_make(all, one);
        stretches_sort(one, two, count, starts, all->node_count, false);
        stretches_sort(two, one, count, starts, all->node_count, true);
    }
    free(two);
    free(starts);
    status = status ? status : edges_merge(all, one, count);
    free(one);
    return status;
}

/* ---- round the nodes ------------------------------------------------------------------------- */

typedef struct {
    nw_node way; /* from the node */
    uint32_t half;
} leaving;

/* Quarter or axis, from just below the left to the left. */
static int part_of(nw_node way)
{
    return way.y ? (way.y < 0 ? 0 : 2) : way.x > 0 ? 1 : 3;
}

static int by_angle(const void *p, const void *q)
{
    nw_node a = ((const leaving *)p)->way, b = ((const leaving *)q)->way;
    if (part_of(a) != part_of(b)) {
        return part_of(a) - part_of(b);
    }
    int64_t turn = nw_nodes_side((nw_node){0, 0}, a, b);
    return turn > 0 ? -1 : turn < 0;
}

/* Sorts what leaves one node, and joins each that arrives to the next clockwise. */
static void node_turn(nw_arrangement *all, uint32_t node, leaving *leave)
{
    uint32_t *turn = &all->turn[all->turn_first[node]];
    uint32_t count = all->turn_first[node + 1] - all->turn_first[node];
    for (uint32_t i = 0; i < count; i++) {
        nw_node from = all->nodes[node], to = all->nodes[nw_half_from(all, turn[i] ^ 1)];
        leave[i] = (leaving){{to.x - from.x, to.y - from.y}, turn[i]};
    }
    if (count) {
        qsort(leave, count, sizeof *leave, by_angle);
    }
    for (uint32_t i = 0; i < count; i++) {
        turn[i] = leave[i].half;
        all->next[turn[i] ^ 1] = leave[i ? i - 1 : count - 1].half;
    }
}

static nw_status nodes_turn(nw_arrangement *all)
{
    size_t halves = 2 * all->edge_count, most = 0;
    all->next = nw_alloc(halves, sizeof *all->next);
    all->turn = nw_alloc(halves, sizeof *all->turn);
    all->turn_first = nw_alloc(all->node_count + 2, sizeof *all->turn_first);
    if (!all->next || !all->turn || !all->turn_first) {
        return refused(all);
    }
    /* Counted one place ahead, so that filling moves every offset into place. */
    for (uint32_t h = 0; h < halves; h++) {
        uint32_t leaves = ++all->turn_first[nw_half_from(all, h) + 2];
        most = leaves > most ? leaves : most;
    }
    for (size_t i = 2; i < all->node_count + 2; i++) {
        all->turn_first[i] += all->turn_first[i - 1];
    }
    for (uint32_t h = 0; h < halves; h++) {
        all->turn[all->turn_first[nw_half_from(all, h) + 1]++] = h;
    }
    leaving *leave = nw_alloc(most, sizeof *leave);
    for (uint32_t i = 0; leave && i < all->node_count; i++) {
        node_turn(all, i, leave);
    }
    free(leave);
    return leave ? NW_OK : refused(all);
}

nw_status nw_edges_make(nw_arrangement *all)
{
    nw_status status = stretches_merge(all);
    free(all->along);
    all->along = NULL;
    return status ? status : nodes_turn(all);
}
