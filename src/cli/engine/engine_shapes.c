/* engine_shapes: what the last fit gave to look at, as path data for SVG, y down. */
#include <cli/engine/engine_calls.h>

#include <math.h>

#define LOOSE_SKIP 0.05 /* mm: coarser than outlines, for a tint */

enum { SPOT, CORNERS, WAY, AS_CUT, TABS, BRIDGES, LOOSE };

/* The path with steps left out that end within skip (millimetres, along x and y together) of the
 * end of the last that was kept; the one after them is a line. */
static bool path_thin(const nw_path *path, double skip, nw_path *thin)
{
    *thin = (nw_path){.piece = path->piece, .closed = path->closed, .start = path->start};
    nw_point last = path->start, before = path->start;
    bool good = true;
    for (size_t i = 0; good && i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        nw_point from = before;
        before = step->to;
        if (fabs(before.x - last.x) + fabs(before.y - last.y) < skip && i + 1 < path->count)
            continue;
        bool whole = from.x == last.x && from.y == last.y;
        good = whole && step->kind == NW_ARC ? nw_path_arc(thin, step->a, step->to, step->clockwise)
                                             : nw_path_line(thin, step->to);
        last = before;
    }
    return good;
}

static void shape_add(page *p, const nw_drawing *drawing, size_t first, size_t count, double skip)
{
    static const report_frame frame = {.scale = 1};
    for (size_t k = first; k < first + count && k < drawing->count; k++) {
        nw_path thin;
        if (skip <= 0)
            nw_report_path_data(&p->text, &drawing->paths[k], 1, frame);
        else if (path_thin(&drawing->paths[k], skip, &thin))
            nw_report_path_data(&p->text, &thin, 1, frame);
        if (skip > 0)
            nw_path_free(&thin);
    }
}

/* What comes loose: rings of the region that was judged. */
static void loose_add(page *p)
{
    const nw_region *region = engine_region(p);
    const nw_loose_list *loose = &p->hold.hold.loose;
    nw_drawing drawing = {.width = 0};
    for (size_t i = 0; i < loose->count; i++) {
        size_t ring = loose->items[i].ring, first = region->starts[ring];
        nw_path path = {.closed = true, .start = region->points[first]};
        bool good = true;
        for (size_t k = first + 1; good && k < region->starts[ring + 1]; k++)
            good = nw_path_line(&path, region->points[k]);
        if (!good || !nw_drawing_add(&drawing, &path))
            nw_path_free(&path);
    }
    shape_add(p, &drawing, 0, drawing.count, LOOSE_SKIP);
    nw_drawing_free(&drawing);
}

/* spot: whose residue, for that shape. What memory does not suffice for is left out. */
const char *page_path(page *p, int shape, size_t spot, double skip)
{
    const nw_fit *fit = &p->fit;
    const nw_drawing *shapes[] = {&fit->residues,          &fit->corner_residues,
                                  &fit->bit_path,          &fit->as_cut,
                                  &p->hold.hold.tab_lines, &p->hold.hold.bridged.strips};
    nw_text_free(&p->text);
    if (shape == LOOSE)
        loose_add(p);
    else if (shape != SPOT)
        shape_add(p, shapes[shape], 0, shapes[shape]->count, skip);
    else if (spot < fit->spot_count)
        shape_add(p, shapes[shape], fit->spots[spot].residue, fit->spots[spot].residue_count, skip);
    return nw_text_string(&p->text);
}
