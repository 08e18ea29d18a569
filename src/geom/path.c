/*
 * path: steps -> paths -> drawings, their copies and their areas.
 *
 * Areas come from Green's theorem: for a line and a cubic Bézier a sum of cross products of the
 * control points, for an arc the chord's share plus the circular segment.
 */
#include <geom/curves.h>

#include <stdlib.h>
#include <string.h>

bool nw_path_add(nw_path *path, const nw_step *step)
{
    return nw_push(&path->steps, &path->count, &path->capacity, step, sizeof *step);
}

bool nw_path_line(nw_path *path, nw_point to)
{
    return nw_path_add(path, &(nw_step){.kind = NW_LINE, .to = to});
}

bool nw_path_curve(nw_path *path, nw_point a, nw_point b, nw_point to)
{
    return nw_path_add(path, &(nw_step){.kind = NW_CURVE, .a = a, .b = b, .to = to});
}

bool nw_path_arc(nw_path *path, nw_point centre, nw_point to, bool clockwise)
{
    return nw_path_add(path,
                       &(nw_step){.kind = NW_ARC, .clockwise = clockwise, .a = centre, .to = to});
}

void nw_path_free(nw_path *path)
{
    if (path) {
        free(path->steps);
        *path = (nw_path){0};
    }
}

nw_point nw_path_from(const nw_path *path, size_t index)
{
    return index ? path->steps[index - 1].to : path->start;
}

double nw_arc_sweep(nw_point from, const nw_step *step)
{
    double begin = nw_atan2(from.y - step->a.y, from.x - step->a.x);
    double end = nw_atan2(step->to.y - step->a.y, step->to.x - step->a.x);
    double sweep = step->clockwise ? begin - end : end - begin;
    if (sweep <= 0)
        sweep += NW_TURN; /* an arc that ends where it began is a whole circle */
    return step->clockwise ? -sweep : sweep;
}

nw_point nw_step_at(nw_point from, const nw_step *step, double t)
{
    if (step->kind == NW_CURVE)
        return nw_curve_at(from, step->a, step->b, step->to, t);
    if (step->kind == NW_LINE)
        return nw_between(from, step->to, t);
    double angle = nw_arc_sweep(from, step) * t;
    return nw_plus(step->a, nw_turned(nw_minus(from, step->a), nw_cos(angle), nw_sin(angle)), 1);
}

nw_point nw_step_blossom(nw_point from, const nw_step *s, double u, double v, double w)
{
    nw_point a = nw_between(from, s->a, u), b = nw_between(s->a, s->b, u),
             c = nw_between(s->b, s->to, u);
    return nw_between(nw_between(a, b, v), nw_between(b, c, v), w);
}

nw_step nw_step_split(nw_point from, nw_step *step, double t)
{
    nw_step head = *step;
    head.to = nw_step_at(from, step, t);
    if (step->kind == NW_CURVE) {
        head.a = nw_step_blossom(from, step, 0, 0, t);
        head.b = nw_step_blossom(from, step, 0, t, t);
        nw_point a = nw_step_blossom(from, step, t, t, 1);
        step->b = nw_step_blossom(from, step, t, 1, 1);
        step->a = a;
    }
    return head;
}

void nw_path_reverse(nw_path *path)
{
    if (!path->count)
        return;
    nw_point end = path->steps[path->count - 1].to;
    /* Shift the ends by one step, turn each step round, then turn the order round. */
    for (size_t i = path->count; i-- > 0;) {
        nw_step *step = &path->steps[i];
        step->to = nw_path_from(path, i);
        step->clockwise = step->kind == NW_ARC && !step->clockwise;
        if (step->kind == NW_CURVE) {
            nw_point a = step->a;
            step->a = step->b;
            step->b = a;
        }
    }
    for (size_t i = 0, j = path->count - 1; i < j; i++, j--) {
        nw_step step = path->steps[i];
        path->steps[i] = path->steps[j];
        path->steps[j] = step;
    }
    path->start = end;
}

bool nw_drawing_add(nw_drawing *drawing, nw_path *path)
{
    if (!nw_push(&drawing->paths, &drawing->count, &drawing->capacity, path, sizeof *path))
        return false;
    *path = (nw_path){0};
    return true;
}

void nw_drawing_free(nw_drawing *drawing)
{
    if (!drawing)
        return;
    for (size_t i = 0; i < drawing->count; i++)
        nw_path_free(&drawing->paths[i]);
    free(drawing->paths);
    *drawing = (nw_drawing){0};
}

bool nw_path_copy(const nw_path *from, nw_path *to)
{
    *to = nw_path_like(from);
    to->steps = nw_alloc(from->count, sizeof *from->steps);
    if (!to->steps)
        return false;
    if (from->count)
        memcpy(to->steps, from->steps, from->count * sizeof *from->steps);
    to->count = to->capacity = from->count;
    return true;
}

nw_status nw_drawing_copy(const nw_drawing *from, nw_drawing *to, nw_error *error)
{
    *to = (nw_drawing){.width = from->width, .height = from->height, .placed = from->placed};
    for (size_t i = 0; i < from->count; i++) {
        nw_path path;
        if (!nw_path_copy(&from->paths[i], &path) || !nw_drawing_add(to, &path)) {
            nw_path_free(&path);
            nw_drawing_free(to);
            return nw_fail_memory(error, "a copy of the outlines");
        }
    }
    return NW_OK;
}

/* Twice the area between a step and the origin. */
static double step_area_twice(nw_point from, const nw_step *step)
{
    nw_point to = step->to;
    if (step->kind == NW_CURVE) {
        return 0.1 * (6 * nw_cross(from, step->a) + 3 * nw_cross(from, step->b) +
                      nw_cross(from, to) + 3 * nw_cross(step->a, step->b) +
                      3 * nw_cross(step->a, to) + 6 * nw_cross(step->b, to));
    }
    if (step->kind == NW_ARC) {
        double angle = nw_arc_sweep(from, step);
        nw_point spoke = nw_minus(from, step->a);
        return nw_cross(from, to) + nw_dot(spoke, spoke) * (angle - nw_sin(angle));
    }
    return nw_cross(from, to);
}

double nw_path_area(const nw_path *path)
{
    double twice = 0;
    /* Relative to the path's own start, so that far away paths lose no digits. */
    nw_point o = path->start;
    for (size_t i = 0; i < path->count; i++) {
        nw_step step = path->steps[i];
        step.a = nw_minus(step.a, o);
        step.b = nw_minus(step.b, o);
        step.to = nw_minus(step.to, o);
        twice += step_area_twice(nw_minus(nw_path_from(path, i), o), &step);
    }
    return twice / 2;
}

size_t nw_drawing_steps(const nw_drawing *drawing)
{
    size_t steps = 0;
    for (size_t i = 0; i < drawing->count; i++)
        steps += drawing->paths[i].count;
    return steps;
}

double nw_drawing_area(const nw_drawing *drawing)
{
    double area = 0;
    for (size_t i = 0; i < drawing->count; i++)
        area += drawing->paths[i].closed ? nw_path_area(&drawing->paths[i]) : 0;
    return area;
}
