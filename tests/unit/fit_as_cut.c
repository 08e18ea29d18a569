/* The outline that the bit produces: areas in closed form, arcs where they must be. */
#include "fit_shapes.h"
#include "../tests.h"

static nw_fit fit_of(shape *s, nw_cut cut, double bit)
{
    nw_region region = {s->points, s->starts, s->pieces, s->rings};
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = bit;
    options.with_shapes = true;
    nw_fit fit;
    ck_assert_int_eq(nw_fit_run(&region, &options, &fit, NULL), NW_OK);
    return fit;
}

static size_t arcs_of(const nw_drawing *drawing)
{
    size_t arcs = 0;
    for (size_t i = 0; i < drawing->count; i++)
        for (size_t k = 0; k < drawing->paths[i].count; k++)
            arcs += drawing->paths[i].steps[k].kind == NW_ARC;
    return arcs;
}

START_TEST(corners_of_a_square_are_rounded)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 20, 20);
    nw_fit fit = fit_of(s, NW_CUT_INSIDE, 6);
    double r = (6 - 0.005) / 2 + 1.07e-6;
    ck_assert_uint_eq(fit.as_cut.count, 1);
    ck_assert_uint_eq(arcs_of(&fit.as_cut), 4);
    ck_assert_double_eq_tol(nw_drawing_area(&fit.as_cut), 400 - (4 - PI) * r * r, 1e-9);
    ck_assert_double_eq_tol(nw_drawing_area(&fit.bit_path), (20 - 2 * r) * (20 - 2 * r), 1e-9);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

START_TEST(a_part_keeps_its_outer_corners)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 20, 20);
    nw_fit fit = fit_of(s, NW_CUT_OUTSIDE, 6);
    ck_assert_uint_eq(arcs_of(&fit.as_cut), 0);
    ck_assert_double_eq_tol(nw_drawing_area(&fit.as_cut), -400, 1e-9);
    ck_assert_uint_eq(arcs_of(&fit.bit_path), 4);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Two boxes 1 mm apart, cut outside with 6 mm: the slot between them stays, and at each end of it
 * the bit leaves a little more, between the two corners. */
START_TEST(a_slot_that_stays_joins_two_parts)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 20, 20);
    shape_box(s, 21, 0, 41, 20);
    nw_fit fit = fit_of(s, NW_CUT_OUTSIDE, 6);
    double r = (6 - 0.005) / 2 + 1.07e-6, half = asin(0.5 / r);
    double cap = r * r * (half - sin(half) * cos(half));
    ck_assert_uint_eq(fit.as_cut.count, 1);
    ck_assert_uint_eq(arcs_of(&fit.as_cut), 2);
    ck_assert_double_eq_tol(nw_drawing_area(&fit.as_cut), -(800 + 20 - 2 * cap), 1e-6);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Two boxes joined by an opening that the bit cannot pass but that it cuts from both sides: one
 * outline, nothing left. */
START_TEST(what_is_cut_from_both_sides_is_one_outline)
{
    shape *s = shape_new();
    SHAPE_RING(s, 0, 0, 20, 8, 40, 0, 40, 20, 20, 12, 0, 20);
    nw_fit fit = fit_of(s, NW_CUT_INSIDE, 4.2);
    ck_assert_uint_eq(fit.lift_count, 1);
    ck_assert_uint_eq(fit.as_cut.count, 1);
    ck_assert_uint_eq(fit.bit_path.count, 2);
    ck_assert_double_eq_tol(nw_drawing_area(&fit.as_cut), fit.area_reached, 1e-6);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

START_TEST(what_no_bit_reaches_has_no_outline)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 3, 30);
    shape_box(s, 10, 0, 40, 30);
    nw_fit fit = fit_of(s, NW_CUT_INSIDE, 6);
    ck_assert_uint_eq(fit.as_cut.count, 1);
    ck_assert_double_ge(nw_drawing_box(&fit.as_cut).min.x, 10);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {corners_of_a_square_are_rounded, a_part_keeps_its_outer_corners,
                                  a_slot_that_stays_joins_two_parts,
                                  what_is_cut_from_both_sides_is_one_outline,
                                  what_no_bit_reaches_has_no_outline};
    return TESTS_RUN("fit_as_cut", tests);
}
