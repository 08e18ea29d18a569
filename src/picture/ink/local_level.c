/*
 * local_level: grey levels under uneven light -> density, with a threshold for each neighbourhood.
 *
 * Method: T = m (1 + k (s / R - 1)), m and s the mean and the standard deviation of the window
 * round the pixel, R = 128 (J. Sauvola and M. Pietikäinen, Adaptive document image binarization,
 * Pattern Recognition 33(2):225-236, 2000, doi:10.1016/S0031-3203(99)00055-2). Sums of the window's
 * columns are carried from row to row, so that only one window's height of rows is held; at the
 * borders the picture is mirrored about its outermost pixels.
 *
 * A window inside a large solid shape holds nothing but ink and tells nothing, so what is far
 * darker than the paper at its place is ink whatever its window says.
 */
#include <picture/ink/ink_levels.h>
#include <base/base.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define R 128.0
#define K 0.2
#define SOLID 0.5      /* of the paper's level and darker is ink */
#define BELOW 0.6      /* of the threshold and ... */
#define ABOVE 1.1      /* ... up to here an edge may be taken */
#define RAMP_LEAST 8.0 /* grey levels from the edge to full ink or paper, at least */

typedef struct {
    const uint8_t *values;
    uint32_t width, height, half;
    uint8_t *rows;  /* 2 half + 2 rows as they were, row y at y % (2 half + 2), and one of zeros */
    uint32_t *sums; /* of the window's columns */
    uint64_t *squares;
    double *thresholds;
} window;

static uint32_t mirrored(int64_t i, uint32_t count)
{
    i = i < 0 ? -i : i;
    return (uint32_t)(i < count ? i : 2 * (int64_t)(count - 1) - i);
}

static const uint8_t *row_at(const window *w, int64_t y)
{
    return w->rows + (size_t)(mirrored(y, w->height) % (2 * w->half + 2)) * w->width;
}

static void load_row(window *w, uint32_t y)
{
    memcpy(w->rows + (size_t)(y % (2 * w->half + 2)) * w->width, w->values + (size_t)y * w->width,
           w->width);
}

static void move_down(window *w, const uint8_t *in, const uint8_t *out)
{
    for (uint32_t x = 0; x < w->width; x++) {
        w->sums[x] += (uint32_t)in[x] - out[x];
        w->squares[x] += (uint64_t)in[x] * in[x] - (uint64_t)out[x] * out[x];
    }
}

/* Moves the window along the row, one column in and one out. */
static void row_thresholds(window *w, double k)
{
    double count = (2.0 * w->half + 1) * (2.0 * w->half + 1);
    uint64_t sum = 0, squares = 0;
    for (int64_t x = -(int64_t)w->half; x <= (int64_t)w->half; x++) {
        sum += w->sums[mirrored(x, w->width)];
        squares += w->squares[mirrored(x, w->width)];
    }
    for (uint32_t x = 0; x < w->width; x++) {
        double mean = (double)sum / count;
        double deviation = sqrt(fmax(0, (double)squares / count - mean * mean));
        w->thresholds[x] = mean * (1 + k * (deviation / R - 1));
        if (x + 1 == w->width)
            return;
        uint32_t in = mirrored((int64_t)x + w->half + 1, w->width);
        uint32_t out = mirrored((int64_t)x - w->half, w->width);
        sum += w->sums[in];
        sum -= w->sums[out];
        squares += w->squares[in];
        squares -= w->squares[out];
    }
}

static void all_rows(window *w, double k, nw_local_action *action, void *context)
{
    uint32_t loaded = 0;
    for (; loaded <= w->half; loaded++)
        load_row(w, loaded);
    const uint8_t *none = w->rows + (2 * (size_t)w->half + 2) * w->width;
    for (int64_t y = -(int64_t)w->half; y <= (int64_t)w->half; y++)
        move_down(w, row_at(w, y), none);
    for (int64_t y = 0; y < w->height; y++) {
        row_thresholds(w, k);
        action(context, (uint32_t)y, w->thresholds);
        if (loaded < w->height)
            load_row(w, loaded++);
        if (y + 1 < w->height)
            move_down(w, row_at(w, y + 1 + w->half), row_at(w, y - w->half));
    }
}

bool nw_local_levels(const uint8_t *values, uint32_t width, uint32_t height, uint32_t half,
                     double k, nw_local_action *action, void *context)
{
    uint32_t side = width < height ? width : height;
    half = half < side ? half : side - 1;
    window w = {.values = values, .width = width, .height = height, .half = half};
    w.rows = nw_alloc(2 * (size_t)half + 3, width);
    w.sums = nw_alloc(width, sizeof *w.sums);
    w.squares = nw_alloc(width, sizeof *w.squares);
    w.thresholds = nw_alloc((size_t)width + 1, sizeof *w.thresholds);
    bool done = w.rows && w.sums && w.squares && w.thresholds;
    if (done)
        all_rows(&w, k, action, context);
    free(w.rows);
    free(w.sums);
    free(w.squares);
    free(w.thresholds);
    return done;
}

/* ---- density --------------------------------------------------------------------------------- */

typedef struct {
    uint8_t *values;
    uint32_t width;
    const nw_paper *paper;
    double ink; /* its level where the paper's is 1 */
} target;

/* The ink's level in parts of the paper's. */
static double ink_part(const uint8_t *values, uint32_t width, uint32_t height,
                       const nw_paper *paper)
{
    uint64_t histogram[256] = {0};
    nw_light_levels(values, width, height, paper, histogram);
    nw_ramp ramp;
    return nw_ramp_find(histogram, true, -1, &ramp) ? fmin(1, ramp.ink / NW_PAPER_FULL) : 0;
}

static void row_density(void *context, uint32_t y, const double *thresholds)
{
    const target *t = context;
    uint8_t *row = t->values + (size_t)y * t->width;
    for (uint32_t x = 0; x < t->width; x++) {
        double paper = nw_paper_at(t->paper, x + 0.5, y + 0.5);
        double half = (1 + t->ink) / 2 * paper;
        double edge = fmax(BELOW * thresholds[x], fmin(ABOVE * thresholds[x], half));
        edge = fmax(edge, SOLID * paper);
        double over = edge - row[x];
        over /= fmax(RAMP_LEAST, over > 0 ? edge - t->ink * paper : paper - edge);
        double density = floor(127.5 + 127.5 * fmax(-1, fmin(1, over)) + 0.5);
        row[x] = (uint8_t)(over > 0 ? fmax(128, density) : fmin(127, density));
    }
}

bool nw_local_apply(uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper)
{
    uint32_t side = width < height ? width : height;
    target t = {values, width, paper, ink_part(values, width, height, paper)};
    return nw_local_levels(values, width, height, side / 24 + 7, K, row_density, &t);
}
