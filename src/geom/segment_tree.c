/* segment_tree: a region -> its segments and a tree of boxes over them. */
#include <geom/box_tree.h>

#include <stdlib.h>

void nw_segment_tree_free(nw_segment_tree *tree)
{
    if (!tree)
        return;
    free(tree->segments);
    nw_tree_free(&tree->tree);
    *tree = (nw_segment_tree){0};
}

bool nw_segment_tree_some(nw_segment_tree *tree, const nw_region *region, const uint32_t *which,
                          size_t which_count)
{
    size_t count = nw_region_size(region), boxed = which ? which_count : count;
    nw_box *boxes = nw_alloc_raw(boxed, sizeof *boxes);
    *tree =
        (nw_segment_tree){.segments = nw_alloc_raw(count, sizeof *tree->segments), .count = count};
    bool good = boxes && tree->segments;
    for (size_t k = 0, n = 0; good && k < region->count; k++) {
        size_t first = region->starts[k], end = region->starts[k + 1];
        for (size_t i; n < boxed && (i = which ? which[n] : n) < end; n++) {
            nw_point a = region->points[i], b = region->points[i + 1 < end ? i + 1 : first];
            tree->segments[i] = (nw_segment){a, b, k};
            boxes[n] = nw_box_of(a, b, 0);
        }
    }
    good = good && nw_tree_make(boxes, boxed, &tree->tree, NULL) == NW_OK;
    for (size_t k = 0; good && which && k < boxed; k++)
        tree->tree.order[k] = which[tree->tree.order[k]];
    free(boxes);
    if (!good)
        nw_segment_tree_free(tree);
    return good;
}

bool nw_segment_tree_make(nw_segment_tree *tree, const nw_region *region)
{
    return nw_segment_tree_some(tree, region, NULL, 0);
}
