/* check: what options together cannot mean. */
#include <cli/load.h>

#define SMALLEST_BIT_MM 0.01 /* below it, what counts as the same width is no longer small */
#define LARGEST_BIT_MM 1000.0

static nw_status range_check(const char *option, double length, nw_error *error)
{
    if (length == 0 || (length >= SMALLEST_BIT_MM && length <= LARGEST_BIT_MM))
        return NW_OK;
    return nw_fail(error, NW_BAD_REQUEST,
                   "--%s: from 0.01mm to 1000mm can be judged; is the unit right?", option);
}

nw_status cut_check(const cli_request *request, nw_error *error)
{
    const nw_job *job = &request->job;
    if (!option_given(request, "cut")) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "say how the art is cut: --cut inside, --cut outside or --cut pocket");
    }
    if (!(job->bit > 0))
        return nw_fail(error, NW_BAD_REQUEST, "say which bit: for example --bit 1/8in");
    nw_status status = range_check("bit", job->bit, error);
    if (status == NW_OK)
        status = range_check("neck", job->neck, error);
    return status == NW_OK ? range_check("stock", job->stock, error) : status;
}

nw_status list_check(const cli_request *request, nw_error *error)
{
    return request->json && request->csv
               ? nw_fail(error, NW_BAD_REQUEST,
                         "--json and --csv would both go to standard output; give one of them")
               : NW_OK;
}

nw_status hold_check(const cli_request *request, nw_error *error)
{
    const nw_job *job = &request->job;
    if (job->bridge_count && !(job->bridge > 0)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "--bridge-count: say also how wide, as in --bridge 5mm");
    }
    if (job->bridge_at.count && (!(job->bridge > 0) || job->bridge_count)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       job->bridge_count
                           ? "--bridge-at: it says all the places; leave --bridge-count out"
                           : "--bridge-at: say also how wide, as in --bridge 5mm");
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
