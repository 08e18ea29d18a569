/* Triangles between the points of outlines. Internal to the folder. */
#ifndef NARROWS_TRIANGLES_H
#define NARROWS_TRIANGLES_H

#include <geom/geom.h>

#define NO_TRIANGLE UINT32_MAX

/* Edge k runs from corner k to corner k + 1. */
typedef struct {
    uint32_t corner[3]; /* the region's points, counter-clockwise */
    uint32_t beside[3]; /* the triangle across each edge that is no outline's; else NO_TRIANGLE */
} nw_triangle;

typedef struct {
    nw_triangle *items;
    uint32_t count;
} nw_triangulation;

/* The triangles of the constrained Delaunay triangulation that lie in the region's ink. Points
 * nearer to one another than 2^-22 of the region's size are one. False when memory runs out, or
 * where there are more than 2^30 points. (triangles.c) */
bool nw_triangulation_make(const nw_region *region, nw_triangulation *result);
void nw_triangulation_free(nw_triangulation *t);

#endif
