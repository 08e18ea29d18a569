/*
 * A drawing <-> its nodes and handles, each with the move that a repair gives it; and its outlines
 * as polygons whose points know the place of the outline that they stand for.
 */
#include <change/repair.h>

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#define CHORD_MM 0.001      /* how far a polygon's side leaves its curve */
#define FINER_ROUNDS 4      /* in which chords that cross are cut finer */
#define STRAIGHT_SHARE 0.02 /* of its length that a curve drawn as a line may bulge */
#define SPECK_MM 0.02       /* a step that is shorter is a point between its neighbours */
#define WAS_PIECE 0.125     /* of a curve, as chords */
#define WAS_PIECES 64       /* at most, on from a place */

static void flat_free(nw_moving_art_flat *flat)
{
    nw_region_free(&flat->region);
    free(flat->places);
    free(flat->crossings.items);
    *flat = (nw_moving_art_flat){.moves = flat->moves};
}

/* The art's own arrays: where it has them, how large an item is, and how many of them there are for
 * each step; 0: one for each path. An arc has six unknowns of its own, a rigid outline four. */
#define ARRAY(name, per_step)                                                                      \
    {                                                                                              \
        offsetof(nw_moving_art, name), sizeof *((nw_moving_art *)0)->name, per_step                \
    }
static const struct {
    uint16_t at;
    uint8_t size, per_step;
} arrays[] = {
    ARRAY(steps, 1),    ARRAY(points, 3),       ARRAY(rests, 3),      ARRAY(unknown, 3),
    ARRAY(like, 3),     ARRAY(turns, 3),        ARRAY(rigid, 0),      ARRAY(frozen, 0),
    ARRAY(held, 1),     ARRAY(blamed, 1),       ARRAY(pressed, 1),    ARRAY(crossed, 1),
    ARRAY(boxes, 1),    ARRAY(moved_boxes, 1),  ARRAY(kept, 3),       ARRAY(stiff, 3),
    ARRAY(groups, 1),   ARRAY(moved_groups, 1), ARRAY(flat.moves, 3), ARRAY(marks[0], 1),
    ARRAY(marks[1], 1), ARRAY(x, 20),
};
#define ARRAYS (sizeof arrays / sizeof *arrays)

static bool arrays_make(nw_moving_art *art, size_t steps)
{
    bool good = true;
    for (size_t i = 0; i < ARRAYS; i++) {
        size_t count = arrays[i].per_step ? steps * arrays[i].per_step : art->drawing.count;
        void *items = nw_alloc(count, arrays[i].size);
        memcpy((char *)art + arrays[i].at, &items, sizeof items);
        good = good && items;
    }
    return good;
}

void nw_moving_art_free(nw_moving_art *art)
{
    flat_free(&art->flat);
    nw_drawing_free(&art->drawing);
    for (size_t i = 0; i < ARRAYS; i++) {
        void *items;
        memcpy(&items, (char *)art + arrays[i].at, sizeof items);
        free(items);
    }
    *art = (nw_moving_art){0};
}

static uint32_t point_add(nw_moving_art *art, nw_point p)
{
    uint32_t i = (uint32_t)art->point_count++;
    art->stiff[i] = 1;
    art->unknown[i] = NW_HELD;
    art->like[i] = i;
    art->turns[i] = (nw_turn){1, 0, 0, 1};
    art->points[i] = art->rests[i] = p;
    return i;
}

static void path_add(nw_moving_art *art, uint32_t number)
{
    const nw_path *path = &art->drawing.paths[number];
    size_t first = art->step_count;
    for (uint32_t k = 0; k < path->count; k++) {
        const nw_step *step = &path->steps[k];
        nw_moving_art_step *s = &art->steps[art->step_count++];
        *s = (nw_moving_art_step){.path = number, .step = k, .a = NW_HELD, .b = NW_HELD};
        s->curve = step->kind == NW_CURVE;
        s->a = s->curve ? point_add(art, step->a) : NW_HELD;
        s->b = s->curve ? point_add(art, step->b) : NW_HELD;
        s->to = point_add(art, step->to);
    }
    for (size_t k = first; k < art->step_count; k++)
        art->steps[k].from = art->steps[k > first ? k - 1 : art->step_count - 1].to;
}

static nw_box step_box(const nw_moving_art *art, const nw_moving_art_step *s, bool moved)
{
    nw_box box = nw_box_empty();
    const uint32_t points[4] = {s->from, s->a, s->b, s->to};
    for (int k = 0; k < 4; k++)
        if (points[k] != NW_HELD)
            nw_box_take(
                &box,
                nw_plus(art->points[points[k]], nw_moving_art_move(art, points[k]), moved ? 1 : 0),
                0);
    return box;
}

static void boxes_take(const nw_moving_art *art, bool moved, nw_box *boxes, nw_box *groups)
{
    for (size_t k = 0; k < art->step_count; k++) {
        nw_box *group = &groups[k / NW_ART_GROUP];
        boxes[k] = step_box(art, &art->steps[k], moved);
        *group = k % NW_ART_GROUP ? *group : nw_box_empty();
        nw_box_grow(group, boxes[k]);
    }
}

nw_status nw_moving_art_make(nw_drawing *drawing, nw_moving_art *art, nw_error *error)
{
    size_t steps = nw_drawing_steps(drawing);
    *art = (nw_moving_art){.drawing = *drawing};
    *drawing = (nw_drawing){0};
    drawing = &art->drawing;
    if (!arrays_make(art, steps)) {
        nw_moving_art_free(art);
        return nw_fail_memory(error, "the outlines' nodes");
    }
    for (uint32_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        path_add(art, i);
        art->frozen[i] = !path->closed || path->line; /* bounds nothing */
    }
    boxes_take(art, false, art->boxes, art->groups);
    return NW_OK;
}

uint32_t nw_moving_art_outline_end(const nw_moving_art *art, uint32_t first)
{
    uint32_t end = first + 1;
    while (end < art->step_count && art->steps[end].path == art->steps[first].path)
        end++;
    return end;
}

nw_box nw_moving_art_box(const nw_moving_art *art, size_t step, bool moved)
{
    return moved ? art->moved_boxes[step] : art->boxes[step];
}

void nw_moving_art_boxes(nw_moving_art *art)
{
    boxes_take(art, true, art->moved_boxes, art->moved_groups);
}

size_t nw_moving_art_meeting(const nw_moving_art *art, size_t from, bool moved, nw_box box,
                             double reach)
{
    const nw_box *groups = moved ? art->moved_groups : art->groups;
    for (size_t k = from; k < art->step_count; k++)
        if (!nw_boxes_meet(groups[k / NW_ART_GROUP], box, reach))
            k += NW_ART_GROUP - 1 - k % NW_ART_GROUP;
        else if (nw_boxes_meet(nw_moving_art_box(art, k, moved), box, reach))
            return k;
    return art->step_count;
}

nw_box nw_spot_box(const nw_fit *fit, const nw_spot *spot)
{
    nw_box box = nw_box_empty();
    nw_box_take(&box, spot->at, 0);
    for (size_t i = 0; i < spot->residue_count; i++) {
        const nw_path *path = &fit->residues.paths[spot->residue + i];
        for (size_t k = 0; k < path->count; k++)
            nw_box_take(&box, path->steps[k].to, 0);
    }
    return box;
}

nw_point nw_moving_art_move(const nw_moving_art *art, uint32_t point)
{
    uint32_t u = art->unknown[point];
    const nw_turn *t = &art->turns[point];
    if (u == NW_HELD)
        return (nw_point){0, 0};
    double x = art->x[u], y = art->x[u + 1];
    return (nw_point){t->xx * x + t->xy * y, t->yx * x + t->yy * y};
}

void nw_moving_art_weights(const nw_moving_art_step *step, double t, double weights[4])
{
    double s = 1 - t;
    weights[0] = step->curve ? s * s * s : s;
    weights[1] = step->curve ? 3 * s * s * t : 0;
    weights[2] = step->curve ? 3 * s * t * t : 0;
    weights[3] = step->curve ? t * t * t : t;
}

nw_point nw_moving_art_rest(const nw_moving_art *art, uint32_t point)
{
    return art->unknown[point] == NW_HELD ? art->points[point] : art->rests[point];
}

static nw_point point_was(const nw_moving_art *art, uint32_t point)
{
    return art->points[point];
}

static nw_point point_is(const nw_moving_art *art, uint32_t point)
{
    return nw_plus(art->points[point], nw_moving_art_move(art, point), 1);
}

static nw_point place_at(const nw_moving_art *art, nw_step_place place,
                         nw_point (*point_at)(const nw_moving_art *, uint32_t))
{
    const nw_moving_art_step *step = &art->steps[place.step];
    const uint32_t points[4] = {step->from, step->a, step->b, step->to};
    double weights[4];
    nw_point p = {0, 0};
    nw_moving_art_weights(step, place.t, weights);
    for (int k = 0; k < 4; k++)
        if (points[k] != NW_HELD)
            p = nw_plus(p, point_at(art, points[k]), weights[k]);
    return p;
}

nw_point nw_moving_art_was(const nw_moving_art *art, nw_step_place place)
{
    return place_at(art, place, point_was);
}

nw_point nw_moving_art_is(const nw_moving_art *art, nw_step_place place)
{
    return place_at(art, place, point_is);
}

nw_point nw_moving_art_rests(const nw_moving_art *art, nw_step_place place)
{
    return place_at(art, place, nw_moving_art_rest);
}

bool nw_moving_art_straight(const nw_moving_art *art, const nw_moving_art_step *s)
{
    nw_point from = nw_moving_art_rest(art, s->from);
    nw_point way = nw_minus(nw_moving_art_rest(art, s->to), from);
    double square = nw_dot(way, way);
    bool straight = s->curve && square > 0;
    const uint32_t handles[] = {s->a, s->b};
    for (int k = 0; k < 2; k++) {
        nw_point handle = nw_minus(nw_moving_art_rest(art, handles[k]), from);
        double along = nw_dot(way, handle);
        straight = straight && along >= 0 && along <= square &&
                   fabs(nw_cross(way, handle)) < STRAIGHT_SHARE * square;
    }
    return straight;
}

/* The distance of p from the outline about a place as it was, no farther along than so. */
static double wall_was_from(const nw_moving_art *art, nw_step_place place, nw_point p, double along)
{
    double least = nw_distance(nw_moving_art_was(art, place), p);
    for (int way = 0; way < 2; way++) {
        nw_step_place at = place;
        nw_point last = nw_moving_art_was(art, at);
        double end = way ? 1 : 0, left = along;
        for (int k = 0; k < WAS_PIECES && left > 0; k++) {
            if (at.t == end) {
                uint32_t i = (uint32_t)at.step;
                at.step = way ? nw_moving_art_following(art, i) : nw_moving_art_last(art, i);
                at.t = 1 - end;
            }
            double piece = art->steps[at.step].curve ? WAS_PIECE : 1;
            at.t = way ? fmin(at.t + piece, 1) : fmax(at.t - piece, 0);
            nw_point next = nw_moving_art_was(art, at);
            double length = nw_distance(last, next);
            if (length > left)
                next = nw_plus(last, nw_minus(next, last), left / length);
            least = fmin(least, nw_segment_distance(last, next, p));
            left -= length;
            last = next;
        }
    }
    return least;
}

double nw_moving_art_width_was(const nw_moving_art *art, nw_step_place a, nw_step_place b)
{
    nw_point p = nw_moving_art_was(art, a), q = nw_moving_art_was(art, b);
    nw_point across = nw_unit(nw_moving_art_is(art, a), nw_moving_art_is(art, b));
    double slid = fabs(nw_cross(across, nw_minus(q, p)));
    return fmin(wall_was_from(art, b, p, slid), wall_was_from(art, a, q, slid));
}

nw_step_place nw_moving_art_nearest(const nw_moving_art *art, nw_point p, double reach)
{
    nw_step_place best = {SIZE_MAX, 0};
    nw_box at = {p, p};
    for (size_t i = nw_moving_art_meeting(art, 0, true, at, reach); i < art->step_count;
         i = nw_moving_art_meeting(art, i + 1, true, at, reach)) {
        for (int k = 0; k <= NW_ART_PARTS; k++) {
            nw_step_place place = {i, (double)k / NW_ART_PARTS};
            double off = nw_distance(nw_moving_art_is(art, place), p);
            if (off < reach) {
                reach = off;
                best = place;
            }
        }
    }
    return best;
}

void nw_moving_art_term(const nw_moving_art *art, nw_forms *forms, uint32_t point, nw_point by)
{
    uint32_t u = point == NW_HELD ? NW_HELD : art->unknown[point];
    if (u != NW_HELD) {
        const nw_turn *t = &art->turns[point];
        nw_forms_term(forms, u, t->xx * by.x + t->yx * by.y);
        nw_forms_term(forms, u + 1, t->xy * by.x + t->yy * by.y);
    }
}

void nw_moving_art_rest_term(const nw_moving_art *art, nw_forms *forms, uint32_t point, nw_point by)
{
    nw_moving_art_term(art, forms, point, by);
    if (!forms->failed) {
        nw_point rest = nw_minus(nw_moving_art_rest(art, point), art->points[point]);
        forms->rows[forms->count - 1].target += nw_dot(by, rest);
    }
}

bool nw_moving_art_speck(const nw_moving_art *art, const nw_moving_art_step *s)
{
    const nw_point *p = art->points;
    double length = s->curve ? nw_distance(p[s->from], p[s->a]) + nw_distance(p[s->a], p[s->b]) +
                                   nw_distance(p[s->b], p[s->to])
                             : nw_distance(p[s->from], p[s->to]);
    return length < SPECK_MM;
}

uint32_t nw_moving_art_following(const nw_moving_art *art, uint32_t i)
{
    const nw_moving_art_step *s = &art->steps[i];
    bool last = i + 1 == art->step_count || art->steps[i + 1].path != s->path;
    return last ? i - s->step : i + 1;
}

uint32_t nw_moving_art_next(const nw_moving_art *art, uint32_t i)
{
    uint32_t next = i;
    do {
        next = nw_moving_art_following(art, next);
    } while (next != i && nw_moving_art_speck(art, &art->steps[next]));
    return next;
}

uint32_t nw_moving_art_last(const nw_moving_art *art, uint32_t i)
{
    return art->steps[i].step ? i - 1 : nw_moving_art_outline_end(art, i) - 1;
}

static void point_shift(const nw_moving_art *art, uint32_t point, nw_point *p)
{
    if (art->unknown[point] != NW_HELD)
        *p = point_is(art, point);
}

nw_status nw_moving_art_draw(const nw_moving_art *art, nw_drawing *drawing, nw_error *error)
{
    nw_status status = nw_drawing_copy(&art->drawing, drawing, error);
    for (size_t i = 0; status == NW_OK && i < art->step_count; i++) {
        const nw_moving_art_step *s = &art->steps[i];
        nw_path *path = &drawing->paths[s->path];
        nw_step *step = &path->steps[s->step];
        if (s->curve) {
            point_shift(art, s->a, &step->a);
            point_shift(art, s->b, &step->b);
        }
        point_shift(art, s->to, &step->to);
        if (s->step == 0)
            point_shift(art, s->from, &path->start);
    }
    return status;
}

/* Are the moves those that were flattened last? Takes note of them. */
static bool flat_stands(nw_moving_art *art)
{
    bool same = art->flat.places != NULL;
    for (uint32_t p = 0; p < art->point_count; p++) {
        nw_point move = nw_moving_art_move(art, p), *last = &art->flat.moves[p];
        same = same && move.x == last->x && move.y == last->y;
        *last = move;
    }
    return same;
}

nw_status nw_moving_art_flatten(nw_moving_art *art, const nw_moving_art_flat **flat,
                                nw_error *error)
{
    nw_drawing moved;
    *flat = &art->flat;
    if (flat_stands(art))
        return NW_OK;
    flat_free(&art->flat);
    nw_first_chords first = {0};
    size_t left;
    nw_status status = nw_moving_art_draw(art, &moved, error);
    if (status == NW_OK)
        status = nw_first_chords_make(&first, &moved, CHORD_MM, error);
    if (status == NW_OK)
        status = nw_first_chords_part(&first, FINER_ROUNDS, &art->flat.region, &art->flat.places,
                                      &art->flat.crossings, &left, error);
    nw_first_chords_free(&first);
    nw_drawing_free(&moved);
    return status;
}
