/*
 * drawing_pieces: a drawing's pieces with their boxes, areas and holes, and the drawing without
 * those that are not kept.
 */
#include <pieces/pieces.h>

#include <math.h>
#include <stdlib.h>

#define PAGE_MARGIN 1e-3    /* of the larger side */
#define FRAME_FLATNESS 1e-4 /* of its larger side: finer than any bay that counts */
#define FRAME_CONVEX 0.95   /* of its hull's area a frame's outline goes round */

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

/* The piece's largest outer outline, or its largest hole; NULL if it has none. */
static nw_path *largest_path(const nw_drawing *drawing, size_t piece, bool hole)
{
    nw_path *largest = NULL;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        if (path->closed && path->hole == hole && path->piece == piece &&
            (!largest || fabs(nw_path_area(path)) > fabs(nw_path_area(largest))))
            largest = path;
    }
    return largest;
}

static nw_status path_region(nw_path *path, double flatness, nw_region *region, nw_error *error)
{
    nw_drawing alone = {.paths = path, .count = 1};
    return nw_drawing_flatten(&alone, flatness, region, error);
}

/* Bulges nowhere inwards by much, as a rectangle, an oval or a triangle does not; a coast does. */
static nw_status is_convex(nw_path *path, double flatness, bool *convex, nw_error *error)
{
    nw_region outline, whole = {0};
    nw_status status = path_region(path, flatness, &outline, error);
    size_t starts[2] = {0};
    if (status == NW_OK) {
        whole = (nw_region){.starts = starts, .count = 1};
        whole.points = nw_hull_make(outline.points, nw_region_size(&outline), &starts[1]);
        if (!whole.points)
            status = nw_fail_memory(error, "a frame's outline");
        else
            *convex = nw_region_area(&outline) >= FRAME_CONVEX * nw_region_area(&whole);
    }
    free(whole.points);
    nw_region_free(&outline);
    return status;
}

/* True if all other art lies within the hole. */
static nw_status goes_round(nw_path *hole, double flatness, const nw_pieces *pieces, bool *round,
                            nw_error *error)
{
    nw_region inner;
    nw_status status = path_region(hole, flatness, &inner, error);
    nw_box box = nw_path_box(hole);
    *round = status == NW_OK && inner.count;
    for (size_t k = 0; *round && k < pieces->count; k++) {
        const nw_piece *other = &pieces->items[k];
        *round = other->guess != NW_PIECE_ART ||
                 (nw_box_surrounds(box, other->box) &&
                  nw_ring_contains(&inner, 0, nw_middle(other->box.min, other->box.max)));
    }
    nw_region_free(&inner);
    return status;
}

/* A frame encloses: the other art lies in its hole, not between arms or bays that merely reach
 * round it. And its own outline is convex: one with bays is that of a thing, drawn as a line. */
static nw_status check_frame(const nw_drawing *drawing, nw_pieces *pieces, nw_error *error)
{
    size_t frame = 0;
    while (frame < pieces->count && pieces->items[frame].guess != NW_PIECE_FRAME)
        frame++;
    if (frame == pieces->count)
        return NW_OK;
    nw_path *outer = largest_path(drawing, frame, false),
            *hole = largest_path(drawing, frame, true);
    nw_box box = pieces->items[frame].box;
    double flatness = FRAME_FLATNESS * fmax(nw_box_width(box), nw_box_height(box));
    bool convex = false, round = false;
    nw_status status = NW_OK;
    if (outer && hole)
        status = is_convex(outer, flatness, &convex, error);
    if (convex)
        status = goes_round(hole, flatness, pieces, &round, error);
    if (!round)
        pieces->items[frame].guess = NW_PIECE_ART;
    return status;
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
    nw_status status = check_frame(drawing, pieces, error);
    if (status != NW_OK)
        nw_pieces_free(pieces);
    return status;
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
