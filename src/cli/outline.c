/* outline: the clean outlines only, in one file or on standard output. */
#include "cli.h"

nw_status outline_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    *exit = EXIT_FITS;
    const char *path = request->output ? request->output : "-";
    cli_format format = format_of(path);
    if (format == FORMAT_NONE) {
        return nw_fail(error, NW_BAD_REQUEST, "-o: '%s' ends neither in .svg nor in .dxf", path);
    }
    if (art_is_file(request->arts[0], path)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' would be overwritten by its own outline; give another name with -o",
                       path);
    }
    cli_art art;
    nw_status status =
        art_load(request->arts[0], request, (art_wants){.size = true}, talk, &art, error);
    if (status != NW_OK) {
        return status;
    }
    nw_text text = {0};
    nw_layer layer = {.name = "outline", .drawing = &art.drawing, .filled = true};
    status = layers_write(&layer, 1, format, request->arts[0], &text, error);
    talk_clear(talk);
    if (status == NW_OK) {
        status = nw_file_write(path, text.data, text.length, error);
    }
    nw_text_free(&text);
    art_free(&art);
    return status;
}
