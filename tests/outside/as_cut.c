/*
 * The outline that the bit produces, on real outlines: what it encloses is what the bit reaches,
 * its arcs are all the bit's, and the bit's centre on its way never comes nearer than the radius
 * to the outline as cut. Areas of residues and of the outline as cut are summed along different
 * paths, so they check one another.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdio.h>

#define AREA_TOLERANCE 1e-6 /* of the area */
#define ARC_TOLERANCE_MM 2e-5

static const double bits[] = {0.8, 1.5875, 3.175, 6.35};

static bool arcs_are_the_bits(const nw_drawing *drawing, double bit)
{
    double radius = (bit - fmin(0.005, 0.05 * bit)) / 2 + 1.07e-6;
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        nw_point from = path->start;
        for (size_t k = 0; k < path->count; k++) {
            const nw_step *s = &path->steps[k];
            if (s->kind == NW_ARC && (s->clockwise || fabs(hypot(from.x - s->a.x, from.y - s->a.y) -
                                                           radius) > ARC_TOLERANCE_MM)) {
                return false;
            }
            from = s->to;
        }
    }
    return true;
}

static bool outline_holds(const real_outline *outline, nw_cut cut, double bit)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = bit;
    options.with_shapes = true;
    nw_fit fit = shape_fit(&outline->region, &options);
    double sum = 0, art = nw_region_area(&outline->region);
    for (size_t i = 0; i < fit.as_cut.count; i++) {
        sum += shape_path_area(&fit.as_cut.paths[i]);
    }
    double expected = cut == NW_CUT_OUTSIDE ? -(art + fit.area_unreached) : fit.area_reached;
    bool good = fabs(sum - expected) <= AREA_TOLERANCE * art + 1e-6;
    bool arcs = arcs_are_the_bits(&fit.as_cut, bit);
    if (!good || !arcs) {
        printf("# %s, %s, bit %g: encloses %.6f, not %.6f%s\n", outline->name, nw_cut_name(cut),
               bit, sum, expected, arcs ? "" : "; strange arcs");
    }
    nw_fit_free(&fit);
    return good && arcs;
}

int main(void)
{
    second_start();
    bool all = outlines_all();
    real_outlines outlines = outlines_read(all ? 140 : 42, all ? 200 : 20, 120, all ? 20000 : 4000);
    if (!outlines_enough(&outlines)) {
        return 0;
    }
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
