/*
 * A list of boxes -> a tree of boxes, four to a node, and the walk through those that meet a box.
 *
 * The things keep their order: along an outline neighbours in the list are neighbours in the
 * plane, so nothing needs sorting and the tree is made in one pass per level (a packed R-tree,
 * Roussopoulos and Leifker, SIGMOD 1985, with the outline as the order).
 */
#include <fit/tree.h>

#include <math.h>
#include <stdlib.h>

nw_box nw_box_of(nw_point a, nw_point b, double margin)
{
    return (nw_box){{fmin(a.x, b.x) - margin, fmin(a.y, b.y) - margin},
                    {fmax(a.x, b.x) + margin, fmax(a.y, b.y) + margin}};
}

nw_box nw_box_round(nw_point p, double radius)
{
    return (nw_box){{p.x - radius, p.y - radius}, {p.x + radius, p.y + radius}};
}

static nw_box joined(nw_box a, nw_box b)
{
    return (nw_box){{fmin(a.min.x, b.min.x), fmin(a.min.y, b.min.y)},
                    {fmax(a.max.x, b.max.x), fmax(a.max.y, b.max.y)}};
}

static void level_fill(nw_tree *tree, int level)
{
    const nw_box *below = tree->boxes + tree->start[level - 1];
    nw_box *boxes = tree->boxes + tree->start[level];
    size_t below_count = tree->count[level - 1];
    for (size_t i = 0; i < tree->count[level]; i++) {
        size_t first = i * NW_TREE_WAYS, last = first + NW_TREE_WAYS;
        if (last > below_count)
            last = below_count;
        boxes[i] = below[first];
        for (size_t k = first + 1; k < last; k++)
            boxes[i] = joined(boxes[i], below[k]);
    }
}

nw_status nw_tree_make(const nw_box *boxes, size_t count, nw_tree *tree, nw_error *error)
{
    *tree = (nw_tree){0};
    size_t total = 0;
    for (size_t n = count; n > 0; n = (n + NW_TREE_WAYS - 1) / NW_TREE_WAYS) {
        tree->start[tree->levels] = total;
        tree->count[tree->levels++] = n;
        total += n;
        if (n == 1)
            break;
    }
    tree->boxes = nw_alloc(total, sizeof *tree->boxes);
    if (!tree->boxes)
        return nw_fail_memory(error, "the tree of boxes");
    for (size_t i = 0; i < count; i++)
        tree->boxes[i] = boxes[i];
    for (int level = 1; level < tree->levels; level++)
        level_fill(tree, level);
    return NW_OK;
}

void nw_tree_free(nw_tree *tree)
{
    if (!tree)
        return;
    free(tree->boxes);
    *tree = (nw_tree){0};
}

static bool meet(nw_box a, nw_box b)
{
    return a.min.x <= b.max.x && b.min.x <= a.max.x && a.min.y <= b.max.y && b.min.y <= a.max.y;
}

/* Square of the distance from a point to a box. */
static double away(nw_point p, nw_box box)
{
    double x = p.x < box.min.x ? box.min.x - p.x : p.x > box.max.x ? p.x - box.max.x : 0;
    double y = p.y < box.min.y ? box.min.y - p.y : p.y > box.max.y ? p.y - box.max.y : 0;
    return x * x + y * y;
}

void nw_walk_start(nw_walk *walk, const nw_tree *tree, nw_box box, nw_point near)
{
    walk->tree = tree;
    walk->box = box;
    walk->near = near;
    walk->depth = tree->levels > 0;
    walk->stack[0].index = 0;
    walk->stack[0].level = tree->levels > 0 ? (uint32_t)tree->levels - 1 : 0;
}

/* Puts the children that meet the box on the stack, the nearest on top. */
static void descend(nw_walk *walk, uint32_t level, uint32_t index)
{
    const nw_tree *tree = walk->tree;
    const nw_box *boxes = tree->boxes + tree->start[level - 1];
    size_t first = (size_t)index * NW_TREE_WAYS, last = first + NW_TREE_WAYS;
    if (last > tree->count[level - 1])
        last = tree->count[level - 1];
    double distance[NW_TREE_WAYS];
    int held = 0;
    for (size_t i = first; i < last; i++) {
        if (!meet(boxes[i], walk->box))
            continue;
        double d = away(walk->near, boxes[i]);
        int k = held++;
        for (; k > 0 && distance[k - 1] < d; k--) {
            distance[k] = distance[k - 1];
            walk->stack[walk->depth + k] = walk->stack[walk->depth + k - 1];
        }
        distance[k] = d;
        walk->stack[walk->depth + k].index = (uint32_t)i;
        walk->stack[walk->depth + k].level = level - 1;
    }
    walk->depth += held;
}

bool nw_walk_next(nw_walk *walk, uint32_t *thing)
{
    const nw_tree *tree = walk->tree;
    while (walk->depth > 0) {
        walk->depth--;
        uint32_t level = walk->stack[walk->depth].level;
        uint32_t index = walk->stack[walk->depth].index;
        if (!meet(tree->boxes[tree->start[level] + index], walk->box))
            continue;
        if (level == 0) {
            *thing = index;
            return true;
        }
        descend(walk, level, index);
    }
    return false;
}
