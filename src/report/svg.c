/*
 * svg: layers of outlines -> an SVG 1.1 document in millimetres, one path per piece with its holes
 * inside it (even-odd), y down. width and height carry the unit and the viewBox has the same
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
                            : "<path fill=\"none\" stroke-width=\"" LINE_WIDTH_MM "\" stroke=\"");
    nw_text_escaped(svg, colour);
    nw_text_add(svg, filled ? "\" fill-rule=\"evenodd\" d=\"" : "\" d=\"");
    report_path_data(svg, layer->drawing, first, count, frame);
    nw_text_add(svg, "\"/>\n");
}

static void add_layer(nw_text *svg, const nw_layer *layer, report_frame frame)
{
    if (!layer->drawing->count) {
        return;
    }
    nw_text_format(svg, "<g id=\"%s\">\n", layer->name);
    for (size_t first = 0; first < layer->drawing->count;) {
        size_t count = report_piece_length(layer->drawing, first);
        add_piece(svg, layer, first, count, frame);
        first += count;
    }
    nw_text_add(svg, "</g>\n");
}

void report_svg_open_at(nw_text *svg, nw_point corner, double width, double height)
{
    nw_text_add(svg, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                     "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" "
                     "\"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\">\n"
                     "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"");
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

void report_svg_open(nw_text *svg, double width, double height)
{
    report_svg_open_at(svg, (nw_point){0, 0}, width, height);
}

/* The page is as large as all layers, and not smaller than the art: bridges and gaps for tabs may
 * take the outermost point of an outline away, but the page's corner stays where it was. */
static nw_box page_box(const nw_layer *layers, size_t count)
{
    nw_box box;
    report_layers_box(layers, count, &box);
    for (size_t i = 0; i < count; i++) {
        const nw_drawing *drawing = layers[i].drawing;
        if (drawing->width > 0) {
            box.min = (nw_point){fmin(box.min.x, 0), fmin(box.min.y, 0)};
            box.max = (nw_point){fmax(box.max.x, drawing->width), fmax(box.max.y, drawing->height)};
        }
    }
    return box;
}

nw_status nw_write_svg(const nw_layer *layers, size_t count, const char *title, nw_text *svg,
                       nw_error *error)
{
    return nw_write_svg_at(layers, count, title, NULL, svg, error);
}

nw_status nw_write_svg_at(const nw_layer *layers, size_t count, const char *title,
                          const nw_point *origin, nw_text *svg, nw_error *error)
{
    *svg = (nw_text){0};
    nw_status status = report_layers_check(layers, count, error);
    if (status != NW_OK) {
        return status;
    }
    nw_box box = page_box(layers, count);
    nw_point zero = origin ? *origin : (nw_point){box.min.x, box.max.y};
    report_svg_open_at(svg, (nw_point){box.min.x - zero.x, zero.y - box.max.y},
                       box.max.x - box.min.x, box.max.y - box.min.y);
    if (title && *title) {
        nw_text_add(svg, "<title>");
        nw_text_escaped(svg, title);
        nw_text_add(svg, "</title>\n");
    }
    for (size_t i = 0; i < count; i++) {
        add_layer(svg, &layers[i], (report_frame){zero.x, zero.y, 1});
    }
    nw_text_add(svg, "</svg>\n");
    return report_finish(svg, "the SVG file", error);
}
