/*
 * size: how large the art really is. One of --wide, --high and --ppi says it, else the picture's
 * own pixels per inch, else the drawing's own units.
 */
#include <cli/page.h>

#include <math.h>

#define SAME_SHAPE 1e-3       /* --wide and --high together may differ by this from the cli_art */
#define SVG_UNITS_PER_INCH 96 /* CSS 2.1, section 4.3.2 */
#define LARGE_MM 1500         /* wider than sheets that small machines take */
#define SMALL_MM 5

static nw_status sides_disagree(const nw_drawing *drawing, const cli_request *request,
                                nw_error *error)
{
    nw_text line = {0};
    nw_text_add(&line, "--wide ");
    nw_text_number(&line, request->wide, 2);
    nw_text_add(&line, "mm makes the art ");
    nw_write_length(&line, drawing->height * request->wide / drawing->width, request->inch);
    nw_text_add(&line, " high; leave --high out, for the art is not stretched");
    nw_status status = line.failed ? nw_fail_memory(error, "a message")
                                   : nw_fail(error, NW_BAD_REQUEST, "%s", line.data);
    nw_text_free(&line);
    return status;
}

/* The factor that --wide or --high asks for; 0 when neither is given. */
static nw_status factor_of_sides(const nw_drawing *drawing, const cli_request *request,
                                 double *factor, nw_error *error)
{
    double by_width = request->wide > 0 ? request->wide / drawing->width : 0;
    double by_height = request->high > 0 ? request->high / drawing->height : 0;
    *factor = by_width > 0 ? by_width : by_height;
    if (by_width > 0 && by_height > 0 && fabs(by_width / by_height - 1) > SAME_SHAPE) {
        return sides_disagree(drawing, request, error);
    }
    return NW_OK;
}

static nw_status factor_of_svg(const cli_art *art, const cli_request *request, double *factor,
                               nw_error *error)
{
    *factor = 1;
    if (request->ppi > 0 && art->own_size) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "the drawing states its own size; scale it by --wide or --high, not --ppi");
    }
    if (request->ppi > 0) {
        *factor = SVG_UNITS_PER_INCH / request->ppi;
    }
    return NW_OK;
}

nw_status size_factor(const cli_art *art, const nw_drawing *drawing, const cli_request *request,
                      bool wanted, double *factor, nw_error *error)
{
    *factor = 0;
    if (request->ppi > 0 && (request->wide > 0 || request->high > 0)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "--ppi and --%s both say how large the art is; give one of them",
                       request->wide > 0 ? "wide" : "high");
    }
    nw_status status = factor_of_sides(drawing, request, factor, error);
    if (status != NW_OK || *factor > 0) {
        return status;
    }
    if (!art->picture) {
        return factor_of_svg(art, request, factor, error);
    }
    double ppi = request->ppi > 0 ? request->ppi : art->own_ppi;
    if (ppi > 0) {
        *factor = NW_MM_PER_INCH / ppi;
    } else if (wanted) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "nothing says how large the art is; add for example --wide 120mm, --high "
                       "80mm or --ppi 300");
    }
    return NW_OK;
}

nw_status size_note(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error)
{
    bool asked = request->wide > 0 || request->high > 0 || request->ppi > 0;
    if (asked || !art->sized || (art->picture ? art->own_ppi == 0 : art->own_size)) {
        return NW_OK;
    }
    double largest = fmax(art->drawing.width, art->drawing.height);
    nw_text line = {0};
    nw_text_add(&line, "size: ");
    if (art->picture) {
        nw_text_number(&line, art->own_ppi, 1);
        nw_text_add(&line, " pixels per inch, as the picture states");
    } else {
        nw_text_add(&line, "the drawing states none; 96 units to the inch");
    }
    nw_text_add(&line, ", make the art ");
    nw_write_length(&line, art->drawing.width, request->inch);
    nw_text_add(&line, " x ");
    nw_write_length(&line, art->drawing.height, request->inch);
    if (largest > LARGE_MM || largest < SMALL_MM) {
        nw_text_add(&line, ", which is hardly meant; give the real size with --wide");
    }
    return talk_note(talk, &art->notes, &line, error);
}

nw_status art_place(const cli_request *request, bool wanted, cli_art *art, nw_error *error)
{
    nw_status status = NW_OK;
    nw_point before = art->drawing.count ? art->drawing.paths[0].start : (nw_point){0, 0};
    if (request->turn != 0 || request->mirror) {
        status = nw_drawing_place(&art->drawing, 1, request->turn, request->mirror, error);
    }
    double factor = 0;
    if (status == NW_OK) {
        status = size_factor(art, &art->drawing, request, wanted, &factor, error);
    }
    art->sized = factor > 0;
    art->unit_mm = factor > 0 ? factor : 1;
    if (status == NW_OK && art->unit_mm != 1) {
        status = nw_drawing_place(&art->drawing, art->unit_mm, 0, false, error);
    }
    if (status == NW_OK && art->drawing.count) {
        page_place_set(art, request, before, art->drawing.paths[0].start);
    }
    return status;
}
