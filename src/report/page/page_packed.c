/*
 * page_packed: bytes as they travel in a page: deflated without a head (RFC 1951), as letters that
 * stand in a script element as they are. Two letters of 91 hold thirteen bits, lowest first; a last
 * letter alone holds six, so that no byte comes out that did not go in. embed.py writes the same,
 * unpack.js reads it.
 */
#include <report/parts.h>

#include <stdlib.h>
#include <zlib.h>

#define LETTERS 91
#define PAIR 13
#define ALONE 6

/* Printable ASCII but '"', '<' and '\'. */
static char letter(uint32_t value)
{
    unsigned code = 33 + (value > 0) + value;
    code += code >= '<';
    return (char)(code + (code >= '\\'));
}

static void letters_add(nw_text *text, const uint8_t *bytes, size_t length)
{
    uint32_t held = 0;
    int bits = 0;
    for (size_t i = 0; i < length || bits > 0;) {
        while (i < length && bits < PAIR) {
            held |= (uint32_t)bytes[i++] << bits;
            bits += 8;
        }
        uint32_t value = held & ((1U << PAIR) - 1);
        char two[2] = {letter(value % LETTERS), letter(value / LETTERS)};
        nw_text_add_bytes(text, two, bits > ALONE ? 2 : 1);
        held >>= PAIR;
        bits -= PAIR;
    }
}

void nw_report_packed(nw_text *text, const void *bytes, size_t length)
{
    z_stream stream = {.next_in = (Bytef *)bytes, .avail_in = (uInt)length};
    if (length > UINT32_MAX / 2 ||
        deflateInit2(&stream, 9, Z_DEFLATED, -MAX_WBITS, 9, Z_DEFAULT_STRATEGY) != Z_OK) {
        text->failed = true;
        return;
    }
    uLong most = deflateBound(&stream, (uLong)length);
    uint8_t *made = nw_alloc(most, 1);
    stream.next_out = made;
    stream.avail_out = (uInt)most;
    if (made && deflate(&stream, Z_FINISH) == Z_STREAM_END)
        letters_add(text, made, stream.total_out);
    else
        text->failed = true;
    deflateEnd(&stream);
    free(made);
}
