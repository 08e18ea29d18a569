/* What the files that unite by GEOS share. Nothing else includes this. */
#ifndef NARROWS_UNITE_GEOS_H
#define NARROWS_UNITE_GEOS_H

#include <solid/unite_internal.h>

#include <geos_c.h>

typedef struct {
    GEOSContextHandle_t geos;
    char message[200]; /* of the last thing that GEOS refused */
    chord_list chords;
    const nw_painting *all;
    GEOSGeometry **clips; /* all->clip_count */
    nw_error *error;
} uniter;

/* The status for a call of GEOS that gave nothing. */
nw_status nw_geos_failed(uniter *u);

/* A list of geometries that becomes a collection. */
typedef struct {
    GEOSGeometry **items;
    size_t count, capacity;
} geometries;

void nw_geometries_free(uniter *u, geometries *list);

/* Takes over item, NULL included, which is GEOS's own failure. */
nw_status nw_geometries_add(uniter *u, geometries *list, GEOSGeometry *item);

/* Empties the list into one collection of the given type; NULL on failure. */
GEOSGeometry *nw_geometries_collect(uniter *u, geometries *list);

/* Empties the list of polygons into its union; NULL on failure. (unite_join.c) */
GEOSGeometry *nw_geometries_join(uniter *u, geometries *list);

/* ---- areas of shapes and clips (unite_fill.c) ----------------------------------------------- */

/* The shape's own area, without clips; may be empty. */
nw_status nw_shape_fill(uniter *u, const nw_paint_shape *shape, GEOSGeometry **filled);

/* All clips' areas into u->clips. */
nw_status nw_clips_fill(uniter *u);

/* Cuts *area by the clip (numbered as in paint_shape.clip). */
nw_status nw_clip_apply(uniter *u, size_t clip, GEOSGeometry **area);

/* ---- paint order (unite_order.c), output (unite_write.c) ------------------------------------ */

/* What stays of every ink shape; *clipped_away counts those of which clips leave nothing. */
nw_status nw_ink_collect(uniter *u, geometries *ink, size_t *clipped_away);

/* Polygons -> paths, curves restored, largest piece first. */
nw_status nw_polygons_write(uniter *u, const GEOSGeometry *area, nw_drawing *drawing);

#endif
