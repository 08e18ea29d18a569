/*
 * change_sheet: the art on the drawing of a widening: old and new outlines on top of one another,
 * what was added and removed filled in two colours.
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

/* The sheet has the places of the spots before; what is drawn now has its own. */
static report_frame place_now(const report_sheet *sheet)
{
    nw_point corner = sheet->change->widened->corner;
    report_frame place = sheet->place;
    place.left -= corner.x;
    place.top -= corner.y;
    return place;
}

void nw_report_change_draw(report_sheet *sheet)
{
    const nw_change_report *change = sheet->change;
    report_frame place = sheet->place;
    const nw_drawing *now = &change->widened->drawing;
    bool outside = sheet->report->fit->options.cut == NW_CUT_OUTSIDE;
    double unit = sheet->pen.unit;
    nw_report_pen_group(&sheet->pen, "art", 0);
    nw_report_pen_drawing(&sheet->pen, now, place_now(sheet), outside ? INK_GREY : TINT_SKY, NULL,
                          0);
    nw_report_pen_drawing(&sheet->pen, change->added, sheet->place, INK_GREEN, NULL, 0);
    nw_report_pen_drawing(&sheet->pen, change->removed, sheet->place, INK_PURPLE, NULL, 0);
    dash(&sheet->pen);
    nw_report_pen_drawing(&sheet->pen, change->before, sheet->place, NULL, INK_BLACK, 0.18 * unit);
    nw_report_pen_end(&sheet->pen);
    sheet->place = place_now(sheet);
    nw_report_pen_drawing(&sheet->pen, now, sheet->place, NULL, INK_BLACK, 0.25 * unit);
    nw_report_tabs_draw(sheet);
    sheet->place = place;
    nw_report_pen_end(&sheet->pen);
}

void nw_report_change_box(const report_sheet *sheet, nw_box *box)
{
    const nw_layer layers[] = {{"before", sheet->change->before, NULL, true}};
    nw_point corner = sheet->change->widened->corner;
    nw_report_layers_box(layers, 1, box);
    nw_box_grow(box, nw_box_moved(nw_drawing_box(&sheet->change->widened->drawing), corner));
}
