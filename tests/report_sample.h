/*
 * A drawing and a result made by hand, for the tests of the writers: an outline of curves with a
 * round hole, and as many spots as wanted, strewn by a small generator so that every run is alike.
 */
#ifndef NARROWS_TESTS_REPORT_SAMPLE_H
#define NARROWS_TESTS_REPORT_SAMPLE_H

#include <fit/fit.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

static inline double sample_random(unsigned long long *state)
{
    *state = *state * 6364136223846793005ull + 1442695040888963407ull;
    return (double)(*state >> 33) / 2147483648.0;
}

static inline void sample_add(nw_drawing *drawing, nw_path *path)
{
    path->closed = true;
    if (!nw_drawing_add(drawing, path))
        abort();
}

/* A smooth blob that fills width by height, and a hole of arcs in its middle. */
static inline void sample_drawing(double width, double height, nw_drawing *drawing)
{
    *drawing = (nw_drawing){.width = width, .height = height};
    double w = width / 2, h = height / 2, k = 0.5522847498;
    nw_path outer = {.start = {width, h}};
    bool good = nw_path_curve(&outer, (nw_point){width, h + k * h}, (nw_point){w + k * w, height},
                              (nw_point){w, height}) &&
                nw_path_curve(&outer, (nw_point){w - k * w, height}, (nw_point){0, h + k * h},
                              (nw_point){0, h}) &&
                nw_path_line(&outer, (nw_point){0, 0}) && nw_path_line(&outer, (nw_point){w, 0}) &&
                nw_path_curve(&outer, (nw_point){w + k * w, 0}, (nw_point){width, h - k * h},
                              (nw_point){width, h});
    double r = fmin(w, h) / 4;
    nw_path hole = {.start = {w + r, h}, .hole = true};
    good = good && nw_path_arc(&hole, (nw_point){w, h}, (nw_point){w, h - r}, true) &&
           nw_path_arc(&hole, (nw_point){w, h}, (nw_point){w + r, h}, true);
    if (!good)
        abort();
    sample_add(drawing, &outer);
    sample_add(drawing, &hole);
}

/* A lens of two arcs from a to b, as the rolling disc leaves them. */
static inline void sample_lens(nw_drawing *drawing, nw_point a, nw_point b, size_t piece)
{
    double x = (b.x - a.x) / 2, y = (b.y - a.y) / 2;
    nw_point left = {a.x + x - y, a.y + y + x}, right = {a.x + x + y, a.y + y - x};
    nw_path path = {.start = a, .piece = piece};
    if (!nw_path_arc(&path, left, b, false) || !nw_path_arc(&path, right, a, false))
        abort();
    sample_add(drawing, &path);
}

static inline nw_spot sample_spot(size_t i, double width, double height, double bit,
                                  unsigned long long *state, nw_drawing *residues)
{
    double angle = 6.283 * sample_random(state), size = bit * 0.9 * sample_random(state);
    nw_point at = {width * sample_random(state), height * sample_random(state)};
    nw_point side = {cos(angle), sin(angle)};
    nw_spot spot = {.side = i % 3 == 1 ? NW_NECK : NW_GAP,
                    .form = i % 5 == 3    ? NW_STUB
                            : i % 11 == 7 ? NW_MISS
                                          : NW_PINCH,
                    .at = at,
                    .width = NW_NONE,
                    .length = bit * (1 + 3 * sample_random(state)),
                    .depth = NW_NONE,
                    .area = bit * bit * sample_random(state),
                    .widen = bit - size,
                    .from = {at.x - side.x * size / 2, at.y - side.y * size / 2},
                    .to = {at.x + side.x * size / 2, at.y + side.y * size / 2},
                    .stuck = {at.x - side.y * bit, at.y + side.x * bit},
                    .residue = residues->count,
                    .residue_count = 1};
    nw_point end = {at.x - side.y * spot.length, at.y + side.x * spot.length};
    sample_lens(residues, at, end, i);
    if (spot.form == NW_PINCH) {
        spot.width = size;
    } else if (spot.form == NW_STUB) {
        spot.depth = spot.length;
        spot.stuck = (nw_point){end.x - side.y * bit / 2, end.y + side.x * bit / 2};
        spot.widen = NW_NONE;
    }
    return spot;
}

static inline int sample_order(const void *a, const void *b)
{
    const nw_spot *s = a, *t = b;
    if ((s->form == NW_PINCH) != (t->form == NW_PINCH))
        return s->form == NW_PINCH ? -1 : 1;
    return s->form == NW_PINCH ? (s->width > t->width) - (s->width < t->width)
                               : (s->area < t->area) - (s->area > t->area);
}

/* A result with count spots for a drawing of this size. */
static inline void sample_fit(double width, double height, double bit, size_t count, nw_fit *fit)
{
    unsigned long long state = 7;
    *fit = (nw_fit){.options = {.cut = NW_CUT_INSIDE, .bit = bit, .neck = bit, .blunt = 2 * bit},
                    .fits = count == 0,
                    .narrowest_gap = NW_NONE,
                    .narrowest_neck = NW_NONE,
                    .spot_count = count,
                    .corners = {3, 0.25, 0.75},
                    .area_cut = 0.7 * width * height,
                    .area_reached = 0.69 * width * height,
                    .area_unreached = 0.01 * width * height};
    fit->spots = calloc(count + 1, sizeof *fit->spots);
    fit->lifts = calloc(1, sizeof *fit->lifts);
    if (!fit->spots || !fit->lifts)
        abort();
    for (size_t i = 0; i < count; i++)
        fit->spots[i] = sample_spot(i, width, height, bit, &state, &fit->residues);
    qsort(fit->spots, count, sizeof *fit->spots, sample_order);
    for (size_t i = 0; i < count; i++) {
        double *least = fit->spots[i].side == NW_GAP ? &fit->narrowest_gap : &fit->narrowest_neck;
        if (fit->spots[i].form == NW_PINCH && *least < 0)
            *least = fit->spots[i].width;
    }
    fit->lifts[0] = (nw_lift){{width / 3, height / 3}, bit * 0.9};
    fit->lift_count = 1;
    sample_lens(&fit->corner_residues, (nw_point){0, 0}, (nw_point){bit / 2, bit / 2}, 0);
}

static inline void sample_fit_free(nw_fit *fit)
{
    free(fit->spots);
    free(fit->lifts);
    nw_drawing_free(&fit->residues);
    nw_drawing_free(&fit->corner_residues);
    nw_drawing_free(&fit->bit_path);
    *fit = (nw_fit){0};
}

#endif
