/*
 * least: the least that must be added, see least.h.
 *
 * The outline round what the disc cannot cover is set with points SPACING apart. Of the Voronoi
 * diagram's edges those inside the area are kept. Edges that end blind in the narrow are pruned,
 * one after the other: what is left leads from wide to wide, or round an island.
 */
#include "least.h"
#include "shapes.h"

#include <math.h>
#include <stdlib.h>

#define SPACING_MM 0.15
#define THIN_MM 0.1     /* where the area is narrower than that points lie closer, */
#define CLOSE_MM 0.05   /* so far apart: else middle lines would leave it and break */
#define SIMPLE_MM 0.001 /* the diagram zigzags by less */
#define SAME_MM 1e-5
#define NEAR_MM 0.05 /* two diagrams of one area differ by less */
#define DUST_MM2 0.01
#define EPS 1e-4 /* of d */

/* Residues of the opening with so many contacts at least, none of them dust. */
static GEOSGeometry *residues_united(const GEOSGeometry *area, double d, const nw_box *frame,
                                     int contacts, double dust, size_t *count)
{
    second_residues residues = second_residues_of(area, d, EPS * d, frame);
    GEOSGeometry *all = GEOSGeom_createEmptyPolygon();
    *count = 0;
    for (size_t i = 0; i < residues.count; i++) {
        const second_residue *r = &residues.items[i];
        bool tiny = r->area < dust || (dust > 0 && r->area < 3 * EPS * d * r->perimeter);
        if (r->contacts >= contacts && !r->framed && !tiny) {
            all = second_combined(all, GEOSGeom_clone(r->shape), '+');
            ++*count;
        }
    }
    second_residues_free(&residues);
    return all;
}

GEOSGeometry *least_pinches(const GEOSGeometry *area, double d, const nw_box *frame, size_t *count)
{
    return residues_united(area, d, frame, 2, DUST_MM2, count);
}

/* ---- the diagram as a graph ------------------------------------------------------------------ */

typedef struct {
    nw_point a, b;
    size_t from, to; /* places */
    bool gone;
} edge;

typedef struct {
    edge *edges;
    size_t edge_count, edge_capacity;
    bool *wide;       /* for each place, by its number: the disc fits */
    unsigned *degree; /* edges that are left */
} graph;

static int by_x(const void *a, const void *b)
{
    const nw_point *p = *(const nw_point *const *)a, *q = *(const nw_point *const *)b;
    return (p->x > q->x) - (p->x < q->x);
}

/* The place of each end, ends in order of x: the number of the first end of a chain of ends of
 * which each lies within SAME_MM of an earlier one. */
static void ends_join(const nw_point **ends, size_t n, size_t *place)
{
    for (size_t i = 0; i < n; i++) {
        place[i] = i;
        for (size_t k = i; k-- > 0 && ends[i]->x - ends[k]->x <= SAME_MM;) {
            if (fabs(ends[i]->y - ends[k]->y) > SAME_MM)
                continue;
            size_t old = place[k], now = place[i];
            size_t root = old < now ? old : now, other = old < now ? now : old;
            for (size_t j = other; j <= i; j++)
                place[j] = place[j] == other ? root : place[j];
        }
    }
}

/* Ends of edges in the same place become one place: four points of one circle give two places a
 * hair apart. An edge from a place to itself is none. */
static void places_number(graph *g, const GEOSPreparedGeometry *boundary, double r)
{
    size_t n = 2 * g->edge_count;
    const nw_point **ends = calloc(n + 1, sizeof *ends);
    size_t *place = calloc(n + 1, sizeof *place);
    g->wide = calloc(n + 1, sizeof *g->wide);
    g->degree = calloc(n + 1, sizeof *g->degree);
    for (size_t i = 0; i < n; i++)
        ends[i] = i % 2 ? &g->edges[i / 2].b : &g->edges[i / 2].a;
    qsort(ends, n, sizeof *ends, by_x);
    ends_join(ends, n, place);
    for (size_t i = 0; i < n; i++) {
        if (place[i] == i)
            g->wide[i] = second_distance(boundary, ends[i]->x, ends[i]->y) > r;
        /* the address tells which end of which edge it is */
        edge *e = &g->edges[(size_t)((const char *)ends[i] - (const char *)g->edges) / sizeof *e];
        *(ends[i] == &e->a ? &e->from : &e->to) = place[i];
    }
    for (size_t i = 0; i < g->edge_count; i++) {
        edge *e = &g->edges[i];
        e->gone = e->from == e->to;
        g->degree[e->from] += !e->gone;
        g->degree[e->to] += !e->gone;
    }
    free(ends);
    free(place);
}

/* Takes away what ends blind in the narrow until nothing does. */
static void prune(graph *g)
{
    bool any = true;
    while (any) {
        any = false;
        for (size_t i = 0; i < g->edge_count; i++) {
            edge *e = &g->edges[i];
            bool blind = (g->degree[e->from] == 1 && !g->wide[e->from]) ||
                         (g->degree[e->to] == 1 && !g->wide[e->to]);
            if (!e->gone && blind) {
                e->gone = true;
                g->degree[e->from]--;
                g->degree[e->to]--;
                any = true;
            }
        }
    }
}

static GEOSGeometry *segment(nw_point a, nw_point b)
{
    GEOSCoordSequence *points = GEOSCoordSeq_create(2, 2);
    GEOSCoordSeq_setXY(points, 0, a.x, a.y);
    GEOSCoordSeq_setXY(points, 1, b.x, b.y);
    return GEOSGeom_createLineString(points);
}

/* Adds what of the edge lies inside, in pieces: an edge may lead from the narrow far into the wide.
 */
static void edge_add(graph *g, edge e, const GEOSPreparedGeometry *inside)
{
    GEOSGeometry *line = segment(e.a, e.b);
    bool within = GEOSPreparedContains(inside, line) == 1;
    bool touches = within || GEOSPreparedIntersects(inside, line) == 1;
    GEOSGeom_destroy(line);
    bool longer = hypot(e.b.x - e.a.x, e.b.y - e.a.y) > SPACING_MM;
    if (touches && longer) {
        nw_point middle = {(e.a.x + e.b.x) / 2, (e.a.y + e.b.y) / 2};
        edge_add(g, (edge){.a = e.a, .b = middle}, inside);
        edge_add(g, (edge){.a = middle, .b = e.b}, inside);
    } else if (within) {
        if (g->edge_count == g->edge_capacity) {
            g->edge_capacity = 2 * g->edge_capacity + 1000;
            g->edges = realloc(g->edges, g->edge_capacity * sizeof *g->edges);
        }
        g->edges[g->edge_count++] = e;
    }
}

static void edges_read(graph *g, const GEOSGeometry *diagram, const GEOSPreparedGeometry *inside)
{
    for (int i = 0; i < GEOSGetNumGeometries(diagram); i++) {
        const GEOSCoordSequence *points = GEOSGeom_getCoordSeq(GEOSGetGeometryN(diagram, i));
        unsigned size = 0;
        edge e = {0};
        GEOSCoordSeq_getSize(points, &size);
        GEOSCoordSeq_getXY(points, 0, &e.a.x, &e.a.y);
        GEOSCoordSeq_getXY(points, size - 1, &e.b.x, &e.b.y);
        edge_add(g, e, inside);
    }
}

static GEOSGeometry *lines_left(const graph *g, const GEOSPreparedGeometry *close)
{
    GEOSGeometry **left = calloc(g->edge_count + 1, sizeof *left);
    unsigned count = 0;
    for (size_t i = 0; i < g->edge_count; i++) {
        const edge *e = &g->edges[i];
        if (e->gone || (g->wide[e->from] && g->wide[e->to]))
            continue;
        left[count] = segment(e->a, e->b);
        if (GEOSPreparedIntersects(close, left[count]) == 1)
            count++;
        else
            GEOSGeom_destroy(left[count]);
    }
    GEOSGeometry *all = GEOSGeom_createCollection(GEOS_MULTILINESTRING, left, count);
    free(left);
    GEOSGeometry *merged = GEOSLineMerge(all), *simple = GEOSSimplify(merged, SIMPLE_MM);
    GEOSGeom_destroy(all);
    GEOSGeom_destroy(merged);
    return simple;
}

/* The walls set with points, closer together where the area is narrower than the others lie apart.
 */
static GEOSGeometry *walls_dense(const GEOSGeometry *area, const GEOSGeometry *walls)
{
    size_t count;
    GEOSGeometry *thin = residues_united(area, THIN_MM, NULL, 0, 0, &count);
    GEOSGeometry *close = second_combined(GEOSGeom_clone(walls), GEOSBuffer(thin, THIN_MM, 4), '&');
    GEOSGeometry *dense[] = {GEOSDensify(walls, SPACING_MM), GEOSDensify(close, CLOSE_MM)};
    GEOSGeom_destroy(close);
    GEOSGeom_destroy(thin);
    return GEOSGeom_createCollection(GEOS_GEOMETRYCOLLECTION, dense, 2);
}

static GEOSGeometry *middle_lines(const GEOSGeometry *area, const GEOSGeometry *narrow, double d)
{
    GEOSGeometry *near = GEOSBuffer(narrow, 0.8 * d, 8), *boundary = GEOSBoundary(area);
    GEOSGeometry *walls = second_combined(GEOSGeom_clone(boundary), GEOSBuffer(near, d, 8), '&');
    GEOSGeometry *dense = walls_dense(area, walls);
    GEOSGeometry *diagram = GEOSVoronoiDiagram(dense, NULL, 0, 1);
    GEOSGeometry *inner = second_combined(GEOSGeom_clone(area), near, '&');
    graph g = {0};
    const GEOSPreparedGeometry *inside = GEOSPrepare(inner), *edge_of = GEOSPrepare(boundary);
    /* discs from both ends may overlap: then the middle line runs between two residues */
    GEOSGeometry *grown = GEOSBuffer(narrow, 0.6 * d, 8);
    const GEOSPreparedGeometry *close = GEOSPrepare(grown);
    edges_read(&g, diagram, inside);
    places_number(&g, edge_of, d / 2);
    prune(&g);
    GEOSGeometry *lines = lines_left(&g, close);
    GEOSPreparedGeom_destroy(inside);
    GEOSPreparedGeom_destroy(edge_of);
    GEOSPreparedGeom_destroy(close);
    GEOSGeom_destroy(grown);
    GEOSGeom_destroy(inner);
    GEOSGeom_destroy(diagram);
    GEOSGeom_destroy(dense);
    GEOSGeom_destroy(walls);
    GEOSGeom_destroy(boundary);
    free(g.edges);
    free(g.wide);
    free(g.degree);
    return lines;
}

GEOSGeometry *least_lines(const GEOSGeometry *area, double d)
{
    size_t count;
    GEOSGeometry *narrow = residues_united(area, d, NULL, 0, 0, &count);
    GEOSGeometry *lines = count ? middle_lines(area, narrow, d)
                                : GEOSGeom_createEmptyCollection(GEOS_MULTILINESTRING);
    GEOSGeom_destroy(narrow);
    return lines;
}

GEOSGeometry *least_lines_of_both(const GEOSGeometry *area, double bit, double wide)
{
    GEOSGeometry *lines = least_lines(area, wide);
    GEOSGeometry *near = GEOSBuffer(lines, NEAR_MM, 4);
    return second_combined(lines, second_combined(least_lines(area, bit), near, '-'), '+');
}
