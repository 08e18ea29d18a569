/*
 * drawings: real outlines with their curves, as the program gets them: words in several families
 * of type and, where Debian's openclipart-svg is installed, clip art; always the same ones in the
 * same order.
 */
#ifndef NARROWS_TEST_DRAWINGS_H
#define NARROWS_TEST_DRAWINGS_H

#include <geom/geom.h>

typedef struct {
    char name[200];
    nw_drawing drawing;
} real_drawing;

typedef struct {
    real_drawing *items;
    size_t count;
    size_t words, clips; /* how many of each */
} real_drawings;

/* Up to `words` words and `clips` drawings of at most `steps` steps, each `wide` mm wide. Fewer
 * where fonts or drawings are not installed. */
real_drawings drawings_read(size_t words, size_t clips, double wide, size_t steps);

/* The repository's own pictures of one silhouette each, traced. */
#define DRAWINGS_SAMPLES 6
real_drawings drawings_read_samples(const char *folder, double wide);

void drawings_free(real_drawings *drawings);

size_t drawing_steps(const nw_drawing *drawing);

#endif
