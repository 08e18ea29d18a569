/*
 * drawing_pieces: a drawing's pieces with their boxes, areas and holes, and the drawing without
 * those that are not kept.
 */
#include <pieces/pieces.h>

#include <math.h>
#include <stdlib.h>

#define PAGE_MARGIN 1e-3 /* of the larger side */

static size_t piece_count(const nw_drawing *drawing)
{
    size_t count = 0;
    for (size_t i = 0; i < drawing->count; i++)
        count = drawing->paths[i].piece >= count ? drawing->paths[i].piece + 1 : count;
    return count;
}

/* What one path adds to its piece. */
static void path_count_in(const nw_path *path, nw_piece *piece)
{
    piece->area += nw_path_area(path);
    piece->holes += path->hole;
    nw_box_grow(&piece->box, nw_path_box(path));
}

static nw_box largest_hole(const nw_drawing *drawing, size_t piece)
{
    nw_box largest = {{0, 0}, {0, 0}};
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        nw_box box = path->hole && path->piece == piece ? nw_path_box(path) : largest;
        if (nw_box_width(box) * nw_box_height(box) > nw_box_width(largest) * nw_box_height(largest))
            largest = box;
    }
    return largest;
}

/* The other art lies in a frame's hole; between arms that merely reach round it, it does not. */
static void check_frame(const nw_drawing *drawing, nw_pieces *pieces)
{
    size_t frame = 0;
    while (frame < pieces->count && pieces->items[frame].guess != NW_PIECE_FRAME)
        frame++;
    if (frame == pieces->count)
        return;
    nw_box hole = largest_hole(drawing, frame);
    for (size_t k = 0; k < pieces->count; k++) {
        const nw_piece *other = &pieces->items[k];
        if (other->guess == NW_PIECE_ART && !nw_box_surrounds(hole, other->box))
            pieces->items[frame].guess = NW_PIECE_ART;
    }
}

nw_status nw_drawing_pieces(const nw_drawing *drawing, double speck_area, nw_pieces *pieces,
                            nw_error *error)
{
    *pieces = (nw_pieces){0};
    size_t count = piece_count(drawing);
    nw_piece *items = nw_alloc(count, sizeof *items);
    if (!items)
        return nw_fail_memory(error, "the pieces");
    for (size_t k = 0; k < count; k++)
        items[k] = (nw_piece){.number = k + 1, .box = nw_box_empty(), .kept = true};
    for (size_t i = 0; i < drawing->count; i++)
        if (drawing->paths[i].closed)
            path_count_in(&drawing->paths[i], &items[drawing->paths[i].piece]);
    *pieces = (nw_pieces){.items = items, .count = count};
    /* The page of a drawing has no edge that its pieces could be cut off by. */
    nw_box page = nw_drawing_box(drawing);
    double margin = PAGE_MARGIN * fmax(nw_box_width(page), nw_box_height(page));
    page.min = (nw_point){page.min.x - margin, page.min.y - margin};
    page.max = (nw_point){page.max.x + margin, page.max.y + margin};
    nw_pieces_guess(pieces, page, speck_area);
    check_frame(drawing, pieces);
    return NW_OK;
}

/* For every piece its number among those kept. False when memory runs out. */
static bool places_make(const nw_pieces *pieces, size_t **places)
{
    *places = nw_alloc(pieces->count, sizeof **places);
    size_t next = 0;
    for (size_t k = 0; *places && k < pieces->count; k++) {
        (*places)[k] = next;
        next += pieces->items[k].kept;
    }
    return *places;
}

nw_status nw_drawing_keep(nw_drawing *drawing, const nw_pieces *pieces, nw_error *error)
{
    if (piece_count(drawing) > pieces->count)
        return nw_fail(error, NW_INTERNAL, "the pieces are not those of this drawing");
    size_t *places;
    if (!places_make(pieces, &places))
        return nw_fail_memory(error, "the pieces");
    size_t kept = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        if (!pieces->items[path->piece].kept) {
            nw_path_free(path);
            continue;
        }
        path->piece = places[path->piece];
        nw_path moved = *path;
        *path = (nw_path){0};
        drawing->paths[kept++] = moved;
    }
    drawing->count = kept;
    free(places);
    if (kept)
        nw_drawing_settle(drawing);
    else
        drawing->width = drawing->height = 0;
    return NW_OK;
}
