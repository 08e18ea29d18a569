/*
 * pdf_canvas: the shapes and words of a marked drawing drawn by cairo, in millimetres, y down.
 * Curves and arcs stay curves.
 */
#include <report/files/pdf_canvas.h>

#include <math.h>
#include <string.h>

#define MITRE 5.0 /* a line's corner reaches so many half widths at most, 10 by cairo's limit */

static int hex_digit(char c)
{
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : c - '0';
}

/* "#rrggbb" */
static void set_colour(cairo_t *cr, const char *colour)
{
    double parts[3];
    for (int i = 0; i < 3; i++) {
        parts[i] = (hex_digit(colour[1 + 2 * i]) * 16 + hex_digit(colour[2 + 2 * i])) / 255.0;
    }
    cairo_set_source_rgb(cr, parts[0], parts[1], parts[2]);
}

static nw_point placed(nw_point p, const report_frame *frame)
{
    return frame ? (nw_point){(p.x - frame->left) * frame->scale, (frame->top - p.y) * frame->scale}
                 : p;
}

/* ---- what is left out ------------------------------------------------------------------------ */

#define FINE 0.3 /* of the least size that is seen: detail of that size is not */

/* A box round the path, on the sheet. */
static nw_box box_of(const nw_path *path, const report_frame *frame)
{
    nw_box box = nw_box_empty();
    nw_box_take(&box, placed(path->start, frame), 0);
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        nw_point to = placed(step->to, frame), a = placed(step->a, frame);
        nw_box_take(&box, to, 0);
        if (step->kind == NW_ARC) {
            nw_box_take(&box, a, hypot(a.x - to.x, a.y - to.y));
        } else if (step->kind == NW_CURVE) {
            nw_box_take(&box, a, 0);
            nw_box_take(&box, placed(step->b, frame), 0);
        }
    }
    return box;
}

/* Whether something of it would be seen, with a line that reaches so far beyond it. What lies
 * outside the window changes nothing within it, be it part of a larger shape. */
static bool seen(const report_pdf_canvas *canvas, nw_box box, double beyond)
{
    const nw_box *window = &canvas->window;
    return box.max.x + beyond > window->min.x && box.min.x - beyond < window->max.x &&
           box.max.y + beyond > window->min.y && box.min.y - beyond < window->max.y &&
           fmax(box.max.x - box.min.x, box.max.y - box.min.y) >= canvas->least;
}

/* ---- shapes ---------------------------------------------------------------------------------- */

/* A frame turns the drawing over, and with it the way round. */
static void add_arc(cairo_t *cr, nw_point from, const nw_step *step, const report_frame *frame)
{
    nw_point start = placed(from, frame), centre = placed(step->a, frame);
    double turn = nw_report_arc_turn(from, step);
    double angle = atan2(start.y - centre.y, start.x - centre.x);
    double radius = hypot(start.x - centre.x, start.y - centre.y),
           end = angle + (frame ? -turn : turn);
    if (end > angle) {
        cairo_arc(cr, centre.x, centre.y, radius, angle, end);
    } else {
        cairo_arc_negative(cr, centre.x, centre.y, radius, angle, end);
    }
}

static void add_step(cairo_t *cr, nw_point from, const nw_step *step, const report_frame *frame)
{
    nw_point a = placed(step->a, frame), b = placed(step->b, frame), to = placed(step->to, frame);
    if (step->kind == NW_CURVE) {
        cairo_curve_to(cr, a.x, a.y, b.x, b.y, to.x, to.y);
    } else if (step->kind == NW_ARC) {
        add_arc(cr, from, step, frame);
    } else {
        cairo_line_to(cr, to.x, to.y);
    }
}

/* The sides of the box that the point lies beyond, as bits. */
static unsigned beyond(const nw_box *box, nw_point p)
{
    return (unsigned)(p.x < box->min.x) | (unsigned)(p.x > box->max.x) << 1 |
           (unsigned)(p.y < box->min.y) << 2 | (unsigned)(p.y > box->max.y) << 3;
}

/* The sides of the box that all of the step lies beyond. */
static unsigned step_beyond(const nw_box *box, nw_point from, const nw_step *step,
                            const report_frame *frame)
{
    nw_point a = placed(step->a, frame), to = placed(step->to, frame);
    unsigned sides = beyond(box, placed(from, frame)) & beyond(box, to);
    if (step->kind == NW_CURVE) {
        sides &= beyond(box, a) & beyond(box, placed(step->b, frame));
    } else if (step->kind == NW_ARC) {
        double radius = hypot(a.x - to.x, a.y - to.y);
        sides &= beyond(box, (nw_point){a.x - radius, a.y - radius}) &
                 beyond(box, (nw_point){a.x + radius, a.y + radius});
    }
    return sides;
}

/* Steps that all lie beyond one side of the window are drawn as one line, which lies there too; and
 * so are steps too short to be seen. */
static void add_path(const report_pdf_canvas *canvas, const nw_path *path, double reach,
                     const report_frame *frame)
{
    const nw_box *w = &canvas->window;
    nw_box box = {{w->min.x - reach, w->min.y - reach}, {w->max.x + reach, w->max.y + reach}};
    cairo_t *cr = canvas->cr;
    nw_point from = path->start, last = placed(from, frame);
    unsigned gathered = 0; /* the sides that what was gathered lies beyond */
    const unsigned small = 16;
    cairo_new_sub_path(cr);
    cairo_move_to(cr, last.x, last.y);
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        nw_point start = placed(from, frame), to = placed(step->to, frame);
        unsigned sides = step_beyond(&box, from, step, frame);
        bool end = i + 1 == path->count; /* a circle is one step that ends where it began */
        sides |= !end && hypot(to.x - last.x, to.y - last.y) < FINE * canvas->least ? small : 0;
        if (gathered && !(gathered & sides)) {
            cairo_line_to(cr, start.x, start.y);
            last = start;
        }
        gathered = gathered & sides ? gathered & sides : sides;
        if (!gathered && !(path->closed && end && step->kind == NW_LINE)) {
            add_step(cr, from, step, frame); /* but for a last line, which closing draws */
            last = to;
        }
        from = step->to;
    }
    if (path->closed) {
        cairo_close_path(cr);
    } else if (gathered) {
        nw_point end = placed(from, frame);
        cairo_line_to(cr, end.x, end.y);
    }
}

/* Lines at 45 degrees over a paler ground, within the path, which stays. */
static void fill_hatch(cairo_t *cr, double step)
{
    double low[2], high[2];
    cairo_fill_extents(cr, &low[0], &low[1], &high[0], &high[1]);
    cairo_path_t *path = cairo_copy_path(cr);
    cairo_save(cr);
    cairo_clip(cr);
    set_colour(cr, TINT_BLUE);
    cairo_paint(cr);
    set_colour(cr, INK_BLUE);
    cairo_set_line_width(cr, 0.4 * step);
    /* x + y is the same along each line, and a multiple of the step along its normal. */
    double along = step * sqrt(2), height = high[1] - low[1];
    for (double sum = ceil((low[0] + low[1]) / along) * along; sum < high[0] + high[1] + along;
         sum += along) {
        cairo_move_to(cr, sum - low[1] + step, low[1] - step);
        cairo_line_to(cr, sum - low[1] - height - step, low[1] + height + step);
    }
    cairo_stroke(cr);
    cairo_restore(cr);
    cairo_append_path(cr, path);
    cairo_path_destroy(path);
}

static void shape(void *to, const nw_path *paths, size_t count, const report_frame *frame,
                  const report_style *style)
{
    const report_pdf_canvas *canvas = to;
    cairo_t *cr = canvas->cr;
    bool any = false;
    for (size_t i = 0; i < count; i++) {
        double reach = MITRE * style->width;
        if (seen(canvas, box_of(&paths[i], frame), reach)) {
            add_path(canvas, &paths[i], reach, frame);
            any = true;
        }
    }
    if (!any) {
        return;
    }
    if (style->fill && strcmp(style->fill, REPORT_HATCH) == 0) {
        fill_hatch(cr, style->hatch);
    } else if (style->fill) {
        set_colour(cr, style->fill);
        cairo_fill_preserve(cr);
    }
    if (style->stroke) {
        set_colour(cr, style->stroke);
        cairo_set_line_width(cr, style->width);
        cairo_set_line_join(cr, style->round ? CAIRO_LINE_JOIN_ROUND : CAIRO_LINE_JOIN_MITER);
        cairo_set_dash(cr, style->dash, style->dash[0] > 0 ? 2 : 0, 0);
        cairo_stroke_preserve(cr);
    }
    cairo_new_path(cr);
}

static void text(void *to, nw_point at, report_lettering lettering, const char *letters)
{
    report_pdf_canvas *canvas = to;
    cairo_t *cr = canvas->cr;
    if (lettering.size < canvas->least || at.y + lettering.size < canvas->window.min.y ||
        at.y - lettering.size > canvas->window.max.y) {
        return;
    }
    cairo_set_font_face(cr, canvas->faces[lettering.bold]);
    cairo_set_font_size(cr, lettering.size);
    set_colour(cr, lettering.colour ? lettering.colour : INK_BLACK);
    double back = 0;
    if (lettering.anchor != REPORT_START) {
        cairo_text_extents_t extents;
        cairo_text_extents(cr, letters, &extents);
        back = extents.x_advance * (lettering.anchor == REPORT_MIDDLE ? 0.5 : 1);
    }
    cairo_move_to(cr, at.x - back, at.y);
    cairo_show_text(cr, letters);
    cairo_new_path(cr);
}

const report_canvas report_pdf_drawing = {shape, text};

/* Letters are as wide as they are, whatever would suit a screen's pixels. */
static void set_fonts(cairo_t *cr)
{
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(cr, options);
    cairo_font_options_destroy(options);
}

void nw_report_pdf_canvas_open(report_pdf_canvas *canvas, cairo_surface_t *surface)
{
    canvas->cr = cairo_create(surface);
    set_fonts(canvas->cr);
    for (int bold = 0; bold < 2; bold++) {
        canvas->faces[bold] =
            cairo_toy_font_face_create("sans-serif", CAIRO_FONT_SLANT_NORMAL,
                                       bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    }
}

void nw_report_pdf_canvas_close(report_pdf_canvas *canvas)
{
    cairo_destroy(canvas->cr);
    cairo_font_face_destroy(canvas->faces[0]);
    cairo_font_face_destroy(canvas->faces[1]);
}
