/* Flattening keeps its bound, crossings are found, and outlines nest. */
#include <geom/flattening.h>
#include <geom/geom.h>

#include "../tests.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

#define PI 3.141592653589793

static void add_path(nw_drawing *drawing, nw_path path)
{
    ck_assert(nw_drawing_add(drawing, &path));
}

static nw_path polygon(const double (*points)[2], size_t count)
{
    nw_path path = {.start = {points[0][0], points[0][1]}, .closed = true};
    for (size_t i = 1; i <= count; i++)
        ck_assert(nw_path_line(&path, (nw_point){points[i % count][0], points[i % count][1]}));
    return path;
}

static nw_path square(double x, double y, double size)
{
    return polygon((double[][2]){{x, y}, {x + size, y}, {x + size, y + size}, {x, y + size}}, 4);
}

static nw_path circle(nw_point centre, double radius)
{
    nw_path path = {.start = {centre.x + radius, centre.y}, .closed = true};
    nw_point left = {centre.x - radius, centre.y};
    ck_assert(nw_path_arc(&path, centre, left, false));
    ck_assert(nw_path_arc(&path, centre, path.start, false));
    return path;
}

static double segment_distance(nw_point p, nw_point a, nw_point b)
{
    double dx = b.x - a.x, dy = b.y - a.y;
    double t = ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy);
    t = fmin(1, fmax(0, t));
    return hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

static double ring_distance(const nw_region *region, nw_point p)
{
    double least = INFINITY;
    size_t n = region->starts[1];
    for (size_t i = 0; i < n; i++)
        least = fmin(least, segment_distance(p, region->points[i], region->points[(i + 1) % n]));
    return least;
}

START_TEST(chords_stay_within_flatness)
{
    const double flatnesses[] = {0.1, 0.01, NW_FLATNESS_MM};
    for (size_t f = 0; f < 3; f++) {
        nw_drawing drawing = {0};
        nw_path path = {.start = {0, 0}, .closed = true};
        nw_point a = {40, -20}, b = {60, 30}, to = {20, 35};
        ck_assert(nw_path_curve(&path, a, b, to));
        ck_assert(nw_path_arc(&path, (nw_point){20, 45}, (nw_point){20, 55}, true));
        ck_assert(nw_path_line(&path, (nw_point){-20, 55}));
        ck_assert(nw_path_line(&path, (nw_point){0, 0}));
        add_path(&drawing, path);
        nw_region region;
        ck_assert_int_eq(nw_drawing_flatten(&drawing, flatnesses[f], &region, NULL), NW_OK);
        for (int i = 0; i <= 1000; i++) {
            nw_point p = nw_curve_at((nw_point){0, 0}, a, b, to, i / 1000.0);
            double angle = -PI / 2 - PI * i / 1000.0;
            nw_point q = {20 + 10 * cos(angle), 45 + 10 * sin(angle)};
            ck_assert_double_le(ring_distance(&region, p), flatnesses[f]);
            ck_assert_double_le(ring_distance(&region, q), flatnesses[f]);
        }
        nw_region_free(&region);
        nw_drawing_free(&drawing);
    }
}
END_TEST

static size_t crossings_of(nw_drawing *drawing)
{
    nw_region region;
    size_t crossings;
    ck_assert_int_eq(nw_drawing_flatten_places(drawing, 0.01, 4, &region, NULL, &crossings, NULL),
                     NW_OK);
    nw_region_free(&region);
    nw_drawing_free(drawing);
    return crossings;
}

static size_t two(nw_path first, nw_path second)
{
    nw_drawing drawing = {0};
    add_path(&drawing, first);
    add_path(&drawing, second);
    return crossings_of(&drawing);
}

START_TEST(touching_is_no_crossing)
{
    ck_assert_uint_eq(two(square(0, 0, 10), square(20, 0, 10)), 0);
    ck_assert_uint_eq(two(square(0, 0, 10), square(10, 10, 5)), 0); /* corner to corner */
    const double wedge[][2] = {{10, 5}, {15, 2}, {15, 8}};          /* corner to edge */
    ck_assert_uint_eq(two(square(0, 0, 10), polygon(wedge, 3)), 0);
    const double within[][2] = {{10, 5}, {5, 8}, {5, 2}};
    ck_assert_uint_eq(two(square(0, 0, 10), polygon(within, 3)), 0);
    const double bow[][2] = {{0, 0}, {5, 5}, {10, 0}, {10, 10}, {5, 5}, {0, 10}};
    nw_drawing drawing = {0};
    add_path(&drawing, polygon(bow, 6));
    ck_assert_uint_eq(crossings_of(&drawing), 0);
}
END_TEST

START_TEST(crossings_are_found)
{
    ck_assert_uint_eq(two(square(0, 0, 10), square(5, 5, 10)), 2);
    const double eight[][2] = {{0, 0}, {10, 10}, {10, 0}, {0, 10}};
    nw_drawing drawing = {0};
    add_path(&drawing, polygon(eight, 4));
    ck_assert_uint_eq(crossings_of(&drawing), 1);
    /* Passing through at a vertex, and at two vertices in one place. */
    const double through[][2] = {{5, 5}, {10, 5}, {15, 5.5}, {15, 8}, {5, 8}};
    ck_assert_uint_gt(two(square(0, 0, 10), polygon(through, 5)), 1);
    const double corner[][2] = {{10, 10}, {12, 15}, {0, 15}, {2, 2}};
    ck_assert_uint_gt(two(square(0, 0, 10), polygon(corner, 4)), 0);
    /* Running together. */
    ck_assert_uint_gt(two(square(0, 0, 10), square(10, 2, 5)), 0);
    const double spike[][2] = {{0, 0}, {10, 0}, {5, 0}, {5, 5}};
    add_path(&drawing, polygon(spike, 4));
    ck_assert_uint_gt(crossings_of(&drawing), 0);
}
END_TEST

START_TEST(curves_that_nearly_touch_are_parted)
{
    /* Rings 1e-4 mm apart whose chords at 0.05 mm would cross, as they begin at other places. */
    nw_drawing drawing = {0};
    add_path(&drawing, circle((nw_point){0, 0}, 10));
    add_path(&drawing, circle((nw_point){0, 0}, 10.0001));
    ck_assert_int_eq(nw_drawing_place(&drawing, 1, 0, false, NULL), NW_OK);
    nw_path *outer = &drawing.paths[1];
    outer->start = (nw_point){outer->steps[0].a.x, outer->steps[0].a.y + 10.0001};
    outer->steps[0].to = (nw_point){outer->start.x, outer->steps[0].a.y - 10.0001};
    outer->steps[1].to = outer->start;
    nw_region region;
    size_t crossings;
    ck_assert_int_eq(nw_drawing_flatten_places(&drawing, 0.05, 4, &region, NULL, &crossings, NULL),
                     NW_OK);
    ck_assert_uint_eq(crossings, 0);
    nw_region_free(&region);
    nw_drawing_free(&drawing);
}
END_TEST

/* Areas of two overlapping squares, a figure of eight and a hole across an edge: by hand. */
START_TEST(crossings_are_taken_apart)
{
    nw_path hole = square(5, 2, 10), eight = {.start = {20, 0}, .closed = true};
    nw_path_reverse(&hole);
    ck_assert(nw_path_line(&eight, (nw_point){30, 10}) && nw_path_line(&eight, (nw_point){30, 0}) &&
              nw_path_line(&eight, (nw_point){20, 10}) && nw_path_line(&eight, eight.start));
    nw_path first[] = {square(0, 0, 10), square(0, 0, 10), eight};
    nw_path second[] = {square(4, 4, 10), hole, square(20, 20, 1)};
    const double areas[] = {164, 60, 26};
    for (int i = 0; i < 3; i++) {
        nw_drawing drawing = {0};
        add_path(&drawing, first[i]);
        add_path(&drawing, second[i]);
        nw_region region;
        size_t crossings;
        ck_assert_int_eq(nw_drawing_flatten(&drawing, 0.01, &region, NULL), NW_OK);
        ck_assert_double_eq_tol(nw_region_area(&region), areas[i], 1e-9);
        nw_region_free(&region);
        ck_assert_int_eq(nw_drawing_uncross(&drawing, 0.01, &crossings, NULL), NW_OK);
        ck_assert_uint_eq(crossings, 0);
        ck_assert_int_eq(nw_drawing_nest(&drawing, 0.01, true, NULL), NW_OK);
        ck_assert_int_eq(
            nw_drawing_flatten_places(&drawing, 0.01, 4, &region, NULL, &crossings, NULL), NW_OK);
        ck_assert_uint_eq(crossings, 0);
        ck_assert_double_eq_tol(nw_region_area(&region), areas[i], 1e-9);
        nw_region_free(&region);
        nw_drawing_free(&drawing);
    }
}
END_TEST

/* Two sides cross by a hair at the corner where they meet: what is smaller than chords can tell
 * stays away. */
START_TEST(crossings_leave_no_specks)
{
    const double flatness[] = {0.01, 0.001};
    const size_t outlines[] = {1, 2};
    for (int i = 0; i < 2; i++) {
        nw_path path = {.start = {-0.004, 0}, .closed = true};
        ck_assert(nw_path_line(&path, (nw_point){10, 0}) &&
                  nw_path_line(&path, (nw_point){10, 10}) &&
                  nw_path_line(&path, (nw_point){0, 10}) &&
                  nw_path_line(&path, (nw_point){0, -0.003}) && nw_path_line(&path, path.start));
        nw_drawing drawing = {0};
        add_path(&drawing, path);
        size_t crossings;
        ck_assert_int_eq(nw_drawing_uncross(&drawing, flatness[i], &crossings, NULL), NW_OK);
        ck_assert_uint_eq(crossings, 0);
        ck_assert_uint_eq(drawing.count, outlines[i]);
        nw_drawing_free(&drawing);
    }
}
END_TEST

static double random_place(unsigned *seed, double size)
{
    *seed = *seed * 1103515245u + 12345u;
    return size * (double)(*seed >> 16 & 0x7fff) / 32768;
}

/* After the first round only chords near those that became finer are looked at: as many crossings
 * are told as all chords have. */
START_TEST(crossings_are_told_after_every_round)
{
    unsigned seed = 1;
    size_t told = 0, fewer = 0;
    for (int turn = 0; turn < 60; turn++) {
        nw_drawing drawing = {0};
        for (int k = 0; k < 1000 * (turn % 2); k++) /* where few cross, not all are looked at */
            add_path(&drawing, circle((nw_point){-3 - 3 * (k % 30), 3 * (k / 30)}, 1));
        for (int k = 0; k < 30; k++) {
            nw_point from = {random_place(&seed, 18), random_place(&seed, 18)}, p[5];
            nw_path path = {.start = from, .closed = true};
            for (int i = 0; i < 5; i++)
                p[i] = nw_plus(from, (nw_point){random_place(&seed, 4), random_place(&seed, 4)}, 1);
            ck_assert(nw_path_curve(&path, p[0], p[1], p[2]));
            ck_assert(nw_path_curve(&path, p[3], p[4], from));
            add_path(&drawing, path);
        }
        size_t before = SIZE_MAX;
        for (int rounds = 1; rounds <= 4; rounds++) {
            nw_region region;
            nw_segment_tree tree;
            size_t count;
            ck_assert_int_eq(
                nw_drawing_flatten_places(&drawing, 0.2, rounds, &region, NULL, &count, NULL),
                NW_OK);
            ck_assert(nw_segment_tree_make(&tree, &region));
            ck_assert_uint_eq(count, nw_crossings_find(&tree, &region, NULL, NULL));
            told += count;
            fewer += count < before && rounds > 1;
            before = count;
            nw_segment_tree_free(&tree);
            nw_region_free(&region);
        }
        nw_drawing_free(&drawing);
    }
    ck_assert_uint_gt(told, 0);
    ck_assert_uint_gt(fewer, 0);
}
END_TEST

START_TEST(outlines_nest_whatever_their_order)
{
    /* A frame round an island that has a hole with one more island in it, a small square beside
     * that, and two squares outside. */
    nw_path paths[] = {square(40, 40, 5),    square(30, 30, 40), square(0, 0, 100),
                       square(10, 10, 80),   square(200, 0, 20), square(12, 12, 10),
                       square(105, 105, 30), square(35, 35, 20)};
    const size_t pieces[] = {5, 1, 0, 0, 3, 4, 2, 1};
    const bool holes[] = {false, false, false, true, false, false, false, true};
    for (int shuffle = 0; shuffle < 3; shuffle++) {
        nw_drawing drawing = {0};
        for (size_t i = 0; i < 8; i++) {
            size_t k = (i * (shuffle == 0 ? 1 : shuffle == 1 ? 3 : 5) + (size_t)shuffle) % 8;
            nw_path copy = polygon((double[][2]){{paths[k].start.x, paths[k].start.y},
                                                 {paths[k].steps[0].to.x, paths[k].steps[0].to.y},
                                                 {paths[k].steps[1].to.x, paths[k].steps[1].to.y},
                                                 {paths[k].steps[2].to.x, paths[k].steps[2].to.y}},
                                   4);
            if (holes[k])
                nw_path_reverse(&copy);
            add_path(&drawing, copy);
        }
        ck_assert_int_eq(nw_drawing_nest(&drawing, 0.01, true, NULL), NW_OK);
        ck_assert_uint_eq(drawing.count, 8);
        for (size_t i = 0; i < 8; i++) {
            const nw_path *path = &drawing.paths[i];
            nw_box box = nw_path_box(path);
            size_t k = 0;
            while (paths[k].start.x != box.min.x || paths[k].start.y != box.min.y ||
                   paths[k].steps[0].to.x != box.max.x)
                k++;
            ck_assert_uint_eq(path->piece, pieces[k]);
            ck_assert_int_eq(path->hole, holes[k]);
            ck_assert((nw_path_area(path) < 0) == path->hole);
            ck_assert(!i || path->piece >= drawing.paths[i - 1].piece);
        }
        nw_drawing_free(&drawing);
    }
    for (size_t i = 0; i < 8; i++)
        nw_path_free(&paths[i]);
}
END_TEST

START_TEST(deep_nests_and_wide_fields)
{
    nw_drawing drawing = {0};
    for (int i = 0; i < 300; i++) {
        add_path(&drawing, square(i, i, 1000 - 2 * i));
        if (i % 2)
            nw_path_reverse(&drawing.paths[i]);
    }
    for (int i = 0; i < 20000; i++)
        add_path(&drawing, square(2000 + 3 * (i % 200), 3 * (i / 200), 2));
    ck_assert_int_eq(nw_drawing_nest(&drawing, 0.01, true, NULL), NW_OK);
    ck_assert_uint_eq(drawing.paths[drawing.count - 1].piece, 20149);
    ck_assert(drawing.paths[1].hole && !drawing.paths[0].hole);
    nw_drawing_free(&drawing);
}
END_TEST

/* Two squares, and a hole in one of them. */
START_TEST(rings_are_counted)
{
    nw_point points[] = {{0, 0}, {9, 0}, {9, 9}, {0, 9},  {2, 2},   {2, 4},
                         {4, 4}, {4, 2}, {9, 9}, {12, 9}, {12, 12}, {9, 12}};
    size_t starts[] = {0, 4, 8, 12}, pieces = 7, holes = 7;
    nw_region region = {.points = points, .starts = starts, .count = 3};
    nw_region_count_rings(&region, &pieces, &holes);
    ck_assert_uint_eq(pieces, 2);
    ck_assert_uint_eq(holes, 1);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {chords_stay_within_flatness,
                                  rings_are_counted,
                                  touching_is_no_crossing,
                                  crossings_are_found,
                                  curves_that_nearly_touch_are_parted,
                                  crossings_are_taken_apart,
                                  crossings_leave_no_specks,
                                  crossings_are_told_after_every_round,
                                  outlines_nest_whatever_their_order,
                                  deep_nests_and_wide_fields};
    return TESTS_RUN("geom_flatten", tests);
}
