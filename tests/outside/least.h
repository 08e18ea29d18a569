/*
 * least: the least that must be added for a disc to pass, told without the library: the passages'
 * own middle lines from GEOS's Voronoi diagram of the outline's points (the medial axis; Brandt and
 * Algazi 1992), swept by the disc with GEOS's buffer.
 */
#ifndef NARROWS_TEST_LEAST_H
#define NARROWS_TEST_LEAST_H

#include "second.h"

/* The middle lines of where the disc of diameter d cannot pass in area, each leading from wide to
 * wide: a multi line string, empty where there are none. */
GEOSGeometry *least_lines(const GEOSGeometry *area, double d);

/* The same of the disc of diameter wide, and of the bit where the wider disc sees none: a room
 * beyond that has space for the bit alone is a dead end to it. */
GEOSGeometry *least_lines_of_both(const GEOSGeometry *area, double bit, double wide);

/* The pinches that GEOS's opening finds, as one geometry; *count of them above dust. */
GEOSGeometry *least_pinches(const GEOSGeometry *area, double d, const nw_box *frame, size_t *count);

#endif
