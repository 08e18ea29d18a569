/*
 * uncross: outlines that cross -> the same outlines, cut where they cross and joined the other way,
 * so that they touch there. Travelling in along one and out along the other is the only way that
 * keeps every outline's direction; the rings that come out bound layers of equal winding number,
 * and those of a second layer, or of less than none, are for nw_drawing_nest to drop.
 *
 * Crossings are found on chords; a cut is made at the chord's parameter, which is close enough to
 * the curve's own, and both curves are led through the same place.
 */
#include <geom/curves.h>
#include <geom/flattening.h>
#include <geom/nesting.h>

#include <math.h>
#include <stdlib.h>

typedef struct {
    nw_step_place place;
    nw_point at;
    size_t mate;          /* the other outline's cut there */
    size_t before, after; /* parts that end and begin there */
} cut;

/* A step, or a part of one. */
typedef struct {
    nw_point from;
    nw_step step;
    size_t next;
    size_t piece, number;
    bool taken;
} part;

typedef struct {
    const nw_region *region;
    const nw_step_place *places;
    double flatness;
    cut *cuts;
    size_t cut_count;
    cut **order; /* cuts by place */
    part *parts;
    size_t part_count;
} uncrosser;

/* How far along s the other segment crosses it, 0 to 1. */
static double crossed_at(const nw_segment *s, const nw_segment *other)
{
    nw_point u = nw_minus(s->b, s->a), v = nw_minus(other->b, other->a);
    double t = nw_cross(u, v) != 0 ? nw_met_after(s->a, u, other->a, v) : 0.5;
    return fmin(1, fmax(0, t));
}

/* The point that follows point i on its ring. */
static size_t after(const nw_region *region, size_t i)
{
    size_t low = 0, high = region->count;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        *(region->starts[middle] <= i ? &low : &high) = middle;
    }
    return i + 1 < region->starts[low + 1] ? i + 1 : region->starts[low];
}

static nw_segment chord(const nw_region *region, size_t i)
{
    return (nw_segment){.a = region->points[i], .b = region->points[after(region, i)]};
}

/* The place on the drawing at part t of chord i. */
static nw_step_place place_on(const uncrosser *u, size_t i, double t)
{
    nw_step_place from = u->places[i], to = u->places[after(u->region, i)];
    double end = to.step == from.step && to.t > from.t ? to.t : 1;
    return (nw_step_place){from.step, from.t + t * (end - from.t)};
}

static void cuts_make(uncrosser *u, const nw_crossings *pairs)
{
    for (size_t k = 0; k < pairs->count; k++) {
        size_t i = pairs->items[k].i, j = pairs->items[k].j;
        nw_segment p = chord(u->region, i), q = chord(u->region, j);
        double t = crossed_at(&p, &q);
        nw_point at = nw_between(p.a, p.b, t);
        u->cuts[2 * k] = (cut){.place = place_on(u, i, t), .at = at, .mate = 2 * k + 1};
        u->cuts[2 * k + 1] =
            (cut){.place = place_on(u, j, crossed_at(&q, &p)), .at = at, .mate = 2 * k};
    }
    u->cut_count = 2 * pairs->count;
}

static int by_place(const void *p, const void *q)
{
    const cut *a = *(cut *const *)p, *b = *(cut *const *)q;
    return a->place.step != b->place.step ? nw_order((double)a->place.step, (double)b->place.step)
                                          : nw_order(a->place.t, b->place.t);
}

static size_t add_part(uncrosser *u, nw_point from, nw_step step, const nw_path *of)
{
    u->parts[u->part_count] =
        (part){.from = from, .step = step, .piece = of->piece, .number = of->number};
    u->parts[u->part_count].next = u->part_count + 1;
    return u->part_count++;
}

/* Adds the parts of one step; *next_cut runs through the sorted cuts. */
static void cut_step(uncrosser *u, nw_point from, nw_step step, size_t number, const nw_path *of,
                     size_t *next_cut)
{
    double done = 0;
    for (; *next_cut < u->cut_count; ++*next_cut) {
        cut *c = u->order[*next_cut];
        if (c->place.step != number)
            break;
        double t = done < 1 ? (c->place.t - done) / (1 - done) : 1;
        nw_point start = from;
        nw_step head = nw_step_split(from, &step, t);
        head.to = from = c->at;
        c->before = add_part(u, start, head, of);
        c->after = u->part_count;
        done = c->place.t;
    }
    add_part(u, from, step, of);
}

static void cut_paths(uncrosser *u, const nw_drawing *drawing)
{
    size_t number = 0, next_cut = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        size_t first = u->part_count;
        for (size_t k = 0; k < path->count; k++, number++)
            if (path->closed)
                cut_step(u, nw_path_from(path, k), path->steps[k], number, path, &next_cut);
        if (u->part_count > first)
            u->parts[u->part_count - 1].next = first;
    }
    for (size_t i = 0; i < u->cut_count; i++)
        u->parts[u->cuts[i].before].next = u->cuts[u->cuts[i].mate].after;
}

/* Is it smaller than what chords leave of a curve? */
static bool is_speck(const uncrosser *u, const nw_path *path)
{
    nw_box box = nw_path_box(path);
    return fmax(nw_box_width(box), nw_box_height(box)) < u->flatness;
}

/* Follows the parts round into new paths; where curves cross at a node they leave specks. */
static bool join_parts(uncrosser *u, nw_drawing *out)
{
    bool good = true;
    for (size_t i = 0; i < u->part_count && good; i++) {
        nw_path path = {.start = u->parts[i].from,
                        .closed = true,
                        .piece = u->parts[i].piece,
                        .number = u->parts[i].number};
        for (size_t k = i; !u->parts[k].taken; k = u->parts[k].next) {
            u->parts[k].taken = true;
            good = good && nw_path_add(&path, &u->parts[k].step);
        }
        good = good && (!path.count || is_speck(u, &path) || nw_drawing_add(out, &path));
        nw_path_free(&path);
    }
    return good;
}

/* The drawing with all crossings that were collected taken apart; open paths move over. */
static bool rebuild(uncrosser *u, nw_drawing *drawing)
{
    nw_drawing out = {
        .width = drawing->width, .height = drawing->height, .placed = drawing->placed};
    u->order = nw_alloc(u->cut_count, sizeof *u->order);
    u->parts = nw_alloc(nw_drawing_steps(drawing) + u->cut_count, sizeof *u->parts);
    bool done = u->order && u->parts;
    if (done) {
        for (size_t i = 0; i < u->cut_count; i++)
            u->order[i] = &u->cuts[i];
        nw_sort(u->order, u->cut_count, sizeof *u->order, by_place);
        cut_paths(u, drawing);
        done = join_parts(u, &out);
    }
    for (size_t i = 0; done && i < drawing->count; i++)
        done = drawing->paths[i].closed || nw_drawing_add(&out, &drawing->paths[i]);
    free(u->order);
    free(u->parts);
    if (!done) {
        nw_drawing_free(&out);
        return false;
    }
    nw_drawing_free(drawing);
    *drawing = out;
    return true;
}

static const int MOST_ROUNDS = 4; /* leading curves through one place may make new crossings */

/* One round: finds the crossings, and takes them apart unless there are `most` or more. *left tells
 * how many were found, *done whether nothing is to do any more. */
static nw_status uncross_once(nw_drawing *drawing, nw_first_chords *first, size_t most,
                              size_t *left, bool *done, nw_error *error)
{
    nw_region region;
    nw_step_place *places;
    nw_crossings pairs = {0};
    nw_status status = nw_first_chords_part(first, 2, &region, &places, &pairs, left, error);
    *done = *left == 0 || *left >= most;
    if (status == NW_OK && !*done) {
        uncrosser u = {.region = &region, .places = places, .flatness = first->flatness};
        u.cuts = nw_alloc(2 * pairs.count, sizeof *u.cuts);
        if (u.cuts)
            cuts_make(&u, &pairs);
        if (!u.cuts || !rebuild(&u, drawing))
            status = nw_fail_memory(error, "the crossings of outlines");
        free(u.cuts);
    }
    free(pairs.items);
    free(places);
    nw_region_free(&region);
    return status;
}

nw_status nw_drawing_uncross_from(nw_drawing *drawing, nw_first_chords *first, size_t *left,
                                  bool *apart, nw_error *error)
{
    nw_drawing before = {0};
    nw_first_chords later = {0};
    double flatness = first->flatness;
    size_t last = SIZE_MAX;
    nw_status status = NW_OK;
    bool done = false;
    for (int round = 0; status == NW_OK && !done; round++) {
        nw_drawing copy = {0};
        nw_first_chords *chords = round ? &later : first;
        if (round)
            status = nw_first_chords_make(chords, drawing, flatness, error);
        if (status == NW_OK)
            status = nw_drawing_copy(drawing, &copy, error);
        if (status == NW_OK) {
            status =
                uncross_once(drawing, chords, round < MOST_ROUNDS ? last : 0, left, &done, error);
        }
        *apart = status == NW_OK && chords->crossings == 0;
        bool worse = status == NW_OK && round > 0 && *left >= last;
        if (worse) { /* where many outlines meet in one place, cuts make more crossings */
            nw_drawing_free(drawing);
            *drawing = before;
            *left = last;
            before = (nw_drawing){0};
        }
        last = *left;
        nw_drawing_free(&before);
        before = copy;
        nw_first_chords_free(&later);
    }
    nw_drawing_free(&before);
    return status;
}

nw_status nw_drawing_uncross(nw_drawing *drawing, double flatness, size_t *left, nw_error *error)
{
    nw_first_chords first;
    bool apart;
    nw_status status = nw_first_chords_make(&first, drawing, flatness, error);
    if (status == NW_OK)
        status = nw_drawing_uncross_from(drawing, &first, left, &apart, error);
    nw_first_chords_free(&first);
    return status;
}
