/*
 * marked: the annotated drawing, at true size on a sheet as large as it needs: verdict on top, the
 * art with what the bit reaches and what it cannot, spots with balloons in the margins round it,
 * then legend, scale and list, and the caution once.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdlib.h>

#define PAPER 280.0 /* units: a list may make any sheet so high */

/* ---- words on top ------------------------------------------------------------------------- */

static double draw_top(report_sheet *sheet)
{
    const nw_report *report = sheet->report;
    double unit = sheet->pen.unit, y = REPORT_MARGIN * unit;
    nw_text words = {0};
    if (sheet->change)
        nw_report_change_verdict(&words, sheet->change);
    else
        nw_report_verdict(&words, report);
    y = nw_report_sheet_words(sheet, y, 5.2, true, &words);
    if (report->fit->spot_count && !sheet->change) {
        nw_text_add(&words, "Worst, number 1: a ");
        nw_report_spot(&words, report->fit->spots, report->inch);
        y = nw_report_sheet_words(sheet, y + 0.5 * unit, 3.4, true, &words);
    }
    nw_report_subject(&words, report);
    y = nw_report_sheet_words(sheet, y + 0.5 * unit, 3, false, &words);
    if (sheet->change) {
        nw_report_change_areas(&words, sheet->change);
        nw_report_change_counts(&words, sheet->change);
    } else {
        nw_report_counts(&words, report);
    }
    y = nw_report_sheet_words(sheet, y, 3, false, &words);
    nw_report_doubts(&words, report);
    y = nw_report_sheet_words(sheet, y, 3, true, &words);
    for (size_t i = 0; i < report->note_count; i++) {
        nw_report_line(&words, report->notes[i]);
        y = nw_report_sheet_words(sheet, y, 2.8, false, &words);
    }
    if (sheet->place.scale != 1) {
        nw_text_add(&words, "Shown enlarged, ");
        nw_text_number(&words, sheet->place.scale, 0);
        nw_text_add(&words, " : 1. Below is the art at true size.");
        y = nw_report_sheet_words(sheet, y + 0.5 * unit, 3, true, &words);
    }
    return y + 3 * unit;
}

/* ---- all of it ----------------------------------------------------------------------------- */

static void shift(report_sheet *sheet, double x, double y)
{
    sheet->place.left -= x / sheet->place.scale;
    sheet->place.top += y / sheet->place.scale;
    sheet->ground.corner = (nw_point){sheet->ground.corner.x + x, sheet->ground.corner.y + y};
    for (size_t i = 0; i < sheet->balloon_count; i++) {
        report_balloon *balloon = &sheet->balloons[i];
        balloon->centre = nw_plus(balloon->centre, (nw_point){x, y}, 1);
        for (size_t k = 0; k < balloon->way.count; k++)
            balloon->way.points[k] = nw_plus(balloon->way.points[k], (nw_point){x, y}, 1);
    }
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
    return y + REPORT_MARGIN * unit;
}

/* Draws all but the sheet's white ground. */
static void draw_all(report_sheet *sheet, nw_box all, report_drawn *drawn)
{
    const nw_point *origin = nw_report_origin_of(sheet);
    sheet->left = drawn->white = REPORT_MARGIN * sheet->pen.unit;
    sheet->width = fmax(REPORT_WIDTH_LEAST * sheet->pen.unit, all.max.x - all.min.x);
    double height = draw_sheet(sheet, all);
    drawn->size = (nw_point){sheet->width + 2 * sheet->left, height};
    drawn->moved = origin;
    drawn->zero = origin ? nw_report_placed(*origin, &sheet->place) : (nw_point){0, 0};
}

static nw_status draw_laid_out(const nw_layout *layout, report_sheet *sheet, report_drawn *drawn,
                               report_drawn *details, nw_error *error)
{
    const char *what = sheet->change ? "the drawing of the change" : "the marked drawing";
    drawn->unit = sheet->pen.unit;
    drawn->body.failed = !nw_report_layout_take(layout, sheet);
    if (!drawn->body.failed)
        draw_all(sheet, layout->all, drawn);
    if (details && !drawn->body.failed &&
        (nw_report_marks_count(sheet) || nw_report_any_shares(sheet) ||
         sheet->listed < sheet->report->fit->spot_count))
        drawn->body.failed = !nw_report_details_draw(sheet, details) || details->body.failed;
    nw_report_ground_free(&sheet->ground);
    free(sheet->balloons);
    nw_status status = nw_report_finish(&drawn->body, what, error);
    if (status != NW_OK && details)
        nw_text_free(&details->body);
    return status;
}

nw_status nw_report_sheet_draw(const nw_report *report, const nw_change_report *change,
                               const report_canvas *canvas, report_drawn *drawn,
                               report_drawn *details, nw_error *error)
{
    *drawn = (report_drawn){.unit = 0};
    if (details)
        *details = *drawn;
    nw_layout *own = NULL;
    nw_status status = report->layout ? NW_OK : nw_report_layout_find(report, change, &own, error);
    if (status == NW_OK) {
        report_sheet sheet = nw_report_sheet_of(report, change);
        sheet.pen.canvas = canvas;
        sheet.pen.out = &drawn->body;
        sheet.more = details ? "details.svg and spots.csv" : "spots.csv";
        status = draw_laid_out(own ? own : report->layout, &sheet, drawn, details, error);
    }
    nw_layout_free(own);
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
