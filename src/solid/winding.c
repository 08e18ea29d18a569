/*
 * winding: rings of points and a place -> how often the rings go round it, counter-clockwise
 * positive.
 *
 * A ray to the right counts upward and downward edges (Sunday, Inclusion of a point in a polygon,
 * 2001, from memory). Edges are sorted into horizontal strips, so that a place looks only at those
 * of its own strip; the strips are made as fine as eight entries an edge allow.
 */
#include <solid/unite_internal.h>

#include <math.h>
#include <stdlib.h>

#define ENTRIES_PER_EDGE 8

typedef struct {
    size_t first, last;
} strip_range;

static size_t strip_of(const winding_index *index, double y)
{
    double strip = floor((y - index->bottom) / index->strip_height);
    if (!(strip > 0)) {
        return 0;
    }
    return strip < (double)index->strip_count ? (size_t)strip : index->strip_count - 1;
}

static strip_range strips_of_edge(const winding_index *index, size_t edge)
{
    double y0 = index->points[edge].y, y1 = index->points[index->edge_ends[edge]].y;
    return (strip_range){strip_of(index, fmin(y0, y1)), strip_of(index, fmax(y0, y1))};
}

static void strips_choose(winding_index *index, size_t count)
{
    double bottom = INFINITY, top = -INFINITY, heights = 0;
    for (size_t i = 0; i < count; i++) {
        bottom = fmin(bottom, index->points[i].y);
        top = fmax(top, index->points[i].y);
        heights += fabs(index->points[index->edge_ends[i]].y - index->points[i].y);
    }
    double height = top - bottom;
    double strips = height > 0 && heights > 0
                        ? fmin((double)count, ENTRIES_PER_EDGE * (double)count * height / heights)
                        : 1;
    index->strip_count = strips > 1 ? (size_t)strips : 1;
    index->bottom = bottom;
    index->strip_height = height > 0 ? height / (double)index->strip_count : 1;
}

static bool strips_fill(winding_index *index, size_t count)
{
    index->strips = nw_alloc(index->strip_count + 2, sizeof *index->strips);
    if (!index->strips) {
        return false;
    }
    /* Counted one place ahead, so that filling moves every offset into place. */
    for (size_t i = 0; i < count; i++) {
        strip_range range = strips_of_edge(index, i);
        for (size_t s = range.first; s <= range.last; s++) {
            index->strips[s + 2]++;
        }
    }
    for (size_t s = 2; s <= index->strip_count + 1; s++) {
        index->strips[s] += index->strips[s - 1];
    }
    index->edges = nw_alloc(index->strips[index->strip_count + 1], sizeof *index->edges);
    if (!index->edges) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        strip_range range = strips_of_edge(index, i);
        for (size_t s = range.first; s <= range.last; s++) {
            index->edges[index->strips[s + 1]++] = i;
        }
    }
    return true;
}

nw_status nw_winding_index_make(const nw_point *points, const size_t *starts, size_t ring_count,
                                winding_index *index, nw_error *error)
{
    size_t count = starts[ring_count];
    *index = (winding_index){.points = points};
    index->edge_ends = nw_alloc(count, sizeof *index->edge_ends);
    if (index->edge_ends) {
        for (size_t r = 0; r < ring_count; r++) {
            for (size_t i = starts[r]; i < starts[r + 1]; i++) {
                index->edge_ends[i] = i + 1 < starts[r + 1] ? i + 1 : starts[r];
            }
        }
        strips_choose(index, count);
        if (strips_fill(index, count)) {
            return NW_OK;
        }
    }
    nw_winding_index_free(index);
    return nw_fail_memory(error, "the outlines' order");
}

int nw_winding_at(const winding_index *index, nw_point place)
{
    int winding = 0;
    size_t strip = strip_of(index, place.y);
    for (size_t e = index->strips[strip]; e < index->strips[strip + 1]; e++) {
        nw_point p = index->points[index->edges[e]];
        nw_point q = index->points[index->edge_ends[index->edges[e]]];
        bool up = p.y <= place.y && q.y > place.y;
        bool down = q.y <= place.y && p.y > place.y;
        if (!up && !down) {
            continue;
        }
        double side = (q.x - p.x) * (place.y - p.y) - (place.x - p.x) * (q.y - p.y);
        winding += up && side > 0 ? 1 : down && side < 0 ? -1 : 0;
    }
    return winding;
}

void nw_winding_index_free(winding_index *index)
{
    if (index) {
        free(index->edges);
        free(index->edge_ends);
        free(index->strips);
        *index = (winding_index){0};
    }
}
