/* plain: reads a grey PNG with libpng and traces it with libpotrace, and nothing else: what the
 * whole check is measured against. */
#include <png.h>
#include <potracelib.h>
#include <stdio.h>
#include <stdlib.h>

#define BITS_PER_WORD (8 * (int)sizeof(potrace_word))

static void set_row(potrace_bitmap_t *bitmap, int y, const png_byte *row)
{
    potrace_word *words = bitmap->map + (size_t)y * (size_t)bitmap->dy;
    for (int x = 0; x < bitmap->w; x++)
        if (row[x] < 128)
            words[x / BITS_PER_WORD] |= (potrace_word)1 << (BITS_PER_WORD - 1 - x % BITS_PER_WORD);
}

static int read_bitmap(FILE *file, potrace_bitmap_t *bitmap)
{
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    png_init_io(png, file);
    png_set_user_limits(png, 1000000, 1000000);
    png_read_info(png, info);
    bitmap->w = (int)png_get_image_width(png, info);
    bitmap->h = (int)png_get_image_height(png, info);
    bitmap->dy = (bitmap->w + BITS_PER_WORD - 1) / BITS_PER_WORD;
    bitmap->map = calloc((size_t)bitmap->dy * (size_t)bitmap->h, sizeof *bitmap->map);
    png_bytep row = malloc(png_get_rowbytes(png, info));
    for (int y = bitmap->h - 1; bitmap->map && row && y >= 0; y--) {
        png_read_row(png, row, NULL);
        set_row(bitmap, y, row);
    }
    int good = bitmap->map && row;
    free(row);
    png_destroy_read_struct(&png, &info, NULL);
    return good;
}

int main(int count, char **arguments)
{
    FILE *file = count == 2 ? fopen(arguments[1], "rb") : NULL;
    potrace_bitmap_t bitmap = {0};
    if (!file || !read_bitmap(file, &bitmap))
        return EXIT_FAILURE;
    fclose(file);
    potrace_param_t *parameters = potrace_param_default();
    potrace_state_t *state = potrace_trace(parameters, &bitmap);
    int good = state && state->status == POTRACE_STATUS_OK;
    if (state)
        potrace_state_free(state);
    potrace_param_free(parameters);
    free(bitmap.map);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
