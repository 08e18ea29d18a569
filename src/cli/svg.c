/* svg: an SVG drawing's bytes to a drawing at its real size, and what was left out of it. */
#include "cli.h"

static nw_status note_left_out(const nw_svg_notes *notes, cli_talk *talk, cli_art *art,
                               nw_error *error)
{
    const struct {
        size_t count;
        const char *one, *several;
    } rows[] = {
        {notes->stroke_only, "shape is drawn only as a line and has no area, so it is left out",
         "shapes are drawn only as lines and have no area, so they are left out"},
        {notes->text_elements, "text is not outlines and is left out; turn it into paths",
         "texts are not outlines and are left out; turn them into paths"},
        {notes->other, "other element, such as a picture inside the drawing, is left out",
         "other elements, such as pictures inside the drawing, are left out"},
    };
    nw_status status = NW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof *rows && status == NW_OK; i++) {
        if (rows[i].count == 0) {
            continue;
        }
        nw_text line = {0};
        nw_text_format(&line, "%zu %s", rows[i].count,
                       rows[i].count == 1 ? rows[i].one : rows[i].several);
        if (i == 0 && notes->strokes[0]) {
            nw_text_format(&line, ": %s", notes->strokes);
        }
        status = talk_note(talk, &art->notes, &line, error);
    }
    return status;
}

/* What asks for pixels does nothing to a drawing; said, for it may be meant for another file. */
static nw_status note_pixels(const cli_request *request, cli_talk *talk, cli_art *art,
                             nw_error *error)
{
    const struct {
        bool given;
        const char *name;
    } rows[] = {{request->ink.kind != NW_INK_AUTO, "--ink"},
                {request->level.kind != NW_LEVEL_AUTO, "--level"},
                {request->smooth > 0, "--smooth"}};
    nw_status status = NW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof *rows && status == NW_OK; i++) {
        if (rows[i].given) {
            nw_text line = {0};
            nw_text_format(&line, "%s does nothing here: it is for pictures, and this is a drawing",
                           rows[i].name);
            status = talk_note(talk, &art->notes, &line, error);
        }
    }
    return status;
}

/* The area in the drawing's own square millimetres under which a piece is dirt; by default none
 * is, for somebody drew it. */
static nw_status speck_area(const nw_drawing *drawing, const cli_request *request, cli_art *art,
                            double *area, nw_error *error)
{
    *area = 0;
    if (!request->specks.given) {
        return NW_OK;
    }
    if (request->specks.pixels) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "--specks: an SVG drawing has no pixels; give square millimetres, as in "
                       "0.5mm2");
    }
    double factor;
    nw_status status = size_factor(art, drawing, request, true, &factor, error);
    if (status == NW_OK) {
        *area = request->specks.value / (factor * factor);
    }
    return status;
}

static nw_status pieces_of_drawing(const cli_request *request, cli_talk *talk, cli_art *art,
                                   nw_error *error)
{
    double area;
    nw_status status = speck_area(&art->drawing, request, art, &area, error);
    if (status == NW_OK) {
        status = nw_drawing_pieces(&art->drawing, area, &art->pieces, error);
    }
    for (size_t i = 0; status == NW_OK && i < art->pieces.count; i++) {
        art->pieces.items[i].kept = art->pieces.items[i].guess != NW_PIECE_SPECK;
    }
    return status == NW_OK ? pieces_select(request, talk, art, error) : status;
}

/* Copies what was dropped out of the whole drawing. */
static nw_status rest_copy(const nw_drawing *whole, cli_art *art, nw_error *error)
{
    nw_status status = nw_drawing_copy(whole, &art->rest, error);
    if (status == NW_OK) {
        pieces_swap(&art->pieces);
        status = nw_drawing_keep(&art->rest, &art->pieces, error);
        pieces_swap(&art->pieces);
    }
    return status;
}

nw_status art_from_svg(const nw_bytes *bytes, const cli_request *request, art_wants wants,
                       cli_talk *talk, cli_art *art, nw_error *error)
{
    nw_svg_notes notes;
    nw_status status =
        nw_drawing_read_svg(bytes->data, bytes->length, &art->drawing, &notes, error);
    if (status != NW_OK) {
        return status;
    }
    art->own_size = notes.sized;
    status = note_left_out(&notes, talk, art, error);
    if (status == NW_OK) {
        status = note_pixels(request, talk, art, error);
    }
    if (status == NW_OK) {
        status = pieces_of_drawing(request, talk, art, error);
    }
    bool rest = wants.rest && pieces_kept(&art->pieces) < art->pieces.count;
    if (status == NW_OK && rest) {
        status = rest_copy(&art->drawing, art, error);
    }
    if (status == NW_OK) {
        art->origin = pieces_box(&art->pieces, true).min;
        status = nw_drawing_keep(&art->drawing, &art->pieces, error);
    }
    if (status == NW_OK) {
        status = lines_replace(request, art, error);
    }
    if (status == NW_OK && wants.page) {
        status = page_numbers_find(art, error);
    }
    if (status == NW_OK) {
        status = art_place(request, wants.size, art, error);
    }
    return status == NW_OK && rest ? rest_place(art, error) : status;
}
