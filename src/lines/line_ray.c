/* line_ray: a ray among edges -> the first edge that it meets, found in the tree of segments. */
#include <lines/line_pieces.h>

#include <math.h>

typedef struct {
    const nw_segment *segments;
    nw_line_ray *ray;
    nw_box reach; /* of the ray as it began */
} shot;

#define ROOM 1e-6 /* of the ray's length, more than rounding */

static void meet(void *context, uint32_t i)
{
    nw_line_ray *r = ((shot *)context)->ray;
    const nw_segment *s = &((shot *)context)->segments[i];
    nw_point u = nw_minus(s->b, s->a), w = nw_minus(s->a, r->from);
    double turn = nw_cross(r->way, u);
    if (i == r->own || turn == 0)
        return;
    double along = nw_cross(w, u) / turn, part = nw_cross(w, r->way) / turn;
    if (along > 0 && along < r->length && part >= 0 && part <= 1) {
        r->length = along;
        r->met = i;
    }
}

/* fmin and fmax without their calls: a number where the other is none, as nw_smaller alone is not.
 */
static double smaller(double a, double b)
{
    return isnan(b) ? a : nw_smaller(a, b);
}

static double larger(double a, double b)
{
    return isnan(b) ? a : nw_larger(a, b);
}

/* Whether the ray passes the box before its length (the slab method). */
static bool passes(void *context, nw_box box)
{
    const nw_line_ray *r = ((shot *)context)->ray;
    if (!nw_boxes_meet(box, ((shot *)context)->reach, 0))
        return false;
    double x1 = (box.min.x - r->from.x) / r->way.x, x2 = (box.max.x - r->from.x) / r->way.x;
    double y1 = (box.min.y - r->from.y) / r->way.y, y2 = (box.max.y - r->from.y) / r->way.y;
    double enter = larger(larger(smaller(x1, x2), smaller(y1, y2)), 0);
    return enter <= smaller(smaller(larger(x1, x2), larger(y1, y2)), r->length);
}

void nw_ray_shoot(const nw_segment_tree *tree, nw_line_ray *r)
{
    nw_box reach = {{-INFINITY, -INFINITY}, {INFINITY, INFINITY}};
    if (r->length < INFINITY)
        reach = nw_box_of(r->from, nw_plus(r->from, r->way, r->length), ROOM * r->length);
    nw_tree_visit(&tree->tree, passes, meet, &(shot){tree->segments, r, reach});
}

bool nw_ink_covers(const nw_segment_tree *tree, nw_point p)
{
    /* A direction that no edge of a drawing is likely to have. */
    nw_line_ray r = {.from = p, .way = {0.8137, 0.5812787}, .own = SIZE_MAX, .length = INFINITY};
    nw_ray_shoot(tree, &r);
    if (r.length == INFINITY)
        return false;
    const nw_segment *s = &tree->segments[r.met];
    return nw_cross(nw_minus(s->b, s->a), r.way) < 0;
}
