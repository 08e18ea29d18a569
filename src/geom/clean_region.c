/*
 * clean_region: a drawing -> its outlines as a region without crossings. Where its curves truly
 * cross they are taken apart (uncross.c), and what then bounds a second layer is dropped
 * (nesting.c).
 */
#include <geom/flattening.h>
#include <geom/nesting.h>

#include <stdlib.h>

static const int MAX_ROUNDS = 4; /* 0.002 mm becomes 5e-7 mm, below what the fit can tell */

/* Taken apart where its curves cross, then flattened. */
static nw_status own_clean(nw_drawing *own, nw_first_chords *first, nw_region *region,
                           nw_step_place **places, nw_error *error)
{
    size_t left;
    bool apart;
    double flatness = first->flatness;
    nw_status status = nw_drawing_uncross_from(own, first, &left, &apart, error);
    nw_first_chords_free(first);
    if (status == NW_OK)
        status = nw_drawing_nest(own, flatness, false, error);
    if (status == NW_OK) { /* to leave outlines out makes nothing cross */
        status = nw_drawing_flatten_places(own, flatness, apart ? 0 : MAX_ROUNDS, region, places,
                                           &left, error);
    }
    return status;
}

nw_status nw_drawing_flatten_own(const nw_drawing *drawing, double flatness, nw_drawing *own,
                                 nw_region *region, nw_step_place **places, nw_error *error)
{
    size_t crossings = 0;
    nw_step_place *found = NULL;
    nw_first_chords first = {0};
    *region = (nw_region){0};
    nw_status status = nw_drawing_copy(drawing, own, error);
    if (status == NW_OK)
        status = nw_first_chords_make(&first, own, flatness, error);
    if (status == NW_OK)
        status = nw_first_chords_part(&first, MAX_ROUNDS, region, &found, NULL, &crossings, error);
    if (status == NW_OK && crossings) {
        nw_region_free(region);
        free(found);
        found = NULL;
        status = own_clean(own, &first, region, &found, error);
    }
    nw_first_chords_free(&first);
    if (status != NW_OK)
        nw_drawing_free(own);
    if (places)
        *places = found;
    else
        free(found);
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
