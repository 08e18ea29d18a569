/* Every size side by side as a drawing: a chart of what stays uncut against the width. */
#include <report/sheet/chart.h>

#include <math.h>

#define SHEET_MM 210.0
#define MARGIN_MM 10.0

nw_status nw_write_sizes_svg(const nw_sizes_report *report, nw_text *svg, nw_error *error)
{
    *svg = (nw_text){0};
    const nw_sizes *sizes = report->sizes;
    report_drawn drawn = {.body = {0}};
    report_sheet sheet = {.pen = {&nw_report_svg_canvas, &drawn.body, 1},
                          .left = MARGIN_MM,
                          .width = SHEET_MM - 2 * MARGIN_MM};
    nw_text words = {0};
    nw_report_sizes_verdict(&words, report);
    double y = nw_report_sheet_words(&sheet, MARGIN_MM, 5, true, &words);
    nw_report_sizes_subject(&words, report);
    y = 5 + nw_report_sheet_words(&sheet, y + 1, 3, false, &words);
    report_chart chart = {
        .sheet = &sheet,
        .box = {{sheet.left + CHART_LEFT, y}, {sheet.left + sheet.width, y + CHART_HIGH}},
        .inch = report->inch};
    double widest = 0, percent = 0;
    for (size_t k = 0; k < sizes->count; k++) {
        widest = fmax(widest, sizes->results[k].width);
        percent = fmax(percent, 100 * nw_fit_unreached(&sizes->results[k].fit));
    }
    nw_report_chart_grid(&chart, widest, percent, "width of the art");
    for (size_t k = 1; k < sizes->count; k++) {
        const nw_size_result *from = &sizes->results[k - 1], *to = &sizes->results[k];
        nw_report_pen_line(
            &sheet.pen,
            (nw_point){nw_report_chart_x(&chart, from->width),
                       nw_report_chart_y(&chart, 100 * nw_fit_unreached(&from->fit))},
            (nw_point){nw_report_chart_x(&chart, to->width),
                       nw_report_chart_y(&chart, 100 * nw_fit_unreached(&to->fit))},
            0.5, INK_VERMILLION);
    }
    for (size_t k = 0; k < sizes->count; k++) {
        const nw_size_result *result = &sizes->results[k];
        nw_report_chart_mark(&chart, result->width, 100 * nw_fit_unreached(&result->fit),
                             result->fit.fits, k == nw_report_size_marked(sizes));
    }
    nw_report_pen_text(&sheet.pen, (nw_point){chart.box.min.x + 4, chart.box.max.y + 14},
                       (report_lettering){2.6, false, REPORT_START, NULL},
                       "cut area left uncut; a filled mark: the bit cuts it all at this width; the "
                       "large mark: the smallest such, or the closest");
    drawn.size = (nw_point){SHEET_MM, chart.box.max.y + 18 + MARGIN_MM};
    nw_report_svg_document(svg, report->art, &drawn);
    nw_text_free(&drawn.body);
    return nw_report_finish(svg, "the drawing of sizes", error);
}
