/* Small systems, lines and parabolas by least squares, and what a tree of boxes visits. */
#include <geom/geom.h>

#include "../tests.h"

#include <math.h>
#include <stdlib.h>

/* By hand: x = 1, y = -2, z = 3; the first pivot is 0. */
START_TEST(equations_are_solved_with_pivots)
{
    double m[NW_UNKNOWNS][NW_UNKNOWNS + 1] = {{0, 1, 1, 0, 1}, {2, 0, 1, 0, 5}, {1, 1, 0, 0, -1}};
    double x[NW_UNKNOWNS];
    ck_assert(nw_equations_solve(3, m, x));
    ck_assert_double_eq_tol(x[0], 1, 1e-12);
    ck_assert_double_eq_tol(x[1], -2, 1e-12);
    ck_assert_double_eq_tol(x[2], 3, 1e-12);
    double twice[NW_UNKNOWNS][NW_UNKNOWNS + 1] = {{1, 2, 0, 0, 1}, {2, 4, 0, 0, 2}};
    ck_assert(!nw_equations_solve(2, twice, x));
}
END_TEST

START_TEST(a_parabola_comes_back)
{
    nw_parabola_sum sum = {{0}, {0}};
    double c[3];
    nw_parabola_add(&sum, 1, 0);
    nw_parabola_add(&sum, 1, 2);
    ck_assert(!nw_parabola_fit(&sum, 1e-9, c)); /* one place along x tells none */
    sum = (nw_parabola_sum){{0}, {0}};
    for (int i = -3; i <= 4; i++)
        nw_parabola_add(&sum, i, 2 - 0.5 * i + 0.25 * i * i);
    ck_assert(nw_parabola_fit(&sum, 1e-9, c));
    ck_assert_double_eq_tol(c[0], 2, 1e-9);
    ck_assert_double_eq_tol(c[1], -0.5, 1e-9);
    ck_assert_double_eq_tol(c[2], 0.25, 1e-9);
}
END_TEST

/* Upright too, where a line of y by x would fail; the way runs as the places do. */
START_TEST(a_line_runs_as_its_places_do)
{
    nw_line_sum sum = {0};
    nw_point middle, way;
    for (int i = 5; i >= 0; i--)
        nw_line_add(&sum, (nw_point){3, 2.0 * i});
    nw_line_fit(&sum, &middle, &way);
    ck_assert_double_eq_tol(middle.x, 3, 1e-12);
    ck_assert_double_eq_tol(middle.y, 5, 1e-12);
    ck_assert_double_eq_tol(way.x, 0, 1e-12);
    ck_assert_double_eq_tol(way.y, -1, 1e-12);
}
END_TEST

#define BOXES 500

typedef struct {
    nw_point at;
    bool seen[BOXES];
} visit;

static bool holds(void *context, nw_box box)
{
    nw_point p = ((visit *)context)->at;
    return p.x >= box.min.x && p.x <= box.max.x && p.y >= box.min.y && p.y <= box.max.y;
}

static void see(void *context, uint32_t thing)
{
    ((visit *)context)->seen[thing] = true;
}

/* Boxes about places on a field of 100 by 100, by up to a number of tenths, and their tree. */
static nw_tree boxes_scatter(unsigned seed, int count, int tenths, nw_box *boxes)
{
    nw_tree tree;
    srand(seed);
    for (int i = 0; i < count; i++) {
        nw_point p = {rand() % 1000 / 10.0, rand() % 1000 / 10.0};
        boxes[i] = nw_box_of(p, p, rand() % tenths / 10.0);
    }
    ck_assert_int_eq(nw_tree_make(boxes, (size_t)count, &tree, NULL), NW_OK);
    return tree;
}

/* Against looking at every box. */
START_TEST(a_visit_misses_no_box)
{
    nw_box boxes[BOXES];
    nw_tree tree = boxes_scatter(1, BOXES, 100, boxes);
    for (int k = 0; k < 200; k++) {
        visit v = {.at = {rand() % 1000 / 10.0, rand() % 1000 / 10.0}};
        size_t found = 0;
        nw_tree_visit(&tree, holds, see, &v);
        for (int i = 0; i < BOXES; i++) {
            bool inside = v.at.x >= boxes[i].min.x && v.at.x <= boxes[i].max.x &&
                          v.at.y >= boxes[i].min.y && v.at.y <= boxes[i].max.y;
            ck_assert(!inside || v.seen[i]);
            found += v.seen[i];
        }
        ck_assert_uint_lt(found, BOXES / 4);
    }
    nw_tree_free(&tree);
}
END_TEST

/* A walk through a disc: the things that its box meets in the same order, without those in the
 * corners; a round outline just outside of it costs nothing. */
START_TEST(a_walk_through_a_disc_leaves_out_the_corners)
{
    enum { AROUND = 2000 };
    nw_box boxes[AROUND];
    nw_tree tree;
    for (int i = 0; i < AROUND; i++) {
        double angle = 360 * NW_DEGREE * i / AROUND, r = i % 2 ? 50 : 30;
        boxes[i] = nw_box_round((nw_point){r * cos(angle), r * sin(angle)}, 0.1);
    }
    ck_assert_int_eq(nw_tree_make(boxes, AROUND, &tree, NULL), NW_OK);
    nw_walk whole, part;
    nw_point near = {0, 30}, centre = {0, 0};
    uint32_t one, other;
    size_t in_box = 0, in_disc = 0;
    nw_walk_start(&whole, &tree, nw_box_round(centre, 40), near);
    nw_walk_start(&part, &tree, nw_box_round(centre, 90), near);
    nw_walk_disc(&part, centre, 40);
    while (nw_walk_next(&whole, &one)) {
        in_box++;
        if (one % 2)
            continue;
        ck_assert(nw_walk_next(&part, &other));
        ck_assert_uint_eq(one, other);
        in_disc++;
    }
    ck_assert(!nw_walk_next(&part, &other));
    ck_assert_uint_eq(in_disc, AROUND / 2);
    ck_assert_uint_gt(in_box, AROUND / 2 + AROUND / 20);
    nw_tree_free(&tree);
}
END_TEST

/* Of a long row in one mark and a few things in others a walk that passes over that mark finds the
 * few, in the order of the plain walk, and next to nothing of the row. */
START_TEST(a_walk_passes_over_what_has_its_mark)
{
    enum { ROW = 3000, FEW = 3, ALL = ROW + FEW };
    nw_box boxes[ALL];
    uint32_t marks[ALL], plain, found;
    nw_tree tree;
    for (int i = 0; i < ALL; i++) {
        bool few = i >= ROW;
        nw_point at = {few ? 400 * (i - ROW + 1) : 0.5 * i, few ? 3 : sin(0.1 * i)};
        boxes[i] = nw_box_round(at, 0.2);
        marks[i] = few ? 5 + (uint32_t)i : i % 2 ? NW_MARK_NONE : 7;
    }
    ck_assert_int_eq(nw_tree_make(boxes, ALL, &tree, NULL), NW_OK);
    uint32_t *of_nodes = nw_tree_marks(&tree, marks, ALL);
    nw_point near = {700, 0};
    nw_walk whole, part;
    nw_walk_start(&whole, &tree, nw_box_round(near, 2000), near);
    nw_walk_start(&part, &tree, nw_box_round(near, 2000), near);
    nw_walk_pass(&part, of_nodes, 7);
    size_t visited = 0, others = 0;
    while (nw_walk_next(&part, &found)) {
        visited++;
        if (found < ROW)
            continue;
        while (nw_walk_next(&whole, &plain) && plain < ROW)
            continue;
        ck_assert_uint_eq(plain, found);
        others++;
    }
    ck_assert_uint_eq(others, FEW);
    ck_assert_uint_le(visited, FEW * NW_TREE_WAYS);
    free(of_nodes);
    nw_tree_free(&tree);
}
END_TEST

/* A list of what is near a place answers for all discs in its reach as a walk does; one that does
 * not hold them all says so. */
START_TEST(a_list_of_what_is_near_tells_what_a_walk_does)
{
    enum { SMALL = 400 };
    nw_box boxes[SMALL];
    nw_tree tree = boxes_scatter(2, SMALL, 20, boxes);
    nw_near near;
    ck_assert(!nw_near_find(&near, &tree, (nw_point){50, 50}, 40, 64));
    ck_assert(nw_near_find(&near, &tree, (nw_point){50, 50}, 10, 64));
    ck_assert(!nw_near_find(&near, &tree, (nw_point){50, 50}, 10, near.count - 1));
    for (int k = 0; k < 200; k++) {
        nw_point middle = {rand() % 1000 / 10.0, rand() % 1000 / 10.0};
        ck_assert(nw_near_find(&near, &tree, middle, 10, 64));
        nw_point centre = nw_plus(middle, (nw_point){rand() % 7 - 3.0, rand() % 7 - 3.0}, 1);
        uint32_t things[NW_NEAR_NODES * NW_TREE_WAYS], thing;
        int count = nw_near_to(&near, centre, 5, things), found = 0;
        bool listed[SMALL] = {false};
        for (int i = 0; i < count; i++)
            listed[things[i]] = true;
        nw_walk walk;
        nw_walk_start(&walk, &tree, nw_box_round(centre, 5), centre);
        nw_walk_disc(&walk, centre, 5);
        for (; nw_walk_next(&walk, &thing); found++)
            ck_assert(listed[thing]);
        ck_assert_int_eq(count, found);
    }
    nw_tree_free(&tree);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {equations_are_solved_with_pivots,
                                  a_parabola_comes_back,
                                  a_line_runs_as_its_places_do,
                                  a_visit_misses_no_box,
                                  a_walk_through_a_disc_leaves_out_the_corners,
                                  a_walk_passes_over_what_has_its_mark,
                                  a_list_of_what_is_near_tells_what_a_walk_does};
    return TESTS_RUN("geom_solvers", tests);
}
