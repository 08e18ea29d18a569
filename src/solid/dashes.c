/*
 * dashes: a path and a pattern of lengths -> the parts of the path that the pattern leaves, exact
 * parts of its curves. A curve's length is that of 64 chords. A closed path's last dash goes on in
 * its first where both meet.
 */
#include <solid/dashes.h>

#define CHORDS 64
#define MOST_DASHES 1000000
#define DOT 1e-6 /* share of a step: a dash without length still has a direction */

typedef struct {
    const nw_stroke *stroke;
    size_t index; /* in the pattern */
    bool on;
    double left;  /* of the pattern's current length */
    nw_path dash; /* under way */
    nw_drawing *dashes;
    size_t cuts;
    bool failed; /* memory ran out */
} dasher;

/* lengths[k]: from the step's start to its k-th chord's. */
static void lengths_find(nw_point from, const nw_step *step, double lengths[CHORDS + 1])
{
    nw_point last = from;
    lengths[0] = 0;
    for (int k = 1; k <= CHORDS; k++) {
        nw_point next = nw_step_at(from, step, (double)k / CHORDS);
        lengths[k] = lengths[k - 1] + nw_distance(last, next);
        last = next;
    }
}

static double parameter_at(const double lengths[CHORDS + 1], double length)
{
    int k = 1;
    while (k < CHORDS && lengths[k] < length)
        k++;
    double chord = lengths[k] - lengths[k - 1];
    double share = chord > 0 ? fmin((length - lengths[k - 1]) / chord, 1) : 1;
    return (k - 1 + share) / CHORDS;
}

static void part_add(dasher *d, nw_point from, const nw_step *step, double t, double u)
{
    if (!d->on || !(u > t))
        return;
    nw_point to = u < 1 ? nw_step_at(from, step, u) : step->to;
    bool added = step->kind == NW_CURVE
                     ? nw_path_curve(&d->dash, nw_step_blossom(from, step, t, t, u),
                                     nw_step_blossom(from, step, t, u, u), to)
                     : nw_path_line(&d->dash, to);
    d->failed = d->failed || !added;
}

static void dash_end(dasher *d)
{
    d->failed = d->failed || !nw_drawing_add(d->dashes, &d->dash);
    nw_path_free(&d->dash);
}

static void pattern_next(dasher *d)
{
    d->index = (d->index + 1) % d->stroke->dash_count;
    d->left = d->stroke->dashes[d->index];
    d->on = !d->on;
}

static void step_dash(dasher *d, nw_point from, const nw_step *step)
{
    double lengths[CHORDS + 1], t = 0, at = 0;
    lengths_find(from, step, lengths);
    for (; lengths[CHORDS] - at >= d->left && !d->failed && d->cuts <= MOST_DASHES; d->cuts++) {
        at += d->left;
        double u = parameter_at(lengths, at);
        part_add(d, from, step, t, u);
        if (d->on && !d->dash.count)
            part_add(d, from, step, u, u + DOT);
        if (d->on)
            dash_end(d);
        else
            d->dash.start = nw_step_at(from, step, u);
        pattern_next(d);
        t = u;
    }
    part_add(d, from, step, t, 1);
    d->left -= lengths[CHORDS] - at;
}

/* Puts the first dash to the end of the one under way. */
static void ends_join(dasher *d)
{
    nw_path *first = &d->dashes->paths[0];
    for (size_t i = 0; i < first->count && !d->failed; i++)
        d->failed = !nw_path_add(&d->dash, &first->steps[i]);
    nw_path_free(first);
    *first = d->dash;
    d->dash = (nw_path){0};
}

static void path_dash(dasher *d, const nw_path *path, double total)
{
    double offset = fmod(d->stroke->dash_offset, 2 * total);
    offset += offset < 0 ? 2 * total : 0;
    for (d->on = true, d->left = d->stroke->dashes[0]; offset > 0 && offset >= d->left;) {
        offset -= d->left;
        pattern_next(d);
    }
    d->left -= offset;
    bool begins_on = d->on;
    d->dash.start = path->start;
    for (size_t i = 0; i < path->count && !d->failed; i++)
        step_dash(d, nw_path_from(path, i), &path->steps[i]);
    if (d->on && path->closed && begins_on) {
        if (d->dashes->count)
            ends_join(d);
        else
            d->dash.closed = true;
    }
    if (d->on && d->dash.count)
        dash_end(d);
}

nw_status nw_path_dash(const nw_path *path, const nw_stroke *stroke, nw_drawing *dashes,
                       nw_error *error)
{
    *dashes = (nw_drawing){0};
    double total = 0;
    for (size_t i = 0; i < stroke->dash_count; i++)
        total += stroke->dashes[i];
    dasher d = {.stroke = stroke, .dashes = dashes};
    if (total > 0) {
        path_dash(&d, path, total);
    } else {
        nw_drawing one = {.paths = (nw_path *)path, .count = 1};
        return nw_drawing_copy(&one, dashes, error);
    }
    nw_path_free(&d.dash);
    if (d.failed || d.cuts > MOST_DASHES) {
        nw_drawing_free(dashes);
        return d.failed
                   ? nw_fail_memory(error, "the dashes")
                   : nw_fail(error, NW_BAD_INPUT, "a stroke has more than %d dashes", MOST_DASHES);
    }
    return NW_OK;
}
