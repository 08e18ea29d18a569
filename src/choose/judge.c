/*
 * Borders and sizes -> yes or no, for searches that ask many sizes. What a smaller disc misses a
 * larger one misses too (Serra, Image Analysis and Mathematical Morphology, 1982), so after the
 * largest only the inside of its spots needs to be looked at, and of theirs, and so on. An enlarged
 * drawing is not made: the disc shrinks instead.
 */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>
#include <stdlib.h>

typedef enum { ALL_ANEW, ALL, SPOTS, SOON } where; /* SOON: SPOTS up to the first that is found */

#define CLEAR_SHARE 1e-9 /* smaller than what leaves a spot */

static void looked_free(nw_judged *judged)
{
    nw_judged_free(judged);
    free(judged);
}

nw_judge nw_judge_on(const nw_borders *borders, const nw_fit_options *options)
{
    return (nw_judge){
        .options = options,
        .sides = {[NW_GAP] = {.border = &borders->cut}, [NW_NECK] = {.border = &borders->kept}}};
}

static void side_free(nw_judge_side *side)
{
    looked_free(side->base);
    looked_free(side->last);
    side->base = side->last = NULL;
    side->given = NULL;
    side->clear = 0;
}

void nw_judge_free(nw_judge *judge)
{
    side_free(&judge->sides[NW_GAP]);
    side_free(&judge->sides[NW_NECK]);
}

/* The smallest before that is not smaller; one that looked everywhere unless only spots count. */
static const nw_judged *larger_of(const nw_judge_side *side, double radius, where at)
{
    if (at == ALL_ANEW)
        return NULL;
    if (at >= SPOTS && side->last && side->last->rolled.roll.radius >= radius)
        return side->last;
    const nw_judged *base = side->base ? side->base : side->given;
    return base && base->rolled.roll.radius >= radius ? base : NULL;
}

static double diameter_of(const nw_fit_options *options, nw_side which)
{
    return which == NW_GAP ? options->bit : options->neck;
}

/* Inside the chosen walls of the larger one (NULL: all of them). */
static nw_status side_roll(const nw_judge_side *side, nw_side which, const nw_judged *larger,
                           const bool *chosen, const nw_fit_options *options, double scale,
                           nw_rolled *rolled, nw_error *error)
{
    double diameter = diameter_of(options, which), radius = nw_rolled_radius(diameter) / scale;
    nw_roll roll;
    *rolled = (nw_rolled){0};
    nw_status status = larger ? nw_roll_inside(&larger->rolled.walls, chosen, radius, &roll, error)
                              : nw_roll_make(side->border, radius, options, &roll, error);
    return status == NW_OK ? nw_rolled_from(side->border, diameter / scale, &roll, rolled, error)
                           : status;
}

static nw_status judged_make(const nw_judge_side *side, nw_side which, const nw_judged *larger,
                             const bool *chosen, const nw_fit_options *options, double scale,
                             nw_judged **made, nw_error *error)
{
    *made = nw_alloc(1, sizeof **made);
    if (!*made)
        return nw_fail_memory(error, "the spots");
    nw_status status =
        side_roll(side, which, larger, chosen, options, scale, &(*made)->rolled, error);
    if (status == NW_OK)
        status =
            nw_spots_mark(&(*made)->rolled, which, options, scale, true, &(*made)->marks, error);
    if (status != NW_OK) {
        looked_free(*made);
        *made = NULL;
    }
    return status;
}

/* Keeps what helps with smaller sizes. */
static void judged_keep(nw_judge_side *side, nw_judged *made, bool whole)
{
    double radius = made->rolled.roll.radius;
    if (whole) {
        side_free(side);
        side->base = made;
    } else if (made->marks.any) {
        looked_free(side->last);
        side->last = made;
        side->clear = fmin(side->clear, radius * (1 - CLEAR_SHARE));
    } else {
        side->clear = fmax(side->clear, radius);
        looked_free(made);
    }
}

static void marks_tell(const nw_judged *judged, nw_judgement *judgement)
{
    judgement->fits = judgement->fits && !judged->marks.any;
    judgement->need = fmax(judgement->need, judged->marks.need);
}

/* Whether the larger one's narrowest pinch stays a spot: one that does not open mostly does, and
 * to look at it alone costs little. */
static nw_status tightest_stays(const nw_judge_side *side, nw_side which, const nw_judged *larger,
                                const nw_fit_options *options, double scale, bool *stays,
                                nw_error *error)
{
    double less = larger->rolled.diameter * scale / diameter_of(options, which);
    *stays = false;
    if (larger->marks.need <= less)
        return NW_OK;
    bool *chosen = nw_alloc(larger->rolled.walls.count, sizeof *chosen);
    if (!chosen)
        return nw_fail_memory(error, "the spots");
    nw_walls_choose(&larger->rolled, larger->marks.tightest, chosen);
    nw_judged *made;
    nw_status status = judged_make(side, which, larger, chosen, options, scale, &made, error);
    *stays = status == NW_OK && made->marks.any;
    if (status == NW_OK)
        looked_free(made);
    free(chosen);
    return status;
}

/* options: the trial's. */
static nw_status side_judge(nw_judge_side *side, nw_side which, where at,
                            const nw_fit_options *options, double scale, nw_judgement *judgement,
                            nw_error *error)
{
    double radius = nw_rolled_radius(diameter_of(options, which)) / scale;
    const nw_judged *larger = larger_of(side, radius, at);
    nw_judged *made;
    if (at >= SPOTS && radius <= side->clear)
        return NW_OK;
    if (larger && (larger->rolled.roll.radius == radius || (at >= SPOTS && !larger->marks.any))) {
        marks_tell(larger, judgement);
        return NW_OK;
    }
    nw_status status = NW_OK;
    if (at == SOON && larger) {
        bool stays;
        status = tightest_stays(side, which, larger, options, scale, &stays, error);
        judgement->fits = !stays;
        if (status != NW_OK || stays)
            return status;
    }
    status = judged_make(side, which, larger, at == ALL || !larger ? NULL : larger->marks.walls,
                         options, scale, &made, error);
    if (status != NW_OK)
        return status;
    marks_tell(made, judgement);
    judged_keep(side, made, !larger);
    return NW_OK;
}

static nw_status both_judge(nw_judge *judge, nw_trial trial, where at, nw_judgement *judgement,
                            nw_error *error)
{
    *judgement = (nw_judgement){true, 1};
    nw_fit_options own = *judge->options;
    own.bit = trial.bit;
    own.neck = trial.neck;
    nw_status status = nw_fit_options_fill(&own, error);
    for (int k = 0; status == NW_OK && k < 2 && (judgement->fits || at == ALL_ANEW || at == SPOTS);
         k++)
        status = side_judge(&judge->sides[k], (nw_side)k, at, &own, trial.scale, judgement, error);
    return status;
}

nw_status nw_judge_start(nw_judge *judge, nw_trial trial, nw_judgement *judgement, nw_error *error)
{
    nw_judge_free(judge);
    return both_judge(judge, trial, ALL_ANEW, judgement, error);
}

void nw_judge_start_from(nw_judge *judge, const nw_fit_sides *sides, nw_judgement *judgement)
{
    nw_judge_free(judge);
    *judgement = (nw_judgement){true, 1};
    for (int k = 0; k < 2; k++) {
        judge->sides[k].given = &sides->judged[k];
        marks_tell(&sides->judged[k], judgement);
    }
}

nw_status nw_judge_ask(nw_judge *judge, nw_trial trial, bool need, nw_judgement *judgement,
                       nw_error *error)
{
    return both_judge(judge, trial, need ? SPOTS : SOON, judgement, error);
}

nw_status nw_judge_whole(nw_judge *judge, nw_trial trial, nw_judgement *judgement, nw_error *error)
{
    return both_judge(judge, trial, ALL, judgement, error);
}

/* ---- how much is left ------------------------------------------------------------------------ */

static double share_of(const nw_rolled *rolled, double all)
{
    return all > 0 ? fmin(fmax(0, nw_rolled_area(rolled) / all), 1) : 0;
}

/* On one side, of `all` mm²: spots are counted where no more than the share `most` of it is left.
 * Where the spots of larger sizes alone leave more, nothing else is looked at. */
static nw_status side_count(const nw_judge *judge, nw_side which, const nw_fit_options *options,
                            double scale, double all, double most, nw_leavings *left,
                            nw_error *error)
{
    const nw_judge_side *side = &judge->sides[which];
    double radius = nw_rolled_radius(diameter_of(options, which)) / scale;
    const nw_judged *larger = larger_of(side, radius, ALL);
    nw_rolled rolled;
    nw_marks marks = {0};
    *left = (nw_leavings){0, 0};
    if (side->last && side->last->rolled.roll.radius == radius)
        left->share = share_of(&side->last->rolled, all);
    if (left->share > most)
        return NW_OK;
    nw_status status = side_roll(side, which, larger, NULL, options, scale, &rolled, error);
    if (status == NW_OK)
        left->share = share_of(&rolled, all);
    if (status == NW_OK && left->share <= most)
        status = nw_spots_mark(&rolled, which, options, scale, false, &marks, error);
    left->spots = marks.count;
    nw_marks_free(&marks);
    nw_rolled_free(&rolled);
    return status;
}

/* The band round the art where the cut area has no end. */
static nw_status cut_area(const nw_judge *judge, const nw_fit_options *options, double scale,
                          double *area, nw_error *error)
{
    const nw_judge_side *side = &judge->sides[NW_GAP];
    double radius = nw_rolled_radius(options->bit) / scale;
    const nw_judged *larger = larger_of(side, 2 * radius, ALL);
    nw_roll twice = {0};
    nw_status status = NW_OK;
    bool inside = nw_fit_has_band(options) && larger;
    if (inside)
        status = nw_roll_inside(&larger->rolled.walls, NULL, 2 * radius, &twice, error);
    if (status == NW_OK)
        status =
            nw_fit_cut_area(side->border, radius, options, inside ? &twice : NULL, area, error);
    nw_roll_free(&twice);
    return status;
}

nw_status nw_judge_leavings(const nw_judge *judge, nw_trial trial, nw_leavings most,
                            nw_leavings *left, nw_error *error)
{
    *left = (nw_leavings){0, 0};
    nw_fit_options own = *judge->options;
    own.bit = trial.bit;
    own.neck = trial.neck;
    double all;
    nw_leavings necks = {0, 0};
    nw_status status = nw_fit_options_fill(&own, error);
    if (status == NW_OK)
        status = cut_area(judge, &own, trial.scale, &all, error);
    if (status == NW_OK)
        status = side_count(judge, NW_GAP, &own, trial.scale, all, most.share, left, error);
    if (status == NW_OK && left->share <= most.share && left->spots <= most.spots)
        status = side_count(judge, NW_NECK, &own, trial.scale, INFINITY, 1, &necks, error);
    left->spots += necks.spots;
    return status;
}

nw_status nw_judge_count(const nw_judge *judge, nw_trial trial, size_t *spots, nw_error *error)
{
    *spots = 0;
    nw_fit_options own = *judge->options;
    own.bit = trial.bit;
    own.neck = trial.neck;
    nw_status status = nw_fit_options_fill(&own, error);
    for (int k = 0; status == NW_OK && k < 2 && !nw_closest_too_many(*spots); k++) {
        const nw_judge_side *side = &judge->sides[k];
        double radius = nw_rolled_radius(diameter_of(&own, (nw_side)k)) / trial.scale;
        const nw_judged *larger = larger_of(side, radius, SPOTS);
        nw_rolled rolled;
        nw_marks marks = {0};
        status = side_roll(side, (nw_side)k, larger, larger ? larger->marks.walls : NULL, &own,
                           trial.scale, &rolled, error);
        if (status == NW_OK)
            status = nw_spots_mark(&rolled, (nw_side)k, &own, trial.scale, false, &marks, error);
        *spots += marks.count;
        nw_marks_free(&marks);
        nw_rolled_free(&rolled);
    }
    return status;
}

nw_status nw_judge_once(const nw_borders *borders, const nw_fit_options *options,
                        nw_judgement *judgement, nw_error *error)
{
    nw_judge judge = nw_judge_on(borders, options);
    nw_trial trial = {options->bit, options->neck, 1};
    nw_status status = nw_judge_whole(&judge, trial, judgement, error);
    nw_judge_free(&judge);
    return status;
}
