/* Uniting painted shapes into one clean drawing: what unite.c gives to the rest of the folder, and
 * what its own files share. Nothing outside the folder includes this. */
#ifndef NARROWS_UNITE_INTERNAL_H
#define NARROWS_UNITE_INTERNAL_H

#include <geom/geom.h>

typedef enum {
    PAINT_INK,   /* adds its area */
    PAINT_PAPER, /* takes its area away from what was painted before */
} nw_paint_kind;

/* One filled shape. Its paths hold lines and curves; each is taken as closed by a straight line
 * from its end to its start. They may cross themselves and one another. */
typedef struct {
    nw_drawing outline;
    bool even_odd; /* else the nonzero winding rule */
    nw_paint_kind paint;
    size_t clip; /* 0: none, else 1 + index into shape_list.clips */
} nw_paint_shape;

typedef struct {
    nw_paint_shape *items;
    size_t count, capacity;
} nw_paint_shapes;

/* A clip is the united area of its shapes, cut by its parent's. Parents come before children. */
typedef struct {
    nw_paint_shapes shapes;
    size_t parent; /* as paint_shape.clip */
} nw_paint_clip;

typedef struct {
    nw_paint_shapes shapes; /* in paint order, the first at the bottom */
    nw_paint_clip *clips;
    size_t clip_count, clip_capacity;
    nw_box page; /* how far art can be seen: only sets the fineness; empty (min > max): no page */
    size_t most_points; /* of all chords; 0: as many as memory bears */
} nw_painting;

/* Takes over *shape; false, *shape untouched, when memory runs out. */
bool nw_paint_shapes_add(nw_paint_shapes *shapes, nw_paint_shape *shape);
void nw_paint_shapes_free(nw_paint_shapes *shapes);
void nw_painting_free(nw_painting *all);

/* The area that stays painted, as one clean drawing: no crossings, ink to the left, pieces grouped.
 * Curves that nothing crosses come back as they were; where something does, they are split there.
 * clipped_away (may be NULL) counts ink shapes of which a clip took everything. */
nw_status nw_painting_unite(const nw_painting *all, nw_drawing *drawing, size_t *clipped_away,
                            nw_error *error);

/* The same for one drawing whose paths cross, e.g. by tracing or smoothing: what lies inside by
 * the nonzero winding rule (holes clockwise) becomes the ink. from and drawing may be the same. */
nw_status nw_drawing_unite(const nw_drawing *from, nw_drawing *drawing, nw_error *error);

/* ---- chords (chords.c): curves as chords that remember where they came from ---------------- */

typedef struct {
    nw_point from;
    nw_step step;
    size_t first, count; /* its vertices: count - 1 chords, equally spaced in the parameter */
} chord_step;

typedef struct {
    double grid;     /* vertices lie on whole multiples of it */
    double flatness; /* how far a chord may leave its curve */
    size_t most;     /* vertices allowed */
    chord_step *steps;
    size_t step_count, step_capacity;
    nw_point *vertices;
    size_t *vertex_steps; /* the step each vertex belongs to */
    size_t vertex_count, vertex_capacity, owner_capacity;
    size_t *slots, *next; /* vertices by place, once indexed */
    size_t slot_count;
} chord_list;

void nw_chords_free(chord_list *chords);

/* Adds a path's steps and a closing line if it needs one; *first_step and *count tell which. */
nw_status nw_chords_add(chord_list *chords, const nw_path *path, size_t *first_step, size_t *count,
                        nw_error *error);

/* Makes the index that nw_chords_restore needs. */
nw_status nw_chords_index(chord_list *chords, nw_error *error);

/* A closed ring of count places (the last not repeated) -> a path whose stretches along one
 * curve's chords are that curve's exact part again. */
nw_status nw_chords_restore(const chord_list *chords, const nw_point *ring, size_t count,
                            nw_path *path, nw_error *error);

/* ---- winding (winding.c): how often closed chains of points go round a place ---------------- */

typedef struct {
    const nw_point *points; /* rings one after another */
    size_t *edges;          /* start index of an edge, grouped by strip */
    size_t *edge_ends;      /* where the edge that starts at a point ends */
    size_t *strips;         /* strip_count + 1 offsets into edges */
    size_t strip_count;
    double bottom, strip_height;
} winding_index;

/* points stays the caller's. starts: ring_count + 1 offsets of the rings. */
nw_status nw_winding_index_make(const nw_point *points, const size_t *starts, size_t ring_count,
                                winding_index *index, nw_error *error);
int nw_winding_at(const winding_index *index, nw_point place);
void nw_winding_index_free(winding_index *index);

#endif
