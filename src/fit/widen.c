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
#include <fit/widen.h>

#include <math.h>
#include <stdlib.h>

#define LEAST_EASE_MM 0.01 /* the fit's own band is 0.005 */
#define MOST_EASE_MM 5.0
#define CLEAR_MM 0.004      /* more than the curves' own tolerances, so that edges cross cleanly */
#define SMALL_MISS_MM2 0.05 /* a miss that nobody would miss */
#define PASSES 4            /* gaps and necks in turn */
#define MOST_TRIES 16       /* with one place more left out each time */

typedef struct {
    const nw_widen_options *options;
    nw_widened *out;
    bool *refused;   /* for each spot before: left as it was */
    bool *shared;    /* its two walls share the move by what stands behind them */
    nw_drawing work; /* the drawing as far as it is widened */
    double largest_move;
    nw_error *error;
} widening;

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

/* ---- which places ---------------------------------------------------------------------------- */

/* May this place, and what follows from it, be changed? */
static bool spot_allowed(const widening *w, size_t i)
{
    const nw_widen_options *o = w->options;
    bool chosen = !o->chosen || (i < o->chosen_count && o->chosen[i]);
    return chosen && !w->refused[i];
}

static bool spot_wanted(const widening *w, size_t i)
{
    return spot_allowed(w, i) && w->out->before.spots[i].form == NW_PINCH;
}

/* How far a place may lie from a spot to be taken as the same: spots move as they are widened. */
static double reach_of(const widening *w, const nw_spot *spot)
{
    double size = spot->side == NW_GAP ? w->options->fit.bit : w->out->before.options.neck;
    return size + fmax(spot->length, 0);
}

/* The spot of the first fit that this later spot goes back to: the nearest of its side, else the
 * nearest of either; SIZE_MAX when there is none near. */
static size_t origin_of(const widening *w, const nw_spot *spot, bool same_side)
{
    size_t best = SIZE_MAX;
    double nearest = INFINITY;
    for (size_t i = 0; i < w->out->before.spot_count; i++) {
        const nw_spot *old = &w->out->before.spots[i];
        double off = nw_distance(old->at, spot->at) - reach_of(w, old);
        if ((!same_side || old->side == spot->side) && off < nearest) {
            nearest = off;
            best = i;
        }
    }
    return same_side && nearest > reach_of(w, spot) ? SIZE_MAX : best;
}

/* May a spot of a later fit be widened: it goes back to a wanted one, or is new and a consequence
 * of one that was. */
static bool later_wanted(const widening *w, const nw_spot *spot)
{
    if (spot->form != NW_PINCH) {
        return false;
    }
    size_t origin = origin_of(w, spot, true);
    if (origin == SIZE_MAX) {
        origin = origin_of(w, spot, false);
    }
    return origin != SIZE_MAX && spot_allowed(w, origin);
}

/* ---- one pass over one side ------------------------------------------------------------------ */

static nw_status work_fit(const widening *w, const nw_region *region, double more_bit,
                          double more_neck, nw_fit *fit)
{
    nw_fit_options options = w->out->before.options;
    options.bit += more_bit;
    options.neck += more_neck;
    options.with_shapes = true;
    return nw_fit_run(region, &options, fit, w->error);
}

/* Walls of all wanted places of a side. */
static nw_status walls_collect(const widening *w, const nw_fit *now, const nw_fit *wide,
                               nw_side side, const nw_border *area, nw_flanks *walls)
{
    bool *taken = nw_alloc(wide->spot_count, sizeof *taken);
    if (!taken) {
        return nw_fail_memory(w->error, "the places to widen");
    }
    nw_status status = NW_OK;
    for (size_t i = 0; i < now->spot_count && status == NW_OK; i++) {
        const nw_spot *spot = &now->spots[i];
        if (spot->side != side || !later_wanted(w, spot)) {
            continue;
        }
        size_t at = nw_pinch_within(wide, spot);
        if (at != SIZE_MAX && !taken[at]) {
            taken[at] = true;
            size_t origin = origin_of(w, spot, false);
            status =
                nw_flanks_add(area, &wide->residues, wide->spots[at].residue,
                              wide->spots[at].residue_count, i, w->shared[origin], walls, w->error);
        }
    }
    free(taken);
    return status;
}

/* The middle lines of all walls. */
static nw_status lines_make(widening *w, const nw_moving *moving, const nw_flanks *walls,
                            const nw_fit *now, nw_drawing *lines)
{
    nw_status status = NW_OK;
    nw_opening opening = {0};
    for (size_t i = 0; i < walls->count && status == NW_OK; i++) {
        nw_moved moved = {0};
        status = nw_flank_lines(moving, walls, i, &opening, lines, &moved, w->error);
        w->largest_move = fmax(w->largest_move, moved.largest_move);
        size_t origin =
            moved.tight ? origin_of(w, &now->spots[walls->items[i].spot], true) : SIZE_MAX;
        if (origin != SIZE_MAX) {
            nw_widen_note *note = &w->out->notes[origin];
            note->factor = fmax(note->factor, moved.factor);
        }
    }
    return status;
}

/* Opens the work along the lines: art is added to, or taken from, where the disc runs. */
static nw_status lines_cut(widening *w, const nw_drawing *lines, double radius, bool take)
{
    nw_drawing swept = {0}, next = {0};
    nw_status status = nw_drawing_sweep(lines, radius + CLEAR_MM, &swept, w->error);
    if (status == NW_OK) {
        status = nw_drawing_paint(&w->work, &swept, take, &next, w->error);
    }
    nw_drawing_free(&swept);
    if (status == NW_OK) {
        nw_drawing_free(&w->work);
        w->work = next;
    }
    return status;
}

static nw_status borders_make(const widening *w, const nw_region *region, nw_side side,
                              nw_border *area, nw_border *other, bool *reversed)
{
    const nw_fit_options *o = &w->out->before.options;
    bool art_is_cut = o->cut != NW_CUT_OUTSIDE;
    *reversed = (side == NW_GAP) != art_is_cut;
    const nw_box *sheet = o->has_stock ? &o->stock : NULL;
    nw_status status = nw_border_make(region, *reversed, *reversed ? sheet : NULL, area, w->error);
    if (status == NW_OK) {
        status = nw_border_make(region, !*reversed, *reversed ? NULL : sheet, other, w->error);
    }
    return status;
}

/* Moves what is wanted of one side; *any tells whether anything was. */
static nw_status side_move(widening *w, const nw_region *region, const nw_fit *now, nw_side side,
                           double ease, bool *any)
{
    nw_fit wide = {0};
    nw_border area = {0}, other = {0};
    nw_flanks walls = {0};
    nw_drawing lines = {0};
    bool reversed = false;
    nw_fit_options o = now->options;
    nw_status status =
        work_fit(w, region, side == NW_GAP ? ease : 0, side == NW_NECK ? ease : 0, &wide);
    if (status == NW_OK) {
        status = borders_make(w, region, side, &area, &other, &reversed);
    }
    if (status == NW_OK) {
        status = walls_collect(w, now, &wide, side, &area, &walls);
    }
    nw_moving moving = {&area, &other, ((side == NW_GAP ? o.bit : o.neck) + ease) / 2,
                        side == NW_GAP ? o.neck : o.bit};
    if (status == NW_OK) {
        status = lines_make(w, &moving, &walls, now, &lines);
    }
    *any = lines.count > 0;
    if (status == NW_OK && *any) {
        status = lines_cut(w, &lines, moving.radius, reversed);
    }
    nw_fit_free(&wide);
    nw_border_free(&area);
    nw_border_free(&other);
    nw_flanks_free(&walls);
    nw_drawing_free(&lines);
    return status;
}

static bool any_wanted(const widening *w, const nw_fit *fit, nw_side side)
{
    for (size_t i = 0; i < fit->spot_count; i++) {
        if (fit->spots[i].side == side && later_wanted(w, &fit->spots[i])) {
            return true;
        }
    }
    return false;
}

/* Flattens the work and fits it; moves one side if it has anything wanted. */
static nw_status side_pass(widening *w, nw_side side, double ease, bool *any)
{
    nw_region region = {0};
    nw_fit fit = {0};
    *any = false;
    nw_status status = nw_drawing_flatten(&w->work, NW_FLATNESS_MM, &region, w->error);
    if (status == NW_OK) {
        status = work_fit(w, &region, 0, 0, &fit);
    }
    if (status == NW_OK && any_wanted(w, &fit, side)) {
        status = side_move(w, &region, &fit, side, ease, any);
    }
    nw_fit_free(&fit);
    nw_region_free(&region);
    return status;
}

/* ---- tries ------------------------------------------------------------------------------------
 */

/* All passes from the drawing as given, without the refused places. */
static nw_status widen_try(widening *w, const nw_drawing *drawing)
{
    nw_drawing_free(&w->work);
    w->largest_move = 0;
    nw_status status = nw_drawing_copy(drawing, &w->work, w->error);
    bool gaps = true, necks = true;
    for (int pass = 0; pass < PASSES && status == NW_OK && (gaps || necks); pass++) {
        /* Where a chamber has room for the bit but not for the ease, less ease finds its way. */
        double ease = fmax(w->options->ease / (1 << pass), LEAST_EASE_MM);
        status = side_pass(w, NW_GAP, ease, &gaps);
        if (status == NW_OK) {
            status = side_pass(w, NW_NECK, ease, &necks);
        }
    }
    return status;
}

/* Was there a miss of the same side about here before, or is this one no more than dust? */
static bool miss_known(const widening *w, const nw_spot *spot)
{
    if (spot->area < SMALL_MISS_MM2) {
        return true;
    }
    for (size_t i = 0; i < w->out->before.spot_count; i++) {
        const nw_spot *old = &w->out->before.spots[i];
        if (old->form == NW_MISS && old->side == spot->side &&
            nw_distance(old->at, spot->at) < reach_of(w, old)) {
            return true;
        }
    }
    return false;
}

/* Is this spot of the result one that the drawing had and that stays as it is? A new stub is no
 * reason to leave a passage shut: it is listed like every other. */
static bool spot_expected(const widening *w, const nw_spot *spot)
{
    if (spot->form != NW_PINCH) {
        return spot->form == NW_STUB || miss_known(w, spot);
    }
    size_t origin = origin_of(w, spot, true);
    return origin != SIZE_MAX && !spot_allowed(w, origin);
}

/* Refuses the places that are to blame for what the result should not have. */
static bool refuse_culprits(widening *w, const nw_fit *after)
{
    bool any = false;
    for (size_t i = 0; i < after->spot_count; i++) {
        if (spot_expected(w, &after->spots[i])) {
            continue;
        }
        size_t best = SIZE_MAX;
        double nearest = INFINITY;
        for (size_t k = 0; k < w->out->before.spot_count; k++) {
            const nw_spot *old = &w->out->before.spots[k];
            double off = nw_distance(old->at, after->spots[i].at) - reach_of(w, old);
            if (spot_wanted(w, k) && off < nearest) {
                nearest = off;
                best = k;
            }
        }
        any = any || best != SIZE_MAX;
        if (best != SIZE_MAX && !w->shared[best]) {
            w->shared[best] = true;
        } else if (best != SIZE_MAX) {
            w->refused[best] = true;
            w->out->notes[best].outcome = w->out->notes[best].factor > 1 ? NW_CONFLICT : NW_STUCK;
            any = true;
        }
    }
    return any;
}

static nw_status result_fit(widening *w, nw_region *region, nw_fit *after)
{
    nw_region_free(region);
    nw_fit_free(after);
    nw_status status = nw_drawing_flatten(&w->work, NW_FLATNESS_MM, region, w->error);
    return status == NW_OK ? work_fit(w, region, 0, 0, after) : status;
}

static nw_status widen_tries(widening *w, const nw_drawing *drawing, nw_region *region)
{
    for (int tries = 0;; tries++) {
        nw_status status = widen_try(w, drawing);
        if (status == NW_OK) {
            status = result_fit(w, region, &w->out->after);
        }
        if (status != NW_OK || tries == MOST_TRIES || !refuse_culprits(w, &w->out->after)) {
            return status;
        }
    }
}

/* ---- the account ------------------------------------------------------------------------------
 */

static void count_rings(const nw_drawing *drawing, size_t *pieces, size_t *holes)
{
    *pieces = *holes = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        *holes += drawing->paths[i].hole;
        *pieces += drawing->paths[i].closed && !drawing->paths[i].hole;
    }
}

static void notes_settle(widening *w)
{
    for (size_t i = 0; i < w->out->before.spot_count; i++) {
        nw_widen_note *note = &w->out->notes[i];
        if (spot_wanted(w, i)) {
            note->outcome = NW_WIDENED;
        } else if (!w->refused[i]) {
            note->outcome = NW_LEFT;
        }
        note->factor = note->outcome == NW_CONFLICT ? note->factor : 0;
    }
    /* What is still there of the wanted ones is not widened after all. */
    for (size_t i = 0; i < w->out->after.spot_count; i++) {
        size_t origin = origin_of(w, &w->out->after.spots[i], true);
        if (origin != SIZE_MAX && spot_wanted(w, origin) &&
            w->out->after.spots[i].form == NW_PINCH) {
            w->out->notes[origin].outcome = NW_STUCK;
        }
    }
}

static nw_status widen_run(widening *w, const nw_drawing *drawing)
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
    w->shared = nw_alloc(spots, sizeof *w->shared);
    w->out->notes = nw_alloc(spots, sizeof *w->out->notes);
    if (status == NW_OK && (!w->refused || !w->shared || !w->out->notes)) {
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
        w->work = (nw_drawing){0};
        count_rings(drawing, &w->out->pieces_before, &w->out->holes_before);
        count_rings(&w->out->drawing, &w->out->pieces_after, &w->out->holes_after);
    }
    nw_region_free(&region);
    return status;
}

nw_status nw_drawing_widen(const nw_drawing *drawing, const nw_widen_options *options,
                           nw_widened *widened, nw_error *error)
{
    *widened = (nw_widened){0};
    if (!(options->ease >= LEAST_EASE_MM && options->ease <= MOST_EASE_MM)) {
        return nw_fail(error, NW_BAD_REQUEST, "the ease must lie between 0.01 and 5 mm");
    }
    widening w = {.options = options, .out = widened, .error = error};
    nw_status status = widen_run(&w, drawing);
    nw_drawing_free(&w.work);
    free(w.refused);
    free(w.shared);
    if (status != NW_OK) {
        nw_widened_free(widened);
    }
    return status;
}
