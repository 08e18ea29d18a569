/*
 * biarc: a path's cubic curves -> pairs of circular arcs that meet without a corner, within a
 * tolerance. Lines and arcs pass as they are.
 *
 * Method: biarcs with equal tangent lengths (K. M. Bolton, Biarc curves, Computer-Aided Design
 * 7(2), 1975, from memory). With v from end to end and unit tangents s and t, the length d of both
 * tangent legs solves v.v - 2 d v.(s+t) - 2 d^2 (1 - s.t) = 0; the arcs meet in the middle of the
 * line between the ends of the legs. A curve is halved until the arcs lie within the tolerance.
 */
#include <geom/biarc.h>
#include <geom/curves.h>

#include <math.h>

#define SAMPLES 16        /* places a curve is compared at; its error is smooth between them */
#define SAMPLE_MARGIN 0.9 /* of the tolerance, for what lies between the samples */
#define HALVINGS_MOST 16
#define STRAIGHT_MM 1e-4 /* a curve this near its chord is a line */
#define FLAT_MM 2e-5     /* and an arc this near its own */
#define BULGE_MOST 0.5   /* arcs of a biarc turn less than about 106 degrees */
#define ONE_CIRCLE_RAD 1e-6

/* ---- pairs of arcs --------------------------------------------------------------------------- */

/* The bulge of the arc from a to b that leaves a in direction t. */
static double arc_bulge(nw_point a, nw_point b, nw_point t)
{
    return nw_tan(nw_angle(t, nw_minus(b, a)) / 2);
}

static nw_point arc_centre(nw_point a, nw_point b, double bulge)
{
    double height = (1 - bulge * bulge) / (4 * bulge); /* in chords */
    return nw_plus(nw_middle(a, b), nw_left(nw_minus(b, a)), height);
}

/* Distance of q from the arc a-b with this bulge; from its ends where q lies beside it. */
static double arc_distance(nw_point a, nw_point b, double bulge, nw_point q)
{
    if (fabs(bulge) < 1e-9)
        return nw_segment_distance(a, b, q);
    nw_point centre = arc_centre(a, b, bulge);
    nw_point ca = nw_minus(a, centre), cb = nw_minus(b, centre), cq = nw_minus(q, centre);
    double sign = bulge > 0 ? 1 : -1;
    bool within = sign * nw_cross(ca, cq) >= 0 && sign * nw_cross(cq, cb) >= 0;
    return within ? fabs(nw_length(cq) - nw_length(ca))
                  : fmin(nw_distance(q, a), nw_distance(q, b));
}

bool nw_biarc_make(nw_point from, nw_point s, nw_point to, nw_point t, nw_biarc *biarc)
{
    nw_point v = nw_minus(to, from);
    double a = 2 * (1 - nw_dot(s, t)), b = 2 * (nw_dot(v, s) + nw_dot(v, t)), c = nw_dot(v, v);
    double root = sqrt(b * b + 4 * a * c);
    double d = a > 1e-12 ? (root - b) / (2 * a) : b > 0 ? c / b : 0;
    if (b > 0)
        d = 2 * c / (root + b); /* the same without cancellation */
    if (!(d > 0) || !isfinite(d))
        return false;
    nw_point joint = nw_middle(nw_plus(from, s, d), nw_plus(to, t, -d));
    *biarc =
        (nw_biarc){from, joint, to, {arc_bulge(from, joint, s), -arc_bulge(to, joint, nw_back(t))}};
    return fabs(biarc->bulge[0]) <= BULGE_MOST && fabs(biarc->bulge[1]) <= BULGE_MOST;
}

double nw_biarc_distance(const nw_biarc *biarc, nw_point q)
{
    return fmin(arc_distance(biarc->from, biarc->joint, biarc->bulge[0], q),
                arc_distance(biarc->joint, biarc->to, biarc->bulge[1], q));
}

static bool arc_add(nw_path *path, nw_point from, nw_point to, double bulge)
{
    if (fabs(bulge) * nw_distance(from, to) < 2 * FLAT_MM)
        return nw_path_line(path, to);
    return nw_path_arc(path, arc_centre(from, to, bulge), to, bulge < 0);
}

bool nw_path_biarc(nw_path *path, const nw_biarc *biarc)
{
    nw_point from = biarc->from, to = biarc->to;
    double turn = 2 * nw_atan(biarc->bulge[1]), whole = nw_tan(nw_atan(biarc->bulge[0]) + turn / 2);
    double inscribed = nw_angle(nw_minus(biarc->joint, from), nw_minus(to, from));
    bool alike = fabs(inscribed - turn) < ONE_CIRCLE_RAD;
    if (alike)
        return arc_add(path, from, to, whole);
    return arc_add(path, from, biarc->joint, biarc->bulge[0]) &&
           arc_add(path, biarc->joint, to, biarc->bulge[1]);
}

/* ---- curves ---------------------------------------------------------------------------------- */

/* The direction from the first of four control points to the next other one, of length 1; false
 * when there is none. */
static bool tangent(nw_point p, nw_point q, nw_point r, nw_point s, nw_point *direction)
{
    const nw_point others[] = {q, r, s};
    for (int i = 0; i < 3; i++) {
        *direction = nw_unit(p, others[i]);
        if (nw_distance(p, others[i]) > 1e-9)
            return true;
    }
    return false;
}

static bool straight(nw_point from, const nw_step *curve)
{
    const nw_point handles[] = {curve->a, curve->b};
    nw_point chord = nw_minus(curve->to, from);
    double length2 = nw_dot(chord, chord);
    for (int i = 0; i < 2; i++) {
        nw_point d = nw_minus(handles[i], from);
        double along = nw_dot(d, chord);
        if (along < 0 || along > length2 ||
            nw_cross(chord, d) * nw_cross(chord, d) > STRAIGHT_MM * STRAIGHT_MM * length2)
            return false;
    }
    return true;
}

static bool near_enough(nw_point from, const nw_step *curve, const nw_biarc *biarc, double most)
{
    for (int i = 1; i < SAMPLES; i++)
        if (!(nw_biarc_distance(biarc, nw_step_at(from, curve, (double)i / SAMPLES)) <= most))
            return false;
    return true;
}

static bool add_curve(nw_path *path, nw_point from, const nw_step *curve, double tolerance,
                      int depth)
{
    nw_point leave, back;
    nw_biarc biarc;
    if (straight(from, curve) || depth == HALVINGS_MOST)
        return nw_path_line(path, curve->to);
    if (tangent(from, curve->a, curve->b, curve->to, &leave) &&
        tangent(curve->to, curve->b, curve->a, from, &back) &&
        nw_biarc_make(from, leave, curve->to, nw_back(back), &biarc) &&
        near_enough(from, curve, &biarc, SAMPLE_MARGIN * tolerance))
        return nw_path_biarc(path, &biarc);
    nw_step tail = *curve, head = nw_step_split(from, &tail, 0.5);
    return add_curve(path, from, &head, tolerance, depth + 1) &&
           add_curve(path, head.to, &tail, tolerance, depth + 1);
}

bool nw_path_arcs(const nw_path *path, double tolerance, nw_path *arcs)
{
    *arcs = nw_path_like(path);
    bool good = true;
    for (size_t i = 0; i < path->count && good; i++) {
        const nw_step *step = &path->steps[i];
        good = step->kind == NW_CURVE ? add_curve(arcs, nw_path_from(path, i), step, tolerance, 0)
                                      : nw_path_add(arcs, step);
    }
    if (!good)
        nw_path_free(arcs);
    return good;
}
