/* Pixels' steps, and the places of the smooth outline that they stand for. */
#ifndef NARROWS_TRACE_PIXEL_STEPS_H
#define NARROWS_TRACE_PIXEL_STEPS_H

#include <geom/geom.h>
#include <picture/picture.h>

/* A crack between an ink and a paper pixel. */
typedef struct {
    nw_point at;     /* its middle */
    nw_point normal; /* about across the outline, unit length */
    bool upright;    /* the outline's place on it moves along x, else along y */
    double most;     /* of the shift, either way */
    double shift;    /* of the outline's place from the middle */
    double force;    /* what the limit has to push with, 0 where it is not reached */
} crack;

/* Sets shift and force of a run of cracks: the smoothest outline within bounds. False when memory
 * runs out. (smooth_cracks.c) */
bool nw_cracks_hold(crack *cracks, size_t count);

/* Puts a run of cracks on the straight line nearest to their middles, if that lies within bounds,
 * or nearly. (smooth_cracks.c) */
bool nw_cracks_straighten(crack *cracks, size_t count);

typedef struct {
    nw_point *points;
    bool *corners; /* where there may be corners */
    size_t count;
} steps_places;

/* Where a smooth outline passes the cracks of a closed ring, which are given by their middles: each
 * moved by reach at most, by less where ink or paper is thin. Cracks along which the outline runs
 * are left out, and so are those next to corners. False when memory runs out; places are to be
 * freed in any case. (pixel_steps.c) */
bool nw_steps_smooth(const nw_ink *ink, const nw_point *middles, size_t count, double reach,
                     steps_places *places);
void nw_steps_places_free(steps_places *places);

#endif
