/*
 * Finding the ink: one drawing of our own in every format, colour and light, each of which must
 * give the same ink as the drawing itself.
 */
#include "../picture_make.h"
#include "../tests.h"

#include <math.h>
#include <picture/picture.h>
#include <stdlib.h>
#include <string.h>

#define WIDTH 360
#define HEIGHT 240
#define PIXELS (WIDTH * HEIGHT)

static double disc(double x, double y, double radius)
{
    return fmax(0, fmin(1, radius - hypot(x, y) + 0.5));
}

static double bar(double v, double from, double to)
{
    return fmax(0, fmin(1, fmin(v - from, to - v) + 0.5));
}

/* How much of the pixel is ink: a ring, a large solid block, four bars of 2 to 8 pixels. */
static double coverage(int column, int row)
{
    double x = column + 0.5, y = row + 0.5;
    double ink = disc(x - 90, y - 80, 50.3) - disc(x - 90, y - 80, 28.6);
    ink += bar(x, 180.2, 320.7) * bar(y, 30.4, 130.8);
    for (int k = 1; k <= 4; k++) {
        ink += bar(x, 40 + 50.0 * k, 40.4 + 52.0 * k) * bar(y, 160, 220);
    }
    return fmin(1, ink);
}

static uint8_t mixed(int ink, int paper, double part)
{
    return (uint8_t)(paper + (ink - paper) * part + 0.5);
}

/* The drawing in two colours. */
static uint8_t *drawing(const uint8_t ink[3], const uint8_t paper[3])
{
    uint8_t *pixels = malloc(PIXELS * 3);
    for (int k = 0; k < PIXELS * 3; k++) {
        double part = coverage(k / 3 % WIDTH, k / 3 / WIDTH);
        pixels[k] = mixed(ink[k % 3], paper[k % 3], part);
    }
    return pixels;
}

static uint8_t *grey_drawing(int ink, int paper)
{
    uint8_t *pixels = malloc(PIXELS);
    for (int k = 0; k < PIXELS; k++) {
        pixels[k] = mixed(ink, paper, coverage(k % WIDTH, k / WIDTH));
    }
    return pixels;
}

static uint8_t *transparent_drawing(const uint8_t ink[3])
{
    uint8_t *pixels = malloc(PIXELS * 4);
    for (int k = 0; k < PIXELS; k++) {
        memcpy(pixels + 4 * k, ink, 3);
        pixels[4 * k + 3] = mixed(255, 0, coverage(k % WIDTH, k / WIDTH));
    }
    return pixels;
}

static nw_picture read_bytes(nw_bytes *bytes, const nw_picture_options *options)
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
static void expect_drawing(nw_picture *picture, int wrong_most, double error_most)
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
    ck_assert_msg(wrong <= wrong_most, "%d pixels are wrong: %s", wrong, picture->how);
    ck_assert_msg(error / PIXELS <= error_most, "density is off by %.3f levels: %s", error / PIXELS,
                  picture->how);
    nw_picture_free(picture);
}

static const uint8_t black[3] = {0, 0, 0}, white[3] = {255, 255, 255};

static void expect_colours(const uint8_t ink[3], const uint8_t paper[3], nw_ink_kind kind)
{
    uint8_t *pixels = drawing(ink, paper);
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_msg(picture.ink == kind, "%s", picture.how);
    expect_drawing(&picture, 0, 0.3);
    free(pixels);
}

START_TEST(any_two_colours)
{
    expect_colours(black, white, NW_INK_DARK);
    expect_colours(white, black, NW_INK_LIGHT);
    expect_colours((uint8_t[]){60, 20, 120}, (uint8_t[]){220, 230, 180}, NW_INK_DARK);
    expect_colours((uint8_t[]){255, 250, 240}, (uint8_t[]){20, 30, 90}, NW_INK_LIGHT);
    expect_colours((uint8_t[]){255, 255, 190}, white, NW_INK_COLOUR);
    expect_colours((uint8_t[]){255, 255, 0}, white, NW_INK_COLOUR);
}
END_TEST

START_TEST(pale_red_on_white)
{
    uint8_t *pixels = drawing((uint8_t[]){255, 205, 205}, white);
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, true);
    nw_picture picture = read_bytes(&bytes, NULL);
    expect_drawing(&picture, 0, 1.5); /* some 35 grey levels have to do */
    free(pixels);
}
END_TEST

/* Black on paper that fades from cream to a darker cream: its shades are no ink. */
START_TEST(shaded_paper)
{
    uint8_t *pixels = malloc(PIXELS * 3);
    for (int k = 0; k < PIXELS * 3; k++) {
        int fade = 60 * (k / 3 % WIDTH) / WIDTH;
        int paper = k % 3 == 2 ? 230 - fade : 255 - fade;
        pixels[k] = mixed(0, paper, coverage(k / 3 % WIDTH, k / 3 / WIDTH));
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_msg(picture.ink == NW_INK_DARK, "%s", picture.how);
    expect_drawing(&picture, 0, 8);
    free(pixels);
}
END_TEST

/* The block is pale yellow, the rest black: one level of grey would lose the block. */
START_TEST(several_colours_on_white)
{
    uint8_t *pixels = drawing(black, white);
    for (int k = 0; k < PIXELS; k++) {
        if (k % WIDTH > 170 && k % WIDTH < 330 && k / WIDTH < 140) {
            memcpy(pixels + 3 * k,
                   (uint8_t[]){255, 255, mixed(150, 255, coverage(k % WIDTH, k / WIDTH))}, 3);
        }
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_msg(picture.ink == NW_INK_COLOUR && strstr(picture.how, "2 colours"), "%s",
                  picture.how);
    expect_drawing(&picture, 0, 0.3);

    nw_picture_options options = nw_picture_defaults();
    options.ink = NW_INK_COLOUR;
    memcpy(options.colour, (uint8_t[]){255, 255, 150}, 3);
    bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    picture = read_bytes(&bytes, &options);
    ck_assert_uint_eq(picture.density[80 * WIDTH + 250], 255); /* the block */
    ck_assert_uint_lt(picture.density[45 * WIDTH + 90], 128);  /* the ring */
    nw_picture_free(&picture);
    free(pixels);
}
END_TEST

START_TEST(any_colour_on_transparent_ground)
{
    const uint8_t inks[][3] = {{0, 0, 0}, {255, 255, 255}, {200, 30, 30}};
    for (size_t k = 0; k < 3; k++) {
        uint8_t *pixels = transparent_drawing(inks[k]);
        nw_bytes all[] = {make_png(WIDTH, HEIGHT, 4, pixels, false),
                          make_png(WIDTH, HEIGHT, 4, pixels, true),
                          make_bmp(WIDTH, HEIGHT, 4, pixels), make_webp(WIDTH, HEIGHT, 4, pixels)};
        for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
            if (all[i].length) {
                nw_picture picture = read_bytes(&all[i], NULL);
                ck_assert_int_eq(picture.ink, NW_INK_ALPHA);
                expect_drawing(&picture, 0, 0.01);
            }
        }
        free(pixels);
    }
}
END_TEST

/* White filling inside a black rim, on transparent ground, is a line drawing. */
START_TEST(a_white_filling_is_paper)
{
    uint8_t *pixels = calloc(PIXELS, 4);
    for (int k = 0; k < PIXELS; k++) {
        double x = k % WIDTH - 180, y = k / WIDTH - 120, rim = disc(x, y, 90), in = disc(x, y, 80);
        memset(pixels + 4 * k, mixed(255, 0, in), 3);
        pixels[4 * k + 3] = mixed(255, 0, rim);
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 4, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_msg(picture.ink == NW_INK_DARK, "%s", picture.how);
    ck_assert_uint_eq(picture.density[120 * WIDTH + 180], 0);
    ck_assert_uint_eq(picture.density[120 * WIDTH + 180 + 85], 255);
    ck_assert_uint_eq(picture.density[0], 0);
    nw_picture_free(&picture);
    free(pixels);
}
END_TEST

START_TEST(every_format_reads_alike)
{
    uint8_t *grey = grey_drawing(0, 255), *colour = drawing(black, white);
    nw_bytes all[] = {
        make_png(WIDTH, HEIGHT, 1, grey, false),  make_png(WIDTH, HEIGHT, 1, grey, true),
        make_png(WIDTH, HEIGHT, 3, colour, true), make_bmp(WIDTH, HEIGHT, 3, colour),
        make_webp(WIDTH, HEIGHT, 3, colour),      make_gif(WIDTH, HEIGHT, grey, -1, false),
        make_gif(WIDTH, HEIGHT, grey, -1, true),
    };
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        if (all[i].length) {
            nw_picture picture = read_bytes(&all[i], NULL);
            expect_drawing(&picture, 0, 0.01);
        }
    }
    free(grey);
    free(colour);
}
END_TEST

START_TEST(jpeg_of_every_kind)
{
    uint8_t *grey = grey_drawing(0, 255), *colour = drawing(black, white);
    uint8_t *inks = malloc(PIXELS * 4); /* stored inverted: 255 is none */
    for (int k = 0; k < PIXELS * 4; k++) {
        inks[k] = k % 4 == 3 ? grey[k / 4] : 255;
    }
    nw_bytes all[] = {make_jpeg(WIDTH, HEIGHT, 1, grey, false, NULL),
                      make_jpeg(WIDTH, HEIGHT, 3, colour, true, NULL),
                      make_jpeg(WIDTH, HEIGHT, 4, inks, false, NULL)};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        if (all[i].length) {
            nw_picture picture = read_bytes(&all[i], NULL);
            expect_drawing(&picture, 0, 1);
        }
    }
    free(grey);
    free(colour);
    free(inks);
}
END_TEST

/* Stored pixel of the upright one at x, y, by the eight orientations of Exif 2.3, tag 274: where
 * row 0 and column 0 of what is stored lie in the upright picture. */
static int stored_at(int orientation, int x, int y)
{
    int w = WIDTH, h = HEIGHT;
    switch (orientation) {
    case 2: /* row 0 top, column 0 right */
        return y * w + (w - 1 - x);
    case 3: /* bottom, right */
        return (h - 1 - y) * w + (w - 1 - x);
    case 4: /* bottom, left */
        return (h - 1 - y) * w + x;
    case 5: /* row 0 left, column 0 top */
        return x * h + y;
    case 6: /* right, top */
        return (w - 1 - x) * h + y;
    case 7: /* right, bottom */
        return (w - 1 - x) * h + (h - 1 - y);
    case 8: /* left, bottom */
        return x * h + (h - 1 - y);
    default:
        return y * w + x;
    }
}

START_TEST(pictures_are_turned_upright)
{
    uint8_t *grey = grey_drawing(0, 255), *stored = malloc(PIXELS);
    for (int orientation = 1; orientation <= 8; orientation++) {
        for (int k = 0; k < PIXELS; k++) {
            stored[stored_at(orientation, k % WIDTH, k / WIDTH)] = grey[k];
        }
        nw_bytes exif = make_exif(orientation);
        bool turned = orientation >= 5;
        nw_bytes bytes =
            make_jpeg(turned ? HEIGHT : WIDTH, turned ? WIDTH : HEIGHT, 1, stored, false, &exif);
        if (bytes.length) {
            nw_picture picture = read_bytes(&bytes, NULL);
            expect_drawing(&picture, 0, 1);
        }
        nw_bytes_free(&exif);
    }
    free(grey);
    free(stored);
}
END_TEST

/* ---- light ----------------------------------------------------------------------------------- */

/* The drawing photographed: light falls off by `fall` towards the lower right corner, and the
 * sensor's noise is +-4 levels. */
static uint8_t *photograph(double fall)
{
    uint8_t *pixels = malloc(PIXELS);
    uint32_t random = 7;
    for (int k = 0; k < PIXELS; k++) {
        double x = k % WIDTH / (double)WIDTH, y = k / WIDTH / (double)HEIGHT;
        double light = 1 - fall * (x + y) / 2;
        random = random * 1664525 + 1013904223;
        double noise = (random >> 16) % 9 - 4.0;
        double level = (200 - 160 * coverage(k % WIDTH, k / WIDTH)) * light + noise;
        pixels[k] = (uint8_t)fmax(0, fmin(255, level));
    }
    return pixels;
}

START_TEST(uneven_light_is_noticed)
{
    const double falls[] = {0.5, 0.7, 0.85};
    for (size_t i = 0; i < 3; i++) {
        uint8_t *pixels = photograph(falls[i]);
        nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
        nw_picture picture = read_bytes(&bytes, NULL);
        /* The first is still one that a single level separates, though its paper is no flat tone.
         */
        ck_assert_msg((picture.level_kind == NW_LEVEL_LOCAL) == (i > 0), "%s", picture.how);
        expect_drawing(&picture, 40, i > 0 ? 12 : 20);
        free(pixels);
    }
}
END_TEST

START_TEST(even_light_needs_one_level)
{
    uint8_t *pixels = photograph(0.1);
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_msg(picture.level_kind == NW_LEVEL_FIXED, "%s", picture.how);
    expect_drawing(&picture, 0, 9);

    /* Asked for, local levels do as well, also inside the large block. */
    nw_picture_options options = nw_picture_defaults();
    options.level_kind = NW_LEVEL_LOCAL;
    bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    picture = read_bytes(&bytes, &options);
    ck_assert_int_eq(picture.level_kind, NW_LEVEL_LOCAL);
    expect_drawing(&picture, 20, 9);
    free(pixels);
}
END_TEST

START_TEST(light_ink_under_uneven_light)
{
    uint8_t *pixels = photograph(0.8);
    for (int k = 0; k < PIXELS; k++) {
        pixels[k] = (uint8_t)(255 - pixels[k]);
    }
    nw_picture_options options = nw_picture_defaults();
    options.ink = NW_INK_LIGHT;
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    nw_picture picture = read_bytes(&bytes, &options);
    ck_assert_int_eq(picture.ink, NW_INK_LIGHT);
    expect_drawing(&picture, 40, 12);
    free(pixels);
}
END_TEST

/* ---- dirt ------------------------------------------------------------------------------------ */

START_TEST(pinholes_are_filled_and_slits_are_not)
{
    const char text[] = "P1 10 7\n"
                        "1111111111\n"
                        "1011111101\n" /* two pinholes ... */
                        "1111111011\n" /* ... of which one is the end of a slanting slit */
                        "1111110111\n"
                        "1110011111\n"
                        "1110011111\n"
                        "1111111111\n";
    nw_bytes bytes = {(uint8_t *)strdup(text), strlen(text)};
    nw_picture_options options = nw_picture_defaults();
    options.ink = NW_INK_DARK;
    nw_picture picture = read_bytes(&bytes, &options);
    nw_ink ink;
    ck_assert_int_eq(nw_ink_from_picture(&picture, &ink, NULL), NW_OK);
    size_t filled;
    ck_assert_int_eq(nw_ink_fill_pinholes(&ink, &picture, 3, &filled, NULL), NW_OK);
    ck_assert_uint_eq(filled, 1);
    ck_assert_uint_eq(picture.density[11], 255);
    ck_assert_uint_eq(picture.density[18], 0);
    ck_assert_uint_eq(picture.density[43], 0);
    ck_assert_uint_eq(ink.words[1] >> 54, 0x3fd);
    nw_ink_free(&ink);
    nw_picture_free(&picture);
}
END_TEST

static void count_progress(void *context, const char *stage, double fraction)
{
    ck_assert_ptr_nonnull(stage);
    double *last = context;
    ck_assert_double_ge(fraction, *last);
    ck_assert_double_le(fraction, 1);
    *last = fraction;
}

START_TEST(progress_is_told)
{
    uint8_t *grey = grey_drawing(0, 255);
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, grey, false);
    nw_picture_options options = nw_picture_defaults();
    double last = 0;
    options.progress = count_progress;
    options.progress_context = &last;
    nw_picture picture = read_bytes(&bytes, &options);
    ck_assert_double_gt(last, 0.9);
    nw_picture_free(&picture);
    free(grey);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {any_two_colours,
                                  pale_red_on_white,
                                  shaded_paper,
                                  several_colours_on_white,
                                  any_colour_on_transparent_ground,
                                  a_white_filling_is_paper,
                                  every_format_reads_alike,
                                  jpeg_of_every_kind,
                                  pictures_are_turned_upright,
                                  uneven_light_is_noticed,
                                  even_light_needs_one_level,
                                  light_ink_under_uneven_light,
                                  pinholes_are_filled_and_slits_are_not,
                                  progress_is_told};
    return TESTS_RUN("picture ink", tests);
}
