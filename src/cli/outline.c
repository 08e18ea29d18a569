/* outline: the clean outlines only, in one file or on standard output. */
#include <cli/files.h>

/* The fit and the tabs, where something that they make is wanted. */
static nw_status fit_wanted(const cli_request *request, cli_art *art, cli_talk *talk, nw_fit *fit,
                            cli_hold *hold, nw_error *error)
{
    if (!layers_need_fit(request))
        return NW_OK;
    nw_fit_options options = nw_job_fit_options(&request->job);
    nw_region region;
    nw_status status = nw_drawing_flatten(&art->art.drawing, NW_FLATNESS_MM, &region, error);
    if (status == NW_OK)
        status = nw_fit_run(&region, &options, fit, error);
    if (status == NW_OK)
        status = hold_tabs(request, &region, fit, talk, hold, error);
    nw_region_free(&region);
    return status;
}

static nw_status art_write(const cli_request *request, cli_art *art, cli_talk *talk, cli_hold *hold,
                           nw_error *error)
{
    const char *path = request->output ? request->output : "-";
    nw_fit fit = {0};
    cli_layers layers = {0};
    nw_text text = {0};
    nw_status status = fit_wanted(request, art, talk, &fit, hold, error);
    if (status == NW_OK)
        status = layers_make(request, &art->art.drawing, &fit, hold, &layers, error);
    if (status == NW_OK)
        status = layers_write(&layers, request, format_of(path), request->arts[0], &text, error);
    if (status == NW_OK)
        status = file_save(path, &text, talk, &(nw_text){0}, error);
    nw_text_free(&text);
    layers_free(&layers);
    nw_fit_free(&fit);
    return status;
}

nw_status outline_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    *exit = EXIT_FITS;
    const nw_job *job = &request->job;
    bool cut = layers_need_fit(request) || job->bridge > 0 || job->bridge_count ||
               request->break_tabs || job->tab_width > 0;
    nw_status status = cut ? cut_check(request, error) : NW_OK;
    if (status == NW_OK)
        status = hold_check(request, error);
    if (status != NW_OK)
        return status;
    cli_art art;
    art_wants wants = {.size = true, .region = cut};
    status = art_load(request->arts[0], request, wants, talk, &art, error);
    if (status != NW_OK)
        return status;
    cli_hold hold = {.origin = {0, 0}};
    status = hold_bridge(request, talk, &art.art.drawing, &hold, error);
    if (status == NW_OK)
        status = art_write(request, &art, talk, &hold, error);
    hold_free(&hold);
    art_free(&art);
    return status;
}
