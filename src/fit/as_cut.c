/*
 * as_cut: one side of the fit -> the outline that the disc really produces, the boundary of the
 * opening: outline where the disc touches it, and the disc's own arcs where it leaves stock.
 *
 * The residues' loops have those arcs already, cut where discs from both sides overlap. Run
 * backwards they lead from the end of one covered stretch of the outline to the start of another.
 */
#include <fit/side.h>

#include <stdlib.h>
#include <string.h>

typedef struct {
    const nw_rolled *rolled;
    uint32_t *before; /* of each edge: the one that leads to it */
    bool *done;       /* walls whose covered stretch, and arcs, that have been taken */
    nw_drawing *drawing;
} tracing;

static bool is_lens(const nw_rolled *rolled, uint32_t edge)
{
    uint32_t loop = rolled->loops.edges[edge].loop;
    return loop == NW_NOWHERE || rolled->loops.loops[loop].kind == NW_LOOP_LENS;
}

/* The wall that follows on the same outline; walls stand in the outlines' order. */
static uint32_t wall_next(const nw_rolled *rolled, uint32_t w)
{
    const nw_wall *walls = rolled->walls.walls;
    const uint32_t *ring = rolled->border.ring;
    uint32_t own = ring[walls[w].segment];
    if (w + 1 < rolled->walls.count && ring[walls[w + 1].segment] == own)
        return w + 1;
    while (w > 0 && ring[walls[w - 1].segment] == own)
        w--;
    return w;
}

/* How many points of the outline lie between the end of wall v and the start of w, the next. */
static size_t points_between(const nw_rolled *rolled, uint32_t v, uint32_t w)
{
    const nw_border *border = &rolled->border;
    const nw_wall *one = &rolled->walls.walls[v], *other = &rolled->walls.walls[w];
    size_t ring = border->ring[one->segment], first = border->starts[ring];
    size_t count = border->starts[ring + 1] - first;
    if (v == w)
        return count - one->span % (count + 1);
    size_t end = (one->segment - first + one->span) % count, start = other->segment - first;
    size_t between = (start + count - end) % count;
    return between == 0 && other->from < one->to ? count : between;
}

/* Along the outline from the end of wall v to the start of the next, which it returns. */
static bool stretch_follow(tracing *t, uint32_t v, nw_path *path, uint32_t *next)
{
    const nw_rolled *rolled = t->rolled;
    const nw_border *border = &rolled->border;
    const nw_wall *wall = &rolled->walls.walls[v];
    uint32_t i = wall->segment;
    for (uint32_t k = 0; k < wall->span; k++)
        i = border->next[i];
    *next = wall_next(rolled, v);
    bool good = nw_line_to(path, wall->last);
    for (size_t k = points_between(rolled, v, *next); k > 0 && good; k--) {
        i = border->next[i];
        good = nw_line_to(path, border->points[i]);
    }
    return good && nw_line_to(path, rolled->walls.walls[*next].first);
}

static bool arc_back(const nw_edge *arc, nw_path *path)
{
    return nw_line_to(path, arc->to) && nw_path_arc(path, arc->centre, arc->from, false);
}

/* From the start of wall w back along arcs to the end of a wall. */
static bool arcs_follow(tracing *t, uint32_t w, nw_path *path, uint32_t *wall)
{
    const nw_edge *edges = t->rolled->loops.edges;
    bool good = true;
    *wall = w;
    if (is_lens(t->rolled, w)) /* nothing stays uncut here: the outline goes on */
        return true;
    uint32_t e = t->before[w];
    while (good && e != NW_NOWHERE && edges[e].arc && !t->done[e]) {
        t->done[e] = true;
        good = arc_back(&edges[e], path);
        e = t->before[e];
    }
    *wall = e != NW_NOWHERE && !edges[e].arc ? edges[e].wall : w;
    return good;
}

static bool outline_trace(tracing *t, uint32_t first)
{
    nw_path path = {.start = t->rolled->walls.walls[first].last, .piece = t->drawing->count};
    bool good = true;
    for (uint32_t v = first; good && !t->done[v];) {
        uint32_t w;
        t->done[v] = true;
        good = stretch_follow(t, v, &path, &w) && arcs_follow(t, w, &path, &v);
    }
    return nw_path_keep(&path, t->drawing, good);
}

/* A residue between discs alone, touching no outline. */
static bool island_trace(tracing *t, uint32_t first)
{
    const nw_edge *edges = t->rolled->loops.edges;
    nw_path path = {.start = edges[first].to, .piece = t->drawing->count};
    bool good = true;
    for (uint32_t e = first; good && e != NW_NOWHERE && !t->done[e]; e = t->before[e]) {
        t->done[e] = true;
        good = arc_back(&edges[e], &path);
    }
    return nw_path_keep(&path, t->drawing, good);
}

/* An outline that the disc touches all along. */
static bool whole_ring(tracing *t, size_t ring)
{
    const nw_border *border = &t->rolled->border;
    size_t first = border->starts[ring], end = border->starts[ring + 1];
    nw_path path = {.start = border->points[first], .piece = t->drawing->count};
    bool good = true;
    for (size_t i = first + 1; good && i < end; i++)
        good = nw_line_to(&path, border->points[i]);
    return nw_path_keep(&path, t->drawing, good && nw_path_line(&path, path.start));
}

static bool rings_trace(tracing *t)
{
    const nw_rolled *rolled = t->rolled;
    bool good = true;
    uint32_t w = 0;
    for (size_t ring = 0; good && ring < rolled->border.ring_count; ring++) {
        bool walls = false;
        for (;
             w < rolled->walls.count && rolled->border.ring[rolled->walls.walls[w].segment] == ring;
             w++) {
            walls = true;
            if (good && !rolled->walls.walls[w].closed && !t->done[w])
                good = outline_trace(t, w);
        }
        if (!walls)
            good = whole_ring(t, ring);
    }
    for (uint32_t e = (uint32_t)rolled->walls.count; good && e < rolled->loops.edge_count; e++)
        if (!t->done[e] && !is_lens(rolled, e))
            good = island_trace(t, e);
    return good;
}

bool nw_as_cut_paths(const nw_rolled *rolled, nw_drawing *drawing)
{
    size_t count = rolled->loops.edge_count;
    tracing t = {.rolled = rolled, .drawing = drawing};
    t.before = nw_alloc(count, sizeof *t.before);
    t.done = nw_alloc(count, sizeof *t.done);
    bool good = t.before && t.done;
    if (good) {
        memset(t.before, 0xff, count * sizeof *t.before);
        for (uint32_t e = 0; e < count; e++)
            if (rolled->loops.edges[e].next != NW_NOWHERE)
                t.before[rolled->loops.edges[e].next] = e;
        good = rings_trace(&t);
    }
    free(t.before);
    free(t.done);
    return good;
}
