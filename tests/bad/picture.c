/*
 * Pictures of every format, cut short at every length and with every byte spoilt: each is read
 * rightly or refused with one line, and never more. Each format runs in a process of its own, where
 * a crash counts as a failure. Behind the first bytes, which are the headers', each byte is spoilt
 * in one way of six, by turns; in all of them when NARROWS_TEST_ALL is set.
 */
#include "../picture_make.h"
#include "../tests.h"

#include <picture/picture.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WIDTH 37
#define HEIGHT 23
#define HEADERS 100 /* bytes */

/* A ring on paper, with soft edges, of any number of channels; alpha the other way round. */
static uint8_t *ring(int channels)
{
    uint8_t *pixels = calloc(WIDTH * HEIGHT, (size_t)channels);
    for (int k = 0; k < WIDTH * HEIGHT; k++) {
        int x = k % WIDTH - 18, y = k / WIDTH - 11, far = x * x + y * y;
        int grey = far > 90 || far < 25 ? 250 : far > 85 ? 130 : 5;
        for (int c = 0; c < channels; c++) {
            bool alpha = channels % 2 == 0 && c == channels - 1;
            pixels[k * channels + c] = (uint8_t)(alpha ? 255 - grey : grey);
        }
    }
    return pixels;
}

static nw_status attempt(const uint8_t *data, size_t length)
{
    nw_picture_options options = nw_picture_defaults();
    options.max_pixels = 1000000;
    nw_picture picture;
    nw_error error = {0};
    /* A copy of exactly this length, so that a sanitizer sees what is read beyond it. */
    uint8_t *exact = malloc(length ? length : 1);
    memcpy(exact, data, length);
    nw_status status = nw_picture_read(exact, length, &options, &picture, &error);
    free(exact);
    if (status == NW_OK) {
        ck_assert_uint_le((uint64_t)picture.width * picture.height, 1000000);
        ck_assert_int_ne(picture.ink, NW_INK_AUTO);
    } else {
        ck_assert_int_eq(status, NW_BAD_INPUT);
        ck_assert_uint_gt(strlen(error.message), 10);
        ck_assert_ptr_null(strchr(error.message, '\n'));
        ck_assert_ptr_null(picture.density);
    }
    nw_picture_free(&picture);
    return status;
}

/* tail: how many bytes at the end may be missing. */
static void spoil(nw_bytes bytes, size_t tail)
{
    if (bytes.length == 0)
        return; /* not built in */
    ck_assert_int_eq(attempt(bytes.data, bytes.length), NW_OK);
    for (size_t length = 0; length < bytes.length; length++) {
        nw_status status = attempt(bytes.data, length);
        ck_assert_msg(status == NW_BAD_INPUT || length + tail >= bytes.length,
                      "%zu of %zu bytes were taken for a picture", length, bytes.length);
    }
    const bool all = getenv("NARROWS_TEST_ALL");
    for (size_t at = 0; at < bytes.length; at++) {
        uint8_t good = bytes.data[at];
        const uint8_t spoilt[] = {0, 1, 0x7f, 0x80, 0xff, (uint8_t)~good};
        for (size_t k = 0; k < sizeof spoilt; k++) {
            bytes.data[at] = spoilt[k];
            if (all || at < HEADERS || at % sizeof spoilt == k)
                attempt(bytes.data, bytes.length);
        }
        bytes.data[at] = good;
    }
    nw_bytes_free(&bytes);
}

START_TEST(spoilt_png)
{
    for (int channels = 1; channels <= 4; channels++) {
        uint8_t *pixels = ring(channels);
        spoil(make_png(WIDTH, HEIGHT, channels, pixels, channels % 2), 0);
        free(pixels);
    }
}
END_TEST

START_TEST(spoilt_bmp)
{
    for (int channels = 3; channels <= 4; channels++) {
        uint8_t *pixels = ring(channels);
        spoil(make_bmp(WIDTH, HEIGHT, channels, pixels), 0);
        free(pixels);
    }
}
END_TEST

START_TEST(spoilt_run_lengths)
{
    /* 8 x 3, two colours: a run, a literal, an end of line, a skip, an end. */
    static const uint8_t runs[] =
        "BM\0\0\0\0\0\0\0\0\x3e\0\0\0\x28\0\0\0\x08\0\0\0\x03\0\0\0\x01\0\x08\0\x01\0\0\0\0\0\0\0\0"
        "\0\0"
        "\0\0\0\0\0\x02\0\0\0\0\0\0\0\0\0\0\0\xff\xff\xff\0"
        "\x08\x01\0\0\0\x03\x01\0\x01\0\x05\0\0\0\0\x02\x02\0\x03\0\0\x01";
    nw_bytes bytes = {malloc(sizeof runs - 1), sizeof runs - 1};
    memcpy(bytes.data, runs, bytes.length);
    spoil(bytes, 0);
}
END_TEST

START_TEST(spoilt_jpeg)
{
    for (int channels = 1; channels <= 4; channels += channels == 1 ? 2 : 1) {
        uint8_t *pixels = ring(channels);
        nw_bytes exif = make_exif(6);
        spoil(make_jpeg(WIDTH, HEIGHT, channels, pixels, channels == 3, &exif), 0);
        nw_bytes_free(&exif);
        free(pixels);
    }
}
END_TEST

START_TEST(spoilt_webp)
{
    for (int channels = 3; channels <= 4; channels++) {
        uint8_t *pixels = ring(channels);
        spoil(make_webp(WIDTH, HEIGHT, channels, pixels), 0);
        free(pixels);
    }
}
END_TEST

START_TEST(spoilt_gif)
{
    uint8_t *pixels = ring(1);
    spoil(make_gif(WIDTH, HEIGHT, pixels, -1, false), 4);
    spoil(make_gif(WIDTH, HEIGHT, pixels, 250, true), 4);
    free(pixels);
}
END_TEST

START_TEST(spoilt_pnm)
{
    static const char *const texts[] = {
        "P1 6 3 000000 011110 000000",
        "P2 4 3 255 9 9 9 9 9 250 250 9 9 9 9 9\n",
        "P3 2 2 9 9 9 9 0 0 0 9 9 9 9 9 9\n",
    };
    for (size_t k = 0; k < sizeof texts / sizeof *texts; k++) {
        nw_bytes bytes = {(uint8_t *)strdup(texts[k]), strlen(texts[k])};
        spoil(bytes, 1);
    }
    static const uint8_t raw[] = "P5\n4 3\n255\n\0\0\0\0\0\xff\xff\0\0\0\0";
    nw_bytes bytes = {malloc(sizeof raw), sizeof raw};
    memcpy(bytes.data, raw, sizeof raw);
    spoil(bytes, 0);
}
END_TEST

static void expect_claim_refused(const uint8_t *data, size_t length)
{
    nw_picture_options options = nw_picture_defaults();
    options.max_pixels = UINT64_MAX;
    nw_picture picture;
    nw_error error = {0};
    ck_assert_int_eq(nw_picture_read(data, length, &options, &picture, &error), NW_BAD_INPUT);
    ck_assert_msg(strstr(error.message, "short") || strstr(error.message, "ends") ||
                      strstr(error.message, "damaged"),
                  "%s", error.message);
}

/* Headers that claim far more than their files can hold are refused before memory is taken: there
 * is no limit here that would do it. */
START_TEST(great_claims)
{
    uint8_t *pixels = ring(1);
    nw_bytes png = make_png(WIDTH, HEIGHT, 1, pixels, false);
    static const uint8_t great[] = {0, 1, 0x86, 0xa0}; /* 100000 */
    memcpy(png.data + 16, great, 4);
    memcpy(png.data + 20, great, 4);
    static const uint8_t sum[] = {0x8d, 0x39, 0x54, 0x14};
    memcpy(png.data + 29, sum, 4);
    expect_claim_refused(png.data, png.length);
    nw_bytes_free(&png);

    nw_bytes gif = make_gif(WIDTH, HEIGHT, pixels, -1, false);
    if (gif.length) {
        memset(gif.data + 6, 0xff, 4);
        uint8_t *frame = memchr(gif.data + 13 + 768, ',', 20);
        memset(frame + 5, 0xff, 4);
        expect_claim_refused(gif.data, gif.length);
    }
    nw_bytes_free(&gif);

    nw_bytes jpeg = make_jpeg(WIDTH, HEIGHT, 1, pixels, false, NULL);
    for (size_t k = 0; k + 9 < jpeg.length; k++) {
        if (jpeg.data[k] == 0xff && jpeg.data[k + 1] == 0xc0) {
            memset(jpeg.data + k + 5, 0xfe, 4);
            expect_claim_refused(jpeg.data, jpeg.length);
            break;
        }
    }
    nw_bytes_free(&jpeg);
    free(pixels);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {spoilt_png,  spoilt_bmp, spoilt_run_lengths, spoilt_jpeg,
                                  spoilt_webp, spoilt_gif, spoilt_pnm,         great_claims};
    return TESTS_RUN("bad pictures", tests);
}
