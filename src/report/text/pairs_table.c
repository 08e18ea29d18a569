/* Pairs of a large and a small bit as a table of at most 80 columns, the best first. */
#include <report/parts.h>

#include <string.h>

#define ROWS_MOST 12
#define NAME_COLUMNS 14

static void add_pair(nw_text *text, const nw_bits_report *report, size_t k)
{
    const nw_pair *pair = &report->pairs->pairs[k];
    double metre = report->inch ? 12 * NW_MM_PER_INCH : 1000;
    double area = report->inch ? NW_MM_PER_INCH * NW_MM_PER_INCH : 1;
    nw_text_add(text, k == 0 ? "> " : "  ");
    nw_report_name_cell(text, report->rack->bits[pair->large].name, NAME_COLUMNS);
    nw_text_add(text, " ");
    nw_report_name_cell(text, report->rack->bits[pair->small].name, NAME_COLUMNS);
    nw_report_number_cell(text, pair->large_path / metre, 3, 9);
    nw_report_number_cell(text, pair->small_path / metre, 3, 9);
    nw_report_number_cell(text, pair->remains / area, report->inch ? 3 : 1, 9);
    nw_report_number_cell(text, pair->left / area, report->inch ? 3 : 1, 9);
    if (report->pairs->by_time)
        nw_report_number_cell(text, pair->minutes, 1, 8);
    else
        nw_report_number_cell(text, 100 * pair->share, 0, 8);
    nw_text_add(text, "\n");
}

nw_status nw_write_pairs_table(const nw_bits_report *report, nw_text *table, nw_error *error)
{
    *table = (nw_text){0};
    const nw_pairs *pairs = report->pairs;
    if (!pairs->count) {
        nw_text_add(table,
                    "No two bits of the rack make a pair: the small one must cut it all, the "
                    "large one\nleave it something to do, and both take less time than the small "
                    "one alone.\n");
        return nw_report_finish(table, "the pairs", error);
    }
    const char *order = pairs->by_time ? "time at the rack's feeds" : "time";
    nw_text_format(
        table, "Two bits, a large one for all and a small one for what it leaves, by\n%s%s:\n\n",
        order, pairs->fits ? "" : "; no bit cuts it all, so the small one is the smallest");
    nw_text_format(table, "  %-*s %-*s%9s%9s%9s%9s%8s\n", NAME_COLUMNS, "large", NAME_COLUMNS,
                   "small", "path", "path", "remains", "left",
                   pairs->by_time ? "minutes" : "time %");
    for (size_t k = 0; k < pairs->count && k < ROWS_MOST; k++)
        add_pair(table, report, k);
    if (pairs->count > ROWS_MOST) {
        nw_text_format(table, report->named ? "  and %zu more with %s\n" : "  and %zu more\n",
                       pairs->count - ROWS_MOST, report->named ? report->named->all : "");
    }
    nw_text_format(table,
                   "paths of the large and the small bit, %s; remains: what the large one\nleaves "
                   "uncut, left: what both leave, %s²\n",
                   report->inch ? "feet" : "metres", nw_report_unit(report->inch));
    if (!pairs->by_time)
        nw_text_add(table,
                    "time: of what the small bit takes alone; where the rack has no feeds the "
                    "rate is\ntaken to grow with the diameter (common practice)\n");
    return nw_report_finish(table, "the pairs", error);
}
