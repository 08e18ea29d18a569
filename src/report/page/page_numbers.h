/* page_numbers: flat arrays of doubles, in which outlines travel to and from the page's engine to
 * the last bit. */
#ifndef NARROWS_REPORT_PAGE_NUMBERS_H
#define NARROWS_REPORT_PAGE_NUMBERS_H

#include <pieces/pieces.h>

typedef struct {
    double *items;
    size_t count, capacity;
    bool failed; /* no memory for more */
} nw_page_numbers;

void nw_page_numbers_add(nw_page_numbers *list, const double *values, size_t count);

/* The outlines: for every path its piece, 1 for a hole, steps, start x y; then the steps (7 each):
 * kind (0 line, 1 curve, 2 arc, 3 arc clockwise), a x y, b x y, to x y. */
void nw_page_numbers_drawing(nw_page_numbers *list, const nw_drawing *drawing);

/* For each piece of the drawing the number that it has in the art, and for what it was taken;
 * pieces may be NULL. */
void nw_page_numbers_pieces(nw_page_numbers *list, const nw_drawing *drawing,
                            const nw_pieces *pieces);

#endif
