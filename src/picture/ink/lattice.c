/*
 * lattice: ink -> the side of a pixel of the smaller picture that it was enlarged from, where that
 * one was in black and white alone.
 *
 * Such a picture's edges run between its own pixels, so most columns and rows of the larger one
 * hold none, and those that do lie as far apart as a pixel of the smaller one was wide, whether it
 * was enlarged sharply or smoothly. How many edges there are in each column then beats at one
 * frequency, and at the same one in the rows: sought in their autocorrelation (R. B. Blackman and
 * J. W. Tukey, The measurement of power spectra, 1958), then found by Fourier's sum over all of
 * them. Art of its own beats at none over so many columns. Art that repeats, as a grid of holes
 * does, beats as well, but its edges have few distances.
 */
#include <geom/geom.h>
#include <picture/picture.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LAGS 64          /* px */
#define STEPS 512        /* frequencies asked for at first, up to a half */
#define SIDE_LEAST 1.9   /* px: what an enlargement makes of a pixel, at least, */
#define SIDE_MOST 40.0   /* and at most */
#define BEATS_LEAST 90.0 /* pixels of the smaller picture: fewer may be an accident */
#define BEATS 0.25       /* of the edges, at least: greys that were enlarged hardly beat as much */
#define AS_LONG 0.005    /* of it, by which the columns' may differ from the rows' */
#define ALIKE 0.95       /* of the strongest beat: a slower one is what it repeats */
#define REPEATS 20       /* times as fast, at most: the fastest beat of the slowest */
#define CAPPED 2         /* times the mean: a long straight edge counts as so many edges */
#define RUNS 1024        /* px: how long runs of ink and paper are told apart */
#define LENGTHS_LEAST 12 /* of runs, in pixels of the smaller picture */

/* How many edges there are at each place across a picture. */
typedef struct {
    double *at;
    size_t count;
    double mean; /* where there are any */
} edge_counts;

/* From the first edge to the last, straight ones capped. */
static bool counts_trim(edge_counts *c)
{
    double sum = 0;
    while (c->count && c->at[c->count - 1] == 0)
        c->count--;
    while (c->count && c->at[0] == 0) {
        c->at++;
        c->count--;
    }
    for (size_t i = 0; i < c->count; i++)
        sum += c->at[i];
    c->mean = 0;
    for (size_t i = 0; i < c->count; i++) {
        c->at[i] = fmin(c->at[i], CAPPED * sum / (double)c->count);
        c->mean += c->at[i] / (double)c->count;
    }
    return (double)c->count >= SIDE_LEAST * BEATS_LEAST && c->count > 2 * LAGS;
}

/* What part of the edges beats at a frequency, in beats a pixel. */
static double beat_at(const edge_counts *c, double frequency)
{
    double turn_x = nw_cos(2 * NW_PI * frequency), turn_y = nw_sin(2 * NW_PI * frequency);
    nw_point hand = {1, 0}, sum = {0, 0};
    for (size_t i = 0; i < c->count; i++) {
        sum = nw_plus(sum, hand, c->at[i]);
        hand = (nw_point){hand.x * turn_x - hand.y * turn_y, hand.x * turn_y + hand.y * turn_x};
    }
    return nw_length(sum) / (c->mean * (double)c->count);
}

/* About where the counts' changes beat most, so slowly or faster. */
static double beat_guess(const edge_counts *c)
{
    double alike[LAGS] = {0}, best = 0, frequency = 0;
    for (size_t lag = 0; lag < LAGS; lag++)
        for (size_t i = 1; i + lag < c->count; i++)
            alike[lag] += (c->at[i] - c->at[i - 1]) * (c->at[i + lag] - c->at[i + lag - 1]);
    for (int k = 0; k <= STEPS; k++) {
        double at = 0.5 * k / STEPS, power = alike[0];
        for (size_t lag = 1; lag < LAGS; lag++) {
            double fades = 1 - (double)lag / LAGS;
            power += 2 * fades * alike[lag] * nw_cos(2 * NW_PI * at * (double)lag);
        }
        if (at * SIDE_LEAST <= 1 && power > best) {
            best = power;
            frequency = at;
        }
    }
    return frequency;
}

/* The strongest beat near a frequency. */
static double beat_near(const edge_counts *c, double near, double within, double *frequency)
{
    double step = 0.25 / (double)c->count, best = 0;
    for (double at = near - within; at <= near + within; at += step) {
        double beat = beat_at(c, at);
        *frequency = beat > best ? at : *frequency;
        best = fmax(best, beat);
    }
    return best;
}

/* The pixels from one beat to the next; 0: there are none, or too few. */
static double beat_find(edge_counts c)
{
    double frequency = 0, slower = 0;
    if (!counts_trim(&c))
        return 0;
    double beat = beat_near(&c, beat_guess(&c), 1.0 / STEPS, &frequency);
    if (beat < BEATS)
        return 0;
    for (int times = REPEATS; times > 1; times--) {
        double least = beat_near(&c, frequency / times, 0.5 / (double)c.count, &slower);
        if (slower * SIDE_MOST >= 1 && least >= ALIKE * beat) {
            frequency = slower;
            break;
        }
    }
    return frequency * (double)c.count >= BEATS_LEAST ? 1 / frequency : 0;
}

/* Counts edges between columns, and the lengths of the runs between them. */
static void row_count(const nw_ink *ink, const uint64_t *row, double *columns, bool *runs)
{
    uint64_t last = 0;
    size_t from = 0;
    for (size_t k = 0; k < ink->stride; k++) {
        uint64_t edges = row[k] ^ (row[k] >> 1 | last << 63);
        for (last = row[k]; edges;) {
            size_t bit = (size_t)__builtin_clzll(edges), x = 64 * k + bit;
            edges &= ~(UINT64_C(1) << (63 - bit));
            if (x < ink->width) {
                columns[x]++;
                runs[x - from < RUNS ? x - from : 0] = true;
                from = x;
            }
        }
    }
}

static bool lengths_vary(const bool *runs, double side)
{
    size_t found = 0, last = 0;
    for (size_t length = 1; length < RUNS; length++) {
        size_t pixels = (size_t)((double)length / side + 0.5);
        if (runs[length] && pixels > last) {
            found++;
            last = pixels;
        }
    }
    return found >= LENGTHS_LEAST;
}

/* Counts edges between rows. */
static void rows_count(const nw_ink *ink, double *rows)
{
    for (uint32_t y = 1; y < ink->height; y++) {
        const uint64_t *row = ink->words + y * ink->stride, *above = row - ink->stride;
        for (size_t k = 0; k < ink->stride; k++)
            rows[y] += __builtin_popcountll(row[k] ^ above[k]);
    }
}

nw_status nw_ink_lattice(const nw_ink *ink, double *side, nw_error *error)
{
    size_t longer = ink->width > ink->height ? ink->width : ink->height;
    double *counts = nw_alloc(longer, sizeof *counts);
    bool runs[RUNS] = {false};
    *side = 0;
    if (!counts)
        return nw_fail_memory(error, "the edges of the picture");
    for (uint32_t y = 0; y < ink->height; y++)
        row_count(ink, ink->words + y * ink->stride, counts, runs);
    double across = beat_find((edge_counts){counts, ink->width, 0});
    if (across > 0 && lengths_vary(runs, across)) {
        memset(counts, 0, longer * sizeof *counts);
        rows_count(ink, counts);
        double down = beat_find((edge_counts){counts, ink->height, 0});
        *side = fabs(across - down) <= AS_LONG * across ? (across + down) / 2 : 0;
    }
    free(counts);
    return NW_OK;
}
