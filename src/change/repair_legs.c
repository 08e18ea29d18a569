/*
 * An outline, from a node on or back -> the wall of a leg: places not far apart, its ways and how
 * far a point is from it.
 */
#include <change/repair.h>

#include <math.h>

#define STEP_SHARE 0.1 /* of the leg's wanted width: between places along a wall */
#define AROUND 5       /* such places either way tell a wall's way */
#define LEG_BITS 20.0  /* of a leg's length that is looked at */
#define CORNER_RAD 0.8 /* a wall ends where it turns by more */

static double step_length(nw_point from, const nw_step *step)
{
    double length = 0;
    nw_point last = from;
    for (int k = 1; k <= 8; k++) {
        nw_point p = nw_step_at(from, step, k / 8.0);
        length += nw_distance(last, p);
        last = p;
    }
    return length;
}

/* Does the outline turn sharply where it leaves this step, on or back? */
static bool is_corner(const nw_path *path, size_t step, bool forward)
{
    size_t n = path->count, next = forward ? (step + 1) % n : step, last = (next + n - 1) % n;
    nw_point node = path->steps[last].to, from = nw_path_from(path, last);
    nw_point in = nw_unit(nw_step_at(from, &path->steps[last], 0.9), node);
    nw_point out = nw_unit(node, nw_step_at(node, &path->steps[next], 0.1));
    return fabs(nw_angle(in, out)) > CORNER_RAD;
}

void nw_leg_wall_make(const nw_path *path, size_t node, bool forward, double wide, double free,
                      nw_leg_wall *w)
{
    size_t n = path->count, step = forward ? (node + 1) % n : node;
    w->items[0] = (nw_leg_place){path->steps[node].to, step, forward ? 0 : 1, 0};
    w->count = 1;
    w->goes_on = false;
    for (size_t k = 0; k < n; k++) {
        nw_point from = nw_path_from(path, step);
        int parts = 1 + (int)(step_length(from, &path->steps[step]) / (STEP_SHARE * wide));
        for (int j = 1; j <= parts; j++) {
            const nw_leg_place *last = &w->items[w->count - 1];
            double t = forward ? (double)j / parts : 1 - (double)j / parts;
            nw_leg_place p = {nw_step_at(from, &path->steps[step], t), step, t, last->along};
            p.along += nw_distance(last->at, p.at);
            w->items[w->count++] = p;
            w->goes_on = w->count == NW_LEG_PLACES || p.along > LEG_BITS * wide;
            if (w->goes_on)
                return;
        }
        if (w->items[w->count - 1].along > free && is_corner(path, step, forward))
            return;
        step = forward ? (step + 1) % n : (step + n - 1) % n;
    }
}

size_t nw_leg_wall_at(const nw_leg_wall *w, double along)
{
    size_t k = 0;
    while (k + 1 < w->count && w->items[k].along < along)
        k++;
    return k;
}

nw_point nw_leg_wall_way(const nw_leg_wall *w, size_t at)
{
    size_t from = at + AROUND < w->count ? at + AROUND : w->count - 1;
    return nw_unit(w->items[from].at, w->items[at > AROUND ? at - AROUND : 0].at);
}

double nw_leg_wall_distance(const nw_leg_wall *w, nw_point p)
{
    double least = INFINITY;
    for (size_t k = 1; k < w->count; k++)
        least = fmin(least, nw_segment_distance(w->items[k - 1].at, w->items[k].at, p));
    return least;
}
