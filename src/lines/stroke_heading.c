/*
 * stroke_heading: a stroke's end -> from where on it is undisturbed, which way it goes there, and
 * how it bows: the line of least squares through the places over about a width, then, where the
 * stroke is long enough, the parabola over two widths.
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

nw_stroke_spot *nw_spot_at(const nw_stroke *s, int end, size_t k)
{
    return &s->spots[end ? s->count - 1 - k : k];
}

bool nw_has_way(const nw_stroke_end *e)
{
    return e->way.x != 0 || e->way.y != 0;
}

/* Replaces the end's straight line by a parabola, where the stroke is long enough. */
static void bow_find(nw_stroke *s, int end)
{
    nw_stroke_end *e = &s->ends[end];
    nw_point aside = nw_left(e->way);
    nw_parabola_sum sum = {0};
    double t = 0, c[3];
    for (size_t k = e->beyond; k < s->count && t > -BOW_LOOK * s->width; k++) {
        const nw_stroke_spot *p = nw_spot_at(s, end, k);
        nw_point d = nw_minus(p->at, e->near);
        if (p->sharp || p->width > TOO_WIDE * s->width)
            break;
        t = nw_dot(d, e->way);
        nw_parabola_add(&sum, t, nw_dot(d, aside));
    }
    if (t > -BOW_LEAST * s->width || !nw_parabola_fit(&sum, 0, c) ||
        fabs(c[2]) * s->width > BOW_MOST)
        return;
    e->near = nw_plus(e->near, aside, c[0]);
    e->way = nw_unit_of(nw_plus(e->way, aside, c[1]));
    e->bow = c[2];
}

nw_point nw_end_ahead(const nw_stroke *s, int end, double t, nw_point *way)
{
    const nw_stroke_end *e = &s->ends[end];
    double bent = fmax(0, fmin(t, FARTHEST * s->width));
    nw_point aside = nw_left(e->way);
    nw_point at = nw_plus(nw_plus(e->near, e->way, bent), aside, e->bow * bent * bent);
    *way = nw_unit_of(nw_plus(e->way, aside, 2 * e->bow * bent));
    return at;
}

void nw_end_look(nw_stroke *s, int end, double away)
{
    nw_stroke_end *e = &s->ends[end];
    double w = s->width, gone = 0;
    nw_line_sum sum = {0};
    size_t beyond = 0;
    e->way = (nw_point){0, 0};
    e->near = e->tip;
    e->bow = 0;
    for (size_t k = 0; k < s->count; k++) {
        const nw_stroke_spot *p = nw_spot_at(s, end, k);
        gone += k ? nw_distance(p->at, nw_spot_at(s, end, k - 1)->at) : 0;
        bool wide = p->width > TOO_WIDE * w && gone < MOST_AWAY * w;
        if (sum.n == 0 && !p->sharp && (gone < away * w || wide)) {
            beyond = k + 1;
            continue;
        }
        if (sum.n > 0 && (wide || nw_distance(sum.first, p->at) > LOOK_AT * w))
            break;
        nw_line_add(&sum, p->at);
        if (p->sharp)
            break;
    }
    if (sum.n < 2 || nw_distance(sum.first, sum.last) < SHORTEST * w)
        return;
    nw_point middle;
    nw_line_fit(&sum, &middle, &e->way);
    e->way = nw_back(e->way);
    e->near = nw_plus(middle, e->way, nw_dot(nw_minus(sum.first, middle), e->way));
    e->beyond = beyond;
    bow_find(s, end);
}
