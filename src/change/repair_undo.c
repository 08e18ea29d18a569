/*
 * The moves that stand and the fit of what they make -> the same without those that came to
 * nothing. Walls that have moved for one another's sake are a group: what hangs together along the
 * outlines, what is alike, and both walls of a place that was made wide. A group about which no
 * place was made wide, or no more than pinches stay, goes back to where it was; and all do
 * where a third of the drawing's pinches stays. What is then worse than it was keeps its moves.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOVED_MM 0.01  /* points that move by less follow their neighbours */
#define SEEN_MM 0.05   /* a wall that has moved farther has so that one sees it */
#define FOOT_BITS 0.1  /* so near to a wall the end of a pinch's shortest line is on it */
#define ABOUT_BITS 1.0 /* walls so near to a place have to do with it */
#define KEEP_BITS 2.0  /* what went back so near to what is worse is to blame */
#define MANY_SHARE 3   /* of the drawing's pinches: one of so many */
#define KEEPING_TRIES 4

typedef struct {
    nw_widening *w;
    nw_moving_art *art;
    const nw_point *moves;
    uint32_t *group;    /* of steps: forest of sets; the least is the group's name */
    size_t *won, *lost; /* by name: places about it */
    bool *back;         /* by name: it goes back */
    bool *there;        /* of places: still too narrow */
    bool *kept;         /* of outlines: something of them keeps its moves */
    uint32_t *first;    /* of places: a step about it that has moved; NW_HELD: none */
    size_t *last;       /* by name: the place that was counted last, and one more */
} groups;

/* ---- which walls move together --------------------------------------------------------------- */

static bool point_moved(const groups *g, uint32_t p)
{
    return nw_length(g->moves[p]) > MOVED_MM;
}

/* How far the step's points move, at most. */
static double step_moves(const groups *g, uint32_t k)
{
    const nw_moving_art_step *s = &g->art->steps[k];
    const uint32_t points[4] = {s->from, s->a, s->b, s->to};
    double most = 0;
    for (int j = 0; j < 4; j++)
        most = points[j] == NW_HELD ? most : fmax(most, nw_length(g->moves[points[j]]));
    return most;
}

static bool step_moved(const groups *g, uint32_t k)
{
    return step_moves(g, k) > MOVED_MM;
}

/* Joins what shares a point, and what is alike. owners: the step of each point. */
static void neighbours_join(groups *g, uint32_t *owners)
{
    const nw_moving_art *art = g->art;
    for (uint32_t k = 0; k < art->step_count; k++) {
        uint32_t points[3];
        int count = nw_step_points(&art->steps[k], points);
        g->group[k] = k;
        for (int j = 0; j < count; j++)
            owners[points[j]] = k;
    }
    for (uint32_t k = 0; k < art->step_count; k++)
        if (point_moved(g, art->steps[k].to))
            nw_sets_join(g->group, k, nw_moving_art_following(art, k));
    for (uint32_t p = 0; p < art->point_count; p++)
        if (point_moved(g, p))
            nw_sets_join(g->group, owners[p], owners[art->like[p]]);
}

/* Do walls of the place, or its shortest line, come so near to the box? */
static bool walls_meet(const nw_fit *fit, const nw_spot *place, nw_box box, double reach)
{
    bool meet = nw_boxes_meet(box, (nw_box){place->at, place->at}, reach);
    for (size_t i = 0; i < place->residue_count && !meet; i++) {
        const nw_path *path = &fit->residues.paths[place->residue + i];
        for (size_t k = 0; k < path->count && !meet; k++) {
            nw_point from = nw_path_from(path, k);
            meet = nw_boxes_meet(box, nw_box_of(from, path->steps[k].to, 0), reach);
        }
    }
    return meet;
}

/* Has the step to do with the place? With one that is still there only where its shortest line ends
 * on the step, and that has moved so that one sees it: else nothing was spoiled. */
static bool is_about(const groups *g, uint32_t step, size_t place)
{
    const nw_fit *before = &g->w->out->before;
    const nw_spot *spot = &before->spots[place];
    double bit = g->w->options->fit.bit;
    nw_box box = g->art->boxes[step];
    if (g->there[place]) {
        return step_moves(g, step) > SEEN_MM &&
               (nw_boxes_meet(box, (nw_box){spot->from, spot->from}, FOOT_BITS * bit) ||
                nw_boxes_meet(box, (nw_box){spot->to, spot->to}, FOOT_BITS * bit));
    }
    return nw_boxes_meet(box, g->w->boxes[place], ABOUT_BITS * bit) &&
           walls_meet(before, spot, box, ABOUT_BITS * bit);
}

void nw_places_there(const nw_widening *w, bool *there)
{
    const nw_fit *before = &w->out->before, *after = &w->out->after;
    for (size_t k = 0; k < after->spot_count; k++) {
        size_t origin = nw_place_origin(w, &after->spots[k], true);
        for (size_t i = 0; i < before->spot_count; i++)
            there[i] = there[i] || nw_place_there(w, i, &after->spots[k], origin);
    }
}

/* Of the place's walls, and the ends of its shortest line. */
static nw_box place_box(const groups *g, size_t place)
{
    const nw_spot *spot = &g->w->out->before.spots[place];
    nw_box box = g->w->boxes[place];
    nw_box_take(&box, spot->from, 0);
    nw_box_take(&box, spot->to, 0);
    return box;
}

/* Calls for each step that has moved about a place that is opened, and is (or is no more) there. */
static void abouts_each(groups *g, bool there, void (*each)(groups *, size_t place, uint32_t step))
{
    const nw_fit *before = &g->w->out->before;
    for (size_t i = 0; i < before->spot_count; i++) {
        bool counts = nw_place_opened(g->w, i) && g->there[i] == there;
        double reach = ABOUT_BITS * g->w->options->fit.bit;
        nw_box about = place_box(g, i);
        size_t k = counts ? nw_moving_art_meeting(g->art, 0, false, about, reach) : SIZE_MAX;
        for (; k < g->art->step_count;
             k = nw_moving_art_meeting(g->art, k + 1, false, about, reach))
            if (step_moved(g, (uint32_t)k) && is_about(g, (uint32_t)k, i))
                each(g, i, (uint32_t)k);
    }
}

static void walls_join(groups *g, size_t place, uint32_t step)
{
    if (g->first[place] == NW_HELD)
        g->first[place] = step;
    nw_sets_join(g->group, g->first[place], step);
}

/* Counts each place once for each group; what ends blind and stays so is no loss. */
static void group_count(groups *g, size_t place, uint32_t step)
{
    uint32_t name = nw_set_root(g->group, step);
    bool counts = !g->there[place] || g->w->out->before.spots[place].form == NW_PINCH;
    if (counts && g->last[name] != place + 1) {
        g->last[name] = place + 1;
        *(g->there[place] ? &g->lost[name] : &g->won[name]) += 1;
    }
}

/* Does a third of the drawing's pinches stay, of those about which something moved or that stay?
 * Then it cannot be cut with this bit all the same, and what moved has moved for nothing. */
static bool many_stay(const groups *g)
{
    const nw_fit *before = &g->w->out->before;
    size_t stay = 0, pinches = 0;
    for (size_t i = 0; i < before->spot_count; i++) {
        bool pinch = before->spots[i].form == NW_PINCH && nw_place_opened(g->w, i) &&
                     (g->there[i] || g->first[i] != NW_HELD);
        pinches += pinch;
        stay += pinch && g->there[i];
    }
    return MANY_SHARE * stay >= pinches && stay > NW_FEW_PINCHES;
}

/* Which groups go back, unless all is given up; false: none does. */
static bool groups_judge(groups *g)
{
    nw_places_there(g->w, g->there);
    abouts_each(g, false, walls_join);
    g->w->given_up = g->w->given_up || many_stay(g);
    if (g->w->given_up)
        return true;
    bool any = false;
    abouts_each(g, false, group_count);
    abouts_each(g, true, group_count);
    for (uint32_t k = 0; k < g->art->step_count; k++) {
        g->back[k] = step_moved(g, k) && nw_set_root(g->group, k) == k &&
                     (g->won[k] == 0 || g->lost[k] >= g->won[k]);
        any = any || g->back[k];
    }
    return any;
}

/* ---- back to where it was -------------------------------------------------------------------- */

/* The art's moves: none of what goes back. What has hardly moved goes back with its outline. */
static void moves_set(groups *g)
{
    nw_moving_art *art = g->art;
    memset(g->kept, 0, art->drawing.count * sizeof *g->kept);
    for (uint32_t k = 0; k < art->step_count; k++)
        if (step_moved(g, k) && !g->back[nw_set_root(g->group, k)])
            g->kept[art->steps[k].path] = true;
    for (uint32_t k = 0; k < art->step_count; k++) {
        bool back =
            step_moved(g, k) ? g->back[nw_set_root(g->group, k)] : !g->kept[art->steps[k].path];
        uint32_t points[3];
        int count = nw_step_points(&art->steps[k], points);
        for (int j = 0; j < count; j++) {
            uint32_t p = points[j];
            art->unknown[p] = 2 * p;
            nw_moving_art_move_set(art, p, back ? (nw_point){0, 0} : g->moves[p]);
        }
    }
}

/* Lets keep its moves what went back near such a place; did any? */
static bool groups_keep(groups *g, nw_point at)
{
    bool any = false;
    nw_box about = nw_box_round(at, KEEP_BITS * g->w->options->fit.bit);
    for (uint32_t k = 0; k < g->art->step_count; k++) {
        uint32_t name = nw_set_root(g->group, k);
        if (g->back[name] && step_moved(g, k) && nw_boxes_meet(g->art->boxes[k], about, 0)) {
            g->back[name] = false;
            any = true;
        }
    }
    return any;
}

/* Keeps what is to blame for what is worse than it was; *worse: is anything, or are there more
 * pinches than there were and places that went back? */
static bool worse_keep(groups *g, const nw_fit *after, size_t pinches, bool *worse)
{
    const nw_fit *before = &g->w->out->before;
    bool any = false;
    for (uint32_t k = 0; k < g->art->step_count; k++)
        pinches += g->back[k] ? g->won[k] + g->lost[k] : 0;
    *worse = nw_pinches_of(after) > pinches;
    for (size_t i = 0; i < after->spot_count; i++) {
        const nw_spot *spot = &after->spots[i];
        bool bad = spot->form == NW_PINCH
                       ? !nw_pinch_no_narrower(before, spot)
                       : nw_place_lost(g->w, spot) || nw_place_new_loss(g->w, spot);
        *worse = *worse || bad;
        any = (bad && groups_keep(g, spot->at)) || any;
    }
    return any;
}

/* Draws and fits again, with less and less that goes back, until nothing is worse. */
static nw_status groups_return(groups *g)
{
    nw_widening *w = g->w;
    nw_drawing work = w->work;
    nw_fit after = w->out->after;
    nw_status status = NW_OK;
    bool worse = true, again = true;
    for (int tries = 0; status == NW_OK && worse && again && tries < KEEPING_TRIES; tries++) {
        nw_drawing_free(tries ? &w->work : NULL);
        w->work = (nw_drawing){0};
        if (!tries)
            w->out->after = (nw_fit){0};
        moves_set(g);
        status = nw_repair_draw(w->moves, &w->work, w->error);
        if (status == NW_OK)
            status = nw_result_fit(w, &w->out->after);
        again = status == NW_OK && worse_keep(g, &w->out->after, nw_pinches_of(&after), &worse);
    }
    if (status == NW_OK && worse) {
        nw_drawing_free(&w->work);
        nw_fit_free(&w->out->after);
        w->work = work;
        w->out->after = after;
        return NW_OK;
    }
    nw_drawing_free(&work);
    nw_fit_free(&after);
    return status;
}

/* All as it was, for it is given up: small pieces that made way, and dust, are there again too. */
static nw_status all_return(nw_widening *w, const nw_drawing *drawing)
{
    nw_repair_free(w->moves);
    nw_drawing_free(&w->work);
    nw_status status = nw_repair_make(w, drawing, w->moves, w->error);
    if (status == NW_OK)
        status = nw_repair_draw(w->moves, &w->work, w->error);
    return status == NW_OK ? nw_result_fit(w, &w->out->after) : status;
}

/* Says of places that were wide enough, and went back, that they did. */
static void undone_note(groups *g, bool *now)
{
    nw_places_there(g->w, now);
    for (size_t i = 0; i < g->w->out->before.spot_count; i++)
        g->w->out->notes[i].undone = now[i] && !g->there[i] && nw_place_opened(g->w, i);
}

nw_status nw_repair_undo(nw_widening *w, const nw_drawing *drawing)
{
    nw_moving_art *art = w->moves->art;
    size_t steps = art->step_count, places = w->out->before.spot_count;
    groups g = {.w = w, .art = art, .moves = w->moves->moves};
    uint32_t *owners = nw_alloc(art->point_count, sizeof *owners);
    g.group = nw_alloc(steps, sizeof *g.group);
    g.won = nw_alloc(steps, sizeof *g.won);
    g.lost = nw_alloc(steps, sizeof *g.lost);
    g.last = nw_alloc(steps, sizeof *g.last);
    g.back = nw_alloc(steps, sizeof *g.back);
    g.there = nw_alloc(places, sizeof *g.there);
    g.kept = nw_alloc(art->drawing.count, sizeof *g.kept);
    g.first = nw_alloc(places, sizeof *g.first);
    bool *now = nw_alloc(places, sizeof *now);
    bool good = owners && g.group && g.won && g.lost && g.last && g.back && g.there && g.kept &&
                g.first && now;
    nw_status status = good ? NW_OK : nw_fail_memory(w->error, "the walls' moves");
    for (size_t i = 0; good && i < places; i++)
        g.first[i] = NW_HELD;
    if (good)
        neighbours_join(&g, owners);
    if (good && groups_judge(&g))
        status = w->given_up ? all_return(w, drawing) : groups_return(&g);
    if (good && status == NW_OK)
        undone_note(&g, now);
    free(now);
    free(owners);
    free(g.group);
    free(g.won);
    free(g.lost);
    free(g.last);
    free(g.back);
    free(g.there);
    free(g.kept);
    free(g.first);
    return status;
}
