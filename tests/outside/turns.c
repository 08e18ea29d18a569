/*
 * A drawing that is turned, mirrored, moved or scaled has the same spots: on real outlines, the
 * spots of the changed drawing, moved back, are those of the drawing itself, within the rounding
 * of its coordinates. With scale s and bit s the spots are the same at that scale.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define WIDTH_TOLERANCE_MM 1e-4
#define AREA_TOLERANCE 1e-4 /* of the area, and of 0.1 mm2 at least */
#define TINY_MM2 0.004      /* twice what counts as dust */
#define BAR 0.998
#define LESS_MM (0.005 - 2.14e-6)

/* Turns leave about 1e-14 of 120 mm; the rules for ties act at 1e-7 and may fall either way. */
static const struct {
    double scale, turn;
    bool mirror;
    double x, y;
} changes[] = {{1, 37, false, 0, 0},       {1, 90, false, 0, 0},         {1, 0, true, 0, 0},
               {1, 0, false, 1000, -2000}, {1, 211.5, true, -31.7, 8.1}, {0.5, 0, false, 0, 0},
               {3, 12, true, 5, 5}};

static const double bits[] = {1.5875, 3.175, 6.35};

static bool same_spot(const nw_spot *a, const nw_spot *b, double scale)
{
    if (a->side != b->side || a->form != b->form)
        return false;
    double area = b->area / (scale * scale);
    if (fabs(a->area - area) > AREA_TOLERANCE * fmax(a->area, 0.1))
        return false;
    return a->form != NW_PINCH || fabs(a->width - b->width / scale) < WIDTH_TOLERANCE_MM;
}

/* at is not compared for its own sake: of two equal shortest lines either may be taken. It has to
 * lie in the same residue, so within its reach. */
static const nw_spot *partner(const nw_spot *spot, const nw_fit *other, shape_move move,
                              double scale)
{
    nw_point at = shape_moved_point(move, spot->at);
    const nw_spot *best = NULL;
    double nearest = INFINITY;
    for (size_t i = 0; i < other->spot_count; i++) {
        const nw_spot *b = &other->spots[i];
        double distance = hypot(b->at.x - at.x, b->at.y - at.y);
        if (distance < nearest && same_spot(spot, b, scale))
            best = b, nearest = distance;
    }
    return nearest < scale * fmax(1, spot->length) ? best : NULL;
}

typedef struct {
    size_t spots, same, strays, unpaired;
} score;

static nw_fit fit_at(const nw_region *region, double d)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_INSIDE;
    options.bit = options.neck = d;
    options.threads = 1;
    return shape_fit(region, &options);
}

static size_t solid(const nw_fit *fit, double scale)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++)
        count += fit->spots[i].area > TINY_MM2 * scale * scale;
    return count;
}

/* The fit works with d less 0.005 mm plus 2.14e-6 mm against ties (docs/method.md). That does not
 * scale, so the bit is chosen to scale what it works with. */
static double scaled_bit(double d, double scale)
{
    return scale == 1 ? d : scale * (d - LESS_MM) + LESS_MM;
}

static void compare(const real_outline *outline, const nw_fit *fit, double d, size_t k,
                    score *tally)
{
    double scale = changes[k].scale;
    shape_move move =
        shape_move_similar(scale, changes[k].turn, changes[k].mirror, changes[k].x, changes[k].y);
    nw_region region = shape_moved(&outline->region, move);
    nw_fit other = fit_at(&region, scaled_bit(d, scale));
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        if (spot->area <= TINY_MM2)
            continue;
        tally->spots++;
        if (partner(spot, &other, move, scale)) {
            tally->same++;
            continue;
        }
        printf(
            "# %s, d %g, change %zu: %s %s at (%.4f, %.4f), width %.6f, area %.6f has no partner\n",
            outline->name, d, k, nw_side_name(spot->side), nw_form_name(spot->form), spot->at.x,
            spot->at.y, spot->width, spot->area);
    }
    size_t before = solid(fit, 1), after = solid(&other, scale);
    tally->strays += after > before ? after - before : 0;
    tally->unpaired += other.unpaired;
    nw_fit_free(&other);
    nw_region_free(&region);
}

int main(void)
{
    second_start();
    real_outlines outlines =
        outlines_all() ? outlines_read(40, 30, 120, 4000) : outlines_read(42, 10, 120, 1500);
    if (!outlines_enough(&outlines)) {
        outlines_free(&outlines);
        return EXIT_SUCCESS;
    }
    score tally = {0};
    for (size_t i = 0; i < outlines.count; i++) {
        for (size_t b = 0; b < sizeof bits / sizeof *bits; b++) {
            nw_fit fit = fit_at(&outlines.items[i].region, bits[b]);
            for (size_t k = 0; k < sizeof changes / sizeof *changes; k++)
                compare(&outlines.items[i], &fit, bits[b], k, &tally);
            nw_fit_free(&fit);
        }
    }
    double share = tally.spots ? (double)tally.same / (double)tally.spots : 0;
    printf("# %zu outlines: %zu of %zu spots the same, %zu strays, %zu unpaired\n", outlines.count,
           tally.same, tally.spots, tally.strays, tally.unpaired);
    outlines_free(&outlines);
    bool strays = (double)tally.strays <= (1 - BAR) * (double)tally.spots;
    puts("1..3");
    printf("%s 1 - turned, mirrored, moved, scaled: the same spots (%.3f %%)\n",
           share >= BAR ? "ok" : "not ok", 100 * share);
    printf("%s 2 - and no others\n", strays ? "ok" : "not ok");
    printf("%s 3 - no ends unpaired\n", tally.unpaired == 0 ? "ok" : "not ok");
    return share >= BAR && strays && tally.unpaired == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
