/*
 * clean: traced outlines, some of which may cross -> one clean drawing, nested into pieces.
 *
 * Only pieces that cross themselves or one another are united anew (unite.c); the rest of a large
 * drawing stays as it is.
 */
#include "trace_internal.h"
#include "unite_internal.h"

#include <stdlib.h>

static const double FLATNESS_PX = 0.05; /* to find out what lies in what, and what crosses */

/* Pieces that cross, as a forest: each points at another of its group, the root at itself. */
typedef struct {
    const nw_region *region;
    const segment_tree *tree;
    size_t *link;
    bool *crossed;
} groups;

static size_t root_of(const groups *g, size_t piece)
{
    while (g->link[piece] != piece) {
        piece = g->link[piece] = g->link[g->link[piece]];
    }
    return piece;
}

static bool join_pieces(void *context, size_t i, size_t j)
{
    groups *g = context;
    size_t p = g->region->pieces[g->tree->segments[i].ring];
    size_t q = g->region->pieces[g->tree->segments[j].ring];
    g->crossed[p] = g->crossed[q] = true;
    p = root_of(g, p);
    q = root_of(g, q);
    g->link[p < q ? q : p] = p < q ? p : q;
    return true;
}

/* Moves the group's paths out of the drawing, unites them and puts them back. */
static nw_status unite_group(nw_drawing *drawing, const groups *g, size_t root, nw_error *error)
{
    nw_drawing group = {0};
    size_t kept = 0;
    nw_status status = NW_OK;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path *path = &drawing->paths[i];
        bool member = path->closed && root_of(g, path->piece) == root;
        if (!member || !nw_drawing_add(&group, path)) {
            status = member ? nw_fail_memory(error, "the crossings of outlines") : status;
            drawing->paths[kept++] = *path;
        }
    }
    drawing->count = kept;
    status = status == NW_OK ? drawing_unite(&group, &group, error) : status;
    for (size_t i = 0; status == NW_OK && i < group.count; i++) {
        /* United pieces belong to the group's root until all is nested anew. */
        group.paths[i].piece = root;
        if (!nw_drawing_add(drawing, &group.paths[i])) {
            status = nw_fail_memory(error, "the cleaned outlines");
        }
    }
    nw_drawing_free(&group);
    return status;
}

static nw_status unite_crossed(nw_drawing *drawing, size_t piece_count, groups *g, nw_error *error)
{
    nw_status status = NW_OK;
    for (size_t p = 0; status == NW_OK && p < piece_count; p++) {
        if (g->crossed[p] && root_of(g, p) == p) {
            status = unite_group(drawing, g, p, error);
        }
    }
    return status;
}

static nw_status repair(nw_drawing *drawing, nw_error *error)
{
    size_t piece_count = 0, crossings;
    for (size_t i = 0; i < drawing->count; i++) {
        size_t next = drawing->paths[i].piece + 1;
        piece_count = next > piece_count ? next : piece_count;
    }
    nw_region region;
    nw_status status = drawing_flatten(drawing, FLATNESS_PX, &region, &crossings, error);
    segment_tree tree = {0};
    groups g = {&region, &tree, nw_alloc(piece_count, sizeof(size_t)),
                nw_alloc(piece_count, sizeof(bool))};
    if (status == NW_OK && (!g.link || !g.crossed || !segment_tree_make(&tree, &region))) {
        status = nw_fail_memory(error, "the crossings of outlines");
    }
    if (status == NW_OK) {
        for (size_t p = 0; p < piece_count; p++) {
            g.link[p] = p;
        }
        crossings_find(&tree, &region, join_pieces, &g);
        status = unite_crossed(drawing, piece_count, &g, error);
    }
    free(g.link);
    free(g.crossed);
    segment_tree_free(&tree);
    nw_region_free(&region);
    return status;
}

nw_status drawing_clean(nw_drawing *drawing, nw_error *error)
{
    size_t crossings;
    nw_status status = drawing_nest(drawing, FLATNESS_PX, &crossings, error);
    if (status == NW_OK && crossings) {
        status = repair(drawing, error);
        if (status == NW_OK) {
            status = drawing_nest(drawing, FLATNESS_PX, &crossings, error);
        }
    }
    return status;
}
