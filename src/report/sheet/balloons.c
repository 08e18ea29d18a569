/*
 * balloons: those that have no place, or a far one because others bar its way, take the place that
 * suits them, those in their way look for others, and it stays so where all together lie better
 * (rip-up and rerouting, as for circuit boards: Dees and Karger, Automated rip-up and reroute
 * techniques, 1982).
 */
#include <report/sheet/balloon.h>

#include <math.h>
#include <string.h>

#define PAST 30            /* what a cell of another balloon or leader costs that may have to go */
#define NO_PLACE 400000    /* what it costs that a spot has no balloon, */
#define NO_PLACE_STEP 4000 /* and more for each worse one */
#define WORST 4            /* times as much as others the worst spot's costs */
#define NEAR_ENOUGH 1500   /* to what a place would cost without others */
#define TRIES 12

double nw_report_balloons_cost(const report_balloon *balloons, size_t count)
{
    double cost = 0;
    for (size_t k = 0; k < count; k++)
        cost += balloons[k].way.count ? balloons[k].way.cost * (k ? 1.0 : WORST)
                                      : NO_PLACE + NO_PLACE_STEP * (double)(count - k);
    return cost;
}

double nw_report_balloon_least(const report_balloon *balloon, const report_ground *ground)
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
        double least = nw_report_balloon_least(&balloons[i], ground);
        for (; at > 1 && least < nw_report_balloon_least(&balloons[order[at - 1]], ground); at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
}

/* Those that have no place take one that is left: hosts, then guests. */
bool nw_report_balloons_rest(report_balloon *balloons, size_t count, report_ground *ground)
{
    bool good = true;
    size_t order[REPORT_BALLOONS_MOST];
    order_find(balloons, count, ground, order);
    nw_report_balloons_mark(balloons, count, count, ground);
    for (size_t n = 0; good && n < 2 * count; n++) {
        size_t k = order[n % count];
        bool guest = n >= count;
        if (balloons[k].way.count || balloons[k].out || guest != (balloons[k].host != k))
            continue;
        if (guest)
            nw_report_balloons_mark(balloons, count, balloons[k].host, ground);
        good = guest ? nw_report_guest_place(balloons, count, k, ground)
                     : nw_report_host_place(balloons, count, k, ground, 0);
        for (size_t i = 0; i < count; i++)
            if (i != k && nw_report_balloons_collide(balloons, k, i))
                balloons[k].way.count = 0;
        nw_report_balloon_mark(balloons, k, count, ground);
    }
    return good;
}

bool nw_report_balloon_prefer(report_balloon *balloons, size_t count, size_t k,
                              report_ground *ground)
{
    size_t host = balloons[k].host;
    nw_report_stack_lift(balloons, count, k);
    nw_report_balloons_mark(balloons, count, count, ground);
    bool good = nw_report_host_place(balloons, count, host, ground, PAST);
    for (size_t i = 0; i < count; i++)
        if (balloons[i].host != host && nw_report_balloons_collide(balloons, host, i))
            nw_report_stack_lift(balloons, count, i);
    return good && nw_report_balloons_rest(balloons, count, ground);
}

static bool has_poor_place(const report_balloon *balloon, const report_ground *ground)
{
    return !balloon->way.count ||
           balloon->way.cost > nw_report_balloon_least(balloon, ground) + NEAR_ENOUGH;
}

/* Until none gets better. */
bool nw_report_balloons_improve(report_balloon *balloons, size_t count, report_ground *ground)
{
    report_balloon tried[REPORT_BALLOONS_MOST];
    double cost = nw_report_balloons_cost(balloons, count);
    size_t tries = 0, since = 0;
    for (size_t k = 0; since < count && tries < TRIES; k = (k + 1) % count, since++) {
        if (!has_poor_place(&balloons[k], ground))
            continue;
        memcpy(tried, balloons, count * sizeof *tried);
        if (!nw_report_balloon_prefer(tried, count, k, ground))
            return false;
        tries++;
        double found = nw_report_balloons_cost(tried, count);
        if (found < cost) {
            memcpy(balloons, tried, count * sizeof *tried);
            cost = found;
            since = 0;
        }
    }
    return true;
}
