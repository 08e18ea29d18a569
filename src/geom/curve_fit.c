/*
 * curve_fit: a run of points -> few cubic Bézier curves that stay within a tolerance of them, with
 * given directions at both ends. Each curve is a least-squares solution with reparametrisation
 * (Schneider, "An algorithm for automatically fitting digitized curves", Graphics Gems, 1990), and
 * reaches as far along the points as one curve can.
 */
#include <geom/drawing.h>

#include <math.h>
#include <stdlib.h>

#define ROUNDS 6      /* of reparametrisation; more hardly gain anything */
#define HOPELESS 16.0 /* squared error beyond this many tolerances squared: give up at once */
#define DEEPEST 40    /* halvings; the points run out long before */
#define SHORTEST_HANDLE 1e-6 /* of the run: a handle shorter than this is a failed solution */
#define LONGEST_HANDLE                                                                             \
    1.0 /* of the run: so is a longer one, which flies off between the points                      \
         */

typedef struct {
    const nw_point *points;
    double *t;  /* parameter of every point within the curve under work */
    double run; /* length of the way through these points */
    double tolerance;
    nw_path *path;
} fitter;

typedef struct {
    nw_point p[4];
} cubic;

static nw_point minus(nw_point a, nw_point b)
{
    return (nw_point){a.x - b.x, a.y - b.y};
}

static nw_point along(nw_point a, nw_point direction, double times)
{
    return (nw_point){a.x + direction.x * times, a.y + direction.y * times};
}

static double dot(nw_point a, nw_point b)
{
    return a.x * b.x + a.y * b.y;
}

static double distance(nw_point a, nw_point b)
{
    return hypot(a.x - b.x, a.y - b.y);
}

static nw_point unit(nw_point a)
{
    double length = hypot(a.x, a.y);
    return length > 0 ? (nw_point){a.x / length, a.y / length} : (nw_point){1, 0};
}

static nw_point cubic_at(const cubic *c, double t)
{
    double s = 1 - t, b0 = s * s * s, b1 = 3 * s * s * t, b2 = 3 * s * t * t, b3 = t * t * t;
    return (nw_point){b0 * c->p[0].x + b1 * c->p[1].x + b2 * c->p[2].x + b3 * c->p[3].x,
                      b0 * c->p[0].y + b1 * c->p[1].y + b2 * c->p[2].y + b3 * c->p[3].y};
}

/* Whether the length of a handle makes sense. */
static bool is_sound(const fitter *f, double handle)
{
    return handle > SHORTEST_HANDLE * f->run && handle <= LONGEST_HANDLE * f->run;
}

static void chord_parameters(fitter *f, size_t first, size_t last)
{
    f->t[first] = 0;
    for (size_t i = first + 1; i <= last; i++) {
        f->t[i] = f->t[i - 1] + distance(f->points[i], f->points[i - 1]);
    }
    double whole = f->run = f->t[last];
    for (size_t i = first + 1; i <= last; i++) {
        f->t[i] = whole > 0 ? f->t[i] / whole : 1;
    }
}

/* The best lengths of the two handles, by least squares; thirds of the chord where the equations
 * have no sound answer. */
static cubic handles_solve(const fitter *f, size_t first, size_t last, nw_point out, nw_point in)
{
    nw_point p0 = f->points[first], p3 = f->points[last];
    double c00 = 0, c01 = 0, c11 = 0, x0 = 0, x1 = 0;
    for (size_t i = first; i <= last; i++) {
        double t = f->t[i], s = 1 - t, b1 = 3 * s * s * t, b2 = 3 * s * t * t;
        double start = s * s * s + b1, end = t * t * t + b2;
        nw_point rest = {f->points[i].x - start * p0.x - end * p3.x,
                         f->points[i].y - start * p0.y - end * p3.y};
        c00 += b1 * b1;
        c01 += b1 * b2 * dot(out, in);
        c11 += b2 * b2;
        x0 += b1 * dot(out, rest);
        x1 += b2 * dot(in, rest);
    }
    double chord = distance(p0, p3), determinant = c00 * c11 - c01 * c01;
    double h0 = determinant > 0 ? (x0 * c11 - x1 * c01) / determinant : 0;
    double h1 = determinant > 0 ? (c00 * x1 - c01 * x0) / determinant : 0;
    if (!is_sound(f, h0) || !is_sound(f, h1)) {
        h0 = h1 = chord / 3;
    }
    return (cubic){{p0, along(p0, out, h0), along(p3, in, h1), p3}};
}

/* One Newton step of every point's parameter towards its nearest place on the curve. */
static void reparametrise(fitter *f, size_t first, size_t last, const cubic *c)
{
    for (size_t i = first + 1; i < last; i++) {
        double t = f->t[i], s = 1 - t;
        nw_point e1 = minus(c->p[1], c->p[0]), e2 = minus(c->p[2], c->p[1]),
                 e3 = minus(c->p[3], c->p[2]);
        nw_point d1 = {3 * (s * s * e1.x + 2 * s * t * e2.x + t * t * e3.x),
                       3 * (s * s * e1.y + 2 * s * t * e2.y + t * t * e3.y)};
        nw_point d2 = {6 * (s * (e2.x - e1.x) + t * (e3.x - e2.x)),
                       6 * (s * (e2.y - e1.y) + t * (e3.y - e2.y))};
        nw_point off = minus(cubic_at(c, t), f->points[i]);
        double slope = dot(d1, d1) + dot(off, d2);
        double moved = slope != 0 ? t - dot(off, d1) / slope : t;
        f->t[i] = moved > 0 && moved < 1 ? moved : t;
    }
}

/* Largest squared distance of the points from the curve. */
static double worst_point(const fitter *f, size_t first, size_t last, const cubic *c)
{
    double worst = 0;
    for (size_t i = first + 1; i < last; i++) {
        nw_point off = minus(cubic_at(c, f->t[i]), f->points[i]);
        worst = fmax(worst, dot(off, off));
    }
    return worst;
}

/* Direction of travel at an inner point, from its neighbours. */
static nw_point middle_direction(const fitter *f, size_t i)
{
    nw_point direction = minus(f->points[i + 1], f->points[i - 1]);
    return unit(direction.x == 0 && direction.y == 0 ? minus(f->points[i + 1], f->points[i])
                                                     : direction);
}

/* One curve along points first to last, if one is enough. */
static bool fit_one(fitter *f, size_t first, size_t last, nw_point out, nw_point in, cubic *c)
{
    if (last - first == 1) {
        double third = distance(f->points[first], f->points[last]) / 3;
        *c = (cubic){{f->points[first], along(f->points[first], out, third),
                      along(f->points[last], in, third), f->points[last]}};
        return true;
    }
    double allowed = f->tolerance * f->tolerance;
    chord_parameters(f, first, last);
    for (int round = 0; round < ROUNDS; round++) {
        *c = handles_solve(f, first, last, out, in);
        double worst = worst_point(f, first, last, c);
        if (worst <= allowed) {
            return true;
        }
        if (worst > HOPELESS * HOPELESS * allowed) {
            return false;
        }
        reparametrise(f, first, last, c);
    }
    return false;
}

static nw_point direction_in(const fitter *f, size_t at, size_t count, nw_point arrive)
{
    nw_point back = at == count - 1 ? arrive : middle_direction(f, at);
    return (nw_point){-back.x, -back.y};
}

/* The longest run from first that one curve can follow: doubled while it works, then halved. */
static size_t fit_longest(fitter *f, size_t first, size_t count, nw_point out, nw_point arrive,
                          cubic *best)
{
    size_t good = first + 1, reach = 1, bad = count;
    fit_one(f, first, good, out, direction_in(f, good, count, arrive), best);
    while (good < count - 1 && good + 1 < bad) {
        size_t next = bad < count ? good + (bad - good) / 2 : first + 2 * reach;
        next = next < count - 1 ? next : count - 1;
        next = next < bad ? next : bad - 1;
        cubic c;
        if (fit_one(f, first, next, out, direction_in(f, next, count, arrive), &c)) {
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
    if (count < 2) {
        return true;
    }
    fitter f = {
        .points = points, .t = nw_alloc(count, sizeof *f.t), .tolerance = tolerance, .path = path};
    nw_point out = unit(leave), last = unit(arrive);
    bool done = f.t != NULL;
    for (size_t first = 0; done && first < count - 1;) {
        cubic c;
        first = fit_longest(&f, first, count, out, last, &c);
        done = nw_path_curve(path, c.p[1], c.p[2], c.p[3]);
        out = first < count - 1 ? middle_direction(&f, first) : last;
    }
    free(f.t);
    return done;
}
