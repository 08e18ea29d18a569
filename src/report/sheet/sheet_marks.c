/* sheet_marks: marks that stand for no outline: tabs, lifts, the origin, the edges of the stock. */
#include <report/sheet/sheet.h>

#include <math.h>

#define LIFT 1.4 /* from the middle to a corner, in units of the pen */

void nw_report_lift_draw(report_pen *pen, nw_point at)
{
    double s = LIFT * pen->unit;
    const nw_point corners[] = {
        {at.x, at.y - s}, {at.x + 0.87 * s, at.y + 0.5 * s}, {at.x - 0.87 * s, at.y + 0.5 * s}};
    nw_report_pen_polygon(pen, corners, 3, INK_PURPLE, INK_BLACK, 0.2 * pen->unit);
}

/* Green is what was added to the art, where anything may have been. */
const char *nw_report_tab_ink(const report_sheet *sheet)
{
    return sheet->change ? INK_ORANGE : INK_GREEN;
}

const nw_tabs *nw_report_tabs_of(const report_sheet *sheet)
{
    static const nw_tabs none;
    const nw_held *held = sheet->report->held;
    return held && held->tabs ? held->tabs : &none;
}

const nw_point *nw_report_origin_of(const report_sheet *sheet)
{
    return sheet->report->held ? sheet->report->held->origin : NULL;
}

/* A circle with a cross through it. */
void nw_report_origin_draw(report_pen *pen, nw_point at)
{
    double reach = 2.2 * pen->unit, width = 0.25 * pen->unit;
    nw_report_pen_circle(pen, at, 0.6 * reach, NULL, INK_BLACK, width, false);
    nw_report_pen_cross(pen, at, reach, width);
}

/* Across the cut, on the sheet. */
static void tab_line(const report_sheet *sheet, size_t index, nw_point ends[2])
{
    const nw_tab *tab = &nw_report_tabs_of(sheet)->tabs[index];
    nw_point far = nw_plus(tab->at, tab->out, sheet->report->fit->options.bit);
    ends[0] = nw_report_placed(tab->at, &sheet->place);
    ends[1] = nw_report_placed(far, &sheet->place);
}

/* Blocks across the cut, as wide as the tabs. */
void nw_report_tabs_draw(report_sheet *sheet)
{
    const nw_tabs *tabs = nw_report_tabs_of(sheet);
    double width = tabs->width * sheet->place.scale;
    for (size_t i = 0; i < tabs->count; i++) {
        nw_point ends[2];
        tab_line(sheet, i, ends);
        nw_report_pen_line(&sheet->pen, ends[0], ends[1], width, nw_report_tab_ink(sheet));
    }
}

void nw_report_marks_ground(report_sheet *sheet)
{
    const nw_fit *fit = sheet->report->fit;
    const nw_tabs *tabs = nw_report_tabs_of(sheet);
    double half = tabs->width * sheet->place.scale / 2;
    for (size_t i = 0; i < tabs->count; i++) {
        nw_point ends[2];
        tab_line(sheet, i, ends);
        nw_point aside = nw_left(nw_unit(ends[0], ends[1]));
        for (double off = -half; off < half + sheet->ground.cell; off += sheet->ground.cell / 2)
            nw_report_ground_line(&sheet->ground, nw_plus(ends[0], aside, off),
                                  nw_plus(ends[1], aside, off), GROUND_SHY);
    }
    for (size_t i = 0; i < fit->lift_count && i < REPORT_LIFTS_MOST; i++)
        nw_report_ground_disc(&sheet->ground, nw_report_placed(fit->lifts[i].at, &sheet->place),
                              LIFT * sheet->pen.unit, GROUND_SHY);
}

/* Which edges are so near to the art that a neck may lie between the two: left, lower, right and
 * upper; whether any is. */
static bool edges_find(const report_sheet *sheet, bool found[4])
{
    const nw_fit_options *options = &sheet->report->fit->options;
    nw_box art = nw_drawing_box(sheet->report->drawing), stock = options->stock;
    const double off[] = {art.min.x - stock.min.x, art.min.y - stock.min.y, stock.max.x - art.max.x,
                          stock.max.y - art.max.y};
    bool any = false;
    for (int i = 0; i < 4; i++) {
        found[i] = options->has_stock && options->cut != NW_CUT_OUTSIDE && off[i] < options->neck;
        any = any || found[i];
    }
    return any;
}

bool nw_report_edges_near(const report_sheet *sheet)
{
    return edges_find(sheet, (bool[4]){false});
}

void nw_report_edge_draw(report_pen *pen, nw_point a, nw_point b)
{
    nw_report_pen_line(pen, a, b, 0.5 * pen->unit, INK_BLUE);
}

void nw_report_edges_draw(report_sheet *sheet)
{
    const nw_fit *fit = sheet->report->fit;
    nw_box art = nw_drawing_box(sheet->report->drawing), stock = fit->options.stock;
    double neck = fit->options.neck;
    bool found[4];
    edges_find(sheet, found);
    nw_point min = {fmax(art.min.x - neck, stock.min.x), fmax(art.min.y - neck, stock.min.y)};
    nw_point max = {fmin(art.max.x + neck, stock.max.x), fmin(art.max.y + neck, stock.max.y)};
    const nw_point ends[][2] = {
        {min, {min.x, max.y}}, {min, {max.x, min.y}}, {{max.x, min.y}, max}, {{min.x, max.y}, max}};
    for (int i = 0; i < 4; i++) {
        if (found[i]) {
            nw_report_edge_draw(&sheet->pen, nw_report_placed(ends[i][0], &sheet->place),
                                nw_report_placed(ends[i][1], &sheet->place));
        }
    }
}
