/*
 * The sheet's edge beside art that touches it, comes all but up to it or runs along it: no end of a
 * wall is left over, the spots elsewhere are those of a sheet that is larger, every spot lies on
 * its own residue, and what is left uncut is a share.
 */
#include "fit_shapes.h"
#include "../spot_places.h"
#include "../tests.h"

#include <choose/choose.h>
#include <string.h>

static const double offs[] = {0, 1e-12, 1e-9, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 3e-3, 0.02};
#define MOVED_MM 3e-3 /* what comes near to the edge moves onto it */
#define OFFS (sizeof offs / sizeof *offs)

static nw_box box_of(const shape *s)
{
    nw_box box = nw_box_empty();
    for (size_t i = 0; i < s->starts[s->rings]; i++)
        nw_box_take(&box, s->points[i], 0);
    return box;
}

/* A blunt of next to nothing makes every corner a spot. */
static nw_fit fit_blunted(const shape *s, nw_cut cut, double size, nw_box sheet, double blunt)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = options.neck = size;
    options.blunt = blunt;
    options.with_shapes = true;
    options.has_stock = true;
    options.stock = sheet;
    nw_fit fit = shape_fit_with(s, options);
    ck_assert_uint_eq(spots_astray(&fit), 0);
    ck_assert(fit.area_unreached >= 0 && fit.area_unreached <= fit.area_cut);
    return fit;
}

static nw_fit fit_on(const shape *s, nw_cut cut, double size, nw_box sheet)
{
    return fit_blunted(s, cut, size, sheet, 0);
}

static nw_box grown(nw_box box, double by)
{
    return (nw_box){{box.min.x - by, box.min.y - by}, {box.max.x + by, box.max.y + by}};
}

/* A plain square whose left and lower edges lie on the sheet's: what is kept is an L. */
START_TEST(a_square_in_the_sheets_corner_fits)
{
    for (size_t k = 0; k < OFFS; k++) {
        for (int sign = -1; sign <= 1; sign += 2) {
            double off = sign * offs[k];
            if (off < -1e-3)
                continue; /* beyond the sheet */
            shape *s = shape_new();
            shape_box(s, off, off, 100 + off, 100 + off);
            nw_box sheet = {{0, 0}, {600, 300}};
            nw_fit fit = fit_on(s, NW_CUT_INSIDE, 3.175, sheet);
            ck_assert_double_eq_tol(fit.area_cut, 10000, 1e-6);
            ck_assert_uint_eq(fit.corners.count, 4);
            /* Three thousandths are stock, and too thin. */
            ck_assert(offs[k] < 2e-3 ? fit.fits : count_of(&fit, NW_NECK, NW_PINCH) > 0);
            nw_fit_free(&fit);
            fit = fit_on(s, NW_CUT_OUTSIDE, 3.175, sheet);
            ck_assert_double_eq_tol(fit.area_cut, 170000, 0.5);
            nw_fit_free(&fit);
            free(s);
        }
    }
}
END_TEST

/* Art as large as the sheet leaves nothing to keep; a ring of holes in it stays. */
START_TEST(art_over_the_whole_sheet_leaves_nothing)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 50, 40);
    nw_fit fit = fit_on(s, NW_CUT_INSIDE, 3, (nw_box){{0, 0}, {50, 40}});
    ck_assert(fit.fits);
    nw_fit_free(&fit);
    fit = fit_on(s, NW_CUT_OUTSIDE, 3, (nw_box){{0, 0}, {50, 40}});
    ck_assert_double_eq(fit.area_cut, 0);
    nw_fit_free(&fit);
    shape_box_hole(s, 10, 10, 12, 12);
    fit = fit_on(s, NW_CUT_INSIDE, 3, (nw_box){{0, 0}, {50, 40}});
    ck_assert_uint_eq(fit.spot_count, 1);
    ck_assert_int_eq(fit.spots[0].form, NW_MISS);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* A disc that touches the edge severs the sheet in a point; two teeth that stand on it bound a
 * piece of stock that nothing else holds. */
START_TEST(art_that_touches_in_points_severs_the_sheet)
{
    shape *s = shape_new();
    shape_circle(s, 30, 30, 30, 360, 1);
    nw_fit fit = fit_on(s, NW_CUT_INSIDE, 3, (nw_box){{0, -20}, {100, 100}});
    ck_assert_uint_gt(fit.spot_count, 0);
    for (size_t k = 0; k < fit.spot_count; k++) {
        ck_assert_int_eq(fit.spots[k].side, NW_NECK);
        ck_assert_double_lt(hypot(fit.spots[k].at.x, fit.spots[k].at.y - 30), 1);
    }
    nw_fit_free(&fit);
    free(s);
    s = shape_new();
    SHAPE_RING(s, 0, 0, 10, 20, 20, 0, 20, 40, 0, 40);
    fit = fit_on(s, NW_CUT_INSIDE, 2, (nw_box){{-50, 0}, {70, 90}});
    for (size_t k = 0; k < fit.spot_count; k++)
        ck_assert_int_eq(fit.spots[k].side, NW_GAP);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

/* ---- random art ------------------------------------------------------------------------------ */

static double random_share(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 33) / 2147483648.0;
}

/* A star of random radii cut off at a random box, so that it runs along the box here and there,
 * with a round hole. */
static shape *random_star(uint64_t *state)
{
    shape *s = shape_new();
    int points = 5 + (int)(random_share(state) * 60);
    double wide = 8 + 20 * random_share(state), high = 8 + 20 * random_share(state);
    for (int i = 0; i < points; i++) {
        double radius = 6 + 30 * random_share(state), angle = 2 * PI * i / points;
        double x = cos(angle), y = sin(angle);
        double out = fmin(wide / fabs(x), high / fabs(y));
        shape_point(s,
                    radius > wide / fabs(x) && out == wide / fabs(x) ? copysign(wide, x)
                                                                     : fmin(radius, out) * x,
                    radius > high / fabs(y) && out == high / fabs(y) ? copysign(high, y)
                                                                     : fmin(radius, out) * y);
    }
    shape_close(s);
    shape_circle(s, 0, 0, 1 + 3 * random_share(state), 3 + points / 4, -1);
    return s;
}

static bool holds(nw_box box, nw_point p)
{
    return p.x >= box.min.x && p.x <= box.max.x && p.y >= box.min.y && p.y <= box.max.y;
}

/* No part of the spot comes as near to the sheet's edge as a disc. */
static bool is_inland(const nw_fit *fit, const nw_spot *spot, nw_box sheet, double size)
{
    nw_box inner = grown(sheet, -size);
    bool inland = holds(inner, spot->from) && holds(inner, spot->to);
    for (size_t k = spot->residue; k < spot->residue + spot->residue_count; k++)
        for (size_t i = 0; i < fit->residues.paths[k].count; i++)
            inland = inland && holds(inner, fit->residues.paths[k].steps[i].to);
    return inland;
}

/* The inland spots of one fit that the other has too; how many there are in *count. */
static size_t inland_shared(const nw_fit *fit, const nw_fit *other, nw_box sheet, double size,
                            size_t *count)
{
    size_t shared = 0;
    *count = 0;
    for (size_t k = 0; k < fit->spot_count; k++) {
        if (!is_inland(fit, &fit->spots[k], sheet, size))
            continue;
        ++*count;
        for (size_t m = 0; m < other->spot_count; m++)
            if (other->spots[m].side == fit->spots[k].side &&
                other->spots[m].form == fit->spots[k].form &&
                nw_distance(other->spots[m].at, fit->spots[k].at) < MOVED_MM &&
                fabs(other->spots[m].area - fit->spots[k].area) <=
                    MOVED_MM * fit->spots[k].length) {
                shared++;
                break;
            }
    }
    return shared;
}

static void expect_same_inland(const shape *s, nw_cut cut, double size, double off)
{
    nw_box box = box_of(s), sheet = grown(box, off);
    nw_fit at = fit_blunted(s, cut, size, sheet, 1e-9);
    nw_fit away = fit_blunted(s, cut, size, grown(box, 10), 1e-9);
    size_t here, there;
    ck_assert_uint_eq(inland_shared(&at, &away, sheet, size, &here), here);
    ck_assert_uint_eq(inland_shared(&away, &at, sheet, size, &there), there);
    ck_assert_uint_eq(here, there);
    nw_fit_free(&at);
    nw_fit_free(&away);
}

START_TEST(random_art_as_wide_as_its_sheet)
{
    uint64_t state = 77;
    for (int round = 0; round < 200; round++) {
        shape *s = random_star(&state);
        double size = 0.5 + 4 * random_share(&state);
        expect_same_inland(s, NW_CUT_INSIDE, size, 0);
        expect_same_inland(s, NW_CUT_OUTSIDE, size, 0);
        expect_same_inland(s, round % 2 ? NW_CUT_INSIDE : NW_CUT_OUTSIDE, size, offs[round % OFFS]);
        free(s);
    }
}
END_TEST

START_TEST(bits_on_a_sheet_leave_shares)
{
    uint64_t state = 5;
    nw_rack rack;
    ck_assert(nw_rack_common(&rack, NULL) == NW_OK);
    for (int round = 0; round < 40; round++) {
        shape *s = random_star(&state);
        nw_region region = shape_region(s);
        nw_fit_options options = nw_fit_defaults();
        options.cut = round % 2 ? NW_CUT_OUTSIDE : NW_CUT_POCKET;
        options.has_stock = true;
        options.stock = grown(box_of(s), (round % 4) * 3.0);
        nw_bits bits;
        ck_assert(nw_bits_compare(&region, &options, &rack, 0, &bits, NULL) == NW_OK);
        for (size_t k = 0; k < bits.count; k++) {
            const nw_bit_result *result = &bits.results[k];
            ck_assert(result->share_unreached >= 0 && result->share_unreached <= 1);
            ck_assert(result->share_outline >= 0 && result->share_outline <= 1);
        }
        nw_bits_free(&bits);
        free(s);
    }
    nw_rack_free(&rack);
}
END_TEST

int main(void)
{
    const TTest *tests[] = {a_square_in_the_sheets_corner_fits,
                            art_over_the_whole_sheet_leaves_nothing,
                            art_that_touches_in_points_severs_the_sheet,
                            random_art_as_wide_as_its_sheet, bits_on_a_sheet_leave_shares};
    return TESTS_RUN("fit_sheet", tests);
}
