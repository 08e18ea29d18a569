/* Outlines of far more points than they need: what is found must not depend on how many. */
#include "fit_shapes.h"

#include "../tests.h"

/* A ring with bends that large bits do not fit into; at most 20 000 points are 0.005 mm apart. */
static shape *wavy_ring(int points, double rough)
{
    shape *s = shape_new();
    uint32_t noise = 1;
    for (int i = 0; i < points; i++) {
        double t = 2 * PI * i / points;
        noise = noise * 1664525u + 1013904223u;
        double r =
            14 + 1.8 * cos(5 * t) + 0.7 * cos(12 * t) + rough * ((noise >> 8) / 8388608.0 - 1);
        shape_point(s, r * cos(t), r * sin(t));
    }
    shape_close(s);
    return s;
}

START_TEST(more_points_change_nothing)
{
    static const double bits[] = {0.8, 2, 6.35, 8, 12.7};
    shape *few = wavy_ring(1500, 0), *many = wavy_ring(19990, 0);
    for (size_t i = 0; i < sizeof bits / sizeof *bits; i++) {
        for (int cut = NW_CUT_INSIDE; cut <= NW_CUT_OUTSIDE; cut++) {
            nw_fit a = shape_fit(few, (nw_cut)cut, bits[i], bits[i]);
            nw_fit b = shape_fit(many, (nw_cut)cut, bits[i], bits[i]);
            ck_assert_uint_eq(a.spot_count, b.spot_count);
            ck_assert_double_eq_tol(a.area_unreached, b.area_unreached,
                                    1e-3 * a.area_unreached + 2e-2);
            ck_assert_double_eq_tol(a.outline_length, b.outline_length, 1e-2);
            nw_fit_free(&a);
            nw_fit_free(&b);
        }
    }
    free(few);
    free(many);
}
END_TEST

/* No point moves further than 1e-5 mm, so the area keeps to that times the length. */
START_TEST(what_goes_is_next_to_nothing)
{
    shape *s = wavy_ring(19990, 0);
    nw_region region = shape_region(s);
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 0.1, 0.1);
    ck_assert_double_eq_tol(fit.area_cut, nw_region_area(&region), 1e-5 * fit.outline_length);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* Points thrown about are all needed; only that every end finds its partner. */
START_TEST(rough_dense_outlines_are_followed)
{
    shape *s = wavy_ring(19990, 0.1);
    for (double bit = 0.3; bit < 20; bit *= 2.1) {
        nw_fit fit = shape_fit(s, NW_CUT_INSIDE, bit, bit / 2);
        nw_fit_free(&fit);
    }
    free(s);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {more_points_change_nothing, what_goes_is_next_to_nothing,
                                  rough_dense_outlines_are_followed};
    return TESTS_RUN("fit_dense", tests);
}
