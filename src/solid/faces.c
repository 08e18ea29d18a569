/*
 * faces: edges and their order round the nodes -> the face to the left of each half-edge.
 *
 * Half-edges that follow one another round a face close into cycles. Each connected component of
 * edges has one cycle with all of the component to its inside; from its leftmost node a ray to the
 * left tells which face lies round it, so a component needs only what begins further left. Edges
 * are looked up by horizontal strips, and compared with each other exactly: they do not cross.
 */
#include <solid/arrange.h>

#include <stdlib.h>

#define ENTRIES_PER_EDGE 8
#define ROUND_ALL (NW_NONE - 1) /* the face of an outermost cycle until it is known */

typedef struct {
    uint32_t *edges; /* grouped by strip */
    size_t *first;   /* count + 1 offsets */
    size_t count;
    double bottom, height; /* of all, of one */
} strips;

static nw_node lower(const nw_arrangement *all, uint32_t edge)
{
    nw_node u = all->nodes[all->edges[edge].u], v = all->nodes[all->edges[edge].v];
    return u.y < v.y ? u : v;
}

static nw_node upper(const nw_arrangement *all, uint32_t edge)
{
    nw_node u = all->nodes[all->edges[edge].u], v = all->nodes[all->edges[edge].v];
    return u.y < v.y ? v : u;
}

static size_t strip_of(const strips *s, double y)
{
    size_t strip = (size_t)((y - s->bottom) / s->height);
    return strip < s->count ? strip : s->count - 1;
}

static void strips_choose(const nw_arrangement *all, strips *s)
{
    double bottom = NW_GRID_LIMIT, top = -NW_GRID_LIMIT, heights = 0;
    for (uint32_t e = 0; e < all->edge_count; e++) {
        double low = lower(all, e).y, high = upper(all, e).y;
        bottom = low < bottom ? low : bottom;
        top = high > top ? high : top;
        heights += high - low;
    }
    double count = (double)all->edge_count, most = ENTRIES_PER_EDGE * (top - bottom) / heights;
    s->count = 1 + (size_t)(heights > 0 ? count * (most < 1 ? most : 1) : 0);
    s->bottom = bottom;
    s->height = top > bottom ? (top - bottom) / (double)s->count : 1;
}

static bool strips_make(const nw_arrangement *all, strips *s)
{
    strips_choose(all, s);
    s->first = nw_alloc(s->count + 2, sizeof *s->first);
    /* Counted one place ahead, so that filling moves every offset into place. */
    for (uint32_t e = 0; s->first && e < all->edge_count; e++) {
        for (size_t k = strip_of(s, lower(all, e).y); k <= strip_of(s, upper(all, e).y); k++) {
            s->first[k + 2]++;
        }
    }
    for (size_t k = 2; s->first && k < s->count + 2; k++) {
        s->first[k] += s->first[k - 1];
    }
    s->edges = s->first ? nw_alloc(s->first[s->count + 1], sizeof *s->edges) : NULL;
    for (uint32_t e = 0; s->edges && e < all->edge_count; e++) {
        for (size_t k = strip_of(s, lower(all, e).y); k <= strip_of(s, upper(all, e).y); k++) {
            s->edges[s->first[k + 1]++] = e;
        }
    }
    return s->edges != NULL;
}

/* Whether edge e crosses the height just above a place to which both lie left further right than
 * edge f. */
static bool is_nearer(const nw_arrangement *all, uint32_t e, uint32_t f)
{
    nw_node el = lower(all, e), eh = upper(all, e), fl = lower(all, f), fh = upper(all, f);
    if (el.y < fl.y) {
        return nw_nodes_side(el, eh, fl) > 0;
    }
    int64_t side = nw_nodes_side(fl, fh, el);
    return side ? side < 0 : nw_nodes_side(fl, fh, eh) < 0;
}

/* The face just to the left of a component's leftmost (of these lowest) node. */
static uint32_t face_left_of(const nw_arrangement *all, const strips *s, nw_node place)
{
    size_t strip = strip_of(s, place.y);
    uint32_t nearest = NW_NONE;
    for (size_t i = s->first[strip]; i < s->first[strip + 1]; i++) {
        uint32_t e = s->edges[i];
        nw_node low = lower(all, e), high = upper(all, e);
        if (low.y <= place.y && high.y > place.y && nw_nodes_side(low, high, place) < 0 &&
            (nearest == NW_NONE || is_nearer(all, e, nearest))) {
            nearest = e;
        }
    }
    if (nearest == NW_NONE) {
        return 0;
    }
    bool up = all->nodes[all->edges[nearest].u].y < all->nodes[all->edges[nearest].v].y;
    return all->face[2 * nearest + up];
}

static void cycle_mark(nw_arrangement *all, uint32_t half, uint32_t face)
{
    for (uint32_t h = half; all->face[h] != face; h = all->next[h]) {
        all->face[h] = face;
    }
}

/* The half-edge with all of the component of which this is the leftmost node on its right. */
static uint32_t half_round(const nw_arrangement *all, uint32_t node)
{
    return all->turn[all->turn_first[node + 1] - 1];
}

/* least: the components' forest of nodes. */
static nw_status components_place(nw_arrangement *all, uint32_t *least)
{
    size_t halves = 2 * all->edge_count, count = 0;
    for (uint32_t n = 0; n < all->node_count; n++) {
        if (least[n] == n && all->turn_first[n] < all->turn_first[n + 1]) {
            cycle_mark(all, half_round(all, n), ROUND_ALL);
            count++;
        }
    }
    all->face_count = 1;
    for (uint32_t h = 0; h < halves; h++) {
        if (all->face[h] == NW_NONE) {
            cycle_mark(all, h, (uint32_t)all->face_count++);
        }
    }
    strips s = {0};
    bool done = count < 2 || strips_make(all, &s);
    for (uint32_t n = 0; done && n < all->node_count; n++) {
        if (least[n] == n && all->turn_first[n] < all->turn_first[n + 1]) {
            cycle_mark(all, half_round(all, n),
                       count < 2 ? 0 : face_left_of(all, &s, all->nodes[n]));
        }
    }
    free(s.first);
    free(s.edges);
    return done ? NW_OK : nw_fail_memory(all->error, "the outlines' order");
}

nw_status nw_faces_find(nw_arrangement *all)
{
    size_t halves = 2 * all->edge_count;
    all->face = nw_alloc(halves, sizeof *all->face);
    uint32_t *least = nw_alloc(all->node_count, sizeof *least);
    nw_status status = NW_OK;
    if (all->face && least) {
        for (size_t h = 0; h < halves; h++) {
            all->face[h] = NW_NONE;
        }
        for (uint32_t n = 0; n < all->node_count; n++) {
            least[n] = n;
        }
        for (size_t e = 0; e < all->edge_count; e++) {
            nw_sets_join(least, all->edges[e].u, all->edges[e].v);
        }
        status = components_place(all, least);
    } else {
        status = nw_fail_memory(all->error, "the outlines' order");
    }
    free(least);
    return status;
}
