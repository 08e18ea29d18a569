/* glyphs: outlines of type as regions, see glyphs.h. The curves are cut here, not by the library,
 * so that its flattening is no part of what these tests take for granted. */
#include "glyphs.h"
#include "second.h"
#include "shapes.h"

#include FT_OUTLINE_H
#include <math.h>
#include <stdlib.h>

typedef struct {
    nw_point *points;
    size_t count, capacity;
} contour;

typedef struct {
    contour contours[200];
    size_t count;
    double flatness;
} outline;

static nw_point units(const FT_Vector *v)
{
    return (nw_point){(double)v->x / 64, (double)v->y / 64};
}

static int add(outline *o, nw_point p)
{
    contour *c = &o->contours[o->count - 1];
    if (c->count > 0 &&
        hypot(c->points[c->count - 1].x - p.x, c->points[c->count - 1].y - p.y) < 1e-9)
        return 0;
    if (!nw_grow((void **)&c->points, &c->capacity, c->count + 1, sizeof *c->points))
        return 1;
    c->points[c->count++] = p;
    return 0;
}

static nw_point last(const outline *o)
{
    const contour *c = &o->contours[o->count - 1];
    return c->points[c->count - 1];
}

static int begin(const FT_Vector *to, void *context)
{
    outline *o = context;
    if (o->count == sizeof o->contours / sizeof *o->contours)
        return 1;
    o->count++;
    return add(o, units(to));
}

static int line(const FT_Vector *to, void *context)
{
    return add(context, units(to));
}

/* n chords of a cubic leave it by at most max |second difference| * 6 / (8 n^2). */
static int cubic(const FT_Vector *a, const FT_Vector *b, const FT_Vector *to, void *context)
{
    outline *o = context;
    nw_point p = last(o), q = units(a), r = units(b), s = units(to);
    double bend = fmax(hypot(p.x - 2 * q.x + r.x, p.y - 2 * q.y + r.y),
                       hypot(q.x - 2 * r.x + s.x, q.y - 2 * r.y + s.y));
    int n = (int)ceil(sqrt(bend * 0.75 / o->flatness)) + 1;
    for (int i = 1; i <= n; i++) {
        double t = (double)i / n, u = 1 - t;
        double w[] = {u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t};
        nw_point at = {w[0] * p.x + w[1] * q.x + w[2] * r.x + w[3] * s.x,
                       w[0] * p.y + w[1] * q.y + w[2] * r.y + w[3] * s.y};
        if (add(o, i == n ? s : at))
            return 1;
    }
    return 0;
}

/* n chords of a parabola leave it by |second difference| / (4 n^2). */
static int quadratic(const FT_Vector *a, const FT_Vector *to, void *context)
{
    outline *o = context;
    nw_point p = last(o), q = units(a), s = units(to);
    double bend = hypot(p.x - 2 * q.x + s.x, p.y - 2 * q.y + s.y);
    int n = (int)ceil(sqrt(bend / 4 / o->flatness)) + 1;
    for (int i = 1; i <= n; i++) {
        double t = (double)i / n, u = 1 - t;
        nw_point at = {u * u * p.x + 2 * u * t * q.x + t * t * s.x,
                       u * u * p.y + 2 * u * t * q.y + t * t * s.y};
        if (add(o, i == n ? s : at))
            return 1;
    }
    return 0;
}

FT_Face glyph_face(FT_Library library, const char *path)
{
    FT_Face face;
    if (FT_New_Face(library, path, 0, &face))
        return NULL;
    if (FT_Set_Pixel_Sizes(face, 0, 1000)) {
        FT_Done_Face(face);
        return NULL;
    }
    return face;
}

static double area_of(const contour *c)
{
    double twice = 0;
    for (size_t i = 0, j = c->count - 1; i < c->count; j = i++)
        twice += c->points[j].x * c->points[i].y - c->points[i].x * c->points[j].y;
    return twice / 2;
}

static int by_size(const void *a, const void *b)
{
    double x = fabs(area_of(a)), y = fabs(area_of(b));
    return (x < y) - (x > y);
}

/* Contours from the largest to the smallest: those that run as the largest one does add ink, the
 * others take it away. */
static bool unite(outline *o, nw_region *region)
{
    for (size_t i = 0; i < o->count; i++) {
        contour *c = &o->contours[i];
        nw_point *p = c->points;
        while (c->count > 1 && hypot(p[c->count - 1].x - p[0].x, p[c->count - 1].y - p[0].y) < 1e-9)
            c->count--;
    }
    qsort(o->contours, o->count, sizeof *o->contours, by_size);
    GEOSGeometry *ink = NULL;
    for (size_t i = 0; i < o->count && o->contours[i].count > 2; i++) {
        nw_region one = {0};
        shape_ring(&one, o->contours[i].points, o->contours[i].count, false, 0);
        GEOSGeometry *area = second_area(&one);
        nw_region_free(&one);
        if (ink) {
            bool adds = area_of(&o->contours[0]) * area_of(&o->contours[i]) > 0;
            area = second_combined(ink, area, adds ? '+' : '-');
        }
        ink = area;
    }
    if (!ink)
        return false;
    *region = second_region(ink);
    GEOSGeom_destroy(ink);
    return region->count > 0;
}

bool glyph_region(FT_Face face, unsigned long character, double flatness, nw_region *region)
{
    *region = (nw_region){0};
    unsigned index = FT_Get_Char_Index(face, character);
    if (!index || FT_Load_Glyph(face, index, FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP))
        return false;
    outline *o = calloc(1, sizeof *o);
    FT_Outline_Funcs funcs = {begin, line, quadratic, cubic, 0, 0};
    o->flatness = flatness;
    bool good = !FT_Outline_Decompose(&face->glyph->outline, &funcs, o) && unite(o, region);
    for (size_t i = 0; i < o->count; i++)
        free(o->contours[i].points);
    free(o);
    return good;
}
