/*
 * repair: a drawing and the places that are to be widened -> the same drawing, its own nodes and
 * handles moved, with the least turning and bending, so that these places are wide enough.
 * What has to stay for that: repair_holds.c.
 *
 * Every round finds opposite places anew on the outlines as they stand, and solves for all moves at
 * once, always measured from the drawing as it was.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ROUNDS 8
#define MORE_ROUNDS 3  /* after places were refused, or outlines held */
#define SETTLING 1     /* rounds before moves are held to what they are */
#define ENOUGH 4       /* rounds, once nothing fails */
#define PATIENCE 2     /* rounds in which no fewer fail, and then no more */
#define FEWER 0.8      /* so many of those that failed are fewer */
#define STILL_MM 0.004 /* moves that change by less from round to round have settled */
#define MOVE_BITS 1.5  /* what moves farther becomes stiffer */
#define EASY_SHARE 0.5 /* of its size: the same of a small outline, */
#define EASY_BITS 0.5  /* but not of less */
#define FAR_BITS 3.0   /* nothing moves farther in a round */
#define STIFFER 2      /* times in a round, at most */
#define AREA_PARTS 16  /* of a step, for its outline's area */
#define AREA_LEAST 0.5 /* of its area that an outline keeps */
#define SAME_AREA 0.05 /* areas of a whole outline and of what is lost of it differ by less */
#define FLOOR_TRIES 2

/* ---- rounds -----------------------------------------------------------------------------------
 */

/* The rounds' moves: those before the last solution, and the best so far. */
typedef struct {
    double *last, *best;
    size_t count; /* of the points' unknowns */
    size_t failing;
    int idle;        /* rounds since fewer failed */
    nw_forms before; /* the conditions of the round before, which hold on so that none swings */
} rounds;

/* A point's move, in so many of the bit's diameters. */
static double move_of(const nw_repair *r, uint32_t point, double bits)
{
    double most = bits * r->widening->options->fit.bit;
    return nw_length(nw_moving_art_move(r->art, point)) / most;
}

/* How far the outline may go before it becomes stiffer, in bits: what is small no farther than half
 * its own size, for it belongs to what is beside it. */
static double easy_bits(const nw_repair *r, uint32_t first, uint32_t end)
{
    nw_box all = nw_box_empty();
    for (uint32_t k = first; k < end; k++)
        nw_box_grow(&all, r->art->boxes[k]);
    double size = fmax(nw_box_width(all), nw_box_height(all)) / r->widening->options->fit.bit;
    return fmin(fmax(EASY_SHARE * size, EASY_BITS), MOVE_BITS);
}

/* Makes points stiffer that move too far, so that they do not the next time; false: none did. */
static bool moves_stiffen(const nw_repair *r)
{
    nw_moving_art *art = r->art;
    bool any = false;
    for (uint32_t first = 0, end; first < art->step_count; first = end) {
        end = nw_moving_art_outline_end(art, first);
        double most = easy_bits(r, first, end);
        for (uint32_t k = first; k < end; k++) {
            uint32_t points[3];
            int count = nw_step_points(&art->steps[k], points);
            for (int j = 0; j < count; j++) {
                double over = move_of(r, points[j], most);
                if (over > 1) {
                    art->stiff[points[j]] *= 2 * over * over;
                    any = true;
                }
            }
        }
    }
    return any;
}

/* What would move so far has to stay in the end: it goes no farther meanwhile. */
static void moves_clip(const nw_repair *r)
{
    nw_moving_art *art = r->art;
    for (uint32_t p = 0; p < art->point_count; p++) {
        double over = move_of(r, p, FAR_BITS);
        if (over > 1) {
            art->x[art->unknown[p]] /= over;
            art->x[art->unknown[p] + 1] /= over;
        }
    }
}

/* Is there no work left for a round, or by far too little to end it? The first of a last try is
 * gone through all the same. */
static bool round_stops(const nw_repair *r, int k, double over)
{
    bool stops = r->spent->done > r->spent->most + over && !(k == 0 && r->last);
    r->spent->stopped = r->spent->stopped || stops;
    return stops;
}

/* One round. *changed: how far the largest move is from that of the round before. */
static nw_status round_run(nw_repair *r, rounds *all, int k, double *changed, nw_error *error)
{
    nw_moving_art *art = r->art;
    nw_forms energy = {0}, conditions = {0};
    size_t unknowns = 0;
    memcpy(all->last, art->x, all->count * sizeof *all->last);
    nw_status status = nw_repair_pairs(r, &conditions, error);
    if (k > 0)
        all->idle = (double)r->failing < FEWER * (double)all->failing ? 0 : all->idle + 1;
    if (status == NW_OK && k > 0 && r->failing <= all->failing) {
        all->failing = r->failing;
        memcpy(all->best, art->x, all->count * sizeof *all->best);
    }
    size_t own = conditions.count;
    nw_forms_join(&conditions, &all->before, 0);
    bool again = true;
    for (int j = 0; j < STIFFER && status == NW_OK && again; j++) {
        nw_forms_free(&energy);
        status = nw_moving_art_energy(art, r->widening->options->fit.bit,
                                      r->pressing || k > SETTLING, &energy, &unknowns, error);
        if (status == NW_OK)
            status = nw_forms_solve(&energy, &conditions, unknowns, all->count, r->round || j,
                                    art->x, r->spent, error);
        again = moves_stiffen(r) && !round_stops(r, k, NW_WORK_OVER);
    }
    if (round_stops(r, k, NW_WORK_OVER))
        memcpy(art->x, all->last, all->count * sizeof *all->last);
    else
        moves_clip(r);
    conditions.count = own < conditions.count ? own : conditions.count;
    if (status == NW_OK)
        status = nw_moving_art_uncross(art, nw_repair_sheet(r), all->last, r->spent, error);
    *changed = 0;
    for (size_t j = 0; j < all->count; j++)
        *changed = fmax(*changed, fabs(art->x[j] - all->last[j]));
    nw_forms_free(&all->before);
    all->before = conditions;
    nw_forms_free(&energy);
    return status;
}

/* Some rounds more, on from the moves as they are; leaves the best. */
static nw_status rounds_run(nw_repair *r, int most, nw_error *error)
{
    nw_moving_art *art = r->art;
    rounds all = {.count = art->unknowns, .failing = SIZE_MAX};
    all.last = nw_alloc(all.count, sizeof *all.last);
    all.best = nw_alloc(all.count, sizeof *all.best);
    nw_status status = all.last && all.best ? NW_OK : nw_fail_memory(error, "the walls' moves");
    double changed = INFINITY;
    if (status == NW_OK) /* what was held since may stand in the way of what had moved */
        status = nw_moving_art_uncross(art, nw_repair_sheet(r), all.last, r->spent, error);
    for (int k = 0; status == NW_OK && all.count && k < most; k++, r->round++) {
        if (changed < STILL_MM || (k > ENOUGH && all.failing == 0) ||
            (all.failing > 0 && all.idle > PATIENCE))
            break;
        if (round_stops(r, k, 0))
            break;
        nw_work_tell(r->spent);
        status = round_run(r, &all, k, &changed, error);
    }
    if (status == NW_OK && all.failing < SIZE_MAX) {
        nw_forms none = {0};
        status = nw_repair_pairs(r, &none, error); /* what the last round came to */
        nw_forms_free(&none);
        if (r->failing > all.failing)
            memcpy(art->x, all.best, all.count * sizeof *all.best);
    }
    nw_forms_free(&all.before);
    free(all.last);
    free(all.best);
    return status;
}

/* ---- floors ---------------------------------------------------------------------------------- */

/* The outline's area as the polygon of its places. */
static double outline_area(const nw_moving_art *art, uint32_t first, uint32_t end, bool moved)
{
    double twice = 0;
    nw_point origin = art->points[art->steps[first].from], last = origin;
    for (uint32_t k = first; k < end; k++) {
        for (int j = 1; j <= AREA_PARTS; j++) {
            nw_step_place place = {k, (double)j / AREA_PARTS};
            nw_point p = moved ? nw_moving_art_is(art, place) : nw_moving_art_was(art, place);
            twice += nw_cross(nw_minus(last, origin), nw_minus(p, origin));
            last = p;
        }
    }
    return twice / 2;
}

/* Outlines that shrank too much become rigid, and those that were rigid stay. Returns how many. */
static size_t outlines_check(nw_moving_art *art)
{
    size_t count = 0;
    for (uint32_t first = 0, end; first < art->step_count; first = end) {
        end = nw_moving_art_outline_end(art, first);
        uint32_t path = art->steps[first].path;
        double was = fabs(outline_area(art, first, end, false));
        bool shrank = fabs(outline_area(art, first, end, true)) < AREA_LEAST * was;
        if (shrank && !art->frozen[path]) {
            art->frozen[path] = art->rigid[path];
            art->rigid[path] = true;
            count++;
        }
    }
    return count;
}

bool nw_repair_keep_form(nw_repair *r, const nw_spot *lost)
{
    nw_moving_art *art = r->art;
    nw_step_place nearest = nw_moving_art_nearest(art, lost->at, INFINITY);
    if (nearest.step == SIZE_MAX)
        return false;
    const nw_moving_art_step *s = &art->steps[nearest.step];
    uint32_t first = (uint32_t)nearest.step - s->step, end = nw_moving_art_outline_end(art, first);
    double area = fabs(outline_area(art, first, end, true));
    double was = fabs(outline_area(art, first, end, false));
    if (art->frozen[s->path] || fabs(area - lost->area) >= SAME_AREA * area ||
        (art->rigid[s->path] && fabs(area - was) < SAME_AREA * was))
        return false;
    return art->rigid[s->path] = true;
}

/* Rounds, and more of them as long as outlines have to be held. */
static nw_status rounds_try(nw_repair *r, nw_error *error)
{
    nw_moving_art *art = r->art;
    nw_status status = NW_OK;
    bool again = true;
    for (int tries = 0; status == NW_OK && again && tries < FLOOR_TRIES; tries++) {
        status = nw_repair_free_points(r) ? rounds_run(r, r->round ? MORE_ROUNDS : ROUNDS, error)
                                          : nw_fail_memory(error, "the walls' moves");
        again = status == NW_OK && outlines_check(art);
    }
    return status;
}

bool nw_ring_dropped(const nw_widening *w, size_t ring)
{
    size_t miss = w->misses[ring];
    return (miss == NW_DUST && !w->given_up) ||
           (miss < NW_DUST && nw_place_wanted(w, miss) && !nw_place_opened(w, miss));
}

/* Are its outlines all that there is of it? */
static bool is_whole(const nw_widening *w, size_t miss)
{
    const nw_fit *before = &w->out->before;
    return miss == NW_DUST || before->spots[miss].residue_count == 1 ||
           nw_miss_of_ring(before, &before->spots[miss]);
}

/* Takes such out, but where they bound more than a piece and its hole; pieces that were nothing
 * else are numbered no more. places: of the region's points on the drawing. */
static void lost_drop(const nw_widening *w, const nw_region *region, const nw_step_place *places,
                      nw_drawing *drawing)
{
    size_t kept = 0, ring = 0, steps = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        steps += path->count;
        bool is_ring = ring < region->count && places[region->starts[ring]].step < steps;
        bool dropped = is_ring && nw_ring_dropped(w, ring) && is_whole(w, w->misses[ring]);
        ring += is_ring;
        if (!dropped) {
            drawing->paths[kept++] = *path;
            continue;
        }
        for (size_t k = i + 1; !path->hole && k < drawing->count; k++)
            drawing->paths[k].piece -= drawing->paths[k].piece > path->piece;
        nw_path_free(path);
    }
    drawing->count = kept;
}

nw_status nw_repair_make(const nw_widening *widening, const nw_drawing *drawing, nw_repair *repair,
                         nw_error *error)
{
    const nw_fit_options *o = &widening->out->before.options;
    double ease = widening->options->ease;
    *repair = (nw_repair){.widening = widening,
                          .wanted = {o->bit + ease, o->neck + ease},
                          .least = {o->bit, o->neck},
                          .spent = widening->spent};
    repair->art = nw_alloc(1, sizeof *repair->art);
    repair->left = nw_alloc(widening->out->before.spot_count, sizeof *repair->left);
    repair->marked = nw_alloc(widening->out->before.spot_count, sizeof *repair->marked);
    if (!repair->art || !repair->left || !repair->marked)
        return nw_fail_memory(error, "the outlines' nodes");
    nw_drawing own;
    nw_region region;
    nw_step_place *places;
    nw_status status =
        nw_drawing_flatten_own(drawing, NW_FLATNESS_MM, &own, &region, &places, error);
    if (status == NW_OK) {
        lost_drop(widening, &region, places, &own);
        nw_region_free(&region);
        free(places);
        status = nw_caps_put(widening, repair->wanted, &own, &repair->caps, error);
    }
    if (status == NW_OK)
        status = nw_moving_art_make(&own, repair->art, error);
    else
        nw_drawing_free(&own);
    if (status == NW_OK)
        status = nw_moving_art_find_crossed(repair->art, error);
    if (status == NW_OK)
        status = nw_caps_rest(&repair->caps, nw_repair_sheet(repair), repair->art, error);
    return status == NW_OK ? nw_repair_find_copies(repair, error) : status;
}

void nw_repair_free(nw_repair *repair)
{
    if (repair->art)
        nw_moving_art_free(repair->art);
    free(repair->art);
    free(repair->left);
    free(repair->marked);
    free(repair->moves);
    nw_caps_free(&repair->caps);
    *repair = (nw_repair){0};
}

/* What came about by moves is wanted no more, nor what stays since; is anything? */
static bool wants_reset(nw_moving_art *art)
{
    bool any = false;
    for (int side = 0; side < 2; side++) {
        for (size_t i = 0; i < art->step_count; i++) {
            nw_moving_art_marks *marks = &art->marks[side][i];
            marks->wanted = marks->chosen & ~marks->left;
            any = any || marks->wanted;
        }
    }
    return any;
}

nw_status nw_repair_draw(const nw_repair *repair, nw_drawing *drawing, nw_error *error)
{
    nw_status status = nw_moving_art_draw(repair->art, drawing, error);
    return status == NW_OK ? nw_caps_restore(&repair->caps, repair->art, drawing, error) : status;
}

/* Keeps the moves of what is drawn. */
static nw_status moves_keep(nw_repair *repair, nw_error *error)
{
    const nw_moving_art *art = repair->art;
    if (!repair->moves)
        repair->moves = nw_alloc(art->point_count, sizeof *repair->moves);
    if (!repair->moves)
        return nw_fail_memory(error, "the walls' moves");
    for (uint32_t p = 0; p < art->point_count; p++)
        repair->moves[p] = nw_moving_art_move(art, p);
    return NW_OK;
}

nw_status nw_repair_run(nw_repair *repair, const nw_widening *widening, bool last,
                        nw_drawing *repaired, nw_error *error)
{
    repair->widening = widening;
    repair->last = last;
    repair->relabel = true;
    nw_status status = NW_OK;
    if (!repair->round || wants_reset(repair->art))
        status = rounds_try(repair, error);
    else
        memset(repair->art->x, 0, repair->art->unknowns * sizeof *repair->art->x);
    repair->pressing = false;
    nw_moving_art_boxes(repair->art);
    if (status == NW_OK)
        status = moves_keep(repair, error);
    return status == NW_OK ? nw_repair_draw(repair, repaired, error) : status;
}
