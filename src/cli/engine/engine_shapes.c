/* engine_shapes: what the last fit gave to look at, as path data for SVG, y down. */
#include <cli/engine/engine_calls.h>

#include <math.h>

#define LOOSE_SKIP 0.05 /* mm: coarser than outlines, for a tint */

#define MOST_LINES 100 /* for an arc: its whole turn, within a 2000th of its radius */
#define MOST_DECIMALS 4

enum { GAPS, NECKS, CORNERS, WAY, AS_CUT, TABS, BRIDGES, LOOSE };

/* y down. */
static void add_place(nw_text *text, nw_point place, int decimals)
{
    nw_text_number(text, place.x, decimals);
    nw_text_add(text, " ");
    nw_text_number(text, -place.y, decimals);
    nw_text_add(text, " ");
}

/* In how many lines the step leaves them by less than skip: of an arc, radius (1 - cos(turn / 2))
 * is less than radius turn^2 / 8. */
static size_t lines_for(nw_point from, const nw_step *step, double skip)
{
    if (step->kind != NW_ARC)
        return 1;
    double turn = fabs(nw_arc_sweep(from, step)), radius = nw_distance(from, step->a);
    return (size_t)fmin(1 + turn * sqrt(radius / (8 * skip)), MOST_LINES);
}

/* The path in lines; what ends within skip (millimetres, along x and y together) of the line
 * before is left out. */
static void add_coarse(nw_text *text, const nw_path *path, double skip)
{
    int decimals = 1;
    for (double unit = skip; unit < 1 && decimals < MOST_DECIMALS; unit *= 10)
        decimals++;
    nw_point last = path->start, from = last;
    nw_text_add(text, "M");
    add_place(text, last, decimals);
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        size_t lines = lines_for(from, step, skip);
        for (size_t k = 1; k <= lines; k++) {
            nw_point to = k < lines ? nw_step_at(from, step, (double)k / (double)lines) : step->to;
            bool end = i + 1 == path->count && k == lines;
            if (!end && fabs(to.x - last.x) + fabs(to.y - last.y) < skip)
                continue;
            add_place(text, to, decimals); /* after M these are lines */
            last = to;
        }
        from = step->to;
    }
    if (path->closed)
        nw_text_add(text, "Z");
}

static void shape_add(page *p, const nw_drawing *drawing, size_t first, size_t count, double skip)
{
    static const report_frame frame = {.scale = 1};
    for (size_t k = first; k < first + count && k < drawing->count; k++)
        if (skip > 0)
            add_coarse(&p->text, &drawing->paths[k], skip);
        else
            nw_report_path_data(&p->text, &drawing->paths[k], 1, frame);
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

static void spots_add(page *p, nw_side side, double skip)
{
    const nw_fit *fit = &p->fit;
    for (size_t i = 0; i < fit->spot_count; i++)
        if (fit->spots[i].side == side)
            shape_add(p, &fit->residues, fit->spots[i].residue, fit->spots[i].residue_count, skip);
}

/* What memory does not suffice for is left out. */
const char *page_path(page *p, int shape, double skip)
{
    const nw_fit *fit = &p->fit;
    const nw_drawing *shapes[] = {[CORNERS] = &fit->corner_residues,
                                  [WAY] = &fit->bit_path,
                                  [AS_CUT] = &fit->as_cut,
                                  [TABS] = &p->hold.hold.tab_lines,
                                  [BRIDGES] = &p->hold.hold.bridged.strips};
    nw_text_free(&p->text);
    if (shape == LOOSE)
        loose_add(p);
    else if (shape == GAPS || shape == NECKS)
        spots_add(p, shape == GAPS ? NW_GAP : NW_NECK, skip);
    else
        shape_add(p, shapes[shape], 0, shapes[shape]->count, skip);
    return nw_text_string(&p->text);
}
