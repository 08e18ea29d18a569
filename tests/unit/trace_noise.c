/* Known shapes under soft edges and noise, traced. */
#include <trace/trace.h>

#include "../tests.h"

#include <math.h>
#include <stdlib.h>

#define SIDE 600

/* How deep a place lies in the ink, in pixels; y down, from the picture's middle. */
typedef double depth(double x, double y);

/* A normal distribution's, by the sum of twelve even ones. */
static double random_normal(unsigned *seed)
{
    double sum = -6;
    for (int k = 0; k < 12; k++) {
        *seed = *seed * 1664525u + 1013904223u;
        sum += (double)(*seed >> 8) / (1 << 24);
    }
    return sum;
}

static double covered(double inside, double blur)
{
    return 0.5 * erfc(-inside / blur / sqrt(2));
}

static nw_drawing traced(nw_picture *picture)
{
    nw_ink ink;
    nw_drawing drawing;
    nw_trace_options options = nw_trace_defaults();
    ck_assert_int_eq(nw_ink_from_picture(picture, &ink, NULL), NW_OK);
    ck_assert_int_eq(nw_drawing_trace(&ink, picture, &options, &drawing, NULL, NULL), NW_OK);
    nw_ink_free(&ink);
    return drawing;
}

/* Black ink on white paper, with noise of so many levels, as a picture is read. */
static nw_drawing noisy_traced(depth *shape, double blur, double noise, unsigned seed)
{
    static uint8_t rgba[SIDE * SIDE * 4];
    for (int k = 0; k < SIDE * SIDE; k++) {
        double x = k % SIDE + 0.5 - SIDE / 2, y = k / SIDE + 0.5 - SIDE / 2;
        double level = 255 * (1 - covered(shape(x, y), blur)) + noise * random_normal(&seed);
        for (int i = 0; i < 3; i++)
            rgba[4 * k + i] = (uint8_t)fmin(255, fmax(0, floor(level + 0.5)));
        rgba[4 * k + 3] = 255;
    }
    nw_pixels pixels = {.rgba = rgba, .width = SIDE, .height = SIDE};
    nw_picture_options options = nw_picture_defaults();
    nw_picture picture;
    ck_assert_int_eq(nw_picture_of_pixels(&pixels, &options, &picture, NULL), NW_OK);
    ck_assert_double_gt(picture.off, 0.1);
    nw_drawing drawing = traced(&picture);
    nw_picture_free(&picture);
    return drawing;
}

#define TURN 0.3      /* rad */
#define HALF_WIDTH 20 /* px */
#define HALF_LENGTH 250

static double along(double x, double y)
{
    return x * cos(TURN) + y * sin(TURN);
}

static double across(double x, double y)
{
    return y * cos(TURN) - x * sin(TURN);
}

static double bar(double x, double y)
{
    return fmin(HALF_WIDTH - fabs(across(x, y)), HALF_LENGTH - fabs(along(x, y)));
}

/* The least width of the bar away from its ends. */
static double bar_width(const nw_drawing *drawing)
{
    nw_region region;
    double low = -INFINITY, high = INFINITY;
    ck_assert_int_eq(nw_drawing_flatten(drawing, 0.01, &region, NULL), NW_OK);
    ck_assert_uint_eq(region.count, 1);
    for (size_t i = 0; i < region.starts[1]; i++) {
        double x = region.points[i].x - drawing->placed.e - SIDE / 2,
               y = SIDE / 2 - region.points[i].y + drawing->placed.f;
        if (fabs(along(x, y)) > HALF_LENGTH - 30)
            continue;
        if (across(x, y) < 0)
            low = fmax(low, across(x, y));
        else
            high = fmin(high, across(x, y));
    }
    nw_region_free(&region);
    return high - low;
}

static double mean_width(double blur, double noise)
{
    double sum = 0;
    for (unsigned seed = 1; seed <= 8; seed++) {
        nw_drawing drawing = noisy_traced(bar, blur, noise, seed);
        sum += bar_width(&drawing);
        nw_drawing_free(&drawing);
    }
    return sum / 8;
}

/* The least of many widths is what a passage closes to, and noise makes it small wherever it does
 * so most: of 40 pixels it took 1.7 where edges are blurred by 3. */
START_TEST(noise_narrows_no_passage)
{
    ck_assert_double_ge(mean_width(0.8, 25), 39.75);
    ck_assert_double_ge(mean_width(2, 40), 39.25);
    ck_assert_double_ge(mean_width(3, 40), 38.9);
}
END_TEST

/* How far the corner of a square reaches along its diagonal, in pixels from where its sides meet,
 * whose edges have such a blur. */
static double corner_reach(double blur)
{
    static uint8_t density[SIDE * SIDE];
    for (int k = 0; k < SIDE * SIDE; k++) {
        double x = k % SIDE + 0.5 - SIDE / 2, y = k / SIDE + 0.5 - SIDE / 2;
        double u = (x * cos(TURN) + y * sin(TURN)), v = (y * cos(TURN) - x * sin(TURN)), cover = 1;
        for (int i = 0; i < 2; i++) {
            double at = i ? v : u;
            cover *= covered(100 - at, blur) * covered(100 + at, blur);
        }
        density[k] = (uint8_t)lrint(255 * cover);
    }
    nw_picture picture = {.width = SIDE, .height = SIDE, .density = density, .sigma = 1};
    nw_drawing drawing = traced(&picture);
    nw_region region;
    double most = 0;
    ck_assert_int_eq(nw_drawing_flatten(&drawing, 0.01, &region, NULL), NW_OK);
    for (size_t i = 0; i < region.starts[1]; i++) {
        double x = region.points[i].x - drawing.placed.e - SIDE / 2,
               y = SIDE / 2 - region.points[i].y + drawing.placed.f;
        most = fmax(most, (along(x, y) + across(x, y)) / sqrt(2));
    }
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    return most - 100 * sqrt(2);
}

/* What is rounder than pixels make of a corner is none: but no blur that is a little stronger makes
 * it a pixel shorter, nor does noise. */
START_TEST(a_soft_corner_comes_and_goes_by_degrees)
{
    double last = corner_reach(0.9);
    for (double blur = 0.92; blur < 2.4; blur += 0.02) {
        double reach = corner_reach(blur);
        ck_assert_double_lt(fabs(reach - last), 0.5);
        last = reach;
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {noise_narrows_no_passage,
                                  a_soft_corner_comes_and_goes_by_degrees};
    return TESTS_RUN("trace_noise", tests);
}
