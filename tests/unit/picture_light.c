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

#define LINE_PX 9.0
#define APART_PX 120

/* Upright lines out of focus. blur: in pixels, its deviation. */
static uint8_t *soft_lines(double blur, double fall)
{
    uint8_t *pixels = malloc(PIXELS);
    for (int k = 0; k < PIXELS; k++) {
        double x = k % WIDTH + 0.5, from = fmod(x, APART_PX) - APART_PX / 2, unit = blur * sqrt(2);
        double ink = (erf((from + LINE_PX / 2) / unit) - erf((from - LINE_PX / 2) / unit)) / 2;
        pixels[k] = (uint8_t)lround(250 * (1 - ink) * (1 - fall * x / WIDTH));
    }
    return pixels;
}

/* From where the densities of the middle row pass the half to where they do again. */
static double widest_line(const nw_picture *picture)
{
    const uint8_t *row = picture->density + (size_t)(HEIGHT / 2) * WIDTH;
    double from = 0, widest = 0;
    for (int x = 1; x < WIDTH; x++) {
        if (row[x] >> 7 == row[x - 1] >> 7)
            continue;
        double at = x - 1 + (127.5 - row[x - 1]) / (row[x] - row[x - 1]);
        widest = row[x] >> 7 ? widest : fmax(widest, at - from);
        from = at;
    }
    return widest;
}

/* Where blur is a third of the line no pixel is as dark as the ink, which nobody can know then. */
START_TEST(lines_out_of_focus_keep_their_width)
{
    const struct {
        double blur, fall, off;
    } cases[] = {{2, 0, 0.3}, {3, 0, 1.1}, {2, 0.6, 0.3}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        uint8_t *pixels = soft_lines(cases[i].blur, cases[i].fall);
        nw_picture_options options = nw_picture_defaults();
        options.level_kind = cases[i].fall > 0 ? NW_LEVEL_LOCAL : NW_LEVEL_AUTO;
        nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
        nw_picture picture = read_bytes(&bytes, &options);
        ck_assert_double_eq_tol(widest_line(&picture), LINE_PX, cases[i].off);
        nw_picture_free(&picture);
        free(pixels);
    }
}
END_TEST

/* Where the lines are drawn in grey beside black ones, the level between stays what it is. */
START_TEST(grey_lines_are_no_rims_of_black_ones)
{
    uint8_t *pixels = soft_lines(2, 0);
    for (int k = 0; k < PIXELS; k++)
        if (k % WIDTH / APART_PX % 2)
            pixels[k] = (uint8_t)(250 - (250 - pixels[k]) / 2);
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    const uint8_t *row = picture.density + (size_t)(HEIGHT / 2) * WIDTH;
    for (int x = APART_PX / 2; x < WIDTH; x += APART_PX)
        ck_assert_int_ge(row[x], 128);
    nw_picture_free(&picture);
    free(pixels);
}
END_TEST

/* A grey half-way between ink and paper, under noise, is ink or paper as a whole. */
START_TEST(noise_splits_no_grey)
{
    uint8_t *pixels = malloc(PIXELS);
    uint32_t random = 3;
    const int grey = 40, first = WIDTH / 2 - 60, last = WIDTH / 2 + 60;
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        bool inside = x > first && x < last && y > 60 && y < HEIGHT - 60;
        double noise = -24;
        for (int i = 0; i < 4; i++) {
            random = random * 1664525 + 1013904223;
            noise += (double)(random >> 20) / 4096 * 12;
        }
        double level = inside ? (x < last - grey ? 40 : 128) : 215;
        pixels[k] = (uint8_t)(level + noise + 0.5);
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    int ink = 0, all = 0;
    for (int y = 70; y < HEIGHT - 70; y++) {
        for (int x = last - grey + 5; x < last - 5; x++) {
            ink += picture.density[(size_t)y * WIDTH + x] >> 7;
            all++;
        }
    }
    ck_assert(ink == 0 || ink == all);
    nw_picture_free(&picture);
    free(pixels);
}
END_TEST

/* Whether what is light is the art: a turned rectangle or a disc on a darker table, with a disc
 * drawn on it or with none; photographed, with noise of so many levels, or drawn. */
static bool is_light_art(bool round, bool drawn, uint32_t noise)
{
    uint8_t pixels[PIXELS];
    uint32_t random = 5;
    for (int k = 0; k < PIXELS; k++) {
        double x = k % WIDTH - WIDTH / 2.0, y = k / WIDTH - HEIGHT / 2.0;
        double u = x + 0.07 * y, v = y - 0.07 * x;
        double paper = round ? disc(x, y, 100) : bar(u, -130, 120) * bar(v, -90, 95);
        double ink = drawn ? disc(x, y, 45) : 0;
        random = random * 1664525 + 1013904223;
        pixels[k] = (uint8_t)(mixed(230, 80, paper - ink) + (random >> 16) % (noise + 1));
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    const uint8_t *row = picture.density + HEIGHT / 2 * WIDTH;
    bool light = row[WIDTH / 2 + 60] > 127;
    ck_assert_int_eq(row[2] > 127, !light);
    ck_assert_int_eq(row[WIDTH / 2] > 127, light != drawn);
    ck_assert_int_eq(picture.on_table, !light && noise > 0);
    nw_picture_free(&picture);
    return light;
}

/* What is drawn on a sheet that lies on a table is the art; what is light otherwise is. */
START_TEST(paper_on_a_table_is_paper)
{
    for (uint32_t noise = 0; noise <= 20; noise += 20) {
        ck_assert(!is_light_art(false, true, noise));
        ck_assert(is_light_art(false, false, noise));
        ck_assert(is_light_art(true, true, noise));
        ck_assert(is_light_art(true, false, noise));
    }
}
END_TEST

/* How much of a square of that half-width is at a place of it, out of focus by a Gaussian. */
static double soft_square(double x, double y, double half)
{
    return 0.5 + 0.5 * erf((half - fmax(fabs(x), fabs(y))) / (1.2 * sqrt(2)));
}

#define TABLE_SIDE 480 /* small pictures are not looked through for noise */

/* A photograph of a sheet on a table of that grey, with a black square of that half-width on it. */
static nw_picture table_read(int table, double half)
{
    uint8_t *pixels = malloc(TABLE_SIDE * TABLE_SIDE);
    uint32_t random = 5;
    for (int k = 0; k < TABLE_SIDE * TABLE_SIDE; k++) {
        double x = k % TABLE_SIDE - TABLE_SIDE / 2.0, y = k / TABLE_SIDE - TABLE_SIDE / 2.0;
        double u = x + 0.07 * y, v = y - 0.07 * x, noise = -6;
        for (int i = 0; i < 12; i++) {
            random = random * 1664525 + 1013904223;
            noise += (double)(random >> 16) / 65536;
        }
        double level =
            mixed(10, mixed(234, table, soft_square(u, v, 200)), soft_square(u, v, half));
        pixels[k] = (uint8_t)fmax(0, fmin(255, level + 4 * noise));
    }
    nw_bytes bytes = make_png(TABLE_SIDE, TABLE_SIDE, 1, pixels, false);
    free(pixels);
    return read_bytes(&bytes, NULL);
}

/* A table paler than what is drawn: its border with the sheet is an edge, though no full one. */
START_TEST(a_table_is_no_shade)
{
    nw_picture picture = table_read(96, 110);
    ck_assert_int_eq(picture.ink, NW_INK_DARK);
    ck_assert(!picture.greys);
    nw_picture_free(&picture);
}
END_TEST

/* One that is nearer to paper than to ink, and more of the picture than the sheet: neither is it
 * what paper is. */
START_TEST(a_pale_table_is_no_paper)
{
    for (double half = 60; half <= 135; half += 25) {
        nw_picture picture = table_read(150, half);
        const uint8_t *row = picture.density + TABLE_SIDE / 2 * TABLE_SIDE;
        ck_assert(picture.on_table);
        ck_assert_int_gt(row[TABLE_SIDE / 2], 127);
        ck_assert_int_lt(row[TABLE_SIDE / 2 + 170], 128);
        nw_picture_free(&picture);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {uneven_light_is_noticed,
                                  even_light_needs_one_level,
                                  light_ink_under_uneven_light,
                                  a_shadow_on_the_sheet_is_no_ink,
                                  lines_out_of_focus_keep_their_width,
                                  grey_lines_are_no_rims_of_black_ones,
                                  noise_splits_no_grey,
                                  paper_on_a_table_is_paper,
                                  a_table_is_no_shade,
                                  a_pale_table_is_no_paper};
    return TESTS_RUN("picture light", tests);
}
