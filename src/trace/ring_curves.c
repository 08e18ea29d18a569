/*
 * ring_curves: a closed ring of places -> a path of few lines and cubics within a tolerance of
 * them.
 *
 * The ring is cut at its corners. Each run between is covered from its start by the longest line
 * or cubic that stays within the tolerance, found by doubling and then halving, and from its end
 * too; pieces join halfway between where the one and the other have them, so that none comes out
 * short, errors are even, and mirror images have mirrored pieces. Cubics join without a kink at
 * places smoothed by a parabola.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CLEAN_PX 0.1       /* tolerance where the grey levels are exact */
#define CLEAN_STEPS_PX 0.2 /* tolerance where there are none */
#define SCATTERED_PX 0.35  /* beyond this the user wants it simpler than the picture */
#define LEVEL_PX 1e-6      /* places that differ by less are as high */
#define LOCAL 5            /* places on either side that smooth a joint */

/* A run of places: the first and the last are its ends, corners or joints. */
typedef struct {
    nw_point *q;
    nw_local_fit *joints; /* every place smoothed, with the direction there */
    size_t count;
    double *t;     /* room for parameters */
    nw_point *few; /* room for some of the places */
    nw_cubic_ends ends;
    double clean; /* tolerance where places do not scatter */
    nw_trace_far far;
    bool closed; /* a whole ring without corners: the last place is the first */
    bool steps;  /* there are no grey levels */
} stretch;

typedef struct {
    size_t to; /* index of its last place */
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

/* Every place of the run smoothed by a parabola through its neighbours. */
static void smooth_places(stretch *s)
{
    long last = (long)s->count - 1;
    for (long i = 0; i <= last; i++) {
        nw_point window[2 * LOCAL + 1];
        size_t n = 0;
        for (long k = i - LOCAL; k <= i + LOCAL; k++) {
            long at = s->closed ? (k + last) % last : k;
            if (at >= 0 && at <= last)
                window[n++] = s->q[at];
        }
        s->joints[i] = nw_local_fit_at(window, n, s->q[i]);
    }
}

static nw_cubic_end end_at(const stretch *s, size_t i, bool start)
{
    if (!s->closed && (i == 0 || i + 1 == s->count))
        return i == 0 ? s->ends.start : s->ends.end;
    const nw_local_fit *joint = &s->joints[i];
    return (nw_cubic_end){false, joint->at, start ? joint->direction : nw_back(joint->direction)};
}

#define POINTED 1.75 /* rad that a tip's sides turn by: its own angle is under 80 degrees */
#define FEW 40       /* places that stand for a longer run while pieces are sought */

/* The piece from place i to place j, judged by all places or by a few of them. */
static stretch_piece piece_between(const search *by, size_t i, size_t j, bool all)
{
    const stretch *s = by->s;
    size_t span = j - i, n = all || span < FEW ? span + 1 : FEW + 1;
    const nw_point *q = s->q + i;
    if (n <= span) {
        for (size_t k = 0; k < n; k++)
            s->few[k] = s->q[by->back ? j - (FEW - k) * span / FEW : i + k * span / FEW];
        q = s->few;
    }
    nw_cubic_ends ends = {.start = end_at(s, i, true), .end = end_at(s, j, false)};
    stretch_piece piece = {.to = j};
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
    bool good = piece_between(by, from, from + span, all).error <= by->tolerance;
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
        joints[count] = by->back ? last - at : at;
        at += longest(by, joints[count]);
    }
    joints[count] = by->back ? 0 : last;
    for (size_t k = 0; by->back && k < (count + 1) / 2; k++) {
        size_t keep = joints[k];
        joints[k] = joints[count - k];
        joints[count - k] = keep;
    }
    return count;
}

/* Halfway; of two places that are, the one that lies better among its neighbours. */
static size_t halfway(const stretch *s, size_t a, size_t b)
{
    size_t low = (a + b) / 2;
    return low + ((a + b) % 2 && s->joints[low + 1].residual < s->joints[low].residual);
}

/* A ring without grey levels does not: its highest place is a row of pixels. */
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
            joints[2][k] = halfway(s, joints[0][k], joints[1][k]);
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
        stretch_piece best = piece_between(&by, 0, s->count - 1, true);
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
        used = middle;
        if (pieces->count <= count)
            high = middle;
        else
            low = middle;
    }
    return used == high || cover(s, high, pieces);
}

static bool add_pieces(stretch *s, const stretch_pieces *pieces, nw_path *path)
{
    for (size_t i = 0; i < pieces->count; i++) {
        const stretch_piece *piece = &pieces->items[i];
        const nw_cubic *c = &piece->curve;
        nw_point q = s->q[piece->to], at = c->p3;
        s->far.places = fmax(s->far.places, fmax(piece->error, nw_distance(at, q)));
        if (!(piece->line ? nw_path_line(path, c->p3) : nw_path_curve(path, c->p1, c->p2, c->p3)))
            return false;
    }
    return true;
}

/* Where places scatter, following each of them would only copy noise: twice their scatter, the
 * median of how far they lie from the parabola through their neighbours, but at most as the limits
 * have it. */
static double tolerance_of(const stretch *s, const nw_trace_limits *limits)
{
    double asked = limits->tolerance, most = fmax(asked, limits->scatter);
    for (size_t i = 0; i < s->count; i++)
        s->t[i] = s->joints[i].residual;
    double least = asked > SCATTERED_PX ? asked : s->clean;
    return fmin(most, fmax(least, 2 * nw_middle_number(s->t, s->count)));
}

/* Smoothing may move a place by the tolerance and no further. */
static void limit_moves(stretch *s, double tolerance)
{
    for (size_t i = 0; i < s->count; i++) {
        nw_point q = s->q[i], *at = &s->joints[i].at;
        double moved = nw_distance(*at, q);
        if (moved > tolerance)
            *at = nw_between(q, *at, tolerance / moved);
    }
}

static bool fit_stretch(stretch *s, const nw_trace_limits *limits, nw_path *path)
{
    stretch_pieces pieces = {0};
    smooth_places(s);
    double tolerance = tolerance_of(s, limits);
    limit_moves(s, tolerance);
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
    size_t count = ring->count, n = (to->index + count - from->index) % count;
    n = n ? n : count;
    s->count = 0;
    s->q[s->count++] = from->at;
    for (size_t k = 1; k < n; k++) {
        nw_point p = ring->points[(from->index + k) % count];
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

/* From the middle of its highest stretch on, which a mirror image has too. */
static void take_ring(stretch *s, const nw_contour_ring *ring)
{
    size_t n = ring->count, top = 0, first, end;
    for (size_t i = 1; i < n; i++)
        top = ring->points[i].y > ring->points[top].y ? i : top;
    double low = ring->points[top].y - LEVEL_PX;
    for (first = top + n; first > top + 1 && ring->points[(first - 1) % n].y > low;)
        first--;
    for (end = first; end + 1 < first + n && ring->points[(end + 1) % n].y > low;)
        end++;
    for (size_t i = 0; i <= n; i++)
        s->q[i] = ring->points[((s->steps ? 0 : (first + end) / 2) + i) % n];
    s->count = ring->count + 1;
    s->closed = true;
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
                 .steps = !of->picture};
    bool done = s.q && s.joints && s.t && s.few;
    *path = (nw_path){.closed = true};
    if (done) {
        done = ring->count < LEAST_PLACES ? join_places(ring, path)
                                          : fit_ring(&s, of, ring, limits, path);
    }
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
