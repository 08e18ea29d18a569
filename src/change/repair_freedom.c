/*
 * The places that are to be widened -> which nodes and handles may move for that: those of steps
 * near by, of outlines with such a place nearer still; and which share their moves.
 */
#include <change/repair.h>

#include <stdlib.h>

#define SPOT_BITS 3.0   /* outlines with no spot so near stay */
#define FREE_BITS 6.0   /* steps farther from all spots stay, */
#define WHOLE_BITS 20.0 /* unless the outline is no longer than this: it may move as a whole */

const nw_box *nw_repair_sheet(const nw_repair *r)
{
    const nw_fit_options *o = &r->widening->out->before.options;
    return o->has_stock ? &o->stock : NULL;
}

/* The boxes of the places that are to be widened. */
static nw_box *wanted_boxes(const nw_repair *r, size_t *count)
{
    const nw_fit *before = &r->widening->out->before;
    nw_box *boxes = nw_alloc(before->spot_count, sizeof *boxes);
    *count = 0;
    for (size_t k = 0; boxes && k < before->spot_count; k++)
        if (nw_place_opened(r->widening, k))
            boxes[(*count)++] = nw_spot_box(before, &before->spots[k]);
    return boxes;
}

static bool is_near(nw_box box, const nw_box *others, size_t count, double reach)
{
    for (size_t k = 0; k < count; k++)
        if (nw_boxes_meet(box, others[k], reach))
            return true;
    return false;
}

/* The step's first half and its second stay. */
static void points_hold(nw_moving_art *art, const nw_moving_art_step *s, bool first, bool second)
{
    const uint32_t points[4] = {s->from, s->a, s->b, s->to};
    for (int k = 0; k < 4; k++)
        if (points[k] != NW_HELD && (k < 2 ? first : second))
            art->unknown[points[k]] = NW_HELD;
}

/* Holds what may not move; near: of steps. A line that may move may do so at both ends, however far
 * away one is: else it could only turn. */
static void steps_hold(nw_moving_art *art, const bool *near)
{
    for (uint32_t k = 0; k < art->step_count; k++) {
        uint32_t last = nw_moving_art_last(art, k), next = nw_moving_art_following(art, k);
        bool stays = art->held[k];
        if (stays || !near[k]) {
            points_hold(art, &art->steps[k], stays || !near[last] || art->steps[last].curve,
                        stays || !near[next] || art->steps[next].curve);
        }
    }
}

/* Which steps lie near enough to a place that is to be widened to move. */
static bool near_find(const nw_repair *r, bool *near)
{
    const nw_moving_art *art = r->art;
    size_t count;
    nw_box *boxes = wanted_boxes(r, &count);
    double bit = fmax(r->wanted[0], r->wanted[1]);
    for (uint32_t first = 0, end; boxes && first < art->step_count; first = end) {
        end = nw_moving_art_outline_end(art, first);
        bool any = false;
        nw_box all = nw_box_empty();
        for (uint32_t k = first; k < end; k++) {
            nw_box box = nw_moving_art_box(art, k, false);
            nw_box_grow(&all, box);
            any = any ||
                  (!art->frozen[art->steps[k].path] && is_near(box, boxes, count, SPOT_BITS * bit));
        }
        bool whole = fmax(nw_box_width(all), nw_box_height(all)) < WHOLE_BITS * bit;
        for (uint32_t k = first; k < end; k++) {
            nw_box box = nw_moving_art_box(art, k, false);
            near[k] = any && (whole || is_near(box, boxes, count, FREE_BITS * bit));
        }
    }
    free(boxes);
    return boxes != NULL;
}

void nw_moving_art_move_set(nw_moving_art *art, uint32_t point, nw_point move)
{
    uint32_t u = art->unknown[point];
    const nw_turn *t = &art->turns[point];
    art->x[u] = t->xx * move.x + t->yx * move.y;
    art->x[u + 1] = t->xy * move.x + t->yy * move.y;
}

/* Copies share their unknowns, and what one of them may not do none does. */
static void unknowns_share(nw_moving_art *art)
{
    art->unknowns = 0;
    for (uint32_t p = 0; p < art->point_count; p++)
        if (art->unknown[p] == NW_HELD)
            art->unknown[art->like[p]] = NW_HELD;
    for (uint32_t p = 0; p < art->point_count; p++) {
        if (art->like[p] == p && art->unknown[p] != NW_HELD) {
            art->unknown[p] = (uint32_t)art->unknowns;
            nw_moving_art_move_set(art, p, art->kept[p]);
            art->unknowns += 2;
        }
    }
    for (uint32_t p = 0; p < art->point_count; p++)
        art->unknown[p] = art->unknown[art->like[p]];
}

bool nw_repair_free_points(nw_repair *r)
{
    nw_moving_art *art = r->art;
    bool *near = nw_alloc(art->step_count, sizeof *near), good = near && near_find(r, near);
    for (uint32_t p = 0; p < art->point_count; p++) {
        art->kept[p] =
            r->round ? nw_moving_art_move(art, p) : nw_minus(art->rests[p], art->points[p]);
        art->unknown[p] = 0;
    }
    if (good)
        steps_hold(art, near);
    free(near);
    unknowns_share(art);
    return good;
}

nw_status nw_repair_find_copies(nw_repair *r, nw_error *error)
{
    if (r->widening->given_up) /* nothing moves */
        return NW_OK;
    bool *near = nw_alloc(r->art->step_count, sizeof *near);
    nw_status status =
        near && near_find(r, near) ? NW_OK : nw_fail_memory(error, "the outlines' nodes");
    /* What somebody chose for single places may be unlike for what is alike. */
    if (status == NW_OK && !r->widening->options->remedies) {
        status =
            nw_moving_art_find_copies(r->art, near, SPOT_BITS * fmax(r->wanted[0], r->wanted[1]),
                                      nw_repair_sheet(r), r->spent, error);
    }
    free(near);
    return status;
}
