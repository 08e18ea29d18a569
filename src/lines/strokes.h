/* Lines on their way from chords to curves. Internal to the folder. */
#ifndef NARROWS_STROKES_H
#define NARROWS_STROKES_H

#include <lines/ribbon.h>

/* A place on the middle. */
typedef struct {
    nw_point at;
    double width; /* of the line there */
    bool sharp;   /* the middle turns on the spot */
} nw_stroke_spot;

/* One end of a stroke. */
typedef struct {
    size_t junction; /* its node's cluster, NOWHERE at a free end and in a ring */
    bool fixed;      /* it ends in its tip, where the line leads into a wide part */
    nw_point tip;    /* where its chords end; at a free end the ink's outermost place */
    nw_point near;   /* from here the line is straight towards its end */
    nw_point way;    /* direction, outwards; 0, 0 when the line is too short to tell */
    double bow;      /* how it leaves that line: this times the distance squared, to the left */
    size_t beyond;   /* spots between there and the end */
    size_t next;     /* stroke end (2 stroke + end) that carries it on, or NOWHERE */
} nw_stroke_end;

/* The point in which the lines of a junction meet. */
typedef struct {
    nw_point at;
    bool straight; /* its lines go there straight */
    bool pinned;   /* it is given by a wide part's outline */
} nw_meeting;

/* The middle of one branch. */
typedef struct {
    nw_stroke_spot *spots;
    size_t count, capacity;
    nw_stroke_end ends[2];
    double width; /* of the line */
    bool ring;
    bool used; /* it is part of a path, or of none */
} nw_stroke;

typedef struct {
    nw_stroke *strokes;
    size_t count;
    nw_meeting *meetings; /* of each node that stands for a junction */
    size_t node_count;
    const nw_segment_tree *tree; /* of the region's edges */
    double width;                /* of the piece's lines */
} nw_stroke_set;

/* Adds the branch's places, one for each bend that turns on the spot, to a stroke whose width and
 * ring are set. tree: of the region's edges. (line_bends.c) */
bool nw_stroke_from_branch(const nw_ribbon_branch *b, const nw_segment_tree *tree, nw_stroke *s);

/* The spot that is k from the stroke's end. */
nw_stroke_spot *nw_spot_at(const nw_stroke *s, int end, size_t k);

/* Finds where the stroke is undisturbed near its end, at least `away` widths from it, and which way
 * it goes there. (stroke_heading.c) */
void nw_end_look(nw_stroke *s, int end, double away);
bool nw_has_way(const nw_stroke_end *e);

/* Where the stroke comes to at `t` ahead of that place, and which way it goes there.
 * (stroke_heading.c) */
nw_point nw_end_ahead(const nw_stroke *s, int end, double t, nw_point *way);

/* Finds the junctions' points, putting junctions together whose points fall together; strokes
 * between those are used up. (line_meetings.c) */
bool nw_meetings_settle(nw_stroke_set *set);

/* Lets strokes end where they should: at their junctions' meeting points or half a width before
 * the ink's end. (stroke_ends.c) */
bool nw_strokes_end(nw_stroke_set *set);

/* Strokes that carry one another on become one path each. (stroke_joints.c) */
bool nw_strokes_write(nw_stroke_set *set, size_t piece, nw_drawing *out);

#endif
