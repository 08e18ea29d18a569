/*
 * pdf_letters: text in UTF-8 -> strings for the standard fonts Helvetica and Helvetica-Bold in
 * WinAnsiEncoding (ISO 32000-1, 9.6.2.2 and annex D), with the widths that Adobe published with
 * them (Core 14 AFM files).
 *
 * A letter that those fonts lack is named by its code point, [U+0444], and the line says what it
 * stands for as the text to find and copy (14.9.4, ActualText).
 */
#include <report/files/pdf.h>
#include <report/sheet/pen.h>

#include <string.h>

#define FIRST 0x20
#define NAME_ROOM 5.5 /* sizes that the longest name takes, [U+10FFFD] in bold */

/* Thousandths of the size, from code FIRST on: plain and bold. */
static const uint16_t widths[2][0x100 - FIRST] = {
    {278,  278, 355, 556, 556,  889, 667, 191, 333, 333, 389, 584,  278, 333,  278,  278,  556, 556,
     556,  556, 556, 556, 556,  556, 556, 556, 278, 278, 584, 584,  584, 556,  1015, 667,  667, 722,
     722,  667, 611, 778, 722,  278, 500, 667, 556, 833, 722, 778,  667, 778,  722,  667,  611, 722,
     667,  944, 667, 667, 611,  278, 278, 278, 469, 556, 333, 556,  556, 500,  556,  556,  278, 556,
     556,  222, 222, 500, 222,  833, 556, 556, 556, 556, 333, 500,  278, 556,  500,  722,  500, 500,
     500,  334, 260, 334, 584,  0,   556, 0,   222, 556, 333, 1000, 556, 556,  333,  1000, 667, 333,
     1000, 0,   611, 0,   0,    222, 222, 333, 333, 350, 556, 1000, 333, 1000, 500,  333,  944, 0,
     500,  667, 278, 333, 556,  556, 556, 556, 260, 556, 333, 737,  370, 556,  584,  333,  737, 333,
     400,  584, 333, 333, 333,  556, 537, 278, 333, 333, 365, 556,  834, 834,  834,  611,  667, 667,
     667,  667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278,  278, 278,  722,  722,  778, 778,
     778,  778, 778, 584, 778,  722, 722, 722, 722, 667, 667, 611,  556, 556,  556,  556,  556, 556,
     889,  500, 556, 556, 556,  556, 278, 278, 278, 278, 556, 556,  556, 556,  556,  556,  556, 584,
     611,  556, 556, 556, 556,  500, 556, 500},
    {278,  333, 474, 556, 556,  889, 722, 238, 333, 333, 389, 584,  278, 333,  278, 278,  556, 556,
     556,  556, 556, 556, 556,  556, 556, 556, 333, 333, 584, 584,  584, 611,  975, 722,  722, 722,
     722,  667, 611, 778, 722,  278, 556, 722, 611, 833, 722, 778,  667, 778,  722, 667,  611, 722,
     667,  944, 667, 667, 611,  333, 278, 333, 584, 556, 333, 556,  611, 556,  611, 556,  333, 611,
     611,  278, 278, 556, 278,  889, 611, 611, 611, 611, 389, 556,  333, 611,  556, 778,  556, 556,
     500,  389, 280, 389, 584,  0,   556, 0,   278, 556, 500, 1000, 556, 556,  333, 1000, 667, 333,
     1000, 0,   611, 0,   0,    278, 278, 500, 500, 350, 556, 1000, 333, 1000, 556, 333,  944, 0,
     500,  667, 278, 333, 556,  556, 556, 556, 280, 556, 333, 737,  370, 556,  584, 333,  737, 333,
     400,  584, 333, 333, 333,  611, 556, 278, 333, 333, 365, 556,  834, 834,  834, 611,  722, 722,
     722,  722, 722, 722, 1000, 722, 667, 667, 667, 667, 278, 278,  278, 278,  722, 722,  778, 778,
     778,  778, 778, 584, 778,  722, 722, 722, 722, 667, 667, 611,  556, 556,  556, 556,  556, 556,
     889,  556, 556, 556, 556,  556, 278, 278, 278, 278, 611, 611,  611, 611,  611, 611,  611, 584,
     611,  611, 611, 611, 611,  556, 611, 556},
};

/* The characters of codes 0x80 to 0x9f; the rest of the encoding has their own numbers. */
static const uint16_t others[] = {0x20ac, 0,      0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021,
                                  0x02c6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017d, 0,
                                  0,      0x2018, 0x2019, 0x201c, 0x201d, 0x2022, 0x2013, 0x2014,
                                  0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0,      0x017e, 0x0178};

/* The next character of well-formed UTF-8. */
static uint32_t character_take(const char **text)
{
    const unsigned char *s = (const unsigned char *)*text;
    int more = s[0] >= 0xf0 ? 3 : s[0] >= 0xe0 ? 2 : s[0] >= 0xc0 ? 1 : 0;
    uint32_t character = more ? s[0] & (0x3fu >> more) : s[0];
    for (s++; more && (*s & 0xc0) == 0x80; more--)
        character = character << 6 | (*s++ & 0x3f);
    *text = (const char *)s;
    return character;
}

/* 0: the fonts lack it. */
static unsigned code_of(uint32_t character)
{
    if ((character >= FIRST && character < 0x7f) || (character >= 0xa0 && character < 0x100))
        return character;
    for (unsigned i = 0; i < sizeof others / sizeof *others; i++)
        if (others[i] && others[i] == character)
            return 0x80 + i;
    return 0;
}

/* Text without what is malformed, to be freed. */
static const char *cleaned(nw_text *clean, const char *text)
{
    nw_text_clean(clean, text);
    return nw_text_string(clean);
}

bool nw_report_pdf_letters(nw_text *letters, const char *text)
{
    nw_text clean = {0};
    bool all = true;
    for (const char *s = cleaned(&clean, text); *s;) {
        uint32_t character = character_take(&s);
        unsigned code = code_of(character);
        if (code)
            nw_text_add_bytes(letters, (char[]){(char)code}, 1);
        else
            nw_text_format(letters, "[U+%04X]", (unsigned)character);
        all = all && code;
    }
    letters->failed = letters->failed || clean.failed;
    nw_text_free(&clean);
    return all;
}

void nw_report_pdf_show(nw_text *out, const nw_text *letters)
{
    nw_text_add(out, "(");
    for (size_t i = 0; i < letters->length; i++) {
        unsigned char code = (unsigned char)letters->data[i];
        if (code < 0x7f && !strchr("()\\", code))
            nw_text_add_bytes(out, &letters->data[i], 1);
        else
            nw_text_format(out, "\\%03o", (unsigned)code);
    }
    nw_text_add(out, ") Tj\n");
}

void nw_report_pdf_string(nw_text *out, const char *text)
{
    nw_text clean = {0};
    nw_text_add(out, "<FEFF");
    for (const char *s = cleaned(&clean, text); *s;) {
        uint32_t character = character_take(&s);
        if (character >= 0x10000) { /* two surrogates */
            character -= 0x10000;
            nw_text_format(out, "%04X", 0xd800u + (unsigned)(character >> 10));
            character = 0xdc00 + (character & 0x3ff);
        }
        nw_text_format(out, "%04X", (unsigned)character);
    }
    nw_text_add(out, ">");
    out->failed = out->failed || clean.failed;
    nw_text_free(&clean);
}

double nw_report_pdf_width(const nw_text *letters, bool bold)
{
    double width = 0;
    for (size_t i = 0; i < letters->length; i++)
        width += widths[bold][(unsigned char)letters->data[i] - FIRST];
    return width / 1000;
}

double nw_report_pdf_room(const char *text, size_t length, double size, bool bold)
{
    double room = nw_report_text_width(text, length, size, bold);
    for (const char *s = text; s < text + length;)
        room += code_of(character_take(&s)) ? 0 : NAME_ROOM * size;
    return room;
}
