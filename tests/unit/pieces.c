/* Pieces of ink: found, guessed at and chosen. */
#include "picture_text.h"

#include <pieces/pieces.h>
#include <stdlib.h>

/* The example of the Netpbm manual page pgm(5): 48 pixels that are not black, 4 pieces, 1 hole. */
static const char feep[] =
    "P2\n# feep.pgm\n24 7\n15\n"
    "0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0\n"
    "0  3  3  3  3  0  0  7  7  7  7  0  0 11 11 11 11  0  0 15 15 15 15  0\n"
    "0  3  0  0  0  0  0  7  0  0  0  0  0 11  0  0  0  0  0 15  0  0 15  0\n"
    "0  3  3  3  0  0  0  7  7  7  0  0  0 11 11 11  0  0  0 15 15 15 15  0\n"
    "0  3  0  0  0  0  0  7  0  0  0  0  0 11  0  0  0  0  0 15  0  0  0  0\n"
    "0  3  0  0  0  0  0  7  7  7  7  0  0 11 11 11 11  0  0 15  0  0  0  0\n"
    "0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0  0\n";

static nw_ink ink_of(const nw_picture *picture)
{
    nw_ink ink;
    ck_assert_int_eq(nw_ink_from_picture(picture, &ink, NULL), NW_OK);
    return ink;
}

static uint64_t ink_count(const nw_ink *ink)
{
    uint64_t count = 0;
    for (size_t k = 0; k < ink->stride * ink->height; k++)
        count += (uint64_t)__builtin_popcountll(ink->words[k]);
    return count;
}

static nw_pieces pieces_of(const nw_ink *ink, double speck)
{
    nw_pieces pieces;
    ck_assert_int_eq(nw_pieces_find(ink, speck, &pieces, NULL), NW_OK);
    return pieces;
}

START_TEST(feep_has_four_pieces_and_a_hole)
{
    nw_picture_options options = nw_picture_defaults();
    options.ink = NW_INK_LIGHT;
    options.level_kind = NW_LEVEL_FIXED;
    options.level = 25;
    nw_picture picture = read_picture(feep, sizeof feep - 1, &options);
    ck_assert_uint_eq(picture.width, 24);
    ck_assert_uint_eq(picture.height, 7);
    nw_ink ink = ink_of(&picture);
    ck_assert_uint_eq(ink_count(&ink), 48);
    nw_pieces pieces = pieces_of(&ink, 0);
    ck_assert_uint_eq(pieces.count, 4);
    size_t holes = 0;
    for (size_t k = 0; k < 4; k++) {
        holes += pieces.items[k].holes;
        ck_assert_uint_eq(pieces.items[k].number, k + 1);
    }
    ck_assert_uint_eq(holes, 1);
    /* The largest is the E of 14 pixels, then P, then the other E; F has 10. */
    ck_assert_double_eq(pieces.items[3].area, 10);
    ck_assert_double_eq(pieces.items[3].box.min.x, 1);
    ck_assert_double_eq(pieces.items[3].box.max.x, 5);
    nw_pieces_free(&pieces);
    nw_ink_free(&ink);
    nw_picture_free(&picture);
}
END_TEST

START_TEST(pieces_are_chosen_by_words)
{
    nw_picture picture = read_text("P1 12 3\n111111010001\n111111000001\n000000010000\n");
    nw_ink ink = ink_of(&picture);
    nw_pieces pieces = pieces_of(&ink, 2);
    ck_assert_uint_eq(pieces.count, 4);
    ck_assert_int_eq(pieces.items[2].guess, NW_PIECE_SPECK);
    ck_assert(!pieces.items[2].kept);
    nw_error error;
    ck_assert_int_eq(nw_pieces_choose(&pieces, "1, 3-4", true, &error), NW_OK);
    ck_assert(pieces.items[0].kept && !pieces.items[1].kept && pieces.items[3].kept);
    ck_assert_int_eq(nw_pieces_choose(&pieces, "speck", false, &error), NW_OK);
    ck_assert(pieces.items[0].kept && !pieces.items[2].kept && !pieces.items[3].kept);
    const char *bad[] = {
        "", "5", "0", "2-1", "1-", "-1", "1,,2", "rubbish", "1-99999999999999999999"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        ck_assert_int_eq(nw_pieces_choose(&pieces, bad[i], true, &error), NW_BAD_REQUEST);
    nw_pieces_clear_dropped(&pieces, &ink, &picture);
    ck_assert_uint_eq(ink_count(&ink), 12);
    for (size_t k = 0; k < 36; k++)
        ck_assert_uint_eq(picture.density[k], k < 24 && k % 12 < 6 ? 255 : 0);
    nw_pieces_free(&pieces);
    nw_ink_free(&ink);
    nw_picture_free(&picture);
}
END_TEST

/* Labels and holes against a plain flood fill, on random pictures of all densities and widths. */
static void flood(const uint8_t *bits, uint8_t *seen, int w, int h, int x, int y, bool ink)
{
    if (x < 0 || y < 0 || x >= w || y >= h || seen[y * w + x] || bits[y * w + x] != ink)
        return;
    seen[y * w + x] = 1;
    for (int dy = -1; dy <= 1; dy++) {
        for (int dx = -1; dx <= 1; dx++)
            if (ink || dx == 0 || dy == 0)
                flood(bits, seen, w, h, x + dx, y + dy, ink);
    }
}

static size_t flood_count(const uint8_t *bits, int w, int h, bool ink)
{
    uint8_t *seen = calloc((size_t)(w * h), 1);
    size_t count = 0;
    for (int k = 0; k < w * h; k++) {
        if (!seen[k] && bits[k] == ink) {
            flood(bits, seen, w, h, k % w, k / w, ink);
            count++;
        }
    }
    free(seen);
    return count;
}

START_TEST(pieces_and_holes_agree_with_a_flood_fill)
{
    uint32_t random = 12345;
    for (int round = 0; round < 300; round++) {
        int w = 3 + round % 130, h = 3 + round % 17;
        uint8_t *bits = calloc((size_t)(w * h), 1), *density = calloc((size_t)(w * h), 1);
        /* Ringed by paper, so that the outer paper is one region and every other one is a hole. */
        for (int y = 1; y < h - 1; y++) {
            for (int x = 1; x < w - 1; x++) {
                random = random * 1664525 + 1013904223;
                bits[y * w + x] = random >> 24 < (uint32_t)(round * 7 % 256);
                density[y * w + x] = bits[y * w + x] ? 255 : 0;
            }
        }
        nw_picture picture = {.width = (uint32_t)w, .height = (uint32_t)h, .density = density};
        nw_ink ink = ink_of(&picture);
        nw_pieces pieces = pieces_of(&ink, 0);
        size_t holes = 0;
        for (size_t k = 0; k < pieces.count; k++)
            holes += pieces.items[k].holes;
        ck_assert_uint_eq(pieces.count, flood_count(bits, w, h, true));
        ck_assert_uint_eq(holes + 1, flood_count(bits, w, h, false));
        nw_pieces_free(&pieces);
        nw_ink_free(&ink);
        free(bits);
        free(density);
    }
}
END_TEST

static nw_piece box_piece(double x0, double y0, double x1, double y1, double area, size_t holes)
{
    return (nw_piece){.box = {{x0, y0}, {x1, y1}}, .area = area, .holes = holes};
}

static size_t letters_of(nw_piece *items, size_t count)
{
    nw_pieces pieces = {items, count, NULL, 0};
    nw_pieces_guess(&pieces, (nw_box){{0, 0}, {500, 500}}, 5);
    size_t letters = 0;
    for (size_t k = 0; k < count; k++)
        letters += items[k].guess == NW_PIECE_LETTERING;
    return letters;
}

/* Rows of equal pieces, staggered or not, are a pattern; so are pieces that share no line. */
START_TEST(lattices_are_no_lettering)
{
    nw_piece items[40];
    for (int k = 0; k < 40; k++) {
        double x = 20 + 25 * (k % 8) + 12 * (k / 8 % 2), y = 20 + 90 * (k / 8);
        items[k] = box_piece(x, y, x + 20, y + 30, 300, 0);
    }
    ck_assert_uint_eq(letters_of(items, 40), 0);
    for (int k = 0; k < 40; k++) { /* columns of pieces that differ along the row */
        double x = 20 + 25 * (k % 8), y = 20 + 32 * (k / 8);
        items[k] = box_piece(x, y, x + 8 + k % 8, y + 30, 100, 0);
    }
    ck_assert_uint_eq(letters_of(items, 40), 0);
    for (int k = 0; k < 12; k++) { /* blades of grass */
        double x = 20 + 11 * k, y = 300 + 7 * (k * 5 % 7);
        items[k] = box_piece(x, y, x + 5 + k % 3, y + 40 - k % 5, 60, 0);
    }
    ck_assert_uint_eq(letters_of(items, 12), 0);
}
END_TEST

/* Two words, one with the dot of an i above its stem and a comma below: all of it is lettering. */
START_TEST(dots_and_accents_are_lettering)
{
    nw_piece items[] = {
        box_piece(50, 50, 450, 300, 60000, 0), box_piece(100, 400, 118, 430, 300, 1),
        box_piece(122, 408, 127, 430, 100, 0), box_piece(122, 400, 127, 405, 20, 0),
        box_piece(131, 408, 146, 430, 200, 0), box_piece(150, 408, 170, 431, 260, 0),
        box_piece(174, 408, 188, 437, 200, 1), box_piece(200, 200, 206, 206, 30, 0)};
    ck_assert_uint_eq(letters_of(items, 8), 6);
    ck_assert_int_eq(items[0].guess, NW_PIECE_ART);
    ck_assert_int_eq(items[7].guess, NW_PIECE_ART);
}
END_TEST

/* A scan's dust on the line, and over a letter, is no stop and no accent. */
START_TEST(dust_is_no_lettering)
{
    nw_piece items[] = {
        box_piece(20, 20, 480, 380, 99000, 0),  box_piece(100, 400, 148, 480, 2000, 1),
        box_piece(160, 400, 210, 480, 1500, 0), box_piece(220, 400, 280, 480, 1800, 0),
        box_piece(290, 400, 330, 480, 1600, 0), box_piece(340, 468, 352, 480, 140, 0),
        box_piece(345, 430, 348, 433, 6, 0),    box_piece(200, 390, 203, 393, 6, 0),
        box_piece(380, 477, 383, 480, 6, 0)};
    ck_assert_uint_eq(letters_of(items, 9), 5);
    for (size_t k = 6; k < 9; k++)
        ck_assert_int_eq(items[k].guess, NW_PIECE_ART);
}
END_TEST

/* Four pieces of a height make a row, three do not; nor do four that are further apart than 1.2
 * times their height. */
START_TEST(letters_are_four_at_least_and_not_far_apart)
{
    for (int far = 22; far <= 26; far += 4) {
        for (int most = 3; most <= 4; most++) {
            nw_piece items[5] = {box_piece(50, 50, 450, 300, 60000, 0)};
            double x = 60;
            for (int k = 0; k < most; k++) {
                items[k + 1] = box_piece(x, 400, x + 12 + 2 * k, 420, 120 + 40 * k, 0);
                x += 12 + 2 * k + far;
            }
            ck_assert_uint_eq(letters_of(items, (size_t)most + 1), most == 4 && far < 24 ? 4 : 0);
        }
    }
}
END_TEST

/* "www. Hc, or" and a word of touching letters: short words, stops and commas go with the line. */
START_TEST(stops_and_short_words_are_lettering)
{
    nw_piece items[] = {
        box_piece(50, 50, 450, 300, 60000, 0), box_piece(100, 408, 122, 430, 180, 0),
        box_piece(124, 408, 146, 430, 180, 0), box_piece(148, 408, 170, 430, 180, 0),
        box_piece(174, 425, 179, 430, 20, 0),  box_piece(200, 398, 220, 430, 260, 0),
        box_piece(224, 408, 240, 430, 150, 0), box_piece(242, 408, 260, 430, 210, 1),
        box_piece(263, 408, 274, 430, 120, 0), box_piece(277, 425, 282, 436, 40, 0),
        box_piece(300, 407, 390, 432, 900, 2),  /* touching letters */
        box_piece(460, 408, 480, 430, 200, 0),  /* beyond a wide space */
        box_piece(240, 445, 260, 455, 120, 0),  /* lower */
        box_piece(300, 370, 320, 390, 120, 0)}; /* higher */
    ck_assert_uint_eq(letters_of(items, 14), 10);
    for (size_t k = 11; k < 14; k++)
        ck_assert_int_eq(items[k].guess, NW_PIECE_ART);
    ck_assert_int_eq(items[0].guess, NW_PIECE_ART);
}
END_TEST

/* Typewritten letters have boxes of one size, line under line, but are not the same. */
START_TEST(letters_of_one_width_are_lettering)
{
    nw_piece items[31];
    items[0] = box_piece(50, 50, 450, 300, 60000, 0);
    for (int k = 0; k < 30; k++) {
        double x = 60 + 25 * (k % 10), y = 320 + 35 * (k / 10);
        items[k + 1] = box_piece(x, y, x + 20, y + 22, 120 + 30 * (k * k % 7), 0);
    }
    ck_assert_uint_eq(letters_of(items, 31), 30);
    ck_assert_int_eq(items[0].guess, NW_PIECE_ART);
}
END_TEST

/* A sheet photographed on a table: what shows of the table goes round the picture. */
START_TEST(a_table_round_the_sheet_is_a_frame)
{
    nw_piece items[] = {box_piece(0, 0, 500, 500, 110000, 1),
                        box_piece(100, 90, 390, 400, 40000, 0)};
    nw_pieces pieces = {items, 2, NULL, 0};
    nw_pieces_guess(&pieces, (nw_box){{0, 0}, {500, 500}}, 5);
    ck_assert_int_eq(items[0].guess, NW_PIECE_FRAME);
    ck_assert_int_eq(items[1].guess, NW_PIECE_ART);
    items[0] = box_piece(20, 0, 500, 500, 110000, 1); /* thick, and not round everything */
    nw_pieces_guess(&pieces, (nw_box){{0, 0}, {500, 500}}, 5);
    ck_assert_int_ne(items[0].guess, NW_PIECE_FRAME);
    items[0] = box_piece(5, 5, 495, 495, 30000, 1); /* a ring with a crumb in it */
    items[1] = box_piece(200, 200, 240, 220, 800, 0);
    nw_pieces_guess(&pieces, (nw_box){{0, 0}, {500, 500}}, 5);
    ck_assert_int_eq(items[0].guess, NW_PIECE_ART);
}
END_TEST

/* Where a table is known to be there it may be of any size, and end at the picture's edge. */
START_TEST(a_table_is_what_touches_the_edge)
{
    nw_box page = {{0, 0}, {500, 500}};
    nw_piece items[] = {box_piece(0, 0, 500, 500, 200000, 1), box_piece(0, 40, 90, 460, 30000, 0),
                        box_piece(100, 90, 390, 400, 4000, 0), box_piece(0, 0, 2, 2, 3, 0)};
    nw_pieces pieces = {items, 4, NULL, 0};
    nw_pieces_guess(&pieces, page, 5);
    nw_pieces_guess_table(&pieces, page);
    const nw_piece_guess guesses[] = {NW_PIECE_FRAME, NW_PIECE_EDGE, NW_PIECE_ART, NW_PIECE_SPECK};
    for (size_t k = 0; k < 4; k++)
        ck_assert_int_eq(items[k].guess, guesses[k]);
}
END_TEST

START_TEST(guesses_know_frames_letters_shadows_and_specks)
{
    nw_piece items[] = {
        box_piece(100, 100, 400, 300, 30000, 2), /* the art */
        box_piece(10, 10, 490, 490, 9000, 1),    /* frame */
        box_piece(150, 400, 165, 420, 150, 0),   box_piece(170, 400, 185, 420, 150, 1),
        box_piece(190, 405, 204, 425, 150, 0),   box_piece(208, 405, 222, 420, 150, 0),
        box_piece(150, 340, 152, 342, 4, 0), /* speck */
    };
    nw_pieces pieces = {items, sizeof items / sizeof *items, NULL, 0};
    nw_pieces_guess(&pieces, (nw_box){{0, 0}, {500, 500}}, 5);
    const nw_piece_guess expected[] = {NW_PIECE_ART,       NW_PIECE_FRAME,     NW_PIECE_LETTERING,
                                       NW_PIECE_LETTERING, NW_PIECE_LETTERING, NW_PIECE_LETTERING,
                                       NW_PIECE_SPECK};
    for (size_t k = 0; k < pieces.count; k++)
        ck_assert_int_eq(items[k].guess, expected[k]);
    items[1] = box_piece(0, 0, 20, 480, 9000, 0); /* a scanner's shadow */
    nw_pieces_guess(&pieces, (nw_box){{0, 0}, {500, 500}}, 5);
    ck_assert_int_eq(items[1].guess, NW_PIECE_EDGE);
    ck_assert_int_eq(items[0].guess, NW_PIECE_ART);
}
END_TEST

/* A row of four pieces, each a bit wider than the one before, their feet on the line y = 430; and
 * the art that makes 300 of height. */
static void row_fill(nw_piece items[5], double height, double width, double gap)
{
    items[0] = box_piece(50, 140, 450, 440, 60000, 0);
    double x = 55;
    for (int k = 0; k < 4; k++) {
        double wide = width * (1 + 0.1 * k);
        items[k + 1] =
            box_piece(x, 430 - height, x + wide, 430, height * wide * (0.4 + 0.1 * k), 0);
        x += wide + gap;
    }
}

/* Taller than three tenths of the art, or wider than three of their heights, no pieces make a row.
 */
START_TEST(letters_are_neither_tall_nor_wide)
{
    static const struct {
        double height, width;
        size_t letters;
    } rows[] = {{84, 60, 4}, {96, 60, 0}, {20, 40, 4}, {20, 66, 0}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        nw_piece items[5];
        row_fill(items, rows[i].height, rows[i].width, 8);
        ck_assert_uint_eq(letters_of(items, 5), rows[i].letters);
    }
}
END_TEST

/* On a row's line letters that touch go with it, up to 12 heights wide, but a rule does not; and
 * stops do, up to three times as many as the letters. */
START_TEST(what_else_stands_on_a_line)
{
    nw_piece items[20];
    for (int wide = 220; wide <= 260; wide += 40) {
        row_fill(items, 20, 16, 8);
        items[5] = box_piece(180, 410, 180 + wide, 430, 900, 0);
        ck_assert_uint_eq(letters_of(items, 6), wide < 240 ? 5 : 4);
    }
    for (size_t stops = 12; stops <= 13; stops++) {
        row_fill(items, 20, 16, 8);
        for (size_t k = 0; k < stops; k++) {
            double x = 180 + 12 * (double)k;
            items[5 + k] = box_piece(x, 425, x + 5, 430, 20, 0);
        }
        ck_assert_uint_eq(letters_of(items, 5 + stops), stops == 12 ? 16 : 4);
    }
}
END_TEST

/* More than 20 000 small pieces are a texture. */
START_TEST(a_texture_is_no_lettering)
{
    enum { CANDIDATES = 20000 };
    nw_piece *items = calloc(CANDIDATES + 2, sizeof *items);
    for (size_t count = CANDIDATES; count <= CANDIDATES + 1; count++) {
        row_fill(items, 20, 16, 8);
        for (size_t k = 5; k <= count; k++)
            items[k] = box_piece(10 * (double)k, 150, 10 * (double)k + 2, 153, 6, 0);
        ck_assert_uint_eq(letters_of(items, count + 1), count == CANDIDATES ? 4 : 0);
    }
    free(items);
}
END_TEST

/* Beside art that is cut off itself only a strip along more than six tenths of a side, no thicker
 * than 0.15 of the other, is taken for a shadow. */
START_TEST(a_shadow_is_long_and_thin)
{
    static const struct {
        double wide, high;
        nw_piece_guess guess;
    } strips[] = {{20, 320, NW_PIECE_EDGE},
                  {20, 280, NW_PIECE_ART},
                  {70, 480, NW_PIECE_EDGE},
                  {80, 480, NW_PIECE_ART}};
    for (size_t i = 0; i < sizeof strips / sizeof *strips; i++) {
        nw_piece items[] = {box_piece(100, 100, 400, 500, 60000, 0),
                            box_piece(0, 10, strips[i].wide, 10 + strips[i].high, 5000, 0)};
        letters_of(items, 2);
        ck_assert_int_eq(items[0].guess, NW_PIECE_ART);
        ck_assert_int_eq(items[1].guess, strips[i].guess);
    }
}
END_TEST

/* A ring with something in it is a frame; one whose lower rows reach to 0.6 of its width is not. */
START_TEST(a_frame_reaches_across_on_nearly_all_rows)
{
    enum { SIDE = 100, LINE = 3, HALF = 50, INNER = 60, END = 98 };
    static uint8_t density[SIDE * SIDE];
    for (int low = 0; low < 2; low++) {
        memset(density, 0, sizeof density);
        for (int y = 2; y < END; y++) {
            uint8_t *row = density + (size_t)y * SIDE;
            size_t right = low && y >= HALF + LINE ? INNER : END;
            bool across = y < 2 + LINE || y >= END - LINE;
            memset(row + 2, 255, across ? right - 2 : LINE);
            memset(row + right - LINE, 255, LINE);
            if (low && y >= HALF && y < HALF + LINE)
                memset(row + INNER - LINE, 255, END - INNER + LINE);
            if (y >= 20 && y < 35)
                memset(row + 20, 255, 15);
        }
        nw_picture picture = {.width = SIDE, .height = SIDE, .density = density};
        nw_ink ink = ink_of(&picture);
        nw_pieces pieces = pieces_of(&ink, 0);
        ck_assert_uint_eq(pieces.count, 2);
        ck_assert_int_eq(pieces.items[0].guess, low ? NW_PIECE_ART : NW_PIECE_FRAME);
        nw_pieces_free(&pieces);
        nw_ink_free(&ink);
    }
}
END_TEST

/* A roof drawn as a line goes round what is under it as a frame does, but narrows upwards. */
START_TEST(a_roof_is_no_frame)
{
    enum { SIDE = 100 };
    static uint8_t density[SIDE * SIDE];
    for (int y = 5; y < 90; y++) {
        int half = y / 2;
        memset(density + y * SIDE + 50 - half, 255, y >= 87 ? (size_t)(2 * half) : 2);
        memset(density + y * SIDE + 48 + half, 255, 2);
    }
    memset(density + 70 * SIDE + 45, 255, 10);
    nw_picture picture = {.width = SIDE, .height = SIDE, .density = density};
    nw_ink ink = ink_of(&picture);
    nw_pieces pieces = pieces_of(&ink, 0);
    ck_assert_uint_eq(pieces.count, 2);
    ck_assert_int_eq(pieces.items[0].guess, NW_PIECE_ART);
    nw_pieces_free(&pieces);
    nw_ink_free(&ink);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {feep_has_four_pieces_and_a_hole,
                                  pieces_are_chosen_by_words,
                                  pieces_and_holes_agree_with_a_flood_fill,
                                  guesses_know_frames_letters_shadows_and_specks,
                                  lattices_are_no_lettering,
                                  dots_and_accents_are_lettering,
                                  dust_is_no_lettering,
                                  letters_are_four_at_least_and_not_far_apart,
                                  stops_and_short_words_are_lettering,
                                  letters_of_one_width_are_lettering,
                                  a_table_round_the_sheet_is_a_frame,
                                  a_table_is_what_touches_the_edge,
                                  letters_are_neither_tall_nor_wide,
                                  what_else_stands_on_a_line,
                                  a_texture_is_no_lettering,
                                  a_shadow_is_long_and_thin,
                                  a_frame_reaches_across_on_nearly_all_rows,
                                  a_roof_is_no_frame};
    return TESTS_RUN("pieces", tests);
}
