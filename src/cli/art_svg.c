/* svg: an SVG drawing's bytes to a drawing at its real size, and what was left out of it. */
#include <cli/page.h>
#include <svg/svg.h>

/* One line about `count` things of the drawing, with the first few by name, where there are any. */
typedef struct {
    size_t count;
    const char *one, *several, *names;
} left_out;

static nw_status note_row(const left_out *row, cli_talk *talk, cli_art *art, nw_error *error)
{
    if (row->count == 0) {
        return NW_OK;
    }
    nw_text line = {0};
    nw_text_format(&line, "%zu %s", row->count, row->count == 1 ? row->one : row->several);
    if (row->names && *row->names) {
        nw_text_add(&line, ": ");
        talk_add_line(&line, row->names);
    }
    return talk_note(talk, &art->notes, &line, error);
}

static nw_status note_left_out(const nw_svg_notes *notes, cli_talk *talk, cli_art *art,
                               nw_error *error)
{
    const left_out rows[] = {
        {notes->stroke_only, "shape is drawn only as a line and has no area, so it is left out",
         "shapes are drawn only as lines and have no area, so they are left out", notes->strokes},
        {notes->stroked,
         "filled shape has a line round it too, whose width is left out; turn it into a path if it "
         "counts",
         "filled shapes have a line round them too, whose width is left out; turn it into paths if "
         "it counts",
         NULL},
        {notes->text_elements, "text is not outlines and is left out; turn it into paths",
         "texts are not outlines and are left out; turn them into paths", NULL},
        {notes->other,
         "other element is left out or not applied, such as a picture, a mask or a filter",
         "other elements are left out or not applied, such as pictures, masks and filters",
         notes->others},
        {notes->off_page, "shape lies beyond the page's edge or is clipped away",
         "shapes lie beyond the page's edge or are clipped away", NULL},
    };
    nw_status status = NW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof *rows && status == NW_OK; i++) {
        status = note_row(&rows[i], talk, art, error);
    }
    if (status == NW_OK && notes->light) {
        nw_text line = {0};
        nw_text_add(&line, "every shape is near white, so all of them are taken for art");
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
    if (!request->dirt.given) {
        return NW_OK;
    }
    if (request->dirt.pixels) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "--dirt: an SVG drawing has no pixels; give square millimetres, as in "
                       "0.5mm2");
    }
    double factor;
    nw_status status = size_factor(art, drawing, request, true, &factor, error);
    if (status == NW_OK) {
        *area = request->dirt.value / (factor * factor);
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
