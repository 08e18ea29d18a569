/*
 * A region -> the border of the area to be rolled along: its segments in outline order, the area
 * on their left, with a tree of boxes over them; and the border of the complement, with the
 * sheet's rectangle as its end if there is one.
 */
#include <fit/border.h>

#include <math.h>
#include <stdlib.h>

#define TURN_LEAST_RAD 1e-9 /* a point that turns by less does not turn */
#define THIN_MOST 64        /* points of a chord: bounds the work */
#define LARGEST_MM 1e6      /* beyond it 1e-6 mm would drown in rounding */
#define SLIVER_MM2 1e-3     /* less than any dust */

nw_point nw_border_at(const nw_border *border, uint32_t i, double t)
{
    if (t >= border->length[i])
        return border->points[border->next[i]];
    return nw_plus(border->points[i], border->along[i], t);
}

bool nw_border_reflex(const nw_border *border, uint32_t i)
{
    return nw_cross(border->along[border->prev[i]], border->along[i]) < -TURN_LEAST_RAD;
}

double nw_border_turn(const nw_border *border, uint32_t i)
{
    nw_point before = border->along[border->prev[i]], after = border->along[i];
    return nw_angle(after, before);
}

void nw_border_free(nw_border *border)
{
    if (!border)
        return;
    free(border->points);
    free(border->along);
    free(border->length);
    free(border->station);
    free(border->ring_length);
    free(border->next);
    free(border->prev);
    free(border->ring);
    free(border->starts);
    nw_tree_free(&border->tree);
    free(border->balls);
    free(border->fates);
    *border = (nw_border){0};
}

bool nw_border_remember(nw_border *border)
{
    border->fates = nw_alloc(2 * border->count, sizeof *border->fates);
    for (size_t k = 0; border->fates && k < 2 * border->count; k++)
        border->fates[k].blocked = INFINITY;
    border->balls = nw_alloc(border->ring_count, sizeof *border->balls);
    return border->fates && border->balls;
}

static bool apart(nw_point a, nw_point b)
{
    return nw_distance(a, b) > NW_MERGE_MM;
}

/* True where the outline doubles back on itself at b: a spike or slit without width. */
static bool doubles_back(nw_point a, nw_point b, nw_point c)
{
    nw_point in = nw_minus(b, a), out = nw_minus(c, b);
    if (nw_dot(in, out) >= 0)
        return false;
    return fabs(nw_cross(in, out)) < NW_MERGE_MM * fmax(nw_length(in), nw_length(out));
}

/* How far from the line a to b the points between them lie, at most, would they go. */
static double farthest(const nw_point *points, size_t a, size_t b)
{
    nw_point way = nw_minus(points[b], points[a]);
    double length = nw_length(way), most = 0;
    for (size_t k = a + 1; k < b; k++) {
        nw_point p = nw_minus(points[k], points[a]);
        double along = nw_dot(p, way) / length;
        bool beside = along > 0 && along < length;
        most = fmax(most, beside ? fabs(nw_cross(way, p)) / length : INFINITY);
    }
    return most;
}

/* Of points that stand closer than any picture or cutter tells, keeps those that a chord does not
 * pass within NW_THIN_MM. Returns where the ring ends then. */
static size_t ring_thin(nw_point *points, size_t first, size_t end)
{
    size_t kept = first, from = first;
    while (from + 1 < end) {
        size_t to = from + 1;
        while (to + 1 < end && to - from < THIN_MOST &&
               nw_distance(points[from], points[to + 1]) < NW_DENSE_MM &&
               farthest(points, from, to + 1) < NW_THIN_MM)
            to++;
        points[++kept] = points[to];
        from = to;
    }
    return kept + 1;
}

/* Appends a ring's points; those that coincide merge, what doubles back without width goes, and
 * a ring of less than three points vanishes. */
static void ring_add(nw_border *border, const nw_point *points, size_t count, bool reversed)
{
    size_t first = border->count, n = first;
    nw_point *kept = border->points;
    for (size_t k = 0; k < count; k++) {
        nw_point p = points[reversed ? count - 1 - k : k];
        while (n > first + 1 && doubles_back(kept[n - 2], kept[n - 1], p))
            n--;
        if (n == first || apart(p, kept[n - 1]))
            kept[n++] = p;
    }
    size_t start = first;
    for (bool more = true; more && n >= start + 3;) {
        more = true;
        if (!apart(kept[n - 1], kept[start]) || doubles_back(kept[n - 2], kept[n - 1], kept[start]))
            n--;
        else if (doubles_back(kept[n - 1], kept[start], kept[start + 1]))
            start++;
        else
            more = false;
    }
    if (n < start + 3)
        return;
    for (size_t k = start; k < n && start > first; k++)
        kept[k - start + first] = kept[k];
    n = ring_thin(kept, first, n - (start - first));
    if (n < first + 3)
        return;
    border->count = n;
    border->starts[++border->ring_count] = border->count;
}

static void segments_fill(nw_border *border)
{
    for (size_t k = 0; k < border->ring_count; k++) {
        size_t first = border->starts[k], last = border->starts[k + 1] - 1;
        double station = 0;
        for (size_t i = first; i <= last; i++) {
            uint32_t next = (uint32_t)(i == last ? first : i + 1);
            border->next[i] = next;
            border->prev[next] = (uint32_t)i;
            border->ring[i] = (uint32_t)k;
            nw_point step = nw_minus(border->points[next], border->points[i]);
            double length = nw_length(step);
            border->length[i] = length;
            border->along[i] = (nw_point){step.x / length, step.y / length};
            border->station[i] = station;
            station += length;
        }
        border->ring_length[k] = station;
    }
}

static nw_status tree_fill(nw_border *border, nw_error *error)
{
    nw_box *boxes = nw_alloc_raw(border->count, sizeof *boxes);
    if (!boxes)
        return nw_fail_memory(error, "the outlines' boxes");
    for (size_t i = 0; i < border->count; i++)
        boxes[i] = nw_box_of(border->points[i], border->points[border->next[i]], 0);
    nw_status status = nw_tree_make(boxes, border->count, &border->tree, error);
    free(boxes);
    return status;
}

static nw_status room_make(nw_border *border, size_t points, size_t rings, nw_error *error)
{
    border->points = nw_alloc_raw(points, sizeof *border->points);
    border->along = nw_alloc_raw(points, sizeof *border->along);
    border->length = nw_alloc_raw(points, sizeof *border->length);
    border->station = nw_alloc_raw(points, sizeof *border->station);
    border->next = nw_alloc_raw(points, sizeof *border->next);
    border->prev = nw_alloc_raw(points, sizeof *border->prev);
    border->ring = nw_alloc_raw(points, sizeof *border->ring);
    border->starts = nw_alloc(rings + 1, sizeof *border->starts);
    border->ring_length = nw_alloc_raw(rings, sizeof *border->ring_length);
    if (border->points && border->along && border->length && border->station && border->next &&
        border->prev && border->ring && border->starts && border->ring_length)
        return NW_OK;
    return nw_fail_memory(error, "the outlines' segments");
}

static nw_status points_check(const nw_region *region, size_t count, nw_error *error)
{
    if (count > UINT32_MAX / 4)
        return nw_fail(error, NW_BAD_INPUT, "the outlines have too many points: %zu", count);
    for (size_t i = 0; i < count; i++) {
        nw_point p = region->points[i];
        if (!(fabs(p.x) <= LARGEST_MM && fabs(p.y) <= LARGEST_MM))
            return nw_fail(error, NW_BAD_INPUT,
                           "point %zu of the outlines is not a place within 1 km", i + 1);
    }
    return NW_OK;
}

static bool is_flush(const nw_region *region, size_t count, const nw_box *sheet)
{
    for (size_t i = 0; i < count; i++) {
        nw_point p = region->points[i];
        if (fmin(p.x - sheet->min.x, sheet->max.x - p.x) <= NW_FLUSH_MM ||
            fmin(p.y - sheet->min.y, sheet->max.y - p.y) <= NW_FLUSH_MM)
            return true;
    }
    return false;
}

static nw_status across_find(const nw_region *region, size_t count, double *across, nw_error *error)
{
    size_t corners;
    nw_point *hull = nw_hull_make(region->points, count, &corners);
    *across = hull ? nw_hull_across(hull, corners) : 0;
    free(hull);
    return hull ? NW_OK : nw_fail_memory(error, "the art's hull");
}

/* Does ring k lie beside others, with none in it? boxes: of all rings, which the tree holds. */
static bool lies_beside(const nw_tree *tree, const nw_box *boxes, size_t k)
{
    nw_box about = nw_box_of(boxes[k].min, boxes[k].max, NW_FLUSH_MM);
    bool beside = false;
    nw_walk walk;
    uint32_t other;
    nw_walk_start(&walk, tree, about, nw_middle(about.min, about.max));
    while (nw_walk_next(&walk, &other)) {
        if (other == k)
            continue;
        if (nw_box_surrounds(boxes[k], boxes[other]))
            return false;
        beside = beside || nw_boxes_meet(boxes[k], boxes[other], NW_FLUSH_MM);
    }
    return beside;
}

/* Where outlines that crossed were taken apart crumbs are left, thinner than the flatness, which
 * touch what is beside them in more points than one: no disc can tell on which side of them it is.
 * What has another ring in it stays, for that lies on its other side; so does what lies alone. */
static nw_status slivers_find(const nw_region *region, bool *sliver, nw_error *error)
{
    bool any = false;
    for (size_t k = 0; k < region->count; k++) {
        double area = fabs(nw_ring_area(region, k));
        sliver[k] = area < SLIVER_MM2 && 2 * area < NW_FLUSH_MM * nw_ring_length(region, k);
        any = any || sliver[k];
    }
    if (!any)
        return NW_OK;
    nw_box *boxes = nw_alloc(region->count, sizeof *boxes);
    nw_tree tree = {0};
    for (size_t k = 0; boxes && k < region->count; k++)
        boxes[k] = nw_ring_box(region, k);
    nw_status status = boxes ? nw_tree_make(boxes, region->count, &tree, error)
                             : nw_fail_memory(error, "the outlines' boxes");
    for (size_t k = 0; status == NW_OK && k < region->count; k++)
        sliver[k] = sliver[k] && lies_beside(&tree, boxes, k);
    nw_tree_free(&tree);
    free(boxes);
    return status;
}

static nw_status border_fill(const nw_region *region, size_t count, bool reversed,
                             const nw_box *sheet, nw_border *border, nw_error *error)
{
    bool *sliver = nw_alloc(region->count, sizeof *sliver);
    nw_status status = sliver ? room_make(border, count + 4, region->count + 1, error)
                              : nw_fail_memory(error, "the outlines");
    if (status == NW_OK)
        status = slivers_find(region, sliver, error);
    for (size_t k = 0; status == NW_OK && k < region->count; k++)
        if (!sliver[k])
            ring_add(border, region->points + region->starts[k],
                     region->starts[k + 1] - region->starts[k], reversed);
    free(sliver);
    if (status != NW_OK)
        return status;
    if (sheet) {
        nw_point corners[] = {
            sheet->min, {sheet->max.x, sheet->min.y}, sheet->max, {sheet->min.x, sheet->max.y}};
        ring_add(border, corners, 4, false);
    }
    segments_fill(border);
    return tree_fill(border, error);
}

nw_status nw_border_make(const nw_region *region, bool reversed, const nw_box *sheet,
                         nw_border *border, nw_error *error)
{
    *border = (nw_border){0};
    nw_region rest = {0};
    size_t count = region->count ? region->starts[region->count] : 0;
    nw_status status = points_check(region, count, error);
    double across = 0;
    if (status == NW_OK)
        status = across_find(region, count, &across, error);
    if (status == NW_OK && sheet && is_flush(region, count, sheet)) {
        status = nw_sheet_rings(region, sheet, &rest, error);
        count = rest.count ? rest.starts[rest.count] : 0;
        region = &rest;
        reversed = false;
        sheet = NULL;
    }
    if (status == NW_OK)
        status = border_fill(region, count, reversed, sheet, border, error);
    border->across = across;
    if (status != NW_OK)
        nw_border_free(border);
    nw_region_free(&rest);
    return status;
}

uint32_t nw_border_segment(const nw_border *border, uint32_t ring, double along)
{
    size_t low = border->starts[ring], high = border->starts[ring + 1];
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        *(border->station[middle] <= along ? &low : &high) = middle;
    }
    return (uint32_t)low;
}

double nw_border_area(const nw_border *border)
{
    double twice = 0;
    for (size_t i = 0; i < border->count; i++) {
        nw_point origin = border->points[border->starts[border->ring[i]]];
        twice += nw_cross(nw_minus(border->points[i], origin),
                          nw_minus(border->points[border->next[i]], origin));
    }
    return twice / 2;
}
