/* Repair by moving the outline's own nodes and handles, inside. Internal. */
#ifndef NARROWS_CHANGE_REPAIR_H
#define NARROWS_CHANGE_REPAIR_H

#include <change/repair_forms.h>
#include <change/widen.h>
#include <geom/geom.h>

/* ---- the outlines' own points (repair_art.c) ------------------------------------------------- */

/* A step of the drawing, by its points: numbers of nodes and handles. */
typedef struct {
    uint32_t path, step;
    uint32_t from, a, b, to; /* a and b: NW_HELD for a line */
    bool curve;
} nw_moving_art_step;

#define NW_ART_PARTS 64 /* of a step that marks tell apart */
#define NW_ART_GROUP 32 /* steps that are passed over together where their box is far off */

/* What is known of the places along a step on one side. */
typedef struct {
    uint64_t wanted; /* to be made wide */
    uint64_t chosen; /* of these, what was too narrow at first; the rest came about by the moves */
    uint64_t left;   /* too narrow, and stays so */
} nw_moving_art_marks;

/* The drawing's closed outlines as polygons, with the place of each point, and where the outlines
 * cross. */
typedef struct {
    nw_region region;
    nw_step_place *places;
    nw_crossings crossings;
    nw_point *moves; /* of the art's points, as they were for it */
} nw_moving_art_flat;

/* A turn, or one that mirrors, as a matrix. */
typedef struct {
    double xx, xy, yx, yy;
} nw_turn;

typedef struct {
    nw_drawing drawing;        /* as it was, without what is dropped */
    nw_moving_art_step *steps; /* of all paths */
    size_t step_count;
    nw_point *points; /* as they were */
    nw_point *rests;  /* where they are at rest: there, but for a tip's cap */
    size_t point_count;
    uint32_t *unknown;             /* of point i: its first unknown, or NW_HELD */
    uint32_t *like;                /* of point i: the one of which it is a copy, or itself */
    nw_turn *turns;                /* of point i: its move is this times its unknowns */
    bool *rigid, *frozen;          /* of the drawing's paths: moves as a whole only; stays */
    bool *held;                    /* of steps: stay, for there is no room to move */
    uint8_t *blamed;               /* of steps: how often places beside them came out badly */
    uint8_t *pressed;              /* of steps: how often conditions there got more force */
    bool *crossed;                 /* of steps: cross another as they were */
    nw_box *boxes, *moved_boxes;   /* of steps, as they were, and with the moves */
    nw_box *groups, *moved_groups; /* of NW_ART_GROUP steps each, one after the other */
    nw_point *kept;                /* moves, while unknowns are numbered anew */
    bool sparing;                  /* long outlines and lines are dear to move */
    double *stiff;                 /* of point i: how many times dearer its moves are */
    size_t unknowns;               /* of points */
    double *x;                     /* moves; the points' first */
    nw_moving_art_marks *marks[2]; /* by side, then by step */
    nw_moving_art_flat flat;       /* as it was flattened last */
} nw_moving_art;

/* Takes over *drawing. */
nw_status nw_moving_art_make(nw_drawing *drawing, nw_moving_art *art, nw_error *error);
void nw_moving_art_free(nw_moving_art *art);

/* Takes the boxes of all steps with the moves. */
void nw_moving_art_boxes(nw_moving_art *art);

/* The box of a step as it was, or with the moves when they were taken; of a spot's walls. */
nw_box nw_moving_art_box(const nw_moving_art *art, size_t step, bool moved);

/* The first step, from this one on, whose box comes within reach of the other; step_count: none. */
size_t nw_moving_art_meeting(const nw_moving_art *art, size_t from, bool moved, nw_box box,
                             double reach);
nw_box nw_spot_box(const nw_fit *fit, const nw_spot *spot);

/* Places of the outlines, with the moves or as they were, that lie within reach of the walls of a
 * spot of this fit stay as they are: they are wanted no more. Were any?
 * (repair_holds.c) */
bool nw_moving_art_leave(nw_moving_art *art, bool moved, const nw_fit *fit, const nw_spot *spot,
                         double reach);

nw_point nw_moving_art_move(const nw_moving_art *art, uint32_t point);
/* The same, into its unknowns. (repair_freedom.c) */
void nw_moving_art_move_set(nw_moving_art *art, uint32_t point, nw_point move);
/* Where a place of a step was, and where it is with the moves. */
nw_point nw_moving_art_was(const nw_moving_art *art, nw_step_place place);
nw_point nw_moving_art_is(const nw_moving_art *art, nw_step_place place);

/* How wide it was, mm, between the walls on which the two places lie: less than from place to place
 * where one wall has slid along the other. */
double nw_moving_art_width_was(const nw_moving_art *art, nw_step_place a, nw_step_place b);

/* The end of the outline that begins with step `first`. */
uint32_t nw_moving_art_outline_end(const nw_moving_art *art, uint32_t first);

/* Is the step so short that it is a point between its neighbours? The step that follows in
 * the outline, such ones passed over. */
bool nw_moving_art_speck(const nw_moving_art *art, const nw_moving_art_step *step);
uint32_t nw_moving_art_next(const nw_moving_art *art, uint32_t step);

/* The step before it, and the one after it, such ones too. */
uint32_t nw_moving_art_last(const nw_moving_art *art, uint32_t step);
uint32_t nw_moving_art_following(const nw_moving_art *art, uint32_t step);

/* Where a point is at rest: as it was if it may not move. */
nw_point nw_moving_art_rest(const nw_moving_art *art, uint32_t point);
nw_point nw_moving_art_rests(const nw_moving_art *art, nw_step_place place);

/* Is the step a curve that is drawn as a line? */
bool nw_moving_art_straight(const nw_moving_art *art, const nw_moving_art_step *step);

/* Adds the share of a point's move along `by` to the last form. */
void nw_moving_art_term(const nw_moving_art *art, nw_forms *forms, uint32_t point, nw_point by);

/* The same of how far the point is from where it is at rest. */
void nw_moving_art_rest_term(const nw_moving_art *art, nw_forms *forms, uint32_t point,
                             nw_point by);

/* The weights of a step's from, a, b and to at t. */
void nw_moving_art_weights(const nw_moving_art_step *step, double t, double weights[4]);

/* The drawing with the moves. */
nw_status nw_moving_art_draw(const nw_moving_art *art, nw_drawing *drawing, nw_error *error);

/* The outlines with the moves; to be read until the next call, which makes them anew only where a
 * move is another. */
nw_status nw_moving_art_flatten(nw_moving_art *art, const nw_moving_art_flat **flat,
                                nw_error *error);

/* The place that is nearest to p with the moves, within reach: step SIZE_MAX where there is none.
 */
nw_step_place nw_moving_art_nearest(const nw_moving_art *art, nw_point p, double reach);

/* ---- what is near (repair_groups.c) -----------------------------------------------------------
 */

/* A step of a group, or one that does not move and is within reach of it. */
typedef struct {
    uint32_t group, step;
} nw_group_member;

typedef struct {
    nw_group_member *items; /* by group, then by step */
    size_t count, capacity;
} nw_group_members;

int nw_by_group_member(const void *one, const void *other);

/* Groups of steps that may move, near, each within reach of another of its group; tree: of the
 * steps' boxes as they were. False when memory runs out; the members are to be freed in any case.
 */
bool nw_moving_groups_find(const nw_moving_art *art, const nw_tree *tree, const bool *near,
                           double reach, nw_work *spent, nw_group_members *members);

/* ---- what is alike (repair_copies.c) --------------------------------------------------------- */

/* Finds which points are copies of one another, as far as what moves and what is within reach of it
 * is alike; near: of steps, those that may move. sheet may be NULL. */
nw_status nw_moving_art_find_copies(nw_moving_art *art, const bool *near, double reach,
                                    const nw_box *sheet, nw_work *spent, nw_error *error);

/* ---- crossings (repair_crossings.c) ---------------------------------------------------------- */

/* Marks steps that cross one another, or the edge of the sheet, which may be NULL, with the moves;
 * counts the places. */
nw_status nw_moving_art_crossings(nw_moving_art *art, const nw_box *sheet, bool *crossed,
                                  size_t *count, nw_error *error);

/* Finds which steps cross as they were. */
nw_status nw_moving_art_find_crossed(nw_moving_art *art, nw_error *error);

/* Takes moves back towards those before, which made none cross, where outlines cross or leave the
 * sheet, which may be NULL. */
nw_status nw_moving_art_uncross(nw_moving_art *art, const nw_box *sheet, const double *before,
                                nw_work *spent, nw_error *error);

/* ---- walls of legs (repair_legs.c) ----------------------------------------------------------- */

/* A place of a wall: on a step of its path; along: from the wall's first place, mm. */
typedef struct {
    nw_point at;
    size_t step;
    double t, along;
} nw_leg_place;

#define NW_LEG_PLACES 256
typedef struct {
    nw_leg_place items[NW_LEG_PLACES];
    size_t count;
    bool goes_on; /* farther than was looked */
} nw_leg_wall;

/* The outline from a node on, or back, for some widths; corners within `free` of the node are part
 * of it. */
void nw_leg_wall_make(const nw_path *path, size_t node, bool forward, double wide, double free,
                      nw_leg_wall *wall);

/* The first place that is so far along; the last one where none is. */
size_t nw_leg_wall_at(const nw_leg_wall *wall, double along);

/* The wall's way there, towards its first place. */
nw_point nw_leg_wall_way(const nw_leg_wall *wall, size_t at);
double nw_leg_wall_distance(const nw_leg_wall *wall, nw_point p);

/* ---- tips that are opened (repair_tips.c, repair_caps.c) ---------------------------------------
 */

/* A tip whose steps have become two curves. */
typedef struct {
    uint32_t path, first, count; /* in the drawing, with what is left of the walls' last steps */
    uint32_t step;               /* the first of the two */
    nw_side side;
    double radius;
    nw_step *was; /* what was there */
    size_t was_count;
} nw_cap;

typedef struct {
    nw_cap *items;
    size_t count, capacity;
} nw_caps;

/* Makes such of all tips of the drawing that are opened; wanted: widths by side. */
nw_status nw_caps_put(const nw_widening *widening, const double wanted[2], nw_drawing *drawing,
                      nw_caps *caps, nw_error *error);
void nw_caps_free(nw_caps *caps);

/* Tells the art, which was made of that drawing, where they and their walls are at rest, and that
 * they are wanted. Those that would cross there, or leave the sheet, which may be NULL, rest where
 * they were. */
nw_status nw_caps_rest(const nw_caps *caps, const nw_box *sheet, nw_moving_art *art,
                       nw_error *error);

/* Puts back in the drawing with the moves what was there, where nothing of a cap has moved. */
nw_status nw_caps_restore(const nw_caps *caps, const nw_moving_art *art, nw_drawing *drawing,
                          nw_error *error);

/* ---- energy (repair_energy.c, repair_arcs.c) ------------------------------------------------- */

#define NW_EDGE_MM 0.02 /* what is so near to an edge of the art's box lies on it */

typedef struct {
    const nw_moving_art *art;
    nw_box box; /* of the art at rest */
    nw_forms *forms;
    double bit;
    size_t unknowns;
} nw_energy;

/* Is the step a curve, and neither straight nor an arc of a circle? */
bool nw_is_free_curve(const nw_energy *energy, uint32_t step);

/* Adds what circles and rigid outlines cost, with unknowns of their own. */
nw_status nw_arcs_add(nw_energy *energy, nw_error *error);
void nw_rigid_add(nw_energy *energy);

/* ---- shifts of whole outlines (repair_shifts.c) -----------------------------------------------
 */

/* Of a path of the drawing. */
typedef struct {
    uint32_t unknown;  /* the first of its shift, beyond its piece's; NW_HELD: none of its own */
    uint32_t of_piece; /* of a hole: the outline of the piece that has it; NW_HELD: none */
    nw_point so_far;   /* how far it has shifted, as a whole, so far */
} nw_shift;

/* Adds what the shifts of all paths cost, with unknowns of their own, and returns them, to be freed
 * by the caller; NULL: memory ran out. */
nw_shift *nw_shifts_add(nw_energy *energy);

/* Takes the shift of a path along `by` from the last form. */
void nw_shifts_term(const nw_shift *shifts, nw_forms *forms, uint32_t path, nw_point by);

/* The points that are this step's alone; their count. */
int nw_step_points(const nw_moving_art_step *step, uint32_t points[3]);

/* What such a move weighs. */
double nw_move_weight(nw_point move, double bit);

/* Forms for all free points; unknowns of circles come after the art's own. settled: the moves are
 * to stay about as they are. */
nw_status nw_moving_art_energy(const nw_moving_art *art, double bit, bool settled, nw_forms *energy,
                               size_t *unknowns, nw_error *error);

/* ---- conditions (repair_pairs.c) ------------------------------------------------------------- */

struct nw_repair {
    const nw_widening *widening;
    nw_moving_art *art;
    nw_caps caps;
    double wanted[2], least[2]; /* by side: what chosen places get, and what is enough */
    int round;
    nw_work *spent;
    bool last; /* one round must be, for what stays since may have let go what moved for its sake */
    size_t failing;  /* places too narrow, on the outlines as the last conditions found them */
    bool *left;      /* of places: stay all along, as their walls are marked */
    bool *marked;    /* of places: stay, and their walls are marked so */
    bool pressing;   /* the next rounds go on from where it is, and change little else */
    bool relabel;    /* the next conditions mark what is left as it was */
    nw_point *moves; /* of the art's points, in what was drawn last; NULL: nothing was */
};

/* Pairs of places on two segments, one after the other: their last condition, and how many they
 * are; 0: of others nothing follows from theirs. */
typedef struct {
    uint32_t one, other;
    size_t last, count;
    bool guard;
} nw_pair_run;

/* One side of the outlines as they stand. */
typedef struct {
    nw_repair *repair;
    nw_forms *conditions;
    nw_side side;
    const nw_border *border;
    const nw_fit *wide; /* at the wanted sizes */
    bool reversed;
    nw_step_place *places; /* of the border's points; step SIZE_MAX: the sheet's edge */
    double *area;          /* twice, up to each point, from its ring's first */
    nw_flanks walls;
    bool *wanted, *left; /* of the wide fit's spots: to be made wide; part of it stays */
    double spacing;
    nw_pair_run run;
    nw_error *error;
} nw_pair_side;

/* Fills in places, area, walls and wanted; to be freed in any case. (repair_sides.c) */
nw_status nw_pair_side_make(nw_pair_side *side, const nw_region *region, const nw_step_place *of);
void nw_pair_side_free(nw_pair_side *side);

/* The place on the drawing after a share of a segment of the border. */
nw_step_place nw_pair_place(const nw_pair_side *side, uint32_t segment, double share);

/* What is known of a place's step, and the place's own mark there. */
nw_moving_art_marks *nw_pair_marks(const nw_pair_side *side, nw_step_place place);
uint64_t nw_mark_of(nw_step_place place);
bool nw_pair_wanted(const nw_pair_side *side, nw_step_place place);
bool nw_pair_left(const nw_pair_side *side, nw_step_place place);

/* Finds opposite places anew and adds a condition for each; counts what is failing. */
nw_status nw_repair_pairs(nw_repair *repair, nw_forms *conditions, nw_error *error);

/* ---- what may move (repair_freedom.c) -------------------------------------------------------- */

/* The sheet, whose edge nothing leaves; NULL: none. */
const nw_box *nw_repair_sheet(const nw_repair *repair);

/* Finds what is alike and is to come out alike. */
nw_status nw_repair_find_copies(nw_repair *repair, nw_error *error);

/* Numbers the unknowns of the points that may move; those that still may keep their moves. False
 * when memory runs out. */
bool nw_repair_free_points(nw_repair *repair);

/* ---- the whole (repair.c) -------------------------------------------------------------------- */

/* Pieces and holes that are to be dropped are left out of the outlines. */
nw_status nw_repair_make(const nw_widening *widening, const nw_drawing *drawing, nw_repair *repair,
                         nw_error *error);
void nw_repair_free(nw_repair *repair);

/* The drawing with its wanted places made wide by moving its own nodes; what is held stays. May be
 * called again once more is held, and goes on from where it was; the last time at least one round
 * is solved, whatever was spent. */
nw_status nw_repair_run(nw_repair *repair, const nw_widening *widening, bool last,
                        nw_drawing *repaired, nw_error *error);

/* What lies about where a spot of the result is narrowest stays as it was from now on, the more the
 * oftener that was so there, and at least within `reach`; the rest of its walls is no longer made
 * wide. */
void nw_repair_hold(nw_repair *repair, const nw_fit *after, const nw_spot *spot, double reach);

/* Walls of a pinch of the result get more force to part, and what is beside it more to stay as wide
 * as it is; false where all of them had it already, or are to stay. */
bool nw_repair_press(nw_repair *repair, const nw_fit *after, const nw_spot *spot);

/* Takes all that force back. */
void nw_repair_unpress(nw_repair *repair);

/* Takes the moves as they are drawn, once that is what was drawn before. */
void nw_repair_return(nw_repair *repair);

/* An outline of which all is lost with the moves, and was not before, moves as a whole only from
 * now on; false where it did already, or the spot is no whole outline. */
bool nw_repair_keep_form(nw_repair *repair, const nw_spot *lost);

/* So does what has moved too far; false where nothing has. */
bool nw_repair_hold_far(nw_repair *repair);

/* The drawing with the moves; nothing of a cap is left where it has not moved. */
nw_status nw_repair_draw(const nw_repair *repair, nw_drawing *drawing, nw_error *error);

/* ---- tries (widen_tries.c) ------------------------------------------------------------------- */

/* Moves, and again with more and more that stays, until nothing is there that should not be. */
nw_status nw_moves_try(nw_widening *widening, const nw_drawing *drawing);

/* Moves once, where few places are to be widened, so that little of the art moves; *done: it came
 * to all that was wanted. Else all is to be tried afresh. */
nw_status nw_moves_spare(nw_widening *widening, const nw_drawing *drawing, bool *done);

/* ---- moves that come to nothing (repair_undo.c) ---------------------------------------------- */

#define NW_FEW_PINCHES 4 /* that stay say nothing of the whole drawing */

/* Marks places that are still there, as the last fit has it. */
void nw_places_there(const nw_widening *w, bool *there);

/* Takes back what moved for places that are still there all the same: no wall moves for nothing,
 * and where a third of the pinches stays none moves for the others. */
nw_status nw_repair_undo(nw_widening *widening, const nw_drawing *drawing);

/* Is this outline, a ring of the drawing as it was flattened, that of a whole piece or hole that is
 * lost and to be left out? */
bool nw_ring_dropped(const nw_widening *widening, size_t ring);

/* Does the spot of the result lie where walls stayed? Was the place wider between the ends of its
 * shortest line? */
bool nw_repair_stayed(const nw_repair *repair, const nw_spot *spot);
bool nw_repair_narrowed(const nw_repair *repair, const nw_spot *spot);

#endif
