/* Finding the ink: the drawing in every colour must give the same ink as the drawing itself. */
#include <pieces/pieces.h>
#include "picture_drawing.h"

static void expect_colours(const uint8_t ink[3], const uint8_t paper[3], nw_ink_kind kind)
{
    uint8_t *pixels = drawing(ink, paper);
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert(picture.ink == kind);
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

/* Black on paper that fades from cream to a darker cream, so many levels along x and y: its shades
 * are no ink. `steep`: all of it within so many times less than the picture. */
static void expect_shaded(double along_x, double along_y, double steep)
{
    uint8_t *pixels = malloc(PIXELS * 3);
    for (int k = 0; k < PIXELS * 3; k++) {
        double x = fmin(1, steep * (k / 3 % WIDTH) / WIDTH);
        double y = fmin(1, steep * (k / 3 / WIDTH) / HEIGHT);
        int fade = (int)(along_x * x + along_y * y);
        int paper = k % 3 == 2 ? 230 - fade : 255 - fade;
        pixels[k] = mixed(0, paper, coverage(k / 3 % WIDTH, k / 3 / WIDTH));
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_msg(picture.ink == NW_INK_DARK, "%g %g", along_x, along_y);
    /* One level for light and dark paper moves some antialiased pixels to the other side. */
    expect_drawing(&picture, 200, 20);
    free(pixels);
}

START_TEST(shaded_paper)
{
    expect_shaded(60, 0, 1);
    expect_shaded(0, 60, 1);
    expect_shaded(60, 60, 1);
    expect_shaded(0, 120, 1);
    expect_shaded(120, 0, 1);
    expect_shaded(0, 120, 3);
    expect_shaded(120, 0, 3);
    expect_shaded(0, 150, 1);
}
END_TEST

/* Whatever its shades, art on transparent ground is what is not transparent; that it has several is
 * said. */
START_TEST(shaded_art_on_transparent_ground)
{
    for (int direction = 0; direction < 2; direction++) {
        uint8_t *pixels = transparent_drawing(black);
        for (int k = 0; k < PIXELS; k++) {
            int shade = direction ? 250 * (k % WIDTH) / WIDTH : 250 * (k / WIDTH) / HEIGHT;
            pixels[4 * k] = (uint8_t)shade;
            pixels[4 * k + 1] = (uint8_t)(shade / 2);
        }
        nw_bytes bytes = make_png(WIDTH, HEIGHT, 4, pixels, false);
        nw_picture picture = read_bytes(&bytes, NULL);
        ck_assert_int_eq(picture.ink, NW_INK_ALPHA);
        ck_assert(picture.several);
        expect_drawing(&picture, 0, 0.01);
        free(pixels);
    }
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
    ck_assert(picture.ink == NW_INK_COLOUR && picture.colours == 2);
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

/* A field of so many pixels within the block, from its corner on. */
static bool in_field(int k, int width, int height)
{
    int x = k % WIDTH - 200, y = k / WIDTH - 50;
    return x >= 0 && x < width && y >= 0 && y < height;
}

/* A pale colour counts from two thousandths of the picture on: 173 pixels. */
START_TEST(a_speck_of_colour_is_none)
{
    for (int small = 0; small < 2; small++) {
        uint8_t *pixels = drawing(black, white);
        for (int k = 0; k < PIXELS; k++)
            if (in_field(k, small ? 12 : 16, small ? 11 : 16)) /* 132 pixels, 256 */
                memcpy(pixels + 3 * k, (uint8_t[]){255, 255, 150}, 3);
        nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
        nw_picture picture = read_bytes(&bytes, NULL);
        ck_assert_int_eq(picture.ink, small ? NW_INK_DARK : NW_INK_COLOUR);
        nw_picture_free(&picture);
        free(pixels);
    }
}
END_TEST

/* White within black art on transparent ground is paper from two hundredths of the art on, which is
 * some 20800 pixels. */
START_TEST(a_white_speck_is_no_paper)
{
    for (int small = 0; small < 2; small++) {
        uint8_t *pixels = transparent_drawing(black);
        for (int k = 0; k < PIXELS; k++)
            if (in_field(k, small ? 20 : 25, small ? 15 : 25)) /* 1.4 %, 3 % */
                memset(pixels + 4 * k, 255, 3);
        nw_bytes bytes = make_png(WIDTH, HEIGHT, 4, pixels, false);
        nw_picture picture = read_bytes(&bytes, NULL);
        ck_assert_int_eq(picture.ink == NW_INK_ALPHA, small);
        nw_picture_free(&picture);
        free(pixels);
    }
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

/* A white disc on transparent ground, with a black rim along so much of it. */
static nw_picture rimmed_read(double part)
{
    uint8_t *pixels = calloc(PIXELS, 4);
    for (int k = 0; k < PIXELS; k++) {
        double x = k % WIDTH - 180, y = k / WIDTH - 120, in = disc(x, y, 80);
        bool rimmed = fabs(atan2(y, -x)) <= part * NW_PI;
        memset(pixels + 4 * k, mixed(255, 0, rimmed ? in : 1), 3);
        pixels[4 * k + 3] = mixed(255, 0, rimmed ? disc(x, y, 90) : in);
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 4, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    free(pixels);
    return picture;
}

/* White filling inside a black rim, be it open somewhere, is a line drawing; where hardly any of it
 * is rimmed it is art. */
START_TEST(a_white_filling_is_paper)
{
    const double parts[] = {1, 0.9, 0.65, 0.1};
    for (int k = 0; k < 4; k++) {
        nw_picture picture = rimmed_read(parts[k]);
        ck_assert_int_eq(picture.ink, k < 3 ? NW_INK_DARK : NW_INK_ALPHA);
        ck_assert_uint_eq(picture.density[120 * WIDTH + 180], k < 3 ? 0 : 255);
        ck_assert_uint_eq(picture.density[120 * WIDTH + 180 - 85], 255);
        ck_assert_uint_eq(picture.density[0], 0);
        nw_picture_free(&picture);
    }
}
END_TEST

/* A sheet with its corners cut off, which are transparent. */
static uint8_t *trimmed_sheet(const uint8_t ink[3], const uint8_t paper[3])
{
    uint8_t *pixels = malloc(PIXELS * 4), *whole = drawing(ink, paper);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        int side = x < WIDTH - x ? x : WIDTH - 1 - x, end = y < HEIGHT - y ? y : HEIGHT - 1 - y;
        memcpy(pixels + 4 * k, whole + 3 * k, 3);
        pixels[4 * k + 3] = side + end < 30 ? 0 : 255;
    }
    free(whole);
    return pixels;
}

static void expect_trimmed(const uint8_t ink[3], const uint8_t paper[3], nw_ink_kind asked)
{
    uint8_t *pixels = trimmed_sheet(ink, paper);
    nw_picture_options options = nw_picture_defaults();
    options.ink = asked;
    memcpy(options.colour, ink, sizeof options.colour);
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 4, pixels, false);
    nw_picture picture = read_bytes(&bytes, &options);
    ck_assert(asked != NW_INK_AUTO || picture.clear_too);
    expect_drawing(&picture, 0, 0.4);
    free(pixels);
}

START_TEST(transparent_corners_are_no_ink)
{
    const uint8_t blue[] = {20, 60, 160}, yellow[] = {250, 220, 60}, cream[] = {255, 250, 225};
    expect_trimmed(black, white, NW_INK_AUTO);
    expect_trimmed(black, cream, NW_INK_AUTO);
    expect_trimmed(white, black, NW_INK_AUTO);
    expect_trimmed(blue, yellow, NW_INK_AUTO);
    expect_trimmed(yellow, blue, NW_INK_AUTO);
    expect_trimmed(yellow, cream, NW_INK_AUTO);
    expect_trimmed(white, black, NW_INK_LIGHT);
    expect_trimmed(white, blue, NW_INK_LIGHT);
    expect_trimmed(yellow, blue, NW_INK_LIGHT);
    expect_trimmed(blue, yellow, NW_INK_DARK);
    expect_trimmed(white, blue, NW_INK_COLOUR);
    expect_trimmed(blue, yellow, NW_INK_COLOUR);
}
END_TEST

START_TEST(a_plain_sheet_is_what_is_not_transparent)
{
    uint8_t *pixels = trimmed_sheet(white, white);
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 4, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert(picture.ink == NW_INK_ALPHA);
    ck_assert_uint_eq(picture.density[0], 0);
    ck_assert_uint_eq(picture.density[PIXELS / 2 + WIDTH / 2], 255);
    nw_picture_free(&picture);
    free(pixels);
}
END_TEST

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

int main(void)
{
    const TTest *const tests[] = {any_two_colours,
                                  pale_red_on_white,
                                  shaded_paper,
                                  shaded_art_on_transparent_ground,
                                  several_colours_on_white,
                                  a_speck_of_colour_is_none,
                                  a_white_speck_is_no_paper,
                                  any_colour_on_transparent_ground,
                                  a_white_filling_is_paper,
                                  transparent_corners_are_no_ink,
                                  a_plain_sheet_is_what_is_not_transparent,
                                  pinholes_are_filled_and_slits_are_not};
    return TESTS_RUN("picture ink", tests);
}
