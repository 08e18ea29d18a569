/*
 * The drawing and what is wanted -> the outlines' own nodes moved (repair.c). Where little is to be
 * done that is done first so that long lines and large outlines hardly move. A fit of the result
 * tells what went wrong, if anything. Walls of what is bad are pressed harder, with all else as it
 * is, as long as that helps; then what bounds it stays, and all is done again.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FORMS_SHARE 0.3    /* of it after which what is lost is held at once */
#define NEARLY 0.85        /* of the least width: what lacks no more is as good as done */
#define FORM_TRIES 2       /* with what was lost keeping its form, */
#define FORMED_SPOTS 20    /* where no more are bad */
#define HOPELESS_SHARE 0.6 /* of its pinches that a try leaves: no later one does enough; */
#define STOPPED_SHARE 0.9  /* the same of one that was cut short */
#define PRESSES 3          /* before anything is given up, */
#define PRESSED_SPOTS 8    /* where no more are bad, */
#define PRESS_SHARE 0.75   /* within so much of the work */
#define SPARED_SPOTS 12    /* to be widened, at most, where little is to move at first, */
#define SPARE_SHARE 0.1    /* within so much of the work */
#define ON_MM 0.02         /* a place this near to a spot's walls is on them */
#define HASTE 4       /* times as far stays about what is bad, each time, once the work is spent */
#define HOLD_WORK 150 /* of a step that a spot is looked for on, to hold what bounds it */

/* The outlines' own nodes moved, from the drawing as given, without the refused places. */
static nw_status moves_make(nw_widening *w, const nw_drawing *drawing, bool last)
{
    nw_status status = NW_OK;
    if (!w->moves->art)
        status = nw_repair_make(w, drawing, w->moves, w->error);
    nw_drawing_free(&w->work);
    return status == NW_OK ? nw_repair_run(w->moves, w, last, &w->work, w->error) : status;
}

/* Should the result of moving nodes not have this spot? A place that stays may, as it was. */
static bool is_bad(const nw_widening *w, const nw_spot *spot)
{
    if (spot->form != NW_PINCH)
        return !nw_place_expected(w, spot) || nw_place_new_loss(w, spot);
    return nw_repair_narrowed(w->moves, spot) ||
           !(nw_place_expected(w, spot) || nw_repair_stayed(w->moves, spot));
}

/* Does a pinch lack so little that it is no reason to let go of what was reached? A disc that
 * sweeps it leaves nothing that one sees. */
static bool is_near(const nw_widening *w, const nw_spot *spot)
{
    const nw_fit_options *o = &w->out->before.options;
    double least = spot->side == NW_GAP ? o->bit : o->neck;
    return spot->form == NW_PINCH && spot->width > NEARLY * least &&
           !nw_repair_narrowed(w->moves, spot);
}

/* Places of which the spot is a part that could not be made wide stay all along: half of a strip
 * widened would only be a belly. Were any of them still to be widened? */
static bool places_leave(const nw_widening *w, const nw_spot *spot)
{
    const nw_fit *before = &w->out->before;
    size_t origin = nw_place_origin(w, spot, true);
    bool any = false;
    for (size_t i = 0; spot->form == NW_PINCH && i < before->spot_count; i++) {
        const nw_spot *place = &before->spots[i];
        if (place->form == NW_PINCH && !w->moves->left[i] && nw_place_opened(w, i) &&
            nw_place_there(w, i, spot, origin)) {
            w->moves->left[i] = true;
            any = nw_moving_art_leave(w->moves->art, false, before, place, ON_MM) || any;
        }
    }
    return any;
}

/* Is the spot, which the result should not have, worse than what was there? */
static bool is_worse(const nw_widening *w, const nw_spot *spot)
{
    return spot->form != NW_PINCH || nw_repair_narrowed(w->moves, spot) ||
           !nw_pinch_no_narrower(&w->out->before, spot);
}

/* Lets stay what bounds spots that the result should not have, and all within reach of them; forms:
 * what is lost keeps its form instead. *worse: is anything worse than it was, and not just left? */
static bool bad_hold(nw_widening *w, double reach, bool forms, bool *worse)
{
    const nw_fit *after = &w->out->after;
    bool any = *worse = nw_repair_hold_far(w->moves);
    for (size_t i = 0; i < after->spot_count; i++) {
        const nw_spot *spot = &after->spots[i];
        if (is_near(w, spot))
            continue;
        bool bad = is_bad(w, spot);
        *worse = *worse || (bad && is_worse(w, spot));
        bool keeps = bad && forms && nw_place_lost(w, spot) && nw_repair_keep_form(w->moves, spot);
        if (bad && !keeps)
            nw_repair_hold(w->moves, after, spot, reach);
        w->spent->done += bad ? HOLD_WORK * (double)w->moves->art->step_count : 0;
        any = places_leave(w, spot) || bad || any;
    }
    return any;
}

/* How many spots the result has that it should not have. */
static size_t bad_count(const nw_widening *w)
{
    size_t count = 0;
    for (size_t i = 0; i < w->out->after.spot_count; i++)
        count += is_bad(w, &w->out->after.spots[i]);
    return count;
}

/* Parts the walls of pinches among them harder; are there any that can be? */
static bool bad_press(nw_widening *w)
{
    const nw_fit *after = &w->out->after;
    bool any = false;
    for (size_t i = 0; i < after->spot_count; i++) {
        const nw_spot *spot = &after->spots[i];
        if (spot->form == NW_PINCH && is_bad(w, spot))
            any = nw_repair_press(w->moves, after, spot) || any;
    }
    return any;
}

/* Outlines that are lost as a whole only since they moved keep their form from now on; is there any
 * that did not yet? */
static bool lost_keep(nw_widening *w)
{
    const nw_fit *after = &w->out->after;
    bool any = false;
    for (size_t i = 0; i < after->spot_count; i++)
        any = (nw_place_lost(w, &after->spots[i]) &&
               nw_repair_keep_form(w->moves, &after->spots[i])) ||
              any;
    return any;
}

/* The outcome of a try in which nothing was worse. */
typedef struct {
    nw_drawing work;
    nw_fit after;
    nw_point *moves;
    bool has;
} good_try;

static bool leaves_fewer(const nw_fit *one, const nw_fit *other)
{
    size_t pinches = nw_pinches_of(one), more = nw_pinches_of(other);
    return pinches < more || (pinches == more && one->spot_count < other->spot_count);
}

static void try_exchange(nw_widening *w, good_try *best)
{
    good_try was = {w->work, w->out->after, w->moves->moves, true};
    w->work = best->work;
    w->out->after = best->after;
    w->moves->moves = best->moves;
    *best = was;
}

static void good_try_free(good_try *t)
{
    nw_drawing_free(&t->work);
    nw_fit_free(&t->after);
    free(t->moves);
}

/* Moves again, and leaves what came of it where fewer are bad by that, else what was; *bad: how
 * many are. */
static nw_status fewer_try(nw_widening *w, const nw_drawing *drawing, bool last, size_t *bad,
                           bool *fewer)
{
    good_try was = {0};
    bool stopped = w->spent->stopped;
    try_exchange(w, &was);
    nw_status status = moves_make(w, drawing, last);
    if (status == NW_OK)
        status = nw_result_fit(w, &w->out->after);
    size_t now = status == NW_OK ? bad_count(w) : 0;
    *fewer = now < *bad;
    if (status == NW_OK && !*fewer) {
        try_exchange(w, &was);
        w->spent->stopped = stopped;
    }
    *bad = *fewer ? now : *bad;
    good_try_free(&was);
    return status;
}

/* What was lost keeps its form, as long as fewer are bad by that. */
static nw_status forms_try(nw_widening *w, const nw_drawing *drawing, size_t *bad)
{
    nw_moving_art *art = w->moves->art;
    size_t size = art->drawing.count * sizeof *art->rigid;
    bool *rigid = nw_alloc(art->drawing.count, sizeof *rigid), fewer = true;
    nw_status status = rigid ? NW_OK : nw_fail_memory(w->error, "the walls' moves");
    for (int k = 0; status == NW_OK && fewer && k < FORM_TRIES && *bad <= FORMED_SPOTS; k++) {
        memcpy(rigid, art->rigid, size);
        if (nw_work_spent(w->spent) || !lost_keep(w))
            break;
        status = fewer_try(w, drawing, true, bad, &fewer);
        if (status == NW_OK && !fewer) {
            nw_repair_return(w->moves);
            memcpy(art->rigid, rigid, size);
        }
    }
    free(rigid);
    return status;
}

/* Some rounds more with bad walls pressed, on from where it is, as long as fewer are bad; and where
 * none is by that, from the start with the same walls pressed. */
static nw_status presses_try(nw_widening *w, const nw_drawing *drawing, size_t bad)
{
    nw_status status = NW_OK;
    bool afresh = false, fewer;
    for (int k = 0; status == NW_OK && k < PRESSES && bad <= PRESSED_SPOTS; k++) {
        if (nw_work_spent(w->spent) || !(afresh || bad_press(w)))
            break;
        if (afresh)
            w->moves->round = w->moves->pressing = 0;
        status = fewer_try(w, drawing, false, &bad, &fewer);
        if (status == NW_OK && !fewer && (afresh || k + 1 == PRESSES)) {
            nw_repair_unpress(w->moves);
            nw_repair_return(w->moves);
        }
        if (!fewer && afresh)
            break;
        afresh = !fewer;
    }
    return status;
}

/* What is tried before anything is given up; forms first: there is no work for them later. */
static nw_status bad_mend(nw_widening *w, const nw_drawing *drawing, bool forms)
{
    size_t bad = bad_count(w);
    nw_status status = forms ? forms_try(w, drawing, &bad) : NW_OK;
    return status == NW_OK ? presses_try(w, drawing, bad) : status;
}

/* Are so many of the pinches there after a try that too many will be in the end? */
static nw_status hope_judge(nw_widening *w)
{
    const nw_fit *before = &w->out->before;
    size_t pinches = 0, stay = 0;
    bool *there = nw_alloc(before->spot_count, sizeof *there);
    if (!there)
        return nw_fail_memory(w->error, "the walls' moves");
    nw_places_there(w, there);
    for (size_t i = 0; i < before->spot_count; i++) {
        bool pinch = before->spots[i].form == NW_PINCH && nw_place_opened(w, i);
        pinches += pinch;
        stay += pinch && there[i];
    }
    free(there);
    double most = w->spent->stopped ? STOPPED_SHARE : HOPELESS_SHARE;
    w->given_up = stay > NW_FEW_PINCHES && (double)stay > most * (double)pinches;
    return NW_OK;
}

/* Moves, and again with more and more that stays, until nothing is there that should not be. Of
 * tries that made nothing worse the one that leaves the fewest stands: what stays may cost more
 * than it was to save. Once the work is spent, such a one does, and what stays grows fast. */
nw_status nw_moves_try(nw_widening *w, const nw_drawing *drawing)
{
    double from = w->spent->done, most = w->spent->most - from;
    nw_status status = NW_OK;
    good_try best = {0};
    bool again = true;
    double reach = 0;
    for (int tries = 0; status == NW_OK && again; tries++) {
        bool worse = true;
        w->spent->most = from + most * (1 - ldexp(0.5, -tries)); /* half of what is left */
        status = moves_make(w, drawing, tries >= w->tries);
        if (status == NW_OK)
            status = nw_result_fit(w, &w->out->after);
        if (status == NW_OK && !w->only &&
            (!w->spent->stopped || w->spent->done > from + most + NW_WORK_OVER))
            status = hope_judge(w);
        if (status != NW_OK || w->given_up)
            break;
        bool early = w->spent->done < from + most * FORMS_SHARE;
        if (status == NW_OK && !tries && w->tries) {
            w->spent->most = from + most * PRESS_SHARE;
            status = bad_mend(w, drawing, !early);
        }
        if (w->spent->done > from + most)
            reach = reach > 0 ? reach * HASTE : w->options->fit.bit;
        reach = tries >= w->tries ? INFINITY : reach;
        again = status == NW_OK && bad_hold(w, reach, early && tries < w->tries, &worse) &&
                tries <= w->tries && !(w->only && tries == w->tries) &&
                !(w->spent->strict && w->spent->done > from + most);
        if (again && !worse && (!best.has || leaves_fewer(&w->out->after, &best.after)))
            try_exchange(w, &best);
        again = again && !(best.has && w->spent->done > from + most);
    }
    if (best.has && (!w->work.count || leaves_fewer(&best.after, &w->out->after)))
        try_exchange(w, &best);
    good_try_free(&best);
    w->spent->most = from + most;
    return status;
}

static size_t opened_count(const nw_widening *w)
{
    size_t count = 0;
    for (size_t i = 0; i < w->out->before.spot_count; i++)
        count += nw_place_opened(w, i);
    return count;
}

/* Is all done that was wanted, and nothing there that should not be? Else what is bad is held by
 * this, and the moves are of no more use. */
static bool all_done(nw_widening *w)
{
    bool worse;
    return bad_count(w) == 0 && !bad_hold(w, 0, false, &worse);
}

nw_status nw_moves_spare(nw_widening *w, const nw_drawing *drawing, bool *done)
{
    double from = w->spent->done, most = w->spent->most;
    *done = false;
    if (w->only || !w->tries || opened_count(w) > SPARED_SPOTS)
        return NW_OK;
    w->spent->most = from + (most - from) * SPARE_SHARE;
    nw_status status = nw_repair_make(w, drawing, w->moves, w->error);
    if (status == NW_OK) {
        w->moves->art->sparing = true;
        status = moves_make(w, drawing, false);
    }
    if (status == NW_OK)
        status = nw_result_fit(w, &w->out->after);
    *done = status == NW_OK && !w->spent->stopped && all_done(w);
    w->spent->most = most;
    if (!*done) { /* what that took is no part of the work that the rest may take */
        w->spent->most += w->spent->done - from;
        w->end += w->spent->done - from;
        w->spent->stopped = false;
        nw_repair_free(w->moves);
    }
    return status;
}
