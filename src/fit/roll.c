/*
 * A border and a radius -> the free stretches of the disc's centre as it rolls along, which
 * together bound all places where the centre can be (the area eroded by the disc).
 *
 * The way is cut into pieces of at most a radius or half a radian. From each piece the stretches
 * that other segments block are taken away: first those of the segments that blocked the last
 * few pieces, then those of whatever the tree finds within the radius, nearest first, until
 * nothing is left of the piece or nothing is left to ask. Pieces do not depend on one another,
 * so chunks of them are spread over the cores; the chunks do not depend on how many there are.
 */
#include <fit/roll.h>
#include <fit/block.h>

#include <math.h>
#include <stdlib.h>

#define PIECE_RAD 0.5
#define OVERLAP_LEAST 1e-9 /* mm or rad: less than this is neither blocked nor free */
#define PIECES_MOST 4096.0 /* of one segment: bounds the work for tiny radii */
#define CHUNK 128          /* segments */
#define RECENT 4

typedef struct {
    const nw_border *border;
    double radius;
    nw_span *open; /* what is not yet blocked of the piece in hand */
    size_t open_count, open_capacity;
    uint32_t recent[RECENT];
    int recent_count, recent_last;
    nw_free *frees;
    size_t count, capacity;
    bool failed;
} roller;

double nw_element_extent(const nw_border *border, uint32_t element)
{
    uint32_t i = element / 2;
    if (element % 2)
        return border->length[i];
    return nw_border_reflex(border, i) ? nw_border_turn(border, i) : 0;
}

uint32_t nw_element_next(const nw_border *border, uint32_t element)
{
    uint32_t i = element / 2;
    if (element % 2 == 0)
        return nw_element_segment(i);
    i = border->next[i];
    return nw_border_reflex(border, i) ? nw_element_point(i) : nw_element_segment(i);
}

static nw_point round_centre(nw_point point, nw_point normal, double radius, double at)
{
    double c = cos(at), s = sin(at);
    nw_point turned = {normal.x * c + normal.y * s, normal.y * c - normal.x * s};
    return nw_plus(point, turned, radius);
}

nw_point nw_element_centre(const nw_roll *roll, uint32_t element, double at)
{
    const nw_border *border = roll->border;
    uint32_t i = element / 2;
    if (element % 2)
        return nw_plus(nw_border_at(border, i, at), nw_left(border->along[i]), roll->radius);
    return round_centre(border->points[i], nw_left(border->along[border->prev[i]]), roll->radius,
                        at);
}

nw_point nw_element_foot(const nw_roll *roll, uint32_t element, double at)
{
    uint32_t i = element / 2;
    return element % 2 ? nw_border_at(roll->border, i, at) : roll->border->points[i];
}

/* Takes from..to away from what is open; returns whether one span took all that there was. */
static void span_take(roller *work, nw_span span)
{
    size_t kept = 0, count = work->open_count;
    for (size_t k = 0; k < count; k++) {
        nw_span open = work->open[k];
        double from = fmax(open.from, span.from), to = fmin(open.to, span.to);
        if (to - from <= OVERLAP_LEAST) {
            work->open[kept++] = open;
            continue;
        }
        bool before = from - open.from > OVERLAP_LEAST, after = open.to - to > OVERLAP_LEAST;
        if (before && after) { /* splits: at most one open span is split by one blocked span */
            if (!nw_grow((void **)&work->open, &work->open_capacity, count + 1,
                         sizeof *work->open)) {
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
static bool segment_take(roller *work, const nw_piece_way *way, uint32_t j)
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
        return round_centre(way->origin, way->axis, way->radius, at);
    return nw_plus(nw_plus(way->origin, way->axis, at), nw_left(way->axis), way->radius);
}

/* Narrows the walk down to where a segment must show itself to block what is still open. */
static void walk_narrow(nw_walk *walk, const roller *work, const nw_piece_way *way)
{
    double from = work->open[0].from, to = work->open[work->open_count - 1].to;
    double half = (to - from) / 2, bulge = way->round ? way->radius * (1 - cos(half)) : 0;
    double spread = way->round ? way->radius * half : half;
    walk->box = nw_box_of(way_centre(way, from), way_centre(way, to), way->radius + bulge);
    nw_walk_within(walk, way_centre(way, (from + to) / 2), way->radius + spread);
}

static void remember(roller *work, uint32_t j)
{
    work->recent_last = (work->recent_last + 1) % RECENT;
    work->recent[work->recent_last] = j;
    if (work->recent_count < RECENT)
        work->recent_count++;
}

static bool recent_take(roller *work, const nw_piece_way *way)
{
    for (int k = 0; k < work->recent_count; k++)
        if (segment_take(work, way, work->recent[(work->recent_last + RECENT - k) % RECENT]))
            return true;
    return false;
}

static void tree_take(roller *work, const nw_piece_way *way, double from, double to)
{
    nw_walk walk;
    uint32_t j;
    nw_walk_start(&walk, &work->border->tree, (nw_box){{0, 0}, {0, 0}}, (nw_point){0, 0});
    walk_narrow(&walk, work, way);
    while (nw_walk_next(&walk, &j)) {
        double first = work->open[0].from, last = work->open[work->open_count - 1].to;
        if (segment_take(work, way, j)) {
            if (first == from && last == to)
                remember(work, j);
            return;
        }
        if (work->open[0].from != first || work->open[work->open_count - 1].to != last)
            walk_narrow(&walk, work, way);
    }
}

/* Appends what is open; a span that continues the element's last one joins it. */
static void open_keep(roller *work, uint32_t element, size_t element_first)
{
    for (size_t k = 0; k < work->open_count; k++) {
        nw_span open = work->open[k];
        if (work->count > element_first && work->frees[work->count - 1].to == open.from) {
            work->frees[work->count - 1].to = open.to;
            continue;
        }
        if (!nw_grow((void **)&work->frees, &work->capacity, work->count + 1,
                     sizeof *work->frees)) {
            work->failed = true;
            return;
        }
        work->frees[work->count++] = (nw_free){element, false, false, open.from, open.to};
    }
}

/* What became of an element: nothing of it is free, all of it is, or a part. */
typedef enum { BLOCKED, FREE, PARTLY } fate;

static fate element_roll(roller *work, uint32_t element)
{
    const nw_border *border = work->border;
    uint32_t i = element / 2;
    double extent = nw_element_extent(border, element);
    nw_piece_way way = {border, work->radius,      element % 2 == 0,
                        i,      border->points[i], border->along[i]};
    if (way.round)
        way.axis = nw_left(border->along[border->prev[i]]);
    double pieces = ceil(extent / (way.round ? PIECE_RAD : work->radius));
    int count = (int)fmin(pieces, PIECES_MOST);
    size_t first = work->count;
    for (int k = 0; k < count && !work->failed; k++) {
        double from = k * extent / count, to = k + 1 < count ? (k + 1) * extent / count : extent;
        work->open[0] = (nw_span){from, to};
        work->open_count = 1;
        if (!recent_take(work, &way))
            tree_take(work, &way, from, to);
        open_keep(work, element, first);
    }
    for (size_t k = first; k < work->count; k++) {
        work->frees[k].begins = work->frees[k].from == 0;
        work->frees[k].ends = work->frees[k].to == extent;
    }
    if (work->count == first)
        return BLOCKED;
    const nw_free *only = &work->frees[first];
    return work->count == first + 1 && only->begins && only->ends ? FREE : PARTLY;
}

static void element_free(roller *work, uint32_t element)
{
    work->open[0] = (nw_span){0, nw_element_extent(work->border, element)};
    work->open_count = 1;
    open_keep(work, element, work->count);
    if (work->count)
        work->frees[work->count - 1].begins = work->frees[work->count - 1].ends = true;
}

/* The radii between two for which the element's fate is known: a disc that touches the same place
 * as a larger one lies within it, so what is free for the larger is free for it, and what is
 * blocked for the smaller is blocked for it. */
static void element_roll_between(roller *small, roller *large, uint32_t element, fate smaller,
                                 fate larger)
{
    ptrdiff_t between = large - small - 1;
    if (between <= 0 || smaller == BLOCKED)
        return;
    for (roller *work = small + 1; larger == FREE && work < large; work++)
        element_free(work, element);
    if (larger == FREE)
        return;
    roller *middle = small + (between + 1) / 2;
    fate now = element_roll(middle, element);
    element_roll_between(small, middle, element, smaller, now);
    element_roll_between(middle, large, element, now, larger);
}

/* One element for all radii, the smallest first. */
static void element_roll_all(roller *works, size_t count, uint32_t element)
{
    fate smallest = element_roll(&works[0], element);
    if (count < 2 || smallest == BLOCKED)
        return;
    fate largest = element_roll(&works[count - 1], element);
    element_roll_between(&works[0], &works[count - 1], element, smallest, largest);
}

static bool any_failed(const roller *works, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (works[k].failed)
            return true;
    return false;
}

static void chunk_roll(roller *works, size_t count, size_t chunk)
{
    const nw_border *border = works->border;
    size_t first = chunk * CHUNK, last = first + CHUNK;
    if (last > border->count)
        last = border->count;
    for (size_t k = 0; k < count; k++)
        if (!nw_grow((void **)&works[k].open, &works[k].open_capacity, 8, sizeof *works[k].open))
            works[k].failed = true;
    for (size_t i = first; i < last && !any_failed(works, count); i++) {
        if (nw_border_reflex(border, (uint32_t)i))
            element_roll_all(works, count, nw_element_point((uint32_t)i));
        element_roll_all(works, count, nw_element_segment((uint32_t)i));
    }
    for (size_t k = 0; k < count; k++) {
        free(works[k].open);
        works[k].open = NULL;
    }
}

/* chunks: the first of every `stride` is this radius's. */
static bool chunks_gather(nw_roll *roll, const roller *chunks, size_t count, size_t stride)
{
    bool failed = false;
    for (size_t c = 0; c < count; c++) {
        roll->count += chunks[c * stride].count;
        failed = failed || chunks[c * stride].failed;
    }
    roll->capacity = roll->count;
    roll->frees = failed ? NULL : nw_alloc(roll->count, sizeof *roll->frees);
    size_t at = 0;
    for (size_t c = 0; c < count && roll->frees; c++)
        for (size_t k = 0; k < chunks[c * stride].count; k++)
            roll->frees[at++] = chunks[c * stride].frees[k];
    return roll->frees != NULL;
}

nw_status nw_rolls_make(const nw_border *border, const double *radii, size_t radius_count,
                        int threads, nw_roll *rolls, nw_error *error)
{
    for (size_t k = 0; k < radius_count; k++)
        rolls[k] = (nw_roll){border, radii[k], NULL, 0, 0};
    size_t count = (border->count + CHUNK - 1) / CHUNK;
    roller *chunks =
        count > SIZE_MAX / radius_count ? NULL : nw_alloc(count * radius_count, sizeof *chunks);
    if (!chunks)
        return nw_fail_memory(error, "the rolling disc");
    for (size_t c = 0; c < count * radius_count; c++)
        chunks[c] = (roller){.border = border, .radius = radii[c % radius_count]};
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic)                                                         \
    num_threads(threads) if (border->count * radius_count >= NW_SHARED_LEAST)
#else
    (void)threads;
#endif
    for (size_t c = 0; c < count; c++)
        chunk_roll(&chunks[c * radius_count], radius_count, c);
    bool gathered = true;
    for (size_t k = 0; k < radius_count; k++)
        gathered = chunks_gather(&rolls[k], &chunks[k], count, radius_count) && gathered;
    for (size_t c = 0; c < count * radius_count; c++)
        free(chunks[c].frees);
    free(chunks);
    for (size_t k = 0; k < radius_count && !gathered; k++)
        nw_roll_free(&rolls[k]);
    return gathered ? NW_OK : nw_fail_memory(error, "the rolling disc");
}

nw_status nw_roll_make(const nw_border *border, double radius, int threads, nw_roll *roll,
                       nw_error *error)
{
    return nw_rolls_make(border, &radius, 1, threads, roll, error);
}

void nw_roll_free(nw_roll *roll)
{
    if (!roll)
        return;
    free(roll->frees);
    *roll = (nw_roll){0};
}

double nw_roll_area(const nw_roll *roll)
{
    const nw_border *border = roll->border;
    double twice = 0, radius = roll->radius;
    nw_point origin = border->count ? border->points[0] : (nw_point){0, 0};
    for (size_t k = 0; k < roll->count; k++) {
        nw_free free = roll->frees[k];
        nw_point a = nw_minus(nw_element_centre(roll, free.element, free.from), origin);
        nw_point b = nw_minus(nw_element_centre(roll, free.element, free.to), origin);
        if (free.element % 2) {
            twice += nw_cross(a, b);
        } else {
            nw_point middle = nw_minus(border->points[free.element / 2], origin);
            twice += nw_cross(middle, nw_minus(b, a)) - radius * radius * (free.to - free.from);
        }
    }
    return twice / 2;
}
