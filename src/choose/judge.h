/* Whether sizes leave any spot, asked again and again on the same borders. Internal. */
#ifndef NARROWS_FIT_JUDGE_H
#define NARROWS_FIT_JUDGE_H

#include <fit/fit.h>

/* A bit and a least neck, with the art enlarged by `scale`. */
typedef struct {
    double bit, neck, scale;
} nw_trial;

typedef struct {
    bool fits;   /* no spots */
    double need; /* how many times larger the art must be for its pinches to open: INFINITY where it
                    touches in a point, 1 where there are only stubs and misses */
} nw_judgement;

/* What larger discs left says where smaller ones can leave anything. */
typedef struct {
    const nw_border *border;
    nw_judged *base;        /* rolled along all of the border */
    const nw_judged *given; /* the same where there is no base; not the judge's own */
    nw_judged *last; /* the smallest that left spots, rolled inside the walls of others' spots; NULL
                        where that is the base */
    double clear;    /* radius: inside others' spots it and smaller ones leave none */
} nw_judge_side;

typedef struct {
    const nw_fit_options *options; /* bit and neck are not used */
    nw_judge_side sides[2];        /* by nw_side */
} nw_judge;

/* borders and options stay the caller's and must outlive the judge. */
nw_judge nw_judge_on(const nw_borders *borders, const nw_fit_options *options);
void nw_judge_free(nw_judge *judge);

/* Rolls along all of both borders. What follows costs little as long as it does not ask for
 * anything larger. */
nw_status nw_judge_start(nw_judge *judge, nw_trial trial, nw_judgement *judgement, nw_error *error);

/* The same from a fit's sides, which have rolled at the trial's sizes and must outlive the judge.
 */
void nw_judge_start_from(nw_judge *judge, const nw_fit_sides *sides, nw_judgement *judgement);

/* Looks for spots only inside those of the larger sizes before. Those that it finds are there; for
 * a size that it says to fit, ask nw_judge_whole too: a corner of a large bit may be a stub to a
 * small one. Without `need` it ends at the first spot, and that is not told. */
nw_status nw_judge_ask(nw_judge *judge, nw_trial trial, bool need, nw_judgement *judgement,
                       nw_error *error);

/* Looks everywhere. */
nw_status nw_judge_whole(nw_judge *judge, nw_trial trial, nw_judgement *judgement, nw_error *error);

typedef struct {
    size_t spots; /* of both sides */
    double share; /* of the cut area, 0 to 1 */
} nw_leavings;

/* What a trial leaves, as the whole fit tells it, without measuring any spot. Where more than the
 * share `most` is left it may be more than what is told, and no spot is counted; where gaps are
 * more spots than that, necks are not counted. At another scale as far as the borders tell what
 * they are there: chords drawn anew may leave a little more or less. */
nw_status nw_judge_leavings(const nw_judge *judge, nw_trial trial, nw_leavings most,
                            nw_leavings *left, nw_error *error);

/* How many spots there are inside those of the larger sizes before; more than are worth widening
 * (nw_closest_too_many) are not all counted. */
nw_status nw_judge_count(const nw_judge *judge, nw_trial trial, size_t *spots, nw_error *error);

/* A single question. */
nw_status nw_judge_once(const nw_borders *borders, const nw_fit_options *options,
                        nw_judgement *judgement, nw_error *error);

#endif
