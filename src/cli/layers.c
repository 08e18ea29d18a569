/* layers: what goes into one written drawing, in the format and with the origin asked for. */
#include "files.h"

#include <stdlib.h>

bool layers_need_fit(const cli_request *request)
{
    return request->as_cut || request->bit_path || request->tabs;
}

static void layer_add(cli_layers *layers, const char *name, const nw_drawing *drawing,
                      const char *colour)
{
    if (drawing->count) {
        layers->items[layers->count++] =
            (nw_layer){.name = name, .drawing = drawing, .colour = colour};
    }
}

/* The bit stops where its edge meets the tab, so the gap is a bit longer than the tab is wide. */
static nw_status outline_break(const nw_drawing *outline, const nw_fit *fit, const cli_hold *hold,
                               nw_drawing *broken, nw_error *error)
{
    size_t count = hold->tabs.count;
    nw_point *places = nw_alloc(count, sizeof *places);
    if (!places) {
        return nw_fail_memory(error, "the tabs");
    }
    for (size_t i = 0; i < count; i++) {
        places[i] = hold->tabs.tabs[i].at;
    }
    nw_status status = nw_drawing_break(outline, places, count, hold->tabs.width + fit->options.bit,
                                        broken, error);
    free(places);
    return status;
}

nw_status layers_make(const cli_request *request, const nw_drawing *outline, const nw_fit *fit,
                      const cli_hold *hold, cli_layers *layers, nw_error *error)
{
    *layers = (cli_layers){0};
    bool gaps = request->break_tabs && hold->tabs.count;
    nw_status status = gaps ? outline_break(outline, fit, hold, &layers->broken, error) : NW_OK;
    if (status != NW_OK) {
        return status;
    }
    layer_add(layers, "outline", gaps ? &layers->broken : outline, NULL);
    if (request->as_cut) {
        layer_add(layers, "as-cut", &fit->as_cut, "#d55e00");
    }
    if (request->bit_path) {
        layer_add(layers, "bit-path", &fit->bit_path, "#0072b2");
    }
    if (!gaps) {
        layer_add(layers, "tabs", &hold->tab_lines, "#009e73");
    }
    layers->items[0].filled = layers->count == 1 && !gaps && request->lines.mode != NW_LINES_MIDDLE;
    layers->place = origin_place(request, outline);
    return NW_OK;
}

void layers_free(cli_layers *layers)
{
    nw_drawing_free(&layers->broken);
}

nw_status layers_write(const cli_layers *layers, const cli_request *request, cli_format format,
                       const char *title, nw_text *text, nw_error *error)
{
    const nw_point *origin = request->origin.kind == ORIGIN_LEFT_BOTTOM ? NULL : &layers->place;
    return format == FORMAT_DXF
               ? nw_write_dxf_at(layers->items, layers->count, origin, text, error)
               : nw_write_svg_at(layers->items, layers->count, title, origin, text, error);
}
