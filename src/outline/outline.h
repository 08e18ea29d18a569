/*
 * outline: ink or an SVG drawing -> outlines in millimetres.
 *
 * A drawing has its origin at the lower left corner of its art, y up. The ink lies to the left of
 * every closed path: outer outlines run counter-clockwise, holes clockwise.
 */
#ifndef NARROWS_OUTLINE_H
#define NARROWS_OUTLINE_H

#include <base/base.h>
#include <picture/picture.h>

#ifdef __cplusplus
extern "C" {
#endif

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
    bool hole;    /* a closed path that bounds a hole */
    bool line;    /* the middle of a drawn line: bounds nothing, even if closed */
    size_t piece; /* index of the piece it belongs to, from 0 */
} nw_path;

/* Appends; false when memory runs out. */
bool nw_path_line(nw_path *path, nw_point to);
bool nw_path_curve(nw_path *path, nw_point a, nw_point b, nw_point to);
bool nw_path_arc(nw_path *path, nw_point centre, nw_point to, bool clockwise);
void nw_path_free(nw_path *path);

/* The point after the share t (0 to 1) of a step that begins at from: by parameter for curves, by
 * angle for arcs. */
nw_point nw_step_at(nw_point from, const nw_step *step, double t);

/* Area that a closed path encloses, exact for lines, curves and arcs; negative when clockwise. */
double nw_path_area(const nw_path *path);

/* Appends curves that run along points[1] to points[count - 1], within tolerance of each, leaving
 * points[0] (where the path must stand) and arriving at the last point in the given directions of
 * travel. Schneider (1990). False when memory runs out. */
bool nw_path_fit(nw_path *path, const nw_point *points, size_t count, nw_point leave,
                 nw_point arrive, double tolerance);

/* Paths of one piece stand together, the outer outline first, then its holes. */
typedef struct {
    nw_path *paths;
    size_t count, capacity;
    double width, height; /* size of the art's bounding box */
} nw_drawing;

/* Takes over *path (leaving it empty); false, path untouched, when memory runs out. */
bool nw_drawing_add(nw_drawing *drawing, nw_path *path);
void nw_drawing_free(nw_drawing *drawing);
nw_status nw_drawing_copy(const nw_drawing *from, nw_drawing *to, nw_error *error);

/* The exact bounding box of all paths, extremes of curves and arcs included. */
nw_box nw_drawing_box(const nw_drawing *drawing);

/* The sum of its closed paths' areas: what it fills, when outer paths run counter-clockwise. */
double nw_drawing_area(const nw_drawing *drawing);

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

void nw_region_free(nw_region *region);
double nw_region_area(const nw_region *region);

/* The box of one ring. */
nw_box nw_ring_box(const nw_region *region, size_t ring);

#define NW_FLATNESS_MM 0.002 /* how far a flattened outline may leave its curve */

/* Chords that stay within flatness of the curves (for cubics: Sederberg's bound on second
 * differences, CAGD course notes, 10.6, from memory). Crossings that flattening or tracing made
 * are removed, so the region is clean. */
nw_status nw_drawing_flatten(const nw_drawing *drawing, double flatness, nw_region *region,
                             nw_error *error);

/* ---- from ink ----------------------------------------------------------------------------- */

/* smooth_px: up to its default it is used only where the picture's places scatter, more is used in
 * full. Without grey levels it is what curves may leave the smoothest outline between the pixels'
 * middles, and above 4 million pixels it is not used: the tracing library's own curves are taken.
 * The notes say how far these go. `bounded` asks for outlines within smooth_px of the pixels' edges
 * all the same; less than about 0.6 pixel cannot always be held then. */
typedef struct {
    double smooth_px; /* how far an outline may leave the picture to become simpler, in pixels */
    bool bounded;     /* hold to smooth_px without grey levels too */
    bool grey;        /* use the grey levels for sub-pixel places where the picture has them */
} nw_trace_options;

nw_trace_options nw_trace_defaults(void);

typedef struct {
    bool grey;         /* the grey levels gave sub-pixel places */
    nw_point origin;   /* the drawing's origin in the picture, from its lower left corner, y up */
    double largest_px; /* largest distance between the outline and the boundary that it was traced
                          from: sub-pixel places (but not at corners, which pixels round off and
                          tracing carries on to their tips), or the pixels' own edges */
    double tips_px;    /* with grey levels: how far the tips of corners are carried on beyond these
                          places; pixels fade where a tip tapers */
} nw_trace_notes;

/* Traces the ink to smooth outlines, in pixel units turned y up, moved so that the art's box
 * starts at the origin. picture may be NULL (no grey levels). notes may be NULL. */
nw_status nw_drawing_trace(const nw_ink *ink, const nw_picture *picture,
                           const nw_trace_options *options, nw_drawing *drawing,
                           nw_trace_notes *notes, nw_error *error);

/* ---- from SVG ------------------------------------------------------------------------------ */

typedef struct {
    size_t stroke_only;   /* elements drawn only as a stroke, left out */
    char strokes[120];    /* the first few of them, by id or element and line */
    size_t stroked;       /* filled shapes that also have a stroke, whose width is left out */
    size_t text_elements; /* lettering that is not outlines, left out */
    size_t other;         /* images left out; masks, filters and clips not applied */
    char others[120];     /* the first few of them */
    size_t off_page;      /* shapes wholly beyond the page's edge or clipped away */
    bool light;           /* all fills are near white, so all of them were taken as ink */
    bool sized;           /* the file states its size in real units */
} nw_svg_notes;

/* True when the bytes look like an XML document with an svg root. */
bool nw_svg_known(const uint8_t *data, size_t length);

/* Reads the filled shapes of an SVG 1.1 document, in millimetres (user units are 1/96 in where
 * the file states no size), united into one clean drawing. No network, no entity expansion. */
nw_status nw_drawing_read_svg(const uint8_t *data, size_t length, nw_drawing *drawing,
                              nw_svg_notes *notes, nw_error *error);

/* ---- changing a drawing -------------------------------------------------------------------- */

/* What a disc of the radius covers while its centre runs along the open paths' lines, together with
 * the closed paths' insides grown by it: closed paths, curves within 0.002 mm. By
 * GEOS's buffer. */
nw_status nw_drawing_sweep(const nw_drawing *lines, double radius, nw_drawing *swept,
                           nw_error *error);

/* The art with the shapes' insides added, or taken away: clean, ink to the left. Curves of the art
 * that the shapes do not touch stay to the last digit. Nothing is moved. */
nw_status nw_drawing_paint(const nw_drawing *art, const nw_drawing *shapes, bool take,
                           nw_drawing *painted, nw_error *error);

/* What now covers and before does not, and the other way round; areas in mm². Shapes of less than
 * 0.002 mm² are left out of the drawings: an edge that was cut in two is not the same to the last
 * digit. added and removed may be NULL. (compare.c) */
nw_status nw_drawing_compare(const nw_drawing *before, const nw_drawing *now, nw_drawing *added,
                             nw_drawing *removed, double *area_added, double *area_removed,
                             nw_error *error);

/* The outlines with a gap of this length round each place, so in open paths where there are any;
 * each place breaks the path that it is nearest to. (break.c) */
nw_status nw_drawing_break(const nw_drawing *drawing, const nw_point *places, size_t count,
                           double gap, nw_drawing *broken, nw_error *error);

/* Gives runs of lines along the drawing's outlines, as nw_drawing_flatten made them at
 * NW_FLATNESS_MM, the outlines' curves back. Their ends stay to the last digit; what does not run
 * along an outline stays too. (retrace.c) */
nw_status nw_drawing_retrace(const nw_drawing *drawing, nw_drawing *runs, nw_error *error);

/* ---- size and place ------------------------------------------------------------------------ */

/* Scales by factor (> 0), turns counter-clockwise by turn_deg, mirrors left to right if asked,
 * and moves the art's box back to the origin. Orientation stays ink-left. */
nw_status nw_drawing_place(nw_drawing *drawing, double factor, double turn_deg, bool mirror,
                           nw_error *error);

/* The pieces of a drawing, for --keep and --drop, with nw_pieces_guess applied. */
nw_status nw_drawing_pieces(const nw_drawing *drawing, double speck_area, nw_pieces *pieces,
                            nw_error *error);

/* Removes the pieces that are not kept and moves the art's box back to the origin. */
nw_status nw_drawing_keep(nw_drawing *drawing, const nw_pieces *pieces, nw_error *error);

/* ---- art drawn as lines --------------------------------------------------------------------- */

typedef enum {
    NW_LINES_AS_DRAWN, /* both edges of every line */
    NW_LINES_OUTER,    /* what lines enclose, filled, with the lines */
    NW_LINES_INNER,    /* what lines enclose, filled, without them and what else is drawn there */
    NW_LINES_MIDDLE    /* the middle of every line: open or closed paths that bound nothing */
} nw_lines;

typedef struct {
    size_t pieces;   /* that are drawn as lines of nearly even width */
    size_t open;     /* those of them that enclose nothing */
    size_t others;   /* pieces that are not */
    size_t wide;     /* MIDDLE: parts of lines that are much too wide and kept their outlines */
    double width;    /* the mean width of these lines */
    nw_point origin; /* the drawing's new origin in the drawing as it was */
} nw_line_notes;

/* Recognises pieces drawn as lines, and replaces them as mode says; other pieces stay, and so, with
 * OUTER and INNER, do lines that enclose nothing. Then the art's box is moved back to the origin.
 * AS_DRAWN changes nothing and is strict: only art that is mostly fine lines is said to be. Middles
 * meet in their junctions' points, and their free ends stop half a line's width before the ink's
 * end, so that a round pen as wide as the line draws the line again. Parts of a line that are three
 * times as wide keep their outlines, where middles end. notes may be NULL. Method:
 * docs/method.md. (lines.c) */
nw_status nw_drawing_lines(nw_drawing *drawing, nw_lines mode, nw_line_notes *notes,
                           nw_error *error);

#ifdef __cplusplus
}
#endif

#endif
