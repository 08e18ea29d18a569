/*
 * A piece of the centre's way and a segment -> the stretch of it at which the segment is nearer
 * than the radius, in closed form: the line or arc inside the segment's capsule.
 *
 * Each point of the segment blocks an interval of the way, and the intervals of neighbouring
 * points overlap, so that the union is one interval. Its ends belong to an end of the segment or
 * to a disc that is tangent to it.
 */
#include <fit/block.h>

#include <math.h>

/* A blocker counts only where it rises more than this above the way's own segment, so that
 * collinear runs, coincident edges and hair walls do not block themselves by rounding. */
#define RISE_MM 1e-7

/* Neighbours that turn by less do not block each other: the lines beside them end within
 * radius * 1e-3 of each other, far inside the flatness. */
#define FLAT_RAD 1e-3

static const double TURN = 6.283185307179586477;

static bool flat(const nw_border *border, uint32_t point)
{
    nw_point before = border->along[border->prev[point]], after = border->along[point];
    return nw_dot(before, after) > 0 && fabs(nw_cross(before, after)) < FLAT_RAD;
}

static bool same_run(const nw_border *border, uint32_t i, uint32_t j)
{
    return j == i || (j == border->next[i] && flat(border, j)) ||
           (j == border->prev[i] && flat(border, i));
}

/* Half the chord that a disc standing on the line cuts at this height. */
static double reach(double radius, double height)
{
    return sqrt(fmax(0, height * (2 * radius - height)));
}

/* In the frame of the segment that the way runs beside: x along it, y towards the centre. */
static int line_blocked(const nw_piece_way *way, uint32_t j, nw_span *span)
{
    const nw_border *border = way->border;
    nw_point a = nw_minus(border->points[j], way->origin);
    nw_point b = nw_minus(border->points[border->next[j]], way->origin);
    double y1 = nw_cross(way->axis, a), y2 = nw_cross(way->axis, b);
    double x1 = nw_dot(way->axis, a), x2 = nw_dot(way->axis, b);
    double radius = way->radius, top = 2 * radius;
    if ((y1 <= RISE_MM && y2 <= RISE_MM) || (y1 >= top && y2 >= top) ||
        same_run(border, way->at, j))
        return 0;
    double cosine = nw_dot(way->axis, border->along[j]);
    double sine = nw_cross(way->axis, border->along[j]);
    if (y1 > y2) {
        double x = x1, y = y1;
        x1 = x2, y1 = y2, x2 = x, y2 = y;
        cosine = -cosine, sine = -sine;
    }
    double low = fmax(y1, RISE_MM), high = fmin(y2, top),
           slope = y2 > y1 ? (x2 - x1) / (y2 - y1) : 0;
    double x_low = low > y1 ? x1 + (low - y1) * slope : x1;
    double x_high = high < y2 ? x1 + (high - y1) * slope : x2;
    double reach_low = reach(radius, low), reach_high = reach(radius, high);
    span->from = fmin(x_low - reach_low, x_high - reach_high);
    span->to = fmax(x_low + reach_low, x_high + reach_high);
    double right = radius * (1 + cosine), left = radius * (1 - cosine);
    if (sine > 0 && right > low && right < high)
        span->to = fmax(span->to, x1 + (right - y1) * slope + radius * sine);
    if (sine > 0 && left > low && left < high)
        span->from = fmin(span->from, x1 + (left - y1) * slope - radius * sine);
    return span->from < span->to;
}

/* The blocked angles as seen from the point, measured from the foot of the segment's line. */
static bool angles_blocked(double radius, double height, double a, double b, nw_span *angles)
{
    double most = sqrt(fmax(0, 4 * radius * radius - height * height));
    a = fmax(a, -most);
    b = fmin(b, most);
    if (height >= 2 * radius || a >= b)
        return false;
    double angle_a = atan2(a, height), angle_b = atan2(b, height);
    /* A segment that starts at the very point blocks from the way it leaves. */
    if (height < NW_MERGE_MM && fabs(a) < NW_MERGE_MM) {
        angle_a = angle_b;
        a = height = 0;
    } else if (height < NW_MERGE_MM && fabs(b) < NW_MERGE_MM) {
        angle_b = angle_a;
        b = height = 0;
    }
    double half_a = acos(fmin(1, hypot(a, height) / (2 * radius)));
    double half_b = acos(fmin(1, hypot(b, height) / (2 * radius)));
    angles->from = fmin(angle_a - half_a, angle_b - half_b);
    angles->to = fmax(angle_a + half_a, angle_b + half_b);
    double lean = height / radius - 1, touch = radius * sqrt(fmax(0, 1 - lean * lean));
    if (a < touch && touch < b)
        angles->to = fmax(angles->to, acos(lean));
    if (a < -touch && -touch < b)
        angles->from = fmin(angles->from, -acos(lean));
    return true;
}

static int arc_blocked(const nw_piece_way *way, uint32_t j, nw_span spans[3])
{
    const nw_border *border = way->border;
    if (j == way->at || j == border->prev[way->at])
        return 0;
    nw_point along = border->along[j], start = nw_minus(border->points[j], way->origin);
    nw_point across = {along.y, -along.x};
    double a = nw_dot(start, along), b = a + border->length[j], height = nw_dot(start, across);
    if (height < 0) {
        double swap = a;
        a = -b, b = -swap, height = -height;
        across = (nw_point){-across.x, -across.y};
    }
    nw_span angles;
    if (!angles_blocked(way->radius, height, a, b, &angles))
        return 0;
    double foot = atan2(nw_cross(way->axis, across), nw_dot(way->axis, across));
    for (int k = 0; k < 3; k++)
        spans[k] =
            (nw_span){-foot - angles.to + (k - 1) * TURN, -foot - angles.from + (k - 1) * TURN};
    return 3;
}

int nw_way_blocked(const nw_piece_way *way, uint32_t j, nw_span spans[3])
{
    return way->round ? arc_blocked(way, j, spans) : line_blocked(way, j, spans);
}
