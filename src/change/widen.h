/* Widening, inside: the walls of a residue, and the lines that a disc must run along. Internal. */
#ifndef NARROWS_FIT_WIDEN_H
#define NARROWS_FIT_WIDEN_H

#include <change/change.h>

/* A stretch of a border from station to station (from < to; to goes beyond the ring's length where
 * it passes the ring's start), or a whole ring. One of the walls of a place. */
typedef struct {
    uint32_t ring;
    double from, to;
    bool whole;
    nw_point before, after; /* unless whole: centres of the discs that touch its ends */
    size_t spot;            /* the place it belongs to */
    bool dead_ends; /* discs that touch this wall twice count too: a stub or a miss is opened */
    bool once;      /* of those, only where it is widest: one place for the disc is enough */
    bool has_tip;
    nw_point tip; /* the wide disc must not reach beyond it */
    bool miss;    /* the place is a whole island */
} nw_flank;

typedef struct {
    nw_flank *items;
    size_t count, capacity;
    size_t *sorted; /* by ring, then by where they begin; for nw_flank_at */
    double *reach;  /* of each of these: how far it and those of its ring before it go */
} nw_flanks;

#define NW_NO_RING UINT32_MAX

/* What a side is widened by, and what must be left of the other one. */
typedef struct {
    const nw_border *area;            /* what becomes wider */
    const nw_border *other;           /* what it is taken from */
    const nw_flanks *walls;           /* of all places to widen, on the area */
    const nw_flanks *strips;          /* walls of what is, or may become, thin of the other side */
    uint32_t area_sheet, other_sheet; /* rings that are the sheet's edge, or NW_NO_RING */
    double radius;                    /* of the disc that must pass, ease included */
    double least;                     /* what must stay of the other side */
} nw_moving;

/* What moving found out about a place. */
typedef struct {
    bool tight;    /* not enough stock on either side at some point of it */
    double factor; /* then: the size at which there would be */
} nw_moved;

/* ---- walls (widen_walls.c) ------------------------------------------------------------------- */

/* The walls of the closed residue paths [first, first + count), each like the given one in all but
 * its place. */
nw_status nw_flanks_add(const nw_border *area, const nw_drawing *residues, size_t first,
                        size_t count, const nw_flank *like, nw_flanks *walls, nw_error *error);
void nw_flanks_free(nw_flanks *walls);

/* Once all are added: makes them ready to be asked by nw_flank_at. */
nw_status nw_flanks_sort(nw_flanks *walls, nw_error *error);

/* Is the station on the wall? *along: brought into the wall's own range. */
bool nw_flank_has(const nw_border *area, const nw_flank *wall, uint32_t ring, double station,
                  double *along);

/* The first wall that has the station; SIZE_MAX: none. */
size_t nw_flank_at(const nw_border *border, const nw_flanks *walls, uint32_t ring, double station);

/* Station of a point on the border where the border runs in the given direction: outlines may
 * touch, and the direction tells which is meant. */
bool nw_station_find(const nw_border *area, nw_point p, nw_point direction, uint32_t *ring,
                     double *station);

/* Station of a point that lies on the segment. */
double nw_station_on(const nw_border *border, uint32_t segment, nw_point p);

/* ---- what stands behind (widen_spare.c) ------------------------------------------------------ */

/* How far the wall may move back at p, on a segment of the area with normal into it. Negative: it
 * has to stand back. Far more than any move where nothing thin stands behind. *shift, unless NULL:
 * how much further if the strip behind moves along. */
double nw_spare_behind(const nw_moving *m, nw_point p, nw_point normal, uint32_t segment,
                       double *shift);

/* ---- samples (widen_samples.c) --------------------------------------------------------------- */

/* A place of a wall, or beyond it, and the largest disc there. */
typedef struct {
    nw_point p, normal, centre;
    double station;
    double radius;  /* rho; R where the disc passes already */
    bool corner;    /* the walls of the two feet meet at a wide angle */
    double partner; /* station of the disc's other foot if that is on the same wall, else -1 */
    nw_point foot;  /* the other foot; p where the disc is not held */
    uint32_t segment, foot_segment;
    bool beyond;             /* not on the wall itself */
    bool counts;             /* its disc is part of the passage */
    bool tight;              /* or would be, if there were room */
    double lack, there_lack; /* by how much the disc keeps off this wall, and off the other */
    double lack_most, there_lack_most; /* and could at most; 0 where it is not held */
    double move;                       /* by how much this wall moves */
} nw_wall_sample;

typedef struct {
    nw_wall_sample *items; /* along the wall */
    size_t count, capacity;
} nw_wall_samples;

/* Samples of the wall, and up to `beyond` mm on from either end. False when memory runs out; the
 * samples are to be freed all the same. */
bool nw_wall_samples_make(const nw_moving *moving, const nw_flank *wall, double beyond,
                          nw_wall_samples *list);
void nw_wall_samples_free(nw_wall_samples *list);

#define NW_CLEAR_MM                                                                                \
    0.004 /* the disc is larger by this than it need be, so that edges cross cleanly */

/* ---- lines (widen_lines.c) ------------------------------------------------------------------- */

/* Adds the open lines that the disc has to run along for one wall; none where the wall is only that
 * of a dead end which stays, or where there is no room for it. */
nw_status nw_flank_lines(const nw_moving *moving, size_t wall, nw_drawing *lines, nw_moved *moved,
                         nw_error *error);

/* Is the miss a piece with a hole, as some letters are? Both outlines are dropped as one, and the
 * hole is nothing of its own. (moved.c) */
bool nw_miss_of_ring(const nw_fit *fit, const nw_spot *miss);

/* Which outline of the region is a miss of its fit, with shapes: for each ring the spot, or
 * SIZE_MAX. Of a miss that is a ring both are. (moved.c) */
nw_status nw_misses_rings(const nw_fit *fit, const nw_region *region, size_t *misses,
                          nw_error *error);

/* How far the outlines are from where they were, at most (moved.c). */
nw_status nw_outlines_moved(const nw_region *before, const nw_region *after, double *most,
                            nw_error *error);

typedef struct nw_repair nw_repair; /* repair.h */

#define NW_MOVE_MOST_BITS 1.6 /* what would have to move farther stays */
#define NW_SAME_WIDTH_MM 0.01 /* widths that differ by less are the same */

/* Work done and what may be, in products of two numbers or what takes as long, of which about two
 * thousand million take a second: the same on every machine. When it is used up, the best so far
 * stands. */
typedef struct {
    double done, most;
    double fitting; /* of it: the fits that there are whatever is done */
    bool stopped;   /* for that reason */
    bool strict;    /* nothing more is done then: what there is so far is no use */
    bool has_known; /* what leaves many more pinches than these is no use either */
    size_t known;
    /* For nw_work_tell: who is told, what is done, after how much else, and how much it may be. */
    const nw_fit_options *told;
    const char *stage;
    double before, whole;
} nw_work;

static inline void nw_work_tell(const nw_work *work)
{
    if (work->told && work->told->progress) {
        work->told->progress(work->told->progress_context, work->stage,
                             fmin((work->before + work->done) / work->whole, 1));
    }
}

#define NW_WORK_OVER 2e9 /* more than there was for it, at most, for what was begun */

static inline bool nw_work_spent(const nw_work *work)
{
    return work->done > work->most;
}

/* ---- the whole work (widen.c) ---------------------------------------------------------------- */

#define NW_MOST_TRIES 8 /* with more that stays each time */

/* Instead of a spot: an outline too small to be one, which is dropped. */
#define NW_DUST (SIZE_MAX - 1)

/* A place that was swept, and the spot of the first fit that it goes back to, which may lie far off
 * where the place is new. */
typedef struct {
    nw_point at;
    size_t origin;
} nw_swept_place;

typedef struct {
    nw_swept_place *items;
    size_t count, capacity;
} nw_swept_places;

typedef struct {
    const nw_widen_options *options;
    nw_widened *out;
    bool *refused;          /* for each spot before: left as it was */
    bool *yields;           /* the same: small, lost as a whole, and dropped to make way */
    nw_box *boxes;          /* of these, about their walls; NULL: not known */
    size_t *misses;         /* of each outline before: its spot as a whole, NW_DUST or SIZE_MAX */
    int tries;              /* how often places may be left out and all be done again */
    const nw_widened *only; /* about the unsolved places of this; NULL: everywhere */
    nw_drawing work;        /* the drawing as far as it is widened */
    nw_repair *moves;       /* the outlines' own nodes; NULL: not begun */
    nw_work *spent;
    double most, end;      /* work that moving may take; how much is done then */
    nw_swept_places swept; /* by the last sweeps */
    bool given_up;         /* so much stays that nothing is made wide */
    nw_error *error;
} nw_widening;

/* ---- places (widen_place.c) ------------------------------------------------------------------ */

/* Is spot i of the first fit, and what follows from it, one that is changed? */
bool nw_place_wanted(const nw_widening *w, size_t i);

/* Does the place lie within so many bits of a pinch that the result should not have? */
bool nw_place_beside_pinch(const nw_widening *w, size_t place, double bits);

/* Marks what is to yield to such pinches: what is kept though it is lost as a whole, of less than
 * half the disc's area, within a bit of one. Is there any more than was marked? */
bool nw_places_yield(const nw_widening *w, bool *yields);

/* Marks what yields before anything moves: such that bounds a pinch which is to be widened, and is
 * no longer than one and a half bits. Walls would move for what is lost even so. */
void nw_places_yield_first(const nw_widening *w, bool *yields);

/* Outlines that no spot is, since they are no larger than the fit takes for nothing, where they may
 * bound what is too narrow: marks them in the misses. */
void nw_places_dust(const nw_widening *w, const nw_region *region);

/* Is it one that is made wide enough, and not trimmed? */
bool nw_place_opened(const nw_widening *w, size_t i);

/* What becomes of such a spot where nothing is said of it alone; whether any of a form is made wide
 * enough, and whether anything is trimmed. */
nw_remedy nw_usual_remedy(const nw_widen_options *options, const nw_spot *spot);
bool nw_form_opened(const nw_widening *w, nw_form form);
bool nw_places_trimmed(const nw_widening *w);

/* The spot of the first fit that this later spot goes back to: the nearest of its side, else the
 * nearest of either; SIZE_MAX when there is none near. */
size_t nw_place_origin(const nw_widening *w, const nw_spot *spot, bool same_side);

/* The nearest of its side, else the nearest of either. */
size_t nw_place_later_origin(const nw_widening *w, const nw_spot *spot);

/* Is a spot of a later fit to be changed: it goes back to an allowed one, or is new and a
 * consequence of one that was. */
bool nw_place_later(const nw_widening *w, const nw_spot *spot);

/* What is to become of it. */
nw_remedy nw_place_later_remedy(const nw_widening *w, const nw_spot *spot);

/* Is the spot a miss that the drawing did not have, and more than dust? */
bool nw_place_lost(const nw_widening *w, const nw_spot *spot);

/* Is this spot of the result one that the drawing had and that stays as it is? */
bool nw_place_expected(const nw_widening *w, const nw_spot *spot);

/* Does it end blind, with much more lost than the bit's disc, where nothing did? Then a place that
 * was wide enough is no more. */
bool nw_place_new_loss(const nw_widening *w, const nw_spot *spot);

/* Is the place still there, as the later spot that goes back to this one (origin), or as part of
 * it? What is dropped does not move; what is to stay may be of another form now. */
bool nw_place_there(const nw_widening *w, size_t place, const nw_spot *later, size_t origin);

/* Distance of p from the walls of a spot's residue. */
double nw_residue_distance(const nw_fit *fit, const nw_spot *spot, nw_point p);

/* The spot of the wider fit that holds the ends of the pinch's shortest line on its walls, at least
 * one of them; SIZE_MAX when there is none. */
size_t nw_place_within(const nw_fit *wide, const nw_spot *spot);

/* ---- what moving could not do (widen_rest.c) ------------------------------------------------- */

/* Place k stays. */
void nw_place_refuse(nw_widening *w, size_t place);

/* Is the pinch of the result one that was there before, and no narrower? */
bool nw_pinch_no_narrower(const nw_fit *before, const nw_spot *spot);

/* How many of its spots are pinches. */
size_t nw_pinches_of(const nw_fit *fit);

/* Sweeps places that moving left, where nothing becomes worse by it; trims what is to be trimmed.
 */
nw_status nw_rest_sweep(nw_widening *w);

/* ---- one side (widen_side.c) ----------------------------------------------------------------- */

#define NW_FIT_WORK 2e4 /* of a point of the outlines that are fitted, as products */

/* The fit of a region as asked, with more added to the bit and to the least neck. */
nw_status nw_work_fit(const nw_widening *w, const nw_region *region, double more_bit,
                      double more_neck, nw_fit *fit);

/* The fit of the work as it stands; frees what after was. */
nw_status nw_result_fit(nw_widening *w, nw_fit *after);

/* Fits the work, and changes what is wanted of one side; *any tells whether anything was. */
nw_status nw_side_pass(nw_widening *w, nw_side side, double ease, bool *any);

/* ---- other sizes (widen_size.c) -------------------------------------------------------------- */

#define NW_LEAST_EASE_MM 0.01 /* the fit's own band is 0.005 */

/* With what is asked for, whatever it costs; tries and only as in nw_widening. Moving may take what
 * is left of the work. (widened.c) */
nw_status nw_widen_once(const nw_drawing *drawing, const nw_widen_options *options, int tries,
                        const nw_widened *only, nw_work *spent, nw_widened *widened,
                        nw_error *error);

/* nw_drawing_widen without looking at other sizes: opening what ends blind never leaves more than
 * keeping it. (widen_kept.c) */
nw_status nw_widen_here(const nw_drawing *drawing, const nw_widen_options *options, int tries,
                        const nw_widened *only, nw_work *spent, nw_widened *widened,
                        nw_error *error);

/* Could place i not be widened? */
bool nw_place_unsolved(const nw_widened *widened, size_t i);

/* For places that could not be widened, finds the size at which they can: notes get NW_CONFLICT
 * and the factor, or NW_STUCK where nothing up to nearly four times the size helps. Work on no
 * other size is begun after NW_SIZES_MOST of it. */
#define NW_SIZES_MOST 3e9
nw_status nw_sizes_try(const nw_drawing *drawing, const nw_widen_options *options, nw_work *spent,
                       nw_widened *w, nw_error *error);

#endif
