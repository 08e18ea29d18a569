/*
 * Glyphs drawn by FreeType with 256 grey levels and traced again, against their true outlines: the
 * tracing from grey levels and libpotrace on the same picture cut at 50 %. Wanted: at most half of
 * libpotrace's mean error, its largest error not worse, at most 1.2 times its nodes. Of a few
 * pixels, where each of them says much, at most 0.35 of the error, for half as many nodes again.
 */
#include "glyphs.h"
#include "second.h"
#include "outlines.h"
#include "trace_sample.h"

#include "../tests.h"

#include <trace/trace.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct {
    trace_errors plain, grey; /* sums over glyphs */
    int glyphs, worse;        /* worse: largest error greater than libpotrace's by over 0.1 px */
} tally;

#define LARGE 200 /* px: so high, all outlines are longer than a corner is wide */

static void compare(FT_Face face, unsigned long character, int size, tally *all)
{
    trace_sample s;
    if (trace_sample_glyph(face, character, true, &s)) {
        nw_trace_limits limits = {.tolerance = nw_trace_defaults().smooth_px};
        nw_drawing plain = {0}, grey = {0};
        nw_trace_far far;
        ck_assert_int_eq(nw_ink_trace(&s.ink, &plain, NULL), NW_OK);
        ck_assert_int_eq(nw_rings_trace(&s.ink, &s.picture, limits, &grey, &far, NULL), NW_OK);
        if (size >= LARGE)
            ck_assert_double_le(far.places, nw_trace_defaults().smooth_px);
        trace_errors p = trace_measure(&plain, &s.truth), g = trace_measure(&grey, &s.truth);
        trace_errors_add(&all->plain, p);
        trace_errors_add(&all->grey, g);
        all->glyphs++;
        all->worse += g.largest > p.largest + 0.1;
    }
    trace_sample_free(&s);
}

static const char *const FONTS[] = {
    "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
    "/usr/share/fonts/truetype/dejavu/DejaVuSerif-Bold.ttf",
    "/usr/share/fonts/type1/urw-base35/C059-Italic.t1",
    "/usr/share/fonts/type1/urw-base35/P052-Roman.t1",
};

static void compare_all(int size, tally *all)
{
    FT_Library library;
    second_start();
    ck_assert_int_eq(FT_Init_FreeType(&library), 0);
    for (size_t i = 0; i < sizeof FONTS / sizeof *FONTS; i++) {
        FT_Face face = glyph_face(library, FONTS[i]);
        for (const char *c = "aegksBKRW58&"; face && *c; c++) {
            FT_Set_Pixel_Sizes(face, 0, (FT_UInt)size);
            compare(face, (unsigned long)*c, size, all);
        }
        FT_Done_Face(face);
    }
    FT_Done_FreeType(library);
}

static void expect_better(int size)
{
    tally all = {0};
    compare_all(size, &all);
    if (!all.glyphs) {
        fprintf(stderr, "# skipped: none of the fonts is installed\n");
        return;
    }
    double mean = all.grey.sum / all.grey.length / (all.plain.sum / all.plain.length);
    fprintf(stderr,
            "# %d px, %d glyphs: mean error %.3f px, %.2f of libpotrace's; largest %.2f of "
            "its; nodes %.2f of its; worse by over 0.1 px on %d\n",
            size, all.glyphs, all.grey.sum / all.grey.length, mean,
            all.grey.largest / all.plain.largest, all.grey.nodes / all.plain.nodes, all.worse);
    bool large = size >= LARGE;
    ck_assert_double_le(mean, large ? 0.5 : 0.35);
    ck_assert_double_le(all.grey.largest, all.plain.largest);
    ck_assert_double_le(all.grey.nodes, (large ? 1.2 : 1.5) * all.plain.nodes);
    ck_assert_int_le(all.worse, all.glyphs / (large ? 20 : 10));
}

START_TEST(at_30_px)
{
    expect_better(30);
}
END_TEST

START_TEST(at_60_px)
{
    expect_better(60);
}
END_TEST

START_TEST(at_400_px)
{
    expect_better(400);
}
END_TEST

START_TEST(at_900_px)
{
    expect_better(900);
}
END_TEST

START_TEST(at_1600_px)
{
    expect_better(1600);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {at_30_px, at_60_px, at_400_px, at_900_px, at_1600_px};
    return tests_run("trace_glyphs", tests, outlines_all() ? 5 : 4); /* the last takes long */
}
