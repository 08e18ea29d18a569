/* picture: a decoded picture to a drawing at its real size: find the ink, choose the
 * pieces, trace. */
#include <art/loading.h>

#include <math.h>

/* Dirt by default: 8 pixels, in large pictures eight millionths of the square on their shorter
 * side, from looking at scans of 0.3 to 35 megapixels, and in small ones a 2500th of it: in an icon
 * of 64 pixels four are an eye, or the tooth of a wheel. */
#define SPECK_PX 8.0
#define SPECK_SHARE 8e-6
#define SPECK_MOST 4e-4
#define CRUMB_SHARE 0.125 /* of dirt, and at most CRUMB_PX: what of an outline is none */
#define CRUMB_PX 1.0

/* A boundary traced from pixels is within sqrt(1/2) px of the shape's (J.-O. Lachaud and B.
 * Thibert, Properties of Gauss digitized shapes and digital surface integration, J. Math. Imaging
 * and Vision 54(2):162-180, 2016); a width has two. Grey levels tell places within a pixel: widths
 * of a pixel and a half or more, rendered by librsvg or through JPEG, were off by 0.42 px at most,
 * and nine of ten by 0.13 (tests/outside/picture_widths.py); thinner ones by up to a pixel. Noise
 * moves edges further, but less than at one place by itself, for tracing steadies places along
 * walls (src/trace/steady_places.c): so that holds for the least width of many
 * (tests/outside/noise.py). */
#define SURE_STEPS_PX 1.42
#define SURE_GREY_PX 0.45
#define SURE_NOISE 2.8    /* two deviations of the distance between two edges that noise moves */
#define SURE_LEAST_MM 0.1 /* to speak of */

#define DOTS_SOME 100   /* pieces or holes may be the dots of print */
#define SMOOTH_ROUNDS 4 /* traces with smoothing in millimetres, at most */
#define NEARLY 1.02     /* of what was asked for, that another trace may mend */
#define SAFELY 0.9995   /* of what would do */

/* Shows the picture as it was decoded, and takes note of it. */
static nw_status picture_take(nw_loading *loading, const nw_picture *picture)
{
    const nw_art_options *options = loading->options;
    nw_art *art = loading->art;
    nw_status status =
        options->decoded ? options->decoded(options->context, picture, loading->error) : NW_OK;
    if (status != NW_OK)
        return status;
    art->from_picture = true;
    art->own_ppi = picture->ppi;
    art->picture = *picture;
    art->picture.density = NULL;
    if (!options->skip_unread)
        art->unread.shades = picture->greys;
    status = nw_art_note_count(loading, (nw_note){.code = NW_NOTE_SHADES, .count = picture->greys});
    return status == NW_OK ? nw_art_note(loading, (nw_note){.code = NW_NOTE_INK}) : status;
}

static double usual_area(const nw_ink *ink)
{
    double shorter = fmin(ink->width, ink->height), square = shorter * shorter;
    return fmax(fmin(SPECK_PX, ceil(SPECK_MOST * square)), SPECK_SHARE * square);
}

/* The pixels in a square millimetre, with the size that the art has without what is usually dirt.
 */
static nw_status pixels_of_mm2(nw_loading *loading, const nw_ink *ink, double *pixels)
{
    nw_pieces pieces;
    nw_status status = nw_pieces_find(ink, usual_area(ink), &pieces, loading->error);
    if (status != NW_OK)
        return status;
    nw_box box = nw_box_empty();
    for (size_t i = 0; i < pieces.count; i++)
        if (pieces.items[i].kept)
            nw_box_grow(&box, pieces.items[i].box);
    nw_pieces_free(&pieces);
    double factor = 1;
    if (box.max.x > box.min.x)
        status = nw_art_factor(loading, nw_box_width(box), nw_box_height(box), true, &factor);
    *pixels = 1 / (factor * factor);
    return status;
}

/* An area that was asked for, in pixels; the file's own may be smaller than the picture's. */
static nw_status area_in_pixels(nw_loading *loading, const nw_ink *ink, nw_dirt unit, double *area)
{
    double pixels = 1, side = loading->art->picture.squares;
    nw_status status = NW_OK;
    if (unit == NW_DIRT_PX)
        pixels = 1 / (side * side);
    else if (unit == NW_DIRT_MM2 && *area > 0)
        status = pixels_of_mm2(loading, ink, &pixels);
    *area *= pixels;
    return status;
}

/* Print in dots: many pieces, or many holes, are looked at. */
static nw_status note_dots(nw_loading *loading, const nw_ink *ink)
{
    const nw_pieces *pieces = &loading->art->pieces;
    double side = loading->art->picture.squares;
    size_t count = pieces->count;
    nw_dots dots = {0};
    for (size_t i = 0; i < pieces->count; i++)
        count += pieces->items[i].holes;
    nw_status status = NW_OK;
    if (count >= DOTS_SOME)
        status = nw_ink_dots(ink, loading->dirt_px, &dots, loading->error);
    nw_note note = {NW_NOTE_DOTS, .count = dots.count, .value = (dots.largest + 1) * side * side};
    return status == NW_OK ? nw_art_note_count(loading, note) : status;
}

/* Fills holes as small as dirt, or as asked for, and finds the pieces. */
static nw_status pieces_find(nw_loading *loading, nw_ink *ink, nw_picture *picture)
{
    const nw_art_options *options = loading->options;
    double dirt = options->dirt == NW_DIRT_USUAL ? usual_area(ink) : options->dirt_area;
    double fill = options->fill == NW_DIRT_USUAL ? 0 : options->fill_area;
    size_t filled = 0;
    nw_status status = area_in_pixels(loading, ink, options->dirt, &dirt);
    if (status == NW_OK)
        status = area_in_pixels(loading, ink, options->fill, &fill);
    double least = fmax(dirt, fill);
    loading->dirt_px = dirt;
    if (status == NW_OK)
        status = nw_ink_fill_pinholes(ink, picture, least, &filled, loading->error);
    if (status == NW_OK) {
        status = nw_art_note_count(
            loading, (nw_note){.code = NW_NOTE_PINHOLES, .count = filled, .value = least});
    }
    if (status == NW_OK)
        status = nw_pieces_find(ink, dirt, &loading->art->pieces, loading->error);
    if (status == NW_OK && picture->on_table)
        nw_pieces_guess_table(&loading->art->pieces, (nw_box){{0, 0}, {ink->width, ink->height}});
    if (status == NW_OK)
        status = note_dots(loading, ink);
    return status == NW_OK ? nw_art_choose(loading) : status;
}

/* One trace, at its real size. */
static nw_status trace_once(nw_loading *loading, const nw_ink *ink, const nw_picture *picture,
                            nw_trace_options *options)
{
    nw_art *art = loading->art;
    options->pieces = &art->pieces;
    nw_drawing_free(&art->drawing);
    nw_status status =
        nw_drawing_trace(ink, picture, options, &art->drawing, &art->trace, loading->error);
    if (status == NW_OK) {
        status =
            nw_drawing_lines(&art->drawing, loading->options->lines, &art->lines, loading->error);
    }
    bool needed = loading->options->need_size || loading->options->smooth > 0;
    return status == NW_OK ? nw_art_place(loading, needed) : status;
}

/* What a width is sure to, and a word about it where the bits that there are could mind. */
static nw_status note_coarse(nw_loading *loading)
{
    nw_art *art = loading->art;
    double pixels = art->trace.grey ? SURE_GREY_PX + SURE_NOISE * art->picture.off : SURE_STEPS_PX;
    pixels = fmax(pixels, SURE_STEPS_PX * art->source_px);
    art->sure = art->sized ? pixels * art->unit_mm : 0;
    return art->sure >= SURE_LEAST_MM ? nw_art_note(loading, (nw_note){.code = NW_NOTE_COARSE})
                                      : NW_OK;
}

static bool edges_are_bounded(const nw_loading *loading, uint64_t edges)
{
    return edges / NW_EDGES_EACH <= nw_art_most_points(loading);
}

/* Tracing takes time and memory for each pixel along an outline. */
static nw_status edges_check(const nw_loading *loading, const nw_ink *ink)
{
    uint64_t most = nw_art_most_points(loading), count = nw_ink_edges(ink);
    return edges_are_bounded(loading, count)
               ? NW_OK
               : nw_fail_advised(
                     loading->error, NW_BAD_INPUT, nw_art_points_advice(loading),
                     "the art's outlines run along %llu pixels, more than %d times %llu",
                     (unsigned long long)count, NW_EDGES_EACH, (unsigned long long)most);
}

/* Traces twice when smoothing is in millimetres, for only an outline tells the size of a pixel; and
 * again where the smoother outline is a little smaller and its pixels so a little larger. */
static nw_status ink_trace(nw_loading *loading, const nw_ink *ink, const nw_picture *picture)
{
    const nw_art *art = loading->art;
    double smooth = loading->options->smooth;
    nw_trace_options options = nw_trace_defaults();
    options.least_px = fmin(CRUMB_PX, CRUMB_SHARE * loading->dirt_px);
    nw_status status = edges_check(loading, ink);
    if (status == NW_OK)
        status = trace_once(loading, ink, picture, &options);
    options.bounded = true;
    for (int round = 0; status == NW_OK && smooth > 0 && round < SMOOTH_ROUNDS; round++) {
        double off = art->trace.largest_px * art->unit_mm / smooth;
        if (round > 0 && (off <= 1 || off > NEARLY))
            break;
        options.smooth_px = round == 0 ? smooth / art->unit_mm : options.smooth_px * SAFELY / off;
        status = trace_once(loading, ink, picture, &options);
    }
    status = status == NW_OK ? nw_art_note(loading, (nw_note){.code = NW_NOTE_OUTLINE}) : status;
    if (status == NW_OK && art->trace.tips_px > art->trace.largest_px)
        status = nw_art_note(loading, (nw_note){.code = NW_NOTE_TIPS});
    return status == NW_OK ? note_coarse(loading) : status;
}

/* Traces what is to be dropped; it has no place yet. */
static nw_status rest_trace(nw_loading *loading, const nw_ink *ink)
{
    nw_art *art = loading->art;
    nw_trace_options options = nw_trace_defaults();
    options.pieces = &art->pieces;
    nw_status status = edges_check(loading, ink);
    nw_pieces_swap(&art->pieces);
    if (status == NW_OK)
        status = nw_drawing_trace(ink, NULL, &options, &art->rest, NULL, loading->error);
    nw_pieces_swap(&art->pieces);
    return status;
}

/* Pieces that are dropped stay in the picture: whether it has grey levels, and where they say that
 * its edges are, is the same without them. But specks go, and all where there is too much. */
static void dropped_clear(const nw_loading *loading, nw_ink *ink, nw_picture *picture)
{
    const nw_pieces *pieces = &loading->art->pieces;
    nw_pieces_clear_specks(pieces, ink, picture);
    if (!edges_are_bounded(loading, nw_ink_edges(ink)))
        nw_pieces_clear_dropped(pieces, ink, picture);
}

nw_status nw_art_from_picture(nw_loading *loading, nw_picture *picture)
{
    nw_ink ink = {0};
    nw_status status = picture_take(loading, picture);
    if (status == NW_OK)
        status = nw_ink_from_picture(picture, &ink, loading->error);
    if (status == NW_OK)
        status = nw_ink_lattice(&ink, &loading->art->source_px, loading->error);
    if (status == NW_OK)
        status = nw_art_note_faint(loading, picture);
    if (status == NW_OK)
        status = pieces_find(loading, &ink, picture);
    bool rest = nw_art_has_rest(loading);
    if (status == NW_OK && rest)
        status = rest_trace(loading, &ink);
    if (status == NW_OK) {
        dropped_clear(loading, &ink, picture);
        status = ink_trace(loading, &ink, picture);
    }
    if (status == NW_OK && rest)
        status = nw_art_place_rest(loading);
    nw_ink_free(&ink);
    nw_picture_free(picture);
    return status;
}
