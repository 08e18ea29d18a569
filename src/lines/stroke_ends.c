/*
 * stroke_ends: strokes -> strokes that end where they should: in their junctions' points, or half a
 * line's width before the ink's end. A round pen as wide as the line, led along the middle, then
 * draws what was drawn.
 */
#include <lines/line_pieces.h>
#include <lines/strokes.h>

#include <math.h>

/* In widths of the line. */
static const double DISTURBED = 0.25; /* the least that a junction disturbs beyond its chords */
static const double REACH = 6;        /* places no farther from an end may be passed over for it */
static const double GENTLE = 6;       /* times as long as it leads aside is the way to a meeting */
static const double MOST_GENTLE = 2;  /* but no longer */
static const double ONWARD = 0.05;    /* a place this near its end is */

static void spots_drop(nw_stroke *s, int end, size_t count)
{
    count = count < s->count ? count : s->count;
    s->count -= count;
    for (size_t i = 0; !end && i < s->count; i++)
        s->spots[i] = s->spots[i + count];
}

static bool spot_put(nw_stroke *s, int end, nw_point at)
{
    if (!nw_grow(&s->spots, &s->capacity, s->count + 1, sizeof *s->spots))
        return false;
    for (size_t i = s->count++; !end && i > 0; i--)
        s->spots[i] = s->spots[i - 1];
    *nw_spot_at(s, end, 0) = (nw_stroke_spot){at, s->width, true};
    return true;
}

/* Drops spots at the end that lie beyond place `at`, seen along the stroke's way. */
static void spots_drop_beyond(nw_stroke *s, int end, nw_point at)
{
    const nw_stroke_end *e = &s->ends[end];
    size_t count = 0;
    while (count < s->count && !nw_spot_at(s, end, count)->sharp &&
           nw_distance(nw_spot_at(s, end, count)->at, at) < REACH * s->width &&
           nw_dot(nw_minus(at, nw_spot_at(s, end, count)->at), e->way) < ONWARD * s->width)
        count++;
    spots_drop(s, end, count);
}

/* Drops spots so near to the end's place that the line would have to turn aside to get there. */
static void spots_drop_beside(nw_stroke *s, int end, nw_point at)
{
    const nw_stroke_end *e = &s->ends[end];
    nw_point d = nw_minus(at, e->near);
    double reach = fmin(GENTLE * fabs(nw_cross(d, e->way)), MOST_GENTLE * s->width);
    size_t count = 0;
    while (count + 2 < s->count && !nw_spot_at(s, end, count)->sharp &&
           nw_distance(nw_spot_at(s, end, count)->at, at) < reach)
        count++;
    spots_drop(s, end, count);
}

/* ---- free ends ------------------------------------------------------------------------------- */

static bool free_end_set(const nw_stroke_set *set, nw_stroke *s, int end)
{
    nw_stroke_end *e = &s->ends[end];
    nw_end_look(s, end, 0);
    nw_point at = e->fixed ? e->tip : nw_spot_at(s, end, 0)->at;
    if (nw_has_way(e) && e->fixed) {
        spots_drop(s, end, e->beyond);
        spots_drop_beyond(s, end, at);
    } else if (nw_has_way(e)) {
        nw_line_ray r = {.from = e->near, .way = e->way, .own = NOWHERE, .length = INFINITY};
        nw_ray_shoot(set->tree, &r);
        double most = nw_distance(e->near, e->tip) + s->width;
        if (r.length <= most) {
            at = nw_plus(e->near, e->way, fmax(r.length - s->width / 2, 0));
            spots_drop_beyond(s, end, at);
        }
    }
    return s->count && nw_distance(nw_spot_at(s, end, 0)->at, at) < NW_SAME_MM
               ? true
               : spot_put(s, end, at);
}

/* Ends the stroke in its junctions' points. A loop that is no larger than its junction goes. */
static bool junction_ends_set(const nw_stroke_set *set, nw_stroke *s)
{
    for (int end = 0; end < 2; end++) {
        size_t j = s->ends[end].junction;
        if (j != NOWHERE && set->meetings[j].straight && nw_has_way(&s->ends[end])) {
            spots_drop(s, end, s->ends[end].beyond);
            spots_drop_beyond(s, end, set->meetings[j].at);
            spots_drop_beside(s, end, set->meetings[j].at);
        }
    }
    s->used = s->ends[0].junction == s->ends[1].junction && s->ends[0].junction != NOWHERE &&
              s->count < 3;
    for (int end = 0; end < 2 && !s->used; end++) {
        size_t j = s->ends[end].junction;
        if (j != NOWHERE && !spot_put(s, end, set->meetings[j].at))
            return false;
    }
    return true;
}

bool nw_strokes_end(nw_stroke_set *set)
{
    for (size_t i = 0; i < set->count; i++) {
        nw_stroke *s = &set->strokes[i];
        for (int end = 0; end < 2; end++)
            if (s->ends[end].junction != NOWHERE)
                nw_end_look(s, end, DISTURBED);
    }
    bool good = nw_meetings_settle(set);
    for (size_t i = 0; i < set->count && good; i++) {
        nw_stroke *s = &set->strokes[i];
        for (int end = 0; end < 2 && !s->ring && !s->used && good; end++)
            good = s->ends[end].junction != NOWHERE || !s->count || free_end_set(set, s, end);
        good = good && (s->used || s->ring || junction_ends_set(set, s));
    }
    return good;
}
