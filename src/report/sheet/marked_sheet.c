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
#define PAPER 280.0    /* a list may make any sheet so high */
#define FRAME_GAP 12.0 /* first width of the margin round the art, for balloons */
#define PAD_GROWTH 1.5
#define ROUNDS 12
#define CELL 0.9 /* of the ground */

/* ---- words on top ------------------------------------------------------------------------- */

static double draw_words(report_sheet *sheet, double y, double size, bool bold, nw_text *words)
{
    return nw_report_pen_sentences(
        &sheet->pen, (nw_point){sheet->left, y}, sheet->width,
        (report_lettering){size * sheet->pen.unit, bold, REPORT_START, NULL}, words);
}

static double draw_top(report_sheet *sheet)
{
    const nw_report *report = sheet->report;
    double unit = sheet->pen.unit, y = MARGIN * unit;
    nw_text words = {0};
    if (sheet->change)
        nw_report_change_verdict(&words, sheet->change);
    else
        nw_report_verdict(&words, report);
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

static void shift(report_sheet *sheet, double x, double y)
{
    sheet->place.left -= x / sheet->place.scale;
    sheet->place.top += y / sheet->place.scale;
    sheet->ground.corner = (nw_point){sheet->ground.corner.x + x, sheet->ground.corner.y + y};
    for (size_t i = 0; i < sheet->balloon_count; i++) {
        report_balloon *balloon = &sheet->balloons[i];
        balloon->centre = (nw_point){balloon->centre.x + x, balloon->centre.y + y};
        for (size_t k = 0; k < balloon->way_count; k++)
            balloon->way[k] = (nw_point){balloon->way[k].x + x, balloon->way[k].y + y};
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
    if (sheet->change)
        nw_report_change_box(sheet, &box);
    const nw_point *origin = nw_report_origin_of(sheet);
    if (origin && isfinite(origin->x + origin->y)) {
        box.min = (nw_point){fmin(box.min.x, origin->x), fmin(box.min.y, origin->y)};
        box.max = (nw_point){fmax(box.max.x, origin->x), fmax(box.max.y, origin->y)};
    }
    nw_point low = nw_report_placed((nw_point){box.min.x - band, box.max.y + band}, &sheet->place);
    nw_point high = nw_report_placed((nw_point){box.max.x + band, box.min.y - band}, &sheet->place);
    return (nw_box){low, high};
}

/* Places all balloons on the frame, the worst first. */
static bool balloons_place(report_sheet *sheet, nw_box frame, bool *placed)
{
    nw_report_ground_free(&sheet->ground);
    bool good = nw_report_ground_make(&sheet->ground, frame, CELL * sheet->pen.unit);
    const nw_drawing *art[] = {sheet->report->drawing,
                               sheet->change ? &sheet->change->widened->drawing : NULL};
    for (int i = 0; good && i < 2 && art[i]; i++)
        good = nw_report_ground_drawing(&sheet->ground, art[i], sheet->place, GROUND_ART);
    if (good)
        nw_report_spots_ground(sheet);
    return good &&
           nw_report_balloons_place(sheet->balloons, sheet->balloon_count, &sheet->ground, placed);
}

/* Places the balloons in and round the art, with as little margin as there is room for them, and
 * gives the box that all of it takes. */
static bool lay_out(report_sheet *sheet, nw_box *all)
{
    double unit = sheet->pen.unit;
    nw_box box = content_box(sheet);
    nw_report_spots_measure(sheet, &box);
    bool placed = false, good = true;
    double pad = sheet->balloon_count ? FRAME_GAP * unit : 0;
    for (int round = 0; good && !placed && round < ROUNDS; round++, pad *= PAD_GROWTH) {
        *all = (nw_box){{box.min.x - pad, box.min.y - pad}, {box.max.x + pad, box.max.y + pad}};
        good = balloons_place(sheet, *all, &placed);
    }
    return good && placed;
}

static double draw_sheet(report_sheet *sheet, nw_box all)
{
    double unit = sheet->pen.unit, height = all.max.y - all.min.y;
    double top = draw_top(sheet);
    double spare = sheet->width - (all.max.x - all.min.x);
    shift(sheet, sheet->left + spare / 2 - all.min.x, top - all.min.y);
    nw_report_art_draw(sheet);
    nw_report_spots_draw(sheet);
    if (nw_report_origin_of(sheet)) {
        nw_report_origin_draw(&sheet->pen,
                              nw_report_placed(*nw_report_origin_of(sheet), &sheet->place));
    }
    double y = nw_report_legend_draw(sheet, top + height + 6 * unit);
    sheet->most = fmax(2 * height, PAPER * unit);
    y = nw_report_list_draw(sheet, y, sheet->balloon_count);
    y = nw_report_pen_paragraph(&sheet->pen, (nw_point){sheet->left, y}, sheet->width,
                                (report_lettering){2.8 * unit, true, REPORT_START, NULL},
                                nw_report_caution());
    return y + MARGIN * unit;
}

/* Spots on very small art are shown enlarged, by the scales of ISO 5455. */
static double sheet_scale(const nw_report *report)
{
    double size = fmax(report->drawing->width, report->drawing->height);
    if (!report->fit->spot_count || size > SMALL_ART_MM)
        return 1;
    return size > SMALL_ART_MM / 2 ? 2 : size > SMALL_ART_MM / 5 ? 5 : 10;
}

static double sheet_unit(const nw_drawing *drawing)
{
    double size = fmax(drawing->width, drawing->height);
    return size > PLAIN_SIZE_MM ? pow(size / PLAIN_SIZE_MM, GROWTH) : 1;
}

/* Puts the balloons in their places and draws all but the sheet's white ground. */
static void draw_all(report_sheet *sheet, report_drawn *drawn)
{
    nw_box all;
    if (!sheet->balloons || !lay_out(sheet, &all)) {
        drawn->body.failed = true;
        return;
    }
    const nw_point *origin = nw_report_origin_of(sheet);
    sheet->left = drawn->white = MARGIN * sheet->pen.unit;
    sheet->width = fmax(SHEET_LEAST * sheet->pen.unit - 2 * sheet->left, all.max.x - all.min.x);
    double height = draw_sheet(sheet, all);
    drawn->size = (nw_point){sheet->width + 2 * sheet->left, height};
    drawn->moved = origin;
    drawn->zero = origin ? nw_report_placed(*origin, &sheet->place) : (nw_point){0, 0};
}

nw_status nw_report_sheet_draw(const nw_report *report, const nw_change_report *change,
                               const report_canvas *canvas, report_drawn *drawn,
                               report_drawn *details, nw_error *error)
{
    *drawn = (report_drawn){.unit = 0};
    if (details)
        *details = *drawn;
    nw_status status = nw_report_check(report, error);
    if (status != NW_OK)
        return status;
    if (!report->drawing->count)
        return nw_fail(error, NW_BAD_REQUEST, "there is no outline to draw");
    drawn->unit = sheet_unit(report->drawing);
    report_sheet sheet = {.pen = {canvas, &drawn->body, drawn->unit},
                          .report = report,
                          .change = change,
                          .more = details ? "details.svg and spots.csv" : "spots.csv",
                          .place = {0, 0, sheet_scale(report)},
                          .balloon_count = report->fit->spot_count};
    if (sheet.balloon_count > REPORT_BALLOONS_MOST)
        sheet.balloon_count = REPORT_BALLOONS_MOST;
    sheet.balloons = nw_alloc(sheet.balloon_count, sizeof *sheet.balloons);
    draw_all(&sheet, drawn);
    if (details && !drawn->body.failed &&
        (nw_report_marks_count(&sheet) || sheet.listed < report->fit->spot_count))
        drawn->body.failed = !nw_report_details_draw(&sheet, details) || details->body.failed;
    nw_report_ground_free(&sheet.ground);
    free(sheet.balloons);
    status = nw_report_finish(&drawn->body,
                              change ? "the drawing of the change" : "the marked drawing", error);
    if (status != NW_OK && details)
        nw_text_free(&details->body);
    return status;
}

/* ---- as SVG -------------------------------------------------------------------------------- */

static nw_status write_sheet(const nw_report *report, const nw_change_report *change, nw_text *svg,
                             nw_text *details, nw_error *error)
{
    report_drawn drawn, second;
    nw_status status = nw_report_sheet_draw(report, change, &nw_report_svg_canvas, &drawn,
                                            details ? &second : NULL, error);
    if (status != NW_OK)
        return status;
    nw_report_svg_document(svg, report->art, &drawn);
    nw_text_free(&drawn.body);
    if (details && second.body.length) {
        nw_report_svg_document(details, report->art, &second);
        svg->failed = svg->failed || details->failed;
    }
    if (details)
        nw_text_free(&second.body);
    status = nw_report_finish(svg, "the drawing", error);
    if (status != NW_OK && details)
        nw_text_free(details);
    return status;
}

nw_status nw_write_marked(const nw_report *report, nw_text *svg, nw_text *details, nw_error *error)
{
    *svg = (nw_text){0};
    if (details)
        *details = (nw_text){0};
    return write_sheet(report, NULL, svg, details, error);
}

nw_status nw_write_widened(const nw_change_report *change, nw_text *svg, nw_error *error)
{
    nw_report before = nw_report_of_change(change, false);
    *svg = (nw_text){0};
    nw_status status = nw_report_change_check(change, error);
    return status == NW_OK ? write_sheet(&before, change, svg, NULL, error) : status;
}
