/*
 * piece_guess: boxes, areas and holes of pieces -> what each probably is. Nothing is decided here:
 * a guess lets the user drop what he does not want by one word.
 *
 * The measures are rules of thumb, from looking at clip art and scans.
 */
#include <pieces/lettering.h>

#include <math.h>

/* A frame spans the page and is no thicker than this part of its shorter side; what goes all round
 * the page, such as a table under the sheet, may be thicker. */
#define FRAME_SPAN 0.7
#define FRAME_THICK 0.08
#define TABLE_THICK 0.15
#define FRAMED_LEAST 0.05 /* of its own area: a crumb within a ring makes it no frame */
/* A shadow at the edge: that long along one side, no thicker than that part of the other. */
#define SHADOW_LONG 0.6
#define SHADOW_THICK 0.15

/* The thickness of a rectangular ring with this box and area: 2 t (w + h) - 4 t² = area. */
static double ring_thickness(nw_box box, double area)
{
    double half = (nw_box_width(box) + nw_box_height(box)) / 2;
    double root = half * half - area;
    return root > 0 ? (half - sqrt(root)) / 2 : half / 2;
}

static void guess_specks(nw_pieces *pieces, double speck_area)
{
    for (size_t k = 0; k < pieces->count; k++) {
        bool speck = pieces->items[k].area < speck_area;
        pieces->items[k].guess = speck ? NW_PIECE_SPECK : NW_PIECE_ART;
    }
}

static double frame_thickest(nw_box box, nw_box page)
{
    return nw_box_surrounds(box, page) ? TABLE_THICK : FRAME_THICK;
}

static bool is_frame(const nw_pieces *pieces, const nw_piece *piece, nw_box page)
{
    double w = nw_box_width(piece->box), h = nw_box_height(piece->box);
    if (piece->holes == 0 || w < FRAME_SPAN * nw_box_width(page) ||
        h < FRAME_SPAN * nw_box_height(page) ||
        ring_thickness(piece->box, piece->area) > frame_thickest(piece->box, page) * fmin(w, h))
        return false;
    double within = 0;
    for (size_t k = 0; k < pieces->count; k++) {
        const nw_piece *other = &pieces->items[k];
        if (other == piece || other->guess != NW_PIECE_ART)
            continue;
        if (!nw_box_surrounds(piece->box, other->box))
            return false;
        within += other->area;
    }
    return within > FRAMED_LEAST * piece->area;
}

static bool touches(nw_box box, nw_box page)
{
    return box.min.x <= page.min.x || box.min.y <= page.min.y || box.max.x >= page.max.x ||
           box.max.y >= page.max.y;
}

/* Long and thin along a side of the page. */
static bool is_shadow(nw_box box, nw_box page)
{
    double w = nw_box_width(box) / nw_box_width(page), h = nw_box_height(box) / nw_box_height(page);
    bool upright = box.min.x <= page.min.x || box.max.x >= page.max.x;
    bool lying = box.min.y <= page.min.y || box.max.y >= page.max.y;
    return (upright && h >= SHADOW_LONG && w <= SHADOW_THICK) ||
           (lying && w >= SHADOW_LONG && h <= SHADOW_THICK);
}

/* What touches the page's edge is a shadow, or cut off. In a picture cut close it is the art: then
 * only long thin strips are guessed to be something else. */
static void guess_edges(nw_pieces *pieces, nw_box page)
{
    double total = 0, cut = 0;
    for (size_t k = 0; k < pieces->count; k++) {
        const nw_piece *piece = &pieces->items[k];
        double area = piece->guess == NW_PIECE_ART ? piece->area : 0;
        total += area;
        cut += touches(piece->box, page) && !is_shadow(piece->box, page) ? area : 0;
    }
    for (size_t k = 0; k < pieces->count; k++) {
        nw_piece *piece = &pieces->items[k];
        if (piece->guess == NW_PIECE_ART && touches(piece->box, page) &&
            (cut < total / 2 || is_shadow(piece->box, page)) && piece->area < total)
            piece->guess = NW_PIECE_EDGE;
    }
}

void nw_pieces_guess(nw_pieces *pieces, nw_box page, double speck_area)
{
    guess_specks(pieces, speck_area);
    for (size_t k = 0; k < pieces->count; k++) {
        if (pieces->items[k].guess == NW_PIECE_ART && is_frame(pieces, &pieces->items[k], page)) {
            pieces->items[k].guess = NW_PIECE_FRAME;
            break; /* all others lie within it */
        }
    }
    guess_edges(pieces, page);
    nw_lettering_guess(pieces);
}

void nw_pieces_guess_table(nw_pieces *pieces, nw_box page)
{
    for (size_t k = 0; k < pieces->count; k++) {
        nw_piece *piece = &pieces->items[k];
        if (piece->guess != NW_PIECE_SPECK && touches(piece->box, page))
            piece->guess = nw_box_surrounds(piece->box, page) ? NW_PIECE_FRAME : NW_PIECE_EDGE;
    }
}
