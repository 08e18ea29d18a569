/*
 * Widening real outlines with pinches, judged from outside: by GEOS's opening of what was written
 * to a file and read again, and by the least possible, the passages' own middle lines (least.h)
 * swept by a disc.
 *
 * The least neck is 1 mm for bits of 1.5875 and 2 mm in drawings 120 mm wide: what holds in 3 mm
 * plywood (from memory). A bit of 3.175 mm, for which letters of that size are small, and the
 * default neck, as thick as the bit, are run on every ninth outline of all and only reported. Both
 * the area added and the least are those of a disc of the bit's diameter plus the ease, which the
 * user asked for.
 *
 * A drawing counts when it has a pinch before. The written outline may keep pinches of less than
 * the fit's own band: GEOS's disc is BAND_MM smaller.
 */
#include "drawings.h"
#include "least.h"
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <report/report.h>
#include <svg/svg.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WIDE_MM 120.0
#define NECK_MM 1.0
#define BAND_MM 0.01
#define HELD_OUTLINES 60 /* of all; of the sample, a fifth */
#define HELD_CLEAN 0.98
#define MOST_SHAPES 1000
#define TURN_LEAST 0.02 /* radians: less is a chord's turn on a curve that is nearly straight */
#define SPACING_MM 0.05 /* of places that are looked at, along edges */
#define MOVE_MM 0.01    /* chords are within 0.002 mm of their curves, in both drawings */
#define BAR_NODES 1.1   /* at the median; at nine of ten: */
#define BAR_NODES_MOST 1.5
#define BAR_AREA 1.6 /* at the median; at nine of ten: */
#define BAR_AREA_MOST 2.5
#define SMALL_MM2 0.5 /* a change too small for its share to say anything */

static const double bits[] = {1.5875, 2};
#define BITS (sizeof bits / sizeof *bits)

typedef struct {
    size_t with_pinches, clean, clean_by_geos, pinches_before, pinches_after;
    size_t untouched, changed, worse, farther, dropped, miscounted;
    size_t sizes, sizes_false; /* named for places without room */
    size_t shapes, areas;
    double nodes[MOST_SHAPES], bends[MOST_SHAPES]; /* after, as shares of before */
    double shares[MOST_SHAPES];                    /* added, of the least */
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
    bool good = nw_write_svg(&layer, 1, t->name, NULL, &svg, NULL) == NW_OK &&
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
    static const char *const names[] = {[NW_WIDENED] = "widened",
                                        [NW_LEFT] = "left",
                                        [NW_GONE] = "gone",
                                        [NW_CONFLICT] = "conflict",
                                        [NW_STUCK] = "stuck"};
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

static void say_where(const char *side, const GEOSGeometry *place)
{
    nw_box b;
    GEOSGeom_getExtent(place, &b.min.x, &b.min.y, &b.max.x, &b.max.y);
    printf("#   GEOS: %s in (%.3f, %.3f) to (%.3f, %.3f), %.4f mm2\n", side, b.min.x, b.min.y,
           b.max.x, b.max.y, size_of(place));
}

static double extent_of(const GEOSGeometry *shape)
{
    nw_box b;
    GEOSGeom_getExtent(shape, &b.min.x, &b.min.y, &b.max.x, &b.max.y);
    return fmax(nw_box_width(b), nw_box_height(b));
}

/* Does the place lead to a room for the disc that is, with the place, no longer than a tip may
 * lose? A larger bit loses it as a whole, as a blind end, and what a larger bit may lose is no
 * pinch to a smaller one: whoever fits for a bit fits for every smaller one. Rooms are told by
 * where the disc's centre may be: what it covers in one may overlap what it covers in the next,
 * across a wall's end that it cannot pass. */
static bool leads_to_a_tip(const GEOSGeometry *place, const GEOSGeometry *centres, double d,
                           double blunt)
{
    bool any = false;
    for (int i = 0; i < GEOSGetNumGeometries(centres) && !any; i++) {
        const GEOSGeometry *own = GEOSGetGeometryN(centres, i);
        if (extent_of(own) + d < blunt && GEOSDistanceWithin(own, place, d / 2 + BAND_MM) == 1) {
            GEOSGeometry *room = GEOSBuffer(own, d / 2, 32);
            GEOSGeometry *both = second_combined(room, GEOSGeom_clone(place), '+');
            any = extent_of(both) < blunt;
            GEOSGeom_destroy(both);
        }
    }
    return any;
}

/* The places of an area that the disc of diameter d passes on neither side, but for those that lead
 * to such rooms; frame as in least_pinches. */
static GEOSGeometry *places_of(const trial *t, const GEOSGeometry *area, const nw_box *frame,
                               double d)
{
    size_t count;
    GEOSGeometry *narrow = least_pinches(area, d, frame, &count);
    GEOSGeometry *centres = count ? GEOSBuffer(area, -d / 2, 32) : NULL;
    GEOSGeometry *places = GEOSGeom_createEmptyPolygon();
    for (int i = 0; count && i < GEOSGetNumGeometries(narrow); i++) {
        const GEOSGeometry *place = GEOSGetGeometryN(narrow, i);
        if (!leads_to_a_tip(place, centres, d, t->widened.after.blunt))
            places = second_combined(places, GEOSGeom_clone(place), '+');
    }
    GEOSGeom_destroy(centres);
    GEOSGeom_destroy(narrow);
    return places;
}

/* The area with hairs taken out of what is beside it: each of two walls may be off by the flatness,
 * and what is thinner than both is no wall. */
static GEOSGeometry *without_hairs(GEOSGeometry *area)
{
    GEOSGeometry *grown = GEOSBuffer(area, NW_FLATNESS_MM, 8);
    GEOSGeometry *closed = GEOSBuffer(grown, -NW_FLATNESS_MM, 8);
    GEOSGeom_destroy(grown);
    GEOSGeom_destroy(area);
    return closed;
}

/* Is most of the place part of these? What a disc does not cover a larger one does not either. */
static bool lies_in(const GEOSGeometry *place, const GEOSGeometry *places)
{
    GEOSGeometry *common = GEOSIntersection(place, places);
    bool most = common && size_of(common) > size_of(place) / 2;
    GEOSGeom_destroy(common);
    return most;
}

/* A place counts when it is a pinch to a disc a little smaller and to one a little larger: slivers
 * along a wall, and contacts that its chords make two of, come and go; and where a place holds the
 * disc by a hair, what is a stub to the bit is a pinch to a smaller disc. */
static size_t places_count(const trial *t, const char *side, const GEOSGeometry *area,
                           const nw_box *frame, double d)
{
    size_t count = 0;
    const double bands[] = {-BAND_MM, BAND_MM, -1.5 * BAND_MM};
    GEOSGeometry *seen[3] = {NULL};
    bool any = true;
    for (int k = 0; k < 3 && any; k++) {
        seen[k] = places_of(t, area, frame, d + bands[k]);
        any = !GEOSisEmpty(seen[k]);
    }
    for (int i = 0; any && i < GEOSGetNumGeometries(seen[2]); i++) {
        const GEOSGeometry *place = GEOSGetGeometryN(seen[2], i);
        if (lies_in(place, seen[0]) && lies_in(place, seen[1])) {
            say_where(side, place);
            count++;
        }
    }
    for (int k = 0; k < 3; k++)
        GEOSGeom_destroy(seen[k]);
    return count;
}

/* Pinches of both sides of the written outline that GEOS sees. */
static size_t geos_pinches(const trial *t)
{
    nw_region region = flat(&t->written);
    GEOSGeometry *whole = second_area(&region);
    double margin = 4 * t->bit;
    GEOSGeometry *rest = without_hairs(second_rest(&region, whole, margin));
    GEOSGeometry *area = without_hairs(whole);
    nw_box frame = shape_box_of(&region);
    frame.min.x -= margin, frame.min.y -= margin, frame.max.x += margin, frame.max.y += margin;
    size_t count =
        places_count(t, "gap", area, NULL, t->bit) + places_count(t, "neck", rest, &frame, t->neck);
    GEOSGeom_destroy(area);
    GEOSGeom_destroy(rest);
    nw_region_free(&region);
    return count;
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
    double least = least_added(t, wide_of(t));
    double added = size_of(t->new_area) - size_of(t->old_area);
    if (least >= SMALL_MM2 && tally->areas < MOST_SHAPES)
        tally->shares[tally->areas++] = added / least;
    if (least >= SMALL_MM2 && added > BAR_AREA_MOST * least) {
        printf("# added: %s, bit %g: %.2f mm2, %.2f times the least\n", t->name, t->bit, added,
               added / least);
    }
}

/* ---- nothing that has to be drawn again ------------------------------------------------------ */

/* How often the outlines change from turning one way to the other, small turns aside. */
static size_t inflections_of(const nw_drawing *drawing)
{
    nw_region region = flat(drawing);
    size_t count = 0;
    for (size_t ring = 0; ring < region.count; ring++) {
        size_t first = region.starts[ring], n = region.starts[ring + 1] - first;
        int last = 0, begun = 0;
        for (size_t k = 0; k < n; k++) {
            const nw_point *p = region.points + first;
            nw_point in = nw_minus(p[(k + 1) % n], p[k]);
            nw_point out = nw_minus(p[(k + 2) % n], p[(k + 1) % n]);
            double turn = atan2(nw_cross(in, out), nw_dot(in, out));
            int now = turn > TURN_LEAST ? 1 : turn < -TURN_LEAST ? -1 : last;
            count += last && now != last;
            begun = begun ? begun : now;
            last = now;
        }
        count += last && begun != last;
    }
    nw_region_free(&region);
    return count;
}

static bool same_point(nw_point a, nw_point b)
{
    return a.x == b.x && a.y == b.y;
}

static bool same_path(const nw_path *a, const nw_path *b)
{
    bool same = a->count == b->count && same_point(a->start, b->start);
    for (size_t k = 0; same && k < a->count; k++) {
        const nw_step *p = &a->steps[k], *q = &b->steps[k];
        same = p->kind == q->kind && same_point(p->to, q->to) &&
               (p->kind != NW_CURVE || (same_point(p->a, q->a) && same_point(p->b, q->b)));
    }
    return same;
}

#define PLACES 8 /* on a step that are looked at */

static double path_distance(const nw_path *path, nw_point from)
{
    double least = INFINITY;
    nw_point start = path->start, last = start;
    for (size_t k = 0; k < path->count; start = path->steps[k++].to) {
        for (int i = 1; i <= PLACES; i++) {
            nw_point p = nw_step_at(start, &path->steps[k], (double)i / PLACES);
            least = fmin(least, nw_segment_distance(last, p, from));
            last = p;
        }
    }
    return least;
}

/* Outlines that no spot comes within three bits of stay to the last digit. */
static void judge_untouched(const trial *t, score *tally)
{
    const nw_fit *fit = &t->widened.before;
    for (size_t i = 0; i < t->before->count; i++) {
        const nw_path *path = &t->before->paths[i];
        double off = INFINITY;
        for (size_t k = 0; k < fit->spot_count; k++) {
            const nw_spot *spot = &fit->spots[k];
            off = fmin(off, path_distance(path, spot->at) - fmax(spot->length, 0));
        }
        if (off > 3 * t->bit) {
            bool same = false;
            for (size_t k = 0; k < t->widened.drawing.count; k++)
                same = same || same_path(path, &t->widened.drawing.paths[k]);
            tally->untouched++;
            tally->changed += !same;
            if (!same) {
                printf("# changed: %s, bit %g: the outline at (%.3f, %.3f)\n", t->name, t->bit,
                       path->start.x, path->start.y);
            }
        }
    }
}

/* Do both ends of the pinch's shortest line lie where the edge of this old one's part was? Of
 * several passages in one part that the bit does not reach the fit lists the narrowest alone, and
 * another once the part has come apart. */
static bool hidden_behind(const trial *t, const nw_spot *old, const nw_spot *now)
{
    const nw_fit *before = &t->widened.before;
    nw_point ends[] = {now->from, now->to};
    bool on = true;
    for (int k = 0; k < 2; k++) {
        nw_point end = nw_plus(ends[k], t->widened.corner, 1);
        double off = INFINITY;
        for (size_t i = 0; i < old->residue_count; i++)
            off = fmin(off, path_distance(&before->residues.paths[old->residue + i], end));
        on = on && off < MOVE_MM;
    }
    return on;
}

/* A pinch that is left is one that was there, and no narrower. */
static void judge_left(const trial *t, score *tally)
{
    const nw_fit *before = &t->widened.before, *after = &t->widened.after;
    for (size_t i = 0; i < after->spot_count; i++) {
        const nw_spot *now = &after->spots[i];
        bool known = now->form != NW_PINCH;
        for (size_t k = 0; k < before->spot_count && !known; k++) {
            const nw_spot *old = &before->spots[k];
            known = old->form == NW_PINCH && old->side == now->side &&
                    now->width >= old->width - 1e-3 &&
                    (nw_distance(old->at, now->at) < 2 * t->bit || hidden_behind(t, old, now));
        }
        tally->worse += !known;
        if (!known) {
            printf("# new or narrower: %s, bit %g: %s at (%.3f, %.3f), %.4f wide\n", t->name,
                   t->bit, nw_side_name(now->side), now->at.x, now->at.y, now->width);
        }
    }
}

/* How many rings of one area's edge have a place that is farther from the other's edge than `most`.
 */
static size_t farther_count(const GEOSGeometry *from, const GEOSGeometry *to, double most)
{
    size_t count = 0;
    GEOSGeometry *edge = GEOSBoundary(from), *other = GEOSBoundary(to);
    GEOSGeometry *dense = GEOSDensify(edge, SPACING_MM);
    const GEOSPreparedGeometry *prepared = GEOSPrepare(other);
    for (int i = 0; i < GEOSGetNumGeometries(dense); i++) {
        const GEOSCoordSequence *places = GEOSGeom_getCoordSeq(GEOSGetGeometryN(dense, i));
        unsigned size = 0;
        bool far = false;
        GEOSCoordSeq_getSize(places, &size);
        for (unsigned k = 0; k < size && !far; k++) {
            double x, y;
            GEOSCoordSeq_getXY(places, k, &x, &y);
            far = second_distance(prepared, x, y) > most;
        }
        count += far;
    }
    GEOSPreparedGeom_destroy(prepared);
    GEOSGeom_destroy(dense);
    GEOSGeom_destroy(edge);
    GEOSGeom_destroy(other);
    return count;
}

/* No place of the new outlines is farther from the old ones than is said, nor the other way, but of
 * as many as are said to be dropped. */
static void judge_move(const trial *t, score *tally)
{
    double most = t->widened.largest_move + MOVE_MM;
    size_t is = farther_count(t->new_area, t->old_area, most);
    size_t was = farther_count(t->old_area, t->new_area, most);
    bool far = is || was > t->widened.dropped;
    tally->farther += far;
    tally->dropped += t->widened.dropped;
    if (far) {
        printf("# moved: %s, bit %g: %zu new, %zu old farther than %.3f, %zu dropped\n", t->name,
               t->bit, is, was, t->widened.largest_move, t->widened.dropped);
    }
}

static void judge_rest(const trial *t, score *tally)
{
    judge_untouched(t, tally);
    judge_left(t, tally);
    judge_move(t, tally);
    if (t->lines)
        judge_area(t, tally);
    size_t old = drawing_steps(t->before), bends = inflections_of(t->before);
    if (tally->shapes < MOST_SHAPES) {
        tally->nodes[tally->shapes] = (double)drawing_steps(&t->widened.drawing) / (double)old;
        tally->bends[tally->shapes] =
            ((double)inflections_of(&t->widened.drawing) + 1) / ((double)bends + 1);
        tally->shapes++;
    }
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The value that this share of them does not exceed; sorts them. */
static double share_of(double *values, size_t count, double share)
{
    qsort(values, count, sizeof *values, by_size);
    return count ? values[(size_t)(share * (double)(count - 1) + 0.5)] : 0;
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
        for (size_t i = 0; i < parts; i++)
            count += (size_t)GEOSGetNumInteriorRings(GEOSGetGeometryN(areas[k], (int)i));
        good = good && parts == pieces[k] && count == holes[k];
    }
    tally->miscounted += !good;
    if (!good)
        printf("# pieces or holes: %s, bit %g\n", t->name, t->bit);
}

/* At the size that is named for a place it has no pinch after widening. */
static void judge_sizes(const trial *t, score *tally)
{
    double factor = 0;
    for (size_t i = 0; i < t->widened.before.spot_count; i++)
        factor = fmax(factor, t->widened.notes[i].factor);
    if (!(factor > 0))
        return;
    nw_drawing larger;
    nw_widened again = {.cut_short = false};
    nw_widen_options options = options_of(t->bit, t->neck);
    bool good = nw_drawing_copy(t->before, &larger, NULL) == NW_OK &&
                nw_drawing_place(&larger, factor, 0, false, NULL) == NW_OK &&
                nw_drawing_widen(&larger, &options, &again, NULL) == NW_OK;
    for (size_t i = 0; good && i < t->widened.before.spot_count; i++) {
        const nw_spot *place = &t->widened.before.spots[i];
        nw_point at = {place->at.x * factor, place->at.y * factor};
        for (size_t k = 0; t->widened.notes[i].factor > 0 && k < again.after.spot_count; k++)
            good = good && (again.after.spots[k].form != NW_PINCH ||
                            nw_distance(again.after.spots[k].at, at) > t->bit);
    }
    tally->sizes++;
    tally->sizes_false += !good;
    if (!good)
        printf("# no room at %.2f x the size: %s, bit %g\n", factor, t->name, t->bit);
    nw_widened_free(&again);
    nw_drawing_free(&larger);
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
        judge_sizes(&t, tally);
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

static void sum_up(score *s)
{
    printf("# %zu outlines with %zu pinches: %zu clean (%.2f %%), %zu by GEOS; %zu pinches left\n",
           s->with_pinches, s->pinches_before, s->clean,
           100.0 * (double)s->clean / (double)s->with_pinches, s->clean_by_geos, s->pinches_after);
    printf("# nodes %.2f at the median, %.2f at nine of ten; changes of turn %.2f, %.2f\n",
           share_of(s->nodes, s->shapes, 0.5), share_of(s->nodes, s->shapes, 0.9),
           share_of(s->bends, s->shapes, 0.5), share_of(s->bends, s->shapes, 0.9));
    printf("# added, of the least: %.2f at the median, %.2f at nine of ten, in %zu outlines\n",
           share_of(s->shares, s->areas, 0.5), share_of(s->shares, s->areas, 0.9), s->areas);
    printf("# %zu outlines far from spots, %zu of them changed; %zu dropped\n", s->untouched,
           s->changed, s->dropped);
}

int main(void)
{
    second_start();
    setvbuf(stdout, NULL, _IOLBF, 0);
    bool all = outlines_all();
    real_drawings drawings =
        all ? drawings_read(140, 100, WIDE_MM, 1500) : drawings_read(28, 6, WIDE_MM, 400);
    if (drawings.words < 25) {
        puts("1..0 # SKIP needs the fonts of fonts-urw-base35, fonts-dejavu-core, lmodern, "
             "tex-gyre");
        drawings_free(&drawings);
        return EXIT_SUCCESS;
    }
    static score tally, thick, coarse;
    for (size_t i = 0; i < drawings.count; i++) {
        for (size_t k = 0; k < BITS; k++)
            if (all || k == i % BITS)
                try_one(&drawings.items[i], bits[k], NECK_MM, all || i % 3 > 0, &tally);
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
    ok(tally.with_pinches >= HELD_OUTLINES / (all ? 1 : 5), "enough real outlines with pinches");
    ok((double)tally.clean >= HELD_CLEAN * count, "98 % come out with none");
    ok((double)tally.clean_by_geos >= HELD_CLEAN * count, "GEOS says the same of what is written");
    printf("# %zu sizes were named\n", tally.sizes + thick.sizes + coarse.sizes);
    ok(tally.sizes_false + thick.sizes_false + coarse.sizes_false == 0,
       "the sizes that are named for places without room have room");
    ok(tally.worse == 0, "what is left was there before, and is no narrower");
    ok(tally.changed == 0, "outlines with no spot within three bits are the same");
    ok(tally.farther == 0, "no outline moved farther than is said");
    ok(share_of(tally.nodes, tally.shapes, 0.5) <= BAR_NODES &&
           share_of(tally.nodes, tally.shapes, 0.9) <= BAR_NODES_MOST,
       "nodes are at most 1.1 times the old at the median, 1.5 times at nine of ten");
    ok(share_of(tally.bends, tally.shapes, 0.5) <= 1, "turns change no more often than before");
    ok(tally.areas >= 5 && share_of(tally.shares, tally.areas, 0.5) <= BAR_AREA &&
           share_of(tally.shares, tally.areas, 0.9) <= BAR_AREA_MOST,
       "what is added is at most 1.6 times the least at the median, 2.5 times at nine of ten");
    ok(tally.miscounted == 0, "pieces and holes are as reported");
    printf("1..%d\n", checks);
    return failures ? EXIT_FAILURE : EXIT_SUCCESS;
}
