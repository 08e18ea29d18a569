/*
 * svg_shape: path, rect, circle, ellipse, polygon, polyline -> outlines (SVG 1.1, chapter 9). An
 * element in error, such as one of negative width, is not drawn.
 */
#include <svg/svg_internal.h>

#include <math.h>
#include <string.h>

/* An attribute that is a length; a missing one is 0. False when malformed. */
static bool length_of(const nw_svg_element *node, const char *name, nw_svg_frame frame,
                      nw_svg_direction direction, double *length)
{
    const char *text = nw_svg_attribute_of(node, name);
    bool real;
    *length = 0;
    return !text || nw_svg_length_read(text, frame, direction, length, &real);
}

/* A radius of a rounded corner: negative when it is not given. */
static bool corner_of(const nw_svg_element *node, const char *name, nw_svg_frame frame,
                      nw_svg_direction direction, double *radius)
{
    const char *text = nw_svg_attribute_of(node, name);
    if (!text || strcmp(text, "auto") == 0) {
        *radius = -1;
        return true;
    }
    return length_of(node, name, frame, direction, radius) && *radius >= 0;
}

static bool rect_draw(nw_svg_pen *pen, const nw_svg_element *node, nw_svg_frame frame)
{
    double x, y, w, h, rx, ry;
    if (!length_of(node, "x", frame, ALONG_X, &x) || !length_of(node, "y", frame, ALONG_Y, &y) ||
        !length_of(node, "width", frame, ALONG_X, &w) ||
        !length_of(node, "height", frame, ALONG_Y, &h) ||
        !corner_of(node, "rx", frame, ALONG_X, &rx) ||
        !corner_of(node, "ry", frame, ALONG_Y, &ry) || !(w > 0) || !(h > 0))
        return false;
    rx = rx < 0 ? ry : rx;
    ry = ry < 0 ? rx : ry;
    rx = fmin(fmax(rx, 0), w / 2);
    ry = fmin(fmax(ry, 0), h / 2);
    bool round = rx > 0 && ry > 0;
    if (!round)
        rx = ry = 0;
    nw_point sides[4][2] = {{{x + rx, y}, {x + w - rx, y}},
                            {{x + w, y + ry}, {x + w, y + h - ry}},
                            {{x + w - rx, y + h}, {x + rx, y + h}},
                            {{x, y + h - ry}, {x, y + ry}}};
    nw_pen_move(pen, sides[0][0]);
    for (int i = 0; i < 4; i++) {
        nw_point from = sides[i][0], to = sides[i][1];
        if (from.x != to.x || from.y != to.y)
            nw_pen_line(pen, to);
        if (round)
            nw_pen_arc(pen, rx, ry, 0, false, true, sides[(i + 1) % 4][0]);
    }
    nw_pen_close(pen);
    return true;
}

static bool oval_draw(nw_svg_pen *pen, const nw_svg_element *node, nw_svg_frame frame, bool circle)
{
    double x, y, rx, ry;
    if (!length_of(node, "cx", frame, ALONG_X, &x) || !length_of(node, "cy", frame, ALONG_Y, &y))
        return false;
    bool read = circle ? length_of(node, "r", frame, ALONG_BOTH, &rx)
                       : length_of(node, "rx", frame, ALONG_X, &rx) &&
                             length_of(node, "ry", frame, ALONG_Y, &ry);
    ry = circle ? rx : ry;
    if (!read || !(rx > 0) || !(ry > 0))
        return false;
    nw_pen_move(pen, (nw_point){x + rx, y});
    nw_pen_arc(pen, rx, ry, 0, false, true, (nw_point){x - rx, y});
    nw_pen_arc(pen, rx, ry, 0, false, true, (nw_point){x + rx, y});
    nw_pen_close(pen);
    return true;
}

static bool line_draw(nw_svg_pen *pen, const nw_svg_element *node, nw_svg_frame frame)
{
    nw_point from, to;
    if (!length_of(node, "x1", frame, ALONG_X, &from.x) ||
        !length_of(node, "y1", frame, ALONG_Y, &from.y) ||
        !length_of(node, "x2", frame, ALONG_X, &to.x) ||
        !length_of(node, "y2", frame, ALONG_Y, &to.y))
        return false;
    nw_pen_move(pen, from);
    nw_pen_line(pen, to);
    return true;
}

static bool points_draw(nw_svg_pen *pen, const nw_svg_element *node, bool closed)
{
    const char *s = nw_svg_attribute_of(node, "points");
    if (!s)
        return false;
    nw_point place;
    for (bool first = true; nw_svg_number_next(&s, &place.x) && nw_svg_number_next(&s, &place.y);
         first = false)
        if (first)
            nw_pen_move(pen, place);
        else
            nw_pen_line(pen, place);
    if (closed)
        nw_pen_close(pen);
    return true;
}

static bool path_draw(nw_svg_pen *pen, const nw_svg_element *node)
{
    const char *data = nw_svg_attribute_of(node, "d");
    if (data)
        nw_svg_path_draw(pen, data);
    return data;
}

bool nw_svg_is_shape(const nw_svg_element *node)
{
    static const char *const shapes[] = {"path",    "rect",     "circle", "ellipse",
                                         "polygon", "polyline", "line"};
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++)
        if (nw_svg_named(node, shapes[i]))
            return true;
    return false;
}

bool nw_svg_shape_draw(nw_svg_pen *pen, const nw_svg_element *node, nw_svg_frame frame)
{
    bool drawn = true;
    if (nw_svg_named(node, "path"))
        drawn = path_draw(pen, node);
    else if (nw_svg_named(node, "rect"))
        drawn = rect_draw(pen, node, frame);
    else if (nw_svg_named(node, "circle") || nw_svg_named(node, "ellipse"))
        drawn = oval_draw(pen, node, frame, nw_svg_named(node, "circle"));
    else if (nw_svg_named(node, "line"))
        drawn = line_draw(pen, node, frame);
    else
        drawn = points_draw(pen, node, nw_svg_named(node, "polygon"));
    nw_pen_finish(pen);
    return drawn;
}
