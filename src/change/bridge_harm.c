/*
 * The fit of the art and the fit of the art with bridges -> how much more the bit leaves beside
 * each bridge. What it leaves is clipped to a rectangle round the bridge (Sutherland and Hodgman,
 * Comm. ACM 17, 1974), so that the rest of a place that a bridge cut in two is not laid to its
 * charge.
 */
#include <change/bridges.h>

#include <math.h>
#include <stdlib.h>

#define BESIDE_OF_BIT 1.5 /* so far to both sides of a bridge it is looked at, */
#define BEYOND_OF_BIT 0.5 /* and so far beyond its ends, where its stock is */
#define ARC_CHORDS 8

/* A polygon, and room for what is left of it. */
typedef struct {
    nw_point *points, *left;
    size_t count, capacity, left_capacity;
} clipping;

static bool clip_room(clipping *c, size_t count)
{
    return nw_grow(&c->points, &c->capacity, count, sizeof *c->points) &&
           nw_grow(&c->left, &c->left_capacity, count, sizeof *c->left);
}

/* The path as a polygon, in the frame of a strip: its middle, x along it. */
static bool clip_start(clipping *c, const nw_path *path, nw_point middle, nw_point way)
{
    c->count = 0;
    /* Each of the four cuts adds at most a point for every second edge: 1.5 to the fourth. */
    if (!clip_room(c, 6 * (ARC_CHORDS * path->count + 1)))
        return false;
    nw_point from = path->start;
    for (size_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        int chords = step->kind == NW_LINE ? 1 : ARC_CHORDS;
        for (int i = 1; i <= chords; i++) {
            nw_point p = nw_minus(nw_step_at(from, step, (double)i / chords), middle);
            c->points[c->count++] = (nw_point){nw_dot(p, way), nw_cross(way, p)};
        }
        from = step->to;
    }
    return true;
}

static double inside_by(nw_point p, bool across, double sign, double limit)
{
    return limit - sign * (across ? p.y : p.x);
}

/* Keeps what is on one side of a line. */
static void clip_at(clipping *c, bool across, double sign, double limit)
{
    size_t count = 0;
    for (size_t i = 0; i < c->count; i++) {
        nw_point p = c->points[i], q = c->points[(i + 1) % c->count];
        double a = inside_by(p, across, sign, limit), b = inside_by(q, across, sign, limit);
        if (a >= 0)
            c->left[count++] = p;
        if ((a >= 0) != (b >= 0))
            c->left[count++] = nw_plus(p, nw_minus(q, p), a / (a - b));
    }
    nw_point *points = c->points;
    c->points = c->left;
    c->left = points;
    size_t capacity = c->capacity;
    c->capacity = c->left_capacity;
    c->left_capacity = capacity;
    c->count = count;
}

static double clip_area(const clipping *c)
{
    double area = 0;
    for (size_t i = 0; i < c->count; i++)
        area += nw_cross(c->points[i], c->points[(i + 1) % c->count]) / 2;
    return area;
}

/* A rectangle in the strip's own frame: from -back to front along it, half to both sides. */
typedef struct {
    nw_point middle, way;
    double back, front, half;
} frame;

static bool path_area_in(clipping *c, const nw_path *path, const frame *f, double *area)
{
    if (!clip_start(c, path, f->middle, f->way))
        return false;
    clip_at(c, false, 1, f->front);
    clip_at(c, false, -1, f->back);
    clip_at(c, true, 1, f->half);
    clip_at(c, true, -1, f->half);
    *area += clip_area(c);
    return true;
}

/* What the bit leaves within the frame, corners not counted. */
static bool left_in(clipping *c, const nw_fit *fit, const frame *f, double *area)
{
    bool good = true;
    *area = 0;
    for (size_t i = 0; i < fit->spot_count && good; i++) {
        const nw_spot *spot = &fit->spots[i];
        for (size_t k = 0; k < spot->residue_count && spot->side == NW_GAP && good; k++)
            good = path_area_in(c, &fit->residues.paths[spot->residue + k], f, area);
    }
    return good;
}

bool nw_strip_harm(const nw_strip *strip, double width, const nw_fit *before, const nw_fit *after,
                   double *harm)
{
    double side = BESIDE_OF_BIT * before->options.bit, end = BEYOND_OF_BIT * before->options.bit;
    nw_point a = strip->feet[0][NW_STRIP_LINES / 2], b = strip->feet[1][NW_STRIP_LINES / 2];
    nw_point middle = {(a.x + b.x) / 2, (a.y + b.y) / 2};
    frame under = {middle, strip->way, strip->reach[0], strip->reach[1], width / 2};
    frame beside = {middle, strip->way, under.back + end, under.front + end, under.half + side};
    clipping c = {NULL, NULL, 0, 0, 0};
    double now, was, gone;
    bool good = left_in(&c, after, &beside, &now) && left_in(&c, before, &beside, &was) &&
                left_in(&c, before, &under, &gone);
    *harm = good ? now - (was - gone) : 0;
    free(c.points);
    free(c.left);
    return good;
}
