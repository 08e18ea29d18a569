/* One radius's disc, rolled along one element of a border after the other. Internal. */
#ifndef NARROWS_FIT_ROLLER_H
#define NARROWS_FIT_ROLLER_H

#include <fit/block.h>
#include <fit/border.h>

/* A stretch of the centre's way at which nothing else is nearer than the radius. from and to are
 * millimetres along the segment, or the angle swept clockwise round the point. */
typedef struct {
    uint32_t element;
    bool begins, ends; /* it starts, ends where the element does */
    double from, to;
} nw_free_stretch;

/* `radius` from a point, `at` radians clockwise of the normal. */
static inline nw_point nw_round_centre(nw_point point, nw_point normal, double radius, double at)
{
    return nw_plus(point, nw_turned(normal, nw_cos(at), -nw_sin(at)), radius);
}

#define NW_ROLLER_RECENT 4

typedef struct {
    const nw_border *border;
    double radius;
    nw_span *open; /* what is not yet blocked of the piece in hand */
    size_t open_count, open_capacity;
    uint32_t recent[NW_ROLLER_RECENT]; /* segments that blocked the last pieces */
    int recent_count, recent_last;
    bool blocked;         /* all of the last piece was */
    nw_near *near;        /* near_good: all segments that come within `radius` of what is no */
    nw_point near_centre; /* further from here than near_reach; else the last piece's middle */
    bool near_good;
    double near_reach, near_next; /* mm; of this list and the next */
    int near_wait;                /* pieces to go where there are too many */
    nw_free_stretch *frees;
    size_t count, capacity;
    bool alone;  /* no segment but those next to the element blocks any of it */
    bool failed; /* no memory; what has been found so far is of no use then */
} nw_roller;

/* Free stretches of one element, in order, none overlapping. */
typedef struct {
    const nw_free_stretch *items;
    size_t count;
} nw_frees;

void nw_roller_start(nw_roller *work, const nw_border *border, double radius);
void nw_roller_free(nw_roller *work);

/* Frees all but what has been found. */
void nw_roller_rest(nw_roller *work);

/* Appends the free stretches of an element to work->frees. A disc that touches the same place as
 * a larger one lies within it; so what is free for a larger disc is known to be free, at_least, and
 * nothing is that is not free for a smaller one, at_most (NULL: not known). Only what lies between
 * the two is looked at. True when nothing but the segments next to the element blocks any of that:
 * then it is so for smaller discs too. extent: see nw_element_extent. */
bool nw_roller_element(nw_roller *work, uint32_t element, double extent, const nw_frees *at_most,
                       nw_frees at_least);

/* The same where nothing but the segments next to the element can block any. */
void nw_roller_element_alone(nw_roller *work, uint32_t element, double extent);

#endif
