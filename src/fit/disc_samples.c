/*
 * Outlines -> for places all along them the largest disc that touches there and lies in the cut
 * area, which answers every bit at once; and the largest disc of all. Shrinking ball (Ma, Bae and
 * Choi, The Visual Computer 28, 2012), exact for segments.
 *
 * Where two chords of one curve meet, no disc touches their corner, although the curve takes one. A
 * chord leaves its curve by up to the flatness f, and a disc that fits the curve crosses the chords
 * by up to 4 f. So where a ball that starts 4 f inside comes out much larger than the exact one,
 * it is the right one, less half of what it started inside.
 */
#include <fit/fit.h>

#include <math.h>
#include <stdlib.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#define SINK_MM (4 * NW_FLATNESS_MM)
#define TOLD 256 /* segments between two tellings */
#define SAMPLES_MOST 20000000
#define WIDEST_TRIES 4000
#define WIDEST_ROUNDS 24

static double radius_at(const nw_border *border, uint32_t i, double t, double limit,
                        uint32_t *blocker)
{
    double exact = nw_border_ball(border, i, t, 0, limit, blocker);
    if (exact >= limit)
        return limit;
    nw_point normal = nw_left(border->along[i]), foot;
    nw_point start = nw_plus(nw_border_at(border, i, t), normal, SINK_MM);
    uint32_t j;
    double sunk = nw_border_disc(border, start, normal, limit, &j, &foot);
    return sunk > exact + SINK_MM ? fmin(limit, sunk + SINK_MM / 2) : exact;
}

static nw_status cut_border(const nw_region *region, const nw_fit_options *options,
                            nw_border *border, nw_error *error)
{
    bool outside = options->cut == NW_CUT_OUTSIDE;
    const nw_box *sheet = outside && options->has_stock ? &options->stock : NULL;
    return nw_border_make(region, outside, sheet, border, error);
}

static double pieces_of(const nw_border *border, uint32_t i, double spacing)
{
    return fmax(1, ceil(border->length[i] / spacing));
}

static void segment_sample(const nw_border *border, uint32_t i, double spacing, double limit,
                           nw_sample *samples)
{
    size_t count = (size_t)pieces_of(border, i, spacing);
    double length = border->length[i] / (double)count;
    uint32_t blocker = i;
    for (size_t k = 0; k < count; k++) {
        double t = ((double)k + 0.5) * length;
        samples[k] = (nw_sample){nw_border_at(border, i, t),
                                 2 * radius_at(border, i, t, limit, &blocker), length};
    }
}

/* firsts: for each segment the index of its first sample. */
static bool places_count(const nw_border *border, double spacing, size_t *firsts, size_t *count)
{
    double total = 0;
    for (uint32_t i = 0; i < border->count; i++) {
        firsts[i] = (size_t)total;
        total += pieces_of(border, i, spacing);
        if (total > SAMPLES_MOST)
            return false;
    }
    *count = (size_t)total;
    return true;
}

static nw_status border_sample(const nw_border *border, double spacing, double limit,
                               const nw_fit_options *options, nw_sample **samples, size_t *count,
                               nw_error *error)
{
    size_t *firsts = nw_alloc(border->count, sizeof *firsts);
    if (!firsts)
        return nw_fail_memory(error, "the samples");
    if (!places_count(border, spacing, firsts, count)) {
        free(firsts);
        return nw_fail(error, NW_BAD_REQUEST, "the samples stand too close: there are over %d",
                       SAMPLES_MOST);
    }
    *samples = nw_alloc(*count, sizeof **samples);
    bool good = *samples != NULL;
    int threads = 1;
#ifdef _OPENMP
    threads = options->threads > 0 ? options->threads : omp_get_max_threads();
#endif
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic, 64) num_threads(threads)
#else
    (void)threads;
#endif
    for (uint32_t i = 0; i < border->count; i++) {
        if (i % TOLD == 0)
            nw_tell(options, "measuring every place", (double)i / (double)border->count);
        if (good)
            segment_sample(border, i, spacing, limit, *samples + firsts[i]);
    }
    free(firsts);
    return good ? NW_OK : nw_fail_memory(error, "the samples");
}

nw_status nw_outline_samples(const nw_region *region, const nw_fit_options *options, double spacing,
                             double most, nw_sample **samples, size_t *count, nw_error *error)
{
    *samples = NULL;
    *count = 0;
    if (!(spacing > 0 && most > 0 && isfinite(most)))
        return nw_fail(error, NW_BAD_REQUEST, "spacing and largest disc must be above 0");
    nw_border border;
    nw_status status = cut_border(region, options, &border, error);
    if (status != NW_OK)
        return status;
    status = border_sample(&border, spacing, most / 2, options, samples, count, error);
    nw_border_free(&border);
    if (status != NW_OK)
        *count = 0;
    return status;
}

/* ---- the widest place ------------------------------------------------------------------------ */

typedef struct {
    double radius, along; /* how far from the ring's start the disc touches */
    uint32_t ring;
    nw_point centre;
} widest;

static void widest_try(const nw_border *border, uint32_t ring, double along, double limit,
                       uint32_t *blocker, widest *best)
{
    along = fmin(fmax(along, 0), border->ring_length[ring]);
    uint32_t i = nw_border_segment(border, ring, along);
    double t = fmin(along - border->station[i], border->length[i]);
    double radius = nw_border_ball(border, i, t, best->radius, limit, blocker);
    if (radius <= best->radius)
        return;
    nw_point centre = nw_plus(nw_border_at(border, i, t), nw_left(border->along[i]), radius);
    *best = (widest){radius, along, ring, centre};
}

static widest widest_find(const nw_border *border, double limit)
{
    widest best = {0};
    uint32_t blocker = 0;
    double total = 0;
    for (size_t k = 0; k < border->ring_count; k++)
        total += border->ring_length[k];
    double step = total / WIDEST_TRIES;
    for (uint32_t k = 0; k < border->ring_count; k++)
        for (double at = step / 2; at - step / 2 < border->ring_length[k]; at += step)
            widest_try(border, k, at, limit, &blocker, &best);
    for (int round = 0; round < WIDEST_ROUNDS; round++, step /= 2) {
        uint32_t ring = best.ring;
        double at = best.along;
        for (int k = -2; k <= 2; k++)
            widest_try(border, ring, at + k * step / 2, limit, &blocker, &best);
    }
    return best;
}

nw_status nw_widest_place(const nw_region *region, const nw_fit_options *options, double most,
                          nw_point *at, double *diameter, nw_error *error)
{
    *at = (nw_point){0, 0};
    *diameter = 0;
    nw_border border;
    nw_status status = cut_border(region, options, &border, error);
    if (status != NW_OK)
        return status;
    if (border.ring_count) {
        widest best = widest_find(&border, most / 2);
        *at = best.centre;
        *diameter = 2 * best.radius;
    }
    nw_border_free(&border);
    return NW_OK;
}
