/*
 * pdf: a drawing in SVG -> PDF at true size. What is larger than one sheet is cut into tiles that
 * overlap, with a mark at each corner to lay neighbours on one another. A sheet is as wide as A4
 * and as high as Letter (ISO 216; ANSI/ASME Y14.1), so that the same file prints on both without
 * scaling. A ruler in millimetres and inches stands under every tile to check the printer by.
 * Before tiles comes a plan of them, the whole drawing on one sheet.
 *
 * Written as ISO 32000-1:2008 has it: the drawing stands once in the file, as a form that every
 * sheet shows its part of. Nothing is compressed, which would cost as much as all the rest; there
 * is no date: same drawing, same bytes.
 */
#include <report/pdf_parts.h>

#include <math.h>

/* The objects by number; the sheets follow, each with its content after it. */
enum { CATALOG = 1, SHEETS, ABOUT, REGULAR, BOLD, DRAWING, PATTERN, FIRST_SHEET };

#define OBJECTS_MOST (FIRST_SHEET + 2 * (NW_PDF_SHEETS_MOST + 1))

typedef struct {
    nw_text *pdf;
    size_t places[OBJECTS_MOST]; /* of the objects' first bytes */
    size_t count;                /* of objects, and the one without a number */
} file;

static void object_open(file *f)
{
    f->places[f->count] = f->pdf->length;
    nw_text_format(f->pdf, "%zu 0 obj\n", f->count++);
}

static void object_close(file *f)
{
    nw_text_add(f->pdf, "\nendobj\n");
}

/* An object whose dictionary is open, and its stream. */
static void stream_add(file *f, const nw_text *content)
{
    nw_text_format(f->pdf, "/Length %zu >>\nstream\n", content->length);
    nw_text_add_bytes(f->pdf, content->data ? content->data : "", content->length);
    nw_text_add(f->pdf, "\nendstream");
    f->pdf->failed = f->pdf->failed || content->failed;
    object_close(f);
}

static void add_box(nw_text *pdf, const char *name, double width, double height)
{
    nw_text_format(pdf, "/%s [0 0 ", name);
    report_pdf_numbers(pdf, (double[]){width, height}, 2, "]");
}

static void about_add(file *f, const report_pdf_drawing *drawing)
{
    object_open(f);
    nw_text_add(f->pdf, "<< /Producer (narrows " NW_VERSION ") /Title ");
    report_pdf_words(f->pdf, drawing->title.data ? drawing->title.data : "");
    nw_text_add(f->pdf, " >>");
    object_close(f);
}

static void drawing_add(file *f, const report_pdf_drawing *drawing)
{
    object_open(f);
    nw_text_add(f->pdf, "<< /Type /XObject /Subtype /Form\n");
    add_box(f->pdf, "BBox", drawing->width, drawing->height);
    nw_text_format(f->pdf, "/Resources << /Font << /F1 %d 0 R /F2 %d 0 R >>", REGULAR, BOLD);
    if (drawing->pattern.data) { /* else that object is null */
        nw_text_format(f->pdf, " /Pattern << /%s %d 0 R >>", drawing->pattern_name, PATTERN);
    }
    nw_text_add(f->pdf, " >>\n");
    stream_add(f, &drawing->content);
}

static void pattern_add(file *f, const report_pdf_drawing *drawing)
{
    double turn = drawing->turn_deg * 3.14159265358979323846 / 180, c = cos(turn), s = sin(turn);
    object_open(f);
    if (!drawing->pattern.data) {
        nw_text_add(f->pdf, "null");
        object_close(f);
        return;
    }
    nw_text_add(f->pdf, "<< /Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1\n");
    add_box(f->pdf, "BBox", drawing->cell[0], drawing->cell[1]);
    nw_text_add(f->pdf, "/XStep ");
    nw_text_number(f->pdf, drawing->cell[0], 4);
    nw_text_add(f->pdf, " /YStep ");
    nw_text_number(f->pdf, drawing->cell[1], 4);
    nw_text_add(f->pdf, " /Resources << >>\n/Matrix [");
    report_pdf_numbers(f->pdf, (double[]){c, s, -s, c, 0, 0}, 6, "]");
    stream_add(f, &drawing->pattern);
}

static void sheet_add(file *f, const report_pdf_tiling *t, nw_text *content)
{
    object_open(f);
    nw_text_format(f->pdf, "<< /Type /Page /Parent %d 0 R /Contents %zu 0 R\n", SHEETS, f->count);
    add_box(f->pdf, "MediaBox", t->page[0] * REPORT_POINTS_PER_MM,
            t->page[1] * REPORT_POINTS_PER_MM);
    nw_text_format(
        f->pdf,
        "/Resources << /Font << /F1 %d 0 R /F2 %d 0 R >> /XObject << /Drawing %d 0 R >> >> >>",
        REGULAR, BOLD, DRAWING);
    object_close(f);
    object_open(f);
    nw_text_add(f->pdf, "<< ");
    stream_add(f, content);
    nw_text_free(content);
}

/* Where each object begins, in lines of 20 bytes (7.5.4). */
static void end_add(file *f)
{
    size_t place = f->pdf->length;
    nw_text_format(f->pdf, "xref\n0 %zu\n0000000000 65535 f \n", f->count);
    for (size_t i = 1; i < f->count; i++) {
        nw_text_format(f->pdf, "%010zu 00000 n \n", f->places[i]);
    }
    nw_text_format(f->pdf,
                   "trailer\n<< /Size %zu /Root %d 0 R /Info %d 0 R >>\nstartxref\n%zu\n%%%%EOF\n",
                   f->count, CATALOG, ABOUT, place);
}

/* What stands at the head of the file and lists the sheets. */
static void catalog_add(file *f, size_t sheets)
{
    nw_text_add(f->pdf, "%PDF-1.6\n%\xe2\xe3\xcf\xd3\n");
    object_open(f);
    nw_text_format(
        f->pdf, "<< /Type /Catalog /Pages %d 0 R /ViewerPreferences << /PrintScaling /None >> >>",
        SHEETS);
    object_close(f);
    object_open(f);
    nw_text_format(f->pdf, "<< /Type /Pages /Count %zu /Kids [", sheets);
    for (size_t i = 0; i < sheets; i++) {
        nw_text_format(f->pdf, "%zu 0 R ", FIRST_SHEET + 2 * i);
    }
    nw_text_add(f->pdf, "] >>");
    object_close(f);
}

static void font_add(file *f, const char *name)
{
    object_open(f);
    nw_text_format(
        f->pdf, "<< /Type /Font /Subtype /Type1 /BaseFont /%s /Encoding /WinAnsiEncoding >>", name);
    object_close(f);
}

static void file_write(nw_text *pdf, const report_pdf_drawing *drawing, const report_pdf_tiling *t)
{
    file f = {.pdf = pdf, .count = CATALOG};
    size_t sheets = t->columns * t->rows;
    bool plan = sheets > 1;
    nw_text content = {0};
    catalog_add(&f, sheets + plan);
    about_add(&f, drawing);
    font_add(&f, "Helvetica");
    font_add(&f, "Helvetica-Bold");
    drawing_add(&f, drawing);
    pattern_add(&f, drawing);
    if (plan) {
        report_pdf_tiling paper = report_pdf_plan_paper(drawing);
        report_pdf_plan(&content, &paper, t, drawing);
        sheet_add(&f, &paper, &content);
    }
    for (size_t i = 0; i < sheets; i++) {
        report_pdf_sheet(&content, t, i % t->columns, i / t->columns);
        sheet_add(&f, t, &content);
    }
    end_add(&f);
}

nw_status nw_write_pdf(const nw_text *svg, size_t *sheets, nw_text *pdf, nw_error *error)
{
    *pdf = (nw_text){0};
    *sheets = 0;
    report_pdf_drawing drawing;
    nw_status status = report_pdf_read(svg, &drawing, error);
    if (status != NW_OK) {
        return status;
    }
    report_pdf_tiling t = report_pdf_tiling_choose(drawing.width, drawing.height);
    *sheets = t.columns * t.rows;
    if (*sheets <= NW_PDF_SHEETS_MOST) {
        file_write(pdf, &drawing, &t);
        status = report_finish(pdf, "the drawing as PDF", error);
    }
    report_pdf_drawing_free(&drawing);
    return status;
}
