/*
 * Residues -> spots: by the number of contact arcs a pinch, a stub or a miss; stubs that are
 * shallow or pointed are corners; pinches that leave nothing uncut are lifts.
 */
#include <fit/side.h>

#include <math.h>
#include <stdlib.h>

#define DUST_MM2 0.002     /* stubs and misses of less area are not listed */
#define NOTHING_MM2 1e-4   /* a pinch in the cut area that leaves less than this is a lift, */
#define NOTHING_MM 0.01    /* and so is a film that is thinner than this along its walls, */
#define NOTHING_SHARE 0.01 /* and than this share of the disc */
#define CORNER_SHARE 0.25  /* of the diameter: what is less deep is only rounding */
#define BLUNT_SHARE 2.0    /* of it: a tip less deep is a corner, if nothing else is asked */
#define TIP_SHARE 0.6      /* a tip's width at three quarters of its depth to that at one */

typedef struct {
    nw_point *points;
    size_t count, capacity;
} line_of_points;

static bool point_add(line_of_points *line, nw_point p)
{
    return nw_push(&line->points, &line->count, &line->capacity, &p, sizeof p);
}

static bool wall_add_points(const nw_rolled *rolled, uint32_t w, line_of_points *line)
{
    const nw_wall *wall = &rolled->walls.walls[w];
    bool good = point_add(line, wall->first);
    uint32_t i = wall->segment;
    for (uint32_t k = 0; k < wall->span; k++) {
        i = rolled->border.next[i];
        good = good && point_add(line, rolled->border.points[i]);
    }
    return good && point_add(line, wall->last);
}

/* ---- stubs ----------------------------------------------------------------------------------- */

/* Where the line from a to b is at this distance from the centre. */
static nw_point at_distance(nw_point centre, nw_point a, nw_point b, double distance)
{
    nw_point d = nw_minus(b, a), f = nw_minus(a, centre);
    double A = nw_dot(d, d), B = nw_dot(f, d), C = nw_dot(f, f) - distance * distance;
    double root = sqrt(fmax(0, B * B - A * C));
    double t = A > 0 ? (C <= 0 ? (root - B) / A : (-root - B) / A) : 0;
    return nw_plus(a, d, fmin(1, fmax(0, t)));
}

/* The distance between the two sides where, coming from the mouth, they are first as far from the
 * centre as `distance`. Not seen from the deepest point: that is one corner of a blunt end, and
 * more points along the end would make it narrow. */
static double width_at(const line_of_points *line, nw_point centre, double distance)
{
    size_t left = 1, right = line->count - 2;
    while (left + 1 < line->count && nw_distance(line->points[left], centre) < distance)
        left++;
    while (right > 0 && nw_distance(line->points[right], centre) < distance)
        right--;
    nw_point a = at_distance(centre, line->points[left - 1], line->points[left], distance);
    nw_point b = at_distance(centre, line->points[right + 1], line->points[right], distance);
    return nw_distance(a, b);
}

typedef struct {
    nw_point deepest, centre;
    double depth;
    double shallow, middle, deep; /* widths at a quarter, half and three quarters of the depth */
} stub;

static bool stub_measure(const nw_rolled *rolled, const nw_component *component, stub *found)
{
    const nw_walls *walls = &rolled->walls;
    line_of_points line = {0};
    uint32_t arc = NW_NOWHERE;
    for (size_t k = component->wall_first; k < component->wall_last; k++)
        if (nw_wall_has_arc(walls, rolled->wall_order[k]))
            arc = rolled->wall_order[k];
    bool good = true;
    uint32_t w = arc;
    do {
        w = walls->walls[w].next;
        good = good && wall_add_points(rolled, w, &line);
    } while (w != arc);
    if (good) {
        size_t deepest = 0;
        nw_point centre = walls->walls[arc].after;
        for (size_t k = 1; k < line.count; k++)
            if (nw_distance(line.points[k], centre) > nw_distance(line.points[deepest], centre))
                deepest = k;
        double radius = rolled->roll.radius;
        double depth = nw_distance(line.points[deepest], centre) - radius;
        *found = (stub){line.points[deepest],
                        centre,
                        depth,
                        width_at(&line, centre, radius + depth / 4),
                        width_at(&line, centre, radius + depth / 2),
                        width_at(&line, centre, radius + depth * 3 / 4)};
    }
    free(line.points);
    return good;
}

static bool is_corner(const stub *s, double diameter, double blunt)
{
    if (s->depth < CORNER_SHARE * diameter)
        return true;
    return s->depth < blunt && s->deep < TIP_SHARE * s->shallow;
}

static nw_spot stub_spot(const stub *s, const nw_component *component, double diameter)
{
    nw_spot spot = {.form = NW_STUB, .at = s->deepest, .width = NW_NONE, .depth = s->depth};
    spot.length = fmax(s->depth, component->wall_length / 2);
    spot.widen = nw_spot_widen(diameter, fmin(s->shallow, fmin(s->middle, s->deep)));
    spot.from = spot.to = s->deepest;
    spot.stuck = s->centre;
    return spot;
}

/* ---- pinches --------------------------------------------------------------------------------- */

static nw_spot pinch_spot(const nw_rolled *rolled, const nw_component *component, nw_width width)
{
    nw_spot spot = {.form = NW_PINCH, .width = width.width, .depth = NW_NONE};
    spot.at = nw_middle(width.from, width.to);
    spot.from = width.from;
    spot.to = width.to;
    spot.length = component->wall_length / 2;
    spot.widen = nw_spot_widen(rolled->diameter, width.width);
    double nearest = INFINITY;
    for (size_t k = component->wall_first; k < component->wall_last; k++) {
        uint32_t w = rolled->wall_order[k];
        nw_point centre = rolled->walls.walls[w].after;
        if (!nw_wall_has_arc(&rolled->walls, w) || nw_distance(centre, spot.at) >= nearest)
            continue;
        nearest = nw_distance(centre, spot.at);
        spot.stuck = centre;
    }
    return spot;
}

/* ---- all ------------------------------------------------------------------------------------- */

typedef struct {
    const nw_rolled *rolled;
    nw_side side;
    double blunt;
    double share; /* of the areas that do not count, where the art is drawn smaller */
    const nw_width *widths;
    nw_finds *finds;
} search;

static bool corner_add(const search *work, nw_found found, const stub *s)
{
    nw_finds *finds = work->finds;
    if (work->side == NW_NECK)
        return true;
    finds->deepest = fmax(finds->deepest, s->depth);
    finds->corner_area += found.spot.area;
    return nw_push(&finds->corners, &finds->corner_count, &finds->corner_capacity, &found,
                   sizeof found);
}

/* What a residue is, and of a stub what was measured for it. */
typedef enum { DUST, MISS, STUB, CORNER, PINCH, LIFT } kind;

/* A film along a wall, where two discs that meet in a hollow do not quite reach it. */
static bool is_nothing(const search *work, const nw_component *component)
{
    double thin = fmin(NOTHING_MM * sqrt(work->share), NOTHING_SHARE * work->rolled->diameter);
    double film = thin * component->wall_length;
    return component->area < fmax(NOTHING_MM2 * work->share, film);
}

static bool kind_find(const search *work, uint32_t c, kind *found, stub *s)
{
    const nw_rolled *rolled = work->rolled;
    const nw_component *component = &rolled->components[c];
    *found = component->contacts == 0 ? MISS : component->contacts == 1 ? STUB : PINCH;
    if (*found != PINCH && component->area < DUST_MM2 * work->share)
        *found = DUST;
    if (*found == PINCH && work->side == NW_GAP && is_nothing(work, component))
        *found = LIFT;
    if (*found != STUB)
        return true;
    if (!stub_measure(rolled, component, s))
        return false;
    if (is_corner(s, rolled->diameter, work->blunt))
        *found = CORNER;
    return true;
}

static bool component_sort(const search *work, uint32_t c)
{
    const nw_rolled *rolled = work->rolled;
    const nw_component *component = &rolled->components[c];
    nw_finds *finds = work->finds;
    nw_found found = {.rolled = rolled, .component = c};
    stub s = {0};
    kind is;
    if (!kind_find(work, c, &is, &s))
        return false;
    if (is == DUST)
        return true;
    if (is == MISS)
        found.spot = nw_miss_spot(rolled, component);
    else if (is == PINCH || is == LIFT)
        found.spot = pinch_spot(rolled, component, work->widths[c]);
    else
        found.spot = stub_spot(&s, component, rolled->diameter);
    found.spot.side = work->side;
    found.spot.area = component->area;
    if (is == CORNER)
        return corner_add(work, found, &s);
    if (is == LIFT)
        return nw_push(&finds->lifts, &finds->lift_count, &finds->lift_capacity,
                       &(nw_lift){found.spot.at, found.spot.width}, sizeof(nw_lift));
    return nw_push(&finds->spots, &finds->spot_count, &finds->spot_capacity, &found, sizeof found);
}

static double blunt_of(const nw_fit_options *options, double diameter)
{
    return options->blunt > 0 ? options->blunt : BLUNT_SHARE * diameter;
}

nw_status nw_spots_find(const nw_rolled *rolled, nw_side side, const nw_fit_options *options,
                        nw_finds *finds, nw_error *error)
{
    nw_width *widths = nw_alloc(rolled->component_count, sizeof *widths);
    if (!widths)
        return nw_fail_memory(error, "the spots");
    nw_status status = nw_widths_find(rolled, options->threads, widths, error);
    search work = {.rolled = rolled,
                   .side = side,
                   .blunt = blunt_of(options, rolled->diameter),
                   .share = 1,
                   .widths = widths,
                   .finds = finds};
    for (uint32_t c = 0; status == NW_OK && c < rolled->component_count; c++)
        if (!component_sort(&work, c))
            status = nw_fail_memory(error, "the spots");
    free(widths);
    return status;
}

/* ---- only whether there are any -------------------------------------------------------------- */

static void walls_mark(const nw_rolled *rolled, uint32_t c, bool *chosen)
{
    for (size_t k = rolled->components[c].wall_first; k < rolled->components[c].wall_last; k++)
        chosen[rolled->wall_order[k]] = true;
}

/* How many times wider the narrowest pinch would have to be. */
static double need_of(const nw_rolled *rolled, const nw_width *widths, const bool *pinches)
{
    double need = 1;
    for (uint32_t c = 0; c < rolled->component_count; c++)
        if (pinches[c])
            need = fmax(need, widths[c].width > 0 ? rolled->diameter / widths[c].width : INFINITY);
    return need;
}

nw_status nw_spots_mark(const nw_rolled *rolled, nw_side side, const nw_fit_options *options,
                        double scale, nw_marks *marks, nw_error *error)
{
    search work = {.rolled = rolled,
                   .side = side,
                   .blunt = blunt_of(options, rolled->diameter * scale) / scale,
                   .share = 1 / (scale * scale)};
    *marks = (nw_marks){.need = 1, .any = rolled->walls.unpaired > 0};
    marks->walls = nw_alloc(rolled->walls.count, sizeof *marks->walls);
    bool *pinches = nw_alloc(rolled->component_count, sizeof *pinches), any = false;
    nw_width *widths = nw_alloc(rolled->component_count, sizeof *widths);
    bool good = marks->walls && pinches && widths;
    for (uint32_t c = 0; good && c < rolled->component_count; c++) {
        stub s;
        kind is;
        good = kind_find(&work, c, &is, &s);
        if (!good || (is != MISS && is != STUB && is != PINCH))
            continue;
        walls_mark(rolled, c, marks->walls);
        marks->any = true;
        any = any || is == PINCH;
        pinches[c] = is == PINCH;
    }
    nw_status status = good ? NW_OK : nw_fail_memory(error, "the spots");
    if (good && any)
        status = nw_widths_find(rolled, options->threads, widths, error);
    if (status == NW_OK && any)
        marks->need = need_of(rolled, widths, pinches);
    free(pinches);
    free(widths);
    if (status != NW_OK)
        nw_marks_free(marks);
    return status;
}

void nw_marks_free(nw_marks *marks)
{
    free(marks->walls);
    *marks = (nw_marks){0};
}
