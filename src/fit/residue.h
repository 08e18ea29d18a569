/* What the disc leaves uncovered: walls, contact arcs, loops, components. Internal. */
#ifndef NARROWS_FIT_RESIDUE_H
#define NARROWS_FIT_RESIDUE_H

#include <fit/roll.h>

#define NW_NOWHERE UINT32_MAX

/* Contact arcs shorter than this are none: the wall goes on through them. */
#define NW_ARC_LEAST_MM 1e-6

/* An uncovered stretch of the border: from `from` millimetres along `segment`, past `span`
 * points, to `to` millimetres along the segment reached. At its last point a disc round `after`
 * touches, whose contact arc leads clockwise to the first point of wall `next`. */
typedef struct {
    uint32_t segment, span;
    double from, to;
    nw_point first, last;
    nw_point before, after; /* centres of the discs that touch its ends */
    uint32_t free_before, free_after;
    uint32_t next;
    bool closed; /* a whole outline that no disc touches */
} nw_wall;

typedef struct {
    const nw_border *border;
    const nw_roll *roll;
    nw_wall *walls;
    size_t count, capacity;
    uint32_t *follow; /* of each free stretch: the one that the centre enters next */
    size_t unpaired;
} nw_walls;

nw_status nw_walls_make(const nw_roll *roll, nw_walls *walls, nw_error *error);
void nw_walls_free(nw_walls *walls);

/* The roll of a disc no larger than the one that left these walls, inside the chosen ones (NULL:
 * all, then it is complete); the rest of the border is taken for free. */
nw_status nw_roll_inside(const nw_walls *larger, const bool *chosen, double radius, nw_roll *roll,
                         nw_error *error);
double nw_wall_length(const nw_border *border, const nw_wall *wall);

/* True when a contact arc that counts follows the wall. One that would run round three quarters of
 * the disc and more is none: what the slack at flat neighbours makes two walls overlap by. */
bool nw_wall_has_arc(const nw_walls *walls, uint32_t wall);

/* A corner of less than a right turn between two segments whose disc touches both: the residue is
 * bounded by this wall and the disc alone, and no other disc reaches into it. Most walls are such,
 * at the chords of curves. */
bool nw_wall_is_corner(const nw_border *border, const nw_wall *wall);

/* The angle by which `to` lies clockwise of `from` as seen from the centre, 0 up to 2 pi. */
double nw_clockwise(nw_point centre, nw_point from, nw_point to);

/* A part of a loop: a wall, or a contact arc or a part of one between two crossings. */
typedef struct {
    bool arc;
    uint32_t wall;             /* the wall; the one that the arc follows */
    nw_point centre, from, to; /* arc */
    double sweep;              /* arc: clockwise, radians */
    uint32_t next;
    uint32_t loop;
} nw_edge;

typedef enum {
    NW_LOOP_OUTER, /* bounds a residue from outside */
    NW_LOOP_HOLE,  /* bounds it from inside: an island, or a place where the disc fits */
    NW_LOOP_LENS   /* where discs from both sides overlap, or less than rounding: nothing */
} nw_loop_kind;

typedef struct {
    uint32_t edge; /* any one of it */
    uint32_t ring; /* of its walls before crossings were cut */
    nw_loop_kind kind;
    double area; /* signed */
    double wall_length;
} nw_loop;

typedef struct {
    const nw_walls *walls;
    nw_edge *edges;
    size_t edge_count, edge_capacity;
    nw_loop *loops;
    size_t loop_count, loop_capacity;
    uint32_t *wall_ring; /* rings of walls and arcs as paired, before crossings were cut */
    size_t ring_count;
    uint32_t *ring_parent; /* component: rings that belong together have the same root */
} nw_loops;

nw_status nw_loops_make(const nw_walls *walls, nw_loops *loops, nw_error *error);
void nw_loops_free(nw_loops *loops);

/* Joins the ring of every hole loop with the ring of the loop that it lies in. */
nw_status nw_loops_nest(nw_loops *loops, nw_error *error);
uint32_t nw_ring_root(const nw_loops *loops, uint32_t ring);
void nw_rings_join(nw_loops *loops, uint32_t a, uint32_t b);

#endif
