/* Balloons one by one and in stacks: a host's leader leads to its stack, in which the balloons of
 * its guests stand too, whose leaders join that leader. Internal to the balloons. */
#ifndef NARROWS_REPORT_BALLOON_H
#define NARROWS_REPORT_BALLOON_H

#include <report/sheet/sheet.h>

/* What a way costs that is too far, 30 cells of art or three lines of it; and what it costs, beside
 * its way, that a leader joins another's. */
#define REPORT_BALLOON_FAR 9000
#define REPORT_BALLOON_SHARED 1500

static inline nw_point way_end(const report_balloon *balloon)
{
    return balloon->way.points[balloon->way.count - 1];
}

static inline bool is_placed_host(const report_balloon *balloons, size_t k)
{
    return balloons[k].host == k && balloons[k].way.count;
}

static inline nw_box placed_box(const report_balloon *host)
{
    return nw_box_moved(host->box, way_end(host));
}

/* ---- one (balloon.c) ----------------------------------------------------------------------- */

/* Marks its leader, and beside it. */
void nw_report_leader_mark(ground_way way, report_ground *ground, int mark);
/* Marks balloons and leaders on the ground: such as do not belong to this host's stack bar the way.
 */
void nw_report_balloon_mark(const report_balloon *balloons, size_t k, size_t host,
                            report_ground *ground);
void nw_report_balloons_mark(const report_balloon *balloons, size_t count, size_t host,
                             report_ground *ground);

bool nw_report_balloon_has_guests(const report_balloon *balloons, size_t count, size_t host);
/* What a stack takes round its host's balloon, each guest's below the one before, or above it; sets
 * the places of their centres from there. */
nw_box nw_report_stack_lay(report_balloon *balloons, size_t count, size_t host, bool left, bool up);
/* Lays a stack where its host's leader ends; none where that would run through it. */
void nw_report_stack_settle(report_balloon *balloons, size_t count, size_t host, bool up);
/* Takes from the sheet a balloon and all that share its leader. */
void nw_report_stack_lift(report_balloon *balloons, size_t count, size_t k);
bool nw_report_balloons_collide(const report_balloon *balloons, size_t a, size_t b);

/* These are false when memory runs out. A host's stack takes a place, past others at a cost (see
 * ground); a guest is led to its host's, the ground being marked for that. */
bool nw_report_host_place(report_balloon *balloons, size_t count, size_t host,
                          report_ground *ground, uint32_t past);
bool nw_report_guest_place(report_balloon *balloons, size_t count, size_t k, report_ground *ground);
/* Leads k to the leader that is nearest to its way's end, or in its way there, among those that may
 * be joined, all but there; whose. */
size_t nw_report_way_join(report_balloon *balloons, size_t count, size_t k, const bool *joined);

/* ---- all (balloons.c) ---------------------------------------------------------------------- */

double nw_report_balloons_cost(const report_balloon *balloons, size_t count);
/* At least what a way costs, whatever else is on the sheet. */
double nw_report_balloon_least(const report_balloon *balloon, const report_ground *ground);
/* Those that have no place take one that is left; one's stack takes the place that suits it, those
 * in its way make room; all do that until none gets better. False when memory runs out. */
bool nw_report_balloons_rest(report_balloon *balloons, size_t count, report_ground *ground);
bool nw_report_balloon_prefer(report_balloon *balloons, size_t count, size_t k,
                              report_ground *ground);
bool nw_report_balloons_improve(report_balloon *balloons, size_t count, report_ground *ground);

/* ---- those that share a leader (stacks.c) -------------------------------------------------- */

/* Lets those join others' leaders that these bar from the sheet. False when memory runs out. */
bool nw_report_balloons_share(report_balloon *balloons, size_t count, report_ground *ground);

#endif
