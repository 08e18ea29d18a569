/*
 * edges: the lines' stretches from node to node -> edges, each with the chords that run along it,
 * and the order in which edges leave their nodes. Edges at which no shape begins or ends are left
 * out.
 */
#include <solid/arrange.h>

#define MOST_MEMBERS 6e7

typedef struct {
    uint32_t u, v, line; /* u < v */
} stretch;

/* ---- stretches ------------------------------------------------------------------------------- */

static int by_ends(const void *p, const void *q)
{
    const stretch *a = p, *b = q;
    return a->u != b->u   ? (a->u < b->u ? -1 : 1)
           : a->v != b->v ? (a->v < b->v ? -1 : 1)
                          : (a->line > b->line) - (a->line < b->line);
}

static stretch *stretches_make(nw_arrangement *all, size_t *count, size_t *member_count)
{
    *count = *member_count = 0;
    for (size_t i = 0; i < all->line_count; i++) {
        *count += all->lines[i].count - 1;
        *member_count += (size_t)(all->lines[i].count - 1) * all->lines[i].chord_count;
    }
    stretch *stretches = nw_room(all, *count, sizeof *stretches), *next = stretches;
    for (uint32_t i = 0; stretches && i < all->line_count; i++) {
        const uint32_t *along = &all->along[all->lines[i].first];
        for (uint32_t k = 1; k < all->lines[i].count; k++) {
            uint32_t u = along[k - 1], v = along[k];
            *next++ = (stretch){u < v ? u : v, u < v ? v : u, i};
        }
    }
    if (stretches)
        nw_sort(stretches, *count, sizeof *stretches, by_ends);
    return stretches;
}

/* Makes an edge of stretches between the same nodes; none where all shapes cancel. sums: how often
 * each shape goes along it, forward less backward; all 0 before and after. */
static void edge_merge(nw_arrangement *all, const stretch *same, size_t count, int32_t *sums,
                       size_t *member_count)
{
    size_t first = *member_count;
    for (size_t i = 0; i < count; i++) {
        const nw_chord_line *line = &all->lines[same[i].line];
        for (uint32_t c = line->chord; c < line->chord + line->chord_count; c++) {
            const nw_chord *chord = &all->chords[c];
            /* Down one column, nodes' numbers run against the line. */
            bool against =
                all->nodes[same->u].x == all->nodes[same->v].x && chord->high.y < chord->low.y;
            bool back = (chord->at_low > chord->at_high) != against;
            all->members[(*member_count)++] = 2 * c + back;
            sums[all->steps[chord->step].shape] += back ? -1 : 1;
        }
    }
    bool kept = false;
    for (size_t i = first; i < *member_count; i++) {
        int32_t *sum = &sums[all->steps[all->chords[all->members[i] / 2].step].shape];
        kept = kept || *sum;
        *sum = 0;
    }
    if (kept)
        all->edges[all->edge_count++] = (nw_edge){same->u, same->v, (uint32_t)first};
    else
        *member_count = first;
}

static bool edges_merge(nw_arrangement *all)
{
    size_t count, members;
    const stretch *stretches = stretches_make(all, &count, &members);
    double most = MOST_MEMBERS * all->more;
    if ((double)members > most) {
        all->status = nw_fail_advised(all->error, NW_BAD_INPUT, NW_ADVICE_SIMPLER,
                                      "the drawing is too complicated: its outlines meet more "
                                      "than %.0f times",
                                      most);
        return false;
    }
    int32_t *sums = nw_room(all, all->shape_count, sizeof *sums);
    all->members = nw_room(all, members, sizeof *all->members);
    all->edges = nw_room(all, count + 1, sizeof *all->edges);
    if (!stretches || !sums || !all->members || !all->edges)
        return false;
    members = 0;
    for (size_t i = 0, end; i < count; i = end) {
        for (end = i; end < count && stretches[end].u == stretches[i].u &&
                      stretches[end].v == stretches[i].v;)
            end++;
        edge_merge(all, &stretches[i], end - i, sums, &members);
    }
    all->edges[all->edge_count].first = (uint32_t)members;
    return true;
}

/* ---- round the nodes ------------------------------------------------------------------------- */

typedef struct {
    uint32_t from, half;
    nw_node way;
} leaving;

/* Quarter or axis, from just below the left to the left. */
static int part_of(nw_node way)
{
    return way.y ? (way.y < 0 ? 0 : 2) : way.x > 0 ? 1 : 3;
}

/* By node, counter-clockwise. */
static int by_turn(const void *p, const void *q)
{
    const leaving *a = p, *b = q;
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    if (part_of(a->way) != part_of(b->way))
        return part_of(a->way) - part_of(b->way);
    int64_t turn = nw_nodes_side((nw_node){0, 0}, a->way, b->way);
    return turn > 0 ? -1 : turn < 0;
}

/* Joins each half-edge that arrives to the next that leaves clockwise. */
static bool nodes_turn(nw_arrangement *all)
{
    uint32_t count = 2 * (uint32_t)all->edge_count;
    leaving *leave = nw_room(all, count, sizeof *leave);
    all->next = nw_room(all, count, sizeof *all->next);
    all->last = nw_room(all, all->node_count, sizeof *all->last);
    if (!leave || !all->next || !all->last)
        return false;
    for (uint32_t h = 0; h < count; h++) {
        uint32_t from = nw_half_from(all, h);
        nw_node p = all->nodes[from], q = all->nodes[nw_half_from(all, h ^ 1)];
        leave[h] = (leaving){from, h, {q.x - p.x, q.y - p.y}};
    }
    nw_sort(leave, count, sizeof *leave, by_turn);
    for (size_t n = 0; n < all->node_count; n++)
        all->last[n] = NW_NO_INDEX;
    for (uint32_t i = count; i-- > 0;) {
        uint32_t from = leave[i].from;
        all->last[from] = all->last[from] == NW_NO_INDEX ? leave[i].half : all->last[from];
        bool first = !i || leave[i - 1].from != from;
        all->next[leave[i].half ^ 1] = first ? all->last[from] : leave[i - 1].half;
    }
    return true;
}

bool nw_edges_make(nw_arrangement *all)
{
    return edges_merge(all) && nodes_turn(all);
}
