/* Whether every spot lies on its own residue, for a fit that has its shapes: a stub's and a miss's
 * place in it or on its border; of a pinch one end at least on its border, if anything stays uncut
 * there (beside the other, where a passage is short, both discs may cut everything), and its place
 * halfway between its ends. */
#ifndef NARROWS_TESTS_SPOT_PLACES_H
#define NARROWS_TESTS_SPOT_PLACES_H

#include <fit/fit.h>

#include <math.h>

#define PLACE_MM 1e-3
#define PLACE_STEPS 64 /* chords an arc */

typedef struct {
    bool in;
    double distance; /* from the border */
} residue_place;

static inline void residue_chord(residue_place *place, nw_point a, nw_point b, nw_point p)
{
    nw_point way = nw_minus(b, a), to = nw_minus(p, a);
    double square = nw_dot(way, way), t = square > 0 ? nw_dot(to, way) / square : 0;
    nw_point foot = nw_plus(a, way, fmin(1, fmax(0, t)));
    place->distance = fmin(place->distance, nw_distance(foot, p));
    if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y))
        place->in = !place->in;
}

static inline residue_place residue_place_of(const nw_fit *fit, const nw_spot *spot, nw_point p)
{
    residue_place place = {false, INFINITY};
    for (size_t k = spot->residue; k < spot->residue + spot->residue_count; k++) {
        const nw_path *path = &fit->residues.paths[k];
        nw_point last = path->start;
        for (size_t i = 0; i < path->count; i++) {
            const nw_step *step = &path->steps[i];
            nw_point from = last;
            int chords = step->kind == NW_ARC ? PLACE_STEPS : 1;
            for (int c = 1; c <= chords; c++) {
                nw_point to =
                    c == chords ? step->to : nw_step_at(from, step, (double)c / PLACE_STEPS);
                residue_chord(&place, last, to, p);
                last = to;
            }
        }
    }
    return place;
}

static inline bool spot_in_place(const nw_fit *fit, const nw_spot *spot)
{
    residue_place at = residue_place_of(fit, spot, spot->at);
    if (spot->form != NW_PINCH)
        return at.in || at.distance <= PLACE_MM;
    nw_point middle = {(spot->from.x + spot->to.x) / 2, (spot->from.y + spot->to.y) / 2};
    double from = residue_place_of(fit, spot, spot->from).distance;
    double to = residue_place_of(fit, spot, spot->to).distance;
    return (spot->residue_count == 0 || fmin(from, to) <= PLACE_MM) &&
           nw_distance(middle, spot->at) <= PLACE_MM;
}

/* How many spots are not where they should be. */
static inline size_t spots_astray(const nw_fit *fit)
{
    size_t astray = 0;
    for (size_t k = 0; k < fit->spot_count; k++)
        astray += !spot_in_place(fit, &fit->spots[k]);
    return astray;
}

#endif
