/* cut: what the request says about the cut, as options of the fit. */
#include <cli/art.h>

#define SMALLEST_BIT_MM 0.01 /* below it, what counts as the same width is no longer small */
#define LARGEST_BIT_MM 1000.0
#define NO_TIPS 1e-9 /* --blunt 0: no tip is shallow enough to be a corner */

nw_status cut_check(const cli_request *request, nw_error *error)
{
    if (!request->cut.given) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "say how the art is cut: --cut inside, --cut outside or --cut pocket");
    }
    if (!(request->bit > 0)) {
        return nw_fail(error, NW_BAD_REQUEST, "say which bit: for example --bit 1/8in");
    }
    if (request->bit < SMALLEST_BIT_MM || (request->neck > 0 && request->neck < SMALLEST_BIT_MM)) {
        return nw_fail(
            error, NW_BAD_REQUEST,
            "--bit and --neck: less than a hundredth of a millimetre cannot be judged; is "
            "the unit right?");
    }
    if (request->bit > LARGEST_BIT_MM || request->neck > LARGEST_BIT_MM ||
        request->stock > LARGEST_BIT_MM) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "--bit, --neck and --stock: more than a metre is not meant; is the unit "
                       "right?");
    }
    return NW_OK;
}

nw_fit_options cut_options(const cli_request *request, bool *from_stock)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = request->cut.cut;
    options.bit = request->bit;
    *from_stock = !(request->neck > 0) && request->stock > request->bit;
    options.neck = *from_stock ? request->stock : request->neck;
    if (request->blunt >= 0) {
        options.blunt = request->blunt > 0 ? request->blunt : NO_TIPS;
    }
    options.with_shapes = true;
    options.has_stock = request->sheet.width > 0;
    options.stock = sheet_box(request);
    options.threads = request->threads;
    return options;
}
