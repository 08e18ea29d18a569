/* A tree of boxes over things. Internal. */
#ifndef NARROWS_FIT_TREE_H
#define NARROWS_FIT_TREE_H

#include <geom/point.h>
#include <base/base.h>

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

/* Takes boxes[0..count-1] as the things. */
nw_status nw_tree_make(const nw_box *boxes, size_t count, nw_tree *tree, nw_error *error);
void nw_tree_free(nw_tree *tree);

/* Visits the things whose boxes meet `box`, those near `near` first. The caller may shrink box
 * between two steps. */
typedef struct {
    const nw_tree *tree;
    nw_box box;
    nw_point near;
    float far; /* square of the distance from near that counts */
    int depth;
    struct {
        uint32_t index;
        int32_t level; /* of a node; -1: a thing */
    } stack[NW_TREE_LEVELS * NW_TREE_WAYS];
} nw_walk;

void nw_walk_start(nw_walk *walk, const nw_tree *tree, nw_box box, nw_point near);

/* From here on only what comes within the radius of near, which may move, at any time. */
void nw_walk_within(nw_walk *walk, nw_point near, double radius);
bool nw_walk_next(nw_walk *walk, uint32_t *thing);

nw_box nw_box_round(nw_point p, double radius);
nw_box nw_box_of(nw_point a, nw_point b, double margin);

#endif
