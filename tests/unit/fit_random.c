/*
 * Random shapes on a lattice, where ties and touching points are the rule, held against a slow
 * second way: the distance of a place to all places where the disc's centre can be, found by
 * trying every offset line, every offset arc and every crossing of two of them.
 */
#include "fit_shapes.h"
#include "../tests.h"

#include <choose/choose.h>
#include <string.h>

/* ---- shapes made of cells -------------------------------------------------------------------- */

#define CELLS 12

typedef struct {
    bool ink[CELLS + 2][CELLS + 2];
    bool done[CELLS + 2][CELLS + 2][4];
} cells;

static uint64_t next_random(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return *state >> 33;
}

static double random_share(uint64_t *state)
{
    return (double)next_random(state) / 2147483648.0;
}

static const int STEP[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};

/* The cell to the left of the edge that leaves corner (x, y) this way. */
static bool left_ink(const cells *c, int x, int y, int way)
{
    static const int left[4][2] = {{0, 0}, {-1, 0}, {-1, -1}, {0, -1}};
    return c->ink[x + left[way][0]][y + left[way][1]];
}

static bool right_ink(const cells *c, int x, int y, int way)
{
    static const int right[4][2] = {{0, -1}, {0, 0}, {-1, 0}, {-1, -1}};
    return c->ink[x + right[way][0]][y + right[way][1]];
}

/* Follows the outline with the ink on the left; where two cells meet in a point it turns left,
 * so that they stay apart. */
static void cells_follow(cells *c, shape *s, int x, int y, int way)
{
    while (!c->done[x][y][way]) {
        c->done[x][y][way] = true;
        x += STEP[way][0];
        y += STEP[way][1];
        int came = way;
        for (int turn = 1; turn >= -1; turn--) {
            int to = (came + turn + 4) % 4;
            if (left_ink(c, x, y, to) && !right_ink(c, x, y, to)) {
                way = to;
                break;
            }
        }
        if (way != came)
            shape_point(s, x, y);
    }
    shape_close(s);
}

static shape *random_cells(uint64_t *state, int size, double share)
{
    static cells c;
    memset(&c, 0, sizeof c);
    for (int x = 1; x <= size; x++)
        for (int y = 1; y <= size; y++)
            c.ink[x][y] = random_share(state) < share;
    shape *s = shape_new();
    for (int x = 1; x <= size; x++)
        for (int y = 1; y <= size; y++)
            if (c.ink[x][y] && !c.ink[x][y - 1] && !c.done[x][y][0])
                cells_follow(&c, s, x, y, 0);
    return s;
}

/* ---- the second way -------------------------------------------------------------------------- */

typedef struct {
    nw_point a, b;
} segment;

typedef struct {
    segment segments[2000];
    size_t count;
    nw_point corners[40000]; /* crossings of offsets that are no nearer than r to anything */
    size_t corner_count;
    double r;
} oracle;

static double segment_distance(segment s, nw_point p)
{
    double dx = s.b.x - s.a.x, dy = s.b.y - s.a.y;
    double t = ((p.x - s.a.x) * dx + (p.y - s.a.y) * dy) / (dx * dx + dy * dy);
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    return hypot(p.x - s.a.x - t * dx, p.y - s.a.y - t * dy);
}

static double border_distance(const oracle *o, nw_point p)
{
    double least = INFINITY;
    for (size_t i = 0; i < o->count; i++)
        least = fmin(least, segment_distance(o->segments[i], p));
    return least;
}

/* Even-odd. */
static bool in_ink(const oracle *o, nw_point p)
{
    bool in = false;
    for (size_t i = 0; i < o->count; i++) {
        nw_point a = o->segments[i].a, b = o->segments[i].b;
        if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y))
            in = !in;
    }
    return in;
}

static bool centre_free(const oracle *o, nw_point c)
{
    return border_distance(o, c) >= o->r - 1e-7 && in_ink(o, c);
}

static void corner_try(oracle *o, nw_point p)
{
    if (isfinite(p.x) && isfinite(p.y) && centre_free(o, p)) {
        ck_assert_uint_lt(o->corner_count, sizeof o->corners / sizeof *o->corners);
        o->corners[o->corner_count++] = p;
    }
}

static segment offset_line(const oracle *o, size_t i, double side)
{
    segment s = o->segments[i];
    double dx = s.b.x - s.a.x, dy = s.b.y - s.a.y, k = side * o->r / hypot(dx, dy);
    return (segment){{s.a.x - dy * k, s.a.y + dx * k}, {s.b.x - dy * k, s.b.y + dx * k}};
}

static void lines_cross(oracle *o, segment s, segment t)
{
    double ax = s.b.x - s.a.x, ay = s.b.y - s.a.y, bx = t.b.x - t.a.x, by = t.b.y - t.a.y;
    double k = ((t.a.x - s.a.x) * by - (t.a.y - s.a.y) * bx) / (ax * by - ay * bx);
    corner_try(o, (nw_point){s.a.x + ax * k, s.a.y + ay * k});
}

static void line_circle_cross(oracle *o, segment s, nw_point c)
{
    double dx = s.b.x - s.a.x, dy = s.b.y - s.a.y, length = hypot(dx, dy);
    dx /= length, dy /= length;
    double along = (c.x - s.a.x) * dx + (c.y - s.a.y) * dy;
    double off = (c.y - s.a.y) * dx - (c.x - s.a.x) * dy;
    double half = sqrt(o->r * o->r - off * off);
    for (int sign = -1; sign <= 1; sign += 2)
        corner_try(
            o, (nw_point){s.a.x + dx * (along + sign * half), s.a.y + dy * (along + sign * half)});
}

static void circles_cross(oracle *o, nw_point a, nw_point b)
{
    double dx = b.x - a.x, dy = b.y - a.y, squared = dx * dx + dy * dy;
    double k = sqrt(o->r * o->r / squared - 0.25);
    for (int sign = -1; sign <= 1; sign += 2)
        corner_try(o, (nw_point){(a.x + b.x) / 2 - sign * dy * k, (a.y + b.y) / 2 + sign * dx * k});
}

static oracle *oracle_new(const shape *s, double r)
{
    oracle *o = calloc(1, sizeof *o);
    o->r = r;
    for (size_t k = 0; k < s->rings; k++)
        for (size_t i = s->starts[k]; i < s->starts[k + 1]; i++)
            o->segments[o->count++] =
                (segment){s->points[i], s->points[i + 1 < s->starts[k + 1] ? i + 1 : s->starts[k]]};
    for (size_t i = 0; i < o->count; i++) {
        for (size_t j = 0; j < o->count; j++) {
            if (i < j)
                lines_cross(o, offset_line(o, i, 1), offset_line(o, j, 1));
            line_circle_cross(o, offset_line(o, i, 1), o->segments[j].a);
            if (i < j)
                circles_cross(o, o->segments[i].a, o->segments[j].a);
        }
    }
    return o;
}

/* From a place in the ink to the nearest place where the centre can be. */
static double centre_distance(const oracle *o, nw_point p)
{
    if (centre_free(o, p))
        return 0;
    double least = INFINITY;
    for (size_t i = 0; i < o->corner_count; i++)
        least = fmin(least, hypot(p.x - o->corners[i].x, p.y - o->corners[i].y));
    for (size_t i = 0; i < o->count; i++) {
        segment line = offset_line(o, i, 1);
        double dx = line.b.x - line.a.x, dy = line.b.y - line.a.y;
        double t = ((p.x - line.a.x) * dx + (p.y - line.a.y) * dy) / (dx * dx + dy * dy);
        nw_point foot = {line.a.x + t * dx, line.a.y + t * dy}, c = o->segments[i].a;
        double away = hypot(p.x - c.x, p.y - c.y);
        nw_point round = {c.x + (p.x - c.x) * o->r / away, c.y + (p.y - c.y) * o->r / away};
        double to_foot = hypot(p.x - foot.x, p.y - foot.y), to_round = fabs(away - o->r);
        if (to_foot < least && t >= 0 && t <= 1 && centre_free(o, foot))
            least = to_foot;
        if (to_round < least && centre_free(o, round))
            least = to_round;
    }
    return least;
}

/* ---- points in drawn shapes ------------------------------------------------------------------ */

/* The winding angle of a drawn path round p, arcs taken as chords of 0.05 rad or less. */
static double path_winding(const nw_path *path, nw_point p)
{
    double sum = 0;
    nw_point last = path->start;
    for (size_t i = 0; i < path->count; i++) {
        nw_step step = path->steps[i];
        int chords = step.kind == NW_ARC ? 64 : 1;
        double from = atan2(last.y - step.a.y, last.x - step.a.x), sweep = 0, radius = 0;
        if (step.kind == NW_ARC) {
            radius = hypot(last.x - step.a.x, last.y - step.a.y);
            sweep = atan2(step.to.y - step.a.y, step.to.x - step.a.x) - from;
            sweep -= 2 * PI * ceil(sweep / (2 * PI));
        }
        for (int k = 1; k <= chords; k++) {
            nw_point to = step.to;
            if (k < chords)
                to = (nw_point){step.a.x + radius * cos(from + sweep * k / chords),
                                step.a.y + radius * sin(from + sweep * k / chords)};
            double ax = last.x - p.x, ay = last.y - p.y, bx = to.x - p.x, by = to.y - p.y;
            sum += atan2(ax * by - ay * bx, ax * bx + ay * by);
            last = to;
        }
    }
    return sum / (2 * PI);
}

static bool in_drawing(const nw_drawing *drawing, nw_point p)
{
    double winding = 0;
    for (size_t i = 0; i < drawing->count; i++)
        winding += path_winding(&drawing->paths[i], p);
    return winding > 0.5;
}

/* ---- the tests ------------------------------------------------------------------------------- */

/* As the engine rolls it: docs of the method, 'exactness'. */
static double rolled_radius(double bit)
{
    return (bit - 0.005) / 2 + 1.07e-6;
}

#define CLEAR 0.05 /* mm: shallower residues may be dust, which is not drawn */

static void expect_same(const shape *s, double bit, uint64_t *state, double size)
{
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, bit, bit);
    oracle *o = oracle_new(s, rolled_radius(bit));
    for (int i = 0; i < 60; i++) {
        nw_point p = {random_share(state) * size, random_share(state) * size};
        if (!in_ink(o, p))
            continue;
        double beyond = centre_distance(o, p) - o->r;
        bool left = in_drawing(&fit.residues, p) || in_drawing(&fit.corner_residues, p);
        if (beyond > CLEAR)
            ck_assert_msg(left, "bit %g: (%.4f, %.4f) is %g from the disc, yet not left", bit, p.x,
                          p.y, beyond);
        if (beyond < -1e-3)
            ck_assert_msg(!left, "bit %g: (%.4f, %.4f) is reached, yet left", bit, p.x, p.y);
    }
    free(o);
    nw_fit_free(&fit);
}

START_TEST(cells_agree_with_the_second_way)
{
    static const double bits[] = {0.5, 0.9, 1, 1.2, 1.41421356, 1.5, 2, 2.3, 3};
    uint64_t state = 7;
    for (int round = 0; round < 12; round++) {
        shape *s = random_cells(&state, 6, 0.45 + 0.4 * random_share(&state));
        for (size_t i = 0; i < sizeof bits / sizeof *bits; i++)
            expect_same(s, bits[i], &state, 8);
        free(s);
    }
}
END_TEST

/* Moves every point of the lattice by its own chance, so that points that touch still do. */
static void slant(shape *s, uint64_t seed)
{
    for (size_t i = 0; i < s->starts[s->rings]; i++) {
        uint64_t state = seed + (uint64_t)(100 * s->points[i].x + s->points[i].y);
        next_random(&state);
        next_random(&state);
        s->points[i].x += 0.3 * random_share(&state);
        s->points[i].y += 0.3 * random_share(&state);
    }
}

START_TEST(slanted_cells_agree_with_the_second_way)
{
    uint64_t state = 11;
    for (int round = 0; round < 25; round++) {
        shape *s = random_cells(&state, 6, 0.45 + 0.4 * random_share(&state));
        slant(s, next_random(&state));
        expect_same(s, 0.3 + 3 * random_share(&state), &state, 8);
        free(s);
    }
}
END_TEST

/* What is lost in blind ends is looked at from both their walls alike. */
START_TEST(mirror_images_have_the_same_spots)
{
    uint64_t state = 23;
    for (int round = 0; round < 300; round++) {
        shape *s = random_cells(&state, 6, 0.45 + 0.4 * random_share(&state));
        nw_fit_options options = nw_fit_defaults();
        options.bit = 0.3 + 2 * random_share(&state);
        options.blunt = 0.3 + 2 * random_share(&state);
        slant(s, next_random(&state));
        nw_fit fit = shape_fit_with(s, options);
        shape_place(s, (placing){1, 0, 0, 0, true});
        nw_fit mirrored = shape_fit_with(s, options);
        ck_assert_uint_eq(fit.spot_count, mirrored.spot_count);
        ck_assert_uint_eq(fit.corners.count, mirrored.corners.count);
        nw_fit_free(&fit);
        nw_fit_free(&mirrored);
        free(s);
    }
}
END_TEST

/* Only that every end finds its partner, which shape_fit asserts, and that areas add up. */
START_TEST(no_end_is_left_over)
{
    uint64_t state = 3;
    for (int round = 0; round < 60; round++) {
        shape *s = random_cells(&state, 4 + (int)(next_random(&state) % 8),
                                0.3 + 0.6 * random_share(&state));
        double turn = round % 4 == 0 ? 0 : random_share(&state) * PI;
        shape_place(s, (placing){1, turn, 0, 0, round % 3 == 0});
        static const double bits[] = {0.05, 0.5, 1, 1.005, 1.414213562373095, 2, 2.5, 3, 4.01, 20};
        for (size_t i = 0; i < sizeof bits / sizeof *bits; i++) {
            nw_fit fit = shape_fit(s, round % 2 ? NW_CUT_INSIDE : NW_CUT_OUTSIDE, bits[i],
                                   bits[(i * 7 + 3) % 10]);
            ck_assert_double_ge(fit.area_unreached, -1e-6);
            ck_assert_double_le(fit.area_unreached, fit.area_cut + 1e-6);
            nw_fit_free(&fit);
        }
        free(s);
    }
}
END_TEST

/* More bits than roll at a time, two of one diameter, on the ties of a lattice. */
static nw_rack rack_of_ties(void)
{
    nw_text text = {0};
    nw_rack rack;
    for (int i = 0; i < 19; i++)
        nw_text_format(&text, "bit %d, %d.%dmm\n", i, (i + 1) / 4, (i + 1) % 4 * 25);
    nw_text_add(&text, "again, 1mm\nroot, 1.414213562mm\n");
    ck_assert(nw_rack_read(text.data, text.length, "ties", &rack, NULL) == NW_OK);
    nw_text_free(&text);
    return rack;
}

static void expect_equal(const nw_fit *a, const nw_fit *b)
{
    ck_assert_uint_eq(a->spot_count, b->spot_count);
    for (size_t k = 0; k < a->spot_count; k++) {
        ck_assert_int_eq(a->spots[k].form, b->spots[k].form);
        ck_assert_double_eq_tol(a->spots[k].width, b->spots[k].width, 1e-6);
        ck_assert_double_eq_tol(a->spots[k].area, b->spots[k].area, 1e-6);
    }
    ck_assert_uint_eq(a->corners.count, b->corners.count);
    ck_assert_uint_eq(a->lift_count, b->lift_count);
    ck_assert_double_eq_tol(a->area_unreached, b->area_unreached, 1e-6);
    ck_assert_double_eq_tol(a->path_length, b->path_length, 1e-6);
    ck_assert_uint_eq(a->unpaired, b->unpaired);
}

/* One bit's discs answer for others, so each must come out as by itself. */
START_TEST(bits_together_say_what_each_says_alone)
{
    nw_rack rack = rack_of_ties();
    uint64_t state = 5;
    for (int round = 0; round < 24; round++) {
        shape *s = random_cells(&state, 8, 0.4 + 0.5 * random_share(&state));
        if (round % 3)
            slant(s, next_random(&state));
        nw_region region = shape_region(s);
        nw_fit_options options = nw_fit_defaults();
        options.cut = round % 2 ? NW_CUT_INSIDE : NW_CUT_OUTSIDE;
        options.neck = round % 4 < 2 ? 0 : 0.9;
        nw_bits bits;
        ck_assert(nw_bits_compare(&region, &options, &rack, 0, &bits, NULL) == NW_OK);
        for (size_t k = 0; k < bits.count; k++) {
            nw_fit fit = shape_fit(s, options.cut, bits.results[k].diameter, options.neck);
            expect_equal(&fit, &bits.results[k].fit);
            nw_fit_free(&fit);
        }
        nw_bits_free(&bits);
        free(s);
    }
    nw_rack_free(&rack);
}
END_TEST

int main(void)
{
    const TTest *tests[] = {cells_agree_with_the_second_way,
                            slanted_cells_agree_with_the_second_way,
                            mirror_images_have_the_same_spots, no_end_is_left_over,
                            bits_together_say_what_each_says_alone};
    return TESTS_RUN("fit_random", tests);
}
