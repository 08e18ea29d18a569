/*
 * Outlines before and after -> which of them are misses' own, and may be dropped as a whole; and
 * how far any other is from where it was: the largest distance of a place of either from the
 * other's outlines (Hausdorff 1914). A segment is halved until no place between its ends can be
 * farther off than what was found: along it the distance grows by no more than its length, and the
 * distance from one segment of the other is largest at an end.
 */
#include <change/widen.h>

#include <stdlib.h>

#define EXACT_MM 0.002 /* what may lie beyond what is found */
#define REACH_MM 4e6   /* across all that may be */
#define ON_MM 0.02 /* a residue's wall is this near to the outline that it is: dense points go */

/* ---- misses' outlines ------------------------------------------------------------------------ */

static double ring_distance(const nw_region *region, size_t ring, nw_point p)
{
    double least = INFINITY;
    nw_point last = region->points[region->starts[ring + 1] - 1];
    for (size_t i = region->starts[ring]; i < region->starts[ring + 1]; last = region->points[i++])
        least = fmin(least, nw_segment_distance(last, region->points[i], p));
    return least;
}

/* Of the longest line of a residue's wall. */
static nw_point middle_of_longest(const nw_path *wall)
{
    nw_point last = wall->start, middle = last;
    double longest = -1;
    for (size_t k = 0; k < wall->count; last = wall->steps[k++].to) {
        double length = nw_distance(last, wall->steps[k].to);
        if (length > longest) {
            longest = length;
            middle = nw_middle(last, wall->steps[k].to);
        }
    }
    return middle;
}

/* The outline that a miss's wall is: of those with its box the one on which it lies. */
static size_t ring_of(const nw_region *region, const nw_box *boxes, const nw_tree *tree,
                      const nw_path *wall)
{
    nw_point middle = middle_of_longest(wall);
    nw_box box = nw_path_box(wall);
    double nearest = ON_MM;
    size_t best = SIZE_MAX;
    nw_walk walk;
    uint32_t ring;
    nw_walk_start(&walk, tree, nw_box_round(middle, ON_MM), middle);
    while (nw_walk_next(&walk, &ring)) {
        bool same = nw_distance(boxes[ring].min, box.min) < ON_MM &&
                    nw_distance(boxes[ring].max, box.max) < ON_MM;
        double off = same ? ring_distance(region, ring, middle) : INFINITY;
        if (off < nearest) {
            nearest = off;
            best = ring;
        }
    }
    return best;
}

bool nw_miss_of_ring(const nw_fit *fit, const nw_spot *miss)
{
    nw_side ink = fit->options.cut == NW_CUT_OUTSIDE ? NW_NECK : NW_GAP;
    return miss->form == NW_MISS && miss->side == ink && miss->residue_count == 2;
}

nw_status nw_misses_rings(const nw_fit *fit, const nw_region *region, size_t *misses,
                          nw_error *error)
{
    nw_box *boxes = nw_alloc(region->count, sizeof *boxes);
    nw_tree tree = {0};
    for (size_t ring = 0; boxes && ring < region->count; ring++) {
        boxes[ring] = nw_ring_box(region, ring);
        misses[ring] = SIZE_MAX;
    }
    nw_status status = boxes ? nw_tree_make(boxes, region->count, &tree, error)
                             : nw_fail_memory(error, "the outlines' boxes");
    for (size_t i = 0; status == NW_OK && i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        for (size_t k = 0; spot->form == NW_MISS && k < spot->residue_count; k++) {
            size_t ring = ring_of(region, boxes, &tree, &fit->residues.paths[spot->residue + k]);
            if (ring != SIZE_MAX &&
                (misses[ring] == SIZE_MAX || !nw_miss_of_ring(fit, &fit->spots[misses[ring]])))
                misses[ring] = i;
        }
    }
    nw_tree_free(&tree);
    free(boxes);
    return status;
}

/* ---- how far --------------------------------------------------------------------------------- */

/* A place, and what of the other outlines is nearest to it. */
typedef struct {
    nw_point p;
    double off;
    uint32_t segment;
} place;

static place place_at(const nw_border *to, nw_point p)
{
    nw_point foot;
    place at = {.p = p};
    at.off = nw_border_nearest(to, p, REACH_MM, &at.segment, &foot);
    return at;
}

/* How far a place is from the segment that is nearest to another. */
static double beside(const nw_border *to, const place *at, const place *other)
{
    uint32_t i = other->segment;
    return nw_segment_distance(to->points[i], to->points[to->next[i]], at->p);
}

static double between(const nw_border *to, place a, place b, double most)
{
    most = fmax(most, fmax(a.off, b.off));
    double beyond = (a.off + b.off + nw_distance(a.p, b.p)) / 2;
    if (beyond > most + EXACT_MM && beside(to, &b, &a) > most + EXACT_MM &&
        beside(to, &a, &b) > most + EXACT_MM) {
        place middle = place_at(to, nw_middle(a.p, b.p));
        most = between(to, a, middle, most);
        most = between(to, middle, b, most);
    }
    return most;
}

static double farthest(const nw_border *from, const nw_border *to, double most)
{
    for (size_t ring = 0; ring < from->ring_count; ring++) {
        place last = place_at(to, from->points[from->starts[ring + 1] - 1]);
        for (size_t i = from->starts[ring]; i < from->starts[ring + 1]; i++) {
            place next = place_at(to, from->points[i]);
            most = between(to, last, next, most);
            last = next;
        }
    }
    return most;
}

nw_status nw_outlines_moved(const nw_region *before, const nw_region *after, double *most,
                            nw_error *error)
{
    nw_border was = {0}, is = {0};
    *most = 0;
    nw_status status = nw_border_make(before, false, NULL, &was, error);
    if (status == NW_OK)
        status = nw_border_make(after, false, NULL, &is, error);
    if (status == NW_OK && was.count && is.count)
        *most = farthest(&is, &was, farthest(&was, &is, 0));
    nw_border_free(&was);
    nw_border_free(&is);
    return status;
}
