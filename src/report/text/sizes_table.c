/* Every size side by side as a table of at most 80 columns, and what it comes to. */
#include <report/parts.h>

#include <math.h>

#define BOLD "\x1b[1m"
#define PLAIN "\x1b[0m"

size_t nw_report_size_marked(const nw_sizes *sizes)
{
    return sizes->smallest < sizes->count ? sizes->smallest : sizes->closest;
}

/* Whole millimetres, or tenths of small art: as they were chosen. */
static void add_width(nw_text *words, double mm, bool inch)
{
    if (inch) {
        nw_report_length(words, mm, true);
        return;
    }
    nw_text_number(words, mm, 1);
    nw_text_add(words, " mm");
}

void nw_report_sizes_verdict(nw_text *words, const nw_sizes_report *report)
{
    const nw_sizes *sizes = report->sizes;
    if (sizes->smallest < sizes->count) {
        nw_text_add(words, sizes->smallest ? "From " : "The bit cuts it all from ");
        add_width(words, sizes->results[sizes->smallest].width, report->inch);
        nw_text_add(words, sizes->smallest ? " wide on the bit cuts it all" : " wide on");
        nw_report_unread(words, &report->unread, "; ");
        return;
    }
    bool any = sizes->least < sizes->count, near = sizes->closest < sizes->count;
    nw_text_format(words, "The bit cuts %s width up to ",
                   any ? "it all at no" : "none of it at any");
    add_width(words, sizes->results[sizes->count - 1].width, report->inch);
    if (any) {
        const nw_size_result *least = &sizes->results[sizes->least];
        nw_text_add(words, near ? "; at " : ", nor comes near; even at ");
        add_width(words, least->width, report->inch);
        nw_report_left_uncut(words, " wide it leaves ", least->fit.spot_count,
                             nw_fit_unreached(&least->fit));
    }
    nw_report_unread(words, &report->unread, "; ");
}

void nw_report_sizes_subject(nw_text *words, const nw_sizes_report *report)
{
    nw_report_art_name(words, report->art);
    nw_text_add(words, ", ");
    nw_report_size(words, report->drawing->width, report->drawing->height, report->inch);
    const nw_fit_options *options = &report->sizes->results[0].fit.options;
    nw_text_format(words, ", cut %s, bit ", nw_cut_name(options->cut));
    nw_report_bit(words, options->bit, report->inch);
    nw_text_add(words, ", least neck ");
    nw_report_bit(words, options->neck, report->inch);
}

static void add_row(nw_text *text, const nw_sizes_report *report, size_t k, bool colour)
{
    const nw_size_result *result = &report->sizes->results[k];
    const nw_spot_counts *counts = &result->counts;
    bool marked = k == nw_report_size_marked(report->sizes);
    double unit = report->inch ? NW_MM_PER_INCH : 1;
    int decimals = report->inch ? 2 : 1;
    nw_text_add(text, colour && marked ? BOLD : "");
    nw_text_add(text, marked ? "> " : "  ");
    nw_report_number_cell(text, result->width / unit, decimals, 9);
    nw_report_number_cell(text, result->height / unit, decimals, 9);
    nw_text_format(text, "  %-4s%6zu%5zu%5zu%5zu", nw_report_fits_word(&result->fit),
                   counts->pinches, counts->stubs, counts->misses, counts->necks);
    nw_report_share_cell(text, nw_fit_unreached(&result->fit), 1, 9);
    nw_text_format(text, "%6zu", result->fit.corners.tips);
    nw_report_number_cell(text, result->fit.corners.deepest / unit, report->inch ? 3 : 2, 9);
    nw_text_add(text, colour && marked ? PLAIN "\n" : "\n");
}

nw_status nw_write_sizes_table(const nw_sizes_report *report, bool colour, nw_text *table,
                               nw_error *error)
{
    *table = (nw_text){0};
    nw_text words = {0};
    nw_report_sizes_verdict(&words, report);
    nw_report_paragraph(table, nw_text_string(&words), colour ? BOLD : "");
    table->failed = table->failed || words.failed;
    nw_text_free(&words);
    nw_report_sizes_subject(&words, report);
    nw_report_paragraph(table, nw_text_string(&words), "");
    table->failed = table->failed || words.failed;
    nw_text_free(&words);
    nw_text_format(table, "\n  %9s%9s  %-4s%6s%5s%5s%5s%9s%6s%9s\n", "width", "height", "fits",
                   "pinch", "stub", "miss", "neck", "uncut %", "tips", "deepest");
    bool unsure = false;
    for (size_t k = 0; k < report->sizes->count; k++) {
        add_row(table, report, k, colour);
        unsure = unsure || *nw_report_fits_word(&report->sizes->results[k].fit) == '?';
    }
    nw_text_add(table, nw_report_units(report->inch));
    nw_text_add(table, "; uncut: of the cut area; tips come out blunter, and the deepest\n"
                       "is the most that is lost of one, or of any other corner\n");
    nw_text_add(table, unsure ? REPORT_FITS_UNSURE : "");
    return nw_report_finish(table, "the table of sizes", error);
}
