/*
 * Outlines with known answers: the right spots and only those, on the right side, of the right
 * form. Sources of the closed forms stand beside them; what has none is plane geometry.
 *
 * The disc that rolls is 0.0025 mm under half the diameter, so depths and areas of corners are
 * held to what that makes of them: a share of 2 * 0.0025 / r for areas.
 */
#include "fit_shapes.h"
#include "../tests.h"

#define WIDTH_TOLERANCE 0.005 /* what the design promises */

/* Two squares of 10 with a bar of length 10 between them. */
static shape *dumbbell(double width)
{
    shape *s = shape_new();
    double a = 5 - width / 2, b = 5 + width / 2;
    SHAPE_RING(s, 0, 0, 10, 0, 10, a, 20, a, 20, 0, 30, 0, 30, 10, 20, 10, 20, b, 10, b, 10, 10, 0,
               10);
    return s;
}

/* A square of 10 with one leg of length 10. */
static shape *legged(double width)
{
    shape *s = shape_new();
    double a = 5 - width / 2, b = 5 + width / 2;
    SHAPE_RING(s, 0, 0, 10, 0, 10, a, 20, a, 20, b, 10, b, 10, 10, 0, 10);
    return s;
}

static void expect_one(const nw_fit *fit, nw_side side, nw_form form)
{
    ck_assert_uint_eq(fit->spot_count, 1);
    ck_assert_str_eq(nw_side_name(fit->spots[0].side), nw_side_name(side));
    ck_assert_str_eq(nw_form_name(fit->spots[0].form), nw_form_name(form));
    ck_assert(!fit->fits);
}

START_TEST(a_bar_between_two_squares_is_one_pinch)
{
    static const double widths[] = {0.05, 0.3, 1, 2, 2.9, 2.98};
    for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
        shape *s = dumbbell(widths[i]);
        nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 3, 1);
        expect_one(&fit, NW_GAP, NW_PINCH);
        const nw_spot *spot = &fit.spots[0];
        ck_assert_double_eq_tol(spot->width, widths[i], WIDTH_TOLERANCE);
        ck_assert_double_eq_tol(spot->widen, 3 - widths[i], WIDTH_TOLERANCE);
        ck_assert_double_eq_tol(spot->at.x, 15, 1e-6);
        ck_assert_double_eq_tol(spot->at.y, 5, 1e-6);
        ck_assert_double_eq_tol(spot->length, 10, 1e-6);
        ck_assert_double_eq_tol(fit.narrowest_gap, widths[i], WIDTH_TOLERANCE);
        ck_assert_uint_eq(fit.corners.count, 8);
        ck_assert_uint_eq(spot->residue_count, 1);
        ck_assert_uint_eq(fit.bit_path.count, 2);
        nw_fit_free(&fit);
        free(s);
    }
}
END_TEST

START_TEST(a_bar_as_wide_as_the_bit_is_open)
{
    static const double widths[] = {3, 3.02, 4};
    for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
        shape *s = dumbbell(widths[i]);
        nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 3, 1);
        ck_assert(fit.fits);
        ck_assert_uint_eq(fit.bit_path.count, 1);
        nw_fit_free(&fit);
        free(s);
    }
}
END_TEST

START_TEST(a_leg_is_a_stub)
{
    shape *s = legged(2);
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 3, 1);
    expect_one(&fit, NW_GAP, NW_STUB);
    /* The disc stands sqrt(1.5² - 1) before the mouth and touches its two corners. */
    double before = sqrt(1.5 * 1.5 - 1), depth = hypot(10 + before, 1) - 1.5;
    ck_assert_double_eq_tol(fit.spots[0].depth, depth, 0.01);
    ck_assert_double_eq_tol(fit.spots[0].widen, 1, 0.01);
    ck_assert_double_eq_tol(fit.spots[0].at.x, 20, 1e-9);
    nw_fit_free(&fit);
    fit = shape_fit(s, NW_CUT_OUTSIDE, 1, 3);
    expect_one(&fit, NW_NECK, NW_STUB);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* A leg that is widest half-way and pointed is no tip, whatever it loses. */
START_TEST(what_first_becomes_wider_is_no_tip)
{
    static const double widest[] = {1.2, 2.5};
    for (int k = 0; k < 2; k++) {
        shape *s = shape_new();
        double a = 20 - widest[k] / 2, b = 20 + widest[k] / 2;
        SHAPE_RING(s, 0, 0, 40, 0, 40, 19, 45, a, 50, 20, 45, b, 40, 21, 40, 40, 0, 40);
        nw_fit_options options = nw_fit_defaults();
        options.bit = 3;
        options.neck = 1;
        options.blunt = 12;
        nw_fit fit = shape_fit_with(s, options);
        ck_assert_uint_eq(count_of(&fit, NW_GAP, NW_STUB), k == 1);
        ck_assert_int_eq(fit.fits, k == 0);
        nw_fit_free(&fit);
        free(s);
    }
}
END_TEST

/* The same spot, found as a gap when the art is cut out and as a neck when it is kept. */
START_TEST(outside_turns_gaps_into_necks)
{
    shape *s = dumbbell(2);
    nw_fit fit = shape_fit(s, NW_CUT_OUTSIDE, 1, 3);
    expect_one(&fit, NW_NECK, NW_PINCH);
    ck_assert_double_eq_tol(fit.narrowest_neck, 2, WIDTH_TOLERANCE);
    ck_assert_double_eq(fit.narrowest_gap, NW_NONE);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

START_TEST(corners_are_counted_not_listed)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 40, 40);
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 6, 0);
    ck_assert(fit.fits);
    ck_assert_uint_eq(fit.corners.count, 4);
    /* Spandrel formula, Hull Technician NAVEDTRA 14119 p. 14-22: 0.2146 r². */
    ck_assert_double_eq_tol(fit.corners.area / 4, 0.2146 * 9, 1.9314 * 0.002);
    ck_assert_double_eq_tol(fit.corners.deepest, 3 * (sqrt(2) - 1), 0.002);
    ck_assert_double_eq_tol(fit.area_cut, 1600, 1e-9);
    ck_assert_double_eq_tol(fit.area_unreached, fit.corners.area, 1e-9);
    ck_assert_uint_eq(fit.corner_residues.count, 4);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Ring 12/8: the widest bit is 2 per side, here 4 across; Machinery's Handbook p. 79: area
 * 0.7854 (24² - 16²) = 251.33. */
START_TEST(a_ring_is_missed_as_a_whole)
{
    shape *s = shape_new();
    shape_circle(s, 0, 0, 12, 720, 1);
    shape_circle(s, 0, 0, 8, 720, -1);
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 3.98, 1);
    ck_assert(fit.fits);
    nw_fit_free(&fit);
    fit = shape_fit(s, NW_CUT_INSIDE, 4.05, 1);
    expect_one(&fit, NW_GAP, NW_MISS);
    ck_assert_double_eq_tol(fit.spots[0].area, 251.33, 0.02);
    ck_assert_double_eq_tol(fit.spots[0].widen, 0.05, 0.005);
    ck_assert_double_eq_tol(fit.spots[0].length, 20 * PI, 0.01);
    ck_assert_uint_eq(fit.spots[0].residue_count, 2);
    ck_assert(fit.residues.paths[fit.spots[0].residue + 1].hole);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* A hole that the bit does not get into, and an island in it that hangs from its top by a corner:
 * what stays uncut is the hole without the island. */
START_TEST(an_island_that_touches_its_hole_is_no_part_of_what_stays)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 60, 60);
    SHAPE_RING(s, 30, 40, 45, 20, 25, 20);
    SHAPE_RING(s, 30, 40, 31.5, 24, 33, 24);
    nw_fit fit = shape_fit(s, NW_CUT_OUTSIDE, 20, 0.1);
    ck_assert_double_eq_tol(fit.area_unreached, 200 - 12, 0.01);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Nor are two that begin in one point. */
START_TEST(islands_that_touch_each_other_are_no_part_of_what_stays)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 60, 60);
    SHAPE_RING(s, 20, 20, 20, 40, 40, 40, 40, 20);
    SHAPE_RING(s, 25, 30, 33, 32, 31, 34);
    SHAPE_RING(s, 25, 30, 31, 26, 33, 28);
    nw_fit fit = shape_fit(s, NW_CUT_OUTSIDE, 30, 0.1);
    expect_one(&fit, NW_GAP, NW_MISS);
    ck_assert_double_eq_tol(fit.spots[0].area, 400 - 20, 0.01);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Whose largest disc is looked for from places along its walls: 64 of them, each two widths from
 * the next, and one is a corner. */
START_TEST(a_strip_is_missed_by_its_width)
{
    static const double corners[][2] = {{0, 0}, {0.25, 0}, {0.25, 15.75}, {0, 15.75}};
    for (size_t first = 0; first < 4; first++) {
        shape *s = shape_new();
        for (size_t i = 0; i < 4; i++)
            shape_point(s, corners[(first + i) % 4][0], corners[(first + i) % 4][1]);
        shape_close(s);
        nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 3, 0);
        expect_one(&fit, NW_GAP, NW_MISS);
        ck_assert_double_eq_tol(fit.spots[0].widen, 2.75, 0.002);
        ck_assert_double_eq_tol(fit.spots[0].at.x, 0.125, 0.001);
        nw_fit_free(&fit);
        free(s);
    }
}
END_TEST

START_TEST(an_eccentric_ring_has_one_neck)
{
    shape *s = shape_new();
    shape_circle(s, 0, 0, 10, 720, 1);
    shape_circle(s, 2, 0, 5, 720, -1);
    nw_fit fit = shape_fit(s, NW_CUT_OUTSIDE, 1, 3.2);
    expect_one(&fit, NW_NECK, NW_PINCH);
    ck_assert_double_eq_tol(fit.spots[0].width, 3, WIDTH_TOLERANCE);
    ck_assert_double_eq_tol(fit.spots[0].at.x, 8.5, 0.01);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Two discs R 5, centres 6 apart: their chord is 8 (Machinery's Handbook p. 50, ex. 3). */
static shape *two_discs(void)
{
    shape *s = shape_new();
    double half = acos(3 / 5.0);
    shape_arc(s, -3, 0, 5, half, 2 * PI - half, 400);
    for (int i = 1; i < 400; i++) {
        double angle = -PI + half + (2 * PI - 2 * half) * i / 400;
        shape_point(s, 3 + 5 * cos(angle), 5 * sin(angle));
    }
    shape_close(s);
    return s;
}

/* The bit cannot pass, yet cuts everything from both sides: a lift, not a gap. In the kept area
 * it is a neck all the same. */
START_TEST(a_passage_that_leaves_nothing_is_a_lift)
{
    shape *s = two_discs();
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 8.2, 1);
    ck_assert(fit.fits);
    ck_assert_uint_eq(fit.lift_count, 1);
    ck_assert_double_eq_tol(fit.lifts[0].width, 8, WIDTH_TOLERANCE);
    ck_assert_uint_eq(fit.bit_path.count, 2);
    nw_fit_free(&fit);
    fit = shape_fit(s, NW_CUT_INSIDE, 7.98, 1);
    ck_assert_uint_eq(fit.lift_count, 0);
    nw_fit_free(&fit);
    fit = shape_fit(s, NW_CUT_OUTSIDE, 1, 8.2);
    expect_one(&fit, NW_NECK, NW_PINCH);
    ck_assert_double_eq_tol(fit.spots[0].width, 8, WIDTH_TOLERANCE);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Two discs R 10 standing 2 apart: the centre cannot pass from d = 2, but in the middle stock
 * stays only from ((D/2)² - R²)/R = 2.1, D the distance of the centres. */
START_TEST(between_two_discs_the_middle_is_cut_until_later)
{
    shape *s = shape_new();
    shape_circle(s, 0, 0, 10, 2000, 1);
    shape_circle(s, 22, 0, 10, 2000, 1);
    static const struct {
        double bit;
        size_t shapes;
    } cases[] = {{1.99, 0}, {2.05, 2}, {2.09, 2}, {2.12, 1}, {2.5, 1}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        nw_fit fit = shape_fit(s, NW_CUT_OUTSIDE, cases[i].bit, 1);
        ck_assert_uint_eq(fit.spot_count, cases[i].shapes ? 1 : 0);
        if (cases[i].shapes) {
            ck_assert_uint_eq(fit.spots[0].residue_count, cases[i].shapes);
            ck_assert_double_eq_tol(fit.spots[0].width, 2, WIDTH_TOLERANCE);
            ck_assert_double_eq_tol(fit.spots[0].at.x, 11, 0.01);
        }
        nw_fit_free(&fit);
    }
    free(s);
}
END_TEST

/* Siemens star of 18 spokes: with d = 3.175 the disc ends where the chord is d; 25.06679 mm² a
 * wedge are lost and the tip's reach is 16.62702 (geometry). */
START_TEST(every_wedge_of_a_star_is_a_stub)
{
    shape *s = shape_new();
    for (int i = 0; i < 18; i++) {
        shape_point(s, 0, 0);
        shape_arc(s, 0, 0, 40, 2 * PI * i / 18, 2 * PI * i / 18 + PI / 18, 40);
        shape_close(s);
    }
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 3.175, 0.5);
    ck_assert_uint_eq(count_of(&fit, NW_GAP, NW_STUB), 18);
    ck_assert_uint_eq(count_of(&fit, NW_GAP, NW_PINCH), 0);
    for (size_t i = 0; i < fit.spot_count; i++) {
        if (fit.spots[i].side != NW_GAP)
            continue;
        ck_assert_double_eq_tol(fit.spots[i].depth, 16.62702, 16.62702 * 0.002);
        ck_assert_double_eq_tol(fit.spots[i].area, 25.06679, 25.06679 * 0.004);
        ck_assert_double_lt(hypot(fit.spots[i].at.x, fit.spots[i].at.y), 1e-9);
    }
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Two thin wedges whose tips touch, in every turn of both, with the stock or the art between
 * them; and the same point touched by a blunt corner. */
START_TEST(tips_that_touch_leave_no_end_over)
{
    for (int k = 0; k < 84; k++) {
        double one = PI * (k % 12) / 6 + 0.01, other = one + 0.3 + 0.6 * (k / 12);
        double wide = k % 3 == 2 ? 2.2 : 0.1;
        shape *s = shape_new();
        SHAPE_RING(s, 0, 0, 9 * cos(one), 9 * sin(one), 8 * cos(one + 0.1), 8 * sin(one + 0.1));
        shape_point(s, 0, 0);
        shape_arc(s, 0, 0, 9, other, other + wide, 3);
        shape_close(s);
        for (int cut = 0; cut < 2; cut++) {
            nw_fit fit = shape_fit(s, cut ? NW_CUT_OUTSIDE : NW_CUT_INSIDE, 0.8, 3.175);
            nw_fit_free(&fit);
        }
        free(s);
    }
}
END_TEST

/* Slits, hairs and spikes thinner than anything real; steps as small as points can be. */
START_TEST(hairs_and_tiny_steps_leave_no_end_over)
{
    static const double thin[] = {0, 1e-14, 1e-10, 1e-8, 1e-7, 9e-7, 1.1e-6, 1e-5, 1e-3};
    for (size_t i = 0; i < sizeof thin / sizeof *thin; i++) {
        for (int turned = 0; turned < 3; turned++) {
            shape *s = shape_new();
            double t = thin[i];
            SHAPE_RING(s, 0, 0, 30, 0, 30, 10, 44, 10 + t, 30, 10 + 2 * t, 30, 30, 20, 30, 20 - t,
                       9, 20 - 2 * t, 30, 10, 30 + t, 5, 30, 0, 30);
            shape_place(s, (placing){1, turned * 0.7, turned * 3, 1, turned == 2});
            for (int cut = 0; cut < 2; cut++) {
                nw_fit fit = shape_fit(s, cut ? NW_CUT_OUTSIDE : NW_CUT_INSIDE, 3, 3);
                nw_fit_free(&fit);
            }
            free(s);
        }
    }
}
END_TEST

/* A wall all but straight, with a step of a third of a micrometre in it: where the disc's two ends
 * there meet lies less than nothing, and no hole of the corner far off at the same height. Points
 * as they came of clip art. */
START_TEST(a_step_within_the_slack_joins_nothing)
{
    static const double bits[] = {2, 3, 3.175, 4};
    shape *s = shape_new();
    SHAPE_RING(s, 83.627269505560, 66.760878096578, 83.561563722002, 66.613432392255,
               83.494553264267, 66.452053137195, 83.426233356039, 66.275952489444, 83.426115817415,
               66.275649227706, 83.321489107853, 66.009129285966, 83.215405302894, 65.729340808748,
               82.215405302894, 63.0, 99, 63.0, 99, 80, 85, 80);
    SHAPE_RING(s, 60, 66.276, 50, 76.276, 40, 66.276, 50, 56.276);
    for (size_t i = 0; i < sizeof bits / sizeof *bits; i++) {
        nw_fit fit = shape_fit(s, NW_CUT_INSIDE, bits[i], 0.1);
        ck_assert(fit.fits);
        nw_fit_free(&fit);
    }
    free(s);
}
END_TEST

/* Nor is a crumb that lies alone left out: it is missed. */
START_TEST(a_crumb_that_lies_alone_is_missed)
{
    shape *s = shape_new();
    SHAPE_RING(s, 1, 1, 1.5, 1, 1.5, 1.001, 1, 1.001);
    SHAPE_RING(s, 10, 1, 20, 1, 20, 9, 10, 9);
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 2, 0.1);
    ck_assert(!fit.fits);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* A crumb thinner than the flatness that touches the outline beside it in three points, as taking
 * crossed outlines apart leaves it. Points as they came of a photograph. */
START_TEST(a_crumb_that_touches_in_three_points_leaves_no_end_over)
{
    static const double bits[] = {1.5, 2, 3.175, 5};
    shape *s = shape_new();
    SHAPE_RING(s, 86.409314884402, 143.590702279481, 86.586682575116, 143.375127338963,
               86.760482828572, 143.170948312880, 86.797106627782, 143.128454039634,
               86.833966041153, 143.086545508806, 86.871029773495, 143.045132610159,
               86.877956975623, 143.037300121137, 86.872930691507, 143.043087900100,
               87.038980428889, 142.868288745513, 87.208799957047, 142.701568736815, 99,
               142.701568736815, 99, 160, 86.409314884402, 160);
    SHAPE_RING(s, 86.760482828572, 143.170948312880, 86.797611993989, 143.128192019694,
               86.834459484428, 143.086261002441, 86.871029773495, 143.045132610159,
               86.872930691507, 143.043087900100, 86.707216986981, 143.233907652994);
    for (size_t i = 0; i < sizeof bits / sizeof *bits; i++) {
        for (int cut = 0; cut < 2; cut++) {
            nw_fit fit = shape_fit(s, cut ? NW_CUT_OUTSIDE : NW_CUT_INSIDE, bits[i], bits[i]);
            nw_fit_free(&fit);
        }
    }
    free(s);
}
END_TEST

START_TEST(senseless_sizes_are_refused)
{
    static const double sizes[] = {0, -1, 1001, NAN, INFINITY};
    shape *s = dumbbell(2);
    nw_region region = shape_region(s);
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        nw_fit_options options = nw_fit_defaults();
        nw_fit fit;
        nw_error error;
        options.bit = sizes[i];
        ck_assert_int_eq(nw_fit_run(&region, &options, &fit, &error), NW_BAD_REQUEST);
        ck_assert_ptr_null(fit.spots);
        nw_fit_free(&fit);
    }
    s->points[3].x = NAN;
    nw_fit_options options = nw_fit_defaults();
    nw_fit fit;
    ck_assert_int_eq(nw_fit_run(&region, &options, &fit, NULL), NW_BAD_INPUT);
    free(s);
}
END_TEST

int main(void)
{
    const TTest *tests[] = {a_bar_between_two_squares_is_one_pinch,
                            a_bar_as_wide_as_the_bit_is_open,
                            a_leg_is_a_stub,
                            what_first_becomes_wider_is_no_tip,
                            outside_turns_gaps_into_necks,
                            corners_are_counted_not_listed,
                            a_ring_is_missed_as_a_whole,
                            an_island_that_touches_its_hole_is_no_part_of_what_stays,
                            islands_that_touch_each_other_are_no_part_of_what_stays,
                            a_strip_is_missed_by_its_width,
                            an_eccentric_ring_has_one_neck,
                            a_passage_that_leaves_nothing_is_a_lift,
                            between_two_discs_the_middle_is_cut_until_later,
                            every_wedge_of_a_star_is_a_stub,
                            tips_that_touch_leave_no_end_over,
                            hairs_and_tiny_steps_leave_no_end_over,
                            a_step_within_the_slack_joins_nothing,
                            a_crumb_that_lies_alone_is_missed,
                            a_crumb_that_touches_in_three_points_leaves_no_end_over,
                            senseless_sizes_are_refused};
    return TESTS_RUN("fit_known", tests);
}
