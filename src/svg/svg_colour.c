/*
 * svg_colour: CSS colours -> red, green, blue, alpha, and what a fill of one does to the art.
 *
 * Syntax and names by SVG 1.1, 4.2 and 4.4; alpha as CSS Color 3 has it.
 */
#include <svg/svg_internal.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef struct {
    const char *name;
    uint32_t rgb;
} named_colour;

/* clang-format off */
static const named_colour names[] = {
    {"aliceblue", 0xF0F8FF}, {"antiquewhite", 0xFAEBD7}, {"aqua", 0x00FFFF},
    {"aquamarine", 0x7FFFD4}, {"azure", 0xF0FFFF}, {"beige", 0xF5F5DC}, {"bisque", 0xFFE4C4},
    {"black", 0x000000}, {"blanchedalmond", 0xFFEBCD}, {"blue", 0x0000FF},
    {"blueviolet", 0x8A2BE2}, {"brown", 0xA52A2A}, {"burlywood", 0xDEB887},
    {"cadetblue", 0x5F9EA0}, {"chartreuse", 0x7FFF00}, {"chocolate", 0xD2691E},
    {"coral", 0xFF7F50}, {"cornflowerblue", 0x6495ED}, {"cornsilk", 0xFFF8DC},
    {"crimson", 0xDC143C}, {"cyan", 0x00FFFF}, {"darkblue", 0x00008B}, {"darkcyan", 0x008B8B},
    {"darkgoldenrod", 0xB8860B}, {"darkgray", 0xA9A9A9}, {"darkgreen", 0x006400},
    {"darkgrey", 0xA9A9A9}, {"darkkhaki", 0xBDB76B}, {"darkmagenta", 0x8B008B},
    {"darkolivegreen", 0x556B2F}, {"darkorange", 0xFF8C00}, {"darkorchid", 0x9932CC},
    {"darkred", 0x8B0000}, {"darksalmon", 0xE9967A}, {"darkseagreen", 0x8FBC8F},
    {"darkslateblue", 0x483D8B}, {"darkslategray", 0x2F4F4F}, {"darkslategrey", 0x2F4F4F},
    {"darkturquoise", 0x00CED1}, {"darkviolet", 0x9400D3}, {"deeppink", 0xFF1493},
    {"deepskyblue", 0x00BFFF}, {"dimgray", 0x696969}, {"dimgrey", 0x696969},
    {"dodgerblue", 0x1E90FF}, {"firebrick", 0xB22222}, {"floralwhite", 0xFFFAF0},
    {"forestgreen", 0x228B22}, {"fuchsia", 0xFF00FF}, {"gainsboro", 0xDCDCDC},
    {"ghostwhite", 0xF8F8FF}, {"gold", 0xFFD700}, {"goldenrod", 0xDAA520}, {"gray", 0x808080},
    {"green", 0x008000}, {"greenyellow", 0xADFF2F}, {"grey", 0x808080}, {"honeydew", 0xF0FFF0},
    {"hotpink", 0xFF69B4}, {"indianred", 0xCD5C5C}, {"indigo", 0x4B0082}, {"ivory", 0xFFFFF0},
    {"khaki", 0xF0E68C}, {"lavender", 0xE6E6FA}, {"lavenderblush", 0xFFF0F5},
    {"lawngreen", 0x7CFC00}, {"lemonchiffon", 0xFFFACD}, {"lightblue", 0xADD8E6},
    {"lightcoral", 0xF08080}, {"lightcyan", 0xE0FFFF}, {"lightgoldenrodyellow", 0xFAFAD2},
    {"lightgray", 0xD3D3D3}, {"lightgreen", 0x90EE90}, {"lightgrey", 0xD3D3D3},
    {"lightpink", 0xFFB6C1}, {"lightsalmon", 0xFFA07A}, {"lightseagreen", 0x20B2AA},
    {"lightskyblue", 0x87CEFA}, {"lightslategray", 0x778899}, {"lightslategrey", 0x778899},
    {"lightsteelblue", 0xB0C4DE}, {"lightyellow", 0xFFFFE0}, {"lime", 0x00FF00},
    {"limegreen", 0x32CD32}, {"linen", 0xFAF0E6}, {"magenta", 0xFF00FF}, {"maroon", 0x800000},
    {"mediumaquamarine", 0x66CDAA}, {"mediumblue", 0x0000CD}, {"mediumorchid", 0xBA55D3},
    {"mediumpurple", 0x9370DB}, {"mediumseagreen", 0x3CB371}, {"mediumslateblue", 0x7B68EE},
    {"mediumspringgreen", 0x00FA9A}, {"mediumturquoise", 0x48D1CC}, {"mediumvioletred", 0xC71585},
    {"midnightblue", 0x191970}, {"mintcream", 0xF5FFFA}, {"mistyrose", 0xFFE4E1},
    {"moccasin", 0xFFE4B5}, {"navajowhite", 0xFFDEAD}, {"navy", 0x000080}, {"oldlace", 0xFDF5E6},
    {"olive", 0x808000}, {"olivedrab", 0x6B8E23}, {"orange", 0xFFA500}, {"orangered", 0xFF4500},
    {"orchid", 0xDA70D6}, {"palegoldenrod", 0xEEE8AA}, {"palegreen", 0x98FB98},
    {"paleturquoise", 0xAFEEEE}, {"palevioletred", 0xDB7093}, {"papayawhip", 0xFFEFD5},
    {"peachpuff", 0xFFDAB9}, {"peru", 0xCD853F}, {"pink", 0xFFC0CB}, {"plum", 0xDDA0DD},
    {"powderblue", 0xB0E0E6}, {"purple", 0x800080}, {"red", 0xFF0000}, {"rosybrown", 0xBC8F8F},
    {"royalblue", 0x4169E1}, {"saddlebrown", 0x8B4513}, {"salmon", 0xFA8072},
    {"sandybrown", 0xF4A460}, {"seagreen", 0x2E8B57}, {"seashell", 0xFFF5EE},
    {"sienna", 0xA0522D}, {"silver", 0xC0C0C0}, {"skyblue", 0x87CEEB}, {"slateblue", 0x6A5ACD},
    {"slategray", 0x708090}, {"slategrey", 0x708090}, {"snow", 0xFFFAFA},
    {"springgreen", 0x00FF7F}, {"steelblue", 0x4682B4}, {"tan", 0xD2B48C}, {"teal", 0x008080},
    {"thistle", 0xD8BFD8}, {"tomato", 0xFF6347}, {"turquoise", 0x40E0D0}, {"violet", 0xEE82EE},
    {"wheat", 0xF5DEB3}, {"white", 0xFFFFFF}, {"whitesmoke", 0xF5F5F5}, {"yellow", 0xFFFF00},
    {"yellowgreen", 0x9ACD32},
};
/* clang-format on */

static nw_svg_colour from_rgb(uint32_t rgb)
{
    return (nw_svg_colour){(rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0,
                           1};
}

static int compare_name(const void *key, const void *item)
{
    return strcmp(key, ((const named_colour *)item)->name);
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static bool name_read(const char *text, nw_svg_colour *colour, const char **end)
{
    char lower[24];
    size_t length = 0;
    while (is_letter(text[length]) && length + 1 < sizeof lower) {
        lower[length] = (char)(text[length] | 0x20);
        length++;
    }
    lower[length] = '\0';
    *end = text + length;
    if (strcmp(lower, "transparent") == 0) {
        *colour = (nw_svg_colour){0, 0, 0, 0};
        return true;
    }
    const named_colour *found =
        bsearch(lower, names, sizeof names / sizeof *names, sizeof *names, compare_name);
    if (found)
        *colour = from_rgb(found->rgb);
    return found;
}

static int hex_digit(char c)
{
    if (c >= '0' && c <= '9')
        return c - '0';
    char lower = (char)(c | 0x20);
    return lower >= 'a' && lower <= 'f' ? lower - 'a' + 10 : -1;
}

/* #rgb, #rgba, #rrggbb, #rrggbbaa */
static bool hex_read(const char *text, nw_svg_colour *colour, const char **end)
{
    int digits[8], count = 0;
    while (count < 8 && hex_digit(text[count]) >= 0) {
        digits[count] = hex_digit(text[count]);
        count++;
    }
    if ((count != 3 && count != 4 && count != 6 && count != 8) || hex_digit(text[count]) >= 0)
        return false;
    double parts[4] = {0, 0, 0, 1};
    bool small = count < 6;
    for (int i = 0; i < (small ? count : count / 2); i++)
        parts[i] = (small ? 17 * digits[i] : 16 * digits[2 * i] + digits[2 * i + 1]) / 255.0;
    *colour = (nw_svg_colour){parts[0], parts[1], parts[2], parts[3]};
    *end = text + count;
    return true;
}

/* The arguments of rgb() or rgba(), after the bracket. */
static bool function_read(const char *s, nw_svg_colour *colour, const char **end)
{
    double parts[4] = {0, 0, 0, 1};
    int count = 0;
    s = nw_svg_skip_space(s);
    for (; count < 4 && *s != ')'; count++) {
        const char *after;
        if (!nw_number_read(s, &parts[count], &after))
            return false;
        double whole = *after == '%' ? 100 : count == 3 ? 1 : 255;
        parts[count] = fmin(fmax(parts[count] / whole, 0), 1);
        s = nw_svg_skip_comma(after + (*after == '%'));
        s = *s == '/' ? nw_svg_skip_space(s + 1) : s;
    }
    if (count < 3 || *s != ')')
        return false;
    *colour = (nw_svg_colour){parts[0], parts[1], parts[2], parts[3]};
    *end = s + 1;
    return true;
}

bool nw_svg_colour_read(const char *text, nw_svg_colour *colour, const char **end)
{
    if (*text == '#')
        return hex_read(text + 1, colour, end);
    if (strncasecmp(text, "rgb(", 4) == 0)
        return function_read(text + 4, colour, end);
    if (strncasecmp(text, "rgba(", 5) == 0)
        return function_read(text + 5, colour, end);
    return name_read(text, colour, end);
}

/* On white paper the fill looks like 1 - a + a c in each channel: ink if any stays below
 * PAINT_WHITE. On black ink it looks like a c: if that reaches it in every channel, the ink is
 * gone. */
nw_paint_kind nw_svg_colour_paint(nw_svg_colour colour, double opacity)
{
    double a = colour.alpha * fmin(fmax(opacity, 0), 1);
    double darkest = fmin(colour.red, fmin(colour.green, colour.blue));
    if (1 - a + a * darkest < PAINT_WHITE)
        return PAINT_INK;
    return a * darkest >= PAINT_WHITE ? PAINT_PAPER : a > 0 ? PAINT_VEIL : PAINT_NONE;
}
