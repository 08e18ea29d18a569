/*
 * corner: closed rings of places -> the places where the outline's direction jumps.
 *
 * Pixels round every corner off, within about a pixel and a half. So a corner is judged by what
 * lies further off: a parabola is fitted to each side, and both are carried on to where they meet.
 * It is a corner when they meet at an angle, close to the places in between. On a smooth bend the
 * parabolas bend as well and meet without an angle, or far outside.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>

#define PI 3.141592653589793
#define SIDE 8              /* places looked at on either side */
#define TURN_CANDIDATE 0.35 /* rad, between chords on either side */
#define TURN_CORNER 0.35    /* rad, between the sides where they meet */
#define LEAST_TIP 0.05      /* rad, half the angle of a tip */
#define PIXEL_RADIUS 0.8    /* px: a pixel's, and a little for its place */
#define MOST_TIP 2.5        /* px, without grey levels: further on, pixels tell nothing */
#define BEND_LENGTH 3.5     /* px: turning that bent sides would do over this is no corner's */

static nw_point minus(nw_point p, nw_point q)
{
    return (nw_point){p.x - q.x, p.y - q.y};
}

static double dot(nw_point p, nw_point q)
{
    return p.x * q.x + p.y * q.y;
}

static double cross(nw_point p, nw_point q)
{
    return p.x * q.y - p.y * q.x;
}

static double angle_between(nw_point p, nw_point q)
{
    return atan2(cross(p, q), dot(p, q));
}

/* Coefficients of y = c[0] + c[1] x + c[2] x², by least squares; a line when there are few. */
static void parabola(const double *x, const double *y, size_t n, double c[3])
{
    double s[5] = {0}, r[3] = {0};
    for (size_t i = 0; i < n; i++) {
        double power = 1;
        for (int k = 0; k < 5; k++, power *= x[i]) {
            s[k] += power;
            if (k < 3) {
                r[k] += power * y[i];
            }
        }
    }
    double d = s[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (s[1] * s[4] - s[2] * s[3]) +
               s[2] * (s[1] * s[3] - s[2] * s[2]);
    if (n < 5 || fabs(d) < 1e-9) {
        double e = s[0] * s[2] - s[1] * s[1];
        c[1] = e > 1e-12 ? (s[0] * r[1] - s[1] * r[0]) / e : 0;
        c[0] = (r[0] - c[1] * s[1]) / s[0];
        c[2] = 0;
        return;
    }
    c[0] = (r[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (r[1] * s[4] - s[3] * r[2]) +
            s[2] * (r[1] * s[3] - s[2] * r[2])) /
           d;
    c[1] = (s[0] * (r[1] * s[4] - r[2] * s[3]) - r[0] * (s[1] * s[4] - s[2] * s[3]) +
            s[2] * (s[1] * r[2] - s[2] * r[1])) /
           d;
    c[2] = (s[0] * (s[2] * r[2] - s[3] * r[1]) - s[1] * (s[1] * r[2] - s[2] * r[1]) +
            r[0] * (s[1] * s[3] - s[2] * s[2])) /
           d;
}

#define MOST_LOCAL 24

local_fit nw_local_fit_at(const nw_point *q, size_t n, nw_point at)
{
    n = n < MOST_LOCAL ? n : MOST_LOCAL;
    nw_point o = q[n / 2], along = minus(q[n - 1], q[0]);
    double length = hypot(along.x, along.y), x[MOST_LOCAL], y[MOST_LOCAL], c[3];
    along = length > 0 ? (nw_point){along.x / length, along.y / length} : (nw_point){1, 0};
    for (size_t i = 0; i < n; i++) {
        x[i] = dot(minus(q[i], o), along);
        y[i] = cross(along, minus(q[i], o));
    }
    parabola(x, y, n, c);
    double here = dot(minus(at, o), along), slope = c[1] + 2 * c[2] * here;
    double height = c[0] + here * (c[1] + here * c[2]), unit = 1 / hypot(1, slope);
    local_fit fit = {
        .at = {o.x + here * along.x - height * along.y, o.y + here * along.y + height * along.x},
        .direction = {(along.x - slope * along.y) * unit, (along.y + slope * along.x) * unit},
        .bend = 2 * c[2] * unit * unit * unit};
    for (size_t i = 0; i < n; i++) {
        fit.residual = fmax(fit.residual, fabs(y[i] - c[0] - x[i] * (c[1] + x[i] * c[2])));
    }
    return fit;
}

static nw_point ring_point(const nw_point *points, size_t count, long i)
{
    long n = (long)count;
    return points[((i % n) + n) % n];
}

/* How much the direction turns across place i. */
static double turn_at(const nw_point *points, size_t count, long i)
{
    nw_point before = minus(ring_point(points, count, i - 1), ring_point(points, count, i - 5));
    nw_point after = minus(ring_point(points, count, i + 5), ring_point(points, count, i + 1));
    return fabs(angle_between(before, after));
}

static bool is_peak(const double *turns, size_t count, size_t i)
{
    for (size_t k = 1; k <= 4; k++) {
        if (turns[(i + k) % count] > turns[i] || turns[(i + count - k) % count] >= turns[i]) {
            return false;
        }
    }
    return turns[i] > TURN_CANDIDATE;
}

/* Up to SIDE places on one side of the corner, in the ring's order, from the first that is out of
 * its reach, and no further than `room` places from its index. */
static size_t side_of(const contour_ring *ring, const corner *c, double rounded, long step,
                      long room, nw_point out[SIDE])
{
    nw_point found[SIDE];
    size_t n = 0;
    for (long k = 1; k <= room && n < SIDE; k++) {
        nw_point p = ring_point(ring->points, ring->count, (long)c->index + step * k);
        if (hypot(p.x - c->at.x, p.y - c->at.y) > rounded) {
            found[n++] = p;
        }
    }
    for (size_t i = 0; i < n; i++) {
        out[i] = found[step > 0 ? i : n - 1 - i];
    }
    return n;
}

/* Carries both sides on to where they meet. */
static bool meet(const nw_point *before, size_t n, const nw_point *after, size_t m, corner *c)
{
    for (int round = 0; round < 3; round++) {
        local_fit p = nw_local_fit_at(before, n, c->at), q = nw_local_fit_at(after, m, c->at);
        double turn = cross(p.direction, q.direction);
        c->bend = fmax(0, (p.bend + q.bend) / 2 * (turn > 0 ? 1 : -1));
        c->in = p.direction;
        c->out = q.direction;
        if (fabs(turn) < 0.1) {
            return false;
        }
        double along = cross(minus(q.at, p.at), q.direction) / turn;
        c->at = (nw_point){p.at.x + along * p.direction.x, p.at.y + along * p.direction.y};
    }
    return isfinite(c->at.x) && isfinite(c->at.y);
}

static nw_point nearest_place(const nw_point *points, size_t count, const corner *c)
{
    nw_point nearest = points[c->index];
    for (long k = -3; k <= 3; k++) {
        nw_point p = ring_point(points, count, (long)c->index + k);
        if (hypot(p.x - c->at.x, p.y - c->at.y) < hypot(nearest.x - c->at.x, nearest.y - c->at.y)) {
            nearest = p;
        }
    }
    return nearest;
}

/* Whether any of the four pixels round p is neither full nor empty, as the tip's side demands. */
static bool has_trace(const levels *of, nw_point p, bool notch)
{
    long x = (long)floor(p.x - 0.5), y = (long)floor(p.y - 0.5);
    for (long k = 0; k < 4; k++) {
        int value = nw_density_at(of, x + k % 2, y + k / 2);
        if (notch ? value < 255 : value > 0) {
            return true;
        }
    }
    return false;
}

/* A tip carried on beyond the boundary must have left some ink on its way, a notch some paper. */
static bool left_traces(const levels *of, nw_point from, nw_point tip, bool notch)
{
    nw_point middle = {(from.x + tip.x) / 2, (from.y + tip.y) / 2};
    return hypot(tip.x - from.x, tip.y - from.y) < 1 || has_trace(of, middle, notch);
}

/* Without grey levels, the pixel that lies in the tip where this is wide enough for a whole one
 * must be ink, and in a notch paper. */
static bool is_filled(const levels *of, const corner *c, double turn)
{
    double half = fmax(LEAST_TIP, (PI - fabs(turn)) / 2), back = PIXEL_RADIUS / sin(half);
    nw_point axis = minus(c->out, c->in);
    double length = hypot(axis.x, axis.y);
    long x = (long)floor(c->at.x + axis.x * back / length);
    long y = (long)floor(c->at.y + axis.y * back / length);
    return (nw_density_at(of, x, y) > 127) == (turn > 0);
}

/* How far a tip may lie from the place nearest to it: acute ones are lost in pixels, more so
 * without grey levels. */
static double tip_limit(const levels *of, double size)
{
    double sharpness = tan(fmin(size, 2.9) / 2);
    return of->picture ? 0.5 + 0.7 * sharpness : fmin(1 + sharpness, MOST_TIP);
}

static bool is_corner(const levels *of, const contour_ring *ring, size_t index, long before_room,
                      long after_room, corner *c)
{
    double rounded = corner_rounded(of);
    nw_point before[SIDE], after[SIDE];
    size_t n = 0, m = 0;
    *c = (corner){.index = index, .at = ring->points[index]};
    for (int round = 0; round < 2; round++) {
        n = side_of(ring, c, rounded, -1, before_room, before);
        m = side_of(ring, c, rounded, 1, after_room, after);
        if (n < 2 || m < 2 || !meet(before, n, after, m, c)) {
            return false;
        }
    }
    if (dot(minus(c->at, before[n - 1]), c->in) < 0 || dot(minus(after[0], c->at), c->out) < 0) {
        return false; /* beyond the places where the sides begin */
    }
    double turn = angle_between(c->in, c->out), size = fabs(turn);
    nw_point nearest = nearest_place(ring->points, ring->count, c);
    c->reach = hypot(nearest.x - c->at.x, nearest.y - c->at.y);
    bool real = of->picture ? left_traces(of, nearest, c->at, turn < 0) : is_filled(of, c, turn);
    return real && size > TURN_CORNER + c->bend * BEND_LENGTH && c->reach < tip_limit(of, size);
}

/* The places where a corner may be. */
static size_t peaks_find(const contour_ring *ring, double *turns, size_t *peaks)
{
    size_t found = 0;
    for (size_t i = 0; i < ring->count && !ring->corners; i++) {
        turns[i] = turn_at(ring->points, ring->count, (long)i);
    }
    for (size_t i = 0; i < ring->count; i++) {
        if (ring->corners ? ring->corners[i] : is_peak(turns, ring->count, i)) {
            peaks[found++] = i;
        }
    }
    return found;
}

bool nw_corners_find(const levels *of, const contour_ring *ring, corner **corners,
                     size_t *corner_count)
{
    size_t count = ring->count;
    double *turns = nw_alloc(count, sizeof *turns);
    size_t *peaks = nw_alloc(count, sizeof *peaks), peak_count = 0;
    *corners = NULL;
    *corner_count = 0;
    if (turns && peaks) {
        peak_count = peaks_find(ring, turns, peaks);
        *corners = nw_alloc(peak_count, sizeof **corners);
    }
    for (size_t i = 0; *corners && i < peak_count; i++) {
        size_t last = peaks[(i + peak_count - 1) % peak_count], next = peaks[(i + 1) % peak_count];
        long before = (long)((peaks[i] + count - last) % count),
             after = (long)((next + count - peaks[i]) % count);
        before = before ? before : (long)count;
        after = after ? after : (long)count;
        *corner_count +=
            is_corner(of, ring, peaks[i], before - 1, after - 1, &(*corners)[*corner_count]);
    }
    free(turns);
    free(peaks);
    return *corners != NULL;
}
