/*
 * tight_corner: closed rings of places -> their corners with those whose sides are short, as at the
 * end of a bar of a few pixels.
 *
 * Where the outline turns much within a few places, sides are tried that begin one to three places
 * off, for pixels round off what is nearer, and go as far as they are straight. Whether they meet
 * in a corner says the picture: the wedge between them has to cover the pixels round its tip as
 * these are. The best come first and keep others off, those with long sides among them.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STARTS 3          /* places off, one to so many, where a side may begin */
#define COS_TIGHT 0.54    /* of what the outline turns by, 1 rad, between short chords and sides, */
#define COS_POINTED -0.86 /* and at most, 2.6: of what is sharper a few pixels tell too little */
#define STRAIGHT_PX 0.1   /* from the line through a side's places */
#define OFF_MOST 0.03     /* of a pixel, in the mean: noise, and what antialiasing rounds */
#define LONG_SHARE 0.5    /* of how far it is off counts of a corner with long sides */
#define APART 3           /* places between two corners, */
#define APART_PX 1.5      /* and their tips, of places up to */
#define NEAR_PLACES 6     /* so many apart */
#define FROM_PLACE_PX 1.5 /* of a tip from the place where the outline turns */

typedef struct {
    nw_point places[NW_CORNER_SIDE];
    size_t count;
} short_side;

typedef struct {
    nw_ring_corner corner;
    size_t place;
    double worse; /* the less, the better it is */
} candidate;

typedef struct {
    candidate *items;
    size_t count, capacity;
} candidates;

/* Whether the outline turns much at place i, between short chords on either side. */
static bool turns_at(const nw_contour_ring *ring, long i)
{
    nw_point before = nw_minus(nw_ring_place(ring, i - 1), nw_ring_place(ring, i - 3)),
             after = nw_minus(nw_ring_place(ring, i + 3), nw_ring_place(ring, i + 1));
    return nw_dot(before, after) < COS_TIGHT * nw_length(before) * nw_length(after);
}

/* The places from the start-th after place i, or before it, as far as they go on straight; in the
 * ring's order. */
static short_side side_from(const nw_contour_ring *ring, long i, bool before, long start)
{
    short_side side;
    nw_point found[NW_CORNER_SIDE];
    size_t n = 0;
    for (; n < NW_CORNER_SIDE; n++) {
        long away = start + (long)n;
        nw_point p = nw_ring_place(ring, before ? i - away : i + away);
        if (n >= 2) {
            nw_point way = nw_unit(found[0], found[n - 1]);
            if (fabs(nw_cross(way, nw_minus(p, found[0]))) > STRAIGHT_PX ||
                nw_dot(way, nw_minus(p, found[n - 1])) <= 0)
                break;
        }
        found[n] = p;
    }
    side.count = n;
    nw_side_order(found, n, before, side.places);
    return side;
}

/* The corner that two sides make at place i, if the picture has one like it. */
static bool sides_make(const nw_levels *of, const nw_contour_ring *ring, const short_side *before,
                       const short_side *after, candidate *made)
{
    size_t i = made->place, n = before->count;
    nw_ring_corner c = {.at = ring->points[i], .sides = nw_break_at(ring->count, i, i)};
    if (!nw_sides_meet(before->places, n, after->places, after->count, &c) ||
        nw_distance(c.at, ring->points[i]) > FROM_PLACE_PX ||
        !nw_corner_between(&c, before->places[n - 1], after->places[0]))
        return false;
    double along = nw_dot(c.in, c.out);
    if (along > COS_TIGHT || along < COS_POINTED)
        return false;
    c.ink = nw_wedge_compare(of, &c);
    if (c.ink.off >= OFF_MOST)
        return false;
    c.reach = nw_distance(nw_place_nearest(ring, &c), c.at);
    made->corner = c;
    made->worse = c.ink.off;
    return true;
}

static bool best_at(const nw_levels *of, const nw_contour_ring *ring, size_t i, candidate *best)
{
    short_side before[STARTS], after[STARTS];
    candidate tried = {.place = i};
    *best = (candidate){.worse = INFINITY};
    for (long k = 0; k < STARTS; k++) {
        before[k] = side_from(ring, (long)i, true, k + 1);
        after[k] = side_from(ring, (long)i, false, k + 1);
    }
    for (size_t k = 0; k < (size_t)STARTS * STARTS; k++)
        if (sides_make(of, ring, &before[k / STARTS], &after[k % STARTS], &tried) &&
            tried.worse < best->worse)
            *best = tried;
    return isfinite(best->worse);
}

/* Whether one of the candidates that are marked, by their places, with their number and one, is too
 * near to another. */
static bool is_near_marked(const nw_contour_ring *ring, const candidates *all, const size_t *marks,
                           const candidate *c)
{
    size_t n = ring->count;
    for (size_t k = 0; k <= (size_t)2 * NEAR_PLACES; k++) {
        size_t mark = marks[(c->place + n + k - NEAR_PLACES) % n];
        size_t apart = k < NEAR_PLACES ? NEAR_PLACES - k : k - NEAR_PLACES;
        if (mark &&
            (apart < APART || nw_distance(all->items[mark - 1].corner.at, c->corner.at) < APART_PX))
            return true;
    }
    return false;
}

/* Those with long sides, and at places where none of them is sure those with short ones. Marks
 * those that are sure. */
static bool all_find(const nw_levels *of, const nw_contour_ring *ring,
                     const nw_ring_corner *corners, size_t count, size_t *marks, candidates *all)
{
    bool done = true;
    for (size_t k = 0; done && k < count; k++) {
        candidate c = {.corner = corners[k], .worse = LONG_SHARE * corners[k].ink.off};
        c.place = (corners[k].sides.before + 1) % ring->count;
        marks[c.place] = corners[k].ink.off < OFF_MOST ? k + 1 : 0;
        done = nw_push(&all->items, &all->count, &all->capacity, &c, sizeof c);
    }
    for (size_t i = 0; done && i < ring->count; i++) {
        candidate c = {.place = i, .corner.at = ring->points[i]};
        if (turns_at(ring, (long)i) && !is_near_marked(ring, all, marks, &c) &&
            best_at(of, ring, i, &c))
            done = nw_push(&all->items, &all->count, &all->capacity, &c, sizeof c);
    }
    return done;
}

static int by_worse(const void *a, const void *b)
{
    const candidate *x = a, *y = b;
    int order = nw_order(x->worse, y->worse);
    return order ? order : nw_order((double)x->place, (double)y->place);
}

static int by_place(const void *a, const void *b)
{
    const candidate *x = a, *y = b;
    return nw_order((double)x->place, (double)y->place);
}

/* Keeps of those that are near one another the best, in the ring's order. */
static void best_keep(const nw_contour_ring *ring, size_t *marks, candidates *all)
{
    size_t kept = 0;
    memset(marks, 0, ring->count * sizeof *marks);
    nw_sort(all->items, all->count, sizeof *all->items, by_worse);
    for (size_t k = 0; k < all->count; k++) {
        if (is_near_marked(ring, all, marks, &all->items[k]))
            continue;
        all->items[kept] = all->items[k];
        marks[all->items[kept].place] = kept + 1;
        kept++;
    }
    all->count = kept;
    nw_sort(all->items, all->count, sizeof *all->items, by_place);
}

/* Makes the corners with long sides all of them; they are freed where memory runs out. */
static bool short_sides_add(const nw_levels *of, const nw_contour_ring *ring,
                            nw_ring_corner **corners, size_t *count)
{
    candidates all = {0};
    size_t *marks = nw_alloc(ring->count, sizeof *marks);
    nw_ring_corner *kept = NULL;
    if (marks && all_find(of, ring, *corners, *count, marks, &all)) {
        best_keep(ring, marks, &all);
        kept = nw_alloc(all.count, sizeof *kept);
    }
    for (size_t k = 0; kept && k < all.count; k++)
        kept[k] = all.items[k].corner;
    free(*corners);
    *corners = kept;
    *count = kept ? all.count : 0;
    free(all.items);
    free(marks);
    return kept != NULL;
}

bool nw_corners_find(const nw_levels *of, const nw_contour_ring *ring, nw_ring_corner **corners,
                     size_t *corner_count)
{
    return nw_long_corners_find(of, ring, corners, corner_count) &&
           (!nw_levels_sharp(of) || short_sides_add(of, ring, corners, corner_count));
}
