/*
 * heading: a stroke's end -> from where on it is undisturbed, which way it goes there, and how it
 * bows: the line of least squares through the places over about a width, then, where the stroke is
 * long enough, the parabola over two widths.
 */
#include <lines/strokes.h>

#include <math.h>

/* In widths of the line. */
static const double MOST_AWAY = 6;   /* lines that part slowly are disturbed as far as this */
static const double LOOK_AT = 1;     /* the length of line that tells its direction */
static const double SHORTEST = 0.25; /* at least */
static const double BOW_LOOK = 2;    /* the length that tells its bow */
static const double BOW_LEAST = 1.5; /* at least */
static const double BOW_MOST = 0.25; /* 1 / width: half the curvature; more is a bend, not a bow */
static const double FARTHEST = 2;    /* a bow is carried on; then it goes straight */

spot *nw_spot_at(const stroke *s, int end, size_t k)
{
    return &s->spots[end ? s->count - 1 - k : k];
}

bool nw_has_way(const stroke_end *e)
{
    return e->way.x != 0 || e->way.y != 0;
}

/* Sums for a parabola y = a + b t + c t^2. */
typedef struct {
    double n, t1, t2, t3, t4, y, ty, t2y;
} bow_sum;

static void bow_add(bow_sum *b, double t, double y)
{
    b->n++;
    b->t1 += t, b->t2 += t * t, b->t3 += t * t * t, b->t4 += t * t * t * t;
    b->y += y, b->ty += t * y, b->t2y += t * t * y;
}

/* Cramer's rule; false when the places do not tell. */
static bool bow_solve(const bow_sum *s, double *a, double *b, double *c)
{
    double m0 = s->t2 * s->t4 - s->t3 * s->t3, m1 = s->t1 * s->t4 - s->t2 * s->t3,
           m2 = s->t1 * s->t3 - s->t2 * s->t2, d = s->n * m0 - s->t1 * m1 + s->t2 * m2;
    if (!(fabs(d) > 0)) {
        return false;
    }
    double m3 = s->n * s->t4 - s->t2 * s->t2, m4 = s->n * s->t3 - s->t1 * s->t2,
           m5 = s->n * s->t2 - s->t1 * s->t1;
    *a = (s->y * m0 - s->ty * m1 + s->t2y * m2) / d;
    *b = (-s->y * m1 + s->ty * m3 - s->t2y * m4) / d;
    *c = (s->y * m2 - s->ty * m4 + s->t2y * m5) / d;
    return true;
}

/* Replaces the end's straight line by a parabola, where the stroke is long enough. */
static void bow_find(stroke *s, int end)
{
    stroke_end *e = &s->ends[end];
    nw_point aside = {-e->way.y, e->way.x};
    bow_sum sum = {0};
    double t = 0, a, b, c;
    for (size_t k = e->beyond; k < s->count && t > -BOW_LOOK * s->width; k++) {
        const spot *p = nw_spot_at(s, end, k);
        nw_point d = minus(p->at, e->near);
        if (p->sharp || p->width > TOO_WIDE * s->width) {
            break;
        }
        t = dot(d, e->way);
        bow_add(&sum, t, dot(d, aside));
    }
    if (t > -BOW_LEAST * s->width || !bow_solve(&sum, &a, &b, &c) ||
        fabs(c) * s->width > BOW_MOST) {
        return;
    }
    double length = hypot(1, b);
    e->near = along(e->near, aside, a);
    e->way = (nw_point){(e->way.x + b * aside.x) / length, (e->way.y + b * aside.y) / length};
    e->bow = c;
}

nw_point nw_end_ahead(const stroke *s, int end, double t, nw_point *way)
{
    const stroke_end *e = &s->ends[end];
    double bent = fmax(0, fmin(t, FARTHEST * s->width)), slope = 2 * e->bow * bent,
           length = hypot(1, slope);
    nw_point aside = {-e->way.y, e->way.x};
    nw_point at = along(along(e->near, e->way, bent), aside, e->bow * bent * bent);
    *way = (nw_point){(e->way.x + slope * aside.x) / length, (e->way.y + slope * aside.y) / length};
    return at;
}

void nw_end_look(stroke *s, int end, double away)
{
    stroke_end *e = &s->ends[end];
    double w = s->width, gone = 0;
    line_sum sum = {0};
    size_t beyond = 0;
    e->way = (nw_point){0, 0};
    e->near = e->tip;
    e->bow = 0;
    for (size_t k = 0; k < s->count; k++) {
        const spot *p = nw_spot_at(s, end, k);
        gone += k ? distance_of(p->at, nw_spot_at(s, end, k - 1)->at) : 0;
        bool wide = p->width > TOO_WIDE * w && gone < MOST_AWAY * w;
        if (sum.n == 0 && !p->sharp && (gone < away * w || wide)) {
            beyond = k + 1;
            continue;
        }
        if (sum.n > 0 && (wide || distance_of(sum.first, p->at) > LOOK_AT * w)) {
            break;
        }
        nw_line_add(&sum, p->at);
        if (p->sharp) {
            break;
        }
    }
    if (sum.n < 2 || distance_of(sum.first, sum.last) < SHORTEST * w) {
        return;
    }
    nw_point middle;
    nw_line_fit(&sum, &middle, &e->way);
    e->way = (nw_point){-e->way.x, -e->way.y};
    e->near = along(middle, e->way, dot(minus(sum.first, middle), e->way));
    e->beyond = beyond;
    bow_find(s, end);
}
