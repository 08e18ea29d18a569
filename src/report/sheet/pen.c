/*
 * pen: lines, lettering, arrowheads and dimension lines of a technical drawing as SVG elements, or
 * on a canvas.
 * Arrowheads and dimension lines as in ISO 129-1 (filled heads of 15 degrees; from outside where
 * the space between is too small).
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <string.h>

#define DECIMALS 3
#define DASH_LEFT_OUT 0.6    /* between the dashes of a circle, in units; they are 1 long */
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

double nw_report_text_width(const char *text, size_t length, double size, bool bold)
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

/* ---- on a canvas --------------------------------------------------------------------------- */

static void canvas_path(report_pen *pen, const nw_path *path, const char *fill, const char *stroke,
                        double width, bool dashed)
{
    report_style style = {
        fill,
        stroke,
        width,
        {dashed ? pen->unit : pen->dash[0], dashed ? DASH_LEFT_OUT * pen->unit : pen->dash[1]},
        false,
        REPORT_HATCH_STEP * pen->unit};
    pen->canvas->shape(pen->to, path, 1, NULL, &style);
}

static void canvas_polygon(report_pen *pen, const nw_point *corners, size_t count, bool closed,
                           const char *fill, const char *stroke, double width)
{
    nw_step steps[4];
    for (size_t i = 0; i < count; i++) {
        steps[i] = (nw_step){.kind = NW_LINE, .to = corners[(i + 1) % count]};
    }
    nw_path path = {
        .start = corners[0], .steps = steps, .count = closed ? count : count - 1, .closed = closed};
    canvas_path(pen, &path, fill, stroke, width, false);
}

/* ---- either ---------------------------------------------------------------------------------- */

void nw_report_pen_text(report_pen *pen, nw_point at, report_lettering lettering, const char *text,
                        size_t length)
{
    static const char *const anchors[] = {"", " text-anchor=\"middle\"", " text-anchor=\"end\""};
    nw_text line = {0};
    nw_text_add_bytes(&line, text, length);
    if (pen->canvas) {
        pen->canvas->text(pen->to, at, lettering, line.data ? line.data : "");
        pen->svg->failed = pen->svg->failed || line.failed;
        nw_text_free(&line);
        return;
    }
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
    return nw_report_text_width(text, length, p->lettering.size, p->lettering.bold);
}

static void paragraph_line(const char *text, size_t length, void *context)
{
    paragraph *p = context;
    nw_report_pen_text(p->pen, p->at, p->lettering, text, length);
    p->at.y += LINE_SPACING * p->lettering.size;
}

double nw_report_pen_paragraph(report_pen *pen, nw_point at, double width,
                               report_lettering lettering, const char *text)
{
    paragraph p = {pen, {at.x, at.y + lettering.size}, lettering};
    nw_report_wrap(text, width, paragraph_measure, paragraph_line, &p);
    return p.at.y - lettering.size;
}

void nw_report_pen_line(report_pen *pen, nw_point a, nw_point b, double width, const char *colour)
{
    if (pen->canvas) {
        canvas_polygon(pen, (nw_point[]){a, b}, 2, false, NULL, colour, width);
        return;
    }
    add(pen, "<line x1=\"", a.x);
    add(pen, "\" y1=\"", a.y);
    add(pen, "\" x2=\"", b.x);
    add(pen, "\" y2=\"", b.y);
    add_style(pen, NULL, colour, width);
    nw_text_add(pen->svg, "/>\n");
}

void nw_report_pen_circle(report_pen *pen, nw_point centre, double radius, const char *fill,
                          const char *stroke, double width, bool dashed)
{
    if (pen->canvas) {
        nw_point start = {centre.x + radius, centre.y};
        nw_step turn = {.kind = NW_ARC, .a = centre, .to = start};
        nw_path path = {.start = start, .steps = &turn, .count = 1, .closed = true};
        canvas_path(pen, &path, fill, stroke, width, dashed);
        return;
    }
    add(pen, "<circle cx=\"", centre.x);
    add(pen, "\" cy=\"", centre.y);
    add(pen, "\" r=\"", radius);
    add_style(pen, fill, stroke, width);
    if (dashed) {
        add(pen, " stroke-dasharray=\"", pen->unit);
        add(pen, " ", DASH_LEFT_OUT * pen->unit);
        nw_text_add(pen->svg, "\"");
    }
    nw_text_add(pen->svg, "/>\n");
}

void nw_report_pen_box(report_pen *pen, nw_box box, const char *fill, const char *stroke,
                       double width)
{
    if (pen->canvas) {
        const nw_point corners[] = {
            box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
        canvas_polygon(pen, corners, 4, true, fill, stroke, width);
        return;
    }
    add(pen, "<rect x=\"", box.min.x);
    add(pen, "\" y=\"", box.min.y);
    add(pen, "\" width=\"", box.max.x - box.min.x);
    add(pen, "\" height=\"", box.max.y - box.min.y);
    add_style(pen, fill, stroke, width);
    nw_text_add(pen->svg, "/>\n");
}

void nw_report_pen_polygon(report_pen *pen, const nw_point *corners, size_t count, const char *fill,
                           const char *stroke, double width)
{
    if (pen->canvas) {
        canvas_polygon(pen, corners, count, true, fill, stroke, width);
        return;
    }
    for (size_t i = 0; i < count; i++) {
        add(pen, i ? "L" : "<path d=\"M", corners[i].x);
        add(pen, " ", corners[i].y);
    }
    nw_text_add(pen->svg, "Z");
    add_style(pen, fill, stroke, width);
    nw_text_add(pen->svg, "/>\n");
}

void nw_report_pen_paths(report_pen *pen, const nw_drawing *drawing, size_t first, size_t count,
                         report_frame frame, const char *fill, const char *stroke, double width)
{
    if (pen->canvas) {
        report_style style = {
            fill, stroke, width, {pen->dash[0], pen->dash[1]}, true, REPORT_HATCH_STEP * pen->unit};
        pen->canvas->shape(pen->to, drawing->paths + first, count, &frame, &style);
        return;
    }
    nw_text_format(pen->svg, "<path fill=\"%s\" fill-rule=\"evenodd\"", fill ? fill : "none");
    if (stroke) {
        nw_text_format(pen->svg, " stroke=\"%s\" stroke-linejoin=\"round\"", stroke);
        add(pen, " stroke-width=\"", width);
        nw_text_add(pen->svg, "\"");
    }
    nw_text_add(pen->svg, " d=\"");
    nw_report_path_data(pen->svg, drawing, first, count, frame);
    nw_text_add(pen->svg, "\"/>\n");
}

void nw_report_pen_group(report_pen *pen, const char *name, size_t number)
{
    if (!pen->canvas) {
        nw_text_format(pen->svg, number ? "<g id=\"%s-%zu\">\n" : "<g id=\"%s\">\n", name, number);
    }
}

void nw_report_pen_dashes(report_pen *pen, double drawn, double left_out)
{
    pen->dash[0] = drawn;
    pen->dash[1] = left_out;
    if (!pen->canvas) {
        add(pen, "<g stroke-dasharray=\"", drawn);
        add(pen, " ", left_out);
        nw_text_add(pen->svg, "\">\n");
    }
}

void nw_report_pen_end(report_pen *pen)
{
    pen->dash[0] = pen->dash[1] = 0;
    if (!pen->canvas) {
        nw_text_add(pen->svg, "</g>\n");
    }
}

void nw_report_pen_arrow(report_pen *pen, nw_point tip, nw_point direction, double size,
                         const char *colour)
{
    nw_point back = {tip.x - size * direction.x, tip.y - size * direction.y};
    double half = size * ARROW_SLOPE;
    const nw_point corners[] = {tip,
                                {back.x - half * direction.y, back.y + half * direction.x},
                                {back.x + half * direction.y, back.y - half * direction.x}};
    nw_report_pen_polygon(pen, corners, 3, colour, NULL, 0);
}

static bool arrows_inside(const report_pen *pen, double weight, double length)
{
    return length > 3 * ARROW_MM * weight * pen->unit;
}

double nw_report_dimension_reach(const report_pen *pen, double weight, double length)
{
    return arrows_inside(pen, weight, length) ? 0 : TAIL_MM * weight * pen->unit;
}

void nw_report_pen_dimension(report_pen *pen, nw_point a, nw_point b, double weight,
                             const char *colour)
{
    double length = hypot(b.x - a.x, b.y - a.y), size = ARROW_MM * weight * pen->unit;
    if (!(length > 0)) {
        return;
    }
    nw_point d = {(b.x - a.x) / length, (b.y - a.y) / length}, back = {-d.x, -d.y};
    double reach = nw_report_dimension_reach(pen, weight, length);
    bool inside = reach == 0;
    nw_point first = {a.x - reach * d.x, a.y - reach * d.y};
    nw_point last = {b.x + reach * d.x, b.y + reach * d.y};
    double width = 0.25 * weight * pen->unit;
    if (!inside) { /* the place itself stays clear */
        double clear = width + 0.35 * fmin(weight, 1) * pen->unit;
        nw_report_pen_line(pen, first, a, clear, INK_WHITE);
        nw_report_pen_line(pen, b, last, clear, INK_WHITE);
    }
    nw_report_pen_line(pen, first, last, width, colour);
    nw_report_pen_arrow(pen, a, inside ? back : d, size, colour);
    nw_report_pen_arrow(pen, b, inside ? d : back, size, colour);
}
