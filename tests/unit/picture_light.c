/* The drawing as a photograph under uneven light must give the same ink. */
#include "picture_drawing.h"

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
        ck_assert((picture.level_kind == NW_LEVEL_LOCAL) == (i > 0));
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
    ck_assert(picture.level_kind == NW_LEVEL_FIXED);
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
    for (int k = 0; k < PIXELS; k++)
        pixels[k] = (uint8_t)(255 - pixels[k]);
    nw_picture_options options = nw_picture_defaults();
    options.ink = NW_INK_LIGHT;
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    nw_picture picture = read_bytes(&bytes, &options);
    ck_assert_int_eq(picture.ink, NW_INK_LIGHT);
    expect_drawing(&picture, 40, 12);
    free(pixels);
}
END_TEST

/* A hand's shadow over the right of the sheet, or a phone's over its middle: as dark as `least`,
 * its edge `wide` pixels wide. */
static uint8_t *shaded_photograph(double least, double wide, bool middle)
{
    uint8_t *pixels = photograph(0);
    for (int k = 0; k < PIXELS; k++) {
        double x = k % WIDTH, y = k / WIDTH;
        double in = middle ? 70 - hypot(x - 200, y - 130) : x + 0.3 * y - 200;
        double t = fmax(0, fmin(1, in / wide + 0.5));
        pixels[k] = (uint8_t)(pixels[k] * (1 - (1 - least) * t * t * (3 - 2 * t)));
    }
    return pixels;
}

START_TEST(a_shadow_on_the_sheet_is_no_ink)
{
    const double darkness[] = {0.6, 0.45, 0.35};
    for (size_t i = 0; i < 6; i++) {
        uint8_t *pixels = shaded_photograph(darkness[i % 3], 70, i >= 3);
        nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
        nw_picture picture = read_bytes(&bytes, NULL);
        ck_assert_msg(picture.ink == NW_INK_DARK, "%zu", i);
        expect_drawing(&picture, 10, 12);
        free(pixels);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {uneven_light_is_noticed, even_light_needs_one_level,
                                  light_ink_under_uneven_light, a_shadow_on_the_sheet_is_no_ink};
    return TESTS_RUN("picture light", tests);
}
