/* Bridges: how many, how long, how much they cover, in closed form. */
#include <fit/fit.h>

#include "../tests.h"

#include <math.h>

static void box_add(nw_drawing *drawing, double x0, double y0, double x1, double y1, bool hole,
                    size_t piece)
{
    nw_point corners[4] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    nw_path path = {.start = corners[0], .closed = true, .hole = hole, .piece = piece};
    for (int i = 1; i <= 4; i++) {
        ck_assert(nw_path_line(&path, corners[hole ? (4 - i) % 4 : i % 4]));
    }
    ck_assert(nw_drawing_add(drawing, &path));
    drawing->width = fmax(drawing->width, x1);
    drawing->height = fmax(drawing->height, y1);
}

static nw_bridged bridged_of(const nw_drawing *drawing, nw_cut cut, double bit, double width,
                             size_t each)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = bit;
    nw_bridged bridged;
    nw_error error;
    ck_assert_msg(nw_drawing_bridge(drawing, &options, width, each, &bridged, &error) == NW_OK,
                  "%s", error.message);
    return bridged;
}

static double area_of(const nw_drawing *drawing)
{
    double area = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        area += nw_path_area(&drawing->paths[i]);
    }
    return area;
}

static size_t loose_of(const nw_drawing *drawing, nw_cut cut)
{
    nw_region region;
    nw_loose_list list;
    ck_assert_int_eq(nw_drawing_flatten(drawing, NW_FLATNESS_MM, &region, NULL), NW_OK);
    ck_assert_int_eq(nw_loose_find(&region, cut, &list, NULL), NW_OK);
    size_t count = list.count;
    nw_loose_free(&list);
    nw_region_free(&region);
    return count;
}

/* A channel 20 wide round an island of 20: one strip of 3 by 20; two strips on opposite sides. */
START_TEST(an_island_gets_as_many_as_asked)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 60, 60, false, 0);
    box_add(&drawing, 20, 20, 40, 40, true, 0);
    ck_assert_uint_eq(loose_of(&drawing, NW_CUT_INSIDE), 1);
    for (size_t each = 1; each <= 2; each++) {
        nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 3, each);
        ck_assert_uint_eq(b.count, each);
        ck_assert_uint_eq(b.loose, 0);
        ck_assert_double_eq_tol(area_of(&b.drawing), 3200 - 60.0 * (double)each, 1e-6);
        ck_assert_uint_eq(loose_of(&b.drawing, NW_CUT_INSIDE), 0);
        for (size_t i = 0; i < each; i++) {
            ck_assert_double_eq_tol(hypot(b.bridges[i].to.x - b.bridges[i].from.x,
                                          b.bridges[i].to.y - b.bridges[i].from.y),
                                    20, 1e-9);
        }
        nw_bridged_free(&b);
    }
    nw_drawing_free(&drawing);
}
END_TEST

/* Three islands in a row, 6 apart, 10 from the left edge and 20 from the others: the tree is
 * 10 + 6 + 6, not three ways to the panel. */
START_TEST(the_tree_is_the_shortest)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 72, 50, false, 0);
    for (int i = 0; i < 3; i++) {
        box_add(&drawing, 10 + 16 * i, 20, 20 + 16 * i, 30, true, 0);
    }
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 2, 1);
    ck_assert_uint_eq(b.count, 3);
    ck_assert_double_eq_tol(area_of(&b.drawing), area_of(&drawing) - 2 * 22, 1e-6);
    ck_assert_uint_eq(loose_of(&b.drawing, NW_CUT_INSIDE), 0);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(separate_parts_are_joined)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 20, 20, false, 0);
    box_add(&drawing, 30, 0, 50, 20, false, 1);
    ck_assert_uint_eq(loose_of(&drawing, NW_CUT_OUTSIDE), 2);
    nw_bridged b = bridged_of(&drawing, NW_CUT_OUTSIDE, 3.175, 4, 1);
    ck_assert_uint_eq(b.count, 1);
    ck_assert_double_eq_tol(area_of(&b.drawing), 800 + 4 * 10, 1e-6);
    ck_assert_uint_eq(loose_of(&b.drawing, NW_CUT_OUTSIDE), 0);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* An island in art that lies in an island: its area does not count for the outer one. */
START_TEST(nested_islands_are_told_apart)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 100, 100, false, 0);
    box_add(&drawing, 10, 10, 90, 90, true, 0);
    box_add(&drawing, 20, 20, 80, 80, false, 1);
    box_add(&drawing, 40, 40, 60, 60, true, 1);
    nw_region region;
    nw_loose_list list;
    ck_assert_int_eq(nw_drawing_flatten(&drawing, NW_FLATNESS_MM, &region, NULL), NW_OK);
    ck_assert_int_eq(nw_loose_find(&region, NW_CUT_INSIDE, &list, NULL), NW_OK);
    ck_assert_uint_eq(list.count, 2);
    double areas[2] = {list.items[0].area, list.items[1].area};
    ck_assert_double_eq_tol(fmax(areas[0], areas[1]), 6400 - 3600, 1e-9);
    ck_assert_double_eq_tol(fmin(areas[0], areas[1]), 400, 1e-9);
    nw_loose_free(&list);
    nw_region_free(&region);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 4, 1);
    ck_assert_uint_eq(b.count, 2);
    ck_assert_double_eq_tol(area_of(&b.drawing), area_of(&drawing) - 4 * (10 + 20), 1e-6);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(nothing_loose_needs_nothing)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 20, 20, false, 0);
    ck_assert_uint_eq(loose_of(&drawing, NW_CUT_OUTSIDE), 0);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 4, 2);
    ck_assert_uint_eq(b.count + b.loose, 0);
    nw_bridged_free(&b);
    nw_fit_options options = nw_fit_defaults();
    ck_assert_int_eq(nw_drawing_bridge(&drawing, &options, 0, 1, &b, NULL), NW_BAD_REQUEST);
    ck_assert_int_eq(nw_drawing_bridge(&drawing, &options, 3, 3, &b, NULL), NW_BAD_REQUEST);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {an_island_gets_as_many_as_asked, the_tree_is_the_shortest,
                                  separate_parts_are_joined, nested_islands_are_told_apart,
                                  nothing_loose_needs_nothing};
    return TESTS_RUN("fit_bridges", tests);
}
