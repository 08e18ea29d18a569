/* readers: an option's argument, as text, into its field of the request. */
#include <cli/request.h>

#include <math.h>
#include <string.h>

#define MOST_THREADS 1024
#define LARGEST_PIXELS 1e15
#define LEAST_MEMORY 64e6
#define LARGEST_MEMORY 1e15

nw_status read_text(const char *text, void *field, nw_error *error)
{
    (void)error;
    *(const char **)field = text;
    return NW_OK;
}

nw_status read_length_or_zero(const char *text, void *field, nw_error *error)
{
    nw_status status = nw_length_read(text, field, error);
    if (status == NW_OK && *(double *)field < 0)
        return nw_fail(error, NW_BAD_REQUEST, "'%s' is less than nothing; give 0 or more", text);
    return status;
}

nw_status read_length(const char *text, void *field, nw_error *error)
{
    nw_status status = nw_length_read(text, field, error);
    if (status == NW_OK && !(*(double *)field > 0)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' is no length to work with; it must be more than 0", text);
    }
    return status;
}

/* The whole text as one number, with nothing but `rest` after it. */
static bool number_whole(const char *text, const char *rest, double *value)
{
    const char *end;
    return nw_number_read(text, value, &end) && strcmp(end, rest) == 0;
}

nw_status read_positive(const char *text, void *field, nw_error *error)
{
    if (!number_whole(text, "", field) || !(*(double *)field > 0)) {
        return nw_fail(error, NW_BAD_REQUEST, "'%s' is not a number above 0; write for example 300",
                       text);
    }
    return NW_OK;
}

nw_status read_angle(const char *text, void *field, nw_error *error)
{
    double *angle = field;
    if (!number_whole(text, "", angle) || !(fabs(*angle) <= 360)) {
        return nw_fail(error, NW_BAD_REQUEST, "'%s' is not an angle from -360 to 360 degrees",
                       text);
    }
    return NW_OK;
}

/* A whole number from 1 to most. */
static nw_status read_count(const char *text, double most, double *value, nw_error *error)
{
    if (!number_whole(text, "", value) || !(*value >= 1 && *value <= most) ||
        *value != floor(*value)) {
        return nw_fail(error, NW_BAD_REQUEST, "'%s' is not a whole number from 1 to %lld", text,
                       (long long)most);
    }
    return NW_OK;
}

nw_status read_threads(const char *text, void *field, nw_error *error)
{
    double value;
    nw_status status = read_count(text, MOST_THREADS, &value, error);
    *(int *)field = status == NW_OK ? (int)value : 0;
    return status;
}

nw_status read_memory(const char *text, void *field, nw_error *error)
{
    static const struct {
        const char *unit;
        double bytes;
    } units[] = {{"MB", 1e6}, {"GB", 1e9}, {"MiB", 1 << 20}, {"GiB", 1 << 30}};
    double *bytes = field;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        if (number_whole(text, units[i].unit, bytes)) {
            *bytes *= units[i].bytes;
            if (*bytes >= LEAST_MEMORY && *bytes <= LARGEST_MEMORY)
                return NW_OK;
        }
    }
    return nw_fail(error, NW_BAD_REQUEST,
                   "'%s' is no amount of memory from 64MB up; write for example 2GB", text);
}

#define NO_WORD UINT32_MAX

/* The place of text among words with spaces between, or NO_WORD. */
static uint32_t word_find(const char *text, const char *words)
{
    for (uint32_t i = 0; words; i++) {
        size_t length = strcspn(words, " ");
        if (strlen(text) == length && memcmp(text, words, length) == 0)
            return i;
        words = words[length] ? words + length + 1 : NULL;
    }
    return NO_WORD;
}

nw_status read_word(const char *text, const char *words, void *field, nw_error *error)
{
    _Static_assert(sizeof(nw_cut) == sizeof(uint32_t), "enumerations are as large as that");
    uint32_t found = word_find(text, words);
    if (found != NO_WORD) {
        memcpy(field, &found, sizeof found);
        return NW_OK;
    }
    nw_text list = {0};
    for (const char *next; words; words = next) {
        next = strchr(words, ' ');
        nw_text_add_bytes(&list, words, next ? (size_t)(next - words) : strlen(words));
        next = next ? next + 1 : NULL;
        nw_text_add(&list, !next ? "" : strchr(next, ' ') ? ", " : " and ");
    }
    nw_status status =
        nw_fail(error, NW_BAD_REQUEST, "'%s' is none of %s", text, nw_text_string(&list));
    nw_text_free(&list);
    return status;
}

nw_status read_tabs(const char *text, void *field, nw_error *error)
{
    nw_job *job = field;
    double value = 0;
    nw_status status =
        strcmp(text, "auto") == 0 ? NW_OK : read_count(text, NW_TABS_MOST, &value, error);
    job->tabs = status == NW_OK;
    job->tab_count = job->tabs ? (size_t)value : 0;
    return status;
}

/* Two lengths with a comma between. */
static bool pair_read(const char *text, double *x, double *y)
{
    char first[64];
    const char *comma = strchr(text, ',');
    size_t length = comma ? (size_t)(comma - text) : sizeof first;
    if (length >= sizeof first)
        return false;
    memcpy(first, text, length);
    first[length] = '\0';
    return nw_length_read(first, x, NULL) == NW_OK && nw_length_read(comma + 1, y, NULL) == NW_OK;
}

/* Pairs with a colon between. */
nw_status read_places(const char *text, void *field, nw_error *error)
{
    nw_places *places = field;
    bool whole = false;
    *places = (nw_places){.count = 0};
    for (const char *at = text; at; at = strchr(at, ':') ? strchr(at, ':') + 1 : NULL) {
        char pair[128];
        size_t length = strcspn(at, ":");
        nw_point *place = &places->items[places->count];
        if (length >= sizeof pair || places->count == NW_PLACES_MOST)
            break;
        memcpy(pair, at, length);
        pair[length] = '\0';
        if (!pair_read(pair, &place->x, &place->y))
            break;
        places->count++;
        whole = at[length] == '\0';
    }
    if (!whole) {
        places->count = 0;
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%.40s%s' is no list of at most %d places such as 10mm,20mm:45mm,20mm",
                       text, strlen(text) > 40 ? " ..." : "", NW_PLACES_MOST);
    }
    return NW_OK;
}

nw_status read_tab_places(const char *text, void *field, nw_error *error)
{
    nw_job *job = field;
    nw_status status = read_places(text, &job->tab_at, error);
    job->tabs = status == NW_OK;
    return status;
}

nw_status read_origin(const char *text, void *field, nw_error *error)
{
    origin_argument *origin = field;
    uint32_t found = word_find(text, ORIGIN_WORDS);
    origin->kind = found == NO_WORD ? ORIGIN_PLACE : (origin_kind)found;
    if (found == NO_WORD && !pair_read(text, &origin->place.x, &origin->place.y)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' is none of left-bottom, centre, and a place such as 10mm,20mm", text);
    }
    return NW_OK;
}

nw_status read_sheet(const char *text, void *field, nw_error *error)
{
    nw_job *job = field;
    if (!pair_read(text, &job->sheet_width, &job->sheet_height) ||
        !(job->sheet_width > 0 && job->sheet_height > 0)) {
        return nw_fail(error, NW_BAD_REQUEST, "'%s' is no size; write for example 600mm,300mm",
                       text);
    }
    return NW_OK;
}

nw_status read_bridges(const char *text, void *field, nw_error *error)
{
    double value;
    nw_status status = read_count(text, NW_BRIDGES_EACH, &value, error);
    *(size_t *)field = status == NW_OK ? (size_t)value : 0;
    return status;
}

nw_status read_pixels(const char *text, void *field, nw_error *error)
{
    double value;
    nw_status status = read_count(text, LARGEST_PIXELS, &value, error);
    *(uint64_t *)field = status == NW_OK ? (uint64_t)value : 0;
    return status;
}

static nw_status read_area(const char *text, nw_dirt *unit, double *area, nw_error *error)
{
    *unit = number_whole(text, "px", area) ? NW_DIRT_PX : NW_DIRT_MM2;
    bool read = *unit == NW_DIRT_PX || number_whole(text, "", area) ||
                number_whole(text, "mm2", area) || number_whole(text, "mm\xc2\xb2", area);
    if (!read || !(*area >= 0 && *area <= LARGEST_PIXELS)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' is not an area; write for example 0.5mm2 or 20px", text);
    }
    return NW_OK;
}

nw_status read_dirt(const char *text, void *field, nw_error *error)
{
    nw_art_options *art = field;
    return read_area(text, &art->dirt, &art->dirt_area, error);
}

nw_status read_fill(const char *text, void *field, nw_error *error)
{
    nw_art_options *art = field;
    return read_area(text, &art->fill, &art->fill_area, error);
}

static bool hex_read(const char *digits, size_t length, uint8_t colour[3])
{
    static const char all[] = "0123456789abcdef";
    unsigned value[6];
    for (size_t i = 0; i < length; i++) {
        const char *at = digits[i] >= '0' ? strchr(all, digits[i] | 0x20) : NULL;
        if (!at)
            return false;
        value[i] = (unsigned)(at - all);
    }
    for (size_t c = 0; c < 3; c++) {
        unsigned high = length == 3 ? value[c] : value[2 * c];
        unsigned low = length == 3 ? value[c] : value[2 * c + 1];
        colour[c] = (uint8_t)(high * 16 + low);
    }
    return true;
}

/* #rgb, #rrggbb, or one of the sixteen names of CSS 2.1, section 4.3.6 (with orange). */
static bool colour_read(const char *text, uint8_t colour[3])
{
    static const struct {
        const char *name, *digits;
    } names[] = {{"maroon", "800000"},  {"red", "ff0000"},   {"orange", "ffa500"},
                 {"yellow", "ffff00"},  {"olive", "808000"}, {"purple", "800080"},
                 {"fuchsia", "ff00ff"}, {"white", "ffffff"}, {"lime", "00ff00"},
                 {"green", "008000"},   {"navy", "000080"},  {"blue", "0000ff"},
                 {"aqua", "00ffff"},    {"teal", "008080"},  {"black", "000000"},
                 {"silver", "c0c0c0"},  {"gray", "808080"}};
    size_t length = strlen(text + (*text == '#'));
    if (*text == '#')
        return (length == 3 || length == 6) && hex_read(text + 1, length, colour);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(text, names[i].name) == 0)
            return hex_read(names[i].digits, 6, colour);
    return false;
}

nw_status read_ink(const char *text, void *field, nw_error *error)
{
    nw_picture_options *picture = field;
    uint32_t found = word_find(text, INK_WORDS);
    if (found != NO_WORD || colour_read(text, picture->colour)) {
        picture->ink = found == NO_WORD ? NW_INK_COLOUR : (nw_ink_kind)found;
        return NW_OK;
    }
    return nw_fail(error, NW_BAD_REQUEST,
                   "'%s' is none of auto, dark, light, alpha, nor a colour such as red or #c0392b",
                   text);
}

nw_status read_level(const char *text, void *field, nw_error *error)
{
    nw_picture_options *picture = field;
    uint32_t found = word_find(text, LEVEL_WORDS);
    if (found != NO_WORD) {
        picture->level_kind = (nw_level_kind)found;
        return NW_OK;
    }
    double value;
    if (!number_whole(text, "", &value) || !(value >= 0 && value <= 255) || value != floor(value)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' is none of auto, local, and a whole number from 0 to 255", text);
    }
    picture->level_kind = NW_LEVEL_FIXED;
    picture->level = (int)value;
    return NW_OK;
}
