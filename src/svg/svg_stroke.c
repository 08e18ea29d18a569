/*
 * svg_stroke: a shape and its style -> what the pen covers along it, painted (SVG 1.1, 11.4).
 *
 * The pen is led in user units, since transforms may press its circle flat, and what it covers goes
 * through the transform; but a pen that is as wide whatever the transforms is led behind them.
 */
#include <svg/svg_internal.h>

#include <math.h>

#define PEN_FLATNESS_MM 0.001
#define HAIRLINE_MM 0.1 /* hardly meant as an area */

nw_status nw_svg_stroke_paint(nw_svg_reader *reader, const nw_svg_element *node,
                              const nw_svg_style *style, nw_svg_place place, nw_paint_shape line)
{
    nw_affine map = place.matrix, led = NW_UNMOVED;
    if (style->unscaled) {
        /* User units of the page, which has y down as the pen has: the width is all that counts. */
        double unit = NW_MM_PER_INCH / 96;
        led = nw_affine_after((nw_affine){1 / unit, 0, 0, 1 / unit, 0, 0}, map);
        map = (nw_affine){unit, 0, 0, unit, 0, 0};
    }
    double scale = sqrt(fabs(map.a * map.d - map.b * map.c));
    if (!(scale > 0))
        return NW_OK;
    if (style->pen.width * scale < HAIRLINE_MM) {
        reader->notes.hairlines += line.paint == PAINT_INK;
        if (reader->options.skip_hairlines)
            return NW_OK;
    }
    place.matrix = led;
    nw_drawing way;
    nw_status status = nw_svg_outline_make(reader, node, place, false, &way);
    if (status == NW_OK && way.count) {
        nw_stroke pen = style->pen;
        pen.dashes = style->dashes;
        pen.flatness = PEN_FLATNESS_MM / scale;
        status = nw_drawing_stroke(&way, &pen, &line.outline, reader->error);
        reader->notes.unscaled += style->unscaled;
        reader->notes.unread.marks += style->marked;
    }
    nw_drawing_free(&way);
    for (size_t i = 0; i < line.outline.count; i++) {
        nw_path_apply(&line.outline.paths[i], map);
        reader->steps += line.outline.paths[i].count;
    }
    return status == NW_OK && line.outline.count ? nw_svg_paint(reader, line) : status;
}
