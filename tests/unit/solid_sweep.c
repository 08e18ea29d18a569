/* What a disc covers as it runs along a line, against closed forms: along a straight line of length
 * l the area is 2 r l + pi r²; along an arc of radius R > r and angle a it is 2 r R a + pi r²
 * (Pappus's theorem for the stretch, and two half discs; from memory). */
#include <solid/solid.h>

#include "../tests.h"

#include <math.h>

#define PI 3.14159265358979323846
#define SHARE 1e-3 /* of the area: chords of the round ends, and curves within 0.002 mm */

static double swept_area(nw_path *line, double r)
{
    nw_drawing lines = {0}, swept;
    ck_assert(nw_drawing_add(&lines, line));
    ck_assert_int_eq(nw_drawing_sweep(&lines, r, &swept, NULL), NW_OK);
    ck_assert_uint_eq(swept.count, 1);
    /* A stretch and two ends, in a few curves. */
    ck_assert_uint_le(swept.paths[0].count, 40);
    double area = fabs(nw_path_area(&swept.paths[0]));
    nw_drawing_free(&swept);
    nw_drawing_free(&lines);
    return area;
}

START_TEST(along_a_straight_line)
{
    const double radii[] = {0.4, 1.5875, 3.175};
    for (size_t i = 0; i < sizeof radii / sizeof *radii; i++) {
        double r = radii[i], exact = 2 * r * 20 + PI * r * r;
        nw_path line = {.start = {3, 4}};
        ck_assert(nw_path_line(&line, (nw_point){3 + 12, 4 + 16}));
        ck_assert_double_eq_tol(swept_area(&line, r), exact, SHARE * exact);
    }
}
END_TEST

/* Its walls are two lines as long and as straight, which the round ends leave smoothly. */
START_TEST(straight_walls_are_lines)
{
    const double r = 1.6, length = 20;
    nw_point start = {3, 4}, way = {0.6, 0.8}, last = {0, 0};
    nw_path line = {.start = start};
    nw_drawing lines = {0}, swept;
    ck_assert(nw_path_line(&line, nw_plus(start, way, length)));
    ck_assert(nw_drawing_add(&lines, &line));
    ck_assert_int_eq(nw_drawing_sweep(&lines, r, &swept, NULL), NW_OK);
    const nw_path *path = &swept.paths[0];
    nw_point from = path->start;
    size_t walls = 0;
    for (size_t k = 0; k < 2 * path->count; k++) { /* round twice, for the joint at the start */
        const nw_step *step = &path->steps[k % path->count];
        bool straight = step->kind == NW_LINE;
        nw_point leave = nw_minus(straight ? step->to : step->a, from);
        if (straight) {
            ck_assert_double_eq_tol(fabs(nw_dot(leave, way)), length, 1e-6);
            walls++;
        }
        if (k)
            ck_assert_double_lt(fabs(nw_angle(last, leave)), 1e-6);
        last = nw_minus(step->to, straight ? from : step->b);
        from = step->to;
    }
    ck_assert_uint_eq(walls, 4);
    nw_drawing_free(&swept);
    nw_drawing_free(&lines);
}
END_TEST

START_TEST(along_an_arc)
{
    const double radii[] = {0.4, 1.5875, 3.175}, round = 25, angle = 2;
    for (size_t i = 0; i < sizeof radii / sizeof *radii; i++) {
        double r = radii[i], exact = 2 * r * round * angle + PI * r * r;
        nw_path line = {.start = {round, 0}};
        for (int k = 1; k <= 400; k++) {
            double a = angle * k / 400;
            ck_assert(nw_path_line(&line, (nw_point){round * cos(a), round * sin(a)}));
        }
        ck_assert_double_eq_tol(swept_area(&line, r), exact, SHARE * exact);
    }
}
END_TEST

START_TEST(lines_beside_one_another_are_one_area)
{
    nw_drawing lines = {0}, swept;
    for (int i = 0; i < 5; i++) {
        nw_path line = {.start = {0, 0.1 * i}};
        ck_assert(nw_path_line(&line, (nw_point){20, 0.1 * i}));
        ck_assert(nw_drawing_add(&lines, &line));
    }
    ck_assert_int_eq(nw_drawing_sweep(&lines, 1, &swept, NULL), NW_OK);
    ck_assert_uint_eq(swept.count, 1);
    double exact = 2.4 * 20 + PI + 0.4 * 2; /* two half discs, moved apart by 0.4 */
    ck_assert_double_eq_tol(fabs(nw_path_area(&swept.paths[0])), exact, 2 * SHARE * exact);
    nw_drawing_free(&swept);
    nw_drawing_free(&lines);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {along_a_straight_line, straight_walls_are_lines, along_an_arc,
                                  lines_beside_one_another_are_one_area};
    return TESTS_RUN("solid_sweep", tests);
}
