/*
 * jpeg: the bytes of a JPEG picture -> rows of pixels, grey or colour, by libjpeg.
 *
 * Inks of four colours: Adobe's files store them inverted (common practice; libjpeg's own notes,
 * libjpeg.txt, say the same). Damage that libjpeg would paint over in grey is refused.
 */
#include <picture/raster.h>

#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <jpeglib.h>
#include <jerror.h>

#define SCANS_MOST 500       /* of a progressive file: each costs a pass over the whole picture */
#define PIXELS_PER_BYTE 1024 /* at most: half a bit for a block of 64 */

typedef struct {
    struct jpeg_error_mgr manager; /* first, so that libjpeg's pointer to it is one to this */
    jmp_buf back;
    struct jpeg_progress_mgr progress;
    struct jpeg_decompress_struct jpeg;
    const raster_sink *sink;
    nw_error *error;
    nw_status status;
    uint8_t *row, *colours;
} reader;

static void on_error(j_common_ptr jpeg)
{
    reader *r = (reader *)jpeg->err;
    char message[JMSG_LENGTH_MAX];
    jpeg->err->format_message(jpeg, message);
    r->status =
        nw_fail(r->error, NW_BAD_INPUT, "this JPEG picture is damaged: %s" NW_SAVE_AGAIN, message);
    longjmp(r->back, 1);
}

/* Warnings after which pixels are made up. */
static bool is_damage(int code)
{
    return code == JWRN_HIT_MARKER || code == JWRN_HUFF_BAD_CODE || code == JWRN_JPEG_EOF ||
           code == JWRN_MUST_RESYNC || code == JWRN_ARITH_BAD_CODE || code == JWRN_NOT_SEQUENTIAL;
}

static void on_message(j_common_ptr jpeg, int level)
{
    if (level < 0 && is_damage(jpeg->err->msg_code))
        on_error(jpeg);
}

static void on_output(j_common_ptr jpeg)
{
    (void)jpeg;
}

static void on_progress(j_common_ptr jpeg)
{
    reader *r = (reader *)jpeg->err;
    if (jpeg->is_decompressor && r->jpeg.input_scan_number > SCANS_MOST) {
        r->status =
            nw_fail(r->error, NW_BAD_INPUT, "this JPEG picture has more than %d scans", SCANS_MOST);
        longjmp(r->back, 1);
    }
}

static void read_markers(const reader *r, raster_header *header)
{
    const struct jpeg_decompress_struct *jpeg = &r->jpeg;
    if (jpeg->saw_JFIF_marker && jpeg->X_density == jpeg->Y_density && jpeg->X_density > 1) {
        header->ppi = jpeg->density_unit == 1   ? jpeg->X_density
                      : jpeg->density_unit == 2 ? jpeg->X_density * NW_MM_PER_INCH / 10
                                                : 0;
    }
    for (jpeg_saved_marker_ptr m = jpeg->marker_list; m; m = m->next)
        if (m->data_length > 6 && memcmp(m->data, "Exif\0", 6) == 0)
            nw_exif_read(m->data + 6, m->data_length - 6, header);
}

/* A file of several scans, such as a progressive one, is held as its coefficients, 2 bytes each:
 * up to 6 bytes a pixel, 3 where colours are stored at half the resolution. */
static double coefficient_bytes(struct jpeg_decompress_struct *jpeg)
{
    double blocks = 0;
    for (int i = 0; i < jpeg->num_components && jpeg_has_multiple_scans(jpeg); i++) {
        const jpeg_component_info *component = &jpeg->comp_info[i];
        blocks += (double)component->width_in_blocks * component->height_in_blocks;
    }
    return blocks * sizeof(JBLOCK);
}

static void begin(reader *r, size_t length)
{
    struct jpeg_decompress_struct *jpeg = &r->jpeg;
    raster_header header = {jpeg->image_width, jpeg->image_height, 1, 0};
    read_markers(r, &header);
    if ((uint64_t)header.width * header.height / PIXELS_PER_BYTE > length) {
        r->status = nw_fail_claim(r->error, "JPEG", header.width, header.height);
        return;
    }
    r->status = r->sink->begin(r->sink->context, &header, r->error);
    if (r->status == NW_OK)
        r->status = nw_memory_check(r->sink, "progressive JPEG", coefficient_bytes(jpeg), r->error);
    if (jpeg->jpeg_color_space == JCS_CMYK || jpeg->jpeg_color_space == JCS_YCCK)
        jpeg->out_color_space = JCS_CMYK;
    else if (jpeg->jpeg_color_space != JCS_GRAYSCALE)
        jpeg->out_color_space = JCS_RGB;
}

/* Four inks, each 255 where there is none when inverted, to red, green and blue. */
static void from_inks(const uint8_t *inks, uint32_t count, bool inverted, uint8_t *colours)
{
    uint8_t flip = inverted ? 0 : 255;
    for (uint32_t i = 0; i < count; i++, inks += 4, colours += 3) {
        unsigned key = inks[3] ^ flip;
        for (int c = 0; c < 3; c++)
            colours[c] = (uint8_t)(((inks[c] ^ flip) * key + 127) / 255);
    }
}

static void read_rows(reader *r)
{
    struct jpeg_decompress_struct *jpeg = &r->jpeg;
    uint32_t width = jpeg->output_width;
    int channels = jpeg->output_components;
    r->row = nw_alloc(width, (size_t)channels);
    r->colours = nw_alloc(width, 3);
    if (!r->row || !r->colours) {
        r->status = nw_fail_memory(r->error, "a row of the picture");
        return;
    }
    while (jpeg->output_scanline < jpeg->output_height) {
        uint32_t y = jpeg->output_scanline;
        JSAMPROW row = r->row;
        jpeg_read_scanlines(jpeg, &row, 1);
        if (channels == 4) {
            from_inks(r->row, width, jpeg->saw_Adobe_marker, r->colours);
            r->sink->row(r->sink->context, y, 0, 1, width, r->colours, 3);
        } else {
            r->sink->row(r->sink->context, y, 0, 1, width, r->row, channels);
        }
    }
    jpeg_finish_decompress(jpeg);
}

static void read_all(reader *r, const uint8_t *data, size_t length)
{
    struct jpeg_decompress_struct *jpeg = &r->jpeg;
    jpeg_create_decompress(jpeg);
    r->progress.progress_monitor = on_progress;
    jpeg->progress = &r->progress;
    jpeg_mem_src(jpeg, data, length);
    jpeg_save_markers(jpeg, JPEG_APP0 + 1, 65535);
    jpeg_read_header(jpeg, TRUE);
    begin(r, length);
    if (r->status == NW_OK) {
        jpeg_start_decompress(jpeg);
        read_rows(r);
    }
}

/* Nothing local changes between setjmp and a jump back: all state is the caller's *r. */
static void read_guarded(reader *r, const uint8_t *data, size_t length)
{
    if (setjmp(r->back) == 0)
        read_all(r, data, length);
}

nw_status nw_jpeg_read(const uint8_t *data, size_t length, const raster_sink *sink, nw_error *error)
{
    reader r = {.sink = sink, .error = error};
    r.jpeg.err = jpeg_std_error(&r.manager);
    r.manager.error_exit = on_error;
    r.manager.emit_message = on_message;
    r.manager.output_message = on_output;
    read_guarded(&r, data, length);
    jpeg_destroy_decompress(&r.jpeg);
    free(r.row);
    free(r.colours);
    return r.status;
}
