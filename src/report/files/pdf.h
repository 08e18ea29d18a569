/* pdf: what the writers of a PDF's contents share. Internal to report. */
#ifndef NARROWS_REPORT_PDF_H
#define NARROWS_REPORT_PDF_H

#include <base/base.h>

/* Operands, then what is done with them (pdf_canvas.c). */
void nw_report_pdf_put(nw_text *out, size_t count, const double *operands, const char *operator);

/* Text in UTF-8 as the operators that show it in the font that is set (pdf_letters.c). */
void nw_report_pdf_show(nw_text *out, const char *text);
/* How wide it is shown, in sizes of the font. */
double nw_report_pdf_width(const char *text, bool bold);
/* How wide it may come at most, as nw_report_text_width, in mm. */
double nw_report_pdf_room(const char *text, size_t length, double size, bool bold);
/* The same text as a string outside of contents. */
void nw_report_pdf_string(nw_text *out, const char *text);

#endif
