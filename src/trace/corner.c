/*
 * corner: closed rings of places -> the places where the outline's direction jumps, where it goes
 * on for some way before and after.
 *
 * Pixels round every corner off, within about a pixel and a half. So a corner is judged by what
 * lies further off: a parabola is fitted to each side, and both are carried on to where they meet.
 * It is a corner when they meet at an angle, close to the places in between. On a smooth bend the
 * parabolas bend as well and meet without an angle, or far outside. Where
 * edges are sharp the picture has to bear it out: a corner that is none would cover more.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>

#define PEAK_REACH 4        /* places within which a candidate turns most */
#define TURN_SAME 1e-9      /* rad */
#define SAME_PX 1e-9        /* two places are as near */
#define TURN_CANDIDATE 0.35 /* rad, between chords on either side */
#define TURN_CORNER 0.35    /* rad, between the sides where they meet */
#define LEAST_TIP 0.05      /* rad, half the angle of a tip */
#define PIXEL_RADIUS 0.8    /* px: a pixel's, and a little for its place */
#define MOST_TIP 2.5        /* px, without grey levels: further on, pixels tell nothing */
#define TIP_SHARE 0.5       /* of the shorter side, with grey levels: so far that carries a tip */
#define BEND_LENGTH 3.5     /* px: turning that bent sides would do over this is no corner's */
#define FADING 0.25 /* of a tip's limit, before it: over this a soft edge's comes to nothing */
#define LACKS_MOST                                                                                 \
    0.14              /* of a wedge's ink: if the picture has so much less, it is round there,     \
                       */
#define OFF_SURE 0.08 /* or blunt, where pixels are off by so much; those of needles are not */
#define SURE_TURN 0.7 /* rad more than a corner's least: where edges are soft none is surer */

/* The parabola through the places, by least squares; a line when there are few. */
static void parabola(const double *x, const double *y, size_t n, double c[3])
{
    nw_parabola_sum sum = {0};
    for (size_t i = 0; i < n; i++)
        nw_parabola_add(&sum, x[i], y[i]);
    if (n >= 5 && nw_parabola_fit(&sum, 1e-9, c))
        return;
    double e = sum.x[0] * sum.x[2] - sum.x[1] * sum.x[1];
    c[1] = e > 1e-12 ? (sum.x[0] * sum.y[1] - sum.x[1] * sum.y[0]) / e : 0;
    c[0] = (sum.y[0] - c[1] * sum.x[1]) / sum.x[0];
    c[2] = 0;
}

#define MOST_LOCAL 24

nw_local_fit nw_local_fit_at(const nw_point *q, size_t n, nw_point at)
{
    n = n < MOST_LOCAL ? n : MOST_LOCAL;
    nw_point o = q[n / 2], along = nw_unit(q[0], q[n - 1]);
    double x[MOST_LOCAL], y[MOST_LOCAL], c[3];
    along.x += along.x == 0 && along.y == 0;
    for (size_t i = 0; i < n; i++) {
        x[i] = nw_dot(nw_minus(q[i], o), along);
        y[i] = nw_cross(along, nw_minus(q[i], o));
    }
    parabola(x, y, n, c);
    double here = nw_dot(nw_minus(at, o), along), slope = c[1] + 2 * c[2] * here;
    double height = c[0] + here * (c[1] + here * c[2]), unit = 1 / sqrt(1 + slope * slope);
    nw_local_fit fit = {.at = nw_plus(nw_plus(o, along, here), nw_left(along), height),
                        .direction = nw_times(nw_plus(along, nw_left(along), slope), unit),
                        .bend = 2 * c[2] * unit * unit * unit};
    for (size_t i = 0; i < n; i++)
        fit.residual = fmax(fit.residual, fabs(y[i] - c[0] - x[i] * (c[1] + x[i] * c[2])));
    return fit;
}

/* How much the direction turns across place i. */
static double turn_at(const nw_contour_ring *ring, long i)
{
    nw_point before = nw_minus(nw_ring_place(ring, i - 1), nw_ring_place(ring, i - 5));
    nw_point after = nw_minus(nw_ring_place(ring, i + 5), nw_ring_place(ring, i + 1));
    return fabs(nw_angle(before, after));
}

/* The break at the peak that begins at place i: of places that turn as much the first, and none
 * near the last of them turns more. */
static bool peak_begins(const double *turns, size_t count, size_t i, nw_ring_break *peak)
{
    double most = turns[i] + TURN_SAME;
    size_t last = i;
    for (size_t k = 1; k <= PEAK_REACH; k++)
        if (turns[(i + count - k) % count] >= turns[i] - TURN_SAME)
            return false;
    for (size_t k = 1; k <= PEAK_REACH && last < i + count; k++) {
        double turn = turns[(last + k) % count];
        if (turn > most)
            return false;
        if (turn >= turns[i] - TURN_SAME) {
            last += k;
            k = 0;
        }
    }
    *peak = nw_break_at(count, i, last);
    return turns[i] > TURN_CANDIDATE;
}

/* Up to NW_CORNER_SIDE places on one side of the corner, in the ring's order, from the first that
 * is out of its reach, and no further than `room` places from it. */
static size_t side_of(const nw_contour_ring *ring, const nw_ring_corner *c, double rounded,
                      bool before, size_t room, nw_point out[NW_CORNER_SIDE])
{
    nw_point found[NW_CORNER_SIDE];
    size_t n = 0;
    for (long k = 0; k < (long)room && n < NW_CORNER_SIDE; k++) {
        long i = before ? (long)c->sides.before - k : (long)c->sides.after + k;
        nw_point p = nw_ring_place(ring, i);
        if (nw_distance(p, c->at) > rounded)
            found[n++] = p;
    }
    nw_side_order(found, n, before, out);
    return n;
}

bool nw_sides_meet(const nw_point *before, size_t n, const nw_point *after, size_t m,
                   nw_ring_corner *c)
{
    for (int round = 0; round < 3; round++) {
        nw_local_fit p = nw_local_fit_at(before, n, c->at), q = nw_local_fit_at(after, m, c->at);
        double turn = nw_cross(p.direction, q.direction);
        c->bend = fmax(0, (p.bend + q.bend) / 2 * (turn > 0 ? 1 : -1));
        c->in = p.direction;
        c->out = q.direction;
        if (fabs(turn) < 0.1)
            return false;
        c->at = nw_plus(p.at, p.direction, nw_met_after(p.at, p.direction, q.at, q.direction));
    }
    return isfinite(c->at.x) && isfinite(c->at.y);
}

nw_point nw_place_nearest(const nw_contour_ring *ring, const nw_ring_corner *c)
{
    nw_point nearest = {0, 0}, other = {0, 0};
    double least = INFINITY;
    long first = (long)c->sides.before - 2, last = (long)c->sides.after + 2;
    last += last < first ? (long)ring->count : 0;
    for (long k = first; k <= last; k++) {
        nw_point p = nw_ring_place(ring, k);
        double far = nw_distance(p, c->at);
        other = far < least - SAME_PX ? p : far < least + SAME_PX ? p : other;
        nearest = far < least - SAME_PX ? p : nearest;
        least = fmin(least, far);
    }
    return nw_middle(nearest, other);
}

/* Whether any of the four pixels round p is neither full nor empty, as the tip's side demands. */
static bool has_trace(const nw_levels *of, nw_point p, bool notch)
{
    long x = (long)floor(p.x - 0.5), y = (long)floor(p.y - 0.5);
    for (long k = 0; k < 4; k++) {
        int value = nw_density_at(of, x + k % 2, y + k / 2);
        if (notch ? value < 255 : value > 0)
            return true;
    }
    return false;
}

/* A tip carried on beyond the boundary must have left some ink on its way, a notch some paper. */
static bool left_traces(const nw_levels *of, nw_point from, nw_point tip, bool notch)
{
    return nw_distance(tip, from) < 1 || has_trace(of, nw_middle(from, tip), notch);
}

/* Without grey levels, the pixel that lies in the tip where this is wide enough for a whole one
 * must be ink, and in a notch paper. */
static bool is_filled(const nw_levels *of, const nw_ring_corner *c, double turn)
{
    double half = fmax(LEAST_TIP, (NW_PI - fabs(turn)) / 2), back = PIXEL_RADIUS / nw_sin(half);
    nw_point p = nw_plus(c->at, nw_unit(c->in, c->out), back);
    return (nw_density_at(of, (long)floor(p.x), (long)floor(p.y)) > 127) == (turn > 0);
}

/* How far a tip may lie from the place nearest to it: acute ones are lost in pixels, more so
 * without grey levels. */
static double tip_limit(const nw_levels *of, double size)
{
    double sharpness = nw_tan(fmin(size, 2.9) / 2);
    return of->picture ? 0.5 + 0.7 * sharpness : fmin(1 + sharpness, MOST_TIP);
}

/* Where edges are soft, noise decides whether what is barely a corner is one: by its turn, or by
 * how far it would reach, for what is round reaches farther than pixels make of a corner. So it
 * reaches hardly farther than where it is none. */
static double soft_share(double more, double reach, double limit)
{
    return fmin(more / SURE_TURN, (limit - reach) / (FADING * limit));
}

/* Draws a tip back to what its sides carry: what a short edge says of a far point is a guess. And
 * to its share of how far it would reach. */
static void draw_back(nw_ring_corner *c, double share, nw_point nearest, const nw_point *before,
                      size_t n, const nw_point *after, size_t m)
{
    double shorter =
               fmin(nw_distance(before[0], before[n - 1]), nw_distance(after[0], after[m - 1])),
           most = fmin(TIP_SHARE * shorter, share * c->reach);
    if (c->reach <= most)
        return;
    c->at = nw_plus(nearest, nw_minus(c->at, nearest), most / c->reach);
    c->in = nw_unit(before[n - 1], c->at);
    c->out = nw_unit(c->at, after[0]);
    c->reach = most;
}

/* Whether the ring has a corner at a break, with so many places to the breaks on either side. */
static bool is_corner(const nw_levels *of, const nw_contour_ring *ring, nw_ring_break sides,
                      size_t before_room, size_t after_room, nw_ring_corner *c)
{
    double rounded = nw_corner_rounded(of);
    nw_point before[NW_CORNER_SIDE], after[NW_CORNER_SIDE];
    size_t n = 0, m = 0;
    nw_point own = nw_ring_place(ring, (long)sides.before + 1),
             last = nw_ring_place(ring, (long)sides.after - 1);
    *c = (nw_ring_corner){.sides = sides, .at = nw_middle(own, last)};
    for (int round = 0; round < 2; round++) {
        n = side_of(ring, c, rounded, true, before_room, before);
        m = side_of(ring, c, rounded, false, after_room, after);
        if (n < 2 || m < 2 || !nw_sides_meet(before, n, after, m, c))
            return false;
    }
    if (!nw_corner_between(c, before[n - 1], after[0]))
        return false;
    double turn = nw_angle(c->in, c->out), size = fabs(turn);
    nw_point nearest = nw_place_nearest(ring, c);
    c->reach = nw_distance(nearest, c->at);
    bool real = of->picture ? left_traces(of, nearest, c->at, turn < 0) : is_filled(of, c, turn);
    double more = size - TURN_CORNER - c->bend * BEND_LENGTH, limit = tip_limit(of, size);
    if (!real || more <= 0 || c->reach >= limit)
        return false;
    if (nw_levels_sharp(of)) {
        c->ink = nw_wedge_compare(of, c);
        if (c->ink.lacks > LACKS_MOST && c->ink.off > OFF_SURE)
            return false;
    }
    if (of->picture)
        draw_back(c, of->soft ? soft_share(more, c->reach, limit) : 1, nearest, before, n, after,
                  m);
    return true;
}

/* The places where a corner may be. */
static size_t peaks_find(const nw_contour_ring *ring, double *turns, nw_ring_break *peaks)
{
    size_t found = 0, count = ring->count;
    for (size_t i = 0; i < count && !ring->corners; i++)
        turns[i] = turn_at(ring, (long)i);
    for (size_t i = 0; i < count; i++)
        if (ring->corners && ring->corners[i])
            peaks[found++] = nw_break_at(count, i, i);
        else if (!ring->corners)
            found += peak_begins(turns, count, i, &peaks[found]);
    return found;
}

bool nw_long_corners_find(const nw_levels *of, const nw_contour_ring *ring,
                          nw_ring_corner **corners, size_t *corner_count)
{
    size_t count = ring->count, peak_count = 0;
    double *turns = nw_alloc(count, sizeof *turns);
    nw_ring_break *peaks = nw_alloc(count, sizeof *peaks);
    *corners = NULL;
    *corner_count = 0;
    if (turns && peaks) {
        peak_count = peaks_find(ring, turns, peaks);
        *corners = nw_alloc(peak_count, sizeof **corners);
    }
    for (size_t i = 0; *corners && i < peak_count; i++) {
        const nw_ring_break *last = &peaks[(i + peak_count - 1) % peak_count],
                            *next = &peaks[(i + 1) % peak_count];
        size_t before = nw_breaks_apart(count, last, &peaks[i]),
               after = nw_breaks_apart(count, &peaks[i], next);
        *corner_count += is_corner(of, ring, peaks[i], before, after, &(*corners)[*corner_count]);
    }
    free(turns);
    free(peaks);
    return *corners != NULL;
}
