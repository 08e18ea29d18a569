/* pieces_table: the list of what is in the art, as a table and as JSON. */
#include <report/files/json_text.h>
#include <report/parts.h>
#include <report/sheet/pieces_sheet.h>

#include <math.h>

#define SPECKS_MOST 10 /* rows for specks in the table; the JSON has all */
#define SIDE_COLUMNS 10
#define INCH_COLUMNS 16

static double unit_of(const nw_pieces_report *report)
{
    return report->unit_mm > 0 ? report->unit_mm : 1;
}

/* Where the kept art's lower left corner lies in the pieces' own coordinates. */
static nw_point origin_of(const nw_pieces_report *report)
{
    double left = INFINITY, bottom = INFINITY;
    double up = report->y_down ? -1 : 1;
    for (size_t i = 0; i < report->pieces->count; i++) {
        const nw_piece *piece = &report->pieces->items[i];
        if (piece->kept) {
            left = fmin(left, piece->box.min.x);
            bottom = fmin(bottom, up * (report->y_down ? piece->box.max.y : piece->box.min.y));
        }
    }
    return isfinite(left) ? (nw_point){left, bottom} : (nw_point){0, 0};
}

static nw_box box_from(const nw_pieces_report *report, nw_point origin, const nw_piece *piece)
{
    double unit = unit_of(report);
    double low = report->y_down ? -piece->box.max.y : piece->box.min.y;
    double height = nw_box_height(piece->box);
    nw_point min = {(piece->box.min.x - origin.x) * unit, (low - origin.y) * unit};
    return (nw_box){min, {min.x + (nw_box_width(piece->box)) * unit, min.y + height * unit}};
}

nw_box nw_report_piece_box(const nw_pieces_report *report, const nw_piece *piece)
{
    return box_from(report, origin_of(report), piece);
}

nw_status nw_report_pieces_check(const nw_pieces_report *report, nw_error *error)
{
    if (!report->art || !report->pieces || !report->kept || !report->dropped)
        return nw_fail(error, NW_INTERNAL, "a list of pieces lacks its art, pieces or drawing");
    return NW_OK;
}

/* ---- the table ----------------------------------------------------------------------------- */

static void add_cell(nw_text *table, double value, int decimals, int width)
{
    nw_text digits = {0};
    nw_text_fixed(&digits, value, decimals);
    nw_text_take(table, &digits, width);
}

/* A side of a piece; an inch has its fraction beside it. */
static void add_side(nw_text *table, double mm, bool inch, int decimals)
{
    nw_text cell = {0};
    if (!inch) {
        add_cell(table, mm, decimals, SIDE_COLUMNS);
        return;
    }
    nw_report_length_cell(&cell, mm, true);
    nw_text_take(table, &cell, INCH_COLUMNS);
}

static void add_row(nw_text *table, const nw_pieces_report *report, const nw_piece *piece)
{
    bool inch = report->inch && report->unit_mm > 0;
    double unit = unit_of(report) / (inch ? NW_MM_PER_INCH : 1);
    int decimals = report->unit_mm > 0 ? 2 + 2 * inch : 0;
    nw_text_format(table, "%6zu", piece->number);
    add_side(table, (nw_box_width(piece->box)) * unit_of(report), inch, decimals);
    add_side(table, (nw_box_height(piece->box)) * unit_of(report), inch, decimals);
    add_cell(table, piece->area * unit * unit, decimals, 14);
    nw_text_format(table, "%7zu  %-9s  %s\n", piece->holes, nw_piece_guess_name(piece->guess),
                   piece->kept ? "kept" : "dropped");
}

nw_status nw_write_pieces_table(const nw_pieces_report *report, nw_text *table, nw_error *error)
{
    *table = (nw_text){0};
    nw_status status = nw_report_pieces_check(report, error);
    if (status != NW_OK)
        return status;
    const char *unit = report->unit_mm > 0 ? nw_report_unit(report->inch) : "px";
    int width = report->inch && report->unit_mm > 0 ? INCH_COLUMNS : SIDE_COLUMNS;
    nw_text_format(table, "number%*s %s%*s %s      area %s2  holes  guess\n", width - 3, "wide",
                   unit, width - 3, "high", unit, unit);
    size_t specks = 0;
    for (size_t i = 0; i < report->pieces->count; i++) {
        const nw_piece *piece = &report->pieces->items[i];
        specks += piece->guess == NW_PIECE_SPECK;
        if (piece->guess != NW_PIECE_SPECK || specks <= SPECKS_MOST)
            add_row(table, report, piece);
    }
    if (specks > SPECKS_MOST)
        nw_text_format(table, "and %zu more specks\n", specks - SPECKS_MOST);
    return nw_report_finish(table, "the table of pieces", error);
}

/* ---- JSON ---------------------------------------------------------------------------------- */

static void piece_write(nw_json *j, const nw_pieces_report *report, nw_point origin,
                        const nw_piece *piece)
{
    nw_box box = box_from(report, origin, piece);
    nw_point middle = nw_middle(box.min, box.max);
    double unit = unit_of(report);
    nw_json_open(j, NULL, '{');
    nw_json_count(j, "number", piece->number);
    nw_json_pair(j, "at", middle.x, middle.y);
    nw_json_pair(j, "size", nw_box_width(box), nw_box_height(box));
    nw_json_number(j, "area", piece->area * unit * unit);
    nw_json_count(j, "holes", piece->holes);
    nw_json_string(j, "guess", nw_piece_guess_name(piece->guess));
    nw_json_flag(j, "kept", piece->kept);
    nw_json_close(j, '}');
}

nw_status nw_write_pieces_json(const nw_pieces_report *report, nw_text *json, nw_error *error)
{
    *json = (nw_text){0};
    nw_status status = nw_report_pieces_check(report, error);
    if (status != NW_OK)
        return status;
    nw_json j = {.text = json};
    nw_json_open(&j, NULL, '{');
    nw_json_string(&j, "narrows", NW_VERSION);
    nw_json_string(&j, "art", report->art);
    nw_json_string(&j, "unit", report->unit_mm > 0 ? "mm" : "px");
    nw_json_pair(&j, "size", report->kept->width, report->kept->height);
    nw_json_open(&j, "pieces", '[');
    for (size_t i = 0; i < report->pieces->count; i++)
        piece_write(&j, report, origin_of(report), &report->pieces->items[i]);
    nw_json_close(&j, ']');
    nw_json_close(&j, '}');
    return nw_report_finish(json, "the list of pieces", error);
}
