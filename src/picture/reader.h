/* reader: what the readers of all formats have in common: bytes in, rows of pixels out. */
#ifndef NARROWS_PICTURE_READER_H
#define NARROWS_PICTURE_READER_H

#include <base/base.h>

/* What a file's header says, before any memory is taken. */
typedef struct {
    uint32_t width, height; /* as stored, before turning */
    int orientation;        /* as EXIF has it, 1 to 8; 1 is upright */
    double ppi;             /* 0 when not stated */
} raster_header;

/* Where a reader delivers. begin is called once and may refuse; row then any number of times: the
 * pixels x0, x0 + dx, x0 + 2 dx ... of row y as stored, `channels` bytes each: 1 grey, 2 grey and
 * alpha, 3 red green blue, 4 with alpha (not premultiplied). Every pixel comes exactly once. */
typedef struct {
    nw_status (*begin)(void *context, const raster_header *header, nw_error *error);
    void (*row)(void *context, uint32_t y, uint32_t x0, uint32_t dx, uint32_t count,
                const uint8_t *pixels, int channels);
    void *context;
    uint64_t most_bytes; /* a library may take for the whole picture at a time */
} raster_sink;

/* Refuses a picture for which a library would hold `bytes` in memory, if that is too much. */
nw_status nw_memory_check(const raster_sink *sink, const char *format, double bytes,
                          nw_error *error);

typedef nw_status raster_reader(const uint8_t *data, size_t length, const raster_sink *sink,
                                nw_error *error);

raster_reader nw_png_read, nw_pnm_read, nw_bmp_read, nw_jpeg_read, nw_webp_read, nw_gif_read;

/* What an EXIF block (from "II" or "MM" on) says of orientation and pixels per inch; what it does
 * not say, or says wrongly, is left as it is. */
void nw_exif_read(const uint8_t *data, size_t length, raster_header *header);

/* "this X picture claims W x H pixels, but ...": the file cannot hold what its header says. */
nw_status nw_fail_claim(nw_error *error, const char *format, uint32_t width, uint32_t height);

/* Luma by ITU-R BT.601-7. */
static inline unsigned nw_luma(const uint8_t *pixel)
{
    return (77u * pixel[0] + 150u * pixel[1] + 29u * pixel[2] + 128) >> 8;
}

#endif
