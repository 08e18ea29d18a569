/*
 * solid: areas united, taken from one another, swept and compared.
 */
#ifndef NARROWS_SOLID_H
#define NARROWS_SOLID_H

#include <geom/geom.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What a disc of the radius covers while its centre runs along the open paths' lines, together with
 * the closed paths' insides grown by it: closed paths, curves within 0.002 mm. By
 * GEOS's buffer. */
NW_API nw_status nw_drawing_sweep(const nw_drawing *lines, double radius, nw_drawing *swept,
                                  nw_error *error);

/* The art with the shapes' insides added, or taken away: clean, ink to the left. Curves of the art
 * that the shapes do not touch stay to the last digit. Nothing is moved. */
NW_API nw_status nw_drawing_paint(const nw_drawing *art, const nw_drawing *shapes, bool take,
                                  nw_drawing *painted, nw_error *error);

/* What now covers and before does not, and the other way round; areas in mm². Shapes of less than
 * 0.002 mm² are left out of the drawings: an edge that was cut in two is not the same to the last
 * digit. added and removed may be NULL. (compare.c) */
NW_API nw_status nw_drawing_compare(const nw_drawing *before, const nw_drawing *now,
                                    nw_drawing *added, nw_drawing *removed, double *area_added,
                                    double *area_removed, nw_error *error);

#ifdef __cplusplus
}
#endif

#ifdef NARROWS_INSIDE
#include <solid/unite_internal.h>
#endif

#endif
