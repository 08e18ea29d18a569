/*
 * ends: strokes -> strokes that end where they should.
 *
 * Near a junction the chords' middles leave the line. So each line is carried on straight from
 * where it is undisturbed, and all that meet in a junction go to the one point that is nearest to
 * their straight lines (least squares). A free end stops half a line's width before the ink's end:
 * a round pen as wide as the line, led along the middle, then draws what was drawn.
 */
#include "strokes.h"
#include "lines_internal.h"

#include <math.h>
#include <stdlib.h>

/* In widths of the line. */
static const double DISTURBED = 0.25; /* the least that a junction disturbs beyond its chords */
static const double LOOK_AT = 1;      /* the length of line that tells its direction */
static const double SHORTEST = 0.25;  /* at least */
static const double MOST_AWAY = 6;    /* lines that part slowly are disturbed as far as this */
#define LOOKS 6                       /* places looked at on a straight way */
static const double PULL = 0.002;     /* towards the middle of the ends, where lines are parallel */
static const double ONE_MEETING = 0.7; /* junctions whose points are nearer than this are one */
static const double ONWARD = 0.05;     /* a place this near its meeting point is passed over */

static spot *spot_at(const stroke *s, int end, size_t k)
{
    return &s->spots[end ? s->count - 1 - k : k];
}

/* Finds where the stroke is undisturbed near its end, at least `away` widths from it, and which way
 * it goes there. */
static void end_look(stroke *s, int end, double away)
{
    stroke_end *e = &s->ends[end];
    double w = s->width, gone = 0;
    line_sum sum = {0};
    size_t beyond = 0;
    e->way = (nw_point){0, 0};
    e->near = e->tip;
    for (size_t k = 0; k < s->count; k++) {
        const spot *p = spot_at(s, end, k);
        gone += k ? distance_of(p->at, spot_at(s, end, k - 1)->at) : 0;
        bool wide = p->width > TOO_WIDE * w && gone < MOST_AWAY * w;
        if (sum.n == 0 && !p->sharp && (gone < away * w || wide)) {
            beyond = k + 1;
            continue;
        }
        if (sum.n > 0 && (wide || distance_of(sum.first, p->at) > LOOK_AT * w)) {
            break;
        }
        line_add(&sum, p->at);
        if (p->sharp) {
            break;
        }
    }
    if (sum.n < 2 || distance_of(sum.first, sum.last) < SHORTEST * w) {
        return;
    }
    nw_point middle;
    line_fit(&sum, &middle, &e->way);
    e->way = (nw_point){-e->way.x, -e->way.y};
    e->near = along(middle, e->way, dot(minus(sum.first, middle), e->way));
    e->beyond = beyond;
}

static void spots_drop(stroke *s, int end, size_t count)
{
    count = count < s->count ? count : s->count;
    s->count -= count;
    for (size_t i = 0; !end && i < s->count; i++) {
        s->spots[i] = s->spots[i + count];
    }
}

static bool spot_put(stroke *s, int end, nw_point at)
{
    void *spots = s->spots;
    if (!nw_grow(&spots, &s->capacity, s->count + 1, sizeof *s->spots)) {
        return false;
    }
    s->spots = spots;
    for (size_t i = s->count++; !end && i > 0; i--) {
        s->spots[i] = s->spots[i - 1];
    }
    *spot_at(s, end, 0) = (spot){at, s->width, true};
    return true;
}

/* Drops spots at the end that lie beyond place `at`, seen along the stroke's way. */
static void spots_drop_beyond(stroke *s, int end, nw_point at)
{
    const stroke_end *e = &s->ends[end];
    size_t count = 0;
    while (count < s->count && !spot_at(s, end, count)->sharp &&
           distance_of(spot_at(s, end, count)->at, at) < MOST_AWAY * s->width &&
           dot(minus(at, spot_at(s, end, count)->at), e->way) < ONWARD * s->width) {
        count++;
    }
    spots_drop(s, end, count);
}

/* ---- junctions ------------------------------------------------------------------------------- */

/* The sums of least squares for one junction. */
typedef struct {
    double xx, xy, yy, x, y; /* of the lines */
    double n, mx, my;        /* of where their chords end */
    bool straight;           /* all lines can go there straight */
} meeting_sum;

static bool has_way(const stroke_end *e)
{
    return e->way.x != 0 || e->way.y != 0;
}

static void meeting_add(meeting_sum *m, const stroke_end *e)
{
    if (has_way(e)) {
        double xx = 1 - e->way.x * e->way.x, xy = -e->way.x * e->way.y,
               yy = 1 - e->way.y * e->way.y;
        m->xx += xx, m->xy += xy, m->yy += yy;
        m->x += xx * e->near.x + xy * e->near.y;
        m->y += xy * e->near.x + yy * e->near.y;
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

static void sums_make(const stroke_set *set, meeting_sum *sums)
{
    for (size_t j = 0; j < set->node_count; j++) {
        sums[j] = (meeting_sum){.straight = true};
    }
    for (size_t k = 0; k < 2 * set->count; k++) {
        const stroke *s = &set->strokes[k / 2];
        const stroke_end *e = &s->ends[k % 2];
        if (!s->used && e->junction != NOWHERE) {
            meeting_add(&sums[e->junction], e);
        }
    }
}

/* Finds each junction's point: where its lines meet when they are carried on straight; or, where
 * one of them would leave the ink then, the middle of where its chords end. */
static void meetings_find(stroke_set *set, meeting_sum *sums)
{
    sums_make(set, sums);
    for (size_t j = 0; j < set->node_count; j++) {
        if (sums[j].n > 0) {
            set->meeting[j] = meeting_solve(&sums[j]);
        }
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
        if (sums[j].n > 0 && !sums[j].straight) {
            set->meeting[j] = (nw_point){sums[j].mx / sums[j].n, sums[j].my / sums[j].n};
        }
    }
}

/* Junctions whose lines meet in nearly the same point are one, and the stroke between them is
 * none. Tells whether there were any. */
static bool meetings_merge(stroke_set *set)
{
    bool merged = false;
    for (size_t i = 0; i < set->count; i++) {
        stroke *s = &set->strokes[i];
        size_t from = s->ends[0].junction, to = s->ends[1].junction;
        if (s->used || from == NOWHERE || to == NOWHERE || from == to || !set->straight[from] ||
            !set->straight[to] ||
            distance_of(set->meeting[from], set->meeting[to]) > ONE_MEETING * set->width) {
            continue;
        }
        s->used = merged = true;
        for (size_t k = 0; k < 2 * set->count; k++) {
            stroke_end *e = &set->strokes[k / 2].ends[k % 2];
            e->junction = e->junction == from ? to : e->junction;
        }
    }
    return merged;
}

static bool meetings_settle(stroke_set *set)
{
    meeting_sum *sums = nw_alloc(set->node_count, sizeof *sums);
    set->meeting = nw_alloc(set->node_count, sizeof *set->meeting);
    set->straight = nw_alloc(set->node_count, sizeof *set->straight);
    bool good = sums && set->meeting && set->straight;
    if (good) {
        do {
            meetings_find(set, sums);
        } while (meetings_merge(set));
    }
    free(sums);
    return good;
}

/* ---- free ends ------------------------------------------------------------------------------- */

static bool free_end_set(const stroke_set *set, stroke *s, int end)
{
    stroke_end *e = &s->ends[end];
    end_look(s, end, 0);
    nw_point at = spot_at(s, end, 0)->at;
    if (has_way(e)) {
        line_ray r = {.from = e->near, .way = e->way, .own = NOWHERE, .length = INFINITY};
        ray_shoot(set->tree, &r);
        double most = distance_of(e->near, e->tip) + s->width;
        if (r.length <= most) {
            at = along(e->near, e->way, fmax(r.length - s->width / 2, 0));
            spots_drop_beyond(s, end, at);
        }
    }
    return s->count && distance_of(spot_at(s, end, 0)->at, at) < SAME_MM ? true
                                                                         : spot_put(s, end, at);
}

/* Ends the stroke in its junctions' points. A loop that is no larger than its junction goes. */
static bool junction_ends_set(const stroke_set *set, stroke *s)
{
    for (int end = 0; end < 2; end++) {
        size_t j = s->ends[end].junction;
        if (j != NOWHERE && set->straight[j] && has_way(&s->ends[end])) {
            spots_drop(s, end, s->ends[end].beyond);
            spots_drop_beyond(s, end, set->meeting[j]);
        }
    }
    s->used = s->ends[0].junction == s->ends[1].junction && s->ends[0].junction != NOWHERE &&
              s->count < 3;
    for (int end = 0; end < 2 && !s->used; end++) {
        size_t j = s->ends[end].junction;
        if (j != NOWHERE && !spot_put(s, end, set->meeting[j])) {
            return false;
        }
    }
    return true;
}

bool strokes_end(stroke_set *set)
{
    for (size_t i = 0; i < set->count; i++) {
        stroke *s = &set->strokes[i];
        for (int end = 0; end < 2; end++) {
            if (s->ends[end].junction != NOWHERE) {
                end_look(s, end, DISTURBED);
            }
        }
    }
    bool good = meetings_settle(set);
    for (size_t i = 0; i < set->count && good; i++) {
        stroke *s = &set->strokes[i];
        for (int end = 0; end < 2 && !s->ring && !s->used && good; end++) {
            good = s->ends[end].junction != NOWHERE || !s->count || free_end_set(set, s, end);
        }
        good = good && (s->used || s->ring || junction_ends_set(set, s));
    }
    return good;
}
