/* outlines: real outlines from fonts and clip art, see outlines.h. */
#include "outlines.h"
#include "glyphs.h"
#include "second.h"
#include "shapes.h"

#include <svg/svg.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* fonts-urw-base35, fonts-dejavu-core, lmodern and tex-gyre of Debian */
static const char *const fonts[] = {
    "/usr/share/fonts/type1/urw-base35/C059-Italic.t1",
    "/usr/share/fonts/truetype/dejavu/DejaVuSerif-Bold.ttf",
    "/usr/share/fonts/type1/urw-base35/Z003-MediumItalic.t1",
    "/usr/share/texmf/fonts/type1/public/lm/lmr10.pfb",
    "/usr/share/fonts/type1/urw-base35/URWBookman-DemiItalic.t1",
    "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
    "/usr/share/texmf/fonts/type1/public/tex-gyre/qcsb.pfb",
    "/usr/share/fonts/type1/urw-base35/P052-Roman.t1",
};

static const unsigned long characters[] = {
    'g', 'R', '&', '@', '8', 'W', 'k', 'Q', 'S', 'a', 0xa7,   'M', '%', 'e', 'x',    'B',
    'm', '4', 'G', 'K', 'y', 'N', 'w', 'Z', '$', 'X', 0x20ac, '2', 'b', 'A', 0x00df, 'H'};

#define FONTS (sizeof fonts / sizeof *fonts)
#define CHARACTERS (sizeof characters / sizeof *characters)
#define LAPS 4 /* through the characters, in words of another length each */

static void add(real_outlines *outlines, const char *name, nw_region *region, double wide)
{
    real_outline *items = realloc(outlines->items, (outlines->count + 1) * sizeof *items);
    if (!items)
        abort();
    outlines->items = items;
    real_outline *item = &items[outlines->count++];
    snprintf(item->name, sizeof item->name, "%s", name);
    item->region = *region;
    shape_fit_width(&item->region, wide);
}

/* A word of `count` characters from the table, set solid in one line; letters that overlap are
 * united. False without ink. */
static bool read_word(FT_Face face, size_t first, size_t count, nw_region *region)
{
    double x = 0;
    GEOSGeometry *word = GEOSGeom_createEmptyPolygon();
    for (size_t i = 0; i < count; i++) {
        nw_region glyph, moved;
        /* a hundredth of a unit, of some 600 a letter, is 0.002 mm at 120 mm */
        if (!glyph_region(face, characters[(first + 3 * i) % CHARACTERS], 0.01 * (double)count,
                          &glyph))
            continue;
        moved = shape_moved(&glyph, shape_move_similar(1, 0, false, x, 0));
        word = second_combined(word, second_area(&moved), '+');
        x += (double)face->glyph->advance.x / 64;
        nw_region_free(&moved);
        nw_region_free(&glyph);
    }
    *region = second_region(word);
    GEOSGeom_destroy(word);
    return region->count > 0;
}

const char *outlines_clip_art(void)
{
    const char *folder = getenv("NARROWS_TEST_ART");
    return folder ? folder : "/usr/share/openclipart/svg";
}

/* Every font in turn, each with its own way through the characters, in words of one to four. */
static void read_words(real_outlines *outlines, size_t count, double wide)
{
    FT_Library library;
    FT_Face faces[FONTS] = {0};
    if (FT_Init_FreeType(&library))
        return;
    for (size_t f = 0; f < FONTS; f++)
        faces[f] = glyph_face(library, fonts[f]);
    for (size_t i = 0; i < LAPS * FONTS * CHARACTERS && outlines->words < count; i++) {
        size_t f = i % FONTS, first = i / FONTS + 5 * f, lap = i / (FONTS * CHARACTERS);
        size_t letters = 1 + (i / FONTS + f + lap) % 4;
        nw_region region;
        if (faces[f] && read_word(faces[f], first, letters, &region)) {
            char name[200];
            snprintf(name, sizeof name, "%s word %zu of %zu", strrchr(fonts[f], '/') + 1,
                     first % CHARACTERS, letters);
            add(outlines, name, &region, wide);
            outlines->words++;
        }
    }
    FT_Done_FreeType(library);
}

void outlines_list_files(const char *folder, char **files, size_t *count)
{
    struct dirent **entries;
    int found = scandir(folder, &entries, NULL, alphasort);
    for (int i = 0; i < found; i++) {
        const char *name = entries[i]->d_name, *dot = strrchr(name, '.');
        char path[1024];
        snprintf(path, sizeof path, "%s/%s", folder, name);
        if (entries[i]->d_type == DT_DIR && name[0] != '.')
            outlines_list_files(path, files, count);
        else if (dot && !strcasecmp(dot, ".svg") && *count < OUTLINES_MOST_FILES)
            files[(*count)++] = strdup(path);
        free(entries[i]);
    }
    if (found >= 0)
        free(entries);
}

/* Holes of less than a hundred-thousandth of a millimetre are left where shapes that share an edge
 * were united. To GEOS they are walls, to the fit nothing at all, which is what a bit finds. */
static nw_region without_hairs(nw_region *region)
{
    nw_region kept = {0};
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], count = region->starts[k + 1] - first;
        nw_region ring = {0};
        shape_ring(&ring, region->points + first, count, false, 0);
        nw_box box = shape_box_of(&ring);
        double across = hypot(box.max.x - box.min.x, box.max.y - box.min.y);
        bool hole = shape_is_hole(region, k);
        if (!hole || nw_region_area(&ring) > 1e-5 * across)
            shape_ring(&kept, region->points + first, count, hole, region->pieces[k]);
        nw_region_free(&ring);
    }
    nw_region_free(region);
    return kept;
}

static bool read_drawing(const char *path, double wide, nw_region *region)
{
    nw_bytes bytes = {0};
    nw_drawing drawing = {0};
    nw_svg_notes notes;
    bool good = nw_file_read(path, &(nw_read){.limit = 1 << 20}, &bytes, NULL) == NW_OK &&
                nw_drawing_read_svg(bytes.data, bytes.length, &drawing, &notes, NULL) == NW_OK &&
                drawing.width > 0 && drawing.height < 3 * drawing.width &&
                nw_drawing_place(&drawing, wide / drawing.width, 0, false, NULL) == NW_OK &&
                nw_drawing_flatten(&drawing, NW_FLATNESS_MM, region, NULL) == NW_OK;
    nw_bytes_free(&bytes);
    nw_drawing_free(&drawing);
    if (good)
        *region = without_hairs(region);
    return good;
}

static void read_drawings(real_outlines *outlines, size_t count, double wide, size_t segments)
{
    char **files = calloc(OUTLINES_MOST_FILES, sizeof *files);
    size_t file_count = 0;
    outlines_list_files(outlines_clip_art(), files, &file_count);
    size_t step = count ? file_count / (2 * count) + 1 : 1;
    for (size_t i = 0; i < file_count && outlines->drawings < count; i += step) {
        nw_region region;
        if (!read_drawing(files[i], wide, &region))
            continue;
        size_t points = region.count ? region.starts[region.count] : 0;
        if (points >= 8 && points <= segments) {
            add(outlines, files[i] + strlen(outlines_clip_art()) + 1, &region, wide);
            outlines->drawings++;
        } else {
            nw_region_free(&region);
        }
    }
    for (size_t i = 0; i < file_count; i++)
        free(files[i]);
    free(files);
}

real_outlines outlines_read(size_t words, size_t drawings, double wide, size_t segments)
{
    real_outlines outlines = {0};
    read_words(&outlines, words, wide);
    read_drawings(&outlines, drawings, wide, segments);
    return outlines;
}

bool outlines_enough(const real_outlines *outlines)
{
    if (outlines->words < 20) {
        puts("1..0 # SKIP needs the fonts of fonts-urw-base35, fonts-dejavu-core, lmodern, "
             "tex-gyre");
    }
    return outlines->words >= 20;
}

void outlines_free(real_outlines *outlines)
{
    for (size_t i = 0; i < outlines->count; i++)
        nw_region_free(&outlines->items[i].region);
    free(outlines->items);
    *outlines = (real_outlines){0};
}

bool outlines_all(void)
{
    return getenv("NARROWS_TEST_ALL") != NULL;
}
