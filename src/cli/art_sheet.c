/* sheet: how much stock the art needs, whether a given sheet is enough, and where the job starts.
 */
#include <cli/art.h>

#define ROUNDING_MM 0.001

/* Beyond the art on every side: the margin, and outside the bit, which runs round the art. */
static double beyond(const cli_request *request)
{
    return request->margin + (request->cut.cut == NW_CUT_OUTSIDE ? request->bit : 0);
}

nw_box sheet_box(const cli_request *request)
{
    double off = beyond(request);
    return (nw_box){{-off, -off}, {request->sheet.width - off, request->sheet.height - off}};
}

nw_point origin_place(const cli_request *request, const nw_drawing *drawing)
{
    nw_box box = nw_drawing_box(drawing);
    return request->origin.kind == ORIGIN_CENTRE
               ? (nw_point){(box.min.x + box.max.x) / 2, (box.min.y + box.max.y) / 2}
               : request->origin.place;
}

/* "86 x 66 mm", or with --inch as all lengths are shown. */
static void add_size(nw_text *line, double width, double height, bool inch)
{
    if (inch) {
        nw_write_length(line, width, true);
        nw_text_add(line, " x ");
        nw_write_length(line, height, true);
        return;
    }
    nw_text_number(line, width, 2);
    nw_text_add(line, " x ");
    nw_text_number(line, height, 2);
    nw_text_add(line, " mm");
}

static void add_need(nw_text *line, const cli_request *request, const nw_held *held)
{
    nw_text_add(line, "stock needed: ");
    add_size(line, held->need_width, held->need_height, request->inch);
    nw_text_add(line,
                request->cut.cut == NW_CUT_OUTSIDE ? ": the art, the bit round it" : ": the art");
    if (request->margin > 0) {
        nw_text_add(line, " and a margin of ");
        nw_write_length(line, request->margin, request->inch);
    } else {
        nw_text_add(line, "; --margin adds room for clamps");
    }
}

/* Where on the sheet the art lies: that decides which strips along its edges stay thin. */
static void add_place(nw_text *line, const cli_request *request)
{
    nw_text_add(line, "; on the sheet the art lies ");
    nw_write_length(line, beyond(request), request->inch);
    nw_text_add(line, " from the left and the lower edge");
}

nw_status hold_stock(const cli_request *request, const nw_drawing *drawing, cli_talk *talk,
                     note_list *notes, cli_hold *hold, nw_error *error)
{
    double off = beyond(request);
    nw_held *held = &hold->held;
    held->need_width = drawing->width + 2 * off;
    held->need_height = drawing->height + 2 * off;
    held->margin = request->margin;
    held->sheet_width = request->sheet.width;
    held->sheet_height = request->sheet.height;
    hold->origin = origin_place(request, drawing);
    held->origin = request->origin.kind == ORIGIN_LEFT_BOTTOM ? NULL : &hold->origin;
    nw_text line = {0};
    add_need(&line, request, held);
    double wide = held->sheet_width + ROUNDING_MM, high = held->sheet_height + ROUNDING_MM;
    if (held->sheet_width > 0 && (held->need_width > wide || held->need_height > high)) {
        if (held->need_width <= high && held->need_height <= wide) {
            nw_text_add(&line, "; it would do turned by a quarter");
        }
        nw_status status =
            nw_fail(error, NW_BAD_REQUEST, "--stock-size: the sheet is too small; %s",
                    line.data ? line.data : "");
        nw_text_free(&line);
        return status;
    }
    if (held->sheet_width > 0) {
        add_place(&line, request);
    }
    return talk_note(talk, notes, &line, error);
}
