/* sheet_marks: marks that stand for no outline: tabs, lifts, the origin, the edges of the stock. */
#include <report/sheet/sheet.h>

#include <math.h>

void nw_report_lift_draw(report_pen *pen, nw_point at)
{
    double s = 1.4 * pen->unit;
    const nw_point corners[] = {
        {at.x, at.y - s}, {at.x + 0.87 * s, at.y + 0.5 * s}, {at.x - 0.87 * s, at.y + 0.5 * s}};
    nw_report_pen_polygon(pen, corners, 3, INK_PURPLE, INK_BLACK, 0.2 * pen->unit);
}

/* Green is what was added to the art, where anything may have been. */
const char *nw_report_tab_ink(const report_sheet *sheet)
{
    return sheet->change ? INK_ORANGE : INK_GREEN;
}

/* A block across the cut, as wide as the tab. */
static void tab_draw(report_sheet *sheet, const nw_tab *tab)
{
    double bit = sheet->report->fit->options.bit;
    nw_point far = {tab->at.x + bit * tab->out.x, tab->at.y + bit * tab->out.y};
    nw_report_pen_line(
        &sheet->pen, nw_report_placed(tab->at, &sheet->place), nw_report_placed(far, &sheet->place),
        nw_report_tabs_of(sheet)->width * sheet->place.scale, nw_report_tab_ink(sheet));
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

void nw_report_tabs_draw(report_sheet *sheet)
{
    const nw_tabs *tabs = nw_report_tabs_of(sheet);
    for (size_t i = 0; i < tabs->count; i++) {
        tab_draw(sheet, &tabs->tabs[i]);
    }
}

/* Is the edge so near to the art that a neck may lie between the two? */
static bool is_near(const nw_fit *fit, double off)
{
    return fit->options.has_stock && fit->options.cut != NW_CUT_OUTSIDE && off < fit->options.neck;
}

bool nw_report_edges_near(const report_sheet *sheet)
{
    const nw_fit *fit = sheet->report->fit;
    nw_box art = nw_drawing_box(sheet->report->drawing), stock = fit->options.stock;
    return is_near(fit, art.min.x - stock.min.x) || is_near(fit, art.min.y - stock.min.y) ||
           is_near(fit, stock.max.x - art.max.x) || is_near(fit, stock.max.y - art.max.y);
}

void nw_report_edge_draw(report_pen *pen, nw_point a, nw_point b)
{
    nw_report_pen_line(pen, a, b, 0.5 * pen->unit, INK_BLUE);
}

static void edge_draw(report_sheet *sheet, nw_point a, nw_point b)
{
    nw_report_edge_draw(&sheet->pen, nw_report_placed(a, &sheet->place),
                        nw_report_placed(b, &sheet->place));
}

void nw_report_edges_draw(report_sheet *sheet)
{
    const nw_fit *fit = sheet->report->fit;
    nw_box art = nw_drawing_box(sheet->report->drawing), stock = fit->options.stock;
    double neck = fit->options.neck;
    nw_point min = {fmax(art.min.x - neck, stock.min.x), fmax(art.min.y - neck, stock.min.y)};
    nw_point max = {fmin(art.max.x + neck, stock.max.x), fmin(art.max.y + neck, stock.max.y)};
    if (is_near(fit, art.min.x - stock.min.x)) {
        edge_draw(sheet, min, (nw_point){min.x, max.y});
    }
    if (is_near(fit, art.min.y - stock.min.y)) {
        edge_draw(sheet, min, (nw_point){max.x, min.y});
    }
    if (is_near(fit, stock.max.x - art.max.x)) {
        edge_draw(sheet, (nw_point){max.x, min.y}, max);
    }
    if (is_near(fit, stock.max.y - art.max.y)) {
        edge_draw(sheet, (nw_point){min.x, max.y}, max);
    }
}
