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
    for (size_t i = region->starts[ring]; i < region->starts[ring + 1]; i++) {
        nw_box_take(&box, region->points[i], 0);
    }
    return box;
}

static double ring_area_twice(const nw_point *p, size_t count)
{
    double twice = 0;
    for (size_t i = 1; i + 1 < count; i++) {
        twice += nw_cross(nw_minus(p[i], p[0]), nw_minus(p[i + 1], p[0]));
    }
    return twice;
}

double nw_region_area(const nw_region *region)
{
    double twice = 0;
    for (size_t k = 0; k < region->count; k++) {
        twice += ring_area_twice(region->points + region->starts[k],
                                 region->starts[k + 1] - region->starts[k]);
    }
    return twice / 2;
}

bool nw_region_begin_ring(nw_region_builder *builder, size_t piece)
{
    nw_region *region = &builder->region;
    void *starts = region->starts, *pieces = region->pieces;
    bool grown = nw_grow(&starts, &builder->start_capacity, region->count + 2, sizeof(size_t)) &&
                 nw_grow(&pieces, &builder->piece_capacity, region->count + 1, sizeof(size_t));
    region->starts = starts;
    region->pieces = pieces;
    if (!grown) {
        return false;
    }
    region->starts[region->count] = builder->point_count;
    region->pieces[region->count++] = piece;
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
        same(region->points[builder->point_count - 1], point)) {
        return true;
    }
    void *points = region->points;
    if (!nw_grow(&points, &builder->point_capacity, builder->point_count + 1, sizeof point)) {
        return false;
    }
    region->points = points;
    region->points[builder->point_count++] = point;
    return true;
}

void nw_region_end_ring(nw_region_builder *builder)
{
    nw_region *region = &builder->region;
    size_t first = region->starts[region->count - 1];
    while (builder->point_count > first + 1 &&
           same(region->points[builder->point_count - 1], region->points[first])) {
        builder->point_count--;
    }
    if (builder->point_count - first < 3) {
        builder->point_count = first;
        region->count--;
    }
    region->starts[region->count] = builder->point_count;
}
