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
    free(walls->sorted);
    free(walls->reach);
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
    nw_point start = nw_path_from(path, first);
    nw_point before_end = nw_path_from(path, last);
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

static int by_place(const void *p, const void *q)
{
    const nw_flank *a = *(const nw_flank *const *)p, *b = *(const nw_flank *const *)q;
    if (a->ring != b->ring)
        return a->ring < b->ring ? -1 : 1;
    return a->from != b->from ? (a->from > b->from) - (a->from < b->from) : (a > b) - (a < b);
}

nw_status nw_flanks_sort(nw_flanks *walls, nw_error *error)
{
    const nw_flank **order = nw_alloc(walls->count, sizeof *order);
    walls->sorted = nw_alloc(walls->count, sizeof *walls->sorted);
    walls->reach = nw_alloc(walls->count, sizeof *walls->reach);
    bool good = order && walls->sorted && walls->reach;
    for (size_t i = 0; good && i < walls->count; i++)
        order[i] = &walls->items[i];
    if (good)
        nw_sort(order, walls->count, sizeof *order, by_place);
    for (size_t k = 0; good && k < walls->count; k++) {
        bool goes_on = k && order[k]->ring == order[k - 1]->ring;
        walls->sorted[k] = (size_t)(order[k] - walls->items);
        walls->reach[k] = goes_on ? fmax(walls->reach[k - 1], order[k]->to) : order[k]->to;
    }
    free(order);
    return good ? NW_OK : nw_fail_memory(error, "the walls to be moved");
}

/* The first of the walls that begin at the station or before it and go on to it, unless `best` is
 * before it. */
static size_t flank_over(const nw_flanks *walls, uint32_t ring, double station, size_t best)
{
    size_t low = 0, high = walls->count;
    while (low < high) {
        size_t middle = (low + high) / 2;
        const nw_flank *wall = &walls->items[walls->sorted[middle]];
        bool before = wall->ring < ring || (wall->ring == ring && wall->from <= station);
        *(before ? &low : &high) = before ? middle + 1 : middle;
    }
    for (size_t k = low; k-- > 0;) {
        const nw_flank *wall = &walls->items[walls->sorted[k]];
        if (wall->ring != ring || walls->reach[k] < station)
            break;
        if (wall->to >= station && walls->sorted[k] < best)
            best = walls->sorted[k];
    }
    return best;
}

size_t nw_flank_at(const nw_border *border, const nw_flanks *walls, uint32_t ring, double station)
{
    size_t best = flank_over(walls, ring, station, SIZE_MAX);
    return flank_over(walls, ring, station + border->ring_length[ring], best);
}

double nw_station_on(const nw_border *border, uint32_t segment, nw_point p)
{
    return border->station[segment] +
           nw_dot(nw_minus(p, border->points[segment]), border->along[segment]);
}
