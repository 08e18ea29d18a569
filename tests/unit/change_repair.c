/* Narrow places are repaired by moving the outlines' own nodes: none is added, lines stay lines,
 * circles circles, what is alike stays alike, and what has no room stays to the last digit. */
#include "change_shapes.h"

#include <math.h>
#include <string.h>

#define BIT 3.175
#define PI 3.14159265358979323846

static void box_add(nw_drawing *drawing, double x0, double y0, double x1, double y1, size_t piece)
{
    round_add(drawing, (nw_point[]){{x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}, 4, false, piece);
}

/* A sheet that leaves 1 mm round the drawing. */
static nw_widen_options on_sheet(const nw_drawing *drawing)
{
    nw_widen_options options = nw_widen_defaults();
    options.fit.bit = BIT;
    options.fit.neck = 1;
    options.fit.has_stock = true;
    options.fit.stock = (nw_box){{-1, -1}, {drawing->width + 1, drawing->height + 1}};
    return options;
}

/* A circle in four curves; a hole runs clockwise. */
static void circle_add(nw_drawing *drawing, nw_point c, double radius, bool hole, size_t piece)
{
    nw_path path = {.start = {c.x + radius, c.y}, .closed = true, .hole = hole, .piece = piece};
    double turn = hole ? -PI / 2 : PI / 2, h = radius * 4 / 3.0 * tan(turn / 4);
    for (int i = 1; i <= 4; i++) {
        double a = (i - 1) * turn, b = i * turn;
        nw_point p = {c.x + radius * cos(a), c.y + radius * sin(a)};
        nw_point q = {c.x + radius * cos(b), c.y + radius * sin(b)};
        ck_assert(nw_path_curve(&path, (nw_point){p.x - h * sin(a), p.y + h * cos(a)},
                                (nw_point){q.x + h * sin(b), q.y - h * cos(b)}, q));
    }
    path.steps[3].to = path.start;
    ck_assert(nw_drawing_add(drawing, &path));
}

static nw_widened widened_by(const nw_drawing *drawing, const nw_widen_options *options)
{
    nw_widened widened;
    nw_error error;
    ck_assert_msg(nw_drawing_widen(drawing, options, &widened, &error) == NW_OK, "%s",
                  error.message);
    return widened;
}

static nw_widen_options by_bit(nw_cut cut)
{
    nw_widen_options options = nw_widen_defaults();
    options.fit.cut = cut;
    options.fit.bit = BIT;
    return options;
}

static nw_widened repaired(const nw_drawing *drawing, nw_cut cut, double neck)
{
    nw_widen_options options = by_bit(cut);
    options.fit.neck = neck;
    return widened_by(drawing, &options);
}

/* A hole of curves from the end of the last one on, all of them moved by so much. */
static void curves_add(nw_drawing *drawing, const nw_point (*curves)[3], size_t count, nw_point by)
{
    nw_path path = {.start = nw_plus(curves[count - 1][2], by, 1), .closed = true, .hole = true};
    for (size_t i = 0; i < count; i++) {
        const nw_point *c = curves[i];
        ck_assert(
            nw_path_curve(&path, nw_plus(c[0], by, 1), nw_plus(c[1], by, 1), nw_plus(c[2], by, 1)));
    }
    ck_assert(nw_drawing_add(drawing, &path));
}

/* All pinches were widened; how many they were. */
static size_t pinches_widened(const nw_widened *w)
{
    size_t pinches = 0;
    for (size_t i = 0; i < w->before.spot_count; i++) {
        pinches += w->before.spots[i].form == NW_PINCH;
        ck_assert(w->before.spots[i].form != NW_PINCH || w->notes[i].outcome == NW_WIDENED);
    }
    return pinches;
}

/* No path and no step is more or of another kind than before. */
static void same_steps(const nw_drawing *one, const nw_drawing *other)
{
    ck_assert_uint_eq(one->count, other->count);
    for (size_t i = 0; i < one->count; i++) {
        ck_assert_uint_eq(one->paths[i].count, other->paths[i].count);
        for (size_t k = 0; k < one->paths[i].count; k++)
            ck_assert_int_eq(one->paths[i].steps[k].kind, other->paths[i].steps[k].kind);
    }
}

static bool same_digits(const nw_path *one, const nw_path *other)
{
    return one->count == other->count && one->start.x == other->start.x &&
           one->start.y == other->start.y &&
           memcmp(one->steps, other->steps, one->count * sizeof *one->steps) == 0;
}

/* All of the path lies on one circle. */
static void is_round(const nw_path *path)
{
    nw_box box = nw_box_empty();
    for (size_t k = 0; k < path->count; k++)
        nw_box_take(&box, path->steps[k].to, 0);
    nw_point c = {(box.min.x + box.max.x) / 2, (box.min.y + box.max.y) / 2};
    double radius = nw_box_width(box) / 2;
    for (size_t k = 0; k < path->count; k++) {
        nw_point from = k ? path->steps[k - 1].to : path->start;
        for (int j = 0; j <= 8; j++) {
            nw_point p = nw_step_at(from, &path->steps[k], j / 8.0);
            ck_assert_double_eq_tol(nw_distance(p, c), radius, 0.0005 * radius + 0.002);
        }
    }
}

START_TEST(parallel_bars_part_as_wholes)
{
    /* Two bars, 2 mm apart, cut outside: 3.225 are wanted. */
    nw_drawing drawing = {.width = 60, .height = 22};
    box_add(&drawing, 0, 0, 60, 10, 0);
    box_add(&drawing, 0, 12, 60, 22, 1);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert(w.after.fits);
    same_steps(&drawing, &w.drawing);
    nw_point a = w.drawing.paths[0].steps[1].to, b = w.drawing.paths[0].steps[2].to;
    nw_point c = w.drawing.paths[1].start, d = w.drawing.paths[1].steps[0].to;
    ck_assert_double_eq_tol(c.y - b.y, BIT + 0.05, 0.01);
    ck_assert_double_eq_tol(d.y - a.y, BIT + 0.05, 0.01);
    ck_assert_double_eq_tol(a.y, b.y, 0.005);     /* straight, and still level */
    ck_assert_double_eq_tol(22 - c.y, b.y, 0.02); /* either gives the same */
    ck_assert(!w.notes[0].swept);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(what_crosses_elsewhere_keeps_nothing_from_moving)
{
    /* The same beside two boxes that overlap. */
    nw_drawing drawing = {.width = 60, .height = 65};
    box_add(&drawing, 0, 0, 60, 10, 0);
    box_add(&drawing, 0, 12, 60, 22, 1);
    box_add(&drawing, 0, 45, 30, 60, 2);
    box_add(&drawing, 20, 50, 60, 65, 3);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert(w.after.fits);
    ck_assert(!w.notes[0].swept);
    ck_assert_double_eq_tol(w.drawing.paths[1].start.y - w.drawing.paths[0].steps[1].to.y,
                            BIT + 0.05, 0.01);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_ring_stays_round)
{
    /* A ring of 2 mm is cut out by a bit of 3.175. */
    nw_drawing drawing = {.width = 60, .height = 60};
    circle_add(&drawing, (nw_point){30, 30}, 30, false, 0);
    circle_add(&drawing, (nw_point){30, 30}, 28, true, 0);
    nw_widen_options options = by_bit(NW_CUT_INSIDE);
    options.misses = NW_OPEN;
    nw_widened w = widened_by(&drawing, &options);
    ck_assert_uint_gt(w.before.spot_count, 0);
    ck_assert(w.after.fits);
    same_steps(&drawing, &w.drawing);
    is_round(&w.drawing.paths[0]);
    is_round(&w.drawing.paths[1]);
    double outer = nw_box_width(nw_drawing_box(&w.drawing)) / 2;
    double area = nw_drawing_area(&w.drawing), inner = sqrt(outer * outer - area / PI);
    ck_assert_double_eq_tol(outer - inner, BIT + 0.05, 0.02);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* Two squares joined by a bar, symmetric about both axes through (50, 20). */
static nw_drawing dumbbell(void)
{
    const nw_point points[] = {{40, 0},  {40, 19}, {60, 19}, {60, 0},  {100, 0}, {100, 40},
                               {60, 40}, {60, 21}, {40, 21}, {40, 40}, {0, 40},  {0, 0}};
    nw_drawing drawing = {.width = 100, .height = 40};
    round_add(&drawing, points, 12, false, 0);
    return drawing;
}

START_TEST(what_is_symmetric_stays_so)
{
    nw_drawing drawing = dumbbell();
    nw_widened w = repaired(&drawing, NW_CUT_INSIDE, 1);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert(w.after.fits);
    same_steps(&drawing, &w.drawing);
    const nw_path *old = &drawing.paths[0], *now = &w.drawing.paths[0];
    for (size_t i = 0; i < old->count; i++) {
        for (size_t k = 0; k < old->count; k++) {
            nw_point p = old->steps[i].to, q = old->steps[k].to;
            nw_point a = now->steps[i].to, b = now->steps[k].to;
            if (p.x == 100 - q.x && p.y == q.y) {
                ck_assert_double_eq_tol(a.x, 100 - b.x, 0.02);
                ck_assert_double_eq_tol(a.y, b.y, 0.02);
            }
            if (p.x == q.x && p.y == 40 - q.y) {
                ck_assert_double_eq_tol(a.x, b.x, 0.02);
                ck_assert_double_eq_tol(a.y, 40 - b.y, 0.02);
            }
        }
    }
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A point turned by so many right angles, then mirrored at the line x = 0. */
static nw_point turned(nw_point p, int quarters, bool mirrored)
{
    for (int k = 0; k < quarters; k++)
        p = (nw_point){-p.y, p.x};
    return mirrored ? (nw_point){-p.x, p.y} : p;
}

/* Two unlike rooms joined by a crooked bar, turned or mirrored; it begins where it began. */
static nw_drawing crooked(int quarters, bool mirrored)
{
    static const nw_point points[] = {{0, 0},   {40, 0},  {42, 14}, {61, 17}, {60, 2},  {95, 0},
                                      {99, 37}, {60, 35}, {59, 19}, {41, 16}, {38, 44}, {3, 40}};
    nw_path path = {.start = turned(points[0], quarters, mirrored), .closed = true};
    nw_drawing drawing = {.width = 100, .height = 100};
    for (int i = 1; i <= 12; i++) {
        int k = mirrored ? 12 - i : i % 12;
        ck_assert(nw_path_line(&path, turned(points[k], quarters, mirrored)));
    }
    ck_assert(nw_drawing_add(&drawing, &path));
    return drawing;
}

START_TEST(what_is_turned_or_mirrored_comes_out_so)
{
    nw_drawing drawing = crooked(0, false);
    nw_widened w = repaired(&drawing, NW_CUT_INSIDE, 1);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert(w.after.fits);
    for (int way = 1; way < 8; way++) {
        nw_drawing other = crooked(way % 4, way > 3);
        nw_widened o = repaired(&other, NW_CUT_INSIDE, 1);
        for (size_t i = 0; i < 12; i++) {
            nw_point p =
                turned(nw_plus(w.drawing.paths[0].steps[i].to, w.corner, 1), way % 4, way > 3);
            double off = INFINITY;
            for (size_t k = 0; k < 12; k++)
                off =
                    fmin(off, nw_distance(p, nw_plus(o.drawing.paths[0].steps[k].to, o.corner, 1)));
            ck_assert_double_le(off, 0.02);
        }
        nw_widened_free(&o);
        nw_drawing_free(&other);
    }
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* Islands in a row, 2 mm and 1.2 apart, within a frame that the sheet's edges hold: there is no
 * room for them all. */
static nw_drawing crowd(double high)
{
    nw_drawing drawing = {.width = 24, .height = high};
    box_add(&drawing, 0, 0, 24, 20, 0);
    for (int k = 0; k < 6; k++) {
        double x = 4 + 3.2 * k;
        const nw_point round[] = {{x, 17}, {x + 2, 17}, {x + 2, 3}, {x, 3}};
        round_add(&drawing, round, 4, true, 0);
    }
    return drawing;
}

START_TEST(what_would_have_to_give_too_much_stays)
{
    /* None shrinks below half its area, runs into another or moves far. */
    nw_drawing drawing = crowd(20);
    nw_widen_options options = on_sheet(&drawing);
    nw_widened w = widened_by(&drawing, &options);
    ck_assert(!w.after.fits);
    ck_assert_double_le(w.largest_move, 1.6 * BIT + 0.02);
    ck_assert_uint_eq(w.holes_after, 6);
    for (size_t i = 1; i < w.drawing.count; i++) {
        ck_assert_double_ge(fabs(nw_path_area(&w.drawing.paths[i])), 14);
        nw_box box = nw_box_empty();
        for (size_t k = 0; k < 4; k++)
            nw_box_take(&box, w.drawing.paths[i].steps[k].to, 0);
        ck_assert_double_ge(box.min.y, 0);
        ck_assert_double_le(box.max.y, 20);
    }
    for (size_t i = 0; i < w.after.spot_count; i++) /* none is narrower than the narrowest was */
        if (w.after.spots[i].form == NW_PINCH)
            ck_assert_double_ge(w.after.spots[i].width, 1.2 - 0.01);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A hole that would be lost were it narrower is no smaller after; its area before and after. */
static void keeps_hole(const nw_point (*curves)[3], double areas[2])
{
    nw_drawing drawing = {.width = 80, .height = 29.2};
    box_add(&drawing, 0, 0, 80, 29.2, 0);
    curves_add(&drawing, curves, 4, (nw_point){0, 0});
    areas[0] = fabs(nw_path_area(&drawing.paths[1]));
    nw_widened w = repaired(&drawing, NW_CUT_INSIDE, BIT);
    ck_assert_uint_ge(pinches_widened(&w), 1);
    for (size_t i = 0; i < w.after.spot_count; i++)
        ck_assert_int_ne(w.after.spots[i].form, NW_MISS);
    areas[1] = fabs(nw_path_area(&w.drawing.paths[1]));
    ck_assert_double_ge(areas[1], areas[0] - 0.1);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}

START_TEST(what_narrowing_would_lose_is_not_narrowed)
{
    /* It holds the disc at its broad end alone, with a narrow band round that. */
    static const nw_point curves[4][3] = {{{13.72, 10.30}, {51.02, 18.87}, {62.64, 19.55}},
                                          {{28.95, 12.02}, {2.43, 7.18}, {7.59, 2.26}},
                                          {{7.13, 2.13}, {6.68, 2.00}, {6.25, 1.87}},
                                          {{2.51, 1.34}, {2.11, 3.32}, {4.06, 4.83}}};
    double areas[2];
    keeps_hole(curves, areas);
}
END_TEST

START_TEST(what_would_be_lost_moves_as_a_whole)
{
    static const nw_point curves[4][3] = {{{12.95, 10.30}, {47.02, 17.50}, {57.62, 18.10}},
                                          {{27.34, 11.78}, {3.20, 6.41}, {8.01, 2.41}},
                                          {{6.92, 2.33}, {6.61, 1.73}, {6.14, 2.31}},
                                          {{3.25, 2.24}, {2.01, 4.05}, {4.82, 5.18}}};
    double areas[2];
    keeps_hole(curves, areas);
    ck_assert_double_eq_tol(areas[1], areas[0], 0.02 * areas[0]);
}
END_TEST

/* The pinches left in plates of these numbers, with so many times the usual work. */
static size_t plates_leave(uint32_t first, uint32_t end, double more)
{
    nw_widen_options options = by_bit(NW_CUT_OUTSIDE);
    options.fit.bit = 2;
    options.fit.neck = 2.5;
    options.more = more;
    size_t left = 0;
    for (uint32_t number = first; number < end; number++) {
        nw_drawing drawing = plate_of(number);
        nw_widened w = widened_by(&drawing, &options);
        left += pinch_count(&w.after);
        nw_widened_free(&w);
        nw_drawing_free(&drawing);
    }
    return left;
}

START_TEST(what_would_be_lost_keeps_its_form_where_work_is_short)
{
    /* A hundredth of the work is less than most of these take. */
    ck_assert_uint_le(plates_leave(0, 30, 0.01), 70);
}
END_TEST

START_TEST(what_shrank_in_the_last_solution_keeps_its_form_in_the_next)
{
    /* In each of these one hole does. */
    static const uint32_t numbers[] = {42, 75, 116};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        ck_assert_uint_eq(plates_leave(numbers[i], numbers[i] + 1, 1), 0);
}
END_TEST

START_TEST(a_circle_beside_a_line_stays_one)
{
    nw_drawing drawing = {.width = 80, .height = 32};
    box_add(&drawing, 0, 0, 80, 10, 0);
    circle_add(&drawing, (nw_point){40, 22}, 10, false, 1);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert(w.after.fits);
    same_steps(&drawing, &w.drawing);
    is_round(&w.drawing.paths[1]);
    ck_assert_double_eq_tol(w.drawing.paths[0].steps[1].to.y, w.drawing.paths[0].steps[2].to.y,
                            0.02);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_circle_of_three_uneven_curves_stays_round)
{
    /* A round hole as it was traced from a picture, and with a curve as short as a point, between
     * the edge of a plate and a window. */
    static const nw_point round[4][3] = {
        {{20.7043, 27.0222}, {20.7043, 27.0226}, {20.7043, 27.0229}},
        {{20.8456, 33.6953}, {28.3331, 37.3205}, {34.0514, 34.5302}},
        {{41.6623, 30.8164}, {40.1125, 20.2545}, {31.9766, 18.4314}},
        {{26.4487, 17.1927}, {20.5790, 21.1058}, {20.7043, 27.0219}},
    };
    const nw_point window[] = {{15, 8}, {15, 16.5}, {45, 16.5}, {45, 8}};
    nw_drawing drawing = {.width = 60, .height = 39};
    box_add(&drawing, 0, 0, 60, 39, 0);
    curves_add(&drawing, round, 4, (nw_point){0, 0});
    round_add(&drawing, window, 4, true, 0);
    nw_widened w = repaired(&drawing, NW_CUT_INSIDE, BIT);
    ck_assert_uint_ge(pinches_widened(&w), 1);
    nw_box was = nw_path_box(&drawing.paths[1]), is = nw_path_box(&w.drawing.paths[1]);
    ck_assert_double_ge(nw_distance(was.min, is.min), 0.1);
    ck_assert_double_eq_tol(nw_box_width(is) / nw_box_height(is),
                            nw_box_width(was) / nw_box_height(was), 0.01);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* On from the path's end, on a circle of radius 10 about (30, 40). */
static void head_arc(nw_path *path, double from, double to)
{
    double h = 10 * 4 / 3.0 * tan((to - from) / 4);
    nw_point p = {30 + 10 * cos(from), 40 + 10 * sin(from)};
    nw_point q = {30 + 10 * cos(to), 40 + 10 * sin(to)};
    ck_assert(nw_path_curve(path, (nw_point){p.x - h * sin(from), p.y + h * cos(from)},
                            (nw_point){q.x + h * sin(to), q.y - h * cos(to)}, q));
}

START_TEST(an_arc_goes_on_across_a_curve_as_short_as_a_point)
{
    /* A round head whose circle was drawn with curves of 0.001 mm in it, 2 mm from a bar. */
    static const double ends[] = {-PI / 4, 0, PI / 2, PI, PI * 5 / 4};
    nw_drawing drawing = {.width = 70, .height = 60};
    nw_path path = {.start = {0, 0}, .closed = true};
    double low = 40 - 10 * sin(PI / 4), beside = 10 * cos(PI / 4);
    ck_assert(nw_path_line(&path, (nw_point){60, 0}) &&
              nw_path_line(&path, (nw_point){30 + beside, low}));
    for (int i = 0; i < 4; i++) {
        nw_point speck = path.steps[path.count - 1].to;
        speck.y += i < 3 ? 0.001 : -0.001;
        ck_assert(i == 0 || nw_path_curve(&path, speck, speck, speck));
        head_arc(&path, ends[i], ends[i + 1]);
    }
    ck_assert(nw_path_line(&path, path.start) && nw_drawing_add(&drawing, &path));
    box_add(&drawing, 42, 36, 70, 60, 1);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_ge(pinches_widened(&w), 1);
    const nw_path *head = &w.drawing.paths[0];
    nw_box box = nw_box_empty();
    for (size_t k = 2; k + 2 < head->count; k++)
        nw_box_take(&box, head->steps[k].to, 0);
    nw_point c = {(box.min.x + box.max.x) / 2, 0};
    double radius = nw_box_width(box) / 2;
    c.y = box.max.y - radius;
    for (size_t k = 2; k + 1 < head->count; k++)
        for (int j = 0; j <= 8; j++) {
            nw_point p = nw_step_at(head->steps[k - 1].to, &head->steps[k], j / 8.0);
            ck_assert_double_eq_tol(nw_distance(p, c), radius, 0.02);
        }
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(walls_of_a_window_shift_and_do_not_turn)
{
    /* Two discs are 2 mm from three walls of a window, whose fourth is far away. */
    nw_drawing drawing = {.width = 120, .height = 80};
    const nw_point window[] = {{40, 10}, {40, 70}, {75, 70}, {75, 10}};
    box_add(&drawing, 0, 0, 120, 80, 0);
    round_add(&drawing, window, 4, true, 0);
    circle_add(&drawing, (nw_point){68, 63}, 5, false, 1);
    circle_add(&drawing, (nw_point){68, 17}, 5, false, 2);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_eq(w.before.spot_count, 4);
    ck_assert(w.after.fits);
    same_steps(&drawing, &w.drawing);
    nw_point from = w.drawing.paths[1].start;
    for (size_t k = 0; k < 4; k++) {
        nw_point to = w.drawing.paths[1].steps[k].to;
        ck_assert_double_le(fmin(fabs(to.x - from.x), fabs(to.y - from.y)), 0.05);
        from = to;
    }
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_wall_that_was_traced_as_nearly_straight_does_not_turn)
{
    /* A frame, too thin only beside a notch in its corner; the wall there is a curve that bulges by
     * a seventh of a millimetre on 64, as it comes from a picture. */
    nw_drawing drawing = {.width = 120, .height = 80};
    const nw_point round[] = {{120, 0}, {120, 60}, {115, 60}, {115, 80}, {0, 80}, {0, 0}};
    round_add(&drawing, round, 6, false, 0);
    nw_path hole = {.start = {112.9, 72}, .closed = true, .hole = true};
    ck_assert(nw_path_curve(&hole, (nw_point){112.56, 50.7}, (nw_point){112.44, 29.3},
                            (nw_point){112.5, 8}) &&
              nw_path_line(&hole, (nw_point){8, 8}) && nw_path_line(&hole, (nw_point){8, 72}) &&
              nw_path_line(&hole, hole.start) && nw_drawing_add(&drawing, &hole));
    nw_widened w = repaired(&drawing, NW_CUT_INSIDE, 1);
    ck_assert_uint_ge(pinches_widened(&w), 1);
    same_steps(&drawing, &w.drawing);
    double above = 112.9 - w.drawing.paths[1].start.x;
    double below = 112.5 - w.drawing.paths[1].steps[0].to.x;
    ck_assert_double_le(fabs(above - below), 0.1);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_wall_that_bulges_a_little_keeps_its_bulge)
{
    /* A plate's wall of 40 mm that bulges by 0.4, as it comes from a small picture; a corner of
     * another plate is 1.5 mm from its upper end. */
    nw_drawing drawing = {.width = 80, .height = 60};
    nw_path path = {.start = {0, 0}, .closed = true};
    ck_assert(
        nw_path_line(&path, (nw_point){40, 0}) &&
        nw_path_curve(&path, (nw_point){40.53, 13}, (nw_point){40.53, 27}, (nw_point){40, 40}) &&
        nw_path_line(&path, (nw_point){0, 40}) && nw_path_line(&path, path.start) &&
        nw_drawing_add(&drawing, &path));
    box_add(&drawing, 41.5, 34, 80, 60, 1);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_ge(pinches_widened(&w), 1);
    const nw_path *plate = &w.drawing.paths[0];
    nw_point from = plate->steps[0].to, to = plate->steps[1].to;
    nw_point middle = nw_step_at(from, &plate->steps[1], 0.5), half = nw_middle(from, to);
    ck_assert_double_eq_tol(nw_distance(middle, half), 0.4, 0.05);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A plate with a bar 12 wide in its middle that ends round, in four curves, at y = 32; or that one
 * turned upside down, and its bar ends at y = high - 32. */
static void bar_add(nw_drawing *drawing, double high, bool turned_down, size_t piece)
{
    static const nw_point to[] = {{60, 0}, {60, 20}, {36, 20}, {36, 26}, {24, 20}, {0, 20}, {0, 0}};
    double h = 8 * tan(PI / 16), way = turned_down ? -1 : 1;
    nw_point corner = {turned_down ? 60 : 0, turned_down ? high : 0};
    nw_path path = {.start = corner, .closed = true, .piece = piece};
    for (int i = 0; i < 4; i++)
        ck_assert(nw_path_line(&path, nw_plus(corner, to[i], way)));
    for (int i = 0; i < 4; i++) {
        double a = i * PI / 4, b = a + PI / 4;
        nw_point p = {30 + 6 * cos(a) - h * sin(a), 26 + 6 * sin(a) + h * cos(a)};
        nw_point q = {30 + 6 * cos(b), 26 + 6 * sin(b)};
        nw_point handle = {q.x + h * sin(b), q.y - h * cos(b)};
        ck_assert(nw_path_curve(&path, nw_plus(corner, p, way), nw_plus(corner, handle, way),
                                nw_plus(corner, q, way)));
    }
    for (int i = 4; i < 7; i++)
        ck_assert(nw_path_line(&path, nw_plus(corner, to[i], way)));
    ck_assert(nw_drawing_add(drawing, &path));
}

START_TEST(round_ends_shift_and_stay_as_wide)
{
    nw_drawing drawing = {.width = 60, .height = 64.05};
    bar_add(&drawing, 64.05, false, 0);
    bar_add(&drawing, 64.05, true, 1);
    nw_widened w = repaired(&drawing, NW_CUT_INSIDE, BIT);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert(w.after.fits);
    same_steps(&drawing, &w.drawing);
    for (size_t i = 0; i < 2; i++) {
        const nw_step *steps = w.drawing.paths[i].steps;
        ck_assert_double_eq_tol(nw_distance(steps[3].to, steps[7].to), 12, 0.5);
    }
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_square_leg_keeps_its_square_end)
{
    static const double wides[] = {1, 1.5, 2, 2.5, 3};
    for (int i = 0; i < 10; i++) {
        double half = wides[i / 2] / 2, turn = i % 2 ? 17 : 0;
        const nw_point points[] = {{30, 20 - half}, {70, 20 - half}, {70, 20 + half},
                                   {30, 20 + half}, {30, 40},        {0, 40},
                                   {0, 0},          {30, 0}};
        nw_drawing drawing = {.width = 70, .height = 40};
        round_add(&drawing, points, 8, false, 0);
        ck_assert_int_eq(nw_drawing_place(&drawing, 1, turn, false, NULL), NW_OK);
        nw_widen_options options = by_bit(NW_CUT_INSIDE);
        options.stubs = NW_OPEN;
        nw_widened w = widened_by(&drawing, &options);
        ck_assert_uint_eq(w.before.spot_count, 1);
        ck_assert(w.after.fits);
        same_steps(&drawing, &w.drawing);
        ck_assert_double_eq_tol(w.largest_move, (BIT + 0.05) / 2 - half, 0.06);
        nw_widened_free(&w);
        nw_drawing_free(&drawing);
    }
}
END_TEST

START_TEST(a_round_leg_stays_straight)
{
    /* Its end is one curve, whose nodes lie beside its middle. */
    nw_path path = {.start = {69, 19}, .closed = true};
    nw_drawing drawing = {.width = 69.95, .height = 40};
    ck_assert(nw_path_curve(&path, (nw_point){70.3, 19}, (nw_point){70.3, 21}, (nw_point){69, 21}));
    const nw_point points[] = {{30, 21}, {30, 40}, {0, 40}, {0, 0}, {30, 0}, {30, 19}, {69, 19}};
    for (size_t i = 0; i < 7; i++)
        ck_assert(nw_path_line(&path, points[i]));
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_widen_options options = by_bit(NW_CUT_INSIDE);
    options.stubs = NW_OPEN;
    nw_widened w = widened_by(&drawing, &options);
    ck_assert(w.after.fits);
    nw_box end = nw_box_empty();
    const nw_path *now = &w.drawing.paths[0];
    for (size_t k = 0; k < now->count; k++)
        if (now->steps[k].to.x > 40)
            nw_box_take(&end, now->steps[k].to, 0);
    ck_assert_double_eq_tol(end.min.y + end.max.y, 40, 0.04);
    ck_assert_double_eq_tol(nw_box_height(end), BIT + 0.05, 0.04);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_node_far_from_the_end_gets_no_cap)
{
    /* A hole with a beak whose only node near its end lies farther back than the cap would begin.
     */
    static const nw_point curves[][3] = {{{9.66, 16.82}, {15.76, 16.36}, {19.78, 13.18}},
                                         {{20.94, 12.49}, {22.10, 11.79}, {23.26, 11.10}},
                                         {{22.08, 10.33}, {20.91, 9.56}, {19.74, 8.80}},
                                         {{17.44, 10.21}, {15.34, 12.56}, {13.45, 10.12}},
                                         {{12.87, 8.76}, {12.87, 8.76}, {12.87, 8.76}},
                                         {{12.19, 7.17}, {18.43, 6.19}, {11.58, 3.93}},
                                         {{9.39, 3.21}, {11.35, 2.26}, {8.92, 3.72}},
                                         {{6.93, 4.91}, {9.74, 10.07}, {6.02, 8.96}},
                                         {{5.28, 8.74}, {3.04, 3.70}, {2.78, 7.85}},
                                         {{2.72, 8.77}, {3.42, 15.60}, {3.62, 17.52}},
                                         {{4.05, 21.51}, {5.00, 25.46}, {7.21, 28.78}},
                                         {{8.05, 29.76}, {8.88, 30.74}, {9.71, 31.72}},
                                         {{9.45, 30.48}, {9.18, 29.24}, {8.91, 27.99}},
                                         {{7.66, 23.29}, {5.72, 18.77}, {5.23, 13.92}}};
    nw_drawing drawing = {.width = 60, .height = 60};
    box_add(&drawing, 0, 0, 60, 60, 0);
    curves_add(&drawing, curves, sizeof curves / sizeof *curves, (nw_point){15, 12});
    nw_widen_options options = nw_widen_defaults();
    options.fit.cut = NW_CUT_INSIDE;
    options.fit.bit = 6.35;
    options.stubs = NW_OPEN;
    nw_widened w = widened_by(&drawing, &options);
    ck_assert_uint_ge(w.before.spot_count, 1);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(what_is_far_stays_to_the_last_digit)
{
    /* The third box is more than three bits from the gap between the others. */
    nw_drawing drawing = {.width = 60, .height = 44};
    box_add(&drawing, 0, 0, 60, 10, 0);
    box_add(&drawing, 0, 12, 60, 22, 1);
    box_add(&drawing, 0.1, 34, 59.7, 44, 2);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert(w.after.fits);
    ck_assert(!same_digits(&drawing.paths[1], &w.drawing.paths[1]));
    ck_assert(same_digits(&drawing.paths[2], &w.drawing.paths[2]));
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_place_without_room_stays_to_the_last_digit)
{
    /* A slot's frame lies between the sheet's edges: 1.2 mm can be had, 1.225 are wanted. */
    const nw_point points[] = {{20, 0},   {20, 0.6}, {80, 0.6}, {80, 0},   {100, 0}, {100, 3.2},
                               {80, 3.2}, {80, 2.6}, {20, 2.6}, {20, 3.2}, {0, 3.2}, {0, 0}};
    nw_drawing drawing = {.width = 100, .height = 3.2};
    round_add(&drawing, points, 12, false, 0);
    nw_widen_options options = on_sheet(&drawing);
    nw_widened w = widened_by(&drawing, &options);
    ck_assert_int_eq(w.notes[0].outcome, NW_STUCK);
    ck_assert(same_digits(&drawing.paths[0], &w.drawing.paths[0]));
    ck_assert_double_eq(w.largest_move, 0);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_strip_without_room_in_one_half_stays_in_both)
{
    /* Rooms as narrow as the bit stand above and below one half, at the sheet's edges. */
    nw_drawing drawing = {.width = 140, .height = 10.4};
    round_add(&drawing,
              (nw_point[]){{20, 2},
                           {20, 4.2},
                           {78, 4.2},
                           {90, 4.2},
                           {120, 4.2},
                           {120, 2},
                           {140, 2},
                           {140, 8.4},
                           {120, 8.4},
                           {120, 6.2},
                           {90, 6.2},
                           {78, 6.2},
                           {20, 6.2},
                           {20, 8.4},
                           {0, 8.4},
                           {0, 2}},
              16, false, 0);
    box_add(&drawing, 24, 0, 70, 3.2, 1);
    box_add(&drawing, 24, 7.2, 70, 10.4, 2);
    nw_widen_options options = on_sheet(&drawing);
    options.fit.neck = 1;
    nw_widened w = widened_by(&drawing, &options);
    ck_assert_int_eq(w.notes[0].outcome, NW_STUCK);
    ck_assert_double_eq(w.largest_move, 0);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_neck_beside_a_refused_strip_is_thickened_without_it)
{
    /* A strip, too narrow, runs between rooms that fill the sheet, and on past a hair of stock. */
    static const nw_point wall[] = {{20, 4.2}, {30, 4.1}, {45, 4.1},  {58, 4.2}, {70, 4.3},
                                    {80, 4.6}, {90, 5},   {100, 5.4}, {110, 6},  {120, 7}};
    nw_drawing drawing = {.width = 140, .height = 14};
    nw_path path = {.start = {0, 2}, .closed = true};
    bool good = nw_path_line(&path, (nw_point){20, 2}) && nw_path_line(&path, wall[0]);
    for (int k = 1; k < 10; k += 3)
        good = good && nw_path_curve(&path, wall[k], wall[k + 1], wall[k + 2]);
    const nw_point room[] = {{120, 2}, {140, 2}, {140, 12}, {120, 12}, {120, 9}};
    for (int k = 0; k < 5; k++)
        good = good && nw_path_line(&path, room[k]);
    nw_point up = {0, 2};
    for (int k = 8; k > 0; k -= 3)
        good = good && nw_path_curve(&path, nw_plus(wall[k], up, 1), nw_plus(wall[k - 1], up, 1),
                                     nw_plus(wall[k - 2], up, 1));
    const nw_point other_room[] = {{20, 12}, {0, 12}, {0, 2}};
    for (int k = 0; k < 3; k++)
        good = good && nw_path_line(&path, other_room[k]);
    ck_assert(good && nw_drawing_add(&drawing, &path));
    box_add(&drawing, 24, 0, 50, 3.2, 1);
    box_add(&drawing, 24, 7.2, 50, 10.4, 2);
    box_add(&drawing, 24, 10.8, 50, 14, 3);
    box_add(&drawing, 95, 8.7, 116, 14, 4);
    nw_widen_options options = on_sheet(&drawing);
    nw_widened w = widened_by(&drawing, &options);
    for (size_t i = 0; i < w.before.spot_count; i++) {
        bool hair = w.before.spots[i].at.x > 110 && w.before.spots[i].side == NW_NECK;
        ck_assert_int_eq(w.notes[i].outcome, hair ? NW_WIDENED : NW_STUCK);
    }
    for (size_t k = 1; k < 13; k++) {
        const nw_step *was = &drawing.paths[0].steps[k], *is = &w.drawing.paths[0].steps[k];
        ck_assert_double_le(nw_distance(was->to, is->to), k > 4 && k < 9 ? 0.02 : 0.01);
    }
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(work_that_is_cut_short_leaves_places_as_they_were)
{
    /* The crowd has no room; the waist above it has, and is not given up for the crowd's sake. */
    nw_drawing drawing = crowd(60);
    const nw_point round[] = {{7, 30},  {7, 39.6},  {17, 39.6}, {17, 30}, {24, 30}, {24, 52},
                              {17, 52}, {17, 41.6}, {7, 41.6},  {7, 52},  {0, 52},  {0, 30}};
    round_add(&drawing, round, 12, false, 1);
    nw_widen_options options = on_sheet(&drawing);
    options.more = 1e-10;
    nw_widened w = widened_by(&drawing, &options);
    ck_assert(w.cut_short);
    size_t left = 0, waists = 0;
    for (size_t i = 0; i < w.before.spot_count; i++) {
        const nw_spot *spot = &w.before.spots[i];
        bool there = false;
        for (size_t k = 0; k < w.after.spot_count; k++)
            there = there || (nw_distance(w.after.spots[k].at, spot->at) < 1e-9 &&
                              w.after.spots[k].width == spot->width);
        bool widened = w.notes[i].outcome == NW_WIDENED;
        ck_assert(widened != there);
        left += there;
        waists += widened && spot->at.y > 30;
    }
    ck_assert_uint_ge(left, 1);
    ck_assert_uint_ge(waists, 1);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(pinches_come_first_when_time_is_up)
{
    /* A passage among blind legs, which stand too close to be opened beside it. */
    nw_point round[64] = {{0, 0}, {51, 0}, {51, 20}};
    size_t count = 3;
    for (int k = 11; k >= 0; k--) {
        double x = 6 + 3.2 * k, high = k == 5 ? 60 : 40, wide = k == 5 ? 2.5 : 1;
        round[count++] = (nw_point){x + wide, 20};
        round[count++] = (nw_point){x + wide, high};
        if (k == 5) {
            const nw_point chamber[] = {{51, 60}, {51, 75}, {0, 75}, {0, 60}};
            memcpy(round + count, chamber, sizeof chamber);
            count += 4;
        }
        round[count++] = (nw_point){x, high};
        round[count++] = (nw_point){x, 20};
    }
    round[count++] = (nw_point){0, 20};
    nw_drawing drawing = {.width = 51, .height = 75};
    round_add(&drawing, round, count, false, 0);
    nw_widen_options options = on_sheet(&drawing);
    options.stubs = NW_OPEN;
    options.more = 1e-10;
    nw_widened w = widened_by(&drawing, &options);
    ck_assert_uint_eq(pinches_widened(&w), 1);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(places_side_by_side_are_told_apart)
{
    /* Bars 0.6 mm wide and as far apart: there is no room, and each of them is said to stay. */
    nw_drawing drawing = {.width = 20, .height = 20};
    box_add(&drawing, 0, 0, 20, 20, 0);
    for (int k = 0; k < 14; k++) {
        double x = 2 + 1.2 * k;
        const nw_point round[] = {{x, 16 + k % 2}, {x + 0.6, 16}, {x + 0.6, 4}, {x, 4}};
        round_add(&drawing, round, 4, true, 0);
    }
    nw_widen_options options = on_sheet(&drawing);
    options.fit.neck = 0.5;
    nw_widened w = widened_by(&drawing, &options);
    size_t pinches = 0, said = 0;
    for (size_t i = 0; i < w.before.spot_count; i++)
        said += w.notes[i].outcome != NW_WIDENED && w.before.spots[i].form == NW_PINCH;
    for (size_t i = 0; i < w.after.spot_count; i++)
        pinches += w.after.spots[i].form == NW_PINCH;
    ck_assert_uint_ge(pinches, 5);
    ck_assert_uint_eq(said, pinches);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* Many walls that face each other over their whole length. */
START_TEST(long_straight_walls_take_little_work)
{
    nw_drawing drawing = crowd(400);
    drawing.width = 400;
    for (size_t k = 0; k < 70; k++)
        box_add(&drawing, 30 + 5.1 * (double)k, 0, 32 + 5.1 * (double)k, 400, k + 1);
    nw_widen_options options = on_sheet(&drawing);
    nw_widened w = widened_by(&drawing, &options);
    ck_assert(!w.after.fits);
    ck_assert(!w.cut_short);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(what_is_dropped_has_not_moved)
{
    nw_drawing drawing = {.width = 90, .height = 20};
    box_add(&drawing, 0, 0, 60, 20, 0);
    box_add(&drawing, 89.7, 0, 90, 0.3, 1); /* a crumb, 30 mm away */
    nw_widened w = repaired(&drawing, NW_CUT_INSIDE, 1);
    ck_assert_uint_eq(w.pieces_after, 1);
    ck_assert_uint_eq(w.dropped, 1);
    ck_assert_double_eq(w.largest_move, 0);
    ck_assert(!w.cut_short);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_small_ring_makes_way_with_its_hole)
{
    /* Between two plates, too near to both; the bit would pass without it but for a little. */
    nw_drawing drawing = {.width = 60, .height = 40};
    box_add(&drawing, 0, 0, 60, 18.5, 0);
    circle_add(&drawing, (nw_point){30, 20}, 0.6, false, 1);
    circle_add(&drawing, (nw_point){30, 20}, 0.3, true, 1);
    box_add(&drawing, 0, 21.5, 60, 40, 2);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 0.5);
    ck_assert(w.after.fits);
    ck_assert_uint_eq(w.dropped, 2);
    ck_assert_uint_eq(w.drawing.count, 2);
    ck_assert_uint_eq(w.drawing.paths[1].piece, 1);
    ck_assert_double_le(w.largest_move, 0.3);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A piece too small for the bit and a hole, as large, that begins where the two touch. */
START_TEST(what_touches_the_dropped_stays)
{
    nw_drawing drawing = {.width = 62.5, .height = 20};
    box_add(&drawing, 0, 0, 60, 20, 0);
    round_add(&drawing, (nw_point[]){{57.5, 8.75}, {55, 10}, {57.5, 11.25}, {60, 10}}, 4, true, 0);
    round_add(&drawing, (nw_point[]){{61.25, 7.5}, {62.5, 10}, {61.25, 12.5}, {60, 10}}, 4, false,
              1);
    const nw_remedy remedies[] = {NW_KEEP, NW_KEEP}; /* the two pinches where they touch */
    nw_widen_options options = by_bit(NW_CUT_INSIDE);
    options.fit.neck = 0.5;
    options.misses = NW_TRIM;
    options.remedies = remedies;
    options.remedy_count = 2;
    nw_widened w = widened_by(&drawing, &options);
    ck_assert_uint_eq(w.dropped, 1);
    ck_assert_uint_eq(w.pieces_after, 1);
    ck_assert_uint_eq(w.holes_after, 1);
    ck_assert_double_eq(w.largest_move, 0);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A sliver beside the bulging edge of a plate, which its own ends hold. Its shift, but for which it
 * stays about as it was; the plate's edge is not bent for it. */
static nw_point sliver_shift(bool inner)
{
    nw_drawing drawing = {.width = 120, .height = 40};
    const nw_point edge[4] = {{120, 12}, {90, 20}, {30, 20}, {0, 12}};
    nw_path plate = {.start = {0, 0}, .closed = true};
    ck_assert(nw_path_line(&plate, (nw_point){120, 0}) && nw_path_line(&plate, edge[0]) &&
              nw_path_curve(&plate, edge[1], edge[2], edge[3]) &&
              nw_path_line(&plate, plate.start) && nw_drawing_add(&drawing, &plate));
    const nw_point sliver[] = {{50, 19.2}, {70, 19.2}, {72, 21}, {70, 22}, {50, 22}, {48, 21}};
    round_add(&drawing, sliver, 6, false, 1);
    if (inner)
        box_add(&drawing, 0, 39, 120, 40, 2);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_eq(pinches_widened(&w), 1);
    nw_point shift = nw_minus(w.drawing.paths[1].start, drawing.paths[1].start);
    for (size_t k = 0; k < 6; k++) {
        nw_point to = nw_plus(drawing.paths[1].steps[k].to, shift, 1);
        ck_assert_double_le(nw_distance(w.drawing.paths[1].steps[k].to, to), inner ? 0.3 : 0.5);
    }
    nw_point top = nw_step_at(edge[0], &w.drawing.paths[0].steps[2], 0.5);
    ck_assert_double_ge(top.y, inner ? 17.2 : 16.8);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
    return shift;
}

START_TEST(a_small_piece_beside_a_wall_makes_way_as_a_whole)
{
    ck_assert_double_ge(sliver_shift(true).y, 1);
    ck_assert_double_ge(sliver_shift(false).y, 0.6); /* to where the art becomes higher by it */
}
END_TEST

START_TEST(a_plate_of_nineteen_bits_makes_way_as_a_whole)
{
    /* A tip above the middle of a plate, whose ends are far from it. */
    nw_drawing drawing = {.width = 60, .height = 30};
    const nw_point plate[] = {{57, 0}, {60, 3}, {60, 5}, {57, 8}, {3, 8}, {0, 5}, {0, 3}, {3, 0}};
    round_add(&drawing, plate, 8, false, 0);
    box_add(&drawing, 0, -20, 60, -15, 2);
    box_add(&drawing, 0, 40, 60, 45, 3);
    round_add(&drawing, (nw_point[]){{28, 9}, {32, 9}, {35, 30}, {25, 30}}, 4, false, 1);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_eq(pinches_widened(&w), 1);
    nw_box box = nw_path_box(&w.drawing.paths[0]);
    ck_assert_double_ge(nw_box_height(box), 7.58);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_long_wall_stays_where_a_corner_makes_way)
{
    /* A notch in a block comes to 2 mm from the block's other side, within a frame. */
    nw_drawing drawing = {.width = 140, .height = 80};
    const nw_point frame[] = {{5, 5}, {5, 75}, {135, 75}, {135, 5}};
    const nw_point block[] = {{20, 20}, {120, 20}, {120, 60}, {80, 60},
                              {70, 22}, {60, 60},  {20, 60}};
    box_add(&drawing, 0, 0, 140, 80, 0);
    round_add(&drawing, frame, 4, true, 0);
    round_add(&drawing, block, 7, false, 1);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, BIT);
    ck_assert_uint_eq(pinches_widened(&w), 1);
    ck_assert(w.after.fits);
    same_steps(&drawing, &w.drawing);
    ck_assert_double_ge(nw_path_box(&w.drawing.paths[2]).min.y, 19.8);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(a_large_piece_is_dear_to_shift)
{
    /* Two discs of 40 mm are 1.6 mm apart, within a frame. */
    nw_drawing drawing = {.width = 120, .height = 80};
    const nw_point frame[] = {{5, 5}, {5, 75}, {115, 75}, {115, 5}};
    box_add(&drawing, 0, 0, 120, 80, 0);
    round_add(&drawing, frame, 4, true, 0);
    circle_add(&drawing, (nw_point){39.2, 40}, 20, false, 1);
    circle_add(&drawing, (nw_point){80.8, 40}, 20, false, 2);
    nw_widened w = repaired(&drawing, NW_CUT_OUTSIDE, 1);
    ck_assert_uint_eq(pinches_widened(&w), 1);
    ck_assert(w.after.fits);
    ck_assert_double_ge(nw_path_box(&w.drawing.paths[2]).min.x, 18.7);
    ck_assert_double_le(nw_path_box(&w.drawing.paths[3]).max.x, 101.3);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

static void round_count(void *context, const char *stage, double fraction)
{
    (void)fraction;
    *(size_t *)context += strcmp(stage, "widening") == 0;
}

/* Rounds that it takes once the work is spent. */
static size_t rounds_spent(const nw_drawing *drawing, nw_remedy stubs, nw_remedy misses)
{
    size_t rounds = 0;
    nw_widen_options options = on_sheet(drawing);
    options.more = 1e-10;
    options.stubs = stubs;
    options.misses = misses;
    options.fit.progress = round_count;
    options.fit.progress_context = &rounds;
    nw_widened w = widened_by(drawing, &options);
    nw_widened_free(&w);
    return rounds;
}

START_TEST(both_forms_opened_share_their_work)
{
    const nw_point comb[] = {{60, 0},  {80, 0},  {80, 20}, {77, 20}, {77, 6},  {75, 6},
                             {75, 20}, {72, 20}, {72, 6},  {70, 6},  {70, 20}, {60, 20}};
    nw_drawing drawing = crowd(60);
    drawing.width = 80;
    box_add(&drawing, 12, 56, 14, 58, 1); /* lost as a whole */
    round_add(&drawing, comb, 12, false, 2);
    size_t one = rounds_spent(&drawing, NW_OPEN, NW_KEEP);
    ck_assert_uint_ge(one, 2);
    ck_assert_uint_le(rounds_spent(&drawing, NW_OPEN, NW_OPEN), one);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {parallel_bars_part_as_wholes,
                                  what_crosses_elsewhere_keeps_nothing_from_moving,
                                  a_ring_stays_round,
                                  what_is_symmetric_stays_so,
                                  what_is_turned_or_mirrored_comes_out_so,
                                  what_would_have_to_give_too_much_stays,
                                  what_narrowing_would_lose_is_not_narrowed,
                                  what_would_be_lost_moves_as_a_whole,
                                  what_would_be_lost_keeps_its_form_where_work_is_short,
                                  what_shrank_in_the_last_solution_keeps_its_form_in_the_next,
                                  a_circle_beside_a_line_stays_one,
                                  a_circle_of_three_uneven_curves_stays_round,
                                  an_arc_goes_on_across_a_curve_as_short_as_a_point,
                                  a_long_wall_stays_where_a_corner_makes_way,
                                  a_large_piece_is_dear_to_shift,
                                  walls_of_a_window_shift_and_do_not_turn,
                                  a_wall_that_was_traced_as_nearly_straight_does_not_turn,
                                  a_wall_that_bulges_a_little_keeps_its_bulge,
                                  round_ends_shift_and_stay_as_wide,
                                  a_square_leg_keeps_its_square_end,
                                  a_round_leg_stays_straight,
                                  a_node_far_from_the_end_gets_no_cap,
                                  what_is_far_stays_to_the_last_digit,
                                  a_place_without_room_stays_to_the_last_digit,
                                  a_strip_without_room_in_one_half_stays_in_both,
                                  a_neck_beside_a_refused_strip_is_thickened_without_it,
                                  a_small_piece_beside_a_wall_makes_way_as_a_whole,
                                  a_plate_of_nineteen_bits_makes_way_as_a_whole,
                                  both_forms_opened_share_their_work,
                                  work_that_is_cut_short_leaves_places_as_they_were,
                                  pinches_come_first_when_time_is_up,
                                  places_side_by_side_are_told_apart,
                                  long_straight_walls_take_little_work,
                                  what_is_dropped_has_not_moved,
                                  a_small_ring_makes_way_with_its_hole,
                                  what_touches_the_dropped_stays};
    return TESTS_RUN("repair_moves", tests);
}
