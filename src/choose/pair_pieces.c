/* Outlines and two bits -> the outline in pieces, by which of the two reaches them. They are cut as
 * chords, where the fit says, and then get their curves back. */
#include <choose/choose.h>

#include <math.h>
#include <stdlib.h>

enum { LARGE, SMALL, LEFT, DRAWINGS };

/* A place on a ring where what a bit misses begins (+1) or ends (-1). */
typedef struct {
    double at;
    int missed_large, missed_small;
} change;

typedef struct {
    const nw_border *border;
    change *changes;
    size_t count, capacity;
    nw_drawing *drawings[DRAWINGS]; /* NULL: its pieces are not wanted */
    double overlap;                 /* so far beyond both ends of what the large bit misses */
} cutting;

static bool change_add(cutting *work, double at, int large, int small)
{
    return nw_push(&work->changes, &work->count, &work->capacity, &(change){at, large, small},
                   sizeof *work->changes);
}

static int in_order(const void *left, const void *right)
{
    const change *a = left, *b = right;
    return (a->at > b->at) - (a->at < b->at);
}

/* What the large bit misses, and the overlap, which may go over the ring's start. */
static bool missed_add(cutting *work, nw_stretch missed)
{
    double whole = work->border->ring_length[missed.ring];
    double from = missed.from - work->overlap, to = missed.to + work->overlap;
    if (to - from >= whole)
        return change_add(work, 0, 1, 0) && change_add(work, whole, -1, 0);
    bool good = change_add(work, fmax(from, 0), 1, 0) && change_add(work, fmin(to, whole), -1, 0);
    if (from < 0)
        good = good && change_add(work, whole + from, 1, 0) && change_add(work, whole, -1, 0);
    if (to > whole)
        good = good && change_add(work, 0, 1, 0) && change_add(work, to - whole, -1, 0);
    return good;
}

static bool ring_changes(cutting *work, uint32_t ring, const nw_stretches *large,
                         const nw_stretches *small)
{
    bool good = true;
    work->count = 0;
    for (size_t k = 0; k < large->count; k++)
        if (large->items[k].ring == ring)
            good = good && missed_add(work, large->items[k]);
    for (size_t k = 0; k < small->count; k++)
        if (small->items[k].ring == ring)
            good = good && change_add(work, small->items[k].from, 0, 1) &&
                   change_add(work, small->items[k].to, 0, -1);
    nw_sort(work->changes, work->count, sizeof *work->changes, in_order);
    return good;
}

static nw_point place_at(const nw_border *border, uint32_t ring, double along)
{
    uint32_t i = nw_border_segment(border, ring, along);
    return nw_border_at(border, i, fmin(along - border->station[i], border->length[i]));
}

/* The ring's points strictly between two stations, then the second place. */
static bool run_to(const nw_border *border, uint32_t ring, double from, double to, nw_path *path)
{
    bool good = true;
    for (size_t i = nw_border_segment(border, ring, from) + 1; i < border->starts[ring + 1]; i++) {
        if (border->station[i] >= to - NW_MERGE_MM)
            break;
        if (border->station[i] > from + NW_MERGE_MM)
            good = good && nw_path_line(path, border->points[i]);
    }
    return good && nw_path_line(path, place_at(border, ring, to));
}

static int owner(int large, int small)
{
    return small > 0 ? LEFT : large > 0 ? SMALL : LARGE;
}

/* Takes over the piece, if there is any of it. */
static bool piece_keep(cutting *work, nw_path *path, int who)
{
    bool good = !path->count || !work->drawings[who] || nw_drawing_add(work->drawings[who], path);
    nw_path_free(path);
    return good;
}

/* The piece that ends where the ring starts goes on with the one that begins there, if the same bit
 * cuts it; one that is the whole ring becomes closed. */
static bool ends_join(cutting *work, nw_path *last, int who, nw_path *first, int first_who)
{
    bool good = true;
    if (!first->count && last->count) {
        last->closed = true;
        last->steps[last->count - 1].to = last->start;
    } else if (first_who == who && last->count) {
        for (size_t k = 0; good && k < first->count; k++)
            good = nw_path_line(last, first->steps[k].to);
        nw_path_free(first);
    }
    good = piece_keep(work, first, first_who) && good;
    return piece_keep(work, last, who) && good;
}

static bool ring_cut(cutting *work, uint32_t ring)
{
    const nw_border *border = work->border;
    double whole = border->ring_length[ring], from = 0;
    nw_path path = {.start = border->points[border->starts[ring]], .piece = ring}, first = {0};
    int large = 0, small = 0, who = LARGE, first_who = LARGE;
    bool good = true;
    for (size_t k = 0; good && k <= work->count; k++) {
        bool end = k == work->count;
        double at = end ? whole : fmin(work->changes[k].at, whole);
        int now = owner(large, small);
        if (!end) {
            large += work->changes[k].missed_large;
            small += work->changes[k].missed_small;
        }
        if ((end || owner(large, small) != now) && at > from + NW_MERGE_MM) {
            if (now != who && path.count && !first.count) {
                first = path;
                first_who = who;
                path = (nw_path){0};
            } else if (now != who && path.count) {
                good = piece_keep(work, &path, who);
            }
            if (!path.count)
                path = (nw_path){.start = place_at(border, ring, from), .piece = ring};
            who = now;
            good = good && run_to(border, ring, from, at, &path);
            from = at;
        }
    }
    return ends_join(work, &path, who, &first, first_who) && good;
}

static nw_status rings_cut(cutting *work, const nw_lane *large, const nw_lane *small,
                           nw_error *error)
{
    bool good = true;
    for (uint32_t ring = 0; good && ring < work->border->ring_count; ring++)
        good = ring_changes(work, ring, &large->missed, &small->missed) && ring_cut(work, ring);
    free(work->changes);
    work->changes = NULL;
    work->capacity = 0;
    return good ? NW_OK : nw_fail_memory(error, "the pieces of the outline");
}

nw_status nw_pair_pieces(const nw_drawing *drawing, const nw_region *region,
                         const nw_fit_options *options, double large_mm, double small_mm,
                         nw_drawing *large, nw_drawing *small, nw_drawing *left, nw_error *error)
{
    nw_drawing *drawings[DRAWINGS] = {large, small, left};
    for (int i = 0; i < DRAWINGS; i++)
        *drawings[i] = (nw_drawing){0};
    nw_borders borders;
    nw_status status = nw_borders_make(region, options, &borders, error);
    if (status != NW_OK)
        return status;
    nw_lane one = {0}, other = {0};
    nw_fit_options own = *options;
    own.threads = 1;
    own.bit = large_mm;
    status = nw_lane_make(&borders.cut, &own, &one, error);
    own.bit = small_mm;
    if (status == NW_OK)
        status = nw_lane_make(&borders.cut, &own, &other, error);
    cutting work = {.border = &borders.cut, .drawings = {large, NULL, left}};
    if (status == NW_OK)
        status = rings_cut(&work, &one, &other, error);
    work = (cutting){.border = &borders.cut,
                     .drawings = {NULL, small, NULL},
                     .overlap = NW_PAIR_OVERLAP * small_mm};
    if (status == NW_OK)
        status = rings_cut(&work, &one, &other, error);
    nw_lane_free(&one);
    nw_lane_free(&other);
    nw_borders_free(&borders);
    for (int i = 0; status == NW_OK && i < DRAWINGS; i++)
        status = nw_drawing_retrace(drawing, drawings[i], error);
    for (int i = 0; status != NW_OK && i < DRAWINGS; i++)
        nw_drawing_free(drawings[i]);
    return status;
}
