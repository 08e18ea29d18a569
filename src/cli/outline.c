/* outline: the clean outlines only, in one file, in both formats in a folder, or
 * on standard output. */
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

enum { OUTLINE_SVG, OUTLINE_DXF, FILE_COUNT };

/* In both formats. */
static nw_status folder_write(const cli_request *request, const cli_layers *layers, cli_talk *talk,
                              nw_text *said, nw_error *error)
{
    cli_file files[FILE_COUNT] = {{.name = "outline.svg"}, {.name = "outline.dxf"}};
    const char *art = request->arts[0];
    nw_status status = layers_write_both(layers, request, art, &files[OUTLINE_SVG].text,
                                         &files[OUTLINE_DXF].text, error);
    if (status == NW_OK)
        status = files_save(art, request->output, files, FILE_COUNT, talk, said, error);
    files_free(files, FILE_COUNT);
    return status;
}

static nw_status art_write(const cli_request *request, cli_art *art, cli_talk *talk, cli_hold *hold,
                           nw_error *error)
{
    nw_fit fit = {0};
    cli_layers layers = {0};
    nw_text said = {0};
    nw_status status = fit_wanted(request, art, talk, &fit, hold, error);
    if (status == NW_OK)
        status = layers_make(request, &art->art.drawing, &fit, hold, &layers, error);
    if (!request->quiet)
        add_written(&said, request->output);
    if (status == NW_OK) {
        status = format_of(request->output) == FORMAT_NONE
                     ? folder_write(request, &layers, talk, &said, error)
                     : layers_save(&layers, request, request->arts[0], talk, &said, error);
    }
    nw_text_free(&said);
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
    nw_hold_free(&hold.hold);
    art_free(&art);
    return status;
}
