/*
 * The outlines as they were, and which of their steps may move -> which points are copies of one
 * another, in art that is symmetric or has shapes twice: these share their unknowns, turned or
 * mirrored, so that what is alike comes out alike and is solved once.
 *
 * What may move falls into groups too far apart to matter to one another. Where the surroundings of
 * a group are those of another, or its own in another way round, there is a solution that is alike
 * too, for what is minimised is convex: nothing is lost by asking for that one. Ways from group to
 * group are tried from a step that few are like, and judged by all points.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>

#define SAME_MM 0.02 /* a point so near to where a copy has it is the same */
#define SAME_SINE 0.02
#define ALONG 48      /* steps on from the first, by which a way is found */
#define WAYS_MOST 64  /* that are judged from one group to another */
#define STEP_WORK 500 /* of a step that is looked for where a way takes it, as products */
#define NEAR_WORK 50  /* of one that is like another, or not */

/* How a point of the drawing goes to its copy. */
typedef struct {
    nw_turn turn;
    nw_point shift;
} way;

typedef struct {
    nw_moving_art *art;
    const nw_box *sheet;
    nw_box box;            /* of all steps */
    double *chords;        /* of steps: from end to end */
    nw_tree near, middles; /* of the steps' boxes, and of their middles */
    uint32_t *image;       /* of a step, by the way in hand */
    nw_group_members members;
    nw_point *axis; /* of points that stand for others: they move along it alone; 0, 0: freely */
    bool *fixed;    /* of these: not at all */
    nw_work *spent;
} copies;

/* ---- ways ------------------------------------------------------------------------------------ */

static nw_point turned(nw_turn t, nw_point p)
{
    return (nw_point){t.xx * p.x + t.xy * p.y, t.yx * p.x + t.yy * p.y};
}

static bool is_at(const way *w, nw_point p, nw_point q)
{
    return nw_distance(nw_plus(turned(w->turn, p), w->shift, 1), q) < SAME_MM;
}

static bool same_length(const copies *c, uint32_t s, uint32_t t)
{
    return c->art->steps[s].curve == c->art->steps[t].curve &&
           fabs(c->chords[s] - c->chords[t]) < SAME_MM;
}

/* The way that takes step s and those after it to t and those after it, or before it where it
 * mirrors: its turn by least squares (Arun, Huang and Blostein 1987). */
static way way_find(const copies *c, uint32_t s, uint32_t t, bool mirrors)
{
    const nw_moving_art *art = c->art;
    nw_point from[ALONG + 1], to[ALONG + 1], middle = {0, 0}, other = {0, 0}, sum = {0, 0};
    size_t n = 0;
    double up = mirrors ? -1 : 1;
    from[n] = art->points[art->steps[s].from];
    to[n++] = art->points[mirrors ? art->steps[t].to : art->steps[t].from];
    for (uint32_t one = s, two = t; n <= ALONG && same_length(c, one, two) && (n < 2 || one != s);
         one = nw_moving_art_following(art, one), two = mirrors
                                                            ? nw_moving_art_last(art, two)
                                                            : nw_moving_art_following(art, two)) {
        from[n] = art->points[art->steps[one].to];
        to[n++] = art->points[mirrors ? art->steps[two].from : art->steps[two].to];
    }
    for (size_t k = 0; k < n; k++) {
        middle = nw_plus(middle, from[k], 1.0 / (double)n);
        other = nw_plus(other, to[k], 1.0 / (double)n);
    }
    for (size_t k = 0; k < n; k++) {
        nw_point p = nw_minus(from[k], middle), q = nw_minus(to[k], other);
        p.y *= up;
        sum = nw_plus(sum, (nw_point){nw_dot(p, q), nw_cross(p, q)}, 1);
    }
    sum = nw_unit_of(sum);
    way w = {.turn = {sum.x, -sum.y * up, sum.y, sum.x * up}};
    w.shift = nw_minus(other, turned(w.turn, middle));
    return w;
}

/* Does the way take one step to the other? */
static bool step_fits(const nw_moving_art *art, const way *w, const nw_moving_art_step *s,
                      const nw_moving_art_step *t)
{
    bool back = w->turn.xx * w->turn.yy - w->turn.xy * w->turn.yx < 0;
    const nw_point *p = art->points;
    return s->curve == t->curve && is_at(w, p[s->from], p[back ? t->to : t->from]) &&
           is_at(w, p[s->to], p[back ? t->from : t->to]) &&
           (!s->curve ||
            (is_at(w, p[s->a], p[back ? t->b : t->a]) && is_at(w, p[s->b], p[back ? t->a : t->b])));
}

static nw_point middle_of(const nw_moving_art *art, uint32_t step)
{
    return nw_moving_art_was(art, (nw_step_place){step, 0.5});
}

static uint32_t image_find(const copies *c, const way *w, uint32_t step)
{
    const nw_moving_art *art = c->art;
    nw_point at = nw_plus(turned(w->turn, middle_of(art, step)), w->shift, 1);
    nw_walk walk;
    uint32_t other;
    c->spent->done += STEP_WORK;
    nw_walk_start(&walk, &c->middles, nw_box_round(at, SAME_MM), at);
    while (nw_walk_next(&walk, &other))
        if (step_fits(art, w, &art->steps[step], &art->steps[other]))
            return other;
    return NW_HELD;
}

static nw_box members_box(const copies *c, const nw_group_member *m, size_t count)
{
    nw_box box = nw_box_empty();
    for (size_t k = 0; k < count; k++)
        nw_box_grow(&box, c->art->boxes[m[k].step]);
    return box;
}

/* Does the sheet's edge lie alike, where it lies within reach of the group's box? */
static bool sheet_fits(const copies *c, const way *w, double reach, nw_box box)
{
    return !c->sheet || nw_box_surrounds(*c->sheet, nw_box_of(box.min, box.max, reach)) ||
           (is_at(w, nw_middle(c->sheet->min, c->sheet->max),
                  nw_middle(c->sheet->min, c->sheet->max)) &&
            fabs(w->turn.xx * w->turn.xy) < SAME_SINE &&
            (fabs(w->turn.xy) < SAME_SINE ||
             fabs(nw_box_width(*c->sheet) - nw_box_height(*c->sheet)) < SAME_MM));
}

/* What lies on one side of the art's box, and not on the other as well, can keep the art's size by
 * giving way to within, so a way of the group to itself must leave that side where it is. */
static bool sides_fit(const copies *c, const way *w, nw_box box)
{
    bool x = (box.min.x - c->box.min.x < SAME_MM) != (c->box.max.x - box.max.x < SAME_MM);
    bool y = (box.min.y - c->box.min.y < SAME_MM) != (c->box.max.y - box.max.y < SAME_MM);
    return (!x || (w->turn.xx > 1 - SAME_SINE && fabs(w->shift.x) < SAME_MM)) &&
           (!y || (w->turn.yy > 1 - SAME_SINE && fabs(w->shift.y) < SAME_MM));
}

/* Does it take all members of one group to members of another, as many as that has? */
static bool way_fits(copies *c, const way *w, const nw_group_member *one,
                     const nw_group_member *other, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        uint32_t image = image_find(c, w, one[k].step);
        nw_group_member m = {other->group, image};
        if (image == NW_HELD || !bsearch(&m, other, count, sizeof m, nw_by_group_member))
            return false;
        c->image[one[k].step] = image;
    }
    return true;
}

/* ---- points ---------------------------------------------------------------------------------- */

static nw_turn product(nw_turn a, nw_turn b)
{
    return (nw_turn){a.xx * b.xx + a.xy * b.yx, a.xx * b.xy + a.xy * b.yy,
                     a.yx * b.xx + a.yy * b.yx, a.yx * b.xy + a.yy * b.yy};
}

static nw_turn back_of(nw_turn a)
{
    return (nw_turn){a.xx, a.yx, a.xy, a.yy};
}

/* The point that stands for this one; *turn: how this one's move follows from that one's. */
static uint32_t stands_for(const nw_moving_art *art, uint32_t point, nw_turn *turn)
{
    *turn = (nw_turn){1, 0, 0, 1};
    for (; art->like[point] != point; point = art->like[point])
        *turn = product(*turn, art->turns[point]);
    return point;
}

static void axis_give(copies *c, uint32_t point, nw_point axis)
{
    nw_point *own = &c->axis[point];
    if (nw_dot(axis, axis) > 0 && nw_dot(*own, *own) > 0)
        c->fixed[point] = c->fixed[point] || fabs(nw_cross(*own, axis)) > SAME_SINE;
    else if (nw_dot(axis, axis) > 0)
        *own = axis;
}

/* The move of q is that of p, turned. */
static void points_join(copies *c, uint32_t p, uint32_t q, nw_turn turn)
{
    nw_moving_art *art = c->art;
    nw_turn of_p, of_q;
    uint32_t one = stands_for(art, p, &of_p), other = stands_for(art, q, &of_q);
    nw_turn between = product(back_of(of_q), product(turn, of_p));
    if (one != other) {
        art->like[other] = one;
        art->turns[other] = between;
        axis_give(c, one, turned(back_of(between), c->axis[other]));
        c->fixed[one] = c->fixed[one] || c->fixed[other];
    } else if (between.xx * between.yy < between.xy * between.yx) {
        double angle = nw_atan2(between.yx, between.xx) / 2;
        axis_give(c, one, (nw_point){nw_cos(angle), nw_sin(angle)});
    } else {
        c->fixed[one] = c->fixed[one] || between.xx < 0 || fabs(between.xy) > SAME_SINE;
    }
}

static void members_join(copies *c, const way *w, const nw_group_member *m, size_t count)
{
    bool back = w->turn.xx * w->turn.yy < w->turn.xy * w->turn.yx;
    for (size_t k = 0; k < count; k++) {
        const nw_moving_art_step *s = &c->art->steps[m[k].step];
        const nw_moving_art_step *t = &c->art->steps[c->image[m[k].step]];
        points_join(c, s->to, back ? t->from : t->to, w->turn);
        if (s->curve) {
            points_join(c, s->a, back ? t->b : t->a, w->turn);
            points_join(c, s->b, back ? t->a : t->b, w->turn);
        }
    }
}

/* ---- the whole ------------------------------------------------------------------------------- */

/* The member to which fewest are like; of these the longest. */
static uint32_t rarest(const copies *c, const nw_group_member *m, size_t count)
{
    size_t fewest = SIZE_MAX;
    uint32_t best = m->step;
    for (size_t k = 0; k < count; k++) {
        size_t like = 0;
        for (size_t j = 0; j < count && like <= fewest; j++)
            like += same_length(c, m[k].step, m[j].step);
        if (like < fewest || (like == fewest && c->chords[m[k].step] > c->chords[best] + SAME_MM)) {
            fewest = like;
            best = m[k].step;
        }
    }
    c->spent->done += NEAR_WORK * (double)count;
    return best;
}

/* Is it known already that the way's turn takes the start of step s to that of t? */
static bool way_known(const copies *c, const way *w, uint32_t s, uint32_t t, bool mirrors)
{
    const nw_moving_art *art = c->art;
    nw_turn of_p, of_q;
    uint32_t p = stands_for(art, art->steps[s].from, &of_p);
    uint32_t q = stands_for(art, mirrors ? art->steps[t].to : art->steps[t].from, &of_q);
    nw_turn turn = product(w->turn, of_p);
    return p == q && fabs(turn.xx - of_q.xx) + fabs(turn.yx - of_q.yx) < SAME_SINE &&
           fabs(turn.xy - of_q.xy) + fabs(turn.yy - of_q.yy) < SAME_SINE;
}

/* Joins the points of one group, by each way, with those of another, or its own; false: none. */
static bool group_join(copies *c, double reach, const nw_group_member *one,
                       const nw_group_member *other, size_t count)
{
    bool any = false;
    uint32_t first = rarest(c, one, count);
    nw_box box = members_box(c, one, count);
    int ways = 0;
    for (size_t k = 0; k < 2 * count && ways < WAYS_MOST && !(any && one != other); k++) {
        uint32_t to = other[k / 2].step;
        if (!same_length(c, first, to) || (one == other && to == first && k % 2 == 0))
            continue;
        way w = way_find(c, first, to, k % 2);
        if (way_known(c, &w, first, to, k % 2))
            continue;
        ways++;
        if (sheet_fits(c, &w, reach, box) && (one != other || sides_fit(c, &w, box)) &&
            way_fits(c, &w, one, other, count)) {
            members_join(c, &w, one, count);
            any = true;
        }
    }
    return any;
}

/* Each group with itself, and with an earlier one that is like it. */
static void groups_join(copies *c, double reach)
{
    for (size_t at = 0, end; at < c->members.count; at = end) {
        const nw_group_member *own = &c->members.items[at];
        bool known = false;
        for (end = at; end < c->members.count && c->members.items[end].group == own->group;)
            end++;
        for (size_t k = 0, next; k < at && !known; k = next) {
            const nw_group_member *m = &c->members.items[k];
            for (next = k; c->members.items[next].group == m->group;)
                next++;
            known = next - k == end - at && group_join(c, reach, m, own, end - at);
        }
        if (!known)
            group_join(c, reach, own, own, end - at);
    }
}

/* Each point's turn from the one that stands for it, and no farther. */
static void turns_settle(const copies *c)
{
    nw_moving_art *art = c->art;
    for (uint32_t p = 0; p < art->point_count; p++) {
        nw_turn turn;
        uint32_t root = stands_for(art, p, &turn);
        art->like[p] = root;
        art->turns[p] = turn;
    }
    for (uint32_t p = 0; p < art->point_count; p++) {
        nw_point axis = c->axis[art->like[p]];
        nw_turn along = {axis.x, 0, axis.y, 0};
        if (c->fixed[art->like[p]])
            art->turns[p] = (nw_turn){0};
        else if (nw_dot(axis, axis) > 0)
            art->turns[p] = product(art->turns[p], along);
    }
}

static bool copies_begin(copies *c)
{
    nw_moving_art *art = c->art;
    size_t n = art->step_count;
    nw_box *middles = nw_alloc(n, sizeof *middles);
    c->chords = nw_alloc(n, sizeof *c->chords);
    c->image = nw_alloc(n, sizeof *c->image);
    c->axis = nw_alloc(art->point_count, sizeof *c->axis);
    c->fixed = nw_alloc(art->point_count, sizeof *c->fixed);
    c->box = nw_box_empty();
    bool good = middles && c->chords && c->image && c->axis && c->fixed;
    for (uint32_t k = 0; k < n && good; k++) {
        const nw_moving_art_step *s = &art->steps[k];
        nw_box_grow(&c->box, art->boxes[k]);
        c->chords[k] = nw_distance(art->points[s->from], art->points[s->to]);
        middles[k] = nw_box_round(middle_of(art, k), 0);
    }
    good = good && nw_tree_make(art->boxes, n, &c->near, NULL) == NW_OK &&
           nw_tree_make(middles, n, &c->middles, NULL) == NW_OK;
    free(middles);
    return good;
}

nw_status nw_moving_art_find_copies(nw_moving_art *art, const bool *near, double reach,
                                    const nw_box *sheet, nw_work *spent, nw_error *error)
{
    copies c = {.art = art, .sheet = sheet, .spent = spent};
    bool good =
        copies_begin(&c) && nw_moving_groups_find(art, &c.near, near, reach, spent, &c.members);
    if (good) {
        groups_join(&c, reach);
        turns_settle(&c);
    }
    nw_tree_free(&c.near);
    nw_tree_free(&c.middles);
    free(c.chords);
    free(c.image);
    free(c.members.items);
    free(c.axis);
    free(c.fixed);
    return good ? NW_OK : nw_fail_memory(error, "what is alike");
}
