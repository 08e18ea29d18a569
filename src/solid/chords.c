/*
 * chords: lines and curves -> chords on a grid that remember their curve and parameter, and rings
 * of such chords, after they were cut and joined -> lines and curves again.
 *
 * Chords of a cubic stay within the flatness by the bound on its second differences (Sederberg,
 * CAGD course notes, 10.6, from memory). A ring's edge is known again when it is one of the chords
 * or lies on one; a maximal run of edges along one curve, in order, becomes the curve's part
 * between the two parameters by de Casteljau's subdivision.
 */
#include <solid/unite_internal.h>

#include <math.h>
#include <stdlib.h>

#define NOT_FOUND SIZE_MAX
#define MOST_CHORDS 4096.0 /* of one curve */
#define ON_CHORD_GRIDS 2.0 /* rounding to the grid moves a place on a chord by less */
#define SAME_PARAMETER 1e-6

void nw_chords_free(chord_list *chords)
{
    if (chords) {
        free(chords->steps);
        free(chords->vertices);
        free(chords->vertex_steps);
        free(chords->slots);
        free(chords->next);
        *chords = (chord_list){0};
    }
}

static size_t chord_count(const chord_list *chords, nw_point from, const nw_step *step)
{
    if (step->kind != NW_CURVE) {
        return 1;
    }
    double first = hypot(from.x - 2 * step->a.x + step->b.x, from.y - 2 * step->a.y + step->b.y);
    double second =
        hypot(step->a.x - 2 * step->b.x + step->to.x, step->a.y - 2 * step->b.y + step->to.y);
    double count = ceil(sqrt(0.75 * fmax(first, second) / chords->flatness));
    return (size_t)fmin(fmax(count, 1), MOST_CHORDS);
}

static bool vertex_add(chord_list *chords, nw_point place)
{
    void *vertices = chords->vertices, *owners = chords->vertex_steps;
    bool grown = nw_grow(&vertices, &chords->vertex_capacity, chords->vertex_count + 1,
                         sizeof *chords->vertices);
    chords->vertices = vertices;
    grown = grown && nw_grow(&owners, &chords->owner_capacity, chords->vertex_count + 1,
                             sizeof *chords->vertex_steps);
    chords->vertex_steps = owners;
    if (grown) {
        chords->vertices[chords->vertex_count] =
            (nw_point){round(place.x / chords->grid) * chords->grid,
                       round(place.y / chords->grid) * chords->grid};
        chords->vertex_steps[chords->vertex_count++] = chords->step_count;
    }
    return grown;
}

static nw_status step_add(chord_list *chords, nw_point from, const nw_step *step, nw_error *error)
{
    size_t count = chord_count(chords, from, step), first = chords->vertex_count;
    if (count + 1 > chords->most - first) {
        return nw_fail(error, NW_BAD_INPUT,
                       "the drawing is too complicated: more than %zu points; simplify its paths",
                       chords->most);
    }
    void *steps = chords->steps;
    bool grown =
        nw_grow(&steps, &chords->step_capacity, chords->step_count + 1, sizeof *chords->steps);
    chords->steps = steps;
    for (size_t i = 0; grown && i <= count; i++) {
        nw_point place =
            i == 0       ? from
            : i == count ? step->to
                         : nw_curve_at(from, step->a, step->b, step->to, (double)i / (double)count);
        grown = vertex_add(chords, place);
    }
    if (!grown) {
        return nw_fail_memory(error, "the outlines");
    }
    chords->steps[chords->step_count++] =
        (chord_step){.from = from, .step = *step, .first = first, .count = count + 1};
    return NW_OK;
}

nw_status nw_chords_add(chord_list *chords, const nw_path *path, size_t *first_step, size_t *count,
                        nw_error *error)
{
    *first_step = chords->step_count;
    nw_status status = NW_OK;
    for (size_t i = 0; i < path->count && !status; i++) {
        status = step_add(chords, nw_path_from(path, i), &path->steps[i], error);
    }
    nw_point end = nw_path_from(path, path->count);
    if (!status && (end.x != path->start.x || end.y != path->start.y)) {
        nw_step back = {.kind = NW_LINE, .to = path->start};
        status = step_add(chords, end, &back, error);
    }
    *count = chords->step_count - *first_step;
    return status;
}

/* ---- finding a vertex by its place --------------------------------------------------------- */

static size_t slot_of(const chord_list *chords, nw_point place)
{
    uint64_t x = (uint64_t)(int64_t)llround(place.x / chords->grid);
    uint64_t y = (uint64_t)(int64_t)llround(place.y / chords->grid);
    uint64_t hash = x * UINT64_C(0x9E3779B97F4A7C15) ^ (y * UINT64_C(0xC2B2AE3D27D4EB4F) + 1);
    hash = (hash ^ hash >> 29) * UINT64_C(0xBF58476D1CE4E5B9);
    return (size_t)(hash >> 20) & (chords->slot_count - 1);
}

nw_status nw_chords_index(chord_list *chords, nw_error *error)
{
    chords->slot_count = 16;
    while (chords->slot_count < chords->vertex_count) {
        chords->slot_count *= 2;
    }
    chords->slots = nw_alloc(chords->slot_count, sizeof *chords->slots);
    chords->next = nw_alloc(chords->vertex_count, sizeof *chords->next);
    if (!chords->slots || !chords->next) {
        return nw_fail_memory(error, "the outlines' index");
    }
    for (size_t i = 0; i < chords->slot_count; i++) {
        chords->slots[i] = NOT_FOUND;
    }
    /* From the last to the first, so that a chain begins with the first vertex at its place. */
    for (size_t v = chords->vertex_count; v-- > 0;) {
        size_t slot = slot_of(chords, chords->vertices[v]);
        chords->next[v] = chords->slots[slot];
        chords->slots[slot] = v;
    }
    return NW_OK;
}

static bool same(nw_point p, nw_point q)
{
    return p.x == q.x && p.y == q.y;
}

/* The next vertex at the place from v on, where v is a vertex in the place's chain. */
static size_t vertex_from(const chord_list *chords, size_t v, nw_point place)
{
    while (v != NOT_FOUND && !same(chords->vertices[v], place)) {
        v = chords->next[v];
    }
    return v;
}

static size_t vertex_at(const chord_list *chords, nw_point place)
{
    return vertex_from(chords, chords->slots[slot_of(chords, place)], place);
}

static size_t vertex_after(const chord_list *chords, size_t v)
{
    return vertex_from(chords, chords->next[v], chords->vertices[v]);
}

/* ---- knowing an edge again ----------------------------------------------------------------- */

/* Part of a step, from parameter `from` to `to`, which is less when it runs backwards. */
typedef struct {
    size_t step; /* NOT_FOUND: none */
    double from, to;
} step_part;

static const step_part nowhere = {NOT_FOUND, 0, 0};

static double parameter_of(const chord_list *chords, size_t v)
{
    const chord_step *step = &chords->steps[chords->vertex_steps[v]];
    return (double)(v - step->first) / (double)(step->count - 1);
}

/* The neighbour of v within its step, NOT_FOUND at the step's end. */
static size_t neighbour(const chord_list *chords, size_t v, bool forward)
{
    const chord_step *step = &chords->steps[chords->vertex_steps[v]];
    if (forward) {
        return v + 1 < step->first + step->count ? v + 1 : NOT_FOUND;
    }
    return v > step->first ? v - 1 : NOT_FOUND;
}

/* Where on the chord from p to q the place lies, 0 to 1; negative when beside it. */
static double place_on_chord(const chord_list *chords, nw_point p, nw_point q, nw_point place)
{
    double dx = q.x - p.x, dy = q.y - p.y, length = hypot(dx, dy);
    double px = place.x - p.x, py = place.y - p.y;
    if (!(length > 0) || fabs(dx * py - dy * px) > ON_CHORD_GRIDS * chords->grid * length) {
        return -1;
    }
    double along = (dx * px + dy * py) / (length * length);
    return along <= 1 ? along : -1;
}

/* The edge from vertex v to the place `end`, if that is along a chord of v's step. exact: only when
 * it is the whole chord. */
static step_part part_from_vertex(const chord_list *chords, size_t v, nw_point end, bool exact)
{
    for (int side = 0; side < 2; side++) {
        size_t w = neighbour(chords, v, side == 0);
        if (w == NOT_FOUND) {
            continue;
        }
        double from = parameter_of(chords, v), to = parameter_of(chords, w);
        if (same(chords->vertices[w], end)) {
            return (step_part){chords->vertex_steps[v], from, to};
        }
        double along =
            exact ? -1 : place_on_chord(chords, chords->vertices[v], chords->vertices[w], end);
        if (along > 0) {
            return (step_part){chords->vertex_steps[v], from, from + along * (to - from)};
        }
    }
    return nowhere;
}

static bool continues(step_part before, step_part part)
{
    return before.step != NOT_FOUND && before.step == part.step &&
           fabs(before.to - part.from) < SAME_PARAMETER &&
           (before.to > before.from) == (part.to > part.from);
}

/* The edge from p to q from any vertex at p; one that goes on from `before` is taken first. */
static step_part part_from(const chord_list *chords, nw_point p, nw_point q, bool exact,
                           step_part before)
{
    step_part found = nowhere;
    for (size_t v = vertex_at(chords, p); v != NOT_FOUND; v = vertex_after(chords, v)) {
        step_part part = part_from_vertex(chords, v, q, exact);
        if (continues(before, part)) {
            return part;
        }
        if (found.step == NOT_FOUND) {
            found = part;
        }
    }
    return found;
}

/* An edge that begins within a chord: it ends at a vertex, or goes on along the same chord. */
static step_part part_within(const chord_list *chords, nw_point p, nw_point q, step_part before)
{
    step_part turned = part_from(chords, q, p, false, nowhere);
    if (turned.step != NOT_FOUND) {
        return (step_part){turned.step, turned.to, turned.from};
    }
    if (before.step == NOT_FOUND) {
        return nowhere;
    }
    const chord_step *step = &chords->steps[before.step];
    double chord = fmin(floor(before.to * (double)(step->count - 1)), (double)(step->count - 2));
    size_t v = step->first + (size_t)fmax(chord, 0);
    double along = place_on_chord(chords, chords->vertices[v], chords->vertices[v + 1], q);
    double to = ((double)(v - step->first) + along) / (double)(step->count - 1);
    bool onward = along >= 0 && (to > before.to) == (before.to > before.from);
    return onward ? (step_part){before.step, before.to, to} : nowhere;
}

static step_part part_of_edge(const chord_list *chords, nw_point p, nw_point q, step_part before)
{
    step_part part = part_from(chords, p, q, true, before);
    if (part.step == NOT_FOUND) {
        part = part_from(chords, p, q, false, before);
    }
    return part.step == NOT_FOUND ? part_within(chords, p, q, before) : part;
}

/* ---- edges -> steps ------------------------------------------------------------------------ */

/* A vertex's own place before it was rounded to the grid, where that is an end of a step. */
static nw_point unrounded(const chord_list *chords, nw_point place)
{
    size_t v = vertex_at(chords, place);
    if (v != NOT_FOUND) {
        const chord_step *step = &chords->steps[chords->vertex_steps[v]];
        if (v == step->first) {
            return step->from;
        }
        if (v == step->first + step->count - 1) {
            return step->step.to;
        }
    }
    return place;
}

static nw_point between(nw_point p, nw_point q, double t)
{
    return (nw_point){p.x + t * (q.x - p.x), p.y + t * (q.y - p.y)};
}

/* The first t of a cubic, by de Casteljau. */
static void curve_cut(nw_point p[4], double t)
{
    nw_point ab = between(p[0], p[1], t), bc = between(p[1], p[2], t), cd = between(p[2], p[3], t);
    nw_point abc = between(ab, bc, t), bcd = between(bc, cd, t);
    p[1] = ab;
    p[2] = abc;
    p[3] = between(abc, bcd, t);
}

static void curve_turn(nw_point p[4])
{
    nw_point first = p[0], second = p[1];
    p[0] = p[3];
    p[1] = p[2];
    p[2] = second;
    p[3] = first;
}

static bool curve_part_add(nw_path *path, const chord_step *whole, step_part part, nw_point from,
                           nw_point to)
{
    double low = fmin(part.from, part.to), high = fmax(part.from, part.to);
    nw_point p[4] = {whole->from, whole->step.a, whole->step.b, whole->step.to};
    if (high < 1) {
        curve_cut(p, high);
    }
    curve_turn(p);
    if (low > 0) {
        curve_cut(p, 1 - low / high);
    }
    if (part.from < part.to) {
        curve_turn(p);
    }
    /* The ends lie where the chords were cut, within the flatness of the curve: take each handle
     * along, so that the direction stays. Ends that have not moved leave it as it was to the last
     * digit. */
    nw_point a = {p[1].x + (from.x - p[0].x), p[1].y + (from.y - p[0].y)};
    nw_point b = {p[2].x + (to.x - p[3].x), p[2].y + (to.y - p[3].y)};
    return nw_path_curve(path, a, b, to);
}

static nw_status parts_find(const chord_list *chords, const nw_point *ring, size_t count,
                            step_part **parts, nw_error *error)
{
    *parts = nw_alloc(count, sizeof **parts);
    if (!*parts) {
        return nw_fail_memory(error, "the outlines' curves");
    }
    /* The first edge too is told what comes before it. */
    step_part before = part_of_edge(chords, ring[count - 1], ring[0], nowhere);
    for (size_t i = 0; i < count; i++) {
        (*parts)[i] = part_of_edge(chords, ring[i], ring[i + 1 < count ? i + 1 : 0], before);
        before = (*parts)[i];
    }
    return NW_OK;
}

nw_status nw_chords_restore(const chord_list *chords, const nw_point *ring, size_t count,
                            nw_path *path, nw_error *error)
{
    step_part *parts;
    nw_status status = parts_find(chords, ring, count, &parts, error);
    if (status) {
        return status;
    }
    size_t begin = 0; /* where a run begins; in a ring of one run, where its step begins */
    for (size_t i = 0; i < count; i++) {
        if (!continues(parts[i ? i - 1 : count - 1], parts[i])) {
            begin = i;
            break;
        }
    }
    *path = (nw_path){.start = unrounded(chords, ring[begin]), .closed = true};
    bool added = true;
    for (size_t done = 0; done < count && added;) {
        size_t i = (begin + done) % count;
        step_part run = parts[i];
        size_t length = 1;
        while (done + length < count && continues(run, parts[(i + length) % count])) {
            run.to = parts[(i + length++) % count].to;
        }
        done += length;
        nw_point from = nw_path_from(path, path->count);
        nw_point to = done < count ? unrounded(chords, ring[(i + length) % count]) : path->start;
        bool curve = run.step != NOT_FOUND && chords->steps[run.step].step.kind == NW_CURVE;
        added = curve ? curve_part_add(path, &chords->steps[run.step], run, from, to)
                      : nw_path_line(path, to);
    }
    free(parts);
    if (!added) {
        nw_path_free(path);
        return nw_fail_memory(error, "the outlines");
    }
    return NW_OK;
}
