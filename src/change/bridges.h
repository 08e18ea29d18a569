/* Bridges, inside: rings and what they bound, ways across the cut, strips, and the tree of them.
 * Internal. */
#ifndef NARROWS_CHANGE_BRIDGES_H
#define NARROWS_CHANGE_BRIDGES_H

#include <change/change.h>

#define NW_LOOSE_DUST_MM2 0.05 /* what is smaller goes to dust with the bit, and is not listed */

/* What is asked of a ring again and again. */
typedef struct {
    double area; /* below 0: a hole */
    nw_box box;
} nw_ring_facts;

/* Of every ring of the region, to be freed; NULL when memory runs out. */
nw_ring_facts *nw_rings_learn(const nw_region *region);

/* Per ring of the region: which part of the cut area it bounds. Only rings of the same part can be
 * joined by a strip across it. group has a place for every ring. */
void nw_rings_group(const nw_region *region, const nw_ring_facts *facts, nw_cut cut, size_t *group);

/* ---- ways across the cut (bridge_spans.c) --------------------------------------------------- */

/* From one outline to another. */
typedef struct {
    nw_point from, to;
    uint32_t on_from, on_to; /* segments of the border */
    double length;
    size_t a, b; /* rings of the region */
} nw_span_across;

typedef struct {
    nw_span_across *items; /* shortest first, no two alike */
    size_t count, capacity;
} nw_spans_across;

/* ring: of the region, for each of the border's rings; SIZE_MAX for the sheet's edge. From places
 * `step` apart on every ring: to where the largest disc there touches another ring of the same
 * group, the same after both ends slid to where the way is shortest nearby, and straight across. */
nw_status nw_spans_find(const nw_border *cut, const size_t *ring, const size_t *group, double step,
                        nw_spans_across *spans, nw_error *error);

/* Where the ray from p first meets the border within limit; INFINITY where it does not. */
double nw_border_ray(const nw_border *border, nw_point p, nw_point way, double limit,
                     uint32_t *segment);

/* ---- strips (bridge_strips.c) --------------------------------------------------------------- */

#define NW_SMALL_RING 2.0 /* widths: one so small carries a strip that not all of it meets */
#define NW_STRIP_LINES 5  /* along the strip, from one edge to the other */

/* Of a span: the strip that stands there. */
typedef struct {
    nw_point ends[2][NW_STRIP_LINES]; /* in the stock, at its start and end, from the right edge */
    nw_point feet[2][NW_STRIP_LINES]; /* on the outlines */
    nw_point way;                     /* unit */
    double reach[2]; /* of the longest line, from the middle to each end, over an eye */
    size_t ring[2];  /* of the region, at each end */
    bool small[2];   /* that ring is hardly larger than the strip is wide */
    double slant[2]; /* of its feet: the tangent of how far each is from square to it */
    bool detail;     /* a foot is at a corner or a detail of its outline */
    bool thin;       /* no disc of the least neck lies in the stock right behind a foot */
    double cost;     /* length of its longest line, more for each without footing, up to three times
                        as much where it stands badly */
    double cot_sum;  /* over its four corners with the walls: cotangent of half the angle */
} nw_strip;

/* Of a ring of the region. */
typedef struct {
    nw_point centre; /* of mass */
    double size;     /* the longer side of its box */
    bool loose;      /* it bounds what comes loose */
} nw_bridge_ring;

/* What strips are made and judged by. */
typedef struct {
    const nw_region *region; /* of the art without bridges */
    const nw_bridge_ring *rings;
    nw_point centre; /* of the art */
    double size;     /* of its box, from corner to corner */
    const nw_border *cut;
    const size_t *ring;
    double width, radius; /* of a strip, and the bit's */
    double neck;          /* the least neck */
} nw_strip_judge;

/* False where the span carries no strip: a line of it finds no footing or leaves the cut area. */
bool nw_strip_make(const nw_strip_judge *judge, const nw_span_across *span, nw_strip *strip);

/* Do two strips stand where they would be one? Not where they leave a small ring to opposite sides:
 * there they are one longer strip over it. */
bool nw_strips_meet(const nw_strip_judge *judge, const nw_strip *a, const nw_strip *b);

/* Does the bit, with the strips others there, lose more of the walls beside a strip than the four
 * corners between it and them? */
bool nw_strip_closes(const nw_strip_judge *judge, const nw_strip *strip, const nw_strip *others,
                     size_t count);
double nw_strip_distance(const nw_strip *strip, nw_point p);

/* Does the whole ring lie under the strip? */
bool nw_strip_covers(const nw_strip_judge *judge, const nw_strip *strip, size_t ring);

/* *harm: how much more of the cut area the bit leaves beside the strip, in mm². Both fits with
 * shapes. False when memory runs out. */
bool nw_strip_harm(const nw_strip *strip, double width, const nw_fit *before, const nw_fit *after,
                   double *harm);

/* Adds the strip as a closed path. */
bool nw_strip_path(const nw_strip *strip, nw_drawing *strips);

/* ---- the tree of them (bridge_tree.c) ------------------------------------------------------- */

typedef enum { NW_SPAN_NEW, NW_SPAN_STANDS, NW_SPAN_NO_FOOTING, NW_SPAN_BANNED } nw_span_state;

/* A bridge that was chosen. */
typedef struct {
    size_t span;
    nw_strip strip;
} nw_bridge_made;

typedef struct {
    nw_strip_judge judge;
    bool outside;
    size_t each;         /* bridges; 0: by size */
    const nw_places *at; /* where somebody wants them, and nowhere else; NULL: by themselves */
    const size_t *group;
    nw_bridge_ring *rings;
    nw_ring_facts *facts; /* of each ring */
    size_t *holder; /* of each ring: the panel's or the largest part's, on which it is to hang */
    nw_spans_across spans;
    nw_strip *strips;      /* of each span, once NW_SPAN_STANDS */
    nw_span_state *states; /* of each span */
    bool *spoils;          /* of each span: a bridge there left a new spot */
    unsigned *spoilt;      /* of each ring: how often a bridge on it did */
    nw_bridge_made *made;
    size_t made_count, made_capacity;
    size_t *part;     /* of each ring: a name of what hangs together with it */
    bool *covered;    /* of each ring: it lies under a bridge */
    bool *reached;    /* of each ring: nw_bridges_reach */
    int *reason;      /* of each ring: nw_unheld_reason, the furthest that a way to it came */
    nw_strip *others; /* strips of what was made */
    size_t others_capacity;
} nw_bridge_tree;

/* Chooses the bridges among the spans that are not banned: those that somebody wants, or a shortest
 * tree, then second ones. */
nw_status nw_bridge_tree_grow(nw_bridge_tree *tree, nw_error *error);

/* Lists the spots of the fit with the bridges that are there by them; those of bridges thinner than
 * the least neck are not. Both fits with shapes. False when memory runs out. */
bool nw_bridge_spots_find(const nw_bridge_tree *tree, const nw_fit *before, const nw_fit *after,
                          nw_bridged *bridged);

/* What the strip of a span costs: more for what is, or is likely, too narrow beside it, unless
 * somebody chose its place. */
double nw_span_cost(const nw_bridge_tree *tree, size_t span);

/* Has the art painted with the bridges no pocket beside them: a cut of its own, between a strip's
 * end and a wall that recedes, or between two strips at an eye, into which no bit gets. */
void nw_pockets_fill(const nw_bridge_tree *tree, nw_drawing *painted);

/* Takes away the bridges whose spans are banned, and what then holds nothing. */
void nw_bridge_tree_prune(nw_bridge_tree *tree);

/* How many bridges a ring is to have. */
size_t nw_bridges_wanted(const nw_bridge_tree *tree, size_t ring);

#define NW_BESIDE_BITS 4.0 /* bits: as near to a bridge is beside it */
#define NW_LONG_BRIDGE 3.0 /* times the shortest way; longer has to have a reason */

/* Marks as reached what hangs together with a ring by the bridges that were made, but for those of
 * the ring `without`; SIZE_MAX: by all. */
void nw_bridges_reach(const nw_bridge_tree *tree, size_t from, size_t without);

/* How many bridges hold a ring: those to what hangs together with its holder without it, and not
 * those to what hangs on it. *one (may be NULL) is one of them in what was made. */
size_t nw_bridges_holding(const nw_bridge_tree *tree, size_t ring, size_t *one);

/* The length of the shortest way from a ring to any other, whether a strip stands there or not. */
double nw_shortest_way(const nw_bridge_tree *tree, size_t ring);

/* Sets the holder of each ring. */
void nw_holders_find(nw_bridge_tree *tree);

/* Whether a ring is held by what was made. */
bool nw_ring_is_held(const nw_bridge_tree *tree, size_t ring);

#endif
