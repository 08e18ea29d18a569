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
    nw_point middle;       /* all centres of the piece are no further than `spread` from here */
    double spread;
} nw_piece_way;

#define NW_SPANS 6

/* The stretches that segment j blocks, in the way's parameter; they may overlap and reach beyond
 * the piece. Returns how many there are. */
int nw_way_blocked(const nw_piece_way *way, uint32_t j, nw_span spans[NW_SPANS]);

/* Whether segment j, not next to the way's own, surely blocks all of the piece. */
bool nw_way_covered(const nw_piece_way *way, uint32_t j);

#endif
