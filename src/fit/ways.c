/*
 * Outlines and a bit -> the critical bit and the critical size, where a spot first appears, and the
 * ways out that follow from them.
 *
 * The fit itself is the judge, so what is suggested has passed the very check that it will meet.
 * The widths of pinches say at once how far to go: at that size the pinch just opens. What has no
 * width (stubs, misses) is found by halving: an opening by a larger disc never leaves less uncut
 * (Serra, Image Analysis and Mathematical Morphology, 1982). A place may still stop being a spot
 * for a larger bit, when it has become a mere corner of it; so what was found is looked at again 1
 * % further on, and the search goes on from there where that passes too.
 */
#include <fit/side.h>

#include <math.h>
#include <stdlib.h>

#define SMALLEST_BIT_MM 0.1 /* under it no cutter is sold (common practice) */
#define LARGEST_BIT_MM 1000.0
#define LEAST_FACTOR 1e-3
#define FACTOR_STEP 1e-3 /* relative, where only halving finds the size */
#define SLACK_MM 0.005   /* what the fit gives a passage that is just too narrow */
#define SLACK_SHARE 0.05
#define SLACK_MOST 0.006 /* of the size: so that 1 % smaller does not pass */
#define LOWER_SHARE 1.008
#define TOUCH 1e-9
#define NEXT_SHARE 1.01 /* what must not pass any more lies this much further on */
#define LEAP 1.5        /* at a time, where no pinch says how far */
#define ROUNDS 8
#define LIFT_SHARE 5e-4 /* of the size, where flattening anew made the last of the difference */
#define LIFTS_MOST 16

/* ---- bits ----------------------------------------------------------------------------------- */

static nw_status bit_judge(const nw_borders *borders, const nw_fit_options *options, double stock,
                           double bit, nw_judgement *judgement, nw_error *error)
{
    nw_fit_options own = *options;
    own.bit = bit;
    own.neck = nw_bit_neck(options, bit, stock);
    return nw_fit_judge(borders, &own, judgement, error);
}

/* low passes, high does not; brings them together. guess: where a pinch says the change is, or
 * anything beyond them. */
static nw_status bit_halve(const nw_borders *borders, const nw_fit_options *options, double stock,
                           double guess, double *low, double *high, nw_error *error)
{
    nw_status status = NW_OK;
    while (status == NW_OK && *high - *low > NW_CRITICAL_MM) {
        /* The geometric middle gets to the right order of magnitude first. */
        double middle = *high > 2 * *low ? sqrt(*low * *high) : (*low + *high) / 2;
        bool guessed = guess > *low && guess < *high;
        double bit = guessed ? guess : middle;
        nw_judgement judgement;
        status = bit_judge(borders, options, stock, bit, &judgement, error);
        *(judgement.fits ? low : high) = bit;
        if (judgement.fits)
            guess = guessed ? guess + SLACK_MM + NW_CRITICAL_MM : 0;
        else
            guess = guessed && judgement.need < 1.01 ? 0 : bit / judgement.need;
    }
    return status;
}

static nw_status bit_search(const nw_borders *borders, const nw_fit_options *options, double stock,
                            double *diameter, nw_error *error)
{
    double low = SMALLEST_BIT_MM, high = LARGEST_BIT_MM;
    nw_judgement judgement;
    nw_status status = bit_judge(borders, options, stock, high, &judgement, error);
    if (status == NW_OK && judgement.fits) {
        *diameter = INFINITY;
        return NW_OK;
    }
    double guess = high / judgement.need;
    if (status == NW_OK)
        status = bit_judge(borders, options, stock, low, &judgement, error);
    if (status != NW_OK || !judgement.fits)
        return status;
    status = bit_halve(borders, options, stock, guess, &low, &high, error);
    for (int round = 0; status == NW_OK && round < ROUNDS; round++) {
        double next = low * NEXT_SHARE + NW_CRITICAL_MM;
        status = bit_judge(borders, options, stock, next, &judgement, error);
        if (status != NW_OK || !judgement.fits)
            break;
        low = next;
        high = fmin(next * 2, LARGEST_BIT_MM);
        status = bit_halve(borders, options, stock, 0, &low, &high, error);
    }
    if (status == NW_OK)
        *diameter = low - fmin(SLACK_MM, low * SLACK_SHARE);
    return status;
}

nw_status nw_bit_critical(const nw_region *region, const nw_fit_options *options, double stock,
                          double *diameter, nw_error *error)
{
    *diameter = 0;
    nw_borders borders;
    nw_status status = nw_borders_make(region, options, &borders, error);
    if (status != NW_OK)
        return status;
    status = bit_search(&borders, options, stock, diameter, error);
    nw_borders_free(&borders);
    return status;
}

/* ---- sizes ---------------------------------------------------------------------------------- */

typedef struct {
    const nw_drawing *drawing;
    const nw_region *region;
    const nw_fit_options *options;
    nw_region scaled; /* its points are the search's own */
    nw_error *error;
} size_search;

/* The sheet grows with the art: its edges are part of the drawing. */
static nw_status region_judge(const size_search *work, const nw_region *region, double factor,
                              nw_judgement *judgement)
{
    nw_fit_options own = *work->options;
    own.stock.min = (nw_point){own.stock.min.x * factor, own.stock.min.y * factor};
    own.stock.max = (nw_point){own.stock.max.x * factor, own.stock.max.y * factor};
    nw_borders borders;
    nw_status status = nw_borders_make(region, &own, &borders, work->error);
    if (status != NW_OK)
        return status;
    status = nw_fit_judge(&borders, &own, judgement, work->error);
    nw_borders_free(&borders);
    return status;
}

static nw_status factor_judge(size_search *work, double factor, nw_judgement *judgement)
{
    *judgement = (nw_judgement){false, 1};
    size_t count = work->region->count ? work->region->starts[work->region->count] : 0;
    for (size_t i = 0; i < count; i++) {
        work->scaled.points[i].x = work->region->points[i].x * factor;
        work->scaled.points[i].y = work->region->points[i].y * factor;
    }
    return region_judge(work, &work->scaled, factor, judgement);
}

/* low does not pass, high does. */
static nw_status factor_halve(size_search *work, double low, double *high)
{
    nw_status status = NW_OK;
    while (status == NW_OK && *high > low * (1 + FACTOR_STEP)) {
        nw_judgement judgement;
        double middle = sqrt(low * *high);
        status = factor_judge(work, middle, &judgement);
        *(judgement.fits ? high : &low) = middle;
    }
    return status;
}

/* The size at which a pinch is as wide as the bit, found by halving, lies this much above. */
static double slack_share(const nw_fit_options *options)
{
    double least = options->neck > 0 ? fmin(options->bit, options->neck) : options->bit;
    return fmin(SLACK_MM / least, SLACK_MOST);
}

/* high, to which pinches pointed, passes: they say it to the last digit, unless something lower
 * passes as well. */
static nw_status factor_settle(size_search *work, double low, double *high)
{
    nw_judgement judgement;
    double lower = *high / LOWER_SHARE;
    if (lower <= low)
        return NW_OK;
    nw_status status = factor_judge(work, lower, &judgement);
    if (status != NW_OK || !judgement.fits)
        return status;
    *high = lower;
    status = factor_halve(work, low, high);
    *high *= 1 + slack_share(work->options);
    return status;
}

/* From low, which does not pass, up to *high, which does, by what pinches say; 0 when there is
 * none. Ends and whole pieces may stay at any size: before leaping from size to size for them, the
 * largest is asked. */
static nw_status factor_rise(size_search *work, double need, double *high)
{
    bool asked = false;
    double low = 1;
    nw_judgement judgement;
    nw_status status = NW_OK;
    *high = 0;
    while (status == NW_OK && low < NW_SIZE_MOST && !isinf(need)) {
        bool leap = need < 1 + TOUCH, ask = leap && !asked;
        double next = ask ? NW_SIZE_MOST : low * (leap ? LEAP : need * (1 + TOUCH));
        next = fmin(next, NW_SIZE_MOST);
        status = factor_judge(work, next, &judgement);
        if (status != NW_OK || (ask && !judgement.fits))
            return status;
        asked = asked || ask;
        if (ask)
            continue;
        if (judgement.fits) {
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

/* From 1, which passes, down to a factor that does not. */
static nw_status factor_sink(size_search *work, double *high)
{
    double low = 1;
    *high = 1;
    while (low > LEAST_FACTOR) {
        nw_judgement judgement;
        low = *high / LEAP;
        nw_status status = factor_judge(work, low, &judgement);
        if (status != NW_OK)
            return status;
        if (!judgement.fits)
            break;
        *high = low;
    }
    nw_status status = factor_halve(work, low, high);
    *high = fmin(1, *high * (1 + slack_share(work->options)));
    return status;
}

/* The drawing at a width, flattened as the check will. */
static nw_status width_judge(const size_search *work, double width, bool *fits)
{
    nw_drawing copy;
    nw_region region = {0};
    nw_judgement judgement = {false, 1};
    double factor = width / work->drawing->width;
    nw_status status = nw_drawing_copy(work->drawing, &copy, work->error);
    if (status != NW_OK)
        return status;
    status = nw_drawing_place(&copy, factor, 0, false, work->error);
    if (status == NW_OK)
        status = nw_drawing_flatten(&copy, NW_FLATNESS_MM, &region, work->error);
    if (status == NW_OK)
        status = region_judge(work, &region, factor, &judgement);
    nw_region_free(&region);
    nw_drawing_free(&copy);
    *fits = judgement.fits;
    return status;
}

static double width_round_up(double width)
{
    double parts = width < 10 ? 1000 : 100;
    return ceil(width * parts - 1e-4) / parts;
}

/* A width that can be written, and that the drawing itself passes at. */
static nw_status factor_confirm(const size_search *work, double *factor)
{
    double width = width_round_up(work->drawing->width * *factor);
    for (int lift = 0; lift < LIFTS_MOST; lift++) {
        bool fits;
        nw_status status = width_judge(work, width, &fits);
        if (status != NW_OK)
            return status;
        if (fits) {
            *factor = width / work->drawing->width;
            return NW_OK;
        }
        width = width_round_up(width * (1 + LIFT_SHARE));
    }
    *factor = 0;
    return NW_OK;
}

static nw_status size_find(size_search *work, double *factor)
{
    nw_judgement judgement;
    double high = 0;
    nw_status status = factor_judge(work, 1, &judgement);
    if (status == NW_OK)
        status =
            judgement.fits ? factor_sink(work, &high) : factor_rise(work, judgement.need, &high);
    if (status == NW_OK && high > 0)
        status = factor_confirm(work, &high);
    if (status == NW_OK)
        *factor = high;
    return status;
}

nw_status nw_size_critical(const nw_drawing *drawing, const nw_region *region,
                           const nw_fit_options *options, double *factor, nw_error *error)
{
    *factor = 0;
    size_search work = {drawing, region, options, *region, error};
    size_t count = region->count ? region->starts[region->count] : 0;
    if (!count || !(drawing->width > 0))
        return nw_fail(error, NW_BAD_REQUEST, "there is no outline");
    work.scaled.points = nw_alloc(count, sizeof *work.scaled.points);
    if (!work.scaled.points)
        return nw_fail_memory(error, "the scaled outlines");
    nw_status status = size_find(&work, factor);
    free(work.scaled.points);
    return status;
}

/* ---- the ways out --------------------------------------------------------------------------- */

/* A bit of the rack with the diameter that counts. */
typedef struct {
    size_t bit;
    double diameter;
} candidate;

static int larger_first(const void *left, const void *right)
{
    const candidate *a = left, *b = right;
    if (a->diameter != b->diameter)
        return a->diameter > b->diameter ? -1 : 1;
    return a->bit < b->bit ? -1 : a->bit > b->bit;
}

/* The rack's bits that can be judged and cut through the stock, on the wanted side of the bit in
 * hand. */
static size_t candidates_list(const nw_rack *rack, double stock, const nw_fit *fit,
                              candidate *candidates)
{
    size_t count = 0;
    for (size_t i = 0; i < rack->count; i++) {
        const nw_bit *bit = &rack->bits[i];
        double diameter = nw_bit_at_top(bit, stock);
        bool useful = fit->fits ? diameter > fit->options.bit : diameter < fit->options.bit;
        bool vee_pocket = bit->shape == NW_VEE && fit->options.cut == NW_CUT_POCKET;
        if (diameter > 0 && useful && !vee_pocket && !(bit->flute > 0 && stock > bit->flute))
            candidates[count++] = (candidate){i, diameter};
    }
    qsort(candidates, count, sizeof *candidates, larger_first);
    return count;
}

static nw_status largest_fitting(const nw_borders *borders, const nw_fit_options *options,
                                 const nw_fit *fit, const nw_rack *rack, double stock,
                                 nw_ways *ways, nw_error *error)
{
    ways->bit = rack->count;
    candidate *candidates = nw_alloc(rack->count, sizeof *candidates);
    if (!candidates)
        return nw_fail_memory(error, "the bits");
    size_t count = candidates_list(rack, stock, fit, candidates);
    nw_status status = NW_OK;
    for (size_t k = 0; status == NW_OK && k < count && ways->bit == rack->count; k++) {
        nw_judgement judgement;
        status = bit_judge(borders, options, stock, candidates[k].diameter, &judgement, error);
        if (status == NW_OK && judgement.fits) {
            ways->bit = candidates[k].bit;
            ways->bit_diameter = candidates[k].diameter;
        }
    }
    free(candidates);
    return status;
}

static void places_count(const nw_fit *fit, nw_ways *ways)
{
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
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

nw_status nw_ways_find(const nw_drawing *drawing, const nw_region *region,
                       const nw_fit_options *options, const nw_fit *fit, const nw_rack *rack,
                       double stock, nw_ways *ways, nw_error *error)
{
    *ways = (nw_ways){.fits = fit->fits};
    places_count(fit, ways);
    nw_fit_options own = *options;
    own.neck = nw_bit_neck(options, options->bit, stock);
    nw_borders borders;
    nw_status status = nw_borders_make(region, options, &borders, error);
    if (status != NW_OK)
        return status;
    status = largest_fitting(&borders, options, fit, rack, stock, ways, error);
    nw_borders_free(&borders);
    if (status == NW_OK)
        status = nw_size_critical(drawing, region, &own, &ways->factor, error);
    ways->width = drawing->width * ways->factor;
    ways->height = drawing->height * ways->factor;
    return status;
}
