/*
 * stroke_joints: strokes that end in junctions -> few paths. Of the lines that meet in a junction
 * those two carry each other on that go straightest, then the next two; what is left over ends
 * there.
 */
#include <lines/mesh.h>
#include <lines/strokes.h>
#include <lines/trail.h>

#include <math.h>
#include <stdlib.h>

static const double CARRIES_ON = 0.82; /* cosine of the largest turn from one line to the next */
static const double SMOOTH = 0.94;     /* cosine of the largest turn that is none */
static const double LOOK_AT = 0.5;     /* widths of line that give a direction */

/* ---- which strokes carry one another on ------------------------------------------------------ */

static nw_stroke *stroke_of(const nw_stroke_set *set, size_t end)
{
    return &set->strokes[end / 2];
}

/* Direction, of length 1, in which the stroke arrives at its end. */
static nw_point arrives(const nw_stroke_set *set, size_t end)
{
    const nw_stroke *s = stroke_of(set, end);
    nw_point to = nw_spot_at(s, (int)(end % 2), 0)->at, from = to;
    for (size_t k = 1; k < s->count && nw_distance(from, to) < LOOK_AT * s->width; k++)
        from = nw_spot_at(s, (int)(end % 2), k)->at;
    return nw_unit(from, to);
}

/* Stroke ends in order of their junctions. */
typedef struct {
    size_t junction, end;
} joint;

static int by_junction(const void *p, const void *q)
{
    const joint *a = p, *b = q;
    return a->junction != b->junction ? nw_order(a->junction, b->junction)
                                      : nw_order(a->end, b->end);
}

/* Joins the two straightest that are free, as long as there are two. */
static void joints_pair(nw_stroke_set *set, const joint *joints, size_t count)
{
    for (;;) {
        double best = -CARRIES_ON;
        size_t a = 0, b = 0;
        for (size_t i = 0; i < count; i++) {
            for (size_t j = i + 1; j < count; j++) {
                size_t p = joints[i].end, q = joints[j].end;
                bool taken = stroke_of(set, p)->ends[p % 2].next != NOWHERE ||
                             stroke_of(set, q)->ends[q % 2].next != NOWHERE;
                double turn = nw_dot(arrives(set, p), arrives(set, q));
                if (!taken && turn < best) {
                    best = turn;
                    a = p, b = q;
                }
            }
        }
        if (a == b)
            return;
        stroke_of(set, a)->ends[a % 2].next = b;
        stroke_of(set, b)->ends[b % 2].next = a;
    }
}

static bool joints_find(nw_stroke_set *set)
{
    joint *joints = nw_alloc(2 * set->count, sizeof *joints);
    size_t count = 0;
    for (size_t i = 0; joints && i < 2 * set->count; i++) {
        const nw_stroke *s = stroke_of(set, i);
        if (!s->used && s->count > 1 && s->ends[i % 2].junction != NOWHERE)
            joints[count++] = (joint){s->ends[i % 2].junction, i};
    }
    if (!joints)
        return false;
    nw_sort(joints, count, sizeof *joints, by_junction);
    for (size_t first = 0, end; first < count; first = end) {
        for (end = first; end < count && joints[end].junction == joints[first].junction; end++) {
        }
        joints_pair(set, joints + first, end - first);
    }
    free(joints);
    return true;
}

/* ---- trails ---------------------------------------------------------------------------------- */

/* Adds the stroke's places from the end given to its other end; without the first where the trail
 * stands there already. */
static bool places_add_stroke(nw_trail *t, const nw_stroke *s, size_t end)
{
    for (size_t k = t->count ? 1 : 0; k < s->count; k++) {
        const nw_stroke_spot *p = nw_spot_at(s, (int)(end % 2), k);
        if (!nw_trail_add(t, p->at, p->sharp ? SHARP_KNOT : PASSED))
            return false;
    }
    return true;
}

/* Whether the trail goes on smoothly from one stroke end to the next. */
static bool goes_smoothly(const nw_stroke_set *set, size_t from, size_t to)
{
    return nw_dot(arrives(set, from), arrives(set, to)) < -SMOOTH;
}

/* Follows the strokes from an end that nothing leads to; or round, from any end. */
static bool strokes_follow(nw_stroke_set *set, size_t end, nw_trail *t)
{
    t->count = 0;
    t->closed = false;
    t->width = stroke_of(set, end)->width;
    for (size_t at = end;;) {
        nw_stroke *s = stroke_of(set, at);
        s->used = true;
        if (!places_add_stroke(t, s, at))
            return false;
        size_t out = at ^ 1, next = s->ends[out % 2].next;
        if (next != NOWHERE && goes_smoothly(set, out, next))
            t->kinds[t->count - 1] = SMOOTH_KNOT;
        if (next == NOWHERE || stroke_of(set, next)->used) {
            t->closed = next != NOWHERE;
            t->kinds[0] = t->closed ? t->kinds[t->count - 1] : (uint8_t)SHARP_KNOT;
            return true;
        }
        at = next;
    }
}

static bool ring_follow(const nw_stroke *s, nw_trail *t)
{
    t->count = 0;
    t->closed = true;
    t->width = s->width;
    bool good = places_add_stroke(t, s, 0) && nw_trail_add(t, s->spots[0].at, SHARP_KNOT);
    if (good && !s->spots[0].sharp)
        t->kinds[0] = t->kinds[t->count - 1] = SMOOTH_KNOT;
    return good;
}

/* Whether a trail begins at this end, in the given round: those with a free end first. */
static bool begins(const nw_stroke_set *set, size_t end, int round)
{
    const nw_stroke *s = stroke_of(set, end);
    return !s->used && s->count > 1 && (round || s->ends[end % 2].next == NOWHERE);
}

bool nw_strokes_write(nw_stroke_set *set, size_t piece, nw_drawing *out)
{
    nw_trail t = {0};
    bool good = joints_find(set);
    for (int round = 0; round < 2; round++) {
        for (size_t end = 0; end < 2 * set->count && good; end++) {
            if (begins(set, end, round)) {
                nw_stroke *s = stroke_of(set, end);
                good = s->ring ? ring_follow(s, &t) : strokes_follow(set, end, &t);
                good = good && nw_trail_write(&t, piece, true, out);
                s->used = true;
            }
        }
    }
    nw_trail_free(&t);
    return good;
}
