/*
 * A contact arc of a residue -> the blind end beyond it: how much of it is lost, whether it is a
 * tip, and whether that much may be lost.
 *
 * A tip's width falls steadily towards its end. A blind end is accepted when it loses no more than
 * an eighth of --blunt, or as a tip no more than --blunt; and so is all that lies in what a larger
 * disc would only blunt, for what a smaller disc misses a larger one misses too (Serra, Image
 * Analysis and Mathematical Morphology, 1982), and it cannot be worse to lose less. So where a disc
 * stops in a narrower place further in, or passes a pinch into a small room, the discs that touch
 * both walls further out are looked at as well, from places on the border counted from the deepest
 * point, which do not depend on the bit.
 */
#include <fit/side.h>

#include <math.h>
#include <stdlib.h>

#define TIP_SHARE 0.6  /* a tip's width at three quarters of its depth to that at one, */
#define TIP_WIDER 1.03 /* and at half of it, for sides may be parallel, and rough, so far */
#define ANY_SHARE 8    /* a blind end that is no tip may lose this part of a tip's length */

/* Discs further out are tried this often over --blunt's length. Between two tries depths and widths
 * change a little: what one disc accepts must not depend on where the tries fall. */
#define TRIES 24
#define TRIES_MOST 64
#define TRY_DEPTH 1.04
#define TRY_TIP 0.64
#define TRY_WIDER 1.06
#define DIRECTIONS 7        /* tries at a corner of the border, at most; */
#define TURN_LEAST_RAD 0.02 /* one if it turns by so much, */
#define TURN_MORE_RAD 0.05  /* and one more for each of these: chords of curves turn by little */
#define HOOK 2.5            /* a blind end so much deeper than may be lost is not looked at */
#define ROUNDING 1e-9       /* of a radius, and more */
#define POINTS_NEARBY 24
#define WAY_NEARBY 16

typedef struct {
    nw_point *points;
    size_t count, capacity;
} line_of_points;

static bool point_add(line_of_points *line, nw_point p)
{
    return nw_push(&line->points, &line->count, &line->capacity, &p, sizeof p);
}

static bool wall_add_points(const nw_rolled *rolled, uint32_t w, line_of_points *line)
{
    const nw_wall *wall = &rolled->walls.walls[w];
    bool good = point_add(line, wall->first);
    uint32_t i = wall->segment;
    for (uint32_t k = 0; k < wall->span; k++) {
        i = rolled->border.next[i];
        good = good && point_add(line, rolled->border.points[i]);
    }
    return good && point_add(line, wall->last);
}

/* Where the line from a to b is at this distance from the centre. */
static nw_point at_distance(nw_point centre, nw_point a, nw_point b, double distance)
{
    nw_point d = nw_minus(b, a), f = nw_minus(a, centre);
    double A = nw_dot(d, d), B = nw_dot(f, d), C = nw_dot(f, f) - distance * distance;
    double root = sqrt(fmax(0, B * B - A * C));
    double t = A > 0 ? (C <= 0 ? (root - B) / A : (-root - B) / A) : 0;
    return nw_plus(a, d, fmin(1, fmax(0, t)));
}

/* The distance between the two sides where, coming from the mouth, they are first as far from the
 * centre as `distance`. Not seen from the deepest point: that is one corner of a blunt end, and
 * more points along the end would make it narrow. */
static double width_at(const line_of_points *line, nw_point centre, double distance)
{
    size_t left = 1, right = line->count - 2;
    while (left + 1 < line->count && nw_distance(line->points[left], centre) < distance)
        left++;
    while (right > 0 && nw_distance(line->points[right], centre) < distance)
        right--;
    nw_point a = at_distance(centre, line->points[left - 1], line->points[left], distance);
    nw_point b = at_distance(centre, line->points[right + 1], line->points[right], distance);
    return nw_distance(a, b);
}

/* What lies beyond a disc whose contact arc joins the ends of the line. */
static nw_blind_end end_measure(const line_of_points *line, nw_point centre, double radius)
{
    size_t deepest = 0;
    double far = 0, along = 0, deepest_along = 0;
    for (size_t k = 0; k < line->count; k++) {
        double distance = nw_distance(line->points[k], centre);
        along += k ? nw_distance(line->points[k - 1], line->points[k]) : 0;
        if (distance > far) {
            far = distance;
            deepest = k;
            deepest_along = along;
        }
    }
    double depth = far - radius;
    return (nw_blind_end){line->points[deepest],
                          centre,
                          depth,
                          width_at(line, centre, radius + depth / 4),
                          width_at(line, centre, radius + depth / 2),
                          width_at(line, centre, radius + depth * 3 / 4),
                          deepest_along};
}

/* Where an end of a wall found no partner the round may not close: then nothing is measured. */
static bool stub_measure(const nw_rolled *rolled, uint32_t arc, nw_blind_end *end)
{
    line_of_points line = {0};
    bool good = true;
    uint32_t w = arc;
    size_t steps = 0;
    do {
        w = rolled->walls.walls[w].next;
        good = good && (w == NW_NOWHERE || wall_add_points(rolled, w, &line));
    } while (w != arc && w != NW_NOWHERE && ++steps < rolled->walls.count);
    *end = (nw_blind_end){.deepest = rolled->walls.walls[arc].last};
    if (good && w == arc)
        *end = end_measure(&line, rolled->walls.walls[arc].after, rolled->roll.radius);
    free(line.points);
    return good;
}

/* What becomes wider first is none: a disc as large as a foot stops before all of its toes. */
static bool narrows_to(const nw_blind_end *end, double share, double wider)
{
    return end->deep < share * end->shallow && end->middle <= wider * end->shallow;
}

bool nw_blind_end_is_tip(const nw_blind_end *end)
{
    return narrows_to(end, TIP_SHARE, TIP_WIDER);
}

bool nw_blind_end_is_deep(const nw_blind_end *end, double blunt)
{
    return end->depth > blunt / ANY_SHARE;
}

static bool may_be_lost(const nw_blind_end *end, double blunt)
{
    return !nw_blind_end_is_deep(end, blunt) || (end->depth <= blunt && nw_blind_end_is_tip(end));
}

/* ---- along the border ------------------------------------------------------------------------ */

/* A stretch of a ring, `length` millimetres from `at` millimetres along a segment. */
typedef struct {
    uint32_t segment;
    double at, length;
} stretch;

/* Adds its points, as long as they are not further from the centre than `most`. */
static bool stretch_points(const nw_border *border, stretch s, nw_point centre, double most,
                           line_of_points *line, bool *inside)
{
    uint32_t i = s.segment;
    double left = s.length, at = s.at;
    bool good = point_add(line, nw_border_at(border, i, at));
    *inside = true;
    while (good && *inside && left > 0) {
        double step = border->length[i] - at;
        nw_point p = nw_border_at(border, i, step < left ? border->length[i] : at + left);
        *inside = nw_distance(p, centre) <= most;
        good = point_add(line, p);
        left -= step;
        at = 0;
        i = border->next[i];
    }
    return good;
}

static double around(double length, double ring_length)
{
    return length < 0 ? length + ring_length : length;
}

/* The border beyond the arc that follows the wall, from its one foot to the other; false where they
 * are not on one ring. */
static bool stretch_beyond(const nw_rolled *rolled, uint32_t arc, stretch *beyond)
{
    const nw_border *border = &rolled->border;
    const nw_wall *to = &rolled->walls.walls[arc];
    if (to->next == NW_NOWHERE)
        return false;
    const nw_wall *from = &rolled->walls.walls[to->next];
    uint32_t ring = border->ring[from->segment];
    if (border->ring[to->segment] != ring)
        return false;
    double last = border->station[to->segment] + to->from + nw_wall_length(border, to);
    double whole = border->ring_length[ring];
    double length = last - border->station[from->segment] - from->from;
    *beyond = (stretch){from->segment, from->from, around(fmod(length, whole), whole)};
    return beyond->length > 0;
}

/* ---- discs further out ----------------------------------------------------------------------- */

typedef struct {
    const nw_rolled *rolled;
    double blunt;
    stretch beyond;
    nw_point deepest; /* of it */
    bool forward;     /* the places are beyond its far end, else before its near one */
    bool blunted;
    uint32_t touched;        /* by the last disc, over there */
    double less_than, depth; /* what a disc may lose, and what the last one lost */
} outlook;

/* The radius below which a disc that touches at a place leaves a point, `to` away from the place,
 * more than `most` outside: |to - radius normal| <= radius + most. */
static double radius_least(nw_point to, nw_point normal, double most)
{
    double far = nw_dot(to, to) - most * most, rise = most + nw_dot(to, normal);
    return far <= 0 ? 0 : rise > 0 ? far / (2 * rise) : INFINITY;
}

/* Whether a disc of the radius that touches at p, its centre along the normal, has q in it. */
static bool disc_has(nw_point p, nw_point normal, double radius, nw_point q)
{
    nw_point d = nw_minus(q, p);
    return 2 * radius * nw_dot(d, normal) > nw_dot(d, d);
}

/* Whether the border's points nearby, along it, leave no room for the disc: mostly they tell at
 * once where a search through all of the border would. */
static bool no_room(const nw_border *border, uint32_t i, nw_point p, nw_point normal, double radius)
{
    uint32_t before = i, after = border->next[i];
    double way = 0;
    for (int k = 0; k < POINTS_NEARBY && way < WAY_NEARBY * radius; k++) {
        if (disc_has(p, normal, radius, border->points[before]) ||
            disc_has(p, normal, radius, border->points[after]))
            return true;
        way += border->length[after];
        before = border->prev[before];
        after = border->next[after];
    }
    return false;
}

/* The disc that touches at the place, `margin` millimetres beyond the one end of what is beyond the
 * arc: whether it only blunts all of that. The search for it ends where it is too small to. */
static bool try_disc(outlook *work, uint32_t i, double at, nw_point normal, double margin)
{
    const nw_border *border = &work->rolled->border;
    uint32_t ring = border->ring[i], j = work->touched;
    nw_point p = nw_border_at(border, i, at), foot = p;
    double far = TRY_DEPTH * work->blunt;
    double reaching = radius_least(nw_minus(work->deepest, p), normal, far) * (1 - ROUNDING);
    double least = fmax(work->rolled->roll.radius, reaching);
    if (least >= border->across || no_room(border, i, p, normal, least))
        return true;
    double radius = nw_border_disc_from(border, p, normal, least, border->across, &j, &foot);
    work->touched = j;
    if (radius <= least || radius >= border->across || border->ring[j] != ring)
        return true;
    double at_foot = nw_distance(border->points[j], foot);
    double ahead = border->station[j] + at_foot - border->station[i] - at;
    double whole = border->ring_length[ring];
    stretch seen = work->forward ? (stretch){j, at_foot, around(-ahead, whole)}
                                 : (stretch){i, at, around(ahead, whole)};
    nw_point centre = nw_plus(p, normal, radius);
    double most = radius + far;
    if (seen.length < margin + work->beyond.length - NW_MERGE_MM ||
        nw_distance(work->deepest, centre) > most)
        return true;
    line_of_points line = {0};
    bool inside;
    bool good = stretch_points(border, seen, centre, most, &line, &inside);
    if (good && inside && line.count > 2) {
        nw_blind_end end = end_measure(&line, centre, radius);
        work->blunted = narrows_to(&end, TRY_TIP, TRY_WIDER) && end.depth < work->less_than;
        work->depth = end.depth;
    }
    free(line.points);
    return good;
}

/* At a point that the area lies round, discs touch in many directions. */
static bool try_point(outlook *work, const nw_free_stretch *free, double margin)
{
    const nw_border *border = &work->rolled->border;
    uint32_t i = free->element / 2;
    nw_point first = nw_left(border->along[border->prev[i]]);
    double turn = nw_border_turn(border, i);
    int tries = turn > TURN_LEAST_RAD ? 1 + (int)fmin(turn / TURN_MORE_RAD, DIRECTIONS - 1) : 0;
    bool good = true;
    for (int k = 1; good && !work->blunted && k <= tries; k++) {
        double angle = turn * k / (tries + 1);
        nw_point normal = nw_round_centre((nw_point){0, 0}, first, 1, angle);
        if (angle >= free->from && angle <= free->to)
            good = try_disc(work, i, 0, normal, margin);
    }
    return good;
}

/* The first free stretch that is not before the element. */
static uint32_t free_from(const nw_roll *roll, size_t element)
{
    size_t low = 0, high = roll->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        *(roll->frees[middle].element < element ? &low : &high) =
            middle + (roll->frees[middle].element < element);
    }
    return (uint32_t)low;
}

/* Where on its ring a free stretch begins, or ends. */
static double free_station(const nw_roll *roll, uint32_t k, bool begins)
{
    const nw_free_stretch *free = &roll->frees[k];
    double station = roll->border->station[free->element / 2];
    return free->element % 2 == 0 ? station : station + (begins ? free->from : free->to);
}

/* From the one end of what is beyond the arc, where the stretch is free, `skip` millimetres of
 * border from its deepest point, on along the border: places are counted from that point. A disc
 * that touches where the one that rolled was not free is smaller. */
static bool look_along(outlook *work, uint32_t free, double skip)
{
    const nw_border *border = &work->rolled->border;
    const nw_roll *roll = &work->rolled->roll;
    uint32_t ring = border->ring[work->beyond.segment];
    uint32_t ends[] = {free_from(roll, 2 * border->starts[ring]),
                       free_from(roll, 2 * border->starts[ring + 1]) - 1};
    double whole = border->ring_length[ring], step = work->blunt / TRIES;
    double start = border->station[work->beyond.segment] + work->beyond.at;
    double first = floor(skip / step) + 1, end = fmod(start + work->beyond.length, whole);
    bool forward = work->forward, good = true;
    work->touched = forward ? work->beyond.segment : nw_border_segment(border, ring, end);
    start = forward ? end : start;
    double near = 0; /* of the free stretch's end on this side */
    for (int k = 0; good && !work->blunted && k < TRIES_MOST; k++) {
        double margin = (first + k) * step - skip;
        if (margin + work->beyond.length >= whole)
            break;
        for (const nw_free_stretch *at; good && !work->blunted && near <= margin;) {
            at = &roll->frees[free];
            bool point = at->element % 2 == 0;
            if (!point && near + at->to - at->from >= margin) {
                uint32_t i = at->element / 2;
                double station =
                    forward ? fmod(start + margin, whole) : around(start - margin, whole);
                good = try_disc(work, i, station - border->station[i], nw_left(border->along[i]),
                                margin);
                break;
            }
            if (point)
                good = try_point(work, at, near);
            bool turns = free == ends[forward];
            uint32_t next = turns ? ends[!forward] : forward ? free + 1 : free - 1;
            double on = free_station(roll, next, forward) - free_station(roll, free, forward);
            near += (forward ? on : -on) + (turns ? whole : 0);
            free = next;
        }
    }
    return good;
}

/* Round a hook the straight way from the smaller disc may be longer than what is lost: that is no
 * more than what the larger one loses, if the way from that is shorter. */
static bool look_further_out(const nw_rolled *rolled, uint32_t arc, stretch beyond, double blunt,
                             nw_blind_end *end, bool *yes)
{
    const nw_wall *walls = rolled->walls.walls;
    outlook work = {.rolled = rolled, .blunt = blunt, .beyond = beyond, .deepest = end->deepest};
    work.less_than = end->depth > blunt ? end->depth : INFINITY;
    bool good = look_along(&work, walls[walls[arc].next].free_before, end->along);
    work.forward = true;
    if (good && !work.blunted)
        good = look_along(&work, walls[arc].free_after, fmax(0, beyond.length - end->along));
    *yes = work.blunted;
    if (work.blunted)
        end->depth = fmin(end->depth, work.depth);
    return good;
}

bool nw_stub_is_blunted(const nw_rolled *rolled, uint32_t arc, double blunt, nw_blind_end *end,
                        bool *yes)
{
    stretch beyond;
    *yes = false;
    if (!stub_measure(rolled, arc, end))
        return false;
    *yes = may_be_lost(end, blunt);
    return *yes || end->depth > HOOK * blunt || !stretch_beyond(rolled, arc, &beyond) ||
           look_further_out(rolled, arc, beyond, blunt, end, yes);
}

bool nw_room_is_blunted(const nw_rolled *rolled, uint32_t arc, double walls, double blunt,
                        nw_blind_end *end, bool *yes)
{
    nw_point centre = rolled->walls.walls[arc].after;
    double radius = rolled->roll.radius;
    line_of_points line = {0};
    stretch beyond;
    bool inside, good;
    *yes = false;
    /* Where the disc touches one wall twice, what is between its feet is a dent, not the passage.
     */
    if (!stretch_beyond(rolled, arc, &beyond) || beyond.length < walls)
        return true;
    good = stretch_points(&rolled->border, beyond, centre, radius + HOOK * blunt, &line, &inside);
    if (good && inside && line.count > 2) {
        *end = end_measure(&line, centre, radius);
        *yes = may_be_lost(end, blunt);
        good = *yes || look_further_out(rolled, arc, beyond, blunt, end, yes);
    }
    free(line.points);
    return good;
}

double nw_blunt_length(const nw_fit_options *options, const nw_border *border)
{
    return options->blunt > 0 ? options->blunt : NW_BLUNT_SHARE * border->across;
}
