/*
 * ring_curves: a closed ring of places -> a path of few lines and cubics within a tolerance of
 * them.
 *
 * The ring is cut at its corners. Each run between is covered from its start by the longest line
 * or cubic that stays within the tolerance, found by doubling and then halving; cubics join without
 * a kink at places smoothed by a parabola. Then the tolerance is lowered as far as the number of
 * pieces stays the same, so that the last piece does not come out short and errors are even.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CLEAN_PX 0.1       /* tolerance where the grey levels are exact */
#define CLEAN_STEPS_PX 0.2 /* tolerance where there are none */
#define SCATTERED_PX 0.35  /* beyond this the user wants it simpler than the picture */
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
} stretch;

typedef struct {
    size_t to; /* index of its last place */
    bool line;
    double error; /* largest distance of the places looked at */
    nw_cubic curve;
} stretch_piece;

typedef struct {
    stretch_piece *items;
    size_t count, capacity;
} stretch_pieces;

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

#define FEW 40 /* places that stand for a longer run while pieces are sought */

/* The piece from place i to place j, judged by all places or by a few of them. */
static stretch_piece piece_between(const stretch *s, size_t i, size_t j, double tolerance, bool all)
{
    size_t span = j - i, n = all || span < FEW ? span + 1 : FEW + 1;
    const nw_point *q = s->q + i;
    if (n <= span) {
        for (size_t k = 0; k < n; k++)
            s->few[k] = s->q[i + k * span / FEW];
        q = s->few;
    }
    nw_cubic_ends ends = {.start = end_at(s, i, true), .end = end_at(s, j, false)};
    stretch_piece piece = {.to = j};
    bool whole = i == 0 && j + 1 == s->count && !s->closed;
    piece.line = span == 1 || (whole && line_error(q, n) <= tolerance);
    if (piece.line) {
        piece.error = span > 1 ? line_error(q, n) : 0;
        piece.curve = (nw_cubic){ends.start.at, ends.start.at, ends.end.at, ends.end.at};
    } else {
        piece.error = nw_cubic_fit(q, n, &ends, tolerance, s->t, &piece.curve);
    }
    return piece;
}

/* Takes the piece up to j if it is good enough. */
static bool reaches(const stretch *s, size_t i, size_t j, double tolerance, bool all,
                    stretch_piece *best)
{
    stretch_piece piece = piece_between(s, i, j, tolerance, all);
    if (piece.error > tolerance)
        return false;
    *best = piece;
    return true;
}

/* The longest piece from i on: by doubling, then halving, over a few places; then over all. */
static stretch_piece longest(const stretch *s, size_t i, double tolerance)
{
    size_t last = s->count - 1, good = i + 1, bad = last + 1;
    stretch_piece best = piece_between(s, i, good, tolerance, true);
    for (size_t step = 8; good < last && bad > last; step *= 2) {
        size_t to = i + step < last ? i + step : last;
        if (reaches(s, i, to, tolerance, false, &best))
            good = to;
        else
            bad = to;
    }
    while (bad - good > 1 + (good - i) / 32) {
        size_t middle = good + (bad - good) / 2;
        if (reaches(s, i, middle, tolerance, false, &best))
            good = middle;
        else
            bad = middle;
    }
    if (best.to == good && good - i <= FEW)
        return best; /* all its places were looked at */
    while (good > i + 1 && !reaches(s, i, good, tolerance, true, &best))
        good -= 1 + (good - i - 1) / 8;
    return best.to == good ? best : piece_between(s, i, good, tolerance, true);
}

static bool cover(const stretch *s, double tolerance, stretch_pieces *pieces)
{
    pieces->count = 0;
    for (size_t i = 0; i + 1 < s->count;) {
        stretch_piece piece = longest(s, i, tolerance);
        if (!nw_push(&pieces->items, &pieces->count, &pieces->capacity, &piece, sizeof piece))
            return false;
        i = piece.to;
    }
    return true;
}

static const int BALANCING_ROUNDS = 3;
static const size_t MANY_PIECES = 12; /* a short last one among more does not matter */

/* The smallest tolerance, nearly, that needs no more pieces. */
static bool cover_evenly(const stretch *s, double tolerance, stretch_pieces *pieces)
{
    if (!cover(s, tolerance, pieces))
        return false;
    size_t count = pieces->count;
    if (count > MANY_PIECES)
        return true;
    if (count == 1) {
        /* Alone it may become as good as it can. */
        stretch_piece best = piece_between(s, 0, s->count - 1, 0, true);
        pieces->items[0] = best.error < pieces->items[0].error ? best : pieces->items[0];
        return true;
    }
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
 * median of how far they lie from the parabola through their neighbours, but at most `most`. */
static double tolerance_of(const stretch *s, double most)
{
    for (size_t i = 0; i < s->count; i++)
        s->t[i] = s->joints[i].residual;
    nw_sort(s->t, s->count, sizeof *s->t, nw_by_number);
    double least = most > SCATTERED_PX ? most : s->clean;
    return fmin(most, fmax(least, 2 * s->t[s->count / 2]));
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

static bool fit_stretch(stretch *s, double tolerance, nw_path *path)
{
    stretch_pieces pieces = {0};
    smooth_places(s);
    tolerance = tolerance_of(s, tolerance);
    limit_moves(s, tolerance);
    if (!path->count)
        path->start = end_at(s, 0, true).at;
    bool done = cover_evenly(s, tolerance, &pieces) && add_pieces(s, &pieces, path);
    free(pieces.items);
    return done;
}

/* The run from one corner to the next, which may be the same one. */
static void take_between(stretch *s, const nw_contour_ring *ring, double rounded,
                         const nw_ring_corner *from, const nw_ring_corner *to)
{
    size_t count = ring->count, n = (to->index + count - from->index) % count;
    n = n ? n : count;
    s->count = 0;
    s->q[s->count++] = from->at;
    for (size_t k = 1; k < n; k++) {
        nw_point p = ring->points[(from->index + k) % count];
        if (nw_distance(p, from->at) > rounded && nw_distance(p, to->at) > rounded)
            s->q[s->count++] = p;
    }
    s->q[s->count++] = to->at;
    s->ends = (nw_cubic_ends){.start = {true, from->at, from->out},
                              .end = {true, to->at, nw_back(to->in)}};
    s->closed = false;
}

static void take_ring(stretch *s, const nw_contour_ring *ring)
{
    memcpy(s->q, ring->points, ring->count * sizeof *s->q);
    s->q[ring->count] = ring->points[0];
    s->count = ring->count + 1;
    s->closed = true;
}

static bool fit_ring(stretch *s, const nw_levels *of, const nw_contour_ring *ring, double tolerance,
                     nw_path *path)
{
    nw_ring_corner *corners;
    size_t corner_count;
    if (!nw_corners_find(of, ring, &corners, &corner_count))
        return false;
    bool done = true;
    for (size_t k = 0; k < corner_count; k++)
        s->far.tips = fmax(s->far.tips, corners[k].reach);
    if (!corner_count) {
        take_ring(s, ring);
        done = fit_stretch(s, tolerance, path);
    }
    for (size_t i = 0; done && i < corner_count; i++) {
        take_between(s, ring, nw_corner_rounded(of), &corners[i], &corners[(i + 1) % corner_count]);
        done = fit_stretch(s, tolerance, path);
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

nw_status nw_contour_fit(const nw_levels *of, const nw_contour_ring *ring, double tolerance,
                         nw_path *path, nw_trace_far *far, nw_error *error)
{
    size_t room = ring->count + 2;
    stretch s = {.q = nw_alloc(room, sizeof *s.q),
                 .joints = nw_alloc(room, sizeof *s.joints),
                 .t = nw_alloc(room, sizeof *s.t),
                 .few = nw_alloc(FEW + 1, sizeof *s.few),
                 .clean = of->picture ? CLEAN_PX : CLEAN_STEPS_PX};
    bool done = s.q && s.joints && s.t && s.few;
    *path = (nw_path){.closed = true};
    if (done) {
        done = ring->count < LEAST_PLACES ? join_places(ring, path)
                                          : fit_ring(&s, of, ring, tolerance, path);
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
