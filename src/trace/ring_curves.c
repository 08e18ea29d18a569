/*
 * ring_curves: a closed ring of places -> a path of few lines and cubics within a tolerance of
 * them.
 *
 * The ring is cut at its corners. Each run between is covered from its start by the longest line
 * or cubic that stays within the tolerance, found by doubling and then halving, and from its end
 * too; pieces join halfway between where the one and the other have them, so that none comes out
 * short, errors are even, and mirror images have mirrored pieces. Cubics join without a kink at
 * places, or between two, smoothed by a parabola.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CLEAN_PX 0.1       /* tolerance where the grey levels are exact */
#define CLEAN_STEPS_PX 0.2 /* tolerance where there are none */
#define SCATTERED_PX 0.35  /* beyond this the user wants it simpler than the picture */
#define LEVEL_PX 1e-6      /* places that differ by less are as far, or as high */
#define LOCAL 5            /* places on either side that smooth a joint */

/* A run of places: the first and the last are its ends, corners or joints. */
typedef struct {
    nw_point *q;
    nw_local_fit *joints; /* every place smoothed, with the direction there */
    size_t count;
    double *t;     /* room for parameters */
    nw_point *few; /* room for some of the places */
    nw_cubic_ends ends;
    double most_move; /* of a joint, by smoothing */
    double clean;     /* tolerance where places do not scatter */
    nw_trace_far far;
    bool closed; /* a whole ring without corners: the last place is the first */
    bool sharp;  /* there are, and of sharp edges */
    bool steps;  /* there are no grey levels */
} stretch;

typedef struct {
    size_t to; /* the joint at its end */
    bool line;
    double error; /* largest distance of the places looked at */
    nw_cubic curve;
} stretch_piece;

typedef struct {
    stretch_piece *items;
    size_t count;
} stretch_pieces;

/* Pieces are sought from the run's start on, or from its end back, within the tolerance. */
typedef struct {
    const stretch *s;
    double tolerance;
    bool back;
    uint16_t *known; /* of pieces from each place over KNOWN places or fewer: see reaches */
} search;

static double line_error(const nw_point *q, size_t n)
{
    nw_point way = nw_minus(q[n - 1], q[0]);
    double length = nw_length(way), most = 0;
    for (size_t i = 1; i + 1 < n; i++)
        most = fmax(most, fabs(nw_cross(way, nw_minus(q[i], q[0]))));
    return length > 0 ? most / length : INFINITY;
}

/* Joints are counted in half places: between two places, or at one. */
static nw_point joint_place(const stretch *s, size_t joint)
{
    return nw_middle(s->q[joint / 2], s->q[(joint + 1) / 2]);
}

/* A joint smoothed by a parabola through the places around it. */
static nw_local_fit joint_smooth(const stretch *s, size_t joint)
{
    long low = (long)(joint / 2), high = (long)(joint + 1) / 2, last = (long)s->count - 1;
    nw_point window[2 * LOCAL + 2], q = joint_place(s, joint);
    size_t n = 0;
    for (long k = low - LOCAL; k <= high + LOCAL; k++) {
        long at = s->closed ? (k + last) % last : k;
        if (at >= 0 && at <= last)
            window[n++] = s->q[at];
    }
    return nw_local_fit_at(window, n, q);
}

/* Smoothing may move a joint by the tolerance and no further. */
static nw_local_fit limit_move(const stretch *s, nw_local_fit fit, size_t joint)
{
    nw_point q = joint_place(s, joint);
    double moved = nw_distance(fit.at, q);
    if (moved > s->most_move)
        fit.at = nw_between(q, fit.at, s->most_move / moved);
    return fit;
}

static nw_cubic_end end_at(const stretch *s, size_t joint, bool start)
{
    if (!s->closed && (joint == 0 || joint == 2 * (s->count - 1)))
        return joint == 0 ? s->ends.start : s->ends.end;
    nw_local_fit at =
        joint % 2 ? limit_move(s, joint_smooth(s, joint), joint) : s->joints[joint / 2];
    return (nw_cubic_end){false, at.at, start ? at.direction : nw_back(at.direction)};
}

#define POINTED 1.75 /* rad that a tip's sides turn by: its own angle is under 80 degrees */
#define FEW 40       /* places that stand for a longer run while pieces are sought */

/* The piece from one joint to another, judged by all places or by a few of them. */
static stretch_piece piece_between(const search *by, size_t from, size_t to, bool all)
{
    const stretch *s = by->s;
    size_t i = from / 2, j = (to + 1) / 2, span = j - i, n = all || span < FEW ? span + 1 : FEW + 1;
    const nw_point *q = s->q + i;
    if (n <= span) {
        for (size_t k = 0; k < n; k++)
            s->few[k] = s->q[by->back ? j - (FEW - k) * span / FEW : i + k * span / FEW];
        q = s->few;
    }
    nw_cubic_ends ends = {.start = end_at(s, from, true), .end = end_at(s, to, false)};
    stretch_piece piece = {.to = to};
    bool whole = i == 0 && j + 1 == s->count && !s->closed;
    piece.line = span == 1 || (whole && line_error(q, n) <= by->tolerance);
    if (piece.line) {
        piece.error = span > 1 ? line_error(q, n) : 0;
        piece.curve = (nw_cubic){ends.start.at, ends.start.at, ends.end.at, ends.end.at};
    } else {
        piece.error = nw_cubic_fit(q, n, &ends, by->tolerance, s->t, &piece.curve);
    }
    return piece;
}

#define KNOWN 8 /* where places scatter, most pieces go over fewer */

/* Is the piece from place i over so many more good enough? Short ones, which are sought from both
 * ends, are asked for once: two bits each say that it is known, and that it is. */
static bool reaches(const search *by, size_t i, size_t span, bool all)
{
    size_t from = by->back ? i - span : i;
    int at = span <= KNOWN ? 2 * (int)(span - 1) : 0;
    uint16_t known = by->known[from] >> at;
    if (span <= KNOWN && known & 1)
        return known & 2;
    bool good = piece_between(by, 2 * from, 2 * (from + span), all).error <= by->tolerance;
    if (span <= KNOWN)
        by->known[from] |= (uint16_t)((good ? 3 : 1) << at);
    return good;
}

/* How many places the longest piece from place i goes over: by doubling, then halving, over a few
 * places; then over all. */
static size_t longest(const search *by, size_t i)
{
    size_t most = by->back ? i : by->s->count - 1 - i, good = 1, bad = most + 1;
    for (size_t step = 8; good < most && bad > most; step *= 2) {
        size_t span = step < most ? step : most;
        *(reaches(by, i, span, false) ? &good : &bad) = span;
    }
    while (bad - good > 1 + good / 32) {
        size_t middle = good + (bad - good) / 2;
        *(reaches(by, i, middle, false) ? &good : &bad) = middle;
    }
    while (good > FEW && !reaches(by, i, good, true))
        good -= 1 + (good - 1) / 8;
    return good;
}

/* The pieces that join at these places; returns their largest error. */
static double pieces_make(const search *by, const size_t *joints, size_t count,
                          stretch_pieces *pieces)
{
    double error = 0;
    pieces->count = count;
    for (size_t k = 0; k < count; k++) {
        pieces->items[k] = piece_between(by, joints[k], joints[k + 1], true);
        error = fmax(error, pieces->items[k].error);
    }
    return error;
}

/* Where pieces from the one end join, 0 and the last place included; returns how many they are. */
static size_t chain_find(const search *by, size_t *joints)
{
    size_t count = 0, last = by->s->count - 1;
    for (size_t at = 0; at < last; count++) {
        size_t place = by->back ? last - at : at;
        joints[count] = 2 * place;
        at += longest(by, place);
    }
    joints[count] = by->back ? 0 : 2 * last;
    for (size_t k = 0; by->back && k < (count + 1) / 2; k++) {
        size_t keep = joints[k];
        joints[k] = joints[count - k];
        joints[count - k] = keep;
    }
    return count;
}

/* A ring without grey levels does not: where it is farthest from its middle a pixel sticks out. */
static bool begins_somewhere(const stretch *s)
{
    return !(s->closed && s->steps);
}

/* Pieces that join halfway between two chains of as many, or where one of those would not be good
 * enough those of the better chain. */
static void pieces_choose(const stretch *s, double tolerance, size_t *joints[3], uint16_t *known,
                          stretch_pieces *pieces)
{
    search by[2] = {{s, tolerance, false, known}, {s, tolerance, true, known}};
    size_t counts[2] = {chain_find(&by[0], joints[0]), SIZE_MAX};
    double errors[2] = {0, INFINITY};
    if (begins_somewhere(s))
        counts[1] = chain_find(&by[1], joints[1]);
    if (counts[0] == counts[1]) {
        for (size_t k = 0; k <= counts[0]; k++)
            joints[2][k] = (joints[0][k] + joints[1][k]) / 2;
        if (pieces_make(&by[0], joints[2], counts[0], pieces) <= tolerance)
            return;
        for (int k = 0; k < 2; k++)
            errors[k] = pieces_make(&by[k], joints[k], counts[k], pieces);
    }
    bool back = counts[1] < counts[0] || (counts[1] == counts[0] && errors[1] < errors[0]);
    pieces_make(&by[back], joints[back], counts[back], pieces);
}

static bool cover(const stretch *s, double tolerance, stretch_pieces *pieces)
{
    size_t *room = nw_alloc(3 * s->count, sizeof *room);
    uint16_t *known = nw_alloc(s->count, sizeof *known);
    if (!pieces->items)
        pieces->items = nw_alloc(s->count, sizeof *pieces->items);
    bool good = room && known && pieces->items;
    if (good) {
        size_t *joints[3] = {room, room + s->count, room + 2 * s->count};
        pieces_choose(s, tolerance, joints, known, pieces);
    }
    free(room);
    free(known);
    return good;
}

static const int BALANCING_ROUNDS = 3;
static const size_t MANY_PIECES = 12; /* a short last one among more does not matter */

/* Of a ring that begins nowhere, with the smallest tolerance, nearly, that needs no more pieces;
 * others have theirs even already. */
static bool cover_evenly(const stretch *s, double tolerance, stretch_pieces *pieces)
{
    if (!cover(s, tolerance, pieces))
        return false;
    size_t count = pieces->count;
    if (count == 1) {
        /* Alone it may become as good as it can. */
        search by = {s, 0, false, NULL};
        stretch_piece best = piece_between(&by, 0, 2 * (s->count - 1), true);
        pieces->items[0] = best.error < pieces->items[0].error ? best : pieces->items[0];
        return true;
    }
    if (begins_somewhere(s) || count > MANY_PIECES)
        return true;
    double low = 0, high = tolerance, used = tolerance;
    for (int round = 0; round < BALANCING_ROUNDS; round++) {
        double middle = (low + high) / 2;
        if (!cover(s, middle, pieces))
            return false;
        *(pieces->count <= count ? &high : &low) = used = middle;
    }
    return used == high || cover(s, high, pieces);
}

static bool add_pieces(stretch *s, const stretch_pieces *pieces, nw_path *path)
{
    for (size_t i = 0; i < pieces->count; i++) {
        const stretch_piece *piece = &pieces->items[i];
        const nw_cubic *c = &piece->curve;
        nw_point q = joint_place(s, piece->to), at = c->p3;
        s->far.places = fmax(s->far.places, fmax(piece->error, nw_distance(at, q)));
        if (!(piece->line ? nw_path_line(path, c->p3) : nw_path_curve(path, c->p1, c->p2, c->p3)))
            return false;
    }
    return true;
}

/* Where places scatter, following each of them would only copy noise: twice their scatter, the
 * median of how far they lie from the parabola through their neighbours, at most as the limits have
 * it. Small parts of the art bend places too: between sharp edges more has to be noise for sure. */
static double tolerance_of(const stretch *s, const nw_trace_limits *limits)
{
    double asked = limits->tolerance, most = fmax(asked, limits->scatter);
    for (size_t i = 0; i < s->count; i++)
        s->t[i] = s->joints[i].residual;
    double least = asked > SCATTERED_PX ? asked : s->clean,
           scatter = 2 * nw_middle_number(s->t, s->count);
    if (s->sharp && scatter > fmax(least, limits->scatter))
        scatter = fmin(scatter, fmax(limits->scatter, nw_noise_reach(s->q, s->count, s->t)));
    return fmin(most, fmax(least, scatter));
}

static bool fit_stretch(stretch *s, const nw_trace_limits *limits, nw_path *path)
{
    stretch_pieces pieces = {0};
    for (size_t i = 0; i < s->count; i++)
        s->joints[i] = joint_smooth(s, 2 * i);
    double tolerance = s->most_move = tolerance_of(s, limits);
    for (size_t i = 0; i < s->count; i++)
        s->joints[i] = limit_move(s, s->joints[i], 2 * i);
    if (!path->count)
        path->start = end_at(s, 0, true).at;
    bool done = cover_evenly(s, tolerance, &pieces) && add_pieces(s, &pieces, path);
    free(pieces.items);
    return done;
}

/* Whether what goes on this way from one to the other goes forward. */
static bool goes_on(nw_point from, nw_point to, nw_point way)
{
    return nw_dot(nw_minus(to, from), way) > 0;
}

/* The run from one corner to the next, which may be the same one. A blunt corner may lie behind
 * the last places before it, or beyond the first ones after it: those go, or the outline would
 * fold. */
static void take_between(stretch *s, const nw_contour_ring *ring, double rounded,
                         const nw_ring_corner *from, const nw_ring_corner *to)
{
    size_t n = nw_breaks_apart(ring->count, &from->sides, &to->sides);
    s->count = 0;
    s->q[s->count++] = from->at;
    for (size_t k = 0; k < n; k++) {
        nw_point p = ring->points[(from->sides.after + k) % ring->count];
        bool begins = s->count > 1 || goes_on(from->at, p, from->out);
        if (begins && nw_distance(p, from->at) > rounded && nw_distance(p, to->at) > rounded)
            s->q[s->count++] = p;
    }
    while (s->count > 1 && !goes_on(s->q[s->count - 1], to->at, to->in))
        s->count--;
    s->q[s->count++] = to->at;
    s->ends = (nw_cubic_ends){.start = {true, from->at, from->out},
                              .end = {true, to->at, nw_back(to->in)}};
    s->closed = false;
}

/* The places that are farthest from the ring's middle, in a row from `first` to `end`, counted on
 * beyond the ring's end: of several such rows the highest. */
static void farthest(const nw_contour_ring *ring, double *far, size_t *first, size_t *end)
{
    size_t n = ring->count, at = 0;
    nw_point middle = {0, 0};
    double most = 0;
    for (size_t i = 0; i < n; i++)
        middle = nw_plus(middle, ring->points[i], 1.0 / (double)n);
    for (size_t i = 0; i < n; i++) {
        far[i] = nw_distance(ring->points[i], middle);
        most = fmax(most, far[i] - LEVEL_PX);
    }
    while (far[at] < most)
        at++;
    for (size_t i = at + 1; i < n; i++)
        if (far[i] >= most && ring->points[i].y > ring->points[at].y + LEVEL_PX)
            at = i;
    *first = *end = at + n;
    while (*first > at + 1 && far[(*first - 1) % n] >= most)
        --*first;
    while (*end + 1 < *first + n && far[(*end + 1) % n] >= most)
        ++*end;
}

/* From where it is farthest from its middle, halfway along if that is a row: a bend, where pieces
 * join well, and the same one however a picture is turned or mirrored. */
static void take_ring(stretch *s, const nw_contour_ring *ring)
{
    size_t n = ring->count, first = 0, end = 0;
    s->closed = true;
    if (begins_somewhere(s))
        farthest(ring, s->t, &first, &end);
    s->count = 0;
    if ((first + end) % 2)
        s->q[s->count++] =
            nw_middle(ring->points[(first + end) / 2 % n], ring->points[(first + end + 1) / 2 % n]);
    for (size_t i = 0; i < n; i++)
        s->q[s->count++] = ring->points[((first + end + 1) / 2 + i) % n];
    s->q[s->count++] = s->q[0];
}

static bool fit_ring(stretch *s, const nw_levels *of, const nw_contour_ring *ring,
                     const nw_trace_limits *limits, nw_path *path)
{
    nw_ring_corner *corners;
    size_t corner_count;
    if (!nw_corners_find(of, ring, &corners, &corner_count))
        return false;
    bool done = true;
    for (size_t k = 0; k < corner_count; k++)
        if (fabs(nw_angle(corners[k].in, corners[k].out)) > POINTED)
            s->far.tips = fmax(s->far.tips, corners[k].reach);
    if (!corner_count) {
        take_ring(s, ring);
        done = fit_stretch(s, limits, path);
    }
    for (size_t i = 0; done && i < corner_count; i++) {
        take_between(s, ring, nw_corner_rounded(of), &corners[i], &corners[(i + 1) % corner_count]);
        done = fit_stretch(s, limits, path);
    }
    free(corners);
    return done;
}

static const size_t LEAST_PLACES = 12; /* fewer are joined by straight lines */

static bool join_places(const nw_contour_ring *ring, nw_path *path)
{
    path->start = ring->points[0];
    for (size_t i = 1; i <= ring->count; i++)
        if (!nw_path_line(path, ring->points[i % ring->count]))
            return false;
    return true;
}

nw_status nw_contour_fit(const nw_levels *of, const nw_contour_ring *ring,
                         const nw_trace_limits *limits, nw_path *path, nw_trace_far *far,
                         nw_error *error)
{
    size_t room = ring->count + 2;
    stretch s = {.q = nw_alloc(room, sizeof *s.q),
                 .joints = nw_alloc(room, sizeof *s.joints),
                 .t = nw_alloc(room, sizeof *s.t),
                 .few = nw_alloc(FEW + 1, sizeof *s.few),
                 .clean = of->picture ? CLEAN_PX : CLEAN_STEPS_PX,
                 .sharp = nw_levels_sharp(of),
                 .steps = !of->picture};
    *path = (nw_path){.closed = true};
    bool done = s.q && s.joints && s.t && s.few &&
                (ring->count < LEAST_PLACES ? join_places(ring, path)
                                            : fit_ring(&s, of, ring, limits, path));
    *far = s.far;
    free(s.q);
    free(s.joints);
    free(s.t);
    free(s.few);
    if (!done) {
        nw_path_free(path);
        return nw_fail_memory(error, "the fitted outlines");
    }
    return NW_OK;
}
