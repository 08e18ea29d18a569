/* The border of an area: its segments, the area on their left, and who is near what. Internal. */
#ifndef NARROWS_FIT_BORDER_H
#define NARROWS_FIT_BORDER_H

#include <geom/geom.h>

#include <math.h>

/* Points nearer than this are one: far below any flatness, far above rounding at 1e5 mm. */
#define NW_MERGE_MM 1e-6

/* What discs that rolled before have found of an element of the border (roll.h): for every radius
 * up to `alone` nothing but the segments next to it blocks any of it, and from `blocked` on all of
 * it is blocked. */
typedef struct {
    double alone, blocked;
} nw_fate;

/* The largest disc in a residue that is a whole piece, up to `limit`, of that area; a limit of 0:
 * none is known. */
typedef struct {
    double limit, area, radius;
    nw_point centre;
} nw_ball;

/* Points that stand closer than NW_DENSE_MM give way to a chord that passes them within NW_THIN_MM:
 * far below the flatness, but turns add up to more than rounding again. */
#define NW_DENSE_MM 0.05
#define NW_THIN_MM 1e-5

/* Segment i runs from points[i] to points[next[i]]; ring k owns segments starts[k] up to
 * starts[k + 1] - 1, in order. */
typedef struct {
    nw_point *points;
    nw_point *along;     /* unit direction of segment i */
    double *length;      /* of segment i */
    double *station;     /* length of the ring from its start to point i */
    double *ring_length; /* of ring k */
    uint32_t *next, *prev;
    uint32_t *ring; /* of segment i */
    size_t count, capacity;
    double across; /* the greatest distance between two points of the art */
    size_t *starts;
    size_t ring_count;
    nw_tree tree;   /* over the segments' boxes */
    nw_fate *fates; /* of every element; NULL: nobody remembers */
    nw_ball *balls; /* of every ring with which a residue began, or NULL */
} nw_border;

/* Between art and the sheet's edge, if they are no further apart, there is no stock: less than what
 * flattening may be off by. */
#define NW_FLUSH_MM 2e-3

/* The rings of the sheet without the art, the stock on their left; the art may reach beyond the
 * sheet by NW_FLUSH_MM (sheet_rings.c). */
nw_status nw_sheet_rings(const nw_region *region, const nw_box *sheet, nw_region *rings,
                         nw_error *error);

/* The ink's border, or with reversed its complement's; sheet (may be NULL) ends the complement. */
nw_status nw_border_make(const nw_region *region, bool reversed, const nw_box *sheet,
                         nw_border *border, nw_error *error);
void nw_border_free(nw_border *border);

/* From here on what a disc finds is remembered, and used by those that roll after it. False when
 * memory runs out. */
bool nw_border_remember(nw_border *border);

/* The place t millimetres along segment i. */
nw_point nw_border_at(const nw_border *border, uint32_t i, double t);

/* The point of segment i nearest to p. */
nw_point nw_border_foot(const nw_border *border, uint32_t i, nw_point p);

/* True where the border turns right at point i, so that the area lies round it, and by how much,
 * up to pi. */
bool nw_border_reflex(const nw_border *border, uint32_t i);
double nw_border_turn(const nw_border *border, uint32_t i);

/* The area, holes taken off. Negative for the complement of something finite. */
double nw_border_area(const nw_border *border);

/* The segment of the ring at so much of its length, which may not be negative. */
uint32_t nw_border_segment(const nw_border *border, uint32_t ring, double along);

/* The point of the border nearest to p and its segment, if within limit; else a distance of
 * limit. */
double nw_border_nearest(const nw_border *border, nw_point p, double limit, uint32_t *segment,
                         nw_point *foot);

/* True when p, to which the border comes nearer than limit, lies in the area; false when it does
 * not come so near. On the border either answer is right. */
bool nw_border_inside(const nw_border *border, nw_point p, double limit);

/* True when the open line from a to b meets no segment, apart from within `skin` of its ends. */
bool nw_border_clear(const nw_border *border, nw_point a, nw_point b, double skin);

/* The radius of the largest disc in the area that touches the border at t along segment i, up to
 * limit. What is no larger than `least` may come out as anything up to that: the search ends there.
 * *blocker: any segment, which is asked first: best the one in the way of a place beside this one;
 * then the one in its own way, where any is nearer than limit.
 * Shrinking ball: Ma, Bae and Choi, The Visual Computer 28 (2012); here exact for segments. */
double nw_border_ball(const nw_border *border, uint32_t i, double t, double least, double limit,
                      uint32_t *blocker);

/* The same for any place p on the border and any unit normal into the area; below limit, also where
 * else the disc touches. */
double nw_border_disc(const nw_border *border, nw_point p, nw_point normal, double limit,
                      uint32_t *segment, nw_point *foot);

/* The same, sooner: *segment is the likeliest to be touched, and what is no larger than `least` may
 * come out as anything up to that. */
double nw_border_disc_from(const nw_border *border, nw_point p, nw_point normal, double least,
                           double limit, uint32_t *segment, nw_point *foot);

#endif
