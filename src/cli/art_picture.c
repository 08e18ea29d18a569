/* ink: a picture's bytes to a drawing at its real size: decode, find the ink, choose the pieces,
 * trace. Whatever was decided on the way is said. */
#include <cli/page.h>
#include <trace/trace.h>

#include <math.h>
#include <string.h>

/* Dirt by default: 8 pixels, and in large pictures two millionths of the picture. From looking at
 * scans of 0.3 to 35 megapixels. */
#define SPECK_PX 8.0
#define SPECK_SHARE 2e-6

#define SMOOTH_ROUNDS 4 /* traces with --smooth, at most */
#define NEARLY 1.02     /* of --smooth, that another trace may mend */
#define SAFELY 0.9995   /* of what would do */

static nw_status picture_decode(nw_bytes *bytes, const cli_request *request, art_wants wants,
                                cli_talk *talk, cli_art *art, nw_picture *picture, nw_error *error)
{
    nw_picture_options options = nw_picture_defaults();
    options.ink = request->ink.kind;
    memcpy(options.colour, request->ink.colour, sizeof options.colour);
    options.level_kind = request->level.kind;
    options.level = request->level.level;
    if (request->max_pixels) {
        options.max_pixels = request->max_pixels;
    }
    options.progress = talk_progress;
    options.progress_context = talk;
    nw_status status = nw_picture_read(bytes->data, bytes->length, &options, picture, error);
    if (status == NW_OK && wants.page) {
        status = nw_page_picture_make(bytes, picture, &art->behind, error);
    }
    nw_bytes_free(bytes); /* a large picture's memory, long before the end */
    if (status != NW_OK) {
        return status;
    }
    art->picture = true;
    art->own_ppi = picture->ppi;
    art->page = (nw_box){{0, 0}, {picture->width, picture->height}};
    nw_text line = {0};
    nw_text_add(&line, picture->how);
    return talk_note(talk, &art->notes, &line, error);
}

static double default_area(const nw_ink *ink)
{
    return fmax(SPECK_PX, SPECK_SHARE * (double)ink->width * (double)ink->height);
}

/* The area in pixels under which a piece is dirt. Square millimetres are measured with the size
 * that the art has without what is dirt by default. */
static nw_status speck_area(const nw_ink *ink, const cli_request *request, cli_art *art,
                            double *area, nw_error *error)
{
    *area = default_area(ink);
    if (!request->dirt.given || request->dirt.pixels || request->dirt.value == 0) {
        *area = request->dirt.given ? request->dirt.value : *area;
        return NW_OK;
    }
    nw_status status = nw_pieces_find(ink, *area, &art->pieces, error);
    if (status != NW_OK) {
        return status;
    }
    nw_box box = pieces_box(&art->pieces, true);
    nw_drawing sized = {.width = box.max.x - box.min.x, .height = box.max.y - box.min.y};
    double factor = 1;
    if (sized.width > 0) {
        status = size_factor(art, &sized, request, true, &factor, error);
    }
    *area = request->dirt.value / (factor * factor);
    nw_pieces_free(&art->pieces);
    return status;
}

/* Fills holes as small as dirt; a larger --dirt is about pieces only. */
static nw_status pinholes_fill(nw_ink *ink, nw_picture *picture, double area, cli_talk *talk,
                               cli_art *art, nw_error *error)
{
    size_t filled;
    double least = fmin(area, default_area(ink));
    nw_status status = nw_ink_fill_pinholes(ink, picture, least, &filled, error);
    if (status != NW_OK || filled == 0) {
        return status;
    }
    nw_text line = {0};
    nw_text_format(&line, "filled %zu pinhole%s of less than ", filled, filled == 1 ? "" : "s");
    nw_text_number(&line, least, 0);
    nw_text_add(&line, " pixels; --dirt 0 keeps them");
    return talk_note(talk, &art->notes, &line, error);
}

static nw_status pieces_of_ink(nw_ink *ink, nw_picture *picture, const cli_request *request,
                               cli_talk *talk, cli_art *art, nw_error *error)
{
    double area;
    nw_status status = speck_area(ink, request, art, &area, error);
    if (status == NW_OK) {
        status = pinholes_fill(ink, picture, area, talk, art, error);
    }
    if (status == NW_OK) {
        status = nw_pieces_find(ink, area, &art->pieces, error);
    }
    return status == NW_OK ? pieces_select(request, talk, art, error) : status;
}

static void add_length(nw_text *line, double length, const cli_request *request, const cli_art *art)
{
    if (art->sized && request->inch) {
        nw_write_length(line, length, request->inch);
    } else {
        nw_text_number(line, length, 3);
        nw_text_add(line, art->sized ? " mm" : " px");
    }
}

static nw_status note_smoothing(const nw_trace_notes *notes, const cli_request *request,
                                cli_talk *talk, cli_art *art, nw_error *error)
{
    nw_text line = {0};
    nw_text_add(&line, notes->grey ? "outline: leaves the picture's edges by at most "
                                   : "outline: leaves the pixels' boundary by at most ");
    double largest = notes->largest_px * art->unit_mm;
    add_length(&line, largest, request, art);
    if (request->smooth > 0 && largest > request->smooth * (1 + 1e-9)) {
        nw_text_add(&line, ", for its pixels are too coarse for less");
    }
    if (notes->tips_px > notes->largest_px) {
        nw_text_add(&line, ", and carries tips on by up to ");
        add_length(&line, notes->tips_px * art->unit_mm, request, art);
    }
    return talk_note(talk, &art->notes, &line, error);
}

/* One trace, at its real size. */
static nw_status trace_once(const nw_ink *ink, const nw_picture *picture,
                            const nw_trace_options *options, const cli_request *request,
                            art_wants wants, cli_art *art, nw_trace_notes *notes, nw_error *error)
{
    nw_drawing_free(&art->drawing);
    nw_status status = option_blame(
        "smooth", nw_drawing_trace(ink, picture, options, &art->drawing, notes, error), error);
    art->origin = notes->origin;
    if (status == NW_OK) {
        status = lines_replace(request, art, error);
    }
    if (status == NW_OK && wants.page) {
        status = page_numbers_find(art, error);
    }
    return status == NW_OK ? art_place(request, wants.size || request->smooth > 0, art, error)
                           : status;
}

/* Traces twice when --smooth is in millimetres, for only an outline tells the size of a pixel; and
 * again where the smoother outline is a little smaller and its pixels so a little larger. */
static nw_status ink_trace(const nw_ink *ink, const nw_picture *picture, const cli_request *request,
                           art_wants wants, cli_talk *talk, cli_art *art, nw_error *error)
{
    nw_trace_options options = nw_trace_defaults();
    nw_trace_notes notes = {0};
    nw_status status = trace_once(ink, picture, &options, request, wants, art, &notes, error);
    options.bounded = true;
    for (int round = 0; status == NW_OK && request->smooth > 0 && round < SMOOTH_ROUNDS; round++) {
        double off = notes.largest_px * art->unit_mm / request->smooth;
        if (round > 0 && (off <= 1 || off > NEARLY)) {
            break;
        }
        options.smooth_px =
            round == 0 ? request->smooth / art->unit_mm : options.smooth_px * SAFELY / off;
        status = trace_once(ink, picture, &options, request, wants, art, &notes, error);
    }
    return status == NW_OK ? note_smoothing(&notes, request, talk, art, error) : status;
}

/* Traces what is to be dropped, while its grey levels are still there; it has no place yet. */
static nw_status rest_trace(const nw_picture *picture, cli_art *art, nw_error *error)
{
    nw_ink ink;
    nw_status status = nw_ink_from_picture(picture, &ink, error);
    if (status != NW_OK) {
        return status;
    }
    nw_trace_options options = nw_trace_defaults();
    pieces_swap(&art->pieces);
    nw_pieces_clear_dropped(&art->pieces, &ink, NULL);
    pieces_swap(&art->pieces);
    status = nw_drawing_trace(&ink, NULL, &options, &art->rest, NULL, error);
    nw_ink_free(&ink);
    return status;
}

nw_status art_from_picture(nw_bytes *bytes, const cli_request *request, art_wants wants,
                           cli_talk *talk, cli_art *art, nw_error *error)
{
    nw_picture picture = {0};
    nw_ink ink = {0};
    nw_status status = picture_decode(bytes, request, wants, talk, art, &picture, error);
    if (status == NW_OK) {
        status = nw_ink_from_picture(&picture, &ink, error);
    }
    if (status == NW_OK) {
        status = pieces_of_ink(&ink, &picture, request, talk, art, error);
    }
    bool rest = wants.rest && pieces_kept(&art->pieces) < art->pieces.count;
    if (status == NW_OK && rest) {
        status = rest_trace(&picture, art, error);
    }
    if (status == NW_OK) {
        nw_pieces_clear_dropped(&art->pieces, &ink, &picture);
        status = ink_trace(&ink, &picture, request, wants, talk, art, error);
    }
    if (status == NW_OK && rest) {
        status = rest_place(art, error);
    }
    nw_ink_free(&ink);
    nw_picture_free(&picture);
    return status;
}
