/*
 * pdf_letters: text -> PDF's operators, in the two fonts that every reader of PDF has itself,
 * Helvetica and Helvetica-Bold, in the encoding of the countries of western Europe. Letters beyond
 * it become question marks.
 *
 * Sources: ISO 32000-1:2008, 9.6.2.2 and annex D (WinAnsiEncoding); Adobe's metrics of the 14 core
 * fonts, which are those of the Nimbus Sans of URW's base 35.
 */
#include <report/pdf_parts.h>

#define FIRST 0x20
#define NONE 0xfffd

/* Thousandths of the letters' size, for the codes 0x20 to 0xff; 0: no letter. */
static const uint16_t widths[2][0x100 - FIRST] = {
    {
        278,  278, 355, 556, 556, 889,  667,  191,  333, 333,  389, 584, 278,  333, 278, 278,
        556,  556, 556, 556, 556, 556,  556,  556,  556, 556,  278, 278, 584,  584, 584, 556,
        1015, 667, 667, 722, 722, 667,  611,  778,  722, 278,  500, 667, 556,  833, 722, 778,
        667,  778, 722, 667, 611, 722,  667,  944,  667, 667,  611, 278, 278,  278, 469, 556,
        333,  556, 556, 500, 556, 556,  278,  556,  556, 222,  222, 500, 222,  833, 556, 556,
        556,  556, 333, 500, 278, 556,  500,  722,  500, 500,  500, 334, 260,  334, 584, 0,
        556,  0,   222, 556, 333, 1000, 556,  556,  333, 1000, 667, 333, 1000, 0,   611, 0,
        0,    222, 222, 333, 333, 350,  556,  1000, 333, 1000, 500, 333, 944,  0,   500, 667,
        278,  333, 556, 556, 556, 556,  260,  556,  333, 737,  370, 556, 584,  333, 737, 333,
        400,  584, 333, 333, 333, 556,  537,  278,  333, 333,  365, 556, 834,  834, 834, 611,
        667,  667, 667, 667, 667, 667,  1000, 722,  667, 667,  667, 667, 278,  278, 278, 278,
        722,  722, 778, 778, 778, 778,  778,  584,  778, 722,  722, 722, 722,  667, 667, 611,
        556,  556, 556, 556, 556, 556,  889,  500,  556, 556,  556, 556, 278,  278, 278, 278,
        556,  556, 556, 556, 556, 556,  556,  584,  611, 556,  556, 556, 556,  500, 556, 500,
    },
    {
        278, 333, 474, 556, 556, 889,  722,  238,  333, 333,  389, 584, 278,  333, 278, 278,
        556, 556, 556, 556, 556, 556,  556,  556,  556, 556,  333, 333, 584,  584, 584, 611,
        975, 722, 722, 722, 722, 667,  611,  778,  722, 278,  556, 722, 611,  833, 722, 778,
        667, 778, 722, 667, 611, 722,  667,  944,  667, 667,  611, 333, 278,  333, 584, 556,
        333, 556, 611, 556, 611, 556,  333,  611,  611, 278,  278, 556, 278,  889, 611, 611,
        611, 611, 389, 556, 333, 611,  556,  778,  556, 556,  500, 389, 280,  389, 584, 0,
        556, 0,   278, 556, 500, 1000, 556,  556,  333, 1000, 667, 333, 1000, 0,   611, 0,
        0,   278, 278, 500, 500, 350,  556,  1000, 333, 1000, 556, 333, 944,  0,   500, 667,
        278, 333, 556, 556, 556, 556,  280,  556,  333, 737,  370, 556, 584,  333, 737, 333,
        400, 584, 333, 333, 333, 611,  556,  278,  333, 333,  365, 556, 834,  834, 834, 611,
        722, 722, 722, 722, 722, 722,  1000, 722,  667, 667,  667, 667, 278,  278, 278, 278,
        722, 722, 778, 778, 778, 778,  778,  584,  778, 722,  722, 722, 722,  667, 667, 611,
        556, 556, 556, 556, 556, 556,  889,  556,  556, 556,  556, 556, 278,  278, 278, 278,
        611, 611, 611, 611, 611, 611,  611,  584,  611, 611,  611, 611, 611,  556, 611, 556,
    },
};

/* What the codes 0x80 to 0x9f stand for. */
static const uint16_t high[32] = {
    0x20ac, NONE,   0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160,
    0x2039, 0x0152, NONE,   0x017d, NONE,   NONE,   0x2018, 0x2019, 0x201c, 0x201d, 0x2022,
    0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, NONE,   0x017e, 0x0178,
};

/* The code point at *s, which is well-formed UTF-8, and moves on. */
static uint32_t next_point(const char **s)
{
    const unsigned char *u = (const unsigned char *)*s;
    int more = *u >= 0xf0 ? 3 : *u >= 0xe0 ? 2 : *u >= 0xc0 ? 1 : 0;
    uint32_t point = more ? *u & (0x3fu >> more) : *u;
    for (u++; more > 0 && (*u & 0xc0) == 0x80; more--) {
        point = point << 6 | (*u++ & 0x3f);
    }
    *s = (const char *)u;
    return point;
}

static unsigned char code_of(uint32_t point)
{
    if ((point >= FIRST && point < 0x7f) || (point >= 0xa0 && point < 0x100)) {
        return (unsigned char)point;
    }
    for (unsigned i = 0; i < 32; i++) {
        if (high[i] == point && point != NONE) {
            return (unsigned char)(0x80 + i);
        }
    }
    return '?';
}

static void add_string(nw_text *pdf, const char *letters)
{
    nw_text_add(pdf, "(");
    while (*letters) {
        char code = (char)code_of(next_point(&letters));
        if (code == '(' || code == ')' || code == '\\') {
            nw_text_add(pdf, "\\");
        }
        nw_text_add_bytes(pdf, &code, 1);
    }
    nw_text_add(pdf, ")");
}

double report_pdf_width(const char *letters, double size, bool bold)
{
    double sum = 0;
    while (*letters) {
        sum += widths[bold][code_of(next_point(&letters)) - FIRST];
    }
    return sum * size / 1000;
}

/* The text's own matrix turns it upright again where y grows downwards. */
void report_pdf_letters(nw_text *pdf, nw_point at, double size, bool bold, const char *letters)
{
    nw_text_add(pdf, bold ? "BT /F2 " : "BT /F1 ");
    nw_text_number(pdf, size, 4);
    nw_text_add(pdf, " Tf 1 0 0 -1 ");
    report_pdf_numbers(pdf, (double[]){at.x, at.y}, 2, "Tm");
    add_string(pdf, letters);
    nw_text_add(pdf, " Tj ET\n");
}

/* A string for readers, not for the page: UTF-16, marked as such (7.9.2.2). */
void report_pdf_words(nw_text *pdf, const char *letters)
{
    nw_text_add(pdf, "<FEFF");
    while (*letters) {
        uint32_t point = next_point(&letters);
        if (point > 0xffff) {
            nw_text_format(pdf, "%04X", (unsigned)(0xd7c0 + (point >> 10)));
            point = 0xdc00 + (point & 0x3ff);
        }
        nw_text_format(pdf, "%04X", (unsigned)point);
    }
    nw_text_add(pdf, ">");
}
