/* A triangulation under way. Internal to the folder. */
#ifndef NARROWS_MESH_H
#define NARROWS_MESH_H

#include <geom/geom.h>

#define NO_CELL UINT32_MAX

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

static inline int next_of(int k)
{
    return k == 2 ? 0 : k + 1;
}

static inline int after_next(int k)
{
    return k == 0 ? 2 : k - 1;
}

/* Positive where c lies to the left of the way from a to b. */
static inline int64_t turn(const mesh *m, uint32_t a, uint32_t b, uint32_t c)
{
    const place *p = &m->places[a], *q = &m->places[b], *r = &m->places[c];
    return (q->x - p->x) * (r->y - p->y) - (q->y - p->y) * (r->x - p->x);
}

static inline int corner_of(const cell *c, uint32_t v)
{
    return c->corner[0] == v ? 0 : c->corner[1] == v ? 1 : 2;
}

/* Turns the edge between t and its neighbour to the other diagonal. Seen from the corner opposite
 * the edge, t is then the right one of the two. (mesh.c) */
void nw_mesh_flip(mesh *m, uint32_t t, int k);

/* Whether the far corner of the neighbour lies within the triangle's circle. (mesh.c) */
bool nw_mesh_edge_is_bad(const mesh *m, uint32_t t, int k);

/* Takes the region's points in; needs room for them in all arrays. False when memory runs out, or
 * when they are all one. (mesh.c) */
bool nw_mesh_insert_points(mesh *m);

/* Makes the outlines' edges the mesh's and marks them; sets failed when memory runs out.
 * (mesh_edges.c) */
void nw_mesh_win_edges(mesh *m);

#endif
