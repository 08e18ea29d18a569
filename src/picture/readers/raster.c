/*
 * raster: rows of pixels as a reader delivers them -> one byte a pixel, upright, and counts of what
 * occurs.
 *
 * Orientations as in Exif 2.3 (CIPA DC-008), tag 274.
 */
#include <picture/ink/ink_levels.h>
#include <picture/raster.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CLEAR_MOST 64         /* alpha of a pixel that is ground */
#define OPAQUE_LEAST 192      /* alpha of a pixel that is art */
#define PALE_LEAST 240        /* grey that cannot be told from white paper */
#define RIM_ALPHA 128         /* so opaque, the art's rim */
#define LIBRARY_BYTES 3       /* a library may hold, for each pixel that a picture may have */
#define COLOUR_SAMPLE 4000000 /* pixels whose colours are counted, about */

nw_status nw_fail_claim(nw_error *error, const char *format, uint32_t width, uint32_t height)
{
    return nw_fail(
        error, NW_BAD_INPUT,
        "this %s picture claims %u x %u pixels, but the file is too short for them" NW_SAVE_AGAIN,
        format, width, height);
}

/* Where the stored pixel (0, 0) lands in the upright picture, and where the steps of a stored
 * column and row lead. */
static void place(raster *r, const raster_header *header)
{
    static const struct {
        bool from_right, from_bottom;
    } corner[8] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}, {1, 0}, {1, 1}, {0, 1}};
    int k = header->orientation >= 1 && header->orientation <= 8 ? header->orientation - 1 : 0;
    bool turned = k >= 4;
    r->width = turned ? header->height : header->width;
    r->height = turned ? header->width : header->height;
    ptrdiff_t w = (ptrdiff_t)r->width, last_x = w - 1, last_y = ((ptrdiff_t)r->height - 1) * w;
    ptrdiff_t along_x = corner[k].from_right ? -1 : 1, along_y = corner[k].from_bottom ? -w : w;
    r->origin = (corner[k].from_right ? last_x : 0) + (corner[k].from_bottom ? last_y : 0);
    r->step_x = turned ? along_y : along_x;
    r->step_y = turned ? along_x : along_y;
}

static nw_status on_begin(void *context, const raster_header *header, nw_error *error)
{
    raster *r = context;
    r->pixels = (uint64_t)header->width * header->height;
    r->done = 0;
    if (r->pixels == 0) {
        return nw_fail(error, NW_BAD_INPUT, "this picture is %u x %u pixels", header->width,
                       header->height);
    }
    if (r->pixels > r->options->max_pixels || r->pixels > PTRDIFF_MAX / 2 ||
        header->width > INT32_MAX || header->height > INT32_MAX) {
        return nw_fail_advised(
            error, NW_BAD_INPUT, NW_ADVICE_PIXELS,
            "this picture is %u x %u pixels, and the limit is %llu in all: save it "
            "smaller",
            header->width, header->height, (unsigned long long)r->options->max_pixels);
    }
    place(r, header);
    r->ppi = header->ppi;
    if (r->values)
        return NW_OK; /* read once more */
    r->colour_rows = 1 + (uint32_t)(r->pixels / COLOUR_SAMPLE);
    r->values = nw_alloc_raw((size_t)r->pixels, 1);
    r->colours = nw_alloc(COLOUR_BINS, sizeof *r->colours);
    r->above = nw_alloc(header->width, sizeof *r->above);
    r->above_y = UINT32_MAX;
    r->sheet[0] = r->sheet[2] = UINT32_MAX;
    return r->values && r->colours && r->above ? NW_OK : nw_fail_memory(error, "the picture");
}

/* As it comes out where colours are held multiplied by their alpha, as browsers hold them: of
 * levels that become the same there the result is the same. */
static inline uint8_t over(unsigned level, unsigned alpha, unsigned ground)
{
    return (uint8_t)((level * alpha + 127) / 255 + (ground * (255 - alpha) + 127) / 255);
}

unsigned nw_colour_distance(const uint8_t a[3], const uint8_t b[3])
{
    unsigned most = 0;
    for (int i = 0; i < 3; i++) {
        unsigned d = a[i] > b[i] ? (unsigned)(a[i] - b[i]) : (unsigned)(b[i] - a[i]);
        most = d > most ? d : most;
    }
    return most;
}

static inline bool has_alpha(int channels)
{
    return channels == 2 || channels == 4;
}

static inline uint8_t alpha_of(const uint8_t *pixel, int channels)
{
    return has_alpha(channels) ? pixel[channels - 1] : 255;
}

/* A pixel of any number of channels as red, green and blue on the ground: itself, or made in to. */
static inline const uint8_t *composite(const uint8_t *pixel, int channels, const uint8_t ground[3],
                                       uint8_t to[3])
{
    unsigned alpha = alpha_of(pixel, channels);
    if (channels > 2 && alpha == 255)
        return pixel;
    for (int i = 0; i < 3; i++)
        to[i] = alpha < 255 ? over(pixel[channels < 3 ? 0 : i], alpha, ground[i]) : *pixel;
    return to;
}

/* The stored byte of a pixel. */
static inline uint8_t stored_value(const raster *r, const uint8_t *pixel, int channels)
{
    if (r->value == VALUE_ALPHA)
        return alpha_of(pixel, channels);
    uint8_t seen[3];
    const uint8_t *colour = composite(pixel, channels, r->ground, seen);
    if (r->value == VALUE_GREY)
        return (uint8_t)nw_luma(colour);
    unsigned far = nw_colour_distance(colour, r->colour), other = far;
    if (r->two_papers) {
        const uint8_t second[3] = {r->second_paper, r->second_paper, r->second_paper};
        other = nw_colour_distance(colour, second);
    }
    return (uint8_t)(other < far ? other : far);
}

/* How many of the pixels from the first on are the same: each byte as in the pixel before. */
static inline uint32_t same_pixels(const uint8_t *pixels, uint32_t count, int channels)
{
    size_t pixel = (size_t)channels, length = count * pixel, at = pixel;
    while (at + 8 <= length && nw_eight_bytes(pixels + at) == nw_eight_bytes(pixels + at - pixel))
        at += 8;
    while (at < length && pixels[at] == pixels[at - pixel])
        at++;
    return at < 2 * pixel ? 1 : (uint32_t)(at / pixel);
}

/* What a pixel on a transparent ground is, and that there is none. */
enum { CLEAR, DRAWN, PALE, NONE };

/* Of two neighbours: a rim, and whether it would not show on white. */
static inline void count_rim(raster *r, unsigned one, unsigned other)
{
    if ((one == CLEAR) != (other == CLEAR) && one != NONE)
        r->rims[one + other == PALE]++;
}

/* Takes what lies at this place in r->values into the sheet. */
static void sheet_grow(raster *r, size_t at)
{
    uint32_t x = (uint32_t)(at % r->width), y = (uint32_t)(at / r->width), *s = r->sheet;
    s[0] = x < s[0] ? x : s[0];
    s[1] = x > s[1] ? x : s[1];
    s[2] = y < s[2] ? y : s[2];
    s[3] = y > s[3] ? y : s[3];
}

/* Of n pixels alike: what the art on a transparent ground is like. */
static unsigned count_alpha(raster *r, const uint8_t *pixel, uint32_t n, int channels)
{
    unsigned alpha = alpha_of(pixel, channels);
    bool pale = (channels == 2 ? *pixel : nw_luma(pixel)) >= PALE_LEAST;
    uint32_t opaque = alpha >= OPAQUE_LEAST ? n : 0;
    r->clear += alpha <= CLEAR_MOST ? n : 0;
    r->opaque += opaque;
    r->opaque_pale += pale ? opaque : 0;
    return alpha < RIM_ALPHA ? CLEAR : pale ? PALE : DRAWN;
}

/* Of n pixels alike; before: the bin of those before them; above: the bins of those above them,
 * which take theirs, or NULL where those are not known; and 4096 times what they are. */
static inline void count_colour(raster *r, const uint8_t *pixel, uint32_t n, int channels,
                                const colour_bin **before, uint16_t *above, unsigned kind)
{
    uint8_t seen[3];
    const uint8_t *c = composite(pixel, channels, r->ground, seen);
    uint16_t index = (uint16_t)((c[0] >> 4) << 8 | (c[1] >> 4) << 4 | c[2] >> 4);
    colour_bin *bin = &r->colours[index];
    uint64_t grey = nw_luma(c), times = n;
    uint32_t beside = n - (bin != *before), upright = above ? 0 : beside;
    for (uint32_t k = 0; above && k < n; k++) {
        upright += above[k] % COLOUR_BINS == index;
        if (has_alpha(channels))
            count_rim(r, above[k] / COLOUR_BINS, kind);
        above[k] = (uint16_t)(kind * COLOUR_BINS + index);
    }
    bin->count += times;
    bin->beside += beside;
    bin->upright += upright;
    *before = bin;
    bin->red += times * c[0];
    bin->green += times * c[1];
    bin->blue += times * c[2];
    bin->grey += times * grey;
    bin->grey_squared += times * grey * grey;
}

/* Stores a row's bytes, and counts what of it is to be counted. Inlined once for each number of
 * channels. */
static inline void take_row(raster *r, uint8_t *to, ptrdiff_t step, uint32_t count,
                            const uint8_t *pixels, const int channels, bool colours,
                            uint16_t *above)
{
    unsigned last = NONE, kind = DRAWN;
    const colour_bin *before = NULL;
    bool alphas = r->counting && has_alpha(channels);
    uint64_t opaque = r->opaque;
    uint8_t *first = NULL, *end = NULL;
    for (uint32_t i = 0, n; i < count; i += n, pixels += n * (size_t)channels) {
        n = same_pixels(pixels, count - i, channels);
        uint8_t value = stored_value(r, pixels, channels);
        for (uint32_t k = 0; k < n; k++, to += step)
            *to = value;
        if (alphas) {
            kind = count_alpha(r, pixels, n, channels);
            if (r->opaque > opaque) {
                opaque = r->opaque;
                first = first ? first : to - (ptrdiff_t)n * step;
                end = to - step;
            }
            count_rim(r, last, kind);
            last = kind;
        }
        if (colours)
            count_colour(r, pixels, n, channels, &before, above ? above + i : NULL, kind);
    }
    if (first) {
        sheet_grow(r, (size_t)(first - r->values));
        sheet_grow(r, (size_t)(end - r->values));
    }
}

static void report(raster *r, uint32_t count)
{
    uint64_t step = r->pixels / 64 + 1, before = r->done / step;
    r->done += count;
    if (r->options->progress && r->done / step != before) {
        r->options->progress(r->options->progress_context, r->stage,
                             (double)r->done / (double)r->pixels);
    }
}

/* The bins of the row above this one, or below it where rows come from there, for this one's to
 * take their place; NULL where that one was not counted. */
static uint16_t *row_above(raster *r, uint32_t y, uint32_t count)
{
    bool first = r->above_y == UINT32_MAX;
    if (r->colour_rows > 1 || !(first || y == r->above_y + 1 || y + 1 == r->above_y))
        return NULL;
    if (first)
        memset(r->above, 0x3f, count * sizeof *r->above); /* NONE */
    r->above_y = y;
    return r->above;
}

static void on_row(void *context, uint32_t y, uint32_t x0, uint32_t dx, uint32_t count,
                   const uint8_t *pixels, int channels)
{
    raster *r = context;
    uint8_t *to = r->values + r->origin + (ptrdiff_t)y * r->step_y + (ptrdiff_t)x0 * r->step_x;
    /* A picture that begins with a transparent pixel will most likely be told by its transparency;
     * storing that at once saves another reading. */
    if (r->done == 0 && r->may_be_alpha && alpha_of(pixels, channels) <= CLEAR_MOST)
        r->value = VALUE_ALPHA;
    ptrdiff_t step = (ptrdiff_t)dx * r->step_x;
    bool colours = r->counting && y % r->colour_rows == 0;
    uint16_t *above = colours && dx == 1 ? row_above(r, y, count) : NULL;
    switch (channels) {
#ifndef __wasm__ /* the page's pixels have four */
    case 1:
        if (step == 1 && r->value == VALUE_GREY && !colours)
            memcpy(to, pixels, count);
        else
            take_row(r, to, step, count, pixels, 1, colours, above);
        break;
    case 2:
        take_row(r, to, step, count, pixels, 2, colours, above);
        break;
    case 3:
        take_row(r, to, step, count, pixels, 3, colours, above);
        break;
#endif
    default:
        take_row(r, to, step, count, pixels, 4, colours, above);
    }
    report(r, count);
}

raster_sink nw_raster_sink(raster *r)
{
    uint64_t pixels = r->options->max_pixels;
    bool any = pixels > UINT64_MAX / LIBRARY_BYTES;
    return (raster_sink){on_begin, on_row, r, any ? UINT64_MAX : pixels * LIBRARY_BYTES};
}

nw_status nw_memory_check(const raster_sink *sink, const char *format, double bytes,
                          nw_error *error)
{
    if (bytes <= (double)sink->most_bytes)
        return NW_OK;
    return nw_fail_advised(
        error, NW_BAD_INPUT, NW_ADVICE_PIXELS,
        "a %s picture of this size has to be held in memory whole, which takes %.0f MB, "
        "and the limit is %.0f MB: save it as PNG",
        format, ceil(bytes / 1e6), (double)sink->most_bytes / 1e6);
}

void nw_raster_free(raster *r)
{
    free(r->values);
    free(r->colours);
    free(r->above);
    r->values = NULL;
    r->colours = NULL;
    r->above = NULL;
}

void nw_values_count(const uint8_t *values, size_t count, uint64_t histogram[256])
{
    /* Four at a time: equal neighbours would wait for each other's increments. */
    uint64_t parts[4][256] = {{0}};
    size_t i = 0;
    while (i + NW_PLAIN <= count) {
        if (nw_are_plain(values + i)) {
            parts[0][values[i]] += NW_PLAIN;
            i += NW_PLAIN;
            continue;
        }
        for (size_t end = i + NW_PLAIN; i < end; i += 4) {
            parts[0][values[i]]++;
            parts[1][values[i + 1]]++;
            parts[2][values[i + 2]]++;
            parts[3][values[i + 3]]++;
        }
    }
    for (; i < count; i++)
        parts[0][values[i]]++;
    for (int level = 0; level < 256; level++)
        histogram[level] = parts[0][level] + parts[1][level] + parts[2][level] + parts[3][level];
}

void nw_values_map(uint8_t *values, size_t count, const uint8_t table[256])
{
    size_t i = 0;
    while (i + NW_PLAIN <= count) {
        if (nw_are_plain(values + i)) {
            memset(values + i, table[values[i]], NW_PLAIN);
            i += NW_PLAIN;
            continue;
        }
        for (size_t end = i + NW_PLAIN; i < end; i++)
            values[i] = table[values[i]];
    }
    for (; i < count; i++)
        values[i] = table[values[i]];
}
