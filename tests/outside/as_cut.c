/*
 * The outline that the bit produces, on real outlines. What it encloses is what the bit reaches:
 * areas of residues and of the outline as cut are summed along different paths, so they check one
 * another, and GEOS's opening covers the same area at the same places. Its arcs are all the bit's.
 * The bit's centre runs everywhere one radius from it, and nowhere nearer to the art. Cut once more
 * with the same bit it stays as it is: an opening is idempotent (Serra 1982). What is made of it in
 * few lines and arcs lies within 0.005 mm of it, and has a small share of its elements and corners.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define AREA_TOLERANCE 1e-6        /* of the area */
#define AREA_TOLERANCE_GEOS 1.5e-4 /* cracks of a millionth are closed by one of the two */
#define AGAIN_TOLERANCE 1e-3       /* of the art's area: arcs became chords on the way, */
#define AGAIN_MM 3e-4              /* and so far along all of the outline */
#define HAIR_MM 0.002              /* GEOS's arcs are chords */
#define CRUMB_MM2 2e-3             /* twice the area: less than any dust */
#define CRACK_MM 2e-6              /* half the width of a crack that is none */
#define FLATNESS_MM 2e-4
#define WAY_TOLERANCE_MM 5e-4
#define ARC_TOLERANCE_MM 2e-5
#define FEW_MM 0.005            /* of the written lines and arcs from the true ones, but for */
#define FEW_SHARE 0.4           /* of the elements, all in all */
#define KINK_LEAST_RAD RAD(0.3) /* a turn from one element to the next that is no corner, */
#define KINK_MOST_RAD RAD(15)   /* and yet can be felt */
#define KINK_SHARE 0.1

static const double bits[] = {0.8, 1.5875, 3.175, 6.35};

/* Half of the diameter that the fit rolls, which is a hair less than the bit's. */
static double radius_of(double bit)
{
    return (bit - fmin(0.005, 0.05 * bit)) / 2 + 1.07e-6;
}

static bool arcs_are_the_bits(const nw_drawing *drawing, double bit)
{
    double radius = radius_of(bit);
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        nw_point from = path->start;
        for (size_t k = 0; k < path->count; k++) {
            const nw_step *s = &path->steps[k];
            if (s->kind == NW_ARC && (s->clockwise || fabs(hypot(from.x - s->a.x, from.y - s->a.y) -
                                                           radius) > ARC_TOLERANCE_MM))
                return false;
            from = s->to;
        }
    }
    return true;
}

/* ---- against GEOS --------------------------------------------------------------------------- */

static GEOSCoordSequence *path_sequence(const nw_path *path, bool closed)
{
    nw_point *points;
    size_t count = shape_path_points(path, FLATNESS_MM, &points);
    GEOSCoordSequence *sequence = GEOSCoordSeq_create((unsigned)(count + closed), 2);
    for (size_t i = 0; i < count + closed; i++)
        GEOSCoordSeq_setXY(sequence, (unsigned)i, points[i % count].x, points[i % count].y);
    free(points);
    return sequence;
}

/* What lies within an odd number of the outlines, which cross nowhere. */
static GEOSGeometry *outlines_area(const nw_drawing *drawing)
{
    GEOSGeometry *all = GEOSGeom_createEmptyPolygon();
    for (size_t i = 0; i < drawing->count; i++) {
        GEOSGeometry *ring = GEOSGeom_createLinearRing(path_sequence(&drawing->paths[i], true));
        GEOSGeometry *one = GEOSGeom_createPolygon(ring, NULL, 0), *clean = GEOSBuffer(one, 0, 8);
        GEOSGeometry *next = GEOSSymDifference(all, clean);
        GEOSGeom_destroy(one);
        GEOSGeom_destroy(clean);
        GEOSGeom_destroy(all);
        all = next;
    }
    return all;
}

static double area_of(GEOSGeometry *geometry)
{
    double area = INFINITY;
    GEOSArea(geometry, &area);
    GEOSGeom_destroy(geometry);
    return area;
}

/* A crumb that is thinner all along than curves are flattened to. */
static bool is_sliver(const nw_region *region, size_t ring)
{
    double twice = 2 * fabs(nw_ring_area(region, ring));
    return twice < fmin(CRUMB_MM2, NW_FLATNESS_MM * nw_ring_length(region, ring));
}

/* The art without slivers, and without cracks and hairs of no width: the bit runs over them. */
static GEOSGeometry *art_area(const real_outline *outline)
{
    const nw_region *region = &outline->region;
    size_t points = region->count ? region->starts[region->count] : 0;
    nw_region kept = {.points = malloc((points + 1) * sizeof *kept.points),
                      .starts = calloc(region->count + 1, sizeof *kept.starts)};
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], count = region->starts[k + 1] - first;
        if (is_sliver(region, k))
            continue;
        memcpy(kept.points + kept.starts[kept.count], region->points + first,
               count * sizeof *kept.points);
        kept.starts[kept.count + 1] = kept.starts[kept.count] + count;
        kept.count++;
    }
    GEOSGeometry *all = second_area(&kept);
    free(kept.points);
    free(kept.starts);
    double steps[] = {CRACK_MM, -2 * CRACK_MM, CRACK_MM};
    for (int k = 0; k < 3; k++) {
        GEOSGeometry *next =
            GEOSBufferWithStyle(all, steps[k], 8, GEOSBUF_CAP_FLAT, GEOSBUF_JOIN_MITRE, 5);
        GEOSGeom_destroy(all);
        all = next;
    }
    return all;
}

/* How much of the outline as cut and of GEOS's opening is not in both, a hair round them aside. */
static double differs(const real_outline *outline, const GEOSGeometry *area, const nw_fit *fit)
{
    bool outside = fit->options.cut == NW_CUT_OUTSIDE;
    double bit = fit->options.bit;
    GEOSGeometry *rest = outside ? second_rest(&outline->region, area, 4 * bit) : NULL;
    GEOSGeometry *opened = second_opening(outside ? rest : area, radius_of(bit), 64);
    GEOSGeometry *cut = outlines_area(&fit->as_cut);
    GEOSGeometry *stock = outside ? GEOSDifference(rest, opened) : NULL;
    if (outside) { /* what stays: the art and what the bit leaves of the rest, but for the frame */
        GEOSGeometry *all = GEOSUnion(area, stock), *near = GEOSBuffer(area, 2 * bit, 8);
        GEOSGeom_destroy(opened);
        opened = GEOSIntersection(all, near);
        GEOSGeom_destroy(all);
        GEOSGeom_destroy(near);
    }
    GEOSGeometry *wide = GEOSBuffer(opened, HAIR_MM, 8), *narrow = GEOSBuffer(opened, -HAIR_MM, 8);
    double off = area_of(GEOSDifference(cut, wide)) + area_of(GEOSDifference(narrow, cut));
    GEOSGeometry *all[] = {rest, opened, cut, stock, wide, narrow};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        GEOSGeom_destroy(all[i]);
    return off;
}

static GEOSGeometry *outline_lines(const nw_drawing *drawing)
{
    GEOSGeometry **lines = malloc((drawing->count + 1) * sizeof(*lines));
    for (size_t i = 0; i < drawing->count; i++)
        lines[i] = GEOSGeom_createLineString(path_sequence(&drawing->paths[i], true));
    GEOSGeometry *all =
        GEOSGeom_createCollection(GEOS_MULTILINESTRING, lines, (unsigned)drawing->count);
    free(lines);
    return all;
}

/* How far points of the drawing are from lying at this distance from the lines; nearer: only those
 * count that lie nearer. */
static double distance_off(const nw_drawing *drawing, const GEOSGeometry *lines, double expected,
                           bool nearer)
{
    const GEOSPreparedGeometry *prepared = GEOSPrepare(lines);
    double worst = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_point *points;
        size_t count = shape_path_points(&drawing->paths[i], FLATNESS_MM, &points);
        for (size_t k = 0; k < count; k++) {
            double less = expected - second_distance(prepared, points[k].x, points[k].y);
            worst = fmax(worst, nearer ? less : fabs(less));
        }
        free(points);
    }
    GEOSPreparedGeom_destroy(prepared);
    return worst;
}

static double distance_error(const nw_drawing *one, const nw_drawing *other, double expected)
{
    GEOSGeometry *lines = outline_lines(other);
    double worst = distance_off(one, lines, expected, false);
    GEOSGeom_destroy(lines);
    return worst;
}

/* By how much the way comes too near to the art. */
static double gouge(const GEOSGeometry *area, const nw_fit *fit)
{
    GEOSGeometry *rim = GEOSBoundary(area);
    double worst = distance_off(&fit->bit_path, rim, radius_of(fit->options.bit), true);
    GEOSGeom_destroy(rim);
    return worst;
}

/* ---- once more ------------------------------------------------------------------------------ */

/* The gaps that the same bit but for a hair finds in the outline as cut, whose arcs became chords;
 * and what it then does not reach. */
static size_t gaps_again(const nw_fit *fit, double *unreached)
{
    nw_region region = shape_written(&fit->as_cut);
    nw_fit_options options = fit->options;
    options.bit -= 2 * HAIR_MM;
    nw_fit again = shape_fit(&region, &options);
    size_t gaps = again.unpaired;
    for (size_t i = 0; i < again.spot_count; i++)
        gaps += again.spots[i].side == NW_GAP;
    *unreached = again.area_unreached;
    nw_fit_free(&again);
    nw_region_free(&region);
    return gaps;
}

/* ---- in few lines and arcs ------------------------------------------------------------------- */

typedef struct {
    size_t steps, kinks;
} elements;

static nw_point tangent(nw_point from, const nw_step *s, bool end)
{
    nw_point at = end ? s->to : from, way = {s->to.x - from.x, s->to.y - from.y};
    if (s->kind == NW_ARC) {
        double side = s->clockwise ? -1 : 1;
        way = (nw_point){-side * (at.y - s->a.y), side * (at.x - s->a.x)};
    }
    return way;
}

static void elements_add(const nw_drawing *drawing, elements *sum)
{
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        for (size_t k = 0; k < path->count; k++) {
            size_t before = (k + path->count - 1) % path->count;
            nw_point from = k ? path->steps[k - 1].to : path->start;
            nw_point start = before ? path->steps[before - 1].to : path->start;
            nw_point a = tangent(start, &path->steps[before], true);
            nw_point b = tangent(from, &path->steps[k], false);
            double turn = fabs(atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y));
            sum->kinks += turn > KINK_LEAST_RAD && turn < KINK_MOST_RAD;
            sum->steps++;
        }
    }
}

/* How far the outlines in few elements are from the true ones at most. */
static double few_off(const nw_drawing *made, elements *all, elements *few_all)
{
    nw_drawing few;
    if (!made->count)
        return 0;
    if (nw_drawing_few_arcs(made, &few, NULL) != NW_OK)
        abort();
    elements_add(made, all);
    elements_add(&few, few_all);
    double off =
        few.count ? fmax(distance_error(&few, made, 0), distance_error(made, &few, 0)) : INFINITY;
    nw_drawing_free(&few);
    return off;
}

static elements made_all, few_all;

static bool outline_holds(const real_outline *outline, nw_cut cut, double bit)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = bit;
    options.with_shapes = true;
    nw_fit fit = shape_fit(&outline->region, &options);
    double sum = 0, art = nw_region_area(&outline->region), unreached = 0;
    for (size_t i = 0; i < fit.as_cut.count; i++)
        sum += shape_path_area(&fit.as_cut.paths[i]);
    double expected = cut == NW_CUT_OUTSIDE ? -(art + fit.area_unreached) : fit.area_reached;
    GEOSGeometry *area = art_area(outline);
    double wrong = fabs(sum - expected), off = differs(outline, area, &fit),
           way =
               fmax(distance_error(&fit.bit_path, &fit.as_cut, radius_of(bit)), gouge(area, &fit));
    GEOSGeom_destroy(area);
    bool arcs = arcs_are_the_bits(&fit.as_cut, bit);
    double few = fmax(few_off(&fit.as_cut, &made_all, &few_all),
                      few_off(&fit.bit_path, &made_all, &few_all));
    size_t gaps = fit.as_cut.count ? gaps_again(&fit, &unreached) : 0;
    bool good = wrong <= AREA_TOLERANCE * art + 1e-6 && arcs && off <= AREA_TOLERANCE_GEOS * art &&
                way <= WAY_TOLERANCE_MM && few <= FEW_MM && !gaps &&
                fabs(unreached) <= AGAIN_TOLERANCE * art + AGAIN_MM * fit.outline_length;
    if (!good) {
        printf(
            "# %s, %s, bit %g: encloses %.6f, not %.6f%s; GEOS differs by %.4f; the way is off by "
            "%.6f, in few arcs by %.6f; cut again %zu gaps, %.4f unreached\n",
            outline->name, nw_cut_name(cut), bit, sum, expected, arcs ? "" : ", strange arcs", off,
            way, few, gaps, unreached);
    }
    nw_fit_free(&fit);
    return good;
}

int main(void)
{
    second_start();
    bool all = outlines_all();
    real_outlines outlines = outlines_read(all ? 140 : 42, all ? 200 : 20, 120, all ? 20000 : 4000);
    if (!outlines_enough(&outlines))
        return 0;
    size_t tried = 0, held = 0;
    for (size_t i = 0; i < outlines.count; i += all ? 1 : 3) {
        for (size_t b = all ? 0 : i / 3 % 2; b < sizeof bits / sizeof *bits; b += all ? 1 : 2) {
            for (int outside = 0; outside < 2; outside++) {
                nw_cut cut = outside ? NW_CUT_OUTSIDE : NW_CUT_INSIDE;
                held += outline_holds(&outlines.items[i], cut, bits[b]);
                tried++;
            }
        }
    }
    bool few = (double)few_all.steps <= FEW_SHARE * (double)made_all.steps &&
               (double)few_all.kinks <= KINK_SHARE * (double)made_all.kinks;
    printf("1..2\n# %zu outlines, %zu of %zu fits enclose what they reach\n%sok 1 as cut\n",
           outlines.count, held, tried, held == tried ? "" : "not ");
    printf("# %zu elements of %zu, %zu slight turns of %zu\n%sok 2 in few lines and arcs\n",
           few_all.steps, made_all.steps, few_all.kinks, made_all.kinks, few ? "" : "not ");
    outlines_free(&outlines);
    return held == tried && few ? 0 : 1;
}
