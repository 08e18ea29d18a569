/*
 * break: outlines and places -> outlines with gaps at the places, cut at the exact parameters of
 * their steps (de Casteljau's construction), lengths taken along fine chords.
 */
#include <change/change.h>

#include <math.h>
#include <stdlib.h>

#define CHORDS 48 /* of a step */

/* A point of a path at a length along it. */
typedef struct {
    double at;
    nw_point point;
} station;

typedef struct {
    const nw_path *path;
    station *stations; /* CHORDS for each step, and the end */
    double length;
    double *middles; /* of its gaps, as lengths */
    size_t gaps;
} measured;

static bool path_measure(const nw_path *path, size_t places, measured *m)
{
    *m = (measured){.path = path};
    m->stations = nw_alloc(path->count * CHORDS + 1, sizeof *m->stations);
    m->middles = nw_alloc(places, sizeof *m->middles);
    if (!m->stations || !m->middles)
        return false;
    m->stations[0].point = path->start;
    for (size_t i = 0; i < path->count; i++) {
        for (size_t k = 1; k <= CHORDS; k++) {
            size_t n = i * CHORDS + k;
            nw_point p = nw_step_at(nw_path_from(path, i), &path->steps[i], (double)k / CHORDS);
            nw_point last = m->stations[n - 1].point;
            m->length += nw_distance(last, p);
            m->stations[n] = (station){m->length, p};
        }
    }
    return true;
}

/* The length at which the path comes nearest to p, and how near. */
static double nearest_length(const measured *m, nw_point p, double *distance)
{
    double best = 0;
    *distance = INFINITY;
    for (size_t i = 0; i < m->path->count * CHORDS; i++) {
        station a = m->stations[i], b = m->stations[i + 1];
        double dx = b.point.x - a.point.x, dy = b.point.y - a.point.y, square = dx * dx + dy * dy;
        double t = square > 0 ? ((p.x - a.point.x) * dx + (p.y - a.point.y) * dy) / square : 0;
        t = fmin(fmax(t, 0), 1);
        double d = nw_distance((nw_point){a.point.x + t * dx, a.point.y + t * dy}, p);
        if (d < *distance) {
            *distance = d;
            best = a.at + t * (b.at - a.at);
        }
    }
    return best;
}

/* The step and its parameter at a length. */
static size_t step_at_length(const measured *m, double length, double *t)
{
    size_t low = 0, high = m->path->count * CHORDS;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (m->stations[middle].at <= length)
            low = middle;
        else
            high = middle;
    }
    double chord = m->stations[high].at - m->stations[low].at;
    double share = chord > 0 ? (length - m->stations[low].at) / chord : 0;
    *t = ((double)(low % CHORDS) + fmin(fmax(share, 0), 1)) / CHORDS;
    return low / CHORDS;
}

static bool part_add(nw_path *path, nw_point from, const nw_step *step, double t0, double t1)
{
    nw_point to = t1 == 1 ? step->to : nw_step_at(from, step, t1);
    if (step->kind == NW_LINE)
        return nw_path_line(path, to);
    if (step->kind == NW_ARC)
        return nw_path_arc(path, step->a, to, step->clockwise);
    return nw_path_curve(path, nw_step_blossom(from, step, t0, t0, t1),
                         nw_step_blossom(from, step, t0, t1, t1), to);
}

/* The stretch between two lengths, begin < end, which may go on past the path's start. */
static bool stretch_add(const measured *m, double begin, double end, nw_drawing *broken)
{
    double t, last;
    size_t step = step_at_length(m, begin, &t);
    bool around = end > m->length;
    size_t stop = step_at_length(m, around ? end - m->length : end, &last);
    size_t count = (stop + m->path->count - step) % m->path->count;
    count = count == 0 && around ? m->path->count : count;
    nw_path path = {.start = nw_step_at(nw_path_from(m->path, step), &m->path->steps[step], t),
                    .piece = broken->count};
    bool good = true;
    for (size_t k = 0; k <= count && good; k++) {
        size_t i = (step + k) % m->path->count;
        double t0 = k ? 0 : t, t1 = k == count ? last : 1;
        if (t1 > t0)
            good = part_add(&path, nw_path_from(m->path, i), &m->path->steps[i], t0, t1);
    }
    good = good && (!path.count || nw_drawing_add(broken, &path));
    nw_path_free(&path);
    return good;
}

static bool path_break(const measured *m, double gap, nw_drawing *broken)
{
    if (!m->gaps) {
        nw_drawing whole = {.paths = (nw_path *)m->path, .count = 1}, copy = {0};
        bool good =
            nw_drawing_copy(&whole, &copy, NULL) == NW_OK && nw_drawing_add(broken, &copy.paths[0]);
        nw_drawing_free(&copy);
        return good;
    }
    nw_sort(m->middles, m->gaps, sizeof *m->middles, nw_by_number);
    bool good = true;
    for (size_t i = 0; i < m->gaps && good; i++) {
        bool last = i + 1 == m->gaps;
        double begin = m->middles[i] + gap / 2;
        double end = (last ? m->middles[0] + m->length : m->middles[i + 1]) - gap / 2;
        double lap = begin >= m->length ? m->length : 0;
        if (end - begin > NW_SAME_MM)
            good = stretch_add(m, begin - lap, end - lap, broken);
    }
    return good;
}

static void gaps_share(measured *all, size_t paths, const nw_point *places, size_t count)
{
    for (size_t p = 0; p < count; p++) {
        double nearest = INFINITY, at = 0, distance;
        size_t best = 0;
        for (size_t i = 0; i < paths; i++) {
            double length = nearest_length(&all[i], places[p], &distance);
            if (distance < nearest) {
                nearest = distance;
                at = length;
                best = i;
            }
        }
        if (nearest < INFINITY)
            all[best].middles[all[best].gaps++] = at;
    }
}

nw_status nw_drawing_break(const nw_drawing *drawing, const nw_point *places, size_t count,
                           double gap, nw_drawing *broken, nw_error *error)
{
    *broken = (nw_drawing){.width = drawing->width, .height = drawing->height};
    measured *all = nw_alloc(drawing->count, sizeof *all);
    bool good = all != NULL;
    for (size_t i = 0; i < drawing->count && good; i++)
        good = path_measure(&drawing->paths[i], count, &all[i]);
    if (good)
        gaps_share(all, drawing->count, places, count);
    for (size_t i = 0; i < drawing->count && good; i++)
        good = path_break(&all[i], gap, broken);
    for (size_t i = 0; all && i < drawing->count; i++) {
        free(all[i].stations);
        free(all[i].middles);
    }
    free(all);
    if (!good) {
        nw_drawing_free(broken);
        return nw_fail_memory(error, "the broken outlines");
    }
    return NW_OK;
}
