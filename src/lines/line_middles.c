/*
 * line_middles: pieces drawn as lines -> the middles of the lines, as open and closed curves.
 *
 * Each piece for itself: its edges are cut into short ones, a few to the line's width; the ink
 * between them into triangles, whose chords' middles are the line's (ribbon.c); corners of line
 * ends leave no spurs (spurs.c); bends that turn on the spot become corners (line_bends.c); lines
 * are carried on straight to where they meet or end (stroke_ends.c); and what carries on becomes
 * one curve (stroke_joints.c).
 */
#include <lines/line_pieces.h>
#include <lines/strokes.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double FLATNESS = 0.005; /* widths of line */
static const double SPACING = 0.2;    /* widths of line between the edges' points */
static const double END_REACH = 0.8;  /* widths that an end's rounding or corners reach */
static const double OWN_WIDTH = 4;    /* widths: a longer branch tells its own width */

/* ---- a piece's edges ------------------------------------------------------------------------- */

/* The same rings with points no further apart than spacing. */
static bool region_densify(const nw_region *from, double spacing, nw_region *to)
{
    nw_region_builder b = {0};
    bool good = true;
    for (size_t k = 0; k < from->count && good; k++) {
        size_t first = from->starts[k], end = from->starts[k + 1];
        good = nw_region_begin_ring(&b, from->pieces[k]);
        for (size_t i = first; i < end && good; i++) {
            nw_point p = from->points[i], q = from->points[i + 1 < end ? i + 1 : first];
            size_t n = (size_t)ceil(nw_distance(p, q) / spacing);
            for (size_t j = 0; (j < n || j == 0) && good; j++) {
                double t = n ? (double)j / (double)n : 0;
                good = nw_region_add_point(&b, nw_between(p, q, t));
            }
        }
        nw_region_end_ring(&b);
    }
    *to = b.region;
    return good;
}

/* A view of the piece's paths, which stand together; it owns nothing. */
static nw_drawing piece_view(const nw_drawing *drawing, size_t first, size_t count)
{
    return (nw_drawing){.paths = drawing->paths + first, .count = count};
}

static nw_status piece_region(const nw_drawing *piece, double width, nw_region *region,
                              nw_error *error)
{
    nw_region coarse;
    nw_status status =
        nw_drawing_flatten_places(piece, FLATNESS * width, 0, &coarse, NULL, NULL, error);
    *region = (nw_region){0};
    if (status == NW_OK && !region_densify(&coarse, SPACING * width, region)) {
        nw_region_free(region);
        status = nw_fail_memory(error, "the lines' edges");
    }
    nw_region_free(&coarse);
    return status;
}

/* ---- its strokes ----------------------------------------------------------------------------- */

static int by_width(const void *p, const void *q)
{
    double a = ((const nw_ribbon_chord *)p)->width, b = ((const nw_ribbon_chord *)q)->width;
    return a < b ? -1 : a > b;
}

/* The branch's own width, its chords' median, where it is long enough to tell. */
static double branch_width(const nw_ribbon_branch *b, double width)
{
    nw_ribbon_chord *sorted = nw_alloc(b->count, sizeof *sorted);
    if (!sorted)
        return width;
    memcpy(sorted, b->chords, b->count * sizeof *sorted);
    nw_sort(sorted, b->count, sizeof *sorted, by_width);
    double median = sorted[b->count / 2].width;
    free(sorted);
    return nw_chords_length(b) > OWN_WIDTH * median ? median : width;
}

/* Drops the chords in the rounding or the corners of a free end. */
static void branch_trim(nw_ribbon_branch *b, int end, nw_point tip, double reach)
{
    size_t count = 0;
    while (count + 3 < b->count &&
           nw_distance(b->chords[end ? b->count - 1 - count : count].at, tip) < reach)
        count++;
    b->count -= count;
    for (size_t i = 0; !end && i < b->count; i++)
        b->chords[i] = b->chords[i + count];
}

static nw_stroke_end end_of(const nw_ribbon *r, nw_ribbon_branch *b, int end, double width)
{
    nw_point first = b->chords[end ? b->count - 1 : 0].at;
    nw_stroke_end e = {.junction = NOWHERE, .tip = first, .near = first, .next = NOWHERE};
    if (b->node[end] != NOWHERE) {
        const nw_ribbon_node *n = &r->nodes[b->node[end]];
        if (n->mouth) {
            e.tip = n->at;
            e.fixed = true;
        } else if (n->degree > 1) {
            e.junction = n->cluster;
        } else {
            e.tip = n->at;
            branch_trim(b, end, n->at, END_REACH * width);
        }
    }
    return e;
}

static bool strokes_make(nw_stroke_set *set, nw_ribbon *r)
{
    set->strokes = nw_alloc(r->count, sizeof *set->strokes);
    set->node_count = r->node_count;
    bool good = set->strokes != NULL;
    for (size_t i = 0; i < r->count && good; i++) {
        nw_ribbon_branch *b = &r->branches[i];
        if (!b->count || b->is_link)
            continue;
        nw_stroke *s = &set->strokes[set->count++];
        double width = branch_width(b, set->width);
        *s = (nw_stroke){.width = width, .ring = b->node[0] == NOWHERE};
        s->ends[0] = end_of(r, b, 0, width);
        s->ends[1] = end_of(r, b, 1, width);
        good = nw_stroke_from_branch(b, set->tree, s);
    }
    return good;
}

static void strokes_free(nw_stroke_set *set)
{
    for (size_t i = 0; i < set->count; i++)
        free(set->strokes[i].spots);
    free(set->strokes);
    free(set->meetings);
}

static nw_status piece_middles(const nw_drawing *piece, double width, nw_drawing *out,
                               nw_error *error)
{
    nw_region region;
    nw_status status = piece_region(piece, width, &region, error);
    if (status != NW_OK)
        return status;
    nw_ribbon r = {0};
    nw_segment_tree tree = {0};
    nw_stroke_set set = {.tree = &tree, .width = width};
    bool good = nw_ribbon_make(&region, width, &r) && nw_segment_tree_make(&tree, &region) &&
                nw_ribbon_prune(&r, width);
    if (good)
        nw_ribbon_cluster(&r, width);
    good = good && strokes_make(&set, &r) && nw_strokes_end(&set) &&
           nw_strokes_write(&set, piece->paths[0].piece, out);
    status = good ? nw_wide_parts_write(&region, &r, width, out, error)
                  : nw_fail_memory(error, "the lines' middles");
    strokes_free(&set);
    nw_ribbon_free(&r);
    nw_segment_tree_free(&tree);
    nw_region_free(&region);
    return status;
}

nw_status nw_line_middles(nw_drawing *drawing, const nw_line_widths *l, nw_error *error)
{
    nw_drawing out = {.placed = drawing->placed};
    nw_status status = NW_OK;
    for (size_t first = 0, end; first < drawing->count && status == NW_OK; first = end) {
        nw_path *path = &drawing->paths[first];
        size_t piece = path->piece;
        bool line = path->closed && l->pieces[piece].is_line;
        for (end = first + 1; line && end < drawing->count && drawing->paths[end].closed &&
                              drawing->paths[end].piece == piece;
             end++) {
        }
        nw_drawing view = piece_view(drawing, first, end - first);
        if (line) {
            size_t before = out.count, number = path->number;
            status = piece_middles(&view, l->pieces[piece].width, &out, error);
            for (size_t i = before; i < out.count; i++)
                out.paths[i].number = number;
        } else if (!nw_drawing_add(&out, path)) {
            status = nw_fail_memory(error, "the lines' middles");
        }
    }
    if (status != NW_OK) {
        nw_drawing_free(&out);
        return status;
    }
    nw_drawing_free(drawing);
    *drawing = out;
    return NW_OK;
}
