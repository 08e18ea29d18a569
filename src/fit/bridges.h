/* Bridges, inside: which outlines may be joined, and where that is shortest. Internal. */
#ifndef NARROWS_FIT_BRIDGES_H
#define NARROWS_FIT_BRIDGES_H

#include <fit/border.h>
#include <fit/fit.h>

/* Per ring of the region: which part of the cut area it bounds. Only rings of the same part can be
 * joined by a strip across it. group has a place for every ring. */
void nw_rings_group(const nw_region *region, nw_cut cut, size_t *group);
bool nw_ring_is_hole(const nw_region *region, size_t ring);
double nw_ring_area(const nw_region *region, size_t ring);
nw_box nw_ring_box(const nw_region *region, size_t ring);
bool nw_ring_contains(const nw_region *region, size_t ring, nw_point p);

/* A way across the cut from one ring to another. */
typedef struct {
    nw_point from, to;
    double length;
    size_t a, b; /* rings */
} nw_span_across;

typedef struct {
    nw_span_across *items; /* shortest first */
    size_t count, capacity;
} nw_spans_across;

/* From places `step` apart on every ring: the shortest way to any ring of the same group that has
 * another number in part, and the way straight across to such a ring. part NULL: any other ring;
 * only: from this ring alone, or SIZE_MAX. */
nw_status nw_spans_find(const nw_region *region, const size_t *group, const size_t *part,
                        size_t only, bool outside, double step, nw_spans_across *spans,
                        nw_error *error);

#endif
