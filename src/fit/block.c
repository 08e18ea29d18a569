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

/* The same for segments that run the other way. Above, they are the far bank of a slit, however
 * thin, and block; below, the back of a wall, where only rounding may lift them. */
#define RISE_FACING_MM 1e-10

/* Neighbours that turn by less do not block each other: the lines beside them end within
 * radius * 1e-3 of each other, far inside the flatness. */
#define FLAT_RAD 1e-3

/* Points of two outlines this near touch. Only rounding lies between them, for what is a little
 * further apart is rolled along as it is. */
#define TOUCH_MM 1e-9

/* What lies further than this from a piece's discs, or this deep in them, needs no angle to tell.
 */
#define SURE_MM 1e-6

static bool flat(const nw_border *border, uint32_t point)
{
    nw_point before = border->along[border->prev[point]], after = border->along[point];
    return nw_dot(before, after) > 0 && fabs(nw_cross(before, after)) < FLAT_RAD;
}

/* How high segment j must rise above segment i to block its way: a neighbour from the corner on,
 * but a flat one never. */
static double least_rise(const nw_border *border, uint32_t i, uint32_t j)
{
    if (j == border->next[i] || j == border->prev[i])
        return flat(border, j == border->next[i] ? j : i) ? INFINITY : 0;
    return nw_dot(border->along[i], border->along[j]) < 0 ? RISE_FACING_MM : RISE_MM;
}

/* Half the chord that a disc standing on the line cuts at this height. */
static double reach(double radius, double height)
{
    return sqrt(nw_larger(0, height * (2 * radius - height)));
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
    if ((y1 <= 0 && y2 <= 0) || (y1 >= top && y2 >= top) || way->at == j)
        return 0;
    double rise = least_rise(border, way->at, j);
    if (y1 <= rise && y2 <= rise)
        return 0;
    double cosine = nw_dot(way->axis, border->along[j]);
    double sine = nw_cross(way->axis, border->along[j]);
    if (y1 > y2) {
        double x = x1, y = y1;
        x1 = x2, y1 = y2, x2 = x, y2 = y;
        cosine = -cosine, sine = -sine;
    }
    double low = nw_larger(y1, rise), high = nw_smaller(y2, top),
           slope = y2 > y1 ? (x2 - x1) / (y2 - y1) : 0;
    double x_low = low > y1 ? x1 + (low - y1) * slope : x1;
    double x_high = high < y2 ? x1 + (high - y1) * slope : x2;
    double reach_low = reach(radius, low), reach_high = reach(radius, high);
    span->from = nw_smaller(x_low - reach_low, x_high - reach_high);
    span->to = nw_larger(x_low + reach_low, x_high + reach_high);
    double right = radius * (1 + cosine), left = radius * (1 - cosine);
    if (sine > 0 && right > low && right < high)
        span->to = nw_larger(span->to, x1 + (right - y1) * slope + radius * sine);
    if (sine > 0 && left > low && left < high)
        span->from = nw_smaller(span->from, x1 + (left - y1) * slope - radius * sine);
    return span->from < span->to;
}

/* The blocked angles as seen from the point, measured from the foot of the segment's line. */
static bool angles_blocked(double radius, double height, double a, double b, nw_span *angles)
{
    double most = sqrt(nw_larger(0, 4 * radius * radius - height * height));
    a = nw_larger(a, -most);
    b = nw_smaller(b, most);
    if (height >= 2 * radius || a >= b)
        return false;
    double angle_a = nw_atan2(a, height), angle_b = nw_atan2(b, height);
    /* A segment that starts at the very point blocks from the way it leaves. */
    if (height < TOUCH_MM && fabs(a) < TOUCH_MM) {
        angle_a = angle_b;
        a = height = 0;
    } else if (height < TOUCH_MM && fabs(b) < TOUCH_MM) {
        angle_b = angle_a;
        b = height = 0;
    }
    double half_a = nw_acos(nw_smaller(1, sqrt(a * a + height * height) / (2 * radius)));
    double half_b = nw_acos(nw_smaller(1, sqrt(b * b + height * height) / (2 * radius)));
    angles->from = nw_smaller(angle_a - half_a, angle_b - half_b);
    angles->to = nw_larger(angle_a + half_a, angle_b + half_b);
    double lean = height / radius - 1, touch = radius * sqrt(nw_larger(0, 1 - lean * lean));
    if (a < touch && touch < b)
        angles->to = nw_larger(angles->to, nw_acos(lean));
    if (a < -touch && -touch < b)
        angles->from = nw_smaller(angles->from, -nw_acos(lean));
    return true;
}

/* A span of angles counted from the way's axis, clockwise, as it meets the way in any turn. */
static int spans_put(nw_span spans[], double from, double to)
{
    for (int k = 0; k < 3; k++)
        spans[k] = (nw_span){from + (k - 1) * NW_TURN, to + (k - 1) * NW_TURN};
    return 3;
}

/* The angle of a direction, clockwise from the way's axis. */
static double clockwise(const nw_piece_way *way, nw_point direction)
{
    return -nw_angle(way->axis, direction);
}

/* An angle as 0 up to a full turn. */
static double turned_on(double angle)
{
    return angle < 0 ? angle + NW_TURN : angle >= NW_TURN ? angle - NW_TURN : angle;
}

/* Where another outline touches the point with its point j. If that is a tip too, the disc rolls
 * round both at once, and the stretch belongs to whichever comes first in the border. If it is
 * not, and the way's point lies before it, what lies behind it is shut, which its two segments
 * alone would not tell. */
static int twin_blocked(const nw_piece_way *way, uint32_t j, nw_span spans[])
{
    const nw_border *border = way->border;
    if (nw_distance(border->points[j], way->origin) >= TOUCH_MM)
        return 0;
    bool tip = nw_border_reflex(border, j);
    if (tip && j > way->at)
        return 0;
    nw_point before = border->along[border->prev[j]];
    if (tip) {
        double from = clockwise(way, nw_left(before));
        return spans_put(spans, from, from + nw_border_turn(border, j));
    }
    double from = clockwise(way, border->along[j]);
    double behind = turned_on(clockwise(way, (nw_point){-before.x, -before.y}) - from);
    double point = turned_on(clockwise(way, border->along[way->at]) - from);
    return point > behind ? spans_put(spans, from, from + behind) : 0;
}

/* How much nearer than to the middle of the piece any of its centres is to a place at most so far
 * from the point, in squares: a centre c round the point p lies `spread` or less from the middle m,
 * and |q - c|² - |q - m|² is 2 (q - p) (m - c). */
static double square_play(const nw_piece_way *way, double far)
{
    return 2 * way->spread * far;
}

/* Whether segment j stays out of every disc of the piece, which goes round a point. */
static bool stays_out(const nw_piece_way *way, uint32_t j)
{
    const nw_border *border = way->border;
    nw_point start = border->points[j], to = nw_minus(way->middle, start), along = border->along[j];
    double t = nw_smaller(nw_larger(nw_dot(to, along), 0), border->length[j]);
    double most = way->radius + way->spread + SURE_MM;
    nw_point off = nw_plus(to, along, -t);
    double square = nw_dot(off, off);
    if (square > most * most)
        return true;
    nw_point a = nw_minus(start, way->origin);
    nw_point b = nw_minus(border->points[border->next[j]], way->origin);
    double far = sqrt(nw_larger(nw_dot(a, a), nw_dot(b, b))), sure = way->radius + SURE_MM;
    return square - square_play(way, far) > sure * sure;
}

static bool is_nearer(nw_point point, nw_point centre, double radius)
{
    nw_point off = nw_minus(point, centre);
    return radius > 0 && nw_dot(off, off) < radius * radius;
}

/* Whether a place surely lies in every disc of the piece. */
static bool lies_within(const nw_piece_way *way, nw_point place)
{
    if (is_nearer(place, way->middle, way->radius - way->spread - SURE_MM))
        return true;
    if (!way->round)
        return false;
    nw_point off = nw_minus(place, way->middle);
    double sure = way->radius - SURE_MM;
    return sure > 0 &&
           nw_dot(off, off) + square_play(way, nw_distance(place, way->origin)) < sure * sure;
}

static int arc_blocked(const nw_piece_way *way, uint32_t j, nw_span spans[])
{
    const nw_border *border = way->border;
    if (j == way->at || j == border->prev[way->at] || stays_out(way, j))
        return 0;
    if (lies_within(way, border->points[j]) || lies_within(way, border->points[border->next[j]])) {
        spans[0] = (nw_span){-INFINITY, INFINITY};
        return 1;
    }
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
    double foot = nw_angle(way->axis, across);
    int count = spans_put(spans, -foot - angles.to, -foot - angles.from);
    return count + twin_blocked(way, j, spans + count);
}

bool nw_way_covered(const nw_piece_way *way, uint32_t j)
{
    const nw_border *border = way->border;
    if (j == way->at || (way->round && j == border->prev[way->at]))
        return false;
    return lies_within(way, nw_border_foot(border, j, way->middle));
}

int nw_way_blocked(const nw_piece_way *way, uint32_t j, nw_span spans[NW_SPANS])
{
    return way->round ? arc_blocked(way, j, spans) : line_blocked(way, j, spans);
}
