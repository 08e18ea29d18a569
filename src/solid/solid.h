/*
 * solid: areas united, taken from one another, swept and compared.
 */
#ifndef NARROWS_SOLID_H
#define NARROWS_SOLID_H

#include <geom/geom.h>

/* ---- pens ------------------------------------------------------------------------------------ */

typedef enum { NW_CAP_BUTT, NW_CAP_ROUND, NW_CAP_SQUARE } nw_cap;
typedef enum { NW_JOIN_MITER, NW_JOIN_ROUND, NW_JOIN_BEVEL } nw_join;

/* As in SVG 1.1, 11.4. Lengths in the drawing's units. */
typedef struct {
    double width;
    nw_cap cap;
    nw_join join;
    double miter_limit;   /* a miter longer than this times the width becomes a bevel */
    const double *dashes; /* lengths of dashes and gaps in turn, none negative; all 0: no dashes */
    size_t dash_count;
    double dash_offset; /* where in the pattern a path begins */
    double flatness;    /* how far the edges may leave their places */
} nw_stroke;

/* Width 1, butt ends, miters up to 4, flatness 0.001. */
NW_API nw_stroke nw_stroke_defaults(void);

/* What a pen covers along the paths of lines and curves, joined where they are closed: shapes that
 * overlap, each counter-clockwise, which together are one shape by the nonzero rule. NW_BAD_INPUT:
 * more than a million dashes on a path. */
NW_API nw_status nw_drawing_stroke(const nw_drawing *paths, const nw_stroke *stroke,
                                   nw_drawing *shapes, nw_error *error);

/* What a disc of the radius covers while its centre runs along the open paths' lines, together with
 * the closed paths' insides grown by it: clean, in a few smooth curves within 0.003 mm. (sweep.c)
 */
NW_API nw_status nw_drawing_sweep(const nw_drawing *lines, double radius, nw_drawing *swept,
                                  nw_error *error);

/* ---- areas ----------------------------------------------------------------------------------- */

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

/* Closes what is nowhere wider than `width` between the drawing's areas, and within an area's own
 * folds, over a length of 250 times that: drawn to meet, they lie apart by what rounding leaves.
 * Shorter is a touch, and stays. *closed: how many such seams; without any, and where more edges
 * lie as near as that to one another than a drawing has, nothing changes, else curves that no seam
 * ends at stay to the last digit. (seams.c) */
NW_API nw_status nw_drawing_close_seams(nw_drawing *drawing, double width, size_t *closed,
                                        nw_error *error);

#ifdef NARROWS_INSIDE
#include <solid/painting.h>
#endif

#endif
