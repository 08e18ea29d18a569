/*
 * picture_as: writes a picture in another format, for the browsers' tests.
 *
 *     picture_dump pixels FILE | picture_as KIND > NEW
 *
 * kinds: jpeg; turned, a JPEG that its EXIF data turn upright, as a telephone writes it; webp, with
 * loss.
 */
#include "../picture_make.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define QUARTER_TURN 6 /* EXIF's orientation: shown turned clockwise by a quarter */

/* Red, green and blue of pixels that come with alpha. */
static uint8_t *colours_read(int *width, int *height)
{
    if (scanf("%d %d", width, height) != 2 || getchar() != '\n')
        return NULL;
    size_t count = (size_t)*width * (size_t)*height;
    uint8_t *pixels = nw_alloc(count, 4);
    if (!pixels || fread(pixels, 4, count, stdin) != count) {
        free(pixels);
        return NULL;
    }
    for (size_t k = 0; k < count; k++)
        memmove(pixels + 3 * k, pixels + 4 * k, 3);
    return pixels;
}

int main(int count, char **arguments)
{
    int width, height;
    uint8_t *pixels = count == 2 ? colours_read(&width, &height) : NULL;
    if (!pixels)
        return 2;
    nw_bytes exif = make_exif(QUARTER_TURN);
    bool turned = strcmp(arguments[1], "turned") == 0;
    nw_bytes made = strcmp(arguments[1], "webp") == 0
                        ? make_lossy_webp(width, height, pixels)
                        : make_jpeg(width, height, 3, pixels, false, turned ? &exif : NULL);
    fwrite(made.data, 1, made.length, stdout);
    free(pixels);
    nw_bytes_free(&exif);
    nw_bytes_free(&made);
    return fflush(stdout) == 0 ? 0 : 2;
}
