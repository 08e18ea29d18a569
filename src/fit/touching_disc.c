/*
 * touching_disc: outlines and a place -> the largest disc that touches the outline there and lies
 * in the cut area. Shrinking ball (Ma, Bae and Choi, The Visual Computer 28, 2012), exact for
 * segments.
 *
 * Outlines are chords of curves, and where two chords meet no disc of any size touches their
 * corner. A chord leaves its curve by up to the flatness f; a disc that fits the curve crosses the
 * chords by up to 4 f there. So the ball starts that much inside, along the curve's normal, and its
 * far side stands back by as much: the mean is right.
 */
#include <fit/fit.h>

#include <math.h>
#include <stdlib.h>

#define SINK_MM (4 * NW_FLATNESS_MM)

struct nw_discs {
    nw_border border;
};

nw_status nw_discs_make(const nw_region *region, nw_cut cut, const nw_box *stock, nw_discs **discs,
                        nw_error *error)
{
    *discs = nw_alloc(1, sizeof **discs);
    if (!*discs)
        return nw_fail_memory(error, "the outlines' segments");
    bool outside = cut == NW_CUT_OUTSIDE;
    nw_status status =
        nw_border_make(region, outside, outside ? stock : NULL, &(*discs)->border, error);
    if (status != NW_OK) {
        free(*discs);
        *discs = NULL;
    }
    return status;
}

void nw_discs_free(nw_discs *discs)
{
    if (!discs)
        return;
    nw_border_free(&discs->border);
    free(discs);
}

/* The normal at an end of segment i: of the curve, where the segment is a chord of one, for then it
 * turns at its ends by no more than 8 f over its length; else the segment's own. */
static nw_point end_normal(const nw_border *border, uint32_t i, uint32_t neighbour)
{
    nw_point own = border->along[i], other = border->along[neighbour];
    double turn = fabs(nw_angle(own, other));
    bool curved = turn * border->length[i] <= 16 * NW_FLATNESS_MM && turn < 0.7;
    return nw_left(curved ? nw_unit_of(nw_plus(own, other, 1)) : own);
}

/* Into the cut area: across the curve, but at a corner that protrudes into the area towards the
 * place that was asked for, as far as that lies between the two segments' normals. */
static nw_point normal_at(const nw_border *border, uint32_t i, nw_point foot, nw_point near)
{
    nw_point way = nw_minus(near, foot);
    double t = nw_dot(nw_minus(foot, border->points[i]), border->along[i]) / border->length[i];
    uint32_t after = t <= 0 ? i : border->next[i], before = border->prev[after];
    bool at_end = t <= 0 || t >= 1;
    bool protrudes = nw_cross(border->along[before], border->along[after]) < 0;
    bool between =
        nw_dot(way, border->along[before]) >= 0 && nw_dot(way, border->along[after]) <= 0;
    if (at_end && protrudes && between && nw_distance(near, foot) > NW_MERGE_MM)
        return nw_unit_of(way);
    nw_point start = end_normal(border, i, border->prev[i]);
    nw_point end = end_normal(border, i, border->next[i]);
    t = fmin(fmax(t, 0), 1);
    return nw_unit_of(nw_between(start, end, t));
}

bool nw_discs_at(const nw_discs *discs, nw_point near, double limit, nw_disc *disc)
{
    const nw_border *border = &discs->border;
    uint32_t i = 0;
    *disc = (nw_disc){.at = near};
    if (isinf(nw_border_nearest(border, near, INFINITY, &i, &disc->at)))
        return false;
    disc->normal = normal_at(border, i, disc->at, near);
    nw_point start = nw_plus(disc->at, disc->normal, SINK_MM);
    nw_point foot;
    double radius = nw_border_disc(border, start, disc->normal, limit, &i, &foot);
    disc->radius = fmin(radius + SINK_MM / 2, limit);
    return true;
}
