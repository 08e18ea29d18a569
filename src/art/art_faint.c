/*
 * art_faint: thin lines of a picture on transparent ground that are paler than half, as lines of
 * less than half a pixel are: no ink, but nothing that whoever drew them would leave out.
 *
 * Their pixels are no darker to either side, and much paler three pixels off; and there is no ink
 * near, beside which any edge is pale. Those that hang together over some way are a line.
 */
#include <art/loading.h>

#include <math.h>

#define FAINT_LEAST 20 /* density: a line of a twelfth of a pixel; less may be anything */
#define INK 128
#define INK_NEAR 2 /* pixels */
#define THIN_PX 3  /* off a line's middle, where there is less than half as much of it */
#define LINE_PX 24 /* along its longer side, at least */
#define LEVEL_LEAST 4

static int density_at(const nw_picture *picture, int64_t x, int64_t y)
{
    bool outside = x < 0 || y < 0 || x >= picture->width || y >= picture->height;
    return outside ? 0 : picture->density[y * picture->width + x];
}

static bool is_thin(const nw_picture *picture, int64_t x, int64_t y, int dx, int dy)
{
    int here = density_at(picture, x, y);
    for (int side = -1; side <= 1; side += 2)
        if (density_at(picture, x + side * dx, y + side * dy) > here ||
            2 * density_at(picture, x + THIN_PX * side * dx, y + THIN_PX * side * dy) >= here)
            return false;
    return true;
}

static bool ink_is_near(const nw_picture *picture, int64_t x, int64_t y)
{
    for (int64_t j = y - INK_NEAR; j <= y + INK_NEAR; j++)
        for (int64_t i = x - INK_NEAR; i <= x + INK_NEAR; i++)
            if (density_at(picture, i, j) >= INK)
                return true;
    return false;
}

/* The pixels of lines, and of what is as thin and pale. */
static void faint_mark(const nw_picture *picture, nw_ink *faint)
{
    for (uint32_t y = 0; y < picture->height; y++) {
        for (uint32_t x = 0; x < picture->width; x++) {
            int density = picture->density[(size_t)y * picture->width + x];
            if (density >= FAINT_LEAST && density < INK &&
                (is_thin(picture, x, y, 1, 0) || is_thin(picture, x, y, 0, 1)) &&
                !ink_is_near(picture, x, y))
                nw_ink_put(faint, x, y);
        }
    }
}

/* Leaves the pieces that are lines; returns how many. */
static size_t lines_keep(nw_pieces *pieces, nw_ink *faint)
{
    size_t count = 0;
    for (size_t i = 0; i < pieces->count; i++) {
        nw_piece *piece = &pieces->items[i];
        piece->kept = fmax(nw_box_width(piece->box), nw_box_height(piece->box)) >= LINE_PX;
        count += piece->kept;
    }
    nw_pieces_clear_dropped(pieces, faint, NULL);
    return count;
}

/* The level that takes all of these pixels. */
static int level_of(const nw_picture *picture, const nw_ink *faint)
{
    int least = INK;
    for (uint32_t y = 0; y < picture->height; y++) {
        for (uint32_t x = 0; x < picture->width; x++) {
            int density = picture->density[(size_t)y * picture->width + x];
            least = density < least && nw_ink_has(faint, x, y) ? density : least;
        }
    }
    return (int)floor(least * (picture->level + 0.5) / (INK - 0.5)) - 1;
}

nw_status nw_art_note_faint(nw_loading *loading, const nw_picture *picture)
{
    if (picture->ink != NW_INK_ALPHA)
        return NW_OK;
    size_t stride = ((size_t)picture->width + 63) / 64;
    nw_ink faint = {picture->width, picture->height, stride,
                    nw_alloc(stride * picture->height, sizeof *faint.words)};
    if (!faint.words)
        return nw_fail_memory(loading->error, "the picture's thin lines");
    faint_mark(picture, &faint);
    nw_pieces pieces;
    nw_status status = nw_pieces_find(&faint, 0, &pieces, loading->error);
    if (status == NW_OK) {
        nw_note note = {.code = NW_NOTE_FAINT, .count = lines_keep(&pieces, &faint)};
        note.number = (size_t)fmax(0, note.count ? level_of(picture, &faint) : 0);
        note.count = note.number >= LEVEL_LEAST ? note.count : 0;
        status = nw_art_note_count(loading, note);
    }
    nw_pieces_free(&pieces);
    nw_ink_free(&faint);
    return status;
}
