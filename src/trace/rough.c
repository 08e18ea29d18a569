/*
 * rough: ink -> outlines by libpotrace (Selinger, Potrace: a polygon-based tracing algorithm,
 * 2003), for pixels that are too rough for places on their boundary, and for tests to compare with.
 *
 * The library is given the ink's own words where its word has the same 64 bits, with rows counted
 * backwards, since its row 0 is the lowest one.
 */
#include <trace/trace.h>
#include <trace/tracing.h>

#include <math.h>
#include <potracelib.h>
#include <stdlib.h>

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
    if (!words)
        return NULL;
    potrace_bitmap_t bitmap = {(int)ink->width, (int)ink->height, -(int)row,
                               words + row * (ink->height - 1)};
    potrace_state_t *state = potrace_trace(parameters, &bitmap);
    if (!wide)
        free(words);
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
        if (!added)
            return false;
    }
    return true;
}

static bool add_paths(nw_drawing *drawing, const nw_ink *ink, const potrace_path_t *list)
{
    for (; list; list = list->next) {
        nw_path path = {0};
        bool added = add_steps(&path, &list->curve);
        path.number = nw_pixel_near(ink, path.start);
        if (added && (nw_path_area(&path) > 0) != (list->sign == '+'))
            nw_path_reverse(&path);
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
    if (!parameters)
        return nw_fail_memory(error, "tracing");
    parameters->turdsize = 0;
    /* Pixels that touch at a corner hang together, as they do for the pieces of the ink. */
    parameters->turnpolicy = POTRACE_TURNPOLICY_BLACK;
    potrace_state_t *state = run(ink, parameters);
    bool done =
        state && state->status == POTRACE_STATUS_OK && add_paths(drawing, ink, state->plist);
    if (state)
        potrace_state_free(state);
    potrace_param_free(parameters);
    return done ? NW_OK : nw_fail_memory(error, "the traced outlines");
}
