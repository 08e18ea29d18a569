/*
 * marked: the annotated drawing, at true size on a sheet as large as it needs: verdict on top, the
 * art with what the bit reaches and what it cannot, spots with balloons in the margins round it,
 * then legend, scale and list, and the caution once.
 *
 * The art keeps its own size, but spots on very small art are shown enlarged, with the art at true
 * size beside them. Lettering has a size on paper, 2.5 mm and more; for art beyond
 * 300 mm everything around grows with it, a little slower, since such a sheet is looked at from
 * further away.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdlib.h>

#define PLAIN_SIZE_MM 300.0 /* up to here a unit is 1 mm */
#define GROWTH 0.8
#define SMALL_ART_MM 40.0 /* up to here spots are shown enlarged */
#define MARGIN 8.0        /* of the sheet; sizes from here on are in units */
#define SHEET_LEAST 180.0
#define FRAME_GAP 5.0 /* least distance of balloons from the art */
#define SHOULDER 1.5
#define LIFTS_MOST 500

nw_point nw_report_sheet_point(const report_sheet *sheet, nw_point point)
{
    const report_frame *place = &sheet->place;
    return (nw_point){(point.x - place->left) * place->scale,
                      (place->top - point.y) * place->scale};
}

void nw_report_paths_draw(report_sheet *sheet, const nw_drawing *drawing, const char *fill,
                          const char *stroke, double width)
{
    for (size_t first = 0; first < drawing->count;) {
        size_t count = nw_report_piece_length(drawing, first);
        nw_report_pen_paths(&sheet->pen, drawing, first, count, sheet->place, fill, stroke, width);
        first += count;
    }
}

static void draw_residue(report_sheet *sheet, const nw_spot *spot)
{
    const nw_drawing *residues = &sheet->report->fit->residues;
    if (!spot->residue_count || spot->residue >= residues->count) {
        return;
    }
    bool gap = spot->side == NW_GAP;
    nw_report_pen_paths(&sheet->pen, residues, spot->residue, spot->residue_count, sheet->place,
                        gap ? INK_VERMILLION : REPORT_HATCH, gap ? INK_VERMILLION : INK_BLUE,
                        0.15 * sheet->pen.unit);
}

static void draw_art(report_sheet *sheet)
{
    if (sheet->change) {
        nw_report_change_draw(sheet);
        return;
    }
    const nw_report *report = sheet->report;
    const nw_fit *fit = report->fit;
    bool outside = fit->options.cut == NW_CUT_OUTSIDE;
    double unit = sheet->pen.unit;
    nw_report_pen_group(&sheet->pen, "art", 0);
    if (outside) { /* the band that the bit sweeps round the art */
        nw_report_paths_draw(sheet, &fit->bit_path, NULL, TINT_SKY,
                             fit->options.bit * sheet->place.scale);
    }
    nw_report_paths_draw(sheet, report->drawing, outside ? INK_GREY : TINT_SKY, NULL, 0);
    nw_report_paths_draw(sheet, &fit->corner_residues, INK_ORANGE, NULL, 0);
    for (size_t i = 0; i < fit->spot_count; i++) {
        draw_residue(sheet, &fit->spots[i]);
    }
    nw_report_edges_draw(sheet);
    nw_report_paths_draw(sheet, report->drawing, NULL, INK_BLACK, 0.25 * unit);
    nw_report_tabs_draw(sheet);
    for (size_t i = 0; i < fit->lift_count && i < LIFTS_MOST; i++) {
        nw_report_lift_draw(&sheet->pen, nw_report_sheet_point(sheet, fit->lifts[i].at));
    }
    nw_report_pen_end(&sheet->pen);
}

static void draw_definitions(report_sheet *sheet)
{
    nw_text *svg = sheet->pen.svg;
    double step = REPORT_HATCH_STEP * sheet->pen.unit;
    nw_text_add(svg, "<defs><pattern id=\"thin\" patternUnits=\"userSpaceOnUse\" width=\"");
    nw_text_number(svg, step, 3);
    nw_text_add(svg, "\" height=\"");
    nw_text_number(svg, step, 3);
    nw_text_add(svg, "\" patternTransform=\"rotate(45)\">\n");
    nw_report_pen_box(&sheet->pen, (nw_box){{0, 0}, {step, step}}, TINT_BLUE, NULL, 0);
    nw_report_pen_box(&sheet->pen, (nw_box){{0, 0}, {0.4 * step, step}}, INK_BLUE, NULL, 0);
    nw_text_add(svg, "</pattern></defs>\n");
}

/* ---- words on top ------------------------------------------------------------------------- */

static double draw_words(report_sheet *sheet, double y, double size, bool bold, nw_text *words)
{
    if (words->data && words->length) {
        y = nw_report_pen_paragraph(
            &sheet->pen, (nw_point){sheet->left, y}, sheet->width,
            (report_lettering){size * sheet->pen.unit, bold, REPORT_START, NULL}, words->data);
    }
    sheet->pen.svg->failed = sheet->pen.svg->failed || words->failed;
    nw_text_free(words);
    return y;
}

static double draw_top(report_sheet *sheet)
{
    const nw_report *report = sheet->report;
    double unit = sheet->pen.unit, y = MARGIN * unit;
    nw_text words = {0};
    if (sheet->change) {
        nw_report_change_verdict(&words, sheet->change);
    } else {
        nw_report_verdict(&words, report);
    }
    y = draw_words(sheet, y, 5.2, true, &words);
    if (report->fit->spot_count && !sheet->change) {
        nw_text_add(&words, "Worst, number 1: a ");
        nw_report_spot(&words, report->fit->spots, report->inch);
        y = draw_words(sheet, y + 0.5 * unit, 3.4, true, &words);
    }
    nw_report_subject(&words, report);
    y = draw_words(sheet, y + 0.5 * unit, 3, false, &words);
    if (sheet->change) {
        nw_report_change_areas(&words, sheet->change);
        nw_report_change_counts(&words, sheet->change);
    } else {
        nw_report_counts(&words, report);
    }
    y = draw_words(sheet, y, 3, false, &words);
    nw_report_doubts(&words, report);
    y = draw_words(sheet, y, 3, true, &words);
    for (size_t i = 0; i < report->note_count; i++) {
        nw_report_line(&words, report->notes[i]);
        y = draw_words(sheet, y, 2.8, false, &words);
    }
    if (sheet->place.scale != 1) {
        nw_text_add(&words, "Shown enlarged, ");
        nw_text_number(&words, sheet->place.scale, 0);
        nw_text_add(&words, " : 1. Below is the art at true size.");
        y = draw_words(sheet, y + 0.5 * unit, 3, true, &words);
    }
    return y + 3 * unit;
}

/* ---- layout ------------------------------------------------------------------------------- */

/* The band that balloons and labels take beyond each edge of the frame. */
static void balloon_bands(const report_sheet *sheet, double bands[4])
{
    for (int e = 0; e < 4; e++) {
        bands[e] = 0;
    }
    for (size_t i = 0; i < sheet->balloon_count; i++) {
        const report_balloon *balloon = &sheet->balloons[i];
        bool upright = balloon->edge == REPORT_LEFT || balloon->edge == REPORT_RIGHT;
        double need = upright ? balloon->beside[0] : balloon->above[1];
        bands[balloon->edge] = fmax(bands[balloon->edge], need);
    }
}

static void shift(report_sheet *sheet, double x, double y)
{
    sheet->place.left -= x / sheet->place.scale;
    sheet->place.top += y / sheet->place.scale;
    for (size_t i = 0; i < sheet->balloon_count; i++) {
        report_balloon *balloon = &sheet->balloons[i];
        nw_point *points[] = {&balloon->ends[0], &balloon->ends[1], &balloon->end, &balloon->bend,
                              &balloon->centre};
        for (size_t k = 0; k < sizeof points / sizeof *points; k++) {
            points[k]->x += x;
            points[k]->y += y;
        }
    }
}

/* The box that the art takes on the sheet, with the band round a part that is cut out and with
 * what is too thin around it. */
static nw_box content_box(const report_sheet *sheet)
{
    const nw_report *report = sheet->report;
    double band = report->fit->options.cut == NW_CUT_OUTSIDE ? report->fit->options.bit : 0;
    const nw_layer layers[] = {{"art", report->drawing, NULL, true},
                               {"residues", &report->fit->residues, NULL, true}};
    nw_box box = {{0, 0}, {0, 0}};
    nw_report_layers_box(layers, 2, &box);
    if (sheet->change) {
        nw_report_change_box(sheet, &box);
    }
    const nw_point *origin = nw_report_origin_of(sheet);
    if (origin && isfinite(origin->x + origin->y)) {
        box.min = (nw_point){fmin(box.min.x, origin->x), fmin(box.min.y, origin->y)};
        box.max = (nw_point){fmax(box.max.x, origin->x), fmax(box.max.y, origin->y)};
    }
    nw_point low = nw_report_sheet_point(sheet, (nw_point){box.min.x - band, box.max.y + band});
    nw_point high = nw_report_sheet_point(sheet, (nw_point){box.max.x + band, box.min.y - band});
    return (nw_box){low, high};
}

/* Places the balloons round the art and gives the box that all of it takes. */
static bool lay_out(report_sheet *sheet, nw_box *all)
{
    double unit = sheet->pen.unit, bands[4];
    nw_box box = content_box(sheet);
    nw_report_spots_measure(sheet, &box);
    double pad =
        nw_report_balloons_padding(sheet->balloons, sheet->balloon_count, box, FRAME_GAP * unit);
    nw_box frame = {{box.min.x - pad, box.min.y - pad}, {box.max.x + pad, box.max.y + pad}};
    if (!nw_report_balloons_place(sheet->balloons, sheet->balloon_count, frame, SHOULDER * unit)) {
        return false;
    }
    if (!sheet->balloon_count) {
        frame = box;
    }
    balloon_bands(sheet, bands);
    *all = (nw_box){{frame.min.x - bands[REPORT_LEFT], frame.min.y - bands[REPORT_TOP]},
                    {frame.max.x + bands[REPORT_RIGHT], frame.max.y + bands[REPORT_BOTTOM]}};
    return true;
}

static double draw_sheet(report_sheet *sheet, nw_box all)
{
    double unit = sheet->pen.unit, height = all.max.y - all.min.y;
    double top = draw_top(sheet);
    double spare = sheet->width - (all.max.x - all.min.x);
    shift(sheet, sheet->left + spare / 2 - all.min.x, top - all.min.y);
    draw_art(sheet);
    nw_report_spots_draw(sheet);
    if (nw_report_origin_of(sheet)) {
        nw_report_origin_draw(&sheet->pen,
                              nw_report_sheet_point(sheet, *nw_report_origin_of(sheet)));
    }
    double y = nw_report_legend_draw(sheet, top + height + 6 * unit);
    y = nw_report_list_draw(sheet, y);
    y = nw_report_pen_paragraph(&sheet->pen, (nw_point){sheet->left, y}, sheet->width,
                                (report_lettering){2.8 * unit, true, REPORT_START, NULL},
                                nw_report_caution());
    return y + MARGIN * unit;
}

/* Spots on very small art are shown enlarged, by the scales of ISO 5455. */
static double sheet_scale(const nw_report *report)
{
    double size = fmax(report->drawing->width, report->drawing->height);
    if (!report->fit->spot_count || size > SMALL_ART_MM) {
        return 1;
    }
    return size > SMALL_ART_MM / 2 ? 2 : size > SMALL_ART_MM / 5 ? 5 : 10;
}

static double sheet_unit(const nw_drawing *drawing)
{
    double size = fmax(drawing->width, drawing->height);
    return size > PLAIN_SIZE_MM ? pow(size / PLAIN_SIZE_MM, GROWTH) : 1;
}

/* Draws all but the sheet's white ground; gives its size. */
static nw_point draw_all(report_sheet *sheet, nw_box all)
{
    double unit = sheet->pen.unit;
    sheet->left = MARGIN * unit;
    sheet->width = fmax(SHEET_LEAST * unit - 2 * sheet->left, all.max.x - all.min.x);
    double height = draw_sheet(sheet, all);
    return (nw_point){sheet->width + 2 * sheet->left, height};
}

/* The head needs the height, which is known when all is drawn: so the body comes first. */
static void write_sheet(report_sheet *sheet, nw_box all)
{
    nw_text body = {0}, *svg = sheet->pen.svg;
    sheet->pen.svg = &body;
    nw_point size = draw_all(sheet, all);
    const nw_point *origin = nw_report_origin_of(sheet);
    nw_point zero = origin ? nw_report_sheet_point(sheet, *origin) : (nw_point){0, 0};
    nw_report_svg_open_at(svg, (nw_point){-zero.x, -zero.y}, size.x, size.y);
    nw_text_add(svg, "<title>");
    nw_text_escaped(svg, sheet->report->art);
    nw_text_add(svg, "</title>\n");
    sheet->pen.svg = svg;
    draw_definitions(sheet);
    nw_text_add(svg, "<g font-family=\"sans-serif\"");
    if (origin) {
        nw_text_add(svg, " transform=\"translate(");
        nw_text_number(svg, -zero.x, 4);
        nw_text_add(svg, " ");
        nw_text_number(svg, -zero.y, 4);
        nw_text_add(svg, ")\"");
    }
    nw_text_add(svg, ">\n");
    nw_report_pen_box(&sheet->pen, (nw_box){{0, 0}, size}, INK_WHITE, NULL, 0);
    nw_text_add_bytes(svg, body.data ? body.data : "", body.length);
    nw_text_add(svg, "</g>\n</svg>\n");
    svg->failed = svg->failed || body.failed;
    nw_text_free(&body);
}

/* Lays the sheet out; its balloons must be freed. pen.svg->failed tells when memory ran out. */
static nw_status sheet_make(const nw_report *report, const nw_change_report *change, nw_text *svg,
                            report_sheet *sheet, nw_box *all, nw_error *error)
{
    *svg = (nw_text){0};
    nw_status status = nw_report_check(report, error);
    if (status == NW_OK && !report->drawing->count) {
        status = nw_fail(error, NW_BAD_REQUEST, "there is no outline to draw");
    }
    if (status != NW_OK) {
        return status;
    }
    size_t spots = report->fit->spot_count;
    *sheet = (report_sheet){.pen = {.svg = svg, .unit = sheet_unit(report->drawing)},
                            .report = report,
                            .change = change,
                            .place = {0, 0, sheet_scale(report)},
                            .balloon_count =
                                spots < REPORT_BALLOONS_MOST ? spots : REPORT_BALLOONS_MOST};
    sheet->balloons = nw_alloc(sheet->balloon_count, sizeof *sheet->balloons);
    svg->failed = !sheet->balloons || !lay_out(sheet, all) || svg->failed;
    return NW_OK;
}

nw_status nw_report_sheet_write(const nw_report *report, const nw_change_report *change,
                                nw_text *svg, nw_error *error)
{
    report_sheet sheet;
    nw_box all;
    nw_status status = sheet_make(report, change, svg, &sheet, &all, error);
    if (status != NW_OK) {
        return status;
    }
    if (!svg->failed) {
        write_sheet(&sheet, all);
    }
    free(sheet.balloons);
    return nw_report_finish(svg, change ? "the drawing of the change" : "the marked drawing",
                            error);
}

nw_status nw_report_sheet_paint(const nw_report *report, const report_canvas *canvas, void *to,
                                nw_point *size, double *white, nw_error *error)
{
    report_sheet sheet;
    nw_box all;
    nw_text none;
    nw_status status = sheet_make(report, NULL, &none, &sheet, &all, error);
    if (status != NW_OK) {
        return status;
    }
    sheet.pen.canvas = canvas;
    sheet.pen.to = to;
    if (!none.failed) {
        *size = draw_all(&sheet, all);
        *white = sheet.left;
    }
    free(sheet.balloons);
    return none.failed ? nw_fail_memory(error, "the marked drawing") : NW_OK;
}

nw_status nw_write_marked(const nw_report *report, nw_text *svg, nw_error *error)
{
    return nw_report_sheet_write(report, NULL, svg, error);
}
