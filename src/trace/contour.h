/* Places on a picture's boundary, and the curves through them. */
#ifndef NARROWS_TRACE_CONTOUR_H
#define NARROWS_TRACE_CONTOUR_H

#include <trace/tracing.h>

/* What is to be traced. */
typedef struct {
    const nw_ink *ink;
    const nw_picture *picture; /* its grey levels; NULL where there are none to go by */
    bool soft;                 /* nw_levels_soft of the picture */
} nw_levels;

/* Whether all edges are wide enough to be found between two pixels: after smoothing against noise,
 * and in enlargements. */
bool nw_levels_soft(const nw_picture *picture);

/* The density of pixel (x, y), y up; 0 outside the picture. */
int nw_density_at(const nw_levels *of, long x, long y);

/* Rings of places, ink on the left; ring k's are points[starts[k]] to points[starts[k + 1] - 1].
 * Pixels, y up, the picture's lower left corner at the origin. pixels[k] is one pixel of ink on
 * ring k, counted along the rows from the top. */
typedef struct {
    nw_point *points;
    size_t *starts, *pixels;
    size_t count, point_count, point_capacity, start_capacity, pixel_capacity;
} nw_contours;

/* Without grey levels, the middles of all cracks between ink and paper pixels. */
nw_status nw_contours_find(const nw_levels *of, nw_contours *out, nw_error *error);
void nw_contours_free(nw_contours *c);

/* The straightest line or parabola through n places, in the frame of its own chord: the place
 * nearest to `at` and the direction there, pointing the way that the places run (corner.c). */
typedef struct {
    nw_point at, direction;
    double bend;     /* curvature there, positive to the left */
    double residual; /* largest distance of a place from it */
} nw_local_fit;

nw_local_fit nw_local_fit_at(const nw_point *q, size_t n, nw_point at);

/* Places this near to a corner are not on the outline: grey levels are blurred further than steps
 * are, and soft ones further still. */
static inline double nw_corner_rounded(const nw_levels *of)
{
    return !of->picture ? 1.1 : of->soft ? 2.4 : 1.6;
}

/* The places of one ring. */
typedef struct {
    const nw_point *points;
    const bool *corners; /* which of them may be corners; NULL: any */
    size_t count;
} nw_contour_ring;

/* Of the places of a ring in a picture whose noise moves edges: steady gets as many, moved less.
 * False when memory runs out. (steady_places.c) */
bool nw_places_steady(const nw_levels *of, const nw_contour_ring *ring, nw_point *steady);

/* Where a ring may be broken: its places before and after those, one or two, that lie there. */
typedef struct {
    size_t before, after;
} nw_ring_break;

/* How many places of a ring of `count` there are from one break on to another, or to the same. */
static inline size_t nw_breaks_apart(size_t count, const nw_ring_break *from,
                                     const nw_ring_break *to)
{
    return (to->before + 1 + count - from->after) % count;
}

/* A place where the direction jumps. */
typedef struct {
    nw_ring_break sides;
    nw_point at;      /* where the sides meet */
    nw_point in, out; /* unit directions of travel before and after */
    double bend;      /* mean curvature of the sides, the way that the corner turns */
    double reach;     /* how far it is carried on from the nearest of the ring's points */
} nw_ring_corner;

/* The corners of a closed ring, in its order; *corners is to be freed. The picture tells
 * whether a tip that was carried on lies where there is any ink, or a notch where it lacks. */
bool nw_corners_find(const nw_levels *of, const nw_contour_ring *ring, nw_ring_corner **corners,
                     size_t *corner_count);

/* One ring as lines and curves that stay within limits of its points. (ring_curves.c) */
nw_status nw_contour_fit(const nw_levels *of, const nw_contour_ring *ring,
                         const nw_trace_limits *limits, nw_path *path, nw_trace_far *far,
                         nw_error *error);

#endif
