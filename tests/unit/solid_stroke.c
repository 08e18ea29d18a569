/* What a pen covers, against closed forms: ends, joins, dashes, and what a disc sweeps by Steiner's
 * formula. Two lines of length l that turn by an angle a cover 2 l w - r² tan(a / 2) and the join's
 * wedge: r² a / 2 when round, r² sin(a) / 2 when cut off, r² tan(a / 2) when pointed (w = 2 r). */
#include <solid/solid.h>

#include "../tests.h"

#include <math.h>

#define PI NW_PI

typedef struct {
    double area;
    size_t paths, pieces, steps;
} result;

/* Frees the path. */
static result stroked(nw_path *path, const nw_stroke *stroke)
{
    nw_drawing lines = {0}, shapes, drawing;
    ck_assert(nw_drawing_add(&lines, path));
    ck_assert_int_eq(nw_drawing_stroke(&lines, stroke, &shapes, NULL), NW_OK);
    for (size_t i = 0; i < shapes.count; i++)
        ck_assert(shapes.paths[i].closed && nw_path_area(&shapes.paths[i]) > 0);
    ck_assert_int_eq(nw_drawing_unite(&shapes, &drawing, NULL), NW_OK);
    result r = {.area = nw_drawing_area(&drawing), .paths = drawing.count};
    for (size_t i = 0; i < drawing.count; i++) {
        r.pieces += !drawing.paths[i].hole;
        r.steps += drawing.paths[i].count;
    }
    nw_drawing_free(&drawing);
    nw_drawing_free(&shapes);
    nw_drawing_free(&lines);
    return r;
}

static nw_stroke pen(double width, nw_cap cap, nw_join join)
{
    nw_stroke stroke = nw_stroke_defaults();
    stroke.width = width;
    stroke.cap = cap;
    stroke.join = join;
    return stroke;
}

static void line_to(nw_path *path, double x, double y)
{
    ck_assert(nw_path_line(path, (nw_point){x, y}));
}

static nw_path straight(double length)
{
    nw_path path = {.start = {1, 2}};
    line_to(&path, 1 + 0.6 * length, 2 + 0.8 * length);
    return path;
}

START_TEST(ends_of_a_line)
{
    const double exact[] = {20 * 3, 20 * 3 + PI * 9 / 4, 23 * 3};
    const nw_cap caps[] = {NW_CAP_BUTT, NW_CAP_ROUND, NW_CAP_SQUARE};
    for (int i = 0; i < 3; i++) {
        nw_path path = straight(20);
        nw_stroke stroke = pen(3, caps[i], NW_JOIN_MITER);
        result r = stroked(&path, &stroke);
        ck_assert_double_eq_tol(r.area, exact[i], 1e-4);
        ck_assert_uint_eq(r.paths, 1);
    }
}
END_TEST

START_TEST(ends_of_a_dot)
{
    const double exact[] = {0, PI * 9 / 4, 9};
    const nw_cap caps[] = {NW_CAP_BUTT, NW_CAP_ROUND, NW_CAP_SQUARE};
    for (int i = 0; i < 3; i++) {
        nw_path path = {.start = {5, 5}};
        line_to(&path, 5, 5);
        nw_stroke stroke = pen(3, caps[i], NW_JOIN_MITER);
        ck_assert_double_eq_tol(stroked(&path, &stroke).area, exact[i], 1e-4);
    }
}
END_TEST

START_TEST(joins_at_corners_to_both_sides)
{
    for (double turn = -2.6; turn < 2.7; turn += 0.4) {
        double r = 1.5, a = fabs(turn);
        const double wedges[] = {r * r * tan(a / 2), r * r * a / 2, r * r * sin(a) / 2};
        const nw_join joins[] = {NW_JOIN_MITER, NW_JOIN_ROUND, NW_JOIN_BEVEL};
        for (int i = 0; i < 3; i++) {
            nw_path path = {.start = {-30, 0}};
            line_to(&path, 0, 0);
            line_to(&path, 30 * cos(turn), 30 * sin(turn));
            nw_stroke stroke = pen(2 * r, NW_CAP_BUTT, joins[i]);
            stroke.miter_limit = 10;
            double exact = 2 * 30 * 2 * r - r * r * tan(a / 2) + wedges[i];
            ck_assert_double_eq_tol(stroked(&path, &stroke).area, exact, 1e-3);
        }
    }
}
END_TEST

/* A quarter turn's miter is sqrt(2) times the width long. */
START_TEST(the_miter_limit)
{
    const double limits[] = {1.42, 1.41}, wedges[] = {1, 0.5};
    for (int i = 0; i < 2; i++) {
        nw_path path = {.start = {0, 0}};
        line_to(&path, 10, 0);
        line_to(&path, 10, 10);
        nw_stroke stroke = pen(2, NW_CAP_BUTT, NW_JOIN_MITER);
        stroke.miter_limit = limits[i];
        ck_assert_double_eq_tol(stroked(&path, &stroke).area, 40 - 1 + wedges[i], 1e-6);
    }
}
END_TEST

START_TEST(there_and_back)
{
    nw_path path = {.start = {0, 0}};
    line_to(&path, 10, 0);
    line_to(&path, 0, 0);
    nw_stroke stroke = pen(2, NW_CAP_BUTT, NW_JOIN_ROUND);
    ck_assert_double_eq_tol(stroked(&path, &stroke).area, 20 + PI / 2, 1e-4);
}
END_TEST

static nw_path square(double side)
{
    nw_path path = {.start = {0, 0}, .closed = true};
    line_to(&path, side, 0);
    line_to(&path, side, side);
    line_to(&path, 0, side);
    line_to(&path, 0, 0);
    return path;
}

START_TEST(a_closed_path_has_joins_all_round)
{
    nw_path path = square(10);
    nw_stroke stroke = pen(2, NW_CAP_SQUARE, NW_JOIN_MITER);
    result r = stroked(&path, &stroke);
    ck_assert_double_eq_tol(r.area, 12 * 12 - 8 * 8, 1e-6);
    ck_assert_uint_eq(r.paths, 2);
    path = square(10);
    stroke.join = NW_JOIN_ROUND;
    ck_assert_double_eq_tol(stroked(&path, &stroke).area, 100 + 40 + PI - 64, 1e-4);
}
END_TEST

/* ---- curves ---------------------------------------------------------------------------------- */

static nw_path arc(double r, int quarters)
{
    double k = 0.5522847498 * r;
    nw_path path = {.start = {r, 0}, .closed = quarters == 4};
    for (int i = 0; i < quarters; i++) {
        double c = cos(PI / 2 * i), s = sin(PI / 2 * i);
        ck_assert(nw_path_curve(&path, (nw_point){r * c - k * s, r * s + k * c},
                                (nw_point){-r * s + k * c, r * c + k * s},
                                (nw_point){-r * s, r * c}));
    }
    return path;
}

/* Both edges are a few curves. */
START_TEST(a_curve_keeps_its_curves)
{
    nw_path path = arc(20, 4);
    nw_stroke stroke = pen(4, NW_CAP_BUTT, NW_JOIN_MITER);
    result r = stroked(&path, &stroke);
    ck_assert_double_eq_tol(r.area, 2 * PI * 20 * 4, 0.1);
    ck_assert_uint_eq(r.paths, 2);
    ck_assert_uint_le(r.steps, 40);
    path = arc(20, 1);
    r = stroked(&path, &stroke);
    ck_assert_double_eq_tol(r.area, PI / 2 * 20 * 4, 0.03);
    ck_assert_uint_le(r.steps, 12);
}
END_TEST

/* However thin the line, what it covers is as long as the curve (along chords) times its width. */
START_TEST(a_hairline_is_as_wide_as_it_says)
{
    nw_path path = {.start = {0, 0}};
    ck_assert(nw_path_curve(&path, (nw_point){0, 5}, (nw_point){6, 0}, (nw_point){2, 6}));
    double length = 0;
    for (int i = 0; i < 1000; i++)
        length += nw_distance(nw_step_at(path.start, path.steps, i / 1000.0),
                              nw_step_at(path.start, path.steps, (i + 1) / 1000.0));
    nw_stroke stroke = pen(0.01, NW_CAP_BUTT, NW_JOIN_MITER);
    double exact = stroke.width * length;
    ck_assert_double_eq_tol(stroked(&path, &stroke).area, exact, 5e-4 * exact);
}
END_TEST

/* A pen wider than the curve: half a disc with the pen's radius more, and what the ends leave: the
 * quarters of the pen's rectangle that reach below. */
START_TEST(a_curve_tighter_than_the_pen)
{
    nw_path path = arc(1, 4);
    nw_stroke stroke = pen(6, NW_CAP_BUTT, NW_JOIN_ROUND);
    result r = stroked(&path, &stroke);
    ck_assert_double_eq_tol(r.area, PI * 16, 0.02);
    ck_assert_uint_eq(r.paths, 1);
}
END_TEST

/* A cusp: the pen turns back there, round. */
START_TEST(a_curve_with_a_cusp)
{
    nw_path path = {.start = {0, 0}};
    ck_assert(nw_path_curve(&path, (nw_point){20, 20}, (nw_point){0, 20}, (nw_point){20, 0}));
    nw_stroke stroke = pen(2, NW_CAP_BUTT, NW_JOIN_BEVEL);
    result r = stroked(&path, &stroke);
    ck_assert_uint_eq(r.pieces, 1);
    /* The tip lies at (10, 15), pointing up: the pen's disc reaches one further. */
    nw_drawing lines = {0}, shapes;
    path = (nw_path){.start = {0, 0}};
    ck_assert(nw_path_curve(&path, (nw_point){20, 20}, (nw_point){0, 20}, (nw_point){20, 0}));
    ck_assert(nw_drawing_add(&lines, &path));
    ck_assert_int_eq(nw_drawing_stroke(&lines, &stroke, &shapes, NULL), NW_OK);
    ck_assert_double_eq_tol(nw_drawing_box(&shapes).max.y, 16, 0.01);
    nw_drawing_free(&shapes);
    nw_drawing_free(&lines);
}
END_TEST

/* ---- dashes ---------------------------------------------------------------------------------- */

static result dashed(nw_path path, const double *dashes, size_t count, double offset, nw_cap cap)
{
    nw_stroke stroke = pen(1, cap, NW_JOIN_MITER);
    stroke.dashes = dashes;
    stroke.dash_count = count;
    stroke.dash_offset = offset;
    return stroked(&path, &stroke);
}

START_TEST(dashes_along_a_line)
{
    const double two[] = {2, 1}, odd[] = {3}, dots[] = {0, 2}, none[] = {0, 0};
    const double offsets[] = {0, 1, 2.5, -0.5, 301};
    const double covered[] = {7, 7, 6.5, 6.5, 7};
    for (int i = 0; i < 5; i++) {
        result r = dashed(straight(10), two, 2, offsets[i], NW_CAP_BUTT);
        ck_assert_double_eq_tol(r.area, covered[i], 1e-4);
    }
    result r = dashed(straight(10), odd, 1, 0, NW_CAP_BUTT);
    ck_assert_double_eq_tol(r.area, 6, 1e-4);
    ck_assert_uint_eq(r.pieces, 2);
    r = dashed(straight(9), dots, 2, 0, NW_CAP_ROUND);
    ck_assert_double_eq_tol(r.area, 5 * PI / 4, 1e-3);
    ck_assert_uint_eq(r.pieces, 5);
    ck_assert_double_eq_tol(dashed(straight(9), none, 2, 0, NW_CAP_BUTT).area, 9, 1e-6);
}
END_TEST

/* Dashes that go round all four corners of a square, one of them through its start. */
START_TEST(dashes_round_corners)
{
    const double dashes[] = {3, 1};
    result r = dashed(square(4), dashes, 2, 1.5, NW_CAP_BUTT);
    ck_assert_double_eq_tol(r.area, 4 * 3, 1e-6);
    ck_assert_uint_eq(r.pieces, 4);
}
END_TEST

/* A quarter of a circle, half of it dashes. */
START_TEST(dashes_along_a_curve)
{
    const double dashes[] = {PI / 2, 1.001 * PI / 2};
    result r = dashed(arc(20, 1), dashes, 2, 0, NW_CAP_BUTT);
    ck_assert_double_eq_tol(r.area, 5 * PI, 0.01);
    ck_assert_uint_eq(r.pieces, 10);
}
END_TEST

START_TEST(dashes_without_number_are_refused)
{
    const double dashes[] = {1e-9, 1e-9};
    nw_stroke stroke = pen(1, NW_CAP_BUTT, NW_JOIN_MITER);
    stroke.dashes = dashes;
    stroke.dash_count = 2;
    nw_drawing lines = {0}, shapes;
    nw_path path = straight(10);
    ck_assert(nw_drawing_add(&lines, &path));
    ck_assert_int_eq(nw_drawing_stroke(&lines, &stroke, &shapes, NULL), NW_BAD_INPUT);
    ck_assert_uint_eq(shapes.count, 0);
    stroke.width = 0;
    ck_assert_int_eq(nw_drawing_stroke(&lines, &stroke, &shapes, NULL), NW_BAD_REQUEST);
    nw_drawing_free(&lines);
}
END_TEST

/* ---- sweeps ---------------------------------------------------------------------------------- */

/* Steiner: a convex area grown by r has A + P r + pi r². */
START_TEST(a_convex_area_grows_by_steiners_formula)
{
    for (int corners = 3; corners < 9; corners++) {
        for (int back = 0; back < 2; back++) {
            double side = 2 * 10 * sin(PI / corners), r = 2;
            double area = corners * 100 * sin(2 * PI / corners) / 2;
            nw_path path = {.start = {10, 0}, .closed = true};
            for (int i = 1; i <= corners; i++) {
                double angle = 2 * PI * (i % corners) / corners * (back ? -1 : 1);
                line_to(&path, 10 * cos(angle), 10 * sin(angle));
            }
            nw_drawing lines = {0}, swept;
            ck_assert(nw_drawing_add(&lines, &path));
            ck_assert_int_eq(nw_drawing_sweep(&lines, r, &swept, NULL), NW_OK);
            ck_assert_uint_eq(swept.count, 1);
            double exact = area + corners * side * r + PI * r * r;
            ck_assert_double_eq_tol(nw_drawing_area(&swept), exact, 2e-4 * exact);
            nw_drawing_free(&swept);
            nw_drawing_free(&lines);
        }
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {ends_of_a_line,
                                  ends_of_a_dot,
                                  joins_at_corners_to_both_sides,
                                  the_miter_limit,
                                  there_and_back,
                                  a_closed_path_has_joins_all_round,
                                  a_curve_keeps_its_curves,
                                  a_hairline_is_as_wide_as_it_says,
                                  a_curve_tighter_than_the_pen,
                                  a_curve_with_a_cusp,
                                  dashes_along_a_line,
                                  dashes_round_corners,
                                  dashes_along_a_curve,
                                  dashes_without_number_are_refused,
                                  a_convex_area_grows_by_steiners_formula};
    return TESTS_RUN("solid_stroke", tests);
}
