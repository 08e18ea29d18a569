/* Drawings as chords that remember curve and parameter, and regions built point by point. */
#ifndef NARROWS_GEOM_FLATTENING_H
#define NARROWS_GEOM_FLATTENING_H

#include <geom/box_tree.h>

/* Adds an empty ring of the piece; points then go to it one by one. False: out of memory. */
typedef struct {
    nw_region region;
    size_t point_count, point_capacity, start_capacity, piece_capacity;
} nw_region_builder;

bool nw_region_begin_ring(nw_region_builder *builder, size_t piece);
bool nw_region_add_point(nw_region_builder *builder, nw_point point);

/* Closes the last ring: drops points nearer than NW_SAME_MM to the one before, and the whole ring
 * when fewer than three remain. */
void nw_region_end_ring(nw_region_builder *builder);

/* A place on a drawing: a step, counted through all paths, and its parameter from 0 to 1. */
typedef struct {
    size_t step;
    double t;
} nw_step_place;

typedef struct {
    size_t i, j; /* chords, by the points that they begin at */
} nw_crossing;

typedef struct {
    nw_crossing *items;
    size_t count, capacity;
} nw_crossings;

/* A drawing's chords before any is cut finer, and which steps have chords that cross others. */
typedef struct {
    const nw_drawing *drawing; /* the caller's */
    double flatness;
    nw_region region;
    nw_step_place *places; /* where the region's points lie */
    nw_segment_tree tree;
    uint8_t *crossed; /* by step */
    size_t crossings;
} nw_first_chords;

nw_status nw_first_chords_make(nw_first_chords *first, const nw_drawing *drawing, double flatness,
                               nw_error *error);
void nw_first_chords_free(nw_first_chords *first);

/* nw_drawing_flatten_places from there, with at least one round; the crossings that remain after
 * two rounds or more also as pairs, if not NULL. Where nothing crosses, or with one round, region
 * and places are first's own, which it no longer has then. */
nw_status nw_first_chords_part(nw_first_chords *first, int rounds, nw_region *region,
                               nw_step_place **places, nw_crossings *pairs, size_t *crossings,
                               nw_error *error);

/* nw_drawing_flatten, with crossing chords cut finer in up to `rounds` - 1 rounds (0: not looked
 * for, and crossings may be NULL), telling how many crossings remain because the curves themselves
 * cross, and in places (may be NULL; to be freed) where each point lies. */
nw_status nw_drawing_flatten_places(const nw_drawing *drawing, double flatness, int rounds,
                                    nw_region *region, nw_step_place **places, size_t *crossings,
                                    nw_error *error);

/* nw_drawing_flatten with the places (may be NULL; to be freed) on *own, which is to be freed too:
 * a copy of the drawing, taken apart where curves truly cross. */
nw_status nw_drawing_flatten_own(const nw_drawing *drawing, double flatness, nw_drawing *own,
                                 nw_region *region, nw_step_place **places, nw_error *error);

/* nw_drawing_uncross of a drawing whose chords are known, at their flatness. *apart: no chord of
 * what came of it crosses another, even before any is cut finer. (uncross.c) */
nw_status nw_drawing_uncross_from(nw_drawing *drawing, nw_first_chords *first, size_t *left,
                                  bool *apart, nw_error *error);

#endif
