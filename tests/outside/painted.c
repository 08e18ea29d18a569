/* painted: see painted.h. */
#include "painted.h"

#include <math.h>
#include <stdlib.h>

/* ---- shapes ---------------------------------------------------------------------------------- */

typedef struct {
    nw_point *points;
    size_t count, capacity;
} ring;

static void ring_add(ring *r, nw_point p)
{
    void *points = r->points;
    if (!nw_grow(&points, &r->capacity, r->count + 1, sizeof p))
        abort();
    r->points = points;
    r->points[r->count++] = p;
}

/* The first point again at the end. */
static ring ring_of(const nw_path *path, double flatness)
{
    ring r = {0};
    nw_point from = path->start;
    ring_add(&r, from);
    for (size_t i = 0; i < path->count; from = path->steps[i++].to) {
        const nw_step *s = &path->steps[i];
        double bend = fmax(hypot(from.x - 2 * s->a.x + s->b.x, from.y - 2 * s->a.y + s->b.y),
                           hypot(s->a.x - 2 * s->b.x + s->to.x, s->a.y - 2 * s->b.y + s->to.y));
        int cuts = s->kind == NW_CURVE ? (int)fmax(ceil(sqrt(0.75 * bend / flatness)), 1) : 1;
        for (int k = 1; k < cuts; k++)
            ring_add(&r, nw_step_at(from, s, (double)k / cuts));
        ring_add(&r, s->to);
    }
    if (from.x != path->start.x || from.y != path->start.y)
        ring_add(&r, path->start);
    return r;
}

static GEOSCoordSequence *sequence_of(const ring *r)
{
    GEOSCoordSequence *sequence = GEOSCoordSeq_create((unsigned)r->count, 2);
    for (size_t i = 0; i < r->count; i++)
        GEOSCoordSeq_setXY(sequence, (unsigned)i, r->points[i].x, r->points[i].y);
    return sequence;
}

static int winding_at(const ring *rings, size_t count, nw_point at)
{
    int winding = 0;
    for (size_t k = 0; k < count; k++) {
        for (size_t i = 1; i < rings[k].count; i++) {
            nw_point p = rings[k].points[i - 1], q = rings[k].points[i];
            if ((p.y <= at.y) != (q.y <= at.y)) {
                double side = (q.x - p.x) * (at.y - p.y) - (at.x - p.x) * (q.y - p.y);
                winding += p.y <= at.y ? side > 0 : -(side < 0);
            }
        }
    }
    return winding;
}

/* NULL, as everywhere here, where GEOS failed. */
static GEOSGeometry *united(GEOSGeometry **items, size_t count)
{
    size_t good = 0;
    for (size_t i = 0; i < count; i++)
        if (items[i])
            items[good++] = items[i];
    GEOSGeometry *all = GEOSGeom_createCollection(GEOS_GEOMETRYCOLLECTION, items, (unsigned)good);
    GEOSGeometry *one = good == count ? GEOSUnaryUnion(all) : NULL;
    GEOSGeom_destroy(all);
    free(items);
    return one;
}

static GEOSGeometry *faces_of(const ring *rings, size_t count)
{
    GEOSGeometry **lines = calloc(count + 1, sizeof *lines);
    size_t used = 0;
    for (size_t i = 0; i < count; i++)
        if (rings[i].count > 2)
            lines[used++] = GEOSGeom_createLineString(sequence_of(&rings[i]));
    GEOSGeometry *noded = united(lines, used);
    const GEOSGeometry *edges = noded;
    GEOSGeometry *faces = noded ? GEOSPolygonize(&edges, 1) : NULL;
    GEOSGeom_destroy(noded);
    return faces;
}

static GEOSGeometry *shape_area(const nw_paint_shape *shape, double flatness)
{
    size_t count = shape->outline.count, used = 0;
    ring *rings = calloc(count + 1, sizeof *rings);
    for (size_t i = 0; i < count; i++)
        rings[i] = ring_of(&shape->outline.paths[i], flatness);
    GEOSGeometry *faces = faces_of(rings, count);
    int face_count = faces ? GEOSGetNumGeometries(faces) : 0;
    GEOSGeometry **kept = calloc((size_t)face_count + 1, sizeof *kept);
    for (int i = 0; i < face_count; i++) {
        GEOSGeometry *inner = GEOSPointOnSurface(GEOSGetGeometryN(faces, i));
        nw_point at;
        if (GEOSGeomGetX(inner, &at.x) == 1 && GEOSGeomGetY(inner, &at.y) == 1) {
            int winding = winding_at(rings, count, at);
            if (shape->even_odd ? winding % 2 != 0 : winding != 0)
                kept[used++] = GEOSGeom_clone(GEOSGetGeometryN(faces, i));
        }
        GEOSGeom_destroy(inner);
    }
    for (size_t i = 0; i < count; i++)
        free(rings[i].points);
    free(rings);
    GEOSGeometry *area = united(kept, used);
    if (!faces) {
        GEOSGeom_destroy(area);
        area = NULL;
    }
    GEOSGeom_destroy(faces);
    return area;
}

/* ---- clips and order ------------------------------------------------------------------------- */

/* a becomes a & b or a - b; b stays. */
static void combine(GEOSGeometry **a, const GEOSGeometry *b, bool common)
{
    GEOSGeometry *both = !*a || !b ? NULL
                         : common  ? GEOSIntersection(*a, b)
                                   : GEOSDifference(*a, b);
    GEOSGeom_destroy(*a);
    *a = both;
}

static GEOSGeometry *clipped(const nw_paint_shape *shape, double flatness, GEOSGeometry **clips)
{
    GEOSGeometry *area = shape_area(shape, flatness);
    if (shape->clip)
        combine(&area, clips[shape->clip - 1], true);
    return area;
}

static GEOSGeometry *clip_area(const nw_paint_clip *clip, double flatness, GEOSGeometry **clips)
{
    GEOSGeometry **parts = calloc(clip->shapes.count + 1, sizeof *parts);
    for (size_t i = 0; i < clip->shapes.count; i++)
        parts[i] = clipped(&clip->shapes.items[i], flatness, clips);
    GEOSGeometry *area = united(parts, clip->shapes.count);
    if (clip->parent)
        combine(&area, clips[clip->parent - 1], true);
    return area;
}

/* From the top down: ink shows where no paper above it has been met. */
GEOSGeometry *painted_area(const nw_painting *all, double flatness)
{
    GEOSGeometry **clips = calloc(all->clip_count + 1, sizeof *clips);
    GEOSGeometry **ink = calloc(all->shapes.count + 1, sizeof *ink);
    GEOSGeometry *paper = GEOSGeom_createEmptyPolygon();
    size_t count = 0;
    for (size_t i = 0; i < all->clip_count; i++)
        clips[i] = clip_area(&all->clips[i], flatness, clips);
    for (size_t i = all->shapes.count; i-- > 0;) {
        GEOSGeometry *area = clipped(&all->shapes.items[i], flatness, clips);
        if (all->shapes.items[i].paint == PAINT_INK) {
            combine(&area, paper, false);
            ink[count++] = area;
        } else {
            GEOSGeometry *more = paper && area ? GEOSUnion(paper, area) : NULL;
            GEOSGeom_destroy(paper);
            GEOSGeom_destroy(area);
            paper = more;
        }
    }
    for (size_t i = 0; i < all->clip_count; i++)
        GEOSGeom_destroy(clips[i]);
    free(clips);
    GEOSGeom_destroy(paper);
    return united(ink, count);
}

static bool covers(const nw_paint_shape *shape, const nw_painting *all, nw_point at)
{
    int winding = 0;
    for (size_t i = 0; i < shape->outline.count; i++) {
        ring r = ring_of(&shape->outline.paths[i], 0.001);
        winding += winding_at(&r, 1, at);
        free(r.points);
    }
    bool open = shape->even_odd ? winding % 2 != 0 : winding != 0;
    for (size_t clip = shape->clip; clip && open; clip = all->clips[clip - 1].parent) {
        const nw_paint_shapes *own = &all->clips[clip - 1].shapes;
        open = false;
        for (size_t i = 0; i < own->count && !open; i++)
            open = covers(&own->items[i], all, at);
    }
    return open;
}

bool painted_at(const nw_painting *all, nw_point at)
{
    for (size_t i = all->shapes.count; i-- > 0;)
        if (covers(&all->shapes.items[i], all, at))
            return all->shapes.items[i].paint == PAINT_INK;
    return false;
}

/* ---- drawings -------------------------------------------------------------------------------- */

GEOSGeometry *painted_drawing(const nw_drawing *drawing, bool *valid)
{
    GEOSGeometry **pieces = calloc(drawing->count + 1, sizeof *pieces);
    GEOSGeometry **rings = calloc(drawing->count + 1, sizeof *rings);
    unsigned count = 0;
    for (size_t i = 0, end; i < drawing->count; i = end) {
        for (end = i; end < drawing->count && drawing->paths[end].piece == drawing->paths[i].piece;
             end++) {
            ring r = ring_of(&drawing->paths[end], 1);
            rings[end - i] = GEOSGeom_createLinearRing(sequence_of(&r));
            free(r.points);
        }
        pieces[count++] = GEOSGeom_createPolygon(rings[0], rings + 1, (unsigned)(end - i - 1));
    }
    GEOSGeometry *area = GEOSGeom_createCollection(GEOS_MULTIPOLYGON, pieces, count);
    free(pieces);
    free(rings);
    *valid = GEOSisValid(area) == 1;
    if (!*valid) {
        GEOSGeometry *mended = GEOSUnaryUnion(area);
        GEOSGeom_destroy(area);
        area = mended;
    }
    return area;
}
