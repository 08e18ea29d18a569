/* grid: the opening by exact distance transforms on a grid, what the benchmarks compare with. */
#ifndef NARROWS_BENCH_GRID_H
#define NARROWS_BENCH_GRID_H

#include <geom/geom.h>

/* The area that the opening of the region by a disc of radius r leaves, from a grid of the given
 * pitch; negative when memory runs out. */
double grid_opening(const nw_region *region, double r, double pitch);

#endif
