/*
 * dxf_file: layers of outlines -> an ASCII DXF file of AutoCAD 2000 (AC1015), as the published DXF
 * reference lays it out, in millimetres, y up. Every path is one LWPOLYLINE; arcs are bulges, and
 * curves become arcs within 0.005 mm.
 */
#include <report/parts.h>

#include <math.h>
#include <stdlib.h>

#define CURVE_TOLERANCE_MM 0.005
#define PLACE_DECIMALS 6
#define BULGE_DECIMALS 9
#define SAME_PLACE_MM 2e-6 /* what is further apart is so once written */

static bool is_same(nw_point a, nw_point b)
{
    return fabs(a.x - b.x) < SAME_PLACE_MM && fabs(a.y - b.y) < SAME_PLACE_MM;
}

static void add_real(nw_text *dxf, const char *code, double value, int decimals)
{
    nw_text_add(dxf, code);
    nw_text_number(dxf, value, decimals);
    nw_text_add(dxf, "\n");
}

/* A vertex of a polyline; bulge is the tangent of a quarter of the angle that the arc to the next
 * vertex turns, counter-clockwise positive, 0 for a straight line. */
typedef struct {
    nw_point at;
    double bulge;
} vertex;

typedef struct {
    vertex *items;
    size_t count, capacity;
} polyline;

/* What lies at the same place once written is one vertex, with what follows the last of them:
 * readers stumble over lines without length. */
static bool add_vertex(polyline *line, nw_point at, double bulge)
{
    vertex *last = line->count ? &line->items[line->count - 1] : NULL;
    if (!last || !is_same(last->at, at))
        return nw_push(&line->items, &line->count, &line->capacity, &(vertex){at, bulge},
                       sizeof *line->items);
    last->bulge = bulge;
    return true;
}

/* Lines and arcs; of more than half a circle, two. */
static bool add_step(polyline *line, nw_point from, const nw_step *step)
{
    double turn = step->kind == NW_ARC ? nw_arc_sweep(from, step) : 0;
    if (fabs(turn) <= NW_PI)
        return add_vertex(line, from, nw_tan(turn / 4));
    return add_vertex(line, from, nw_tan(turn / 8)) &&
           add_vertex(line, nw_step_at(from, step, 0.5), nw_tan(turn / 8));
}

/* A closed one does not repeat its first vertex. */
static bool polyline_make(const nw_path *path, polyline *line)
{
    bool good = true;
    for (size_t i = 0; i < path->count && good; i++)
        good = add_step(line, nw_path_from(path, i), &path->steps[i]);
    if (!path->closed)
        return good && add_vertex(line, nw_path_from(path, path->count), 0);
    while (line->count > 1 && is_same(line->items[line->count - 1].at, line->items[0].at))
        line->count--;
    return good;
}

static void add_polyline(nw_text *dxf, const polyline *line, bool closed, nw_point origin,
                         const char *layer, unsigned handle)
{
    nw_text_format(dxf,
                   "  0\nLWPOLYLINE\n  5\n%X\n330\n" REPORT_DXF_MODEL
                   "\n100\nAcDbEntity\n  8\n%s\n100\nAcDbPolyline\n 90\n%zu\n 70\n%d\n 43\n0\n",
                   handle, layer, line->count, closed ? 1 : 0);
    for (size_t i = 0; i < line->count; i++) {
        const vertex *v = &line->items[i];
        add_real(dxf, " 10\n", v->at.x - origin.x, PLACE_DECIMALS);
        add_real(dxf, " 20\n", v->at.y - origin.y, PLACE_DECIMALS);
        if (v->bulge != 0)
            add_real(dxf, " 42\n", v->bulge, BULGE_DECIMALS);
    }
}

static bool add_path(nw_text *dxf, const nw_path *path, nw_point origin, const char *layer,
                     unsigned *handle)
{
    nw_path arcs;
    polyline line = {0};
    bool good = nw_path_arcs(path, CURVE_TOLERANCE_MM, &arcs);
    good = good && polyline_make(&arcs, &line);
    if (good && line.count >= 2)
        add_polyline(dxf, &line, path->closed, origin, layer, (*handle)++);
    nw_path_free(&arcs);
    free(line.items);
    return good;
}

static bool add_layer(nw_text *dxf, const nw_layer *layer, nw_point origin, unsigned *handle)
{
    bool good = true;
    for (size_t i = 0; i < layer->drawing->count && good; i++)
        good = add_path(dxf, &layer->drawing->paths[i], origin, layer->name, handle);
    return good;
}

nw_status nw_write_dxf(const nw_layer *layers, size_t count, const nw_point *origin, nw_text *dxf,
                       nw_error *error)
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
