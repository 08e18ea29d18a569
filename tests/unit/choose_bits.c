/* Every bit side by side, the largest discs, and the ways out. */
#include "fit_shapes.h"

#include "../critical.h"
#include "../tests.h"
#include <choose/choose.h>
#include <choose/ways_out.h>
#include <stdio.h>
#include <string.h>

#define EXACT_MM 0.005

static nw_rack rack_of(const char *text)
{
    nw_rack rack;
    nw_error error = {0};
    ck_assert_msg(nw_rack_read(text, strlen(text), "test", &rack, &error) == NW_OK, "%s",
                  error.message);
    return rack;
}

/* Two discs of radius 12, joined by a passage that is 2 wide and 20 long. */
static shape *dumbbell(double scale)
{
    shape *s = shape_new();
    double lean = asin(1.0 / 12);
    shape_arc(s, 44, 0, 12, PI + lean, 3 * PI - lean, 400);
    shape_arc(s, 0, 0, 12, lean, 2 * PI - lean, 400);
    shape_close(s);
    /* Both arcs turn counter-clockwise and the ends meet along the passage. */
    shape_place(s, (placing){scale, 0.3, 0, 0, false});
    return s;
}

static nw_drawing drawing_of(const shape *s)
{
    nw_drawing drawing = {0};
    for (size_t k = 0; k < s->rings; k++) {
        size_t first = s->starts[k], end = s->starts[k + 1];
        nw_path path = {.start = s->points[first], .closed = true};
        for (size_t i = first + 1; i < end; i++)
            ck_assert(nw_path_line(&path, s->points[i]));
        ck_assert(nw_path_line(&path, s->points[first]));
        ck_assert(nw_drawing_add(&drawing, &path));
    }
    nw_error error;
    ck_assert(nw_drawing_place(&drawing, 1, 0, false, &error) == NW_OK);
    return drawing;
}

static double critical_of(const shape *s, nw_cut cut, double neck)
{
    nw_region region = shape_region(s);
    nw_fit_options options = nw_fit_defaults();
    nw_error error = {0};
    double diameter;
    options.cut = cut;
    options.neck = neck;
    ck_assert_msg(critical_bit(&region, &options, 0, &diameter, &error) == NW_OK, "%s",
                  error.message);
    return diameter;
}

/* ---- the table's rows ----------------------------------------------------------------------- */

START_TEST(a_row_is_what_a_check_of_that_bit_says)
{
    shape *s = dumbbell(1);
    nw_region region = shape_region(s);
    nw_rack rack;
    nw_bits bits;
    nw_error error = {0};
    nw_fit_options options = nw_fit_defaults();
    ck_assert(nw_rack_common(&rack, &error) == NW_OK);
    ck_assert(nw_bits_compare(&region, &options, &rack, 0, &bits, &error) == NW_OK);
    ck_assert_uint_eq(bits.count, rack.count);
    for (size_t k = 0; k < bits.count; k++) {
        const nw_bit_result *result = &bits.results[k];
        ck_assert(k == 0 || result->diameter <= bits.results[k - 1].diameter);
        nw_fit fit = shape_fit(s, NW_CUT_INSIDE, result->diameter, 0);
        ck_assert_int_eq(fit.fits, result->fit.fits);
        ck_assert_uint_eq(fit.spot_count,
                          result->pinches + result->stubs + result->misses + result->necks);
        ck_assert_double_eq(fit.area_unreached, result->fit.area_unreached);
        ck_assert_double_eq(fit.path_length, result->fit.path_length);
        nw_fit_free(&fit);
    }
    /* The passage is 2 wide: 2 mm is the largest, and 3/32 in the next above it. */
    ck_assert_uint_lt(bits.largest, bits.count);
    ck_assert_str_eq(rack.bits[bits.results[bits.largest].bit].name, "2 mm");
    ck_assert_double_eq_tol(bits.results[bits.largest - 1].diameter, 2.38125, 1e-12);
    ck_assert_uint_eq(bits.results[bits.largest - 1].pinches, 1);
    nw_bits_free(&bits);
    nw_rack_free(&rack);
    free(s);
}
END_TEST

/* 4 mm stand between two openings: too thin for a wider bit, and for a stock thicker than that. */
START_TEST(the_neck_is_the_bit_or_the_stock_whichever_is_more)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 20, 20);
    shape_box(s, 24, 0, 44, 20);
    nw_region region = shape_region(s);
    nw_rack rack = rack_of("wide, 5mm\nslim, 3mm\n");
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_INSIDE;
    const double stocks[] = {0, 2, 6};
    for (size_t k = 0; k < 3; k++) {
        nw_bits bits;
        ck_assert(nw_bits_compare(&region, &options, &rack, stocks[k], &bits, NULL) == NW_OK);
        ck_assert_uint_eq(bits.results[0].necks, 1);
        ck_assert_uint_eq(bits.results[1].necks, stocks[k] > 4);
        nw_bits_free(&bits);
    }
    nw_rack_free(&rack);
    free(s);
}
END_TEST

START_TEST(lengths_are_those_of_closed_forms)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 40, 30);
    nw_fit fit = shape_fit(s, NW_CUT_INSIDE, 4, 0);
    ck_assert_double_eq_tol(fit.outline_length, 140, 1e-9);
    /* The centre runs along a rectangle less 4 either way; each corner leaves 2 + 2 mm of wall. */
    ck_assert_double_eq_tol(fit.path_length, 2 * (36 + 26), 0.05);
    ck_assert_double_eq_tol(fit.outline_missed, 16, 0.05);
    nw_fit_free(&fit);
    fit = shape_fit(s, NW_CUT_OUTSIDE, 4, 0);
    /* Outside: the outline and a full circle of the radius. */
    ck_assert_double_eq_tol(fit.path_length, 140 + 4 * PI, 0.05);
    ck_assert_double_eq_tol(fit.outline_missed, 0, 1e-9);
    nw_fit_free(&fit);
    free(s);
}
END_TEST

START_TEST(tapered_and_v_bits)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 20, 20);
    shape_box(s, 40, 0, 43, 30);
    nw_region region = shape_region(s);
    nw_rack rack = rack_of("vee, 30mm, angle 90\nsmall vee, 6mm, angle 60\n"
                           "taper, 6mm, tip 1mm, angle 20, flutes 5mm\nthick, 4mm, flutes 12mm\n");
    nw_bits bits;
    nw_error error = {0};
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_POCKET;
    ck_assert(nw_bits_compare(&region, &options, &rack, 8, &bits, &error) == NW_OK);
    for (size_t k = 0; k < bits.count; k++) {
        const nw_bit_result *result = &bits.results[k];
        const char *name = rack.bits[result->bit].name;
        bool vee = strstr(name, "vee") != NULL;
        ck_assert_int_eq(result->judged, !vee);
        if (strcmp(name, "vee") == 0) { /* 10 mm from the walls, 45 degrees */
            ck_assert_double_eq_tol(result->vee_depth, 10, 1e-3);
            ck_assert_double_eq_tol(result->vee_at.x, 10, 1e-3);
        } else if (vee) { /* 3 mm is all that it has: 3 / tan 30 */
            ck_assert_double_eq_tol(result->vee_depth, 5.19615, 1e-4);
        } else if (strcmp(name, "taper") == 0) { /* 1 + 2 * 8 * tan 10 */
            ck_assert_double_eq_tol(result->diameter, 3.82123, 1e-5);
            ck_assert(result->flutes_short && !result->fit.fits);
        } else {
            ck_assert(!result->flutes_short);
        }
    }
    nw_bits_free(&bits);
    options.cut = NW_CUT_INSIDE; /* without a thickness a point has no width */
    ck_assert(nw_bits_compare(&region, &options, &rack, 0, &bits, &error) == NW_OK);
    for (size_t k = 0; k < bits.count; k++) {
        bool vee = rack.bits[bits.results[k].bit].shape == NW_VEE;
        ck_assert_int_eq(bits.results[k].judged, !vee);
    }
    nw_bits_free(&bits);
    nw_rack_free(&rack);
    free(s);
}
END_TEST

typedef struct {
    size_t count, wrong;
} tellings;

static void hear(void *context, const char *stage, double fraction)
{
    tellings *heard = context;
    heard->count++;
    heard->wrong += !(*stage && fraction >= 0 && fraction <= 1);
}

START_TEST(how_far_the_work_is_can_be_heard)
{
    shape *s = dumbbell(1);
    nw_region region = shape_region(s);
    nw_rack rack;
    nw_bits bits;
    nw_pairs pairs;
    nw_sample *samples;
    size_t count;
    tellings heard = {0, 0};
    nw_fit_options options = nw_fit_defaults();
    options.progress = hear;
    options.progress_context = &heard;
    ck_assert(nw_rack_common(&rack, NULL) == NW_OK);
    ck_assert(nw_bits_compare(&region, &options, &rack, 0, &bits, NULL) == NW_OK);
    size_t in_bits = heard.count;
    ck_assert_uint_gt(in_bits, rack.count); /* one each and more */
    ck_assert(nw_pairs_compare(&region, &options, &rack, 0, &pairs, NULL) == NW_OK);
    ck_assert_uint_ge(heard.count, in_bits + rack.count / 4);
    ck_assert(nw_outline_samples(&region, &options, 0.3, 30, &samples, &count, NULL) == NW_OK);
    ck_assert_uint_eq(heard.wrong, 0);
    free(samples);
    nw_pairs_free(&pairs);
    nw_bits_free(&bits);
    nw_rack_free(&rack);
    free(s);
}
END_TEST

START_TEST(nonsense_is_refused)
{
    shape *s = dumbbell(1);
    nw_region region = shape_region(s);
    nw_rack rack = rack_of("one, 1mm\n");
    nw_bits bits;
    nw_error error = {0};
    nw_sample *samples;
    size_t count;
    nw_fit_options options = nw_fit_defaults();
    ck_assert_int_eq(nw_bits_compare(&region, &options, &rack, NAN, &bits, &error), NW_BAD_REQUEST);
    ck_assert_ptr_null(bits.results);
    options.neck = -1;
    ck_assert_int_eq(nw_bits_compare(&region, &options, &rack, 0, &bits, &error), NW_BAD_REQUEST);
    options.neck = 0;
    ck_assert_int_eq(nw_outline_samples(&region, &options, 0, 5, &samples, &count, &error),
                     NW_BAD_REQUEST);
    ck_assert_int_eq(nw_outline_samples(&region, &options, 1e-9, 5, &samples, &count, &error),
                     NW_BAD_REQUEST);
    ck_assert_ptr_null(samples);
    nw_rack_free(&rack);
    free(s);
}
END_TEST

/* ---- the largest discs ---------------------------------------------------------------------- */

static double to_segment(nw_point p, nw_point a, nw_point b)
{
    double dx = b.x - a.x, dy = b.y - a.y, length = dx * dx + dy * dy;
    double t = length > 0 ? ((p.x - a.x) * dx + (p.y - a.y) * dy) / length : 0;
    t = fmin(1, fmax(0, t));
    return hypot(a.x + t * dx - p.x, a.y + t * dy - p.y);
}

/* A residue's lines lie on the outline, its arcs do not. */
static bool on_walls(const nw_drawing *residues, nw_point p)
{
    for (size_t i = 0; i < residues->count; i++) {
        const nw_path *path = &residues->paths[i];
        nw_point from = path->start;
        for (size_t k = 0; k < path->count; k++) {
            if (path->steps[k].kind == NW_LINE && to_segment(p, from, path->steps[k].to) < 1e-6)
                return true;
            from = path->steps[k].to;
        }
    }
    return false;
}

/* Length of outline whose samples and the fit disagree about being reached by a bit. */
static double disagreement(const shape *s, nw_cut cut, double bit)
{
    nw_fit fit = shape_fit(s, cut, bit, 0.1);
    nw_fit_options options = fit.options;
    nw_region region = shape_region(s);
    nw_sample *samples;
    size_t count;
    nw_error error = {0};
    nw_status status = nw_outline_samples(&region, &options, 0.3, 30, &samples, &count, &error);
    ck_assert_msg(status == NW_OK, "%s", error.message);
    double wrong = 0, whole = 0;
    for (size_t i = 0; i < count; i++) {
        bool lost =
            on_walls(&fit.residues, samples[i].at) || on_walls(&fit.corner_residues, samples[i].at);
        bool small = samples[i].diameter<bit - 0.01, large = samples[i].diameter> bit + 0.01;
        wrong += (lost && large) || (!lost && small) ? samples[i].length : 0;
        whole += samples[i].length;
    }
    ck_assert_double_eq_tol(whole, fit.outline_length, 1e-6 * whole);
    free(samples);
    nw_fit_free(&fit);
    return wrong / whole;
}

START_TEST(discs_agree_with_the_fit_at_every_diameter)
{
    static const double bits[] = {0.8, 1.5875, 1.99, 2.1, 3.175, 6.35, 9, 12.7, 23, 25};
    shape *s = dumbbell(1);
    shape_circle(s, 0, 60, 9, 300, 1);
    shape_circle(s, 2, 60, 4, 200, -1);
    SHAPE_RING(s, 30, 40, 60, 40, 45, 70);
    for (size_t i = 0; i < sizeof bits / sizeof *bits; i++) {
        ck_assert_double_lt(disagreement(s, NW_CUT_INSIDE, bits[i]), 1e-9);
        ck_assert_double_lt(disagreement(s, NW_CUT_OUTSIDE, bits[i]), 1e-9);
    }
    free(s);
}
END_TEST

START_TEST(the_widest_place_is_the_inscribed_circle)
{
    /* Triangles of sides 3-4-5, 5-12-13, 13-14-15: 2 A / perimeter gives radius 1, 2, 4. Hexagon
     * of side 40: 69.2820 (Machinery's Handbook, 31st ed., p. 77). */
    static const double sides[][3] = {{3, 4, 5}, {5, 12, 13}, {13, 14, 15}};
    static const double widest[] = {2, 4, 8};
    nw_fit_options options = nw_fit_defaults();
    nw_error error = {0};
    nw_point at;
    double diameter;
    for (int i = 0; i < 3; i++) {
        double a = sides[i][0], b = sides[i][1], c = sides[i][2];
        double x = (b * b + c * c - a * a) / (2 * c), y = sqrt(b * b - x * x);
        shape *s = shape_new();
        SHAPE_RING(s, 0, 0, c, 0, x, y);
        nw_region region = shape_region(s);
        ck_assert(nw_widest_place(&region, &options, 1000, &at, &diameter, &error) == NW_OK);
        ck_assert_double_eq_tol(diameter, widest[i], 1e-4);
        free(s);
    }
    shape *s = shape_new();
    shape_circle(s, 0, 0, 40, 6, 1);
    nw_region region = shape_region(s);
    ck_assert(nw_widest_place(&region, &options, 1000, &at, &diameter, &error) == NW_OK);
    ck_assert_double_eq_tol(diameter, 69.2820, 1e-4);
    ck_assert_double_lt(hypot(at.x, at.y), 1e-3);
    free(s);
}
END_TEST

/* ---- critical bits -------------------------------------------------------------------------- */

START_TEST(critical_bits_of_closed_forms)
{
    shape *s = dumbbell(1); /* the passage's width */
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_INSIDE, 0.1), 2, EXACT_MM);
    free(s);
    s = shape_new(); /* a ring of 12 and 8 (Machinery's Handbook p. 79): 2 wide */
    shape_circle(s, 0, 0, 12 / 2.0 + 0, 2000, 1);
    shape_circle(s, 0, 0, 8 / 2.0, 2000, -1);
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_INSIDE, 0.1), 2, EXACT_MM);
    free(s);
    s = shape_new(); /* an eccentric ring: R 10, r 5, e 2 closes to 3 */
    shape_circle(s, 0, 0, 10, 2000, 1);
    shape_circle(s, 2, 0, 5, 2000, -1);
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_INSIDE, 0.1), 3, EXACT_MM);
    free(s);
    s = shape_new(); /* bars like a bar code's: the thinnest is 0.33, the thinnest space 0.5 */
    shape_box(s, 0, 0, 1, 20);
    shape_box(s, 1.5, 0, 1.83, 20);
    shape_box(s, 3, 0, 5, 20);
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_INSIDE, 0.1), 0.33, EXACT_MM);
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_OUTSIDE, 0.1), 0.5, EXACT_MM);
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_INSIDE, 0), 0.33, EXACT_MM);
    free(s);
}
END_TEST

/* A Siemens star of 18 wedges whose points are cut off by chords at radius `hub`. A disc of radius
 * r that touches both sides of a wedge of half angle b stands r / sin b from the star's middle; the
 * end is lost as a stub, not rounded as a corner, once its corners are more than an eighth of 4 %
 * of the star from that disc, l: (r / sin b - hub cos b)^2 + (hub sin b)^2 = (r + l)^2. Plane
 * geometry. */
START_TEST(critical_bit_of_a_siemens_star)
{
    double hub = 10, rim = 40, b = PI / 36, slope = 1 / tan(b);
    double l = 0.04 * 2 * rim * cos(b) / 8, half = hub * slope + l;
    double r = (half + sqrt(half * half - slope * slope * (hub * hub - l * l))) / (slope * slope);
    shape *s = shape_new();
    for (int i = 0; i < 18; i++) {
        double t = 2 * PI * i / 18;
        SHAPE_RING(s, hub * cos(t - b), hub * sin(t - b), rim * cos(t - b), rim * sin(t - b),
                   rim * cos(t + b), rim * sin(t + b), hub * cos(t + b), hub * sin(t + b));
    }
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_INSIDE, 0.1), 2 * r, EXACT_MM);
    free(s);
}
END_TEST

/* A Ronchi ruling and a bar code at a slant: a module of 0.33 mm (nominal for retail bar codes,
 * from memory), bars and spaces of one to four modules. */
START_TEST(critical_bits_of_gratings)
{
    static const int code[] = {1, 1, 1, 3, 2, 1, 1, 2, 2, 2, 1, 4, 1, 1, 1, 1, 3, 2, 1, 2, 3, 1, 1};
    static const double scales[] = {0.33, 1, 2.7};
    for (size_t i = 0; i < 3; i++) {
        double module = scales[i], at = 0;
        shape *s = shape_new();
        for (size_t k = 0; k < sizeof code / sizeof *code; at += code[k] * module, k++)
            if (k % 2 == 0)
                shape_box(s, at, 0, at + code[k] * module, 40 * module);
        shape_place(s, (placing){1, 0.3 + (double)i, 5, 7, false});
        ck_assert_double_eq_tol(critical_of(s, NW_CUT_INSIDE, 0.05), module, EXACT_MM);
        ck_assert_double_eq_tol(critical_of(s, NW_CUT_OUTSIDE, 0.05), module, EXACT_MM);
        free(s);
    }
    shape *s = shape_new(); /* lines of 2 mm, 3.5 mm apart */
    for (int k = 0; k < 12; k++)
        shape_box(s, 3.5 * k, 0, 3.5 * k + 2, 30);
    shape_place(s, (placing){1, 0.7, 0, 0, true});
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_INSIDE, 0.05), 2, EXACT_MM);
    ck_assert_double_eq_tol(critical_of(s, NW_CUT_OUTSIDE, 0.05), 1.5, EXACT_MM);
    free(s);
}
END_TEST

START_TEST(bits_that_always_or_never_fit)
{
    shape *s = shape_new(); /* two triangles that touch in a point */
    SHAPE_RING(s, 0, 0, 10, 10, 0, 20);
    SHAPE_RING(s, 10, 10, 20, 0, 20, 20);
    ck_assert_double_eq(critical_of(s, NW_CUT_OUTSIDE, 0.1), 0);
    free(s);
    s = shape_new(); /* outside of a disc any bit fits */
    shape_circle(s, 0, 0, 10, 400, 1);
    ck_assert(isinf(critical_of(s, NW_CUT_OUTSIDE, 0.1)));
    free(s);
}
END_TEST

/* ---- critical sizes ------------------------------------------------------------------------- */

static double size_blunted(const shape *s, double bit, double neck, double blunt)
{
    nw_drawing drawing = drawing_of(s);
    nw_region region;
    nw_error error = {0};
    nw_fit_options options = nw_fit_defaults();
    double factor;
    options.bit = bit;
    options.neck = neck;
    options.blunt = blunt;
    ck_assert(nw_drawing_flatten(&drawing, NW_FLATNESS_MM, &region, &error) == NW_OK);
    nw_status status = nw_size_critical(&drawing, &region, &options, &factor, &error);
    ck_assert_msg(status == NW_OK, "%s", error.message);
    double width = drawing.width * factor;
    ck_assert(width == 0 || fabs(width * 100 - round(width * 100)) < 1e-6 || width < 10);
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    return factor;
}

static double size_of(const shape *s, double bit, double neck)
{
    return size_blunted(s, bit, neck, 0);
}

START_TEST(critical_sizes)
{
    shape *s = dumbbell(1); /* 2 mm must become the bit's diameter; 3.175 / 2 = 1.5875 */
    ck_assert_double_eq_tol(size_of(s, 3.175, 0.1), 1.5875, 0.0003);
    ck_assert_double_eq_tol(size_of(s, 1, 0.1), 0.5, 0.003); /* and may shrink to half */
    free(s);
    s = shape_new(); /* the neck between two squares is the limit, 1 mm */
    shape_box(s, 0, 0, 20, 20);
    shape_box(s, 21, 0, 41, 20);
    ck_assert_double_eq_tol(size_of(s, 2, 3), 3, 0.001);
    free(s);
    s = shape_new(); /* touching in a point, no size does */
    SHAPE_RING(s, 0, 0, 10, 5, 0, 10);
    SHAPE_RING(s, 10, 5, 20, 0, 20, 10);
    ck_assert_double_eq(size_of(s, 2, 0.1), 0);
    free(s);
    s = shape_new(); /* nor with a tip of 10 degrees, which loses 5.2 d at any size, more than 5 mm
                      */
    SHAPE_RING(s, 0, 0, 100, -8.7488663, 100, 8.7488663);
    ck_assert_double_eq(size_blunted(s, 2, 0.1, 5), 0);
    /* but that is 4 % of the art when it is r (1 / sin 5 - 1) / 0.04 wide */
    ck_assert_double_eq_tol(size_of(s, 2, 0.1), (0.9975 / sin(PI / 36) - 0.9975) / 4, 0.03);
    free(s);
}
END_TEST

/* The ways out of a shape for this bit, where the rack holds one of 1 mm alone; returns its
 * spots. */
static size_t ways_beside_one(const shape *s, double bit, nw_ways *ways)
{
    nw_drawing drawing = drawing_of(s);
    nw_region region;
    nw_rack rack = rack_of("one, 1mm\n");
    nw_fit fit;
    nw_fit_options options = nw_fit_defaults();
    options.bit = bit;
    options.neck = 0.1;
    ck_assert(nw_drawing_flatten(&drawing, NW_FLATNESS_MM, &region, NULL) == NW_OK);
    ck_assert(nw_fit_run(&region, &options, &fit, NULL) == NW_OK);
    ck_assert(nw_ways_find(&drawing, &region, &options, &fit, &rack, 0, ways, NULL) == NW_OK);
    size_t spots = fit.spot_count;
    nw_fit_free(&fit);
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    nw_rack_free(&rack);
    return spots;
}

/* A hundred times the size is found, and no more; and what is worth suggesting ends at four. */
START_TEST(sizes_beyond_sense_are_not_looked_for)
{
    shape *s = dumbbell(1); /* 2 wide */
    ck_assert_double_eq_tol(size_of(s, 198, 0.1), 99, 0.1);
    ck_assert_double_eq(size_of(s, 202, 0.1), 0);
    for (int k = 0; k < 2; k++) {
        nw_ways ways;
        ways_beside_one(s, k ? 8.1 : 7.9, &ways);
        ck_assert(k ? ways.factor == 0 : ways.factor > 3.95 && ways.factor <= 4);
    }
    free(s);
}
END_TEST

/* A square of 100 mm, a slot that the smaller bit cuts, and a slit that both miss: the smaller one
 * is told of only where it leaves no more than a hundredth. */
START_TEST(what_leaves_a_hundredth_comes_near)
{
    for (int k = 0; k < 2; k++) {
        shape *s = shape_new();
        shape_box(s, 0, 0, 100, 100);
        shape_box(s, 120, 0, 120.5, k ? 160 : 240);
        shape_box(s, 140, 0, 142, 20);
        nw_ways ways;
        ck_assert_uint_eq(ways_beside_one(s, 3.175, &ways), 2);
        ck_assert_uint_eq(ways.near_bit, k ? 0 : 1);
        free(s);
    }
}
END_TEST

/* A whole roll of a disc begins at its first stretch. */
static void roll_count(void *context, const char *stage, double fraction)
{
    *(size_t *)context += strcmp(stage, "rolling the disc") == 0 && fraction == 0;
}

/* Triangles that touch in a point, which no size opens: the size that comes nearest is the same as
 * among sizes side by side, but of these no more than the largest and the one that is told of are
 * made and rolled along, gaps and necks. */
START_TEST(the_nearest_size_is_tried_and_no_other)
{
    shape *s = shape_new();
    SHAPE_RING(s, 0, 0, 30, 15, 0, 30);
    SHAPE_RING(s, 30, 15, 60, 0, 60, 30);
    shape_box(s, 0, 40, 60, 70);
    for (int k = 0; k < 3; k++)
        shape_box(s, 70 + 10 * k, 0, 73 + 11 * k, 30);
    nw_drawing drawing = drawing_of(s);
    nw_region region;
    nw_rack rack = rack_of("ten, 10mm\n");
    nw_error error = {0};
    ck_assert(nw_drawing_flatten(&drawing, NW_FLATNESS_MM, &region, &error) == NW_OK);
    static const double bits[] = {4.5, 5.5, 6.35, 8, 11};
    for (size_t k = 0; k < sizeof bits / sizeof *bits; k++) {
        size_t rolls = 0;
        nw_fit fit;
        nw_ways ways;
        nw_sizes sizes;
        nw_fit_options options = nw_fit_defaults();
        options.bit = bits[k];
        options.with_sides = true;
        options.progress = roll_count;
        options.progress_context = &rolls;
        ck_assert(nw_fit_run(&region, &options, &fit, &error) == NW_OK);
        rolls = 0;
        ck_assert(nw_ways_find(&drawing, &region, &options, &fit, &rack, 0, &ways, &error) ==
                  NW_OK);
        size_t needed = rolls;
        ck_assert(nw_sizes_compare(&drawing, &region, &options, 0, &sizes, &error) == NW_OK);
        const nw_size_result *closest = &sizes.results[sizes.closest];
        ck_assert_double_eq_tol(ways.near_width, closest->width, 1e-9);
        ck_assert_uint_eq(ways.near_size_spots, closest->fit.spot_count);
        ck_assert_double_eq_tol(ways.near_size_share, nw_fit_unreached(&closest->fit), 1e-9);
        ck_assert_uint_le(needed, 4);
        nw_sizes_free(&sizes);
        nw_fit_free(&fit);
    }
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    nw_rack_free(&rack);
    free(s);
}
END_TEST

START_TEST(scale_and_bit_together_change_nothing)
{
    static const double scales[] = {0.5, 2, 7.3};
    for (size_t i = 0; i < 3; i++) {
        shape *one = dumbbell(1), *other = dumbbell(scales[i]);
        nw_fit a = shape_fit(one, NW_CUT_INSIDE, 3.175, 1);
        nw_fit b = shape_fit(other, NW_CUT_INSIDE, 3.175 * scales[i], scales[i]);
        ck_assert_uint_eq(a.spot_count, b.spot_count);
        ck_assert_uint_eq(a.corners.count, b.corners.count);
        for (size_t k = 0; k < a.spot_count; k++) {
            ck_assert_int_eq(a.spots[k].form, b.spots[k].form);
            ck_assert_double_eq_tol(a.spots[k].width * scales[i], b.spots[k].width, 1e-6);
            ck_assert_double_eq_tol(a.spots[k].at.x * scales[i], b.spots[k].at.x, 1e-3 * scales[i]);
        }
        double critical = critical_of(other, NW_CUT_INSIDE, 0.1);
        ck_assert_double_eq_tol(critical, 2 * scales[i], EXACT_MM);
        nw_fit_free(&a);
        nw_fit_free(&b);
        free(one);
        free(other);
    }
}
END_TEST

static void assert_same_ways(const nw_ways *a, const nw_ways *b)
{
    ck_assert_uint_eq(a->bit, b->bit);
    ck_assert_uint_eq(a->near_bit, b->near_bit);
    ck_assert_uint_eq(a->near_bit_spots, b->near_bit_spots);
    ck_assert_uint_eq(a->near_size_spots, b->near_size_spots);
    ck_assert(a->factor == b->factor && a->blunt == b->blunt);
    ck_assert(a->near_width == b->near_width && a->near_size_share == b->near_size_share);
}

/* What a fit keeps for the ways out tells them what they would find out themselves, for a bit that
 * fits, one that does not, and one that nothing helps. */
START_TEST(a_fit_that_keeps_its_sides_has_the_same_ways_out)
{
    shape *s = dumbbell(1);
    nw_drawing drawing = drawing_of(s);
    nw_region region;
    nw_rack rack;
    nw_error error = {0};
    ck_assert(nw_rack_common(&rack, &error) == NW_OK);
    ck_assert(nw_drawing_flatten(&drawing, NW_FLATNESS_MM, &region, &error) == NW_OK);
    static const double bits[] = {1, 3.175, 12.7};
    for (size_t k = 0; k < sizeof bits / sizeof *bits; k++) {
        nw_fit kept, plain;
        nw_ways ways[2];
        nw_fit_options options = nw_fit_defaults();
        options.bit = bits[k];
        ck_assert(nw_fit_run(&region, &options, &plain, &error) == NW_OK);
        ck_assert_ptr_null(plain.sides);
        options.with_sides = true;
        ck_assert(nw_fit_run(&region, &options, &kept, &error) == NW_OK);
        ck_assert_ptr_nonnull(kept.sides);
        const nw_fit *fits[] = {&plain, &kept};
        for (int i = 0; i < 2; i++)
            ck_assert(nw_ways_find(&drawing, &region, &options, fits[i], &rack, 0, &ways[i],
                                   &error) == NW_OK);
        assert_same_ways(&ways[0], &ways[1]);
        nw_fit_sides_free(&kept);
        ck_assert_ptr_null(kept.sides);
        nw_fit_free(&kept);
        nw_fit_free(&plain);
    }
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    nw_rack_free(&rack);
    free(s);
}
END_TEST

START_TEST(the_ways_out_of_one_pinch)
{
    shape *s = dumbbell(1);
    nw_drawing drawing = drawing_of(s);
    nw_region region;
    nw_rack rack;
    nw_fit fit;
    nw_ways ways;
    nw_error error = {0};
    nw_fit_options options = nw_fit_defaults();
    ck_assert(nw_rack_common(&rack, &error) == NW_OK);
    ck_assert(nw_drawing_flatten(&drawing, NW_FLATNESS_MM, &region, &error) == NW_OK);
    ck_assert(nw_fit_run(&region, &options, &fit, &error) == NW_OK);
    ck_assert(nw_ways_find(&drawing, &region, &options, &fit, &rack, 0, &ways, &error) == NW_OK);
    ck_assert(!ways.fits);
    ck_assert_str_eq(rack.bits[ways.bit].name, "2 mm");
    ck_assert_uint_eq(ways.places, 1);
    ck_assert_double_eq_tol(ways.widen_most, 1.175, 0.001);
    ck_assert_double_eq_tol(ways.width, ceil(drawing.width * 1.5875), 1e-9);
    ck_assert_double_eq_tol(ways.width, drawing.width * ways.factor, 1e-9);
    nw_fit_free(&fit);
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    nw_rack_free(&rack);
    free(s);
}
END_TEST

/* ---- pairs ----------------------------------------------------------------------------------- */

static double lines_length(const nw_drawing *drawing)
{
    double sum = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        nw_point from = drawing->paths[i].start;
        for (size_t k = 0; k < drawing->paths[i].count; k++) {
            nw_point to = drawing->paths[i].steps[k].to;
            sum += hypot(to.x - from.x, to.y - from.y);
            from = to;
        }
    }
    return sum;
}

START_TEST(the_small_bit_runs_only_where_the_large_one_leaves_something)
{
    shape *s = shape_new();
    shape_box(s, 0, 0, 40, 30);
    shape_circle(s, 80, 15, 12, 400, 1); /* with which the small bit has nothing to do */
    nw_region region = shape_region(s);
    nw_drawing drawing = drawing_of(s);
    nw_rack rack = rack_of("large, 10mm, feed 1000\nsmall, 4mm, feed 500\n");
    nw_pairs pairs;
    nw_error error = {0};
    nw_fit_options options = nw_fit_defaults();
    options.neck = 0.1;
    options.blunt = 1.5; /* less than the large one leaves of a corner */
    ck_assert(nw_pairs_compare(&region, &options, &rack, 0, &pairs, &error) == NW_OK);
    ck_assert(pairs.fits && pairs.by_time);
    ck_assert_uint_eq(pairs.count, 1);
    const nw_pair *pair = &pairs.pairs[0];
    /* Of each corner the large one leaves 5 mm of either side, of which the small one reaches 3,
     * and goes on over what is cut. */
    ck_assert_double_eq_tol(pair->large_path, 100 + 2 * PI * 7, 0.05);
    ck_assert_double_eq_tol(pair->small_path, 24 + 8 * NW_PAIR_OVERLAP * 4, 0.05);
    ck_assert_double_eq_tol(pair->minutes, pair->large_path / 1000 + pair->small_path / 500, 1e-9);
    /* Fillets: (4 - pi) r^2 for all four corners. */
    ck_assert_double_eq_tol(pair->remains, (4 - PI) * 25, 0.1);
    ck_assert_double_eq_tol(pair->left, (4 - PI) * 4, 0.1);
    nw_drawing large, small, left;
    ck_assert(nw_pair_pieces(&drawing, &region, &options, 10, 4, &large, &small, &left, &error) ==
              NW_OK);
    double circle = 400 * 24 * sin(PI / 400);
    ck_assert_double_eq_tol(lines_length(&large), 100 + circle, 0.05);
    ck_assert_double_eq_tol(lines_length(&small), 24 + 8 * NW_PAIR_OVERLAP * 4, 0.05);
    ck_assert_double_eq_tol(lines_length(&left), 16, 0.05);
    size_t closed = 0;
    for (size_t i = 0; i < large.count; i++)
        closed += large.paths[i].closed;
    ck_assert_uint_eq(closed, 1); /* the circle */
    nw_drawing_free(&large);
    nw_drawing_free(&small);
    nw_drawing_free(&left);
    nw_pairs_free(&pairs);
    nw_rack_free(&rack);
    nw_drawing_free(&drawing);
    free(s);
}
END_TEST

/* Of five sizes, from the largest on, those given leave so many percent and spots. */
START_TEST(what_leaves_least_is_closest_where_none_is_near)
{
    const struct {
        double shares[4];
        size_t spots[4], closest;
    } cases[] = {{{34, 8, 12, 9}, {9, 5, 5, 4}, 1},
                 {{34, 0.5, 12, 0.1}, {9, 5, 5, 4}, 1},
                 {{0.2, 0.5, 2, 0.1}, {3, 3, 1, 1}, 1},
                 {{0.2, 0.5, 2, 0.1}, {3, 4, 1, 1}, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        nw_closest closest = nw_closest_none();
        for (size_t k = 0; k < 4; k++)
            nw_closest_take(&closest, k, cases[i].spots[k], cases[i].shares[k] / 100);
        ck_assert_uint_eq(closest.index, cases[i].closest);
        ck_assert_double_eq_tol(closest.share, cases[i].shares[closest.index] / 100, 1e-12);
    }
}
END_TEST

/* A square of 60 with two slits that all bits miss, cut out: a wide bit's way round it has more
 * area, of which what it leaves is less. */
START_TEST(outside_the_bit_that_leaves_least_is_closest)
{
    shape *s = shape_new();
    SHAPE_RING(s, 0, 0, 60, 0, 60, 60, 0, 60);
    SHAPE_RING(s, 20, 20, 20, 30, 20.6, 30, 20.6, 20);
    SHAPE_RING(s, 40, 20, 40, 30, 40.6, 30, 40.6, 20);
    nw_region region = shape_region(s);
    nw_rack rack = rack_of("a, 12mm\nb, 3mm\nc, 0.8mm\n");
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_OUTSIDE;
    nw_bits bits;
    nw_error error = {0};
    ck_assert(nw_bits_compare(&region, &options, &rack, 0, &bits, &error) == NW_OK);
    ck_assert_uint_eq(bits.largest, 3);
    ck_assert_uint_eq(bits.closest, 2);
    nw_bits_free(&bits);
    nw_rack_free(&rack);
    free(s);
}
END_TEST

/* The same square with a third slit, which the bit cuts once the art is twice as large: a large
 * drawing's way has more area, of which what it leaves is more. */
START_TEST(outside_the_size_that_leaves_least_is_closest)
{
    shape *s = shape_new();
    SHAPE_RING(s, 0, 0, 60, 0, 60, 60, 0, 60);
    SHAPE_RING(s, 20, 20, 20, 30, 20.6, 30, 20.6, 20);
    SHAPE_RING(s, 40, 20, 40, 30, 40.6, 30, 40.6, 20);
    SHAPE_RING(s, 30, 40, 30, 42, 31.6, 42, 31.6, 40);
    nw_drawing drawing = drawing_of(s);
    nw_region region = shape_region(s);
    nw_fit_options options = nw_fit_defaults();
    options.cut = NW_CUT_OUTSIDE;
    options.bit = 3;
    nw_sizes sizes;
    nw_error error = {0};
    ck_assert(nw_sizes_compare(&drawing, &region, &options, 0, &sizes, &error) == NW_OK);
    ck_assert_uint_eq(sizes.smallest, sizes.count);
    ck_assert_uint_lt(sizes.closest, sizes.count);
    ck_assert_double_ge(sizes.results[sizes.closest].width, 120);
    nw_sizes_free(&sizes);
    nw_drawing_free(&drawing);
    free(s);
}
END_TEST

/* A frame of 0.02 mm: no bit cuts any of it, and no size of it to four times. */
START_TEST(what_cuts_nothing_is_not_closest)
{
    shape *s = shape_new();
    SHAPE_RING(s, 0, 0, 60, 0, 60, 60, 0, 60);
    SHAPE_RING(s, 0.02, 0.02, 0.02, 59.98, 59.98, 59.98, 59.98, 0.02);
    nw_drawing drawing = drawing_of(s);
    nw_region region = shape_region(s);
    nw_rack rack = rack_of("a, 12mm\nb, 3mm\n");
    nw_fit_options options = nw_fit_defaults();
    options.bit = 3;
    nw_bits bits;
    nw_sizes sizes;
    nw_error error = {0};
    ck_assert(nw_bits_compare(&region, &options, &rack, 0, &bits, &error) == NW_OK);
    ck_assert_uint_eq(bits.largest, 2);
    ck_assert_uint_eq(bits.closest, 2);
    ck_assert(nw_sizes_compare(&drawing, &region, &options, 0, &sizes, &error) == NW_OK);
    ck_assert_uint_eq(sizes.smallest, sizes.count);
    ck_assert_uint_eq(sizes.closest, sizes.count);
    nw_bits_free(&bits);
    nw_sizes_free(&sizes);
    nw_rack_free(&rack);
    nw_drawing_free(&drawing);
    free(s);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_row_is_what_a_check_of_that_bit_says,
                                  what_leaves_least_is_closest_where_none_is_near,
                                  outside_the_bit_that_leaves_least_is_closest,
                                  outside_the_size_that_leaves_least_is_closest,
                                  what_cuts_nothing_is_not_closest,
                                  lengths_are_those_of_closed_forms,
                                  tapered_and_v_bits,
                                  the_neck_is_the_bit_or_the_stock_whichever_is_more,
                                  how_far_the_work_is_can_be_heard,
                                  nonsense_is_refused,
                                  discs_agree_with_the_fit_at_every_diameter,
                                  the_widest_place_is_the_inscribed_circle,
                                  critical_bits_of_closed_forms,
                                  critical_bit_of_a_siemens_star,
                                  critical_bits_of_gratings,
                                  bits_that_always_or_never_fit,
                                  critical_sizes,
                                  sizes_beyond_sense_are_not_looked_for,
                                  what_leaves_a_hundredth_comes_near,
                                  the_nearest_size_is_tried_and_no_other,
                                  scale_and_bit_together_change_nothing,
                                  the_ways_out_of_one_pinch,
                                  a_fit_that_keeps_its_sides_has_the_same_ways_out,
                                  the_small_bit_runs_only_where_the_large_one_leaves_something};
    return TESTS_RUN("choose_bits", tests);
}
