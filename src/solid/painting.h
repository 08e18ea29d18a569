/* painting: painted shapes and clips, united into one clean drawing. */
#ifndef NARROWS_PAINTING_H
#define NARROWS_PAINTING_H

#include <geom/geom.h>

/* What is painted is ink where, on white paper, it ends up darker than this part of white in some
 * channel. */
#define PAINT_WHITE 0.9

typedef enum {
    PAINT_INK,   /* looks like ink on paper, */
    PAINT_PAPER, /* or like paper on ink, */
    PAINT_VEIL,  /* or is faint: it lets through what was painted before */
    PAINT_FADES, /* ink that fades: somewhere in its area what was painted before shows, */
    PAINT_PALES, /* or paper does, as in a pattern; taken for ink as a whole */
    PAINT_GLOSS, /* paper that fades; left out as a whole */
    PAINT_NONE   /* neither; of no shape */
} nw_paint_kind;

/* One filled shape. Its paths hold lines and curves; each is taken as closed by a straight line
 * from its end to its start. They may cross themselves and one another. */
typedef struct {
    nw_drawing outline;
    bool even_odd; /* else the nonzero winding rule */
    nw_paint_kind paint;
    double colour[4]; /* red, green, blue and alpha, 0 to 1, of the first three kinds; alpha 0: ink
                         is black, paper white, and nothing shows through them */
    size_t clip;      /* 0: none, else 1 + index into nw_painting.clips */
} nw_paint_shape;

typedef struct {
    nw_paint_shape *items;
    size_t count, capacity;
} nw_paint_shapes;

/* A clip is the united area of its shapes, cut by its parent's. Parents come before children. */
typedef struct {
    nw_paint_shapes shapes;
    size_t parent; /* as nw_paint_shape.clip */
} nw_paint_clip;

typedef struct {
    nw_paint_shapes shapes; /* in paint order, the first at the bottom */
    nw_paint_clip *clips;
    size_t clip_count, clip_capacity;
    nw_box page; /* how far clips let art be seen: only sets the fineness; empty (min > max): no
                    page */
    size_t most_points; /* of all chords; 0: as many as memory bears */
    double more;        /* times the crossings that are usually borne; 0: once */
} nw_painting;

/* Takes over *shape; false, *shape untouched, when memory runs out. */
bool nw_paint_shapes_add(nw_paint_shapes *shapes, nw_paint_shape *shape);
void nw_paint_shapes_free(nw_paint_shapes *shapes);
void nw_painting_free(nw_painting *all);

/* Shapes of a painting. */
typedef struct {
    size_t clipped_away; /* ink, of which a clip took everything */
    size_t fading;       /* of the three kinds that fade, where it matters that they do */
} nw_paint_counts;

/* The area that stays painted, as one clean drawing: no crossings, ink to the left, pieces grouped,
 * the largest first. Curves that nothing crosses come back as they were to the last digit; where
 * something does, they are split there. counts may be NULL. NW_BAD_INPUT: more points or
 * crossings than can be borne. */
nw_status nw_painting_unite(const nw_painting *all, nw_drawing *drawing, nw_paint_counts *counts,
                            nw_error *error);

/* The same for one drawing whose paths cross, e.g. by tracing or smoothing: what lies inside by
 * the nonzero winding rule (holes clockwise) becomes the ink. from and drawing may be the same. */
nw_status nw_drawing_unite(const nw_drawing *from, nw_drawing *drawing, nw_error *error);

#endif
