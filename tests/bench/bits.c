/*
 * Twelve bits side by side against one check of the same drawing, each with all that the command
 * computes: for the check flattening, the fit with its shapes and the ways out; for the bits
 * flattening, every bit's fit and the critical bit. By the time spent, on all threads; last what
 * two threads spend on the bits as a multiple of what the first of them does, which is what they
 * bring on a machine that is not busy with something else.
 *
 * usage: bench_bits [FOLDER]    the folder of the samples and the list of what is asked of them
 */
#include "bench.h"
#include "outlines.h"
#include "pictures.h"
#include "second.h"
#include "shapes.h"
#include "../critical.h"

#include <choose/choose.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BITS 12
#define MIDDLE_MM 3.175
#define WIDE_MM 120.0
#define SCAN_SIDE 2000

typedef struct {
    const nw_drawing *drawing;
    nw_region region;
    nw_cut cut;
    double bit, stock;
    nw_rack rack;
    int threads;
} task;

static nw_fit_options options_of(const task *t, double bit)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = t->cut;
    options.bit = bit;
    options.neck = bit > 0 ? fmax(bit, t->stock) : 0;
    options.threads = t->threads;
    return options;
}

static void flatten(const task *t, nw_region *region)
{
    if (nw_drawing_flatten(t->drawing, NW_FLATNESS_MM, region, NULL) != NW_OK)
        abort();
}

static void run_fit(void *context)
{
    const task *t = context;
    nw_fit_options options = options_of(t, t->bit);
    nw_fit fit = shape_fit(&t->region, &options);
    nw_fit_free(&fit);
}

static void ways(const task *t, const nw_region *region, const nw_fit *fit)
{
    nw_fit_options options = options_of(t, t->bit);
    options.neck = 0;
    nw_ways found;
    if (nw_ways_find(t->drawing, region, &options, fit, &t->rack, t->stock, &found, NULL) != NW_OK)
        abort();
}

static void run_ways(void *context)
{
    const task *t = context;
    nw_fit_options options = options_of(t, t->bit);
    nw_fit fit = shape_fit(&t->region, &options);
    ways(t, &t->region, &fit);
    nw_fit_free(&fit);
}

static void run_check(void *context)
{
    const task *t = context;
    nw_region region;
    flatten(t, &region);
    nw_fit_options options = options_of(t, t->bit);
    options.with_shapes = true;
    nw_fit fit = shape_fit(&region, &options);
    ways(t, &region, &fit);
    nw_fit_free(&fit);
    nw_region_free(&region);
}

static void run_bits(void *context)
{
    const task *t = context;
    nw_region region;
    flatten(t, &region);
    nw_fit_options options = options_of(t, 0);
    nw_bits bits;
    if (nw_bits_compare(&region, &options, &t->rack, t->stock, &bits, NULL) != NW_OK)
        abort();
    nw_bits_free(&bits);
    nw_region_free(&region);
}

static void run_critical(void *context)
{
    const task *t = context;
    nw_fit_options options = options_of(t, 0);
    double diameter;
    if (critical_bit(&t->region, &options, t->stock, &diameter, NULL) != NW_OK)
        abort();
}

static double worst; /* of bits/check */

static void compare(const char *name, task *t)
{
    if (nw_rack_common(&t->rack, NULL) != NW_OK)
        abort();
    t->rack.count = BITS;
    flatten(t, &t->region);
    double fit = bench_best(run_fit, t, BENCH_SPENT), check = bench_best(run_check, t, BENCH_SPENT);
    double bits = bench_best(run_bits, t, BENCH_SPENT);
    double critical = bench_best(run_critical, t, BENCH_SPENT);
    double out = bench_best(run_ways, t, BENCH_SPENT) - fit;
    t->threads = 2;
    double all = bench_now(BENCH_SPENT), first = bench_now(CLOCK_THREAD_CPUTIME_ID);
    run_bits(t);
    all = bench_now(BENCH_SPENT) - all;
    first = bench_now(CLOCK_THREAD_CPUTIME_ID) - first;
    worst = fmax(worst, bits / check);
    printf("%-32.32s %7zu %8.2f %9.2f %9.2f %9.2f %10.2f %6.2f\n", name,
           t->region.starts[t->region.count], 1e3 * fit, bits / fit, critical / fit, out / fit,
           bits / check, all / first);
    nw_region_free(&t->region);
    nw_rack_free(&t->rack);
}

static void compare_region(const char *name, const nw_region *region)
{
    nw_drawing drawing = {0};
    bool good = true;
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], end = region->starts[k + 1];
        nw_path path = {.start = region->points[first], .closed = true, .piece = k};
        for (size_t i = first + 1; i <= end; i++)
            good = good && nw_path_line(&path, region->points[i < end ? i : first]);
        good = good && nw_drawing_add(&drawing, &path);
    }
    if (!good || nw_drawing_place(&drawing, 1, 0, false, NULL) != NW_OK)
        abort();
    compare(name, &(task){.drawing = &drawing, .bit = MIDDLE_MM});
    nw_drawing_free(&drawing);
}

static void compare_scan(const char *name, double noise)
{
    uint8_t *grey = picture_make(SCAN_SIDE, noise);
    nw_drawing drawing = {0};
    if (grey && picture_drawing(grey, SCAN_SIDE, WIDE_MM, &drawing))
        compare(name, &(task){.drawing = &drawing, .bit = MIDDLE_MM});
    nw_drawing_free(&drawing);
    free(grey);
}

/* The length that stands after the option, or 0. */
static double length_after(const char *line, const char *option)
{
    char word[40];
    double length = 0;
    const char *at = strstr(line, option);
    if (at && sscanf(at + strlen(option), "%39s", word) == 1)
        nw_length_read(word, &length, NULL);
    return length;
}

/* A line of the samples' list: the picture's name, and the options of a check. */
static void compare_sample(const char *folder, const char *line)
{
    char name[100], path[1200];
    if (sscanf(line, "%99s", name) != 1 || *name == '#')
        return;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    nw_drawing drawing;
    task t = {.drawing = &drawing, .cut = NW_CUT_INSIDE};
    t.cut = strstr(line, "--cut outside")  ? NW_CUT_OUTSIDE
            : strstr(line, "--cut pocket") ? NW_CUT_POCKET
                                           : NW_CUT_INSIDE;
    t.bit = length_after(line, "--bit ");
    t.stock = length_after(line, "--stock ");
    if (picture_file_drawing(path, length_after(line, "--wide "), &drawing))
        compare(name, &t);
    nw_drawing_free(&drawing);
}

static void compare_samples(const char *folder)
{
    char path[1200], line[300];
    snprintf(path, sizeof path, "%s/list", folder);
    FILE *list = fopen(path, "r");
    while (list && fgets(line, sizeof line, list))
        compare_sample(folder, line);
    if (list)
        fclose(list);
}

int main(int count, char **arguments)
{
    second_start();
    setvbuf(stdout, NULL, _IOLBF, 0);
    puts("twelve bits, looking for the critical bit, and the ways out, as multiples of one fit;\n"
         "bits/check: twelve bits as a multiple of one check, all that either computes\n");
    printf("%-32s %7s %8s %9s %9s %9s %10s %6s\n", "outline", "segs", "fit ms", "bits", "critical",
           "ways", "bits/check", "2 thr");
    if (count > 1)
        compare_samples(arguments[1]);
    real_outlines outlines = outlines_read(6, 0, WIDE_MM, 2500);
    for (size_t i = 0; i < outlines.count; i++)
        compare_region(outlines.items[i].name, &outlines.items[i].region);
    outlines_free(&outlines);
    for (size_t segments = 1000; segments <= 100000; segments *= 10) {
        nw_region region;
        picture_ring(segments, 0, &region);
        compare_region("wavy ring", &region);
        nw_region_free(&region);
    }
    compare_scan("traced picture, clean", 0);
    compare_scan("traced scan, noisy", 0.35);
    printf("bits/check is at most %.2f\n", worst);
    return EXIT_SUCCESS;
}
