/* pdf_none: stands in for pdf.c where cairo is missing. */
#include <report/report.h>

bool nw_pdf_built(void)
{
    return false;
}

nw_status nw_write_marked_pdf(const nw_report *report, size_t *sheets, nw_text *pdf,
                              nw_error *error)
{
    (void)report;
    *sheets = 0;
    *pdf = (nw_text){0};
    return nw_fail(error, NW_BAD_REQUEST, "built without cairo, so without PDF");
}
