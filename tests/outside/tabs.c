/*
 * Tabs on real outlines: by GEOS every tab of a part cut outside lies on the art's outline and on
 * the convex hull of its piece, and none lies near a spot or on top of another.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define BIT_MM 1.5875
#define TAB_MM 2.5
#define HULL_MM 0.06 /* the tool's own limit is 0.05 */

static double distance(const GEOSGeometry *line, nw_point p)
{
    GEOSGeometry *point = GEOSGeom_createPointFromXY(p.x, p.y);
    double d = INFINITY;
    GEOSDistance(line, point, &d);
    GEOSGeom_destroy(point);
    return d;
}

/* The nearest of the pieces' hulls. */
static double hull_distance(const GEOSGeometry *area, nw_point p)
{
    double best = INFINITY;
    for (int i = 0; i < GEOSGetNumGeometries(area); i++) {
        GEOSGeometry *hull = GEOSConvexHull(GEOSGetGeometryN(area, i));
        GEOSGeometry *rim = GEOSBoundary(hull);
        best = fmin(best, distance(rim, p));
        GEOSGeom_destroy(rim);
        GEOSGeom_destroy(hull);
    }
    return best;
}

static size_t tabs_wrong(const real_outline *outline, size_t *placed)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_OUTSIDE;
    options.bit = BIT_MM;
    nw_fit fit = shape_fit(&outline->region, &options);
    nw_tabs tabs;
    if (nw_tabs_find(&outline->region, &fit, 0, TAB_MM, &tabs, NULL) != NW_OK) {
        abort();
    }
    GEOSGeometry *area = second_area(&outline->region), *rim = GEOSBoundary(area);
    size_t wrong = 0;
    for (size_t i = 0; i < tabs.count; i++) {
        nw_point p = tabs.tabs[i].at;
        bool good = distance(rim, p) < 1e-6 && hull_distance(area, p) < HULL_MM;
        for (size_t k = 0; k < fit.spot_count; k++) {
            good = good && hypot(fit.spots[k].at.x - p.x, fit.spots[k].at.y - p.y) > TAB_MM;
        }
        for (size_t k = 0; k < i; k++) {
            good = good && hypot(tabs.tabs[k].at.x - p.x, tabs.tabs[k].at.y - p.y) > TAB_MM;
        }
        if (!good) {
            printf("# %s: the tab at %.3f, %.3f\n", outline->name, p.x, p.y);
        }
        wrong += !good;
    }
    *placed += tabs.count;
    GEOSGeom_destroy(rim);
    GEOSGeom_destroy(area);
    nw_tabs_free(&tabs);
    nw_fit_free(&fit);
    return wrong;
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
    size_t wrong = 0, placed = 0;
    for (size_t i = 0; i < outlines.count; i++) {
        wrong += tabs_wrong(&outlines.items[i], &placed);
    }
    printf("1..1\n# %zu outlines, %zu tabs\n%sok 1 - tabs stand where they should\n",
           outlines.count, placed, wrong || !placed ? "not " : "");
    outlines_free(&outlines);
    return wrong || !placed ? EXIT_FAILURE : EXIT_SUCCESS;
}
