/*
 * wide_parts: parts of art drawn as lines that are no lines, such as a filled nose: they keep their
 * outlines.
 *
 * The circle through a triangle's corners is the largest disc that fits there, for no other point
 * lies within it. Where such discs are three times as wide as the line, and many enough, the ink is
 * a wide part. Its outline follows the ink's, and where a line leads into it goes straight across;
 * the line's middle ends there.
 */
#include <lines/mesh.h>
#include <lines/ribbon.h>
#include <lines/trail.h>

#include <math.h>
#include <stdlib.h>

static const double WIDE = 3;          /* widths of the line: a disc of a wide part */
static const double LEAST = 12;        /* squared widths: its least area */
static const double CORNER_TURN = 0.5; /* radians between edges that are a corner's */

static double radius_of(const nw_region *region, const nw_triangle *t, double *area)
{
    nw_point a = region->points[t->corner[0]], b = region->points[t->corner[1]],
             c = region->points[t->corner[2]];
    *area = nw_cross(nw_minus(b, a), nw_minus(c, a)) / 2;
    return nw_distance(a, b) * nw_distance(b, c) * nw_distance(c, a) / (4 * *area);
}

/* Collects the wide triangles that hang together with the first of the list; returns their area. */
static double part_collect(const nw_region *region, const nw_triangulation *cut, const bool *wide,
                           bool *seen, uint32_t *list, uint32_t *count)
{
    double area = 0;
    for (uint32_t i = 0; i < *count; i++) {
        const nw_triangle *t = &cut->items[list[i]];
        double own;
        radius_of(region, t, &own);
        area += own;
        for (int k = 0; k < 3; k++) {
            uint32_t u = t->beside[k];
            if (u != NO_TRIANGLE && wide[u] && !seen[u]) {
                seen[u] = true;
                list[(*count)++] = u;
            }
        }
    }
    return area;
}

bool nw_wide_find(const nw_region *region, const nw_triangulation *cut, double width, bool *wide,
                  size_t *count)
{
    bool *seen = nw_alloc(cut->count, sizeof *seen);
    uint32_t *list = nw_alloc(cut->count, sizeof *list);
    *count = 0;
    for (uint32_t t = 0; seen && list && t < cut->count; t++) {
        double area;
        wide[t] = 2 * radius_of(region, &cut->items[t], &area) > WIDE * width;
    }
    for (uint32_t t = 0; seen && list && t < cut->count; t++) {
        if (wide[t] && !seen[t]) {
            uint32_t part = 1;
            list[0] = t;
            seen[t] = true;
            bool large = part_collect(region, cut, wide, seen, list, &part) > LEAST * width * width;
            *count += large;
            for (uint32_t i = 0; i < part && !large; i++)
                wide[list[i]] = false;
        }
    }
    bool good = seen && list;
    free(seen);
    free(list);
    return good;
}

/* ---- outlines -------------------------------------------------------------------------------- */

/* A walk along the outlines of wide parts. */
typedef struct {
    const nw_region *region;
    const nw_ribbon *r;
    size_t *next; /* of each point */
    bool *seen;
    nw_trail t;
} outliner;

static bool points_link(outliner *o)
{
    const nw_region *region = o->region;
    size_t points = nw_region_size(region);
    o->next = nw_alloc(points, sizeof *o->next);
    o->seen = nw_alloc(points, sizeof *o->seen);
    for (size_t k = 0; o->next && k < region->count; k++)
        for (size_t i = region->starts[k]; i < region->starts[k + 1]; i++)
            o->next[i] = i + 1 < region->starts[k + 1] ? i + 1 : region->starts[k];
    return o->next && o->seen;
}

/* The next point of the outline; across a mouth where a branch is left. */
static size_t step_from(const outliner *o, size_t i, bool *across)
{
    size_t n = o->r->mouth[i];
    *across = n != NOWHERE && o->r->nodes[n].degree > 0;
    return *across ? o->r->nodes[n].mouth_end : o->next[i];
}

/* Adds the points of one outline; false when it does not lead back to its start. */
static bool outline_walk(outliner *o, size_t start, bool *memory)
{
    size_t i = start;
    bool across, came_across = false;
    do {
        size_t to = step_from(o, i, &across);
        o->seen[i] = true;
        nw_place_kind kind = across || came_across ? SHARP_KNOT : PASSED;
        *memory = *memory && nw_trail_add(&o->t, o->region->points[i], kind);
        came_across = across;
        i = to;
    } while (i != start && !o->seen[i] && *memory);
    if (came_across && *memory)
        o->t.kinds[0] = SHARP_KNOT;
    return i == start;
}

/* Makes knots where the outline turns sharply. */
static void corners_find(nw_trail *t)
{
    for (size_t i = 0; i < t->count; i++) {
        nw_point p = t->places[(i + t->count - 1) % t->count], q = t->places[i],
                 s = t->places[(i + 1) % t->count];
        double turn = nw_angle(nw_minus(q, p), nw_minus(s, q));
        t->kinds[i] = fabs(turn) > CORNER_TURN ? SHARP_KNOT : t->kinds[i];
    }
}

/* Turns the places round so that the first is a knot, and closes the trail. */
static bool places_close(nw_trail *t)
{
    size_t first = 0, count = t->count;
    while (first < count && t->kinds[first] == PASSED)
        first++;
    bool smooth = first == count;
    first = smooth ? 0 : first;
    for (size_t i = 0; i <= first; i++)
        if (!nw_trail_add(t, t->places[i], t->kinds[i]))
            return false;
    t->count -= first;
    for (size_t i = 0; i < t->count; i++) {
        t->places[i] = t->places[i + first];
        t->kinds[i] = t->kinds[i + first];
    }
    t->kinds[0] = t->kinds[t->count - 1] = smooth ? SMOOTH_KNOT : SHARP_KNOT;
    t->closed = true;
    return true;
}

static bool outlines_write(outliner *o, nw_drawing *parts)
{
    size_t points = o->region->starts[o->region->count];
    bool memory = true;
    for (size_t i = 0; i < points && memory; i++) {
        if (!o->r->wide[i] || o->seen[i])
            continue;
        o->t.count = 0;
        if (outline_walk(o, i, &memory) && memory && o->t.count > 2) {
            corners_find(&o->t);
            memory = places_close(&o->t) && nw_trail_write(&o->t, 0, false, parts);
        }
    }
    return memory;
}

nw_status nw_wide_parts_write(const nw_region *region, const nw_ribbon *r, double width,
                              nw_drawing *out, nw_error *error)
{
    if (r->wide_count == 0)
        return NW_OK;
    outliner o = {.region = region, .r = r, .t = {.width = width}};
    nw_drawing parts = {0};
    bool good = points_link(&o) && outlines_write(&o, &parts);
    free(o.next);
    free(o.seen);
    nw_trail_free(&o.t);
    nw_status status = good ? nw_drawing_nest(&parts, width / 100, true, error)
                            : nw_fail_memory(error, "the wide parts' outlines");
    for (size_t i = 0; i < parts.count && status == NW_OK; i++) {
        status = nw_drawing_add(out, &parts.paths[i])
                     ? NW_OK
                     : nw_fail_memory(error, "the wide parts' outlines");
    }
    nw_drawing_free(&parts);
    return status;
}
