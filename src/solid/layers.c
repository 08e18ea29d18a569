/*
 * layers: faces, and the shapes whose outlines bound them -> which faces stay ink.
 *
 * A walk from face to face across edges, from outside all, keeps how often each shape's outlines go
 * round the current face, and takes each change back on its way back. The topmost shape that covers
 * a face, where its clips are open, decides. So one arrangement does for all fill rules, paint
 * orders and clips.
 */
#include <solid/arrange.h>

#include <stdlib.h>

typedef struct {
    nw_arrangement *all;
    const nw_painting *painting;
    const nw_paint_shape **shapes; /* the painted ones, then those of the clips */
    uint32_t *clip_first;          /* the number of each clip's first shape */
    int32_t *winding;
    uint32_t *covering; /* painted shapes that cover the face, in any order */
    uint32_t *place;    /* of each shape in covering, NW_NONE: not there */
    uint32_t covering_count;
    uint32_t *clip_face; /* the face for which clip_open was last found, plus 1 */
    bool *clip_open;
    bool *covered, *shown; /* of painted shapes: anywhere at all, anywhere with their clips */
    uint32_t *sides, *side_first; /* half-edges by face */
    bool *been;                   /* in each face */
    uint32_t *way;                /* half-edges that were crossed, from outside to here */
} walk;

/* ---- one face -------------------------------------------------------------------------------- */

static bool is_covered(const walk *w, uint32_t shape)
{
    return w->shapes[shape]->even_odd ? w->winding[shape] % 2 != 0 : w->winding[shape] != 0;
}

/* clip as nw_paint_shape.clip; clips refer to earlier ones only. */
static bool is_open(walk *w, size_t clip, uint32_t face)
{
    if (!clip) {
        return true;
    }
    const nw_paint_clip *own = &w->painting->clips[clip - 1];
    if (w->clip_face[clip - 1] != face + 1) {
        bool open = false;
        for (uint32_t i = 0; i < own->shapes.count && !open; i++) {
            open = is_covered(w, w->clip_first[clip - 1] + i) &&
                   is_open(w, own->shapes.items[i].clip, face);
        }
        w->clip_open[clip - 1] = open && is_open(w, own->parent, face);
        w->clip_face[clip - 1] = face + 1;
    }
    return w->clip_open[clip - 1];
}

static bool is_ink(walk *w, uint32_t face)
{
    uint32_t top = NW_NONE;
    for (uint32_t i = 0; i < w->covering_count; i++) {
        uint32_t shape = w->covering[i];
        w->covered[shape] = true;
        if (is_open(w, w->shapes[shape]->clip, face)) {
            w->shown[shape] = true;
            top = top == NW_NONE || shape > top ? shape : top;
        }
    }
    return top != NW_NONE && w->shapes[top]->paint == PAINT_INK;
}

static void shape_turn(walk *w, uint32_t shape, int change)
{
    w->winding[shape] += change;
    bool covers = shape < w->painting->shapes.count && is_covered(w, shape);
    uint32_t place = w->place[shape];
    if (covers && place == NW_NONE) {
        w->place[shape] = w->covering_count;
        w->covering[w->covering_count++] = shape;
    } else if (!covers && place != NW_NONE) {
        uint32_t last = w->covering[--w->covering_count];
        w->covering[place] = last;
        w->place[last] = place;
        w->place[shape] = NW_NONE;
    }
}

/* From the left of the half-edge to its right. */
static void half_cross(walk *w, uint32_t half)
{
    const nw_arrangement *all = w->all;
    const nw_edge *edge = &all->edges[half >> 1];
    for (uint32_t i = edge->first; i < edge[1].first; i++) {
        uint32_t member = all->members[i];
        bool along = (member & 1) == (half & 1);
        shape_turn(w, all->steps[all->chords[member >> 1].step].shape, along ? -1 : 1);
    }
}

/* ---- all faces ------------------------------------------------------------------------------- */

static void faces_walk(walk *w)
{
    nw_arrangement *all = w->all;
    uint32_t depth = 0, face = 0;
    w->been[0] = true;
    /* side_first moves on to the next face's as sides are done. */
    for (;;) {
        if (w->side_first[face] < w->side_first[face + all->face_count + 1]) {
            uint32_t half = w->sides[w->side_first[face]++];
            uint32_t beyond = all->face[half ^ 1];
            if (!w->been[beyond]) {
                w->been[beyond] = true;
                half_cross(w, half);
                w->way[depth++] = half;
                face = beyond;
                all->ink[face] = is_ink(w, face);
            }
        } else if (depth) {
            half_cross(w, w->way[--depth] ^ 1);
            face = all->face[w->way[depth]];
        } else {
            return;
        }
    }
}

/* Half-edges by face: those of face f begin at side_first[f] and end at the second half's [f]. */
static bool sides_make(walk *w)
{
    const nw_arrangement *all = w->all;
    size_t halves = 2 * all->edge_count, faces = all->face_count;
    w->sides = nw_alloc(halves, sizeof *w->sides);
    w->side_first = nw_alloc(2 * faces + 1, sizeof *w->side_first);
    if (!w->sides || !w->side_first) {
        return false;
    }
    uint32_t *ends = w->side_first + faces + 1;
    for (size_t h = 0; h < halves; h++) {
        w->side_first[all->face[h] + 1]++;
    }
    for (size_t f = 1; f <= faces; f++) {
        w->side_first[f] += w->side_first[f - 1];
    }
    for (size_t f = 0; f < faces; f++) {
        ends[f] = w->side_first[f];
    }
    for (uint32_t h = 0; h < halves; h++) {
        w->sides[ends[all->face[h]]++] = h;
    }
    return true;
}

static bool shapes_list(walk *w)
{
    const nw_painting *p = w->painting;
    size_t count = w->all->shape_count;
    w->shapes = nw_alloc(count, sizeof *w->shapes);
    w->winding = nw_alloc(count, sizeof *w->winding);
    w->covering = nw_alloc(count, sizeof *w->covering);
    w->place = nw_alloc(count, sizeof *w->place);
    w->covered = nw_alloc(count, sizeof *w->covered);
    w->shown = nw_alloc(count, sizeof *w->shown);
    w->clip_first = nw_alloc(p->clip_count, sizeof *w->clip_first);
    w->clip_face = nw_alloc(p->clip_count, sizeof *w->clip_face);
    w->clip_open = nw_alloc(p->clip_count, sizeof *w->clip_open);
    w->way = nw_alloc(w->all->face_count, sizeof *w->way);
    w->been = nw_alloc(w->all->face_count, sizeof *w->been);
    w->all->ink = nw_alloc(w->all->face_count, sizeof *w->all->ink);
    if (!w->shapes || !w->winding || !w->covering || !w->place || !w->covered || !w->shown ||
        !w->clip_first || !w->clip_face || !w->clip_open || !w->way || !w->been || !w->all->ink) {
        return false;
    }
    uint32_t next = 0;
    for (size_t i = 0; i < p->shapes.count; i++) {
        w->place[next] = NW_NONE;
        w->shapes[next++] = &p->shapes.items[i];
    }
    for (size_t c = 0; c < p->clip_count; c++) {
        w->clip_first[c] = next;
        for (size_t i = 0; i < p->clips[c].shapes.count; i++) {
            w->place[next] = NW_NONE;
            w->shapes[next++] = &p->clips[c].shapes.items[i];
        }
    }
    return true;
}

static size_t clipped_count(const walk *w)
{
    for (size_t i = 0; i < w->all->step_count; i++) {
        const nw_chorded *step = &w->all->steps[i];
        w->covered[step->shape] = w->covered[step->shape] || step->beyond;
    }
    size_t count = 0;
    for (size_t i = 0; i < w->painting->shapes.count; i++) {
        const nw_paint_shape *shape = w->shapes[i];
        count += shape->paint == PAINT_INK && shape->clip && w->covered[i] && !w->shown[i];
    }
    return count;
}

nw_status nw_faces_paint(nw_arrangement *all, const nw_painting *painting, size_t *clipped_away)
{
    walk w = {.all = all, .painting = painting};
    bool done = shapes_list(&w) && sides_make(&w);
    if (done) {
        faces_walk(&w);
        if (clipped_away) {
            *clipped_away = clipped_count(&w);
        }
    }
    void *const own[] = {w.shapes,    w.winding, w.covering,  w.place,      w.covered,
                         w.shown,     w.way,     w.been,      w.clip_first, w.clip_face,
                         w.clip_open, w.sides,   w.side_first};
    for (size_t i = 0; i < sizeof own / sizeof *own; i++) {
        free(own[i]);
    }
    return done ? NW_OK : nw_fail_memory(all->error, "the faces");
}
