/* Art and a cut: the fit, every bit, every size and the ways out, and the law that what fits one
 * bit fits each smaller one. */
#include "shapes.h"

#include <choose/choose.h>

#define SHAPES 8

static void bits_hold(const nw_region *region, const nw_fit_options *options, const nw_rack *rack)
{
    nw_bits bits;
    nw_error error;
    nw_status status = nw_bits_compare(region, options, rack, 0, &bits, &error);
    fuzz_hold_status(status, &error);
    if (status != NW_OK)
        return;
    for (size_t i = 0; i < bits.count; i++) {
        const nw_bit_result *result = &bits.results[i];
        fuzz_hold(result->share_unreached >= 0 && result->share_unreached <= 1);
        fuzz_hold(result->share_outline >= 0 && result->share_outline <= 1);
        /* The least neck goes with the bit, or stays: either way the smaller one asks for less. */
        if (i && result[-1].fit.fits && result->diameter < result[-1].diameter)
            fuzz_hold(result->fit.fits || result->fit.unpaired);
    }
    nw_bits_free(&bits);
}

static void ways_hold(const nw_drawing *art, const nw_region *region, const nw_fit *fit,
                      const nw_rack *rack)
{
    nw_ways ways;
    nw_error error;
    nw_status status = nw_ways_find(art, region, &fit->options, fit, rack, 0, &ways, &error);
    fuzz_hold_status(status, &error);
}

static void sizes_hold(const nw_drawing *art, const nw_region *region,
                       const nw_fit_options *options)
{
    nw_sizes sizes;
    nw_error error;
    nw_status status = nw_sizes_compare(art, region, options, 0, &sizes, &error);
    fuzz_hold_status(status, &error);
    if (status == NW_OK)
        nw_sizes_free(&sizes);
}

static void judged_hold(const nw_drawing *art, const nw_region *region,
                        const nw_fit_options *options, const nw_rack *rack, uint8_t what)
{
    nw_fit fit;
    nw_error error;
    nw_status status = nw_fit_run(region, options, &fit, &error);
    fuzz_hold_status(status, &error);
    if (status != NW_OK)
        return;
    fuzz_hold_fit(&fit);
    if (what % 8 == 1)
        bits_hold(region, options, rack);
    else if (what % 8 == 2)
        ways_hold(art, region, &fit, rack);
    else if (what % 8 == 3)
        sizes_hold(art, region, options);
    nw_fit_free(&fit);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    fuzz_bytes bytes = {data, length};
    fuzz_case made;
    if (!fuzz_case_read(&bytes, SHAPES, &made))
        return 0;
    nw_region region;
    nw_rack rack;
    nw_error error;
    fuzz_hold(nw_rack_common(&rack, &error) == NW_OK);
    nw_status status = nw_drawing_flatten(&made.art, NW_FLATNESS_MM, &region, &error);
    fuzz_hold_status(status, &error);
    if (status == NW_OK) {
        judged_hold(&made.art, &region, &made.cut, &rack, made.what);
        nw_region_free(&region);
    }
    nw_rack_free(&rack);
    nw_drawing_free(&made.art);
    return 0;
}
