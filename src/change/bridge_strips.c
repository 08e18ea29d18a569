/*
 * A way across the cut -> the strip that stands there, and whether the bit still gets to what is
 * beside it.
 *
 * A strip is a few parallel lines, each followed from its middle to the walls on both sides and
 * then on into the stock, over an eye to its far side. What the bit loses beside it are the places
 * of the walls at which it used to touch and where its disc would now meet the strip. At each of
 * the four corners between strip and walls that is unavoidable over r cot(t/2), t the angle of the
 * corner (two tangents to a circle); a strip that costs much more closes a passage.
 */
#include <change/bridges.h>

#include <math.h>

#define SKIN_MM 1e-3
#define HAIR_MM 0.1          /* stock thinner than this is no footing */
#define SLANT_OF_WIDTH 1.0   /* walls that recede by more across the strip are no footing */
#define MISSED_OF_WIDTH 0.5  /* what a line without footing costs */
#define DETAIL_OF_WIDTH 0.15 /* a wall that leaves a foot's line by more has a corner there */
/* How much dearer a strip is, in times its length: */
#define DETAIL_COST 0.8
#define SLANT_COST 2.0 /* for the square of each foot's slant, */
#define MOST_SLANT_COST 0.8
#define CENTRE_COST 0.15 /* for passing by the centre of mass by the size of what it holds, */
#define TIE_COST 0.01    /* and where it is as far from the art's middle as the art is large */
#define SAMPLES_OF_RADIUS 6.0
#define MORE_THAN_CORNERS 1.35
#define NECK_STEP 0.25 /* of its radius: from one place of a disc of the least neck to the next */
#define NECK_MM 0.01   /* so much it may lack, as of a passage */
#define LEAST_ANGLE_RAD 0.7 /* of a corner; sharper ones are not forgiven more */
#define MIDDLE (NW_STRIP_LINES / 2)

/* How far a line goes on into the stock beyond the wall: half of it, so that it ends there. */
static double depth_at(const nw_strip_judge *judge, nw_point foot, nw_point way)
{
    uint32_t segment;
    nw_point in = nw_plus(foot, way, SKIN_MM);
    double stock = nw_border_ray(judge->cut, in, way, 2 * judge->width, &segment);
    return SKIN_MM + fmin(stock, judge->width) / 2;
}

/* The cotangent of half the angle between the strip's edge and the wall, on the strip's outside.
 * side: unit, away from the strip. */
static double corner_cot(const nw_border *cut, uint32_t segment, nw_point way, nw_point side)
{
    nw_point along = cut->along[segment];
    if (nw_dot(along, side) < 0)
        along = (nw_point){-along.x, -along.y};
    nw_point back = {-way.x, -way.y};
    double angle = nw_atan2(fabs(nw_cross(along, back)), nw_dot(along, back));
    return 1 / nw_tan(fmax(angle, LEAST_ANGLE_RAD) / 2);
}

/* How far the ring goes that way from a point. */
static double extent_of(const nw_region *region, size_t ring, nw_point from, nw_point way)
{
    double most = 0;
    for (size_t i = region->starts[ring]; i < region->starts[ring + 1]; i++)
        most = fmax(most, nw_dot(nw_minus(region->points[i], from), way));
    return most;
}

/* One line of the strip to one of its ends; way leads there. False where there is no footing. */
static bool line_make(const nw_strip_judge *judge, nw_point middle, nw_point way, size_t ring,
                      double length, double *reach, uint32_t *segment)
{
    double limit = length / 2 + (SLANT_OF_WIDTH + SKIN_MM) * judge->width;
    *reach = nw_border_ray(judge->cut, middle, way, limit, segment);
    return isfinite(*reach) && judge->ring[judge->cut->ring[*segment]] == ring;
}

/* Does the wall under a foot, or a little beside it, leave the line between the foot's ends? */
static bool is_detail(const nw_strip_judge *judge, nw_point middle, nw_point way, nw_point left,
                      const double reach[NW_STRIP_LINES])
{
    int last = NW_STRIP_LINES - 1;
    double rise = (reach[last] - reach[0]) / last, room = DETAIL_OF_WIDTH * judge->width;
    for (int k = -1; k <= NW_STRIP_LINES; k++) {
        double far = k < 0 || k > last ? INFINITY : reach[k], line = reach[0] + rise * k;
        nw_point m = nw_plus(middle, left, judge->width * ((double)k / last - 0.5));
        uint32_t segment;
        if (far == INFINITY && nw_border_clear(judge->cut, middle, m, 0))
            far = nw_border_ray(judge->cut, m, way, line + 2 * room, &segment);
        if (!(fabs(far - line) <= room))
            return true;
    }
    return false;
}

/* Is there room in the stock behind a foot for a disc of the least neck? */
static bool is_thin(const nw_strip_judge *judge, nw_point foot, nw_point way)
{
    double radius = judge->neck / 2, most = radius + judge->width;
    uint32_t segment;
    nw_point in = nw_plus(foot, way, SKIN_MM), wall;
    double stock = nw_border_ray(judge->cut, in, way, most + radius, &segment);
    for (double t = radius; t <= fmin(most, stock - radius + NECK_STEP * radius);
         t += NECK_STEP * radius) {
        nw_point c = nw_plus(foot, way, t);
        if (nw_border_nearest(judge->cut, c, radius, &segment, &wall) >= radius - NECK_MM)
            return false;
    }
    return true;
}

/* One end of the strip: end 0 at span->from. Gives the reach of each line. */
static bool end_make(const nw_strip_judge *judge, const nw_span_across *span, int end,
                     nw_strip *strip, double reach[NW_STRIP_LINES])
{
    nw_point way = end ? strip->way : (nw_point){-strip->way.x, -strip->way.y};
    nw_point left = nw_left(strip->way), middle = nw_middle(span->from, span->to);
    size_t ring = end ? span->b : span->a;
    bool small = judge->rings[ring].size < NW_SMALL_RING * judge->width;
    bool eye = judge->rings[ring].size < judge->width; /* it is held as a whole */
    strip->ring[end] = ring;
    strip->small[end] = small;
    strip->reach[end] = eye ? extent_of(judge->region, ring, middle, way) : 0;
    nw_point foot = end ? span->to : span->from;
    double least = INFINITY, most = 0, depth = depth_at(judge, foot, way);
    for (int k = 0; k < NW_STRIP_LINES; k++) {
        double off = judge->width * ((double)k / (NW_STRIP_LINES - 1) - 0.5);
        nw_point m = nw_plus(middle, left, off);
        uint32_t segment;
        if (!nw_border_clear(judge->cut, middle, m, 0))
            return false;
        bool stands = line_make(judge, m, way, ring, span->length, &reach[k], &segment);
        double deep = stands ? depth_at(judge, nw_plus(m, way, reach[k]), way) : depth;
        stands = stands && deep >= HAIR_MM / 2;
        if (!stands && (!small || reach[k] < span->length / 2))
            return false;
        reach[k] = stands ? reach[k] : span->length / 2;
        strip->cost += stands ? 0 : MISSED_OF_WIDTH * judge->width;
        strip->feet[end][k] = nw_plus(m, way, reach[k]);
        deep = eye ? strip->reach[end] - reach[k] : deep;
        strip->ends[end][k] = nw_plus(strip->feet[end][k], way, deep);
        least = fmin(least, reach[k]);
        most = fmax(most, reach[k]);
        if (k == 0 || k == NW_STRIP_LINES - 1) {
            nw_point side = k ? left : (nw_point){-left.x, -left.y};
            strip->cot_sum += stands ? corner_cot(judge->cut, segment, way, side) : 1;
        }
    }
    strip->slant[end] = small ? 0 : fabs(reach[NW_STRIP_LINES - 1] - reach[0]) / judge->width;
    strip->thin = strip->thin || is_thin(judge, foot, way);
    strip->detail = strip->detail || (!small && is_detail(judge, middle, way, left, reach));
    return small || most - least <= SLANT_OF_WIDTH * judge->width;
}

/* How far the strip's middle line passes by the centre of mass of what it holds, in sizes of that.
 */
static double past_centre(const nw_strip_judge *judge, const nw_span_across *span, nw_point way)
{
    const nw_bridge_ring *rings[] = {&judge->rings[span->a], &judge->rings[span->b]};
    double past = 0;
    for (int k = 0; k < 2; k++) {
        double off = fabs(nw_cross(way, nw_minus(rings[k]->centre, span->from)));
        past = fmax(past, rings[k]->loose && rings[k]->size > 0 ? off / rings[k]->size : 0);
    }
    return fmin(past, 1);
}

/* How many times dearer a strip is where it stands badly, less than three times in all. Among those
 * that stand alike a line through the centre of mass holds best; of two that mirror one another in
 * what they hold, both sides of the art take the one towards its middle. */
static double dearer(const nw_strip_judge *judge, const nw_span_across *span, const nw_strip *strip)
{
    double slants = strip->slant[0] * strip->slant[0] + strip->slant[1] * strip->slant[1];
    nw_point middle = nw_middle(span->from, span->to);
    return 1 + (strip->detail ? DETAIL_COST : 0) + fmin(SLANT_COST * slants, MOST_SLANT_COST) +
           CENTRE_COST * past_centre(judge, span, strip->way) +
           TIE_COST * nw_distance(judge->centre, middle) / judge->size;
}

bool nw_strip_make(const nw_strip_judge *judge, const nw_span_across *span, nw_strip *strip)
{
    nw_point d = nw_minus(span->to, span->from), middle = nw_middle(span->from, span->to);
    double reach[2][NW_STRIP_LINES];
    *strip = (nw_strip){.way = {d.x / span->length, d.y / span->length}};
    if (!nw_border_inside(judge->cut, middle, span->length) ||
        !nw_border_clear(judge->cut, span->from, span->to, SKIN_MM) ||
        !end_make(judge, span, 0, strip, reach[0]) || !end_make(judge, span, 1, strip, reach[1]))
        return false;
    double longest = 0;
    for (int k = 0; k < NW_STRIP_LINES; k++) {
        longest = fmax(longest, reach[0][k] + reach[1][k]);
        strip->reach[0] = fmax(strip->reach[0], reach[0][k]);
        strip->reach[1] = fmax(strip->reach[1], reach[1][k]);
    }
    strip->cost = (strip->cost + longest) * dearer(judge, span, strip);
    return true;
}

/* ---- beside it ------------------------------------------------------------------------------ */

/* 0 between its edges as far as its longest line goes; else from the nearer edge, which is enough
 * for points in the cut. */
double nw_strip_distance(const nw_strip *strip, nw_point p)
{
    const nw_point *from = strip->feet[0], *to = strip->feet[1];
    int last = NW_STRIP_LINES - 1;
    nw_point to_p = nw_minus(p, nw_middle(from[MIDDLE], to[MIDDLE]));
    double across = fabs(nw_cross(strip->way, to_p)), along = nw_dot(strip->way, to_p);
    double half = fabs(nw_cross(strip->way, nw_minus(from[last], from[0]))) / 2;
    if (across <= half && along >= -strip->reach[0] && along <= strip->reach[1])
        return 0;
    return fmin(nw_segment_distance(from[0], to[0], p),
                nw_segment_distance(from[last], to[last], p));
}

/* Does the strip's end stand on a small ring that the other strip leaves to the other side? */
static bool is_opposite(const nw_strip *strip, int end, const nw_strip *other)
{
    bool opposite = false;
    for (int k = 0; k < 2; k++)
        opposite = opposite || (strip->small[end] && strip->ring[end] == other->ring[k] &&
                                nw_dot(strip->way, other->way) * (end == k ? 1 : -1) < 0);
    return opposite;
}

bool nw_strips_meet(const nw_strip_judge *judge, const nw_strip *a, const nw_strip *b)
{
    double near = nw_segments_cross(a->feet[0][MIDDLE], a->feet[1][MIDDLE], b->feet[0][MIDDLE],
                                    b->feet[1][MIDDLE])
                      ? 0
                      : INFINITY;
    for (int end = 0; end < 2; end++) {
        if (!is_opposite(b, end, a))
            near = fmin(near, nw_strip_distance(a, b->feet[end][MIDDLE]));
        if (!is_opposite(a, end, b))
            near = fmin(near, nw_strip_distance(b, a->feet[end][MIDDLE]));
    }
    return near < judge->width;
}

bool nw_strip_covers(const nw_strip_judge *judge, const nw_strip *strip, size_t ring)
{
    const nw_region *region = judge->region;
    for (size_t i = region->starts[ring]; i < region->starts[ring + 1]; i++)
        if (nw_strip_distance(strip, region->points[i]) > 0)
            return false;
    return true;
}

/* Did the bit touch the wall here before, with its centre at c? */
static bool was_reached(const nw_strip_judge *judge, nw_point c, const nw_strip *others,
                        size_t count)
{
    uint32_t segment;
    nw_point foot;
    double least = judge->radius - SKIN_MM;
    if (nw_border_nearest(judge->cut, c, judge->radius, &segment, &foot) < least)
        return false;
    for (size_t i = 0; i < count; i++)
        if (nw_strip_distance(&others[i], c) < least)
            return false;
    return true;
}

/* How much of segment i the bit touched and no longer does. */
static double segment_lost(const nw_strip_judge *judge, uint32_t i, const nw_strip *strip,
                           const nw_strip *others, size_t count)
{
    double length = judge->cut->length[i], lost = 0;
    nw_point in = nw_left(judge->cut->along[i]);
    size_t pieces = (size_t)ceil(length * SAMPLES_OF_RADIUS / judge->radius);
    for (size_t k = 0; k < pieces; k++) {
        nw_point p = nw_border_at(judge->cut, i, ((double)k + 0.5) * length / (double)pieces);
        nw_point c = nw_plus(p, in, judge->radius);
        if (nw_strip_distance(strip, c) < judge->radius - SKIN_MM &&
            nw_strip_distance(strip, nw_plus(p, in, SKIN_MM)) > 0 &&
            was_reached(judge, c, others, count))
            lost += length / (double)pieces;
    }
    return lost;
}

bool nw_strip_closes(const nw_strip_judge *judge, const nw_strip *strip, const nw_strip *others,
                     size_t count)
{
    double radius = judge->radius, lost = 0;
    double most = MORE_THAN_CORNERS * radius * strip->cot_sum + radius / SAMPLES_OF_RADIUS;
    nw_point from = strip->feet[0][MIDDLE], to = strip->feet[1][MIDDLE];
    nw_walk walk;
    uint32_t i;
    nw_walk_start(&walk, &judge->cut->tree, nw_box_of(from, to, judge->width + 2 * radius), from);
    while (nw_walk_next(&walk, &i) && lost <= most)
        lost += segment_lost(judge, i, strip, others, count);
    return lost > most;
}

bool nw_strip_path(const nw_strip *strip, nw_drawing *strips)
{
    nw_path path = {.start = strip->ends[0][0], .closed = true, .piece = strips->count};
    bool good = true;
    for (int k = 0; k < NW_STRIP_LINES && good; k++)
        good = nw_path_line(&path, strip->ends[1][k]);
    for (int k = NW_STRIP_LINES - 1; k >= 0 && good; k--)
        good = nw_path_line(&path, strip->ends[0][k]);
    good = good && nw_drawing_add(strips, &path);
    nw_path_free(&path);
    return good;
}
