/*
 * The law of the verdict on real outlines, words of type and clip art where Debian's
 * openclipart-svg is installed: if a bit fits, each smaller one does, and if a size fits, each
 * larger one, with the least neck going along with the bit or staying. At twelve bits of a common
 * rack, cut inside and outside, and at eight sizes for one bit.
 *
 * With the size dust and hairs grow too, which at a smaller size are less than what counts or than
 * what tells points apart: a spot as thin as a flattened outline may be off is left out there.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <stdio.h>
#include <stdlib.h>

#define WIDE_MM 120.0
#define BITS 12
#define SIZES 8
#define BIT_MM 3.175
#define HAIR_MM 0.002 /* at each wall */
#define DUST_MM2 0.04 /* at four times the size; 0.002 mm2 are dust at once */

static const double bits[BITS] = {0.79375, 1.5875, 2, 2.38125, 3.175, 3.96875,
                                  4.7625,  6.35,   8, 9.525,   12.7,  16};
static const double sizes[SIZES] = {0.5, 0.7, 0.9, 1, 1.3, 1.8, 2.6, 4};

typedef struct {
    size_t outlines, answers, fits, broken;
} tally;

static nw_fit fit_of(const nw_region *region, nw_cut cut, double bit, double neck)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = bit;
    options.neck = neck;
    return shape_fit(region, &options);
}

static void say(const real_outline *outline, nw_cut cut, const char *what, double fits,
                const nw_fit *fit, double other)
{
    const nw_spot *spot = fit->spots;
    printf("# %s, cut %s: %s %g fits, %g does not: %s %s at (%.3f, %.3f), depth %.3f of %.3f, area "
           "%.4f\n",
           outline->name, nw_cut_name(cut), what, fits, other, nw_side_name(spot->side),
           nw_form_name(spot->form), spot->at.x, spot->at.y, spot->depth, fit->blunt, spot->area);
}

/* From the largest down: after one that fits all must. */
static void bits_try(const real_outline *outline, nw_cut cut, double neck, tally *sum)
{
    double fits = 0;
    for (int k = BITS; k-- > 0;) {
        nw_fit fit = fit_of(&outline->region, cut, bits[k], neck);
        sum->answers++;
        sum->fits += fit.fits;
        if (fit.fits)
            fits = fits > 0 ? fits : bits[k];
        else if (fits > 0) {
            say(outline, cut, "bit", fits, &fit, bits[k]);
            sum->broken++;
        }
        nw_fit_free(&fit);
    }
}

static bool is_hair(const nw_fit *fit)
{
    bool hair = true;
    for (size_t k = 0; k < fit->spot_count; k++)
        hair = hair && fit->spots[k].area <= HAIR_MM * fit->spots[k].length + DUST_MM2;
    return hair;
}

static void sizes_try(const real_outline *outline, nw_cut cut, tally *sum)
{
    double fits = 0;
    for (int k = 0; k < SIZES; k++) {
        nw_region art = shape_moved(&outline->region, shape_move_similar(sizes[k], 0, false, 0, 0));
        nw_fit fit = fit_of(&art, cut, BIT_MM, 0);
        sum->answers++;
        sum->fits += fit.fits;
        if (fit.fits)
            fits = fits > 0 ? fits : sizes[k];
        else if (fits > 0 && !is_hair(&fit)) {
            say(outline, cut, "size", fits, &fit, sizes[k]);
            sum->broken++;
        }
        nw_fit_free(&fit);
        nw_region_free(&art);
    }
}

int main(void)
{
    second_start();
    real_outlines outlines = outlines_all() ? outlines_read(140, 300, WIDE_MM, 4000)
                                            : outlines_read(40, 40, WIDE_MM, 1500);
    if (!outlines_enough(&outlines)) {
        outlines_free(&outlines);
        return EXIT_SUCCESS;
    }
    tally sum = {0, 0, 0, 0};
    for (size_t i = 0; i < outlines.count; i++) {
        for (int cut = NW_CUT_INSIDE; cut <= NW_CUT_OUTSIDE; cut++) {
            bits_try(&outlines.items[i], (nw_cut)cut, cut == NW_CUT_INSIDE ? 0.1 : 0, &sum);
            sizes_try(&outlines.items[i], (nw_cut)cut, &sum);
        }
        sum.outlines++;
    }
    outlines_free(&outlines);
    bool both = sum.fits > sum.answers / 20 && sum.fits < sum.answers - sum.answers / 20;
    printf("1..2\n# %zu outlines, %zu answers, %zu of them yes\n", sum.outlines, sum.answers,
           sum.fits);
    printf("%sok 1 - what fits one bit or size fits each smaller bit and larger size\n",
           sum.broken ? "not " : "");
    printf("%sok 2 - both answers are common\n", both ? "" : "not ");
    return sum.broken || !both ? EXIT_FAILURE : EXIT_SUCCESS;
}
