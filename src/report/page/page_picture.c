/*
 * page_picture: the art's file. Small pictures of kinds that every browser shows go in as they are,
 * and drawings; of all other pictures, what was read of them, in grey and reduced where they are
 * large. Pictures with EXIF data are among the others: the data may turn them, and may tell where
 * they were taken, which is nobody's business.
 */
#include <report/parts.h>

#include <math.h>
#include <png.h>
#include <stdlib.h>
#include <string.h>

#define LARGEST_FILE 3000000 /* bytes; a page for a telephone */
#define LARGEST_PIXELS 16e6
#define REDUCED_PIXELS 2e6

static bool begins(const nw_bytes *bytes, size_t at, const char *with, size_t length)
{
    return bytes->length >= at + length && memcmp(bytes->data + at, with, length) == 0;
}

/* The type of a picture that every browser shows, NULL for others. */
static const char *media_type(const nw_bytes *bytes)
{
    if (begins(bytes, 0, "\x89PNG\r\n\x1a\n", 8))
        return "image/png";
    if (begins(bytes, 0, "\xff\xd8\xff", 3))
        return "image/jpeg";
    if (begins(bytes, 0, "RIFF", 4) && begins(bytes, 8, "WEBP", 4))
        return "image/webp";
    return begins(bytes, 0, "BM", 2) ? "image/bmp" : NULL;
}

/* Eight bits of a colour are what a browser gives of a PNG; its other kinds are read with less
 * care than ours, or more (PNG 1.2, 11.2.2: the depth is the ninth byte of IHDR). */
static bool same_everywhere(const nw_bytes *bytes, const char *type)
{
    return strcmp(type, "image/png") == 0 && bytes->length > 24 && bytes->data[24] <= 8;
}

/* EXIF data, or moving pictures, of which only the first was read. A stray match costs colour. */
static bool has_more(const nw_bytes *bytes)
{
    static const char *const words[] = {"Exif", "EXIF", "eXIf", "ANIM", "acTL"};
    for (size_t i = 0; i + 4 <= bytes->length; i++) {
        bool begun = bytes->data[i] == 'E' || bytes->data[i] == 'e' || bytes->data[i] == 'A' ||
                     bytes->data[i] == 'a';
        for (size_t k = 0; begun && k < sizeof words / sizeof *words; k++)
            if (memcmp(bytes->data + i, words[k], 4) == 0)
                return true;
    }
    return false;
}

/* A row of squares of `step` pixels: the sums of columns first, many at once, then of those. No
 * picture has so many pixels that its steps have more than 257, whose sum is too large. */
static void squares_mean(const nw_picture *picture, uint32_t step, uint32_t top,
                         uint16_t *restrict columns, uint8_t *grey)
{
    uint32_t wide = picture->width, high = picture->height - top;
    high = high < step ? high : step;
    memset(columns, 0, wide * sizeof *columns);
    for (uint32_t v = top; v < top + high; v++) {
        const uint8_t *restrict row = picture->density + (size_t)v * wide;
        for (uint32_t x = 0; x < wide; x++)
            columns[x] = (uint16_t)(columns[x] + row[x]);
    }
    for (uint32_t x = 0; x < wide;) {
        uint32_t end = wide - x < step ? wide : x + step;
        uint32_t sum = 0, count = high * (end - x);
        for (; x < end; x++)
            sum += columns[x];
        *grey++ = (uint8_t)(255 - sum / count);
    }
}

/* Paper white, ink black: the mean of `step` times `step` pixels each. */
static uint8_t *reduced(const nw_picture *picture, uint32_t step, uint32_t width, uint32_t height)
{
    uint16_t *columns = nw_alloc(picture->width, sizeof *columns);
    uint8_t *grey = columns ? nw_alloc((size_t)width * height, 1) : NULL;
    for (uint32_t y = 0; grey && y < height; y++)
        squares_mean(picture, step, y * step, columns, grey + (size_t)y * width);
    free(columns);
    return grey;
}

static bool png_make(const uint8_t *grey, uint32_t width, uint32_t height, nw_text *png)
{
    png_image image = {.version = PNG_IMAGE_VERSION,
                       .width = width,
                       .height = height,
                       .format = PNG_FORMAT_GRAY,
                       .flags = PNG_IMAGE_FLAG_FAST};
    png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
    uint8_t *bytes = nw_alloc(size, 1);
    bool made =
        bytes && png_image_write_to_memory(&image, bytes, &size, 0, grey, (png_int_32)width, NULL);
    if (made)
        nw_text_add_bytes(png, (const char *)bytes, size);
    png_image_free(&image);
    free(bytes);
    return made;
}

/* The reduced picture may reach beyond the whole one by a part of its last pixels. */
static bool density_make(const nw_picture *picture, nw_page_picture *behind)
{
    double pixels = (double)picture->width * picture->height;
    uint32_t step = (uint32_t)ceil(sqrt(fmax(pixels / REDUCED_PIXELS, 1)));
    uint32_t width = (picture->width - 1) / step + 1, height = (picture->height - 1) / step + 1;
    uint8_t *grey = reduced(picture, step, width, height);
    bool made = grey && png_make(grey, width, height, &behind->bytes);
    behind->type = "image/png";
    behind->width = (double)width * step;
    behind->height = (double)height * step;
    free(grey);
    return made;
}

nw_status nw_page_picture_make(const nw_bytes *bytes, const nw_picture *picture,
                               nw_page_picture *behind, nw_error *error)
{
    *behind = (nw_page_picture){.width = picture->width, .height = picture->height};
    const char *type = media_type(bytes);
    double pixels = behind->width * behind->height;
    bool made = true;
    if (type && bytes->length <= LARGEST_FILE && pixels <= LARGEST_PIXELS && !has_more(bytes)) {
        nw_text_add_bytes(&behind->bytes, (const char *)bytes->data, bytes->length);
        behind->type = type;
        behind->whole = true;
        behind->same = same_everywhere(bytes, type);
    } else {
        made = density_make(picture, behind);
    }
    if (made && !behind->bytes.failed)
        return NW_OK;
    nw_page_picture_free(behind);
    return nw_fail_memory(error, "the picture behind the drawing");
}

nw_status nw_page_picture_drawn(const uint8_t *bytes, size_t length, nw_page_picture *behind,
                                nw_error *error)
{
    *behind = (nw_page_picture){.whole = true, .same = true};
    if (length > LARGEST_FILE || !memchr(bytes, '<', length < 8 ? length : 8)) {
        behind->whole = false;
        return NW_OK;
    }
    nw_text_add_bytes(&behind->bytes, (const char *)bytes, length);
    behind->type = "image/svg+xml";
    if (!behind->bytes.failed)
        return NW_OK;
    nw_page_picture_free(behind);
    return nw_fail_memory(error, "the drawing in the page");
}

void nw_page_picture_free(nw_page_picture *behind)
{
    if (behind) {
        nw_text_free(&behind->bytes);
        *behind = (nw_page_picture){0};
    }
}
