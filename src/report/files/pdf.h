/* pdf: what the writers of a PDF's contents share. Internal to report. */
#ifndef NARROWS_REPORT_PDF_H
#define NARROWS_REPORT_PDF_H

#include <base/base.h>

/* Operands, then what is done with them (pdf_canvas.c). */
void nw_report_pdf_put(nw_text *out, size_t count, const double *operands, const char *operator);

/* Text in UTF-8 as codes of the fonts' encoding; false when a letter that they lack was named
 * (pdf_letters.c). Its width in sizes of the font, and the operator that shows it. */
bool nw_report_pdf_letters(nw_text *letters, const char *text);
double nw_report_pdf_width(const nw_text *letters, bool bold);
void nw_report_pdf_show(nw_text *out, const nw_text *letters);
/* How wide it may come at most, as nw_report_text_width, in mm. */
double nw_report_pdf_room(const char *text, size_t length, double size, bool bold);
/* Text outside of contents. */
void nw_report_pdf_string(nw_text *out, const char *text);

#endif
