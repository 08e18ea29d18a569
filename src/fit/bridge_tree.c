/*
 * Spans -> the bridges among them: the shortest tree that holds all together (Kruskal, Proc. AMS
 * 7, 1956), then second ones. A span is taken at its length first; when its turn comes the strip is
 * made, and if that is longer, for the walls are slanted, it waits again.
 */
#include <fit/bridges.h>

#include <math.h>
#include <stdlib.h>

typedef struct {
    double cost;
    size_t span;
} waiting;

typedef struct {
    waiting *items;
    size_t count;
} queue;

/* ---- what waits, cheapest first ---------------------------------------------------------------
 */

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

bool nw_ring_is_loose(const nw_bridge_tree *tree, size_t ring)
{
    return nw_ring_is_hole(tree->judge.region, ring) == !tree->outside;
}

static void parts_join(nw_bridge_tree *tree, size_t a, size_t b)
{
    size_t from = tree->part[b], to = tree->part[a];
    for (size_t k = 0; k < tree->judge.region->count; k++)
        if (tree->part[k] == from)
            tree->part[k] = to;
}

/* The ring that the others of its group are to hang on: the panel's, or the largest part's. */
static size_t holder_of(const nw_bridge_tree *tree, size_t ring)
{
    const nw_region *region = tree->judge.region;
    size_t best = ring;
    for (size_t k = 0; k < region->count; k++) {
        bool other = tree->group[k] == tree->group[ring];
        bool stock = nw_ring_is_loose(tree, k), best_stock = nw_ring_is_loose(tree, best);
        double area = fabs(nw_ring_area(region, k)), most = fabs(nw_ring_area(region, best));
        if (other && (stock != best_stock ? best_stock : area > most))
            best = k;
    }
    return best;
}

bool nw_ring_is_held(const nw_bridge_tree *tree, size_t ring)
{
    return tree->part[holder_of(tree, ring)] == tree->part[ring];
}

/* ---- one bridge ----------------------------------------------------------------------------- */

static void reason_raise(nw_bridge_tree *tree, const nw_span_across *span, nw_unheld_reason reason)
{
    int *reasons[] = {&tree->reason[span->a], &tree->reason[span->b]};
    for (int i = 0; i < 2; i++)
        *reasons[i] = *reasons[i] < (int)reason ? (int)reason : *reasons[i];
}

/* The strip of a span, made when it is first asked for; NULL where there is none. */
static const nw_strip *strip_of(nw_bridge_tree *tree, size_t i)
{
    const nw_span_across *span = &tree->spans.items[i];
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

static bool bridge_add(nw_bridge_tree *tree, size_t i)
{
    void *made = tree->made, *others = tree->others;
    bool good = nw_grow(&made, &tree->made_capacity, tree->made_count + 1, sizeof *tree->made);
    tree->made = made;
    good = good &&
           nw_grow(&others, &tree->others_capacity, tree->made_count + 1, sizeof *tree->others);
    tree->others = others;
    if (!good)
        return false;
    tree->others[tree->made_count] = tree->strips[i];
    tree->made[tree->made_count++] = (nw_bridge_made){i, tree->strips[i]};
    tree->degree[tree->spans.items[i].a]++;
    tree->degree[tree->spans.items[i].b]++;
    parts_join(tree, tree->spans.items[i].a, tree->spans.items[i].b);
    return true;
}

/* ---- the tree ------------------------------------------------------------------------------- */

static bool shortest_take(nw_bridge_tree *tree, queue *q)
{
    bool good = true;
    while (q->count && good) {
        waiting next = queue_pop(q);
        const nw_span_across *span = &tree->spans.items[next.span];
        if (tree->part[span->a] == tree->part[span->b])
            continue;
        const nw_strip *strip = strip_of(tree, next.span);
        if (strip && strip->cost > next.cost)
            queue_push(q, (waiting){strip->cost, next.span});
        else if (strip && is_free(tree, next.span))
            good = bridge_add(tree, next.span);
    }
    return good;
}

/* On the other side of the ring than the bridges that it has. */
static bool on_the_other_side(const nw_bridge_tree *tree, size_t ring, nw_point p)
{
    nw_box box = nw_ring_box(tree->judge.region, ring);
    nw_point middle = {(box.min.x + box.max.x) / 2, (box.min.y + box.max.y) / 2};
    for (size_t i = 0; i < tree->made_count; i++) {
        const nw_span_across *span = &tree->spans.items[tree->made[i].span];
        nw_point foot = span->a == ring ? span->from : span->to;
        if ((span->a == ring || span->b == ring) &&
            nw_dot(nw_minus(p, middle), nw_minus(foot, middle)) > 0)
            return false;
    }
    return true;
}

static bool second_take(nw_bridge_tree *tree, size_t ring, queue *q)
{
    q->count = 0;
    for (size_t i = 0; i < tree->spans.count; i++) {
        const nw_span_across *span = &tree->spans.items[i];
        if ((span->a == ring && on_the_other_side(tree, ring, span->from)) ||
            (span->b == ring && on_the_other_side(tree, ring, span->to)))
            queue_push(q, (waiting){span->length, i});
    }
    while (q->count) {
        waiting next = queue_pop(q);
        const nw_strip *strip = strip_of(tree, next.span);
        if (strip && strip->cost > next.cost)
            queue_push(q, (waiting){strip->cost, next.span});
        else if (strip && is_free(tree, next.span))
            return bridge_add(tree, next.span);
    }
    return true;
}

static void start_afresh(nw_bridge_tree *tree, queue *q)
{
    tree->made_count = q->count = 0;
    for (size_t k = 0; k < tree->judge.region->count; k++) {
        tree->part[k] = k;
        tree->degree[k] = 0;
        tree->reason[k] = NW_UNHELD_FAR;
    }
    for (size_t i = 0; i < tree->spans.count; i++)
        queue_push(q, (waiting){tree->spans.items[i].length, i});
}

/* Inside, islands that are joined to one another only fall out together: such bridges hold nothing.
 */
static void useless_drop(nw_bridge_tree *tree)
{
    size_t kept = 0;
    for (size_t i = 0; i < tree->made_count; i++) {
        const nw_span_across *span = &tree->spans.items[tree->made[i].span];
        if (tree->outside || nw_ring_is_held(tree, span->a)) {
            tree->others[kept] = tree->others[i];
            tree->made[kept++] = tree->made[i];
        } else {
            tree->degree[span->a]--;
            tree->degree[span->b]--;
        }
    }
    tree->made_count = kept;
}

nw_status nw_bridge_tree_grow(nw_bridge_tree *tree, nw_error *error)
{
    queue q = {nw_alloc(tree->spans.count + 1, sizeof *q.items), 0};
    bool good = q.items != NULL;
    if (good) {
        start_afresh(tree, &q);
        good = shortest_take(tree, &q);
        useless_drop(tree);
    }
    for (size_t k = 0; k < tree->judge.region->count && good && tree->each > 1; k++)
        if (nw_ring_is_loose(tree, k) && tree->degree[k] == 1)
            good = second_take(tree, k, &q);
    free(q.items);
    return good ? NW_OK : nw_fail_memory(error, "the bridges");
}
