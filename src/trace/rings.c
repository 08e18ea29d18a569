/*
 * rings: ink -> smooth outlines through places on its boundary: at sub-pixel accuracy where there
 * are grey levels, else where the pixels' steps allow. Each ring of the boundary is fitted by
 * itself, so that rings can be shared out over threads.
 */
#include <trace/contour.h>
#include <trace/pixel_steps.h>

#include <math.h>
#include <stdlib.h>

static nw_status fit_ring(const nw_levels *of, nw_contour_ring ring, nw_trace_limits limits,
                          nw_path *path, nw_trace_far *far)
{
    nw_steps_places places = {0};
    nw_point *steady = NULL;
    if (!of->picture) {
        if (!nw_steps_smooth(of->ink, ring.points, ring.count, limits.reach, &places)) {
            nw_steps_places_free(&places);
            return NW_NO_MEMORY;
        }
        ring = (nw_contour_ring){places.points, places.corners, places.count};
    } else if (of->picture->off > 0) {
        steady = nw_alloc(ring.count, sizeof *steady);
        if (!steady || !nw_places_steady(of, &ring, steady)) {
            free(steady);
            return NW_NO_MEMORY;
        }
        ring.points = steady;
    }
    nw_status status = nw_contour_fit(of, &ring, &limits, path, far, NULL);
    nw_steps_places_free(&places);
    free(steady);
    return status;
}

static nw_status fit_rings(const nw_levels *of, const nw_contours *rings, nw_trace_limits limits,
                           nw_path *paths, nw_trace_far *far, nw_error *error)
{
    double places = 0, tips = 0;
    bool failed = false;
    long count = (long)rings->count;
#pragma omp parallel for schedule(dynamic, 4) reduction(max : places, tips)
    for (long k = 0; k < count; k++) {
        nw_contour_ring ring = {.points = rings->points + rings->starts[k],
                                .count = rings->starts[k + 1] - rings->starts[k]};
        nw_trace_far found = {0};
        if (fit_ring(of, ring, limits, &paths[k], &found) != NW_OK) {
#pragma omp atomic write
            failed = true;
        }
        places = fmax(places, found.places);
        size_t number = nw_pixel_piece(of->ink, limits.pieces, rings->pixels[k] + 1);
        if (nw_pieces_are_kept(limits.pieces, number))
            tips = fmax(tips, found.tips);
    }
    *far = (nw_trace_far){places, tips};
    return failed ? nw_fail_memory(error, "the fitted outlines") : NW_OK;
}

static nw_status add_paths(const nw_contours *rings, nw_path *paths, nw_drawing *drawing,
                           nw_error *error)
{
    for (size_t k = 0; k < rings->count; k++) {
        paths[k].number = rings->pixels[k] + 1;
        if (paths[k].count > 1 && !nw_drawing_add(drawing, &paths[k]))
            return nw_fail_memory(error, "the fitted outlines");
    }
    return NW_OK;
}

nw_status nw_rings_trace(const nw_ink *ink, const nw_picture *picture, nw_trace_limits limits,
                         nw_drawing *drawing, nw_trace_far *far, nw_error *error)
{
    nw_contours rings;
    nw_levels of = {ink, picture, nw_levels_soft(picture), limits.scatter > limits.tolerance};
    nw_status status = nw_contours_find(&of, &rings, error);
    if (status != NW_OK)
        return status;
    nw_path *paths = nw_alloc(rings.count, sizeof *paths);
    status = paths ? fit_rings(&of, &rings, limits, paths, far, error)
                   : nw_fail_memory(error, "the fitted outlines");
    if (status == NW_OK)
        status = add_paths(&rings, paths, drawing, error);
    for (size_t k = 0; paths && k < rings.count; k++)
        nw_path_free(&paths[k]);
    free(paths);
    nw_contours_free(&rings);
    return status;
}
