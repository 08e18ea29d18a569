/*
 * Places that could not be widened -> the size at which they can: found by trying, for a drawing at
 * f times its size is to a bit what the drawing as it is is to a bit of 1/f its diameter. One try
 * serves all places, and widens what lies about them. Sizes are STEP apart; between those that were
 * tried and the first that works the search halves, and ends after MOST_SIZES. At the largest size
 * that a place wants, the whole drawing is then widened as it would be if it had that size: that
 * one is named, for the places that come out clean there. A sheet would not grow along: on one,
 * none is named.
 */
#include <change/widen.h>

#include <math.h>
#include <stdlib.h>

#define STEP 1.05
#define MOST_STEPS 28 /* nearly four times the size */
#define MOST_SIZES 6  /* that are tried for all places together */
#define TRIES 0       /* at one size */
#define FITTING 2     /* times the first fit's work that one size takes at least */

/* Work: at one size, when no more sizes are tried, and where the whole drawing is widened. */
#define SEEING_MOST 1e9
#define WHOLE_MOST 3e9

/* In whole hundredths, for that is how it is said. */
static double factor_of(int steps)
{
    return ceil(100 * nw_power(STEP, steps) - 1e-9) / 100;
}

/* Is a size looked for at which place i can be widened? What was to be taken out of the art and
 * could not be is no matter of size. */
static bool place_sought(const nw_widen_options *options, const nw_widened *w, size_t i)
{
    return nw_place_unsolved(w, i) && nw_spot_remedy(options, i, &w->before.spots[i]) == NW_OPEN;
}

static bool any_unsolved(const nw_widened *w)
{
    for (size_t i = 0; i < w->before.spot_count; i++)
        if (nw_place_unsolved(w, i))
            return true;
    return false;
}

/* Is there no pinch left about the place, nor anything of its own form? */
static bool place_clean(const nw_spot *place, const nw_fit *after, double reach)
{
    for (size_t i = 0; i < after->spot_count; i++) {
        const nw_spot *s = &after->spots[i];
        bool same = s->form == NW_PINCH || s->form == place->form;
        if (same && nw_distance(s->at, place->at) < reach + fmax(place->length, 0))
            return false;
    }
    return true;
}

/* clean[i]: at f times the size, place i of the drawing comes out clean; whole: as all of it is
 * widened, if there is the time for that. */
static nw_status size_try(const nw_drawing *drawing, const nw_widen_options *options,
                          const nw_widened *w, double f, bool whole, bool *clean, nw_work *spent,
                          nw_error *error)
{
    nw_widen_options smaller = *options;
    smaller.remedies = NULL; /* of spots that are others at that size */
    for (size_t i = 0; options->remedies && i < w->before.spot_count; i++) {
        nw_form form = w->before.spots[i].form;
        if (place_sought(options, w, i) && form != NW_PINCH)
            *(form == NW_STUB ? &smaller.stubs : &smaller.misses) = NW_OPEN;
    }
    smaller.ease = fmax(options->ease / f, NW_LEAST_EASE_MM);
    smaller.fit = w->before.options;
    smaller.fit.bit /= f;
    smaller.fit.neck /= f;
    smaller.fit.blunt /= f;
    nw_widened other;
    spent->most = spent->done + (whole ? WHOLE_MOST : SEEING_MOST);
    spent->strict = whole;
    nw_status status = nw_widen_here(drawing, &smaller, whole ? NW_MOST_TRIES : TRIES,
                                     whole ? NULL : w, spent, &other, error);
    for (size_t i = 0; status == NW_OK && i < w->before.spot_count; i++)
        clean[i] = !(whole && nw_work_spent(spent)) &&
                   place_clean(&w->before.spots[i], &other.after, smaller.fit.bit);
    nw_widened_free(&other);
    return status;
}

/* What is known of each place: the most steps that did not help, and the fewest that did. */
typedef struct {
    bool sought;
    int low, high;
} known;

static void known_add(const nw_widened *w, const bool *clean, int steps, known *places)
{
    for (size_t i = 0; i < w->before.spot_count; i++)
        if (clean[i] && steps < places[i].high)
            places[i].high = steps;
        else if (!clean[i] && steps > places[i].low)
            places[i].low = steps;
}

/* The steps to try next for a place that is not settled; 0 when all are. */
static int next_steps(const nw_widened *w, const known *places)
{
    for (size_t i = 0; i < w->before.spot_count; i++)
        if (places[i].sought && places[i].high - places[i].low > 1)
            return places[i].high > MOST_STEPS ? MOST_STEPS : (places[i].low + places[i].high) / 2;
    return 0;
}

/* The most steps that a place wants for which some do; 0: none does. */
static int most_wanted(const nw_widened *w, const known *places)
{
    int most = 0;
    for (size_t i = 0; i < w->before.spot_count; i++)
        if (places[i].sought && places[i].high <= MOST_STEPS && places[i].high > most)
            most = places[i].high;
    return most;
}

static void factors_note(nw_widened *w, const known *places, const bool *clean, int steps)
{
    for (size_t i = 0; i < w->before.spot_count; i++) {
        if (nw_place_unsolved(w, i)) {
            bool works = places[i].sought && places[i].high <= steps && clean[i];
            w->notes[i].outcome = works ? NW_CONFLICT : NW_STUCK;
            w->notes[i].factor = works ? factor_of(steps) : 0;
        }
    }
}

static nw_status sizes_search(const nw_drawing *drawing, const nw_widen_options *options,
                              nw_work *spent, nw_widened *w, known *places, bool *clean,
                              nw_error *error)
{
    nw_status status = NW_OK;
    for (size_t i = 0; i < w->before.spot_count; i++)
        places[i] = (known){place_sought(options, w, i), 0, MOST_STEPS + 1};
    for (int steps, sizes = 0; status == NW_OK && sizes < MOST_SIZES &&
                               spent->done + FITTING * spent->fitting < NW_SIZES_MOST &&
                               (steps = next_steps(w, places)) > 0;
         sizes++) {
        status = size_try(drawing, options, w, factor_of(steps), false, clean, spent, error);
        if (status == NW_OK)
            known_add(w, clean, steps, places);
    }
    int steps = most_wanted(w, places);
    if (status == NW_OK && steps)
        status = size_try(drawing, options, w, factor_of(steps), true, clean, spent, error);
    if (status == NW_OK)
        factors_note(w, places, clean, steps);
    return status;
}

nw_status nw_sizes_try(const nw_drawing *drawing, const nw_widen_options *options, nw_work *spent,
                       nw_widened *w, nw_error *error)
{
    if (options->fit.has_stock)
        for (size_t i = 0; i < w->before.spot_count; i++)
            w->notes[i].factor = 0;
    if (options->fit.has_stock || !any_unsolved(w))
        return NW_OK;
    known *places = nw_alloc(w->before.spot_count, sizeof *places);
    bool *clean = nw_alloc(w->before.spot_count, sizeof *clean);
    nw_status status = places && clean
                           ? sizes_search(drawing, options, spent, w, places, clean, error)
                           : nw_fail_memory(error, "the sizes to try");
    free(places);
    free(clean);
    return status;
}
