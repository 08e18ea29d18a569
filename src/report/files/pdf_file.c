/*
 * pdf: the marked drawing -> PDF at true size. What is larger than one sheet is cut into tiles that
 * overlap, with a mark at each corner to lay neighbours on one another, and a plan of them on a
 * sheet before the first. A sheet is as wide as A4 and as high as Letter (ISO 216; ANSI/ASME
 * Y14.1), so that the same file prints on both without scaling. A ruler in millimetres and inches
 * stands under every tile to check the printer by.
 *
 * cairo writes, each sheet only what is seen on it. The file has no date in it: same drawing and
 * fonts, same bytes.
 */
#include <report/files/pdf_canvas.h>

#include <cairo-pdf.h>
#include <math.h>
#include <stdio.h>

#define PI 3.14159265358979323846
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
#define SEEN_MM 0.8 /* what comes out smaller on the plan is left out */

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

static void line(cairo_t *cr, double x0, double y0, double x1, double y1)
{
    cairo_move_to(cr, x0, y0);
    cairo_line_to(cr, x1, y1);
    cairo_stroke(cr);
}

static void words(cairo_t *cr, double x, double y, const char *text)
{
    cairo_move_to(cr, x, y);
    cairo_show_text(cr, text);
}

/* A cross in a ring, in the middle of where tiles overlap. */
static void mark(cairo_t *cr, double x, double y)
{
    cairo_new_path(cr);
    cairo_arc(cr, x, y, 2, 0, 2 * PI);
    cairo_stroke(cr);
    line(cr, x - 3.5, y, x + 3.5, y);
    line(cr, x, y - 3.5, x, y + 3.5);
}

/* Marks at the four corners of a tile, and the line to cut along between them. */
static void marks_draw(cairo_t *cr, const tiling *t)
{
    double x[] = {OVERLAP_MM / 2, t->tile[0] - OVERLAP_MM / 2};
    double y[] = {OVERLAP_MM / 2, t->tile[1] - OVERLAP_MM / 2};
    const double dashes[] = {1, 2};
    cairo_save(cr);
    cairo_set_source_rgb(cr, 0.5, 0.5, 0.5);
    cairo_set_dash(cr, dashes, 2, 0);
    cairo_rectangle(cr, x[0], y[0], x[1] - x[0], y[1] - y[0]);
    cairo_stroke(cr);
    cairo_restore(cr);
    for (int i = 0; i < 4; i++) {
        mark(cr, x[i % 2], y[i / 2]);
    }
}

/* Ticks of a ruler: every `major` and every `half` of them are longer. side is -1 up, 1 down. */
static void ticks(cairo_t *cr, double step, int count, int half, int major, int side)
{
    for (int i = 0; i <= count; i++) {
        double length = i % major == 0 ? 4 : i % half == 0 ? 2.8 : 1.6;
        line(cr, i * step, 0, i * step, side * length);
    }
}

static void ruler_draw(cairo_t *cr)
{
    line(cr, 0, 0, 4 * NW_MM_PER_INCH, 0);
    ticks(cr, 1, 100, 5, 10, -1);
    ticks(cr, NW_MM_PER_INCH / 16, 64, 4, 16, 1);
    words(cr, 103, -1, "100 mm");
    words(cr, 103, 3, "4 in");
}

static void notes_draw(cairo_t *cr, const tiling *t, size_t column, size_t row)
{
    char text[96];
    words(cr, 0, -1.5, "Print at 100 %, then measure the ruler.");
    if (t->columns * t->rows > 1) {
        snprintf(text, sizeof text, "Sheet %zu of %zu: row %zu, column %zu.",
                 row * t->columns + column + 1, t->columns * t->rows, row + 1, column + 1);
        words(cr, 0, 2, text);
        words(cr, 0, 5.5, "Lay the crosses of neighbours on one another.");
    }
}

static void strip_draw(cairo_t *cr, const tiling *t, size_t column, size_t row)
{
    cairo_save(cr);
    cairo_translate(cr, SIDE_MM, t->page[1] - STRIP_MM + 8);
    ruler_draw(cr);
    cairo_translate(cr, 124, 0);
    notes_draw(cr, t, column, row);
    cairo_restore(cr);
}

/* ---- the drawing --------------------------------------------------------------------------- */

typedef struct {
    const nw_report *report;
    double size[2], white; /* mm; the second along each edge */
    report_pdf_canvas canvas;
    nw_status status; /* of drawing so far */
    nw_error *error;
} drawn;

/* The part of the drawing in a window of this size, with its upper left corner at the origin. It is
 * not recorded to be shown several times: cairo 1.16 loses its way in large recordings of which a
 * part is shown. */
static void drawing_show(drawn *drawing, nw_point corner, const double size[2], double scale)
{
    cairo_t *cr = drawing->canvas.cr;
    nw_point whole;
    double white;
    drawing->canvas.window =
        (nw_box){corner, {corner.x + size[0] / scale, corner.y + size[1] / scale}};
    drawing->canvas.least = scale < 1 ? SEEN_MM / scale : 0;
    cairo_save(cr);
    cairo_rectangle(cr, 0, 0, size[0], size[1]);
    cairo_clip(cr);
    cairo_scale(cr, scale, scale);
    cairo_translate(cr, -corner.x, -corner.y);
    if (drawing->status == NW_OK) {
        drawing->status = nw_report_sheet_paint(drawing->report, &report_pdf_drawing,
                                                &drawing->canvas, &whole, &white, drawing->error);
    }
    cairo_restore(cr);
    cairo_set_font_face(cr, drawing->canvas.faces[0]);
    cairo_set_dash(cr, NULL, 0, 0);
    cairo_set_source_rgb(cr, 0, 0, 0);
}

/* ---- sheets -------------------------------------------------------------------------------- */

static void sheet_draw(drawn *drawing, const tiling *t, size_t column, size_t row)
{
    cairo_t *cr = drawing->canvas.cr;
    cairo_save(cr);
    cairo_translate(cr, SIDE_MM, TOP_MM);
    drawing_show(drawing, (nw_point){(double)column * step_of(t, 0), (double)row * step_of(t, 1)},
                 t->tile, 1);
    cairo_restore(cr);
    cairo_set_line_width(cr, HAIR_MM);
    cairo_set_font_size(cr, LETTERS_MM);
    if (t->columns * t->rows > 1) {
        cairo_save(cr);
        cairo_translate(cr, SIDE_MM, TOP_MM);
        marks_draw(cr, t);
        cairo_restore(cr);
    }
    strip_draw(cr, t, column, row);
}

/* ---- the plan ------------------------------------------------------------------------------ */

/* Where sheet i begins along an axis, once neighbours are cut in the middle of what they share; the
 * outer edges stay whole. */
static double cut_place(const tiling *t, int axis, size_t i, size_t count, double size)
{
    return i == 0 ? 0 : i == count ? size : (double)i * step_of(t, axis) + OVERLAP_MM / 2;
}

/* The borders of the sheets and their numbers, at the scale of the plan. */
static void grid_draw(const drawn *drawing, const tiling *t, double scale)
{
    cairo_t *cr = drawing->canvas.cr;
    const double dashes[] = {2, 1};
    cairo_set_source_rgb(cr, 0.4, 0.4, 0.4);
    cairo_set_line_width(cr, 0.3);
    cairo_set_dash(cr, dashes, 2, 0);
    cairo_set_font_size(cr, PLAN_LETTERS_MM);
    for (size_t i = 0; i < t->columns * t->rows; i++) {
        size_t at[] = {i % t->columns, i / t->columns}, counts[] = {t->columns, t->rows};
        double low[2], high[2];
        for (int axis = 0; axis < 2; axis++) {
            low[axis] = scale * cut_place(t, axis, at[axis], counts[axis], drawing->size[axis]);
            high[axis] =
                scale * cut_place(t, axis, at[axis] + 1, counts[axis], drawing->size[axis]);
        }
        cairo_rectangle(cr, low[0], low[1], high[0] - low[0], high[1] - low[1]);
        cairo_stroke(cr);
        char number[24];
        snprintf(number, sizeof number, "%zu", i + 1);
        words(cr, low[0] + 1.5, high[1] - 1.5, number);
    }
}

static double scale_onto(const tiling *paper, const drawn *drawing)
{
    return fmin(paper->tile[0] / drawing->size[0], paper->tile[1] / drawing->size[1]);
}

/* The paper that shows the whole drawing largest. */
static tiling plan_paper(const drawn *drawing)
{
    tiling upright = tiling_for(0, 0, true), across = tiling_for(0, 0, false);
    return scale_onto(&across, drawing) > scale_onto(&upright, drawing) ? across : upright;
}

/* The whole drawing on one sheet, and how the sheets that follow divide it. */
static void plan_draw(drawn *drawing, const tiling *paper, const tiling *t)
{
    cairo_t *cr = drawing->canvas.cr;
    double scale = scale_onto(paper, drawing), below = paper->tile[1] + 6;
    char text[96];
    snprintf(text, sizeof text, "Plan, not at true size: the %zu sheets that follow are.",
             t->columns * t->rows);
    cairo_translate(cr, SIDE_MM, TOP_MM);
    drawing_show(drawing, (nw_point){0, 0}, paper->tile, fmin(scale, 1));
    cairo_set_font_size(cr, LETTERS_MM);
    words(cr, 0, below, text);
    words(cr, 0, below + 3.5,
          "Print them at 100 %. Cut along the dashed lines, or lay the crosses on one another.");
    grid_draw(drawing, t, scale);
}

/* ---- the file ------------------------------------------------------------------------------ */

static cairo_status_t take_bytes(void *pdf, const unsigned char *bytes, unsigned length)
{
    nw_text_add_bytes(pdf, (const char *)bytes, length);
    return ((nw_text *)pdf)->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}

/* On paper like this until the next; places are millimetres from its upper left corner. */
static void page_open(cairo_t *cr, const tiling *paper)
{
    cairo_pdf_surface_set_size(cairo_get_target(cr), paper->page[0] * POINTS_PER_MM,
                               paper->page[1] * POINTS_PER_MM);
    cairo_save(cr);
    cairo_scale(cr, POINTS_PER_MM, POINTS_PER_MM);
}

static void page_close(cairo_t *cr)
{
    cairo_restore(cr);
    cairo_show_page(cr);
}

static void sheets_draw(drawn *drawing, const tiling *t)
{
    cairo_t *cr = drawing->canvas.cr;
    size_t count = t->columns * t->rows;
    if (count >= PLAN_LEAST) {
        tiling paper = plan_paper(drawing);
        page_open(cr, &paper);
        plan_draw(drawing, &paper, t);
        page_close(cr);
    }
    for (size_t i = 0; i < count && drawing->status == NW_OK; i++) {
        page_open(cr, t);
        sheet_draw(drawing, t, i % t->columns, i / t->columns);
        page_close(cr);
    }
}

static void surface_describe(cairo_surface_t *surface, const char *art, nw_text *pdf)
{
    nw_text title = {0};
    nw_text_clean(&title, art);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, ""); /* none at all */
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title.data ? title.data : "");
    pdf->failed = pdf->failed || title.failed;
    nw_text_free(&title);
}

static nw_status file_write(drawn *drawing, const tiling *t, nw_text *pdf, nw_error *error)
{
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        take_bytes, pdf, t->page[0] * POINTS_PER_MM, t->page[1] * POINTS_PER_MM);
    surface_describe(surface, drawing->report->art, pdf);
    nw_report_pdf_canvas_open(&drawing->canvas, surface);
    sheets_draw(drawing, t);
    cairo_surface_finish(surface);
    cairo_status_t trouble = cairo_status(drawing->canvas.cr);
    trouble = trouble ? trouble : cairo_surface_status(surface);
    nw_report_pdf_canvas_close(&drawing->canvas);
    cairo_surface_destroy(surface);
    if (drawing->status != NW_OK) {
        return drawing->status;
    }
    if (pdf->failed || trouble == CAIRO_STATUS_NO_MEMORY) {
        return nw_fail_memory(error, "the drawing as PDF");
    }
    return trouble ? nw_fail(error, NW_INTERNAL, "the drawing cannot be made a PDF: %s",
                             cairo_status_to_string(trouble))
                   : NW_OK;
}

static void shape_nowhere(void *to, const nw_path *paths, size_t count, const report_frame *frame,
                          const report_style *style)
{
    (void)to, (void)paths, (void)count, (void)frame, (void)style;
}

static void text_nowhere(void *to, nw_point at, report_lettering lettering, const char *text)
{
    (void)to, (void)at, (void)lettering, (void)text;
}

/* How large the drawing is comes out of drawing it. */
static nw_status size_find(drawn *drawing)
{
    static const report_canvas nowhere = {shape_nowhere, text_nowhere};
    nw_point size = {0, 0};
    nw_status status = nw_report_sheet_paint(drawing->report, &nowhere, NULL, &size,
                                             &drawing->white, drawing->error);
    drawing->size[0] = size.x;
    drawing->size[1] = size.y;
    return status;
}

bool nw_pdf_built(void)
{
    return true;
}

nw_status nw_write_marked_pdf(const nw_report *report, size_t *sheets, nw_text *pdf,
                              nw_error *error)
{
    *pdf = (nw_text){0};
    *sheets = 0;
    drawn drawing = {.report = report, .error = error};
    nw_status status = size_find(&drawing);
    if (status == NW_OK) {
        /* No sheet is wanted for a white edge. */
        tiling t = tiling_choose(drawing.size[0] - drawing.white, drawing.size[1] - drawing.white);
        *sheets = t.columns * t.rows;
        if (*sheets <= NW_PDF_SHEETS_MOST) {
            status = file_write(&drawing, &t, pdf, error);
        }
    }
    if (status != NW_OK) {
        nw_text_free(pdf);
    }
    return status;
}
