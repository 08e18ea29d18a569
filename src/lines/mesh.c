/*
 * mesh: points -> the triangles of their Delaunay triangulation.
 *
 * The points go in one by one, those near one another together. The triangle that holds a point is
 * found by walking, split in three, and edges are flipped until no triangle's circle holds another
 * point (Lawson, "Software for C1 surface interpolation", 1977). Places are whole numbers on a
 * grid, so every test is exact.
 */
#include <lines/mesh.h>

#include <math.h>
#include <stdlib.h>

#define GRID (1 << 22)

__extension__ typedef __int128 wide;

/* Whether d lies within the circle through a, b and c. */
static bool in_circle(const nw_mesh *m, uint32_t a, uint32_t b, uint32_t c, uint32_t d)
{
    nw_mesh_place o = m->places[d], p = m->places[a], q = m->places[b], r = m->places[c];
    int64_t px = p.x - o.x, py = p.y - o.y, qx = q.x - o.x, qy = q.y - o.y, rx = r.x - o.x,
            ry = r.y - o.y;
    wide pp = px * px + py * py, qq = qx * qx + qy * qy, rr = rx * rx + ry * ry;
    return pp * (qx * ry - qy * rx) + qq * (rx * py - ry * px) + rr * (px * qy - py * qx) > 0;
}

/* Tells the triangle across edge k of t that t is its neighbour. */
static void relink(nw_mesh *m, uint32_t t, int k)
{
    const nw_mesh_cell *c = &m->cells[t];
    if (c->beside[k] != NO_CELL) {
        nw_mesh_cell *other = &m->cells[c->beside[k]];
        other->beside[nw_corner_of(other, c->corner[nw_next_of(k)])] = t;
    }
}

static void cell_set(nw_mesh *m, uint32_t t, nw_mesh_cell c)
{
    m->cells[t] = c;
    for (int k = 0; k < 3; k++) {
        relink(m, t, k);
        m->touching[c.corner[k]] = t;
    }
}

void nw_mesh_flip(nw_mesh *m, uint32_t t, int k)
{
    nw_mesh_cell a = m->cells[t];
    uint32_t u = a.beside[k];
    nw_mesh_cell b = m->cells[u];
    int j = nw_corner_of(&b, a.corner[nw_next_of(k)]), k1 = nw_next_of(k), k2 = nw_after_next(k),
        j1 = nw_next_of(j), j2 = nw_after_next(j);
    uint32_t from = a.corner[k], to = a.corner[k1], apex = a.corner[k2], far = b.corner[j2];
    nw_mesh_cell right = {.corner = {apex, from, far},
                          .beside = {a.beside[k2], b.beside[j1], u},
                          .edge = {a.edge[k2], b.edge[j1], NOTHING}};
    nw_mesh_cell left = {.corner = {apex, far, to},
                         .beside = {t, b.beside[j2], a.beside[k1]},
                         .edge = {NOTHING, b.edge[j2], a.edge[k1]}};
    m->cells[u] = left;
    cell_set(m, t, right);
    cell_set(m, u, left);
}

bool nw_mesh_edge_is_bad(const nw_mesh *m, uint32_t t, int k)
{
    const nw_mesh_cell *c = &m->cells[t];
    if (c->beside[k] == NO_CELL)
        return false;
    uint32_t a = c->corner[k], b = c->corner[nw_next_of(k)], v = c->corner[nw_after_next(k)];
    const nw_mesh_cell *other = &m->cells[c->beside[k]];
    return in_circle(m, a, b, v, other->corner[nw_after_next(nw_corner_of(other, b))]);
}

/* ---- points ---------------------------------------------------------------------------------- */

/* Walks to a triangle that holds point v, on its edge at most. */
static uint32_t find_cell(const nw_mesh *m, uint32_t v)
{
    uint32_t t = m->latest;
    for (int k = 0; k < 3;) {
        const nw_mesh_cell *c = &m->cells[t];
        if (nw_mesh_turn(m, c->corner[k], c->corner[nw_next_of(k)], v) < 0) {
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
static void settle_round(nw_mesh *m, uint32_t t, uint32_t v)
{
    uint32_t stop = m->cells[t].corner[nw_next_of(nw_corner_of(&m->cells[t], v))];
    for (;;) {
        nw_mesh_cell *c = &m->cells[t];
        int k = nw_next_of(nw_corner_of(c, v));
        uint32_t a = c->corner[k], b = c->corner[nw_next_of(k)];
        /* A point on the edge itself has made a triangle without area. */
        if (c->beside[k] != NO_CELL &&
            (nw_mesh_turn(m, a, b, v) == 0 || nw_mesh_edge_is_bad(m, t, k))) {
            nw_mesh_flip(m, t, k);
            continue;
        }
        if (b == stop)
            return;
        t = c->beside[nw_next_of(k)];
    }
}

static void insert(nw_mesh *m, uint32_t v)
{
    uint32_t t = find_cell(m, v);
    nw_mesh_cell c = m->cells[t];
    m->latest = t;
    for (int k = 0; k < 3; k++) {
        const nw_mesh_place *p = &m->places[c.corner[k]];
        if (p->x == m->places[v].x && p->y == m->places[v].y) {
            m->vertex[v] = c.corner[k];
            return;
        }
    }
    m->vertex[v] = v;
    uint32_t made[3] = {t, m->count, m->count + 1};
    m->count += 2;
    for (int k = 0; k < 3; k++)
        m->cells[made[k]] = (nw_mesh_cell){.corner = {c.corner[k], c.corner[nw_next_of(k)], v}};
    for (int k = 0; k < 3; k++) {
        nw_mesh_cell part = m->cells[made[k]];
        part.beside[0] = c.beside[k];
        part.beside[1] = made[nw_next_of(k)];
        part.beside[2] = made[nw_after_next(k)];
        cell_set(m, made[k], part);
    }
    settle_round(m, t, v);
}

static void places_make(nw_mesh *m)
{
    const nw_point *points = m->region->points;
    nw_box box = nw_box_empty();
    for (uint32_t i = 0; i < m->points; i++)
        nw_box_take(&box, points[i], 0);
    nw_point low = box.min;
    double size = fmax(nw_box_width(box), nw_box_height(box));
    double scale = size > 0 && isfinite(size) ? GRID / size : 0;
    for (uint32_t i = 0; i < m->points; i++) {
        m->places[i].x = (int64_t)llround((points[i].x - low.x) * scale);
        m->places[i].y = (int64_t)llround((points[i].y - low.y) * scale);
    }
    m->places[m->points] = (nw_mesh_place){-8 * GRID, -8 * GRID};
    m->places[m->points + 1] = (nw_mesh_place){16 * GRID, -8 * GRID};
    m->places[m->points + 2] = (nw_mesh_place){-8 * GRID, 16 * GRID};
}

static bool points_insert(nw_mesh *m)
{
    nw_box *boxes = nw_alloc(m->points, sizeof *boxes);
    uint32_t *order = nw_alloc(m->points, sizeof *order);
    for (uint32_t i = 0; boxes && i < m->points; i++)
        boxes[i] = (nw_box){m->region->points[i], m->region->points[i]};
    bool good = boxes && order && nw_boxes_order(boxes, m->points, order);
    free(boxes);
    cell_set(m, m->count++,
             (nw_mesh_cell){.corner = {m->points, m->points + 1, m->points + 2},
                            .beside = {NO_CELL, NO_CELL, NO_CELL}});
    for (uint32_t i = 0; good && i < m->points; i++)
        insert(m, order[i]);
    free(order);
    return good;
}

bool nw_mesh_insert_points(nw_mesh *m)
{
    places_make(m);
    return points_insert(m);
}
