/*
 * webp: the bytes of a WebP picture -> rows of pixels, by libwebp, which wants the whole picture in
 * memory at a time.
 *
 * Container: WebP container specification (RIFF), for the EXIF chunk.
 */
#include "internal.h"

#include <stdlib.h>
#include <string.h>
#include <webp/decode.h>

static uint32_t little_endian(const uint8_t *d)
{
    return d[0] | (uint32_t)d[1] << 8 | (uint32_t)d[2] << 16 | (uint32_t)d[3] << 24;
}

static void read_exif(const uint8_t *data, size_t length, raster_header *header)
{
    for (size_t at = 12; at + 8 <= length;) {
        size_t size = little_endian(data + at + 4);
        if (size > length - at - 8) {
            return;
        }
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

static nw_status read_pixels(const uint8_t *data, size_t length, bool alpha,
                             const raster_header *header, const raster_sink *sink, nw_error *error)
{
    size_t channels = alpha ? 4 : 3, stride = header->width * channels;
    uint8_t *pixels = nw_alloc(header->height, stride);
    if (!pixels) {
        return nw_fail_memory(error, "the picture");
    }
    WebPDecoderConfig config;
    WebPInitDecoderConfig(&config);
    config.output.colorspace = alpha ? MODE_RGBA : MODE_RGB;
    config.output.is_external_memory = 1;
    config.output.u.RGBA.rgba = pixels;
    config.output.u.RGBA.stride = (int)stride;
    config.output.u.RGBA.size = stride * header->height;
    VP8StatusCode code = WebPDecode(data, length, &config);
    for (uint32_t y = 0; code == VP8_STATUS_OK && y < header->height; y++) {
        sink->row(sink->context, y, 0, 1, header->width, pixels + y * stride, (int)channels);
    }
    free(pixels);
    return code == VP8_STATUS_OK ? NW_OK : damaged(error, code);
}

nw_status nw_webp_read(const uint8_t *data, size_t length, const raster_sink *sink, nw_error *error)
{
    WebPBitstreamFeatures features;
    VP8StatusCode code = WebPGetFeatures(data, length, &features);
    if (code != VP8_STATUS_OK) {
        return damaged(error, code);
    }
    if (features.has_animation) {
        return nw_fail(error, NW_BAD_INPUT,
                       "this WebP picture is animated; save one of its frames as a picture");
    }
    raster_header header = {(uint32_t)features.width, (uint32_t)features.height, 1, 0};
    read_exif(data, length, &header);
    nw_status status = sink->begin(sink->context, &header, error);
    return status == NW_OK ? read_pixels(data, length, features.has_alpha, &header, sink, error)
                           : status;
}
