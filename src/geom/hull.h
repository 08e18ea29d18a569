/* The convex hull of points. Internal. */
#ifndef NARROWS_GEOM_HULL_H
#define NARROWS_GEOM_HULL_H

#include <geom/drawing.h>

/* The hull's corners, counter-clockwise, none on the line between two others; none of no points,
 * and of points that are all one. The caller frees them; NULL when memory runs out. */
nw_point *nw_hull_make(const nw_point *points, size_t count, size_t *corners);

/* The greatest distance between two corners, in the points' unit: it does not change when they are
 * turned. */
double nw_hull_across(const nw_point *hull, size_t corners);

#endif
