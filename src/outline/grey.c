/*
 * grey: ink and its grey levels -> smooth outlines at sub-pixel places. Each ring of the boundary
 * is fitted by itself, so that rings can be shared out over threads.
 */
#include "contour_internal.h"

#include <math.h>
#include <stdlib.h>

static nw_status fit_rings(const nw_picture *picture, const contours *rings, double tolerance,
                           nw_path *paths, double *largest, nw_error *error)
{
    double most = 0;
    bool failed = false;
    long count = (long)rings->count;
#pragma omp parallel for schedule(dynamic, 4) reduction(max : most)
    for (long k = 0; k < count; k++) {
        const nw_point *points = rings->points + rings->starts[k];
        size_t n = rings->starts[k + 1] - rings->starts[k];
        double distance;
        if (contour_fit(picture, points, n, tolerance, &paths[k], &distance, NULL) != NW_OK) {
#pragma omp atomic write
            failed = true;
        }
        most = fmax(most, distance);
    }
    *largest = most;
    return failed ? nw_fail_memory(error, "the fitted outlines") : NW_OK;
}

static nw_status add_paths(const contours *rings, nw_path *paths, nw_drawing *drawing,
                           nw_error *error)
{
    for (size_t k = 0; k < rings->count; k++) {
        if (paths[k].count > 1 && !nw_drawing_add(drawing, &paths[k])) {
            return nw_fail_memory(error, "the fitted outlines");
        }
    }
    return NW_OK;
}

nw_status grey_trace(const nw_ink *ink, const nw_picture *picture, double tolerance,
                     nw_drawing *drawing, double *largest, nw_error *error)
{
    contours rings;
    nw_status status = contours_find(ink, picture, &rings, error);
    if (status != NW_OK) {
        return status;
    }
    nw_path *paths = nw_alloc(rings.count, sizeof *paths);
    status = paths ? fit_rings(picture, &rings, tolerance, paths, largest, error)
                   : nw_fail_memory(error, "the fitted outlines");
    if (status == NW_OK) {
        status = add_paths(&rings, paths, drawing, error);
    }
    for (size_t k = 0; paths && k < rings.count; k++) {
        nw_path_free(&paths[k]);
    }
    free(paths);
    contours_free(&rings);
    return status;
}
