/*
 * Outlines -> the critical bit, the largest that leaves no spot.
 *
 * The widths of pinches say at once how far to go. What has no width (stubs, misses) is found by
 * halving: an opening by a larger disc never leaves less uncut (Serra, Image Analysis and
 * Mathematical Morphology, 1982), so each smaller bit is tried only inside the spots of the larger.
 * What was found is then tried everywhere. And as a place may stop being a spot for a larger bit,
 * when it has become a mere corner of it, the search goes on from 1 % further on where that passes.
 */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>

#define SLACK_MM 0.005 /* what the fit gives a passage that is just too narrow */
#define SLACK_SHARE 0.05
#define NEXT_SHARE 1.01    /* what must not pass any more lies this much further on */
#define MOST_HALVINGS 20.0 /* from 1000 mm */
#define ASKED_BELOW 4
#define ROUNDS 12

nw_trial nw_bit_trial(const nw_fit_options *options, double stock, double bit)
{
    return (nw_trial){bit, nw_bit_neck(options, bit, stock), 1};
}

/* low passes, as far as it was looked at, high does not. */
typedef struct {
    nw_judge judge;
    const nw_fit_options *options;
    double stock, low, high;
    double top;    /* what did not pass at first */
    double bottom; /* the smallest to be found: what passes everywhere, or NW_BIT_LEAST_MM */
    bool unasked;  /* low is NW_BIT_LEAST_MM and nobody has asked about that yet */
    bool none;     /* it does not pass */
    double guess;  /* where a pinch says that the change is, or 0 */
    double step;   /* from there to the next guess, if it passes */
    bool sure;     /* low passes everywhere */
    nw_error *error;
} bit_search;

static nw_trial trial_of(const bit_search *work, double bit)
{
    return nw_bit_trial(work->options, work->stock, bit);
}

/* The geometric middle gets to the right order of magnitude first. The smallest is asked about when
 * there is little left to look at. */
static double next_bit(const bit_search *work, bool guessed)
{
    if (work->unasked && work->high < ASKED_BELOW * NW_BIT_LEAST_MM)
        return NW_BIT_LEAST_MM;
    if (guessed)
        return work->guess;
    return work->high > 2 * work->low ? sqrt(work->low * work->high) : (work->low + work->high) / 2;
}

static void halve_at(bit_search *work, double bit, bool guessed, nw_judgement judgement)
{
    if (judgement.fits) {
        work->low = bit;
        work->sure = work->unasked = false;
        work->step = guessed ? fmax(2 * work->step, SLACK_MM + NW_CRITICAL_MM) : 0;
        work->guess = guessed ? bit + work->step : 0;
    } else if (work->unasked && bit <= work->low) {
        work->none = true;
    } else {
        work->high = bit;
        work->step = 0;
        work->guess = guessed && judgement.need < NEXT_SHARE ? 0 : bit / judgement.need;
    }
}

static nw_status halve(bit_search *work)
{
    nw_status status = NW_OK;
    while (status == NW_OK && !work->none &&
           (work->unasked || work->high - work->low > NW_CRITICAL_MM)) {
        bool guessed = work->guess > work->low && work->guess < work->high;
        double bit = next_bit(work, guessed);
        nw_judgement judgement;
        int halvings; /* to go */
        frexp((work->high - work->low) / NW_CRITICAL_MM, &halvings);
        nw_tell(work->options, "looking for the largest bit",
                fmax(0, 1 - halvings / MOST_HALVINGS));
        status = nw_judge_ask(&work->judge, trial_of(work, bit), true, &judgement, work->error);
        halve_at(work, bit, guessed && bit == work->guess, judgement);
    }
    return status;
}

/* Whether low passes everywhere, and not only inside the spots of larger bits. */
static nw_status low_passes(bit_search *work)
{
    nw_judgement judgement = {true, 1};
    nw_status status = NW_OK;
    if (!work->sure)
        status = nw_judge_whole(&work->judge, trial_of(work, work->low), &judgement, work->error);
    work->sure = judgement.fits;
    return status;
}

/* Everywhere, unless the spots of larger bits say no already. */
static nw_status passes(bit_search *work, double bit, bool *yes)
{
    nw_judgement judgement;
    nw_trial trial = trial_of(work, bit);
    nw_status status = nw_judge_ask(&work->judge, trial, false, &judgement, work->error);
    if (status == NW_OK && judgement.fits)
        status = nw_judge_whole(&work->judge, trial, &judgement, work->error);
    *yes = judgement.fits;
    return status;
}

/* Settled where low passes everywhere and what lies a little further on does not. */
static nw_status settle(bit_search *work, bool *settled)
{
    bool next = false;
    double further = work->low * NEXT_SHARE + NW_CRITICAL_MM;
    nw_status status = low_passes(work);
    if (status == NW_OK && work->sure && further < work->top)
        status = passes(work, further, &next);
    *settled = work->sure && !next;
    if (!work->sure) {
        work->none = work->low <= work->bottom;
        work->high = work->low;
        work->low = work->bottom;
        work->sure = work->low > NW_BIT_LEAST_MM;
    } else if (next) {
        work->low = work->bottom = further;
        work->high = work->top;
    }
    work->guess = work->step = 0;
    return status;
}

static nw_status search(bit_search *work, double *diameter)
{
    bool settled = false;
    nw_status status = NW_OK;
    for (int round = 0; status == NW_OK && !settled && !work->none && round < ROUNDS; round++) {
        status = halve(work);
        if (status == NW_OK && !work->none)
            status = settle(work, &settled);
    }
    if (status == NW_OK && settled)
        *diameter = work->low - fmin(SLACK_MM, work->low * SLACK_SHARE);
    return status;
}

/* From a bit that passes up to one that does not; *none where there is none. */
static nw_status rise(bit_search *work, bool *none)
{
    nw_judgement judgement = {true, 1};
    nw_status status = NW_OK;
    while (status == NW_OK && judgement.fits && work->high < NW_BIT_MOST) {
        work->low = fmax(work->high, work->low);
        work->high = fmin(2 * work->low, NW_BIT_MOST);
        status = nw_judge_start(&work->judge, trial_of(work, work->high), &judgement, work->error);
    }
    *none = judgement.fits;
    work->guess = work->high / judgement.need;
    return status;
}

static nw_status search_between(bit_search *work, double *diameter)
{
    nw_judgement judgement;
    bool none = false;
    nw_status status;
    if (work->high > 0) {
        status = nw_judge_start(&work->judge, trial_of(work, work->high), &judgement, work->error);
        work->guess = work->high / judgement.need;
        none = judgement.fits;
    } else {
        status = rise(work, &none);
    }
    work->top = work->high;
    if (status != NW_OK || none) {
        *diameter = none ? INFINITY : 0;
        return status;
    }
    work->sure = work->low > 0;
    work->unasked = !work->sure;
    if (!work->sure)
        work->low = NW_BIT_LEAST_MM;
    work->bottom = work->low;
    return search(work, diameter);
}

nw_status nw_bit_critical_between(const nw_borders *borders, const nw_fit_options *options,
                                  double stock, double low, double high, double *diameter,
                                  nw_error *error)
{
    bit_search work = {
        .options = options, .stock = stock, .low = low, .high = high, .error = error};
    *diameter = 0;
    work.judge = nw_judge_on(borders, options);
    nw_status status = search_between(&work, diameter);
    nw_judge_free(&work.judge);
    return status;
}
