/*
 * balloon: places numbered balloons with their labels, the worst spot's first: each where a leader
 * gets at the least cost and the sheet is free, so that none overlaps another or the art, and
 * leaders cross neither where a way leads round (see ground). Where leaders cross all the same,
 * the later one goes before the other in a next try; what crosses in the best of all tries has no
 * balloon, but for the worse spot of the two. Nor has one whose leader runs over much of the art
 * because others bar a shorter way: a number at the place tells more.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <string.h>

#define NOT_PLACED SIZE_MAX /* in place of a number of crossings */
#define ART_CELLS 20        /* of a leader may lie on the art in any case, */
#define ART_TIMES 2         /* and so many times as much as were it alone */

static nw_box balloon_box(const report_balloon *balloon, bool left)
{
    double inner = balloon->radius + balloon->room, outer = inner + balloon->label + balloon->room;
    double half = fmax(balloon->radius, balloon->lines / 2) + balloon->room;
    return (nw_box){{left ? -outer : -inner, -half}, {left ? inner : outer, half}};
}

/* Three lines side by side: no way slips through between two cells. */
static void leader_mark(report_ground *ground, nw_point a, nw_point b)
{
    double length = nw_distance(a, b);
    nw_point aside = length > 0 ? nw_left(nw_minus(b, a)) : (nw_point){0, 0};
    for (int side = -1; side <= 1; side++) {
        double off = length > 0 ? side * 0.7 * ground->cell / length : 0;
        nw_report_ground_line(ground, nw_plus(a, aside, off), nw_plus(b, aside, off), GROUND_LINE);
    }
}

static void balloon_mark(const report_balloon *balloon, report_ground *ground)
{
    for (size_t i = 1; i < balloon->way_count; i++)
        leader_mark(ground, balloon->way[i - 1], balloon->way[i]);
    if (balloon->way_count)
        nw_report_ground_box(ground,
                             nw_box_moved(balloon_box(balloon, balloon->left), balloon->centre),
                             GROUND_TAKEN);
}

static bool balloon_place(report_balloon *balloon, report_ground *ground, bool *placed)
{
    const nw_box boxes[] = {balloon_box(balloon, false), balloon_box(balloon, true)};
    nw_report_ground_count(ground, GROUND_ART | GROUND_TAKEN | GROUND_LINE | GROUND_SHY);
    if (!nw_report_ground_search(ground, balloon->ends, boxes, balloon->way, REPORT_WAY_MOST,
                                 &balloon->way_count, &balloon->left))
        return false;
    *placed = balloon->way_count > 0;
    if (*placed)
        balloon->centre = balloon->way[balloon->way_count - 1];
    balloon_mark(balloon, ground);
    return true;
}

static bool leaders_cross(const report_balloon *a, const report_balloon *b)
{
    for (size_t i = 1; i < a->way_count; i++)
        for (size_t k = 1; k < b->way_count; k++)
            if (nw_segments_cross(a->way[i - 1], a->way[i], b->way[k - 1], b->way[k]))
                return true;
    return false;
}

/* Whether a's leader runs through b's balloon. */
static bool leader_runs_through(const report_balloon *a, const report_balloon *b)
{
    if (!b->way_count)
        return false;
    nw_box box = nw_box_moved(balloon_box(b, b->left), b->centre);
    nw_point corners[] = {box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
    for (size_t i = 1; i < a->way_count; i++) {
        if (nw_box_holds(box, a->way[i - 1]) || nw_box_holds(box, a->way[i]))
            return true;
        for (size_t k = 0; k < 4; k++)
            if (nw_segments_cross(a->way[i - 1], a->way[i], corners[k], corners[(k + 1) % 4]))
                return true;
    }
    return false;
}

typedef struct {
    size_t count;   /* of pairs that cross, or NOT_PLACED */
    size_t pair[2]; /* the last one's places in the order */
} leader_crossings;

/* Those of the leader at this place with the ones before. */
static void crossings_add(const report_balloon *balloons, const size_t *order, size_t at,
                          leader_crossings *crossings)
{
    for (size_t i = 0; i < at; i++) {
        if (!leaders_cross(&balloons[order[i]], &balloons[order[at]]))
            continue;
        crossings->count++;
        if (i >= crossings->pair[0]) {
            crossings->pair[0] = i;
            crossings->pair[1] = at;
        }
    }
}

/* Places those from this one on, as long as fewer cross than `most`; the ones before lie as they
 * are. */
static bool rest_place(report_balloon *balloons, const size_t *order, size_t first, size_t count,
                       size_t most, report_ground *ground, leader_crossings *crossings)
{
    bool good = true, placed = true;
    *crossings = (leader_crossings){0};
    nw_report_ground_clear(ground, GROUND_TAKEN | GROUND_LINE);
    for (size_t i = 0; good && placed && i < count && crossings->count < most; i++) {
        if (i < first)
            balloon_mark(&balloons[order[i]], ground);
        else
            good = balloon_place(&balloons[order[i]], ground, &placed);
        crossings_add(balloons, order, i, crossings);
    }
    if (!placed)
        crossings->count = NOT_PLACED;
    return good;
}

/* The worse spot of two keeps its balloon. */
static void crossing_drop(report_balloon *balloons, size_t count, report_ground *ground)
{
    nw_report_ground_clear(ground, GROUND_TAKEN | GROUND_LINE);
    for (size_t k = 0; k < count; k++) {
        for (size_t i = 0; i < k; i++)
            if (leaders_cross(&balloons[i], &balloons[k]) ||
                leader_runs_through(&balloons[i], &balloons[k]) ||
                leader_runs_through(&balloons[k], &balloons[i]))
                balloons[k].way_count = 0;
        balloon_mark(&balloons[k], ground);
    }
}

/* How many cells of the art a way leads over, about. */
static double cells_over_art(const report_ground *ground, const nw_point *way, size_t count)
{
    double cells = 0;
    for (size_t i = 1; i < count; i++) {
        double length = nw_distance(way[i - 1], way[i]) / ground->cell, steps = ceil(length);
        for (double k = 0.5; k < steps; k++) {
            nw_point p = nw_between(way[i - 1], way[i], k / steps);
            if (!nw_report_ground_is_clear(ground, (nw_box){p, p}, GROUND_ART))
                cells += length / steps;
        }
    }
    return cells;
}

/* As if no other were there, but for the worst spot's, which lies as well as it can. */
static bool detours_drop(report_balloon *balloons, size_t count, report_ground *ground)
{
    bool good = true;
    nw_report_ground_clear(ground, GROUND_TAKEN | GROUND_LINE);
    for (size_t k = 1; good && k < count; k++) {
        report_balloon alone = balloons[k];
        double over = cells_over_art(ground, alone.way, alone.way_count);
        if (over <= ART_CELLS)
            continue;
        const nw_box boxes[] = {balloon_box(&alone, false), balloon_box(&alone, true)};
        nw_report_ground_count(ground, GROUND_ART | GROUND_SHY);
        good = nw_report_ground_search(ground, alone.ends, boxes, alone.way, REPORT_WAY_MOST,
                                       &alone.way_count, &alone.left);
        if (over > ART_TIMES * cells_over_art(ground, alone.way, alone.way_count))
            balloons[k].way_count = 0;
    }
    return good;
}

/* What lies in every balloon's box, right of its place and left of it. */
static bool homes_find(const report_balloon *balloons, size_t count, report_ground *ground)
{
    nw_box all[2];
    for (size_t i = 0; i < count; i++) {
        for (int left = 0; left < 2; left++) {
            nw_box box = balloon_box(&balloons[i], left);
            all[left] =
                i ? (nw_box){{fmax(all[left].min.x, box.min.x), fmax(all[left].min.y, box.min.y)},
                             {fmin(all[left].max.x, box.max.x), fmin(all[left].max.y, box.max.y)}}
                  : box;
        }
    }
    nw_report_ground_count(ground, GROUND_ART | GROUND_SHY);
    return !count || nw_report_ground_homes(ground, all);
}

/* Tries orders until nothing crosses or one is no better than the one before. */
bool nw_report_balloons_place(report_balloon *balloons, size_t count, report_ground *ground,
                              bool *placed)
{
    size_t order[REPORT_BALLOONS_MOST], fewest = NOT_PLACED;
    report_balloon best[REPORT_BALLOONS_MOST];
    leader_crossings crossings;
    for (size_t i = 0; i < count; i++)
        order[i] = i;
    nw_report_ground_clear(ground, GROUND_TAKEN | GROUND_LINE);
    bool good = homes_find(balloons, count, ground) &&
                rest_place(balloons, order, 0, count, fewest, ground, &crossings);
    while (good && crossings.count < fewest) {
        size_t earlier = crossings.pair[0], between = crossings.pair[1] - earlier;
        size_t later = order[crossings.pair[1]];
        fewest = crossings.count;
        memcpy(best, balloons, count * sizeof *best);
        memmove(&order[earlier + 1], &order[earlier], between * sizeof *order);
        order[earlier] = later;
        if (fewest)
            good = rest_place(balloons, order, earlier, count, fewest, ground, &crossings);
    }
    *placed = fewest != NOT_PLACED;
    if (!good || !*placed)
        return good;
    memcpy(balloons, best, count * sizeof *best);
    good = detours_drop(balloons, count, ground);
    crossing_drop(balloons, count, ground);
    return good;
}
