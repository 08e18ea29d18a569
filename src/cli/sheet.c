/* sheet: how much stock the art needs, and whether a given sheet is enough. */
#include "art.h"

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

nw_status sheet_note(const cli_request *request, const nw_drawing *drawing, cli_talk *talk,
                     note_list *notes, nw_error *error)
{
    double off = beyond(request), width = drawing->width + 2 * off,
           height = drawing->height + 2 * off;
    nw_text line = {0};
    nw_text_add(&line, "stock needed: ");
    nw_text_number(&line, width, 2);
    nw_text_add(&line, " x ");
    nw_text_number(&line, height, 2);
    nw_text_add(&line, request->cut.cut == NW_CUT_OUTSIDE ? " mm: the art, the bit round it"
                                                          : " mm: the art");
    if (request->margin > 0) {
        nw_text_add(&line, " and a margin of ");
        nw_text_number(&line, request->margin, 2);
        nw_text_add(&line, " mm");
    }
    bool given = request->sheet.width > 0;
    if (given && (width > request->sheet.width + ROUNDING_MM ||
                  height > request->sheet.height + ROUNDING_MM)) {
        nw_status status =
            nw_fail(error, NW_BAD_REQUEST, "--stock-size: the sheet is too small; %s",
                    line.data ? line.data : "");
        nw_text_free(&line);
        return status;
    }
    if (!given && !(request->margin > 0)) {
        nw_text_free(&line);
        return NW_OK;
    }
    return talk_note(talk, notes, &line, error);
}
