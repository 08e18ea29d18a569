/*
 * bridges: a drawing -> the drawing with strips of stock across the cut, which hold what would come
 * loose.
 *
 * The strips are chosen by what the bit loses right beside them; then the whole drawing with them
 * is fitted once and compared with the fit of the art as it was. A strip near which a spot is new,
 * or has grown, is banned, and the tree grows again without it.
 */
#include <fit/bridges.h>

#include <math.h>
#include <stdlib.h>

#define LEAST_WIDTH_MM 0.1
#define MOST_WIDTH_MM 100.0
#define STEP_OF_WIDTH 0.5  /* between the places where ways begin */
#define MOST_ROUNDS 24     /* of growing and fitting; then what still does harm is left out */
#define HARM_OF_SQUARE 0.1 /* of the bit's square: area of a spot that counts as new */
#define SAME_SPOT_MM 0.02
#define SAME_AREA 0.01

typedef struct {
    const nw_drawing *art;
    const nw_fit_options *options;
    double width;
    nw_region region;
    nw_border cut;
    size_t *ring, *group; /* see nw_spans_find */
    nw_fit before;
    nw_bridge_tree tree;
    nw_bridged *out;
    nw_error *error;
} bridging;

/* ---- the fit with them ---------------------------------------------------------------------- */

static nw_status drawing_paint(bridging *w)
{
    nw_drawing strips = {0}, painted;
    bool good = true;
    for (size_t i = 0; i < w->tree.made_count && good; i++)
        good = nw_strip_path(&w->tree.made[i].strip, &strips);
    nw_status status = good ? NW_OK : nw_fail_memory(w->error, "the bridges");
    if (status == NW_OK && strips.count)
        status = nw_drawing_paint(w->art, &strips, !w->tree.outside, &painted, w->error);
    else if (status == NW_OK)
        status = nw_drawing_copy(w->art, &painted, w->error);
    nw_drawing_free(&w->out->strips);
    nw_drawing_free(&w->out->drawing);
    w->out->strips = strips;
    if (status == NW_OK)
        w->out->drawing = painted;
    return status;
}

static nw_status fit_again(const bridging *w, nw_fit *fit)
{
    nw_region region;
    nw_status status = nw_drawing_flatten(&w->out->drawing, NW_FLATNESS_MM, &region, w->error);
    if (status != NW_OK)
        return status;
    status = nw_fit_run(&region, &w->before.options, fit, w->error);
    nw_region_free(&region);
    return status;
}

/* A bridge that is thinner than the least neck is one itself, and that is no news. */
static bool counts(const bridging *w, const nw_spot *spot)
{
    return spot->side == NW_GAP || w->width > w->before.options.neck;
}

static bool is_among(const nw_spot *spot, const nw_fit *fit)
{
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *other = &fit->spots[i];
        if (other->side == spot->side && other->form == spot->form &&
            nw_distance(other->at, spot->at) < SAME_SPOT_MM &&
            fabs(other->area - spot->area) < SAME_AREA * spot->area + NW_MERGE_MM)
            return true;
    }
    return false;
}

/* Adds the areas of the spots of one fit that the other has not to the harm of the nearest strip.
 */
static void harm_add(const bridging *w, const nw_fit *fit, const nw_fit *other, double sign,
                     double *harm)
{
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        if (!counts(w, spot) || is_among(spot, other))
            continue;
        size_t nearest = 0;
        double least = INFINITY;
        for (size_t k = 0; k < w->tree.made_count; k++) {
            double d = nw_strip_distance(&w->tree.made[k].strip, spot->at);
            if (d < least) {
                least = d;
                nearest = k;
            }
        }
        if (least < INFINITY)
            harm[nearest] += sign * spot->area;
    }
}

/* Bans the bridges that do harm; *any tells whether there were such. */
static nw_status harmful_ban(bridging *w, bool *any)
{
    nw_fit after = {0};
    double *harm = nw_alloc(w->tree.made_count, sizeof *harm);
    nw_status status = harm ? fit_again(w, &after) : nw_fail_memory(w->error, "the bridges");
    *any = false;
    if (status == NW_OK) {
        double bit = w->options->bit;
        harm_add(w, &after, &w->before, 1, harm);
        harm_add(w, &w->before, &after, -1, harm);
        for (size_t k = 0; k < w->tree.made_count; k++)
            if (harm[k] > HARM_OF_SQUARE * bit * bit) {
                w->tree.states[w->tree.made[k].span] = NW_SPAN_BANNED;
                *any = true;
            }
        nw_fit_free(&after);
    }
    free(harm);
    return status;
}

static nw_status tree_settle(bridging *w)
{
    nw_status status = NW_OK;
    bool again = true;
    for (int round = 0; again && status == NW_OK; round++) {
        status = nw_bridge_tree_grow(&w->tree, w->error);
        if (status == NW_OK)
            status = drawing_paint(w);
        again = false;
        if (status == NW_OK && round < MOST_ROUNDS && w->tree.made_count)
            status = harmful_ban(w, &again);
    }
    return status;
}

/* ---- what is handed out --------------------------------------------------------------------- */

static bool bridges_list(bridging *w)
{
    w->out->count = w->tree.made_count;
    w->out->bridges = nw_alloc(w->tree.made_count, sizeof *w->out->bridges);
    for (size_t i = 0; w->out->bridges && i < w->tree.made_count; i++) {
        const nw_span_across *span = &w->tree.spans.items[w->tree.made[i].span];
        w->out->bridges[i] = (nw_bridge){span->from, span->to};
    }
    return w->out->bridges != NULL;
}

static nw_status unheld_list(bridging *w)
{
    nw_loose_list loose;
    nw_status status = nw_loose_find(&w->region, w->options->cut, &loose, w->error);
    if (status != NW_OK)
        return status;
    w->out->unheld = nw_alloc(loose.count, sizeof *w->out->unheld);
    for (size_t i = 0; w->out->unheld && i < loose.count; i++) {
        size_t ring = loose.items[i].ring, has = w->tree.degree[ring];
        if (!nw_ring_is_held(&w->tree, ring) || (has > 0 && has < w->tree.each))
            w->out->unheld[w->out->loose++] =
                (nw_unheld){loose.items[i], has, (nw_unheld_reason)w->tree.reason[ring]};
    }
    nw_loose_free(&loose);
    return w->out->unheld ? NW_OK : nw_fail_memory(w->error, "the bridges");
}

/* ---- all of it ------------------------------------------------------------------------------ */

/* The region's ring that each of the border's came from, but for dust; both have them in the same
 * order. */
static void rings_match(bridging *w)
{
    const nw_region *region = &w->region;
    size_t r = 0;
    for (size_t k = 0; k < w->cut.ring_count; k++) {
        nw_point first = w->cut.points[w->cut.starts[k]];
        w->ring[k] = SIZE_MAX;
        for (size_t at = r; at < region->count && w->ring[k] == SIZE_MAX; at++)
            for (size_t i = region->starts[at]; i < region->starts[at + 1]; i++)
                if (region->points[i].x == first.x && region->points[i].y == first.y)
                    w->ring[k] = at;
        if (w->ring[k] == SIZE_MAX)
            continue;
        r = w->ring[k] + 1;
        if (fabs(nw_ring_area(region, w->ring[k])) < NW_LOOSE_DUST_MM2)
            w->ring[k] = SIZE_MAX;
    }
}

static nw_status room_make(bridging *w)
{
    size_t rings = w->region.count;
    w->ring = nw_alloc(w->cut.ring_count, sizeof *w->ring);
    w->group = nw_alloc(rings, sizeof *w->group);
    w->tree.part = nw_alloc(rings, sizeof *w->tree.part);
    w->tree.degree = nw_alloc(rings, sizeof *w->tree.degree);
    w->tree.reason = nw_alloc(rings, sizeof *w->tree.reason);
    bool good = w->ring && w->group && w->tree.part && w->tree.degree && w->tree.reason;
    return good ? NW_OK : nw_fail_memory(w->error, "the bridges");
}

static nw_status spans_make(bridging *w)
{
    rings_match(w);
    nw_rings_group(&w->region, w->options->cut, w->group);
    nw_status status = nw_spans_find(&w->cut, w->ring, w->group, STEP_OF_WIDTH * w->width,
                                     &w->tree.spans, w->error);
    if (status != NW_OK)
        return status;
    w->tree.strips = nw_alloc(w->tree.spans.count, sizeof *w->tree.strips);
    w->tree.states = nw_alloc(w->tree.spans.count, sizeof *w->tree.states);
    bool good = w->tree.strips && w->tree.states;
    return good ? NW_OK : nw_fail_memory(w->error, "the bridges");
}

static nw_status bridging_start(bridging *w)
{
    bool outside = w->options->cut == NW_CUT_OUTSIDE;
    const nw_box *sheet = w->options->has_stock && outside ? &w->options->stock : NULL;
    nw_fit_options options = *w->options;
    options.with_shapes = false;
    nw_status status = nw_drawing_flatten(w->art, NW_FLATNESS_MM, &w->region, w->error);
    if (status == NW_OK)
        status = nw_border_make(&w->region, outside, sheet, &w->cut, w->error);
    if (status == NW_OK)
        status = nw_fit_run(&w->region, &options, &w->before, w->error);
    if (status == NW_OK)
        status = room_make(w);
    w->tree.judge = (nw_strip_judge){&w->region, &w->cut, w->ring, w->width, w->options->bit / 2};
    w->tree.group = w->group;
    w->tree.outside = outside;
    return status == NW_OK ? spans_make(w) : status;
}

static void bridging_free(bridging *w)
{
    free(w->tree.spans.items);
    free(w->tree.strips);
    free(w->tree.states);
    free(w->tree.made);
    free(w->tree.others);
    free(w->tree.part);
    free(w->tree.degree);
    free(w->tree.reason);
    free(w->ring);
    free(w->group);
    nw_fit_free(&w->before);
    nw_border_free(&w->cut);
    nw_region_free(&w->region);
}

nw_status nw_drawing_bridge(const nw_drawing *drawing, const nw_fit_options *options, double width,
                            size_t each, nw_bridged *bridged, nw_error *error)
{
    *bridged = (nw_bridged){0};
    if (!(width >= LEAST_WIDTH_MM && width <= MOST_WIDTH_MM) || each < 1 || each > NW_BRIDGES_EACH)
        return nw_fail(error, NW_BAD_REQUEST,
                       "bridges must be 0.1 to 100 mm wide, one or two for each piece");
    bridging w = {.art = drawing,
                  .options = options,
                  .width = width,
                  .out = bridged,
                  .error = error,
                  .tree = {.each = each}};
    nw_status status = bridging_start(&w);
    if (status == NW_OK)
        status = tree_settle(&w);
    if (status == NW_OK && !bridges_list(&w))
        status = nw_fail_memory(error, "the bridges");
    if (status == NW_OK)
        status = unheld_list(&w);
    bridging_free(&w);
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
    free(bridged->unheld);
    *bridged = (nw_bridged){0};
}
