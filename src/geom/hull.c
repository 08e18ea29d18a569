/*
 * hull: points -> their convex hull, by Andrew's monotone chain (Another efficient algorithm for
 * convex hulls in two dimensions, 1979), and the greatest distance across it, by the pairs of its
 * corners that two parallel lines touch from both sides (Shamos, Computational Geometry, 1978).
 */
#include <geom/hull.h>
#include <geom/point.h>

#include <stdlib.h>

static int points_order(const void *a, const void *b)
{
    const nw_point *p = a, *q = b;
    if (p->x != q->x)
        return p->x < q->x ? -1 : 1;
    return (p->y > q->y) - (p->y < q->y);
}

/* Leaves out what lies inside the four that reach furthest each way: that is no corner (Akl and
 * Toussaint, A fast convex hull algorithm, 1978). */
static size_t outer_points(const nw_point *points, size_t count, nw_point *outer)
{
    nw_point far[4] = {points[0], points[0], points[0], points[0]};
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        nw_point p = points[i];
        far[0] = p.x < far[0].x ? p : far[0];
        far[1] = p.y < far[1].y ? p : far[1];
        far[2] = p.x > far[2].x ? p : far[2];
        far[3] = p.y > far[3].y ? p : far[3];
    }
    for (size_t i = 0; i < count; i++) {
        bool inside = true;
        for (int k = 0; inside && k < 4; k++)
            inside = nw_side_of(far[k], far[(k + 1) % 4], points[i]) > 0;
        if (!inside)
            outer[n++] = points[i];
    }
    return n;
}

static size_t corner_add(nw_point *hull, size_t n, size_t least, nw_point p)
{
    while (n >= least && nw_side_of(hull[n - 2], hull[n - 1], p) <= 0)
        n--;
    hull[n] = p;
    return n + 1;
}

nw_point *nw_hull_make(const nw_point *points, size_t count, size_t *corners)
{
    nw_point *sorted = nw_alloc_raw(count, sizeof *sorted), *hull = NULL;
    *corners = 0;
    if (sorted && count <= SIZE_MAX / 2 - 1)
        hull = nw_alloc_raw(2 * count + 2, sizeof *hull);
    if (hull && count) {
        size_t n = 0;
        count = outer_points(points, count, sorted);
        nw_sort(sorted, count, sizeof *sorted, points_order);
        for (size_t i = 0; i < count; i++)
            n = corner_add(hull, n, 2, sorted[i]);
        size_t least = n + 1;
        for (size_t i = count - 1; i-- > 0;)
            n = corner_add(hull, n, least, sorted[i]);
        *corners = n - 1;
    }
    free(sorted);
    return hull;
}

double nw_hull_across(const nw_point *hull, size_t corners)
{
    double most = 0;
    for (size_t i = 0, k = 1; corners > 1 && i < corners; i++) {
        nw_point a = hull[i], b = hull[(i + 1) % corners];
        size_t tries = corners;
        while (tries-- && nw_side_of(a, b, hull[(k + 1) % corners]) > nw_side_of(a, b, hull[k]))
            k = (k + 1) % corners;
        most = fmax(most, fmax(nw_distance(a, hull[k]), nw_distance(b, hull[k])));
    }
    return most;
}
