/*
 * ways_list: the ways out of a fit that fails, cheapest first; or the room that there is when it
 * does not fail.
 */
#include <report/text/ways_words.h>

#include <math.h>
#include <string.h>

static int cheaper_first(const void *left, const void *right)
{
    const nw_way_line *a = left, *b = right;
    return a->cost < b->cost ? -1 : a->cost > b->cost;
}

/* Equal costs keep the order bit, size, widening, margin, less. */
static void lines_sort(nw_way_line lines[NW_WAY_LINES])
{
    for (int i = 1; i < NW_WAY_LINES; i++) {
        for (int k = i; k > 0 && cheaper_first(&lines[k], &lines[k - 1]) < 0; k--) {
            nw_way_line held = lines[k];
            lines[k] = lines[k - 1];
            lines[k - 1] = held;
        }
    }
}

nw_status nw_ways_lines(const nw_ways_report *report, nw_way_line lines[NW_WAY_LINES],
                        nw_error *error)
{
    memset(lines, 0, NW_WAY_LINES * sizeof *lines);
    for (int i = 0; i < NW_WAY_LINES; i++)
        lines[i].cost = INFINITY;
    lines[2].widens = true;
    nw_report_way_bit(report, &lines[0]);
    nw_report_way_size(report, &lines[1]);
    nw_report_way_widen(report, &lines[2]);
    nw_report_way_margin(report, &lines[3]);
    for (size_t i = 0; i < NW_WAYS_LESS; i++)
        nw_report_way_less(report, i, &lines[4 + i]);
    bool failed = false;
    for (int i = 0; i < NW_WAY_LINES; i++)
        failed = failed || lines[i].text.failed || lines[i].command.failed;
    if (failed) {
        nw_ways_lines_free(lines);
        return nw_fail_memory(error, "the ways out");
    }
    lines_sort(lines);
    return NW_OK;
}

void nw_ways_lines_free(nw_way_line lines[NW_WAY_LINES])
{
    for (int i = 0; i < NW_WAY_LINES; i++) {
        nw_text_free(&lines[i].text);
        nw_text_free(&lines[i].command);
    }
}

static void room_write(const nw_ways_report *report, nw_text *text)
{
    const nw_ways *ways = report->ways;
    nw_text words = {0};
    nw_text_add(&words, "Room to spare: with this bit the art may be as small as ");
    nw_report_way_size_add(&words, report);
    if (ways->bit < report->rack->count) {
        nw_text_add(&words, "; the largest bit of the rack that cuts it all is ");
        nw_report_way_bit_add(&words, report);
    } else {
        nw_text_add(&words, "; no larger bit of the rack cuts it all");
    }
    nw_report_composed(text, &words, "");
}

/* With its number; without one where there is none. */
static void line_write(nw_text *text, int number, const nw_way_line *line)
{
    nw_text words = {0};
    if (number)
        nw_text_format(&words, "%d. ", number);
    nw_text_add(&words, line->text.data);
    nw_report_composed(text, &words, "");
    if (line->command.data)
        nw_text_format(text, "   %s\n", line->command.data);
}

nw_status nw_write_ways(const nw_ways_report *report, nw_text *text, nw_error *error)
{
    *text = (nw_text){0};
    if (report->ways->fits) {
        room_write(report, text);
        return nw_report_finish(text, "the ways out", error);
    }
    nw_way_line lines[NW_WAY_LINES];
    nw_status status = nw_ways_lines(report, lines, error);
    if (status != NW_OK)
        return status;
    int first = lines[0].cost < 0; /* too fine, which is no way */
    if (first)
        line_write(text, 0, &lines[0]);
    bool any = lines[first].open;
    if (any || !first)
        nw_text_add(text, any ? "Ways out, cheapest first:\n" : "No way out was found:\n");
    for (int i = first; i < NW_WAY_LINES && lines[i].text.data && (any || !first); i++)
        line_write(text, i + 1 - first, &lines[i]);
    nw_ways_lines_free(lines);
    return nw_report_finish(text, "the ways out", error);
}
