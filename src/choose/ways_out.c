/*
 * Outlines and a bit -> the ways out when it does not fit: the largest bit of the rack that does,
 * the size at which it does itself, and how many places are to be widened. What is suggested has
 * passed the very check that it will meet.
 */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>
#include <stdlib.h>

static void places_count(const nw_fit *fit, nw_ways *ways)
{
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        if (nw_spot_is_crumb(spot, fit->options.bit)) {
            ways->crumbs++;
            continue;
        }
        if (spot->widen < 0) {
            ways->blind++;
            continue;
        }
        ways->places++;
        ways->stubs += spot->form == NW_STUB;
        ways->misses += spot->form == NW_MISS;
        ways->widen_most = fmax(ways->widen_most, spot->widen);
        ways->widen_area += spot->widen * spot->length;
    }
}

typedef struct {
    const nw_fit_options *options; /* with the bit in hand, and the least neck as asked for */
    const nw_fit *fit;
    const nw_rack *rack;
    double stock;
    const nw_borders *borders;
} ways_work;

/* The closest of the bits, largest first, where none fits: see nw_closest. A larger bit leaves what
 * a smaller one does and more, so that those beyond one that leaves much are not looked at. */
static nw_status near_bit_find(const ways_work *work, const nw_judge *judge,
                               const nw_cutting_bit *bits, size_t count, nw_ways *ways,
                               nw_error *error)
{
    nw_closest closest = nw_closest_none();
    if (nw_closest_none_near(work->fit,
                             nw_bit_trial(work->options, work->stock, bits[count - 1].diameter)))
        return NW_OK;
    for (size_t at = count; at-- > 0 && !closest.beyond;) {
        nw_leavings left;
        nw_trial trial = nw_bit_trial(work->options, work->stock, bits[at].diameter);
        nw_status status =
            nw_judge_leavings(judge, trial, nw_closest_most(&closest, work->fit), &left, error);
        if (status != NW_OK)
            return status;
        if (nw_closest_count(&closest, bits[at].bit, left.spots, left.share)) {
            ways->near_bit = closest.index;
            ways->near_bit_diameter = bits[at].diameter;
        }
    }
    if (!nw_closest_helps(&closest, work->fit)) {
        ways->near_bit = work->rack->count;
        return NW_OK;
    }
    ways->near_bit_spots = closest.spots;
    ways->near_bit_share = closest.share;
    return NW_OK;
}

/* Whether the bit fits, inside the spots of larger ones and, if asked, everywhere. */
static nw_status bit_try(const ways_work *work, nw_judge *judge, double diameter, bool everywhere,
                         bool *fits, nw_error *error)
{
    nw_trial trial = nw_bit_trial(work->options, work->stock, diameter);
    nw_judgement judgement;
    nw_status status = nw_judge_ask(judge, trial, false, &judgement, error);
    if (status == NW_OK && judgement.fits && everywhere)
        status = nw_judge_whole(judge, trial, &judgement, error);
    *fits = status == NW_OK && judgement.fits;
    return status;
}

/* The first of the bits, largest first, that fits; count when none does. Where a bit fits each
 * smaller one does, so the smallest tells whether any does, and the border is found by halves. A
 * judge that has not looked at anything yet begins with the largest: others look in its spots. */
static nw_status halves_search(const ways_work *work, nw_judge *judge, const nw_cutting_bit *bits,
                               size_t count, bool everywhere, size_t *found, nw_error *error)
{
    size_t failing = 0, at = work->fit->fits ? 0 : count - 1; /* all before `failing` do not fit */
    nw_status status = NW_OK;
    for (*found = count; status == NW_OK && failing < *found;) {
        bool fits;
        status = bit_try(work, judge, bits[at].diameter, everywhere, &fits, error);
        *found = fits ? at : *found;
        failing = fits ? failing : at + 1;
        at = *found < count ? (failing + *found) / 2 : count - 1;
    }
    return status;
}

/* Only what is found is looked at everywhere; where it does not fit then, so is each. */
static nw_status largest_fitting(const ways_work *work, nw_judge *judge, const nw_cutting_bit *bits,
                                 size_t count, size_t *found, nw_error *error)
{
    bool fits = true;
    nw_status status = halves_search(work, judge, bits, count, false, found, error);
    if (status == NW_OK && *found < count)
        status = bit_try(work, judge, bits[*found].diameter, true, &fits, error);
    return status == NW_OK && !fits ? halves_search(work, judge, bits, count, true, found, error)
                                    : status;
}

/* Larger bits, when the one in hand fits, need a judge of their own: it begins with the largest. */
static nw_status rack_search(const ways_work *work, nw_judge *judge, nw_ways *ways, nw_error *error)
{
    ways->bit = ways->near_bit = work->rack->count;
    nw_cutting_bit *candidates = nw_alloc(work->rack->count, sizeof *candidates);
    if (!candidates)
        return nw_fail_memory(error, "the bits");
    const nw_fit_options *own = &work->fit->options;
    size_t all = nw_rack_cutting(work->rack, own->cut, work->stock, candidates), count = 0;
    for (size_t i = 0; i < all; i++)
        if (work->fit->fits ? candidates[i].diameter > own->bit : candidates[i].diameter < own->bit)
            candidates[count++] = candidates[i];
    size_t found;
    nw_status status = largest_fitting(work, judge, candidates, count, &found, error);
    if (status == NW_OK && found < count) {
        ways->bit = candidates[found].bit;
        ways->bit_diameter = candidates[found].diameter;
    } else if (status == NW_OK && !work->fit->fits && count)
        status = near_bit_find(work, judge, candidates, count, ways, error);
    free(candidates);
    return status;
}

/* What only tips lose may be accepted. */
static nw_status tips_try(const ways_work *work, nw_ways *ways, nw_error *error)
{
    const nw_fit *fit = work->fit;
    double deepest = 0;
    bool only = fit->spot_count > 0 && fit->unpaired == 0;
    for (size_t k = 0; k < fit->spot_count; k++) {
        only = only && fit->spots[k].tip;
        deepest = fmax(deepest, fit->spots[k].depth);
    }
    if (!only)
        return NW_OK;
    nw_judgement judgement;
    nw_fit_options own = fit->options;
    own.blunt = ceil(deepest * 10 + 1e-6) / 10;
    nw_status status = nw_judge_once(work->borders, &own, &judgement, error);
    if (status == NW_OK && judgement.fits) {
        ways->blunt = own.blunt;
        ways->tips = fit->spot_count;
    }
    return status;
}

/* Strips between what is cut and the sheet's edges are none once these are as far as the least
 * neck. */
static nw_status margin_try(const ways_work *work, const nw_drawing *drawing,
                            const nw_region *region, nw_ways *ways, nw_error *error)
{
    nw_fit_options own = work->fit->options;
    double width = nw_box_width(own.stock), height = nw_box_height(own.stock);
    double margin = ceil(own.neck * 10 - 1e-6) / 10;
    if (!own.has_stock || own.cut == NW_CUT_OUTSIDE || -own.stock.min.x >= own.neck ||
        drawing->width + 2 * margin > width || drawing->height + 2 * margin > height)
        return NW_OK;
    nw_fit fit;
    own.stock = (nw_box){{-margin, -margin}, {width - margin, height - margin}};
    own.with_shapes = own.with_sides = false;
    nw_status status = nw_fit_run(region, &own, &fit, error);
    if (status == NW_OK && fit.unpaired == 0 && fit.spot_count < work->fit->spot_count) {
        ways->margin = margin;
        ways->margin_spots = fit.spot_count;
    }
    nw_fit_free(&fit);
    return status;
}

/* With the bit in hand. */
static nw_status judge_start(const ways_work *work, const nw_fit_options *own, nw_judge *judge,
                             nw_judgement *first, nw_error *error)
{
    const nw_fit *fit = work->fit;
    if (!fit->sides || fit->options.bit != own->bit || fit->options.neck != own->neck)
        return nw_judge_start(judge, (nw_trial){own->bit, own->neck, 1}, first, error);
    nw_judge_start_from(judge, fit->sides, first);
    return NW_OK;
}

static nw_status searches_run(const ways_work *work, const nw_drawing *drawing,
                              const nw_region *region, nw_ways *ways, nw_error *error)
{
    nw_fit_options own = *work->options;
    own.neck = nw_bit_neck(work->options, own.bit, work->stock);
    nw_judge judge = nw_judge_on(work->borders, &own);
    nw_judgement first;
    nw_status status = NW_OK;
    if (work->fit->fits)
        status = rack_search(work, &judge, ways, error);
    if (status == NW_OK)
        status = judge_start(work, &own, &judge, &first, error);
    if (status == NW_OK && !work->fit->fits)
        status = rack_search(work, &judge, ways, error);
    if (status == NW_OK)
        status = nw_size_critical_from(drawing, &own, &judge, first, true, &ways->factor, error);
    bool none = status == NW_OK && !work->fit->fits && !(ways->factor > 0);
    if (none)
        status = nw_size_near(drawing, region, work->fit, ways, error);
    if (none && status == NW_OK && ways->near_width > 0 && ways->near_size_spots == 0) {
        status = nw_size_tried(drawing, &own, ways->near_width, &ways->factor, error);
        ways->near_width = 0; /* it does, or it is the sheet alone that is in the way */
    }
    if (status == NW_OK)
        status = tips_try(work, ways, error);
    if (status == NW_OK && !work->fit->fits)
        status = margin_try(work, drawing, region, ways, error);
    nw_judge_free(&judge);
    return status;
}

nw_status nw_ways_find(const nw_drawing *drawing, const nw_region *region,
                       const nw_fit_options *options, const nw_fit *fit, const nw_rack *rack,
                       double stock, nw_ways *ways, nw_error *error)
{
    *ways = (nw_ways){.fits = fit->fits};
    places_count(fit, ways);
    nw_borders made = {0};
    nw_status status = fit->sides ? NW_OK : nw_borders_make(region, options, &made, error);
    if (status != NW_OK)
        return status;
    ways_work work = {options, fit, rack, stock, fit->sides ? &fit->sides->borders : &made};
    status = searches_run(&work, drawing, region, ways, error);
    nw_borders_free(&made);
    ways->longer = fmax(drawing->width, drawing->height);
    ways->width = drawing->width * ways->factor;
    ways->height = drawing->height * ways->factor;
    return status;
}
