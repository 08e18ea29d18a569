/*
 * misses: a residue that the disc nowhere touches -> a spot: where its largest disc lies, and how
 * much wider it must become. Tries along all its walls, then ever closer round the best few. In a
 * sliver whose walls all but coincide a disc may come out on the wrong side; only those that stand
 * in the residue itself count, and where there is none it is a place on its wall.
 */
#include <fit/side.h>

#include <math.h>

#define BALLS 64            /* places along a miss at which its largest disc is looked for, */
#define BALLS_MOST 4096     /* and along a sliver; */
#define PEAKS_MOST 32       /* those where it is largest about, from which the search closes in, */
#define BALL_ROUNDS 12      /* and how often */
#define LIMIT_MORE_MM 0.002 /* more than the largest disc of its area, against rounding */
#define BESIDE_MM 1e-6
/* A disc must be larger by more than this, or the last bits would choose among equals. */
#define BALL_TIE_MM 1e-9

/* A disc and where it touches: the wall, and how far along. */
typedef struct {
    double radius;
    nw_point centre;
    const nw_wall *wall;
    double at;
} wall_ball;

typedef struct {
    const nw_rolled *rolled;
    const nw_component *component;
    double limit;
    double step; /* from place to place */
    wall_ball peaks[PEAKS_MOST], largest;
    size_t peak_count;
    uint32_t blocker; /* of the last disc */
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

/* The disc that touches `at` millimetres along the wall, which starts at its segment's start; one
 * of less than `least` may come out as any such. `segment` and its station on the wall go along
 * from place to place. */
static wall_ball ball_at(ball_search *work, const nw_wall *wall, double at, double least,
                         uint32_t *segment, double *station)
{
    const nw_border *border = &work->rolled->border;
    while (at - *station > border->length[*segment]) {
        *station += border->length[*segment];
        *segment = border->next[*segment];
    }
    /* Just beside a node: at one, the wall that follows is taken for the same, whatever it turns.
     */
    double length = border->length[*segment], beside = fmin(BESIDE_MM, length / 2);
    double t = fmin(fmax(at - *station, beside), length - beside);
    double radius = nw_border_ball(border, *segment, t, least, work->limit, &work->blocker);
    nw_point normal = nw_left(border->along[*segment]);
    nw_point centre = nw_plus(nw_border_at(border, *segment, t), normal, radius);
    return (wall_ball){radius, centre, wall, at};
}

static void ball_take(const ball_search *work, const wall_ball *ball, wall_ball *best)
{
    if (ball->radius > best->radius + BALL_TIE_MM &&
        holds(work->rolled, work->component, ball->centre))
        *best = *ball;
}

/* Keeps the largest, in order. */
static void peak_add(ball_search *work, const wall_ball *ball)
{
    size_t i = work->peak_count;
    if (i == PEAKS_MOST && ball->radius <= work->peaks[--i].radius)
        return;
    for (; i > 0 && work->peaks[i - 1].radius < ball->radius; i--)
        work->peaks[i] = work->peaks[i - 1];
    work->peaks[i] = *ball;
    work->peak_count += work->peak_count < PEAKS_MOST;
}

/* Tries all along a wall: where a disc is larger than those beside it, and might with its place
 * become the largest of all, is a peak. */
static void balls_along(ball_search *work, const nw_wall *wall)
{
    double length = nw_wall_length(&work->rolled->border, wall), station = 0;
    int count = (int)ceil(length / work->step);
    uint32_t segment = wall->segment;
    wall_ball before = {0}, last = {0};
    for (int k = 0; k <= count; k++) {
        wall_ball next = {0};
        if (k < count) {
            next = ball_at(work, wall, length * (k + 0.5) / count,
                           work->largest.radius - work->step, &segment, &station);
            ball_take(work, &next, &work->largest);
        }
        if (last.wall && last.radius >= before.radius && last.radius >= next.radius &&
            last.radius > work->largest.radius - work->step)
            peak_add(work, &last);
        before = last;
        last = next;
    }
}

/* Ever closer round a peak, while it may still rise above the largest. */
static void peak_climb(ball_search *work, wall_ball peak)
{
    double length = nw_wall_length(&work->rolled->border, peak.wall), step = work->step;
    for (int round = 0; round < BALL_ROUNDS; round++, step /= 2) {
        double from = fmax(0, peak.at - step), to = fmin(length, peak.at + step), station = 0;
        double least = fmax(peak.radius, work->largest.radius - step);
        uint32_t segment = peak.wall->segment;
        for (int k = 0; k < 4; k++) {
            wall_ball ball = ball_at(work, peak.wall, from + (to - from) * (k + 0.5) / 4, least,
                                     &segment, &station);
            ball_take(work, &ball, &peak);
        }
        if (peak.radius < work->largest.radius - step)
            return;
    }
    if (peak.radius > work->largest.radius + BALL_TIE_MM)
        work->largest = peak;
}

/* Of a sliver more: where it is widest may be a place no longer than it is wide. */
static double balls_of(const nw_component *component)
{
    double wide = 2 * component->area / component->wall_length;
    return fmin(fmax(BALLS, component->wall_length / wide), BALLS_MOST);
}

static nw_point first_point(const nw_rolled *rolled, const nw_component *component)
{
    return rolled->walls.walls[rolled->wall_order[component->wall_first]].first;
}

/* The largest disc that touches the walls of a miss: tries along all of them, then ever closer
 * round those that come near it. No disc in it is larger than one of its area. */
static wall_ball largest_ball(const nw_rolled *rolled, const nw_component *component, double limit)
{
    ball_search work = {.rolled = rolled, .component = component, .limit = limit};
    work.largest.centre = first_point(rolled, component);
    work.step = component->wall_length / balls_of(component);
    for (size_t k = component->wall_first; k < component->wall_last; k++)
        balls_along(&work, &rolled->walls.walls[rolled->wall_order[k]]);
    for (size_t i = 0; i < work.peak_count; i++)
        if (work.peaks[i].radius > work.largest.radius - work.step &&
            holds(rolled, component, work.peaks[i].centre))
            peak_climb(&work, work.peaks[i]);
    return work.largest;
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
    wall_ball largest = largest_ball(rolled, component, limit);
    nw_ball ball = {limit, component->area, largest.radius, largest.centre};
    if (known)
        *known = ball;
    return ball;
}

nw_spot nw_miss_spot(const nw_rolled *rolled, const nw_component *component, bool with_disc)
{
    nw_spot spot = {.form = NW_MISS, .width = NW_NONE, .depth = NW_NONE};
    nw_ball ball = {.centre = first_point(rolled, component)};
    if (with_disc)
        ball = ball_of(rolled, component);
    spot.at = ball.centre;
    spot.length = miss_length(component);
    spot.widen = nw_spot_widen(rolled->diameter, 2 * ball.radius);
    spot.from = spot.to = spot.stuck = spot.at;
    return spot;
}
