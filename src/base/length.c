/* length: "120mm", "1/16in", "1 1/2in", "12cm" or a bare number of millimetres; a fraction needs
 * its unit, for who writes 1/8 hardly means millimetres. */
#include <base/base.h>

#include <math.h>
#include <string.h>

#define LARGEST_MM 1e6

static const char *skip_spaces(const char *s)
{
    while (*s == ' ')
        s++;
    return s;
}

/* A fraction's lower half after '/', which may also be missing. */
static bool divide(const char **s, double *value)
{
    double by;
    if (**s != '/')
        return true;
    if (!nw_number_read(*s + 1, &by, s) || by == 0)
        return false;
    *value /= by;
    return true;
}

/* A number, a fraction, or a whole number and a fraction */
static bool amount_read(const char **s, double *value)
{
    if (!nw_number_read(*s, value, s))
        return false;
    if (**s == '/')
        return divide(s, value);
    const char *next = skip_spaces(*s);
    double extra;
    if ((**s == ' ' || **s == '-') && nw_number_read(**s == '-' ? *s + 1 : next, &extra, &next) &&
        *next == '/') {
        *s = next;
        if (!divide(s, &extra) || extra < 0 || extra >= 1)
            return false;
        *value += *value < 0 ? -extra : extra;
    }
    return true;
}

static double unit_mm(const char *unit)
{
    static const struct {
        const char *name;
        double mm;
    } units[] = {{"", 1},
                 {"mm", 1},
                 {"cm", 10},
                 {"m", 1000},
                 {"in", NW_MM_PER_INCH},
                 {"inch", NW_MM_PER_INCH},
                 {"\"", NW_MM_PER_INCH}};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strcmp(unit, units[i].name) == 0)
            return units[i].mm;
    return 0;
}

nw_status nw_length_read(const char *text, double *mm, nw_error *error)
{
    *mm = 0;
    const char *s = skip_spaces(text);
    double value;
    double unit = 0;
    if (amount_read(&s, &value)) {
        s = skip_spaces(s);
        unit = unit_mm(s);
    }
    if (unit > 0 && !*s && strchr(text, '/')) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' has no unit; write %sin for inches, without a space", text, text);
    }
    if (unit == 0) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' is not a length; write for example 120mm, 4.5in, 1/16in or 12cm",
                       text);
    }
    if (!(fabs(value * unit) <= LARGEST_MM)) {
        return nw_fail(error, NW_BAD_REQUEST, "'%s' is longer than a kilometre; is its unit right?",
                       text);
    }
    *mm = value * unit;
    return NW_OK;
}
