/* What the files about art drawn as lines share. Internal to the folder. */
#ifndef NARROWS_LINES_LINE_PIECES_H
#define NARROWS_LINES_LINE_PIECES_H

#include <geom/geom.h>

/* A ray among edges. */
typedef struct {
    nw_point from, way; /* way: unit */
    size_t own;         /* edge that is not met, or SIZE_MAX */
    double length;      /* to what it meets first; start with infinity */
    size_t met;
} nw_line_ray;

/* Finds the first edge that the ray meets before its length. (line_ray.c) */
void nw_ray_shoot(const nw_segment_tree *tree, nw_line_ray *r);

/* Whether p lies in the ink. (line_ray.c) */
bool nw_ink_covers(const nw_segment_tree *tree, nw_point p);

/* How much of a piece is a line, and how wide. */
typedef struct {
    double area, perimeter, width;
    double even, looked; /* of its boundary: even, of what was looked at */
    bool is_line;
    bool encloses; /* a line round a space */
} nw_line_piece;

typedef struct {
    nw_region region; /* of the drawing, coarse */
    nw_segment_tree tree;
    double flatness; /* of the region */
    nw_line_piece *pieces;
    size_t piece_count;
} nw_line_widths;

/* asked: the user wants lines, so shorter and thicker ones count too. (line_widths.c) */
nw_status nw_line_widths_find(const nw_drawing *drawing, bool asked, nw_line_widths *l,
                              nw_error *error);
void nw_line_widths_free(nw_line_widths *l);

/* The middles of the pieces that are lines, in place of them. (line_middles.c) */
nw_status nw_line_middles(nw_drawing *drawing, const nw_line_widths *l, nw_error *error);

/* What the lines enclose, filled, with or without themselves. (line_edges.c) */
nw_status nw_line_edges(nw_drawing *drawing, const nw_line_widths *l, bool outer, nw_error *error);

#endif
