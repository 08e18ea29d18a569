/*
 * raster: rows of pixels as a reader delivers them -> one byte a pixel, upright, and counts of what
 * occurs.
 *
 * Luma as in Recommendation ITU-R BT.601-7; orientations as in Exif 2.3 (CIPA DC-008), tag 274.
 */
#include "internal.h"

#include <stdlib.h>

#define CLEAR_MOST 64    /* alpha of a pixel that is ground */
#define OPAQUE_LEAST 192 /* alpha of a pixel that is art */

/* Where the stored pixel (0, 0) lands in the upright picture, and where the steps of a stored
 * column and row lead. */
static void place(raster *r, const raster_header *header)
{
    bool turned = header->orientation >= 5;
    r->width = turned ? header->height : header->width;
    r->height = turned ? header->width : header->height;
    ptrdiff_t w = (ptrdiff_t)r->width, last_x = w - 1, last_y = ((ptrdiff_t)r->height - 1) * w;
    static const struct {
        int8_t from_right, from_bottom;
    } corner[9] = {{0, 0}, {0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}, {1, 0}, {1, 1}, {0, 1}};
    int k = header->orientation >= 1 && header->orientation <= 8 ? header->orientation : 1;
    ptrdiff_t along_x = corner[k].from_right ? -1 : 1, along_y = corner[k].from_bottom ? -w : w;
    r->origin = (corner[k].from_right ? last_x : 0) + (corner[k].from_bottom ? last_y : 0);
    r->step_x = turned ? along_y : along_x;
    r->step_y = turned ? along_x : along_y;
}

static nw_status on_begin(void *context, const raster_header *header, nw_error *error)
{
    raster *r = context;
    uint64_t pixels = (uint64_t)header->width * header->height;
    if (header->width == 0 || header->height == 0) {
        return nw_fail(error, NW_BAD_INPUT, "this picture is %u x %u pixels", header->width,
                       header->height);
    }
    if (pixels > r->options->max_pixels || pixels > PTRDIFF_MAX / 2 || header->width > INT32_MAX ||
        header->height > INT32_MAX) {
        return nw_fail(error, NW_BAD_INPUT,
                       "this picture is %u x %u pixels; the limit is %.0f million pixels",
                       header->width, header->height, (double)r->options->max_pixels / 1e6);
    }
    place(r, header);
    r->ppi = header->ppi;
    if (!r->values) {
        r->values = nw_alloc((size_t)pixels, 1);
    }
    return r->values ? NW_OK : nw_fail_memory(error, "the picture");
}

static inline unsigned luma(const uint8_t *p)
{
    return (77u * p[0] + 150u * p[1] + 29u * p[2] + 128) >> 8;
}

static inline unsigned on_white(unsigned level, unsigned alpha)
{
    return 255 - ((255 - level) * alpha + 127) / 255;
}

static inline unsigned far(const uint8_t colour[3], unsigned red, unsigned green, unsigned blue)
{
    unsigned a = (unsigned)abs((int)red - colour[0]);
    unsigned b = (unsigned)abs((int)green - colour[1]);
    unsigned c = (unsigned)abs((int)blue - colour[2]);
    unsigned most = a > b ? a : b;
    return most > c ? most : c;
}

/* The value of one pixel with its alpha, for every kind. */
static inline uint8_t value_of(const raster *r, const uint8_t *pixel, int channels, unsigned alpha)
{
    if (r->value == VALUE_ALPHA) {
        return (uint8_t)alpha;
    }
    bool grey = channels < 3;
    if (r->value == VALUE_GREY) {
        return (uint8_t)on_white(grey ? pixel[0] : luma(pixel), alpha);
    }
    unsigned red = on_white(pixel[0], alpha);
    return (
        uint8_t)(grey ? far(r->colour, red, red, red)
                      : far(r->colour, red, on_white(pixel[1], alpha), on_white(pixel[2], alpha)));
}

static void count_alpha(raster *r, const uint8_t *pixel, int channels, unsigned alpha)
{
    r->alpha[alpha]++;
    if (alpha >= OPAQUE_LEAST) {
        r->opaque[channels == 2 ? pixel[0] : luma(pixel)]++;
    } else if (alpha <= CLEAR_MOST) {
        r->clear_count++;
    }
}

static void on_row(void *context, uint32_t y, uint32_t x0, uint32_t dx, uint32_t count,
                   const uint8_t *pixels, int channels)
{
    raster *r = context;
    uint8_t *to = r->values + r->origin + (ptrdiff_t)y * r->step_y + (ptrdiff_t)x0 * r->step_x;
    ptrdiff_t step = (ptrdiff_t)dx * r->step_x;
    bool has_alpha = channels == 2 || channels == 4;
    for (uint32_t i = 0; i < count; i++, pixels += channels, to += step) {
        unsigned alpha = 255;
        if (has_alpha) {
            alpha = pixels[channels - 1];
            count_alpha(r, pixels, channels, alpha);
        }
        *to = value_of(r, pixels, channels, alpha);
    }
}

raster_sink nw_raster_sink(raster *r)
{
    return (raster_sink){on_begin, on_row, r};
}
