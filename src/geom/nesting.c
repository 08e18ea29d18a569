/*
 * nesting: outlines that do not cross -> pieces, each an outer outline and its holes.
 *
 * From every ring's leftmost point a ray runs to the left; the segment that it meets first tells
 * the ring around or beside it, and that ring begins further left, so taking the rings from left
 * to right every parent is known in time. The tree of segments finds the first meeting. Rays run
 * an infinitesimal above their point, so that vertices make no special case. A ring that touches
 * others at its leftmost point counts all rings around one of its edges instead.
 */
#include <geom/box_tree.h>
#include <geom/flattening.h>
#include <geom/nesting.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NO_RING SIZE_MAX

static const double NEAR = 1e-7; /* rings this near to one another touch */

typedef struct nest_ring nest_ring;
struct nest_ring {
    size_t path;       /* index into the drawing */
    nw_point corner;   /* the leftmost point, the lowest of several */
    double area;       /* signed */
    nest_ring *parent; /* the ring just around it, or NULL */
    int winding;       /* of the place just inside it: 1 for ink, when all is well */
    bool kept, hole;
    nest_ring *outer; /* of its piece */
    double ink;       /* of an outer ring: its piece's area */
};

typedef struct {
    const nw_region *region;
    nw_segment_tree tree;
    nest_ring *rings;  /* as in the region */
    nest_ring **order; /* first from left to right, then by piece */
} nest;

/* What a ray to the left from `from` meets first. */
typedef struct {
    const nw_segment *segments;
    nw_point from;
    size_t own; /* this ring is not met */
    double x, slope;
    size_t ring;       /* NO_RING: nothing */
    bool down;         /* the met segment runs downward */
    bool tie;          /* two rings at once */
    size_t *crossings; /* when not NULL: count every meeting by ring instead */
} ray;

static void meet(void *context, uint32_t i)
{
    ray *r = context;
    const nw_segment *s = &r->segments[i];
    if ((s->a.y <= r->from.y) == (s->b.y <= r->from.y) || s->ring == r->own)
        return;
    double slope = (s->b.x - s->a.x) / (s->b.y - s->a.y);
    double x = s->a.x + slope * (r->from.y - s->a.y);
    x = s->a.y == r->from.y ? s->a.x : s->b.y == r->from.y ? s->b.x : x;
    if (x > r->from.x + NEAR)
        return;
    if (r->crossings) {
        r->crossings[s->ring]++;
        r->tie |= x > r->from.x - NEAR;
        return;
    }
    if (r->ring != NO_RING && r->ring != s->ring && fabs(x - r->x) < NEAR)
        r->tie = true;
    if (r->ring == NO_RING || x > r->x || (x == r->x && slope > r->slope)) {
        r->tie &= r->ring == NO_RING || x < r->x + NEAR;
        r->x = x, r->slope = slope, r->ring = s->ring, r->down = s->b.y < s->a.y;
    }
}

static bool may_meet(void *context, nw_box box)
{
    const ray *r = context;
    bool nearer = r->crossings || r->ring == NO_RING || box.max.x >= r->x - NEAR;
    return box.min.y <= r->from.y && box.max.y >= r->from.y && box.min.x <= r->from.x + NEAR &&
           nearer;
}

static void shoot(const nw_segment_tree *tree, ray *r)
{
    r->segments = tree->segments;
    nw_tree_visit(&tree->tree, may_meet, meet, r);
}

static size_t index_of(const nest *n, const nest_ring *ring)
{
    return (size_t)(ring - n->rings);
}

/* The smallest of the larger rings that the crossings say are around. */
static nest_ring *smallest_around(const nest *n, const nest_ring *ring, const size_t *crossings)
{
    nest_ring *parent = NULL;
    for (size_t j = 0; j < n->region->count; j++) {
        double area = fabs(n->rings[j].area);
        if (crossings[j] % 2 && area >= fabs(ring->area) && (!parent || area < fabs(parent->area)))
            parent = &n->rings[j];
    }
    return parent;
}

static bool parent_by_count(nest *n, nest_ring *ring)
{
    size_t k = index_of(n, ring), *crossings = nw_alloc(n->region->count, sizeof *crossings);
    if (!crossings)
        return false;
    ray r = {.tie = true};
    for (size_t i = n->region->starts[k]; i < n->region->starts[k + 1] && r.tie; i++) {
        const nw_segment *s = &n->tree.segments[i];
        memset(crossings, 0, n->region->count * sizeof *crossings);
        r = (ray){.from = nw_middle(s->a, s->b), .own = k, .crossings = crossings};
        shoot(&n->tree, &r);
    }
    ring->parent = smallest_around(n, ring, crossings);
    free(crossings);
    return true;
}

static bool find_parent(nest *n, nest_ring *ring)
{
    ray r = {.from = ring->corner, .own = index_of(n, ring), .ring = NO_RING};
    shoot(&n->tree, &r);
    if (r.tie || (r.ring != NO_RING && r.x > r.from.x - NEAR))
        return parent_by_count(n, ring);
    nest_ring *met = r.ring == NO_RING ? NULL : &n->rings[r.ring];
    bool inside = met && (met->area > 0) == r.down;
    ring->parent = !met || inside ? met : met->parent;
    return true;
}

/* A ring's parent begins no further right, and where it begins as far left it is larger. */
static int from_left(const void *p, const void *q)
{
    const nest_ring *a = *(nest_ring *const *)p, *b = *(nest_ring *const *)q;
    if (a->corner.x != b->corner.x)
        return nw_order(a->corner.x, b->corner.x);
    double difference = fabs(a->area) - fabs(b->area);
    return difference != 0 ? (difference > 0 ? -1 : 1) : a < b ? -1 : a > b;
}

/* Larger pieces first, equal ones in the order they came; in a piece the outer outline first. */
static int by_piece(const void *p, const void *q)
{
    const nest_ring *a = *(nest_ring *const *)p, *b = *(nest_ring *const *)q;
    if (a->kept != b->kept)
        return a->kept ? -1 : 1;
    if (!a->kept)
        return a < b ? -1 : a > b;
    if (a->outer->ink != b->outer->ink)
        return nw_order(b->outer->ink, a->outer->ink);
    if (a->outer != b->outer)
        return a->outer < b->outer ? -1 : 1;
    if (a->hole != b->hole)
        return a->hole ? 1 : -1;
    return a < b ? -1 : a > b;
}

static void measure(nest *n, const nw_drawing *drawing)
{
    for (size_t k = 0; k < n->region->count; k++) {
        nest_ring *ring = n->order[k] = &n->rings[k];
        ring->path = n->region->pieces[k];
        ring->area = nw_path_area(&drawing->paths[ring->path]);
        ring->corner = n->region->points[n->region->starts[k]];
        for (size_t i = n->region->starts[k]; i < n->region->starts[k + 1]; i++) {
            nw_point p = n->region->points[i];
            if (p.x < ring->corner.x || (p.x == ring->corner.x && p.y < ring->corner.y))
                ring->corner = p;
        }
    }
}

/* Whether the ring bounds ink or a hole in ink, and of which piece. */
static void judge(nest_ring *ring)
{
    int outside = ring->parent ? ring->parent->winding : 0;
    ring->winding = outside + (ring->area > 0 ? 1 : -1);
    ring->kept = outside + ring->winding == 1; /* 0 and 1, either way round */
    ring->hole = ring->area < 0;
    ring->outer = ring;
    while (ring->hole && ring->outer && !(ring->outer->kept && !ring->outer->hole))
        ring->outer = ring->outer->parent;
    if (!ring->outer)
        ring->kept = false;
    else if (ring->kept)
        ring->outer->ink += ring->area;
}

static bool relate(nest *n)
{
    nw_sort(n->order, n->region->count, sizeof *n->order, from_left);
    for (size_t i = 0; i < n->region->count; i++) {
        if (!find_parent(n, n->order[i]))
            return false;
        judge(n->order[i]);
    }
    nw_sort(n->order, n->region->count, sizeof *n->order, by_piece);
    return true;
}

/* The paths in their new order: nested ones, then open ones; others are gone. */
static bool rearrange(const nest *n, nw_drawing *drawing)
{
    nw_path *paths = nw_alloc(drawing->count, sizeof *paths);
    if (!paths)
        return false;
    size_t count = 0, piece = 0;
    for (size_t i = 0; i < n->region->count && n->order[i]->kept; i++) {
        const nest_ring *ring = n->order[i];
        nw_path *path = &drawing->paths[ring->path];
        piece += i && ring == ring->outer;
        path->piece = piece;
        path->number = path->number ? path->number : piece + 1;
        path->hole = ring->hole;
        paths[count++] = *path;
        *path = (nw_path){0};
    }
    for (size_t i = 0; i < drawing->count; i++)
        if (drawing->paths[i].count && !drawing->paths[i].closed)
            paths[count++] = drawing->paths[i];
        else
            nw_path_free(&drawing->paths[i]);
    free(drawing->paths);
    drawing->paths = paths;
    drawing->capacity = drawing->count;
    drawing->count = count;
    return true;
}

/* Paths of layers that do not count go; the others keep their order and their pieces. */
static void drop_layers(const nest *n, nw_drawing *drawing, const size_t *pieces)
{
    size_t count = 0;
    for (size_t i = 0; i < n->region->count; i++)
        if (!n->order[i]->kept)
            nw_path_free(&drawing->paths[n->order[i]->path]);
    for (size_t i = 0; i < drawing->count; i++) {
        drawing->paths[i].piece = pieces[i];
        if (drawing->paths[i].count)
            drawing->paths[count++] = drawing->paths[i];
    }
    drawing->count = count;
}

static bool nest_rings(nest *n, nw_drawing *drawing, const size_t *pieces)
{
    n->rings = nw_alloc(n->region->count, sizeof *n->rings);
    n->order = nw_alloc(n->region->count, sizeof *n->order);
    if (!n->rings || !n->order || !nw_segment_tree_make(&n->tree, n->region))
        return false;
    measure(n, drawing);
    if (!relate(n))
        return false;
    if (!pieces)
        return rearrange(n, drawing);
    drop_layers(n, drawing, pieces);
    return true;
}

static nw_status nest_drawing(nw_drawing *drawing, double flatness, const size_t *pieces,
                              nw_error *error)
{
    nw_region region;
    nw_status status = nw_drawing_flatten_places(drawing, flatness, 0, &region, NULL, NULL, error);
    if (status != NW_OK)
        return status;
    nest n = {.region = &region};
    bool done = nest_rings(&n, drawing, pieces);
    free(n.rings);
    free(n.order);
    nw_segment_tree_free(&n.tree);
    nw_region_free(&region);
    return done ? NW_OK : nw_fail_memory(error, "the outlines' nesting");
}

nw_status nw_drawing_nest(nw_drawing *drawing, double flatness, bool renumber, nw_error *error)
{
    size_t *pieces = nw_alloc(drawing->count, sizeof *pieces);
    if (!pieces)
        return nw_fail_memory(error, "the outlines' nesting");
    for (size_t i = 0; i < drawing->count; i++) {
        pieces[i] = drawing->paths[i].piece;
        drawing->paths[i].piece = i; /* so that rings know their paths */
    }
    nw_status status = nest_drawing(drawing, flatness, renumber ? NULL : pieces, error);
    free(pieces);
    return status;
}
