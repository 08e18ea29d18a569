/* Small pictures written into memory by the formats' own libraries, to be read back. */
#ifndef NARROWS_PICTURE_MAKE_H
#define NARROWS_PICTURE_MAKE_H

#include <base/base.h>

/* pixels: rows from the top, `channels` bytes each: grey, RGB or RGBA. The caller frees
 * the bytes. Formats whose library is missing give no bytes. */
nw_bytes make_png(int width, int height, int channels, const uint8_t *pixels, bool interlaced);
nw_bytes make_bmp(int width, int height, int channels, const uint8_t *pixels);

/* 1 and 3 channels; 4 are inks, stored inverted as Adobe does. exif may be NULL. */
nw_bytes make_jpeg(int width, int height, int channels, const uint8_t *pixels, bool progressive,
                   const nw_bytes *exif);

/* 3 and 4 channels, without loss. */
nw_bytes make_webp(int width, int height, int channels, const uint8_t *pixels);

/* 3 channels, with loss. */
nw_bytes make_lossy_webp(int width, int height, const uint8_t *pixels);

/* 1 channel: grey; values of `clear` (or -1) are transparent. */
nw_bytes make_gif(int width, int height, const uint8_t *pixels, int clear, bool interlaced);

/* An EXIF segment's content that says nothing but the orientation. */
nw_bytes make_exif(int orientation);

#endif
