/*
 * misses: a residue that the disc nowhere touches -> a spot: where its largest disc lies, and how
 * much wider it must become. Tries along all its walls, then ever closer round the best. In a
 * sliver whose walls all but coincide a disc may come out on the wrong side; only those that stand
 * in the residue itself count, and where there is none it is a place on its wall.
 */
#include <fit/side.h>

#include <math.h>

#define BALLS 64            /* places along a miss at which its largest disc is looked for, */
#define BALLS_MOST 512      /* and along a sliver */
#define BALL_ROUNDS 12      /* and how often the search closes in on the best of them */
#define LIMIT_MORE_MM 0.002 /* more than the largest disc of its area, against rounding */
#define BESIDE_MM 1e-6
/* A disc must be larger by more than this, or the last bits would choose among equals. */
#define BALL_TIE_MM 1e-9

typedef struct {
    const nw_rolled *rolled;
    const nw_component *component;
    double limit, largest;
    nw_point centre;
    const nw_wall *wall; /* where the largest disc so far touches: the wall, and how far along */
    double at;
} ball_search;

/* Even-odd, over all walls of a residue without contacts. */
static bool holds(const nw_rolled *rolled, const nw_component *component, nw_point p)
{
    const nw_border *border = &rolled->border;
    bool in = false;
    for (size_t k = component->wall_first; k < component->wall_last; k++) {
        const nw_wall *wall = &rolled->walls.walls[rolled->wall_order[k]];
        nw_point last = wall->first;
        uint32_t i = wall->segment;
        for (uint32_t step = 0; step < wall->span; step++, last = border->points[i]) {
            i = border->next[i];
            in ^= nw_crosses_ray(last, border->points[i], p);
        }
        in ^= nw_crosses_ray(last, wall->last, p);
        if (!wall->closed && wall->next != NW_NOWHERE)
            in ^= nw_crosses_ray(wall->last, rolled->walls.walls[wall->next].first, p);
    }
    return in;
}

/* Tries the disc that touches `at` millimetres along the wall, which starts at its segment's
 * start. `segment` and its station on the wall go along from try to try. */
static void ball_try(ball_search *work, const nw_wall *wall, double at, uint32_t *segment,
                     double *station)
{
    const nw_border *border = &work->rolled->border;
    while (at - *station > border->length[*segment]) {
        *station += border->length[*segment];
        *segment = border->next[*segment];
    }
    /* Just beside a node: at one, the wall that follows is taken for the same, whatever it turns.
     */
    double length = border->length[*segment], beside = fmin(BESIDE_MM, length / 2);
    double t = fmin(fmax(at - *station, beside), length - beside), radius;
    radius = nw_border_ball(border, *segment, t, work->largest, work->limit);
    if (radius <= work->largest + BALL_TIE_MM)
        return;
    nw_point normal = nw_left(border->along[*segment]);
    nw_point centre = nw_plus(nw_border_at(border, *segment, t), normal, radius);
    if (!holds(work->rolled, work->component, centre))
        return;
    work->largest = radius;
    work->centre = centre;
    work->wall = wall;
    work->at = at;
}

/* `count` tries spread evenly over a stretch of the wall. */
static void balls_along(ball_search *work, const nw_wall *wall, double from, double to, int count)
{
    uint32_t segment = wall->segment;
    double station = 0;
    for (int k = 0; k < count; k++)
        ball_try(work, wall, from + (to - from) * (k + 0.5) / count, &segment, &station);
}

/* Of a sliver more: where it is widest may be a place no longer than it is wide. */
static double balls_of(const nw_component *component)
{
    double wide = 2 * component->area / component->wall_length;
    return fmin(fmax(BALLS, component->wall_length / wide), BALLS_MOST);
}

/* The largest disc that touches the walls of a miss: tries along all of them, then ever closer
 * round the best. No disc in it is larger than one of its area. */
static ball_search largest_ball(const nw_rolled *rolled, const nw_component *component,
                                double limit)
{
    ball_search work = {.rolled = rolled, .component = component, .limit = limit};
    work.centre = rolled->walls.walls[rolled->wall_order[component->wall_first]].first;
    double step = component->wall_length / balls_of(component);
    for (size_t k = component->wall_first; k < component->wall_last; k++) {
        const nw_wall *wall = &rolled->walls.walls[rolled->wall_order[k]];
        double length = nw_wall_length(&rolled->border, wall);
        balls_along(&work, wall, 0, length, (int)ceil(length / step));
    }
    for (int round = 0; round < BALL_ROUNDS && work.wall; round++, step /= 2) {
        double length = nw_wall_length(&rolled->border, work.wall);
        balls_along(&work, work.wall, fmax(0, work.at - step), fmin(length, work.at + step), 4);
    }
    return work;
}

/* The long side of the rectangle that has the miss's area and outline; of a ring its middle. */
static double miss_length(const nw_component *component)
{
    double half = component->wall_length / 2;
    double square = half * half - 4 * component->area;
    return component->holes || square < 0 ? half : (half + sqrt(square)) / 2;
}

/* The same piece is a miss for many bits, and its largest disc is the same then. */
static nw_ball ball_of(const nw_rolled *rolled, const nw_component *component)
{
    const nw_border *border = &rolled->border;
    uint32_t first = rolled->walls.walls[rolled->wall_order[component->wall_first]].segment;
    nw_ball *known = border->balls ? &border->balls[border->ring[first]] : NULL;
    double limit = fmin(rolled->roll.radius, sqrt(component->area / NW_PI) + LIMIT_MORE_MM);
    if (known && known->area == component->area &&
        (known->limit == limit || known->radius < fmin(known->limit, limit)))
        return *known;
    ball_search search = largest_ball(rolled, component, limit);
    nw_ball ball = {limit, component->area, search.largest, search.centre};
    if (known)
        *known = ball;
    return ball;
}

nw_spot nw_miss_spot(const nw_rolled *rolled, const nw_component *component)
{
    nw_spot spot = {.form = NW_MISS, .width = NW_NONE, .depth = NW_NONE};
    nw_ball ball = ball_of(rolled, component);
    spot.at = ball.centre;
    spot.length = miss_length(component);
    spot.widen = nw_spot_widen(rolled->diameter, 2 * ball.radius);
    spot.from = spot.to = spot.stuck = spot.at;
    return spot;
}
