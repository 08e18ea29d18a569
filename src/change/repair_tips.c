/*
 * Legs that run out to a tip and are to be opened to it -> the same outlines, the steps of each tip
 * replaced by two curves that lie about where it was and become its cap (repair_caps.c).
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NODE_SHARE 0.5   /* of the wanted width: a tip's node is so near to its deepest point */
#define SNAP_SHARE 0.15  /* a wall's node so near to where it should end is its end */
#define TAPER_SHARE 0.75 /* of the width farther back that a tip has where its cap begins */
#define BACK_BITS 3.0    /* so far back */
#define SIDE_BITS 1.5    /* so far back a leg with a broad end has its way */
#define POINTED 0.35     /* cosine of walls that meet in a point: 70 degrees */
#define ACROSS 0.3       /* cosine with the leg's way of an edge across it */
#define SQUARE_SHARE 0.2 /* of the wanted width that it is long at least */
#define CLEAR_MM 0.005   /* that the cap is wider than it need be */

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

/* Does the leg end in a straight edge across its way? */
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

/* The ways of both walls to the leg's end: where they meet in a point, to that; of a leg with a
 * broad end, whose node may lie anywhere on it, farther back. Returns whether they meet. */
static bool ways_find(const tip *t, double wide, nw_point ways[2])
{
    const nw_leg_wall *w = t->walls;
    nw_point node = w[0].items[0].at;
    bool meet = nw_dot(nw_unit(node, w[0].items[1].at), nw_unit(node, w[1].items[1].at)) > POINTED;
    for (int k = 0; k < 2; k++)
        ways[k] = meet ? nw_unit(w[k].items[nw_leg_wall_at(&w[k], wide)].at, node)
                       : nw_leg_wall_way(&w[k], nw_leg_wall_at(&w[k], SIDE_BITS * wide));
    return meet;
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
    for (int k = 0; k < 2; k++)
        nw_leg_wall_make(path, t->node, k == 1, wide, wide, &t->walls[k]);
    bool meet = ways_find(t, wide, ways);
    nw_point way = nw_unit_of(nw_plus(ways[0], ways[1], 1)), sides[2];
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
        good = end > 0 && end + 1 < w->count && at_end < TAPER_SHARE * wide &&
               (!square || at_end < TAPER_SHARE * back);
        t->ends[k] = end;
        sides[k] = w->items[end].at;
    }
    if (good && !meet) {
        nw_point middle = nw_middle(sides[0], sides[1]);
        t->top = nw_plus(middle, way, nw_dot(nw_minus(t->top, middle), way));
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
    const nw_fit_options *o = &before->options;
    tip *t = nw_alloc(1, sizeof *t);
    nw_status status = t ? NW_OK : nw_fail_memory(error, "the caps of tips");
    for (size_t i = 0; status == NW_OK && i < before->spot_count; i++) {
        const nw_spot *spot = &before->spots[i];
        double wide = wanted[spot->side];
        if (spot->form != NW_STUB || !nw_place_opened(w, i) || !tip_find(drawing, spot, wide, t) ||
            has_cap(caps, t) || (o->has_stock && !nw_box_holds(o->stock, t->top)))
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
