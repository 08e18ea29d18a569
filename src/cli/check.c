/* check: does this bit fit? One art, or each of many. */
#include <cli/check.h>
#include <cli/load.h>
#include <cli/ways_print.h>

static nw_status only_run(const cli_request *request, cli_talk *talk, exit_code *exit,
                          nw_error *error)
{
    check_result result = {0};
    nw_status status =
        check_one(request->arts[0], request->output, request, talk, NULL, &result, error);
    talk_clear(talk);
    *exit = result.fits && !result.unread ? EXIT_FITS : EXIT_SPOTS;
    return status;
}

/* A rack that cannot be read is told at once, and once, though it is used last and for each. */
static nw_status rack_check(const cli_request *request, nw_error *error)
{
    nw_rack rack = {0};
    nw_status status = request->rack ? rack_load(request, &rack, NULL, error) : NW_OK;
    nw_rack_free(&rack);
    return status;
}

nw_status check_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    nw_status status = cut_check(request, error);
    if (status == NW_OK)
        status = hold_check(request, error);
    if (status == NW_OK)
        status = rack_check(request, error);
    if (status != NW_OK)
        return status;
    bool each = request->each || request->art_count > 1;
    if (each && request->spots)
        return nw_fail(error, NW_BAD_REQUEST, "--spots are those of one art, and there are many");
    if (each)
        return each_run(request, talk, exit, error);
    return only_run(request, talk, exit, error);
}
