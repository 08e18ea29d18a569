/* What is alike in a drawing comes out alike when it is widened: tips whatever nodes they have,
 * arms round a middle, shapes that are there twice, turned or mirrored. */
#include "change_shapes.h"

#include <math.h>

#define BIT 3.175
#define PI 3.14159265358979323846

static nw_widened widened(const nw_drawing *drawing, nw_remedy stubs)
{
    nw_widen_options options = nw_widen_defaults();
    nw_widened w;
    nw_error error;
    options.fit.cut = NW_CUT_INSIDE;
    options.fit.bit = BIT;
    options.fit.neck = 1;
    options.fit.blunt = 1;
    options.stubs = stubs;
    ck_assert_msg(nw_drawing_widen(drawing, &options, &w, &error) == NW_OK, "%s", error.message);
    return w;
}

/* ---- tips ------------------------------------------------------------------------------------ */

#define TIPS 3

/* A bar with legs that taper: to a point, to an edge, and to a ragged end. */
static nw_drawing tips(void)
{
    static const nw_point points[] = {
        {120, 0},     {120, 20}, {104, 20}, {100.1, 59.1}, {100.15, 59.6}, {99.95, 60},
        {99.9, 59.3}, {96, 20},  {64, 20},  {60.1, 60},    {59.9, 60},     {56, 20},
        {24, 20},     {20, 60},  {16, 20},  {0, 20},       {0, 0}};
    nw_drawing drawing = {.width = 120, .height = 60};
    round_add(&drawing, points, sizeof points / sizeof *points, false, 0);
    return drawing;
}

/* The leg's outline about x at this height: its middle and its width. */
static void leg_at(const nw_region *region, double x, double high, double *middle, double *width)
{
    double low = INFINITY, most = -INFINITY;
    for (size_t k = 0; k < region->count; k++) {
        nw_point a = region->points[region->starts[k + 1] - 1];
        for (size_t i = region->starts[k]; i < region->starts[k + 1]; i++) {
            nw_point b = region->points[i];
            double at = a.x + (high - a.y) / (b.y - a.y) * (b.x - a.x);
            if ((a.y > high) != (b.y > high) && fabs(at - x) < 10) {
                low = fmin(low, at);
                most = fmax(most, at);
            }
            a = b;
        }
    }
    *middle = (low + most) / 2 - x;
    *width = most - low;
}

START_TEST(tips_come_out_alike_whatever_their_nodes)
{
    nw_drawing drawing = tips();
    nw_widened w = widened(&drawing, NW_OPEN);
    nw_region region;
    ck_assert_uint_eq(w.before.spot_count, TIPS);
    ck_assert(w.after.fits);
    ck_assert_int_eq(nw_drawing_flatten(&w.drawing, 0.002, &region, NULL), NW_OK);
    for (size_t i = 0; i < TIPS; i++)
        ck_assert(!w.notes[i].swept);
    for (double high = 59.8; high > 40; high -= 0.6) {
        double middles[TIPS], widths[TIPS];
        for (int k = 0; k < TIPS; k++)
            leg_at(&region, 20 + 40 * k - w.corner.x, high - w.corner.y, &middles[k], &widths[k]);
        ck_assert_double_le(fabs(middles[0]), 0.01);
        for (int k = 1; k < TIPS; k++) {
            ck_assert_double_eq_tol(middles[k], middles[0], 0.12);
            ck_assert_double_eq_tol(widths[k], widths[0], 0.12);
        }
        if (high < 58)
            ck_assert_double_ge(widths[0], BIT);
    }
    nw_region_free(&region);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

START_TEST(two_tips_of_one_wall_come_out_alike)
{
    /* A crescent, not quite the same left and right. */
    nw_path path = {.start = {0, 40}, .closed = true};
    ck_assert(nw_path_curve(&path, (nw_point){1, 18}, (nw_point){14, 0}, (nw_point){30, 0}));
    ck_assert(nw_path_curve(&path, (nw_point){46, 0}, (nw_point){59, 18}, (nw_point){60, 40}));
    ck_assert(nw_path_curve(&path, (nw_point){55, 25}, (nw_point){44, 14}, (nw_point){30.4, 14}));
    ck_assert(nw_path_curve(&path, (nw_point){16, 14}, (nw_point){5, 25}, (nw_point){0, 40}));
    nw_drawing drawing = {.width = 60, .height = 40};
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_widened w = widened(&drawing, NW_OPEN);
    nw_region region;
    ck_assert_uint_eq(w.before.spot_count, 2);
    ck_assert(w.after.fits);
    ck_assert_int_eq(nw_drawing_flatten(&w.drawing, 0.002, &region, NULL), NW_OK);
    for (double high = 39.5; high > 25; high -= 0.5) {
        double left, right, width, other;
        leg_at(&region, 0 - w.corner.x, high - w.corner.y, &left, &width);
        leg_at(&region, 60 - w.corner.x, high - w.corner.y, &right, &other);
        ck_assert_double_eq_tol(left, -right, 0.1);
        ck_assert_double_eq_tol(width, other, 0.1);
    }
    nw_region_free(&region);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

/* ---- copies ---------------------------------------------------------------------------------- */

#define ARM 8

/* A crooked bar that leads to a room, from a middle at 0, 0. */
static const nw_point arm[ARM] = {{14, -1.1}, {26, -2.3}, {25, -9}, {44, -8},
                                  {46, 7},    {27, 9},    {26, 0},  {13, 1}};

static nw_point turned(nw_point p, double angle)
{
    return (nw_point){p.x * cos(angle) - p.y * sin(angle), p.y * cos(angle) + p.x * sin(angle)};
}

/* Node i of arm k, or of its mirror image where k is odd and they are mirrored. */
static nw_point arm_node(int arms, bool mirrored, int k, int i)
{
    bool back = mirrored && k % 2;
    nw_point p = arm[back ? ARM - 1 - i : i];
    p.y = back ? -p.y : p.y;
    p = turned(p, k * 2 * PI / arms);
    return (nw_point){p.x + 60, p.y + 60};
}

static void arms_are_alike(int arms, bool mirrored)
{
    nw_point points[8 * ARM] = {{0, 0}};
    nw_drawing drawing = {.width = 120, .height = 120};
    for (int i = 0; i < arms * ARM; i++)
        points[i] = arm_node(arms, mirrored, i / ARM, i % ARM);
    round_add(&drawing, points, (size_t)(arms * ARM), false, 0);
    nw_widened w = widened(&drawing, NW_KEEP);
    ck_assert_uint_ge(w.before.spot_count, (size_t)arms);
    ck_assert_uint_eq(w.drawing.paths[0].count, (size_t)(arms * ARM));
    double most = 0;
    for (int i = 0; i < ARM; i++) {
        nw_point first = {0, 0};
        for (int k = 0; k < arms; k++) {
            int own = mirrored && k % 2 ? ARM - 1 - i : i;
            nw_point is = nw_plus(w.drawing.paths[0].steps[k * ARM + own].to, w.corner, 1);
            nw_point move = turned(nw_minus(is, points[k * ARM + own]), -k * 2 * PI / arms);
            move.y = mirrored && k % 2 ? -move.y : move.y;
            first = k ? first : move;
            most = fmax(most, nw_length(move));
            ck_assert_double_le(nw_distance(move, first), 1e-9);
        }
    }
    ck_assert_double_ge(most, 0.2);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}

START_TEST(arms_round_a_middle_come_out_alike)
{
    arms_are_alike(5, false);
    arms_are_alike(6, true);
}
END_TEST

START_TEST(a_shape_that_is_there_twice_comes_out_alike)
{
    /* The second is turned by 37 degrees, the third mirrored; a fourth, which is another, is no
     * copy. */
    static const nw_point points[] = {{0, 0},   {40, 0},  {42, 14}, {61, 17}, {60, 2},  {95, 0},
                                      {99, 37}, {60, 35}, {59, 19}, {41, 16}, {38, 44}, {3, 40}};
    enum { N = sizeof points / sizeof *points, COPIES = 4 };
    nw_drawing drawing = {.width = 700, .height = 200};
    nw_point all[COPIES][N];
    for (size_t k = 0; k < COPIES; k++) {
        for (size_t i = 0; i < N; i++) {
            nw_point p = points[k == 2 ? N - 1 - i : i];
            p.y += k == 3 && i == 2 ? 0.4 : 0;
            p = k == 2 ? (nw_point){-p.x + 95, p.y} : turned(p, k == 1 ? 37 * PI / 180 : 0);
            all[k][i] = (nw_point){p.x + 170 * (double)k + 40, p.y};
        }
        round_add(&drawing, all[k], N, false, k);
    }
    nw_widened w = widened(&drawing, NW_KEEP);
    ck_assert_uint_eq(w.before.spot_count, COPIES);
    ck_assert(w.after.fits);
    double other = 0;
    for (size_t i = 0; i < N; i++) {
        nw_point moves[COPIES];
        for (size_t k = 0; k < COPIES; k++) {
            size_t own = k == 2 ? N - 1 - i : i;
            nw_point is = nw_plus(w.drawing.paths[k].steps[own].to, w.corner, 1);
            moves[k] = turned(nw_minus(is, all[k][own]), k == 1 ? -37 * PI / 180 : 0);
        }
        moves[2].x = -moves[2].x;
        ck_assert_double_le(nw_distance(moves[1], moves[0]), 1e-9);
        ck_assert_double_le(nw_distance(moves[2], moves[0]), 1e-9);
        other = fmax(other, nw_distance(moves[3], moves[0]));
    }
    ck_assert_double_ge(other, 0.01);
    nw_widened_free(&w);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        tips_come_out_alike_whatever_their_nodes, two_tips_of_one_wall_come_out_alike,
        arms_round_a_middle_come_out_alike, a_shape_that_is_there_twice_comes_out_alike};
    return TESTS_RUN("what_is_alike", tests);
}
