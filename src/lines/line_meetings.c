/*
 * line_meetings: strokes -> the one point of each junction where its lines meet.
 *
 * Near a junction the chords' middles leave the line. So each line is carried on from where it is
 * undisturbed, as straight or bowed as it is there, and all that meet go to the point that is
 * nearest to them (least squares).
 */
#include <lines/line_pieces.h>
#include <lines/strokes.h>

#include <math.h>
#include <stdlib.h>

#define ROUNDS 3 /* for lines that bow: where they are looked at depends on where they meet */
#define LOOKS 6  /* places looked at on a straight way */

static const double PULL = 0.002;      /* towards the middle of the ends, for parallel lines */
static const double MOST_AWAY = 6;     /* widths of line between where it ends and the meeting */
static const double ONE_PIN = 1.2;     /* widths: so is one nearer than this to a wide part */
static const double MOST_LINES = 12;   /* that meet in one point */
static const double SPREAD = 9;        /* widths between the places where their chords end */
static const double ONE_MEETING = 0.7; /* widths: junctions whose points are nearer are one */

/* The work on one junction. */
typedef struct {
    double xx, xy, yy, x, y; /* sums of least squares, of the lines */
    double n, mx, my;        /* of where their chords end */
    nw_box tips;             /* around these places */
    size_t joined;           /* the junction that it has become part of, or itself */
    bool changed;            /* it has to be looked at (again) */
} junction;

static void junction_reset(junction *m)
{
    *m = (junction){.tips = nw_box_empty(), .joined = m->joined, .changed = m->changed};
}

/* Adds the stroke's line as it goes `t` ahead of where it is undisturbed. */
static void junction_add(junction *m, const nw_stroke *s, int end, double t)
{
    const nw_stroke_end *e = &s->ends[end];
    if (nw_has_way(e)) {
        nw_point way, at = nw_end_ahead(s, end, t, &way);
        double xx = 1 - way.x * way.x, xy = -way.x * way.y, yy = 1 - way.y * way.y;
        m->xx += xx, m->xy += xy, m->yy += yy;
        m->x += xx * at.x + xy * at.y;
        m->y += xy * at.x + yy * at.y;
    }
    m->n++;
    m->mx += e->tip.x, m->my += e->tip.y;
    nw_box_take(&m->tips, e->tip, 0);
}

static nw_point junction_solve(const junction *m)
{
    nw_point middle = {m->mx / m->n, m->my / m->n};
    double pull = PULL * m->n, xx = m->xx + pull, yy = m->yy + pull;
    double x = m->x + pull * middle.x, y = m->y + pull * middle.y;
    double determinant = xx * yy - m->xy * m->xy;
    return (nw_point){(x * yy - y * m->xy) / determinant, (y * xx - x * m->xy) / determinant};
}

/* Whether the straight way from p to q lies in the ink. */
static bool stays_in_ink(const nw_segment_tree *tree, nw_point p, nw_point q)
{
    nw_point d = nw_minus(q, p);
    for (int i = 1; i <= LOOKS; i++)
        if (!nw_ink_covers(tree, nw_plus(p, d, (double)i / LOOKS)))
            return false;
    return true;
}

/* The junction at a stroke's end when it has to be looked at, else NOWHERE. */
static size_t changed_at(const nw_stroke_set *set, const junction *work, size_t end)
{
    const nw_stroke *s = &set->strokes[end / 2];
    size_t j = s->ends[end % 2].junction;
    return !s->used && j != NOWHERE && work[j].changed ? j : NOWHERE;
}

/* Where the strokes meet, by their lines as they go near where they met in the round before. */
static void meetings_solve(nw_stroke_set *set, junction *work, int round)
{
    for (size_t j = 0; j < set->node_count; j++)
        if (work[j].changed)
            junction_reset(&work[j]);
    for (size_t k = 0; k < 2 * set->count; k++) {
        size_t j = changed_at(set, work, k);
        if (j != NOWHERE) {
            const nw_stroke_end *e = &set->strokes[k / 2].ends[k % 2];
            double t = round ? nw_dot(nw_minus(set->meetings[j].at, e->near), e->way) : 0;
            junction_add(&work[j], &set->strokes[k / 2], (int)(k % 2), t);
        }
    }
    for (size_t j = 0; j < set->node_count; j++)
        if (work[j].changed && work[j].n > 0 && !set->meetings[j].pinned)
            set->meetings[j].at = junction_solve(&work[j]);
}

/* Finds the changed junctions' points: where the lines meet when they are carried on; or, where one
 * of them would leave the ink then, the middle of where its chords end. */
static void meetings_find(nw_stroke_set *set, junction *work)
{
    for (int round = 0; round < ROUNDS; round++)
        meetings_solve(set, work, round);
    for (size_t j = 0; j < set->node_count; j++)
        set->meetings[j].straight |= work[j].changed;
    for (size_t k = 0; k < 2 * set->count; k++) {
        size_t j = changed_at(set, work, k);
        const nw_stroke_end *e = &set->strokes[k / 2].ends[k % 2];
        if (j != NOWHERE && set->meetings[j].straight) {
            nw_point to = set->meetings[j].at;
            set->meetings[j].straight = nw_distance(e->near, to) < MOST_AWAY * set->width &&
                                        stays_in_ink(set->tree, e->near, to);
        }
    }
    for (size_t j = 0; j < set->node_count; j++) {
        nw_meeting *m = &set->meetings[j];
        if (work[j].changed && work[j].n > 0 && !m->straight && !m->pinned)
            m->at = (nw_point){work[j].mx / work[j].n, work[j].my / work[j].n};
        work[j].changed = false;
    }
}

/* ---- junctions that are one ------------------------------------------------------------------ */

static size_t joined_to(junction *work, size_t j)
{
    while (work[j].joined != j)
        j = work[j].joined = work[work[j].joined].joined;
    return j;
}

/* A junction close to where its stroke leads into a wide part lies there. */
static bool meeting_pin(nw_stroke_set *set, junction *work, nw_stroke *s)
{
    int end = s->ends[0].fixed ? 0 : 1;
    size_t j = s->ends[!end].junction;
    if (s->used || !s->ends[end].fixed || j == NOWHERE || work[j].changed ||
        set->meetings[j].pinned ||
        nw_distance(set->meetings[j].at, s->ends[end].tip) > ONE_PIN * set->width)
        return false;
    s->used = work[j].changed = true;
    set->meetings[j].pinned = true;
    set->meetings[j].at = s->ends[end].tip;
    return true;
}

/* Whether two junctions' lines meet in nearly the same point, and these lines are few and close. */
static bool are_one(const nw_stroke_set *set, const junction *work, size_t a, size_t b)
{
    nw_box tips = work[a].tips;
    nw_box_grow(&tips, work[b].tips);
    return a != b && !work[a].changed && !work[b].changed && set->meetings[a].straight &&
           set->meetings[b].straight &&
           nw_distance(set->meetings[a].at, set->meetings[b].at) < ONE_MEETING * set->width &&
           work[a].n + work[b].n <= MOST_LINES + 2 &&
           nw_distance(tips.min, tips.max) < SPREAD * set->width;
}

/* Puts junctions together whose lines meet in nearly the same point; the stroke between them is
 * none. Tells whether anything has changed. */
static bool meetings_merge(nw_stroke_set *set, junction *work)
{
    bool any = false;
    for (size_t i = 0; i < set->count; i++) {
        nw_stroke *s = &set->strokes[i];
        size_t from = s->ends[0].junction, to = s->ends[1].junction;
        any |= meeting_pin(set, work, s);
        if (!s->used && from != NOWHERE && to != NOWHERE && are_one(set, work, from, to)) {
            bool other = set->meetings[from].pinned;
            work[other ? to : from].joined = other ? from : to;
            work[from].changed = work[to].changed = true;
            s->used = any = true;
        }
    }
    for (size_t k = 0; any && k < 2 * set->count; k++) {
        nw_stroke_end *e = &set->strokes[k / 2].ends[k % 2];
        e->junction = e->junction == NOWHERE ? NOWHERE : joined_to(work, e->junction);
    }
    return any;
}

bool nw_meetings_settle(nw_stroke_set *set)
{
    junction *work = nw_alloc(set->node_count, sizeof *work);
    set->meetings = nw_alloc(set->node_count, sizeof *set->meetings);
    bool good = work && set->meetings;
    for (size_t j = 0; good && j < set->node_count; j++) {
        work[j].joined = j;
        work[j].changed = true;
    }
    if (good)
        do {
            meetings_find(set, work);
        } while (meetings_merge(set, work));
    free(work);
    return good;
}
