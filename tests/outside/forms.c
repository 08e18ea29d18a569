/*
 * Closed forms that others published or that geometry gives, each named beside its check. Where a
 * check depends on the diameter it is held to the band that the method states: between the values
 * at d - 0.01 mm and at d.
 */
#include "shapes.h"
#include "../tests.h"

#include <math.h>
#include <stdlib.h>
#include <stdio.h>

#define BAND_MM 0.01
#define WIDTH_MM 0.005

static nw_fit fit_of(const nw_region *region, nw_cut cut, double bit, double neck, double blunt)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = cut;
    options.bit = bit;
    options.neck = neck;
    options.blunt = blunt;
    options.with_shapes = true;
    return shape_fit(region, &options);
}

static void expect_between(const char *what, double got, double one, double other)
{
    double low = fmin(one, other), high = fmax(one, other), slack = 1e-5 * fabs(high) + 1e-6;
    ck_assert_msg(got >= low - slack && got <= high + slack, "%s: %.9g is not in %.9g to %.9g",
                  what, got, low, high);
}

/* Depth and area that a bit of radius r leaves in a corner of angle t. From memory, verified
 * numerically; the published figures below hold it to account. */
static double corner_depth(double t, double r)
{
    return r * (1 / sin(t / 2) - 1);
}

static double corner_area(double t, double r)
{
    return r * r * (1 / tan(t / 2) - (PI - t) / 2);
}

/* Spandrel formula, 0.2146 r^2: Hull Technician, NAVEDTRA 14119, p. 14-22 (r = 3: 1.9314), and
 * Machinery's Handbook, 31st ed., p. 80 (r = 0.7: 0.105; c = 2.2: 0.520). */
START_TEST(fillets_of_a_right_corner)
{
    const double table[][3] = {{3, 1.9314, 5e-4}, {0.7, 0.105, 5e-4}, {2.2 / sqrt(2), 0.520, 2e-3}};
    for (size_t i = 0; i < 3; i++) {
        nw_region square = {0};
        shape_box(&square, (nw_point){0, 0}, (nw_point){40, 40}, false, 0);
        double r = table[i][0], d = 2 * r;
        nw_fit fit = fit_of(&square, NW_CUT_INSIDE, d, 1, 0);
        ck_assert_uint_eq(fit.spot_count, 0);
        ck_assert_uint_eq(fit.corners.count, 4);
        double shade = table[i][1] - corner_area(PI / 2, r - BAND_MM / 2);
        ck_assert_double_eq_tol(table[i][1], corner_area(PI / 2, r), table[i][2]);
        ck_assert_double_eq_tol(fit.corners.area / 4, table[i][1], shade + table[i][2]);
        expect_between("four fillets", fit.corners.area, 4 * corner_area(PI / 2, r - BAND_MM / 2),
                       4 * corner_area(PI / 2, r));
        expect_between("depth", fit.corners.deepest, corner_depth(PI / 2, r - BAND_MM / 2),
                       corner_depth(PI / 2, r));
        ck_assert_double_eq_tol(fit.area_cut, 1600, 1e-9);
        ck_assert_double_eq_tol(fit.area_reached + fit.area_unreached, 1600, 1e-6);
        nw_fit_free(&fit);
        nw_region_free(&square);
    }
}
END_TEST

/* A kite with the angle t at the left, and the other angles wide. */
static nw_region kite(double t, double length)
{
    double half = length * tan(t / 2);
    nw_point points[] = {{0, 0}, {length, -half}, {length + half, 0}, {length, half}};
    nw_region region = {0};
    shape_ring(&region, points, 4, false, 0);
    return region;
}

/* Corner table for r = 3: from memory, verified numerically. */
START_TEST(corners_of_any_angle)
{
    const double table[][3] = {{30, 8.59111, 21.80749}, {60, 3, 6.16368}, {120, 0.46410, 0.48376}};
    for (size_t i = 0; i < 3; i++) {
        double t = RAD(table[i][0]), r = 3;
        ck_assert_double_eq_tol(corner_depth(t, r), table[i][1], 1e-5);
        ck_assert_double_eq_tol(corner_area(t, r), table[i][2], 1e-5);
        nw_region region = kite(t, 60);
        nw_fit fit = fit_of(&region, NW_CUT_INSIDE, 2 * r, 1, 30);
        double right = RAD(90), side = RAD(135) - t / 2;
        double low = r - BAND_MM / 2;
        ck_assert_uint_eq(fit.spot_count, 0);
        ck_assert_uint_eq(fit.corners.count, 4);
        expect_between("corners", fit.corners.area,
                       corner_area(t, low) + corner_area(right, low) + 2 * corner_area(side, low),
                       corner_area(t, r) + corner_area(right, r) + 2 * corner_area(side, r));
        double sharpest = fmin(t, fmin(right, side));
        expect_between("deepest", fit.corners.deepest, corner_depth(sharpest, low),
                       corner_depth(sharpest, r));
        nw_fit_free(&fit);
        nw_region_free(&region);
    }
}
END_TEST

/* From 2 asin(2/3) = 83.62 degrees on a corner loses more than half an r, and is a stub where a tip
 * may lose no more than that; 4 % of the kite is more. Geometry. */
START_TEST(a_stub_begins_at_84_degrees)
{
    for (int i = 0; i < 2; i++) {
        double t = RAD(i ? 83.5 : 83.75);
        nw_region region = kite(t, 60);
        nw_fit fit = fit_of(&region, NW_CUT_INSIDE, 6, 1, 1.5 - BAND_MM / 4);
        ck_assert_uint_eq(shape_count(&fit, NW_GAP, NW_STUB), i ? 1 : 0);
        ck_assert_uint_eq(fit.spot_count, i ? 1 : 0);
        if (i) {
            expect_between("depth", fit.spots[0].depth, corner_depth(t, 3 - BAND_MM / 2),
                           corner_depth(t, 3));
            expect_between("area", fit.spots[0].area, corner_area(t, 3 - BAND_MM / 2),
                           corner_area(t, 3));
        }
        nw_fit_free(&fit);
        fit = fit_of(&region, NW_CUT_INSIDE, 6, 1, 0);
        ck_assert_uint_eq(fit.spot_count, 0);
        ck_assert_uint_eq(fit.corners.count, 4);
        nw_fit_free(&fit);
        nw_region_free(&region);
    }
}
END_TEST

/* A square-ended slot 2 wide and 1.2 deep at the side of a block, its end cut into so many parts.
 */
static nw_region slotted_block(size_t parts)
{
    nw_point points[200] = {{0, 0}, {20, 0}, {20, 20}, {11, 20}};
    size_t count = 4;
    for (size_t i = 0; i <= parts; i++)
        points[count++] = (nw_point){11 - 2 * (double)i / (double)parts, 21.2};
    points[count++] = (nw_point){9, 20};
    points[count++] = (nw_point){0, 20};
    nw_region region = {0};
    shape_ring(&region, points, count, false, 0);
    return region;
}

/* A blunt end is no tip, however many points it is drawn with. The disc halts where it touches the
 * mouth's two corners, sqrt(r^2 - 1) before the slot; the slot's own corners are deepest. Geometry.
 */
START_TEST(a_square_end_is_a_stub)
{
    for (size_t parts = 1; parts <= 64; parts *= 8) {
        nw_region region = slotted_block(parts);
        nw_fit fit = fit_of(&region, NW_CUT_INSIDE, 2.1, 0.5, 0);
        ck_assert_uint_eq(fit.spot_count, 1);
        ck_assert_int_eq(fit.spots[0].form, NW_STUB);
        double low = 1.05 - BAND_MM / 2;
        expect_between("depth", fit.spots[0].depth, hypot(1, 1.2 + sqrt(low * low - 1)) - low,
                       hypot(1, 1.2 + sqrt(1.05 * 1.05 - 1)) - 1.05);
        nw_fit_free(&fit);
        nw_region_free(&region);
    }
}
END_TEST

/* The parallel body of a convex one: A + P r + pi r^2 (Steiner 1840; from memory, verified): a
 * square of 10 at r = 2.5 gives 219.63495. */
START_TEST(steiner_for_the_bit_path)
{
    nw_region square = {0};
    shape_box(&square, (nw_point){0, 0}, (nw_point){10, 10}, false, 0);
    nw_fit fit = fit_of(&square, NW_CUT_OUTSIDE, 5, 1, 0);
    double low = 2.5 - BAND_MM / 2;
    ck_assert_double_eq_tol(100 + 40 * 2.5 + PI * 2.5 * 2.5, 219.63495, 1e-5);
    ck_assert(fit.fits);
    ck_assert_uint_eq(fit.bit_path.count, 1);
    expect_between("area in the bit's path", fabs(shape_path_area(&fit.bit_path.paths[0])),
                   100 + 40 * low + PI * low * low, 219.63495);
    nw_fit_free(&fit);
    nw_region_free(&square);
}
END_TEST

static void expect_largest(nw_region *region, double d)
{
    double vanishes = shape_critical(region, NW_CUT_INSIDE, NW_GAP, NW_MISS, d - 0.05, d + 0.05);
    ck_assert_msg(vanishes > d - 1e-4 && vanishes < d + BAND_MM + 1e-4, "vanishes at %g, not %g",
                  vanishes, d);
    nw_region_free(region);
}

static nw_region triangle(double a, double b, double c)
{
    double x = (b * b + c * c - a * a) / (2 * c);
    nw_point points[] = {{0, 0}, {c, 0}, {x, sqrt(b * b - x * x)}};
    nw_region region = {0};
    shape_ring(&region, points, 3, false, 0);
    return region;
}

/* Inscribed circles; a hexagon across flats: Machinery's Handbook, 31st ed., p. 77; the ring and
 * its area: p. 79. */
START_TEST(largest_bits)
{
    nw_region region = triangle(3, 4, 5);
    expect_largest(&region, 2);
    region = triangle(5, 12, 13);
    expect_largest(&region, 4);
    region = triangle(13, 14, 15);
    expect_largest(&region, 8);
    region = (nw_region){0};
    shape_circle(&region, (nw_point){40, 40}, 40, 6, 0, false, 0);
    expect_largest(&region, 69.2820);
    region = (nw_region){0};
    shape_circle(&region, (nw_point){6, 6}, 6, 2000, 0, false, 0);
    shape_circle(&region, (nw_point){6, 6}, 4, 2000, 0, true, 0);
    ck_assert_double_eq_tol(nw_region_area(&region), 62.83, 5e-3);
    expect_largest(&region, 2);
}
END_TEST

static nw_region eccentric_ring(size_t sides, double turn)
{
    nw_region region = {0};
    shape_circle(&region, (nw_point){0, 0}, 10, sides, turn, false, 0);
    shape_circle(&region, (nw_point){2 * cos(turn), 2 * sin(turn)}, 5, sides, turn, true, 0);
    return region;
}

/* R - r - e = 3. Geometry. */
START_TEST(the_neck_of_an_eccentric_ring)
{
    for (int i = 0; i < 5; i++) {
        nw_region region = eccentric_ring(1440, 0.3 * i);
        for (int side = 0; side < 2; side++) {
            nw_fit fit = side ? fit_of(&region, NW_CUT_OUTSIDE, 0.5, 4, 0)
                              : fit_of(&region, NW_CUT_INSIDE, 4, 0.5, 0);
            ck_assert_uint_eq(fit.spot_count, 1);
            ck_assert_int_eq(fit.spots[0].form, NW_PINCH);
            ck_assert_int_eq(fit.spots[0].side, side ? NW_NECK : NW_GAP);
            ck_assert_double_eq_tol(fit.spots[0].width, 3, WIDTH_MM);
            nw_point at = fit.spots[0].at;
            ck_assert_double_lt(hypot(at.x - 8.5 * cos(0.3 * i), at.y - 8.5 * sin(0.3 * i)), 0.1);
            nw_fit_free(&fit);
        }
        nw_region_free(&region);
    }
}
END_TEST

/* Two discs of radius R, centres 2 a apart, united, as one ring. */
static nw_region dumbbell(double radius, double a, size_t sides)
{
    nw_point *points = malloc((2 * sides + 2) * sizeof *points);
    size_t count = 0;
    double waist = acos(a / radius);
    for (int side = 0; side < 2; side++) {
        double from = side ? PI : 0;
        double first = from - (PI - waist), span = 2 * (PI - waist);
        for (size_t i = 0; i < sides; i++) {
            double t = first + span * (double)i / (double)sides;
            points[count++] = (nw_point){(side ? -a : a) + radius * cos(t), radius * sin(t)};
        }
    }
    nw_region region = {0};
    shape_ring(&region, points, count, false, 0);
    free(points);
    return region;
}

/* The chord that two circles share: 8 for R = 5 and centres 6 apart; 13.2665 for R = 12 and 20
 * (Machinery's Handbook, 31st ed., p. 50, example 3). The bit cannot pass there once it is wider
 * than the chord, yet it cuts everything from both sides: a lift. As a neck it is a pinch, for a
 * knife edge breaks too. */
START_TEST(two_discs_split_at_their_chord)
{
    const double table[][3] = {{5, 3, 8}, {12, 10, 13.2665}};
    for (size_t i = 0; i < 2; i++) {
        double chord = table[i][2];
        nw_region region = dumbbell(table[i][0], table[i][1], 1500);
        nw_fit fit = fit_of(&region, NW_CUT_INSIDE, chord - 0.001, 0.5, 0);
        ck_assert(fit.fits);
        ck_assert_uint_eq(fit.lift_count, 0);
        nw_fit_free(&fit);
        fit = fit_of(&region, NW_CUT_INSIDE, chord + 0.02, 0.5, 0);
        ck_assert(fit.fits);
        ck_assert_uint_eq(fit.lift_count, 1);
        ck_assert_double_eq_tol(fit.lifts[0].width, chord, WIDTH_MM);
        ck_assert_double_lt(hypot(fit.lifts[0].at.x, fit.lifts[0].at.y), 0.05);
        ck_assert_double_lt(fit.area_unreached, 0.02);
        nw_fit_free(&fit);
        fit = fit_of(&region, NW_CUT_OUTSIDE, 0.5, chord + 0.02, 0);
        ck_assert_uint_eq(shape_count(&fit, NW_NECK, NW_PINCH), 1);
        ck_assert_double_eq_tol(fit.narrowest_neck, chord, WIDTH_MM);
        nw_fit_free(&fit);
        nw_region_free(&region);
    }
}
END_TEST

/* What discs of radius r leave between two of radius R = 10 whose centres stand 22 apart, when they
 * come from both sides to a halt at height h beside the middle: triangles less sectors. */
static double left_between(double r)
{
    double h = sqrt((10 + r) * (10 + r) - 121), phi = atan2(h, 11);
    double tip = h < r ? 11 - sqrt(r * r - h * h) : 11;
    double psi = h < r ? PI / 2 - phi - acos(h / r) : PI / 2 - phi;
    return 4 * (tip * h / 2 - 50 * phi - r * r / 2 * psi);
}

/* Two discs R = 10 that stand 2 apart, D = 22 between centres: the bit cannot pass from d = 2 on,
 * and leaves a sliver at either wall; from d = ((D/2)^2 - R^2) / R = 2.1 on its halts no longer
 * overlap, and the slivers are one. Geometry. */
START_TEST(two_discs_apart_leave_slivers)
{
    nw_region region = {0};
    shape_circle(&region, (nw_point){10, 10}, 10, 3600, 0, false, 0);
    shape_circle(&region, (nw_point){32, 10}, 10, 3600, 0, false, 1);
    const struct {
        double d;
        size_t pinches, slivers;
    } table[] = {{1.99, 0, 0}, {2.0, 0, 0},  {2.02, 1, 2}, {2.08, 1, 2},
                 {2.1, 1, 2},  {2.12, 1, 1}, {3, 1, 1}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        nw_fit fit = fit_of(&region, NW_CUT_OUTSIDE, table[i].d, 0.5, 0);
        ck_assert_msg(shape_count(&fit, NW_GAP, NW_PINCH) == table[i].pinches &&
                          fit.spot_count == table[i].pinches && fit.lift_count == 0,
                      "d = %g: %zu spots, %zu lifts", table[i].d, fit.spot_count, fit.lift_count);
        if (table[i].pinches) {
            double r = table[i].d / 2;
            ck_assert_double_eq_tol(fit.spots[0].width, 2, WIDTH_MM);
            ck_assert_uint_eq(fit.spots[0].residue_count, table[i].slivers);
            expect_between("left between the discs", fit.spots[0].area,
                           left_between(r - BAND_MM / 2), left_between(r));
        }
        nw_fit_free(&fit);
    }
    nw_region_free(&region);
}
END_TEST

#define SPOKES 18
#define RIM 60.0

static nw_region siemens(double hub)
{
    nw_region region = {0};
    double wedge = PI / SPOKES;
    for (size_t k = 0; k < SPOKES; k++) {
        nw_point points[42];
        size_t count = 0;
        double from = 2 * wedge * (double)k;
        for (int i = 0; i <= 20; i++) {
            double t = from + wedge * i / 20;
            points[count++] = (nw_point){RIM * cos(t), RIM * sin(t)};
        }
        for (int i = 20; i >= 0 && (hub > 0 || i == 20); i--) {
            double t = from + wedge * i / 20;
            points[count++] = (nw_point){hub * cos(t), hub * sin(t)};
        }
        shape_ring(&region, points, count, false, k);
    }
    return region;
}

/* A Siemens star of 18 spokes at d = 3.175 mm (1/8 in). The gap between two spokes has the chord d
 * at radius d / (2 sin 5 deg) = 18.2145; the bit's own edge gets to 16.62702 from the centre and
 * leaves 25.06679 per wedge. Geometry, verified. */
START_TEST(siemens_star_wedges)
{
    double d = 3.175, t = RAD(10), low = d / 2 - BAND_MM / 2;
    ck_assert_double_eq_tol(d / (2 * sin(RAD(5))), 18.2145, 1e-4);
    ck_assert_double_eq_tol(corner_depth(t, d / 2), 16.62702, 1e-5);
    ck_assert_double_eq_tol(corner_area(t, d / 2), 25.06679, 1e-5);
    nw_region star = siemens(0), wedge = {0};
    shape_ring(&wedge, star.points, star.starts[1], false, 0);
    nw_fit fit = fit_of(&wedge, NW_CUT_INSIDE, d, 0.5, 0);
    ck_assert_uint_eq(fit.spot_count, 1);
    ck_assert_int_eq(fit.spots[0].form, NW_STUB);
    expect_between("reach of the tip", fit.spots[0].depth, corner_depth(t, low), 16.62702);
    expect_between("lost in the wedge", fit.spots[0].area, corner_area(t, low), 25.06679);
    ck_assert_double_lt(hypot(fit.spots[0].at.x, fit.spots[0].at.y), 0.01);
    nw_fit_free(&fit);
    nw_region_free(&wedge);
    nw_region_free(&star);
}
END_TEST

/* Spokes that meet in one point: a passage of width 0 between those of one side, said on that
 * side. Whichever it is, nothing of the wedges' area may be lost or counted twice. */
START_TEST(siemens_star_meets_in_a_point)
{
    nw_region star = siemens(0);
    for (int side = 0; side < 2; side++) {
        nw_fit fit = side ? fit_of(&star, NW_CUT_OUTSIDE, 3.175, 0.1, 0)
                          : fit_of(&star, NW_CUT_INSIDE, 3.175, 0.1, 0);
        double area = 0;
        size_t points = 0;
        for (size_t i = 0; i < fit.spot_count; i++) {
            area += fit.spots[i].side == NW_GAP ? fit.spots[i].area : 0;
            bool pinch = fit.spots[i].form == NW_PINCH && fit.spots[i].width < 1e-6;
            points += pinch && hypot(fit.spots[i].at.x, fit.spots[i].at.y) < 1e-6;
        }
        ck_assert_uint_eq(points, 1);
        expect_between("all wedges", area, SPOKES * corner_area(RAD(10), 3.175 / 2 - BAND_MM / 2),
                       SPOKES * 25.06679);
        nw_fit_free(&fit);
    }
    nw_region_free(&star);
}
END_TEST

/* Without its middle (a hub of radius h), a spoke's inner end is 2 h sin 5 deg wide. */
START_TEST(siemens_star_without_its_hub)
{
    double hub = 10, d = 3.175;
    nw_region star = siemens(hub);
    nw_fit fit = fit_of(&star, NW_CUT_INSIDE, d, 0.1, 0);
    ck_assert_uint_eq(shape_count(&fit, NW_GAP, NW_STUB), SPOKES);
    ck_assert_uint_eq(shape_count(&fit, NW_GAP, NW_PINCH), 0);
    nw_fit_free(&fit);
    fit = fit_of(&star, NW_CUT_OUTSIDE, d, 0.1, 0);
    ck_assert_uint_eq(shape_count(&fit, NW_GAP, NW_PINCH), SPOKES);
    ck_assert_double_eq_tol(fit.narrowest_gap, 2 * hub * sin(RAD(5)), WIDTH_MM);
    nw_fit_free(&fit);
    nw_region_free(&star);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {fillets_of_a_right_corner,     corners_of_any_angle,
                                  a_stub_begins_at_84_degrees,   a_square_end_is_a_stub,
                                  steiner_for_the_bit_path,      largest_bits,
                                  the_neck_of_an_eccentric_ring, two_discs_split_at_their_chord,
                                  two_discs_apart_leave_slivers, siemens_star_wedges,
                                  siemens_star_meets_in_a_point, siemens_star_without_its_hub};
    return TESTS_RUN("forms", tests);
}
