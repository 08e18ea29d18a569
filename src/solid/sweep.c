/*
 * sweep: what a disc covers as it runs along lines, as a few smooth curves; and shapes added to a
 * drawing or taken from it.
 *
 * GEOS's buffer gives the covered area as polygons whose arcs are chords. Their rings are cut at
 * corners, and each smooth run between two corners becomes a few Bézier curves (cubic_fit.c).
 */
#include <solid/solid.h>

#include <geos_c.h>
#include <math.h>
#include <stdlib.h>

#define QUADRANT_CHORDS 32 /* chords of a quarter turn: within 3e-4 of the radius */
#define FIT_MM 0.002
#define SIMPLE_MM 0.0005       /* lines may be simpler by this (Douglas and Peucker 1973) */
#define CORNER_RAD 0.25        /* five times what two chords of an arc turn */
#define LONGEST_OF_RADIUS 0.25 /* longer chords are cut, for the curves are held to points only */

typedef struct {
    GEOSContextHandle_t geos;
    nw_error *error;
} sweeper;

static nw_status refused(const sweeper *s)
{
    return nw_fail(s->error, NW_INTERNAL, "the swept area could not be made");
}

/* ---- lines in ------------------------------------------------------------------------------- */

static GEOSCoordSequence *path_points(const sweeper *s, const nw_path *path)
{
    size_t n = path->count + 1;
    GEOSCoordSequence *points = GEOSCoordSeq_create_r(s->geos, (unsigned)n, 2);
    for (size_t i = 0; points && i < n; i++) {
        /* A ring ends exactly where it began. */
        nw_point p = path->closed && i + 1 == n ? path->start : nw_path_from(path, i);
        GEOSCoordSeq_setXY_r(s->geos, points, (unsigned)i, p.x, p.y);
    }
    return points;
}

/* Open paths as lines, closed ones as filled rings. */
static GEOSGeometry *path_geometry(const sweeper *s, const nw_path *path)
{
    GEOSCoordSequence *points = path_points(s, path);
    if (!points || !path->closed) {
        return points ? GEOSGeom_createLineString_r(s->geos, points) : NULL;
    }
    GEOSGeometry *ring = GEOSGeom_createLinearRing_r(s->geos, points);
    return ring ? GEOSGeom_createPolygon_r(s->geos, ring, NULL, 0) : NULL;
}

/* One line or ring, grown by the radius. */
static GEOSGeometry *path_grown(const sweeper *s, const nw_path *path, double radius)
{
    GEOSGeometry *line = path_geometry(s, path);
    GEOSGeometry *simple = line ? GEOSSimplify_r(s->geos, line, SIMPLE_MM) : NULL;
    GEOSGeometry *grown = simple ? GEOSBuffer_r(s->geos, simple, radius, QUADRANT_CHORDS) : NULL;
    GEOSGeom_destroy_r(s->geos, line);
    GEOSGeom_destroy_r(s->geos, simple);
    return grown;
}

/* All of them, united. One by one, for lines beside one another make a common growth slow. */
static GEOSGeometry *lines_grown(const sweeper *s, const nw_drawing *lines, double radius)
{
    GEOSGeometry **items = nw_alloc(lines->count, sizeof *items);
    size_t count = 0;
    for (size_t i = 0; items && i < lines->count; i++) {
        if (lines->paths[i].count) {
            items[count] = path_grown(s, &lines->paths[i], radius);
            count += items[count] != NULL;
        }
    }
    GEOSGeometry *all = items ? GEOSGeom_createCollection_r(s->geos, GEOS_GEOMETRYCOLLECTION, items,
                                                            (unsigned)count)
                              : NULL;
    GEOSGeometry *united = all ? GEOSUnaryUnion_r(s->geos, all) : NULL;
    GEOSGeom_destroy_r(s->geos, all);
    free(items);
    return united;
}

/* ---- rings out ------------------------------------------------------------------------------ */

/* A ring's points, the last not repeated, long chords cut. */
typedef struct {
    nw_point *items;
    size_t count, capacity;
} ring_points;

static bool ring_push(ring_points *ring, nw_point p)
{
    void *items = ring->items;
    if (!nw_grow(&items, &ring->capacity, ring->count + 1, sizeof p)) {
        return false;
    }
    ring->items = items;
    ring->items[ring->count++] = p;
    return true;
}

static bool ring_read(const sweeper *s, const GEOSGeometry *geometry, double longest,
                      ring_points *ring)
{
    const GEOSCoordSequence *points = GEOSGeom_getCoordSeq_r(s->geos, geometry);
    unsigned n = 0;
    GEOSCoordSeq_getSize_r(s->geos, points, &n);
    nw_point last = {0, 0};
    for (unsigned i = 0; i < n; i++) {
        nw_point p;
        GEOSCoordSeq_getXY_r(s->geos, points, i, &p.x, &p.y);
        double length = i ? hypot(p.x - last.x, p.y - last.y) : 0;
        int cuts = (int)ceil(length / longest);
        for (int k = 1; k < cuts; k++) {
            double t = (double)k / cuts;
            if (!ring_push(ring,
                           (nw_point){last.x + (p.x - last.x) * t, last.y + (p.y - last.y) * t})) {
                return false;
            }
        }
        if (i + 1 < n && (i == 0 || length > NW_SAME_MM) && !ring_push(ring, p)) {
            return false;
        }
        last = p;
    }
    return true;
}

static nw_point direction(nw_point a, nw_point b)
{
    return (nw_point){b.x - a.x, b.y - a.y};
}

static bool is_corner(const ring_points *ring, size_t i)
{
    size_t n = ring->count;
    nw_point in = direction(ring->items[(i + n - 1) % n], ring->items[i]);
    nw_point out = direction(ring->items[i], ring->items[(i + 1) % n]);
    double turn = atan2(in.x * out.y - in.y * out.x, in.x * out.x + in.y * out.y);
    return fabs(turn) > CORNER_RAD;
}

/* The smooth run from point first to point last of the doubled list. */
static bool run_fit(const nw_point *points, size_t first, size_t last, size_t n, bool smooth,
                    nw_path *path)
{
    nw_point leave = direction(points[first], points[first + 1]);
    nw_point arrive = direction(points[last - 1], points[last]);
    if (smooth) { /* a ring without corners: the same direction through its only joint */
        leave = arrive = direction(points[(first + n - 1) % n], points[first + 1]);
    }
    return nw_path_fit(path, points + first, last - first + 1, leave, arrive, FIT_MM);
}

static bool ring_fit(const ring_points *ring, nw_path *path)
{
    size_t n = ring->count, first = 0;
    nw_point *twice = nw_alloc(2 * n + 1, sizeof *twice);
    while (first < n && !is_corner(ring, first)) {
        first++;
    }
    bool smooth = first == n;
    first = smooth ? 0 : first;
    for (size_t i = 0; twice && i <= 2 * n; i++) {
        twice[i] = ring->items[i % n];
    }
    path->start = ring->items[first];
    bool done = twice != NULL;
    for (size_t from = first; done && from < first + n;) {
        size_t to = from + 1;
        while (to < first + n && !is_corner(ring, to % n)) {
            to++;
        }
        done = run_fit(twice, from, to, n, smooth, path);
        from = to;
    }
    free(twice);
    return done;
}

static nw_status ring_write(const sweeper *s, const GEOSGeometry *geometry, double longest,
                            bool hole, nw_drawing *swept)
{
    ring_points ring = {0};
    nw_path path = {.closed = true, .hole = hole};
    bool done = ring_read(s, geometry, longest, &ring);
    if (done && ring.count >= 3) {
        done = ring_fit(&ring, &path) && nw_drawing_add(swept, &path);
    }
    free(ring.items);
    nw_path_free(&path);
    return done ? NW_OK : nw_fail_memory(s->error, "the swept area");
}

static nw_status polygon_write(const sweeper *s, const GEOSGeometry *polygon, double longest,
                               nw_drawing *swept)
{
    nw_status status =
        ring_write(s, GEOSGetExteriorRing_r(s->geos, polygon), longest, false, swept);
    int holes = GEOSGetNumInteriorRings_r(s->geos, polygon);
    for (int i = 0; i < holes && status == NW_OK; i++) {
        status = ring_write(s, GEOSGetInteriorRingN_r(s->geos, polygon, i), longest, true, swept);
    }
    return status;
}

nw_status nw_drawing_sweep(const nw_drawing *lines, double radius, nw_drawing *swept,
                           nw_error *error)
{
    *swept = (nw_drawing){0};
    sweeper s = {GEOS_init_r(), error};
    if (!s.geos) {
        return nw_fail_memory(error, "the swept area");
    }
    GEOSGeometry *area = lines_grown(&s, lines, radius);
    nw_status status = area ? NW_OK : refused(&s);
    int parts = area ? GEOSGetNumGeometries_r(s.geos, area) : 0;
    for (int i = 0; i < parts && status == NW_OK; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(s.geos, area, i);
        if (!GEOSisEmpty_r(s.geos, part)) {
            status = polygon_write(&s, part, LONGEST_OF_RADIUS * radius, swept);
        }
    }
    GEOSGeom_destroy_r(s.geos, area);
    GEOS_finish_r(s.geos);
    if (status != NW_OK) {
        nw_drawing_free(swept);
    }
    return status;
}

/* ---- adding and taking ---------------------------------------------------------------------- */

nw_status nw_drawing_paint(const nw_drawing *art, const nw_drawing *shapes, bool take,
                           nw_drawing *painted, nw_error *error)
{
    nw_paint_shape both[2] = {
        {.outline = *art, .even_odd = true},
        {.outline = *shapes, .even_odd = true, .paint = take ? PAINT_PAPER : PAINT_INK}};
    nw_painting all = {.shapes = {both, 2, 2}};
    nw_status status = nw_painting_unite(&all, painted, NULL, error);
    if (status == NW_OK) {
        nw_box box = nw_drawing_box(painted);
        painted->width = box.max.x - box.min.x;
        painted->height = box.max.y - box.min.y;
    }
    return status;
}
