/*
 * A border and radii -> the free stretches of each disc's centre as it rolls along, which together
 * bound all places where the centre can be (the area eroded by the disc).
 *
 * Elements do not depend on one another, so chunks of them are spread over the cores; the chunks
 * do not depend on how many there are.
 */
#include <fit/roll.h>

#include <math.h>
#include <stdlib.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#define CHUNK 128 /* segments */

void nw_tell(const nw_fit_options *options, const char *stage, double fraction)
{
    bool own = true;
#ifdef _OPENMP
    own = omp_get_thread_num() == 0 && omp_get_level() <= 1;
#endif
    if (own && options->progress)
        options->progress(options->progress_context, stage, fraction);
}

double nw_element_extent(const nw_border *border, uint32_t element)
{
    uint32_t i = element / 2;
    if (element % 2)
        return border->length[i];
    return nw_border_reflex(border, i) ? nw_border_turn(border, i) : 0;
}

uint32_t nw_element_next(const nw_border *border, uint32_t element)
{
    uint32_t i = element / 2;
    if (element % 2 == 0)
        return nw_element_segment(i);
    i = border->next[i];
    return nw_border_reflex(border, i) ? nw_element_point(i) : nw_element_segment(i);
}

nw_point nw_element_centre(const nw_roll *roll, uint32_t element, double at)
{
    const nw_border *border = roll->border;
    uint32_t i = element / 2;
    if (element % 2)
        return nw_plus(nw_border_at(border, i, at), nw_left(border->along[i]), roll->radius);
    return nw_round_centre(border->points[i], nw_left(border->along[border->prev[i]]), roll->radius,
                           at);
}

nw_point nw_element_foot(const nw_roll *roll, uint32_t element, double at)
{
    uint32_t i = element / 2;
    return element % 2 ? nw_border_at(roll->border, i, at) : roll->border->points[i];
}

static nw_frees frees_from(const nw_roller *work, size_t first)
{
    return (nw_frees){work->frees ? work->frees + first : NULL, work->count - first};
}

/* One element for one radius, with what was remembered of it. */
static void element_remembered(nw_roller *work, uint32_t element, double extent)
{
    nw_fate *known = &work->border->fates[element];
    if (work->radius >= known->blocked)
        return;
    if (work->radius <= known->alone) {
        nw_roller_element_alone(work, element, extent);
        return;
    }
    const nw_frees none = {NULL, 0};
    size_t first = work->count;
    if (nw_roller_element(work, element, extent, NULL, none))
        known->alone = work->radius;
    if (work->count == first && !work->failed)
        known->blocked = work->radius;
}

/* One element for all radii, beginning with the one for which most often nothing but the element's
 * neighbours blocks any of it: `alone` is how many were so along the element before. The smaller
 * ones follow from that, and the larger are mostly blocked by what blocked them there. Returns how
 * many are so now. firsts: room for one index a radius. */
static size_t element_roll(nw_roller *works, size_t count, uint32_t element, double extent,
                           size_t alone, size_t *firsts)
{
    if (count == 1 && works->border->fates) {
        element_remembered(works, element, extent);
        return 0;
    }
    const nw_frees none = {NULL, 0};
    for (size_t k = 0; k < count; k++)
        firsts[k] = works[k].count;
    size_t start = alone > 0 ? alone - 1 : 0;
    bool so = nw_roller_element(&works[start], element, extent, NULL, none), still = so;
    size_t now = so ? start + 1 : 0;
    for (size_t k = start; k-- > 0;) {
        nw_frees least = frees_from(&works[k + 1], firsts[k + 1]);
        if (so) {
            nw_roller_element_alone(&works[k], element, extent);
        } else {
            so = nw_roller_element(&works[k], element, extent, NULL, least);
            now = so ? k + 1 : 0;
        }
    }
    for (size_t k = start + 1; k < count && works[k - 1].count > firsts[k - 1]; k++) {
        nw_frees most = frees_from(&works[k - 1], firsts[k - 1]);
        still = nw_roller_element(&works[k], element, extent, &most, none) && still;
        now += still;
    }
    return now;
}

static bool any_failed(const nw_roller *works, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (works[k].failed)
            return true;
    return false;
}

static void chunk_roll(nw_roller *works, size_t count, size_t chunk)
{
    const nw_border *border = works->border;
    size_t first = chunk * CHUNK, last = first + CHUNK, firsts[NW_RADII_MOST], alone = count;
    if (last > border->count)
        last = border->count;
    for (uint32_t i = (uint32_t)first; i < last && !any_failed(works, count); i++) {
        if (nw_border_reflex(border, i))
            alone = element_roll(works, count, nw_element_point(i), nw_border_turn(border, i),
                                 alone, firsts);
        alone = element_roll(works, count, nw_element_segment(i), border->length[i], alone, firsts);
    }
    for (size_t k = 0; k < count; k++)
        nw_roller_rest(&works[k]);
}

/* chunks: the first of every `stride` is this radius's. */
static bool chunks_gather(nw_roll *roll, const nw_roller *chunks, size_t count, size_t stride)
{
    bool failed = false;
    for (size_t c = 0; c < count; c++) {
        roll->count += chunks[c * stride].count;
        failed = failed || chunks[c * stride].failed;
    }
    roll->capacity = roll->count;
    roll->frees = failed ? NULL : nw_alloc(roll->count, sizeof *roll->frees);
    size_t at = 0;
    for (size_t c = 0; c < count && roll->frees; c++)
        for (size_t k = 0; k < chunks[c * stride].count; k++)
            roll->frees[at++] = chunks[c * stride].frees[k];
    return roll->frees != NULL;
}

nw_status nw_rolls_make(const nw_border *border, const double *radii, size_t radius_count,
                        const nw_fit_options *options, nw_roll *rolls, nw_error *error)
{
    for (size_t k = 0; k < radius_count; k++)
        rolls[k] = (nw_roll){border, radii[k], NULL, 0, 0};
    size_t count = (border->count + CHUNK - 1) / CHUNK;
    nw_roller *chunks =
        count > SIZE_MAX / radius_count ? NULL : nw_alloc(count * radius_count, sizeof *chunks);
    if (!chunks)
        return nw_fail_memory(error, "the rolling disc");
    for (size_t c = 0; c < count * radius_count; c++)
        nw_roller_start(&chunks[c], border, radii[c % radius_count]);
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic)                                                         \
    num_threads(options->threads) if (border->count >= NW_SHARED_LEAST)
#endif
    for (size_t c = 0; c < count; c++) {
        nw_tell(options, "rolling the disc", (double)c / (double)count);
        chunk_roll(&chunks[c * radius_count], radius_count, c);
    }
    bool gathered = true;
    for (size_t k = 0; k < radius_count; k++)
        gathered = chunks_gather(&rolls[k], &chunks[k], count, radius_count) && gathered;
    for (size_t c = 0; c < count * radius_count; c++)
        nw_roller_free(&chunks[c]);
    free(chunks);
    for (size_t k = 0; k < radius_count && !gathered; k++)
        nw_roll_free(&rolls[k]);
    return gathered ? NW_OK : nw_fail_memory(error, "the rolling disc");
}

nw_status nw_roll_make(const nw_border *border, double radius, const nw_fit_options *options,
                       nw_roll *roll, nw_error *error)
{
    return nw_rolls_make(border, &radius, 1, options, roll, error);
}

void nw_roll_free(nw_roll *roll)
{
    if (!roll)
        return;
    free(roll->frees);
    *roll = (nw_roll){0};
}

double nw_roll_area(const nw_roll *roll)
{
    const nw_border *border = roll->border;
    double twice = 0, radius = roll->radius;
    nw_point origin = border->count ? border->points[0] : (nw_point){0, 0};
    for (size_t k = 0; k < roll->count; k++) {
        nw_free_stretch free = roll->frees[k];
        nw_point a = nw_minus(nw_element_centre(roll, free.element, free.from), origin);
        nw_point b = nw_minus(nw_element_centre(roll, free.element, free.to), origin);
        if (free.element % 2) {
            twice += nw_cross(a, b);
        } else {
            nw_point middle = nw_minus(border->points[free.element / 2], origin);
            twice += nw_cross(middle, nw_minus(b, a)) - radius * radius * (free.to - free.from);
        }
    }
    return twice / 2;
}
