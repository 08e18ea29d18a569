/*
 * png: the bytes of a PNG picture -> rows of pixels, one row at a time whatever the interlace.
 *
 * The passes of Adam7 are read as the small pictures that they are in the file (PNG
 * specification, second edition, ISO/IEC 15948:2004, clause 8), so that no second picture is held.
 */
#include <picture/raster.h>

#include <png.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#define DEFLATE_MOST 1032 /* bytes that one byte of a deflate stream can become, RFC 1951 */

typedef struct {
    const uint8_t *data;
    size_t length, at;
    const raster_sink *sink;
    nw_error *error;
    png_structp png;
    png_infop info;
    uint8_t *row;
    uint8_t (*palette)[4]; /* red, green, blue, alpha; NULL when there is none */
    uint8_t *colours;      /* a row looked up in the palette */
    int palette_count;
    nw_status status;
} reader;

static void on_error(png_structp png, png_const_charp message)
{
    reader *r = png_get_error_ptr(png);
    r->status =
        nw_fail(r->error, NW_BAD_INPUT, "this PNG picture is damaged: %s" NW_SAVE_AGAIN, message);
    png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp message)
{
    (void)png;
    (void)message;
}

static void on_read(png_structp png, png_bytep to, size_t count)
{
    reader *r = png_get_io_ptr(png);
    if (count > r->length - r->at)
        png_error(png, "it ends too early");
    memcpy(to, r->data + r->at, count);
    r->at += count;
}

static double pixels_per_inch(const reader *r)
{
    png_uint_32 x, y;
    int unit;
    if (!png_get_pHYs(r->png, r->info, &x, &y, &unit) || unit != PNG_RESOLUTION_METER || x != y)
        return 0;
    return x * NW_MM_PER_INCH / 1000;
}

/* libpng would look up colours too, but does not tell when a pixel lies beyond the palette. */
static bool take_palette(reader *r)
{
    png_colorp colours;
    png_bytep alphas = NULL;
    int alpha_count = 0;
    if (!png_get_PLTE(r->png, r->info, &colours, &r->palette_count))
        png_error(r->png, "its palette is missing");
    png_get_tRNS(r->png, r->info, &alphas, &alpha_count, NULL);
    r->palette = nw_alloc((size_t)r->palette_count, sizeof *r->palette);
    r->colours = nw_alloc(png_get_image_width(r->png, r->info), 4);
    if (!r->palette || !r->colours)
        return false;
    for (int k = 0; k < r->palette_count; k++) {
        uint8_t alpha = k < alpha_count ? alphas[k] : 255;
        memcpy(r->palette[k],
               (uint8_t[4]){colours[k].red, colours[k].green, colours[k].blue, alpha}, 4);
    }
    return true;
}

static nw_status check_header(const reader *r, const raster_header *header)
{
    uint64_t raw = (uint64_t)png_get_rowbytes(r->png, r->info) * header->height;
    return raw / DEFLATE_MOST > r->length
               ? nw_fail_claim(r->error, "PNG", header->width, header->height)
               : r->sink->begin(r->sink->context, header, r->error);
}

/* Asks libpng for bytes: grey or colour with alpha where the file has any, or palette indices. */
static void begin(reader *r)
{
    png_set_user_limits(r->png, PNG_UINT_31_MAX, PNG_UINT_31_MAX);
    png_read_info(r->png, r->info);
    raster_header header = {png_get_image_width(r->png, r->info),
                            png_get_image_height(r->png, r->info), 1, pixels_per_inch(r)};
#ifdef PNG_eXIf_SUPPORTED
    png_bytep exif;
    png_uint_32 exif_length;
    if (png_get_eXIf_1(r->png, r->info, &exif_length, &exif))
        nw_exif_read(exif, exif_length, &header);
#endif
    r->status = check_header(r, &header);
    if (r->status != NW_OK)
        return;
    bool indexed = png_get_color_type(r->png, r->info) == PNG_COLOR_TYPE_PALETTE;
    if (indexed) {
        png_set_packing(r->png);
    } else {
        png_set_expand(r->png);
        png_set_scale_16(r->png);
    }
    png_read_update_info(r->png, r->info);
    r->row = nw_alloc(1, png_get_rowbytes(r->png, r->info));
    if (!r->row || (indexed && !take_palette(r)))
        r->status = nw_fail_memory(r->error, "a row of the picture");
}

static void deliver(reader *r, uint32_t y, uint32_t x0, uint32_t dx, uint32_t count)
{
    int channels = png_get_channels(r->png, r->info);
    if (!r->palette) {
        r->sink->row(r->sink->context, y, x0, dx, count, r->row, channels);
        return;
    }
    for (uint32_t i = 0; i < count; i++) {
        if (r->row[i] >= r->palette_count)
            png_error(r->png, "a pixel lies beyond its palette");
        memcpy(r->colours + 4 * (size_t)i, r->palette[r->row[i]], 4);
    }
    r->sink->row(r->sink->context, y, x0, dx, count, r->colours, 4);
}

static void read_pass(reader *r, int pass, int passes)
{
    uint32_t width = png_get_image_width(r->png, r->info);
    uint32_t height = png_get_image_height(r->png, r->info);
    uint32_t x0 = 0, dx = 1, y0 = 0, dy = 1;
    if (passes > 1) {
        x0 = PNG_PASS_START_COL(pass);
        dx = PNG_PASS_COL_OFFSET(pass);
        y0 = PNG_PASS_START_ROW(pass);
        dy = PNG_PASS_ROW_OFFSET(pass);
    }
    if (x0 >= width)
        return;
    uint32_t count = (width - x0 + dx - 1) / dx;
    for (uint64_t y = y0; y < height; y += dy) {
        png_read_row(r->png, r->row, NULL);
        deliver(r, (uint32_t)y, x0, dx, count);
    }
}

static void read_all(reader *r)
{
    begin(r);
    if (r->status != NW_OK)
        return;
    bool interlaced = png_get_interlace_type(r->png, r->info) == PNG_INTERLACE_ADAM7;
    int passes = interlaced ? PNG_INTERLACE_ADAM7_PASSES : 1;
    for (int pass = 0; pass < passes; pass++)
        read_pass(r, pass, passes);
    png_read_end(r->png, NULL);
}

/* Nothing local changes between setjmp and a jump back: all state is the caller's *r. */
static void read_guarded(reader *r)
{
    if (setjmp(png_jmpbuf(r->png)) == 0)
        read_all(r);
}

nw_status nw_png_read(const uint8_t *data, size_t length, const raster_sink *sink, nw_error *error)
{
    reader r = {.data = data, .length = length, .sink = sink, .error = error};
    r.png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &r, on_error, on_warning);
    r.info = r.png ? png_create_info_struct(r.png) : NULL;
    if (!r.info) {
        png_destroy_read_struct(&r.png, NULL, NULL);
        return nw_fail_memory(error, "reading the picture");
    }
    png_set_read_fn(r.png, &r, on_read);
    read_guarded(&r);
    png_destroy_read_struct(&r.png, &r.info, NULL);
    free(r.row);
    free(r.palette);
    free(r.colours);
    return r.status;
}
