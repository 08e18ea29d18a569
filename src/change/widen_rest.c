/*
 * What moving nodes could not do: a disc runs along the middle of the places that are left
 * (widen_lines.c), gaps and necks in turn, and what it covers changes sides; with fewer and fewer
 * places, until nothing is worse by it. What is to be trimmed is trimmed here too.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PASSES 6        /* gaps and necks in turn */
#define PATIENT_TRIES 1 /* then all places within two bits of a bad one are left out together */
#define REST_TRIES 4
#define SWEEPING_SHARE 0.3 /* of the work that moving may take */
#define SWEPT_BITS 0.25    /* a sweep that goes farther leaves scallops that one sees; */
#define TIP_BITS 0.6       /* to open a tip it has to go half as far as the bit is wide */

void nw_place_refuse(nw_widening *w, size_t place)
{
    nw_widen_note *note = &w->out->notes[place];
    w->refused[place] = true;
    note->outcome = note->factor > 1 ? NW_CONFLICT : NW_STUCK;
}

/* The wanted place that is nearest, or for whose sake the nearest was swept; SIZE_MAX: there is
 * none. */
static size_t wanted_nearest(const nw_widening *w, nw_point at, double *nearest)
{
    size_t best = SIZE_MAX;
    *nearest = INFINITY;
    for (size_t k = 0; k < w->out->before.spot_count; k++) {
        double off = nw_place_wanted(w, k)
                         ? nw_residue_distance(&w->out->before, &w->out->before.spots[k], at)
                         : INFINITY;
        if (off < *nearest) {
            *nearest = off;
            best = k;
        }
    }
    for (size_t i = 0; i < w->swept.count; i++) {
        const nw_swept_place *place = &w->swept.items[i];
        double off = nw_distance(place->at, at);
        if (off < *nearest && place->origin != SIZE_MAX && nw_place_wanted(w, place->origin)) {
            *nearest = off;
            best = place->origin;
        }
    }
    return best;
}

/* Refuses the wanted place that is nearest to a place of the result that should not be so, after a
 * few tries all that are near, and then twice as far each time; false when there is none. */
static bool refuse_near(nw_widening *w, nw_point at, int tries)
{
    double nearest;
    bool any = false;
    for (size_t k = wanted_nearest(w, at, &nearest); k != SIZE_MAX;
         k = wanted_nearest(w, at, &nearest)) {
        if (any && (tries < PATIENT_TRIES ||
                    nearest >= ldexp(w->options->fit.bit, tries + 1 - PATIENT_TRIES)))
            break;
        nw_place_refuse(w, k);
        any = true;
    }
    return any;
}

/* How far a point lies beyond the sheet. */
static double beyond(const nw_box *sheet, nw_point p)
{
    return fmax(fmax(sheet->min.x - p.x, p.x - sheet->max.x),
                fmax(sheet->min.y - p.y, p.y - sheet->max.y));
}

/* Refuses what makes the art run over the sheet's edge, by the farthest point of each outline;
 * *over tells that it does. */
static nw_status refuse_runaways(nw_widening *w, int tries, bool *over)
{
    const nw_box *sheet = nw_repair_sheet(w->moves);
    nw_region region = {0};
    *over = false;
    nw_status status =
        sheet ? nw_drawing_flatten(&w->work, NW_FLATNESS_MM, &region, w->error) : NW_OK;
    for (size_t ring = 0; status == NW_OK && ring < region.count; ring++) {
        nw_point far = region.points[region.starts[ring]];
        for (size_t i = region.starts[ring]; i < region.starts[ring + 1]; i++)
            if (beyond(sheet, region.points[i]) > beyond(sheet, far))
                far = region.points[i];
        if (beyond(sheet, far) > NW_FLUSH_MM) {
            refuse_near(w, far, tries);
            *over = true;
        }
    }
    nw_region_free(&region);
    return status;
}

/* A disc run along all that is wanted, from the drawing as given; up to where it runs over the
 * sheet's edge. */
static nw_status sweeps_make(nw_widening *w, const nw_drawing *drawing, int tries, bool *over)
{
    const nw_side sides[] = {NW_GAP, NW_NECK};
    nw_drawing_free(&w->work);
    w->swept.count = 0;
    nw_status status = nw_drawing_copy(drawing, &w->work, w->error);
    bool any[] = {true, true};
    *over = false;
    for (int pass = 0; pass < PASSES && (any[0] || any[1]) && !(pass && nw_work_spent(w->spent));
         pass++) {
        /* Where a chamber has room for the bit but not for the ease, less ease finds its way. */
        double ease = fmax(w->options->ease / (1 << pass / 2), NW_LEAST_EASE_MM);
        for (int k = 0; k < 2 && status == NW_OK && !*over; k++) {
            status = nw_side_pass(w, sides[k], ease, &any[k]);
            if (status == NW_OK && any[k])
                status = refuse_runaways(w, tries, over);
        }
        if (status != NW_OK || *over)
            break;
    }
    return status;
}

bool nw_pinch_no_narrower(const nw_fit *before, const nw_spot *spot)
{
    for (size_t i = 0; i < before->spot_count; i++) {
        const nw_spot *old = &before->spots[i];
        if (old->form == NW_PINCH && old->side == spot->side &&
            old->width <= spot->width + NW_SAME_WIDTH_MM &&
            nw_residue_distance(before, old, spot->at) < before->options.bit)
            return true;
    }
    return false;
}

/* Did moving leave just this spot? Then no sweep is to blame for it. */
static bool left_by_moves(const nw_fit *moved, const nw_spot *spot)
{
    for (size_t i = 0; i < moved->spot_count; i++) {
        const nw_spot *old = &moved->spots[i];
        if (old->form == spot->form && old->side == spot->side &&
            nw_distance(old->at, spot->at) < NW_SAME_WIDTH_MM &&
            fabs(old->width - spot->width) < NW_SAME_WIDTH_MM)
            return true;
    }
    return false;
}

/* Refuses what is to blame for spots that the result should not have. */
static bool refuse_culprits(nw_widening *w, const nw_fit *after, int tries)
{
    bool any = false;
    for (size_t i = 0; i < after->spot_count; i++) {
        const nw_spot *spot = &after->spots[i];
        bool bad = (!nw_place_expected(w, spot) || nw_place_new_loss(w, spot) ||
                    (spot->form == NW_PINCH && !(nw_pinch_no_narrower(&w->out->before, spot) &&
                                                 nw_pinch_no_narrower(&w->out->after, spot)))) &&
                   !left_by_moves(&w->out->after, spot);
        any = (bad && refuse_near(w, spot->at, tries)) || any;
    }
    return any;
}

/* Refuses what a sweep takes too far: nodes of one drawing from the outlines of the other. */
static nw_status refuse_from(nw_widening *w, const nw_drawing *from, const nw_drawing *to,
                             int tries, bool *any)
{
    const nw_fit_options *o = &w->out->before.options;
    double wide = fmax(o->bit, o->neck);
    nw_region region = {0};
    nw_border border = {0};
    nw_status status = nw_drawing_flatten(to, NW_FLATNESS_MM, &region, w->error);
    if (status == NW_OK)
        status = nw_border_make(&region, false, NULL, &border, w->error);
    for (size_t i = 0; status == NW_OK && border.count && i < from->count; i++) {
        const nw_path *path = &from->paths[i];
        for (size_t k = 0; k < path->count; k++) {
            uint32_t segment;
            nw_point foot, p = path->steps[k].to;
            double off = nw_border_nearest(&border, p, wide, &segment, &foot), near;
            size_t place = off > SWEPT_BITS * wide ? wanted_nearest(w, p, &near) : SIZE_MAX;
            if (place == SIZE_MAX || !nw_place_opened(w, place)) /* what is trimmed is gone */
                continue;
            if (w->out->before.spots[place].form == NW_PINCH || off > TIP_BITS * wide)
                *any = refuse_near(w, p, tries) || *any;
        }
    }
    nw_border_free(&border);
    nw_region_free(&region);
    return status;
}

/* No sweep goes too far, either way, from the drawing as moving left it. */
static nw_status refuse_far(nw_widening *w, const nw_drawing *was, int tries, bool *any)
{
    nw_status status = refuse_from(w, &w->work, was, tries, any);
    return status == NW_OK ? refuse_from(w, was, &w->work, tries, any) : status;
}

/* Sweeps once and fits; *bad: it refused what made something worse. Of what runs over the sheet's
 * edge there is no fit. */
static nw_status sweeps_judge(nw_widening *w, const nw_drawing *drawing, int tries, nw_fit *after,
                              bool *bad)
{
    nw_status status = sweeps_make(w, drawing, tries, bad);
    if (status != NW_OK || *bad)
        return status;
    status = refuse_far(w, drawing, tries, bad);
    if (status == NW_OK)
        status = nw_result_fit(w, after);
    *bad = (status == NW_OK && refuse_culprits(w, after, tries)) || *bad;
    return status;
}

/* Sweeps again and again, with fewer and fewer places, until nothing is worse; *good: so it is.
 * Each time may take half of the work that is left. */
static nw_status sweeps_try(nw_widening *w, const nw_drawing *drawing, nw_fit *after, bool *good)
{
    double most = w->spent->most;
    for (int tries = 0;; tries++) {
        w->spent->most = most * (1 - ldexp(0.5, -tries));
        bool again;
        nw_status status = sweeps_judge(w, drawing, tries, after, &again);
        *good = !again;
        if (status != NW_OK || tries == w->tries || !again || w->spent->done > most)
            return status;
    }
}

/* ---- what moving could not do ---------------------------------------------------------------- */

/* The wanted places to which a spot that is still there goes back, or what of them is trimmed,
 * where nothing is made wide; all others count as refused. */
static bool rest_choose(const nw_widening *w, bool *refused)
{
    bool any = false;
    size_t places = w->out->before.spot_count;
    memset(refused, true, places * sizeof *refused);
    for (size_t i = 0; i < w->out->after.spot_count; i++) {
        size_t place = nw_place_origin(w, &w->out->after.spots[i], true);
        if (place != SIZE_MAX && nw_place_wanted(w, place) &&
            !(w->given_up && nw_place_opened(w, place))) {
            refused[place] = false;
            any = true;
        }
    }
    return any;
}

size_t nw_pinches_of(const nw_fit *fit)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++)
        count += fit->spots[i].form == NW_PINCH;
    return count;
}

/* Is every pinch one that was there, no narrower? */
static bool none_worse(const nw_fit *before, const nw_fit *after)
{
    for (size_t i = 0; i < after->spot_count; i++)
        if (after->spots[i].form == NW_PINCH && !nw_pinch_no_narrower(before, &after->spots[i]))
            return false;
    return true;
}

static void rest_take(nw_widening *w, nw_widening *rest, nw_fit *after)
{
    nw_drawing keep = w->work;
    w->work = rest->work;
    rest->work = keep;
    nw_fit_free(&w->out->after);
    w->out->after = *after;
    *after = (nw_fit){0};
    for (size_t i = 0; i < w->out->before.spot_count; i++)
        if (!rest->refused[i])
            w->out->notes[i].swept = nw_place_opened(w, i);
}

nw_status nw_rest_sweep(nw_widening *w)
{
    nw_fit after = {0};
    bool good = false;
    nw_widening rest = *w;
    rest.work = (nw_drawing){0};
    nw_work spent = *w->spent;
    spent.before += spent.done;
    spent.done = 0;
    spent.most = SWEEPING_SHARE * w->most;
    rest.tries = REST_TRIES;
    rest.spent = &spent;
    rest.refused = nw_alloc(w->out->before.spot_count, sizeof *rest.refused);
    nw_status status = rest.refused ? NW_OK : nw_fail_memory(w->error, "the widening");
    if (status == NW_OK && rest_choose(w, rest.refused))
        status = sweeps_try(&rest, &w->work, &after, &good);
    if (status == NW_BAD_INPUT) { /* what discs cover lies so much over itself that work runs out */
        w->spent->stopped = true;
        good = false;
        status = NW_OK;
    }
    bool trims = nw_places_trimmed(w);
    if (status == NW_OK && good && none_worse(&w->out->after, &after) &&
        (trims || (after.spot_count < w->out->after.spot_count &&
                   nw_pinches_of(&after) <= nw_pinches_of(&w->out->after))))
        rest_take(w, &rest, &after);
    w->spent->done += spent.done;
    nw_fit_free(&after);
    nw_drawing_free(&rest.work);
    free(rest.swept.items);
    free(rest.refused);
    return status;
}
