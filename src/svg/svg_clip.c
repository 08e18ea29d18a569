/*
 * svg_clip: viewports and clip-path -> clips of the painting (SVG 1.1, chapter 14).
 */
#include <svg/svg_internal.h>

#include <string.h>

/* Takes over *clip; its number goes to *number. */
static nw_status clip_add(nw_svg_reader *reader, nw_paint_clip *clip, size_t *number)
{
    nw_painting *all = &reader->painting;
    if (!nw_push(&all->clips, &all->clip_count, &all->clip_capacity, clip, sizeof *clip)) {
        nw_paint_shapes_free(&clip->shapes);
        return nw_fail_memory(reader->error, "the clips");
    }
    *number = all->clip_count;
    return NW_OK;
}

static nw_status clip_add_outline(nw_svg_reader *reader, nw_paint_clip *clip, nw_paint_shape *shape)
{
    if (nw_paint_shapes_add(&clip->shapes, shape))
        return NW_OK;
    nw_drawing_free(&shape->outline);
    return nw_fail_memory(reader->error, "the clips");
}

nw_status nw_svg_clip_rectangle(nw_svg_reader *reader, nw_svg_place *place, nw_box box)
{
    nw_paint_shape shape = {0};
    nw_paint_clip clip = {.parent = place->clip};
    nw_svg_pen pen = {.matrix = place->matrix, .outline = &shape.outline};
    nw_pen_move(&pen, box.min);
    nw_pen_line(&pen, (nw_point){box.max.x, box.min.y});
    nw_pen_line(&pen, box.max);
    nw_pen_line(&pen, (nw_point){box.min.x, box.max.y});
    nw_pen_close(&pen);
    if (pen.too_far) { /* wider than anything that may be drawn */
        nw_drawing_free(&shape.outline);
        return NW_OK;
    }
    if (pen.no_memory) {
        nw_drawing_free(&shape.outline);
        return nw_fail_memory(reader->error, "the clips");
    }
    nw_status status = clip_add_outline(reader, &clip, &shape);
    return status ? status : clip_add(reader, &clip, &place->clip);
}

/* One child of a clipPath: a shape, or a use of one. */
static nw_status clip_child(nw_svg_reader *reader, const nw_svg_element *node,
                            const nw_svg_style *parent, nw_svg_place place, nw_paint_clip *clip)
{
    nw_svg_style style = nw_svg_style_of(reader, node, parent);
    nw_status status = nw_svg_count_element(reader, node, place.depth);
    if (status || !style.displayed)
        return status;
    status = nw_svg_place_enter(reader, node, &place);
    if (status)
        return status;
    if (nw_svg_named(node, "use")) {
        const nw_svg_element *target = nw_svg_use_target(reader, node, &place);
        if (!target || !nw_svg_is_shape(target))
            return NW_OK;
        place.depth++;
        return clip_child(reader, target, &style, place, clip);
    }
    if (!nw_svg_is_shape(node)) {
        nw_svg_note_unread(reader, &reader->notes.unread.effects, node);
        return NW_OK;
    }
    if (!style.visible)
        return NW_OK;
    place.clip = 0;
    status = nw_svg_clip_enter(reader, node, &style, &place);
    nw_paint_shape shape = {.even_odd = style.clip_even_odd, .clip = place.clip};
    status = status ? status : nw_svg_outline_make(reader, node, place, true, &shape.outline);
    return status ? status : clip_add_outline(reader, clip, &shape);
}

/* Takes a place's unit square to the box of an element. */
static nw_status box_enter(nw_svg_reader *reader, const nw_svg_element *node, nw_svg_place *place)
{
    nw_svg_place flat = *place;
    flat.matrix = NW_UNMOVED;
    nw_drawing outline;
    nw_status status = nw_svg_outline_make(reader, node, flat, true, &outline);
    if (!status && outline.count) {
        nw_box box = nw_drawing_box(&outline);
        nw_affine unit = {
            .a = nw_box_width(box), .d = nw_box_height(box), .e = box.min.x, .f = box.min.y};
        place->matrix = nw_affine_after(place->matrix, unit);
        nw_drawing_free(&outline);
    }
    return status;
}

static nw_status clip_make(nw_svg_reader *reader, const nw_svg_element *node,
                           const nw_svg_element *clip_node, nw_svg_place *place)
{
    nw_svg_place inner = *place;
    nw_svg_style initial = nw_svg_style_initial(),
                 style = nw_svg_style_of(reader, clip_node, &initial);
    nw_paint_clip clip = {0};
    inner.depth++;
    nw_status status = nw_svg_clip_enter(reader, clip_node, &style, &inner);
    clip.parent = inner.clip;
    const char *units = nw_svg_attribute_of(clip_node, "clipPathUnits");
    if (!status && units && strcmp(units, "objectBoundingBox") == 0)
        status = box_enter(reader, node, &inner);
    status = status ? status : nw_svg_place_enter(reader, clip_node, &inner);
    for (const nw_svg_element *n = nw_svg_first_child(clip_node); n && !status; n = nw_svg_next(n))
        status = clip_child(reader, n, &style, inner, &clip);
    if (status) {
        nw_paint_shapes_free(&clip.shapes);
        return status;
    }
    return clip_add(reader, &clip, &place->clip);
}

nw_status nw_svg_clip_enter(nw_svg_reader *reader, const nw_svg_element *node,
                            const nw_svg_style *style, nw_svg_place *place)
{
    const nw_svg_element *clip = style->clip[0] ? nw_svg_by_id(reader->tree, style->clip) : NULL;
    if (!clip || !nw_svg_named(clip, "clipPath"))
        return NW_OK;
    const char *units = nw_svg_attribute_of(clip, "clipPathUnits");
    if (units && strcmp(units, "objectBoundingBox") == 0 && !nw_svg_is_shape(node)) {
        nw_svg_note_unread(reader, &reader->notes.unread.effects, clip);
        return NW_OK;
    }
    nw_status status = nw_svg_use_begin(reader, clip, node);
    if (!status) {
        status = clip_make(reader, node, clip, place);
        nw_svg_use_end(reader);
    }
    return status;
}
