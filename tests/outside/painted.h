/*
 * painted: what stays of painted shapes by GEOS, the second opinion on solid. Each shape is noded
 * by itself, cut into faces, and those that its fill rule keeps are united; clips are
 * intersections, paper is a difference.
 */
#ifndef NARROWS_TEST_PAINTED_H
#define NARROWS_TEST_PAINTED_H

#include <solid/solid.h>

#include <geos_c.h>

/* The painting's ink. Curves become chords within the flatness. GEOS must have been started. */
GEOSGeometry *painted_area(const nw_painting *all, double flatness);

/* Whether a place is ink, from the shapes' winding numbers there, without GEOS. */
bool painted_at(const nw_painting *all, nw_point at);

/* A clean drawing of lines as polygons; mended where GEOS says it is not valid. */
GEOSGeometry *painted_drawing(const nw_drawing *drawing, bool *valid);

#endif
