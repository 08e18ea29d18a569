/* Steps, paths, drawings and regions. */
#ifndef NARROWS_GEOM_DRAWING_H
#define NARROWS_GEOM_DRAWING_H

#include <geom/point.h>
#include <base/base.h>

typedef enum {
    NW_LINE,
    NW_CURVE, /* cubic Bézier with control points a and b */
    NW_ARC    /* circular arc round the centre a, clockwise or not */
} nw_step_kind;

typedef struct {
    nw_step_kind kind;
    bool clockwise; /* NW_ARC only */
    nw_point a, b;
    nw_point to;
} nw_step;

/* A run of steps from start. A closed path ends where it began: the last step's `to` equals
 * start. Traced and read outlines hold lines and curves; what the bit makes holds lines and arcs.
 */
typedef struct {
    nw_point start;
    nw_step *steps;
    size_t count, capacity;
    bool closed;
    bool hole;     /* a closed path that bounds a hole */
    bool line;     /* the middle of a drawn line: bounds nothing, even if closed */
    size_t piece;  /* index of the piece it belongs to, from 0 */
    size_t number; /* of the piece that it came from, as the art's pieces count, from 1; 0: none */
} nw_path;

/* Appends; false when memory runs out. */
NW_API bool nw_path_line(nw_path *path, nw_point to);
NW_API bool nw_path_curve(nw_path *path, nw_point a, nw_point b, nw_point to);
NW_API bool nw_path_arc(nw_path *path, nw_point centre, nw_point to, bool clockwise);
NW_API void nw_path_free(nw_path *path);

/* The point after the share t (0 to 1) of a step that begins at from: by parameter for curves, by
 * angle for arcs. */
NW_API nw_point nw_step_at(nw_point from, const nw_step *step, double t);

/* Area that a closed path encloses, exact for lines, curves and arcs; negative when clockwise. */
NW_API double nw_path_area(const nw_path *path);

/* Appends curves that run along points[1] to points[count - 1], within tolerance of each, leaving
 * points[0] (where the path must stand) and arriving at the last point in the given directions of
 * travel. Schneider (1990). False when memory runs out. */
NW_API bool nw_path_fit(nw_path *path, const nw_point *points, size_t count, nw_point leave,
                        nw_point arrive, double tolerance);

/* Paths of one piece stand together, the outer outline first, then its holes. */
typedef struct {
    nw_path *paths;
    size_t count, capacity;
    double width, height; /* size of the art's bounding box */
    nw_affine placed;     /* from where it came from, a picture's pixels, y up from the lower left
                             corner, or a file's millimetres, to where it lies; all 0: not told */
} nw_drawing;

/* Takes over *path (leaving it empty); false, path untouched, when memory runs out. */
NW_API bool nw_drawing_add(nw_drawing *drawing, nw_path *path);
NW_API void nw_drawing_free(nw_drawing *drawing);
NW_API nw_status nw_drawing_copy(const nw_drawing *from, nw_drawing *to, nw_error *error);

/* The exact bounding box of all paths, extremes of curves and arcs included. */
NW_API nw_box nw_drawing_box(const nw_drawing *drawing);

/* How many lines and curves its paths have in all. */
NW_API size_t nw_drawing_steps(const nw_drawing *drawing);

/* The sum of its closed paths' areas: what it fills, when outer paths run counter-clockwise. */
NW_API double nw_drawing_area(const nw_drawing *drawing);

/* Outlines as polygons: what the fit measures. Ring k's points are points[starts[k]] up to
 * points[starts[k + 1] - 1], the last joined to the first; the ink on the left. The region is
 * clean: no crossings, no repeated points, at least three points a ring; rings may touch in
 * points. */
typedef struct {
    nw_point *points;
    size_t *starts; /* count + 1 of them */
    size_t *pieces; /* count: the piece that ring k belongs to */
    size_t count;   /* rings */
} nw_region;

NW_API void nw_region_free(nw_region *region);

/* How many points it has. */
static inline size_t nw_region_size(const nw_region *region)
{
    return region->count ? region->starts[region->count] : 0;
}

NW_API double nw_region_area(const nw_region *region);

/* Of one ring: its box; its length; its area, below 0 where it is a hole; the centre of that; and
 * whether a place lies within it. */
NW_API nw_box nw_ring_box(const nw_region *region, size_t ring);
NW_API double nw_ring_length(const nw_region *region, size_t ring);
NW_API double nw_ring_area(const nw_region *region, size_t ring);
NW_API nw_point nw_ring_centre(const nw_region *region, size_t ring);
NW_API bool nw_ring_contains(const nw_region *region, size_t ring, nw_point p);

#define NW_FLATNESS_MM 0.002 /* how far a flattened outline may leave its curve */

/* Chords that stay within flatness of the curves (for cubics: Sederberg's bound on second
 * differences, CAGD course notes, 10.6, from memory). Crossings that flattening or tracing made
 * are removed, so the region is clean. */
NW_API nw_status nw_drawing_flatten(const nw_drawing *drawing, double flatness, nw_region *region,
                                    nw_error *error);

/* Gives runs of lines along the drawing's outlines, as nw_drawing_flatten made them at
 * NW_FLATNESS_MM, the outlines' curves back. Their ends stay to the last digit; what does not run
 * along an outline stays too. (retrace.c) */
NW_API nw_status nw_drawing_retrace(const nw_drawing *drawing, nw_drawing *runs, nw_error *error);

/* Closed paths of chords and the bit's arcs, as a fit gives them, in few lines and arcs within
 * 0.005 mm of what the curves behind the chords give; they meet without a corner where those do.
 * (few_arcs.c) */
NW_API nw_status nw_drawing_few_arcs(const nw_drawing *made, nw_drawing *few, nw_error *error);

/* ---- size and place ------------------------------------------------------------------------ */

/* Scales by factor (> 0), turns counter-clockwise by turn_deg, mirrors left to right if asked,
 * and moves the art's box back to the origin. Orientation stays ink-left. */
NW_API nw_status nw_drawing_place(nw_drawing *drawing, double factor, double turn_deg, bool mirror,
                                  nw_error *error);

#endif
