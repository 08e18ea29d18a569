/*
 * faces: edges and their order round the nodes -> the face to the left of each half-edge.
 *
 * Half-edges that follow one another round a face close into cycles. Each connected component of
 * edges has one cycle with all of the component on its right; from its leftmost node a ray to the
 * left tells which face lies round it, so a component needs only what begins further left. Rays run
 * an infinitesimal above their node. Edges do not cross, so which is nearer is told exactly.
 */
#include <solid/arrange.h>

#define ROUND_ALL (NW_NO_INDEX - 1) /* the face of an outermost cycle until it is known */

/* An edge from its lower node to its upper one. */
typedef struct {
    nw_node low, high;
} rising;

static rising rising_of(const nw_arrangement *all, uint32_t edge)
{
    nw_node u = all->nodes[all->edges[edge].u], v = all->nodes[all->edges[edge].v];
    return u.y < v.y ? (rising){u, v} : (rising){v, u};
}

static bool edges_tree(nw_arrangement *all, nw_tree *tree)
{
    nw_box *boxes = nw_room(all, all->edge_count, sizeof *boxes);
    for (uint32_t e = 0; boxes && e < all->edge_count; e++) {
        rising r = rising_of(all, e);
        boxes[e] =
            (nw_box){{fmin(r.low.x, r.high.x), r.low.y}, {fmax(r.low.x, r.high.x), r.high.y}};
    }
    all->status = boxes ? nw_tree_make(boxes, all->edge_count, tree, all->error) : all->status;
    return boxes && !all->status;
}

/* Whether the ray meets e before f. */
static bool is_nearer(rising e, rising f)
{
    if (e.low.y < f.low.y)
        return nw_nodes_side(e.low, e.high, f.low) > 0;
    int64_t side = nw_nodes_side(f.low, f.high, e.low);
    return side ? side < 0 : nw_nodes_side(f.low, f.high, e.high) < 0;
}

static uint32_t face_left_of(const nw_arrangement *all, const nw_tree *tree, nw_node place)
{
    nw_walk walk;
    nw_box ray = {{-NW_GRID_LIMIT, place.y}, {place.x, place.y}};
    nw_walk_start(&walk, tree, ray, (nw_point){place.x, place.y});
    uint32_t face = 0, e;
    rising nearest = {{0, 0}, {0, 0}};
    while (nw_walk_next(&walk, &e)) {
        rising r = rising_of(all, e);
        if (r.low.y <= place.y && r.high.y > place.y && nw_nodes_side(r.low, r.high, place) < 0 &&
            (nearest.low.y == nearest.high.y || is_nearer(r, nearest))) {
            nearest = r;
            face = all->face[2 * e + nw_nodes_same(r.low, all->nodes[all->edges[e].u])];
            ray.min.x = fmin(r.low.x, r.high.x);
            nw_walk_box(&walk, ray);
        }
    }
    return face;
}

static void cycle_mark(nw_arrangement *all, uint32_t half, uint32_t face)
{
    for (uint32_t h = half; all->face[h] != face; h = all->next[h])
        all->face[h] = face;
}

/* least: the components' forest of nodes. What leaves a leftmost node last has all on its right. */
static bool components_place(nw_arrangement *all, const uint32_t *least)
{
    size_t count = 0;
    for (uint32_t n = 0; n < all->node_count; n++) {
        if (least[n] == n && all->last[n] != NW_NO_INDEX) {
            cycle_mark(all, all->last[n], ROUND_ALL);
            count++;
        }
    }
    all->face_count = 1;
    for (uint32_t h = 0; h < 2 * all->edge_count; h++)
        if (all->face[h] == NW_NO_INDEX)
            cycle_mark(all, h, (uint32_t)all->face_count++);
    nw_tree tree = {0};
    bool done = count < 2 || edges_tree(all, &tree);
    for (uint32_t n = 0; done && n < all->node_count; n++)
        if (least[n] == n && all->last[n] != NW_NO_INDEX)
            cycle_mark(all, all->last[n], count < 2 ? 0 : face_left_of(all, &tree, all->nodes[n]));
    nw_tree_free(&tree);
    return done;
}

bool nw_faces_find(nw_arrangement *all)
{
    all->face = nw_room(all, 2 * all->edge_count, sizeof *all->face);
    uint32_t *least = nw_room(all, all->node_count, sizeof *least);
    if (!all->face || !least)
        return false;
    for (size_t h = 0; h < 2 * all->edge_count; h++)
        all->face[h] = NW_NO_INDEX;
    for (uint32_t n = 0; n < all->node_count; n++)
        least[n] = n;
    for (size_t e = 0; e < all->edge_count; e++)
        nw_sets_join(least, all->edges[e].u, all->edges[e].v);
    return components_place(all, least);
}
