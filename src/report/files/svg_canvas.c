/* svg_canvas: a pen's shapes and words -> SVG 1.1 elements, and the document that holds them. */
#include <report/sheet/pen.h>

#define DECIMALS 3

static void add(report_pen *pen, const char *name, double value)
{
    nw_text_add(pen->out, name);
    nw_text_number(pen->out, value, DECIMALS);
}

static void add_style(report_pen *pen, const report_style *style)
{
    nw_text_format(pen->out, "\" fill=\"%s\"", style->fill ? style->fill : "none");
    if (style->stroke) {
        nw_text_format(pen->out, " stroke=\"%s\"", style->stroke);
        add(pen, " stroke-width=\"", style->width);
        nw_text_add(pen->out, "\"");
    }
    if (style->dash[0] > 0) {
        add(pen, " stroke-dasharray=\"", style->dash[0]);
        add(pen, " ", style->dash[1]);
        nw_text_add(pen->out, "\"");
    }
    nw_text_add(pen->out, "/>\n");
}

static void line(report_pen *pen, nw_point a, nw_point b, const report_style *style)
{
    add(pen, "<line x1=\"", a.x);
    add(pen, "\" y1=\"", a.y);
    add(pen, "\" x2=\"", b.x);
    add(pen, "\" y2=\"", b.y);
    add_style(pen, style);
}

static void circle(report_pen *pen, nw_point centre, double radius, const report_style *style)
{
    add(pen, "<circle cx=\"", centre.x);
    add(pen, "\" cy=\"", centre.y);
    add(pen, "\" r=\"", radius);
    add_style(pen, style);
}

static void box(report_pen *pen, nw_box box, const report_style *style)
{
    add(pen, "<rect x=\"", box.min.x);
    add(pen, "\" y=\"", box.min.y);
    add(pen, "\" width=\"", box.max.x - box.min.x);
    add(pen, "\" height=\"", box.max.y - box.min.y);
    add_style(pen, style);
}

static void polygon(report_pen *pen, const nw_point *corners, size_t count,
                    const report_style *style)
{
    for (size_t i = 0; i < count; i++) {
        add(pen, i ? "L" : "<path d=\"M", corners[i].x);
        add(pen, " ", corners[i].y);
    }
    nw_text_add(pen->out, "Z");
    add_style(pen, style);
}

static void paths(report_pen *pen, const nw_path *paths, size_t count, report_frame frame,
                  const report_style *style)
{
    nw_text_format(pen->out, "<path fill=\"%s\" fill-rule=\"evenodd\"",
                   style->fill ? style->fill : "none");
    if (style->stroke) {
        nw_text_format(pen->out, " stroke=\"%s\" stroke-linejoin=\"round\"", style->stroke);
        add(pen, " stroke-width=\"", style->width);
        nw_text_add(pen->out, "\"");
    }
    nw_text_add(pen->out, " d=\"");
    nw_report_path_data(pen->out, paths, count, frame);
    nw_text_add(pen->out, "\"/>\n");
}

static void text(report_pen *pen, nw_point at, report_lettering lettering, const char *text)
{
    static const char *const anchors[] = {"", " text-anchor=\"middle\"", " text-anchor=\"end\""};
    add(pen, "<text x=\"", at.x);
    add(pen, "\" y=\"", at.y);
    add(pen, "\" font-size=\"", lettering.size);
    nw_text_format(pen->out, "\"%s%s", lettering.bold ? " font-weight=\"bold\"" : "",
                   anchors[lettering.anchor]);
    if (lettering.colour)
        nw_text_format(pen->out, " fill=\"%s\"", lettering.colour);
    nw_text_add(pen->out, ">");
    nw_text_escaped(pen->out, text);
    nw_text_add(pen->out, "</text>\n");
}

static void group(report_pen *pen, const char *name, size_t number)
{
    nw_text_format(pen->out, number ? "<g id=\"%s-%zu\">\n" : "<g id=\"%s\">\n", name, number);
}

static void dashes(report_pen *pen, double drawn, double left_out)
{
    add(pen, "<g stroke-dasharray=\"", drawn);
    add(pen, " ", left_out);
    nw_text_add(pen->out, "\">\n");
}

static void end(report_pen *pen)
{
    nw_text_add(pen->out, "</g>\n");
}

const report_canvas nw_report_svg_canvas = {
    line, circle, box, polygon, paths, text, nw_report_text_width, group, dashes, end};

/* ---- the document -------------------------------------------------------------------------- */

static void add_hatch(report_pen *pen)
{
    double step = REPORT_HATCH_STEP * pen->unit;
    add(pen, "<defs><pattern id=\"thin\" patternUnits=\"userSpaceOnUse\" width=\"", step);
    add(pen, "\" height=\"", step);
    nw_text_add(pen->out, "\" patternTransform=\"rotate(45)\">\n");
    nw_report_pen_box(pen, (nw_box){{0, 0}, {step, step}}, TINT_BLUE, NULL, 0);
    nw_report_pen_box(pen, (nw_box){{0, 0}, {REPORT_HATCH_SHARE * step, step}}, INK_BLUE, NULL, 0);
    nw_text_add(pen->out, "</pattern></defs>\n");
}

void nw_report_svg_document(nw_text *svg, const char *title, const report_drawn *drawn)
{
    report_pen pen = {&nw_report_svg_canvas, svg, drawn->unit};
    nw_point corner = {-drawn->zero.x, -drawn->zero.y};
    nw_report_sheet_open(svg, corner, drawn->size.x, drawn->size.y);
    nw_text_add(svg, "<title>");
    nw_text_escaped(svg, title);
    nw_text_add(svg, "</title>\n");
    if (drawn->unit > 0)
        add_hatch(&pen);
    nw_text_add(svg, "<g font-family=\"sans-serif\"");
    if (drawn->moved) {
        nw_text_add(svg, " transform=\"translate(");
        nw_text_number(svg, corner.x, 4);
        nw_text_add(svg, " ");
        nw_text_number(svg, corner.y, 4);
        nw_text_add(svg, ")\"");
    }
    nw_text_add(svg, ">\n");
    nw_report_pen_box(&pen, (nw_box){{0, 0}, drawn->size}, INK_WHITE, NULL, 0);
    nw_text_add_bytes(svg, nw_text_string(&drawn->body), drawn->body.length);
    nw_text_add(svg, "</g>\n</svg>\n");
    svg->failed = svg->failed || drawn->body.failed;
}
