/* engine_words: the result in the words of the terminal's table, and the files that the command
 * writes. */
#include <cli/engine/engine_calls.h>

#include <string.h>

enum { VERDICT, SUBJECT, COUNTS, DOUBTS, ERROR, CAUTION };

const char *page_words(page *p, int which)
{
    nw_report report = engine_report(p);
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
    return nw_text_string(&p->text);
}

const char *page_spot_words(page *p, size_t spot)
{
    nw_text_free(&p->text);
    if (spot < p->fit.spot_count)
        nw_report_spot(&p->text, &p->fit.spots[spot], p->request.inch);
    return nw_text_string(&p->text);
}

/* A length, or a bit's diameter, as the reports tell it. */
const char *page_length(page *p, double mm, int bit, int inch)
{
    nw_text_free(&p->text);
    if (bit)
        nw_report_bit(&p->text, mm, inch);
    else
        nw_write_length(&p->text, mm, inch);
    return nw_text_string(&p->text);
}

/* A part of something as the reports tell it. */
const char *page_share(page *p, double share, int decimals)
{
    nw_text_free(&p->text);
    nw_report_share(&p->text, share, decimals);
    return nw_text_string(&p->text);
}

/* ---- files ---------------------------------------------------------------------------------- */

static nw_status outline_write(page *p, cli_format format)
{
    cli_layers layers;
    nw_status status =
        layers_make(&p->request, engine_drawing(p), &p->fit, &p->hold, &layers, &p->error);
    if (status == NW_OK) {
        status = layers_write(&layers, &p->request, format, nw_text_string(&p->name), &p->text,
                              &p->error);
    }
    layers_free(&layers);
    return status;
}

/* The marked drawing, or its second sheet. */
static nw_status marked_write(page *p, const nw_report *report, bool second)
{
    nw_text marked, details;
    nw_status status = nw_write_marked(report, &marked, &details, &p->error);
    p->text = second ? details : marked;
    nw_text_free(second ? &marked : &details);
    if (status == NW_OK && !p->text.length)
        return nw_fail(&p->error, NW_BAD_REQUEST, "The marked drawing shows all of it");
    return status;
}

/* The marked drawing as PDF is ASCII; nothing when it would take too many sheets. */
static nw_status file_write(page *p, const char *name, const nw_report *report)
{
    size_t sheets;
    if (strcmp(name, "outline.svg") == 0)
        return outline_write(p, FORMAT_SVG);
    if (strcmp(name, "outline.dxf") == 0)
        return outline_write(p, FORMAT_DXF);
    if (strcmp(name, "spots.csv") == 0)
        return nw_write_spots_csv(report, &p->text, &p->error);
    if (strcmp(name, "spots.json") == 0)
        return nw_write_spots_json(report, &p->text, &p->error);
    if (strcmp(name, "marked.svg") == 0)
        return marked_write(p, report, false);
    if (strcmp(name, "details.svg") == 0)
        return marked_write(p, report, true);
    if (strcmp(name, "marked.pdf") == 0)
        return nw_write_marked_pdf(report, &sheets, &p->text, &p->error);
    return nw_fail(&p->error, NW_BAD_REQUEST, "there is no '%s'", name);
}

/* A file that check writes. */
const char *page_file(page *p, const char *name)
{
    nw_report report = engine_report(p);
    nw_text_free(&p->text);
    p->error.message[0] = '\0';
    return file_write(p, name, &report) == NW_OK ? nw_text_string(&p->text) : "";
}
