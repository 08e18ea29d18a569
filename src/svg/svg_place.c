/*
 * svg_place: what drawing and clipping ask of an element: that there are not too many, where it
 * stands, what it refers to and its outline there.
 */
#include <svg/svg_internal.h>

#include <stdio.h>
#include <string.h>

#define PAGE_ROUNDING_MM 1e-4 /* the last decimal of files in millimetres */

nw_svg_line_words nw_svg_line(long line)
{
    nw_svg_line_words words = {""};
    if (line > 0)
        snprintf(words.words, sizeof words.words, "line %ld: ", line);
    return words;
}

nw_status nw_svg_count_element(nw_svg_reader *reader, const nw_svg_element *node, int depth)
{
    if (depth > SVG_MOST_DEPTH) {
        return nw_fail(reader->error, NW_BAD_INPUT, "%selements nest deeper than %d",
                       nw_svg_line(node->line).words, SVG_MOST_DEPTH);
    }
    double most = SVG_MOST_ELEMENTS * reader->options.more;
    if ((double)++reader->elements > most) {
        return nw_fail_advised(reader->error, NW_BAD_INPUT, NW_ADVICE_SIMPLER,
                               "%sthe drawing has more than %.0f elements, copies counted",
                               nw_svg_line(node->line).words, most);
    }
    return NW_OK;
}

/* Adds an element's id, or its name and its line where that is known, to a short list. */
static void name_add(char *list, size_t size, const nw_svg_element *node)
{
    const char *id = nw_svg_attribute_of(node, "id");
    nw_text name = {0};
    if (id && *id && strlen(id) < 40)
        nw_text_add(&name, id);
    else if (node->line > 0)
        nw_text_format(&name, "%.20s in line %ld", node->name, node->line);
    else
        nw_text_format(&name, "%.20s", node->name);
    size_t used = strlen(list), separator = used ? 2 : 0;
    if (!name.failed && used + separator + name.length < size) {
        memcpy(list + used, ", ", separator);
        memcpy(list + used + separator, name.data, name.length + 1);
    }
    nw_text_free(&name);
}

void nw_svg_note_unread(nw_svg_reader *reader, size_t *count, const nw_svg_element *node)
{
    ++*count;
    name_add(reader->notes.others, sizeof reader->notes.others, node);
}

nw_status nw_svg_use_begin(nw_svg_reader *reader, const nw_svg_element *target,
                           const nw_svg_element *from)
{
    for (size_t i = 0; i < reader->use_count; i++) {
        if (reader->uses[i] == target) {
            return nw_fail(reader->error, NW_BAD_INPUT, "%s%.20s refers to itself",
                           nw_svg_line(from->line).words, from->name);
        }
    }
    if (reader->use_count == SVG_MOST_USES) {
        return nw_fail(reader->error, NW_BAD_INPUT, "%sreferences nest deeper than %d",
                       nw_svg_line(from->line).words, SVG_MOST_USES);
    }
    reader->uses[reader->use_count++] = target;
    return NW_OK;
}

void nw_svg_use_end(nw_svg_reader *reader)
{
    reader->use_count--;
}

double nw_svg_length_or(const nw_svg_element *node, const char *name, nw_svg_frame frame,
                        nw_svg_direction direction, double otherwise)
{
    const char *text = nw_svg_attribute_of(node, name);
    double length;
    bool real;
    return text && nw_svg_length_read(text, frame, direction, &length, &real) ? length : otherwise;
}

nw_status nw_svg_place_enter(nw_svg_reader *reader, const nw_svg_element *node, nw_svg_place *place)
{
    const char *text = nw_svg_attribute_of(node, "transform");
    nw_affine matrix;
    if (!text)
        return NW_OK;
    if (!nw_svg_transform_read(text, &matrix)) {
        return nw_fail(reader->error, NW_BAD_INPUT, "%stransform \"%.60s\" is malformed",
                       nw_svg_line(node->line).words, text);
    }
    place->matrix = nw_affine_after(place->matrix, matrix);
    return NW_OK;
}

const nw_svg_element *nw_svg_referred(const nw_svg_reader *reader, const char *reference)
{
    reference = nw_svg_skip_space(reference);
    return *reference == '#' ? nw_svg_by_id(reader->tree, reference + 1) : NULL;
}

const nw_svg_element *nw_svg_use_target(nw_svg_reader *reader, const nw_svg_element *node,
                                        nw_svg_place *place)
{
    const char *href = nw_svg_attribute_of(node, "href");
    const nw_svg_element *target = href ? nw_svg_referred(reader, href) : NULL;
    if (!target) {
        nw_svg_note_unread(reader, &reader->notes.unread.effects, node);
        return NULL;
    }
    nw_affine move = NW_UNMOVED;
    move.e = nw_svg_length_or(node, "x", place->frame, ALONG_X, 0);
    move.f = nw_svg_length_or(node, "y", place->frame, ALONG_Y, 0);
    place->matrix = nw_affine_after(place->matrix, move);
    return target;
}

nw_status nw_svg_outline_make(nw_svg_reader *reader, const nw_svg_element *node, nw_svg_place place,
                              bool inside, nw_drawing *outline)
{
    *outline = (nw_drawing){0};
    nw_svg_pen pen = {.matrix = place.matrix, .outline = outline, .inside = inside};
    bool drawn = nw_svg_shape_draw(&pen, node, place.frame);
    reader->steps += pen.steps;
    nw_status status = NW_OK;
    if (pen.no_memory) {
        status = nw_fail_memory(reader->error, "the outlines");
    } else if (pen.too_far) {
        status = nw_fail(reader->error, NW_BAD_INPUT,
                         "%s%.20s has a coordinate that is not finite or beyond %g mm",
                         nw_svg_line(node->line).words, node->name, SVG_FARTHEST_MM);
    } else if ((double)reader->steps > SVG_MOST_STEPS * reader->options.more) {
        status =
            nw_fail_advised(reader->error, NW_BAD_INPUT, NW_ADVICE_SIMPLER,
                            "%sthe drawing has more than %.0f lines and curves, "
                            "copies counted",
                            nw_svg_line(node->line).words, SVG_MOST_STEPS * reader->options.more);
    }
    if (status || !drawn)
        nw_drawing_free(outline);
    return status;
}

/* Whether only the page clips the shape, and it lies on it but for what rounding its places or the
 * page's size may have moved it: then nothing is to be cut. */
static bool is_on_page(const nw_svg_reader *reader, const nw_paint_shape *shape)
{
    nw_box page = reader->painting.page, box = nw_drawing_box(&shape->outline);
    return shape->clip == reader->page_clip && box.min.x >= page.min.x - PAGE_ROUNDING_MM &&
           box.min.y >= page.min.y - PAGE_ROUNDING_MM &&
           box.max.x <= page.max.x + PAGE_ROUNDING_MM && box.max.y <= page.max.y + PAGE_ROUNDING_MM;
}

nw_status nw_svg_paint(nw_svg_reader *reader, nw_paint_shape shape)
{
    nw_status status = NW_OK;
    shape.clip = is_on_page(reader, &shape) ? 0 : shape.clip;
    if (!nw_paint_shapes_add(&reader->painting.shapes, &shape))
        status = nw_fail_memory(reader->error, "the outlines");
    nw_drawing_free(&shape.outline);
    return status;
}
