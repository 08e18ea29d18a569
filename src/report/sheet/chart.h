/* A chart of percents against a length, as bits.svg and sizes.svg have it. Internal to report. */
#ifndef NARROWS_REPORT_CHART_H
#define NARROWS_REPORT_CHART_H

#include <report/sheet/sheet.h>

#define CHART_HIGH 62.0
#define CHART_LEFT 13.0 /* for the figures beside the chart */

typedef struct {
    report_sheet *sheet;
    nw_box box;          /* on the sheet */
    double most_mm;      /* the length at its right edge */
    double most_percent; /* at its upper edge */
    bool inch;
} report_chart;

double nw_report_chart_x(const report_chart *chart, double mm);
double nw_report_chart_y(const report_chart *chart, double percent);

/* Sets the scales so that both most lengths and percents have room, and draws the lines and figures
 * with `label` below. */
void nw_report_chart_grid(report_chart *chart, double mm, double percent, const char *label);

/* Of what stays uncut: a line from mark to mark. */
void nw_report_chart_mark(const report_chart *chart, double mm, double percent, bool fits,
                          bool chosen);
#endif
