/*
 * sheet_legend: what stands under the marked drawing: the symbols that occur in it, the bit and a
 * scale bar at true size, and the list of spots with what to do about each.
 */
#include <report/sheet.h>

#include <math.h>
#include <string.h>

#define ROW 6.2 /* of the legend; all sizes are in units of the pen */
#define SWATCH 11
#define SMALL 2.6
#define COLUMN 83 /* of the list */
#define LIST_ROW 4.4
#define BIT_LARGEST 45 /* a larger bit would push everything else off the sheet */

static double unit_of(const report_sheet *sheet)
{
    return sheet->pen.unit;
}

static void small_text(report_sheet *sheet, nw_point at, report_anchor anchor, bool bold,
                       const char *text)
{
    report_pen_text(&sheet->pen, at, (report_lettering){SMALL * unit_of(sheet), bold, anchor, NULL},
                    text, strlen(text));
}

/* ---- symbols ------------------------------------------------------------------------------- */

typedef enum {
    ROW_REACHED,
    ROW_KEPT,
    ROW_GAP,
    ROW_NECK,
    ROW_CORNER,
    ROW_GAP_BALLOON,
    ROW_NECK_BALLOON,
    ROW_DIMENSION,
    ROW_DISC,
    ROW_NECK_DISC,
    ROW_MARKS,
    ROW_LIFT,
    ROWS
} legend_row;

static size_t count_spots(const nw_fit *fit, nw_side side)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++) {
        count += fit->spots[i].side == side;
    }
    return count;
}

static bool row_occurs(const report_sheet *sheet, legend_row row)
{
    const nw_fit *fit = sheet->report->fit;
    bool gaps = count_spots(fit, NW_GAP), necks = count_spots(fit, NW_NECK);
    switch (row) {
    case ROW_KEPT:
        return fit->options.cut == NW_CUT_OUTSIDE;
    case ROW_GAP:
    case ROW_GAP_BALLOON:
    case ROW_DISC:
        return gaps;
    case ROW_NECK:
    case ROW_NECK_BALLOON:
    case ROW_NECK_DISC:
        return necks;
    case ROW_CORNER:
        return fit->corners.count > 0;
    case ROW_DIMENSION:
        return fit->spot_count > 0;
    case ROW_MARKS:
        return fit->spot_count > sheet->balloon_count;
    case ROW_LIFT:
        return fit->lift_count > 0;
    default:
        return true;
    }
}

static const char *row_text(legend_row row)
{
    static const char *const texts[ROWS] = {
        [ROW_REACHED] = "cut: the bit gets here",
        [ROW_KEPT] = "the art: stock that stays",
        [ROW_GAP] = "gap: too narrow, stays uncut",
        [ROW_NECK] = "neck: stock that comes out too thin",
        [ROW_CORNER] = "corner: rounded or blunted, not listed",
        [ROW_GAP_BALLOON] = "gap: number; width, and how much to widen",
        [ROW_NECK_BALLOON] = "neck: number; width, and how much to widen",
        [ROW_DIMENSION] = "width at the narrowest, or depth of a stub",
        [ROW_DISC] = "the bit where it gets stuck",
        [ROW_NECK_DISC] = "disc as wide as the least neck",
        [ROW_MARKS] = "further gap, neck: see spots.csv",
        [ROW_LIFT] = "lift: raise the bit to pass, all gets cut",
    };
    return texts[row];
}

static void draw_area_swatch(report_sheet *sheet, legend_row row, nw_box box)
{
    double width = 0.2 * unit_of(sheet);
    switch (row) {
    case ROW_REACHED:
        report_pen_box(&sheet->pen, box, TINT_SKY, INK_BLACK, width);
        break;
    case ROW_KEPT:
        report_pen_box(&sheet->pen, box, INK_GREY, INK_BLACK, width);
        break;
    case ROW_GAP:
        report_pen_box(&sheet->pen, box, INK_VERMILLION, INK_BLACK, width);
        break;
    case ROW_NECK:
        report_pen_box(&sheet->pen, box, "url(#thin)", INK_BLUE, width);
        break;
    default:
        report_pen_box(&sheet->pen, box, INK_ORANGE, INK_BLACK, width);
    }
}

static void draw_symbol(report_sheet *sheet, legend_row row, nw_point middle)
{
    report_pen *pen = &sheet->pen;
    double unit = pen->unit;
    nw_point left = {middle.x - 2 * unit, middle.y}, right = {middle.x + 2 * unit, middle.y};
    switch (row) {
    case ROW_GAP_BALLOON:
        report_balloon_shape(pen, NW_GAP, middle, 2.3 * unit, false);
        break;
    case ROW_NECK_BALLOON:
        report_balloon_shape(pen, NW_NECK, middle, 2.3 * unit, false);
        break;
    case ROW_DIMENSION:
        report_pen_dimension(pen, (nw_point){middle.x - 0.4 * unit, middle.y},
                             (nw_point){middle.x + 0.4 * unit, middle.y}, 1, INK_BLACK);
        break;
    case ROW_DISC:
    case ROW_NECK_DISC:
        report_pen_circle(pen, middle, 2.2 * unit, NULL, INK_BLACK, 0.2 * unit,
                          row == ROW_NECK_DISC);
        break;
    case ROW_MARKS:
        report_balloon_shape(pen, NW_GAP, left, 0.8 * unit, false);
        report_balloon_shape(pen, NW_NECK, right, 0.8 * unit, false);
        break;
    default:
        report_lift_draw(pen, middle);
    }
}

static void draw_row(report_sheet *sheet, legend_row row, nw_point at)
{
    double unit = unit_of(sheet), half = ROW * unit / 2;
    nw_point middle = {at.x + SWATCH * unit / 2, at.y + half};
    if (row <= ROW_CORNER) {
        nw_box box = {{middle.x - 4.5 * unit, middle.y - 1.8 * unit},
                      {middle.x + 4.5 * unit, middle.y + 1.8 * unit}};
        draw_area_swatch(sheet, row, box);
    } else {
        draw_symbol(sheet, row, middle);
    }
    small_text(sheet, (nw_point){at.x + (SWATCH + 1.5) * unit, middle.y + 0.36 * SMALL * unit},
               REPORT_START, false, row_text(row));
}

/* ---- scale --------------------------------------------------------------------------------- */

/* 1, 2 or 5 times a power of ten, at most `most`. */
static double round_length(double most)
{
    double power = pow(10, floor(log10(most)));
    double factor = most / power;
    return power * (factor >= 5 ? 5 : factor >= 2 ? 2 : 1);
}

static void bar_label(report_sheet *sheet, nw_point at, double mm)
{
    nw_text label = {0};
    nw_text_number(&label, mm, 1);
    nw_text_add(&label, mm > 0 ? " mm" : "");
    small_text(sheet, at, REPORT_MIDDLE, false, label.data ? label.data : "");
    sheet->pen.svg->failed = sheet->pen.svg->failed || label.failed;
    nw_text_free(&label);
}

static double draw_scale(report_sheet *sheet, nw_point at, double width)
{
    double unit = unit_of(sheet), length = round_length(0.8 * width), height = 1.6 * unit;
    for (int i = 0; i < 10; i++) {
        nw_box box = {{at.x + i * length / 10, at.y},
                      {at.x + (i + 1) * length / 10, at.y + height}};
        report_pen_box(&sheet->pen, box, i % 2 ? INK_WHITE : INK_BLACK, INK_BLACK, 0.15 * unit);
    }
    double below = at.y + height + (SMALL + 0.6) * unit;
    bar_label(sheet, (nw_point){at.x, below}, 0);
    bar_label(sheet, (nw_point){at.x + length, below}, length);
    return report_pen_paragraph(
        &sheet->pen, (nw_point){at.x, below + 0.8 * unit}, width,
        (report_lettering){SMALL * unit, false, REPORT_START, NULL},
        "True size when printed at 100 %. Lay a ruler on the bar to check.");
}

static double draw_bit(report_sheet *sheet, nw_point at, double width)
{
    double unit = unit_of(sheet), bit = sheet->report->fit->options.bit;
    bool shown = bit <= BIT_LARGEST * unit;
    nw_text label = {0};
    nw_text_add(&label, "The bit, ");
    report_bit(&label, bit);
    nw_text_add(&label, shown ? " mm, at true size" : " mm, too large to draw here");
    double across = shown ? bit : 0, height = fmax(across, 5 * unit);
    if (shown) {
        nw_point centre = {at.x + bit / 2, at.y + height / 2};
        report_pen_circle(&sheet->pen, centre, bit / 2, INK_WHITE, INK_BLACK, 0.2 * unit, false);
    }
    double text_left = at.x + across + (shown ? 2 : 0) * unit;
    report_pen_paragraph(&sheet->pen, (nw_point){text_left, at.y + height / 2 - 0.6 * SMALL * unit},
                         width - (text_left - at.x),
                         (report_lettering){SMALL * unit, false, REPORT_START, NULL},
                         label.data ? label.data : "");
    sheet->pen.svg->failed = sheet->pen.svg->failed || label.failed;
    nw_text_free(&label);
    return at.y + height + 2 * unit;
}

double report_legend_draw(report_sheet *sheet, double top)
{
    double unit = unit_of(sheet), y = top, right = sheet->left + COLUMN * unit;
    for (int row = 0; row < ROWS; row++) {
        if (row_occurs(sheet, (legend_row)row)) {
            draw_row(sheet, (legend_row)row, (nw_point){sheet->left, y});
            y += ROW * unit;
        }
    }
    double width = sheet->left + sheet->width - right;
    double below = draw_bit(sheet, (nw_point){right, top + 0.6 * unit}, width);
    below = draw_scale(sheet, (nw_point){right + 1.5 * unit, below + unit},
                       fmin(width - 1.5 * unit, 160 * unit));
    return fmax(y, below) + 2 * unit;
}

/* ---- list ---------------------------------------------------------------------------------- */

/* Columns of the list: where each begins or, for figures, ends. */
#define AT_NUMBER 6
#define AT_KIND 10.5
#define AT_SIZE 43
#define AT_WIDEN 58
#define AT_PLACE 80

static void add_size(nw_text *text, const nw_spot *spot)
{
    if (spot->form == NW_PINCH) {
        report_length(text, spot->width);
        nw_text_add(text, " wide");
    } else if (spot->form == NW_STUB) {
        report_length(text, spot->depth);
        nw_text_add(text, " deep");
    } else {
        nw_text_add(text, "all lost");
    }
}

static void list_cell(report_sheet *sheet, nw_point row, double column, report_anchor anchor,
                      bool bold, nw_text *text)
{
    nw_point at = {row.x + column * unit_of(sheet), row.y};
    small_text(sheet, at, anchor, bold, text->data ? text->data : "");
    sheet->pen.svg->failed = sheet->pen.svg->failed || text->failed;
    nw_text_free(text);
}

static void draw_list_row(report_sheet *sheet, nw_point row, size_t index)
{
    const nw_spot *spot = &sheet->report->fit->spots[index];
    double unit = unit_of(sheet);
    bool worst = index == 0;
    nw_text cell = {0};
    if (worst) {
        nw_box box = {{row.x, row.y - 3.1 * unit}, {row.x + (AT_PLACE + 1) * unit, row.y + unit}};
        report_pen_box(&sheet->pen, box, INK_GREY, INK_BLACK, 0.25 * unit);
    }
    nw_text_format(&cell, "%zu", index + 1);
    list_cell(sheet, row, AT_NUMBER, REPORT_END, true, &cell);
    report_balloon_shape(&sheet->pen, spot->side,
                         (nw_point){row.x + 8.3 * unit, row.y - 0.36 * SMALL * unit}, 1.1 * unit,
                         false);
    nw_text_format(&cell, "%s %s", nw_side_name(spot->side), nw_form_name(spot->form));
    list_cell(sheet, row, AT_KIND, REPORT_START, worst, &cell);
    add_size(&cell, spot);
    list_cell(sheet, row, AT_SIZE, REPORT_END, worst, &cell);
    if (spot->widen >= 0) {
        nw_text_add(&cell, "+");
        report_widen(&cell, spot->widen);
    }
    list_cell(sheet, row, AT_WIDEN, REPORT_END, worst, &cell);
    nw_text_fixed(&cell, spot->at.x, 1);
    nw_text_add(&cell, ", ");
    nw_text_fixed(&cell, spot->at.y, 1);
    list_cell(sheet, row, AT_PLACE, REPORT_END, worst, &cell);
}

static void draw_list_head(report_sheet *sheet, nw_point row)
{
    static const char *const names[] = {"no.", "what", "size", "widen by", "at x, y"};
    static const double columns[] = {AT_NUMBER, AT_KIND, AT_SIZE, AT_WIDEN, AT_PLACE};
    double unit = unit_of(sheet);
    for (int i = 0; i < 5; i++) {
        small_text(sheet, (nw_point){row.x + columns[i] * unit, row.y},
                   i == 1 ? REPORT_START : REPORT_END, false, names[i]);
    }
    report_pen_line(&sheet->pen, (nw_point){row.x, row.y + 1.1 * unit},
                    (nw_point){row.x + (AT_PLACE + 1) * unit, row.y + 1.1 * unit}, 0.25 * unit,
                    INK_BLACK);
}

double report_list_draw(report_sheet *sheet, double top)
{
    size_t count = sheet->balloon_count, all = sheet->report->fit->spot_count;
    double unit = unit_of(sheet), row = LIST_ROW * unit, head = top + SMALL * unit;
    if (!count) {
        return top;
    }
    size_t columns = (size_t)fmax(1, floor((sheet->width + 3 * unit) / (COLUMN * unit)));
    size_t rows = (count + columns - 1) / columns;
    for (size_t i = 0; i < count; i++) {
        nw_point at = {sheet->left + (double)(i / rows) * COLUMN * unit,
                       head + (double)(i % rows + 1) * row + 0.6 * unit};
        if (i % rows == 0) {
            draw_list_head(sheet, (nw_point){at.x, head});
        }
        draw_list_row(sheet, at, i);
    }
    double y = head + (double)rows * row + 2 * unit;
    nw_text tail = {0};
    if (all > count) {
        nw_text_format(&tail, "and %zu more in spots.csv. ", all - count);
    }
    nw_text_add(&tail, "Lengths in millimetres; x, y from the art's lower left corner.");
    y = report_pen_paragraph(&sheet->pen, (nw_point){sheet->left, y}, sheet->width,
                             (report_lettering){SMALL * unit, all > count, REPORT_START, NULL},
                             tail.data ? tail.data : "");
    sheet->pen.svg->failed = sheet->pen.svg->failed || tail.failed;
    nw_text_free(&tail);
    return y + 2 * unit;
}
