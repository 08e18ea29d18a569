/* One drawing of our own in every colour, and how near a picture's ink comes to it. */
#ifndef NARROWS_TEST_PICTURE_DRAWING_H
#define NARROWS_TEST_PICTURE_DRAWING_H

#include "../picture_make.h"
#include "../tests.h"

#include <math.h>
#include <picture/picture.h>
#include <stdlib.h>
#include <string.h>

#define WIDTH 360
#define HEIGHT 240
#define PIXELS (WIDTH * HEIGHT)

static inline double disc(double x, double y, double radius)
{
    return fmax(0, fmin(1, radius - hypot(x, y) + 0.5));
}

static inline double bar(double v, double from, double to)
{
    return fmax(0, fmin(1, fmin(v - from, to - v) + 0.5));
}

/* How much of the pixel is ink: a ring, a large solid block, four bars of 2 to 8 pixels. */
static inline double coverage(int column, int row)
{
    double x = column + 0.5, y = row + 0.5;
    double ink = disc(x - 90, y - 80, 50.3) - disc(x - 90, y - 80, 28.6);
    ink += bar(x, 180.2, 320.7) * bar(y, 30.4, 130.8);
    for (int k = 1; k <= 4; k++)
        ink += bar(x, 40 + 50.0 * k, 40.4 + 52.0 * k) * bar(y, 160, 220);
    return fmin(1, ink);
}

static inline uint8_t mixed(int ink, int paper, double part)
{
    return (uint8_t)(paper + (ink - paper) * part + 0.5);
}

/* The drawing in two colours. */
static inline uint8_t *drawing(const uint8_t ink[3], const uint8_t paper[3])
{
    uint8_t *pixels = malloc(PIXELS * 3);
    for (int k = 0; k < PIXELS * 3; k++) {
        double part = coverage(k / 3 % WIDTH, k / 3 / WIDTH);
        pixels[k] = mixed(ink[k % 3], paper[k % 3], part);
    }
    return pixels;
}

static inline uint8_t *grey_drawing(int ink, int paper)
{
    uint8_t *pixels = malloc(PIXELS);
    for (int k = 0; k < PIXELS; k++)
        pixels[k] = mixed(ink, paper, coverage(k % WIDTH, k / WIDTH));
    return pixels;
}

static inline uint8_t *transparent_drawing(const uint8_t ink[3])
{
    uint8_t *pixels = malloc(PIXELS * 4);
    for (int k = 0; k < PIXELS; k++) {
        memcpy(pixels + 4 * k, ink, 3);
        pixels[4 * k + 3] = mixed(255, 0, coverage(k % WIDTH, k / WIDTH));
    }
    return pixels;
}

static inline nw_picture read_bytes(nw_bytes *bytes, const nw_picture_options *options)
{
    nw_picture_options defaults = nw_picture_defaults();
    nw_picture picture;
    nw_error error = {0};
    nw_status status = nw_picture_read(bytes->data, bytes->length, options ? options : &defaults,
                                       &picture, &error);
    ck_assert_msg(status == NW_OK, "%s", error.message);
    nw_bytes_free(bytes);
    return picture;
}

/* Pixels that are ink against the drawing, and the mean error of density in levels. Pixels covered
 * by half, more or less, may be either. */
static inline void expect_drawing(nw_picture *picture, int wrong_most, double error_most)
{
    ck_assert_uint_eq(picture->width, WIDTH);
    ck_assert_uint_eq(picture->height, HEIGHT);
    int wrong = 0;
    double error = 0;
    for (int k = 0; k < PIXELS; k++) {
        double part = coverage(k % WIDTH, k / WIDTH);
        wrong += fabs(part - 0.5) > 0.1 && (picture->density[k] >= 128) != (part > 0.5);
        error += fabs(picture->density[k] - 255 * part);
    }
    ck_assert_int_le(wrong, wrong_most);
    ck_assert_msg(error / PIXELS <= error_most, "density is off by %.3f levels", error / PIXELS);
    nw_picture_free(picture);
}

static const uint8_t black[3] = {0, 0, 0}, white[3] = {255, 255, 255};

#endif
