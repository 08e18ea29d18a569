/* widen: a drawing whose spots are widened, with the fit itself as judge.
 *
 * First the outlines' own nodes and handles are moved (repair.c). A fit of the result tells what
 * went wrong, if anything: what bounds a spot that should not be there then stays, and all is done
 * again. For what is left, a disc runs along the middle of the pinch (widen_lines.c), gaps and
 * necks in turn, and what it covers changes sides; that stays only where it makes nothing worse.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PINCHES_SHARE 0.4 /* of the work that moving may take is for pinches' sake */
#define FEW_PINCHES 8     /* more of them are not left for what is opened beside each */
#define FITTING_FREE 2e9  /* of the work for fits that there are in any case: is not counted */
#define BESIDE_BITS 3.0   /* what lies so near to a pinch may have cost it */

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

/* ---- the account ----------------------------------------------------------------------------- */

static void notes_settle(nw_widening *w)
{
    const nw_fit *before = &w->out->before, *after = &w->out->after;
    for (size_t i = 0; i < before->spot_count; i++) {
        nw_widen_note *note = &w->out->notes[i];
        bool asked = nw_place_wanted(w, i) || w->refused[i];
        bool refused = note->outcome == NW_CONFLICT && w->refused[i];
        note->outcome = !asked ? NW_GONE : NW_WIDENED;
        note->yielded = w->yields[i];
        note->factor = refused ? note->factor : 0;
    }
    /* What is still there of the wanted ones is not widened after all, and of the others is left.
     */
    for (size_t k = 0; k < after->spot_count; k++) {
        size_t origin = nw_place_origin(w, &after->spots[k], true);
        for (size_t i = 0; i < before->spot_count; i++) {
            nw_widen_note *note = &w->out->notes[i];
            bool gone = note->outcome == NW_GONE;
            if ((gone || note->outcome == NW_WIDENED) &&
                nw_place_there(w, i, &after->spots[k], origin))
                note->outcome = gone ? NW_LEFT : note->factor > 1 ? NW_CONFLICT : NW_STUCK;
        }
    }
    for (size_t i = 0; i < before->spot_count; i++) {
        nw_widen_note *note = &w->out->notes[i];
        note->factor = note->outcome == NW_CONFLICT ? note->factor : 0;
        note->swept = note->swept && note->outcome == NW_WIDENED;
        note->yielded = note->yielded && note->outcome == NW_WIDENED;
        note->undone = note->undone && nw_place_unsolved(w->out, i);
    }
}

static size_t pinches_left(const nw_widening *w)
{
    size_t count = 0;
    for (size_t i = 0; i < w->out->after.spot_count; i++) {
        const nw_spot *spot = &w->out->after.spots[i];
        count += spot->form == NW_PINCH && !nw_place_expected(w, spot);
    }
    return count;
}

/* What is opened, and lies beside such a pinch, stays; false: nothing does, or there are so many
 * pinches that they are not to blame on it. */
static nw_status opened_refuse(nw_widening *w, bool *any)
{
    size_t count = w->out->before.spot_count;
    bool *refused = nw_alloc(count, sizeof *refused);
    bool few = pinches_left(w) <= FEW_PINCHES;
    *any = false;
    for (size_t i = 0; refused && i < count && few; i++) {
        refused[i] = nw_place_opened(w, i) && w->out->before.spots[i].form != NW_PINCH &&
                     nw_place_beside_pinch(w, i, BESIDE_BITS);
        *any = *any || refused[i];
    }
    for (size_t i = 0; refused && i < count; i++)
        if (refused[i])
            nw_place_refuse(w, i);
    free(refused);
    return refused ? NW_OK : nw_fail_memory(w->error, "the widening");
}

/* From the art as it was, without what is opened beside pinches that are left. */
static nw_status pinches_move(nw_widening *w, const nw_drawing *drawing)
{
    bool any;
    nw_status status = opened_refuse(w, &any);
    if (status != NW_OK || !any)
        return status;
    nw_repair_free(w->moves);
    w->spent->most = w->end;
    return nw_moves_try(w, drawing);
}

/* From the art as it was, without the small pieces and holes, lost as a whole anyway, that leave a
 * pinch no room; stays so only where fewer pinches are left. */
static nw_status yielding_move(nw_widening *w, const nw_drawing *drawing)
{
    bool *yields = nw_alloc(w->out->before.spot_count, sizeof *yields);
    if (!yields)
        return nw_fail_memory(w->error, "the widening");
    memcpy(yields, w->yields, w->out->before.spot_count * sizeof *yields);
    if (!nw_places_yield(w, yields)) {
        free(yields);
        return NW_OK;
    }
    size_t left = pinches_left(w);
    nw_widening was = *w;
    nw_repair moves = *w->moves;
    nw_fit after = w->out->after;
    w->work = (nw_drawing){0};
    *w->moves = (nw_repair){0};
    w->out->after = (nw_fit){0};
    w->yields = yields;
    w->spent->most = w->end;
    nw_status status = nw_moves_try(w, drawing);
    if (status == NW_OK && pinches_left(w) < left) {
        nw_drawing_free(&was.work);
        nw_repair_free(&moves);
        nw_fit_free(&after);
        free(was.yields);
        return status;
    }
    nw_drawing_free(&w->work);
    nw_repair_free(w->moves);
    nw_fit_free(&w->out->after);
    w->work = was.work;
    *w->moves = moves;
    w->out->after = after;
    w->yields = was.yields;
    w->given_up = was.given_up;
    free(yields);
    return status;
}

/* Is anything opened besides pinches, and are there pinches for which it may leave no room? */
static bool blind_opened(const nw_widening *w)
{
    bool blind = false, pinch = false;
    for (size_t i = 0; i < w->out->before.spot_count; i++)
        if (nw_place_opened(w, i))
            *(w->out->before.spots[i].form == NW_PINCH ? &pinch : &blind) = true;
    return blind && pinch;
}

/* Is no more to be tried: it is only for some places, or no use any more, for it cannot be done
 * within the work or leaves many more pinches than is known to do? */
static bool is_enough(const nw_widening *w)
{
    return w->only || (w->spent->strict && w->spent->done > w->end) ||
           (w->spent->has_known && pinches_left(w) > w->spent->known + FEW_PINCHES);
}

/* Moves what can be moved. Where opening what ends blind costs a pinch, what is about it is not
 * opened; where pinches are left even so, what is lost anyway makes way for them. */
static nw_status all_widen(nw_widening *w, const nw_drawing *drawing)
{
    if (blind_opened(w))
        w->spent->most -= PINCHES_SHARE * w->most;
    bool spared = false;
    nw_status status = nw_moves_spare(w, drawing, &spared);
    if (status == NW_OK && !spared)
        status = nw_moves_try(w, drawing);
    if (status == NW_OK && !w->given_up && !nw_work_spent(w->spent) && pinches_left(w))
        status = pinches_move(w, drawing);
    if (status == NW_OK && !w->given_up && !is_enough(w) && !w->spent->stopped && pinches_left(w))
        status = yielding_move(w, drawing);
    if (status == NW_OK && !w->only)
        status = nw_repair_undo(w, drawing);
    return status == NW_OK && !is_enough(w) ? nw_rest_sweep(w) : status;
}

/* How far outlines moved; those that were dropped as a whole have not, and are counted. */
static nw_status moved_measure(const nw_widening *w, const nw_region *before, nw_region *after)
{
    nw_region kept = {0};
    size_t points = nw_region_size(before);
    kept.points = nw_alloc(points, sizeof *kept.points);
    kept.starts = nw_alloc(before->count + 1, sizeof *kept.starts);
    if (!kept.points || !kept.starts) {
        nw_region_free(&kept);
        return nw_fail_memory(w->error, "how far outlines moved");
    }
    for (size_t ring = 0; ring < before->count; ring++) {
        const nw_point *first = before->points + before->starts[ring];
        size_t n = before->starts[ring + 1] - before->starts[ring], at = kept.starts[kept.count];
        if (nw_ring_dropped(w, ring) &&
            (w->misses[ring] == NW_DUST || w->out->notes[w->misses[ring]].outcome == NW_WIDENED)) {
            w->out->dropped++;
            continue;
        }
        memcpy(kept.points + at, first, n * sizeof *first);
        kept.starts[++kept.count] = at + n;
    }
    nw_status status = nw_outlines_moved(&kept, after, &w->out->largest_move, w->error);
    nw_region_free(&kept);
    return status;
}

static nw_status account_make(nw_widening *w, const nw_drawing *drawing, const nw_region *before)
{
    nw_region region;
    nw_widened *out = w->out;
    notes_settle(w);
    for (size_t i = 0; i < out->before.spot_count; i++)
        out->cut_short = out->cut_short || (w->spent->stopped && nw_place_unsolved(out, i));
    out->drawing = w->work;
    out->drawing.placed = drawing->placed;
    w->work = (nw_drawing){0};
    nw_region_count_rings(before, &out->pieces_before, &out->holes_before);
    nw_status status = nw_drawing_flatten(&out->drawing, NW_FLATNESS_MM, &region, w->error);
    if (status == NW_OK) {
        out->area_added = nw_region_area(&region) - nw_region_area(before);
        nw_region_count_rings(&region, &out->pieces_after, &out->holes_after);
        status = moved_measure(w, before, &region);
        nw_region_free(&region);
    }
    return status;
}

static nw_status passes_run(nw_widening *w, const nw_drawing *drawing)
{
    nw_region region = {0};
    nw_fit_options options = w->options->fit;
    options.with_shapes = true;
    nw_status status = nw_drawing_flatten(drawing, NW_FLATNESS_MM, &region, w->error);
    if (status == NW_OK)
        status = nw_fit_run(&region, &options, &w->out->before, w->error);
    /* As much again is for what is judged and measured in the end. */
    w->spent->fitting = 2 * NW_FIT_WORK * (double)nw_region_size(&region);
    w->spent->done += fmax(w->spent->fitting - FITTING_FREE, 0);
    size_t spots = w->out->before.spot_count;
    w->refused = nw_alloc(spots, sizeof *w->refused);
    w->out->notes = nw_alloc(spots, sizeof *w->out->notes);
    w->yields = nw_alloc(spots, sizeof *w->yields);
    w->boxes = nw_alloc(spots, sizeof *w->boxes);
    w->misses = nw_alloc(region.count, sizeof *w->misses);
    if (status == NW_OK && (!w->refused || !w->yields || !w->boxes || !w->misses || !w->out->notes))
        status = nw_fail_memory(w->error, "the widening");
    if (status == NW_OK)
        status = nw_misses_rings(&w->out->before, &region, w->misses, w->error);
    for (size_t i = 0; status == NW_OK && i < spots; i++)
        w->boxes[i] = nw_spot_box(&w->out->before, &w->out->before.spots[i]);
    if (status == NW_OK)
        nw_places_dust(w, &region);
    if (status == NW_OK)
        nw_places_yield_first(w, w->yields);
    if (status == NW_OK)
        status = all_widen(w, drawing);
    if (status == NW_OK)
        status = account_make(w, drawing, &region);
    nw_region_free(&region);
    return status;
}

nw_status nw_widen_once(const nw_drawing *drawing, const nw_widen_options *options, int tries,
                        const nw_widened *only, nw_work *spent, nw_widened *widened,
                        nw_error *error)
{
    *widened = (nw_widened){0};
    nw_repair moves = {0};
    nw_widening w = {.options = options,
                     .tries = tries,
                     .only = only,
                     .out = widened,
                     .moves = &moves,
                     .spent = spent,
                     .most = spent->most - spent->done,
                     .end = spent->most,
                     .error = error};
    nw_status status = passes_run(&w, drawing);
    nw_repair_free(&moves);
    nw_drawing_free(&w.work);
    free(w.refused);
    free(w.yields);
    free(w.boxes);
    free(w.misses);
    if (status != NW_OK)
        nw_widened_free(widened);
    return status;
}
