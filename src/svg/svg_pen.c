/*
 * svg_pen: moves, lines, curves and arcs in user units -> paths in millimetres.
 *
 * An elliptical arc becomes cubic curves of at most 45 degrees each, which leave it by less than
 * 5e-6 of its radius (SVG 1.1, appendix F.6, for the arc's centre).
 */
#include <svg/svg_internal.h>

#include <math.h>

#define ARC_PIECE (NW_PI / 4)

static nw_point to_mm(nw_svg_pen *pen, nw_point place)
{
    nw_point mm = nw_affine_apply(pen->matrix, place);
    if (!(fabs(mm.x) <= SVG_FARTHEST_MM && fabs(mm.y) <= SVG_FARTHEST_MM)) {
        pen->too_far = true;
        mm = (nw_point){0, 0};
    }
    return mm;
}

void nw_pen_finish(nw_svg_pen *pen)
{
    if (pen->path.count) {
        pen->path.closed |= pen->inside;
        pen->no_memory |= !nw_drawing_add(pen->outline, &pen->path);
    }
    nw_path_free(&pen->path);
    pen->open = false;
}

void nw_pen_move(nw_svg_pen *pen, nw_point to)
{
    nw_pen_finish(pen);
    pen->at = pen->start = to;
}

/* A drawing step that follows a closed subpath begins a new one at the same start. */
static void begin(nw_svg_pen *pen)
{
    if (!pen->open) {
        pen->path.start = to_mm(pen, pen->at);
        pen->start = pen->at;
        pen->open = true;
    }
    pen->steps++;
}

void nw_pen_line(nw_svg_pen *pen, nw_point to)
{
    begin(pen);
    pen->no_memory |= !nw_path_line(&pen->path, to_mm(pen, to));
    pen->at = to;
}

void nw_pen_curve(nw_svg_pen *pen, nw_point a, nw_point b, nw_point to)
{
    begin(pen);
    pen->no_memory |= !nw_path_curve(&pen->path, to_mm(pen, a), to_mm(pen, b), to_mm(pen, to));
    pen->at = to;
}

void nw_pen_close(nw_svg_pen *pen)
{
    nw_point start = pen->start;
    bool point = !pen->open, back = pen->at.x != start.x || pen->at.y != start.y;
    if (!pen->inside && (point || back))
        nw_pen_line(pen, start); /* ends are dots where there is no way between them */
    pen->path.closed = !point;
    nw_pen_finish(pen);
    pen->at = pen->start = start;
}

/* Centre and angles of an arc on the unit circle that (x, y) -> rotated, scaled ellipse makes. */
typedef struct {
    nw_point centre;
    double from, sweep;
} arc_angles;

/* F.6.5 and F.6.6; radii are made larger when they are too small. */
static arc_angles arc_solve(nw_point from, nw_point to, double *rx, double *ry, double cosine,
                            double sine, bool large, bool sweep)
{
    double hx = (from.x - to.x) / 2, hy = (from.y - to.y) / 2;
    double x = cosine * hx + sine * hy, y = -sine * hx + cosine * hy;
    double ux = x / *rx, uy = y / *ry, most = fmax(fabs(ux), fabs(uy));
    /* Of radii of next to nothing the square would be too large for a number. */
    double size = most > 1 ? most * sqrt(ux / most * (ux / most) + uy / most * (uy / most))
                           : sqrt(ux * ux + uy * uy);
    if (size > 1) {
        *rx *= size;
        *ry *= size;
        ux /= size;
        uy /= size;
        size = 1;
    }
    double far = size > 0 ? sqrt(fmax(1 - size * size, 0)) / size : 0;
    far = large == sweep ? -far : far;
    double cx = far * uy, cy = -far * ux; /* the centre on the unit circle's scale */
    double begin_angle = nw_atan2(uy - cy, ux - cx), end_angle = nw_atan2(-uy - cy, -ux - cx);
    double turn = end_angle - begin_angle;
    turn += sweep && turn <= 0 ? NW_TURN : !sweep && turn >= 0 ? -NW_TURN : 0;
    nw_point centre = {cosine * *rx * cx - sine * *ry * cy + (from.x + to.x) / 2,
                       sine * *rx * cx + cosine * *ry * cy + (from.y + to.y) / 2};
    return (arc_angles){centre, begin_angle, turn};
}

void nw_pen_arc(nw_svg_pen *pen, double rx, double ry, double turn_deg, bool large, bool sweep,
                nw_point to)
{
    nw_point from = pen->at;
    rx = fabs(rx);
    ry = fabs(ry);
    if ((from.x == to.x && from.y == to.y) || rx == 0 || ry == 0) {
        nw_pen_line(pen, to);
        return;
    }
    double cosine = nw_cos(turn_deg * NW_DEGREE), sine = nw_sin(turn_deg * NW_DEGREE);
    arc_angles arc = arc_solve(from, to, &rx, &ry, cosine, sine, large, sweep);
    if (!isfinite(arc.sweep) || !isfinite(arc.centre.x) || !isfinite(arc.centre.y)) {
        pen->too_far = true;
        return;
    }
    int count = (int)ceil(fabs(arc.sweep) / ARC_PIECE - 1e-9);
    count = count > 1 ? count : 1;
    double piece = arc.sweep / count, handle = 4.0 / 3 * nw_tan(piece / 4);
    nw_affine ellipse = {cosine * rx, sine * rx,    -sine * ry,
                         cosine * ry, arc.centre.x, arc.centre.y};
    for (int i = 0; i < count; i++) {
        double t0 = arc.from + i * piece, t1 = t0 + piece;
        nw_point a = {nw_cos(t0) - handle * nw_sin(t0), nw_sin(t0) + handle * nw_cos(t0)};
        nw_point b = {nw_cos(t1) + handle * nw_sin(t1), nw_sin(t1) - handle * nw_cos(t1)};
        nw_point end = {nw_cos(t1), nw_sin(t1)};
        nw_pen_curve(pen, nw_affine_apply(ellipse, a), nw_affine_apply(ellipse, b),
                     i + 1 < count ? nw_affine_apply(ellipse, end) : to);
    }
}
