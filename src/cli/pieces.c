/* pieces: what is in the art, numbered, for --keep and --drop. */
#include <cli/files.h>

#include <math.h>

#define SAME_PX 16.0 /* in all, between the corners of a piece's box and of its outline's */
#define SAME_RANK 50 /* by area, as far apart are a piece and its outline */

/* A box of the drawing in the picture's pixels, y down. */
static nw_box box_in_picture(const cli_art *art, nw_box box)
{
    double scale = 1 / art->unit_mm, left = art->origin.x, top = art->page.max.y - art->origin.y;
    return (nw_box){{left + box.min.x * scale, top - box.max.y * scale},
                    {left + box.max.x * scale, top - box.min.y * scale}};
}

static double corners_apart(nw_box a, nw_box b)
{
    return fabs(a.min.x - b.min.x) + fabs(a.min.y - b.min.y) + fabs(a.max.x - b.max.x) +
           fabs(a.max.y - b.max.y);
}

/* Outlines reach further than whole pixels where tips taper: a piece is as large as its outline. */
static void box_of_outline(const cli_art *art, const nw_pieces *traced, size_t rank,
                           nw_piece *piece)
{
    double least = SAME_PX;
    nw_box own = piece->box;
    size_t first = rank > SAME_RANK ? rank - SAME_RANK : 0;
    for (size_t i = first; i < traced->count && i <= rank + SAME_RANK; i++) {
        nw_box box = box_in_picture(art, traced->items[i].box);
        double apart = corners_apart(box, own);
        if (apart < least) {
            least = apart;
            piece->box = box;
        }
    }
}

static nw_status boxes_of_outlines(cli_art *art, nw_error *error)
{
    if (!art->picture || !art->sized) {
        return NW_OK;
    }
    nw_pieces traced;
    nw_status status = nw_drawing_pieces(&art->drawing, 0, &traced, error);
    for (size_t i = 0, rank = 0; status == NW_OK && i < art->pieces.count; i++) {
        if (art->pieces.items[i].kept) {
            box_of_outline(art, &traced, rank++, &art->pieces.items[i]);
        }
    }
    nw_pieces_free(&traced);
    return status;
}

/* pieces.svg, into the folder that -o names. */
static nw_status drawing_save(const nw_pieces_report *report, const cli_request *request,
                              nw_error *error)
{
    nw_text svg = {0};
    nw_status status = nw_write_pieces_svg(report, &svg, error);
    if (status == NW_OK) {
        nw_file file = {"pieces.svg", svg.data, svg.length};
        status = folder_guard(report->art, request->output, &file, 1, error);
        if (status == NW_OK) {
            status = nw_files_write(request->output, &file, 1, error);
        }
    }
    nw_text_free(&svg);
    return status;
}

/* What goes to standard output; nothing when it is not wanted. */
static nw_status list_make(const nw_pieces_report *report, const cli_request *request,
                           nw_text *list, nw_error *error)
{
    if (request->json) {
        return nw_write_pieces_json(report, list, error);
    }
    return request->quiet ? NW_OK : nw_write_pieces_table(report, list, error);
}

nw_status pieces_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    *exit = EXIT_FITS;
    cli_art art;
    art_wants wants = {.rest = request->output != NULL};
    nw_status status = art_load(request->arts[0], request, wants, talk, &art, error);
    if (status != NW_OK) {
        return status;
    }
    status = boxes_of_outlines(&art, error);
    nw_pieces_report report = {.art = request->arts[0],
                               .pieces = &art.pieces,
                               .y_down = art.picture,
                               .unit_mm = art.sized ? art.unit_mm : 0,
                               .kept = &art.drawing,
                               .dropped = &art.rest,
                               .inch = request->inch};
    nw_text list = {0};
    if (status == NW_OK) {
        status = list_make(&report, request, &list, error);
    }
    if (status == NW_OK && request->output) {
        status = drawing_save(&report, request, error);
    }
    talk_clear(talk);
    if (status == NW_OK) {
        status = talk_print(&list, error);
    }
    nw_text_free(&list);
    art_free(&art);
    return status;
}
