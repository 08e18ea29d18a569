/*
 * outlines: real outlines for the second opinions: letters and words in several families of type
 * and, where Debian's openclipart-svg is installed, clip art drawings; always the same ones in the
 * same order.
 */
#ifndef NARROWS_TEST_OUTLINES_H
#define NARROWS_TEST_OUTLINES_H

#include <geom/geom.h>

typedef struct {
    char name[200];
    nw_region region;
} real_outline;

typedef struct {
    real_outline *items;
    size_t count;
    size_t words, drawings; /* how many of each */
} real_outlines;

/* Up to `words` words and `drawings` drawings, each `wide` mm wide and flattened to 0.002 mm, of
 * at most `segments` segments. Fewer where fonts or drawings are not installed. */
real_outlines outlines_read(size_t words, size_t drawings, double wide, size_t segments);
/* Whether the fonts are there; else says on standard output that the test is skipped. */
bool outlines_enough(const real_outlines *outlines);
void outlines_free(real_outlines *outlines);

/* Where the clip art is: the folder of Debian's openclipart-svg, or NARROWS_TEST_ART. */
const char *outlines_clip_art(void);

/* Adds the paths of the SVG files below folder, in the order of their names, up to
 * OUTLINES_MOST_FILES in all; each is the caller's to free. */
#define OUTLINES_MOST_FILES 20000
void outlines_list_files(const char *folder, char **files, size_t *count);

/* Whether the slow, full runs are wanted: NARROWS_TEST_ALL is set. */
bool outlines_all(void);

#endif
