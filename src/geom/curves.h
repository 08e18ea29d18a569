/* The steps of paths: places on them, their parts and boxes. */
#ifndef NARROWS_GEOM_CURVES_H
#define NARROWS_GEOM_CURVES_H

#include <geom/drawing.h>

/* Points nearer to each other than this are one: the fit's own limit. */
#define NW_SAME_MM 1e-6

/* Where step index of the path begins. */
nw_point nw_path_from(const nw_path *path, size_t index);

/* Appends a copy of the step; false when memory runs out. */
bool nw_path_add(nw_path *path, const nw_step *step);

/* A path without steps that is in all else as this one. */
static inline nw_path nw_path_like(const nw_path *path)
{
    nw_path like = *path;
    like.steps = NULL;
    like.count = like.capacity = 0;
    return like;
}

/* Sets *to to a copy of the path; nw_path_free it, also where false says that memory ran out. */
bool nw_path_copy(const nw_path *from, nw_path *to);

/* The path with its curves as arcs that stay within tolerance of them and meet without a corner.
 * False when memory runs out. (biarc.c) */
bool nw_path_arcs(const nw_path *path, double tolerance, nw_path *arcs);

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

/* Cuts the step at t: the part up to it is returned, the rest stays in *step. */
nw_step nw_step_split(nw_point from, nw_step *step, double t);

/* The angle that an arc turns through, counter-clockwise positive; a whole turn where it ends where
 * it began. */
double nw_arc_sweep(nw_point from, const nw_step *step);

/* Every point of it through the map. Arcs stay arcs where the map turns, scales and moves only. */
void nw_path_apply(nw_path *path, nw_affine m);

nw_box nw_path_box(const nw_path *path);

typedef struct {
    nw_point p0, p1, p2, p3;
} nw_cubic;

/* A curve's end, and how it leaves it: in a given unit direction, pointing into the curve, or
 * freely. */
typedef struct {
    bool free;
    nw_point at;
    nw_point direction;
} nw_cubic_end;

typedef struct {
    nw_cubic_end start, end;
    bool thirds; /* both directions are given: where the places tell no sound handles, these are a
                    third of the chord */
} nw_cubic_ends;

/* The cubic between the ends nearest to the n places, of which the first and the last stand for the
 * ends; t has room for n parameters. Returns its largest distance from the places between, infinity
 * when there is none, and stops early within tolerance. (cubic_fit.c) */
double nw_cubic_fit(const nw_point *q, size_t n, const nw_cubic_ends *ends, double tolerance,
                    double *t, nw_cubic *out);

#endif
