/*
 * unite_fill: a shape's outlines and fill rule -> its area as polygons; clips -> theirs.
 *
 * A single outline that crosses nothing is a polygon as it is. All others are noded, cut into the
 * faces between their lines, and a face is kept by how often the outlines go round it.
 */
#include <solid/unite_geos.h>

#include <stdlib.h>

/* The rings of one shape as places on the grid. */
static nw_status rings_make(uniter *u, const nw_drawing *outline, nw_region *rings)
{
    nw_region_builder builder = {0};
    nw_status status = NW_OK;
    bool grown = true;
    for (size_t p = 0; p < outline->count && !status && grown; p++) {
        size_t first, count;
        status = nw_chords_add(&u->chords, &outline->paths[p], &first, &count, u->error);
        grown = !status && nw_region_begin_ring(&builder, 0);
        for (size_t s = first; grown && s < first + count; s++) {
            const chord_step *step = &u->chords.steps[s];
            for (size_t i = 0; grown && i < step->count; i++) {
                grown = nw_region_add_point(&builder, u->chords.vertices[step->first + i]);
            }
        }
        if (grown) {
            nw_region_end_ring(&builder);
        }
    }
    *rings = builder.region;
    if (status || !grown) {
        nw_region_free(rings);
    }
    return status || grown ? status : nw_fail_memory(u->error, "the outlines");
}

static GEOSGeometry *ring_geometry(uniter *u, const nw_region *rings, size_t ring)
{
    size_t start = rings->starts[ring], count = rings->starts[ring + 1] - start;
    GEOSCoordSequence *places = GEOSCoordSeq_create_r(u->geos, (unsigned)count + 1, 2);
    if (!places) {
        return NULL;
    }
    for (size_t i = 0; i <= count; i++) {
        nw_point p = rings->points[start + (i < count ? i : 0)];
        GEOSCoordSeq_setXY_r(u->geos, places, (unsigned)i, p.x, p.y);
    }
    return GEOSGeom_createLinearRing_r(u->geos, places);
}

static nw_point coordinate(uniter *u, const GEOSGeometry *point)
{
    nw_point place = {0, 0};
    GEOSGeomGetX_r(u->geos, point, &place.x);
    GEOSGeomGetY_r(u->geos, point, &place.y);
    return place;
}

/* The faces of a noded outline that the fill rule keeps. */
static nw_status faces_keep(uniter *u, const GEOSGeometry *faces, const winding_index *index,
                            bool even_odd, geometries *kept)
{
    int count = GEOSGetNumGeometries_r(u->geos, faces);
    for (int i = 0; i < count; i++) {
        const GEOSGeometry *face = GEOSGetGeometryN_r(u->geos, faces, i);
        GEOSGeometry *inner = GEOSPointOnSurface_r(u->geos, face);
        if (!inner) {
            return nw_geos_failed(u);
        }
        bool empty = GEOSisEmpty_r(u->geos, inner);
        int winding = empty ? 0 : nw_winding_at(index, coordinate(u, inner));
        GEOSGeom_destroy_r(u->geos, inner);
        if (even_odd ? winding % 2 != 0 : winding != 0) {
            nw_status status = nw_geometries_add(u, kept, GEOSGeom_clone_r(u->geos, face));
            if (status) {
                return status;
            }
        }
    }
    return NW_OK;
}

/* The faces that the rings cut the plane into. */
static nw_status faces_find(uniter *u, const nw_region *rings, GEOSGeometry **faces)
{
    *faces = NULL;
    geometries lines = {0};
    nw_status status = NW_OK;
    for (size_t r = 0; r < rings->count && !status; r++) {
        status = nw_geometries_add(u, &lines, ring_geometry(u, rings, r));
    }
    if (status) {
        nw_geometries_free(u, &lines);
        return status;
    }
    GEOSGeometry *all = nw_geometries_collect(u, &lines);
    GEOSGeometry *noded = all ? GEOSUnaryUnion_r(u->geos, all) : NULL;
    GEOSGeom_destroy_r(u->geos, all);
    const GEOSGeometry *edges = noded;
    *faces = noded ? GEOSPolygonize_r(u->geos, &edges, 1) : NULL;
    GEOSGeom_destroy_r(u->geos, noded);
    return *faces ? NW_OK : nw_geos_failed(u);
}

static nw_status rings_fill(uniter *u, const nw_region *rings, bool even_odd, GEOSGeometry **filled)
{
    winding_index index;
    nw_status status =
        nw_winding_index_make(rings->points, rings->starts, rings->count, &index, u->error);
    if (status) {
        return status;
    }
    GEOSGeometry *faces;
    geometries kept = {0};
    status = faces_find(u, rings, &faces);
    status = status ? status : faces_keep(u, faces, &index, even_odd, &kept);
    GEOSGeom_destroy_r(u->geos, faces);
    nw_winding_index_free(&index);
    if (status) {
        nw_geometries_free(u, &kept);
        return status;
    }
    *filled = nw_geometries_join(u, &kept);
    return *filled ? NW_OK : nw_geos_failed(u);
}

/* One ring that crosses nothing, itself included: both fill rules give its inside. *filled stays
 * NULL when it is not so. */
static nw_status ring_fill(uniter *u, const nw_region *rings, GEOSGeometry **filled)
{
    GEOSGeometry *ring = ring_geometry(u, rings, 0);
    GEOSGeometry *polygon = ring ? GEOSGeom_createPolygon_r(u->geos, ring, NULL, 0) : NULL;
    if (!polygon) {
        return nw_geos_failed(u);
    }
    if (GEOSisValid_r(u->geos, polygon) == 1) {
        *filled = polygon;
    } else {
        GEOSGeom_destroy_r(u->geos, polygon);
    }
    return NW_OK;
}

/* The shape's own area, without clips; may be empty. */
nw_status nw_shape_fill(uniter *u, const nw_paint_shape *shape, GEOSGeometry **filled)
{
    *filled = NULL;
    nw_region rings;
    nw_status status = rings_make(u, &shape->outline, &rings);
    if (status) {
        return status;
    }
    if (rings.count == 0) {
        *filled = GEOSGeom_createEmptyPolygon_r(u->geos);
        status = *filled ? NW_OK : nw_geos_failed(u);
    }
    if (rings.count == 1) {
        status = ring_fill(u, &rings, filled);
    }
    if (!status && !*filled) {
        status = rings_fill(u, &rings, shape->even_odd, filled);
    }
    nw_region_free(&rings);
    return status;
}

/* ---- clips --------------------------------------------------------------------------------- */

/* Cuts *area by the clip (as paint_shape.clip). */
nw_status nw_clip_apply(uniter *u, size_t clip, GEOSGeometry **area)
{
    if (!clip || GEOSisEmpty_r(u->geos, *area) ||
        GEOSCovers_r(u->geos, u->clips[clip - 1], *area) == 1) {
        return NW_OK;
    }
    GEOSGeometry *cut = GEOSIntersection_r(u->geos, *area, u->clips[clip - 1]);
    GEOSGeom_destroy_r(u->geos, *area);
    *area = cut;
    return cut ? NW_OK : nw_geos_failed(u);
}

static nw_status clip_fill(uniter *u, const nw_paint_clip *clip, GEOSGeometry **area)
{
    geometries parts = {0};
    nw_status status = NW_OK;
    for (size_t i = 0; i < clip->shapes.count && !status; i++) {
        GEOSGeometry *filled;
        status = nw_shape_fill(u, &clip->shapes.items[i], &filled);
        status = status ? status : nw_clip_apply(u, clip->shapes.items[i].clip, &filled);
        status = status ? status : nw_geometries_add(u, &parts, filled);
    }
    if (status) {
        nw_geometries_free(u, &parts);
        return status;
    }
    *area = nw_geometries_join(u, &parts);
    return *area ? nw_clip_apply(u, clip->parent, area) : nw_geos_failed(u);
}

nw_status nw_clips_fill(uniter *u)
{
    u->clips = nw_alloc(u->all->clip_count, sizeof *u->clips);
    if (!u->clips) {
        return nw_fail_memory(u->error, "the clips");
    }
    nw_status status = NW_OK;
    for (size_t i = 0; i < u->all->clip_count && !status; i++) {
        status = clip_fill(u, &u->all->clips[i], &u->clips[i]);
    }
    return status;
}
