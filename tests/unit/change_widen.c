/* Widened places let the bit pass, what is no spot keeps its curves, and little more is taken than
 * the bit itself would sweep. */
#include "change_shapes.h"

#include <solid/solid.h>

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
        if (!k)
            ck_assert(nw_path_line(&path, (nw_point){20 + dx, 20 + half}));
    }
    path.steps[path.count - 1].to = path.start;
    ck_assert(nw_drawing_add(&drawing, &path));
    return drawing;
}

static nw_widen_options options_of(nw_cut cut, double bit, double neck)
{
    nw_widen_options options = nw_widen_defaults();
    options.fit.cut = cut;
    options.fit.bit = bit;
    options.fit.neck = neck;
    return options;
}

static nw_widened widened_of(const nw_drawing *drawing, nw_cut cut, double bit, double neck)
{
    nw_widen_options options = options_of(cut, bit, neck);
    nw_widened widened;
    nw_error error;
    ck_assert_msg(nw_drawing_widen(drawing, &options, &widened, &error) == NW_OK, "%s",
                  error.message);
    return widened;
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

static void box_add(nw_drawing *drawing, double x0, double y0, double x1, double y1, bool hole)
{
    const nw_point round[] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    nw_path path = {.start = round[0], .closed = true, .hole = hole};
    for (size_t i = 1; i <= 4; i++)
        ck_assert(nw_path_line(&path, round[hole ? 4 - i : i % 4]));
    ck_assert(nw_drawing_add(drawing, &path));
}

/* Adds to the drawing a ring's sector, or with inner 0 a disc's, about the middle. */
static void sector_paint(nw_drawing *drawing, nw_point middle, double inner, double outer,
                         double from, double to)
{
    nw_path path = {.closed = true};
    const int parts = 600;
    for (int side = 0; side < 2; side++) {
        for (int k = 0; k <= parts && (side == 0 || inner > 0); k++) {
            double a = side == 0 ? from + (to - from) * k / parts : to - (to - from) * k / parts;
            double r = side == 0 ? outer : inner;
            nw_point p = {middle.x + r * cos(a), middle.y + r * sin(a)};
            if (!path.count && k == 0 && side == 0)
                path.start = p;
            else
                ck_assert(nw_path_line(&path, p));
        }
    }
    if (inner > 0)
        ck_assert(nw_path_line(&path, path.start));
    else
        path.steps[path.count - 1].to = path.start;
    nw_drawing shape = {0}, both;
    ck_assert(nw_drawing_add(&shape, &path));
    ck_assert_int_eq(nw_drawing_paint(drawing, &shape, false, &both, NULL), NW_OK);
    nw_drawing_free(&shape);
    nw_drawing_free(drawing);
    *drawing = both;
}

/* Two discs of radius 8 on a circle of radius 30, joined along it by a passage of the width. */
static nw_drawing round_passage(double wide)
{
    nw_drawing drawing = {0};
    const nw_point middle = {0, 0}, left = {0, 30}, right = {30, 0};
    sector_paint(&drawing, left, 0, 8, 0, 2 * PI);
    sector_paint(&drawing, right, 0, 8, 0, 2 * PI);
    sector_paint(&drawing, middle, 30 - wide / 2, 30 + wide / 2, 0, PI / 2);
    return drawing;
}

START_TEST(a_round_passage_stays_round)
{
    /* The drawing with a wide passage in place of the narrow one is what should come out, but that
     * its 1200 short lines bend a little beyond its ends too. */
    nw_drawing narrow = round_passage(2), wide = round_passage(3.225);
    nw_widened w = widened_of(&narrow, NW_CUT_INSIDE, 3.175, 0.5);
    ck_assert_uint_eq(pinch_count(&w.before), 1);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    double exact = nw_drawing_area(&wide) - nw_drawing_area(&narrow);
    ck_assert_double_ge(w.area_added, 0.98 * exact);
    ck_assert_double_le(w.area_added, 1.15 * exact);
    ck_assert_double_eq_tol(w.largest_move, 0.6125, 0.08);
    nw_widened_free(&w);
    nw_drawing_free(&narrow);
    nw_drawing_free(&wide);
}
END_TEST

START_TEST(an_island_that_is_swallowed_is_counted)
{
    /* A speck of stock lies in the bar: it is a miss, and the bit takes it as it goes through. */
    nw_drawing drawing = dumbbell(2);
    box_add(&drawing, 59.8, 19.8, 60.2, 20.2, true);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.175, 0.5);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    ck_assert_uint_eq(w.holes_before, 1);
    ck_assert_uint_eq(w.holes_after, 0);
    ck_assert_uint_eq(w.pieces_before, 1);
    ck_assert_uint_eq(w.pieces_after, 1);
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

START_TEST(a_neck_between_two_points_is_thickened)
{
    /* Slits from above and below end 2 mm apart, each in a point: a disc of 3 mm does not pass
     * between them, yet leaves nothing uncovered. */
    const nw_point points[] = {{19.8, 0},  {20, 14}, {20.2, 0},  {40, 0}, {40, 30},
                               {20.2, 30}, {20, 16}, {19.8, 30}, {0, 30}, {0, 0}};
    nw_path path = {.closed = true};
    nw_drawing drawing = {.width = 40, .height = 30};
    for (size_t i = 0; i < sizeof points / sizeof *points; i++)
        ck_assert(nw_path_line(&path, points[i]));
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_widened w = widened_of(&drawing, NW_CUT_OUTSIDE, 3.175, 3);
    ck_assert_uint_eq(pinch_count(&w.before), 1);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    /* A disc of 3.05 less what it was of the plate: the slits' tips, half a millimetre of each. */
    ck_assert_double_gt(w.area_added, 0);
    ck_assert_double_lt(w.area_added, 0.05);
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
    for (size_t i = 0; i < sizeof points / sizeof *points; i++)
        ck_assert(nw_path_line(&path, points[i]));
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
    /* What stays is that cap, 1.5² asin(1 / 1.5) - sqrt(1.25), less 0.01 mm along its arc, by which
     * more is trimmed so that no hair is left. */
    double turn = asin(1 / 1.5);
    ck_assert_double_eq_tol(w.area_added, -40 + 2.25 * turn - sqrt(1.25) - 0.01 * 3 * turn, 0.01);
    ck_assert_double_eq_tol(w.largest_move, 20, 0.4); /* the leg's end is gone */
    nw_widened_free(&w);
}
END_TEST

/* The sharpest turn of a joint of the path above a height, in radians. */
static double sharpest_above(const nw_path *path, double y)
{
    nw_point from = path->start, last = {0, 0};
    double most = 0;
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        bool curve = step->kind == NW_CURVE;
        nw_point leave = nw_minus(curve ? step->a : step->to, from);
        if (k && from.y > y)
            most = fmax(most, fabs(nw_angle(last, leave)));
        last = nw_minus(step->to, curve ? step->b : from);
        from = step->to;
    }
    return most;
}

/* A spike, opened, ends as the bit does, at its old height: no hair of the old tip is left on it.
 */
START_TEST(an_opened_spike_has_no_thorn)
{
    const nw_point points[] = {{40, 0},    {40, 40}, {21.2, 40}, {20.3, 60},
                               {18.8, 40}, {0, 40},  {0, 0}};
    nw_path path = {.closed = true};
    nw_drawing drawing = {.width = 40, .height = 60};
    for (size_t i = 0; i < sizeof points / sizeof *points; i++)
        ck_assert(nw_path_line(&path, points[i]));
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_widen_options options = options_of(NW_CUT_INSIDE, 3, 0.5);
    options.stubs = NW_OPEN;
    nw_widened w;
    ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), NW_OK);
    ck_assert_uint_eq(w.before.spot_count, 1);
    ck_assert(w.after.fits);
    ck_assert_double_eq_tol(nw_drawing_box(&w.drawing).max.y, 60, 0.01);
    ck_assert_uint_eq(w.drawing.count, 1);
    ck_assert_double_lt(sharpest_above(&w.drawing.paths[0], 45), 0.2);
    ck_assert_uint_le(w.drawing.paths[0].count, 14); /* two straight walls, a round end, the rest */
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
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
    for (size_t i = 0; i < 12; i++)
        ck_assert(nw_path_line(&path, points[i]));
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
    const nw_remedy remedies[1] = {NW_KEEP};
    nw_widen_options options = nw_widen_defaults();
    options.fit.bit = 3.175;
    options.fit.neck = 0.5;
    options.remedies = remedies;
    options.remedy_count = 1;
    nw_widened w;
    ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), NW_OK);
    ck_assert_uint_eq(w.after.spot_count, 1);
    ck_assert_int_eq(w.notes[0].outcome, NW_LEFT);
    ck_assert_double_eq(w.area_added, 0);
    nw_widened_free(&w);
    const struct {
        double ease;
        nw_status status;
    } eases[] = {{0, NW_BAD_REQUEST}, {0.009, NW_BAD_REQUEST}, {0.01, NW_OK},
                 {5, NW_OK},          {5.1, NW_BAD_REQUEST},   {NAN, NW_BAD_REQUEST}};
    for (size_t i = 0; i < sizeof eases / sizeof *eases; i++) {
        options.ease = eases[i].ease;
        ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), eases[i].status);
        nw_widened_free(&w);
    }
    nw_drawing_free(&drawing);
}
END_TEST

/* A dot of 0.1 mm² beside a bar is left out; one of 0.3 mm², more than a fiftieth of the bit's
 * square, stays unless it is said to be dropped. */
START_TEST(crumbs_are_dropped)
{
    static const double areas[] = {0.1, 0.3};
    for (int i = 0; i < 4; i++) {
        double side = sqrt(areas[i / 2]);
        nw_drawing drawing = dumbbell(2);
        box_add(&drawing, 60, 5, 60 + side, 5 + side, false);
        drawing.paths[1].piece = 1;
        nw_widen_options options = options_of(NW_CUT_INSIDE, 3.175, 0.5);
        options.misses = i % 2 ? NW_TRIM : NW_KEEP;
        nw_widened w;
        ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), NW_OK);
        ck_assert_uint_eq(w.before.spot_count, 2);
        bool drops = i != 2;
        ck_assert_uint_eq(w.drawing.count, drops ? 1 : 2);
        ck_assert_uint_eq(w.after.spot_count, drops ? 0 : 1);
        ck_assert_int_eq(w.notes[1].outcome, drops ? NW_WIDENED : NW_LEFT);
        ck_assert(!w.notes[1].swept);
        nw_widened_free(&w);
        nw_drawing_free(&drawing);
    }
}
END_TEST

/* A passage 3 high with an island in the middle, and no stock to spare beside it. */
static nw_drawing blocked(double side)
{
    nw_drawing drawing = {.width = 30, .height = 10};
    box_add(&drawing, 0, 3.5, 30, 6.5, false);
    box_add(&drawing, 15 - side / 2, 5 - side / 2, 15 + side / 2, 5 + side / 2, true);
    return drawing;
}

/* Lost as a whole anyway, and smaller than half the disc, it makes way for the bit; a larger one
 * does not, nor one of which was said that it stays. */
START_TEST(small_islands_make_way_where_there_is_no_room_beside_them)
{
    for (int i = 0; i < 3; i++) {
        nw_drawing drawing = blocked(i == 1 ? 1.1 : 0.8);
        nw_widen_options options = options_of(NW_CUT_INSIDE, 1.5, 1.5);
        nw_remedy said[] = {NW_AS_FORM, NW_AS_FORM, NW_AS_FORM};
        nw_widened w;
        options.fit.has_stock = true;
        options.fit.stock = (nw_box){{-2, 1.9}, {32, 8.1}};
        nw_error error;
        ck_assert_msg(nw_drawing_widen(&drawing, &options, &w, &error) == NW_OK, "%s",
                      error.message);
        size_t miss = 0;
        while (miss < w.before.spot_count && w.before.spots[miss].form != NW_MISS)
            miss++;
        ck_assert_uint_ge(pinch_count(&w.before), 1);
        ck_assert_uint_lt(miss, w.before.spot_count);
        if (i == 2) {
            nw_widened_free(&w);
            said[miss] = NW_KEEP;
            options.remedies = said;
            options.remedy_count = sizeof said / sizeof *said;
            ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), NW_OK);
        }
        bool yields = i == 0;
        ck_assert_int_eq(w.notes[miss].outcome, yields ? NW_WIDENED : NW_LEFT);
        ck_assert(w.notes[miss].yielded == yields);
        ck_assert_uint_eq(w.dropped, yields);
        ck_assert_uint_eq(w.holes_after, !yields);
        ck_assert(pinch_count(&w.after) == 0 || !yields);
        nw_widened_free(&w);
        nw_drawing_free(&drawing);
    }
}
END_TEST

/* Islands that the bit cuts away whatever is done, closer to a wall than the bit is wide, with room
 * to move: they are dropped, and nothing moves for their sake. A longer one does not yield. */
START_TEST(no_wall_moves_for_small_islands_that_are_lost)
{
    nw_drawing drawing = {.width = 60, .height = 30};
    box_add(&drawing, 0, 0, 60, 30, false);
    for (int k = 0; k < 3; k++)
        box_add(&drawing, 10 + 12 * k, 1, 11 + 12 * k, 2, true);
    box_add(&drawing, 20, 12, 21, 22, true);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.175, 3.175);
    size_t yielded = 0;
    for (size_t i = 0; i < w.before.spot_count; i++)
        yielded += w.notes[i].yielded;
    ck_assert_uint_eq(pinch_count(&w.before), 3);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    ck_assert_uint_eq(yielded, 3);
    ck_assert_uint_eq(w.dropped, 3);
    ck_assert_uint_eq(w.holes_after, 1);
    ck_assert_double_eq(w.largest_move, 0);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

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

static nw_widened grate_widened(int bars, double size)
{
    nw_drawing drawing = grate(bars, 1.5);
    ck_assert_int_eq(nw_drawing_place(&drawing, size, 0, false, NULL), NW_OK);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.175, 1);
    nw_drawing_free(&drawing);
    return w;
}

START_TEST(bars_with_a_thin_wall_between_part_outward)
{
    /* The wall between the bars can give half a millimetre, each bar wants 1.225; behind the other
     * walls of the bars there is stock without end. */
    nw_widened w = grate_widened(2, 1);
    ck_assert_uint_eq(pinch_count(&w.before), 2);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    ck_assert_uint_eq(w.holes_after, 1);
    nw_path *wall = NULL;
    for (size_t i = 0; i < w.drawing.count; i++)
        wall = w.drawing.paths[i].hole ? &w.drawing.paths[i] : wall;
    ck_assert_ptr_nonnull(wall);
    nw_drawing alone = {.paths = wall, .count = 1};
    nw_box box = nw_drawing_box(&alone);
    ck_assert_double_ge(box.max.y - box.min.y, 1);
    nw_widened_free(&w);
}
END_TEST

START_TEST(strips_with_room_behind_them_are_shifted)
{
    /* The walls on either side of the bar can give half a millimetre each, which is not enough; but
     * beyond both lies a wide opening. */
    nw_drawing drawing = {.width = 80, .height = 29};
    box_add(&drawing, 0, 0, 80, 29, false);
    box_add(&drawing, 30, 12, 50, 13.5, true);
    box_add(&drawing, 30, 15.5, 50, 17, true);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.6, 1);
    ck_assert_uint_eq(pinch_count(&w.before), 1);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    ck_assert_uint_eq(w.holes_after, 2);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A strip of stock that tapers from a width to nothing. */
typedef struct {
    nw_point from, to;
    double wide;
} taper;

static void taper_add(nw_drawing *drawing, taper t)
{
    nw_point across = nw_left(nw_unit(t.from, t.to));
    nw_path path = {.start = nw_plus(t.from, across, t.wide / 2), .closed = true, .hole = true};
    ck_assert(nw_path_line(&path, t.to));
    ck_assert(nw_path_line(&path, nw_plus(t.from, across, -t.wide / 2)));
    ck_assert(nw_path_line(&path, path.start));
    ck_assert(nw_drawing_add(drawing, &path));
}

START_TEST(tapered_strips_side_by_side_part)
{
    /* Strips too thin to be kept in full, close to one another and to the opening's edge, which
     * would all be pushed from both sides. Nothing thin is worn away: they shift. */
    static const struct {
        double bit;
        taper strips[5];
    } rows[] = {
        {1.6,
         {{{30.52, 0.51}, {12.77, 0.47}, 0.60},
          {{17.31, 2.06}, {13.30, 2.10}, 0.52},
          {{21.56, 3.09}, {11.09, 3.26}, 0.26},
          {{11.76, 4.09}, {31.67, 4.07}, 0.34}}},
        {1.6,
         {{{12.13, 0.74}, {19.75, 0.58}, 0.12},
          {{35.91, 1.62}, {9.94, 1.39}, 0.32},
          {{14.86, 2.62}, {21.03, 2.62}, 0.26},
          {{21.41, 3.86}, {13.65, 3.88}, 0.25},
          {{24.64, 4.71}, {13.89, 4.84}, 0.33}}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        nw_drawing drawing = {.width = 60, .height = 30};
        box_add(&drawing, 0, 0, 60, 30, false);
        size_t strips = 0;
        while (strips < 5 && rows[i].strips[strips].wide > 0)
            taper_add(&drawing, rows[i].strips[strips++]);
        nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, rows[i].bit, 1);
        ck_assert_uint_ge(pinch_count(&w.before), 2);
        ck_assert_uint_eq(pinch_count(&w.after), 0);
        ck_assert_uint_eq(w.holes_after, strips);
        for (size_t k = 0; k < w.before.spot_count; k++)
            ck_assert(!w.notes[k].swept);
        nw_widened_free(&w);
        nw_drawing_free(&drawing);
    }
}
END_TEST

START_TEST(an_island_that_loses_its_thick_place_gets_another)
{
    /* Islands of 3.3 beside a gap that eats more of them than they can give. */
    nw_drawing drawing = {.width = 40, .height = 20};
    box_add(&drawing, 0, 0, 40, 20, false);
    box_add(&drawing, 15.7, 8, 19, 11.3, true);
    box_add(&drawing, 21, 8, 24.3, 11.3, true);
    nw_widened w = widened_of(&drawing, NW_CUT_INSIDE, 3.175, 3);
    ck_assert_uint_eq(pinch_count(&w.before), 1);
    ck_assert_uint_eq(w.holes_after, 2);
    ck_assert(w.after.fits);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A letter V above a plate, both kept, with a gap below its tip. */
static nw_drawing letter_on_plate(double gap)
{
    const nw_point points[] = {{25.1, 20},  {23.282, 20}, {15, 3.6},
                               {6.718, 20}, {4.9, 20},    {15, 0}};
    nw_path path = {.start = {15, 0}, .closed = true};
    nw_drawing drawing = {.width = 30, .height = 30 + gap};
    for (size_t i = 0; i < sizeof points / sizeof *points; i++)
        ck_assert(nw_path_line(&path, points[i]));
    ck_assert(nw_drawing_add(&drawing, &path));
    box_add(&drawing, 0, -10 - gap, 30, -gap, false);
    return drawing;
}

START_TEST(a_wall_runs_out_no_further_than_there_is_room)
{
    /* The tip is cut short, and the strokes are thickened there on their inner side. Nothing may
     * stand out beside them, where the cut meets them at an acute angle. */
    nw_drawing drawing = letter_on_plate(0.3);
    nw_widened w = widened_of(&drawing, NW_CUT_OUTSIDE, 3.175, 1.5);
    ck_assert_uint_eq(pinch_count(&w.before), 1);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    nw_region region = {0};
    ck_assert_int_eq(nw_drawing_flatten(&w.drawing, NW_FLATNESS_MM, &region, NULL), NW_OK);
    for (size_t i = 0; i < region.starts[region.count]; i++) {
        nw_point p = region.points[i];
        if (p.y > 0)
            ck_assert_double_lt(fabs(p.x - 15), 10.1 / 20 * p.y + 0.05);
    }
    nw_region_free(&region);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

#define MANY_BARS 15

START_TEST(a_conflict_names_the_size_that_works)
{
    /* Each bar wants 1.225 more, each wall can give half a millimetre, and the outermost edges can
     * move by 1.6 bits. */
    nw_widened w = grate_widened(MANY_BARS, 1);
    double factor = 0;
    ck_assert_uint_eq(pinch_count(&w.before), MANY_BARS);
    for (size_t i = 0; i < w.before.spot_count; i++) {
        ck_assert_int_ne(w.notes[i].outcome, NW_STUCK);
        if (w.notes[i].outcome == NW_CONFLICT)
            factor = fmax(factor, w.notes[i].factor);
    }
    /* Not one that holds already, and no more than that the bars are wide enough as they are. */
    ck_assert_double_gt(factor, 1);
    ck_assert_double_le(factor, 3.175 / 2 * 1.05);
    ck_assert_uint_eq(w.holes_after, MANY_BARS - 1);
    nw_widened_free(&w);
    w = grate_widened(MANY_BARS, factor);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    nw_widened_free(&w);
}
END_TEST

typedef struct {
    int widening, sizes, other;
    double last;
} told;

static void hear(void *context, const char *stage, double fraction)
{
    told *heard = context;
    bool sizes = strcmp(stage, "trying other sizes") == 0;
    if (sizes && heard->sizes == 0)
        heard->last = 0; /* another work */
    ck_assert_double_ge(fraction, heard->last);
    ck_assert_double_le(fraction, 1);
    heard->last = fraction;
    *(sizes                            ? &heard->sizes
      : strcmp(stage, "widening") == 0 ? &heard->widening
                                       : &heard->other) += 1;
}

START_TEST(how_far_it_is_is_told)
{
    nw_drawing drawing = grate(MANY_BARS, 1.5); /* some places have no room */
    nw_widen_options options = options_of(NW_CUT_INSIDE, 3.175, 1);
    told heard = {0};
    options.fit.progress = hear;
    options.fit.progress_context = &heard;
    nw_widened w;
    ck_assert_int_eq(nw_drawing_widen(&drawing, &options, &w, NULL), NW_OK);
    ck_assert_int_gt(heard.widening, 3);
    ck_assert_int_gt(heard.sizes, 3);
    ck_assert_int_eq(heard.other, 0);
    ck_assert(!w.before.options.progress); /* its context may be gone by then */
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* Two rooms 20 wide and as high as the drawing, joined by a bar 60 long and 2 wide whose lower edge
 * is at y. */
static nw_drawing rooms_with_bar(double high, double y)
{
    const nw_point points[] = {{20, 0},     {20, y},     {80, y},    {80, 0},
                               {100, 0},    {100, high}, {80, high}, {80, y + 2},
                               {20, y + 2}, {20, high},  {0, high},  {0, 0}};
    nw_path path = {.start = {0, 0}, .closed = true};
    nw_drawing drawing = {.width = 100, .height = high};
    for (size_t i = 0; i < 12; i++) {
        nw_point last = path.count ? path.steps[path.count - 1].to : path.start;
        if (last.x != points[i].x || last.y != points[i].y)
            ck_assert(nw_path_line(&path, points[i]));
    }
    ck_assert(nw_drawing_add(&drawing, &path));
    return drawing;
}

static nw_widened on_a_sheet(const nw_drawing *drawing, double margin)
{
    nw_widen_options options = options_of(NW_CUT_INSIDE, 3.175, 1);
    options.fit.has_stock = true;
    options.fit.stock =
        (nw_box){{-margin, -margin}, {drawing->width + margin, drawing->height + margin}};
    nw_widened w;
    ck_assert_int_eq(nw_drawing_widen(drawing, &options, &w, NULL), NW_OK);
    return w;
}

START_TEST(the_sheets_edge_makes_the_other_side_give_more)
{
    /* The bar lies at the art's lower edge, which stays nearly where it is, and never comes nearer
     * to the sheet's edge than a millimetre; the upper edge moves by the rest. */
    nw_drawing drawing = rooms_with_bar(20, 0);
    const double margins[] = {5, 1.2, 1};
    const double lower[] = {0.1, 0.1, 0.005};
    for (size_t i = 0; i < sizeof margins / sizeof *margins; i++) {
        nw_widened w = on_a_sheet(&drawing, margins[i]);
        ck_assert(w.after.fits);
        double down = -nw_drawing_box(&w.drawing).min.y;
        ck_assert_double_ge(down, -0.011); /* the 0.01 that guards what is just enough */
        ck_assert_double_le(down, lower[i]);
        ck_assert_double_eq_tol(w.largest_move, 1.225 - down, 0.03);
        nw_widened_free(&w);
    }
    /* Where the frame round the art is too thin it is made thicker, and the bar stays open. */
    nw_widened w = on_a_sheet(&drawing, 0.6);
    ck_assert(w.after.fits);
    ck_assert_double_ge(nw_drawing_box(&w.drawing).min.y, 0.39);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(no_room_between_a_sheets_edges_names_no_size)
{
    /* 1.6 mm of stock on either side of the bar, of which 0.6 can go: 1.2 where 1.225 are wanted.
     */
    nw_drawing drawing = rooms_with_bar(3.2, 0.6);
    nw_widened w = on_a_sheet(&drawing, 1);
    ck_assert_uint_eq(pinch_count(&w.before), 1);
    ck_assert_uint_eq(pinch_count(&w.after), 1);
    ck_assert_int_eq(w.notes[0].outcome, NW_STUCK);
    ck_assert_double_eq(w.notes[0].factor, 0); /* larger art would want a larger sheet */
    ck_assert_double_eq(w.area_added, 0);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_bar_is_widened_to_the_bit,
                                  untouched_curves_stay_to_the_last_digit,
                                  a_round_passage_stays_round,
                                  an_island_that_is_swallowed_is_counted,
                                  what_fits_is_left_alone,
                                  a_neck_is_thickened,
                                  a_neck_between_two_points_is_thickened,
                                  a_leg_is_kept_opened_or_trimmed,
                                  blind_legs_beside_a_widened_trunk_keep_their_outline,
                                  only_what_is_chosen,
                                  crumbs_are_dropped,
                                  small_islands_make_way_where_there_is_no_room_beside_them,
                                  bars_with_a_thin_wall_between_part_outward,
                                  strips_with_room_behind_them_are_shifted,
                                  tapered_strips_side_by_side_part,
                                  no_wall_moves_for_small_islands_that_are_lost,
                                  an_island_that_loses_its_thick_place_gets_another,
                                  a_wall_runs_out_no_further_than_there_is_room,
                                  a_conflict_names_the_size_that_works,
                                  an_opened_spike_has_no_thorn,
                                  how_far_it_is_is_told,
                                  the_sheets_edge_makes_the_other_side_give_more,
                                  no_room_between_a_sheets_edges_names_no_size};
    return TESTS_RUN("change_widen", tests);
}
