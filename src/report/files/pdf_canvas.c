/*
 * pdf_canvas: a pen's shapes and words -> operators of a PDF's contents (ISO 32000-1, 8.4 to 8.5
 * and 9.4). Lines and curves stay what they are, arcs become cubic curves of a quarter turn at
 * most, which are within 3e-4 of their radius.
 */
#include <report/files/pdf.h>
#include <report/sheet/pen.h>

#include <math.h>
#include <string.h>

#define DECIMALS 3 /* of a millimetre: a thousandth */
#define QUARTER 1.57079632679489662
#define CORNERS_MOST 4

void nw_report_pdf_put(nw_text *out, size_t count, const double *operands, const char *operator)
{
    for (size_t i = 0; i < count; i++) {
        nw_text_number(out, operands[i], DECIMALS);
        nw_text_add(out, " ");
    }
    nw_text_add(out, operator);
    nw_text_add(out, "\n");
}

static int hex_digit(char c)
{
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : c - '0';
}

/* "#rrggbb" */
static void put_colour(report_pen *pen, const char *colour, const char *operator)
{
    double parts[3];
    for (int i = 0; i < 3; i++)
        parts[i] = (hex_digit(colour[1 + 2 * i]) * 16 + hex_digit(colour[2 + 2 * i])) / 255.0;
    nw_report_pdf_put(pen->out, 3, parts, operator);
}

/* ---- paths --------------------------------------------------------------------------------- */

static void put_point(report_pen *pen, nw_point p, const char *operator)
{
    nw_report_pdf_put(pen->out, 2, (double[]){p.x, p.y}, operator);
}

static void put_curve(report_pen *pen, nw_point a, nw_point b, nw_point to)
{
    nw_report_pdf_put(pen->out, 6, (double[]){a.x, a.y, b.x, b.y, to.x, to.y}, "c");
}

/* Where the tangent at p of a circle leads, so far as its radius times `reach`. */
static nw_point tangent(nw_point p, nw_point centre, double reach)
{
    return (nw_point){p.x - (p.y - centre.y) * reach, p.y + (p.x - centre.x) * reach};
}

static void put_arc(report_pen *pen, nw_point from, const nw_step *step, const report_frame *frame)
{
    double turn = nw_arc_sweep(from, step);
    int parts = (int)fmax(1, ceil(fabs(turn) / QUARTER - 1e-9));
    double reach = 4.0 / 3 * nw_tan(turn / parts / 4);
    nw_point last = from;
    for (int i = 1; i <= parts; i++) {
        nw_point to = i == parts ? step->to : nw_step_at(from, step, (double)i / parts);
        put_curve(pen, nw_report_placed(tangent(last, step->a, reach), frame),
                  nw_report_placed(tangent(to, step->a, -reach), frame),
                  nw_report_placed(to, frame));
        last = to;
    }
}

static void put_path(report_pen *pen, const nw_path *path, const report_frame *frame)
{
    nw_point from = path->start;
    put_point(pen, nw_report_placed(from, frame), "m");
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        nw_point to = nw_report_placed(step->to, frame);
        if (step->kind == NW_CURVE)
            put_curve(pen, nw_report_placed(step->a, frame), nw_report_placed(step->b, frame), to);
        else if (step->kind == NW_ARC)
            put_arc(pen, from, step, frame);
        else if (!path->closed || i + 1 < path->count) /* closing draws the last line */
            put_point(pen, to, "l");
        from = step->to;
    }
    if (path->closed)
        nw_text_add(pen->out, "h\n");
}

/* ---- fills and lines ----------------------------------------------------------------------- */

typedef struct {
    const nw_path *paths;
    size_t count;
    const report_frame *frame;
} shape;

static void put_shape(report_pen *pen, const shape *s)
{
    for (size_t i = 0; i < s->count; i++)
        put_path(pen, &s->paths[i], s->frame);
}

/* Lines at 45 degrees over a paler ground, within the shape: x + y is the same along each line, and
 * a multiple of the step along its normal. */
static void put_hatch(report_pen *pen, const shape *s)
{
    nw_box box = nw_drawing_box(&(nw_drawing){.paths = (nw_path *)s->paths, .count = s->count});
    nw_point a = nw_report_placed(box.min, s->frame), b = nw_report_placed(box.max, s->frame);
    nw_point low = {fmin(a.x, b.x), fmin(a.y, b.y)}, high = {fmax(a.x, b.x), fmax(a.y, b.y)};
    double step = REPORT_HATCH_STEP * pen->unit, along = step * sqrt(2);
    nw_text_add(pen->out, "q\n");
    put_shape(pen, s);
    nw_text_add(pen->out, "W* n\n");
    put_colour(pen, TINT_BLUE, "rg");
    nw_report_pdf_put(pen->out, 4, (double[]){low.x, low.y, high.x - low.x, high.y - low.y},
                      "re f");
    put_colour(pen, INK_BLUE, "RG");
    nw_report_pdf_put(pen->out, 1, (double[]){REPORT_HATCH_SHARE * step}, "w");
    for (double sum = ceil((low.x + low.y) / along) * along; sum < high.x + high.y + along;
         sum += along) {
        put_point(pen, (nw_point){sum - low.y + step, low.y - step}, "m");
        put_point(pen, (nw_point){sum - high.y - step, high.y + step}, "l");
    }
    nw_text_add(pen->out, "S Q\n");
}

static void draw(report_pen *pen, const shape *s, const report_style *style)
{
    const char *fill = style->fill;
    if (fill && strcmp(fill, REPORT_HATCH) == 0) {
        put_hatch(pen, s);
        fill = NULL;
    }
    if (fill)
        put_colour(pen, fill, "rg");
    if (style->stroke) {
        put_colour(pen, style->stroke, "RG");
        nw_report_pdf_put(pen->out, 1, &style->width, "w");
    }
    if (fill || style->stroke) {
        put_shape(pen, s);
        nw_text_add(pen->out, fill && style->stroke ? "B*\n" : fill ? "f*\n" : "S\n");
    }
}

/* ---- the canvas ---------------------------------------------------------------------------- */

static void dashes(report_pen *pen, double drawn, double left_out)
{
    nw_text_add(pen->out, "q [");
    nw_text_number(pen->out, drawn, DECIMALS);
    nw_text_add(pen->out, " ");
    nw_text_number(pen->out, left_out, DECIMALS);
    nw_text_add(pen->out, "] 0 d\n");
}

static void group(report_pen *pen, const char *name, size_t number)
{
    (void)name, (void)number;
    nw_text_add(pen->out, "q\n");
}

static void end(report_pen *pen)
{
    nw_text_add(pen->out, "Q\n");
}

/* A path of these lines, in the drawing's way: y up. */
static void corners_draw(report_pen *pen, const nw_point *corners, size_t count, bool closed,
                         const report_style *style)
{
    static const report_frame over = {0, 0, 1};
    nw_step steps[CORNERS_MOST];
    for (size_t i = 0; i < count; i++) {
        nw_point to = corners[(i + 1) % count];
        steps[i] = (nw_step){.kind = NW_LINE, .to = {to.x, -to.y}};
    }
    nw_path path = {.start = {corners[0].x, -corners[0].y},
                    .steps = steps,
                    .count = closed ? count : count - 1,
                    .closed = closed};
    draw(pen, &(shape){&path, 1, &over}, style);
}

static void line(report_pen *pen, nw_point a, nw_point b, const report_style *style)
{
    corners_draw(pen, (nw_point[]){a, b}, 2, false, style);
}

static void polygon(report_pen *pen, const nw_point *corners, size_t count,
                    const report_style *style)
{
    corners_draw(pen, corners, count, true, style);
}

static void box(report_pen *pen, nw_box box, const report_style *style)
{
    const nw_point corners[] = {box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
    polygon(pen, corners, 4, style);
}

static void circle(report_pen *pen, nw_point centre, double radius, const report_style *style)
{
    static const report_frame over = {0, 0, 1};
    nw_point start = {centre.x + radius, -centre.y};
    nw_step turn = {.kind = NW_ARC, .a = {centre.x, -centre.y}, .to = start};
    nw_path path = {.start = start, .steps = &turn, .count = 1, .closed = true};
    if (style->dash[0] > 0)
        dashes(pen, style->dash[0], style->dash[1]);
    draw(pen, &(shape){&path, 1, &over}, style);
    if (style->dash[0] > 0)
        end(pen);
}

static void paths(report_pen *pen, const nw_path *paths, size_t count, report_frame frame,
                  const report_style *style)
{
    nw_text_add(pen->out, "1 j\n");
    draw(pen, &(shape){paths, count, &frame}, style);
    nw_text_add(pen->out, "0 j\n");
}

static void text(report_pen *pen, nw_point at, report_lettering lettering, const char *text)
{
    static const double shares[] = {0, 0.5, 1};
    nw_text letters = {0};
    bool all = nw_report_pdf_letters(&letters, text);
    double width = lettering.size * nw_report_pdf_width(&letters, lettering.bold);
    at.x -= shares[lettering.anchor] * width;
    put_colour(pen, lettering.colour ? lettering.colour : INK_BLACK, "rg");
    if (!all) {
        nw_text_add(pen->out, "/Span <</ActualText ");
        nw_report_pdf_string(pen->out, text);
        nw_text_add(pen->out, ">> BDC\n");
    }
    nw_text_add(pen->out, lettering.bold ? "BT /Bold " : "BT /Plain ");
    nw_report_pdf_put(pen->out, 1, &lettering.size, "Tf");
    nw_report_pdf_put(pen->out, 6, (double[]){1, 0, 0, -1, at.x, at.y}, "Tm");
    nw_report_pdf_show(pen->out, &letters);
    nw_text_add(pen->out, all ? "ET\n" : "ET EMC\n");
    pen->out->failed = pen->out->failed || letters.failed;
    nw_text_free(&letters);
}

const report_canvas nw_report_pdf_canvas = {
    line, circle, box, polygon, paths, text, nw_report_pdf_room, group, dashes, end};
