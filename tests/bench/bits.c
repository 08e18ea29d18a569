/*
 * Twelve bits side by side against one check of the same drawing: the fit of the bit in the middle
 * of them, and that together with flattening the drawing, by the wall's clock with all cores. And
 * what the searches for the critical bit and the ways out add.
 */
#include "bench.h"
#include "outlines.h"
#include "pictures.h"
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define BITS 12
#define MIDDLE_MM 3.175
#define WIDE_MM 120.0
#define SCAN_SIDE 2000

typedef struct {
    const nw_region *region;
    const nw_drawing *drawing;
    nw_rack rack;
} task;

static nw_fit_options options_of(double bit)
{
    nw_fit_options options = nw_fit_defaults();
    options.bit = bit;
    return options;
}

static void run_fit(void *context)
{
    const task *t = context;
    nw_fit_options options = options_of(MIDDLE_MM);
    nw_fit fit = shape_fit(t->region, &options);
    nw_fit_free(&fit);
}

static void run_check(void *context)
{
    const task *t = context;
    nw_region region;
    if (nw_drawing_flatten(t->drawing, NW_FLATNESS_MM, &region, NULL) != NW_OK) {
        abort();
    }
    nw_fit_options options = options_of(MIDDLE_MM);
    nw_fit fit = shape_fit(&region, &options);
    nw_fit_free(&fit);
    nw_region_free(&region);
}

static void run_bits(void *context)
{
    const task *t = context;
    nw_fit_options options = options_of(0);
    nw_bits bits;
    if (nw_bits_compare(t->region, &options, &t->rack, 0, &bits, NULL) != NW_OK) {
        abort();
    }
    nw_bits_free(&bits);
}

static void run_critical(void *context)
{
    const task *t = context;
    nw_fit_options options = options_of(0);
    double diameter;
    if (nw_bit_critical(t->region, &options, 0, &diameter, NULL) != NW_OK) {
        abort();
    }
}

static void run_ways(void *context)
{
    const task *t = context;
    nw_fit_options options = options_of(MIDDLE_MM);
    nw_fit fit = shape_fit(t->region, &options);
    nw_ways ways;
    if (nw_ways_find(t->drawing, t->region, &options, &fit, &t->rack, 0, &ways, NULL) != NW_OK) {
        abort();
    }
    nw_fit_free(&fit);
}

static nw_drawing drawing_of(const nw_region *region)
{
    nw_drawing drawing = {0};
    bool good = true;
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], end = region->starts[k + 1];
        nw_path path = {.start = region->points[first], .closed = true, .piece = k};
        for (size_t i = first + 1; i <= end; i++) {
            good = good && nw_path_line(&path, region->points[i < end ? i : first]);
        }
        good = good && nw_drawing_add(&drawing, &path);
    }
    if (!good || nw_drawing_place(&drawing, 1, 0, false, NULL) != NW_OK) {
        abort();
    }
    return drawing;
}

static void compare(const char *name, const nw_region *region)
{
    nw_drawing drawing = drawing_of(region);
    task t = {.region = region, .drawing = &drawing};
    if (nw_rack_common(&t.rack, NULL) != NW_OK) {
        abort();
    }
    t.rack.count = BITS;
    double fit = bench_best(run_fit, &t, BENCH_WALL), check = bench_best(run_check, &t, BENCH_WALL);
    double bits = bench_best(run_bits, &t, BENCH_WALL);
    double critical = bench_best(run_critical, &t, BENCH_WALL);
    double ways = bench_best(run_ways, &t, BENCH_WALL) - fit;
    printf("%-34.34s %7zu %8.2f %10.2f %10.2f %10.2f %10.2f\n", name, region->starts[region->count],
           1e3 * fit, bits / fit, bits / check, critical / fit, ways / fit);
    nw_rack_free(&t.rack);
    nw_drawing_free(&drawing);
}

static void compare_scan(const char *name, double noise)
{
    uint8_t *grey = picture_make(SCAN_SIDE, noise);
    nw_region region = {0};
    if (grey && picture_region(grey, SCAN_SIDE, WIDE_MM, &region)) {
        compare(name, &region);
    }
    nw_region_free(&region);
    free(grey);
}

int main(void)
{
    second_start();
    setvbuf(stdout, NULL, _IOLBF, 0);
    puts("twelve bits as a multiple of one fit, and of flattening and one fit; then what looking "
         "for the\ncritical bit and the ways out for 3.175 mm adds, as multiples of one fit");
    printf("%-34s %7s %8s %10s %10s %10s %10s\n", "outline", "segs", "fit ms", "bits/fit",
           "bits/check", "critical", "ways");
    real_outlines outlines = outlines_read(6, 0, WIDE_MM, 2500);
    for (size_t i = 0; i < outlines.count; i++) {
        compare(outlines.items[i].name, &outlines.items[i].region);
    }
    outlines_free(&outlines);
    for (size_t count = 1000; count <= 100000; count *= 10) {
        nw_region region;
        picture_ring(count, 0, &region);
        compare("wavy ring", &region);
        nw_region_free(&region);
    }
    compare_scan("traced picture, clean", 0);
    compare_scan("traced scan, noisy", 0.35);
    return EXIT_SUCCESS;
}
