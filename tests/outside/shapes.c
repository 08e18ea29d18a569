/* shapes: regions and paths for the tests, see shapes.h. */
#include "shapes.h"

#include <report/report.h>
#include <svg/svg.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void *need(void *memory)
{
    if (!memory) {
        fputs("the test ran out of memory\n", stderr);
        abort();
    }
    return memory;
}

static double ring_area(const nw_point *points, size_t count)
{
    double twice = 0;
    for (size_t i = 0, j = count - 1; i < count; j = i++) {
        twice += (points[j].x - points[0].x) * (points[i].y - points[0].y) -
                 (points[i].x - points[0].x) * (points[j].y - points[0].y);
    }
    return twice / 2;
}

void shape_ring(nw_region *region, const nw_point *points, size_t count, bool hole, size_t piece)
{
    size_t rings = region->count, first = region->starts ? region->starts[rings] : 0;
    region->points = need(realloc(region->points, (first + count) * sizeof *region->points));
    region->starts = need(realloc(region->starts, (rings + 2) * sizeof *region->starts));
    region->pieces = need(realloc(region->pieces, (rings + 1) * sizeof *region->pieces));
    bool turn = (ring_area(points, count) < 0) != hole;
    for (size_t i = 0; i < count; i++)
        region->points[first + i] = points[turn ? count - 1 - i : i];
    region->starts[rings] = first;
    region->starts[rings + 1] = first + count;
    region->pieces[rings] = piece;
    region->count = rings + 1;
}

void shape_circle(nw_region *region, nw_point centre, double radius, size_t count, double first,
                  bool hole, size_t piece)
{
    nw_point *points = need(malloc(count * sizeof *points));
    for (size_t i = 0; i < count; i++) {
        double t = first + 2 * PI * (double)i / (double)count;
        points[i] = (nw_point){centre.x + radius * cos(t), centre.y + radius * sin(t)};
    }
    shape_ring(region, points, count, hole, piece);
    free(points);
}

void shape_box(nw_region *region, nw_point min, nw_point max, bool hole, size_t piece)
{
    nw_point points[] = {min, {max.x, min.y}, max, {min.x, max.y}};
    shape_ring(region, points, 4, hole, piece);
}

shape_move shape_move_similar(double scale, double turn_deg, bool mirror, double x0, double y0)
{
    double c = scale * cos(turn_deg * PI / 180), s = scale * sin(turn_deg * PI / 180);
    double flip = mirror ? -1 : 1;
    return (shape_move){c * flip, -s, s * flip, c, x0, y0};
}

nw_point shape_moved_point(shape_move m, nw_point p)
{
    return (nw_point){m.xx * p.x + m.xy * p.y + m.x0, m.yx * p.x + m.yy * p.y + m.y0};
}

nw_region shape_moved(const nw_region *region, shape_move move)
{
    nw_region moved = {0};
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], count = region->starts[k + 1] - first;
        nw_point *points = need(malloc(count * sizeof *points));
        for (size_t i = 0; i < count; i++)
            points[i] = shape_moved_point(move, region->points[first + i]);
        shape_ring(&moved, points, count, shape_is_hole(region, k), region->pieces[k]);
        free(points);
    }
    return moved;
}

nw_region shape_written(const nw_drawing *drawing)
{
    nw_drawing whole, read;
    nw_text svg;
    nw_svg_notes notes;
    nw_region region;
    bool good = nw_drawing_copy(drawing, &whole, NULL) == NW_OK;
    for (size_t i = 0; good && i < whole.count; i++)
        whole.paths[i].piece = 0;
    const nw_layer layer = {"outline", &whole, NULL, true};
    good =
        good && nw_write_svg(&layer, 1, "outline", NULL, &svg, NULL) == NW_OK &&
        nw_drawing_read_svg((const uint8_t *)svg.data, svg.length, &read, &notes, NULL) == NW_OK &&
        nw_drawing_flatten(&read, NW_FLATNESS_MM, &region, NULL) == NW_OK;
    if (!good)
        abort();
    nw_text_free(&svg);
    nw_drawing_free(&whole);
    nw_drawing_free(&read);
    return region;
}

bool shape_is_hole(const nw_region *region, size_t k)
{
    size_t first = region->starts[k];
    return ring_area(region->points + first, region->starts[k + 1] - first) < 0;
}

nw_box shape_box_of(const nw_region *region)
{
    nw_box box = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    for (size_t i = 0; i < region->starts[region->count]; i++) {
        nw_point p = region->points[i];
        box.min.x = fmin(box.min.x, p.x), box.min.y = fmin(box.min.y, p.y);
        box.max.x = fmax(box.max.x, p.x), box.max.y = fmax(box.max.y, p.y);
    }
    return box;
}

void shape_fit_width(nw_region *region, double wide)
{
    nw_box box = shape_box_of(region);
    double scale = wide / (box.max.x - box.min.x);
    nw_region moved = shape_moved(
        region, shape_move_similar(scale, 0, false, -box.min.x * scale, -box.min.y * scale));
    nw_region_free(region);
    *region = moved;
}

/* The angle that an arc from p sweeps to q, positive counter-clockwise, 0 to a full turn. */
static double swept(nw_point p, const nw_step *step)
{
    double t = atan2(step->to.y - step->a.y, step->to.x - step->a.x) -
               atan2(p.y - step->a.y, p.x - step->a.x);
    if (step->clockwise)
        return t < 0 ? t : t - 2 * PI;
    return t > 0 ? t : t + 2 * PI;
}

double shape_path_area(const nw_path *path)
{
    double area = 0;
    nw_point p = path->start;
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        nw_point q = step->to, o = path->start;
        area += ((p.x - o.x) * (q.y - o.y) - (q.x - o.x) * (p.y - o.y)) / 2;
        if (step->kind == NW_ARC) {
            double t = swept(p, step), r = hypot(q.x - step->a.x, q.y - step->a.y);
            area += r * r / 2 * (t - sin(t));
        }
        p = q;
    }
    return area;
}

static size_t arc_pieces(double angle, double radius, double flatness)
{
    double widest = radius > flatness ? 2 * acos(1 - flatness / radius) : PI / 2;
    return (size_t)ceil(fabs(angle) / widest) + 1;
}

size_t shape_path_points(const nw_path *path, double flatness, nw_point **points)
{
    size_t count = 0, capacity = 0;
    *points = NULL;
    nw_point p = path->start;
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        double angle = 0, radius = hypot(p.x - step->a.x, p.y - step->a.y);
        size_t pieces = 1;
        if (step->kind == NW_ARC) {
            angle = swept(p, step);
            pieces = arc_pieces(angle, radius, flatness);
        }
        if (count + pieces > capacity) {
            capacity = 2 * (count + pieces);
            *points = need(realloc(*points, capacity * sizeof **points));
        }
        double from = atan2(p.y - step->a.y, p.x - step->a.x);
        for (size_t k = 1; k < pieces; k++) {
            double t = from + angle * (double)k / (double)pieces;
            (*points)[count++] =
                (nw_point){step->a.x + radius * cos(t), step->a.y + radius * sin(t)};
        }
        (*points)[count++] = step->to;
        p = step->to;
    }
    return count;
}

nw_fit shape_fit(const nw_region *region, const nw_fit_options *options)
{
    nw_fit fit;
    nw_error error = {0};
    if (nw_fit_run(region, options, &fit, &error) != NW_OK) {
        fprintf(stderr, "the fit failed: %s\n", error.message);
        abort();
    }
    return fit;
}

size_t shape_count(const nw_fit *fit, nw_side side, nw_form form)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++)
        count += fit->spots[i].side == side && fit->spots[i].form == form;
    return count;
}

static bool has_spot(const nw_region *region, nw_cut cut, nw_side side, nw_form form, double d)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = options.neck = d;
    nw_fit fit = shape_fit(region, &options);
    bool has = shape_count(&fit, side, form) > 0;
    nw_fit_free(&fit);
    return has;
}

double shape_critical(const nw_region *region, nw_cut cut, nw_side side, nw_form form, double low,
                      double high)
{
    if (!has_spot(region, cut, side, form, high))
        return 0;
    while (high - low > 1e-5) {
        double middle = (low + high) / 2;
        *(has_spot(region, cut, side, form, middle) ? &high : &low) = middle;
    }
    return high;
}
