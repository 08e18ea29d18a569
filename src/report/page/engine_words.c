/* engine_words: the result in the words of the terminal's table, the marked drawing, and the
 * files that are written. */
#include <report/page/engine.h>
#include <report/parts.h>

enum { VERDICT, SUBJECT, COUNTS, DOUBTS, ERROR, CAUTION };
enum { OUTLINE_SVG, OUTLINE_DXF, SPOTS_CSV };

const char *EXPORT(page_words)(page *p, int which);
const char *EXPORT(page_spot_words)(page *p, size_t spot);
const char *EXPORT(page_marked)(page *p, const char *note);
const char *EXPORT(page_pdf)(page *p, const char *note);
const char *EXPORT(page_file)(page *p, int which);

nw_report nw_page_report(const page *p)
{
    return (nw_report){.art = p->art,
                       .drawing = &p->kept,
                       .fit = &p->fit,
                       .neck_from_stock = p->neck_from_stock,
                       .unread = p->unread,
                       .sure = p->sure * p->factor,
                       .inch = p->inch,
                       .held = p->held.tabs ? &p->held : NULL};
}

static const char *text_of(const page *p)
{
    return p->text.failed || !p->text.data ? "" : p->text.data;
}

const char *page_words(page *p, int which)
{
    nw_report report = nw_page_report(p);
    nw_text_free(&p->text);
    switch (which) {
    case VERDICT:
        nw_report_verdict(&p->text, &report);
        break;
    case SUBJECT:
        nw_report_subject(&p->text, &report);
        break;
    case COUNTS:
        nw_report_counts(&p->text, &report);
        break;
    case DOUBTS:
        nw_report_doubts(&p->text, &report);
        break;
    case CAUTION:
        return nw_report_caution();
    default:
        return p->error.message;
    }
    return text_of(p);
}

const char *page_spot_words(page *p, size_t spot)
{
    nw_text_free(&p->text);
    if (spot < p->fit.spot_count)
        nw_report_spot(&p->text, &p->fit.spots[spot], p->inch);
    return text_of(p);
}

static nw_report report_noted(page *p, const char *const *note)
{
    nw_report report = nw_page_report(p);
    report.notes = note;
    report.note_count = 1;
    nw_text_free(&p->text);
    return report;
}

/* The marked drawing as SVG, with a line that says how it came about. */
const char *page_marked(page *p, const char *note)
{
    nw_report report = report_noted(p, &note);
    return nw_write_marked(&report, &p->text, NULL, &p->error) == NW_OK ? text_of(p) : "";
}

/* The same as PDF, which is ASCII; nothing when it would take too many sheets. */
const char *page_pdf(page *p, const char *note)
{
    nw_report report = report_noted(p, &note);
    size_t sheets;
    return nw_write_marked_pdf(&report, &sheets, &p->text, &p->error) == NW_OK ? text_of(p) : "";
}

/* ---- files ---------------------------------------------------------------------------------- */

/* The files that the command writes: outlines as SVG and as DXF, with the tabs that were asked for
 * in a layer of their own, and the list of spots. */
const char *page_file(page *p, int which)
{
    nw_report report = nw_page_report(p);
    nw_layer layers[] = {{.name = "outline", .drawing = &p->kept},
                         {.name = "tabs", .drawing = &p->tabs, .colour = "#009e73"}};
    size_t count = p->tabs.count ? 2 : 1;
    layers[0].filled = count == 1;
    nw_text_free(&p->text);
    nw_status status = which == OUTLINE_SVG
                           ? nw_write_svg(layers, count, p->art, &p->text, &p->error)
                       : which == OUTLINE_DXF ? nw_write_dxf(layers, count, &p->text, &p->error)
                                              : nw_write_spots_csv(&report, &p->text, &p->error);
    return status == NW_OK ? text_of(p) : "";
}
