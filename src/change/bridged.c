/*
 * bridges: a drawing -> the drawing with strips of stock across the cut, which hold what would come
 * loose.
 *
 * The strips are chosen by what the bit loses right beside them; then the whole drawing with them
 * is fitted once and compared with the fit of the art as it was. A strip beside which the bit
 * leaves more is banned, and the tree grows again without it. Stock never becomes thinner by a
 * strip.
 */
#include <change/bridges.h>
#include <solid/solid.h>

#include <math.h>
#include <stdlib.h>

#define LEAST_WIDTH_MM 0.1
#define MOST_WIDTH_MM 100.0
#define STEP_OF_WIDTH 0.125 /* between the places where ways begin */
#define SPOT_ROUNDS 8       /* of them, in which new spots are avoided */
#define MOST_ROUNDS 24      /* of growing and fitting; then what still does harm is left out */
#define HARM_OF_SQUARE 0.25 /* of the bit's square: what more it may leave beside one */
#define CROOKED_SLANT 0.364 /* the tangent of 20 degrees */
#define BAN_OF_WIDTH 0.25   /* a strip so near to one that does harm does it too */

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
    if (status == NW_OK) {
        nw_pockets_fill(&w->tree, &painted);
        painted.width =
            w->art->width; /* the art is as large as it was, though a bridge may cover */
        painted.height = w->art->height; /* its outermost point */
        w->out->drawing = painted;
    }
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

/* Is a bridge beside it banned in this round? Then this one is judged again without it. */
static bool is_beside_banned(const bridging *w, size_t k, const bool *banned)
{
    nw_point middle = w->tree.made[k].strip.feet[0][NW_STRIP_LINES / 2];
    for (size_t i = 0; i < w->tree.made_count; i++) {
        const nw_strip *other = &w->tree.made[i].strip;
        if (banned[i] && nw_strip_distance(other, middle) < NW_BESIDE_BITS * w->options->bit)
            return true;
    }
    return false;
}

/* What the bit leaves in the four corners of a bridge, r² (cot(t/2) - (pi - t)/2) in each, and a
 * little. */
static double harm_allowed(const bridging *w, const nw_strip *strip)
{
    double bit = w->options->bit, cot = strip->cot_sum / 4;
    return bit * bit * (HARM_OF_SQUARE + cot - nw_atan(cot));
}

/* Of the later ones, which are longer, first. */
static nw_status harmful_mark(bridging *w, const nw_fit *after, bool *banned)
{
    for (size_t k = w->tree.made_count; k-- > 0;) {
        const nw_bridge_made *made = &w->tree.made[k];
        double harm;
        if (!nw_strip_harm(&made->strip, w->width, &w->before, after, &harm))
            return nw_fail_memory(w->error, "the bridges");
        banned[k] = harm > harm_allowed(w, &made->strip) && !is_beside_banned(w, k, banned);
    }
    return NW_OK;
}

/* Bans a span, or makes it dearer, and those that all but are the same; each time one of the same
 * rings is made dearer twice as far round it. */
static void span_refuse(bridging *w, size_t span, bool ban)
{
    const nw_span_across *one = &w->tree.spans.items[span];
    unsigned *spoilt = w->tree.spoilt;
    unsigned before = spoilt[one->a] < spoilt[one->b] ? spoilt[one->a] : spoilt[one->b];
    double times = ban ? 1 : ldexp(1, (int)before);
    double near = BAN_OF_WIDTH * w->width * times;
    for (size_t i = 0; i < w->tree.spans.count; i++) {
        const nw_span_across *other = &w->tree.spans.items[i];
        bool same = one->a == other->a && one->b == other->b &&
                    nw_distance(one->from, other->from) <= near &&
                    nw_distance(one->to, other->to) <= near;
        if (same && ban)
            w->tree.states[i] = NW_SPAN_BANNED;
        else if (same)
            w->tree.spoils[i] = true;
    }
    spoilt[one->a] += !ban;
    spoilt[one->b] += !ban;
}

/* Makes dearer where the bridges stand beside new spots; *any tells whether there were such. */
static void spoiled_mark(bridging *w, const bool *banned, bool *any)
{
    for (size_t i = 0; i < w->out->spot_count && !w->tree.at; i++) {
        size_t k = w->out->spots[i].bridge;
        if (k == SIZE_MAX || banned[k] || w->tree.spoils[w->tree.made[k].span] ||
            is_beside_banned(w, k, banned))
            continue;
        span_refuse(w, w->tree.made[k].span, false);
        *any = true;
    }
}

/* Bans the bridges that do harm, and makes those dearer that leave new spots, as long as that is
 * wanted; *any tells whether there were such. */
static nw_status harmful_ban(bridging *w, bool spots, bool *any)
{
    nw_fit after = {0};
    bool *banned = nw_alloc(w->tree.made_count, sizeof *banned);
    nw_status status = banned ? fit_again(w, &after) : nw_fail_memory(w->error, "the bridges");
    if (status == NW_OK)
        status = harmful_mark(w, &after, banned);
    if (status == NW_OK)
        status = nw_bridge_spots_find(&w->tree, &w->before, &after, w->out)
                     ? NW_OK
                     : nw_fail_memory(w->error, "the bridges");
    *any = false;
    if (status == NW_OK && spots)
        spoiled_mark(w, banned, any);
    for (size_t k = 0; k < w->tree.made_count && status == NW_OK; k++)
        if (banned[k]) {
            span_refuse(w, w->tree.made[k].span, true);
            *any = true;
        }
    nw_fit_free(&after);
    free(banned);
    return status;
}

static nw_status tree_settle(bridging *w)
{
    nw_status status = NW_OK;
    bool again = true;
    for (int round = 0; again && status == NW_OK; round++) {
        status = round < MOST_ROUNDS ? nw_bridge_tree_grow(&w->tree, w->error) : NW_OK;
        if (round >= MOST_ROUNDS)
            nw_bridge_tree_prune(&w->tree);
        if (status == NW_OK)
            status = drawing_paint(w);
        again = false;
        w->out->spot_count = 0;
        if (status == NW_OK && w->tree.made_count)
            status = harmful_ban(w, round < SPOT_ROUNDS, &again);
    }
    return status;
}

/* ---- what is handed out --------------------------------------------------------------------- */

static unsigned reasons_of(const nw_bridge_tree *tree, const nw_span_across *span,
                           const nw_strip *strip)
{
    const size_t rings[] = {span->a, span->b};
    double shortest = 0;
    for (int k = 0; k < 2; k++)
        shortest =
            fmax(shortest, tree->rings[rings[k]].loose ? nw_shortest_way(tree, rings[k]) : 0);
    bool crooked = fmax(strip->slant[0], strip->slant[1]) > CROOKED_SLANT;
    return (unsigned)crooked << NW_BRIDGE_CROOKED | (unsigned)strip->detail << NW_BRIDGE_DETAIL |
           (unsigned)(span->length > fmax(NW_LONG_BRIDGE * shortest, tree->judge.width))
               << NW_BRIDGE_LONG;
}

static bool bridges_list(bridging *w)
{
    w->out->count = w->tree.made_count;
    w->out->bridges = nw_alloc(w->tree.made_count, sizeof *w->out->bridges);
    for (size_t i = 0; w->out->bridges && i < w->tree.made_count; i++) {
        const nw_span_across *span = &w->tree.spans.items[w->tree.made[i].span];
        w->out->bridges[i] =
            (nw_bridge){span->from, span->to, reasons_of(&w->tree, span, &w->tree.made[i].strip)};
    }
    for (size_t i = 0; w->out->bridges && i < w->out->spot_count; i++)
        if (w->out->spots[i].bridge != SIZE_MAX)
            w->out->bridges[w->out->spots[i].bridge].reasons |= 1u << NW_BRIDGE_SPOT;
    return w->out->bridges != NULL;
}

/* How many others are joined to a piece, and whether it is the largest of them. */
static size_t joined_to(const bridging *w, const nw_loose_list *loose, size_t i, bool *largest)
{
    size_t count = 0;
    for (size_t k = 0; k < loose->count; k++) {
        const nw_loose *one = &loose->items[i], *other = &loose->items[k];
        if (k == i || w->tree.part[other->ring] != w->tree.part[one->ring])
            continue;
        count++;
        *largest = *largest && (other->area < one->area || (other->area == one->area && i < k));
    }
    return count;
}

static nw_status unheld_list(bridging *w)
{
    nw_loose_list loose;
    nw_status status = nw_loose_find(&w->region, w->options->cut, &loose, w->error);
    if (status != NW_OK)
        return status;
    w->out->unheld = nw_alloc(loose.count, sizeof *w->out->unheld);
    for (size_t i = 0; w->out->unheld && i < loose.count; i++) {
        size_t ring = loose.items[i].ring, has = nw_bridges_holding(&w->tree, ring, NULL);
        bool held = nw_ring_is_held(&w->tree, ring), largest = true;
        bool by_hand = w->tree.at != NULL;
        int reason = by_hand ? NW_UNHELD_BY_HAND : w->tree.reason[ring];
        size_t joined = held ? 0 : joined_to(w, &loose, i, &largest);
        if (held ? !by_hand && !w->tree.covered[ring] && has > 0 &&
                       has < nw_bridges_wanted(&w->tree, ring)
                 : largest)
            w->out->unheld[w->out->loose++] =
                (nw_unheld){loose.items[i], held, joined, (nw_unheld_reason)reason};
    }
    nw_loose_free(&loose);
    return w->out->unheld ? NW_OK : nw_fail_memory(w->error, "the bridges");
}

/* ---- all of it ------------------------------------------------------------------------------ */

/* Dust is in nobody's way. */
static void dust_drop(nw_region *region)
{
    size_t kept = 0, end = 0;
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], next = region->starts[k + 1];
        if (fabs(nw_ring_area(region, k)) < NW_LOOSE_DUST_MM2)
            continue;
        region->starts[kept] = end;
        region->pieces[kept++] = region->pieces[k];
        for (size_t i = first; i < next; i++)
            region->points[end++] = region->points[i];
    }
    region->starts[kept] = end;
    region->count = kept;
}

/* The region's ring that each of the border's came from; both have them in the same order. */
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
        r = w->ring[k] == SIZE_MAX ? r : w->ring[k] + 1;
    }
}

static nw_status room_make(bridging *w)
{
    size_t rings = w->region.count;
    w->ring = nw_alloc(w->cut.ring_count, sizeof *w->ring);
    w->group = nw_alloc(rings, sizeof *w->group);
    w->tree.rings = nw_alloc(rings, sizeof *w->tree.rings);
    w->tree.facts = nw_rings_learn(&w->region);
    w->tree.holder = nw_alloc(rings, sizeof *w->tree.holder);
    w->tree.part = nw_alloc(rings, sizeof *w->tree.part);
    w->tree.covered = nw_alloc(rings, sizeof *w->tree.covered);
    w->tree.reached = nw_alloc(rings, sizeof *w->tree.reached);
    w->tree.reason = nw_alloc(rings, sizeof *w->tree.reason);
    w->tree.spoilt = nw_alloc(rings, sizeof *w->tree.spoilt);
    bool good = w->ring && w->group && w->tree.rings && w->tree.facts && w->tree.holder &&
                w->tree.part && w->tree.covered && w->tree.reached && w->tree.reason &&
                w->tree.spoilt;
    return good ? NW_OK : nw_fail_memory(w->error, "the bridges");
}

static void judge_start(bridging *w)
{
    nw_box all = nw_box_empty();
    nw_point sum = {0, 0};
    double area = 0;
    for (size_t k = 0; k < w->region.count; k++) {
        nw_box box = w->tree.facts[k].box;
        nw_point centre = nw_ring_centre(&w->region, k);
        double own = w->tree.facts[k].area;
        nw_box_grow(&all, box);
        sum = nw_plus(sum, centre, own);
        area += own;
        w->tree.rings[k] = (nw_bridge_ring){centre, fmax(nw_box_width(box), nw_box_height(box)),
                                            (own < 0) != w->tree.outside};
    }
    w->tree.judge = (nw_strip_judge){.region = &w->region,
                                     .rings = w->tree.rings,
                                     .centre = nw_times(sum, 1 / area),
                                     .size = nw_distance(all.min, all.max),
                                     .cut = &w->cut,
                                     .ring = w->ring,
                                     .width = w->width,
                                     .radius = w->options->bit / 2,
                                     .neck = w->before.options.neck};
}

static nw_status spans_make(bridging *w)
{
    rings_match(w);
    nw_rings_group(&w->region, w->tree.facts, w->options->cut, w->group);
    nw_holders_find(&w->tree);
    nw_status status = nw_spans_find(&w->cut, w->ring, w->group, STEP_OF_WIDTH * w->width,
                                     &w->tree.spans, w->error);
    if (status != NW_OK)
        return status;
    w->tree.strips = nw_alloc(w->tree.spans.count, sizeof *w->tree.strips);
    w->tree.states = nw_alloc(w->tree.spans.count, sizeof *w->tree.states);
    w->tree.spoils = nw_alloc(w->tree.spans.count, sizeof *w->tree.spoils);
    bool good = w->tree.strips && w->tree.states && w->tree.spoils;
    return good ? NW_OK : nw_fail_memory(w->error, "the bridges");
}

static nw_status bridging_start(bridging *w)
{
    bool outside = w->options->cut == NW_CUT_OUTSIDE;
    const nw_box *sheet = w->options->has_stock && outside ? &w->options->stock : NULL;
    nw_fit_options options = *w->options;
    options.with_shapes = true;
    nw_status status = nw_drawing_flatten(w->art, NW_FLATNESS_MM, &w->region, w->error);
    if (status == NW_OK)
        status = nw_fit_run(&w->region, &options, &w->before, w->error);
    if (status == NW_OK) {
        dust_drop(&w->region);
        status = nw_border_make(&w->region, outside, sheet, &w->cut, w->error);
    }
    if (status == NW_OK)
        status = room_make(w);
    w->tree.group = w->group;
    w->tree.outside = outside;
    if (status == NW_OK)
        judge_start(w);
    return status == NW_OK ? spans_make(w) : status;
}

static void bridging_free(bridging *w)
{
    free(w->tree.spans.items);
    free(w->tree.strips);
    free(w->tree.states);
    free(w->tree.spoils);
    free(w->tree.spoilt);
    free(w->tree.made);
    free(w->tree.others);
    free(w->tree.rings);
    free(w->tree.facts);
    free(w->tree.holder);
    free(w->tree.part);
    free(w->tree.covered);
    free(w->tree.reached);
    free(w->tree.reason);
    free(w->ring);
    free(w->group);
    nw_fit_free(&w->before);
    nw_border_free(&w->cut);
    nw_region_free(&w->region);
}

nw_status nw_drawing_bridge(const nw_drawing *drawing, const nw_fit_options *options, double width,
                            size_t each, const nw_places *at, nw_bridged *bridged, nw_error *error)
{
    *bridged = (nw_bridged){0};
    if (!(width >= LEAST_WIDTH_MM && width <= MOST_WIDTH_MM) || each > NW_BRIDGES_EACH)
        return nw_fail(error, NW_BAD_REQUEST,
                       "bridges must be 0.1 to 100 mm wide, one or two for each piece");
    bridging w = {.art = drawing,
                  .options = options,
                  .width = width,
                  .out = bridged,
                  .error = error,
                  .tree = {.each = each, .at = at && at->count ? at : NULL}};
    nw_status status = bridging_start(&w);
    if (status == NW_OK)
        status = tree_settle(&w);
    if (status == NW_OK && !bridges_list(&w))
        status = nw_fail_memory(error, "the bridges");
    if (status == NW_OK)
        status = unheld_list(&w);
    bridged->nowhere = w.tree.at ? at->count - bridged->count : 0;
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
    free(bridged->spots);
    *bridged = (nw_bridged){0};
}
