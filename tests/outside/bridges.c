/*
 * Bridges on real outlines: each island of a word is held by one, nothing is loose afterwards but
 * what is said to be, and the art loses little more than the strips themselves. What is loose is
 * counted by GEOS: the holes of the art. All bridges together are hardly longer than the shortest
 * tree over GEOS's distances of the outlines (Prim 1957), which no bridges can be shorter than, and
 * the bit loses no more by them than the corners beside them. Then the same with two each. How they
 * stand is measured in the written files: square to the edge, off corners and details, opposite one
 * another, and not longer than three times the shortest.
 */
#include "outlines.h"
#include "placed_bridges.h"
#include "second.h"
#include "shapes.h"

#include <change/change.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define BIT_MM 1.5875
#define WIDTH_MM 2.0
#define MORE_THAN_STRIPS 1.6 /* strips meet walls at a slant */
#define CORNERS_OF_BIT 0.6   /* of its square; four right corners are 0.2146 */
#define LONGER_THAN_TREE 1.1
#define FILE_MM 0.002

static nw_drawing drawing_of(const nw_region *region)
{
    nw_drawing drawing = {0};
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], end = region->starts[k + 1];
        nw_path path = {.start = region->points[first], .closed = true};
        path.piece = region->pieces[k];
        path.hole = shape_is_hole(region, k);
        for (size_t i = first + 1; i <= end; i++)
            if (!nw_path_line(&path, i < end ? region->points[i] : path.start))
                abort();
        if (!nw_drawing_add(&drawing, &path))
            abort();
    }
    return drawing;
}

static size_t holes_of(const nw_region *region)
{
    size_t holes = 0;
    GEOSGeometry *area = second_area(region);
    for (int i = 0; i < GEOSGetNumGeometries(area); i++)
        holes += (size_t)GEOSGetNumInteriorRings(GEOSGetGeometryN(area, i));
    GEOSGeom_destroy(area);
    return holes;
}

/* The length of the shortest tree that joins the rings of a polygon. */
static double tree_of(const GEOSGeometry *polygon)
{
    int count = GEOSGetNumInteriorRings(polygon) + 1;
    const GEOSGeometry *rings[1000];
    double far[1000], length = 0;
    for (int i = 0; i < count && i < 1000; i++) {
        rings[i] = i ? GEOSGetInteriorRingN(polygon, i - 1) : GEOSGetExteriorRing(polygon);
        far[i] = INFINITY;
    }
    for (int joined = 1, last = 0; joined < count; joined++) {
        int next = -1;
        far[last] = -1;
        for (int i = 0; i < count; i++) {
            double d;
            if (far[i] >= 0 && GEOSDistance(rings[last], rings[i], &d)) {
                far[i] = fmin(far[i], d);
                next = next < 0 || far[i] < far[next] ? i : next;
            }
        }
        length += far[next];
        last = next;
    }
    return length;
}

static double shortest_trees(const nw_region *region)
{
    GEOSGeometry *area = second_area(region);
    double length = 0;
    for (int i = 0; i < GEOSGetNumGeometries(area); i++)
        length += tree_of(GEOSGetGeometryN(area, i));
    GEOSGeom_destroy(area);
    return length;
}

static double length_of(const nw_bridged *b)
{
    double length = 0;
    for (size_t i = 0; i < b->count; i++) {
        length += hypot(b->bridges[i].to.x - b->bridges[i].from.x,
                        b->bridges[i].to.y - b->bridges[i].from.y);
    }
    return length;
}

/* What GEOS says that a disc loses of the art. */
static double lost_by(const nw_region *region)
{
    GEOSGeometry *area = second_area(region), *opened = second_opening(area, BIT_MM / 2, 32);
    double whole = 0, left = 0;
    GEOSArea(area, &whole);
    GEOSArea(opened, &left);
    GEOSGeom_destroy(opened);
    GEOSGeom_destroy(area);
    return whole - left;
}

typedef struct {
    size_t islands, bridges, seconds;
    double length, least;
    placed_bridges placed;          /* in the written files */
    size_t said[NW_BRIDGE_REASONS]; /* to be second best */
} bridges_sum;

static void placed_add(const nw_region *before, const nw_drawing *bridged, placed_bridges *sum)
{
    nw_region written = shape_written(bridged);
    nw_box was = shape_box_of(before), now = shape_box_of(&written);
    if (fabs(nw_box_width(was) - nw_box_width(now)) < FILE_MM &&
        fabs(nw_box_height(was) - nw_box_height(now)) < FILE_MM)
        placed_bridges_count(before, &written, WIDTH_MM, sum);
    nw_region_free(&written);
}

static bool bridges_hold(const real_outline *outline, size_t each, bridges_sum *sum)
{
    nw_drawing drawing = drawing_of(&outline->region);
    nw_fit_options options = nw_fit_defaults();
    options.bit = BIT_MM;
    nw_bridged b;
    nw_region after;
    if (nw_drawing_bridge(&drawing, &options, WIDTH_MM, each, NULL, &b, NULL) != NW_OK ||
        nw_drawing_flatten(&b.drawing, NW_FLATNESS_MM, &after, NULL) != NW_OK)
        abort();
    double length = length_of(&b), least = shortest_trees(&outline->region);
    size_t before = holes_of(&outline->region), left = 0, seconds = 0;
    for (size_t i = 0; i < b.loose; i++)
        left += !b.unheld[i].held;
    seconds = b.count - (before - left);
    double lost = nw_region_area(&outline->region) - nw_region_area(&after);
    double corners = lost_by(&after) - lost_by(&outline->region);
    /* One each: as many as islands. Two: those that are in the middle of a chain have two anyway.
     */
    bool good =
        (each == 1 ? !seconds : seconds <= before) && length >= least - 1e-3 &&
        lost <= MORE_THAN_STRIPS * WIDTH_MM * length + 1e-6 && lost >= 0.9 * WIDTH_MM * length &&
        corners <= (double)b.count * CORNERS_OF_BIT * BIT_MM * BIT_MM && holes_of(&after) == left;
    if (!good || b.loose) {
        printf(
            "# %s: %zu islands, %zu bridges, %zu loose, %zu holes left, lost %.3f for %.3f, %.3f "
            "long for %.3f, corners %.3f\n",
            outline->name, before, b.count, b.loose, holes_of(&after), lost, WIDTH_MM * length,
            length, least, corners);
    }
    sum->islands += before;
    sum->bridges += b.count;
    sum->seconds += seconds;
    sum->length += length;
    sum->least += least;
    placed_add(&outline->region, &b.drawing, &sum->placed);
    for (size_t i = 0; i < b.count; i++)
        for (int k = 0; k < NW_BRIDGE_REASONS; k++)
            sum->said[k] += b.bridges[i].reasons >> k & 1;
    nw_region_free(&after);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
    return good;
}

/* None is on the same side, few are longer without reason or crooked, few feet on large outlines at
 * details. What is found in the files has been said. */
static bool stand_well(const bridges_sum *sum)
{
    const placed_bridges *p = &sum->placed;
    double count = (double)p->bridges;
    printf(
        "# %zu bridges in the files: %zu crooked, %zu at details, %zu longer; %zu of %zu islands "
        "held on one side\n",
        p->bridges, p->crooked, p->at_detail, p->longer, p->one_sided, p->twice);
    return (double)p->crooked <= 0.02 * count && (double)p->at_detail <= 0.05 * count &&
           (double)p->longer <= 0.02 * count && !p->one_sided &&
           p->crooked <= sum->said[NW_BRIDGE_CROOKED] &&
           p->at_detail <= sum->said[NW_BRIDGE_DETAIL] && p->longer <= sum->said[NW_BRIDGE_LONG];
}

int main(void)
{
    second_start();
    bool thorough = outlines_all();
    real_outlines outlines =
        thorough ? outlines_read(140, 60, 120, 4000) : outlines_read(24, 3, 120, 1500);
    if (!outlines_enough(&outlines)) {
        outlines_free(&outlines);
        return EXIT_SUCCESS;
    }
    size_t held = 0, twice = 0, with_two = 0;
    bridges_sum one = {0}, two = {0};
    for (size_t i = 0; i < outlines.count; i++) {
        held += bridges_hold(&outlines.items[i], 1, &one);
        if (!thorough && i % 2)
            continue; /* two each take twice the time */
        twice += bridges_hold(&outlines.items[i], 2, &two);
        with_two++;
    }
    size_t count = outlines.count;
    outlines_free(&outlines);
    printf(
        "1..6\n# %zu outlines, %zu islands, %zu bridges of %.1f mm in all, at least %.1f, and %zu "
        "second ones\n",
        count, one.islands, one.bridges, one.length, one.least, two.seconds);
    bool good[] = {held == count,
                   (double)one.bridges >= 0.97 * (double)one.islands,
                   one.length <= LONGER_THAN_TREE * one.least,
                   twice == with_two && (double)two.seconds >= 0.8 * (double)two.islands,
                   stand_well(&one),
                   stand_well(&two)};
    static const char *const what[] = {"one holds what it says, with little more than the strips",
                                       "of the islands 97 of 100 find a place",
                                       "all are hardly longer than the shortest tree",
                                       "two hold what they say, and most islands get them",
                                       "one each is square, off corners and short",
                                       "two each are, too, and on two sides"};
    bool all = true;
    for (int i = 0; i < 6; i++) {
        printf("%s %d - %s\n", good[i] ? "ok" : "not ok", i + 1, what[i]);
        all = all && good[i];
    }
    return all ? EXIT_SUCCESS : EXIT_FAILURE;
}
