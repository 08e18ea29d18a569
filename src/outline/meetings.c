/*
 * meetings: strokes -> the one point of each junction where its lines meet.
 *
 * Near a junction the chords' middles leave the line. So each line is carried on from where it is
 * undisturbed, as straight or bowed as it is there, and all that meet go to the point that is
 * nearest to them (least squares).
 */
#include "strokes.h"
#include "lines_internal.h"

#include <math.h>
#include <stdlib.h>

#define ROUNDS 3 /* for lines that bow: where they are looked at depends on where they meet */
#define LOOKS 6  /* places looked at on a straight way */

static const double PULL = 0.002;      /* towards the middle of the ends, for parallel lines */
static const double MOST_AWAY = 6;     /* widths of line between where it ends and the meeting */
static const double ONE_PIN = 1.2;     /* widths: so is one nearer than this to a wide part */
static const double ONE_MEETING = 0.7; /* widths: junctions whose points are nearer are one */

/* The sums of least squares for one junction. */
typedef struct {
    double xx, xy, yy, x, y; /* of the lines */
    double n, mx, my;        /* of where their chords end */
    bool straight;           /* all lines can go there straight */
} meeting_sum;

/* Adds the stroke's line as it goes `t` ahead of where it is undisturbed. */
static void meeting_add(meeting_sum *m, const stroke *s, int end, double t)
{
    const stroke_end *e = &s->ends[end];
    if (has_way(e)) {
        nw_point way, at = end_ahead(s, end, t, &way);
        double xx = 1 - way.x * way.x, xy = -way.x * way.y, yy = 1 - way.y * way.y;
        m->xx += xx, m->xy += xy, m->yy += yy;
        m->x += xx * at.x + xy * at.y;
        m->y += xy * at.x + yy * at.y;
    }
    m->n++;
    m->mx += e->tip.x, m->my += e->tip.y;
}

static nw_point meeting_solve(const meeting_sum *m)
{
    nw_point middle = {m->mx / m->n, m->my / m->n};
    double pull = PULL * m->n, xx = m->xx + pull, yy = m->yy + pull;
    double x = m->x + pull * middle.x, y = m->y + pull * middle.y;
    double determinant = xx * yy - m->xy * m->xy;
    return (nw_point){(x * yy - y * m->xy) / determinant, (y * xx - x * m->xy) / determinant};
}

/* Whether the straight way from p to q lies in the ink. */
static bool stays_in_ink(const segment_tree *tree, nw_point p, nw_point q)
{
    nw_point d = minus(q, p);
    for (int i = 1; i <= LOOKS; i++) {
        if (!ink_holds(tree, along(p, d, (double)i / LOOKS))) {
            return false;
        }
    }
    return true;
}

/* Where the strokes meet, by their lines as they go near where they met in the round before. */
static void meetings_solve(stroke_set *set, meeting_sum *sums, int round)
{
    for (size_t j = 0; j < set->node_count; j++) {
        sums[j] = (meeting_sum){.straight = true};
    }
    for (size_t k = 0; k < 2 * set->count; k++) {
        const stroke *s = &set->strokes[k / 2];
        const stroke_end *e = &s->ends[k % 2];
        if (!s->used && e->junction != NOWHERE) {
            double t = round ? dot(minus(set->meeting[e->junction], e->near), e->way) : 0;
            meeting_add(&sums[e->junction], s, (int)(k % 2), t);
        }
    }
    for (size_t j = 0; j < set->node_count; j++) {
        if (sums[j].n > 0 && !set->pinned[j]) {
            set->meeting[j] = meeting_solve(&sums[j]);
        }
    }
}

/* Finds each junction's point: where its lines meet when they are carried on; or, where one of them
 * would leave the ink then, the middle of where its chords end. */
static void meetings_find(stroke_set *set, meeting_sum *sums)
{
    for (int round = 0; round < ROUNDS; round++) {
        meetings_solve(set, sums, round);
    }
    for (size_t k = 0; k < 2 * set->count; k++) {
        const stroke *s = &set->strokes[k / 2];
        const stroke_end *e = &s->ends[k % 2];
        if (!s->used && e->junction != NOWHERE && sums[e->junction].straight) {
            nw_point to = set->meeting[e->junction];
            sums[e->junction].straight = distance_of(e->near, to) < MOST_AWAY * set->width &&
                                         stays_in_ink(set->tree, e->near, to);
        }
    }
    for (size_t j = 0; j < set->node_count; j++) {
        set->straight[j] = sums[j].straight;
        if (sums[j].n > 0 && !sums[j].straight && !set->pinned[j]) {
            set->meeting[j] = (nw_point){sums[j].mx / sums[j].n, sums[j].my / sums[j].n};
        }
    }
}

/* A junction close to where its stroke leads into a wide part lies there. */
static bool meeting_pin(stroke_set *set, stroke *s)
{
    int end = s->ends[0].fixed ? 0 : 1;
    size_t j = s->ends[!end].junction;
    if (s->used || !s->ends[end].fixed || j == NOWHERE || set->pinned[j] ||
        distance_of(set->meeting[j], s->ends[end].tip) > ONE_PIN * set->width) {
        return false;
    }
    s->used = set->pinned[j] = true;
    set->meeting[j] = s->ends[end].tip;
    return true;
}

/* Junctions whose lines meet in nearly the same point are one, and the stroke between them is
 * none. Tells whether there were any. */
static bool meetings_merge(stroke_set *set)
{
    bool merged = false;
    for (size_t i = 0; i < set->count; i++) {
        stroke *s = &set->strokes[i];
        merged |= meeting_pin(set, s);
        size_t from = s->ends[0].junction, to = s->ends[1].junction;
        if (s->used || from == NOWHERE || to == NOWHERE || from == to || !set->straight[from] ||
            !set->straight[to] ||
            distance_of(set->meeting[from], set->meeting[to]) > ONE_MEETING * set->width) {
            continue;
        }
        if (set->pinned[from]) { /* the other one goes there */
            from = to;
            to = s->ends[0].junction;
        }
        s->used = merged = true;
        for (size_t k = 0; k < 2 * set->count; k++) {
            stroke_end *e = &set->strokes[k / 2].ends[k % 2];
            e->junction = e->junction == from ? to : e->junction;
        }
    }
    return merged;
}

bool meetings_settle(stroke_set *set)
{
    meeting_sum *sums = nw_alloc(set->node_count, sizeof *sums);
    set->meeting = nw_alloc(set->node_count, sizeof *set->meeting);
    set->straight = nw_alloc(set->node_count, sizeof *set->straight);
    set->pinned = nw_alloc(set->node_count, sizeof *set->pinned);
    bool good = sums && set->meeting && set->straight && set->pinned;
    if (good) {
        do {
            meetings_find(set, sums);
        } while (meetings_merge(set));
    }
    free(sums);
    return good;
}
