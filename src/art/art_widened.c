/*
 * widened: outlines that were widened, perhaps with bridges -> the art that their file will be read
 * as, moved to its own lower left corner, and the account of it: what a check of the file will
 * find.
 */
#include <art/art.h>

static void hold_move(nw_bridged *bridged, nw_point by)
{
    nw_drawing_move(&bridged->strips, by.x, by.y);
    for (size_t i = 0; i < bridged->count; i++) {
        nw_bridge *bridge = &bridged->bridges[i];
        bridge->from = nw_plus(bridge->from, by, 1);
        bridge->to = nw_plus(bridge->to, by, 1);
    }
    for (size_t i = 0; i < bridged->loose; i++) {
        nw_box *box = &bridged->unheld[i].piece.box;
        *box = nw_box_moved(*box, by);
    }
}

static nw_status after_find(nw_widened *widened, const nw_fit_options *fit, const nw_art *now,
                            nw_error *error)
{
    nw_region region;
    nw_fit after;
    nw_fit_options options = *fit;
    options.with_shapes = true;
    nw_status status = nw_drawing_flatten(&now->drawing, NW_FLATNESS_MM, &region, error);
    if (status == NW_OK)
        status = nw_fit_run(&region, &options, &after, error);
    if (status == NW_OK) {
        nw_fit_free(&widened->after);
        widened->after = after;
        nw_region_count_rings(&region, &widened->pieces_after, &widened->holes_after);
    }
    nw_region_free(&region);
    return status;
}

nw_status nw_art_of_widened(nw_widened *widened, nw_bridged *bridged, const nw_fit_options *fit,
                            const nw_art_options *options, nw_art *now, nw_error *error)
{
    *now = (nw_art){0};
    nw_drawing *drawing = &widened->drawing;
    if (!drawing->count)
        return nw_fail(error, NW_BAD_REQUEST, "nothing of the art would be left");
    nw_point corner = nw_drawing_box(drawing).min;
    nw_drawing_settle(drawing);
    widened->corner = nw_plus(widened->corner, corner, 1);
    if (bridged)
        hold_move(bridged, nw_times(corner, -1));
    nw_status status = nw_art_of_drawing(drawing, options, now, error);
    if (status == NW_OK)
        status = after_find(widened, fit, now, error);
    if (status != NW_OK)
        nw_art_free(now);
    return status;
}
