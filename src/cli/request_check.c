/* check: what options together cannot mean. */
#include <cli/load.h>

#define SMALLEST_BIT_MM 0.01 /* below it, what counts as the same width is no longer small */
#define LARGEST_BIT_MM 1000.0

nw_status cut_check(const cli_request *request, nw_error *error)
{
    const nw_job *job = &request->job;
    if (!option_given(request, "cut")) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "say how the art is cut: --cut inside, --cut outside or --cut pocket");
    }
    if (!(job->bit > 0))
        return nw_fail(error, NW_BAD_REQUEST, "say which bit: for example --bit 1/8in");
    if (job->bit < SMALLEST_BIT_MM || (job->neck > 0 && job->neck < SMALLEST_BIT_MM)) {
        return nw_fail(
            error, NW_BAD_REQUEST,
            "--bit and --neck: less than a hundredth of a millimetre cannot be judged; is "
            "the unit right?");
    }
    if (job->bit > LARGEST_BIT_MM || job->neck > LARGEST_BIT_MM || job->stock > LARGEST_BIT_MM) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "--bit, --neck and --stock: more than a metre is not meant; is the unit "
                       "right?");
    }
    return NW_OK;
}

nw_status hold_check(const cli_request *request, nw_error *error)
{
    const nw_job *job = &request->job;
    if (job->bridge_count && !(job->bridge > 0)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "--bridge-count: say also how wide, as in --bridge 5mm");
    }
    if (job->bridge > 0 && job->cut == NW_CUT_POCKET) {
        return nw_fail(
            error, NW_BAD_REQUEST,
            "--bridge: nothing comes loose in a pocket, for its floor holds what is left; "
            "leave it out");
    }
    if (job->tab_at.count && option_given(request, "tabs"))
        return nw_fail(error, NW_BAD_REQUEST, "--tab-at: it says all the places; leave --tabs out");
    if (!job->tabs && (request->break_tabs || job->tab_width > 0)) {
        return nw_fail(error, NW_BAD_REQUEST, "%s: say also how many, as in --tabs auto",
                       request->break_tabs ? "--break-tabs" : "--tab-width");
    }
    if (job->tabs && job->cut == NW_CUT_POCKET) {
        return nw_fail(error, NW_BAD_REQUEST, "%s: nothing comes loose in a pocket; leave it out",
                       job->tab_at.count ? "--tab-at" : "--tabs");
    }
    return NW_OK;
}
