/*
 * bridges: a drawing -> the drawing with strips of stock across the cut, which hold what would come
 * loose.
 *
 * Boruvka's way (1926; Nesetril, Milkova and Nesetrilova, Discrete Mathematics 233, 2001): in every
 * round each part that hangs together takes the shortest way out of it. A way is taken only if the
 * strip's ends lie in the stock and the fit of the drawing with the strip has no more gaps than
 * without.
 */
#include <fit/bridges.h>

#include <math.h>
#include <stdlib.h>

#define LEAST_WIDTH_MM 0.1
#define MOST_WIDTH_MM 100.0
#define MOST_TRIES 12 /* of one part in one round */
#define SKIN_MM 1e-3
#define SMALL_OF_WIDTH 2.0

typedef struct {
    const nw_fit_options *options;
    double width;
    nw_region region; /* of the art without bridges */
    nw_border cut;    /* the cut area's border */
    size_t *group, *part, *degree, *tries;
    nw_span_across *taken; /* one for each bridge */
    size_t taken_capacity;
    size_t spots; /* of the drawing so far, that bridges must not add to */
    nw_bridged *out;
    nw_error *error;
} bridging;

static bool is_outside(const bridging *w)
{
    return w->options->cut == NW_CUT_OUTSIDE;
}

/* ---- one strip ------------------------------------------------------------------------------ */

/* How far the strip may go on into the stock beyond p. */
static double depth_at(const bridging *w, nw_point p, nw_point way)
{
    double depth = w->width;
    while (depth > SKIN_MM &&
           !nw_border_clear(&w->cut, nw_plus(p, way, SKIN_MM), nw_plus(p, way, 2 * depth), 0))
        depth /= 2;
    return depth;
}

/* A ring that is hardly larger than the strip is wide: an eye. It is held as a whole. */
static bool is_small(const bridging *w, size_t ring)
{
    nw_box box = nw_ring_box(&w->region, ring);
    return fmin(box.max.x - box.min.x, box.max.y - box.min.y) < SMALL_OF_WIDTH * w->width;
}

/* The strip's corners, from its start's right round; false where one does not lie in the stock. */
static bool strip_corners(const bridging *w, const nw_span_across *span, nw_point corners[4])
{
    nw_point d = nw_minus(span->to, span->from);
    nw_point way = {d.x / span->length, d.y / span->length}, side = nw_left(way);
    nw_point back = {-way.x, -way.y};
    nw_point start = nw_plus(span->from, back, depth_at(w, span->from, back));
    nw_point end = nw_plus(span->to, way, depth_at(w, span->to, way));
    corners[0] = nw_plus(start, side, -w->width / 2);
    corners[1] = nw_plus(end, side, -w->width / 2);
    corners[2] = nw_plus(end, side, w->width / 2);
    corners[3] = nw_plus(start, side, w->width / 2);
    for (int i = 0; i < 4; i++)
        if (nw_border_inside(&w->cut, corners[i], 4 * w->width) &&
            !is_small(w, i == 0 || i == 3 ? span->a : span->b))
            return false;
    nw_point middle = nw_plus(span->from, d, 0.5);
    return nw_border_inside(&w->cut, middle, span->length) &&
           nw_border_clear(&w->cut, span->from, span->to, SKIN_MM);
}

static bool strip_path(const nw_point corners[4], nw_drawing *strips)
{
    nw_path path = {.start = corners[0], .closed = true, .piece = strips->count};
    bool good = true;
    for (int i = 1; i <= 4 && good; i++)
        good = nw_path_line(&path, corners[i % 4]);
    good = good && nw_drawing_add(strips, &path);
    nw_path_free(&path);
    return good;
}

/* Spots that a bridge must not make: gaps, and necks unless the bridge is one itself. */
static nw_status spots_count(const bridging *w, const nw_drawing *drawing, size_t *count)
{
    nw_region region = {0};
    nw_fit fit = {0};
    nw_fit_options options = *w->options;
    options.with_shapes = false;
    *count = 0;
    nw_status status = nw_drawing_flatten(drawing, NW_FLATNESS_MM, &region, w->error);
    if (status == NW_OK)
        status = nw_fit_run(&region, &options, &fit, w->error);
    double neck = options.neck > 0 ? options.neck : options.bit;
    for (size_t i = 0; i < fit.spot_count; i++)
        *count += fit.spots[i].side == NW_GAP || w->width > neck;
    nw_fit_free(&fit);
    nw_region_free(&region);
    return status;
}

/* Does any bridge stand so near that the two would be one? */
static bool crowded(const bridging *w, const nw_span_across *span)
{
    double room = 2 * w->width + w->options->bit;
    for (size_t i = 0; i < w->out->count; i++) {
        const nw_span_across *other = &w->taken[i];
        if (nw_distance(span->from, other->from) < room ||
            nw_distance(span->from, other->to) < room || nw_distance(span->to, other->to) < room ||
            nw_distance(span->to, other->from) < room)
            return true;
    }
    return false;
}

static bool bridge_keep(bridging *w, const nw_span_across *span, const nw_point corners[4])
{
    void *bridges = w->out->bridges, *taken = w->taken;
    size_t count = w->out->count, capacity = w->taken_capacity;
    bool good = nw_grow(&bridges, &capacity, count + 1, sizeof *w->out->bridges);
    w->out->bridges = bridges;
    good = good && nw_grow(&taken, &w->taken_capacity, count + 1, sizeof *w->taken);
    w->taken = taken;
    if (!good || !strip_path(corners, &w->out->strips))
        return false;
    w->out->bridges[count] = (nw_bridge){span->from, span->to};
    w->taken[count] = *span;
    w->out->count++;
    w->degree[span->a]++;
    w->degree[span->b]++;
    return true;
}

/* Builds the bridge unless it stands badly; *built tells. *tries counts those that had to be
 * fitted to know. */
static nw_status bridge_try(bridging *w, const nw_span_across *span, size_t *tries, bool *built)
{
    nw_point corners[4];
    *built = false;
    if (crowded(w, span) || !strip_corners(w, span, corners))
        return NW_OK;
    *tries -= *tries > 0;
    nw_drawing strip = {0}, painted = {0};
    bool take = !is_outside(w);
    nw_status status =
        strip_path(corners, &strip) ? NW_OK : nw_fail_memory(w->error, "the bridges");
    if (status == NW_OK)
        status = nw_drawing_paint(&w->out->drawing, &strip, take, &painted, w->error);
    nw_drawing_free(&strip);
    size_t spots = 0;
    if (status == NW_OK)
        status = spots_count(w, &painted, &spots);
    if (status != NW_OK || spots > w->spots) {
        nw_drawing_free(&painted);
        return status;
    }
    nw_drawing_free(&w->out->drawing);
    w->out->drawing = painted;
    w->spots = spots;
    *built = true;
    return bridge_keep(w, span, corners) ? NW_OK : nw_fail_memory(w->error, "the bridges");
}

/* ---- the tree ------------------------------------------------------------------------------- */

static void parts_join(bridging *w, size_t a, size_t b)
{
    size_t from = w->part[b], to = w->part[a];
    for (size_t k = 0; k < w->region.count; k++)
        if (w->part[k] == from)
            w->part[k] = to;
}

/* Every part takes its shortest way out, once; *any tells whether one was found. tries counts down
 * for each part as it was when the round began. */
static nw_status round_run(bridging *w, nw_spans_across *spans, bool *any)
{
    size_t rings = w->region.count;
    size_t *began = nw_alloc(rings, sizeof *began);
    nw_status status = began ? nw_spans_find(&w->region, w->group, w->part, SIZE_MAX, is_outside(w),
                                             w->width / 2, spans, w->error)
                             : nw_fail_memory(w->error, "the bridges");
    for (size_t k = 0; began && k < rings; k++) {
        began[k] = w->part[k];
        w->tries[k] = MOST_TRIES;
    }
    *any = false;
    for (size_t i = 0; i < spans->count && status == NW_OK; i++) {
        const nw_span_across *span = &spans->items[i];
        size_t a = began[span->a], b = began[span->b];
        if (w->part[span->a] == w->part[span->b] || !w->tries[a])
            continue;
        bool built;
        status = bridge_try(w, span, &w->tries[a], &built);
        if (built) {
            parts_join(w, span->a, span->b);
            w->tries[a] = w->tries[b] = 0;
            *any = true;
        }
    }
    free(began);
    return status;
}

static nw_status tree_build(bridging *w, nw_spans_across *spans)
{
    bool any = true;
    nw_status status = NW_OK;
    while (any && status == NW_OK)
        status = round_run(w, spans, &any);
    /* Of each group one part holds the others; further ones have no bridge. */
    for (size_t k = 0; k < w->region.count; k++) {
        bool first = true, own = true;
        for (size_t i = 0; i < k; i++) {
            first = first && w->group[i] != w->group[k];
            own = own && w->part[i] != w->part[k];
        }
        w->out->loose += !first && own;
    }
    return status;
}

/* ---- more than one each -----------------------------------------------------------------------
 */

static bool ring_is_loose(const bridging *w, size_t ring)
{
    return nw_ring_is_hole(&w->region, ring) == !is_outside(w);
}

/* On the other side of the ring than the bridge that it has. */
static bool on_the_other_side(const bridging *w, size_t ring, nw_point p)
{
    nw_box box = nw_ring_box(&w->region, ring);
    nw_point middle = {(box.min.x + box.max.x) / 2, (box.min.y + box.max.y) / 2};
    for (size_t i = 0; i < w->out->count; i++) {
        const nw_span_across *t = &w->taken[i];
        if (t->a != ring && t->b != ring)
            continue;
        nw_point foot = t->a == ring ? t->from : t->to;
        if (nw_dot(nw_minus(p, middle), nw_minus(foot, middle)) > 0)
            return false;
    }
    return true;
}

static nw_status second_build(bridging *w, size_t ring, nw_spans_across *spans)
{
    nw_status status = nw_spans_find(&w->region, w->group, NULL, ring, is_outside(w), w->width / 2,
                                     spans, w->error);
    bool built = false;
    size_t tries = MOST_TRIES;
    for (size_t i = 0; i < spans->count && status == NW_OK && !built && tries; i++) {
        if (!on_the_other_side(w, ring, spans->items[i].from))
            continue;
        status = bridge_try(w, &spans->items[i], &tries, &built);
    }
    return status;
}

static nw_status more_build(bridging *w, size_t each, nw_spans_across *spans)
{
    nw_status status = NW_OK;
    for (size_t k = 0; k < w->region.count && status == NW_OK; k++)
        if (ring_is_loose(w, k) && w->degree[k] == 1 && each > 1)
            status = second_build(w, k, spans);
    for (size_t k = 0; k < w->region.count; k++)
        w->out->loose += ring_is_loose(w, k) && w->degree[k] > 0 && w->degree[k] < each;
    return status;
}

/* ---- all of it ----------------------------------------------------------------------------------
 */

static nw_status bridging_start(bridging *w, const nw_drawing *drawing)
{
    bool outside = is_outside(w);
    const nw_box *sheet = w->options->has_stock && outside ? &w->options->stock : NULL;
    nw_status status = nw_drawing_flatten(drawing, NW_FLATNESS_MM, &w->region, w->error);
    if (status == NW_OK)
        status = nw_border_make(&w->region, outside, sheet, &w->cut, w->error);
    if (status == NW_OK)
        status = nw_drawing_copy(drawing, &w->out->drawing, w->error);
    if (status == NW_OK)
        status = spots_count(w, drawing, &w->spots);
    size_t rings = w->region.count;
    w->group = nw_alloc(rings, sizeof *w->group);
    w->part = nw_alloc(rings, sizeof *w->part);
    w->degree = nw_alloc(rings, sizeof *w->degree);
    w->tries = nw_alloc(rings, sizeof *w->tries);
    if (status == NW_OK && !(w->group && w->part && w->degree && w->tries))
        status = nw_fail_memory(w->error, "the bridges");
    if (status != NW_OK)
        return status;
    nw_rings_group(&w->region, w->options->cut, w->group);
    for (size_t k = 0; k < rings; k++)
        w->part[k] = k;
    return NW_OK;
}

nw_status nw_drawing_bridge(const nw_drawing *drawing, const nw_fit_options *options, double width,
                            size_t each, nw_bridged *bridged, nw_error *error)
{
    *bridged = (nw_bridged){0};
    if (!(width >= LEAST_WIDTH_MM && width <= MOST_WIDTH_MM) || each < 1 || each > NW_BRIDGES_EACH)
        return nw_fail(error, NW_BAD_REQUEST,
                       "bridges must be 0.1 to 100 mm wide, one or two for each piece");
    bridging w = {.options = options, .width = width, .out = bridged, .error = error};
    nw_spans_across spans = {0};
    nw_status status = bridging_start(&w, drawing);
    if (status == NW_OK)
        status = tree_build(&w, &spans);
    if (status == NW_OK)
        status = more_build(&w, each, &spans);
    free(spans.items);
    free(w.taken);
    free(w.group);
    free(w.part);
    free(w.degree);
    free(w.tries);
    nw_border_free(&w.cut);
    nw_region_free(&w.region);
    if (status != NW_OK)
        nw_bridged_free(bridged);
    return status;
}

void nw_bridged_free(nw_bridged *bridged)
{
    if (!bridged)
        return;
    nw_drawing_free(&bridged->drawing);
    nw_drawing_free(&bridged->strips);
    free(bridged->bridges);
    *bridged = (nw_bridged){0};
}
