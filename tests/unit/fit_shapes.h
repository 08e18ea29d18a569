/* Regions made by hand for the tests of the fit: polygons and circles, turned, mirrored, moved
 * and scaled. */
#ifndef NARROWS_TESTS_FIT_SHAPES_H
#define NARROWS_TESTS_FIT_SHAPES_H

#include <fit/fit.h>

#include <check.h>
#include <math.h>
#include <stdlib.h>

#define SHAPE_POINTS 20000
#define SHAPE_RINGS 2000

static const double PI = 3.14159265358979323846;

/* Ink on the left of every ring. */
typedef struct {
    nw_point points[SHAPE_POINTS];
    size_t starts[SHAPE_RINGS];
    size_t pieces[SHAPE_RINGS];
    size_t rings;
} shape;

static inline shape *shape_new(void)
{
    shape *s = calloc(1, sizeof *s);
    ck_assert_ptr_nonnull(s);
    return s;
}

static inline void shape_point(shape *s, double x, double y)
{
    ck_assert_uint_lt(s->starts[s->rings + 1], SHAPE_POINTS);
    s->points[s->starts[s->rings + 1]++] = (nw_point){x, y};
}

static inline void shape_close(shape *s)
{
    s->rings++;
    ck_assert_uint_lt(s->rings + 1, SHAPE_RINGS);
    s->starts[s->rings + 1] = s->starts[s->rings];
}

static inline void shape_ring(shape *s, const double *xy, size_t points)
{
    for (size_t i = 0; i < points; i++)
        shape_point(s, xy[2 * i], xy[2 * i + 1]);
    shape_close(s);
}

#define SHAPE_RING(s, ...)                                                                         \
    shape_ring(s, (const double[]){__VA_ARGS__},                                                   \
               sizeof((const double[]){__VA_ARGS__}) / (2 * sizeof(double)))

static inline void shape_box(shape *s, double x0, double y0, double x1, double y1)
{
    SHAPE_RING(s, x0, y0, x1, y0, x1, y1, x0, y1);
}

static inline void shape_box_hole(shape *s, double x0, double y0, double x1, double y1)
{
    SHAPE_RING(s, x0, y0, x0, y1, x1, y1, x1, y0);
}

/* turn 1: counter-clockwise, ink; -1: a hole. */
static inline void shape_circle(shape *s, double x, double y, double r, int points, int turn)
{
    for (int i = 0; i < points; i++) {
        double angle = turn * 2 * PI * i / points;
        shape_point(s, x + r * cos(angle), y + r * sin(angle));
    }
    shape_close(s);
}

/* The arc of a circle from one angle to another, both ends included, appended to the ring. */
static inline void shape_arc(shape *s, double x, double y, double r, double from, double to,
                             int steps)
{
    for (int i = 0; i <= steps; i++) {
        double angle = from + (to - from) * i / steps;
        shape_point(s, x + r * cos(angle), y + r * sin(angle));
    }
}

typedef struct {
    double scale, turn, x, y;
    bool mirror;
} placing;

static inline nw_point place_point(placing p, nw_point q)
{
    double x = p.mirror ? -q.x : q.x, c = cos(p.turn) * p.scale, s = sin(p.turn) * p.scale;
    return (nw_point){x * c - q.y * s + p.x, x * s + q.y * c + p.y};
}

static inline void shape_place(shape *s, placing p)
{
    for (size_t k = 0; k < s->rings; k++) {
        for (size_t i = s->starts[k]; i < s->starts[k + 1]; i++)
            s->points[i] = place_point(p, s->points[i]);
        for (size_t i = s->starts[k], j = s->starts[k + 1] - 1; p.mirror && i < j; i++, j--) {
            nw_point swap = s->points[i];
            s->points[i] = s->points[j];
            s->points[j] = swap;
        }
    }
}

static inline nw_region shape_region(const shape *s)
{
    return (nw_region){(nw_point *)s->points, (size_t *)s->starts, (size_t *)s->pieces, s->rings};
}

/* The fit must succeed and leave nothing unpaired. */
static inline nw_fit shape_fit_with(const shape *s, nw_fit_options options)
{
    nw_region region = shape_region(s);
    nw_fit fit;
    nw_error error = {0};
    nw_status status = nw_fit_run(&region, &options, &fit, &error);
    ck_assert_msg(status == NW_OK, "%s", error.message);
    ck_assert_uint_eq(fit.unpaired, 0);
    return fit;
}

static inline nw_fit shape_fit(const shape *s, nw_cut cut, double bit, double neck)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = bit;
    options.neck = neck;
    options.with_shapes = true;
    return shape_fit_with(s, options);
}

static inline size_t count_of(const nw_fit *fit, nw_side side, nw_form form)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++)
        count += fit->spots[i].side == side && fit->spots[i].form == form;
    return count;
}

#endif
