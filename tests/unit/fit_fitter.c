/* One bit after another on the same outlines: the answers are those of a fit from scratch. */
#include "fit_shapes.h"

#include "../tests.h"

#include <art/job.h>
#include <choose/choose.h>
#include <choose/judge.h>

#include <string.h>

#define SAME 1e-9

/* Rings, slots of many widths, a comb and a wedge: something opens or shuts at every diameter. */
static shape *workshop(void)
{
    shape *s = shape_new();
    shape_circle(s, 30, 30, 25, 300, 1);
    shape_circle(s, 32, 31, 18, 200, -1);
    shape_circle(s, 31, 30, 11, 150, 1);
    for (int k = 0; k < 12; k++) {
        double width = 0.4 + 0.7 * k;
        shape_box(s, 70 + 14 * k, 0, 70 + 14 * k + width, 40);
    }
    SHAPE_RING(s, 70, 60, 230, 55, 230, 65);
    shape_box(s, 0, 70, 60, 90);
    shape_box_hole(s, 5, 72, 50, 75);
    shape_box_hole(s, 5, 76.5, 50, 88);
    shape_place(s, (placing){1, 0.2, 0, 0, false});
    return s;
}

static void assert_near_spots(const nw_fit *a, const nw_fit *b)
{
    ck_assert_uint_eq(a->spot_count, b->spot_count);
    for (size_t i = 0; i < a->spot_count; i++) {
        ck_assert_int_eq(a->spots[i].side, b->spots[i].side);
        ck_assert_int_eq(a->spots[i].form, b->spots[i].form);
        ck_assert_double_eq_tol(a->spots[i].at.x, b->spots[i].at.x, SAME);
        ck_assert_double_eq_tol(a->spots[i].at.y, b->spots[i].at.y, SAME);
        ck_assert_double_eq_tol(a->spots[i].width, b->spots[i].width, SAME);
        ck_assert_double_eq_tol(a->spots[i].area, b->spots[i].area, SAME);
        ck_assert_double_eq_tol(a->spots[i].widen, b->spots[i].widen, SAME);
    }
    ck_assert_uint_eq(a->lift_count, b->lift_count);
    ck_assert_uint_eq(a->corners.count, b->corners.count);
    ck_assert_double_eq_tol(a->area_unreached, b->area_unreached, 1e-7);
}

static void assert_the_very_same(const nw_fit *a, const nw_fit *b)
{
    ck_assert_uint_eq(a->spot_count, b->spot_count);
    for (size_t i = 0; i < a->spot_count; i++) {
        ck_assert(!memcmp(&a->spots[i].at, &b->spots[i].at, sizeof(nw_point)));
        ck_assert(a->spots[i].width == b->spots[i].width && a->spots[i].area == b->spots[i].area);
    }
    ck_assert(a->area_unreached == b->area_unreached && a->area_cut == b->area_cut);
}

static void compare(nw_fitter *fitter, const nw_region *region, const nw_fit_options *options)
{
    nw_fit scratch, quick, plain;
    nw_error error = {0};
    ck_assert(nw_fit_run(region, options, &scratch, &error) == NW_OK);
    ck_assert(nw_fitter_run(fitter, options, true, &quick, &error) == NW_OK);
    ck_assert(nw_fitter_run(fitter, options, false, &plain, &error) == NW_OK);
    assert_near_spots(&quick, &scratch);
    assert_the_very_same(&plain, &scratch);
    nw_fit_free(&scratch);
    nw_fit_free(&quick);
    nw_fit_free(&plain);
}

/* Up, down and to and fro, with the least neck along and on its own, and tips of two depths, for
 * every kind of cut. */
static void fits_of_cut(nw_cut cut)
{
    shape *s = workshop();
    nw_region region = shape_region(s);
    nw_fit_options options = nw_fit_defaults();
    nw_error error = {0};
    nw_fitter *fitter;
    options.cut = cut;
    ck_assert(nw_fitter_make(&region, &options, &fitter, &error) == NW_OK);
    for (int k = 0; k < 40; k++) {
        options.bit = 0.5 + 0.25 * (k * 17 % 40);
        options.neck = k / 6 % 2 ? 0 : 2.5;
        options.blunt = k % 4 < 2 ? 0 : 0.2;
        compare(fitter, &region, &options);
        if (k == 20)
            for (double d = 0.5; d < 30; d *= 1.7)
                ck_assert(nw_fitter_learn(fitter, d, &error) == NW_OK);
    }
    nw_fitter_free(fitter);
    free(s);
}

START_TEST(a_quick_fit_says_what_a_fit_from_scratch_says)
{
    fits_of_cut(NW_CUT_INSIDE);
    fits_of_cut(NW_CUT_OUTSIDE);
    fits_of_cut(NW_CUT_POCKET);
}
END_TEST

/* Asked only whether it fits, a judge answers as one that is asked for more, and of some sizes from
 * the narrowest pinch alone, so that nothing else has rolled. */
START_TEST(a_short_answer_is_that_of_a_long_one)
{
    shape *s = workshop();
    nw_region region = shape_region(s);
    nw_fit_options options = nw_fit_defaults();
    nw_borders borders;
    nw_error error = {0};
    ck_assert(nw_borders_make(&region, &options, &borders, &error) == NW_OK);
    nw_trial start = {options.bit, options.bit, 1};
    size_t fits = 0, soon = 0;
    for (double bit = options.bit * 0.9; bit > 0.05; bit *= 0.9) {
        nw_judgement first, full, brief;
        nw_trial trial = {bit, bit, 1};
        nw_judge judge = nw_judge_on(&borders, &options);
        ck_assert(nw_judge_start(&judge, start, &first, &error) == NW_OK);
        ck_assert(!first.fits);
        ck_assert(nw_judge_ask(&judge, trial, false, &brief, &error) == NW_OK);
        soon += !brief.fits && !judge.sides[NW_GAP].last && !judge.sides[NW_NECK].last;
        ck_assert(nw_judge_start(&judge, start, &first, &error) == NW_OK);
        ck_assert(nw_judge_ask(&judge, trial, true, &full, &error) == NW_OK);
        ck_assert_msg(brief.fits == full.fits, "%g", bit);
        fits += full.fits;
        nw_judge_free(&judge);
    }
    ck_assert_uint_gt(fits, 0);
    ck_assert_uint_gt(soon, 0);
    nw_borders_free(&borders);
    free(s);
}
END_TEST

/* Up to the share that the bit leaves as many spots as the whole fit has, short of it none; where
 * there are more gaps than asked for no necks. */
START_TEST(what_is_left_is_what_the_fit_tells)
{
    shape *s = workshop();
    nw_region region = shape_region(s);
    nw_fit_options options = nw_fit_defaults();
    nw_borders borders;
    nw_fit whole;
    nw_leavings most, least, necks;
    nw_error error = {0};
    ck_assert(nw_borders_make(&region, &options, &borders, &error) == NW_OK);
    ck_assert(nw_fit_run_on(&borders, &options, &whole, &error) == NW_OK);
    double share = nw_fit_unreached(&whole);
    nw_judge judge = nw_judge_on(&borders, &options);
    nw_trial trial = {whole.options.bit, whole.options.neck, 1};
    nw_leavings all = {SIZE_MAX, share * 1.001}, none = {SIZE_MAX, share * 0.999};
    ck_assert(nw_judge_leavings(&judge, trial, all, &most, &error) == NW_OK);
    ck_assert(nw_judge_leavings(&judge, trial, none, &least, &error) == NW_OK);
    all.spots = 0;
    ck_assert(nw_judge_leavings(&judge, trial, all, &necks, &error) == NW_OK);
    ck_assert_uint_gt(whole.spot_count, 0);
    ck_assert_uint_eq(most.spots, whole.spot_count);
    ck_assert_uint_eq(least.spots, 0);
    size_t gaps = 0;
    for (size_t k = 0; k < whole.spot_count; k++)
        gaps += whole.spots[k].side == NW_GAP;
    ck_assert_uint_lt(gaps, whole.spot_count);
    ck_assert_uint_eq(necks.spots, gaps);
    ck_assert(most.share == share && least.share == share);
    nw_fit_free(&whole);
    nw_borders_free(&borders);
    free(s);
}
END_TEST

/* A sheet without edges is none, wherever it is: with the bit its place moves. */
START_TEST(it_serves_one_cut_and_one_sheet)
{
    shape *s = workshop();
    nw_region region = shape_region(s);
    nw_job job = nw_job_defaults();
    nw_error error = {0};
    nw_fitter *fitter;
    job.cut = NW_CUT_OUTSIDE;
    job.bit = 3;
    for (int sheet = 0; sheet < 2; sheet++) {
        job.sheet_width = job.sheet_height = 400 * sheet;
        nw_fit_options options = nw_job_fit_options(&job), other;
        options.stock.min = sheet ? (nw_point){-100, -100} : options.stock.min;
        ck_assert(nw_fitter_make(&region, &options, &fitter, &error) == NW_OK);
        job.bit += 1;
        other = nw_job_fit_options(&job);
        ck_assert(nw_fitter_serves(fitter, &options));
        ck_assert(nw_fitter_serves(fitter, &other) == (sheet == 0));
        other.cut = NW_CUT_INSIDE;
        ck_assert(!nw_fitter_serves(fitter, &other));
        nw_fitter_free(fitter);
    }
    free(s);
}
END_TEST

START_TEST(nonsense_is_refused)
{
    shape *s = workshop();
    nw_region region = shape_region(s);
    nw_fit_options options = nw_fit_defaults();
    nw_error error = {0};
    nw_fitter *fitter;
    nw_fit fit;
    ck_assert(nw_fitter_make(&region, &options, &fitter, &error) == NW_OK);
    options.bit = -1;
    ck_assert_int_eq(nw_fitter_run(fitter, &options, true, &fit, &error), NW_BAD_REQUEST);
    ck_assert_int_eq(nw_fitter_run(fitter, &options, false, &fit, &error), NW_BAD_REQUEST);
    ck_assert_int_eq(nw_fitter_learn(fitter, NAN, &error), NW_BAD_REQUEST);
    nw_fitter_free(fitter);
    options.has_stock = true;
    options.stock = (nw_box){{0, 0}, {1, 1}};
    ck_assert_int_eq(nw_fitter_make(&region, &options, &fitter, &error), NW_BAD_REQUEST);
    ck_assert_ptr_null(fitter);
    nw_fitter_free(NULL);
    free(s);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        a_quick_fit_says_what_a_fit_from_scratch_says, what_is_left_is_what_the_fit_tells,
        a_short_answer_is_that_of_a_long_one, it_serves_one_cut_and_one_sheet, nonsense_is_refused};
    return TESTS_RUN("fit_fitter", tests);
}
