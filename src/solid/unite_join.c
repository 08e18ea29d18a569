/*
 * unite_join: many polygons -> their union. Those that meet, found by a tree of boxes, form groups;
 * only a group of several goes through the union, whose cost would else grow with all of them at
 * every level of its cascade.
 */
#include <solid/unite_geos.h>

#include <stdlib.h>

/* Groups as a forest: each polygon points to another of its group, a root to itself (Tarjan, J. ACM
 * 22(2):215-225, 1975). */
typedef struct {
    uniter *u;
    const geometries *list;
    size_t *parent;
    const size_t *numbers;
    size_t at; /* the polygon whose partners are looked for */
    const GEOSPreparedGeometry *prepared;
} grouping;

static size_t root_of(size_t *parent, size_t i)
{
    while (parent[i] != i) {
        parent[i] = parent[parent[i]];
        i = parent[i];
    }
    return i;
}

static void partner_found(void *item, void *context)
{
    grouping *g = context;
    size_t other = *(const size_t *)item;
    if (other <= g->at) {
        return;
    }
    size_t a = root_of(g->parent, g->at), b = root_of(g->parent, other);
    if (a == b) {
        return;
    }
    if (!g->prepared) {
        g->prepared = GEOSPrepare_r(g->u->geos, g->list->items[g->at]);
    }
    /* A failure here only makes the group larger than it need be. */
    if (!g->prepared ||
        GEOSPreparedIntersects_r(g->u->geos, g->prepared, g->list->items[other]) != 0) {
        g->parent[a > b ? a : b] = a > b ? b : a;
    }
}

/* Fills parent with the groups; false when memory runs out. */
static bool groups_find(uniter *u, const geometries *list, size_t *parent, size_t *numbers)
{
    GEOSSTRtree *tree = GEOSSTRtree_create_r(u->geos, 10);
    for (size_t i = 0; tree && i < list->count; i++) {
        parent[i] = numbers[i] = i;
        if (!GEOSisEmpty_r(u->geos, list->items[i])) {
            GEOSSTRtree_insert_r(u->geos, tree, list->items[i], &numbers[i]);
        }
    }
    for (size_t i = 0; tree && i < list->count; i++) {
        grouping g = {.u = u, .list = list, .parent = parent, .numbers = numbers, .at = i};
        GEOSSTRtree_query_r(u->geos, tree, list->items[i], partner_found, &g);
        GEOSPreparedGeom_destroy_r(u->geos, g.prepared);
    }
    GEOSSTRtree_destroy_r(u->geos, tree);
    return tree;
}

/* Copies of all polygons in area, which may be a collection. */
static nw_status polygons_add(uniter *u, geometries *polygons, const GEOSGeometry *area)
{
    nw_status status = NW_OK;
    int count = GEOSGetNumGeometries_r(u->geos, area);
    for (int i = 0; i < count && !status; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(u->geos, area, i);
        if (GEOSGeomTypeId_r(u->geos, part) == GEOS_POLYGON && !GEOSisEmpty_r(u->geos, part)) {
            status = nw_geometries_add(u, polygons, GEOSGeom_clone_r(u->geos, part));
        }
    }
    return status;
}

/* The union of one group, whose members follow one another in next, added as polygons. */
static nw_status group_join(uniter *u, geometries *list, const size_t *next, size_t first,
                            geometries *polygons)
{
    if (next[first] == first) {
        return polygons_add(u, polygons, list->items[first]);
    }
    geometries members = {0};
    nw_status status = NW_OK;
    for (size_t i = first, last = SIZE_MAX; i != last && !status; last = i, i = next[i]) {
        status = nw_geometries_add(u, &members, GEOSGeom_clone_r(u->geos, list->items[i]));
    }
    if (status) {
        nw_geometries_free(u, &members);
        return status;
    }
    GEOSGeometry *all = nw_geometries_collect(u, &members);
    GEOSGeometry *united = all ? GEOSUnaryUnion_r(u->geos, all) : NULL;
    GEOSGeom_destroy_r(u->geos, all);
    status = united ? polygons_add(u, polygons, united) : nw_geos_failed(u);
    GEOSGeom_destroy_r(u->geos, united);
    return status;
}

static nw_status groups_join(uniter *u, geometries *list, size_t *parent, size_t *next,
                             geometries *polygons)
{
    size_t *tail = nw_alloc(list->count, sizeof *tail);
    if (!tail) {
        return nw_fail_memory(u->error, "uniting the shapes");
    }
    /* A root comes before its members: the smaller number always becomes the root. */
    for (size_t i = 0; i < list->count; i++) {
        size_t root = root_of(parent, i);
        next[i] = tail[i] = i;
        next[tail[root]] = i;
        tail[root] = i;
    }
    free(tail);
    nw_status status = NW_OK;
    for (size_t i = 0; i < list->count && !status; i++) {
        if (parent[i] == i) {
            status = group_join(u, list, next, i, polygons);
        }
    }
    return status;
}

GEOSGeometry *nw_geometries_join(uniter *u, geometries *list)
{
    size_t *parent = nw_alloc(list->count, sizeof *parent);
    size_t *next = nw_alloc(list->count, sizeof *next);
    geometries polygons = {0};
    bool joined = parent && next && groups_find(u, list, parent, next) &&
                  groups_join(u, list, parent, next, &polygons) == NW_OK;
    free(parent);
    free(next);
    nw_geometries_free(u, list);
    if (!joined) {
        nw_geometries_free(u, &polygons);
        return NULL;
    }
    GEOSGeometry *all = GEOSGeom_createCollection_r(u->geos, GEOS_MULTIPOLYGON, polygons.items,
                                                    (unsigned)polygons.count);
    free(polygons.items);
    return all;
}
