/* text: text built in memory; a failure is kept until the writer's end asks for it. */
#include <base/base.h>

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LARGEST_NUMBER 1e12 /* beyond it, nine decimals no longer fit a 64-bit integer's scale */

void nw_text_free(nw_text *text)
{
    if (text) {
        free(text->data);
        *text = (nw_text){0};
    }
}

const char *nw_text_string(const nw_text *text)
{
    return text->data ? text->data : "";
}

static bool text_reserve(nw_text *text, size_t more)
{
    if (!text->failed && more < text->capacity - text->length)
        return true;
    text->failed = text->failed || more > SIZE_MAX - text->length - 1 ||
                   !nw_grow(&text->data, &text->capacity, text->length + more + 1, 1);
    return !text->failed;
}

void nw_text_take(nw_text *text, nw_text *other, int width)
{
    for (size_t i = other->length; i < (size_t)width; i++)
        nw_text_add_bytes(text, " ", 1);
    nw_text_add_bytes(text, other->data, other->length);
    text->failed = text->failed || other->failed;
    nw_text_free(other);
}

void nw_text_add_bytes(nw_text *text, const char *bytes, size_t length)
{
    if (!text_reserve(text, length))
        return;
    if (length)
        memcpy(text->data + text->length, bytes, length);
    text->length += length;
    text->data[text->length] = '\0';
}

void nw_text_one_line(nw_text *text)
{
    for (size_t i = 0; i < text->length; i++) {
        unsigned char *c = (unsigned char *)text->data + i;
        if (*c < 0x20 || *c == 0x7f)
            *c = '?';
        else if (*c == 0xc2 && c[1] >= 0x80 && c[1] < 0xa0) /* U+0080 to U+009F */
            c[0] = c[1] = '?';
    }
}

void nw_text_add(nw_text *text, const char *string)
{
    nw_text_add_bytes(text, string, strlen(string));
}

void nw_text_format(nw_text *text, const char *format, ...)
{
    size_t spare = text->data ? text->capacity - text->length : 0;
    va_list arguments;
    va_start(arguments, format);
    int needed = vsnprintf(spare ? text->data + text->length : NULL, spare, format, arguments);
    va_end(arguments);
    if (needed < 0 || !text_reserve(text, (size_t)needed)) {
        text->failed = true;
        return;
    }
    if ((size_t)needed >= spare) { /* it was cut short */
        va_start(arguments, format);
        vsnprintf(text->data + text->length, (size_t)needed + 1, format, arguments);
        va_end(arguments);
    }
    text->length += (size_t)needed;
}

/* Two digits at a time. */
static size_t digits_put(char *out, uint64_t value, int count)
{
    static const char pairs[] = "00010203040506070809101112131415161718192021222324"
                                "25262728293031323334353637383940414243444546474849"
                                "50515253545556575859606162636465666768697071727374"
                                "75767778798081828384858687888990919293949596979899";
    int i = count;
    for (; i >= 2; i -= 2, value /= 100)
        memcpy(out + i - 2, pairs + 2 * (value % 100), 2);
    if (i)
        *out = (char)('0' + value % 10);
    return (size_t)count;
}

#define NUMBER_LONGEST 32 /* bytes: sign, 13 digits, point, 9 digits */

/* Writes value with `decimals` places into out, rounded to nearest, halves up, without zeros at its
 * end where it may be shorter; returns its length. */
static size_t number_print(char *out, double value, int decimals, bool shorter)
{
    static const int32_t powers[] = {1,      10,      100,      1000,      10000,
                                     100000, 1000000, 10000000, 100000000, 1000000000};
    double size = fabs(value);
    if (!(size <= LARGEST_NUMBER)) /* or no number */
        size = 0;
    decimals = decimals < 0 ? 0 : decimals > 9 ? 9 : decimals;
    int64_t whole = (int64_t)size;
    double scaled = (size - (double)whole) * powers[decimals];
    int32_t part = (int32_t)scaled;
    part += scaled - part >= 0.5;
    if (part >= powers[decimals]) {
        whole++;
        part -= powers[decimals];
    }
    size_t length = 0;
    if (value < 0 && (whole || part))
        out[length++] = '-';
    int digits = 1;
    for (int64_t limit = 10; whole >= limit; limit *= 10)
        digits++;
    length += digits_put(out + length, (uint64_t)whole, digits);
    for (; shorter && decimals && part % 10 == 0; decimals--)
        part /= 10;
    if (decimals) {
        out[length++] = '.';
        length += digits_put(out + length, (uint32_t)part, decimals);
    }
    return length;
}

static void number_add(nw_text *text, double value, int decimals, bool shorter)
{
    if (text_reserve(text, NUMBER_LONGEST)) {
        text->length += number_print(text->data + text->length, value, decimals, shorter);
        text->data[text->length] = '\0';
    }
}

void nw_text_number(nw_text *text, double value, int decimals)
{
    number_add(text, value, decimals, true);
}

void nw_text_fixed(nw_text *text, double value, int decimals)
{
    number_add(text, value, decimals, false);
}

/* Length of the well-formed UTF-8 sequence at s that XML allows, 0 when there is none. */
static size_t utf8_length(const unsigned char *s)
{
    if (s[0] < 0x80)
        return s[0] >= 0x20 || s[0] == '\t' || s[0] == '\n' || s[0] == '\r' ? 1 : 0;
    size_t length = s[0] >= 0xf0 ? 4 : s[0] >= 0xe0 ? 3 : 2;
    uint32_t code = s[0] & (0xffu >> (length + 1));
    if (s[0] < 0xc2 || s[0] > 0xf4)
        return 0;
    for (size_t i = 1; i < length; i++) {
        if ((s[i] & 0xc0) != 0x80)
            return 0;
        code = code << 6 | (s[i] & 0x3f);
    }
    bool overlong = (length == 3 && code < 0x800) || (length == 4 && code < 0x10000);
    bool excluded = (code >= 0xd800 && code < 0xe000) || code == 0xfffe || code == 0xffff;
    return overlong || excluded || code > 0x10ffff ? 0 : length;
}

static const char *entity(unsigned char c)
{
    switch (c) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return NULL;
    }
}

static void add_clean(nw_text *text, const char *string, bool escape)
{
    const unsigned char *s = (const unsigned char *)string;
    while (*s) {
        size_t length = utf8_length(s);
        const char *instead = !length ? "\xef\xbf\xbd" : escape ? entity(*s) : NULL;
        if (instead)
            nw_text_add(text, instead);
        else
            nw_text_add_bytes(text, (const char *)s, length);
        s += length ? length : 1;
    }
}

void nw_text_clean(nw_text *text, const char *string)
{
    add_clean(text, string, false);
}

void nw_text_escaped(nw_text *text, const char *string)
{
    add_clean(text, string, true);
}
