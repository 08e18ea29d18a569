/*
 * size: how large the art really is, and the drawing brought to that size. A width, a height or
 * pixels per inch say it, else the picture's own pixels per inch, else the drawing's own units.
 */
#include <art/loading.h>

#include <math.h>

#define SAME_SHAPE 1e-3       /* a width and a height may differ by this from the art */
#define SVG_UNITS_PER_INCH 96 /* CSS 2.1, section 4.3.2 */

static nw_status sides_disagree(const nw_loading *loading, double high)
{
    nw_text line = {0};
    nw_text_number(&line, loading->options->wide, 2);
    nw_text_add(&line, " mm wide, the art is ");
    nw_text_number(&line, high, 2);
    nw_text_add(&line, " mm high");
    nw_status status = line.failed ? nw_fail_memory(loading->error, "a message")
                                   : nw_fail_advised(loading->error, NW_BAD_REQUEST,
                                                     NW_ADVICE_ONE_SIDE, "%s", line.data);
    nw_text_free(&line);
    return status;
}

/* The factor that a width or a height asks for; 0 when neither is given. */
static nw_status factor_of_sides(const nw_loading *loading, double width, double height,
                                 double *factor)
{
    double wide = loading->options->wide, high = loading->options->high;
    double by_width = wide > 0 ? wide / width : 0, by_height = high > 0 ? high / height : 0;
    *factor = by_width > 0 ? by_width : by_height;
    if (by_width > 0 && by_height > 0 && fabs(by_width / by_height - 1) > SAME_SHAPE)
        return sides_disagree(loading, height * wide / width);
    return NW_OK;
}

static nw_status factor_of_svg(const nw_loading *loading, double *factor)
{
    double ppi = loading->options->ppi;
    *factor = ppi > 0 ? SVG_UNITS_PER_INCH / ppi : 1;
    return ppi > 0 && loading->art->svg.sized
               ? nw_fail_advised(loading->error, NW_BAD_REQUEST, NW_ADVICE_SIDES,
                                 "the drawing states its own size")
               : NW_OK;
}

nw_status nw_art_factor(const nw_loading *loading, double width, double height, bool needed,
                        double *factor)
{
    const nw_art_options *options = loading->options;
    *factor = 0;
    if (options->ppi > 0 && (options->wide > 0 || options->high > 0)) {
        return nw_fail_advised(loading->error, NW_BAD_REQUEST, NW_ADVICE_ONE_SIZE,
                               "pixels per inch and a side both say how large the art is");
    }
    nw_status status = factor_of_sides(loading, width, height, factor);
    if (status != NW_OK || *factor > 0)
        return status;
    if (!loading->art->from_picture)
        return factor_of_svg(loading, factor);
    double ppi = options->ppi > 0 ? options->ppi : loading->art->own_ppi;
    if (ppi > 0) {
        *factor = NW_MM_PER_INCH / ppi;
    } else if (needed) {
        return nw_fail_advised(loading->error, NW_BAD_REQUEST, NW_ADVICE_SIZE,
                               "nothing says how large the art is");
    }
    return NW_OK;
}

nw_status nw_art_place(nw_loading *loading, bool needed)
{
    const nw_art_options *options = loading->options;
    nw_art *art = loading->art;
    nw_drawing *drawing = &art->drawing;
    nw_status status = NW_OK;
    if (options->turn_deg != 0 || options->mirror)
        status = nw_drawing_place(drawing, 1, options->turn_deg, options->mirror, loading->error);
    double factor = 0;
    if (status == NW_OK)
        status = nw_art_factor(loading, drawing->width, drawing->height, needed, &factor);
    art->sized = factor > 0;
    art->unit_mm = factor > 0 ? factor : 1;
    if (status == NW_OK && art->unit_mm != 1)
        status = nw_drawing_place(drawing, art->unit_mm, 0, false, loading->error);
    return status;
}

nw_status nw_art_place_rest(nw_loading *loading)
{
    const nw_art_options *options = loading->options;
    nw_art *art = loading->art;
    nw_status status = nw_drawing_place(&art->rest, art->unit_mm, options->turn_deg,
                                        options->mirror, loading->error);
    if (status == NW_OK) {
        nw_drawing_move(&art->rest, art->drawing.placed.e - art->rest.placed.e,
                        art->drawing.placed.f - art->rest.placed.f);
    }
    return status;
}

nw_affine nw_placed_from_top(nw_affine m, double height)
{
    return (nw_affine){m.a, m.b, -m.c, -m.d, m.c * height + m.e, m.d * height + m.f};
}
