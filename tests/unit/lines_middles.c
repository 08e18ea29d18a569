/* The middles of lines against the lines that they were drawn along: closed forms all. What is
 * drawn with a round pen comes from GEOS's buffer, what has mitred corners from its own formula. */
#include <lines/lines.h>
#include <solid/solid.h>

#include "../tests.h"

#include <math.h>
#include <stdlib.h>

#define PI 3.141592653589793
#define WIDTH 2.0
#define CHORDS 60 /* looked at on a step */

static nw_point turned(double radius, double angle)
{
    return (nw_point){radius * cos(angle), radius * sin(angle)};
}

static void add_line(nw_drawing *drawing, const nw_point *points, size_t count, bool closed)
{
    nw_path path = {.start = points[0], .closed = closed};
    for (size_t i = 1; i < count + closed; i++)
        ck_assert(nw_path_line(&path, points[i % count]));
    ck_assert(nw_drawing_add(drawing, &path));
}

static void add_straight(nw_drawing *drawing, double x1, double y1, double x2, double y2)
{
    add_line(drawing, (nw_point[]){{x1, y1}, {x2, y2}}, 2, false);
}

static void add_curve(nw_drawing *drawing, const double p[8])
{
    nw_path path = {.start = {p[0], p[1]}};
    ck_assert(nw_path_curve(&path, (nw_point){p[2], p[3]}, (nw_point){p[4], p[5]},
                            (nw_point){p[6], p[7]}));
    ck_assert(nw_drawing_add(drawing, &path));
}

/* Four cubics that are within 3e-4 of the radius. */
static void add_circle(nw_drawing *drawing, double r)
{
    double h = 0.5522847498 * r;
    nw_path path = {.start = {r, 0}, .closed = true};
    ck_assert(nw_path_curve(&path, (nw_point){r, h}, (nw_point){h, r}, (nw_point){0, r}));
    ck_assert(nw_path_curve(&path, (nw_point){-h, r}, (nw_point){-r, h}, (nw_point){-r, 0}));
    ck_assert(nw_path_curve(&path, (nw_point){-r, -h}, (nw_point){-h, -r}, (nw_point){0, -r}));
    ck_assert(nw_path_curve(&path, (nw_point){h, -r}, (nw_point){r, -h}, (nw_point){r, 0}));
    ck_assert(nw_drawing_add(drawing, &path));
}

/* ---- how far two sets of lines are apart ----------------------------------------------------- */

typedef struct {
    nw_point from, to;
} chord;

typedef struct {
    chord *items;
    size_t count, capacity;
} chords;

static chords chords_of(const nw_drawing *drawing, nw_point shift)
{
    chords c = {0};
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        for (size_t k = 0; k < path->count; k++) {
            nw_point start = nw_path_from(path, k), from = start;
            for (int j = 1; j <= CHORDS; j++) {
                void *items = c.items;
                nw_point to = nw_step_at(start, &path->steps[k], (double)j / CHORDS);
                ck_assert(nw_grow(&items, &c.capacity, c.count + 1, sizeof(chord)));
                c.items = items;
                c.items[c.count++] =
                    (chord){{from.x + shift.x, from.y + shift.y}, {to.x + shift.x, to.y + shift.y}};
                from = to;
            }
        }
    }
    return c;
}

static double chord_distance(const chord *c, nw_point p)
{
    double x = c->to.x - c->from.x, y = c->to.y - c->from.y, length = x * x + y * y;
    double t = length > 0 ? ((p.x - c->from.x) * x + (p.y - c->from.y) * y) / length : 0;
    t = fmax(0, fmin(1, t));
    return hypot(p.x - c->from.x - t * x, p.y - c->from.y - t * y);
}

static double distance_from(const chords *c, nw_point p)
{
    double least = INFINITY;
    for (size_t j = 0; j < c->count; j++)
        least = fmin(least, chord_distance(&c->items[j], p));
    return least;
}

/* The largest distance of a's places from b. */
static double farthest(const chords *a, const chords *b)
{
    double most = 0;
    for (size_t i = 0; i < a->count; i++) {
        most = fmax(most, distance_from(b, a->items[i].from));
        most = fmax(most, distance_from(b, a->items[i].to));
    }
    return most;
}

/* How much of a is farther than `reach` from b. */
static double far_share(const chords *a, const chords *b, double reach)
{
    double far = 0, all = 0;
    for (size_t i = 0; i < a->count; i++) {
        const chord *c = &a->items[i];
        double length = hypot(c->to.x - c->from.x, c->to.y - c->from.y);
        all += length;
        far += distance_from(b, c->to) > reach ? length : 0;
    }
    return far / all;
}

/* ---- the cases ------------------------------------------------------------------------------- */

typedef struct {
    size_t open, closed, steps; /* of steps at most */
    double error;               /* widths */
} wanted;

/* Takes the middles of art and compares them with the lines that it was drawn along. */
static void art_check(nw_drawing *art, const nw_drawing *lines, wanted want)
{
    nw_line_notes notes;
    art->placed = NW_UNMOVED;
    nw_drawing_settle(art);
    ck_assert_int_eq(nw_drawing_lines(art, NW_LINES_MIDDLE, &notes, NULL), NW_OK);
    nw_point shift = {-art->placed.e, -art->placed.f};
    size_t open = 0, closed = 0, steps = 0;
    for (size_t i = 0; i < art->count; i++) {
        ck_assert(art->paths[i].line);
        open += !art->paths[i].closed;
        closed += art->paths[i].closed;
        steps += art->paths[i].count;
    }
    ck_assert_uint_eq(open, want.open);
    ck_assert_uint_eq(closed, want.closed);
    ck_assert_uint_le(steps, want.steps);
    chords a = chords_of(art, shift), b = chords_of(lines, (nw_point){0, 0});
    ck_assert_double_lt(farthest(&a, &b), want.error * WIDTH);
    ck_assert_double_lt(farthest(&b, &a), want.error * WIDTH);
    free(a.items);
    free(b.items);
}

/* Straight lines along the curves; a ring is an open line that ends where it begins, for a closed
 * one is filled. */
static void add_chords(const nw_path *path, nw_drawing *straight)
{
    nw_path line = {.start = path->start};
    for (size_t k = 0; k < path->count; k++) {
        int n = path->steps[k].kind == NW_LINE ? 1 : 200;
        for (int j = 1; j <= n; j++) {
            ck_assert(nw_path_line(
                &line, nw_step_at(nw_path_from(path, k), &path->steps[k], (double)j / n)));
        }
    }
    ck_assert(nw_drawing_add(straight, &line));
}

/* What a round pen draws along lines. */
static void pen_draw(const nw_drawing *lines, nw_drawing *art)
{
    nw_drawing straight = {0}, swept, nothing = {0};
    for (size_t i = 0; i < lines->count; i++)
        add_chords(&lines->paths[i], &straight);
    ck_assert_int_eq(nw_drawing_sweep(&straight, WIDTH / 2, &swept, NULL), NW_OK);
    ck_assert_int_eq(nw_drawing_paint(&nothing, &swept, false, art, NULL), NW_OK);
    nw_drawing_free(&swept);
    nw_drawing_free(&straight);
}

/* The lines drawn with a round pen. Frees them. */
static void pen_check(nw_drawing *lines, wanted want)
{
    nw_drawing art;
    pen_draw(lines, &art);
    art_check(&art, lines, want);
    nw_drawing_free(&art);
    nw_drawing_free(lines);
}

START_TEST(lines_meet_in_a_t)
{
    nw_drawing lines = {0};
    add_straight(&lines, 0, 40, 50, 40);
    add_straight(&lines, 20, 0, 20, 40);
    pen_check(&lines, (wanted){2, 0, 3, 0.02});
}
END_TEST

START_TEST(lines_cross)
{
    for (double angle = 90; angle >= 24.9; angle -= 21.7) {
        nw_drawing lines = {0};
        nw_point p = turned(30, angle * PI / 360), q = turned(30, -angle * PI / 360);
        add_straight(&lines, -p.x, -p.y, p.x, p.y);
        add_straight(&lines, -q.x, -q.y, q.x, q.y);
        pen_check(&lines, (wanted){2, 0, 4, 0.03});
    }
}
END_TEST

START_TEST(lines_meet_in_a_y)
{
    for (double angle = 150; angle > 20; angle -= 25) {
        nw_drawing lines = {0};
        nw_point p = turned(30, PI / 2 + angle * PI / 360),
                 q = turned(30, PI / 2 - angle * PI / 360);
        add_straight(&lines, 0, 0, 0, -30);
        add_straight(&lines, 0, 0, p.x, p.y);
        add_straight(&lines, 0, 0, q.x, q.y);
        /* Lines that turn by less than some 35 degrees carry one another on. */
        pen_check(&lines, (wanted){angle > 145 || angle < 70 ? 2 : 3, 0, 3, 0.04});
    }
}
END_TEST

START_TEST(ends_stop_half_a_width_short)
{
    nw_drawing lines = {0}, art = {0};
    add_straight(&lines, 0, 0, 40, 0);
    /* A bar with square ends: its middle stops where a round pen has to. */
    add_line(&art, (nw_point[]){{-1, -1}, {41, -1}, {41, 1}, {-1, 1}}, 4, true);
    art_check(&art, &lines, (wanted){1, 0, 1, 0.01});
    nw_drawing_free(&art);
    nw_drawing_free(&lines);
}
END_TEST

START_TEST(curves_stay_curves)
{
    nw_drawing lines = {0};
    add_circle(&lines, 20);
    pen_check(&lines, (wanted){0, 1, 6, 0.05});
    add_curve(&lines, (double[]){0, 0, 40, -5, -10, 45, 30, 40});
    pen_check(&lines, (wanted){1, 0, 8, 0.05});
    add_curve(&lines, (double[]){0, 30, -2, -12, 32, -12, 30, 30}); /* a U */
    pen_check(&lines, (wanted){1, 0, 8, 0.05});
}
END_TEST

START_TEST(a_line_meets_a_curve)
{
    nw_drawing lines = {0};
    add_circle(&lines, 20);
    add_straight(&lines, 20, 0, 35, 0);
    add_straight(&lines, 0, -20, 0, 20);
    pen_check(&lines, (wanted){2, 1, 14, 0.05});
}
END_TEST

/* ---- corners --------------------------------------------------------------------------------- */

/* The edge of a line along a closed polygon, `side` to its left, with mitred corners. */
static void add_edge(nw_drawing *art, const nw_point *p, size_t count, double side, bool hole)
{
    nw_point edge[64];
    for (size_t i = 0; i < count; i++) {
        nw_point a = p[(i + count - 1) % count], b = p[i], c = p[(i + 1) % count];
        double ax = b.x - a.x, ay = b.y - a.y, bx = c.x - b.x, by = c.y - b.y;
        double la = hypot(ax, ay), lb = hypot(bx, by);
        nw_point na = {-ay / la, ax / la}, nb = {-by / lb, bx / lb};
        double scale = side / (1 + na.x * nb.x + na.y * nb.y);
        edge[i] = (nw_point){b.x + scale * (na.x + nb.x), b.y + scale * (na.y + nb.y)};
    }
    add_line(art, edge, count, true);
    if (hole) {
        nw_path_reverse(&art->paths[art->count - 1]);
        art->paths[art->count - 1].hole = true;
    }
}

static void polygon_check(const nw_point *points, size_t count, bool mitred, double error)
{
    nw_drawing lines = {0}, art = {0};
    add_line(&lines, points, count, true);
    if (!mitred) {
        pen_check(&lines, (wanted){0, 1, count, error});
        return;
    }
    add_edge(&art, points, count, -WIDTH / 2, false);
    add_edge(&art, points, count, WIDTH / 2, true);
    art_check(&art, &lines, (wanted){0, 1, count, error});
    nw_drawing_free(&art);
    nw_drawing_free(&lines);
}

START_TEST(corners_are_sharp)
{
    nw_point square[] = {{0, 0}, {50, 0}, {50, 50}, {0, 50}};
    nw_point three[] = {{0, 0}, {50, 0}, {25, 43}};
    nw_point star[10];
    for (size_t i = 0; i < 10; i++)
        star[i] = turned(i % 2 ? 12 : 30, (double)i * PI / 5);
    for (int mitred = 0; mitred < 2; mitred++) {
        polygon_check(square, 4, mitred, 0.02);
        polygon_check(three, 3, mitred, 0.02);
        polygon_check(star, 10, mitred, 0.04);
    }
}
END_TEST

/* ---- junctions ------------------------------------------------------------------------------- */

static bool has_place(const nw_path *path, nw_point p)
{
    bool found = path->start.x == p.x && path->start.y == p.y;
    for (size_t k = 0; k < path->count; k++)
        found |= path->steps[k].to.x == p.x && path->steps[k].to.y == p.y;
    return found;
}

START_TEST(paths_meet_in_the_same_point)
{
    nw_drawing lines = {0}, art;
    for (int i = 0; i < 4; i++) { /* a lattice */
        add_straight(&lines, 10 * i, -10, 10 * i, 40);
        add_straight(&lines, -10, 10 * i, 40, 10 * i);
    }
    pen_draw(&lines, &art);
    nw_drawing_settle(&art);
    ck_assert_int_eq(nw_drawing_lines(&art, NW_LINES_MIDDLE, NULL, NULL), NW_OK);
    ck_assert_uint_eq(art.count, 8);
    size_t meetings = 0;
    for (size_t i = 0; i < 8; i++) {
        ck_assert_uint_eq(art.paths[i].count, 5);
        for (size_t k = 0; k < 4; k++)
            for (size_t j = 0; j < i; j++)
                meetings += has_place(&art.paths[j], art.paths[i].steps[k].to);
    }
    ck_assert_uint_eq(meetings, 16);
    nw_drawing_free(&art);
    nw_drawing_free(&lines);
}
END_TEST

/* A line round a square with a full disc on one side. */
START_TEST(wide_parts_keep_their_outlines)
{
    nw_drawing lines = {0}, ring, disc = {0}, art;
    add_line(&lines, (nw_point[]){{0, 0}, {60, 0}, {60, 60}, {0, 60}}, 4, true);
    add_circle(&disc, 8);
    for (size_t k = 0; k < 4; k++) { /* to the middle of the right side */
        nw_step *step = &disc.paths[0].steps[k];
        step->a = (nw_point){step->a.x + 60, step->a.y + 30};
        step->b = (nw_point){step->b.x + 60, step->b.y + 30};
        step->to = (nw_point){step->to.x + 60, step->to.y + 30};
    }
    disc.paths[0].start = (nw_point){68, 30};
    pen_draw(&lines, &ring);
    ck_assert_int_eq(nw_drawing_paint(&ring, &disc, false, &art, NULL), NW_OK);
    nw_drawing_settle(&art);
    nw_line_notes notes;
    ck_assert_int_eq(nw_drawing_lines(&art, NW_LINES_MIDDLE, &notes, NULL), NW_OK);
    ck_assert_uint_eq(notes.pieces, 1);
    ck_assert_uint_eq(notes.wide, 1);
    ck_assert_uint_eq(art.count, 2);
    size_t shape = art.paths[0].line ? 1 : 0;
    const nw_path *line = &art.paths[!shape];
    ck_assert(line->line && !line->closed);
    ck_assert_double_eq_tol(nw_path_area(&art.paths[shape]), PI * 64, 0.03 * PI * 64);
    nw_drawing part = {.paths = &art.paths[shape], .count = 1};
    chords edge = chords_of(&part, (nw_point){0, 0});
    ck_assert_double_lt(distance_from(&edge, line->start), 1e-6);
    ck_assert_double_lt(distance_from(&edge, line->steps[line->count - 1].to), 1e-6);
    free(edge.items);
    nw_drawing_free(&lines);
    nw_drawing_free(&ring);
    nw_drawing_free(&disc);
    nw_drawing_free(&art);
}
END_TEST

/* Lines at random that cross, touch and bend back as they like: whatever is drawn has a middle near
 * by, and no middle runs outside what was drawn. */
START_TEST(scribbles_are_covered)
{
    unsigned seed = 20;
    for (int round = 0; round < 12; round++) {
        nw_drawing lines = {0}, art;
        for (int i = 0; i < 6; i++) {
            double p[8];
            for (int k = 0; k < 8; k++) {
                seed = seed * 1103515245u + 12345u;
                p[k] = (double)(seed >> 16 & 1023) / 6;
            }
            add_curve(&lines, p);
        }
        pen_draw(&lines, &art);
        nw_line_notes notes;
        art.placed = NW_UNMOVED;
        nw_drawing_settle(&art);
        ck_assert_int_eq(nw_drawing_lines(&art, NW_LINES_MIDDLE, &notes, NULL), NW_OK);
        ck_assert_uint_gt(notes.pieces, 0);
        nw_point shift = {-art.placed.e, -art.placed.f};
        chords a = chords_of(&art, shift), b = chords_of(&lines, (nw_point){0, 0});
        ck_assert_double_le(far_share(&a, &b, 0.6 * WIDTH), 0.02);
        ck_assert_double_le(far_share(&b, &a, 0.6 * WIDTH), 0.05);
        free(a.items);
        free(b.items);
        nw_drawing_free(&art);
        nw_drawing_free(&lines);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        lines_meet_in_a_t,     lines_cross,
        lines_meet_in_a_y,     ends_stop_half_a_width_short,
        curves_stay_curves,    a_line_meets_a_curve,
        corners_are_sharp,     paths_meet_in_the_same_point,
        scribbles_are_covered, wide_parts_keep_their_outlines,
    };
    return TESTS_RUN("lines_middles", tests);
}
