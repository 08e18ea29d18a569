/*
 * unite: painted shapes in paint order -> one clean drawing, by one arrangement of all outlines;
 * drawings added to one another or taken away.
 */
#include <solid/arrange.h>

#include <math.h>
#include <stdlib.h>

#define FLATNESS_MM 0.001           /* finer than outlines are measured by */
#define FLATNESS_OF_SIZE 5e-6       /* so that a small drawing can still be enlarged */
#define FLATNESS_OF_LARGE_SIZE 1e-7 /* so that a huge one does not need more points than help */
#define MOST_POINTS 6e6

static void arrangement_free(nw_arrangement *all)
{
    for (size_t i = 0; i < all->room_count; i++)
        free(all->rooms[i]);
    free(all->rooms);
    free(all->steps);
    free(all->chords);
}

static void fineness_choose(nw_arrangement *a, const nw_painting *painting)
{
    nw_box all = nw_box_empty(), page = painting->page;
    for (size_t i = 0; i < painting->shapes.count; i++)
        if (painting->shapes.items[i].outline.count)
            nw_box_grow(&all, nw_drawing_box(&painting->shapes.items[i].outline));
    if (page.min.x < page.max.x && page.min.y < page.max.y) {
        all = (nw_box){{fmax(all.min.x, page.min.x), fmax(all.min.y, page.min.y)},
                       {fmin(all.max.x, page.max.x), fmin(all.max.y, page.max.y)}};
    }
    double size = nw_distance(all.min, all.max);
    bool known = size > NW_SAME_MM && isfinite(size);
    size = known ? size : 1;
    a->flatness = fmax(fmin(FLATNESS_MM, FLATNESS_OF_SIZE * size), FLATNESS_OF_LARGE_SIZE * size);
    int power; /* of two, the least that is no smaller */
    double share = frexp(size, &power);
    a->grid = ldexp(1, (share > 0.5 ? power : power - 1) - NW_GRID_BITS);
    a->middle_x = known ? round((all.min.x + all.max.x) / 2 / a->grid) : 0;
    a->middle_y = known ? round((all.min.y + all.max.y) / 2 / a->grid) : 0;
    size_t most = painting->most_points;
    a->more = fmax(1, painting->more);
    double bearable = MOST_POINTS * a->more;
    a->most = most && (double)most < bearable ? most : (size_t)bearable;
}

static bool chords_make(nw_arrangement *a, const nw_painting *all)
{
    bool good = true;
    for (size_t i = 0; i < all->shapes.count && good; i++)
        good = nw_chords_add(a, &all->shapes.items[i].outline);
    for (size_t c = 0; c < all->clip_count; c++)
        for (size_t i = 0; i < all->clips[c].shapes.count && good; i++)
            good = nw_chords_add(a, &all->clips[c].shapes.items[i].outline);
    return good;
}

nw_status nw_painting_unite(const nw_painting *all, nw_drawing *drawing, nw_paint_counts *counts,
                            nw_error *error)
{
    *drawing = (nw_drawing){0};
    nw_arrangement a = {.error = error};
    nw_paint_counts found = {0};
    fineness_choose(&a, all);
    if (!(chords_make(&a, all) && nw_lines_find(&a) && nw_lines_node(&a) && nw_edges_make(&a) &&
          nw_faces_find(&a) && nw_faces_paint(&a, all, &found) && nw_rings_write(&a, drawing)))
        nw_drawing_free(drawing);
    arrangement_free(&a);
    if (counts)
        *counts = found;
    return a.status;
}

nw_status nw_drawing_unite(const nw_drawing *from, nw_drawing *drawing, nw_error *error)
{
    nw_paint_shape shape = {.outline = *from};
    nw_painting all = {.shapes = {&shape, 1, 1}};
    nw_drawing united;
    nw_status status = nw_painting_unite(&all, &united, NULL, error);
    if (!status) {
        united.width = from->width;
        united.height = from->height;
    }
    if (status || from == drawing)
        nw_drawing_free(drawing);
    *drawing = united;
    return status;
}

nw_status nw_drawing_paint(const nw_drawing *art, const nw_drawing *shapes, bool take,
                           nw_drawing *painted, nw_error *error)
{
    nw_paint_shape both[2] = {
        {.outline = *art, .even_odd = true},
        {.outline = *shapes, .even_odd = true, .paint = take ? PAINT_PAPER : PAINT_INK}};
    nw_painting all = {.shapes = {both, 2, 2}};
    nw_status status = nw_painting_unite(&all, painted, NULL, error);
    if (status == NW_OK) {
        nw_box box = nw_drawing_box(painted);
        painted->width = box.max.x - box.min.x;
        painted->height = box.max.y - box.min.y;
    }
    return status;
}
