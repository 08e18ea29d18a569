/*
 * light: how light the paper is from place to place, and whether one level does for all of it.
 *
 * The paper is a quadratic surface through the light end of each tile's grey levels, fitted by
 * least squares in which tiles darker than the surface, being ink, hardly count (asymmetric least
 * squares, as Eilers and Boelens use it for baselines, 2005). Light that falls off over a
 * photograph is smooth enough for that.
 */
#include "internal.h"

#include <math.h>
#include <string.h>

#define TILES 24         /* along either side, at most */
#define PAPER_SHARE 0.9  /* of a tile's pixels are darker than its paper */
#define INK_WEIGHT 0.001 /* of a tile darker than the surface */
#define FIT_ROUNDS 20
#define WEAK 0.25       /* of the contrast: an edge that is none */
#define STRONG 0.45     /* of the contrast: an edge for sure */
#define WEAK_SHARE 0.08 /* of the level's line through paper makes it useless */
#define LOST_SHARE 0.15 /* of the edges lost */
#define FALL_OFF 0.25   /* of the contrast: paper that is not lit evenly */

/* ---- the paper ------------------------------------------------------------------------------- */

typedef struct {
    double x, y, level, weight;
} sample;

static double tile_paper(const uint8_t *values, uint32_t width, uint32_t x0, uint32_t y0,
                         uint32_t x1, uint32_t y1)
{
    uint32_t histogram[256] = {0}, total = 0, sum = 0;
    uint32_t dx = (x1 - x0) / 64 + 1, dy = (y1 - y0) / 64 + 1;
    for (uint32_t y = y0; y < y1; y += dy) {
        for (uint32_t x = x0; x < x1; x += dx) {
            histogram[values[(size_t)y * width + x]]++;
            total++;
        }
    }
    int level = 0;
    for (; level < 255; level++) {
        sum += histogram[level];
        if (sum >= PAPER_SHARE * total) {
            break;
        }
    }
    return level;
}

static size_t take_samples(const uint8_t *values, uint32_t width, uint32_t height, sample *samples)
{
    uint32_t across = width < TILES ? width : TILES, down = height < TILES ? height : TILES;
    size_t count = 0;
    for (uint32_t j = 0; j < down; j++) {
        uint32_t y0 = (uint32_t)((uint64_t)height * j / down);
        uint32_t y1 = (uint32_t)((uint64_t)height * (j + 1) / down);
        for (uint32_t i = 0; i < across; i++) {
            uint32_t x0 = (uint32_t)((uint64_t)width * i / across);
            uint32_t x1 = (uint32_t)((uint64_t)width * (i + 1) / across);
            samples[count++] = (sample){(x0 + x1) / 2.0, (y0 + y1) / 2.0,
                                        tile_paper(values, width, x0, y0, x1, y1), 1};
        }
    }
    return count;
}

static void terms(const nw_paper *paper, double x, double y, double t[6])
{
    double u = x * paper->scale_x - 1, v = y * paper->scale_y - 1;
    t[0] = 1;
    t[1] = u;
    t[2] = v;
    t[3] = u * u;
    t[4] = u * v;
    t[5] = v * v;
}

double nw_paper_at(const nw_paper *paper, double x, double y)
{
    double t[6], sum = 0;
    terms(paper, x, y, t);
    for (int i = 0; i < 6; i++) {
        sum += paper->c[i] * t[i];
    }
    return fmax(1, fmin(255, sum));
}

/* Solves m c = m[.][6] by elimination with pivots; false when there is no single answer. */
static bool solve(double m[6][7], double c[6])
{
    for (int k = 0; k < 6; k++) {
        int best = k;
        for (int i = k + 1; i < 6; i++) {
            best = fabs(m[i][k]) > fabs(m[best][k]) ? i : best;
        }
        if (fabs(m[best][k]) < 1e-12) {
            return false;
        }
        double swap[7];
        memcpy(swap, m[k], sizeof swap);
        memcpy(m[k], m[best], sizeof swap);
        memcpy(m[best], swap, sizeof swap);
        for (int i = 0; i < 6; i++) {
            double factor = i == k ? 0 : m[i][k] / m[k][k];
            for (int j = k; j < 7; j++) {
                m[i][j] -= factor * m[k][j];
            }
        }
    }
    for (int k = 0; k < 6; k++) {
        c[k] = m[k][6] / m[k][k];
    }
    return true;
}

static bool fit(const sample *samples, size_t count, nw_paper *paper)
{
    double m[6][7] = {{0}};
    for (size_t k = 0; k < count; k++) {
        double t[6];
        terms(paper, samples[k].x, samples[k].y, t);
        for (int i = 0; i < 6; i++) {
            for (int j = 0; j < 6; j++) {
                m[i][j] += samples[k].weight * t[i] * t[j];
            }
            m[i][6] += samples[k].weight * t[i] * samples[k].level;
        }
    }
    return solve(m, paper->c);
}

bool nw_paper_find(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper)
{
    sample samples[TILES * TILES];
    *paper = (nw_paper){.scale_x = 2.0 / width, .scale_y = 2.0 / height};
    size_t count = take_samples(values, width, height, samples);
    for (int round = 0; round < FIT_ROUNDS; round++) {
        if (!fit(samples, count, paper)) {
            return false;
        }
        for (size_t k = 0; k < count; k++) {
            double under = nw_paper_at(paper, samples[k].x, samples[k].y) - samples[k].level;
            samples[k].weight = under > 2 ? INK_WEIGHT : 1;
        }
    }
    return true;
}

/* ---- one level or many ----------------------------------------------------------------------- */

/* Along a row or column, in steps of `reach`: stretches where the level is crossed, and where it
 * should be. */
typedef struct {
    uint64_t crossed, weak, lost;
} edge_count;

/* One row (stride 1) or column of `count` values. */
static void count_edges(const uint8_t *line, uint32_t count, size_t stride, const nw_ramp *ramp,
                        edge_count *edges)
{
    uint32_t reach = 8 + count / 200;
    double contrast = ramp->paper - ramp->ink;
    for (uint32_t x0 = 0; x0 + reach < count; x0 += reach) {
        /* Means of two pixels, against noise. */
        int least = 510, most = 0;
        for (uint32_t x = x0; x < x0 + reach; x++) {
            int value = line[x * stride] + line[(x + 1) * stride];
            least = value < least ? value : least;
            most = value > most ? value : most;
        }
        double step = (most - least) / 2.0;
        bool crosses = least < 2 * ramp->crossing && most > 2 * ramp->crossing;
        edges->crossed += crosses;
        edges->weak += crosses && step < WEAK * contrast;
        edges->lost += !crosses && step > STRONG * contrast;
    }
}

static bool fails(const edge_count *edges)
{
    return (double)edges->weak > WEAK_SHARE * (double)edges->crossed ||
           (double)edges->lost > LOST_SHARE * (double)(edges->crossed + edges->lost);
}

static double fall_off(const nw_paper *paper, uint32_t width, uint32_t height)
{
    double least = 255, most = 0;
    for (int j = 0; j <= 8; j++) {
        for (int i = 0; i <= 8; i++) {
            double level = nw_paper_at(paper, width * i / 8.0, height * j / 8.0);
            least = fmin(least, level);
            most = fmax(most, level);
        }
    }
    return most - least;
}

bool nw_light_uneven(const uint8_t *values, uint32_t width, uint32_t height, const nw_ramp *ramp,
                     const nw_paper *paper)
{
    if (fall_off(paper, width, height) < FALL_OFF * (ramp->paper - ramp->ink)) {
        return false;
    }
    /* Light that falls off along rows shows in rows, along columns in columns. */
    edge_count along = {0}, down = {0};
    for (uint32_t y = 0; y < height; y += height / 1000 + 1) {
        count_edges(values + (size_t)y * width, width, 1, ramp, &along);
    }
    for (uint32_t x = 0; x < width; x += width / 1000 + 1) {
        count_edges(values + x, height, width, ramp, &down);
    }
    return fails(&along) || fails(&down);
}
