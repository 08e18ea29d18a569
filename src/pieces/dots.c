/*
 * dots: ink -> whether it is printed in the dots of a screen, as pictures in newspapers are.
 *
 * Dots, or the holes that dots leave where they run together, are small, round and stand in a
 * lattice: from one to the nearest of those that follow, row by row, it is as far as from that one
 * to its own nearest, and both are about as large. Of things that lie at random, a fifth is within
 * DISTANCE_NEAR (by the distribution of P. Hertz, Mathematische Annalen 67:387-398, 1909).
 */
#include <pieces/pieces.h>
#include <pieces/runs.h>

#include <math.h>
#include <stdlib.h>

#define DOTS_LEAST 150    /* fewer are a pattern that somebody drew */
#define DOT_MOST 48       /* px: the side of a dot's box */
#define DOT_LONG 1.6      /* times as long as wide, and a pixel as boxes have whole ones */
#define DOT_FULL 0.45     /* of its box */
#define REACH 64          /* px to the nearest */
#define DISTANCE_NEAR 0.2 /* of one distance to the next */
#define AREA_NEAR 1.6     /* times as large as the nearest */
#define REGULAR 0.7       /* of the dots */

static bool is_dot(const nw_run_region *region, double least_px)
{
    double wide = region->x1 - region->x0, high = region->y1 - region->y0;
    double longer = fmax(wide, high), area = (double)region->area;
    return area >= least_px && longer <= DOT_MOST && longer <= DOT_LONG * fmin(wide, high) + 1 &&
           area >= DOT_FULL * wide * high;
}

static double far_apart(const nw_run_region *a, const nw_run_region *b)
{
    double x = (double)a->x0 + a->x1 - b->x0 - b->x1, y = (double)a->y0 + a->y1 - b->y0 - b->y1;
    return sqrt(x * x + y * y) / 2;
}

/* The nearest of the dots that begin in the same row or below; *distance is REACH if none is near.
 */
static const nw_run_region *nearest_after(const nw_run_region *dot, const nw_run_region *end,
                                          double *distance)
{
    const nw_run_region *nearest = dot;
    double own = (dot->y1 - dot->y0) / 2.0;
    *distance = REACH;
    for (const nw_run_region *d = dot + 1; d < end && d->y0 - dot->y0 <= *distance + own; d++) {
        double apart = far_apart(d, dot);
        nearest = apart < *distance ? d : nearest;
        *distance = fmin(*distance, apart);
    }
    return nearest;
}

static void dots_add(const nw_run_region *first, size_t count, nw_dots *dots)
{
    nw_dots found = {0};
    for (const nw_run_region *dot = first; dot < first + count; dot++) {
        double distance, next;
        const nw_run_region *other = nearest_after(dot, first + count, &distance);
        nearest_after(other, first + count, &next);
        double area = (double)dot->area, ratio = area / (double)other->area;
        if (fmax(distance, next) < REACH && fabs(distance / next - 1) <= DISTANCE_NEAR &&
            ratio <= AREA_NEAR && ratio >= 1 / AREA_NEAR) {
            found.count++;
            found.largest = fmax(found.largest, area);
        }
    }
    if (count >= DOTS_LEAST && (double)found.count >= REGULAR * (double)count) {
        dots->count += found.count;
        dots->largest = fmax(dots->largest, found.largest);
    }
}

nw_status nw_ink_dots(const nw_ink *ink, double least_px, nw_dots *dots, nw_error *error)
{
    *dots = (nw_dots){0};
    nw_status status = NW_OK;
    for (int paper = 0; paper < 2 && status == NW_OK; paper++) {
        nw_runs runs;
        size_t count = 0;
        status = nw_runs_find(ink, paper, &runs, error);
        for (size_t k = 0; status == NW_OK && k < runs.region_count; k++)
            if (is_dot(&runs.regions[k], least_px))
                runs.regions[count++] = runs.regions[k];
        if (status == NW_OK)
            dots_add(runs.regions, count, dots);
        nw_runs_free(&runs);
    }
    return status;
}
