/*
 * solid against GEOS on thousands of paintings: real drawings laid over one another (words of type
 * and, where Debian's openclipart-svg is installed, clip art), and random ones, some of them on a
 * lattice so coarse that edges coincide and corners lie on edges. Curves are chords for both, so
 * the areas must be the same.
 *
 *   - The areas are within 1e-6 of what GEOS has.
 *   - GEOS says the result is valid: no crossings, holes inside, pieces apart. Where corners that
 *     come back to the last digit lie on edges by less than a cell of the grid, edges cross by less
 *     than that instead; in no more than one painting of fifty.
 *   - No place where the two differ is wider than the flatness; what is thinner may be left out.
 *
 * Where they differ, winding numbers at the place tell who is wrong. GEOS's failures, mostly to
 * node what coincides, are counted and must stay rare.
 */
#include "drawings.h"
#include "painted.h"
#include "second.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RANDOM 2400
#define REAL 600
#define SHARE 1e-6
#define THIN_MM 0.002
#define CELL_MM 1e-6
#define SAMPLED 25 /* every so many in the quick run */

static int tests, failures;
static uint64_t state;

/* Knuth's constants for 64 bits. */
static double uniform(void)
{
    state = state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return (double)(state >> 11) * 0x1p-53;
}

static size_t below(size_t count)
{
    return (size_t)(uniform() * (double)count);
}

/* ---- paintings ------------------------------------------------------------------------------- */

/* A place within 100 mm; on a lattice of so many places a side if that is not 0. */
static nw_point place(size_t lattice)
{
    nw_point p = {100 * uniform(), 100 * uniform()};
    if (lattice) {
        double step = 100 / (double)lattice;
        p = (nw_point){round(p.x / step) * step, round(p.y / step) * step};
    }
    return p;
}

static void line(nw_path *path, nw_point to)
{
    if (!nw_path_line(path, to))
        abort();
}

static void outline_add(nw_paint_shape *shape, nw_path *path)
{
    path->closed = true;
    if (!nw_drawing_add(&shape->outline, path))
        abort();
}

static nw_paint_shape shape_random(size_t lattice)
{
    nw_paint_shape shape = {.even_odd = below(2)};
    size_t rings = 1 + below(3);
    for (size_t r = 0; r < rings; r++) {
        nw_path path = {.start = place(lattice)};
        size_t corners = 2 + below(lattice ? 12 : 20);
        for (size_t i = 0; i < corners; i++)
            line(&path, place(lattice));
        outline_add(&shape, &path);
    }
    return shape;
}

/* The drawing's chords, turned and moved by what is drawn by lot. */
static nw_paint_shape shape_real(const nw_region *region)
{
    nw_paint_shape shape = {.even_odd = true};
    double turn = below(3) ? 6.28 * uniform() : 0, c = cos(turn), s = sin(turn);
    nw_point by = {below(3) ? 40 * uniform() : 0, below(3) ? 40 * uniform() : 0};
    for (size_t k = 0; k < region->count; k++) {
        nw_path path = {0};
        for (size_t i = region->starts[k]; i < region->starts[k + 1]; i++) {
            nw_point p = region->points[i];
            p = (nw_point){p.x * c - p.y * s + by.x, p.x * s + p.y * c + by.y};
            if (i == region->starts[k])
                path.start = p;
            else
                line(&path, p);
        }
        outline_add(&shape, &path);
    }
    return shape;
}

static void shapes_add(nw_paint_shapes *shapes, nw_paint_shape shape)
{
    if (!nw_paint_shapes_add(shapes, &shape))
        abort();
}

/* Half the paintings have clips, a second one within the first. */
static void clips_add(nw_painting *p, size_t lattice)
{
    static nw_paint_clip none;
    if (below(2))
        return;
    p->clips = calloc(2, sizeof *p->clips);
    p->clip_count = p->clip_capacity = 2;
    for (size_t i = 0; i < 2; i++) {
        p->clips[i] = none;
        p->clips[i].parent = i;
        shapes_add(&p->clips[i].shapes, shape_random(lattice));
        shapes_add(&p->clips[i].shapes, shape_random(lattice));
        p->clips[i].shapes.items[1].clip = i;
    }
}

static nw_painting painting_make(size_t number, const nw_region *regions, size_t region_count)
{
    static const size_t lattices[] = {0, 5, 12, 0, 40};
    nw_painting p = {0};
    size_t lattice = lattices[number % 5], shapes = 1 + below(6);
    clips_add(&p, region_count ? 0 : lattice);
    for (size_t i = 0; i < shapes; i++) {
        nw_paint_shape shape = region_count
                                   ? shape_real(&regions[(number + i * below(3)) % region_count])
                                   : shape_random(lattice);
        shape.paint = i && below(3) == 0 ? PAINT_PAPER : PAINT_INK;
        shape.clip = p.clip_count ? below(3) : 0;
        shapes_add(&p.shapes, shape);
    }
    return p;
}

/* ---- comparing ------------------------------------------------------------------------------- */

typedef struct {
    size_t good, invalid, geos_failed;
    double most_area, deepest;
} tally;

typedef struct {
    nw_point p, q;
} edge;

static double side_of(edge e, nw_point at)
{
    double dx = e.q.x - e.p.x, dy = e.q.y - e.p.y;
    return (dx * (at.y - e.p.y) - dy * (at.x - e.p.x)) / hypot(dx, dy);
}

/* By how much two edges cross: the least that one end had to move. */
static double depth_of(edge e, edge f)
{
    if (fmax(e.p.x, e.q.x) < fmin(f.p.x, f.q.x) || fmax(f.p.x, f.q.x) < fmin(e.p.x, e.q.x) ||
        fmax(e.p.y, e.q.y) < fmin(f.p.y, f.q.y) || fmax(f.p.y, f.q.y) < fmin(e.p.y, e.q.y))
        return 0;
    double a = side_of(e, f.p), b = side_of(e, f.q), c = side_of(f, e.p), d = side_of(f, e.q);
    return a * b < 0 && c * d < 0 ? fmin(fmin(fabs(a), fabs(b)), fmin(fabs(c), fabs(d))) : 0;
}

static double deepest_crossing(const nw_drawing *drawing)
{
    size_t count = 0;
    edge *edges = calloc(drawing_steps(drawing) + 1, sizeof *edges);
    double deepest = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_point from = drawing->paths[i].start;
        for (size_t k = 0; k < drawing->paths[i].count; from = edges[count++].q, k++) {
            edges[count] = (edge){from, drawing->paths[i].steps[k].to};
            for (size_t j = 0; j < count; j++)
                deepest = fmax(deepest, depth_of(edges[count], edges[j]));
        }
    }
    free(edges);
    return deepest;
}

static double area_of(GEOSGeometry *geometry)
{
    double area = 0;
    if (geometry)
        GEOSArea(geometry, &area);
    GEOSGeom_destroy(geometry);
    return area;
}

/* Whether GEOS is wrong in all places where the two differ: winding numbers tell. */
static bool geos_is_wrong(const nw_painting *p, const nw_drawing *drawing,
                          const GEOSGeometry *apart)
{
    nw_paint_shape shape = {.outline = *drawing};
    nw_painting own = {.shapes = {&shape, 1, 1}};
    bool wrong = true;
    for (int i = 0; i < GEOSGetNumGeometries(apart) && wrong; i++) {
        GEOSGeometry *inner = GEOSPointOnSurface(GEOSGetGeometryN(apart, i));
        nw_point at = {0, 0};
        GEOSGeomGetX(inner, &at.x);
        GEOSGeomGetY(inner, &at.y);
        wrong = painted_at(p, at) == painted_at(&own, at);
        GEOSGeom_destroy(inner);
    }
    return wrong;
}

static void judge(const nw_painting *p, const nw_drawing *drawing, const char *name, size_t number,
                  tally *t)
{
    bool valid;
    GEOSGeometry *other = painted_area(p, 0.001), *own = painted_drawing(drawing, &valid);
    GEOSGeometry *apart = other && own ? GEOSSymDifference(other, own) : NULL;
    GEOSGeometry *wide = apart ? GEOSBuffer(apart, -THIN_MM / 2, 4) : NULL;
    double area = 0, deep = valid ? 0 : deepest_crossing(drawing);
    if (wide && GEOSisEmpty(wide) == 0 && !geos_is_wrong(p, drawing, wide)) {
        /* Its difference may be the wrong one: once more, on a lattice. */
        GEOSGeom_destroy(apart);
        GEOSGeom_destroy(wide);
        apart = GEOSSymDifferencePrec(other, own, 10 * CELL_MM);
        wide = apart ? GEOSBuffer(apart, -THIN_MM / 2, 4) : NULL;
    }
    bool failed = !wide || (GEOSisEmpty(wide) == 0 && geos_is_wrong(p, drawing, wide));
    t->geos_failed += failed;
    t->deepest = fmax(t->deepest, deep);
    t->invalid += !valid;
    if (!failed) {
        GEOSArea(other, &area);
        double off = fabs(nw_drawing_area(drawing) - area) / fmax(area, 1);
        bool good = off <= SHARE && GEOSisEmpty(wide) == 1 && deep <= CELL_MM;
        t->most_area = fmax(t->most_area, off);
        t->good += good;
        if (!good) {
            printf("# %s %zu: area %.9f, not %.9f; differs by %g where it is wide; crosses by %g\n",
                   name, number, nw_drawing_area(drawing), area, area_of(wide), deep);
            wide = NULL;
        }
    }
    GEOSGeom_destroy(other);
    GEOSGeom_destroy(own);
    GEOSGeom_destroy(apart);
    GEOSGeom_destroy(wide);
}

static void compare(const nw_painting *p, const char *name, size_t number, tally *t)
{
    nw_drawing drawing;
    nw_error error;
    if (nw_painting_unite(p, &drawing, NULL, &error) != NW_OK) {
        printf("# %s %zu: %s\n", name, number, error.message);
        return;
    }
    judge(p, &drawing, name, number, t);
    nw_drawing_free(&drawing);
}

static void compare_all(const char *name, size_t count, const nw_region *regions,
                        size_t region_count)
{
    tally t = {0};
    size_t done = 0, step = getenv("NARROWS_TEST_ALL") ? 1 : SAMPLED;
    for (size_t i = 0; i < count; i += step, done++) {
        state = i + 1;
        nw_painting p = painting_make(i / step, regions, region_count);
        compare(&p, name, i, &t);
        nw_painting_free(&p);
    }
    printf("# %s: %zu of %zu the same, GEOS failed on %zu; areas differ by up to %.1e; %zu not "
           "valid, edges cross by up to %.1e\n",
           name, t.good, done, t.geos_failed, t.most_area, t.invalid, t.deepest);
    bool good = done && t.good + t.geos_failed == done && 25 * t.geos_failed <= done &&
                50 * t.invalid <= done;
    failures += !good;
    printf("%s %d %s paintings are as GEOS has them\n", good ? "ok" : "not ok", ++tests, name);
}

int main(void)
{
    second_start();
    compare_all("random", RANDOM, NULL, 0);
    real_drawings real = drawings_read(60, 60, 80, 1500);
    nw_region *regions = calloc(real.count + 1, sizeof *regions);
    for (size_t i = 0; i < real.count; i++)
        if (nw_drawing_flatten(&real.items[i].drawing, NW_FLATNESS_MM, &regions[i], NULL))
            abort();
    if (real.count)
        compare_all("real", REAL, regions, real.count);
    for (size_t i = 0; i < real.count; i++)
        nw_region_free(&regions[i]);
    free(regions);
    drawings_free(&real);
    printf("1..%d\n", tests);
    return failures != 0;
}
