/* Small pictures written out by hand: reading, and the ramp from paper to ink. */
#include "picture_text.h"

#include <picture/ink/ink_levels.h>
#include <math.h>
#include <string.h>
#include <stdio.h>
#include <stdlib.h>

static void expect_refused(const void *data, size_t length, const char *words)
{
    nw_picture_options options = nw_picture_defaults();
    nw_picture picture;
    nw_error error = {0};
    ck_assert_int_eq(nw_picture_read(data, length, &options, &picture, &error), NW_BAD_INPUT);
    ck_assert_msg(strstr(error.message, words), "'%s' is not in '%s'", words, error.message);
    ck_assert_ptr_null(picture.density);
}

/* All six kinds of PNM, of the same 3 x 2 picture: black, white, black; white, black, white. */
START_TEST(all_kinds_of_pnm_read_alike)
{
    static const struct {
        const char *bytes;
        size_t length;
    } all[] = {
#define BYTES(text) {text, sizeof text - 1}
        BYTES("P1\n3 2\n101\n010"),
        BYTES("P1 #c\n3 #c\n2\n1 0 1 0 1 0"),
        BYTES("P2 3 2 255 0 255 0 255 0 255"),
        BYTES("P2 3 2 65535 0 65535 0 65535 0 65535\n"),
        BYTES("P3 3 2 7 0 0 0 7 7 7 0 0 0 7 7 7 0 0 0 7 7 7"),
        BYTES("P4 3 2\n\xa0\x40"),
        BYTES("P5 3 2 255\n\0\xff\0\xff\0\xff"),
        BYTES("P5 3 2 1000\n\0\0\x03\xe8\0\0\x03\xe8\0\0\x03\xe8"),
        BYTES("P6 3 2 255\n\0\0\0\xff\xff\xff\0\0\0\xff\xff\xff\0\0\0\xff\xff\xff"),
#undef BYTES
    };
    nw_picture_options options = nw_picture_defaults();
    options.ink = NW_INK_DARK;
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        nw_picture picture = read_picture(all[i].bytes, all[i].length, &options);
        ck_assert_mem_eq(picture.density, "\xff\0\xff\0\xff\0", 6);
        nw_picture_free(&picture);
    }
}
END_TEST

START_TEST(bad_pnm_is_refused)
{
    expect_refused("", 0, "empty");
    expect_refused("hello, world", 12, "no picture");
    expect_refused("P4 3", 4, "header");
    expect_refused("P4 3 2", 6, "ends");
    expect_refused("P4 3 2\n\xa0", 8, "ends");
    expect_refused("P4 0 2\n\xa0", 8, "0 x 2");
    expect_refused("P5 100000 100000 255\n\xa0", 22, "ends");
    expect_refused("P1 3 1\n1 2 0", 12, "above the largest");
    expect_refused("P2 3 1 7\n1 8 0", 14, "above the largest");
    expect_refused("P2 3 1 7\n1 x 0 0 0", 18, "no number");
    expect_refused("P2 3 1 70000\n1 1 0", 18, "70000");
    expect_refused("P2 99999999999 1 7\n1 1 0", 24, "header");
    expect_refused("P5 2 2 3\n\1\1\1\5", 13, "above the largest");
    expect_refused("P1 3 1\n1 1 1", 12, "no shape");
}
END_TEST

START_TEST(a_size_above_the_limit_is_refused)
{
    nw_picture_options options = nw_picture_defaults();
    options.max_pixels = 5;
    nw_picture picture;
    nw_error error = {0};
    const char text[] = "P1\n3 2\n101\n010";
    ck_assert_int_eq(
        nw_picture_read((const uint8_t *)text, sizeof text - 1, &options, &picture, &error),
        NW_BAD_INPUT);
    ck_assert_ptr_nonnull(strstr(error.message, "3 x 2 pixels"));
}
END_TEST

/* A bar's edge pixel of half coverage has density 127 or 128 whatever the tones of bar and paper.
 */
START_TEST(density_is_coverage)
{
    nw_picture picture = read_text("P2 8 1 255 0 0 0 128 255 255 255 255");
    ck_assert_uint_eq(picture.density[0], 255);
    ck_assert_int_ge(picture.density[3], 126);
    ck_assert_int_le(picture.density[3], 128);
    ck_assert_uint_eq(picture.density[4], 0);
    nw_picture_free(&picture);

    picture = read_text("P2 8 1 255 40 40 40 100 200 200 200 200");
    ck_assert_uint_eq(picture.density[0], 255);
    ck_assert_int_ge(picture.density[3], 157); /* 62.5 % is 159 */
    ck_assert_int_le(picture.density[3], 161);
    ck_assert_uint_eq(picture.density[4], 0);
    nw_picture_free(&picture);
}
END_TEST

START_TEST(a_fixed_level_is_where_the_ink_ends)
{
    nw_picture_options options = nw_picture_defaults();
    options.level_kind = NW_LEVEL_FIXED;
    for (int level = 1; level < 9; level++) {
        options.level = level;
        options.ink = NW_INK_DARK;
        const char text[] = "P2 10 1 255 0 1 2 3 4 5 6 7 8 9";
        nw_picture picture = read_picture(text, sizeof text - 1, &options);
        for (int k = 0; k < 10; k++)
            ck_assert_int_eq(picture.density[k] >= 128, k <= level);
        nw_picture_free(&picture);
    }
}
END_TEST

/* 8 x 3 pixels, from the bottom: a run of 8 white; a literal of three and a run of 5 black; two
 * left out and a run of 3 black. */
START_TEST(run_lengths_of_bmp)
{
    static const uint8_t bytes[] =
        "BM\0\0\0\0\0\0\0\0\x3e\0\0\0\x28\0\0\0\x08\0\0\0\x03\0\0\0\x01\0\x08\0\x01\0\0\0\0\0\0\0\0"
        "\0\0"
        "\0\0\0\0\0\x02\0\0\0\0\0\0\0\0\0\0\0\xff\xff\xff\0"
        "\x08\x01\0\0\0\x03\x01\0\x01\0\x05\0\0\0\0\x02\x02\0\x03\0\0\x01";
    nw_picture_options options = nw_picture_defaults();
    options.ink = NW_INK_DARK;
    nw_picture picture = read_picture(bytes, sizeof bytes - 1, &options);
    ck_assert_mem_eq(picture.density,
                     "\0\0\xff\xff\xff\0\0\0"
                     "\0\xff\0\xff\xff\xff\xff\xff"
                     "\0\0\0\0\0\0\0\0",
                     24);
    nw_picture_free(&picture);
}
END_TEST

/* Formats are known by their first bytes, and named when they were not built in. */
START_TEST(a_missing_library_is_named)
{
#ifdef NW_WITH_JPEG
    const char *jpeg = "damaged";
#else
    const char *jpeg = "built without JPEG (libjpeg was missing)";
#endif
#ifdef NW_WITH_WEBP
    const char *webp = "damaged";
#else
    const char *webp = "built without WebP (libwebp was missing)";
#endif
#ifdef NW_WITH_GIF
    const char *gif = "damaged";
#else
    const char *gif = "built without GIF (giflib was missing)";
#endif
    expect_refused("\xff\xd8\xff\xe0", 4, jpeg);
    expect_refused("RIFF\4\0\0\0WEBPVP8 ", 16, webp);
    expect_refused("GIF89a", 6, gif);
}
END_TEST

/* A browser multiplies colours by alpha, to whole steps, and divides again when it is asked. */
static uint8_t through_a_browser(uint8_t colour, uint8_t alpha)
{
    double kept = floor(colour * alpha / 255.0 + 0.5);
    return alpha ? (uint8_t)floor(kept * 255 / alpha + 0.5) : 0;
}

static nw_picture picture_of(const uint8_t *rgba, uint32_t side, nw_ink_kind ink)
{
    nw_picture_options options = nw_picture_defaults();
    options.ink = ink;
    nw_pixels pixels = {.rgba = rgba, .width = side, .height = side};
    nw_picture picture;
    nw_error error;
    ck_assert_int_eq(nw_picture_of_pixels(&pixels, &options, &picture, &error), NW_OK);
    return picture;
}

START_TEST(what_a_browser_loses_of_half_clear_pixels_does_not_count)
{
    enum { SIDE = 64, COUNT = SIDE * SIDE };
    static uint8_t stored[4 * COUNT], browsers[4 * COUNT];
    uint32_t seed = 5, changed = 0;
    for (int i = 0; i < 4 * COUNT; i++) {
        int pixel = i / 4, x = pixel % SIDE;
        seed = seed * 1664525u + 1013904223u;
        stored[i] = (uint8_t)(i % 4 == 3 ? (x < 4 ? 255 : seed >> 24) : pixel % 97 + (seed >> 27));
    }
    for (int i = 0; i < 4 * COUNT; i++) {
        uint8_t alpha = stored[i | 3];
        browsers[i] = i % 4 == 3 ? alpha : through_a_browser(stored[i], alpha);
        changed += browsers[i] != stored[i];
    }
    ck_assert_uint_gt(changed, COUNT);
    for (int ink = 0; ink < 3; ink++) {
        nw_ink_kind kind = (nw_ink_kind[]){NW_INK_DARK, NW_INK_ALPHA, NW_INK_COLOUR}[ink];
        nw_picture one = picture_of(stored, SIDE, kind), other = picture_of(browsers, SIDE, kind);
        ck_assert_mem_eq(one.density, other.density, COUNT);
        nw_picture_free(&one);
        nw_picture_free(&other);
    }
}
END_TEST

/* Black, and narrow stripes of yellow that run one way: turned by a quarter the same is art. */
START_TEST(a_picture_that_is_turned_has_the_same_colours)
{
    enum { SIDE = 64, COUNT = SIDE * SIDE };
    static uint8_t upright[4 * COUNT], turned[4 * COUNT];
    for (int i = 0; i < COUNT; i++) {
        int x = i % SIDE, y = i / SIDE;
        bool drawn = y >= 8 && y < 56 && x >= 8 && x < 56, yellow = x >= 24 && x % 2 == 0;
        uint8_t pixel[4] = {drawn && !yellow ? 0 : 255, drawn ? yellow ? 230 : 0 : 255,
                            drawn ? 0 : 255, 255};
        memcpy(upright + 4 * (size_t)i, pixel, 4);
        memcpy(turned + 4 * (size_t)(x * SIDE + y), pixel, 4);
    }
    nw_picture one = picture_of(upright, SIDE, NW_INK_AUTO);
    nw_picture other = picture_of(turned, SIDE, NW_INK_AUTO);
    ck_assert_int_eq(one.ink, other.ink);
    ck_assert_uint_eq(one.colours, other.colours);
    for (int i = 0; i < COUNT; i++)
        ck_assert_int_eq(one.density[i], other.density[i % SIDE * SIDE + i / SIDE]);
    nw_picture_free(&one);
    nw_picture_free(&other);
}
END_TEST

/* Squares of two pixels, at the right and below filled up with the outermost ones. */
START_TEST(what_is_left_over_of_whole_squares_counts)
{
    uint8_t values[] = {0, 4, 8, 8, 100, 4, 8, 8, 8, 200, 10, 20, 30, 40, 50};
    uint32_t width = 5, height = 3;
    nw_coarseness coarse = {.squares = 2};
    ck_assert(nw_noise_lower(values, &width, &height, false, &coarse));
    ck_assert(width == 3 && height == 2);
    ck_assert_mem_eq(values, ((uint8_t[]){4, 8, 150, 15, 35, 50}), 6);
}
END_TEST

/* A disc under a soft edge of about `blur` pixels, from dark to light, with noise of this
 * deviation that is cut off at black and white. */
enum { SIDE = 320 };

static void noisy_disc(double radius, double blur, int dark, int light, double noise,
                       uint8_t *values)
{
    uint32_t seed = 7;
    for (int i = 0; i < SIDE * SIDE; i++) {
        double away = hypot(i % SIDE - SIDE / 2, i / SIDE - SIDE / 2) - radius, sum = 0;
        for (int k = 0; k < 12; k++) { /* a sum of twelve is nearly normal */
            seed = seed * 1664525u + 1013904223u;
            sum += (seed >> 8) / 16777216.0 - 0.5;
        }
        double level = dark + (light - dark) * (1 + erf(away / (blur * sqrt(2)))) / 2;
        values[i] = (uint8_t)fmin(255, fmax(0, floor(level + noise * sum + 0.5)));
    }
}

/* The same noise in the same contrast, once with black and white at the ends of what can be stored,
 * where half of it is lost, and once within. */
START_TEST(noise_that_is_cut_off_counts_whole)
{
    static uint8_t values[SIDE * SIDE];
    nw_coarseness coarse[2];
    for (int k = 0; k < 2; k++) {
        uint32_t width = SIDE, height = SIDE;
        noisy_disc(100, 1.5, k ? 0 : 85, k ? 255 : 170, k ? 30 : 10, values);
        ck_assert(nw_noise_lower(values, &width, &height, true, &coarse[k]));
    }
    ck_assert_double_gt(coarse[0].off, 0.05);
    ck_assert_double_eq_tol(coarse[1].off, coarse[0].off, 0.1 * coarse[0].off);
    ck_assert_double_eq_tol(coarse[1].sigma, coarse[0].sigma, 0.1 * coarse[0].sigma);
}
END_TEST

/* Where its middle level runs, a small disc is as large as before: a Gaussian alone takes 2 %. */
START_TEST(smoothing_leaves_what_is_bent)
{
    static uint8_t values[SIDE * SIDE];
    size_t ink[2] = {0};
    uint32_t width = SIDE, height = SIDE;
    nw_coarseness coarse = {.squares = 1, .sigma = 2};
    noisy_disc(14, 1, 0, 255, 0, values);
    for (int k = 0; k < 2; k++) {
        for (int i = 0; i < SIDE * SIDE; i++)
            ink[k] += values[i] < 128;
        ck_assert(k || nw_noise_lower(values, &width, &height, false, &coarse));
    }
    ck_assert_double_eq_tol((double)ink[1], (double)ink[0], 0.01 * (double)ink[0]);
}
END_TEST

/* What is found is what was done. */
/* Nothing but noise round a grey: along the picture's edges, where half of each mean is the other
 * half once more, its square is not quite twice as large as within. */
START_TEST(noise_is_smoothed_at_the_edges_too)
{
    static uint8_t values[SIDE * SIDE];
    uint32_t width = SIDE, height = SIDE;
    nw_coarseness coarse = {.squares = 1, .sigma = 1.5};
    double rim = 0, within = 0;
    noisy_disc(0, 1, 128, 128, 40, values);
    ck_assert(nw_noise_lower(values, &width, &height, false, &coarse));
    for (int i = 0; i < SIDE; i++) {
        const int rims[] = {i, (SIDE - 1) * SIDE + i, i * SIDE, i * SIDE + SIDE - 1};
        for (int k = 0; k < 4; k++) {
            rim += pow(values[rims[k]] - 128, 2);
            within += pow(values[(40 + 60 * k) * SIDE + i] - 128, 2);
        }
    }
    ck_assert_double_lt(rim, 1.9 * within);
}
END_TEST

START_TEST(smoothing_that_is_found_is_the_same_again)
{
    static uint8_t found[SIDE * SIDE], again[SIDE * SIDE];
    uint32_t width = SIDE, height = SIDE;
    nw_coarseness coarse;
    double off = 0;
    noisy_disc(100, 3, 0, 255, 40, found);
    memcpy(again, found, sizeof found);
    ck_assert(nw_noise_lower(found, &width, &height, true, &coarse));
    ck_assert(nw_noise_lower(again, &width, &height, false, &coarse));
    for (int i = 0; i < SIDE * SIDE; i++)
        off += abs(found[i] - again[i]);
    ck_assert_double_gt(coarse.sigma, 0);
    ck_assert_double_lt(off / (SIDE * SIDE), 1);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {run_lengths_of_bmp,
                                  noise_that_is_cut_off_counts_whole,
                                  noise_is_smoothed_at_the_edges_too,
                                  smoothing_leaves_what_is_bent,
                                  smoothing_that_is_found_is_the_same_again,
                                  what_is_left_over_of_whole_squares_counts,
                                  a_picture_that_is_turned_has_the_same_colours,
                                  a_missing_library_is_named,
                                  all_kinds_of_pnm_read_alike,
                                  bad_pnm_is_refused,
                                  a_size_above_the_limit_is_refused,
                                  density_is_coverage,
                                  a_fixed_level_is_where_the_ink_ends,
                                  what_a_browser_loses_of_half_clear_pixels_does_not_count};
    return TESTS_RUN("picture", tests);
}
