/*
 * flatten: curves and arcs -> chords that stay within a given distance of them.
 *
 * A cubic Bézier with control points p0 to p3, cut into n equal steps of its parameter, is within
 * L / (8 n²) of its chords, L the bound 6 max(|p0 - 2 p1 + p2|, |p1 - 2 p2 + p3|) of its second
 * derivative (Sederberg, CAGD course notes, 10.6, from memory). An arc of radius r cut into pieces
 * of angle w is within r (1 - cos(w / 2)) of them.
 *
 * Where curves run so close that their chords cross, those curves are cut finer and finer until
 * the chords part again. Only what became finer, and what lies beside it, is looked at again: the
 * tree of the first chords tells. Curves that truly cross are for clean_region.c.
 */
#include <geom/box_tree.h>
#include <geom/curves.h>
#include <geom/flattening.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CROSSED 0x80 /* in a step's byte, beside how much finer it is */
#define STRAY 3.0    /* times the flatness: two chords, twice drawn, moved apart by less */
#define MANY 8       /* where more than one chord in so many crosses, all are looked at */

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
    nw_crossings *pairs; /* that are found, or NULL */
    bool failed;
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

static bool crossing_take(void *context, size_t i, size_t j)
{
    flattener *f = context;
    f->finer[f->owners[i].step] |= CROSSED;
    f->finer[f->owners[j].step] |= CROSSED;
    f->failed = f->pairs && !nw_push(&f->pairs->items, &f->pairs->count, &f->pairs->capacity,
                                     &(nw_crossing){i, j}, sizeof *f->pairs->items);
    return !f->failed;
}

/* Steps that cross others become finer by one power of sixteen. */
static void settle_crossed(flattener *f, size_t steps)
{
    for (size_t i = 0; i < steps; i++)
        if (f->finer[i] & CROSSED)
            f->finer[i] = (uint8_t)((f->finer[i] & ~CROSSED) + 2);
}

/* Marks the steps whose chords may come to cross others when those that cross now become finer. */
static void near_mark(const flattener *f, const nw_first_chords *first, bool *near)
{
    const nw_segment_tree *tree = &first->tree;
    for (size_t i = 0; i < tree->count; i++) {
        const nw_segment *s = &tree->segments[i];
        if (!(f->finer[first->places[i].step] & CROSSED))
            continue;
        nw_walk walk;
        uint32_t j;
        nw_walk_start(&walk, &tree->tree, nw_box_of(s->a, s->b, STRAY * f->flatness), s->a);
        while (nw_walk_next(&walk, &j))
            near[first->places[j].step] = true;
    }
}

static size_t crossed_count(const flattener *f, const nw_first_chords *first)
{
    size_t count = 0;
    for (size_t i = 0; i < first->tree.count; i++)
        count += (f->finer[first->places[i].step] & CROSSED) != 0;
    return count;
}

/* The crossings of the chords of marked steps (NULL: of all). */
static bool near_cross(flattener *f, const bool *near, size_t *crossings)
{
    nw_segment_tree tree;
    size_t count = 0;
    uint32_t *which = near ? nw_alloc(f->builder.point_count, sizeof *which) : NULL;
    if (near && !which)
        return false;
    for (size_t i = 0; near && i < f->builder.point_count; i++)
        if (near[f->owners[i].step])
            which[count++] = (uint32_t)i;
    if (f->pairs)
        f->pairs->count = 0;
    bool good = nw_segment_tree_some(&tree, &f->builder.region, which, count);
    if (good)
        *crossings = nw_crossings_find(&tree, &f->builder.region, crossing_take, f);
    nw_segment_tree_free(&tree);
    free(which);
    return good && !f->failed;
}

/* One more round. near: room for a mark a step. */
static bool round_flatten(flattener *f, const nw_first_chords *first, bool *near, size_t *crossings)
{
    size_t steps = nw_drawing_steps(first->drawing);
    bool many = crossed_count(f, first) > first->tree.count / MANY;
    memset(near, 0, steps);
    if (!many)
        near_mark(f, first, near);
    settle_crossed(f, steps);
    return flatten_all(f, first->drawing) && near_cross(f, many ? NULL : near, crossings);
}

static void flattener_free(flattener *f)
{
    nw_region_free(&f->builder.region);
    free(f->owners);
    free(f->finer);
}

/* All of the drawing, each step as coarse as the flatness lets it be. */
static nw_status flatten_first(flattener *f, const nw_drawing *drawing, double flatness,
                               nw_error *error)
{
    if (!(flatness > 0))
        return nw_fail(error, NW_BAD_REQUEST, "flatness must be positive");
    *f = (flattener){.flatness = flatness, .finer = nw_alloc(nw_drawing_steps(drawing), 1)};
    if (f->finer && flatten_all(f, drawing))
        return NW_OK;
    flattener_free(f);
    return nw_fail_memory(error, "the flattened outlines");
}

void nw_first_chords_free(nw_first_chords *first)
{
    nw_region_free(&first->region);
    nw_segment_tree_free(&first->tree);
    free(first->places);
    free(first->crossed);
    *first = (nw_first_chords){0};
}

nw_status nw_first_chords_make(nw_first_chords *first, const nw_drawing *drawing, double flatness,
                               nw_error *error)
{
    flattener f;
    *first = (nw_first_chords){.drawing = drawing, .flatness = flatness};
    nw_status status = flatten_first(&f, drawing, flatness, error);
    if (status != NW_OK)
        return status;
    if (!nw_segment_tree_make(&first->tree, &f.builder.region)) {
        flattener_free(&f);
        return nw_fail_memory(error, "the flattened outlines");
    }
    first->crossings = nw_crossings_find(&first->tree, &f.builder.region, crossing_take, &f);
    first->region = f.builder.region;
    first->places = f.owners;
    first->crossed = f.finer;
    return NW_OK;
}

nw_status nw_first_chords_part(nw_first_chords *first, int rounds, nw_region *region,
                               nw_step_place **places, nw_crossings *pairs, size_t *crossings,
                               nw_error *error)
{
    size_t steps = nw_drawing_steps(first->drawing);
    flattener f = {.flatness = first->flatness, .finer = nw_alloc(steps, 1), .pairs = pairs};
    bool *near = nw_alloc(steps, sizeof *near), good = f.finer && near;
    *crossings = first->crossings;
    if (good)
        memcpy(f.finer, first->crossed, steps);
    for (int round = 1; good && *crossings && round < rounds; round++)
        good = round_flatten(&f, first, near, crossings);
    free(near);
    if (!good) {
        flattener_free(&f);
        *region = (nw_region){0};
        *places = NULL;
        return nw_fail_memory(error, "the flattened outlines");
    }
    bool drawn = f.owners != NULL;
    *region = drawn ? f.builder.region : first->region;
    *places = drawn ? f.owners : first->places;
    if (!drawn) {
        first->region = (nw_region){0};
        first->places = NULL;
    }
    free(f.finer);
    return NW_OK;
}

/* Without a look at what crosses. */
static nw_status flatten_plain(const nw_drawing *drawing, double flatness, nw_region *region,
                               nw_step_place **places, nw_error *error)
{
    flattener f;
    nw_status status = flatten_first(&f, drawing, flatness, error);
    if (status != NW_OK)
        return status;
    *region = f.builder.region;
    *places = f.owners;
    free(f.finer);
    return NW_OK;
}

nw_status nw_drawing_flatten_places(const nw_drawing *drawing, double flatness, int rounds,
                                    nw_region *region, nw_step_place **places, size_t *crossings,
                                    nw_error *error)
{
    nw_first_chords first = {0};
    nw_step_place *own = NULL;
    *region = (nw_region){0};
    nw_status status = rounds ? nw_first_chords_make(&first, drawing, flatness, error)
                              : flatten_plain(drawing, flatness, region, &own, error);
    if (rounds && status == NW_OK)
        status = nw_first_chords_part(&first, rounds, region, &own, NULL, crossings, error);
    nw_first_chords_free(&first);
    if (places)
        *places = own;
    else
        free(own);
    return status;
}
