/* The middle of ink as branches between ends and junctions. Internal to the folder. */
#ifndef NARROWS_RIBBON_H
#define NARROWS_RIBBON_H

#include <lines/triangles.h>

#define NOWHERE SIZE_MAX
#define TOO_WIDE 1.25 /* of the line's width: a chord across more than the line */

/* A way across the ink from edge to edge: its middle and its length. */
typedef struct {
    nw_point at;
    double width;
} nw_ribbon_chord;

/* Chords that follow one another; a node at either end, or NOWHERE for a ring. */
typedef struct {
    nw_ribbon_chord *chords;
    size_t count, capacity;
    size_t node[2];
    bool is_link; /* within one junction */
} nw_ribbon_branch;

typedef struct {
    nw_point at;        /* an end: its outermost place */
    size_t degree;      /* branch ends that meet here */
    size_t branches[3]; /* theirs; one twice where it leads round to here again */
    size_t cluster;     /* nodes of one junction have the same: one of them */
    size_t size;        /* nodes of the junction, at the one that stands for it */
    bool mouth;         /* a branch leads into a wide part here, across the chord that ends there */
    size_t mouth_end;   /* the region's point where that chord ends, the wide part on its left */
} nw_ribbon_node;

typedef struct {
    nw_ribbon_branch *branches; /* without chords: gone */
    size_t count, capacity;
    nw_ribbon_node *nodes;
    size_t node_count;
    /* Of each of the region's points: */
    bool *wide;    /* its edge bounds a wide part */
    size_t *mouth; /* the mouth whose chord begins there, or NOWHERE */
    size_t wide_count;
} nw_ribbon;

/* The branches of a region's ink, up to where it is wider than lines of this width by far. False
 * when memory runs out. (ribbon.c) */
bool nw_ribbon_make(const nw_region *region, double width, nw_ribbon *r);
void nw_ribbon_free(nw_ribbon *r);

/* Takes away branches that only lead into the corners of line ends and bends, and joins what they
 * held apart. width: of the line. (spurs.c) */
bool nw_ribbon_prune(nw_ribbon *r, double width);

/* Puts junctions together that lie within about a line's width. (spurs.c) */
void nw_ribbon_cluster(nw_ribbon *r, double width);

/* Marks the triangles where the ink is wider by far than lines of this width; *count: in how many
 * parts. False when memory runs out. (wide_parts.c) */
bool nw_wide_find(const nw_region *region, const nw_triangulation *cut, double width, bool *wide,
                  size_t *count);

/* Adds the outlines of wide parts, with straight lines across the mouths of branches that are left,
 * as closed paths of a piece each. (wide_parts.c) */
nw_status nw_wide_parts_write(const nw_region *region, const nw_ribbon *r, double width,
                              nw_drawing *out, nw_error *error);

double nw_chords_length(const nw_ribbon_branch *b);
bool nw_branch_grow(nw_ribbon_branch *b, nw_ribbon_chord c);

#endif
