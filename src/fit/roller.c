/*
 * A radius and an element of a border -> the stretches of it at which the disc is free.
 *
 * The way is cut into pieces of at most a radius or half a radian. From each piece the stretches
 * that other segments block are taken away: first those of the segments that blocked the last
 * few pieces, then those of whatever the tree finds within the radius, nearest first, until
 * nothing is left of the piece or nothing is left to ask.
 */
#include <fit/roller.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PIECE_RAD 0.5
#define OVERLAP_LEAST 1e-9 /* mm or rad: less than this is neither blocked nor free */
#define AHEAD_LESS 1e-3
#define ROOMY 12 /* things in a list that has room for twice as much */
#define FEW 64   /* things in a list that is worth its while where most pieces are blocked */
#define REACH_LEAST 0.03 /* of the radius, of a list */
#define CROWDED 32       /* pieces that are looked at without a list after one that was too long */
#define PIECES_MOST 4096.0 /* of one segment: bounds the work for tiny radii */

void nw_roller_start(nw_roller *work, const nw_border *border, double radius)
{
    *work = (nw_roller){.border = border, .radius = radius, .near_next = radius};
    work->failed = !nw_grow(&work->open, &work->open_capacity, 8, sizeof *work->open);
}

void nw_roller_rest(nw_roller *work)
{
    free(work->open);
    free(work->near);
    work->open = NULL;
    work->near = NULL;
    work->open_capacity = 0;
}

void nw_roller_free(nw_roller *work)
{
    nw_roller_rest(work);
    free(work->frees);
    *work = (nw_roller){0};
}

/* Takes from..to away from what is open; returns whether one span took all that there was. */
static void span_take(nw_roller *work, nw_span span)
{
    size_t kept = 0, count = work->open_count;
    for (size_t k = 0; k < count; k++) {
        nw_span open = work->open[k];
        double from = nw_larger(open.from, span.from), to = nw_smaller(open.to, span.to);
        if (to - from <= OVERLAP_LEAST) {
            work->open[kept++] = open;
            continue;
        }
        bool before = from - open.from > OVERLAP_LEAST, after = open.to - to > OVERLAP_LEAST;
        if (before && after) { /* splits: at most one open span is split by one blocked span */
            if (!nw_grow(&work->open, &work->open_capacity, count + 1, sizeof *work->open)) {
                work->failed = true;
                return;
            }
            for (size_t m = count; m > k + 1; m--)
                work->open[m] = work->open[m - 1];
            work->open[k] = (nw_span){open.from, from};
            work->open[k + 1] = (nw_span){to, open.to};
            work->open_count = count + 1;
            return;
        }
        if (before)
            work->open[kept++] = (nw_span){open.from, from};
        if (after)
            work->open[kept++] = (nw_span){to, open.to};
    }
    work->open_count = kept;
}

/* True when nothing is left open. */
static bool segment_take(nw_roller *work, const nw_piece_way *way, uint32_t j)
{
    nw_span spans[NW_SPANS];
    int count = nw_way_blocked(way, j, spans);
    for (int k = 0; k < count && work->open_count; k++)
        span_take(work, spans[k]);
    return work->open_count == 0;
}

static nw_point way_centre(const nw_piece_way *way, double at)
{
    if (way->round)
        return nw_round_centre(way->origin, way->axis, way->radius, at);
    return nw_plus(nw_plus(way->origin, way->axis, at), nw_left(way->axis), way->radius);
}

/* How far the centres of a stretch are from the one in its middle, at most. */
static double way_spread(const nw_piece_way *way, nw_span stretch)
{
    double half = (stretch.to - stretch.from) / 2;
    return way->round ? way->radius * half : half;
}

/* Narrows the walk down to where a segment must show itself to block what is still open. */
static void walk_narrow(nw_walk *walk, const nw_roller *work, const nw_piece_way *way)
{
    double from = work->open[0].from, to = work->open[work->open_count - 1].to;
    double half = (to - from) / 2, bulge = way->round ? way->radius * (1 - nw_cos(half)) : 0;
    double spread = way_spread(way, (nw_span){from, to});
    nw_walk_box(walk, nw_box_of(way_centre(way, from), way_centre(way, to), way->radius + bulge));
    nw_walk_limit(walk, way_centre(way, (from + to) / 2), way->radius + spread);
}

static void remember(nw_roller *work, uint32_t j)
{
    work->recent_last = (work->recent_last + 1) % NW_ROLLER_RECENT;
    work->recent[work->recent_last] = j;
    if (work->recent_count < NW_ROLLER_RECENT)
        work->recent_count++;
}

/* Beside a segment; round a point the two that meet there never block. */
static bool is_neighbour(const nw_piece_way *way, uint32_t j)
{
    if (way->round)
        return false;
    return j == way->border->prev[way->at] || j == way->border->next[way->at];
}

/* True when nothing is left open; notes when a segment takes anything. */
static bool other_take(nw_roller *work, const nw_piece_way *way, uint32_t j)
{
    nw_span first = work->open[0];
    size_t count = work->open_count;
    bool none = segment_take(work, way, j);
    work->alone = work->alone && !none && count == work->open_count &&
                  first.from == work->open[0].from && first.to == work->open[0].to;
    return none;
}

static bool recent_take(nw_roller *work, const nw_piece_way *way)
{
    for (int k = 0; k < work->recent_count; k++) {
        uint32_t j = work->recent[(work->recent_last + NW_ROLLER_RECENT - k) % NW_ROLLER_RECENT];
        if (!is_neighbour(way, j) && other_take(work, way, j))
            return true;
    }
    return false;
}

/* Whether nothing is left open of the piece once j has taken its part. */
static bool found_take(nw_roller *work, const nw_piece_way *way, nw_span piece, uint32_t j)
{
    double first = work->open[0].from, last = work->open[work->open_count - 1].to;
    if (!other_take(work, way, j))
        return false;
    if (first == piece.from && last == piece.to)
        remember(work, j);
    return true;
}

static bool tree_take(nw_roller *work, const nw_piece_way *way, nw_span piece)
{
    nw_walk walk;
    uint32_t j;
    nw_walk_start(&walk, &work->border->tree, (nw_box){{0, 0}, {0, 0}}, (nw_point){0, 0});
    walk_narrow(&walk, work, way);
    while (nw_walk_next(&walk, &j)) {
        if (is_neighbour(way, j))
            continue;
        double first = work->open[0].from, last = work->open[work->open_count - 1].to;
        if (found_take(work, way, piece, j))
            return true;
        if (work->open[0].from != first || work->open[work->open_count - 1].to != last)
            walk_narrow(&walk, work, way);
    }
    return false;
}

static bool near_holds(const nw_roller *work, const nw_piece_way *way, double reach)
{
    return nw_distance(work->near_centre, way->middle) + way->spread <= reach;
}

/* Makes the list for as much as it can hold of what comes next: half as much where there was too
 * much, and twice as much again where there is room. */
static void near_find(nw_roller *work, const nw_piece_way *way)
{
    double reach = work->near_next;
    work->near_centre = nw_plus(way->middle, work->border->along[way->at],
                                (reach - way->spread) * (1 - AHEAD_LESS));
    work->near_reach = reach;
    work->near_good =
        nw_near_find(work->near, &work->border->tree, work->near_centre, work->radius + reach,
                     work->blocked ? FEW : NW_NEAR_NODES * NW_TREE_WAYS);
    if (!work->near_good)
        work->near_next = reach / 2;
    else if (work->near->count <= ROOMY)
        work->near_next = nw_smaller(2 * reach, work->radius);
    if (work->near_next < REACH_LEAST * work->radius) {
        work->near_next = 2 * reach;
        work->near_wait = CROWDED;
    }
}

/* Whether the list of what is near holds all that can block the piece. Where it does not, but the
 * last piece that was asked for was near too, it is made anew. */
static bool near_make(nw_roller *work, const nw_piece_way *way)
{
    if (work->near_good && near_holds(work, way, work->near_reach))
        return !work->blocked || work->near->count <= FEW;
    bool wanted = work->near_wait <= 0 && way->spread < work->near_next &&
                  (work->near_good || near_holds(work, way, work->radius));
    work->near_good = false;
    work->near_wait -= work->near_wait > 0;
    work->near_centre = way->middle;
    if (wanted && !work->near)
        work->near = nw_alloc(1, sizeof *work->near);
    if (wanted && work->near)
        near_find(work, way);
    return work->near_good && near_holds(work, way, work->near_reach);
}

/* As tree_take, of the list. */
static bool near_take(nw_roller *work, const nw_piece_way *way, nw_span piece)
{
    uint32_t things[NW_NEAR_NODES * NW_TREE_WAYS];
    int count = nw_near_to(work->near, way->middle, way->radius + way->spread, things);
    for (int k = 0; k < count; k++)
        if (!is_neighbour(way, things[k]) && found_take(work, way, piece, things[k]))
            return true;
    return false;
}

static void open_start(nw_roller *work, nw_span piece)
{
    work->open[0] = piece;
    work->open_count = 1;
}

/* True when nothing is left open of what the two segments beside the way's leave. */
static bool neighbours_take(nw_roller *work, const nw_piece_way *way)
{
    const nw_border *border = way->border;
    if (way->round)
        return false;
    return segment_take(work, way, border->prev[way->at]) ||
           segment_take(work, way, border->next[way->at]);
}

/* True when nothing is left open of what all but the neighbours leave. What blocked pieces before
 * is asked first only where it blocked the last one: else it is as good as any other. */
static bool others_take(nw_roller *work, const nw_piece_way *way, nw_span piece)
{
    work->blocked =
        (work->blocked && recent_take(work, way)) ||
        (near_make(work, way) ? near_take(work, way, piece) : tree_take(work, way, piece));
    return work->blocked;
}

#define NEIGHBOURS_LEAVE 3 /* spans of a piece at most: each of the two splits one */

static bool is_untouched(const nw_roller *work, nw_span piece)
{
    return work->open_count == 1 && work->open[0].from == piece.from &&
           work->open[0].to == piece.to;
}

/* Whether one of the segments that blocked pieces before surely blocks all of this one, which is
 * told without any stretch. */
static bool recent_covers(const nw_roller *work, const nw_piece_way *way)
{
    for (int k = 0; k < work->recent_count; k++) {
        uint32_t j = work->recent[(work->recent_last + NW_ROLLER_RECENT - k) % NW_ROLLER_RECENT];
        if (!is_neighbour(way, j) && nw_way_covered(way, j))
            return true;
    }
    return false;
}

/* Others are asked on their own, so as to learn what they do by themselves, unless the neighbours
 * block it all. Mostly they do nothing, and what the neighbours left is what is left. */
static void piece_take(nw_roller *work, nw_piece_way *way, nw_span piece)
{
    way->middle = way_centre(way, (piece.from + piece.to) / 2);
    way->spread = way_spread(way, piece);
    if (work->blocked && recent_covers(work, way)) {
        work->alone = false;
        work->open_count = 0;
        return;
    }
    open_start(work, piece);
    if (neighbours_take(work, way)) {
        work->alone = false;
        return;
    }
    bool whole = is_untouched(work, piece);
    nw_span left[NEIGHBOURS_LEAVE];
    size_t left_count = work->open_count;
    memcpy(left, work->open, left_count * sizeof *left);
    open_start(work, piece);
    if (others_take(work, way, piece) || whole)
        return;
    if (is_untouched(work, piece)) {
        memcpy(work->open, left, left_count * sizeof *left);
        work->open_count = left_count;
    } else {
        neighbours_take(work, way);
    }
}

/* Appends a stretch; one that continues the element's last one joins it. */
static void stretch_keep(nw_roller *work, uint32_t element, size_t element_first, nw_span open)
{
    if (work->count > element_first && work->frees[work->count - 1].to == open.from) {
        work->frees[work->count - 1].to = open.to;
        return;
    }
    work->failed |= !nw_push(&work->frees, &work->count, &work->capacity,
                             &(nw_free_stretch){element, false, false, open.from, open.to},
                             sizeof *work->frees);
}

static nw_piece_way way_of(const nw_roller *work, uint32_t element)
{
    const nw_border *border = work->border;
    uint32_t i = element / 2;
    nw_piece_way way = {.border = border,
                        .radius = work->radius,
                        .round = element % 2 == 0,
                        .at = i,
                        .origin = border->points[i],
                        .axis = border->along[i]};
    if (way.round)
        way.axis = nw_left(border->along[border->prev[i]]);
    return way;
}

/* What nothing is known of yet. */
static void stretch_roll(nw_roller *work, uint32_t element, size_t element_first, nw_span unknown)
{
    double length = unknown.to - unknown.from;
    if (length <= 0)
        return;
    nw_piece_way way = way_of(work, element);
    double pieces = ceil(length / (way.round ? PIECE_RAD : work->radius));
    int count = (int)nw_smaller(pieces, PIECES_MOST);
    for (int k = 0; k < count && !work->failed; k++) {
        double from = unknown.from + k * length / count;
        double to = k + 1 < count ? unknown.from + (k + 1) * length / count : unknown.to;
        piece_take(work, &way, (nw_span){from, to});
        for (size_t m = 0; m < work->open_count; m++)
            stretch_keep(work, element, element_first, work->open[m]);
    }
}

/* One stretch of what may be free, less what is known to be; *at goes along that. */
static void stretch_between(nw_roller *work, uint32_t element, size_t element_first, nw_span most,
                            nw_frees least, size_t *at)
{
    for (; *at < least.count && least.items[*at].from < most.to; ++*at) {
        nw_span known = {nw_larger(least.items[*at].from, most.from),
                         nw_smaller(least.items[*at].to, most.to)};
        if (known.from >= known.to)
            continue;
        stretch_roll(work, element, element_first, (nw_span){most.from, known.from});
        stretch_keep(work, element, element_first, known);
        most.from = known.to;
    }
    stretch_roll(work, element, element_first, most);
}

static void ends_mark(nw_roller *work, size_t first, double extent)
{
    for (size_t k = first; k < work->count; k++) {
        work->frees[k].begins = work->frees[k].from == 0;
        work->frees[k].ends = work->frees[k].to == extent;
    }
}

bool nw_roller_element(nw_roller *work, uint32_t element, double extent, const nw_frees *at_most,
                       nw_frees at_least)
{
    size_t first = work->count, at = 0;
    work->alone = true;
    if (!at_most)
        stretch_between(work, element, first, (nw_span){0, extent}, at_least, &at);
    for (size_t k = 0; at_most && k < at_most->count && !work->failed; k++)
        stretch_between(work, element, first,
                        (nw_span){at_most->items[k].from, at_most->items[k].to}, at_least, &at);
    ends_mark(work, first, extent);
    return work->alone;
}

void nw_roller_element_alone(nw_roller *work, uint32_t element, double extent)
{
    size_t first = work->count;
    nw_piece_way way = way_of(work, element);
    open_start(work, (nw_span){0, extent});
    neighbours_take(work, &way);
    for (size_t m = 0; m < work->open_count; m++)
        stretch_keep(work, element, first, work->open[m]);
    ends_mark(work, first, extent);
}
