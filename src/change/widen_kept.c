/*
 * widen_kept: widening, with what ends blind opened where that costs nothing else. It may take the
 * room that pinches want; where it leaves anything, all is done with less of it opened as well.
 */
#include <change/widen.h>

#include <math.h>
#include <stdlib.h>

#define ALL_SHARE 2.8 /* of the work that one may take, for all that is tried */

/* The forms that end blind, of which either or both may be kept. */
typedef enum { STUBS = 1, MISSES = 2 } blind_forms;

static blind_forms form_of(const nw_spot *spot)
{
    return spot->form == NW_STUB ? STUBS : spot->form == NW_MISS ? MISSES : 0;
}

/* What of that is opened, or may be where it comes about. */
static unsigned opened_forms(const nw_widen_options *options, const nw_fit *before)
{
    unsigned forms =
        (options->stubs == NW_OPEN ? STUBS : 0) | (options->misses == NW_OPEN ? MISSES : 0);
    for (size_t i = 0; i < before->spot_count; i++)
        if (nw_spot_remedy(options, i, &before->spots[i]) == NW_OPEN)
            forms |= form_of(&before->spots[i]);
    return forms;
}

static bool has_both(const nw_fit *fit)
{
    unsigned forms = 0;
    for (size_t i = 0; i < fit->spot_count; i++)
        forms |= form_of(&fit->spots[i]);
    return forms == (STUBS | MISSES);
}

/* The same, but what is of these forms is kept; remedies: room for those of all spots. */
static nw_widen_options without(const nw_widen_options *options, unsigned forms,
                                const nw_fit *before, nw_remedy *remedies)
{
    nw_widen_options lesser = *options;
    lesser.stubs = forms & STUBS ? NW_KEEP : options->stubs;
    lesser.misses = forms & MISSES ? NW_KEEP : options->misses;
    lesser.remedies = options->remedies ? remedies : NULL;
    lesser.remedy_count = options->remedies ? before->spot_count : 0;
    for (size_t i = 0; i < lesser.remedy_count; i++) {
        nw_remedy own = i < options->remedy_count ? options->remedies[i] : NW_AS_FORM;
        remedies[i] = own == NW_OPEN && (forms & form_of(&before->spots[i])) ? NW_KEEP : own;
    }
    return lesser;
}

/* Takes the second for the first, and says of what it kept that it was asked for. */
static void kept_take(nw_widened *widened, nw_widened *kept, const nw_widen_options *options)
{
    nw_widened first = *widened;
    *widened = *kept;
    *kept = first;
    widened->cut_short = widened->cut_short || first.cut_short;
    for (size_t i = 0; i < widened->before.spot_count; i++)
        if (widened->notes[i].outcome == NW_LEFT &&
            nw_spot_remedy(options, i, &widened->before.spots[i]) == NW_OPEN)
            widened->notes[i].outcome = NW_STUCK;
}

/* Fewer pinches, or as many and fewer spots; or fewer of either. */
static bool leaves_less(const nw_fit *kept, const nw_fit *first, bool either)
{
    size_t kept_pinches = nw_pinches_of(kept), pinches = nw_pinches_of(first);
    bool fewer = kept->spot_count < first->spot_count;
    return kept_pinches < pinches || (fewer && (either || kept_pinches == pinches));
}

/* No more pinches, and no more spots. */
static bool leaves_no_more(const nw_fit *kept, size_t pinches, size_t spots)
{
    return nw_pinches_of(kept) <= pinches && kept->spot_count <= spots;
}

/* What is known while less and less is tried. */
typedef struct {
    nw_work *spent;
    double most;           /* work that each may take */
    size_t pinches, spots; /* left without either form opened; SIZE_MAX: not known */
} lesser_tries;

/* All is done with less that is opened: without either form with as much work as if that had been
 * asked for, else within `most`; where that leaves less it stands. Against nothing opened, neither
 * pinches nor spots may be more. */
static nw_status lesser_try(const nw_drawing *drawing, const nw_widen_options *options,
                            unsigned forms, int tries, lesser_tries *t, nw_widened *widened,
                            nw_error *error)
{
    const nw_fit *first = &widened->after;
    bool plain = forms == (STUBS | MISSES);
    nw_remedy *remedies = nw_alloc(widened->before.spot_count, sizeof *remedies);
    if (!remedies)
        return nw_fail_memory(error, "the widening");
    nw_widen_options lesser = without(options, forms, &widened->before, remedies);
    nw_widened kept;
    nw_work own = *t->spent;
    own.before += own.done;
    own.most = t->most;
    own.done = 0;
    own.stopped = false;
    own.strict = own.strict || !plain;
    own.has_known = !plain;
    own.known = nw_pinches_of(first);
    nw_status status = nw_widen_once(drawing, &lesser, tries, NULL, &own, &kept, error);
    t->spent->done += own.done;
    bool done = plain || own.done <= own.most;
    if (status == NW_OK && plain) {
        t->pinches = nw_pinches_of(&kept.after);
        t->spots = kept.after.spot_count;
    }
    if (status == NW_OK && done && leaves_no_more(&kept.after, t->pinches, t->spots) &&
        leaves_less(&kept.after, first, plain))
        kept_take(widened, &kept, options);
    nw_widened_free(&kept);
    free(remedies);
    return status;
}

/* What ends blind may take the room that pinches want, and one form that of the other. Where its
 * opening leaves anything, all is done without both forms: to open more leaves no more than to keep
 * both; and without either, as far as there is work for it. */
nw_status nw_widen_here(const nw_drawing *drawing, const nw_widen_options *options, int tries,
                        const nw_widened *only, nw_work *spent, nw_widened *widened,
                        nw_error *error)
{
    static const unsigned lesser[] = {STUBS | MISSES, MISSES, STUBS};
    double begun = spent->done, most = spent->most,
           all = spent->strict ? most : begun + ALL_SHARE * (most - begun);
    lesser_tries t = {.spent = spent, .pinches = SIZE_MAX, .spots = SIZE_MAX};
    nw_status status = nw_widen_once(drawing, options, tries, only, spent, widened, error);
    unsigned opened = status == NW_OK && !only ? opened_forms(options, &widened->before) : 0;
    bool both = status == NW_OK && opened == (STUBS | MISSES) && has_both(&widened->before);
    for (size_t k = 0; status == NW_OK && k < sizeof lesser / sizeof *lesser; k++) {
        bool plain = !k && !spent->strict;
        t.most = plain ? most - begun : fmin(most - begun, all - spent->done);
        if ((k ? both : opened != 0) && widened->after.spot_count && t.most > 0)
            status = lesser_try(drawing, options, lesser[k], tries, &t, widened, error);
    }
    spent->most = most;
    if (status != NW_OK)
        nw_widened_free(widened);
    return status;
}
