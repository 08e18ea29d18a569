/*
 * Painted shapes united, against GEOS on the same shapes in the same run: a star that crosses
 * itself, shapes by lot, touching squares, and real drawings laid over one another. Ratios above 1
 * mean that the arrangement is faster. The star must take less than a tenth of GEOS's time.
 */
#include "bench.h"
#include "drawings.h"
#include "painted.h"
#include "second.h"

#include <stdio.h>
#include <stdlib.h>

typedef struct {
    nw_painting painting;
} task;

static void run_own(void *context)
{
    nw_drawing drawing;
    if (nw_painting_unite(&((task *)context)->painting, &drawing, NULL, NULL) != NW_OK)
        abort();
    nw_drawing_free(&drawing);
}

static void run_geos(void *context)
{
    GEOSGeom_destroy(painted_area(&((task *)context)->painting, 0.001));
}

static uint32_t state = 1;

/* Numerical Recipes */
static double drawn(double most)
{
    state = state * 1664525u + 1013904223u;
    return most * (state >> 8) / (1 << 24);
}

static nw_path polygon(const nw_point *corners, size_t count)
{
    nw_path path = {.start = corners[0], .closed = true};
    for (size_t i = 1; i <= count; i++)
        if (!nw_path_line(&path, corners[i % count]))
            abort();
    return path;
}

static void add(task *t, nw_path path)
{
    nw_paint_shape shape = {0};
    if (!nw_drawing_add(&shape.outline, &path) || !nw_paint_shapes_add(&t->painting.shapes, &shape))
        abort();
}

/* Every side from corner to corner number 199 on. */
static task star(bool even_odd)
{
    nw_point corners[400];
    for (size_t i = 0; i < 400; i++) {
        double angle = NW_TURN * (double)(199 * i % 400) / 400;
        corners[i] = (nw_point){50 * cos(angle), 50 * sin(angle)};
    }
    task t = {0};
    add(&t, polygon(corners, 400));
    t.painting.shapes.items[0].even_odd = even_odd;
    return t;
}

static void square_add(task *t, nw_point at, double side, double angle)
{
    nw_point corners[4];
    for (int i = 0; i < 4; i++) {
        nw_point way = {i == 1 || i == 2 ? side : 0, i > 1 ? side : 0};
        corners[i] = nw_plus(at, nw_turned(way, cos(angle), sin(angle)), 1);
    }
    add(t, polygon(corners, 4));
}

static task squares(int count)
{
    task t = {0};
    for (int i = 0; i < count; i++)
        square_add(&t, (nw_point){drawn(60), drawn(60)}, 1, drawn(NW_TURN));
    return t;
}

static task wall(int side)
{
    task t = {0};
    for (int i = 0; i < side * side; i++)
        square_add(&t, (nw_point){1.5 * (i % side), 1.5 * (i / side)}, 1.5, 0);
    return t;
}

static task polygon_by_lot(size_t count)
{
    nw_point *corners = calloc(count, sizeof *corners);
    for (size_t i = 0; i < count; i++)
        corners[i] = (nw_point){drawn(100), drawn(100)};
    task t = {0};
    add(&t, polygon(corners, count));
    free(corners);
    return t;
}

/* Each over the one before, moved a little. */
static task drawings(const real_drawings *real)
{
    task t = {0};
    for (size_t i = 0; i < real->count; i++) {
        nw_paint_shape shape = {.even_odd = true, .paint = i % 3 ? PAINT_INK : PAINT_PAPER};
        if (nw_drawing_copy(&real->items[i].drawing, &shape.outline, NULL) != NW_OK ||
            !nw_paint_shapes_add(&t.painting.shapes, &shape))
            abort();
    }
    return t;
}

/* Tells both times as a ratio, and frees the task. */
static double against(const char *name, task t)
{
    double own = bench_best(run_own, &t, BENCH_SPENT), geos = bench_best(run_geos, &t, BENCH_SPENT);
    printf("%-28s GEOS / arrangement %6.1f\n", name, geos / own);
    nw_painting_free(&t.painting);
    return geos / own;
}

int main(void)
{
    second_start();
    double least = against("star of 400, nonzero", star(false));
    double other = against("star of 400, even-odd", star(true));
    against("5000 squares by lot", squares(5000));
    against("60 x 60 touching squares", wall(60));
    against("polygon of 400 by lot", polygon_by_lot(400));
    real_drawings real = drawings_read(40, 40, 80, 1500);
    against("real drawings, one by one", drawings(&real));
    drawings_free(&real);
    return least > 10 && other > 10 ? 0 : 1;
}
