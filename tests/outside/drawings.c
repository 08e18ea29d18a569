/* drawings: real outlines with their curves, see drawings.h. */
#include "drawings.h"
#include "outlines.h"
#include "glyphs.h"

#include <solid/solid.h>
#include <svg/svg.h>
#include <trace/trace.h>
#include FT_OUTLINE_H
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* fonts-urw-base35, fonts-dejavu-core, lmodern and tex-gyre of Debian */
static const char *const fonts[] = {
    "/usr/share/fonts/type1/urw-base35/C059-Italic.t1",
    "/usr/share/fonts/truetype/dejavu/DejaVuSerif.ttf",
    "/usr/share/fonts/type1/urw-base35/Z003-MediumItalic.t1",
    "/usr/share/texmf/fonts/type1/public/lm/lmr10.pfb",
    "/usr/share/fonts/type1/urw-base35/NimbusRoman-Italic.t1",
    "/usr/share/texmf/fonts/type1/public/tex-gyre/qplr.pfb",
    "/usr/share/fonts/type1/urw-base35/P052-Roman.t1",
};

static const char characters[] = "gRa&@8WkQSMexBm4GKyNwZ$X2bAHdhnuprt";

#define FONTS (sizeof fonts / sizeof *fonts)
#define CHARACTERS (sizeof characters - 1)

size_t drawing_steps(const nw_drawing *drawing)
{
    size_t count = 0;
    for (size_t i = 0; i < drawing->count; i++)
        count += drawing->paths[i].count;
    return count;
}

static void add(real_drawings *all, const char *name, nw_drawing *drawing)
{
    real_drawing *items = realloc(all->items, (all->count + 1) * sizeof *items);
    if (!items)
        abort();
    all->items = items;
    real_drawing *item = &items[all->count++];
    snprintf(item->name, sizeof item->name, "%s", name);
    item->drawing = *drawing;
}

/* ---- letters -------------------------------------------------------------------------------- */

typedef struct {
    nw_drawing drawing;
    nw_path path;
    double x; /* where the letter stands */
} letter;

static nw_point place(const letter *l, const FT_Vector *v)
{
    return (nw_point){(double)v->x / 64 + l->x, (double)v->y / 64};
}

static nw_point pen(const letter *l)
{
    return l->path.count ? l->path.steps[l->path.count - 1].to : l->path.start;
}

static int line(const FT_Vector *to, void *context)
{
    letter *l = context;
    return !nw_path_line(&l->path, place(l, to));
}

static void finish(letter *l)
{
    nw_point at = pen(l), start = l->path.start;
    if (l->path.count && (at.x != start.x || at.y != start.y) && !nw_path_line(&l->path, start))
        abort();
    l->path.closed = true;
    if (l->path.count < 2 || !nw_drawing_add(&l->drawing, &l->path))
        nw_path_free(&l->path);
    l->path = (nw_path){0};
}

static int begin(const FT_Vector *to, void *context)
{
    letter *l = context;
    finish(l);
    l->path.start = place(l, to);
    return 0;
}

static int cubic(const FT_Vector *a, const FT_Vector *b, const FT_Vector *to, void *context)
{
    letter *l = context;
    return !nw_path_curve(&l->path, place(l, a), place(l, b), place(l, to));
}

static int quadratic(const FT_Vector *a, const FT_Vector *to, void *context)
{
    letter *l = context;
    nw_point p = pen(l), q = place(l, a), r = place(l, to);
    nw_point c = {p.x + (q.x - p.x) * 2 / 3, p.y + (q.y - p.y) * 2 / 3};
    nw_point d = {r.x + (q.x - r.x) * 2 / 3, r.y + (q.y - r.y) * 2 / 3};
    return !nw_path_curve(&l->path, c, d, r);
}

/* Adds a character to the word at x; letters that overlap are united. */
static bool letter_add(FT_Face face, unsigned long character, double x, nw_drawing *word)
{
    unsigned index = FT_Get_Char_Index(face, character);
    if (!index || FT_Load_Glyph(face, index, FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP))
        return false;
    letter l = {.x = x};
    FT_Outline_Funcs funcs = {begin, line, quadratic, cubic, 0, 0};
    nw_drawing both;
    bool good = !FT_Outline_Decompose(&face->glyph->outline, &funcs, &l);
    finish(&l);
    good = good && nw_drawing_paint(word, &l.drawing, false, &both, NULL) == NW_OK;
    nw_drawing_free(&l.drawing);
    if (good) {
        nw_drawing_free(word);
        *word = both;
    }
    return good;
}

static bool word_read(FT_Face face, size_t first, size_t count, double wide, nw_drawing *word)
{
    double x = 0;
    *word = (nw_drawing){0};
    for (size_t i = 0; i < count; i++) {
        unsigned char character = (unsigned char)characters[(first + 3 * i) % CHARACTERS];
        if (letter_add(face, character, x, word))
            x += (double)face->glyph->advance.x / 64;
    }
    return word->count && nw_drawing_place(word, wide / word->width, 0, false, NULL) == NW_OK;
}

/* Every font in turn, each with its own way through the characters, in words of two to five. */
static void words_read(real_drawings *all, size_t count, double wide)
{
    FT_Library library;
    if (FT_Init_FreeType(&library))
        return;
    for (size_t i = 0; i < FONTS * CHARACTERS && all->words < count; i++) {
        size_t f = i % FONTS, first = i / FONTS + 5 * f, letters = 2 + (i / FONTS + f) % 4;
        FT_Face face = glyph_face(library, fonts[f]);
        nw_drawing word;
        if (face && word_read(face, first, letters, wide, &word)) {
            char name[200];
            snprintf(name, sizeof name, "%s word %zu of %zu", strrchr(fonts[f], '/') + 1,
                     first % CHARACTERS, letters);
            add(all, name, &word);
            all->words++;
        }
        FT_Done_Face(face);
    }
    FT_Done_FreeType(library);
}

/* ---- clip art ------------------------------------------------------------------------------- */

static bool clip_read(const char *path, double wide, size_t steps, nw_drawing *drawing)
{
    nw_bytes bytes = {0};
    nw_svg_notes notes;
    *drawing = (nw_drawing){0};
    bool good = nw_file_read(path, &(nw_read){.limit = 1 << 20}, &bytes, NULL) == NW_OK &&
                nw_drawing_read_svg(bytes.data, bytes.length, drawing, &notes, NULL) == NW_OK &&
                drawing->width > 0 && drawing->height < 3 * drawing->width &&
                drawing_steps(drawing) <= steps &&
                nw_drawing_place(drawing, wide / drawing->width, 0, false, NULL) == NW_OK;
    nw_bytes_free(&bytes);
    if (!good)
        nw_drawing_free(drawing);
    return good;
}

/* The same art lies in more than one folder. */
static bool is_known(const real_drawings *all, const nw_drawing *drawing)
{
    bool known = false;
    for (size_t i = all->words; i < all->count && !known; i++) {
        const nw_drawing *other = &all->items[i].drawing;
        known = other->count == drawing->count && other->height == drawing->height &&
                drawing_steps(other) == drawing_steps(drawing);
        for (size_t k = 0; k < drawing->count && known; k++) {
            nw_point a = drawing->paths[k].start, b = other->paths[k].start;
            known = a.x == b.x && a.y == b.y;
        }
    }
    return known;
}

static void clips_read(real_drawings *all, size_t count, double wide, size_t steps)
{
    char **files = calloc(OUTLINES_MOST_FILES, sizeof *files);
    size_t file_count = 0;
    outlines_list_files(outlines_clip_art(), files, &file_count);
    size_t stride = count ? file_count / (2 * count) + 1 : 1;
    for (size_t i = 0; i < file_count && all->clips < count; i += stride) {
        nw_drawing drawing;
        if (!clip_read(files[i], wide, steps, &drawing))
            continue;
        if (is_known(all, &drawing)) {
            nw_drawing_free(&drawing);
        } else {
            add(all, files[i] + strlen(outlines_clip_art()) + 1, &drawing);
            all->clips++;
        }
    }
    for (size_t i = 0; i < file_count; i++)
        free(files[i]);
    free(files);
}

real_drawings drawings_read(size_t words, size_t clips, double wide, size_t steps)
{
    real_drawings all = {0};
    words_read(&all, words, wide);
    clips_read(&all, clips, wide, steps);
    return all;
}

/* ---- the repository's own samples ----------------------------------------------------------- */

static bool sample_read(const char *folder, const char *name, double wide, nw_drawing *drawing)
{
    char path[1024];
    nw_bytes bytes = {0};
    nw_picture picture = {0};
    nw_ink ink = {0};
    nw_picture_options reading = nw_picture_defaults();
    nw_trace_options tracing = nw_trace_defaults();
    snprintf(path, sizeof path, "%s/%s.png", folder, name);
    *drawing = (nw_drawing){0};
    bool good = nw_file_read(path, &(nw_read){.limit = 1 << 24}, &bytes, NULL) == NW_OK &&
                nw_picture_read(bytes.data, bytes.length, &reading, &picture, NULL) == NW_OK &&
                nw_ink_from_picture(&picture, &ink, NULL) == NW_OK &&
                nw_drawing_trace(&ink, &picture, &tracing, drawing, NULL, NULL) == NW_OK &&
                nw_drawing_place(drawing, wide / drawing->width, 0, false, NULL) == NW_OK;
    nw_ink_free(&ink);
    nw_picture_free(&picture);
    nw_bytes_free(&bytes);
    return good;
}

real_drawings drawings_read_samples(const char *folder, double wide)
{
    static const char *const names[DRAWINGS_SAMPLES] = {"swan",  "cygnets",      "kingfisher",
                                                        "heron", "single-scull", "perch"};
    real_drawings all = {0};
    for (size_t i = 0; i < DRAWINGS_SAMPLES; i++) {
        nw_drawing drawing;
        if (sample_read(folder, names[i], wide, &drawing))
            add(&all, names[i], &drawing);
        else
            nw_drawing_free(&drawing);
    }
    return all;
}

void drawings_free(real_drawings *drawings)
{
    for (size_t i = 0; i < drawings->count; i++)
        nw_drawing_free(&drawings->items[i].drawing);
    free(drawings->items);
    *drawings = (real_drawings){0};
}
