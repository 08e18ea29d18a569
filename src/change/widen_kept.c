/*
 * widen_kept: widening, with what ends blind opened where that costs nothing else. It may take the
 * room that pinches want; where it leaves anything, all is done without as well.
 */
#include <change/widen.h>

#include <stdlib.h>

/* Is what ends blind opened, or may it be where it comes about? */
static bool opens_blind(const nw_widen_options *options, const nw_fit *before)
{
    bool any = options->stubs == NW_OPEN || options->misses == NW_OPEN;
    for (size_t i = 0; i < before->spot_count && !any; i++)
        any = before->spots[i].form != NW_PINCH &&
              nw_spot_remedy(options, i, &before->spots[i]) == NW_OPEN;
    return any;
}

/* The same, but what ends blind is kept; remedies: room for those of all spots. */
static nw_widen_options pinches_only(const nw_widen_options *options, const nw_fit *before,
                                     nw_remedy *remedies)
{
    nw_widen_options pinches = *options;
    pinches.stubs = pinches.misses = NW_KEEP;
    pinches.remedies = options->remedies ? remedies : NULL;
    pinches.remedy_count = options->remedies ? before->spot_count : 0;
    for (size_t i = 0; i < pinches.remedy_count; i++) {
        nw_remedy own = i < options->remedy_count ? options->remedies[i] : NW_AS_FORM;
        remedies[i] = own == NW_OPEN && before->spots[i].form != NW_PINCH ? NW_KEEP : own;
    }
    return pinches;
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

/* What ends blind may take the room that pinches want. Where its opening leaves anything, all is
 * done without, with as much work as if that had been asked for; and unless the first leaves no
 * more pinches, and no more spots, that stands: to open more never leaves more. */
static nw_status kept_try(const nw_drawing *drawing, const nw_widen_options *options, int tries,
                          double most, nw_work *spent, nw_widened *widened, nw_error *error)
{
    const nw_fit *first = &widened->after;
    nw_remedy *remedies = nw_alloc(widened->before.spot_count, sizeof *remedies);
    if (!remedies)
        return nw_fail_memory(error, "the widening");
    nw_widen_options pinches = pinches_only(options, &widened->before, remedies);
    nw_widened kept;
    nw_work own = *spent;
    own.before += own.done;
    own.most = spent->strict ? most - spent->done : most;
    own.done = 0;
    own.stopped = false;
    nw_status status = nw_widen_once(drawing, &pinches, tries, NULL, &own, &kept, error);
    spent->done += own.done;
    spent->most = most;
    if (status == NW_OK && (kept.after.spot_count < first->spot_count ||
                            nw_pinches_of(&kept.after) < nw_pinches_of(first)))
        kept_take(widened, &kept, options);
    nw_widened_free(&kept);
    free(remedies);
    return status;
}

nw_status nw_widen_here(const nw_drawing *drawing, const nw_widen_options *options, int tries,
                        const nw_widened *only, nw_work *spent, nw_widened *widened,
                        nw_error *error)
{
    double most = spent->most;
    nw_status status = nw_widen_once(drawing, options, tries, only, spent, widened, error);
    bool again = status == NW_OK && !only && widened->after.spot_count &&
                 opens_blind(options, &widened->before) && !(spent->strict && spent->done >= most);
    if (again)
        status = kept_try(drawing, options, tries, most, spent, widened, error);
    if (status != NW_OK)
        nw_widened_free(widened);
    return status;
}
