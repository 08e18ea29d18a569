/*
 * change_table: the account of a widening for standard output, at most 80 columns: the verdict,
 * what was changed, what became of each spot, and what is left.
 */
#include <report/parts.h>

#define ROWS_MOST 20

static void print_outcome(nw_text *text, const nw_change_report *change, size_t i)
{
    const nw_spot *spot = &change->widened->before.spots[i];
    nw_text cells[3] = {{0}, {0}, {0}};
    nw_report_place(&cells[0], spot->at.x, 2, change->inch);
    nw_report_place(&cells[1], spot->at.y, 2, change->inch);
    double size = spot->form == NW_PINCH ? spot->width : spot->depth;
    if (size >= 0)
        nw_report_length_short(&cells[2], size, change->inch);
    else
        nw_text_add(&cells[2], "-");
    nw_text_format(text, "%4zu  %-5s %-6s", i + 1, nw_side_name(spot->side),
                   nw_form_name(spot->form));
    static const int widths[] = {8, 8, 9};
    for (int k = 0; k < 3; k++) {
        nw_text_take(text, &cells[k], widths[k]);
        nw_text_add(text, k == 0 ? "," : "");
    }
    nw_text_add(text, "  ");
    nw_report_outcome(text, change, i);
    nw_text_add(text, "\n");
}

/* Where the rows are that a table has no room for. */
static void add_elsewhere(nw_text *text, const nw_change_report *change)
{
    nw_text_format(text, change->named ? "that %s lists" : "%s",
                   change->named ? change->named->all : "");
}

/* The first rows, and after them those of places that could not be helped. */
static void print_outcomes(nw_text *text, const nw_change_report *change)
{
    const nw_widened *widened = change->widened;
    size_t hidden = 0, helpless = 0;
    nw_text_format(text, "\n%4s  %-5s %-6s%17s%9s  %s\n", "id", "side", "form", "x, y", "size",
                   "what became of it");
    for (size_t i = 0; i < widened->before.spot_count; i++) {
        nw_outcome outcome = widened->notes[i].outcome;
        bool tell = (outcome == NW_CONFLICT || outcome == NW_STUCK) && helpless < ROWS_MOST;
        if (i < ROWS_MOST || tell) {
            print_outcome(text, change, i);
            helpless += i >= ROWS_MOST;
        } else {
            hidden++;
        }
    }
    if (hidden) {
        nw_text_format(text, "%4s  and %zu more ", "", hidden);
        add_elsewhere(text, change);
        nw_text_add(text, "\n");
    }
    nw_text_format(text,
                   "Size: a pinch's width, a stub's depth, before, in %s. Numbers as in check.\n",
                   change->inch ? "inches" : "mm");
}

static void print_head(nw_text *table, const nw_change_report *change, bool colour)
{
    nw_report before = nw_report_of_change(change, false),
              after = nw_report_of_change(change, true);
    nw_text words = {0};
    nw_report_change_verdict(&words, change);
    const char *style = nw_report_fits(&after) ? "\x1b[1;32m" : "\x1b[1;31m";
    nw_report_composed(table, &words, colour ? style : "");
    nw_report_subject(&words, &before);
    nw_report_composed(table, &words, "");
    nw_report_change_areas(&words, change);
    nw_report_composed(table, &words, "");
    nw_report_change_counts(&words, change);
    nw_report_composed(table, &words, "");
}

static bool all_widened(const nw_widened *widened)
{
    for (size_t i = 0; i < widened->before.spot_count; i++)
        if (widened->notes[i].outcome != NW_WIDENED && widened->notes[i].outcome != NW_GONE)
            return false;
    return true;
}

/* What widens the blind ends and whole pieces that were kept because nothing else was asked for. */
static void print_kept(nw_text *table, const nw_change_report *change)
{
    const nw_widened *widened = change->widened;
    bool stubs = false, misses = false;
    nw_report before = nw_report_of_change(change, false);
    for (size_t i = 0; i < widened->before.spot_count; i++) {
        bool kept = widened->notes[i].outcome == NW_LEFT && !nw_report_left(&before, i);
        stubs = stubs || (kept && widened->before.spots[i].form == NW_STUB);
        misses = misses || (kept && widened->before.spots[i].form == NW_MISS);
    }
    if (!change->named || (!stubs && !misses))
        return;
    nw_text words = {0};
    nw_text_add(&words, stubs ? change->named->stubs : "");
    nw_text_add(&words, stubs && misses ? " and " : "");
    nw_text_add(&words, misses ? change->named->misses : "");
    nw_text_add(&words, stubs && misses ? " widen" : " widens");
    nw_text_add(&words, " what was kept, where there is room.");
    nw_report_composed(table, &words, "");
}

static void print_left(nw_text *table, const nw_change_report *change, const nw_report *after,
                       bool colour)
{
    nw_text more = {0};
    add_elsewhere(&more, change);
    nw_text_add(table, "\nLeft in the new outlines:\n");
    nw_report_spot_rows(table, after, colour, nw_text_string(&more));
    table->failed = table->failed || more.failed;
    nw_text_free(&more);
    print_kept(table, change);
    bool bridged = nw_report_change_bridged(change);
    if (bridged && !change->widened->before.spot_count) {
        nw_text words = {0};
        nw_text_add(&words, "They came with the bridges: another width or other places of these "
                            "may leave none.");
        nw_report_composed(table, &words, "");
    } else if (all_widened(change->widened)) {
        nw_text words = {0};
        nw_text_add(&words, "They came about as other places were changed");
        nw_text_add(&words, bridged ? " or bridged" : "");
        nw_text_add(&words, ", and no way was found without them. A larger size or a smaller bit "
                            "helps, or ");
        nw_text_add(&words, change->named ? change->named->spots : "a choice of spots");
        nw_text_add(&words, " to leave the places beside them as they were.");
        nw_report_composed(table, &words, "");
    }
}

nw_status nw_write_widened_table(const nw_change_report *change, bool colour, nw_text *table,
                                 nw_error *error)
{
    *table = (nw_text){0};
    nw_report before = nw_report_of_change(change, false),
              after = nw_report_of_change(change, true);
    nw_status status = nw_report_change_check(change, error);
    if (status != NW_OK)
        return status;
    print_head(table, change, colour);
    if (before.fit->spot_count)
        print_outcomes(table, change);
    if (after.fit->spot_count)
        print_left(table, change, &after, colour);
    nw_text words = {0};
    nw_report_doubts(&words, &after);
    nw_report_composed(table, &words, colour ? "\x1b[1;31m" : "");
    return nw_report_finish(table, "the account", error);
}
