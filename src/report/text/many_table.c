/* many_table: what came of many arts, as a table, and one that failed as JSON. */
#include <report/files/json_text.h>
#include <report/parts.h>

#include <string.h>

#define NAME_COLUMNS 30
#define WIDTH_COLUMNS 10
#define INCH_COLUMNS 15 /* an inch has its fraction beside it */

/* A name in a column: its end where it is too long, for there the difference lies. */
static void add_name(nw_text *table, const char *name)
{
    nw_text line = {0};
    nw_report_line(&line, name);
    const char *text = nw_text_string(&line);
    bool cut = nw_report_columns(text, strlen(text)) > NAME_COLUMNS;
    text += cut ? nw_report_tail(text, NAME_COLUMNS - 3) : 0;
    size_t taken = nw_report_columns(text, strlen(text)) + (cut ? 3 : 0);
    nw_text_format(table, "%s%s%*s", cut ? "..." : "", text, (int)(NAME_COLUMNS - taken), "");
    table->failed = table->failed || line.failed;
    nw_text_free(&line);
}

static void add_width(nw_text *table, double width, bool inch)
{
    nw_text cell = {0};
    if (width >= 0)
        nw_report_length_cell(&cell, width, inch);
    else
        nw_text_add(&cell, "-");
    nw_text_take(table, &cell, inch ? INCH_COLUMNS : WIDTH_COLUMNS);
}

static void add_row(nw_text *table, const nw_many_row *row, bool inch)
{
    add_name(table, row->art);
    if (row->failure) {
        nw_text_add(table, "  not checked\n");
        return;
    }
    nw_text_format(table, "  %-4s%7zu", !row->fits ? "no" : row->unread ? "?" : "yes", row->gaps);
    add_width(table, row->narrowest_gap, inch);
    nw_text_format(table, "%7zu", row->necks);
    add_width(table, row->narrowest_neck, inch);
    nw_text_add(table, "\n");
}

void nw_report_many_sum(nw_text *text, const nw_many *many)
{
    size_t fit = 0, failed = 0, unread = 0;
    for (size_t i = 0; i < many->count; i++) {
        fit += !many->rows[i].failure && many->rows[i].fits && !many->rows[i].unread;
        unread += !many->rows[i].failure && many->rows[i].unread;
        failed += many->rows[i].failure != NULL;
    }
    nw_text_format(text, "%zu of %zu fit", fit, many->count);
    if (failed)
        nw_text_format(text, ", %zu could not be checked", failed);
    if (unread)
        nw_text_format(text, ", %zu with parts that were not judged", unread);
}

void nw_report_many_question(nw_text *text, const nw_many *many)
{
    nw_text_format(text, "cut %s, bit ", nw_cut_name(many->cut));
    nw_report_bit(text, many->bit, many->inch);
}

nw_status nw_write_many_table(const nw_many *many, nw_text *table, nw_error *error)
{
    *table = (nw_text){0};
    const char *least = many->inch ? "least in" : "least mm";
    int width = many->inch ? INCH_COLUMNS : WIDTH_COLUMNS;
    nw_text_format(table, "%-*s  %-4s%7s%*s%7s%*s\n", NAME_COLUMNS, "art", "fits", "gaps", width,
                   least, "necks", width, least);
    for (size_t i = 0; i < many->count; i++)
        add_row(table, &many->rows[i], many->inch);
    nw_report_many_sum(table, many);
    nw_text_add(table, ": ");
    nw_report_many_question(table, many);
    nw_text_add(table, "\n\n");
    nw_report_paragraph(table, nw_report_caution(), "");
    return nw_report_finish(table, "the table", error);
}

nw_status nw_write_failure_json(const char *art, const char *failure, nw_text *json,
                                nw_error *error)
{
    *json = (nw_text){0};
    nw_json j = {.text = json};
    nw_json_open(&j, NULL, '{');
    nw_json_string(&j, "narrows", NW_VERSION);
    nw_json_string(&j, "art", art);
    nw_json_string(&j, "failure", failure);
    nw_json_close(&j, '}');
    return nw_report_finish(json, "a line of JSON", error);
}
