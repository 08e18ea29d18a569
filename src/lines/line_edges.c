/*
 * line_edges: pieces drawn as lines -> what the lines enclose, filled: with the lines themselves
 * (their outer edges), or without (their inner edges).
 *
 * For the inner edges ink and paper change places within a line: whatever else is drawn there is
 * left out of the filled space, so that nothing is lost. Outlines that then bound a second layer of
 * ink are dropped by nw_drawing_nest.
 */
#include <lines/line_pieces.h>

#include <stdlib.h>

/* The inner edge of a line. */
typedef struct {
    size_t ring;
    nw_box box;
} inner_edge;

typedef struct {
    const nw_line_widths *l;
    inner_edge *items;
    size_t count;
} inner_edges;

static bool inner_edges_find(const nw_line_widths *l, inner_edges *edges)
{
    *edges = (inner_edges){.l = l, .items = nw_alloc(l->region.count, sizeof *edges->items)};
    for (size_t k = 0; edges->items && k < l->region.count; k++)
        if (nw_ring_area(&l->region, k) < 0 && l->pieces[l->region.pieces[k]].is_line)
            edges->items[edges->count++] = (inner_edge){k, nw_ring_box(&l->region, k)};
    return edges->items != NULL;
}

/* Whether an outer outline lies within the inner edge of another piece. */
static bool is_enclosed(const inner_edges *edges, const nw_path *path)
{
    const nw_region *region = &edges->l->region;
    nw_point p = path->start;
    for (size_t k = 0; k < edges->count; k++) {
        const inner_edge *e = &edges->items[k];
        if (region->pieces[e->ring] != path->piece && p.x > e->box.min.x && p.x < e->box.max.x &&
            p.y > e->box.min.y && p.y < e->box.max.y && nw_ring_contains(region, e->ring, p))
            return true;
    }
    return false;
}

/* Whether the path stays; turned round where ink and paper change places. enclosed: its piece. */
static bool path_judge(const nw_line_widths *l, nw_path *path, bool outer, bool enclosed)
{
    bool encloses = l->pieces[path->piece].is_line && l->pieces[path->piece].encloses;
    if (!path->closed)
        return true;
    if (outer || (!enclosed && encloses && !path->hole))
        return !(encloses && path->hole == outer);
    if (enclosed || encloses) {
        nw_path_reverse(path);
        path->hole = !path->hole;
    }
    return true;
}

nw_status nw_line_edges(nw_drawing *drawing, const nw_line_widths *l, bool outer, nw_error *error)
{
    inner_edges edges;
    if (!inner_edges_find(l, &edges))
        return nw_fail_memory(error, "the lines' edges");
    size_t count = 0;
    bool enclosed = false;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_path path = drawing->paths[i];
        enclosed = path.closed && !path.hole ? is_enclosed(&edges, &path) : enclosed;
        if (path_judge(l, &path, outer, enclosed))
            drawing->paths[count++] = path;
        else
            nw_path_free(&path);
    }
    free(edges.items);
    drawing->count = count;
    return nw_drawing_nest(drawing, l->flatness, true, error);
}
