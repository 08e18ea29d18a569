/*
 * A list of boxes -> a tree of boxes, four to a node, and the walk through those that meet a box.
 *
 * The things are put in an order in which neighbours are near each other in the plane, and the tree
 * is made from it in one pass per level (a packed R-tree, Roussopoulos and Leifker, SIGMOD 1985;
 * the order by Hilbert's curve, see nw_boxes_order). Boxes are kept in single
 * precision, rounded outwards by two steps or so; a walk may visit a thing that just fails to
 * meet its box, never miss one.
 */
#include <geom/box_tree.h>

#include <math.h>
#include <stdlib.h>

/* The next number away from zero, or towards it; v is neither 0 nor as far as numbers go. */
static float next_number(float v, bool away)
{
    int32_t bits;
    memcpy(&bits, &v, sizeof bits);
    bits += away ? 1 : -1;
    memcpy(&v, &bits, sizeof v);
    return v;
}

/* nextafterf, which takes a call for each of a tree's numbers. */
static float rounded_up(double v)
{
    float near = (float)v;
    return near == 0 || isinf(near) ? nextafterf(near, INFINITY) : next_number(near, near > 0);
}

static float rounded_down(double v)
{
    return -rounded_up(-v);
}

/* A lane that meets nothing. */
static void lane_empty(nw_tree_node *node, size_t lane)
{
    node->min_x[lane] = node->min_y[lane] = INFINITY;
    node->max_x[lane] = node->max_y[lane] = -INFINITY;
}

/* fminf, which takes a call. */
static float smaller(float a, float b)
{
    return b < a ? b : a;
}

static void lane_join(nw_tree_node *node, size_t lane, const nw_tree_node *below)
{
    lane_empty(node, lane);
    for (int k = 0; k < NW_TREE_WAYS; k++) {
        node->min_x[lane] = smaller(node->min_x[lane], below->min_x[k]);
        node->min_y[lane] = smaller(node->min_y[lane], below->min_y[k]);
        node->max_x[lane] = -smaller(-node->max_x[lane], -below->max_x[k]);
        node->max_y[lane] = -smaller(-node->max_y[lane], -below->max_y[k]);
    }
}

static void things_fill(nw_tree *tree, const nw_box *boxes, size_t count)
{
    for (size_t i = 0; i < (count + NW_TREE_WAYS - 1) / NW_TREE_WAYS * NW_TREE_WAYS; i++) {
        nw_tree_node *node = &tree->nodes[i / NW_TREE_WAYS];
        size_t lane = i % NW_TREE_WAYS;
        lane_empty(node, lane);
        if (i >= count)
            continue;
        nw_box box = boxes[tree->order[i]];
        node->min_x[lane] = rounded_down(box.min.x);
        node->min_y[lane] = rounded_down(box.min.y);
        node->max_x[lane] = rounded_up(box.max.x);
        node->max_y[lane] = rounded_up(box.max.y);
    }
}

static void level_fill(nw_tree *tree, int level, size_t below_count)
{
    const nw_tree_node *below = tree->nodes + tree->start[level - 1];
    nw_tree_node *nodes = tree->nodes + tree->start[level];
    size_t full = (below_count + NW_TREE_WAYS - 1) / NW_TREE_WAYS * NW_TREE_WAYS;
    for (size_t i = 0; i < full; i++) {
        nw_tree_node *node = &nodes[i / NW_TREE_WAYS];
        if (i < below_count)
            lane_join(node, i % NW_TREE_WAYS, &below[i]);
        else
            lane_empty(node, i % NW_TREE_WAYS);
    }
}

nw_status nw_tree_make(const nw_box *boxes, size_t count, nw_tree *tree, nw_error *error)
{
    *tree = (nw_tree){0};
    size_t total = 0, counts[NW_TREE_LEVELS];
    for (size_t n = count; n > 1 || (n == 1 && total == 0);) {
        n = (n + NW_TREE_WAYS - 1) / NW_TREE_WAYS;
        tree->start[tree->levels] = total;
        counts[tree->levels++] = n;
        total += n;
    }
    tree->nodes = nw_alloc_raw(total, sizeof *tree->nodes);
    tree->order = nw_alloc_raw(count, sizeof *tree->order);
    if (!tree->nodes || !tree->order || !nw_boxes_order(boxes, count, tree->order)) {
        nw_tree_free(tree);
        return nw_fail_memory(error, "the tree of boxes");
    }
    things_fill(tree, boxes, count);
    for (int level = 1; level < tree->levels; level++)
        level_fill(tree, level, counts[level - 1]);
    return NW_OK;
}

void nw_tree_free(nw_tree *tree)
{
    if (!tree)
        return;
    free(tree->nodes);
    free(tree->order);
    *tree = (nw_tree){0};
}

void nw_walk_start(nw_walk *walk, const nw_tree *tree, nw_box box, nw_point near)
{
    walk->tree = tree;
    nw_walk_box(walk, box);
    walk->near_x = walk->centre_x = (float)near.x;
    walk->near_y = walk->centre_y = (float)near.y;
    walk->far = INFINITY;
    walk->apart = false;
    walk->marks = NULL;
    walk->depth = tree->levels > 0;
    walk->stack[0].index = 0;
    walk->stack[0].level = tree->levels - 1;
}

void nw_walk_box(nw_walk *walk, nw_box box)
{
    walk->min_x = (float)box.min.x;
    walk->min_y = (float)box.min.y;
    walk->max_x = (float)box.max.x;
    walk->max_y = (float)box.max.y;
}

#define ROUNDING 4e-7 /* of a coordinate or length in single precision, and more */

/* The square of a distance from the centre that is not less than the radius. */
static float square_within(nw_point centre, double radius)
{
    double reach = radius + ROUNDING * (radius + fabs(centre.x) + fabs(centre.y));
    return rounded_up(reach * reach);
}

static void walk_within(nw_walk *walk, nw_point centre, double radius)
{
    walk->centre_x = (float)centre.x;
    walk->centre_y = (float)centre.y;
    walk->far = square_within(centre, radius);
}

void nw_walk_limit(nw_walk *walk, nw_point near, double radius)
{
    walk_within(walk, near, radius);
    walk->near_x = walk->centre_x;
    walk->near_y = walk->centre_y;
    walk->apart = false;
}

void nw_walk_disc(nw_walk *walk, nw_point centre, double radius)
{
    nw_walk_box(walk, nw_box_round(centre, radius));
    walk_within(walk, centre, radius);
    walk->apart = true;
}

static inline nw_lanes lanes_choose(nw_lane_bits which, nw_lanes yes, nw_lanes no)
{
    return (nw_lanes)((which & (nw_lane_bits)yes) | (~which & (nw_lane_bits)no));
}

/* The larger of both, and at least 0. */
static inline nw_lanes lanes_most(nw_lanes a, nw_lanes b)
{
    nw_lanes c = lanes_choose(a > b, a, b);
    return (nw_lanes)((c > 0) & (nw_lane_bits)c);
}

/* Squares of the distances from a point to the four boxes. */
static inline nw_lanes lanes_squares(const nw_tree_node *node, float at_x, float at_y)
{
    nw_lanes x = lanes_most(nw_lanes_load(node->min_x) - at_x, at_x - nw_lanes_load(node->max_x));
    nw_lanes y = lanes_most(nw_lanes_load(node->min_y) - at_y, at_y - nw_lanes_load(node->max_y));
    return x * x + y * y;
}

/* The same from the place whose neighbours come first; infinite where the walk does not go. */
static void lanes_measure(const nw_walk *walk, const nw_tree_node *node,
                          float distance[NW_TREE_WAYS])
{
    nw_lanes square = lanes_squares(node, walk->near_x, walk->near_y);
    nw_lanes reach = walk->apart ? lanes_squares(node, walk->centre_x, walk->centre_y) : square;
    nw_lanes none = (nw_lanes){0} + INFINITY;
    nw_lane_bits meets = nw_lanes_meet(node, walk->min_x, walk->min_y, walk->max_x, walk->max_y);
    nw_lanes found = lanes_choose(meets & (reach <= walk->far), square, none);
    memcpy(distance, &found, sizeof found);
}

/* Puts the children that meet the box on the stack, the nearest on top. */
static void descend(nw_walk *walk, const nw_tree_node *node, int level, uint32_t index)
{
    float distance[NW_TREE_WAYS];
    float held[NW_TREE_WAYS];
    int count = 0;
    lanes_measure(walk, node, distance);
    for (uint32_t i = 0; i < NW_TREE_WAYS; i++) {
        if (distance[i] == INFINITY)
            continue;
        int k = count++;
        for (; k > 0 && held[k - 1] < distance[i]; k--) {
            held[k] = held[k - 1];
            walk->stack[walk->depth + k] = walk->stack[walk->depth + k - 1];
        }
        held[k] = distance[i];
        walk->stack[walk->depth + k].index = index * NW_TREE_WAYS + i;
        walk->stack[walk->depth + k].level = level - 1;
    }
    walk->depth += count;
}

static float outside(float at, float least, float most)
{
    return at < least ? least - at : at > most ? at - most : 0;
}

/* Whether the walk still goes to the thing at this place of the order: what lanes_measure says of
 * one lane. */
static bool thing_counts(const nw_walk *walk, uint32_t at)
{
    const nw_tree_node *node = &walk->tree->nodes[at / NW_TREE_WAYS];
    size_t k = at % NW_TREE_WAYS;
    float x = outside(walk->centre_x, node->min_x[k], node->max_x[k]);
    float y = outside(walk->centre_y, node->min_y[k], node->max_y[k]);
    return node->min_x[k] <= walk->max_x && node->max_x[k] >= walk->min_x &&
           node->min_y[k] <= walk->max_y && node->max_y[k] >= walk->min_y &&
           x * x + y * y <= walk->far;
}

static bool node_passed(const nw_walk *walk, size_t node)
{
    return walk->marks[node] == NW_MARK_NONE || walk->marks[node] == walk->passed;
}

/* Goes on to the next thing whose box was met, *at in the tree's order; false: there is none. */
static inline bool thing_reach(nw_walk *walk, uint32_t *at)
{
    const nw_tree *tree = walk->tree;
    while (walk->depth > 0) {
        walk->depth--;
        int level = walk->stack[walk->depth].level;
        *at = walk->stack[walk->depth].index;
        if (level < 0)
            return true;
        if (walk->marks && node_passed(walk, tree->start[level] + *at))
            continue;
        descend(walk, &tree->nodes[tree->start[level] + *at], level, *at);
    }
    return false;
}

bool nw_walk_next(nw_walk *walk, uint32_t *thing)
{
    uint32_t at;
    while (thing_reach(walk, &at)) {
        if (thing_counts(walk, at)) {
            *thing = walk->tree->order[at];
            return true;
        }
    }
    return false;
}

void nw_walk_pass(nw_walk *walk, const uint32_t *marks, uint32_t mark)
{
    walk->marks = marks;
    walk->passed = mark;
}

static uint32_t marks_join(uint32_t a, uint32_t b)
{
    return a == NW_MARK_NONE || a == b ? b : b == NW_MARK_NONE ? a : NW_MARK_SEVERAL;
}

uint32_t *nw_tree_marks(const nw_tree *tree, const uint32_t *of_things, size_t count)
{
    size_t total = tree->levels ? tree->start[tree->levels - 1] + 1 : 0;
    uint32_t *marks = nw_alloc_raw(total, sizeof *marks);
    for (size_t n = 0; marks && n < total; n++)
        marks[n] = NW_MARK_NONE;
    for (size_t i = 0; marks && i < count; i++)
        marks[i / NW_TREE_WAYS] = marks_join(marks[i / NW_TREE_WAYS], of_things[tree->order[i]]);
    for (int level = 1; marks && level < tree->levels; level++) {
        const uint32_t *below = marks + tree->start[level - 1];
        for (size_t i = 0; i < tree->start[level] - tree->start[level - 1]; i++) {
            uint32_t *mark = &marks[tree->start[level] + i / NW_TREE_WAYS];
            *mark = marks_join(*mark, below[i]);
        }
    }
    return marks;
}

static void lane_copy(nw_tree_node *to, size_t lane, const nw_tree_node *from, size_t which)
{
    to->min_x[lane] = from->min_x[which];
    to->min_y[lane] = from->min_y[which];
    to->max_x[lane] = from->max_x[which];
    to->max_y[lane] = from->max_y[which];
}

bool nw_near_find(nw_near *near, const nw_tree *tree, nw_point centre, double radius, int most)
{
    nw_walk walk;
    nw_walk_start(&walk, tree, nw_box_round(centre, radius), centre);
    nw_walk_limit(&walk, centre, radius);
    near->count = 0;
    for (uint32_t at; thing_reach(&walk, &at);) { /* the bounds stay, so all of them count */
        int k = near->count++;
        if (k == most)
            return false;
        lane_copy(&near->nodes[k / NW_TREE_WAYS], (size_t)k % NW_TREE_WAYS,
                  &tree->nodes[at / NW_TREE_WAYS], at % NW_TREE_WAYS);
        near->things[k] = tree->order[at];
    }
    for (int k = near->count; k % NW_TREE_WAYS; k++)
        lane_empty(&near->nodes[k / NW_TREE_WAYS], (size_t)k % NW_TREE_WAYS);
    return true;
}

static inline bool lanes_any(nw_lane_bits which)
{
    uint64_t halves[2];
    memcpy(halves, &which, sizeof halves);
    return halves[0] | halves[1];
}

int nw_near_to(const nw_near *near, nw_point centre, double radius,
               uint32_t things[NW_NEAR_NODES * NW_TREE_WAYS])
{
    float x = (float)centre.x, y = (float)centre.y, far = square_within(centre, radius);
    int count = 0;
    for (int n = 0; n * NW_TREE_WAYS < near->count; n++) {
        nw_lane_bits within = lanes_squares(&near->nodes[n], x, y) <= far;
        if (!lanes_any(within))
            continue;
        for (int k = 0; k < NW_TREE_WAYS; k++) {
            things[count] = near->things[n * NW_TREE_WAYS + k];
            count -= within[k];
        }
    }
    return count;
}

static void visit_node(const nw_tree *tree, int level, uint32_t index,
                       bool (*enters)(void *context, nw_box box),
                       void (*thing)(void *context, uint32_t thing), void *context)
{
    const nw_tree_node *node = &tree->nodes[tree->start[level] + index];
    for (uint32_t k = 0; k < NW_TREE_WAYS && node->min_x[k] <= node->max_x[k]; k++) {
        uint32_t below = index * NW_TREE_WAYS + k;
        if (!enters(context, nw_tree_box(node, k)))
            continue;
        if (level)
            visit_node(tree, level - 1, below, enters, thing, context);
        else
            thing(context, tree->order[below]);
    }
}

void nw_tree_visit(const nw_tree *tree, bool (*enters)(void *context, nw_box box),
                   void (*thing)(void *context, uint32_t thing), void *context)
{
    if (tree->levels)
        visit_node(tree, tree->levels - 1, 0, enters, thing, context);
}
