/*
 * An outline's nodes and handles -> what moving them costs: turning an element (a line, or a leg
 * from node to handle to handle to node), stretching it, bending between two legs, and a little for
 * any move, more for leaving the edge of the art's box. The charge for moving falls where much
 * has moved already (weights anew each round: Holland and Welsch 1977), so that few places move far
 * and not many a little. Runs on one circle: repair_arcs.c. So walls move as wholes and keep their
 * kind.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>

/* Weights: turning a leg is 1. */
#define LINE 4.0        /* turning a line */
#define LONG_BITS 3.0   /* a line of this length is twice as dear, one of twice that five times */
#define STRETCH 0.15    /* of an element, by its length */
#define BEND 2.0        /* between two legs of a curve */
#define KINK 200.0      /* between elements that were smooth */
#define SMOOTH_RAD 0.2  /* a joint that turns by less is smooth */
#define EDGE 3.0        /* leaving the edge of the art's box, by a bit */
#define STRAIGHT 3000.0 /* a curve drawn as a line, bulging by a bit */
#define UPRIGHT_LEAST 20.0 /* such lines are so many times dearer at least */
#define UPRIGHT_RAD 0.002  /* a line that is level or upright is so to within this */
#define SHORT_BITS 0.01    /* an element is no shorter: handles may lie on their nodes */
#define REFUSED 30.0       /* moves of what stays for want of room */
#define TIE 1e7            /* parting by a bit, of two points that are one */
#define HOLD 0.5           /* leaving the moves so far by a bit, in later rounds */
/* Lines that turn by less are dearer, the less they turn: at first all are, and shift as wholes. */
#define LEVEL_RAD 0.02
#define LEVEL_MOST 300.0
#define ALONG_BITS 5.0 /* where little is to move, longer lines are dearer to move across */

static nw_point rest_of(const nw_energy *w, uint32_t point)
{
    return nw_moving_art_rest(w->art, point);
}

/* How the turn of the leg from p to q, in radians, follows from their moves. */
static nw_point turning(const nw_energy *w, uint32_t p, uint32_t q)
{
    nw_point leg = nw_minus(rest_of(w, q), rest_of(w, p));
    double length = sqrt(nw_dot(leg, leg)), square = length * fmax(length, SHORT_BITS * w->bit);
    return (nw_point){-leg.y / square, leg.x / square};
}

static void turn_term(nw_energy *w, uint32_t p, uint32_t q, double by)
{
    nw_point turn = turning(w, p, q);
    nw_moving_art_rest_term(w->art, w->forms, q, (nw_point){by * turn.x, by * turn.y});
    nw_moving_art_rest_term(w->art, w->forms, p, (nw_point){-by * turn.x, -by * turn.y});
}

static bool same_point(const nw_moving_art *art, uint32_t p, uint32_t q)
{
    return nw_distance(nw_moving_art_rest(art, p), nw_moving_art_rest(art, q)) < NW_MERGE_MM;
}

/* The two points stay together. */
static void tie_add(nw_energy *w, uint32_t p, uint32_t q)
{
    double weight = TIE / (w->bit * w->bit);
    for (int axis = 0; axis < 2; axis++) {
        nw_point way = {axis == 0, axis == 1};
        nw_forms_row(w->forms, weight, 0);
        nw_moving_art_rest_term(w->art, w->forms, q, way);
        nw_moving_art_rest_term(w->art, w->forms, p, (nw_point){-way.x, -way.y});
    }
}

static void leg_add(nw_energy *w, uint32_t p, uint32_t q, double turn_weight)
{
    if (same_point(w->art, p, q)) {
        tie_add(w, p, q);
        return;
    }
    nw_point turn = turning(w, p, q), stretch = {turn.y, -turn.x};
    nw_forms_row(w->forms, turn_weight, 0);
    turn_term(w, p, q, 1);
    nw_forms_row(w->forms, STRETCH, 0);
    nw_moving_art_rest_term(w->art, w->forms, q, stretch);
    nw_moving_art_rest_term(w->art, w->forms, p, (nw_point){-stretch.x, -stretch.y});
}

/* The leg that leaves the step's start, and the one that arrives at its end. */
typedef struct {
    uint32_t from, to;
} leg;

static leg first_leg(const nw_moving_art *art, const nw_moving_art_step *s)
{
    if (s->curve && !same_point(art, s->from, s->a))
        return (leg){s->from, s->a};
    return (leg){s->from, s->curve && !same_point(art, s->from, s->b) ? s->b : s->to};
}

static leg last_leg(const nw_moving_art *art, const nw_moving_art_step *s)
{
    if (s->curve && !same_point(art, s->to, s->b))
        return (leg){s->b, s->to};
    return (leg){s->curve && !same_point(art, s->to, s->a) ? s->a : s->from, s->to};
}

static nw_point leg_way(const nw_moving_art *art, leg l)
{
    return nw_minus(nw_moving_art_rest(art, l.to), nw_moving_art_rest(art, l.from));
}

static void bend_add(nw_energy *w, leg in, leg out, double weight)
{
    nw_point one = leg_way(w->art, in), other = leg_way(w->art, out);
    if (nw_dot(one, one) > 0 && nw_dot(other, other) > 0) {
        nw_forms_row(w->forms, weight, 0);
        turn_term(w, out.from, out.to, 1);
        turn_term(w, in.from, in.to, -1);
    }
}

/* By how much a line has turned so far. */
static double line_turned(const nw_moving_art *art, const nw_moving_art_step *s)
{
    nw_point was = nw_minus(nw_moving_art_rest(art, s->to), nw_moving_art_rest(art, s->from));
    nw_point is = nw_minus(art->points[s->to], art->points[s->from]);
    is = nw_plus(nw_plus(is, nw_moving_art_move(art, s->to), 1), nw_moving_art_move(art, s->from),
                 -1);
    return fabs(nw_angle(was, is));
}

static bool is_smooth(const nw_moving_art *art, leg in, leg out)
{
    return fabs(nw_angle(leg_way(art, in), leg_way(art, out))) < SMOOTH_RAD;
}

/* Does line i run on smoothly, at either end, into a curve that is no arc? That one takes up a
 * little turn of the line, and nobody sees it. */
static bool runs_on(const nw_energy *w, uint32_t i)
{
    const nw_moving_art *art = w->art;
    const nw_moving_art_step *s = &art->steps[i];
    uint32_t next = nw_moving_art_next(art, i);
    uint32_t last = nw_moving_art_last(art, i);
    leg own = {s->from, s->to};
    return (is_smooth(art, own, first_leg(art, &art->steps[next])) && nw_is_free_curve(w, next)) ||
           (is_smooth(art, last_leg(art, &art->steps[last]), own) && nw_is_free_curve(w, last));
}

/* Level or upright: of these everybody sees a little turn. */
static bool is_upright(const nw_moving_art *art, const nw_moving_art_step *s)
{
    nw_point way = leg_way(art, (leg){s->from, s->to});
    return fmin(fabs(way.x), fabs(way.y)) < UPRIGHT_RAD * fmax(fabs(way.x), fabs(way.y));
}

static void line_add(nw_energy *w, uint32_t i)
{
    const nw_moving_art_step *s = &w->art->steps[i];
    double length = nw_distance(rest_of(w, s->from), rest_of(w, s->to));
    double longer = length / (LONG_BITS * w->bit), turned = line_turned(w->art, s);
    bool upright = is_upright(w->art, s), eases = turned == 0 && !upright && runs_on(w, i);
    double least = eases ? LEVEL_RAD : LEVEL_RAD / LEVEL_MOST;
    double level = fmax(LEVEL_RAD / fmax(turned, least), upright ? UPRIGHT_LEAST : 1);
    leg_add(w, s->from, s->to, LINE * level * (1 + longer * longer));
}

/* How far along from the step's start to its end the point is, as a share. */
static double share_of(const nw_moving_art *art, const nw_moving_art_step *s, uint32_t point)
{
    nw_point way = leg_way(art, (leg){s->from, s->to});
    return nw_dot(leg_way(art, (leg){s->from, point}), way) / nw_dot(way, way);
}

/* The handle of a straight curve stays where it is between the ends. */
static void handle_add(nw_energy *w, const nw_moving_art_step *s, uint32_t handle)
{
    double share = share_of(w->art, s, handle);
    for (int axis = 0; axis < 2; axis++) {
        nw_point way = {axis == 0, axis == 1};
        nw_forms_row(w->forms, STRAIGHT / (w->bit * w->bit), 0);
        nw_moving_art_rest_term(w->art, w->forms, handle, way);
        nw_moving_art_rest_term(w->art, w->forms, s->from,
                                (nw_point){(share - 1) * way.x, (share - 1) * way.y});
        nw_moving_art_rest_term(w->art, w->forms, s->to,
                                (nw_point){-share * way.x, -share * way.y});
    }
}

static void step_add(nw_energy *w, uint32_t i)
{
    const nw_moving_art_step *s = &w->art->steps[i];
    if (nw_moving_art_speck(w->art, s)) {
        tie_add(w, s->from, s->to);
        if (s->curve) {
            tie_add(w, s->from, s->a);
            tie_add(w, s->b, s->to);
        }
        return;
    }
    if (!s->curve) {
        line_add(w, i);
        return;
    }
    if (nw_moving_art_straight(w->art, s)) {
        line_add(w, i);
        handle_add(w, s, s->a);
        handle_add(w, s, s->b);
        return;
    }
    leg_add(w, s->from, s->a, 1);
    leg_add(w, s->a, s->b, 1);
    leg_add(w, s->b, s->to, 1);
    bend_add(w, (leg){s->from, s->a}, (leg){s->a, s->b}, BEND);
    bend_add(w, (leg){s->a, s->b}, (leg){s->b, s->to}, BEND);
}

static void joint_add(nw_energy *w, uint32_t i)
{
    const nw_moving_art *art = w->art;
    leg in = last_leg(art, &art->steps[i]);
    leg out = first_leg(art, &art->steps[nw_moving_art_next(art, i)]);
    if (is_smooth(art, in, out))
        bend_add(w, in, out, KINK);
}

/* Was the step part of a place to be widened that stays since? */
static bool is_refused(const nw_moving_art *art, uint32_t step)
{
    const nw_moving_art_marks *gap = &art->marks[NW_GAP][step], *neck = &art->marks[NW_NECK][step];
    return (gap->chosen & gap->left) || (neck->chosen & neck->left);
}

/* Which points are refused: they are to go back all the way. */
static bool *refused_points(const nw_moving_art *art)
{
    bool *refused = nw_alloc(art->point_count, sizeof *refused);
    for (uint32_t i = 0; refused && i < art->step_count; i++) {
        const nw_moving_art_step *s = &art->steps[i];
        const uint32_t points[4] = {s->from, s->a, s->b, s->to};
        for (int k = 0; k < 4 && is_refused(art, i); k++)
            if (points[k] != NW_HELD)
                refused[points[k]] = true;
    }
    return refused;
}

/* Does the point lie on an edge of the art's box that is at right angles to the axis? */
static bool on_edge(const nw_energy *w, uint32_t p, bool upright)
{
    nw_point low = nw_minus(rest_of(w, p), w->box.min), high = nw_minus(w->box.max, rest_of(w, p));
    return (upright ? fmin(low.y, high.y) : fmin(low.x, high.x)) < NW_EDGE_MM;
}

/* What a point's moves weigh, by a bit; of what is not refused, beyond its outline's shift. What
 * lies on the edge of the art's box stays on it, if it can. */
static void move_add(nw_energy *w, const nw_shift *shifts, uint32_t path, uint32_t p, bool refused,
                     bool settled)
{
    const nw_moving_art *art = w->art;
    nw_point own = nw_minus(nw_moving_art_move(art, p), shifts[path].so_far);
    double square = w->bit * w->bit;
    double weight = refused ? REFUSED : nw_move_weight(own, w->bit);
    for (uint32_t axis = 0; axis < 2 && art->unknown[p] != NW_HELD; axis++) {
        uint32_t unknown = art->unknown[p] + axis;
        nw_point along = {axis == 0, axis == 1};
        double edge = on_edge(w, p, axis) ? EDGE : 0;
        nw_forms_row(w->forms, (art->stiff[p] * weight + edge) / square, 0);
        nw_moving_art_rest_term(art, w->forms, p, along);
        if (!refused)
            nw_shifts_term(shifts, w->forms, path, along);
        if (settled) {
            nw_forms_row(w->forms, HOLD / square, art->x[unknown]);
            nw_forms_term(w->forms, unknown, 1);
        }
    }
}

/* What moves of a line's end across the line weigh besides, beyond its outline's shift: so a corner
 * beside a long wall makes way, and not the wall all along. */
static void across_add(nw_energy *w, const nw_shift *shifts, uint32_t step, uint32_t p)
{
    const nw_moving_art_step *s = &w->art->steps[step];
    nw_point from = rest_of(w, s->from), to = rest_of(w, s->to),
             across = nw_left(nw_unit(from, to));
    double more = nw_distance(from, to) / (ALONG_BITS * w->bit) - 1;
    if (more <= 0 || w->art->unknown[p] == NW_HELD)
        return;
    nw_point own = nw_minus(nw_moving_art_move(w->art, p), shifts[s->path].so_far);
    own = nw_times(across, nw_dot(own, across));
    nw_forms_row(w->forms, more * nw_move_weight(own, w->bit) / (w->bit * w->bit), 0);
    nw_moving_art_rest_term(w->art, w->forms, p, across);
    nw_shifts_term(shifts, w->forms, s->path, across);
}

static void lines_add(nw_energy *w, const nw_shift *shifts, const bool *refused)
{
    for (uint32_t i = 0; i < w->art->step_count; i++) {
        const nw_moving_art_step *s = &w->art->steps[i];
        bool line = !s->curve || nw_moving_art_straight(w->art, s);
        if (line && !refused[s->from])
            across_add(w, shifts, i, s->from);
        if (line && !refused[s->to])
            across_add(w, shifts, i, s->to);
    }
}

static nw_status moves_add(nw_energy *w, bool settled, nw_error *error)
{
    nw_shift *shifts = nw_shifts_add(w);
    bool *refused = refused_points(w->art), good = shifts && refused;
    for (uint32_t i = 0; good && i < w->art->step_count; i++) {
        uint32_t points[3], path = w->art->steps[i].path;
        int count = nw_step_points(&w->art->steps[i], points);
        for (int k = 0; k < count; k++)
            move_add(w, shifts, path, points[k], refused[points[k]], settled);
    }
    if (good && w->art->sparing)
        lines_add(w, shifts, refused);
    free(shifts);
    free(refused);
    return good ? NW_OK : nw_fail_memory(error, "the walls' equations");
}

nw_status nw_moving_art_energy(const nw_moving_art *art, double bit, bool settled, nw_forms *energy,
                               size_t *unknowns, nw_error *error)
{
    nw_energy w = {.art = art, .forms = energy, .bit = bit, .unknowns = art->unknowns};
    w.box = nw_box_empty();
    for (uint32_t p = 0; p < art->point_count; p++)
        nw_box_take(&w.box, rest_of(&w, p), 0);
    for (uint32_t i = 0; i < art->step_count; i++) {
        step_add(&w, i);
        if (!nw_moving_art_speck(art, &art->steps[i]))
            joint_add(&w, i);
    }
    nw_status status = moves_add(&w, settled, error);
    if (status == NW_OK)
        status = nw_arcs_add(&w, error);
    nw_rigid_add(&w);
    *unknowns = w.unknowns;
    return status == NW_OK && energy->failed ? nw_fail_memory(error, "the walls' equations")
                                             : status;
}
