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

#define SMALLEST_BIT_MM 0.02 /* under it no cutter exists, and tolerances become a part of it */
#define LARGEST_BIT_MM 1000.0
#define LEAST_FACTOR 1e-3
#define FACTOR_STEP 1e-4 /* relative; a hundredth of a millimetre on a hand's width */
#define NEXT_SHARE 1.01  /* what must not pass any more lies this much further on */
#define LEAP 1.5         /* at a time, where no pinch says how far */
#define ROUNDS 8
#define LIFT_SHARE 5e-4 /* of the size, where flattening anew made the last of the difference */
#define LIFTS_MOST 16

/* ---- bits ----------------------------------------------------------------------------------- */

static nw_status bit_judge(const nw_borders *borders, const nw_fit_options *options, double stock,
                           double bit, bool *fits, nw_error *error)
{
    nw_fit_options own = *options;
    nw_judgement judgement;
    own.bit = bit;
    own.neck = nw_bit_neck(options, bit, stock);
    nw_status status = nw_fit_judge(borders, &own, &judgement, error);
    *fits = judgement.fits;
    return status;
}

/* low passes, high does not; brings them together. */
static nw_status bit_halve(const nw_borders *borders, const nw_fit_options *options, double stock,
                           double *low, double *high, nw_error *error)
{
    nw_status status = NW_OK;
    while (status == NW_OK && *high - *low > NW_CRITICAL_MM) {
        bool fits;
        /* The geometric middle gets to the right order of magnitude first. */
        double middle = *high > 2 * *low ? sqrt(*low * *high) : (*low + *high) / 2;
        status = bit_judge(borders, options, stock, middle, &fits, error);
        *(fits ? low : high) = middle;
    }
    return status;
}

static nw_status bit_search(const nw_borders *borders, const nw_fit_options *options, double stock,
                            double *diameter, nw_error *error)
{
    double low = SMALLEST_BIT_MM, high = LARGEST_BIT_MM;
    bool fits;
    nw_status status = bit_judge(borders, options, stock, high, &fits, error);
    if (status == NW_OK && fits) {
        *diameter = INFINITY;
        return NW_OK;
    }
    if (status == NW_OK)
        status = bit_judge(borders, options, stock, low, &fits, error);
    if (status != NW_OK || !fits)
        return status;
    status = bit_halve(borders, options, stock, &low, &high, error);
    for (int round = 0; status == NW_OK && round < ROUNDS; round++) {
        double next = low * NEXT_SHARE;
        status = bit_judge(borders, options, stock, next, &fits, error);
        if (status != NW_OK || !fits)
            break;
        low = next;
        high = fmin(next * 2, LARGEST_BIT_MM);
        status = bit_halve(borders, options, stock, &low, &high, error);
    }
    if (status == NW_OK)
        *diameter = low;
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

/* From *low, which does not pass, up to *high, which does; 0 when there is none. *low becomes the
 * last one that did not. Ends and whole pieces may stay at any size: before leaping from size to
 * size for them, the largest is asked. */
static nw_status factor_rise(size_search *work, double need, double *low, double *high)
{
    bool asked = false;
    nw_status status = NW_OK;
    *high = 0;
    while (status == NW_OK && *low < NW_SIZE_MOST && !isinf(need)) {
        bool leap = need <= 1, ask = leap && !asked;
        double next = ask ? NW_SIZE_MOST : *low * (leap ? LEAP : need * (1 + FACTOR_STEP / 2));
        nw_judgement judgement;
        next = fmin(next, NW_SIZE_MOST);
        status = factor_judge(work, next, &judgement);
        if (ask) {
            asked = true;
            if (status != NW_OK || !judgement.fits)
                return status;
            continue;
        }
        if (status == NW_OK && judgement.fits) {
            *high = next;
            return NW_OK;
        }
        *low = next;
        need = judgement.need;
    }
    return status;
}

/* From 1, which passes, down to a factor that does not. */
static nw_status factor_sink(size_search *work, double *low, double *high)
{
    *high = *low = 1;
    while (*low > LEAST_FACTOR) {
        nw_judgement judgement;
        *low = *high / LEAP;
        nw_status status = factor_judge(work, *low, &judgement);
        if (status != NW_OK || !judgement.fits)
            return status;
        *high = *low;
    }
    return NW_OK;
}

/* What passes a little below is a smaller size yet, if it is not below what was asked for. */
static nw_status factor_lower(size_search *work, double least, double *high)
{
    nw_status status = NW_OK;
    for (int round = 0; status == NW_OK && round < ROUNDS; round++) {
        nw_judgement judgement;
        double next = *high / NEXT_SHARE;
        if (next <= least)
            break;
        status = factor_judge(work, next, &judgement);
        if (status != NW_OK || !judgement.fits)
            break;
        *high = next;
        status = factor_halve(work, fmax(least, next / LEAP), high);
    }
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
    return ceil(width * parts - 1e-6) / parts;
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
    double low = 1, high = 0;
    nw_status status = factor_judge(work, 1, &judgement);
    bool fits = judgement.fits;
    if (status == NW_OK)
        status =
            fits ? factor_sink(work, &low, &high) : factor_rise(work, judgement.need, &low, &high);
    if (status != NW_OK || high == 0)
        return status;
    status = factor_halve(work, low, &high);
    if (status == NW_OK && !fits)
        status = factor_lower(work, 1, &high);
    if (status == NW_OK)
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
        bool fits;
        status = bit_judge(borders, options, stock, candidates[k].diameter, &fits, error);
        if (status == NW_OK && fits) {
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
