/*
 * Outlines of which all may move -> a shift of each as a whole, with unknowns of its own: its
 * points' moves are charged for by what they leave of it, and the shift by how long the outline is,
 * and more where that takes it from the edge of the art's box or beyond it. So what is small beside
 * a long wall makes way as a whole, and is neither bent nor bends the wall. The holes of a piece go
 * along with it.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>

#define MOVE 3.0       /* by a bit, of what hardly moves: else much gives way a little */
#define MOVE_LEAST 0.1 /* the same of what has to move far */
#define MUCH_BITS 0.05 /* a move so large has half the weight */

/* An outline so long is as dear to shift as a point is to move, times this, and no less dear before
 * it has shifted so many times as far. */
#define LENGTH_BITS 10.0
#define SPARED_LENGTH 2.0 /* where little is to move, what is longer counts so much more: */
#define SPARED_TIMES 10.0
#define SHIFT_SHARE 0.4
#define EVEN_TIMES 10.0
#define ACROSS_TIMES 1e3
#define POINTS_MOST 600 /* of an outline that shifts: beyond, that is as dear as all its points */

double nw_move_weight(nw_point move, double bit)
{
    double much = nw_length(move) / (MUCH_BITS * bit);
    return MOVE_LEAST + MOVE / (1 + much * much);
}

int nw_step_points(const nw_moving_art_step *s, uint32_t points[3])
{
    int count = 0;
    if (s->curve) {
        points[count++] = s->a;
        points[count++] = s->b;
    }
    points[count++] = s->to;
    return count;
}

/* What is known of an outline's points. */
typedef struct {
    size_t count;
    double length, stiff;
    nw_point mean; /* of their moves */
    nw_box box;
    bool free; /* all of them are */
} outline_sums;

static outline_sums sums_of(const nw_moving_art *art, uint32_t first, uint32_t end)
{
    outline_sums sums = {.stiff = 1, .box = nw_box_empty(), .free = true};
    for (uint32_t k = first; k < end; k++) {
        const nw_moving_art_step *s = &art->steps[k];
        uint32_t points[3];
        int count = nw_step_points(s, points);
        sums.length += nw_distance(art->points[s->from], art->points[s->to]);
        for (int j = 0; j < count; j++) {
            nw_box_take(&sums.box, nw_moving_art_rest(art, points[j]), 0);
            sums.free = sums.free && art->unknown[points[j]] != NW_HELD;
            sums.stiff = fmax(sums.stiff, art->stiff[points[j]]);
            sums.mean = nw_plus(sums.mean, nw_moving_art_move(art, points[j]), 1);
            sums.count++;
        }
    }
    sums.mean = nw_plus((nw_point){0, 0}, sums.mean, 1.0 / (double)sums.count);
    return sums;
}

/* Of a row each is to give way a little, and not one of them far. */
static double shift_weight(nw_point shift, double bit)
{
    nw_point less = {shift.x / EVEN_TIMES, shift.y / EVEN_TIMES};
    return SHIFT_SHARE * nw_move_weight(less, bit);
}

/* How many times dearer the shift is where it takes the outline from an edge of the art, or beyond;
 * and of one that reaches from edge to edge. */
static double edge_times(double before, double beyond)
{
    return fmax(before, beyond) < NW_EDGE_MM ? ACROSS_TIMES
                                             : 1 + (fmin(before, beyond) < NW_EDGE_MM);
}

/* Numbers the shifts, and charges for them; those of holes are beyond their piece's. */
static void shifts_number(nw_energy *w, nw_shift *shifts)
{
    const nw_moving_art *art = w->art;
    for (uint32_t first = 0, end; first < art->step_count; first = end) {
        end = nw_moving_art_outline_end(art, first);
        nw_shift *shift = &shifts[art->steps[first].path];
        outline_sums sums = sums_of(art, first, end);
        if (shift->of_piece != NW_HELD)
            shift->so_far = shifts[shift->of_piece].so_far;
        if (!sums.free || sums.count > POINTS_MOST)
            continue;
        nw_point own = nw_minus(sums.mean, shift->so_far);
        double length = sums.length / (LENGTH_BITS * w->bit);
        double more = art->sparing ? SPARED_TIMES * fmax(length - SPARED_LENGTH, 0) : 0;
        double points = fmax(1, length + more);
        points = fmin(points, (double)sums.count) * sums.stiff;
        shift->unknown = (uint32_t)w->unknowns;
        shift->so_far = sums.mean;
        w->unknowns += 2;
        const double edge[2] = {
            edge_times(sums.box.min.x - w->box.min.x, w->box.max.x - sums.box.max.x),
            edge_times(sums.box.min.y - w->box.min.y, w->box.max.y - sums.box.max.y)};
        for (uint32_t axis = 0; axis < 2; axis++) {
            nw_forms_row(w->forms, edge[axis] * points * shift_weight(own, w->bit), 0);
            nw_forms_term(w->forms, shift->unknown + axis, 1 / w->bit);
        }
    }
}

void nw_shifts_term(const nw_shift *shifts, nw_forms *forms, uint32_t path, nw_point by)
{
    for (; path != NW_HELD; path = shifts[path].of_piece)
        for (uint32_t axis = 0; axis < 2 && shifts[path].unknown != NW_HELD; axis++)
            if ((axis ? by.y : by.x) != 0)
                nw_forms_term(forms, shifts[path].unknown + axis, axis ? -by.y : -by.x);
}

/* Which outline is that of the piece of which each path is a hole. */
static void pieces_find(const nw_moving_art *art, nw_shift *shifts)
{
    const nw_drawing *drawing = &art->drawing;
    for (uint32_t path = 0, outer = NW_HELD; path < drawing->count; path++) {
        const nw_path *own = &drawing->paths[path];
        outer = own->hole ? outer : path;
        bool has = own->hole && outer != NW_HELD && drawing->paths[outer].piece == own->piece;
        shifts[path] = (nw_shift){.unknown = NW_HELD, .of_piece = has ? outer : NW_HELD};
    }
}

nw_shift *nw_shifts_add(nw_energy *w)
{
    nw_shift *shifts = nw_alloc(w->art->drawing.count, sizeof *shifts);
    if (shifts) {
        pieces_find(w->art, shifts);
        shifts_number(w, shifts);
    }
    return shifts;
}
