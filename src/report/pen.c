/*
 * pen: lines, lettering, arrowheads and dimension lines of a technical drawing as SVG elements.
 * Arrowheads and dimension lines as in ISO 129-1 (filled heads of 15 degrees; from outside where
 * the space between is too small).
 */
#include <report/sheet.h>

#include <math.h>
#include <string.h>

#define DECIMALS 3
#define ARROW_MM 2.2         /* length of an arrowhead, in units */
#define ARROW_SLOPE 0.131652 /* tan of half of 15 degrees */
#define TAIL_MM 3.8          /* how far an outer dimension line sticks out */
#define BOLD_FACTOR 1.12
#define LINE_SPACING 1.35

/* Advance widths follow DejaVu Sans and Verdana, the widest of the usual sans-serif fonts. */
static double letter_width(unsigned char c)
{
    if (strchr("iIjl.,:;'|!", c)) {
        return 0.37;
    }
    if (c == ' ' || strchr("()[]/-tfr\"", c)) {
        return c == ' ' ? 0.35 : 0.45;
    }
    if (strchr("mwMW@%+<>=", c)) {
        return 1.0;
    }
    return c >= 'A' && c <= 'Z' ? 0.8 : 0.64;
}

double report_text_width(const char *text, size_t length, double size, bool bold)
{
    double width = 0;
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c < 0x80) {
            width += letter_width(c);
        } else if ((c & 0xc0) == 0xc0) {
            width += c >= 0xe0 ? 1.05 : 0.85;
        }
    }
    return width * size * (bold ? BOLD_FACTOR : 1);
}

static void add(report_pen *pen, const char *name, double value)
{
    nw_text_add(pen->svg, name);
    nw_text_number(pen->svg, value, DECIMALS);
}

static void add_style(report_pen *pen, const char *fill, const char *stroke, double width)
{
    nw_text_format(pen->svg, "\" fill=\"%s\"", fill ? fill : "none");
    if (stroke) {
        nw_text_format(pen->svg, " stroke=\"%s\"", stroke);
        add(pen, " stroke-width=\"", width);
        nw_text_add(pen->svg, "\"");
    }
}

void report_pen_text(report_pen *pen, nw_point at, report_lettering lettering, const char *text,
                     size_t length)
{
    static const char *const anchors[] = {"", " text-anchor=\"middle\"", " text-anchor=\"end\""};
    nw_text line = {0};
    nw_text_add_bytes(&line, text, length);
    add(pen, "<text x=\"", at.x);
    add(pen, "\" y=\"", at.y);
    add(pen, "\" font-size=\"", lettering.size);
    nw_text_format(pen->svg, "\"%s%s", lettering.bold ? " font-weight=\"bold\"" : "",
                   anchors[lettering.anchor]);
    if (lettering.colour) {
        nw_text_format(pen->svg, " fill=\"%s\"", lettering.colour);
    }
    nw_text_add(pen->svg, ">");
    nw_text_escaped(pen->svg, line.data ? line.data : "");
    nw_text_add(pen->svg, "</text>\n");
    pen->svg->failed = pen->svg->failed || line.failed;
    nw_text_free(&line);
}

typedef struct {
    report_pen *pen;
    nw_point at;
    report_lettering lettering;
} paragraph;

static double paragraph_measure(const char *text, size_t length, void *context)
{
    const paragraph *p = context;
    return report_text_width(text, length, p->lettering.size, p->lettering.bold);
}

static void paragraph_line(const char *text, size_t length, void *context)
{
    paragraph *p = context;
    report_pen_text(p->pen, p->at, p->lettering, text, length);
    p->at.y += LINE_SPACING * p->lettering.size;
}

double report_pen_paragraph(report_pen *pen, nw_point at, double width, report_lettering lettering,
                            const char *text)
{
    paragraph p = {pen, {at.x, at.y + lettering.size}, lettering};
    report_wrap(text, width, paragraph_measure, paragraph_line, &p);
    return p.at.y - lettering.size;
}

void report_pen_line(report_pen *pen, nw_point a, nw_point b, double width, const char *colour)
{
    add(pen, "<line x1=\"", a.x);
    add(pen, "\" y1=\"", a.y);
    add(pen, "\" x2=\"", b.x);
    add(pen, "\" y2=\"", b.y);
    add_style(pen, NULL, colour, width);
    nw_text_add(pen->svg, "/>\n");
}

void report_pen_circle(report_pen *pen, nw_point centre, double radius, const char *fill,
                       const char *stroke, double width, bool dashed)
{
    add(pen, "<circle cx=\"", centre.x);
    add(pen, "\" cy=\"", centre.y);
    add(pen, "\" r=\"", radius);
    add_style(pen, fill, stroke, width);
    if (dashed) {
        add(pen, " stroke-dasharray=\"", pen->unit);
        add(pen, " ", 0.6 * pen->unit);
        nw_text_add(pen->svg, "\"");
    }
    nw_text_add(pen->svg, "/>\n");
}

void report_pen_box(report_pen *pen, nw_box box, const char *fill, const char *stroke, double width)
{
    add(pen, "<rect x=\"", box.min.x);
    add(pen, "\" y=\"", box.min.y);
    add(pen, "\" width=\"", box.max.x - box.min.x);
    add(pen, "\" height=\"", box.max.y - box.min.y);
    add_style(pen, fill, stroke, width);
    nw_text_add(pen->svg, "/>\n");
}

void report_pen_arrow(report_pen *pen, nw_point tip, nw_point direction, double size,
                      const char *colour)
{
    nw_point back = {tip.x - size * direction.x, tip.y - size * direction.y};
    double half = size * ARROW_SLOPE;
    add(pen, "<path d=\"M", tip.x);
    add(pen, " ", tip.y);
    add(pen, "L", back.x - half * direction.y);
    add(pen, " ", back.y + half * direction.x);
    add(pen, "L", back.x + half * direction.y);
    add(pen, " ", back.y - half * direction.x);
    nw_text_add(pen->svg, "Z");
    add_style(pen, colour, NULL, 0);
    nw_text_add(pen->svg, "/>\n");
}

static bool arrows_inside(const report_pen *pen, double weight, double length)
{
    return length > 3 * ARROW_MM * weight * pen->unit;
}

double report_dimension_reach(const report_pen *pen, double weight, double length)
{
    return arrows_inside(pen, weight, length) ? 0 : TAIL_MM * weight * pen->unit;
}

void report_pen_dimension(report_pen *pen, nw_point a, nw_point b, double weight,
                          const char *colour)
{
    double length = hypot(b.x - a.x, b.y - a.y), size = ARROW_MM * weight * pen->unit;
    if (!(length > 0)) {
        return;
    }
    nw_point d = {(b.x - a.x) / length, (b.y - a.y) / length}, back = {-d.x, -d.y};
    double reach = report_dimension_reach(pen, weight, length);
    bool inside = reach == 0;
    nw_point first = {a.x - reach * d.x, a.y - reach * d.y};
    nw_point last = {b.x + reach * d.x, b.y + reach * d.y};
    double width = 0.25 * weight * pen->unit;
    if (!inside) { /* the place itself stays clear */
        double clear = width + 0.35 * fmin(weight, 1) * pen->unit;
        report_pen_line(pen, first, a, clear, INK_WHITE);
        report_pen_line(pen, b, last, clear, INK_WHITE);
    }
    report_pen_line(pen, first, last, width, colour);
    report_pen_arrow(pen, a, inside ? back : d, size, colour);
    report_pen_arrow(pen, b, inside ? d : back, size, colour);
}
