/* Before any place is given up its walls are pressed harder, from where they are and afresh: plates
 * with windows so close together that all the stock between them has to give way. */
#include "change_shapes.h"

#include <math.h>

#define PLATES 120
#define WIDE 40.0
#define HIGH 16.0
#define WINDOWS 12
#define APART 3.6 /* middles of windows, at least */
#define BIT 2.0
#define NECK 2.5

/* The same on every machine: a linear congruential generator (constants from Numerical Recipes,
 * from memory). */
static double random_in(uint32_t *state, double low, double high)
{
    *state = *state * 1664525u + 1013904223u;
    return low + (high - low) * (*state >> 8) / 16777216.0;
}

static bool is_free(const nw_point *middles, size_t count, nw_point p)
{
    for (size_t i = 0; i < count; i++)
        if (nw_distance(middles[i], p) < APART)
            return false;
    return true;
}

/* A square, turned and of some size, about its middle. */
static void window_add(nw_drawing *plate, nw_point middle, uint32_t *state)
{
    double turn = random_in(state, 0, NW_PI / 2), half = random_in(state, 1.2, 1.9);
    nw_point corners[4];
    for (int k = 0; k < 4; k++) {
        double angle = turn - k * NW_PI / 2;
        corners[k] = nw_plus(middle, (nw_point){cos(angle), sin(angle)}, half);
    }
    round_add(plate, corners, 4, true, 0);
}

static nw_drawing plate_of(uint32_t number)
{
    nw_drawing plate = {.width = WIDE, .height = HIGH};
    const nw_point edge[] = {{0, 0}, {WIDE, 0}, {WIDE, HIGH}, {0, HIGH}};
    round_add(&plate, edge, 4, false, 0);
    nw_point middles[WINDOWS];
    size_t count = 0;
    uint32_t state = 977 * number + 1;
    for (int tries = 0; count < WINDOWS && tries < 2000; tries++) {
        nw_point p = {random_in(&state, 2.5, WIDE - 2.5), 0};
        p.y = random_in(&state, 2.5, HIGH - 2.5);
        if (is_free(middles, count, p)) {
            middles[count++] = p;
            window_add(&plate, p, &state);
        }
    }
    return plate;
}

/* Of 120 such plates no more than 12 keep a place that is too narrow. */
START_TEST(few_plates_keep_a_place)
{
    nw_widen_options options = nw_widen_defaults();
    size_t places = 0, plates = 0;
    options.fit.cut = NW_CUT_OUTSIDE;
    options.fit.bit = BIT;
    options.fit.neck = NECK;
    for (uint32_t k = 0; k < PLATES; k++) {
        nw_drawing plate = plate_of(k);
        nw_widened w;
        nw_error error;
        ck_assert_msg(nw_drawing_widen(&plate, &options, &w, &error) == NW_OK, "%s", error.message);
        places += pinch_count(&w.before);
        plates += pinch_count(&w.after) > 0;
        nw_widened_free(&w);
        nw_drawing_free(&plate);
    }
    ck_assert_uint_ge(places, 10 * PLATES);
    ck_assert_uint_le(plates, 12);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {few_plates_keep_a_place};
    return TESTS_RUN("change_press", tests);
}
