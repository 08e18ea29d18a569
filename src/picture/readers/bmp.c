/*
 * bmp: the bytes of a Windows bitmap -> rows of pixels: 1 to 32 bits a pixel, palettes, bit fields,
 * and the two run-length encodings.
 *
 * Format: Microsoft's Win32 documentation of BITMAPFILEHEADER, BITMAPCOREHEADER, BITMAPINFOHEADER,
 * BITMAPV4HEADER, and "Bitmap Compression".
 */
#include <picture/raster.h>

#include <stdlib.h>
#include <string.h>

#define FILE_HEADER 14
#define CORE_HEADER 12
#define INFO_HEADER 40
#define RUN_PIXELS_PER_BYTE                                                                        \
    256 /* of a run-length encoding, at most; ends of lines cost two bytes */

enum { PLAIN = 0, RUNS_8 = 1, RUNS_4 = 2, FIELDS = 3 };

typedef struct {
    uint32_t mask;
    unsigned shift;
    uint32_t most;
} field;

typedef struct {
    const uint8_t *data;
    size_t length, at;
    uint32_t width, height, bits, compression, colours;
    bool from_top, core;
    size_t header; /* bytes of the second header */
    field fields[4];
    uint8_t palette[256][3];
    uint8_t *row; /* red, green, blue, alpha */
} bmp;

static uint32_t number(const bmp *b, size_t at, size_t bytes)
{
    uint32_t value = 0;
    for (size_t i = 0; i < bytes && at + i < b->length; i++)
        value |= (uint32_t)b->data[at + i] << (8 * i);
    return value;
}

static nw_status damaged(nw_error *error, const char *why)
{
    return nw_fail(error, NW_BAD_INPUT, "this BMP picture is damaged: %s" NW_SAVE_AGAIN, why);
}

static field field_of(uint32_t mask)
{
    field f = {mask, 0, 0};
    if (mask) {
        f.shift = (unsigned)__builtin_ctz(mask);
        f.most = mask >> f.shift;
    }
    return f;
}

static void read_fields(bmp *b)
{
    static const uint32_t usual_16[] = {0x7c00, 0x3e0, 0x1f, 0};
    static const uint32_t usual_32[] = {0xff0000, 0xff00, 0xff, 0};
    for (size_t i = 0; i < 4; i++) {
        uint32_t mask = b->bits == 16 ? usual_16[i] : usual_32[i];
        if (b->compression == FIELDS) {
            /* Alpha only in headers that have a place for it. */
            bool has = i < 3 || b->header >= 56;
            mask = has ? number(b, FILE_HEADER + INFO_HEADER + 4 * i, 4) : 0;
        }
        b->fields[i] = field_of(mask);
    }
}

static nw_status read_palette(bmp *b, nw_error *error)
{
    if (b->bits > 8)
        return NW_OK;
    size_t entry = b->core ? 3 : 4, most = (size_t)1 << b->bits;
    if (b->colours == 0 || b->colours > most)
        b->colours = (uint32_t)most;
    size_t at = FILE_HEADER + b->header;
    if (at + b->colours * entry > b->length)
        return damaged(error, "its palette is not complete");
    for (size_t k = 0; k < b->colours; k++) {
        const uint8_t *from = b->data + at + k * entry;
        memcpy(b->palette[k], (uint8_t[3]){from[2], from[1], from[0]}, 3);
    }
    return NW_OK;
}

static bool is_known(const bmp *b)
{
    switch (b->compression) {
    case PLAIN:
        return b->bits == 1 || b->bits == 4 || b->bits == 8 || b->bits == 16 || b->bits == 24 ||
               b->bits == 32;
    case RUNS_8:
        return b->bits == 8 && !b->from_top;
    case RUNS_4:
        return b->bits == 4 && !b->from_top;
    case FIELDS:
        return b->bits == 16 || b->bits == 32;
    default:
        return false;
    }
}

static nw_status read_header(bmp *b, raster_header *header, nw_error *error)
{
    if (b->length < FILE_HEADER + CORE_HEADER)
        return damaged(error, "it ends too early");
    b->header = number(b, FILE_HEADER, 4);
    b->core = b->header == CORE_HEADER;
    if ((!b->core && b->header < INFO_HEADER) || b->header > b->length - FILE_HEADER)
        return damaged(error, "its header is of no known kind");
    size_t at = FILE_HEADER + 4, side = b->core ? 2 : 4;
    int64_t width = number(b, at, side), height = number(b, at + side, side);
    if (!b->core) {
        width = (int32_t)width;
        b->from_top = (int32_t)height < 0;
        height = llabs((int64_t)(int32_t)height);
        b->compression = number(b, FILE_HEADER + 16, 4);
        b->colours = number(b, FILE_HEADER + 32, 4);
        uint32_t x = number(b, FILE_HEADER + 24, 4), y = number(b, FILE_HEADER + 28, 4);
        header->ppi = x == y && x <= INT32_MAX ? x * NW_MM_PER_INCH / 1000 : 0;
    }
    b->bits = number(b, at + 2 * side + 2, 2);
    if (width < 1 || height < 1 || height > INT32_MAX || !is_known(b))
        return damaged(error, "its size or its kind makes no sense");
    header->width = b->width = (uint32_t)width;
    header->height = b->height = (uint32_t)height;
    b->at = number(b, 10, 4);
    read_fields(b);
    return read_palette(b, error);
}

static size_t row_bytes(const bmp *b)
{
    return (size_t)(((uint64_t)b->width * b->bits + 31) / 32 * 4);
}

/* Before any memory is taken: can the file hold what its header says? */
static bool is_plausible(const bmp *b)
{
    if (b->at > b->length)
        return false;
    size_t left = b->length - b->at;
    if (b->compression == RUNS_8 || b->compression == RUNS_4)
        return (uint64_t)b->width * b->height / RUN_PIXELS_PER_BYTE <= left;
    return row_bytes(b) <= left / b->height;
}

/* Some writers leave the bytes of alpha 0 throughout and mean opaque. */
static void check_alpha(bmp *b)
{
    uint64_t pixels = (uint64_t)b->width * b->height;
    uint32_t any = b->bits == 32 ? 0 : 1;
    for (uint64_t k = 0; b->fields[3].mask && k < pixels && !any; k++)
        any = number(b, b->at + (size_t)k * 4, 4) & b->fields[3].mask;
    if (!any)
        b->fields[3] = field_of(0);
}

static bool put_index(bmp *b, uint32_t x, uint32_t index)
{
    if (index >= b->colours)
        return false;
    memcpy(b->row + 4 * (size_t)x, b->palette[index], 3);
    b->row[4 * (size_t)x + 3] = 255;
    return true;
}

static uint8_t field_value(const field *f, uint32_t pixel)
{
    return f->most ? (uint8_t)(((uint64_t)((pixel & f->mask) >> f->shift) * 255 + f->most / 2) /
                               f->most)
                   : 0;
}

static void put_fields(bmp *b, uint32_t x, uint32_t pixel)
{
    uint8_t *to = b->row + 4 * (size_t)x;
    for (int i = 0; i < 3; i++)
        to[i] = field_value(&b->fields[i], pixel);
    to[3] = b->fields[3].mask ? field_value(&b->fields[3], pixel) : 255;
}

static bool plain_row(bmp *b)
{
    size_t first = b->at;
    uint32_t per_byte = b->bits < 8 ? 8 / b->bits : 1;
    for (uint32_t x = 0; x < b->width; x++) {
        if (b->bits <= 8) {
            unsigned shift = 8 - b->bits * (x % per_byte + 1);
            uint32_t index = b->data[first + x / per_byte] >> shift & ((1u << b->bits) - 1);
            if (!put_index(b, x, index))
                return false;
        } else {
            size_t bytes = b->bits / 8;
            put_fields(b, x, number(b, first + x * bytes, bytes));
        }
    }
    b->at += row_bytes(b);
    return true;
}

/* ---- run lengths ----------------------------------------------------------------------------- */

typedef struct {
    uint32_t x;    /* next pixel of the row */
    uint32_t skip; /* rows still to be left as they are, then x where the next one goes on */
    bool ended;
} run_state;

static bool put_run(bmp *b, run_state *s, uint32_t count, size_t from, bool literal)
{
    for (uint32_t i = 0; i < count; i++) {
        uint32_t index = b->data[from + (literal ? (b->bits == 8 ? i : i / 2) : 0)];
        if (b->bits == 4)
            index = i % 2 ? index & 15 : index >> 4;
        if (s->x >= b->width || !put_index(b, s->x++, index))
            return false;
    }
    return true;
}

/* A row of a run-length encoding; what it skips stays transparent. */
static bool run_row(bmp *b, run_state *s)
{
    memset(b->row, 0, 4 * (size_t)b->width);
    if (s->skip)
        s->skip--;
    while (!s->skip && !s->ended) {
        if (b->at + 2 > b->length)
            return false;
        uint32_t count = b->data[b->at], code = b->data[b->at + 1];
        b->at += 2;
        if (count) {
            if (!put_run(b, s, count, b->at - 1, false))
                return false;
        } else if (code == 0) {
            s->x = 0;
            return true;
        } else if (code == 1) {
            s->ended = true;
        } else if (code == 2) {
            s->x += number(b, b->at, 1);
            s->skip = number(b, b->at + 1, 1);
            b->at += 2;
        } else {
            size_t bytes = b->bits == 8 ? code : (code + 1) / 2;
            if (bytes > b->length - b->at || !put_run(b, s, code, b->at, true))
                return false;
            b->at += bytes + bytes % 2;
        }
    }
    return true;
}

static nw_status read_rows(bmp *b, const raster_sink *sink, nw_error *error)
{
    b->row = nw_alloc(b->width, 4);
    if (!b->row)
        return nw_fail_memory(error, "a row of the picture");
    bool runs = b->compression == RUNS_8 || b->compression == RUNS_4;
    run_state state = {0};
    for (uint32_t k = 0; k < b->height; k++) {
        if (!(runs ? run_row(b, &state) : plain_row(b)))
            return damaged(error, "it ends too early, or a pixel lies beyond its palette");
        uint32_t y = b->from_top ? k : b->height - 1 - k;
        sink->row(sink->context, y, 0, 1, b->width, b->row, 4);
    }
    return NW_OK;
}

nw_status nw_bmp_read(const uint8_t *data, size_t length, const raster_sink *sink, nw_error *error)
{
    bmp b = {.data = data, .length = length};
    raster_header header = {.orientation = 1};
    nw_status status = read_header(&b, &header, error);
    if (status == NW_OK && !is_plausible(&b))
        status = nw_fail_claim(error, "BMP", b.width, b.height);
    if (status == NW_OK) {
        check_alpha(&b);
        status = sink->begin(sink->context, &header, error);
    }
    if (status == NW_OK)
        status = read_rows(&b, sink, error);
    free(b.row);
    return status;
}
