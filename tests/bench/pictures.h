/* pictures: what the benchmarks look at, made here, the same every time. */
#ifndef NARROWS_BENCH_PICTURES_H
#define NARROWS_BENCH_PICTURES_H

#include <geom/geom.h>

/* A grey picture of side x side pixels, dark art on light paper: blobs joined by thin legs, with a
 * lattice and pointed leaves. Antialiased; noise (0 to 1) roughens every edge as a bad scan does
 * and strews dust. NULL when memory runs out. */
uint8_t *picture_make(uint32_t side, double noise);

/* Writes it as PNG; false when that fails. */
bool picture_write(const char *path, const uint8_t *grey, uint32_t side);

/* Traces it, or the picture in a file without its specks, with the library: outlines wide mm wide.
 * False when that fails. */
bool picture_drawing(const uint8_t *grey, uint32_t side, double wide, nw_drawing *drawing);
bool picture_file_drawing(const char *path, double wide, nw_drawing *drawing);

/* The same, flattened. */
bool picture_region(const uint8_t *grey, uint32_t side, double wide, nw_region *region);

/* A wavy outline of count segments, about 80 mm across, with holes: no tracing involved. rough is
 * how far vertices are thrown, in mm. */
void picture_ring(size_t count, double rough, nw_region *region);

/* count small polygons of 3 to 8 corners, one to a millimetre square, none touching another, in
 * scattered order as pieces sorted by their areas are. False when memory runs out. */
bool picture_pieces(size_t count, nw_drawing *drawing);

#endif
