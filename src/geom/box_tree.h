/* A tree of boxes over things, and over the segments of a region. Internal. */
#ifndef NARROWS_GEOM_BOX_TREE_H
#define NARROWS_GEOM_BOX_TREE_H

#include <geom/drawing.h>

#include <string.h>

#define NW_TREE_WAYS 4
#define NW_TREE_LEVELS 17 /* 4^16 things are more than any 32-bit index */

/* Four boxes side by side, rounded outwards, so that all are compared at once: one cache line. */
typedef struct {
    float min_x[NW_TREE_WAYS], min_y[NW_TREE_WAYS], max_x[NW_TREE_WAYS], max_y[NW_TREE_WAYS];
} nw_tree_node;

/* Node k of level 0 holds the things order[4 k] to order[4 k + 3], node k of a higher level as many
 * nodes of the level below; the last level is one node. */
typedef struct {
    nw_tree_node *nodes;
    uint32_t *order;
    size_t start[NW_TREE_LEVELS];
    int levels;
} nw_tree;

/* Four lanes at once (vectors of GCC and clang; they do without a vector unit too). */
typedef float nw_lanes __attribute__((vector_size(4 * NW_TREE_WAYS)));
typedef int32_t nw_lane_bits __attribute__((vector_size(4 * NW_TREE_WAYS)));

static inline nw_lanes nw_lanes_load(const float from[NW_TREE_WAYS])
{
    nw_lanes out;
    memcpy(&out, from, sizeof out);
    return out;
}

/* All bits of the lanes whose boxes meet this one, which is given as they are. */
static inline nw_lane_bits nw_lanes_meet(const nw_tree_node *node, float min_x, float min_y,
                                         float max_x, float max_y)
{
    return (nw_lanes_load(node->min_x) <= max_x) & (nw_lanes_load(node->max_x) >= min_x) &
           (nw_lanes_load(node->min_y) <= max_y) & (nw_lanes_load(node->max_y) >= min_y);
}

static inline nw_box nw_tree_box(const nw_tree_node *node, size_t way)
{
    return (nw_box){{node->min_x[way], node->min_y[way]}, {node->max_x[way], node->max_y[way]}};
}

/* Fills order[0..count-1] with the boxes' indices, so that boxes which follow one another lie near
 * one another; few boxes stay in their order. The same boxes give the same order. False when memory
 * runs out, or when there are more than 2^32 - 1. (box_order.c) */
bool nw_boxes_order(const nw_box *boxes, size_t count, uint32_t *order);

/* Takes boxes[0..count-1] as the things. */
nw_status nw_tree_make(const nw_box *boxes, size_t count, nw_tree *tree, nw_error *error);
void nw_tree_free(nw_tree *tree);

/* Visits the things whose boxes meet a box, those near a point first. */
typedef struct {
    const nw_tree *tree;
    float min_x, min_y, max_x, max_y; /* the box */
    float near_x, near_y;
    float centre_x, centre_y; /* near, unless they are apart */
    float far;                /* square of the distance from there that counts */
    bool apart;
    const uint32_t
        *marks;      /* of the nodes, or NULL; those that have `passed` are passed over, and */
    uint32_t passed; /* so are those without any */
    int depth;
    struct {
        uint32_t index;
        int32_t level; /* of a node; -1: a thing */
    } stack[NW_TREE_LEVELS * NW_TREE_WAYS];
} nw_walk;

void nw_walk_start(nw_walk *walk, const nw_tree *tree, nw_box box, nw_point near);

/* From here on only what meets this box, which lies in the one before. */
void nw_walk_box(nw_walk *walk, nw_box box);

/* From here on only what comes within the radius of near, which may move, at any time. */
void nw_walk_limit(nw_walk *walk, nw_point near, double radius);

/* From here on only what meets this disc; what is near to where the walk started still comes
 * first. */
void nw_walk_disc(nw_walk *walk, nw_point centre, double radius);
bool nw_walk_next(nw_walk *walk, uint32_t *thing);

#define NW_MARK_NONE UINT32_MAX
#define NW_MARK_SEVERAL (UINT32_MAX - 1)

/* The mark that all marked things of each node have, from the things' own; NULL when memory runs
 * out. */
uint32_t *nw_tree_marks(const nw_tree *tree, const uint32_t *of_things, size_t count);

/* From its start on, leaves out what it can of the things that have this mark or none. */
void nw_walk_pass(nw_walk *walk, const uint32_t *marks, uint32_t mark);

#define NW_NEAR_NODES 64

/* Few things out of a tree, to be asked again and again. */
typedef struct {
    nw_tree_node nodes[NW_NEAR_NODES];
    uint32_t things[NW_NEAR_NODES * NW_TREE_WAYS];
    int count;
} nw_near;

/* The things whose boxes come within the radius of the centre; false when they are more than
 * `most`, which is no more than there is room for. */
bool nw_near_find(nw_near *near, const nw_tree *tree, nw_point centre, double radius, int most);

/* Puts those of them that come within the radius of a centre into things, and returns how many
 * there are. */
int nw_near_to(const nw_near *near, nw_point centre, double radius,
               uint32_t things[NW_NEAR_NODES * NW_TREE_WAYS]);

/* Visits the things whose boxes, and all boxes around them, `enters` lets in, in the tree's order.
 */
void nw_tree_visit(const nw_tree *tree, bool (*enters)(void *context, nw_box box),
                   void (*thing)(void *context, uint32_t thing), void *context);

typedef struct {
    nw_point a, b;
    size_t ring;
} nw_segment;

/* Segment i begins at the region's point i. */
typedef struct {
    nw_segment *segments;
    size_t count;
    nw_tree tree;
} nw_segment_tree;

/* False when memory runs out. The region may be freed before the tree. (segment_tree.c) */
bool nw_segment_tree_make(nw_segment_tree *tree, const nw_region *region);
void nw_segment_tree_free(nw_segment_tree *tree);

/* The same of those segments alone, in ascending order, each still at its place; NULL: of all. */
bool nw_segment_tree_some(nw_segment_tree *tree, const nw_region *region, const uint32_t *which,
                          size_t which_count);

/* Calls found (may be NULL) for every two segments that cross, until it returns false; returns
 * their number. (crossing.c) */
size_t nw_crossings_find(const nw_segment_tree *tree, const nw_region *region,
                         bool (*found)(void *context, size_t i, size_t j), void *context);

#endif
