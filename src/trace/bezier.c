/*
 * bezier: a run of places -> one cubic Bézier near all of them, by least squares.
 *
 * The method is Schneider's (An algorithm for automatically fitting digitized curves, Graphics
 * Gems, 1990): parameters by chord length, the handles by least squares, then parameters moved to
 * the nearest points by Newton's step, and again. Here an end may also leave its direction open;
 * then the whole handle is solved for.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>

static const int ROUNDS = 4;
static const double HOPELESS = 6; /* times the tolerance, after which rounds will not help */

static nw_point minus(nw_point p, nw_point q)
{
    return (nw_point){p.x - q.x, p.y - q.y};
}

static double dot(nw_point p, nw_point q)
{
    return p.x * q.x + p.y * q.y;
}

/* Up to four unknowns: the handle lengths along given directions, or the handles' coordinates. */
typedef struct {
    int count;
    nw_point basis[4]; /* what one unit of each unknown moves */
    int handle[4];     /* the handle that it moves: 0 or 1 */
    double matrix[4][5];
} unknowns;

static void unknowns_add(unknowns *u, nw_point basis, int handle)
{
    u->basis[u->count] = basis;
    u->handle[u->count++] = handle;
}

static unknowns unknowns_of(const bezier_ends *ends)
{
    unknowns u = {0};
    for (int handle = 0; handle < 2; handle++) {
        const bezier_end *end = handle ? &ends->end : &ends->start;
        if (end->free) {
            unknowns_add(&u, (nw_point){1, 0}, handle);
            unknowns_add(&u, (nw_point){0, 1}, handle);
        } else {
            unknowns_add(&u, end->direction, handle);
        }
    }
    return u;
}

/* Gauss with pivots; false when singular. The solution replaces the last column. */
static bool solve(double m[4][5], int n, double x[4])
{
    for (int c = 0; c < n; c++) {
        int best = c;
        for (int r = c + 1; r < n; r++) {
            best = fabs(m[r][c]) > fabs(m[best][c]) ? r : best;
        }
        if (fabs(m[best][c]) < 1e-9) {
            return false;
        }
        for (int k = 0; k < 5; k++) {
            double keep = m[c][k];
            m[c][k] = m[best][k];
            m[best][k] = keep;
        }
        for (int r = c + 1; r < n; r++) {
            double factor = m[r][c] / m[c][c];
            for (int k = c; k < 5; k++) {
                m[r][k] -= factor * m[c][k];
            }
        }
    }
    for (int r = n - 1; r >= 0; r--) {
        double sum = m[r][4];
        for (int k = r + 1; k < n; k++) {
            sum -= m[r][k] * x[k];
        }
        x[r] = sum / m[r][r];
    }
    return true;
}

/* The normal equations: above the diagonal first, the rest is the same turned round. */
static void equations_fill(unknowns *u, const nw_point *q, size_t n, const double *t, nw_point p0,
                           nw_point p3)
{
    double turn[4][4]; /* of each basis to each */
    for (int i = 0; i < u->count; i++) {
        for (int j = i; j < u->count; j++) {
            turn[i][j] = dot(u->basis[i], u->basis[j]);
        }
    }
    for (size_t k = 1; k + 1 < n; k++) {
        double s = 1 - t[k], w[2] = {3 * s * s * t[k], 3 * s * t[k] * t[k]};
        double at_start = s * s * s + w[0], at_end = 1 - at_start;
        nw_point rest = {q[k].x - at_start * p0.x - at_end * p3.x,
                         q[k].y - at_start * p0.y - at_end * p3.y};
        for (int i = 0; i < u->count; i++) {
            double wi = w[u->handle[i]];
            for (int j = i; j < u->count; j++) {
                u->matrix[i][j] += wi * w[u->handle[j]] * turn[i][j];
            }
            u->matrix[i][4] += wi * dot(u->basis[i], rest);
        }
    }
    for (int i = 0; i < u->count; i++) {
        for (int j = 0; j < i; j++) {
            u->matrix[i][j] = u->matrix[j][i];
        }
    }
}

static bool solve_handles(const nw_point *q, size_t n, const double *t, const bezier_ends *ends,
                          bezier *out)
{
    unknowns u = unknowns_of(ends);
    nw_point p0 = ends->start.at, p3 = ends->end.at;
    double x[4];
    equations_fill(&u, q, n, t, p0, p3);
    if (!solve(u.matrix, u.count, x)) {
        return false;
    }
    *out = (bezier){p0, p0, p3, p3};
    for (int i = 0; i < u.count; i++) {
        nw_point *handle = u.handle[i] ? &out->p2 : &out->p1;
        handle->x += x[i] * u.basis[i].x;
        handle->y += x[i] * u.basis[i].y;
    }
    return true;
}

/* One Newton step of t towards the place on the curve nearest to q. */
static double nearer(const bezier *c, nw_point q, double t)
{
    double s = 1 - t;
    nw_point a = minus(c->p1, c->p0), b = minus(c->p2, c->p1), d = minus(c->p3, c->p2);
    nw_point off = minus(nw_curve_at(c->p0, c->p1, c->p2, c->p3, t), q);
    nw_point first = {3 * (s * s * a.x + 2 * s * t * b.x + t * t * d.x),
                      3 * (s * s * a.y + 2 * s * t * b.y + t * t * d.y)};
    nw_point second = {6 * (s * (b.x - a.x) + t * (d.x - b.x)),
                       6 * (s * (b.y - a.y) + t * (d.y - b.y))};
    double slope = dot(first, first) + dot(off, second);
    double moved = slope > 0 ? t - dot(off, first) / slope : t;
    return moved > 0 ? moved < 1 ? moved : 1 : 0;
}

/* Moves the parameters and returns the largest distance. */
static double settle(const bezier *c, const nw_point *q, size_t n, double *t)
{
    double most = 0;
    for (size_t i = 1; i + 1 < n; i++) {
        t[i] = nearer(c, q[i], t[i]);
        nw_point off = minus(nw_curve_at(c->p0, c->p1, c->p2, c->p3, t[i]), q[i]);
        double square = dot(off, off);
        most = square > most ? square : most;
    }
    return sqrt(most);
}

static double chord_parameters(const nw_point *q, size_t n, double *t)
{
    t[0] = 0;
    for (size_t i = 1; i < n; i++) {
        nw_point step = minus(q[i], q[i - 1]);
        t[i] = t[i - 1] + sqrt(dot(step, step));
    }
    double length = t[n - 1];
    for (size_t i = 1; i < n && length > 0; i++) {
        t[i] /= length;
    }
    return length;
}

/* Handles that point back or reach too far make loops and lumps. */
static bool sound(const bezier *c, const bezier_ends *ends, double length)
{
    nw_point a = minus(c->p1, c->p0), b = minus(c->p2, c->p3), chord = minus(c->p3, c->p0);
    bool forward = ends->start.free ? dot(a, chord) > -0.5 * length * length
                                    : dot(a, ends->start.direction) > 0;
    bool backward =
        ends->end.free ? dot(b, chord) < 0.5 * length * length : dot(b, ends->end.direction) > 0;
    return forward && backward && dot(a, a) < length * length && dot(b, b) < length * length;
}

double nw_bezier_fit(const nw_point *q, size_t n, const bezier_ends *ends, double tolerance,
                     double *t, bezier *out)
{
    double length = chord_parameters(q, n, t), best = INFINITY;
    for (int round = 0; round < ROUNDS && length > 0; round++) {
        bezier c;
        if (!solve_handles(q, n, t, ends, &c)) {
            break;
        }
        double most = settle(&c, q, n, t);
        if (most < best && sound(&c, ends, length)) {
            best = most;
            *out = c;
        }
        if (best <= tolerance || most > HOPELESS * tolerance) {
            break;
        }
    }
    return best;
}
