/*
 * exif: an EXIF block -> which way up the picture is, and its pixels per inch.
 *
 * Format: TIFF 6.0 (1992), section 2, and Exif 2.3 (CIPA DC-008), tags 274, 282, 283 and 296.
 */
#include <picture/reader.h>

typedef struct {
    const uint8_t *data;
    size_t length;
    bool big_endian;
} block;

static uint32_t number(const block *b, size_t at, size_t bytes)
{
    uint32_t value = 0;
    for (size_t i = 0; i < bytes; i++) {
        size_t k = b->big_endian ? at + i : at + bytes - 1 - i;
        value = value << 8 | (k < b->length ? b->data[k] : 0);
    }
    return value;
}

/* A RATIONAL, whose place the entry at `entry` gives. */
static double rational(const block *b, size_t entry)
{
    size_t at = number(b, entry + 8, 4);
    double over = number(b, at, 4), under = number(b, at + 4, 4);
    return under > 0 ? over / under : 0;
}

void nw_exif_read(const uint8_t *data, size_t length, raster_header *header)
{
    block b = {data, length, length && data[0] == 'M'};
    if (length < 14 || data[0] != data[1] || (data[0] != 'M' && data[0] != 'I') ||
        number(&b, 2, 2) != 42)
        return;
    size_t at = number(&b, 4, 4);
    size_t entries = number(&b, at, 2);
    double x = 0, y = 0;
    uint32_t unit = 2;
    for (size_t k = 0; k < entries && at + 14 + 12 * k <= length; k++) {
        size_t entry = at + 2 + 12 * k;
        uint32_t tag = number(&b, entry, 2), value = number(&b, entry + 8, 2);
        if (tag == 274 && value >= 1 && value <= 8)
            header->orientation = (int)value;
        else if (tag == 282)
            x = rational(&b, entry);
        else if (tag == 283)
            y = rational(&b, entry);
        else if (tag == 296)
            unit = value;
    }
    if (header->ppi == 0 && x > 0 && x == y && (unit == 2 || unit == 3))
        header->ppi = unit == 2 ? x : x * NW_MM_PER_INCH / 10;
}
