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
    const TTest *const tests[] = {every_format_reads_alike, jpeg_of_every_kind,
                                  pictures_are_turned_upright, progress_is_told};
    return TESTS_RUN("picture formats", tests);
}
