/*
 * tree: a 4-ary tree of boxes over the segments of a region, put in an order in which those that
 * follow one another lie near one another: level 0 holds the box of every four segments, each
 * further level the box of four boxes, up to one box of everything.
 */
#include <geom/segment_tree.h>

#include <math.h>
#include <stdlib.h>

void nw_segment_tree_free(nw_segment_tree *tree)
{
    if (tree) {
        free(tree->segments);
        free(tree->order);
        free(tree->leaves);
        free(tree->boxes);
        *tree = (nw_segment_tree){0};
    }
}

static void fill_segments(nw_segment_tree *tree, const nw_region *region)
{
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], end = region->starts[k + 1];
        for (size_t i = first; i < end; i++) {
            size_t next = i + 1 < end ? i + 1 : first;
            tree->segments[i] = (nw_segment){region->points[i], region->points[next], k};
        }
    }
}

static void fill_level(nw_segment_tree *tree, size_t level)
{
    size_t below = level ? tree->level_count[level - 1] : tree->count;
    for (size_t i = 0; i < tree->level_count[level]; i++) {
        nw_box box = nw_box_empty();
        for (size_t j = 4 * i; j < 4 * i + 4 && j < below; j++) {
            nw_box_grow(&box,
                        level ? tree->boxes[tree->level_start[level - 1] + j] : tree->leaves[j]);
        }
        tree->boxes[tree->level_start[level] + i] = box;
    }
}

static bool fill_order(nw_segment_tree *tree)
{
    nw_box *boxes = nw_alloc(tree->count, sizeof *boxes);
    tree->order = nw_alloc(tree->count, sizeof *tree->order);
    tree->leaves = nw_alloc(tree->count, sizeof *tree->leaves);
    bool good = boxes && tree->order && tree->leaves;
    for (size_t i = 0; good && i < tree->count; i++) {
        boxes[i] = segment_box(&tree->segments[i]);
    }
    good = good && nw_boxes_order(boxes, tree->count, tree->order);
    for (size_t i = 0; good && i < tree->count; i++) {
        tree->leaves[i] = boxes[tree->order[i]];
    }
    free(boxes);
    return good;
}

bool nw_segment_tree_make(nw_segment_tree *tree, const nw_region *region)
{
    *tree = (nw_segment_tree){.count = region->count ? region->starts[region->count] : 0};
    size_t total = 0;
    for (size_t n = (tree->count + 3) / 4;; n = (n + 3) / 4) {
        tree->level_start[tree->levels] = total;
        tree->level_count[tree->levels++] = n;
        total += n;
        if (n <= 1) {
            break;
        }
    }
    tree->segments = nw_alloc(tree->count, sizeof *tree->segments);
    tree->boxes = nw_alloc(total, sizeof *tree->boxes);
    if (tree->segments && tree->boxes) {
        fill_segments(tree, region);
    }
    if (!tree->segments || !tree->boxes || !fill_order(tree)) {
        nw_segment_tree_free(tree);
        return false;
    }
    for (size_t level = 0; level < tree->levels; level++) {
        fill_level(tree, level);
    }
    return true;
}
