/* The drawing in every format, turned as cameras turn pictures, must give the same ink. */
#include "picture_drawing.h"

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
    for (int k = 0; k < PIXELS * 4; k++)
        inks[k] = k % 4 == 3 ? grey[k / 4] : 255;
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
        for (int k = 0; k < PIXELS; k++)
            stored[stored_at(orientation, k % WIDTH, k / WIDTH)] = grey[k];
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

/* What libraries hold in memory whole is refused above 3 bytes for each pixel allowed: 3 bytes a
 * pixel for a progressive JPEG with colours at half the resolution, 7 for a WebP without loss. */
static void expect_limit(nw_bytes bytes, uint64_t refused, uint64_t taken, const char *words)
{
    nw_picture_options options = nw_picture_defaults();
    nw_picture picture;
    nw_error error = {0};
    if (bytes.length) {
        options.max_pixels = refused;
        ck_assert_int_eq(nw_picture_read(bytes.data, bytes.length, &options, &picture, &error),
                         NW_BAD_INPUT);
        ck_assert_msg(strstr(error.message, words) && error.advice == NW_ADVICE_PIXELS, "%s",
                      error.message);
        options.max_pixels = taken;
        picture = read_bytes(&bytes, &options);
        expect_drawing(&picture, 0, 1);
    }
}

START_TEST(what_is_held_whole_is_limited)
{
    uint8_t *colour = drawing(black, white);
    expect_limit(make_jpeg(WIDTH, HEIGHT, 3, colour, true, NULL), PIXELS, PIXELS * 1.1,
                 "progressive JPEG");
    expect_limit(make_webp(WIDTH, HEIGHT, 3, colour), PIXELS * 2, PIXELS * 2.4, "WebP");
    expect_limit(make_png(WIDTH, HEIGHT, 3, colour, false), PIXELS - 1, PIXELS, "limit");
    free(colour);
}
END_TEST

/* A large WebP picture is decoded in strips: the drawing's pixels 14 times as wide and high. */
START_TEST(strips_of_webp_meet)
{
    int times = 14, width = WIDTH * times, height = HEIGHT * times;
    uint8_t *pixels = malloc((size_t)width * (size_t)height * 3);
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++) {
            uint8_t level = mixed(0, 255, coverage(x / times, y / times) > 0.5);
            memset(pixels + 3 * ((size_t)y * (size_t)width + (size_t)x), level, 3);
        }
    }
    nw_bytes bytes = make_lossy_webp(width, height, pixels);
    if (bytes.length) {
        nw_picture picture = read_bytes(&bytes, NULL);
        size_t wrong = 0;
        for (size_t k = 0; k < (size_t)width * (size_t)height; k++)
            wrong += (picture.density[k] > 127) != (pixels[3 * k] < 128);
        ck_assert_uint_le(wrong, 100);
        nw_picture_free(&picture);
    }
    free(pixels);
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

/* A BMP states its pixels to the metre at bytes 38 and 42; 11811 make 300 to the inch. */
START_TEST(a_bmp_says_its_pixels_per_inch)
{
    uint8_t *colour = drawing(black, white);
    const uint8_t stated[][2] = {{0x23, 0x2e}, {0, 0}, {0x23, 0x2f}}; /* along y: 11811, 0, 12067 */
    for (size_t k = 0; k < 3; k++) {
        nw_bytes bytes = make_bmp(WIDTH, HEIGHT, 3, colour);
        memcpy(bytes.data + 38, k == 1 ? stated[1] : stated[0], 2);
        memcpy(bytes.data + 42, stated[k], 2);
        nw_picture picture = read_bytes(&bytes, NULL);
        ck_assert_double_eq_tol(picture.ppi, k == 0 ? 300 : 0, 0.001);
        nw_picture_free(&picture);
    }
    free(colour);
}
END_TEST

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
    const TTest *const tests[] = {every_format_reads_alike,
                                  jpeg_of_every_kind,
                                  pictures_are_turned_upright,
                                  what_is_held_whole_is_limited,
                                  strips_of_webp_meet,
                                  a_bmp_says_its_pixels_per_inch,
                                  progress_is_told};
    return TESTS_RUN("picture formats", tests);
}
