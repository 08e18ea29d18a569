/*
 * A residue with two contacts or more -> its least width: the least distance between two
 * different walls, where the joining line stays in the area.
 *
 * Every segment's share of a wall is held against the shares that the tree finds within the
 * least distance known so far, so the cost falls as the distance does. Parts of the tree that hold
 * nothing but the share's own wall are passed over: along a dense one that is most of what is near.
 */
#include <fit/side.h>

#include <math.h>
#include <stdlib.h>

/* So much farther than the least width other walls are looked for. */
#define LOOK_AHEAD 0.25

/* Two distances that differ by less are one: the middle of parallel walls is taken. */
#define SAME_GAP_MM 1e-9

typedef struct {
    uint32_t segment, group, component;
    double from, to;
} part;

typedef struct {
    const nw_rolled *rolled;
    part *parts; /* by segment */
    size_t count;
    size_t *start;   /* per segment, one more than there are */
    uint32_t *marks; /* the groups of the tree's nodes */
} parts;

typedef struct {
    nw_point p, q;
    double at_p, at_q; /* along their segments */
    double gap;
} line;

/* ---- shares of walls by segment -------------------------------------------------------------- */

typedef void part_use(parts *all, part one);

static void wall_parts(parts *all, uint32_t w, uint32_t component, part_use *use)
{
    const nw_border *border = &all->rolled->border;
    const nw_wall *wall = &all->rolled->walls.walls[w];
    part one = {wall->segment, all->rolled->wall_group[w], component, wall->from, 0};
    for (uint32_t k = 0; k < wall->span; k++) {
        one.to = border->length[one.segment];
        use(all, one);
        one.segment = border->next[one.segment];
        one.from = 0;
    }
    one.to = wall->to;
    if (wall->span == 0 || wall->to > 0)
        use(all, one);
}

static void part_count(parts *all, part one)
{
    all->start[one.segment + 1]++;
    all->count++;
}

static void part_put(parts *all, part one)
{
    all->parts[all->start[one.segment]++] = one;
}

static void each_part(parts *all, part_use *use)
{
    const nw_rolled *rolled = all->rolled;
    for (uint32_t c = 0; c < rolled->component_count; c++)
        for (size_t k = rolled->components[c].wall_first; k < rolled->components[c].wall_last; k++)
            if (rolled->components[c].contacts >= 2)
                wall_parts(all, rolled->wall_order[k], c, use);
}

static bool parts_make(parts *all)
{
    size_t segments = all->rolled->border.count;
    all->start = nw_alloc(segments + 1, sizeof *all->start);
    if (!all->start)
        return false;
    each_part(all, part_count);
    all->parts = nw_alloc(all->count, sizeof *all->parts);
    if (!all->parts)
        return false;
    for (size_t i = 0; i < segments; i++)
        all->start[i + 1] += all->start[i];
    each_part(all, part_put);
    for (size_t i = segments; i > 0; i--)
        all->start[i] = all->start[i - 1];
    all->start[0] = 0;
    return true;
}

static bool marks_make(parts *all)
{
    size_t segments = all->rolled->border.count;
    uint32_t *groups = nw_alloc_raw(segments, sizeof *groups);
    for (size_t i = 0; groups && i < segments; i++) {
        groups[i] = NW_MARK_NONE;
        for (size_t k = all->start[i]; k < all->start[i + 1]; k++) {
            bool other = k > all->start[i] && all->parts[k].group != groups[i];
            groups[i] = other ? NW_MARK_SEVERAL : all->parts[k].group;
        }
    }
    all->marks = groups ? nw_tree_marks(&all->rolled->border.tree, groups, segments) : NULL;
    free(groups);
    return all->marks != NULL;
}

/* ---- the least distance of two shares -------------------------------------------------------- */

static double clamped(double t, double low, double high)
{
    return t < low ? low : t > high ? high : t;
}

/* From the place at_p of p's segment to what of the part is nearest. */
static line line_to(const nw_border *border, uint32_t i, double at_p, const part *other)
{
    line found = {.p = nw_border_at(border, i, at_p), .at_p = at_p};
    double t =
        nw_dot(nw_minus(found.p, border->points[other->segment]), border->along[other->segment]);
    found.at_q = clamped(t, other->from, other->to);
    found.q = nw_border_at(border, other->segment, found.at_q);
    found.gap = nw_distance(found.p, found.q);
    return found;
}

static line turned(line l)
{
    return (line){l.q, l.p, l.at_q, l.at_p, l.gap};
}

static line line_between(const nw_border *border, const part *a, const part *b)
{
    line lines[4] = {line_to(border, a->segment, a->from, b), line_to(border, a->segment, a->to, b),
                     turned(line_to(border, b->segment, b->from, a)),
                     turned(line_to(border, b->segment, b->to, a))};
    line best = lines[0];
    for (int k = 1; k < 4; k++)
        if (lines[k].gap < best.gap)
            best = lines[k];
    /* Parallel walls: two lines are as short; take the one halfway between the outermost. */
    double low = best.at_p, high = best.at_p;
    for (int k = 0; k < 4; k++) {
        if (lines[k].gap > best.gap + SAME_GAP_MM)
            continue;
        low = fmin(low, lines[k].at_p);
        high = fmax(high, lines[k].at_p);
    }
    return low < high ? line_to(border, a->segment, (low + high) / 2, b) : best;
}

/* A line that starts inside a segment must leave it on the area's side. */
static bool leaves(const nw_border *border, uint32_t i, double at, nw_point from, nw_point to)
{
    if (at <= NW_MERGE_MM || at >= border->length[i] - NW_MERGE_MM)
        return true;
    return nw_cross(border->along[i], nw_minus(to, from)) > 0;
}

static bool line_counts(const nw_border *border, const part *a, const part *b, const line *l)
{
    if (l->gap < 2 * NW_MERGE_MM)
        return true;
    if (!leaves(border, a->segment, l->at_p, l->p, l->q) ||
        !leaves(border, b->segment, l->at_q, l->q, l->p))
        return false;
    nw_point middle = {(l->p.x + l->q.x) / 2, (l->p.y + l->q.y) / 2};
    return nw_border_clear(border, l->p, l->q, NW_MERGE_MM) &&
           nw_border_inside(border, middle, l->gap);
}

/* ---- the search ------------------------------------------------------------------------------ */

/* Looks for what counts below best->width, and returns how far other walls of the component are at
 * least, whether they count or not; not beyond `far`. */
static double part_search(const parts *all, const part *one, double far, nw_width *best)
{
    const nw_border *border = &all->rolled->border;
    nw_point a = nw_border_at(border, one->segment, one->from);
    nw_point b = nw_border_at(border, one->segment, one->to);
    nw_point middle = {(a.x + b.x) / 2, (a.y + b.y) / 2};
    double half = (one->to - one->from) / 2, nearest = far;
    nw_walk walk;
    uint32_t j;
    nw_walk_start(&walk, &border->tree, nw_box_of(a, b, far), middle);
    nw_walk_limit(&walk, middle, far + half);
    nw_walk_pass(&walk, all->marks, one->group);
    while (nw_walk_next(&walk, &j)) {
        for (size_t k = all->start[j]; k < all->start[j + 1]; k++) {
            const part *other = &all->parts[k];
            if (other->component != one->component || other->group == one->group)
                continue;
            line l = line_between(border, one, other);
            nearest = fmin(nearest, l.gap);
            if (l.gap < best->width && line_counts(border, one, other, &l))
                *best = (nw_width){l.gap, l.p, l.q};
            far = fmin(far, fmax(l.gap, best->width));
            nw_walk_box(&walk, nw_box_of(a, b, far));
            nw_walk_limit(&walk, middle, far + half);
        }
    }
    return nearest;
}

/* The shortest chord of a contact arc: never less than the width, and there when nothing else
 * counts. */
static nw_width shortest_chord(const nw_rolled *rolled, const nw_component *component)
{
    nw_width best = {INFINITY, {0, 0}, {0, 0}};
    for (size_t k = component->wall_first; k < component->wall_last; k++) {
        const nw_wall *wall = &rolled->walls.walls[rolled->wall_order[k]];
        if (!nw_wall_has_arc(&rolled->walls, rolled->wall_order[k]))
            continue;
        nw_point to = rolled->walls.walls[wall->next].first;
        double chord = nw_distance(wall->last, to);
        if (chord < best.width)
            best = (nw_width){chord, wall->last, to};
    }
    return best;
}

/* How far other walls are at least from a share of a wall, from what a look from a place found. */
static double clear_from(const nw_border *border, const part *one, double nearest, nw_point place)
{
    nw_point a = nw_border_at(border, one->segment, one->from);
    nw_point b = nw_border_at(border, one->segment, one->to);
    return nearest - fmax(nw_distance(place, a), nw_distance(place, b));
}

/* One wall after the other, going along it: a place s away is at most s nearer to other walls, so
 * after a look that found them far away the next is due only where they may be near enough. */
static void wall_search(const parts *all, uint32_t c, const nw_wall *wall, nw_width *best)
{
    const nw_rolled *rolled = all->rolled;
    const nw_border *border = &rolled->border;
    double nearest = 0; /* other walls were at least this far from the place of the last look */
    nw_point place = {0, 0};
    uint32_t segment = wall->segment;
    for (uint32_t step = 0; step <= wall->span; step++) {
        size_t first = all->start[segment], end = all->start[segment + 1];
        for (size_t m = first; m < end; m++) {
            const part *one = &all->parts[m];
            bool own = end == first + 1; /* else it may be another wall's */
            double clear = own ? clear_from(border, one, nearest, place) : 0;
            if (one->component == c && clear < best->width) {
                nearest = part_search(all, one, best->width * (1 + LOOK_AHEAD), best);
                place = nw_border_at(border, one->segment, one->to);
            }
        }
        nearest = end <= first + 1 ? nearest : 0;
        segment = border->next[segment];
    }
}

/* The least width below the limit; the limit itself where there is none. */
static nw_width width_below(const parts *all, uint32_t c, double limit)
{
    const nw_rolled *rolled = all->rolled;
    const nw_component *component = &rolled->components[c];
    nw_width best = {limit, {0, 0}, {0, 0}};
    for (size_t k = component->wall_first; k < component->wall_last; k++)
        wall_search(all, c, &rolled->walls.walls[rolled->wall_order[k]], &best);
    return best;
}

/* Seldom is the width more than the shortest chord, so what lies further apart is looked at only
 * where nothing else is found. */
static nw_width component_width(const parts *all, uint32_t c)
{
    const nw_rolled *rolled = all->rolled;
    nw_width chord = shortest_chord(rolled, &rolled->components[c]);
    double most = 2 * rolled->roll.radius + NW_MERGE_MM;
    double limits[] = {fmin(chord.width + NW_MERGE_MM, most), most};
    for (int k = 0; k < 2; k++) {
        nw_width best = width_below(all, c, limits[k]);
        if (best.width < limits[k])
            return best;
    }
    return chord;
}

nw_status nw_widths_find(const nw_rolled *rolled, int threads, nw_width *widths, nw_error *error)
{
    parts all = {.rolled = rolled};
    bool good = parts_make(&all) && (all.count == 0 || marks_make(&all));
    long count = good ? (long)rolled->component_count : 0;
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic, 16)                                                     \
    num_threads(threads) if (all.count >= NW_SHARED_LEAST)
#else
    (void)threads;
#endif
    for (long c = 0; c < count; c++)
        if (rolled->components[c].contacts >= 2)
            widths[c] = component_width(&all, (uint32_t)c);
    free(all.parts);
    free(all.start);
    free(all.marks);
    return good ? NW_OK : nw_fail_memory(error, "the walls");
}
