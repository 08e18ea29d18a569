/*
 * engine_spots: what is chosen for single spots. The reader chooses for places, and a spot's number
 * in the list is another one with every bit; so a choice goes to the nearest spot of its side that
 * is no farther than the diameter, and the words of --spots are made of that, which are then read
 * as the command reads them.
 */
#include <cli/engine/engine_calls.h>

#include <stdlib.h>
#include <string.h>

#define CHOICE 4

/* count choices, CHOICE numbers each: side; the place in the whole art, in its widths; 1 +
 * nw_remedy. */
void page_choices(page *p, const double *choices, size_t count)
{
    free(p->choices);
    p->choices = nw_alloc(count * CHOICE, sizeof *p->choices);
    p->choice_count = p->choices ? count : 0;
    if (p->choices)
        memcpy(p->choices, choices, p->choice_count * CHOICE * sizeof *choices);
}

/* The spot that the choice is about; SIZE_MAX: none. */
static size_t spot_of(const page *p, const double *choice)
{
    const nw_fit *fit = &p->fit;
    double within = choice[0] == NW_GAP ? fit->options.bit : fit->options.neck;
    nw_point at = {(choice[1] * p->whole.width - p->shape[0]) * p->factor,
                   (choice[2] * p->whole.width - p->shape[1]) * p->factor};
    size_t nearest = SIZE_MAX;
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        double far = nw_distance(spot->at, at);
        if (spot->side == (nw_side)choice[0] && far <= within) {
            within = far;
            nearest = i;
        }
    }
    return nearest;
}

static nw_status words_make(page *p)
{
    nw_remedy *chosen = nw_alloc(p->fit.spot_count, sizeof *chosen);
    if (!chosen)
        return nw_fail_memory(&p->error, "the choice of spots");
    for (size_t i = 0; i < p->fit.spot_count; i++)
        chosen[i] = NW_AS_FORM;
    for (size_t i = 0; i < p->choice_count; i++) {
        size_t spot = spot_of(p, p->choices + CHOICE * i);
        if (spot != SIZE_MAX)
            chosen[spot] = (nw_remedy)(p->choices[CHOICE * i + 3] - 1);
    }
    for (size_t i = 0; i < p->fit.spot_count; i++) {
        if (chosen[i] != NW_AS_FORM) {
            nw_text_format(&p->spots, "%s%zu:%s", p->spots.length ? "," : "", i + 1,
                           spot_choice_word(chosen[i], &p->fit.spots[i]));
        }
    }
    free(chosen);
    return p->spots.failed ? nw_fail_memory(&p->error, "the choice of spots") : NW_OK;
}

nw_status engine_choose(page *p)
{
    nw_text_free(&p->spots);
    free(p->remedies);
    free(p->left);
    p->remedies = NULL;
    p->left = NULL;
    nw_status status = NW_OK;
    if (p->request.spots)
        nw_text_add(&p->spots, p->request.spots);
    else
        status = words_make(p);
    if (status != NW_OK || !p->spots.length)
        return status;
    status = spots_choose(p->spots.data, &p->fit, &p->remedies, &p->error);
    if (status == NW_OK) {
        p->left = spots_left(p->remedies, p->fit.spot_count);
        status = p->left ? NW_OK : nw_fail_memory(&p->error, "the choice of spots");
    }
    return status;
}

/* What --spots says of the last fit; "": nothing. */
const char *page_spots(const page *p)
{
    return nw_text_string(&p->spots);
}

/* What takes the spot out of the art, in the word of --spots. */
const char *page_away_word(const page *p, size_t spot)
{
    return spot_choice_word(NW_TRIM, &p->fit.spots[spot]);
}
