/*
 * sheet_list: the list of spots under the marked drawing, worst first, with what to do about each.
 */
#include <report/sheet/sheet.h>

#include <math.h>

#define LIST_ROW 4.4 /* in units of the pen */
#define ROWS_LEAST 3 /* of a list that has no room */
#define BELOW 20     /* the words under it */

/* Columns of the list: where each begins or, for figures, ends. */
#define AT_NUMBER 6
#define AT_KIND 10.5
#define AT_SIZE 44.5
#define AT_WIDEN 59
#define AT_PLACE 80
#define AT_OUTCOME 47 /* in place of the last two, where places were widened */

static void add_size(nw_text *text, const nw_spot *spot, bool inch)
{
    if (spot->form == NW_PINCH) {
        nw_report_length_short(text, spot->width, inch);
        nw_text_add(text, " wide");
    } else if (spot->form == NW_STUB) {
        nw_report_length_short(text, spot->depth, inch);
        nw_text_add(text, " deep");
    } else {
        nw_text_add(text, "all lost");
    }
}

static void list_cell(report_sheet *sheet, nw_point row, double column, report_anchor anchor,
                      bool bold, nw_text *text)
{
    nw_point at = {row.x + column * sheet->pen.unit, row.y};
    nw_report_pen_words(&sheet->pen, at, nw_report_small(&sheet->pen, anchor, bold), text);
}

/* How wide a column of the list is, in units of the pen: wider where an outcome takes long words.
 */
static double list_column(const report_sheet *sheet)
{
    double widest = AT_PLACE + 1;
    for (size_t i = 0; i < sheet->balloon_count && sheet->change; i++) {
        nw_text words = {0};
        nw_report_outcome(&words, sheet->change, i);
        double wide =
            nw_report_text_width(nw_text_string(&words), words.length, REPORT_SMALL, i == 0);
        widest = fmax(widest, AT_OUTCOME + wide);
        sheet->pen.out->failed = sheet->pen.out->failed || words.failed;
        nw_text_free(&words);
    }
    return widest + REPORT_COLUMN - (AT_PLACE + 1);
}

static void draw_list_row(report_sheet *sheet, nw_point row, double right, size_t index)
{
    const nw_spot *spot = &sheet->report->fit->spots[index];
    double unit = sheet->pen.unit;
    bool worst = index == 0, inch = sheet->report->inch;
    nw_text cell = {0};
    if (worst) {
        nw_box box = {{row.x, row.y - 3.1 * unit}, {right, row.y + unit}};
        nw_report_pen_box(&sheet->pen, box, INK_GREY, INK_BLACK, 0.25 * unit);
    }
    nw_text_format(&cell, "%zu", index + 1);
    list_cell(sheet, row, AT_NUMBER, REPORT_END, true, &cell);
    nw_report_balloon_shape(&sheet->pen, spot->side,
                            (nw_point){row.x + 8.3 * unit, row.y - 0.36 * REPORT_SMALL * unit},
                            1.1 * unit, false);
    nw_text_format(&cell, "%s %s", nw_side_name(spot->side), nw_form_name(spot->form));
    list_cell(sheet, row, AT_KIND, REPORT_START, worst, &cell);
    add_size(&cell, spot, inch);
    list_cell(sheet, row, AT_SIZE, REPORT_END, worst, &cell);
    if (sheet->change) {
        nw_report_outcome(&cell, sheet->change, index);
        list_cell(sheet, row, AT_OUTCOME, REPORT_START, worst, &cell);
        return;
    }
    if (nw_report_left(sheet->report, index)) {
        nw_text_add(&cell, "left");
    } else if (spot->widen >= 0) {
        nw_text_add(&cell, "+");
        nw_report_widen_short(&cell, spot->widen, inch);
        nw_text_add(&cell, nw_report_too_close(sheet->report, spot) ? " ?" : "");
    }
    list_cell(sheet, row, AT_WIDEN, REPORT_END, worst, &cell);
    nw_write_place(&cell, spot->at, inch);
    list_cell(sheet, row, AT_PLACE, REPORT_END, worst, &cell);
}

static void draw_list_head(report_sheet *sheet, nw_point row, double right)
{
    static const char *const names[] = {"no.", "what", "size", "widen by", "at x, y"};
    static const double columns[] = {AT_NUMBER, AT_KIND, AT_SIZE, AT_WIDEN, AT_PLACE};
    double unit = sheet->pen.unit;
    for (int i = 0; i < (sheet->change ? 3 : 5); i++) {
        nw_report_pen_text(&sheet->pen, (nw_point){row.x + columns[i] * unit, row.y},
                           nw_report_small(&sheet->pen, i == 1 ? REPORT_START : REPORT_END, false),
                           names[i]);
    }
    if (sheet->change) {
        nw_report_pen_text(&sheet->pen, (nw_point){row.x + AT_OUTCOME * unit, row.y},
                           nw_report_small(&sheet->pen, REPORT_START, false), "what became of it");
    }
    nw_report_pen_line(&sheet->pen, (nw_point){row.x, row.y + 1.1 * unit},
                       (nw_point){right, row.y + 1.1 * unit}, 0.25 * unit, INK_BLACK);
}

static double draw_list_tail(report_sheet *sheet, double y)
{
    size_t all = sheet->report->fit->spot_count, left = all - sheet->listed;
    nw_text tail = {0};
    if (left) {
        nw_text_format(&tail, "and %zu more in %s. ", left,
                       sheet->change ? "spots-before.csv" : sheet->more);
    }
    nw_text_format(&tail, "Lengths in %s", sheet->report->inch ? "inches" : "millimetres");
    nw_text_add(&tail, sheet->change ? ", as they were before."
                                     : "; x, y from the art's lower left corner.");
    if (!sheet->change && nw_report_close_count(sheet->report))
        nw_text_add(&tail, " ?: too close to tell in this picture.");
    return nw_report_sheet_words(sheet, y, REPORT_SMALL, left > 0, &tail) + 2 * sheet->pen.unit;
}

double nw_report_list_draw(report_sheet *sheet, double top, size_t end)
{
    double unit = sheet->pen.unit, row = LIST_ROW * unit, head = top + REPORT_SMALL * unit;
    size_t first = sheet->listed, count = end - first;
    if (!count)
        return top;
    double column = list_column(sheet) * unit, between = (REPORT_COLUMN - AT_PLACE - 1) * unit;
    size_t columns = (size_t)fmax(1, floor((sheet->width + 3 * unit) / column));
    size_t room = (size_t)fmax(ROWS_LEAST, floor((sheet->most - head - BELOW * unit) / row));
    size_t rows = (count + columns - 1) / columns;
    rows = rows < room ? rows : room;
    count = count < rows * columns ? count : rows * columns;
    for (size_t i = 0; i < count; i++) {
        nw_point at = {sheet->left + (double)(i / rows) * column,
                       head + (double)(i % rows + 1) * row + 0.6 * unit};
        if (i % rows == 0)
            draw_list_head(sheet, (nw_point){at.x, head}, at.x + column - between);
        draw_list_row(sheet, at, at.x + column - between, first + i);
    }
    sheet->listed += count;
    return draw_list_tail(sheet, head + (double)rows * row + 2 * unit);
}
