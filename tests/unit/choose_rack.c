/* Racks are read exactly, and a bad line is named by file and line. */
#include <choose/choose.h>

#include "../tests.h"
#include <stdio.h>
#include <string.h>

START_TEST(a_rack_is_read)
{
    const char *text = "# the boat shed's drawer\n"
                       "fine spiral, 1.55mm, flutes 6mm, feed 900\r\n"
                       "\n"
                       "quarter, 1/4in   # worn\n"
                       "engraver, 6mm, tip 0.2mm, angle 30, flutes 12mm\n"
                       "vee, 1/2in, angle 90";
    nw_rack rack;
    nw_error error;
    ck_assert_msg(nw_rack_read(text, strlen(text), "rack.txt", &rack, &error) == NW_OK, "%s",
                  error.message);
    ck_assert_uint_eq(rack.count, 4);
    ck_assert_str_eq(rack.bits[0].name, "fine spiral");
    ck_assert_double_eq(rack.bits[0].diameter, 1.55);
    ck_assert_double_eq(rack.bits[0].flute, 6);
    ck_assert_double_eq(rack.bits[0].feed, 900);
    ck_assert_double_eq_tol(rack.bits[1].diameter, 6.35, 1e-12);
    ck_assert_int_eq(rack.bits[1].shape, NW_STRAIGHT);
    ck_assert_int_eq(rack.bits[2].shape, NW_TAPERED);
    ck_assert_int_eq(rack.bits[3].shape, NW_VEE);
    /* Through 3 mm of stock a 30 degree taper opens by 2 * 3 * tan 15 = 1.60770 mm. */
    ck_assert_double_eq_tol(nw_bit_at_top(&rack.bits[2], 3), 1.80770, 1e-5);
    ck_assert_double_eq_tol(nw_bit_at_top(&rack.bits[3], 3), 6, 1e-12);
    ck_assert_double_eq_tol(nw_bit_at_top(&rack.bits[3], 30), 12.7, 1e-12);
    ck_assert_double_eq_tol(nw_bit_at_top(&rack.bits[1], 30), 6.35, 1e-12);
    nw_rack_free(&rack);
}
END_TEST

START_TEST(a_byte_order_mark_is_no_part_of_a_name)
{
    const char *text = "\xef\xbb\xbfquarter, 1/4in\r\n";
    nw_rack rack;
    ck_assert(nw_rack_read(text, strlen(text), "rack.txt", &rack, NULL) == NW_OK);
    ck_assert_str_eq(rack.bits[0].name, "quarter");
    nw_rack_free(&rack);
}
END_TEST

START_TEST(bad_lines_are_named)
{
    static const struct {
        const char *text, *message;
    } cases[] = {
        {"a, 3mm\nb\n", "rack.txt, line 2: no diameter"},
        {"a, three\n", "rack.txt, line 1: 'three' is not a length"},
        {"a, 0mm\n", "rack.txt, line 1: not a size"},
        {"a, -1mm\n", "rack.txt, line 1: not a size"},
        {", 3mm\n", "rack.txt, line 1: a bit's name"},
        {"\n\na, 3mm, colour red\n", "rack.txt, line 3: expected flutes"},
        {"a, 3mm, angle 190\n", "rack.txt, line 1: not a number"},
        {"a, 3mm, tip 1mm\n", "rack.txt, line 1: a tip needs an angle"},
        {"a, 3mm, tip 4mm, angle 20\n", "rack.txt, line 1: the tip is not smaller"},
        {"a, 3mm\na, 4mm\n", "rack.txt, line 2: there is already a bit named 'a'"},
        {"a, 3mm, feed nan\n", "rack.txt, line 1: not a number"},
        {"a, 3mm, feed 900, feed 800\n", "rack.txt, line 1: stands there twice: 'feed'"},
        {"a, 3mm, \n", "rack.txt, line 1: nothing stands behind a comma"},
        {"# nothing\n", "rack.txt: no bit"},
        {"", "rack.txt: no bit"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        nw_rack rack;
        nw_error error;
        nw_status status =
            nw_rack_read(cases[i].text, strlen(cases[i].text), "rack.txt", &rack, &error);
        ck_assert_int_eq(status, NW_BAD_INPUT);
        ck_assert_msg(strncmp(error.message, cases[i].message, strlen(cases[i].message)) == 0, "%s",
                      error.message);
        ck_assert_ptr_null(rack.bits);
    }
}
END_TEST

/* What is just within the limits is read, and what is just beyond is refused. */
static void expect_limit(const char *good, const char *bad)
{
    nw_rack rack;
    ck_assert_int_eq(nw_rack_read(good, strlen(good), "rack.txt", &rack, NULL), NW_OK);
    nw_rack_free(&rack);
    ck_assert_int_eq(nw_rack_read(bad, strlen(bad), "rack.txt", &rack, NULL), NW_BAD_INPUT);
}

START_TEST(limits_of_a_rack)
{
    char line[401] = "a, 3mm", longer[402] = "a, 3mm";
    memset(line + 6, ' ', 400 - 6);
    memset(longer + 6, ' ', 401 - 6);
    expect_limit(line, longer);
    expect_limit("a, 1000mm\n", "a, 1000.1mm\n");
    expect_limit("a, 3mm, feed 99999\n", "a, 3mm, feed 100000\n");
    static char many[1001 * 12], more[1001 * 12];
    size_t length = 0;
    for (int k = 0; k < 1001; k++) {
        if (k == 1000)
            memcpy(many, more, length);
        length += (size_t)snprintf(more + length, sizeof more - length, "b%d, 3mm\n", k);
    }
    expect_limit(many, more);
}
END_TEST

static double diameter_of(const nw_rack *rack, const char *name)
{
    for (size_t i = 0; i < rack->count; i++)
        if (strcmp(rack->bits[i].name, name) == 0)
            return rack->bits[i].diameter;
    return 0;
}

START_TEST(published_sizes)
{
    /* 1 in = 25.4 mm exactly: yard and pound agreement, NBS Circular 572 addendum (1959). */
    nw_rack rack;
    ck_assert_int_eq(nw_rack_common(&rack, NULL), NW_OK);
    ck_assert_double_eq_tol(diameter_of(&rack, "1/32 in"), 0.79375, 1e-12);
    ck_assert_double_eq_tol(diameter_of(&rack, "1/16 in"), 1.5875, 1e-12);
    ck_assert_double_eq_tol(diameter_of(&rack, "3/32 in"), 2.38125, 1e-12);
    ck_assert_double_eq_tol(diameter_of(&rack, "1/8 in"), 3.175, 1e-12);
    ck_assert_double_eq_tol(diameter_of(&rack, "3/16 in"), 4.7625, 1e-12);
    ck_assert_double_eq_tol(diameter_of(&rack, "1/4 in"), 6.35, 1e-12);
    ck_assert_double_eq_tol(diameter_of(&rack, "3/8 in"), 9.525, 1e-12);
    ck_assert_double_eq_tol(diameter_of(&rack, "1/2 in"), 12.7, 1e-12);
    nw_rack_free(&rack);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_rack_is_read, a_byte_order_mark_is_no_part_of_a_name,
                                  bad_lines_are_named, limits_of_a_rack, published_sizes};
    return TESTS_RUN("choose_rack", tests);
}
