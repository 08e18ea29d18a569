/*
 * Tabs on real outlines, held against GEOS. Outside, every tab stands on the art's outline, and the
 * whole of it on the convex hull of its part, where a flat block reaches. Inside, every tab stands
 * on an outline's straight stretch, and behind the cut there is a slug for it to hold: the art
 * eroded by the bit. None is near a spot. What is not so is said to be second best, with that
 * reason. None is on top of another, and no part is without.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <change/change.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define BIT_MM 1.5875
#define TAB_MM 2.5
#define HAIR_MM 0.5  /* thinner art carries no tab */
#define HULL_MM 0.06 /* the tool's own limit is 0.05 */
#define BULGE_MM                                                                                   \
    0.17 /* of a stretch of a tab and a bit, from the tangent: twice the tool's 2 %                \
          */

typedef struct {
    const real_outline *outline;
    const nw_fit *fit;
    const nw_tabs *tabs;
    GEOSGeometry *area, *rim, *slugs;
} judged;

static double distance(const GEOSGeometry *line, nw_point p)
{
    GEOSGeometry *point = GEOSGeom_createPointFromXY(p.x, p.y);
    double d = INFINITY;
    GEOSDistance(line, point, &d);
    GEOSGeom_destroy(point);
    return d;
}

/* The rim within half of `wide` of p, as far as it hangs together with what lies at p: not the
 * other edge of a thin line. */
static GEOSGeometry *stretch_at(const GEOSGeometry *rim, nw_point p, double wide)
{
    GEOSGeometry *point = GEOSGeom_createPointFromXY(p.x, p.y);
    GEOSGeometry *round = GEOSBuffer(point, wide / 2, 16);
    GEOSGeometry *cut = GEOSIntersection(rim, round), *all = GEOSLineMerge(cut);
    int nearest = 0;
    for (int i = 1; i < GEOSGetNumGeometries(all); i++)
        if (distance(GEOSGetGeometryN(all, i), p) < distance(GEOSGetGeometryN(all, nearest), p))
            nearest = i;
    GEOSGeometry *stretch = GEOSGeom_clone(GEOSGetGeometryN(all, nearest));
    GEOSGeom_destroy(all);
    GEOSGeom_destroy(cut);
    GEOSGeom_destroy(round);
    GEOSGeom_destroy(point);
    return stretch;
}

/* How far the stretch goes from the nearest of the pieces' hulls. */
static double hull_distance(const GEOSGeometry *area, const GEOSGeometry *stretch)
{
    double best = INFINITY;
    for (int i = 0; i < GEOSGetNumGeometries(area); i++) {
        GEOSGeometry *hull = GEOSConvexHull(GEOSGetGeometryN(area, i));
        GEOSGeometry *rim = GEOSBoundary(hull), *near = GEOSBuffer(rim, HULL_MM, 8);
        GEOSGeometry *beyond = GEOSDifference(stretch, near);
        double length = INFINITY;
        GEOSLength(beyond, &length);
        best = fmin(best, length);
        GEOSGeom_destroy(beyond);
        GEOSGeom_destroy(near);
        GEOSGeom_destroy(rim);
        GEOSGeom_destroy(hull);
    }
    return best;
}

/* Whether the rim near p keeps to the straight line across `out`. */
static bool is_straight(const GEOSGeometry *stretch, nw_point p, nw_point out)
{
    GEOSCoordSequence *ends = GEOSCoordSeq_create(2, 2);
    GEOSCoordSeq_setXY(ends, 0, p.x - out.y * TAB_MM, p.y + out.x * TAB_MM);
    GEOSCoordSeq_setXY(ends, 1, p.x + out.y * TAB_MM, p.y - out.x * TAB_MM);
    GEOSGeometry *line = GEOSGeom_createLineString(ends);
    GEOSGeometry *near = GEOSBuffer(line, BULGE_MM, 8), *beyond = GEOSDifference(stretch, near);
    double length = INFINITY;
    GEOSLength(beyond, &length);
    GEOSGeom_destroy(beyond);
    GEOSGeom_destroy(near);
    GEOSGeom_destroy(line);
    return length < 1e-6;
}

static bool is_second(const nw_tab *tab, nw_tab_reason reason)
{
    return tab->reasons >> reason & 1;
}

static bool is_clear(const judged *j, size_t i)
{
    nw_point p = j->tabs->tabs[i].at;
    bool clear = true;
    for (size_t k = 0; k < j->fit->spot_count; k++) {
        nw_point at = j->fit->spots[k].at;
        clear = clear && hypot(at.x - p.x, at.y - p.y) > TAB_MM + BIT_MM;
    }
    clear = clear || is_second(&j->tabs->tabs[i], NW_TAB_AT_SPOT);
    for (size_t k = 0; k < i; k++) {
        nw_point at = j->tabs->tabs[k].at;
        clear = clear && hypot(at.x - p.x, at.y - p.y) > 0.5 * TAB_MM;
    }
    return clear;
}

static bool tab_is_good(const judged *j, size_t i)
{
    const nw_tab *tab = &j->tabs->tabs[i];
    bool part =
        shape_is_hole(&j->outline->region, tab->ring) == (j->fit->options.cut != NW_CUT_OUTSIDE);
    GEOSGeometry *stretch = stretch_at(j->rim, tab->at, TAB_MM);
    bool good = distance(j->rim, tab->at) < 1e-6 && is_clear(j, i);
    if (part && j->fit->options.cut == NW_CUT_OUTSIDE) {
        bool on_hull = hull_distance(j->area, stretch) < 1e-6;
        good = good && (on_hull || is_second(tab, NW_TAB_OFF_HULL));
    } else if (!part) {
        nw_point behind = {tab->at.x + (BIT_MM + 0.1) * tab->out.x,
                           tab->at.y + (BIT_MM + 0.1) * tab->out.y};
        bool held = distance(j->slugs, behind) < 0.02 || is_second(tab, NW_TAB_CLOSE);
        good = good && held &&
               (is_straight(stretch, tab->at, tab->out) || is_second(tab, NW_TAB_BENT));
    }
    if (!good) {
        printf("# %s, %s: the tab at %.3f, %.3f, %s\n", j->outline->name,
               nw_cut_name(j->fit->options.cut), tab->at.x, tab->at.y,
               is_clear(j, i)
                   ? is_straight(stretch, tab->at, tab->out) ? "nothing behind it" : "bent"
                   : "near something");
    }
    GEOSGeom_destroy(stretch);
    return good;
}

/* What is left of the cut area when the bit has run along its outlines. */
static GEOSGeometry *slugs_of(const nw_region *region, const GEOSGeometry *area, nw_cut cut)
{
    GEOSGeometry *rest = cut == NW_CUT_OUTSIDE ? second_rest(region, area, 20) : NULL;
    GEOSGeometry *slugs = GEOSBuffer(rest ? rest : area, -BIT_MM, 64);
    GEOSGeom_destroy(rest);
    return slugs;
}

static bool is_hair(const GEOSGeometry *area)
{
    GEOSGeometry *rest = GEOSBuffer(area, -HAIR_MM / 2, 8);
    bool hair = GEOSisEmpty(rest);
    GEOSGeom_destroy(rest);
    return hair;
}

static size_t tabs_wrong(const real_outline *outline, nw_cut cut, size_t *placed)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = BIT_MM;
    nw_fit fit = shape_fit(&outline->region, &options);
    nw_tabs tabs;
    /* Auto, and a number, for which small slugs count as well. */
    size_t count = cut == NW_CUT_OUTSIDE ? 0 : 3;
    if (nw_tabs_find(&outline->region, &fit, count, TAB_MM, &tabs, NULL) != NW_OK)
        abort();
    judged j = {.outline = outline, .fit = &fit, .tabs = &tabs};
    j.area = second_area(&outline->region);
    j.rim = GEOSBoundary(j.area);
    j.slugs = slugs_of(&outline->region, j.area, cut);
    size_t wrong = 0;
    for (size_t i = 0; i < tabs.count; i++)
        wrong += !tab_is_good(&j, i);
    /* Hairs, which are lost as wholes, carry nothing, nor what they enclose. */
    if (cut == NW_CUT_OUTSIDE && tabs.bare > shape_count(&fit, NW_NECK, NW_MISS) &&
        !is_hair(j.area)) {
        printf("# %s: %zu parts without a tab\n", outline->name, tabs.bare);
        wrong += tabs.bare;
    }
    *placed += tabs.count;
    GEOSGeom_destroy(j.slugs);
    GEOSGeom_destroy(j.rim);
    GEOSGeom_destroy(j.area);
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
    size_t wrong = 0, inside = 0, outside = 0;
    for (size_t i = 0; i < outlines.count; i++) {
        wrong += tabs_wrong(&outlines.items[i], NW_CUT_OUTSIDE, &outside);
        wrong += tabs_wrong(&outlines.items[i], NW_CUT_INSIDE, &inside);
    }
    bool good = !wrong && outside >= outlines.count && inside >= outlines.count / 2;
    printf("1..1\n# %zu outlines, %zu tabs outside, %zu inside\n%sok 1 - tabs stand where they "
           "should\n",
           outlines.count, outside, inside, good ? "" : "not ");
    outlines_free(&outlines);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
