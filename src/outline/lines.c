/*
 * lines: art that was drawn as a thick line -> its outer edge, its inner edges, or its middle.
 *
 * A piece is a line when it has a hole, and the way across the ink from most places on its
 * boundary is about as long as everywhere else: within a third of the mean width, which is twice
 * the area over the perimeter. The way across is a ray along the inward normal to the next edge,
 * found in the tree of segments. The middle is traced by the middles of these ways; each is met
 * from both ends, so only the one from the earlier edge counts.
 */
#include "outline_internal.h"

#include <math.h>
#include <stdlib.h>

static const double EVEN_PART = 0.7;      /* of the boundary has to be even */
static const double EVEN_WIDTH = 1.0 / 3; /* of the mean width, either way */
static const double SLENDER = 6;          /* times its width, a line is at least as large */
static const double FLATNESS_OF_SIZE = 1e-4;
static const double MOST_GAP = 3;           /* widths of edge that a middle is carried over */
static const double SHARP = 0.3;            /* sine of the turn that makes a corner of a middle */
static const double MIDDLE_OF_WIDTH = 0.05; /* how far the middle's curves may leave its places */

typedef struct {
    nw_region region;
    segment_tree tree;
    size_t piece_count;
    double *area, *perimeter, *even, *width; /* of each piece */
    bool *is_line;
} lines;

/* A ray from a segment's inner side. */
typedef struct {
    nw_point from, way; /* way: unit */
    size_t own;         /* segment it starts from */
    double length;      /* to what it meets first; infinity */
    size_t met;
} ray;

static void meet(const segment_tree *tree, size_t i, ray *r)
{
    const segment *s = &tree->segments[i];
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
static bool passes(const nw_box *box, const ray *r)
{
    double x1 = (box->min.x - r->from.x) / r->way.x, x2 = (box->max.x - r->from.x) / r->way.x;
    double y1 = (box->min.y - r->from.y) / r->way.y, y2 = (box->max.y - r->from.y) / r->way.y;
    double enter = fmax(fmax(fmin(x1, x2), fmin(y1, y2)), 0);
    return enter <= fmin(fmin(fmax(x1, x2), fmax(y1, y2)), r->length);
}

static void shoot(const segment_tree *tree, size_t level, size_t node, ray *r)
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

/* The way across the ink from part t of segment i. */
static ray across(const lines *l, size_t i, double t)
{
    const segment *s = &l->tree.segments[i];
    double dx = s->b.x - s->a.x, dy = s->b.y - s->a.y, length = hypot(dx, dy);
    ray r = {.from = {s->a.x + t * dx, s->a.y + t * dy},
             .way = {-dy / length, dx / length},
             .own = i,
             .length = INFINITY};
    shoot(&l->tree, l->tree.levels - 1, 0, &r);
    return r;
}

static size_t piece_of(const lines *l, size_t i)
{
    return l->region.pieces[l->tree.segments[i].ring];
}

static double segment_length(const segment *s)
{
    return hypot(s->b.x - s->a.x, s->b.y - s->a.y);
}

static void measure_sizes(lines *l)
{
    for (size_t i = 0; i < l->tree.count; i++) {
        const segment *s = &l->tree.segments[i];
        l->area[piece_of(l, i)] += (s->a.x * s->b.y - s->a.y * s->b.x) / 2;
        l->perimeter[piece_of(l, i)] += segment_length(s);
    }
    for (size_t p = 0; p < l->piece_count; p++) {
        l->width[p] = l->perimeter[p] > 0 ? 2 * l->area[p] / l->perimeter[p] : 0;
    }
}

static bool is_even(const lines *l, const ray *r)
{
    double width = l->width[piece_of(l, r->own)];
    return fabs(r->length - width) <= EVEN_WIDTH * width;
}

/* How many ways across a segment is worth, at most half a width apart. */
static size_t ways_of(const lines *l, size_t i)
{
    double width = l->width[piece_of(l, i)];
    double n = width > 0 ? ceil(2 * segment_length(&l->tree.segments[i]) / width) : 1;
    return n < 1 ? 1 : n > 1000 ? 1000 : (size_t)n;
}

static void judge(lines *l, const nw_drawing *drawing)
{
    for (size_t i = 0; i < l->tree.count; i++) {
        size_t n = ways_of(l, i);
        for (size_t k = 0; k < n; k++) {
            ray r = across(l, i, ((double)k + 0.5) / (double)n);
            if (is_even(l, &r)) {
                l->even[piece_of(l, i)] += segment_length(&l->tree.segments[i]) / (double)n;
            }
        }
    }
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        size_t p = path->piece;
        /* A line that closes round a hole at least a few widths long. */
        if (path->closed && path->hole && l->even[p] > EVEN_PART * l->perimeter[p] &&
            l->perimeter[p] > 4 * SLENDER * l->width[p]) {
            l->is_line[p] = true;
        }
    }
}

static void lines_free(lines *l)
{
    nw_region_free(&l->region);
    segment_tree_free(&l->tree);
    free(l->area);
    free(l->perimeter);
    free(l->even);
    free(l->width);
    free(l->is_line);
}

static nw_status lines_find(const nw_drawing *drawing, lines *l, nw_error *error)
{
    *l = (lines){0};
    for (size_t i = 0; i < drawing->count; i++) {
        size_t next = drawing->paths[i].piece + 1;
        l->piece_count = next > l->piece_count ? next : l->piece_count;
    }
    double size = fmax(drawing->width, drawing->height);
    if (!(size > 0)) {
        return NW_OK;
    }
    /* Widths hardly change where coarse chords cross: they need not be looked for. */
    size_t crossings;
    nw_status status =
        drawing_flatten(drawing, FLATNESS_OF_SIZE * size, 0, &l->region, NULL, &crossings, error);
    l->area = nw_alloc(l->piece_count, sizeof(double));
    l->perimeter = nw_alloc(l->piece_count, sizeof(double));
    l->even = nw_alloc(l->piece_count, sizeof(double));
    l->width = nw_alloc(l->piece_count, sizeof(double));
    l->is_line = nw_alloc(l->piece_count, sizeof(bool));
    if (status == NW_OK && !(l->area && l->perimeter && l->even && l->width && l->is_line &&
                             segment_tree_make(&l->tree, &l->region))) {
        status = nw_fail_memory(error, "the widths of lines");
    }
    if (status == NW_OK) {
        measure_sizes(l);
        judge(l, drawing);
    }
    return status;
}

static void describe(const lines *l, nw_line_notes *notes)
{
    double area = 0, half_perimeter = 0;
    *notes = (nw_line_notes){0};
    for (size_t p = 0; p < l->piece_count; p++) {
        if (l->is_line && l->is_line[p]) {
            notes->pieces++;
            area += l->area[p];
            half_perimeter += l->perimeter[p] / 2;
        }
    }
    notes->width = half_perimeter > 0 ? area / half_perimeter : 0;
}

/* Of the pieces that are lines only outer outlines, or only holes as ink, stay. */
static nw_status keep_edges(nw_drawing *drawing, const lines *l, bool outer, nw_error *error)
{
    size_t count = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        if (path->closed && l->is_line[path->piece]) {
            if (path->hole == outer) {
                nw_path_free(path);
                continue;
            }
            if (path->hole) {
                path_reverse(path);
                path->hole = false;
            }
        }
        drawing->paths[count++] = *path;
    }
    drawing->count = count;
    return drawing_nest(drawing, FLATNESS_OF_SIZE * fmax(drawing->width, drawing->height), true,
                        error);
}

/* A run of middles under way. */
typedef struct {
    const lines *l;
    nw_drawing *out;
    nw_point *places;
    bool *corners; /* whether the middle turns sharply at a place */
    size_t count, capacity, corner_capacity;
    double gap; /* length of the edge since the last place */
    bool whole; /* nothing has broken it since its ring began */
    bool failed;
} middle;

static void append(middle *m, nw_point p, bool corner)
{
    void *places = m->places, *corners = m->corners;
    m->failed |= !nw_grow(&places, &m->capacity, m->count + 1, sizeof p);
    m->places = places;
    m->failed |= !nw_grow(&corners, &m->corner_capacity, m->count + 1, sizeof corner);
    m->corners = corners;
    if (!m->failed) {
        m->places[m->count] = p;
        m->corners[m->count++] = corner;
    }
}

/* Where the line from p through q meets the one from s through r, if that is within reach. */
static bool meeting(nw_point p, nw_point q, nw_point r, nw_point s, double reach, nw_point *at)
{
    double ux = q.x - p.x, uy = q.y - p.y, vx = r.x - s.x, vy = r.y - s.y;
    double turn = ux * vy - uy * vx, size = hypot(ux, uy) * hypot(vx, vy);
    if (fabs(turn) < SHARP * size) {
        return false;
    }
    double t = ((s.x - q.x) * vy - (s.y - q.y) * vx) / turn;
    *at = (nw_point){q.x + t * ux, q.y + t * uy};
    return t > 0 && hypot(at->x - q.x, at->y - q.y) < reach &&
           hypot(at->x - r.x, at->y - r.y) < reach;
}

/* At a corner of the line the ways across miss: its middle is carried on from both sides. The two
 * latest places come after the gap, which ends at place `before`. */
static void mend_corner(middle *m, size_t before, double width)
{
    nw_point *q = m->places, at;
    if (before < 1 || before >= m->count || m->count - before < 3 ||
        !meeting(q[before - 1], q[before], q[before + 1], q[before + 2], 2 * width, &at)) {
        return;
    }
    nw_point next = q[before + 1], last = q[before + 2];
    m->count = before + 1;
    append(m, at, true);
    append(m, next, false);
    append(m, last, false);
}

static double run_length(const middle *m)
{
    double length = 0;
    for (size_t i = 1; i < m->count; i++) {
        length += hypot(m->places[i].x - m->places[i - 1].x, m->places[i].y - m->places[i - 1].y);
    }
    return length;
}

static nw_point towards(nw_point from, nw_point to)
{
    return (nw_point){to.x - from.x, to.y - from.y};
}

/* Curves through the places, sharp at corners; smooth: also where the end meets the start. */
static bool fit_run(const middle *m, bool smooth, double tolerance, nw_path *path)
{
    const nw_point *q = m->places;
    size_t last = m->count - 1;
    path->start = q[0];
    for (size_t first = 0, end; first < last; first = end) {
        for (end = first + 1; end < last && !m->corners[end]; end++) {
        }
        nw_point leave = towards(q[first], q[first + 1]), arrive = towards(q[end - 1], q[end]);
        if (smooth && first == 0) {
            leave = towards(q[last - 1], q[1]);
        }
        if (smooth && end == last) {
            arrive = towards(q[last - 1], q[1]);
        }
        if (!nw_path_fit(path, q + first, end - first + 1, leave, arrive, tolerance)) {
            return false;
        }
    }
    return true;
}

/* Leads the run back to its start; true when there is a corner on the way. */
static bool close_run(middle *m, double width)
{
    const nw_point *q = m->places;
    nw_point at, start = q[0];
    bool sharp = meeting(q[m->count - 2], q[m->count - 1], q[0], q[1], 2 * width, &at);
    if (sharp) {
        append(m, at, true);
    }
    append(m, start, false);
    return sharp;
}

/* Writes the run as a path, if it is longer than the line is wide. */
static void end_run(middle *m, size_t piece, bool closed)
{
    double width = m->l->width[piece];
    if (!m->failed && m->count > 3 && run_length(m) > 2 * width) {
        nw_path path = {.closed = closed, .piece = piece};
        bool smooth = closed && !close_run(m, width);
        m->failed |=
            !fit_run(m, smooth, MIDDLE_OF_WIDTH * width, &path) || !nw_drawing_add(m->out, &path);
        nw_path_free(&path);
    }
    m->count = 0;
}

static void trace_ring(middle *m, size_t ring)
{
    const lines *l = m->l;
    size_t piece = l->region.pieces[ring], gap_at = SIZE_MAX;
    double width = l->width[piece];
    m->whole = true;
    m->gap = 0;
    for (size_t i = l->region.starts[ring]; i < l->region.starts[ring + 1]; i++) {
        size_t n = ways_of(l, i);
        double step = segment_length(&l->tree.segments[i]) / (double)n;
        for (size_t k = 0; k < n && !m->failed; k++) {
            ray r = across(l, i, ((double)k + 0.5) / (double)n);
            m->gap += step;
            if (m->gap > MOST_GAP * width) {
                m->whole = false;
                end_run(m, piece, false);
                m->gap = 0;
            }
            if (r.length == INFINITY || r.met < i || !is_even(l, &r)) {
                continue;
            }
            gap_at = m->gap > 2 * step && m->count ? m->count - 1 : gap_at;
            append(m,
                   (nw_point){r.from.x + r.way.x * r.length / 2, r.from.y + r.way.y * r.length / 2},
                   false);
            m->gap = 0;
            if (m->count == gap_at + 3) {
                mend_corner(m, gap_at, width);
                gap_at = SIZE_MAX;
            }
        }
    }
    end_run(m, piece, m->whole);
}

/* The lines' middles replace them. */
static nw_status keep_middles(nw_drawing *drawing, const lines *l, nw_error *error)
{
    nw_drawing out = {0};
    middle m = {.l = l, .out = &out};
    for (size_t k = 0; k < l->region.count; k++) {
        if (l->is_line[l->region.pieces[k]]) {
            trace_ring(&m, k);
        }
    }
    free(m.places);
    free(m.corners);
    for (size_t i = 0; !m.failed && i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        if (!(path->closed && l->is_line[path->piece])) {
            m.failed = !nw_drawing_add(&out, path);
        }
    }
    if (m.failed) {
        nw_drawing_free(&out);
        return nw_fail_memory(error, "the lines' middles");
    }
    nw_drawing_free(drawing);
    *drawing = out;
    return NW_OK;
}

nw_status nw_drawing_lines(nw_drawing *drawing, nw_lines mode, nw_line_notes *notes,
                           nw_error *error)
{
    lines l;
    nw_status status = lines_find(drawing, &l, error);
    nw_line_notes found = {0};
    if (status == NW_OK) {
        describe(&l, &found);
    }
    if (status == NW_OK && found.pieces && mode != NW_LINES_AS_DRAWN) {
        status = mode == NW_LINES_MIDDLE ? keep_middles(drawing, &l, error)
                                         : keep_edges(drawing, &l, mode == NW_LINES_OUTER, error);
        found.origin = drawing->count ? nw_drawing_box(drawing).min : (nw_point){0, 0};
        drawing_settle(drawing);
    }
    if (notes) {
        *notes = found;
    }
    lines_free(&l);
    return status;
}
