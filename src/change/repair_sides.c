/*
 * The outlines as they stand, one side of them -> which place of the drawing each point of the
 * border is, the walls of what is too narrow for the wanted widths, and which of these places are
 * to be made wide: those that were chosen, and what came about by the moves. Marks along the steps
 * remember it from round to round.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>

#define SPACING_BITS (1.0 / 10) /* of places along a wall */
#define SPACING_LEAST_MM 0.1
#define SPACING_MOST_MM 0.5
#define NOWHERE SIZE_MAX
#define ON_MM 0.02 /* a place this near to a spot's walls is on them */

/* ---- which place a border's point is --------------------------------------------------------- */

/* Matches a border's ring with a region's, from which points may have been left out. */
static bool ring_match(nw_pair_side *w, size_t ring, const nw_region *region,
                       const nw_step_place *of, size_t k)
{
    const nw_border *b = w->border;
    size_t first = region->starts[k], n = region->starts[k + 1] - first, at = b->starts[ring];
    for (size_t i = 0; i < n && at < b->starts[ring + 1]; i++) {
        size_t p = first + (w->reversed ? n - 1 - i : i);
        if (region->points[p].x == b->points[at].x && region->points[p].y == b->points[at].y)
            w->places[at++] = of[p];
    }
    return at == b->starts[ring + 1];
}

static void places_match(nw_pair_side *w, const nw_region *region, const nw_step_place *of)
{
    size_t k = 0;
    for (size_t ring = 0; ring < w->border->ring_count; ring++) {
        size_t from = k;
        while (k < region->count && !ring_match(w, ring, region, of, k))
            k++;
        if (k < region->count) {
            k++;
            continue;
        }
        k = from;
        for (size_t i = w->border->starts[ring]; i < w->border->starts[ring + 1]; i++)
            w->places[i].step = NOWHERE;
    }
}

nw_step_place nw_pair_place(const nw_pair_side *w, uint32_t segment, double share)
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

uint64_t nw_mark_of(nw_step_place place)
{
    int part = (int)(place.t * NW_ART_PARTS);
    return (uint64_t)1 << (part < NW_ART_PARTS ? part : NW_ART_PARTS - 1);
}

nw_moving_art_marks *nw_pair_marks(const nw_pair_side *w, nw_step_place place)
{
    return &w->repair->art->marks[w->side][place.step];
}

bool nw_pair_wanted(const nw_pair_side *w, nw_step_place place)
{
    return place.step != NOWHERE && (nw_pair_marks(w, place)->wanted & nw_mark_of(place));
}

bool nw_pair_left(const nw_pair_side *w, nw_step_place place)
{
    return place.step != NOWHERE && (nw_pair_marks(w, place)->left & nw_mark_of(place));
}

/* ---- which spots are wanted ------------------------------------------------------------------ */

/* The wide fit's spot on whose walls the place lies; SIZE_MAX: none. */
static size_t wide_spot(const nw_pair_side *w, uint32_t segment, double along)
{
    const nw_border *b = w->border;
    size_t wall = nw_flank_at(b, &w->walls, b->ring[segment], b->station[segment] + along);
    return wall == SIZE_MAX ? SIZE_MAX : w->walls.items[wall].spot;
}

/* In the first round: finds the wide fit's spots of the places that are wanted. */
static void first_wanted(nw_pair_side *w)
{
    const nw_widening *widening = w->repair->widening;
    const nw_fit *before = &widening->out->before;
    for (size_t k = 0; k < before->spot_count; k++) {
        const nw_spot *spot = &before->spots[k];
        bool pinch = spot->form == NW_PINCH;
        double best = pinch ? ON_MM : w->repair->wanted[w->side] + fmax(spot->length, 0);
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
        if (at != SIZE_MAX)
            w->wanted[at] = true;
    }
}

/* Marks the walls of places that stay as they are. */
static void left_mark(nw_pair_side *w)
{
    const nw_widening *widening = w->repair->widening;
    const nw_fit *before = &widening->out->before;
    for (size_t k = 0; k < before->spot_count; k++)
        if (before->spots[k].side == w->side && !w->repair->marked[k] &&
            !nw_place_opened(widening, k)) {
            nw_moving_art_leave(w->repair->art, false, before, &before->spots[k], ON_MM);
            w->repair->marked[k] = true;
        }
}

/* A spot is wanted on that has walls which were wanted before, and one that came about. */
static void later_wanted(nw_pair_side *w, bool *known)
{
    const nw_border *b = w->border;
    for (uint32_t i = 0; i < b->count; i++) {
        int parts = w->places[i].step == NOWHERE ? 0 : (int)ceil(b->length[i] / w->spacing);
        for (int j = 0; j < parts; j++) {
            double share = (j + 0.5) / parts;
            size_t spot = wide_spot(w, i, b->length[i] * share);
            nw_step_place place = nw_pair_place(w, i, share);
            if (spot != SIZE_MAX) {
                known[spot] = known[spot] || nw_pair_wanted(w, place);
                w->left[spot] = w->left[spot] || nw_pair_left(w, place);
            }
        }
    }
    const nw_widening *widening = w->repair->widening;
    for (size_t k = 0; k < w->wide->spot_count; k++) {
        const nw_spot *spot = &w->wide->spots[k];
        bool asked = spot->form == NW_PINCH
                         ? spot->width < w->repair->least[w->side]
                         : nw_usual_remedy(widening->options, spot) == NW_OPEN ||
                               (known[k] && nw_form_opened(widening, spot->form));
        if (spot->side == w->side) {
            w->wanted[k] = (known[k] && spot->form == NW_PINCH) || (asked && !w->left[k]);
            w->repair->failing += asked && !w->left[k];
        }
    }
}

/* ---- all of it ------------------------------------------------------------------------------- */

static void areas_sum(nw_pair_side *w)
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

static nw_status walls_collect(nw_pair_side *w)
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
    return status == NW_OK ? nw_flanks_sort(&w->walls, w->error) : status;
}

nw_status nw_pair_side_make(nw_pair_side *w, const nw_region *region, const nw_step_place *of)
{
    size_t spots = w->wide->spot_count;
    w->places = nw_alloc(w->border->count, sizeof *w->places);
    w->area = nw_alloc(w->border->count, sizeof *w->area);
    w->wanted = nw_alloc(spots, sizeof *w->wanted);
    w->left = nw_alloc(spots, sizeof *w->left);
    bool *known = nw_alloc(spots, sizeof *known);
    bool good = w->places && w->area && w->wanted && w->left && known;
    nw_status status = good ? walls_collect(w) : nw_fail_memory(w->error, "opposite walls");
    if (status == NW_OK) {
        double spacing = w->repair->wanted[w->side] * SPACING_BITS;
        w->spacing = fmin(fmax(spacing, SPACING_LEAST_MM), SPACING_MOST_MM);
        places_match(w, region, of);
        areas_sum(w);
        if (w->repair->relabel)
            left_mark(w);
        if (w->repair->round == 0)
            first_wanted(w);
        else
            later_wanted(w, known);
    }
    free(known);
    return status;
}

void nw_pair_side_free(nw_pair_side *w)
{
    free(w->places);
    free(w->area);
    free(w->wanted);
    free(w->left);
    nw_flanks_free(&w->walls);
}
