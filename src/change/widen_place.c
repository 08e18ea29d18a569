/*
 * Places that are widened: which spots are asked for, which spot of a later fit goes back to which
 * of the first, and where a spot of one fit lies in the fit of a wider disc: in the residue on
 * whose walls the ends of its shortest line lie. One end may be a corner, which has no wall of any
 * length.
 */
#include <change/widen.h>

#include <math.h>

#define LOSS_DISCS 4.0    /* of the bit lost in a new blind end: a room was closed */
#define SAME_SHARE 0.25   /* of a bit from what a pinch lost: a blind end is what is left of that */
#define SAME_WALL_MM 1e-3 /* a place on a wall, told by two fits of the same outlines */
#define NEAR_WALL_MM 0.02 /* a place this near to a spot's walls is on them */
#define ABOUT 3.0         /* bits round a place: what has to do with it */
#define SMALL_MISS_MM2 0.05 /* a miss that nobody would miss */
#define YIELDS_SHARE 0.5    /* of the disc's area: what is smaller makes way for a pinch */
#define YIELDS_BITS 1.0     /* that is so near */
#define COMPACT_BITS 1.5    /* no wall moves for what is lost and is no longer than that */

/* ---- which places ---------------------------------------------------------------------------- */

bool nw_place_unsolved(const nw_widened *widened, size_t i)
{
    return widened->notes[i].outcome == NW_CONFLICT || widened->notes[i].outcome == NW_STUCK;
}

/* Does the spot lie about one of the places that this is only for? */
static bool about_only(const nw_widening *w, const nw_spot *spot)
{
    const nw_fit *places = w->only ? &w->only->before : NULL;
    for (size_t i = 0; places && i < places->spot_count; i++) {
        const nw_spot *place = &places->spots[i];
        double reach = ABOUT * places->options.bit + fmax(place->length, 0) + fmax(spot->length, 0);
        if (nw_place_unsolved(w->only, i) && nw_distance(place->at, spot->at) < reach)
            return true;
    }
    return !places;
}

nw_remedy nw_usual_remedy(const nw_widen_options *options, const nw_spot *spot)
{
    if (spot->form == NW_PINCH)
        return NW_OPEN;
    if (nw_spot_is_crumb(spot, options->fit.bit))
        return NW_TRIM;
    return spot->form == NW_STUB ? options->stubs : options->misses;
}

/* What was said of spot i of the first fit itself. */
static nw_remedy own_remedy(const nw_widen_options *o, size_t i)
{
    return o->remedies && i < o->remedy_count ? o->remedies[i] : NW_AS_FORM;
}

nw_remedy nw_spot_remedy(const nw_widen_options *options, size_t i, const nw_spot *spot)
{
    nw_remedy own = own_remedy(options, i);
    return own == NW_AS_FORM ? nw_usual_remedy(options, spot) : own;
}

static nw_remedy place_remedy(const nw_widening *w, size_t i)
{
    if (w->yields[i] && !w->given_up)
        return NW_TRIM;
    return nw_spot_remedy(w->options, i, &w->out->before.spots[i]);
}

/* May spot i of the first fit, and what follows from it, be changed? */
static bool place_allowed(const nw_widening *w, size_t i)
{
    return own_remedy(w->options, i) != NW_KEEP && !w->refused[i] &&
           about_only(w, &w->out->before.spots[i]);
}

bool nw_place_wanted(const nw_widening *w, size_t i)
{
    return place_allowed(w, i) && place_remedy(w, i) != NW_KEEP;
}

bool nw_place_opened(const nw_widening *w, size_t i)
{
    return place_allowed(w, i) && place_remedy(w, i) == NW_OPEN;
}

bool nw_form_opened(const nw_widening *w, nw_form form)
{
    const nw_widen_options *o = w->options;
    bool any = form == NW_PINCH || (form == NW_STUB ? o->stubs : o->misses) == NW_OPEN;
    for (size_t i = 0; o->remedies && !any && i < w->out->before.spot_count; i++)
        any = w->out->before.spots[i].form == form && nw_place_opened(w, i);
    return any;
}

bool nw_places_trimmed(const nw_widening *w)
{
    bool any = false;
    for (size_t i = 0; !any && i < w->out->before.spot_count; i++)
        any = nw_spot_remedy(w->options, i, &w->out->before.spots[i]) == NW_TRIM;
    return any;
}

/* Distance of p from the lines of a residue's path: from its walls. */
static double walls_distance(const nw_path *path, nw_point p)
{
    double least = INFINITY;
    nw_point from = path->start;
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        nw_point line = nw_minus(step->to, from);
        double square = nw_dot(line, line);
        if (step->kind == NW_LINE) {
            double t = square > 0 ? nw_dot(nw_minus(p, from), line) / square : 0;
            least = fmin(least, nw_distance(p, nw_plus(from, line, fmin(fmax(t, 0), 1))));
        }
        from = step->to;
    }
    return least;
}

double nw_residue_distance(const nw_fit *fit, const nw_spot *spot, nw_point p)
{
    /* Where two edges cross in a point nothing is left, and there are no walls. */
    double least = spot->area > 0 ? INFINITY : nw_distance(spot->at, p);
    for (size_t i = 0; i < spot->residue_count; i++)
        least = fmin(least, walls_distance(&fit->residues.paths[spot->residue + i], p));
    return least;
}

/* How far a place may lie from a spot to be taken as the same: spots move as they are widened. */
static double place_reach(const nw_widening *w, const nw_spot *spot)
{
    double size = spot->side == NW_GAP ? w->options->fit.bit : w->out->before.options.neck;
    return size + fmax(spot->length, 0);
}

/* The spot of the same side and form that lies where this one lies, within half the bit: of several
 * the nearest. */
static size_t same_spot(const nw_widening *w, const nw_spot *spot)
{
    size_t best = SIZE_MAX;
    double nearest = w->options->fit.bit / 2;
    for (size_t i = 0; i < w->out->before.spot_count; i++) {
        const nw_spot *old = &w->out->before.spots[i];
        double off = old->side == spot->side && old->form == spot->form
                         ? nw_distance(old->at, spot->at)
                         : INFINITY;
        if (off < nearest) {
            nearest = off;
            best = i;
        }
    }
    return best;
}

static double box_distance(nw_box box, nw_point p)
{
    nw_point in = {fmin(fmax(p.x, box.min.x), box.max.x), fmin(fmax(p.y, box.min.y), box.max.y)};
    return nw_distance(p, in);
}

size_t nw_place_origin(const nw_widening *w, const nw_spot *spot, bool same_side)
{
    const nw_fit *before = &w->out->before;
    size_t best = same_spot(w, spot);
    double nearest = INFINITY;
    if (best != SIZE_MAX)
        return best;
    for (size_t i = 0; i < before->spot_count; i++) {
        const nw_spot *old = &before->spots[i];
        bool other = same_side && old->side != spot->side;
        bool far = w->boxes && box_distance(w->boxes[i], spot->at) > nearest;
        double off = other || far ? INFINITY : nw_residue_distance(before, old, spot->at);
        if (off < nearest) {
            nearest = off;
            best = i;
        }
    }
    return same_side && nearest > place_reach(w, spot) ? SIZE_MAX : best;
}

size_t nw_widened_origin(const nw_widened *widened, const nw_spot *spot)
{
    nw_widen_options options = {.fit = widened->before.options};
    nw_widened same = *widened;
    nw_widening w = {.options = &options, .out = &same};
    nw_spot there = *spot;
    there.at = nw_plus(spot->at, widened->corner, 1);
    return nw_place_origin(&w, &there, true);
}

bool nw_place_beside_pinch(const nw_widening *w, size_t place, double bits)
{
    for (size_t k = 0; k < w->out->after.spot_count; k++) {
        const nw_spot *spot = &w->out->after.spots[k];
        nw_box about = nw_box_round(spot->at, bits * w->options->fit.bit);
        if (spot->form == NW_PINCH && !nw_place_expected(w, spot) &&
            nw_boxes_meet(w->boxes[place], about, 0))
            return true;
    }
    return false;
}

bool nw_place_there(const nw_widening *w, size_t place, const nw_spot *later, size_t origin)
{
    const nw_spot *was = &w->out->before.spots[place];
    double bit = w->options->fit.bit, off = nw_distance(later->at, was->at);
    if (w->out->notes[place].outcome == NW_GONE && origin == place)
        return true;
    if (later->side != was->side || later->form != was->form)
        return false;
    if (nw_place_wanted(w, place) && !nw_place_opened(w, place))
        return off < NW_SAME_WIDTH_MM;
    bool pinch = was->form == NW_PINCH && off < bit + fmax(later->length, 0);
    return origin == place || off < NW_SAME_WIDTH_MM ||
           (pinch &&
            nw_residue_distance(&w->out->after, later, was->at) < was->width / 2 + NEAR_WALL_MM);
}

/* Is it kept though it is lost as a whole, and so small that nobody would move a wall for it? */
static bool may_yield(const nw_widening *w, size_t i)
{
    const nw_spot *spot = &w->out->before.spots[i];
    double bit = w->options->fit.bit;
    bool whole = spot->residue_count == 1 ||
                 (nw_miss_of_ring(&w->out->before, spot) &&
                  fmax(nw_box_width(w->boxes[i]), nw_box_height(w->boxes[i])) < COMPACT_BITS * bit);
    return spot->form == NW_MISS && own_remedy(w->options, i) == NW_AS_FORM && whole &&
           nw_usual_remedy(w->options, spot) == NW_KEEP &&
           spot->area < YIELDS_SHARE * NW_PI / 4 * bit * bit;
}

bool nw_places_yield(const nw_widening *w, bool *yields)
{
    bool any = false;
    for (size_t i = 0; i < w->out->before.spot_count; i++) {
        bool more = !yields[i] && may_yield(w, i) && nw_place_beside_pinch(w, i, YIELDS_BITS);
        yields[i] = yields[i] || more;
        any = any || more;
    }
    return any;
}

/* Is a pinch that is to be widened between the spot's outline and another? */
static bool bounds_pinch(const nw_widening *w, size_t place)
{
    const nw_fit *before = &w->out->before;
    for (size_t k = 0; k < before->spot_count; k++) {
        const nw_spot *pinch = &before->spots[k];
        if (pinch->form == NW_PINCH && nw_place_opened(w, k) &&
            nw_boxes_meet(w->boxes[place], nw_box_of(pinch->from, pinch->to, 0), SAME_WALL_MM) &&
            fmin(nw_residue_distance(before, &before->spots[place], pinch->from),
                 nw_residue_distance(before, &before->spots[place], pinch->to)) < SAME_WALL_MM)
            return true;
    }
    return false;
}

void nw_places_yield_first(const nw_widening *w, bool *yields)
{
    for (size_t i = 0; i < w->out->before.spot_count; i++)
        yields[i] = may_yield(w, i) && about_only(w, &w->out->before.spots[i]) &&
                    w->out->before.spots[i].length < COMPACT_BITS * w->options->fit.bit &&
                    bounds_pinch(w, i);
}

static bool near_pinch(const nw_widening *w, nw_box box)
{
    const nw_fit *before = &w->out->before;
    for (size_t i = 0; i < before->spot_count; i++)
        if (before->spots[i].form == NW_PINCH &&
            nw_boxes_meet(w->boxes[i], box, before->options.bit))
            return true;
    return false;
}

void nw_places_dust(const nw_widening *w, const nw_region *region)
{
    double most = nw_dust_area(w->out->before.blunt, NW_DUST_MM);
    for (size_t ring = 0; ring < region->count; ring++)
        if (w->misses[ring] == SIZE_MAX && fabs(nw_ring_area(region, ring)) < most &&
            near_pinch(w, nw_ring_box(region, ring)))
            w->misses[ring] = NW_DUST;
}

/* Was there a miss of the same side about here before, or is this one no more than dust? */
static bool miss_known(const nw_widening *w, const nw_spot *spot)
{
    if (spot->area < SMALL_MISS_MM2)
        return true;
    for (size_t i = 0; i < w->out->before.spot_count; i++) {
        const nw_spot *old = &w->out->before.spots[i];
        if (old->form == NW_MISS && old->side == spot->side &&
            nw_distance(old->at, spot->at) < place_reach(w, old))
            return true;
    }
    return false;
}

bool nw_place_lost(const nw_widening *w, const nw_spot *spot)
{
    return spot->form == NW_MISS && !miss_known(w, spot);
}

size_t nw_place_later_origin(const nw_widening *w, const nw_spot *spot)
{
    size_t origin = nw_place_origin(w, spot, true);
    return origin == SIZE_MAX ? nw_place_origin(w, spot, false) : origin;
}

/* May a spot of a later fit be widened: it goes back to a wanted one, or is new and a consequence
 * of one that was. Where a miss is opened, what is left of it may be a stub, and is opened too.
 * What is lost for others' sake is found room elsewhere. */
bool nw_place_later(const nw_widening *w, const nw_spot *spot)
{
    size_t origin = nw_place_later_origin(w, spot);
    if (origin == SIZE_MAX || !place_allowed(w, origin))
        return false;
    const nw_spot *old = &w->out->before.spots[origin];
    bool of_miss = spot->form == NW_STUB && old->form == NW_MISS;
    return nw_place_lost(w, spot) || own_remedy(w->options, origin) != NW_AS_FORM ||
           nw_usual_remedy(w->options, of_miss ? old : spot) != NW_KEEP;
}

nw_remedy nw_place_later_remedy(const nw_widening *w, const nw_spot *spot)
{
    size_t origin = nw_place_later_origin(w, spot);
    nw_remedy own = origin == SIZE_MAX ? NW_AS_FORM : own_remedy(w->options, origin);
    bool same = own != NW_TRIM || w->out->before.spots[origin].form == spot->form;
    return own != NW_AS_FORM && same ? own : nw_usual_remedy(w->options, spot);
}

/* Is this spot of the result one that the drawing had and that stays as it is? A new stub is no
 * reason to leave a passage shut: it is listed like every other. */
bool nw_place_expected(const nw_widening *w, const nw_spot *spot)
{
    if (spot->form != NW_PINCH)
        return spot->form == NW_STUB || miss_known(w, spot);
    size_t origin = nw_place_origin(w, spot, true);
    return origin != SIZE_MAX && !place_allowed(w, origin);
}

bool nw_place_new_loss(const nw_widening *w, const nw_spot *spot)
{
    const nw_fit *before = &w->out->before;
    double bit = w->options->fit.bit;
    if (spot->form != NW_STUB || spot->area < LOSS_DISCS * NW_PI / 4 * bit * bit)
        return false;
    for (size_t i = 0; i < before->spot_count; i++) {
        const nw_spot *old = &before->spots[i];
        double near = old->form == NW_STUB ? bit : SAME_SHARE * bit;
        if (old->side == spot->side && nw_residue_distance(before, old, spot->at) < near)
            return false;
    }
    return true;
}

/* ---- the same place in another fit ----------------------------------------------------------- */

size_t nw_place_within(const nw_fit *wide, const nw_spot *place)
{
    size_t best = SIZE_MAX;
    double nearest = INFINITY;
    bool pinch = place->form == NW_PINCH;
    for (size_t i = 0; i < wide->spot_count; i++) {
        const nw_spot *spot = &wide->spots[i];
        if (spot->side != place->side)
            continue;
        double from = nw_residue_distance(wide, spot, pinch ? place->from : place->at);
        double to = pinch ? nw_residue_distance(wide, spot, place->to) : from;
        bool near = fmin(from, to) < SAME_WALL_MM || place->form == NW_MISS;
        if (near && from + to < nearest) {
            nearest = from + to;
            best = i;
        }
    }
    return best;
}
