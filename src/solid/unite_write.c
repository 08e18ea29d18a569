/*
 * unite_write: polygons -> a drawing's paths: curves restored, ink to the left, a piece for each
 * polygon, the largest first.
 */
#include <solid/unite_geos.h>

#include <math.h>
#include <stdlib.h>

/* A ring thinner than the flatness on average is an artefact of two chords for one curve. */
static bool ring_is_sliver(const uniter *u, const nw_point *points, size_t count)
{
    double twice = 0, length = 0;
    for (size_t i = 0; i < count; i++) {
        nw_point p = points[i], q = points[i + 1 < count ? i + 1 : 0], o = points[0];
        twice += (p.x - o.x) * (q.y - o.y) - (p.y - o.y) * (q.x - o.x);
        length += hypot(q.x - p.x, q.y - p.y);
    }
    return fabs(twice) < u->chords.flatness * length;
}

/* One ring of a polygon -> a path of the drawing; *added is false for a sliver. */
static nw_status ring_write(uniter *u, const GEOSGeometry *ring, bool hole, size_t piece,
                            nw_drawing *drawing, bool *added)
{
    *added = false;
    const GEOSCoordSequence *places = GEOSGeom_getCoordSeq_r(u->geos, ring);
    unsigned count = 0;
    if (!places || !GEOSCoordSeq_getSize_r(u->geos, places, &count) || count < 4) {
        return NW_OK;
    }
    count--; /* the first is repeated */
    nw_point *points = nw_alloc(count, sizeof *points);
    if (!points) {
        return nw_fail_memory(u->error, "the outlines");
    }
    for (unsigned i = 0; i < count; i++) {
        GEOSCoordSeq_getXY_r(u->geos, places, i, &points[i].x, &points[i].y);
    }
    nw_path path = {0};
    nw_status status = NW_OK;
    if (!ring_is_sliver(u, points, count)) {
        status = nw_chords_restore(&u->chords, points, count, &path, u->error);
        if (!status && (nw_path_area(&path) < 0) != hole) {
            nw_path_reverse(&path);
        }
        path.hole = hole;
        path.piece = piece;
        *added = !status && nw_drawing_add(drawing, &path);
        status = status || *added ? status : nw_fail_memory(u->error, "the outlines");
    }
    nw_path_free(&path);
    free(points);
    return status;
}

static nw_status polygon_write(uniter *u, const GEOSGeometry *polygon, size_t *piece,
                               nw_drawing *drawing)
{
    bool added;
    const GEOSGeometry *shell = GEOSGetExteriorRing_r(u->geos, polygon);
    nw_status status = ring_write(u, shell, false, *piece, drawing, &added);
    if (status || !added) {
        return status;
    }
    int holes = GEOSGetNumInteriorRings_r(u->geos, polygon);
    for (int i = 0; i < holes && !status; i++) {
        status = ring_write(u, GEOSGetInteriorRingN_r(u->geos, polygon, i), true, *piece, drawing,
                            &added);
    }
    (*piece)++;
    return status;
}

typedef struct {
    const GEOSGeometry *polygon;
    double area;
    int number; /* as GEOS gave it */
} sized_polygon;

static int compare_polygons(const void *a, const void *b)
{
    const sized_polygon *p = a, *q = b;
    if (p->area != q->area) {
        return p->area > q->area ? -1 : 1;
    }
    return p->number - q->number;
}

nw_status nw_polygons_write(uniter *u, const GEOSGeometry *area, nw_drawing *drawing)
{
    int count = GEOSGetNumGeometries_r(u->geos, area), found = 0;
    sized_polygon *polygons = nw_alloc((size_t)(count > 0 ? count : 0), sizeof *polygons);
    nw_status status =
        polygons ? nw_chords_index(&u->chords, u->error) : nw_fail_memory(u->error, "the outlines");
    for (int i = 0; i < count && !status; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(u->geos, area, i);
        if (GEOSGeomTypeId_r(u->geos, part) == GEOS_POLYGON && !GEOSisEmpty_r(u->geos, part)) {
            polygons[found] = (sized_polygon){part, 0, i};
            GEOSArea_r(u->geos, part, &polygons[found++].area);
        }
    }
    if (!status && found) {
        qsort(polygons, (size_t)found, sizeof *polygons, compare_polygons);
    }
    size_t piece = 0;
    for (int i = 0; i < found && !status; i++) {
        status = polygon_write(u, polygons[i].polygon, &piece, drawing);
    }
    free(polygons);
    return status;
}
