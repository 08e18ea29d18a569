/* trace_sample: pictures whose true outline is known, and how far a traced one is from it. */
#ifndef NARROWS_TEST_TRACE_SAMPLE_H
#define NARROWS_TEST_TRACE_SAMPLE_H

#include <geom/geom.h>
#include <picture/picture.h>
#include <geom/geom.h>

#include <ft2build.h>
#include FT_FREETYPE_H

typedef struct {
    nw_picture picture;
    nw_ink ink;
    nw_region truth; /* in the picture's pixels, y up */
} trace_sample;

void trace_sample_free(trace_sample *s);

/* A character drawn by FreeType at a place that is no whole number of pixels: with 256 grey
 * levels, or in black and white alone. */
bool trace_sample_glyph(FT_Face face, unsigned long character, bool grey, trace_sample *s);

/* Ink where the truth holds the pixel's middle; the truth is taken over. */
bool trace_sample_shape(nw_region *truth, uint32_t width, uint32_t height, trace_sample *s);

/* Distances of places a pixel apart, on either outline from the other. */
typedef struct {
    double sum, length, largest, nodes;
} trace_errors;

/* Measures the traced outlines and frees them. */
trace_errors trace_measure(nw_drawing *drawing, const nw_region *truth);

void trace_errors_add(trace_errors *sum, trace_errors e);

#endif
