/*
 * The fit of the art and the fit of the art with bridges -> the spots that are there by the
 * bridges: those of which nothing lay in a spot of the same side before. A tip of stock that a
 * bridge makes a passage is one, a half of a thin place on which a bridge stands is none.
 */
#include <change/bridges.h>

#include <math.h>
#include <stdlib.h>

#define ARC_CHORDS 8
/* As dear is a place that is likely to leave a new spot, and one that did. */
#define THIN_TIMES 1.5
#define SPOT_TIMES 6.0
#define SAME_OF_DISC 0.25 /* of the bit or least neck: so near to a spot is in it */

/* Whether p lies in the path, or how near it is. */
static double path_away(const nw_path *path, nw_point p)
{
    nw_point from = path->start;
    double away = INFINITY;
    bool in = false;
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        int chords = step->kind == NW_LINE ? 1 : ARC_CHORDS;
        nw_point a = from;
        for (int i = 1; i <= chords; i++) {
            nw_point b = nw_step_at(from, step, (double)i / chords);
            away = fmin(away, nw_segment_distance(a, b, p));
            in ^= nw_crosses_ray(a, b, p);
            a = b;
        }
        from = step->to;
    }
    return in ? 0 : away;
}

static bool is_new(const nw_fit *before, const nw_spot *spot)
{
    double disc = spot->side == NW_GAP ? before->options.bit : before->options.neck, away;
    for (size_t i = 0; i < before->spot_count; i++) {
        const nw_spot *old = &before->spots[i];
        if (old->side != spot->side)
            continue;
        away = nw_distance(old->at, spot->at);
        for (size_t k = 0; k < old->residue_count; k++)
            away = fmin(away, path_away(&before->residues.paths[old->residue + k], spot->at));
        if (away < SAME_OF_DISC * disc)
            return false;
    }
    return true;
}

/* How near the strip comes to a spot of the fit. */
static double strip_away(const nw_strip *strip, const nw_fit *fit, const nw_spot *spot)
{
    double away = nw_strip_distance(strip, spot->at);
    for (size_t k = 0; k < spot->residue_count; k++) {
        const nw_path *path = &fit->residues.paths[spot->residue + k];
        for (size_t i = 0; i < path->count; i++)
            away = fmin(away, nw_strip_distance(strip, path->steps[i].to));
    }
    return away;
}

/* The bridge that a new spot is beside; SIZE_MAX where there is none. */
static size_t bridge_beside(const nw_bridge_tree *tree, const nw_fit *after, const nw_spot *spot)
{
    double least = NW_BESIDE_BITS * 2 * tree->judge.radius;
    size_t best = SIZE_MAX;
    for (size_t k = 0; k < tree->made_count; k++) {
        double away = strip_away(&tree->made[k].strip, after, spot);
        if (away < least) {
            least = away;
            best = k;
        }
    }
    return best;
}

bool nw_bridge_spots_find(const nw_bridge_tree *tree, const nw_fit *before, const nw_fit *after,
                          nw_bridged *bridged)
{
    free(bridged->spots);
    bridged->spot_count = 0;
    bridged->spots = nw_alloc(after->spot_count, sizeof *bridged->spots);
    for (size_t i = 0; bridged->spots && i < after->spot_count; i++) {
        const nw_spot *spot = &after->spots[i];
        bool theirs = spot->side == NW_GAP || tree->judge.width >= tree->judge.neck;
        if (theirs && is_new(before, spot))
            bridged->spots[bridged->spot_count++] = (nw_bridge_spot){
                spot->side, spot->form, spot->at, spot->width, bridge_beside(tree, after, spot)};
    }
    return bridged->spots != NULL;
}

double nw_span_cost(const nw_bridge_tree *tree, size_t span)
{
    const nw_strip *strip = &tree->strips[span];
    double times = tree->spoils[span] ? SPOT_TIMES : strip->thin ? THIN_TIMES : 1;
    return strip->cost * (tree->at ? 1 : times);
}
