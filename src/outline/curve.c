/*
 * curve: a closed ring of places -> a path of few lines and cubics within a tolerance of them.
 *
 * The ring is cut at its corners. Each run between is covered from its start by the longest line
 * or cubic that stays within the tolerance, found by doubling and then halving; cubics join without
 * a kink at places smoothed by a parabola. Then the tolerance is lowered as far as the number of
 * pieces stays the same, so that the last piece does not come out short and errors are even.
 */
#include "contour_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LOCAL 5 /* places on either side that smooth a joint */

/* A run of places: the first and the last are its ends, corners or joints. */
typedef struct {
    nw_point *q;
    size_t count;
    double *t; /* room for parameters */
    bezier_ends ends;
    bool closed; /* a whole ring without corners: the last place is the first */
} stretch;

typedef struct {
    size_t to; /* index of its last place */
    bool line;
    bezier curve;
} stretch_piece;

typedef struct {
    stretch_piece *items;
    size_t count, capacity;
} stretch_pieces;

static nw_point minus(nw_point p, nw_point q)
{
    return (nw_point){p.x - q.x, p.y - q.y};
}

static nw_point back(nw_point p)
{
    return (nw_point){-p.x, -p.y};
}

static double line_error(const nw_point *q, size_t n)
{
    nw_point along = minus(q[n - 1], q[0]);
    double length = hypot(along.x, along.y), most = 0;
    for (size_t i = 1; i + 1 < n; i++) {
        nw_point off = minus(q[i], q[0]);
        most = fmax(most, fabs(along.x * off.y - along.y * off.x));
    }
    return length > 0 ? most / length : INFINITY;
}

/* The smoothed place and direction at a joint within a run. */
static local_fit joint_at(const stretch *s, size_t i)
{
    nw_point window[2 * LOCAL + 1];
    size_t n = 0;
    for (long k = (long)i - LOCAL; k <= (long)i + LOCAL; k++) {
        long last = (long)s->count - 1;
        long at = s->closed ? (k + last) % last : k;
        if (at >= 0 && at <= last) {
            window[n++] = s->q[at];
        }
    }
    return local_fit_at(window, n, s->q[i]);
}

static bezier_end end_at(const stretch *s, size_t i, bool start)
{
    bool first = i == 0, last = i + 1 == s->count;
    if (first || last) {
        return first ? s->ends.start : s->ends.end;
    }
    nw_point direction = joint_at(s, i).direction;
    return (bezier_end){false, start ? direction : back(direction)};
}

/* Whether one piece can cover the places from i to j. */
static bool covers(const stretch *s, size_t i, size_t j, double tolerance, stretch_piece *piece)
{
    nw_point first = s->q[i], last = s->q[j];
    if (i > 0) {
        s->q[i] = joint_at(s, i).at;
    }
    nw_point from = s->q[i];
    nw_point to = j + 1 < s->count ? joint_at(s, j).at : last;
    bezier_ends ends = {end_at(s, i, true), end_at(s, j, false)};
    s->q[i] = from;
    s->q[j] = to;
    *piece = (stretch_piece){.to = j};
    bool whole = i == 0 && j + 1 == s->count && !s->closed;
    piece->line = (whole || j == i + 1) && line_error(s->q + i, j - i + 1) <= tolerance;
    bool covered = piece->line || bezier_fit(s->q + i, j - i + 1, &ends, tolerance, s->t,
                                             &piece->curve) <= tolerance;
    if (piece->line) {
        piece->curve = (bezier){from, from, to, to};
    }
    s->q[i] = first;
    s->q[j] = last;
    return covered;
}

/* The longest piece from i on. */
static stretch_piece longest(const stretch *s, size_t i, double tolerance)
{
    size_t last = s->count - 1, good = i + 1, bad = last + 1;
    stretch_piece best, piece;
    if (!covers(s, i, good, tolerance, &best)) {
        best = (stretch_piece){good, true, {s->q[i], s->q[i], s->q[good], s->q[good]}};
    }
    for (size_t step = 8; good < last; step *= 2) {
        size_t to = i + step < last ? i + step : last;
        if (!covers(s, i, to, tolerance, &piece)) {
            bad = to;
            break;
        }
        good = to;
        best = piece;
    }
    while (bad - good > 1) {
        size_t middle = good + (bad - good) / 2;
        if (covers(s, i, middle, tolerance, &piece)) {
            good = middle;
            best = piece;
        } else {
            bad = middle;
        }
    }
    return best;
}

static bool cover(const stretch *s, double tolerance, stretch_pieces *pieces)
{
    pieces->count = 0;
    for (size_t i = 0; i + 1 < s->count;) {
        stretch_piece piece = longest(s, i, tolerance);
        void *items = pieces->items;
        if (!nw_grow(&items, &pieces->capacity, pieces->count + 1, sizeof piece)) {
            return false;
        }
        pieces->items = items;
        pieces->items[pieces->count++] = piece;
        i = piece.to;
    }
    return true;
}

static const int BALANCING_ROUNDS = 5;

/* The smallest tolerance, nearly, that needs no more pieces. */
static bool cover_evenly(const stretch *s, double tolerance, stretch_pieces *pieces)
{
    if (!cover(s, tolerance, pieces)) {
        return false;
    }
    size_t count = pieces->count;
    double low = 0, high = tolerance, used = tolerance;
    for (int round = 0; round < BALANCING_ROUNDS; round++) {
        double middle = (low + high) / 2;
        if (!cover(s, middle, pieces)) {
            return false;
        }
        used = middle;
        if (pieces->count <= count) {
            high = middle;
        } else {
            low = middle;
        }
    }
    return used == high || cover(s, high, pieces);
}

static bool add_pieces(const stretch_pieces *pieces, nw_path *path)
{
    for (size_t i = 0; i < pieces->count; i++) {
        const stretch_piece *piece = &pieces->items[i];
        const bezier *c = &piece->curve;
        if (!(piece->line ? nw_path_line(path, c->p3) : nw_path_curve(path, c->p1, c->p2, c->p3))) {
            return false;
        }
    }
    return true;
}

static bool fit_stretch(stretch *s, double tolerance, nw_path *path)
{
    stretch_pieces pieces = {0};
    if (!path->count) {
        path->start = s->q[0];
    }
    bool done = cover_evenly(s, tolerance, &pieces) && add_pieces(&pieces, path);
    free(pieces.items);
    return done;
}

static const double ROUNDED_PX = 1.6; /* places this near to a corner are not on the outline */

/* The run from one corner to the next, which may be the same one. */
static void take_between(stretch *s, const nw_point *points, size_t count, const corner *from,
                         const corner *to)
{
    size_t n = (to->index + count - from->index) % count;
    n = n ? n : count;
    s->count = 0;
    s->q[s->count++] = from->at;
    for (size_t k = 1; k < n; k++) {
        nw_point p = points[(from->index + k) % count];
        if (hypot(p.x - from->at.x, p.y - from->at.y) > ROUNDED_PX &&
            hypot(p.x - to->at.x, p.y - to->at.y) > ROUNDED_PX) {
            s->q[s->count++] = p;
        }
    }
    s->q[s->count++] = to->at;
    s->ends = (bezier_ends){{true, from->out}, {true, back(to->in)}};
    s->closed = false;
}

static void take_ring(stretch *s, const nw_point *points, size_t count)
{
    memcpy(s->q, points, count * sizeof *points);
    s->q[count] = points[0];
    s->count = count + 1;
    s->closed = true;
    local_fit joint = joint_at(s, 0);
    s->q[0] = s->q[count] = joint.at;
    s->ends = (bezier_ends){{false, joint.direction}, {false, back(joint.direction)}};
}

static bool fit_ring(stretch *s, const nw_point *points, size_t count, double tolerance,
                     nw_path *path)
{
    corner *corners;
    size_t corner_count;
    if (!corners_find(points, count, &corners, &corner_count)) {
        return false;
    }
    bool done = true;
    if (!corner_count) {
        take_ring(s, points, count);
        done = fit_stretch(s, tolerance, path);
    }
    for (size_t i = 0; done && i < corner_count; i++) {
        take_between(s, points, count, &corners[i], &corners[(i + 1) % corner_count]);
        done = fit_stretch(s, tolerance, path);
    }
    free(corners);
    return done;
}

static const size_t LEAST_PLACES = 12; /* fewer are joined by straight lines */

static bool join_places(const nw_point *points, size_t count, nw_path *path)
{
    path->start = points[0];
    for (size_t i = 1; i <= count; i++) {
        if (!nw_path_line(path, points[i % count])) {
            return false;
        }
    }
    return true;
}

nw_status contour_fit(const nw_point *points, size_t count, double tolerance, nw_path *path,
                      nw_error *error)
{
    *path = (nw_path){.closed = true};
    stretch s = {.q = nw_alloc(count + 2, sizeof *s.q), .t = nw_alloc(count + 2, sizeof *s.t)};
    bool done = s.q && s.t;
    if (done) {
        done = count < LEAST_PLACES ? join_places(points, count, path)
                                    : fit_ring(&s, points, count, tolerance, path);
    }
    free(s.q);
    free(s.t);
    if (!done) {
        nw_path_free(path);
        return nw_fail_memory(error, "the fitted outlines");
    }
    return NW_OK;
}
