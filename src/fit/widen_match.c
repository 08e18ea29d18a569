/*
 * A pinch of one fit -> the same place in the fit of a wider disc: the residue on whose walls the
 * ends of the pinch's shortest line lie. One end may be a corner, which has no wall of any length.
 */
#include <fit/widen.h>

#include <math.h>

#define SAME_WALL_MM 1e-3 /* a place on a wall, told by two fits of the same outlines */

/* Distance of p from the lines of a residue's path: from its walls. */
static double walls_distance(const nw_path *path, nw_point p)
{
    double least = INFINITY;
    nw_point from = path->start;
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        nw_point line = nw_minus(step->to, from);
        double square = nw_dot(line, line);
        if (step->kind == NW_LINE) {
            double t = square > 0 ? nw_dot(nw_minus(p, from), line) / square : 0;
            least = fmin(least, nw_distance(p, nw_plus(from, line, fmin(fmax(t, 0), 1))));
        }
        from = step->to;
    }
    return least;
}

static double residue_distance(const nw_fit *fit, const nw_spot *spot, nw_point p)
{
    double least = INFINITY;
    for (size_t i = 0; i < spot->residue_count; i++) {
        least = fmin(least, walls_distance(&fit->residues.paths[spot->residue + i], p));
    }
    return least;
}

size_t nw_pinch_within(const nw_fit *wide, const nw_spot *pinch)
{
    size_t best = SIZE_MAX;
    double nearest = INFINITY;
    for (size_t i = 0; i < wide->spot_count; i++) {
        const nw_spot *spot = &wide->spots[i];
        if (spot->side != pinch->side) {
            continue;
        }
        double from = residue_distance(wide, spot, pinch->from);
        double to = residue_distance(wide, spot, pinch->to);
        if (fmin(from, to) < SAME_WALL_MM && from + to < nearest) {
            nearest = from + to;
            best = i;
        }
    }
    return best;
}
