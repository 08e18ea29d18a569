/* region: outlines as rings of points, built one point at a time; their area (shoelace). */
#include <geom/curves.h>
#include <geom/flattening.h>

#include <math.h>
#include <stdlib.h>

void nw_region_free(nw_region *region)
{
    if (region) {
        free(region->points);
        free(region->starts);
        free(region->pieces);
        *region = (nw_region){0};
    }
}

nw_box nw_ring_box(const nw_region *region, size_t ring)
{
    nw_box box = nw_box_empty();
    for (size_t i = region->starts[ring]; i < region->starts[ring + 1]; i++)
        nw_box_take(&box, region->points[i], 0);
    return box;
}

double nw_ring_length(const nw_region *region, size_t ring)
{
    size_t first = region->starts[ring], end = region->starts[ring + 1];
    double length = 0;
    for (size_t i = first; i < end; i++)
        length += nw_distance(region->points[i], region->points[i + 1 < end ? i + 1 : first]);
    return length;
}

static double ring_area_twice(const nw_region *region, size_t ring)
{
    const nw_point *p = region->points + region->starts[ring];
    size_t count = region->starts[ring + 1] - region->starts[ring];
    double twice = 0;
    for (size_t i = 1; i + 1 < count; i++)
        twice += nw_cross(nw_minus(p[i], p[0]), nw_minus(p[i + 1], p[0]));
    return twice;
}

double nw_ring_area(const nw_region *region, size_t ring)
{
    return ring_area_twice(region, ring) / 2;
}

/* Green's theorem. */
nw_point nw_ring_centre(const nw_region *region, size_t ring)
{
    size_t first = region->starts[ring], end = region->starts[ring + 1];
    nw_point start = region->points[first], sum = {0, 0};
    double area = 0;
    for (size_t i = first; i + 1 < end; i++) {
        nw_point a = nw_minus(region->points[i], start), b = nw_minus(region->points[i + 1], start);
        double twice = nw_cross(a, b);
        area += twice;
        sum = nw_plus(sum, nw_plus(a, b, 1), twice);
    }
    return area != 0 ? nw_plus(start, sum, 1 / (3 * area)) : start;
}

bool nw_ring_contains(const nw_region *region, size_t ring, nw_point p)
{
    bool inside = false;
    size_t first = region->starts[ring], end = region->starts[ring + 1];
    for (size_t i = first; i < end; i++)
        inside ^= nw_crosses_ray(region->points[i], region->points[i + 1 < end ? i + 1 : first], p);
    return inside;
}

double nw_region_area(const nw_region *region)
{
    double twice = 0;
    for (size_t k = 0; k < region->count; k++)
        twice += ring_area_twice(region, k);
    return twice / 2;
}

bool nw_region_begin_ring(nw_region_builder *builder, size_t piece)
{
    nw_region *region = &builder->region;
    size_t rings = region->count;
    if (!nw_grow(&region->starts, &builder->start_capacity, rings + 2, sizeof *region->starts) ||
        !nw_push(&region->pieces, &region->count, &builder->piece_capacity, &piece, sizeof piece))
        return false;
    region->starts[rings] = builder->point_count;
    return true;
}

static bool same(nw_point p, nw_point q)
{
    return fabs(p.x - q.x) <= NW_SAME_MM && fabs(p.y - q.y) <= NW_SAME_MM;
}

bool nw_region_add_point(nw_region_builder *builder, nw_point point)
{
    nw_region *region = &builder->region;
    if (builder->point_count > region->starts[region->count - 1] &&
        same(region->points[builder->point_count - 1], point))
        return true;
    return nw_push(&region->points, &builder->point_count, &builder->point_capacity, &point,
                   sizeof *region->points);
}

void nw_region_end_ring(nw_region_builder *builder)
{
    nw_region *region = &builder->region;
    size_t first = region->starts[region->count - 1];
    while (builder->point_count > first + 1 &&
           same(region->points[builder->point_count - 1], region->points[first]))
        builder->point_count--;
    if (builder->point_count - first < 3) {
        builder->point_count = first;
        region->count--;
    }
    region->starts[region->count] = builder->point_count;
}
