/* outline: the clean outlines only, in one file or on standard output. */
#include "cli.h"

#include <string.h>
#include <strings.h>

typedef nw_status (*outline_writer)(const nw_drawing *drawing, const char *title, nw_text *text,
                                    nw_error *error);

static nw_status write_svg(const nw_drawing *drawing, const char *title, nw_text *text,
                           nw_error *error)
{
    nw_layer layer = {.name = "outline", .drawing = drawing, .filled = true};
    return nw_write_svg(&layer, 1, title, text, error);
}

static nw_status write_dxf(const nw_drawing *drawing, const char *title, nw_text *text,
                           nw_error *error)
{
    (void)title;
    nw_layer layer = {.name = "outline", .drawing = drawing};
    return nw_write_dxf(&layer, 1, text, error);
}

/* The writer that the file's ending asks for, or NULL. */
static outline_writer writer_for(const char *path)
{
    static const struct {
        const char *ending;
        outline_writer write;
    } writers[] = {{".svg", write_svg}, {".dxf", write_dxf}};
    const char *dot = strrchr(path, '.');
    if (strcmp(path, "-") == 0) {
        return write_svg;
    }
    for (size_t i = 0; dot && i < sizeof writers / sizeof *writers; i++) {
        if (strcasecmp(dot, writers[i].ending) == 0) {
            return writers[i].write;
        }
    }
    return NULL;
}

nw_status outline_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    *exit = EXIT_FITS;
    const char *path = request->output ? request->output : "-";
    outline_writer write = writer_for(path);
    if (!write) {
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
    status = write(&art.drawing, request->arts[0], &text, error);
    talk_clear(talk);
    if (status == NW_OK) {
        status = nw_file_write(path, text.data, text.length, error);
    }
    nw_text_free(&text);
    art_free(&art);
    return status;
}
