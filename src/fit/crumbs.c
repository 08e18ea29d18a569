/*
 * Spots of a fit -> which of them are crumbs: pieces that are lost as a whole and so small that
 * nobody would miss them. Where a larger one is lost beside them, small ones are parts of something
 * that is lost, as letters are of their words, and no crumbs: a word is not to lose some of its
 * letters.
 */
#include <fit/fit.h>
#include <fit/side.h>

#include <stdlib.h>

#define BESIDE_BITS 1.0  /* from place to place, and on from there */
#define LOOKS_A_SPOT 64u /* what is beside a spot is looked up so often on average, and no more */

/* What is lost as a whole on one side. */
typedef struct {
    nw_fit *fit;
    uint32_t *spots; /* of the fit */
    nw_box *places;  /* theirs, boxes without any width */
    uint32_t *parts; /* of them: what is no crumb, in the order in which that was found */
    size_t count, part_count;
} losses;

static void losses_free(losses *l)
{
    free(l->spots);
    free(l->places);
    free(l->parts);
}

/* At first all that is small is a crumb. */
static void losses_take(losses *l, nw_side side)
{
    double least = nw_crumb_area(l->fit->options.bit);
    l->count = l->part_count = 0;
    for (uint32_t i = 0; i < l->fit->spot_count; i++) {
        nw_spot *spot = &l->fit->spots[i];
        if (spot->form != NW_MISS || spot->side != side)
            continue;
        spot->crumb = spot->area < least;
        if (!spot->crumb)
            l->parts[l->part_count++] = (uint32_t)l->count;
        l->places[l->count] = nw_box_of(spot->at, spot->at, 0);
        l->spots[l->count++] = i;
    }
}

/* Those beside what is no crumb are none either. */
static void parts_follow(losses *l, const nw_tree *places)
{
    double reach = BESIDE_BITS * l->fit->options.bit;
    size_t looks = LOOKS_A_SPOT * l->count;
    for (size_t k = 0; k < l->part_count; k++) {
        nw_point at = l->places[l->parts[k]].min;
        nw_walk walk;
        uint32_t other;
        nw_walk_start(&walk, places, nw_box_of(at, at, reach), at);
        nw_walk_limit(&walk, at, reach);
        while (looks > 0 && nw_walk_next(&walk, &other)) {
            bool *crumb = &l->fit->spots[l->spots[other]].crumb;
            if (*crumb)
                l->parts[l->part_count++] = other;
            *crumb = false;
            looks--;
        }
    }
}

static nw_status side_tell(losses *l, nw_side side, nw_error *error)
{
    losses_take(l, side);
    if (l->part_count == 0 || l->part_count == l->count)
        return NW_OK;
    nw_tree places;
    nw_status status = nw_tree_make(l->places, l->count, &places, error);
    if (status == NW_OK) {
        parts_follow(l, &places);
        nw_tree_free(&places);
    }
    return status;
}

nw_status nw_crumbs_tell(nw_fit *fit, nw_error *error)
{
    size_t count = fit->spot_count;
    losses l = {.fit = fit,
                .spots = nw_alloc(count, sizeof *l.spots),
                .places = nw_alloc(count, sizeof *l.places),
                .parts = nw_alloc(count, sizeof *l.parts)};
    bool good = l.spots && l.places && l.parts;
    nw_status status = good ? side_tell(&l, NW_GAP, error) : nw_fail_memory(error, "the spots");
    if (status == NW_OK)
        status = side_tell(&l, NW_NECK, error);
    losses_free(&l);
    return status;
}
