/* Pictures that are turned or mirrored come out with outlines that are. */
#include <trace/trace.h>

#include "../tests.h"

#include <math.h>

static bool oval(double x, double y, double rx, double ry, double turn)
{
    double u = x * cos(turn) + y * sin(turn), v = y * cos(turn) - x * sin(turn);
    return u * u / rx / rx + v * v / ry / ry < 1;
}

/* Two pairs of wings with an eye in each, mirrored about x = 80. */
static bool moth(double x, double y)
{
    double side = fabs(x - 80);
    return (oval(side - 30, y - 40, 41.3, 24.7, -0.4) ||
            oval(side - 19, y - 80, 30.1, 21.6, 0.7)) &&
           !oval(side - 36, y - 36, 15.2, 8.3, 0.3);
}

/* Round and pointed, unlike in every direction, but for a bar that is its own mirror image. */
static bool flounder(double x, double y)
{
    double bar = fabs((x - 110) * 0.96 + (y - 92) * 0.28);
    return ((oval(x - 55, y - 45, 41.3, 24.7, -0.4) || oval(x - 79, y - 62, 14.1, 31.6, 0.3)) &&
            !oval(x - 50.4, y - 40.2, 17.2, 8.3, 0.3)) ||
           (bar < 8 && fabs(y - 92) < 14) || oval(x - 128.4, y - 40.2, 21, 17.5, 0.2) ||
           (fabs(x - 22) < 9 && y > 84 && y < 118 + 9 - fabs(x - 22));
}

#define SIDE 160

/* The shape's outlines when its picture is mirrored left to right, then top to bottom, then
 * transposed, each if the bit of `way` is set. */
static nw_drawing traced_that_way(bool (*holds)(double x, double y), int way)
{
    static uint8_t density[SIDE * SIDE];
    for (int k = 0; k < SIDE * SIDE; k++) {
        int x = way & 4 ? k / SIDE : k % SIDE, y = way & 4 ? k % SIDE : k / SIDE, inside = 0;
        x = way & 1 ? SIDE - 1 - x : x;
        y = way & 2 ? SIDE - 1 - y : y;
        for (int i = 0; i < 64; i++)
            inside += holds(x + (i % 8 + 0.5) / 8, y + (i / 8 + 0.5) / 8);
        density[k] = (uint8_t)(inside * 255 / 64);
    }
    nw_picture picture = {.width = SIDE, .height = SIDE, .density = density};
    nw_ink ink;
    ck_assert_int_eq(nw_ink_from_picture(&picture, &ink, NULL), NW_OK);
    nw_trace_options options = nw_trace_defaults();
    nw_trace_notes notes;
    nw_drawing drawing;
    ck_assert_int_eq(nw_drawing_trace(&ink, &picture, &options, &drawing, &notes, NULL), NW_OK);
    nw_ink_free(&ink);
    ck_assert(notes.grey);
    return drawing;
}

/* How far the node farthest from all of the other drawing's lies from them; that one is of the
 * picture turned and mirrored, as above. */
static double nodes_off(const nw_drawing *plain, const nw_drawing *other, int way)
{
    double most = 0;
    for (size_t i = 0; i < plain->count; i++) {
        for (size_t k = 0; k < plain->paths[i].count; k++) {
            nw_point at = plain->paths[i].steps[k].to;
            double x = way & 1 ? plain->width - at.x : at.x, off = INFINITY;
            double down = way & 2 ? at.y : plain->height - at.y;
            nw_point p = {way & 4 ? down : x, other->height - (way & 4 ? x : down)};
            for (size_t j = 0; j < other->count; j++)
                for (size_t m = 0; m < other->paths[j].count; m++)
                    off = fmin(off, nw_distance(p, other->paths[j].steps[m].to));
            most = fmax(most, off);
        }
    }
    return most;
}

/* Mirror images within a picture have mirrored nodes. */
START_TEST(what_is_mirrored_is_traced_so)
{
    nw_drawing drawing = traced_that_way(moth, 0);
    size_t nodes = 0;
    ck_assert_uint_eq(drawing.count, 3);
    for (size_t i = 0; i < drawing.count; i++)
        nodes += drawing.paths[i].count;
    ck_assert_uint_ge(nodes, 12);
    ck_assert_double_le(nodes_off(&drawing, &drawing, 1), 1e-6);
    nw_drawing_free(&drawing);
}
END_TEST

/* Pictures that are turned or mirrored come out with their nodes in the same places. */
START_TEST(what_is_turned_is_traced_so)
{
    nw_drawing plain = traced_that_way(flounder, 0);
    ck_assert_uint_eq(plain.count, 5);
    for (int way = 1; way < 8; way++) {
        nw_drawing other = traced_that_way(flounder, way);
        double off = nodes_off(&plain, &other, way);
        ck_assert_uint_eq(other.count, plain.count);
        ck_assert_msg(off < 1e-6, "way %d: %g", way, off);
        nw_drawing_free(&other);
    }
    nw_drawing_free(&plain);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {what_is_mirrored_is_traced_so, what_is_turned_is_traced_so};
    return TESTS_RUN("trace_turned", tests);
}
