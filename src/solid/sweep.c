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
#define FLAT_OF_RADIUS 1e-5
#define FIT_MM 0.002
#define CORNER_RAD 0.25 /* five times what two chords of an arc turn */

/* A ring's points, the last not repeated. */
typedef struct {
    nw_point *items;
    size_t count, capacity;
} ring_points;

static bool ring_push(ring_points *ring, nw_point p)
{
    if (ring->count && nw_distance(p, ring->items[ring->count - 1]) <= NW_SAME_MM)
        return true;
    return nw_push(&ring->items, &ring->count, &ring->capacity, &p, sizeof p);
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
        int count = (int)fmax(ceil(length / (apart * radius)), 1);
        for (int k = 0; k < count && good; k++)
            good = ring_push(ring, k ? nw_step_at(from, step, (double)k / count) : from);
    }
    if (ring->count > 1 && nw_distance(ring->items[0], ring->items[ring->count - 1]) <= NW_SAME_MM)
        ring->count--;
    return good;
}

static bool is_corner(const ring_points *ring, size_t i)
{
    size_t n = ring->count;
    nw_point in = nw_minus(ring->items[i], ring->items[(i + n - 1) % n]);
    nw_point out = nw_minus(ring->items[(i + 1) % n], ring->items[i]);
    double turn = nw_angle(in, out);
    return fabs(turn) > CORNER_RAD;
}

/* The smooth run from point first to point last of the doubled list. */
static bool run_fit(const nw_point *points, size_t first, size_t last, size_t n, bool smooth,
                    nw_path *path)
{
    nw_point leave = nw_minus(points[first + 1], points[first]);
    nw_point arrive = nw_minus(points[last], points[last - 1]);
    if (smooth) /* a ring without corners: the same direction through its only joint */
        leave = arrive = nw_minus(points[first + 1], points[(first + n - 1) % n]);
    return nw_path_fit(path, points + first, last - first + 1, leave, arrive, FIT_MM);
}

static bool ring_fit(const ring_points *ring, nw_path *path)
{
    size_t n = ring->count, first = 0;
    nw_point *twice = nw_alloc(2 * n + 1, sizeof *twice);
    while (first < n && !is_corner(ring, first))
        first++;
    bool smooth = first == n;
    first = smooth ? 0 : first;
    for (size_t i = 0; twice && i <= 2 * n; i++)
        twice[i] = ring->items[i % n];
    path->start = ring->items[first];
    bool done = twice != NULL;
    for (size_t from = first; done && from < first + n;) {
        size_t to = from + 1;
        while (to < first + n && !is_corner(ring, to % n))
            to++;
        done = run_fit(twice, from, to, n, smooth, path);
        from = to;
    }
    free(twice);
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
