/* Widened places let the bit pass, what is no spot keeps its curves, and little more is taken than
 * the bit itself would sweep. */
#include <fit/fit.h>

#include "../tests.h"

#include <math.h>
#include <stdlib.h>

#define PI 3.14159265358979323846

/* Two discs of radius 20, 80 apart, joined by a straight bar of the given width. */
static nw_drawing dumbbell(double bar)
{
    double half = bar / 2, dx = sqrt(400 - half * half);
    nw_path path = {.start = {20 + dx, 20 - half}, .closed = true};
    nw_drawing drawing = {.width = 120, .height = 40};
    ck_assert(nw_path_line(&path, (nw_point){100 - dx, 20 - half}));
    for (int k = 0; k < 2; k++) {
        /* A disc's outline in four curves, from the bar's lower edge round to its upper one. */
        double cx = k ? 20 : 100, start = (k ? 0 : PI) + asin(half / 20);
        double turn = (2 * PI - 2 * asin(half / 20)) / 4, h = 20 * 4 / 3.0 * tan(turn / 4);
        for (int i = 0; i < 4; i++) {
            double a = start + i * turn, b = a + turn;
            nw_point p = {cx + 20 * cos(a), 20 + 20 * sin(a)};
            nw_point q = {cx + 20 * cos(b), 20 + 20 * sin(b)};
            ck_assert(nw_path_curve(&path, (nw_point){p.x - h * sin(a), p.y + h * cos(a)},
                                    (nw_point){q.x + h * sin(b), q.y - h * cos(b)}, q));
        }
        if (!k) {
            ck_assert(nw_path_line(&path, (nw_point){20 + dx, 20 + half}));
        }
    }
    path.steps[path.count - 1].to = path.start;
    ck_assert(nw_drawing_add(&drawing, &path));
    return drawing;
}

static nw_widened widened_of(const nw_drawing *drawing, nw_cut cut, double bit, double neck)
{
    nw_widen_options options = nw_widen_defaults();
    options.fit.cut = cut;
    options.fit.bit = bit;
    options.fit.neck = neck;
    nw_widened widened;
    nw_error error;
    ck_assert_msg(nw_drawing_widen(drawing, &options, &widened, &error) == NW_OK, "%s",
                  error.message);
    return widened;
}

static size_t pinch_count(const nw_fit *fit)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++) {
        count += fit->spots[i].form == NW_PINCH;
    }
    return count;
}

START_TEST(a_bar_is_widened_to_the_bit)
{
    nw_drawing drawing = dumbbell(2);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.175, 0.5);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert(w.after.fits);
    ck_assert_int_eq(w.notes[0].outcome, NW_WIDENED);
    /* The bar between the discs is 80 - 2 sqrt(400 - 1) long at its edges; it grows by 3.225 - 2,
     * less what lies in the discs already. */
    double length = 80 - 2 * sqrt(400 - 1.6125 * 1.6125);
    ck_assert_double_eq_tol(w.area_added, length * 1.225, 0.02 * length * 1.225);
    ck_assert_double_eq_tol(w.largest_move, 0.6125, 0.01);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(untouched_curves_stay_to_the_last_digit)
{
    nw_drawing drawing = dumbbell(2);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.175, 0.5);
    size_t same = 0;
    for (size_t i = 0; i < drawing.paths[0].count; i++) {
        const nw_step *old = &drawing.paths[0].steps[i];
        for (size_t k = 0; k < w.drawing.paths[0].count; k++) {
            const nw_step *now = &w.drawing.paths[0].steps[k];
            same += old->kind == NW_CURVE && now->kind == NW_CURVE && old->a.x == now->a.x &&
                    old->a.y == now->a.y && old->b.x == now->b.x && old->b.y == now->b.y &&
                    old->to.x == now->to.x && old->to.y == now->to.y;
        }
    }
    /* Of eight curves the four that the bar joins are cut shorter. */
    ck_assert_uint_eq(same, 4);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(what_fits_is_left_alone)
{
    nw_drawing drawing = dumbbell(4);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.175, 0.5);
    ck_assert(w.before.fits && w.after.fits);
    ck_assert_double_eq(w.area_added, 0);
    ck_assert_uint_eq(w.drawing.paths[0].count, drawing.paths[0].count);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_neck_is_thickened)
{
    /* Cut outside, the bar is kept: it must become 3 mm thick. */
    nw_drawing drawing = dumbbell(2);
    nw_widened w = widened_of(&drawing, NW_CUT_OUTSIDE, 3.175, 3);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert_int_eq(w.before.spots[0].side, NW_NECK);
    ck_assert(w.after.fits);
    ck_assert_double_gt(w.area_added, 0);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A square of 40 with a leg of the given width and 20 long on top of it. */
static nw_drawing square_with_leg(double leg)
{
    const nw_point points[] = {{40, 0},
                               {40, 40},
                               {20 + leg / 2, 40},
                               {20 + leg / 2, 60},
                               {20 - leg / 2, 60},
                               {20 - leg / 2, 40},
                               {0, 40},
                               {0, 0}};
    nw_path path = {.closed = true};
    nw_drawing drawing = {.width = 40, .height = 60};
    for (size_t i = 0; i < sizeof points / sizeof *points; i++) {
        ck_assert(nw_path_line(&path, points[i]));
    }
    ck_assert(nw_drawing_add(&drawing, &path));
    return drawing;
}

static nw_widened stub_widened(double leg, nw_remedy stubs)
{
    nw_drawing drawing = square_with_leg(leg);
    nw_widen_options options = nw_widen_defaults();
    options.fit.bit = 3;
    options.fit.neck = 0.5;
    options.stubs = stubs;
    nw_widened w;
    ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), NW_OK);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert_int_eq(w.before.spots[0].form, NW_STUB);
    nw_drawing_free(&drawing);
    return w;
}

START_TEST(a_leg_is_kept_opened_or_trimmed)
{
    nw_widened w = stub_widened(2, NW_KEEP);
    ck_assert_int_eq(w.notes[0].outcome, NW_LEFT);
    ck_assert_double_eq(w.area_added, 0);
    nw_widened_free(&w);

    /* Opened: 3.05 wide with a round end at its old height, 60: about 20 x 1.05 more. */
    w = stub_widened(2, NW_OPEN);
    ck_assert(w.after.fits);
    ck_assert_int_eq(w.notes[0].outcome, NW_WIDENED);
    ck_assert_double_eq_tol(w.area_added, 20 * 1.05, 1.5);
    ck_assert_double_le(nw_drawing_box(&w.drawing).max.y, 60.6);
    ck_assert_double_ge(nw_drawing_box(&w.drawing).max.y, 59.5);
    nw_widened_free(&w);

    /* Trimmed: the leg goes, but for the little that the bit's round edge reaches into it:
     * 1.5 - sqrt(1.5² - 1²) = 0.382 at most. */
    w = stub_widened(2, NW_TRIM);
    ck_assert(w.after.fits);
    ck_assert_double_lt(nw_drawing_box(&w.drawing).max.y, 40.39);
    ck_assert_double_eq_tol(w.area_added, -40, 1);
    nw_widened_free(&w);
}
END_TEST

/* A room, a trunk of the given width below it, and at its foot a low bar that ends blind on both
 * sides, as a letter's serif does. */
static nw_drawing trunk_on_a_foot(double trunk)
{
    double left = 10 - trunk / 2, right = 10 + trunk / 2;
    const nw_point points[] = {{14, 0}, {14, 1.5}, {right, 1.5}, {right, 20}, {20, 20}, {20, 40},
                               {0, 40}, {0, 20},   {left, 20},   {left, 1.5}, {6, 1.5}, {6, 0}};
    nw_path path = {.start = {6, 0}, .closed = true};
    nw_drawing drawing = {.width = 20, .height = 40};
    for (size_t i = 0; i < 12; i++) {
        ck_assert(nw_path_line(&path, points[i]));
    }
    ck_assert(nw_drawing_add(&drawing, &path));
    return drawing;
}

START_TEST(blind_legs_beside_a_widened_trunk_keep_their_outline)
{
    nw_drawing drawing = trunk_on_a_foot(1.8);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 2, 0.5);
    ck_assert_uint_eq(pinch_count(&w.before), 1);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    /* Only the trunk's sides move: 0.125 mm each, along 18.5 mm. */
    ck_assert_double_eq_tol(w.area_added, 0.25 * 18.5, 0.04 * 0.25 * 18.5);
    nw_box box = nw_drawing_box(&w.drawing);
    ck_assert_double_ge(box.min.y, -0.005);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(only_what_is_chosen)
{
    nw_drawing drawing = dumbbell(2);
    bool chosen[1] = {false};
    nw_widen_options options = nw_widen_defaults();
    options.fit.bit = 3.175;
    options.fit.neck = 0.5;
    options.chosen = chosen;
    options.chosen_count = 1;
    nw_widened w;
    ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), NW_OK);
    ck_assert_uint_eq(w.after.spot_count, 1);
    ck_assert_int_eq(w.notes[0].outcome, NW_LEFT);
    ck_assert_double_eq(w.area_added, 0);
    nw_widened_free(&w);
    options.ease = 0;
    ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), NW_BAD_REQUEST);
    nw_drawing_free(&drawing);
}
END_TEST

static void box_add(nw_drawing *drawing, double x0, double y0, double x1, double y1, bool hole)
{
    const nw_point round[] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    nw_path path = {.start = round[0], .closed = true, .hole = hole};
    for (size_t i = 1; i <= 4; i++) {
        ck_assert(nw_path_line(&path, round[hole ? 4 - i : i % 4]));
    }
    ck_assert(nw_drawing_add(drawing, &path));
}

/* Two rooms joined by bars of the cut area, each 2 wide and 20 long, with walls of stock of the
 * given thickness between them. */
static nw_drawing grate(int bars, double wall)
{
    double high = bars * 2 + (bars - 1) * wall;
    nw_drawing drawing = {.width = 80, .height = high};
    box_add(&drawing, 0, 0, 80, high, false);
    for (int i = 0; i + 1 < bars; i++) {
        double y = (i + 1) * 2 + i * wall;
        box_add(&drawing, 30, y, 50, y + wall, true);
    }
    return drawing;
}

static nw_widened grate_widened(double size)
{
    nw_drawing drawing = grate(2, 1.5);
    ck_assert_int_eq(nw_drawing_place(&drawing, size, 0, false, NULL), NW_OK);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.175, 1);
    nw_drawing_free(&drawing);
    return w;
}

START_TEST(a_conflict_names_the_size_that_works)
{
    /* The wall between the bars can give half a millimetre; both bars want more. */
    nw_widened w = grate_widened(1);
    double factor = 0;
    ck_assert_uint_eq(pinch_count(&w.before), 2);
    for (size_t i = 0; i < w.before.spot_count; i++) {
        ck_assert_int_ne(w.notes[i].outcome, NW_STUCK);
        if (w.notes[i].outcome == NW_CONFLICT) {
            ck_assert_double_gt(w.notes[i].factor, 1);
            factor = fmax(factor, w.notes[i].factor);
        }
    }
    /* Whatever is found, no more can be needed than that the bars are wide enough as they are. */
    ck_assert_double_le(factor, 3.175 / 2 * 1.05);
    ck_assert(pinch_count(&w.after) == 0 || factor > 1);
    ck_assert_uint_eq(w.holes_after, 1);
    nw_widened_free(&w);
    w = grate_widened(fmax(factor, 1) * 1.01);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    nw_widened_free(&w);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_bar_is_widened_to_the_bit,
                                  untouched_curves_stay_to_the_last_digit,
                                  what_fits_is_left_alone,
                                  a_neck_is_thickened,
                                  a_leg_is_kept_opened_or_trimmed,
                                  blind_legs_beside_a_widened_trunk_keep_their_outline,
                                  only_what_is_chosen,
                                  a_conflict_names_the_size_that_works};
    return TESTS_RUN("fit_widen", tests);
}
