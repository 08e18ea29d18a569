/*
 * A place that is too narrow -> the lines along which a disc of the wanted radius R has to run.
 *
 * At a point p of a wall, with normal n into the passage, the largest disc that touches p has its
 * centre on the passage's middle line (the medial axis; shrinking ball, Ma, Bae and Choi 2012) and
 * radius rho under R. The centres of both walls' discs are the passage's middle line, from where
 * the wide disc halts on one side to where it halts on the other, so a curved leg stays a curved
 * leg. Where the stock behind one wall is too thin to give R - rho, the line moves to the other.
 *
 * Where a passage ends at a tip the middle line swings away from the opposite wall, which would
 * jump back to where it was. Moves are kept from changing faster than SLOPE along a wall, and
 * smoothed: there the disc runs along the wall too, as far into it as that asks for.
 *
 * A disc that touches the same wall twice lies in a dead end that leaves the passage, and is left
 * out; for a stub or a miss that is to be opened, dead ends are all there is.
 */
#include <change/widen.h>

#include <math.h>
#include <stdlib.h>

#define JUMP 0.75        /* of R: farther apart, two centres are not on one line */
#define SLOPE 0.25       /* of a wall's move along the wall: about 14 degrees */
#define WINDOW 0.7       /* of R, to either side: over it moves are smoothed */
#define LEAST_MM 0.03    /* less of a jump is not smoothed */
#define TINY_MM 0.003    /* nor run along the wall for, where it is */
#define ABOUT_WIDEST 1.2 /* times the move where the place is widest: as far as that goes */
#define THIN_MM 0.002    /* beside a line: half of what the disc is larger for, NW_CLEAR_MM */
#define SMOOTH_COS 0.9   /* normals of neighbours that turn by more are a corner: 25 degrees */

/* ---- moves ----------------------------------------------------------------------------------- */

/* Is the sample's disc part of the lines? For a dead end to be opened: not in its corners, and not
 * so near its tip that the wide disc would reach beyond. */
static bool sample_counts(const nw_moving *m, const nw_wall_sample *s, const nw_flank *wall)
{
    if (s->beyond)
        return false;
    if (s->partner < 0)
        return true; /* one that is not held, at a line's end, lies where the bit runs anyway */
    if (!wall->dead_ends || s->corner)
        return false;
    return !wall->has_tip || nw_distance(s->centre, wall->tip) >= m->radius;
}

/* Finds out what stands behind both feet, and by how much the disc has to keep off them. */
static void sample_weigh(const nw_moving *m, nw_wall_sample *s, nw_moved *moved)
{
    double need = m->radius - s->radius;
    if (!s->counts || need <= 0)
        return;
    nw_point there = nw_unit(s->foot, s->centre);
    double shift, there_shift;
    double spare = nw_spare_behind(m, s->p, s->normal, s->segment, &shift);
    double there_spare = nw_spare_behind(m, s->foot, there, s->foot_segment, &there_shift);
    double missing = 2 * need - spare - there_spare;
    if (missing > 0 && missing <= shift + there_shift) {
        spare += missing * shift / (shift + there_shift);
        there_spare = 2 * need - spare;
    } else if (missing > 0) {
        /* 2 R and twice the least thickness must fit into what is there, which grows with the size.
         */
        double have = 2 * s->radius + spare + there_spare + 2 * m->least;
        moved->tight = s->tight = true;
        moved->factor = fmax(moved->factor, (2 * m->radius + 2 * m->least) / have);
        s->counts = false;
        return;
    }
    s->lack = fmax(0, need - spare);
    s->there_lack = fmax(0, need - there_spare);
    s->lack_most = there_spare - need;
    s->there_lack_most = spare - need;
}

/* By how much a move may change from sample i - 1 to i; round a corner by any. In a hollow the disc
 * goes a shorter way than the wall. */
static double change_between(const nw_moving *m, const nw_wall_sample *items, size_t i)
{
    const nw_wall_sample *a = &items[i - 1], *b = &items[i];
    double step = b->station - a->station;
    bool smooth = step > NW_MERGE_MM && nw_dot(b->normal, a->normal) > SMOOTH_COS;
    double way =
        nw_distance(nw_plus(a->p, a->normal, m->radius), nw_plus(b->p, b->normal, m->radius));
    return smooth ? SLOPE * fmin(step, way) : INFINITY;
}

/* The least values that are nowhere under the given ones and change by no more than SLOPE. */
static void slopes_limit(const nw_moving *m, const nw_wall_samples *list, double *values)
{
    for (size_t i = 1; i < list->count; i++)
        values[i] = fmax(values[i], values[i - 1] - change_between(m, list->items, i));
    for (size_t i = list->count; i-- > 1;)
        values[i - 1] = fmax(values[i - 1], values[i] - change_between(m, list->items, i));
}

/* The integral of the values, linear between samples, from station low to high. */
static double values_sum(const nw_wall_samples *list, const double *values, size_t near, double low,
                         double high)
{
    const nw_wall_sample *items = list->items;
    double sum = 0;
    size_t k = near;
    while (k > 0 && items[k].station > low)
        k--;
    for (; k + 1 < list->count && items[k].station < high; k++) {
        double a = items[k].station, b = items[k + 1].station;
        double from = fmax(a, low), to = fmin(b, high);
        if (to > from) {
            double middle = ((from + to) / 2 - a) / (b - a);
            sum += (to - from) * (values[k] + (values[k + 1] - values[k]) * middle);
        }
    }
    return sum;
}

/* The mean of the values over the window round sample i, which is narrower near the ends. */
static double window_mean(const nw_wall_samples *list, const double *values, size_t i, double reach)
{
    double at = list->items[i].station;
    reach = fmin(reach, at - list->items[0].station);
    reach = fmin(reach, list->items[list->count - 1].station - at);
    return reach > NW_MERGE_MM ? values_sum(list, values, i, at - reach, at + reach) / (2 * reach)
                               : values[i];
}

/* The disc keeps off no more suddenly than walls move; what is behind either wall still has to do.
 */
static void lacks_smooth(const nw_moving *m, nw_wall_samples *list, double *values)
{
    double *there = values + list->count;
    for (size_t i = 0; i < list->count; i++) {
        values[i] = list->items[i].lack;
        there[i] = list->items[i].there_lack;
    }
    slopes_limit(m, list, values);
    slopes_limit(m, list, there);
    for (size_t i = 0; i < list->count; i++) {
        nw_wall_sample *s = &list->items[i];
        s->lack = fmax(s->lack, fmin(values[i], s->lack_most));
        s->there_lack = fmax(s->there_lack, fmin(there[i], s->there_lack_most));
        double need = m->radius - s->radius;
        s->move = s->counts && need > 0 ? need - s->lack + s->there_lack : 0;
    }
}

/* The whole run of the outline that the samples lie on: the wall and what is beyond it. */
static nw_flank run_of(const nw_moving *m, const nw_wall_samples *list)
{
    nw_flank run = {.ring = m->area->ring[list->items[0].segment],
                    .from = list->items[0].station,
                    .to = list->items[list->count - 1].station};
    if (run.from < 0) {
        run.from += m->area->ring_length[run.ring];
        run.to += m->area->ring_length[run.ring];
    }
    return run;
}

/* Does the disc that reaches into the sample's wall by the move stay within the area elsewhere?
 * That is, off this run and walls that move themselves. */
static bool fits_beyond(const nw_moving *m, const nw_flank *run, const nw_wall_sample *s,
                        double move)
{
    nw_point centre = nw_plus(s->p, s->normal, m->radius - move);
    nw_walk walk;
    uint32_t i;
    double reach = m->radius + 2 * NW_CLEAR_MM; /* not so much as touching */
    nw_walk_start(&walk, &m->area->tree, nw_box_round(centre, reach), centre);
    while (nw_walk_next(&walk, &i)) {
        double t = nw_dot(nw_minus(centre, m->area->points[i]), m->area->along[i]), along;
        t = fmin(fmax(t, 0), m->area->length[i]);
        nw_point q = nw_border_at(m->area, i, t);
        bool same = nw_dot(s->normal, nw_minus(centre, q)) > 0 &&
                    nw_flank_has(m->area, run, m->area->ring[i], m->area->station[i] + t, &along);
        if (!same && nw_distance(q, centre) < reach)
            return false;
    }
    return true;
}

/* The most up to the given move that fits there. */
static double move_beyond(const nw_moving *m, const nw_flank *run, const nw_wall_sample *s,
                          double most)
{
    double low = 0, high = most;
    if (fits_beyond(m, run, s, most))
        return most;
    while (high - low > TINY_MM) {
        double middle = (low + high) / 2;
        if (fits_beyond(m, run, s, middle))
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* By how much the wall may move at the sample when the given move would be smooth. */
static double move_there(const nw_moving *m, const nw_flank *run, const nw_wall_sample *s,
                         double smooth)
{
    if (!s->beyond && !s->counts)
        return 0;
    smooth = s->beyond ? move_beyond(m, run, s, smooth) : smooth;
    double move = fmax(smooth, s->move);
    if (move > s->move + TINY_MM) {
        double spare = nw_spare_behind(m, s->p, s->normal, s->segment, NULL);
        /* Half of it, for what lies beyond may run out on its side too. */
        move = fmax(fmin(move, spare / 2), s->move);
    }
    return move;
}

/* values[i]: by how much the wall is to move at sample i for its moves to run out gently. */
static void moves_smooth(const nw_moving *m, const nw_wall_samples *list, double *values)
{
    double *rough = values + list->count;
    nw_flank run = run_of(m, list);
    for (size_t i = 0; i < list->count; i++)
        rough[i] = list->items[i].move;
    slopes_limit(m, list, rough);
    for (size_t i = 0; i < list->count; i++) {
        double smooth = window_mean(list, rough, i, WINDOW * m->radius);
        values[i] = move_there(m, &run, &list->items[i], smooth);
    }
}

/* ---- lines ---------------------------------------------------------------------------------- */

/* Leaves out what lies within THIN_MM of the straight way past it: every place of a line costs a
 * disc's outline. */
static void line_thin(nw_path *line)
{
    size_t kept = 0, first = 0;
    nw_point from = line->start;
    for (size_t k = 1; k < line->count; k++) {
        bool straight = true;
        for (size_t i = first; i < k && straight; i++)
            straight = nw_segment_distance(from, line->steps[k].to, line->steps[i].to) < THIN_MM;
        if (!straight) {
            first = k;
            from = line->steps[k - 1].to;
            line->steps[kept++] = line->steps[k - 1];
        }
    }
    if (line->count)
        line->steps[kept++] = line->steps[line->count - 1];
    line->count = kept;
}

/* Ends the line under work and begins another. */
static bool line_end(nw_path *line, nw_drawing *lines)
{
    bool done = true;
    line_thin(line);
    if (line->count)
        done = nw_drawing_add(lines, line);
    nw_path_free(line);
    *line = (nw_path){0};
    return done;
}

static bool line_to(const nw_moving *m, nw_point p, bool *open, nw_path *line, nw_drawing *lines)
{
    nw_point last = nw_path_from(line, line->count);
    if (*open && nw_distance(last, p) > JUMP * m->radius && !line_end(line, lines))
        return false;
    if (!*open || (line->count == 0 && nw_distance(last, p) > JUMP * m->radius)) {
        line->start = p;
        *open = true;
        return true;
    }
    return nw_distance(last, p) < NW_MERGE_MM || nw_path_line(line, p);
}

/* The same for the last line, which may be a single place. */
static bool line_finish(nw_path *line, bool open, nw_drawing *lines)
{
    return (!open || line->count > 0 || nw_path_line(line, line->start)) && line_end(line, lines);
}

/* From the centre of a sample's disc to where the wide one has to run: beside the middle line where
 * the stock behind one wall cannot give its share. */
static nw_point beside_middle(const nw_wall_sample *s, nw_point centre)
{
    nw_point there = nw_unit(s->foot, s->centre);
    return nw_plus(nw_plus(centre, s->normal, s->lack), there, s->there_lack);
}

/* Does the disc reach the wall's tip on the way to a neighbour of the sample? *centre: where. */
static bool reaches_tip(const nw_moving *m, const nw_flank *wall, const nw_wall_sample *s,
                        const nw_wall_sample *next, nw_point *centre)
{
    if (!wall->has_tip || !s->counts || next->counts || next->beyond || next->partner < 0)
        return false;
    double reach = m->radius + NW_CLEAR_MM;
    nw_point way = nw_minus(next->centre, s->centre), from = nw_minus(s->centre, wall->tip);
    double square = nw_dot(way, way), near = nw_dot(from, way);
    double left = near * near - square * (nw_dot(from, from) - reach * reach);
    if (square == 0 || left < 0 || nw_distance(next->centre, wall->tip) > reach)
        return false;
    *centre = nw_plus(s->centre, way, (-near - sqrt(left)) / square);
    return true;
}

/* Along the middle line, and up to where the disc touches the tip: else a hair of it is left. */
static bool middle_draw(const nw_moving *m, const nw_wall_samples *list, const nw_flank *wall,
                        nw_drawing *lines)
{
    nw_path line = {0};
    bool open = false, done = true;
    for (size_t k = 0; k < list->count && done; k++) {
        const nw_wall_sample *s = &list->items[k];
        nw_point end;
        if (s->counts) {
            if (k > 0 && reaches_tip(m, wall, s, s - 1, &end))
                done = line_to(m, beside_middle(s, end), &open, &line, lines);
            done = done && line_to(m, beside_middle(s, s->centre), &open, &line, lines);
            if (done && k + 1 < list->count && reaches_tip(m, wall, s, s + 1, &end))
                done = line_to(m, beside_middle(s, end), &open, &line, lines);
        } else if (s->tight) {
            done = line_finish(&line, open, lines);
            open = false;
        }
    }
    done = done && line_finish(&line, open, lines);
    nw_path_free(&line);
    return done;
}

/* Along the wall from sample *k on, as long as its moves run out there; nothing where that is too
 * little to be seen. */
static bool run_draw(const nw_moving *m, const nw_wall_samples *list, const double *moves,
                     size_t *k, nw_drawing *lines)
{
    size_t first = *k;
    double most = 0;
    for (; *k < list->count && moves[*k] > list->items[*k].move + TINY_MM; ++*k)
        most = fmax(most, moves[*k] - list->items[*k].move);
    nw_path line = {0};
    bool open = false, done = true;
    for (size_t i = first; i < *k && most > LEAST_MM && done; i++) {
        const nw_wall_sample *s = &list->items[i];
        done = line_to(m, nw_plus(s->p, s->normal, m->radius - moves[i]), &open, &line, lines);
    }
    done = done && line_finish(&line, open, lines);
    nw_path_free(&line);
    return done;
}

static bool runs_draw(const nw_moving *m, const nw_wall_samples *list, const double *moves,
                      nw_drawing *lines)
{
    for (size_t k = 0; k < list->count; k++)
        if (!run_draw(m, list, moves, &k, lines))
            return false;
    return true;
}

/* Leaves only the samples about the one with the largest disc. */
static void widest_keep(const nw_moving *m, nw_wall_samples *list)
{
    double most = 0;
    for (size_t i = 0; i < list->count; i++)
        most = fmax(most, list->items[i].counts ? list->items[i].radius : 0);
    for (size_t i = 0; i < list->count; i++) {
        nw_wall_sample *s = &list->items[i];
        s->counts = s->counts && m->radius - s->radius <= ABOUT_WIDEST * (m->radius - most);
    }
}

static bool lines_draw(const nw_moving *m, nw_wall_samples *list, const nw_flank *wall,
                       nw_drawing *lines, nw_moved *moved)
{
    for (size_t i = 0; i < list->count; i++) {
        list->items[i].counts = sample_counts(m, &list->items[i], wall);
        sample_weigh(m, &list->items[i], moved);
    }
    if (wall->once)
        widest_keep(m, list);
    double *moves = nw_alloc(2 * list->count, sizeof *moves);
    if (!moves)
        return false;
    lacks_smooth(m, list, moves);
    bool done = middle_draw(m, list, wall, lines);
    if (done && !wall->dead_ends) {
        moves_smooth(m, list, moves);
        done = runs_draw(m, list, moves, lines);
    }
    free(moves);
    return done;
}

nw_status nw_flank_lines(const nw_moving *moving, size_t wall, nw_drawing *lines, nw_moved *moved,
                         nw_error *error)
{
    nw_wall_samples list;
    const nw_flank *flank = &moving->walls->items[wall];
    bool done = nw_wall_samples_make(moving, flank, moving->radius / SLOPE, &list) &&
                lines_draw(moving, &list, flank, lines, moved);
    nw_wall_samples_free(&list);
    return done ? NW_OK : nw_fail_memory(error, "the middle lines");
}
