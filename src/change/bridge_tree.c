/*
 * Spans -> the bridges among them: the shortest tree that holds all together (Kruskal, Proc. AMS
 * 7, 1956), then two for one on what is large. A span is taken at its length first; when its turn
 * comes the strip is made, and if that is longer, for the walls are slanted, it waits again. What
 * was joined to one another where no way to the rest is left is taken apart, and joined to the rest
 * one by one (Prim, Bell System Technical Journal 36, 1957). Where somebody chose places, those.
 */
#include <change/bridges.h>

#include <math.h>
#include <stdlib.h>

#define ANGLE_COST 1.0   /* of two bridges that are a quarter turn off opposite */
#define LOOSE_TIMES 1.5  /* as dear is one of two to what hangs on bridges itself */
#define WORTH_TIMES 10.0 /* so much larger than what it holds a bridge may be */
#define SECTORS 72       /* round a ring in which places for two are looked for */
#define NEAR_BITS 1.5    /* so far from a place that somebody chose, and its width, it may stand */
#define AWAY_COST 10.0   /* as dear is a way off that place by its own length */

typedef struct {
    double cost;
    size_t span;
} waiting;

typedef struct {
    waiting *items;
    size_t count;
} queue;

/* ---- what waits, cheapest first -------------------------------------------------------------- */

static bool is_before(waiting a, waiting b)
{
    return a.cost < b.cost || (a.cost == b.cost && a.span < b.span);
}

static void queue_push(queue *q, waiting item)
{
    size_t at = q->count++;
    for (; at > 0 && is_before(item, q->items[(at - 1) / 2]); at = (at - 1) / 2)
        q->items[at] = q->items[(at - 1) / 2];
    q->items[at] = item;
}

static waiting queue_pop(queue *q)
{
    waiting first = q->items[0], last = q->items[--q->count];
    size_t at = 0;
    for (;;) {
        size_t child = 2 * at + 1;
        child += child + 1 < q->count && is_before(q->items[child + 1], q->items[child]);
        if (child >= q->count || !is_before(q->items[child], last))
            break;
        q->items[at] = q->items[child];
        at = child;
    }
    q->items[at] = last;
    return first;
}

/* ---- what holds what ------------------------------------------------------------------------ */

static void parts_join(nw_bridge_tree *tree, size_t a, size_t b)
{
    size_t from = tree->part[b], to = tree->part[a];
    for (size_t k = 0; k < tree->judge.region->count; k++)
        if (tree->part[k] == from)
            tree->part[k] = to;
}

/* ---- one bridge ----------------------------------------------------------------------------- */

static void reason_raise(nw_bridge_tree *tree, const nw_span_across *span, nw_unheld_reason reason)
{
    int *reasons[] = {&tree->reason[span->a], &tree->reason[span->b]};
    for (int i = 0; i < 2; i++)
        *reasons[i] = *reasons[i] < (int)reason ? (int)reason : *reasons[i];
}

/* A small thing is not worth a large bridge, unless somebody wants it. */
static bool is_worth(nw_bridge_tree *tree, const nw_span_across *span)
{
    const size_t rings[] = {span->a, span->b};
    bool worth = true;
    for (int k = 0; k < 2; k++) {
        if (tree->at || !tree->rings[rings[k]].loose ||
            span->length * tree->judge.width <= WORTH_TIMES * fabs(tree->facts[rings[k]].area))
            continue;
        worth = false;
        if (tree->reason[rings[k]] < NW_UNHELD_CRUMB)
            tree->reason[rings[k]] = NW_UNHELD_CRUMB;
    }
    return worth;
}

/* The strip of a span, made when it is first asked for; NULL where there is none. */
static const nw_strip *strip_of(nw_bridge_tree *tree, size_t i)
{
    const nw_span_across *span = &tree->spans.items[i];
    if (!is_worth(tree, span))
        return NULL;
    if (tree->states[i] == NW_SPAN_NEW) {
        bool stands = nw_strip_make(&tree->judge, span, &tree->strips[i]);
        tree->states[i] = stands ? NW_SPAN_STANDS : NW_SPAN_NO_FOOTING;
    }
    if (tree->states[i] == NW_SPAN_BANNED)
        reason_raise(tree, span, NW_UNHELD_CLOSES);
    if (tree->states[i] == NW_SPAN_NO_FOOTING)
        reason_raise(tree, span, NW_UNHELD_FOOTING);
    return tree->states[i] == NW_SPAN_STANDS ? &tree->strips[i] : NULL;
}

static bool is_free(nw_bridge_tree *tree, size_t i)
{
    const nw_span_across *span = &tree->spans.items[i];
    for (size_t k = 0; k < tree->made_count; k++)
        if (nw_strips_meet(&tree->judge, &tree->strips[i], &tree->others[k])) {
            reason_raise(tree, span, NW_UNHELD_CROWDED);
            return false;
        }
    bool closes = nw_strip_closes(&tree->judge, &tree->strips[i], tree->others, tree->made_count);
    if (closes)
        reason_raise(tree, span, NW_UNHELD_CLOSES);
    return !closes;
}

/* Crumbs under a strip become a part of it, and need nothing more. */
static void covered_join(nw_bridge_tree *tree, size_t i)
{
    for (size_t k = 0; k < tree->judge.region->count; k++)
        if (k != tree->spans.items[i].a && k != tree->spans.items[i].b &&
            nw_strip_covers(&tree->judge, &tree->strips[i], k)) {
            tree->covered[k] = true;
            parts_join(tree, tree->spans.items[i].a, k);
        }
}

static void bridge_put(nw_bridge_tree *tree, size_t i)
{
    tree->others[tree->made_count] = tree->strips[i];
    tree->made[tree->made_count++] = (nw_bridge_made){i, tree->strips[i]};
    parts_join(tree, tree->spans.items[i].a, tree->spans.items[i].b);
    covered_join(tree, i);
}

static bool bridge_add(nw_bridge_tree *tree, size_t i)
{
    size_t needed = tree->made_count + 1;
    bool good = nw_grow(&tree->made, &tree->made_capacity, needed, sizeof *tree->made) &&
                nw_grow(&tree->others, &tree->others_capacity, needed, sizeof *tree->others);
    if (good)
        bridge_put(tree, i);
    return good;
}

/* ---- the tree ------------------------------------------------------------------------------- */

/* Takes the first that stands, and no more. */
static bool nearest_take(nw_bridge_tree *tree, queue *q)
{
    while (q->count) {
        waiting next = queue_pop(q);
        const nw_strip *strip = strip_of(tree, next.span);
        if (strip && nw_span_cost(tree, next.span) > next.cost)
            queue_push(q, (waiting){nw_span_cost(tree, next.span), next.span});
        else if (strip && is_free(tree, next.span))
            return bridge_add(tree, next.span);
    }
    return true;
}

static void all_wait(const nw_bridge_tree *tree, queue *q)
{
    q->count = 0;
    for (size_t i = 0; i < tree->spans.count; i++)
        queue_push(q, (waiting){tree->spans.items[i].length, i});
}

static bool shortest_take(nw_bridge_tree *tree, queue *q)
{
    bool good = true;
    while (q->count && good) {
        waiting next = queue_pop(q);
        const nw_span_across *span = &tree->spans.items[next.span];
        if (tree->part[span->a] == tree->part[span->b])
            continue;
        const nw_strip *strip = strip_of(tree, next.span);
        if (strip && nw_span_cost(tree, next.span) > next.cost)
            queue_push(q, (waiting){nw_span_cost(tree, next.span), next.span});
        else if (strip && is_free(tree, next.span))
            good = bridge_add(tree, next.span);
    }
    return good;
}

/* Gives a new name to what hangs together with the ring. */
static void part_rename(nw_bridge_tree *tree, size_t ring)
{
    nw_bridges_reach(tree, ring, SIZE_MAX);
    for (size_t k = 0; k < tree->judge.region->count; k++)
        if (tree->reached[k])
            tree->part[k] = tree->judge.region->count + ring;
}

/* The only bridge that holds a ring goes; returns its span. The ring stands alone, with what hangs
 * on it. */
static size_t only_take(nw_bridge_tree *tree, size_t ring)
{
    size_t k = 0;
    nw_bridges_holding(tree, ring, &k);
    size_t span = tree->made[k].span;
    for (tree->made_count--; k < tree->made_count; k++) {
        tree->made[k] = tree->made[k + 1];
        tree->others[k] = tree->others[k + 1];
    }
    part_rename(tree, ring);
    return span;
}

/* A foot of a strip on a ring, and its way from the ring's centre of mass. */
typedef struct {
    size_t span;
    double cost;
    nw_point way;
} ring_foot;

/* Round the ring the cheapest foot in each sector, of strips to what has this name; round a small
 * one, on which feet stand anywhere, by where they lead. */
static void feet_find(nw_bridge_tree *tree, size_t ring, size_t part, ring_foot feet[SECTORS])
{
    nw_point centre = tree->rings[ring].centre;
    bool is_small = tree->rings[ring].size < NW_SMALL_RING * tree->judge.width;
    for (size_t k = 0; k < SECTORS; k++)
        feet[k] = (ring_foot){.cost = INFINITY};
    for (size_t i = 0; i < tree->spans.count; i++) {
        const nw_span_across *span = &tree->spans.items[i];
        size_t other = span->a == ring ? span->b : span->a;
        if ((span->a != ring && span->b != ring) || tree->part[other] != part)
            continue;
        bool to_it = (span->a == ring) == is_small;
        nw_point way = nw_unit(centre, to_it ? span->to : span->from);
        double turn = nw_atan2(way.y, way.x) / (2 * NW_PI) + 0.5;
        ring_foot *foot = &feet[(size_t)(turn * SECTORS) % SECTORS];
        if (span->length >= foot->cost)
            continue;
        const nw_strip *strip = strip_of(tree, i);
        double times = tree->rings[other].loose ? LOOSE_TIMES : 1;
        if (strip && nw_span_cost(tree, i) * times < foot->cost && is_free(tree, i))
            *foot = (ring_foot){i, nw_span_cost(tree, i) * times, way};
    }
}

/* The cheapest two whose ways from the centre have no larger cosine, dearer by how far they are
 * from opposite. False where there are none of this length. */
static bool pair_choose(const nw_bridge_tree *tree, const ring_foot feet[SECTORS], double longest,
                        double most_cosine, size_t pair[2])
{
    double least = INFINITY;
    for (size_t i = 0; i < SECTORS; i++) {
        for (size_t k = 0; k < i; k++) {
            double cosine = nw_dot(feet[i].way, feet[k].way);
            double cost = (feet[i].cost + feet[k].cost) * (1 + ANGLE_COST * (1 + cosine));
            if (cost < least && cosine <= most_cosine &&
                tree->spans.items[feet[i].span].length <= longest &&
                tree->spans.items[feet[k].span].length <= longest) {
                least = cost;
                pair[0] = i;
                pair[1] = k;
            }
        }
    }
    return least < INFINITY;
}

/* In place of a ring's only bridge two that are opposite about its centre of mass, or as nearly as
 * can be where such would be far longer. Where there are none it gets back its own. */
static bool pair_take(nw_bridge_tree *tree, size_t ring)
{
    static const struct {
        double longest, cosine; /* in shortest ones; of the angle between them at most */
    } steps[] = {
        {NW_LONG_BRIDGE, 0}, {2 * NW_LONG_BRIDGE, 0}, {NW_LONG_BRIDGE, 0.5}, {INFINITY, 0}};
    ring_foot feet[SECTORS];
    size_t pair[2], part = tree->part[ring], only = only_take(tree, ring), step = 0;
    feet_find(tree, ring, part, feet);
    double shortest = INFINITY;
    for (size_t k = 0; k < SECTORS; k++)
        if (feet[k].cost < INFINITY)
            shortest = fmin(shortest, tree->spans.items[feet[k].span].length);
    for (;;) {
        if (!pair_choose(tree, feet, steps[step].longest * shortest, steps[step].cosine, pair)) {
            if (++step == sizeof steps / sizeof *steps)
                return bridge_add(tree, only);
            continue;
        }
        if (!bridge_add(tree, feet[pair[0]].span))
            return false;
        if (is_free(tree, feet[pair[1]].span))
            return bridge_add(tree, feet[pair[1]].span);
        only_take(tree, ring);
        feet[pair[1]].cost = INFINITY;
    }
}

static void all_apart(nw_bridge_tree *tree)
{
    for (size_t k = 0; k < tree->judge.region->count; k++) {
        tree->part[k] = k;
        tree->covered[k] = false;
        tree->reason[k] = NW_UNHELD_FAR;
    }
}

/* Takes apart what is joined to one another, but not to the rest. */
static void useless_drop(nw_bridge_tree *tree, nw_unheld_reason reason)
{
    size_t kept = 0;
    for (size_t i = 0; i < tree->made_count; i++)
        if (nw_ring_is_held(tree, tree->spans.items[tree->made[i].span].a)) {
            tree->others[kept] = tree->others[i];
            tree->made[kept++] = tree->made[i];
        }
    tree->made_count = kept;
    for (size_t k = 0; k < tree->judge.region->count; k++)
        if (!nw_ring_is_held(tree, k)) {
            tree->part[k] = k;
            tree->covered[k] = false;
            tree->reason[k] = (int)reason;
        }
}

/* The shortest way from what is held to what is not; *any tells whether there was one. */
static bool rest_join(nw_bridge_tree *tree, queue *q, bool *any)
{
    q->count = 0;
    for (size_t i = 0; i < tree->spans.count; i++) {
        const nw_span_across *span = &tree->spans.items[i];
        bool a = nw_ring_is_held(tree, span->a), b = nw_ring_is_held(tree, span->b);
        if (a != b)
            queue_push(q, (waiting){span->length, i});
        else if (!a)
            reason_raise(tree, span, NW_UNHELD_LOOSE);
    }
    size_t before = tree->made_count;
    bool good = nearest_take(tree, q);
    *any = tree->made_count > before;
    return good;
}

/* Joins to the rest what is left over, one by one; of parts those that stay over to one another. */
static bool rest_take(nw_bridge_tree *tree, queue *q)
{
    bool any = true, good = true;
    useless_drop(tree, NW_UNHELD_FAR);
    while (any && good)
        good = rest_join(tree, q, &any);
    if (tree->outside && good) {
        all_wait(tree, q);
        good = shortest_take(tree, q);
    }
    return good;
}

/* What best stands for a bridge at this place, or SIZE_MAX. */
static size_t place_span(nw_bridge_tree *tree, nw_point place)
{
    double meant = tree->judge.width + NEAR_BITS * 2 * tree->judge.radius, least = INFINITY;
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < tree->spans.count; i++) {
        const nw_span_across *span = &tree->spans.items[i];
        double away = nw_segment_distance(span->from, span->to, place);
        if (away > meant || span->length + AWAY_COST * away >= least)
            continue;
        const nw_strip *strip = strip_of(tree, i);
        if (strip && strip->cost + AWAY_COST * away < least && is_free(tree, i)) {
            least = strip->cost + AWAY_COST * away;
            best = i;
        }
    }
    return best;
}

static bool places_take(nw_bridge_tree *tree)
{
    bool good = true;
    for (size_t k = 0; k < tree->at->count && good; k++) {
        size_t span = place_span(tree, tree->at->items[k]);
        good = span == SIZE_MAX || bridge_add(tree, span);
    }
    return good;
}

nw_status nw_bridge_tree_grow(nw_bridge_tree *tree, nw_error *error)
{
    if (tree->at) {
        tree->made_count = 0;
        all_apart(tree);
        return places_take(tree) ? NW_OK : nw_fail_memory(error, "the bridges");
    }
    queue q = {nw_alloc(tree->spans.count + 1, sizeof *q.items), 0};
    bool good = q.items != NULL;
    if (good) {
        tree->made_count = 0;
        all_apart(tree);
        all_wait(tree, &q);
        good = shortest_take(tree, &q) && rest_take(tree, &q);
    }
    for (size_t k = 0; k < tree->judge.region->count && good && tree->each != 1; k++)
        if (tree->rings[k].loose && !tree->covered[k] && nw_bridges_wanted(tree, k) > 1 &&
            nw_bridges_holding(tree, k, NULL) == 1)
            good = pair_take(tree, k);
    free(q.items);
    return good ? NW_OK : nw_fail_memory(error, "the bridges");
}

void nw_bridge_tree_prune(nw_bridge_tree *tree)
{
    size_t count = tree->made_count;
    tree->made_count = 0;
    all_apart(tree);
    for (size_t i = 0; i < count; i++) {
        size_t span = tree->made[i].span;
        if (tree->states[span] != NW_SPAN_BANNED)
            bridge_put(tree, span);
    }
    if (!tree->at)
        useless_drop(tree, NW_UNHELD_LOOSE);
    for (size_t i = 0; i < tree->spans.count; i++)
        if (tree->states[i] == NW_SPAN_BANNED)
            reason_raise(tree, &tree->spans.items[i], NW_UNHELD_CLOSES);
}
