/* layers: what goes into one written drawing, in the format and with the origin asked for. */
#include <cli/files.h>

#include <stdlib.h>

bool layers_need_fit(const cli_request *request)
{
    return request->as_cut || request->bit_path || request->job.tabs;
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
    size_t count = hold->hold.tabs.count;
    nw_point *places = nw_alloc(count, sizeof *places);
    if (!places)
        return nw_fail_memory(error, "the tabs");
    for (size_t i = 0; i < count; i++)
        places[i] = hold->hold.tabs.tabs[i].at;
    nw_status status = nw_drawing_break(outline, places, count,
                                        hold->hold.tabs.width + fit->options.bit, broken, error);
    free(places);
    return status;
}

/* The drawing's middles of lines, or all its other paths. */
static nw_status part_copy(const nw_drawing *drawing, bool line, nw_drawing *part, nw_error *error)
{
    nw_status status = nw_drawing_copy(drawing, part, error);
    size_t count = 0;
    for (size_t i = 0; i < part->count; i++)
        if (part->paths[i].line == line)
            part->paths[count++] = part->paths[i];
        else
            nw_path_free(&part->paths[i]);
    part->count = count;
    return status;
}

/* Shapes are filled, the middles of lines are not, and each have their layer. */
static nw_status middles_add(const nw_drawing *outline, cli_layers *layers, nw_error *error)
{
    nw_status status = part_copy(outline, false, &layers->shapes, error);
    if (status == NW_OK)
        status = part_copy(outline, true, &layers->middles, error);
    layer_add(layers, "outline", &layers->shapes, NULL);
    layers->items[0].filled = layers->count == 1;
    layer_add(layers, "middle", &layers->middles, NULL);
    return status;
}

nw_status layers_make(const cli_request *request, const nw_drawing *outline, const nw_fit *fit,
                      const cli_hold *hold, cli_layers *layers, nw_error *error)
{
    *layers = (cli_layers){.place = origin_place(request, outline)};
    if (request->art.lines == NW_LINES_MIDDLE)
        return middles_add(outline, layers, error);
    bool gaps = request->break_tabs && hold->hold.tabs.count;
    nw_status status = gaps ? outline_break(outline, fit, hold, &layers->broken, error) : NW_OK;
    if (status != NW_OK)
        return status;
    layer_add(layers, "outline", gaps ? &layers->broken : outline, NULL);
    if (request->as_cut) {
        status = nw_drawing_few_arcs(&fit->as_cut, &layers->as_cut, error);
        layer_add(layers, "as-cut", &layers->as_cut, "#d55e00");
    }
    if (request->bit_path && status == NW_OK) {
        status = nw_drawing_few_arcs(&fit->bit_path, &layers->bit_path, error);
        layer_add(layers, "bit-path", &layers->bit_path, "#0072b2");
    }
    if (!gaps)
        layer_add(layers, "tabs", &hold->hold.tab_lines, "#009e73");
    /* Beside lines the outlines' area is pale enough to show them, and dark enough to be ink. */
    layers->items[0].filled = !gaps;
    layers->items[0].colour = layers->count > 1 && !gaps ? "#c8c8c8" : NULL;
    return status;
}

void layers_free(cli_layers *layers)
{
    nw_drawing_free(&layers->broken);
    nw_drawing_free(&layers->as_cut);
    nw_drawing_free(&layers->bit_path);
    nw_drawing_free(&layers->shapes);
    nw_drawing_free(&layers->middles);
}

nw_status layers_write(const cli_layers *layers, const cli_request *request, cli_format format,
                       const char *title, nw_text *text, nw_error *error)
{
    const nw_point *origin = request->origin.kind == ORIGIN_LEFT_BOTTOM ? NULL : &layers->place;
    return format == FORMAT_DXF
               ? nw_write_dxf(layers->items, layers->count, origin, text, error)
               : nw_write_svg(layers->items, layers->count, title, origin, text, error);
}

nw_status layers_write_both(const cli_layers *layers, const cli_request *request, const char *title,
                            nw_text *svg, nw_text *dxf, nw_error *error)
{
    nw_status status = layers_write(layers, request, FORMAT_SVG, title, svg, error);
    return status == NW_OK ? layers_write(layers, request, FORMAT_DXF, title, dxf, error) : status;
}
