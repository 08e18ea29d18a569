/*
 * dxf_file: layers of outlines -> an ASCII DXF file of AutoCAD 2000 (AC1015), as the published DXF
 * reference lays it out, in millimetres, y up. Every path is one LWPOLYLINE; arcs are bulges, and
 * curves become biarcs within 0.005 mm (biarc.c).
 */
#include <report/parts.h>

#include <stdlib.h>

#define CURVE_TOLERANCE_MM 0.005
#define PLACE_DECIMALS 6
#define BULGE_DECIMALS 9

static void add_real(nw_text *dxf, const char *code, double value, int decimals)
{
    nw_text_add(dxf, code);
    nw_text_number(dxf, value, decimals);
    nw_text_add(dxf, "\n");
}

static void add_polyline(nw_text *dxf, const report_polyline *polyline, bool closed,
                         nw_point origin, const char *layer, unsigned handle)
{
    nw_text_format(dxf,
                   "  0\nLWPOLYLINE\n  5\n%X\n330\n" REPORT_DXF_MODEL
                   "\n100\nAcDbEntity\n  8\n%s\n100\nAcDbPolyline\n 90\n%zu\n 70\n%d\n 43\n0\n",
                   handle, layer, polyline->count, closed ? 1 : 0);
    for (size_t i = 0; i < polyline->count; i++) {
        const report_vertex *vertex = &polyline->items[i];
        add_real(dxf, " 10\n", vertex->at.x - origin.x, PLACE_DECIMALS);
        add_real(dxf, " 20\n", vertex->at.y - origin.y, PLACE_DECIMALS);
        if (vertex->bulge != 0)
            add_real(dxf, " 42\n", vertex->bulge, BULGE_DECIMALS);
    }
}

static bool add_layer(nw_text *dxf, const nw_layer *layer, nw_point origin, unsigned *handle)
{
    for (size_t i = 0; i < layer->drawing->count; i++) {
        const nw_path *path = &layer->drawing->paths[i];
        report_polyline polyline;
        if (!nw_report_polyline_make(path, CURVE_TOLERANCE_MM, &polyline))
            return false;
        if (polyline.count >= 2)
            add_polyline(dxf, &polyline, path->closed, origin, layer->name, (*handle)++);
        free(polyline.items);
    }
    return true;
}

nw_status nw_write_dxf(const nw_layer *layers, size_t count, nw_text *dxf, nw_error *error)
{
    return nw_write_dxf_at(layers, count, NULL, dxf, error);
}

nw_status nw_write_dxf_at(const nw_layer *layers, size_t count, const nw_point *origin,
                          nw_text *dxf, nw_error *error)
{
    *dxf = (nw_text){0};
    nw_status status = nw_report_layers_check(layers, count, error);
    if (status != NW_OK)
        return status;
    nw_box box;
    nw_report_layers_box(layers, count, &box);
    nw_point zero = origin ? *origin : (nw_point){0, 0};
    box.min = (nw_point){box.min.x - zero.x, box.min.y - zero.y};
    box.max = (nw_point){box.max.x - zero.x, box.max.y - zero.y};
    nw_report_dxf_head(dxf, layers, count, box);
    unsigned handle = REPORT_DXF_FIRST_HANDLE;
    for (size_t i = 0; i < count && !dxf->failed; i++)
        dxf->failed = !add_layer(dxf, &layers[i], zero, &handle) || dxf->failed;
    nw_report_dxf_tail(dxf);
    return nw_report_finish(dxf, "the DXF file", error);
}
