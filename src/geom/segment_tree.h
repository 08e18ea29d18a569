/* The segments of a region by place. */
#ifndef NARROWS_GEOM_SEGMENT_TREE_H
#define NARROWS_GEOM_SEGMENT_TREE_H

#include <geom/drawing.h>

/* Fills order[0..count-1] with the boxes' indices, so that boxes which follow one another lie near
 * one another; few boxes stay in their order. The same boxes give the same order. False when memory
 * runs out, or when there are more than 2^32 - 1. */
bool nw_boxes_order(const nw_box *boxes, size_t count, uint32_t *order);

typedef struct {
    nw_point a, b;
    size_t ring;
} nw_segment;

/* Segment i begins at the region's point i. Level 0 has the boxes of four segments each: box k of
 * segments order[4 k] to order[4 k + 3]. */
typedef struct {
    nw_segment *segments;
    uint32_t *order;
    nw_box *leaves; /* of the segments, in that order */
    nw_box *boxes;
    size_t count, levels;
    size_t level_start[32], level_count[32];
} nw_segment_tree;

static inline nw_box segment_box(const nw_segment *s)
{
    bool right = s->a.x < s->b.x, up = s->a.y < s->b.y;
    return (nw_box){{right ? s->a.x : s->b.x, up ? s->a.y : s->b.y},
                    {right ? s->b.x : s->a.x, up ? s->b.y : s->a.y}};
}

/* False when memory runs out. The region may be freed before the tree. */
bool nw_segment_tree_make(nw_segment_tree *tree, const nw_region *region);
void nw_segment_tree_free(nw_segment_tree *tree);

/* Calls found (may be NULL) for every two segments that cross, until it returns false; returns
 * their number. */
size_t nw_crossings_find(const nw_segment_tree *tree, const nw_region *region,
                         bool (*found)(void *context, size_t i, size_t j), void *context);

#endif
