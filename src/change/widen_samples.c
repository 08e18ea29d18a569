/*
 * A wall of a place -> samples along it: at each the largest disc that touches the wall there.
 *
 * Samples lie in the middles of short pieces of the wall's segments; at corners that protrude into
 * the area the normal turns while the place stays. Beyond the wall's ends they go on a little, as
 * far as the outline is smooth, for a widened wall to run out there.
 */
#include <change/widen.h>

#include <math.h>
#include <stdlib.h>

#define SAMPLES_PER_RADIUS 8.0
#define FINEST_MM 0.05  /* closer samples only follow the flattening's chords */
#define CORNER_RAD 0.15 /* a turn that flattening cannot have made */
#define FAN_RAD 0.1     /* between two normals of one corner */
#define CORNER_COS -0.5 /* walls that meet at more than 60 degrees are a corner, no dead end */

void nw_wall_samples_free(nw_wall_samples *list)
{
    free(list->items);
    *list = (nw_wall_samples){0};
}

static double spacing_of(const nw_moving *m)
{
    return fmax(m->radius / SAMPLES_PER_RADIUS, FINEST_MM);
}

static bool sample_add(const nw_moving *m, const nw_flank *wall, nw_point p, nw_point normal,
                       uint32_t at, double station, nw_wall_samples *list)
{
    if (!nw_grow(&list->items, &list->capacity, list->count + 1, sizeof(nw_wall_sample)))
        return false;
    nw_wall_sample *s = &list->items[list->count++];
    nw_point foot = p;
    uint32_t segment = 0;
    *s = (nw_wall_sample){
        .p = p, .normal = normal, .segment = at, .station = station, .partner = -1};
    s->radius = nw_border_disc(m->area, p, normal, m->radius, &segment, &foot);
    s->centre = nw_plus(p, normal, s->radius);
    s->foot = foot;
    s->foot_segment = segment;
    if (s->radius < m->radius) {
        double along;
        if (nw_flank_has(m->area, wall, m->area->ring[segment],
                         nw_station_on(m->area, segment, foot), &along))
            s->partner = along;
        s->corner = nw_dot(normal, nw_unit(foot, s->centre)) > CORNER_COS;
    }
    return true;
}

/* Round a corner that protrudes into the area, the normal turns clockwise while the point stays. */
static bool fan_add(const nw_moving *m, const nw_flank *wall, uint32_t segment, nw_point from,
                    nw_point to, double station, nw_wall_samples *list)
{
    double turn = nw_angle(from, to);
    if (turn > -CORNER_RAD)
        return true;
    int steps = (int)ceil(-turn / FAN_RAD);
    for (int k = 0; k <= steps; k++) {
        double angle = turn * k / steps;
        nw_point normal = nw_turned(from, nw_cos(angle), nw_sin(angle));
        if (!sample_add(m, wall, m->area->points[segment], normal, segment, station, list))
            return false;
    }
    return true;
}

/* The fan at the beginning of a segment. At the wall's own ends it turns no further than to the
 * disc that touches there: beyond lies what that disc does reach, or another place. */
static bool corner_add(const nw_moving *m, const nw_flank *wall, uint32_t segment, double station,
                       nw_wall_samples *list)
{
    nw_point p = m->area->points[segment];
    nw_point from = nw_left(m->area->along[m->area->prev[segment]]);
    nw_point to = nw_left(m->area->along[segment]);
    if (!wall->whole && station < wall->from + NW_MERGE_MM)
        from = nw_unit(p, wall->before);
    if (!wall->whole && station > wall->to - NW_MERGE_MM)
        to = nw_unit(p, wall->after);
    return fan_add(m, wall, segment, from, to, station, list);
}

/* The middle of piece k of so many; but the wall's own ends belong to it. */
static double place_in(const nw_flank *wall, double from, double to, int k, int pieces)
{
    if (!wall->whole && k == 0 && from <= wall->from)
        return 0;
    return !wall->whole && k == pieces - 1 && to >= wall->to ? 1 : (k + 0.5) / pieces;
}

/* Samples in the middles of short pieces of the wall's segments, and fans at its corners. */
static bool wall_sample(const nw_moving *m, const nw_flank *wall, nw_wall_samples *list)
{
    const nw_border *area = m->area;
    double spacing = spacing_of(m);
    double whole = area->ring_length[wall->ring], done = wall->from, lap = 0;
    if (done >= whole)
        lap = whole;
    uint32_t i = nw_border_segment(area, wall->ring, done - lap);
    while (done < wall->to) {
        double first = area->station[i] + lap, end = first + area->length[i];
        bool begins = first > wall->from - NW_MERGE_MM;
        if (begins && !corner_add(m, wall, i, first, list))
            return false;
        double from = fmax(first, wall->from), to = fmin(end, wall->to);
        int pieces = 1 + (int)ceil((to - from) / spacing);
        for (int k = 0; k < pieces; k++) {
            double at = from + (to - from) * place_in(wall, from, to, k, pieces);
            nw_point p = nw_border_at(area, i, at - first);
            if (!sample_add(m, wall, p, nw_left(area->along[i]), i, at, list))
                return false;
        }
        done = end;
        i = area->next[i];
        if (i == area->starts[wall->ring])
            lap += whole;
    }
    bool at_corner = !wall->whole && area->station[i] + lap < wall->to + NW_MERGE_MM;
    return !at_corner || corner_add(m, wall, i, wall->to, list);
}

/* Is the joint between the two segments smooth? */
static bool smooth_joint(const nw_border *area, uint32_t a, uint32_t b)
{
    return fabs(nw_angle(area->along[a], area->along[b])) < CORNER_RAD;
}

/* A sample beyond the wall, which no disc is held at. */
static bool beyond_add(const nw_moving *m, uint32_t i, double t, double station,
                       nw_wall_samples *list)
{
    if (!nw_grow(&list->items, &list->capacity, list->count + 1, sizeof(nw_wall_sample)))
        return false;
    nw_point p = nw_border_at(m->area, i, t), normal = nw_left(m->area->along[i]);
    list->items[list->count++] = (nw_wall_sample){.p = p,
                                                  .normal = normal,
                                                  .centre = nw_plus(p, normal, m->radius),
                                                  .station = station,
                                                  .radius = m->radius,
                                                  .partner = -1,
                                                  .foot = p,
                                                  .segment = i,
                                                  .foot_segment = i,
                                                  .beyond = true};
    return true;
}

/* Up to `length` on from the wall's end, or back from its start (forward false), as far as the
 * outline is smooth. */
static bool beyond_sample(const nw_moving *m, const nw_flank *wall, bool forward, double length,
                          nw_wall_samples *list)
{
    const nw_border *area = m->area;
    double whole = area->ring_length[wall->ring], spacing = spacing_of(m), done = 0;
    double start = forward ? wall->to : wall->from, lap = start >= whole ? whole : 0;
    uint32_t i = nw_border_segment(area, wall->ring, start - lap);
    double t = start - lap - area->station[i];
    length = fmin(length, whole - (wall->to - wall->from));
    if (forward && t < NW_MERGE_MM && !smooth_joint(area, area->prev[i], i))
        return true;
    while (done < length) {
        double left = forward ? area->length[i] - t : t;
        double run = fmin(left, length - done);
        for (double at = fmin(spacing, run); run > 0 && at <= run; at += spacing) {
            double along = forward ? t + at : t - at;
            double station = forward ? start + done + at : start - done - at;
            if (!beyond_add(m, i, along, station, list))
                return false;
        }
        done += run;
        uint32_t next = forward ? area->next[i] : area->prev[i];
        if (!smooth_joint(area, i, next))
            return true;
        i = next;
        t = forward ? 0 : area->length[i];
    }
    return true;
}

static void turn_round(nw_wall_sample *items, size_t count)
{
    for (size_t i = 0; i < count / 2; i++) {
        nw_wall_sample t = items[i];
        items[i] = items[count - 1 - i];
        items[count - 1 - i] = t;
    }
}

bool nw_wall_samples_make(const nw_moving *m, const nw_flank *wall, double beyond,
                          nw_wall_samples *list)
{
    *list = (nw_wall_samples){0};
    beyond = wall->whole || wall->dead_ends ? 0 : beyond;
    if (!beyond_sample(m, wall, false, beyond, list))
        return false;
    turn_round(list->items, list->count);
    return wall_sample(m, wall, list) && beyond_sample(m, wall, true, beyond, list);
}
