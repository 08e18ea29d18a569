/*
 * runs: the horizontal runs of ink, or of paper, and the connected regions that they form.
 */
#ifndef NARROWS_PIECES_RUNS_H
#define NARROWS_PIECES_RUNS_H

#include <picture/picture.h>

struct nw_run {
    uint32_t y, x0, x1; /* pixels x0 up to x1 - 1 of row y */
    uint32_t region;    /* index of the region it belongs to */
};

typedef struct {
    uint64_t area;
    uint32_t x0, y0, x1, y1; /* box, far corner outside */
    uint32_t holes;
} nw_run_region;

typedef struct {
    struct nw_run *runs;
    size_t run_count, run_capacity;
    nw_run_region *regions; /* in the order of their first run from the top left */
    size_t region_count;
} nw_runs;

/* The 8-connected regions of ink, or of paper. A region's holes are 4-connected. */
nw_status nw_runs_find(const nw_ink *ink, bool paper, nw_runs *runs, nw_error *error);
void nw_runs_free(nw_runs *runs);

#endif
