/* chart: scales, lines and figures, and marks. */
#include <report/sheet/chart.h>

#include <math.h>

#define DIVISIONS 5.0

/* 1, 2 or 5 times a power of ten, so that about DIVISIONS of them make `most`. */
static double round_step(double most)
{
    double rough = most / DIVISIONS, power = nw_power(10, nw_decade(rough)), lead = rough / power;
    return power * (lead < 1.5 ? 1 : lead < 3.5 ? 2 : lead < 7.5 ? 5 : 10);
}

double nw_report_chart_x(const report_chart *chart, double mm)
{
    return chart->box.min.x + (chart->box.max.x - chart->box.min.x) * mm / chart->most_mm;
}

double nw_report_chart_y(const report_chart *chart, double percent)
{
    double high = chart->box.max.y - chart->box.min.y;
    return chart->box.max.y - high * fmin(percent, chart->most_percent) / chart->most_percent;
}

static void put_figure(const report_chart *chart, double x, double y, report_anchor anchor,
                       nw_text *label)
{
    report_pen *pen = &chart->sheet->pen;
    nw_report_pen_words(pen, (nw_point){x, y}, nw_report_small(pen, anchor, false), label);
}

void nw_report_chart_grid(report_chart *chart, double mm, double percent, const char *label)
{
    report_pen *pen = &chart->sheet->pen;
    nw_box box = chart->box;
    double step = round_step(fmax(percent, 1)), unit = chart->inch ? NW_MM_PER_INCH : 1;
    chart->most_mm = mm > 0 ? 1.08 * mm : 1;
    chart->most_percent = step * ceil(fmax(percent, 1) / step);
    double x_step = round_step(chart->most_mm / unit), y_step = round_step(chart->most_percent);
    nw_text words = {0};
    for (double v = 0; v <= chart->most_percent * 1.0001; v += y_step) {
        double y = nw_report_chart_y(chart, v);
        nw_report_pen_line(pen, (nw_point){box.min.x, y}, (nw_point){box.max.x, y}, 0.15,
                           v == 0 ? INK_BLACK : INK_GREY);
        nw_text_number(&words, v, 2);
        nw_text_add(&words, " %");
        put_figure(chart, box.min.x - 1.5, y + 1, REPORT_END, &words);
    }
    for (double v = 0; v * unit <= chart->most_mm; v += x_step) {
        double x = nw_report_chart_x(chart, v * unit);
        nw_report_pen_line(pen, (nw_point){x, box.max.y}, (nw_point){x, box.max.y + 1}, 0.15,
                           INK_BLACK);
        nw_text_number(&words, v, 3);
        put_figure(chart, x, box.max.y + 4, REPORT_MIDDLE, &words);
    }
    nw_text_format(&words, "%s, %s", label, nw_report_unit(chart->inch));
    put_figure(chart, box.max.x, box.max.y + 8, REPORT_END, &words);
}

void nw_report_chart_mark(const report_chart *chart, double mm, double percent, bool fits,
                          bool chosen)
{
    nw_point at = {nw_report_chart_x(chart, mm), nw_report_chart_y(chart, percent)};
    nw_report_pen_circle(&chart->sheet->pen, at, chosen ? 1.6 : 1.1,
                         fits ? INK_VERMILLION : INK_WHITE, INK_VERMILLION, 0.4, false);
}
