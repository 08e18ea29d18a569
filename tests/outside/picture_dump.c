/*
 * picture_dump: what the picture part makes of a file, for comparison with what others say of it.
 *
 *     picture_dump pixels FILE          "WIDTH HEIGHT" and a line end, then red, green, blue, alpha
 *     picture_dump otsu FILE            Otsu's level of the grey picture
 *     picture_dump sauvola FILE HALF    k = 0.2: "WIDTH HEIGHT" and a line end, then doubles
 *     picture_dump ink FILE             "PIXELS PIECES HOLES" of the ink, found with no options
 */
#include <pieces/pieces.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    uint32_t width, height;
    uint8_t *rgba;
} canvas;

static nw_status on_begin(void *context, const raster_header *header, nw_error *error)
{
    canvas *c = context;
    c->width = header->width;
    c->height = header->height;
    c->rgba = nw_alloc((size_t)c->width * c->height, 4);
    return c->rgba ? NW_OK : nw_fail_memory(error, "the picture");
}

static void on_row(void *context, uint32_t y, uint32_t x0, uint32_t dx, uint32_t count,
                   const uint8_t *pixels, int channels)
{
    canvas *c = context;
    for (uint32_t i = 0; i < count; i++, pixels += channels) {
        uint8_t *to = c->rgba + 4 * ((size_t)y * c->width + x0 + (size_t)i * dx);
        for (int k = 0; k < 3; k++)
            to[k] = pixels[channels < 3 ? 0 : k];
        to[3] = channels % 2 ? 255 : pixels[channels - 1];
    }
}

static raster_reader *reader_of(const nw_bytes *bytes)
{
    switch (bytes->length ? bytes->data[0] : 0) {
    case 0x89:
        return nw_png_read;
    case 'P':
        return nw_pnm_read;
    case 'B':
        return nw_bmp_read;
#ifdef NW_WITH_JPEG
    case 0xff:
        return nw_jpeg_read;
#endif
#ifdef NW_WITH_GIF
    case 'G':
        return nw_gif_read;
#endif
#ifdef NW_WITH_WEBP
    case 'R':
        return nw_webp_read;
#endif
    default:
        return NULL;
    }
}

static nw_status read_canvas(const nw_bytes *bytes, canvas *c, nw_error *error)
{
    raster_sink sink = {on_begin, on_row, c, UINT64_MAX};
    raster_reader *read = reader_of(bytes);
    return read ? read(bytes->data, bytes->length, &sink, error)
                : nw_fail(error, NW_BAD_INPUT, "no reader");
}

/* The picture's grey levels, in place of its colours: width * height of them. */
static void to_grey(canvas *c)
{
    for (size_t k = 0; k < (size_t)c->width * c->height; k++)
        c->rgba[k] = (uint8_t)nw_luma(c->rgba + 4 * k);
}

static void print_thresholds(void *context, uint32_t y, const double *thresholds)
{
    (void)y;
    fwrite(thresholds, sizeof *thresholds, *(uint32_t *)context, stdout);
}

static int print_ink(const nw_bytes *bytes, nw_error *error)
{
    nw_picture_options options = nw_picture_defaults();
    nw_picture picture;
    nw_ink ink = {0};
    nw_pieces pieces = {0};
    nw_status status = nw_picture_read(bytes->data, bytes->length, &options, &picture, error);
    if (status == NW_OK)
        status = nw_ink_from_picture(&picture, &ink, error);
    if (status == NW_OK)
        status = nw_pieces_find(&ink, 0, &pieces, error);
    double area = 0;
    size_t holes = 0;
    for (size_t k = 0; k < pieces.count; k++) {
        area += pieces.items[k].area;
        holes += pieces.items[k].holes;
    }
    if (status == NW_OK)
        printf("%.0f %zu %zu\n", area, pieces.count, holes);
    nw_pieces_free(&pieces);
    nw_ink_free(&ink);
    nw_picture_free(&picture);
    return status;
}

static int print_canvas(const char *mode, const nw_bytes *bytes, uint32_t half, nw_error *error)
{
    canvas c = {0};
    nw_status status = read_canvas(bytes, &c, error);
    size_t pixels = (size_t)c.width * c.height;
    if (status == NW_OK && strcmp(mode, "pixels") == 0) {
        printf("%u %u\n", c.width, c.height);
        fwrite(c.rgba, 4, pixels, stdout);
    } else if (status == NW_OK && strcmp(mode, "otsu") == 0) {
        uint64_t histogram[256];
        to_grey(&c);
        nw_values_count(c.rgba, pixels, histogram);
        printf("%d\n", nw_otsu(histogram));
    } else if (status == NW_OK) {
        to_grey(&c);
        printf("%u %u\n", c.width, c.height);
        nw_local_levels(c.rgba, c.width, c.height, half, 0.2, print_thresholds, &c.width);
    }
    free(c.rgba);
    return status;
}

int main(int count, char **arguments)
{
    if (count < 3)
        return 2;
    nw_bytes bytes;
    nw_error error = {0};
    nw_status status = nw_file_read(arguments[2], &(nw_read){.limit = 1u << 30}, &bytes, &error);
    if (status == NW_OK) {
        uint32_t half = count > 3 ? (uint32_t)atoi(arguments[3]) : 0;
        status = strcmp(arguments[1], "ink") == 0
                     ? print_ink(&bytes, &error)
                     : print_canvas(arguments[1], &bytes, half, &error);
    }
    nw_bytes_free(&bytes);
    if (status != NW_OK)
        fprintf(stderr, "%s\n", error.message);
    return status == NW_OK ? 0 : 2;
}
