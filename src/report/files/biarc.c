/*
 * biarc: a path's cubic curves -> pairs of circular arcs that meet without a corner, within a
 * tolerance. Lines and arcs pass as they are.
 *
 * Method: biarcs with equal tangent lengths (K. M. Bolton, Biarc curves, Computer-Aided Design
 * 7(2), 1975, from memory). With v from end to end and unit tangents s and t, the length d of both
 * tangent legs solves v.v - 2 d v.(s+t) - 2 d^2 (1 - s.t) = 0; the arcs meet in the middle of the
 * line between the ends of the legs. A curve is halved until the arcs lie within the tolerance.
 */
#include <report/parts.h>

#include <math.h>
#include <stdlib.h>

#define SAMPLES 16        /* places a curve is compared at; its error is smooth between them */
#define SAMPLE_MARGIN 0.9 /* of the tolerance, for what lies between the samples */
#define HALVINGS_MOST 16
#define STRAIGHT_MM 1e-4   /* a curve this near its chord is a line */
#define BULGE_MOST 0.5     /* arcs of a biarc turn less than about 106 degrees */
#define SAME_PLACE_MM 2e-6 /* what is further apart is so once written with six decimals */

typedef struct {
    nw_point p[4];
} cubic;

static bool add_vertex(report_polyline *polyline, nw_point at, double bulge)
{
    return nw_push(&polyline->items, &polyline->count, &polyline->capacity,
                   &(report_vertex){at, bulge}, sizeof *polyline->items);
}

/* The direction from p[0] to the first other control point, of length 1; false when there is
 * none. `back` looks from p[3] and turns the result to run forward. */
static bool tangent(const cubic *curve, bool back, nw_point *direction)
{
    for (int i = 1; i < 4; i++) {
        nw_point d =
            back ? nw_minus(curve->p[3], curve->p[3 - i]) : nw_minus(curve->p[i], curve->p[0]);
        if (nw_length(d) > 1e-9) {
            *direction = nw_unit_of(d);
            return true;
        }
    }
    return false;
}

static void halve(const cubic *curve, cubic *left, cubic *right)
{
    const nw_point *p = curve->p;
    nw_point a = nw_middle(p[0], p[1]), b = nw_middle(p[1], p[2]), c = nw_middle(p[2], p[3]);
    nw_point ab = nw_middle(a, b), bc = nw_middle(b, c), m = nw_middle(ab, bc);
    *left = (cubic){{p[0], a, ab, m}};
    *right = (cubic){{m, bc, c, p[3]}};
}

/* The bulge of the arc from a to b that leaves a in direction t. */
static double arc_bulge(nw_point a, nw_point b, nw_point t)
{
    nw_point chord = nw_minus(b, a);
    return tan(nw_angle(t, chord) / 2);
}

/* Distance of q from the arc a-b with this bulge; from its ends where q lies beside it. */
static double arc_distance(nw_point a, nw_point b, double bulge, nw_point q)
{
    nw_point chord = nw_minus(b, a);
    double length2 = nw_dot(chord, chord);
    nw_point to_a = nw_minus(q, a), to_b = nw_minus(q, b);
    double ends = fmin(nw_length(to_a), nw_length(to_b));
    if (length2 < 1e-18)
        return ends;
    if (fabs(bulge) < 1e-9) {
        double along = nw_dot(to_a, chord) / length2;
        return along < 0 || along > 1 ? ends : fabs(nw_cross(chord, to_a)) / sqrt(length2);
    }
    double height = (1 - bulge * bulge) / (4 * bulge); /* of the centre, in chords */
    nw_point centre = nw_plus(nw_middle(a, b), nw_left(chord), height);
    nw_point ca = nw_minus(a, centre), cb = nw_minus(b, centre), cq = nw_minus(q, centre);
    double sign = bulge > 0 ? 1 : -1;
    bool within = sign * nw_cross(ca, cq) >= 0 && sign * nw_cross(cq, cb) >= 0;
    return within ? fabs(nw_length(cq) - nw_length(ca)) : ends;
}

/* Finds the biarc of the curve: where its arcs meet and their bulges. */
static bool biarc(const cubic *curve, nw_point *joint, double bulge[2])
{
    nw_point s, t;
    if (!tangent(curve, false, &s) || !tangent(curve, true, &t))
        return false;
    nw_point v = nw_minus(curve->p[3], curve->p[0]);
    double a = 2 * (1 - nw_dot(s, t)), b = 2 * (nw_dot(v, s) + nw_dot(v, t)), c = nw_dot(v, v);
    double root = sqrt(b * b + 4 * a * c);
    double d = a > 1e-12 ? (root - b) / (2 * a) : b > 0 ? c / b : 0;
    if (b > 0)
        d = 2 * c / (root + b); /* the same without cancellation */
    if (!(d > 0) || !isfinite(d))
        return false;
    *joint = nw_middle(nw_plus(curve->p[0], s, d), nw_plus(curve->p[3], t, -d));
    bulge[0] = arc_bulge(curve->p[0], *joint, s);
    bulge[1] = -arc_bulge(curve->p[3], *joint, nw_back(t));
    return fabs(bulge[0]) <= BULGE_MOST && fabs(bulge[1]) <= BULGE_MOST;
}

static bool near_enough(const cubic *curve, nw_point joint, const double bulge[2], double most)
{
    for (int i = 1; i < SAMPLES; i++) {
        nw_point q =
            nw_curve_at(curve->p[0], curve->p[1], curve->p[2], curve->p[3], (double)i / SAMPLES);
        double first = arc_distance(curve->p[0], joint, bulge[0], q);
        double second = arc_distance(joint, curve->p[3], bulge[1], q);
        if (!(fmin(first, second) <= most))
            return false;
    }
    return true;
}

static bool straight(const cubic *curve)
{
    nw_point chord = nw_minus(curve->p[3], curve->p[0]);
    double length2 = nw_dot(chord, chord);
    for (int i = 1; i < 3; i++) {
        nw_point d = nw_minus(curve->p[i], curve->p[0]);
        double along = nw_dot(d, chord);
        if (along < 0 || along > length2 ||
            nw_cross(chord, d) * nw_cross(chord, d) > STRAIGHT_MM * STRAIGHT_MM * length2)
            return false;
    }
    return true;
}

static bool add_curve(report_polyline *polyline, const cubic *curve, double tolerance, int depth)
{
    nw_point joint;
    double bulge[2];
    if (straight(curve) || depth == HALVINGS_MOST)
        return add_vertex(polyline, curve->p[0], 0);
    if (biarc(curve, &joint, bulge) && near_enough(curve, joint, bulge, SAMPLE_MARGIN * tolerance))
        return add_vertex(polyline, curve->p[0], bulge[0]) && add_vertex(polyline, joint, bulge[1]);
    cubic left, right;
    halve(curve, &left, &right);
    return add_curve(polyline, &left, tolerance, depth + 1) &&
           add_curve(polyline, &right, tolerance, depth + 1);
}

static bool add_arc(report_polyline *polyline, nw_point from, const nw_step *step)
{
    double turn = nw_arc_sweep(from, step);
    if (fabs(turn) <= NW_PI)
        return add_vertex(polyline, from, tan(turn / 4));
    nw_point half = nw_step_at(from, step, 0.5);
    return add_vertex(polyline, from, tan(turn / 8)) && add_vertex(polyline, half, tan(turn / 8));
}

static bool same_place(nw_point a, nw_point b)
{
    return fabs(a.x - b.x) < SAME_PLACE_MM && fabs(a.y - b.y) < SAME_PLACE_MM;
}

/* Of vertices that lie at the same place one stays, with what follows the last of them: readers
 * stumble over lines without length. */
static void drop_repeats(report_polyline *polyline, bool closed)
{
    report_vertex *items = polyline->items;
    size_t kept = 0;
    for (size_t i = 0; i < polyline->count; i++)
        if (kept && same_place(items[kept - 1].at, items[i].at))
            items[kept - 1].bulge = items[i].bulge;
        else
            items[kept++] = items[i];
    while (closed && kept > 1 && same_place(items[kept - 1].at, items[0].at))
        kept--;
    polyline->count = kept;
}

bool nw_report_polyline_make(const nw_path *path, double tolerance, report_polyline *polyline)
{
    *polyline = (report_polyline){0};
    nw_point from = path->start;
    bool good = true;
    for (size_t i = 0; i < path->count && good; i++) {
        const nw_step *step = &path->steps[i];
        if (step->kind == NW_CURVE) {
            cubic curve = {{from, step->a, step->b, step->to}};
            good = add_curve(polyline, &curve, tolerance, 0);
        } else if (step->kind == NW_ARC) {
            good = add_arc(polyline, from, step);
        } else {
            good = add_vertex(polyline, from, 0);
        }
        from = step->to;
    }
    if (good && !path->closed)
        good = add_vertex(polyline, from, 0);
    if (!good) {
        free(polyline->items);
        *polyline = (report_polyline){0};
        return false;
    }
    drop_repeats(polyline, path->closed);
    return true;
}
