/*
 * Free stretches of the centre's way -> walls, the uncovered stretches of the border between
 * them, and which wall follows which across a contact arc.
 *
 * Where the centre's way ends on one element it goes on along another that touches the disc at
 * the same place; the arc between the two feet is where the disc leaves stock. So every end of a
 * wall has a partner with the same centre. Where three feet or more meet, the pairs are taken by
 * the smallest clockwise angle first.
 */
#include <fit/residue.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Ends meet within rounding, or within the slack that the rules on collinear neighbours leave:
 * flat neighbours, up to 1e-3 rad, do not shorten each other's ways. */
#define MEET_MM 1e-5
#define MEET_SLACK_MM 1e-3
#define MEET_SLACK_RAD 3e-3

/* An angle this little under a full turn is none: both feet are one. */
#define SAME_FOOT_RAD 1e-6

double nw_clockwise(nw_point centre, nw_point from, nw_point to)
{
    double angle = -nw_angle(nw_minus(from, centre), nw_minus(to, centre));
    return angle < 0 ? angle + NW_TURN : angle;
}

double nw_wall_length(const nw_border *border, const nw_wall *wall)
{
    size_t ring = border->ring[wall->segment], first = border->starts[ring];
    size_t count = border->starts[ring + 1] - first, at = wall->segment - first + wall->span;
    double laps = border->ring_length[ring] * (double)(at / count);
    return laps + border->station[first + at % count] + wall->to - border->station[wall->segment] -
           wall->from;
}

bool nw_wall_has_arc(const nw_walls *walls, uint32_t wall)
{
    const nw_wall *w = &walls->walls[wall];
    if (w->closed || w->next == NW_NOWHERE)
        return false;
    nw_point to = walls->walls[w->next].first;
    if (nw_distance(w->last, to) < NW_ARC_LEAST_MM)
        return false;
    nw_point a = nw_minus(w->last, w->after), b = nw_minus(to, w->after);
    return !(nw_cross(a, b) > 0 && nw_dot(a, b) > 0);
}

static nw_wall *wall_add(nw_walls *walls)
{
    nw_wall wall = {.next = NW_NOWHERE, .free_before = NW_NOWHERE, .free_after = NW_NOWHERE};
    bool good = nw_push(&walls->walls, &walls->count, &walls->capacity, &wall, sizeof wall);
    return good ? &walls->walls[walls->count - 1] : NULL;
}

static bool wall_add_closed(nw_walls *walls, size_t ring)
{
    const nw_border *border = walls->border;
    nw_wall *wall = wall_add(walls);
    if (!wall)
        return false;
    wall->segment = (uint32_t)border->starts[ring];
    wall->span = (uint32_t)(border->starts[ring + 1] - border->starts[ring]);
    wall->first = wall->last = border->points[wall->segment];
    wall->next = (uint32_t)walls->count - 1;
    wall->closed = true;
    return true;
}

/* The wall from the end of one free stretch to the start of another; around says that this goes
 * past the ring's start. */
static bool wall_add_between(nw_walls *walls, uint32_t one, uint32_t other, bool around)
{
    const nw_roll *roll = walls->roll;
    const nw_free_stretch *before = &roll->frees[one], *after = &roll->frees[other];
    uint32_t i = before->element / 2, j = after->element / 2;
    size_t ring = walls->border->ring[i];
    uint32_t count = (uint32_t)(walls->border->starts[ring + 1] - walls->border->starts[ring]);
    nw_wall *wall = wall_add(walls);
    if (!wall)
        return false;
    wall->segment = i;
    wall->span = around ? j + count - i : j - i;
    wall->from = before->element % 2 ? before->to : 0;
    wall->to = after->element % 2 ? after->from : 0;
    wall->first = nw_element_foot(roll, before->element, before->to);
    wall->last = nw_element_foot(roll, after->element, after->from);
    wall->before = nw_element_centre(roll, before->element, before->to);
    wall->after = nw_element_centre(roll, after->element, after->from);
    wall->free_before = one;
    wall->free_after = other;
    return true;
}

static bool ring_walls(nw_walls *walls, size_t ring, uint32_t first, uint32_t last)
{
    if (first == last)
        return wall_add_closed(walls, ring);
    for (uint32_t k = first; k < last; k++) {
        uint32_t other = k + 1 < last ? k + 1 : first;
        const nw_free_stretch *a = &walls->roll->frees[k], *b = &walls->roll->frees[other];
        bool goes_on =
            a->ends && b->begins && nw_element_next(walls->border, a->element) == b->element;
        if (goes_on)
            walls->follow[k] = other;
        else if (!wall_add_between(walls, k, other, other == first))
            return false;
    }
    return true;
}

static bool all_walls(nw_walls *walls)
{
    const nw_roll *roll = walls->roll;
    size_t at = 0;
    for (size_t ring = 0; ring < walls->border->ring_count; ring++) {
        size_t first = at;
        while (at < roll->count && walls->border->ring[roll->frees[at].element / 2] == ring)
            at++;
        if (!ring_walls(walls, ring, (uint32_t)first, (uint32_t)at))
            return false;
    }
    return true;
}

/* ---- pairing ------------------------------------------------------------------------------ */

typedef struct {
    double x;
    uint32_t wall;
} wall_start;

typedef struct {
    double angle;
    uint32_t from, to;
} partner;

typedef struct {
    nw_walls *walls;
    wall_start *starts; /* of walls whose start has no partner yet, by the centre's x */
    size_t start_count;
    partner *partners;
    size_t count, capacity;
    bool *taken; /* the starts that have a partner */
} pairing;

static int starts_order(const void *a, const void *b)
{
    const wall_start *p = a, *q = b;
    return p->x != q->x ? nw_order(p->x, q->x) : nw_order(p->wall, q->wall);
}

static int partners_order(const void *a, const void *b)
{
    const partner *p = a, *q = b;
    if (p->angle != q->angle)
        return nw_order(p->angle, q->angle);
    return p->from != q->from ? nw_order(p->from, q->from) : nw_order(p->to, q->to);
}

static size_t starts_from(const pairing *work, double x)
{
    size_t low = 0, high = work->start_count;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (work->starts[middle].x < x)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static bool partners_find(pairing *work, uint32_t w, double meet)
{
    const nw_wall *walls = work->walls->walls, *wall = &walls[w];
    for (size_t k = starts_from(work, wall->after.x - meet);
         k < work->start_count && work->starts[k].x <= wall->after.x + meet; k++) {
        uint32_t v = work->starts[k].wall;
        nw_point other = walls[v].before;
        if (work->taken[v] || nw_distance(other, wall->after) > meet)
            continue;
        double angle = nw_clockwise(nw_middle(other, wall->after), wall->last, walls[v].first);
        partner pair = {angle > NW_TURN - SAME_FOOT_RAD ? 0 : angle, w, v};
        if (!nw_push(&work->partners, &work->count, &work->capacity, &pair, sizeof pair))
            return false;
    }
    return true;
}

static bool pair_nearer_than(pairing *work, double meet)
{
    nw_walls *walls = work->walls;
    work->count = 0;
    for (uint32_t w = 0; w < walls->count; w++)
        if (walls->walls[w].next == NW_NOWHERE && !partners_find(work, w, meet))
            return false;
    nw_sort(work->partners, work->count, sizeof *work->partners, partners_order);
    for (size_t k = 0; k < work->count; k++) {
        partner pair = work->partners[k];
        if (walls->walls[pair.from].next != NW_NOWHERE || work->taken[pair.to])
            continue;
        walls->walls[pair.from].next = pair.to;
        work->taken[pair.to] = true;
    }
    return true;
}

/* Nothing else can touch the disc between its feet, so no other pair is nearer. */
bool nw_wall_is_corner(const nw_border *border, const nw_wall *wall)
{
    uint32_t next = border->next[wall->segment];
    return wall->span == 1 && nw_distance(wall->before, wall->after) <= MEET_MM &&
           nw_dot(border->along[wall->segment], border->along[next]) > 0 &&
           nw_cross(border->along[wall->segment], border->along[next]) > 0 && wall->to > 0;
}

static bool pair_all(nw_walls *walls)
{
    pairing work = {.walls = walls};
    work.starts = nw_alloc(walls->count, sizeof *work.starts);
    work.taken = nw_alloc(walls->count, sizeof *work.taken);
    bool good = work.starts && work.taken;
    for (uint32_t w = 0; good && w < walls->count; w++) {
        if (walls->walls[w].closed)
            continue;
        if (nw_wall_is_corner(walls->border, &walls->walls[w])) {
            walls->walls[w].next = w;
            work.taken[w] = true;
        } else {
            work.starts[work.start_count++] = (wall_start){walls->walls[w].before.x, w};
        }
    }
    if (good)
        nw_sort(work.starts, work.start_count, sizeof *work.starts, starts_order);
    good = good && pair_nearer_than(&work, MEET_MM) && pair_nearer_than(&work, MEET_SLACK_MM) &&
           pair_nearer_than(&work, MEET_SLACK_RAD * walls->roll->radius);
    free(work.starts);
    free(work.taken);
    free(work.partners);
    return good;
}

static void follow_arcs(nw_walls *walls)
{
    for (size_t w = 0; w < walls->count; w++) {
        const nw_wall *wall = &walls->walls[w];
        if (wall->next == NW_NOWHERE)
            walls->unpaired++;
        else if (!wall->closed)
            walls->follow[walls->walls[wall->next].free_before] = wall->free_after;
    }
}

nw_status nw_walls_make(const nw_roll *roll, nw_walls *walls, nw_error *error)
{
    *walls = (nw_walls){.border = roll->border, .roll = roll};
    walls->follow = nw_alloc(roll->count, sizeof *walls->follow);
    bool good = walls->follow != NULL;
    if (good) {
        memset(walls->follow, 0xff, roll->count * sizeof *walls->follow);
        good = all_walls(walls) && pair_all(walls);
    }
    if (!good) {
        nw_walls_free(walls);
        return nw_fail_memory(error, "the walls");
    }
    follow_arcs(walls);
    return NW_OK;
}

void nw_walls_free(nw_walls *walls)
{
    if (!walls)
        return;
    free(walls->walls);
    free(walls->follow);
    *walls = (nw_walls){0};
}
