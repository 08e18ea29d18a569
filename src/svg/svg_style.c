/*
 * svg_style: presentation attributes, style sheets and style attributes -> what an element looks
 * like, as far as its area goes (SVG 1.1, chapters 6 and 11; cascade of CSS 2.1, 6.4).
 */
#include <svg/svg_internal.h>

#include <math.h>
#include <string.h>
#include <strings.h>

nw_svg_style nw_svg_style_initial(void)
{
    nw_svg_colour black = {0, 0, 0, 1};
    return (nw_svg_style){
        .fill = {.kind = FILL_COLOUR, .colour = black},
        .stroke = {.kind = FILL_NONE},
        .colour = black,
        .fill_opacity = 1,
        .stroke_opacity = 1,
        .pen = nw_stroke_defaults(),
        .font_size = 16,
        .visible = true,
        .displayed = true,
        .opacity = 1,
        .stop_colour = black,
        .stop_opacity = 1,
    };
}

/* The id within url(#id), with or without quotes; *end is behind the bracket. */
static bool url_read(const char *text, char *id, size_t size, const char **end)
{
    if (strncmp(text, "url(", 4) != 0)
        return false;
    const char *s = nw_svg_skip_space(text + 4), *close = strchr(s, ')');
    if (!close)
        return false;
    *end = close + 1;
    s += *s == '"' || *s == '\'';
    s += *s == '#';
    size_t length = strcspn(s, "\"') ");
    id[0] = '\0';
    if (length < size) {
        memcpy(id, s, length);
        id[length] = '\0';
    }
    return true;
}

/* none, currentColor or a colour */
static bool plain_fill_read(const char *text, nw_svg_fill_kind *kind, nw_svg_colour *colour)
{
    const char *end;
    if (strncasecmp(text, "none", 4) == 0) {
        *kind = FILL_NONE;
        return true;
    }
    if (strncasecmp(text, "currentColor", 12) == 0) {
        *kind = FILL_CURRENT;
        return true;
    }
    if (nw_svg_colour_read(text, colour, &end)) {
        *kind = FILL_COLOUR;
        return true;
    }
    return false;
}

static void fill_set(nw_svg_fill *fill, const char *value)
{
    nw_svg_fill read = {.kind = FILL_NONE};
    const char *end;
    if (url_read(value, read.server, sizeof read.server, &end)) {
        read.kind = FILL_SERVER;
        end = nw_svg_skip_space(end);
        if (*end && !plain_fill_read(end, &read.fallback, &read.colour))
            read.fallback = FILL_NONE;
        *fill = read;
    } else if (plain_fill_read(value, &read.kind, &read.colour)) {
        *fill = read;
    }
}

static void colour_set(nw_svg_colour *colour, const nw_svg_colour *current, const char *value)
{
    const char *end;
    nw_svg_colour read;
    if (strcasecmp(value, "currentColor") == 0)
        *colour = *current;
    else if (nw_svg_colour_read(value, &read, &end))
        *colour = read;
}

static void opacity_set(double *opacity, const char *value)
{
    double read;
    const char *end;
    if (nw_number_read(value, &read, &end))
        *opacity = fmin(fmax(*end == '%' ? read / 100 : read, 0), 1);
}

static void length_read(double *length, double font_size, double least, const char *value)
{
    double read;
    bool real;
    nw_svg_frame frame = {.font_size = font_size};
    if (nw_svg_length_read(value, frame, ALONG_BOTH, &read, &real) && read >= least)
        *length = read;
}

/* A list that is too long, or in error, leaves the line whole. An odd one counts twice. */
static void dashes_set(nw_svg_style *s, const char *value)
{
    nw_svg_frame frame = {.font_size = s->font_size};
    size_t count = 0;
    bool good = strcmp(value, "none") != 0, real;
    while (good && *value) {
        char word[40];
        size_t length = strcspn(value, " ,\t\r\n");
        good = length > 0 && length < sizeof word && count < SVG_MOST_DASHES / 2;
        if (good) {
            memcpy(word, value, length);
            word[length] = '\0';
            good = nw_svg_length_read(word, frame, ALONG_BOTH, &s->dashes[count], &real) &&
                   s->dashes[count] >= 0;
            count++;
            value = nw_svg_skip_comma(value + length);
        }
    }
    if (good && count % 2) {
        memcpy(s->dashes + count, s->dashes, count * sizeof *s->dashes);
        count *= 2;
    }
    s->pen.dash_count = good ? count : 0;
}

typedef enum {
    FILL,
    COLOUR,
    STOP_COLOUR,
    SHARE,
    LENGTH,
    OFFSET,
    RULE,
    CLIP,
    NOT_NONE,
    SHOWN,
    SPILLS,
    CAP,
    JOIN,
    MITER,
    DASHES,
    EFFECT
} kind;

/* color and font-size first, since others may refer to them. */
static const struct {
    const char *name;
    kind kind;
    size_t place; /* in the style */
} properties[] = {
    {"color", COLOUR, offsetof(nw_svg_style, colour)},
    {"font-size", LENGTH, offsetof(nw_svg_style, font_size)},
    {"fill", FILL, offsetof(nw_svg_style, fill)},
    {"fill-rule", RULE, offsetof(nw_svg_style, even_odd)},
    {"fill-opacity", SHARE, offsetof(nw_svg_style, fill_opacity)},
    {"stroke", FILL, offsetof(nw_svg_style, stroke)},
    {"stroke-width", LENGTH, offsetof(nw_svg_style, pen.width)},
    {"stroke-linecap", CAP, offsetof(nw_svg_style, pen.cap)},
    {"stroke-linejoin", JOIN, offsetof(nw_svg_style, pen.join)},
    {"stroke-miterlimit", MITER, offsetof(nw_svg_style, pen.miter_limit)},
    {"stroke-dasharray", DASHES, offsetof(nw_svg_style, dashes)},
    {"stroke-dashoffset", OFFSET, offsetof(nw_svg_style, pen.dash_offset)},
    {"marker", NOT_NONE, offsetof(nw_svg_style, marked)},
    {"marker-start", NOT_NONE, offsetof(nw_svg_style, marked)},
    {"marker-mid", NOT_NONE, offsetof(nw_svg_style, marked)},
    {"marker-end", NOT_NONE, offsetof(nw_svg_style, marked)},
    {"vector-effect", EFFECT, offsetof(nw_svg_style, unscaled)},
    {"stroke-opacity", SHARE, offsetof(nw_svg_style, stroke_opacity)},
    {"opacity", SHARE, offsetof(nw_svg_style, opacity)},
    {"display", NOT_NONE, offsetof(nw_svg_style, displayed)},
    {"visibility", SHOWN, offsetof(nw_svg_style, visible)},
    {"overflow", SPILLS, offsetof(nw_svg_style, overflows)},
    {"clip-path", CLIP, offsetof(nw_svg_style, clip)},
    {"clip-rule", RULE, offsetof(nw_svg_style, clip_even_odd)},
    {"mask", NOT_NONE, offsetof(nw_svg_style, masked)},
    {"filter", NOT_NONE, offsetof(nw_svg_style, filtered)},
    {"stop-color", STOP_COLOUR, offsetof(nw_svg_style, stop_colour)},
    {"stop-opacity", SHARE, offsetof(nw_svg_style, stop_opacity)},
};

bool nw_svg_property_known(const char *name)
{
    for (size_t i = 0; i < sizeof properties / sizeof *properties; i++)
        if (strcmp(name, properties[i].name) == 0)
            return true;
    return false;
}

/* Reads the value into the style's field at `place`. */
static void field_set(nw_svg_style *style, const nw_svg_style *parent, kind of, void *place,
                      const char *value)
{
    const char *end;
    switch (of) {
    case FILL:
        fill_set(place, value);
        break;
    case COLOUR:
        colour_set(place, &parent->colour, value);
        break;
    case STOP_COLOUR:
        colour_set(place, &style->colour, value);
        break;
    case SHARE:
        opacity_set(place, value);
        break;
    case LENGTH: /* in em: of the parent's size for the font's own */
        length_read(place, place == &style->font_size ? parent->font_size : style->font_size, 0,
                    value);
        break;
    case OFFSET:
        length_read(place, style->font_size, -INFINITY, value);
        break;
    case CAP:
        *(nw_cap *)place = strcmp(value, "round") == 0    ? NW_CAP_ROUND
                           : strcmp(value, "square") == 0 ? NW_CAP_SQUARE
                           : strcmp(value, "butt") == 0   ? NW_CAP_BUTT
                                                          : *(nw_cap *)place;
        break;
    case JOIN:
        *(nw_join *)place = strcmp(value, "round") == 0   ? NW_JOIN_ROUND
                            : strcmp(value, "bevel") == 0 ? NW_JOIN_BEVEL
                            : strcmp(value, "miter") == 0 ? NW_JOIN_MITER
                                                          : *(nw_join *)place;
        break;
    case MITER:
        length_read(place, style->font_size, 1, value);
        break;
    case DASHES:
        dashes_set(style, value);
        break;
    case EFFECT:
        *(bool *)place = strcmp(value, "non-scaling-stroke") == 0;
        break;
    case RULE:
        if (strcmp(value, "evenodd") == 0 || strcmp(value, "nonzero") == 0)
            *(bool *)place = *value == 'e';
        break;
    case CLIP:
        if (!url_read(value, style->clip, sizeof style->clip, &end))
            style->clip[0] = '\0';
        break;
    case NOT_NONE:
        *(bool *)place = strcmp(value, "none") != 0;
        break;
    case SHOWN:
        *(bool *)place = strcmp(value, "hidden") != 0 && strcmp(value, "collapse") != 0;
        break;
    case SPILLS:
        *(bool *)place = strcmp(value, "visible") == 0 || strcmp(value, "auto") == 0;
        break;
    }
}

/* What the parent's value of one property would be: only the ones whose names are asked for by
 * "inherit" and that do not inherit anyway. */
static void set_inherited(nw_svg_style *style, const nw_svg_style *parent, const char *name)
{
    nw_svg_style wanted = *parent;
    if (strcmp(name, "opacity") == 0)
        style->opacity = wanted.opacity;
    else if (strcmp(name, "fill") == 0)
        style->fill = wanted.fill;
    else if (strcmp(name, "stroke") == 0)
        style->stroke = wanted.stroke;
    else if (strcmp(name, "fill-rule") == 0)
        style->even_odd = wanted.even_odd;
    else if (strcmp(name, "visibility") == 0)
        style->visible = wanted.visible;
    else if (strcmp(name, "stop-color") == 0)
        style->stop_colour = wanted.stop_colour;
}

/* One declaration "name: value"; unknown names and bad values change nothing. */
static void style_set(nw_svg_style *style, const nw_svg_style *parent, const char *name,
                      const char *value)
{
    if (strcmp(value, "inherit") == 0) {
        set_inherited(style, parent, name);
        return;
    }
    for (size_t i = 0; i < sizeof properties / sizeof *properties; i++) {
        if (strcmp(name, properties[i].name) == 0) {
            field_set(style, parent, properties[i].kind, (char *)style + properties[i].place,
                      value);
        }
    }
}

typedef struct {
    nw_svg_style *style;
    const nw_svg_style *parent;
} declaring;

static void declare(void *context, const char *name, const char *value)
{
    declaring *d = context;
    style_set(d->style, d->parent, name, value);
}

nw_svg_style nw_svg_style_of(nw_svg_reader *reader, const nw_svg_element *node,
                             const nw_svg_style *parent)
{
    nw_svg_style initial = nw_svg_style_initial(), style = *parent;
    style.displayed = true;
    style.overflows = false;
    style.opacity = 1;
    style.stop_colour = initial.stop_colour;
    style.stop_opacity = 1;
    style.clip[0] = '\0';
    style.masked = style.filtered = style.unscaled = false;
    for (size_t i = 0; i < sizeof properties / sizeof *properties; i++) {
        const char *value = nw_svg_attribute_of(node, properties[i].name);
        if (value)
            style_set(&style, parent, properties[i].name, nw_svg_skip_space(value));
    }
    const char *own = nw_svg_attribute_of(node, "style");
    declaring d = {&style, parent};
    for (int important = 0; important < 2; important++) {
        nw_svg_sheet_apply(reader->sheet, node, important, declare, &d);
        if (own)
            nw_svg_declarations_read(own, important, declare, &d);
    }
    return style;
}
