/*
 * svg_path: path data -> pen strokes (SVG 1.1, 8.3). An error ends the drawing before the segment
 * that holds it (appendix F.2).
 */
#include <svg/svg_internal.h>

#include <string.h>

typedef struct {
    nw_svg_pen *pen;
    const char *s;
    bool relative;
    nw_point last_cubic, last_quadratic; /* control points for the smooth kinds, else the place */
} path_reader;

static bool point_read(path_reader *r, nw_point *place)
{
    if (!nw_svg_number_next(&r->s, &place->x) || !nw_svg_number_next(&r->s, &place->y))
        return false;
    if (r->relative) {
        place->x += r->pen->at.x;
        place->y += r->pen->at.y;
    }
    return true;
}

static nw_point reflect(nw_point control, nw_point at)
{
    return (nw_point){2 * at.x - control.x, 2 * at.y - control.y};
}

static bool line_segment(path_reader *r)
{
    nw_point to;
    if (!point_read(r, &to))
        return false;
    nw_pen_line(r->pen, to);
    return true;
}

static bool axis_segment(path_reader *r, bool horizontal)
{
    double value;
    if (!nw_svg_number_next(&r->s, &value))
        return false;
    nw_point to = r->pen->at;
    double *axis = horizontal ? &to.x : &to.y;
    *axis = r->relative ? *axis + value : value;
    nw_pen_line(r->pen, to);
    return true;
}

static bool horizontal_segment(path_reader *r)
{
    return axis_segment(r, true);
}

static bool vertical_segment(path_reader *r)
{
    return axis_segment(r, false);
}

static bool cubic_end(path_reader *r, nw_point a)
{
    nw_point b, to;
    if (!point_read(r, &b) || !point_read(r, &to))
        return false;
    nw_pen_curve(r->pen, a, b, to);
    r->last_cubic = b;
    return true;
}

static bool cubic_segment(path_reader *r)
{
    nw_point a;
    return point_read(r, &a) && cubic_end(r, a);
}

static bool smooth_cubic_segment(path_reader *r)
{
    return cubic_end(r, reflect(r->last_cubic, r->pen->at));
}

static bool quadratic_end(path_reader *r, nw_point control)
{
    nw_point from = r->pen->at, to;
    if (!point_read(r, &to))
        return false;
    nw_point a = {from.x + 2.0 / 3 * (control.x - from.x), from.y + 2.0 / 3 * (control.y - from.y)};
    nw_point b = {to.x + 2.0 / 3 * (control.x - to.x), to.y + 2.0 / 3 * (control.y - to.y)};
    nw_pen_curve(r->pen, a, b, to);
    r->last_quadratic = control;
    return true;
}

static bool quadratic_segment(path_reader *r)
{
    nw_point control;
    return point_read(r, &control) && quadratic_end(r, control);
}

static bool smooth_quadratic_segment(path_reader *r)
{
    return quadratic_end(r, reflect(r->last_quadratic, r->pen->at));
}

/* A flag is one digit and needs nothing before the next number. */
static bool flag_read(path_reader *r, bool *flag)
{
    r->s = nw_svg_skip_space(r->s);
    if (*r->s != '0' && *r->s != '1')
        return false;
    *flag = *r->s == '1';
    r->s = nw_svg_skip_comma(r->s + 1);
    return true;
}

static bool arc_segment(path_reader *r)
{
    double rx, ry, turn;
    bool large, sweep;
    nw_point to;
    if (!nw_svg_number_next(&r->s, &rx) || !nw_svg_number_next(&r->s, &ry) ||
        !nw_svg_number_next(&r->s, &turn) || !flag_read(r, &large) || !flag_read(r, &sweep) ||
        !point_read(r, &to))
        return false;
    nw_pen_arc(r->pen, rx, ry, turn, large, sweep, to);
    return true;
}

static bool move_segment(path_reader *r)
{
    nw_point to;
    if (!point_read(r, &to))
        return false;
    nw_pen_move(r->pen, to);
    return true;
}

typedef bool (*segment_reader)(path_reader *r);

static segment_reader reader_of(char letter)
{
    static const char letters[] = "mlhvcsqta";
    static const segment_reader readers[] = {
        move_segment,  line_segment,         horizontal_segment, vertical_segment,
        cubic_segment, smooth_cubic_segment, quadratic_segment,  smooth_quadratic_segment,
        arc_segment};
    const char *at = strchr(letters, letter);
    return letter && at ? readers[at - letters] : NULL;
}

/* The segments of one command letter, at least one. */
static bool segments_read(path_reader *r, char letter)
{
    segment_reader read = reader_of(letter);
    do {
        if (!read(r))
            return false;
        if (letter != 'c' && letter != 's')
            r->last_cubic = r->pen->at;
        if (letter != 'q' && letter != 't')
            r->last_quadratic = r->pen->at;
        if (letter == 'm') { /* further pairs are lines */
            letter = 'l';
            read = line_segment;
        }
    } while (*r->s && !((*r->s | 0x20) >= 'a' && (*r->s | 0x20) <= 'z'));
    return true;
}

bool nw_svg_path_draw(nw_svg_pen *pen, const char *data)
{
    path_reader r = {.pen = pen, .s = nw_svg_skip_space(data)};
    bool begun = false;
    while (*r.s && strcmp(r.s, "none") != 0) {
        char letter = (char)(*r.s | 0x20);
        r.relative = *r.s != (letter & ~0x20);
        if (!begun && letter != 'm')
            return false;
        begun = true;
        r.s = nw_svg_skip_space(r.s + 1);
        if (letter == 'z') {
            nw_pen_close(pen);
            r.last_cubic = r.last_quadratic = pen->at;
        } else if (!reader_of(letter) || !segments_read(&r, letter)) {
            return false;
        }
    }
    return true;
}
