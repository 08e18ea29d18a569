/*
 * The outline that the bit produces, on real outlines. What it encloses is what the bit reaches:
 * areas of residues and of the outline as cut are summed along different paths, so they check one
 * another, and GEOS's opening covers the same area at the same places. Its arcs are all the bit's.
 * The bit's centre runs everywhere one radius from it. Cut once more with the same bit it stays as
 * it is: an opening is idempotent (Serra 1982).
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <svg/svg.h>
#include <report/report.h>
#include <svg/svg.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define AREA_TOLERANCE 1e-6 /* of the area */
#define AREA_TOLERANCE_GEOS 1e-4
#define AGAIN_TOLERANCE 1e-3 /* of the art's area: arcs became chords on the way */
#define HAIR_MM 0.002        /* GEOS's arcs are chords */
#define FLATNESS_MM 2e-4
#define WAY_TOLERANCE_MM 5e-4
#define ARC_TOLERANCE_MM 2e-5

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

/* How much of the outline as cut and of GEOS's opening is not in both, a hair round them aside. */
static double differs(const real_outline *outline, const nw_fit *fit)
{
    bool outside = fit->options.cut == NW_CUT_OUTSIDE;
    double bit = fit->options.bit;
    GEOSGeometry *area = second_area(&outline->region);
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
    GEOSGeometry *all[] = {area, rest, opened, cut, stock, wide, narrow};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        GEOSGeom_destroy(all[i]);
    return off;
}

/* How far the centre's way is from lying one radius from the outline as cut. */
static double offset_error(const nw_fit *fit)
{
    double radius = radius_of(fit->options.bit);
    GEOSGeometry **lines = malloc((fit->as_cut.count + 1) * sizeof(*lines));
    for (size_t i = 0; i < fit->as_cut.count; i++)
        lines[i] = GEOSGeom_createLineString(path_sequence(&fit->as_cut.paths[i], true));
    GEOSGeometry *all =
        GEOSGeom_createCollection(GEOS_MULTILINESTRING, lines, (unsigned)fit->as_cut.count);
    const GEOSPreparedGeometry *prepared = GEOSPrepare(all);
    double worst = 0;
    for (size_t i = 0; i < fit->bit_path.count; i++) {
        nw_point *points;
        size_t count = shape_path_points(&fit->bit_path.paths[i], FLATNESS_MM, &points);
        for (size_t k = 0; k < count; k++) {
            GEOSGeometry *point = GEOSGeom_createPointFromXY(points[k].x, points[k].y);
            double distance = INFINITY;
            GEOSPreparedDistance(prepared, point, &distance);
            worst = fmax(worst, fabs(distance - radius));
            GEOSGeom_destroy(point);
        }
        free(points);
    }
    GEOSPreparedGeom_destroy(prepared);
    GEOSGeom_destroy(all);
    free(lines);
    return worst;
}

/* ---- once more ------------------------------------------------------------------------------ */

/* The outline as cut, written as SVG in one even-odd path and read again. */
static nw_region region_again(const nw_fit *fit)
{
    nw_drawing drawing, read;
    nw_text svg;
    nw_svg_notes notes;
    nw_region region;
    bool good = nw_drawing_copy(&fit->as_cut, &drawing, NULL) == NW_OK;
    for (size_t i = 0; good && i < drawing.count; i++)
        drawing.paths[i].piece = 0;
    const nw_layer layer = {"as-cut", &drawing, NULL, true};
    good =
        good && nw_write_svg(&layer, 1, "as cut", &svg, NULL) == NW_OK &&
        nw_drawing_read_svg((const uint8_t *)svg.data, svg.length, &read, &notes, NULL) == NW_OK &&
        nw_drawing_flatten(&read, NW_FLATNESS_MM, &region, NULL) == NW_OK;
    if (!good)
        abort();
    nw_text_free(&svg);
    nw_drawing_free(&drawing);
    nw_drawing_free(&read);
    return region;
}

/* The gaps that the same bit finds in the outline as cut, and what it then does not reach. */
static size_t gaps_again(const nw_fit *fit, double *unreached)
{
    nw_region region = region_again(fit);
    nw_fit again = shape_fit(&region, &fit->options);
    size_t gaps = again.unpaired;
    for (size_t i = 0; i < again.spot_count; i++)
        gaps += again.spots[i].side == NW_GAP;
    *unreached = again.area_unreached;
    nw_fit_free(&again);
    nw_region_free(&region);
    return gaps;
}

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
    double wrong = fabs(sum - expected), off = differs(outline, &fit), way = offset_error(&fit);
    bool arcs = arcs_are_the_bits(&fit.as_cut, bit);
    size_t gaps = fit.as_cut.count ? gaps_again(&fit, &unreached) : 0;
    bool good = wrong <= AREA_TOLERANCE * art + 1e-6 && arcs && off <= AREA_TOLERANCE_GEOS * art &&
                way <= WAY_TOLERANCE_MM && !gaps && fabs(unreached) <= AGAIN_TOLERANCE * art;
    if (!good) {
        printf(
            "# %s, %s, bit %g: encloses %.6f, not %.6f%s; GEOS differs by %.4f; the way is off by "
            "%.6f; cut again %zu gaps, %.4f unreached\n",
            outline->name, nw_cut_name(cut), bit, sum, expected, arcs ? "" : ", strange arcs", off,
            way, gaps, unreached);
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
    for (size_t i = 0; i < outlines.count; i++) {
        for (size_t b = all ? 0 : i % 2; b < sizeof bits / sizeof *bits; b += all ? 1 : 2) {
            for (int outside = 0; outside < 2; outside++) {
                nw_cut cut = outside ? NW_CUT_OUTSIDE : NW_CUT_INSIDE;
                held += outline_holds(&outlines.items[i], cut, bits[b]);
                tried++;
            }
        }
    }
    printf("1..1\n# %zu outlines, %zu of %zu fits enclose what they reach\n%sok 1 as cut\n",
           outlines.count, held, tried, held == tried ? "" : "not ");
    outlines_free(&outlines);
    return held == tried ? 0 : 1;
}
