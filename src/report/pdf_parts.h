/*
 * pdf_parts: what the parts of the PDF writer share. Internal to report. Lengths are millimetres,
 * y down, as in the drawings; a matrix at the head of every sheet turns them into PDF's points.
 */
#ifndef NARROWS_REPORT_PDF_PARTS_H
#define NARROWS_REPORT_PDF_PARTS_H

#include <report/parts.h>

/* A drawing as the operators of a content stream (ISO 32000-1:2008, 8 and 9). */
typedef struct {
    double width, height;
    nw_text title;
    nw_text content;
    nw_text pattern; /* the content of one cell of the one pattern; no data: there is none */
    char pattern_name[16];
    double cell[2], turn_deg; /* of the pattern: size of the cell, and how far it is turned */
} report_pdf_drawing;

/* Reads a drawing that one of the writers here made (pdf_svg.c). NW_INTERNAL for an element or
 * attribute that it does not know. The drawing must be freed. */
nw_status report_pdf_read(const nw_text *svg, report_pdf_drawing *drawing, nw_error *error);
void report_pdf_drawing_free(report_pdf_drawing *drawing);

/* Numbers with a space after each, then the operator and a line's end. */
void report_pdf_numbers(nw_text *pdf, const double *numbers, size_t count, const char *word);

/* A whole circle as four curves. */
void report_pdf_circle(nw_text *pdf, nw_point centre, double radius);

/* The value of a "d" attribute, of the commands M, L, C, A with circles only, and Z (pdf_path.c);
 * false when there is another. */
bool report_pdf_path(nw_text *pdf, const char *data, const char *end);

/* One line of letters with its baseline's left end at `at`; how long it is (pdf_letters.c). */
void report_pdf_letters(nw_text *pdf, nw_point at, double size, bool bold, const char *letters);
double report_pdf_width(const char *letters, double size, bool bold);

#define REPORT_POINTS_PER_MM (72 / NW_MM_PER_INCH)

/* The sheets that a drawing takes (pdf_sheet.c). */
typedef struct {
    double page[2], tile[2]; /* width and height, mm: of the paper, and of what it shows */
    size_t columns, rows;
} report_pdf_tiling;

/* Holding the paper as takes fewer sheets. */
report_pdf_tiling report_pdf_tiling_choose(double width, double height);

/* The content of the sheet in this column and row. */
void report_pdf_sheet(nw_text *pdf, const report_pdf_tiling *t, size_t column, size_t row);

/* The plan: the whole drawing on one sheet of paper, held as shows it largest, and how the sheets
 * divide it. */
report_pdf_tiling report_pdf_plan_paper(const report_pdf_drawing *drawing);
void report_pdf_plan(nw_text *pdf, const report_pdf_tiling *paper, const report_pdf_tiling *t,
                     const report_pdf_drawing *drawing);

/* Words that readers show outside the page. */
void report_pdf_words(nw_text *pdf, const char *letters);

#endif
