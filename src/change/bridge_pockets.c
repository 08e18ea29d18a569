/*
 * The art with bridges -> the same without the pockets beside them: cuts of their own into which no
 * bit gets, which stock fills.
 */
#include <change/bridges.h>

#include <math.h>

#define POCKET_MM 0.01       /* nearer to a strip is under it, */
#define BESIDE_OF_WIDTH 0.25 /* and as near as this beside it */

/* How far the path goes at most from the nearest of count strips. */
static double farthest_from(const nw_bridge_made *made, size_t count, const nw_path *path)
{
    nw_point from = path->start;
    double most = 0;
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        nw_point places[] = {nw_step_at(from, step, 0.5), step->to};
        for (size_t n = 0; n < 2; n++) {
            double near = INFINITY;
            for (size_t i = 0; i < count; i++)
                near = fmin(near, nw_strip_distance(&made[i].strip, places[n]));
            most = fmax(most, near);
        }
        from = step->to;
    }
    return most;
}

/* Between a strip's end and a wall that recedes behind a corner, or between two strips that meet at
 * an eye, a cut of its own may stay into which no bit gets. */
static bool is_pocket(const nw_bridge_tree *tree, const nw_path *path)
{
    const nw_bridge_made *made = tree->made;
    double bit = 2 * tree->judge.radius;
    if (path->hole != tree->outside)
        return false;
    for (size_t k = 0; k < tree->made_count; k++)
        if (farthest_from(&made[k], 1, path) < POCKET_MM)
            return true;
    return fabs(nw_path_area(path)) < bit * bit / 2 &&
           farthest_from(made, tree->made_count, path) < BESIDE_OF_WIDTH * tree->judge.width;
}

void nw_pockets_fill(const nw_bridge_tree *tree, nw_drawing *painted)
{
    size_t kept = 0;
    for (size_t i = 0; i < painted->count; i++) {
        nw_path *path = &painted->paths[i];
        if (is_pocket(tree, path))
            nw_path_free(path);
        else
            painted->paths[kept++] = *path;
    }
    painted->count = kept;
}
