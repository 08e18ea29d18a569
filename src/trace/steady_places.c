/*
 * steady_places: a ring of places that noise has moved -> the same places, moved less.
 *
 * A place becomes what the parabola through its neighbours says of it: as many of them as go along
 * with one another, for walls are smooth over many pixels and tips over few. Each window that is
 * wider than the one before it has to agree with all of those, within what noise may do to them,
 * which is more where the levels change less across the outline (A. Goldenshluger and
 * A. Nemirovski, On spatially adaptive estimation of nonparametric regression, Mathematical Methods
 * of Statistics 6(2):135-170, 1997: the intersection of intervals). Places lie about a pixel apart,
 * so fixed weights do for the parabolas (A. Savitzky and M. J. E. Golay, Analytical Chemistry
 * 36(8):1627-1639, 1964, doi:10.1021/ac60214a047). A place moves across the outline alone.
 *
 * To smooth pixels until noise moves no edge would blunt tips, and of many widths along a passage
 * the least is asked for, which noise makes too small: so pixels are smoothed by a part, and the
 * rest is done here.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>

#define WINDOWS 4
static const size_t HALVES[WINDOWS] = {3, 5, 8, 12};
#define HALF_MOST 12
#define AGREE 0.6 /* of the deviation that noise leaves of what a window tells: on either side */
/* Times the deviation of the pixels' smoothing: of so many places along a straight edge one is by
 * itself. With 2 G - G G for smoothing, (4 / sqrt(2) - 4 / sqrt(3) + 1 / sqrt(4)) / sqrt(2 pi) over
 * 11 / (24 pi). */
#define ALIKE 2.79
#define SLOPE_PX 1.5 /* on either side of a place that tell how much the levels change there */
#define FAINT_MOST 4 /* times less than in the mean, at most */

/* What is known of the places of a ring. */
typedef struct {
    const nw_levels *of;
    const nw_contour_ring *ring;
    double *slopes, slope; /* of the levels across each place, and the mean */
} noisy_ring;

typedef struct {
    double weights[HALF_MOST + 1]; /* from the middle on */
    double deviation;              /* of a place that it tells */
} window;

/* The weights that tell a parabola's middle. */
static window window_make(size_t half, double off, double sigma)
{
    window w;
    double m = (double)half, squares = 0;
    for (size_t k = 0; k <= half; k++) {
        double weight = 3 * (3 * m * m + 3 * m - 1 - 5.0 * (double)(k * k)) /
                        ((2 * m - 1) * (2 * m + 1) * (2 * m + 3));
        w.weights[k] = weight;
        squares += (k ? 2 : 1) * weight * weight;
    }
    w.deviation = off * sqrt(fmin(1, squares * ALIKE * sigma));
    return w;
}

static nw_point ring_at(const nw_contour_ring *ring, size_t i, size_t half, bool back)
{
    size_t k = back ? i + ring->count - half : i + half;
    return ring->points[k < ring->count ? k : k - ring->count];
}

/* Place i by a window. */
static nw_point told(const nw_contour_ring *ring, size_t i, const window *w, size_t half)
{
    nw_point sum = nw_times(ring->points[i], w->weights[0]);
    for (size_t k = 1; k <= half; k++) {
        nw_point a = ring_at(ring, i, k, true), b = ring_at(ring, i, k, false);
        sum.x += w->weights[k] * (a.x + b.x);
        sum.y += w->weights[k] * (a.y + b.y);
    }
    return sum;
}

/* Across the outline at place i, to the left. */
static nw_point across_at(const nw_contour_ring *ring, size_t i)
{
    return nw_left(nw_unit(ring_at(ring, i, HALVES[0], true), ring_at(ring, i, HALVES[0], false)));
}

/* The density at a place, straight between the pixels' middles. */
static double density_near(const nw_levels *of, nw_point p)
{
    double left = floor(p.x - 0.5), low = floor(p.y - 0.5), u = p.x - 0.5 - left,
           v = p.y - 0.5 - low;
    long x = (long)left, y = (long)low;
    double lower = (1 - u) * nw_density_at(of, x, y) + u * nw_density_at(of, x + 1, y),
           upper = (1 - u) * nw_density_at(of, x, y + 1) + u * nw_density_at(of, x + 1, y + 1);
    return (1 - v) * lower + v * upper;
}

static void slopes_find(noisy_ring *r)
{
    size_t count = r->ring->count;
    for (size_t i = 0; i < count; i++) {
        nw_point at = r->ring->points[i], across = across_at(r->ring, i);
        r->slopes[i] = fabs(density_near(r->of, nw_plus(at, across, SLOPE_PX)) -
                            density_near(r->of, nw_plus(at, across, -SLOPE_PX)));
        r->slope += r->slopes[i] / (double)count;
    }
}

/* Place i where all windows agree. */
static nw_point agreed(const noisy_ring *r, size_t i, const window windows[WINDOWS])
{
    nw_point at = r->ring->points[i], across = across_at(r->ring, i);
    double faint = fmin(FAINT_MOST, fmax(1, r->slope / fmax(1, r->slopes[i])));
    double play = AGREE * faint, high = play * r->of->picture->off, low = -high, moved = 0;
    for (int k = 0; k < WINDOWS && 2 * HALVES[k] < r->ring->count; k++) {
        double by = nw_dot(nw_minus(told(r->ring, i, &windows[k], HALVES[k]), at), across);
        low = fmax(low, by - play * windows[k].deviation);
        high = fmin(high, by + play * windows[k].deviation);
        if (low > high)
            break;
        moved = by;
    }
    return nw_plus(at, across, moved);
}

bool nw_places_steady(const nw_levels *of, const nw_contour_ring *ring, nw_point *steady)
{
    noisy_ring r = {of, ring, nw_alloc(ring->count, sizeof *r.slopes), 0};
    window windows[WINDOWS];
    for (int k = 0; k < WINDOWS; k++)
        windows[k] = window_make(HALVES[k], of->picture->off, of->picture->sigma);
    bool ready = r.slopes, few = ring->count <= 2 * HALVES[0];
    if (ready && !few)
        slopes_find(&r);
    for (size_t i = 0; ready && i < ring->count; i++)
        steady[i] = few ? ring->points[i] : agreed(&r, i, windows);
    free(r.slopes);
    return ready;
}
