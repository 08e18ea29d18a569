/*
 * The roll of a disc and some of the walls that it leaves -> the roll of a smaller disc inside
 * those walls; whatever else there is of the border is taken for free. What a smaller disc misses a
 * larger one misses too (Serra, Image Analysis and Mathematical Morphology, 1982), so the residues
 * of the smaller one inside whole residues of the larger are found exactly, at little cost.
 */
#include <fit/residue.h>
#include <fit/roller.h>

#include <stdlib.h>

/* A stretch of an element that belongs to a wall. */
typedef struct {
    uint32_t element;
    bool corner; /* all walls are looked at, and this is a corner's: between the disc and its two
                    segments there is nothing else */
    double from, to;
} part;

typedef struct {
    const nw_walls *larger;
    part *parts; /* in the border's order */
    size_t count, capacity, at;
    nw_free_stretch *known; /* of the element in hand: what is taken for free */
    size_t known_count, known_capacity;
    size_t free_at; /* into the larger roll's free stretches */
} inside;

static bool part_add(inside *work, part added)
{
    if (added.from >= added.to)
        return true;
    return nw_push(&work->parts, &work->count, &work->capacity, &added, sizeof added);
}

static bool part_add_whole(inside *work, uint32_t element)
{
    double extent = nw_element_extent(work->larger->border, element);
    return part_add(work, (part){element, false, 0, extent});
}

static bool ring_add(inside *work, uint32_t ring)
{
    const nw_border *border = work->larger->border;
    bool good = true;
    for (size_t i = border->starts[ring]; good && i < border->starts[ring + 1]; i++)
        good = part_add_whole(work, nw_element_point((uint32_t)i)) &&
               part_add_whole(work, nw_element_segment((uint32_t)i));
    return good;
}

static bool wall_add(inside *work, const nw_wall *wall, bool all)
{
    const nw_border *border = work->larger->border;
    if (wall->closed)
        return ring_add(work, border->ring[wall->segment]);
    const nw_free_stretch *before = &work->larger->roll->frees[wall->free_before];
    const nw_free_stretch *after = &work->larger->roll->frees[wall->free_after];
    uint32_t e = before->element;
    if (e == after->element && wall->free_after > wall->free_before)
        return part_add(work, (part){e, false, before->to, after->from});
    bool corner =
        all && nw_element_next(border, e) == after->element && nw_wall_is_corner(border, wall);
    bool good = part_add(work, (part){e, corner, before->to, nw_element_extent(border, e)});
    for (e = nw_element_next(border, e); good && e != after->element;
         e = nw_element_next(border, e))
        good = part_add_whole(work, e);
    return good && part_add(work, (part){e, corner, 0, after->from});
}

/* Whether there are such and all parts of the element are corners'; goes on past them then. */
static bool has_corners_only(inside *work, uint32_t element)
{
    size_t at = work->at;
    bool only = true;
    for (; at < work->count && work->parts[at].element == element; at++)
        only = only && work->parts[at].corner;
    only = only && at > work->at;
    if (only)
        work->at = at;
    return only;
}

static int in_order(const void *left, const void *right)
{
    const part *a = left, *b = right;
    return a->element != b->element ? nw_order(a->element, b->element) : nw_order(a->from, b->from);
}

static bool parts_list(inside *work, const bool *chosen)
{
    bool good = true;
    for (size_t w = 0; good && w < work->larger->count; w++)
        if (!chosen || chosen[w])
            good = wall_add(work, &work->larger->walls[w], !chosen);
    nw_sort(work->parts, work->count, sizeof *work->parts, in_order);
    return good;
}

static bool known_add(inside *work, uint32_t element, double from, double to)
{
    if (from >= to)
        return true;
    return nw_push(&work->known, &work->known_count, &work->known_capacity,
                   &(nw_free_stretch){element, false, false, from, to}, sizeof *work->known);
}

/* Between the element's parts. */
static bool known_list(inside *work, uint32_t element, double extent)
{
    double from = 0;
    bool good = true;
    work->known_count = 0;
    for (; work->at < work->count && work->parts[work->at].element == element; work->at++) {
        good = good && known_add(work, element, from, work->parts[work->at].from);
        from = work->parts[work->at].to;
    }
    return good && known_add(work, element, from, extent);
}

/* Whether the larger disc was free all along the element; goes on past it. */
static bool was_free(inside *work, uint32_t element, nw_free_stretch *whole)
{
    const nw_roll *roll = work->larger->roll;
    size_t first = work->free_at;
    while (work->free_at < roll->count && roll->frees[work->free_at].element == element)
        work->free_at++;
    if (work->free_at != first + 1)
        return false;
    *whole = roll->frees[first];
    return whole->begins && whole->ends;
}

/* In a corner a smaller disc lies in the larger one and between that and the two segments. */
static bool element_roll(inside *work, nw_roller *roller, uint32_t element)
{
    nw_free_stretch whole;
    bool good = true;
    work->known_count = 0;
    if (was_free(work, element, &whole)) {
        good = nw_push(&roller->frees, &roller->count, &roller->capacity, &whole, sizeof whole);
    } else {
        double extent = nw_element_extent(work->larger->border, element);
        if (has_corners_only(work, element)) {
            nw_roller_element_alone(roller, element, extent);
        } else {
            good = known_list(work, element, extent);
            if (good)
                nw_roller_element(roller, element, extent, NULL,
                                  (nw_frees){work->known, work->known_count});
        }
    }
    return good && !roller->failed;
}

nw_status nw_roll_inside(const nw_walls *larger, const bool *chosen, double radius, nw_roll *roll,
                         nw_error *error)
{
    const nw_border *border = larger->border;
    *roll = (nw_roll){.border = border, .radius = radius};
    inside work = {.larger = larger};
    nw_roller roller;
    nw_roller_start(&roller, border, radius);
    bool good = parts_list(&work, chosen) && !roller.failed;
    for (uint32_t i = 0; good && i < border->count; i++) {
        if (nw_border_reflex(border, i))
            good = element_roll(&work, &roller, nw_element_point(i));
        good = good && element_roll(&work, &roller, nw_element_segment(i));
    }
    if (good) {
        roll->frees = roller.frees;
        roll->count = roller.count;
        roll->capacity = roller.capacity;
        roller.frees = NULL;
    }
    free(work.parts);
    free(work.known);
    nw_roller_free(&roller);
    return good ? NW_OK : nw_fail_memory(error, "the rolling disc");
}
