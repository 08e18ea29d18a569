#include "picture_make.h"

#include <png.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#ifdef NW_WITH_JPEG
#include <jpeglib.h>
#endif
#ifdef NW_WITH_WEBP
#include <webp/encode.h>
#endif
#ifdef NW_WITH_GIF
#include <gif_lib.h>
#endif

static nw_bytes bytes_of(nw_text *text)
{
    return (nw_bytes){(uint8_t *)text->data, text->length};
}

static void append_number(nw_text *text, uint32_t value, int count)
{
    for (int i = 0; i < count; i++) {
        uint8_t byte = (uint8_t)(value >> (8 * i));
        nw_text_add_bytes(text, (const char *)&byte, 1);
    }
}

static void on_png(png_structp png, png_bytep data, png_size_t length)
{
    nw_text_add_bytes(png_get_io_ptr(png), (const char *)data, length);
}

nw_bytes make_png(int width, int height, int channels, const uint8_t *pixels, bool interlaced)
{
    static const int types[] = {0, PNG_COLOR_TYPE_GRAY, PNG_COLOR_TYPE_GRAY_ALPHA,
                                PNG_COLOR_TYPE_RGB, PNG_COLOR_TYPE_RGB_ALPHA};
    nw_text text = {0};
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    png_set_write_fn(png, &text, on_png, NULL);
    png_set_IHDR(png, info, (png_uint_32)width, (png_uint_32)height, 8, types[channels],
                 interlaced ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE, 0, 0);
    png_write_info(png, info);
    int passes = interlaced ? png_set_interlace_handling(png) : 1;
    for (int y = 0; y < passes * height; y++)
        png_write_row(png, pixels + (size_t)(y % height * width) * (size_t)channels);
    png_write_end(png, NULL);
    png_destroy_write_struct(&png, &info);
    return bytes_of(&text);
}

nw_bytes make_bmp(int width, int height, int channels, const uint8_t *pixels)
{
    nw_text text = {0};
    int bits = channels == 4 ? 32 : 24, header = channels == 4 ? 108 : 40;
    nw_text_add_bytes(&text, "BM", 2);
    nw_text_add_bytes(&text, "\0\0\0\0\0\0\0\0", 8);
    append_number(&text, (uint32_t)(14 + header), 4);
    append_number(&text, (uint32_t)header, 4);
    append_number(&text, (uint32_t)width, 4);
    append_number(&text, (uint32_t)-height, 4);
    append_number(&text, 1, 2);
    append_number(&text, (uint32_t)bits, 2);
    append_number(&text, channels == 4 ? 3 : 0, 4);
    for (int i = 0; i < 5; i++)
        append_number(&text, 0, 4);
    if (channels == 4) {
        const uint32_t masks[] = {0xff0000, 0xff00, 0xff, 0xff000000};
        for (int i = 0; i < 17; i++)
            append_number(&text, i < 4 ? masks[i] : 0, 4);
    }
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++, pixels += channels) {
            const uint8_t *p = pixels;
            const uint8_t one[] = {p[channels > 2 ? 2 : 0], p[channels > 2 ? 1 : 0], p[0],
                                   channels == 4 ? p[3] : 255};
            nw_text_add_bytes(&text, (const char *)one, (size_t)bits / 8);
        }
        append_number(&text, 0, (4 - width * bits / 8 % 4) % 4);
    }
    return bytes_of(&text);
}

nw_bytes make_jpeg(int width, int height, int channels, const uint8_t *pixels, bool progressive,
                   const nw_bytes *exif)
{
    nw_text text = {0};
#ifdef NW_WITH_JPEG
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr manager;
    unsigned char *data = NULL;
    unsigned long length = 0;
    jpeg.err = jpeg_std_error(&manager);
    jpeg_create_compress(&jpeg);
    jpeg_mem_dest(&jpeg, &data, &length);
    jpeg.image_width = (JDIMENSION)width;
    jpeg.image_height = (JDIMENSION)height;
    jpeg.input_components = channels;
    jpeg.in_color_space = channels == 1 ? JCS_GRAYSCALE : channels == 3 ? JCS_RGB : JCS_CMYK;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, 95, TRUE);
    if (channels == 4)
        jpeg.write_Adobe_marker = TRUE;
    if (progressive)
        jpeg_simple_progression(&jpeg);
    jpeg_start_compress(&jpeg, TRUE);
    if (exif)
        jpeg_write_marker(&jpeg, JPEG_APP0 + 1, exif->data, (unsigned)exif->length);
    while (jpeg.next_scanline < jpeg.image_height) {
        JSAMPROW row = (JSAMPROW)pixels + jpeg.next_scanline * (size_t)(width * channels);
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    nw_text_add_bytes(&text, (const char *)data, length);
    free(data);
#else
    (void)width, (void)height, (void)channels, (void)pixels, (void)progressive, (void)exif;
#endif
    return bytes_of(&text);
}

nw_bytes make_webp(int width, int height, int channels, const uint8_t *pixels)
{
    nw_text text = {0};
#ifdef NW_WITH_WEBP
    uint8_t *data = NULL;
    int stride = width * channels;
    size_t length = channels == 4 ? WebPEncodeLosslessRGBA(pixels, width, height, stride, &data)
                                  : WebPEncodeLosslessRGB(pixels, width, height, stride, &data);
    nw_text_add_bytes(&text, (const char *)data, length);
    WebPFree(data);
#else
    (void)width, (void)height, (void)channels, (void)pixels;
#endif
    return bytes_of(&text);
}

nw_bytes make_lossy_webp(int width, int height, const uint8_t *pixels)
{
    nw_text text = {0};
#ifdef NW_WITH_WEBP
    uint8_t *data = NULL;
    size_t length = WebPEncodeRGB(pixels, width, height, width * 3, 75, &data);
    nw_text_add_bytes(&text, (const char *)data, length);
    WebPFree(data);
#else
    (void)width, (void)height, (void)pixels;
#endif
    return bytes_of(&text);
}

#ifdef NW_WITH_GIF
static int on_gif(GifFileType *gif, const GifByteType *data, int length)
{
    nw_text_add_bytes(gif->UserData, (const char *)data, (size_t)length);
    return length;
}
#endif

nw_bytes make_gif(int width, int height, const uint8_t *pixels, int clear, bool interlaced)
{
    nw_text text = {0};
#ifdef NW_WITH_GIF
    static const int first[] = {0, 4, 2, 1}, step[] = {8, 8, 4, 2};
    int code;
    GifFileType *gif = EGifOpen(&text, on_gif, &code);
    GifColorType colours[256];
    for (int i = 0; i < 256; i++)
        colours[i] = (GifColorType){(GifByteType)i, (GifByteType)i, (GifByteType)i};
    ColorMapObject *map = GifMakeMapObject(256, colours);
    EGifSetGifVersion(gif, true);
    EGifPutScreenDesc(gif, width, height, 8, 0, map);
    GraphicsControlBlock control = {0, false, 0, clear};
    GifByteType block[4];
    EGifGCBToExtension(&control, block);
    EGifPutExtension(gif, GRAPHICS_EXT_FUNC_CODE, 4, block);
    EGifPutImageDesc(gif, 0, 0, width, height, interlaced, NULL);
    for (int pass = 0; pass < (interlaced ? 4 : 1); pass++)
        for (int y = interlaced ? first[pass] : 0; y < height; y += interlaced ? step[pass] : 1)
            EGifPutLine(gif, (GifPixelType *)pixels + (size_t)(y * width), width);
    EGifCloseFile(gif, &code);
    GifFreeMapObject(map);
#else
    (void)width, (void)height, (void)pixels, (void)clear, (void)interlaced;
#endif
    return bytes_of(&text);
}

nw_bytes make_exif(int orientation)
{
    nw_text text = {0};
    nw_text_add_bytes(&text, "Exif\0\0MM\0*\0\0\0\10\0\1\1\22\0\3\0\0\0\1\0", 25);
    uint8_t rest[7] = {(uint8_t)orientation};
    nw_text_add_bytes(&text, (const char *)rest, sizeof rest);
    return bytes_of(&text);
}
