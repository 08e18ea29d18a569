/*
 * light: grey levels -> whether one level does for all of the paper, and what the paper is like.
 *
 * A shadow falls on the sheet where paper that is followed over soft changes of light leaves ink
 * and paper far more even than paper that is smooth all over.
 */
#include <picture/picture.h>

#include <math.h>
#include <stdlib.h>

#define LINES 100       /* rows and columns looked at, about */
#define WEAK 0.25       /* of the contrast: an edge that is none */
#define STRONG 0.45     /* of the contrast: an edge for sure */
#define WEAK_SHARE 0.08 /* of the level's line through paper makes it useless */
#define CLEARER 0.5     /* of the variance left by a smooth paper, or none: it lies in a shadow */
#define LOST_SHARE 0.15 /* of the edges lost */
#define STRETCHES 128   /* of a row, about, over which the paper's level changes by little */
#define FALL_OFF 0.25   /* of the contrast: paper that is not lit evenly */

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

static double weak_share(const edge_count *edges)
{
    return edges->crossed ? (double)edges->weak / (double)edges->crossed : 0;
}

static bool fails(const edge_count *edges)
{
    return weak_share(edges) > WEAK_SHARE ||
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

void nw_light_flatten(const uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper,
                      uint8_t *flat)
{
    uint32_t stretch = 1 + width / STRETCHES;
    for (uint32_t y = 0; y < height; y++) {
        for (uint32_t x = 0; x < width;) {
            uint32_t end = width - x < stretch ? width : x + stretch;
            double level = nw_paper_at(paper, (x + end) / 2.0, y + 0.5);
            uint32_t times = (uint32_t)(NW_PAPER_FULL / level * 256);
            for (; x < end; x++) {
                uint32_t even = (*values++ * times + 128) >> 8;
                *flat++ = (uint8_t)(even < 255 ? even : 255);
            }
        }
    }
}

bool nw_light_falls(const nw_paper *paper, uint32_t width, uint32_t height, double contrast)
{
    return fall_off(paper, width, height) >= FALL_OFF * contrast;
}

void nw_light_levels(const uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper,
                     uint64_t histogram[256])
{
    for (int turned = 0; turned < 2; turned++) {
        uint32_t lines = turned ? width : height, count = turned ? height : width;
        for (uint32_t k = 0; k < lines; k += lines / LINES + 1) {
            for (uint32_t i = 0; i < count; i++) {
                uint32_t x = turned ? k : i, y = turned ? i : k;
                double level = nw_paper_at(paper, x + 0.5, y + 0.5);
                histogram[(int)fmin(255,
                                    NW_PAPER_FULL * values[(size_t)y * width + x] / level + 0.5)]++;
            }
        }
    }
}

static double squares_within(const uint64_t histogram[256], int from, int to)
{
    double count = 0, sum = 0, squares = 0;
    for (int i = from; i <= to; i++) {
        count += (double)histogram[i];
        sum += (double)i * (double)histogram[i];
        squares += (double)i * i * (double)histogram[i];
    }
    return count > 0 ? squares - sum * sum / count : 0;
}

/* How much of the levels' variance is within ink and paper if this is the paper: the less, the
 * better it is known (Otsu's measure). */
static double blur(const uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper)
{
    uint64_t histogram[256] = {0};
    nw_light_levels(values, width, height, paper, histogram);
    int level = nw_otsu(histogram);
    double all = squares_within(histogram, 0, 255);
    double within = squares_within(histogram, 0, level) + squares_within(histogram, level + 1, 255);
    return all > 0 ? within / all : 0;
}

bool nw_paper_find(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper)
{
    if (!nw_paper_smooth(values, width, height, paper))
        return false;
    nw_paper shaded, even = {.c = {NW_PAPER_FULL}};
    nw_paper_shaded(values, width, height, &shaded);
    double least = fmin(blur(values, width, height, paper), blur(values, width, height, &even));
    if (blur(values, width, height, &shaded) < CLEARER * least)
        *paper = shaded;
    return true;
}

/* Light that falls off along rows shows in rows, along columns in columns. */
static void count_both(const uint8_t *values, uint32_t width, uint32_t height, const nw_ramp *ramp,
                       edge_count *along, edge_count *down)
{
    *along = *down = (edge_count){0};
    for (uint32_t y = 0; y < height; y += height / 1000 + 1)
        count_edges(values + (size_t)y * width, width, 1, ramp, along);
    for (uint32_t x = 0; x < width; x += width / 1000 + 1)
        count_edges(values + x, height, width, ramp, down);
}

bool nw_light_uneven(const uint8_t *values, uint32_t width, uint32_t height, const nw_ramp *ramp,
                     const nw_paper *paper)
{
    if (paper->tiled)
        return true; /* a shadow */
    if (ramp->flat || !nw_light_falls(paper, width, height, ramp->paper - ramp->ink))
        return false;
    edge_count along, down;
    count_both(values, width, height, ramp, &along, &down);
    return fails(&along) || fails(&down);
}

bool nw_light_soft(const uint8_t *values, uint32_t width, uint32_t height, const nw_ramp *ramp)
{
    edge_count along, down;
    count_both(values, width, height, ramp, &along, &down);
    return weak_share(&along) > WEAK_SHARE || weak_share(&down) > WEAK_SHARE;
}
