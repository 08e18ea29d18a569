/*
 * balloon: places numbered balloons round a frame so that none overlaps another and leaders do not
 * cross.
 *
 * Method, our own: each balloon takes the nearest side that has room; along a side balloons keep
 * the order of their places and move as little as possible, which is an isotonic regression of the
 * wished places less the room taken so far (pool adjacent violators, Ayer and others 1955, from
 * memory). Two leaders that cross exchange their balloons; that shortens both together, so it
 * comes to an end.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdlib.h>

#define ROUNDS_MOST 40
#define SLACK 1.15 /* room to have, over what the balloons take */

static bool edge_upright(report_edge edge)
{
    return edge == REPORT_LEFT || edge == REPORT_RIGHT;
}

static double room_taken(const report_balloon *balloon, report_edge edge)
{
    return edge_upright(edge) ? balloon->beside[1] : balloon->above[0];
}

static double edge_length(nw_box frame, report_edge edge)
{
    return edge_upright(edge) ? frame.max.y - frame.min.y : frame.max.x - frame.min.x;
}

static double edge_start(nw_box frame, report_edge edge)
{
    return edge_upright(edge) ? frame.min.y : frame.min.x;
}

static double along(nw_point point, report_edge edge)
{
    return edge_upright(edge) ? point.y : point.x;
}

static nw_point middle_of(const report_balloon *balloon)
{
    return nw_middle(balloon->ends[0], balloon->ends[1]);
}

static double edge_distance(nw_box frame, report_edge edge, nw_point point)
{
    switch (edge) {
    case REPORT_LEFT:
        return point.x - frame.min.x;
    case REPORT_RIGHT:
        return frame.max.x - point.x;
    case REPORT_TOP:
        return point.y - frame.min.y;
    case REPORT_BOTTOM:
        break;
    }
    return frame.max.y - point.y;
}

/* The most room that one balloon takes on this edge. */
static double largest_room(const report_balloon *balloons, size_t count, report_edge edge)
{
    double most = 0;
    for (size_t i = 0; i < count; i++)
        most = fmax(most, room_taken(&balloons[i], edge));
    return most;
}

double nw_report_balloons_padding(const report_balloon *balloons, size_t count, nw_box box,
                                  double least)
{
    double upright = 0, level = 0;
    for (size_t i = 0; i < count; i++) {
        upright += room_taken(&balloons[i], REPORT_LEFT) / (double)count;
        level += room_taken(&balloons[i], REPORT_TOP) / (double)count;
    }
    if (!count)
        return least;
    /* Number of balloons that the padded frame's sides take, less one large one a side, solved for
     * the padding. */
    double w = box.max.x - box.min.x - largest_room(balloons, count, REPORT_TOP);
    double h = box.max.y - box.min.y - largest_room(balloons, count, REPORT_LEFT);
    double need = SLACK * (double)count - 2 * w / level - 2 * h / upright;
    return fmax(least, need / (4 / level + 4 / upright));
}

typedef struct {
    size_t balloon;
    report_edge edge;
    double distance;
} choice;

static int choice_compare(const void *a, const void *b)
{
    const choice *s = a, *t = b;
    if (s->distance != t->distance)
        return s->distance < t->distance ? -1 : 1;
    return s->balloon != t->balloon ? (s->balloon < t->balloon ? -1 : 1)
                                    : (int)s->edge - (int)t->edge;
}

/* Gives each balloon the nearest edge with room; the last resort is its nearest one. */
static bool choose_edges(report_balloon *balloons, size_t count, nw_box frame)
{
    choice *choices = nw_alloc(4 * count, sizeof *choices);
    bool *done = nw_alloc(count, sizeof *done);
    double room[4];
    for (int e = 0; e < 4; e++)
        room[e] = edge_length(frame, (report_edge)e);
    bool good = choices && done;
    for (size_t i = 0; good && i < 4 * count; i++) {
        report_edge edge = (report_edge)(i % 4);
        choices[i] = (choice){i / 4, edge, edge_distance(frame, edge, middle_of(&balloons[i / 4]))};
    }
    if (good)
        qsort(choices, 4 * count, sizeof *choices, choice_compare);
    for (int pass = 0; good && pass < 2; pass++) {
        for (size_t i = 0; i < 4 * count; i++) {
            report_balloon *balloon = &balloons[choices[i].balloon];
            double taken = room_taken(balloon, choices[i].edge);
            if (!done[choices[i].balloon] && (pass == 1 || taken <= room[choices[i].edge])) {
                room[choices[i].edge] -= taken;
                balloon->edge = choices[i].edge;
                done[choices[i].balloon] = true;
            }
        }
    }
    free(choices);
    free(done);
    return good;
}

/* The point at this position along the balloon's edge, `inward` from the frame's line. */
static nw_point edge_point(const report_balloon *balloon, nw_box frame, double position,
                           double inward)
{
    switch (balloon->edge) {
    case REPORT_LEFT:
        return (nw_point){frame.min.x + inward, position};
    case REPORT_RIGHT:
        return (nw_point){frame.max.x - inward, position};
    case REPORT_TOP:
        return (nw_point){position, frame.min.y + inward};
    case REPORT_BOTTOM:
        break;
    }
    return (nw_point){position, frame.max.y - inward};
}

/* A run of balloons that touch and so move together: mean of their wishes. */
typedef struct {
    double sum;
    size_t count;
} pool;

/* The isotonic regression of wish[0..count), in place; pools is room for count of them. */
static void make_isotonic(double *wish, size_t count, pool *pools)
{
    size_t used = 0;
    for (size_t i = 0; i < count; i++) {
        pool next = {wish[i], 1};
        while (used && pools[used - 1].sum / (double)pools[used - 1].count >
                           next.sum / (double)next.count) {
            used--;
            next.sum += pools[used].sum;
            next.count += pools[used].count;
        }
        pools[used++] = next;
    }
    for (size_t k = 0, i = 0; k < used; k++)
        for (size_t n = 0; n < pools[k].count; n++)
            wish[i++] = pools[k].sum / (double)pools[k].count;
}

/* The balloons and their order along each edge: edge e has order[starts[e]] up to
 * order[starts[e + 1] - 1]. */
typedef struct {
    report_balloon *balloons;
    size_t count;
    nw_box frame;
    double shoulder;
    size_t *order;
    size_t starts[5];
    double *wish; /* working space for one edge, as is pools */
    pool *pools;
} layout;

/* Spreads the balloons of one edge, keeping their order. */
static void spread(layout *job, report_edge edge)
{
    report_balloon *balloons = job->balloons;
    nw_box frame = job->frame;
    const size_t *order = job->order + job->starts[edge];
    size_t count = job->starts[edge + 1] - job->starts[edge];
    double *wish = job->wish;
    double taken = 0, start = edge_start(frame, edge);
    for (size_t i = 0; i < count; i++) {
        double room = room_taken(&balloons[order[i]], edge);
        wish[i] = along(middle_of(&balloons[order[i]]), edge) - taken - room / 2;
        taken += room;
    }
    make_isotonic(wish, count, job->pools);
    double spare = edge_length(frame, edge) - taken, passed = 0;
    for (size_t i = 0; i < count; i++) {
        report_balloon *balloon = &balloons[order[i]];
        double room = room_taken(balloon, edge);
        double low = fmin(0, spare / 2), high = fmax(spare, spare / 2);
        double head = start + fmin(fmax(wish[i] - start, low), high);
        double position = head + passed + room / 2;
        balloon->centre = edge_point(balloon, frame, position, -balloon->radius);
        balloon->bend = edge_point(balloon, frame, position, job->shoulder);
        passed += room;
    }
}

static void choose_end(report_balloon *balloon)
{
    bool first = nw_distance(balloon->ends[0], balloon->centre) <=
                 nw_distance(balloon->ends[1], balloon->centre);
    balloon->end = balloon->ends[first ? 0 : 1];
}

static bool leaders_cross(const report_balloon *s, const report_balloon *t)
{
    return nw_side_of(s->end, s->bend, t->end) * nw_side_of(s->end, s->bend, t->bend) < 0 &&
           nw_side_of(t->end, t->bend, s->end) * nw_side_of(t->end, t->bend, s->bend) < 0;
}

static void spread_all(layout *job)
{
    for (int e = 0; e < 4; e++)
        spread(job, (report_edge)e);
    for (size_t i = 0; i < job->count; i++)
        choose_end(&job->balloons[i]);
}

/* Sorts the balloons along the edges that they have chosen. */
static void order_edges(layout *job)
{
    const report_balloon *balloons = job->balloons;
    size_t filled = 0;
    for (int e = 0; e < 4; e++) {
        report_edge edge = (report_edge)e;
        job->starts[e] = filled;
        for (size_t i = 0; i < job->count; i++) {
            if (balloons[i].edge != edge)
                continue;
            size_t k = filled++;
            double wish = along(middle_of(&balloons[i]), edge);
            while (k > job->starts[e] &&
                   along(middle_of(&balloons[job->order[k - 1]]), edge) > wish) {
                job->order[k] = job->order[k - 1];
                k--;
            }
            job->order[k] = i;
        }
    }
    job->starts[4] = filled;
}

static void exchange(layout *job, size_t i, size_t k)
{
    report_balloon *s = &job->balloons[job->order[i]], *t = &job->balloons[job->order[k]];
    report_balloon old = *s;
    size_t index = job->order[i];
    s->centre = t->centre;
    s->bend = t->bend;
    s->edge = t->edge;
    t->centre = old.centre;
    t->bend = old.bend;
    t->edge = old.edge;
    job->order[i] = job->order[k];
    job->order[k] = index;
}

/* Exchanges balloons whose leaders cross; false when none do. */
static bool uncross(layout *job)
{
    bool any = false;
    for (size_t i = 0; i < job->count; i++) {
        for (size_t k = i + 1; k < job->count; k++) {
            if (leaders_cross(&job->balloons[job->order[i]], &job->balloons[job->order[k]])) {
                exchange(job, i, k);
                any = true;
            }
        }
    }
    return any;
}

bool nw_report_balloons_place(report_balloon *balloons, size_t count, nw_box frame, double shoulder)
{
    layout job = {.balloons = balloons,
                  .count = count,
                  .frame = frame,
                  .shoulder = shoulder,
                  .order = nw_alloc(count, sizeof *job.order),
                  .wish = nw_alloc(count, sizeof *job.wish),
                  .pools = nw_alloc(count, sizeof *job.pools)};
    bool good = job.order && job.wish && job.pools && choose_edges(balloons, count, frame);
    if (good) {
        order_edges(&job);
        spread_all(&job);
        for (int round = 0; round < ROUNDS_MOST && uncross(&job); round++)
            spread_all(&job);
    }
    free(job.order);
    free(job.wish);
    free(job.pools);
    return good;
}
