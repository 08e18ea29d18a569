/* Bridges: how many, how long, how much they cover, in closed form. */
#include <change/change.h>

#include "../tests.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

static void box_add(nw_drawing *drawing, double x0, double y0, double x1, double y1, bool hole,
                    size_t piece)
{
    nw_point corners[4] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    nw_path path = {.start = corners[0], .closed = true, .hole = hole, .piece = piece};
    for (int i = 1; i <= 4; i++)
        ck_assert(nw_path_line(&path, corners[hole ? (4 - i) % 4 : i % 4]));
    ck_assert(nw_drawing_add(drawing, &path));
    drawing->width = fmax(drawing->width, x1);
    drawing->height = fmax(drawing->height, y1);
}

static nw_bridged bridged_with(const nw_drawing *drawing, nw_cut cut, double bit, double width,
                               size_t each, const nw_places *at)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = bit;
    nw_bridged bridged;
    nw_error error;
    ck_assert_msg(nw_drawing_bridge(drawing, &options, width, each, at, &bridged, &error) == NW_OK,
                  "%s", error.message);
    return bridged;
}

static nw_bridged bridged_of(const nw_drawing *drawing, nw_cut cut, double bit, double width,
                             size_t each)
{
    return bridged_with(drawing, cut, bit, width, each, NULL);
}

/* The bridge across the moat beside each place, and none where nobody wants one: the middle of what
 * stands by itself is a place for the same. */
static nw_bridged bridged_at(const nw_drawing *drawing, const nw_places *at)
{
    return bridged_with(drawing, NW_CUT_INSIDE, 3.175, 3, 0, at);
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
        ck_assert_double_eq_tol(nw_drawing_area(&b.drawing), 3200 - 60.0 * (double)each, 1e-6);
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

/* A frame of cut round a large piece of stock on which a smaller one hangs: the frame's two bridges
 * are those that hold the large one, and the small one's own does not count as one of them. */
START_TEST(what_hangs_on_a_piece_does_not_hold_it)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 120, 100, false, 0);
    box_add(&drawing, 20, 20, 100, 60, true, 0);
    box_add(&drawing, 55, 63, 65, 73, true, 0); /* 3 from the large one, 27 from the panel */
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 4, 0);
    size_t outer = 0;
    for (size_t i = 0; i < b.count; i++)
        outer += nw_distance(b.bridges[i].from, b.bridges[i].to) > 10;
    ck_assert_uint_eq(b.count, 3);
    ck_assert_uint_eq(outer, 2);
    ck_assert_uint_eq(b.loose, 0);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* Of 4 mm²: worth a bridge of 40, and named where it would be larger, but held where somebody wants
 * it. */
START_TEST(a_small_island_is_not_worth_a_large_bridge)
{
    static const double far[] = {19.9, 20.1};
    for (size_t i = 0; i < 2; i++) {
        nw_drawing drawing = {0};
        box_add(&drawing, 0, 0, 2 * far[i] + 2, 60, false, 0);
        box_add(&drawing, far[i], 30, far[i] + 2, 32, true, 0);
        nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 1.5, 2, 0);
        ck_assert_uint_eq(b.count, 1 - i);
        ck_assert_uint_eq(b.loose, i);
        ck_assert(!i || b.unheld[0].reason == NW_UNHELD_CRUMB);
        nw_bridged_free(&b);
        nw_places at = {.items = {{10, 31}}, .count = 1};
        b = bridged_with(&drawing, NW_CUT_INSIDE, 1.5, 2, 0, &at);
        ck_assert_uint_eq(b.count, 1);
        nw_bridged_free(&b);
        nw_drawing_free(&drawing);
    }
}
END_TEST

START_TEST(bridges_stand_where_somebody_wants_them)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 100, 60, false, 0);
    box_add(&drawing, 20, 20, 40, 40, true, 0);
    box_add(&drawing, 60, 20, 80, 40, true, 0);
    /* Beside the moat's line, in it, on an island, and far off all. */
    nw_places at = {.items = {{10, 27}, {30, 51}, {30, 30}, {300, 30}}, .count = 4};
    nw_bridged b = bridged_at(&drawing, &at);
    ck_assert_uint_eq(b.count, 2);
    ck_assert_uint_eq(b.nowhere, 2);
    for (size_t i = 0; i < 2; i++)
        ck_assert_double_lt(nw_segment_distance(b.bridges[i].from, b.bridges[i].to, at.items[i]),
                            0.5);
    ck_assert_uint_eq(b.loose, 1);
    ck_assert_int_eq(b.unheld[0].reason, NW_UNHELD_BY_HAND);
    ck_assert_double_eq_tol(nw_drawing_area(&b.drawing), 5200 - 2 * 60, 1e-6);
    nw_bridged_free(&b);
    nw_bridged own = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 3, 2);
    at.count = own.count;
    for (size_t i = 0; i < own.count; i++)
        at.items[i] = nw_middle(own.bridges[i].from, own.bridges[i].to);
    b = bridged_at(&drawing, &at);
    ck_assert_uint_eq(b.count, own.count);
    ck_assert_uint_eq(b.loose, 0);
    for (size_t i = 0; i < own.count; i++)
        ck_assert(nw_distance(b.bridges[i].from, own.bridges[i].from) < 1e-9 &&
                  nw_distance(b.bridges[i].to, own.bridges[i].to) < 1e-9);
    nw_bridged_free(&b);
    nw_bridged_free(&own);
    nw_drawing_free(&drawing);
}
END_TEST

/* Three islands in a row, 6 apart, 10 from the left edge and 20 from the others: the tree is
 * 10 + 6 + 6, not three ways to the panel. */
START_TEST(the_tree_is_the_shortest)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 72, 50, false, 0);
    for (int i = 0; i < 3; i++)
        box_add(&drawing, 10 + 16 * i, 20, 20 + 16 * i, 30, true, 0);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 2, 1);
    ck_assert_uint_eq(b.count, 3);
    ck_assert_double_eq_tol(nw_drawing_area(&b.drawing), nw_drawing_area(&drawing) - 2 * 22, 1e-6);
    ck_assert_uint_eq(loose_of(&b.drawing, NW_CUT_INSIDE), 0);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

static void polygon_add(nw_drawing *drawing, const double *xy, size_t count, bool hole)
{
    nw_path path = {.start = {xy[0], xy[1]}, .closed = true, .hole = hole};
    for (size_t i = 1; i <= count; i++) {
        const double *p = xy + 2 * (i % count);
        ck_assert(nw_path_line(&path, (nw_point){p[0], p[1]}));
    }
    ck_assert(nw_drawing_add(drawing, &path));
}

static double length_of(const nw_bridge *bridge)
{
    return hypot(bridge->to.x - bridge->from.x, bridge->to.y - bridge->from.y);
}

/* A round island of radius R whose middle is h from a straight wall: a strip of width w covers
 * w h, less the part of the disc under it, R² asin(w/2R) + w/2 sqrt(R² - w²/4). */
START_TEST(a_bridge_to_a_round_island)
{
    double radius = 10, h = 18, w = 5;
    static double circle[2 * 720];
    for (int i = 0; i < 720; i++) {
        circle[2 * i] = 50 + radius * cos(-i * PI / 360);
        circle[2 * i + 1] = h + radius * sin(-i * PI / 360);
    }
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 100, 100, false, 0);
    polygon_add(&drawing, circle, 720, true);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, w, 1);
    ck_assert_uint_eq(b.count, 1);
    ck_assert_double_eq_tol(length_of(&b.bridges[0]), h - radius, 1e-3);
    double under =
        radius * radius * asin(w / 2 / radius) + w / 2 * sqrt(radius * radius - w * w / 4);
    ck_assert_double_eq_tol(nw_drawing_area(&drawing) - nw_drawing_area(&b.drawing), w * h - under,
                            0.02);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* Between walls that lean towards one another by an angle, the strip's middle line is as long as
 * the walls are apart there, and it covers that length times its width. */
START_TEST(a_bridge_between_leaning_walls)
{
    static const double hole[] = {30, 12, 30, 50, 70, 50, 70, 20};
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 100, 80, false, 0);
    polygon_add(&drawing, hole, 4, true);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 4, 1);
    ck_assert_uint_eq(b.count, 1);
    double lost = nw_drawing_area(&drawing) - nw_drawing_area(&b.drawing),
           length = length_of(&b.bridges[0]);
    ck_assert_double_eq_tol(lost, 4 * length, 4e-6);
    ck_assert_double_le(length, 13); /* a little off the corner, where it would be 12.4 */
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* A peg of an island reaches down between two pillars of the panel, 5 from the floor. A strip
 * there would leave 3 on either side of it, too narrow for the bit, so the bridge stands on a
 * pillar, 10 from the island. */
START_TEST(a_bridge_closes_no_passage)
{
    static const double panel[] = {0,    0, 19, 0, 19, 3, 25.5, 3, 25.5, 0,  34.5, 0,
                                   34.5, 3, 41, 3, 41, 0, 60,   0, 60,   60, 0,    60};
    static const double island[] = {15, 13, 15, 40, 45, 40, 45, 13, 32, 13, 32, 5, 28, 5, 28, 13};
    nw_drawing drawing = {.width = 60, .height = 60};
    polygon_add(&drawing, panel, 12, false);
    polygon_add(&drawing, island, 8, true);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 3, 1);
    ck_assert_uint_eq(b.count, 1);
    ck_assert_double_eq_tol(length_of(&b.bridges[0]), 10, 1e-9);
    nw_bridged_free(&b);
    b = bridged_of(&drawing, NW_CUT_INSIDE, 2, 3, 1); /* this bit gets in there */
    ck_assert_double_eq_tol(length_of(&b.bridges[0]), 5, 1e-9);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* A ring of teeth round (50, 50) that carry no strip of 2: on their tops it has no footing, and in
 * the valleys it leaves the bit no room. */
static void teeth_add(nw_drawing *drawing, bool hole)
{
    enum { TEETH = 60 };
    double xy[2 * 4 * TEETH];
    for (int i = 0; i < 4 * TEETH; i++) {
        double turn = (hole ? -1 : 1) * (i / 4 + (i % 4 < 2 ? 0.0 : 0.36)) * 2 * PI / TEETH;
        double r = i % 4 == 0 || i % 4 == 3 ? 40 : 34;
        xy[2 * i] = 50 + r * cos(turn);
        xy[2 * i + 1] = 50 + r * sin(turn);
    }
    polygon_add(drawing, xy, 4 * TEETH, hole);
}

static void disc_add(nw_drawing *drawing, double x, double radius, bool hole, size_t piece)
{
    double xy[2 * 90];
    for (int i = 0; i < 90; i++) {
        xy[2 * i] = x + radius * cos((hole ? -1 : 1) * i * PI / 45);
        xy[2 * i + 1] = 50 + radius * sin((hole ? -1 : 1) * i * PI / 45);
    }
    polygon_add(drawing, xy, 90, hole);
    drawing->paths[drawing->count - 1].piece = piece;
}

/* A round island within them is named, with the reason. */
START_TEST(what_cannot_be_held_is_named)
{
    nw_drawing drawing = {.width = 100, .height = 100};
    teeth_add(&drawing, false);
    disc_add(&drawing, 50, 20, true, 0);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 1, 2, 1);
    ck_assert_uint_eq(b.count, 0);
    ck_assert_uint_eq(b.loose, 1);
    ck_assert_int_eq(b.unheld[0].reason, NW_UNHELD_CLOSES);
    ck_assert(!b.unheld[0].held);
    ck_assert_double_eq_tol(b.unheld[0].piece.area, -nw_path_area(&drawing.paths[1]), 0.5);
    ck_assert_double_eq_tol(nw_drawing_area(&b.drawing), nw_drawing_area(&drawing), 1e-9);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* A box in a frame, round the corner of which stands a post: its edge, not its corner, is where
 * the strip has footing all across. */
START_TEST(a_strip_has_footing_all_across)
{
    static const double island[] = {20, 20, 35, 40, 55, 25, 40, 5};
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 75, 60, false, 0);
    polygon_add(&drawing, island, 4, true);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 4, 1);
    ck_assert_uint_eq(b.count, 1);
    double lost = nw_drawing_area(&drawing) - nw_drawing_area(&b.drawing);
    /* Its corner is 5 above the edge of the art; no strip can cover less than 4 by that. */
    ck_assert_double_ge(lost, 4 * 5);
    ck_assert_double_le(lost, 4 * 5 + 4 * 4);
    ck_assert_uint_eq(loose_of(&b.drawing, NW_CUT_INSIDE), 0);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* Two eyes in a row, smaller than the strip is wide: one long strip over both holds them, and an
 * eye alone gets one on either side. */
START_TEST(strips_go_on_over_small_islands)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 60, 60, false, 0);
    box_add(&drawing, 10, 28, 13, 31, true, 0);
    box_add(&drawing, 15, 28, 18, 31, true, 0);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 5, 1);
    ck_assert_uint_eq(b.count, 2);
    ck_assert_uint_eq(b.loose, 0);
    ck_assert_double_eq_tol(length_of(&b.bridges[0]) + length_of(&b.bridges[1]), 10 + 2, 1e-9);
    ck_assert_uint_eq(loose_of(&b.drawing, NW_CUT_INSIDE), 0);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
    drawing = (nw_drawing){0};
    box_add(&drawing, 0, 0, 33, 33, false, 0);
    box_add(&drawing, 15, 15, 18, 18, true, 0);
    b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 5, 2);
    ck_assert_uint_eq(b.count, 2);
    ck_assert_uint_eq(b.loose, 0);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* Bars thinner than the least neck are spots, with a bridge others than before. That is no harm of
 * the bridge, which stands where it is shortest. */
START_TEST(stock_becomes_no_thinner)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 1.4, 60, false, 0);
    box_add(&drawing, 11.4, 0, 12.8, 60, false, 1);
    box_add(&drawing, 27.8, 0, 47.8, 60, false, 2);
    nw_bridged b = bridged_of(&drawing, NW_CUT_OUTSIDE, 3.175, 4, 1);
    ck_assert_uint_eq(b.count, 2);
    ck_assert_double_eq_tol(length_of(&b.bridges[0]) + length_of(&b.bridges[1]), 10 + 15, 1e-9);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* A box with an arm to the left that tapers from 6 to 1.5, its tip nearest to the panel. A bridge
 * on the tip makes a neck of what only was a tip; one where the arm is thick enough does not. Where
 * somebody wants it at the tip it stands there, and the neck is told. */
START_TEST(a_bridge_leaves_no_new_spot)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 150, 110, false, 0);
    const nw_point arm[] = {{80, 30}, {130, 30}, {130, 80},  {100, 80}, {100, 92},
                            {90, 92}, {30, 95},  {30, 93.5}, {90, 86},  {90, 80}};
    size_t count = sizeof arm / sizeof *arm;
    nw_path path = {.start = {80, 80}, .closed = true, .hole = true};
    for (size_t i = count; i-- > 0;)
        ck_assert(nw_path_line(&path, arm[i]));
    ck_assert(nw_path_line(&path, path.start));
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_fit_options options = nw_fit_defaults();
    options.bit = 3.175;
    options.blunt = 40;
    for (int by_hand = 0; by_hand < 2; by_hand++) {
        nw_places at = {.items = {{36, 103}}, .count = 1};
        nw_bridged b;
        ck_assert_int_eq(
            nw_drawing_bridge(&drawing, &options, 5, 1, by_hand ? &at : NULL, &b, NULL), NW_OK);
        ck_assert_uint_eq(b.count, 1);
        ck_assert_uint_eq(b.spot_count, (size_t)by_hand);
        ck_assert_uint_eq(b.bridges[0].reasons >> NW_BRIDGE_SPOT & 1, (unsigned)by_hand);
        if (by_hand) {
            ck_assert_int_eq(b.spots[0].side, NW_NECK);
            ck_assert_uint_eq(b.spots[0].bridge, 0);
            /* The arm is so thick where the bridge's right edge meets it. */
            ck_assert_double_eq_tol(b.spots[0].width, 1.5 + 4.5 * (b.spots[0].at.x - 30) / 60, 0.1);
        }
        nw_bridged_free(&b);
    }
    nw_drawing_free(&drawing);
}
END_TEST

/* A small box opposite a hook: the strip covers the hook and meets the stem behind it. What it
 * closes off between the two is too narrow for the bit, and stays stock. */
START_TEST(a_bridge_leaves_no_pocket)
{
    static const double stem[] = {0,  0,    20, 0,  20, 10, 23, 10, 23, 13.5,
                                  22, 13.5, 22, 11, 20, 11, 20, 40, 0,  40};
    nw_drawing drawing = {0};
    polygon_add(&drawing, stem, 10, false);
    box_add(&drawing, 34, 9.6, 44, 13.8, false, 1);
    nw_bridged b = bridged_of(&drawing, NW_CUT_OUTSIDE, 3.175, 4, 1);
    ck_assert_uint_eq(b.count, 1);
    ck_assert_uint_eq(loose_of(&b.drawing, NW_CUT_OUTSIDE), 0);
    ck_assert_uint_eq(b.drawing.count, 1);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* Two strips that meet at an eye leave no wedge between them: the art is in two, and no more. */
START_TEST(strips_leave_no_wedge_at_an_eye)
{
    static const double panel[] = {0, 0, 60, 0, 30, 51.9615};
    nw_drawing drawing = {.width = 60, .height = 52};
    polygon_add(&drawing, panel, 3, false);
    double eye[2 * 90];
    for (int i = 0; i < 90; i++) {
        eye[2 * i] = 30 + 2 * cos(-i * PI / 45);
        eye[2 * i + 1] = 17.3205 + 2 * sin(-i * PI / 45);
    }
    polygon_add(&drawing, eye, 90, true);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 5, 2);
    ck_assert_uint_eq(b.count, 2);
    ck_assert_uint_eq(b.drawing.count, 2);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* Where nothing is said, an island that is longer than 60 mm or larger than 1500 mm² gets two
 * bridges, opposite one another about its centre, others one. */
START_TEST(large_islands_get_two)
{
    static const double sizes[][2] = {{30, 30}, {38, 38}, {59, 10}, {40, 40}, {61, 10}, {70, 10}};
    for (size_t i = 0; i < 6; i++) {
        double wide = sizes[i][0], high = sizes[i][1];
        nw_drawing drawing = {0};
        box_add(&drawing, 0, 0, 120, 100, false, 0);
        box_add(&drawing, 20, 20, 20 + wide, 20 + high, true, 0);
        nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 4, 0);
        ck_assert_uint_eq(b.count, i < 3 ? 1 : 2);
        ck_assert_uint_eq(b.loose, 0);
        if (b.count == 2) {
            double x = 20 + wide / 2, y = 20 + high / 2, feet[2][2];
            for (int k = 0; k < 2; k++) {
                const nw_bridge *one = &b.bridges[k];
                bool from =
                    hypot(one->from.x - x, one->from.y - y) < hypot(one->to.x - x, one->to.y - y);
                feet[k][0] = (from ? one->from.x : one->to.x) - x;
                feet[k][1] = (from ? one->from.y : one->to.y) - y;
            }
            double dot = feet[0][0] * feet[1][0] + feet[0][1] * feet[1][1];
            ck_assert_double_le(dot, -0.49 * hypot(feet[0][0], feet[0][1]) *
                                         hypot(feet[1][0], feet[1][1]));
        }
        nw_bridged_free(&b);
        nw_drawing_free(&drawing);
    }
}
END_TEST

/* Bridges are 0.1 to 100 mm wide, one or two for each piece. */
START_TEST(bridges_have_a_width)
{
    static const struct {
        double width;
        size_t each;
        nw_status status;
    } cases[] = {{0.1, 1, NW_OK},
                 {0.099, 1, NW_BAD_REQUEST},
                 {100, 2, NW_OK},
                 {100.1, 1, NW_BAD_REQUEST},
                 {3, 3, NW_BAD_REQUEST}};
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 60, 60, false, 0);
    box_add(&drawing, 20, 20, 40, 40, true, 0);
    nw_fit_options options = nw_fit_defaults();
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        nw_bridged b;
        nw_status status =
            nw_drawing_bridge(&drawing, &options, cases[i].width, cases[i].each, NULL, &b, NULL);
        ck_assert_int_eq(status, cases[i].status);
        nw_bridged_free(&b);
    }
    nw_drawing_free(&drawing);
}
END_TEST

/* Where a cross stands in a frame, and that in a panel, no bridge is at a corner, though all along
 * a wall they are as short: each stands in the middle of its wall, opposite another. */
START_TEST(bridges_stand_off_corners)
{
    static const double cross[] = {60, 30,  60, 60, 30,  60, 30,  90, 60, 90, 60, 120,
                                   90, 120, 90, 90, 120, 90, 120, 60, 90, 60, 90, 30};
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 150, 150, false, 0);
    polygon_add(&drawing, cross, 12, true);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 5, 0);
    ck_assert_uint_eq(b.count, 2);
    double middles[2][2];
    for (size_t i = 0; i < b.count; i++) {
        ck_assert_double_eq_tol(length_of(&b.bridges[i]), 30, 1e-9);
        ck_assert_uint_eq(b.bridges[i].reasons, 0);
        middles[i][0] = (b.bridges[i].from.x + b.bridges[i].to.x) / 2 - 75;
        middles[i][1] = (b.bridges[i].from.y + b.bridges[i].to.y) / 2 - 75;
        ck_assert_double_le(fmin(fabs(middles[i][0]), fabs(middles[i][1])), 0.35);
    }
    for (int k = 0; k < 2; k++)
        ck_assert_double_eq_tol(middles[0][k], -middles[1][k], 1e-6);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* Specks that the bit takes away are not held, and no bridge makes way for them. */
START_TEST(dust_is_in_nobodys_way)
{
    nw_drawing drawing = {0};
    box_add(&drawing, 0, 0, 60, 60, false, 0);
    box_add(&drawing, 10, 10, 40, 40, true, 0);
    for (int i = 0; i < 40; i++) {
        box_add(&drawing, 5, 10 + 0.75 * i, 5.2, 10.2 + 0.75 * i, true, 0);
        box_add(&drawing, 10 + 0.75 * i, 5, 10.2 + 0.75 * i, 5.2, true, 0);
    }
    ck_assert_uint_eq(loose_of(&drawing, NW_CUT_INSIDE), 1);
    nw_bridged b = bridged_of(&drawing, NW_CUT_INSIDE, 3.175, 4, 1);
    ck_assert_uint_eq(b.count, 1);
    ck_assert_uint_eq(b.loose, 0);
    ck_assert_double_eq_tol(length_of(&b.bridges[0]), 10, 1e-9);
    nw_bridged_free(&b);
    nw_drawing_free(&drawing);
}
END_TEST

/* Two discs within a part with teeth that carry no bridge: they are joined to one another, and
 * named once. Inside, where they are islands, they would fall out together, so nothing joins them.
 */
START_TEST(what_hangs_together_is_named_once)
{
    for (int cut = NW_CUT_INSIDE; cut <= NW_CUT_OUTSIDE; cut++) {
        bool outside = cut == NW_CUT_OUTSIDE;
        nw_drawing drawing = {.width = 100, .height = 100};
        if (outside)
            box_add(&drawing, 0, 0, 100, 100, false, 0);
        teeth_add(&drawing, outside);
        for (size_t k = 0; k < 2; k++)
            disc_add(&drawing, 40 + 20 * (double)k, 8, !outside, outside ? k + 1 : 0);
        nw_bridged b = bridged_of(&drawing, (nw_cut)cut, 1, 2, 1);
        ck_assert_uint_eq(b.count, outside ? 1 : 0);
        ck_assert_uint_eq(b.loose, outside ? 1 : 2);
        ck_assert_uint_eq(b.unheld[0].joined, outside ? 1 : 0);
        ck_assert_int_eq(b.unheld[0].reason, NW_UNHELD_CLOSES);
        ck_assert(!b.unheld[0].held);
        nw_bridged_free(&b);
        nw_drawing_free(&drawing);
    }
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
    ck_assert_double_eq_tol(nw_drawing_area(&b.drawing), 800 + 4 * 10, 1e-6);
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
    ck_assert_double_eq_tol(nw_drawing_area(&b.drawing), nw_drawing_area(&drawing) - 4 * (10 + 20),
                            1e-6);
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
    ck_assert_int_eq(nw_drawing_bridge(&drawing, &options, 0, 1, NULL, &b, NULL), NW_BAD_REQUEST);
    ck_assert_int_eq(nw_drawing_bridge(&drawing, &options, 3, 3, NULL, &b, NULL), NW_BAD_REQUEST);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {an_island_gets_as_many_as_asked,
                                  the_tree_is_the_shortest,
                                  a_bridge_to_a_round_island,
                                  a_bridge_between_leaning_walls,
                                  a_bridge_closes_no_passage,
                                  what_cannot_be_held_is_named,
                                  a_strip_has_footing_all_across,
                                  strips_go_on_over_small_islands,
                                  stock_becomes_no_thinner,
                                  a_bridge_leaves_no_new_spot,
                                  a_bridge_leaves_no_pocket,
                                  strips_leave_no_wedge_at_an_eye,
                                  large_islands_get_two,
                                  bridges_have_a_width,
                                  bridges_stand_off_corners,
                                  dust_is_in_nobodys_way,
                                  what_hangs_together_is_named_once,
                                  separate_parts_are_joined,
                                  nested_islands_are_told_apart,
                                  nothing_loose_needs_nothing,
                                  bridges_stand_where_somebody_wants_them,
                                  what_hangs_on_a_piece_does_not_hold_it,
                                  a_small_island_is_not_worth_a_large_bridge};
    return TESTS_RUN("change_bridges", tests);
}
