/*
 * places_noise: a run of places -> how far noise moves each of them across the outline, apart from
 * what the outline itself does.
 *
 * The quarter of them that bend least with their next tell it: corners and small parts of the art
 * are not among those. Third differences take out lines and parabolas; of noise that moves each
 * place by itself they deviate by the root of 1 + 9 + 9 + 1 times as much.
 */
#include <trace/contour.h>

#include <math.h>

#define QUARTER 0.3186 /* of a normal distribution's deviation: a quarter is off by less */
#define LEAST 40       /* places: a few small parts fill fewer, and tell of no noise */
#define FARTHEST 2.8   /* twice what a dozen's farthest is off: of the same */

double nw_noise_reach(const nw_point *places, size_t count, double *room)
{
    size_t n = 0;
    for (size_t i = 3; i < count; i++) {
        const nw_point *q = places + i - 3;
        nw_point third = nw_plus(nw_minus(q[3], q[0]), nw_minus(q[1], q[2]), 3);
        room[n++] = fabs(nw_cross(nw_unit(q[0], q[3]), third)) / sqrt(20);
    }
    return n >= LEAST ? FARTHEST * nw_number_at(room, n, n / 4) / QUARTER : 0;
}
