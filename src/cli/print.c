/* print: a drawing as PDF, for printing; a check is none the worse without one. */
#include <cli/files.h>

nw_status print_make(const nw_report *report, const char *name, cli_talk *talk, nw_text *pdf,
                     nw_error *error)
{
    *pdf = (nw_text){0};
    nw_text why = {0};
    nw_error trouble = {0};
    size_t sheets = 0;
    nw_status status = nw_write_marked_pdf(report, &sheets, pdf, &trouble);
    if (status == NW_NO_MEMORY)
        return nw_fail_memory(error, name);
    if (status != NW_OK) {
        nw_text_format(&why, "no %s: %s; print the SVG instead", name, trouble.message);
    } else if (!pdf->data) {
        nw_text_format(&why, "no %s: it would take %zu sheets; print the SVG on large paper", name,
                       sheets);
    }
    return talk_note(talk, NW_WEIGHT_USUAL, &why, error);
}
