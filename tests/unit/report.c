/* The writers behind report.h: exact small files, refusals, and what they never do. */
#include "../report_sample.h"
#include "../tests.h"

#include <report/report.h>

#include <locale.h>
#include <stdio.h>

static nw_path three_lines(void)
{
    nw_path path = {.start = {0, 0}, .closed = true};
    ck_assert(nw_path_line(&path, (nw_point){4, 0}));
    ck_assert(nw_path_line(&path, (nw_point){0, 3}));
    ck_assert(nw_path_line(&path, (nw_point){0, 0}));
    return path;
}

static void expect_inside(const nw_text *text, const char *part)
{
    ck_assert_msg(text->data && strstr(text->data, part), "no '%s' in:\n%s", part,
                  text->data ? text->data : "");
}

START_TEST(svg_is_in_millimetres_and_upside_down)
{
    nw_drawing drawing = {.width = 4, .height = 3};
    nw_path path = three_lines();
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_layer layer = {"outline", &drawing, NULL, true};
    nw_text svg;
    ck_assert_int_eq(nw_write_svg(&layer, 1, "<x>", NULL, &svg, NULL), NW_OK);
    expect_inside(&svg, "width=\"4mm\" height=\"3mm\" viewBox=\"0 0 4 3\"");
    expect_inside(&svg, "<title>&lt;x&gt;</title>");
    expect_inside(&svg, "<path fill=\"black\" fill-rule=\"evenodd\" d=\"M0 3L4 3L0 0Z\"/>");
    nw_text_free(&svg);
    nw_drawing_free(&drawing);
}
END_TEST

/* A gap or a bridge at the outermost points does not move the page's corner. */
START_TEST(the_page_is_as_large_as_the_art)
{
    nw_drawing drawing = {.width = 6, .height = 5};
    nw_path path = three_lines();
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_layer layer = {"outline", &drawing, NULL, true};
    nw_text svg;
    ck_assert_int_eq(nw_write_svg(&layer, 1, NULL, NULL, &svg, NULL), NW_OK);
    expect_inside(&svg, "viewBox=\"0 0 6 5\"");
    expect_inside(&svg, "d=\"M0 5L4 5L0 2Z\"");
    nw_text_free(&svg);
    /* Nor does a line that leads out of the page; one above and to the right makes it larger. */
    nw_drawing lines = {0};
    nw_path line = {.start = {-2, -3}};
    ck_assert(nw_path_line(&line, (nw_point){7, 9}));
    ck_assert(nw_drawing_add(&lines, &line));
    nw_layer layers[] = {layer, {"tabs", &lines, NULL, false}};
    ck_assert_int_eq(nw_write_svg(layers, 2, NULL, NULL, &svg, NULL), NW_OK);
    expect_inside(&svg, "viewBox=\"0 0 7 9\"");
    expect_inside(&svg, "d=\"M0 9L4 9L0 6Z\"");
    nw_text_free(&svg);
    nw_point origin = {1, 1};
    ck_assert_int_eq(nw_write_svg(layers, 2, NULL, &origin, &svg, NULL), NW_OK);
    expect_inside(&svg, "viewBox=\"-3 -8 9 12\"");
    nw_text_free(&svg);
    nw_drawing_free(&lines);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(arcs_keep_their_way_round)
{
    /* Three quarters of a circle, counter-clockwise from (1, 0) to (0, -1) seen with y up. */
    nw_drawing drawing = {0};
    nw_path path = {.start = {1, 0}};
    ck_assert(nw_path_arc(&path, (nw_point){0, 0}, (nw_point){0, -1}, false));
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_layer layer = {"track", &drawing, "#0072b2", false};
    nw_text text;
    ck_assert_int_eq(nw_write_svg(&layer, 1, NULL, NULL, &text, NULL), NW_OK);
    expect_inside(&text, "d=\"M2 1A1 1 0 0 0 0.2929 0.2929A1 1 0 0 0 1 2\"");
    nw_text_free(&text);
    ck_assert_int_eq(nw_write_dxf(&layer, 1, NULL, &text, NULL), NW_OK);
    /* Two halves of 135 degrees: the bulge is the tangent of a quarter of that, open polyline. */
    expect_inside(&text, " 42\n0.668178638\n");
    expect_inside(&text, " 90\n3\n 70\n0\n");
    nw_text_free(&text);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(whole_circles_are_written)
{
    nw_drawing drawing = {0};
    nw_path path = {.start = {5, 0}, .closed = true};
    ck_assert(nw_path_arc(&path, (nw_point){0, 0}, (nw_point){5, 0}, false));
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_layer layer = {"ring", &drawing, NULL, true};
    nw_text dxf;
    ck_assert_int_eq(nw_write_dxf(&layer, 1, NULL, &dxf, NULL), NW_OK);
    expect_inside(&dxf,
                  " 90\n2\n 70\n1\n 43\n0\n 10\n5\n 20\n0\n 42\n1\n 10\n-5\n 20\n0\n 42\n1\n");
    nw_text_free(&dxf);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(bad_layers_are_refused)
{
    nw_drawing empty = {0}, drawing = {.width = 4, .height = 3}, wild = {0};
    nw_path path = three_lines(), far_away = three_lines();
    far_away.steps[1].to.x = 0.0 / 0.0;
    ck_assert(nw_drawing_add(&drawing, &path));
    ck_assert(nw_drawing_add(&wild, &far_away));
    const nw_layer layers[] = {{"outline", &empty, NULL, true},
                               {"out line", &drawing, NULL, true},
                               {"", &drawing, NULL, true},
                               {"1st", &drawing, NULL, true},
                               {"wild", &wild, NULL, true}};
    for (size_t i = 0; i < sizeof layers / sizeof *layers; i++) {
        nw_error error;
        nw_text text;
        ck_assert_int_ne(nw_write_svg(&layers[i], 1, "", NULL, &text, &error), NW_OK);
        ck_assert_ptr_null(text.data);
        ck_assert_int_ne(nw_write_dxf(&layers[i], 1, NULL, &text, &error), NW_OK);
        ck_assert_ptr_null(text.data);
        ck_assert_uint_gt(strlen(error.message), 10);
    }
    nw_drawing_free(&drawing);
    nw_drawing_free(&wild);
}
END_TEST

/* A drawing, a result with count spots, and the report of both. */
typedef struct {
    nw_drawing drawing;
    nw_fit fit;
    nw_report report;
} sample;

static void sample_make(sample *s, const char *art, double width, double height, double bit,
                        size_t count)
{
    sample_drawing(width, height, &s->drawing);
    sample_fit(width, height, bit, count, &s->fit);
    s->report = (nw_report){.art = art, .drawing = &s->drawing, .fit = &s->fit};
}

static void sample_free(sample *s)
{
    sample_fit_free(&s->fit);
    nw_drawing_free(&s->drawing);
}

typedef nw_status (*writer)(const nw_report *report, nw_text *text, nw_error *error);

static nw_status write_plain_table(const nw_report *report, nw_text *text, nw_error *error)
{
    return nw_write_table(report, false, text, error);
}

static nw_status write_first(const nw_report *report, nw_text *text, nw_error *error)
{
    return nw_write_marked(report, text, NULL, error);
}

static const writer writers[] = {write_first, nw_write_spots_csv, nw_write_spots_json,
                                 write_plain_table};
#define WRITERS (sizeof writers / sizeof *writers)

START_TEST(results_that_are_not_finite_are_refused)
{
    sample s;
    sample_make(&s, "a.png", 40, 30, 2, 3);
    s.fit.spots[1].from.x = 1 / 0.0;
    for (size_t i = 0; i < WRITERS; i++) {
        nw_text text;
        nw_error error;
        ck_assert_int_eq(writers[i](&s.report, &text, &error), NW_INTERNAL);
        ck_assert_ptr_null(text.data);
    }
    sample_free(&s);
}
END_TEST

START_TEST(names_cannot_break_out)
{
    sample s;
    const char *notes[] = {"</text><script>x</script>\x1b[2J\n"};
    sample_make(&s, "\"><script>\x1b[2J\xc2\x9b&\n\xff", 40, 30, 2, 3);
    s.report.notes = notes;
    s.report.note_count = 1;
    for (size_t i = 0; i < WRITERS; i++) {
        nw_text text;
        ck_assert_int_eq(writers[i](&s.report, &text, NULL), NW_OK);
        ck_assert_ptr_null(strstr(text.data, "\x1b"));
        ck_assert_ptr_null(strstr(text.data, "\xff"));
        if (writers[i] == write_first) {
            ck_assert_ptr_null(strstr(text.data, "<script"));
        } else if (writers[i] == write_plain_table) {
            ck_assert_ptr_null(strstr(text.data, "\xc2\x9b"));
            expect_inside(&text, "\"><script>");
        }
        nw_text_free(&text);
    }
    sample_free(&s);
}
END_TEST

START_TEST(same_input_gives_the_same_bytes_in_any_locale)
{
    sample s;
    sample_make(&s, "a.png", 123.4, 56.7, 3.175, 80);
    s.report.neck_from_stock = true;
    for (size_t i = 0; i < WRITERS; i++) {
        nw_text first, second;
        setlocale(LC_ALL, "C");
        ck_assert_int_eq(writers[i](&s.report, &first, NULL), NW_OK);
        setlocale(LC_ALL, "de_DE.UTF-8"); /* where it is installed */
        ck_assert_int_eq(writers[i](&s.report, &second, NULL), NW_OK);
        ck_assert_str_eq(first.data, second.data);
        nw_text_free(&first);
        nw_text_free(&second);
    }
    sample_free(&s);
}
END_TEST

START_TEST(the_table_says_it_all_in_80_columns)
{
    sample s;
    sample_make(&s,
                "a file with a long name that goes on and on and-has-no-end-to-speak-of-but-"
                "still-goes-on.png",
                900, 600, 1.5875, 57);
    s.report.neck_from_stock = true;
    s.fit.spots[0].widen = 1.23001;
    s.fit.unpaired = 2;
    nw_text table;
    ck_assert_int_eq(nw_write_table(&s.report, false, &table, NULL), NW_OK);
    ck_assert_int_eq(strncmp(table.data, "Does not fit: 38 gaps are", 25), 0);
    expect_inside(&table, "1.5875 mm");
    expect_inside(&table, " 1.24\n"); /* rounded up: never told to widen too little */
    expect_inside(&table, "and 37 more in spots.csv");
    expect_inside(&table, "(as thick as the stock)");
    expect_inside(&table, "may be incomplete");
    nw_write_caution(&table);
    expect_inside(&table, "measure");
    for (const char *line = table.data; *line;) {
        size_t length = strcspn(line, "\n");
        ck_assert_msg(length <= 80, "%zu columns: %.*s", length, (int)length, line);
        ck_assert_msg(length == 0 || line[length - 1] != ' ', "'%.*s'", (int)length, line);
        line += length + 1;
    }
    nw_text_free(&table);
    sample_free(&s);
}
END_TEST

/* What could not be judged is in every list, and is no fit. */
START_TEST(a_doubt_is_in_the_lists)
{
    sample s;
    sample_make(&s, "art.png", 90, 60, 1.5875, 0);
    s.fit.unpaired = 2;
    s.fit.fits = false;
    nw_text text;
    ck_assert_int_eq(nw_write_table(&s.report, false, &text, NULL), NW_OK);
    ck_assert_int_eq(strncmp(text.data, "Not sure: ", 10), 0);
    expect_inside(&text, "may be incomplete");
    nw_text_free(&text);
    ck_assert_int_eq(nw_write_spots_csv(&s.report, &text, NULL), NW_OK);
    expect_inside(&text, "\n1,doubt,incomplete,");
    nw_text_free(&text);
    ck_assert_int_eq(nw_write_spots_json(&s.report, &text, NULL), NW_OK);
    expect_inside(&text, "\"doubts\": 2");
    expect_inside(&text, "\"fits\": false");
    nw_text_free(&text);
    sample_free(&s);
}
END_TEST

/* 25.4 mm to the inch (agreement of 1 July 1959); fractions worked out by hand. */
/* A size at which something is left is no doubtful one. */
START_TEST(only_what_has_no_spot_is_doubtful)
{
    nw_size_result results[] = {
        {.width = 50, .height = 30, .fit = {.spot_count = 2, .unpaired = 1}},
        {.width = 60, .height = 36, .fit = {.unpaired = 1}},
        {.width = 70, .height = 42, .fit = {.fits = true}}};
    const char *const said[] = {"no", "?", "yes"};
    nw_drawing drawing = {.width = 50, .height = 30};
    for (size_t k = 0; k < 3; k++) {
        nw_sizes sizes = {
            .results = &results[k], .count = 1, .smallest = k < 2, .least = 1, .closest = 1};
        nw_sizes_report report = {.art = "reed", .drawing = &drawing, .sizes = &sizes};
        nw_text table;
        char row[32];
        ck_assert_int_eq(nw_write_sizes_table(&report, false, &table, NULL), NW_OK);
        snprintf(row, sizeof row, "%.1f  %-4s", results[k].height, said[k]);
        expect_inside(&table, row);
        ck_assert_int_eq(strstr(table.data, "?: no spot was found") != NULL, k == 1);
        nw_text_free(&table);
    }
}
END_TEST

START_TEST(lengths_in_inches_have_the_nearest_64th)
{
    static const struct {
        double mm;
        const char *words;
    } lengths[] = {
        {2, "0.0787 in (5/64 + 0.0006)"},
        {1.5875, "0.0625 in (1/16)"},
        {3.175, "0.1250 in (1/8)"},
        {3, "0.1181 in (1/8 - 0.0069)"},
        {38.1, "1.5000 in (1 1/2)"},
        {25.4, "1.0000 in (1)"},
        {25.2, "0.9921 in (63/64 + 0.0078)"},
        {25.3, "0.9961 in (1 - 0.0039)"},
        {0.1, "0.0039 in"},
        {0, "0.0000 in"},
        {0.2, "0.0079 in (1/64 - 0.0078)"},
    };
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
        nw_text text = {0};
        nw_write_length(&text, lengths[i].mm, true);
        ck_assert_str_eq(text.data, lengths[i].words);
        nw_text_free(&text);
    }
    nw_text text = {0};
    nw_write_length(&text, 2.345, false);
    ck_assert_str_eq(text.data, "2.35 mm");
    nw_text_free(&text);
}
END_TEST

START_TEST(inches_are_for_readers_only)
{
    sample s;
    sample_make(&s, "a.png", 900, 600, 2, 57);
    nw_text plain[WRITERS], inch[WRITERS];
    for (size_t i = 0; i < WRITERS; i++) {
        s.report.inch = false;
        ck_assert_int_eq(writers[i](&s.report, &plain[i], NULL), NW_OK);
        s.report.inch = true;
        ck_assert_int_eq(writers[i](&s.report, &inch[i], NULL), NW_OK);
        bool for_readers = writers[i] == write_first || writers[i] == write_plain_table;
        ck_assert_int_eq(strcmp(plain[i].data, inch[i].data) != 0, for_readers);
        if (for_readers) {
            ck_assert_ptr_nonnull(strstr(inch[i].data, "0.0787 in (5/64)"));
            ck_assert_ptr_nonnull(strstr(inch[i].data, "0.0787 in (5/64 + 0.0006)"));
            ck_assert_ptr_null(strstr(inch[i].data, " mm"));
        }
    }
    ck_assert_ptr_nonnull(strstr(inch[0].data, ">10 in</text>")); /* the scale bar */
    for (const char *line = inch[WRITERS - 1].data; *line; line += strcspn(line, "\n") + 1)
        ck_assert_uint_le(strcspn(line, "\n"), 80);
    for (size_t i = 0; i < WRITERS; i++) {
        nw_text_free(&plain[i]);
        nw_text_free(&inch[i]);
    }
    sample_free(&s);
}
END_TEST

START_TEST(a_fit_without_spots_reads_as_one)
{
    sample s;
    sample_make(&s, "a.png", 40, 30, 2, 0);
    nw_text text;
    ck_assert_int_eq(nw_write_table(&s.report, false, &text, NULL), NW_OK);
    ck_assert_int_eq(strncmp(text.data, "Fits: ", 6), 0);
    nw_text_free(&text);
    ck_assert_int_eq(nw_write_spots_csv(&s.report, &text, NULL), NW_OK);
    ck_assert_str_eq(text.data, "id,side,form,x,y,width,length,depth,area,widen\n");
    nw_text_free(&text);
    ck_assert_int_eq(nw_write_spots_json(&s.report, &text, NULL), NW_OK);
    expect_inside(&text, "\"fits\": true");
    expect_inside(&text, "\"narrowest_gap\": null");
    nw_text_free(&text);
    sample_free(&s);
}
END_TEST

/* A letter whose halves touch at a point may be two outlines: it is one letter that is lost, and
 * none while one of them is cut. */
START_TEST(a_letter_of_two_outlines_is_one)
{
    for (int lost = 1; lost <= 2; lost++) {
        sample s;
        sample_make(&s, "a.png", 40, 30, 2, 2);
        nw_piece items[] = {{.guess = NW_PIECE_ART}, {.guess = NW_PIECE_LETTERING}};
        nw_pieces pieces = {.items = items, .count = 2};
        s.report.pieces = &pieces;
        s.drawing.paths[0].number = s.drawing.paths[1].number = 1;
        for (size_t k = 0; k < 2; k++) {
            double x = 50 * (double)k; /* chords hold hardly less than so large a lens */
            sample_lens(&s.drawing, (nw_point){x, 40}, (nw_point){x + 40, 40}, 1 + k);
            s.drawing.paths[2 + k].number = 2;
            s.fit.spots[k].form = (int)k < lost ? NW_MISS : NW_STUB;
            s.fit.spots[k].side = NW_GAP;
            s.fit.spots[k].at = (nw_point){x + 20, 40};
            s.fit.spots[k].area = fabs(nw_path_area(&s.drawing.paths[2 + k]));
        }
        nw_text table;
        ck_assert_int_eq(nw_write_table(&s.report, false, &table, NULL), NW_OK);
        ck_assert_msg(!strstr(table.data, "letter") == (lost == 1), "%s", table.data);
        if (lost == 2)
            expect_inside(&table, "The lettering (1 piece) is not cut at all");
        nw_text_free(&table);
        sample_free(&s);
    }
}
END_TEST

/* RFC 8259, section 7: quotation marks, backslashes and control characters are escaped. */
START_TEST(a_number_keeps_its_unit)
{
    const struct {
        const char *words, *lines;
    } cases[] = {{"leaves 12 % of it", "narrows: leaves\n         12 % of\n         it\n"},
                 {"leaves 12 mm of it", "narrows: leaves\n         12 mm of\n         it\n"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        nw_text text = {0};
        nw_write_wrapped(&text, "narrows: ", cases[i].words, 18);
        ck_assert_str_eq(text.data, cases[i].lines);
        nw_text_free(&text);
    }
}
END_TEST

START_TEST(json_escapes_what_it_must)
{
    nw_text text;
    ck_assert_int_eq(nw_write_failure_json("a\"b\\c/\xc3\xa9", "one\ntwo\tthree\x01", &text, NULL),
                     NW_OK);
    ck_assert_str_eq(text.data, "{\n  \"narrows\": \"" NW_VERSION "\",\n"
                                "  \"art\": \"a\\\"b\\\\c/\xc3\xa9\",\n"
                                "  \"failure\": \"one\\ntwo\\tthree\xef\xbf\xbd\"\n}\n");
    nw_text_free(&text);
}
END_TEST

/* So many balloons do not fit in and round a small drawing: its margin grows until they do, and not
 * much further. */
START_TEST(balloons_get_the_room_they_need_and_little_more)
{
    sample s;
    nw_text text;
    sample_make(&s, "a.png", 40, 30, 2, 60);
    ck_assert_int_eq(nw_write_marked(&s.report, &text, NULL, NULL), NW_OK);
    const char *below = strstr(text.data, ">cut: the bit gets here<"), *at = text.data;
    ck_assert_ptr_nonnull(below);
    for (const char *next = at; next && next < below; next = strstr(next + 1, " y=\""))
        at = next;
    ck_assert_double_eq_tol(strtod(at + 4, NULL), 152, 8);
    nw_text_free(&text);
    sample_free(&s);
}
END_TEST

/* The legend says what each symbol of the drawing means, and no more than occurs. */
START_TEST(the_legend_says_what_symbols_mean)
{
    const char *const words[] = {
        "cut: the bit gets here",
        "gap: too narrow, stays uncut",
        "neck: stock that comes out too thin",
        "corner: rounded or blunted, not listed",
        "gap: number; width, and how much to widen",
        "neck: number; width, and how much to widen",
        "width at the narrowest, or depth of a stub",
        "the bit where it gets stuck",
        "disc as wide as the least neck",
        "lift: raise the bit to pass, all gets cut",
        "True size when printed at 100 %. Lay a ruler on the bar to check.",
        ", at true size<"};
    sample s;
    nw_text text;
    sample_make(&s, "a.png", 400, 300, 2, 9);
    ck_assert_int_eq(nw_write_marked(&s.report, &text, NULL, NULL), NW_OK);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        expect_inside(&text, words[i]);
    ck_assert_ptr_null(strstr(text.data, "the art: stock that stays"));
    ck_assert_ptr_null(strstr(text.data, "edge of the sheet"));
    nw_text_free(&text);
    s.fit.options.cut = NW_CUT_OUTSIDE;
    ck_assert_int_eq(nw_write_marked(&s.report, &text, NULL, NULL), NW_OK);
    expect_inside(&text, "the art: stock that stays");
    nw_text_free(&text);
    sample_free(&s);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {svg_is_in_millimetres_and_upside_down,
                                  the_page_is_as_large_as_the_art,
                                  arcs_keep_their_way_round,
                                  whole_circles_are_written,
                                  bad_layers_are_refused,
                                  results_that_are_not_finite_are_refused,
                                  names_cannot_break_out,
                                  same_input_gives_the_same_bytes_in_any_locale,
                                  only_what_has_no_spot_is_doubtful,
                                  the_table_says_it_all_in_80_columns,
                                  a_doubt_is_in_the_lists,
                                  only_what_has_no_spot_is_doubtful,
                                  lengths_in_inches_have_the_nearest_64th,
                                  inches_are_for_readers_only,
                                  a_fit_without_spots_reads_as_one,
                                  a_letter_of_two_outlines_is_one,
                                  a_number_keeps_its_unit,
                                  json_escapes_what_it_must,
                                  balloons_get_the_room_they_need_and_little_more,
                                  the_legend_says_what_symbols_mean};
    return TESTS_RUN("report", tests);
}
