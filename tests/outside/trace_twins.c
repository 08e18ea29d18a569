/*
 * Clip art that was drawn as vectors (Debian's openclipart-svg, public domain), rendered by librsvg
 * (rsvg-convert) 400 to 1600 pixels wide and traced again, against the vectors: the tracing from
 * grey levels and libpotrace on the same picture cut at 50 %. Wanted: at most half of libpotrace's
 * mean error, its largest error not worse, at most 1.2 times its nodes.
 */
#include "second.h"
#include "trace_sample.h"

#include "../tests.h"

#include <trace/trace.h>
#include <svg/svg.h>
#include <trace/trace.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#define FOLDER "/usr/share/openclipart/svg/"

/* Clean silhouettes: no lines beside the filled shapes. */
static const char *const TWINS[] = {
    "animals/mammals/contour_baboon.svg",
    "animals/mammals/contour_beaver.svg",
    "animals/mammals/contour_camel.svg",
    "animals/mammals/contour_elephant.svg",
    "animals/mammals/contour_fox.svg",
    "animals/mammals/contour_kangaroo.svg",
    "animals/mammals/fawn_mo_01.svg",
    "signs_and_symbols/map_symbols/aiga_air_transportation1.svg",
    "signs_and_symbols/map_symbols/aiga_bar1.svg",
    "signs_and_symbols/padlock_silhouette_a.j.__01.svg",
};

/* The twin's outlines in pixels, `wide` of them from left to right, off the pixels' grid. */
static bool twin_region(const char *name, double wide, nw_region *region)
{
    char path[200];
    nw_bytes bytes;
    nw_drawing drawing;
    snprintf(path, sizeof path, FOLDER "%s", name);
    if (nw_file_read(path, &(nw_read){.limit = 10000000}, &bytes, NULL) != NW_OK)
        return false;
    ck_assert_int_eq(nw_drawing_read_svg(bytes.data, bytes.length, &drawing, NULL, NULL), NW_OK);
    nw_bytes_free(&bytes);
    double factor = wide / drawing.width;
    ck_assert_int_eq(nw_drawing_flatten(&drawing, 0.005 / factor, region, NULL), NW_OK);
    nw_drawing_free(&drawing);
    for (size_t i = 0; i < region->starts[region->count]; i++) {
        nw_point p = region->points[i];
        region->points[i] = (nw_point){p.x * factor + 4.37, p.y * factor + 4.71};
    }
    return true;
}

static void page_write(const char *path, const nw_region *region, double wide, double high)
{
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fprintf(file,
            "<svg xmlns='http://www.w3.org/2000/svg' width='%g' height='%g'><rect width='100%%' "
            "height='100%%' fill='white'/><path fill-rule='evenodd' d='",
            wide, high);
    for (size_t k = 0; k < region->count; k++) {
        for (size_t i = region->starts[k]; i < region->starts[k + 1]; i++) {
            fprintf(file, "%c%.4f %.4f", i == region->starts[k] ? 'M' : 'L', region->points[i].x,
                    high - region->points[i].y);
        }
        fputc('Z', file);
    }
    fputs("'/></svg>", file);
    ck_assert_int_eq(fclose(file), 0);
}

static void picture_render(const nw_region *region, trace_sample *s)
{
    char from[] = "/tmp/narrows-twin-XXXXXX", to[64], command[200];
    double wide = 0, high = 0;
    for (size_t i = 0; i < region->starts[region->count]; i++) {
        wide = fmax(wide, ceil(region->points[i].x) + 4);
        high = fmax(high, ceil(region->points[i].y) + 4);
    }
    int file = mkstemp(from);
    ck_assert_int_ge(file, 0);
    close(file);
    page_write(from, region, wide, high);
    snprintf(to, sizeof to, "%s.png", from);
    snprintf(command, sizeof command, "rsvg-convert %s -o %s", from, to);
    ck_assert_int_eq(system(command), 0);
    nw_bytes bytes;
    nw_picture_options options = nw_picture_defaults();
    ck_assert_int_eq(nw_file_read(to, &(nw_read){.limit = 100000000}, &bytes, NULL), NW_OK);
    ck_assert_int_eq(nw_picture_read(bytes.data, bytes.length, &options, &s->picture, NULL), NW_OK);
    ck_assert_uint_eq(s->picture.width, (uint32_t)wide);
    ck_assert_int_eq(nw_ink_from_picture(&s->picture, &s->ink, NULL), NW_OK);
    nw_bytes_free(&bytes);
    remove(from);
    remove(to);
}

static bool twin_compare(const char *name, double wide, trace_errors *plain_sum,
                         trace_errors *grey_sum)
{
    trace_sample s = {0};
    if (!twin_region(name, wide, &s.truth))
        return false;
    picture_render(&s.truth, &s);
    nw_drawing plain = {0}, grey = {0};
    nw_trace_far far;
    double area = nw_region_area(&s.truth);
    nw_trace_limits limits = {.tolerance = nw_trace_defaults().smooth_px};
    ck_assert_int_eq(nw_ink_trace(&s.ink, &plain, NULL), NW_OK);
    ck_assert_int_eq(nw_rings_trace(&s.ink, &s.picture, limits, &grey, &far, NULL), NW_OK);
    ck_assert_double_le(far.places, limits.tolerance + 1e-9);
    ck_assert_msg(fabs(nw_drawing_area(&grey) / area - 1) < 1e-3, "%s, %g px: area %g, true %g",
                  name, wide, nw_drawing_area(&grey), area);
    trace_errors_add(plain_sum, trace_measure(&plain, &s.truth));
    trace_errors_add(grey_sum, trace_measure(&grey, &s.truth));
    trace_sample_free(&s);
    return true;
}

static void expect_better(double wide)
{
    trace_errors plain = {0}, grey = {0};
    int twins = 0;
    second_start();
    for (size_t i = 0; i < sizeof TWINS / sizeof *TWINS; i++)
        twins += twin_compare(TWINS[i], wide, &plain, &grey);
    if (!twins) {
        fprintf(stderr, "# skipped: openclipart-svg is not installed\n");
        return;
    }
    double mean = grey.sum / grey.length / (plain.sum / plain.length);
    fprintf(stderr,
            "# %g px, %d twins: mean error %.3f px, %.2f of libpotrace's; largest %.2f of its; "
            "nodes %.2f of its\n",
            wide, twins, grey.sum / grey.length, mean, grey.largest / plain.largest,
            grey.nodes / plain.nodes);
    ck_assert_double_le(mean, 0.5);
    ck_assert_double_le(grey.largest, plain.largest);
    ck_assert_double_le(grey.nodes, 1.2 * plain.nodes);
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

START_TEST(at_1600_px)
{
    expect_better(1600);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {at_400_px, at_900_px, at_1600_px};
    return tests_run("trace_twins", tests, 3);
}
