/* rest: the pieces that were dropped, drawn where they stood beside the kept art. */
#include <cli/art.h>

void pieces_swap(nw_pieces *pieces)
{
    for (size_t i = 0; i < pieces->count; i++) {
        pieces->items[i].kept = !pieces->items[i].kept;
    }
}

static void drawing_move(nw_drawing *drawing, double x, double y)
{
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        path->start.x += x;
        path->start.y += y;
        for (size_t k = 0; k < path->count; k++) {
            nw_step *step = &path->steps[k];
            nw_point *points[] = {&step->a, &step->b, &step->to};
            for (size_t j = 0; j < 3; j++) {
                points[j]->x += x;
                points[j]->y += y;
            }
        }
    }
}

nw_status rest_place(cli_art *art, nw_error *error)
{
    if (!art->rest.count) {
        return NW_OK;
    }
    nw_box kept = pieces_box(&art->pieces, true), rest = pieces_box(&art->pieces, false);
    double up = art->picture ? kept.max.y - rest.max.y : rest.min.y - kept.min.y;
    nw_status status = nw_drawing_place(&art->rest, art->unit_mm, 0, false, error);
    if (status == NW_OK) {
        drawing_move(&art->rest, (rest.min.x - kept.min.x) * art->unit_mm, up * art->unit_mm);
    }
    return status;
}
