/* sheet: how much stock the art needs, whether a given sheet is enough, and where the job starts.
 */
#include <cli/load.h>

nw_point origin_place(const cli_request *request, const nw_drawing *drawing)
{
    nw_box box = nw_drawing_box(drawing);
    return request->origin.kind == ORIGIN_CENTRE
               ? (nw_point){(box.min.x + box.max.x) / 2, (box.min.y + box.max.y) / 2}
               : request->origin.place;
}

/* In so many digits that a sheet of that size holds the art. */
static void add_need(nw_text *line, const cli_request *request, const nw_held *held)
{
    nw_text_add(line, "stock needed: ");
    nw_write_sheet_least(line, held->need_width - NW_SHEET_SLACK_MM,
                         held->need_height - NW_SHEET_SLACK_MM, request->inch);
    nw_text_add(line,
                request->job.cut == NW_CUT_OUTSIDE ? ": the art, the bit round it" : ": the art");
    if (request->job.margin > 0) {
        nw_text_add(line, " and a margin of ");
        nw_write_length(line, request->job.margin, request->inch);
    } else {
        nw_text_add(line, "; --margin adds room for clamps");
    }
}

/* Where on the sheet the art lies: that decides which strips along its edges stay thin. */
static void add_place(nw_text *line, const cli_request *request)
{
    nw_text_add(line, "; on the sheet the art lies ");
    nw_write_length(line, nw_job_beyond(&request->job), request->inch);
    nw_text_add(line, " from the left and the lower edge");
}

/* Keeps what the drawing needs, and says it with what is to be said of the sheet; false where that
 * is smaller. */
static bool stock_tell(const cli_request *request, const nw_drawing *drawing, cli_hold *hold,
                       nw_text *line)
{
    const nw_job *job = &request->job;
    nw_held *held = &hold->held;
    nw_point need = nw_job_need(job, drawing);
    held->need_width = need.x;
    held->need_height = need.y;
    held->margin = job->margin;
    held->sheet_width = job->sheet_width;
    held->sheet_height = job->sheet_height;
    hold->origin = origin_place(request, drawing);
    held->origin = request->origin.kind == ORIGIN_LEFT_BOTTOM ? NULL : &hold->origin;
    add_need(line, request, held);
    if (!(held->sheet_width > 0))
        return true;
    if (nw_job_sheet_holds(job, need)) {
        add_place(line, request);
        return true;
    }
    if (nw_job_sheet_holds(job, (nw_point){need.y, need.x}))
        nw_text_add(line, "; it would do turned by a quarter");
    return false;
}

nw_status hold_stock(const cli_request *request, const nw_drawing *drawing, cli_talk *talk,
                     cli_hold *hold, nw_error *error)
{
    nw_text line = {0};
    if (stock_tell(request, drawing, hold, &line))
        return talk_note(talk, NW_WEIGHT_USUAL, &line, error);
    nw_status status = nw_fail(error, NW_BAD_REQUEST, "--stock-size: the sheet is too small; %s",
                               nw_text_string(&line));
    nw_text_free(&line);
    return status;
}

nw_status hold_stock_grown(const cli_request *request, const nw_drawing *drawing, cli_talk *talk,
                           cli_hold *hold, bool *holds, nw_error *error)
{
    nw_text line = {0}, all = {0};
    *holds = stock_tell(request, drawing, hold, &line);
    if (*holds)
        return talk_note(talk, NW_WEIGHT_USUAL, &line, error);
    nw_text_add(&all, "--stock-size: the sheet is too small for the new outlines; ");
    nw_text_take(&all, &line, 0);
    return talk_note(talk, NW_WEIGHT_HIGH, &all, error);
}
