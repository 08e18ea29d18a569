/*
 * without: art with a caption, dust or a scan's shadow that is too fine for the bit -> how it fits
 * without.
 *
 * A caption is what looks like lettering, and is little beside the rest.
 */
#include <choose/choose.h>

#include <stdlib.h>

#define AREA_MOST 0.05  /* of the art's: more is what the art is about, as on a sign, */
#define AREA_LOST 0.15  /* unless there are as many spots at it as pieces: all of it is lost */
#define SPOTS_LEAST 0.5 /* of the spots are at what is left out */

/* What may be left out: all pieces that were taken for that. */
typedef struct {
    const nw_pieces *pieces;
    nw_piece_guess guess;
} leaving;

static bool goes(const leaving *out, const nw_path *path)
{
    return path->number && path->number <= out->pieces->count &&
           out->pieces->items[path->number - 1].guess == out->guess;
}

/* How many spots are at what goes: within the bit's width of its box. */
static nw_status spots_count(const nw_drawing *drawing, const leaving *out, const nw_fit *fit,
                             size_t *theirs, nw_error *error)
{
    size_t boxed = 0;
    nw_box *boxes = nw_alloc(drawing->count, sizeof *boxes);
    if (!boxes)
        return nw_fail_memory(error, "the boxes of what goes");
    for (size_t i = 0; i < drawing->count; i++)
        if (!drawing->paths[i].hole && goes(out, &drawing->paths[i]))
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

/* How many pieces go: several outlines may be of one. */
static nw_status pieces_count(const nw_drawing *drawing, const leaving *out, size_t *count,
                              nw_error *error)
{
    bool *seen = nw_alloc(out->pieces->count + 1, sizeof *seen);
    if (!seen)
        return nw_fail_memory(error, "what goes");
    *count = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        *count += goes(out, path) && !seen[path->number];
        seen[path->number] = seen[path->number] || goes(out, path);
    }
    free(seen);
    return NW_OK;
}

/* Sets how many pieces go; none where they are not what stands in the way. */
static nw_status going_count(const nw_drawing *drawing, const leaving *out, const nw_fit *fit,
                             size_t *going, nw_error *error)
{
    double area = 0;
    size_t theirs = 0;
    nw_status status = pieces_count(drawing, out, going, error);
    if (status != NW_OK || !*going)
        return status;
    for (size_t i = 0; i < drawing->count; i++)
        area += goes(out, &drawing->paths[i]) ? nw_path_area(&drawing->paths[i]) : 0;
    double share = area / nw_drawing_area(drawing);
    if (share <= AREA_LOST)
        status = spots_count(drawing, out, fit, &theirs, error);
    if (share > (theirs < *going ? AREA_MOST : AREA_LOST) ||
        (double)theirs < SPOTS_LEAST * (double)fit->spot_count)
        *going = 0;
    return status;
}

/* The drawing without what goes. */
static nw_status rest_make(const nw_drawing *drawing, const leaving *out, nw_drawing *rest,
                           nw_error *error)
{
    nw_pieces kept = {.items = nw_alloc(drawing->count, sizeof(nw_piece)), .count = drawing->count};
    nw_status status =
        kept.items ? nw_drawing_copy(drawing, rest, error) : nw_fail_memory(error, "the pieces");
    for (size_t i = 0; i < drawing->count && status == NW_OK; i++)
        kept.items[drawing->paths[i].piece].kept = !goes(out, &drawing->paths[i]);
    if (status == NW_OK)
        status = nw_drawing_keep(rest, &kept, error);
    free(kept.items);
    return status;
}

/* What is left of the spots in the rest at its size, if that helps. A size that the sheet has no
 * room for is no help. */
static nw_status rest_judge(nw_drawing *rest, double factor, const nw_fit *fit, nw_way_less *less,
                            nw_error *error)
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
    less->spots = now.spot_count;
    less->width = rest->width;
    less->height = rest->height;
    if (status != NW_OK || now.unpaired ||
        (double)now.spot_count > (1 - SPOTS_LEAST) * (double)fit->spot_count)
        less->pieces = 0;
    nw_fit_free(&now);
    nw_region_free(&region);
    return status == NW_BAD_REQUEST || status == NW_BAD_INPUT ? NW_OK : status;
}

static nw_status without(const nw_drawing *drawing, const leaving *out, nw_point size,
                         const nw_fit *fit, nw_way_less *less, nw_error *error)
{
    nw_drawing rest = {0};
    nw_status status = going_count(drawing, out, fit, &less->pieces, error);
    if (status == NW_OK && less->pieces)
        status = rest_make(drawing, out, &rest, error);
    if (status == NW_OK && rest.count) {
        double factor = size.x > 0 ? size.x / rest.width : size.y > 0 ? size.y / rest.height : 1;
        status = rest_judge(&rest, factor, fit, less, error);
    } else {
        less->pieces = 0;
    }
    nw_drawing_free(&rest);
    return status;
}

nw_status nw_ways_without(const nw_drawing *drawing, const nw_pieces *pieces, nw_point size,
                          const nw_fit *fit, nw_ways *ways, nw_error *error)
{
    static const nw_piece_guess guesses[] = {NW_PIECE_LETTERING, NW_PIECE_DUST, NW_PIECE_EDGE};
    bool any = !fit->fits && !(size.x > 0 && size.y > 0);
    nw_status status = NW_OK;
    for (size_t k = 0; any && status == NW_OK && k < sizeof guesses / sizeof *guesses; k++)
        status = without(drawing, &(leaving){pieces, guesses[k]}, size, fit,
                         &ways->less[guesses[k]], error);
    return status;
}
