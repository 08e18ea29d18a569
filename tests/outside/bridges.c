/*
 * Bridges on real outlines: each island of a word is held by one, nothing is loose afterwards but
 * what is said to be, and the art loses little more than the strips themselves. What is loose is
 * counted by GEOS: the holes of the art.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define BIT_MM 1.5875
#define WIDTH_MM 2.0
#define MORE_THAN_STRIPS 1.6 /* strips meet walls at a slant */

static nw_drawing drawing_of(const nw_region *region)
{
    nw_drawing drawing = {0};
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], end = region->starts[k + 1];
        nw_path path = {.start = region->points[first], .closed = true};
        path.piece = region->pieces[k];
        path.hole = shape_is_hole(region, k);
        for (size_t i = first + 1; i <= end; i++) {
            if (!nw_path_line(&path, i < end ? region->points[i] : path.start)) {
                abort();
            }
        }
        if (!nw_drawing_add(&drawing, &path)) {
            abort();
        }
    }
    return drawing;
}

static size_t holes_of(const nw_region *region)
{
    size_t holes = 0;
    GEOSGeometry *area = second_area(region);
    for (int i = 0; i < GEOSGetNumGeometries(area); i++) {
        holes += (size_t)GEOSGetNumInteriorRings(GEOSGetGeometryN(area, i));
    }
    GEOSGeom_destroy(area);
    return holes;
}

static bool bridges_hold(const real_outline *outline, size_t *islands, size_t *bridges)
{
    nw_drawing drawing = drawing_of(&outline->region);
    nw_fit_options options = nw_fit_defaults();
    options.bit = BIT_MM;
    nw_bridged b;
    nw_region after;
    if (nw_drawing_bridge(&drawing, &options, WIDTH_MM, 1, &b, NULL) != NW_OK ||
        nw_drawing_flatten(&b.drawing, NW_FLATNESS_MM, &after, NULL) != NW_OK) {
        abort();
    }
    double length = 0;
    for (size_t i = 0; i < b.count; i++) {
        length +=
            hypot(b.bridges[i].to.x - b.bridges[i].from.x, b.bridges[i].to.y - b.bridges[i].from.y);
    }
    size_t before = holes_of(&outline->region);
    double lost = nw_region_area(&outline->region) - nw_region_area(&after);
    bool good = b.count + b.loose == before && holes_of(&after) == b.loose &&
                lost <= MORE_THAN_STRIPS * WIDTH_MM * length + 1e-6 &&
                lost >= 0.9 * WIDTH_MM * length;
    if (!good || b.loose) {
        printf("# %s: %zu islands, %zu bridges, %zu loose, %zu holes left, lost %.3f for %.3f\n",
               outline->name, before, b.count, b.loose, holes_of(&after), lost, WIDTH_MM * length);
    }
    *islands += before;
    *bridges += b.count;
    nw_region_free(&after);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
    return good;
}

int main(void)
{
    second_start();
    real_outlines outlines =
        outlines_all() ? outlines_read(140, 60, 120, 4000) : outlines_read(42, 6, 120, 1500);
    if (!outlines_enough(&outlines)) {
        outlines_free(&outlines);
        return EXIT_SUCCESS;
    }
    size_t held = 0, islands = 0, bridges = 0;
    for (size_t i = 0; i < outlines.count; i++) {
        held += bridges_hold(&outlines.items[i], &islands, &bridges);
    }
    printf("1..2\n# %zu outlines, %zu islands, %zu bridges\n", outlines.count, islands, bridges);
    printf("%s 1 - holds what it says, with little more than the strips\n",
           held == outlines.count ? "ok" : "not ok");
    bool enough = (double)bridges >= 0.9 * (double)islands;
    printf("%s 2 - of the islands nine in ten find a place\n", enough ? "ok" : "not ok");
    bool all_held = held == outlines.count;
    outlines_free(&outlines);
    return all_held && enough ? EXIT_SUCCESS : EXIT_FAILURE;
}
