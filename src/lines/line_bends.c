/*
 * line_bends: the chords of a branch -> places along its middle, with a corner at every bend that
 * turns on the spot.
 *
 * On either side of a place the straight parts of the line are carried on to where they meet, as
 * the singular regions of Zou and Yan (2001) are. The place is a corner when that point is as near
 * to the chords' middles as it is where a line's inner edge turns on one point: within
 * w (1 - h) / 2 h of them, h the sine of half the angle between the parts.
 */
#include <lines/line_pieces.h>
#include <lines/mesh.h>
#include <lines/strokes.h>

#include <math.h>
#include <stdlib.h>

/* In widths of the line, but for the angle. */
static const double AWAY = 0.35;      /* the straight parts begin this far from the bend */
static const double LOOK_AT = 0.9;    /* and are this long */
static const double SHORTEST = 0.4;   /* at least */
static const double MOST_AWAY = 4;    /* a bend is no larger */
static const double STRAIGHT = 0.06;  /* distance from a straight line that counts as none */
static const double SLACK = 0.06;     /* in how near the corner has to be */
static const double LEAST_TURN = 0.4; /* radians */

/* Where two lines meet; false where they hardly differ in direction. */
static bool lines_meet(nw_point p, nw_point u, nw_point q, nw_point v, nw_point *at)
{
    if (fabs(nw_cross(u, v)) < 0.05)
        return false;
    *at = nw_plus(p, u, nw_met_after(p, u, q, v));
    return true;
}

typedef struct {
    const nw_ribbon_branch *b;
    const nw_segment_tree *tree; /* of the region's edges */
    double width;
    bool ring;
} bender;

/* The straight part to one side of a place. */
typedef struct {
    size_t near, steps; /* the chord where it begins, and how many away that is */
    nw_point middle, way;
} side;

/* The chord `steps` further in the direction given; false past an end, or once round. */
static bool chord_step(const bender *bend, size_t i, size_t steps, int direction, size_t *to)
{
    size_t n = bend->b->count;
    if (steps >= n || (!bend->ring && (direction > 0 ? steps >= n - i : steps > i)))
        return false;
    *to = direction > 0 ? (i + steps) % n : (i + n - steps) % n;
    return true;
}

static bool is_straight(const bender *bend, const side *s, size_t i, size_t until, int direction)
{
    for (size_t k = s->steps, at = i; k <= until; k++) {
        chord_step(bend, i, k, direction, &at);
        nw_point d = nw_minus(bend->b->chords[at].at, s->middle);
        if (fabs(nw_cross(d, s->way)) > STRAIGHT * bend->width)
            return false;
    }
    return true;
}

/* Finds the straight part of the line on one side of chord i; its way leads away from there. */
static bool side_find(const bender *bend, size_t i, int direction, side *s)
{
    const nw_ribbon_chord *chords = bend->b->chords;
    double w = bend->width, gone = 0, from = -1;
    nw_line_sum sum = {0};
    size_t until = 0;
    for (size_t k = 1, at, last = i; chord_step(bend, i, k, direction, &at); k++, last = at) {
        gone += nw_distance(chords[last].at, chords[at].at);
        bool wide = chords[at].width > TOO_WIDE * w;
        if (from < 0 && (gone < AWAY * w || wide)) {
            if (gone > MOST_AWAY * w)
                return false;
            continue;
        }
        if (from < 0) {
            from = gone;
            s->near = at;
            s->steps = k;
        }
        if (wide || gone - from > LOOK_AT * w)
            break;
        nw_line_add(&sum, chords[at].at);
        until = k;
    }
    if (sum.n < 3 || nw_distance(sum.first, sum.last) < SHORTEST * w)
        return false;
    nw_line_fit(&sum, &s->middle, &s->way);
    return is_straight(bend, s, i, until, direction);
}

typedef struct {
    nw_point at;
    size_t before, after; /* the chords where its sides begin */
    size_t back;          /* how many chords `before` is back */
    size_t on;            /* and how many `after` is on */
    double off;           /* distance from the chords' middles */
} corner;

/* Whether the middle turns on the spot near chord i. */
static bool corner_at(const bender *bend, size_t i, corner *c)
{
    side in = {0}, out = {0};
    if (!side_find(bend, i, -1, &in) || !side_find(bend, i, 1, &out) ||
        !lines_meet(in.middle, in.way, out.middle, out.way, &c->at))
        return false;
    const nw_ribbon_chord *chords = bend->b->chords;
    double open = nw_acos(fmax(-1, fmin(1, nw_dot(in.way, out.way)))), h = nw_sin(open / 2);
    double allowed = bend->width * ((1 - h) / (2 * h) + SLACK), back = -SLACK * bend->width;
    size_t next = i;
    chord_step(bend, i, 1, 1, &next);
    *c = (corner){c->at,    in.near,   out.near,
                  in.steps, out.steps, nw_segment_distance(chords[i].at, chords[next].at, c->at)};
    return NW_PI - open > LEAST_TURN && c->off < allowed &&
           nw_dot(nw_minus(chords[in.near].at, c->at), in.way) > back &&
           nw_dot(nw_minus(chords[out.near].at, c->at), out.way) > back &&
           nw_ink_covers(bend->tree, c->at);
}

static bool spot_add(nw_stroke *s, nw_stroke_spot new)
{
    return nw_push(&s->spots, &s->count, &s->capacity, &new, sizeof *s->spots);
}

/* The corner of a run of places that all see one, the nearest of them; *i goes to the run's end. */
static bool next_corner(const bender *bend, size_t *i, corner *best)
{
    corner c = {0};
    bool found = false;
    for (; *i < bend->b->count; ++*i) {
        bool here = corner_at(bend, *i, &c);
        if (found && (!here || nw_distance(c.at, best->at) > bend->width))
            return true;
        if (here && (!found || c.off < best->off))
            *best = c;
        found |= here;
    }
    return found;
}

typedef enum { KEPT, PASSED_OVER, TURNS } chord_mark;

/* What lies between a corner's sides gives way to it. */
static void corner_mark(const bender *bend, const corner *c, uint8_t *marks, nw_point *places)
{
    size_t n = bend->b->count;
    for (size_t k = 1; k < c->back + c->on; k++) {
        size_t at = (c->before + k) % n;
        marks[at] = marks[at] == TURNS || k == c->back ? TURNS : PASSED_OVER;
    }
    places[(c->before + c->back) % n] = c->at;
}

static void corners_mark(const bender *bend, uint8_t *marks, nw_point *places)
{
    corner c = {0};
    nw_point first = {INFINITY, INFINITY}, last = first;
    for (size_t i = 0; next_corner(bend, &i, &c);) {
        /* In a ring the last corner may be the first again. */
        double near = bend->width / 2;
        if (nw_distance(first, c.at) > near && nw_distance(last, c.at) > near)
            corner_mark(bend, &c, marks, places);
        last = c.at;
        first = first.x == INFINITY ? c.at : first;
    }
}

bool nw_stroke_from_branch(const nw_ribbon_branch *b, const nw_segment_tree *tree, nw_stroke *s)
{
    bender bend = {b, tree, s->width, s->ring};
    nw_point *places = nw_alloc(b->count, sizeof *places);
    uint8_t *marks = nw_alloc(b->count, sizeof *marks);
    bool good = places && marks;
    size_t start = 0;
    if (good)
        corners_mark(&bend, marks, places);
    /* A ring begins at a corner, so that its curves can. */
    for (size_t i = 0; good && s->ring && i < b->count && start == 0; i++)
        start = marks[i] == TURNS ? i : 0;
    for (size_t i = 0; good && i < b->count; i++) {
        size_t at = (start + i) % b->count;
        if (marks[at] != PASSED_OVER) {
            good = spot_add(s, marks[at] == TURNS ? (nw_stroke_spot){places[at], s->width, true}
                                                  : (nw_stroke_spot){b->chords[at].at,
                                                                     b->chords[at].width, false});
        }
    }
    free(places);
    free(marks);
    return good;
}
