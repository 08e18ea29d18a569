/* Places one after another on their way to become a path. Internal to the folder. */
#ifndef NARROWS_LINES_PLACES_H
#define NARROWS_LINES_PLACES_H

#include <geom/geom.h>

/* Knots are where curves have to end, sharp or smooth. */
typedef enum { PASSED, SMOOTH_KNOT, SHARP_KNOT } nw_place_kind;

typedef struct {
    nw_point *places; /* the last is the first again where the trail is closed */
    uint8_t *kinds;   /* a place_kind each */
    size_t count, place_capacity, kind_capacity;
    double width; /* of the lines: the measure of how near curves have to be */
    bool closed;
} nw_places;

bool nw_places_add(nw_places *t, nw_point at, nw_place_kind kind);
void nw_places_free(nw_places *t);

/* Adds the trail to the drawing as a path, line: the middle of one. Its first and last places are
 * knots. False when memory runs out. */
bool nw_places_write(const nw_places *t, size_t piece, bool line, nw_drawing *out);

#endif
