/*
 * stacks: where others bar all ways to a place but far ones and ones over the art, a spot's leader
 * joins one of them, and its balloon stands in that one's stack. First all such are assigned hosts,
 * by what they reach, and all is laid anew with room for the stacks; then those that are still
 * barred try one host after the other.
 */
#include <report/sheet/balloon.h>

#include <math.h>
#include <string.h>

#define BARRED 2000 /* more than without others: over art, or far round */
#define HOSTS_TRIED 4
#define HOSTS_MOVED 2
#define STEP 5         /* what a plain cell costs */
#define ON_LEADER 0.04 /* mm: so near to it ends what joins it */

/* Where others bar all short ways to a place of its own the leader joins another, or else a number
 * at the place tells more, but for the worst spot. */
static void far_drop(report_balloon *balloons, size_t count, report_ground *ground)
{
    for (size_t k = 1; k < count; k++)
        if (balloons[k].host == k && balloons[k].way.count &&
            !nw_report_balloon_has_guests(balloons, count, k) &&
            balloons[k].way.cost >
                nw_report_balloon_least(&balloons[k], ground) + REPORT_BALLOON_FAR)
            nw_report_stack_lift(balloons, count, k);
    for (size_t k = 1; k < count; k++)
        if (!balloons[balloons[k].host].way.count) {
            balloons[k].host = k;
            balloons[k].out = true;
        }
}

static bool is_barred(const report_balloon *balloons, size_t k, const report_ground *ground)
{
    return !balloons[k].way.count ||
           (balloons[k].host == k &&
            balloons[k].way.cost > nw_report_balloon_least(&balloons[k], ground) + BARRED);
}

/* Leads k to the leader that it reaches first, of those that may be joined; whose, k: none. */
static bool host_find(report_balloon *balloons, size_t count, size_t k, const bool *joined,
                      report_ground *ground, size_t *host)
{
    nw_report_stack_lift(balloons, count, k);
    nw_report_ground_clear(ground, GROUND_TAKEN | GROUND_LINE | GROUND_NEAR);
    for (size_t i = 0; i < count; i++)
        nw_report_balloon_mark(balloons, i, joined[i] ? balloons[i].host : count, ground);
    ground_way *way = &balloons[k].way;
    bool good = nw_report_ground_join(ground, balloons[k].ends, REPORT_BALLOON_FAR, way);
    *host = good && way->count ? balloons[nw_report_way_join(balloons, count, k, joined)].host : k;
    way->cost += REPORT_BALLOON_SHARED;
    return good;
}

/* Where the last of its guests joins a host's leader: its point there becomes the end of what it
 * keeps. */
static void joint_cut(const report_balloon *balloons, size_t count, size_t host, ground_way *kept)
{
    const ground_way *way = &balloons[host].way;
    nw_point last = way->points[0];
    kept->count = 1;
    for (size_t i = 1; i < way->count; i++) {
        nw_point a = way->points[i - 1], b = way->points[i];
        for (size_t k = 0; k < count; k++) {
            if (balloons[k].host != host || k == host || !balloons[k].way.count)
                continue;
            nw_point end = way_end(&balloons[k]);
            bool first = kept->count <= i || nw_distance(a, last) < nw_distance(a, end);
            if (nw_segment_distance(a, b, end) <= ON_LEADER && first) {
                last = nw_plus(a, nw_minus(b, a), nw_distance(a, end) / nw_distance(a, b));
                kept->count = i + 1;
            }
        }
    }
    memcpy(kept->points, way->points, (kept->count - 1) * sizeof *kept->points);
    kept->points[kept->count - 1] = last;
}

static double way_length(const ground_way *way)
{
    double length = 0;
    for (size_t i = 1; i < way->count; i++)
        length += nw_distance(way->points[i - 1], way->points[i]);
    return length;
}

/* Leads a host's leader from the last joint on to where there is room for its stack. */
static bool stack_move(report_balloon *balloons, size_t count, size_t host, report_ground *ground)
{
    report_balloon *stack = &balloons[host];
    nw_point ends[2] = {stack->ends[0], stack->ends[1]};
    ground_way kept, old = stack->way;
    joint_cut(balloons, count, host, &kept);
    nw_point joint = kept.points[kept.count - 1];
    stack->way = kept;
    nw_report_leader_mark(kept, ground, GROUND_LINE | GROUND_TAKEN);
    stack->ends[0] = stack->ends[1] = joint;
    bool good = nw_report_host_place(balloons, count, host, ground, 0);
    memcpy(stack->ends, ends, sizeof ends);
    ground_way *way = &stack->way;
    if (!way->count || kept.count - 1 + way->count > GROUND_WAY_MOST) {
        way->count = 0;
        return good;
    }
    double left = way_length(&old) - way_length(&kept);
    double more = way->cost - STEP * left / ground->cell;
    memmove(way->points + kept.count - 1, way->points, way->count * sizeof *way->points);
    memcpy(way->points, kept.points, (kept.count - 1) * sizeof *way->points);
    way->count += kept.count - 1;
    way->cost = old.cost + (uint32_t)fmax(0, more);
    return good;
}

static bool stands_clear(const report_balloon *balloons, size_t count, size_t k)
{
    for (size_t i = 0; i < count; i++)
        if (i != k && nw_report_balloons_collide(balloons, k, i))
            return false;
    return true;
}

/* Makes the stack of a host larger where it stands. */
static bool stack_grow(report_balloon *balloons, size_t count, size_t host, report_ground *ground)
{
    report_balloon *stack = &balloons[host];
    ground_way held = stack->way;
    for (int up = 0; up < 2; up++) {
        nw_box box = nw_report_stack_lay(balloons, count, host, held.second, up);
        if (!nw_report_ground_is_clear(ground, nw_box_moved(box, way_end(stack)),
                                       GROUND_EDGE | GROUND_SHY | GROUND_LOST | GROUND_LETTERED))
            continue;
        nw_report_stack_settle(balloons, count, host, up);
        bool good = stack->way.count && stands_clear(balloons, count, host);
        stack->way = held;
        if (good)
            return true;
    }
    return false;
}

/* Makes room for one that was led to a host's leader in the stack, there or further on. */
static bool stack_extend(report_balloon *balloons, size_t count, size_t k, size_t host,
                         report_ground *ground, bool *stands)
{
    balloons[k].host = host;
    balloons[k].out = false;
    nw_report_ground_clear(ground, GROUND_TAKEN | GROUND_LINE | GROUND_NEAR);
    for (size_t i = 0; i < count; i++)
        if (i != host)
            nw_report_balloon_mark(balloons, i, count, ground);
    *stands = stack_grow(balloons, count, host, ground);
    bool good = *stands || stack_move(balloons, count, host, ground);
    *stands = good && balloons[host].way.count && stands_clear(balloons, count, host) &&
              stands_clear(balloons, count, k);
    return good;
}

/* Puts the two balloons' stacks together, the worst first. */
static bool stacks_join(report_balloon *balloons, size_t count, size_t a, size_t b,
                        report_ground *ground)
{
    size_t from = balloons[a].host, into = balloons[b].host, host = from < into ? from : into;
    nw_report_stack_lift(balloons, count, a);
    nw_report_stack_lift(balloons, count, b);
    for (size_t i = 0; i < count; i++)
        if (balloons[i].host == from || balloons[i].host == into) {
            balloons[i].host = host;
            balloons[i].out = false;
        }
    return nw_report_balloon_prefer(balloons, count, host, ground);
}

/* Whether all guests stand with their hosts. */
static bool stacks_stand(const report_balloon *balloons, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (balloons[k].host != k && !balloons[k].way.count)
            return false;
    return true;
}

/* Lets one join a leader that it reaches, the first that may be joined with which all lie better;
 * in so many tries. */
static bool host_choose(report_balloon *balloons, size_t count, size_t k, bool *joined,
                        report_ground *ground)
{
    report_balloon tried[REPORT_BALLOONS_MOST];
    double cost = nw_report_balloons_cost(balloons, count);
    bool good = true, alone = !nw_report_balloon_has_guests(balloons, count, k);
    for (int n = 0; good && n < HOSTS_TRIED; n++) {
        size_t host;
        bool better = false;
        memcpy(tried, balloons, count * sizeof *tried);
        if (!host_find(tried, count, k, joined, ground, &host))
            return false;
        if (host == k || (balloons[k].way.count && tried[k].way.cost >= balloons[k].way.cost))
            break;
        if (alone)
            good = stack_extend(tried, count, k, host, ground, &better);
        if (good && !better && n < HOSTS_MOVED && (!alone || balloons[k].out)) {
            memcpy(tried, balloons, count * sizeof *tried);
            good = stacks_join(tried, count, k, host, ground);
            better = good && stacks_stand(tried, count);
        }
        if (better && nw_report_balloons_cost(tried, count) < cost) {
            memcpy(balloons, tried, count * sizeof *tried);
            break;
        }
        for (size_t i = 0; i < count; i++)
            joined[i] = joined[i] && balloons[i].host != host;
    }
    return good;
}

/* One whose leader is not barred itself, or else any. */
static bool balloon_share(report_balloon *balloons, size_t count, size_t k, report_ground *ground)
{
    bool joined[REPORT_BALLOONS_MOST], good = true;
    for (int any = 0; good && any < 2 && balloons[k].host == k && (!any || balloons[k].out);
         any++) {
        for (size_t i = 0; i < count; i++)
            joined[i] = is_barred(balloons, balloons[i].host, ground) == any;
        good = host_choose(balloons, count, k, joined, ground);
    }
    return good;
}

/* Those that are barred join the leaders that they reach once they are off the sheet, if others
 * still bar them; the stacks have not the room for them yet. */
static bool hosts_assign(report_balloon *balloons, size_t count, report_ground *ground)
{
    bool joined[REPORT_BALLOONS_MOST], good = true;
    for (size_t k = 0; k < count; k++)
        balloons[k].out = k && is_barred(balloons, k, ground);
    for (size_t k = 0; k < count; k++)
        if (balloons[k].out)
            balloons[k].way.count = 0;
    for (size_t k = 0; good && k < count; k++) {
        if (!balloons[k].out)
            continue;
        nw_report_balloons_mark(balloons, count, count, ground);
        good = nw_report_host_place(balloons, count, k, ground, 0);
        size_t host = k;
        for (size_t i = 0; i < count; i++)
            joined[i] = i != k && balloons[i].way.count;
        if (good && (is_barred(balloons, k, ground) || !stands_clear(balloons, count, k)))
            good = host_find(balloons, count, k, joined, ground, &host);
        balloons[k].host = host;
        balloons[k].out = !balloons[k].way.count;
    }
    return good;
}

/* As hosts are assigned, all are laid anew, with room for the stacks. */
static bool stacks_place(report_balloon *balloons, size_t count, report_ground *ground)
{
    report_balloon tried[REPORT_BALLOONS_MOST];
    memcpy(tried, balloons, count * sizeof *tried);
    bool good = hosts_assign(tried, count, ground);
    for (size_t k = 0; k < count; k++)
        tried[k].way.count = 0;
    good = good && nw_report_balloons_rest(tried, count, ground) &&
           nw_report_balloons_improve(tried, count, ground);
    if (good && nw_report_balloons_cost(tried, count) < nw_report_balloons_cost(balloons, count))
        memcpy(balloons, tried, count * sizeof *tried);
    return good;
}

/* Guests that found no way to their hosts. */
static void guests_part(report_balloon *balloons, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        if (balloons[k].way.count || balloons[k].host == k)
            continue;
        balloons[k].host = k;
        balloons[k].out = true;
    }
    for (size_t k = 0; k < count; k++)
        if (is_placed_host(balloons, k))
            nw_report_stack_settle(balloons, count, k, balloons[k].up);
}

bool nw_report_balloons_share(report_balloon *balloons, size_t count, report_ground *ground)
{
    bool barred = false;
    for (size_t k = 1; k < count; k++)
        barred = barred || is_barred(balloons, k, ground);
    bool good = !barred || stacks_place(balloons, count, ground);
    far_drop(balloons, count, ground);
    guests_part(balloons, count);
    for (size_t k = 0; good && k < count; k++)
        balloons[k].out = !balloons[k].way.count;
    for (size_t k = 1; good && k < count; k++)
        if (is_barred(balloons, k, ground))
            good = balloon_share(balloons, count, k, ground);
    far_drop(balloons, count, ground);
    nw_report_balloons_mark(balloons, count, count, ground);
    return good;
}
