/* A border and a bit -> which stretches of the border it misses. */
#include <fit/fit.h>

#include <math.h>
#include <stdlib.h>

static bool stretch_add(nw_stretches *list, uint32_t ring, double from, double to)
{
    if (!(to > from))
        return true;
    return nw_push(&list->items, &list->count, &list->capacity, &(nw_stretch){ring, from, to},
                   sizeof *list->items);
}

static bool wall_add(nw_stretches *list, const nw_border *border, const nw_wall *wall)
{
    uint32_t ring = border->ring[wall->segment];
    double whole = border->ring_length[ring];
    if (wall->closed)
        return stretch_add(list, ring, 0, whole);
    double from = border->station[wall->segment] + wall->from;
    double to = from + nw_wall_length(border, wall);
    if (to <= whole)
        return stretch_add(list, ring, from, to);
    return stretch_add(list, ring, from, whole) && stretch_add(list, ring, 0, to - whole);
}

static bool component_add(nw_lane *lane, uint32_t c)
{
    const nw_rolled *rolled = &lane->rolled;
    const nw_component *component = &rolled->components[c];
    for (size_t k = component->wall_first; k < component->wall_last; k++)
        if (!wall_add(&lane->missed, &rolled->border, &rolled->walls.walls[rolled->wall_order[k]]))
            return false;
    return true;
}

int nw_stretch_order(const void *left, const void *right)
{
    const nw_stretch *a = left, *b = right;
    return a->ring != b->ring ? nw_order(a->ring, b->ring) : nw_order(a->from, b->from);
}

nw_status nw_lane_make(const nw_border *border, const nw_fit_options *options, nw_lane *lane,
                       nw_error *error)
{
    *lane = (nw_lane){0};
    nw_finds finds = {0};
    nw_status status = nw_rolled_make(border, options->bit, options, &lane->rolled, error);
    if (status == NW_OK)
        status = nw_spots_find(&lane->rolled, NW_GAP, options, &finds, error);
    bool good = true;
    for (size_t k = 0; status == NW_OK && k < finds.spot_count; k++)
        good = good && component_add(lane, finds.spots[k].component);
    for (size_t k = 0; status == NW_OK && k < finds.corner_count; k++)
        good = good && component_add(lane, finds.corners[k].component);
    for (size_t c = 0; status == NW_OK && c < lane->rolled.component_count; c++)
        lane->area += lane->rolled.components[c].area;
    nw_sort(lane->missed.items, lane->missed.count, sizeof *lane->missed.items, nw_stretch_order);
    lane->fits = finds.spot_count == 0 && lane->rolled.walls.unpaired == 0;
    nw_finds_free(&finds);
    if (status == NW_OK && !good)
        status = nw_fail_memory(error, "the stretches that a bit misses");
    if (status != NW_OK)
        nw_lane_free(lane);
    return status;
}

void nw_lane_free(nw_lane *lane)
{
    free(lane->missed.items);
    nw_rolled_free(&lane->rolled);
    *lane = (nw_lane){0};
}
