/*
 * picture_pixels: pixels that somebody else has decoded, as a browser does -> density, on the way
 * that the bytes of a picture go.
 */
#include <picture/ink/ink_choice.h>

#include <stdlib.h>
#include <string.h>

nw_picture_options nw_picture_defaults(void)
{
    return (nw_picture_options){
        .ink = NW_INK_AUTO, .level_kind = NW_LEVEL_AUTO, .max_pixels = 800000000};
}

void nw_picture_free(nw_picture *picture)
{
    if (picture) {
        free(picture->density);
        *picture = (nw_picture){0};
    }
}

nw_status nw_reading_picture(reading *g)
{
    nw_status status = nw_reading_run(g);
    if (status == NW_OK) {
        g->picture->width = g->raster.width;
        g->picture->height = g->raster.height;
        g->picture->squares = g->raster.coarse.squares ? g->raster.coarse.squares : 1;
        g->picture->sigma = g->raster.coarse.sigma;
        g->picture->off = g->raster.coarse.off;
        g->picture->ppi = g->raster.ppi / g->picture->squares;
        g->picture->density = g->raster.values;
        g->raster.values = NULL;
    } else {
        *g->picture = (nw_picture){0};
    }
    nw_raster_free(&g->raster);
    return status;
}

/* data: an nw_pixels. */
static nw_status pixels_deliver(const uint8_t *data, size_t length, const raster_sink *sink,
                                nw_error *error)
{
    nw_pixels pixels;
    memcpy(&pixels, data, length);
    raster_header header = {pixels.width, pixels.height, 1, pixels.ppi};
    nw_exif_read(pixels.exif, pixels.exif_length, &header);
    nw_status status = sink->begin(sink->context, &header, error);
    for (uint32_t y = 0; status == NW_OK && y < pixels.height; y++) {
        const uint8_t *row = pixels.rgba ? pixels.rgba + (size_t)y * 4 * pixels.width
                                         : pixels.row(pixels.context, y);
        sink->row(sink->context, y, 0, 1, pixels.width, row, 4);
    }
    return status;
}

nw_status nw_picture_of_pixels(const nw_pixels *pixels, const nw_picture_options *options,
                               nw_picture *picture, nw_error *error)
{
    *picture = (nw_picture){0};
    return nw_reading_picture(
        &(reading){pixels_deliver,
                   (const uint8_t *)pixels,
                   sizeof *pixels,
                   {.options = options, .coarse_colour = pixels->coarse_colour},
                   picture,
                   error});
}
