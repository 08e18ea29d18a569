/*
 * clean_region: a drawing -> its outlines as a region without crossings. Where its curves truly
 * cross they are taken apart (uncross.c), and what then bounds a second layer is dropped
 * (nesting.c).
 */
#include <geom/flattening.h>
#include <geom/nesting.h>

#include <stdlib.h>

static const int MAX_ROUNDS = 4; /* 0.002 mm becomes 5e-7 mm, below what the fit can tell */

nw_status nw_drawing_flatten_own(const nw_drawing *drawing, double flatness, nw_drawing *own,
                                 nw_region *region, nw_step_place **places, nw_error *error)
{
    size_t crossings = 0, left;
    *region = (nw_region){0};
    if (places)
        *places = NULL;
    nw_status status = nw_drawing_copy(drawing, own, error);
    if (status != NW_OK)
        return status;
    status =
        nw_drawing_flatten_places(own, flatness, MAX_ROUNDS, region, places, &crossings, error);
    if (status == NW_OK && crossings) {
        nw_region_free(region);
        if (places) {
            free(*places);
            *places = NULL;
        }
        status = nw_drawing_uncross(own, flatness, &left, error);
        if (status == NW_OK)
            status = nw_drawing_nest(own, flatness, false, error);
        if (status == NW_OK) {
            status =
                nw_drawing_flatten_places(own, flatness, MAX_ROUNDS, region, places, &left, error);
        }
    }
    if (status != NW_OK)
        nw_drawing_free(own);
    return status;
}

nw_status nw_drawing_flatten(const nw_drawing *drawing, double flatness, nw_region *region,
                             nw_error *error)
{
    nw_drawing own;
    nw_status status = nw_drawing_flatten_own(drawing, flatness, &own, region, NULL, error);
    if (status == NW_OK)
        nw_drawing_free(&own);
    return status;
}
