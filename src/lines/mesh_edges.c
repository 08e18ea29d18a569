/*
 * mesh_edges: a mesh of points -> the same with the outlines' edges in it.
 *
 * Edges that are missing are won by flipping what crosses them (Sloan, "A fast algorithm for
 * generating constrained Delaunay triangulations", Computers & Structures 47(3), 1993, doi
 * 10.1016/0045-7949(93)90239-A). One that another outline's edge crosses is left out.
 */
#include <lines/mesh.h>

#define MOST_PASSES 20
#define MOST_TRIES 60 /* flips for each edge that crosses a wanted one */

/* The triangle to the left of the edge from a to b, if there is that edge. */
static bool find_edge(const nw_mesh *m, nw_mesh_edge e, uint32_t *t, int *k)
{
    uint32_t start = m->touching[e.from];
    *t = start;
    do {
        const nw_mesh_cell *c = &m->cells[*t];
        *k = nw_corner_of(c, e.from);
        if (c->corner[nw_next_of(*k)] == e.to)
            return true;
        *t = c->beside[nw_after_next(*k)];
    } while (*t != start && *t != NO_CELL);
    return false;
}

static void mark(nw_mesh *m, nw_mesh_edge e)
{
    uint32_t t;
    int k;
    if (find_edge(m, e, &t, &k))
        m->cells[t].edge[k] |= INK_SIDE;
    if (find_edge(m, (nw_mesh_edge){e.to, e.from}, &t, &k))
        m->cells[t].edge[k] |= PAPER_SIDE;
}

static void push(nw_mesh *m, nw_mesh_edge e)
{
    m->failed |= !nw_push(&m->crossed, &m->crossed_count, &m->crossed_capacity, &e, sizeof e);
}

static bool ahead(const nw_mesh *m, nw_mesh_edge e, uint32_t v)
{
    const nw_mesh_place *a = &m->places[e.from], *b = &m->places[e.to], *p = &m->places[v];
    return (b->x - a->x) * (p->x - a->x) + (b->y - a->y) * (p->y - a->y) > 0;
}

/* The first edge, seen from e.from, that e crosses, as edge k of triangle t; or a neighbour that
 * lies on e itself. */
static bool first_crossed(const nw_mesh *m, nw_mesh_edge e, uint32_t *t, int *k, uint32_t *on)
{
    uint32_t start = m->touching[e.from];
    *t = start;
    *on = NO_CELL;
    do {
        const nw_mesh_cell *c = &m->cells[*t];
        int own = nw_corner_of(c, e.from);
        *k = nw_next_of(own);
        uint32_t right = c->corner[*k], left = c->corner[nw_after_next(own)];
        int64_t r = nw_mesh_turn(m, e.from, e.to, right), l = nw_mesh_turn(m, e.from, e.to, left);
        if (r == 0 && ahead(m, e, right)) {
            *on = right;
            return true;
        }
        if (r < 0 && l > 0)
            return true;
        *t = c->beside[nw_after_next(own)];
    } while (*t != start && *t != NO_CELL);
    return false;
}

/* Collects the edges that cross e, up to the first vertex on it, which becomes its end. False
 * where an outline's edge is among them. */
static bool crossed_collect(nw_mesh *m, nw_mesh_edge *e)
{
    uint32_t t, on;
    int k;
    m->crossed_count = 0;
    if (!first_crossed(m, *e, &t, &k, &on))
        return false;
    if (on != NO_CELL) {
        e->to = on;
        return true;
    }
    for (;;) {
        const nw_mesh_cell *c = &m->cells[t];
        nw_mesh_edge across = {c->corner[k], c->corner[nw_next_of(k)]};
        if (c->edge[k] || c->beside[k] == NO_CELL)
            return false;
        push(m, across);
        t = c->beside[k];
        c = &m->cells[t];
        k = nw_corner_of(c, across.to);
        uint32_t far = c->corner[nw_after_next(k)];
        int64_t side = nw_mesh_turn(m, e->from, e->to, far);
        if (side == 0) {
            e->to = far;
            return !m->failed;
        }
        /* Right of e: the way on leads through the edge from far to the left end. */
        k = side < 0 ? nw_after_next(k) : nw_next_of(k);
    }
}

/* Flips the collected edges until none crosses e. */
static bool crossed_clear(nw_mesh *m, nw_mesh_edge e)
{
    size_t tries = MOST_TRIES * (m->crossed_count + 1);
    for (size_t i = 0; i < m->crossed_count && tries && !m->failed; i++, tries--) {
        nw_mesh_edge across = m->crossed[i];
        uint32_t t;
        int k;
        if (!find_edge(m, across, &t, &k))
            return false;
        const nw_mesh_cell *c = &m->cells[t], *other = &m->cells[c->beside[k]];
        uint32_t apex = c->corner[nw_after_next(k)],
                 far = other->corner[nw_after_next(nw_corner_of(other, across.to))];
        if (nw_mesh_turn(m, apex, across.from, far) <= 0 ||
            nw_mesh_turn(m, far, across.to, apex) <= 0) {
            push(m, across); /* later, when its surroundings have changed */
            continue;
        }
        nw_mesh_flip(m, t, k);
        int64_t p = nw_mesh_turn(m, e.from, e.to, apex), q = nw_mesh_turn(m, e.from, e.to, far);
        if ((p > 0 && q < 0) || (p < 0 && q > 0))
            push(m, (nw_mesh_edge){apex, far});
    }
    return tries > 0 && !m->failed;
}

static void edge_win(nw_mesh *m, nw_mesh_edge wanted)
{
    uint32_t t;
    int k;
    while (wanted.from != wanted.to && !m->failed) {
        nw_mesh_edge e = wanted;
        if (!find_edge(m, e, &t, &k) && !(crossed_collect(m, &e) && crossed_clear(m, e)))
            return;
        mark(m, e);
        wanted.from = e.to;
    }
}

/* Flips once more what winning the edges has left with a point in a triangle's circle. */
static void settle(nw_mesh *m)
{
    bool again = m->crossed != NULL;
    for (int pass = 0; again && pass < MOST_PASSES; pass++) {
        again = false;
        for (uint32_t t = 0; t < m->count; t++) {
            for (int k = 0; k < 3; k++) {
                if (m->cells[t].edge[k] == NOTHING && nw_mesh_edge_is_bad(m, t, k)) {
                    nw_mesh_flip(m, t, k);
                    again = true;
                }
            }
        }
    }
}

void nw_mesh_win_edges(nw_mesh *m)
{
    const nw_region *r = m->region;
    for (size_t ring = 0; ring < r->count && !m->failed; ring++) {
        size_t first = r->starts[ring], end = r->starts[ring + 1];
        for (size_t i = first; i < end; i++) {
            size_t next = i + 1 < end ? i + 1 : first;
            edge_win(m, (nw_mesh_edge){m->vertex[i], m->vertex[next]});
        }
    }
    settle(m);
}
