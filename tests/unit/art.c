/* The whole way from bytes to a drawing: pictures made in memory with a few discs, and drawings. */
#include "../tests.h"

#include <report/report.h>

#include <stdlib.h>
#include <string.h>

#define WIDTH 300
#define HEIGHT 200
#define HEAD "P5\n300 200\n255\n"
#define HEAD_LENGTH (sizeof HEAD - 1)

typedef struct {
    double x, y, radius; /* pixels, y down */
} disc;

/* Largest first, as pieces count; the last one is a speck. */
static const disc discs[] = {{80, 90, 50}, {220, 60, 30}, {210, 150, 20}, {150, 20, 1.2}};
#define DISCS (sizeof discs / sizeof *discs)

static nw_bytes discs_make(void)
{
    nw_bytes bytes = {malloc(HEAD_LENGTH + WIDTH * HEIGHT), HEAD_LENGTH + WIDTH * HEIGHT};
    memcpy(bytes.data, HEAD, HEAD_LENGTH);
    for (int k = 0; k < WIDTH * HEIGHT; k++) {
        bool ink = false;
        for (size_t i = 0; i < DISCS; i++) {
            double x = k % WIDTH + 0.5 - discs[i].x, y = k / WIDTH + 0.5 - discs[i].y;
            ink = ink || x * x + y * y < discs[i].radius * discs[i].radius;
        }
        bytes.data[HEAD_LENGTH + (size_t)k] = ink ? 0 : 255;
    }
    return bytes;
}

/* A block in a square picture of so many pixels a side, with a dot of four pixels beside it, and a
 * hole of as many in it. */
static nw_bytes dotted_make(int side)
{
    nw_text head = {0};
    nw_text_format(&head, "P5\n%d %d\n255\n", side, side);
    size_t length = head.length + (size_t)(side * side);
    nw_bytes bytes = {malloc(length), length};
    memcpy(bytes.data, head.data, head.length);
    for (int k = 0; k < side * side; k++) {
        int x = k % side - 5, y = k / side - 5;
        bool block = x > 4 && x < 30 && y > 4 && y < 30, dot = x >= 0 && x < 2 && y >= 0 && y < 2;
        bytes.data[head.length + (size_t)k] =
            dot || (block && (x / 2 != 8 || y / 2 != 8)) ? 0 : 255;
    }
    nw_text_free(&head);
    return bytes;
}

static nw_status load(nw_bytes bytes, const nw_art_options *options, nw_art *art, nw_error *error)
{
    nw_status status = nw_art_load(bytes.data, bytes.length, options, art, error);
    free(bytes.data);
    return status;
}

static nw_bytes svg_make(const char *body)
{
    nw_text text = {0};
    nw_text_format(&text,
                   "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='60mm' "
                   "viewBox='0 0 100 60'>%s</svg>",
                   body);
    return (nw_bytes){(uint8_t *)text.data, text.length};
}

static nw_point applied(nw_affine m, double x, double y)
{
    return (nw_point){m.a * x + m.c * y + m.e, m.b * x + m.d * y + m.f};
}

/* Every outline has the number of the disc that lies where its place says. */
static void expect_places(const nw_art *art, const nw_drawing *drawing)
{
    nw_affine place = nw_placed_from_top(drawing->placed, art->picture.height);
    for (size_t i = 0; i < drawing->count; i++) {
        const disc *d = &discs[drawing->paths[i].number - 1];
        nw_box box = nw_path_box(&drawing->paths[i]);
        nw_point middle = applied(place, d->x, d->y);
        ck_assert_double_eq_tol((box.min.x + box.max.x) / 2, middle.x, 0.3 * art->unit_mm);
        ck_assert_double_eq_tol((box.min.y + box.max.y) / 2, middle.y, 0.3 * art->unit_mm);
    }
}

static void expect_notes(const nw_art *art, const nw_note_code *codes, size_t count)
{
    ck_assert_uint_eq(art->note_count, count);
    for (size_t i = 0; i < count; i++)
        ck_assert_int_eq(art->notes[i].code, codes[i]);
}

START_TEST(a_picture_with_its_notes)
{
    nw_art art;
    nw_art_options options = nw_art_defaults();
    options.wide = 190;
    ck_assert_int_eq(load(discs_make(), &options, &art, NULL), NW_OK);
    ck_assert_uint_eq(art.drawing.count, 3);
    ck_assert_double_eq_tol(art.drawing.width, 190, 1e-9);
    ck_assert_uint_eq(art.region.count, 3);
    const nw_note_code codes[] = {NW_NOTE_INK, NW_NOTE_DIRT, NW_NOTE_OUTLINE, NW_NOTE_COARSE};
    expect_notes(&art, codes, 4);
    ck_assert_uint_eq(art.notes[1].count, 1);
    ck_assert_double_eq(art.notes[1].value, 4);
    ck_assert_int_eq(art.picture.ink, NW_INK_DARK);
    for (size_t i = 0; i < 3; i++)
        ck_assert_uint_eq(art.drawing.paths[i].number, i + 1);
    expect_places(&art, &art.drawing);
    nw_art_free(&art);
}
END_TEST

static bool has_note(const nw_art *art, nw_note_code code)
{
    for (size_t i = 0; i < art->note_count; i++)
        if (art->notes[i].code == code)
            return true;
    return false;
}

/* Four pixels are no dirt in a small picture. */
START_TEST(dots_of_icons_stay)
{
    const int sides[] = {48, 90, 110, 300};
    for (int k = 0; k < 4; k++) {
        nw_art art;
        nw_art_options options = nw_art_defaults();
        options.wide = 100;
        ck_assert_int_eq(load(dotted_make(sides[k]), &options, &art, NULL), NW_OK);
        ck_assert_uint_eq(art.drawing.count, k < 2 ? 3 : 1);
        ck_assert_int_eq(has_note(&art, NW_NOTE_DIRT), k >= 2);
        ck_assert_int_eq(has_note(&art, NW_NOTE_PINHOLES), k >= 2);
        nw_art_free(&art);
    }
}
END_TEST

START_TEST(numbers_and_places_stay)
{
    for (int way = 0; way < 4; way++) {
        nw_art art;
        nw_art_options options = nw_art_defaults();
        options.drop = way % 2 ? "1" : "2";
        options.turn_deg = 30 * way;
        options.mirror = way > 1;
        options.need_rest = true;
        options.high = 70;
        ck_assert_int_eq(load(discs_make(), &options, &art, NULL), NW_OK);
        ck_assert_uint_eq(art.drawing.count, 2);
        ck_assert_uint_eq(art.drawing.paths[0].number, way % 2 ? 2 : 1);
        ck_assert_uint_eq(art.drawing.paths[1].number, 3);
        expect_places(&art, &art.drawing);
        ck_assert_uint_eq(art.rest.count, 2);
        ck_assert_uint_eq(art.rest.paths[0].number, way % 2 ? 1 : 2);
        ck_assert_uint_eq(art.rest.paths[1].number, 4);
        expect_places(&art, &art.rest);
        ck_assert_double_eq_tol(art.rest.placed.e, art.drawing.placed.e, 1e-9);
        ck_assert_double_eq_tol(art.rest.placed.f, art.drawing.placed.f, 1e-9);
        nw_art_free(&art);
    }
}
END_TEST

START_TEST(boxes_of_outlines)
{
    nw_art art;
    nw_art_options options = nw_art_defaults();
    options.ppi = 254;
    options.keep = "2,3";
    ck_assert_int_eq(load(discs_make(), &options, &art, NULL), NW_OK);
    nw_art_box_outlines(&art);
    for (size_t i = 0; i < 3; i++) {
        const nw_box *box = &art.pieces.items[i].box;
        ck_assert_double_eq_tol(box->min.x, discs[i].x - discs[i].radius, 0.5);
        ck_assert_double_eq_tol(box->max.y, discs[i].y + discs[i].radius, 0.5);
    }
    nw_art_free(&art);
}
END_TEST

START_TEST(a_drawing_and_what_is_left_out_of_it)
{
    nw_art art, again;
    nw_art_options options = nw_art_defaults();
    options.keep = "2";
    options.smooth = 0.1;
    nw_bytes svg = svg_make("<path d='M5 5h40v40h-40z'/><path d='M60 20h30v10h-30z'/>"
                            "<text>Row</text>");
    ck_assert_int_eq(load(svg, &options, &art, NULL), NW_OK);
    const nw_note_code codes[] = {NW_NOTE_TEXTS, NW_NOTE_SMOOTH_UNUSED, NW_NOTE_CHOSEN};
    expect_notes(&art, codes, 3);
    ck_assert(art.sized && !art.from_picture);
    ck_assert_uint_eq(art.drawing.count, 1);
    ck_assert_uint_eq(art.drawing.paths[0].number, 2);
    nw_point corner = applied(art.drawing.placed, 60, 0);
    ck_assert_double_eq_tol(art.drawing.paths[0].start.x, corner.x, 30);
    options = nw_art_defaults();
    ck_assert_int_eq(nw_art_of_drawing(&art.drawing, &options, &again, NULL), NW_OK);
    ck_assert_uint_eq(again.drawing.paths[0].number, 1);
    ck_assert_double_eq_tol(nw_region_area(&again.region), 300, 1e-9);
    nw_art_free(&again);
    nw_art_free(&art);
}
END_TEST

static void expect_advice(nw_bytes bytes, const nw_art_options *options, nw_advice advice)
{
    nw_art art;
    nw_error error = {0};
    ck_assert_int_ne(load(bytes, options, &art, &error), NW_OK);
    ck_assert_int_eq(error.advice, advice);
    ck_assert_ptr_null(strstr(error.message, "--"));
    ck_assert_uint_eq(art.drawing.count, 0);
    nw_art_free(&art);
}

/* Three stripes whose places were rounded to five digits, and a box that stands apart by more. */
START_TEST(shapes_that_rounding_keeps_apart_are_one_piece)
{
    nw_art art;
    nw_art_options options = nw_art_defaults();
    options.wide = 200;
    nw_bytes svg = svg_make("<path d='M0 0h100v19.999H0z'/><path d='M0 20h100v19.999H0z'/>"
                            "<path d='M0 40h100v10H0z'/><path d='M0 50.01h100v9H0z'/>");
    ck_assert_int_eq(load(svg, &options, &art, NULL), NW_OK);
    const nw_note_code codes[] = {NW_NOTE_SEAMS};
    expect_notes(&art, codes, 1);
    ck_assert_uint_eq(art.notes[0].count, 2);
    ck_assert_double_eq_tol(art.notes[0].value, 0.002, 1e-9);
    ck_assert_uint_eq(art.pieces.count, 2);
    ck_assert_double_eq_tol(nw_region_area(&art.region), 4 * (5000 + 900), 0.1);
    for (size_t k = 0; k < art.drawing.count; k++)
        ck_assert_uint_eq(art.drawing.paths[k].number, art.drawing.paths[k].piece + 1);
    nw_art_free(&art);
}
END_TEST

START_TEST(advice_names_what_is_to_blame)
{
    nw_art_options options = nw_art_defaults();
    expect_advice(discs_make(), &options, NW_ADVICE_SIZE);
    options.wide = 100;
    options.high = 100;
    expect_advice(discs_make(), &options, NW_ADVICE_ONE_SIDE);
    options.ppi = 100;
    expect_advice(discs_make(), &options, NW_ADVICE_ONE_SIZE);
    options = nw_art_defaults();
    options.ppi = 100;
    expect_advice(svg_make("<path d='M5 5h40v40h-40z'/>"), &options, NW_ADVICE_SIDES);
    options = nw_art_defaults();
    expect_advice(svg_make("<text>Row</text>"), &options, NW_ADVICE_RENDER);
    options.ppi = 100;
    options.drop = "7";
    expect_advice(discs_make(), &options, NW_ADVICE_DROP_LIST);
    options.drop = "art,speck";
    expect_advice(discs_make(), &options, NW_ADVICE_PIECES);
    options.drop = NULL;
    options.keep = "all";
    expect_advice(discs_make(), &options, NW_ADVICE_KEEP);
    options.keep = NULL;
    options.picture.max_pixels = 100;
    expect_advice(discs_make(), &options, NW_ADVICE_PIXELS);
    options = nw_art_defaults();
    options.lines = NW_LINES_MIDDLE;
    expect_advice(discs_make(), &options, NW_ADVICE_MIDDLES);
}
END_TEST

START_TEST(notes_outlive_a_failure)
{
    nw_art art;
    nw_art_options options = nw_art_defaults();
    ck_assert_int_eq(load(discs_make(), &options, &art, NULL), NW_BAD_REQUEST);
    const nw_note_code codes[] = {NW_NOTE_INK, NW_NOTE_DIRT};
    expect_notes(&art, codes, 2);
    nw_art_free(&art);
}
END_TEST

START_TEST(a_job_as_options)
{
    nw_job job = nw_job_defaults();
    job.bit = 3;
    ck_assert_double_eq(nw_job_fit_options(&job).neck, 3);
    ck_assert(!nw_job_neck_from_stock(&job));
    job.stock = 6;
    ck_assert_double_eq(nw_job_fit_options(&job).neck, 6);
    ck_assert(nw_job_neck_from_stock(&job));
    job.neck = 2;
    ck_assert_double_eq(nw_job_fit_options(&job).neck, 2);
    ck_assert(!nw_job_neck_from_stock(&job));
    ck_assert(!nw_job_fit_options(&job).has_stock);
    job.cut = NW_CUT_OUTSIDE;
    job.margin = 10;
    job.sheet_width = 126;
    job.sheet_height = 80;
    nw_fit_options options = nw_job_fit_options(&job);
    ck_assert(options.has_stock);
    ck_assert_double_eq(options.stock.min.x, -13);
    ck_assert_double_eq(options.stock.max.y, 67);
    nw_drawing drawing = {.width = 100, .height = 60};
    nw_point need = nw_job_need(&job, &drawing);
    ck_assert_double_eq(need.x, 126);
    ck_assert_double_eq(need.y, 86);
    ck_assert(!nw_job_sheet_holds(&job, need));
    job.sheet_height = 86;
    ck_assert(nw_job_sheet_holds(&job, need));
}
END_TEST

static void expect_same_drawing(const nw_art *one, const nw_art *other)
{
    nw_layer layers[2] = {{.name = "outline", .drawing = &one->drawing},
                          {.name = "outline", .drawing = &other->drawing}};
    nw_text texts[2];
    nw_error error;
    for (int i = 0; i < 2; i++)
        ck_assert_int_eq(nw_write_svg(&layers[i], 1, "art", NULL, &texts[i], &error), NW_OK);
    ck_assert_uint_gt(one->drawing.count, 0);
    ck_assert_str_eq(texts[0].data, texts[1].data);
    nw_text_free(&texts[0]);
    nw_text_free(&texts[1]);
}

/* What a browser hands over is read as the file itself. */
START_TEST(pixels_as_their_file)
{
    nw_art_options options = nw_art_defaults();
    options.wide = 90;
    nw_bytes bytes = discs_make();
    uint8_t *rgba = malloc(4 * WIDTH * HEIGHT);
    for (size_t i = 0; i < 4 * WIDTH * HEIGHT; i++)
        rgba[i] = i % 4 == 3 ? 255 : bytes.data[HEAD_LENGTH + i / 4];
    nw_pixels pixels = {.rgba = rgba, .width = WIDTH, .height = HEIGHT};
    nw_art file, decoded;
    nw_error error;
    ck_assert_int_eq(load(bytes, &options, &file, &error), NW_OK);
    ck_assert_int_eq(nw_art_of_pixels(&pixels, &options, &decoded, &error), NW_OK);
    expect_same_drawing(&file, &decoded);
    ck_assert_uint_eq(file.note_count, decoded.note_count);
    nw_art_free(&decoded);
    pixels.height = 0;
    ck_assert_int_eq(nw_art_of_pixels(&pixels, &options, &decoded, &error), NW_BAD_INPUT);
    ck_assert_uint_eq(decoded.drawing.count, 0);
    nw_art_free(&file);
    free(rgba);
}
END_TEST

START_TEST(elements_as_their_file)
{
    nw_art_options options = nw_art_defaults();
    nw_bytes bytes = svg_make("<path id='p' d='M10 10H60V50H10Z'/>");
    size_t length = bytes.length;
    nw_svg_elements tree = {0};
    nw_svg_element_begin(&tree, "svg", false, 0);
    nw_svg_attributes_expect(&tree, 3);
    nw_svg_attribute_add(&tree, "width", "100mm", false);
    nw_svg_attribute_add(&tree, "height", "60mm", false);
    nw_svg_attribute_add(&tree, "viewBox", "0 0 100 60", false);
    nw_svg_element_begin(&tree, "path", false, 0);
    nw_svg_attributes_expect(&tree, 1);
    nw_svg_attribute_add(&tree, "d", "M10 10H60V50H10Z", false);
    nw_svg_element_end(&tree);
    nw_svg_element_end(&tree);
    nw_svg_elements_index(&tree);
    nw_art file, parsed;
    nw_error error;
    ck_assert_int_eq(load(bytes, &options, &file, &error), NW_OK);
    ck_assert_int_eq(nw_art_of_elements(&tree, length, &options, &parsed, &error), NW_OK);
    expect_same_drawing(&file, &parsed);
    nw_svg_elements_free(&tree);
    nw_art_free(&parsed);
    nw_art_free(&file);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_picture_with_its_notes,
                                  dots_of_icons_stay,
                                  numbers_and_places_stay,
                                  boxes_of_outlines,
                                  a_drawing_and_what_is_left_out_of_it,
                                  shapes_that_rounding_keeps_apart_are_one_piece,
                                  advice_names_what_is_to_blame,
                                  notes_outlive_a_failure,
                                  a_job_as_options,
                                  pixels_as_their_file,
                                  elements_as_their_file};
    return TESTS_RUN("art", tests);
}
