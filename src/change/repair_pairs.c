/*
 * The outlines as they stand -> opposite places of their walls, and what each pair of them asks of
 * the moves: the largest disc that touches both is to become as wide as wanted where the place is
 * to be widened, and to stay wide enough elsewhere. The fit's own residues tell which walls face
 * each other across a passage (different ones) and which only bound a dead end (the same one, or
 * one that tapers to a tip); its largest discs give the pairs (Ma, Bae and Choi, The Visual
 * Computer 28, 2012).
 */
#include "repair.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define SPACING_BITS (1.0 / 10) /* of places along a wall */
#define SPACING_LEAST_MM 0.1
#define SPACING_MOST_MM 0.5
#define NOWHERE SIZE_MAX /* a place's step: on the sheet's edge */
#define SINK_MM 0.008    /* discs start this far inside: polygons cut their curves' corners */
#define OPPOSITE -0.5    /* cosine of the angle between a disc's contacts: over 120 degrees */
#define FACING -0.85     /* the same for places that are only to stay wide enough */
#define LOOK 0.65        /* radius of the largest disc of interest, in wanted widths */
#define FAN_RAD 0.2      /* between the normals that are tried round a corner */
#define ON_MM 0.02       /* a place this near to a spot's walls is on them */
#define TIP_SHARE 0.75   /* of the area that a blind leg of even width has: less is a tip */
#define CORNER_SHARE 0.9 /* the same where it is no deeper than wide: less is a corner */
#define GUARD_MM 0.01    /* a place that was wide enough stays so by this much, if it can */
#define FORCE 40.0       /* that a bit's length of wall may push with, for a bit's width */

/* One side of the outlines as they stand. */
typedef struct {
    nw_repair *repair;
    nw_forms *conditions;
    nw_side side;
    const nw_border *border;
    const nw_fit *wide; /* at the wanted sizes */
    bool reversed;
    nw_step_place *places; /* of the border's points; step NOWHERE: the sheet's edge */
    double *area;          /* twice, up to each point, from its ring's first */
    nw_flanks walls;
    bool *wanted; /* of the wide fit's spots */
    double spacing;
    nw_error *error;
} pair_work;

/* ---- which place a border's point is --------------------------------------------------------- */

/* Matches a border's ring with a region's, from which points may have been left out. */
static bool ring_match(pair_work *w, size_t ring, const nw_region *region, const nw_step_place *of,
                       size_t k)
{
    const nw_border *b = w->border;
    size_t first = region->starts[k], n = region->starts[k + 1] - first, at = b->starts[ring];
    for (size_t i = 0; i < n && at < b->starts[ring + 1]; i++) {
        size_t p = first + (w->reversed ? n - 1 - i : i);
        if (region->points[p].x == b->points[at].x && region->points[p].y == b->points[at].y) {
            w->places[at++] = of[p];
        }
    }
    return at == b->starts[ring + 1];
}

static void places_match(pair_work *w, const nw_region *region, const nw_step_place *of)
{
    size_t k = 0;
    for (size_t ring = 0; ring < w->border->ring_count; ring++) {
        size_t from = k;
        while (k < region->count && !ring_match(w, ring, region, of, k)) {
            k++;
        }
        if (k < region->count) {
            k++;
            continue;
        }
        k = from;
        for (size_t i = w->border->starts[ring]; i < w->border->starts[ring + 1]; i++) {
            w->places[i].step = NOWHERE;
        }
    }
}

static nw_step_place place_on(const pair_work *w, uint32_t segment, double share)
{
    nw_step_place a = w->places[segment], b = w->places[w->border->next[segment]];
    if (w->reversed) {
        nw_step_place keep = a;
        a = b;
        b = keep;
        share = 1 - share;
    }
    double end = b.step == a.step && b.t > a.t ? b.t : 1;
    return (nw_step_place){a.step, a.t + (end - a.t) * share};
}

/* ---- marks ----------------------------------------------------------------------------------- */

static uint64_t mark_of(nw_step_place place)
{
    int part = (int)(place.t * NW_ART_PARTS);
    return (uint64_t)1 << (part < NW_ART_PARTS ? part : NW_ART_PARTS - 1);
}

static nw_art_marks *marks_at(const pair_work *w, nw_step_place place)
{
    return &w->repair->art->marks[w->side][place.step];
}

static bool is_wanted(const pair_work *w, nw_step_place place)
{
    return place.step != NOWHERE && (marks_at(w, place)->wanted & mark_of(place));
}

static bool is_left(const pair_work *w, nw_step_place place)
{
    return place.step != NOWHERE && (marks_at(w, place)->left & mark_of(place));
}

/* ---- dead ends ------------------------------------------------------------------------------- */

/* A place on the border. */
typedef struct {
    uint32_t segment;
    double along; /* from the segment's start, mm */
    nw_point at;
    nw_step_place place;
} spot_on;

static spot_on place_of(const pair_work *w, uint32_t segment, nw_point at)
{
    const nw_border *b = w->border;
    double along = nw_dot(nw_minus(at, b->points[segment]), b->along[segment]);
    along = fmin(fmax(along, 0), b->length[segment]);
    return (spot_on){segment, along, at, place_on(w, segment, along / b->length[segment])};
}

static double station_of(const pair_work *w, const spot_on *s)
{
    return w->border->station[s->segment] + s->along;
}

/* Twice the area from the ring's first point to the place. */
static double area_of(const pair_work *w, const spot_on *s)
{
    const nw_border *b = w->border;
    nw_point origin = b->points[b->starts[b->ring[s->segment]]];
    return w->area[s->segment] +
           nw_cross(nw_minus(b->points[s->segment], origin), nw_minus(s->at, origin));
}

/* Does what lies along the border from p on to q taper to a tip? */
static bool tapers_between(const pair_work *w, const spot_on *p, const spot_on *q)
{
    const nw_border *b = w->border;
    uint32_t ring = b->ring[p->segment];
    nw_point origin = b->points[b->starts[ring]];
    double length = station_of(w, q) - station_of(w, p), twice = area_of(w, q) - area_of(w, p);
    if (length < 0) {
        length += b->ring_length[ring];
        size_t last = b->starts[ring + 1] - 1;
        twice += w->area[last] + nw_cross(nw_minus(b->points[last], origin),
                                          nw_minus(b->points[b->starts[ring]], origin));
    }
    twice += nw_cross(nw_minus(q->at, origin), nw_minus(p->at, origin));
    double chord = nw_distance(p->at, q->at);
    double share = length - chord < 2 * chord ? CORNER_SHARE : TIP_SHARE;
    return twice > 0 && twice < share * chord * (length - chord);
}

static bool cuts_tip(const pair_work *w, const spot_on *p, const spot_on *q)
{
    return w->border->ring[p->segment] == w->border->ring[q->segment] &&
           (tapers_between(w, p, q) || tapers_between(w, q, p));
}

/* ---- conditions ------------------------------------------------------------------------------ */

static void end_add(const pair_work *w, nw_step_place place, nw_point way)
{
    const nw_art *art = w->repair->art;
    if (place.step == NOWHERE) {
        return;
    }
    const nw_art_step *s = &art->steps[place.step];
    const uint32_t points[4] = {s->from, s->a, s->b, s->to};
    double weights[4];
    nw_art_weights(s, place.t, weights);
    for (int k = 0; k < 4; k++) {
        nw_art_term(art, w->conditions, points[k],
                    (nw_point){weights[k] * way.x, weights[k] * way.y});
    }
}

/* The two places are to part by `more` from where they are now. */
static void condition_add(pair_work *w, const spot_on *p, const spot_on *q, double more)
{
    nw_forms *forms = w->conditions;
    double bit = w->repair->wanted[w->side];
    nw_point way = nw_unit(p->at, q->at);
    way = (nw_point){way.x / bit, way.y / bit};
    nw_forms_row(forms, FORCE * w->spacing / bit, 0);
    end_add(w, q->place, way);
    end_add(w, p->place, (nw_point){-way.x, -way.y});
    if (forms->failed) {
        return;
    }
    nw_form_row *row = &forms->rows[forms->count - 1];
    if (!row->count) {
        forms->count--;
        return;
    }
    row->target = nw_forms_value(forms, forms->count - 1, w->repair->art->x) + more / bit;
    if (getenv("REPAIR_PAIRS"))
        fprintf(stderr, "P %zu %d (%.2f %.2f)-(%.2f %.2f) more %.3f\n", forms->count - 1, w->side,
                p->at.x, p->at.y, q->at.x, q->at.y, more);
}

static bool dead_ends_count(const pair_work *w, const nw_spot *spot)
{
    return spot->form != NW_PINCH || w->repair->widening->options->stubs == NW_OPEN;
}

/* The pair lies on walls of a wanted place and faces across it. */
static bool across_wanted(const pair_work *w, const spot_on *p, const spot_on *q)
{
    const nw_border *b = w->border;
    size_t one = nw_flank_at(b, &w->walls, b->ring[p->segment], station_of(w, p));
    size_t other = nw_flank_at(b, &w->walls, b->ring[q->segment], station_of(w, q));
    if (one == SIZE_MAX || other == SIZE_MAX) {
        return false;
    }
    size_t spot = w->walls.items[one].spot;
    if (spot != w->walls.items[other].spot || !w->wanted[spot]) {
        return false;
    }
    return one != other || (dead_ends_count(w, &w->wide->spots[spot]) && !cuts_tip(w, p, q));
}

/* A disc of this radius touches both places; open: the cosine of half the angle by which its
 * contacts miss being opposite. */
static void pair_add(pair_work *w, const spot_on *p, const spot_on *q, double radius, double open,
                     bool facing)
{
    double least = w->repair->least[w->side], wanted = w->repair->wanted[w->side];
    bool left = is_left(w, p->place) || is_left(w, q->place);
    bool across = across_wanted(w, p, q);
    bool known = is_wanted(w, p->place) || is_wanted(w, q->place);
    if (left || (!across && !known)) {
        if (!facing || cuts_tip(w, p, q)) {
            return;
        }
        double was = INFINITY;
        if (p->place.step != NOWHERE && q->place.step != NOWHERE) {
            was = nw_distance(nw_art_was(w->repair->art, p->place),
                              nw_art_was(w->repair->art, q->place));
        }
        condition_add(w, p, q, fmin(least + GUARD_MM, was) - 2 * radius * open);
        return;
    }
    if (!across && (2 * radius < wanted || cuts_tip(w, p, q))) {
        return;
    }
    if (across && p->place.step != NOWHERE) {
        marks_at(w, p->place)->wanted |= mark_of(p->place);
    }
    if (across && q->place.step != NOWHERE) {
        marks_at(w, q->place)->wanted |= mark_of(q->place);
    }
    condition_add(w, p, q, (wanted - 2 * radius) / open);
}

static void place_look(pair_work *w, const spot_on *p, nw_point normal)
{
    double limit = LOOK * w->repair->wanted[w->side];
    uint32_t segment = 0;
    nw_point foot = p->at;
    double radius =
        nw_border_disc(w->border, nw_plus(p->at, normal, SINK_MM), normal, limit, &segment, &foot);
    if (radius >= limit) {
        return;
    }
    radius += SINK_MM / 2;
    nw_point centre = nw_plus(p->at, normal, radius);
    nw_point one = nw_unit(centre, p->at), other = nw_unit(centre, foot);
    double cosine = nw_dot(one, other);
    if (cosine < OPPOSITE) {
        spot_on q = place_of(w, segment, foot);
        pair_add(w, p, &q, radius, sqrt((1 - cosine) / 2), cosine < FACING);
    }
}

/* ---- places along the border ----------------------------------------------------------------- */

/* May anything of the step move? */
static bool is_free(const nw_art *art, const nw_art_step *s)
{
    return art->unknown[s->from] != NW_HELD || art->unknown[s->to] != NW_HELD ||
           (s->curve && (art->unknown[s->a] != NW_HELD || art->unknown[s->b] != NW_HELD));
}

/* Pairs that begin on this segment; on one that stays none does, they begin on the other. */
static void segment_look(pair_work *w, uint32_t i)
{
    const nw_border *b = w->border;
    size_t step = w->places[i].step;
    if (step == NOWHERE || !is_free(w->repair->art, &w->repair->art->steps[step])) {
        return;
    }
    int parts = (int)ceil(b->length[i] / w->spacing);
    nw_point normal = nw_left(b->along[i]);
    for (int k = 0; k < parts; k++) {
        spot_on p = place_of(w, i, nw_border_at(b, i, b->length[i] * (k + 0.5) / parts));
        place_look(w, &p, normal);
    }
    double turn = nw_border_turn(b, i);
    if (nw_border_reflex(b, i) && turn > FAN_RAD / 2) {
        nw_point first = nw_left(b->along[b->prev[i]]);
        int fans = 1 + (int)(turn / FAN_RAD);
        spot_on p = place_of(w, i, b->points[i]);
        for (int k = 0; k <= fans; k++) {
            double angle = -turn * k / fans, c = cos(angle), s = sin(angle);
            place_look(w, &p, (nw_point){c * first.x - s * first.y, s * first.x + c * first.y});
        }
    }
}

/* ---- which spots are wanted ------------------------------------------------------------------ */

/* The wide fit's spot on whose walls the place lies; SIZE_MAX: none. */
static size_t wide_spot(const pair_work *w, uint32_t segment, double along)
{
    const nw_border *b = w->border;
    size_t wall = nw_flank_at(b, &w->walls, b->ring[segment], b->station[segment] + along);
    return wall == SIZE_MAX ? SIZE_MAX : w->walls.items[wall].spot;
}

/* In the first round: finds the wide fit's spots of the places that are wanted. */
static void first_wanted(pair_work *w)
{
    const nw_widening *widening = w->repair->widening;
    const nw_fit *before = &widening->out->before;
    for (size_t k = 0; k < before->spot_count; k++) {
        const nw_spot *spot = &before->spots[k];
        bool pinch = spot->form == NW_PINCH;
        double best = pinch ? ON_MM : INFINITY;
        size_t at = SIZE_MAX;
        for (size_t j = 0;
             spot->side == w->side && nw_place_opened(widening, k) && j < w->wide->spot_count;
             j++) {
            const nw_spot *wide = &w->wide->spots[j];
            double off = wide->side != spot->side
                             ? INFINITY
                             : nw_residue_distance(w->wide, wide, pinch ? spot->from : spot->at);
            if (off < best) {
                best = off;
                at = j;
            }
        }
        if (at != SIZE_MAX) {
            w->wanted[at] = true;
        }
    }
}

/* Marks the walls of places that stay as they are. */
static void left_mark(pair_work *w)
{
    const nw_art *art = w->repair->art;
    const nw_widening *widening = w->repair->widening;
    const nw_fit *before = &widening->out->before;
    for (size_t k = 0; k < before->spot_count; k++) {
        const nw_spot *spot = &before->spots[k];
        if (spot->side != w->side || nw_place_opened(widening, k)) {
            continue;
        }
        nw_box box = nw_spot_box(before, spot);
        for (size_t i = 0; i < art->step_count; i++) {
            bool apart = !nw_boxes_meet(nw_art_box(art, &art->steps[i]), box, ON_MM);
            for (int j = 0; !apart && j < NW_ART_PARTS; j++) {
                nw_step_place place = {i, (j + 0.5) / NW_ART_PARTS};
                if (nw_residue_distance(before, spot, nw_art_was(art, place)) < ON_MM) {
                    marks_at(w, place)->left |= mark_of(place);
                    marks_at(w, place)->wanted &= ~mark_of(place);
                }
            }
        }
    }
}

/* A spot is wanted on that has walls which were wanted before, and one that came about. */
static void later_wanted(pair_work *w, bool *known, bool *left)
{
    const nw_border *b = w->border;
    for (uint32_t i = 0; i < b->count; i++) {
        int parts = w->places[i].step == NOWHERE ? 0 : (int)ceil(b->length[i] / w->spacing);
        for (int j = 0; j < parts; j++) {
            double share = (j + 0.5) / parts;
            size_t spot = wide_spot(w, i, b->length[i] * share);
            nw_step_place place = place_on(w, i, share);
            if (spot != SIZE_MAX) {
                known[spot] = known[spot] || is_wanted(w, place);
                left[spot] = left[spot] || is_left(w, place);
            }
        }
    }
    const nw_widen_options *o = w->repair->widening->options;
    for (size_t k = 0; k < w->wide->spot_count; k++) {
        const nw_spot *spot = &w->wide->spots[k];
        bool asked = spot->form == NW_PINCH  ? spot->width < w->repair->least[w->side]
                     : spot->form == NW_STUB ? o->stubs == NW_OPEN
                                             : o->misses == NW_OPEN;
        if (spot->side == w->side) {
            w->wanted[k] = (known[k] && spot->form == NW_PINCH) || (asked && !left[k]);
            w->repair->failing += asked && !left[k];
        }
    }
}

/* ---- one side -------------------------------------------------------------------------------- */

static void areas_sum(pair_work *w)
{
    const nw_border *b = w->border;
    for (size_t i = 0; i < b->count; i++) {
        bool first = i == b->starts[b->ring[i]];
        nw_point origin = b->points[b->starts[b->ring[i]]];
        w->area[i] = first ? 0
                           : w->area[i - 1] + nw_cross(nw_minus(b->points[i - 1], origin),
                                                       nw_minus(b->points[i], origin));
    }
}

static nw_status walls_collect(pair_work *w)
{
    nw_status status = NW_OK;
    for (size_t k = 0; k < w->wide->spot_count && status == NW_OK; k++) {
        const nw_spot *spot = &w->wide->spots[k];
        if (spot->side == w->side) {
            nw_flank like = {.spot = k};
            status = nw_flanks_add(w->border, &w->wide->residues, spot->residue,
                                   spot->residue_count, &like, &w->walls, w->error);
        }
    }
    return status;
}

/* The shortest lines of pinches, which may end at corners. */
static void shortest_add(pair_work *w)
{
    for (size_t k = 0; k < w->wide->spot_count; k++) {
        const nw_spot *spot = &w->wide->spots[k];
        uint32_t one = 0, other = 0;
        nw_point foot;
        if (spot->side != w->side || spot->form != NW_PINCH || !w->wanted[k] ||
            isinf(nw_border_nearest(w->border, spot->from, INFINITY, &one, &foot)) ||
            isinf(nw_border_nearest(w->border, spot->to, INFINITY, &other, &foot))) {
            continue;
        }
        spot_on p = place_of(w, one, spot->from), q = place_of(w, other, spot->to);
        if (!is_left(w, p.place) && !is_left(w, q.place) && spot->width > NW_MERGE_MM) {
            condition_add(w, &p, &q, w->repair->wanted[w->side] - spot->width);
        }
    }
}

static nw_status side_pairs(pair_work *w, const nw_region *region, const nw_step_place *of)
{
    size_t spots = w->wide->spot_count;
    w->places = nw_alloc(w->border->count, sizeof *w->places);
    w->area = nw_alloc(w->border->count, sizeof *w->area);
    w->wanted = nw_alloc(spots, sizeof *w->wanted);
    bool *known = nw_alloc(spots, sizeof *known), *left = nw_alloc(spots, sizeof *left);
    bool good = w->places && w->area && w->wanted && known && left;
    nw_status status = good ? walls_collect(w) : nw_fail_memory(w->error, "opposite walls");
    if (status == NW_OK) {
        double spacing = w->repair->wanted[w->side] * SPACING_BITS;
        w->spacing = fmin(fmax(spacing, SPACING_LEAST_MM), SPACING_MOST_MM);
        places_match(w, region, of);
        areas_sum(w);
        if (w->repair->relabel) {
            left_mark(w);
        }
        if (w->repair->round == 0) {
            first_wanted(w);
        } else {
            later_wanted(w, known, left);
        }
        for (uint32_t i = 0; i < w->border->count; i++) {
            segment_look(w, i);
        }
        shortest_add(w);
        status = w->conditions->failed ? nw_fail_memory(w->error, "opposite walls") : NW_OK;
    }
    free(w->places);
    free(w->area);
    free(w->wanted);
    free(known);
    free(left);
    nw_flanks_free(&w->walls);
    return status;
}

nw_status nw_repair_pairs(nw_repair *repair, nw_forms *conditions, nw_error *error)
{
    nw_region region;
    nw_step_place *places;
    nw_borders borders = {0};
    nw_fit wide = {0};
    nw_fit_options options = repair->widening->out->before.options;
    bool outside = options.cut == NW_CUT_OUTSIDE;
    options.bit = repair->wanted[NW_GAP];
    options.neck = repair->wanted[NW_NECK];
    options.with_shapes = true;
    repair->failing = 0;
    nw_status status = nw_art_flatten(repair->art, &region, &places, error);
    if (status != NW_OK) {
        return status;
    }
    status = nw_borders_make(&region, &options, &borders, error);
    if (status == NW_OK) {
        status = nw_fit_run_on(&borders, &options, &wide, error);
    }
    for (int side = 0; side < 2 && status == NW_OK; side++) {
        pair_work w = {.repair = repair,
                       .conditions = conditions,
                       .side = side == 0 ? NW_GAP : NW_NECK,
                       .border = side == 0 ? &borders.cut : &borders.kept,
                       .wide = &wide,
                       .reversed = (side == 0) == outside,
                       .error = error};
        status = side_pairs(&w, &region, places);
    }
    repair->relabel = false;
    nw_fit_free(&wide);
    nw_borders_free(&borders);
    nw_region_free(&region);
    free(places);
    return status;
}
