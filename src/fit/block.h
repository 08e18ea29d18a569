/* What one segment blocks of a piece of the centre's way. Internal. */
#ifndef NARROWS_FIT_BLOCK_H
#define NARROWS_FIT_BLOCK_H

#include <fit/border.h>

typedef struct {
    double from, to;
} nw_span;

/* A piece of the way: beside segment `at`, or round point `at`. */
typedef struct {
    const nw_border *border;
    double radius;
    bool round;
    uint32_t at;
    nw_point origin, axis; /* the segment's start and direction; the point and the normal of the
                              segment before it */
} nw_piece_way;

/* The stretches that segment j blocks, in the way's parameter: 0, 1 or, where a round way is
 * blocked from both ends, 3 spans, which may reach beyond the piece. */
int nw_way_blocked(const nw_piece_way *way, uint32_t j, nw_span spans[3]);

#endif
