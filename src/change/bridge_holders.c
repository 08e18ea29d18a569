/* Rings -> what each is to hang on, whether it does, and how many bridges its size asks for. */
#include <change/bridges.h>

#include <math.h>

/* What is longer or larger twists on one bridge (common practice). */
#define LARGE_MM 60.0
#define LARGE_MM2 1500.0

/* The ring that the others of its group are to hang on: the panel's, or the largest part's. */
static size_t holder_of(const nw_bridge_tree *tree, size_t ring)
{
    size_t best = ring;
    double most = fabs(tree->facts[ring].area);
    for (size_t k = 0; k < tree->judge.region->count; k++) {
        if (tree->group[k] != tree->group[ring])
            continue;
        bool stock = tree->rings[k].loose, best_stock = tree->rings[best].loose;
        double area = fabs(tree->facts[k].area);
        if (stock != best_stock ? best_stock : area > most) {
            best = k;
            most = area;
        }
    }
    return best;
}

void nw_holders_find(nw_bridge_tree *tree)
{
    for (size_t k = 0; k < tree->judge.region->count; k++) {
        size_t first = 0;
        while (tree->group[first] != tree->group[k])
            first++;
        tree->holder[k] = first < k ? tree->holder[first] : holder_of(tree, k);
    }
}

bool nw_ring_is_held(const nw_bridge_tree *tree, size_t ring)
{
    return tree->part[tree->holder[ring]] == tree->part[ring];
}

size_t nw_bridges_wanted(const nw_bridge_tree *tree, size_t ring)
{
    if (tree->each)
        return tree->each;
    bool large = tree->rings[ring].size > LARGE_MM || fabs(tree->facts[ring].area) > LARGE_MM2;
    return large ? 2 : 1;
}

void nw_bridges_reach(const nw_bridge_tree *tree, size_t from, size_t without)
{
    for (size_t k = 0; k < tree->judge.region->count; k++)
        tree->reached[k] = k == from && k != without;
    for (bool more = true; more;) {
        more = false;
        for (size_t i = 0; i < tree->made_count; i++) {
            const nw_span_across *span = &tree->spans.items[tree->made[i].span];
            if (span->a == without || span->b == without ||
                tree->reached[span->a] == tree->reached[span->b])
                continue;
            tree->reached[span->a] = tree->reached[span->b] = more = true;
        }
    }
}

size_t nw_bridges_holding(const nw_bridge_tree *tree, size_t ring, size_t *one)
{
    size_t count = 0;
    nw_bridges_reach(tree, tree->holder[ring], ring);
    for (size_t i = 0; i < tree->made_count; i++) {
        const nw_span_across *span = &tree->spans.items[tree->made[i].span];
        size_t other = span->a == ring ? span->b : span->a;
        if ((span->a == ring || span->b == ring) && tree->reached[other]) {
            count++;
            if (one)
                *one = i;
        }
    }
    return count;
}

double nw_shortest_way(const nw_bridge_tree *tree, size_t ring)
{
    for (size_t i = 0; i < tree->spans.count; i++)
        if (tree->spans.items[i].a == ring || tree->spans.items[i].b == ring)
            return tree->spans.items[i].length;
    return INFINITY;
}
