/*
 * picture_read: the bytes of a picture -> density: finds the reader by the content and runs it.
 */
#include <picture/ink/ink_choice.h>

#include <string.h>

/* What was missing when the library was built has no reader. */
#ifdef NW_WITH_PNG
#define PNG_READER nw_png_read
#else
#define PNG_READER NULL
#endif
#ifdef NW_WITH_JPEG
#define JPEG_READER nw_jpeg_read
#else
#define JPEG_READER NULL
#endif
#ifdef NW_WITH_WEBP
#define WEBP_READER nw_webp_read
#else
#define WEBP_READER NULL
#endif
#ifdef NW_WITH_GIF
#define GIF_READER nw_gif_read
#else
#define GIF_READER NULL
#endif

static bool begins_png(const uint8_t *d, size_t n)
{
    return n >= 8 && memcmp(d, "\x89PNG\r\n\x1a\n", 8) == 0;
}

static bool begins_pnm(const uint8_t *d, size_t n)
{
    return n >= 3 && d[0] == 'P' && d[1] >= '1' && d[1] <= '6' &&
           (d[2] == '#' || d[2] == ' ' || (d[2] >= '\t' && d[2] <= '\r'));
}

static bool begins_jpeg(const uint8_t *d, size_t n)
{
    return n >= 3 && d[0] == 0xff && d[1] == 0xd8 && d[2] == 0xff;
}

static bool begins_webp(const uint8_t *d, size_t n)
{
    return n >= 12 && memcmp(d, "RIFF", 4) == 0 && memcmp(d + 8, "WEBP", 4) == 0;
}

static bool begins_gif(const uint8_t *d, size_t n)
{
    return n >= 6 && (memcmp(d, "GIF87a", 6) == 0 || memcmp(d, "GIF89a", 6) == 0);
}

/* "BM" alone begins many a text: the size of the second header, or its absence, decides. */
static bool begins_bmp(const uint8_t *d, size_t n)
{
    return n >= 2 && d[0] == 'B' && d[1] == 'M' && (n < 18 || (d[15] | d[16] | d[17]) == 0);
}

typedef struct {
    const char *name, *library; /* library: what a build needs to read it */
    bool (*begins)(const uint8_t *data, size_t length);
    raster_reader *read;
    bool coarse_colour; /* colour may be stored in fewer pixels than light */
} format;

static const format formats[] = {
    {"PNG", "libpng", begins_png, PNG_READER, false},
    {"PNM", "nothing", begins_pnm, nw_pnm_read, false},
    {"JPEG", "libjpeg", begins_jpeg, JPEG_READER, true},
    {"WebP", "libwebp", begins_webp, WEBP_READER, true},
    {"GIF", "giflib", begins_gif, GIF_READER, false},
    {"BMP", "nothing", begins_bmp, nw_bmp_read, false},
};

static const format *format_known(const uint8_t *data, size_t length)
{
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++)
        if (formats[i].begins(data, length))
            return &formats[i];
    return NULL;
}

nw_status nw_picture_known(const uint8_t *data, size_t length, nw_error *error)
{
    const format *f = format_known(data, length);
    if (!f) {
        return nw_fail(error, NW_BAD_INPUT, "%s",
                       length
                           ? "this is no picture of a known kind; open it elsewhere and save it as "
                             "PNG, or as SVG if it is a drawing"
                           : "the file is empty; get it again");
    }
    if (!f->read) {
        return nw_fail(error, NW_BAD_INPUT,
                       "this is a %s picture, but this narrows was built without %s (%s was "
                       "missing); save it as PNG, or build with it",
                       f->name, f->name, f->library);
    }
    return NW_OK;
}

nw_status nw_picture_read(const uint8_t *data, size_t length, const nw_picture_options *options,
                          nw_picture *picture, nw_error *error)
{
    *picture = (nw_picture){0};
    nw_status status = nw_picture_known(data, length, error);
    if (status != NW_OK)
        return status;
    const format *f = format_known(data, length);
    return nw_reading_picture(&(reading){f->read,
                                         data,
                                         length,
                                         {.options = options, .coarse_colour = f->coarse_colour},
                                         picture,
                                         error});
}
