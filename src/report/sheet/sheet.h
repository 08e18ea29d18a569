/*
 * sheet: what the parts of the marked drawing share. Places on the sheet are millimetres from its
 * upper left corner, y down. Sizes of lettering and symbols are multiples of one unit: 1 mm, and
 * more for large art, so that a drawing of any size reads well.
 */
#ifndef NARROWS_REPORT_SHEET_H
#define NARROWS_REPORT_SHEET_H

#include <report/parts.h>

/* The palette of Okabe and Ito, Color Universal Design, 2008, for readers of every colour vision.
 * Tints are theirs on white. */
#define INK_BLACK "#000000"
#define INK_ORANGE "#e69f00"
#define INK_SKY "#56b4e9"
#define INK_BLUE "#0072b2"
#define INK_VERMILLION "#d55e00"
#define INK_PURPLE "#cc79a7"
#define TINT_SKY "#ddf0fb"
#define TINT_BLUE "#b2d5e7"
#define INK_WHITE "#ffffff"
#define INK_GREEN "#009e73"
#define INK_GREY "#ececec" /* stock that stays */

/* ---- drawing (pen.c) ----------------------------------------------------------------------- */

typedef enum { REPORT_START, REPORT_MIDDLE, REPORT_END } report_anchor;

typedef struct {
    double size; /* of the letters, mm */
    bool bold;
    report_anchor anchor;
    const char *colour;
} report_lettering;

#define REPORT_HATCH "url(#thin)" /* a fill: slanting lines, REPORT_HATCH_STEP units apart */
#define REPORT_HATCH_STEP 1.2

/* How a shape is filled and lined; fill or stroke may be NULL. */
typedef struct {
    const char *fill, *stroke; /* "#rrggbb"; fill also REPORT_HATCH */
    double width;              /* of the line */
    double dash[2];            /* drawn and left out; 0: a full line */
    bool round;                /* corners of the line */
    double hatch;              /* step of the hatch */
} report_style;

/* What a pen draws on instead of writing SVG. Shapes are filled by the even-odd rule; frame, which
 * may be NULL, brings them to the sheet. */
typedef struct {
    void (*shape)(void *to, const nw_path *paths, size_t count, const report_frame *frame,
                  const report_style *style);
    void (*text)(void *to, nw_point at, report_lettering lettering, const char *text);
} report_canvas;

typedef struct {
    nw_text *svg; /* with a canvas only for its `failed` */
    double unit;
    const report_canvas *canvas; /* NULL: SVG is written */
    void *to;                    /* the canvas's own */
    double dash[2];              /* of the group that is open */
} report_pen;

/* How wide a sans-serif's letters come at most: those of the widest common fonts. */
double nw_report_text_width(const char *text, size_t length, double size, bool bold);

/* One line of text with its baseline at `at`; text is escaped. */
void nw_report_pen_text(report_pen *pen, nw_point at, report_lettering lettering, const char *text,
                        size_t length);
/* Wraps text to width and returns the y below it. */
double nw_report_pen_paragraph(report_pen *pen, nw_point at, double width,
                               report_lettering lettering, const char *text);
void nw_report_pen_line(report_pen *pen, nw_point a, nw_point b, double width, const char *colour);
/* fill or stroke may be NULL; dashed draws the circle's line in dashes. */
void nw_report_pen_circle(report_pen *pen, nw_point centre, double radius, const char *fill,
                          const char *stroke, double width, bool dashed);
void nw_report_pen_box(report_pen *pen, nw_box box, const char *fill, const char *stroke,
                       double width);
/* At most 4 corners. */
void nw_report_pen_polygon(report_pen *pen, const nw_point *corners, size_t count, const char *fill,
                           const char *stroke, double width);
/* Paths [first, first + count) of the drawing as one shape. */
void nw_report_pen_paths(report_pen *pen, const nw_drawing *drawing, size_t first, size_t count,
                         report_frame frame, const char *fill, const char *stroke, double width);
/* Opens a group: with a name and, where it is not 0, a number; or one whose lines are dashed. */
void nw_report_pen_group(report_pen *pen, const char *name, size_t number);
void nw_report_pen_dashes(report_pen *pen, double drawn, double left_out);
void nw_report_pen_end(report_pen *pen);
/* A filled arrowhead (15 degrees, ISO 129-1) with its point at tip, pointing along direction. */
void nw_report_pen_arrow(report_pen *pen, nw_point tip, nw_point direction, double size,
                         const char *colour);
/* A dimension line from a to b: arrowheads inside where they have room, else from outside on
 * lines that stick out by nw_report_dimension_reach. */
void nw_report_pen_dimension(report_pen *pen, nw_point a, nw_point b, double weight,
                             const char *colour);
double nw_report_dimension_reach(const report_pen *pen, double weight, double length);

/* ---- balloons (balloon.c) ------------------------------------------------------------------ */

typedef enum { REPORT_LEFT, REPORT_RIGHT, REPORT_TOP, REPORT_BOTTOM } report_edge;

/* A balloon with its label, to be placed outside a frame. */
typedef struct {
    nw_point ends[2]; /* where its leader may end, the better one is taken */
    double dimension; /* size of the dimension at its spot, the usual is 1; 0: it has none */
    double radius;
    double beside[2]; /* width and height of balloon and label when left or right of the frame */
    double above[2];  /* the same when above or below it */
    report_edge edge; /* result: which side of the frame */
    nw_point centre;  /* result: of the balloon */
    nw_point bend;    /* result: where the leader, straight out of the balloon, turns to its end */
    nw_point end;     /* result: where the leader ends */
} report_balloon;

/* How far the box must be padded on every side so that its frame has room for all balloons. */
double nw_report_balloons_padding(const report_balloon *balloons, size_t count, nw_box box,
                                  double least);

/* Places all balloons outside the frame: nearest side first, spread in order along it, leaders
 * free of crossings as far as swapping gets. A leader goes straight out of its balloon until it is
 * `shoulder` within the frame, so that it cannot touch a neighbour. False when memory runs out. */
bool nw_report_balloons_place(report_balloon *balloons, size_t count, nw_box frame,
                              double shoulder);

/* ---- the sheet's parts --------------------------------------------------------------------- */

#define REPORT_BALLOONS_MOST 60 /* more than that nobody reads on one sheet */

typedef struct {
    report_pen pen;
    const nw_report *report;
    const nw_change_report *change; /* the drawing of a widening; else NULL */
    report_frame place;             /* from the drawing to the sheet */
    report_balloon *balloons;       /* of the first spots, worst first */
    size_t balloon_count;
    double left, width; /* of what may be written on, mm */
} report_sheet;

nw_point nw_report_sheet_point(const report_sheet *sheet, nw_point point);
const char *nw_report_side_colour(nw_side side);

/* All paths of a drawing, piece by piece, at the sheet's place and scale (marked.c). */
void nw_report_paths_draw(report_sheet *sheet, const nw_drawing *drawing, const char *fill,
                          const char *stroke, double width);

/* Spots (sheet_spots.c): the label's two lines; sizes and leader ends of all balloons; drawing. */
void nw_report_spot_label(const nw_spot *spot, bool inch, nw_text *first, nw_text *second);
double nw_report_spot_weight(size_t index);
/* The ends of the spot's dimension on the sheet; false for a miss, which has none. */
bool nw_report_spot_dimension(const report_sheet *sheet, const nw_spot *spot, nw_point ends[2]);
/* Sets the balloons' `dimension` (sheet_dimensions.c); false when memory runs out. */
bool nw_report_dimensions_size(report_sheet *sheet);
void nw_report_spots_measure(report_sheet *sheet, nw_box *content);
void nw_report_spots_draw(report_sheet *sheet);
void nw_report_balloon_shape(report_pen *pen, nw_side side, nw_point centre, double radius,
                             bool worst);

/* Draws the marked drawing on a canvas and gives the sheet's size and how much of it is left white
 * along each edge (marked.c). */
nw_status nw_report_sheet_paint(const nw_report *report, const report_canvas *canvas, void *to,
                                nw_point *size, double *white, nw_error *error);

/* Writes the whole sheet (marked.c); change may be NULL. */
nw_status nw_report_sheet_write(const nw_report *report, const nw_change_report *change,
                                nw_text *svg, nw_error *error);

/* The art and the words on top of the drawing of a widening (widened.c). */
void nw_report_change_draw(report_sheet *sheet);
void nw_report_old_line(report_pen *pen, nw_point a, nw_point b);
void nw_report_change_box(const report_sheet *sheet, nw_box *box);

/* The edges of the stock where they are near to the art, and whether any is (sheet_marks.c). */
void nw_report_edges_draw(report_sheet *sheet);
bool nw_report_edges_near(const report_sheet *sheet);
void nw_report_edge_draw(report_pen *pen, nw_point a, nw_point b);

/* The tabs that the report has, and drawing them (sheet_marks.c). */
const nw_tabs *nw_report_tabs_of(const report_sheet *sheet);
const char *nw_report_tab_ink(const report_sheet *sheet);
void nw_report_tabs_draw(report_sheet *sheet);

/* Where written drawings have their origin, if that was asked for, else NULL; and its mark. */
const nw_point *nw_report_origin_of(const report_sheet *sheet);
void nw_report_origin_draw(report_pen *pen, nw_point at);

/* A triangle: the bit must be raised here. */
void nw_report_lift_draw(report_pen *pen, nw_point at);

#define REPORT_SMALL 2.6 /* the small lettering, in units of the pen */
#define REPORT_COLUMN 83 /* a column of legend or list */

void nw_report_small_text(report_sheet *sheet, nw_point at, report_anchor anchor, bool bold,
                          const char *text);

/* Legend and scale (sheet_legend.c), list (sheet_list.c): each returns the y below what it drew. */
double nw_report_legend_draw(report_sheet *sheet, double top);
double nw_report_list_draw(report_sheet *sheet, double top);

#endif
