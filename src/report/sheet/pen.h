/*
 * pen: lines, lettering, arrowheads and dimension lines of a technical drawing, on any canvas: a
 * table of what a format draws in its own way (svg_canvas, pdf_canvas). Places are millimetres
 * from the sheet's upper left corner, y down.
 */
#ifndef NARROWS_REPORT_PEN_H
#define NARROWS_REPORT_PEN_H

#include <report/parts.h>

/* The palette of Okabe and Ito, Color Universal Design, 2008, for readers of every colour vision.
 * Tints are theirs on white. */
#define INK_BLACK "#000000"
#define INK_ORANGE "#e69f00"
#define INK_BLUE "#0072b2"
#define INK_VERMILLION "#d55e00"
#define INK_PURPLE "#cc79a7"
#define TINT_SKY "#ddf0fb"
#define TINT_BLUE "#b2d5e7"
#define INK_WHITE "#ffffff"
#define INK_GREEN "#009e73"
#define INK_GREY "#ececec" /* stock that stays */

typedef enum { REPORT_START, REPORT_MIDDLE, REPORT_END } report_anchor;

typedef struct {
    double size; /* of the letters, mm */
    bool bold;
    report_anchor anchor;
    const char *colour; /* NULL: black */
} report_lettering;

#define REPORT_HATCH "url(#thin)" /* a fill: slanting lines, REPORT_HATCH_STEP units apart */
#define REPORT_HATCH_STEP 1.2
#define REPORT_HATCH_SHARE 0.4 /* of the step that its lines are wide */

/* How a shape is filled, by the even-odd rule, and lined; fill or stroke may be NULL. */
typedef struct {
    const char *fill, *stroke; /* "#rrggbb"; fill also REPORT_HATCH */
    double width;              /* of the line */
    double dash[2];            /* drawn and left out; 0: a full line */
} report_style;

typedef struct report_canvas report_canvas;

typedef struct {
    const report_canvas *canvas;
    nw_text *out; /* what the canvas writes; out->failed says that memory ran out */
    double unit;
} report_pen;

struct report_canvas {
    void (*line)(report_pen *pen, nw_point a, nw_point b, const report_style *style);
    void (*circle)(report_pen *pen, nw_point centre, double radius, const report_style *style);
    void (*box)(report_pen *pen, nw_box box, const report_style *style);
    /* At most 4 corners. */
    void (*polygon)(report_pen *pen, const nw_point *corners, size_t count,
                    const report_style *style);
    /* Outlines of a drawing as one shape, with round corners of its line. */
    void (*paths)(report_pen *pen, const nw_path *paths, size_t count, report_frame frame,
                  const report_style *style);
    void (*text)(report_pen *pen, nw_point at, report_lettering lettering, const char *text);
    /* How wide a line of text may come, at most. */
    double (*text_width)(const char *text, size_t length, double size, bool bold);
    /* Groups: with a name and, where it is not 0, a number; or of dashed lines. */
    void (*group)(report_pen *pen, const char *name, size_t number);
    void (*dashes)(report_pen *pen, double drawn, double left_out);
    void (*end)(report_pen *pen);
};

/* How wide a sans-serif's letters come at most: those of the widest common fonts. */
double nw_report_text_width(const char *text, size_t length, double size, bool bold);

#define REPORT_SMALL 2.6 /* the small lettering, in units of the pen */

report_lettering nw_report_small(const report_pen *pen, report_anchor anchor, bool bold);

/* One line of text with its baseline at `at`. */
void nw_report_pen_text(report_pen *pen, nw_point at, report_lettering lettering, const char *text);
/* The same of words that were put together for it, which are freed. */
void nw_report_pen_words(report_pen *pen, nw_point at, report_lettering lettering, nw_text *words);
/* Wraps text to width and returns the y below it. */
double nw_report_pen_paragraph(report_pen *pen, nw_point at, double width,
                               report_lettering lettering, const char *text);
/* The same of words, which are freed; without any the y is that of `at`. */
double nw_report_pen_sentences(report_pen *pen, nw_point at, double width,
                               report_lettering lettering, nw_text *words);
void nw_report_pen_line(report_pen *pen, nw_point a, nw_point b, double width, const char *colour);
/* A level and an upright line, `reach` long to every side. */
void nw_report_pen_cross(report_pen *pen, nw_point at, double reach, double width);
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
/* All paths of a drawing, piece by piece. */
void nw_report_pen_drawing(report_pen *pen, const nw_drawing *drawing, report_frame frame,
                           const char *fill, const char *stroke, double width);
void nw_report_pen_group(report_pen *pen, const char *name, size_t number);
void nw_report_pen_dashes(report_pen *pen, double drawn, double left_out);
void nw_report_pen_end(report_pen *pen);
/* The line of a dimension between two ends: it sticks out beyond them where the arrowheads have no
 * room inside, which is what it returns. */
bool nw_report_dimension_line(const report_pen *pen, const nw_point ends[2], double weight,
                              nw_point line[2]);
/* That line with its arrowheads; nothing where the ends are one. */
void nw_report_pen_dimension(report_pen *pen, const nw_point ends[2], double weight,
                             const char *colour);

/* The place on the sheet of a drawing's point. */
static inline nw_point nw_report_placed(nw_point point, const report_frame *frame)
{
    return (nw_point){(point.x - frame->left) * frame->scale,
                      (frame->top - point.y) * frame->scale};
}

/* ---- canvases ------------------------------------------------------------------------------ */

/* What was drawn, without the document round it. */
typedef struct {
    nw_text body;
    nw_point size, zero; /* of the sheet; the origin of drawings on it */
    bool moved;          /* that origin is not the sheet's corner */
    double unit;         /* the pen's; 0: nothing is hatched */
    double white;        /* along each edge */
} report_drawn;

/* SVG 1.1 elements (svg_canvas.c); and the document of what was drawn so. */
extern const report_canvas nw_report_svg_canvas;
void nw_report_svg_document(nw_text *svg, const char *title, const report_drawn *drawn);

/* Operators of a PDF's contents (pdf_canvas.c). */
extern const report_canvas nw_report_pdf_canvas;

#endif
