/* Places on a picture's boundary, and the curves through them. */
#ifndef NARROWS_TRACE_CONTOUR_H
#define NARROWS_TRACE_CONTOUR_H

#include <trace/tracing.h>

/* What is to be traced. */
typedef struct {
    const nw_ink *ink;
    const nw_picture *picture; /* its grey levels; NULL where there are none to go by */
    bool soft;                 /* nw_levels_soft of the picture */
    bool large;                /* parts of a few pixels are far below what anyone cuts */
} nw_levels;

/* Whether all edges are wide enough to be found between two pixels: after smoothing against noise,
 * and in enlargements. */
bool nw_levels_soft(const nw_picture *picture);

/* Whether a pixel's level is the share of it that is covered, and worth looking at by itself. */
static inline bool nw_levels_sharp(const nw_levels *of)
{
    return of->picture && !of->soft && !of->large;
}

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

/* How far noise is sure to move places across their outline, in pixels, as it moves the farthest of
 * a dozen, twice. room is for as many numbers. (places_noise.c) */
double nw_noise_reach(const nw_point *places, size_t count, double *room);

/* Place i of a ring, counted on before its first and beyond its last. */
static inline nw_point nw_ring_place(const nw_contour_ring *ring, long i)
{
    long n = (long)ring->count;
    return ring->points[((i % n) + n) % n];
}

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

/* How what a wedge covers of the pixels round its tip, 0 to 1 of each, differs from the picture. */
typedef struct {
    double lacks; /* of all that it covers: what the picture has less, in sum; below 0: more */
    double off;   /* in the mean of the pixels, whichever of the two has more */
} nw_wedge_ink;

/* A place where the direction jumps. */
typedef struct {
    nw_ring_break sides;
    nw_point at;      /* where the sides meet */
    nw_point in, out; /* unit directions of travel before and after */
    double bend;      /* mean curvature of the sides, the way that the corner turns */
    double reach;     /* how far it is carried on from the nearest of the ring's points */
    nw_wedge_ink ink; /* in small pictures whose edges are sharp */
} nw_ring_corner;

/* Of a picture whose edges are sharp. (wedge_ink.c) */
nw_wedge_ink nw_wedge_compare(const nw_levels *of, const nw_ring_corner *c);

#define NW_CORNER_SIDE 8 /* places looked at on either side */

/* The places of a side, found from its corner on, in the ring's order. */
static inline void nw_side_order(const nw_point *found, size_t n, bool before, nw_point *side)
{
    for (size_t i = 0; i < n; i++)
        side[i] = found[before ? n - 1 - i : i];
}

/* Whether the corner lies between the places, one on either side, where its sides begin. */
static inline bool nw_corner_between(const nw_ring_corner *c, nw_point before, nw_point after)
{
    return nw_dot(nw_minus(c->at, before), c->in) >= 0 &&
           nw_dot(nw_minus(after, c->at), c->out) >= 0;
}

/* Carries two sides, each of two or more places, on to where they meet, from c->at on: sets at, in,
 * out and bend. False: they do not. */
bool nw_sides_meet(const nw_point *before, size_t n, const nw_point *after, size_t m,
                   nw_ring_corner *c);

/* The place of the ring nearest to the corner, or the middle of two that are as near. */
nw_point nw_place_nearest(const nw_contour_ring *ring, const nw_ring_corner *c);

/* Halfway from place i to place j, which are counted on beyond the ring's end. */
static inline nw_ring_break nw_break_at(size_t count, size_t i, size_t j)
{
    return (nw_ring_break){((i + j) / 2 + count - 1) % count, ((i + j + 1) / 2 + 1) % count};
}

/* The corners of a closed ring whose sides are long, in its order; *corners is to be freed, and
 * NULL when memory runs out. The picture tells whether a tip that was carried on lies where there
 * is any ink, or a notch where it lacks. (corner.c) */
bool nw_long_corners_find(const nw_levels *of, const nw_contour_ring *ring,
                          nw_ring_corner **corners, size_t *corner_count);

/* The same of all corners: with those whose sides are short, which may take the place of others, in
 * a picture with grey levels and sharp edges that is not large. (tight_corner.c) */
bool nw_corners_find(const nw_levels *of, const nw_contour_ring *ring, nw_ring_corner **corners,
                     size_t *corner_count);

/* One ring as lines and curves that stay within limits of its points. (ring_curves.c) */
nw_status nw_contour_fit(const nw_levels *of, const nw_contour_ring *ring,
                         const nw_trace_limits *limits, nw_path *path, nw_trace_far *far,
                         nw_error *error);

#endif
