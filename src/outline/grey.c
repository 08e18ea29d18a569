/*
 * grey: ink and its grey levels -> smooth outlines at sub-pixel places. Each ring of the boundary
 * is fitted by itself. Where fitted curves cross, as they may around hairlines and specks, small
 * rings fall back to the plain polygon between pixel middles, which crosses nothing.
 */
#include "contour_internal.h"

#include <stdlib.h>

static const double FLATNESS_PX = 0.05; /* to see what crosses */
static const size_t SMALL = 300;        /* places of a ring that may become a polygon */

typedef struct {
    const nw_ink *ink;
    const nw_picture *picture;
    contours rings;
    nw_path *paths; /* one for each ring */
    bool *crossed, *plain;
    const segment_tree *tree;
    const nw_region *region;
} grey_work;

static nw_status fit_rings(grey_work *w, double tolerance, nw_error *error)
{
    bool failed = false;
    long count = (long)w->rings.count;
#pragma omp parallel for schedule(dynamic, 4)
    for (long k = 0; k < count; k++) {
        const contour_ring *ring = &w->rings.rings[k];
        if (contour_fit(w->picture, w->rings.points + ring->first, ring->count, tolerance,
                        &w->paths[k], NULL) != NW_OK) {
#pragma omp atomic write
            failed = true;
        }
    }
    return failed ? nw_fail_memory(error, "the fitted outlines") : NW_OK;
}

static bool mark_crossed(void *context, size_t i, size_t j)
{
    grey_work *w = context;
    w->crossed[w->region->pieces[w->tree->segments[i].ring]] = true;
    w->crossed[w->region->pieces[w->tree->segments[j].ring]] = true;
    return true;
}

/* Marks the rings whose paths cross. */
static nw_status find_crossed(grey_work *w, nw_error *error)
{
    nw_drawing all = {w->paths, w->rings.count, w->rings.count, 0, 0};
    nw_region region;
    size_t crossings;
    segment_tree tree = {0};
    nw_status status = drawing_flatten(&all, FLATNESS_PX, &region, &crossings, error);
    if (status == NW_OK && crossings) {
        w->tree = &tree;
        w->region = &region;
        if (segment_tree_make(&tree, &region)) {
            crossings_find(&tree, &region, mark_crossed, w);
        } else {
            status = nw_fail_memory(error, "the crossings of outlines");
        }
    }
    segment_tree_free(&tree);
    nw_region_free(&region);
    return status;
}

/* Turns the crossed small rings into polygons; *changed tells whether there were any. */
static nw_status make_plain(grey_work *w, bool *changed, nw_error *error)
{
    nw_status status = NW_OK;
    *changed = false;
    for (size_t k = 0; status == NW_OK && k < w->rings.count; k++) {
        if (w->crossed[k] && !w->plain[k] && w->rings.rings[k].count < SMALL) {
            nw_path_free(&w->paths[k]);
            status =
                contour_plain(w->ink, w->picture, w->rings.rings[k].start, &w->paths[k], error);
            w->paths[k].piece = k;
            *changed = w->plain[k] = true;
        }
        w->crossed[k] = false;
    }
    return status;
}

static const int MOST_ROUNDS = 4; /* a polygon may cross a neighbour that is still a curve */

static nw_status fit_uncrossed(grey_work *w, double tolerance, nw_error *error)
{
    nw_status status = fit_rings(w, tolerance, error);
    for (size_t k = 0; k < w->rings.count; k++) {
        w->paths[k].piece = k;
    }
    bool changed = true;
    for (int round = 0; round < MOST_ROUNDS && changed && status == NW_OK; round++) {
        status = find_crossed(w, error);
        if (status == NW_OK) {
            status = make_plain(w, &changed, error);
        }
    }
    return status;
}

static nw_status add_paths(grey_work *w, nw_drawing *drawing, nw_error *error)
{
    for (size_t k = 0; k < w->rings.count; k++) {
        if (w->paths[k].count > 1 && !nw_drawing_add(drawing, &w->paths[k])) {
            return nw_fail_memory(error, "the fitted outlines");
        }
    }
    return NW_OK;
}

nw_status grey_trace(const nw_ink *ink, const nw_picture *picture, double tolerance,
                     nw_drawing *drawing, nw_error *error)
{
    grey_work w = {.ink = ink, .picture = picture};
    nw_status status = contours_find(ink, picture, &w.rings, error);
    w.paths = nw_alloc(w.rings.count, sizeof *w.paths);
    w.crossed = nw_alloc(w.rings.count, sizeof *w.crossed);
    w.plain = nw_alloc(w.rings.count, sizeof *w.plain);
    if (status == NW_OK && !(w.paths && w.crossed && w.plain)) {
        status = nw_fail_memory(error, "the fitted outlines");
    }
    if (status == NW_OK) {
        status = fit_uncrossed(&w, tolerance, error);
    }
    if (status == NW_OK) {
        status = add_paths(&w, drawing, error);
    }
    for (size_t k = 0; w.paths && k < w.rings.count; k++) {
        nw_path_free(&w.paths[k]);
    }
    free(w.paths);
    free(w.crossed);
    free(w.plain);
    contours_free(&w.rings);
    return status;
}
