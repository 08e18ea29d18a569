/*
 * The walls of a residue, as stretches of a border: what is moved, and what stands behind it.
 *
 * A residue's path is walls and contact arcs in turn. Its walls lie on the border that was fitted,
 * so a place on them is found there again, by its place and the direction of the border: outlines
 * may touch.
 */
#include <change/widen.h>

#include <math.h>
#include <stdlib.h>

#define NEAR_MM 1e-3 /* a residue's point is on the border; how far to look for it */

void nw_flanks_free(nw_flanks *walls)
{
    free(walls->items);
    *walls = (nw_flanks){0};
}

bool nw_station_find(const nw_border *area, nw_point p, nw_point direction, uint32_t *ring,
                     double *station)
{
    nw_walk walk;
    uint32_t i;
    double best = INFINITY;
    nw_walk_start(&walk, &area->tree, nw_box_round(p, NEAR_MM), p);
    while (nw_walk_next(&walk, &i)) {
        double t = nw_dot(nw_minus(p, area->points[i]), area->along[i]);
        t = fmin(fmax(t, 0), area->length[i]);
        double off = nw_distance(p, nw_border_at(area, i, t));
        double turned = 1 - nw_dot(direction, area->along[i]);
        if (off < NEAR_MM && off + turned < best) {
            best = off + turned;
            *ring = area->ring[i];
            *station = area->station[i] + t;
        }
    }
    return isfinite(best);
}

static bool wall_push(nw_flanks *walls, nw_flank wall)
{
    return nw_push(&walls->items, &walls->count, &walls->capacity, &wall, sizeof wall);
}

/* The wall along the lines [first, first + count) of a residue's path; steps wrap round. */
static bool wall_add(const nw_border *area, const nw_path *path, size_t first, size_t count,
                     const nw_flank *like, nw_flanks *walls)
{
    size_t n = path->count, last = (first + count - 1) % n;
    nw_point start = first ? path->steps[first - 1].to : path->start;
    nw_point before_end = last ? path->steps[last - 1].to : path->start;
    nw_flank wall = *like;
    wall.whole = count == n;
    if (!wall.whole) { /* an arc comes before the first line, and one after the last */
        wall.before = path->steps[(first + n - 1) % n].a;
        wall.after = path->steps[(last + 1) % n].a;
    }
    uint32_t ring;
    if (!nw_station_find(area, start, nw_unit(start, path->steps[first].to), &wall.ring,
                         &wall.from) ||
        !nw_station_find(area, path->steps[last].to, nw_unit(before_end, path->steps[last].to),
                         &ring, &wall.to) ||
        ring != wall.ring)
        return true; /* not a stretch of this border: nothing to move */
    double whole = area->ring_length[ring];
    if (wall.whole)
        wall.to = wall.from + whole;
    else if (wall.to <= wall.from)
        wall.to += whole;
    return wall_push(walls, wall);
}

static bool walls_of_path(const nw_border *area, const nw_path *path, const nw_flank *like,
                          nw_flanks *walls)
{
    size_t n = path->count, arc = 0;
    while (arc < n && path->steps[arc].kind != NW_ARC)
        arc++;
    if (arc == n)
        return wall_add(area, path, 0, n, like, walls);
    for (size_t k = 1; k <= n;) {
        size_t run = 0;
        while (k + run <= n && path->steps[(arc + k + run) % n].kind == NW_LINE)
            run++;
        if (run && !wall_add(area, path, (arc + k) % n, run, like, walls))
            return false;
        k += run + 1;
    }
    return true;
}

nw_status nw_flanks_add(const nw_border *area, const nw_drawing *residues, size_t first,
                        size_t count, const nw_flank *like, nw_flanks *walls, nw_error *error)
{
    for (size_t i = first; i < first + count; i++)
        if (!walls_of_path(area, &residues->paths[i], like, walls))
            return nw_fail_memory(error, "the walls to be moved");
    return NW_OK;
}

bool nw_flank_has(const nw_border *area, const nw_flank *wall, uint32_t ring, double station,
                  double *along)
{
    if (ring != wall->ring)
        return false;
    if (station < wall->from)
        station += area->ring_length[ring];
    *along = station;
    return station <= wall->to;
}

size_t nw_flank_at(const nw_border *border, const nw_flanks *walls, uint32_t ring, double station)
{
    double along;
    for (size_t i = 0; i < walls->count; i++)
        if (nw_flank_has(border, &walls->items[i], ring, station, &along))
            return i;
    return SIZE_MAX;
}

double nw_station_on(const nw_border *border, uint32_t segment, nw_point p)
{
    return border->station[segment] +
           nw_dot(nw_minus(p, border->points[segment]), border->along[segment]);
}
