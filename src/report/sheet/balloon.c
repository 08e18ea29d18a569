/*
 * balloon: places numbered balloons with their labels, each where a leader gets at the least cost
 * and the sheet is free, so that none overlaps another or an outline, and leaders cross neither
 * one another nor, where a way leads round, the art (see ground). The worst spot's comes first;
 * then each that has no place, or a far one because others bar its way, takes the place that suits
 * it, those in its way look for others, and it stays so where all together lie better (rip-up and
 * rerouting, as for circuit boards: Dees and Karger, Automated rip-up and reroute techniques,
 * 1982).
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <string.h>

#define PAST 30            /* what a cell of another balloon or leader costs that may have to go */
#define NO_PLACE 400000    /* what it costs that a spot has no balloon, */
#define NO_PLACE_STEP 4000 /* and more for each worse one */
#define WORST 4            /* times as much as others the worst spot's costs */
#define FEW 2              /* without a place are worth taking pains */
#define NEAR_ENOUGH 1500   /* to what a place would cost without others */
#define FAR 9000           /* more than that is too far: 30 cells of art, three lines of it */
#define TRIES 30

static nw_box balloon_box(const report_balloon *balloon, bool left)
{
    double inner = balloon->radius + balloon->room, outer = inner + balloon->label + balloon->room;
    double half = fmax(balloon->radius, balloon->lines / 2) + balloon->room;
    return (nw_box){{left ? -outer : -inner, -half}, {left ? inner : outer, half}};
}

static void leader_mark(report_ground *ground, nw_point a, nw_point b)
{
    double length = nw_distance(a, b);
    nw_point aside = nw_left(nw_minus(b, a));
    for (int side = -1; side <= 1 && length > 0; side++) {
        double off = side * ground->cell / length;
        nw_report_ground_line(ground, nw_plus(a, aside, off), nw_plus(b, aside, off),
                              side ? GROUND_NEAR : GROUND_LINE);
    }
}

static nw_box placed_box(const report_balloon *balloon)
{
    return nw_box_moved(balloon_box(balloon, balloon->way.second), balloon->centre);
}

static void balloon_mark(const report_balloon *balloon, report_ground *ground)
{
    for (size_t i = 1; i < balloon->way.count; i++)
        leader_mark(ground, balloon->way.points[i - 1], balloon->way.points[i]);
    if (balloon->way.count)
        nw_report_ground_box(ground, placed_box(balloon), GROUND_TAKEN);
}

/* Between two balloons a leader has room. */
static bool balloon_place(report_balloon *balloon, report_ground *ground, uint32_t past)
{
    nw_box boxes[2];
    for (int left = 0; left < 2; left++) {
        nw_box box = balloon_box(balloon, left);
        boxes[left] = nw_box_of(box.min, box.max, ground->cell);
    }
    int marks = GROUND_EDGE | GROUND_SHY | GROUND_LOST;
    nw_report_ground_count(ground, past ? marks : marks | GROUND_LETTERED);
    bool good = nw_report_ground_search(ground, balloon->ends, boxes, past, &balloon->way);
    if (good && balloon->way.count)
        balloon->centre = balloon->way.points[balloon->way.count - 1];
    return good;
}

static bool leaders_cross(const report_balloon *a, const report_balloon *b)
{
    const nw_point *p = a->way.points, *q = b->way.points;
    for (size_t i = 1; i < a->way.count; i++)
        for (size_t k = 1; k < b->way.count; k++)
            if (nw_segments_cross(p[i - 1], p[i], q[k - 1], q[k]))
                return true;
    return false;
}

/* Whether a's leader runs through b's balloon. */
static bool leader_runs_through(const report_balloon *a, const report_balloon *b)
{
    if (!b->way.count)
        return false;
    nw_box box = placed_box(b);
    nw_point corners[] = {box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
    for (size_t i = 1; i < a->way.count; i++) {
        if (nw_box_holds(box, a->way.points[i - 1]) || nw_box_holds(box, a->way.points[i]))
            return true;
        for (size_t k = 0; k < 4; k++)
            if (nw_segments_cross(a->way.points[i - 1], a->way.points[i], corners[k],
                                  corners[(k + 1) % 4]))
                return true;
    }
    return false;
}

static bool balloons_collide(const report_balloon *a, const report_balloon *b)
{
    return leaders_cross(a, b) || leader_runs_through(a, b) || leader_runs_through(b, a) ||
           (a->way.count && b->way.count && nw_boxes_meet(placed_box(a), placed_box(b), 0));
}

/* ---- all of them --------------------------------------------------------------------------- */

static double balloons_cost(const report_balloon *balloons, size_t count)
{
    double cost = 0;
    for (size_t k = 0; k < count; k++)
        cost += balloons[k].way.count ? balloons[k].way.cost * (k ? 1.0 : WORST)
                                      : NO_PLACE + NO_PLACE_STEP * (double)(count - k);
    return cost;
}

static size_t placed_count(const report_balloon *balloons, size_t count)
{
    size_t placed = 0;
    for (size_t k = 0; k < count; k++)
        placed += balloons[k].way.count > 0;
    return placed;
}

static void balloons_mark(const report_balloon *balloons, size_t count, report_ground *ground)
{
    nw_report_ground_clear(ground, GROUND_TAKEN | GROUND_LINE | GROUND_NEAR);
    for (size_t k = 0; k < count; k++)
        balloon_mark(&balloons[k], ground);
}

/* At least what a way costs, whatever else is on the sheet. */
static double least_cost(const report_balloon *balloon, const report_ground *ground)
{
    uint32_t a = ground->home[nw_report_ground_cell(ground, balloon->ends[0])];
    uint32_t b = ground->home[nw_report_ground_cell(ground, balloon->ends[1])];
    return a < b ? a : b;
}

/* The worst spot first, then those to which room is near: others get round them. */
static void order_find(const report_balloon *balloons, size_t count, const report_ground *ground,
                       size_t *order)
{
    for (size_t i = 0; i < count; i++) {
        size_t at = i;
        double least = least_cost(&balloons[i], ground);
        for (; at > 1 && least < least_cost(&balloons[order[at - 1]], ground); at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
}

/* Those that have no place take one that is left. */
static bool rest_place(report_balloon *balloons, size_t count, report_ground *ground)
{
    bool good = true;
    size_t order[REPORT_BALLOONS_MOST];
    order_find(balloons, count, ground, order);
    balloons_mark(balloons, count, ground);
    for (size_t n = 0; good && n < count; n++) {
        size_t k = order[n];
        if (balloons[k].way.count)
            continue;
        good = balloon_place(&balloons[k], ground, 0);
        for (size_t i = 0; i < count; i++)
            if (i != k && balloons_collide(&balloons[k], &balloons[i]))
                balloons[k].way.count = 0;
        balloon_mark(&balloons[k], ground);
    }
    return good;
}

/* One takes the place that suits it, those in its way make room. */
static bool room_make(report_balloon *balloons, size_t count, size_t k, report_ground *ground)
{
    balloons[k].way.count = 0;
    balloons_mark(balloons, count, ground);
    bool good = balloon_place(&balloons[k], ground, PAST);
    for (size_t i = 0; i < count; i++)
        if (i != k && balloons_collide(&balloons[k], &balloons[i]))
            balloons[i].way.count = 0;
    return good && rest_place(balloons, count, ground);
}

static bool has_poor_place(const report_balloon *balloon, const report_ground *ground)
{
    return !balloon->way.count || balloon->way.cost > least_cost(balloon, ground) + NEAR_ENOUGH;
}

/* Until none gets better. */
static bool balloons_improve(report_balloon *balloons, size_t count, report_ground *ground)
{
    report_balloon tried[REPORT_BALLOONS_MOST];
    double cost = balloons_cost(balloons, count);
    size_t tries = 0, since = 0;
    for (size_t k = 0; since < count && tries < TRIES; k = (k + 1) % count, since++) {
        if (!has_poor_place(&balloons[k], ground))
            continue;
        memcpy(tried, balloons, count * sizeof *tried);
        if (!room_make(tried, count, k, ground))
            return false;
        tries++;
        double found = balloons_cost(tried, count);
        if (found < cost) {
            memcpy(balloons, tried, count * sizeof *tried);
            cost = found;
            since = 0;
        }
    }
    return true;
}

/* Where others bar all short ways a number at the place tells more, but for the worst spot. */
static void far_drop(report_balloon *balloons, size_t count, report_ground *ground)
{
    for (size_t k = 1; k < count; k++)
        if (balloons[k].way.count && balloons[k].way.cost > least_cost(&balloons[k], ground) + FAR)
            balloons[k].way.count = 0;
    balloons_mark(balloons, count, ground);
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
    nw_report_ground_count(ground, GROUND_EDGE | GROUND_SHY | GROUND_LOST);
    return !count || nw_report_ground_homes(ground, all);
}

bool nw_report_balloons_place(report_balloon *balloons, size_t count, report_ground *ground,
                              bool last, size_t *placed)
{
    for (size_t k = 0; k < count; k++)
        balloons[k].way.count = 0;
    bool good = homes_find(balloons, count, ground) && rest_place(balloons, count, ground);
    *placed = placed_count(balloons, count);
    if (!good || (!last && *placed + FEW < count))
        return good;
    good = balloons_improve(balloons, count, ground);
    far_drop(balloons, count, ground);
    *placed = placed_count(balloons, count);
    return good;
}
