/*
 * Every bit side by side as a drawing: a chart of what stays uncut against the bit's diameter, and
 * for each bit a small picture of its cut with what is lost filled, in the colours of the marked
 * drawing. The outline's curve comes from the largest disc at every place of it, so it holds for
 * bits that nobody owns too.
 */
#include <report/sheet/chart.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SHEET_MM 210.0
#define MARGIN_MM 10.0
#define CURVE_POINTS 240
#define COLUMNS 3
#define CELL_GAP 6.0
#define CELL_HIGH_MOST 70.0
#define PICTURES_MOST 60

typedef struct {
    report_sheet sheet;
    const nw_bits_report *report;
    report_chart chart;
} bits_sheet;

/* In the small lettering. */
static void put_text(bits_sheet *work, double x, double y, const char *text)
{
    report_pen *pen = &work->sheet.pen;
    nw_report_pen_text(pen, (nw_point){x, y}, nw_report_small(pen, REPORT_START, false), text);
}

static void draw_grid(bits_sheet *work)
{
    const nw_bits *bits = work->report->bits;
    double mm = 0, percent = 0;
    for (size_t k = 0; k < bits->count; k++) {
        const nw_bit_result *result = &bits->results[k];
        mm = fmax(mm, result->judged ? result->diameter : 0);
        percent = fmax(percent, 100 * result->share_unreached);
        percent = fmax(percent, result->judged ? 100 * (1 - result->share_outline) : 0);
    }
    nw_report_chart_grid(&work->chart, mm, percent, "diameter of the bit");
}

/* ---- curves --------------------------------------------------------------------------------- */

static int by_diameter(const void *left, const void *right)
{
    const nw_sample *a = left, *b = right;
    return (a->diameter > b->diameter) - (a->diameter < b->diameter);
}

/* Of the outline, in percent, what a bit of each diameter does not reach. */
static void outline_curve(bits_sheet *work)
{
    const nw_bits_report *report = work->report;
    report_pen *pen = &work->sheet.pen;
    nw_sample *sorted = nw_alloc(report->sample_count, sizeof *sorted);
    if (!sorted || !report->sample_count) {
        pen->out->failed = pen->out->failed || !sorted;
        free(sorted);
        return;
    }
    memcpy(sorted, report->samples, report->sample_count * sizeof *sorted);
    nw_sort(sorted, report->sample_count, sizeof *sorted, by_diameter);
    double whole = 0, below = 0;
    for (size_t i = 0; i < report->sample_count; i++)
        whole += sorted[i].length;
    nw_point from = {nw_report_chart_x(&work->chart, 0), nw_report_chart_y(&work->chart, 0)};
    size_t at = 0;
    for (int k = 1; k <= CURVE_POINTS; k++) {
        double mm = work->chart.most_mm * k / CURVE_POINTS;
        while (at < report->sample_count && sorted[at].diameter < mm)
            below += sorted[at++].length;
        nw_point to = {nw_report_chart_x(&work->chart, mm),
                       nw_report_chart_y(&work->chart, 100 * below / whole)};
        nw_report_pen_line(pen, from, to, 0.4, INK_BLUE);
        from = to;
    }
    free(sorted);
}

/* Of the cut area: a straight line from bit to bit. */
static void area_curve(bits_sheet *work)
{
    const nw_bits *bits = work->report->bits;
    nw_point from = {nw_report_chart_x(&work->chart, 0), nw_report_chart_y(&work->chart, 0)};
    for (size_t k = bits->count; k-- > 0;) {
        const nw_bit_result *result = &bits->results[k];
        if (!result->judged)
            continue;
        nw_point to = {nw_report_chart_x(&work->chart, result->diameter),
                       nw_report_chart_y(&work->chart, 100 * result->share_unreached)};
        nw_report_pen_line(&work->sheet.pen, from, to, 0.5, INK_VERMILLION);
        from = to;
    }
}

static void bit_marks(bits_sheet *work)
{
    const nw_bits *bits = work->report->bits;
    for (size_t k = 0; k < bits->count; k++) {
        const nw_bit_result *result = &bits->results[k];
        if (result->judged) {
            nw_report_chart_mark(&work->chart, result->diameter, 100 * result->share_unreached,
                                 result->fit.fits, k == bits->largest || k == bits->closest);
        }
    }
}

static void draw_key(bits_sheet *work, double y)
{
    report_pen *pen = &work->sheet.pen;
    double x = work->chart.box.min.x + 4;
    nw_report_pen_line(pen, (nw_point){x, y - 1}, (nw_point){x + 8, y - 1}, 0.5, INK_VERMILLION);
    nw_report_pen_circle(pen, (nw_point){x + 2, y - 1}, 1.1, INK_VERMILLION, INK_VERMILLION, 0.4,
                         false);
    nw_report_pen_circle(pen, (nw_point){x + 6, y - 1}, 1.1, INK_WHITE, INK_VERMILLION, 0.4, false);
    put_text(
        work, x + 10, y,
        "cut area left uncut; a filled mark: the bit cuts it all; the large one: the largest such, "
        "or the closest");
    nw_report_pen_line(pen, (nw_point){x, y + 3.4}, (nw_point){x + 8, y + 3.4}, 0.4, INK_BLUE);
    put_text(work, x + 10, y + 4.4,
             "outline not cut to the line, corners included, for every diameter");
}

static double draw_chart(bits_sheet *work, double top)
{
    double left = work->sheet.left + CHART_LEFT;
    work->chart = (report_chart){
        .sheet = &work->sheet,
        .box = {{left, top}, {work->sheet.left + work->sheet.width, top + CHART_HIGH}},
        .inch = work->report->inch};
    draw_grid(work);
    if (work->report->samples)
        outline_curve(work);
    area_curve(work);
    bit_marks(work);
    draw_key(work, work->chart.box.max.y + 14);
    return work->chart.box.max.y + 26;
}

/* ---- pictures ------------------------------------------------------------------------------- */

static void residues_draw(bits_sheet *work, const nw_fit *fit)
{
    report_sheet *sheet = &work->sheet;
    nw_report_pen_drawing(&sheet->pen, &fit->corner_residues, sheet->place, INK_ORANGE, NULL, 0);
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        nw_drawing part = {.paths = fit->residues.paths + spot->residue,
                           .count = spot->residue_count};
        nw_report_pen_drawing(&sheet->pen, &part, sheet->place, nw_report_side_colour(spot->side),
                              NULL, 0);
    }
}

static void cell_words(bits_sheet *work, size_t k, nw_point at)
{
    const nw_bits_report *report = work->report;
    const nw_bit_result *result = &report->bits->results[k];
    nw_text label = {0};
    nw_report_line(&label, report->rack->bits[result->bit].name);
    nw_text_add(&label, k == report->bits->largest ? ": the largest that cuts it all" : "");
    nw_report_pen_words(&work->sheet.pen, at, (report_lettering){3, true, REPORT_START, NULL},
                        &label);
    nw_report_bit(&label, result->diameter, report->inch);
    nw_text_add(&label, result->fit.fits ? ", fits, " : ", ");
    size_t gaps = result->pinches + result->stubs + result->misses;
    if (!result->fit.fits) {
        nw_text_format(&label, "%zu gap%s, %zu neck%s, ", gaps, gaps == 1 ? "" : "s", result->necks,
                       result->necks == 1 ? "" : "s");
    }
    nw_text_number(&label, 100 * result->share_unreached, 2);
    nw_text_add(&label, " % uncut");
    nw_report_pen_words(&work->sheet.pen, (nw_point){at.x, at.y + 3.8},
                        nw_report_small(&work->sheet.pen, REPORT_START, false), &label);
}

/* Room round the art, so that what is too thin outside of it shows as well. */
static void draw_cell(bits_sheet *work, size_t k, nw_point at, double wide, double high)
{
    const nw_drawing *drawing = work->report->drawing;
    double scale = fmin(wide / drawing->width, high / drawing->height);
    double x = at.x + (wide - drawing->width * scale) / 2;
    double y = at.y + 6 + (high - drawing->height * scale) / 2;
    report_sheet *sheet = &work->sheet;
    cell_words(work, k, (nw_point){at.x, at.y + 1});
    sheet->place = (report_frame){-x / scale, drawing->height + y / scale, scale};
    bool outside = work->report->cut == NW_CUT_OUTSIDE;
    nw_text_add(sheet->pen.out, "<g stroke-linejoin=\"round\">\n");
    nw_report_pen_drawing(&sheet->pen, drawing, sheet->place, outside ? INK_GREY : TINT_SKY, NULL,
                          0);
    residues_draw(work, &work->report->bits->results[k].fit);
    nw_report_pen_drawing(&sheet->pen, drawing, sheet->place, NULL, INK_BLACK, 0.15);
    nw_text_add(sheet->pen.out, "</g>\n");
}

static double draw_pictures(bits_sheet *work, double top)
{
    const nw_bits *bits = work->report->bits;
    const nw_drawing *drawing = work->report->drawing;
    double wide = (work->sheet.width - (COLUMNS - 1) * CELL_GAP) / COLUMNS;
    double high = fmin(CELL_HIGH_MOST, wide * drawing->height / drawing->width);
    size_t shown = 0;
    for (size_t k = 0; k < bits->count && shown < PICTURES_MOST; k++) {
        if (!bits->results[k].judged)
            continue;
        double x = work->sheet.left + (double)(shown % COLUMNS) * (wide + CELL_GAP);
        double y = top + (double)(shown / COLUMNS) * (high + 14);
        draw_cell(work, k, (nw_point){x, y}, wide, high);
        shown++;
    }
    return top + ceil((double)shown / COLUMNS) * (high + 14);
}

static double draw_legend(bits_sheet *work, double y)
{
    static const struct {
        const char *colour, *text;
    } keys[] = {{INK_VERMILLION, "not cut: too narrow"},
                {INK_BLUE, "too thin to keep"},
                {INK_ORANGE, "corner, rounded by the bit"},
                {TINT_SKY, "art that is cut"}};
    double x = work->sheet.left;
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        if (i == 3 && work->report->cut == NW_CUT_OUTSIDE)
            continue;
        nw_report_pen_box(&work->sheet.pen, (nw_box){{x, y - 2.4}, {x + 4, y}}, keys[i].colour,
                          NULL, 0);
        put_text(work, x + 5.5, y, keys[i].text);
        x += 46;
    }
    return y + 7;
}

/* ---- the sheet ------------------------------------------------------------------------------- */

static double draw_top(bits_sheet *work)
{
    const nw_bits_report *report = work->report;
    report_sheet *sheet = &work->sheet;
    nw_text words = {0};
    nw_report_bits_verdict(&words, report);
    double y = nw_report_sheet_words(sheet, MARGIN_MM, 5, true, &words);
    nw_report_bits_subject(&words, report);
    return nw_report_sheet_words(sheet, y + 1, 3, false, &words) + 5;
}

nw_status nw_write_bits_svg(const nw_bits_report *report, nw_text *svg, nw_error *error)
{
    *svg = (nw_text){0};
    if (!report->drawing->count || !(report->drawing->width > 0 && report->drawing->height > 0))
        return nw_fail(error, NW_BAD_REQUEST, "there is no outline to draw");
    report_drawn drawn = {.body = {0}};
    bits_sheet work = {.report = report,
                       .sheet = {.pen = {&nw_report_svg_canvas, &drawn.body, 1},
                                 .left = MARGIN_MM,
                                 .width = SHEET_MM - 2 * MARGIN_MM}};
    double y = draw_chart(&work, draw_top(&work));
    y = draw_legend(&work, y);
    y = draw_pictures(&work, y);
    drawn.size = (nw_point){SHEET_MM, y + MARGIN_MM};
    nw_report_svg_document(svg, report->art, &drawn);
    nw_text_free(&drawn.body);
    return nw_report_finish(svg, "the drawing of bits", error);
}
