/* placing: a drawing scaled, turned, mirrored, and moved back to the origin. */
#include <geom/curves.h>
#include <geom/nesting.h>

#include <math.h>

void nw_path_apply(nw_path *path, nw_affine m)
{
    path->start = nw_affine_apply(m, path->start);
    for (size_t i = 0; i < path->count; i++) {
        nw_step *step = &path->steps[i];
        step->a = nw_affine_apply(m, step->a);
        step->b = nw_affine_apply(m, step->b);
        step->to = nw_affine_apply(m, step->to);
    }
}

static void drawing_apply(nw_drawing *drawing, const nw_affine *m)
{
    bool told = drawing->placed.a != 0 || drawing->placed.b != 0;
    for (size_t i = 0; i < drawing->count; i++)
        nw_path_apply(&drawing->paths[i], *m);
    drawing->placed = told ? nw_affine_after(*m, drawing->placed) : drawing->placed;
}

void nw_drawing_move(nw_drawing *drawing, double x, double y)
{
    drawing_apply(drawing, &(nw_affine){1, 0, 0, 1, x, y});
}

void nw_region_count_rings(const nw_region *region, size_t *pieces, size_t *holes)
{
    *pieces = *holes = 0;
    for (size_t ring = 0; ring < region->count; ring++) {
        bool hole = nw_ring_area(region, ring) < 0;
        *holes += hole;
        *pieces += !hole;
    }
}

void nw_drawing_settle(nw_drawing *drawing)
{
    nw_box box = nw_drawing_box(drawing);
    nw_drawing_move(drawing, -box.min.x, -box.min.y);
    drawing->width = nw_box_width(box);
    drawing->height = nw_box_height(box);
}

static double steady(double at)
{
    static const double steps = 1 << 27; /* in a millimetre */
    return floor(at * steps + 0.5) / steps;
}

static nw_point steady_point(nw_point p)
{
    return (nw_point){steady(p.x), steady(p.y)};
}

void nw_drawing_steady(nw_drawing *drawing)
{
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        path->start = steady_point(path->start);
        for (size_t k = 0; k < path->count; k++) {
            nw_step *step = &path->steps[k];
            step->a = steady_point(step->a);
            step->b = steady_point(step->b);
            step->to = steady_point(step->to);
        }
    }
    drawing->width = steady(drawing->width);
    drawing->height = steady(drawing->height);
}

/* Cosine and sine, exact for quarter turns, so that those keep straight edges straight. */
static void turn_of(double degrees, double *cosine, double *sine)
{
    double left = remainder(degrees, 360);
    double quarters = nearbyint(left / 90);
    double rest = (left - 90 * quarters) * NW_DEGREE;
    double c = nw_cos(rest), s = nw_sin(rest);
    switch (((int)quarters + 4) % 4) {
    case 1:
        *cosine = -s, *sine = c;
        break;
    case 2:
        *cosine = -c, *sine = -s;
        break;
    case 3:
        *cosine = s, *sine = -c;
        break;
    default:
        *cosine = c, *sine = s;
    }
}

/* A mirrored outline runs the wrong way round: turn it back. Reversing has turned the arcs'
 * sense, and the mirror turns it again. */
static void path_turn_round(nw_path *path)
{
    nw_path_reverse(path);
    for (size_t i = 0; i < path->count; i++)
        path->steps[i].clockwise = path->steps[i].kind == NW_ARC && !path->steps[i].clockwise;
}

nw_status nw_drawing_place(nw_drawing *drawing, double factor, double turn_deg, bool mirror,
                           nw_error *error)
{
    if (!(factor > 0) || !isfinite(factor) || !isfinite(turn_deg))
        return nw_fail(error, NW_BAD_REQUEST, "a drawing cannot be scaled or turned by that much");
    nw_box box = nw_drawing_box(drawing);
    double size =
        fmax(fmax(fabs(box.min.x), fabs(box.max.x)), fmax(fabs(box.min.y), fabs(box.max.y)));
    if (!(size * factor < 1e7)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "at that size the drawing is over ten kilometres; is the unit right?");
    }
    double cosine, sine;
    turn_of(turn_deg, &cosine, &sine);
    double across = mirror ? -factor : factor;
    drawing_apply(drawing, &(nw_affine){across * cosine, factor * sine, -across * sine,
                                        factor * cosine, 0, 0});
    for (size_t i = 0; mirror && i < drawing->count; i++)
        path_turn_round(&drawing->paths[i]);
    nw_drawing_settle(drawing);
    return NW_OK;
}
