/* pieces: what is in the art, numbered, for --keep and --drop. */
#include <cli/files.h>

/* pieces.svg, into the folder that -o names. */
static nw_status drawing_save(const nw_pieces_report *report, const cli_request *request,
                              cli_talk *talk, nw_text *list, nw_error *error)
{
    cli_file file = {"pieces.svg", {0}};
    nw_status status = nw_write_pieces_svg(report, &file.text, error);
    if (status == NW_OK)
        status = files_save(report->art, request->output, &file, 1, talk, list, error);
    files_free(&file, 1);
    return status;
}

/* What goes to standard output; nothing when it is not wanted. */
static nw_status list_make(const nw_pieces_report *report, const cli_request *request,
                           nw_text *list, nw_error *error)
{
    if (request->json)
        return nw_write_pieces_json(report, list, error);
    return request->quiet ? NW_OK : nw_write_pieces_table(report, list, error);
}

nw_status pieces_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    *exit = EXIT_FITS;
    cli_art art;
    art_wants wants = {.rest = request->output != NULL};
    nw_status status = art_load(request->arts[0], request, wants, talk, &art, error);
    if (status != NW_OK)
        return status;
    if (art.art.from_picture && art.art.sized)
        nw_art_box_outlines(&art.art);
    nw_pieces_report report = {.art = request->arts[0],
                               .pieces = &art.art.pieces,
                               .y_down = art.art.from_picture,
                               .unit_mm = art.art.sized ? art.art.unit_mm : 0,
                               .kept = &art.art.drawing,
                               .dropped = &art.art.rest,
                               .inch = request->inch};
    nw_text list = {0};
    status = list_make(&report, request, &list, error);
    talk_clear(talk);
    if (status == NW_OK && request->output)
        status = drawing_save(&report, request, talk, &list, error);
    else if (status == NW_OK)
        status = talk_print(&list, error);
    nw_text_free(&list);
    art_free(&art);
    return status;
}
