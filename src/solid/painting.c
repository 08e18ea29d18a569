/* painting: lists of painted shapes and clips, grown and freed. */
#include <solid/painting.h>

#include <stdlib.h>

bool nw_paint_shapes_add(nw_paint_shapes *shapes, nw_paint_shape *shape)
{
    if (!nw_push(&shapes->items, &shapes->count, &shapes->capacity, shape, sizeof *shape))
        return false;
    *shape = (nw_paint_shape){0};
    return true;
}

void nw_paint_shapes_free(nw_paint_shapes *shapes)
{
    for (size_t i = 0; i < shapes->count; i++)
        nw_drawing_free(&shapes->items[i].outline);
    free(shapes->items);
    *shapes = (nw_paint_shapes){0};
}

void nw_painting_free(nw_painting *all)
{
    for (size_t i = 0; i < all->clip_count; i++)
        nw_paint_shapes_free(&all->clips[i].shapes);
    free(all->clips);
    nw_paint_shapes_free(&all->shapes);
    *all = (nw_painting){0};
}
