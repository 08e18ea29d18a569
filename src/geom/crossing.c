/*
 * crossing: where outlines cut one another or themselves. The tree of segments is joined with
 * itself: two boxes that overlap are opened, down to pairs of segments, which are then looked at
 * by the side that each end lies on. Time is near linear because boxes of neighbouring stretches
 * overlap few others.
 *
 * Touching in a point is allowed; running together, or passing through one another at a vertex,
 * is not.
 */
#include <geom/box_tree.h>

#include <math.h>

static const double TOUCH = 1e-9; /* an end this near to a line lies on it */

typedef struct {
    const nw_segment_tree *tree;
    const nw_region *region;
    bool (*found)(void *context, size_t i, size_t j);
    void *context;
    size_t count;
} search;

/* On which side of the line through s the point lies: positive on its left, 0 within TOUCH. */
static double side(const nw_segment *s, nw_point p)
{
    nw_point way = nw_minus(s->b, s->a);
    double value = nw_cross(way, nw_minus(p, s->a));
    return value * value < TOUCH * TOUCH * nw_dot(way, way) ? 0 : value;
}

static nw_point before(const nw_region *region, size_t ring, size_t point)
{
    size_t first = region->starts[ring], end = region->starts[ring + 1];
    return region->points[point > first ? point - 1 : end - 1];
}

static double angle_from(nw_point o, nw_point from, nw_point to)
{
    double angle = nw_angle(nw_minus(from, o), nw_minus(to, o));
    return angle < 0 ? angle + NW_TURN : angle;
}

static const double SAME_DIRECTION = 1e-9; /* rad */

/* At o one outline comes from p and goes to q, the other comes from r and goes to s. */
static bool pass_through(nw_point o, nw_point p, nw_point q, nw_point r, nw_point s)
{
    double to_q = angle_from(o, p, q), to_r = angle_from(o, p, r), to_s = angle_from(o, p, s);
    const double others[] = {to_r, to_s};
    for (int i = 0; i < 2; i++)
        if (others[i] < SAME_DIRECTION || NW_TURN - others[i] < SAME_DIRECTION ||
            fabs(others[i] - to_q) < SAME_DIRECTION)
            return true; /* they run together for a while */
    return (to_r < to_q) != (to_s < to_q);
}

static bool same_place(nw_point p, nw_point q)
{
    return fabs(p.x - q.x) < TOUCH && fabs(p.y - q.y) < TOUCH;
}

/* Segment j begins on segment i, but not at i's end, which is the next segment's matter. */
static bool begins_through(const search *s, size_t i, size_t j)
{
    const nw_segment *p = &s->tree->segments[i], *q = &s->tree->segments[j];
    nw_point way = nw_minus(p->b, p->a);
    double along = nw_dot(nw_minus(q->a, p->a), way);
    if (same_place(q->a, p->b) || along > nw_dot(way, way))
        return false;
    bool at_start = same_place(q->a, p->a);
    if (!at_start && along < 0)
        return false;
    nw_point from = at_start ? before(s->region, p->ring, i) : p->a;
    return pass_through(q->a, from, p->b, before(s->region, q->ring, j), q->b);
}

static bool neighbours(const search *s, size_t i, size_t j)
{
    size_t ring = s->tree->segments[i].ring;
    return ring == s->tree->segments[j].ring &&
           (j == i + 1 || (i == s->region->starts[ring] && j + 1 == s->region->starts[ring + 1]));
}

/* Two that share an end cross only by folding back onto one another. */
static bool folds_back(const nw_segment *p, const nw_segment *q)
{
    return nw_dot(nw_minus(p->b, p->a), nw_minus(q->b, q->a)) < 0 && side(p, q->a) == 0 &&
           side(p, q->b) == 0;
}

static bool cross(const search *s, size_t i, size_t j)
{
    const nw_segment *p = &s->tree->segments[i], *q = &s->tree->segments[j];
    if (neighbours(s, i, j))
        return folds_back(p, q);
    double qa = side(p, q->a), qb = side(p, q->b), pa = side(q, p->a), pb = side(q, p->b);
    if (qa * qb > 0 || pa * pb > 0)
        return false;
    if (qa * qb < 0 && pa * pb < 0)
        return true;
    return (qa == 0 && begins_through(s, i, j)) || (pa == 0 && begins_through(s, j, i));
}

/* The segments at two places of the tree's order. */
static bool look_at(search *s, size_t p, size_t q)
{
    size_t one = s->tree->tree.order[p], other = s->tree->tree.order[q];
    size_t i = one < other ? one : other, j = one < other ? other : one;
    const nw_segment *a = &s->tree->segments[i], *b = &s->tree->segments[j];
    if (!nw_boxes_meet(nw_box_of(a->a, a->b, 0), nw_box_of(b->a, b->b, 0), 0) || !cross(s, i, j))
        return true;
    s->count++;
    return !s->found || s->found(s->context, i, j);
}

/* All pairs of one segment under node i and one under node j, i <= j, both on the same level. */
static bool join(search *s, int level, size_t i, size_t j)
{
    const nw_tree *tree = &s->tree->tree;
    const nw_tree_node *one = &tree->nodes[tree->start[level] + i];
    const nw_tree_node *other = &tree->nodes[tree->start[level] + j];
    for (size_t p = 0; p < NW_TREE_WAYS; p++) {
        nw_lane_bits meets =
            nw_lanes_meet(other, one->min_x[p], one->min_y[p], one->max_x[p], one->max_y[p]);
        for (size_t q = i == j ? p + (level == 0) : 0; q < NW_TREE_WAYS; q++) {
            size_t below_i = NW_TREE_WAYS * i + p, below_j = NW_TREE_WAYS * j + q;
            if (meets[q] &&
                !(level ? join(s, level - 1, below_i, below_j) : look_at(s, below_i, below_j)))
                return false;
        }
    }
    return true;
}

size_t nw_crossings_find(const nw_segment_tree *tree, const nw_region *region,
                         bool (*found)(void *context, size_t i, size_t j), void *context)
{
    search s = {tree, region, found, context, 0};
    if (tree->tree.levels)
        join(&s, tree->tree.levels - 1, 0, 0);
    return s.count;
}
