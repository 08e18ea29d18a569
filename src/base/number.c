/*
 * number: decimal numbers, and ranges of counts, read without the locale. Up to 19 digits are kept
 * exactly in an integer and scaled once by a power of ten, which is right to the last bit or two.
 */
#include <base/base.h>

#include <math.h>

#define MOST_DIGITS 19     /* as many as always fit 64 bits */
#define MOST_EXPONENT 5000 /* far beyond a double's; keeps the sum from overflowing */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Digits of one side of the point into *mantissa; *scale counts the powers of ten owed. */
static const char *digits_read(const char *s, bool after_point, uint64_t *mantissa, int *kept,
                               int *scale)
{
    for (; is_digit(*s); s++) {
        if (*kept < MOST_DIGITS) {
            *mantissa = *mantissa * 10 + (uint64_t)(*s - '0');
            *kept += *mantissa > 0;
            *scale -= after_point;
        } else if (!after_point && *scale < MOST_EXPONENT) {
            (*scale)++;
        }
    }
    return s;
}

/* An exponent at s, if one stands there in full. */
static const char *exponent_read(const char *s, int *scale)
{
    if (*s != 'e' && *s != 'E')
        return s;
    const char *e = s + 1;
    bool negative = *e == '-';
    e += *e == '-' || *e == '+';
    if (!is_digit(*e))
        return s;
    int exponent = 0;
    for (; is_digit(*e); e++)
        if (exponent < MOST_EXPONENT)
            exponent = exponent * 10 + (*e - '0');
    *scale += negative ? -exponent : exponent;
    return e;
}

static double scale_by_ten(uint64_t mantissa, int scale)
{
    static const double exact[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                   1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                   1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    if (mantissa == 0)
        return 0;
    if (scale >= 0 && scale <= 22)
        return (double)mantissa * exact[scale];
    if (scale < 0 && scale >= -22)
        return (double)mantissa / exact[-scale];
    return (double)mantissa * nw_power(10, scale);
}

bool nw_number_read(const char *text, double *value, const char **end)
{
    const char *s = text;
    bool negative = *s == '-';
    s += *s == '-' || *s == '+';
    uint64_t mantissa = 0;
    int kept = 0, scale = 0;
    const char *whole = s;
    s = digits_read(s, false, &mantissa, &kept, &scale);
    bool any = s > whole;
    if (*s == '.') {
        const char *part = s + 1;
        const char *after = digits_read(part, true, &mantissa, &kept, &scale);
        any = any || after > part;
        s = any ? after : s;
    }
    if (!any)
        return false;
    s = exponent_read(s, &scale);
    double number = scale_by_ten(mantissa, scale);
    if (!isfinite(number))
        return false;
    *value = negative ? -number : number;
    *end = s;
    return true;
}

static size_t count_read(const char **at)
{
    size_t sum = 0;
    for (; is_digit(**at); ++*at)
        sum = sum < SIZE_MAX / 20 ? sum * 10 + (size_t)(**at - '0') : sum;
    return sum;
}

bool nw_range_read(const char **at, size_t *first, size_t *last)
{
    *first = *last = count_read(at);
    if (*first && **at == '-') {
        ++*at;
        *last = count_read(at);
    }
    return *first && *last >= *first;
}
