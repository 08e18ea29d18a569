/*
 * placed_bridges: the outlines before and after -> how the bridges stand. What lies in the one and
 * not in the other are the strips; where a strip's border runs along the outlines before are its
 * feet, and the longest straight stretch of the rest is the way it leads.
 */
#include "placed_bridges.h"

#include <math.h>
#include <stdlib.h>

#define ON_MM 0.01
#define CRUMB_OF_WIDTH 0.3   /* a strip is longer, and so is a foot */
#define CROOKED_RAD 0.35     /* 20 degrees: the two walls' half */
#define BESIDE_OF_WIDTH 0.25 /* so far on both sides of a foot a corner counts, */
#define DETAIL_OF_WIDTH 0.15 /* if the outline leaves the foot's line by so much, */
#define LARGE_OF_WIDTH 6.0   /* on an outline so large */
#define LONGER_THAN_SHORTEST 3.0
#define RINGS_MOST 1000
#define ONE_WAY_COSINE 0.55 /* of 57 degrees: a strip's foot is as wide as it */

typedef struct {
    nw_point a, b; /* ends of the chord */
    nw_point middle;
    int ring;
} foot;

typedef struct {
    foot feet[2];
    nw_point way; /* unit */
    double length;
} strip;

typedef struct {
    const GEOSGeometry *rings[RINGS_MOST];
    int polygon[RINGS_MOST];
    bool hole[RINGS_MOST];
    int count;
} rims;

static rims rims_of(const GEOSGeometry *area)
{
    rims all = {.count = 0};
    for (int i = 0; i < GEOSGetNumGeometries(area); i++) {
        const GEOSGeometry *one = GEOSGetGeometryN(area, i);
        for (int k = 0; k <= GEOSGetNumInteriorRings(one) && all.count < RINGS_MOST; k++) {
            all.polygon[all.count] = i;
            all.hole[all.count] = k > 0;
            all.rings[all.count++] =
                k ? GEOSGetInteriorRingN(one, k - 1) : GEOSGetExteriorRing(one);
        }
    }
    return all;
}

static double length_of(const GEOSGeometry *line)
{
    double length = 0;
    GEOSLength(line, &length);
    return length;
}

static nw_point line_point(const GEOSGeometry *line, int i)
{
    nw_point p;
    const GEOSCoordSequence *points = GEOSGeom_getCoordSeq(line);
    unsigned count;
    GEOSCoordSeq_getSize(points, &count);
    GEOSCoordSeq_getXY(points, i < 0 ? count - 1 : (unsigned)i, &p.x, &p.y);
    return p;
}

/* Pieces of lines in one where they touch; the argument is used up. */
static GEOSGeometry *merged(GEOSGeometry *lines)
{
    GEOSGeometry *all = GEOSLineMerge(lines);
    GEOSGeom_destroy(lines);
    return all;
}

static int ring_near(const rims *all, nw_point p)
{
    GEOSGeometry *point = GEOSGeom_createPointFromXY(p.x, p.y);
    double least = INFINITY, d;
    int best = 0;
    for (int i = 0; i < all->count; i++)
        if (GEOSDistance(all->rings[i], point, &d) && d < least) {
            least = d;
            best = i;
        }
    GEOSGeom_destroy(point);
    return best;
}

/* Along the longest straight stretch. */
static nw_point way_of(const GEOSGeometry *sides)
{
    nw_point way = {1, 0};
    double longest = 0;
    for (int i = 0; i < GEOSGetNumGeometries(sides); i++) {
        const GEOSGeometry *line = GEOSGetGeometryN(sides, i);
        for (int k = 0; k + 1 < GEOSGeomGetNumPoints(line); k++) {
            nw_point a = line_point(line, k), b = line_point(line, k + 1);
            if (nw_distance(a, b) > longest) {
                longest = nw_distance(a, b);
                way = nw_unit(a, b);
            }
        }
    }
    return way;
}

/* What lies on the rim, of the rim near a shape: cutting a strip with all of it takes far longer.
 */
static GEOSGeometry *near_rim(const GEOSGeometry *rim, const GEOSGeometry *shape)
{
    nw_box box;
    GEOSGeom_getExtent(shape, &box.min.x, &box.min.y, &box.max.x, &box.max.y);
    GEOSGeometry *part = GEOSClipByRect(rim, box.min.x - 2 * ON_MM, box.min.y - 2 * ON_MM,
                                        box.max.x + 2 * ON_MM, box.max.y + 2 * ON_MM);
    GEOSGeometry *near = GEOSBuffer(part, ON_MM, 4);
    GEOSGeom_destroy(part);
    return near;
}

/* False for what is no single strip. */
static bool strip_read(const GEOSGeometry *shape, const rims *all, const GEOSGeometry *rim,
                       double width, strip *s)
{
    GEOSGeometry *near = near_rim(rim, shape);
    GEOSGeometry *border = GEOSBoundary(shape);
    GEOSGeometry *on = merged(GEOSIntersection(border, near));
    GEOSGeometry *sides = merged(GEOSDifference(border, near));
    int count = 0;
    for (int i = 0; i < GEOSGetNumGeometries(on); i++) {
        const GEOSGeometry *line = GEOSGetGeometryN(on, i);
        if (length_of(line) < CRUMB_OF_WIDTH * width)
            continue;
        nw_point a = line_point(line, 0), b = line_point(line, -1);
        if (count < 2)
            s->feet[count] = (foot){a, b, nw_middle(a, b), ring_near(all, nw_middle(a, b))};
        count++;
    }
    if (count == 2) {
        s->way = way_of(sides);
        s->length = nw_distance(s->feet[0].middle, s->feet[1].middle);
    }
    GEOSGeom_destroy(near);
    GEOSGeom_destroy(border);
    GEOSGeom_destroy(on);
    GEOSGeom_destroy(sides);
    return count == 2;
}

static bool is_crooked(const strip *s)
{
    bool crooked = false;
    for (int i = 0; i < 2; i++) {
        nw_point along = nw_unit(s->feet[i].a, s->feet[i].b);
        crooked = crooked || fabs(asin(fmin(1, fabs(nw_dot(along, s->way))))) > CROOKED_RAD;
    }
    return crooked;
}

static double size_of(const GEOSGeometry *ring)
{
    double x[2], y[2];
    GEOSGeom_getXMin(ring, &x[0]);
    GEOSGeom_getXMax(ring, &x[1]);
    GEOSGeom_getYMin(ring, &y[0]);
    GEOSGeom_getYMax(ring, &y[1]);
    return fmax(x[1] - x[0], y[1] - y[0]);
}

/* Whether the outline within the foot and a little beside it leaves the foot's line. */
static bool foot_at_detail(const foot *f, const GEOSGeometry *ring, double width)
{
    if (size_of(ring) < LARGE_OF_WIDTH * width)
        return false;
    nw_point along = nw_unit(f->a, f->b);
    GEOSGeometry *middle = GEOSGeom_createPointFromXY(f->middle.x, f->middle.y);
    double half = nw_distance(f->a, f->b) / 2 + BESIDE_OF_WIDTH * width, off = 0;
    GEOSGeometry *round = GEOSBuffer(middle, half, 16),
                 *stretch = merged(GEOSIntersection(ring, round));
    for (int i = 0; i < GEOSGetNumGeometries(stretch); i++) {
        const GEOSGeometry *line = GEOSGetGeometryN(stretch, i);
        double away = INFINITY; /* another wall of the same outline */
        if (GEOSDistance(line, middle, &away) && away > DETAIL_OF_WIDTH * width)
            continue;
        for (int k = 0; k < GEOSGeomGetNumPoints(line); k++)
            off = fmax(off, fabs(nw_cross(along, nw_minus(line_point(line, k), f->middle))));
    }
    GEOSGeom_destroy(stretch);
    GEOSGeom_destroy(round);
    GEOSGeom_destroy(middle);
    return off > DETAIL_OF_WIDTH * width;
}

/* The way from a ring to the nearest other one of its polygon. */
static double shortest_from(const rims *all, int ring)
{
    double least = INFINITY, d;
    for (int i = 0; i < all->count; i++)
        if (i != ring && all->polygon[i] == all->polygon[ring] &&
            GEOSDistance(all->rings[i], all->rings[ring], &d))
            least = fmin(least, d);
    return least;
}

/* What is no longer than wide is short, however near the walls come elsewhere. */
static bool is_longer(const strip *s, const rims *all, double width)
{
    double shortest = 0;
    for (int i = 0; i < 2; i++)
        if (all->hole[s->feet[i].ring])
            shortest = fmax(shortest, shortest_from(all, s->feet[i].ring));
    return s->length > fmax(LONGER_THAN_SHORTEST * shortest, width) + ON_MM;
}

/* Marks what the strips that do not touch a ring join to the edge of its polygon. */
static void joined_find(const strip *strips, size_t count, const rims *all, int without,
                        bool joined[RINGS_MOST])
{
    for (int k = 0; k < all->count; k++)
        joined[k] = !all->hole[k];
    for (bool more = true; more;) {
        more = false;
        for (size_t i = 0; i < count; i++) {
            int a = strips[i].feet[0].ring, b = strips[i].feet[1].ring;
            if (a != without && b != without && joined[a] != joined[b])
                joined[a] = joined[b] = more = true;
        }
    }
}

/* Counts what several feet hold, not those of what hangs on it, and where all of them are within a
 * quarter turn. */
static void sides_count(const strip *strips, size_t count, const rims *all, placed_bridges *sum)
{
    for (int ring = 0; ring < all->count; ring++) {
        nw_point feet[100], centre;
        bool joined[RINGS_MOST];
        joined_find(strips, count, all, ring, joined);
        size_t n = 0;
        for (size_t i = 0; i < count && n < 100; i++)
            for (int k = 0; k < 2; k++)
                if (all->hole[ring] && strips[i].feet[k].ring == ring &&
                    joined[strips[i].feet[1 - k].ring])
                    feet[n++] = strips[i].feet[k].middle;
        if (n < 2)
            continue;
        GEOSGeometry *own = GEOSGeom_clone(all->rings[ring]);
        GEOSGeometry *area = GEOSGeom_createPolygon(own, NULL, 0), *mass = GEOSGetCentroid(area);
        GEOSGeomGetX(mass, &centre.x);
        GEOSGeomGetY(mass, &centre.y);
        double apart = 1;
        for (size_t i = 0; i < n; i++)
            for (size_t k = 0; k < i; k++)
                apart = fmin(apart, nw_dot(nw_unit(centre, feet[i]), nw_unit(centre, feet[k])));
        sum->twice++;
        sum->one_sided += apart > 0;
        sum->one_way += apart > ONE_WAY_COSINE;
        GEOSGeom_destroy(mass);
        GEOSGeom_destroy(area);
    }
}

void placed_bridges_count(const nw_region *before, const nw_region *after, double width,
                          placed_bridges *sum)
{
    GEOSGeometry *area = second_area(before);
    GEOSGeometry *rim = GEOSBoundary(area);
    GEOSGeometry *gone = second_combined(GEOSGeom_clone(area), second_area(after), '-');
    rims all = rims_of(area);
    size_t count = 0;
    strip *strips = malloc(((size_t)GEOSGetNumGeometries(gone) + 1) * sizeof *strips);
    for (int i = 0; i < GEOSGetNumGeometries(gone); i++)
        count += strip_read(GEOSGetGeometryN(gone, i), &all, rim, width, &strips[count]);
    for (size_t i = 0; i < count; i++) {
        bool detail = false;
        for (int k = 0; k < 2; k++)
            detail = detail ||
                     foot_at_detail(&strips[i].feet[k], all.rings[strips[i].feet[k].ring], width);
        sum->crooked += is_crooked(&strips[i]);
        sum->at_detail += detail;
        sum->longer += is_longer(&strips[i], &all, width);
    }
    sum->bridges += count;
    sides_count(strips, count, &all, sum);
    free(strips);
    GEOSGeom_destroy(gone);
    GEOSGeom_destroy(rim);
    GEOSGeom_destroy(area);
}
