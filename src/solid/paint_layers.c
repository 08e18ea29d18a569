/*
 * paint_layers: faces, and the shapes whose outlines bound them -> which faces stay ink.
 *
 * A walk from face to face across edges, from outside all, keeps how often each shape's outlines go
 * round the current face, and takes each change back on its way back. The topmost shape that covers
 * a face, where its clips are open, decides. So one arrangement does for all fill rules, paint
 * orders and clips.
 */
#include <solid/arrange.h>

#define SHOWS_LEAST 1e-6 /* of what lies below other layers, to be looked at */

typedef struct {
    const nw_paint_shape *shape;
    int32_t winding;
    uint32_t place;      /* in the walk's covering, NW_NO_INDEX: not there */
    bool covered, shown; /* anywhere at all, anywhere with its clips */
    bool fading;         /* it fades, and that decides whether a face is ink */
} layer;

typedef struct {
    uint32_t first; /* of its layers */
    uint32_t face;  /* for which open was found last, plus 1 */
    bool open;
} clip_state;

typedef struct {
    nw_arrangement *all;
    const nw_painting *painting;
    layer *layers; /* the painted shapes, then those of the clips */
    clip_state *clips;
    uint32_t *covering; /* painted shapes that cover the face, in any order */
    uint32_t covering_count;
    uint32_t *side, *side_next; /* of each face a half-edge not yet tried, and the next ones */
    bool *been;                 /* in each face */
    uint32_t *way;              /* half-edges that were crossed, from outside to here */
} walk;

static bool is_covered(const layer *l)
{
    return l->shape->even_odd ? l->winding % 2 != 0 : l->winding != 0;
}

/* number: as nw_paint_shape.clip; clips refer to earlier ones only. */
static bool is_open(walk *w, size_t number, uint32_t face)
{
    if (!number)
        return true;
    const nw_paint_clip *clip = &w->painting->clips[number - 1];
    clip_state *state = &w->clips[number - 1];
    if (state->face != face + 1) {
        bool open = false;
        for (uint32_t i = 0; i < clip->shapes.count && !open; i++) {
            const layer *l = &w->layers[state->first + i];
            open = is_covered(l) && is_open(w, l->shape->clip, face);
        }
        state->open = open && is_open(w, clip->parent, face);
        state->face = face + 1;
    }
    return state->open;
}

/* What shows of a face from above. */
typedef struct {
    double light[3]; /* of the layers so far, */
    double through;  /* and how much of what is below them */
    layer *fading;   /* the topmost of the layers that fades */
} look;

/* Adds the layer below what was seen so far. whole: what fades is as nw_paint_kind says, else the
 * other way. */
static void look_add(look *seen, layer *l, bool whole)
{
    const nw_paint_shape *shape = l->shape;
    nw_paint_kind paint = shape->paint;
    bool fades = paint == PAINT_FADES || paint == PAINT_PALES || paint == PAINT_GLOSS;
    bool own = !fades && shape->colour[3] > 0, white = paint == PAINT_PAPER || (fades && !whole);
    seen->fading = !seen->fading && fades ? l : seen->fading;
    if (paint == (whole ? PAINT_GLOSS : PAINT_FADES))
        return;
    double part = seen->through * (own ? shape->colour[3] : 1);
    for (int i = 0; i < 3; i++)
        seen->light[i] += part * (own ? shape->colour[i] : white);
    seen->through -= part;
}

/* The topmost layer below another (NULL: of all) that covers the face where its clips are open. */
static layer *layer_below(walk *w, uint32_t face, const layer *above)
{
    layer *top = NULL;
    for (uint32_t i = 0; i < w->covering_count; i++) {
        layer *l = &w->layers[w->covering[i]];
        if ((!above || l < above) && (!top || l > top) && is_open(w, l->shape->clip, face))
            top = l;
    }
    return top;
}

static bool looks_dark(walk *w, uint32_t face, bool whole, look *seen)
{
    *seen = (look){.through = 1};
    for (layer *l = layer_below(w, face, NULL); l && seen->through > SHOWS_LEAST;
         l = layer_below(w, face, l))
        look_add(seen, l, whole);
    double darkest = fmin(seen->light[0], fmin(seen->light[1], seen->light[2]));
    return seen->through + darkest < PAINT_WHITE;
}

static bool is_ink(walk *w, uint32_t face)
{
    for (uint32_t i = 0; i < w->covering_count; i++) {
        layer *l = &w->layers[w->covering[i]];
        l->covered = true;
        l->shown = l->shown || is_open(w, l->shape->clip, face);
    }
    look seen, other;
    bool ink = looks_dark(w, face, true, &seen);
    if (seen.fading && !seen.fading->fading)
        seen.fading->fading = looks_dark(w, face, false, &other) != ink;
    return ink;
}

static void winding_change(walk *w, uint32_t number, int change)
{
    layer *l = &w->layers[number];
    l->winding += change;
    bool covers = number < w->painting->shapes.count && is_covered(l);
    if (covers && l->place == NW_NO_INDEX) {
        l->place = w->covering_count;
        w->covering[w->covering_count++] = number;
    } else if (!covers && l->place != NW_NO_INDEX) {
        uint32_t last = w->covering[--w->covering_count];
        w->covering[l->place] = last;
        w->layers[last].place = l->place;
        l->place = NW_NO_INDEX;
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
        winding_change(w, all->steps[all->chords[member >> 1].step].shape, along ? -1 : 1);
    }
}

static void faces_walk(walk *w)
{
    nw_arrangement *all = w->all;
    uint32_t depth = 0, face = 0;
    w->been[0] = true;
    while (w->side[face] != NW_NO_INDEX || depth) {
        uint32_t half = w->side[face];
        if (half == NW_NO_INDEX) {
            half_cross(w, w->way[--depth] ^ 1);
            face = all->face[w->way[depth]];
            continue;
        }
        w->side[face] = w->side_next[half];
        uint32_t beyond = all->face[half ^ 1];
        if (!w->been[beyond]) {
            w->been[beyond] = true;
            half_cross(w, half);
            w->way[depth++] = half;
            face = beyond;
            all->ink[face] = is_ink(w, face);
        }
    }
}

static bool sides_list(walk *w)
{
    nw_arrangement *all = w->all;
    size_t halves = 2 * all->edge_count;
    w->side = nw_room(all, all->face_count, sizeof *w->side);
    w->side_next = nw_room(all, halves, sizeof *w->side_next);
    w->been = nw_room(all, all->face_count, sizeof *w->been);
    w->way = nw_room(all, all->face_count, sizeof *w->way);
    all->ink = nw_room(all, all->face_count, sizeof *all->ink);
    if (!w->side || !w->side_next || !w->been || !w->way || !all->ink)
        return false;
    for (size_t f = 0; f < all->face_count; f++)
        w->side[f] = NW_NO_INDEX;
    for (uint32_t h = 0; h < halves; h++) {
        w->side_next[h] = w->side[all->face[h]];
        w->side[all->face[h]] = h;
    }
    return true;
}

static uint32_t layers_add(walk *w, const nw_paint_shapes *shapes, uint32_t next)
{
    for (size_t i = 0; i < shapes->count; i++)
        w->layers[next++] = (layer){.shape = &shapes->items[i], .place = NW_NO_INDEX};
    return next;
}

static bool layers_list(walk *w)
{
    const nw_painting *p = w->painting;
    w->layers = nw_room(w->all, w->all->shape_count, sizeof *w->layers);
    w->covering = nw_room(w->all, w->all->shape_count, sizeof *w->covering);
    w->clips = nw_room(w->all, p->clip_count, sizeof *w->clips);
    if (!w->layers || !w->covering || !w->clips)
        return false;
    uint32_t next = layers_add(w, &p->shapes, 0);
    for (size_t c = 0; c < p->clip_count; c++) {
        w->clips[c].first = next;
        next = layers_add(w, &p->clips[c].shapes, next);
    }
    return true;
}

static nw_paint_counts layers_count(const walk *w)
{
    for (size_t i = 0; i < w->all->step_count; i++)
        w->layers[w->all->steps[i].shape].covered |= w->all->steps[i].beyond;
    nw_paint_counts counts = {0};
    for (const layer *l = w->layers; l < w->layers + w->painting->shapes.count; l++) {
        nw_paint_kind paint = l->shape->paint;
        bool ink = paint == PAINT_INK || paint == PAINT_FADES || paint == PAINT_PALES;
        counts.clipped_away += ink && l->shape->clip && l->covered && !l->shown;
        counts.fading += l->fading;
    }
    return counts;
}

bool nw_faces_paint(nw_arrangement *all, const nw_painting *painting, nw_paint_counts *counts)
{
    walk w = {.all = all, .painting = painting};
    bool done = layers_list(&w) && sides_list(&w);
    if (done) {
        faces_walk(&w);
        *counts = layers_count(&w);
    }
    return done;
}
