/* judge: what comes loose and holds it, the stock needed, the fit and the ways out of loaded art.
 */
#include <cli/judge_art.h>
#include <cli/spot_choice.h>

#include <stdlib.h>

/* Judged is what is written: where bridges are asked for, the art with them. */
static nw_status bridges_find(const cli_request *request, const cli_art *art, cli_talk *talk,
                              cli_judged *judged, nw_error *error)
{
    nw_status status = nw_drawing_copy(&art->art.drawing, &judged->bridged, error);
    if (status == NW_OK)
        status = hold_bridge(request, talk, &judged->bridged, &judged->hold, error);
    return status == NW_OK
               ? nw_drawing_flatten(&judged->bridged, NW_FLATNESS_MM, &judged->region, error)
               : status;
}

static nw_status fit_find(const cli_request *request, const cli_art *art, cli_talk *talk,
                          cli_judged *judged, nw_error *error)
{
    nw_fit_options options = nw_job_fit_options(&request->job);
    options.progress = talk_progress;
    options.progress_context = talk;
    options.with_sides = true;
    bool bridged = request->job.bridge > 0;
    const nw_region *region = bridged ? &judged->region : &art->art.region;
    nw_status status = bridged ? bridges_find(request, art, talk, judged, error) : NW_OK;
    if (status == NW_OK)
        status = hold_loose(request, region, talk, &judged->hold, error);
    if (status == NW_OK)
        status = hold_stock(request, &art->art.drawing, talk, &judged->hold, error);
    if (status == NW_OK)
        status = nw_fit_run(region, &options, &judged->fit, error);
    return status == NW_OK ? hold_tabs(request, region, &judged->fit, talk, &judged->hold, error)
                           : status;
}

/* They are the art's, for its bridges would not grow with it. */
static nw_status out_find(const cli_request *request, const cli_art *art, cli_judged *judged,
                          nw_error *error)
{
    const nw_fit *fit = &judged->fit;
    nw_status status = NW_OK;
    if (!nw_report_rest_fits(&judged->report) && request->job.bridge > 0) {
        fit = &judged->bare;
        status = nw_fit_run(&art->art.region, &judged->fit.options, &judged->bare, error);
    }
    if (status != NW_OK)
        return status;
    return nw_report_rest_fits(&judged->report) || fit->fits
               ? rack_load(request, &judged->found.rack, NULL, error)
               : ways_find(request, &art->art, fit, &judged->found, error);
}

/* What --spots says of the spots that were found. */
static nw_status choices_take(const cli_request *request, cli_judged *judged, nw_error *error)
{
    nw_remedy *remedies;
    nw_status status = spots_choose(request->spots, &judged->fit, &remedies, error);
    if (status == NW_OK && remedies) {
        judged->left = spots_left(remedies, judged->fit.spot_count);
        status = judged->left ? NW_OK : nw_fail_memory(error, "the choice of spots");
    }
    judged->report.left = judged->left;
    free(remedies);
    return status;
}

nw_status art_judge(const char *name, const cli_request *request, cli_art *art, cli_talk *talk,
                    cli_judged *judged, nw_error *error)
{
    *judged = (cli_judged){.hold = {.origin = {0, 0}}};
    nw_status status = fit_find(request, art, talk, judged, error);
    bool bridged = request->job.bridge > 0;
    judged->report = (nw_report){.art = name,
                                 .drawing = bridged ? &judged->bridged : &art->art.drawing,
                                 .fit = &judged->fit,
                                 .neck_from_stock = nw_job_neck_from_stock(&request->job),
                                 .notes = (const char *const *)talk->notes.lines,
                                 .note_count = talk->notes.plain,
                                 .detail_count = talk->notes.count - talk->notes.plain,
                                 .inch = request->inch,
                                 .unread = art->art.unread,
                                 .sure = art->art.sure,
                                 .held = &judged->hold.held,
                                 .pieces = &art->art.pieces};
    if (status == NW_OK)
        status = choices_take(request, judged, error);
    if (status == NW_OK)
        status = out_find(request, art, judged, error);
    nw_fit_sides_free(&judged->fit);
    nw_fit_sides_free(&judged->bare);
    if (status != NW_OK)
        judged_free(judged);
    return status;
}

void judged_free(cli_judged *judged)
{
    nw_drawing_free(&judged->bridged);
    nw_region_free(&judged->region);
    nw_fit_free(&judged->fit);
    nw_fit_free(&judged->bare);
    free(judged->left);
    nw_hold_free(&judged->hold.hold);
    nw_rack_free(&judged->found.rack);
}
