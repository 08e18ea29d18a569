/* Numbers, lengths and text are the same in every locale; files appear whole or not at all. */
#include <geom/geom.h>

#include "../tests.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static void expect_length(const char *text, double mm)
{
    double got;
    nw_error error;
    ck_assert_msg(nw_length_read(text, &got, &error) == NW_OK, "%s: %s", text, error.message);
    ck_assert_double_eq_tol(got, mm, 1e-12);
}

START_TEST(lengths_take_units)
{
    expect_length("120", 120);
    expect_length("120mm", 120);
    expect_length(" 12 cm", 120);
    expect_length("4.5in", 114.3);
    /* 1 in = 25.4 mm exactly: yard and pound agreement, NBS Circular 572 addendum. */
    expect_length("1/16in", 1.5875);
    expect_length("1 1/2in", 38.1);
    expect_length("1-1/2in", 38.1);
    expect_length(".5", 0.5);
    expect_length("1e1", 10);
}
END_TEST

START_TEST(nonsense_lengths_are_refused)
{
    const char *wrong[] = {"",      "mm", "12 furlong", "1/0in", "nan",  "inf",
                           "1e999", "1/", "1//2",       "12x",   "0x10", "1e7",
                           "-",     ".",  "1 2",        "1/8",   "1 1/2"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        double mm;
        nw_error error;
        ck_assert_msg(nw_length_read(wrong[i], &mm, &error) == NW_BAD_REQUEST, "%s", wrong[i]);
        ck_assert_uint_gt(strlen(error.message), 10);
    }
}
END_TEST

/* At most as in 3-7; what follows is the caller's. */
START_TEST(ranges_are_counts)
{
    size_t first, last;
    const char *good[] = {"7", "3-7,9", "4-4:fill", "99999999999999999999999999"};
    const size_t lasts[] = {7, 7, 4, SIZE_MAX / 20};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        const char *at = good[i];
        ck_assert_msg(nw_range_read(&at, &first, &last), "%s", good[i]);
        ck_assert(i < 3 ? last == lasts[i] : last >= lasts[i]);
        ck_assert(strchr(",:", *at));
    }
    const char *wrong[] = {"", "0", "art", "-3", "0-3", "5-3", "5-", "5-x"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        ck_assert_msg(!nw_range_read(&wrong[i], &first, &last), "%s", wrong[i]);
}
END_TEST

static void expect_number(double value, int decimals, const char *expected)
{
    nw_text text = {0};
    nw_text_number(&text, value, decimals);
    ck_assert_str_eq(text.data, expected);
    nw_text_free(&text);
}

START_TEST(numbers_are_written_short)
{
    expect_number(0.1, 4, "0.1");
    expect_number(-0.00001, 4, "0");
    expect_number(1.99999, 4, "2");
    expect_number(-12.3456, 3, "-12.346");
    expect_number(1e11, 0, "100000000000");
    expect_number(0.0 / 0.0, 3, "0");
}
END_TEST

START_TEST(numbers_read_as_strtod_reads_them)
{
    const char *texts[] = {"3.14159265358979",
                           "-1e-7",
                           "123456789012345678901234567890",
                           "2.5E3",
                           ".25",
                           "0.000000000000000000000012345"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        double value;
        const char *end;
        ck_assert(nw_number_read(texts[i], &value, &end));
        ck_assert_uint_eq((size_t)*end, 0);
        double expected = strtod(texts[i], NULL);
        ck_assert_double_eq_tol(value / expected, 1, 1e-15);
    }
}
END_TEST

START_TEST(text_is_escaped)
{
    nw_text text = {0};
    nw_text_escaped(&text, "a<b>&\"c'\x01\xff ü");
    ck_assert_str_eq(text.data, "a&lt;b&gt;&amp;&quot;c&#39;\xef\xbf\xbd\xef\xbf\xbd ü");
    nw_text_free(&text);
    nw_text_clean(&text, "a<b\x1b\xc3\n");
    ck_assert_str_eq(text.data, "a<b\xef\xbf\xbd\xef\xbf\xbd\n");
    nw_text_free(&text);
}
END_TEST

START_TEST(files_are_all_or_nothing)
{
    char folder[] = "/tmp/narrows-test-XXXXXX";
    ck_assert_ptr_nonnull(mkdtemp(folder));
    char path[64], blocked[64];
    snprintf(path, sizeof path, "%s/a.txt", folder);
    snprintf(blocked, sizeof blocked, "%s/b.txt", folder);
    ck_assert_int_eq(mkdir(blocked, 0777), 0);

    nw_file files[] = {{"a.txt", "one", 3}, {"b.txt", "two", 3}};
    nw_error error;
    ck_assert_int_eq(nw_files_write(folder, files, 2, &error), NW_CANNOT_WRITE);
    ck_assert_int_ne(access(path, F_OK), 0);

    ck_assert_int_eq(rmdir(blocked), 0);
    ck_assert_int_eq(nw_files_write(folder, files, 2, &error), NW_OK);
    nw_bytes bytes;
    ck_assert_int_eq(nw_file_read(path, &(nw_read){.limit = 100}, &bytes, &error), NW_OK);
    ck_assert_uint_eq(bytes.length, 3);
    nw_bytes_free(&bytes);
    ck_assert_int_eq(nw_file_read(path, &(nw_read){.limit = 2}, &bytes, &error), NW_BAD_INPUT);
    unlink(path);
    unlink(blocked);
    ck_assert_int_eq(rmdir(folder), 0);
}
END_TEST

#define SIDE 40

/* Cells of a chequered sheet in scattered order, told apart by index. */
static void sheet_scatter(nw_box boxes[SIDE * SIDE])
{
    for (size_t i = 0; i < SIDE * SIDE; i++) {
        size_t cell = i * 613 % (SIDE * SIDE); /* 613 has no factor in common with 1600 */
        double x = (double)(cell % SIDE), y = (double)(cell / SIDE);
        boxes[i] = (nw_box){{x, y}, {x + 0.4, y + 0.4}};
    }
}

static double way_through(const nw_box *boxes, const uint32_t *order, size_t count)
{
    double way = 0;
    for (size_t i = 1; i < count; i++) {
        nw_point p = boxes[order[i - 1]].min, q = boxes[order[i]].min;
        way += hypot(p.x - q.x, p.y - q.y);
    }
    return way;
}

START_TEST(boxes_are_put_beside_their_neighbours)
{
    nw_box boxes[SIDE * SIDE];
    uint32_t order[SIDE * SIDE], again[SIDE * SIDE];
    bool seen[SIDE * SIDE] = {0};
    sheet_scatter(boxes);
    ck_assert(nw_boxes_order(boxes, SIDE * SIDE, order));
    ck_assert(nw_boxes_order(boxes, SIDE * SIDE, again));
    ck_assert_mem_eq(order, again, sizeof order);
    for (size_t i = 0; i < SIDE * SIDE; i++) {
        ck_assert_uint_lt(order[i], SIDE * SIDE);
        ck_assert(!seen[order[i]]);
        seen[order[i]] = true;
    }
    /* Hilbert's curve steps from cell to cell; where its own cells do not fit these, a little
     * further. */
    ck_assert_double_lt(way_through(boxes, order, SIDE * SIDE), 2.0 * SIDE * SIDE);
}
END_TEST

START_TEST(touching_boxes_stay_in_runs_of_four)
{
    nw_box boxes[400];
    uint32_t order[400];
    for (size_t i = 0; i < 400; i++)
        boxes[i] = (nw_box){{(double)i, 0}, {(double)i + 1, 1}};
    ck_assert(nw_boxes_order(boxes, 400, order));
    for (size_t i = 0; i < 400; i++)
        ck_assert_uint_eq(order[i], order[i / 4 * 4] + i % 4);
    ck_assert(nw_boxes_order(boxes, 0, order));
    for (size_t i = 0; i < 400; i++)
        boxes[i] = (nw_box){{5, 5}, {5, 5}};
    ck_assert(nw_boxes_order(boxes, 400, order));
    for (size_t i = 0; i < 400; i++)
        ck_assert_uint_eq(order[i], i);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {lengths_take_units,
                                  nonsense_lengths_are_refused,
                                  ranges_are_counts,
                                  numbers_are_written_short,
                                  numbers_read_as_strtod_reads_them,
                                  text_is_escaped,
                                  files_are_all_or_nothing,
                                  boxes_are_put_beside_their_neighbours,
                                  touching_boxes_stay_in_runs_of_four};
    return TESTS_RUN("base", tests);
}
