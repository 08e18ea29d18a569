/* Widening, inside: the walls of a residue, and the lines that a disc must run along. Internal. */
#ifndef NARROWS_FIT_WIDEN_H
#define NARROWS_FIT_WIDEN_H

#include <fit/border.h>
#include <fit/fit.h>

/* A stretch of a border from station to station (from < to; to goes beyond the ring's length where
 * it passes the ring's start), or a whole ring. One of the walls of a chosen place. */
typedef struct {
    uint32_t ring;
    double from, to;
    bool whole;
    size_t spot; /* the place it belongs to */
    bool share;  /* look at the stock behind, and let the other wall give more where it is thin */
} nw_flank;

typedef struct {
    nw_flank *items;
    size_t count, capacity;
} nw_flanks;

/* What a side is widened by, and what must be left of the other one. */
typedef struct {
    const nw_border *area;  /* what becomes wider */
    const nw_border *other; /* what it is taken from */
    double radius;          /* of the disc that must pass, ease included */
    double least;           /* what must stay of the other side */
} nw_moving;

/* What moving found out about a place. */
typedef struct {
    bool tight;    /* not enough stock on either side at some point of it */
    double factor; /* then: the size at which there would be */
    double largest_move;
} nw_moved;

/* Which discs count besides those that touch two different walls. */
typedef struct {
    bool dead_ends; /* a stub or a miss is opened */
    bool has_tip;
    nw_point tip; /* the wide disc must not reach beyond it */
} nw_opening;

/* The walls of the closed residue paths [first, first + count). */
nw_status nw_flanks_add(const nw_border *area, const nw_drawing *residues, size_t first,
                        size_t count, size_t spot, bool share, nw_flanks *walls, nw_error *error);
void nw_flanks_free(nw_flanks *walls);

/* Adds the open lines that the disc has to run along for one wall; none where the wall is only that
 * of a dead end which stays. walls holds all chosen places' walls. */
nw_status nw_flank_lines(const nw_moving *moving, const nw_flanks *walls, size_t wall,
                         const nw_opening *opening, nw_drawing *lines, nw_moved *moved,
                         nw_error *error);

/* The spot of the wider fit that holds the ends of the pinch's shortest line on its walls, at least
 * one of them; SIZE_MAX when there is none. */
size_t nw_pinch_within(const nw_fit *wide, const nw_spot *pinch);

#endif
