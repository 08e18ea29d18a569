/*
 * One side of the work: every wanted gap, or every wanted neck, made wide enough at once. A disc of
 * the wanted diameter runs along the places' middle lines, and what it covers goes from the one
 * side to the other; what is to be trimmed goes the other way.
 */
#include <change/widen.h>
#include <solid/solid.h>

#include <math.h>
#include <stdlib.h>

#define TRIM_MM 0.01     /* beyond a trimmed residue's chords, so that no hair of it is left */
#define ARC_PARTS 32     /* chords of a residue's arc */
#define LINE_WORK 8e4    /* of a step of the lines along which a disc runs */
#define LINES_ALWAYS 1e8 /* a disc runs along so few whatever work is left */

/* ---- one pass over one side ------------------------------------------------------------------ */

nw_status nw_work_fit(const nw_widening *w, const nw_region *region, double more_bit,
                      double more_neck, nw_fit *fit)
{
    nw_fit_options options = w->out->before.options;
    options.bit += more_bit;
    options.neck += more_neck;
    options.with_shapes = true;
    return nw_fit_run(region, &options, fit, w->error);
}

nw_status nw_result_fit(nw_widening *w, nw_fit *after)
{
    nw_region region = {0};
    nw_fit_free(after);
    nw_status status = nw_drawing_flatten(&w->work, NW_FLATNESS_MM, &region, w->error);
    if (status == NW_OK)
        status = nw_work_fit(w, &region, 0, 0, after);
    w->spent->done += NW_FIT_WORK * (double)nw_region_size(&region);
    nw_region_free(&region);
    return status;
}

/* What is to be done to a side: lines along which the disc runs, places where it stands, and shapes
 * that are trimmed away. */
typedef struct {
    nw_flanks walls, strips;
    nw_drawing lines, stands, trims;
} side_work;

/* A residue as closed polygons, for it is grown by more than its arcs' chords matter. */
static nw_status trims_add(const nw_widening *w, const nw_fit *fit, const nw_spot *spot,
                           nw_drawing *trims)
{
    for (size_t i = 0; i < spot->residue_count; i++) {
        const nw_path *path = &fit->residues.paths[spot->residue + i];
        nw_path polygon = {.start = path->start, .closed = true};
        nw_point from = path->start;
        bool done = true;
        for (size_t k = 0; k < path->count && done; k++) {
            int parts = path->steps[k].kind == NW_LINE ? 1 : ARC_PARTS;
            for (int j = 1; j <= parts && done; j++)
                done = nw_path_line(&polygon, nw_step_at(from, &path->steps[k], (double)j / parts));
            from = path->steps[k].to;
        }
        if (!done || !nw_drawing_add(trims, &polygon)) {
            nw_path_free(&polygon);
            return nw_fail_memory(w->error, "what is trimmed");
        }
    }
    return NW_OK;
}

/* Is the room beyond the pinch too small for the wider disc, so that the wider fit sees one dead
 * end there? Then the place's own walls have to do; elsewhere those of the wider fit reach as far
 * as its disc has to run. */
static bool opens_small_room(const nw_spot *spot, const nw_spot *wide)
{
    return spot->form == NW_PINCH && wide->form != NW_PINCH;
}

/* A pinch that leaves nothing uncut has two points that face each other and no walls: the wide disc
 * has to stand between them. */
static nw_status stand_add(const nw_widening *w, const nw_spot *spot, nw_drawing *stands)
{
    nw_path place = {.start = spot->at};
    if (!nw_path_line(&place, spot->at) || !nw_drawing_add(stands, &place)) {
        nw_path_free(&place);
        return nw_fail_memory(w->error, "the places to widen");
    }
    return NW_OK;
}

/* Place i's walls as spot `at` of a fit has them. */
static nw_status place_collect(const nw_widening *w, const nw_fit *now, size_t i, const nw_fit *fit,
                               size_t at, const nw_border *area, side_work *work)
{
    const nw_spot *spot = &now->spots[i];
    nw_flank like = {.spot = i,
                     .dead_ends = spot->form != NW_PINCH,
                     .once = nw_place_lost(w, spot),
                     .has_tip = spot->form == NW_STUB,
                     .tip = spot->at};
    return nw_flanks_add(area, &fit->residues, fit->spots[at].residue, fit->spots[at].residue_count,
                         &like, &work->walls, w->error);
}

static bool swept_note(nw_widening *w, const nw_spot *spot)
{
    nw_swept_place place = {spot->at, nw_place_later_origin(w, spot)};
    return nw_push(&w->swept.items, &w->swept.count, &w->swept.capacity, &place, sizeof place);
}

/* All wanted places of a side. */
static nw_status places_collect(nw_widening *w, const nw_fit *now, const nw_fit *wide, nw_side side,
                                const nw_border *area, side_work *work)
{
    bool *taken = nw_alloc(wide->spot_count, sizeof *taken);
    if (!taken)
        return nw_fail_memory(w->error, "the places to widen");
    nw_status status = NW_OK;
    for (size_t i = 0; i < now->spot_count && status == NW_OK; i++) {
        const nw_spot *spot = &now->spots[i];
        if (spot->side != side || !nw_place_later(w, spot))
            continue;
        size_t at = nw_place_within(wide, spot);
        if (!swept_note(w, spot)) {
            status = nw_fail_memory(w->error, "the places to widen");
        } else if (nw_place_later_remedy(w, spot) == NW_TRIM) {
            status = trims_add(w, now, spot, &work->trims);
        } else if (at == SIZE_MAX && spot->form == NW_PINCH) {
            status = stand_add(w, spot, &work->stands);
        } else if (at != SIZE_MAX && opens_small_room(spot, &wide->spots[at])) {
            status = place_collect(w, now, i, now, i, area, work);
        } else if (at != SIZE_MAX && !taken[at]) {
            taken[at] = true;
            status = place_collect(w, now, i, wide, at, area, work);
        }
    }
    free(taken);
    return status == NW_OK ? nw_flanks_sort(&work->walls, w->error) : status;
}

/* What is, or may become, thin of the other side: its pinches and islands in the wider fit. */
static nw_status strips_collect(const nw_widening *w, const nw_fit *wide, nw_side side,
                                const nw_border *other, nw_flanks *strips)
{
    nw_status status = NW_OK;
    for (size_t i = 0; i < wide->spot_count && status == NW_OK; i++) {
        const nw_spot *spot = &wide->spots[i];
        if (spot->side != side && spot->form != NW_STUB) {
            nw_flank like = {.spot = i, .miss = spot->form == NW_MISS};
            status = nw_flanks_add(other, &wide->residues, spot->residue, spot->residue_count,
                                   &like, strips, w->error);
        }
    }
    return status == NW_OK ? nw_flanks_sort(strips, w->error) : status;
}

/* The middle lines of one wall; a place without enough room is marked, and its note told. */
static nw_status wall_lines(nw_widening *w, const nw_moving *moving, size_t wall, const nw_fit *now,
                            bool *tight, nw_drawing *lines)
{
    size_t spot = moving->walls->items[wall].spot;
    nw_moved moved = {0};
    nw_status status = nw_flank_lines(moving, wall, lines, &moved, w->error);
    tight[spot] = tight[spot] || (moved.tight && now->spots[spot].form == NW_PINCH);
    size_t origin = moved.tight ? nw_place_origin(w, &now->spots[spot], true) : SIZE_MAX;
    if (origin != SIZE_MAX) {
        nw_widen_note *note = &w->out->notes[origin];
        note->factor = fmax(note->factor, moved.factor);
    }
    return status;
}

/* Takes out the lines of places without enough room: a part of a passage is no use. ends[i] is the
 * number of lines up to wall i's last. */
static void lines_keep(const nw_flanks *walls, const size_t *ends, const bool *tight,
                       nw_drawing *lines)
{
    size_t kept = 0, k = 0;
    for (size_t i = 0; i < walls->count; i++) {
        for (; k < ends[i]; k++)
            if (tight[walls->items[i].spot])
                nw_path_free(&lines->paths[k]);
            else
                lines->paths[kept++] = lines->paths[k];
    }
    lines->count = kept;
}

/* The middle lines of all walls. */
static nw_status lines_make(nw_widening *w, const nw_moving *moving, const nw_fit *now,
                            nw_drawing *lines)
{
    const nw_flanks *walls = moving->walls;
    bool *tight = nw_alloc(now->spot_count, sizeof *tight);
    size_t *ends = nw_alloc(walls->count, sizeof *ends);
    nw_status status = NW_OK;
    if (!tight || !ends)
        status = nw_fail_memory(w->error, "the middle lines");
    for (size_t i = 0; i < walls->count && status == NW_OK; i++) {
        status = wall_lines(w, moving, i, now, tight, lines);
        ends[i] = lines->count;
    }
    if (status == NW_OK)
        lines_keep(walls, ends, tight, lines);
    free(tight);
    free(ends);
    return status;
}

/* Opens the work along the lines: art is added to, or taken from, where the disc runs. */
static nw_status lines_cut(nw_widening *w, const nw_drawing *lines, double radius, bool take)
{
    nw_drawing swept = {0}, next = {0};
    nw_status status = nw_drawing_sweep(lines, radius, &swept, w->error);
    if (status == NW_OK)
        status = nw_drawing_paint(&w->work, &swept, take, &next, w->error);
    nw_drawing_free(&swept);
    if (status == NW_OK) {
        nw_drawing_free(&w->work);
        w->work = next;
    }
    return status;
}

/* Both sides' borders; the sheet ends the complement of the art, and is that border's last ring. */
static nw_status borders_make(const nw_widening *w, const nw_region *region, bool reversed,
                              nw_border *area, nw_border *other, nw_moving *moving)
{
    const nw_fit_options *o = &w->out->before.options;
    const nw_box *sheet = o->has_stock ? &o->stock : NULL;
    nw_status status = nw_border_make(region, reversed, reversed ? sheet : NULL, area, w->error);
    if (status == NW_OK)
        status = nw_border_make(region, !reversed, reversed ? NULL : sheet, other, w->error);
    bool in_area = sheet && reversed, in_other = sheet && !reversed;
    moving->area = area;
    moving->other = other;
    moving->area_sheet = in_area ? (uint32_t)area->ring_count - 1 : NW_NO_RING;
    moving->other_sheet = in_other ? (uint32_t)other->ring_count - 1 : NW_NO_RING;
    return status;
}

/* The most by which a wanted place of the side has to become wider. */
static double widest_need(const nw_widening *w, const nw_fit *now, nw_side side, double diameter)
{
    double most = 0;
    for (size_t i = 0; i < now->spot_count; i++) {
        const nw_spot *spot = &now->spots[i];
        if (spot->side == side && nw_place_later(w, spot))
            most = fmax(most, diameter - fmax(spot->width, 0));
    }
    return most;
}

/* Runs the disc along the lines; trimmed places go the other way. */
static nw_status work_do(nw_widening *w, const side_work *work, double radius, bool take)
{
    nw_status status = NW_OK;
    if (work->lines.count)
        status = lines_cut(w, &work->lines, radius + NW_CLEAR_MM, take);
    if (status == NW_OK && work->stands.count)
        status = lines_cut(w, &work->stands, radius + NW_CLEAR_MM, take);
    if (status == NW_OK && work->trims.count)
        status = lines_cut(w, &work->trims, TRIM_MM, !take);
    return status;
}

/* The fit of a disc with the ease on the side, and on the other of one so large that it sees what
 * may become thin. */
static nw_status wide_fit(nw_widening *w, const nw_region *region, const nw_fit *now, nw_side side,
                          double ease, nw_fit *wide)
{
    bool gaps = side == NW_GAP;
    double need = widest_need(w, now, side, (gaps ? now->options.bit : now->options.neck) + ease);
    return nw_work_fit(w, region, gaps ? ease : 2 * need, gaps ? 2 * need : ease, wide);
}

/* Changes what is wanted of one side; *any tells whether anything was. */
static nw_status side_move(nw_widening *w, const nw_region *region, const nw_fit *now, nw_side side,
                           double ease, bool *any)
{
    nw_fit wide = {0};
    nw_border area = {0}, other = {0};
    side_work work = {0};
    nw_fit_options o = now->options;
    bool reversed = (side == NW_GAP) == (o.cut == NW_CUT_OUTSIDE);
    nw_moving moving = {.walls = &work.walls,
                        .strips = &work.strips,
                        .radius = ((side == NW_GAP ? o.bit : o.neck) + ease) / 2,
                        .least = side == NW_GAP ? o.neck : o.bit};
    nw_status status = wide_fit(w, region, now, side, ease, &wide);
    if (status == NW_OK)
        status = borders_make(w, region, reversed, &area, &other, &moving);
    if (status == NW_OK)
        status = places_collect(w, now, &wide, side, &area, &work);
    if (status == NW_OK)
        status = strips_collect(w, &wide, side, &other, &work.strips);
    if (status == NW_OK)
        status = lines_make(w, &moving, now, &work.lines);
    double lines = LINE_WORK * (double)nw_drawing_steps(&work.lines);
    w->spent->done += NW_FIT_WORK * (double)nw_region_size(region) + lines;
    bool much = nw_work_spent(w->spent) && lines > LINES_ALWAYS;
    w->spent->stopped = w->spent->stopped || much;
    *any = work.lines.count > 0 || work.stands.count > 0 || work.trims.count > 0;
    if (status == NW_OK && !much)
        status = work_do(w, &work, moving.radius, reversed);
    nw_fit_free(&wide);
    nw_border_free(&area);
    nw_border_free(&other);
    nw_flanks_free(&work.walls);
    nw_flanks_free(&work.strips);
    nw_drawing_free(&work.lines);
    nw_drawing_free(&work.stands);
    nw_drawing_free(&work.trims);
    return status;
}

static bool any_wanted(const nw_widening *w, const nw_fit *fit, nw_side side)
{
    for (size_t i = 0; i < fit->spot_count; i++)
        if (fit->spots[i].side == side && nw_place_later(w, &fit->spots[i]))
            return true;
    return false;
}

/* Flattens the work and fits it; moves one side if it has anything wanted. */
nw_status nw_side_pass(nw_widening *w, nw_side side, double ease, bool *any)
{
    nw_region region = {0};
    nw_fit fit = {0};
    *any = false;
    nw_work_tell(w->spent);
    nw_status status = nw_drawing_flatten(&w->work, NW_FLATNESS_MM, &region, w->error);
    if (status == NW_OK)
        status = nw_work_fit(w, &region, 0, 0, &fit);
    if (status == NW_OK && any_wanted(w, &fit, side))
        status = side_move(w, &region, &fit, side, ease, any);
    w->spent->done += NW_FIT_WORK * (double)nw_region_size(&region);
    nw_fit_free(&fit);
    nw_region_free(&region);
    return status;
}
