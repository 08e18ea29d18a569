/*
 * second: GEOS's opening of a region, the second opinion on the fit. What the opening loses is
 * told apart into residues, with the number of arcs at which each touches the opening.
 */
#ifndef NARROWS_TEST_SECOND_H
#define NARROWS_TEST_SECOND_H

#include <geom/geom.h>

#include <geos_c.h>

/* Starts GEOS with its messages switched off; once, before everything else here. */
void second_start(void);

GEOSGeometry *second_area(const nw_region *region);
nw_region second_region(const GEOSGeometry *area);

/* a and b united ('+'), a without b ('-') or their common part ('&'); both are used up. */
GEOSGeometry *second_combined(GEOSGeometry *a, GEOSGeometry *b, char how);

/* A box round the region, margin wider on every side, without the region. */
GEOSGeometry *second_rest(const nw_region *region, const GEOSGeometry *area, double margin);

/* From a point to the nearest of what was prepared; 0 within a polygon. GEOS looks through an index
 * here, and through every segment where it is asked whether something lies within a distance. */
double second_distance(const GEOSPreparedGeometry *prepared, double x, double y);

/* The opening by a disc of radius r, quad_segs chords to a quarter turn. */
GEOSGeometry *second_opening(const GEOSGeometry *area, double r, int quad_segs);

typedef struct {
    GEOSGeometry *shape;
    nw_box box;
    double area, perimeter;
    double depth; /* of a stub: how far it goes from the disc that it touches */
    double taper; /* width at three quarters of the depth over that at one quarter; 0 if shallow */
    int contacts; /* arcs of its boundary that touch the opening */
    bool framed;  /* touches the box that second_rest put round the region */
} second_residue;

typedef struct {
    second_residue *items;
    size_t count;
    double area_opened;
} second_residues;

/* What the opening of area by a disc of diameter d loses, cut back by eps from the opening, so
 * that the chords of its arcs leave no slivers along the walls. frame is the area's own outer box
 * or NULL. */
second_residues second_residues_of(const GEOSGeometry *area, double d, double eps,
                                   const nw_box *frame);
void second_residues_free(second_residues *residues);

#endif
