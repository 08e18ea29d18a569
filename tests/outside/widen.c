/*
 * Widening real outlines with pinches, judged from outside: by GEOS's opening of what was written
 * to a file and read again, and by the least possible, the passages' own middle lines (least.h)
 * swept by a disc.
 *
 * The least neck is 1 mm for bits of 1.5875 and 2 mm in drawings 120 mm wide: what holds in 3 mm
 * plywood (from memory). A bit of 3.175 mm, for which letters of that size are small, and the
 * default neck, as thick as the bit, are run on every ninth outline of all and only reported. Both
 * the area added and the least are those of a disc of the bit's diameter plus the ease, which the
 * user asked for; the share against the plain bit is printed.
 *
 * A drawing counts when it has a pinch before. The written outline may keep pinches of less than
 * the fit's own band: GEOS's disc is BAND_MM smaller.
 */
#include "drawings.h"
#include "least.h"
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <svg/svg.h>
#include <report/report.h>
#include <svg/svg.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WIDE_MM 120.0
#define NECK_MM 1.0
#define BAND_MM 0.01
#define HELD_OUTLINES 60 /* of all; of the sample, a third */
#define HELD_CLEAN 0.98
#define BAR_AREA 1.3
#define HELD_FAR 0.01      /* of what is added: what follows from a place beside it */
#define STILL_MM 0.005     /* how far the outline may move where nothing is widened */
#define TOUCH_MM 1e-4      /* what a disc touched has moved by more */
#define LEAST_EASE_MM 0.01 /* what widening falls back to where there is no room for more */
#define FIT_MM 0.01        /* how far new curves may lie from what the disc sweeps */
#define SMALL_MM2 0.5      /* a change too small for its share to say anything */

static const double bits[] = {1.5875, 2};
#define BITS (sizeof bits / sizeof *bits)

typedef struct {
    size_t with_pinches, clean, clean_by_geos, pinches_before, pinches_after;
    size_t areas, areas_over;
    size_t untouched, changed, not_swept, new_steps, miscounted;
    size_t nodes_before, nodes_after;
    double area_added, area_least, area_plain, share_worst, far_worst, far_area, swept_worst;
} score;

/* One drawing, widened. */
typedef struct {
    const char *name;
    double bit, neck;
    const nw_drawing *before;
    nw_widened widened;
    nw_drawing written; /* and read again */
    GEOSGeometry *old_area, *new_area;
    GEOSGeometry *lines; /* the old area's middle lines for the bit with the ease */
} trial;

/* ---- helpers -------------------------------------------------------------------------------- */

static size_t pinches_of(const nw_fit *fit)
{
    return shape_count(fit, NW_GAP, NW_PINCH) + shape_count(fit, NW_NECK, NW_PINCH);
}

static nw_region flat(const nw_drawing *drawing)
{
    nw_region region = {0};
    nw_drawing_flatten(drawing, NW_FLATNESS_MM, &region, NULL);
    return region;
}

static GEOSGeometry *area_of(const nw_drawing *drawing)
{
    nw_region region = flat(drawing);
    GEOSGeometry *area = second_area(&region);
    nw_region_free(&region);
    return area;
}

static double wide_of(const trial *t)
{
    return t->bit + nw_widen_defaults().ease;
}

static double size_of(const GEOSGeometry *shape)
{
    double area = 0;
    GEOSArea(shape, &area);
    return area;
}

static bool written_and_read(trial *t)
{
    nw_layer layer = {.name = "art", .drawing = &t->widened.drawing, .filled = true};
    nw_text svg = {0};
    nw_svg_notes notes;
    bool good = nw_write_svg(&layer, 1, t->name, &svg, NULL) == NW_OK &&
                nw_drawing_read_svg((const uint8_t *)svg.data, svg.length, &t->written, &notes,
                                    NULL) == NW_OK;
    nw_text_free(&svg);
    return good;
}

static nw_widen_options options_of(double bit, double neck)
{
    nw_widen_options options = nw_widen_defaults();
    options.fit.cut = NW_CUT_INSIDE;
    options.fit.bit = bit;
    options.fit.neck = neck;
    return options;
}

/* ---- no pinch is left ------------------------------------------------------------------------ */

static const char *outcome_name(nw_outcome outcome)
{
    static const char *const names[] = {"widened", "left", "conflict", "stuck"};
    return names[outcome];
}

static void say_left(const trial *t)
{
    const nw_fit *before = &t->widened.before;
    for (size_t i = 0; i < before->spot_count; i++) {
        const nw_spot *s = &before->spots[i];
        const nw_widen_note *note = &t->widened.notes[i];
        if (s->form == NW_PINCH && note->outcome != NW_WIDENED) {
            printf("# left: %s, bit %g, neck %g: %s at (%.2f, %.2f), %.3f wide: %s, factor %.3f\n",
                   t->name, t->bit, t->neck, nw_side_name(s->side), s->at.x, s->at.y, s->width,
                   outcome_name(note->outcome), note->factor);
        }
    }
}

static void say_new(const trial *t)
{
    for (size_t i = 0; i < t->widened.after.spot_count; i++) {
        const nw_spot *s = &t->widened.after.spots[i];
        if (s->form == NW_PINCH) {
            printf("#   after: %s at (%.2f, %.2f), %.4f wide\n", nw_side_name(s->side), s->at.x,
                   s->at.y, s->width);
        }
    }
}

static void say_where(const char *side, const GEOSGeometry *places, size_t count)
{
    for (int i = 0; count && i < GEOSGetNumGeometries(places); i++) {
        nw_box b;
        const GEOSGeometry *place = GEOSGetGeometryN(places, i);
        GEOSGeom_getExtent(place, &b.min.x, &b.min.y, &b.max.x, &b.max.y);
        printf("#   GEOS: %s in (%.3f, %.3f) to (%.3f, %.3f), %.4f mm2\n", side, b.min.x, b.min.y,
               b.max.x, b.max.y, size_of(place));
    }
}

/* Pinches of both sides of the written outline that GEOS sees with the bands so much wider. */
static size_t geos_pinches_at(const trial *t, double band, bool say)
{
    size_t gaps, necks;
    nw_region region = flat(&t->written);
    GEOSGeometry *area = second_area(&region);
    double margin = 4 * t->bit;
    GEOSGeometry *rest = second_rest(&region, area, margin);
    nw_box frame = shape_box_of(&region);
    frame.min.x -= margin, frame.min.y -= margin, frame.max.x += margin, frame.max.y += margin;
    GEOSGeometry *narrow = least_pinches(area, t->bit - band, NULL, &gaps);
    GEOSGeometry *thin = least_pinches(rest, t->neck - band, &frame, &necks);
    if (say) {
        say_where("gap", narrow, gaps);
        say_where("neck", thin, necks);
    }
    GEOSGeom_destroy(narrow);
    GEOSGeom_destroy(thin);
    GEOSGeom_destroy(area);
    GEOSGeom_destroy(rest);
    nw_region_free(&region);
    return gaps + necks;
}

/* GEOS's pinch counts when it is still one to a disc a little smaller, and to one a little larger:
 * slivers along a wall, and contacts that its chords make two of, come and go; and where a place
 * holds the disc by a hair, what is a stub to the bit is a pinch to a smaller disc. */
static size_t geos_pinches(const trial *t)
{
    bool all = geos_pinches_at(t, BAND_MM, false) && geos_pinches_at(t, -BAND_MM, false);
    return all ? geos_pinches_at(t, 1.5 * BAND_MM, true) : 0;
}

static void judge_clean(const trial *t, score *tally)
{
    size_t left = pinches_of(&t->widened.after), seen = geos_pinches(t);
    tally->with_pinches++;
    tally->pinches_before += pinches_of(&t->widened.before);
    tally->pinches_after += left;
    tally->clean += left == 0;
    tally->clean_by_geos += seen == 0;
    if (left) {
        say_left(t);
        say_new(t);
    } else if (seen) {
        printf("# GEOS still sees %zu: %s, bit %g, neck %g\n", seen, t->name, t->bit, t->neck);
    }
}

/* ---- no more than needed -------------------------------------------------------------------- */

/* What the disc of diameter d adds as it runs along the middle lines. */
static double least_added(const trial *t, double d)
{
    GEOSGeometry *swept = GEOSBuffer(t->lines, d / 2, 64);
    GEOSGeometry *more = second_combined(swept, GEOSGeom_clone(t->old_area), '-');
    double area = size_of(more);
    GEOSGeom_destroy(more);
    return area;
}

static void judge_area(const trial *t, score *tally)
{
    double least = least_added(t, wide_of(t)), plain = least_added(t, t->bit);
    double added = size_of(t->new_area) - size_of(t->old_area);
    if (least < SMALL_MM2) {
        return;
    }
    tally->areas++;
    tally->area_added += added;
    tally->area_least += least;
    tally->area_plain += plain;
    tally->share_worst = fmax(tally->share_worst, added / least);
    if (added > BAR_AREA * least) {
        tally->areas_over++;
        printf("# area: %s, bit %g: %.3f added, least %.3f: %.2f times\n", t->name, t->bit, added,
               least, added / least);
    }
}

/* ---- nothing else ---------------------------------------------------------------------------- */

static bool same_point(nw_point a, nw_point b)
{
    return a.x == b.x && a.y == b.y;
}

static nw_point step_start(const nw_path *path, size_t k)
{
    return k ? path->steps[k - 1].to : path->start;
}

/* Is the step of the path also one of the drawing's, to the last digit? */
static bool step_in(const nw_drawing *drawing, const nw_path *path, size_t k)
{
    const nw_step *step = &path->steps[k];
    nw_point start = step_start(path, k);
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *other = &drawing->paths[i];
        for (size_t j = 0; j < other->count; j++) {
            const nw_step *o = &other->steps[j];
            bool curve = step->kind == NW_CURVE;
            if (step->kind == o->kind && same_point(step->to, o->to) &&
                same_point(start, step_start(other, j)) &&
                (!curve || (same_point(step->a, o->a) && same_point(step->b, o->b)))) {
                return true;
            }
        }
    }
    return false;
}

#define PLACES 8 /* on a step that are looked at */

/* The largest (or the least) distance of places on the step from the shape. */
static double step_distance(const nw_path *path, size_t k, const GEOSPreparedGeometry *shape,
                            bool largest)
{
    double far = largest ? 0 : INFINITY;
    for (int i = 0; i <= PLACES; i++) {
        nw_point p = nw_step_at(step_start(path, k), &path->steps[k], (double)i / PLACES);
        GEOSGeometry *point = GEOSGeom_createPointFromXY(p.x, p.y);
        double off = 0;
        GEOSPreparedDistance(shape, point, &off);
        GEOSGeom_destroy(point);
        far = largest ? fmax(far, off) : fmin(far, off);
    }
    return far;
}

/* What differs between the two, without what is thinner than thin. */
static GEOSGeometry *changed_area(const trial *t, double thin)
{
    GEOSGeometry *change = GEOSSymDifference(t->old_area, t->new_area);
    GEOSGeometry *core = GEOSBuffer(change, -thin / 2, 4);
    GEOSGeom_destroy(change);
    GEOSGeometry *back = GEOSBuffer(core, thin, 4);
    GEOSGeom_destroy(core);
    return back;
}

/* Curves that no change comes near stay to the last digit. */
static void judge_untouched(const trial *t, const GEOSPreparedGeometry *changed, score *tally)
{
    for (size_t i = 0; i < t->before->count; i++) {
        const nw_path *path = &t->before->paths[i];
        for (size_t k = 0; k < path->count; k++) {
            if (step_distance(path, k, changed, false) > 2 * STILL_MM) {
                tally->untouched++;
                if (!step_in(&t->widened.drawing, path, k)) {
                    tally->changed++;
                    nw_point p = nw_step_at(step_start(path, k), &path->steps[k], 0.5);
                    printf("# changed: %s, bit %g: at (%.3f, %.3f)\n", t->name, t->bit, p.x, p.y);
                }
            }
        }
    }
}

/* New curves lie on the old outline, or on the edge of what the wide disc sweeps in the result. */
static void judge_new(const trial *t, const GEOSPreparedGeometry *old_edge,
                      const GEOSPreparedGeometry *swept, score *tally)
{
    const nw_drawing *now = &t->widened.drawing;
    for (size_t i = 0; i < now->count; i++) {
        for (size_t k = 0; k < now->paths[i].count; k++) {
            if (step_in(t->before, &now->paths[i], k)) {
                continue;
            }
            tally->new_steps++;
            if (step_distance(&now->paths[i], k, old_edge, true) < STILL_MM) {
                continue;
            }
            double off = step_distance(&now->paths[i], k, swept, true);
            tally->swept_worst = fmax(tally->swept_worst, off);
            tally->not_swept += off > FIT_MM;
            if (off > FIT_MM) {
                nw_point p =
                    nw_step_at(step_start(&now->paths[i], k), &now->paths[i].steps[k], 0.5);
                printf("# not swept: %s, bit %g: %.4f off at (%.3f, %.3f)\n", t->name, t->bit, off,
                       p.x, p.y);
            }
        }
    }
}

/* What changed lies in what the wide disc sweeps or no more than a bit beside it: there the walls'
 * moves run out. */
static void judge_far(const trial *t, const GEOSGeometry *changed, score *tally)
{
    GEOSGeometry *places = GEOSBuffer(t->lines, wide_of(t) / 2 + t->bit, 32);
    GEOSGeometry *beyond = GEOSDifference(changed, places);
    double off = size_of(beyond);
    tally->far_worst = fmax(tally->far_worst, off);
    tally->far_area += off;
    if (off > 0.01) {
        double x0, y0, x1, y1;
        GEOSGeom_getExtent(beyond, &x0, &y0, &x1, &y1);
        printf("# elsewhere: %s, bit %g: %.4f mm2 in (%.2f, %.2f) to (%.2f, %.2f)\n", t->name,
               t->bit, off, x0, y0, x1, y1);
    }
    GEOSGeom_destroy(beyond);
    GEOSGeom_destroy(places);
}

/* Widened parts are judged where only gaps were to be widened, and were. */
static void judge_rest(const trial *t, score *tally)
{
    GEOSGeometry *changed = changed_area(t, STILL_MM), *touched = changed_area(t, TOUCH_MM);
    GEOSGeometry *old_edge = GEOSBoundary(t->old_area);
    GEOSGeometry *opened = second_opening(t->new_area, (t->bit + LEAST_EASE_MM) / 2, 64);
    GEOSGeometry *swept = GEOSBoundary(opened);
    const GEOSPreparedGeometry *p_changed = GEOSPrepare(touched), *p_old = GEOSPrepare(old_edge),
                               *p_swept = GEOSPrepare(swept);
    judge_untouched(t, p_changed, tally);
    if (t->lines) {
        judge_area(t, tally);
        judge_new(t, p_old, p_swept, tally);
        judge_far(t, changed, tally);
    }
    tally->nodes_before += drawing_steps(t->before);
    tally->nodes_after += drawing_steps(&t->widened.drawing);
    GEOSPreparedGeom_destroy(p_changed);
    GEOSPreparedGeom_destroy(p_old);
    GEOSPreparedGeom_destroy(p_swept);
    GEOSGeom_destroy(swept);
    GEOSGeom_destroy(opened);
    GEOSGeom_destroy(old_edge);
    GEOSGeom_destroy(changed);
    GEOSGeom_destroy(touched);
}

/* Pieces and holes, counted by GEOS in both drawings, are as reported. */
static void judge_counts(const trial *t, score *tally)
{
    const GEOSGeometry *areas[] = {t->old_area, t->new_area};
    const size_t pieces[] = {t->widened.pieces_before, t->widened.pieces_after};
    const size_t holes[] = {t->widened.holes_before, t->widened.holes_after};
    bool good = true;
    for (int k = 0; k < 2; k++) {
        size_t count = 0, parts = (size_t)GEOSGetNumGeometries(areas[k]);
        for (size_t i = 0; i < parts; i++) {
            count += (size_t)GEOSGetNumInteriorRings(GEOSGetGeometryN(areas[k], (int)i));
        }
        good = good && parts == pieces[k] && count == holes[k];
    }
    tally->miscounted += !good;
    if (!good) {
        printf("# pieces or holes: %s, bit %g\n", t->name, t->bit);
    }
}

/* ---- all of it ------------------------------------------------------------------------------- */

static void try_one(const real_drawing *real, double bit, double neck, bool fully, score *tally)
{
    trial t = {.name = real->name, .bit = bit, .neck = neck, .before = &real->drawing};
    nw_widen_options options = options_of(bit, neck);
    nw_error error;
    if (nw_drawing_widen(t.before, &options, &t.widened, &error) != NW_OK) {
        printf("Bail out! %s: %s\n", t.name, error.message);
        exit(EXIT_FAILURE);
    }
    if (pinches_of(&t.widened.before) && written_and_read(&t)) {
        judge_clean(&t, tally);
        if (fully) {
            t.old_area = area_of(t.before);
            t.new_area = area_of(&t.widened.drawing);
            bool gaps_only =
                !shape_count(&t.widened.before, NW_NECK, NW_PINCH) && !pinches_of(&t.widened.after);
            t.lines = gaps_only ? least_lines_of_both(t.old_area, t.bit, wide_of(&t)) : NULL;
            judge_rest(&t, tally);
            judge_counts(&t, tally);
            GEOSGeom_destroy(t.lines);
            GEOSGeom_destroy(t.old_area);
            GEOSGeom_destroy(t.new_area);
        }
    }
    nw_drawing_free(&t.written);
    nw_widened_free(&t.widened);
}

static int checks, failures;

static void ok(bool good, const char *what)
{
    printf("%s %d - %s\n", good ? "ok" : "not ok", ++checks, what);
    failures += !good;
}

static void sum_up(const score *s)
{
    printf("# %zu outlines with %zu pinches: %zu clean (%.2f %%), %zu by GEOS; %zu pinches left\n",
           s->with_pinches, s->pinches_before, s->clean,
           100.0 * (double)s->clean / (double)s->with_pinches, s->clean_by_geos, s->pinches_after);
    printf(
        "# area added %.2f mm2, least %.2f (%.3f times; %.3f times that of the plain bit), worst "
        "%.3f times, in %zu outlines\n",
        s->area_added, s->area_least, s->area_added / s->area_least, s->area_added / s->area_plain,
        s->share_worst, s->areas);
    printf("# %zu steps untouched, %zu of them changed; %zu new steps, %zu farther than %g from "
           "what is swept (worst %.4f); nodes %zu, then %zu; elsewhere %.3f mm2 (worst %.3f)\n",
           s->untouched, s->changed, s->new_steps, s->not_swept, FIT_MM, s->swept_worst,
           s->nodes_before, s->nodes_after, s->far_area, s->far_worst);
}

int main(void)
{
    second_start();
    setvbuf(stdout, NULL, _IOLBF, 0);
    bool all = outlines_all();
    real_drawings drawings =
        all ? drawings_read(140, 100, WIDE_MM, 1500) : drawings_read(52, 6, WIDE_MM, 400);
    if (drawings.words < 50) {
        puts("1..0 # SKIP needs the fonts of fonts-urw-base35, fonts-dejavu-core, lmodern, "
             "tex-gyre");
        drawings_free(&drawings);
        return EXIT_SUCCESS;
    }
    score tally = {0}, thick = {0}, coarse = {0};
    for (size_t i = 0; i < drawings.count; i++) {
        for (size_t k = 0; k < BITS; k++) {
            if (all || k == i % BITS) {
                try_one(&drawings.items[i], bits[k], NECK_MM, true, &tally);
            }
        }
        if (all && i % 9 == 0) {
            try_one(&drawings.items[i], 2, 2, false, &thick);
            try_one(&drawings.items[i], 3.175, NECK_MM, false, &coarse);
        }
    }
    printf("# %zu words, %zu clip art drawings\n", drawings.words, drawings.clips);
    sum_up(&tally);
    if (all) {
        printf("# with necks as thick as the bit: %zu of %zu clean, %zu by GEOS\n", thick.clean,
               thick.with_pinches, thick.clean_by_geos);
        printf("# with a bit of 3.175 mm: %zu of %zu clean, %zu by GEOS\n", coarse.clean,
               coarse.with_pinches, coarse.clean_by_geos);
    }
    drawings_free(&drawings);
    double count = (double)tally.with_pinches;
    ok(tally.with_pinches >= HELD_OUTLINES / (all ? 1 : 3), "enough real outlines with pinches");
    ok((double)tally.clean >= HELD_CLEAN * count, "98 % come out with none");
    ok((double)tally.clean_by_geos >= HELD_CLEAN * count, "GEOS says the same of what is written");
    ok(tally.areas >= (all ? 20 : 7) && tally.areas_over == 0,
       "at most 1.3 times the least is added in each");
    ok(tally.untouched >= (all ? 1000 : 300) && tally.changed == 0,
       "what nothing touched is the same to the last digit");
    ok(tally.not_swept == 0, "new curves are within 0.01 mm of what the disc sweeps");
    ok(tally.far_area <= HELD_FAR * tally.area_added,
       "of what is added 99 % lies within a bit of what the disc sweeps");
    ok(tally.miscounted == 0, "pieces and holes are as reported");
    printf("1..%d\n", checks);
    return failures ? EXIT_FAILURE : EXIT_SUCCESS;
}
