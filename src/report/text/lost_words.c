/*
 * lost: the pieces of the art that are lost as wholes, called by what they were recognised as. A
 * miss on the art's own side is such a piece where its area is the piece's and its place lies in
 * the piece's box.
 */
#include <report/parts.h>

#include <math.h>
#include <stdlib.h>

#define SAME_AREA 1e-3 /* of the piece's as it is flattened alone */
#define LIKE_AREA 0.1  /* of the piece's in its curves: what differs by more is not flattened */

typedef struct {
    size_t all[NW_PIECE_GUESSES], lost[NW_PIECE_GUESSES];
} piece_counts;

/* The area as a fit has it: small letters have more in their curves than in their chords, by a part
 * in a hundred. 0 where there is no memory for it. */
static double chords_area(const nw_path *outer, size_t count)
{
    nw_drawing piece = {.paths = (nw_path *)outer, .count = count}; /* only read */
    nw_region region;
    double area = 0;
    if (nw_drawing_flatten(&piece, NW_FLATNESS_MM, &region, NULL) == NW_OK) {
        area = nw_region_area(&region);
        nw_region_free(&region);
    }
    return area;
}

/* Is the piece, of so many paths, one of the misses? */
static bool is_lost(const nw_fit *fit, const nw_path *outer, size_t count)
{
    nw_side side = fit->options.cut == NW_CUT_OUTSIDE ? NW_NECK : NW_GAP;
    nw_box box = nw_path_box(outer);
    double area = 0, curves = 0;
    for (size_t k = 0; k < count; k++)
        curves += nw_path_area(&outer[k]);
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        if (spot->form != NW_MISS || spot->side != side || !nw_box_holds(box, spot->at) ||
            fabs(spot->area - curves) > LIKE_AREA * fabs(curves))
            continue;
        area = area ? area : chords_area(outer, count);
        if (fabs(spot->area - area) <= SAME_AREA * area)
            return true;
    }
    return false;
}

/* A piece of the picture may have become several outlines: it is lost where all of them are. */
static void outlines_count(const nw_report *report, size_t *outlines, size_t *kept,
                           piece_counts *counts)
{
    const nw_drawing *drawing = report->drawing;
    for (size_t i = 0, length; i < drawing->count; i += length) {
        length = nw_report_piece_length(drawing, i);
        const nw_path *outer = &drawing->paths[i];
        bool known = outer->number && outer->number <= report->pieces->count;
        bool lost = is_lost(report->fit, outer, length);
        if (known) {
            outlines[outer->number - 1]++;
            kept[outer->number - 1] += !lost;
        } else {
            counts->all[NW_PIECE_ART]++;
            counts->lost[NW_PIECE_ART] += lost;
        }
    }
}

static piece_counts pieces_count(const nw_report *report)
{
    piece_counts counts = {{0}, {0}};
    size_t pieces = report->pieces->count;
    size_t *outlines = nw_alloc(2 * pieces, sizeof *outlines), *kept = outlines + pieces;
    if (!outlines)
        return counts; /* they are listed all the same */
    outlines_count(report, outlines, kept, &counts);
    for (size_t k = 0; k < pieces; k++) {
        counts.all[report->pieces->items[k].guess] += outlines[k] > 0;
        counts.lost[report->pieces->items[k].guess] += outlines[k] > 0 && kept[k] == 0;
    }
    free(outlines);
    return counts;
}

static void lettering_write(nw_text *text, size_t lost, size_t all, const char *fate)
{
    if (lost == all)
        nw_text_format(text, "The lettering (%zu piece%s) is %s. ", all, all == 1 ? "" : "s", fate);
    else
        nw_text_format(text, "%zu of the %zu letters %s %s. ", lost, all, lost == 1 ? "is" : "are",
                       fate);
}

void nw_report_lost(nw_text *text, const nw_report *report)
{
    if (!report->pieces || !report->fit->spot_count)
        return;
    piece_counts counts = pieces_count(report);
    const char *fate =
        report->fit->options.cut == NW_CUT_OUTSIDE ? "too thin all over" : "not cut at all";
    if (counts.lost[NW_PIECE_LETTERING]) {
        lettering_write(text, counts.lost[NW_PIECE_LETTERING], counts.all[NW_PIECE_LETTERING],
                        fate);
    }
    if (counts.lost[NW_PIECE_FRAME])
        nw_text_format(text, "The frame is %s. ", fate);
    size_t others = counts.lost[NW_PIECE_ART] + counts.lost[NW_PIECE_SPECK] +
                    counts.lost[NW_PIECE_EDGE] + counts.lost[NW_PIECE_DUST];
    if (others)
        nw_text_format(text, "%zu whole piece%s %s. ", others, others == 1 ? " is" : "s are", fate);
}
