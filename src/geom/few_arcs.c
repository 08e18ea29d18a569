/*
 * few_arcs: what the bit makes, thousands of short lines and arcs along chords -> the same in few
 * lines and arcs, without a corner where the outline has none.
 *
 * Chords of a curve meet its true shape at their ends, and a circle through three such ends tells
 * its direction there to second order: the turn between two chords is shared in proportion to
 * their lengths. A chord that would bulge more than flattening allows is a line of the drawing,
 * and an arc that turns more one of the bit; those keep their own directions. A turn too sharp for
 * a curve is a corner. Between corners the pair of arcs that reaches farthest within the tolerance
 * is taken (a greedy cover as in Meek and Walton, Approximation of discrete data by G1 arc splines,
 * Computer-Aided Design 24(6), 1992, from memory).
 */
#include <geom/biarc.h>
#include <geom/curves.h>

#include <math.h>
#include <stdlib.h>

#define TOLERANCE_MM 0.002 /* with what flattening and the bit's own tolerance take: 0.005 */
#define BULGE_MM (1.25 * NW_FLATNESS_MM) /* of a chord; a line would bulge by more, */
#define JOINT_MM (1.5 * NW_FLATNESS_MM)  /* and so would chords round a corner */
#define CORNER_RAD 0.5
#define TANGENT_RAD 1e-3
#define CRUMB_MM 2e-4
#define SAME_RAD 1e-6
#define KNOT_RAD 0.5      /* arcs have a knot at least every so often */
#define LINE_KNOTS_MM 0.5 /* longer lines have some inside */
#define LINE_PIECES 4
#define BETWEEN 3
#define MISSES_MOST 4 /* so often a pair of arcs may reach no farther */

/* A line, or an arc that is no joint between two lines. */
typedef struct {
    nw_point from, to, centre;
    bool arc, clockwise;
    bool own; /* it keeps its directions */
    double length, sweep;
    nw_point leave, arrive; /* unit */
    /* the joint with the one before */
    double turn;
    bool smooth, round, round_clockwise;
    nw_point hub; /* of a round joint */
} element;

/* A place of the path where a pair of arcs may end. */
typedef struct {
    nw_point at, arrive, leave;
    nw_point beyond[BETWEEN]; /* on the way to the next one */
    double slack;             /* so much more it may be off */
} knot;

typedef struct {
    element *items;
    size_t count;
    knot *knots;
    size_t knot_count, knot_capacity;
} cover;

static nw_point turned_by(nw_point direction, double angle)
{
    return nw_turned(direction, nw_cos(angle), nw_sin(angle));
}

/* Where the circle runs in this direction. */
static nw_point on_circle(nw_point centre, double radius, bool clockwise, nw_point direction)
{
    return nw_plus(centre, nw_left(direction), clockwise ? radius : -radius);
}

/* ---- elements and joints --------------------------------------------------------------------- */

static bool joint_is_smooth(double turn, double before, double after)
{
    return fabs(turn) < CORNER_RAD && fabs(turn) * fmin(before, after) / 8 <= JOINT_MM;
}

static element element_of(nw_point from, const nw_step *step)
{
    element e = {.from = from, .to = step->to, .centre = step->a, .arc = step->kind == NW_ARC};
    e.own = e.arc;
    e.clockwise = step->clockwise;
    e.leave = e.arrive = nw_unit(from, step->to);
    e.length = nw_distance(from, step->to);
    if (e.arc) {
        double side = e.clockwise ? -1 : 1;
        e.sweep = nw_arc_sweep(from, step);
        e.length = fabs(e.sweep) * nw_distance(from, step->a);
        e.leave = nw_times(nw_left(nw_unit(step->a, from)), side);
        e.arrive = nw_times(nw_left(nw_unit(step->a, step->to)), side);
    }
    return e;
}

/* An arc between two lines that only goes round the end of a chord: shorter than either. */
static bool is_joint(const nw_path *path, size_t i)
{
    size_t count = path->count, before = (i + count - 1) % count, after = (i + 1) % count;
    if (path->steps[i].kind != NW_ARC || path->steps[before].kind != NW_LINE ||
        path->steps[after].kind != NW_LINE)
        return false;
    element one = element_of(nw_path_from(path, before), &path->steps[before]);
    element arc = element_of(nw_path_from(path, i), &path->steps[i]);
    element other = element_of(nw_path_from(path, after), &path->steps[after]);
    return arc.length < fmin(one.length, other.length) &&
           joint_is_smooth(arc.sweep, one.length, other.length) &&
           fabs(arc.sweep) * arc.length / 8 <= NW_FLATNESS_MM &&
           fabs(nw_angle(one.arrive, arc.leave)) < TANGENT_RAD &&
           fabs(nw_angle(arc.arrive, other.leave)) < TANGENT_RAD;
}

/* The path without lines that only mend what was rounded, and have no direction. */
static bool crumbs_drop(const nw_path *path, nw_path *clean)
{
    bool good = true;
    clean->start = path->start;
    for (size_t i = 0; i < path->count && good; i++) {
        nw_point from = nw_path_from(clean, clean->count);
        const nw_step *step = &path->steps[i];
        if (step->kind == NW_ARC || nw_distance(from, step->to) > CRUMB_MM)
            good = nw_path_add(clean, step);
    }
    if (clean->count)
        clean->steps[clean->count - 1].to = clean->start;
    return good;
}

/* Closed paths only, so that every element has one before and one after it. */
static void elements_set(cover *c, const nw_path *path)
{
    for (size_t i = 0; i < path->count; i++)
        if (!is_joint(path, i)) {
            size_t last = (i + path->count - 1) % path->count;
            element e = element_of(nw_path_from(path, i), &path->steps[i]);
            e.round = is_joint(path, last);
            e.hub = path->steps[last].a;
            e.round_clockwise = path->steps[last].clockwise;
            c->items[c->count++] = e;
        }
}

static element *beside(const cover *c, size_t i, bool after)
{
    return &c->items[(i + (after ? 1 : c->count - 1)) % c->count];
}

static void joints_set(cover *c)
{
    for (size_t i = 0; i < c->count; i++) {
        element *e = &c->items[i];
        const element *before = beside(c, i, false);
        e->turn = nw_angle(before->arrive, e->leave);
        e->smooth = joint_is_smooth(e->turn, before->length, e->length);
    }
    for (size_t i = 0; i < c->count; i++) {
        element *e = &c->items[i];
        const element *after = beside(c, i, true);
        double start = e->smooth ? fabs(e->turn) : -1, end = after->smooth ? fabs(after->turn) : -1;
        double both = start >= 0 && end >= 0 ? start + end : 2 * fmax(start, end);
        e->own = e->arc || both < 2 * SAME_RAD || e->length * both / 16 > BULGE_MM;
    }
}

/* How a chord that turns by `half` from one end to its middle turns from there to the other, where
 * a corner or an arc cuts it short: as much as it is long beside the chord before it. */
static double far_turn(double half, double length, double other)
{
    return half * (2 * fmin(length / other, 1) - 1);
}

/* The angle from a chord's own direction to the curve's at one of its ends; NAN where only the
 * other end tells it. */
static double end_turn(const cover *c, size_t i, bool after)
{
    const element *e = &c->items[i], *other = beside(c, i, after);
    double turn = after ? other->turn : -e->turn;
    if (!(after ? other->smooth : e->smooth))
        return NAN;
    return other->own ? turn : turn * e->length / (e->length + other->length);
}

static void chord_turn(cover *c, size_t i)
{
    element *e = &c->items[i];
    nw_point own = nw_unit(e->from, e->to);
    double start = end_turn(c, i, false), end = end_turn(c, i, true);
    if (isnan(end))
        end = isnan(start) ? 0 : far_turn(-start, e->length, beside(c, i, false)->length);
    if (isnan(start))
        start = far_turn(-end, e->length, beside(c, i, true)->length);
    e->leave = turned_by(own, start);
    e->arrive = turned_by(own, end);
}

/* ---- knots ----------------------------------------------------------------------------------- */

static bool knot_add(cover *c, knot k)
{
    return nw_push(&c->knots, &c->knot_count, &c->knot_capacity, &k, sizeof k);
}

static knot inner_knot(const element *e, double share)
{
    knot k = {.at = nw_between(e->from, e->to, share), .leave = e->leave};
    if (e->arc) {
        k.leave = turned_by(e->leave, e->sweep * share);
        k.at = on_circle(e->centre, nw_distance(e->centre, e->from), e->clockwise, k.leave);
    }
    k.arrive = k.leave;
    return k;
}

static nw_point joint_place(const element *before, const element *e)
{
    if (e->round)
        return on_circle(e->hub, nw_distance(e->hub, e->from), e->round_clockwise, e->leave);
    return e->arc || !before->arc ? e->from : before->to;
}

static bool element_knots(cover *c, size_t i)
{
    const element *e = &c->items[i], *before = beside(c, i, false);
    size_t pieces = e->arc ? (size_t)ceil(fabs(e->sweep) / KNOT_RAD + SAME_RAD)
                    : e->own && e->length > LINE_KNOTS_MM ? LINE_PIECES
                                                          : 1;
    bool good = true;
    for (size_t k = 0; k < pieces && good; k++) {
        knot one = inner_knot(e, (double)k / (double)pieces);
        for (int b = 0; b < BETWEEN; b++) {
            double share = (b + 1.0) / (BETWEEN + 1);
            one.beyond[b] = inner_knot(e, ((double)k + share) / (double)pieces).at;
        }
        one.slack = e->own ? 0 : NW_FLATNESS_MM;
        if (k == 0) {
            one.at = joint_place(before, e);
            one.leave = e->leave;
            one.arrive = before->arrive;
        }
        good = knot_add(c, one);
    }
    return good;
}

/* ---- the cover ------------------------------------------------------------------------------- */

static const knot *knot_at(const cover *c, size_t k)
{
    return &c->knots[k % c->knot_count];
}

static bool is_corner(const knot *k)
{
    return fabs(nw_angle(k->arrive, k->leave)) > SAME_RAD;
}

static bool pair_fits(const cover *c, size_t from, size_t to, nw_biarc *biarc)
{
    const knot *a = knot_at(c, from), *b = knot_at(c, to);
    if (!nw_biarc_make(a->at, a->leave, b->at, b->arrive, biarc))
        return false;
    for (size_t k = from; k < to; k++) {
        const knot *between = knot_at(c, k);
        if (k > from && !(nw_biarc_distance(biarc, between->at) <= TOLERANCE_MM))
            return false;
        for (int i = 0; i < BETWEEN; i++) {
            double off = nw_biarc_distance(biarc, between->beyond[i]);
            if (!(off <= TOLERANCE_MM + between->slack))
                return false;
        }
    }
    return true;
}

/* The farthest knot up to `end` that one pair of arcs reaches; `from` where none does. */
static size_t farthest(const cover *c, size_t from, size_t end, nw_biarc *best)
{
    size_t to = from, ahead = 1;
    for (size_t misses = 0; misses < MISSES_MOST && to < end;) {
        nw_biarc biarc;
        ahead = to + ahead > end ? end - to : ahead;
        if (pair_fits(c, from, to + ahead, &biarc)) {
            *best = biarc;
            to += ahead;
            ahead *= 2;
            misses = 0;
        } else if (ahead > MISSES_MOST) {
            ahead /= 2;
        } else {
            ahead = ++misses;
        }
    }
    return to;
}

/* The arc or line from one knot to the next as it is, where its ends' directions are others. */
static nw_biarc as_made(const knot *a, const knot *b)
{
    nw_point middle = a->beyond[BETWEEN / 2], chord = nw_minus(b->at, a->at);
    double square = nw_dot(chord, chord), rise = nw_cross(chord, nw_minus(a->at, middle));
    double along = nw_dot(chord, nw_minus(middle, a->at));
    if (fabs(2 * rise) > square || along <= 0 || along >= square) /* a crumb, or cut short by one */
        return (nw_biarc){a->at, nw_middle(a->at, b->at), b->at, {0, 0}};
    double half = square > 0 ? nw_tan(nw_atan(2 * rise / square) / 2) : 0;
    return (nw_biarc){a->at, middle, b->at, {half, half}};
}

/* From a corner to the next, or all the way round. */
static bool chain_cover(const cover *c, size_t from, size_t end, nw_path *path)
{
    bool good = true;
    while (from < end && good) {
        nw_biarc biarc;
        size_t to = farthest(c, from, end, &biarc);
        if (to == from)
            biarc = as_made(knot_at(c, from), knot_at(c, ++to));
        good = nw_path_biarc(path, &biarc);
        from = to;
    }
    return good;
}

static bool knots_cover(const cover *c, nw_path *path)
{
    size_t first = 0, count = c->knot_count;
    while (first < count && !is_corner(&c->knots[first]))
        first++;
    first = first < count ? first : 0;
    path->start = c->knots[first].at;
    bool good = true;
    for (size_t from = first, end; from < first + count && good; from = end) {
        for (end = from + 1; end < first + count && !is_corner(knot_at(c, end));)
            end++;
        good = chain_cover(c, from, end, path);
    }
    return good;
}

static bool path_cover(const nw_path *made, nw_path *few)
{
    nw_path clean = {0}, *path = &clean;
    bool there = crumbs_drop(made, path);
    if (!there || path->count < 2) {
        nw_path_free(path);
        return there && nw_path_copy(made, few); /* the bit just fits: it plunges there */
    }
    cover c = {nw_alloc(path->count, sizeof *c.items), 0, NULL, 0, 0};
    bool good = c.items != NULL;
    if (good)
        elements_set(&c, path);
    if (good && c.count > 1) {
        joints_set(&c);
        for (size_t i = 0; i < c.count; i++)
            if (!c.items[i].own)
                chord_turn(&c, i);
        for (size_t i = 0; i < c.count && good; i++)
            good = element_knots(&c, i);
        good = good && knots_cover(&c, few);
    } else if (good) {
        good = nw_path_arcs(path, NW_FLATNESS_MM, few);
    }
    nw_path_free(path);
    free(c.knots);
    free(c.items);
    return good;
}

nw_status nw_drawing_few_arcs(const nw_drawing *made, nw_drawing *few, nw_error *error)
{
    *few = (nw_drawing){.width = made->width, .height = made->height, .placed = made->placed};
    bool good = true;
    for (size_t i = 0; i < made->count && good; i++) {
        nw_path path = nw_path_like(&made->paths[i]);
        good = path_cover(&made->paths[i], &path) && (path.count < 2 || nw_drawing_add(few, &path));
        nw_path_free(&path);
    }
    if (good)
        return NW_OK;
    nw_drawing_free(few);
    return nw_fail_memory(error, "the way of the bit");
}
