/* What one drawing covers and another does not, against areas in closed form. */
#include <solid/solid.h>

#include "../tests.h"

#include <math.h>

static void box_add(nw_drawing *drawing, double x, double y, double w, double h, bool hole)
{
    nw_path path = {
        .start = {x, y}, .closed = true, .hole = hole, .piece = hole ? 0 : drawing->count};
    nw_point corners[4] = {{x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}};
    for (int i = 0; i < 4; i++) {
        nw_point to = corners[i];
        if (hole && i < 3)
            to = corners[2 - i];
        ck_assert(nw_path_line(&path, to));
    }
    ck_assert(nw_drawing_add(drawing, &path));
    drawing->width = fmax(drawing->width, x + w);
    drawing->height = fmax(drawing->height, y + h);
}

START_TEST(boxes_that_overlap)
{
    nw_drawing before = {0}, now = {0}, added, removed;
    box_add(&before, 0, 0, 10, 10, false);
    box_add(&now, 4, 0, 10, 10, false);
    double more, less;
    ck_assert_int_eq(nw_drawing_compare(&before, &now, &added, &removed, &more, &less, NULL),
                     NW_OK);
    ck_assert_double_eq_tol(more, 40, 1e-6);
    ck_assert_double_eq_tol(less, 40, 1e-6);
    ck_assert_uint_eq(added.count, 1);
    ck_assert_double_eq_tol(nw_drawing_box(&added).min.x, 10, 1e-6);
    ck_assert_double_eq_tol(nw_drawing_box(&removed).max.x, 4, 1e-6);
    nw_drawing_free(&added);
    nw_drawing_free(&removed);
    nw_drawing_free(&before);
    nw_drawing_free(&now);
}
END_TEST

START_TEST(a_new_hole_is_taken_away)
{
    nw_drawing before = {0}, now = {0};
    box_add(&before, 0, 0, 20, 20, false);
    box_add(&now, 0, 0, 20, 20, false);
    box_add(&now, 5, 5, 3, 2, true);
    double more, less;
    ck_assert_int_eq(nw_drawing_compare(&before, &now, NULL, NULL, &more, &less, NULL), NW_OK);
    ck_assert_double_eq(more, 0);
    ck_assert_double_eq_tol(less, 6, 1e-6);
    nw_drawing_free(&before);
    nw_drawing_free(&now);
}
END_TEST

START_TEST(what_is_the_same_differs_in_nothing)
{
    nw_drawing one = {0}, added, removed;
    box_add(&one, 0, 0, 20, 20, false);
    double more, less;
    ck_assert_int_eq(nw_drawing_compare(&one, &one, &added, &removed, &more, &less, NULL), NW_OK);
    ck_assert_double_eq(more, 0);
    ck_assert_double_eq(less, 0);
    ck_assert_uint_eq(added.count + removed.count, 0);
    nw_drawing_free(&one);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {boxes_that_overlap, a_new_hole_is_taken_away,
                                  what_is_the_same_differs_in_nothing};
    return TESTS_RUN("solid_compare", tests);
}
