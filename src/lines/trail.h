/* Places one after another on their way to become a path. Internal to the folder. */
#ifndef NARROWS_LINES_TRAIL_H
#define NARROWS_LINES_TRAIL_H

#include <geom/geom.h>

/* Knots are where curves have to end, sharp or smooth. */
typedef enum { PASSED, SMOOTH_KNOT, SHARP_KNOT } nw_place_kind;

typedef struct {
    nw_point *places; /* the last is the first again where the trail is closed */
    uint8_t *kinds;   /* a place_kind each */
    size_t count, place_capacity, kind_capacity;
    double width; /* of the lines: the measure of how near curves have to be */
    bool closed;
} nw_trail;

bool nw_trail_add(nw_trail *t, nw_point at, nw_place_kind kind);
void nw_trail_free(nw_trail *t);

/* Adds the trail to the drawing as a path, line: the middle of one. Its first and last places are
 * knots. False when memory runs out. */
bool nw_trail_write(const nw_trail *t, size_t piece, bool line, nw_drawing *out);

#endif
