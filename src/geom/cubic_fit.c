/*
 * cubic_fit: a run of places -> one cubic Bézier near all of them, by least squares.
 *
 * The method is Schneider's (An algorithm for automatically fitting digitized curves, Graphics
 * Gems, 1990): parameters by chord length, the handles by least squares, then parameters moved to
 * the nearest points by Newton's step, and again. Here an end may also leave its direction open;
 * then the whole handle is solved for.
 */
#include <geom/curves.h>
#include <geom/least_squares.h>

#include <math.h>
#include <stdlib.h>

static const int ROUNDS = 4;
static const double HOPELESS = 6; /* times the tolerance, after which rounds will not help */

/* Up to four unknowns: the handle lengths along given directions, or the handles' coordinates. */
typedef struct {
    int count;
    nw_point basis[4]; /* what one unit of each unknown moves */
    int handle[4];     /* the handle that it moves: 0 or 1 */
    double matrix[NW_UNKNOWNS][NW_UNKNOWNS + 1];
} unknowns;

static void unknowns_add(unknowns *u, nw_point basis, int handle)
{
    u->basis[u->count] = basis;
    u->handle[u->count++] = handle;
}

static unknowns unknowns_of(const nw_cubic_ends *ends)
{
    unknowns u = {0};
    for (int handle = 0; handle < 2; handle++) {
        const nw_cubic_end *end = handle ? &ends->end : &ends->start;
        if (end->free) {
            unknowns_add(&u, (nw_point){1, 0}, handle);
            unknowns_add(&u, (nw_point){0, 1}, handle);
        } else {
            unknowns_add(&u, end->direction, handle);
        }
    }
    return u;
}

/* The normal equations: above the diagonal first, the rest is the same turned round. */
static void equations_fill(unknowns *u, const nw_point *q, size_t n, const double *t, nw_point p0,
                           nw_point p3)
{
    double turn[4][4]; /* of each basis to each */
    for (int i = 0; i < u->count; i++)
        for (int j = i; j < u->count; j++)
            turn[i][j] = nw_dot(u->basis[i], u->basis[j]);
    for (size_t k = 1; k + 1 < n; k++) {
        double s = 1 - t[k], w[2] = {3 * s * s * t[k], 3 * s * t[k] * t[k]};
        double at_start = s * s * s + w[0], at_end = 1 - at_start;
        nw_point rest = {q[k].x - at_start * p0.x - at_end * p3.x,
                         q[k].y - at_start * p0.y - at_end * p3.y};
        for (int i = 0; i < u->count; i++) {
            double wi = w[u->handle[i]];
            for (int j = i; j < u->count; j++)
                u->matrix[i][j] += wi * w[u->handle[j]] * turn[i][j];
            u->matrix[i][NW_UNKNOWNS] += wi * nw_dot(u->basis[i], rest);
        }
    }
    for (int i = 0; i < u->count; i++)
        for (int j = 0; j < i; j++)
            u->matrix[i][j] = u->matrix[j][i];
}

static bool free_solve(const nw_point *q, size_t n, const double *t, const nw_cubic_ends *ends,
                       nw_cubic *out)
{
    unknowns u = unknowns_of(ends);
    nw_point p0 = ends->start.at, p3 = ends->end.at;
    double x[4];
    equations_fill(&u, q, n, t, p0, p3);
    if (!nw_equations_solve(u.count, u.matrix, x))
        return false;
    *out = (nw_cubic){p0, p0, p3, p3};
    for (int i = 0; i < u.count; i++) {
        nw_point *handle = u.handle[i] ? &out->p2 : &out->p1;
        handle->x += x[i] * u.basis[i].x;
        handle->y += x[i] * u.basis[i].y;
    }
    return true;
}

/* The same where both directions are given, as mostly they are: two unknowns. */
static bool directed_solve(const nw_point *q, size_t n, const double *t, const nw_cubic_ends *ends,
                           nw_cubic *out)
{
    nw_point p0 = ends->start.at, p3 = ends->end.at;
    nw_point a = ends->start.direction, b = ends->end.direction;
    double aa = nw_dot(a, a), ab = nw_dot(a, b), bb = nw_dot(b, b);
    double rows[2][3] = {{0}};
    for (size_t k = 1; k + 1 < n; k++) {
        double s = 1 - t[k], at_a = 3 * s * s * t[k], at_b = 3 * s * t[k] * t[k];
        double at_start = s * s * s + at_a, at_end = 1 - at_start;
        nw_point rest = {q[k].x - at_start * p0.x - at_end * p3.x,
                         q[k].y - at_start * p0.y - at_end * p3.y};
        rows[0][0] += at_a * at_a * aa;
        rows[0][1] += at_a * at_b * ab;
        rows[0][2] += at_a * nw_dot(a, rest);
        rows[1][1] += at_b * at_b * bb;
        rows[1][2] += at_b * nw_dot(b, rest);
    }
    rows[1][0] = rows[0][1];
    double x[2];
    if (!nw_pair_solve(rows, x))
        return false;
    *out = (nw_cubic){p0, nw_plus(p0, a, x[0]), nw_plus(p3, b, x[1]), p3};
    return true;
}

static bool solve_handles(const nw_point *q, size_t n, const double *t, const nw_cubic_ends *ends,
                          nw_cubic *out)
{
    bool directed = !ends->start.free && !ends->end.free;
    return (directed ? directed_solve : free_solve)(q, n, t, ends, out);
}

/* Two numbers at once, with the same digits as one after the other (vectors of GCC and clang). */
typedef double pair __attribute__((vector_size(16)));
typedef int64_t pair_bits __attribute__((vector_size(16)));

static pair pair_choose(pair_bits which, pair a, pair b)
{
    return (pair)((which & (pair_bits)a) | (~which & (pair_bits)b));
}

typedef struct {
    pair x, y;
} pair_point;

static pair pair_dot(pair_point a, pair_point b)
{
    return a.x * b.x + a.y * b.y;
}

/* From q to the curve at t. */
static pair_point curve_off(const nw_cubic *c, pair_point q, pair t)
{
    pair s = 1.0 - t, w0 = s * s * s, w1 = 3.0 * s * s * t, w2 = 3.0 * s * t * t, w3 = t * t * t;
    return (pair_point){w0 * c->p0.x + w1 * c->p1.x + w2 * c->p2.x + w3 * c->p3.x - q.x,
                        w0 * c->p0.y + w1 * c->p1.y + w2 * c->p2.y + w3 * c->p3.y - q.y};
}

/* One Newton step of t towards the place on the curve nearest to q. */
static pair nearer(const nw_cubic *c, pair_point q, pair t)
{
    pair s = 1.0 - t;
    nw_point a = nw_minus(c->p1, c->p0), b = nw_minus(c->p2, c->p1), d = nw_minus(c->p3, c->p2);
    pair_point off = curve_off(c, q, t);
    pair_point first = {3.0 * (s * s * a.x + 2.0 * s * t * b.x + t * t * d.x),
                        3.0 * (s * s * a.y + 2.0 * s * t * b.y + t * t * d.y)};
    pair_point second = {6.0 * (s * (b.x - a.x) + t * (d.x - b.x)),
                         6.0 * (s * (b.y - a.y) + t * (d.y - b.y))};
    pair slope = pair_dot(first, first) + pair_dot(off, second);
    pair moved = pair_choose(slope > 0.0, t - pair_dot(off, first) / slope, t);
    const pair none = {0, 0}, all = {1, 1};
    return pair_choose(moved > 0.0, pair_choose(moved < 1.0, moved, all), none);
}

/* Moves the parameters and returns the largest distance. */
static double settle(const nw_cubic *c, const nw_point *q, size_t n, double *t)
{
    pair most = {0, 0};
    for (size_t i = 1; i + 1 < n; i += 2) {
        size_t k = i + 2 < n ? i + 1 : i;
        pair_point at = {{q[i].x, q[k].x}, {q[i].y, q[k].y}};
        pair moved = nearer(c, at, (pair){t[i], t[k]});
        pair_point off = curve_off(c, at, moved);
        pair square = pair_dot(off, off);
        most = pair_choose(square > most, square, most);
        t[i] = moved[0];
        t[k] = moved[1];
    }
    return sqrt(most[0] > most[1] ? most[0] : most[1]);
}

static double chord_parameters(const nw_point *q, size_t n, double *t)
{
    t[0] = 0;
    for (size_t i = 1; i < n; i++)
        t[i] = t[i - 1] + nw_distance(q[i], q[i - 1]);
    double length = t[n - 1];
    for (size_t i = 1; i < n && length > 0; i++)
        t[i] /= length;
    return length;
}

/* Handles that point back or reach too far make loops and lumps. */
static bool sound(const nw_cubic *c, const nw_cubic_ends *ends, double length)
{
    nw_point a = nw_minus(c->p1, c->p0), b = nw_minus(c->p2, c->p3), chord = nw_minus(c->p3, c->p0);
    bool forward = ends->start.free ? nw_dot(a, chord) > -0.5 * length * length
                                    : nw_dot(a, ends->start.direction) > 0;
    bool backward = ends->end.free ? nw_dot(b, chord) < 0.5 * length * length
                                   : nw_dot(b, ends->end.direction) > 0;
    return forward && backward && nw_dot(a, a) < length * length && nw_dot(b, b) < length * length;
}

/* Both handles a third of the chord. */
static nw_cubic thirds(const nw_cubic_ends *ends)
{
    nw_point p = ends->start.at, q = ends->end.at;
    double third = nw_distance(p, q) / 3;
    return (nw_cubic){p, nw_plus(p, ends->start.direction, third),
                      nw_plus(q, ends->end.direction, third), q};
}

double nw_cubic_fit(const nw_point *q, size_t n, const nw_cubic_ends *ends, double tolerance,
                    double *t, nw_cubic *out)
{
    double length = chord_parameters(q, n, t), best = INFINITY;
    for (int round = 0; round < ROUNDS && length > 0; round++) {
        nw_cubic c;
        bool solved = solve_handles(q, n, t, ends, &c);
        if (ends->thirds && !(solved && sound(&c, ends, length)))
            c = thirds(ends);
        else if (!solved)
            break;
        double most = settle(&c, q, n, t);
        if (most < best && sound(&c, ends, length)) {
            best = most;
            *out = c;
        }
        if (best <= tolerance || most > HOPELESS * tolerance)
            break;
    }
    return best;
}

/* ---- a path of several ----------------------------------------------------------------------- */

typedef struct {
    const nw_point *points;
    size_t count;
    double *t; /* room for parameters */
    nw_point leave, arrive;
    double tolerance;
} run;

/* Direction of travel at a point: given at the ends, else from its neighbours. */
static nw_point travel_at(const run *r, size_t i)
{
    if (i == 0 || i == r->count - 1)
        return i ? r->arrive : r->leave;
    nw_point across = nw_minus(r->points[i + 1], r->points[i - 1]);
    bool none = across.x == 0 && across.y == 0;
    return nw_unit_of(none ? nw_minus(r->points[i + 1], r->points[i]) : across);
}

/* Whether one curve follows points first to last; between neighbours one always does. */
static bool reaches(const run *r, size_t first, size_t last, nw_cubic *c)
{
    nw_cubic_ends ends = {{false, r->points[first], travel_at(r, first)},
                          {false, r->points[last], nw_back(travel_at(r, last))},
                          true};
    *c = thirds(&ends);
    return last - first == 1 || nw_cubic_fit(r->points + first, last - first + 1, &ends,
                                             r->tolerance, r->t, c) <= r->tolerance;
}

/* The longest stretch from first that one curve can follow: doubled while it works, then halved. */
static size_t reach_from(const run *r, size_t first, nw_cubic *best)
{
    size_t good = first + 1, reach = 1, last = r->count - 1, bad = r->count;
    reaches(r, first, good, best);
    while (good < last && good + 1 < bad) {
        size_t next = bad < r->count ? good + (bad - good) / 2 : first + 2 * reach;
        next = next < last ? next : last;
        next = next < bad ? next : bad - 1;
        nw_cubic c;
        if (reaches(r, first, next, &c)) {
            *best = c;
            good = next;
            reach = next - first;
        } else {
            bad = next;
        }
    }
    return good;
}

bool nw_path_fit(nw_path *path, const nw_point *points, size_t count, nw_point leave,
                 nw_point arrive, double tolerance)
{
    if (count < 2)
        return true;
    run r = {points,   count, nw_alloc(count, sizeof *r.t), nw_unit_of(leave), nw_unit_of(arrive),
             tolerance};
    bool done = r.t != NULL;
    for (size_t first = 0; done && first < count - 1;) {
        nw_cubic c;
        first = reach_from(&r, first, &c);
        done = nw_path_curve(path, c.p1, c.p2, c.p3);
    }
    free(r.t);
    return done;
}
