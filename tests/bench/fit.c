/*
 * The fit stage against two other ways to the same opening, on the same outlines in the same run:
 * GEOS's buffer(-r) then buffer(r), and exact distance transforms on a grid of r/12. And how its
 * cost grows with the number of segments, and of pieces. Ratios above 1 mean that the fit is
 * faster.
 */
#include "bench.h"
#include "grid.h"
#include "outlines.h"
#include "pictures.h"
#include "second.h"
#include "shapes.h"

#include <fit/fit.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define GEOS_QUAD_SEGS 48
#define GRID_PER_RADIUS 12
#define WIDE_MM 120.0
#define SCAN_SIDE 2000

static const double bits[] = {0.8, 3.175, 6.35};
#define BITS (sizeof bits / sizeof *bits)

typedef struct {
    const nw_region *region;
    GEOSGeometry *area, *rest;
    double d;
    int threads;
} task;

/* The whole fit of one bit: gaps and necks. */
static void run_fit(void *context)
{
    const task *t = context;
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_INSIDE;
    options.bit = options.neck = t->d;
    options.threads = t->threads;
    nw_fit fit = shape_fit(t->region, &options);
    nw_fit_free(&fit);
}

/* The openings of the cut area and of the kept area: both sides, as the fit does, but without
 * telling spots. */
static void run_geos(void *context)
{
    const task *t = context;
    GEOSGeom_destroy(second_opening(t->area, t->d / 2, GEOS_QUAD_SEGS));
    GEOSGeom_destroy(second_opening(t->rest, t->d / 2, GEOS_QUAD_SEGS));
}

/* The same with the difference that shows what is lost. */
static void run_geos_difference(void *context)
{
    const task *t = context;
    const GEOSGeometry *sides[] = {t->area, t->rest};
    for (int i = 0; i < 2; i++) {
        GEOSGeometry *opened = second_opening(sides[i], t->d / 2, GEOS_QUAD_SEGS);
        GEOSGeom_destroy(GEOSDifference(sides[i], opened));
        GEOSGeom_destroy(opened);
    }
}

static void run_grid(void *context)
{
    const task *t = context;
    if (grid_opening(t->region, t->d / 2, t->d / 2 / GRID_PER_RADIUS) < 0)
        abort();
}

static void against(const char *name, const nw_region *region)
{
    GEOSGeometry *area = second_area(region), *rest = second_rest(region, area, 20);
    for (size_t b = 0; b < BITS; b++) {
        task t = {region, area, rest, bits[b], 1};
        double fit = bench_best(run_fit, &t, BENCH_SPENT);
        double geos = bench_best(run_geos, &t, BENCH_SPENT);
        double difference = bench_best(run_geos_difference, &t, BENCH_SPENT);
        double grid = bench_best(run_grid, &t, BENCH_SPENT);
        double one = bench_best(run_fit, &t, BENCH_WALL);
        t.threads = 2;
        double two = bench_best(run_fit, &t, BENCH_WALL);
        printf("%-34.34s %7zu %6.4g %9.2f %7.1f %8.1f %7.1f %7.2f\n", name,
               region->starts[region->count], t.d, 1e3 * fit, geos / fit, difference / fit,
               grid / fit, one / two);
    }
    GEOSGeom_destroy(area);
    GEOSGeom_destroy(rest);
}

static void against_scan(const char *name, double noise)
{
    uint8_t *grey = picture_make(SCAN_SIDE, noise);
    nw_region region = {0};
    if (grey && picture_region(grey, SCAN_SIDE, WIDE_MM, &region))
        against(name, &region);
    nw_region_free(&region);
    free(grey);
}

/* Of the smooth art from 20 segments on, the few that stand nearest to these sizes. */
static void against_clean(void)
{
    const size_t sizes[] = {20, 100, 400, 1000, 2000};
    real_outlines outlines = outlines_read(200, 60, WIDE_MM, 2500);
    for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++) {
        const real_outline *best = NULL;
        double nearest = INFINITY;
        for (size_t i = 0; i < outlines.count; i++) {
            const nw_region *region = &outlines.items[i].region;
            double off = fabs(log((double)region->starts[region->count] / (double)sizes[s]));
            if (off < nearest)
                best = &outlines.items[i], nearest = off;
        }
        if (best)
            against(best->name, &best->region);
    }
    outlines_free(&outlines);
}

static const double growth_bits[] = {0.8, 1.5, 3.175, 6.35, 12.7};
#define GROWTH_BITS (sizeof growth_bits / sizeof *growth_bits)

/* A ring of so many segments: as long whatever their number, so that more also stand closer, or
 * `grown`, as long as they are many. */
static void ring_make(size_t count, double rough, bool grown, nw_region *region)
{
    double times = grown ? (double)count / 1000 : 1;
    picture_ring(count, rough / times, region);
    for (size_t i = 0; i < region->starts[region->count]; i++) {
        region->points[i].x *= times;
        region->points[i].y *= times;
    }
}

/* Cost per segment, as a multiple of what it is at 1000: 1 throughout would be linear. */
static void growth(double rough, bool grown)
{
    const size_t counts[] = {1000, 10000, 30000, 100000};
    double base[GROWTH_BITS] = {0};
    printf("\ncost per segment as a multiple of that at 1000 segments, vertices thrown by %g mm, "
           "%s\n%10s",
           rough, grown ? "art as large as they are many" : "art of one size", "segments");
    for (size_t b = 0; b < GROWTH_BITS; b++)
        printf("    d %-6g", growth_bits[b]);
    for (size_t i = 0; i < 4; i++) {
        nw_region region;
        ring_make(counts[i], rough, grown, &region);
        printf("\n%10zu", counts[i]);
        for (size_t b = 0; b < GROWTH_BITS; b++) {
            task t = {&region, NULL, NULL, growth_bits[b], 1};
            double each = bench_best(run_fit, &t, BENCH_SPENT) / (double)counts[i];
            base[b] = i ? base[b] : each;
            printf(" %10.2f ", each / base[b]);
        }
        nw_region_free(&region);
    }
    printf("\n");
}

typedef struct {
    const nw_drawing *drawing;
    nw_region region;
} flattening;

static void run_flatten(void *context)
{
    flattening *f = context;
    nw_error error;
    nw_region_free(&f->region);
    if (nw_drawing_flatten(f->drawing, NW_FLATNESS_MM, &f->region, &error) != NW_OK)
        abort();
}

/* Many small pieces that stand anywhere: cost per piece, as a multiple of what it is at 1000. */
static void growth_of_pieces(void)
{
    const size_t counts[] = {1000, 10000, 30000, 100000};
    double flatten_base = 0, fit_base = 0;
    puts("\ncost per piece as a multiple of that at 1000 small pieces in scattered order, d 0.3");
    printf("%10s %10s %10s\n", "pieces", "flatten", "fit");
    for (size_t i = 0; i < 4; i++) {
        nw_drawing drawing;
        if (!picture_pieces(counts[i], &drawing))
            abort();
        flattening f = {&drawing, {0}};
        double flatten = bench_best(run_flatten, &f, BENCH_SPENT) / (double)counts[i];
        task t = {&f.region, NULL, NULL, 0.3, 1};
        double fit = bench_best(run_fit, &t, BENCH_SPENT) / (double)counts[i];
        flatten_base = i ? flatten_base : flatten;
        fit_base = i ? fit_base : fit;
        printf("%10zu %10.2f %10.2f\n", counts[i], flatten / flatten_base, fit / fit_base);
        nw_region_free(&f.region);
        nw_drawing_free(&drawing);
    }
}

int main(void)
{
    second_start();
    setvbuf(stdout, NULL, _IOLBF, 0);
    puts("how many times faster the fit (both sides, one thread, time spent) is than GEOS's "
         "opening of\n"
         "both sides alone, than that with the differences, and than distance transforms of one "
         "side\n"
         "on a grid of r/12; last how much two threads bring");
    printf("%-34s %7s %6s %9s %7s %8s %7s %7s\n", "outline", "segs", "d", "fit ms", "GEOS", "GEOS-",
           "grid", "2 thr");
    against_clean();
    against_scan("traced picture, clean", 0);
    against_scan("traced scan, noisy", 0.35);
    against_scan("traced scan, very noisy", 0.7);
    growth(0, true);
    growth(0.3, true);
    growth(0, false);
    growth(0.3, false);
    growth_of_pieces();
    return EXIT_SUCCESS;
}
