/*
 * Moves that make outlines cross -> the same, taken back where they do: on the steps that cross,
 * and about them more and more, halfway to moves that made none, until none crosses any more; at
 * last on the whole of outlines that do, so that one place costs the others nothing. What crossed
 * before anything moved may go on crossing.
 */
#include <change/repair.h>

#include <stdlib.h>
#include <string.h>

#define POINT_WORK 900 /* of a point of the outlines that are looked through, as products */
#define BACK_TRIES 5   /* halvings about what crosses, then moves there are taken back wholly */
#define NEAR_TRIES 14  /* of which each takes in as many neighbours more, then whole outlines */
#define MOST_TRIES 20  /* then all moves are taken back */
#define HASTE 5        /* tries that are one once the work is spent */

typedef struct {
    const nw_moving_art *art;
    const nw_step_place *places;
    bool *crossed; /* of the art's steps */
    size_t count;
} crossings;

static void crossing_take(crossings *c, const nw_crossing *crossing)
{
    size_t one = c->places[crossing->i].step, other = c->places[crossing->j].step;
    if (c->art->crossed[one] && c->art->crossed[other])
        return;
    c->crossed[one] = c->crossed[other] = true;
    c->count++;
}

/* Marks what runs over the sheet's edge too; the sheet may be NULL. */
static void beyond_take(crossings *c, const nw_region *region, const nw_box *sheet)
{
    size_t points = nw_region_size(region);
    for (size_t i = 0; sheet && i < points; i++) {
        if (!nw_box_holds(*sheet, region->points[i])) {
            c->crossed[c->places[i].step] = true;
            c->count++;
        }
    }
}

nw_status nw_moving_art_crossings(nw_moving_art *art, const nw_box *sheet, bool *crossed,
                                  size_t *count, nw_error *error)
{
    const nw_moving_art_flat *flat;
    nw_status status = nw_moving_art_flatten(art, &flat, error);
    if (status != NW_OK)
        return status;
    crossings c = {.art = art, .places = flat->places, .crossed = crossed};
    for (size_t k = 0; k < flat->crossings.count; k++)
        crossing_take(&c, &flat->crossings.items[k]);
    beyond_take(&c, &flat->region, sheet);
    *count = c.count;
    return NW_OK;
}

nw_status nw_moving_art_find_crossed(nw_moving_art *art, nw_error *error)
{
    bool *crossed = nw_alloc(art->step_count, sizeof *crossed);
    size_t count;
    nw_status status = crossed ? nw_moving_art_crossings(art, NULL, crossed, &count, error)
                               : nw_fail_memory(error, "the outlines that cross");
    if (status == NW_OK)
        memcpy(art->crossed, crossed, art->step_count * sizeof *crossed);
    free(crossed);
    return status;
}

/* Marks the neighbours of what is marked. */
static void marks_spread(const nw_moving_art *art, bool *marked, bool *more)
{
    memcpy(more, marked, art->step_count * sizeof *marked);
    for (uint32_t first = 0, end; first < art->step_count; first = end) {
        end = nw_moving_art_outline_end(art, first);
        for (uint32_t k = first; k < end; k++)
            if (marked[k])
                more[k > first ? k - 1 : end - 1] = more[k + 1 < end ? k + 1 : first] = true;
    }
    memcpy(marked, more, art->step_count * sizeof *marked);
}

/* Marks all of the outlines of which something is marked. */
static void marks_fill(const nw_moving_art *art, bool *marked)
{
    for (uint32_t first = 0, end; first < art->step_count; first = end) {
        end = nw_moving_art_outline_end(art, first);
        bool any = false;
        for (uint32_t k = first; k < end; k++)
            any = any || marked[k];
        memset(marked + first, any, (end - first) * sizeof *marked);
    }
}

/* Brings the marked steps' points nearer to the moves before, by this share of the way. */
static void moves_return(nw_moving_art *art, const bool *marked, bool all, const double *before,
                         double share, bool *done)
{
    memset(done, 0, art->point_count * sizeof *done);
    for (size_t i = 0; i < art->step_count; i++) {
        const nw_moving_art_step *s = &art->steps[i];
        const uint32_t points[4] = {s->from, s->a, s->b, s->to};
        for (int k = 0; k < 4 && (all || marked[i]); k++) {
            uint32_t u = points[k] == NW_HELD ? NW_HELD : art->unknown[points[k]];
            if (u == NW_HELD || done[u / 2])
                continue;
            done[u / 2] = true;
            art->x[u] += share * (before[u] - art->x[u]);
            art->x[u + 1] += share * (before[u + 1] - art->x[u + 1]);
        }
    }
}

/* Once the work is spent, and far beyond: whole outlines at once, and all in the end. */
static int next_try(int k, const nw_work *spent)
{
    if (spent->done > spent->most + NW_WORK_OVER)
        return k < NEAR_TRIES ? NEAR_TRIES : k == MOST_TRIES ? k + 1 : MOST_TRIES;
    if (nw_work_spent(spent) && k < NEAR_TRIES)
        return k + HASTE < NEAR_TRIES ? k + HASTE : NEAR_TRIES;
    return k + 1;
}

nw_status nw_moving_art_uncross(nw_moving_art *art, const nw_box *sheet, const double *before,
                                nw_work *spent, nw_error *error)
{
    size_t count = 1;
    bool *marked = nw_alloc(art->step_count, sizeof *marked);
    bool *more = nw_alloc(art->step_count, sizeof *more);
    bool *done = nw_alloc(art->point_count, sizeof *done);
    nw_status status =
        marked && more && done ? NW_OK : nw_fail_memory(error, "the outlines that cross");
    for (int k = 0, next; status == NW_OK && count && k <= MOST_TRIES; k = next) {
        status = nw_moving_art_crossings(art, sheet, marked, &count, error);
        spent->done += POINT_WORK * (double)nw_region_size(&art->flat.region);
        next = next_try(k, spent);
        if (status == NW_OK && count) {
            for (int spread = 0; spread < k && k < NEAR_TRIES; spread++)
                marks_spread(art, marked, more);
            if (k >= NEAR_TRIES)
                marks_fill(art, marked);
            moves_return(art, marked, k == MOST_TRIES, before, k < BACK_TRIES ? 0.5 : 1, done);
        }
    }
    free(marked);
    free(more);
    free(done);
    return status;
}
