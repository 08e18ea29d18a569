/*
 * svg_draw: the tree of elements -> the painting's shapes in paint order (SVG 1.1, chapters 3, 5
 * and 7). Recursion is bounded by SVG_MOST_DEPTH, copies by SVG_MOST_ELEMENTS and SVG_MOST_STEPS.
 */
#include <svg/svg_internal.h>

#include <math.h>
#include <string.h>

#define MOST_GRADIENT_LINKS 16
#define STOP_MIXES 16 /* looked at between two stops */

/* ---- fills --------------------------------------------------------------------------------- */

/* Does ink show between two stops, neither of which is any? Half-clear white that goes over into
 * clear blue is blue on the way. */
static bool is_ink_between(nw_svg_colour a, nw_svg_colour b)
{
    bool ink = false;
    for (int k = 1; k < STOP_MIXES && !ink; k++) {
        double t = (double)k / STOP_MIXES;
        nw_svg_colour mix = {
            a.red + t * (b.red - a.red),
            a.green + t * (b.green - a.green),
            a.blue + t * (b.blue - a.blue),
            a.alpha + t * (b.alpha - a.alpha),
        };
        ink = nw_svg_colour_paint(mix, 1) == PAINT_INK;
    }
    return ink;
}

/* Ink if one of its stops is, and fading if not all are; paper if all are. */
static nw_paint_kind gradient_paint(nw_svg_reader *reader, const nw_svg_element *gradient,
                                    double opacity)
{
    nw_svg_style initial = nw_svg_style_initial();
    for (int links = 0; gradient && links < MOST_GRADIENT_LINKS; links++) {
        size_t counts[PAINT_NONE + 1] = {0}, stops = 0;
        nw_svg_colour last = {0};
        bool mixes = false;
        for (const nw_svg_element *n = nw_svg_first_child(gradient); n; n = nw_svg_next(n)) {
            if (!nw_svg_named(n, "stop"))
                continue;
            nw_svg_style style = nw_svg_style_of(reader, n, &initial);
            nw_svg_colour colour = style.stop_colour;
            colour.alpha *= fmin(fmax(style.stop_opacity * opacity, 0), 1);
            counts[nw_svg_colour_paint(colour, 1)]++;
            mixes = mixes || (stops && is_ink_between(last, colour));
            last = colour;
            stops++;
        }
        if (counts[PAINT_INK] && counts[PAINT_INK] < stops)
            return counts[PAINT_PAPER] ? PAINT_PALES : PAINT_FADES;
        if (counts[PAINT_PAPER] && counts[PAINT_PAPER] < stops)
            return PAINT_GLOSS;
        if (mixes && !counts[PAINT_INK] && !counts[PAINT_PAPER])
            return PAINT_FADES;
        if (stops)
            return counts[PAINT_INK] ? PAINT_INK : counts[PAINT_PAPER] ? PAINT_PAPER : PAINT_NONE;
        const char *href = nw_svg_attribute_of(gradient, "href");
        gradient = href ? nw_svg_referred(reader, href) : NULL;
    }
    return PAINT_NONE;
}

static void colour_paint(nw_svg_colour colour, double opacity, nw_paint_shape *shape)
{
    shape->paint = nw_svg_colour_paint(colour, opacity);
    double parts[] = {colour.red, colour.green, colour.blue,
                      colour.alpha * fmin(fmax(opacity, 0), 1)};
    memcpy(shape->colour, parts, sizeof parts);
}

/* Sets the shape's paint and colour to what a fill does; style: for the current colour. */
static void fill_paint(nw_svg_reader *reader, const nw_svg_fill *fill, const nw_svg_style *style,
                       double opacity, nw_paint_shape *shape)
{
    const nw_svg_element *server =
        fill->kind == FILL_SERVER ? nw_svg_by_id(reader->tree, fill->server) : NULL;
    nw_svg_fill_kind kind = fill->kind == FILL_SERVER ? fill->fallback : fill->kind;
    memset(shape->colour, 0, sizeof shape->colour);
    if (server && nw_svg_named(server, "pattern"))
        shape->paint = opacity > 0 ? PAINT_PALES : PAINT_NONE;
    else if (server &&
             (nw_svg_named(server, "linearGradient") || nw_svg_named(server, "radialGradient")))
        shape->paint = gradient_paint(reader, server, opacity);
    else if (kind == FILL_COLOUR)
        colour_paint(fill->colour, opacity, shape);
    else if (kind == FILL_CURRENT)
        colour_paint(style->colour, opacity, shape);
    else
        shape->paint = PAINT_NONE;
}

/* ---- shapes -------------------------------------------------------------------------------- */

/* Whether there is an inside at all: a lone line has none. */
static bool has_inside(const nw_drawing *outline)
{
    for (size_t i = 0; i < outline->count; i++) {
        const nw_path *path = &outline->paths[i];
        if (path->count > 1 || path->steps[0].kind == NW_CURVE)
            return true;
    }
    return false;
}

static nw_status shape_paint(nw_svg_reader *reader, const nw_svg_element *node,
                             const nw_svg_style *style, nw_svg_place place)
{
    const char *of = nw_svg_attribute_of(node, "class");
    if (nw_svg_list_has(of, NW_SVG_LINE, strlen(NW_SVG_LINE))) {
        reader->notes.beside++;
        return NW_OK;
    }
    if (!style->visible)
        return NW_OK;
    double opacity = place.opacity;
    nw_paint_shape shape = {.even_odd = style->even_odd, .clip = place.clip}, line = shape;
    fill_paint(reader, &style->fill, style, style->fill_opacity * opacity, &shape);
    fill_paint(reader, &style->stroke, style, style->stroke_opacity * opacity, &line);
    nw_status status = nw_svg_outline_make(reader, node, place, true, &shape.outline);
    if (status == NW_OK && shape.paint != PAINT_NONE && has_inside(&shape.outline))
        status = nw_svg_paint(reader, shape);
    else
        nw_drawing_free(&shape.outline);
    line.even_odd = false;
    if (status == NW_OK && line.paint != PAINT_NONE && style->pen.width > 0)
        status = nw_svg_stroke_paint(reader, node, style, place, line);
    return status;
}

/* ---- containers ---------------------------------------------------------------------------- */

static nw_status children_draw(nw_svg_reader *reader, const nw_svg_element *node,
                               const nw_svg_style *style, nw_svg_place place)
{
    nw_status status = NW_OK;
    place.depth++;
    for (const nw_svg_element *n = nw_svg_first_child(node); n && !status; n = nw_svg_next(n))
        status = nw_svg_element_draw(reader, n, style, place);
    return status;
}

static nw_status group_draw(nw_svg_reader *reader, const nw_svg_element *node,
                            const nw_svg_style *style, nw_svg_place place)
{
    bool taken = false;
    if (nw_svg_is_beside(reader, node))
        return NW_OK;
    nw_status status = nw_svg_lines_take(reader, node, style, place, &taken);
    return status || taken ? status : children_draw(reader, node, style, place);
}

/* Nested svg and symbol: a viewport of its own. sizes: the element whose width and height count
 * first, node's own else. */
static nw_status viewport_draw(nw_svg_reader *reader, const nw_svg_element *node,
                               const nw_svg_element *sizes, const nw_svg_style *style,
                               nw_svg_place place)
{
    nw_svg_frame frame = place.frame;
    double width = nw_svg_length_or(node, "width", frame, ALONG_X, frame.width);
    double height = nw_svg_length_or(node, "height", frame, ALONG_Y, frame.height);
    width = nw_svg_length_or(sizes, "width", frame, ALONG_X, width);
    height = nw_svg_length_or(sizes, "height", frame, ALONG_Y, height);
    if (!(width > 0) || !(height > 0))
        return NW_OK;
    if (nw_svg_named(node, "svg")) {
        nw_affine move = NW_UNMOVED;
        move.e = nw_svg_length_or(node, "x", frame, ALONG_X, 0);
        move.f = nw_svg_length_or(node, "y", frame, ALONG_Y, 0);
        place.matrix = nw_affine_after(place.matrix, move);
    }
    if (!style->overflows) {
        nw_box box = {{0, 0}, {width, height}};
        nw_status status = nw_svg_clip_rectangle(reader, &place, box);
        if (status)
            return status;
    }
    place.frame = (nw_svg_frame){width, height, style->font_size};
    const char *view = nw_svg_attribute_of(node, "viewBox");
    nw_affine matrix;
    nw_box box;
    if (view && nw_svg_view_box_read(view, nw_svg_attribute_of(node, "preserveAspectRatio"), width,
                                     height, &matrix, &box)) {
        place.matrix = nw_affine_after(place.matrix, matrix);
        place.frame.width = nw_box_width(box);
        place.frame.height = nw_box_height(box);
    }
    return children_draw(reader, node, style, place);
}

static nw_status use_draw(nw_svg_reader *reader, const nw_svg_element *node,
                          const nw_svg_style *style, nw_svg_place place)
{
    const nw_svg_element *target = nw_svg_use_target(reader, node, &place);
    nw_status status = target ? nw_svg_use_begin(reader, target, node) : NW_OK;
    if (!target || status)
        return status;
    place.depth++;
    if (nw_svg_named(target, "symbol") || nw_svg_named(target, "svg")) {
        nw_svg_style inner = nw_svg_style_of(reader, target, style);
        status = nw_svg_count_element(reader, target, place.depth);
        status = status ? status : viewport_draw(reader, target, node, &inner, place);
    } else {
        status = nw_svg_element_draw(reader, target, style, place);
    }
    nw_svg_use_end(reader);
    return status;
}

/* The conditions of SVG 1.1, 5.8.2: no extension is known; English is spoken, as every language. */
static bool conditions_hold(const nw_svg_element *node)
{
    const char *extensions = nw_svg_attribute_of(node, "requiredExtensions");
    const char *language = nw_svg_attribute_of(node, "systemLanguage");
    return !extensions && (!language || *language);
}

static nw_status switch_draw(nw_svg_reader *reader, const nw_svg_element *node,
                             const nw_svg_style *style, nw_svg_place place)
{
    place.depth++;
    for (const nw_svg_element *n = nw_svg_first_child(node); n; n = nw_svg_next(n))
        if (conditions_hold(n) && !nw_svg_named(n, "foreignObject"))
            return nw_svg_element_draw(reader, n, style, place);
    return NW_OK;
}

/* One text, whatever its parts, that would show. */
static nw_status text_note(nw_svg_reader *reader, const nw_svg_element *node,
                           const nw_svg_style *style, nw_svg_place place)
{
    size_t *texts = &reader->notes.unread.texts, before = *texts;
    nw_status status = children_draw(reader, node, style, place);
    double fill = style->fill_opacity * place.opacity, pen = style->stroke_opacity * place.opacity;
    nw_paint_shape inside = {0}, line = {0};
    fill_paint(reader, &style->fill, style, fill, &inside);
    fill_paint(reader, &style->stroke, style, pen, &line);
    bool painted = inside.paint != PAINT_NONE || line.paint != PAINT_NONE;
    bool shows = *texts > before || (*nw_svg_skip_space(node->text) && style->visible && painted);
    *texts = before + shows;
    return status;
}

static nw_status content_draw(nw_svg_reader *reader, const nw_svg_element *node,
                              const nw_svg_style *style, nw_svg_place place)
{
    if (nw_svg_is_shape(node))
        return shape_paint(reader, node, style, place);
    if (nw_svg_named(node, "g") || nw_svg_named(node, "a"))
        return group_draw(reader, node, style, place);
    if (nw_svg_named(node, "svg"))
        return viewport_draw(reader, node, node, style, place);
    if (nw_svg_named(node, "use"))
        return use_draw(reader, node, style, place);
    if (nw_svg_named(node, "switch"))
        return switch_draw(reader, node, style, place);
    if (nw_svg_is_text(node))
        return text_note(reader, node, style, place);
    if (nw_svg_named(node, "image") || nw_svg_named(node, "foreignObject"))
        nw_svg_note_unread(reader, &reader->notes.unread.images, node);
    return NW_OK;
}

nw_status nw_svg_element_draw(nw_svg_reader *reader, const nw_svg_element *node,
                              const nw_svg_style *parent, nw_svg_place place)
{
    nw_status status = nw_svg_count_element(reader, node, place.depth);
    if (status || !conditions_hold(node))
        return status;
    nw_svg_style style = nw_svg_style_of(reader, node, parent);
    place.frame.font_size = style.font_size;
    place.opacity *= style.opacity;
    if (!style.displayed)
        return NW_OK;
    if (style.masked || style.filtered)
        nw_svg_note_unread(reader, &reader->notes.unread.effects, node);
    status = nw_svg_place_enter(reader, node, &place);
    status = status ? status : nw_svg_clip_enter(reader, node, &style, &place);
    return status ? status : content_draw(reader, node, &style, place);
}
