/*
 * load: from whatever art comes as to a drawing at its real size, the way that everything goes:
 * find ink or shapes, choose the pieces, trace, place, flatten.
 */
#include <art/loading.h>

#include <math.h>
#include <stdlib.h>

#define SMALLEST_ART_MM 0.1 /* nothing of that size is cut; points would fall together */

nw_art_options nw_art_defaults(void)
{
    return (nw_art_options){
        .picture = nw_picture_defaults(), .need_size = true, .need_region = true};
}

/* All but the notes. */
static void clear(nw_art *art)
{
    nw_pieces_free(&art->pieces);
    nw_drawing_free(&art->drawing);
    nw_drawing_free(&art->rest);
    nw_region_free(&art->region);
}

void nw_art_free(nw_art *art)
{
    if (art) {
        clear(art);
        free(art->notes);
        *art = (nw_art){0};
    }
}

/* Refuses art of no size to speak of, which would seem to fit any bit. */
static nw_status size_check(const nw_loading *loading)
{
    const nw_art *art = loading->art;
    if (art->sized && fmax(art->drawing.width, art->drawing.height) < SMALLEST_ART_MM) {
        return nw_fail(loading->error, NW_BAD_REQUEST,
                       "at that size the art is smaller than a tenth of a millimetre; is the unit "
                       "right?");
    }
    return NW_OK;
}

/* The size where nobody asked for one, and the lines. */
static nw_status note_result(nw_loading *loading)
{
    const nw_art *art = loading->art;
    const nw_art_options *options = loading->options;
    bool asked = options->wide > 0 || options->high > 0 || options->ppi > 0;
    bool stated = art->from_picture ? art->own_ppi == 0 : art->svg.sized;
    nw_status status = NW_OK;
    if (!asked && art->sized && !stated)
        status = nw_art_note(loading, (nw_note){.code = NW_NOTE_SIZE});
    if (status == NW_OK && !art->lines.pieces && options->lines != NW_LINES_AS_DRAWN)
        status = nw_art_note(loading, (nw_note){.code = NW_NOTE_LINES_UNUSED});
    return status == NW_OK ? nw_art_note_count(loading, (nw_note){.code = NW_NOTE_LINES,
                                                                  .count = art->lines.pieces})
                           : status;
}

/* What follows takes time and memory for each point and along each millimetre. */
static nw_status points_check(const nw_loading *loading)
{
    const nw_art *art = loading->art;
    uint64_t most = nw_art_most_points(loading), count = art->region.starts[art->region.count];
    if (count > most) {
        return nw_fail_advised(loading->error, NW_BAD_INPUT, nw_art_points_advice(loading),
                               "the art's outlines have %llu points, more than %llu",
                               (unsigned long long)count, (unsigned long long)most);
    }
    double length = 0;
    for (size_t k = 0; k < art->region.count; k++)
        length += nw_ring_length(&art->region, k);
    double sides = length / fmax(art->drawing.width, art->drawing.height);
    double longest = fmax(NW_LENGTHS_EACH * (double)most, NW_LENGTHS_EACH * NW_POINTS_MOST);
    return sides <= longest
               ? NW_OK
               : nw_fail_advised(loading->error, NW_BAD_INPUT, nw_art_points_advice(loading),
                                 "the art's outlines are %llu times as long as its longer side, "
                                 "more than %llu",
                                 (unsigned long long)sides, (unsigned long long)longest);
}

nw_status nw_art_make(const nw_art_source *source, const nw_art_options *options, nw_art *art,
                      nw_error *error)
{
    *art = (nw_art){0};
    nw_loading loading = {.options = options, .art = art, .error = error};
    if (options->need_region && options->lines == NW_LINES_MIDDLE) {
        return nw_fail_advised(error, NW_BAD_REQUEST, NW_ADVICE_MIDDLES,
                               "the middles of lines are curves without area, for engraving, which "
                               "no bit can be checked against");
    }
    nw_status status = source->read(&loading, source);
    if (status == NW_OK)
        status = size_check(&loading);
    if (status == NW_OK)
        status = note_result(&loading);
    if (status == NW_OK && !options->need_last_bits)
        nw_drawing_steady(&art->drawing);
    if (status == NW_OK && options->need_region)
        status = nw_drawing_flatten(&art->drawing, NW_FLATNESS_MM, &art->region, error);
    if (status == NW_OK && options->need_region)
        status = points_check(&loading);
    if (status != NW_OK)
        clear(art);
    return status;
}

static nw_status pixels_read(nw_loading *loading, const nw_art_source *source)
{
    nw_picture picture;
    nw_status status =
        nw_picture_of_pixels(source->pixels, &loading->options->picture, &picture, loading->error);
    return status == NW_OK ? nw_art_from_picture(loading, &picture) : status;
}

nw_status nw_art_of_pixels(const nw_pixels *pixels, const nw_art_options *options, nw_art *art,
                           nw_error *error)
{
    return nw_art_make(&(nw_art_source){.read = pixels_read, .pixels = pixels}, options, art,
                       error);
}

static nw_status elements_read(nw_loading *loading, const nw_art_source *source)
{
    nw_art *art = loading->art;
    nw_svg_options options = nw_art_svg_options(loading);
    nw_status status = nw_drawing_read_elements(source->elements, source->length, &options,
                                                &art->drawing, &art->svg, loading->error);
    return status == NW_OK ? nw_art_from_svg(loading) : status;
}

nw_status nw_art_of_elements(const nw_svg_elements *elements, size_t bytes,
                             const nw_art_options *options, nw_art *art, nw_error *error)
{
    nw_art_source source = {.read = elements_read, .elements = elements, .length = bytes};
    return nw_art_make(&source, options, art, error);
}

static nw_status drawing_read(nw_loading *loading, const nw_art_source *source)
{
    return nw_art_from_drawing(loading, source->drawing);
}

nw_status nw_art_of_drawing(const nw_drawing *drawing, const nw_art_options *options, nw_art *art,
                            nw_error *error)
{
    return nw_art_make(&(nw_art_source){.read = drawing_read, .drawing = drawing}, options, art,
                       error);
}
