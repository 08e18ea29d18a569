/*
 * A border and a point -> what of the border is nearest, on which side the point lies, and the
 * largest disc that touches a place of the border. All by one walk through the tree of boxes.
 */
#include <fit/border.h>

#include <math.h>

nw_point nw_border_foot(const nw_border *border, uint32_t i, nw_point p)
{
    double t = nw_dot(nw_minus(p, border->points[i]), border->along[i]);
    return t <= 0 ? border->points[i] : nw_border_at(border, i, t);
}

double nw_border_nearest(const nw_border *border, nw_point p, double limit, uint32_t *segment,
                         nw_point *foot)
{
    nw_walk walk;
    uint32_t i;
    nw_walk_start(&walk, &border->tree, nw_box_round(p, limit), p);
    nw_walk_limit(&walk, p, limit);
    while (nw_walk_next(&walk, &i)) {
        nw_point q = nw_border_foot(border, i, p);
        double distance = nw_distance(p, q);
        if (distance >= limit)
            continue;
        limit = distance;
        *segment = i;
        *foot = q;
        nw_walk_limit(&walk, p, limit);
    }
    return limit;
}

static bool left_of(const nw_border *border, uint32_t i, nw_point p)
{
    return nw_cross(border->along[i], nw_minus(p, border->points[i])) > 0;
}

bool nw_border_inside(const nw_border *border, nw_point p, double limit)
{
    uint32_t i = 0;
    nw_point foot = {0, 0};
    if (nw_border_nearest(border, p, limit, &i, &foot) >= limit)
        return false;
    double t = nw_dot(nw_minus(p, border->points[i]), border->along[i]);
    if (t > 0 && t < border->length[i])
        return left_of(border, i, p);
    uint32_t after = t <= 0 ? i : border->next[i], before = border->prev[after];
    bool convex = nw_cross(border->along[before], border->along[after]) > 0;
    bool one = left_of(border, before, p), other = left_of(border, after, p);
    return convex ? one && other : one || other;
}

/* Where the line a-b crosses segment i, as a share of its length; negative when it does not. */
static double crossing(const nw_border *border, uint32_t i, nw_point a, nw_point b)
{
    nw_point p = border->points[i], q = border->points[border->next[i]], d = nw_minus(b, a);
    double one = nw_cross(d, nw_minus(p, a)), other = nw_cross(d, nw_minus(q, a));
    if ((one > 0) == (other > 0))
        return -1;
    double height_a = nw_cross(border->along[i], nw_minus(a, p));
    double height_b = nw_cross(border->along[i], nw_minus(b, p));
    if ((height_a > 0) == (height_b > 0))
        return -1;
    return height_a / (height_a - height_b);
}

bool nw_border_clear(const nw_border *border, nw_point a, nw_point b, double skin)
{
    nw_walk walk;
    uint32_t i;
    double length = nw_distance(a, b);
    nw_walk_start(&walk, &border->tree, nw_box_of(a, b, 0), a);
    while (nw_walk_next(&walk, &i)) {
        double at = crossing(border, i, a, b) * length;
        if (at > skin && at < length - skin)
            return false;
    }
    return true;
}

/* The ball through p with its centre along n that touches point q. */
static double ball_at(nw_point p, nw_point n, nw_point q)
{
    nw_point d = nw_minus(q, p);
    double rise = nw_dot(d, n);
    return rise > 0 ? nw_dot(d, d) / (2 * rise) : INFINITY;
}

static double ball_on(const nw_border *border, uint32_t j, nw_point p, nw_point n)
{
    nw_point a = border->points[j], b = border->points[border->next[j]];
    double radius = nw_smaller(ball_at(p, n, a), ball_at(p, n, b));
    nw_point normal = nw_left(border->along[j]);
    double height = nw_dot(nw_minus(p, a), normal), lean = nw_dot(n, normal);
    if (height < 0) {
        height = -height;
        lean = -lean;
    }
    if (lean < 1) {
        double touching = height / (1 - lean);
        double t = nw_dot(nw_minus(nw_plus(p, n, touching), a), border->along[j]);
        if (t > 0 && t < border->length[j])
            radius = nw_smaller(radius, touching);
    }
    return radius;
}

double nw_border_ball(const nw_border *border, uint32_t i, double t, double least, double limit,
                      uint32_t *blocker)
{
    nw_point p = nw_border_at(border, i, t), n = nw_left(border->along[i]);
    nw_walk walk;
    uint32_t j = *blocker;
    if (j != i)
        limit = nw_smaller(limit, ball_on(border, j, p, n));
    nw_walk_start(&walk, &border->tree, nw_box_round(nw_plus(p, n, limit), limit), p);
    while (limit > least && nw_walk_next(&walk, &j)) {
        double radius = j == i ? INFINITY : ball_on(border, j, p, n);
        if (radius >= limit)
            continue;
        limit = radius;
        *blocker = j;
        nw_walk_disc(&walk, nw_plus(p, n, limit), limit);
    }
    return limit;
}

/* Is p on segment j itself? Its own line blocks no disc that touches it at p. */
static bool stands_on(const nw_border *border, uint32_t j, nw_point p)
{
    nw_point d = nw_minus(p, border->points[j]);
    double t = nw_dot(d, border->along[j]);
    return fabs(nw_cross(border->along[j], d)) < NW_MERGE_MM && t > -NW_MERGE_MM &&
           t < border->length[j] + NW_MERGE_MM;
}

static void disc_touch(const nw_border *border, uint32_t j, nw_point p, nw_point normal,
                       double *limit, uint32_t *segment, nw_point *foot)
{
    double radius = stands_on(border, j, p) ? INFINITY : ball_on(border, j, p, normal);
    if (radius >= *limit)
        return;
    *limit = radius;
    *segment = j;
    *foot = nw_border_foot(border, j, nw_plus(p, normal, radius));
}

static double disc_shrink(const nw_border *border, nw_point p, nw_point normal, double least,
                          double limit, uint32_t *segment, nw_point *foot)
{
    nw_walk walk;
    uint32_t j;
    nw_walk_start(&walk, &border->tree, nw_box_round(nw_plus(p, normal, limit), limit), p);
    while (limit > least && nw_walk_next(&walk, &j)) {
        disc_touch(border, j, p, normal, &limit, segment, foot);
        nw_walk_disc(&walk, nw_plus(p, normal, limit), limit);
    }
    return limit;
}

double nw_border_disc(const nw_border *border, nw_point p, nw_point normal, double limit,
                      uint32_t *segment, nw_point *foot)
{
    return disc_shrink(border, p, normal, 0, limit, segment, foot);
}

double nw_border_disc_from(const nw_border *border, nw_point p, nw_point normal, double least,
                           double limit, uint32_t *segment, nw_point *foot)
{
    disc_touch(border, *segment, p, normal, &limit, segment, foot);
    return disc_shrink(border, p, normal, least, limit, segment, foot);
}
