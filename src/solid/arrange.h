/* arrange: what the files of this folder share: the shapes' chords on a grid, the edges that they
 * become, and the faces between these. Nothing outside the folder includes this. */
#ifndef NARROWS_ARRANGE_H
#define NARROWS_ARRANGE_H

#include <solid/solid.h>

#define NW_NO_INDEX UINT32_MAX

/* A place on the grid, within NW_GRID_LIMIT of its middle: cross products fit into 64 bits. */
typedef struct {
    int32_t x, y;
} nw_node;

#define NW_GRID_BITS 28
#define NW_GRID_LIMIT ((1 << NW_GRID_BITS) - 1)

/* A line or curve of an outline, cut into `cuts` chords of equal steps of its parameter. */
typedef struct {
    nw_point from;
    nw_step step;
    uint32_t shape;
    uint16_t cuts;
    bool beyond; /* reaches beyond the grid, along whose border it runs instead */
} nw_chorded;

/* The part of a step between two of its cuts; it runs to the larger of them. */
typedef struct {
    nw_node low, high; /* by x, then by y; not the same */
    uint16_t at_low, at_high;
    uint32_t step;
} nw_chord;

/* Chords between the same two places, either way, which do not cancel one another. */
typedef struct {
    uint32_t chord, chord_count;
    uint32_t first, count; /* its nodes: along[first] is low, along[first + count - 1] is high */
} nw_chord_line;

/* Between nodes u < v; its chords are members[first] up to the next edge's first, each twice the
 * chord's number, plus 1 where it runs from v to u. */
typedef struct {
    uint32_t u, v, first;
} nw_edge;

/* Half-edge 2 e runs along edge e from u to v, 2 e + 1 back. The face lies to its left. */
typedef struct {
    nw_error *error;
    nw_status status; /* why a stage did not succeed */
    void **rooms;     /* see nw_room */
    size_t room_count, room_capacity;
    double grid;               /* places lie on whole multiples of it */
    double flatness;           /* how far a chord may leave its curve */
    double middle_x, middle_y; /* of the grid, in its units */
    size_t most;               /* chords allowed */
    double more;               /* times the crossings that are usually allowed */
    uint32_t shape_count;
    nw_chorded *steps;
    size_t step_count, step_capacity;
    nw_chord *chords;
    size_t chord_count, chord_capacity;
    nw_chord_line *lines;
    size_t line_count;
    nw_node *nodes; /* by x, then by y */
    size_t node_count;
    uint32_t *along; /* the lines' nodes */
    nw_edge *edges;  /* by u, then by v; edge_count and one more */
    uint32_t *members;
    size_t edge_count;
    uint32_t *next; /* the half-edge that goes on round the same face */
    uint32_t *last; /* of each node the half-edge that leaves it furthest counter-clockwise from
                       just below the left; NW_NO_INDEX where none does */
    uint32_t *face; /* of each half-edge; 0: outside all */
    size_t face_count;
    bool *ink; /* of each face */
} nw_arrangement;

/* Cleared memory that lasts as long as the arrangement. NULL, with the status set, when it runs
 * out. (arrange_memory.c) */
void *nw_room(nw_arrangement *all, size_t count, size_t size);

/* Sets the status for memory that ran out; false. */
bool nw_ran_out(nw_arrangement *all);

/* Positive: c lies to the left of the line from a to b. */
static inline int64_t nw_nodes_side(nw_node a, nw_node b, nw_node c)
{
    return ((int64_t)b.x - a.x) * ((int64_t)c.y - a.y) -
           ((int64_t)b.y - a.y) * ((int64_t)c.x - a.x);
}

static inline bool nw_nodes_same(nw_node a, nw_node b)
{
    return a.x == b.x && a.y == b.y;
}

/* By x, then by y: as a comparison for qsort. */
static inline int nw_nodes_order(nw_node a, nw_node b)
{
    return a.x != b.x ? (a.x < b.x ? -1 : 1) : a.y != b.y ? (a.y < b.y ? -1 : 1) : 0;
}

static inline uint32_t nw_half_from(const nw_arrangement *all, uint32_t half)
{
    return half & 1 ? all->edges[half >> 1].v : all->edges[half >> 1].u;
}

/* Ink to the left only. */
static inline bool nw_is_border(const nw_arrangement *all, uint32_t half)
{
    return all->ink[all->face[half]] && !all->ink[all->face[half ^ 1]];
}

/* ---- the stages, in their order; false: the status says why ------------------------------------
 */

/* Adds a shape's outlines, as the next shape. (chords.c) */
bool nw_chords_add(nw_arrangement *all, const nw_drawing *outline);

/* Finds the lines: sorts the chords. (chords.c) */
bool nw_lines_find(nw_arrangement *all);

/* Cuts lines where they cross or meet: nodes, and those along each line. (noding.c) */
bool nw_lines_node(nw_arrangement *all);

/* Edges between nodes, and how they turn round them. (edges.c) */
bool nw_edges_make(nw_arrangement *all);

/* The face of each half-edge. (faces.c) */
bool nw_faces_find(nw_arrangement *all);

/* Which faces stay ink. (paint_layers.c) */
bool nw_faces_paint(nw_arrangement *all, const nw_painting *painting, nw_paint_counts *counts);

/* The ink's rings, as paths of pieces. (face_rings.c) */
bool nw_rings_write(nw_arrangement *all, nw_drawing *drawing);

/* ---- restore.c ------------------------------------------------------------------------------- */

/* A node in the drawing's units. */
typedef struct {
    nw_point at;      /* x is NAN until it is known */
    uint32_t step;    /* where it is known from */
    uint32_t borders; /* of the ink that leave it: more than one where rings touch */
} nw_place;

/* Of all nodes; known where a step begins or ends, the first's that does. NULL: see the status. */
nw_place *nw_places_find(nw_arrangement *all);

/* A ring of half-edges -> a closed path whose runs along one line or curve are its exact part
 * again. Fills in what is missing of places. False when memory runs out. */
bool nw_ring_restore(const nw_arrangement *all, nw_place *places, const uint32_t *ring,
                     size_t count, nw_path *path);

#endif
