/*
 * pnm: the bytes of a portable bitmap, greymap or pixmap (P1 to P6) -> rows of pixels. Only the
 * first picture of a file is read.
 *
 * Format: the Netpbm formats' manual pages pbm(5), pgm(5), ppm(5).
 */
#include <picture/raster.h>

#include <stdlib.h>

typedef struct {
    const uint8_t *data;
    size_t length, at;
    uint32_t width, height, most; /* most: the value of full white */
    int kind;                     /* 1 to 6 */
    int channels;
} pnm;

static nw_status ends_early(nw_error *error)
{
    return nw_fail(error, NW_BAD_INPUT, "this PNM picture ends before its last row" NW_SAVE_AGAIN);
}

static bool is_space(int c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

/* Skips white space and comments, which run from # to the end of the line. */
static void skip_space(pnm *p)
{
    while (p->at < p->length) {
        if (p->data[p->at] == '#')
            while (p->at < p->length && p->data[p->at] != '\n' && p->data[p->at] != '\r')
                p->at++;
        else if (is_space(p->data[p->at]))
            p->at++;
        else
            return;
    }
}

static bool read_number(pnm *p, uint32_t *value)
{
    skip_space(p);
    size_t first = p->at;
    uint64_t sum = 0;
    while (p->at < p->length && p->data[p->at] >= '0' && p->data[p->at] <= '9') {
        sum = sum * 10 + (p->data[p->at++] - '0');
        if (sum > UINT32_MAX)
            return false;
    }
    *value = (uint32_t)sum;
    return p->at > first;
}

static nw_status read_header(pnm *p, nw_error *error)
{
    p->kind = p->data[1] - '0';
    p->at = 2;
    p->channels = p->kind == 3 || p->kind == 6 ? 3 : 1;
    p->most = 1;
    bool has_most = p->kind != 1 && p->kind != 4;
    if (!read_number(p, &p->width) || !read_number(p, &p->height) ||
        (has_most && !read_number(p, &p->most))) {
        return nw_fail(error, NW_BAD_INPUT,
                       "this PNM picture's header is not complete" NW_SAVE_AGAIN);
    }
    if (p->width == 0 || p->height == 0) {
        return nw_fail(error, NW_BAD_INPUT, "this PNM picture is %u x %u pixels", p->width,
                       p->height);
    }
    if (p->most < 1 || p->most > 65535) {
        return nw_fail(error, NW_BAD_INPUT,
                       "this PNM picture's largest value is %u, not 1 to 65535", p->most);
    }
    if (p->kind >= 4) {
        if (p->at >= p->length || !is_space(p->data[p->at]))
            return ends_early(error);
        p->at++; /* exactly one, the rest may be pixels */
    }
    return NW_OK;
}

/* The fewest bytes that a row can take. */
static uint64_t row_bytes(const pnm *p)
{
    uint64_t samples = (uint64_t)p->width * (uint64_t)p->channels;
    switch (p->kind) {
    case 1:
        return samples;
    case 2:
    case 3:
        return samples * 2 - 1; /* a digit and a space each; the last space may be missing */
    case 4:
        return (samples + 7) / 8;
    default:
        return p->most > 255 ? samples * 2 : samples;
    }
}

static uint8_t scaled(const pnm *p, uint32_t value)
{
    return (uint8_t)((value * 255 + p->most / 2) / p->most);
}

static nw_status read_text_row(pnm *p, size_t samples, uint8_t *row, nw_error *error)
{
    for (size_t i = 0; i < samples; i++) {
        uint32_t value;
        if (p->kind == 1) {
            skip_space(p); /* digits may stand close together */
            if (p->at >= p->length)
                return ends_early(error);
            value = (uint32_t)(p->data[p->at++] - '0');
        } else if (!read_number(p, &value)) {
            skip_space(p);
            return p->at >= p->length ? ends_early(error)
                                      : nw_fail(error, NW_BAD_INPUT,
                                                "no number at byte %zu of this PNM picture", p->at);
        }
        if (value > p->most) {
            return nw_fail(error, NW_BAD_INPUT,
                           "a value above the largest before byte %zu of this PNM picture", p->at);
        }
        row[i] = p->kind == 1 ? (uint8_t)(value ? 0 : 255) : scaled(p, value);
    }
    return NW_OK;
}

static nw_status read_raw_row(pnm *p, size_t samples, uint8_t *row, nw_error *error)
{
    const uint8_t *from = p->data + p->at;
    for (size_t i = 0; i < samples; i++) {
        if (p->kind == 4) {
            row[i] = from[i / 8] >> (7 - i % 8) & 1 ? 0 : 255;
            continue;
        }
        uint32_t value = p->most > 255 ? from[2 * i] * 256u + from[2 * i + 1] : from[i];
        if (value > p->most) {
            return nw_fail(error, NW_BAD_INPUT,
                           "a value above the largest near byte %zu of this PNM picture", p->at);
        }
        row[i] = p->most == 255 ? (uint8_t)value : scaled(p, value);
    }
    p->at += (size_t)row_bytes(p);
    return NW_OK;
}

static nw_status read_rows(pnm *p, const raster_sink *sink, nw_error *error)
{
    size_t samples = (size_t)p->width * (size_t)p->channels;
    uint8_t *row = nw_alloc(samples, 1);
    if (!row)
        return nw_fail_memory(error, "a row of the picture");
    nw_status status = NW_OK;
    for (uint32_t y = 0; y < p->height && status == NW_OK; y++) {
        status = p->kind >= 4 ? read_raw_row(p, samples, row, error)
                              : read_text_row(p, samples, row, error);
        if (status == NW_OK)
            sink->row(sink->context, y, 0, 1, p->width, row, p->channels);
    }
    free(row);
    return status;
}

nw_status nw_pnm_read(const uint8_t *data, size_t length, const raster_sink *sink, nw_error *error)
{
    pnm p = {.data = data, .length = length};
    nw_status status = read_header(&p, error);
    if (status == NW_OK) {
        raster_header header = {p.width, p.height, 1, 0};
        /* Before any memory is taken: can the file hold what its header says? Widths of 32 bits,
         * so no product overflows as long as the heights divide. */
        if (row_bytes(&p) > (p.length - p.at) / p.height)
            return ends_early(error);
        status = sink->begin(sink->context, &header, error);
    }
    return status == NW_OK ? read_rows(&p, sink, error) : status;
}
