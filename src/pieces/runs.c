/*
 * runs: bits -> runs -> connected regions with area, box and holes.
 *
 * Method: runs of neighbouring rows that touch are joined by union-find, always towards the run
 * that came first (Rosenfeld and Pfaltz, J. ACM 13(4):471-494, 1966; runs as in He, Chao and
 * Suzuki, IEEE Trans. Image Processing 17(5):749-756, 2008). Two runs of a row never both touch the
 * same two runs of the next row, so each cycle of touching runs goes round exactly one hole: a
 * region has (touches - runs + 1) holes (Euler). Time and memory follow the number of runs.
 */
#include <pieces/runs.h>

#include <stdlib.h>

/* The first place from x on, before width, where the row's bit differs from `bit`; else width. */
static uint32_t next_change(const uint64_t *row, uint32_t width, uint32_t x, bool bit)
{
    while (x < width) {
        uint64_t word = row[x / 64];
        word = (bit ? ~word : word) << (x % 64);
        if (word) {
            uint64_t at = (uint64_t)x + (uint64_t)__builtin_clzll(word);
            return at < width ? (uint32_t)at : width;
        }
        x = (x / 64 + 1) * 64;
    }
    return width;
}

static bool add_row(const nw_ink *ink, uint32_t y, bool paper, nw_runs *runs)
{
    const uint64_t *row = ink->words + (size_t)y * ink->stride;
    uint32_t x = next_change(row, ink->width, 0, paper);
    while (x < ink->width) {
        uint32_t end = next_change(row, ink->width, x, !paper);
        struct nw_run run = {y, x, end, (uint32_t)runs->run_count};
        if (runs->run_count >= UINT32_MAX ||
            !nw_push(&runs->runs, &runs->run_count, &runs->run_capacity, &run, sizeof run))
            return false;
        x = next_change(row, ink->width, end, paper);
    }
    return true;
}

/* Until regions are numbered, run k's `region` is another run of the same region, or k itself. */
static uint32_t root_of(struct nw_run *runs, uint32_t k)
{
    while (runs[k].region != k) {
        runs[k].region = runs[runs[k].region].region;
        k = runs[k].region;
    }
    return k;
}

static void join(struct nw_run *runs, uint32_t a, uint32_t b)
{
    a = root_of(runs, a);
    b = root_of(runs, b);
    if (a < b)
        runs[b].region = a;
    else
        runs[a].region = b;
}

/* Calls touch for each pair of touching runs of two rows; corners count. */
typedef void touch_action(nw_runs *runs, uint32_t above, uint32_t here);

static void for_touches(nw_runs *runs, touch_action *touch)
{
    size_t above = 0, above_end = 0, here = 0;
    while (here < runs->run_count) {
        const struct nw_run *all = runs->runs;
        size_t first = here, end = here;
        while (end < runs->run_count && all[end].y == all[first].y)
            end++;
        if (above_end > above && all[above].y + 1 == all[first].y) {
            size_t a = above, b = first;
            while (a < above_end && b < end) {
                if (all[a].x0 <= all[b].x1 && all[b].x0 <= all[a].x1)
                    touch(runs, (uint32_t)a, (uint32_t)b);
                if (all[a].x1 < all[b].x1)
                    a++;
                else
                    b++;
            }
        }
        above = first;
        above_end = here = end;
    }
}

static void touch_join(nw_runs *runs, uint32_t above, uint32_t here)
{
    join(runs->runs, above, here);
}

static void touch_count(nw_runs *runs, uint32_t above, uint32_t here)
{
    (void)above;
    runs->regions[runs->runs[here].region].holes++;
}

/* Replaces run indices by region indices and sums up the regions. A run's root comes before it. */
static bool number_regions(nw_runs *runs)
{
    struct nw_run *all = runs->runs;
    size_t count = 0;
    for (size_t k = 0; k < runs->run_count; k++)
        count += all[k].region == k;
    runs->regions = nw_alloc(count, sizeof *runs->regions);
    if (!runs->regions)
        return false;
    for (size_t k = 0; k < runs->run_count; k++) {
        bool first = all[k].region == k;
        /* The parent is an earlier run, so it carries its region's number already. */
        all[k].region = first ? (uint32_t)runs->region_count++ : all[all[k].region].region;
        nw_run_region *region = &runs->regions[all[k].region];
        if (first)
            *region = (nw_run_region){0, all[k].x0, all[k].y, all[k].x1, all[k].y + 1, 1};
        region->area += all[k].x1 - all[k].x0;
        region->x0 = all[k].x0 < region->x0 ? all[k].x0 : region->x0;
        region->x1 = all[k].x1 > region->x1 ? all[k].x1 : region->x1;
        region->y1 = all[k].y + 1;
        region->holes--; /* modulo 2^32; the touches follow */
    }
    return true;
}

nw_status nw_runs_find(const nw_ink *ink, bool paper, nw_runs *runs, nw_error *error)
{
    *runs = (nw_runs){0};
    bool done = true;
    for (uint32_t y = 0; y < ink->height && done; y++)
        done = add_row(ink, y, paper, runs);
    if (done) {
        for_touches(runs, touch_join);
        done = number_regions(runs);
    }
    if (!done) {
        nw_runs_free(runs);
        return nw_fail_memory(error, "the pieces of the picture");
    }
    for_touches(runs, touch_count);
    return NW_OK;
}

void nw_runs_free(nw_runs *runs)
{
    if (runs) {
        free(runs->runs);
        free(runs->regions);
        *runs = (nw_runs){0};
    }
}
