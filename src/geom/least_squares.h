/* Sums of least squares and what solves them. */
#ifndef NARROWS_GEOM_LEAST_SQUARES_H
#define NARROWS_GEOM_LEAST_SQUARES_H

#include <geom/point.h>
#include <base/base.h>

#define NW_UNKNOWNS 4 /* at most */

/* count equations m[row][column], the right sides in the last column of all, by Gauss with pivots;
 * m is used up. False where they do not tell x. */
bool nw_equations_solve(int count, double m[NW_UNKNOWNS][NW_UNKNOWNS + 1], double x[NW_UNKNOWNS]);

/* The same of two equations, which are mostly what there is. */
bool nw_pair_solve(double m[2][3], double x[2]);

/* The straight line through places that were added one by one. Start from {0}. */
typedef struct {
    double n, x, y, xx, xy, yy;
    nw_point first, last;
} nw_line_sum;

void nw_line_add(nw_line_sum *s, nw_point p);

/* Of least squares (orthogonal regression); the way, of length 1, runs from the first place to the
 * last. */
void nw_line_fit(const nw_line_sum *s, nw_point *middle, nw_point *way);

/* The parabola y = c[0] + c[1] x + c[2] x² through places that were added one by one. Start from
 * {0}. */
typedef struct {
    double x[5], y[3]; /* sums of x to the k, and of y times that */
} nw_parabola_sum;

void nw_parabola_add(nw_parabola_sum *s, double x, double y);

/* False where the determinant is not more than `least`: the places do not tell. */
bool nw_parabola_fit(const nw_parabola_sum *s, double least, double c[3]);

#endif
