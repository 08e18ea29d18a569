/*
 * wedge_ink: a corner -> how what its wedge would cover of the pixels round its tip differs from
 * the picture.
 *
 * A pixel's level is the share of it that is covered, so a corner that is none shows at once: what
 * is round fills less of these pixels than the wedge, and so does what is blunt.
 */
#include <trace/contour.h>

#include <math.h>

#define ROUND_PX 1.5 /* from the tip to the middles of pixels that are looked at */
#define PER_SIDE 4   /* points of a pixel that stand for it, along each of its sides */

/* The share of pixel (x, y) in the wedge: of points, each of which stands for a small square that
 * an edge may cut. */
static double covered(const nw_ring_corner *c, bool notch, double x, double y)
{
    double sum = 0;
    for (int k = 0; k < PER_SIDE * PER_SIDE; k++) {
        nw_point p = {x + (k % PER_SIDE + 0.5) / PER_SIDE, y + (k / PER_SIDE + 0.5) / PER_SIDE};
        nw_point from = nw_minus(p, c->at);
        double in = nw_cross(c->in, from), out = nw_cross(c->out, from);
        double deep = notch ? fmin(-in, -out) : fmin(in, out);
        sum += fmin(1, fmax(0, deep * PER_SIDE + 0.5));
    }
    return sum / (PER_SIDE * PER_SIDE);
}

nw_wedge_ink nw_wedge_compare(const nw_levels *of, const nw_ring_corner *c)
{
    nw_wedge_ink found = {0};
    const long reach = (long)ROUND_PX + 1;
    long left = (long)floor(c->at.x) - reach, low = (long)floor(c->at.y) - reach, count = 0;
    bool notch = nw_cross(c->in, c->out) < 0;
    double lacks = 0, area = 0;
    for (long k = 0; k < (2 * reach + 1) * (2 * reach + 1); k++) {
        long x = left + k % (2 * reach + 1), y = low + k / (2 * reach + 1);
        nw_point middle = {(double)x + 0.5, (double)y + 0.5};
        if (nw_distance(middle, c->at) > ROUND_PX)
            continue;
        double in = covered(c, notch, (double)x, (double)y), has = nw_density_at(of, x, y) / 255.0,
               lack = in - (notch ? 1 - has : has);
        lacks += lack;
        found.off += fabs(lack);
        area += in;
        count++;
    }
    found.off /= (double)count;
    found.lacks = area > 0 ? lacks / area : 0;
    return found;
}
