/* pdf_canvas: a sheet drawn by cairo. Internal to report, and built only where cairo is. */
#ifndef NARROWS_REPORT_PDF_CANVAS_H
#define NARROWS_REPORT_PDF_CANVAS_H

#include <report/sheet/sheet.h>

#include <cairo.h>

typedef struct {
    cairo_t *cr;
    cairo_font_face_t *faces[2]; /* plain and bold */
    nw_box window;               /* of the sheet: what lies outside need not be drawn */
    double least;                /* nor shapes and letters that are smaller than this */
} report_pdf_canvas;

/* Draws to a report_pdf_canvas. */
extern const report_canvas report_pdf_drawing;

void nw_report_pdf_canvas_open(report_pdf_canvas *canvas, cairo_surface_t *surface);
void nw_report_pdf_canvas_close(report_pdf_canvas *canvas);

#endif
