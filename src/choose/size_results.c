/*
 * A drawing and a bit -> every size side by side: the whole fit of each, from half the width to
 * NW_SIZE_WORTH times it in whole millimetres, and of the smallest at which the bit leaves no spot.
 * Each is the drawing itself at that size, flattened as a check will.
 */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>
#include <stdlib.h>

static const double factors[] = {0.5, 0.6, 0.7, 0.85, 1, 1.2, 1.5, 2, 2.5, 3, NW_SIZE_WORTH};
#define FACTORS (sizeof factors / sizeof *factors)

static double whole(double width)
{
    double parts = width < 10 ? 10 : 1;
    return ceil(width * parts - 1e-6) / parts;
}

static int narrower_first(const void *left, const void *right)
{
    const nw_size_result *a = left, *b = right;
    return (a->width > b->width) - (a->width < b->width);
}

/* The drawing at a width in mm, flattened as a check will. */
static nw_status borders_at(const nw_drawing *drawing, const nw_fit_options *options, double width,
                            nw_borders *borders, nw_error *error)
{
    nw_drawing copy;
    nw_region region = {0};
    *borders = (nw_borders){0};
    nw_status status = nw_drawing_copy(drawing, &copy, error);
    if (status != NW_OK)
        return status;
    status = nw_drawing_place(&copy, width / drawing->width, 0, false, error);
    if (status == NW_OK)
        status = nw_drawing_flatten(&copy, NW_FLATNESS_MM, &region, error);
    if (status == NW_OK)
        status = nw_borders_make(&region, options, borders, error);
    nw_region_free(&region);
    nw_drawing_free(&copy);
    return status;
}

static nw_status size_judge(const nw_drawing *drawing, const nw_fit_options *options,
                            nw_size_result *result, nw_error *error)
{
    nw_borders borders;
    nw_status status = borders_at(drawing, options, result->width, &borders, error);
    if (status == NW_OK)
        status = nw_fit_run_on(&borders, options, &result->fit, error);
    if (status == NW_OK)
        result->counts = nw_spots_count(&result->fit);
    nw_borders_free(&borders);
    return status;
}

/* The widths to be judged, ascending, none twice; the drawing's own as it is. */
static nw_status widths_list(const nw_drawing *drawing, const nw_region *region,
                             const nw_fit_options *options, nw_sizes *sizes, nw_error *error)
{
    nw_borders borders;
    nw_judgement first;
    double factor = 0;
    nw_status status = nw_borders_make(region, options, &borders, error);
    if (status != NW_OK)
        return status;
    nw_judge judge = nw_judge_on(&borders, options);
    status = nw_judge_start(&judge, (nw_trial){options->bit, options->neck, 1}, &first, error);
    if (status == NW_OK)
        status = nw_size_critical_from(drawing, options, &judge, first, true, &factor, error);
    nw_judge_free(&judge);
    nw_borders_free(&borders);
    for (size_t k = 0; k < FACTORS; k++)
        sizes->results[sizes->count++].width =
            factors[k] == 1 ? drawing->width : whole(drawing->width * factors[k]);
    if (factor > 0 && factor != 1)
        sizes->results[sizes->count++].width = drawing->width * factor;
    nw_sort(sizes->results, sizes->count, sizeof *sizes->results, narrower_first);
    size_t kept = 1;
    for (size_t k = 1; k < sizes->count; k++)
        if (sizes->results[k].width > sizes->results[kept - 1].width + 1e-9)
            sizes->results[kept++].width = sizes->results[k].width;
    sizes->count = kept;
    return status;
}

/* The drawing itself at factors[k]. */
static nw_status near_try(const nw_drawing *drawing, const nw_fit_options *options, size_t k,
                          const nw_fit *now, nw_closest *closest, nw_error *error)
{
    nw_borders borders;
    nw_leavings left;
    nw_trial trial = {options->bit, options->neck, 1};
    nw_status status =
        borders_at(drawing, options, whole(drawing->width * factors[k]), &borders, error);
    if (status != NW_OK)
        return status;
    nw_judge judge = nw_judge_on(&borders, options);
    status = nw_judge_leavings(&judge, trial, nw_closest_most(closest, now), &left, error);
    if (status == NW_OK)
        nw_closest_count(closest, k, left.spots, left.share);
    nw_borders_free(&borders);
    return status;
}

/* Which of the sizes below the largest, which was tried, seems to be the closest: by the outlines
 * that there are, in which a disc shrinks in place of a drawing that grows. The sheet is left out:
 * where there is one, the fit's own borders do not serve. */
static nw_status near_guess(const nw_drawing *drawing, const nw_region *region,
                            const nw_fit_options *options, const nw_fit *now, nw_closest *closest,
                            nw_error *error)
{
    nw_borders made = {0};
    nw_judgement first;
    bool given = now->sides && !now->options.has_stock;
    nw_status status = given ? NW_OK : nw_borders_make(region, options, &made, error);
    if (status != NW_OK)
        return status;
    nw_judge judge = nw_judge_on(given ? &now->sides->borders : &made, options);
    nw_trial trial = {options->bit, options->neck, 1};
    if (given)
        nw_judge_start_from(&judge, now->sides, &first);
    else
        status = nw_judge_start(&judge, trial, &first, error);
    for (size_t k = FACTORS - 1; status == NW_OK && factors[--k] > 1 && !closest->beyond;) {
        nw_leavings left;
        trial.scale = whole(drawing->width * factors[k]) / drawing->width;
        status = nw_judge_leavings(&judge, trial, nw_closest_most(closest, now), &left, error);
        if (status == NW_OK)
            nw_closest_count(closest, k, left.spots, left.share);
    }
    nw_judge_free(&judge);
    nw_borders_free(&made);
    return status;
}

/* The largest of the sizes. Where there are many spots at hand, those that stay inside them are
 * counted first: where they are far more than are worth widening, no drawing is made of it. */
static nw_status largest_try(const nw_drawing *drawing, const nw_fit_options *options,
                             const nw_fit *now, nw_trial trial, nw_closest *closest,
                             nw_error *error)
{
    nw_judgement first;
    size_t spots = 0;
    nw_status status = NW_OK;
    if (now->sides && !now->options.has_stock && nw_closest_too_many(now->spot_count / 2)) {
        nw_judge judge = nw_judge_on(&now->sides->borders, options);
        nw_judge_start_from(&judge, now->sides, &first);
        status = nw_judge_count(&judge, trial, &spots, error);
        nw_judge_free(&judge);
    }
    if (status != NW_OK || !nw_closest_too_many(spots))
        return status == NW_OK ? near_try(drawing, options, FACTORS - 1, now, closest, error)
                               : status;
    nw_closest_count(closest, FACTORS - 1, spots, 0);
    return NW_OK;
}

/* Only what was tried on the drawing itself is told of: the largest, and from the one that then
 * seems closest up to that the first that really leaves so little. */
nw_status nw_size_near(const nw_drawing *drawing, const nw_region *region, const nw_fit *now,
                       nw_ways *ways, nw_error *error)
{
    nw_closest closest = nw_closest_none();
    nw_fit_options own = now->options;
    own.has_stock = own.with_shapes = false;
    nw_trial trial = {own.bit, own.neck,
                      whole(drawing->width * factors[FACTORS - 1]) / drawing->width};
    if (!now->options.has_stock && nw_closest_none_near(now, trial))
        return NW_OK;
    nw_status status = largest_try(drawing, &own, now, trial, &closest, error);
    nw_closest guess = closest;
    if (status == NW_OK && !guess.beyond)
        status = near_guess(drawing, region, &own, now, &guess, error);
    bool found = false;
    for (size_t k = guess.index; status == NW_OK && !found && k < FACTORS - 1; k++) {
        nw_closest tried = closest;
        status = near_try(drawing, &own, k, now, &tried, error);
        found = tried.index == k;
        closest = found ? tried : closest;
    }
    if (status == NW_OK && nw_closest_helps(&closest, now)) {
        ways->near_width = whole(drawing->width * factors[closest.index]);
        ways->near_size_spots = closest.spots;
        ways->near_size_share = closest.share;
    }
    return status;
}

/* What areas at that size are to be multiplied by for those of the drawing as it is. */
static double square_to(const nw_drawing *drawing, const nw_sizes *sizes, size_t k)
{
    double scale = drawing->width / sizes->results[k].width;
    return scale * scale;
}

/* To a drawing at f times its size a bit is what one of 1/f its diameter is to the drawing as it
 * is: what sizes leave is told from one another as what bits leave, by the share of the least cut
 * area, all as parts of the art. */
static void closest_find(const nw_drawing *drawing, nw_sizes *sizes)
{
    nw_closest closest = nw_closest_none();
    double least = INFINITY;
    for (size_t k = 0; k < sizes->count; k++)
        least = fmin(least, sizes->results[k].fit.area_cut * square_to(drawing, sizes, k));
    sizes->least = sizes->count;
    for (size_t k = sizes->count; sizes->smallest == sizes->count && k-- > 0;) {
        const nw_fit *fit = &sizes->results[k].fit;
        double own = fit->area_unreached * square_to(drawing, sizes, k);
        double share = least > 0 ? own / least : 0;
        if (nw_fit_cuts(fit) && nw_closest_take(&closest, k, fit->spot_count, share))
            sizes->least = k;
    }
    sizes->closest =
        sizes->least < sizes->count && nw_fit_comes_near(&sizes->results[sizes->least].fit)
            ? sizes->least
            : sizes->count;
}

nw_status nw_sizes_compare(const nw_drawing *drawing, const nw_region *region,
                           const nw_fit_options *options, double stock, nw_sizes *sizes,
                           nw_error *error)
{
    *sizes = (nw_sizes){0};
    if (!region->count || !(drawing->width > 0))
        return nw_fail(error, NW_BAD_REQUEST, "there is no outline");
    nw_fit_options own = *options;
    own.neck = nw_bit_neck(options, own.bit, stock);
    own.has_stock = own.with_shapes = false;
    sizes->results = nw_alloc(FACTORS + 1, sizeof *sizes->results);
    nw_status status = sizes->results ? widths_list(drawing, region, &own, sizes, error)
                                      : nw_fail_memory(error, "the sizes");
    for (size_t k = 0; status == NW_OK && k < sizes->count; k++) {
        nw_size_result *result = &sizes->results[k];
        result->height = drawing->height * result->width / drawing->width;
        nw_tell(options, "comparing sizes", (double)k / (double)sizes->count);
        status = size_judge(drawing, &own, result, error);
    }
    if (status != NW_OK) {
        nw_sizes_free(sizes);
        return status;
    }
    sizes->smallest = sizes->count;
    while (sizes->smallest > 0 && sizes->results[sizes->smallest - 1].fit.fits)
        sizes->smallest--;
    closest_find(drawing, sizes);
    return NW_OK;
}

void nw_sizes_free(nw_sizes *sizes)
{
    for (size_t k = 0; k < sizes->count; k++)
        nw_fit_free(&sizes->results[k].fit);
    free(sizes->results);
    *sizes = (nw_sizes){0};
}
