/* Known shapes, drawn pixel by pixel, traced. */
#include <trace/trace.h>

#include "../tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.141592653589793

typedef bool (*shape)(double x, double y);

/* Ink where the shape holds the pixel's middle; y down. */
static nw_ink ink_of(shape holds, uint32_t width, uint32_t height)
{
    nw_ink ink = {.width = width, .height = height, .stride = (width + 63) / 64};
    ink.words = nw_alloc(ink.stride * height, sizeof *ink.words);
    ck_assert_ptr_nonnull(ink.words);
    for (uint32_t y = 0; y < height; y++) {
        for (uint32_t x = 0; x < width; x++)
            if (holds(x + 0.5, y + 0.5))
                ink.words[y * ink.stride + x / 64] |= 1ull << (63 - x % 64);
    }
    return ink;
}

static nw_drawing traced(shape holds, uint32_t width, uint32_t height, nw_trace_notes *notes)
{
    nw_ink ink = ink_of(holds, width, height);
    nw_drawing drawing;
    nw_error error;
    nw_trace_options options = nw_trace_defaults();
    ck_assert_msg(nw_drawing_trace(&ink, NULL, &options, &drawing, notes, &error) == NW_OK, "%s",
                  error.message);
    free(ink.words);
    return drawing;
}

/* A traced boundary lies within sqrt(2)/2 pixel of the true one (Lachaud and Thibert, J. Math.
 * Imaging and Vision 54(2):162-180, 2016), so an area is within that times the perimeter. */
static void expect_area(const nw_drawing *drawing, double area, double perimeter)
{
    ck_assert_double_eq_tol(nw_drawing_area(drawing), area, perimeter * sqrt(2) / 2);
}

static bool square(double x, double y)
{
    return x > 10 && x < 90 && y > 20 && y < 100;
}

START_TEST(a_square)
{
    nw_trace_notes notes;
    nw_drawing drawing = traced(square, 150, 130, &notes);
    ck_assert_uint_eq(drawing.count, 1);
    expect_area(&drawing, 6400, 320);
    ck_assert_double_eq_tol(drawing.width, 80, 1e-6);
    ck_assert_double_eq_tol(drawing.height, 80, 1e-6);
    ck_assert_double_lt(notes.largest_px, 0.8);
    nw_drawing_free(&drawing);
}
END_TEST

static void move_by(nw_drawing *drawing, nw_point by)
{
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        path->start = (nw_point){path->start.x + by.x, path->start.y + by.y};
        for (size_t k = 0; k < path->count; k++) {
            nw_point *places[] = {&path->steps[k].a, &path->steps[k].b, &path->steps[k].to};
            for (int j = 0; j < 3; j++)
                *places[j] = (nw_point){places[j]->x + by.x, places[j]->y + by.y};
        }
    }
}

static bool disc(double x, double y)
{
    return hypot(x - 101.3, y - 100.2) < 90.7;
}

START_TEST(a_disc)
{
    nw_trace_notes notes;
    nw_drawing drawing = traced(disc, 200, 200, &notes);
    ck_assert_uint_eq(drawing.count, 1);
    expect_area(&drawing, PI * 90.7 * 90.7, 2 * PI * 90.7);
    nw_region region;
    move_by(&drawing, (nw_point){-drawing.placed.e, -drawing.placed.f});
    ck_assert_int_eq(nw_drawing_flatten(&drawing, 0.01, &region, NULL), NW_OK);
    for (size_t i = 0; i < region.starts[1]; i++) {
        double radius = hypot(region.points[i].x - 101.3, region.points[i].y - (200 - 100.2));
        ck_assert_double_eq_tol(radius, 90.7, 0.35);
    }
    ck_assert_uint_le(drawing.paths[0].count, 10);
    ck_assert_double_lt(notes.largest_px, 1);
    ck_assert(!notes.too_rough);
    nw_region_free(&region);
    nw_drawing_free(&drawing);
}
END_TEST

/* How far outlines of a disc of radius 990.4 px leave it, in a square picture of so many pixels to
 * a side: from its levels of grey, as its pixels are covered, or from its ink alone. */
static double disc_error(uint32_t side, bool grey)
{
    const double radius = 990.4, cx = side / 2.0 + 0.3, cy = side / 2.0 - 0.2;
    uint8_t *density = malloc((size_t)side * side);
    ck_assert_ptr_nonnull(density);
    for (uint32_t y = 0; y < side; y++) {
        for (uint32_t x = 0; x < side; x++) {
            double inside = radius - hypot(x + 0.5 - cx, side - y - 0.5 - cy) + 0.5;
            double cover = grey ? fmin(1, fmax(0, inside)) : inside > 0.5;
            density[(size_t)y * side + x] = (uint8_t)lrint(255 * cover);
        }
    }
    nw_picture picture = {.width = side, .height = side, .density = density};
    nw_ink ink;
    ck_assert_int_eq(nw_ink_from_picture(&picture, &ink, NULL), NW_OK);
    nw_trace_options options = nw_trace_defaults();
    nw_trace_notes notes;
    nw_drawing drawing;
    nw_region region;
    ck_assert_int_eq(nw_drawing_trace(&ink, &picture, &options, &drawing, &notes, NULL), NW_OK);
    ck_assert(notes.grey == grey && !notes.too_rough);
    move_by(&drawing, (nw_point){-drawing.placed.e, -drawing.placed.f});
    ck_assert_int_eq(nw_drawing_flatten(&drawing, 0.01, &region, NULL), NW_OK);
    double most = 0;
    for (size_t i = 0; i < region.starts[region.count]; i++)
        most = fmax(most, fabs(hypot(region.points[i].x - cx, region.points[i].y - cy) - radius));
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    nw_ink_free(&ink);
    free(density);
    return most;
}

/* Above 4 megapixels outlines are as exact as below. */
START_TEST(large_pictures_are_traced_as_well)
{
    const double most[] = {0.5, 0.12};
    for (int grey = 0; grey < 2; grey++) {
        double below = disc_error(1999, grey), above = disc_error(2001, grey);
        ck_assert_double_le(below, most[grey]);
        ck_assert_double_eq_tol(above, below, 1e-6);
    }
}
END_TEST

/* Half the angle of a wedge with its point at (150, 60.3). */
static double wedge_half;

static bool wedge(double x, double y)
{
    return x > 20 && fabs(y - 60.3) < (150 - x) * tan(wedge_half);
}

/* Of densities in rows from the top. */
static nw_drawing density_traced(uint8_t *density, uint32_t width, uint32_t height,
                                 nw_trace_notes *notes)
{
    nw_picture picture = {.width = width, .height = height, .density = density};
    nw_ink ink;
    ck_assert_int_eq(nw_ink_from_picture(&picture, &ink, NULL), NW_OK);
    nw_trace_options options = nw_trace_defaults();
    nw_drawing drawing;
    ck_assert_int_eq(nw_drawing_trace(&ink, &picture, &options, &drawing, notes, NULL), NW_OK);
    nw_ink_free(&ink);
    return drawing;
}

/* Covers 64 places of each of 160 x 120 pixels and traces by the grey levels; last: the last column
 * of ink. */
static nw_drawing grey_traced(shape holds, nw_trace_notes *notes, uint32_t *last)
{
    static uint8_t density[160 * 120];
    *last = 0;
    for (uint32_t k = 0; k < 160 * 120; k++) {
        int inside = 0;
        for (int i = 0; i < 64; i++)
            inside += holds(k % 160 + (i % 8 + 0.5) / 8, k / 160 + (i / 8 + 0.5) / 8);
        density[k] = (uint8_t)(inside * 255 / 64);
        *last = density[k] >= 128 && k % 160 > *last ? k % 160 : *last;
    }
    nw_drawing drawing = density_traced(density, 160, 120, notes);
    ck_assert(notes->grey);
    return drawing;
}

static nw_drawing wedge_traced(double half, nw_trace_notes *notes, uint32_t *last)
{
    wedge_half = half;
    return grey_traced(wedge, notes, last);
}

/* How many outlines round less than a pixel a block has with a slanting needle of paper in it,
 * whose end falls apart. */
static size_t needle_crumbs(double slant, double least_px)
{
    static uint8_t density[120 * 120];
    for (uint32_t k = 0; k < 120 * 120; k++) {
        int ink = 0;
        for (int i = 0; i < 256; i++) {
            double x = k % 120 + (i % 16 + 0.5) / 16 - 60, y = k / 120 + (i / 16 + 0.5) / 16 - 60;
            double u = x * cos(slant) + y * sin(slant), v = y * cos(slant) - x * sin(slant);
            ink += fabs(x) < 50 && fabs(y) < 50 && !(u > -60 && fabs(v) < (45 - u) * 0.03);
        }
        density[k] = (uint8_t)(ink * 255 / 256);
    }
    nw_picture picture = {.width = 120, .height = 120, .density = density};
    nw_ink ink;
    ck_assert_int_eq(nw_ink_from_picture(&picture, &ink, NULL), NW_OK);
    nw_trace_options options = nw_trace_defaults();
    options.least_px = least_px;
    nw_drawing drawing;
    ck_assert_int_eq(nw_drawing_trace(&ink, &picture, &options, &drawing, NULL, NULL), NW_OK);
    size_t count = 0;
    ck_assert_uint_ge(drawing.count, 1);
    for (size_t i = 0; i < drawing.count; i++)
        count += fabs(nw_path_area(&drawing.paths[i])) < 1;
    nw_drawing_free(&drawing);
    nw_ink_free(&ink);
    return count;
}

START_TEST(crumbs_go)
{
    size_t all = 0;
    for (double slant = 0.6; slant < 1; slant += 0.02) {
        all += needle_crumbs(slant, 0);
        ck_assert_uint_eq(needle_crumbs(slant, 1), 0);
    }
    ck_assert_uint_gt(all, 5);
}
END_TEST

/* Where a tip tapers its pixels fade: it is carried on to its point, and how far is stated. */
START_TEST(a_tip_is_carried_on)
{
    nw_trace_notes notes;
    uint32_t last;
    nw_drawing drawing = wedge_traced(7.5 * PI / 180, &notes, &last);
    ck_assert_double_eq_tol(drawing.width, 130, 0.5);
    ck_assert_double_gt(notes.tips_px, 149 - (double)last - 1);
    ck_assert_double_lt(notes.tips_px, 149 - (double)last + 1);
    ck_assert_double_lt(notes.largest_px, 0.3);
    nw_drawing_free(&drawing);
}
END_TEST

/* Edges of eight places carry a tip no further than half their way, and not beyond its point. */
START_TEST(a_needle_is_carried_on_a_little)
{
    for (double half = 3; half < 7; half += 0.25) {
        nw_trace_notes notes;
        uint32_t last;
        nw_drawing drawing = wedge_traced(half * PI / 180, &notes, &last);
        ck_assert_double_lt(notes.tips_px, 4);
        ck_assert_double_gt(drawing.width, last - 20);
        ck_assert_double_lt(drawing.width, 130.7);
        nw_drawing_free(&drawing);
    }
}
END_TEST

static bool octagon(double x, double y)
{
    double u = (x - 80.3) * 0.95 + (y - 60.2) * 0.3, v = (y - 60.2) * 0.95 - (x - 80.3) * 0.3;
    return fmax(fabs(u), fabs(v)) < 40 && fabs(u) + fabs(v) < 56;
}

/* Blunt corners are carried on too, but are no pointed tips, and none are told of. */
START_TEST(blunt_corners_are_no_tips)
{
    nw_trace_notes notes;
    uint32_t last;
    nw_drawing drawing = grey_traced(octagon, &notes, &last);
    ck_assert_double_eq(notes.tips_px, 0);
    nw_drawing_free(&drawing);
}
END_TEST

/* At no node an outline turns back. */
static void expect_no_fold(const nw_drawing *drawing)
{
    ck_assert_uint_eq(drawing->count, 1);
    const nw_path *path = &drawing->paths[0];
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k], *next = &path->steps[(k + 1) % path->count];
        nw_point before = k ? path->steps[k - 1].to : path->start;
        nw_point in = nw_minus(step->to, step->kind == NW_CURVE ? step->b : before);
        nw_point out = nw_minus(next->kind == NW_CURVE ? next->a : next->to, step->to);
        ck_assert_double_gt(nw_dot(in, out), 0);
    }
}

/* Beside a soft edge rows and columns place the outline beyond one another. */
START_TEST(a_shadow_folds_no_outline)
{
    static uint8_t density[200 * 200];
    for (int k = 0; k < 200 * 200; k++) {
        double inside = 70.4 - hypot(k % 200 + 0.5 - 100.3, k / 200 + 0.5 - 99.6);
        double shadow = inside > -3 ? 0.48 * (1 + inside / 3) : 0;
        density[k] = (uint8_t)lrint(255 * fmin(1, fmax(shadow, inside + 0.5)));
    }
    nw_drawing drawing = density_traced(density, 200, 200, NULL);
    expect_no_fold(&drawing);
    nw_drawing_free(&drawing);
}
END_TEST

/* A cross with arms so wide and so long in all, turned, a little off the pixels' middles. */
static double arm_wide, arm_long, arm_turned;

static const nw_point MIDDLE = {80.17, 60.31};

static nw_point turned_by(nw_point p, double angle)
{
    return nw_turned(p, cos(angle), sin(angle));
}

static bool cross(double x, double y)
{
    nw_point p = turned_by(nw_minus((nw_point){x, y}, MIDDLE), -arm_turned);
    double u = fabs(p.x), v = fabs(p.y);
    return fmin(u, v) < arm_wide / 2 && fmax(u, v) < arm_long / 2;
}

/* How far from the cross's corner (u, v) the nearest node is. */
static double node_far(const nw_drawing *drawing, double u, double v)
{
    const nw_path *path = &drawing->paths[0];
    nw_point corner = nw_plus(MIDDLE, turned_by((nw_point){u, v}, arm_turned), 1);
    double least = INFINITY;
    corner.y = 120 - corner.y;
    for (size_t k = 0; k < path->count; k++)
        least = fmin(least, nw_distance(path->steps[k].to, corner));
    return least;
}

/* The end of an arm of four pixels has two corners, and pixels round each off. */
START_TEST(short_sides_have_corners)
{
    for (int k = 0; k < 60; k++) {
        nw_trace_notes notes;
        uint32_t last;
        arm_wide = 3.5 + k % 20 * 0.4;
        arm_long = arm_wide * 3.7;
        arm_turned = k / 20 * 0.35;
        nw_drawing drawing = grey_traced(cross, &notes, &last);
        ck_assert_uint_eq(drawing.count, 1);
        move_by(&drawing, (nw_point){-drawing.placed.e, -drawing.placed.f});
        for (int corner = 0; corner < 12; corner++) {
            double a = arm_wide / 2, b = corner % 3 ? arm_long / 2 : a;
            nw_point p = corner % 3 == 1 ? (nw_point){a, b} : (nw_point){b, a};
            p = turned_by(p, corner / 3 * PI / 2);
            ck_assert_double_lt(node_far(&drawing, p.x, p.y), 0.4);
        }
        nw_drawing_free(&drawing);
    }
}
END_TEST

static double disc_radius;

static bool small_disc(double x, double y)
{
    return nw_distance((nw_point){x, y}, MIDDLE) < disc_radius;
}

/* What is round has no tips, however small. */
START_TEST(small_discs_are_round)
{
    for (disc_radius = 3.2; disc_radius < 12; disc_radius += 0.13) {
        nw_trace_notes notes;
        uint32_t last;
        nw_region region;
        nw_drawing drawing = grey_traced(small_disc, &notes, &last);
        move_by(&drawing, (nw_point){-drawing.placed.e, -drawing.placed.f});
        ck_assert_int_eq(nw_drawing_flatten(&drawing, 0.01, &region, NULL), NW_OK);
        for (size_t i = 0; i < region.starts[1]; i++) {
            nw_point p = {region.points[i].x, 120 - region.points[i].y};
            ck_assert_double_eq_tol(nw_distance(p, MIDDLE), disc_radius, 0.3);
        }
        nw_region_free(&region);
        nw_drawing_free(&drawing);
    }
}
END_TEST

/* So many sides about 190 px from the middle, the shares that their pixels have off by up to 30
 * levels. */
static nw_drawing rough_gon(double sides, unsigned seed)
{
    static uint8_t density[400 * 400];
    for (int k = 0; k < 400 * 400; k++) {
        double x = k % 400 + 0.5 - 200.3, y = k / 400 + 0.5 - 199.8, most = 0;
        for (double side = 0; side < sides; side++)
            most = fmax(most, x * cos(2 * PI * side / sides) + y * sin(2 * PI * side / sides));
        seed = seed * 1664525u + 1013904223u;
        double level = 255 * (190 - most + 0.5), off = (double)(seed >> 16) / 65536 * 60 - 30;
        density[k] = (uint8_t)fmin(255, fmax(0, level > 0 && level < 255 ? level + off : level));
    }
    return density_traced(density, 400, 400, NULL);
}

static double random_place(unsigned *seed, double size)
{
    *seed = *seed * 1103515245u + 12345u;
    return size * (double)(*seed >> 16 & 0x7fff) / 32768;
}

/* A disc in the middle, its edge off by up to 0.6 pixels, every two pixels anew: the steps of its
 * outline, and how far that is off, the root of the mean square. */
static size_t rough_disc(uint32_t side, double *off)
{
    uint8_t *density = malloc((size_t)side * side);
    nw_point middle = {side * 0.5 + 0.3, side * 0.5 - 0.2};
    double radius = 0.36 * side;
    ck_assert_ptr_nonnull(density);
    for (size_t k = 0; k < (size_t)side * side; k++) {
        nw_point at = {(double)(k % side) + 0.5, (double)(k / side) + 0.5};
        double inside = radius - nw_distance(at, middle) + 0.5;
        if (fabs(inside) < 2) {
            double turn = atan2(at.y - middle.y, at.x - middle.x) + PI;
            unsigned seed = (unsigned)(turn * radius / 2) * 2654435761u;
            inside += random_place(&seed, 1.2) - 0.6;
        }
        density[k] = (uint8_t)lrint(255 * fmin(1, fmax(0, inside)));
    }
    nw_drawing drawing = density_traced(density, side, side, NULL);
    nw_region region;
    ck_assert_uint_eq(drawing.count, 1);
    move_by(&drawing, (nw_point){-drawing.placed.e, -drawing.placed.f});
    ck_assert_int_eq(nw_drawing_flatten(&drawing, 0.01, &region, NULL), NW_OK);
    double squares = 0, length = 0;
    for (size_t i = 1; i < region.starts[1]; i++) {
        nw_point at = {region.points[i].x, side - region.points[i].y};
        double chord = nw_distance(region.points[i], region.points[i - 1]);
        squares += chord * pow(nw_distance(at, middle) - radius, 2);
        length += chord;
    }
    *off = sqrt(squares / length);
    size_t steps = drawing.paths[0].count;
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    free(density);
    return steps;
}

/* In a large picture what a scanner makes of an edge is far below what anyone cuts. */
START_TEST(a_scanners_edge_takes_few_curves)
{
    double small, large;
    ck_assert_uint_le(rough_disc(3600, &large), 500);
    ck_assert_uint_ge(rough_disc(1200, &small), 1500); /* there a pixel may be the art's own */
    ck_assert_double_le(large, 0.2);
    ck_assert_double_le(small, 0.2);
}
END_TEST

/* Where the sides of a blunt corner meet may be behind the last place of one of them. */
START_TEST(blunt_corners_fold_no_outline)
{
    for (unsigned seed = 1; seed < 9; seed++) {
        nw_drawing drawing = rough_gon(16, seed);
        expect_no_fold(&drawing);
        nw_drawing_free(&drawing);
    }
}
END_TEST

static bool rings_and_dot(double x, double y)
{
    double r = hypot(x - 100, y - 100);
    return r < 30 || (r > 60 && r < 90) || (x > 195 && y > 190);
}

START_TEST(rings_nest)
{
    nw_drawing drawing = traced(rings_and_dot, 200, 200, NULL);
    ck_assert_uint_eq(drawing.count, 4);
    const size_t pieces[] = {0, 0, 1, 2};
    for (size_t i = 0; i < 4; i++) {
        ck_assert_uint_eq(drawing.paths[i].piece, pieces[i]);
        ck_assert_int_eq(drawing.paths[i].hole, i == 1);
        ck_assert((nw_path_area(&drawing.paths[i]) < 0) == (i == 1));
    }
    expect_area(&drawing, PI * (8100 - 3600 + 900) + 50, 2 * PI * 180 + 30);
    nw_drawing_free(&drawing);
}
END_TEST

/* Points up in the picture: y is turned over. */
static bool triangle(double x, double y)
{
    return y < 90 && y > 10 && fabs(x - 64) < (y - 10) / 2;
}

START_TEST(up_is_up)
{
    nw_drawing drawing = traced(triangle, 129, 100, NULL);
    double at_top = 0, at_bottom = 0;
    for (size_t i = 0; i < drawing.paths[0].count; i++) {
        nw_point to = drawing.paths[0].steps[i].to;
        at_top += to.y > drawing.height - 3 && fabs(to.x - drawing.width / 2) < 5;
        at_bottom += to.y < 3 && fabs(to.x - drawing.width / 2) > 30;
    }
    ck_assert_double_ge(at_top, 1);
    ck_assert_double_ge(at_bottom, 2);
    nw_drawing_free(&drawing);
}
END_TEST

/* Noise, the same every time. */
static bool noise(double x, double y)
{
    uint64_t h = (uint64_t)x * 0x9E3779B97F4A7C15u ^ (uint64_t)y * 0xC2B2AE3D27D4EB4Fu;
    h ^= h >> 29;
    h *= 0xBF58476D1CE4E5B9u;
    return (h >> 40) % 100 < 55;
}

#define STAR 83

/* A star of thin lines, from each of so many places on a circle to nearly the opposite one. */
static bool star(double x, double y)
{
    static nw_point ends[STAR];
    bool in = false;
    for (int k = 0; !ends[STAR - 1].x && k < STAR; k++) {
        double turn = 2 * NW_PI * k / STAR;
        ends[k] = (nw_point){60 + 50 * sin(turn), 60 + 50 * cos(turn)};
    }
    for (int k = 0; k < STAR && !in; k++)
        in = nw_segment_distance(ends[k], ends[(k + 39) % STAR], (nw_point){x, y}) < 0.5;
    return in;
}

/* The sides of slivers between lines must not cross one another by a hair. */
START_TEST(slivers_cross_nowhere)
{
    nw_trace_notes notes;
    uint32_t last;
    nw_drawing drawing = grey_traced(star, &notes, &last);
    nw_region region;
    size_t crossings;
    ck_assert_int_eq(nw_drawing_flatten_places(&drawing, 0.002, 4, &region, NULL, &crossings, NULL),
                     NW_OK);
    ck_assert_uint_ge(drawing.count, 100);
    ck_assert_uint_eq(crossings, 0);
    nw_region_free(&region);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(noise_comes_out_clean_and_the_same)
{
    nw_trace_notes notes;
    nw_drawing drawing = traced(noise, 200, 200, &notes);
    nw_region region;
    size_t crossings;
    ck_assert_int_eq(nw_drawing_flatten_places(&drawing, 0.02, 4, &region, NULL, &crossings, NULL),
                     NW_OK);
    ck_assert_uint_eq(crossings, 0);
    ck_assert_double_lt(notes.largest_px, 1.2);
    ck_assert(notes.too_rough);
    nw_drawing again = traced(noise, 200, 200, NULL);
    nw_region second;
    ck_assert_int_eq(nw_drawing_flatten(&again, 0.02, &second, NULL), NW_OK);
    ck_assert_uint_eq(region.count, second.count);
    ck_assert_uint_eq(region.starts[region.count], second.starts[second.count]);
    ck_assert(
        !memcmp(region.points, second.points, region.starts[region.count] * sizeof(nw_point)));
    nw_region_free(&region);
    nw_region_free(&second);
    nw_drawing_free(&drawing);
    nw_drawing_free(&again);
}
END_TEST

static bool nothing(double x, double y)
{
    return x < 0 && y < 0;
}

START_TEST(no_ink_no_outlines)
{
    nw_trace_notes notes;
    nw_drawing drawing = traced(nothing, 70, 3, &notes);
    ck_assert_uint_eq(drawing.count, 0);
    ck_assert_double_eq(drawing.width, 0);
    nw_drawing_free(&drawing);
}
END_TEST

/* Asked to hold to a distance, tracing does so without grey levels too. */
START_TEST(a_stated_distance_is_held)
{
    nw_ink ink = ink_of(disc, 210, 210);
    uint8_t *density = malloc(210 * 210);
    for (long i = 0; i < 210 * 210; i++)
        density[i] = nw_ink_at(&ink, i % 210, 209 - i / 210) ? 255 : 0;
    nw_picture picture = {.width = 210, .height = 210, .density = density};
    nw_trace_options options = {.bounded = true, .grey = true};
    const double stated[] = {0.7, 0.9, 3};
    for (size_t k = 0; k < 3; k++) {
        nw_drawing drawing;
        nw_trace_notes notes;
        options.smooth_px = stated[k];
        ck_assert_int_eq(nw_drawing_trace(&ink, &picture, &options, &drawing, &notes, NULL), NW_OK);
        ck_assert(!notes.grey);
        ck_assert_double_le(notes.largest_px, stated[k] + 1e-9);
        expect_area(&drawing, PI * 90.7 * 90.7, 2 * PI * 90.7 * stated[k]);
        move_by(&drawing, (nw_point){-drawing.placed.e, -drawing.placed.f});
        ck_assert_double_le(nw_drawing_distance(&drawing, &ink), stated[k] + 1e-9);
        ck_assert_uint_le(drawing.paths[0].count, stated[k] > 0.5 ? 40 : 400);
        nw_drawing_free(&drawing);
    }
    free(density);
    free(ink.words);
}
END_TEST

/* Loops that cross one another by the dozen in every place: cuts may make more crossings than they
 * take apart, and then the way before the cuts is kept. */
START_TEST(a_thicket_gets_no_thicker)
{
    nw_drawing drawing = {0};
    unsigned seed = 1;
    for (size_t k = 0; k < 100; k++) {
        nw_point from = {random_place(&seed, 3), random_place(&seed, 3)}, p[3];
        nw_path path = {.start = from, .closed = true, .piece = k};
        for (int j = 0; j < 5; j++) {
            for (int i = 0; i < 3; i++) {
                double x = random_place(&seed, 1) - 0.5, y = random_place(&seed, 1) - 0.5;
                p[i] = (nw_point){from.x + x, from.y + y};
            }
            ck_assert(nw_path_curve(&path, p[0], p[1], j == 4 ? from : p[2]));
        }
        ck_assert(nw_drawing_add(&drawing, &path));
    }
    size_t left;
    ck_assert_int_eq(nw_drawing_uncross(&drawing, 0.02, &left, NULL), NW_OK);
    ck_assert_uint_le(left, 44);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_square,
                                  a_disc,
                                  a_shadow_folds_no_outline,
                                  a_scanners_edge_takes_few_curves,
                                  blunt_corners_fold_no_outline,
                                  large_pictures_are_traced_as_well,
                                  a_tip_is_carried_on,
                                  a_needle_is_carried_on_a_little,
                                  blunt_corners_are_no_tips,
                                  short_sides_have_corners,
                                  small_discs_are_round,
                                  crumbs_go,
                                  rings_nest,
                                  up_is_up,
                                  noise_comes_out_clean_and_the_same,
                                  slivers_cross_nowhere,
                                  no_ink_no_outlines,
                                  a_thicket_gets_no_thicker,
                                  a_stated_distance_is_held};
    return TESTS_RUN("trace_known", tests);
}
