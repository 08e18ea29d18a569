/*
 * svg_file: layers of outlines -> an SVG 1.1 document in millimetres, one path per piece with its
 * holes inside it (even-odd), y down. width and height carry the unit and the viewBox has the same
 * numbers without it, so one user unit is one millimetre for every reader.
 */
#include <report/parts.h>

#include <math.h>

#define LINE_WIDTH_MM "0.1"

static void add_piece(nw_text *svg, const nw_layer *layer, size_t first, size_t count,
                      report_frame frame)
{
    const char *colour = layer->colour ? layer->colour : "black";
    bool filled = layer->filled && layer->drawing->paths[first].closed;
    nw_text_add(svg, filled ? "<path fill=\""
                            : "<path class=\"" NW_SVG_LINE
                              "\" fill=\"none\" stroke-width=\"" LINE_WIDTH_MM "\" stroke=\"");
    nw_text_escaped(svg, colour);
    nw_text_add(svg, filled ? "\" fill-rule=\"evenodd\" d=\"" : "\" d=\"");
    nw_report_path_data(svg, layer->drawing->paths + first, count, frame);
    nw_text_add(svg, "\"/>\n");
}

static void add_layer(nw_text *svg, const nw_layer *layer, report_frame frame)
{
    if (!layer->drawing->count)
        return;
    nw_text_format(svg, "<g id=\"%s\">\n", layer->name);
    for (size_t first = 0; first < layer->drawing->count;) {
        size_t count = nw_report_piece_length(layer->drawing, first);
        add_piece(svg, layer, first, count, frame);
        first += count;
    }
    nw_text_add(svg, "</g>\n");
}

/* kind: the document's class, or NULL. */
static void svg_open(nw_text *svg, const char *kind, nw_point corner, double width, double height)
{
    nw_text_add(svg, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                     "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" "
                     "\"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\">\n"
                     "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\"");
    if (kind)
        nw_text_format(svg, " class=\"%s\"", kind);
    nw_text_add(svg, " width=\"");
    nw_text_number(svg, width, 4);
    nw_text_add(svg, "mm\" height=\"");
    nw_text_number(svg, height, 4);
    nw_text_add(svg, "mm\" viewBox=\"");
    nw_text_number(svg, corner.x, 4);
    nw_text_add(svg, " ");
    nw_text_number(svg, corner.y, 4);
    nw_text_add(svg, " ");
    nw_text_number(svg, width, 4);
    nw_text_add(svg, " ");
    nw_text_number(svg, height, 4);
    nw_text_add(svg, "\">\n");
}

void nw_report_sheet_open(nw_text *svg, nw_point corner, double width, double height)
{
    svg_open(svg, NW_SVG_SHEET, corner, width, height);
}

#define DIGIT_MM 1e-4 /* of what is written */

static nw_box box_of_both(nw_box a, nw_box b)
{
    return (nw_box){{fmin(a.min.x, b.min.x), fmin(a.min.y, b.min.y)},
                    {fmax(a.max.x, b.max.x), fmax(a.max.y, b.max.y)}};
}

/* The page is as large as all layers. Its lower left corner is where jobs start unless an origin is
 * given, so it stays the art's: bridges and gaps for tabs may take the outermost point of an
 * outline away, and lines of tabs and the way of the bit may lie outside the page. What lies above
 * the art shifts it by whole digits, so that its own stay the same. */
static nw_box page_box(const nw_layer *layers, size_t count, bool corner)
{
    nw_box all, art = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    nw_report_layers_box(layers, count, &all);
    for (size_t i = 0; i < count; i++) {
        const nw_drawing *drawing = layers[i].drawing;
        if (drawing->width > 0) {
            nw_box size = {{0, 0}, {drawing->width, drawing->height}};
            art = box_of_both(art, size);
            art = drawing->count ? box_of_both(art, nw_drawing_box(drawing)) : art;
        }
    }
    nw_box page = box_of_both(all, art);
    page.min = corner && isfinite(art.min.x) ? art.min : page.min;
    if (isfinite(art.max.y))
        page.max.y = art.max.y + ceil((page.max.y - art.max.y) / DIGIT_MM) * DIGIT_MM;
    return page;
}

nw_status nw_write_svg(const nw_layer *layers, size_t count, const char *title,
                       const nw_point *origin, nw_text *svg, nw_error *error)
{
    *svg = (nw_text){0};
    nw_status status = nw_report_layers_check(layers, count, error);
    if (status != NW_OK)
        return status;
    nw_box box = page_box(layers, count, !origin);
    nw_point zero = origin ? *origin : (nw_point){box.min.x, box.max.y};
    svg_open(svg, NULL, (nw_point){box.min.x - zero.x, zero.y - box.max.y}, nw_box_width(box),
             nw_box_height(box));
    if (title && *title) {
        nw_text_add(svg, "<title>");
        nw_text_escaped(svg, title);
        nw_text_add(svg, "</title>\n");
    }
    for (size_t i = 0; i < count; i++)
        add_layer(svg, &layers[i], (report_frame){zero.x, zero.y, 1});
    nw_text_add(svg, "</svg>\n");
    return nw_report_finish(svg, "the SVG file", error);
}
