/*
 * grid: opening by exact Euclidean distance transforms.
 *
 * The region is filled into cells by even-odd crossings of scan lines. Two distance transforms
 * (Felzenszwalb and Huttenlocher, Distance Transforms of Sampled Functions, Theory of Computing
 * 8(19):415-428, 2012: lower envelopes of parabolas, first along columns, then along rows) give
 * the erosion and then its dilation.
 */
#include "grid.h"
#include "shapes.h"

#include <math.h>
#include <stdlib.h>

#define FAR 1e18f

typedef struct {
    size_t width, height;
    float *squared; /* 0 at the sites, FAR elsewhere; then squared distances in cells */
} grid;

/* One line of n values, `step` apart, in place. v, z, f hold n, n + 1 and n values. */
static void transform_line(float *values, size_t n, size_t step, size_t *v, float *z, float *f)
{
    size_t k = 0;
    for (size_t q = 0; q < n; q++)
        f[q] = values[q * step];
    v[0] = 0;
    z[0] = -FAR, z[1] = FAR;
    for (size_t q = 1; q < n; q++) {
        if (f[q] >= FAR)
            continue; /* never on the envelope while any site is */
        float s;
        for (;;) {
            float p = (float)v[k], x = (float)q;
            s = f[v[k]] >= FAR ? -FAR : ((f[q] + x * x) - (f[v[k]] + p * p)) / (2 * x - 2 * p);
            if (s > z[k] || k == 0)
                break;
            k--;
        }
        if (s <= z[k]) {
            v[0] = q; /* the first parabola was no site, or is hidden */
        } else {
            v[++k] = q;
            z[k] = s;
        }
        z[k + 1] = FAR;
    }
    k = 0;
    for (size_t q = 0; q < n; q++) {
        while (z[k + 1] < (float)q)
            k++;
        float away = (float)q - (float)v[k];
        values[q * step] = f[v[k]] >= FAR ? FAR : away * away + f[v[k]];
    }
}

static bool transform(grid *g)
{
    size_t n = g->width > g->height ? g->width : g->height;
    size_t *v = nw_alloc(n, sizeof *v);
    float *z = nw_alloc(n + 1, sizeof *z), *f = nw_alloc(n, sizeof *f);
    bool good = v && z && f;
    for (size_t x = 0; good && x < g->width; x++)
        transform_line(g->squared + x, g->height, g->width, v, z, f);
    for (size_t y = 0; good && y < g->height; y++)
        transform_line(g->squared + y * g->width, g->width, 1, v, z, f);
    free(v);
    free(z);
    free(f);
    return good;
}

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

typedef struct {
    double *at;
    size_t count, capacity;
} crossings;

/* Where the edge crosses the scan lines, whose cells' centres lie at (i + 0.5) pitch. */
static bool add_crossings(crossings *lines, size_t count, nw_point p, nw_point q)
{
    double low = fmin(p.y, q.y), high = fmax(p.y, q.y);
    for (size_t y = (size_t)fmax(0, ceil(low - 0.5)); y < count && (double)y + 0.5 < high; y++) {
        crossings *line = &lines[y];
        if (!nw_grow((void **)&line->at, &line->capacity, line->count + 1, sizeof *line->at))
            return false;
        line->at[line->count++] = p.x + (q.x - p.x) * ((double)y + 0.5 - p.y) / (q.y - p.y);
    }
    return true;
}

/* Cells inside get FAR, the others stay 0: the distance to the outside comes next. */
static bool fill(const nw_region *region, nw_point origin, double pitch, grid *g)
{
    crossings *lines = nw_alloc(g->height, sizeof *lines);
    bool good = lines != NULL;
    for (size_t k = 0; good && k < region->count; k++) {
        size_t first = region->starts[k], count = region->starts[k + 1] - first;
        for (size_t i = 0, j = count - 1; good && i < count; j = i++) {
            nw_point p = region->points[first + j], q = region->points[first + i];
            p = (nw_point){(p.x - origin.x) / pitch, (p.y - origin.y) / pitch};
            q = (nw_point){(q.x - origin.x) / pitch, (q.y - origin.y) / pitch};
            good = add_crossings(lines, g->height, p, q);
        }
    }
    for (size_t y = 0; lines && y < g->height; y++) {
        crossings *line = &lines[y];
        qsort(line->at, line->count, sizeof *line->at, by_value);
        for (size_t i = 0; good && i + 1 < line->count; i += 2) {
            size_t x = (size_t)fmax(0, ceil(line->at[i] - 0.5));
            for (; x < g->width && (double)x + 0.5 < line->at[i + 1]; x++)
                g->squared[y * g->width + x] = FAR;
        }
        free(line->at);
    }
    free(lines);
    return good;
}

double grid_opening(const nw_region *region, double r, double pitch)
{
    nw_box box = shape_box_of(region);
    nw_point origin = {box.min.x - 2 * pitch, box.min.y - 2 * pitch};
    grid g = {(size_t)((box.max.x - origin.x) / pitch) + 3,
              (size_t)((box.max.y - origin.y) / pitch) + 3, NULL};
    g.squared = nw_alloc(g.width * g.height, sizeof *g.squared);
    float limit = (float)((r / pitch) * (r / pitch));
    size_t cells = 0, size = g.width * g.height;
    bool good = g.squared && fill(region, origin, pitch, &g) && transform(&g);
    for (size_t i = 0; good && i < size; i++)
        g.squared[i] = g.squared[i] >= limit ? 0 : FAR;
    good = good && transform(&g);
    for (size_t i = 0; good && i < size; i++)
        cells += g.squared[i] <= limit;
    free(g.squared);
    return good ? (double)cells * pitch * pitch : -1;
}
