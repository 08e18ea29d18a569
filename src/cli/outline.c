/* outline: the clean outlines only, in one file or on standard output. */
#include "cli.h"

/* The fit, where something that it makes is wanted. */
static nw_status fit_wanted(const cli_request *request, const cli_art *art, nw_fit *fit,
                            nw_error *error)
{
    *fit = (nw_fit){0};
    if (!layers_need_fit(request)) {
        return NW_OK;
    }
    bool from_stock;
    nw_fit_options options = cut_options(request, &from_stock);
    nw_region region;
    nw_status status = nw_drawing_flatten(&art->drawing, NW_FLATNESS_MM, &region, error);
    if (status == NW_OK) {
        status = nw_fit_run(&region, &options, fit, error);
        nw_region_free(&region);
    }
    return status;
}

static nw_status art_write(const cli_request *request, const cli_art *art, cli_talk *talk,
                           const char *path, nw_error *error)
{
    nw_fit fit;
    nw_text text = {0};
    nw_status status = fit_wanted(request, art, &fit, error);
    if (status == NW_OK) {
        cli_layers layers = layers_of(request, &art->drawing, &fit);
        status = layers_write(&layers, format_of(path), request->arts[0], &text, error);
    }
    talk_clear(talk);
    if (status == NW_OK) {
        status = nw_file_write(path, text.data, text.length, error);
    }
    nw_text_free(&text);
    nw_fit_free(&fit);
    return status;
}

nw_status outline_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    *exit = EXIT_FITS;
    const char *path = request->output ? request->output : "-";
    if (format_of(path) == FORMAT_NONE) {
        return nw_fail(error, NW_BAD_REQUEST, "-o: '%s' ends neither in .svg nor in .dxf", path);
    }
    if (art_is_file(request->arts[0], path)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' would be overwritten by its own outline; give another name with -o",
                       path);
    }
    bool cut = layers_need_fit(request) || request->bridge > 0 || request->bridge_count;
    nw_status status = cut ? cut_check(request, error) : NW_OK;
    if (status == NW_OK) {
        status = hold_check(request, error);
    }
    if (status != NW_OK) {
        return status;
    }
    cli_art art;
    status = art_load(request->arts[0], request, (art_wants){.size = true}, talk, &art, error);
    if (status != NW_OK) {
        return status;
    }
    status = hold_bridge(request, talk, &art.notes, &art.drawing, error);
    if (status == NW_OK) {
        status = art_write(request, &art, talk, path, error);
    }
    art_free(&art);
    return status;
}
