/*
 * chords: shapes' lines and curves -> chords on the grid that remember their step and parameter,
 * those between the same two places gathered.
 *
 * Chords of a cubic stay within the flatness by the bound on its second differences (Sederberg,
 * CAGD course notes, 10.6, from memory). Beyond the grid a chord is moved to the nearest place of
 * its border: how often outlines go round a place inside stays the same.
 */
#include <solid/arrange.h>

#include <math.h>
#include <stdlib.h>

#define MOST_CUTS 4096.0 /* of one curve */

static uint16_t cuts_of(const nw_arrangement *all, nw_point from, const nw_step *step)
{
    if (step->kind != NW_CURVE) {
        return 1;
    }
    double first = hypot(from.x - 2 * step->a.x + step->b.x, from.y - 2 * step->a.y + step->b.y);
    double second =
        hypot(step->a.x - 2 * step->b.x + step->to.x, step->a.y - 2 * step->b.y + step->to.y);
    double count = ceil(sqrt(0.75 * fmax(first, second) / all->flatness));
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

static nw_node border_node(nw_point p)
{
    return (nw_node){(int32_t)round(fmin(fmax(p.x, -NW_GRID_LIMIT), NW_GRID_LIMIT)),
                     (int32_t)round(fmin(fmax(p.y, -NW_GRID_LIMIT), NW_GRID_LIMIT))};
}

static nw_status chord_push(nw_arrangement *all, nw_chord chord)
{
    if (nw_nodes_same(chord.a, chord.b)) {
        return NW_OK;
    }
    if (all->chord_count >= all->most) {
        return nw_fail(all->error, NW_BAD_INPUT,
                       "the drawing is too complicated: more than %zu points; simplify its paths",
                       all->most);
    }
    void *chords = all->chords;
    if (!nw_grow(&chords, &all->chord_capacity, all->chord_count + 1, sizeof chord)) {
        return nw_fail_memory(all->error, "the outlines");
    }
    all->chords = chords;
    all->chords[all->chord_count++] = chord;
    return NW_OK;
}

static int by_size(const void *p, const void *q)
{
    double a = *(const double *)p, b = *(const double *)q;
    return a < b ? -1 : a > b;
}

/* A chord of which part lies beyond the grid, cut where it crosses the lines of the border. */
static nw_status chord_push_beyond(nw_arrangement *all, nw_chord chord, nw_point p, nw_point q)
{
    double at[6] = {0, 1};
    int count = 2;
    for (int side = -1; side <= 1; side += 2) {
        double border = side * (double)NW_GRID_LIMIT;
        double tx = (border - p.x) / (q.x - p.x), ty = (border - p.y) / (q.y - p.y);
        if (tx > 0 && tx < 1) {
            at[count++] = tx;
        }
        if (ty > 0 && ty < 1) {
            at[count++] = ty;
        }
    }
    qsort(at, (size_t)count, sizeof *at, by_size);
    nw_status status = NW_OK;
    chord.a = border_node(p);
    for (int i = 1; i < count && !status; i++) {
        double t = at[i];
        nw_point end = {p.x + t * (q.x - p.x), p.y + t * (q.y - p.y)};
        chord.b = border_node(t < 1 ? end : q);
        status = chord_push(all, chord);
        chord.a = chord.b;
    }
    return status;
}

static nw_status step_add(nw_arrangement *all, nw_point from, const nw_step *step, uint32_t shape)
{
    void *steps = all->steps;
    if (!nw_grow(&steps, &all->step_capacity, all->step_count + 1, sizeof *all->steps)) {
        return nw_fail_memory(all->error, "the outlines");
    }
    all->steps = steps;
    nw_chorded *own = &all->steps[all->step_count];
    *own = (nw_chorded){from, *step, shape, cuts_of(all, from, step), false};
    nw_chord chord = {.step = (uint32_t)all->step_count++};
    size_t begin = all->chord_count;
    nw_point p = on_grid(all, from);
    nw_status status = NW_OK;
    for (uint16_t k = 1; k <= own->cuts && !status; k++) {
        double t = (double)k / own->cuts;
        nw_point q = on_grid(all, k < own->cuts ? nw_step_at(from, step, t) : step->to);
        chord.last = k;
        if (is_beyond(p) || is_beyond(q)) {
            own->beyond = true;
            status = chord_push_beyond(all, chord, p, q);
        } else if (p.x != q.x || p.y != q.y) {
            chord.a = border_node(p);
            chord.b = border_node(q);
            status = chord_push(all, chord);
        } else {
            continue; /* the next chord, or the one before, takes its stretch over */
        }
        chord.first = k;
        p = q;
    }
    if (all->chord_count > begin) {
        all->chords[all->chord_count - 1].last = own->cuts;
    }
    return status;
}

nw_status nw_chords_add(nw_arrangement *all, const nw_drawing *outline, uint32_t shape)
{
    nw_status status = NW_OK;
    for (size_t p = 0; p < outline->count; p++) {
        const nw_path *path = &outline->paths[p];
        nw_point from = path->start;
        for (size_t i = 0; i < path->count && !status; from = path->steps[i++].to) {
            status = step_add(all, from, &path->steps[i], shape);
        }
        if (!status && (from.x != path->start.x || from.y != path->start.y)) {
            nw_step back = {.kind = NW_LINE, .to = path->start};
            status = step_add(all, from, &back, shape);
        }
    }
    return status;
}

/* ---- gathering ------------------------------------------------------------------------------- */

static uint64_t mixed(uint64_t h, nw_node n)
{
    h ^= (uint64_t)(uint32_t)n.x << 32 | (uint32_t)n.y;
    h = (h ^ h >> 29) * UINT64_C(0xBF58476D1CE4E5B9);
    return h ^ h >> 32;
}

static bool is_forward(const nw_chord *chord)
{
    return nw_node_before(chord->a, chord->b);
}

/* The slot of the line that the chord lies on, or an empty one. */
static size_t slot_of(const nw_arrangement *all, const uint32_t *slots, size_t mask,
                      const nw_chord *chord)
{
    nw_node low = is_forward(chord) ? chord->a : chord->b;
    nw_node high = is_forward(chord) ? chord->b : chord->a;
    size_t slot = (size_t)mixed(mixed(0, low), high) & mask;
    while (slots[slot] != NW_NONE) {
        const nw_chord_line *line = &all->lines[slots[slot]];
        if (nw_nodes_same(line->low, low) && nw_nodes_same(line->high, high)) {
            break;
        }
        slot = (slot + 1) & mask;
    }
    return slot;
}

static void chord_gather(nw_arrangement *all, uint32_t *slot, uint32_t index)
{
    nw_chord *chord = &all->chords[index];
    bool forward = is_forward(chord);
    chord->next = NW_NONE;
    if (*slot == NW_NONE) {
        *slot = (uint32_t)all->line_count;
        all->lines[all->line_count++] = (nw_chord_line){forward ? chord->a : chord->b,
                                                        forward ? chord->b : chord->a,
                                                        index,
                                                        index,
                                                        0,
                                                        false,
                                                        0,
                                                        0};
    }
    nw_chord_line *line = &all->lines[*slot];
    if (line->newest != index) {
        nw_chord *before = &all->chords[line->newest];
        before->next = index;
        if (all->steps[before->step].shape != all->steps[chord->step].shape) {
            line->live = line->live || line->sum;
            line->sum = 0;
        }
        line->newest = index;
    }
    line->sum += forward ? 1 : -1;
    chord->line = *slot;
}

nw_status nw_chords_gather(nw_arrangement *all)
{
    size_t size = 16;
    while (size < 2 * all->chord_count) {
        size *= 2;
    }
    uint32_t *slots = nw_alloc(size, sizeof *slots);
    all->lines = nw_alloc(all->chord_count, sizeof *all->lines);
    if (!slots || !all->lines) {
        free(slots);
        return nw_fail_memory(all->error, "the outlines");
    }
    for (size_t i = 0; i < size; i++) {
        slots[i] = NW_NONE;
    }
    for (size_t i = 0; i < all->chord_count; i++) {
        chord_gather(all, &slots[slot_of(all, slots, size - 1, &all->chords[i])], (uint32_t)i);
    }
    for (size_t i = 0; i < all->line_count; i++) {
        all->lines[i].live = all->lines[i].live || all->lines[i].sum;
    }
    free(slots);
    return NW_OK;
}
