/*
 * islands: a region -> which rings bound the same part of the cut area, and what comes loose when
 * it is cut. Inside, every hole of the art is an island, what lies in it taken off; outside, every
 * piece of the art is a part.
 */
#include <change/bridges.h>
#include <change/change.h>

#include <math.h>
#include <stdlib.h>

nw_ring_facts *nw_rings_learn(const nw_region *region)
{
    nw_ring_facts *facts = nw_alloc(region->count, sizeof *facts);
    for (size_t k = 0; facts && k < region->count; k++)
        facts[k] = (nw_ring_facts){nw_ring_area(region, k), nw_ring_box(region, k)};
    return facts;
}

/* The smallest hole that an outer ring lies in, or SIZE_MAX. */
static size_t hole_around(const nw_region *region, const nw_ring_facts *facts, size_t outer)
{
    size_t best = SIZE_MAX;
    double smallest = INFINITY;
    nw_point p = region->points[region->starts[outer]];
    for (size_t k = 0; k < region->count; k++) {
        double area = -facts[k].area;
        if (area > 0 && area < smallest && nw_box_holds(facts[k].box, p) &&
            region->pieces[k] != region->pieces[outer] && nw_ring_contains(region, k, p)) {
            best = k;
            smallest = area;
        }
    }
    return best;
}

void nw_rings_group(const nw_region *region, const nw_ring_facts *facts, nw_cut cut, size_t *group)
{
    for (size_t k = 0; k < region->count; k++)
        if (cut != NW_CUT_OUTSIDE)
            group[k] = region->pieces[k];
        else if (facts[k].area < 0)
            group[k] = k + 1;
        else
            group[k] = hole_around(region, facts, k) + 1; /* 0: all round everything */
}

static void loose_fill(const nw_region *region, const nw_ring_facts *facts, bool outside,
                       nw_loose_list *list)
{
    for (size_t k = 0; k < region->count; k++) {
        double area = facts[k].area;
        if ((area > 0) == outside && fabs(area) >= NW_LOOSE_DUST_MM2)
            list->items[list->count++] = (nw_loose){facts[k].box, fabs(area), k};
    }
}

/* Takes from parts their holes, and from islands the art that lies in them. */
static void loose_reduce(const nw_region *region, const nw_ring_facts *facts, bool outside,
                         nw_loose_list *list)
{
    for (size_t k = 0; k < region->count; k++) {
        if ((facts[k].area > 0) == outside)
            continue;
        size_t around = outside ? SIZE_MAX : hole_around(region, facts, k);
        for (size_t i = 0; i < list->count; i++) {
            bool own = outside ? region->pieces[list->items[i].ring] == region->pieces[k]
                               : list->items[i].ring == around;
            list->items[i].area -= own ? fabs(facts[k].area) : 0;
        }
    }
}

nw_status nw_loose_find(const nw_region *region, nw_cut cut, nw_loose_list *list, nw_error *error)
{
    bool outside = cut == NW_CUT_OUTSIDE;
    nw_ring_facts *facts = nw_rings_learn(region);
    *list = (nw_loose_list){facts ? nw_alloc(region->count, sizeof *list->items) : NULL, 0};
    if (!list->items) {
        free(facts);
        return nw_fail_memory(error, "the islands");
    }
    loose_fill(region, facts, outside, list);
    loose_reduce(region, facts, outside, list);
    free(facts);
    if (outside && list->count == 1)
        list->count = 0;
    return NW_OK;
}

void nw_loose_free(nw_loose_list *list)
{
    if (!list)
        return;
    free(list->items);
    *list = (nw_loose_list){0};
}
