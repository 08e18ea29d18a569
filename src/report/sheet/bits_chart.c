/*
 * Every bit side by side as a drawing: a chart of what stays uncut against the bit's diameter, and
 * for each bit a small picture of its cut with what is lost filled, in the colours of the marked
 * drawing. The outline's curve comes from the largest disc at every place of it, so it holds for
 * bits that nobody owns too.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SHEET_MM 210.0
#define MARGIN_MM 10.0
#define CHART_HIGH 62.0
#define CHART_LEFT 13.0 /* for the figures beside the chart */
#define CURVE_POINTS 240
#define COLUMNS 3
#define CELL_GAP 6.0
#define CELL_HIGH_MOST 70.0
#define PICTURES_MOST 60
#define DIVISIONS 5.0

typedef struct {
    report_sheet sheet;
    const nw_bits_report *report;
    nw_box chart;        /* on the sheet */
    double most_mm;      /* the diameter at its right edge */
    double most_percent; /* at its upper edge */
} bits_sheet;

static void put_text(bits_sheet *work, double x, double y, double size, bool bold,
                     report_anchor anchor, const char *colour, const char *text)
{
    nw_report_pen_text(&work->sheet.pen, (nw_point){x, y},
                       (report_lettering){size, bold, anchor, colour}, text);
}

/* Ends a label under construction: draws and empties it. */
static void put_label(bits_sheet *work, double x, double y, double size, report_anchor anchor,
                      nw_text *label)
{
    nw_report_pen_words(&work->sheet.pen, (nw_point){x, y},
                        (report_lettering){size, false, anchor, NULL}, label);
}

/* ---- the chart's scales ---------------------------------------------------------------------- */

/* 1, 2 or 5 times a power of ten, so that about DIVISIONS of them make `most`. */
static double round_step(double most)
{
    double rough = most / DIVISIONS, power = pow(10, floor(log10(rough))), lead = rough / power;
    return power * (lead < 1.5 ? 1 : lead < 3.5 ? 2 : lead < 7.5 ? 5 : 10);
}

static double chart_x(const bits_sheet *work, double mm)
{
    return work->chart.min.x + (work->chart.max.x - work->chart.min.x) * mm / work->most_mm;
}

static double chart_y(const bits_sheet *work, double percent)
{
    double high = work->chart.max.y - work->chart.min.y;
    return work->chart.max.y - high * fmin(percent, work->most_percent) / work->most_percent;
}

static void scales_set(bits_sheet *work)
{
    const nw_bits *bits = work->report->bits;
    double mm = 0, percent = 0;
    for (size_t k = 0; k < bits->count; k++) {
        mm = fmax(mm, bits->results[k].judged ? bits->results[k].diameter : 0);
        percent = fmax(percent, 100 * bits->results[k].share_unreached);
        percent =
            fmax(percent, bits->results[k].judged ? 100 * (1 - bits->results[k].share_outline) : 0);
    }
    work->most_mm = mm > 0 ? 1.08 * mm : 1;
    double step = round_step(fmax(percent, 1));
    work->most_percent = step * ceil(fmax(percent, 1) / step);
}

static void draw_grid(bits_sheet *work)
{
    report_pen *pen = &work->sheet.pen;
    double unit = work->report->inch ? NW_MM_PER_INCH : 1;
    double x_step = round_step(work->most_mm / unit), y_step = round_step(work->most_percent);
    nw_text label = {0};
    for (double v = 0; v <= work->most_percent * 1.0001; v += y_step) {
        double y = chart_y(work, v);
        nw_report_pen_line(pen, (nw_point){work->chart.min.x, y}, (nw_point){work->chart.max.x, y},
                           0.15, v == 0 ? INK_BLACK : INK_GREY);
        nw_text_number(&label, v, 2);
        nw_text_add(&label, " %");
        put_label(work, work->chart.min.x - 1.5, y + 1, 2.6, REPORT_END, &label);
    }
    for (double v = 0; v * unit <= work->most_mm; v += x_step) {
        double x = chart_x(work, v * unit);
        nw_report_pen_line(pen, (nw_point){x, work->chart.max.y},
                           (nw_point){x, work->chart.max.y + 1}, 0.15, INK_BLACK);
        nw_text_number(&label, v, 3);
        put_label(work, x, work->chart.max.y + 4, 2.6, REPORT_MIDDLE, &label);
    }
    nw_text_format(&label, "diameter of the bit, %s", nw_report_unit(work->report->inch));
    put_label(work, work->chart.max.x, work->chart.max.y + 8, 2.6, REPORT_END, &label);
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
    qsort(sorted, report->sample_count, sizeof *sorted, by_diameter);
    double whole = 0, below = 0;
    for (size_t i = 0; i < report->sample_count; i++) {
        whole += sorted[i].length;
    }
    nw_point from = {chart_x(work, 0), chart_y(work, 0)};
    size_t at = 0;
    for (int k = 1; k <= CURVE_POINTS; k++) {
        double mm = work->most_mm * k / CURVE_POINTS;
        while (at < report->sample_count && sorted[at].diameter < mm) {
            below += sorted[at++].length;
        }
        nw_point to = {chart_x(work, mm), chart_y(work, 100 * below / whole)};
        nw_report_pen_line(pen, from, to, 0.4, INK_BLUE);
        from = to;
    }
    free(sorted);
}

/* Of the cut area: a straight line from bit to bit. */
static void area_curve(bits_sheet *work)
{
    const nw_bits *bits = work->report->bits;
    nw_point from = {chart_x(work, 0), chart_y(work, 0)};
    for (size_t k = bits->count; k-- > 0;) {
        const nw_bit_result *result = &bits->results[k];
        if (!result->judged) {
            continue;
        }
        nw_point to = {chart_x(work, result->diameter),
                       chart_y(work, 100 * result->share_unreached)};
        nw_report_pen_line(&work->sheet.pen, from, to, 0.5, INK_VERMILLION);
        from = to;
    }
}

static void bit_marks(bits_sheet *work)
{
    const nw_bits *bits = work->report->bits;
    report_pen *pen = &work->sheet.pen;
    for (size_t k = 0; k < bits->count; k++) {
        const nw_bit_result *result = &bits->results[k];
        nw_point at = {chart_x(work, result->diameter),
                       chart_y(work, 100 * result->share_unreached)};
        if (result->judged) {
            nw_report_pen_circle(pen, at, k == bits->largest ? 1.6 : 1.1,
                                 result->fit.fits ? INK_VERMILLION : INK_WHITE, INK_VERMILLION, 0.4,
                                 false);
        }
    }
}

static void draw_key(bits_sheet *work, double y)
{
    report_pen *pen = &work->sheet.pen;
    double x = work->chart.min.x + 4;
    nw_report_pen_line(pen, (nw_point){x, y - 1}, (nw_point){x + 8, y - 1}, 0.5, INK_VERMILLION);
    nw_report_pen_circle(pen, (nw_point){x + 2, y - 1}, 1.1, INK_VERMILLION, INK_VERMILLION, 0.4,
                         false);
    nw_report_pen_circle(pen, (nw_point){x + 6, y - 1}, 1.1, INK_WHITE, INK_VERMILLION, 0.4, false);
    put_text(work, x + 10, y, 2.6, false, REPORT_START, NULL,
             "cut area left uncut; a filled mark: the bit cuts it all, the large one: the largest");
    nw_report_pen_line(pen, (nw_point){x, y + 3.4}, (nw_point){x + 8, y + 3.4}, 0.4, INK_BLUE);
    put_text(work, x + 10, y + 4.4, 2.6, false, REPORT_START, NULL,
             "outline not cut to the line, corners included, for every diameter");
}

static double draw_chart(bits_sheet *work, double top)
{
    double left = work->sheet.left + CHART_LEFT;
    work->chart = (nw_box){{left, top}, {work->sheet.left + work->sheet.width, top + CHART_HIGH}};
    scales_set(work);
    draw_grid(work);
    if (work->report->samples) {
        outline_curve(work);
    }
    area_curve(work);
    bit_marks(work);
    draw_key(work, work->chart.max.y + 14);
    return work->chart.max.y + 26;
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
    put_label(work, at.x, at.y + 3.8, 2.6, REPORT_START, &label);
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
        if (!bits->results[k].judged) {
            continue;
        }
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
        if (i == 3 && work->report->cut == NW_CUT_OUTSIDE) {
            continue;
        }
        nw_report_pen_box(&work->sheet.pen, (nw_box){{x, y - 2.4}, {x + 4, y}}, keys[i].colour,
                          NULL, 0);
        put_text(work, x + 5.5, y, 2.6, false, REPORT_START, NULL, keys[i].text);
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
    double y =
        nw_report_pen_sentences(&sheet->pen, (nw_point){sheet->left, MARGIN_MM}, sheet->width,
                                (report_lettering){5, true, REPORT_START, NULL}, &words);
    nw_report_bits_subject(&words, report);
    y = nw_report_pen_sentences(&sheet->pen, (nw_point){sheet->left, y + 1}, sheet->width,
                                (report_lettering){3, false, REPORT_START, NULL}, &words);
    return y + 5;
}

nw_status nw_write_bits_svg(const nw_bits_report *report, nw_text *svg, nw_error *error)
{
    *svg = (nw_text){0};
    if (!report->drawing->count || !(report->drawing->width > 0 && report->drawing->height > 0)) {
        return nw_fail(error, NW_BAD_REQUEST, "there is no outline to draw");
    }
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
