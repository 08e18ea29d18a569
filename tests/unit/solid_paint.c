/* What stays of painted shapes, against areas and counts in closed form, and on edges and corners
 * that coincide, touch, or nearly do. */
#include <solid/solid.h>

#include "../tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI NW_PI

/* ---- building -------------------------------------------------------------------------------- */

static void line_to(nw_path *path, double x, double y)
{
    ck_assert(nw_path_line(path, (nw_point){x, y}));
}

static nw_path polygon(const double *xy, size_t count)
{
    nw_path path = {.start = {xy[0], xy[1]}, .closed = true};
    for (size_t i = 1; i <= count; i++)
        line_to(&path, xy[2 * (i % count)], xy[2 * (i % count) + 1]);
    return path;
}

static nw_path box(double x, double y, double w, double h)
{
    const double xy[] = {x, y, x + w, y, x + w, y + h, x, y + h};
    return polygon(xy, 4);
}

/* Four cubics, within 3e-4 of the radius; from the right, counter-clockwise. */
static nw_path circle(double x, double y, double r)
{
    static const double at[] = {1, 0, 0, 1, -1, 0, 0, -1, 1, 0};
    double k = 0.5522847498 * r;
    nw_path path = {.start = {x + r, y}, .closed = true};
    for (int i = 0; i < 4; i++) {
        double cx = at[2 * i], cy = at[2 * i + 1], dx = at[2 * i + 2], dy = at[2 * i + 3];
        ck_assert(nw_path_curve(&path, (nw_point){x + r * cx - k * cy, y + r * cy + k * cx},
                                (nw_point){x + r * dx + k * dy, y + r * dy - k * dx},
                                (nw_point){x + r * dx, y + r * dy}));
    }
    return path;
}

static void shape_add(nw_paint_shapes *shapes, nw_path path, nw_paint_kind paint, size_t clip)
{
    nw_paint_shape shape = {.paint = paint, .clip = clip};
    ck_assert(nw_drawing_add(&shape.outline, &path));
    ck_assert(nw_paint_shapes_add(shapes, &shape));
}

static void ink(nw_painting *p, nw_path path)
{
    shape_add(&p->shapes, path, PAINT_INK, 0);
}

/* A new clip of one path within another; returns its number. */
static size_t clip_add(nw_painting *p, nw_path path, size_t parent)
{
    void *clips = p->clips;
    ck_assert(nw_grow(&clips, &p->clip_capacity, p->clip_count + 1, sizeof *p->clips));
    p->clips = clips;
    p->clips[p->clip_count] = (nw_paint_clip){.parent = parent};
    shape_add(&p->clips[p->clip_count].shapes, path, PAINT_INK, 0);
    return ++p->clip_count;
}

/* ---- looking --------------------------------------------------------------------------------- */

typedef struct {
    double area;
    size_t paths, pieces, steps;
    nw_paint_counts counts;
} result;

static nw_drawing united(const nw_painting *p, nw_paint_counts *counts)
{
    nw_drawing drawing;
    nw_error error = {0};
    nw_status status = nw_painting_unite(p, &drawing, counts, &error);
    ck_assert_msg(status == NW_OK, "%s", error.message);
    return drawing;
}

/* What stays; frees the painting. In a clean drawing holes run clockwise behind their outer path,
 * pieces are numbered in turn, and the largest come first. */
static result painted(nw_painting *p)
{
    result r = {0};
    nw_drawing drawing = united(p, &r.counts);
    double own = 0, before = INFINITY;
    for (size_t i = 0; i < drawing.count; i++) {
        const nw_path *path = &drawing.paths[i];
        double area = nw_path_area(path);
        ck_assert(path->closed && path->hole == (area < 0) && (i || !path->hole));
        r.pieces += !path->hole;
        ck_assert_uint_eq(path->piece, r.pieces - 1);
        own = path->hole ? own + area : area;
        if (i + 1 == drawing.count || !drawing.paths[i + 1].hole) {
            ck_assert_double_le(own, before + 1e-4);
            before = own;
        }
        r.area += area;
        r.steps += path->count;
    }
    r.paths = drawing.count;
    nw_drawing_free(&drawing);
    nw_painting_free(p);
    return r;
}

static void check(result r, double area, size_t pieces, size_t paths)
{
    ck_assert_double_eq_tol(r.area, area, 1e-6 * (1 + area));
    ck_assert_uint_eq(r.pieces, pieces);
    ck_assert_uint_eq(r.paths, paths);
}

/* ---- fill rules and order -------------------------------------------------------------------- */

static nw_path pentagram(double r)
{
    double xy[10];
    for (int i = 0; i < 5; i++) {
        xy[2 * i] = r * cos(4 * PI * i / 5);
        xy[2 * i + 1] = r * sin(4 * PI * i / 5);
    }
    return polygon(xy, 5);
}

START_TEST(a_star_by_both_fill_rules)
{
    double inner = 10 * cos(2 * PI / 5) / cos(PI / 5),
           core = 5 * inner * inner * sin(2 * PI / 5) / 2;
    double whole = 5 * 10 * inner * sin(PI / 5);
    nw_painting p = {0};
    ink(&p, pentagram(10));
    check(painted(&p), whole, 1, 1);
    ink(&p, pentagram(10));
    p.shapes.items[0].even_odd = true;
    check(painted(&p), whole - core, 5, 5);
}
END_TEST

/* {400/199}: every side crosses nearly every other. */
START_TEST(a_star_of_400_points)
{
    nw_painting p = {0};
    static double xy[800];
    for (int i = 0; i < 400; i++) {
        double angle = 2 * PI * (199 * i % 400) / 400;
        xy[2 * i] = 50 * cos(angle);
        xy[2 * i + 1] = 50 * sin(angle);
    }
    ink(&p, polygon(xy, 400));
    double inner = 50 / (2 * cos(PI / 400));
    result r = painted(&p);
    check(r, 400 * 50 * inner * sin(PI / 400), 1, 1);
    ck_assert_uint_eq(r.steps, 800);
}
END_TEST

START_TEST(nested_boxes_alternate_by_even_odd)
{
    nw_painting p = {0};
    nw_paint_shape shape = {.even_odd = true};
    for (int i = 0; i < 5; i++) {
        nw_path path = box(i, i, 20 - 2 * i, 20 - 2 * i);
        ck_assert(nw_drawing_add(&shape.outline, &path));
    }
    ck_assert(nw_paint_shapes_add(&p.shapes, &shape));
    check(painted(&p), 400 - 18 * 18 + 16 * 16 - 14 * 14 + 12 * 12, 3, 5);
}
END_TEST

START_TEST(later_paint_covers_earlier)
{
    nw_painting p = {0};
    ink(&p, box(0, 0, 10, 10));
    shape_add(&p.shapes, box(2, 2, 6, 6), PAINT_PAPER, 0);
    ink(&p, box(4, 4, 2, 2));
    check(painted(&p), 100 - 36 + 4, 2, 3);
    shape_add(&p.shapes, box(2, 2, 6, 6), PAINT_PAPER, 0);
    ink(&p, box(0, 0, 10, 10));
    check(painted(&p), 100, 1, 1);
    ink(&p, box(0, 0, 10, 10));
    shape_add(&p.shapes, box(-1, 4, 12, 2), PAINT_PAPER, 0);
    check(painted(&p), 80, 2, 2);
}
END_TEST

/* Both windings count per shape, so a clockwise box is no hole in another shape's. */
START_TEST(shapes_do_not_share_their_winding)
{
    nw_painting p = {0};
    const double clockwise[] = {2, 2, 2, 6, 6, 6, 6, 2};
    ink(&p, box(0, 0, 10, 10));
    ink(&p, polygon(clockwise, 4));
    check(painted(&p), 100, 1, 1);
}
END_TEST

/* ---- what touches ---------------------------------------------------------------------------- */

START_TEST(a_checkerboard_is_32_pieces)
{
    nw_painting p = {0};
    for (int i = 0; i < 64; i++)
        if ((i + i / 8) % 2)
            ink(&p, box(i % 8, i / 8, 1, 1));
    check(painted(&p), 32, 32, 32);
}
END_TEST

START_TEST(boxes_that_share_edges_become_one)
{
    nw_painting p = {0};
    for (int i = 0; i < 30; i++)
        ink(&p, box(0.1 * (i % 6), 0.1 * (i / 6), 0.1, 0.1));
    check(painted(&p), 0.3, 1, 1);
    ink(&p, box(0, 0, 10, 10)); /* a corner of one on the other's edge */
    ink(&p, box(10, 3, 4, 4));
    result r = painted(&p);
    check(r, 116, 1, 1);
    ck_assert_uint_eq(r.steps, 8);
}
END_TEST

START_TEST(holes_that_touch_are_rings_of_their_own)
{
    nw_painting p = {0};
    const double bow[] = {2, 2, 8, 8, 8, 2, 2, 8}, corner[] = {0, 5, 2, 4, 2, 6};
    ink(&p, box(0, 0, 10, 10));
    shape_add(&p.shapes, polygon(bow, 4), PAINT_PAPER, 0); /* in one another's corner */
    check(painted(&p), 100 - 18, 1, 3);
    ink(&p, box(0, 0, 10, 10));
    shape_add(&p.shapes, polygon(corner, 3), PAINT_PAPER, 0); /* in the outer ring's edge */
    check(painted(&p), 98, 1, 2);
}
END_TEST

START_TEST(what_is_nearly_together_becomes_one)
{
    nw_painting p = {0};
    for (int i = 0; i < 10; i++)
        ink(&p, box(i + 1e-9 * i, 0, 1, 10));
    check(painted(&p), 100, 1, 1);
    ink(&p, box(0, 0, 1, 10));
    ink(&p, box(1.001, 0, 1, 10)); /* far for the grid */
    check(painted(&p), 20, 2, 2);
}
END_TEST

START_TEST(copies_are_one)
{
    nw_painting p = {0};
    ink(&p, pentagram(10));
    nw_drawing one = united(&p, NULL);
    for (int i = 0; i < 200; i++)
        ink(&p, pentagram(10));
    nw_drawing many = united(&p, NULL);
    ck_assert_uint_eq(many.count, one.count);
    ck_assert_uint_eq(many.paths[0].count, one.paths[0].count);
    for (size_t i = 0; i < one.paths[0].count; i++) {
        nw_point a = one.paths[0].steps[i].to, b = many.paths[0].steps[i].to;
        ck_assert(a.x == b.x && a.y == b.y);
    }
    nw_drawing_free(&one);
    nw_drawing_free(&many);
    nw_painting_free(&p);
}
END_TEST

START_TEST(what_has_no_area_leaves_nothing)
{
    const double back[] = {0, 0, 10, 0, 20, 0, 5, 0}, dot[] = {3, 3, 3, 3, 3, 3};
    nw_painting p = {0};
    check(painted(&p), 0, 0, 0);
    ink(&p, polygon(back, 4));
    ink(&p, polygon(dot, 3));
    ink(&p, (nw_path){.start = {4, 4}});
    check(painted(&p), 0, 0, 0);
    ink(&p, box(0, 0, 1e-9, 1e-9)); /* two points so near are one */
    check(painted(&p), 0, 0, 0);
    ink(&p, polygon(back, 4));
    ink(&p, box(2, -3, 6, 6));
    check(painted(&p), 36, 1, 1);
}
END_TEST

/* ---- curves ---------------------------------------------------------------------------------- */

static const nw_path *path_with(const nw_drawing *drawing, nw_point at)
{
    for (size_t i = 0; i < drawing->count; i++) {
        for (size_t k = 0; k < drawing->paths[i].count; k++) {
            nw_point to = drawing->paths[i].steps[k].to;
            if (to.x == at.x && to.y == at.y)
                return &drawing->paths[i];
        }
    }
    return NULL;
}

START_TEST(curves_that_nothing_touches_stay_to_the_last_digit)
{
    nw_painting p = {0};
    nw_path own = circle(10.0 / 3, 0.1, 3);
    ink(&p, circle(10.0 / 3, 0.1, 3));
    ink(&p, box(20, 0, 10, 10));
    ink(&p, box(25, 5, 10, 10));
    nw_drawing drawing = united(&p, NULL);
    const nw_path *path = path_with(&drawing, own.start);
    ck_assert_ptr_nonnull(path);
    ck_assert_uint_eq(path->count, 4);
    size_t shift = 0;
    while (path->steps[shift].to.x != own.steps[0].to.x ||
           path->steps[shift].to.y != own.steps[0].to.y)
        ck_assert_uint_lt(++shift, 4);
    for (size_t i = 0; i < 4; i++) {
        const nw_step *a = &own.steps[i], *b = &path->steps[(i + shift) % 4];
        ck_assert(b->kind == NW_CURVE && a->a.x == b->a.x && a->a.y == b->a.y && a->b.x == b->b.x &&
                  a->b.y == b->b.y && a->to.x == b->to.x && a->to.y == b->to.y);
    }
    nw_path_free(&own);
    nw_drawing_free(&drawing);
    nw_painting_free(&p);
}
END_TEST

/* The cut is where the curve crosses the line, not where its chords do. */
START_TEST(a_circle_cut_by_a_line)
{
    nw_painting p = {0};
    ink(&p, circle(0, 0, 10));
    shape_add(&p.shapes, box(-20, -20, 40, 20 + 6), PAINT_PAPER, 0);
    nw_drawing drawing = united(&p, NULL);
    ck_assert_uint_eq(drawing.count, 1);
    ck_assert_uint_eq(drawing.paths[0].count, 3);
    double exact = 100 * acos(0.6) - 6 * 8;
    ck_assert_double_eq_tol(nw_drawing_area(&drawing), exact, 1e-3 * exact);
    for (size_t i = 0; i < 3; i++) {
        nw_point to = drawing.paths[0].steps[i].to;
        if (fabs(to.x) > 1) {
            ck_assert_double_eq_tol(to.y, 6, 1e-9);
            ck_assert_double_eq_tol(hypot(to.x, to.y), 10, 3e-3);
        }
    }
    nw_drawing_free(&drawing);
    nw_painting_free(&p);
}
END_TEST

/* Two circles of radius r, r apart: each lens has 2 r² (pi / 3 - sqrt(3) / 4). */
START_TEST(circles_united_and_taken_apart)
{
    double lens = 2 * 100 * (PI / 3 - sqrt(3) / 4), whole = 100 * PI;
    nw_drawing a = {0}, b = {0}, out;
    nw_path one = circle(0, 0, 10), two = circle(10, 0, 10);
    ck_assert(nw_drawing_add(&a, &one) && nw_drawing_add(&b, &two));
    ck_assert_int_eq(nw_drawing_paint(&a, &b, false, &out, NULL), NW_OK);
    ck_assert_double_eq_tol(nw_drawing_area(&out), 2 * whole - lens, 0.2);
    ck_assert_double_eq_tol(out.width, 30, 1e-6);
    nw_drawing_free(&out);
    ck_assert_int_eq(nw_drawing_paint(&a, &b, true, &out, NULL), NW_OK);
    ck_assert_double_eq_tol(nw_drawing_area(&out), whole - lens, 0.2);
    nw_drawing_free(&out);
    nw_drawing_free(&a);
    nw_drawing_free(&b);
}
END_TEST

/* ---- clips ----------------------------------------------------------------------------------- */

START_TEST(clips_cut_and_nest)
{
    nw_painting p = {0};
    size_t outer = clip_add(&p, box(0, 0, 10, 10), 0),
           inner = clip_add(&p, box(5, 5, 10, 10), outer);
    shape_add(&p.shapes, box(2, 2, 20, 4), PAINT_INK, outer);   /* 8 * 4 */
    shape_add(&p.shapes, box(-9, 4, 30, 30), PAINT_INK, inner); /* 25, of which 5 are there */
    shape_add(&p.shapes, box(11, 11, 3, 3), PAINT_INK, inner);  /* nothing */
    shape_add(&p.shapes, box(11, 11, 3, 3), PAINT_PAPER, inner);
    result r = painted(&p);
    check(r, 32 + 25 - 5, 1, 1);
    ck_assert_uint_eq(r.counts.clipped_away, 1);
}
END_TEST

START_TEST(a_clip_of_two_shapes_with_a_clip_of_one)
{
    nw_painting p = {0};
    size_t own = clip_add(&p, box(0, 0, 3, 10), 0), both = clip_add(&p, box(0, 0, 5, 10), 0);
    shape_add(&p.clips[both - 1].shapes, box(4, 0, 6, 10), PAINT_INK, 0);
    p.clips[both - 1].shapes.items[0].clip = own;
    shape_add(&p.shapes, box(0, 0, 20, 1), PAINT_INK, both);
    check(painted(&p), 3 + 6, 2, 2);
}
END_TEST

/* Far beyond what the grid holds when it is made for the page. */
START_TEST(shapes_beyond_the_page)
{
    nw_painting p = {.page = {{0, 0}, {100, 100}}};
    size_t page = clip_add(&p, box(0, 0, 100, 100), 0);
    shape_add(&p.shapes, box(-1e7, -1e7, 2e7, 1e7 + 30), PAINT_INK, page);
    shape_add(&p.shapes, box(5e6, 5e6, 10, 10), PAINT_INK, page);
    const double slope[] = {-1e6, -1e6, 1e6, 1e6, -1e6, 1e6}; /* above the diagonal */
    shape_add(&p.shapes, polygon(slope, 3), PAINT_PAPER, page);
    result r = painted(&p);
    check(r, 3000 - 450, 1, 1);
    ck_assert_uint_eq(r.counts.clipped_away, 1);
}
END_TEST

/* ---- by lot ---------------------------------------------------------------------------------- */

static unsigned drawn(unsigned *state, unsigned count)
{
    *state = *state * 1664525u + 1013904223u; /* Numerical Recipes */
    return (*state >> 16) % count;
}

static nw_path lattice_polygon(unsigned *state)
{
    double xy[24];
    for (int i = 0; i < 24; i++)
        xy[i] = drawn(state, 7) * (100.0 / 7);
    return polygon(xy, 3 + drawn(state, 9));
}

/* |A or B| + |A and B| = |A| + |B|, where edges coincide and corners lie on edges. */
START_TEST(what_is_counted_twice)
{
    unsigned state = 5;
    for (int i = 0; i < 300; i++) {
        unsigned same = state;
        nw_painting a = {0}, b = {0}, either = {0}, both = {0};
        ink(&a, lattice_polygon(&state));
        ink(&b, lattice_polygon(&state));
        state = same;
        ink(&either, lattice_polygon(&state));
        ink(&either, lattice_polygon(&state));
        state = same;
        size_t clip = clip_add(&both, lattice_polygon(&state), 0);
        shape_add(&both.shapes, lattice_polygon(&state), PAINT_INK, clip);
        double sum = painted(&a).area + painted(&b).area;
        ck_assert_double_eq_tol(painted(&either).area + painted(&both).area, sum, 1e-4);
    }
}
END_TEST

START_TEST(too_many_points_are_refused)
{
    nw_painting p = {.most_points = 7};
    ink(&p, box(0, 0, 1, 1));
    ink(&p, box(2, 0, 1, 1));
    nw_drawing drawing;
    nw_error error;
    ck_assert_int_eq(nw_painting_unite(&p, &drawing, NULL, &error), NW_BAD_INPUT);
    ck_assert_ptr_nonnull(strstr(error.message, "more than 7 points"));
    ck_assert_uint_eq(drawing.count, 0);
    nw_painting_free(&p);
}
END_TEST

/* Thousands of long edges within 0.0001 mm: told before it takes minutes. */
START_TEST(too_many_crossings_are_refused)
{
    nw_painting p = {0};
    unsigned state = 1;
    for (int i = 0; i < 5000; i++) {
        double y = drawn(&state, 1000) * 1e-7, z = drawn(&state, 1000) * 1e-7;
        const double xy[] = {drawn(&state, 1000) * 1e-3, y, 100, z, 100, 50 + z};
        ink(&p, polygon(xy, 3));
    }
    nw_drawing drawing;
    nw_error error;
    ck_assert_int_eq(nw_painting_unite(&p, &drawing, NULL, &error), NW_BAD_INPUT);
    ck_assert_ptr_nonnull(strstr(error.message, "too many of its outlines cross"));
    ck_assert_uint_eq(drawing.count, 0);
    nw_painting_free(&p);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_star_by_both_fill_rules,
                                  a_star_of_400_points,
                                  nested_boxes_alternate_by_even_odd,
                                  later_paint_covers_earlier,
                                  shapes_do_not_share_their_winding,
                                  a_checkerboard_is_32_pieces,
                                  boxes_that_share_edges_become_one,
                                  holes_that_touch_are_rings_of_their_own,
                                  what_is_nearly_together_becomes_one,
                                  copies_are_one,
                                  what_has_no_area_leaves_nothing,
                                  curves_that_nothing_touches_stay_to_the_last_digit,
                                  a_circle_cut_by_a_line,
                                  circles_united_and_taken_apart,
                                  clips_cut_and_nest,
                                  a_clip_of_two_shapes_with_a_clip_of_one,
                                  shapes_beyond_the_page,
                                  what_is_counted_twice,
                                  too_many_points_are_refused,
                                  too_many_crossings_are_refused};
    return TESTS_RUN("solid_paint", tests);
}
