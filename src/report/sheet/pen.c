/*
 * pen: shapes and words with the pen's style -> the canvas's functions; and what is the same on
 * every canvas: wrapped paragraphs, arrowheads and dimension lines as in ISO 129-1 (filled heads
 * of 15 degrees; from outside where the space between is too small).
 */
#include <report/sheet/pen.h>

#include <math.h>
#include <string.h>

#define DASH_LEFT_OUT 0.6    /* between the dashes of a circle, in units; they are 1 long */
#define ARROW_MM 2.2         /* length of an arrowhead, in units */
#define ARROW_SLOPE 0.131652 /* tan of half of 15 degrees */
#define TAIL_MM 3.8          /* how far an outer dimension line sticks out */
#define BOLD_FACTOR 1.12
#define LINE_SPACING 1.35

/* ---- words --------------------------------------------------------------------------------- */

/* Advance widths follow DejaVu Sans and Verdana, the widest of the usual sans-serif fonts. */
static double letter_width(unsigned char c)
{
    if (strchr("iIjl.,:;'|!", c))
        return 0.37;
    if (c == ' ' || strchr("()[]/-tfr\"", c))
        return c == ' ' ? 0.35 : 0.45;
    if (strchr("mwMW@%+<>=", c))
        return 1.0;
    return c >= 'A' && c <= 'Z' ? 0.8 : 0.64;
}

double nw_report_text_width(const char *text, size_t length, double size, bool bold)
{
    double width = 0;
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c < 0x80)
            width += letter_width(c);
        else if ((c & 0xc0) == 0xc0)
            width += c >= 0xe0 ? 1.05 : 0.85;
    }
    return width * size * (bold ? BOLD_FACTOR : 1);
}

static void words_free(report_pen *pen, nw_text *words)
{
    pen->out->failed = pen->out->failed || words->failed;
    nw_text_free(words);
}

void nw_report_pen_words(report_pen *pen, nw_point at, report_lettering lettering, nw_text *words)
{
    pen->canvas->text(pen, at, lettering, nw_text_string(words));
    words_free(pen, words);
}

report_lettering nw_report_small(const report_pen *pen, report_anchor anchor, bool bold)
{
    return (report_lettering){REPORT_SMALL * pen->unit, bold, anchor, NULL};
}

void nw_report_pen_text(report_pen *pen, nw_point at, report_lettering lettering, const char *text)
{
    pen->canvas->text(pen, at, lettering, text);
}

typedef struct {
    report_pen *pen;
    nw_point at;
    report_lettering lettering;
} paragraph;

static double paragraph_measure(const char *text, size_t length, void *context)
{
    const paragraph *p = context;
    return p->pen->canvas->text_width(text, length, p->lettering.size, p->lettering.bold);
}

static void paragraph_line(const char *text, size_t length, void *context)
{
    paragraph *p = context;
    nw_text line = {0};
    nw_text_add_bytes(&line, text, length);
    nw_report_pen_words(p->pen, p->at, p->lettering, &line);
    p->at.y += LINE_SPACING * p->lettering.size;
}

double nw_report_pen_paragraph(report_pen *pen, nw_point at, double width,
                               report_lettering lettering, const char *text)
{
    paragraph p = {pen, {at.x, at.y + lettering.size}, lettering};
    nw_report_wrap(text, width, paragraph_measure, paragraph_line, &p);
    return p.at.y - lettering.size;
}

double nw_report_pen_sentences(report_pen *pen, nw_point at, double width,
                               report_lettering lettering, nw_text *words)
{
    double y =
        words->length ? nw_report_pen_paragraph(pen, at, width, lettering, words->data) : at.y;
    words_free(pen, words);
    return y;
}

/* ---- shapes -------------------------------------------------------------------------------- */

void nw_report_pen_line(report_pen *pen, nw_point a, nw_point b, double width, const char *colour)
{
    pen->canvas->line(pen, a, b, &(report_style){NULL, colour, width, {0, 0}});
}

void nw_report_pen_cross(report_pen *pen, nw_point at, double reach, double width)
{
    nw_report_pen_line(pen, (nw_point){at.x - reach, at.y}, (nw_point){at.x + reach, at.y}, width,
                       INK_BLACK);
    nw_report_pen_line(pen, (nw_point){at.x, at.y - reach}, (nw_point){at.x, at.y + reach}, width,
                       INK_BLACK);
}

void nw_report_pen_circle(report_pen *pen, nw_point centre, double radius, const char *fill,
                          const char *stroke, double width, bool dashed)
{
    report_style style = {fill, stroke, width, {0, 0}};
    if (dashed) {
        style.dash[0] = pen->unit;
        style.dash[1] = DASH_LEFT_OUT * pen->unit;
    }
    pen->canvas->circle(pen, centre, radius, &style);
}

void nw_report_pen_box(report_pen *pen, nw_box box, const char *fill, const char *stroke,
                       double width)
{
    pen->canvas->box(pen, box, &(report_style){fill, stroke, width, {0, 0}});
}

void nw_report_pen_polygon(report_pen *pen, const nw_point *corners, size_t count, const char *fill,
                           const char *stroke, double width)
{
    pen->canvas->polygon(pen, corners, count, &(report_style){fill, stroke, width, {0, 0}});
}

void nw_report_pen_paths(report_pen *pen, const nw_drawing *drawing, size_t first, size_t count,
                         report_frame frame, const char *fill, const char *stroke, double width)
{
    pen->canvas->paths(pen, drawing->paths + first, count, frame,
                       &(report_style){fill, stroke, width, {0, 0}});
}

void nw_report_pen_drawing(report_pen *pen, const nw_drawing *drawing, report_frame frame,
                           const char *fill, const char *stroke, double width)
{
    for (size_t first = 0; first < drawing->count;) {
        size_t count = nw_report_piece_length(drawing, first);
        nw_report_pen_paths(pen, drawing, first, count, frame, fill, stroke, width);
        first += count;
    }
}

void nw_report_pen_group(report_pen *pen, const char *name, size_t number)
{
    pen->canvas->group(pen, name, number);
}

void nw_report_pen_dashes(report_pen *pen, double drawn, double left_out)
{
    pen->canvas->dashes(pen, drawn, left_out);
}

void nw_report_pen_end(report_pen *pen)
{
    pen->canvas->end(pen);
}

/* Filled, with its point at tip, along a direction of length 1. */
static void draw_arrow(report_pen *pen, nw_point tip, nw_point direction, double size,
                       const char *colour)
{
    nw_point back = nw_plus(tip, direction, -size), left = nw_left(direction);
    double half = size * ARROW_SLOPE;
    const nw_point corners[] = {tip, nw_plus(back, left, half), nw_plus(back, left, -half)};
    nw_report_pen_polygon(pen, corners, 3, colour, NULL, 0);
}

bool nw_report_dimension_line(const report_pen *pen, const nw_point ends[2], double weight,
                              nw_point line[2])
{
    nw_point along = nw_minus(ends[1], ends[0]);
    double length = nw_distance(ends[0], ends[1]), size = weight * pen->unit;
    bool outside = length > 0 && length <= 3 * ARROW_MM * size;
    double reach = outside ? TAIL_MM * size / length : 0;
    line[0] = nw_plus(ends[0], along, -reach);
    line[1] = nw_plus(ends[1], along, reach);
    return outside;
}

void nw_report_pen_dimension(report_pen *pen, const nw_point ends[2], double weight,
                             const char *colour)
{
    nw_point line[2];
    bool outside = nw_report_dimension_line(pen, ends, weight, line);
    double length = nw_distance(ends[0], ends[1]), size = ARROW_MM * weight * pen->unit;
    if (!(length > 0))
        return;
    double width = 0.25 * weight * pen->unit;
    if (outside) { /* the place itself stays clear */
        double clear = width + 0.35 * fmin(weight, 1) * pen->unit;
        nw_report_pen_line(pen, line[0], ends[0], clear, INK_WHITE);
        nw_report_pen_line(pen, ends[1], line[1], clear, INK_WHITE);
    }
    nw_report_pen_line(pen, line[0], line[1], width, colour);
    for (int i = 0; i < 2; i++) {
        nw_point inwards = nw_minus(ends[1 - i], ends[i]);
        double way = (outside ? 1 : -1) / length;
        draw_arrow(pen, ends[i], (nw_point){inwards.x * way, inwards.y * way}, size, colour);
    }
}
