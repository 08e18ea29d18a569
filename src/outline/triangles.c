/*
 * triangles: a region -> the triangles of its ink.
 *
 * The points go in one by one, those near one another together. The triangle that holds a point is
 * found by walking, split in three, and edges are flipped until no triangle's circle holds another
 * point (Lawson, "Software for C1 surface interpolation", 1977). Outline edges that are missing are
 * then won by flipping what crosses them (Sloan, "A fast algorithm for generating constrained
 * Delaunay triangulations", Computers & Structures 47(3), 1993, doi 10.1016/0045-7949(93)90239-A).
 *
 * Places are whole numbers on a grid, so every test is exact. An edge that cannot be won because
 * another one crosses it is left out; triangles tell ink from paper by the outline edges that they
 * have themselves, and only those without one ask their neighbours, so nothing spreads far.
 */
#include "triangles.h"

#include <math.h>
#include <stdlib.h>

#define GRID (1 << 22)
#define MOST_POINTS (1u << 30)
#define MOST_TRIES 60 /* flips for each edge that crosses a wanted one */

__extension__ typedef __int128 wide;

typedef struct {
    int64_t x, y;
} place;

typedef enum { NOTHING = 0, INK_SIDE = 1, PAPER_SIDE = 2 } edge_kind;

typedef struct {
    uint32_t corner[3], beside[3];
    uint8_t edge[3]; /* edge_kind bits: an outline's edge, seen from this triangle */
    bool inside, known;
} cell;

typedef struct {
    uint32_t from, to;
} edge;

typedef struct {
    const nw_region *region;
    uint32_t points;
    place *places;    /* of the points, then of three far corners */
    uint32_t *vertex; /* of a point: itself, or the earlier one at its place */
    uint32_t *touching;
    cell *cells;
    uint32_t count, latest;
    edge *crossed;
    size_t crossed_count, crossed_capacity;
    bool failed;
} mesh;

static int next_of(int k)
{
    return k == 2 ? 0 : k + 1;
}

static int after_next(int k)
{
    return k == 0 ? 2 : k - 1;
}

/* Positive where c lies to the left of the way from a to b. */
static int64_t turn(const mesh *m, uint32_t a, uint32_t b, uint32_t c)
{
    const place *p = &m->places[a], *q = &m->places[b], *r = &m->places[c];
    return (q->x - p->x) * (r->y - p->y) - (q->y - p->y) * (r->x - p->x);
}

/* Whether d lies within the circle through a, b and c. */
static bool in_circle(const mesh *m, uint32_t a, uint32_t b, uint32_t c, uint32_t d)
{
    place o = m->places[d], p = m->places[a], q = m->places[b], r = m->places[c];
    int64_t px = p.x - o.x, py = p.y - o.y, qx = q.x - o.x, qy = q.y - o.y, rx = r.x - o.x,
            ry = r.y - o.y;
    wide pp = px * px + py * py, qq = qx * qx + qy * qy, rr = rx * rx + ry * ry;
    return pp * (qx * ry - qy * rx) + qq * (rx * py - ry * px) + rr * (px * qy - py * qx) > 0;
}

static int corner_of(const cell *c, uint32_t v)
{
    return c->corner[0] == v ? 0 : c->corner[1] == v ? 1 : 2;
}

/* Tells the triangle across edge k of t that t is its neighbour. */
static void relink(mesh *m, uint32_t t, int k)
{
    const cell *c = &m->cells[t];
    if (c->beside[k] != NO_TRIANGLE) {
        cell *other = &m->cells[c->beside[k]];
        other->beside[corner_of(other, c->corner[next_of(k)])] = t;
    }
}

static void cell_set(mesh *m, uint32_t t, cell c)
{
    m->cells[t] = c;
    for (int k = 0; k < 3; k++) {
        relink(m, t, k);
        m->touching[c.corner[k]] = t;
    }
}

/* Turns the edge between t and its neighbour to the other diagonal. Seen from the corner opposite
 * the edge, t is then the right one of the two. */
static void flip(mesh *m, uint32_t t, int k)
{
    cell a = m->cells[t];
    uint32_t u = a.beside[k];
    cell b = m->cells[u];
    int j = corner_of(&b, a.corner[next_of(k)]), k1 = next_of(k), k2 = after_next(k),
        j1 = next_of(j), j2 = after_next(j);
    uint32_t from = a.corner[k], to = a.corner[k1], apex = a.corner[k2], far = b.corner[j2];
    cell right = {.corner = {apex, from, far},
                  .beside = {a.beside[k2], b.beside[j1], u},
                  .edge = {a.edge[k2], b.edge[j1], NOTHING}};
    cell left = {.corner = {apex, far, to},
                 .beside = {t, b.beside[j2], a.beside[k1]},
                 .edge = {NOTHING, b.edge[j2], a.edge[k1]}};
    m->cells[u] = left;
    cell_set(m, t, right);
    cell_set(m, u, left);
}

/* ---- points ---------------------------------------------------------------------------------- */

/* Walks to a triangle that holds point v, on its edge at most. */
static uint32_t find_cell(const mesh *m, uint32_t v)
{
    uint32_t t = m->latest;
    for (int k = 0; k < 3;) {
        const cell *c = &m->cells[t];
        if (turn(m, c->corner[k], c->corner[next_of(k)], v) < 0) {
            t = c->beside[k];
            k = 0;
        } else {
            k++;
        }
    }
    return t;
}

/* Flips round point v, which has just come in, until every circle is empty. The ways from v to its
 * neighbours never go again, so one turn round v sees every edge. */
static void settle_round(mesh *m, uint32_t t, uint32_t v)
{
    uint32_t stop = m->cells[t].corner[next_of(corner_of(&m->cells[t], v))];
    for (;;) {
        cell *c = &m->cells[t];
        int k = next_of(corner_of(c, v));
        uint32_t a = c->corner[k], b = c->corner[next_of(k)];
        if (c->beside[k] != NO_TRIANGLE) {
            const cell *other = &m->cells[c->beside[k]];
            uint32_t far = other->corner[after_next(corner_of(other, b))];
            /* A point on the edge itself has made a triangle without area. */
            if (turn(m, a, b, v) == 0 || in_circle(m, a, b, v, far)) {
                flip(m, t, k);
                continue;
            }
        }
        if (b == stop) {
            return;
        }
        t = c->beside[next_of(k)];
    }
}

static void insert(mesh *m, uint32_t v)
{
    uint32_t t = find_cell(m, v);
    cell c = m->cells[t];
    m->latest = t;
    for (int k = 0; k < 3; k++) {
        const place *p = &m->places[c.corner[k]];
        if (p->x == m->places[v].x && p->y == m->places[v].y) {
            m->vertex[v] = c.corner[k];
            return;
        }
    }
    m->vertex[v] = v;
    uint32_t made[3] = {t, m->count, m->count + 1};
    m->count += 2;
    for (int k = 0; k < 3; k++) {
        m->cells[made[k]] = (cell){.corner = {c.corner[k], c.corner[next_of(k)], v}};
    }
    for (int k = 0; k < 3; k++) {
        cell part = m->cells[made[k]];
        part.beside[0] = c.beside[k];
        part.beside[1] = made[next_of(k)];
        part.beside[2] = made[after_next(k)];
        cell_set(m, made[k], part);
    }
    settle_round(m, t, v);
}

static bool places_make(mesh *m)
{
    const nw_point *points = m->region->points;
    nw_point low = points[0], high = points[0];
    for (uint32_t i = 0; i < m->points; i++) {
        low = (nw_point){fmin(low.x, points[i].x), fmin(low.y, points[i].y)};
        high = (nw_point){fmax(high.x, points[i].x), fmax(high.y, points[i].y)};
    }
    double size = fmax(high.x - low.x, high.y - low.y);
    for (uint32_t i = 0; i < m->points; i++) {
        m->places[i].x = (int64_t)llround((points[i].x - low.x) / size * GRID);
        m->places[i].y = (int64_t)llround((points[i].y - low.y) / size * GRID);
    }
    m->places[m->points] = (place){-8 * GRID, -8 * GRID};
    m->places[m->points + 1] = (place){16 * GRID, -8 * GRID};
    m->places[m->points + 2] = (place){-8 * GRID, 16 * GRID};
    return size > 0;
}

static bool points_insert(mesh *m)
{
    nw_box *boxes = nw_alloc(m->points, sizeof *boxes);
    uint32_t *order = nw_alloc(m->points, sizeof *order);
    for (uint32_t i = 0; boxes && i < m->points; i++) {
        boxes[i] = (nw_box){m->region->points[i], m->region->points[i]};
    }
    bool good = boxes && order && nw_boxes_order(boxes, m->points, order);
    free(boxes);
    cell_set(m, m->count++,
             (cell){.corner = {m->points, m->points + 1, m->points + 2},
                    .beside = {NO_TRIANGLE, NO_TRIANGLE, NO_TRIANGLE}});
    for (uint32_t i = 0; good && i < m->points; i++) {
        insert(m, order[i]);
    }
    free(order);
    return good;
}

/* ---- edges ----------------------------------------------------------------------------------- */

/* The triangle to the left of the edge from a to b, if there is that edge. */
static bool find_edge(const mesh *m, edge e, uint32_t *t, int *k)
{
    uint32_t start = m->touching[e.from];
    *t = start;
    do {
        const cell *c = &m->cells[*t];
        *k = corner_of(c, e.from);
        if (c->corner[next_of(*k)] == e.to) {
            return true;
        }
        *t = c->beside[after_next(*k)];
    } while (*t != start && *t != NO_TRIANGLE);
    return false;
}

static void mark(mesh *m, edge e)
{
    uint32_t t;
    int k;
    if (find_edge(m, e, &t, &k)) {
        m->cells[t].edge[k] |= INK_SIDE;
    }
    if (find_edge(m, (edge){e.to, e.from}, &t, &k)) {
        m->cells[t].edge[k] |= PAPER_SIDE;
    }
}

static void push(mesh *m, edge e)
{
    void *crossed = m->crossed;
    m->failed |= !nw_grow(&crossed, &m->crossed_capacity, m->crossed_count + 1, sizeof e);
    m->crossed = crossed;
    if (!m->failed) {
        m->crossed[m->crossed_count++] = e;
    }
}

static bool ahead(const mesh *m, edge e, uint32_t v)
{
    const place *a = &m->places[e.from], *b = &m->places[e.to], *p = &m->places[v];
    return (b->x - a->x) * (p->x - a->x) + (b->y - a->y) * (p->y - a->y) > 0;
}

/* The first edge, seen from e.from, that e crosses, as edge k of triangle t; or a neighbour that
 * lies on e itself. */
static bool first_crossed(const mesh *m, edge e, uint32_t *t, int *k, uint32_t *on)
{
    uint32_t start = m->touching[e.from];
    *t = start;
    *on = NO_TRIANGLE;
    do {
        const cell *c = &m->cells[*t];
        int own = corner_of(c, e.from);
        *k = next_of(own);
        uint32_t right = c->corner[*k], left = c->corner[after_next(own)];
        int64_t r = turn(m, e.from, e.to, right), l = turn(m, e.from, e.to, left);
        if (r == 0 && ahead(m, e, right)) {
            *on = right;
            return true;
        }
        if (r < 0 && l > 0) {
            return true;
        }
        *t = c->beside[after_next(own)];
    } while (*t != start && *t != NO_TRIANGLE);
    return false;
}

/* Collects the edges that cross e, up to the first vertex on it, which becomes its end. False
 * where an outline's edge is among them. */
static bool crossed_collect(mesh *m, edge *e)
{
    uint32_t t, on;
    int k;
    m->crossed_count = 0;
    if (!first_crossed(m, *e, &t, &k, &on)) {
        return false;
    }
    if (on != NO_TRIANGLE) {
        e->to = on;
        return true;
    }
    for (;;) {
        const cell *c = &m->cells[t];
        edge across = {c->corner[k], c->corner[next_of(k)]};
        if (c->edge[k] || c->beside[k] == NO_TRIANGLE) {
            return false;
        }
        push(m, across);
        t = c->beside[k];
        c = &m->cells[t];
        k = corner_of(c, across.to);
        uint32_t far = c->corner[after_next(k)];
        int64_t side = turn(m, e->from, e->to, far);
        if (side == 0) {
            e->to = far;
            return !m->failed;
        }
        /* Right of e: the way on leads through the edge from far to the left end. */
        k = side < 0 ? after_next(k) : next_of(k);
    }
}

/* Flips the collected edges until none crosses e. */
static bool crossed_clear(mesh *m, edge e)
{
    size_t tries = MOST_TRIES * (m->crossed_count + 1);
    for (size_t i = 0; i < m->crossed_count && tries && !m->failed; i++, tries--) {
        edge across = m->crossed[i];
        uint32_t t;
        int k;
        if (!find_edge(m, across, &t, &k)) {
            return false;
        }
        const cell *c = &m->cells[t], *other = &m->cells[c->beside[k]];
        uint32_t apex = c->corner[after_next(k)],
                 far = other->corner[after_next(corner_of(other, across.to))];
        if (turn(m, apex, across.from, far) <= 0 || turn(m, far, across.to, apex) <= 0) {
            push(m, across); /* later, when its surroundings have changed */
            continue;
        }
        flip(m, t, k);
        int64_t p = turn(m, e.from, e.to, apex), q = turn(m, e.from, e.to, far);
        if ((p > 0 && q < 0) || (p < 0 && q > 0)) {
            push(m, (edge){apex, far});
        }
    }
    return tries > 0 && !m->failed;
}

static void edge_win(mesh *m, edge wanted)
{
    uint32_t t;
    int k;
    while (wanted.from != wanted.to && !m->failed) {
        edge e = wanted;
        if (!find_edge(m, e, &t, &k) && !(crossed_collect(m, &e) && crossed_clear(m, e))) {
            return;
        }
        mark(m, e);
        wanted.from = e.to;
    }
}

static void edges_win(mesh *m)
{
    const nw_region *r = m->region;
    for (size_t ring = 0; ring < r->count && !m->failed; ring++) {
        size_t first = r->starts[ring], end = r->starts[ring + 1];
        for (size_t i = first; i < end; i++) {
            size_t next = i + 1 < end ? i + 1 : first;
            edge_win(m, (edge){m->vertex[i], m->vertex[next]});
        }
    }
}

/* ---- ink ------------------------------------------------------------------------------------- */

/* What a triangle's own outline edges say of it. */
static void judge_alone(cell *c)
{
    int ink = 0;
    for (int k = 0; k < 3; k++) {
        ink += (c->edge[k] & INK_SIDE ? 1 : 0) - (c->edge[k] & PAPER_SIDE ? 1 : 0);
        c->known |= c->edge[k] != NOTHING;
    }
    c->inside = ink > 0;
}

/* Triangles without an outline's edge are what the known ones beside them are. */
static bool ink_find(mesh *m)
{
    uint32_t *queue = nw_alloc(m->count, sizeof *queue), length = 0;
    for (uint32_t t = 0; queue && t < m->count; t++) {
        judge_alone(&m->cells[t]);
        if (m->cells[t].known) {
            queue[length++] = t;
        }
    }
    for (uint32_t i = 0; queue && i < length; i++) {
        const cell *c = &m->cells[queue[i]];
        for (int k = 0; k < 3; k++) {
            cell *other = c->beside[k] == NO_TRIANGLE ? NULL : &m->cells[c->beside[k]];
            if (other && !other->known && c->edge[k] == NOTHING) {
                other->known = true;
                other->inside = c->inside;
                queue[length++] = c->beside[k];
            }
        }
    }
    free(queue);
    return queue != NULL;
}

/* Whether the triangle is ink, and none of the far corners is part of it. */
static bool counts(const mesh *m, const cell *c)
{
    return c->inside && c->corner[0] < m->points && c->corner[1] < m->points &&
           c->corner[2] < m->points;
}

static bool result_make(const mesh *m, triangulation *result)
{
    uint32_t *number = nw_alloc(m->count, sizeof *number);
    result->items = nw_alloc(m->count, sizeof *result->items);
    if (!number || !result->items) {
        free(number);
        return false;
    }
    for (uint32_t t = 0; t < m->count; t++) {
        number[t] = counts(m, &m->cells[t]) ? result->count++ : NO_TRIANGLE;
    }
    for (uint32_t t = 0; t < m->count; t++) {
        const cell *c = &m->cells[t];
        for (int k = 0; k < 3 && number[t] != NO_TRIANGLE; k++) {
            triangle *made = &result->items[number[t]];
            bool shut = c->edge[k] != NOTHING || c->beside[k] == NO_TRIANGLE;
            made->corner[k] = c->corner[k];
            made->beside[k] = shut ? NO_TRIANGLE : number[c->beside[k]];
        }
    }
    free(number);
    return true;
}

static void mesh_free(mesh *m)
{
    free(m->places);
    free(m->vertex);
    free(m->touching);
    free(m->cells);
    free(m->crossed);
}

void triangulation_free(triangulation *t)
{
    if (t) {
        free(t->items);
        *t = (triangulation){0};
    }
}

bool triangulation_make(const nw_region *region, triangulation *result)
{
    *result = (triangulation){0};
    size_t points = region->count ? region->starts[region->count] : 0;
    if (points >= MOST_POINTS) {
        return false;
    }
    mesh m = {.region = region, .points = (uint32_t)points};
    m.places = nw_alloc(points + 3, sizeof *m.places);
    m.vertex = nw_alloc(points, sizeof *m.vertex);
    m.touching = nw_alloc(points + 3, sizeof *m.touching);
    m.cells = nw_alloc(2 * points + 1, sizeof *m.cells);
    bool good = m.places && m.vertex && m.touching && m.cells;
    if (good && points && places_make(&m)) {
        good = points_insert(&m);
        edges_win(&m);
        good = good && !m.failed && ink_find(&m) && result_make(&m, result);
    }
    mesh_free(&m);
    if (!good) {
        triangulation_free(result);
    }
    return good;
}
