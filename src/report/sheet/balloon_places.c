/*
 * balloon_places: places numbered balloons with their labels, each where a leader gets at the least
 * cost and the sheet is free, so that none overlaps another or an outline, and leaders cross
 * neither one another nor, where a way leads round, the art (see ground). The worst spot's comes
 * first; then all that lie badly are laid anew (see balloons), and where others bar one still it
 * joins one of them (see stacks).
 */
#include <report/sheet/balloon.h>

#include <math.h>

#define FEW 2 /* without a place are worth taking pains */

static size_t placed_count(const report_balloon *balloons, size_t count)
{
    size_t placed = 0;
    for (size_t k = 0; k < count; k++)
        placed += balloons[k].way.count > 0;
    return placed;
}

/* What lies in every balloon's box, right of its place and left of it. */
static bool homes_find(report_balloon *balloons, size_t count, report_ground *ground)
{
    nw_box all[2];
    for (size_t i = 0; i < count; i++) {
        for (int left = 0; left < 2; left++) {
            nw_box box = nw_report_stack_lay(balloons, count, i, left, false);
            all[left] =
                i ? (nw_box){{fmax(all[left].min.x, box.min.x), fmax(all[left].min.y, box.min.y)},
                             {fmin(all[left].max.x, box.max.x), fmin(all[left].max.y, box.max.y)}}
                  : box;
        }
    }
    nw_report_ground_count(ground, GROUND_EDGE | GROUND_SHY | GROUND_LOST);
    return !count || nw_report_ground_homes(ground, all);
}

bool nw_report_balloons_place(report_balloon *balloons, size_t count, report_ground *ground,
                              bool last, size_t *placed)
{
    for (size_t k = 0; k < count; k++) {
        balloons[k].way.count = 0;
        balloons[k].host = k;
        balloons[k].out = false;
    }
    bool good =
        homes_find(balloons, count, ground) && nw_report_balloons_rest(balloons, count, ground);
    *placed = placed_count(balloons, count);
    if (!good || (!last && *placed + FEW < count))
        return good;
    good = nw_report_balloons_improve(balloons, count, ground) &&
           nw_report_balloons_share(balloons, count, ground);
    *placed = placed_count(balloons, count);
    return good;
}
