/* Tabs: how many, how far apart, and where they must not be; outlines broken for them. */
#include <change/change.h>
#include "fit_shapes.h"
#include "../tests.h"

static nw_region region_of(shape *s)
{
    return (nw_region){s->points, s->starts, s->pieces, s->rings};
}

static nw_tabs tabs_of(shape *s, nw_cut cut, size_t count)
{
    nw_region region = region_of(s);
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    nw_fit fit;
    nw_tabs tabs;
    ck_assert_int_eq(nw_fit_run(&region, &options, &fit, NULL), NW_OK);
    ck_assert_int_eq(nw_tabs_find(&region, &fit, count, 4, &tabs, NULL), NW_OK);
    nw_fit_free(&fit);
    return tabs;
}

/* A square of 60: one tab in each quarter of the outline, none at a corner, all pointing out. */
START_TEST(tabs_spread_round_a_square)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 60, 60);
    nw_tabs tabs = tabs_of(s, NW_CUT_OUTSIDE, 4);
    ck_assert_uint_eq(tabs.count, 4);
    for (size_t i = 0; i < 4; i++) {
        nw_point p = tabs.tabs[i].at, next = tabs.tabs[(i + 1) % 4].at;
        double to_x = fmin(p.x, 60 - p.x), to_y = fmin(p.y, 60 - p.y);
        ck_assert_double_le(fmin(to_x, to_y), 1e-6);
        ck_assert_double_ge(fmax(to_x, to_y), 3.5);
        ck_assert_double_ge(fabs(p.x - next.x) + fabs(p.y - next.y), 55);
        nw_point out = {p.x + tabs.tabs[i].out.x, p.y + tabs.tabs[i].out.y};
        ck_assert(out.x < 0 || out.x > 60 || out.y < 0 || out.y > 60);
    }
    nw_tabs_free(&tabs);
    free(s);
}
END_TEST

/* Of an L only what a flat block reaches: not the two edges of its inner corner. */
START_TEST(tabs_stay_on_the_hull)
{
    shape *s = shape_new();
    SHAPE_RING(s, 0, 0, 80, 0, 80, 30, 30, 30, 30, 80, 0, 80);
    nw_tabs tabs = tabs_of(s, NW_CUT_OUTSIDE, 6);
    ck_assert_uint_ge(tabs.count, 4);
    for (size_t i = 0; i < tabs.count; i++) {
        nw_point p = tabs.tabs[i].at;
        ck_assert(!(p.x > 30 - 1e-6 && p.x < 79 && p.y > 29));
        ck_assert(!(p.y > 30 - 1e-6 && p.y < 79 && p.x > 29));
    }
    nw_tabs_free(&tabs);
    /* As an opening, all of its straight stretches will do. */
    tabs = tabs_of(s, NW_CUT_INSIDE, 6);
    ck_assert_uint_eq(tabs.count, 6);
    ck_assert_uint_eq(tabs.missing, 0);
    nw_tabs_free(&tabs);
    free(s);
}
END_TEST

/* A box at the end of an arm that is too thin: what cannot stand along the arm stands round the
 * box, but not side by side. */
START_TEST(tabs_do_not_crowd)
{
    shape *s = shape_new();
    SHAPE_RING(s, 0, 0, 200, 0, 200, 40, 160, 40, 160, 3, 0, 3);
    nw_tabs tabs = tabs_of(s, NW_CUT_OUTSIDE, 4);
    ck_assert_uint_eq(tabs.count, 4);
    for (size_t i = 0; i < tabs.count; i++)
        for (size_t k = 0; k < i; k++)
            ck_assert_double_ge(nw_distance(tabs.tabs[i].at, tabs.tabs[k].at), 20);
    nw_tabs_free(&tabs);
    free(s);
}
END_TEST

/* Of 1 mm², which the bit turns into dust. */
START_TEST(crumbs_want_none)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 60, 60);
    shape_box(s, 80, 0, 81, 1);
    nw_tabs tabs = tabs_of(s, NW_CUT_OUTSIDE, 0);
    ck_assert_uint_ge(tabs.count, 2);
    ck_assert_uint_eq(tabs.missing + tabs.bare, 0);
    for (size_t i = 0; i < tabs.count; i++)
        ck_assert_uint_eq(tabs.tabs[i].ring, 0);
    nw_tabs_free(&tabs);
    free(s);
}
END_TEST

START_TEST(small_and_large_parts_get_few_and_more)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 30, 30);
    shape_box(s, 100, 0, 500, 300);
    nw_tabs tabs = tabs_of(s, NW_CUT_OUTSIDE, 0);
    size_t small = 0;
    for (size_t i = 0; i < tabs.count; i++)
        small += tabs.tabs[i].ring == 0;
    ck_assert_uint_eq(small, 2);
    ck_assert_uint_eq(tabs.count, 2 + 8); /* 1400 mm of perimeter, 120 000 mm2 */
    nw_tabs_free(&tabs);
    free(s);
}
END_TEST

/* The rule of thumb at its borders: one tab for each 250 mm round and for each 15 000 mm², at least
 * two, from 150 mm round on three, at most eight; of less than 100 mm² one. Of waste what is
 * lighter than 1500 mm², or than 100 where somebody asks, falls out. */
START_TEST(tabs_are_counted_by_way_and_weight)
{
    static const struct {
        nw_cut cut;
        size_t asked;
        double wide, high;
        size_t wanted;
    } cases[] = {
        {NW_CUT_OUTSIDE, 0, 9.9, 10, 1},   {NW_CUT_OUTSIDE, 0, 10.1, 10, 2},
        {NW_CUT_OUTSIDE, 0, 40.5, 34, 2},                                    /* 149 mm */
        {NW_CUT_OUTSIDE, 0, 41.5, 34, 3},  {NW_CUT_OUTSIDE, 0, 354, 20, 3},  /* 748 mm */
        {NW_CUT_OUTSIDE, 0, 356, 20, 4},   {NW_CUT_OUTSIDE, 0, 277, 270, 5}, /* 74 790 mm² */
        {NW_CUT_OUTSIDE, 0, 279, 270, 6},  {NW_CUT_OUTSIDE, 0, 600, 400, 8},
        {NW_CUT_INSIDE, 0, 45, 45, 0}, /* a slug of 1494 mm² */
        {NW_CUT_INSIDE, 0, 45.2, 45.2, 3}, {NW_CUT_INSIDE, 3, 16.3, 16.3, 0}, /* of 99 mm² */
        {NW_CUT_INSIDE, 3, 16.4, 16.4, 3},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        shape *s = shape_new();
        shape_box(s, 0, 0, cases[i].wide, cases[i].high);
        nw_tabs tabs = tabs_of(s, cases[i].cut, cases[i].asked);
        ck_assert_msg(tabs.count + tabs.missing == cases[i].wanted, "%g x %g: %zu and %zu",
                      cases[i].wide, cases[i].high, tabs.count, tabs.missing);
        nw_tabs_free(&tabs);
        free(s);
    }
}
END_TEST

/* One and a half bits wide if nobody says; at most 100 mm, by hand too; by hand at most its width
 * and one and a half bits from where somebody wants it. */
START_TEST(tabs_are_wide_and_near_enough)
{
    static const double widths[] = {0, 100, 100.2};
    shape *s = shape_new();
    shape_box(s, 0, 0, 300, 300);
    nw_region region = region_of(s);
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_OUTSIDE;
    nw_fit fit;
    ck_assert_int_eq(nw_fit_run(&region, &options, &fit, NULL), NW_OK);
    double bit = options.bit, far = 4 + 1.5 * bit;
    nw_places places = {{{150, -far + 0.1}, {150, 300 + far + 0.1}}, 2};
    for (size_t i = 0; i < 3; i++) {
        nw_status wanted = i < 2 ? NW_OK : NW_BAD_REQUEST;
        nw_tabs tabs;
        ck_assert_int_eq(nw_tabs_find(&region, &fit, 0, widths[i], &tabs, NULL), wanted);
        ck_assert_double_eq(tabs.width, i ? widths[i] : 1.5 * bit);
        nw_tabs_free(&tabs);
        ck_assert_int_eq(nw_tabs_at(&region, &fit, &places, widths[i], &tabs, NULL), wanted);
        nw_tabs_free(&tabs);
    }
    nw_tabs tabs;
    ck_assert_int_eq(nw_tabs_at(&region, &fit, &places, 4, &tabs, NULL), NW_OK);
    ck_assert_uint_eq(tabs.count, 1);
    ck_assert_uint_eq(tabs.missing, 1);
    ck_assert_double_eq_tol(tabs.tabs[0].at.y, 0, 1e-9);
    nw_tabs_free(&tabs);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

START_TEST(what_is_tight_gets_second_best)
{
    shape *s = shape_new();
    double circle[2 * 64];
    for (int i = 0; i < 64; i++) {
        circle[2 * i] = 4 * cos(i * PI / 32);
        circle[2 * i + 1] = 4 * sin(i * PI / 32);
    }
    shape_ring(s, circle, 64);
    nw_tabs tabs = tabs_of(s, NW_CUT_OUTSIDE, 3);
    ck_assert_uint_eq(tabs.count + tabs.missing, 3);
    ck_assert_uint_ge(tabs.count, 1); /* what has none flies */
    ck_assert_uint_eq(tabs.bare, 0);
    for (size_t i = 0; i < tabs.count; i++)
        ck_assert_uint_eq(tabs.tabs[i].reasons & 1 << NW_TAB_BENT, 1 << NW_TAB_BENT);
    nw_tabs_free(&tabs);
    free(s);
}
END_TEST

/* A hair that goes on along an edge is on the hull, and a disc on the edge finds no wall in its
 * way: it lies beyond the hair. */
START_TEST(a_hair_carries_none)
{
    shape *s = shape_new();
    SHAPE_RING(s, 0, 0, 80, 0, 80, 0.02, 40, 0.02, 40, 40, 0, 40);
    nw_tabs tabs = tabs_of(s, NW_CUT_OUTSIDE, 6);
    ck_assert_uint_ge(tabs.count, 3);
    for (size_t i = 0; i < tabs.count; i++)
        ck_assert_double_le(tabs.tabs[i].at.x, 40);
    nw_tabs_free(&tabs);
    free(s);
}
END_TEST

/* Where the sheet ends a bit beyond the part there is nothing for a tab to hold to; along an
 * opening near the sheet's edge the stock is thin, so few stand there, and those are said to be
 * second best.
 */
START_TEST(the_edge_of_the_sheet_carries_little)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 60, 60);
    nw_region region = region_of(s);
    for (int cut = NW_CUT_INSIDE; cut <= NW_CUT_OUTSIDE; cut++) {
        nw_fit_options options = nw_fit_defaults();
        options.cut = (nw_cut)cut;
        options.has_stock = true;
        options.stock = (nw_box){{-3.2, -50}, {110, 110}};
        nw_fit fit;
        nw_tabs tabs;
        ck_assert_int_eq(nw_fit_run(&region, &options, &fit, NULL), NW_OK);
        ck_assert_int_eq(nw_tabs_find(&region, &fit, 8, 4, &tabs, NULL), NW_OK);
        ck_assert_uint_ge(tabs.count, 5);
        size_t at_edge = 0;
        for (size_t i = 0; i < tabs.count; i++) {
            bool edge = tabs.tabs[i].at.x < 1;
            at_edge += edge;
            ck_assert_uint_eq(tabs.tabs[i].reasons & 1 << NW_TAB_THIN, edge ? 1 << NW_TAB_THIN : 0);
        }
        ck_assert_uint_le(at_edge, cut == NW_CUT_INSIDE ? 1 : 0);
        nw_tabs_free(&tabs);
        nw_fit_free(&fit);
    }
    free(s);
}
END_TEST

/* What falls out of an opening needs a tab only if it is heavy, and none if it is chips. */
START_TEST(light_slugs_fall_out)
{
    static const struct {
        double wide, high;
        size_t automatic, of_three, light;
    } cases[] = {
        {30, 30, 0, 3, 1},  /* a slug of 23.65 mm a side: 559 mm2 */
        {60, 60, 3, 3, 0},  /* 53.65: 2878 mm2, 215 mm round */
        {100, 6, 0, 0, 0},  /* two passes of the bit meet: nothing falls out */
        {100, 10, 0, 3, 1}, /* 93.65 x 3.65 */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        shape *s = shape_new();
        shape_box(s, 0, 0, cases[i].wide, cases[i].high);
        nw_tabs tabs = tabs_of(s, NW_CUT_INSIDE, 0);
        ck_assert_uint_eq(tabs.count, cases[i].automatic);
        ck_assert_uint_eq(tabs.light, cases[i].light);
        ck_assert_uint_eq(tabs.missing, 0);
        nw_tabs_free(&tabs);
        tabs = tabs_of(s, NW_CUT_INSIDE, 3);
        ck_assert_uint_eq(tabs.count, cases[i].of_three);
        nw_tabs_free(&tabs);
        free(s);
    }
}
END_TEST

/* A frame cut outside has a part to hold and a slug in its window; inside, an island. */
START_TEST(parts_windows_and_islands_are_held)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 200, 200);
    shape_box_hole(s, 50, 50, 150, 150);
    for (int outside = 0; outside < 2; outside++) {
        nw_tabs tabs = tabs_of(s, outside ? NW_CUT_OUTSIDE : NW_CUT_INSIDE, 0);
        size_t on_hole = 0;
        for (size_t i = 0; i < tabs.count; i++) {
            nw_point p = tabs.tabs[i].at, q = {p.x + tabs.tabs[i].out.x, p.y + tabs.tabs[i].out.y};
            bool in_hole = q.x > 50 && q.x < 150 && q.y > 50 && q.y < 150;
            bool in_frame = !in_hole && q.x > 0 && q.x < 200 && q.y > 0 && q.y < 200;
            ck_assert(outside ? !in_frame : in_frame);
            on_hole += p.x > 49 && p.x < 151 && p.y > 49 && p.y < 151;
        }
        ck_assert_uint_eq(tabs.missing, 0);
        ck_assert_uint_ge(on_hole, 3);
        ck_assert_uint_ge(tabs.count - on_hole, outside ? 4 : 1);
        nw_tabs_free(&tabs);
    }
    free(s);
}
END_TEST

/* The gaps are taken off, to their exact length, and the rest stays. */
START_TEST(outlines_break_at_the_places)
{
    nw_drawing drawing = {0}, broken;
    nw_path path = {.start = {0, 0}, .closed = true};
    ck_assert(nw_path_line(&path, (nw_point){40, 0}));
    ck_assert(nw_path_arc(&path, (nw_point){40, 10}, (nw_point){40, 20}, false));
    ck_assert(nw_path_line(&path, (nw_point){0, 20}));
    ck_assert(nw_path_line(&path, (nw_point){0, 0}));
    ck_assert(nw_drawing_add(&drawing, &path));
    nw_point places[2] = {{20, 0}, {0, 1}};
    ck_assert_int_eq(nw_drawing_break(&drawing, places, 2, 6, &broken, NULL), NW_OK);
    ck_assert_uint_eq(broken.count, 2);
    ck_assert(!broken.paths[0].closed && !broken.paths[1].closed);
    const nw_path *first = &broken.paths[0], *second = &broken.paths[1];
    /* From the gap round the origin to the one at 20, and from there all the way round. */
    ck_assert_double_eq_tol(second->start.x, 2, 1e-9);
    ck_assert_double_eq_tol(second->steps[second->count - 1].to.x, 17, 1e-9);
    ck_assert_double_eq_tol(first->start.x, 23, 1e-9);
    ck_assert_double_eq_tol(first->steps[first->count - 1].to.y, 4, 1e-9);
    ck_assert_int_eq(first->steps[1].kind, NW_ARC);
    nw_drawing_free(&broken);
    ck_assert_int_eq(nw_drawing_break(&drawing, places, 0, 6, &broken, NULL), NW_OK);
    ck_assert_uint_eq(broken.count, 1);
    ck_assert(broken.paths[0].closed);
    nw_drawing_free(&broken);
    nw_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {tabs_spread_round_a_square,
                                  tabs_do_not_crowd,
                                  crumbs_want_none,
                                  tabs_stay_on_the_hull,
                                  small_and_large_parts_get_few_and_more,
                                  tabs_are_counted_by_way_and_weight,
                                  tabs_are_wide_and_near_enough,
                                  what_is_tight_gets_second_best,
                                  a_hair_carries_none,
                                  the_edge_of_the_sheet_carries_little,
                                  light_slugs_fall_out,
                                  parts_windows_and_islands_are_held,
                                  outlines_break_at_the_places};
    return TESTS_RUN("change_tabs", tests);
}
