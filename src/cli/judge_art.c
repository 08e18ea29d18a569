/* judge: what comes loose, the stock needed, the fit, the tabs and the ways out of loaded art. */
#include <cli/judge_art.h>
#include <cli/spot_choice.h>

#include <stdlib.h>

static nw_status fit_find(const cli_request *request, cli_art *art, cli_talk *talk,
                          cli_judged *judged, nw_error *error)
{
    nw_fit_options options = nw_job_fit_options(&request->job);
    options.progress = talk_progress;
    options.progress_context = talk;
    nw_status status = hold_loose(request, &art->art.region, talk, &judged->hold, error);
    if (status == NW_OK)
        status = hold_stock(request, &art->art.drawing, talk, &judged->hold, error);
    if (status == NW_OK)
        status = nw_fit_run(&art->art.region, &options, &judged->fit, error);
    return status == NW_OK
               ? hold_tabs(request, &art->art.region, &judged->fit, talk, &judged->hold, error)
               : status;
}

/* What --spots says of the spots that were found. */
static nw_status left_find(const cli_request *request, cli_judged *judged, nw_error *error)
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
    judged->report = (nw_report){.art = name,
                                 .drawing = &art->art.drawing,
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
        status = left_find(request, judged, error);
    if (status == NW_OK) {
        status = nw_report_rest_fits(&judged->report)
                     ? rack_load(request, &judged->found.rack, NULL, error)
                     : ways_find(request, &art->art.drawing, &art->art.region, &judged->fit,
                                 &judged->found, error);
    }
    if (status != NW_OK)
        judged_free(judged);
    return status;
}

void judged_free(cli_judged *judged)
{
    nw_fit_free(&judged->fit);
    free(judged->left);
    hold_free(&judged->hold);
    nw_rack_free(&judged->found.rack);
}
