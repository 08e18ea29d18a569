/*
 * pdf_sheet: what stands on the sheets of paper: a part of the drawing at true size, marks to lay
 * neighbours on one another and a ruler; and the plan of all sheets. The drawing itself is the form
 * /Drawing, the letters are in the fonts /F1 and /F2 (pdf.c).
 */
#include <report/pdf_parts.h>

#include <math.h>

#define SHORT_MM 210.0 /* of A4; Letter has 215.9 */
#define LONG_MM 279.4  /* of Letter; A4 has 297 */
#define SIDE_MM 10.0   /* what printers leave white, and a little more */
#define TOP_MM 8.0
#define STRIP_MM 22.0 /* for the ruler, with the margin below it */
#define OVERLAP_MM 10.0
#define LETTERS_MM 2.6
#define PLAN_LETTERS_MM 5.0
#define HAIR_MM 0.15

/* ---- tiles --------------------------------------------------------------------------------- */

/* Millimetres from one tile to the next. */
static double step_of(const report_pdf_tiling *t, int axis)
{
    return t->tile[axis] - OVERLAP_MM;
}

static size_t tiles_along(double size, double tile)
{
    double more = ceil((size - tile - 1e-6) / (tile - OVERLAP_MM));
    return more > 0 ? (size_t)more + 1 : 1;
}

static report_pdf_tiling tiling_for(double width, double height, bool upright)
{
    report_pdf_tiling t = {.page = {upright ? SHORT_MM : LONG_MM, upright ? LONG_MM : SHORT_MM}};
    t.tile[0] = t.page[0] - 2 * SIDE_MM;
    t.tile[1] = t.page[1] - TOP_MM - STRIP_MM;
    t.columns = tiles_along(width, t.tile[0]);
    t.rows = tiles_along(height, t.tile[1]);
    return t;
}

/* The way of holding the paper that takes fewer sheets; upright where both take the same. */
report_pdf_tiling report_pdf_tiling_choose(double width, double height)
{
    report_pdf_tiling upright = tiling_for(width, height, true),
                      across = tiling_for(width, height, false);
    return across.columns * across.rows < upright.columns * upright.rows ? across : upright;
}

/* ---- marks and ruler ----------------------------------------------------------------------- */

static void add_line(nw_text *pdf, double x0, double y0, double x1, double y1)
{
    report_pdf_numbers(pdf, (double[]){x0, y0}, 2, "m");
    report_pdf_numbers(pdf, (double[]){x1, y1}, 2, "l");
    nw_text_add(pdf, "S\n");
}

static void add_words(nw_text *pdf, double x, double y, const char *words)
{
    report_pdf_letters(pdf, (nw_point){x, y}, LETTERS_MM, false, words);
}

static void move(nw_text *pdf, double x, double y)
{
    report_pdf_numbers(pdf, (double[]){1, 0, 0, 1, x, y}, 6, "cm");
}

/* A cross in a ring, in the middle of where tiles overlap. */
static void add_mark(nw_text *pdf, double x, double y)
{
    report_pdf_circle(pdf, (nw_point){x, y}, 2);
    nw_text_add(pdf, "S\n");
    add_line(pdf, x - 3.5, y, x + 3.5, y);
    add_line(pdf, x, y - 3.5, x, y + 3.5);
}

/* Marks at the four corners of a tile, and the line to cut along between them. */
static void add_marks(nw_text *pdf, const report_pdf_tiling *t)
{
    double x[] = {OVERLAP_MM / 2, t->tile[0] - OVERLAP_MM / 2};
    double y[] = {OVERLAP_MM / 2, t->tile[1] - OVERLAP_MM / 2};
    nw_text_add(pdf, "q\n");
    move(pdf, SIDE_MM, TOP_MM);
    nw_text_add(pdf, "q 0.5 0.5 0.5 RG [1 2] 0 d\n");
    report_pdf_numbers(pdf, (double[]){x[0], y[0], x[1] - x[0], y[1] - y[0]}, 4, "re");
    nw_text_add(pdf, "S Q\n");
    for (int i = 0; i < 4; i++) {
        add_mark(pdf, x[i % 2], y[i / 2]);
    }
    nw_text_add(pdf, "Q\n");
}

/* Ticks of a ruler: every `major` and every `half` of them are longer. side is -1 up, 1 down. */
static void add_ticks(nw_text *pdf, double step, int count, int half, int major, int side)
{
    for (int i = 0; i <= count; i++) {
        double length = i % major == 0 ? 4 : i % half == 0 ? 2.8 : 1.6;
        add_line(pdf, i * step, 0, i * step, side * length);
    }
}

static void add_ruler(nw_text *pdf)
{
    add_line(pdf, 0, 0, 4 * NW_MM_PER_INCH, 0);
    add_ticks(pdf, 1, 100, 5, 10, -1);
    add_ticks(pdf, NW_MM_PER_INCH / 16, 64, 4, 16, 1);
    add_words(pdf, 103, -1, "100 mm");
    add_words(pdf, 103, 3, "4 in");
}

static void add_notes(nw_text *pdf, const report_pdf_tiling *t, size_t column, size_t row)
{
    nw_text words = {0};
    add_words(pdf, 0, -1.5, "Print at 100 %, then measure the ruler.");
    if (t->columns * t->rows > 1) {
        nw_text_format(&words, "Sheet %zu of %zu: row %zu, column %zu.",
                       row * t->columns + column + 1, t->columns * t->rows, row + 1, column + 1);
        add_words(pdf, 0, 2, words.data ? words.data : "");
        add_words(pdf, 0, 5.5, "Lay the crosses of neighbours on one another.");
    }
    pdf->failed = pdf->failed || words.failed;
    nw_text_free(&words);
}

static void add_strip(nw_text *pdf, const report_pdf_tiling *t, size_t column, size_t row)
{
    nw_text_add(pdf, "q\n");
    move(pdf, SIDE_MM, t->page[1] - STRIP_MM + 8);
    add_ruler(pdf);
    move(pdf, 124, 0);
    add_notes(pdf, t, column, row);
    nw_text_add(pdf, "Q\n");
}

/* ---- sheets -------------------------------------------------------------------------------- */

/* From millimetres down from the sheet's upper left corner to points up from its lower left one. */
static void add_matrix(nw_text *pdf, const report_pdf_tiling *t)
{
    double scale = REPORT_POINTS_PER_MM;
    nw_text_number(pdf, scale, 9);
    nw_text_add(pdf, " 0 0 ");
    nw_text_number(pdf, -scale, 9);
    nw_text_add(pdf, " ");
    report_pdf_numbers(pdf, (double[]){0, t->page[1] * scale}, 2, "cm");
}

void report_pdf_sheet(nw_text *pdf, const report_pdf_tiling *t, size_t column, size_t row)
{
    add_matrix(pdf, t);
    nw_text_add(pdf, "q\n");
    move(pdf, SIDE_MM, TOP_MM);
    report_pdf_numbers(pdf, (double[]){0, 0, t->tile[0], t->tile[1]}, 4, "re");
    nw_text_add(pdf, "W n\n");
    move(pdf, -(double)column * step_of(t, 0), -(double)row * step_of(t, 1));
    nw_text_add(pdf, "/Drawing Do\nQ\n");
    report_pdf_numbers(pdf, (double[]){HAIR_MM}, 1, "w");
    if (t->columns * t->rows > 1) {
        add_marks(pdf, t);
    }
    add_strip(pdf, t, column, row);
}

/* ---- the plan ------------------------------------------------------------------------------ */

/* Where sheet i begins along an axis, once neighbours are cut in the middle of what they share; the
 * outer edges stay whole. */
static double cut_place(const report_pdf_tiling *t, int axis, size_t i, size_t count, double size)
{
    return i == 0 ? 0 : i == count ? size : (double)i * step_of(t, axis) + OVERLAP_MM / 2;
}

/* The borders of the sheets and their numbers, at the scale of the plan. */
static void add_grid(nw_text *pdf, const report_pdf_tiling *t, const report_pdf_drawing *drawing,
                     double scale)
{
    double sizes[] = {drawing->width, drawing->height};
    nw_text_add(pdf, "0.4 0.4 0.4 RG 0.4 0.4 0.4 rg 0.3 w [2 1] 0 d\n");
    for (size_t i = 0; i < t->columns * t->rows; i++) {
        size_t at[] = {i % t->columns, i / t->columns}, counts[] = {t->columns, t->rows};
        double low[2], high[2];
        for (int axis = 0; axis < 2; axis++) {
            low[axis] = scale * cut_place(t, axis, at[axis], counts[axis], sizes[axis]);
            high[axis] = scale * cut_place(t, axis, at[axis] + 1, counts[axis], sizes[axis]);
        }
        report_pdf_numbers(pdf, (double[]){low[0], low[1], high[0] - low[0], high[1] - low[1]}, 4,
                           "re");
        nw_text_add(pdf, "S\n");
        nw_text number = {0};
        nw_text_format(&number, "%zu", i + 1);
        report_pdf_letters(pdf, (nw_point){low[0] + 1.5, high[1] - 1.5}, PLAN_LETTERS_MM, true,
                           number.data ? number.data : "");
        pdf->failed = pdf->failed || number.failed;
        nw_text_free(&number);
    }
}

static double scale_onto(const report_pdf_tiling *paper, const report_pdf_drawing *drawing)
{
    return fmin(paper->tile[0] / drawing->width, paper->tile[1] / drawing->height);
}

/* The paper that shows the whole drawing largest. */
report_pdf_tiling report_pdf_plan_paper(const report_pdf_drawing *drawing)
{
    report_pdf_tiling upright = tiling_for(0, 0, true), across = tiling_for(0, 0, false);
    return scale_onto(&across, drawing) > scale_onto(&upright, drawing) ? across : upright;
}

/* The whole drawing on one sheet, and how the sheets that follow divide it. */
void report_pdf_plan(nw_text *pdf, const report_pdf_tiling *paper, const report_pdf_tiling *t,
                     const report_pdf_drawing *drawing)
{
    double scale = scale_onto(paper, drawing), below = paper->tile[1] + 6;
    nw_text words = {0};
    nw_text_format(&words, "Plan, not at true size: the %zu sheets that follow are.",
                   t->columns * t->rows);
    add_matrix(pdf, paper);
    move(pdf, SIDE_MM, TOP_MM);
    nw_text_add(pdf, "q\n");
    report_pdf_numbers(pdf, (double[]){scale, 0, 0, scale, 0, 0}, 6, "cm");
    nw_text_add(pdf, "/Drawing Do\nQ\n");
    add_words(pdf, 0, below, words.data ? words.data : "");
    add_words(
        pdf, 0, below + 3.5,
        "Print them at 100 %. Cut along the dashed lines, or lay the crosses on one another.");
    add_grid(pdf, t, drawing, scale);
    pdf->failed = pdf->failed || words.failed;
    nw_text_free(&words);
}
