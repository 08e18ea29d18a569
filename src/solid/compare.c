/*
 * compare: two drawings -> what one covers and the other does not, by the union's own subtraction,
 * with the areas in closed form.
 */
#include <solid/solid.h>

#define DUST_MM2 0.002

/* A piece's area with its holes taken off; *count tells how many paths it has. */
static double piece_area(const nw_drawing *drawing, size_t first, size_t *count)
{
    double area = 0;
    size_t end = first;
    do {
        area += nw_path_area(&drawing->paths[end++]);
    } while (end < drawing->count && drawing->paths[end].piece == drawing->paths[first].piece);
    *count = end - first;
    return area;
}

/* Moves the pieces that are more than dust from one drawing to another; *area takes the sum. */
static bool pieces_move(nw_drawing *from, nw_drawing *to, double *area)
{
    bool good = true;
    for (size_t first = 0, count; first < from->count && good; first += count) {
        double own = piece_area(from, first, &count);
        for (size_t i = first; own > DUST_MM2 && good && i < first + count; i++)
            good = !to || nw_drawing_add(to, &from->paths[i]);
        *area += own > DUST_MM2 ? own : 0;
    }
    return good;
}

static nw_status only_in(const nw_drawing *one, const nw_drawing *other, nw_drawing *rest,
                         double *area, nw_error *error)
{
    nw_drawing all = {0};
    *area = 0;
    nw_status status = nw_drawing_paint(one, other, true, &all, error);
    if (status == NW_OK && !pieces_move(&all, rest, area))
        status = nw_fail_memory(error, "the comparison");
    nw_drawing_free(&all);
    return status;
}

nw_status nw_drawing_compare(const nw_drawing *before, const nw_drawing *now, nw_drawing *added,
                             nw_drawing *removed, double *area_added, double *area_removed,
                             nw_error *error)
{
    if (added)
        *added = (nw_drawing){0};
    if (removed)
        *removed = (nw_drawing){0};
    nw_status status = only_in(now, before, added, area_added, error);
    if (status == NW_OK)
        status = only_in(before, now, removed, area_removed, error);
    if (status != NW_OK) {
        nw_drawing_free(added);
        nw_drawing_free(removed);
    }
    return status;
}
