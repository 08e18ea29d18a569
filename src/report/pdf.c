/*
 * pdf: a drawing in SVG -> PDF at true size. What is larger than one sheet is cut into tiles that
 * overlap, with a mark at each corner to lay neighbours on one another. A sheet is as wide as A4
 * and as high as Letter (ISO 216; ANSI/ASME Y14.1), so that the same file prints on both without
 * scaling. A ruler in millimetres and inches stands under every tile to check the printer by.
 *
 * librsvg draws, cairo writes. The file has no date in it: same drawing, same bytes.
 */
#include <report/report.h>

#include <cairo-pdf.h>
#include <gio/gio.h>
#include <librsvg/rsvg.h>
#include <math.h>

#define POINTS_PER_MM (72 / NW_MM_PER_INCH)
#define SHORT_MM 210.0 /* of A4; Letter has 215.9 */
#define LONG_MM 279.4  /* of Letter; A4 has 297 */
#define SIDE_MM 10.0   /* what printers leave white, and a little more */
#define TOP_MM 8.0
#define STRIP_MM 22.0 /* for the ruler, with the margin below it */
#define OVERLAP_MM 10.0
#define LETTERS_MM 2.6
#define HAIR_MM 0.15

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
    cairo_arc(cr, x, y, 2, 0, 2 * G_PI);
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
        g_snprintf(text, sizeof text, "Sheet %zu of %zu: row %zu, column %zu.",
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

/* ---- sheets -------------------------------------------------------------------------------- */

static bool sheet_draw(cairo_t *cr, RsvgHandle *drawing, const tiling *t, size_t column, size_t row,
                       RsvgRectangle size, GError **trouble)
{
    cairo_save(cr);
    cairo_scale(cr, POINTS_PER_MM, POINTS_PER_MM);
    cairo_save(cr);
    cairo_translate(cr, SIDE_MM, TOP_MM);
    cairo_rectangle(cr, 0, 0, t->tile[0], t->tile[1]);
    cairo_clip(cr);
    cairo_translate(cr, -(double)column * step_of(t, 0), -(double)row * step_of(t, 1));
    bool drawn = rsvg_handle_render_document(drawing, cr, &size, trouble);
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
    cairo_restore(cr);
    cairo_show_page(cr);
    return drawn;
}

static cairo_status_t take_bytes(void *pdf, const unsigned char *bytes, unsigned length)
{
    nw_text_add_bytes(pdf, (const char *)bytes, length);
    return ((nw_text *)pdf)->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}

static nw_status sheets_draw(RsvgHandle *drawing, const tiling *t, RsvgRectangle size, nw_text *pdf,
                             nw_error *error)
{
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        take_bytes, pdf, t->page[0] * POINTS_PER_MM, t->page[1] * POINTS_PER_MM);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, ""); /* none at all */
    cairo_t *cr = cairo_create(surface);
    cairo_select_font_face(cr, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
    GError *trouble = NULL;
    for (size_t i = 0; i < t->columns * t->rows && !trouble; i++) {
        sheet_draw(cr, drawing, t, i % t->columns, i / t->columns, size, &trouble);
    }
    cairo_surface_finish(surface);
    cairo_status_t written = cairo_status(cr) ? cairo_status(cr) : cairo_surface_status(surface);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    nw_status status = NW_OK;
    if (pdf->failed || written == CAIRO_STATUS_NO_MEMORY) {
        status = nw_fail_memory(error, "the drawing as PDF");
    } else if (trouble || written) {
        status = nw_fail(error, NW_INTERNAL, "the drawing cannot be made a PDF: %s",
                         trouble ? trouble->message : cairo_status_to_string(written));
    }
    g_clear_error(&trouble);
    return status;
}

/* The drawing's own size in millimetres, which is that of its viewBox (svg.c). */
static bool size_of(RsvgHandle *drawing, RsvgRectangle *size)
{
    gboolean has_width, has_height, has_box;
    RsvgLength width, height;
    rsvg_handle_get_intrinsic_dimensions(drawing, &has_width, &width, &has_height, &height,
                                         &has_box, size);
    return has_width && width.unit == RSVG_UNIT_MM && has_box && size->width > 0 &&
           size->height > 0;
}

bool nw_pdf_built(void)
{
    return true;
}

nw_status nw_write_pdf(const nw_text *svg, size_t *sheets, nw_text *pdf, nw_error *error)
{
    *pdf = (nw_text){0};
    *sheets = 0;
    GError *trouble = NULL;
    GInputStream *stream =
        g_memory_input_stream_new_from_data(svg->data, (gssize)svg->length, NULL);
    RsvgHandle *drawing =
        rsvg_handle_new_from_stream_sync(stream, NULL, RSVG_HANDLE_FLAG_UNLIMITED, NULL, &trouble);
    g_object_unref(stream);
    if (!drawing) {
        nw_fail(error, NW_INTERNAL, "the drawing cannot be made a PDF: %s", trouble->message);
        g_error_free(trouble);
        return NW_INTERNAL;
    }
    RsvgRectangle size;
    nw_status status = size_of(drawing, &size)
                           ? NW_OK
                           : nw_fail(error, NW_INTERNAL, "the drawing has no size in millimetres");
    if (status == NW_OK) {
        tiling t = tiling_choose(size.width, size.height);
        *sheets = t.columns * t.rows;
        if (*sheets <= NW_PDF_SHEETS_MOST) {
            status = sheets_draw(drawing, &t, size, pdf, error);
        }
    }
    g_object_unref(drawing);
    if (status != NW_OK) {
        nw_text_free(pdf);
    }
    return status;
}
