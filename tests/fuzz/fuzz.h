/*
 * fuzz: what the fuzz targets share. Each target takes bytes, gives them to one reader of untrusted
 * input, and holds what comes out to what the reader promises; it ends the process where a promise
 * is broken. A fuzzer can be linked to it (meson option fuzz, clang), or replay.c, which runs the
 * corpus in the normal tests.
 */
#ifndef NARROWS_FUZZ_H
#define NARROWS_FUZZ_H

#include <geom/geom.h>

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length);

static inline void fuzz_hold(bool promise)
{
    if (!promise)
        abort();
}

/* A status goes with a message, and only a bad one does. */
void fuzz_hold_status(nw_status status, const nw_error *error);

/* What a drawing promises: finite places, and flattened an area that is finite. */
void fuzz_hold_drawing(const nw_drawing *drawing);

#endif
