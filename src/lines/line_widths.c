/*
 * line_widths: pieces -> which of them are drawn as lines, and how wide these are.
 *
 * A piece is a line when the way across the ink from most places on its boundary is about as long
 * as everywhere else: within half of the mean width, which is twice the area over the
 * perimeter. The way across is a ray along the inward normal to the next edge. Such a line must
 * also be many times as long as it is wide: the strokes of letters and the bars of lattices are
 * even too, but short or broad for the piece that they make.
 */
#include <lines/line_pieces.h>

#include <math.h>
#include <stdlib.h>

#define ENOUGH 100000 /* ways across; more tell nothing new */

static const double EVEN_PART = 0.7;    /* of the boundary has to be even */
static const double EVEN_WIDTH = 0.5;   /* of the mean width, either way */
static const double SLENDER = 6;        /* widths: an open line is longer */
static const double SLENDER_ROUND = 12; /* widths: so is one round a space, all the way */
static const double FINE = 25;          /* widths: a piece that is said to be a line is larger */
static const double FINE_ROUND = 16;    /* widths: one round wide spaces may be smaller */
static const double ROOMY = 4;          /* widths: such a space is wider */
static const double ROUND = 0.3;        /* of the boundary is spaces', where they count */
static const double STRAIGHT = 0.95;    /* of a bar's length reaches from end to end */
static const double MOSTLY = 0.5;       /* of all boundaries are lines', where art is called so */
static const double MUCH = 0.4;         /* of all ink */
static const double FLATNESS_OF_SIZE = 1e-4;

static size_t piece_of(const nw_line_widths *l, size_t i)
{
    return l->region.pieces[l->tree.segments[i].ring];
}

static double segment_length(const nw_segment *s)
{
    return nw_distance(s->a, s->b);
}

/* The way across the ink from part t of nw_segment i; `most` where it is longer. */
static double across(const nw_line_widths *l, size_t i, double t, double most)
{
    const nw_segment *s = &l->tree.segments[i];
    nw_line_ray r = {.from = nw_between(s->a, s->b, t),
                     .way = nw_left(nw_unit(s->a, s->b)),
                     .own = i,
                     .length = most};
    nw_ray_shoot(&l->tree, &r);
    return r.length;
}

static void measure_sizes(nw_line_widths *l)
{
    for (size_t i = 0; i < l->tree.count; i++) {
        const nw_segment *s = &l->tree.segments[i];
        l->pieces[piece_of(l, i)].area += nw_cross(s->a, s->b) / 2;
        l->pieces[piece_of(l, i)].perimeter += segment_length(s);
    }
    for (size_t p = 0; p < l->piece_count; p++)
        l->pieces[p].width =
            l->pieces[p].perimeter > 0 ? 2 * l->pieces[p].area / l->pieces[p].perimeter : 0;
}

/* How many ways across a segment is worth, at most half a width apart. */
static size_t looks_across(const nw_line_widths *l, size_t i)
{
    double width = l->pieces[piece_of(l, i)].width;
    double n = width > 0 ? ceil(2 * segment_length(&l->tree.segments[i]) / width) : 1;
    return n < 1 ? 1 : n > 1000 ? 1000 : (size_t)n;
}

/* Looks across at many places, in large art at some of them, of what may be lines. */
static void measure_even(nw_line_widths *l)
{
    size_t all = 0, skip;
    for (size_t i = 0; i < l->tree.count; i++)
        all += looks_across(l, i);
    skip = all / ENOUGH + 1;
    for (size_t i = 0, place = 0; i < l->tree.count; i++) {
        size_t n = looks_across(l, i), p = piece_of(l, i);
        double length = segment_length(&l->tree.segments[i]) / (double)n;
        for (size_t k = 0; k < n; k++, place++) {
            if (place % skip == 0 && l->pieces[p].is_line) {
                /* A way beyond this is not even, however long. */
                double most = 1.01 * (1 + EVEN_WIDTH) * l->pieces[p].width;
                double way = across(l, i, ((double)k + 0.5) / (double)n, most);
                bool even = fabs(way - l->pieces[p].width) <= EVEN_WIDTH * l->pieces[p].width;
                l->pieces[p].even += even ? length : 0;
                l->pieces[p].looked += length;
            }
        }
    }
}

/* What is seen of a piece beside its widths. */
typedef struct {
    nw_box box;
    double spaces, edge; /* area and perimeter of its holes */
    bool hole;
} piece_look;

/* Where a ring of the region is a hole its edges run clockwise. */
static void look_at_rings(const nw_region *region, piece_look *looks)
{
    for (size_t k = 0; k < region->count; k++) {
        double area = nw_ring_area(region, k);
        if (area < 0) {
            looks[region->pieces[k]].spaces -= area;
            looks[region->pieces[k]].edge += nw_ring_length(region, k);
        }
    }
}

static void look_at(const nw_drawing *drawing, piece_look *looks)
{
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        piece_look *look = &looks[path->piece];
        if (path->closed && path->hole)
            look->hole = true;
        else if (path->closed)
            look->box = nw_path_box(path);
    }
}

/* Whether nobody needs to ask before the piece is called a line: it is fine for its size, and so no
 * letter; and it is no lattice, whose bars are about as wide as the spaces between them. */
static bool is_plain(const nw_line_widths *l, const piece_look *look, size_t p)
{
    double size = fmax(nw_box_width(look->box), nw_box_height(look->box));
    if (look->edge < ROUND * l->pieces[p].perimeter)
        return size > FINE * l->pieces[p].width;
    return size > FINE_ROUND * l->pieces[p].width &&
           4 * look->spaces / look->edge > ROOMY * l->pieces[p].width;
}

/* What may be lines, if even. */
static void slender_find(nw_line_widths *l, const piece_look *looks, bool asked)
{
    for (size_t p = 0; p < l->piece_count; p++) {
        double least = looks[p].hole ? SLENDER_ROUND : SLENDER;
        bool slender = l->pieces[p].perimeter / 2 > least * l->pieces[p].width;
        l->pieces[p].is_line = slender && (asked || is_plain(l, &looks[p], p));
    }
}

static void even_keep(nw_line_widths *l, const piece_look *looks)
{
    for (size_t p = 0; p < l->piece_count; p++) {
        nw_line_piece *piece = &l->pieces[p];
        piece->is_line = piece->is_line && piece->even > EVEN_PART * piece->looked;
        piece->encloses = piece->is_line && looks[p].hole;
    }
}

/* A straight bar reaches as far as it is long; what bends or branches does not. */
static bool is_bar(const nw_line_widths *l, const piece_look *look, size_t p)
{
    double reach = nw_distance(look->box.min, look->box.max);
    return !look->hole && reach > STRAIGHT * (l->pieces[p].perimeter / 2 - l->pieces[p].width);
}

/* Art is not called lines for a frame round its shapes, or for thin strips among them: most of its
 * boundary has to be lines', and much of its ink. Nor is it if all of them are bars: stripes. */
static void judge_together(nw_line_widths *l, const piece_look *looks)
{
    double lines = 0, lines_ink = 0, all = 0, all_ink = 0;
    bool drawn = false;
    for (size_t p = 0; p < l->piece_count; p++) {
        lines += l->pieces[p].is_line ? l->pieces[p].perimeter : 0;
        lines_ink += l->pieces[p].is_line ? l->pieces[p].area : 0;
        all += l->pieces[p].perimeter;
        all_ink += l->pieces[p].area;
        drawn |= l->pieces[p].is_line && !is_bar(l, &looks[p], p);
    }
    bool few = !drawn || lines < MOSTLY * all || lines_ink < MUCH * all_ink;
    for (size_t p = 0; p < l->piece_count && few; p++)
        l->pieces[p].is_line = l->pieces[p].encloses = false;
}

/* Where all that may be lines are too few, nothing is looked across. */
static void judge(nw_line_widths *l, const piece_look *looks, bool asked)
{
    slender_find(l, looks, asked);
    if (!asked)
        judge_together(l, looks);
    measure_even(l);
    even_keep(l, looks);
    if (!asked)
        judge_together(l, looks);
}

void nw_line_widths_free(nw_line_widths *l)
{
    nw_region_free(&l->region);
    nw_segment_tree_free(&l->tree);
    free(l->pieces);
    *l = (nw_line_widths){0};
}

nw_status nw_line_widths_find(const nw_drawing *drawing, bool asked, nw_line_widths *l,
                              nw_error *error)
{
    *l = (nw_line_widths){0};
    for (size_t i = 0; i < drawing->count; i++) {
        size_t next = drawing->paths[i].piece + 1;
        l->piece_count = next > l->piece_count ? next : l->piece_count;
    }
    l->flatness = FLATNESS_OF_SIZE * fmax(drawing->width, drawing->height);
    if (!(l->flatness > 0)) {
        l->piece_count = 0;
        return NW_OK;
    }
    /* Widths hardly change where coarse chords cross: they need not be looked for. */
    nw_status status =
        nw_drawing_flatten_places(drawing, l->flatness, 0, &l->region, NULL, NULL, error);
    piece_look *looks = nw_alloc(l->piece_count, sizeof *looks);
    l->pieces = nw_alloc(l->piece_count, sizeof *l->pieces);
    if (status == NW_OK && looks && l->pieces && nw_segment_tree_make(&l->tree, &l->region)) {
        measure_sizes(l);
        look_at(drawing, looks);
        look_at_rings(&l->region, looks);
        judge(l, looks, asked);
    } else if (status == NW_OK) {
        status = nw_fail_memory(error, "the widths of lines");
    }
    free(looks);
    if (status != NW_OK)
        nw_line_widths_free(l);
    return status;
}
