/*
 * The border of the cut area -> short ways across it between rings: from places on every ring to
 * where the largest disc that touches there touches another ring, which finds the neighbours that
 * a shortest tree can join (Gabriel and Sokal, Systematic Zoology 18, 1969); the same made shorter
 * by sliding both ends; and straight across, for where two points are nearest that are too thin to
 * carry a strip.
 */
#include <change/bridges.h>

#include <math.h>
#include <stdlib.h>

#define BACK_AND_FORTH 30
#define MOST_PLACES 5000.0 /* of all rings together */
#define SAME_ENDS_MM 0.02  /* two ways whose ends are nearer are one */
#define LEAST_MM 1e-4      /* of a way: outlines that touch need no bridge, and carry none */

typedef struct {
    const nw_border *cut;
    const size_t *ring, *group;
    double limit; /* of discs and rays: the region's size */
    nw_spans_across *spans;
} searching;

double nw_border_ray(const nw_border *border, nw_point p, nw_point way, double limit,
                     uint32_t *segment)
{
    nw_walk walk;
    uint32_t i;
    double best = INFINITY;
    nw_walk_start(&walk, &border->tree, nw_box_of(p, nw_plus(p, way, limit), 0), p);
    while (nw_walk_next(&walk, &i)) {
        nw_point to = nw_minus(border->points[i], p);
        double across = nw_cross(way, border->along[i]);
        if (fabs(across) < NW_MERGE_MM)
            continue;
        double t = nw_cross(to, border->along[i]) / across, s = nw_cross(to, way) / across;
        if (t <= NW_MERGE_MM || t > limit || t >= best || s < 0 || s > border->length[i])
            continue;
        best = t;
        *segment = i;
        nw_walk_box(&walk, nw_box_of(p, nw_plus(p, way, best), 0));
    }
    return best;
}

/* Slides *foot along its ring to where it is nearest to p, as long as that helps. */
static void foot_slide(const nw_border *cut, nw_point p, uint32_t *segment, nw_point *foot)
{
    *foot = nw_border_foot(cut, *segment, p);
    double least = nw_distance(p, *foot);
    for (int back = 0; back < 2; back++)
        for (;;) {
            uint32_t beside = back ? cut->prev[*segment] : cut->next[*segment];
            nw_point q = nw_border_foot(cut, beside, p);
            if (nw_distance(p, q) >= least)
                break;
            least = nw_distance(p, q);
            *segment = beside;
            *foot = q;
        }
}

static nw_span_across span_settled(const nw_border *cut, nw_span_across span)
{
    for (int k = 0; k < BACK_AND_FORTH; k++) {
        double before = span.length;
        foot_slide(cut, span.from, &span.on_to, &span.to);
        foot_slide(cut, span.to, &span.on_from, &span.from);
        span.length = nw_distance(span.from, span.to);
        if (before - span.length < NW_MERGE_MM)
            break;
    }
    return span;
}

/* Ways to the sheet's edge, within a ring or to another part of the cut area are none. */
static bool span_add(searching *s, nw_span_across span)
{
    span.a = s->ring[s->cut->ring[span.on_from]];
    span.b = s->ring[s->cut->ring[span.on_to]];
    if (span.a == span.b || span.a == SIZE_MAX || span.b == SIZE_MAX ||
        s->group[span.a] != s->group[span.b] || !(span.length > LEAST_MM))
        return true;
    if (span.a > span.b)
        span = (nw_span_across){span.to,     span.from, span.on_to, span.on_from,
                                span.length, span.b,    span.a};
    return nw_push(&s->spans->items, &s->spans->count, &s->spans->capacity, &span, sizeof span);
}

static bool place_search(searching *s, uint32_t i, nw_point p)
{
    nw_point way = nw_left(s->cut->along[i]);
    nw_span_across span = {.from = p, .on_from = i};
    bool good = true;
    if (nw_border_disc(s->cut, p, way, s->limit, &span.on_to, &span.to) < s->limit) {
        span.length = nw_distance(p, span.to);
        good = span_add(s, span) && span_add(s, span_settled(s->cut, span));
    }
    double across = nw_border_ray(s->cut, p, way, s->limit, &span.on_to);
    span.length = across;
    span.to = nw_plus(p, way, isfinite(across) ? across : 0);
    return good && (!isfinite(across) || span_add(s, span));
}

/* Also from the middle of every straight stretch: the head of a peg is hardly wider than a strip.
 */
static bool ring_search(searching *s, size_t k, double step)
{
    const nw_border *cut = s->cut;
    size_t places = (size_t)ceil(cut->ring_length[k] / step);
    double next = 0;
    bool good = true;
    for (size_t i = cut->starts[k], n = 0; i < cut->starts[k + 1] && good; i++) {
        for (; n < places && next < cut->station[i] + cut->length[i] && good; n++) {
            nw_point p = nw_border_at(cut, (uint32_t)i, fmax(next - cut->station[i], 0));
            good = place_search(s, (uint32_t)i, p);
            next = (double)(n + 1) * cut->ring_length[k] / (double)places;
        }
        if (cut->length[i] > step && good)
            good = place_search(s, (uint32_t)i, nw_border_at(cut, (uint32_t)i, cut->length[i] / 2));
    }
    return good;
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

/* Of ways that are nearly the same the first stays; those are of nearly the same length. */
static void spans_thin(nw_spans_across *spans)
{
    size_t kept = 0;
    for (size_t i = 0; i < spans->count; i++) {
        const nw_span_across *one = &spans->items[i];
        bool fresh = true;
        for (size_t k = kept; k-- > 0 && fresh;) {
            const nw_span_across *other = &spans->items[k];
            if (one->length - other->length > 2 * SAME_ENDS_MM)
                break;
            fresh = nw_distance(one->from, other->from) > SAME_ENDS_MM ||
                    nw_distance(one->to, other->to) > SAME_ENDS_MM;
        }
        if (fresh)
            spans->items[kept++] = *one;
    }
    spans->count = kept;
}

nw_status nw_spans_find(const nw_border *cut, const size_t *ring, const size_t *group, double step,
                        nw_spans_across *spans, nw_error *error)
{
    double all = 0;
    nw_box box = nw_box_empty();
    for (size_t k = 0; k < cut->ring_count; k++)
        all += cut->ring_length[k];
    for (size_t i = 0; i < cut->count; i++)
        nw_box_take(&box, cut->points[i], 0);
    searching s = {cut, ring, group, nw_distance(box.min, box.max), spans};
    step = fmax(step, all / MOST_PLACES);
    bool good = true;
    for (size_t k = 0; k < cut->ring_count && good; k++)
        good = ring[k] == SIZE_MAX || ring_search(&s, k, step);
    if (!good)
        return nw_fail_memory(error, "the bridges");
    nw_sort(spans->items, spans->count, sizeof *spans->items, spans_order);
    spans_thin(spans);
    return NW_OK;
}
