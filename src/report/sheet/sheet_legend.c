/*
 * sheet_legend: what stands right under the marked drawing: the symbols that occur in it, the bit
 * and a scale bar at true size.
 */
#include <report/sheet/sheet.h>

#include <math.h>

#define ROW 6.2 /* of the legend; all sizes are in units of the pen */
#define SWATCH 11
#define BIT_LARGEST 45 /* a larger bit would push everything else off the sheet */

/* ---- symbols ------------------------------------------------------------------------------- */

typedef enum {
    ROW_REACHED,
    ROW_KEPT,
    ROW_ADDED,
    ROW_REMOVED,
    ROW_GAP,
    ROW_NECK,
    ROW_CORNER,
    ROW_TAB,
    ROW_OLD,
    ROW_EDGE,
    ROW_GAP_BALLOON,
    ROW_NECK_BALLOON,
    ROW_DIMENSION,
    ROW_DISC,
    ROW_NECK_DISC,
    ROW_STACK,
    ROW_MARKS,
    ROW_LIFT,
    ROW_ORIGIN,
    ROWS
} legend_row;

static size_t count_spots(const nw_fit *fit, nw_side side)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++)
        count += fit->spots[i].side == side;
    return count;
}

/* The drawing of a widening shows two outlines and no residues. */
static bool row_occurs(const report_sheet *sheet, legend_row row)
{
    const nw_fit *fit = sheet->report->fit;
    const nw_change_report *change = sheet->change;
    bool gaps = count_spots(fit, NW_GAP), necks = count_spots(fit, NW_NECK);
    bool outside = fit->options.cut == NW_CUT_OUTSIDE;
    switch (row) {
    case ROW_REACHED:
        return !change || !outside;
    case ROW_KEPT:
        return outside;
    case ROW_ADDED:
        return change && change->added->count;
    case ROW_REMOVED:
        return change && change->removed->count;
    case ROW_OLD:
        return change;
    case ROW_GAP:
        return gaps && !change;
    case ROW_NECK:
        return necks && !change;
    case ROW_CORNER:
        return fit->corners.count && !change;
    case ROW_LIFT:
        return fit->lift_count && !change;
    case ROW_EDGE:
        return nw_report_edges_near(sheet) && !change;
    case ROW_GAP_BALLOON:
    case ROW_DISC:
        return gaps;
    case ROW_NECK_BALLOON:
    case ROW_NECK_DISC:
        return necks;
    case ROW_DIMENSION:
        return fit->spot_count;
    case ROW_STACK:
        return nw_report_any_shares(sheet);
    case ROW_MARKS:
        return nw_report_marks_count(sheet);
    case ROW_ORIGIN:
        return nw_report_origin_of(sheet);
    case ROW_TAB:
        return nw_report_tabs_of(sheet)->count;
    case ROWS:
        break;
    }
    return false;
}

static const char *row_text(const report_sheet *sheet, legend_row row)
{
    static const char *const texts[ROWS] = {
        [ROW_REACHED] = "cut: the bit gets here",
        [ROW_KEPT] = "the art: stock that stays",
        [ROW_ADDED] = "added to the art",
        [ROW_REMOVED] = "taken from the art",
        [ROW_TAB] = "tab: holds the part until cut free by hand",
        [ROW_OLD] = "outline before; the full line is the new one",
        [ROW_EDGE] = "edge of the sheet",
        [ROW_GAP] = "gap: too narrow, stays uncut",
        [ROW_NECK] = "neck: stock that comes out too thin",
        [ROW_CORNER] = "corner: rounded or blunted, not listed",
        [ROW_GAP_BALLOON] = "gap: number; width, and how much to widen",
        [ROW_NECK_BALLOON] = "neck: number; width, and how much to widen",
        [ROW_DIMENSION] = "width at the narrowest, or depth of a stub",
        [ROW_DISC] = "the bit where it gets stuck",
        [ROW_NECK_DISC] = "disc as wide as the least neck",
        [ROW_STACK] = "several on one leader, numbered where there is room",
        [ROW_MARKS] = "further gap, neck, numbered as in spots.csv",
        [ROW_ORIGIN] = "origin of the written drawings",
        [ROW_LIFT] = "lift: raise the bit to pass, all gets cut",
    };
    return sheet->change && row == ROW_REACHED ? "the art: to be cut" : texts[row];
}

static void draw_area_swatch(report_sheet *sheet, legend_row row, nw_box box)
{
    const char *const fills[] = {
        [ROW_REACHED] = TINT_SKY,   [ROW_KEPT] = INK_GREY,
        [ROW_ADDED] = INK_GREEN,    [ROW_REMOVED] = INK_PURPLE,
        [ROW_GAP] = INK_VERMILLION, [ROW_NECK] = REPORT_HATCH,
        [ROW_CORNER] = INK_ORANGE,  [ROW_TAB] = nw_report_tab_ink(sheet),
    };
    nw_report_pen_box(&sheet->pen, box, fills[row], row == ROW_NECK ? INK_BLUE : INK_BLACK,
                      0.2 * sheet->pen.unit);
}

static void draw_symbol(report_sheet *sheet, legend_row row, nw_point middle)
{
    report_pen *pen = &sheet->pen;
    double unit = pen->unit;
    nw_point left = {middle.x - 2 * unit, middle.y}, right = {middle.x + 2 * unit, middle.y};
    nw_point over = {middle.x, middle.y - 1.3 * unit}, under = {middle.x, middle.y + 1.3 * unit};
    switch (row) {
    case ROW_GAP_BALLOON:
        nw_report_balloon_shape(pen, NW_GAP, middle, 2.3 * unit, false);
        break;
    case ROW_NECK_BALLOON:
        nw_report_balloon_shape(pen, NW_NECK, middle, 2.3 * unit, false);
        break;
    case ROW_DIMENSION:
        nw_report_pen_dimension(pen,
                                (const nw_point[]){{middle.x - 0.4 * unit, middle.y},
                                                   {middle.x + 0.4 * unit, middle.y}},
                                1, INK_BLACK);
        break;
    case ROW_DISC:
    case ROW_NECK_DISC:
        nw_report_pen_circle(pen, middle, 2.2 * unit, NULL, INK_BLACK, 0.2 * unit,
                             row == ROW_NECK_DISC);
        break;
    case ROW_OLD:
        nw_report_old_line(pen, (nw_point){middle.x - 4.5 * unit, middle.y},
                           (nw_point){middle.x + 4.5 * unit, middle.y});
        break;
    case ROW_EDGE:
        nw_report_edge_draw(pen, (nw_point){middle.x - 4.5 * unit, middle.y},
                            (nw_point){middle.x + 4.5 * unit, middle.y});
        break;
    case ROW_ORIGIN:
        nw_report_origin_draw(pen, middle);
        break;
    case ROW_STACK:
        nw_report_pen_line(pen, (nw_point){middle.x - 4.5 * unit, over.y}, over, 0.2 * unit,
                           INK_BLACK);
        nw_report_balloon_shape(pen, NW_GAP, over, 1.2 * unit, false);
        nw_report_balloon_shape(pen, NW_GAP, under, 1.2 * unit, false);
        break;
    case ROW_MARKS:
        nw_report_balloon_shape(pen, NW_GAP, left, 0.8 * unit, false);
        nw_report_balloon_shape(pen, NW_NECK, right, 0.8 * unit, false);
        break;
    default:
        nw_report_lift_draw(pen, middle);
    }
}

static void draw_row(report_sheet *sheet, legend_row row, nw_point at)
{
    double unit = sheet->pen.unit, half = ROW * unit / 2;
    nw_point middle = {at.x + SWATCH * unit / 2, at.y + half};
    if (row <= ROW_TAB) {
        nw_box box = {{middle.x - 4.5 * unit, middle.y - 1.8 * unit},
                      {middle.x + 4.5 * unit, middle.y + 1.8 * unit}};
        draw_area_swatch(sheet, row, box);
    } else {
        draw_symbol(sheet, row, middle);
    }
    nw_report_pen_text(
        &sheet->pen,
        (nw_point){at.x + (SWATCH + 1.5) * unit, middle.y + 0.36 * REPORT_SMALL * unit},
        nw_report_small(&sheet->pen, REPORT_START, false), row_text(sheet, row));
}

/* ---- scale --------------------------------------------------------------------------------- */

/* 1, 2 or 5 times a power of ten, at most `most`. */
static double round_length(double most)
{
    double power = nw_power(10, nw_decade(most));
    double factor = most / power;
    return power * (factor >= 5 ? 5 : factor >= 2 ? 2 : 1);
}

static void bar_label(report_sheet *sheet, nw_point at, double mm)
{
    nw_text label = {0};
    if (mm > 0)
        nw_report_round(&label, mm, sheet->report->inch);
    else
        nw_text_add(&label, "0");
    nw_report_pen_words(&sheet->pen, at, nw_report_small(&sheet->pen, REPORT_MIDDLE, false),
                        &label);
}

static double draw_scale(report_sheet *sheet, nw_point at, double width)
{
    double unit = sheet->pen.unit, height = 1.6 * unit;
    double one = sheet->report->inch ? NW_MM_PER_INCH : 1;
    double length = one * round_length(0.8 * width / one);
    for (int i = 0; i < 10; i++) {
        nw_box box = {{at.x + i * length / 10, at.y},
                      {at.x + (i + 1) * length / 10, at.y + height}};
        nw_report_pen_box(&sheet->pen, box, i % 2 ? INK_WHITE : INK_BLACK, INK_BLACK, 0.15 * unit);
    }
    double below = at.y + height + (REPORT_SMALL + 0.6) * unit;
    bar_label(sheet, (nw_point){at.x, below}, 0);
    bar_label(sheet, (nw_point){at.x + length, below}, length);
    return nw_report_pen_paragraph(
        &sheet->pen, (nw_point){at.x, below + 0.8 * unit}, width,
        nw_report_small(&sheet->pen, REPORT_START, false),
        "True size when printed at 100 %. Lay a ruler on the bar to check.");
}

/* The art at true size, where the drawing above is enlarged. */
static double draw_true_size(report_sheet *sheet, nw_point at)
{
    report_frame enlarged = sheet->place;
    if (enlarged.scale == 1)
        return at.y;
    nw_box box = nw_drawing_box(sheet->report->drawing);
    double unit = sheet->pen.unit, top = at.y + 2 * unit, height = box.max.y - box.min.y;
    sheet->place = (report_frame){box.min.x - at.x, box.max.y + top, 1};
    nw_report_pen_drawing(&sheet->pen, sheet->report->drawing, sheet->place, TINT_SKY, INK_BLACK,
                          0.15 * unit);
    sheet->place = enlarged;
    nw_report_pen_text(&sheet->pen,
                       (nw_point){at.x + box.max.x - box.min.x + 2 * unit, top + height / 2},
                       nw_report_small(&sheet->pen, REPORT_START, false), "The art at true size");
    return top + fmax(height, ROW * unit);
}

static double draw_bit(report_sheet *sheet, nw_point at, double width)
{
    double unit = sheet->pen.unit, bit = sheet->report->fit->options.bit;
    bool shown = bit <= BIT_LARGEST * unit;
    nw_text label = {0};
    nw_text_add(&label, "The bit, ");
    nw_report_bit(&label, bit, sheet->report->inch);
    nw_text_add(&label, shown ? ", at true size" : ", too large to draw here");
    double across = shown ? bit : 0, height = fmax(across, 5 * unit);
    if (shown) {
        nw_point centre = {at.x + bit / 2, at.y + height / 2};
        nw_report_pen_circle(&sheet->pen, centre, bit / 2, INK_WHITE, INK_BLACK, 0.2 * unit, false);
    }
    double text_left = at.x + across + (shown ? 2 : 0) * unit;
    nw_report_pen_sentences(
        &sheet->pen, (nw_point){text_left, at.y + height / 2 - 0.6 * REPORT_SMALL * unit},
        width - (text_left - at.x), nw_report_small(&sheet->pen, REPORT_START, false), &label);
    return at.y + height + 2 * unit;
}

static double draw_true_sizes(report_sheet *sheet, nw_point at, double width)
{
    double unit = sheet->pen.unit, inset = 1.5 * unit;
    double y = draw_bit(sheet, (nw_point){at.x, at.y + 0.6 * unit}, width);
    y = draw_scale(sheet, (nw_point){at.x + inset, y + unit}, fmin(width - inset, 160 * unit));
    return draw_true_size(sheet, (nw_point){at.x + inset, y});
}

/* Rows fill the first column and the second, there below what stands at its head, so that both
 * end as high as they can. */
static double draw_rows(report_sheet *sheet, double top, double second_top)
{
    double row = ROW * sheet->pen.unit;
    size_t count = 0, drawn = 0;
    for (int r = 0; r < ROWS; r++)
        count += row_occurs(sheet, (legend_row)r);
    size_t first = (size_t)ceil(((double)count + (second_top - top) / row) / 2);
    first = first > count ? count : first;
    for (int r = 0; r < ROWS; r++) {
        if (!row_occurs(sheet, (legend_row)r))
            continue;
        bool left = drawn < first;
        nw_point at = {sheet->left + (left ? 0 : REPORT_COLUMN * sheet->pen.unit),
                       left ? top + (double)drawn * row
                            : second_top + (double)(drawn - first) * row};
        draw_row(sheet, (legend_row)r, at);
        drawn++;
    }
    return fmax(top + (double)first * row, second_top + (double)(count - first) * row);
}

double nw_report_legend_draw(report_sheet *sheet, double top)
{
    double unit = sheet->pen.unit, column = REPORT_COLUMN * unit;
    bool third = sheet->width >= 3 * column;
    double right = sheet->left + (third ? 2 : 1) * column;
    double below =
        draw_true_sizes(sheet, (nw_point){right, top}, sheet->left + sheet->width - right);
    double rows = draw_rows(sheet, top, third ? top : below + unit);
    return fmax(rows, below) + 2 * unit;
}
