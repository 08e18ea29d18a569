/*
 * ribbon: a region drawn as lines -> its chordal axis (Prasad, "Morphological analysis of shapes",
 * CNLS Newsletter 139, 1997): the middles of the chords that cut the ink into triangles. A triangle
 * with two sides on the outline is an end, one with a single side there passes the line on, and
 * one with none is a junction. Triangles of wide parts are left out (wide_parts.c); where a line
 * opens into one is a node too, a mouth.
 */
#include <lines/ribbon.h>

#include <stdlib.h>

typedef struct {
    const nw_region *region;
    nw_triangulation cut;
    bool *wide;    /* the triangle is part of a wide part */
    size_t *node;  /* of a triangle, or NOWHERE; of a wide one the first of its mouths */
    uint8_t *seen; /* bit k: edge k is a branch's */
    nw_ribbon *result;
} walker;

static size_t open_sides(const nw_triangle *t)
{
    return (size_t)(t->beside[0] != NO_TRIANGLE) + (t->beside[1] != NO_TRIANGLE) +
           (t->beside[2] != NO_TRIANGLE);
}

/* Whether edge k of triangle t leads out of a wide part. */
static bool is_mouth(const walker *w, uint32_t t, int k)
{
    uint32_t u = w->cut.items[t].beside[k];
    return w->wide[t] && u != NO_TRIANGLE && !w->wide[u];
}

/* The node at which a branch through edge k of triangle t begins or ends, or NOWHERE. */
static size_t node_at(const walker *w, uint32_t t, int k)
{
    size_t before = 0;
    for (int j = 0; j < k && w->wide[t]; j++)
        before += is_mouth(w, t, j);
    return w->node[t] == NOWHERE ? NOWHERE : w->node[t] + before;
}

static nw_point corner_at(const walker *w, const nw_triangle *t, int k)
{
    return w->region->points[t->corner[k % 3]];
}

static nw_ribbon_chord chord_of(const walker *w, const nw_triangle *t, int k)
{
    nw_point a = corner_at(w, t, k), b = corner_at(w, t, k + 1);
    return (nw_ribbon_chord){nw_middle(a, b), nw_distance(a, b)};
}

bool nw_branch_grow(nw_ribbon_branch *b, nw_ribbon_chord c)
{
    return nw_push(&b->chords, &b->count, &b->capacity, &c, sizeof *b->chords);
}

double nw_chords_length(const nw_ribbon_branch *b)
{
    double length = 0;
    for (size_t i = 1; i < b->count; i++)
        length += nw_distance(b->chords[i - 1].at, b->chords[i].at);
    return length;
}

/* Which edge of triangle u leads to triangle t; of several the first that is not yet seen. */
static int edge_towards(const walker *w, uint32_t u, uint32_t t, nw_point middle)
{
    const nw_triangle *c = &w->cut.items[u];
    for (int k = 0; k < 3; k++) {
        nw_point at = chord_of(w, c, k).at;
        if (c->beside[k] == t && at.x == middle.x && at.y == middle.y)
            return k;
    }
    return 0;
}

/* Follows the ink from triangle t through edge k to the next node, or round to where it began. */
static bool follow(walker *w, uint32_t t, int k)
{
    nw_ribbon_branch b = {.node = {node_at(w, t, k), NOWHERE}};
    bool good = true;
    while (good && !(w->seen[t] >> k & 1)) {
        nw_ribbon_chord c = chord_of(w, &w->cut.items[t], k);
        w->seen[t] |= (uint8_t)(1 << k);
        good = nw_branch_grow(&b, c);
        uint32_t u = w->cut.items[t].beside[k];
        int back = edge_towards(w, u, t, c.at);
        w->seen[u] |= (uint8_t)(1 << back);
        b.node[1] = node_at(w, u, back);
        if (b.node[1] != NOWHERE)
            break;
        t = u;
        k = (back + 1) % 3;
        k = w->cut.items[t].beside[k] == NO_TRIANGLE ? (back + 2) % 3 : k;
    }
    good = good &&
           nw_push(&w->result->branches, &w->result->count, &w->result->capacity, &b, sizeof b);
    if (!good)
        free(b.chords);
    return good;
}

/* The nodes of the triangle: how many, and which. */
static size_t nodes_of(const walker *w, uint32_t t)
{
    size_t sides = open_sides(&w->cut.items[t]);
    if (w->wide[t])
        return (size_t)is_mouth(w, t, 0) + is_mouth(w, t, 1) + is_mouth(w, t, 2);
    return sides == 1 || sides == 3 ? 1 : 0;
}

/* Edges that bound wide parts, and the mouths in them. */
static void wide_note(walker *w, uint32_t t)
{
    nw_ribbon *r = w->result;
    const nw_triangle *c = &w->cut.items[t];
    for (int k = 0; k < 3; k++) {
        size_t from = c->corner[k], n = node_at(w, t, k);
        r->wide[from] |= c->beside[k] == NO_TRIANGLE;
        if (is_mouth(w, t, k)) {
            r->nodes[n] = (nw_ribbon_node){.at = chord_of(w, c, k).at,
                                           .cluster = n,
                                           .mouth = true,
                                           .mouth_end = c->corner[(k + 1) % 3]};
            r->mouth[from] = n;
        }
    }
}

static bool nodes_make(walker *w)
{
    nw_ribbon *r = w->result;
    for (uint32_t t = 0; t < w->cut.count; t++) {
        size_t count = nodes_of(w, t);
        w->node[t] = count ? r->node_count : NOWHERE;
        r->node_count += count;
    }
    r->nodes = nw_alloc(r->node_count, sizeof *r->nodes);
    for (uint32_t t = 0; r->nodes && t < w->cut.count; t++) {
        const nw_triangle *c = &w->cut.items[t];
        if (w->wide[t]) {
            wide_note(w, t);
        } else if (w->node[t] != NOWHERE) {
            int k = c->beside[0] != NO_TRIANGLE ? 0 : c->beside[1] != NO_TRIANGLE ? 1 : 2;
            r->nodes[w->node[t]] =
                (nw_ribbon_node){.at = corner_at(w, c, k + 2), .cluster = w->node[t]};
        }
    }
    return r->nodes != NULL;
}

static void nodes_connect(nw_ribbon *r)
{
    for (size_t i = 0; i < r->count; i++) {
        for (int end = 0; end < 2 && r->branches[i].node[0] != NOWHERE; end++) {
            nw_ribbon_node *n = &r->nodes[r->branches[i].node[end]];
            n->branches[n->degree++] = i;
        }
    }
}

/* Branches from nodes first, then the rings that have none. */
static bool branches_make(walker *w)
{
    for (int rings = 0; rings < 2; rings++) {
        for (uint32_t t = 0; t < w->cut.count; t++) {
            for (int k = 0; k < 3; k++) {
                uint32_t u = w->cut.items[t].beside[k];
                bool open =
                    u != NO_TRIANGLE && !(w->seen[t] >> k & 1) && !(w->wide[t] && w->wide[u]);
                if (open && (rings || w->node[t] != NOWHERE) && !follow(w, t, k))
                    return false;
            }
        }
    }
    return true;
}

void nw_ribbon_free(nw_ribbon *r)
{
    if (r) {
        for (size_t i = 0; i < r->count; i++)
            free(r->branches[i].chords);
        free(r->branches);
        free(r->nodes);
        free(r->wide);
        free(r->mouth);
        *r = (nw_ribbon){0};
    }
}

static bool walker_alloc(walker *w)
{
    nw_ribbon *r = w->result;
    size_t points = nw_region_size(w->region);
    w->node = nw_alloc(w->cut.count, sizeof *w->node);
    w->seen = nw_alloc(w->cut.count, sizeof *w->seen);
    w->wide = nw_alloc(w->cut.count, sizeof *w->wide);
    r->wide = nw_alloc(points, sizeof *r->wide);
    r->mouth = nw_alloc(points, sizeof *r->mouth);
    for (size_t i = 0; r->mouth && i < points; i++)
        r->mouth[i] = NOWHERE;
    return w->node && w->seen && w->wide && r->wide && r->mouth;
}

bool nw_ribbon_make(const nw_region *region, double width, nw_ribbon *r)
{
    *r = (nw_ribbon){0};
    walker w = {.region = region, .result = r};
    bool good = nw_triangulation_make(region, &w.cut);
    good = walker_alloc(&w) && good &&
           nw_wide_find(region, &w.cut, width, w.wide, &r->wide_count) && nodes_make(&w) &&
           branches_make(&w);
    nw_triangulation_free(&w.cut);
    free(w.node);
    free(w.seen);
    free(w.wide);
    if (!good) {
        nw_ribbon_free(r);
        return false;
    }
    nodes_connect(r);
    return true;
}
