/*
 * A rack and outlines -> every bit side by side: the whole fit of each at the diameter that counts,
 * on borders that are made once. The bits are spread over the cores and do not depend on one
 * another.
 */
#include <fit/side.h>

#include <math.h>
#include <stdlib.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#define DEGREE (3.14159265358979323846 / 180)

double nw_bit_neck(const nw_fit_options *options, double diameter, double stock)
{
    return options->neck > 0 ? options->neck : fmax(diameter, stock);
}

static void spots_count(nw_bit_result *result)
{
    for (size_t i = 0; i < result->fit.spot_count; i++) {
        const nw_spot *spot = &result->fit.spots[i];
        result->necks += spot->side == NW_NECK;
        result->pinches += spot->side == NW_GAP && spot->form == NW_PINCH;
        result->stubs += spot->side == NW_GAP && spot->form == NW_STUB;
        result->misses += spot->side == NW_GAP && spot->form == NW_MISS;
    }
}

typedef struct {
    const nw_borders *borders;
    const nw_fit_options *options;
    const nw_rack *rack;
    double stock;
    nw_point widest_at; /* of the cut area, for V bits on a pocket */
    double widest;
    int threads; /* for each bit */
} comparison;

/* A V bit clears no floor: on a pocket it runs as deep as its place is wide. */
static void vee_measure(const comparison *work, const nw_bit *bit, nw_bit_result *result)
{
    result->vee_depth = fmin(work->widest, bit->diameter) / 2 / tan(bit->angle_deg / 2 * DEGREE);
    result->vee_at = work->widest_at;
}

static nw_status bit_compare(const comparison *work, size_t index, nw_bit_result *result)
{
    const nw_bit *bit = &work->rack->bits[index];
    nw_fit_options own = *work->options;
    own.bit = nw_bit_at_top(bit, work->stock);
    own.neck = nw_bit_neck(work->options, own.bit, work->stock);
    own.threads = work->threads;
    *result = (nw_bit_result){.bit = index, .diameter = own.bit, .vee_depth = NW_NONE};
    result->flutes_short = bit->flute > 0 && work->stock > bit->flute;
    if (bit->shape == NW_VEE && own.cut == NW_CUT_POCKET) {
        result->diameter = bit->diameter;
        vee_measure(work, bit, result);
        return NW_OK;
    }
    if (!(own.bit > 0))
        return NW_OK;
    nw_status status = nw_fit_run_on(work->borders, &own, &result->fit, NULL);
    if (status != NW_OK)
        return status;
    const nw_fit *fit = &result->fit;
    result->judged = true;
    spots_count(result);
    result->share_unreached = fit->area_cut > 0 ? fit->area_unreached / fit->area_cut : 0;
    double missed = fit->outline_length > 0 ? fit->outline_missed / fit->outline_length : 0;
    result->share_outline = fmax(0, 1 - missed);
    return NW_OK;
}

/* Largest first; equal diameters as the rack lists them. */
static int larger_first(const void *left, const void *right)
{
    const nw_bit_result *a = left, *b = right;
    if (a->diameter != b->diameter)
        return a->diameter > b->diameter ? -1 : 1;
    return a->bit < b->bit ? -1 : a->bit > b->bit;
}

static nw_status all_compare(comparison *work, nw_bits *bits, nw_error *error)
{
    nw_status failed = NW_OK;
    int at_once = 1;
#ifdef _OPENMP
    at_once = work->options->threads > 0 ? work->options->threads : omp_get_max_threads();
#endif
    work->threads = 1;
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic) num_threads(at_once)
#else
    (void)at_once;
#endif
    for (size_t i = 0; i < bits->count; i++) {
        nw_status status = bit_compare(work, i, &bits->results[i]);
        if (status != NW_OK) {
#ifdef _OPENMP
#pragma omp critical(nw_bits_failed)
#endif
            failed = status;
        }
    }
    if (failed == NW_OK)
        return NW_OK;
    return nw_fail(error, failed, "the bits could not be compared: %s", nw_status_name(failed));
}

static bool rack_has_vee(const nw_rack *rack)
{
    for (size_t i = 0; i < rack->count; i++)
        if (rack->bits[i].shape == NW_VEE)
            return true;
    return false;
}

static nw_status options_check(const nw_fit_options *options, double stock, nw_error *error)
{
    if (!(stock >= 0 && stock <= 1000))
        return nw_fail(error, NW_BAD_REQUEST, "the stock must be 0 to 1000 mm thick");
    if (!(options->neck >= 0 && options->neck <= 1000))
        return nw_fail(error, NW_BAD_REQUEST, "the least neck must be 0 to 1000 mm");
    if (!(options->blunt >= 0 && isfinite(options->blunt)))
        return nw_fail(error, NW_BAD_REQUEST, "the depth of blunted tips must not be negative");
    return NW_OK;
}

static void largest_find(nw_bits *bits)
{
    while (bits->largest < bits->count &&
           !(bits->results[bits->largest].fit.fits && !bits->results[bits->largest].flutes_short))
        bits->largest++;
}

nw_status nw_bits_compare(const nw_region *region, const nw_fit_options *options,
                          const nw_rack *rack, double stock, nw_bits *bits, nw_error *error)
{
    *bits = (nw_bits){0};
    nw_borders borders;
    nw_status status = options_check(options, stock, error);
    if (status == NW_OK)
        status = nw_borders_make(region, options, &borders, error);
    if (status != NW_OK)
        return status;
    comparison work = {.borders = &borders, .options = options, .rack = rack, .stock = stock};
    if (options->cut == NW_CUT_POCKET && rack_has_vee(rack))
        status = nw_widest_place(region, options, 1000, &work.widest_at, &work.widest, error);
    if (status == NW_OK) {
        bits->results = nw_alloc(rack->count, sizeof *bits->results);
        bits->count = bits->results ? rack->count : 0;
        status =
            bits->results ? all_compare(&work, bits, error) : nw_fail_memory(error, "the bits");
    }
    nw_borders_free(&borders);
    if (status != NW_OK) {
        nw_bits_free(bits);
        return status;
    }
    qsort(bits->results, bits->count, sizeof *bits->results, larger_first);
    largest_find(bits);
    return NW_OK;
}

void nw_bits_free(nw_bits *bits)
{
    if (!bits)
        return;
    for (size_t i = 0; i < bits->count; i++)
        nw_fit_free(&bits->results[i].fit);
    free(bits->results);
    *bits = (nw_bits){0};
}
