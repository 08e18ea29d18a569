/* line_ray: a ray among edges -> the first edge that it meets, found in the tree of segments. */
#include <lines/line_pieces.h>

#include <math.h>

static void meet(const nw_segment_tree *tree, size_t i, line_ray *r)
{
    const nw_segment *s = &tree->segments[i];
    double ux = s->b.x - s->a.x, uy = s->b.y - s->a.y, wx = s->a.x - r->from.x,
           wy = s->a.y - r->from.y;
    double turn = r->way.x * uy - r->way.y * ux;
    if (i == r->own || turn == 0) {
        return;
    }
    double along = (wx * uy - wy * ux) / turn, part = (wx * r->way.y - wy * r->way.x) / turn;
    if (along > 0 && along < r->length && part >= 0 && part <= 1) {
        r->length = along;
        r->met = i;
    }
}

/* Whether the ray passes the box before its length (the slab method). */
static bool passes(const nw_box *box, const line_ray *r)
{
    double x1 = (box->min.x - r->from.x) / r->way.x, x2 = (box->max.x - r->from.x) / r->way.x;
    double y1 = (box->min.y - r->from.y) / r->way.y, y2 = (box->max.y - r->from.y) / r->way.y;
    double enter = fmax(fmax(fmin(x1, x2), fmin(y1, y2)), 0);
    return enter <= fmin(fmin(fmax(x1, x2), fmax(y1, y2)), r->length);
}

static void shoot(const nw_segment_tree *tree, size_t level, size_t node, line_ray *r)
{
    if (!passes(&tree->boxes[tree->level_start[level] + node], r)) {
        return;
    }
    size_t below = level ? tree->level_count[level - 1] : tree->count;
    for (size_t i = 4 * node; i < 4 * node + 4 && i < below; i++) {
        if (level) {
            shoot(tree, level - 1, i, r);
        } else {
            meet(tree, tree->order[i], r);
        }
    }
}

void nw_ray_shoot(const nw_segment_tree *tree, line_ray *r)
{
    if (tree->count) {
        shoot(tree, tree->levels - 1, 0, r);
    }
}

bool nw_ink_holds(const nw_segment_tree *tree, nw_point p)
{
    /* A direction that no edge of a drawing is likely to have. */
    line_ray r = {.from = p, .way = {0.8137, 0.5812787}, .own = SIZE_MAX, .length = INFINITY};
    nw_ray_shoot(tree, &r);
    if (r.length == INFINITY) {
        return false;
    }
    const nw_segment *s = &tree->segments[r.met];
    return (s->b.x - s->a.x) * r.way.y - (s->b.y - s->a.y) * r.way.x < 0;
}
