/* What widening could only do badly is not done: no disc is run far, no wall moves for a place that
 * stays all the same, and what is small keeps its form and its place. */
#include "change_shapes.h"

#include <math.h>
#include <string.h>

#define BIT 3.175

static void hole_add(nw_drawing *drawing, double x0, double y0, double x1, double y1)
{
    round_add(drawing, (nw_point[]){{x0, y0}, {x0, y1}, {x1, y1}, {x1, y0}}, 4, true, 0);
}

static nw_widened widened(const nw_drawing *drawing, double bit, double neck)
{
    nw_widen_options options = nw_widen_defaults();
    nw_widened w;
    nw_error error;
    options.fit.cut = NW_CUT_INSIDE;
    options.fit.bit = bit;
    options.fit.neck = neck;
    ck_assert_msg(nw_drawing_widen(drawing, &options, &w, &error) == NW_OK, "%s", error.message);
    return w;
}

/* Bars 1 wide and 1 apart, from a room below to one above, with room for the outer ones to part. */
static void bars_add(nw_drawing *drawing, double x, size_t count)
{
    hole_add(drawing, x - 8, 20, x, 30);
    for (size_t i = 0; i + 1 < count; i++, x += 2)
        hole_add(drawing, x + 1, 20, x + 2, 30);
    hole_add(drawing, x + 1, 20, x + 9, 30);
}

static nw_drawing rooms(void)
{
    nw_drawing drawing = {.width = 150, .height = 50};
    round_add(&drawing, (nw_point[]){{150, 0}, {150, 50}, {0, 50}, {0, 0}}, 4, false, 0);
    return drawing;
}

static void all_as_it_was(const nw_drawing *drawing, const nw_widened *w)
{
    ck_assert_uint_eq(w->drawing.count, drawing->count);
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *was = &drawing->paths[i], *is = &w->drawing.paths[i];
        ck_assert_uint_eq(was->count, is->count);
        for (size_t k = 0; k < was->count; k++) {
            ck_assert_double_eq(was->steps[k].to.x, is->steps[k].to.x);
            ck_assert_double_eq(was->steps[k].to.y, is->steps[k].to.y);
        }
    }
    ck_assert_double_eq(w->largest_move, 0);
}

/* A disc that runs far leaves scallops, and a bar that widens alone among others is no repair. */
START_TEST(no_disc_is_run_far)
{
    nw_drawing drawing = rooms();
    bars_add(&drawing, 60, 5);
    nw_widened w = widened(&drawing, BIT, 0.9);
    ck_assert_uint_eq(pinch_count(&w.before), 5);
    all_as_it_was(&drawing, &w);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* Bars that have room are made wide; with so many more that have none, from x on, nothing moves. */
static nw_widened none_moves(nw_drawing *drawing, size_t roomy, double x, int more)
{
    nw_widened few = widened(drawing, BIT, 0.9);
    ck_assert_uint_eq(pinch_count(&few.before), roomy);
    ck_assert_uint_eq(pinch_count(&few.after), 0);
    nw_widened_free(&few);
    bars_add(drawing, x, more);
    nw_widened w = widened(drawing, BIT, 0.9);
    ck_assert_uint_eq(pinch_count(&w.before), roomy + (size_t)more);
    all_as_it_was(drawing, &w);
    return w;
}

/* Three bars have room, nine others have none: nothing moves, and of the three that is said. */
START_TEST(nothing_moves_where_most_stay)
{
    nw_drawing drawing = rooms();
    bars_add(&drawing, 20, 3);
    nw_widened w = none_moves(&drawing, 3, 80, 9);
    for (size_t i = 0; i < 12; i++) {
        ck_assert(w.notes[i].outcome == NW_STUCK || w.notes[i].outcome == NW_CONFLICT);
        ck_assert(!w.notes[i].undone || w.before.spots[i].at.x < 30);
        ck_assert(w.notes[i].undone || w.before.spots[i].at.x > 30);
    }
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* Six bars have room, five have none: then nothing moves either. */
START_TEST(nothing_moves_where_a_third_stays)
{
    nw_drawing drawing = rooms();
    bars_add(&drawing, 20, 3);
    bars_add(&drawing, 50, 3);
    nw_widened w = none_moves(&drawing, 6, 90, 5);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* The same with a small island, lost as a whole, that had made way for the bit: it stays too. */
START_TEST(what_made_way_stays_where_nothing_moves)
{
    nw_drawing drawing = rooms();
    hole_add(&drawing, 30, 47, 30.6, 47.6);
    nw_widened alone = widened(&drawing, BIT, 0.9);
    ck_assert_uint_eq(alone.dropped, 1);
    nw_widened_free(&alone);
    bars_add(&drawing, 20, 3);
    bars_add(&drawing, 80, 9);
    nw_widened w = widened(&drawing, BIT, 0.9);
    all_as_it_was(&drawing, &w);
    ck_assert_uint_eq(w.dropped, 0);
    for (size_t i = 0; i < w.before.spot_count; i++)
        ck_assert(!w.notes[i].yielded && w.notes[i].outcome != NW_WIDENED);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* Of four bars beside the art's edge two can be made wide, and a third of them half as much as it
 * has to be: as many stay, so that none moves. */
START_TEST(walls_go_back_where_as_many_stay)
{
    nw_drawing drawing = {.width = 50, .height = 50};
    const nw_point round[] = {{0, 0},   {50, 0}, {50, 20}, {10, 20}, {10, 30}, {50, 30},
                              {50, 50}, {0, 50}, {0, 30},  {3, 30},  {3, 20},  {0, 20}};
    round_add(&drawing, round, sizeof round / sizeof *round, false, 0);
    for (int i = 0; i < 3; i++)
        hole_add(&drawing, 4 + 2 * i, 20, 5 + 2 * i, 30);
    nw_widened w = widened(&drawing, BIT, 0.9);
    ck_assert_uint_eq(pinch_count(&w.before), 4);
    all_as_it_was(&drawing, &w);
    size_t undone = 0;
    for (size_t i = 0; i < 4; i++)
        undone += w.notes[i].undone;
    ck_assert_uint_eq(undone, 2);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* A disc drawn by two curves, as programs do that bend lines: three hundredths off a circle. It
 * lies between walls that want room from both sides, and keeps its form. */
START_TEST(what_is_nearly_round_keeps_its_form)
{
    nw_drawing drawing = {.width = 60, .height = 60};
    round_add(&drawing, (nw_point[]){{60, 35}, {60, 60}, {0, 60}, {0, 35}}, 4, false, 0);
    round_add(&drawing, (nw_point[]){{60, 0}, {60, 23}, {0, 23}, {0, 0}}, 4, false, 0);
    nw_path disc = {.start = {26, 29}, .closed = true};
    ck_assert(
        nw_path_curve(&disc, (nw_point){26, 23.41}, (nw_point){34.66, 23.41},
                      (nw_point){34.66, 29}) &&
        nw_path_curve(&disc, (nw_point){34.66, 34.59}, (nw_point){26, 34.59}, (nw_point){26, 29}) &&
        nw_drawing_add(&drawing, &disc));
    nw_widened w = widened(&drawing, 2 * BIT, 2 * BIT);
    ck_assert_uint_eq(pinch_count(&w.before), 2);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    nw_box was = nw_path_box(&drawing.paths[2]), is = nw_path_box(&w.drawing.paths[2]);
    ck_assert_double_eq_tol(nw_box_height(is) / nw_box_width(is),
                            nw_box_height(was) / nw_box_width(was), 0.01);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* Windows in a row near an edge: none of them is pushed far out of the row. */
START_TEST(what_is_small_stays_in_its_row)
{
    static const double windows[][2] = {{20, 30}, {31.5, 37}, {38.5, 48}};
    nw_drawing drawing = {.width = 80, .height = 40};
    round_add(&drawing, (nw_point[]){{80, 0}, {80, 40}, {0, 40}, {0, 0}}, 4, false, 0);
    for (int i = 0; i < 3; i++)
        hole_add(&drawing, windows[i][0], 30, windows[i][1], 39);
    nw_widened w = widened(&drawing, 2 * BIT, 2 * BIT);
    ck_assert_uint_eq(pinch_count(&w.after), 0);
    for (size_t i = 1; i < 4; i++) {
        nw_box was = nw_path_box(&drawing.paths[i]), is = nw_path_box(&w.drawing.paths[i]);
        double sunk = was.min.y + was.max.y - is.min.y - is.max.y;
        ck_assert_double_le(fabs(sunk) / 2, 0.6 * 9);
    }
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {no_disc_is_run_far,
                                  nothing_moves_where_most_stay,
                                  nothing_moves_where_a_third_stays,
                                  what_made_way_stays_where_nothing_moves,
                                  walls_go_back_where_as_many_stay,
                                  what_is_nearly_round_keeps_its_form,
                                  what_is_small_stays_in_its_row};
    return TESTS_RUN("change_undo", tests);
}
