/* The largest disc at a place, on shapes where plane geometry tells it. */
#include "fit_shapes.h"

#include "../tests.h"

#define LIMIT 500.0
#define NEAR 0.009 /* what the disc may cross the outline by, and a little */

static nw_disc disc_at(shape *s, nw_cut cut, double x, double y)
{
    nw_region region = shape_region(s);
    nw_discs *discs;
    nw_disc disc;
    ck_assert_int_eq(nw_discs_make(&region, cut, NULL, &discs, NULL), NW_OK);
    ck_assert(nw_discs_at(discs, (nw_point){x, y}, LIMIT, &disc));
    nw_discs_free(discs);
    return disc;
}

START_TEST(a_circle_holds_itself_wherever_one_points)
{
    for (double radius = 0.5; radius < 60; radius *= 1.7) {
        shape *s = shape_new();
        /* As coarse as a flattened outline: chords that leave the circle by the flatness. */
        shape_circle(s, 3, 4, radius, (int)ceil(PI / acos(1 - NW_FLATNESS_MM / radius)), 1);
        for (double angle = 0; angle < 6.3; angle += 0.0371) {
            double x = 3 + 0.8 * radius * cos(angle), y = 4 + 0.8 * radius * sin(angle);
            nw_disc disc = disc_at(s, NW_CUT_INSIDE, x, y);
            ck_assert_double_eq_tol(disc.radius, radius, NEAR);
            ck_assert_double_eq_tol(disc.at.x + disc.radius * disc.normal.x, 3, 0.05 * radius);
        }
        free(s);
    }
}
END_TEST

START_TEST(a_strip_and_a_corner)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 100, 2);
    ck_assert_double_eq_tol(disc_at(s, NW_CUT_INSIDE, 50, 0.4).radius, 1, 1e-9);
    ck_assert_double_eq_tol(disc_at(s, NW_CUT_POCKET, 50, 1.9).radius, 1, 1e-9);
    /* s from a right angle's corner the disc that touches one side touches the other at r = s. */
    ck_assert_double_eq_tol(disc_at(s, NW_CUT_INSIDE, 0.5, 0.1).radius, 0.5, NEAR);
    ck_assert_double_eq_tol(disc_at(s, NW_CUT_INSIDE, 0.25, 0.1).radius, 0.25, NEAR);
    free(s);
}
END_TEST

START_TEST(round_a_corner_the_disc_turns)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 10, 10);
    shape_box(s, 20, 0, 30, 10);
    /* Between two parts cut out of a sheet; beside them nothing is in the way. */
    nw_disc between = disc_at(s, NW_CUT_OUTSIDE, 12, 5);
    ck_assert_double_eq_tol(between.radius, 5, 1e-9);
    ck_assert_double_eq_tol(between.normal.x, 1, 1e-12);
    ck_assert_double_eq(disc_at(s, NW_CUT_OUTSIDE, -1, 5).radius, LIMIT);
    /* At a corner towards the pointer: through (10, 10) with its centre along (1, 1), until it
     * meets the other part's corner (20, 10). */
    nw_disc corner = disc_at(s, NW_CUT_OUTSIDE, 11, 11);
    ck_assert_double_eq_tol(corner.normal.y, sqrt(0.5), 1e-9);
    double r = corner.radius;
    double x = 10 + r * sqrt(0.5), y = x;
    ck_assert_double_eq_tol(hypot(20 - x, 10 - y), r, NEAR);
    free(s);
}
END_TEST

/* The shape, of which nothing is reached, is one piece that must grow by so much; and is freed. */
static void expect_miss(shape *s, double widen, double tolerance)
{
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 3, 0.1);
    ck_assert_uint_eq(fit.spot_count, 1);
    ck_assert_double_eq_tol(fit.spots[0].widen, widen, tolerance);
    nw_fit_free(&fit);
    free(s);
}

/* Six squares along a thin bar that are lost as a whole. A disc that touches beside the middle of a
 * square is smaller: of the places that are tried along the walls the best may lie in a square that
 * is not the largest. */
START_TEST(of_six_squares_the_largest_tells_how_far_a_miss_must_grow)
{
    static const double sides[] = {1.03, 1.00, 1.05, 1.02, 1.04, 1.01};
    for (double apart = 1; apart < 3; apart += 0.0371) {
        shape *s = shape_new();
        double x = 0;
        shape_point(s, 0, 0.4);
        shape_point(s, 0, 0);
        shape_point(s, 6 * apart + 6.15, 0);
        for (size_t i = 0; i < 6; i++, x += apart)
            x += sides[i];
        for (size_t i = 6; i-- > 0; x -= sides[i]) {
            shape_point(s, x, 0.4);
            x -= apart;
            shape_point(s, x, 0.4);
            shape_point(s, x, sides[i]);
            shape_point(s, x - sides[i], sides[i]);
        }
        shape_close(s);
        expect_miss(s, 3 - 1.05, 0.003);
    }
}
END_TEST

/* As short a place as that is found along a line that is drawn round a whole picture. */
START_TEST(one_bead_on_a_long_line)
{
    for (double x = 100; x < 500; x += 37.1) {
        shape *s = shape_new();
        SHAPE_RING(s, 0, 0, 600, 0, 600, 0.3, x + 0.5, 0.3, x + 0.5, 0.5, x, 0.5, x, 0.3, 0, 0.3);
        expect_miss(s, 3 - 0.5, 0.005);
    }
}
END_TEST

START_TEST(no_outline_no_disc)
{
    nw_region region = {.starts = (size_t[]){0}};
    nw_discs *discs;
    nw_disc disc;
    ck_assert_int_eq(nw_discs_make(&region, NW_CUT_INSIDE, NULL, &discs, NULL), NW_OK);
    ck_assert(!nw_discs_at(discs, (nw_point){1, 1}, LIMIT, &disc));
    nw_discs_free(discs);
    nw_discs_free(NULL);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_circle_holds_itself_wherever_one_points,
                                  a_strip_and_a_corner,
                                  round_a_corner_the_disc_turns,
                                  of_six_squares_the_largest_tells_how_far_a_miss_must_grow,
                                  one_bead_on_a_long_line,
                                  no_outline_no_disc};
    return TESTS_RUN("fit_discs", tests);
}
