/*
 * sweep: what a disc covers as it runs along lines, as a few smooth curves.
 *
 * A round pen's strokes along the lines are united. Their rings are cut at corners, and each smooth
 * run between two corners becomes a few Bézier curves (cubic_fit.c).
 */
#include <solid/solid.h>

#include <stdlib.h>

#define ARC_OF_RADIUS 0.05     /* between points on an arc; chords are within 3e-4 of the radius */
#define LONGEST_OF_RADIUS 0.25 /* between points on a line, for curves are held to points only */
#define LINE_OF_RADIUS 3.0     /* longer ones stay lines; a curve is drawn in shorter ones */
#define FLAT_OF_RADIUS 1e-5
#define FIT_MM 0.002
#define CORNER_RAD 0.25 /* five times what two chords of an arc turn */

/* A ring's points, the last not repeated. */
typedef struct {
    nw_point at;
    bool line; /* from here to the next: it stays one */
} ring_point;

typedef struct {
    ring_point *items;
    size_t count, capacity;
} ring_points;

static bool ring_push(ring_points *ring, nw_point p, bool line)
{
    if (ring->count && nw_distance(p, ring->items[ring->count - 1].at) <= NW_SAME_MM) {
        ring->items[ring->count - 1].line = line;
        return true;
    }
    ring_point point = {p, line};
    return nw_push(&ring->items, &ring->count, &ring->capacity, &point, sizeof point);
}

static bool ring_read(const nw_path *path, double radius, ring_points *ring)
{
    nw_point from = path->start;
    bool good = true;
    for (size_t i = 0; i < path->count && good; from = path->steps[i++].to) {
        const nw_step *step = &path->steps[i];
        double length = nw_distance(from, step->to), apart = LONGEST_OF_RADIUS;
        if (step->kind == NW_CURVE) {
            length = nw_distance(from, step->a) + nw_distance(step->a, step->b) +
                     nw_distance(step->b, step->to);
            apart = ARC_OF_RADIUS;
        }
        bool line = step->kind == NW_LINE && length > LINE_OF_RADIUS * radius;
        int count = line ? 1 : (int)fmax(ceil(length / (apart * radius)), 1);
        for (int k = 0; k < count && good; k++)
            good = ring_push(ring, k ? nw_step_at(from, step, (double)k / count) : from, line);
    }
    if (ring->count > 1 &&
        nw_distance(ring->items[0].at, ring->items[ring->count - 1].at) <= NW_SAME_MM)
        ring->count--;
    return good;
}

/* The way from point i of the ring to the next. */
static nw_point way_from(const ring_points *ring, size_t i)
{
    size_t n = ring->count;
    return nw_minus(ring->items[(i + 1) % n].at, ring->items[i % n].at);
}

static bool is_corner(const ring_points *ring, size_t i)
{
    double turn = nw_angle(way_from(ring, i + ring->count - 1), way_from(ring, i));
    return fabs(turn) > CORNER_RAD;
}

/* Corners, and both ends of lines. */
static bool is_joint(const ring_points *ring, size_t i)
{
    size_t n = ring->count;
    return ring->items[i % n].line || ring->items[(i + n - 1) % n].line || is_corner(ring, i);
}

/* The smooth run from point first to point last, which may be beyond the ring's end; points: room
 * for it. It goes on as a line does that it joins smoothly. */
static bool run_fit(const ring_points *ring, size_t first, size_t last, nw_point *points,
                    nw_path *path)
{
    size_t n = ring->count, before = first + n - 1;
    for (size_t i = first; i <= last; i++)
        points[i - first] = ring->items[i % n].at;
    nw_point leave = way_from(ring, first), arrive = way_from(ring, last - 1);
    if (ring->items[first % n].line)
        return nw_path_line(path, points[1]);
    if (!is_joint(ring, first)) /* a ring without corners: the same way through its only joint */
        leave = arrive = nw_minus(points[1], ring->items[before % n].at);
    if (ring->items[before % n].line && !is_corner(ring, first))
        leave = way_from(ring, before);
    if (ring->items[last % n].line && !is_corner(ring, last))
        arrive = way_from(ring, last);
    return nw_path_fit(path, points, last - first + 1, leave, arrive, FIT_MM);
}

static bool ring_fit(const ring_points *ring, nw_path *path)
{
    size_t n = ring->count, first = 0;
    nw_point *points = nw_alloc(n + 1, sizeof *points);
    while (first < n && !is_joint(ring, first))
        first++;
    first = first == n ? 0 : first;
    path->start = ring->items[first].at;
    bool done = points != NULL;
    for (size_t from = first; done && from < first + n;) {
        size_t to = from + 1;
        while (to < first + n && !is_joint(ring, to))
            to++;
        done = run_fit(ring, from, to, points, path);
        from = to;
    }
    free(points);
    return done;
}

/* The rings' smooth runs as curves. */
static bool rings_smooth(const nw_drawing *rings, double radius, nw_drawing *swept)
{
    bool good = true;
    for (size_t i = 0; i < rings->count && good; i++) {
        const nw_path *from = &rings->paths[i];
        ring_points ring = {0};
        nw_path path = {.closed = true, .hole = from->hole, .piece = from->piece};
        good = ring_read(from, radius, &ring);
        if (good && ring.count >= 3)
            good = ring_fit(&ring, &path) && nw_drawing_add(swept, &path);
        free(ring.items);
        nw_path_free(&path);
    }
    return good;
}

/* Adds the insides of closed lines to what a pen covers, counter-clockwise too. */
static nw_status insides_add(const nw_drawing *lines, nw_drawing *shapes, nw_error *error)
{
    nw_drawing insides;
    nw_status status = nw_drawing_copy(lines, &insides, error);
    for (size_t i = 0; i < insides.count && !status; i++) {
        nw_path *path = &insides.paths[i];
        if (path->closed && nw_path_area(path) < 0)
            nw_path_reverse(path);
        if (path->closed && path->count && !nw_drawing_add(shapes, path))
            status = nw_fail_memory(error, "the swept area");
    }
    nw_drawing_free(&insides);
    return status;
}

nw_status nw_drawing_sweep(const nw_drawing *lines, double radius, nw_drawing *swept,
                           nw_error *error)
{
    *swept = (nw_drawing){0};
    nw_stroke disc = {.width = 2 * radius,
                      .cap = NW_CAP_ROUND,
                      .join = NW_JOIN_ROUND,
                      .flatness = FLAT_OF_RADIUS * radius};
    nw_drawing shapes, rings = {0};
    nw_status status = nw_drawing_stroke(lines, &disc, &shapes, error);
    status = status ? status : insides_add(lines, &shapes, error);
    status = status ? status : nw_drawing_unite(&shapes, &rings, error);
    if (!status && !rings_smooth(&rings, radius, swept)) {
        nw_drawing_free(swept);
        status = nw_fail_memory(error, "the swept area");
    }
    nw_drawing_free(&rings);
    nw_drawing_free(&shapes);
    return status;
}
