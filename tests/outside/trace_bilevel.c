/*
 * Shapes in black and white alone, traced again, against their true outlines and against
 * libpotrace's curves: discs and ellipses come out round, straight edges straight, corners sharp;
 * and glyphs that FreeType draws without grey levels are nearer to the truth, with fewer nodes.
 */
#include "glyphs.h"
#include "second.h"
#include "trace_sample.h"

#include "../tests.h"

#include <trace/trace.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define PI 3.141592653589793

/* A star, a polygon or, with many corners, an ellipse: every other corner lies at `inner` of its
 * distance from the middle. */
typedef struct {
    int corners;
    double rx, ry, turn_deg, inner;
} form;

static nw_region form_region(form f, nw_point centre)
{
    nw_region r = {.points = nw_alloc((size_t)f.corners, sizeof *r.points),
                   .starts = nw_alloc(2, sizeof *r.starts),
                   .pieces = nw_alloc(1, sizeof *r.pieces),
                   .count = 1};
    ck_assert(r.points && r.starts && r.pieces);
    r.starts[1] = (size_t)f.corners;
    double c = cos(f.turn_deg * PI / 180), s = sin(f.turn_deg * PI / 180);
    for (int i = 0; i < f.corners; i++) {
        double angle = 2 * PI * i / f.corners, part = i % 2 ? f.inner : 1;
        double x = f.rx * part * cos(angle), y = f.ry * part * sin(angle);
        r.points[i] = (nw_point){centre.x + x * c - y * s, centre.y + x * s + y * c};
    }
    return r;
}

typedef struct {
    trace_errors plain, fitted; /* libpotrace's and ours */
} pair;

static pair compared(trace_sample *s)
{
    pair p;
    nw_drawing plain = {0}, fitted = {0};
    nw_trace_far far;
    nw_trace_limits limits = {.tolerance = nw_trace_defaults().smooth_px, .reach = TRACE_REACH_PX};
    ck_assert_int_eq(nw_ink_trace(&s->ink, &plain, NULL), NW_OK);
    ck_assert_int_eq(nw_rings_trace(&s->ink, NULL, limits, &fitted, &far, NULL), NW_OK);
    p.plain = trace_measure(&plain, &s->truth);
    p.fitted = trace_measure(&fitted, &s->truth);
    trace_sample_free(s);
    return p;
}

static pair traced(form f)
{
    double reach = fmax(f.rx, f.ry) + 6;
    uint32_t size = (uint32_t)(2 * reach);
    nw_region truth = form_region(f, (nw_point){reach + 0.37, reach - 0.79});
    trace_sample s;
    second_start();
    ck_assert(trace_sample_shape(&truth, size, size, &s));
    return compared(&s);
}

static double mean(trace_errors e)
{
    return e.sum / e.length;
}

/* The largest error within half a pixel, and the mean far from it, at most so many nodes in all. */
static void expect_round(const form *forms, size_t count, double most)
{
    pair all = {0};
    for (size_t i = 0; i < count; i++) {
        pair p = traced(forms[i]);
        ck_assert_msg(p.fitted.largest <= most, "%g x %g at %g: %g", forms[i].rx, forms[i].ry,
                      forms[i].turn_deg, p.fitted.largest);
        ck_assert_double_le(mean(p.fitted), 0.15);
        trace_errors_add(&all.plain, p.plain);
        trace_errors_add(&all.fitted, p.fitted);
    }
    fprintf(stderr,
            "# %zu shapes: mean error %.3f px, libpotrace's %.3f; mean of the largest %.2f, its "
            "%.2f; nodes %.2f of its\n",
            count, mean(all.fitted), mean(all.plain), all.fitted.largest / (double)count,
            all.plain.largest / (double)count, all.fitted.nodes / all.plain.nodes);
    ck_assert_double_le(mean(all.fitted), 0.7 * mean(all.plain));
    ck_assert_double_le(all.fitted.nodes, 1.2 * all.plain.nodes);
}

START_TEST(discs_are_round)
{
    const double radii[] = {3.3, 5, 8.2, 12, 20.4, 35, 60, 90.7, 150, 300, 600};
    form forms[11];
    for (size_t i = 0; i < 11; i++)
        forms[i] = (form){1440, radii[i], radii[i], 5, 1};
    expect_round(forms, 11, 0.5);
}
END_TEST

START_TEST(ellipses_are_round)
{
    form forms[6];
    for (int i = 0; i < 6; i++)
        forms[i] = (form){1440, 100, 40, 15 * i, 1};
    expect_round(forms, 6, 0.5);
}
END_TEST

/* Nodes at the corners alone, and these where they belong. Along the axes an edge may lie anywhere
 * within its row of pixels. */
static void expect_sharp(form f, double most)
{
    pair p = traced(f);
    ck_assert_msg(p.fitted.largest <= most, "%d corners at %g: %g", f.corners, f.turn_deg,
                  p.fitted.largest);
    ck_assert_double_le(p.fitted.largest, p.plain.largest + 1e-6);
    ck_assert_double_le(p.fitted.nodes, f.corners);
}

START_TEST(straight_edges_and_sharp_corners)
{
    for (int i = 0; i < 6; i++)
        expect_sharp((form){4, 80, 80, 7 * i + 5, 1}, 0.2);
    expect_sharp((form){4, 80, 80, 45, 1}, 0.75);
    expect_sharp((form){10, 80, 80, 0, 0.4}, 0.35);
    expect_sharp((form){10, 80, 80, 13, 0.4}, 0.35);
}
END_TEST

static const char *const FONTS[] = {
    "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
    "/usr/share/fonts/truetype/dejavu/DejaVuSerif-Bold.ttf",
    "/usr/share/fonts/type1/urw-base35/C059-Italic.t1",
    "/usr/share/fonts/type1/urw-base35/P052-Roman.t1",
};

static int glyphs_compare(FT_Library library, int size, pair *all)
{
    int glyphs = 0;
    for (size_t i = 0; i < sizeof FONTS / sizeof *FONTS; i++) {
        FT_Face face = glyph_face(library, FONTS[i]);
        for (const char *c = "aegksBKRW58&"; face && *c; c++) {
            trace_sample s;
            FT_Set_Pixel_Sizes(face, 0, (FT_UInt)size);
            ck_assert(trace_sample_glyph(face, (unsigned long)*c, false, &s));
            pair p = compared(&s);
            trace_errors_add(&all->plain, p.plain);
            trace_errors_add(&all->fitted, p.fitted);
            glyphs++;
        }
        FT_Done_Face(face);
    }
    return glyphs;
}

/* Most edges of type run along the axes, where no tracing can know the place within a pixel: that
 * alone makes a quarter of a pixel of mean error there. */
START_TEST(glyphs_are_nearer)
{
    FT_Library library;
    second_start();
    ck_assert_int_eq(FT_Init_FreeType(&library), 0);
    const int sizes[] = {200, 400, 900};
    for (int k = 0; k < 3; k++) {
        pair all = {0};
        int glyphs = glyphs_compare(library, sizes[k], &all);
        if (!glyphs) {
            fprintf(stderr, "# skipped: none of the fonts is installed\n");
            break;
        }
        fprintf(stderr,
                "# %d px, %d glyphs: mean error %.3f px, %.2f of libpotrace's; largest %.2f of "
                "its; nodes %.2f of its\n",
                sizes[k], glyphs, mean(all.fitted), mean(all.fitted) / mean(all.plain),
                all.fitted.largest / all.plain.largest, all.fitted.nodes / all.plain.nodes);
        ck_assert_double_le(mean(all.fitted), 0.7 * mean(all.plain));
        ck_assert_double_le(all.fitted.largest, all.plain.largest);
        ck_assert_double_le(all.fitted.nodes, 1.2 * all.plain.nodes);
    }
    FT_Done_FreeType(library);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {discs_are_round, ellipses_are_round,
                                  straight_edges_and_sharp_corners, glyphs_are_nearer};
    return tests_run("trace_bilevel", tests, 4);
}
