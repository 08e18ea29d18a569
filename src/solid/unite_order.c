/*
 * unite_order: shapes in paint order -> what stays of each ink shape. Only paper that is painted
 * later and meets the shape is taken away from it, found by a tree of boxes.
 */
#include <solid/unite_geos.h>

#include <stdlib.h>

static nw_status painted_fill(uniter *u, const nw_paint_shape *shape, GEOSGeometry **area)
{
    nw_status status = nw_shape_fill(u, shape, area);
    return status ? status : nw_clip_apply(u, shape->clip, area);
}

/* Paper shapes, found by their boxes. */
typedef struct {
    GEOSSTRtree *tree;
    geometries areas;
    size_t *order; /* place in the paint order */
} paper_list;

static void paper_free(uniter *u, paper_list *paper)
{
    GEOSSTRtree_destroy_r(u->geos, paper->tree);
    nw_geometries_free(u, &paper->areas);
    free(paper->order);
}

static nw_status paper_collect(uniter *u, paper_list *paper)
{
    const nw_paint_shapes *shapes = &u->all->shapes;
    paper->tree = GEOSSTRtree_create_r(u->geos, 10);
    paper->order = nw_alloc(shapes->count, sizeof *paper->order);
    if (!paper->tree || !paper->order) {
        return nw_fail_memory(u->error, "the shapes");
    }
    for (size_t i = 0; i < shapes->count; i++) {
        if (shapes->items[i].paint != PAINT_PAPER) {
            continue;
        }
        GEOSGeometry *area;
        nw_status status = painted_fill(u, &shapes->items[i], &area);
        if (status) {
            return status;
        }
        size_t index = paper->areas.count;
        if ((status = nw_geometries_add(u, &paper->areas, area))) {
            return status;
        }
        paper->order[index] = i;
        if (!GEOSisEmpty_r(u->geos, area)) {
            GEOSSTRtree_insert_r(u->geos, paper->tree, area, &paper->order[index]);
        }
    }
    return NW_OK;
}

/* What a search for later paper gathers. */
typedef struct {
    uniter *u;
    const paper_list *paper;
    const GEOSGeometry *ink;
    size_t after;
    geometries found;
    nw_status status;
} paper_search;

static void paper_found(void *item, void *context)
{
    paper_search *search = context;
    const size_t *order = item;
    if (search->status || *order <= search->after) {
        return;
    }
    const GEOSGeometry *area = search->paper->areas.items[order - search->paper->order];
    if (GEOSIntersects_r(search->u->geos, search->ink, area) == 1) {
        search->status =
            nw_geometries_add(search->u, &search->found, GEOSGeom_clone_r(search->u->geos, area));
    }
}

/* Takes the paper that is painted later away from *ink, shape number `order`. */
static nw_status paper_subtract(uniter *u, const paper_list *paper, size_t order,
                                GEOSGeometry **ink)
{
    if (GEOSisEmpty_r(u->geos, *ink) || !paper->areas.count) {
        return NW_OK;
    }
    paper_search search = {.u = u, .paper = paper, .ink = *ink, .after = order};
    GEOSSTRtree_query_r(u->geos, paper->tree, *ink, paper_found, &search);
    if (search.status || !search.found.count) {
        nw_geometries_free(u, &search.found);
        return search.status;
    }
    GEOSGeometry *all = nw_geometries_join(u, &search.found);
    GEOSGeometry *left = all ? GEOSDifference_r(u->geos, *ink, all) : NULL;
    GEOSGeom_destroy_r(u->geos, all);
    GEOSGeom_destroy_r(u->geos, *ink);
    *ink = left;
    return left ? NW_OK : nw_geos_failed(u);
}

nw_status nw_ink_collect(uniter *u, geometries *ink, size_t *clipped_away)
{
    const nw_paint_shapes *shapes = &u->all->shapes;
    paper_list paper = {0};
    nw_status status = paper_collect(u, &paper);
    for (size_t i = 0; i < shapes->count && !status; i++) {
        if (shapes->items[i].paint != PAINT_INK) {
            continue;
        }
        GEOSGeometry *area;
        status = nw_shape_fill(u, &shapes->items[i], &area);
        bool had = !status && !GEOSisEmpty_r(u->geos, area);
        status = status ? status : nw_clip_apply(u, shapes->items[i].clip, &area);
        *clipped_away += had && !status && GEOSisEmpty_r(u->geos, area);
        status = status ? status : paper_subtract(u, &paper, i, &area);
        status = status ? status : nw_geometries_add(u, ink, area);
    }
    paper_free(u, &paper);
    return status;
}
