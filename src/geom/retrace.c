/*
 * retrace: lines along a drawing's flattened outlines -> the same with the outlines' own curves.
 *
 * The drawing is flattened again, as for the fit, and a run's points are known by their places,
 * which are the same to the last digit. Points that follow each other along one curve become that
 * curve's part between their parameters, by the blossom (Ramshaw 1987); what is not known again
 * stays a line. A run may begin and end within a chord: there its end stays as it is, within the
 * flatness of the curve.
 */
#include <geom/curves.h>
#include <geom/flattening.h>

#include <math.h>
#include <stdlib.h>

#define NONE SIZE_MAX
#define FIRST_SHARE 4096.0 /* of what is left of a step: where the search for a place begins */
#define ROUNDS 50
#define PASSES 1.5 /* times the flatness: as near as a curve passes a place on its chord */
#define TWO 2      /* places of a point: where a step begins, and where the one before it ends */

typedef struct {
    const nw_step *step;
    nw_point from;
    size_t last; /* of its path: the step before it */
} known_step;

typedef struct {
    const nw_region *region;
    const nw_step_place *places; /* of its points */
    size_t *sorted;              /* its points, by place */
    known_step *steps;
} outlines;

/* A part of a step, from one parameter to another, which is less when it runs backwards. */
typedef struct {
    size_t step; /* NONE: a line */
    double from, to;
} part;

static int by_place(nw_point a, nw_point b)
{
    return a.x != b.x ? nw_order(a.x, b.x) : nw_order(a.y, b.y);
}

/* ---- finding a point again ------------------------------------------------------------------- */

typedef struct {
    nw_point point;
    size_t index;
} indexed;

static int in_order(const void *left, const void *right)
{
    const indexed *a = left, *b = right;
    int order = by_place(a->point, b->point);
    return order ? order : (a->index > b->index) - (a->index < b->index);
}

static bool points_sort(outlines *all, size_t count)
{
    indexed *points = nw_alloc(count, sizeof *points);
    all->sorted = nw_alloc(count, sizeof *all->sorted);
    for (size_t i = 0; points && i < count; i++)
        points[i] = (indexed){all->region->points[i], i};
    if (points && all->sorted && count) {
        nw_sort(points, count, sizeof *points, in_order);
        for (size_t i = 0; i < count; i++)
            all->sorted[i] = points[i].index;
    }
    bool good = points && all->sorted;
    free(points);
    return good;
}

static bool steps_list(outlines *all, const nw_drawing *drawing, size_t count)
{
    all->steps = nw_alloc(count, sizeof *all->steps);
    size_t n = 0;
    for (size_t p = 0; all->steps && p < drawing->count; p++) {
        const nw_path *path = &drawing->paths[p];
        for (size_t i = 0, first = n; i < path->count; i++, n++) {
            all->steps[n] = (known_step){&path->steps[i], nw_path_from(path, i),
                                         i ? n - 1 : first + path->count - 1};
        }
    }
    return all->steps != NULL;
}

/* Where among the sorted points those at this place begin. */
static size_t first_at(const outlines *all, size_t count, nw_point place)
{
    size_t low = 0, high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        bool before = by_place(all->region->points[all->sorted[middle]], place) < 0;
        *(before ? &low : &high) = before ? middle + 1 : middle;
    }
    return low;
}

/* The k-th place of the point: on its step, and where it begins that, at the end of the one before.
 */
static nw_step_place place_of(const outlines *all, size_t index, int k)
{
    nw_step_place at = all->places[index];
    if (k == 0)
        return at;
    return at.t == 0 ? (nw_step_place){all->steps[at.step].last, 1} : (nw_step_place){NONE, 0};
}

/* ---- chords -> parts of steps ---------------------------------------------------------------- */

typedef struct {
    const outlines *all;
    size_t count;           /* of the region's points */
    const nw_point *points; /* of the run */
    part *parts;            /* of its chords */
} run;

/* The step that both points lie on; the one of the chord before is taken first. */
static part part_between(const run *r, nw_point p, nw_point q, size_t before)
{
    const outlines *all = r->all;
    const nw_point *points = all->region->points;
    part found = {NONE, 0, 0};
    for (size_t i = first_at(all, r->count, p);
         i < r->count && by_place(points[all->sorted[i]], p) == 0; i++) {
        for (size_t j = first_at(all, r->count, q);
             j < r->count && by_place(points[all->sorted[j]], q) == 0; j++) {
            for (int k = 0; k < TWO * TWO; k++) {
                nw_step_place a = place_of(all, all->sorted[i], k / TWO);
                nw_step_place b = place_of(all, all->sorted[j], k % TWO);
                bool good = a.step != NONE && a.step == b.step && a.t != b.t;
                if (good && (found.step == NONE || a.step == before))
                    found = (part){a.step, a.t, b.t};
            }
        }
    }
    return found;
}

/* From parameter t of the step, at place q, towards its end or its beginning: the parameter at
 * which it is as far from q as p is. */
static double parameter_beyond(const known_step *step, double t, nw_point q, nw_point p,
                               bool onward)
{
    double reach = nw_distance(p, q), room = onward ? 1 - t : t;
    double low = 0, high = room / FIRST_SHARE;
    for (int round = 0; round < ROUNDS && low < high; round++) {
        nw_point at = nw_step_at(step->from, step->step, onward ? t + high : t - high);
        if (nw_distance(at, q) >= reach || high == room)
            break;
        low = high;
        high = fmin(2 * high, room);
    }
    for (int round = 0; round < ROUNDS; round++) {
        double middle = (low + high) / 2;
        nw_point at = nw_step_at(step->from, step->step, onward ? t + middle : t - middle);
        *(nw_distance(at, q) < reach ? &low : &high) = middle;
    }
    return onward ? t + high : t - high;
}

/* The chord from the region's point q to the end p of the run, within a chord: along the curve from
 * q that passes p within the flatness. */
static part part_to_end(const run *r, nw_point q, nw_point p)
{
    const outlines *all = r->all;
    part found = {NONE, 0, 0};
    double least = PASSES * NW_FLATNESS_MM;
    for (size_t i = first_at(all, r->count, q);
         i < r->count && by_place(all->region->points[all->sorted[i]], q) == 0; i++) {
        for (int k = 0; k < TWO * TWO; k++) {
            nw_step_place from = place_of(all, all->sorted[i], k / TWO);
            bool onward = k % TWO == 0;
            if (from.step == NONE || from.t == (onward ? 1 : 0))
                continue;
            const known_step *step = &all->steps[from.step];
            double t = parameter_beyond(step, from.t, q, p, onward);
            nw_point at = nw_step_at(step->from, step->step, t);
            double aside = nw_distance(at, p);
            if (aside < least) {
                least = aside;
                found = (part){from.step, from.t, t};
            }
        }
    }
    return found;
}

static part turned(part p)
{
    return (part){p.step, p.to, p.from};
}

static void parts_find(run *r, size_t chords)
{
    size_t before = NONE;
    for (size_t k = 0; k < chords; k++) {
        r->parts[k] = part_between(r, r->points[k], r->points[k + 1], before);
        if (r->parts[k].step == NONE && k + 1 == chords)
            r->parts[k] = part_to_end(r, r->points[k], r->points[k + 1]);
        if (r->parts[k].step == NONE && k == 0)
            r->parts[k] = turned(part_to_end(r, r->points[1], r->points[0]));
        before = r->parts[k].step;
    }
}

/* ---- parts -> a path --------------------------------------------------------------------- */

static bool goes_on(part before, part p)
{
    return p.step != NONE && before.step == p.step && before.to == p.from &&
           (before.to > before.from) == (p.to > p.from);
}

/* Ends that lie on a chord take their handles along. */
static bool part_add(const outlines *all, part p, nw_point to, nw_path *path)
{
    if (p.step == NONE || all->steps[p.step].step->kind != NW_CURVE)
        return nw_path_line(path, to);
    const known_step *own = &all->steps[p.step];
    nw_point from = nw_path_from(path, path->count);
    nw_point begin = nw_step_at(own->from, own->step, p.from);
    nw_point end = nw_step_at(own->from, own->step, p.to);
    nw_point a = nw_step_blossom(own->from, own->step, p.from, p.from, p.to);
    nw_point b = nw_step_blossom(own->from, own->step, p.from, p.to, p.to);
    return nw_path_curve(path, nw_plus(a, nw_minus(from, begin), 1),
                         nw_plus(b, nw_minus(to, end), 1), to);
}

/* Where to begin: at a closed run's first part that does not go on from the one before. */
static size_t first_part(const part *parts, const nw_path *path)
{
    size_t first = 0, count = path->count;
    while (path->closed && first + 1 < count &&
           goes_on(parts[first ? first - 1 : count - 1], parts[first]))
        first++;
    return first;
}

static bool parts_write(const run *r, const nw_path *path, nw_path *made)
{
    size_t count = path->count, first = first_part(r->parts, path);
    bool good = true;
    made->start = r->points[first];
    for (size_t done = 0; good && done < count; done++) {
        size_t k = (first + done) % count;
        part whole = r->parts[k];
        for (; done + 1 < count && goes_on(whole, r->parts[(k + 1) % count]); done++) {
            k = (k + 1) % count;
            whole.to = r->parts[k].to;
        }
        good = part_add(r->all, whole, r->points[k + 1], made);
    }
    return good;
}

static bool path_retrace(const outlines *all, size_t count, nw_path *path)
{
    nw_point *points = nw_alloc(path->count + 1, sizeof *points);
    part *parts = nw_alloc(path->count, sizeof *parts);
    nw_path made = nw_path_like(path);
    bool good = points && parts;
    if (good && path->count) {
        run r = {all, count, points, parts};
        for (size_t k = 0; k <= path->count; k++)
            points[k] = nw_path_from(path, k);
        parts_find(&r, path->count);
        good = parts_write(&r, path, &made);
    }
    free(points);
    free(parts);
    if (!good) {
        nw_path_free(&made);
        return false;
    }
    nw_path_free(path);
    *path = made;
    return true;
}

static bool all_retrace(const nw_drawing *drawing, const nw_region *region,
                        const nw_step_place *places, nw_drawing *runs)
{
    size_t count = nw_region_size(region), steps = nw_drawing_steps(drawing);
    outlines all = {.region = region, .places = places};
    bool good = points_sort(&all, count) && steps_list(&all, drawing, steps);
    for (size_t p = 0; good && p < runs->count; p++)
        good = path_retrace(&all, count, &runs->paths[p]);
    free(all.sorted);
    free(all.steps);
    return good;
}

nw_status nw_drawing_retrace(const nw_drawing *drawing, nw_drawing *runs, nw_error *error)
{
    nw_drawing own;
    nw_region region;
    nw_step_place *places;
    nw_status status =
        nw_drawing_flatten_own(drawing, NW_FLATNESS_MM, &own, &region, &places, error);
    if (status != NW_OK)
        return status;
    bool good = all_retrace(&own, &region, places, runs);
    nw_drawing_free(&own);
    nw_region_free(&region);
    free(places);
    return good ? NW_OK : nw_fail_memory(error, "the curves of the outlines");
}
