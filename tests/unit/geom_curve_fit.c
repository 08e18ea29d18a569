/* Points along known curves come back as few curves within the tolerance, ends kept. */
#include <geom/geom.h>

#include "../tests.h"

#include <math.h>

#define PI 3.14159265358979323846

/* Largest distance of densely taken places on the path from the circle of radius r. */
static double worst_off_circle(const nw_path *path, double r)
{
    double worst = 0;
    nw_point p0 = path->start;
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *s = &path->steps[i];
        ck_assert_int_eq(s->kind, NW_CURVE);
        for (double t = 0; t <= 1; t += 0.01) {
            double u = 1 - t;
            double x = u * u * u * p0.x + 3 * u * u * t * s->a.x + 3 * u * t * t * s->b.x +
                       t * t * t * s->to.x;
            double y = u * u * u * p0.y + 3 * u * u * t * s->a.y + 3 * u * t * t * s->b.y +
                       t * t * t * s->to.y;
            worst = fmax(worst, fabs(hypot(x, y) - r));
        }
        p0 = s->to;
    }
    return worst;
}

START_TEST(a_half_circle_takes_few_curves)
{
    nw_point points[201];
    for (int i = 0; i <= 200; i++)
        points[i] = (nw_point){10 * cos(PI * i / 200), 10 * sin(PI * i / 200)};
    nw_path path = {.start = points[0]};
    ck_assert(nw_path_fit(&path, points, 201, (nw_point){0, 1}, (nw_point){0, -1}, 0.004));
    ck_assert_uint_le(path.count, 3);
    ck_assert_double_lt(worst_off_circle(&path, 10), 0.005);
    ck_assert_double_eq(path.steps[path.count - 1].to.x, points[200].x);
    /* Tangent at the start: straight up, as asked. */
    ck_assert_double_eq_tol(path.steps[0].a.x, 10, 1e-9);
    nw_path_free(&path);
}
END_TEST

START_TEST(a_straight_run_is_one_curve)
{
    nw_point points[] = {{0, 0}, {1, 0}, {4, 0}, {9, 0}};
    nw_path path = {.start = points[0]};
    ck_assert(nw_path_fit(&path, points, 4, (nw_point){1, 0}, (nw_point){1, 0}, 0.001));
    ck_assert_uint_eq(path.count, 1);
    ck_assert_double_eq_tol(path.steps[0].b.y, 0, 1e-12);
    nw_path_free(&path);
}
END_TEST

START_TEST(two_points_and_one_point)
{
    nw_point points[] = {{0, 0}, {3, 0}};
    nw_path path = {.start = points[0]};
    ck_assert(nw_path_fit(&path, points, 1, (nw_point){1, 0}, (nw_point){1, 0}, 0.001));
    ck_assert_uint_eq(path.count, 0);
    ck_assert(nw_path_fit(&path, points, 2, (nw_point){1, 0}, (nw_point){1, 0}, 0.001));
    ck_assert_uint_eq(path.count, 1);
    nw_path_free(&path);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_half_circle_takes_few_curves, a_straight_run_is_one_curve,
                                  two_points_and_one_point};
    return TESTS_RUN("geom_curve_fit", tests);
}
