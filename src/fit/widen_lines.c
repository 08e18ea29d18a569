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
#define NEAR_MM 1e-3    /* a residue's point is on the border; how far to look for it */
#define JUMP 0.75       /* of R: farther apart, two centres are not on one line */
#define CORNER_COS -0.5 /* walls that meet at more than 60 degrees are a corner, no dead end */
#define OPPOSITE 0.5    /* cosine: walls that meet at more than 60 degrees are no thin strip */
#define MARGIN_MM 0.02  /* kept above the least thickness, for the curves' own tolerance */

/* A place of a wall, the disc there, and where it goes. */
typedef struct {
    nw_point p, normal, centre;
    double station;
    double radius;  /* rho; R where the disc passes already */
    bool corner;    /* the walls of the two feet meet at a wide angle */
    double partner; /* station of the disc's other foot if that is on the same wall, else -1 */
    double spare;   /* what the stock behind can give */
    double partner_spare; /* the same at the other foot */
} sample;

typedef struct {
    sample *items;
    size_t count, capacity;
} samples;

/* ---- walls ---------------------------------------------------------------------------------- */

void nw_flanks_free(nw_flanks *walls)
{
    free(walls->items);
    *walls = (nw_flanks){0};
}

/* Station of a point on the border where the border runs in the given direction: outlines may
 * touch, and the direction tells which is meant. */
static bool station_find(const nw_border *area, nw_point p, nw_point direction, uint32_t *ring,
                         double *station)
{
    nw_walk walk;
    uint32_t i;
    double best = INFINITY;
    nw_walk_start(&walk, &area->tree, nw_box_round(p, NEAR_MM), p);
    while (nw_walk_next(&walk, &i)) {
        double t = nw_dot(nw_minus(p, area->points[i]), area->along[i]);
        t = fmin(fmax(t, 0), area->length[i]);
        double off = nw_distance(p, nw_border_at(area, i, t));
        double turned = 1 - nw_dot(direction, area->along[i]);
        if (off < NEAR_MM && off + turned < best) {
            best = off + turned;
            *ring = area->ring[i];
            *station = area->station[i] + t;
        }
    }
    return isfinite(best);
}

static nw_point unit_from(nw_point a, nw_point b)
{
    double length = nw_distance(a, b);
    nw_point d = nw_minus(b, a);
    return length > 0 ? (nw_point){d.x / length, d.y / length} : (nw_point){0, 0};
}

static bool wall_push(nw_flanks *walls, nw_flank wall)
{
    void *items = walls->items;
    if (!nw_grow(&items, &walls->capacity, walls->count + 1, sizeof wall)) {
        return false;
    }
    walls->items = items;
    walls->items[walls->count++] = wall;
    return true;
}

/* The wall along the lines [first, first + count) of a residue's path; steps wrap round. */
static bool wall_add(const nw_border *area, const nw_path *path, size_t first, size_t count,
                     const nw_flank *like, nw_flanks *walls)
{
    size_t n = path->count, last = (first + count - 1) % n;
    nw_point start = first ? path->steps[first - 1].to : path->start;
    nw_point before_end = last ? path->steps[last - 1].to : path->start;
    nw_flank wall = *like;
    wall.whole = count == n;
    if (!wall.whole) { /* an arc comes before the first line, and one after the last */
        wall.before = path->steps[(first + n - 1) % n].a;
        wall.after = path->steps[(last + 1) % n].a;
    }
    uint32_t ring;
    if (!station_find(area, start, unit_from(start, path->steps[first].to), &wall.ring,
                      &wall.from) ||
        !station_find(area, path->steps[last].to, unit_from(before_end, path->steps[last].to),
                      &ring, &wall.to) ||
        ring != wall.ring) {
        return true; /* not a stretch of this border: nothing to move */
    }
    double whole = area->ring_length[ring];
    if (wall.whole) {
        wall.to = wall.from + whole;
    } else if (wall.to <= wall.from) {
        wall.to += whole;
    }
    return wall_push(walls, wall);
}

static bool walls_of_path(const nw_border *area, const nw_path *path, const nw_flank *like,
                          nw_flanks *walls)
{
    size_t n = path->count, arc = 0;
    while (arc < n && path->steps[arc].kind != NW_ARC) {
        arc++;
    }
    if (arc == n) {
        return wall_add(area, path, 0, n, like, walls);
    }
    for (size_t k = 1; k <= n;) {
        size_t run = 0;
        while (k + run <= n && path->steps[(arc + k + run) % n].kind == NW_LINE) {
            run++;
        }
        if (run && !wall_add(area, path, (arc + k) % n, run, like, walls)) {
            return false;
        }
        k += run + 1;
    }
    return true;
}

nw_status nw_flanks_add(const nw_border *area, const nw_drawing *residues, size_t first,
                        size_t count, const nw_flank *like, nw_flanks *walls, nw_error *error)
{
    for (size_t i = first; i < first + count; i++) {
        if (!walls_of_path(area, &residues->paths[i], like, walls)) {
            return nw_fail_memory(error, "the walls to be moved");
        }
    }
    return NW_OK;
}

/* Is the station on the wall? *along: brought into the wall's own range. */
static bool wall_has(const nw_border *area, const nw_flank *wall, uint32_t ring, double station,
                     double *along)
{
    if (ring != wall->ring) {
        return false;
    }
    if (station < wall->from) {
        station += area->ring_length[ring];
    }
    *along = station;
    return station <= wall->to;
}

/* ---- samples -------------------------------------------------------------------------------- */

static double station_on(const nw_border *border, uint32_t segment, nw_point p)
{
    return border->station[segment] +
           nw_dot(nw_minus(p, border->points[segment]), border->along[segment]);
}

/* How much the stock behind p, on the other side of the border, can give: half of what is over the
 * least where the wall beyond it moves too. */
static double spare_behind(const nw_moving *m, const nw_flanks *walls, nw_point p, nw_point normal)
{
    double need = m->radius;
    nw_point back = {-normal.x, -normal.y}, foot;
    uint32_t segment = 0;
    double limit = m->least / 2 + need + MARGIN_MM;
    double radius = nw_border_disc(m->other, p, back, limit, &segment, &foot);
    nw_point towards = unit_from(nw_plus(p, back, radius), foot);
    if (radius >= limit || nw_dot(towards, back) < OPPOSITE) {
        return need; /* nothing behind, or only the inside of a corner */
    }
    double over = 2 * radius - m->least - MARGIN_MM, along;
    uint32_t ring;
    double station;
    nw_point direction = {-m->other->along[segment].x, -m->other->along[segment].y};
    if (!station_find(m->area, foot, direction, &ring, &station)) {
        return fmax(over, 0);
    }
    for (size_t i = 0; i < walls->count; i++) {
        if (wall_has(m->area, &walls->items[i], ring, station, &along)) {
            return fmax(over / 2, 0);
        }
    }
    return fmax(over, 0);
}

static bool sample_add(const nw_moving *m, const nw_flanks *walls, const nw_flank *wall, nw_point p,
                       nw_point normal, double station, samples *list)
{
    void *items = list->items;
    if (!nw_grow(&items, &list->capacity, list->count + 1, sizeof(sample))) {
        return false;
    }
    list->items = items;
    sample *s = &list->items[list->count++];
    nw_point foot = p;
    uint32_t segment = 0;
    *s = (sample){.p = p, .normal = normal, .station = station, .partner = -1};
    s->radius = nw_border_disc(m->area, p, normal, m->radius, &segment, &foot);
    s->centre = nw_plus(p, normal, s->radius);
    s->spare = s->partner_spare = m->radius;
    if (s->radius < m->radius) {
        double along;
        if (wall_has(m->area, wall, m->area->ring[segment], station_on(m->area, segment, foot),
                     &along)) {
            s->partner = along;
        }
        nw_point there = unit_from(foot, s->centre);
        s->corner = nw_dot(normal, there) > CORNER_COS;
        if (wall->share) {
            s->spare = spare_behind(m, walls, p, normal);
            s->partner_spare = spare_behind(m, walls, foot, there);
        }
    }
    return true;
}

/* Round a corner that protrudes into the area, the normal turns clockwise while the point stays. */
static bool fan_add(const nw_moving *m, const nw_flanks *walls, const nw_flank *wall, nw_point p,
                    nw_point from, nw_point to, double station, samples *list)
{
    double turn = atan2(nw_cross(from, to), nw_dot(from, to));
    if (turn > -CORNER_RAD) {
        return true;
    }
    int steps = (int)ceil(-turn / FAN_RAD);
    for (int k = 0; k <= steps; k++) {
        double angle = turn * k / steps, c = cos(angle), s = sin(angle);
        nw_point normal = {from.x * c - from.y * s, from.x * s + from.y * c};
        if (!sample_add(m, walls, wall, p, normal, station, list)) {
            return false;
        }
    }
    return true;
}

/* The fan at the beginning of a segment. At the wall's own ends it turns no further than to the
 * disc that touches there: beyond lies what that disc does reach, or another place. */
static bool corner_add(const nw_moving *m, const nw_flanks *walls, const nw_flank *wall,
                       uint32_t segment, double station, samples *list)
{
    nw_point p = m->area->points[segment];
    nw_point from = nw_left(m->area->along[m->area->prev[segment]]);
    nw_point to = nw_left(m->area->along[segment]);
    if (!wall->whole && station < wall->from + NW_MERGE_MM) {
        from = unit_from(p, wall->before);
    }
    if (!wall->whole && station > wall->to - NW_MERGE_MM) {
        to = unit_from(p, wall->after);
    }
    return fan_add(m, walls, wall, p, from, to, station, list);
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
static bool wall_sample(const nw_moving *m, const nw_flanks *walls, const nw_flank *wall,
                        samples *list)
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
        if (begins && !corner_add(m, walls, wall, i, first, list)) {
            return false;
        }
        double from = fmax(first, wall->from), to = fmin(end, wall->to);
        int pieces = 1 + (int)ceil((to - from) / spacing);
        for (int k = 0; k < pieces; k++) {
            double at = from + (to - from) * place_in(wall, from, to, k, pieces);
            nw_point p = nw_border_at(area, i, at - first);
            if (!sample_add(m, walls, wall, p, nw_left(area->along[i]), at, list)) {
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
    return !at_corner || corner_add(m, walls, wall, i, wall->to, list);
}

/* ---- lines ---------------------------------------------------------------------------------- */

/* Where the disc of radius R runs for this sample: on the middle line, or beside it where the stock
 * behind one wall cannot give its share. */
static nw_point centre_of(const nw_moving *m, const sample *s, nw_moved *moved)
{
    double need = m->radius - s->radius;
    double lack = fmax(0, need - s->spare), partner_lack = fmax(0, need - s->partner_spare);
    if (lack > 0 && partner_lack > 0) {
        /* 2 R and twice the least thickness must fit into what is there, which grows with the size.
         */
        double have = 2 * s->radius + s->spare + s->partner_spare + 2 * m->least;
        moved->tight = true;
        moved->factor = fmax(moved->factor, (2 * m->radius + 2 * m->least) / have);
    }
    double aside = fmin(fmax(lack - partner_lack, -need), need);
    moved->largest_move = fmax(moved->largest_move, need + fabs(aside));
    return nw_plus(s->centre, s->normal, aside);
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

static bool lines_draw(const nw_moving *m, const samples *list, const nw_flank *wall,
                       nw_drawing *lines, nw_moved *moved)
{
    nw_path line = {0};
    bool open = false, done = true;
    for (size_t k = 0; k < list->count && done; k++) {
        if (sample_counts(m, &list->items[k], wall)) {
            done = line_to(m, centre_of(m, &list->items[k], moved), &open, &line, lines);
        }
    }
    if (done && open && line.count == 0) {
        done = nw_path_line(&line, line.start); /* a single place */
    }
    done = done && line_end(&line, lines);
    nw_path_free(&line);
    return done;
}

nw_status nw_flank_lines(const nw_moving *moving, const nw_flanks *walls, size_t wall,
                         nw_drawing *lines, nw_moved *moved, nw_error *error)
{
    samples list = {0};
    bool done = wall_sample(moving, walls, &walls->items[wall], &list) &&
                lines_draw(moving, &list, &walls->items[wall], lines, moved);
    free(list.items);
    return done ? NW_OK : nw_fail_memory(error, "the middle lines");
}
