/*
 * webp: the bytes of a WebP picture -> rows of pixels, by libwebp. It decodes into memory of ours:
 * the whole picture where that is small, else a few strips, one after the other.
 *
 * Container: WebP container specification (RIFF), for the EXIF chunk.
 */
#include <picture/raster.h>

#include <stdlib.h>
#include <string.h>
#include <webp/decode.h>

#define SMALL_PIXELS 16000000 /* in all: held whole */
#define STRIPS 4              /* of a larger picture: a byte a pixel at most */
#define LOSSLESS 2            /* WebPBitstreamFeatures.format */

typedef struct {
    uint32_t top, rows;
    size_t channels;
    uint8_t *pixels;
} strip;

static uint32_t little_endian(const uint8_t *d)
{
    return d[0] | (uint32_t)d[1] << 8 | (uint32_t)d[2] << 16 | (uint32_t)d[3] << 24;
}

static void read_exif(const uint8_t *data, size_t length, raster_header *header)
{
    for (size_t at = 12; at + 8 <= length;) {
        size_t size = little_endian(data + at + 4);
        if (size > length - at - 8)
            return;
        const uint8_t *chunk = data + at + 8;
        if (memcmp(data + at, "EXIF", 4) == 0) {
            bool named = size > 6 && memcmp(chunk, "Exif\0", 6) == 0;
            nw_exif_read(named ? chunk + 6 : chunk, named ? size - 6 : size, header);
        }
        at += 8 + size + size % 2;
    }
}

static nw_status damaged(nw_error *error, VP8StatusCode code)
{
    const char *why = code == VP8_STATUS_NOT_ENOUGH_DATA       ? "it ends too early"
                      : code == VP8_STATUS_UNSUPPORTED_FEATURE ? "it uses an unknown feature"
                      : code == VP8_STATUS_OUT_OF_MEMORY       ? "not enough memory for it"
                                                               : "its data make no sense";
    return nw_fail(error, NW_BAD_INPUT, "this WebP picture is damaged: %s" NW_SAVE_AGAIN, why);
}

/* Decodes and delivers some rows, the first of them even. */
static VP8StatusCode read_strip(const uint8_t *data, size_t length, const strip *part,
                                const raster_header *header, const raster_sink *sink)
{
    WebPDecoderConfig config;
    WebPInitDecoderConfig(&config);
    size_t stride = header->width * part->channels;
    config.options.use_cropping = 1;
    config.options.crop_top = (int)part->top;
    config.options.crop_width = (int)header->width;
    config.options.crop_height = (int)part->rows;
    config.output.colorspace = part->channels == 4 ? MODE_RGBA : MODE_RGB;
    config.output.is_external_memory = 1;
    config.output.u.RGBA.rgba = part->pixels;
    config.output.u.RGBA.stride = (int)stride;
    config.output.u.RGBA.size = stride * part->rows;
    VP8StatusCode code = WebPDecode(data, length, &config);
    for (uint32_t y = 0; code == VP8_STATUS_OK && y < part->rows; y++) {
        sink->row(sink->context, part->top + y, 0, 1, header->width, part->pixels + y * stride,
                  (int)part->channels);
    }
    return code;
}

/* Each strip is decoded from the picture's beginning on, but only its own rows are kept. */
static nw_status pixels_read(const uint8_t *data, size_t length, const raster_header *header,
                             strip part, const raster_sink *sink, nw_error *error)
{
    part.pixels = nw_alloc(part.rows, header->width * part.channels);
    if (!part.pixels)
        return nw_fail_memory(error, "the picture");
    VP8StatusCode code = VP8_STATUS_OK;
    uint32_t rows = part.rows;
    for (; code == VP8_STATUS_OK && part.top < header->height; part.top += rows) {
        part.rows = rows < header->height - part.top ? rows : header->height - part.top;
        code = read_strip(data, length, &part, header, sink);
    }
    free(part.pixels);
    return code == VP8_STATUS_OK ? NW_OK : damaged(error, code);
}

/* How many rows are decoded at a time: all in small pictures, and in those without loss, which the
 * library holds in memory whole in any case. */
static uint32_t strip_rows(const raster_header *header, bool lossless)
{
    if (lossless || (uint64_t)header->width * header->height <= SMALL_PIXELS)
        return header->height;
    return (header->height / STRIPS + 2) / 2 * 2;
}

nw_status nw_webp_read(const uint8_t *data, size_t length, const raster_sink *sink, nw_error *error)
{
    WebPBitstreamFeatures features;
    VP8StatusCode code = WebPGetFeatures(data, length, &features);
    if (code != VP8_STATUS_OK)
        return damaged(error, code);
    if (features.has_animation) {
        return nw_fail(error, NW_BAD_INPUT,
                       "this WebP picture is animated; save one of its frames as a picture");
    }
    raster_header header = {(uint32_t)features.width, (uint32_t)features.height, 1, 0};
    read_exif(data, length, &header);
    nw_status status = sink->begin(sink->context, &header, error);
    bool lossless = features.format == LOSSLESS;
    strip part = {.rows = strip_rows(&header, lossless), .channels = features.has_alpha ? 4 : 3};
    if (status == NW_OK && lossless) {
        double bytes = (double)header.width * header.height * (double)(4 + part.channels);
        status = nw_memory_check(sink, "WebP", bytes, error);
    }
    return status == NW_OK ? pixels_read(data, length, &header, part, sink, error) : status;
}
