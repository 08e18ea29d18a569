/*
 * shapes: regions for the tests, built ring by ring, and moved, turned, mirrored and scaled without
 * the library's own code for that.
 */
#ifndef NARROWS_TEST_SHAPES_H
#define NARROWS_TEST_SHAPES_H

#include <fit/fit.h>

#define PI 3.14159265358979323846
#define RAD(degrees) ((degrees)*PI / 180)

/* Adds a ring, turned round if need be so that the ink is on its left: counter-clockwise, or
 * clockwise for a hole. Start from {0}. Aborts when memory runs out. */
void shape_ring(nw_region *region, const nw_point *points, size_t count, bool hole, size_t piece);

/* A polygon of count sides inscribed in a circle, first corner at angle first. */
void shape_circle(nw_region *region, nw_point centre, double radius, size_t count, double first,
                  bool hole, size_t piece);

void shape_box(nw_region *region, nw_point min, nw_point max, bool hole, size_t piece);

/* p' = (xx x + xy y + x0, yx x + yy y + y0) */
typedef struct {
    double xx, xy, yx, yy, x0, y0;
} shape_move;

shape_move shape_move_similar(double scale, double turn_deg, bool mirror, double x0, double y0);
nw_point shape_moved_point(shape_move move, nw_point p);

/* A new region; rings of a mirrored one are reversed, so that the ink stays on the left. */
nw_region shape_moved(const nw_region *region, shape_move move);

/* The drawing written as SVG in one even-odd path, and read again. Aborts where that fails. */
nw_region shape_written(const nw_drawing *drawing);

/* Whether ring k bounds a hole. */
bool shape_is_hole(const nw_region *region, size_t k);

nw_box shape_box_of(const nw_region *region);

/* Scales the region so that its box is wide mm wide and starts at the origin. */
void shape_fit_width(nw_region *region, double wide);

/* The signed area that a closed path of lines and arcs encloses (counter-clockwise positive). */
double shape_path_area(const nw_path *path);

/* The same path as points, arcs cut so that they leave their chords by at most flatness. Returns
 * their number; *points is the caller's to free. */
size_t shape_path_points(const nw_path *path, double flatness, nw_point **points);

/* nw_fit_run that must succeed with no ends left unpaired. */
nw_fit shape_fit(const nw_region *region, const nw_fit_options *options);

/* The diameter of the smallest disc between low and high (to within 1e-5) for which the fit has a
 * spot of this side and form; 0 if it has none at high. */
double shape_critical(const nw_region *region, nw_cut cut, nw_side side, nw_form form, double low,
                      double high);

size_t shape_count(const nw_fit *fit, nw_side side, nw_form form);

#endif
