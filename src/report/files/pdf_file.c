/*
 * pdf_file: the marked drawing -> PDF 1.4 (ISO 32000-1) at true size. What is larger than one sheet
 * is cut into tiles that overlap, with a mark at each corner to lay neighbours on one another, and
 * a plan of them on a sheet before the first. A sheet is as wide as A4 and as high as Letter (ISO
 * 216; ANSI/ASME Y14.1), so that the same file prints on both without scaling. A ruler in
 * millimetres and inches stands under every tile to check the printer by.
 *
 * The drawing stands in the file once, as a form that every sheet shows its part of. Fonts are the
 * standard ones that every viewer has. No date, no compression: same drawing, same bytes.
 */
#include <report/files/pdf.h>
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdio.h>

#define POINTS_PER_MM (72 / NW_MM_PER_INCH)
#define SHORT_MM 210.0 /* of A4; Letter has 215.9 */
#define LONG_MM 279.4  /* of Letter; A4 has 297 */
#define SIDE_MM 10.0   /* what printers leave white, and a little more */
#define TOP_MM 8.0
#define STRIP_MM 22.0 /* for the ruler, with the margin below it */
#define OVERLAP_MM 10.0
#define LETTERS_MM 2.6
#define HAIR_MM 0.15
#define PLAN_LEAST 3 /* sheets: two need none */
#define PLAN_LETTERS_MM 5.0
#define CUT_COLOUR "#808080"
#define GRID_COLOUR "#666666"

typedef struct {
    double page[2], tile[2]; /* width and height, mm */
    size_t columns, rows;
} tiling;

/* ---- tiles --------------------------------------------------------------------------------- */

/* Millimetres from one tile to the next. */
static double step_of(const tiling *t, int axis)
{
    return t->tile[axis] - OVERLAP_MM;
}

static size_t tiles_along(double size, double tile)
{
    double more = ceil((size - tile - 1e-6) / (tile - OVERLAP_MM));
    return more > 0 ? (size_t)more + 1 : 1;
}

static tiling tiling_for(double width, double height, bool upright)
{
    tiling t = {.page = {upright ? SHORT_MM : LONG_MM, upright ? LONG_MM : SHORT_MM}};
    t.tile[0] = t.page[0] - 2 * SIDE_MM;
    t.tile[1] = t.page[1] - TOP_MM - STRIP_MM;
    t.columns = tiles_along(width, t.tile[0]);
    t.rows = tiles_along(height, t.tile[1]);
    return t;
}

/* The way of holding the paper that takes fewer sheets; upright where both take the same. */
static tiling tiling_choose(double width, double height)
{
    tiling upright = tiling_for(width, height, true), across = tiling_for(width, height, false);
    return across.columns * across.rows < upright.columns * upright.rows ? across : upright;
}

/* ---- marks and ruler, in millimetres ------------------------------------------------------- */

static void line(report_pen *pen, double x0, double y0, double x1, double y1)
{
    nw_report_pen_line(pen, (nw_point){x0, y0}, (nw_point){x1, y1}, HAIR_MM, INK_BLACK);
}

static void words(report_pen *pen, double x, double y, const char *text)
{
    nw_report_pen_text(pen, (nw_point){x, y},
                       (report_lettering){LETTERS_MM, false, REPORT_START, NULL}, text);
}

/* Crosses in rings at the four corners of a tile, in the middle of where tiles overlap, and the
 * line to cut along between them. */
static void marks_draw(report_pen *pen, const tiling *t)
{
    double x[] = {SIDE_MM + OVERLAP_MM / 2, SIDE_MM + t->tile[0] - OVERLAP_MM / 2};
    double y[] = {TOP_MM + OVERLAP_MM / 2, TOP_MM + t->tile[1] - OVERLAP_MM / 2};
    nw_report_pen_dashes(pen, 1, 2);
    nw_report_pen_box(pen, (nw_box){{x[0], y[0]}, {x[1], y[1]}}, NULL, CUT_COLOUR, HAIR_MM);
    nw_report_pen_end(pen);
    for (int i = 0; i < 4; i++) {
        nw_point at = {x[i % 2], y[i / 2]};
        nw_report_pen_circle(pen, at, 2, NULL, INK_BLACK, HAIR_MM, false);
        nw_report_pen_cross(pen, at, 3.5, HAIR_MM);
    }
}

/* Ticks of a ruler: every `major` and every `half` of them are longer. side is -1 up, 1 down. */
static void ticks(report_pen *pen, nw_point at, double step, int count, int half, int major,
                  int side)
{
    for (int i = 0; i <= count; i++) {
        double length = i % major == 0 ? 4 : i % half == 0 ? 2.8 : 1.6;
        line(pen, at.x + i * step, at.y, at.x + i * step, at.y + side * length);
    }
}

/* The ruler, and what to do with the sheet, in the strip under the tile. */
static void strip_draw(report_pen *pen, const tiling *t, size_t column, size_t row)
{
    char text[96];
    nw_point at = {SIDE_MM, t->page[1] - STRIP_MM + 8};
    double right = at.x + 124;
    line(pen, at.x, at.y, at.x + 4 * NW_MM_PER_INCH, at.y);
    ticks(pen, at, 1, 100, 5, 10, -1);
    ticks(pen, at, NW_MM_PER_INCH / 16, 64, 4, 16, 1);
    words(pen, at.x + 103, at.y - 1, "100 mm");
    words(pen, at.x + 103, at.y + 3, "4 in");
    words(pen, right, at.y - 1.5, "Print at 100 %, then measure the ruler.");
    if (t->columns * t->rows > 1) {
        snprintf(text, sizeof text, "Sheet %zu of %zu: row %zu, column %zu.",
                 row * t->columns + column + 1, t->columns * t->rows, row + 1, column + 1);
        words(pen, right, at.y + 2, text);
        words(pen, right, at.y + 5.5, "Lay the crosses of neighbours on one another.");
    }
}

/* ---- what a sheet shows -------------------------------------------------------------------- */

/* From here on all is so many times as large, with the origin at this place. */
static void scale_put(nw_text *out, double x, double y, nw_point origin)
{
    const double matrix[] = {x, 0, 0, y, origin.x, origin.y};
    for (int i = 0; i < 6; i++) {
        nw_text_number(out, matrix[i], 9);
        nw_text_add(out, i < 5 ? " " : " cm\n");
    }
}

/* The part of the drawing in a window of this size, with its upper left corner at `corner`. */
static void drawing_show(report_pen *pen, nw_point corner, const double size[2], double scale)
{
    nw_report_pen_group(pen, "drawing", 0);
    nw_report_pdf_put(pen->out, 4, (double[]){SIDE_MM, TOP_MM, size[0], size[1]}, "re W n");
    scale_put(pen->out, scale, scale,
              (nw_point){SIDE_MM - corner.x * scale, TOP_MM - corner.y * scale});
    nw_text_add(pen->out, "/Drawing Do\n");
    nw_report_pen_end(pen);
}

static void sheet_draw(report_pen *pen, const tiling *t, size_t column, size_t row)
{
    drawing_show(pen, (nw_point){(double)column * step_of(t, 0), (double)row * step_of(t, 1)},
                 t->tile, 1);
    if (t->columns * t->rows > 1)
        marks_draw(pen, t);
    strip_draw(pen, t, column, row);
}

/* Where sheet i begins along an axis, once neighbours are cut in the middle of what they share; the
 * outer edges stay whole. */
static double cut_place(const tiling *t, int axis, size_t i, size_t count, double size)
{
    return i == 0 ? 0 : i == count ? size : (double)i * step_of(t, axis) + OVERLAP_MM / 2;
}

/* The borders of the sheets and their numbers, at the scale of the plan. */
static void grid_draw(report_pen *pen, const tiling *t, nw_point size, double scale)
{
    nw_report_pen_dashes(pen, 2, 1);
    for (size_t i = 0; i < t->columns * t->rows; i++) {
        size_t column = i % t->columns, row = i / t->columns;
        nw_box box = {{SIDE_MM + scale * cut_place(t, 0, column, t->columns, size.x),
                       TOP_MM + scale * cut_place(t, 1, row, t->rows, size.y)},
                      {SIDE_MM + scale * cut_place(t, 0, column + 1, t->columns, size.x),
                       TOP_MM + scale * cut_place(t, 1, row + 1, t->rows, size.y)}};
        char number[24];
        snprintf(number, sizeof number, "%zu", i + 1);
        nw_report_pen_box(pen, box, NULL, GRID_COLOUR, 0.3);
        nw_report_pen_text(pen, (nw_point){box.min.x + 1.5, box.max.y - 1.5},
                           (report_lettering){PLAN_LETTERS_MM, false, REPORT_START, GRID_COLOUR},
                           number);
    }
    nw_report_pen_end(pen);
}

static double scale_onto(const tiling *paper, nw_point size)
{
    return fmin(paper->tile[0] / size.x, paper->tile[1] / size.y);
}

/* The paper that shows the whole drawing largest. */
static tiling plan_paper(nw_point size)
{
    tiling upright = tiling_for(0, 0, true), across = tiling_for(0, 0, false);
    return scale_onto(&across, size) > scale_onto(&upright, size) ? across : upright;
}

/* The whole drawing on one sheet, and how the sheets that follow divide it. */
static void plan_draw(report_pen *pen, const tiling *paper, const tiling *t, nw_point size)
{
    double scale = fmin(scale_onto(paper, size), 1), below = TOP_MM + paper->tile[1] + 6;
    char text[96];
    snprintf(text, sizeof text, "Plan, not at true size: the %zu sheets that follow are.",
             t->columns * t->rows);
    drawing_show(pen, (nw_point){0, 0}, paper->tile, scale);
    words(pen, SIDE_MM, below, text);
    words(pen, SIDE_MM, below + 3.5,
          "Print them at 100 %. Cut along the dashed lines, or lay the crosses on one another.");
    grid_draw(pen, t, size, scale);
}

/* ---- the file ------------------------------------------------------------------------------ */

/* Numbers of the file's objects; sheets take two each, from PAGES on. */
enum { CATALOG = 1, TREE, TITLE, PLAIN, BOLD, DRAWING, PAGES };

typedef struct {
    nw_text *out;
    size_t places[PAGES + 2 * (NW_PDF_SHEETS_MOST + 1)]; /* where each object begins */
} pdf_file;

static void object_open(pdf_file *file, size_t number)
{
    file->places[number] = file->out->length;
    nw_text_format(file->out, "%zu 0 obj\n", number);
}

/* An object without contents. */
static void object_put(pdf_file *file, size_t number, const char *dictionary)
{
    object_open(file, number);
    nw_text_format(file->out, "%s\nendobj\n", dictionary);
}

/* Ends an object whose dictionary is open with the contents, which are freed. */
static void contents_put(pdf_file *file, nw_text *contents)
{
    nw_text_format(file->out, "/Length %zu>>\nstream\n", contents->length);
    nw_text_add_bytes(file->out, nw_text_string(contents), contents->length);
    nw_text_add(file->out, "endstream\nendobj\n");
    file->out->failed = file->out->failed || contents->failed;
    nw_text_free(contents);
}

#define FONTS "/Font <</Plain 4 0 R /Bold 5 0 R>>"

static void head_put(pdf_file *file, const char *title, size_t pages)
{
    nw_text_add(file->out, "%PDF-1.4\n");
    object_put(file, CATALOG, "<</Type /Catalog /Pages 2 0 R>>");
    object_open(file, TREE);
    nw_text_format(file->out, "<</Type /Pages /Count %zu /Kids [", pages);
    for (size_t i = 0; i < pages; i++)
        nw_text_format(file->out, "%zu 0 R ", PAGES + 2 * i);
    nw_text_add(file->out, "] /Resources <<" FONTS " /XObject <</Drawing 6 0 R>>>>>>\nendobj\n");
    object_open(file, TITLE);
    nw_text_add(file->out, "<</Title ");
    nw_report_pdf_string(file->out, title);
    nw_text_add(file->out, ">>\nendobj\n");
    object_put(file, PLAIN,
               "<</Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding>>");
    object_put(
        file, BOLD,
        "<</Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold /Encoding /WinAnsiEncoding>>");
}

static void drawing_put(pdf_file *file, report_drawn *drawn)
{
    object_open(file, DRAWING);
    nw_text_add(file->out, "<</Type /XObject /Subtype /Form /Resources <<" FONTS ">> /BBox [0 ");
    nw_report_pdf_put(file->out, 3, (double[]){0, drawn->size.x, drawn->size.y}, "]");
    contents_put(file, &drawn->body);
}

static void page_put(pdf_file *file, size_t index, const tiling *paper, nw_text *contents)
{
    size_t number = PAGES + 2 * index;
    object_open(file, number);
    nw_text_format(file->out, "<</Type /Page /Parent 2 0 R /Contents %zu 0 R /MediaBox [0 ",
                   number + 1);
    nw_report_pdf_put(file->out, 3,
                      (double[]){0, paper->page[0] * POINTS_PER_MM, paper->page[1] * POINTS_PER_MM},
                      "]>>");
    nw_text_add(file->out, "endobj\n");
    object_open(file, number + 1);
    nw_text_add(file->out, "<<");
    contents_put(file, contents);
}

/* A pen on a sheet of paper, in millimetres from its upper left corner. */
static report_pen page_open(nw_text *contents, const tiling *paper)
{
    *contents = (nw_text){0};
    scale_put(contents, POINTS_PER_MM, -POINTS_PER_MM,
              (nw_point){0, paper->page[1] * POINTS_PER_MM});
    return (report_pen){&nw_report_pdf_canvas, contents, 1};
}

static void tail_put(pdf_file *file, size_t objects)
{
    size_t place = file->out->length;
    nw_text_format(file->out, "xref\n0 %zu\n0000000000 65535 f \n", objects);
    for (size_t i = 1; i < objects; i++)
        nw_text_format(file->out, "%010zu 00000 n \n", file->places[i]);
    nw_text_format(file->out,
                   "trailer\n<</Size %zu /Root 1 0 R /Info 3 0 R>>\nstartxref\n%zu\n%%%%EOF\n",
                   objects, place);
}

static void file_write(const char *title, report_drawn *drawn, const tiling *t, nw_text *pdf)
{
    pdf_file file = {.out = pdf};
    size_t count = t->columns * t->rows, plan = count >= PLAN_LEAST;
    nw_text contents;
    head_put(&file, title, count + plan);
    drawing_put(&file, drawn);
    if (plan) {
        tiling paper = plan_paper(drawn->size);
        report_pen pen = page_open(&contents, &paper);
        plan_draw(&pen, &paper, t, drawn->size);
        page_put(&file, 0, &paper, &contents);
    }
    for (size_t i = 0; i < count; i++) {
        report_pen pen = page_open(&contents, t);
        sheet_draw(&pen, t, i % t->columns, i / t->columns);
        page_put(&file, i + plan, t, &contents);
    }
    tail_put(&file, PAGES + 2 * (count + plan));
}

nw_status nw_write_marked_pdf(const nw_report *report, size_t *sheets, nw_text *pdf,
                              nw_error *error)
{
    *pdf = (nw_text){0};
    *sheets = 0;
    report_drawn drawn;
    nw_status status =
        nw_report_sheet_draw(report, NULL, &nw_report_pdf_canvas, &drawn, NULL, error);
    if (status != NW_OK)
        return status;
    /* No sheet is wanted for a white edge. */
    tiling t = tiling_choose(drawn.size.x - drawn.white, drawn.size.y - drawn.white);
    *sheets = t.columns * t.rows;
    if (*sheets <= NW_PDF_SHEETS_MOST)
        file_write(report->art, &drawn, &t, pdf);
    nw_text_free(&drawn.body);
    return nw_report_finish(pdf, "the drawing as PDF", error);
}
