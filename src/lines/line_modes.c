/* line_modes: art that was drawn as lines -> its outer edges, its inner edges, or its middles. */
#include <lines/line_pieces.h>
#include <lines/lines.h>

static void describe(const nw_line_widths *l, const nw_drawing *drawing, nw_line_notes *notes)
{
    double area = 0, half_perimeter = 0;
    *notes = (nw_line_notes){0};
    for (size_t p = 0; p < l->piece_count; p++) {
        if (l->pieces[p].is_line) {
            notes->pieces++;
            notes->open += !l->pieces[p].encloses;
            area += l->pieces[p].area;
            half_perimeter += l->pieces[p].perimeter / 2;
        }
    }
    for (size_t i = 0; i < drawing->count && l->piece_count; i++) {
        const nw_path *path = &drawing->paths[i];
        notes->others += path->closed && !path->hole && !l->pieces[path->piece].is_line;
    }
    notes->width = half_perimeter > 0 ? area / half_perimeter : 0;
}

/* Outer outlines of shapes. */
static size_t shapes_count(const nw_drawing *drawing)
{
    size_t count = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        count += path->closed && !path->hole && !path->line;
    }
    return count;
}

nw_status nw_drawing_lines(nw_drawing *drawing, nw_lines mode, nw_line_notes *notes,
                           nw_error *error)
{
    nw_line_widths l;
    nw_line_notes found = {0};
    nw_status status = nw_line_widths_find(drawing, mode != NW_LINES_AS_DRAWN, &l, error);
    if (status == NW_OK)
        describe(&l, drawing, &found);
    if (status == NW_OK && found.pieces && mode != NW_LINES_AS_DRAWN) {
        status = mode == NW_LINES_MIDDLE
                     ? nw_line_middles(drawing, &l, error)
                     : nw_line_edges(drawing, &l, mode == NW_LINES_OUTER, error);
        found.wide =
            mode == NW_LINES_MIDDLE && status == NW_OK ? shapes_count(drawing) - found.others : 0;
        nw_drawing_settle(drawing);
    }
    if (notes)
        *notes = found;
    nw_line_widths_free(&l);
    return status;
}
