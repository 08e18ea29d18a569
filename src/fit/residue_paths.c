/* Residues and the centre's way -> closed paths of lines and arcs, to be drawn or cut. */
#include <fit/side.h>

#include <stdlib.h>

bool nw_line_to(nw_path *path, nw_point to)
{
    nw_point from = nw_path_from(path, path->count);
    return nw_distance(from, to) < NW_MERGE_MM || nw_path_line(path, to);
}

static bool wall_to(const nw_rolled *rolled, const nw_wall *wall, nw_path *path)
{
    uint32_t i = wall->segment;
    bool good = nw_line_to(path, wall->first);
    for (uint32_t k = 0; k < wall->span; k++) {
        i = rolled->border.next[i];
        good = good && nw_line_to(path, rolled->border.points[i]);
    }
    return good && nw_line_to(path, wall->last);
}

/* The last step ends exactly where the path began. */
static bool path_close(nw_path *path)
{
    path->closed = true;
    if (path->count == 0)
        return true;
    nw_point *end = &path->steps[path->count - 1].to;
    if (nw_distance(*end, path->start) >= NW_MERGE_MM)
        return nw_path_line(path, path->start);
    *end = path->start;
    return true;
}

bool nw_path_keep(nw_path *path, nw_drawing *drawing, bool good)
{
    good = good && path_close(path);
    if (good && path->count > 1)
        good = nw_drawing_add(drawing, path);
    nw_path_free(path);
    return good;
}

static nw_point edge_start(const nw_rolled *rolled, const nw_edge *edge)
{
    return edge->arc ? edge->from : rolled->walls.walls[edge->wall].first;
}

static bool loop_path(const nw_rolled *rolled, const nw_loop *loop, size_t piece,
                      nw_drawing *drawing, size_t *count)
{
    const nw_edge *edges = rolled->loops.edges;
    nw_path path = {.start = edge_start(rolled, &edges[loop->edge]),
                    .piece = piece,
                    .hole = loop->kind == NW_LOOP_HOLE};
    bool good = true;
    uint32_t e = loop->edge;
    do {
        const nw_edge *edge = &edges[e];
        if (edge->arc)
            good = good && nw_line_to(&path, edge->from) &&
                   nw_path_arc(&path, edge->centre, edge->to, true);
        else
            good = good && wall_to(rolled, &rolled->walls.walls[edge->wall], &path);
        e = edge->next;
    } while (good && e != loop->edge);
    size_t already = drawing->count;
    good = nw_path_keep(&path, drawing, good);
    *count += drawing->count - already;
    return good;
}

bool nw_component_paths(const nw_rolled *rolled, uint32_t component, size_t piece,
                        nw_drawing *drawing, size_t *count)
{
    const nw_component *c = &rolled->components[component];
    *count = 0;
    for (int holes = 0; holes < 2; holes++) {
        for (size_t k = c->loop_first; k < c->loop_last; k++) {
            const nw_loop *loop = &rolled->loops.loops[rolled->loop_order[k]];
            if ((loop->kind == NW_LOOP_HOLE) == (holes == 1) &&
                !loop_path(rolled, loop, piece, drawing, count))
                return false;
        }
    }
    return true;
}

static bool way_path(const nw_rolled *rolled, uint32_t first, bool *done, nw_drawing *drawing)
{
    const nw_roll *roll = &rolled->roll;
    const nw_free_stretch *frees = roll->frees;
    nw_path path = {.start = nw_element_centre(roll, frees[first].element, frees[first].from)};
    bool good = true;
    for (uint32_t k = first; k != NW_NOWHERE && !done[k]; k = rolled->walls.follow[k]) {
        done[k] = true;
        uint32_t element = frees[k].element;
        nw_point to = nw_element_centre(roll, element, frees[k].to);
        good = good && nw_line_to(&path, nw_element_centre(roll, element, frees[k].from));
        if (element % 2)
            good = good && nw_line_to(&path, to);
        else
            good = good && nw_path_arc(&path, rolled->border.points[element / 2], to, true);
    }
    path.piece = drawing->count;
    return nw_path_keep(&path, drawing, good);
}

bool nw_way_paths(const nw_rolled *rolled, nw_drawing *drawing)
{
    bool *done = nw_alloc(rolled->roll.count, sizeof *done);
    bool good = done != NULL;
    for (uint32_t k = 0; good && k < rolled->roll.count; k++)
        if (!done[k])
            good = way_path(rolled, k, done, drawing);
    free(done);
    return good;
}
