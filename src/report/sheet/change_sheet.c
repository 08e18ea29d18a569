/*
 * widened: the drawing of a widening: old and new outlines on top of one another, what was added
 * and removed filled in two colours, the spots as they were with what became of each.
 */
#include <report/sheet/sheet.h>

#define OLD_DASH 1.2 /* in units of the pen */

static void dash(report_pen *pen)
{
    nw_report_pen_dashes(pen, OLD_DASH * pen->unit, 0.6 * OLD_DASH * pen->unit);
}

void nw_report_old_line(report_pen *pen, nw_point a, nw_point b)
{
    dash(pen);
    nw_report_pen_line(pen, a, b, 0.18 * pen->unit, INK_BLACK);
    nw_report_pen_end(pen);
}

void nw_report_change_draw(report_sheet *sheet)
{
    const nw_change_report *change = sheet->change;
    const nw_drawing *now = &change->widened->drawing;
    bool outside = sheet->report->fit->options.cut == NW_CUT_OUTSIDE;
    double unit = sheet->pen.unit;
    nw_report_pen_group(&sheet->pen, "art", 0);
    nw_report_paths_draw(sheet, now, outside ? INK_GREY : TINT_SKY, NULL, 0);
    nw_report_paths_draw(sheet, change->added, INK_GREEN, NULL, 0);
    nw_report_paths_draw(sheet, change->removed, INK_PURPLE, NULL, 0);
    dash(&sheet->pen);
    nw_report_paths_draw(sheet, change->before, NULL, INK_BLACK, 0.18 * unit);
    nw_report_pen_end(&sheet->pen);
    nw_report_paths_draw(sheet, now, NULL, INK_BLACK, 0.25 * unit);
    nw_report_tabs_draw(sheet);
    nw_report_pen_end(&sheet->pen);
}

void nw_report_change_box(const report_sheet *sheet, nw_box *box)
{
    const nw_layer layers[] = {{"before", sheet->change->before, NULL, true},
                               {"now", &sheet->change->widened->drawing, NULL, true}};
    nw_report_layers_box(layers, 2, box);
}

nw_status nw_write_widened(const nw_change_report *change, nw_text *svg, nw_error *error)
{
    nw_report before = nw_report_of_change(change, false);
    *svg = (nw_text){0};
    nw_status status = nw_report_change_check(change, error);
    return status == NW_OK ? nw_report_sheet_write(&before, change, svg, error) : status;
}
