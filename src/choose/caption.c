/*
 * caption: art with a caption that is too fine for the bit -> how it fits without that.
 *
 * A caption is what looks like lettering and is little beside the rest.
 */
#include <choose/choose.h>

#include <stdlib.h>

#define AREA_MOST 0.05  /* of the art's: more is what the art is about, as on a sign */
#define SPOTS_LEAST 0.5 /* of the spots are the letters' */

static bool is_letter(const nw_path *path, const nw_pieces *letters)
{
    return path->number && path->number <= letters->count &&
           letters->items[path->number - 1].guess == NW_PIECE_LETTERING;
}

/* How many spots are at a letter: within the bit's width of its box. */
static nw_status spots_count(const nw_drawing *drawing, const nw_pieces *letters, const nw_fit *fit,
                             size_t *theirs, nw_error *error)
{
    size_t boxed = 0;
    nw_box *boxes = nw_alloc(drawing->count, sizeof *boxes);
    if (!boxes)
        return nw_fail_memory(error, "the letters' boxes");
    for (size_t i = 0; i < drawing->count; i++)
        if (!drawing->paths[i].hole && is_letter(&drawing->paths[i], letters))
            boxes[boxed++] = nw_path_box(&drawing->paths[i]);
    *theirs = 0;
    for (size_t k = 0; k < fit->spot_count; k++) {
        nw_box round = nw_box_round(fit->spots[k].at, fit->options.bit);
        size_t i = 0;
        while (i < boxed && !nw_boxes_meet(boxes[i], round, 0))
            i++;
        *theirs += i < boxed;
    }
    free(boxes);
    return NW_OK;
}

/* Sets how many letters a caption has that may be what stands in the way; 0: none may. */
static nw_status letters_find(const nw_drawing *drawing, const nw_pieces *pieces, const nw_fit *fit,
                              size_t *letters, nw_error *error)
{
    double area = 0;
    size_t count = 0, theirs = 0;
    *letters = 0;
    for (size_t i = 0; i < pieces->count; i++)
        count += pieces->items[i].guess == NW_PIECE_LETTERING;
    for (size_t i = 0; i < drawing->count && count; i++)
        area += is_letter(&drawing->paths[i], pieces) ? nw_path_area(&drawing->paths[i]) : 0;
    if (!count || area > AREA_MOST * nw_drawing_area(drawing))
        return NW_OK;
    nw_status status = spots_count(drawing, pieces, fit, &theirs, error);
    *letters = (double)theirs >= SPOTS_LEAST * (double)fit->spot_count ? count : 0;
    return status;
}

/* The drawing without its letters. */
static nw_status letters_leave(const nw_drawing *drawing, const nw_pieces *letters,
                               nw_drawing *rest, nw_error *error)
{
    nw_pieces kept = {.items = nw_alloc(drawing->count, sizeof(nw_piece)), .count = drawing->count};
    nw_status status =
        kept.items ? nw_drawing_copy(drawing, rest, error) : nw_fail_memory(error, "the pieces");
    for (size_t i = 0; i < drawing->count && status == NW_OK; i++)
        kept.items[drawing->paths[i].piece].kept = !is_letter(&drawing->paths[i], letters);
    if (status == NW_OK)
        status = nw_drawing_keep(rest, &kept, error);
    free(kept.items);
    return status;
}

/* What is left of the spots in the rest at its size, if that helps. A size that the sheet has no
 * room for is no help. */
static nw_status rest_judge(nw_drawing *rest, double factor, const nw_fit *fit, size_t letters,
                            nw_ways *ways, nw_error *error)
{
    nw_fit_options own = fit->options;
    own.with_shapes = own.with_sides = false;
    nw_region region = {0};
    nw_fit now = {0};
    nw_status status = factor == 1 ? NW_OK : nw_drawing_place(rest, factor, 0, false, error);
    nw_drawing_steady(rest);
    if (status == NW_OK)
        status = nw_drawing_flatten(rest, NW_FLATNESS_MM, &region, error);
    if (status == NW_OK)
        status = nw_fit_run(&region, &own, &now, error);
    if (status == NW_OK && now.unpaired == 0 &&
        (double)now.spot_count <= (1 - SPOTS_LEAST) * (double)fit->spot_count) {
        ways->letters = letters;
        ways->letters_spots = now.spot_count;
        ways->rest_width = rest->width;
        ways->rest_height = rest->height;
    }
    nw_fit_free(&now);
    nw_region_free(&region);
    return status == NW_BAD_REQUEST || status == NW_BAD_INPUT ? NW_OK : status;
}

nw_status nw_ways_lettering(const nw_drawing *drawing, const nw_pieces *pieces, double wide,
                            double high, const nw_fit *fit, nw_ways *ways, nw_error *error)
{
    nw_drawing rest = {0};
    size_t letters = 0;
    if (fit->fits || (wide > 0 && high > 0))
        return NW_OK;
    nw_status status = letters_find(drawing, pieces, fit, &letters, error);
    if (status == NW_OK && letters)
        status = letters_leave(drawing, pieces, &rest, error);
    if (status == NW_OK && rest.count) {
        double factor = wide > 0 ? wide / rest.width : high > 0 ? high / rest.height : 1;
        status = rest_judge(&rest, factor, fit, letters, ways, error);
    }
    nw_drawing_free(&rest);
    return status;
}
