/*
 * Legs that run out to a tip and are to be opened to it -> a round cap for each, as wide as the bit
 * asks, and walls that run on into it. The steps of a tip become two curves, which lie about where
 * it was; where they are at rest is a circle that touches the tip from within, and where the walls
 * are at rest each has stepped aside by half of what the leg lacks there. So a tip stays a tip, and
 * all of them come out alike, whatever nodes they have.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NODE_SHARE 0.5   /* of the wanted width: a tip's node is so near to its deepest point */
#define SNAP_SHARE 0.15  /* a wall's node so near to where it should end is its end */
#define TAPER_SHARE 0.75 /* of the width farther back that a tip has where its cap begins */
#define BACK_BITS 3.0    /* so far back */
#define ACROSS 0.3       /* cosine with the leg's way of an edge across it */
#define SQUARE_SHARE 0.2 /* of the wanted width that it is long at least */
#define FADING_BITS 2.0  /* in which the walls come to where the cap begins */
#define CLEAR_MM 0.005   /* that the cap is wider than it need be */

/* ---- tips ------------------------------------------------------------------------------------ */

typedef struct {
    size_t path, node;
    nw_leg_wall walls[2]; /* back from the tip, and on */
    nw_point top;
    size_t ends[2]; /* the places at which the walls end */
} tip;

/* The node that is nearest to a place; false where none is within reach. */
static bool node_find(const nw_drawing *drawing, nw_point at, double reach, tip *t)
{
    bool any = false;
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        for (size_t k = 0; k < path->count && path->closed && !path->line; k++) {
            double off = nw_distance(path->steps[k].to, at);
            if (off < reach) {
                reach = off;
                t->path = i;
                t->node = k;
                any = true;
            }
        }
    }
    return any;
}

/* Does the leg end in a straight edge across it? */
static bool has_square_end(const nw_path *path, const tip *t, nw_point way, double wide)
{
    for (int k = 0; k < 2; k++) {
        for (size_t j = 1; j < nw_leg_wall_at(&t->walls[k], wide / 2); j++) {
            size_t step = t->walls[k].items[j].step;
            nw_point from = nw_path_from(path, step), to = path->steps[step].to;
            if (path->steps[step].kind == NW_LINE &&
                fabs(nw_dot(nw_unit(from, to), way)) < ACROSS &&
                nw_distance(from, to) > SQUARE_SHARE * wide)
                return true;
        }
    }
    return false;
}

/* The walls of the tip at the spot, from its top and to where the cap is to begin; false where they
 * do not taper to one. */
static bool tip_find(const nw_drawing *drawing, const nw_spot *spot, double wide, tip *t)
{
    if (!node_find(drawing, spot->at, NODE_SHARE * wide, t))
        return false;
    const nw_path *path = &drawing->paths[t->path];
    nw_point node = path->steps[t->node].to, ways[2];
    double radius = wide / 2 + CLEAR_MM, far = 0;
    for (int k = 0; k < 2; k++) {
        nw_leg_wall_make(path, t->node, k == 1, wide, wide, &t->walls[k]);
        ways[k] = nw_unit(t->walls[k].items[nw_leg_wall_at(&t->walls[k], wide)].at, node);
    }
    nw_point way = nw_unit_of(nw_plus(ways[0], ways[1], 1));
    for (int k = 0; k < 2; k++)
        for (size_t j = 0; j < nw_leg_wall_at(&t->walls[k], wide); j++)
            far = fmax(far, nw_dot(nw_minus(t->walls[k].items[j].at, node), way));
    t->top = nw_plus(node, way, far);
    bool good = nw_dot(ways[0], ways[1]) > 0, square = has_square_end(path, t, way, wide);
    for (int k = 0; k < 2 && good; k++) {
        const nw_leg_wall *w = &t->walls[k];
        size_t end = 0;
        while (end + 1 < w->count && nw_dot(nw_minus(t->top, w->items[end].at), way) < radius)
            end++;
        double at_end = nw_leg_wall_distance(&t->walls[!k], w->items[end].at);
        double back =
            nw_leg_wall_distance(&t->walls[!k], w->items[nw_leg_wall_at(w, BACK_BITS * wide)].at);
        good = end + 1 < w->count && at_end < TAPER_SHARE * wide &&
               (!square || at_end < TAPER_SHARE * back);
        t->ends[k] = end;
    }
    return good;
}

/* ---- steps ----------------------------------------------------------------------------------- */

static nw_step straight_curve(nw_point from, nw_point to)
{
    return (nw_step){.kind = NW_CURVE,
                     .a = nw_between(from, to, 1.0 / 3),
                     .b = nw_between(from, to, 2.0 / 3),
                     .to = to};
}

/* Where the wall ends: within a step, or at its node if one is near. */
static nw_leg_place wall_end(const nw_path *path, const nw_leg_wall *w, size_t end, double wide)
{
    nw_leg_place p = w->items[end];
    nw_point from = nw_path_from(path, p.step), to = path->steps[p.step].to;
    double snap = SNAP_SHARE * wide, off = nw_distance(p.at, from), other = nw_distance(p.at, to);
    if (fmin(off, other) < snap) {
        p.t = off < other ? 0 : 1;
        p.at = off < other ? from : to;
    }
    return p;
}

/* Earlier caps of the path, from this step on, are that many steps farther on now. */
static void caps_shift(nw_caps *caps, uint32_t path, size_t from, long more)
{
    for (size_t i = 0; i < caps->count; i++) {
        nw_cap *c = &caps->items[i];
        if (c->path == path && c->first >= from) {
            c->first = (uint32_t)((long)c->first + more);
            c->step = (uint32_t)((long)c->step + more);
        }
    }
}

/* Puts two curves from wall to wall over the top in the place of what is there. */
static bool steps_put(nw_path *path, const tip *t, double wide, nw_caps *caps, nw_cap *cap)
{
    size_t n = path->count, at = 0;
    nw_leg_place one = wall_end(path, &t->walls[0], t->ends[0], wide);
    nw_leg_place other = wall_end(path, &t->walls[1], t->ends[1], wide);
    /* What goes: the steps from the one's to the other's, but for their parts beyond. */
    size_t first = one.t < 1 ? one.step : (one.step + 1) % n;
    size_t last = other.t > 0 ? other.step : (other.step + n - 1) % n;
    size_t gone = (last + n - first) % n + 1;
    nw_step *steps = nw_alloc(n + 4, sizeof *steps);
    cap->was = nw_alloc(gone, sizeof *cap->was);
    if (!steps || !cap->was) {
        free(steps);
        return false;
    }
    for (size_t k = 0; k < gone; k++)
        cap->was[k] = path->steps[(first + k) % n];
    bool round = last < first;
    for (size_t k = round ? last + 1 : 0; k < first; k++)
        steps[at++] = path->steps[k];
    cap->first = (uint32_t)at;
    if (one.t > 0 && one.t < 1) {
        nw_step rest = path->steps[one.step];
        steps[at++] = nw_step_split(nw_path_from(path, one.step), &rest, one.t);
    }
    cap->step = (uint32_t)at;
    steps[at++] = straight_curve(one.at, t->top);
    steps[at++] = straight_curve(t->top, other.at);
    if (other.t > 0 && other.t < 1) {
        steps[at] = path->steps[other.step];
        nw_step_split(nw_path_from(path, other.step), &steps[at++], other.t);
    }
    cap->count = (uint32_t)at - cap->first;
    if (round)
        path->start = steps[at - 1].to;
    for (size_t k = last + 1; !round && k < n; k++)
        steps[at++] = path->steps[k];
    caps_shift(caps, cap->path, round ? 0 : first, round ? -(long)last - 1 : (long)at - (long)n);
    cap->was_count = gone;
    free(path->steps);
    path->steps = steps;
    path->count = at;
    path->capacity = n + 4;
    return true;
}

/* May the tip be another's: is a cap among the steps that would go? */
static bool has_cap(const nw_caps *caps, const tip *t)
{
    for (size_t i = 0; i < caps->count; i++)
        for (int k = 0; k < 2 && caps->items[i].path == t->path; k++)
            for (size_t j = 0; j <= t->ends[k]; j++)
                if (t->walls[k].items[j].step - caps->items[i].first < caps->items[i].count)
                    return true;
    return false;
}

static int by_first(const void *p, const void *q)
{
    const nw_cap *a = p, *b = q;
    if (a->path != b->path)
        return a->path < b->path ? -1 : 1;
    return (a->first > b->first) - (a->first < b->first);
}

nw_status nw_caps_put(const nw_widening *w, const double wanted[2], nw_drawing *drawing,
                      nw_caps *caps, nw_error *error)
{
    const nw_fit *before = &w->out->before;
    tip *t = nw_alloc(1, sizeof *t);
    nw_status status = t ? NW_OK : nw_fail_memory(error, "the caps of tips");
    for (size_t i = 0; status == NW_OK && i < before->spot_count; i++) {
        const nw_spot *spot = &before->spots[i];
        double wide = wanted[spot->side];
        if (spot->form != NW_STUB || !nw_place_opened(w, i) || !tip_find(drawing, spot, wide, t) ||
            has_cap(caps, t))
            continue;
        nw_path *path = &drawing->paths[t->path];
        nw_cap cap = {.path = (uint32_t)t->path, .side = spot->side, .radius = wide / 2 + CLEAR_MM};
        bool good = steps_put(path, t, wide, caps, &cap);
        if (!good || !nw_push(&caps->items, &caps->count, &caps->capacity, &cap, sizeof cap)) {
            free(cap.was);
            status = nw_fail_memory(error, "the caps of tips");
        }
    }
    free(t);
    nw_sort(caps->items, caps->count, sizeof *caps->items, by_first);
    return status;
}

void nw_caps_free(nw_caps *caps)
{
    for (size_t i = 0; i < caps->count; i++)
        free(caps->items[i].was);
    free(caps->items);
    *caps = (nw_caps){0};
}

/* ---- at rest --------------------------------------------------------------------------------- */

/* A leg, and its walls back from its cap: the one that comes to it, and the one that goes on. */
typedef struct {
    nw_moving_art *art;
    const nw_cap *cap;
    nw_leg_wall walls[2];
    uint32_t step;               /* of the art: the cap's first */
    nw_point starts[2], offs[2]; /* where the cap begins at rest; from where the walls would end */
} leg;

/* By how much a place of a wall steps aside, and which way. */
static nw_point lack_at(const leg *l, int k, nw_point p)
{
    const nw_leg_wall *w = &l->walls[k];
    size_t at = 0;
    double radius = l->cap->radius;
    for (size_t j = 1; j < w->count; j++)
        if (nw_distance(w->items[j].at, p) < nw_distance(w->items[at].at, p))
            at = j;
    nw_point out = nw_left(nw_leg_wall_way(w, at));
    if (nw_dot(out, nw_minus(w->items[0].at, l->walls[!k].items[0].at)) < 0)
        out = nw_back(out);
    double lack = fmax(radius - nw_leg_wall_distance(&l->walls[!k], p) / 2, 0);
    double fade = 2 * radius * FADING_BITS, fading = 1 - w->items[at].along / fade;
    double left = w->items[w->count - 1].along - w->items[at].along;
    lack *= w->goes_on ? fmin(left / fade, 1) : 1;
    return nw_plus(nw_times(out, lack), l->offs[k], fmax(fading, 0));
}

/* The points of a step of a wall: handles so that the curve steps aside a third and two thirds of
 * its way along as it should (interpolation by a cubic). */
static void step_rest(const leg *l, int k, uint32_t step, nw_point *rests)
{
    const nw_moving_art *art = l->art;
    const nw_moving_art_step *s = &art->steps[step];
    nw_point f[4];
    for (int j = 0; j < 4; j++)
        f[j] = lack_at(l, k, nw_moving_art_was(art, (nw_step_place){step, j / 3.0}));
    rests[s->from] = nw_plus(art->points[s->from], f[0], 1);
    rests[s->to] = nw_plus(art->points[s->to], f[3], 1);
    if (s->curve) {
        nw_point a =
            nw_plus(nw_plus(nw_times(f[0], -5), f[1], 18), nw_plus(nw_times(f[2], -9), f[3], 2), 1);
        nw_point b =
            nw_plus(nw_plus(nw_times(f[0], 2), f[1], -9), nw_plus(nw_times(f[2], 18), f[3], -5), 1);
        rests[s->a] = nw_plus(art->points[s->a], a, 1.0 / 6);
        rests[s->b] = nw_plus(art->points[s->b], b, 1.0 / 6);
    }
}

/* The cap's points in turn, from wall to wall. */
static void cap_points(const nw_moving_art *art, uint32_t step, uint32_t points[7])
{
    const nw_moving_art_step *s = &art->steps[step], *t = s + 1;
    const uint32_t all[7] = {s->from, s->a, s->b, s->to, t->a, t->b, t->to};
    memcpy(points, all, sizeof all);
}

static uint32_t first_of_path(const nw_moving_art *art, uint32_t path)
{
    uint32_t first = 0;
    while (art->steps[first].path != path)
        first = nw_moving_art_outline_end(art, first);
    return first;
}

/* The curves of the cap, which is a part of a circle about its centre; the walls come to it in
 * these ways. */
static void cap_rest(const leg *l, nw_point top, nw_point way, nw_point centre,
                     const nw_point ways[2])
{
    nw_moving_art *art = l->art;
    double radius = l->cap->radius;
    uint32_t points[7];
    cap_points(art, l->step, points);
    nw_point across = nw_unit(l->starts[0], l->starts[1]);
    across = nw_plus(across, way, -nw_dot(across, way));
    art->rests[points[3]] = top;
    for (int k = 0; k < 2; k++) {
        nw_point out = nw_unit(centre, l->starts[k]);
        double handle = radius * 4 / 3 * nw_tan(fabs(nw_angle(out, way)) / 4);
        art->rests[points[6 * k]] = l->starts[k];
        art->rests[points[1 + 4 * k]] = nw_plus(l->starts[k], ways[k], handle);
        art->rests[points[2 + 2 * k]] = nw_plus(top, nw_unit_of(across), k == 0 ? -handle : handle);
    }
}

/* Where the walls and the cap of a leg are at rest. */
static void leg_rest(leg *l)
{
    nw_moving_art *art = l->art;
    const nw_cap *cap = l->cap;
    const nw_path *path = &art->drawing.paths[cap->path];
    size_t n = path->count;
    double radius = cap->radius;
    uint32_t first = first_of_path(art, cap->path);
    l->step = first + cap->step;
    nw_point top = path->steps[cap->step].to, ways[2];
    for (int k = 0; k < 2; k++) {
        nw_leg_wall_make(path, (cap->step + (k ? 1 : n - 1)) % n, k == 1, 2 * radius, 0,
                         &l->walls[k]);
        ways[k] = nw_leg_wall_way(&l->walls[k], 0);
        l->offs[k] = (nw_point){0, 0};
    }
    nw_point way = nw_unit_of(nw_plus(ways[0], ways[1], 1)), centre = nw_plus(top, way, -radius);
    for (int k = 0; k < 2; k++) {
        nw_point end = l->walls[k].items[0].at, off = lack_at(l, k, end);
        nw_point out = nw_left(ways[k]);
        out = nw_dot(out, off) < 0 ? nw_back(out) : out;
        l->starts[k] = nw_plus(centre, out, radius);
        l->offs[k] = nw_minus(nw_minus(l->starts[k], end), off);
    }
    cap_rest(l, top, way, centre, ways);
    for (int k = 0; k < 2; k++) {
        size_t last = SIZE_MAX;
        for (size_t j = 1; j < l->walls[k].count; j++) {
            if (l->walls[k].items[j].step != last)
                step_rest(l, k, first + (uint32_t)l->walls[k].items[j].step, art->rests);
            last = l->walls[k].items[j].step;
        }
    }
}

nw_status nw_caps_rest(const nw_caps *caps, nw_moving_art *art, nw_error *error)
{
    leg *l = nw_alloc(1, sizeof *l);
    for (size_t i = 0; l && i < caps->count; i++) {
        l->art = art;
        l->cap = &caps->items[i];
        leg_rest(l);
        for (uint32_t k = l->step; k < l->step + 2; k++) {
            nw_moving_art_marks *marks = &art->marks[l->cap->side][k];
            marks->chosen = marks->wanted = UINT64_MAX;
        }
    }
    free(l);
    return l ? NW_OK : nw_fail_memory(error, "the caps of tips");
}

/* Has any point of its steps moved? */
static bool cap_moved(const nw_moving_art *art, const nw_cap *cap)
{
    uint32_t first = first_of_path(art, cap->path) + cap->first;
    bool moved = false;
    for (uint32_t k = first; k < first + cap->count; k++) {
        const nw_moving_art_step *s = &art->steps[k];
        const uint32_t points[4] = {s->from, s->a, s->b, s->to};
        for (int j = 0; j < 4; j++)
            moved = moved ||
                    (points[j] != NW_HELD && nw_length(nw_moving_art_move(art, points[j])) > 0);
    }
    return moved;
}

/* What was there in the place of a cap's steps. */
static nw_status cap_take_out(const nw_cap *cap, nw_path *path, nw_error *error)
{
    size_t after = cap->first + cap->count, n = path->count - cap->count + cap->was_count;
    nw_step *steps = nw_alloc(n, sizeof *steps);
    if (!steps)
        return nw_fail_memory(error, "the caps of tips");
    memcpy(steps, path->steps, cap->first * sizeof *steps);
    memcpy(steps + cap->first, cap->was, cap->was_count * sizeof *steps);
    memcpy(steps + cap->first + cap->was_count, path->steps + after,
           (path->count - after) * sizeof *steps);
    free(path->steps);
    path->steps = steps;
    path->count = path->capacity = n;
    return NW_OK;
}

nw_status nw_caps_restore(const nw_caps *caps, const nw_moving_art *art, nw_drawing *drawing,
                          nw_error *error)
{
    nw_status status = NW_OK;
    for (size_t i = caps->count; i-- > 0 && status == NW_OK;) { /* the last of a path first */
        const nw_cap *cap = &caps->items[i];
        if (!cap_moved(art, cap))
            status = cap_take_out(cap, &drawing->paths[cap->path], error);
    }
    return status;
}
