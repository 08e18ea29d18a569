/*
 * internal: what the files of this folder share: the readers' face (bytes in, rows of pixels out)
 * and the steps from grey levels to density.
 */
#ifndef NARROWS_PICTURE_INTERNAL_H
#define NARROWS_PICTURE_INTERNAL_H

#include <picture/picture.h>

/* ---- readers -------------------------------------------------------------------------------- */

/* What a file's header says, before any memory is taken. */
typedef struct {
    uint32_t width, height; /* as stored, before turning */
    int orientation;        /* as EXIF has it, 1 to 8; 1 is upright */
    double ppi;             /* 0 when not stated */
} raster_header;

/* Where a reader delivers. begin is called once and may refuse; row then any number of times: the
 * pixels x0, x0 + dx, x0 + 2 dx ... of row y as stored, `channels` bytes each: 1 grey, 2 grey and
 * alpha, 3 red green blue, 4 with alpha (not premultiplied). Every pixel comes at most once; one
 * that never comes is transparent. */
typedef struct {
    nw_status (*begin)(void *context, const raster_header *header, nw_error *error);
    void (*row)(void *context, uint32_t y, uint32_t x0, uint32_t dx, uint32_t count,
                const uint8_t *pixels, int channels);
    void *context;
} raster_sink;

typedef nw_status raster_reader(const uint8_t *data, size_t length, const raster_sink *sink,
                                nw_error *error);

raster_reader nw_png_read, nw_pnm_read, nw_bmp_read, nw_jpeg_read, nw_webp_read, nw_gif_read;

/* ---- stored pixels -------------------------------------------------------------------------- */

/* Which one number of a pixel is stored. */
typedef enum {
    VALUE_GREY,  /* luma by ITU-R BT.601, composited on white */
    VALUE_ALPHA, /* how opaque it is */
    VALUE_COLOUR /* distance from a colour, composited on white, see raster.colour */
} value_kind;

/* A picture being read: one byte a pixel, and what is counted on the way. */
typedef struct {
    const nw_picture_options *options;
    value_kind value;
    uint8_t colour[3];
    uint32_t width, height; /* upright */
    ptrdiff_t step_x, step_y, origin;
    double ppi;
    uint8_t *values;
    uint64_t alpha[256];     /* how often each alpha occurs; all 0 when there is none */
    uint64_t clear_count;    /* pixels of alpha 64 and less */
    uint64_t opaque[256];    /* grey levels of pixels of alpha 192 and more */
    uint64_t rows_to_report; /* progress */
} raster;

/* A sink that fills r; r->options, value and colour are set before. */
raster_sink nw_raster_sink(raster *r);

/* ---- levels --------------------------------------------------------------------------------- */

/* Two classes of values and the straight ramps between them: `ink` becomes 255, `crossing`
 * (between two whole levels) 127.5, `paper` 0. */
typedef struct {
    double ink, crossing, paper;
} nw_ramp;

/* The ramp for the histogram of a picture whose ink is dark (or light); fixed is a level from 0
 * to 255 or -1 to find it by Otsu. False when all pixels are alike or one class is empty. */
bool nw_ramp_find(const uint64_t histogram[256], bool dark, int fixed, nw_ramp *ramp);

/* The density of each level on the ramp. */
void nw_ramp_table(const nw_ramp *ramp, uint8_t table[256]);

#endif
