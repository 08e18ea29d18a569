/* A triangulation under way. Internal to the folder. */
#ifndef NARROWS_MESH_H
#define NARROWS_MESH_H

#include <geom/geom.h>

#define NO_CELL UINT32_MAX

typedef struct {
    int64_t x, y;
} nw_mesh_place;

typedef enum { NOTHING = 0, INK_SIDE = 1, PAPER_SIDE = 2 } nw_mesh_side;

typedef struct {
    uint32_t corner[3], beside[3];
    uint8_t edge[3]; /* edge_kind bits: an outline's edge, seen from this triangle */
    bool inside, known;
} nw_mesh_cell;

typedef struct {
    uint32_t from, to;
} nw_mesh_edge;

typedef struct {
    const nw_region *region;
    uint32_t points;
    nw_mesh_place *places; /* of the points, then of three far corners */
    uint32_t *vertex;      /* of a point: itself, or the earlier one at its place */
    uint32_t *touching;
    nw_mesh_cell *cells;
    uint32_t count, latest;
    nw_mesh_edge *crossed;
    size_t crossed_count, crossed_capacity;
    bool failed;
} nw_mesh;

static inline int nw_next_of(int k)
{
    return k == 2 ? 0 : k + 1;
}

static inline int nw_after_next(int k)
{
    return k == 0 ? 2 : k - 1;
}

/* Positive where c lies to the left of the way from a to b. */
static inline int64_t nw_mesh_turn(const nw_mesh *m, uint32_t a, uint32_t b, uint32_t c)
{
    const nw_mesh_place *p = &m->places[a], *q = &m->places[b], *r = &m->places[c];
    return (q->x - p->x) * (r->y - p->y) - (q->y - p->y) * (r->x - p->x);
}

static inline int nw_corner_of(const nw_mesh_cell *c, uint32_t v)
{
    return c->corner[0] == v ? 0 : c->corner[1] == v ? 1 : 2;
}

/* Turns the edge between t and its neighbour to the other diagonal. Seen from the corner opposite
 * the edge, t is then the right one of the two. (mesh.c) */
void nw_mesh_flip(nw_mesh *m, uint32_t t, int k);

/* Whether the far corner of the neighbour lies within the triangle's circle. (mesh.c) */
bool nw_mesh_edge_is_bad(const nw_mesh *m, uint32_t t, int k);

/* Takes the region's points in; needs room for them in all arrays. False when memory runs out, or
 * when they are all one. (mesh.c) */
bool nw_mesh_insert_points(nw_mesh *m);

/* Makes the outlines' edges the mesh's and marks them; sets failed when memory runs out.
 * (mesh_edges.c) */
void nw_mesh_win_edges(nw_mesh *m);

#endif
