/* Art drawn as thick lines, told from other art, and its edges and middles. */
#include <lines/lines.h>

#include "../tests.h"

#include <math.h>

#define PI 3.141592653589793

static void add_box(nw_drawing *drawing, nw_box box, bool hole, size_t piece)
{
    nw_path path = {.start = box.min, .closed = true, .piece = piece};
    ck_assert(nw_path_line(&path, (nw_point){box.max.x, box.min.y}));
    ck_assert(nw_path_line(&path, box.max));
    ck_assert(nw_path_line(&path, (nw_point){box.min.x, box.max.y}));
    ck_assert(nw_path_line(&path, box.min));
    path.hole = hole;
    if (hole)
        nw_path_reverse(&path);
    ck_assert(nw_drawing_add(drawing, &path));
}

static void add_square(nw_drawing *drawing, double low, double high, bool hole, size_t piece)
{
    add_box(drawing, (nw_box){{low, low}, {high, high}}, hole, piece);
}

static void add_circle(nw_drawing *drawing, nw_point centre, double radius, bool hole, size_t piece)
{
    nw_path path = {.start = {centre.x + radius, centre.y}, .closed = true, .hole = hole};
    path.piece = piece;
    ck_assert(nw_path_arc(&path, centre, (nw_point){centre.x - radius, centre.y}, hole));
    ck_assert(nw_path_arc(&path, centre, path.start, hole));
    ck_assert(nw_drawing_add(drawing, &path));
}

/* A square line 2 wide and 100 outside; a ring line 2 wide; a full disc. */
static nw_drawing line_art(void)
{
    nw_drawing drawing = {0};
    add_square(&drawing, 0, 100, false, 0);
    add_square(&drawing, 2, 98, true, 0);
    add_circle(&drawing, (nw_point){150, 50}, 30, false, 1);
    add_circle(&drawing, (nw_point){150, 50}, 28, true, 1);
    add_circle(&drawing, (nw_point){210, 50}, 20, false, 2);
    nw_drawing_settle(&drawing);
    return drawing;
}

START_TEST(lines_are_recognised)
{
    nw_drawing drawing = line_art();
    nw_line_notes notes;
    ck_assert_int_eq(nw_drawing_lines(&drawing, NW_LINES_AS_DRAWN, &notes, NULL), NW_OK);
    ck_assert_uint_eq(notes.pieces, 2);
    ck_assert_double_eq_tol(notes.width, 2, 0.02);
    ck_assert_uint_eq(drawing.count, 5);
    nw_drawing_free(&drawing);
    /* A washer is no line, nor is a disc with a hole to one side. */
    add_circle(&drawing, (nw_point){50, 50}, 40, false, 0);
    add_circle(&drawing, (nw_point){50, 50}, 15, true, 0);
    add_circle(&drawing, (nw_point){150, 50}, 40, false, 1);
    add_circle(&drawing, (nw_point){165, 50}, 20, true, 1);
    nw_drawing_settle(&drawing);
    ck_assert_int_eq(nw_drawing_lines(&drawing, NW_LINES_OUTER, &notes, NULL), NW_OK);
    ck_assert_uint_eq(notes.pieces, 0);
    ck_assert_uint_eq(drawing.count, 4);
    nw_drawing_free(&drawing);
}
END_TEST

/* Stripes are no doubled lines, unless something else is drawn as a line with them. */
START_TEST(stripes_are_no_lines)
{
    nw_drawing drawing = {0};
    for (size_t k = 0; k < 8; k++) {
        double x = 12 * (double)k;
        add_box(&drawing, (nw_box){{x, 0}, {x + 3, 100}}, false, k);
    }
    nw_drawing_settle(&drawing);
    nw_line_notes notes;
    ck_assert_int_eq(nw_drawing_lines(&drawing, NW_LINES_AS_DRAWN, &notes, NULL), NW_OK);
    ck_assert_uint_eq(notes.pieces, 0);
    add_circle(&drawing, (nw_point){150, 50}, 30, false, 8);
    add_circle(&drawing, (nw_point){150, 50}, 28, true, 8);
    nw_drawing_settle(&drawing);
    ck_assert_int_eq(nw_drawing_lines(&drawing, NW_LINES_AS_DRAWN, &notes, NULL), NW_OK);
    ck_assert_uint_eq(notes.pieces, 9);
    ck_assert_int_eq(nw_drawing_lines(&drawing, NW_LINES_MIDDLE, &notes, NULL), NW_OK);
    ck_assert_uint_eq(notes.pieces, 9);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(edges_are_filled)
{
    nw_drawing drawing = line_art();
    ck_assert_int_eq(nw_drawing_lines(&drawing, NW_LINES_OUTER, NULL, NULL), NW_OK);
    ck_assert_uint_eq(drawing.count, 3);
    ck_assert_double_eq_tol(nw_drawing_area(&drawing), 10000 + PI * 900 + PI * 400, 1e-6);
    nw_drawing_free(&drawing);
    drawing = line_art();
    ck_assert_int_eq(nw_drawing_lines(&drawing, NW_LINES_INNER, NULL, NULL), NW_OK);
    ck_assert_uint_eq(drawing.count, 3);
    ck_assert_double_eq_tol(nw_drawing_area(&drawing), 96 * 96 + PI * 784 + PI * 400, 1e-6);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(middles_are_closed_curves)
{
    nw_drawing drawing = line_art();
    ck_assert_int_eq(nw_drawing_lines(&drawing, NW_LINES_MIDDLE, NULL, NULL), NW_OK);
    ck_assert_uint_eq(drawing.count, 3);
    ck_assert_double_eq_tol(fabs(nw_path_area(&drawing.paths[0])), 98 * 98, 0.01);
    ck_assert_double_eq_tol(fabs(nw_path_area(&drawing.paths[1])), PI * 841, 2 * PI * 29 * 0.1);
    ck_assert(drawing.paths[0].closed && drawing.paths[1].closed);
    ck_assert_uint_le(drawing.paths[1].count, 16);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {lines_are_recognised, stripes_are_no_lines, edges_are_filled,
                                  middles_are_closed_curves};
    return TESTS_RUN("lines_edges", tests);
}
