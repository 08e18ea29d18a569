/*
 * A place that is too narrow -> the lines along which a disc of the wanted radius R has to run.
 *
 * At a point p of a wall, with normal n into the passage, the largest disc that touches p has its
 * centre on the passage's middle line (the medial axis; shrinking ball, Ma, Bae and Choi 2012) and
 * radius rho under R. The centres of both walls' discs are the passage's middle line, from where
 * the wide disc halts on one side to where it halts on the other, so a curved leg stays a curved
 * leg. Where the stock behind one wall is too thin to give R - rho, the line moves to the other.
 *
 * A disc that touches the same wall twice lies in a dead end that leaves the passage, and is left
 * out; for a stub or a miss that is to be opened, dead ends are all there is.
 */
#include <fit/widen.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SAMPLES_PER_RADIUS 8.0
#define FINEST_MM 0.05  /* closer samples only follow the flattening's chords */
#define CORNER_RAD 0.15 /* a turn that flattening cannot have made */
#define FAN_RAD 0.1     /* between two normals of one corner */
#define JUMP 0.75       /* of R: farther apart, two centres are not on one line */
#define CORNER_COS -0.5 /* walls that meet at more than 60 degrees are a corner, no dead end */

/* A place of a wall, the disc there, and where it goes. */
typedef struct {
    nw_point p, normal, centre;
    double station;
    double radius;  /* rho; R where the disc passes already */
    bool corner;    /* the walls of the two feet meet at a wide angle */
    double partner; /* station of the disc's other foot if that is on the same wall, else -1 */
    nw_point foot;  /* the other foot; p where the disc is not held */
    uint32_t segment, foot_segment;
} sample;

typedef struct {
    sample *items;
    size_t count, capacity;
} samples;

/* ---- samples -------------------------------------------------------------------------------- */

static bool sample_add(const nw_moving *m, const nw_flank *wall, nw_point p, nw_point normal,
                       uint32_t at, double station, samples *list)
{
    void *items = list->items;
    if (!nw_grow(&items, &list->capacity, list->count + 1, sizeof(sample))) {
        return false;
    }
    list->items = items;
    sample *s = &list->items[list->count++];
    nw_point foot = p;
    uint32_t segment = 0;
    *s = (sample){.p = p, .normal = normal, .segment = at, .station = station, .partner = -1};
    s->radius = nw_border_disc(m->area, p, normal, m->radius, &segment, &foot);
    s->centre = nw_plus(p, normal, s->radius);
    s->foot = foot;
    s->foot_segment = segment;
    if (s->radius < m->radius) {
        double along;
        if (nw_flank_has(m->area, wall, m->area->ring[segment],
                         nw_station_on(m->area, segment, foot), &along)) {
            s->partner = along;
        }
        s->corner = nw_dot(normal, nw_unit(foot, s->centre)) > CORNER_COS;
    }
    return true;
}

/* Round a corner that protrudes into the area, the normal turns clockwise while the point stays. */
static bool fan_add(const nw_moving *m, const nw_flank *wall, uint32_t segment, nw_point from,
                    nw_point to, double station, samples *list)
{
    double turn = atan2(nw_cross(from, to), nw_dot(from, to));
    if (turn > -CORNER_RAD) {
        return true;
    }
    int steps = (int)ceil(-turn / FAN_RAD);
    for (int k = 0; k <= steps; k++) {
        double angle = turn * k / steps, c = cos(angle), s = sin(angle);
        nw_point normal = {from.x * c - from.y * s, from.x * s + from.y * c};
        if (!sample_add(m, wall, m->area->points[segment], normal, segment, station, list)) {
            return false;
        }
    }
    return true;
}

/* The fan at the beginning of a segment. At the wall's own ends it turns no further than to the
 * disc that touches there: beyond lies what that disc does reach, or another place. */
static bool corner_add(const nw_moving *m, const nw_flank *wall, uint32_t segment, double station,
                       samples *list)
{
    nw_point p = m->area->points[segment];
    nw_point from = nw_left(m->area->along[m->area->prev[segment]]);
    nw_point to = nw_left(m->area->along[segment]);
    if (!wall->whole && station < wall->from + NW_MERGE_MM) {
        from = nw_unit(p, wall->before);
    }
    if (!wall->whole && station > wall->to - NW_MERGE_MM) {
        to = nw_unit(p, wall->after);
    }
    return fan_add(m, wall, segment, from, to, station, list);
}

static uint32_t segment_at(const nw_border *area, uint32_t ring, double station)
{
    size_t low = area->starts[ring], high = area->starts[ring + 1];
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        *(area->station[middle] <= station ? &low : &high) = middle;
    }
    return (uint32_t)low;
}

/* The middle of piece k of so many; but the wall's own ends belong to it. */
static double place_in(const nw_flank *wall, double from, double to, int k, int pieces)
{
    if (!wall->whole && k == 0 && from <= wall->from) {
        return 0;
    }
    return !wall->whole && k == pieces - 1 && to >= wall->to ? 1 : (k + 0.5) / pieces;
}

/* Samples in the middles of short pieces of the wall's segments, and fans at its corners. */
static bool wall_sample(const nw_moving *m, const nw_flank *wall, samples *list)
{
    const nw_border *area = m->area;
    double spacing = fmax(m->radius / SAMPLES_PER_RADIUS, FINEST_MM);
    double whole = area->ring_length[wall->ring], done = wall->from, lap = 0;
    if (done >= whole) {
        lap = whole;
    }
    uint32_t i = segment_at(area, wall->ring, done - lap);
    while (done < wall->to) {
        double first = area->station[i] + lap, end = first + area->length[i];
        bool begins = first > wall->from - NW_MERGE_MM;
        if (begins && !corner_add(m, wall, i, first, list)) {
            return false;
        }
        double from = fmax(first, wall->from), to = fmin(end, wall->to);
        int pieces = 1 + (int)ceil((to - from) / spacing);
        for (int k = 0; k < pieces; k++) {
            double at = from + (to - from) * place_in(wall, from, to, k, pieces);
            nw_point p = nw_border_at(area, i, at - first);
            if (!sample_add(m, wall, p, nw_left(area->along[i]), i, at, list)) {
                return false;
            }
        }
        done = end;
        i = area->next[i];
        if (i == area->starts[wall->ring]) {
            lap += whole;
        }
    }
    bool at_corner = !wall->whole && area->station[i] + lap < wall->to + NW_MERGE_MM;
    return !at_corner || corner_add(m, wall, i, wall->to, list);
}

/* ---- lines ---------------------------------------------------------------------------------- */

/* Where the disc of radius R runs for this sample: on the middle line, or beside it where the stock
 * behind one wall cannot give its share. False where both together cannot give enough. */
static bool centre_of(const nw_moving *m, const sample *s, nw_moved *moved, nw_point *centre)
{
    double need = m->radius - s->radius;
    *centre = s->centre;
    if (need <= 0) {
        return true;
    }
    nw_point there = nw_unit(s->foot, s->centre);
    double spare = nw_spare_behind(m, s->p, s->normal, s->segment);
    double there_spare = nw_spare_behind(m, s->foot, there, s->foot_segment);
    if (spare + there_spare < 2 * need) {
        /* 2 R and twice the least thickness must fit into what is there, which grows with the size.
         */
        double have = 2 * s->radius + spare + there_spare + 2 * m->least;
        moved->tight = true;
        moved->factor = fmax(moved->factor, (2 * m->radius + 2 * m->least) / have);
        return false;
    }
    double lack = fmax(0, need - spare), there_lack = fmax(0, need - there_spare);
    *centre = nw_plus(nw_plus(s->centre, s->normal, lack), there, there_lack);
    moved->largest_move = fmax(moved->largest_move, need + lack + there_lack);
    return true;
}

/* Ends the line under work and begins another. */
static bool line_end(nw_path *line, nw_drawing *lines)
{
    bool done = true;
    if (line->count) {
        done = nw_drawing_add(lines, line);
    }
    nw_path_free(line);
    *line = (nw_path){0};
    return done;
}

static bool line_to(const nw_moving *m, nw_point p, bool *open, nw_path *line, nw_drawing *lines)
{
    nw_point last = line->count ? line->steps[line->count - 1].to : line->start;
    if (*open && nw_distance(last, p) > JUMP * m->radius && !line_end(line, lines)) {
        return false;
    }
    if (!*open || (line->count == 0 && nw_distance(last, p) > JUMP * m->radius)) {
        line->start = p;
        *open = true;
        return true;
    }
    return nw_distance(last, p) < NW_MERGE_MM || nw_path_line(line, p);
}

/* Is the sample's disc part of the lines? For a dead end to be opened: not in its corners, and not
 * so near its tip that the wide disc would reach beyond. */
static bool sample_counts(const nw_moving *m, const sample *s, const nw_flank *wall)
{
    if (s->partner < 0) {
        return true; /* one that is not held, at a line's end, lies where the bit runs anyway */
    }
    if (!wall->dead_ends || s->corner) {
        return false;
    }
    return !wall->has_tip || nw_distance(s->centre, wall->tip) >= m->radius;
}

/* The same for the last line, which may be a single place. */
static bool line_finish(nw_path *line, bool open, nw_drawing *lines)
{
    return (!open || line->count > 0 || nw_path_line(line, line->start)) && line_end(line, lines);
}

static bool lines_draw(const nw_moving *m, const samples *list, const nw_flank *wall,
                       nw_drawing *lines, nw_moved *moved)
{
    nw_path line = {0};
    bool open = false, done = true;
    for (size_t k = 0; k < list->count && done; k++) {
        nw_point centre;
        if (!sample_counts(m, &list->items[k], wall)) {
            continue;
        }
        if (centre_of(m, &list->items[k], moved, &centre)) {
            done = line_to(m, centre, &open, &line, lines);
        } else {
            done = line_finish(&line, open, lines);
            open = false;
        }
    }
    done = done && line_finish(&line, open, lines);
    nw_path_free(&line);
    return done;
}

nw_status nw_flank_lines(const nw_moving *moving, size_t wall, nw_drawing *lines, nw_moved *moved,
                         nw_error *error)
{
    samples list = {0};
    const nw_flank *flank = &moving->walls->items[wall];
    bool done = wall_sample(moving, flank, &list) && lines_draw(moving, &list, flank, lines, moved);
    free(list.items);
    return done ? NW_OK : nw_fail_memory(error, "the middle lines");
}
