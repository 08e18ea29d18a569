/*
 * chords: shapes' lines and curves -> chords on the grid that remember their step and parameter,
 * those between the same two places together.
 *
 * Chords of a cubic stay within the flatness by the bound on its second differences (Sederberg,
 * CAGD course notes, 10.6, from memory). Beyond the grid a chord is moved to the nearest place of
 * its border: how often outlines go round a place inside stays the same.
 */
#include <solid/arrange.h>

#define MOST_CUTS 4096.0 /* of one curve */

static uint16_t cuts_of(const nw_arrangement *all, nw_point from, const nw_step *step)
{
    if (step->kind != NW_CURVE)
        return 1;
    double bend = fmax(nw_second_difference(from, step->a, step->b),
                       nw_second_difference(step->a, step->b, step->to));
    double count = ceil(sqrt(0.75 * bend / all->flatness));
    return (uint16_t)fmin(fmax(count, 1), MOST_CUTS);
}

/* In units of the grid, from its middle. */
static nw_point on_grid(const nw_arrangement *all, nw_point place)
{
    return (nw_point){round(place.x / all->grid) - all->middle_x,
                      round(place.y / all->grid) - all->middle_y};
}

static bool is_beyond(nw_point p)
{
    return !(fabs(p.x) <= NW_GRID_LIMIT && fabs(p.y) <= NW_GRID_LIMIT);
}

static nw_node node_at(nw_point p)
{
    return (nw_node){(int32_t)round(fmin(fmax(p.x, -NW_GRID_LIMIT), NW_GRID_LIMIT)),
                     (int32_t)round(fmin(fmax(p.y, -NW_GRID_LIMIT), NW_GRID_LIMIT))};
}

/* From p to q, which are the step's cuts `from` and `to`; nothing where both are one place. */
static bool chord_add(nw_arrangement *all, nw_point p, nw_point q, uint16_t from, uint16_t to)
{
    nw_chord chord = {node_at(p), node_at(q), from, to, (uint32_t)all->step_count - 1};
    int order = nw_nodes_order(chord.low, chord.high);
    if (order > 0)
        chord = (nw_chord){chord.high, chord.low, to, from, chord.step};
    if (order && all->chord_count >= all->most) {
        all->status =
            nw_fail_advised(all->error, NW_BAD_INPUT, NW_ADVICE_SIMPLER,
                            "the drawing is too complicated: more than %zu points", all->most);
        return false;
    }
    return !order ||
           nw_push(&all->chords, &all->chord_count, &all->chord_capacity, &chord, sizeof chord) ||
           nw_ran_out(all);
}

/* A chord of which part lies beyond the grid, cut where it crosses the lines of the border. */
static bool chord_add_beyond(nw_arrangement *all, nw_point p, nw_point q, uint16_t from,
                             uint16_t to)
{
    nw_point at = p;
    bool good = true;
    for (double t = 0, next; t < 1 && good; t = next) {
        next = 1;
        for (int side = -1; side <= 1; side += 2) {
            double tx = (side * (double)NW_GRID_LIMIT - p.x) / (q.x - p.x);
            double ty = (side * (double)NW_GRID_LIMIT - p.y) / (q.y - p.y);
            next = tx > t && tx < next ? tx : next;
            next = ty > t && ty < next ? ty : next;
        }
        nw_point end = next < 1 ? nw_between(p, q, next) : q;
        good = chord_add(all, at, end, from, to);
        at = end;
    }
    return good;
}

static bool step_add(nw_arrangement *all, nw_point from, const nw_step *step)
{
    nw_chorded own = {from, *step, all->shape_count, cuts_of(all, from, step), false};
    if (!nw_push(&all->steps, &all->step_count, &all->step_capacity, &own, sizeof own))
        return nw_ran_out(all);
    size_t begin = all->chord_count;
    uint16_t since = 0;
    nw_point p = on_grid(all, from);
    bool good = true;
    for (uint16_t k = 1; k <= own.cuts && good; k++) {
        nw_point end = k < own.cuts ? nw_step_at(from, step, (double)k / own.cuts) : step->to;
        nw_point q = on_grid(all, end);
        if (is_beyond(p) || is_beyond(q)) {
            all->steps[all->step_count - 1].beyond = true;
            good = chord_add_beyond(all, p, q, since, k);
        } else {
            good = chord_add(all, p, q, since, k);
        }
        /* The next chord, or at the end the last, takes over the stretch of one without length. */
        since = p.x != q.x || p.y != q.y ? k : since;
        p = q;
    }
    if (all->chord_count > begin) {
        nw_chord *newest = &all->chords[all->chord_count - 1];
        *(newest->at_low < newest->at_high ? &newest->at_high : &newest->at_low) = own.cuts;
    }
    return good;
}

bool nw_chords_add(nw_arrangement *all, const nw_drawing *outline)
{
    bool good = true;
    for (size_t p = 0; p < outline->count; p++) {
        const nw_path *path = &outline->paths[p];
        nw_point from = path->start;
        for (size_t i = 0; i < path->count && good; from = path->steps[i++].to)
            good = step_add(all, from, &path->steps[i]);
        if (good && (from.x != path->start.x || from.y != path->start.y))
            good = step_add(all, from, &(nw_step){.kind = NW_LINE, .to = path->start});
    }
    all->shape_count++;
    return good;
}

/* Shapes follow from steps. */
static int by_line(const void *p, const void *q)
{
    const nw_chord *a = p, *b = q;
    int low = nw_nodes_order(a->low, b->low), high = nw_nodes_order(a->high, b->high);
    return low ? low : high ? high : a->step != b->step ? (a->step < b->step ? -1 : 1) : 0;
}

/* Whether chords of one line cancel one another, shape by shape. */
static bool is_cancelled(const nw_arrangement *all, const nw_chord *chords, size_t count)
{
    int64_t sum = 0;
    for (size_t i = 0; i < count; i++) {
        sum += chords[i].at_low < chords[i].at_high ? 1 : -1;
        bool ends = i + 1 == count ||
                    all->steps[chords[i].step].shape != all->steps[chords[i + 1].step].shape;
        if (ends && sum)
            return false;
    }
    return true;
}

bool nw_lines_find(nw_arrangement *all)
{
    all->lines = nw_room(all, all->chord_count, sizeof *all->lines);
    if (!all->lines)
        return false;
    nw_sort(all->chords, all->chord_count, sizeof *all->chords, by_line);
    for (size_t i = 0, end; i < all->chord_count; i = end) {
        const nw_chord *first = &all->chords[i];
        for (end = i + 1; end < all->chord_count &&
                          nw_nodes_same(all->chords[end].low, first->low) &&
                          nw_nodes_same(all->chords[end].high, first->high);)
            end++;
        if (!is_cancelled(all, first, end - i))
            all->lines[all->line_count++] = (nw_chord_line){(uint32_t)i, (uint32_t)(end - i), 0, 0};
    }
    return true;
}
