/* Art in three tones, or on two grounds: the same whatever scatters the tones, and however the
 * picture is turned. */
#include "picture_drawing.h"

/* Like noise: numbers from -1 to 1, most of them about 0, always the same ones. */
static double scattered(uint32_t *random)
{
    double sum = -2;
    for (int i = 0; i < 4; i++) {
        *random = *random * 1664525 + 1013904223;
        sum += (double)(*random >> 20) / 4096;
    }
    return sum / 2;
}

/* A black block with a shadow of that grey to its right, and paler below, on paper. Each pixel's
 * level is off by up to `most`. */
static nw_picture shade_read(int paper, int grey, int more, double most)
{
    uint8_t *pixels = malloc(PIXELS);
    uint32_t random = 3;
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        bool inside = x > 120 && x < 240 && y > 60 && y < HEIGHT - 60;
        double level = inside ? (x < 200 ? 0 : grey + more * (y - 60) / 120) : paper;
        pixels[k] = (uint8_t)fmax(0, fmin(255, level + most * scattered(&random) + 0.5));
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    free(pixels);
    return read_bytes(&bytes, NULL);
}

static nw_picture shadow_read(int paper, int grey, double most)
{
    return shade_read(paper, grey, 0, most);
}

/* How much of the shadow, away from its edges, is ink. */
static double shadow_share(const nw_picture *picture)
{
    int ink = 0, all = 0;
    for (int y = 70; y < HEIGHT - 70; y++) {
        for (int x = 205; x < 235; x++) {
            ink += picture->density[(size_t)y * WIDTH + x] >> 7;
            all++;
        }
    }
    return (double)ink / all;
}

/* However few of a grey's pixels lie beyond the level. */
START_TEST(a_grey_near_the_level_is_whole)
{
    for (int grey = 116; grey <= 138; grey += 2) {
        nw_picture picture = shadow_read(255, grey, 20);
        double share = shadow_share(&picture);
        ck_assert_msg(share == 0 || share == 1, "%d: %g", grey, share);
        nw_picture_free(&picture);
    }
}
END_TEST

/* A pale shadow is a colour of its own, though its levels scatter about a multiple of 16. */
START_TEST(a_scattered_shadow_is_ink)
{
    for (int most = 0; most <= 24; most += 12) {
        nw_picture picture = shadow_read(255, 191, most);
        ck_assert_int_eq(picture.ink, NW_INK_COLOUR);
        ck_assert_double_eq(shadow_share(&picture), 1);
        nw_picture_free(&picture);
    }
}
END_TEST

/* Too pale to be told from noise it is left out; the level that is said takes it. */
START_TEST(a_pale_shadow_in_noise_is_said)
{
    nw_picture picture = shadow_read(235, 202, 20);
    ck_assert_int_eq(picture.ink, NW_INK_DARK);
    ck_assert_double_eq(shadow_share(&picture), 0);
    ck_assert_int_gt(picture.mark_level, 206);
    ck_assert_int_lt(picture.mark_level, 220);
    nw_picture_free(&picture);
    picture = shadow_read(235, 202, 0);
    ck_assert_int_eq(picture.mark_level, 0);
    ck_assert_double_eq(shadow_share(&picture), 1);
    nw_picture_free(&picture);
}
END_TEST

/* As a shadow that runs through many greys is. */
START_TEST(a_shade_that_is_left_out_is_said)
{
    nw_picture picture = shade_read(255, 165, 40, 0);
    ck_assert_int_eq(picture.ink, NW_INK_DARK);
    ck_assert_double_eq(shadow_share(&picture), 0);
    ck_assert_int_gt(picture.mark_level, 165);
    ck_assert_int_lt(picture.mark_level, 240);
    nw_picture_free(&picture);
}
END_TEST

/* Black on a cream panel, which is somewhat more of the picture than the white round it. */
START_TEST(paper_is_what_the_rim_is)
{
    uint8_t *pixels = drawing(black, (uint8_t[]){255, 240, 190});
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        if (x < 30 || x >= WIDTH - 30 || y < 20 || y >= HEIGHT - 20)
            memcpy(pixels + 3 * k, white, 3);
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_int_eq(picture.ink, NW_INK_COLOUR);
    ck_assert_mem_eq(picture.colour, white, 3);
    nw_picture_free(&picture);
    free(pixels);
}
END_TEST

/* A sheet with a block in its middle, on clear ground that shows on four sides so far. */
static nw_picture sheet_read(const uint8_t ground[3], const uint8_t ink[3], const int margins[4])
{
    uint8_t *pixels = calloc(PIXELS, 4);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        bool in = x > 100 && x < 200 && y > 60 && y < HEIGHT - 60;
        if (x < margins[0] || y < margins[1] || x >= WIDTH - margins[2] || y >= HEIGHT - margins[3])
            continue;
        memcpy(pixels + 4 * k, in ? ink : ground, 3);
        pixels[4 * k + 3] = 255;
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 4, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    free(pixels);
    return picture;
}

/* As without clear ground round it; what is on it is the art, not the sheet. */
START_TEST(a_sheet_has_a_rim_of_its_own)
{
    static const uint8_t grounds[][3] = {{255, 255, 255}, {230, 0, 0}, {107, 134, 189}};
    static const int margins[][4] = {
        {0, 0, 0, 0}, {0, 0, 20, 16}, {12, 30, 0, 0}, {24, 24, 24, 24}, {1, 1, 1, 1}};
    for (size_t k = 0; k < 3 * sizeof margins / sizeof *margins; k++) {
        const int *m = margins[k / 3];
        nw_picture picture = sheet_read(grounds[k % 3], k % 3 ? white : black, m);
        ck_assert_int_ne(picture.ink, NW_INK_ALPHA);
        ck_assert_int_eq(picture.density[(size_t)(HEIGHT / 2) * WIDTH + 150], 255);
        ck_assert_int_eq(picture.density[(size_t)(m[1] + 5) * WIDTH + (size_t)m[0] + 5], 0);
        ck_assert_int_eq(
            picture.density[(size_t)(HEIGHT - m[3] - 6) * WIDTH + (size_t)(WIDTH - m[2] - 6)], 0);
        nw_picture_free(&picture);
    }
}
END_TEST

/* On transparent ground, a black plate with white flaps on one side: as much of its rim, along rows
 * or columns and on whatever side, is lost on white. */
static nw_ink_kind flaps_read(int turn, bool mirrored)
{
    enum { SIDE = 120 };
    uint8_t *pixels = calloc(SIDE * SIDE, 4);
    for (int k = 0; k < SIDE * SIDE; k++) {
        int x = k % SIDE, y = k / SIDE;
        bool flap = x >= 80 && x < 100 && y % 4 >= 2;
        if (y < 20 || y >= 100 || x < 20 || !(x < 80 || flap))
            continue;
        int u = mirrored ? SIDE - 1 - x : x, v = y;
        for (int i = 0; i < turn; i++) {
            int keep = u;
            u = v;
            v = SIDE - 1 - keep;
        }
        memset(pixels + 4 * (v * SIDE + u), flap ? 255 : 0, 3);
        pixels[4 * (v * SIDE + u) + 3] = 255;
    }
    nw_bytes bytes = make_png(SIDE, SIDE, 4, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    nw_ink_kind kind = picture.ink;
    nw_picture_free(&picture);
    free(pixels);
    return kind;
}

START_TEST(rims_on_every_side_count)
{
    for (int turn = 0; turn < 4; turn++) {
        ck_assert_int_eq(flaps_read(turn, false), NW_INK_ALPHA);
        ck_assert_int_eq(flaps_read(turn, true), NW_INK_ALPHA);
    }
}
END_TEST

static bool is_within(int x, int y, int left, int top, int right, int bottom)
{
    return x >= left && x < right && y >= top && y < bottom;
}

/* A bar with a narrow slot. */
static bool is_bar(int x, int y)
{
    return is_within(x, y, 240, 40, 260, 140) && !is_within(x, y, 249, 50, 251, 130);
}

static bool is_spot(int x, int y)
{
    return is_within(x, y, 100, 80, 120, 100) || is_within(x, y, 60, 48, 63, 51);
}

/* A cream plate with a black rim, within which overshoot leaves white dashes, and two white spots,
 * one of them between the rim and a black bar; and a black bar with a narrow slot. */
START_TEST(rings_within_a_pale_ink_are_ink)
{
    static const uint8_t cream[3] = {255, 255, 235};
    uint8_t *pixels = malloc(PIXELS * 3);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        bool rim = (is_within(x, y, 40, 40, 200, 140) && !is_within(x, y, 44, 44, 196, 136)) ||
                   is_within(x, y, 50, 56, 74, 60);
        bool dash = !is_within(x, y, 46, 46, 194, 134) && (x + y) % 5 > 1;
        bool plate = is_within(x, y, 44, 44, 196, 136) && !is_spot(x, y);
        memcpy(pixels + 3 * k, is_bar(x, y) || rim ? black : plate && !dash ? cream : white, 3);
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_uint_eq(picture.colours, 2);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        bool plate = is_within(x, y, 40, 40, 200, 140) && !is_spot(x, y);
        ck_assert_msg(picture.density[k] == (is_bar(x, y) || plate ? 255 : 0), "at %d, %d", x, y);
    }
    nw_picture_free(&picture);
    free(pixels);
}
END_TEST

/* Frees the pixels. False: nothing here writes JPEG. */
static bool jpeg_read(uint8_t *pixels, nw_picture *picture)
{
    nw_bytes bytes = make_jpeg(WIDTH, HEIGHT, 3, pixels, false, NULL);
    free(pixels);
    if (!bytes.length)
        return false;
    *picture = read_bytes(&bytes, NULL);
    return true;
}

/* A pale plate with a dark rim and a dark block in it, through JPEG: the plate fills an area and is
 * ink, as it is in PNG, but nothing is that compression leaves beside the red bar. */
START_TEST(a_pale_ink_that_fills_an_area_is_ink)
{
    static const uint8_t red[] = {250, 40, 0};
    uint8_t *pixels = malloc(PIXELS * 3);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        bool dark = is_within(x, y, 40, 40, 200, 140) &&
                    (!is_within(x, y, 43, 43, 197, 137) || is_within(x, y, 100, 80, 120, 100));
        bool plate = is_within(x, y, 40, 40, 200, 140);
        memset(pixels + 3 * k, dark ? 0 : plate ? 230 : 255, 3);
        if (is_bar(x, y))
            memcpy(pixels + 3 * k, red, 3);
    }
    nw_picture picture;
    if (!jpeg_read(pixels, &picture))
        return;
    ck_assert_int_eq(picture.ink, NW_INK_COLOUR);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        if (is_within(x, y, 50, 50, 190, 130))
            ck_assert_msg(picture.density[k] == 255, "at %d, %d", x, y);
        if (!is_within(x, y, 36, 36, 204, 144) && !is_within(x, y, 236, 36, 264, 144))
            ck_assert_msg(picture.density[k] < 128, "at %d, %d", x, y);
    }
    nw_picture_free(&picture);
}
END_TEST

/* Black bars on paper that lies in a pale shadow from its middle on, whose edge is soft. */
START_TEST(a_pale_shadow_on_paper_is_no_ink)
{
    uint8_t *pixels = malloc(PIXELS * 3);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        bool bar = y % 40 >= 30 && x > 10 && x < WIDTH - 10;
        double shade = fmin(1, fmax(0, (x - WIDTH / 2) / 12.0));
        memset(pixels + 3 * k, bar ? 0 : (int)(250 - 28 * shade), 3);
    }
    nw_picture picture;
    if (!jpeg_read(pixels, &picture))
        return;
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        if (y % 40 > 4 && y % 40 < 26)
            ck_assert_msg(picture.density[k] < 128, "at %d, %d", x, y);
    }
    nw_picture_free(&picture);
}
END_TEST

/* A black, a grey and a pale yellow block side by side, through JPEG: the grey is ink and the
 * yellow, which is about half as far from the paper and as light, is none, as a whole. */
START_TEST(ink_begins_beyond_what_is_left_out)
{
    uint8_t *pixels = malloc(PIXELS * 3);
    uint32_t random = 3;
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        int block = y >= 40 && y < HEIGHT - 40 && x % 100 >= 30 ? x / 100 : 3;
        double levels[] = {0, 212, 234 + 5 * scattered(&random), 255, 255};
        memset(pixels + 3 * k, block == 2 ? 255 : (int)levels[block], 2);
        pixels[3 * k + 2] = (uint8_t)levels[block];
    }
    nw_picture picture;
    if (!jpeg_read(pixels, &picture))
        return;
    ck_assert_int_eq(picture.ink, NW_INK_COLOUR);
    ck_assert_uint_eq(picture.colours, 2);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        if (y >= 50 && y < HEIGHT - 50 && x % 100 >= 40 && x % 100 < 90)
            ck_assert_msg(picture.density[k] == (x < 200 ? 255 : 0) || x >= 300, "at %d, %d", x, y);
    }
    nw_picture_free(&picture);
}
END_TEST

/* A white cross from corner to corner of a blue sheet, whose first rows and columns are white by
 * these parts. */
static nw_picture cross_read(const double rows[2], const double columns[2], bool framed)
{
    const uint8_t blue[] = {57, 57, 145};
    uint8_t *pixels = malloc(PIXELS * 3);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        double far = fmin(fabs(2.0 * x - 3.0 * y), fabs(2.0 * (WIDTH - 1 - x) - 3.0 * y));
        double part = fmin(1, fmax(0, 40 - far));
        part = fmax(part, fmax(y < 2 ? rows[y] : 0, x < 2 ? columns[x] : 0));
        bool line = framed && !is_within(x, y, 1, 1, WIDTH - 1, HEIGHT - 1);
        for (int i = 0; i < 3; i++)
            pixels[3 * k + i] = mixed(255, blue[i], line ? 1 : part);
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 3, pixels, false);
    free(pixels);
    return read_bytes(&bytes, NULL);
}

/* Rows and columns that are half white, as where a picture was cut out, are no strip of ink between
 * the arms of the cross, nor do they make the blue its ink. A line all round is one. */
START_TEST(half_white_sides_are_no_ink)
{
    const double parts[][2] = {{0, 0}, {0.4, 0}, {0.8, 0}, {1, 0.25}, {1, 0}};
    nw_picture whole = cross_read(parts[0], parts[0], false);
    ck_assert_int_eq(whole.ink, NW_INK_LIGHT);
    for (int k = 1; k < 25; k += 4) {
        nw_picture cropped = cross_read(parts[k % 5], parts[k / 5], false);
        ck_assert_int_eq(cropped.ink, NW_INK_LIGHT);
        for (int i = 0; i < PIXELS; i++) {
            int x = i % WIDTH, y = i / WIDTH, behind = (y < 2 ? 2 : y) * WIDTH + (x < 2 ? 2 : x);
            ck_assert_msg(behind == i ? abs(cropped.density[i] - whole.density[i]) < 64
                                      : cropped.density[i] <= cropped.density[behind],
                          "%d: at %d, %d", k, x, y);
        }
        nw_picture_free(&cropped);
    }
    nw_picture framed = cross_read(parts[0], parts[0], true);
    for (int x = 0; x < WIDTH; x++)
        ck_assert_int_eq(framed.density[x], framed.density[PIXELS / 2 + WIDTH / 2]);
    nw_picture_free(&framed);
    nw_picture_free(&whole);
}
END_TEST

#define NOISY_WIDTH 400 /* small pictures are not looked through for noise */
#define NOISY_HEIGHT 320

/* Paper that goes from one grey to another, with a disc of the second or without, in noise. */
static nw_picture noisy_read(int from, int to, double disc_part, double most)
{
    uint8_t *pixels = malloc(NOISY_WIDTH * NOISY_HEIGHT);
    uint32_t random = 3;
    for (int k = 0; k < NOISY_WIDTH * NOISY_HEIGHT; k++) {
        double x = k % NOISY_WIDTH, y = k / NOISY_WIDTH, round = disc(x - 200, y - 160, 90);
        double level = from + (to - from) * (disc_part > 0 ? disc_part * round : x / NOISY_WIDTH);
        pixels[k] = (uint8_t)fmax(0, fmin(255, level + most * scattered(&random) + 0.5));
    }
    nw_bytes bytes = make_png(NOISY_WIDTH, NOISY_HEIGHT, 1, pixels, false);
    free(pixels);
    return read_bytes(&bytes, NULL);
}

/* Its specks are no edges; those of art are, however noisy. */
START_TEST(a_pale_shade_in_noise_is_greys)
{
    const int shades[][2] = {{246, 255}, {251, 255}, {244, 254}};
    const double most[] = {20, 7, 24};
    for (int k = 0; k < 3; k++) {
        nw_picture shade = noisy_read(shades[k][0], shades[k][1], 0, most[k]);
        ck_assert_msg(shade.greys, "%d", k);
        nw_picture_free(&shade);
    }
    for (int noise = 10; noise <= 160; noise += 75) {
        nw_picture art = noisy_read(255, 0, 1, noise);
        ck_assert_msg(!art.greys, "%d", noise);
        nw_picture_free(&art);
    }
}
END_TEST

/* A pale grey block, and patches of two paler greys, one beside it, of little area and scattered
 * about half-way to the paper: all of a patch is ink, or none of it, and the block is no shade. */
START_TEST(a_tone_half_way_to_the_paper_is_whole)
{
    for (int grey = 226; grey <= 232; grey += 2) {
        uint8_t *pixels = grey_drawing(0, 255);
        uint32_t random = 3;
        for (int k = 0; k < PIXELS; k++) {
            int x = k % WIDTH, y = k / WIDTH;
            bool patch = is_within(x, y, 270, 140, 290, 160);
            if (is_within(x, y, 20, 140, 290, 234))
                pixels[k] = (uint8_t)(patch ? grey + 4 * scattered(&random) + 0.5 : 204);
        }
        nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
        nw_picture picture = read_bytes(&bytes, NULL);
        ck_assert_int_eq(picture.ink, NW_INK_COLOUR);
        int ink = 0;
        for (int y = 143; y < 157; y++)
            for (int x = 273; x < 287; x++)
                ink += picture.density[y * WIDTH + x] >> 7;
        ck_assert_msg(ink == 0 || ink == 14 * 14, "%d: %d", grey, ink);
        ck_assert_int_eq(picture.density[200 * WIDTH + 100], 255);
        nw_picture_free(&picture);
        free(pixels);
    }
}
END_TEST

/* Steps of a shade at the block's end, one of which lies half-way: no tone, but where ink ends. */
START_TEST(a_shade_is_ink_up_to_half_way)
{
    uint8_t *pixels = grey_drawing(0, 255);
    for (int k = 0; k < PIXELS; k++) {
        int x = k % WIDTH, y = k / WIDTH;
        if (is_within(x, y, 20, 150, 240, 230))
            pixels[k] = 204;
        else if (is_within(x, y, 240, 180, 296, 200))
            pixels[k] = x < 248 ? 219 : x < 288 ? 230 : 241;
    }
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_int_eq(picture.ink, NW_INK_COLOUR);
    ck_assert_int_ge(picture.density[190 * WIDTH + 244], 128);
    ck_assert_int_lt(picture.density[190 * WIDTH + 280], 128);
    nw_picture_free(&picture);
    free(pixels);
}
END_TEST

/* Between the middles of pixels levels go straight from one to the next. */
static uint8_t enlarged_twice(const uint8_t *pixels, int x, int y)
{
    int x0 = x / 2, y0 = y / 2, x1 = x % 2 ? x0 + 1 : x0 - 1, y1 = y % 2 ? y0 + 1 : y0 - 1;
    x1 = x1 < 0 || x1 >= WIDTH ? x0 : x1;
    y1 = y1 < 0 || y1 >= HEIGHT ? y0 : y1;
    const uint8_t *near = pixels + y0 * WIDTH, *far = pixels + y1 * WIDTH;
    return (uint8_t)((9 * near[x0] + 3 * near[x1] + 3 * far[x0] + far[x1] + 8) / 16);
}

/* The drawing, and to its right a pale block whose sides fade over ten pixels: a colour of its own,
 * also at twice the size, where they fade over twenty. */
START_TEST(a_soft_side_is_one_at_any_size)
{
    uint8_t *pixels = grey_drawing(0, 255), *twice = malloc(4 * PIXELS);
    for (int k = 0; k < PIXELS; k++) {
        double within = fmin(k % WIDTH - 130.0, fmin(k / WIDTH - 150.0, HEIGHT - 5 - k / WIDTH));
        pixels[k] = (uint8_t)(pixels[k] - fmin(pixels[k], 64 * fmin(1, fmax(0, within / 10))));
    }
    for (int k = 0; k < 4 * PIXELS; k++)
        twice[k] = enlarged_twice(pixels, k % (2 * WIDTH), k / (2 * WIDTH));
    nw_bytes bytes = make_png(WIDTH, HEIGHT, 1, pixels, false);
    nw_picture once = read_bytes(&bytes, NULL);
    bytes = make_png(2 * WIDTH, 2 * HEIGHT, 1, twice, false);
    nw_picture picture = read_bytes(&bytes, NULL);
    ck_assert_int_eq(once.ink, NW_INK_COLOUR);
    ck_assert_int_eq(picture.ink, NW_INK_COLOUR);
    ck_assert_int_eq(picture.density[2 * WIDTH * 2 * 190 + 2 * 300], 255);
    nw_picture_free(&once);
    nw_picture_free(&picture);
    free(pixels);
    free(twice);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_grey_near_the_level_is_whole,
                                  a_scattered_shadow_is_ink,
                                  a_pale_shadow_in_noise_is_said,
                                  a_shade_that_is_left_out_is_said,
                                  paper_is_what_the_rim_is,
                                  a_sheet_has_a_rim_of_its_own,
                                  rims_on_every_side_count,
                                  rings_within_a_pale_ink_are_ink,
                                  a_pale_ink_that_fills_an_area_is_ink,
                                  a_pale_shadow_on_paper_is_no_ink,
                                  ink_begins_beyond_what_is_left_out,
                                  half_white_sides_are_no_ink,
                                  a_pale_shade_in_noise_is_greys,
                                  a_soft_side_is_one_at_any_size,
                                  a_tone_half_way_to_the_paper_is_whole,
                                  a_shade_is_ink_up_to_half_way};
    return TESTS_RUN("picture tones", tests);
}
