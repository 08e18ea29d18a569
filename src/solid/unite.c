/*
 * unite: painted shapes in paint order -> one clean drawing, by GEOS.
 *
 * Every curve becomes chords on a fine grid (chords.c). A shape whose outline crosses nothing is
 * already a polygon; any other is noded on the grid, cut into faces, and the faces that its fill
 * rule keeps by their winding number are joined. Clips cut it, then every paper shape painted later
 * is taken away from it, and all that stays is united. GEOS does this by its OverlayNG, which
 * checks its own noding and falls back to snapping, so it does not fail on coincident edges; the
 * grid makes ends that should be one place one place. At last chords become curves again.
 */
#include <solid/unite_geos.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FLATNESS_MM 0.001           /* finer than outlines are measured by */
#define FLATNESS_OF_SIZE 5e-6       /* so that a small drawing can still be enlarged */
#define FLATNESS_OF_LARGE_SIZE 1e-7 /* so that a huge one does not need more points than help */
#define GRID_OF_SIZE 0x1p-28
#define MOST_POINTS ((size_t)6000000)

/* ---- GEOS's objects ------------------------------------------------------------------------- */

static void note_message(const char *message, void *context)
{
    uniter *u = context;
    size_t length = strnlen(message, sizeof u->message - 1);
    memcpy(u->message, message, length);
    u->message[length] = '\0';
}

nw_status nw_geos_failed(uniter *u)
{
    /* GEOS says why it failed; where it said nothing, memory for its answer was missing. */
    if (!u->message[0] || strstr(u->message, "bad_alloc")) {
        return nw_fail_memory(u->error, "uniting the shapes");
    }
    return nw_fail(u->error, NW_INTERNAL, "the shapes could not be united: %s", u->message);
}

void nw_geometries_free(uniter *u, geometries *list)
{
    for (size_t i = 0; i < list->count; i++) {
        GEOSGeom_destroy_r(u->geos, list->items[i]);
    }
    free(list->items);
    *list = (geometries){0};
}

nw_status nw_geometries_add(uniter *u, geometries *list, GEOSGeometry *item)
{
    if (!item) {
        return nw_geos_failed(u);
    }
    void *items = list->items;
    bool grown = nw_grow(&items, &list->capacity, list->count + 1, sizeof *list->items);
    list->items = items;
    if (!grown || list->count >= UINT32_MAX / 2) {
        GEOSGeom_destroy_r(u->geos, item);
        return nw_fail_memory(u->error, "uniting the shapes");
    }
    list->items[list->count++] = item;
    return NW_OK;
}

GEOSGeometry *nw_geometries_collect(uniter *u, geometries *list)
{
    GEOSGeometry *all = GEOSGeom_createCollection_r(u->geos, GEOS_GEOMETRYCOLLECTION, list->items,
                                                    (unsigned)list->count);
    free(list->items); /* GEOS owns the geometries now, even when it failed */
    *list = (geometries){0};
    return all;
}

/* ---- the whole ----------------------------------------------------------------------------- */

static void fineness_choose(uniter *u)
{
    nw_box all = nw_box_empty();
    const nw_paint_shapes *shapes = &u->all->shapes;
    for (size_t i = 0; i < shapes->count; i++) {
        if (!shapes->items[i].outline.count) {
            continue;
        }
        nw_box_grow(&all, nw_drawing_box(&shapes->items[i].outline));
    }
    nw_box page = u->all->page;
    if (page.min.x < page.max.x && page.min.y < page.max.y) {
        all = (nw_box){{fmax(all.min.x, page.min.x), fmax(all.min.y, page.min.y)},
                       {fmin(all.max.x, page.max.x), fmin(all.max.y, page.max.y)}};
    }
    double size = hypot(all.max.x - all.min.x, all.max.y - all.min.y);
    size = size > 0 && isfinite(size) ? size : 1;
    u->chords.flatness =
        fmax(fmin(FLATNESS_MM, FLATNESS_OF_SIZE * size), FLATNESS_OF_LARGE_SIZE * size);
    u->chords.grid = exp2(ceil(log2(size * GRID_OF_SIZE)));
    size_t most = u->all->most_points;
    u->chords.most = most && most < MOST_POINTS ? most : MOST_POINTS;
}

static nw_status unite_all(uniter *u, nw_drawing *drawing, size_t *clipped_away)
{
    geometries ink = {0};
    nw_status status = nw_clips_fill(u);
    status = status ? status : nw_ink_collect(u, &ink, clipped_away);
    if (status) {
        nw_geometries_free(u, &ink);
        return status;
    }
    GEOSGeometry *area = nw_geometries_join(u, &ink);
    status = area ? nw_polygons_write(u, area, drawing) : nw_geos_failed(u);
    GEOSGeom_destroy_r(u->geos, area);
    return status;
}

nw_status nw_painting_unite(const nw_painting *all, nw_drawing *drawing, size_t *clipped_away,
                            nw_error *error)
{
    *drawing = (nw_drawing){0};
    uniter u = {.all = all, .error = error, .geos = GEOS_init_r()};
    if (!u.geos) {
        return nw_fail_memory(error, "uniting the shapes");
    }
    GEOSContext_setErrorMessageHandler_r(u.geos, note_message, &u);
    fineness_choose(&u);
    size_t away = 0;
    nw_status status = unite_all(&u, drawing, &away);
    for (size_t i = 0; u.clips && i < all->clip_count; i++) {
        GEOSGeom_destroy_r(u.geos, u.clips[i]);
    }
    free(u.clips);
    nw_chords_free(&u.chords);
    GEOS_finish_r(u.geos);
    if (status) {
        nw_drawing_free(drawing);
    }
    if (clipped_away) {
        *clipped_away = away;
    }
    return status;
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
    if (status || from == drawing) {
        nw_drawing_free(drawing);
    }
    *drawing = united;
    return status;
}
