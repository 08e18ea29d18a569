/*
 * stroke: paths and a pen -> what the pen covers, as shapes that all run counter-clockwise, so
 * together they are one shape by the nonzero rule (SVG 1.1, 11.4).
 *
 * A line is a rectangle with both its ends as corners; a join is a wedge from the corner; a cap is
 * half a disc or a rectangle. They share their corners to the last digit, so inner edges cancel.
 * A curve is cut in two until its edges are cubics too: offset ends with the handles that keep
 * their slope and curve (Tiller and Hanson, IEEE CG&A 4(9), 1984), tried at three places. Where it
 * turns more tightly than the pen is wide, it is cut into chords, joined round.
 */
#include <solid/dashes.h>
#include <solid/solid.h>

#define LEAST_STRETCH 0.1  /* of a curve that an inner edge may keep of its length anywhere */
#define DEEPEST 12         /* halvings of a curve */
#define EDGE_SHARE 0.0025  /* of the radius: edges further off show in a hairline's area */
#define EIGHTH (NW_PI / 4) /* a cubic is within 4e-6 of the radius of such an arc */

typedef struct {
    const nw_stroke *stroke;
    double radius;
    nw_drawing *shapes;
    nw_path part;  /* under way */
    bool failed;   /* memory ran out */
    bool begun;    /* the current path has covered something */
    nw_point at;   /* the pen's place */
    nw_point left; /* across its last direction, of length 1 */
    nw_point start, start_left;
} pen;

/* ---- parts ----------------------------------------------------------------------------------- */

static nw_point beside(const pen *p, nw_point at, nw_point left)
{
    return nw_plus(at, left, p->radius);
}

static void part_begin(pen *p, nw_point at)
{
    p->part = (nw_path){.start = at, .closed = true};
}

static nw_point part_end(const pen *p)
{
    return nw_path_from(&p->part, p->part.count);
}

static void part_line(pen *p, nw_point to)
{
    p->failed = p->failed || !nw_path_line(&p->part, to);
}

static void part_curve(pen *p, nw_point a, nw_point b, nw_point to)
{
    p->failed = p->failed || !nw_path_curve(&p->part, a, b, to);
}

/* Counter-clockwise round the centre, from beside it by one direction to beside it by another. */
static void part_turn(pen *p, nw_point centre, nw_point from, nw_point to)
{
    double turn = nw_angle(from, to);
    turn += turn < 0 ? NW_TURN : 0;
    int count = (int)ceil(turn / EIGHTH);
    double handle = p->radius * 4 / 3 * nw_tan(turn / count / 4);
    double cosine = nw_cos(turn / count), sine = nw_sin(turn / count);
    for (int i = 1; i <= count; i++) {
        nw_point next = i == count ? to : nw_turned(from, cosine, sine);
        nw_point end = beside(p, centre, next);
        part_curve(p, nw_plus(part_end(p), nw_left(from), handle),
                   nw_plus(end, nw_left(next), -handle), end);
        from = next;
    }
}

static void part_close(pen *p)
{
    part_line(p, p->part.start);
    p->failed = p->failed || !nw_drawing_add(p->shapes, &p->part);
    nw_path_free(&p->part);
}

/* A wedge from the pen's place, counter-clockwise between two directions. */
static void wedge(pen *p, nw_point from, nw_point to, nw_join join)
{
    part_begin(p, p->at);
    part_line(p, beside(p, p->at, from));
    double half = (1 + nw_dot(from, to)) / 2; /* squared cosine of half the turn */
    double limit = p->stroke->miter_limit;
    if (join == NW_JOIN_ROUND) {
        part_turn(p, p->at, from, to);
    } else {
        if (join == NW_JOIN_MITER && half * limit * limit >= 1)
            part_line(p, nw_plus(p->at, nw_middle(from, to), p->radius / half));
        part_line(p, beside(p, p->at, to));
    }
    part_close(p);
}

/* Where the pen turns from its direction to another. */
static void joint(pen *p, nw_point left, nw_join join)
{
    double turn = nw_cross(p->left, left);
    if (turn > 0 || (turn == 0 && nw_dot(p->left, left) < 0))
        wedge(p, nw_back(p->left), nw_back(left), join);
    else if (turn < 0)
        wedge(p, left, p->left, join);
}

/* An end at the pen's place: out by the quarter turn clockwise from left. */
static void cap(pen *p, nw_point left)
{
    nw_point right = nw_back(left), out = nw_left(right);
    if (p->stroke->cap == NW_CAP_ROUND) {
        wedge(p, right, left, NW_JOIN_ROUND);
    } else if (p->stroke->cap == NW_CAP_SQUARE) {
        part_begin(p, p->at);
        part_line(p, beside(p, p->at, right));
        part_line(p, beside(p, part_end(p), out));
        part_line(p, beside(p, beside(p, p->at, left), out));
        part_line(p, beside(p, p->at, left));
        part_close(p);
    }
}

/* ---- lines and curves --------------------------------------------------------------------------
 */

/* Turns the pen at its place before it goes on. */
static void turn_to(pen *p, nw_point left, nw_join join)
{
    if (p->begun) {
        joint(p, left, join);
    } else {
        p->start = p->at;
        p->start_left = left;
        p->begun = true;
    }
}

static void line_cover(pen *p, nw_point to, nw_join join)
{
    if (p->at.x == to.x && p->at.y == to.y)
        return;
    nw_point left = nw_left(nw_unit(p->at, to));
    nw_point right = nw_back(left);
    turn_to(p, left, join);
    part_begin(p, p->at);
    part_line(p, beside(p, p->at, right));
    part_line(p, beside(p, to, right));
    part_line(p, to);
    part_line(p, beside(p, to, left));
    part_line(p, beside(p, p->at, left));
    part_close(p);
    p->at = to;
    p->left = left;
}

typedef struct {
    nw_point from;
    nw_step step;
} cubic;

/* The edge beside a curve, by the radius to its left if that is positive. False when no cubic comes
 * near enough to it, or its inner side would turn back. */
static bool edge_find(const cubic *c, double radius, double flatness, cubic *edge)
{
    nw_point d0 = nw_minus(c->step.a, c->from), d1 = nw_minus(c->step.b, c->step.a);
    nw_point d2 = nw_minus(c->step.to, c->step.b);
    double l0 = sqrt(nw_dot(d0, d0)), l2 = sqrt(nw_dot(d2, d2));
    double stretch0 = 1 - radius * 2 / 3 * nw_cross(d0, d1) / (l0 * l0 * l0);
    double stretch2 = 1 - radius * 2 / 3 * nw_cross(d1, d2) / (l2 * l2 * l2);
    if (!(stretch0 > LEAST_STRETCH && stretch2 > LEAST_STRETCH))
        return false;
    edge->step.kind = NW_CURVE;
    edge->from = nw_plus(c->from, nw_left(d0), radius / l0);
    edge->step.to = nw_plus(c->step.to, nw_left(d2), radius / l2);
    edge->step.a = nw_plus(edge->from, d0, stretch0);
    edge->step.b = nw_plus(edge->step.to, d2, -stretch2);
    for (double t = 0.25; t < 1; t += 0.25) {
        nw_point place = nw_step_at(c->from, &c->step, t);
        nw_point way = nw_minus(nw_step_blossom(c->from, &c->step, 1, t, t),
                                nw_step_blossom(c->from, &c->step, 0, t, t));
        nw_point there = nw_plus(place, nw_left(way), radius / sqrt(nw_dot(way, way)));
        if (!(nw_distance(there, nw_step_at(edge->from, &edge->step, t)) <= flatness))
            return false;
    }
    return true;
}

static bool curve_cover_whole(pen *p, const cubic *c, nw_join join)
{
    cubic left, right;
    double flatness = fmin(p->stroke->flatness / 2, EDGE_SHARE * p->radius);
    if (!edge_find(c, p->radius, flatness, &left) || !edge_find(c, -p->radius, flatness, &right))
        return false;
    nw_point begin = nw_times(nw_minus(left.from, c->from), 1 / p->radius);
    nw_point end = nw_times(nw_minus(left.step.to, c->step.to), 1 / p->radius);
    turn_to(p, begin, join);
    part_begin(p, c->from);
    part_line(p, beside(p, c->from, nw_back(begin)));
    part_curve(p, right.step.a, right.step.b, beside(p, c->step.to, nw_back(end)));
    part_line(p, c->step.to);
    part_line(p, beside(p, c->step.to, end));
    part_curve(p, left.step.b, left.step.a, beside(p, c->from, begin));
    part_close(p);
    p->at = c->step.to;
    p->left = end;
    return true;
}

static bool is_flat(const cubic *c, double flatness)
{
    double most = fmax(nw_second_difference(c->from, c->step.a, c->step.b),
                       nw_second_difference(c->step.a, c->step.b, c->step.to));
    return 0.75 * most <= flatness;
}

static void curve_cover(pen *p, const cubic *c, nw_join join, int depth)
{
    if (curve_cover_whole(p, c, join))
        return;
    if (depth == DEEPEST || is_flat(c, p->stroke->flatness)) {
        line_cover(p, c->step.to, join);
        return;
    }
    cubic first = *c, second = *c;
    first.step = nw_step_split(c->from, &second.step, 0.5);
    second.from = first.step.to;
    curve_cover(p, &first, join, depth + 1);
    curve_cover(p, &second, p->begun ? NW_JOIN_ROUND : join, depth + 1);
}

/* ---- paths ----------------------------------------------------------------------------------- */

static void path_cover(pen *p, const nw_path *path)
{
    nw_join join = p->stroke->join;
    p->begun = false;
    p->at = path->start;
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        if (step->kind == NW_CURVE)
            curve_cover(p, &(cubic){p->at, *step}, join, 0);
        else
            line_cover(p, step->to, join);
    }
    if (path->closed && p->begun) {
        line_cover(p, p->start, join);
        joint(p, p->start_left, join);
        return;
    }
    if (!p->begun) { /* a dot: as if it ran to the right */
        p->start = p->at;
        p->left = p->start_left = (nw_point){0, 1};
    }
    cap(p, p->left);
    p->at = p->start;
    cap(p, nw_back(p->start_left));
}

nw_stroke nw_stroke_defaults(void)
{
    return (nw_stroke){.width = 1, .miter_limit = 4, .flatness = 0.001};
}

nw_status nw_drawing_stroke(const nw_drawing *paths, const nw_stroke *stroke, nw_drawing *shapes,
                            nw_error *error)
{
    *shapes = (nw_drawing){0};
    if (!(stroke->width > 0) || !(stroke->flatness > 0))
        return nw_fail(error, NW_BAD_REQUEST, "a stroke's width must be positive");
    pen p = {.stroke = stroke, .radius = stroke->width / 2, .shapes = shapes};
    nw_status status = NW_OK;
    for (size_t i = 0; i < paths->count && !status; i++) {
        nw_drawing dashes;
        status = nw_path_dash(&paths->paths[i], stroke, &dashes, error);
        for (size_t k = 0; k < dashes.count && !p.failed; k++)
            path_cover(&p, &dashes.paths[k]);
        nw_drawing_free(&dashes);
        status = status || !p.failed ? status : nw_fail_memory(error, "the strokes");
    }
    nw_path_free(&p.part);
    if (status)
        nw_drawing_free(shapes);
    return status;
}
