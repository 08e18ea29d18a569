/*
 * otsu: a histogram of grey levels -> the level that splits it best in two, and the ramp from
 * paper to ink.
 *
 * Method: N. Otsu, A threshold selection method from gray-level histograms, IEEE Trans. SMC
 * 9(1):62-66, 1979, doi:10.1109/TSMC.1979.4310076.
 */
#include <picture/picture.h>

#include <math.h>

#define FLAT_SHARE 0.6  /* of a class near its median makes it one flat tone */
#define EVEN_SHARE 0.95 /* of the paper: it is lit evenly all over */

int nw_otsu(const uint64_t histogram[256])
{
    double total = 0, sum = 0;
    for (int i = 0; i < 256; i++) {
        total += (double)histogram[i];
        sum += (double)i * (double)histogram[i];
    }
    double below = 0, sum_below = 0, best = -1;
    int level = 0;
    for (int i = 0; i < 255; i++) {
        below += (double)histogram[i];
        sum_below += (double)i * (double)histogram[i];
        double above = total - below;
        if (below <= 0 || above <= 0)
            continue;
        double difference = sum_below / below - (sum - sum_below) / above;
        double variance = below * above * difference * difference;
        if (variance > best) {
            best = variance;
            level = i;
        }
    }
    return level;
}

double nw_levels_sum(const uint64_t histogram[256], int first, int last)
{
    double sum = 0;
    for (int i = first < 0 ? 0 : first; i <= last && i < 256; i++)
        sum += (double)histogram[i];
    return sum;
}

/* The level in first..last below which the share of their pixels lies; -1 when there are none. */
static int quantile(const uint64_t histogram[256], int first, int last, double share)
{
    double total = nw_levels_sum(histogram, first, last), sum = 0;
    for (int i = first; i <= last; i++) {
        sum += (double)histogram[i];
        if (total > 0 && sum >= share * total)
            return i;
    }
    return -1;
}

static double share_near(const uint64_t histogram[256], int first, int last, int centre, int reach)
{
    int from = centre - reach, to = centre + reach;
    return nw_levels_sum(histogram, from > first ? from : first, to < last ? to : last) /
           nw_levels_sum(histogram, first, last);
}

bool nw_ramp_find(const uint64_t histogram[256], bool dark, int fixed, nw_ramp *ramp)
{
    int level = fixed >= 0 ? fixed : nw_otsu(histogram);
    int low = quantile(histogram, 0, level, 0.5);
    int high = quantile(histogram, level + 1, 255, 0.5);
    if (low < 0 || high < 0)
        return false;
    int reach = (high - low) / 8 + 1;
    double low_near = share_near(histogram, 0, level, low, reach);
    double high_near = share_near(histogram, level + 1, 255, high, reach);
    bool low_flat = low_near >= FLAT_SHARE, high_flat = high_near >= FLAT_SHARE;
    /* A class of many tones, such as lines too thin to reach their full tone, says more about the
     * ink's own level at its far end. */
    if (!low_flat && dark)
        low = quantile(histogram, 0, level, 0.1);
    if (!high_flat && !dark)
        high = quantile(histogram, level + 1, 255, 0.9);
    /* Two flat tones with antialiased edges between them: the edge is half way. */
    bool halfway = fixed < 0 && low_flat && high_flat;
    double crossing = halfway ? floor((low + high) / 2.0) + 0.5 : level + 0.5;
    if (halfway && crossing > high)
        crossing = low + 0.5;
    *ramp = (nw_ramp){.ink = dark ? low : high, .crossing = crossing, .paper = dark ? high : low};
    ramp->flat = low_flat && high_flat;
    ramp->even = (dark ? high_near : low_near) >= EVEN_SHARE;
    return true;
}

void nw_ramp_table(const nw_ramp *ramp, uint8_t table[256])
{
    double sign = ramp->ink < ramp->paper ? -1 : 1;
    for (int i = 0; i < 256; i++) {
        double over = sign * (i - ramp->crossing);
        double room =
            over > 0 ? fabs(ramp->ink - ramp->crossing) : fabs(ramp->paper - ramp->crossing);
        double part = room > 0 ? over / room : (over > 0 ? 1 : -1);
        double density = 127.5 + 127.5 * fmax(-1, fmin(1, part));
        /* The crossing lies between two levels, whatever the rounding. */
        table[i] = over > 0 ? (uint8_t)fmax(128, floor(density + 0.5))
                            : (uint8_t)fmin(127, floor(density + 0.5));
    }
}
