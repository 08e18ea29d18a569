/*
 * spots_table: the result for standard output, at most 80 columns, verdict first and worst spot
 * first. With colour only the verdict and the column of forms carry it; no meaning hangs on it.
 */
#include <report/parts.h>

#include <string.h>

#define COLUMNS 80
#define ROWS_MOST 20
#define BOLD "\x1b[1m"
#define PLAIN "\x1b[0m"

typedef struct {
    nw_text *text;
    const char *style; /* escape before each line, "" for none */
} printer;

static double columns(const char *text, size_t length, void *context)
{
    (void)context;
    return (double)nw_report_columns(text, length);
}

static void print_line(const char *line, size_t length, void *context)
{
    printer *p = context;
    nw_text_add(p->text, p->style);
    nw_text_add_bytes(p->text, line, length);
    nw_text_add(p->text, *p->style ? PLAIN "\n" : "\n");
}

void nw_report_paragraph(nw_text *text, const char *paragraph, const char *style)
{
    printer p = {text, style};
    nw_report_wrap(paragraph, COLUMNS, columns, print_line, &p);
}

void nw_write_caution(nw_text *text)
{
    nw_report_paragraph(text, nw_report_caution(), "");
}

typedef struct {
    nw_text *text;
    const char *head;
    bool begun;
} hanging;

static void hanging_line(const char *line, size_t length, void *context)
{
    hanging *h = context;
    nw_text_format(h->text, "%*s", h->begun ? (int)strlen(h->head) : 0, "");
    nw_text_add(h->text, h->begun ? "" : h->head);
    nw_text_add_bytes(h->text, line, length);
    nw_text_add(h->text, "\n");
    h->begun = true;
}

void nw_write_wrapped(nw_text *text, const char *head, const char *words, size_t width)
{
    hanging h = {text, head, false};
    nw_report_wrap(words, (double)width - (double)strlen(head), columns, hanging_line, &h);
}

void nw_report_composed(nw_text *text, nw_text *words, const char *style)
{
    text->failed = text->failed || words->failed;
    if (words->length)
        nw_report_paragraph(text, words->data, style);
    nw_text_free(words);
}

typedef void (*number_writer)(nw_text *text, double mm, bool inch);

/* Widths of the columns. */
typedef struct {
    bool inch;
    int left, up, figure, area; /* x, y, each length, and what is lost */
} layout;

static layout layout_of(const nw_report *report)
{
    return report->inch ? (layout){true, 6, 7, 16, 10} : (layout){false, 9, 9, 9, 10};
}

/* value right-aligned in its column, "-" where it does not apply. */
static void print_cell(nw_text *text, double value, layout l, number_writer writer)
{
    nw_text cell = {0};
    if (value >= 0)
        writer(&cell, value, l.inch);
    else
        nw_text_add(&cell, "-");
    nw_text_take(text, &cell, l.figure);
}

static void print_place(nw_text *text, double value, int width, bool inch)
{
    nw_text cell = {0};
    nw_report_place(&cell, value, 2, inch);
    nw_text_take(text, &cell, width);
}

/* What a stub or a miss loses: by that they stand in order. */
static void print_area(nw_text *text, const nw_spot *spot, layout l)
{
    nw_text cell = {0};
    if (spot->form == NW_PINCH)
        nw_text_add(&cell, "-");
    else
        nw_report_area_cell(&cell, spot->area, l.inch);
    nw_text_take(text, &cell, l.area);
}

static void print_spot(nw_text *text, const nw_report *report, size_t at, layout l)
{
    const nw_spot *spot = &report->fit->spots[at];
    size_t id = at + 1;
    nw_text_format(text, "%4zu  %-5s %-6s", id, nw_side_name(spot->side), nw_form_name(spot->form));
    print_place(text, spot->at.x, l.left, l.inch);
    nw_text_add(text, ",");
    print_place(text, spot->at.y, l.up, l.inch);
    if (l.inch) { /* beside fractions there is no room for a column each */
        double size = spot->form == NW_PINCH ? spot->width : spot->depth;
        print_cell(text, size, l, nw_report_length_cell);
    } else {
        print_cell(text, spot->width, l, nw_report_length_cell);
        print_cell(text, spot->depth, l, nw_report_length_cell);
    }
    print_area(text, spot, l);
    if (nw_report_left(report, at))
        nw_text_format(text, "%*s", l.figure, "left");
    else
        print_cell(text, spot->widen, l, nw_report_widen_cell);
    nw_text_add(text, nw_report_too_close(report, spot) ? " ?\n" : "\n");
}

void nw_report_spot_rows(nw_text *text, const nw_report *report, bool colour, const char *more)
{
    const nw_fit *fit = report->fit;
    layout l = layout_of(report);
    nw_text_format(text, "\n%4s  %-5s %-6s%*s%*s%*s%*s\n", "id", "side", "form", l.left + 1 + l.up,
                   "x, y", l.inch ? l.figure : 2 * l.figure,
                   l.inch ? "width/depth" : "width    depth", l.area,
                   l.inch ? "lost in2" : "lost mm2", l.figure, "widen");
    for (size_t i = 0; i < fit->spot_count && i < ROWS_MOST; i++) {
        nw_text_add(text, colour && i == 0 ? BOLD : "");
        print_spot(text, report, i, l);
        nw_text_add(text, colour && i == 0 ? PLAIN : "");
    }
    if (fit->spot_count > ROWS_MOST)
        nw_text_format(text, "%4s  and %zu more %s\n", "", fit->spot_count - ROWS_MOST, more);
    nw_text_add(text, nw_report_units(l.inch));
    nw_text_add(text, "; x, y from the art's lower left corner. Pinches by width,\n"
                      "then the rest by what is lost.\n");
    if (nw_report_close_count(report))
        nw_text_add(text, "?: too close to tell in this picture.\n");
}

nw_status nw_write_table(const nw_report *report, bool colour, nw_text *table, nw_error *error)
{
    *table = (nw_text){0};
    nw_status status = nw_report_check(report, error);
    if (status != NW_OK)
        return status;
    const char *verdict_style = nw_report_fits(report) ? "\x1b[1;32m" : "\x1b[1;31m";
    nw_text words = {0};
    nw_report_verdict(&words, report);
    nw_report_composed(table, &words, colour ? verdict_style : "");
    nw_report_subject(&words, report);
    nw_text_add(&words, ". ");
    nw_report_counts(&words, report);
    nw_report_composed(table, &words, "");
    if (report->fit->spot_count)
        nw_report_spot_rows(table, report, colour, "in spots.csv");
    nw_report_doubts(&words, report);
    if (words.length)
        nw_text_add(table, "\n");
    nw_report_composed(table, &words, colour ? "\x1b[1;31m" : "");
    return nw_report_finish(table, "the table", error);
}
