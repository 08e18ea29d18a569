/* repair_holds: which walls stay as they are, since a place of theirs was refused, has become
 * narrower, or would have to move too far. */
#include <change/repair.h>

#include <math.h>
#include <string.h>

#define FAR_PARTS 4   /* of a step that are looked at for that */
#define FOOT_BITS 0.1 /* from the end of a spot's shortest line to its wall, at most */
#define FARTHER 4     /* doublings of what stays about a place, at once */
#define BLAMED_MOST 20
#define PRESSED_MOST 3
#define MOUTH_BITS 0.3 /* of a refused place's mouth: nothing is widened so near to its walls */
#define LINES 32       /* of a wall that are looked at together, or more, */
#define GROUPS 128     /* for there are no more groups */

/* A path's lines by groups, with the box of each: of long walls most lines are far from a step. */
typedef struct {
    const nw_path *path;
    size_t lines, count; /* in a group; groups */
    nw_box boxes[GROUPS], all;
} line_groups;

static void groups_make(const nw_path *path, line_groups *g)
{
    *g = (line_groups){.path = path, .lines = LINES, .all = nw_box_empty()};
    if (path->count > (size_t)LINES * GROUPS)
        g->lines = (path->count + GROUPS - 1) / GROUPS;
    for (size_t first = 0; first < path->count; first += g->lines) {
        nw_box *box = &g->boxes[g->count++];
        *box = nw_box_empty();
        nw_box_take(box, nw_path_from(path, first), 0);
        for (size_t k = first; k < path->count && k < first + g->lines; k++)
            nw_box_take(box, path->steps[k].to, 0);
        nw_box_grow(&g->all, *box);
    }
}

/* How far p is from what is farthest of the box. */
static double box_farthest(nw_box box, nw_point p)
{
    return nw_length((nw_point){fmax(fabs(p.x - box.min.x), fabs(p.x - box.max.x)),
                                fmax(fabs(p.y - box.min.y), fabs(p.y - box.max.y))});
}

/* Marks of the step's places within reach of the lines. */
static uint64_t marks_near(const nw_moving_art *art, size_t step, bool moved, const line_groups *g,
                           double reach)
{
    nw_box box = nw_moving_art_box(art, step, moved);
    nw_point places[NW_ART_PARTS];
    bool known = false;
    uint64_t marks = 0;
    for (size_t j = 0; j < g->path->count && marks != UINT64_MAX; j++) {
        if (j % g->lines == 0 && !nw_boxes_meet(box, g->boxes[j / g->lines], reach)) {
            j += g->lines - 1;
            continue;
        }
        nw_point from = nw_path_from(g->path, j), to = g->path->steps[j].to;
        if (g->path->steps[j].kind != NW_LINE || !nw_boxes_meet(box, nw_box_of(from, to, 0), reach))
            continue;
        if (box_farthest(box, to) < reach)
            return UINT64_MAX;
        for (int k = 0; !known && k < NW_ART_PARTS; k++) {
            nw_step_place place = {step, (k + 0.5) / NW_ART_PARTS};
            places[k] = moved ? nw_moving_art_is(art, place) : nw_moving_art_was(art, place);
        }
        known = true;
        for (int k = 0; k < NW_ART_PARTS; k++)
            if (nw_segment_distance(from, to, places[k]) < reach)
                marks |= (uint64_t)1 << k;
    }
    return marks;
}

static void path_leave(nw_moving_art *art, bool moved, const nw_path *path, nw_side side,
                       double reach)
{
    line_groups groups;
    groups_make(path, &groups);
    for (size_t i = nw_moving_art_meeting(art, 0, moved, groups.all, reach); i < art->step_count;
         i = nw_moving_art_meeting(art, i + 1, moved, groups.all, reach))
        if (art->marks[side][i].left != UINT64_MAX)
            art->marks[side][i].left |= marks_near(art, i, moved, &groups, reach);
}

bool nw_moving_art_leave(nw_moving_art *art, bool moved, const nw_fit *fit, const nw_spot *spot,
                         double reach)
{
    bool any = false;
    for (size_t i = 0; i < spot->residue_count; i++)
        path_leave(art, moved, &fit->residues.paths[spot->residue + i], spot->side, reach);
    for (size_t i = 0; i < art->step_count; i++) {
        nw_moving_art_marks *marks = &art->marks[spot->side][i];
        any = any || (marks->wanted & marks->left);
        marks->wanted &= ~marks->left;
    }
    return any;
}

/* The places of the outlines between which the spot lies; for all but pinches the first only. */
static void spot_ends(const nw_repair *r, const nw_spot *spot, nw_step_place ends[2])
{
    bool pinch = spot->form == NW_PINCH;
    double reach = pinch ? FOOT_BITS * r->wanted[spot->side] : INFINITY;
    ends[0] = nw_moving_art_nearest(r->art, pinch ? spot->from : spot->at, reach);
    ends[1] = pinch ? nw_moving_art_nearest(r->art, spot->to, reach) : ends[0];
}

bool nw_repair_narrowed(const nw_repair *r, const nw_spot *spot)
{
    nw_step_place ends[2];
    spot_ends(r, spot, ends);
    if (ends[0].step == SIZE_MAX || ends[1].step == SIZE_MAX)
        return false;
    double was = nw_moving_art_width_was(r->art, ends[0], ends[1]);
    double is = nw_distance(nw_moving_art_is(r->art, ends[0]), nw_moving_art_is(r->art, ends[1]));
    return is < was - NW_SAME_WIDTH_MM;
}

bool nw_repair_stayed(const nw_repair *r, const nw_spot *spot)
{
    nw_step_place ends[2];
    spot_ends(r, spot, ends);
    for (int k = 0; k < 2; k++)
        if (ends[k].step != SIZE_MAX &&
            (r->art->held[ends[k].step] || r->art->frozen[r->art->steps[ends[k].step].path]))
            return true;
    return false;
}

bool nw_repair_press(nw_repair *r, const nw_fit *after, const nw_spot *spot)
{
    nw_moving_art *art = r->art;
    nw_box about = nw_spot_box(after, spot);
    bool any = false;
    double reach = FOOT_BITS * r->wanted[spot->side];
    for (size_t i = nw_moving_art_meeting(art, 0, true, about, reach); i < art->step_count;
         i = nw_moving_art_meeting(art, i + 1, true, about, reach)) {
        if (art->held[i] || art->pressed[i] >= PRESSED_MOST)
            continue;
        art->pressed[i]++;
        any = r->pressing = true;
    }
    return any;
}

void nw_repair_unpress(nw_repair *r)
{
    memset(r->art->pressed, 0, r->art->step_count * sizeof *r->art->pressed);
}

void nw_repair_return(nw_repair *r)
{
    nw_moving_art *art = r->art;
    for (uint32_t p = 0; p < art->point_count; p++)
        if (art->unknown[p] != NW_HELD)
            nw_moving_art_move_set(art, p, r->moves[p]);
    nw_moving_art_boxes(art);
}

bool nw_repair_hold_far(nw_repair *r)
{
    nw_moving_art *art = r->art;
    double most = NW_MOVE_MOST_BITS * fmax(r->least[0], r->least[1]);
    bool any = false;
    for (uint32_t i = 0; i < art->step_count; i++) {
        const nw_moving_art_step *s = &art->steps[i];
        bool far = false;
        for (int k = 0; k <= FAR_PARTS; k++) {
            nw_step_place place = {i, (double)k / FAR_PARTS};
            far = far ||
                  nw_distance(nw_moving_art_was(art, place), nw_moving_art_is(art, place)) > most;
        }
        if (!far || art->held[i] || art->frozen[s->path])
            continue;
        any = art->held[i] = true;
        for (int side = 0; side < 2; side++)
            art->marks[side][i] = (nw_moving_art_marks){.left = UINT64_MAX};
    }
    return any;
}

static void step_leave(nw_moving_art *art, uint32_t step, uint64_t marks)
{
    for (int side = 0; side < 2; side++) {
        art->marks[side][step].left |= marks;
        art->marks[side][step].wanted &= ~marks;
    }
}

static bool step_hold(nw_repair *r, uint32_t step, const nw_step_place ends[2], double reach)
{
    nw_moving_art *art = r->art;
    bool any = false;
    for (int j = 0; j < 2; j++) {
        if (ends[j].step != SIZE_MAX &&
            box_farthest(art->boxes[step], nw_moving_art_was(art, ends[j])) <= reach) {
            step_leave(art, step, UINT64_MAX);
            return true;
        }
    }
    for (int k = 0; k <= NW_ART_PARTS; k++) {
        nw_step_place place = {step, fmin((k + 0.5) / NW_ART_PARTS, 1)};
        nw_point p = nw_moving_art_was(art, place);
        for (int j = 0; j < 2; j++) {
            if (ends[j].step == SIZE_MAX || nw_distance(p, nw_moving_art_was(art, ends[j])) > reach)
                continue;
            any = true;
            step_leave(art, step, (uint64_t)1 << (k < NW_ART_PARTS ? k : NW_ART_PARTS - 1));
        }
    }
    return any;
}

/* All steps within reach of the spot's ends stay; false where all of them did already. */
static bool about_hold(nw_repair *r, const nw_spot *spot, const nw_step_place ends[2], double reach)
{
    nw_moving_art *art = r->art;
    bool any = false;
    nw_point at[2];
    for (int j = 0; j < 2; j++)
        at[j] = ends[j].step == SIZE_MAX ? spot->at : nw_moving_art_was(art, ends[j]);
    nw_box about = nw_box_of(at[0], at[1], 0);
    for (size_t k = nw_moving_art_meeting(art, 0, false, about, reach); k < art->step_count;
         k = nw_moving_art_meeting(art, k + 1, false, about, reach)) {
        uint32_t i = (uint32_t)k;
        bool meets = nw_boxes_meet(art->boxes[i], (nw_box){at[0], at[0]}, reach) ||
                     nw_boxes_meet(art->boxes[i], (nw_box){at[1], at[1]}, reach);
        if (!meets || art->frozen[art->steps[i].path] || !step_hold(r, i, ends, reach))
            continue;
        any = any || !art->held[i];
        art->held[i] = true;
        art->blamed[i] += art->blamed[i] < BLAMED_MOST;
    }
    return any;
}

void nw_repair_hold(nw_repair *r, const nw_fit *after, const nw_spot *spot, double reach)
{
    nw_step_place ends[2];
    spot_ends(r, spot, ends);
    /* What is refused must cost nothing: none of the spot's walls is to be made wide. */
    nw_moving_art_leave(r->art, true, after, spot, MOUTH_BITS * r->wanted[spot->side]);
    int before = 0;
    for (int j = 0; j < 2; j++)
        if (ends[j].step != SIZE_MAX && r->art->blamed[ends[j].step] > before)
            before = r->art->blamed[ends[j].step];
    reach = fmax(reach, ldexp(r->least[NW_GAP], before / 2));
    double most = ldexp(reach, FARTHER);
    while (!about_hold(r, spot, ends, reach) && reach < most)
        reach *= 2;
}
