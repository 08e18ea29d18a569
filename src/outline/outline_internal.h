/* What the files of this folder share; nothing outside it includes this. */
#ifndef NARROWS_OUTLINE_INTERNAL_H
#define NARROWS_OUTLINE_INTERNAL_H

#include <outline/outline.h>

/* Points nearer to each other than this are one: the fit's own limit. */
#define SAME_MM 1e-6

/* ---- paths (path.c, box.c) ----------------------------------------------------------------- */

/* Where step index of the path begins. */
nw_point path_from(const nw_path *path, size_t index);

/* Turns the direction of travel round; the outline itself stays. */
void path_reverse(nw_path *path);

/* Place of a cubic Bézier at t, 0 to 1. */
static inline nw_point curve_at(nw_point from, nw_point a, nw_point b, nw_point to, double t)
{
    double s = 1 - t;
    double w0 = s * s * s, w1 = 3 * s * s * t, w2 = 3 * s * t * t, w3 = t * t * t;
    return (nw_point){w0 * from.x + w1 * a.x + w2 * b.x + w3 * to.x,
                      w0 * from.y + w1 * a.y + w2 * b.y + w3 * to.y};
}

/* The blossom of a cubic at u, v and w: at u, u, v and u, v, v the control points of its part from
 * one parameter to another. */
nw_point step_blossom(nw_point from, const nw_step *step, double u, double v, double w);

/* The angle that an arc turns through, counter-clockwise positive; a whole turn where it ends where
 * it began. */
double arc_sweep(nw_point from, const nw_step *step);

nw_box path_box(const nw_path *path);

/* Drops closed paths that bound a second layer of ink, or a hole in paper. If renumber, also sets
 * piece and hole of every path from which lies in which, and puts paths of one piece together,
 * outer outline first, pieces by area, largest first. Paths must not cross and must run ink-left;
 * they are told apart at the given flatness. (nest.c) */
nw_status drawing_nest(nw_drawing *drawing, double flatness, bool renumber, nw_error *error);

/* Cuts curves where they cross and joins them again so that they only touch; rings then bound
 * layers that drawing_nest sorts out. *left: crossings that could not be removed. (uncross.c) */
nw_status drawing_uncross(nw_drawing *drawing, double flatness, size_t *left, nw_error *error);

/* Moves the art's box to the origin and sets the drawing's size. */
void drawing_settle(nw_drawing *drawing);

/* ---- regions (region.c, crossing.c) -------------------------------------------------------- */

/* Adds an empty ring of the piece; points then go to it one by one. False: out of memory. */
typedef struct {
    nw_region region;
    size_t point_count, point_capacity, start_capacity, piece_capacity;
} region_builder;

bool region_begin_ring(region_builder *builder, size_t piece);
bool region_add_point(region_builder *builder, nw_point point);

/* Closes the last ring: drops points nearer than SAME_MM to the one before, and the whole ring
 * when fewer than three remain. */
void region_end_ring(region_builder *builder);

/* A place on a drawing: a step, counted through all paths, and its parameter from 0 to 1. */
typedef struct {
    size_t step;
    double t;
} step_place;

/* nw_drawing_flatten, with crossing chords cut finer in up to `rounds` - 1 rounds (0: not looked
 * for), telling how many crossings remain because the curves themselves cross, and in places (may
 * be NULL; to be freed) where each point lies. */
nw_status drawing_flatten(const nw_drawing *drawing, double flatness, int rounds, nw_region *region,
                          step_place **places, size_t *crossings, nw_error *error);

/* nw_drawing_flatten with the places (may be NULL; to be freed) on *own, which is to be freed too:
 * a copy of the drawing, taken apart where curves truly cross. */
nw_status drawing_flatten_own(const nw_drawing *drawing, double flatness, nw_drawing *own,
                              nw_region *region, step_place **places, nw_error *error);

/* ---- searching (tree.c, crossing.c) -------------------------------------------------------- */

typedef struct {
    nw_point a, b;
    size_t ring;
} segment;

/* Segment i begins at the region's point i. Level 0 has the boxes of four segments each: box k of
 * segments order[4 k] to order[4 k + 3]. */
typedef struct {
    segment *segments;
    uint32_t *order;
    nw_box *leaves; /* of the segments, in that order */
    nw_box *boxes;
    size_t count, levels;
    size_t level_start[32], level_count[32];
} segment_tree;

static inline nw_box segment_box(const segment *s)
{
    bool right = s->a.x < s->b.x, up = s->a.y < s->b.y;
    return (nw_box){{right ? s->a.x : s->b.x, up ? s->a.y : s->b.y},
                    {right ? s->b.x : s->a.x, up ? s->b.y : s->a.y}};
}

/* False when memory runs out. The region may be freed before the tree. */
bool segment_tree_make(segment_tree *tree, const nw_region *region);
void segment_tree_free(segment_tree *tree);

/* Calls found (may be NULL) for every two segments that cross, until it returns false; returns
 * their number. */
size_t crossings_find(const segment_tree *tree, const nw_region *region,
                      bool (*found)(void *context, size_t i, size_t j), void *context);

/* How far traced outlines are from the places that they were traced through: the largest distance
 * of a place, those that a corner rounds off left out, and of a corner's tip from the nearest
 * place. */
typedef struct {
    double places, tips;
} trace_far;

#endif
