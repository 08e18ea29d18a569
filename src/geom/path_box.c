/*
 * path_box: the exact bounding boxes of paths: the ends of every step, the places where a cubic's
 * derivative (a quadratic in t) is zero, and the quarter points that an arc passes.
 */
#include <geom/curves.h>

#include <math.h>

static void take_at(nw_box *box, nw_point from, const nw_step *step, double t)
{
    if (t > 0 && t < 1)
        nw_box_take(box, nw_curve_at(from, step->a, step->b, step->to, t), 0);
}

/* The curve where one of its coordinates, with control values p0 to p3, turns back. */
static void take_extremes(nw_box *box, nw_point from, const nw_step *step, const double p[4])
{
    double c = p[1] - p[0], b = 2 * (p[2] - 2 * p[1] + p[0]), a = p[3] - p[0] + 3 * (p[1] - p[2]);
    double root = b * b - 4 * a * c;
    if (root < 0)
        return;
    /* The form that loses no digits when a is small. */
    double q = -(b + copysign(sqrt(root), b)) / 2;
    if (a != 0)
        take_at(box, from, step, q / a);
    if (q != 0)
        take_at(box, from, step, c / q);
}

static void take_arc(nw_box *box, nw_point from, const nw_step *step)
{
    double sweep = nw_arc_sweep(from, step);
    nw_point spoke = nw_minus(from, step->a);
    double begin = nw_atan2(spoke.y, spoke.x);
    double low = sweep < 0 ? begin + sweep : begin, high = low + fabs(sweep);
    double radius = nw_length(spoke);
    for (double k = ceil(low / (NW_TURN / 4)); k * (NW_TURN / 4) < high; k++) {
        double angle = k * (NW_TURN / 4);
        nw_box_take(box, nw_plus(step->a, (nw_point){nw_cos(angle), nw_sin(angle)}, radius), 0);
    }
}

static void take_path(nw_box *box, const nw_path *path)
{
    nw_box_take(box, path->start, 0);
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        nw_point from = nw_path_from(path, i);
        nw_box_take(box, step->to, 0);
        if (step->kind == NW_CURVE) {
            take_extremes(box, from, step, (double[]){from.x, step->a.x, step->b.x, step->to.x});
            take_extremes(box, from, step, (double[]){from.y, step->a.y, step->b.y, step->to.y});
        } else if (step->kind == NW_ARC) {
            take_arc(box, from, step);
        }
    }
}

nw_box nw_path_box(const nw_path *path)
{
    nw_box box = nw_box_empty();
    take_path(&box, path);
    return box;
}

nw_box nw_drawing_box(const nw_drawing *drawing)
{
    nw_box box = nw_box_empty();
    for (size_t i = 0; i < drawing->count; i++)
        take_path(&box, &drawing->paths[i]);
    return drawing->count ? box : (nw_box){{0, 0}, {0, 0}};
}
