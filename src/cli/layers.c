/* layers: what goes into one written drawing, in the format asked for. */
#include "cli.h"

bool layers_need_fit(const cli_request *request)
{
    return request->as_cut || request->bit_path;
}

static void layer_add(cli_layers *layers, const char *name, const nw_drawing *drawing,
                      const char *colour)
{
    layers->items[layers->count++] = (nw_layer){.name = name, .drawing = drawing, .colour = colour};
}

cli_layers layers_of(const cli_request *request, const nw_drawing *outline, const nw_fit *fit)
{
    cli_layers layers = {0};
    layer_add(&layers, "outline", outline, NULL);
    if (request->as_cut) {
        layer_add(&layers, "as-cut", &fit->as_cut, "#d55e00");
    }
    if (request->bit_path) {
        layer_add(&layers, "bit-path", &fit->bit_path, "#0072b2");
    }
    /* The middles of lines bound no area. */
    layers.items[0].filled = layers.count == 1 && request->lines.mode != NW_LINES_MIDDLE;
    return layers;
}

nw_status layers_write(const cli_layers *layers, cli_format format, const char *title,
                       nw_text *text, nw_error *error)
{
    return format == FORMAT_DXF ? nw_write_dxf(layers->items, layers->count, text, error)
                                : nw_write_svg(layers->items, layers->count, title, text, error);
}
