/* bytes: a file's bytes, a picture's or an SVG drawing's, to the drawing; told by content. */
#include <art/loading.h>

static nw_status bytes_read(nw_loading *loading, const nw_art_source *source)
{
    const uint8_t *data = source->data;
    size_t length = source->length;
    nw_art *art = loading->art;
    if (nw_svg_known(data, length)) {
        nw_svg_options options = nw_art_svg_options(loading);
        nw_status status =
            nw_drawing_read_as(data, length, &options, &art->drawing, &art->svg, loading->error);
        return status == NW_OK ? nw_art_from_svg(loading) : status;
    }
    nw_picture picture;
    nw_status status =
        nw_picture_read(data, length, &loading->options->picture, &picture, loading->error);
    return status == NW_OK ? nw_art_from_picture(loading, &picture) : status;
}

nw_status nw_art_known(const uint8_t *data, size_t length, nw_error *error)
{
    return nw_svg_known(data, length) ? NW_OK : nw_picture_known(data, length, error);
}

nw_status nw_art_load(const uint8_t *data, size_t length, const nw_art_options *options,
                      nw_art *art, nw_error *error)
{
    nw_art_source source = {.read = bytes_read, .data = data, .length = length};
    return nw_art_make(&source, options, art, error);
}
