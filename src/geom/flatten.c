/*
 * flatten: curves and arcs -> chords that stay within a given distance of them.
 *
 * A cubic Bézier with control points p0 to p3, cut into n equal steps of its parameter, is within
 * L / (8 n²) of its chords, L the bound 6 max(|p0 - 2 p1 + p2|, |p1 - 2 p2 + p3|) of its second
 * derivative (Sederberg, CAGD course notes, 10.6, from memory). An arc of radius r cut into pieces
 * of angle w is within r (1 - cos(w / 2)) of them.
 *
 * Where curves run so close that their chords cross, those curves are cut finer and finer until
 * the chords part again. Curves that truly cross are for clean_region.c.
 */
#include <geom/box_tree.h>
#include <geom/curves.h>
#include <geom/flattening.h>

#include <math.h>
#include <stdlib.h>

static const double MAX_STEPS = 65536; /* chords per step: more would be a defect upstream */

static size_t chord_count(nw_point from, const nw_step *step, double flatness)
{
    double n = 1;
    if (step->kind == NW_CURVE) {
        double most = 6 * fmax(nw_second_difference(from, step->a, step->b),
                               nw_second_difference(step->a, step->b, step->to));
        n = ceil(sqrt(most / (8 * flatness)));
    } else if (step->kind == NW_ARC) {
        double radius = nw_distance(from, step->a);
        double width = 2 * nw_acos(fmax(1 - flatness / fmax(radius, flatness), 0.5));
        n = ceil(fabs(nw_arc_sweep(from, step)) / width);
    }
    return n > MAX_STEPS ? (size_t)MAX_STEPS : n > 1 ? (size_t)n : 1;
}

/* While flattening: for every step (counted through all paths) how much finer than asked it has to
 * be, and for every point the step that it belongs to. */
typedef struct {
    nw_region_builder builder;
    double flatness;
    uint8_t *finer; /* powers of four */
    nw_step_place *owners;
    size_t owner_capacity, step;
} flattener;

static bool add_point(flattener *f, nw_point point, double t)
{
    size_t index = f->builder.point_count;
    if (!nw_grow(&f->owners, &f->owner_capacity, index + 1, sizeof *f->owners) ||
        !nw_region_add_point(&f->builder, point))
        return false;
    if (f->builder.point_count > index)
        f->owners[index] = (nw_step_place){f->step, t};
    return true;
}

static bool flatten_path(flattener *f, const nw_path *path)
{
    if (!nw_region_begin_ring(&f->builder, path->piece))
        return false;
    for (size_t i = 0; i < path->count; i++, f->step++) {
        const nw_step *step = &path->steps[i];
        nw_point from = nw_path_from(path, i);
        size_t n = chord_count(from, step, ldexp(f->flatness, -2 * f->finer[f->step]));
        for (size_t k = 0; k < n; k++) {
            double t = (double)k / (double)n;
            if (!add_point(f, k ? nw_step_at(from, step, t) : from, t))
                return false;
        }
    }
    nw_region_end_ring(&f->builder);
    return true;
}

static bool flatten_all(flattener *f, const nw_drawing *drawing)
{
    nw_region_free(&f->builder.region);
    f->builder = (nw_region_builder){0};
    f->step = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        if (!path->closed)
            f->step += path->count;
        else if (!flatten_path(f, path))
            return false;
    }
    return true;
}

static bool refine(void *context, size_t i, size_t j)
{
    flattener *f = context;
    f->finer[f->owners[i].step] |= 0x80;
    f->finer[f->owners[j].step] |= 0x80;
    return true;
}

/* Marked steps become finer by one power of sixteen. */
static void settle_marks(flattener *f, size_t steps)
{
    for (size_t i = 0; i < steps; i++)
        if (f->finer[i] & 0x80)
            f->finer[i] = (uint8_t)((f->finer[i] & 0x7f) + 2);
}

static bool flatten_apart(flattener *f, const nw_drawing *drawing, int rounds, size_t *crossings)
{
    size_t steps = nw_drawing_steps(drawing);
    if (!rounds)
        return flatten_all(f, drawing);
    *crossings = 0;
    for (int round = 0; round < rounds; round++) {
        nw_segment_tree tree;
        if (!flatten_all(f, drawing) || !nw_segment_tree_make(&tree, &f->builder.region))
            return false;
        *crossings = nw_crossings_find(&tree, &f->builder.region, refine, f);
        nw_segment_tree_free(&tree);
        if (!*crossings)
            return true;
        settle_marks(f, steps);
    }
    return true;
}

nw_status nw_drawing_flatten_places(const nw_drawing *drawing, double flatness, int rounds,
                                    nw_region *region, nw_step_place **places, size_t *crossings,
                                    nw_error *error)
{
    *region = (nw_region){0};
    if (places)
        *places = NULL;
    if (!(flatness > 0))
        return nw_fail(error, NW_BAD_REQUEST, "flatness must be positive");
    flattener f = {.flatness = flatness, .finer = nw_alloc(nw_drawing_steps(drawing), 1)};
    bool done = f.finer && flatten_apart(&f, drawing, rounds, crossings);
    free(f.finer);
    if (!done) {
        free(f.owners);
        nw_region_free(&f.builder.region);
        return nw_fail_memory(error, "the flattened outlines");
    }
    *region = f.builder.region;
    if (places)
        *places = f.owners;
    else
        free(f.owners);
    return NW_OK;
}
