/*
 * second: GEOS's opening as a second opinion, see second.h.
 *
 * Care that it needs (tried out): its erosion keeps inverted pieces, which have points nearer than
 * r to the boundary; its arcs are chords, so the opening is too small by up to r (1 - cos(pi / (4
 * quad_segs))) along curved walls, and the residue is cut back from it by an eps above that.
 */
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#define QUAD_SEGS 64

static void quiet(const char *format, ...)
{
    (void)format;
}

void second_start(void)
{
    initGEOS(quiet, quiet);
}

static GEOSGeometry *ring_of(const nw_region *region, size_t k)
{
    size_t first = region->starts[k], count = region->starts[k + 1] - first;
    GEOSCoordSequence *points = GEOSCoordSeq_create((unsigned)count + 1, 2);
    for (size_t i = 0; i <= count; i++) {
        nw_point p = region->points[first + i % count];
        GEOSCoordSeq_setXY(points, (unsigned)i, p.x, p.y);
    }
    return GEOSGeom_createLinearRing(points);
}

/* Rings that touch themselves in a point are no valid polygons to GEOS; it mends them. */
static GEOSGeometry *mended(GEOSGeometry *area)
{
    if (GEOSisValid(area) == 1)
        return area;
    GEOSGeometry *valid = GEOSMakeValid(area);
    GEOSGeom_destroy(area);
    return valid;
}

GEOSGeometry *second_area(const nw_region *region)
{
    GEOSGeometry **polygons = calloc(region->count + 1, sizeof *polygons);
    GEOSGeometry **holes = calloc(region->count + 1, sizeof *holes);
    unsigned count = 0;
    for (size_t k = 0; k < region->count;) {
        unsigned hole_count = 0;
        size_t next = k + 1;
        for (; next < region->count && shape_is_hole(region, next); next++)
            holes[hole_count++] = ring_of(region, next);
        polygons[count++] = GEOSGeom_createPolygon(ring_of(region, k), holes, hole_count);
        k = next;
    }
    GEOSGeometry *area = GEOSGeom_createCollection(GEOS_MULTIPOLYGON, polygons, count);
    free(polygons);
    free(holes);
    return mended(area);
}

/* A ring's points, the first not repeated. */
static nw_point *ring_points(const GEOSGeometry *ring, size_t *count)
{
    const GEOSCoordSequence *from = GEOSGeom_getCoordSeq(ring);
    unsigned size = 0;
    GEOSCoordSeq_getSize(from, &size);
    nw_point *points = malloc((size + 1) * sizeof *points);
    for (unsigned i = 0; i < size; i++)
        GEOSCoordSeq_getXY(from, i, &points[i].x, &points[i].y);
    *count = size - 1;
    return points;
}

static void add_ring(nw_region *region, const GEOSGeometry *ring, bool hole, size_t piece)
{
    size_t size, count = 0;
    nw_point *points = ring_points(ring, &size);
    for (size_t i = 0; i < size; i++) {
        nw_point p = points[i];
        if (count == 0 || hypot(p.x - points[count - 1].x, p.y - points[count - 1].y) > 1e-6)
            points[count++] = p;
    }
    if (count > 2)
        shape_ring(region, points, count, hole, piece);
    free(points);
}

nw_region second_region(const GEOSGeometry *area)
{
    nw_region region = {0};
    int count = GEOSGetNumGeometries(area);
    for (int i = 0; i < count; i++) {
        const GEOSGeometry *polygon = GEOSGetGeometryN(area, i);
        if (GEOSGeomTypeId(polygon) != GEOS_POLYGON || GEOSisEmpty(polygon))
            continue;
        add_ring(&region, GEOSGetExteriorRing(polygon), false, (size_t)i);
        for (int k = 0; k < GEOSGetNumInteriorRings(polygon); k++)
            add_ring(&region, GEOSGetInteriorRingN(polygon, k), true, (size_t)i);
    }
    return region;
}

GEOSGeometry *second_combined(GEOSGeometry *a, GEOSGeometry *b, char how)
{
    GEOSGeometry *c = how == '+'   ? GEOSUnion(a, b)
                      : how == '-' ? GEOSDifference(a, b)
                                   : GEOSIntersection(a, b);
    GEOSGeom_destroy(a);
    GEOSGeom_destroy(b);
    return c;
}

GEOSGeometry *second_rest(const nw_region *region, const GEOSGeometry *area, double margin)
{
    nw_box box = shape_box_of(region);
    GEOSGeometry *sheet = GEOSGeom_createRectangle(box.min.x - margin, box.min.y - margin,
                                                   box.max.x + margin, box.max.y + margin);
    GEOSGeometry *rest = GEOSDifference(sheet, area);
    GEOSGeom_destroy(sheet);
    return rest;
}

double second_distance(const GEOSPreparedGeometry *prepared, double x, double y)
{
    double distance = INFINITY;
    GEOSGeometry *point = GEOSGeom_createPointFromXY(x, y);
    GEOSPreparedDistance(prepared, point, &distance);
    GEOSGeom_destroy(point);
    return distance;
}

/* Whether a piece of the erosion is a true one: no sampled point nearer than r to the boundary. */
static bool upright(const GEOSGeometry *piece, const GEOSPreparedGeometry *boundary, double r)
{
    const GEOSCoordSequence *points = GEOSGeom_getCoordSeq(GEOSGetExteriorRing(piece));
    unsigned size = 0;
    GEOSCoordSeq_getSize(points, &size);
    unsigned step = size / 16 + 1;
    for (unsigned i = 0; i < size; i += step) {
        double x, y;
        GEOSCoordSeq_getXY(points, i, &x, &y);
        if (second_distance(boundary, x, y) <= r * (1 - 5e-4))
            return false;
    }
    return true;
}

GEOSGeometry *second_opening(const GEOSGeometry *area, double r, int quad_segs)
{
    GEOSGeometry *shrunk = GEOSBuffer(area, -r, quad_segs);
    GEOSGeometry *boundary = GEOSBoundary(area);
    const GEOSPreparedGeometry *prepared = GEOSPrepare(boundary);
    int count = GEOSGetNumGeometries(shrunk);
    GEOSGeometry **kept = calloc((size_t)count + 1, sizeof *kept);
    unsigned kept_count = 0;
    for (int i = 0; i < count; i++) {
        const GEOSGeometry *piece = GEOSGetGeometryN(shrunk, i);
        if (!GEOSisEmpty(piece) && upright(piece, prepared, r))
            kept[kept_count++] = GEOSGeom_clone(piece);
    }
    GEOSPreparedGeom_destroy(prepared);
    GEOSGeom_destroy(boundary);
    GEOSGeom_destroy(shrunk);
    GEOSGeometry *centres = GEOSGeom_createCollection(GEOS_MULTIPOLYGON, kept, kept_count);
    free(kept);
    GEOSGeometry *opened = GEOSBuffer(centres, r, quad_segs);
    GEOSGeom_destroy(centres);
    return opened;
}

/* ---- residues ------------------------------------------------------------------------------ */

typedef struct {
    double length; /* since the last break */
    bool touch;
    double angle; /* of the last segment */
    size_t first; /* where the stretch began */
} stretch;

typedef struct {
    nw_point from, between, to;
} arc_points;

#define KINK RAD(6) /* chords of the arcs turn by 1.4 degrees */

/* One more segment; true when it ends an arc that is longer than `least`. */
static bool stretch_step(stretch *s, nw_point p, nw_point q, size_t index, bool touch, double least)
{
    double angle = atan2(q.y - p.y, q.x - p.x), turn = fabs(remainder(angle - s->angle, 2 * PI));
    bool breaks = touch != s->touch || (touch && turn > KINK);
    bool counts = breaks && s->touch && s->length > least;
    s->length = (breaks ? 0 : s->length) + hypot(q.x - p.x, q.y - p.y);
    s->first = breaks ? index : s->first;
    s->touch = touch;
    s->angle = angle;
    return counts;
}

/* What a residue lies between. */
typedef struct {
    const GEOSPreparedGeometry *opened, *walls;
} sides;

#define ON_WALL_MM 1e-7

/* At eps from the opening, and not because the opening is near behind a thin wall. */
static bool is_contact(const sides *around, double x, double y, double eps)
{
    return second_distance(around->opened, x, y) <= eps * 1.02 &&
           second_distance(around->walls, x, y) > ON_WALL_MM;
}

/* The arcs of one ring whose points lie at eps from the opening: stretches of it, parted where
 * discs from two sides cross. Stretches shorter than 20 eps are noise of the chords and of thin
 * tips. Two rounds, so that counting starts at a break. The last arc's ends and a point between
 * come out too. */
static int ring_contacts(const GEOSGeometry *ring, const sides *around, double eps, arc_points *arc)
{
    size_t count;
    nw_point *p = ring_points(ring, &count);
    bool *touches = calloc(count + 1, sizeof *touches);
    stretch s = {0, false, 0, 0};
    int contacts = 0;
    for (size_t k = 0; k < 2 * count; k++) {
        size_t i = k % count, j = (i + 1) % count;
        if (k < count)
            touches[i] = is_contact(around, (p[i].x + p[j].x) / 2, (p[i].y + p[j].y) / 2, eps);
        size_t first = s.first;
        if (stretch_step(&s, p[i], p[j], k, touches[i], 20 * eps) && k >= count) {
            *arc = (arc_points){p[first % count], p[(first + k) / 2 % count], p[i]};
            contacts++;
        }
    }
    free(touches);
    free(p);
    return contacts;
}

static nw_box box_of(const GEOSGeometry *shape)
{
    nw_box box;
    GEOSGeom_getExtent(shape, &box.min.x, &box.min.y, &box.max.x, &box.max.y);
    return box;
}

/* The centre of the disc of radius r that made the arc: of the two that have r from both of its
 * ends the one that has r from the point between. */
static nw_point arc_centre(const arc_points *arc, double r)
{
    double dx = arc->to.x - arc->from.x, dy = arc->to.y - arc->from.y, chord = hypot(dx, dy);
    double height = sqrt(fmax(0, r * r - chord * chord / 4)), off = INFINITY;
    nw_point best = {0, 0};
    for (int side = -1; side <= 1; side += 2) {
        nw_point c = {(arc->from.x + arc->to.x) / 2 - side * height * dy / chord,
                      (arc->from.y + arc->to.y) / 2 + side * height * dx / chord};
        double wrong = fabs(hypot(arc->between.x - c.x, arc->between.y - c.y) - r);
        if (wrong < off) {
            off = wrong;
            best = c;
        }
    }
    return best;
}

/* How wide the residue is where it has this distance from the centre: from one side to the other,
 * whatever lies between. */
static double width_at(const GEOSGeometry *shape, nw_point centre, double distance)
{
    GEOSGeometry *point = GEOSGeom_createPointFromXY(centre.x, centre.y);
    GEOSGeometry *disc = GEOSBuffer(point, distance, QUAD_SEGS);
    GEOSGeometry *edge = GEOSBoundary(disc);
    GEOSGeometry *common = GEOSIntersection(edge, shape);
    double radius = 0;
    if (common) {
        GEOSGeom_destroy(GEOSMinimumBoundingCircle(common, &radius, NULL));
        GEOSGeom_destroy(common);
    }
    GEOSGeom_destroy(edge);
    GEOSGeom_destroy(disc);
    GEOSGeom_destroy(point);
    return 2 * radius;
}

/* Depth and taper as seen from the one disc that a stub touches. */
static void measure_stub(second_residue *stub, const arc_points *arc, double r)
{
    nw_point c = arc_centre(arc, r);
    size_t count;
    nw_point *p = ring_points(GEOSGetExteriorRing(stub->shape), &count);
    for (size_t i = 0; i < count; i++)
        stub->depth = fmax(stub->depth, hypot(p[i].x - c.x, p[i].y - c.y) - r);
    free(p);
    if (stub->depth > 0.4 * r) { /* else shallow, whatever its taper */
        double base = width_at(stub->shape, c, r + stub->depth / 4);
        stub->taper = base > 0 ? width_at(stub->shape, c, r + stub->depth * 3 / 4) / base : 0;
    }
}

static bool reaches(nw_box box, const nw_box *frame)
{
    double slack = 1e-6;
    return frame && (box.min.x < frame->min.x + slack || box.min.y < frame->min.y + slack ||
                     box.max.x > frame->max.x - slack || box.max.y > frame->max.y - slack);
}

static second_residue residue_of(const GEOSGeometry *shape, const sides *around, double d,
                                 double eps, const nw_box *frame)
{
    second_residue r = {.shape = GEOSGeom_clone(shape), .box = box_of(shape)};
    GEOSArea(shape, &r.area);
    GEOSLength(shape, &r.perimeter);
    r.framed = reaches(r.box, frame);
    if (r.framed)
        return r;
    arc_points arc;
    r.contacts = ring_contacts(GEOSGetExteriorRing(shape), around, eps, &arc);
    for (int k = 0; k < GEOSGetNumInteriorRings(shape); k++)
        r.contacts += ring_contacts(GEOSGetInteriorRingN(shape, k), around, eps, &arc);
    if (r.contacts == 1)
        measure_stub(&r, &arc, d / 2 + eps);
    return r;
}

second_residues second_residues_of(const GEOSGeometry *area, double d, double eps,
                                   const nw_box *frame)
{
    second_residues residues = {0};
    GEOSGeometry *opened = second_opening(area, d / 2, QUAD_SEGS);
    GEOSArea(opened, &residues.area_opened);
    GEOSGeometry *grown =
        GEOSBufferWithStyle(opened, eps, 1, GEOSBUF_CAP_ROUND, GEOSBUF_JOIN_MITRE, 2);
    GEOSGeometry *lost = GEOSDifference(area, grown);
    GEOSGeometry *boundary = GEOSBoundary(area);
    sides around = {GEOSPrepare(opened), GEOSPrepare(boundary)};
    int count = GEOSGetNumGeometries(lost);
    residues.items = calloc((size_t)count + 1, sizeof *residues.items);
    for (int i = 0; i < count; i++) {
        const GEOSGeometry *shape = GEOSGetGeometryN(lost, i);
        double size = 0;
        GEOSArea(shape, &size);
        if (GEOSGeomTypeId(shape) == GEOS_POLYGON && size > 1e-5)
            residues.items[residues.count++] = residue_of(shape, &around, d, eps, frame);
    }
    GEOSPreparedGeom_destroy(around.opened);
    GEOSPreparedGeom_destroy(around.walls);
    GEOSGeom_destroy(boundary);
    GEOSGeom_destroy(lost);
    GEOSGeom_destroy(grown);
    GEOSGeom_destroy(opened);
    return residues;
}

void second_residues_free(second_residues *residues)
{
    for (size_t i = 0; i < residues->count; i++)
        GEOSGeom_destroy(residues->items[i].shape);
    free(residues->items);
    *residues = (second_residues){0};
}
