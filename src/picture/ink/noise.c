/*
 * noise: how much a picture's levels scatter where nothing is drawn; and the same levels with less
 * of it: in means of squares of pixels where an outline does not need them all, then smoothed.
 *
 * The scatter is what the mask (1 -2 1; -2 4 -2; 1 -2 1) leaves, which sees neither slopes nor
 * straight edges along rows and columns (J. Immerkær, Fast noise variance estimation, Computer
 * Vision and Image Understanding 64(2):300-302, 1996, doi:10.1006/cviu.1996.0060). In place of
 * the mean of its answers their lower quartile is taken, as the median is by D. L. Donoho and
 * I. M. Johnstone (Biometrika 81(3):425-455, 1994): a drawing without noise then has none, however
 * much of it is edges. Compression takes the finest scatter away and leaves the coarser one, so
 * means of 1, 2, 3 and 4 pixels' squares are asked as well.
 *
 * Smoothing is by a Gaussian G, twice: 2 G - G G keeps what is flat, sloped or bent (J. W. Tukey,
 * Exploratory Data Analysis, 1977, as "twicing"), so that curves and thin art are not blunted.
 */
#include <geom/geom.h>
#include <picture/picture.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SCALES 4
#define SAMPLES 100000  /* places asked for each scale, about */
#define QUARTILE 0.3186 /* of a normal distribution's absolute values, in deviations */
#define MASK_NORM 6     /* the mask's own: the root of its sum of squares */
#define LEVEL_PARTS 4   /* steps of a level in which answers are counted */
#define ANSWERS (8 * 255 * LEVEL_PARTS + 1)
#define NOISE_LEAST 0.02 /* of the contrast: less does not show in an outline */
#define NOISE_LEFT 0.015 /* of the contrast: what smoothing aims at */
#define OFF_PX 0.45      /* that noise may move an edge, in the mean; tracing takes the rest */
#define OFF_LITTLE 0.1   /* px: to this where smoothing goes on well within an edge's own blur, */
#define WITHIN 0.3       /* of which this takes nothing off tips */
#define DETAIL_PX 3000   /* along the longer side: no outline needs more, were they without noise */
#define SOFT_PX 0.8 /* deviation of blur, as good scans have, that is left of an enlargement's */
#define SIGMA_LEAST 0.6 /* px: edges are then wide enough to be found between two pixels */
#define SIGMA_SHARP 1.5 /* px: more loses strokes of two pixels where edges are sharp */
#define SIGMA_SIDE                                                                                 \
    1000               /* of the longer side: at most, too, for a soft shadow is no blurred edge   \
                        */
#define SIGMA_MOST 8.0 /* px */
#define ROUNDS 4
#define LEFT_LEAST 0.25 /* of the noise where most is cut off: of more there is no telling */
#define WORTH 1.1       /* times as much smoothing: another round */
#define EDGE_ROWS 1000  /* of a picture tell how blurred its edges are */
#define SMALL_PX 300    /* the shorter side of pictures too small to be smoothed */
#define REACH_MOST 24   /* pixels on either side, 3 SIGMA_MOST */
/* What smoothing divides white noise by, per sigma: the root of the sum of squares of 2 G - G G. */
#define WHITE_FALLS sqrt(24 * NW_PI / 11)
#define WEIGHTS 256 /* the sum of the weights: a row's sums then have 16 bits */

/* The sum of the levels of a square of side pixels. */
static uint32_t square_sum(const uint8_t *values, size_t width, size_t x, size_t y, size_t side)
{
    uint32_t sum = 0;
    for (size_t j = 0; j < side; j++)
        for (size_t i = 0; i < side; i++)
            sum += values[(y + j) * width + x + i];
    return sum;
}

static unsigned mask_answer(const uint8_t *values, size_t width, size_t x, size_t y, size_t side)
{
    static const int weights[3][3] = {{1, -2, 1}, {-2, 4, -2}, {1, -2, 1}};
    int sum = 0;
    for (size_t j = 0; j < 3; j++)
        for (size_t i = 0; i < 3; i++)
            sum += weights[j][i] * (int)square_sum(values, width, x + i * side, y + j * side, side);
    return (unsigned)abs(sum) * LEVEL_PARTS / (unsigned)(side * side);
}

/* The deviation of the means of squares of side pixels. */
static double deviation(const uint8_t *values, uint32_t width, uint32_t height, size_t side,
                        uint32_t *counts)
{
    size_t span = 3 * side, across = (width - span) / side + 1, down = (height - span) / side + 1;
    size_t step = (size_t)ceil(sqrt((double)across * (double)down / SAMPLES)), total = 0;
    memset(counts, 0, ANSWERS * sizeof *counts);
    for (size_t y = 0; y < down; y += step) {
        for (size_t x = y % step; x < across; x += step) {
            counts[mask_answer(values, width, x * side, y * side, side)]++;
            total++;
        }
    }
    size_t answer = 0, below = counts[0];
    while (below < total / 4)
        below += counts[++answer];
    return (double)answer / (LEVEL_PARTS * MASK_NORM * QUARTILE);
}

/* The picture's noise in levels, were it alike at all scales; 0 for one that was drawn. */
static double noise_of(const uint8_t *values, uint32_t width, uint32_t height)
{
    uint32_t *counts = nw_alloc(ANSWERS, sizeof *counts);
    double noise = 0;
    for (size_t side = 1; counts && side <= SCALES; side++) {
        double white = (double)side * deviation(values, width, height, side, counts);
        if (side == 1 && white == 0)
            break; /* drawn, not taken from paper */
        noise = fmax(noise, white);
    }
    free(counts);
    return noise;
}

/* The mean levels of ink and paper. */
typedef struct {
    double dark, light;
} levels_of_two;

static levels_of_two means_find(const uint8_t *values, size_t count)
{
    uint64_t histogram[256];
    nw_values_count(values, count, histogram);
    double counts[2] = {0}, sums[2] = {0};
    int level = nw_otsu(histogram);
    for (int i = 0; i < 256; i++) {
        counts[i > level] += (double)histogram[i];
        sums[i > level] += (double)i * (double)histogram[i];
    }
    return (levels_of_two){counts[0] > 0 ? sums[0] / counts[0] : 0,
                           counts[1] > 0 ? sums[1] / counts[1] : 0};
}

/* The deviation of the blur that edges have: a straight edge under a Gaussian is within a quarter
 * of the contrast from its middle level over 1.35 deviations, and crosses 4 / pi rows and columns a
 * pixel of its length, in the mean over all ways that it may run. */
static double edge_blur(const uint8_t *values, uint32_t width, uint32_t height, levels_of_two means)
{
    double middle = (means.dark + means.light) / 2, quarter = (means.light - means.dark) / 4;
    uint8_t over[256], between[256];
    for (int i = 0; i < 256; i++) {
        over[i] = i > middle;
        between[i] = fabs(i - middle) <= quarter;
    }
    uint64_t crossings = 0, inside = 0;
    for (uint32_t y = 1; y < height; y += 1 + height / EDGE_ROWS) {
        const uint8_t *row = values + (size_t)y * width, *above = row - width;
        for (uint32_t x = 1; x < width; x++) {
            inside += between[row[x]];
            crossings += (over[row[x]] ^ over[row[x - 1]]) + (over[row[x]] ^ over[above[x]]);
        }
    }
    return crossings ? 4 / NW_PI / 1.35 * (double)inside / (double)crossings : 0;
}

/* The sum of a square that may reach beyond the edge, where the outermost pixels go on. */
static uint32_t square_sum_held(const uint8_t *values, size_t width, size_t height, size_t x,
                                size_t y, size_t side)
{
    uint32_t sum = 0;
    for (size_t j = y; j < y + side; j++)
        for (size_t i = x; i < x + side; i++)
            sum += values[(j < height ? j : height - 1) * width + (i < width ? i : width - 1)];
    return sum;
}

/* Replaces squares of pixels by their means. */
static void shrink(uint8_t *values, uint32_t *width, uint32_t *height, uint32_t side)
{
    uint32_t across = (*width + side - 1) / side, down = (*height + side - 1) / side;
    uint32_t area = side * side;
    for (uint32_t y = 0; y < down; y++) {
        for (uint32_t x = 0; x < across; x++) {
            size_t left = (size_t)x * side, top = (size_t)y * side;
            bool inside = left + side <= *width && top + side <= *height;
            uint32_t sum = inside ? square_sum(values, *width, left, top, side)
                                  : square_sum_held(values, *width, *height, left, top, side);
            values[(size_t)y * across + x] = (uint8_t)((sum + area / 2) / area);
        }
    }
    *width = across;
    *height = down;
}

/* Whole weights of a Gaussian from its middle on, WEIGHTS in all; returns how many. */
static int weights_make(double sigma, uint16_t weights[REACH_MOST + 1])
{
    int reach = (int)fmin(REACH_MOST, ceil(3 * sigma)), left = WEIGHTS;
    double sum = 1;
    for (int k = 1; k <= reach; k++)
        sum += 2 * nw_exp(-k * k / (2 * sigma * sigma));
    for (int k = 1; k <= reach; k++) {
        weights[k] = (uint16_t)lround(WEIGHTS * nw_exp(-k * k / (2 * sigma * sigma)) / sum);
        left -= 2 * weights[k];
    }
    weights[0] = (uint16_t)left;
    return reach;
}

/* Four numbers of 16 bits at once: none of the sums here is larger, and each stays in its place,
 * whichever byte of a number comes first. */
static inline uint64_t four_at(const uint16_t *at)
{
    uint64_t four;
    memcpy(&four, at, sizeof four);
    return four;
}

/* The second and the fourth of them, or the others, in 32 bits each. */
static inline uint64_t two_of(uint64_t four)
{
    return four & 0x0000ffff0000ffff;
}

/* Rows summed along themselves, row y at y % (2 reach + 1). */
typedef struct {
    uint32_t width, height, stride; /* stride: of rows, with room for four at a time */
    int reach;
    uint16_t weights[REACH_MOST + 1];
    uint16_t *rows, *padded; /* padded: a row, with `reach` more values on either side */
} smooth_window;

/* The picture goes on beyond its edges as in a mirror: were its outermost pixels to go on, their
 * noise would weigh most where least of it is averaged, and leave specks there. */
static void row_pad(const smooth_window *w, const uint8_t *row)
{
    uint16_t *to = w->padded + w->reach;
    for (int k = 1; k <= w->reach; k++) {
        to[-k] = row[k - 1];
        to[w->width + (uint32_t)k - 1] = row[w->width - (uint32_t)k];
    }
    for (uint32_t x = 0; x < w->width; x++)
        to[x] = row[x];
}

static void row_smooth(const smooth_window *w, const uint8_t *row, uint16_t *to)
{
    row_pad(w, row);
    for (uint32_t x = 0; x < w->width; x += 4) {
        const uint16_t *from = w->padded + w->reach + x;
        uint64_t sums = w->weights[0] * four_at(from);
        for (int k = 1; k <= w->reach; k++)
            sums += w->weights[k] * (four_at(from - k) + four_at(from + k));
        memcpy(to + x, &sums, sizeof sums);
    }
}

static uint16_t *row_at(const smooth_window *w, int64_t y)
{
    int64_t last = (int64_t)w->height - 1, held = y < 0 ? -1 - y : y > last ? 2 * last + 1 - y : y;
    return w->rows + (size_t)(held % (2 * w->reach + 1)) * w->stride;
}

/* twice: adds what smoothing takes from the row. */
static void column_smooth(const smooth_window *w, uint32_t y, bool twice, uint8_t *to)
{
    const uint64_t half = WEIGHTS * WEIGHTS / 2, halves = half << 32 | half;
    const uint16_t *here = row_at(w, y), *above[REACH_MOST], *below[REACH_MOST];
    for (int k = 1; k <= w->reach; k++) {
        above[k - 1] = row_at(w, (int64_t)y - k);
        below[k - 1] = row_at(w, (int64_t)y + k);
    }
    for (uint32_t x = 0; x < w->width; x += 4) {
        uint64_t four = four_at(here + x), two = w->weights[0] * two_of(four),
                 others = w->weights[0] * two_of(four >> 16);
        for (int k = 0; k < w->reach; k++) {
            uint64_t up = four_at(above[k] + x), down = four_at(below[k] + x);
            two += w->weights[k + 1] * (two_of(up) + two_of(down));
            others += w->weights[k + 1] * (two_of(up >> 16) + two_of(down >> 16));
        }
        /* Divided by WEIGHTS * WEIGHTS, 16 bits. */
        uint64_t levels = two_of((two + halves) >> 16) | two_of((others + halves) >> 16) << 16;
        uint16_t smoothed[4];
        memcpy(smoothed, &levels, sizeof smoothed);
        for (uint32_t i = 0; i < 4 && x + i < w->width; i++) {
            int level = twice ? 2 * to[x + i] - smoothed[i] : smoothed[i];
            to[x + i] = (uint8_t)(level < 0 ? 0 : level > 255 ? 255 : level);
        }
    }
}

static bool smooth(uint8_t *values, uint32_t width, uint32_t height, double sigma, bool twice)
{
    smooth_window w = {.width = width, .height = height, .stride = (width + 3) / 4 * 4};
    w.reach = weights_make(sigma, w.weights);
    w.rows = nw_alloc((size_t)(2 * w.reach + 1) * w.stride, sizeof *w.rows);
    w.padded = nw_alloc((size_t)w.stride + 2 * (size_t)w.reach, sizeof *w.padded);
    bool done = w.rows && w.padded;
    for (uint32_t y = 0, loaded = 0; done && y < height; y++) {
        for (; loaded < height && loaded <= y + (uint32_t)w.reach; loaded++)
            row_smooth(&w, values + (size_t)loaded * width, row_at(&w, loaded));
        column_smooth(&w, y, twice, values + (size_t)y * width);
    }
    free(w.rows);
    free(w.padded);
    return done;
}

/* What is left of a normal distribution's deviation where all that lies below one level, or above
 * one, is cut off to it, as is true of so many values: (1 - share)^(3/4), within 4 % of what its
 * moments say up to a share of 0.84. */
static double left_of_cut_off(const uint8_t *values, size_t count)
{
    uint64_t histogram[256];
    nw_values_count(values, count, histogram);
    double left = 1 - (double)(histogram[0] + histogram[255]) / (double)count;
    return sqrt(left * sqrt(left));
}

/* A picture's levels as its edges are to be judged: relative to the paper, where light falls off.
 */
typedef struct {
    uint8_t *values, *flat; /* flat: or NULL, where they do as they are */
    uint32_t width, height;
    nw_paper paper;
} lit_levels;

static const uint8_t *evenly_lit(const lit_levels *lit)
{
    if (!lit->flat)
        return lit->values;
    nw_light_flatten(lit->values, lit->width, lit->height, &lit->paper, lit->flat);
    return lit->flat;
}

/* As far as sharp edges allow; and further where edges are blurred anyway, so that noise, `part` of
 * the contrast, moves them by OFF_PX. How blurred is seen the better the less noise is left. Black
 * and white have lost the half of their noise that lay beyond; edges, which lie between, have not,
 * and move by all of it. */
static bool smooth_by(lit_levels *lit, double part, nw_coarseness *coarse)
{
    uint32_t width = lit->width, height = lit->height;
    size_t count = (size_t)width * height;
    double wanted = part / NOISE_LEFT / WHITE_FALLS;
    double most = fmin(SIGMA_MOST, fmax(width, height) / SIGMA_SIDE);
    double left = fmax(LEFT_LEAST, left_of_cut_off(lit->values, count));
    double more = fmin(SIGMA_SHARP, fmax(SIGMA_LEAST, wanted)), sigma = 0;
    for (int round = 0; round < ROUNDS && more > WORTH * sigma; round++) {
        if (!smooth(lit->values, width, height, sqrt(more * more - sigma * sigma), false))
            return false;
        sigma = more;
        const uint8_t *even = evenly_lit(lit);
        double blur = edge_blur(even, width, height, means_find(even, count)),
               own = sqrt(fmax(0, blur * blur - sigma * sigma));
        double moved = part * sqrt(2 * NW_PI) * blur / WHITE_FALLS; /* times sigma */
        more = fmin(most, fmax(fmin(own, moved / OFF_PX), fmin(WITHIN * own, moved / OFF_LITTLE)));
        coarse->off = moved / sigma / left;
        coarse->left = 1 / (sigma * left * WHITE_FALLS);
    }
    coarse->sigma = sigma;
    return smooth(lit->values, width, height, sigma, true);
}

/* Where light falls off, paper in the shade may be as dark as edges are half-way, which then seem
 * to be wide: levels relative to the paper tell better, if edges are sharper so. False when memory
 * runs out. */
static bool light_even(lit_levels *lit, double *part)
{
    uint32_t width = lit->width, height = lit->height;
    size_t count = (size_t)width * height;
    levels_of_two means = means_find(lit->values, count);
    if (!nw_paper_smooth(lit->values, width, height, &lit->paper) ||
        !nw_light_falls(&lit->paper, width, height, means.light - means.dark))
        return true;
    lit->flat = nw_alloc_raw(count, 1);
    if (!lit->flat)
        return false;
    const uint8_t *even = evenly_lit(lit);
    levels_of_two flat = means_find(even, count);
    /* Noise is as much stronger as the paper becomes lighter, in its middle. */
    double lighter = flat.light / nw_paper_at(&lit->paper, width / 2.0, height / 2.0);
    double other = *part * lighter * (means.light - means.dark) / fmax(1, flat.light - flat.dark);
    /* How far noise moves edges, but for what smoothing does to both. */
    double moved = *part * edge_blur(lit->values, width, height, means);
    if (other * edge_blur(even, width, height, flat) < moved) {
        *part = other;
        return true;
    }
    free(lit->flat);
    lit->flat = NULL;
    return true;
}

static bool smooth_found(uint8_t *values, uint32_t width, uint32_t height, double part,
                         nw_coarseness *coarse)
{
    lit_levels lit = {.values = values, .width = width, .height = height};
    bool done = light_even(&lit, &part) &&
                (part * coarse->squares < NOISE_LEAST || smooth_by(&lit, part, coarse));
    free(lit.flat);
    return done;
}

bool nw_noise_lower(uint8_t *values, uint32_t *width, uint32_t *height, bool find,
                    nw_coarseness *coarse)
{
    if (!find) {
        if (coarse->squares > 1)
            shrink(values, width, height, coarse->squares);
        return coarse->sigma == 0 || (smooth(values, *width, *height, coarse->sigma, false) &&
                                      smooth(values, *width, *height, coarse->sigma, true));
    }
    *coarse = (nw_coarseness){.squares = 1};
    if (*width < SMALL_PX || *height < SMALL_PX)
        return true;
    levels_of_two means = means_find(values, (size_t)*width * *height);
    double noise = noise_of(values, *width, *height);
    double part = noise / fmax(1, means.light - means.dark);
    bool noisy = part >= NOISE_LEAST;
    uint32_t longer = *width > *height ? *width : *height, squares = longer / DETAIL_PX;
    if (squares >= 2 && (noisy || edge_blur(values, *width, *height, means) >= SOFT_PX * squares)) {
        coarse->squares = squares;
        shrink(values, width, height, coarse->squares);
    }
    if (!noisy)
        return true;
    bool done = smooth_found(values, *width, *height, part / coarse->squares, coarse);
    coarse->left *= noise / coarse->squares;
    return done;
}
