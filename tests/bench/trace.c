/*
 * Tracing a large picture by the places on its pixels' boundary against libpotrace's outlines of
 * the same ink, both made clean and nested: processor time and peak memory as ratios. Each runs as
 * a process of its own.
 *
 * usage: bench_trace [PIXELS TO A SIDE]...
 */
#include "bench.h"
#include "pictures.h"

#include <pieces/pieces.h>
#include <trace/trace.h>

#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#define SIDE 5500 /* 30 megapixels */
#define SPECK_PX 8

typedef struct {
    nw_picture picture;
    nw_ink ink;
    nw_pieces pieces;
} art;

/* Levels of grey, or black and white alone. */
static bool art_make(uint32_t side, double noise, bool grey, art *a)
{
    uint8_t *levels = picture_make(side, noise);
    *a = (art){.picture = {.width = side, .height = side, .density = levels}};
    for (size_t i = 0; levels && i < (size_t)side * side; i++)
        levels[i] = grey ? (uint8_t)(255 - levels[i]) : levels[i] < 128 ? 255 : 0;
    bool good = levels && nw_ink_from_picture(&a->picture, &a->ink, NULL) == NW_OK &&
                nw_pieces_find(&a->ink, SPECK_PX, &a->pieces, NULL) == NW_OK;
    if (good)
        nw_pieces_clear_dropped(&a->pieces, &a->ink, &a->picture);
    return good;
}

static void art_free(art *a)
{
    nw_pieces_free(&a->pieces);
    nw_ink_free(&a->ink);
    free(a->picture.density);
}

static bool trace_ours(const art *a)
{
    nw_drawing drawing;
    nw_trace_options options = nw_trace_defaults();
    return nw_drawing_trace(&a->ink, &a->picture, &options, &drawing, NULL, NULL) == NW_OK;
}

static bool trace_library(const art *a)
{
    nw_drawing drawing = {0};
    return nw_ink_trace(&a->ink, &drawing, NULL) == NW_OK &&
           nw_drawing_clean(&drawing, NULL) == NW_OK;
}

typedef struct {
    double seconds, bytes;
    bool good;
} run;

/* In a process of its own, so that its peak is its own; what the picture takes counts in both. */
static run measure(bool (*trace)(const art *), const art *a)
{
    pid_t child = fork();
    if (child == 0)
        _exit(trace(a) ? 0 : 1);
    int status = -1;
    struct rusage usage = {0};
    wait4(child, &status, 0, &usage);
    struct timeval user = usage.ru_utime, system = usage.ru_stime;
    return (run){(double)(user.tv_sec + system.tv_sec) +
                     1e-6 * (double)(user.tv_usec + system.tv_usec),
                 (double)usage.ru_maxrss * 1024, WIFEXITED(status) && WEXITSTATUS(status) == 0};
}

static bool compare(uint32_t side, double noise, bool grey)
{
    art a;
    bool good = art_make(side, noise, grey, &a);
    run ours = {0}, library = {0};
    if (good) {
        ours = measure(trace_ours, &a);
        library = measure(trace_library, &a);
        good = ours.good && library.good;
    }
    art_free(&a);
    if (!good) {
        fprintf(stderr, "tracing failed\n");
        return false;
    }
    double pixels = (double)side * side;
    printf("%6.1f Mpx %-4s %-15s time %5.2f of libpotrace's, peak memory %5.2f of its "
           "(%5.2f and %5.2f bytes a pixel)\n",
           pixels / 1e6, noise > 0 ? "scan" : "art", grey ? "grey levels" : "black and white",
           ours.seconds / library.seconds, ours.bytes / library.bytes, ours.bytes / pixels,
           library.bytes / pixels);
    return true;
}

int main(int count, char **words)
{
    setvbuf(stdout, NULL, _IOLBF, 0);
    bool good = true;
    for (int k = 1; k < count || k == 1; k++) {
        uint32_t side = k < count ? (uint32_t)strtoul(words[k], NULL, 10) : SIDE;
        for (int i = 0; i < 4; i++)
            good = compare(side, i % 2 ? 0.5 : 0, i < 2) && good;
    }
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
