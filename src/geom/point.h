/* Points, vectors and boxes: what all geometry is made of. */
#ifndef NARROWS_GEOM_POINT_H
#define NARROWS_GEOM_POINT_H

#include <math.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct {
    double x, y;
} nw_point;

typedef struct {
    nw_point min, max;
} nw_box;

/* A box with nothing in it, to be grown. */
static inline nw_box nw_box_empty(void)
{
    return (nw_box){{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
}

/* Grows the box until the other lies in it. */
static inline void nw_box_grow(nw_box *box, nw_box other)
{
    box->min.x = other.min.x < box->min.x ? other.min.x : box->min.x;
    box->min.y = other.min.y < box->min.y ? other.min.y : box->min.y;
    box->max.x = other.max.x > box->max.x ? other.max.x : box->max.x;
    box->max.y = other.max.y > box->max.y ? other.max.y : box->max.y;
}

static inline double nw_box_width(nw_box box)
{
    return box.max.x - box.min.x;
}

static inline double nw_box_height(nw_box box)
{
    return box.max.y - box.min.y;
}

/* Grows the box until the disc lies in it; radius 0: the point. */
static inline void nw_box_take(nw_box *box, nw_point centre, double radius)
{
    nw_box_grow(box, (nw_box){{centre.x - radius, centre.y - radius},
                              {centre.x + radius, centre.y + radius}});
}

static inline nw_point nw_minus(nw_point a, nw_point b)
{
    return (nw_point){a.x - b.x, a.y - b.y};
}

static inline nw_point nw_plus(nw_point a, nw_point b, double times)
{
    return (nw_point){a.x + b.x * times, a.y + b.y * times};
}

static inline double nw_dot(nw_point a, nw_point b)
{
    return a.x * b.x + a.y * b.y;
}

/* Positive when b lies to the left of a. */
static inline double nw_cross(nw_point a, nw_point b)
{
    return a.x * b.y - a.y * b.x;
}

static inline nw_point nw_left(nw_point a)
{
    return (nw_point){-a.y, a.x};
}

/* Coordinates stay below 1e6 mm, so that squares neither overflow nor lose what counts. */
static inline double nw_distance(nw_point a, nw_point b)
{
    nw_point d = nw_minus(a, b);
    return sqrt(nw_dot(d, d));
}

#ifdef __cplusplus
}
#endif

#endif
