/*
 * shapes: bytes -> art and options, for the targets of parts. A shape takes a few bytes, its places
 * lie on a coarse grid, so that edges meet, run along one another and miss by a little.
 */
#ifndef NARROWS_FUZZ_SHAPES_H
#define NARROWS_FUZZ_SHAPES_H

#include "fuzz.h"

#include <fit/fit.h>

typedef struct {
    const uint8_t *data;
    size_t length;
} fuzz_bytes;

/* The next byte; 0 where there is none. A target's first says what it does with the art. */
uint8_t fuzz_next(fuzz_bytes *bytes);

/* Closed paths as they are drawn: they may cross themselves and one another. */
nw_drawing fuzz_shapes(fuzz_bytes *bytes, size_t most);

/* The same united: clean art. False when there is none. */
bool fuzz_art(fuzz_bytes *bytes, size_t most, nw_drawing *art);

/* A cut with a bit and a least neck, now and then with a sheet whose edge is near to the art's. */
nw_fit_options fuzz_cut(fuzz_bytes *bytes, const nw_drawing *art);

/* What is to be done with which art, and how it is to be cut. */
typedef struct {
    uint8_t what;
    nw_drawing art;
    nw_fit_options cut;
} fuzz_case;

/* Reads it from all of the bytes, of so many shapes; false where there is no art. */
bool fuzz_case_read(fuzz_bytes *bytes, size_t most, fuzz_case *made);

/* What a fit promises: places that are finite, shares of what there is, spots in order of harm. */
void fuzz_hold_fit(const nw_fit *fit);

#endif
