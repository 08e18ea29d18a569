/*
 * A region -> the shortest ways across the cut between rings that are not joined yet: from places
 * on every ring to the nearest other ring, made shorter by going back and forth between the two;
 * and straight across, for where two points are nearest that are too thin to carry a strip.
 */
#include <fit/bridges.h>

#include <math.h>
#include <stdlib.h>

#define BACK_AND_FORTH 6
#define MOST_PLACES 4000.0 /* of all rings together */

typedef struct {
    const nw_region *region;
    const size_t *group, *part;
    nw_box *boxes;
    bool outside; /* the cut area lies outside the rings */
    nw_spans_across *spans;
} searching;

static nw_point ring_point(const nw_region *region, size_t ring, size_t i)
{
    size_t first = region->starts[ring], count = region->starts[ring + 1] - first;
    return region->points[first + i % count];
}

static nw_point nearest_of(nw_point a, nw_point b, nw_point p)
{
    nw_point d = nw_minus(b, a);
    double square = nw_dot(d, d), t = square > 0 ? nw_dot(nw_minus(p, a), d) / square : 0;
    return nw_plus(a, d, fmin(fmax(t, 0), 1));
}

static nw_point ring_nearest(const nw_region *region, size_t ring, nw_point p, double *distance)
{
    nw_point best = ring_point(region, ring, 0);
    size_t count = region->starts[ring + 1] - region->starts[ring];
    *distance = INFINITY;
    for (size_t i = 0; i < count; i++) {
        nw_point q = nearest_of(ring_point(region, ring, i), ring_point(region, ring, i + 1), p);
        double d = nw_distance(p, q);
        if (d < *distance) {
            *distance = d;
            best = q;
        }
    }
    return best;
}

static double box_distance(nw_box box, nw_point p)
{
    double x = fmax(fmax(box.min.x - p.x, p.x - box.max.x), 0);
    double y = fmax(fmax(box.min.y - p.y, p.y - box.max.y), 0);
    return hypot(x, y);
}

static bool may_join(const searching *s, size_t a, size_t b)
{
    return a != b && s->group[a] == s->group[b] && (!s->part || s->part[a] != s->part[b]);
}

/* Both ends slide to where the way is shortest nearby. */
static void span_settle(const searching *s, nw_span_across *span)
{
    for (int k = 0; k < BACK_AND_FORTH; k++) {
        double d;
        span->from = ring_nearest(s->region, span->a, span->to, &d);
        span->to = ring_nearest(s->region, span->b, span->from, &d);
        if (span->length - d < NW_MERGE_MM)
            k = BACK_AND_FORTH;
        span->length = d;
    }
}

static bool span_add(searching *s, nw_span_across span)
{
    void *items = s->spans->items;
    if (!nw_grow(&items, &s->spans->capacity, s->spans->count + 1, sizeof span))
        return false;
    s->spans->items = items;
    s->spans->items[s->spans->count++] = span;
    return true;
}

/* The place itself, and where sliding leads from it: if the latter is no good, the former may be.
 */
static bool place_search(searching *s, size_t ring, nw_point p)
{
    nw_span_across best = {p, p, INFINITY, ring, ring};
    for (size_t k = 0; k < s->region->count; k++) {
        if (!may_join(s, ring, k) || box_distance(s->boxes[k], p) >= best.length)
            continue;
        double d;
        nw_point q = ring_nearest(s->region, k, p, &d);
        if (d < best.length) {
            best.length = d;
            best.to = q;
            best.b = k;
        }
    }
    if (best.b == ring || best.length < NW_MERGE_MM)
        return true;
    nw_span_across settled = best;
    span_settle(s, &settled);
    return span_add(s, settled) && span_add(s, best);
}

/* Where the ray from p along way meets the segment a-b, as a distance; INFINITY where it does not.
 */
static double ray_meets(nw_point p, nw_point way, nw_point a, nw_point b)
{
    nw_point d = nw_minus(b, a), to = nw_minus(a, p);
    double across = nw_cross(way, d);
    if (fabs(across) < NW_MERGE_MM)
        return INFINITY;
    double t = nw_cross(to, d) / across, share = nw_cross(to, way) / across;
    return t > NW_MERGE_MM && share >= 0 && share <= 1 ? t : INFINITY;
}

static bool across_search(searching *s, size_t ring, nw_point p, nw_point along)
{
    nw_point way = s->outside ? (nw_point){along.y, -along.x} : nw_left(along);
    nw_span_across span = {p, p, INFINITY, ring, ring};
    for (size_t k = 0; k < s->region->count; k++) {
        if (s->group[k] != s->group[ring] || box_distance(s->boxes[k], p) >= span.length)
            continue;
        size_t count = s->region->starts[k + 1] - s->region->starts[k];
        for (size_t i = 0; i < count; i++) {
            double t =
                ray_meets(p, way, ring_point(s->region, k, i), ring_point(s->region, k, i + 1));
            if (t < span.length) {
                span.length = t;
                span.b = k;
            }
        }
    }
    span.to = nw_plus(p, way, isfinite(span.length) ? span.length : 0);
    return !isfinite(span.length) || !may_join(s, ring, span.b) || span_add(s, span);
}

static bool ring_search(searching *s, size_t ring, double step)
{
    size_t count = s->region->starts[ring + 1] - s->region->starts[ring];
    double station = 0, next = 0;
    for (size_t i = 0; i < count; i++) {
        nw_point a = ring_point(s->region, ring, i), b = ring_point(s->region, ring, i + 1);
        double length = nw_distance(a, b);
        for (; next < station + length; next += step) {
            nw_point p = nw_plus(a, nw_minus(b, a), (next - station) / length);
            nw_point along = nw_minus(b, a);
            along = (nw_point){along.x / length, along.y / length};
            if (!place_search(s, ring, p) || !across_search(s, ring, p, along))
                return false;
        }
        station += length;
    }
    return true;
}

static double rings_length(const nw_region *region)
{
    double length = 0;
    for (size_t ring = 0; ring < region->count; ring++)
        for (size_t i = 0; i < region->starts[ring + 1] - region->starts[ring]; i++)
            length += nw_distance(ring_point(region, ring, i), ring_point(region, ring, i + 1));
    return length;
}

static int spans_order(const void *a, const void *b)
{
    const nw_span_across *p = a, *q = b;
    if (p->length != q->length)
        return p->length < q->length ? -1 : 1;
    if (p->from.x != q->from.x)
        return p->from.x < q->from.x ? -1 : 1;
    return p->from.y < q->from.y ? -1 : p->from.y > q->from.y;
}

nw_status nw_spans_find(const nw_region *region, const size_t *group, const size_t *part,
                        size_t only, bool outside, double step, nw_spans_across *spans,
                        nw_error *error)
{
    searching s = {region, group, part, nw_alloc(region->count, sizeof *s.boxes), outside, spans};
    bool good = s.boxes != NULL;
    spans->count = 0;
    for (size_t k = 0; good && k < region->count; k++)
        s.boxes[k] = nw_ring_box(region, k);
    step = fmax(step, rings_length(region) / MOST_PLACES);
    for (size_t k = 0; good && k < region->count; k++)
        if (only == SIZE_MAX || only == k)
            good = ring_search(&s, k, step);
    free(s.boxes);
    if (!good)
        return nw_fail_memory(error, "the bridges");
    if (spans->count)
        qsort(spans->items, spans->count, sizeof *spans->items, spans_order);
    return NW_OK;
}
