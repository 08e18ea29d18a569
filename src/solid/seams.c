/*
 * seams: areas that were drawn to meet, but whose edges lie apart by what rounding leaves -> areas
 * that meet. Strips are laid from edge to edge and united; those long enough are painted.
 */
#include <solid/solid.h>

#include <math.h>
#include <stdlib.h>

#define FLATNESS_OF_WIDTH 0.25
/* Strips reach into the art by this, so that none is left between a chord and its curve. */
#define LAP_OF_WIDTH 0.25
#define LONG_OF_WIDTH 250   /* what is shorter is a touch, or a notch's tip */
#define FACING_LEAST 0.9    /* of an edge's length, seen along the other */
#define SHORT_OF_WIDTH 2    /* lines that the end of a seam leaves */
#define ALONG_LEAST 0.9     /* cosine of the angle between lines that run on */
#define STRIPS_MOST 10000   /* more are a thicket, not the seams of a drawing */
#define LOOKED_AT_MOST 64.0 /* edges near one, on average: so is what is denser */

typedef struct {
    double width;
    nw_drawing strips;
} seams;

/* The strip to the right of e, which is paper, up to f, which runs the other way; where they lie
 * farther apart than the width there is none. */
static bool strip_add(seams *work, const nw_segment *e, const nw_segment *f)
{
    nw_point way = nw_minus(e->b, e->a);
    double length = nw_length(way);
    if (!(length > 0))
        return true;
    way = nw_times(way, 1 / length);
    nw_point near = nw_minus(f->b, e->a), far = nw_minus(f->a, e->a);
    double begin = nw_dot(near, way), end = nw_dot(far, way);
    if (end - begin < FACING_LEAST * nw_distance(f->a, f->b))
        return true;
    double lap = LAP_OF_WIDTH * work->width, from = fmax(begin, 0), to = fmin(end, length);
    double apart = -nw_cross(way, near), rise = (-nw_cross(way, far) - apart) / (end - begin);
    apart -= rise * begin;
    /* Where apart + rise t lies between -lap and the width. */
    double least = -lap - apart, most = work->width - apart;
    if (rise > 0) {
        from = fmax(from, least / rise);
        to = fmin(to, most / rise);
    } else if (rise < 0) {
        from = fmax(from, most / rise);
        to = fmin(to, least / rise);
    } else if (least > 0 || most < 0) {
        return true;
    }
    if (!(to > from))
        return true;
    nw_point left = nw_left(way), start = nw_plus(e->a, way, from), stop = nw_plus(e->a, way, to);
    nw_path strip = {.start = nw_plus(start, left, lap), .closed = true};
    bool good = nw_path_line(&strip, nw_plus(start, left, -lap - fmax(apart + rise * from, 0))) &&
                nw_path_line(&strip, nw_plus(stop, left, -lap - fmax(apart + rise * to, 0))) &&
                nw_path_line(&strip, nw_plus(stop, left, lap)) &&
                nw_path_line(&strip, strip.start) && nw_drawing_add(&work->strips, &strip);
    nw_path_free(&strip);
    return good;
}

/* The strips from every edge to those near it. *dense: too many lie near one another. */
static bool strips_find(seams *work, const nw_segment_tree *tree, bool *dense)
{
    double left = LOOKED_AT_MOST * (double)tree->count;
    bool good = true;
    for (size_t i = 0; i < tree->count && good && left > 0 && work->strips.count <= STRIPS_MOST;
         i++) {
        const nw_segment *e = &tree->segments[i];
        nw_walk walk;
        uint32_t j;
        nw_walk_start(&walk, &tree->tree, nw_box_of(e->a, e->b, work->width), e->a);
        for (; good && left > 0 && nw_walk_next(&walk, &j); left--)
            good = j == i || strip_add(work, e, &tree->segments[j]);
    }
    *dense = left <= 0 || work->strips.count > STRIPS_MOST;
    return good;
}

/* About how long a piece of united strips is: half its outlines. */
static double seam_length(const nw_drawing *strips, size_t first, size_t *next)
{
    double length = 0;
    size_t i = first;
    for (; i < strips->count && strips->paths[i].piece == strips->paths[first].piece; i++)
        for (size_t k = 0; k < strips->paths[i].count; k++)
            length += nw_distance(nw_path_from(&strips->paths[i], k), strips->paths[i].steps[k].to);
    *next = i;
    return length / 2;
}

/* Keeps the strips that are long enough for a seam. */
static size_t seams_keep(nw_drawing *strips, double width)
{
    size_t kept = 0, seam_count = 0;
    for (size_t first = 0, next; first < strips->count; first = next) {
        bool seam = seam_length(strips, first, &next) >= LONG_OF_WIDTH * width;
        for (size_t i = first; i < next; i++) {
            nw_path path = strips->paths[i];
            strips->paths[i] = (nw_path){0};
            if (seam)
                strips->paths[kept++] = path;
            else
                nw_path_free(&path);
        }
        seam_count += seam;
    }
    strips->count = kept;
    return seam_count;
}

static bool lies_at_seam(const nw_box *boxes, size_t count, nw_box line)
{
    for (size_t i = 0; i < count; i++)
        if (nw_boxes_meet(boxes[i], line, 0))
            return true;
    return false;
}

static bool same_way(nw_point from, nw_point corner, nw_point to)
{
    return nw_dot(nw_unit(from, corner), nw_unit(corner, to)) > ALONG_LEAST;
}

/* Where the edges beside a seam's end lie in one line the end is a short piece of that: one of them
 * runs on over it. */
static void ends_join(nw_path *path, const nw_box *boxes, size_t count, double width)
{
    size_t kept = 0;
    nw_point from = path->start, before = from;
    for (size_t i = 0; i < path->count; i++) {
        nw_step step = path->steps[i], *last = kept ? &path->steps[kept - 1] : NULL;
        bool is_end = kept + path->count - i > 3 && step.kind == NW_LINE &&
                      nw_distance(from, step.to) < SHORT_OF_WIDTH * width &&
                      lies_at_seam(boxes, count, nw_box_of(from, step.to, width));
        if (is_end && last && last->kind == NW_LINE && same_way(before, from, step.to)) {
            from = last->to = step.to;
            continue;
        }
        const nw_step *next = i + 1 < path->count ? &path->steps[i + 1] : NULL;
        if (is_end && next && next->kind == NW_LINE && same_way(from, step.to, next->to))
            continue;
        before = from;
        from = step.to;
        path->steps[kept++] = step;
    }
    path->count = kept;
}

static nw_status seams_paint(nw_drawing *drawing, const seams *work, nw_error *error)
{
    size_t count = work->strips.count;
    nw_box *boxes = nw_alloc(count, sizeof *boxes);
    nw_drawing painted;
    nw_status status = boxes ? nw_drawing_paint(drawing, &work->strips, false, &painted, error)
                             : nw_fail_memory(error, "the drawing's seams");
    if (status == NW_OK) {
        for (size_t i = 0; i < count; i++)
            boxes[i] = nw_path_box(&work->strips.paths[i]);
        for (size_t i = 0; i < painted.count; i++)
            ends_join(&painted.paths[i], boxes, count, work->width);
        painted.placed = drawing->placed;
        nw_drawing_free(drawing);
        *drawing = painted;
    }
    free(boxes);
    return status;
}

static nw_status strips_lay(const nw_drawing *drawing, seams *work, nw_error *error)
{
    nw_region region;
    nw_segment_tree tree;
    bool dense = false;
    nw_status status = nw_drawing_flatten_places(drawing, FLATNESS_OF_WIDTH * work->width, 0,
                                                 &region, NULL, NULL, error);
    if (status != NW_OK)
        return status;
    bool good = nw_segment_tree_make(&tree, &region) && strips_find(work, &tree, &dense);
    nw_segment_tree_free(&tree);
    nw_region_free(&region);
    if (!good)
        return nw_fail_memory(error, "the drawing's seams");
    if (dense)
        nw_drawing_free(&work->strips);
    return work->strips.count ? nw_drawing_unite(&work->strips, &work->strips, error) : NW_OK;
}

nw_status nw_drawing_close_seams(nw_drawing *drawing, double width, size_t *closed, nw_error *error)
{
    seams work = {.width = width};
    nw_status status = strips_lay(drawing, &work, error);
    *closed = status == NW_OK ? seams_keep(&work.strips, width) : 0;
    if (*closed)
        status = seams_paint(drawing, &work, error);
    /* The drawing itself was not too much. */
    if (status == NW_BAD_INPUT) {
        *closed = 0;
        status = NW_OK;
    }
    nw_drawing_free(&work.strips);
    return status;
}
