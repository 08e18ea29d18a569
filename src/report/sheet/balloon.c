/*
 * balloon: where one numbered balloon with its label stands, or a stack of them that share a leader
 * (references that belong together may: ISO 6433, from memory), and where it collides with others.
 */
#include <report/sheet/balloon.h>

#include <math.h>

#define BEFORE_JOINT 0.02 /* mm: a leader that joins another does not cross it */

static double half_height(const report_balloon *balloon)
{
    return fmax(balloon->radius, balloon->lines / 2) + balloon->room;
}

static nw_box balloon_box(const report_balloon *balloon, bool left)
{
    double inner = balloon->radius + balloon->room, outer = inner + balloon->label + balloon->room;
    double half = half_height(balloon);
    return (nw_box){{left ? -outer : -inner, -half}, {left ? inner : outer, half}};
}

void nw_report_leader_mark(ground_way way, report_ground *ground, int mark)
{
    for (size_t i = 1; i < way.count; i++) {
        nw_point a = way.points[i - 1], b = way.points[i];
        double length = nw_distance(a, b);
        nw_point aside = nw_left(nw_minus(b, a));
        for (int side = -1; side <= 1 && length > 0; side++) {
            double off = side * ground->cell / length;
            nw_report_ground_line(ground, nw_plus(a, aside, off), nw_plus(b, aside, off),
                                  side ? GROUND_NEAR : mark);
        }
    }
}

void nw_report_balloon_mark(const report_balloon *balloons, size_t k, size_t host,
                            report_ground *ground)
{
    nw_report_leader_mark(balloons[k].way, ground,
                          balloons[k].host == host ? GROUND_LINE : GROUND_LINE | GROUND_TAKEN);
    if (is_placed_host(balloons, k))
        nw_report_ground_box(ground, placed_box(&balloons[k]), GROUND_TAKEN);
}

void nw_report_balloons_mark(const report_balloon *balloons, size_t count, size_t host,
                             report_ground *ground)
{
    nw_report_ground_clear(ground, GROUND_TAKEN | GROUND_LINE | GROUND_NEAR);
    for (size_t k = 0; k < count; k++)
        nw_report_balloon_mark(balloons, k, host, ground);
}

nw_box nw_report_stack_lay(report_balloon *balloons, size_t count, size_t host, bool left, bool up)
{
    const report_balloon *last = &balloons[host];
    nw_box all = balloon_box(last, left);
    nw_point centre = {0, 0};
    for (size_t k = 0; k < count; k++) {
        if (balloons[k].host != host || k == host)
            continue;
        double down = half_height(last) + half_height(&balloons[k]) - balloons[k].room;
        last = &balloons[k];
        centre.y += up ? -down : down;
        balloons[k].centre = centre;
        balloons[k].way.second = left;
        nw_box_grow(&all, nw_box_moved(balloon_box(last, left), centre));
    }
    return all;
}

static bool way_meets(const ground_way *way, nw_box box)
{
    nw_point corners[] = {box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
    for (size_t i = 1; i < way->count; i++) {
        if (nw_box_holds(box, way->points[i - 1]) || nw_box_holds(box, way->points[i]))
            return true;
        for (size_t k = 0; k < 4; k++)
            if (nw_segments_cross(way->points[i - 1], way->points[i], corners[k],
                                  corners[(k + 1) % 4]))
                return true;
    }
    return false;
}

/* Whether a host's leader runs through its guests' balloons. */
static bool runs_through_stack(const report_balloon *host, bool up)
{
    nw_box guests = host->box;
    if (up)
        guests.max.y = -half_height(host);
    else
        guests.min.y = half_height(host);
    return guests.max.y > guests.min.y &&
           way_meets(&host->way, nw_box_moved(guests, way_end(host)));
}

void nw_report_stack_settle(report_balloon *balloons, size_t count, size_t host, bool up)
{
    balloons[host].box = nw_report_stack_lay(balloons, count, host, balloons[host].way.second, up);
    balloons[host].up = up;
    balloons[host].centre = way_end(&balloons[host]);
    if (runs_through_stack(&balloons[host], up)) {
        balloons[host].way.count = 0;
        return;
    }
    for (size_t k = 0; k < count; k++)
        if (balloons[k].host == host && k != host)
            balloons[k].centre = nw_plus(balloons[k].centre, balloons[host].centre, 1);
}

bool nw_report_balloon_has_guests(const report_balloon *balloons, size_t count, size_t host)
{
    for (size_t k = 0; k < count; k++)
        if (balloons[k].host == host && k != host)
            return true;
    return false;
}

/* Between two balloons a leader has room. */
bool nw_report_host_place(report_balloon *balloons, size_t count, size_t host,
                          report_ground *ground, uint32_t past)
{
    ground_way *way = &balloons[host].way;
    bool good = true, guests = nw_report_balloon_has_guests(balloons, count, host);
    for (int up = 0; good && up <= guests && (!up || !way->count); up++) {
        nw_box boxes[2];
        for (int left = 0; left < 2; left++) {
            nw_box box = nw_report_stack_lay(balloons, count, host, left, up);
            boxes[left] = nw_box_of(box.min, box.max, ground->cell);
        }
        ground_costs costs = {past, host ? REPORT_BALLOON_FAR : UINT32_MAX};
        good = nw_report_ground_search(ground, balloons[host].ends, boxes, costs, way);
        if (good && way->count)
            nw_report_stack_settle(balloons, count, host, up);
    }
    return good;
}

/* Of the leader's points the nearest to a place. */
static nw_point way_nearest(const ground_way *way, nw_point p)
{
    nw_point nearest = way->points[0];
    for (size_t i = 1; i < way->count; i++) {
        nw_point a = way->points[i - 1], d = nw_minus(way->points[i], a);
        double square = nw_dot(d, d), t = square > 0 ? nw_dot(nw_minus(p, a), d) / square : 0;
        nw_point at = nw_plus(a, d, fmin(fmax(t, 0), 1));
        if (nw_distance(p, at) < nw_distance(p, nearest))
            nearest = at;
    }
    return nearest;
}

/* Where the line from a to b first crosses the way; b: it does not. */
static nw_point way_crossed(const ground_way *way, nw_point a, nw_point b)
{
    for (size_t i = 1; i < way->count; i++) {
        nw_point p = way->points[i - 1], q = way->points[i];
        if (nw_segments_cross(a, b, p, q))
            b = nw_plus(a, nw_minus(b, a), nw_met_after(a, nw_minus(b, a), p, nw_minus(q, p)));
    }
    return b;
}

size_t nw_report_way_join(report_balloon *balloons, size_t count, size_t k, const bool *joined)
{
    ground_way *way = &balloons[k].way;
    nw_point end = way_end(&balloons[k]), before = way->points[way->count - 2], best = end;
    size_t found = k;
    for (int crossed = 0; crossed < 2; crossed++) {
        for (size_t i = 0; i < count; i++) {
            const ground_way *other = &balloons[i].way;
            if (i == k || !joined[i] || !other->count)
                continue;
            nw_point at = crossed ? way_crossed(other, before, best) : way_nearest(other, end);
            if (crossed ? nw_distance(before, at) < nw_distance(before, best)
                        : found == k || nw_distance(end, at) < nw_distance(end, best)) {
                best = at;
                found = i;
            }
        }
    }
    double length = nw_distance(before, best);
    way->points[way->count - 1] =
        nw_plus(best, nw_minus(before, best), length > 0 ? fmin(1, BEFORE_JOINT / length) : 0);
    return found;
}

bool nw_report_guest_place(report_balloon *balloons, size_t count, size_t k, report_ground *ground)
{
    report_balloon *guest = &balloons[k];
    bool joined[REPORT_BALLOONS_MOST], second = guest->way.second;
    for (size_t i = 0; i < count; i++)
        joined[i] = balloons[i].host == guest->host;
    bool good = nw_report_ground_join(ground, guest->ends, REPORT_BALLOON_FAR, &guest->way);
    guest->way.second = second;
    if (good && guest->way.count) {
        guest->way.cost += REPORT_BALLOON_SHARED;
        nw_report_way_join(balloons, count, k, joined);
    }
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

static bool runs_through(const report_balloon *balloons, size_t a, size_t host)
{
    return is_placed_host(balloons, host) &&
           way_meets(&balloons[a].way, placed_box(&balloons[host]));
}

bool nw_report_balloons_collide(const report_balloon *balloons, size_t a, size_t b)
{
    if (balloons[a].host == balloons[b].host)
        return (a != balloons[a].host && runs_through(balloons, a, b)) ||
               (b != balloons[b].host && runs_through(balloons, b, a));
    return leaders_cross(&balloons[a], &balloons[b]) || runs_through(balloons, a, b) ||
           runs_through(balloons, b, a) ||
           (is_placed_host(balloons, a) && is_placed_host(balloons, b) &&
            nw_boxes_meet(placed_box(&balloons[a]), placed_box(&balloons[b]), 0));
}

void nw_report_stack_lift(report_balloon *balloons, size_t count, size_t k)
{
    for (size_t i = 0; i < count; i++)
        if (balloons[i].host == balloons[k].host)
            balloons[i].way.count = 0;
}
