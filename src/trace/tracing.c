/*
 * tracing: ink -> outlines through the places on its boundary (rings.c), turned y up, cleaned where
 * the smoothing made outlines cross, and nested into pieces. Where pixels are too rough for that,
 * and for tests to compare with, by libpotrace (Selinger, Potrace: a polygon-based tracing
 * algorithm, 2003).
 *
 * That library is given the ink's own words where its word has the same 64 bits, with rows counted
 * backwards, since its row 0 is the lowest one.
 */
#include <trace/trace.h>

#include <limits.h>
#include <math.h>
#include <potracelib.h>
#include <stdlib.h>
#include <string.h>

static const long NEAR_PX = 4;

/* Words of 32 bits want their halves in another order. */
static potrace_word *narrow_words(const nw_ink *ink)
{
    size_t count = ink->stride * ink->height, halves = sizeof(uint64_t) / sizeof(potrace_word);
    potrace_word *words = nw_alloc(count, halves * sizeof *words);
    for (size_t i = 0; words && i < count * halves; i++) {
        size_t shift = 8 * sizeof *words * (halves - 1 - i % halves);
        words[i] = (potrace_word)(ink->words[i / halves] >> shift);
    }
    return words;
}

static potrace_state_t *run(const nw_ink *ink, const potrace_param_t *parameters)
{
    bool wide = sizeof(potrace_word) == sizeof(uint64_t);
    size_t halves = sizeof(uint64_t) / sizeof(potrace_word), row = ink->stride * halves;
    potrace_word *words = wide ? (potrace_word *)(void *)ink->words : narrow_words(ink);
    if (!words) {
        return NULL;
    }
    potrace_bitmap_t bitmap = {(int)ink->width, (int)ink->height, -(int)row,
                               words + row * (ink->height - 1)};
    potrace_state_t *state = potrace_trace(parameters, &bitmap);
    if (!wide) {
        free(words);
    }
    return state;
}

static nw_point point_of(potrace_dpoint_t p)
{
    return (nw_point){p.x, p.y};
}

static bool add_steps(nw_path *path, const potrace_curve_t *curve)
{
    path->closed = true;
    path->start = point_of(curve->c[curve->n - 1][2]);
    for (int i = 0; i < curve->n; i++) {
        nw_point a = point_of(curve->c[i][0]), b = point_of(curve->c[i][1]);
        nw_point to = point_of(curve->c[i][2]);
        bool added = curve->tag[i] == POTRACE_CORNER
                         ? nw_path_line(path, b) && nw_path_line(path, to)
                         : nw_path_curve(path, a, b, to);
        if (!added) {
            return false;
        }
    }
    return true;
}

/* A pixel of ink near a place of an outline, along the rows from the top; what smoothing leaves of
 * the pixels' edges is within a few of them. */
static size_t pixel_near(const nw_ink *ink, nw_point p)
{
    for (long reach = 0; reach < NEAR_PX; reach++) {
        for (long y = (long)floor(p.y) - reach; y <= (long)floor(p.y) + reach; y++) {
            for (long x = (long)floor(p.x) - reach; x <= (long)floor(p.x) + reach; x++) {
                if (nw_ink_at(ink, x, y)) {
                    return (ink->height - 1 - (size_t)y) * ink->width + (size_t)x;
                }
            }
        }
    }
    return 0;
}

static bool add_paths(nw_drawing *drawing, const nw_ink *ink, const potrace_path_t *list)
{
    for (; list; list = list->next) {
        nw_path path = {0};
        bool added = add_steps(&path, &list->curve);
        path.number = pixel_near(ink, path.start) + 1;
        if (added && (nw_path_area(&path) > 0) != (list->sign == '+')) {
            nw_path_reverse(&path);
        }
        if (!added || !nw_drawing_add(drawing, &path)) {
            nw_path_free(&path);
            return false;
        }
    }
    return true;
}

nw_status nw_ink_trace(const nw_ink *ink, nw_drawing *drawing, nw_error *error)
{
    potrace_param_t *parameters = potrace_param_default();
    if (!parameters) {
        return nw_fail_memory(error, "tracing");
    }
    parameters->turdsize = 0;
    /* Pixels that touch at a corner hang together, as they do for the pieces of the ink. */
    parameters->turnpolicy = POTRACE_TURNPOLICY_BLACK;
    potrace_state_t *state = run(ink, parameters);
    bool done =
        state && state->status == POTRACE_STATUS_OK && add_paths(drawing, ink, state->plist);
    if (state) {
        potrace_state_free(state);
    }
    potrace_param_free(parameters);
    return done ? NW_OK : nw_fail_memory(error, "the traced outlines");
}

/* Whether pixels along the boundary have levels in between, so that they say where in a pixel the
 * outline runs. */
static bool has_levels(const nw_picture *picture)
{
    size_t count = (size_t)picture->width * picture->height, between = 0, edges = 0;
    for (size_t i = 1; i < count; i++) {
        uint8_t here = picture->density[i], last = picture->density[i - 1];
        between += here > 16 && here < 239;
        edges += (here ^ last) >> 7;
    }
    return between * 2 > edges;
}

static const double MOST_SMOOTH_PX = 50;

nw_trace_options nw_trace_defaults(void)
{
    return (nw_trace_options){.smooth_px = 0.35, .grey = true};
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
    if (status == NW_OK) {
        status = nw_drawing_uncross(drawing, TRACED_FLATNESS_PX, &left, error);
    }
    notes->too_rough = left > 0;
    if (status == NW_OK && left) {
        nw_drawing_free(drawing);
        status = nw_ink_trace(ink, drawing, error);
    }
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
        nw_trace_limits limits = {closer, fmin(TRACE_REACH_PX, closer / 2)};
        if (round == 0) {
            limits = (nw_trace_limits){nw_trace_defaults().smooth_px, TRACE_REACH_PX};
        }
        nw_drawing_free(drawing);
        nw_status status = steps_trace(ink, limits, drawing, notes, error);
        if (status != NW_OK || notes->largest_px <= tolerance) {
            return status;
        }
        closer = round == 0 ? closer : closer / 2;
    }
    return NW_OK;
}

static nw_status trace_as(const nw_ink *ink, const nw_picture *picture,
                          const nw_trace_options *options, nw_drawing *drawing,
                          nw_trace_notes *notes, nw_error *error)
{
    notes->grey = options->grey && picture && has_levels(picture);
    if (notes->grey) {
        nw_trace_far far = {0};
        nw_trace_limits limits = {.tolerance = options->smooth_px};
        nw_status status = nw_rings_trace(ink, picture, limits, drawing, &far, error);
        notes->largest_px = far.places;
        notes->tips_px = far.tips;
        return status;
    }
    nw_trace_limits limits = {options->smooth_px, TRACE_REACH_PX};
    return options->bounded ? bounded_trace(ink, options->smooth_px, drawing, notes, error)
                            : steps_trace(ink, limits, drawing, notes, error);
}

/* From pixels on the outlines to the numbers of their pieces. */
static void numbers_set(nw_drawing *drawing, const nw_ink *ink, const nw_pieces *pieces)
{
    for (size_t i = 0; i < drawing->count; i++) {
        size_t pixel = drawing->paths[i].number - 1;
        drawing->paths[i].number = pieces ? nw_pieces_number(pieces, (uint32_t)(pixel % ink->width),
                                                             (uint32_t)(pixel / ink->width))
                                          : 0;
    }
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
        ink->height > INT_MAX / 2) {
        return nw_fail(error, NW_BAD_INPUT, "the picture's size cannot be traced");
    }
    nw_trace_notes found = {0};
    nw_status status = trace_as(ink, picture, options, drawing, &found, error);
    if (status == NW_OK) {
        numbers_set(drawing, ink, options->pieces);
        status = nw_drawing_clean(drawing, error);
    }
    if (status != NW_OK) {
        nw_drawing_free(drawing);
        return status;
    }
    if (notes) {
        *notes = found;
    }
    drawing->placed = NW_UNMOVED;
    nw_drawing_settle(drawing);
    return NW_OK;
}
