/*
 * slugs: a region and its fit -> what falls out of the openings once the bit has run along their
 * outlines: the cut area eroded by the bit's whole diameter, which is where the centre of a disc
 * twice as wide can be, so the fit of that disc knows it.
 */
#include <change/bridges.h>
#include <change/tabs.h>

#include <math.h>
#include <stdlib.h>

#define ARC_CHORDS 6
#define LARGEST_DISC_MM 1000.0 /* that a fit takes */

static size_t points_most(const nw_drawing *paths)
{
    size_t count = 0;
    for (size_t i = 0; i < paths->count; i++)
        count += ARC_CHORDS * paths->paths[i].count + 1;
    return count;
}

static void path_chords(const nw_path *path, nw_region *rings)
{
    size_t n = rings->starts[rings->count];
    nw_point from = path->start;
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        int chords = step->kind == NW_LINE ? 1 : ARC_CHORDS;
        for (int c = 1; c <= chords; c++)
            rings->points[n++] = nw_step_at(from, step, (double)c / chords);
        from = step->to;
    }
    rings->pieces[rings->count] = rings->count;
    rings->starts[++rings->count] = n;
}

size_t nw_slug_at(const nw_slugs *slugs, nw_point p)
{
    size_t best = SIZE_MAX;
    for (size_t k = 0; k < slugs->rings.count; k++) {
        double area = slugs->signed_areas[k];
        if (nw_box_holds(slugs->boxes[k], p) && area > 0 &&
            (best == SIZE_MAX || area < slugs->signed_areas[best]) &&
            nw_ring_contains(&slugs->rings, k, p))
            best = k;
    }
    return best;
}

static void areas_set(nw_slugs *slugs)
{
    const nw_region *rings = &slugs->rings;
    for (size_t k = 0; k < rings->count; k++) {
        slugs->boxes[k] = nw_ring_box(rings, k);
        slugs->signed_areas[k] = nw_ring_area(rings, k);
        slugs->areas[k] = fmax(slugs->signed_areas[k], 0);
    }
    for (size_t k = 0; k < rings->count; k++) {
        bool hole = slugs->signed_areas[k] < 0;
        size_t around = hole ? nw_slug_at(slugs, rings->points[rings->starts[k]]) : SIZE_MAX;
        if (around != SIZE_MAX)
            slugs->areas[around] += slugs->signed_areas[k];
    }
}

static bool slugs_fill(const nw_drawing *paths, nw_slugs *slugs)
{
    nw_region *rings = &slugs->rings;
    rings->points = nw_alloc(points_most(paths), sizeof *rings->points);
    rings->starts = nw_alloc(paths->count + 1, sizeof *rings->starts);
    rings->pieces = nw_alloc(paths->count, sizeof *rings->pieces);
    slugs->boxes = nw_alloc(paths->count, sizeof *slugs->boxes);
    slugs->signed_areas = nw_alloc(paths->count, sizeof *slugs->signed_areas);
    slugs->areas = nw_alloc(paths->count, sizeof *slugs->areas);
    if (!rings->points || !rings->starts || !rings->pieces || !slugs->boxes ||
        !slugs->signed_areas || !slugs->areas)
        return false;
    for (size_t i = 0; i < paths->count; i++)
        path_chords(&paths->paths[i], rings);
    areas_set(slugs);
    return true;
}

nw_status nw_slugs_find(const nw_region *region, const nw_fit *fit, nw_slugs *slugs,
                        nw_error *error)
{
    nw_fit_options options = fit->options;
    options.bit = fmin(2 * options.bit, LARGEST_DISC_MM);
    options.with_shapes = true;
    nw_fit twice;
    *slugs = (nw_slugs){.areas = NULL};
    nw_status status = nw_fit_run(region, &options, &twice, error);
    if (status == NW_OK && !slugs_fill(&twice.bit_path, slugs))
        status = nw_fail_memory(error, "the tabs");
    nw_fit_free(&twice);
    return status;
}

void nw_slugs_free(nw_slugs *slugs)
{
    nw_region_free(&slugs->rings);
    free(slugs->boxes);
    free(slugs->signed_areas);
    free(slugs->areas);
    *slugs = (nw_slugs){.areas = NULL};
}
