/*
 * svg_value: the text of SVG attributes -> numbers, lengths, transforms and view boxes, by SVG 1.1
 * (W3C Recommendation, second edition, 2011), chapters 4, 7 and 8.
 */
#include <svg/svg_internal.h>

#include <math.h>
#include <string.h>

#define PX_PER_INCH 96.0

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f';
}

const char *nw_svg_skip_space(const char *s)
{
    while (is_space(*s))
        s++;
    return s;
}

const char *nw_svg_skip_comma(const char *s)
{
    s = nw_svg_skip_space(s);
    return *s == ',' ? nw_svg_skip_space(s + 1) : s;
}

bool nw_svg_number_next(const char **s, double *value)
{
    const char *end;
    if (!nw_number_read(nw_svg_skip_space(*s), value, &end))
        return false;
    *s = nw_svg_skip_comma(end);
    return true;
}

bool nw_svg_list_has(const char *list, const char *word, size_t length)
{
    while (list && *(list = nw_svg_skip_space(list))) {
        size_t here = 0;
        while (list[here] && !is_space(list[here]))
            here++;
        if (here == length && memcmp(list, word, length) == 0)
            return true;
        list += here;
    }
    return false;
}

/* ---- transforms ---------------------------------------------------------------------------- */

/* Arguments of a transform: how many it may have, as a set of bits. */
typedef struct {
    const char *name;
    unsigned counts;
    nw_affine (*make)(const double *v, int count);
} transform_kind;

static nw_affine make_matrix(const double *v, int count)
{
    (void)count;
    return (nw_affine){v[0], v[1], v[2], v[3], v[4], v[5]};
}

static nw_affine make_translate(const double *v, int count)
{
    return (nw_affine){1, 0, 0, 1, v[0], count > 1 ? v[1] : 0};
}

static nw_affine make_scale(const double *v, int count)
{
    return (nw_affine){v[0], 0, 0, count > 1 ? v[1] : v[0], 0, 0};
}

static nw_affine make_rotate(const double *v, int count)
{
    double c = nw_cos(v[0] * NW_DEGREE), s = nw_sin(v[0] * NW_DEGREE);
    double x = count > 1 ? v[1] : 0, y = count > 1 ? v[2] : 0;
    return (nw_affine){c, s, -s, c, x - c * x + s * y, y - s * x - c * y};
}

static nw_affine make_skew_x(const double *v, int count)
{
    (void)count;
    return (nw_affine){1, 0, nw_tan(v[0] * NW_DEGREE), 1, 0, 0};
}

static nw_affine make_skew_y(const double *v, int count)
{
    (void)count;
    return (nw_affine){1, nw_tan(v[0] * NW_DEGREE), 0, 1, 0, 0};
}

static const transform_kind transform_kinds[] = {
    {"matrix", 1u << 6, make_matrix},         {"translate", 1u << 1 | 1u << 2, make_translate},
    {"scale", 1u << 1 | 1u << 2, make_scale}, {"rotate", 1u << 1 | 1u << 3, make_rotate},
    {"skewX", 1u << 1, make_skew_x},          {"skewY", 1u << 1, make_skew_y},
};

static const transform_kind *transform_named(const char **s)
{
    for (size_t i = 0; i < sizeof transform_kinds / sizeof *transform_kinds; i++) {
        size_t length = strlen(transform_kinds[i].name);
        if (strncmp(*s, transform_kinds[i].name, length) == 0) {
            const char *after = nw_svg_skip_space(*s + length);
            if (*after == '(') {
                *s = after + 1;
                return &transform_kinds[i];
            }
        }
    }
    return NULL;
}

bool nw_svg_transform_read(const char *text, nw_affine *matrix)
{
    *matrix = NW_UNMOVED;
    const char *s = nw_svg_skip_space(text);
    if (strcmp(s, "none") == 0)
        return true;
    while (*s) {
        const transform_kind *kind = transform_named(&s);
        if (!kind)
            return false;
        double values[6];
        int count = 0;
        while (count < 6 && nw_svg_number_next(&s, &values[count]))
            count++;
        if (*s != ')' || !(kind->counts & 1u << count))
            return false;
        *matrix = nw_affine_after(*matrix, kind->make(values, count));
        s = nw_svg_skip_comma(s + 1);
    }
    return true;
}

/* ---- lengths ------------------------------------------------------------------------------- */

typedef struct {
    const char *name;
    double px;
    bool real;
} unit;

static const unit units[] = {
    {"", 1, false},
    {"px", 1, false},
    {"in", PX_PER_INCH, true},
    {"mm", PX_PER_INCH / NW_MM_PER_INCH, true},
    {"cm", 10 * PX_PER_INCH / NW_MM_PER_INCH, true},
    {"q", PX_PER_INCH / NW_MM_PER_INCH / 4, true},
    {"pt", PX_PER_INCH / 72, true},
    {"pc", PX_PER_INCH / 6, true},
};

static double relative_to(nw_svg_frame frame, nw_svg_direction direction)
{
    switch (direction) {
    case ALONG_X:
        return frame.width;
    case ALONG_Y:
        return frame.height;
    default:
        return sqrt((frame.width * frame.width + frame.height * frame.height) / 2);
    }
}

bool nw_svg_length_read(const char *text, nw_svg_frame frame, nw_svg_direction direction,
                        double *length, bool *real)
{
    double value;
    const char *end;
    *real = false;
    if (!nw_number_read(nw_svg_skip_space(text), &value, &end))
        return false;
    char name[4] = "";
    size_t count = 0;
    for (; *end && !is_space(*end) && count < 3; end++)
        name[count++] = (char)(*end >= 'A' && *end <= 'Z' ? *end - 'A' + 'a' : *end);
    if (*nw_svg_skip_space(end))
        return false;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        if (strcmp(name, units[i].name) == 0) {
            *length = value * units[i].px;
            *real = units[i].real;
            return true;
        }
    }
    double whole = strcmp(name, "%") == 0    ? relative_to(frame, direction) / 100
                   : strcmp(name, "em") == 0 ? frame.font_size
                   : strcmp(name, "ex") == 0 ? frame.font_size / 2
                                             : NAN;
    *length = value * whole;
    return isfinite(*length);
}

/* ---- view boxes ---------------------------------------------------------------------------- */

/* 0, 0.5 or 1 for Min, Mid, Max at s; -1 for anything else. */
static double alignment(const char *s)
{
    return strncmp(s, "Min", 3) == 0   ? 0
           : strncmp(s, "Mid", 3) == 0 ? 0.5
           : strncmp(s, "Max", 3) == 0 ? 1
                                       : -1;
}

bool nw_svg_view_box_read(const char *view_box, const char *aspect, double width, double height,
                          nw_affine *matrix, nw_box *box)
{
    double v[4];
    const char *s = view_box;
    for (int i = 0; i < 4; i++)
        if (!nw_svg_number_next(&s, &v[i]))
            return false;
    if (*s || !(v[2] >= 0) || !(v[3] >= 0))
        return false;
    *box = (nw_box){{v[0], v[1]}, {v[0] + v[2], v[1] + v[3]}};
    double sx = v[2] > 0 ? width / v[2] : 0, sy = v[3] > 0 ? height / v[3] : 0;
    double align_x = 0.5, align_y = 0.5;
    bool slice = false, stretch = false;
    aspect = aspect ? nw_svg_skip_space(aspect) : "";
    if (strncmp(aspect, "defer", 5) == 0)
        aspect = nw_svg_skip_space(aspect + 5);
    if (strncmp(aspect, "none", 4) == 0) {
        stretch = true;
    } else if (aspect[0] == 'x' && alignment(aspect + 1) >= 0 && aspect[4] == 'Y' &&
               alignment(aspect + 5) >= 0) {
        align_x = alignment(aspect + 1);
        align_y = alignment(aspect + 5);
        slice = strncmp(nw_svg_skip_space(aspect + 8), "slice", 5) == 0;
    }
    if (!stretch)
        sx = sy = slice ? fmax(sx, sy) : fmin(sx, sy);
    *matrix = (nw_affine){.a = sx,
                          .d = sy,
                          .e = align_x * (width - sx * v[2]) - sx * v[0],
                          .f = align_y * (height - sy * v[3]) - sy * v[1]};
    return true;
}
