/*
 * picture_as: writes a picture in another format, for the browsers' tests.
 *
 *     picture_dump pixels FILE | picture_as KIND > NEW
 *
 * kinds: jpeg; turned, a JPEG that its EXIF data turn upright, as a telephone writes it; webp, with
 * loss; clear, a WebP without loss, with alpha.
 */
#include "../picture_make.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define QUARTER_TURN 6 /* EXIF's orientation: shown turned clockwise by a quarter */

static uint8_t *pixels_read(int *width, int *height)
{
    if (scanf("%d %d", width, height) != 2 || getchar() != '\n')
        return NULL;
    size_t count = (size_t)*width * (size_t)*height;
    uint8_t *pixels = nw_alloc(count, 4);
    if (!pixels || fread(pixels, 4, count, stdin) != count) {
        free(pixels);
        return NULL;
    }
    return pixels;
}

static void alpha_drop(uint8_t *pixels, size_t count)
{
    for (size_t k = 0; k < count; k++)
        memmove(pixels + 3 * k, pixels + 4 * k, 3);
}

static nw_bytes make(const char *kind, int width, int height, uint8_t *pixels)
{
    if (strcmp(kind, "clear") == 0)
        return make_webp(width, height, 4, pixels);
    alpha_drop(pixels, (size_t)width * (size_t)height);
    if (strcmp(kind, "webp") == 0)
        return make_lossy_webp(width, height, pixels);
    nw_bytes exif = make_exif(QUARTER_TURN);
    nw_bytes made =
        make_jpeg(width, height, 3, pixels, false, strcmp(kind, "turned") == 0 ? &exif : NULL);
    nw_bytes_free(&exif);
    return made;
}

int main(int count, char **arguments)
{
    int width, height;
    uint8_t *pixels = count == 2 ? pixels_read(&width, &height) : NULL;
    if (!pixels)
        return 2;
    nw_bytes made = make(arguments[1], width, height, pixels);
    fwrite(made.data, 1, made.length, stdout);
    free(pixels);
    nw_bytes_free(&made);
    return fflush(stdout) == 0 ? 0 : 2;
}
