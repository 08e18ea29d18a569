/*
 * triangles: a region -> the triangles of its ink: of its constrained Delaunay triangulation
 * (mesh.c, mesh_edges.c) those that lie in the region.
 *
 * Triangles tell ink from paper by the outline edges that they have themselves; only those without
 * one ask their neighbours, so that an edge that could not be won spoils little.
 */
#include <lines/mesh.h>
#include <lines/triangles.h>

#include <stdlib.h>

#define MOST_POINTS (1u << 30)

/* What a triangle's own outline edges say of it. */
static void judge_alone(nw_mesh_cell *c)
{
    int ink = 0;
    for (int k = 0; k < 3; k++) {
        ink += (c->edge[k] & INK_SIDE ? 1 : 0) - (c->edge[k] & PAPER_SIDE ? 1 : 0);
        c->known |= c->edge[k] != NOTHING;
    }
    c->inside = ink > 0;
}

/* Triangles without an outline's edge are what the known ones beside them are. */
static bool ink_find(nw_mesh *m)
{
    uint32_t *queue = nw_alloc(m->count, sizeof *queue), length = 0;
    for (uint32_t t = 0; queue && t < m->count; t++) {
        judge_alone(&m->cells[t]);
        if (m->cells[t].known)
            queue[length++] = t;
    }
    for (uint32_t i = 0; queue && i < length; i++) {
        const nw_mesh_cell *c = &m->cells[queue[i]];
        for (int k = 0; k < 3; k++) {
            nw_mesh_cell *other = c->beside[k] == NO_CELL ? NULL : &m->cells[c->beside[k]];
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
static bool counts(const nw_mesh *m, const nw_mesh_cell *c)
{
    return c->inside && c->corner[0] < m->points && c->corner[1] < m->points &&
           c->corner[2] < m->points;
}

static bool result_make(const nw_mesh *m, nw_triangulation *result)
{
    uint32_t *number = nw_alloc(m->count, sizeof *number);
    result->items = nw_alloc(m->count, sizeof *result->items);
    if (!number || !result->items) {
        free(number);
        return false;
    }
    for (uint32_t t = 0; t < m->count; t++)
        number[t] = counts(m, &m->cells[t]) ? result->count++ : NO_TRIANGLE;
    for (uint32_t t = 0; t < m->count; t++) {
        const nw_mesh_cell *c = &m->cells[t];
        for (int k = 0; k < 3 && number[t] != NO_TRIANGLE; k++) {
            nw_triangle *made = &result->items[number[t]];
            bool shut = c->edge[k] != NOTHING || c->beside[k] == NO_CELL;
            made->corner[k] = c->corner[k];
            made->beside[k] = shut ? NO_TRIANGLE : number[c->beside[k]];
        }
    }
    free(number);
    return true;
}

static void mesh_free(nw_mesh *m)
{
    free(m->places);
    free(m->vertex);
    free(m->touching);
    free(m->cells);
    free(m->crossed);
}

void nw_triangulation_free(nw_triangulation *t)
{
    if (t) {
        free(t->items);
        *t = (nw_triangulation){0};
    }
}

bool nw_triangulation_make(const nw_region *region, nw_triangulation *result)
{
    *result = (nw_triangulation){0};
    size_t points = nw_region_size(region);
    if (points == 0 || points >= MOST_POINTS)
        return points == 0;
    nw_mesh m = {.region = region, .points = (uint32_t)points};
    m.places = nw_alloc(points + 3, sizeof *m.places);
    m.vertex = nw_alloc(points, sizeof *m.vertex);
    m.touching = nw_alloc(points + 3, sizeof *m.touching);
    m.cells = nw_alloc(2 * points + 1, sizeof *m.cells);
    bool good = m.places && m.vertex && m.touching && m.cells;
    good = good && nw_mesh_insert_points(&m);
    if (good) {
        nw_mesh_win_edges(&m);
        good = !m.failed && ink_find(&m) && result_make(&m, result);
    }
    mesh_free(&m);
    if (!good)
        nw_triangulation_free(result);
    return good;
}
