/*
 * A rack and outlines -> every bit side by side: the whole fit of each at the diameter that counts.
 * Borders are made once; the discs of a batch of bits roll together, so that what one of them finds
 * out about a part of the outline serves others; and bits with the same least neck share that side.
 * What follows does not depend on the other bits and is spread over the cores.
 */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>
#include <stdlib.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#define STAGE "comparing bits"
#define BATCH NW_RADII_MOST /* bits at a time */

nw_spot_counts nw_spots_count(const nw_fit *fit)
{
    nw_spot_counts counts = {0, 0, 0, 0};
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        counts.necks += spot->side == NW_NECK;
        counts.pinches += spot->side == NW_GAP && spot->form == NW_PINCH;
        counts.stubs += spot->side == NW_GAP && spot->form == NW_STUB;
        counts.misses += spot->side == NW_GAP && spot->form == NW_MISS;
    }
    return counts;
}

typedef struct {
    const nw_borders *borders;
    const nw_fit_options *options;
    const nw_rack *rack;
    double stock;
    nw_point widest_at; /* of the cut area, for V bits on a pocket */
    double widest;
    nw_fit_options rolling; /* options with as many threads as there are to be */
} comparison;

/* A V bit clears no floor: on a pocket it runs as deep as its place is wide. */
static void vee_measure(const comparison *work, const nw_bit *bit, nw_bit_result *result)
{
    result->diameter = bit->diameter;
    result->vee_depth =
        fmin(work->widest, bit->diameter) / 2 / nw_tan(bit->angle_deg / 2 * NW_DEGREE);
    result->vee_at = work->widest_at;
}

static void result_start(const comparison *work, size_t index, nw_bit_result *result)
{
    const nw_bit *bit = &work->rack->bits[index];
    *result = (nw_bit_result){.bit = index, .vee_depth = NW_NONE};
    result->diameter = nw_bit_at_top(bit, work->stock);
    result->flutes_short = bit->flute > 0 && work->stock > bit->flute;
    if (bit->shape == NW_VEE && work->options->cut == NW_CUT_POCKET)
        vee_measure(work, bit, result);
    else
        result->judged = result->diameter > 0;
}

static void result_finish(nw_bit_result *result)
{
    const nw_fit *fit = &result->fit;
    nw_spot_counts counts = nw_spots_count(fit);
    result->pinches = counts.pinches;
    result->stubs = counts.stubs;
    result->misses = counts.misses;
    result->necks = counts.necks;
    result->share_unreached = nw_fit_unreached(fit);
    double missed = fit->outline_length > 0 ? fit->outline_missed / fit->outline_length : 0;
    result->share_outline = fmax(0, 1 - missed);
}

/* Largest first; equal diameters as the rack lists them. */
static int larger_first(const void *left, const void *right)
{
    const nw_bit_result *a = left, *b = right;
    return a->diameter != b->diameter ? nw_order(b->diameter, a->diameter)
                                      : nw_order(a->bit, b->bit);
}

/* ---- a batch of bits ------------------------------------------------------------------------- */

/* One side for several diameters. */
typedef struct {
    const nw_border *border;
    double diameters[BATCH], radii[BATCH]; /* ascending, none twice */
    size_t count;
    nw_roll rolls[BATCH];
    nw_rolled rolled[BATCH];
} batch_side;

static void side_add(batch_side *side, double diameter, double radius)
{
    size_t at = side->count;
    for (size_t k = 0; k < side->count; k++)
        if (side->diameters[k] == diameter)
            return;
    for (; at > 0 && side->diameters[at - 1] > diameter; at--) {
        side->diameters[at] = side->diameters[at - 1];
        side->radii[at] = side->radii[at - 1];
    }
    side->diameters[at] = diameter;
    side->radii[at] = radius;
    side->count++;
}

static size_t place_in(const batch_side *side, double diameter)
{
    size_t k = 0;
    while (side->diameters[k] != diameter)
        k++;
    return k;
}

static nw_status side_roll(batch_side *side, const nw_fit_options *options, nw_error *error)
{
    return nw_rolls_make(side->border, side->radii, side->count, options, side->rolls, error);
}

static void side_free(batch_side *side)
{
    for (size_t k = 0; k < side->count; k++) {
        nw_roll_free(&side->rolls[k]);
        nw_rolled_free(&side->rolled[k]);
    }
}

/* Bits of a batch, and what they need of both sides. */
typedef struct {
    const comparison *work;
    nw_bit_result *results[BATCH];
    nw_fit_options options[BATCH];
    size_t count;
    batch_side gaps, necks;
    batch_side bands; /* discs of twice the radius, where nw_fit_has_band */
    nw_status failed;
} batch;

static void batch_add(batch *b, nw_bit_result *result)
{
    const comparison *work = b->work;
    nw_fit_options *own = &b->options[b->count];
    *own = *work->options;
    own->bit = result->diameter;
    own->neck = nw_bit_neck(work->options, own->bit, work->stock);
    own->threads = 1;
    own->progress = NULL;
    side_add(&b->gaps, own->bit, nw_rolled_radius(own->bit));
    side_add(&b->necks, own->neck, nw_rolled_radius(own->neck));
    if (nw_fit_has_band(own))
        side_add(&b->bands, own->bit, 2 * nw_rolled_radius(own->bit));
    b->results[b->count++] = result;
}

static void batch_fail(batch *b, nw_status status)
{
#ifdef _OPENMP
#pragma omp critical(nw_bits_failed)
#endif
    b->failed = status;
}

static void residues_make(batch *b, size_t k)
{
    batch_side *side = k < b->gaps.count ? &b->gaps : &b->necks;
    size_t i = k < b->gaps.count ? k : k - b->gaps.count;
    nw_status status =
        nw_rolled_from(side->border, side->diameters[i], &side->rolls[i], &side->rolled[i], NULL);
    if (status != NW_OK)
        batch_fail(b, status);
}

static void result_make(batch *b, size_t k)
{
    const nw_fit_options *own = &b->options[k];
    const nw_rolled *gaps = &b->gaps.rolled[place_in(&b->gaps, own->bit)];
    const nw_rolled *necks = &b->necks.rolled[place_in(&b->necks, own->neck)];
    const nw_roll *twice = NULL;
    if (nw_fit_has_band(own))
        twice = &b->bands.rolls[place_in(&b->bands, own->bit)];
    nw_status status = nw_fit_of_sides(gaps, necks, NULL, twice, own, &b->results[k]->fit, NULL);
    if (status != NW_OK)
        batch_fail(b, status);
    else
        result_finish(b->results[k]);
}

static void batch_finish(batch *b)
{
    bool shared = b->gaps.border->count >= NW_SHARED_LEAST;
    int threads = shared ? b->work->rolling.threads : 1;
    size_t sides = b->gaps.count + b->necks.count;
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic) num_threads(threads)
#else
    (void)threads;
#endif
    for (size_t k = 0; k < sides; k++) {
        nw_tell(&b->work->rolling, STAGE, (double)k / (double)(sides + b->count));
        residues_make(b, k);
    }
    if (b->failed != NW_OK)
        return;
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic) num_threads(threads)
#endif
    for (size_t k = 0; k < b->count; k++) {
        nw_tell(&b->work->rolling, STAGE, (double)(sides + k) / (double)(sides + b->count));
        result_make(b, k);
    }
}

/* The judged bits from *next on, as many as a batch holds. */
static nw_status batch_run(const comparison *work, nw_bits *bits, size_t *next, nw_error *error)
{
    batch *b = nw_alloc(1, sizeof *b);
    if (!b)
        return nw_fail_memory(error, "the bits");
    b->work = work;
    b->gaps.border = &work->borders->cut;
    b->necks.border = &work->borders->kept;
    b->bands.border = &work->borders->cut;
    for (; *next < bits->count && b->count < BATCH; ++*next)
        if (bits->results[*next].judged)
            batch_add(b, &bits->results[*next]);
    nw_status status = NW_OK;
    if (b->count) {
        status = side_roll(&b->gaps, &work->rolling, error);
        if (status == NW_OK)
            status = side_roll(&b->necks, &work->rolling, error);
        if (status == NW_OK && b->bands.count)
            status = side_roll(&b->bands, &work->rolling, error);
        if (status == NW_OK)
            batch_finish(b);
    }
    if (b->failed != NW_OK)
        status = nw_fail(error, b->failed, "the bits could not be compared: %s",
                         nw_status_name(b->failed));
    side_free(&b->gaps);
    side_free(&b->necks);
    side_free(&b->bands);
    free(b);
    return status;
}

static nw_status all_compare(comparison *work, nw_bits *bits, nw_error *error)
{
    work->rolling = *work->options;
#ifdef _OPENMP
    if (work->rolling.threads <= 0)
        work->rolling.threads = omp_get_max_threads();
#endif
    for (size_t i = 0; i < bits->count; i++)
        result_start(work, i, &bits->results[i]);
    nw_sort(bits->results, bits->count, sizeof *bits->results, larger_first);
    nw_status status = NW_OK;
    for (size_t next = 0; status == NW_OK && next < bits->count;)
        status = batch_run(work, bits, &next, error);
    return status;
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

/* Outside the art a wider bit has a wider way to cut: what bits leave is told from one another by
 * the share of the narrowest. A bit that cuts nothing comes near to nothing. */
static void closest_find(nw_bits *bits)
{
    nw_closest closest = nw_closest_none();
    double narrowest = INFINITY;
    for (size_t k = 0; k < bits->count; k++)
        if (bits->results[k].judged)
            narrowest = fmin(narrowest, bits->results[k].fit.area_cut);
    bits->least = bits->count;
    for (size_t k = bits->count; bits->largest == bits->count && k-- > 0;) {
        const nw_fit *fit = &bits->results[k].fit;
        double share = narrowest > 0 ? fit->area_unreached / narrowest : 0;
        if (bits->results[k].judged && nw_fit_cuts(fit) &&
            nw_closest_take(&closest, k, fit->spot_count, share))
            bits->least = k;
    }
    bits->closest = bits->least < bits->count && nw_fit_comes_near(&bits->results[bits->least].fit)
                        ? bits->least
                        : bits->count;
}

static void largest_find(nw_bits *bits)
{
    while (bits->largest < bits->count &&
           !(bits->results[bits->largest].fit.fits && !bits->results[bits->largest].flutes_short))
        bits->largest++;
}

/* Between the largest that fits and the next larger that was judged. */
static nw_status critical_find(const comparison *work, nw_bits *bits, nw_error *error)
{
    double low = 0, high = 0;
    for (size_t k = 0; k < bits->count && low == 0; k++) {
        if (!bits->results[k].judged)
            continue;
        if (bits->results[k].fit.fits)
            low = bits->results[k].diameter;
        else
            high = bits->results[k].diameter;
    }
    if (low == 0 && high == 0)
        high = NW_BIT_MOST;
    return nw_bit_critical_between(work->borders, work->options, work->stock, low, high,
                                   &bits->critical, error);
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
    if (status == NW_OK)
        status = critical_find(&work, bits, error);
    nw_borders_free(&borders);
    if (status != NW_OK) {
        nw_bits_free(bits);
        return status;
    }
    largest_find(bits);
    closest_find(bits);
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
