/* Every bit side by side as a table of at most 80 columns, with what must be said about single
 * bits below it. */
#include <report/parts.h>

#include <math.h>

#define NAME_COLUMNS 11
#define BOLD "\x1b[1m"
#define PLAIN "\x1b[0m"
#define MM2_PER_IN2 (NW_MM_PER_INCH * NW_MM_PER_INCH)

void nw_report_number_cell(nw_text *text, double value, int decimals, int width)
{
    nw_text cell = {0};
    if (value < 0)
        nw_text_add(&cell, "-");
    else
        nw_text_fixed(&cell, value, decimals);
    nw_text_take(text, &cell, width);
}

/* As published: 3/32 in is 2.38125 mm. */
static void add_bit(nw_text *text, double diameter)
{
    nw_text cell = {0};
    nw_text_number(&cell, diameter, 5);
    nw_text_take(text, &cell, 8);
}

static void cut_add(nw_text *text, const char *words, size_t columns)
{
    size_t length = nw_report_head(words, columns);
    nw_text_add_bytes(text, words, length);
    nw_text_format(text, "%*s", (int)(columns - nw_report_columns(words, length)), "");
}

void nw_report_name_cell(nw_text *text, const char *name, size_t columns)
{
    nw_text clean = {0};
    nw_report_line(&clean, name);
    cut_add(text, nw_text_string(&clean), columns);
    text->failed = text->failed || clean.failed;
    nw_text_free(&clean);
}

static const char *answer(const nw_bit_result *result)
{
    return result->judged ? nw_report_fits_word(&result->fit) : "-";
}

static void add_counts(nw_text *text, const nw_bit_result *result)
{
    nw_text_format(text, "  %-4s%6zu%5zu%5zu%5zu", answer(result), result->pinches, result->stubs,
                   result->misses, result->necks);
}

/* Metres or feet; three figures are enough. */
static void add_path(nw_text *text, double length)
{
    nw_report_number_cell(text, length, length < 9.995 ? 2 : length < 99.95 ? 1 : 0, 7);
}

static void add_row(nw_text *text, const nw_bits_report *report, size_t k, bool colour)
{
    const nw_bit_result *result = &report->bits->results[k];
    bool inch = report->inch;
    bool marked = k == report->bits->largest || k == report->bits->closest;
    double unit = inch ? NW_MM_PER_INCH : 1;
    nw_text_add(text, colour && marked ? BOLD : "");
    nw_text_add(text, marked ? "> " : "  ");
    nw_report_name_cell(text, report->rack->bits[result->bit].name, NAME_COLUMNS);
    add_bit(text, result->diameter / unit);
    if (result->judged) {
        add_counts(text, result);
        nw_report_number_cell(text, result->fit.area_unreached / (inch ? MM2_PER_IN2 : 1),
                              inch ? 3 : 1, 10);
        nw_report_share_cell(text, result->share_unreached, 1, 8);
        add_path(text, result->fit.path_length / (inch ? 12 * unit : 1000));
    } else {
        nw_text_add(text, "  -");
    }
    nw_text_add(text, colour && marked ? PLAIN "\n" : "\n");
}

static void add_rows(nw_text *text, const nw_bits_report *report, bool colour)
{
    const char *unit = nw_report_unit(report->inch);
    nw_text_format(text, "\n  %-*s%8s  %-4s%6s%5s%5s%5s%10s%8s%7s\n", NAME_COLUMNS, "bit", unit,
                   "fits", "pinch", "stub", "miss", "neck", "uncut", "%", "path");
    bool unsure = false;
    for (size_t k = 0; k < report->bits->count; k++) {
        add_row(text, report, k, colour);
        unsure = unsure || *answer(&report->bits->results[k]) == '?';
    }
    nw_text_format(
        text,
        "Spots by form; uncut: what the bit leaves, %s², and its share of the cut area;\n"
        "path: the bit's way round, %s\n",
        unit, report->inch ? "feet" : "metres");
    nw_text_add(text, unsure ? REPORT_FITS_UNSURE : "");
}

/* ---- words ---------------------------------------------------------------------------------- */

/* The smallest bit shows what stays. */
static void add_why_none(nw_text *words, const nw_bits_report *report)
{
    const nw_bits *bits = report->bits;
    const nw_bit_result *least = NULL;
    for (size_t k = 0; k < bits->count; k++)
        least = bits->results[k].judged ? &bits->results[k] : least;
    bool necks = least && least->necks && (report->neck > 0 || report->stock > 0);
    nw_text_add(words, "; no bit of ");
    if (report->inch)
        nw_report_length(words, NW_BIT_LEAST_MM, true);
    else
        nw_report_round(words, NW_BIT_LEAST_MM, false);
    nw_text_add(words, " or more does: ");
    nw_text_add(words, necks ? "some stock is thinner than the least neck"
                             : "some place is thinner than that");
}

/* Is there a bit that can be judged, and none that cuts anything? */
static bool cuts_nothing(const nw_bits *bits)
{
    bool judged = false, cuts = false;
    for (size_t k = 0; k < bits->count; k++) {
        judged = judged || bits->results[k].judged;
        cuts = cuts || (bits->results[k].judged && nw_fit_cuts(&bits->results[k].fit));
    }
    return judged && !cuts;
}

void nw_report_bits_verdict(nw_text *words, const nw_bits_report *report)
{
    const nw_bits *bits = report->bits;
    bool nothing = cuts_nothing(bits);
    if (bits->largest < bits->count) {
        const nw_bit_result *result = &bits->results[bits->largest];
        nw_text_add(words, "The largest bit that cuts it all is ");
        nw_report_bit_named(words, report->rack->bits[result->bit].name, result->diameter,
                            report->inch);
    } else {
        nw_text_add(words, nothing ? "No bit of the rack cuts any of it: it is too fine"
                                   : "No bit of the rack cuts it all");
        if (bits->least < bits->count) {
            const nw_bit_result *result = &bits->results[bits->least];
            nw_text_add(words, bits->closest < bits->count ? "; " : " or comes near; even ");
            nw_text_format(words, "'%s'", report->rack->bits[result->bit].name);
            nw_report_left_uncut(words, " leaves ", result->fit.spot_count,
                                 nw_fit_unreached(&result->fit));
        }
    }
    if (isinf(report->bits->critical)) {
        nw_text_add(words, "; any larger bit would too");
    } else if (report->bits->critical > 0) {
        nw_text_add(words, bits->largest < bits->count
                               ? "; of any size the largest is "
                               : "; of any size the largest that cuts it all is ");
        /* Downwards, but for a hair: a bit as large as what is printed fits. */
        nw_report_length(words, floor(report->bits->critical * 100 + 0.1) / 100, report->inch);
    } else {
        add_why_none(words, report);
    }
    nw_report_unread(words, &report->unread, "; ");
}

void nw_report_bits_subject(nw_text *words, const nw_bits_report *report)
{
    nw_report_art_name(words, report->art);
    nw_text_add(words, ", ");
    nw_report_size(words, report->drawing->width, report->drawing->height, report->inch);
    nw_text_format(words, ", cut %s, least neck ", nw_cut_name(report->cut));
    if (report->neck > 0) {
        nw_report_bit(words, report->neck, report->inch);
    } else {
        nw_text_add(words, report->stock > 0 ? "the bit's width or the stock's " : "as each bit");
        if (report->stock > 0)
            nw_report_bit(words, report->stock, report->inch);
    }
    nw_text_add(words, ", rack: ");
    nw_report_line(words, report->rack_name);
}

static void add_vee(nw_text *words, const nw_bits_report *report, const nw_bit_result *result)
{
    nw_text_add(words, "a V bit cuts as deep as its place is wide: at most ");
    nw_report_length(words, result->vee_depth, report->inch);
    nw_text_add(words, " here, at ");
    nw_report_place(words, result->vee_at.x, 1, report->inch);
    nw_text_add(words, ", ");
    nw_report_place(words, result->vee_at.y, 1, report->inch);
    if (report->stock > 0) {
        nw_text_add(words, result->vee_depth >= report->stock ? ", which goes through the stock, "
                                                              : ", which stays within the stock, ");
        nw_report_bit(words, report->stock, report->inch);
    }
}

/* How the stock's thickness is told. */
static void add_stock_option(nw_text *words, const nw_bits_report *report, const char *what_for)
{
    if (report->named)
        nw_text_format(words, ": say %s%s", report->named->stock, what_for);
}

static void add_bit_note(nw_text *words, const nw_bits_report *report, const nw_bit_result *result)
{
    const nw_bit *bit = &report->rack->bits[result->bit];
    bool told = result->flutes_short || result->vee_depth >= 0 || !result->judged ||
                result->diameter != bit->diameter;
    if (!told)
        return;
    nw_report_line(words, bit->name);
    nw_text_add(words, ": ");
    if (result->vee_depth >= 0) {
        add_vee(words, report, result);
    } else if (!result->judged) {
        nw_text_add(words, "how wide it cuts depends on the stock's thickness");
        add_stock_option(words, report, "");
    } else if (result->diameter != bit->diameter) {
        nw_text_add(words, bit->tip > 0 ? "tapered; its width" : "a V bit; its width");
        nw_text_add(words,
                    report->stock > 0 ? " at the stock's top face counts" : " at the tip counts");
        if (!(report->stock > 0))
            add_stock_option(words, report, " for the top's");
    }
    if (result->flutes_short) {
        bool only = result->vee_depth < 0 && result->judged && result->diameter == bit->diameter;
        nw_text_add(words, only ? "its flutes, " : "; its flutes, ");
        nw_report_bit(words, bit->flute, report->inch);
        nw_text_add(words, ", are shorter than the stock is thick");
    }
}

/* Deeper passes break bits and burn stock; nobody published the number. */
static void add_practice(nw_text *words, const nw_bits_report *report)
{
    const nw_bits *bits = report->bits;
    if (bits->largest >= bits->count)
        return;
    double diameter = bits->results[bits->largest].diameter;
    nw_text_add(words, "Common practice: passes of at most half to one diameter deep, here ");
    nw_report_length(words, diameter / 2, report->inch);
    nw_text_add(words, " to ");
    nw_report_length(words, diameter, report->inch);
    if (report->stock > 0) {
        long fewest = (long)ceil(report->stock / diameter - 1e-9);
        long most = (long)ceil(2 * report->stock / diameter - 1e-9);
        nw_text_format(words, fewest < most ? ", so %ld to " : ", so ", fewest);
        nw_text_format(
            words, most == 1 ? "%ld pass through the stock" : "%ld passes through the stock", most);
    }
}

nw_status nw_write_bits_table(const nw_bits_report *report, bool colour, nw_text *table,
                              nw_error *error)
{
    *table = (nw_text){0};
    nw_text words = {0};
    nw_report_bits_verdict(&words, report);
    nw_report_composed(table, &words, colour ? BOLD : "");
    nw_report_bits_subject(&words, report);
    nw_report_composed(table, &words, "");
    add_rows(table, report, colour);
    nw_text notes = {0};
    for (size_t k = 0; k < report->bits->count; k++) {
        add_bit_note(&words, report, &report->bits->results[k]);
        nw_report_composed(&notes, &words, "");
    }
    add_practice(&words, report);
    nw_report_composed(&notes, &words, "");
    nw_text_add(table, notes.length ? "\n" : "");
    nw_text_take(table, &notes, 0);
    return nw_report_finish(table, "the table of bits", error);
}
