/*
 * crossing: where outlines cut one another or themselves. The tree of segments is joined with
 * itself: two boxes that overlap are opened, down to pairs of segments, which are then looked at
 * by the side that each end lies on. Time is near linear because boxes of neighbouring stretches
 * overlap few others.
 *
 * Touching in a point is allowed; running together, or passing through one another at a vertex,
 * is not.
 */
#include <geom/segment_tree.h>

#include <math.h>

static const double TOUCH = 1e-9; /* an end this near to a line lies on it */

typedef struct {
    const nw_segment_tree *tree;
    const nw_region *region;
    bool (*found)(void *context, size_t i, size_t j);
    void *context;
    size_t count;
} search;

static bool apart(nw_box p, nw_box q)
{
    return p.min.x > q.max.x || q.min.x > p.max.x || p.min.y > q.max.y || q.min.y > p.max.y;
}

/* On which side of the line through s the point lies: positive on its left, 0 within TOUCH. */
static double side(const nw_segment *s, nw_point p)
{
    double dx = s->b.x - s->a.x, dy = s->b.y - s->a.y;
    double value = dx * (p.y - s->a.y) - dy * (p.x - s->a.x);
    return value * value < TOUCH * TOUCH * (dx * dx + dy * dy) ? 0 : value;
}

static nw_point before(const nw_region *region, size_t ring, size_t point)
{
    size_t first = region->starts[ring], end = region->starts[ring + 1];
    return region->points[point > first ? point - 1 : end - 1];
}

static double angle_from(nw_point o, nw_point from, nw_point to)
{
    double ux = from.x - o.x, uy = from.y - o.y, vx = to.x - o.x, vy = to.y - o.y;
    double angle = atan2(ux * vy - uy * vx, ux * vx + uy * vy);
    return angle < 0 ? angle + 2 * 3.141592653589793 : angle;
}

static const double SAME_DIRECTION = 1e-9; /* rad */

/* At o one outline comes from p and goes to q, the other comes from r and goes to s. */
static bool pass_through(nw_point o, nw_point p, nw_point q, nw_point r, nw_point s)
{
    double to_q = angle_from(o, p, q), to_r = angle_from(o, p, r), to_s = angle_from(o, p, s);
    const double full = 2 * 3.141592653589793;
    const double ways[] = {to_r, to_s};
    for (int i = 0; i < 2; i++) {
        if (ways[i] < SAME_DIRECTION || full - ways[i] < SAME_DIRECTION ||
            fabs(ways[i] - to_q) < SAME_DIRECTION) {
            return true; /* they run together for a while */
        }
    }
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
    double dx = p->b.x - p->a.x, dy = p->b.y - p->a.y;
    double along = (q->a.x - p->a.x) * dx + (q->a.y - p->a.y) * dy;
    if (same_place(q->a, p->b) || along > dx * dx + dy * dy) {
        return false;
    }
    bool at_start = same_place(q->a, p->a);
    if (!at_start && along < 0) {
        return false;
    }
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
    double turn = (p->b.x - p->a.x) * (q->b.x - q->a.x) + (p->b.y - p->a.y) * (q->b.y - q->a.y);
    return turn < 0 && side(p, q->a) == 0 && side(p, q->b) == 0;
}

static bool cross(const search *s, size_t i, size_t j)
{
    const nw_segment *p = &s->tree->segments[i], *q = &s->tree->segments[j];
    if (neighbours(s, i, j)) {
        return folds_back(p, q);
    }
    double qa = side(p, q->a), qb = side(p, q->b), pa = side(q, p->a), pb = side(q, p->b);
    if (qa * qb > 0 || pa * pb > 0) {
        return false;
    }
    if (qa * qb < 0 && pa * pb < 0) {
        return true;
    }
    return (qa == 0 && begins_through(s, i, j)) || (pa == 0 && begins_through(s, j, i));
}

/* The segments at two places of the tree's order. */
static bool look_at(search *s, size_t p, size_t q)
{
    size_t one = s->tree->order[p], other = s->tree->order[q];
    size_t i = one < other ? one : other, j = one < other ? other : one;
    if (!cross(s, i, j)) {
        return true;
    }
    s->count++;
    return !s->found || s->found(s->context, i, j);
}

/* All pairs of one segment under node i and one under node j, i <= j, both on the same level. */
static bool join(search *s, size_t level, size_t i, size_t j)
{
    const nw_segment_tree *tree = s->tree;
    const nw_box *boxes = tree->boxes + tree->level_start[level];
    if (i != j && apart(boxes[i], boxes[j])) {
        return true;
    }
    size_t below = level ? tree->level_count[level - 1] : tree->count;
    for (size_t p = 4 * i; p < 4 * i + 4 && p < below; p++) {
        if (!level && i != j && apart(tree->leaves[p], boxes[j])) {
            continue;
        }
        for (size_t q = i == j ? p + (level == 0) : 4 * j; q < 4 * j + 4 && q < below; q++) {
            if (!level && apart(tree->leaves[p], tree->leaves[q])) {
                continue;
            }
            if (!(level ? join(s, level - 1, p, q) : look_at(s, p, q))) {
                return false;
            }
        }
    }
    return true;
}

size_t nw_crossings_find(const nw_segment_tree *tree, const nw_region *region,
                         bool (*found)(void *context, size_t i, size_t j), void *context)
{
    search s = {tree, region, found, context, 0};
    if (tree->count) {
        join(&s, tree->levels - 1, 0, 0);
    }
    return s.count;
}
