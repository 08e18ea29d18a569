/* Points, vectors and boxes: what all geometry is made of. */
#ifndef NARROWS_GEOM_POINT_H
#define NARROWS_GEOM_POINT_H

#include <base/base.h>

#include <math.h>

#define NW_PI 3.14159265358979323846
#define NW_TURN (2 * NW_PI)
#define NW_DEGREE (NW_PI / 180)

typedef struct {
    double x, y;
} nw_point;

typedef struct {
    nw_point min, max;
} nw_box;

/* Of numbers: fmin and fmax, which look out for what is none, cost a call each. */
static inline double nw_smaller(double a, double b)
{
    return a < b ? a : b;
}

static inline double nw_larger(double a, double b)
{
    return a > b ? a : b;
}

/* A box with nothing in it, to be grown. */
static inline nw_box nw_box_empty(void)
{
    return (nw_box){{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
}

/* Grows the box until the other lies in it. */
static inline void nw_box_grow(nw_box *box, nw_box other)
{
    box->min.x = nw_smaller(other.min.x, box->min.x);
    box->min.y = nw_smaller(other.min.y, box->min.y);
    box->max.x = nw_larger(other.max.x, box->max.x);
    box->max.y = nw_larger(other.max.y, box->max.y);
}

static inline double nw_box_width(nw_box box)
{
    return box.max.x - box.min.x;
}

static inline double nw_box_height(nw_box box)
{
    return box.max.y - box.min.y;
}

/* Round both points, and that much larger on every side. */
static inline nw_box nw_box_of(nw_point a, nw_point b, double margin)
{
    return (nw_box){{nw_smaller(a.x, b.x) - margin, nw_smaller(a.y, b.y) - margin},
                    {nw_larger(a.x, b.x) + margin, nw_larger(a.y, b.y) + margin}};
}

static inline nw_box nw_box_round(nw_point p, double radius)
{
    return (nw_box){{p.x - radius, p.y - radius}, {p.x + radius, p.y + radius}};
}

/* Grows the box until the disc lies in it; radius 0: the point. */
static inline void nw_box_take(nw_box *box, nw_point centre, double radius)
{
    nw_box_grow(box, nw_box_round(centre, radius));
}

static inline nw_point nw_minus(nw_point a, nw_point b)
{
    return (nw_point){a.x - b.x, a.y - b.y};
}

static inline nw_point nw_plus(nw_point a, nw_point b, double times)
{
    return (nw_point){a.x + b.x * times, a.y + b.y * times};
}

/* Whether the line from a to b crosses the ray to the right of p: what does so an odd number of
 * times goes round p. */
static inline bool nw_crosses_ray(nw_point a, nw_point b, nw_point p)
{
    return (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y);
}

static inline nw_box nw_box_moved(nw_box box, nw_point by)
{
    return (nw_box){nw_plus(box.min, by, 1), nw_plus(box.max, by, 1)};
}

/* Its edges are part of it. */
static inline bool nw_box_holds(nw_box box, nw_point p)
{
    return p.x >= box.min.x && p.x <= box.max.x && p.y >= box.min.y && p.y <= box.max.y;
}

/* Whether no more than the margin lies between them along either axis. */
static inline bool nw_boxes_meet(nw_box a, nw_box b, double margin)
{
    return a.min.x <= b.max.x + margin && b.min.x <= a.max.x + margin &&
           a.min.y <= b.max.y + margin && b.min.y <= a.max.y + margin;
}

/* So are those of a box within it. */
static inline bool nw_box_surrounds(nw_box outer, nw_box inner)
{
    return nw_box_holds(outer, inner.min) && nw_box_holds(outer, inner.max);
}

static inline nw_point nw_times(nw_point a, double times)
{
    return (nw_point){a.x * times, a.y * times};
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

static inline nw_point nw_back(nw_point a)
{
    return (nw_point){-a.x, -a.y};
}

/* Coordinates stay below 1e6 mm, so that squares neither overflow nor lose what counts. */
static inline double nw_length(nw_point a)
{
    return sqrt(nw_dot(a, a));
}

static inline double nw_distance(nw_point a, nw_point b)
{
    return nw_length(nw_minus(a, b));
}

/* How far the middle one is from halfway between the others, twice: what bends a curve. */
static inline double nw_second_difference(nw_point p, nw_point q, nw_point r)
{
    return nw_length(nw_minus(nw_minus(p, q), nw_minus(q, r)));
}

/* Of length 1; 0, 0 stays. */
static inline nw_point nw_unit_of(nw_point a)
{
    double length = nw_length(a);
    return length > 0 ? (nw_point){a.x / length, a.y / length} : a;
}

/* From a towards b. */
static inline nw_point nw_unit(nw_point a, nw_point b)
{
    return nw_unit_of(nw_minus(b, a));
}

/* From a (share 0) to b (share 1). */
static inline nw_point nw_between(nw_point a, nw_point b, double share)
{
    return (nw_point){a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share};
}

static inline nw_point nw_middle(nw_point a, nw_point b)
{
    return (nw_point){(a.x + b.x) / 2, (a.y + b.y) / 2};
}

/* Turned counter-clockwise by the angle of this cosine and sine. */
static inline nw_point nw_turned(nw_point a, double cosine, double sine)
{
    return (nw_point){a.x * cosine - a.y * sine, a.y * cosine + a.x * sine};
}

/* From a to b, -π to π, positive to the left. */
static inline double nw_angle(nw_point a, nw_point b)
{
    return nw_atan2(nw_cross(a, b), nw_dot(a, b));
}

/* Twice the area of the triangle: positive where p lies to the left of the way from a to b. */
static inline double nw_side_of(nw_point a, nw_point b, nw_point p)
{
    return nw_cross(nw_minus(b, a), nw_minus(p, a));
}

/* Whether the lines a to b and c to d cross within both; where one ends on the other they do not.
 */
static inline bool nw_segments_cross(nw_point a, nw_point b, nw_point c, nw_point d)
{
    return nw_side_of(a, b, c) * nw_side_of(a, b, d) < 0 &&
           nw_side_of(c, d, a) * nw_side_of(c, d, b) < 0;
}

/* Of p from the line between a and b, its ends included. */
static inline double nw_segment_distance(nw_point a, nw_point b, nw_point p)
{
    nw_point d = nw_minus(b, a);
    double square = nw_dot(d, d), t = square > 0 ? nw_dot(nw_minus(p, a), d) / square : 0;
    return nw_distance(p, nw_plus(a, d, fmin(fmax(t, 0), 1)));
}

/* How many times u from p the line through q along v is met; not finite where they are parallel. */
static inline double nw_met_after(nw_point p, nw_point u, nw_point q, nw_point v)
{
    return nw_cross(nw_minus(q, p), v) / nw_cross(u, v);
}

/* x' = a x + c y + e, y' = b x + d y + f, as SVG's matrix(a b c d e f). */
typedef struct {
    double a, b, c, d, e, f;
} nw_affine;

#define NW_UNMOVED ((nw_affine){1, 0, 0, 1, 0, 0})

static inline nw_point nw_affine_apply(nw_affine m, nw_point p)
{
    return (nw_point){m.a * p.x + m.c * p.y + m.e, m.b * p.x + m.d * p.y + m.f};
}

/* First i, then o: o is the outer one of nested transforms. */
static inline nw_affine nw_affine_after(nw_affine o, nw_affine i)
{
    return (nw_affine){o.a * i.a + o.c * i.b,       o.b * i.a + o.d * i.b,
                       o.a * i.c + o.c * i.d,       o.b * i.c + o.d * i.d,
                       o.a * i.e + o.c * i.f + o.e, o.b * i.e + o.d * i.f + o.f};
}

#endif
