/* What the files that trace share. */
#ifndef NARROWS_TRACE_TRACING_H
#define NARROWS_TRACE_TRACING_H

#include <geom/geom.h>
#include <pieces/pieces.h>
#include <picture/picture.h>

/* How far traced outlines are from the places that they were traced through: the largest distance
 * of a place, those that a corner rounds off left out, and of a corner's tip from the nearest
 * place. */
typedef struct {
    double places, tips;
} nw_trace_far;

/* The number of the piece with that pixel, counted from 1 along the rows from the top; 0: of none.
 */
size_t nw_pixel_piece(const nw_ink *ink, const nw_pieces *pieces, size_t pixel);

/* Outlines of the ink by libpotrace: pixel units, y up, not yet nested or cleaned. A path's number
 * is here one more than that of a pixel of ink on it, along the rows from the top. */
nw_status nw_ink_trace(const nw_ink *ink, nw_drawing *drawing, nw_error *error);

/* How far, in pixels, an outline may leave the boundary's places, and without grey levels these the
 * middles of the pixels' edges. */
typedef struct {
    double tolerance, reach;
    double scatter;          /* in place of the tolerance where places scatter, if it is more */
    const nw_pieces *pieces; /* tips are measured of those that are kept; NULL: of all */
} nw_trace_limits;

#define TRACE_REACH_PX 0.5 /* a shape's edge runs between the middles of two pixels */

/* Outlines from the grey levels, or where picture is NULL from the pixels' steps, within limits of
 * the boundary: pixel units, y up, not yet nested or cleaned; numbers as above. */
nw_status nw_rings_trace(const nw_ink *ink, const nw_picture *picture, nw_trace_limits limits,
                         nw_drawing *drawing, nw_trace_far *far, nw_error *error);

#define CROSSING_FLATNESS_PX 0.002 /* to find out what crosses, and what lies in what */

/* From 1, in the order of the rows from the top, the pixel of ink that is nearest to a place of an
 * outline, y up; 0: none is near. (pixel_near.c) */
size_t nw_pixel_near(const nw_ink *ink, nw_point p);

/* Makes traced outlines one clean region, nested into pieces (clean.c). */
nw_status nw_drawing_clean(nw_drawing *drawing, nw_error *error);

/* Whether pixel (x, y), y up, is ink; outside the picture none is. */
bool nw_ink_at(const nw_ink *ink, long x, long y);

/* The largest distance of the outlines from the pixels' own boundary: outlines in pixels, y up,
 * the picture's lower left corner at the origin. Places further off than MOST_DISTANCE_PX count as
 * that. (pixel_distance.c) */
#define MOST_DISTANCE_PX 8.0
double nw_drawing_distance(const nw_drawing *drawing, const nw_ink *ink);

#endif
