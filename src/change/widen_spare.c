/*
 * What the stock behind a wall can give before it is too thin.
 *
 * The stock behind a place p is as thick as the largest disc there that touches p from behind. It
 * counts as thin only where a fit of the other side, with a disc that much larger, sees a strip
 * there, between two different walls: a tip beside the passage, with one wall round it, may be
 * blunted. Where the wall
 * beyond the strip moves too, each has half of what is over; where that is less than nothing, both
 * stand back, so that there is room for the strip to be thickened.
 *
 * Where that is not enough a strip may be shifted: this wall moves further into it, and the strip
 * is thickened on its far side afterwards, if there is room.
 */
#include <change/widen.h>

#include <math.h>

#define OPPOSITE 0.5   /* cosine: walls that meet at more than 60 degrees are no thin strip */
#define MARGIN_MM 0.02 /* kept above the least thickness, for the curves' own tolerance */
#define KEPT 0.25      /* of the least thickness: what stands of a strip until it is thickened */
#define WAY_ROUND 5.0  /* times the thickness: less of a way along an island is its end's */

/* The way along a whole ring between two of its stations. */
static double way_between(const nw_border *border, const nw_flank *wall, double a, double b)
{
    double way = fabs(a - b);
    return fmin(way, border->ring_length[wall->ring] - way);
}

/* The strip between the place p of the area's segment and q of the other's; NULL: none. */
static const nw_flank *strip_between(const nw_moving *m, nw_point p, uint32_t p_segment,
                                     uint32_t q_ring, double q_station, double thickness)
{
    size_t at_q = nw_flank_at(m->other, m->strips, q_ring, q_station);
    if (at_q == SIZE_MAX)
        return NULL;
    nw_point along = m->area->along[p_segment], direction = {-along.x, -along.y};
    uint32_t ring;
    double station;
    if (!nw_station_find(m->other, p, direction, &ring, &station))
        return NULL;
    size_t at_p = nw_flank_at(m->other, m->strips, ring, station);
    if (at_p == SIZE_MAX || m->strips->items[at_p].spot != m->strips->items[at_q].spot)
        return NULL;
    const nw_flank *wall = &m->strips->items[at_q];
    bool tip =
        at_p == at_q && way_between(m->other, wall, station, q_station) < WAY_ROUND * thickness;
    return tip ? NULL : wall;
}

/* Does the wall at the place q of the other side's segment move too? */
static bool moves_too(const nw_moving *m, nw_point q, uint32_t q_segment)
{
    nw_point along = m->other->along[q_segment], direction = {-along.x, -along.y};
    uint32_t ring;
    double station;
    return nw_station_find(m->area, q, direction, &ring, &station) &&
           nw_flank_at(m->area, m->walls, ring, station) != SIZE_MAX;
}

/* By how much the strip's far wall, at q, may move on into the area beyond it and leave room for
 * the disc there. */
static double room_beyond(const nw_moving *m, nw_point q, nw_point outward)
{
    double limit = 3 * m->radius;
    uint32_t segment;
    nw_point foot;
    double radius = nw_border_disc(m->area, q, outward, limit, &segment, &foot);
    return fmax(2 * (radius - m->radius) - MARGIN_MM, 0);
}

double nw_spare_behind(const nw_moving *m, nw_point p, nw_point normal, uint32_t segment,
                       double *shift)
{
    if (shift)
        *shift = 0;
    double free = 4 * m->radius, limit = m->least / 2 + m->radius + MARGIN_MM;
    if (m->area->ring[segment] == m->area_sheet)
        return 0; /* the sheet ends there */
    nw_point back = {-normal.x, -normal.y}, q;
    uint32_t q_segment = 0;
    double radius = nw_border_disc(m->other, p, back, limit, &q_segment, &q);
    if (radius >= limit || nw_dot(nw_unit(nw_plus(p, back, radius), q), back) < OPPOSITE)
        return free;
    double over = 2 * radius - m->least - MARGIN_MM;
    uint32_t ring = m->other->ring[q_segment];
    if (ring == m->other_sheet)
        return over;
    const nw_flank *strip =
        strip_between(m, p, segment, ring, nw_station_on(m->other, q_segment, q), 2 * radius);
    if (!strip || (strip->miss && over < 0))
        return free; /* nothing, or an island that is lost as it is */
    if (moves_too(m, q, q_segment))
        return over / 2;
    if (shift) {
        nw_point centre = nw_plus(p, back, radius);
        double room = room_beyond(m, q, nw_unit(centre, q)) + fmin(over, 0);
        double most = 2 * radius - KEPT * m->least - fmax(over, 0);
        *shift = fmax(fmin(room, most), 0);
    }
    return fmax(over, 0);
}
