/*
 * read: the bytes of a picture -> density: finds the reader by the content, chooses how ink is
 * told from paper, and turns every pixel's value into how much of it is ink.
 *
 * A picture costs one byte a pixel. What has to be known before pixels can be reduced to that byte
 * is found in a first reading; where the choice asks for another byte, the picture is decoded once
 * more instead of being held.
 */
#include "internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool begins_png(const uint8_t *d, size_t n)
{
    return n >= 8 && memcmp(d, "\x89PNG\r\n\x1a\n", 8) == 0;
}

static bool begins_pnm(const uint8_t *d, size_t n)
{
    return n >= 3 && d[0] == 'P' && d[1] >= '1' && d[1] <= '6' &&
           (d[2] == '#' || d[2] == ' ' || (d[2] >= '\t' && d[2] <= '\r'));
}

typedef struct {
    const char *name, *library; /* library: what a build needs to read it */
    bool (*begins)(const uint8_t *data, size_t length);
    raster_reader *read; /* NULL when the library was missing */
} format;

static const format formats[] = {
#ifdef NW_WITH_PNG
    {"PNG", "libpng", begins_png, nw_png_read},
#else
    {"PNG", "libpng", begins_png, NULL},
#endif
    {"PNM", "", begins_pnm, nw_pnm_read},
};

static const format *format_of(const uint8_t *data, size_t length)
{
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
        if (formats[i].begins(data, length)) {
            return &formats[i];
        }
    }
    return NULL;
}

bool nw_picture_known(const uint8_t *data, size_t length)
{
    return format_of(data, length) != NULL;
}

nw_picture_options nw_picture_defaults(void)
{
    return (nw_picture_options){
        .ink = NW_INK_AUTO, .level_kind = NW_LEVEL_AUTO, .max_pixels = 1000000000};
}

void nw_picture_free(nw_picture *picture)
{
    if (picture) {
        free(picture->density);
        *picture = (nw_picture){0};
    }
}

/* Decodes into r (again, when it has been before). */
static nw_status decode(const format *f, const uint8_t *data, size_t length, raster *r,
                        value_kind value, nw_error *error)
{
    r->value = value;
    memset(r->alpha, 0, sizeof r->alpha);
    memset(r->opaque, 0, sizeof r->opaque);
    r->clear_count = 0;
    raster_sink sink = nw_raster_sink(r);
    return f->read(data, length, &sink, error);
}

static void count_values(const uint8_t *values, size_t count, uint64_t histogram[256])
{
    memset(histogram, 0, 256 * sizeof *histogram);
    for (size_t i = 0; i < count; i++) {
        histogram[values[i]]++;
    }
}

static nw_status apply(raster *r, bool dark, nw_picture *picture, nw_error *error)
{
    size_t count = (size_t)r->width * r->height;
    uint64_t histogram[256];
    count_values(r->values, count, histogram);
    int fixed = r->options->level_kind == NW_LEVEL_FIXED ? r->options->level : -1;
    nw_ramp ramp;
    if (!nw_ramp_find(histogram, dark, fixed, &ramp)) {
        return nw_fail(error, NW_BAD_INPUT, "this picture has no ink: all of it is alike");
    }
    uint8_t table[256];
    nw_ramp_table(&ramp, table);
    for (size_t i = 0; i < count; i++) {
        r->values[i] = table[r->values[i]];
    }
    picture->level = (int)ramp.crossing;
    picture->level_kind = NW_LEVEL_FIXED;
    return NW_OK;
}

static nw_status reduce(const format *f, const uint8_t *data, size_t length, raster *r,
                        nw_picture *picture, nw_error *error)
{
    nw_status status = decode(f, data, length, r, VALUE_GREY, error);
    if (status != NW_OK) {
        return status;
    }
    picture->ink = r->options->ink == NW_INK_AUTO ? NW_INK_DARK : r->options->ink;
    if (r->options->ink == NW_INK_AUTO && r->clear_count) {
        picture->ink = NW_INK_ALPHA;
    }
    if (picture->ink == NW_INK_ALPHA) {
        status = decode(f, data, length, r, VALUE_ALPHA, error);
    }
    if (status == NW_OK) {
        status = apply(r, picture->ink == NW_INK_DARK, picture, error);
    }
    return status;
}

nw_status nw_picture_read(const uint8_t *data, size_t length, const nw_picture_options *options,
                          nw_picture *picture, nw_error *error)
{
    *picture = (nw_picture){0};
    const format *f = format_of(data, length);
    if (!f) {
        return nw_fail(error, NW_BAD_INPUT, "%s",
                       length ? "this is no picture of a known kind" : "the file is empty");
    }
    if (!f->read) {
        return nw_fail(
            error, NW_BAD_INPUT,
            "this is a %s picture, but this narrows was built without %s (%s was missing)", f->name,
            f->name, f->library);
    }
    raster r = {.options = options};
    nw_status status = reduce(f, data, length, &r, picture, error);
    if (status != NW_OK) {
        free(r.values);
        *picture = (nw_picture){0};
        return status;
    }
    picture->width = r.width;
    picture->height = r.height;
    picture->density = r.values;
    picture->ppi = r.ppi;
    snprintf(picture->how, sizeof picture->how, "dark ink on light paper, one level, %d",
             picture->level);
    return NW_OK;
}
