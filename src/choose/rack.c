/*
 * rack: the user's own list of bits from plain text, and the built-in list of common sizes.
 */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_BITS 1000
#define LONGEST_LINE 400
#define LARGEST_BIT_MM 1000.0
#define LARGEST_FEED 100000.0 /* mm a minute; beyond any machine, so a slip of the pen */

/* Where a complaint points to. */
#define BYTE_ORDER_MARK "\xef\xbb\xbf" /* that some editors put before UTF-8 */

typedef struct {
    const char *file;
    size_t line;
    nw_error *error;
} place;

static nw_status complain(const place *at, const char *what, const char *word)
{
    return nw_fail(at->error, NW_BAD_INPUT, "%s, line %zu: %s%s%s%s", at->file, at->line, what,
                   *word ? " '" : "", word, *word ? "'" : "");
}

static char *trim(char *s)
{
    s += strspn(s, " \t\r");
    size_t length = strlen(s);
    while (length && strchr(" \t\r", s[length - 1]))
        s[--length] = '\0';
    return s;
}

/* Cuts the next field off *rest at a comma; NULL when there is none left. */
static char *next_field(char **rest)
{
    char *field = *rest;
    if (!field)
        return NULL;
    char *comma = strchr(field, ',');
    *rest = comma ? comma + 1 : NULL;
    if (comma)
        *comma = '\0';
    return trim(field);
}

static nw_status positive_length(const char *word, double *mm, const place *at, bool zero_too)
{
    nw_error error;
    if (nw_length_read(word, mm, &error) != NW_OK)
        return complain(at, error.message, "");
    if (*mm < 0 || (*mm == 0 && !zero_too) || *mm > LARGEST_BIT_MM)
        return complain(at, "not a size that a bit can have:", word);
    return NW_OK;
}

static nw_status number_between(const char *word, double least, double most, double *value,
                                const place *at)
{
    const char *end;
    if (!nw_number_read(word, value, &end) || *end || *value <= least || *value >= most)
        return complain(at, "not a number that makes sense here:", word);
    return NW_OK;
}

enum { FLUTES, TIP, ANGLE, FEED, PROPERTIES };

static nw_status value_read(int property, const char *value, nw_bit *bit, const place *at)
{
    switch (property) {
    case FLUTES:
        return positive_length(value, &bit->flute, at, false);
    case TIP:
        return positive_length(value, &bit->tip, at, true);
    case ANGLE:
        return number_between(value, 0, 180, &bit->angle_deg, at);
    default:
        return number_between(value, 0, LARGEST_FEED, &bit->feed, at);
    }
}

/* One "word value" field after the diameter; told: which there were. */
static nw_status property_read(char *field, nw_bit *bit, bool told[PROPERTIES], const place *at)
{
    static const char *const words[PROPERTIES] = {"flutes", "tip", "angle", "feed"};
    char *value = field + strcspn(field, " \t");
    if (*value) {
        *value++ = '\0';
        value = trim(value);
    }
    for (int k = 0; k < PROPERTIES; k++) {
        if (strcmp(field, words[k]) != 0)
            continue;
        if (told[k])
            return complain(at, "stands there twice:", field);
        told[k] = true;
        return value_read(k, value, bit, at);
    }
    return complain(
        at, *field ? "expected flutes, tip, angle or feed, not" : "nothing stands behind a comma",
        field);
}

static nw_status shape_settle(nw_bit *bit, const place *at)
{
    if (bit->angle_deg == 0)
        return bit->tip > 0 ? complain(at, "a tip needs an angle beside it", "") : NW_OK;
    if (bit->tip >= bit->diameter)
        return complain(at, "the tip is not smaller than the diameter", "");
    bit->shape = bit->tip > 0 ? NW_TAPERED : NW_VEE;
    return NW_OK;
}

static nw_status bit_read(char *line, nw_bit *bit, const place *at)
{
    *bit = (nw_bit){.flute = NW_NONE, .feed = NW_NONE};
    char *rest = line;
    char *name = next_field(&rest);
    if (!*name || strlen(name) >= sizeof bit->name)
        return complain(at, "a bit's name has 1 to 47 characters", "");
    snprintf(bit->name, sizeof bit->name, "%s", name);
    char *diameter = next_field(&rest);
    if (!diameter)
        return complain(at, "no diameter; write for example: fine spiral, 1/16in, flutes 6mm", "");
    bool told[PROPERTIES] = {false};
    nw_status status = positive_length(diameter, &bit->diameter, at, false);
    for (char *field = next_field(&rest); field && status == NW_OK; field = next_field(&rest))
        status = property_read(field, bit, told, at);
    return status == NW_OK ? shape_settle(bit, at) : status;
}

static nw_status rack_add(nw_rack *rack, const nw_bit *bit, const place *at)
{
    for (size_t i = 0; i < rack->count; i++)
        if (strcmp(rack->bits[i].name, bit->name) == 0)
            return complain(at, "there is already a bit named", bit->name);
    if (rack->count == MOST_BITS)
        return complain(at, "more than 1000 bits", "");
    bool good = nw_push(&rack->bits, &rack->count, &rack->capacity, bit, sizeof *bit);
    return good ? NW_OK : nw_fail_memory(at->error, "the rack");
}

static nw_status line_read(const char *text, size_t length, nw_rack *rack, const place *at)
{
    char line[LONGEST_LINE + 1];
    if (length > LONGEST_LINE || memchr(text, '\0', length))
        return complain(at, "not a line of plain text", "");
    memcpy(line, text, length);
    line[length] = '\0';
    line[strcspn(line, "#")] = '\0';
    char *content = trim(line);
    if (!*content)
        return NW_OK;
    nw_bit bit;
    nw_status status = bit_read(content, &bit, at);
    return status == NW_OK ? rack_add(rack, &bit, at) : status;
}

nw_status nw_rack_read(const char *text, size_t length, const char *file, nw_rack *rack,
                       nw_error *error)
{
    *rack = (nw_rack){0};
    place at = {file, 0, error};
    nw_status status = NW_OK;
    size_t mark = length >= sizeof BYTE_ORDER_MARK - 1 &&
                          memcmp(text, BYTE_ORDER_MARK, sizeof BYTE_ORDER_MARK - 1) == 0
                      ? sizeof BYTE_ORDER_MARK - 1
                      : 0;
    for (size_t start = mark; start < length && status == NW_OK;) {
        const char *end = memchr(text + start, '\n', length - start);
        size_t stop = end ? (size_t)(end - text) : length;
        at.line++;
        status = line_read(text + start, stop - start, rack, &at);
        start = stop + 1;
    }
    if (status == NW_OK && rack->count == 0) {
        status = nw_fail(error, NW_BAD_INPUT,
                         "%s: no bit in it; write one a line, as in: fine, 1/16in", file);
    }
    if (status != NW_OK)
        nw_rack_free(rack);
    return status;
}

nw_status nw_rack_common(nw_rack *rack, nw_error *error)
{
    /* Inch sizes from memory of ASME B94.19-1997; metric ones as GB/T 1112.1-1997, and 1 and 1.5
     * mm, which small routers use (common practice). */
    static const char common[] = "1/32 in, 1/32in\n1 mm, 1mm\n1.5 mm, 1.5mm\n1/16 in, 1/16in\n"
                                 "2 mm, 2mm\n3/32 in, 3/32in\n3 mm, 3mm\n1/8 in, 1/8in\n"
                                 "4 mm, 4mm\n3/16 in, 3/16in\n5 mm, 5mm\n6 mm, 6mm\n"
                                 "1/4 in, 1/4in\n8 mm, 8mm\n3/8 in, 3/8in\n1/2 in, 1/2in\n";
    return nw_rack_read(common, sizeof common - 1, "built-in rack", rack, error);
}

void nw_rack_free(nw_rack *rack)
{
    if (rack) {
        free(rack->bits);
        *rack = (nw_rack){0};
    }
}

double nw_bit_at_top(const nw_bit *bit, double stock)
{
    if (bit->shape == NW_STRAIGHT)
        return bit->diameter;
    double at_top = bit->tip + 2 * stock * nw_tan(bit->angle_deg / 2 * NW_DEGREE);
    return fmin(at_top, bit->diameter);
}

static int larger_first(const void *left, const void *right)
{
    const nw_cutting_bit *a = left, *b = right;
    return a->diameter != b->diameter ? nw_order(b->diameter, a->diameter)
                                      : nw_order((double)a->bit, (double)b->bit);
}

size_t nw_rack_cutting(const nw_rack *rack, nw_cut cut, double stock, nw_cutting_bit *bits)
{
    size_t count = 0;
    for (size_t i = 0; i < rack->count; i++) {
        const nw_bit *bit = &rack->bits[i];
        double diameter = nw_bit_at_top(bit, stock);
        bool vee_pocket = bit->shape == NW_VEE && cut == NW_CUT_POCKET;
        if (diameter > 0 && !vee_pocket && !(bit->flute > 0 && stock > bit->flute))
            bits[count++] = (nw_cutting_bit){i, diameter};
    }
    nw_sort(bits, count, sizeof *bits, larger_first);
    return count;
}
