/* painting: lists of painted shapes and clips, grown and freed. */
#include "unite_internal.h"

#include <stdlib.h>

bool paint_shapes_add(paint_shapes *shapes, paint_shape *shape)
{
    void *items = shapes->items;
    bool grown = nw_grow(&items, &shapes->capacity, shapes->count + 1, sizeof *shapes->items);
    shapes->items = items;
    if (grown) {
        shapes->items[shapes->count++] = *shape;
        *shape = (paint_shape){0};
    }
    return grown;
}

void paint_shapes_free(paint_shapes *shapes)
{
    for (size_t i = 0; i < shapes->count; i++) {
        nw_drawing_free(&shapes->items[i].outline);
    }
    free(shapes->items);
    *shapes = (paint_shapes){0};
}

void painting_free(painting *all)
{
    for (size_t i = 0; i < all->clip_count; i++) {
        paint_shapes_free(&all->clips[i].shapes);
    }
    free(all->clips);
    paint_shapes_free(&all->shapes);
    *all = (painting){0};
}
