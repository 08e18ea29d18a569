/*
 * What must come out the same in two ways, on real outlines: words of type and, where Debian's
 * openclipart-svg is installed, clip art.
 *
 *   - The largest disc at every place tells of every bit whether it reaches the place, as the fit
 * of that bit does.
 *   - Art enlarged s times with a bit s times as large has the same spots, but for one in a
 * hundred: the slack of 0.005 mm and what counts as dust stay as they are, and so what is on the
 * verge of a corner may be a stub.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define SPACING_MM 0.25
#define BAND_MM 0.012   /* in which either answer is right */
#define BAND_SHARE 1.02 /* where a curve is nearly the bit's own, its chords tell no better */

static int tests, failures;
static size_t spots, missing; /* of the art at another scale */

static void told(bool good, const char *what, const char *name, double size)
{
    failures += !good;
    printf("%s %d %s: %s, %g\n", good ? "ok" : "not ok", ++tests, what, name, size);
}

/* ---- the largest disc at every place --------------------------------------------------------- */

static double to_segment(nw_point p, nw_point a, nw_point b)
{
    double dx = b.x - a.x, dy = b.y - a.y, length = dx * dx + dy * dy;
    double t = length > 0 ? ((p.x - a.x) * dx + (p.y - a.y) * dy) / length : 0;
    t = fmin(1, fmax(0, t));
    return hypot(a.x + t * dx - p.x, a.y + t * dy - p.y);
}

#define ON_MM 1e-6
#define CROSSING_MM 0.008 /* by which a disc may cross chords, for they are taken for curves */
#define ARC_PARTS 32

/* Of what the bit produces the lines lie on the outline, the arcs where it does not reach it. */
static bool on_lines(const nw_drawing *as_cut, nw_point p)
{
    for (size_t i = 0; i < as_cut->count; i++) {
        nw_point from = as_cut->paths[i].start;
        for (size_t k = 0; k < as_cut->paths[i].count; k++) {
            const nw_step *step = &as_cut->paths[i].steps[k];
            bool beside =
                p.y > fmax(from.y, step->to.y) + ON_MM || p.y < fmin(from.y, step->to.y) - ON_MM;
            if (step->kind == NW_LINE && !beside && to_segment(p, from, step->to) < ON_MM)
                return true;
            from = step->to;
        }
    }
    return false;
}

/* Does what the bit produces come so near to the place that a disc counts as touching it? */
static bool comes_near(const nw_drawing *as_cut, nw_point p)
{
    for (size_t i = 0; i < as_cut->count; i++) {
        nw_point from = as_cut->paths[i].start;
        for (size_t k = 0; k < as_cut->paths[i].count; k++) {
            const nw_step *step = &as_cut->paths[i].steps[k];
            nw_point last = from;
            for (int part = 1; part <= ARC_PARTS; part++) {
                nw_point next = nw_step_at(from, step, (double)part / ARC_PARTS);
                if (to_segment(p, last, next) < CROSSING_MM)
                    return true;
                last = next;
            }
            from = step->to;
        }
    }
    return false;
}

/* Share of the outline on which the samples and the fit disagree. What is lost only to dust, at
 * the corners of chords, is not listed as lost, and the disc is that of the curve. */
static double disagreement(const nw_region *region, const nw_sample *samples, size_t count,
                           double bit)
{
    nw_fit_options options = nw_fit_defaults();
    options.bit = bit;
    options.neck = 0.1;
    options.with_shapes = true;
    nw_fit fit = shape_fit(region, &options);
    double wrong = 0, whole = 0;
    for (size_t i = 0; i < count; i++) {
        double disc = samples[i].diameter;
        bool small = disc<bit - BAND_MM, large = disc> bit * BAND_SHARE + BAND_MM;
        whole += samples[i].length;
        if (!small && !large)
            continue;
        nw_point at = samples[i].at;
        bool lost = on_lines(&fit.residues, at) || on_lines(&fit.corner_residues, at);
        bool reached = on_lines(&fit.as_cut, at);
        bool differ = (small && reached && !lost) ||
                      (large && lost && !reached && !comes_near(&fit.as_cut, at));
        wrong += differ ? samples[i].length : 0;
    }
    nw_fit_free(&fit);
    return wrong / whole;
}

static void discs_test(const real_outline *outline)
{
    static const double bits[] = {0.79375, 1.5875, 2, 3.175, 6.35, 12.7};
    nw_fit_options options = nw_fit_defaults();
    nw_sample *samples;
    size_t count;
    if (nw_outline_samples(&outline->region, &options, SPACING_MM, 20, &samples, &count, NULL) !=
        NW_OK)
        exit(1);
    for (size_t b = 0; b < sizeof bits / sizeof *bits; b++) {
        double wrong = disagreement(&outline->region, samples, count, bits[b]);
        printf("# %.5f of the outline\n", wrong);
        told(wrong < 0.01, "discs and fit agree", outline->name, bits[b]);
    }
    free(samples);
}

/* ---- scale ----------------------------------------------------------------------------------- */

/* Spots that are clear: neither in the band round the bit nor hardly more than dust. */
static bool is_clear(const nw_spot *spot, double size)
{
    if (spot->form == NW_PINCH)
        return spot->width < size - 2 * BAND_MM && spot->area > 0.01;
    return spot->area > 0.05 && (spot->depth < 0 || spot->depth > 0.3 * size);
}

/* Between parallel walls any place is the narrowest: there the area tells that it is the same. */
static bool same_spot(const nw_spot *a, const nw_spot *b, double scale)
{
    double apart = hypot(a->at.x * scale - b->at.x, a->at.y * scale - b->at.y);
    double area = a->area * scale * scale;
    bool width = a->form != NW_PINCH || fabs(a->width * scale - b->width) < 0.005 * (1 + scale);
    bool there = apart < 0.5 * scale || fabs(area - b->area) < 0.03 * area;
    return a->side == b->side && a->form == b->form && width && there;
}

static size_t unmatched(const nw_fit *a, const nw_fit *b, double scale)
{
    size_t count = 0;
    for (size_t i = 0; i < a->spot_count; i++) {
        bool found =
            !is_clear(&a->spots[i], a->spots[i].side == NW_GAP ? a->options.bit : a->options.neck);
        for (size_t k = 0; k < b->spot_count && !found; k++)
            found = same_spot(&a->spots[i], &b->spots[k], scale);
        count += !found;
        if (!found) {
            printf("# no %s %s of %.4f, depth %.4f, %.4f mm2 at %.3f %.3f\n",
                   nw_side_name(a->spots[i].side), nw_form_name(a->spots[i].form),
                   a->spots[i].width, a->spots[i].depth, a->spots[i].area, a->spots[i].at.x,
                   a->spots[i].at.y);
        }
    }
    return count;
}

static void scale_test(const real_outline *outline, double scale)
{
    nw_region scaled = shape_moved(&outline->region, shape_move_similar(scale, 0, false, 0, 0));
    nw_fit_options options = nw_fit_defaults();
    options.bit = 2.2;
    options.neck = 1.7;
    nw_fit a = shape_fit(&outline->region, &options);
    options.bit *= scale;
    options.neck *= scale;
    nw_fit b = shape_fit(&scaled, &options);
    spots += a.spot_count + b.spot_count;
    missing += unmatched(&a, &b, scale) + unmatched(&b, &a, 1 / scale);
    nw_fit_free(&a);
    nw_fit_free(&b);
    nw_region_free(&scaled);
}

int main(void)
{
    second_start();
    setvbuf(stdout, NULL, _IOLBF, 0);
    bool all = outlines_all();
    real_outlines outlines = outlines_read(all ? 60 : 20, all ? 120 : 10, 80, 3000);
    if (outlines_enough(&outlines)) {
        for (size_t i = 0; i < outlines.count; i++) {
            discs_test(&outlines.items[i]);
            scale_test(&outlines.items[i], 1.9);
            scale_test(&outlines.items[i], 0.6);
        }
        told(spots > 500 && 100 * missing < spots, "spots keep with scale, of", "all",
             (double)spots);
        printf("1..%d\n", tests);
    }
    outlines_free(&outlines);
    return failures > 0;
}
