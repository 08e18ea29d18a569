/*
 * tracing: ink -> outlines through the places on its boundary (rings.c), turned y up, cleaned where
 * the smoothing made outlines cross, and nested into pieces. Where pixels are too rough for that,
 * by libpotrace (rough.c); where narrows was built without it, what crosses is united anew.
 */
#include <trace/trace.h>

#include <limits.h>
#include <math.h>

/* Whether pixels along the boundary have levels in between, so that they say where in a pixel the
 * outline runs. */
static bool has_levels(const nw_picture *picture)
{
    const uint8_t *density = picture->density;
    size_t count = (size_t)picture->width * picture->height, between = 0, edges = 0;
    for (size_t i = 1; i < count;) {
        uint8_t last = density[i - 1];
        if ((last == 0 || last == 255) && density[i] == last && i + NW_PLAIN <= count &&
            nw_are_plain(density + i)) {
            i += NW_PLAIN;
            continue;
        }
        for (size_t end = count - i < NW_PLAIN ? count : i + NW_PLAIN; i < end; i++) {
            between += density[i] > 16 && density[i] < 239;
            edges += (density[i] ^ density[i - 1]) >> 7;
        }
    }
    return between * 2 > edges;
}

static const double MOST_SMOOTH_PX = 50;

nw_trace_options nw_trace_defaults(void)
{
    return (nw_trace_options){.smooth_px = 0.35, .grey = true};
}

/* Of a picture's shorter side: 0.02 mm of 120, far below what a machine cuts. In a large picture
 * that is more than pixels can tell, and where places scatter so much they are a scanner's, or the
 * paper's, not the art's. */
static const double SCATTER_SHARE = 1.0 / 6000;

static double scatter_of(const nw_ink *ink, const nw_trace_options *options)
{
    double shorter = fmin(ink->width, ink->height);
    return options->smooth_px < nw_trace_defaults().smooth_px ? 0 : SCATTER_SHARE * shorter;
}

static const int BOUNDED_ROUNDS = 4; /* each with half the tolerance of the one before */

/* Through the pixels' steps; by the tracing library where they are so rough, as noise is, that
 * curves through them cross and cannot be taken apart. */
static nw_status steps_trace(const nw_ink *ink, nw_trace_limits limits, nw_drawing *drawing,
                             nw_trace_notes *notes, nw_error *error)
{
    nw_trace_far fitted;
    size_t left = 0;
    nw_status status = nw_rings_trace(ink, NULL, limits, drawing, &fitted, error);
    if (status == NW_OK)
        status = nw_drawing_uncross(drawing, CROSSING_FLATNESS_PX, &left, error);
    notes->too_rough = left > 0;
#ifdef NW_WITH_POTRACE
    if (status == NW_OK && left) {
        nw_drawing_free(drawing);
        status = nw_ink_trace(ink, drawing, error);
    }
#endif
    notes->largest_px = status == NW_OK ? nw_drawing_distance(drawing, ink) : 0;
    return status;
}

/* Outlines within the tolerance of the pixels' own edges, as far as these allow: ever closer to the
 * edges' middles until the whole curve stays within it. Below a pixel the outlines that suit the
 * picture best are kept if they do. */
static nw_status bounded_trace(const nw_ink *ink, double tolerance, nw_drawing *drawing,
                               nw_trace_notes *notes, nw_error *error)
{
    double closer = tolerance;
    for (int round = tolerance < 1 ? 0 : 1; round <= BOUNDED_ROUNDS; round++) {
        nw_trace_limits limits = {.tolerance = closer, .reach = fmin(TRACE_REACH_PX, closer / 2)};
        if (round == 0)
            limits = (nw_trace_limits){.tolerance = nw_trace_defaults().smooth_px,
                                       .reach = TRACE_REACH_PX};
        nw_drawing_free(drawing);
        nw_status status = steps_trace(ink, limits, drawing, notes, error);
        if (status != NW_OK || notes->largest_px <= tolerance)
            return status;
        closer = round == 0 ? closer : closer / 2;
    }
    return NW_OK;
}

static void crumbs_drop(nw_drawing *drawing, double least_px)
{
    size_t kept = 0;
    for (size_t i = 0; i < drawing->count; i++)
        if (fabs(nw_path_area(&drawing->paths[i])) < least_px)
            nw_path_free(&drawing->paths[i]);
        else
            drawing->paths[kept++] = drawing->paths[i];
    drawing->count = kept;
}

static nw_status trace_as(const nw_ink *ink, const nw_picture *picture,
                          const nw_trace_options *options, nw_drawing *drawing,
                          nw_trace_notes *notes, nw_error *error)
{
    notes->grey = options->grey && picture && has_levels(picture);
    if (notes->grey) {
        nw_trace_far far = {0};
        nw_trace_limits limits = {.tolerance = options->smooth_px,
                                  .scatter = scatter_of(ink, options),
                                  .pieces = options->pieces};
        nw_status status = nw_rings_trace(ink, picture, limits, drawing, &far, error);
        crumbs_drop(drawing, options->least_px);
        notes->largest_px = far.places;
        notes->tips_px = far.tips;
        return status;
    }
    nw_trace_limits limits = {.tolerance = options->smooth_px,
                              .scatter = scatter_of(ink, options),
                              .reach = TRACE_REACH_PX};
    return options->bounded ? bounded_trace(ink, options->smooth_px, drawing, notes, error)
                            : steps_trace(ink, limits, drawing, notes, error);
}

/* The same of a piece along the outline; of the largest where none is near. */
static size_t number_near(const nw_path *path, const nw_ink *ink, const nw_pieces *pieces)
{
    size_t number = nw_pixel_piece(ink, pieces, nw_pixel_near(ink, path->start));
    for (size_t k = 0; k < path->count && !number; k++)
        number = nw_pixel_piece(ink, pieces, nw_pixel_near(ink, path->steps[k].to));
    return number ? number : 1;
}

/* From pixels on the outlines to the numbers of their pieces. */
static void numbers_set(nw_drawing *drawing, const nw_ink *ink, const nw_pieces *pieces)
{
    for (size_t i = 0; i < drawing->count; i++)
        drawing->paths[i].number = nw_pixel_piece(ink, pieces, drawing->paths[i].number);
}

/* Of outlines that have none, for they were united anew. */
static void numbers_find(nw_drawing *drawing, const nw_ink *ink, const nw_pieces *pieces)
{
    for (size_t i = 0; pieces && i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        if (path->number == 0 || path->number > pieces->count)
            path->number = number_near(path, ink, pieces);
    }
}

/* After everything that looks at all outlines at once, so that the others are the same with them
 * and without. Those of one piece lie together, and are what the first of them is. */
static void dropped_remove(nw_drawing *drawing, const nw_pieces *pieces)
{
    size_t stay = 0, count = 0, last = 0;
    bool kept = false;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path path = drawing->paths[i];
        if (i == 0 || path.piece != last) {
            last = path.piece;
            kept = nw_pieces_are_kept(pieces, path.number);
            count += kept;
        }
        path.piece = count - 1;
        if (kept)
            drawing->paths[stay++] = path;
        else
            nw_path_free(&path);
    }
    drawing->count = stay;
}

nw_status nw_drawing_trace(const nw_ink *ink, const nw_picture *picture,
                           const nw_trace_options *options, nw_drawing *drawing,
                           nw_trace_notes *notes, nw_error *error)
{
    *drawing = (nw_drawing){0};
    if (!(options->smooth_px > 0) || options->smooth_px > MOST_SMOOTH_PX) {
        return nw_fail_advised(
            error, NW_BAD_REQUEST, NW_ADVICE_SMOOTH,
            "smoothing must be more than 0 and at most 50 pixels of the picture");
    }
    if (!ink->width || !ink->height || ink->stride > INT_MAX / 4 || ink->width > INT_MAX / 2 ||
        ink->height > INT_MAX / 2)
        return nw_fail(error, NW_BAD_INPUT, "the picture's size cannot be traced");
    nw_trace_notes found = {0};
    nw_status status = trace_as(ink, picture, options, drawing, &found, error);
    if (status == NW_OK) {
        numbers_set(drawing, ink, options->pieces);
        status = nw_drawing_clean(drawing, error);
        numbers_find(drawing, ink, options->pieces);
        dropped_remove(drawing, options->pieces);
    }
    if (status != NW_OK) {
        nw_drawing_free(drawing);
        return status;
    }
    if (notes)
        *notes = found;
    drawing->placed = NW_UNMOVED;
    nw_drawing_settle(drawing);
    return NW_OK;
}
