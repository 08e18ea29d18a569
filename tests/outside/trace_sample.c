/* trace_sample: pictures whose true outline is known, see trace_sample.h. */
#include "trace_sample.h"
#include "glyphs.h"

#include <fit/fit.h>
#include <trace/trace.h>
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include FT_OUTLINE_H

#define FARTHEST_PX 1e5 /* more than any of the pictures is wide */

void trace_sample_free(trace_sample *s)
{
    free(s->picture.density);
    nw_ink_free(&s->ink);
    nw_region_free(&s->truth);
}

/* FreeType draws one bit a pixel into rows of whole bytes. */
static int draw_bits(FT_Library library, FT_Outline *outline, nw_picture *picture)
{
    size_t pitch = (picture->width + 7) / 8;
    uint8_t *bits = nw_alloc(picture->height, pitch);
    FT_Bitmap bitmap = {.rows = picture->height,
                        .width = picture->width,
                        .pitch = (int)pitch,
                        .buffer = bits,
                        .pixel_mode = FT_PIXEL_MODE_MONO};
    int failed = !bits || FT_Outline_Get_Bitmap(library, outline, &bitmap);
    for (size_t i = 0; !failed && i < (size_t)picture->width * picture->height; i++) {
        size_t x = i % picture->width, y = i / picture->width;
        picture->density[i] = bits[y * pitch + x / 8] >> (7 - x % 8) & 1 ? 255 : 0;
    }
    free(bits);
    return failed;
}

static int draw_levels(FT_Library library, FT_Outline *outline, nw_picture *picture)
{
    FT_Bitmap bitmap = {.rows = picture->height,
                        .width = picture->width,
                        .pitch = (int)picture->width,
                        .buffer = picture->density,
                        .num_grays = 256,
                        .pixel_mode = FT_PIXEL_MODE_GRAY};
    return FT_Outline_Get_Bitmap(library, outline, &bitmap);
}

bool trace_sample_glyph(FT_Face face, unsigned long character, bool grey, trace_sample *s)
{
    *s = (trace_sample){0};
    FT_Outline *outline = &face->glyph->outline;
    if (!glyph_region(face, character, 0.002, &s->truth) ||
        FT_Load_Char(face, character, FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP))
        return false;
    FT_BBox box;
    FT_Outline_Get_CBox(outline, &box);
    long left = (box.xMin >> 6) * 64 - 4 * 64 - 23, low = (box.yMin >> 6) * 64 - 4 * 64 - 37;
    FT_Outline_Translate(outline, -left, -low);
    s->picture.width = (uint32_t)((box.xMax - left) / 64 + 6);
    s->picture.height = (uint32_t)((box.yMax - low) / 64 + 6);
    s->picture.density = nw_alloc(s->picture.width, s->picture.height);
    for (size_t i = 0; i < s->truth.starts[s->truth.count]; i++) {
        s->truth.points[i].x -= (double)left / 64;
        s->truth.points[i].y -= (double)low / 64;
    }
    FT_Library library = face->glyph->library;
    return s->picture.density && !(grey ? draw_levels : draw_bits)(library, outline, &s->picture) &&
           nw_ink_from_picture(&s->picture, &s->ink, NULL) == NW_OK;
}

/* Switches ink and paper in row y, right of where the ring crosses the middles of its pixels. */
static void switch_right(nw_picture *picture, nw_point a, nw_point b, uint32_t y)
{
    double middle = picture->height - y - 0.5;
    if ((a.y > middle) == (b.y > middle))
        return;
    double x = a.x + (middle - a.y) * (b.x - a.x) / (b.y - a.y);
    for (uint32_t k = (uint32_t)fmax(0, ceil(x - 0.5)); k < picture->width; k++)
        picture->density[(size_t)y * picture->width + k] ^= 255;
}

bool trace_sample_shape(nw_region *truth, uint32_t width, uint32_t height, trace_sample *s)
{
    *s = (trace_sample){.picture = {.width = width, .height = height}, .truth = *truth};
    *truth = (nw_region){0};
    s->picture.density = nw_alloc(width, height);
    for (size_t k = 0; s->picture.density && k < s->truth.count; k++) {
        nw_point a = s->truth.points[s->truth.starts[k + 1] - 1];
        for (size_t i = s->truth.starts[k]; i < s->truth.starts[k + 1]; i++) {
            nw_point b = s->truth.points[i];
            long first = (long)floor((double)height - fmax(a.y, b.y) - 1);
            long last = (long)ceil((double)height - fmin(a.y, b.y) + 1);
            for (long y = first < 0 ? 0 : first; y < last && y < (long)height; y++)
                switch_right(&s->picture, a, b, (uint32_t)y);
            a = b;
        }
    }
    return s->picture.density && nw_ink_from_picture(&s->picture, &s->ink, NULL) == NW_OK;
}

/* Distances of places on `from`, a pixel apart, weighted by length. */
static void measure_from(const nw_region *from, const nw_region *to, trace_errors *e)
{
    nw_border border;
    ck_assert_int_eq(nw_border_make(to, false, NULL, &border, NULL), NW_OK);
    for (size_t k = 0; k < from->count; k++) {
        nw_point a = from->points[from->starts[k + 1] - 1];
        for (size_t i = from->starts[k]; i < from->starts[k + 1]; i++) {
            nw_point b = from->points[i];
            double length = hypot(b.x - a.x, b.y - a.y);
            int n = (int)length + 1;
            for (int j = 0; j < n; j++) {
                nw_point p = nw_between(a, b, (j + 0.5) / n), foot;
                uint32_t segment;
                double d = nw_border_nearest(&border, p, FARTHEST_PX, &segment, &foot);
                e->sum += d * length / n;
                e->largest = fmax(e->largest, d);
            }
            e->length += length;
            a = b;
        }
    }
    nw_border_free(&border);
}

trace_errors trace_measure(nw_drawing *drawing, const nw_region *truth)
{
    trace_errors e = {0};
    nw_region region;
    ck_assert_int_eq(nw_drawing_clean(drawing, NULL), NW_OK);
    ck_assert_int_eq(nw_drawing_flatten(drawing, 0.01, &region, NULL), NW_OK);
    measure_from(&region, truth, &e);
    measure_from(truth, &region, &e);
    for (size_t i = 0; i < drawing->count; i++)
        e.nodes += (double)drawing->paths[i].count;
    nw_region_free(&region);
    nw_drawing_free(drawing);
    return e;
}

void trace_errors_add(trace_errors *sum, trace_errors e)
{
    *sum = (trace_errors){sum->sum + e.sum, sum->length + e.length, sum->largest + e.largest,
                          sum->nodes + e.nodes};
}
