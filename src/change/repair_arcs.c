/*
 * Runs of curves on one circle, and outlines that stay as stiff as a board -> what leaving that
 * costs. An arc may shift, turn and end elsewhere at no cost of its own, and grow, unless it is the
 * round end of straight walls; so arcs stay arcs and circles circles. An outline that would shrink
 * or cross may only shift and turn.
 */
#include <change/repair.h>
#include <geom/geom.h>

#include <math.h>
#include <stdlib.h>

#define ARC 3000.0  /* leaving the circle by a bit */
#define GROWTH 10.0 /* another radius, by a bit: round ends of bars shift and stay as wide */
#define CIRCLE 1e5  /* where it is whole, or the outline is rigid */
#define CIRCLE_MOST_BITS 100.0 /* radius of a circle that is known as one */
#define ARC_LEAST_RAD 0.5      /* a shallower run keeps its form without, and costs less so */
/* An outline of so few curves that is no farther off, as a share of its radius, and no larger, is
 * round: a large one may give way in one place, and nobody sees it. */
#define NEARLY_SHARE 0.05
#define NEARLY_STEPS 12
#define NEARLY_BITS 4.0

typedef struct {
    nw_point centre;
    double radius;
} circle;

static bool circle_through(nw_point a, nw_point b, nw_point c, circle *out)
{
    nw_point u = nw_minus(b, a), v = nw_minus(c, a);
    double twice = 2 * nw_cross(u, v), uu = nw_dot(u, u), vv = nw_dot(v, v);
    if (fabs(twice) < 1e-9 * (uu + vv))
        return false;
    nw_point off = {(uu * v.y - vv * u.y) / twice, (vv * u.x - uu * v.x) / twice};
    *out = (circle){nw_plus(a, off, 1), sqrt(nw_dot(off, off))};
    return true;
}

#define ROUND_SHARE 0.002 /* of its radius that an arc may leave its circle */

static bool on_circle(const nw_moving_art *art, uint32_t step, const circle *c)
{
    for (int k = 0; k <= 4; k++) {
        nw_point p = nw_moving_art_rests(art, (nw_step_place){step, k / 4.0});
        if (fabs(nw_distance(p, c->centre) - c->radius) > ROUND_SHARE * c->radius)
            return false;
    }
    return true;
}

static bool circle_of(const nw_moving_art *art, uint32_t step, double most, circle *c)
{
    const nw_moving_art_step *s = &art->steps[step];
    return s->curve &&
           circle_through(nw_moving_art_rests(art, (nw_step_place){step, 0}),
                          nw_moving_art_rests(art, (nw_step_place){step, 0.5}),
                          nw_moving_art_rests(art, (nw_step_place){step, 1}), c) &&
           c->radius < most && on_circle(art, step, c);
}

bool nw_is_free_curve(const nw_energy *w, uint32_t step)
{
    circle c;
    const nw_moving_art_step *s = &w->art->steps[step];
    return s->curve && !nw_moving_art_straight(w->art, s) &&
           !circle_of(w->art, step, CIRCLE_MOST_BITS * w->bit, &c);
}

/* A run of steps on a circle. Its unknowns: shift (two), growth, turn, and how far its first and
 * its last node slide along it, alone. */
typedef struct {
    circle circle;
    uint32_t first, last;
    bool whole;
    uint32_t unknown;
} arc;

/* How a point moves when an end slides by a unit: along the radius, and across it. */
typedef struct {
    double out, across;
} slide;

/* The point's move, 0 where it is held, less what the circle's own unknowns make of it. */
static void arc_point(nw_energy *w, const arc *a, uint32_t point, slide first, slide last)
{
    nw_point out = nw_minus(nw_moving_art_rest(w->art, point), a->circle.centre);
    out = (nw_point){out.x / a->circle.radius, out.y / a->circle.radius};
    double share = 1 / sqrt(nw_dot(out, out));
    double weight = (a->whole ? CIRCLE : ARC) / (w->bit * w->bit);
    for (uint32_t axis = 0; axis < 2; axis++) {
        double along = axis ? out.y : out.x, across = axis ? out.x : -out.y;
        nw_forms_row(w->forms, weight, 0);
        nw_moving_art_rest_term(w->art, w->forms, point, (nw_point){!axis, axis});
        nw_forms_term(w->forms, a->unknown + axis, -1);
        nw_forms_term(w->forms, a->unknown + 2, -along);
        nw_forms_term(w->forms, a->unknown + 3, -across);
        if (!a->whole) {
            nw_forms_term(w->forms, a->unknown + 4,
                          -share * (along * first.out + across * first.across));
            nw_forms_term(w->forms, a->unknown + 5,
                          -share * (along * last.out + across * last.across));
        }
    }
}

/* Angle of the step's end seen from the circle, less that of its start. */
static double step_sweep(const nw_moving_art *art, const nw_moving_art_step *s, const circle *c)
{
    nw_point from = nw_minus(nw_moving_art_rest(art, s->from), c->centre);
    nw_point to = nw_minus(nw_moving_art_rest(art, s->to), c->centre);
    return nw_angle(from, to);
}

/* A step's handles go along with its ends, as long as they are to make an arc of the circle. */
static void arc_step(nw_energy *w, const arc *a, uint32_t k)
{
    const nw_moving_art_step *s = &w->art->steps[k];
    double sweep = step_sweep(w->art, s, &a->circle), handle = 4.0 / 3 * nw_tan(sweep / 4);
    double cosine = nw_cos(sweep / 4), more = 1 / (3 * cosine * cosine),
           length = sqrt(1 + handle * handle);
    bool first = k == a->first, last = k == a->last;
    slide none = {0, 0}, node = {0, 1}, out = {handle * more / length, more / length};
    if (first && !a->whole)
        arc_point(w, a, s->from, node, none);
    arc_point(w, a, s->a, first ? (slide){-out.out, length - out.across} : none,
              last ? (slide){out.out, out.across} : none);
    arc_point(w, a, s->b, first ? (slide){-out.out, out.across} : none,
              last ? (slide){out.out, length - out.across} : none);
    arc_point(w, a, s->to, none, last ? node : none);
}

static bool is_deep(const nw_moving_art *art, const arc *a)
{
    double sweep = 0;
    for (uint32_t k = a->first;; k = nw_moving_art_next(art, k)) {
        sweep += fabs(step_sweep(art, &art->steps[k], &a->circle));
        if (k == a->last)
            return a->whole || sweep > ARC_LEAST_RAD;
    }
}

/* Is it the round end or corner of straight walls? */
static bool between_lines(const nw_moving_art *art, const arc *a)
{
    return !a->whole && !art->steps[nw_moving_art_last(art, a->first)].curve &&
           !art->steps[nw_moving_art_next(art, a->last)].curve;
}

static void arc_add(nw_energy *w, arc *a)
{
    a->unknown = (uint32_t)w->unknowns;
    w->unknowns += 6;
    for (uint32_t k = a->first;; k = nw_moving_art_next(w->art, k)) {
        arc_step(w, a, k);
        if (k == a->last)
            break;
    }
    for (uint32_t k = 0; k < 6; k++) { /* none is without any energy */
        bool growth = k == 2 && between_lines(w->art, a);
        nw_forms_row(w->forms, growth ? GROWTH / (w->bit * w->bit) : 1e-6, 0);
        nw_forms_term(w->forms, a->unknown + k, 1);
    }
}

static bool same_circle(const circle *a, const circle *b)
{
    double slack = 2 * ROUND_SHARE * a->radius;
    return nw_distance(a->centre, b->centre) < slack && fabs(a->radius - b->radius) < slack;
}

/* Quarters of the steps of an outline. */
static nw_point quarter(const nw_moving_art *art, uint32_t k)
{
    return nw_moving_art_rests(art, (nw_step_place){k / 4, k % 4 / 4.0});
}

/* The middle of the circle through places first to end by least squares of p² - 2 p·c (Kåsa 1976):
 * however long the curves are between them. */
static bool circle_middle(const nw_moving_art *art, uint32_t first, uint32_t end, nw_point *middle)
{
    double m[NW_UNKNOWNS][NW_UNKNOWNS + 1] = {{0}}, x[NW_UNKNOWNS];
    nw_point origin = quarter(art, first);
    for (uint32_t k = first; k < end; k++) {
        nw_point p = nw_minus(quarter(art, k), origin);
        double row[NW_UNKNOWNS + 1] = {2 * p.x, 2 * p.y, 1, [NW_UNKNOWNS] = nw_dot(p, p)};
        for (int i = 0; i < 3; i++)
            for (int j = 0; j <= NW_UNKNOWNS; j++)
                m[i][j] += row[i] * row[j];
    }
    if (!nw_equations_solve(3, m, x))
        return false;
    *middle = nw_plus(origin, (nw_point){x[0], x[1]}, 1);
    return true;
}

/* The circle of an outline that is round to the eye, however roughly it was drawn: of few curves,
 * and everywhere about as far from a middle. */
static bool nearly_circle(const nw_moving_art *art, uint32_t first, uint32_t end, double most,
                          circle *c)
{
    if (end - first > NEARLY_STEPS)
        return false;
    for (uint32_t k = first; k < end; k++)
        if (!art->steps[k].curve)
            return false;
    if (!circle_middle(art, 4 * first, 4 * end, &c->centre))
        return false;
    double least = INFINITY, farthest = 0;
    for (uint32_t k = 4 * first; k < 4 * end; k++) {
        double off = nw_distance(quarter(art, k), c->centre);
        least = fmin(least, off);
        farthest = fmax(farthest, off);
    }
    c->radius = (least + farthest) / 2;
    return c->radius < most && farthest - least < 2 * NEARLY_SHARE * c->radius;
}

/* A step's circle; a radius of 0: none. */
static void circles_find(const nw_moving_art *art, double bit, circle *circles)
{
    for (uint32_t first = 0, end; first < art->step_count; first = end) {
        circle whole;
        end = nw_moving_art_outline_end(art, first);
        bool round = nearly_circle(art, first, end, NEARLY_BITS * bit, &whole);
        for (uint32_t k = first; k < end; k++)
            if (nw_moving_art_speck(art, &art->steps[k])) /* passed over */
                circles[k].radius = 0;
            else if (round)
                circles[k] = whole;
            else if (!circle_of(art, k, CIRCLE_MOST_BITS * bit, &circles[k]))
                circles[k].radius = 0;
    }
}

/* Does step k's arc go on at its end? */
static bool goes_on(const nw_moving_art *art, const circle *circles, uint32_t k)
{
    uint32_t next = nw_moving_art_next(art, k);
    return circles[k].radius > 0 && circles[next].radius > 0 &&
           same_circle(&circles[k], &circles[next]);
}

/* The arc that begins with step k, or a whole circle; false where it begins elsewhere. */
static bool arc_from(const nw_moving_art *art, const circle *circles, uint32_t k, bool *begun,
                     arc *a)
{
    bool any = false;
    *a = (arc){.circle = circles[k], .first = k, .last = k};
    for (uint32_t at = k;; at = nw_moving_art_next(art, at)) {
        begun[at] = true;
        a->last = at;
        any = any || art->unknown[art->steps[at].to] != NW_HELD;
        if (!goes_on(art, circles, at) || nw_moving_art_next(art, at) == k) {
            a->whole = goes_on(art, circles, at) && nw_moving_art_next(art, at) == k;
            return any;
        }
    }
}

nw_status nw_arcs_add(nw_energy *w, nw_error *error)
{
    const nw_moving_art *art = w->art;
    circle *circles = nw_alloc(art->step_count, sizeof *circles);
    bool *begun = nw_alloc(art->step_count, sizeof *begun);
    bool *later = nw_alloc(art->step_count, sizeof *later); /* goes on from another step */
    if (circles && begun && later) {
        circles_find(art, w->bit, circles);
        for (uint32_t k = 0; k < art->step_count; k++)
            if (goes_on(art, circles, k))
                later[nw_moving_art_next(art, k)] = true;
        for (int whole = 0; whole < 2; whole++) { /* what no step begins is a whole circle */
            for (uint32_t k = 0; k < art->step_count; k++) {
                arc a;
                if (circles[k].radius > 0 && !begun[k] && (whole || !later[k]) &&
                    arc_from(art, circles, k, begun, &a) && is_deep(art, &a))
                    arc_add(w, &a);
            }
        }
    }
    bool good = circles && begun && later;
    free(circles);
    free(begun);
    free(later);
    return good ? NW_OK : nw_fail_memory(error, "the outlines' circles");
}

/* ---- rigid outlines -------------------------------------------------------------------------- */

/* The points of steps [first, end) move as one: two unknowns for the shift, one for the turn, by
 * its way a bit from the middle. */
static void outline_add(nw_energy *w, uint32_t first, uint32_t end)
{
    const nw_moving_art *art = w->art;
    nw_point middle = {0, 0};
    for (uint32_t k = first; k < end; k++)
        middle = nw_plus(middle, art->points[art->steps[k].to], 1.0 / (end - first));
    uint32_t unknown = (uint32_t)w->unknowns;
    w->unknowns += 4;
    for (uint32_t k = first; k < end; k++) {
        const uint32_t points[3] = {art->steps[k].a, art->steps[k].b, art->steps[k].to};
        for (int j = 0; j < 6; j++) {
            uint32_t point = points[j / 2];
            if (point == NW_HELD || art->unknown[point] == NW_HELD)
                continue;
            bool up = j % 2;
            nw_point across = nw_left(nw_minus(art->points[point], middle));
            nw_forms_row(w->forms, CIRCLE / (w->bit * w->bit), 0);
            nw_moving_art_rest_term(w->art, w->forms, point, (nw_point){!up, up});
            nw_forms_term(w->forms, unknown + up, -1);
            nw_forms_term(w->forms, unknown + 2, -(up ? across.y : across.x) / w->bit);
        }
    }
    for (uint32_t k = 0; k < 4; k++) {
        nw_forms_row(w->forms, 1e-6, 0);
        nw_forms_term(w->forms, unknown + k, 1);
    }
}

void nw_rigid_add(nw_energy *w)
{
    const nw_moving_art *art = w->art;
    for (uint32_t first = 0, end; first < art->step_count; first = end) {
        end = nw_moving_art_outline_end(art, first);
        if (art->rigid[art->steps[first].path])
            outline_add(w, first, end);
    }
}
