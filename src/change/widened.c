/*
 * widen: a drawing whose spots are widened, with the fit itself as judge.
 *
 * Gaps first: a disc runs along the middle of every chosen pinch (widen_lines.c) and what it covers
 * is added to the cut area. That may make the stock beside them thin, so necks follow, in the same
 * way with the sides changed; then gaps again, as long as something is left to do. A fit of the
 * result tells what went wrong, if anything: the walls of the place nearest to a new spot then
 * share the move by what stands behind them, and if that does not help either, the place is left as
 * it was.
 */
#include <change/widen.h>

#include <math.h>
#include <stdlib.h>

#define MOST_EASE_MM 5.0
#define PASSES 6        /* gaps and necks in turn */
#define PATIENT_TRIES 4 /* then all places near a bad one are left out together */
#define NEAR_BITS 2.0
#define MOST_TRIES 8 /* with one place more left out each time */

nw_widen_options nw_widen_defaults(void)
{
    return (nw_widen_options){.fit = nw_fit_defaults(), .ease = 0.05};
}

void nw_widened_free(nw_widened *widened)
{
    if (widened) {
        nw_drawing_free(&widened->drawing);
        nw_fit_free(&widened->before);
        nw_fit_free(&widened->after);
        free(widened->notes);
        *widened = (nw_widened){0};
    }
}

/* ---- tries ----------------------------------------------------------------------------------- */

/* All passes from the drawing as given, without the refused places. */
static nw_status widen_try(nw_widening *w, const nw_drawing *drawing)
{
    nw_drawing_free(&w->work);
    w->largest_move = 0;
    nw_status status = nw_drawing_copy(drawing, &w->work, w->error);
    bool gaps = true, necks = true;
    for (int pass = 0; pass < PASSES && status == NW_OK && (gaps || necks); pass++) {
        /* Where a chamber has room for the bit but not for the ease, less ease finds its way. */
        double ease = fmax(w->options->ease / (1 << pass / 2), NW_LEAST_EASE_MM);
        status = nw_side_pass(w, NW_GAP, ease, &gaps);
        if (status == NW_OK) {
            status = nw_side_pass(w, NW_NECK, ease, &necks);
        }
    }
    return status;
}

static void refuse(nw_widening *w, size_t place)
{
    nw_widen_note *note = &w->out->notes[place];
    w->refused[place] = true;
    note->outcome = note->factor > 1 ? NW_CONFLICT : NW_STUCK;
}

/* Refuses the wanted place that is nearest to a place of the result that should not be so, after a
 * few tries all that are near; false when there is none. */
static bool refuse_near(nw_widening *w, nw_point at, int tries)
{
    size_t best = SIZE_MAX;
    double nearest = INFINITY;
    bool any = false;
    for (size_t k = 0; k < w->out->before.spot_count; k++) {
        if (!nw_place_wanted(w, k)) {
            continue;
        }
        double off = nw_residue_distance(&w->out->before, &w->out->before.spots[k], at);
        if (tries >= PATIENT_TRIES && off < NEAR_BITS * w->options->fit.bit) {
            refuse(w, k);
            any = true;
        } else if (off < nearest) {
            nearest = off;
            best = k;
        }
    }
    if (!any && best != SIZE_MAX) {
        refuse(w, best);
    }
    return any || best != SIZE_MAX;
}

/* Refuses what is to blame for spots that the result should not have. */
static bool refuse_culprits(nw_widening *w, const nw_fit *after, int tries)
{
    bool any = false;
    for (size_t i = 0; i < after->spot_count; i++) {
        bool bad = !nw_place_expected(w, &after->spots[i]);
        any = (bad && refuse_near(w, after->spots[i].at, tries)) || any;
    }
    return any;
}

static bool beyond(const nw_box *sheet, nw_point p)
{
    return p.x < sheet->min.x || p.y < sheet->min.y || p.x > sheet->max.x || p.y > sheet->max.y;
}

/* Refuses what makes the art run over the sheet's edge. */
static bool refuse_runaways(nw_widening *w, int tries)
{
    const nw_fit_options *o = &w->options->fit;
    bool any = false;
    for (size_t i = 0; o->has_stock && i < w->work.count; i++) {
        const nw_path *path = &w->work.paths[i];
        for (size_t k = 0; k < path->count; k++) {
            nw_point p = path->steps[k].to;
            any = (beyond(&o->stock, p) && refuse_near(w, p, tries)) || any;
        }
    }
    return any;
}

static nw_status result_fit(nw_widening *w, nw_region *region, nw_fit *after)
{
    nw_region_free(region);
    nw_fit_free(after);
    nw_status status = nw_drawing_flatten(&w->work, NW_FLATNESS_MM, region, w->error);
    return status == NW_OK ? nw_work_fit(w, region, 0, 0, after) : status;
}

static nw_status widen_tries(nw_widening *w, const nw_drawing *drawing, nw_region *region)
{
    for (int tries = 0;; tries++) {
        nw_status status = widen_try(w, drawing);
        bool again = status == NW_OK && refuse_runaways(w, tries);
        if (status == NW_OK) {
            status = result_fit(w, region, &w->out->after);
        }
        again = again || (status == NW_OK && refuse_culprits(w, &w->out->after, tries));
        if (status != NW_OK || tries == w->tries || !again) {
            return status;
        }
    }
}

/* ---- the account ----------------------------------------------------------------------------- */

static void count_rings(const nw_drawing *drawing, size_t *pieces, size_t *holes)
{
    *pieces = *holes = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        *holes += drawing->paths[i].hole;
        *pieces += drawing->paths[i].closed && !drawing->paths[i].hole;
    }
}

static void notes_settle(nw_widening *w)
{
    for (size_t i = 0; i < w->out->before.spot_count; i++) {
        nw_widen_note *note = &w->out->notes[i];
        if (nw_place_wanted(w, i)) {
            note->outcome = NW_WIDENED;
        } else if (!w->refused[i]) {
            note->outcome = NW_LEFT;
        }
        note->factor = note->outcome == NW_CONFLICT ? note->factor : 0;
    }
    /* What is still there of the wanted ones is not widened after all. */
    for (size_t i = 0; i < w->out->after.spot_count; i++) {
        size_t origin = nw_place_origin(w, &w->out->after.spots[i], true);
        if (origin != SIZE_MAX && nw_place_wanted(w, origin) &&
            w->out->after.spots[i].form == w->out->before.spots[origin].form) {
            w->out->notes[origin].outcome = NW_STUCK;
        }
    }
}

static nw_status widen_run(nw_widening *w, const nw_drawing *drawing)
{
    nw_region region = {0};
    nw_fit_options options = w->options->fit;
    options.with_shapes = true;
    nw_status status = nw_drawing_flatten(drawing, NW_FLATNESS_MM, &region, w->error);
    if (status == NW_OK) {
        status = nw_fit_run(&region, &options, &w->out->before, w->error);
    }
    double area = nw_region_area(&region);
    size_t spots = w->out->before.spot_count;
    w->refused = nw_alloc(spots, sizeof *w->refused);
    w->out->notes = nw_alloc(spots, sizeof *w->out->notes);
    if (status == NW_OK && (!w->refused || !w->out->notes)) {
        status = nw_fail_memory(w->error, "the widening");
    }
    if (status == NW_OK) {
        status = widen_tries(w, drawing, &region);
    }
    if (status == NW_OK) {
        notes_settle(w);
        double gained = nw_region_area(&region) - area;
        w->out->area_added = gained;
        w->out->largest_move = w->largest_move;
        w->out->drawing = w->work;
        w->out->drawing.placed = drawing->placed;
        w->work = (nw_drawing){0};
        count_rings(drawing, &w->out->pieces_before, &w->out->holes_before);
        count_rings(&w->out->drawing, &w->out->pieces_after, &w->out->holes_after);
    }
    nw_region_free(&region);
    return status;
}

nw_status nw_widen_here(const nw_drawing *drawing, const nw_widen_options *options, int tries,
                        const nw_widened *only, nw_widened *widened, nw_error *error)
{
    *widened = (nw_widened){0};
    nw_widening w = {
        .options = options, .tries = tries, .only = only, .out = widened, .error = error};
    nw_status status = widen_run(&w, drawing);
    nw_drawing_free(&w.work);
    free(w.refused);
    if (status != NW_OK) {
        nw_widened_free(widened);
    }
    return status;
}

nw_status nw_drawing_widen(const nw_drawing *drawing, const nw_widen_options *options,
                           nw_widened *widened, nw_error *error)
{
    *widened = (nw_widened){0};
    if (!(options->ease >= NW_LEAST_EASE_MM && options->ease <= MOST_EASE_MM)) {
        return nw_fail_advised(error, NW_BAD_REQUEST, NW_ADVICE_EASE,
                               "the ease must lie between 0.01 and 5 mm");
    }
    nw_status status = nw_widen_here(drawing, options, MOST_TRIES, NULL, widened, error);
    if (status == NW_OK) {
        status = nw_sizes_try(drawing, options, widened, error);
    }
    if (status != NW_OK) {
        nw_widened_free(widened);
    }
    return status;
}
