/* Triangles of ink: they fill it exactly, and no point lies within the circle of one that sees it.
 */
#include <lines/lines.h>

#include "../tests.h"

#include <math.h>
#include <stdlib.h>

#define PI 3.141592653589793

static void add_ring(nw_region_builder *b, const nw_point *points, size_t count)
{
    ck_assert(nw_region_begin_ring(b, 0));
    for (size_t i = 0; i < count; i++)
        ck_assert(nw_region_add_point(b, points[i]));
    nw_region_end_ring(b);
}

static double area_of(const nw_region *r, const nw_triangle *t)
{
    nw_point a = r->points[t->corner[0]], b = r->points[t->corner[1]], c = r->points[t->corner[2]];
    return ((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)) / 2;
}

/* Whether the far corner of the neighbour across edge k lies outside the triangle's circle, but for
 * rounding. */
static bool is_delaunay(const nw_region *r, const nw_triangulation *t, uint32_t i, int k)
{
    const nw_triangle *c = &t->items[i], *other = &t->items[c->beside[k]];
    for (int j = 0; j < 3; j++) {
        if (other->corner[j] == c->corner[0] || other->corner[j] == c->corner[1] ||
            other->corner[j] == c->corner[2])
            continue;
        nw_point d = r->points[other->corner[j]], p[3];
        double square[3];
        for (int n = 0; n < 3; n++) {
            nw_point q = r->points[c->corner[n]];
            p[n] = (nw_point){q.x - d.x, q.y - d.y};
            square[n] = p[n].x * p[n].x + p[n].y * p[n].y;
        }
        double in = square[0] * (p[1].x * p[2].y - p[1].y * p[2].x) +
                    square[1] * (p[2].x * p[0].y - p[2].y * p[0].x) +
                    square[2] * (p[0].x * p[1].y - p[0].y * p[1].x);
        return in < 0.1;
    }
    return false;
}

static void region_check(nw_region_builder *b, size_t triangles)
{
    nw_triangulation t;
    ck_assert(nw_triangulation_make(&b->region, &t));
    ck_assert_uint_eq(t.count, triangles);
    double area = 0;
    for (uint32_t i = 0; i < t.count; i++) {
        double own = area_of(&b->region, &t.items[i]);
        ck_assert_double_gt(own, 0);
        area += own;
        for (int k = 0; k < 3; k++)
            if (t.items[i].beside[k] != NO_TRIANGLE)
                ck_assert(is_delaunay(&b->region, &t, i, k));
    }
    ck_assert_double_eq_tol(area, nw_region_area(&b->region), 1e-9 * fabs(area));
    nw_triangulation_free(&t);
    nw_region_free(&b->region);
}

START_TEST(simple_shapes_are_filled)
{
    nw_region_builder square = {0}, frame = {0}, touching = {0};
    nw_point outer[] = {{0, 0}, {9, 0}, {9, 9}, {0, 9}}, inner[] = {{2, 2}, {2, 7}, {7, 7}, {7, 2}};
    nw_point hole[] = {{0, 0}, {3, 6}, {6, 3}};
    add_ring(&square, outer, 4);
    region_check(&square, 2);
    add_ring(&frame, outer, 4);
    add_ring(&frame, inner, 4);
    region_check(&frame, 8); /* points - 2 + 2 holes */
    add_ring(&touching, outer, 4);
    add_ring(&touching, hole, 3);
    region_check(&touching, 5); /* one point fewer */
}
END_TEST

/* Combs whose teeth stand closer than their points do, so that edges have to be won. */
START_TEST(edges_are_won)
{
    for (size_t teeth = 2; teeth < 40; teeth++) {
        nw_region_builder comb = {0};
        nw_point p[2 * 40 + 2];
        p[0] = (nw_point){0, -5};
        p[1] = (nw_point){(double)(2 * teeth - 1) * 0.01, -5.1};
        for (size_t i = 0; i < 2 * teeth; i++) {
            p[2 + i] = (nw_point){(double)(2 * teeth - 1 - i) * 0.01,
                                  i % 2 ? 0 : 10 + fmod((double)i * 0.377, 1)};
        }
        add_ring(&comb, p, 2 * teeth + 2);
        region_check(&comb, 2 * teeth);
    }
}
END_TEST

START_TEST(stars_with_holes_are_filled)
{
    unsigned seed = 1;
    for (size_t n = 5; n < 400; n += 13) {
        nw_region_builder star = {0};
        nw_point *outer = nw_alloc(n, sizeof *outer), *inner = nw_alloc(n, sizeof *inner);
        for (size_t i = 0; i < n; i++) {
            seed = seed * 1103515245u + 12345u;
            double radius = 10 + (double)(seed >> 16 & 255) / 32,
                   angle = 2 * PI * (double)i / (double)n;
            outer[i] = (nw_point){radius * cos(angle), radius * sin(angle)};
            inner[n - 1 - i] = (nw_point){radius / 2 * cos(angle), radius / 2 * sin(angle)};
        }
        add_ring(&star, outer, n);
        add_ring(&star, inner, n);
        region_check(&star, 2 * n);
        free(outer);
        free(inner);
    }
}
END_TEST

START_TEST(nothing_has_no_triangles)
{
    nw_region none = {0};
    nw_triangulation t;
    ck_assert(nw_triangulation_make(&none, &t));
    ck_assert_uint_eq(t.count, 0);
    nw_triangulation_free(&t);
    nw_triangulation_free(NULL);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {simple_shapes_are_filled, edges_are_won,
                                  stars_with_holes_are_filled, nothing_has_no_triangles};
    return TESTS_RUN("lines_triangles", tests);
}
