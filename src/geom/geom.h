/*
 * geom: points, paths, drawings and regions, and what can be asked of them.
 *
 * A drawing has its origin at the lower left corner of its art, y up. The ink lies to the left of
 * every closed path: outer outlines run counter-clockwise, holes clockwise.
 */
#ifndef NARROWS_GEOM_H
#define NARROWS_GEOM_H

#include <geom/drawing.h>

#ifdef NARROWS_INSIDE
#include <geom/box_tree.h>
#include <geom/curves.h>
#include <geom/flattening.h>
#include <geom/hull.h>
#include <geom/least_squares.h>
#include <geom/nesting.h>
#endif

#endif
