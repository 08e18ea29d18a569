/*
 * An outline's nodes and handles -> what moving them costs: turning an element (a line, or a leg
 * from node to handle to handle to node), stretching it, bending between two legs, and a little for
 * any move. A run of curves on one circle may shift, grow, turn and open at no cost of its own;
 * what leaves that costs much. So walls move as wholes and keep their kind.
 */
#include "repair.h"

#include <math.h>
#include <stdlib.h>

/* Weights: turning a leg is 1. */
#define LINE 4.0       /* turning a line */
#define LONG_BITS 3.0  /* a line of this length is twice as dear, one of twice that five times */
#define STRETCH 0.15   /* of an element, by its length */
#define MOVE 0.3       /* by MOVE_BITS bits */
#define MOVE_BITS 3.0
#define BEND 2.0       /* between two legs of a curve */
#define KINK 200.0     /* between elements that were smooth */
#define SMOOTH_RAD 0.2 /* a joint that turns by less is smooth */
#define ARC 100.0      /* leaving the circle by a bit */
#define CIRCLE 1e5     /* where it is whole */
#define CIRCLE_MOST_BITS 100.0 /* radius of a circle that is known as one */
#define SHORT_BITS 0.01 /* an element is no shorter: handles may lie on their nodes */
#define SPECK_MM 0.02   /* a line that is shorter stays a point between its neighbours */
#define LEVEL_RAD 0.02  /* lines that turn by less are dearer, the less they turn: then they stay */
#define LEVEL_MOST 300.0

typedef struct {
    const nw_art *art;
    nw_forms *forms;
    double bit;
    size_t unknowns;
} energy_work;

static void vector_term(energy_work *w, uint32_t point, nw_point by)
{
    uint32_t u = w->art->unknown[point];
    if (u != NW_HELD) {
        nw_forms_term(w->forms, u, by.x);
        nw_forms_term(w->forms, u + 1, by.y);
    }
}

/* How the turn of the leg from p to q, in radians, follows from their moves. */
static nw_point turning(const energy_work *w, uint32_t p, uint32_t q)
{
    nw_point leg = nw_minus(w->art->points[q], w->art->points[p]);
    double length = sqrt(nw_dot(leg, leg)), square = length * fmax(length, SHORT_BITS * w->bit);
    return (nw_point){-leg.y / square, leg.x / square};
}

static void turn_term(energy_work *w, uint32_t p, uint32_t q, double by)
{
    nw_point turn = turning(w, p, q);
    vector_term(w, q, (nw_point){by * turn.x, by * turn.y});
    vector_term(w, p, (nw_point){-by * turn.x, -by * turn.y});
}

static bool same_point(const nw_art *art, uint32_t p, uint32_t q)
{
    return nw_distance(art->points[p], art->points[q]) < NW_MERGE_MM;
}

/* The two points stay together. */
static void tie_add(energy_work *w, uint32_t p, uint32_t q)
{
    double weight = 1 / (SHORT_BITS * SHORT_BITS * w->bit * w->bit);
    for (int axis = 0; axis < 2; axis++) {
        nw_point way = {axis == 0, axis == 1};
        nw_forms_row(w->forms, weight, 0);
        vector_term(w, q, way);
        vector_term(w, p, (nw_point){-way.x, -way.y});
    }
}

static void leg_add(energy_work *w, uint32_t p, uint32_t q, double turn_weight)
{
    if (same_point(w->art, p, q)) {
        tie_add(w, p, q);
        return;
    }
    nw_point turn = turning(w, p, q), stretch = {turn.y, -turn.x};
    nw_forms_row(w->forms, turn_weight, 0);
    turn_term(w, p, q, 1);
    nw_forms_row(w->forms, STRETCH, 0);
    vector_term(w, q, stretch);
    vector_term(w, p, (nw_point){-stretch.x, -stretch.y});
}

/* The leg that leaves the step's start, and the one that arrives at its end. */
typedef struct {
    uint32_t from, to;
} leg;

static leg first_leg(const nw_art *art, const nw_art_step *s)
{
    if (s->curve && !same_point(art, s->from, s->a)) {
        return (leg){s->from, s->a};
    }
    return (leg){s->from, s->curve && !same_point(art, s->from, s->b) ? s->b : s->to};
}

static leg last_leg(const nw_art *art, const nw_art_step *s)
{
    if (s->curve && !same_point(art, s->to, s->b)) {
        return (leg){s->b, s->to};
    }
    return (leg){s->curve && !same_point(art, s->to, s->a) ? s->a : s->from, s->to};
}

static nw_point leg_way(const nw_art *art, leg l)
{
    return nw_minus(art->points[l.to], art->points[l.from]);
}

static void bend_add(energy_work *w, leg in, leg out, double weight)
{
    nw_point one = leg_way(w->art, in), other = leg_way(w->art, out);
    if (nw_dot(one, one) > 0 && nw_dot(other, other) > 0) {
        nw_forms_row(w->forms, weight, 0);
        turn_term(w, out.from, out.to, 1);
        turn_term(w, in.from, in.to, -1);
    }
}

static bool is_speck(const nw_art *art, const nw_art_step *s)
{
    return !s->curve && nw_distance(art->points[s->from], art->points[s->to]) < SPECK_MM;
}

/* By how much a line has turned so far. */
static double line_turned(const nw_art *art, const nw_art_step *s)
{
    nw_point was = nw_minus(art->points[s->to], art->points[s->from]);
    nw_point is = nw_plus(nw_plus(was, nw_art_move(art, s->to), 1), nw_art_move(art, s->from), -1);
    return fabs(atan2(nw_cross(was, is), nw_dot(was, is)));
}

static void step_add(energy_work *w, const nw_art_step *s)
{
    if (is_speck(w->art, s)) {
        tie_add(w, s->from, s->to);
        return;
    }
    if (!s->curve) {
        double length = nw_distance(w->art->points[s->from], w->art->points[s->to]);
        double longer = length / (LONG_BITS * w->bit), turned = line_turned(w->art, s);
        double level = turned > 0 ? fmin(fmax(LEVEL_RAD / turned, 1), LEVEL_MOST) : 1;
        leg_add(w, s->from, s->to, LINE * level * (1 + longer * longer));
        return;
    }
    leg_add(w, s->from, s->a, 1);
    leg_add(w, s->a, s->b, 1);
    leg_add(w, s->b, s->to, 1);
    bend_add(w, (leg){s->from, s->a}, (leg){s->a, s->b}, BEND);
    bend_add(w, (leg){s->a, s->b}, (leg){s->b, s->to}, BEND);
}

/* The step that follows, specks passed over. */
static uint32_t next_step(const nw_art *art, uint32_t i)
{
    uint32_t next = i;
    do {
        const nw_art_step *s = &art->steps[next];
        bool last = next + 1 == art->step_count || art->steps[next + 1].path != s->path;
        next = last ? next - s->step : next + 1;
    } while (next != i && is_speck(art, &art->steps[next]));
    return next;
}

static void joint_add(energy_work *w, uint32_t i)
{
    const nw_art *art = w->art;
    leg in = last_leg(art, &art->steps[i]);
    leg out = first_leg(art, &art->steps[next_step(art, i)]);
    nw_point one = leg_way(art, in), other = leg_way(art, out);
    if (fabs(atan2(nw_cross(one, other), nw_dot(one, other))) < SMOOTH_RAD) {
        bend_add(w, in, out, KINK);
    }
}

/* ---- circles --------------------------------------------------------------------------------- */

typedef struct {
    nw_point centre;
    double radius;
} circle;

static bool circle_through(nw_point a, nw_point b, nw_point c, circle *out)
{
    nw_point u = nw_minus(b, a), v = nw_minus(c, a);
    double twice = 2 * nw_cross(u, v), uu = nw_dot(u, u), vv = nw_dot(v, v);
    if (fabs(twice) < 1e-9 * (uu + vv)) {
        return false;
    }
    nw_point off = {(uu * v.y - vv * u.y) / twice, (vv * u.x - uu * v.x) / twice};
    *out = (circle){nw_plus(a, off, 1), sqrt(nw_dot(off, off))};
    return true;
}

#define ROUND_SHARE 0.002 /* of its radius that an arc may leave its circle */

static bool on_circle(const nw_art *art, uint32_t step, const circle *c)
{
    for (int k = 0; k <= 4; k++) {
        nw_point p = nw_art_was(art, (nw_art_place){step, k / 4.0});
        if (fabs(nw_distance(p, c->centre) - c->radius) > ROUND_SHARE * c->radius) {
            return false;
        }
    }
    return true;
}

static bool circle_of(const nw_art *art, uint32_t step, double most, circle *c)
{
    const nw_art_step *s = &art->steps[step];
    return s->curve &&
           circle_through(nw_art_was(art, (nw_art_place){step, 0}),
                          nw_art_was(art, (nw_art_place){step, 0.5}),
                          nw_art_was(art, (nw_art_place){step, 1}), c) &&
           c->radius < most && on_circle(art, step, c);
}

/* A run of steps on a circle. Its unknowns: shift (two), growth, turn and opening, the last two
 * by their way along the circle at its radius. */
typedef struct {
    circle circle;
    uint32_t first, last;
    bool whole;
    double sweep;
    uint32_t unknown;
} arc;

/* The point's move, less what the circle's own unknowns make of it. opening: how a unit of opening
 * moves it, along the radius and across. */
static void arc_point(energy_work *w, const arc *a, uint32_t point, nw_point opening)
{
    if (w->art->unknown[point] == NW_HELD) {
        return;
    }
    nw_point out = nw_minus(w->art->points[point], a->circle.centre);
    out = (nw_point){out.x / a->circle.radius, out.y / a->circle.radius};
    nw_point across = nw_left(out);
    double share = 1 / sqrt(nw_dot(out, out));
    nw_point open = {share * (out.x * opening.x + across.x * opening.y),
                     share * (out.y * opening.x + across.y * opening.y)};
    double weight = (a->whole ? CIRCLE : ARC) / (w->bit * w->bit);
    for (int axis = 0; axis < 2; axis++) {
        nw_forms_row(w->forms, weight, 0);
        vector_term(w, point, (nw_point){axis == 0, axis == 1});
        nw_forms_term(w->forms, a->unknown + (uint32_t)axis, -1);
        nw_forms_term(w->forms, a->unknown + 2, axis ? -out.y : -out.x);
        nw_forms_term(w->forms, a->unknown + 3, axis ? -across.y : -across.x);
        if (!a->whole) {
            nw_forms_term(w->forms, a->unknown + 4, axis ? -open.y : -open.x);
        }
    }
}

/* Angle of the step's end seen from the circle, less that of its start. */
static double step_sweep(const nw_art *art, const nw_art_step *s, const circle *c)
{
    nw_point from = nw_minus(art->points[s->from], c->centre);
    nw_point to = nw_minus(art->points[s->to], c->centre);
    return atan2(nw_cross(from, to), nw_dot(from, to));
}

static void arc_add(energy_work *w, arc *a)
{
    const nw_art *art = w->art;
    double done = 0;
    a->unknown = (uint32_t)w->unknowns;
    w->unknowns += 6;
    /* Opening by x: every angle from the middle grows by the share x / (R sweep / 2). */
    double each = 2 / fabs(a->sweep);
    for (uint32_t k = a->first;; k = next_step(art, k)) {
        const nw_art_step *s = &art->steps[k];
        double sweep = step_sweep(art, s, &a->circle), handle = 4.0 / 3 * tan(sweep / 4);
        double cosine = cos(sweep / 4), more = sweep * each / (3 * cosine * cosine);
        double from = (done - a->sweep / 2) * each, to = (done + sweep - a->sweep / 2) * each;
        double length = sqrt(1 + handle * handle);
        double out = handle * more / length, across = more / length;
        if (k == a->first && !a->whole) {
            arc_point(w, a, s->from, (nw_point){0, from});
        }
        arc_point(w, a, s->a, (nw_point){out, from * length + across});
        arc_point(w, a, s->b, (nw_point){out, to * length - across});
        arc_point(w, a, s->to, (nw_point){0, to});
        done += sweep;
        if (k == a->last) {
            break;
        }
    }
    for (uint32_t k = 0; k < 6; k++) { /* none is without any energy */
        nw_forms_row(w->forms, 1e-6, 0);
        nw_forms_term(w->forms, a->unknown + k, 1);
    }
}

static bool same_circle(const circle *a, const circle *b)
{
    double slack = 2 * ROUND_SHARE * a->radius;
    return nw_distance(a->centre, b->centre) < slack && fabs(a->radius - b->radius) < slack;
}

/* A step's circle; a radius of 0: none. */
static void circles_find(const nw_art *art, double most, circle *circles)
{
    for (uint32_t k = 0; k < art->step_count; k++) {
        if (!circle_of(art, k, most, &circles[k])) {
            circles[k].radius = 0;
        }
    }
}

/* Does step k's arc go on at its end? */
static bool goes_on(const nw_art *art, const circle *circles, uint32_t k)
{
    uint32_t next = next_step(art, k);
    return circles[k].radius > 0 && circles[next].radius > 0 &&
           same_circle(&circles[k], &circles[next]);
}

/* The arc that begins with step k, or a whole circle; false where it begins elsewhere. */
static bool arc_from(const nw_art *art, const circle *circles, uint32_t k, bool *begun, arc *a)
{
    bool any = false;
    *a = (arc){.circle = circles[k], .first = k, .last = k};
    for (uint32_t at = k;; at = next_step(art, at)) {
        begun[at] = true;
        a->last = at;
        a->sweep += step_sweep(art, &art->steps[at], &a->circle);
        any = any || art->unknown[art->steps[at].to] != NW_HELD;
        if (!goes_on(art, circles, at) || next_step(art, at) == k) {
            a->whole = goes_on(art, circles, at) && next_step(art, at) == k;
            return any;
        }
    }
}

static nw_status arcs_add(energy_work *w, nw_error *error)
{
    const nw_art *art = w->art;
    circle *circles = nw_alloc(art->step_count, sizeof *circles);
    bool *begun = nw_alloc(art->step_count, sizeof *begun);
    bool *later = nw_alloc(art->step_count, sizeof *later); /* goes on from another step */
    if (circles && begun && later) {
        circles_find(art, CIRCLE_MOST_BITS * w->bit, circles);
        for (uint32_t k = 0; k < art->step_count; k++) {
            if (goes_on(art, circles, k)) {
                later[next_step(art, k)] = true;
            }
        }
        for (int whole = 0; whole < 2; whole++) { /* what no step begins is a whole circle */
            for (uint32_t k = 0; k < art->step_count; k++) {
                arc a;
                if (circles[k].radius > 0 && !begun[k] && (whole || !later[k]) &&
                    arc_from(art, circles, k, begun, &a)) {
                    arc_add(w, &a);
                }
            }
        }
    }
    bool good = circles && begun && later;
    free(circles);
    free(begun);
    free(later);
    return good ? NW_OK : nw_fail_memory(error, "the outlines' circles");
}

nw_status nw_art_energy(const nw_art *art, double bit, nw_forms *energy, size_t *unknowns,
                        nw_error *error)
{
    energy_work w = {.art = art, .forms = energy, .bit = bit, .unknowns = art->unknowns};
    for (uint32_t i = 0; i < art->step_count; i++) {
        step_add(&w, &art->steps[i]);
        if (!is_speck(art, &art->steps[i])) {
            joint_add(&w, i);
        }
    }
    for (uint32_t p = 0; p < art->point_count; p++) {
        for (int axis = 0; axis < 2 && art->unknown[p] != NW_HELD; axis++) {
            nw_forms_row(energy, MOVE / (MOVE_BITS * MOVE_BITS * bit * bit), 0);
            nw_forms_term(energy, art->unknown[p] + (uint32_t)axis, 1);
        }
    }
    nw_status status = arcs_add(&w, error);
    *unknowns = w.unknowns;
    return energy->failed ? nw_fail_memory(error, "the walls' equations") : status;
}
