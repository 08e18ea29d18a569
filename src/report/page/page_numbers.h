/* page_numbers: flat arrays of doubles, in which outlines travel to and from the page's engine to
 * the last bit. Internal to page. */
#ifndef NARROWS_REPORT_PAGE_NUMBERS_H
#define NARROWS_REPORT_PAGE_NUMBERS_H

#include <geom/geom.h>

typedef struct {
    double *items;
    size_t count, capacity;
    bool failed; /* no memory for more */
} nw_page_numbers;

void nw_page_numbers_add(nw_page_numbers *list, const double *values, size_t count);

/* The outlines as engine.c reads them. */
void nw_page_numbers_drawing(nw_page_numbers *list, const nw_drawing *drawing);

/* For each piece of the drawing the number that it has in the art. */
void nw_page_numbers_pieces(nw_page_numbers *list, const nw_drawing *drawing);

#endif
