/* Which outline lies in which. */
#ifndef NARROWS_GEOM_NESTING_H
#define NARROWS_GEOM_NESTING_H

#include <geom/drawing.h>

/* Drops closed paths that bound a second layer of ink, or a hole in paper. If renumber, also sets
 * piece and hole of every path from which lies in which, and puts paths of one piece together,
 * outer outline first, pieces by area, largest first; paths that have no number yet get that of
 * their piece. Paths must not cross and must run ink-left;
 * they are told apart at the given flatness. (nesting.c) */
nw_status nw_drawing_nest(nw_drawing *drawing, double flatness, bool renumber, nw_error *error);

/* Cuts curves where they cross and joins them again so that they only touch; rings then bound
 * layers that nw_drawing_nest sorts out. *left: crossings that could not be removed. (uncross.c) */
nw_status nw_drawing_uncross(nw_drawing *drawing, double flatness, size_t *left, nw_error *error);

/* How many of a flattened drawing's rings are outer ones, and how many holes: of an outline that
 * touches itself those that it falls into. */
void nw_region_count_rings(const nw_region *region, size_t *pieces, size_t *holes);

/* Moves the outlines; their box no longer begins at the origin. */
void nw_drawing_move(nw_drawing *drawing, double x, double y);

/* Moves the art's box to the origin and sets the drawing's size. */
void nw_drawing_settle(nw_drawing *drawing);

/* Rounds coordinates and size to 2^-27 mm: a size to which art came by one way or by another gives
 * the same bits, and what is decided between near equals does not turn on them. (placing.c) */
void nw_drawing_steady(nw_drawing *drawing);

#endif
