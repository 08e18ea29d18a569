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
/* Of numbers that are rounded the highest level makes hardly less, in many times the time. */
#define NUMBERS_LEVEL 6
#define SWITCHES 64 /* bytes, and to spare: for blocks that end where the level changes */

/* Printable ASCII but '"', '<' and '\'. */
static char letter(uint32_t value)
{
    unsigned code = 33 + (value > 0) + value;
    code += code >= '<';
    return (char)(code + (code >= '\\'));
}

static void letters_add(nw_text *text, const uint8_t *bytes, size_t length)
{
    char made[4096]; /* letters that come by the two are not worth a call each */
    size_t count = 0;
    uint32_t held = 0;
    int bits = 0;
    for (size_t i = 0; i < length || bits > 0;) {
        while (i < length && bits < PAIR) {
            held |= (uint32_t)bytes[i++] << bits;
            bits += 8;
        }
        uint32_t value = held & ((1U << PAIR) - 1);
        made[count++] = letter(value % LETTERS);
        if (bits > ALONE)
            made[count++] = letter(value / LETTERS);
        held >>= PAIR;
        bits -= PAIR;
        if (count + 2 > sizeof made || (i >= length && bits <= 0)) {
            nw_text_add_bytes(text, made, count);
            count = 0;
        }
    }
}

static bool pack(z_stream *stream, int level, size_t length, int flush)
{
    stream->avail_in = 0; /* of what comes next */
    bool good = deflateParams(stream, level, Z_DEFAULT_STRATEGY) == Z_OK;
    stream->avail_in = (uInt)length;
    int status = good ? deflate(stream, flush) : Z_STREAM_ERROR;
    return status == (flush == Z_FINISH ? Z_STREAM_END : length ? Z_OK : Z_BUF_ERROR);
}

void nw_report_packed(nw_text *text, const void *bytes, size_t length, size_t from, size_t to)
{
    z_stream stream = {.next_in = (Bytef *)bytes};
    if (length > UINT32_MAX / 2 ||
        deflateInit2(&stream, 9, Z_DEFLATED, -MAX_WBITS, 9, Z_DEFAULT_STRATEGY) != Z_OK) {
        text->failed = true;
        return;
    }
    uLong most = deflateBound(&stream, (uLong)length) + SWITCHES;
    uint8_t *made = nw_alloc(most, 1);
    stream.next_out = made;
    stream.avail_out = (uInt)most;
    if (made && pack(&stream, 9, from, Z_NO_FLUSH) && pack(&stream, 0, to - from, Z_NO_FLUSH) &&
        pack(&stream, NUMBERS_LEVEL, length - to, Z_FINISH))
        letters_add(text, made, stream.total_out);
    else
        text->failed = true;
    deflateEnd(&stream);
    free(made);
}
