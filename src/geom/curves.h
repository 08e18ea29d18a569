/* The steps of paths: places on them, their parts and boxes. */
#ifndef NARROWS_GEOM_CURVES_H
#define NARROWS_GEOM_CURVES_H

#include <geom/drawing.h>

/* Points nearer to each other than this are one: the fit's own limit. */
#define NW_SAME_MM 1e-6

/* Where step index of the path begins. */
nw_point nw_path_from(const nw_path *path, size_t index);

/* Turns the direction of travel round; the outline itself stays. */
void nw_path_reverse(nw_path *path);

/* Place of a cubic Bézier at t, 0 to 1. */
static inline nw_point nw_curve_at(nw_point from, nw_point a, nw_point b, nw_point to, double t)
{
    double s = 1 - t;
    double w0 = s * s * s, w1 = 3 * s * s * t, w2 = 3 * s * t * t, w3 = t * t * t;
    return (nw_point){w0 * from.x + w1 * a.x + w2 * b.x + w3 * to.x,
                      w0 * from.y + w1 * a.y + w2 * b.y + w3 * to.y};
}

/* The blossom of a cubic at u, v and w: at u, u, v and u, v, v the control points of its part from
 * one parameter to another. */
nw_point nw_step_blossom(nw_point from, const nw_step *step, double u, double v, double w);

/* The angle that an arc turns through, counter-clockwise positive; a whole turn where it ends where
 * it began. */
double nw_arc_sweep(nw_point from, const nw_step *step);

nw_box nw_path_box(const nw_path *path);

#endif
