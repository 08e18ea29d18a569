/* page_numbers: a drawing as a flat array of doubles. */
#include <report/page/page_numbers.h>

#include <string.h>

void nw_page_numbers_add(nw_page_numbers *list, const double *values, size_t count)
{
    list->failed = list->failed ||
                   !nw_grow(&list->items, &list->capacity, list->count + count, sizeof(double));
    if (!list->failed) {
        memcpy(list->items + list->count, values, count * sizeof *values);
        list->count += count;
    }
}

void nw_page_numbers_drawing(nw_page_numbers *list, const nw_drawing *drawing)
{
    for (size_t k = 0; k < drawing->count; k++) {
        const nw_path *path = &drawing->paths[k];
        double head[] = {(double)path->piece, path->hole, (double)path->count, path->start.x,
                         path->start.y};
        nw_page_numbers_add(list, head, sizeof head / sizeof *head);
        for (size_t i = 0; i < path->count; i++) {
            const nw_step *step = &path->steps[i];
            int kind = step->kind == NW_ARC ? 2 + step->clockwise : (int)step->kind;
            double values[] = {kind,      step->a.x,  step->a.y, step->b.x,
                               step->b.y, step->to.x, step->to.y};
            nw_page_numbers_add(list, values, sizeof values / sizeof *values);
        }
    }
}

void nw_page_numbers_pieces(nw_page_numbers *list, const nw_drawing *drawing,
                            const nw_pieces *pieces)
{
    for (size_t i = 0; i < drawing->count; i++) {
        if (i > 0 && drawing->paths[i].piece == drawing->paths[i - 1].piece)
            continue;
        size_t number = drawing->paths[i].number;
        bool known = pieces && number && number <= pieces->count;
        double values[] = {(double)number, known ? pieces->items[number - 1].guess : NW_PIECE_ART};
        nw_page_numbers_add(list, values, 2);
    }
}
