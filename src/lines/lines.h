/*
 * lines: art drawn as lines -> their outer edges, inner edges or middles.
 */
#ifndef NARROWS_LINES_H
#define NARROWS_LINES_H

#include <geom/geom.h>

typedef enum {
    NW_LINES_AS_DRAWN, /* both edges of every line */
    NW_LINES_OUTER,    /* what lines enclose, filled, with the lines */
    NW_LINES_INNER,    /* what lines enclose, filled, without them and what else is drawn there */
    NW_LINES_MIDDLE    /* the middle of every line: open or closed paths that bound nothing */
} nw_lines;

typedef struct {
    size_t pieces; /* that are drawn as lines of nearly even width */
    size_t open;   /* those of them that enclose nothing */
    size_t others; /* pieces that are not */
    size_t wide;   /* MIDDLE: parts of lines that are much too wide and kept their outlines */
    double width;  /* the mean width of these lines */
} nw_line_notes;

/* Recognises pieces drawn as lines, and replaces them as mode says; other pieces stay, and so, with
 * OUTER and INNER, do lines that enclose nothing. Then the art's box is moved back to the origin.
 * AS_DRAWN changes nothing and is strict: only art that is mostly fine lines is said to be. Middles
 * meet in their junctions' points, and their free ends stop half a line's width before the ink's
 * end, so that a round pen as wide as the line draws the line again. Parts of a line that are three
 * times as wide keep their outlines, where middles end. notes may be NULL. Method:
 * docs/method.md. (line_modes.c) */
NW_API nw_status nw_drawing_lines(nw_drawing *drawing, nw_lines mode, nw_line_notes *notes,
                                  nw_error *error);

#ifdef NARROWS_INSIDE
#include <lines/triangles.h>
#endif

#endif
