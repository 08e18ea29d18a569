/*
 * GEOS's opening, buffer(-r) then buffer(r), as second opinion on real outlines at four bits: are
 * the same spots in the same places, of the same kind, of the same area?
 *
 * Kinds are told on GEOS's residues by the number of arcs that they share with the opening: none a
 * miss, one a stub or a corner, more a pinch. The fit works with d - 0.005, the middle of
 * its stated band, and so does this. Bands of ambiguity, in which a difference does not count:
 *   - what GEOS itself sees otherwise at d, d - 0.01, or with a quarter, 5 or 25 times its eps (it
 *     simplifies concave stretches by up to a hundredth of r before it offsets them, so that a
 *     smooth curve may leave a sliver along the wall);
 *   - residues under TINY_MM2, or thinner than a few eps;
 *   - stub or corner where depth or taper are near the limit that tells them apart.
 * What remains must match to the bar.
 */
#include "outlines.h"
#include "second.h"
#include "shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BAR 0.995
#define WIDE_MM 120.0
#define TINY_MM2 0.005
#define SHIFT_MM 0.005
#define EPS 1e-4 /* of d */
#define VARIANTS 5

static const double bits[] = {0.8, 1.5875, 3.175, 6.35};

/* A residue as the fit tells it. */
typedef struct {
    GEOSGeometry *shape;
    nw_box box;
    double area;
    bool corner;
    nw_form form;
    int parts; /* of the residue that this is one of */
    const nw_spot *spot;
} told;

typedef struct {
    told *items;
    size_t count;
} told_list;

typedef struct {
    size_t spots, matched, band, mismatched, corners, corners_matched, runs, unpaired, area_off;
    double area_worst;
} score;

/* ---- the fit's side ------------------------------------------------------------------------ */

/* The rings of one kind, outer ones or holes, as an area. */
static GEOSGeometry *rings_area(const nw_path *paths, size_t count, bool hole)
{
    nw_region region = {0};
    for (size_t k = 0; k < count; k++) {
        nw_point *points;
        size_t size = shape_path_points(&paths[k], 2e-5, &points);
        if (size > 2 && paths[k].hole == hole)
            shape_ring(&region, points, size, false, region.count);
        free(points);
    }
    GEOSGeometry *area = region.count ? second_area(&region) : GEOSGeom_createEmptyPolygon();
    nw_region_free(&region);
    return area;
}

/* Discs that overlap from both sides leave a residue in two parts: each is told by itself. */
static void tell(told_list *list, told item, const nw_path *paths, size_t count)
{
    GEOSGeometry *shape =
        second_combined(rings_area(paths, count, false), rings_area(paths, count, true), '-');
    int parts = GEOSGetNumGeometries(shape);
    list->items = realloc(list->items, (list->count + (size_t)parts) * sizeof item);
    for (int i = 0; i < parts; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN(shape, i);
        if (GEOSGeomTypeId(part) != GEOS_POLYGON || GEOSisEmpty(part))
            continue;
        item.parts = parts;
        item.shape = GEOSGeom_clone(part);
        GEOSArea(part, &item.area);
        GEOSGeom_getExtent(part, &item.box.min.x, &item.box.min.y, &item.box.max.x,
                           &item.box.max.y);
        list->items[list->count++] = item;
    }
    GEOSGeom_destroy(shape);
}

static told_list told_by(const nw_fit *fit, nw_side side)
{
    told_list list = {0};
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        if (spot->side == side) {
            tell(&list, (told){.form = spot->form, .spot = spot},
                 fit->residues.paths + spot->residue, spot->residue_count);
        }
    }
    for (size_t i = 0; side == NW_GAP && i < fit->corner_residues.count; i++)
        tell(&list, (told){.corner = true, .form = NW_STUB}, fit->corner_residues.paths + i, 1);
    return list;
}

static void told_free(told_list *list)
{
    for (size_t i = 0; i < list->count; i++)
        GEOSGeom_destroy(list->items[i].shape);
    free(list->items);
}

/* ---- telling the two apart ------------------------------------------------------------------ */

static bool apart(nw_box a, nw_box b)
{
    return a.max.x < b.min.x || b.max.x < a.min.x || a.max.y < b.min.y || b.max.y < a.min.y;
}

static double common_area(const GEOSGeometry *a, const GEOSGeometry *b)
{
    double area = 0;
    GEOSGeometry *common = GEOSIntersection(a, b);
    if (common) {
        GEOSArea(common, &area);
        GEOSGeom_destroy(common);
    }
    return area;
}

/* In place: more than half of what either covers is covered by both. */
static bool in_place(const told *t, const second_residue *r)
{
    if (apart(t->box, r->box))
        return false;
    double common = common_area(t->shape, r->shape);
    return common > 0 && 2 * common > t->area + r->area - common;
}

static nw_form form_of(const second_residue *r)
{
    return r->contacts == 0 ? NW_MISS : r->contacts == 1 ? NW_STUB : NW_PINCH;
}

/* The rule for a corner on GEOS's figures: 1 yes, 0 no, -1 too near a limit to say, or no tip by
 * itself, but maybe part of one. */
static int corner_of(const second_residue *r, double blunt)
{
    double any = r->depth / (blunt / 8), tip = r->depth / blunt;
    if (any < 0.97)
        return 1;
    if (tip > 1.03)
        return 0;
    return any > 1.03 && tip < 0.97 && r->taper <= 0.5 ? 1 : -1;
}

static bool tiny(const second_residue *r, double eps)
{
    return r->area < TINY_MM2 || r->area < 3 * eps * r->perimeter;
}

/* Where outlines touch in a point GEOS sees the two parts apart, each with the contacts of its own;
 * to the fit they are joined there by a passage of width 0. */
static bool same_form(const told *t, const second_residue *r)
{
    bool touching = t->form == NW_PINCH ? t->spot->width < 2 * SHIFT_MM : t->parts > 1;
    bool room = t->corner && form_of(r) == NW_PINCH; /* with what lies beyond it may be lost */
    return t->form == form_of(r) || touching || room;
}

static bool same_kind(const told *t, const second_residue *r, double blunt, nw_side side)
{
    if (!same_form(t, r))
        return false;
    int corner = form_of(r) == NW_STUB && t->form == NW_STUB ? corner_of(r, blunt) : 0;
    return side == NW_NECK || corner < 0 || form_of(r) == NW_PINCH || t->corner == (corner == 1);
}

/* Corners of the kept area are not listed; nothing has to match there. */
static bool expected(const second_residue *r, double blunt, nw_side side)
{
    bool room = r->contacts > 1 && fmax(nw_box_width(r->box), nw_box_height(r->box)) < blunt;
    return side == NW_GAP || !(room || (r->contacts == 1 && corner_of(r, blunt) != 0));
}

static const told *told_at(const told_list *list, const second_residue *r)
{
    for (size_t i = 0; i < list->count; i++)
        if (in_place(&list->items[i], r))
            return &list->items[i];
    return NULL;
}

static const second_residue *residue_at(const second_residues *residues, const told *t)
{
    for (size_t i = 0; i < residues->count; i++)
        if (!residues->items[i].framed && in_place(t, &residues->items[i]))
            return &residues->items[i];
    return NULL;
}

/* ---- one outline, one bit, one side ---------------------------------------------------------- */

typedef struct {
    const char *name;
    const GEOSGeometry *area; /* that the disc rolls in */
    const nw_box *frame;
    nw_side side;
    double d, blunt;
    second_residues variants[VARIANTS];
    size_t variant_count;
    score *tally;
} bout;

static second_residues variant_of(const bout *b, double d, double eps)
{
    return second_residues_of(b->area, d, eps * d, b->frame);
}

/* GEOS's answers at both ends of the band, and with finer and coarser eps; made when first needed.
 */
static void need_variants(bout *b)
{
    const struct {
        double shift, factor;
    } variants[VARIANTS] = {
        {0, 1}, {2 * SHIFT_MM, 1}, {SHIFT_MM, 0.25}, {SHIFT_MM, 5}, {SHIFT_MM, 25}};
    for (; b->variant_count < VARIANTS; b->variant_count++) {
        size_t i = b->variant_count;
        b->variants[i] = variant_of(b, b->d - variants[i].shift, EPS * variants[i].factor);
    }
}

/* GEOS sees it otherwise in one of the variants: as the fit does, or with another kind. */
static bool wavers_residue(bout *b, const told_list *list, const second_residue *r)
{
    need_variants(b);
    told self = {.shape = r->shape, .box = r->box, .area = r->area, .form = form_of(r)};
    for (size_t i = 0; i < b->variant_count; i++) {
        const second_residue *other = residue_at(&b->variants[i], &self);
        if (!other || form_of(other) != form_of(r))
            return true;
        const told *t = told_at(list, other);
        if (t && same_kind(t, other, b->blunt, b->side))
            return true;
    }
    return false;
}

static bool wavers_told(bout *b, const told *t)
{
    need_variants(b);
    for (size_t i = 0; i < b->variant_count; i++) {
        const second_residue *other = residue_at(&b->variants[i], t);
        if (other && same_kind(t, other, b->blunt, b->side))
            return true;
    }
    return false;
}

static const char *kind_name(bool there, bool corner, nw_form form)
{
    return !there ? "nothing" : corner ? "corner" : nw_form_name(form);
}

static void say(const bout *b, const char *verdict, nw_point at, const told *t,
                const second_residue *r)
{
    printf("# %s: %s, d %g, %s at (%.4f, %.4f): fit %s area %.5f; GEOS %s area %.5f depth %.4f "
           "taper %.2f contacts %d\n",
           verdict, b->name, b->d, nw_side_name(b->side), at.x, at.y,
           kind_name(t != NULL, t && t->corner, t ? t->form : NW_MISS), t ? t->area : 0,
           kind_name(r != NULL, false, r ? form_of(r) : NW_MISS), r ? r->area : 0, r ? r->depth : 0,
           r ? r->taper : 0, r ? r->contacts : 0);
}

static nw_point middle(nw_box box)
{
    return (nw_point){(box.min.x + box.max.x) / 2, (box.min.y + box.max.y) / 2};
}

/* The fit's area less what eps takes off along the contacts. */
static double area_off(const bout *b, const told *t, const second_residue *r, double factor)
{
    double allowed = 1.5 * factor * EPS * b->d * r->perimeter + 2e-3 * r->area;
    return fabs(t->area - r->area) / allowed;
}

static void weigh_area(bout *b, const told *t, const second_residue *r)
{
    double off = area_off(b, t, r, 1);
    if (off > 1) {
        need_variants(b);
        const second_residue *coarse = residue_at(&b->variants[VARIANTS - 2], t);
        off = coarse ? fmin(off, area_off(b, t, coarse, 5)) : off;
    }
    b->tally->area_worst = fmax(b->tally->area_worst, off);
    if (off > 1) {
        b->tally->area_off++;
        say(b, "area", middle(r->box), t, r);
    }
}

static void judge_residue(bout *b, const told_list *list, const second_residue *r)
{
    if (r->framed || tiny(r, EPS * b->d) || !expected(r, b->blunt, b->side))
        return;
    const told *t = told_at(list, r);
    bool corner = r->contacts == 1 && corner_of(r, b->blunt) == 1;
    if (t && same_kind(t, r, b->blunt, b->side)) {
        *(corner ? &b->tally->corners : &b->tally->spots) += 1;
        *(corner ? &b->tally->corners_matched : &b->tally->matched) += 1;
        weigh_area(b, t, r);
    } else if (wavers_residue(b, list, r)) {
        b->tally->band++;
    } else {
        *(corner ? &b->tally->corners : &b->tally->spots) += 1;
        b->tally->mismatched++;
        say(b, "differs", middle(r->box), t, r);
    }
}

static void judge_told(bout *b, const second_residues *residues, const told *t)
{
    if (t->area < TINY_MM2 || residue_at(residues, t))
        return; /* judged from the other side */
    if (wavers_told(b, t)) {
        b->tally->band++;
        return;
    }
    *(t->corner ? &b->tally->corners : &b->tally->spots) += 1;
    b->tally->mismatched++;
    say(b, "extra", t->spot ? t->spot->at : middle(t->box), t, NULL);
}

static void judge(bout *b, const nw_fit *fit)
{
    told_list list = told_by(fit, b->side);
    second_residues residues = variant_of(b, b->d - SHIFT_MM, EPS);
    for (size_t i = 0; i < residues.count; i++)
        judge_residue(b, &list, &residues.items[i]);
    for (size_t i = 0; i < list.count; i++)
        judge_told(b, &residues, &list.items[i]);
    for (size_t i = 0; i < b->variant_count; i++)
        second_residues_free(&b->variants[i]);
    second_residues_free(&residues);
    told_free(&list);
}

static void compare(const real_outline *outline, double d, score *tally)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_INSIDE;
    options.bit = options.neck = d;
    options.with_shapes = true;
    options.threads = 1;
    nw_fit fit = shape_fit(&outline->region, &options);
    if (fit.unpaired)
        printf("# unpaired: %s, d %g: %zu\n", outline->name, d, fit.unpaired);
    tally->unpaired += fit.unpaired;
    GEOSGeometry *art = second_area(&outline->region);
    double margin = 4 * d;
    GEOSGeometry *rest = second_rest(&outline->region, art, margin);
    nw_box frame = shape_box_of(&outline->region);
    frame.min.x -= margin, frame.min.y -= margin, frame.max.x += margin, frame.max.y += margin;
    bout gaps = {outline->name, art, NULL, NW_GAP, d, fit.blunt, .tally = tally};
    bout necks = {outline->name, rest, &frame, NW_NECK, d, fit.blunt, .tally = tally};
    judge(&gaps, &fit);
    judge(&necks, &fit);
    tally->runs++;
    GEOSGeom_destroy(art);
    GEOSGeom_destroy(rest);
    nw_fit_free(&fit);
}

int main(void)
{
    second_start();
    setvbuf(stdout, NULL, _IOLBF, 0);
    bool all = outlines_all();
    real_outlines outlines =
        all ? outlines_read(140, 120, WIDE_MM, 4000) : outlines_read(32, 8, WIDE_MM, 1500);
    if (!outlines_enough(&outlines)) {
        outlines_free(&outlines);
        return EXIT_SUCCESS;
    }
    score tally = {0};
    for (size_t i = 0; i < outlines.count; i++)
        for (size_t k = 0; k < sizeof bits / sizeof *bits; k++)
            if (all || (i + k) % 4 == 0)
                compare(&outlines.items[i], bits[k], &tally);
    size_t counted = tally.spots + tally.corners;
    double share = counted ? 1 - (double)tally.mismatched / (double)counted : 0;
    printf("# %zu words, %zu drawings, %zu fits: %zu of %zu spots and %zu of %zu corners match, "
           "%zu differ, %zu within the bands; areas off %zu (worst %.2f of what is allowed); "
           "%zu unpaired\n",
           outlines.words, outlines.drawings, tally.runs, tally.matched, tally.spots,
           tally.corners_matched, tally.corners, tally.mismatched, tally.band, tally.area_off,
           tally.area_worst, tally.unpaired);
    outlines_free(&outlines);
    puts("1..3");
    printf("%s 1 - spots agree with GEOS: %.3f %%\n", share >= BAR ? "ok" : "not ok", 100 * share);
    bool areas = (double)tally.area_off <= (1 - BAR) * (double)counted;
    printf("%s 2 - areas agree with GEOS\n", areas ? "ok" : "not ok");
    printf("%s 3 - no ends unpaired\n", tally.unpaired == 0 ? "ok" : "not ok");
    return share >= BAR && areas && tally.unpaired == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
