/*
 * Glyphs drawn by FreeType with 256 grey levels and traced again, against their true outlines: the
 * tracing from grey levels and libpotrace on the same picture cut at 50 %. Wanted: at most half of
 * libpotrace's mean error, its largest error not worse, at most 1.2 times its nodes.
 */
#include "glyphs.h"
#include "second.h"

#include <outline/trace_internal.h>

#include "../tests.h"

#include FT_OUTLINE_H
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct {
    nw_picture picture;
    nw_ink ink;
    nw_region truth; /* in the picture's pixels, y up */
} sample;

static void sample_free(sample *s)
{
    free(s->picture.density);
    nw_ink_free(&s->ink);
    nw_region_free(&s->truth);
}

/* Draws a glyph at a place that is no whole number of pixels. */
static bool sample_make(FT_Face face, unsigned long character, sample *s)
{
    *s = (sample){0};
    FT_Outline *outline = &face->glyph->outline;
    if (!glyph_region(face, character, 0.002, &s->truth) ||
        FT_Load_Char(face, character, FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP)) {
        return false;
    }
    FT_BBox box;
    FT_Outline_Get_CBox(outline, &box);
    long left = (box.xMin >> 6) * 64 - 4 * 64 - 23, low = (box.yMin >> 6) * 64 - 4 * 64 - 37;
    FT_Outline_Translate(outline, -left, -low);
    s->picture.width = (uint32_t)((box.xMax - left) / 64 + 6);
    s->picture.height = (uint32_t)((box.yMax - low) / 64 + 6);
    s->picture.density = nw_alloc(s->picture.width, s->picture.height);
    if (!s->picture.density) {
        return false;
    }
    FT_Bitmap bitmap = {.rows = s->picture.height,
                        .width = s->picture.width,
                        .pitch = (int)s->picture.width,
                        .buffer = s->picture.density,
                        .num_grays = 256,
                        .pixel_mode = FT_PIXEL_MODE_GRAY};
    for (size_t i = 0; i < s->truth.starts[s->truth.count]; i++) {
        s->truth.points[i].x -= (double)left / 64;
        s->truth.points[i].y -= (double)low / 64;
    }
    return !FT_Outline_Get_Bitmap(face->glyph->library, outline, &bitmap) &&
           nw_ink_from_picture(&s->picture, &s->ink, NULL) == NW_OK;
}

static double segment_distance(nw_point p, nw_point a, nw_point b)
{
    double dx = b.x - a.x, dy = b.y - a.y, length = dx * dx + dy * dy;
    double t = length > 0 ? ((p.x - a.x) * dx + (p.y - a.y) * dy) / length : 0;
    t = fmin(1, fmax(0, t));
    return hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

static double distance_to(const nw_region *region, nw_point p)
{
    double least = INFINITY;
    for (size_t k = 0; k < region->count; k++) {
        nw_point a = region->points[region->starts[k + 1] - 1];
        for (size_t i = region->starts[k]; i < region->starts[k + 1]; i++) {
            nw_point b = region->points[i];
            if (fmin(a.x, b.x) - p.x < least && p.x - fmax(a.x, b.x) < least &&
                fmin(a.y, b.y) - p.y < least && p.y - fmax(a.y, b.y) < least) {
                least = fmin(least, segment_distance(p, a, b));
            }
            a = b;
        }
    }
    return least;
}

typedef struct {
    double sum, length, largest, nodes;
} errors;

/* Distances of places on `from`, a pixel apart, weighted by length. */
static void measure_from(const nw_region *from, const nw_region *to, errors *e)
{
    for (size_t k = 0; k < from->count; k++) {
        nw_point a = from->points[from->starts[k + 1] - 1];
        for (size_t i = from->starts[k]; i < from->starts[k + 1]; i++) {
            nw_point b = from->points[i];
            double length = hypot(b.x - a.x, b.y - a.y);
            int n = (int)length + 1;
            for (int j = 0; j < n; j++) {
                double t = (j + 0.5) / n;
                double d =
                    distance_to(to, (nw_point){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)});
                e->sum += d * length / n;
                e->largest = fmax(e->largest, d);
            }
            e->length += length;
            a = b;
        }
    }
}

static errors measure(nw_drawing *drawing, const nw_region *truth)
{
    errors e = {0};
    nw_region region;
    ck_assert_int_eq(drawing_clean(drawing, NULL), NW_OK);
    ck_assert_int_eq(nw_drawing_flatten(drawing, 0.01, &region, NULL), NW_OK);
    measure_from(&region, truth, &e);
    measure_from(truth, &region, &e);
    for (size_t i = 0; i < drawing->count; i++) {
        e.nodes += (double)drawing->paths[i].count;
    }
    nw_region_free(&region);
    nw_drawing_free(drawing);
    return e;
}

typedef struct {
    errors plain, grey; /* sums over glyphs */
    int glyphs, worse;  /* worse: largest error greater than libpotrace's by over 0.1 px */
} tally;

static void errors_add(errors *sum, errors e)
{
    *sum = (errors){sum->sum + e.sum, sum->length + e.length, sum->largest + e.largest,
                    sum->nodes + e.nodes};
}

static void compare(FT_Face face, unsigned long character, tally *all)
{
    sample s;
    if (sample_make(face, character, &s)) {
        nw_drawing plain = {0}, grey = {0};
        double largest;
        ck_assert_int_eq(ink_trace(&s.ink, &plain, NULL), NW_OK);
        ck_assert_int_eq(
            grey_trace(&s.ink, &s.picture, nw_trace_defaults().smooth_px, &grey, &largest, NULL),
            NW_OK);
        ck_assert_double_le(largest, nw_trace_defaults().smooth_px);
        errors p = measure(&plain, &s.truth), g = measure(&grey, &s.truth);
        errors_add(&all->plain, p);
        errors_add(&all->grey, g);
        all->glyphs++;
        all->worse += g.largest > p.largest + 0.1;
    }
    sample_free(&s);
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
            compare(face, (unsigned long)*c, all);
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
    ck_assert_double_le(mean, 0.5);
    ck_assert_double_le(all.grey.largest, all.plain.largest);
    ck_assert_double_le(all.grey.nodes, 1.2 * all.plain.nodes);
    ck_assert_int_le(all.worse, all.glyphs / 20);
}

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

int main(void)
{
    const TTest *const tests[] = {at_400_px, at_900_px};
    return tests_run("trace_glyphs", tests, 2, 300);
}
