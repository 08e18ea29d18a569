/* What the tests of changes draw, and count. */
#ifndef NARROWS_TEST_CHANGE_SHAPES_H
#define NARROWS_TEST_CHANGE_SHAPES_H

#include <change/change.h>

#include "../tests.h"

#include <math.h>

/* Lines from the last of the points round to it. */
static inline void round_add(nw_drawing *drawing, const nw_point *points, size_t count, bool hole,
                             size_t piece)
{
    nw_path path = {.start = points[count - 1], .closed = true, .hole = hole, .piece = piece};
    for (size_t i = 0; i < count; i++)
        ck_assert(nw_path_line(&path, points[i]));
    ck_assert(nw_drawing_add(drawing, &path));
}

#define PLATE_WIDE 40.0
#define PLATE_HIGH 16.0
#define PLATE_WINDOWS 12
#define PLATE_APART 3.6 /* middles of windows, at least */

/* The same on every machine: a linear congruential generator (constants from Numerical Recipes,
 * from memory). */
static inline double random_in(uint32_t *state, double low, double high)
{
    *state = *state * 1664525u + 1013904223u;
    return low + (high - low) * (*state >> 8) / 16777216.0;
}

static inline bool is_free(const nw_point *middles, size_t count, nw_point p)
{
    for (size_t i = 0; i < count; i++)
        if (nw_distance(middles[i], p) < PLATE_APART)
            return false;
    return true;
}

/* A square, turned and of some size, about its middle. */
static inline void window_add(nw_drawing *plate, nw_point middle, uint32_t *state)
{
    double turn = random_in(state, 0, NW_PI / 2), half = random_in(state, 1.2, 1.9);
    nw_point corners[4];
    for (int k = 0; k < 4; k++) {
        double angle = turn - k * NW_PI / 2;
        corners[k] = nw_plus(middle, (nw_point){cos(angle), sin(angle)}, half);
    }
    round_add(plate, corners, 4, true, 0);
}

/* A plate with a dozen square windows, turned every way and close together; those of other numbers
 * lie elsewhere. */
static inline nw_drawing plate_of(uint32_t number)
{
    nw_drawing plate = {.width = PLATE_WIDE, .height = PLATE_HIGH};
    const nw_point edge[] = {{0, 0}, {PLATE_WIDE, 0}, {PLATE_WIDE, PLATE_HIGH}, {0, PLATE_HIGH}};
    round_add(&plate, edge, 4, false, 0);
    nw_point middles[PLATE_WINDOWS];
    size_t count = 0;
    uint32_t state = 977 * number + 1;
    for (int tries = 0; count < PLATE_WINDOWS && tries < 2000; tries++) {
        nw_point p = {random_in(&state, 2.5, PLATE_WIDE - 2.5), 0};
        p.y = random_in(&state, 2.5, PLATE_HIGH - 2.5);
        if (is_free(middles, count, p)) {
            middles[count++] = p;
            window_add(&plate, p, &state);
        }
    }
    return plate;
}

static inline size_t pinch_count(const nw_fit *fit)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++)
        count += fit->spots[i].form == NW_PINCH;
    return count;
}

#endif
