/* Paths, their boxes and areas, and drawings turned, mirrored and scaled. */
#include <geom/geom.h>

#include "../tests.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.141592653589793

static nw_path ring_of_arcs(nw_point centre, double radius, bool clockwise)
{
    nw_path path = {.start = {centre.x + radius, centre.y}, .closed = true, .hole = clockwise};
    nw_point left = {centre.x - radius, centre.y};
    ck_assert(nw_path_arc(&path, centre, left, clockwise));
    ck_assert(nw_path_arc(&path, centre, path.start, clockwise));
    return path;
}

/* A leaf of one line and one curve, not symmetric. */
static nw_path leaf(void)
{
    nw_path path = {.start = {1, 2}, .closed = true};
    ck_assert(nw_path_line(&path, (nw_point){4, 2}));
    ck_assert(nw_path_curve(&path, (nw_point){5, 6}, (nw_point){0, 5}, (nw_point){1, 2}));
    return path;
}

static nw_drawing ring_and_leaf(void)
{
    nw_drawing drawing = {0};
    nw_path paths[] = {ring_of_arcs((nw_point){10, 10}, 6, false),
                       ring_of_arcs((nw_point){10, 10}, 4, true), leaf()};
    for (size_t i = 0; i < 3; i++)
        ck_assert(nw_drawing_add(&drawing, &paths[i]));
    return drawing;
}

START_TEST(areas_are_exact)
{
    nw_drawing drawing = ring_and_leaf();
    /* Ring 12/8: 62.83 (Machinery's Handbook, 31st ed., p. 79). */
    ck_assert_double_eq_tol(nw_path_area(&drawing.paths[0]) + nw_path_area(&drawing.paths[1]),
                            20 * PI, 1e-9);
    /* The leaf's area against a fine polygon. */
    double twice = 0;
    nw_point last = {4, 2};
    for (int i = 1; i <= 100000; i++) {
        nw_point p = nw_curve_at((nw_point){4, 2}, (nw_point){5, 6}, (nw_point){0, 5},
                                 (nw_point){1, 2}, i / 100000.0);
        twice += (last.x - 1) * (p.y - 2) - (last.y - 2) * (p.x - 1);
        last = p;
    }
    ck_assert_double_eq_tol(nw_path_area(&drawing.paths[2]), twice / 2, 1e-8);
    nw_drawing_free(&drawing);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(boxes_hold_curves_and_arcs)
{
    nw_path path = leaf();
    nw_box box = nw_path_box(&path);
    nw_point low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};
    for (int i = 0; i <= 100000; i++) {
        nw_point p = nw_curve_at((nw_point){4, 2}, (nw_point){5, 6}, (nw_point){0, 5},
                                 (nw_point){1, 2}, i / 100000.0);
        low = (nw_point){fmin(low.x, p.x), fmin(low.y, p.y)};
        high = (nw_point){fmax(high.x, p.x), fmax(high.y, p.y)};
    }
    ck_assert_double_eq_tol(box.min.x, low.x, 1e-8);
    ck_assert_double_eq_tol(box.min.y, low.y, 1e-8);
    ck_assert_double_eq_tol(box.max.x, high.x, 1e-8);
    ck_assert_double_eq_tol(box.max.y, high.y, 1e-8);
    nw_path_free(&path);

    nw_path arc = {.start = {0, 5}};
    ck_assert(nw_path_arc(&arc, (nw_point){0, 0}, (nw_point){4, -3}, true));
    box = nw_path_box(&arc);
    ck_assert_double_eq_tol(box.min.x, 0, 1e-12);
    ck_assert_double_eq_tol(box.max.x, 5, 1e-12);
    ck_assert_double_eq_tol(box.min.y, -3, 1e-12);
    ck_assert_double_eq_tol(box.max.y, 5, 1e-12);
    nw_path_free(&arc);
}
END_TEST

START_TEST(placing_keeps_shape_and_sense)
{
    const double turns[] = {0, 90, -90, 180, 33, 400};
    for (size_t i = 0; i < sizeof turns / sizeof *turns; i++) {
        for (int mirror = 0; mirror < 2; mirror++) {
            nw_drawing drawing = ring_and_leaf();
            double area = nw_drawing_area(&drawing);
            ck_assert_int_eq(nw_drawing_place(&drawing, 2, turns[i], mirror, NULL), NW_OK);
            ck_assert_double_eq_tol(nw_drawing_area(&drawing), 4 * area, 1e-9);
            ck_assert_double_lt(nw_path_area(&drawing.paths[1]), 0);
            nw_box box = nw_drawing_box(&drawing);
            ck_assert_double_eq_tol(box.min.x, 0, 1e-9);
            ck_assert_double_eq_tol(box.min.y, 0, 1e-9);
            ck_assert_double_eq_tol(box.max.x, drawing.width, 1e-9);
            ck_assert_double_eq_tol(box.max.y, drawing.height, 1e-9);
            const nw_path *path = &drawing.paths[2];
            ck_assert_double_eq_tol(path->steps[path->count - 1].to.x, path->start.x, 1e-12);
            nw_drawing_free(&drawing);
        }
    }
}
END_TEST

START_TEST(quarter_turns_and_mirrors_go_the_right_way)
{
    nw_drawing drawing = {0};
    nw_path path = {.start = {0, 0}, .closed = true};
    ck_assert(nw_path_line(&path, (nw_point){4, 0}));
    ck_assert(nw_path_line(&path, (nw_point){4, 1}));
    ck_assert(nw_path_line(&path, (nw_point){0, 0}));
    ck_assert(nw_drawing_add(&drawing, &path));
    ck_assert_int_eq(nw_drawing_place(&drawing, 1, 90, false, NULL), NW_OK);
    /* Counter-clockwise: what pointed right points up now. */
    ck_assert_double_eq(drawing.paths[0].start.x, 1);
    ck_assert_double_eq(drawing.paths[0].start.y, 0);
    ck_assert_double_eq(drawing.paths[0].steps[0].to.x, 1);
    ck_assert_double_eq(drawing.paths[0].steps[0].to.y, 4);
    ck_assert_int_eq(nw_drawing_place(&drawing, 1, 0, true, NULL), NW_OK);
    ck_assert_double_eq(drawing.paths[0].start.x, 0);
    ck_assert_double_gt(nw_path_area(&drawing.paths[0]), 0);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(bad_sizes_are_refused)
{
    nw_drawing drawing = ring_and_leaf();
    const double factors[] = {0, -1, NAN, INFINITY, 1e30};
    for (size_t i = 0; i < sizeof factors / sizeof *factors; i++) {
        nw_error error;
        ck_assert_int_eq(nw_drawing_place(&drawing, factors[i], 0, false, &error), NW_BAD_REQUEST);
        ck_assert_uint_gt(strlen(error.message), 10);
    }
    ck_assert_int_eq(nw_drawing_place(&drawing, 1, NAN, false, NULL), NW_BAD_REQUEST);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(copies_are_independent)
{
    nw_drawing drawing = ring_and_leaf(), copy;
    ck_assert_int_eq(nw_drawing_copy(&drawing, &copy, NULL), NW_OK);
    ck_assert_int_eq(nw_drawing_place(&copy, 3, 10, true, NULL), NW_OK);
    nw_drawing fresh = ring_and_leaf();
    ck_assert_double_eq(nw_drawing_area(&drawing), nw_drawing_area(&fresh));
    nw_drawing_free(&drawing);
    nw_drawing_free(&fresh);
    ck_assert_uint_eq(copy.count, 3);
    nw_drawing_free(&copy);
}
END_TEST

static void add_ring(nw_region_builder *builder, size_t piece, const double (*points)[2],
                     size_t count)
{
    ck_assert(nw_region_begin_ring(builder, piece));
    for (size_t i = 0; i < count; i++)
        ck_assert(nw_region_add_point(builder, (nw_point){points[i][0], points[i][1]}));
    nw_region_end_ring(builder);
}

START_TEST(regions_drop_repeated_points_and_empty_rings)
{
    nw_region_builder builder = {0};
    add_ring(&builder, 0, (double[][2]){{0, 0}, {1e-8, 0}, {2, 0}, {0, 2}, {0, 1e-8}}, 5);
    add_ring(&builder, 1, (double[][2]){{5, 5}, {6, 6}, {5, 5 + 1e-9}}, 3);
    add_ring(&builder, 2, (double[][2]){{5, 5}, {6, 5}, {5, 6}}, 3);
    nw_region *region = &builder.region;
    ck_assert_uint_eq(region->count, 2);
    ck_assert_uint_eq(region->starts[0], 0);
    ck_assert_uint_eq(region->starts[1], 3);
    ck_assert_uint_eq(region->starts[2], 6);
    ck_assert_uint_eq(region->pieces[1], 2);
    ck_assert_double_eq_tol(nw_region_area(region), 2.5, 1e-12);
    nw_region_free(region);
    nw_region_free(region);
    nw_region_free(NULL);
}
END_TEST

START_TEST(extents_are_exact_however_turned)
{
    for (int turn = 0; turn < 360; turn += 7) {
        double c = cos(turn * PI / 180), s = sin(turn * PI / 180);
        const nw_point at[] = {{0, 0}, {1, 1}, {4, 0}, {4, 3}, {2, 1}, {0, 3}, {0, 1.5}, {0, 0}};
        nw_point points[8];
        size_t corners;
        for (int i = 0; i < 8; i++)
            points[i] = (nw_point){c * at[i].x - s * at[i].y, s * at[i].x + c * at[i].y};
        nw_point *hull = nw_hull_make(points, 8, &corners);
        ck_assert_double_eq_tol(nw_hull_across(hull, corners), 5, 1e-12);
        free(hull);
        hull = nw_hull_make(points, 2, &corners);
        ck_assert_uint_eq(corners, 2);
        ck_assert_double_eq_tol(nw_hull_across(hull, corners), sqrt(2), 1e-12);
        free(hull);
        hull = nw_hull_make(points, 0, &corners);
        ck_assert(hull && corners == 0 && nw_hull_across(hull, corners) == 0);
        free(hull);
    }
}
END_TEST

/* Chords 1 mm long of an edge that bends by a ten-thousandth a millimetre, as a curve that runs
 * unevenly is flattened: no lines of the drawing, but one slight curve. */
START_TEST(slight_curves_take_few_arcs)
{
    const double bend = 1e-4;
    nw_drawing made = {0}, few;
    nw_path path = {.start = {0, 0}, .closed = true};
    for (int x = 1; x <= 120; x++)
        ck_assert(nw_path_line(&path, (nw_point){x, bend * x * x / 2}));
    ck_assert(nw_path_line(&path, (nw_point){120, 40}));
    ck_assert(nw_path_line(&path, (nw_point){0, 40}));
    ck_assert(nw_path_line(&path, path.start));
    ck_assert(nw_drawing_add(&made, &path));
    ck_assert_int_eq(nw_drawing_few_arcs(&made, &few, NULL), NW_OK);
    ck_assert_uint_eq(few.count, 1);
    ck_assert_uint_le(few.paths[0].count, 12);
    for (size_t k = 0; k < few.paths[0].count; k++) {
        nw_point at = few.paths[0].steps[k].to;
        ck_assert(at.y > 39 || fabs(at.y - bend * at.x * at.x / 2) < 0.005);
    }
    ck_assert_double_eq_tol(nw_drawing_area(&few), 120 * 40 - bend * pow(120, 3) / 6, 0.005 * 120);
    nw_drawing_free(&few);
    nw_drawing_free(&made);
}
END_TEST

/* Chords that flatten into an arc of the bit, the last of them shorter than the arc would have to
 * reach back to run on smoothly: the way never turns back. */
START_TEST(few_arcs_never_turn_back)
{
    static const nw_point chords[] = {
        {2.473527, 9.659166}, {2.497515, 9.708829}, {2.526813, 9.752038}, {2.561953, 9.788955},
        {2.603466, 9.819744}, {2.651883, 9.844569}, {2.707736, 9.863593}, {2.771555, 9.876979},
        {2.843871, 9.884891}, {2.925215, 9.887492}};
    nw_drawing made = {0}, few;
    nw_path path = {.start = chords[0], .closed = true};
    for (size_t i = 1; i < sizeof chords / sizeof *chords; i++)
        ck_assert(nw_path_line(&path, chords[i]));
    nw_point end = {3.253919, 9.908739};
    ck_assert(nw_path_arc(&path, (nw_point){2.8852, 13.05974}, end, false));
    ck_assert(nw_path_line(&path, (nw_point){end.x, 14}));
    ck_assert(nw_path_line(&path, (nw_point){chords[0].x, 14}));
    ck_assert(nw_path_line(&path, path.start));
    ck_assert(nw_drawing_add(&made, &path));
    ck_assert_int_eq(nw_drawing_few_arcs(&made, &few, NULL), NW_OK);
    ck_assert_uint_eq(few.count, 1);
    nw_point from = few.paths[0].start;
    for (size_t k = 0; k < few.paths[0].count; k++) {
        nw_point to = few.paths[0].steps[k].to;
        if (from.y < 10 && to.y < 10)
            ck_assert_double_gt(to.x, from.x);
        from = to;
    }
    nw_drawing_free(&few);
    nw_drawing_free(&made);
}
END_TEST

/* A line, or an arc where it has a centre; all of these are clockwise. */
typedef struct {
    nw_point to, centre;
} made_step;

#define PARTS 8

/* In few arcs all of a closed path is within 0.005 mm. */
static void few_arcs_hold(const made_step *steps, size_t count)
{
    nw_drawing made = {0}, few;
    nw_path path = {.start = steps[count - 1].to, .closed = true};
    for (size_t k = 0; k < count; k++)
        ck_assert(steps[k].centre.x > 0 ? nw_path_arc(&path, steps[k].centre, steps[k].to, true)
                                        : nw_path_line(&path, steps[k].to));
    ck_assert(nw_drawing_add(&made, &path));
    ck_assert_int_eq(nw_drawing_few_arcs(&made, &few, NULL), NW_OK);
    nw_region region;
    ck_assert_int_eq(nw_drawing_flatten(&few, 1e-4, &region, NULL), NW_OK);
    for (size_t k = 0; k < count; k++) {
        for (int part = 1; part <= PARTS; part++) {
            double off = INFINITY;
            nw_point from = nw_path_from(&made.paths[0], k);
            nw_point at = nw_step_at(from, &made.paths[0].steps[k], (double)part / PARTS);
            for (size_t i = 0, points = region.starts[1]; i < points; i++)
                off = fmin(off, nw_segment_distance(region.points[i],
                                                    region.points[(i + 1) % points], at));
            ck_assert_double_le(off, 0.005);
        }
    }
    nw_region_free(&region);
    nw_drawing_free(&few);
    nw_drawing_free(&made);
}

/* An arc of the bit between a chord and what is left of another one, which is shorter than the arc:
 * its ends are places of the outline, not the middle of a turn from chord to chord. */
START_TEST(few_arcs_keep_an_arc_beside_a_crumb)
{
    static const made_step steps[] = {{{80.450343, 85.573953}, {0, 0}},
                                      {{80.483116, 85.560992}, {79.88385, 84.09364}},
                                      {{80.946920, 85.371575}, {0, 0}},
                                      {{81.250961, 85.247445}, {0, 0}},
                                      {{81.411618, 85.171073}, {80.65186, 83.78003}},
                                      {{81.423086, 85.164809}, {0, 0}},
                                      {{81.818108, 84.984169}, {0, 0}},
                                      {{81.851651, 84.968353}, {81.15895, 83.54273}},
                                      {{82.294182, 84.753331}, {0, 0}},
                                      {{82.328058, 84.736368}, {81.60148, 83.32771}},
                                      {{82.766804, 84.510067}, {0, 0}},
                                      {{82.800913, 84.491944}, {82.04023, 83.10141}},
                                      {{83.235773, 84.254057}, {0, 0}},
                                      {{83.2, 80}, {0, 0}},
                                      {{80, 80}, {0, 0}},
                                      {{79.983007, 85.752795}, {0, 0}}};
    few_arcs_hold(steps, sizeof steps / sizeof *steps);
}
END_TEST

/* An arc of the bit that is a little shorter than the chords beside it, and bulges by more than a
 * chord leaves its curve. */
START_TEST(few_arcs_keep_an_arc_between_chords)
{
    static const made_step steps[] = {{{76.530583, 27.151751}, {0, 0}},
                                      {{76.713535, 26.852214}, {0, 0}},
                                      {{76.936741, 26.508817}, {0, 0}},
                                      {{77.166254, 26.178173}, {0, 0}},
                                      {{77.402938, 25.858207}, {0, 0}},
                                      {{77.660905, 25.530328}, {0, 0}},
                                      {{77.766735, 25.378314}, {76.415232, 24.550263}},
                                      {{77.869830, 25.210048}, {0, 0}},
                                      {{78.127965, 24.986734}, {76.967930, 23.906665}},
                                      {{78.326314, 24.773700}, {0, 0}},
                                      {{78.513788, 24.580598}, {0, 0}},
                                      {{78.802383, 24.298101}, {0, 0}},
                                      {{70, 24}, {0, 0}},
                                      {{76.351877, 27.461758}, {0, 0}}};
    few_arcs_hold(steps, sizeof steps / sizeof *steps);
}
END_TEST

/* The way of a bit that fits into a hole by less than a ten-thousandth of a millimetre. */
START_TEST(few_arcs_keep_a_place_to_plunge_at)
{
    nw_drawing made = {0}, few;
    nw_path path = {.start = {18.25, 5.09}, .closed = true};
    ck_assert(nw_path_line(&path, (nw_point){18.25004, 5.08998}) &&
              nw_path_line(&path, (nw_point){18.25007, 5.08997}) &&
              nw_path_line(&path, path.start) && nw_drawing_add(&made, &path));
    ck_assert_int_eq(nw_drawing_few_arcs(&made, &few, NULL), NW_OK);
    ck_assert_uint_eq(few.count, 1);
    nw_drawing_free(&few);
    nw_drawing_free(&made);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {areas_are_exact,
                                  boxes_hold_curves_and_arcs,
                                  placing_keeps_shape_and_sense,
                                  quarter_turns_and_mirrors_go_the_right_way,
                                  bad_sizes_are_refused,
                                  copies_are_independent,
                                  regions_drop_repeated_points_and_empty_rings,
                                  slight_curves_take_few_arcs,
                                  few_arcs_never_turn_back,
                                  few_arcs_keep_an_arc_beside_a_crumb,
                                  few_arcs_keep_an_arc_between_chords,
                                  few_arcs_keep_a_place_to_plunge_at,
                                  extents_are_exact_however_turned};
    return TESTS_RUN("geom_path", tests);
}
