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

#define FADING_BITS 2.0 /* in which the walls come to where the cap begins */

/* A leg, and its walls back from its cap: the one that comes to it, and the one that goes on. */
typedef struct {
    nw_moving_art *art;
    const nw_cap *cap;
    nw_leg_wall walls[2];
    uint32_t first, step;        /* of the art: its path's first, the cap's first */
    const bool *crossed;         /* of the art's steps */
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

/* A wall may be that of another leg too: its points rest where the one takes them that takes them
 * farther. */
static void point_aside(const leg *l, uint32_t point, nw_point by)
{
    nw_moving_art *art = l->art;
    nw_point known = nw_minus(art->rests[point], art->points[point]);
    if (nw_dot(by, by) > nw_dot(known, known))
        art->rests[point] = nw_plus(art->points[point], by, 1);
}

/* The points of a step of a wall: handles so that the curve steps aside a third and two thirds of
 * its way along as it should (interpolation by a cubic). */
static void step_rest(const leg *l, int k, uint32_t step, void *context)
{
    (void)context;
    const nw_moving_art *art = l->art;
    const nw_moving_art_step *s = &art->steps[step];
    nw_point f[4];
    for (int j = 0; j < 4; j++)
        f[j] = lack_at(l, k, nw_moving_art_was(art, (nw_step_place){step, j / 3.0}));
    point_aside(l, s->from, f[0]);
    point_aside(l, s->to, f[3]);
    if (s->curve) {
        nw_point a =
            nw_plus(nw_plus(nw_times(f[0], -5), f[1], 18), nw_plus(nw_times(f[2], -9), f[3], 2), 1);
        nw_point b =
            nw_plus(nw_plus(nw_times(f[0], 2), f[1], -9), nw_plus(nw_times(f[2], 18), f[3], -5), 1);
        point_aside(l, s->a, nw_times(a, 1.0 / 6));
        point_aside(l, s->b, nw_times(b, 1.0 / 6));
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

/* The leg of a cap, and its walls. */
static void leg_find(nw_moving_art *art, const nw_cap *cap, leg *l)
{
    const nw_path *path = &art->drawing.paths[cap->path];
    size_t n = path->count;
    l->art = art;
    l->cap = cap;
    l->first = first_of_path(art, cap->path);
    l->step = l->first + cap->step;
    for (int k = 0; k < 2; k++)
        nw_leg_wall_make(path, (cap->step + (k ? 1 : n - 1)) % n, k == 1, 2 * cap->radius, 0,
                         &l->walls[k]);
}

/* Calls take for each step of a wall. */
static void wall_each(const leg *l, int k, void (*take)(const leg *, int, uint32_t, void *),
                      void *context)
{
    size_t last = SIZE_MAX;
    for (size_t j = 1; j < l->walls[k].count; j++) {
        if (l->walls[k].items[j].step != last)
            take(l, k, l->first + (uint32_t)l->walls[k].items[j].step, context);
        last = l->walls[k].items[j].step;
    }
}

/* Where the walls and the cap of a leg are at rest. */
static void leg_rest(leg *l)
{
    nw_moving_art *art = l->art;
    const nw_cap *cap = l->cap;
    double radius = cap->radius;
    nw_point top = art->drawing.paths[cap->path].steps[cap->step].to, ways[2];
    for (int k = 0; k < 2; k++) {
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
    for (int k = 0; k < 2; k++)
        wall_each(l, k, step_rest, NULL);
    for (uint32_t k = l->step; k < l->step + 2; k++) {
        nw_moving_art_marks *marks = &art->marks[cap->side][k];
        marks->chosen = marks->wanted = UINT64_MAX;
    }
}

static void step_return(const leg *l, int k, uint32_t step, void *context)
{
    const nw_moving_art_step *s = &l->art->steps[step];
    const uint32_t points[4] = {s->from, s->a, s->b, s->to};
    (void)k;
    (void)context;
    for (int j = 0; j < 4; j++)
        if (points[j] != NW_HELD)
            l->art->rests[points[j]] = l->art->points[points[j]];
    l->art->marks[l->cap->side][step] = (nw_moving_art_marks){0};
}

static void step_crosses(const leg *l, int k, uint32_t step, void *context)
{
    bool *crosses = context;
    (void)k;
    *crosses = *crosses || l->crossed[step];
}

/* Lets legs rest where they were that cross now; *any: some do. crossed: of steps. */
static nw_status crossing_return(const nw_caps *caps, const nw_box *sheet, nw_moving_art *art,
                                 leg *l, bool *crossed, bool *any, nw_error *error)
{
    size_t count;
    for (uint32_t p = 0; p < art->point_count; p++) {
        nw_point off = nw_minus(art->rests[p], art->points[p]);
        art->unknown[p] = 2 * p;
        art->x[2 * p] = off.x;
        art->x[2 * p + 1] = off.y;
    }
    memset(crossed, 0, art->step_count * sizeof *crossed);
    nw_status status = nw_moving_art_crossings(art, sheet, crossed, &count, error);
    *any = false;
    for (size_t i = 0; status == NW_OK && count && i < caps->count; i++) {
        leg_find(art, &caps->items[i], l);
        bool crosses = crossed[l->step] || crossed[l->step + 1];
        l->crossed = crossed;
        for (int k = 0; k < 2; k++)
            wall_each(l, k, step_crosses, &crosses);
        if (!crosses || !art->marks[l->cap->side][l->step].chosen)
            continue;
        *any = true;
        step_return(l, 0, l->step, NULL);
        step_return(l, 0, l->step + 1, NULL);
        for (int k = 0; k < 2; k++)
            wall_each(l, k, step_return, NULL);
    }
    for (uint32_t p = 0; p < art->point_count; p++)
        art->unknown[p] = NW_HELD;
    return status;
}

nw_status nw_caps_rest(const nw_caps *caps, const nw_box *sheet, nw_moving_art *art,
                       nw_error *error)
{
    leg *l = nw_alloc(1, sizeof *l);
    bool *crossed = nw_alloc(art->step_count, sizeof *crossed), any = caps->count > 0;
    nw_status status = l && crossed ? NW_OK : nw_fail_memory(error, "the caps of tips");
    for (size_t i = 0; status == NW_OK && i < caps->count; i++) {
        leg_find(art, &caps->items[i], l);
        leg_rest(l);
    }
    while (status == NW_OK && any)
        status = crossing_return(caps, sheet, art, l, crossed, &any, error);
    free(l);
    free(crossed);
    return status;
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
