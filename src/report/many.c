/* many: what came of many arts, as a table, and one that failed as JSON. */
#include <report/json.h>
#include <report/parts.h>

#include <string.h>

#define NAME_COLUMNS 30

/* A name in a column: its end where it is too long, for there the difference lies. */
static void add_name(nw_text *table, const char *name)
{
    nw_text line = {0};
    report_line(&line, name);
    const char *text = line.data ? line.data : "";
    size_t columns = 0;
    for (const char *c = text; *c; c++) {
        columns += ((unsigned char)*c & 0xc0) != 0x80;
    }
    bool cut = columns > NAME_COLUMNS;
    for (size_t left = columns; left > NAME_COLUMNS - (cut ? 3 : 0);) {
        left -= ((unsigned char)*++text & 0xc0) != 0x80;
    }
    nw_text_format(table, "%s%s%*s", cut ? "..." : "", text,
                   cut ? 0 : (int)(NAME_COLUMNS - columns), "");
    table->failed = table->failed || line.failed;
    nw_text_free(&line);
}

static void add_width(nw_text *table, double width, bool inch)
{
    nw_text cell = {0};
    if (width >= 0) {
        report_length_short(&cell, width, inch);
    } else {
        nw_text_add(&cell, "-");
    }
    nw_text_format(table, "%10s", cell.data ? cell.data : "");
    table->failed = table->failed || cell.failed;
    nw_text_free(&cell);
}

static void add_row(nw_text *table, const nw_many_row *row, bool inch)
{
    add_name(table, row->art);
    if (row->failure) {
        nw_text_add(table, "  not checked\n");
        return;
    }
    nw_text_format(table, "  %-4s%7zu", row->fits ? "yes" : "no", row->gaps);
    add_width(table, row->narrowest_gap, inch);
    nw_text_format(table, "%7zu", row->necks);
    add_width(table, row->narrowest_neck, inch);
    nw_text_add(table, "\n");
}

nw_status nw_write_many_table(const nw_many_row *rows, size_t count, bool inch, nw_text *table,
                              nw_error *error)
{
    *table = (nw_text){0};
    size_t fit = 0, failed = 0;
    const char *least = inch ? "least in" : "least mm";
    nw_text_format(table, "%-*s  %-4s%7s%10s%7s%10s\n", NAME_COLUMNS, "art", "fits", "gaps", least,
                   "necks", least);
    for (size_t i = 0; i < count; i++) {
        add_row(table, &rows[i], inch);
        fit += !rows[i].failure && rows[i].fits;
        failed += rows[i].failure != NULL;
    }
    nw_text_format(table, "%zu of %zu fit", fit, count);
    if (failed) {
        nw_text_format(table, ", %zu could not be checked", failed);
    }
    nw_text_add(table, "\n\n");
    report_paragraph(table, report_caution(), "");
    return report_finish(table, "the table", error);
}

nw_status nw_write_failure_json(const char *art, const char *failure, nw_text *json,
                                nw_error *error)
{
    *json = (nw_text){0};
    report_json b = {false};
    struct json_object *root = report_json_made(&b, json_object_new_object());
    if (root) {
        report_json_put(&b, root, "narrows", report_json_string(&b, NW_VERSION));
        report_json_put(&b, root, "art", report_json_string(&b, art));
        report_json_put(&b, root, "failure", report_json_string(&b, failure));
    }
    report_json_write(&b, root, json);
    return report_finish(json, "a line of JSON", error);
}
