/*
 * pixel_steps: a ring of cracks between ink and paper pixels, without grey levels -> places of the
 * smooth outline that they stand for.
 *
 * The whole ring is smoothed first (smooth_cracks.c). Where the limits hold the outline by force it
 * has a corner, which smoothing rounds off; so the ring is broken there and each stretch is
 * smoothed by itself, straight if it can be, until none is held by force any more.
 */
#include <trace/pixel_steps.h>
#include <trace/tracing.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define HALF 4          /* cracks on either side that tell the direction */
#define STEEP 0.64      /* of a crack's own direction across the outline, at least */
#define AROUND 60       /* places beyond either end of a ring that is cut open */
#define LEAST_PLACES 12 /* smaller rings stay as they are */
#define BREAK_ROUNDS 4
#define BREAK_REACH 12   /* places over which a corner's force is felt */
#define LEAST_STRETCH 7  /* places, with a break; shorter ones are only straightened */
#define LEAST_STRAIGHT 4 /* likewise */

/* A force at a corner. Discs of 8 to 600 px stay under 0.001, ellipses that bend by no less than
 * 10 px under 0.002; corners of 45 degrees begin at 0.004. */
static const double FORCE_BREAK = 0.003;

static const double THIN_REACH_PX = 0.35;
static const double SADDLE_REACH_PX = 0.2;

typedef struct {
    nw_crack *cracks;
    bool *broken;  /* a corner's place */
    bool *blurred; /* next to a corner, on nobody knows which side */
    size_t count;
} ring;

static size_t around(const ring *r, size_t i, long step)
{
    long n = (long)r->count;
    return (size_t)((((long)i + step) % n + n) % n);
}

/* Takes the cracks that the outline crosses at least as steeply as told. */
static void ring_take(ring *r, const nw_point *middles, size_t count, double steep)
{
    for (size_t i = 0; i < count; i++) {
        nw_point along = {0, 0};
        for (size_t k = 1; k <= HALF; k++) {
            nw_point before = middles[(i + HALF * count - k) % count];
            nw_point after = middles[(i + k) % count];
            along = nw_plus(along, nw_minus(after, before), 1);
        }
        bool upright = middles[i].x == floor(middles[i].x);
        if (fabs(upright ? along.y : along.x) >= steep * nw_length(along)) {
            r->cracks[r->count++] = (nw_crack){
                .at = middles[i], .normal = nw_left(nw_unit_of(along)), .upright = upright};
        }
    }
}

/* Whether the pixels round the corner (x, y) touch only across it. */
static bool is_saddle(const nw_ink *ink, long x, long y)
{
    bool here = nw_ink_at(ink, x, y);
    return here == nw_ink_at(ink, x - 1, y - 1) && here != nw_ink_at(ink, x - 1, y) &&
           here != nw_ink_at(ink, x, y - 1);
}

/* Where ink or paper is a pixel thin, or two pixels touch, the outlines of both sides must not
 * meet. */
static double most_shift(const nw_ink *ink, const nw_crack *c, double reach)
{
    long x = (long)floor(c->at.x), y = (long)floor(c->at.y);
    long dx = c->upright, dy = !c->upright;
    if (is_saddle(ink, x, y) || is_saddle(ink, x + dy, y + dx))
        return fmin(reach, SADDLE_REACH_PX);
    bool ahead = nw_ink_at(ink, x, y), behind = nw_ink_at(ink, x - dx, y - dy);
    bool thin =
        nw_ink_at(ink, x + dx, y + dy) != ahead || nw_ink_at(ink, x - 2 * dx, y - 2 * dy) != behind;
    return thin ? fmin(reach, THIN_REACH_PX) : reach;
}

static void limit_shifts(ring *r, const nw_ink *ink, double reach)
{
    for (size_t i = 0; i < r->count; i++)
        r->cracks[i].most = most_shift(ink, &r->cracks[i], reach);
}

/* Smooths the whole ring, cut open, with its end once more before it and its beginning after it. */
static bool smooth_ring(ring *r)
{
    size_t extra = r->count < AROUND ? r->count : AROUND, count = r->count + 2 * extra;
    nw_crack *run = nw_alloc(count, sizeof *run);
    for (size_t i = 0; run && i < count; i++)
        run[i] = r->cracks[around(r, i, -(long)extra)];
    bool done = run && nw_cracks_smooth(run, count);
    if (done)
        memcpy(r->cracks, run + extra, r->count * sizeof *run);
    free(run);
    return done;
}

/* Smooths the stretch of count places from a break to the next, but for those beside the breaks. */
static bool smooth_stretch(ring *r, size_t from, size_t count, nw_crack *run)
{
    for (size_t i = 0; i < count; i++)
        r->cracks[around(r, from, (long)i)].force = 0;
    bool whole = count >= LEAST_STRETCH;
    size_t skipped = whole ? 2 : 1, length = count - (whole ? 3 : 1);
    if (count < LEAST_STRAIGHT)
        return true;
    for (size_t i = 0; i < length; i++)
        run[i] = r->cracks[around(r, from, (long)(skipped + i))];
    bool done = nw_cracks_straighten(run, length) || !whole || nw_cracks_smooth(run, length);
    for (size_t i = 0; done && i < length; i++)
        r->cracks[around(r, from, (long)(skipped + i))] = run[i];
    if (whole) {
        r->blurred[around(r, from, 1)] = true;
        r->blurred[around(r, from, (long)count - 1)] = true;
    }
    return done;
}

static bool smooth_stretches(ring *r)
{
    nw_crack *run = nw_alloc(r->count, sizeof *run);
    bool done = run != NULL;
    size_t first = 0;
    while (!r->broken[first])
        first++;
    for (size_t i = 0, n; done && i < r->count; i += n) {
        for (n = 1; i + n < r->count && !r->broken[around(r, first, (long)(i + n))]; n++) {
        }
        done = smooth_stretch(r, around(r, first, (long)i), n, run);
    }
    free(run);
    return done;
}

/* What part of a corner's force may be felt this many places away: beside a corner of 90 degrees,
 * two thirds at 3 places, a third at 6, a seventh at 12. */
static double force_felt(long far)
{
    return far <= 3 ? 1 : far <= 6 ? 0.8 : 0.5;
}

static bool is_peak(const ring *r, size_t i)
{
    double force = r->cracks[i].force;
    bool peak = force > FORCE_BREAK && !r->broken[i];
    for (long k = 1; peak && k <= BREAK_REACH; k++) {
        double before = r->cracks[around(r, i, -k)].force, after = r->cracks[around(r, i, k)].force;
        peak = after * force_felt(k) < force && before * force_felt(k) <= force;
    }
    return peak;
}

/* Breaks the ring where the force is greatest among its neighbours. */
static size_t breaks_add(ring *r)
{
    size_t added = 0;
    for (size_t i = 0; i < r->count; i++) {
        if (is_peak(r, i)) {
            r->broken[i] = true;
            added++;
        }
    }
    return added;
}

static bool smooth(ring *r)
{
    bool done = smooth_ring(r);
    for (int round = 0; done && round < BREAK_ROUNDS && breaks_add(r); round++)
        done = smooth_stretches(r);
    return done;
}

static bool places_take(const ring *r, nw_steps_places *places)
{
    places->points = nw_alloc(r->count, sizeof *places->points);
    places->corners = nw_alloc(r->count, sizeof *places->corners);
    bool done = places->points && places->corners;
    for (size_t i = 0; done && i < r->count; i++) {
        const nw_crack *c = &r->cracks[i];
        if (!r->blurred[i] || r->broken[i]) {
            places->corners[places->count] = r->broken[i];
            places->points[places->count++] = (nw_point){c->at.x + (c->upright ? c->shift : 0),
                                                         c->at.y + (c->upright ? 0 : c->shift)};
        }
    }
    return done;
}

bool nw_steps_smooth(const nw_ink *ink, const nw_point *middles, size_t count, double reach,
                     nw_steps_places *places)
{
    ring r = {.cracks = nw_alloc(count, sizeof *r.cracks),
              .broken = nw_alloc(count, sizeof *r.broken),
              .blurred = nw_alloc(count, sizeof *r.blurred)};
    *places = (nw_steps_places){0};
    bool done = r.cracks && r.broken && r.blurred;
    if (done) {
        ring_take(&r, middles, count, STEEP);
        if (r.count < LEAST_PLACES) {
            r.count = 0;
            ring_take(&r, middles, count, 0);
        }
        limit_shifts(&r, ink, reach);
        done = (r.count < LEAST_PLACES || smooth(&r)) && places_take(&r, places);
    }
    free(r.cracks);
    free(r.broken);
    free(r.blurred);
    return done;
}

void nw_steps_places_free(nw_steps_places *places)
{
    free(places->points);
    free(places->corners);
    *places = (nw_steps_places){0};
}
