/* Areas that rounding keeps apart are joined, and those that it does not are left as they are:
 * plane geometry, areas in closed form. */
#include <solid/solid.h>

#include "../tests.h"

#include <math.h>
#include <string.h>

#define WIDTH 0.004
#define ROUND 0.5522847498 /* a quarter of a circle as a cubic, from memory */

static void polygon_add(nw_drawing *drawing, const double *xy, size_t count)
{
    nw_path path = {.start = {xy[0], xy[1]}, .closed = true, .piece = drawing->count};
    for (size_t i = 1; i <= count; i++)
        ck_assert(nw_path_line(&path, (nw_point){xy[2 * (i % count)], xy[2 * (i % count) + 1]}));
    ck_assert(nw_drawing_add(drawing, &path));
    nw_box box = nw_drawing_box(drawing);
    drawing->width = box.max.x - box.min.x;
    drawing->height = box.max.y - box.min.y;
}

#define POLYGON(drawing, ...)                                                                      \
    polygon_add(drawing, (const double[]){__VA_ARGS__},                                            \
                sizeof((const double[]){__VA_ARGS__}) / (2 * sizeof(double)))

/* turn 1: counter-clockwise, ink; -1: a hole of the first piece. */
static void circle_add(nw_drawing *drawing, double r, int turn)
{
    nw_path path = {.start = {r, 0}, .closed = true, .hole = turn < 0};
    path.piece = turn < 0 ? 0 : drawing->count;
    for (int i = 1; i <= 4; i++) {
        double angle = turn * i * NW_PI / 2, before = turn * (i - 1) * NW_PI / 2;
        nw_point from = {r * cos(before), r * sin(before)}, to = {r * cos(angle), r * sin(angle)};
        double reach = turn * ROUND;
        ck_assert(nw_path_curve(&path, nw_plus(from, nw_left(from), reach),
                                nw_plus(to, nw_left(to), -reach), i < 4 ? to : path.start));
    }
    ck_assert(nw_drawing_add(drawing, &path));
}

static size_t seams_close(nw_drawing *drawing)
{
    size_t closed;
    nw_error error = {0};
    nw_status status = nw_drawing_close_seams(drawing, WIDTH, &closed, &error);
    ck_assert_msg(status == NW_OK, "%s", error.message);
    return closed;
}

static void expect_untouched(nw_drawing *drawing)
{
    nw_drawing before;
    ck_assert_int_eq(nw_drawing_copy(drawing, &before, NULL), NW_OK);
    ck_assert_uint_eq(seams_close(drawing), 0);
    ck_assert_uint_eq(drawing->count, before.count);
    for (size_t i = 0; i < before.count; i++) {
        const nw_path *one = &before.paths[i], *other = &drawing->paths[i];
        ck_assert_uint_eq(one->count, other->count);
        ck_assert_int_eq(memcmp(one->steps, other->steps, one->count * sizeof *one->steps), 0);
    }
    nw_drawing_free(&before);
    nw_drawing_free(drawing);
}

/* A flag's stripes, one of them off by so much; and a box far away. */
START_TEST(stripes_become_one)
{
    static const double apart[] = {1e-7, 3e-5, 1e-3, 3.9e-3};
    for (size_t i = 0; i < sizeof apart / sizeof *apart; i++) {
        nw_drawing drawing = {0};
        POLYGON(&drawing, 0, 0, 200, 0, 200, 40, 0, 40);
        POLYGON(&drawing, 0, 40 + apart[i], 200, 40 + apart[i], 200, 80, 0, 80);
        POLYGON(&drawing, 0, 300, 1.0 / 3, 300, 1.0 / 3, 310, 0, 310);
        ck_assert_uint_eq(seams_close(&drawing), 1);
        ck_assert_uint_eq(drawing.count, 2);
        ck_assert_double_eq_tol(nw_drawing_area(&drawing), 200 * 80 + 10.0 / 3, 1e-6);
        ck_assert_uint_le(drawing.paths[0].count, 6);
        ck_assert_double_eq(nw_drawing_box(&drawing).max.y, 310);
        nw_box far = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
        for (size_t k = 0; k < drawing.paths[1].count; k++)
            far.max.x = fmax(far.max.x, drawing.paths[1].steps[k].to.x);
        ck_assert_double_eq(far.max.x, 1.0 / 3);
        nw_drawing_free(&drawing);
    }
}
END_TEST

/* A disc set into a round hole that is a hair larger: curves whose chords do not match. */
START_TEST(a_disc_grows_into_its_hole)
{
    static const double hair[] = {2e-5, 1e-3, 3e-3};
    for (size_t i = 0; i < sizeof hair / sizeof *hair; i++) {
        nw_drawing drawing = {0};
        POLYGON(&drawing, -60, -60, 60, -60, 60, 60, -60, 60);
        circle_add(&drawing, 30 + hair[i], -1);
        circle_add(&drawing, 30, 1);
        ck_assert_uint_eq(seams_close(&drawing), 1);
        ck_assert_uint_eq(drawing.count, 1);
        ck_assert_double_eq_tol(nw_drawing_area(&drawing), 120 * 120, 1e-9);
        ck_assert_uint_eq(drawing.paths[0].count, 4);
        nw_drawing_free(&drawing);
    }
}
END_TEST

/* Two bars that close in on one another up to a touch: closed as far as they are that near. */
START_TEST(of_a_wedge_the_thin_end_is_closed)
{
    nw_drawing drawing = {0};
    POLYGON(&drawing, 0, 0, 100, 0, 100, 10, 0, 10);
    POLYGON(&drawing, 0, 10, 100, 10.2, 100, 20, 0, 20);
    ck_assert_uint_eq(seams_close(&drawing), 1);
    ck_assert_uint_eq(drawing.count, 1);
    /* Up to x = 2, where 0.2 x / 100 is the width. */
    ck_assert_double_eq_tol(nw_drawing_area(&drawing), 100 * 20 - 10 + WIDTH, 1e-4);
    nw_box closed = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    for (size_t k = 0; k < drawing.paths[0].count; k++)
        if (fabs(drawing.paths[0].steps[k].to.y - 10) < 3 * WIDTH &&
            drawing.paths[0].steps[k].to.x > 1)
            closed.min.x = fmin(closed.min.x, drawing.paths[0].steps[k].to.x);
    ck_assert_double_eq_tol(closed.min.x, 2, 0.01);
    /* What is closed once is closed. */
    seams_close(&drawing);
    ck_assert_double_eq_tol(nw_drawing_area(&drawing), 100 * 20 - 10 + WIDTH, 1e-4);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(what_is_wider_or_shorter_stays)
{
    nw_drawing wider = {0}, touch = {0}, notch = {0}, hair = {0};
    POLYGON(&wider, 0, 0, 200, 0, 200, 40, 0, 40);
    POLYGON(&wider, 0, 40 + 1.01 * WIDTH, 200, 40 + 1.01 * WIDTH, 200, 80, 0, 80);
    expect_untouched(&wider);
    POLYGON(&touch, 0, 0, 10, 0, 10, 10, 0, 10);
    POLYGON(&touch, 10.001, 9.5, 20, 9.5, 20, 20, 10.001, 20); /* side by side for 0.5 */
    expect_untouched(&touch);
    POLYGON(&notch, 0, 0, 20, 0, 20, 20, 10.2, 20, 10, 0.5, 9.8, 20, 0, 20);
    expect_untouched(&notch);
    POLYGON(&hair, 0, 0, 50, 0, 50, WIDTH / 2, 0, WIDTH / 2); /* ink, not paper, is thin */
    expect_untouched(&hair);
}
END_TEST

/* Hundreds of hairs beside one another are no drawing to be closed. */
START_TEST(a_thicket_stays)
{
    nw_drawing thicket = {0};
    for (int i = 0; i < 300; i++) {
        double x = i * WIDTH / 400;
        POLYGON(&thicket, x, 0, x + WIDTH / 1000, 0, x + WIDTH / 1000, 20, x, 20);
    }
    expect_untouched(&thicket);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {stripes_become_one, a_disc_grows_into_its_hole,
                                  of_a_wedge_the_thin_end_is_closed, what_is_wider_or_shorter_stays,
                                  a_thicket_stays};
    return TESTS_RUN("solid_seams", tests);
}
