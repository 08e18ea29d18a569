/*
 * A drawing and a bit -> the critical size, the smallest at which the bit leaves no spot.
 *
 * An enlarged drawing is not made: the disc shrinks instead. The widths of pinches say at once how
 * far to go: at that size the pinch just opens. For what has no width (stubs, misses, and what
 * touches in a point before a room so small that it may be lost) the size is found by halving. Last
 * the drawing itself, enlarged and flattened, must pass the very check that it will meet.
 */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>
#include <stdlib.h>

#define LEAST_FACTOR 1e-3
#define FACTOR_STEP 1e-3 /* relative, where only halving finds the size */
#define SLACK_MM 0.005   /* what the fit gives a passage that is just too narrow */
#define SLACK_MOST 0.006 /* of the size: so that 1 % smaller does not pass */
#define LOWER_SHARE 1.008
#define TOUCH 1e-9
#define LEAP 1.5 /* at a time, where no pinch says how far */
#define ROUNDS 12
#define NEXT_SHARE 2e-3   /* further up each round, twice as much */
#define LIFT_SHARE 1.0005 /* of the size, where flattening anew made the last of the difference */
#define SMALL_LIFTS 6
#define LIFTS_MOST 30
#define STEP_SHARE 1.01 /* a step up or down where more made it */
#define STEPS_MOST 16

typedef struct {
    const nw_drawing *drawing;
    const nw_fit_options *options;
    nw_judge *judge;
    bool whole;   /* to be suggested: whole millimetres, tenths under 10 mm */
    double most;  /* times the size */
    bool exact;   /* a pinch says the size, to the last digit */
    double width; /* mm: the last at which the drawing itself was looked at, */
    bool fits;    /* and whether it passed */
    nw_error *error;
} size_search;

/* The sheet grows with the art: its edges are part of the borders. */
static nw_status factor_judge(const size_search *work, double factor, bool need,
                              nw_judgement *judgement)
{
    nw_trial trial = {work->options->bit, work->options->neck, factor};
    return nw_judge_ask(work->judge, trial, need, judgement, work->error);
}

/* low does not pass, high does. */
static nw_status factor_halve(const size_search *work, double low, double *high)
{
    nw_status status = NW_OK;
    while (status == NW_OK && *high > low * (1 + FACTOR_STEP)) {
        nw_judgement judgement;
        double middle = sqrt(low * *high);
        status = factor_judge(work, middle, false, &judgement);
        *(judgement.fits ? high : &low) = middle;
    }
    return status;
}

/* The size at which a pinch is as wide as the bit, found by halving, lies this much above. */
static double slack_share(const nw_fit_options *options)
{
    double least = fmin(options->bit, options->neck);
    return fmin(SLACK_MM / least, SLACK_MOST);
}

/* high, to which pinches pointed, passes: they say it to the last digit, unless something lower
 * passes as well. */
static nw_status factor_settle(size_search *work, double low, double *high)
{
    nw_judgement judgement;
    double lower = *high / LOWER_SHARE;
    work->exact = true;
    if (lower <= low)
        return NW_OK;
    nw_status status = factor_judge(work, lower, false, &judgement);
    work->exact = !judgement.fits;
    if (status != NW_OK || !judgement.fits)
        return status;
    *high = lower;
    status = factor_halve(work, low, high);
    *high *= 1 + slack_share(work->options);
    return status;
}

/* The next size up that passes inside the spots of what does not, `low`: by what pinches say, and
 * where only ends and whole pieces are left from leap to leap; 0 when there is none. */
static nw_status factor_next(size_search *work, double low, double need, double *high)
{
    nw_status status = NW_OK;
    *high = 0;
    work->exact = false;
    while (status == NW_OK && low < work->most) {
        bool leap = need < 1 + TOUCH || isinf(need);
        double next = fmin(low * (leap ? LEAP : need * (1 + TOUCH)), work->most);
        nw_judgement judgement;
        status = factor_judge(work, next, next < work->most, &judgement);
        if (status == NW_OK && judgement.fits) {
            *high = next;
            if (!leap)
                return factor_settle(work, low, high);
            status = factor_halve(work, low, high);
            *high *= 1 + slack_share(work->options);
            return status;
        }
        low = next;
        need = judgement.need;
    }
    return status;
}

/* ---- the drawing itself ---------------------------------------------------------------------- */

static nw_status region_judge(const nw_fit_options *options, const nw_region *region, double factor,
                              nw_judgement *judgement, nw_error *error)
{
    nw_fit_options own = *options;
    own.stock.min = (nw_point){own.stock.min.x * factor, own.stock.min.y * factor};
    own.stock.max = (nw_point){own.stock.max.x * factor, own.stock.max.y * factor};
    nw_borders borders;
    nw_status status = nw_borders_make(region, &own, &borders, error);
    if (status != NW_OK)
        return status;
    status = nw_judge_once(&borders, &own, judgement, error);
    nw_borders_free(&borders);
    return status;
}

/* Whether the drawing itself, at a width in mm and flattened as the check will, leaves no spot. */
static nw_status width_try(size_search *work, double width)
{
    nw_drawing copy;
    nw_region region = {0};
    nw_judgement judgement = {false, 1};
    double factor = width / work->drawing->width;
    if (width == work->width)
        return NW_OK;
    nw_status status = nw_drawing_copy(work->drawing, &copy, work->error);
    if (status != NW_OK)
        return status;
    status = nw_drawing_place(&copy, factor, 0, false, work->error);
    if (status == NW_OK)
        status = nw_drawing_flatten(&copy, NW_FLATNESS_MM, &region, work->error);
    if (status == NW_OK)
        status = region_judge(work->options, &region, factor, &judgement, work->error);
    nw_region_free(&region);
    nw_drawing_free(&copy);
    work->width = width;
    work->fits = judgement.fits;
    return status;
}

static double width_round_up(const size_search *work, double width)
{
    double parts = (work->whole ? 1 : 100) * (width < 10 ? 10 : 1);
    return ceil(width * parts - 1e-4) / parts;
}

/* ---- up and down ----------------------------------------------------------------------------- */

/* Upwards from 1, which does not pass, until a size passes everywhere; mostly the first does, and
 * so does the drawing itself, which is all that is asked for. */
static nw_status factor_rise(size_search *work, double need, double *high)
{
    double low = 1;
    for (int round = 0; round < ROUNDS; round++) {
        nw_judgement judgement;
        nw_status status = factor_next(work, low, need, high);
        if (status == NW_OK && *high > 0 && round == 0)
            status = width_try(work, width_round_up(work, work->drawing->width * *high));
        if (status != NW_OK || *high == 0 || work->fits)
            return status;
        nw_trial trial = {work->options->bit, work->options->neck, *high};
        status = nw_judge_whole(work->judge, trial, &judgement, work->error);
        if (status != NW_OK || judgement.fits)
            return status;
        low = *high * (1 + NEXT_SHARE * (1 << round)); /* a corner of a larger disc was a spot */
        need = judgement.need;
    }
    *high = 0;
    return NW_OK;
}

/* From 1, which passes, down to a factor that does not. */
static nw_status factor_sink(const size_search *work, double *high)
{
    double low = 1;
    nw_judgement judgement = {true, 1};
    nw_status status = NW_OK;
    *high = 1;
    while (status == NW_OK && judgement.fits && low > LEAST_FACTOR) {
        *high = low;
        low /= LEAP;
        nw_trial trial = {work->options->bit, work->options->neck, low};
        status = nw_judge_start(work->judge, trial, &judgement, work->error);
    }
    if (status == NW_OK)
        status = factor_halve(work, low, high);
    *high = fmin(1, *high * (1 + slack_share(work->options)));
    return status;
}

/* Where no pinch says the size, chords drawn for one size tell another only roughly: goes down by 1
 * % as long as the drawing itself passes. */
static nw_status width_lower(size_search *work, double *width)
{
    for (int step = 0; step < STEPS_MOST; step++) {
        double lower = width_round_up(work, *width / STEP_SHARE);
        if (lower >= *width)
            return NW_OK;
        nw_status status = width_try(work, lower);
        if (status != NW_OK || !work->fits)
            return status;
        *width = lower;
    }
    return NW_OK;
}

/* A width that can be written, and that the drawing itself passes at; 0 when a little more does not
 * make it pass. */
static nw_status factor_confirm(size_search *work, double *factor)
{
    double width = width_round_up(work, work->drawing->width * *factor);
    bool fits = false;
    nw_status status = NW_OK;
    for (int lift = 0; status == NW_OK && !fits && lift < LIFTS_MOST; lift++) {
        nw_tell(work->options, "looking for the size", (double)lift / LIFTS_MOST);
        status = width_try(work, width);
        fits = work->fits;
        if (!fits)
            width = width_round_up(work, width * (lift < SMALL_LIFTS ? LIFT_SHARE : STEP_SHARE));
    }
    if (status == NW_OK && fits && !work->exact)
        status = width_lower(work, &width);
    *factor = fits ? width / work->drawing->width : 0;
    return status;
}

nw_status nw_size_critical_from(const nw_drawing *drawing, const nw_fit_options *options,
                                nw_judge *judge, nw_judgement first, bool suggested, double *factor,
                                nw_error *error)
{
    *factor = 0;
    double most = suggested ? NW_SIZE_WORTH : NW_SIZE_MOST;
    size_search work = {.drawing = drawing,
                        .options = options,
                        .judge = judge,
                        .whole = suggested,
                        .most = most,
                        .error = error};
    double high = 0;
    nw_status status =
        first.fits ? factor_sink(&work, &high) : factor_rise(&work, first.need, &high);
    if (status == NW_OK && high > 0)
        status = factor_confirm(&work, &high);
    if (status == NW_OK)
        *factor = first.fits && suggested && (high == 0 || high > 1) ? 1 : high;
    return status;
}

nw_status nw_size_tried(const nw_drawing *drawing, const nw_fit_options *options, double wide,
                        double *factor, nw_error *error)
{
    size_search work = {.drawing = drawing, .options = options, .whole = true, .error = error};
    double low = drawing->width, high = width_round_up(&work, wide), middle = high;
    *factor = 0;
    nw_status status = width_try(&work, high);
    if (status != NW_OK || !work.fits)
        return status;
    while (status == NW_OK && (middle = width_round_up(&work, (low + high) / 2)) < high) {
        status = width_try(&work, middle);
        *(work.fits ? &high : &low) = middle;
    }
    *factor = status == NW_OK ? high / drawing->width : 0;
    return status;
}

nw_status nw_size_critical(const nw_drawing *drawing, const nw_region *region,
                           const nw_fit_options *options, double *factor, nw_error *error)
{
    *factor = 0;
    if (!region->count || !(drawing->width > 0))
        return nw_fail(error, NW_BAD_REQUEST, "there is no outline");
    nw_fit_options own = *options;
    nw_borders borders;
    nw_status status = nw_fit_options_fill(&own, error);
    if (status == NW_OK)
        status = nw_borders_make(region, &own, &borders, error);
    if (status != NW_OK)
        return status;
    nw_judge judge = nw_judge_on(&borders, &own);
    nw_judgement first;
    status = nw_judge_start(&judge, (nw_trial){own.bit, own.neck, 1}, &first, error);
    if (status == NW_OK)
        status = nw_size_critical_from(drawing, &own, &judge, first, false, factor, error);
    nw_judge_free(&judge);
    nw_borders_free(&borders);
    return status;
}
