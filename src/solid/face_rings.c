/*
 * face_rings: faces that are ink -> a drawing's paths: the ink to the left, a piece for each region
 * that holds together, the largest first.
 *
 * From one half-edge at the ink's border to the next by the sharpest turn to the left, so a region
 * that touches itself or another in a node stays on its own side; the way is split where it comes
 * to a node again. Regions are the faces that share edges, so each ring knows its piece.
 */
#include <solid/arrange.h>

#include <math.h>
#include <stdlib.h>

/* halves[first] up to halves[first + count - 1]. */
typedef struct {
    size_t first, count;
    uint32_t region; /* one of its faces */
    double area;     /* in square units of the grid; negative: a hole */
    double ink;      /* of its whole region */
} ring;

typedef struct {
    nw_arrangement *all;
    uint32_t *region; /* the faces' forest */
    double *ink;      /* of each region */
    bool *used;       /* half-edges */
    uint32_t *place;  /* of each node on the way, plus 1; 0: not on it */
    uint32_t *way;
    size_t way_count;
    uint32_t *halves; /* of the rings */
    size_t half_count;
    ring *rings;
    size_t count, capacity;
} tracer;

static uint32_t border_next(const nw_arrangement *all, uint32_t half)
{
    uint32_t next = all->next[half];
    while (!nw_is_border(all, next))
        next = all->next[next ^ 1];
    return next;
}

/* ---- rings ----------------------------------------------------------------------------------- */

/* The way from place `first` on is a ring, and is taken off. One that is thinner than the flatness
 * on average is an artefact of two chords for one curve. */
static bool ring_take(tracer *t, size_t first)
{
    const nw_arrangement *all = t->all;
    double twice = 0, length = 0;
    nw_node origin = all->nodes[nw_half_from(all, t->way[first])];
    for (size_t i = first; i < t->way_count; i++) {
        uint32_t from = nw_half_from(all, t->way[i]);
        nw_node p = all->nodes[from], q = all->nodes[nw_half_from(all, t->way[i] ^ 1)];
        twice += (double)nw_nodes_side(origin, p, q);
        length += nw_length((nw_point){(double)q.x - p.x, (double)q.y - p.y});
        t->place[from] = 0;
        t->halves[t->half_count + i - first] = t->way[i]; /* no more than all half-edges */
    }
    size_t count = t->way_count - first;
    t->way_count = first;
    if (fabs(twice) * all->grid < all->flatness * length)
        return true;
    uint32_t region = nw_set_root(t->region, all->face[t->halves[t->half_count]]);
    ring own = {t->half_count, count, region, twice / 2, 0};
    t->half_count += count;
    t->ink[region] += twice / 2;
    return nw_push(&t->rings, &t->count, &t->capacity, &own, sizeof own) || nw_ran_out(t->all);
}

static bool border_trace(tracer *t, uint32_t first)
{
    const nw_arrangement *all = t->all;
    uint32_t half = first;
    bool good = true;
    do {
        t->way[t->way_count++] = half;
        t->used[half] = true;
        t->place[nw_half_from(all, half)] = (uint32_t)t->way_count;
        uint32_t back = t->place[nw_half_from(all, half ^ 1)];
        good = !back || ring_take(t, back - 1);
        half = border_next(all, half);
    } while (half != first && good);
    return good;
}

static bool rings_trace(tracer *t)
{
    nw_arrangement *all = t->all;
    size_t halves = 2 * all->edge_count;
    t->region = nw_room(all, all->face_count, sizeof *t->region);
    t->ink = nw_room(all, all->face_count, sizeof *t->ink);
    t->used = nw_room(all, halves, sizeof *t->used);
    t->place = nw_room(all, all->node_count, sizeof *t->place);
    t->way = nw_room(all, halves, sizeof *t->way);
    t->halves = nw_room(all, halves, sizeof *t->halves);
    bool good = t->region && t->ink && t->used && t->place && t->way && t->halves;
    for (uint32_t f = 0; good && f < all->face_count; f++)
        t->region[f] = f;
    for (size_t h = 0; good && h < halves; h += 2)
        if (all->ink[all->face[h]] && all->ink[all->face[h + 1]])
            nw_sets_join(t->region, all->face[h], all->face[h + 1]);
    for (uint32_t h = 0; good && h < halves; h++)
        good = t->used[h] || !nw_is_border(all, h) || border_trace(t, h);
    return good;
}

/* ---- pieces ---------------------------------------------------------------------------------- */

/* Largest piece first, in it the outer ring, then holes in their order. */
static int by_piece(const void *p, const void *q)
{
    const ring *a = p, *b = q;
    if (a->ink != b->ink)
        return a->ink > b->ink ? -1 : 1;
    if (a->region != b->region)
        return a->region < b->region ? -1 : 1;
    if ((a->area < 0) != (b->area < 0))
        return a->area < 0 ? 1 : -1;
    return a->first < b->first ? -1 : a->first > b->first;
}

static bool rings_restore(tracer *t, nw_place *places, nw_drawing *drawing)
{
    size_t piece = SIZE_MAX; /* before the first */
    bool good = true, kept = false;
    for (size_t i = 0; i < t->count && good; i++) {
        const ring *r = &t->rings[i];
        if (!i || r->region != r[-1].region) {
            kept = r->area > 0; /* else the outer ring was an artefact */
            piece += kept;
        }
        if (kept) {
            nw_path path = {0};
            good = nw_ring_restore(t->all, places, &t->halves[r->first], r->count, &path);
            path.hole = r->area < 0;
            path.piece = piece;
            good = good && nw_drawing_add(drawing, &path);
            nw_path_free(&path);
        }
    }
    return good;
}

bool nw_rings_write(nw_arrangement *all, nw_drawing *drawing)
{
    tracer t = {.all = all};
    nw_place *places = nw_places_find(all);
    bool good = places && rings_trace(&t);
    for (size_t i = 0; good && i < t.count; i++)
        t.rings[i].ink = t.ink[t.rings[i].region];
    if (good && t.count) {
        nw_sort(t.rings, t.count, sizeof *t.rings, by_piece);
        good = rings_restore(&t, places, drawing) || nw_ran_out(all);
    }
    free(t.rings);
    return good;
}
