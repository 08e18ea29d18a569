/*
 * paper: grey levels -> how light the paper is from place to place.
 *
 * The paper is a quadratic surface through the light end of each tile's grey levels, fitted by
 * least squares in which tiles darker than the surface, being ink, hardly count (asymmetric least
 * squares, as Eilers and Boelens use it for baselines, 2005). Light that falls off over a
 * photograph is smooth enough for that; a shadow that falls on the sheet is not. For such a sheet
 * tiles are paper that are reached from the lightest ones over soft changes of light, for ink has
 * sharp edges; what lies between them is as light as they are.
 */
#include <picture/ink/ink_levels.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TILES_MOST (PAPER_TILES * PAPER_TILES)
#define PAPER_SHARE 0.9  /* of a tile's pixels are darker than its paper */
#define INK_WEIGHT 0.001 /* of a tile darker than the surface */
#define FIT_ROUNDS 20
#define ALIKE 0.8 /* of a paper tile's level and more is paper */
#define SHARP 0.3 /* of the level lost over a few pixels: an edge */

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
        if (sum >= PAPER_SHARE * total)
            break;
    }
    return level;
}

static size_t take_samples(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper,
                           sample *samples)
{
    uint32_t across = width < PAPER_TILES ? width : PAPER_TILES;
    uint32_t down = height < PAPER_TILES ? height : PAPER_TILES;
    size_t count = 0;
    paper->across = across;
    paper->down = down;
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

static double along(double place, uint32_t count, uint32_t *low)
{
    double at = fmax(0, fmin(count - 1.0, place * count - 0.5));
    *low = at < count - 1.0 ? (uint32_t)at : count > 1 ? count - 2 : 0;
    return at - *low;
}

static double tiles_at(const nw_paper *paper, double x, double y)
{
    uint32_t i, j;
    double u = along(x * paper->scale_x / 2, paper->across, &i);
    double v = along(y * paper->scale_y / 2, paper->down, &j);
    uint32_t right = paper->across > 1, under = paper->down > 1 ? paper->across : 0;
    const float *t = paper->tiles + (size_t)j * paper->across + i;
    double top = t[0] * (1 - u) + t[right] * u;
    double bottom = t[under] * (1 - u) + t[under + right] * u;
    return fmax(1, fmin(255, top * (1 - v) + bottom * v));
}

double nw_paper_at(const nw_paper *paper, double x, double y)
{
    if (paper->tiled)
        return tiles_at(paper, x, y);
    double t[6], sum = 0;
    terms(paper, x, y, t);
    for (int i = 0; i < 6; i++)
        sum += paper->c[i] * t[i];
    return fmax(1, fmin(255, sum));
}

/* Solves m c = m[.][6] by elimination with pivots; false when there is no single answer. */
static bool solve(double m[6][7], double c[6])
{
    for (int k = 0; k < 6; k++) {
        int best = k;
        for (int i = k + 1; i < 6; i++)
            best = fabs(m[i][k]) > fabs(m[best][k]) ? i : best;
        if (fabs(m[best][k]) < 1e-12)
            return false;
        double swap[7];
        memcpy(swap, m[k], sizeof swap);
        memcpy(m[k], m[best], sizeof swap);
        memcpy(m[best], swap, sizeof swap);
        for (int i = 0; i < 6; i++) {
            double factor = i == k ? 0 : m[i][k] / m[k][k];
            for (int j = k; j < 7; j++)
                m[i][j] -= factor * m[k][j];
        }
    }
    for (int k = 0; k < 6; k++)
        c[k] = m[k][6] / m[k][k];
    return true;
}

static bool fit(const sample *samples, size_t count, nw_paper *paper)
{
    double m[6][7] = {{0}};
    for (size_t k = 0; k < count; k++) {
        double t[6];
        terms(paper, samples[k].x, samples[k].y, t);
        for (int i = 0; i < 6; i++) {
            for (int j = 0; j < 6; j++)
                m[i][j] += samples[k].weight * t[i] * t[j];
            m[i][6] += samples[k].weight * t[i] * samples[k].level;
        }
    }
    return solve(m, paper->c);
}

bool nw_paper_smooth(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper)
{
    sample samples[TILES_MOST];
    *paper = (nw_paper){.scale_x = 2.0 / width, .scale_y = 2.0 / height};
    size_t count = take_samples(values, width, height, paper, samples);
    for (int round = 0; round < FIT_ROUNDS; round++) {
        if (!fit(samples, count, paper))
            return false;
        for (size_t k = 0; k < count; k++) {
            double under = nw_paper_at(paper, samples[k].x, samples[k].y) - samples[k].level;
            samples[k].weight = under > 2 ? INK_WEIGHT : 1;
        }
    }
    return true;
}

/* ---- paper in a shadow ----------------------------------------------------------------------- */

/* The mean of the square of this side round a place, as far as it lies in the picture. */
static double mean_round(const uint8_t *values, uint32_t width, uint32_t height, double x, double y,
                         uint32_t side)
{
    uint32_t x0 = (uint32_t)fmax(0, x - side / 2.0), y0 = (uint32_t)fmax(0, y - side / 2.0);
    uint64_t sum = 0, count = 0;
    for (uint32_t j = y0; j < y0 + side && j < height; j++) {
        for (uint32_t i = x0; i < x0 + side && i < width; i++) {
            sum += values[(size_t)j * width + i];
            count++;
        }
    }
    return count ? (double)sum / (double)count : 0;
}

/* Whether the light changes softly all the way between two tiles' middles. */
static bool is_soft(const uint8_t *values, uint32_t width, uint32_t height, const sample *a,
                    const sample *b)
{
    uint32_t side = 4 + (width > height ? width : height) / 400;
    double dx = b->x - a->x, dy = b->y - a->y, length = sqrt(dx * dx + dy * dy);
    int steps = (int)(length / side) + 2;
    double levels[2] = {a->level, a->level}; /* of the last two steps */
    for (int k = 0; k <= steps; k++) {
        double x = a->x + dx * k / steps, y = a->y + dy * k / steps;
        double level = mean_round(values, width, height, x, y, side), before = levels[k % 2];
        if (fabs(level - before) > SHARP * fmax(level, before))
            return false;
        levels[k % 2] = level;
    }
    return true;
}

/* Marks the tiles reached from tile k, its neighbours first: those that are lighter, nearly as
 * light, or reached softly. */
static void spread(const uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper,
                   const sample *samples, bool *is_paper)
{
    uint32_t stack[TILES_MOST];
    size_t depth = 0, across = paper->across, count = across * paper->down;
    for (size_t k = 0; k < count; k++)
        if (is_paper[k])
            stack[depth++] = (uint32_t)k;
    while (depth) {
        size_t k = stack[--depth], column = k % across;
        size_t next[] = {column ? k - 1 : k, column + 1 < across ? k + 1 : k,
                         k >= across ? k - across : k, k + across < count ? k + across : k};
        for (int i = 0; i < 4; i++) {
            size_t n = next[i];
            if (!is_paper[n] && (samples[n].level >= ALIKE * samples[k].level ||
                                 is_soft(values, width, height, &samples[k], &samples[n]))) {
                is_paper[n] = true;
                stack[depth++] = (uint32_t)n;
            }
        }
    }
}

/* Tiles that are no paper are as light as the paper round them, near tiles counting most. */
static void fill_tiles(const sample *samples, const bool *is_paper, nw_paper *paper)
{
    size_t count = (size_t)paper->across * paper->down;
    for (size_t k = 0; k < count; k++) {
        double sum = 0, weights = 0;
        for (size_t i = 0; i < count && !is_paper[k]; i++) {
            double dx = samples[i].x - samples[k].x, dy = samples[i].y - samples[k].y;
            double weight = is_paper[i] ? nw_power(dx * dx + dy * dy, -2) : 0;
            sum += weight * samples[i].level;
            weights += weight;
        }
        paper->tiles[k] = (float)(is_paper[k] ? samples[k].level : sum / weights);
    }
}

void nw_paper_shaded(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper)
{
    sample samples[TILES_MOST];
    bool is_paper[TILES_MOST];
    *paper = (nw_paper){.scale_x = 2.0 / width, .scale_y = 2.0 / height, .tiled = true};
    size_t count = take_samples(values, width, height, paper, samples);
    double lightest = 0;
    for (size_t k = 0; k < count; k++)
        lightest = fmax(lightest, samples[k].level);
    for (size_t k = 0; k < count; k++)
        is_paper[k] = samples[k].level >= ALIKE * lightest;
    spread(values, width, height, paper, samples, is_paper);
    fill_tiles(samples, is_paper, paper);
}
