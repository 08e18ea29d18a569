/*
 * columns: how many columns of a terminal a text takes: none for accents that combine, two for the
 * wide characters of East Asian scripts and for pictures (Unicode Standard Annex 11, "East Asian
 * Width": the blocks that are wide as wholes), else one.
 */
#include <report/parts.h>

#include <string.h>

/* The character at s and its length in bytes; a byte that begins none stands for itself. */
static uint32_t character(const char *s, size_t *length)
{
    unsigned char first = (unsigned char)*s;
    size_t whole = first < 0xc0 ? 1 : first < 0xe0 ? 2 : first < 0xf0 ? 3 : 4;
    uint32_t code = whole == 1 ? first : first & (0xffu >> (whole + 1));
    for (*length = 1; *length < whole && ((unsigned char)s[*length] & 0xc0) == 0x80; ++*length)
        code = code << 6 | ((unsigned char)s[*length] & 0x3f);
    return code;
}

static size_t character_columns(uint32_t code)
{
    static const struct {
        uint32_t first, last;
        size_t columns;
    } blocks[] = {{0x0300, 0x036f, 0},   {0x200b, 0x200f, 0},   {0x20d0, 0x20ff, 0},
                  {0xfe00, 0xfe0f, 0},   {0xfe20, 0xfe2f, 0},   {0x1100, 0x115f, 2},
                  {0x2e80, 0x303e, 2},   {0x3041, 0xa4cf, 2},   {0xac00, 0xd7a3, 2},
                  {0xf900, 0xfaff, 2},   {0xfe30, 0xfe6f, 2},   {0xff01, 0xff60, 2},
                  {0xffe0, 0xffe6, 2},   {0x1f300, 0x1f64f, 2}, {0x1f680, 0x1f6ff, 2},
                  {0x1f900, 0x1f9ff, 2}, {0x20000, 0x3fffd, 2}};
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++)
        if (code >= blocks[i].first && code <= blocks[i].last)
            return blocks[i].columns;
    return 1;
}

size_t nw_report_columns(const char *text, size_t length)
{
    size_t columns = 0, bytes;
    for (size_t i = 0; i < length; i += bytes)
        columns += character_columns(character(text + i, &bytes));
    return columns;
}

size_t nw_report_head(const char *text, size_t columns)
{
    size_t length = 0, bytes;
    while (text[length]) {
        size_t wide = character_columns(character(text + length, &bytes));
        if (wide > columns)
            break;
        columns -= wide;
        length += bytes;
    }
    return length;
}

size_t nw_report_tail(const char *text, size_t columns)
{
    size_t start = 0, bytes, left = nw_report_columns(text, strlen(text));
    while (left > columns) {
        left -= character_columns(character(text + start, &bytes));
        start += bytes;
    }
    return start;
}
