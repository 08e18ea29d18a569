/*
 * The outlines as they stand -> opposite places of their walls, and what each pair of them asks of
 * the moves: the largest disc that touches both is to become as wide as wanted where the place is
 * to be widened, and to stay wide enough elsewhere. The fit's own residues tell which walls face
 * each other across a passage (different ones) and which only bound a dead end (the same one, or
 * one that tapers to a tip); its largest discs give the pairs (Ma, Bae and Choi, The Visual
 * Computer 28, 2012).
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>

#define NOWHERE SIZE_MAX  /* a place's step: on the sheet's edge */
#define SINK_MM 0.008     /* discs start this far inside: polygons cut their curves' corners */
#define OPPOSITE -0.5     /* cosine of the angle between a disc's contacts: over 120 degrees */
#define FACING -0.85      /* the same for places that are only to stay wide enough */
#define LOOK 0.65         /* radius of the largest disc of interest, in wanted widths */
#define EVEN_SINE 1e-3    /* of the angle between lines that run along one another */
#define FAN_RAD 0.2       /* between the normals that are tried round a corner */
#define TIP_SHARE 0.75    /* of the area that a blind leg of even width has: less is a tip */
#define CORNER_SHARE 0.9  /* the same where it is no deeper than wide: less is a corner */
#define CORNER_WALLS 2.0  /* whose walls are no longer than so many chords */
#define GUARD_MM 0.01     /* a place that was wide enough stays so by this much, if it can */
#define POINT_WORK 2e4    /* of a point of the border in a round, as products */
#define LOOK_WORK 2.5e3   /* of a place from which the opposite wall is looked for */
#define FORCE 40.0        /* that a bit's length of wall may push with, for a bit's width */
#define PRESS_DOUBLINGS 2 /* of that, each time it was not enough */

/* ---- dead ends ------------------------------------------------------------------------------- */

/* A place on the border. */
typedef struct {
    uint32_t segment;
    double along; /* from the segment's start, mm */
    nw_point at;
    nw_step_place place;
} spot_on;

static spot_on place_of(const nw_pair_side *w, uint32_t segment, nw_point at)
{
    const nw_border *b = w->border;
    double along = nw_dot(nw_minus(at, b->points[segment]), b->along[segment]);
    along = fmin(fmax(along, 0), b->length[segment]);
    return (spot_on){segment, along, at, nw_pair_place(w, segment, along / b->length[segment])};
}

static double station_of(const nw_pair_side *w, const spot_on *s)
{
    return w->border->station[s->segment] + s->along;
}

/* Twice the area from the ring's first point to the place. */
static double area_of(const nw_pair_side *w, const spot_on *s)
{
    const nw_border *b = w->border;
    nw_point origin = b->points[b->starts[b->ring[s->segment]]];
    return w->area[s->segment] +
           nw_cross(nw_minus(b->points[s->segment], origin), nw_minus(s->at, origin));
}

/* Does what lies along the border from p on to q, of walls so many chords long at most, taper to a
 * tip? */
static bool tapers_between(const nw_pair_side *w, const spot_on *p, const spot_on *q, double most)
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
    double walls = length - chord;
    double share = walls < CORNER_WALLS * chord ? CORNER_SHARE : TIP_SHARE;
    return walls < most * chord && twice > 0 && twice < share * chord * walls;
}

static bool tapers_beyond(const nw_pair_side *w, const spot_on *p, const spot_on *q, double most)
{
    return w->border->ring[p->segment] == w->border->ring[q->segment] &&
           (tapers_between(w, p, q, most) || tapers_between(w, q, p, most));
}

static bool cuts_tip(const nw_pair_side *w, const spot_on *p, const spot_on *q)
{
    return tapers_beyond(w, p, q, INFINITY);
}

/* ---- conditions ------------------------------------------------------------------------------ */

static void end_add(const nw_pair_side *w, nw_step_place place, nw_point way)
{
    const nw_moving_art *art = w->repair->art;
    if (place.step == NOWHERE)
        return;
    const nw_moving_art_step *s = &art->steps[place.step];
    const uint32_t points[4] = {s->from, s->a, s->b, s->to};
    double weights[4];
    nw_moving_art_weights(s, place.t, weights);
    for (int k = 0; k < 4; k++) {
        nw_moving_art_term(art, w->conditions, points[k],
                           (nw_point){weights[k] * way.x, weights[k] * way.y});
    }
}

static bool on_lines(const nw_pair_side *w, const spot_on *p, const spot_on *q)
{
    const nw_moving_art_step *steps = w->repair->art->steps;
    return p->place.step != NOWHERE && q->place.step != NOWHERE && !steps[p->place.step].curve &&
           !steps[q->place.step].curve;
}

/* How many times harder they may push, for what they pushed before was not enough. */
static double pressing(const nw_pair_side *w, const spot_on *p, const spot_on *q)
{
    const nw_moving_art *art = w->repair->art;
    int one = p->place.step == NOWHERE ? 0 : art->pressed[p->place.step];
    int other = q->place.step == NOWHERE ? 0 : art->pressed[q->place.step];
    return ldexp(1, PRESS_DOUBLINGS * (one > other ? one : other));
}

/* How hard the condition may push. Between two lines all follows from the first and the last of
 * their pairs, which share the force: a further one takes the last one's place. */
static double force_take(nw_pair_side *w, const spot_on *p, const spot_on *q, bool guard)
{
    nw_forms *forms = w->conditions;
    nw_pair_run *run = &w->run;
    double force = FORCE * w->spacing / w->repair->wanted[w->side] * pressing(w, p, q);
    bool on = on_lines(w, p, q);
    if (!on || !run->count || run->last + 1 != forms->count || run->guard != guard ||
        run->one != p->segment || run->other != q->segment) {
        *run = (nw_pair_run){p->segment, q->segment, forms->count, on, guard};
        return force;
    }
    if (run->count++ == 1) {
        run->last = forms->count;
        return force;
    }
    force = forms->rows[run->last].weight + force / 2;
    forms->rows[run->last - 1].weight = force;
    forms->term_count = forms->rows[run->last].first;
    forms->count = run->last;
    return force;
}

/* The two places are to part by `more` from where they are now. */
static void condition_add(nw_pair_side *w, const spot_on *p, const spot_on *q, double more,
                          bool guard)
{
    nw_forms *forms = w->conditions;
    double bit = w->repair->wanted[w->side];
    nw_point way = nw_unit(p->at, q->at);
    way = (nw_point){way.x / bit, way.y / bit};
    nw_forms_row(forms, force_take(w, p, q, guard), 0);
    end_add(w, q->place, way);
    end_add(w, p->place, (nw_point){-way.x, -way.y});
    if (forms->failed)
        return;
    nw_form_row *row = &forms->rows[forms->count - 1];
    if (!row->count) {
        forms->count--;
        return;
    }
    row->target = nw_forms_value(forms, forms->count - 1, w->repair->art->x) + more / bit;
}

static bool dead_ends_count(const nw_pair_side *w, const nw_spot *spot)
{
    return spot->form != NW_PINCH || nw_form_opened(w->repair->widening, NW_STUB);
}

/* The pair lies on walls of a wanted place and faces across it. Of one that stays in part, only
 * what is too narrow is wanted: no ease is had by it. */
static bool across_wanted(const nw_pair_side *w, const spot_on *p, const spot_on *q, double width)
{
    const nw_border *b = w->border;
    size_t one = nw_flank_at(b, &w->walls, b->ring[p->segment], station_of(w, p));
    size_t other = nw_flank_at(b, &w->walls, b->ring[q->segment], station_of(w, q));
    if (one == SIZE_MAX || other == SIZE_MAX)
        return false;
    size_t spot = w->walls.items[one].spot;
    if (spot != w->walls.items[other].spot || !w->wanted[spot] ||
        (w->left[spot] && width > w->repair->least[w->side]))
        return false;
    return one != other || (dead_ends_count(w, &w->wide->spots[spot]) && !cuts_tip(w, p, q));
}

/* A disc of this radius touches both places; open: the cosine of half the angle by which its
 * contacts miss being opposite. */
static void pair_add(nw_pair_side *w, const spot_on *p, const spot_on *q, double radius,
                     double open, bool facing)
{
    double least = w->repair->least[w->side], wanted = w->repair->wanted[w->side];
    bool left = nw_pair_left(w, p->place) || nw_pair_left(w, q->place);
    bool across = across_wanted(w, p, q, 2 * radius);
    bool known = nw_pair_wanted(w, p->place) || nw_pair_wanted(w, q->place);
    if (left || (!across && !known)) {
        /* A corner gives way as it likes; the walls of a long tip would be pushed through one
         * another. */
        if (!facing || tapers_beyond(w, p, q, CORNER_WALLS))
            return;
        double was = INFINITY;
        if (p->place.step != NOWHERE && q->place.step != NOWHERE)
            was = nw_moving_art_width_was(w->repair->art, p->place, q->place);
        condition_add(w, p, q, fmin(least + GUARD_MM, was) - 2 * radius * open, true);
        return;
    }
    if (!across && (2 * radius < wanted || cuts_tip(w, p, q)))
        return;
    const nw_step_place places[2] = {p->place, q->place};
    for (int k = 0; across && k < 2; k++) {
        if (places[k].step == NOWHERE)
            continue;
        nw_moving_art_marks *marks = nw_pair_marks(w, places[k]);
        marks->wanted |= nw_mark_of(places[k]);
        marks->chosen |= w->repair->round || 2 * radius > least ? 0 : nw_mark_of(places[k]);
    }
    condition_add(w, p, q, (wanted - 2 * radius) / open, false);
}

static void place_look(nw_pair_side *w, const spot_on *p, nw_point normal)
{
    double limit = LOOK * w->repair->wanted[w->side];
    uint32_t segment = 0;
    w->repair->spent->done += LOOK_WORK;
    nw_point foot = p->at;
    double radius =
        nw_border_disc(w->border, nw_plus(p->at, normal, SINK_MM), normal, limit, &segment, &foot);
    if (radius >= limit)
        return;
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
static bool is_free(const nw_moving_art *art, const nw_moving_art_step *s)
{
    return art->unknown[s->from] != NW_HELD || art->unknown[s->to] != NW_HELD ||
           (s->curve && (art->unknown[s->a] != NW_HELD || art->unknown[s->b] != NW_HELD));
}

/* Pairs that begin where this segment does, if that is a corner. */
static void corner_look(nw_pair_side *w, uint32_t i)
{
    const nw_border *b = w->border;
    double turn = nw_border_turn(b, i);
    if (nw_border_reflex(b, i) && turn > FAN_RAD / 2) {
        nw_point first = nw_left(b->along[b->prev[i]]);
        int fans = 1 + (int)(turn / FAN_RAD);
        spot_on p = place_of(w, i, b->points[i]);
        for (int k = 0; k <= fans; k++) {
            double angle = -turn * k / fans;
            place_look(w, &p, nw_turned(first, nw_cos(angle), nw_sin(angle)));
        }
    }
}

/* The step on which a segment of the border lies; does its step begin there? */
static size_t step_of(const nw_pair_side *w, uint32_t segment)
{
    return nw_pair_place(w, segment, 0).step;
}

static bool step_begins(const nw_pair_side *w, uint32_t i)
{
    const nw_border *b = w->border;
    size_t step = step_of(w, i);
    return step != NOWHERE && (step != step_of(w, b->prev[i]) ||
                               (i == b->starts[b->ring[i]] &&
                                nw_moving_art_following(w->repair->art, (uint32_t)step) == step));
}

/* Pairs that begin on the step that begins with this segment; on one that stays none does, they
 * begin on the other. Chords may be much shorter than places need be apart. */
static void step_look(nw_pair_side *w, uint32_t i)
{
    const nw_border *b = w->border;
    if (!is_free(w->repair->art, &w->repair->art->steps[step_of(w, i)]))
        return;
    double length = b->length[i], before = 0;
    for (uint32_t j = b->next[i]; !step_begins(w, j); j = b->next[j])
        length += b->length[j];
    int parts = (int)ceil(length / w->spacing), k = 0;
    bool last;
    do {
        last = step_begins(w, b->next[i]);
        for (; k < parts; k++) {
            double along = length * (k + 0.5) / parts - before;
            if (along > b->length[i] && !last)
                break;
            spot_on p = place_of(w, i, nw_border_at(b, i, along));
            place_look(w, &p, nw_left(b->along[i]));
        }
        corner_look(w, i);
        before += b->length[i];
        i = b->next[i];
    } while (!last);
}

/* ---- one side -------------------------------------------------------------------------------- */

/* Do the two lie on lines that run along one another? Then any of many lines is the shortest. */
static bool is_even(const nw_pair_side *w, const spot_on *p, const spot_on *q)
{
    const nw_point *along = w->border->along;
    return on_lines(w, p, q) && fabs(nw_cross(along[p->segment], along[q->segment])) < EVEN_SINE;
}

/* The shortest lines of pinches, which may end at corners. */
static void shortest_add(nw_pair_side *w)
{
    for (size_t k = 0; k < w->wide->spot_count; k++) {
        const nw_spot *spot = &w->wide->spots[k];
        uint32_t one = 0, other = 0;
        nw_point foot;
        if (spot->side != w->side || spot->form != NW_PINCH || !w->wanted[k] ||
            isinf(nw_border_nearest(w->border, spot->from, INFINITY, &one, &foot)) ||
            isinf(nw_border_nearest(w->border, spot->to, INFINITY, &other, &foot)))
            continue;
        spot_on p = place_of(w, one, spot->from), q = place_of(w, other, spot->to);
        if (!is_even(w, &p, &q) && !nw_pair_left(w, p.place) && !nw_pair_left(w, q.place) &&
            spot->width > NW_MERGE_MM)
            condition_add(w, &p, &q, w->repair->wanted[w->side] - spot->width, false);
    }
}

static nw_status side_pairs(nw_pair_side *w, const nw_region *region, const nw_step_place *of)
{
    nw_status status = nw_pair_side_make(w, region, of);
    if (status == NW_OK) {
        const nw_border *b = w->border;
        for (uint32_t i = 0; i < b->count; i++)
            if (step_begins(w, i))
                step_look(w, i);
        shortest_add(w);
        status = w->conditions->failed ? nw_fail_memory(w->error, "opposite walls") : NW_OK;
    }
    nw_pair_side_free(w);
    return status;
}

nw_status nw_repair_pairs(nw_repair *repair, nw_forms *conditions, nw_error *error)
{
    const nw_moving_art_flat *flat;
    nw_borders borders = {0};
    nw_fit wide = {0};
    nw_fit_options options = repair->widening->out->before.options;
    bool outside = options.cut == NW_CUT_OUTSIDE;
    options.bit = repair->wanted[NW_GAP];
    options.neck = repair->wanted[NW_NECK];
    options.with_shapes = options.without_discs = true;
    repair->failing = 0;
    nw_status status = nw_moving_art_flatten(repair->art, &flat, error);
    if (status == NW_OK)
        status = nw_borders_make(&flat->region, &options, &borders, error);
    if (status == NW_OK)
        status = nw_fit_run_on(&borders, &options, &wide, error);
    for (int side = 0; side < 2 && status == NW_OK; side++) {
        nw_pair_side w = {.repair = repair,
                          .conditions = conditions,
                          .side = side == 0 ? NW_GAP : NW_NECK,
                          .border = side == 0 ? &borders.cut : &borders.kept,
                          .wide = &wide,
                          .reversed = (side == 0) == outside,
                          .error = error};
        status = side_pairs(&w, &flat->region, flat->places);
    }
    repair->relabel = false;
    repair->spent->done += POINT_WORK * (double)borders.cut.count;
    nw_fit_free(&wide);
    nw_borders_free(&borders);
    return status;
}
