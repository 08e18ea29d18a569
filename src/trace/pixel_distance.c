/*
 * pixel_distance: how far outlines leave the boundary between ink and paper pixels. Each outline is
 * looked at in places at most a quarter of a pixel apart; for each place the pixel edges around it
 * are searched in growing squares, until none outside could be nearer.
 */
#include <trace/tracing.h>

#include <math.h>

bool nw_ink_at(const nw_ink *ink, long x, long y)
{
    return x >= 0 && y >= 0 && x < (long)ink->width && y < (long)ink->height &&
           nw_ink_has(ink, (size_t)x, ink->height - 1 - (size_t)y);
}

/* Distance from p to the unit edge that starts at (x, y). */
static double edge_distance(nw_point p, long x, long y, bool upright)
{
    double along = (upright ? p.y - (double)y : p.x - (double)x);
    double across = upright ? p.x - (double)x : p.y - (double)y;
    return nw_length((nw_point){across, fmax(fmax(-along, along - 1), 0)});
}

/* The nearest edge among those of pixel (x, y)'s left and lower side. */
static double pixel_distance(const nw_ink *ink, nw_point p, long x, long y)
{
    bool here = nw_ink_at(ink, x, y);
    double distance = MOST_DISTANCE_PX;
    if (here != nw_ink_at(ink, x - 1, y))
        distance = fmin(distance, edge_distance(p, x, y, true));
    if (here != nw_ink_at(ink, x, y - 1))
        distance = fmin(distance, edge_distance(p, x, y, false));
    return distance;
}

static double place_distance(const nw_ink *ink, nw_point p)
{
    long cx = (long)floor(p.x), cy = (long)floor(p.y);
    double distance = MOST_DISTANCE_PX;
    for (long r = 0; (double)r - 1 < distance; r++) {
        for (long y = cy - r; y <= cy + r; y++) {
            bool rim = y == cy - r || y == cy + r;
            for (long x = cx - r; x <= cx + r; x += rim || !r ? 1 : 2 * r)
                distance = fmin(distance, pixel_distance(ink, p, x, y));
        }
    }
    return distance;
}

static double step_length(nw_point from, const nw_step *step)
{
    if (step->kind == NW_CURVE) {
        return nw_distance(from, step->a) + nw_distance(step->a, step->b) +
               nw_distance(step->b, step->to);
    }
    return nw_distance(from, step->to);
}

static double step_distance(const nw_ink *ink, nw_point from, const nw_step *step)
{
    double most = 0, n = ceil(4 * step_length(from, step));
    for (double i = 1; i <= n; i++)
        most = fmax(most, place_distance(ink, nw_step_at(from, step, i / n)));
    return most;
}

double nw_drawing_distance(const nw_drawing *drawing, const nw_ink *ink)
{
    double most = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        for (size_t k = 0; k < path->count; k++)
            most = fmax(most, step_distance(ink, nw_path_from(path, k), &path->steps[k]));
    }
    return most;
}
