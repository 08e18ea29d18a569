/*
 * base: what every other part stands on: status and error, growing arrays, text that is
 * built in memory, numbers and lengths read and written the same in every locale, and files that
 * are written whole or not at all.
 *
 * Conventions of the whole library:
 *   - A function that can fail returns nw_status and takes an nw_error last, which may be NULL. On
 *     failure its outputs are empty and safe to free.
 *   - Whoever receives a structure owns it and frees it with the type's one free function, which
 *     takes a NULL pointer and an already freed structure.
 *   - No globals, no output, no exit: nothing in the library prints or reads the environment.
 *   - Lengths are millimetres, areas square millimetres, angles radians unless a name says other.
 */
#ifndef NARROWS_BASE_H
#define NARROWS_BASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#define NW_VERSION "0.1.0"

#if defined(__GNUC__)
#define NW_PRINTF(text, first) __attribute__((format(printf, text, first)))
#else
#define NW_PRINTF(text, first)
#endif

/* What the shared library shows to others, C++ programs too. */
#if defined(__GNUC__)
#define NW_SHOWN __attribute__((visibility("default")))
#else
#define NW_SHOWN
#endif
#ifdef __cplusplus
#define NW_API extern "C" NW_SHOWN
#else
#define NW_API NW_SHOWN
#endif

typedef enum {
    NW_OK = 0,
    NW_BAD_REQUEST,  /* the arguments make no sense */
    NW_BAD_INPUT,    /* the picture, drawing or rack cannot be used */
    NW_NO_MEMORY,    /* an allocation failed or would exceed a limit */
    NW_CANNOT_READ,  /* the file system refused to give a file */
    NW_CANNOT_WRITE, /* the file system refused to take a file */
    NW_INTERNAL      /* a defect of the library itself; never the input's fault */
} nw_status;

/* What of a request is to blame, or may help instead, where the message does not tell: for callers
 * that have their own names for it. */
typedef enum {
    NW_ADVICE_NONE,
    NW_ADVICE_PIXELS,     /* more pixels may be allowed */
    NW_ADVICE_INK,        /* say what is ink, or its level */
    NW_ADVICE_NOT_ALPHA,  /* do not ask for what is not transparent */
    NW_ADVICE_NOT_COLOUR, /* do not ask for a colour */
    NW_ADVICE_PIECES,     /* see the list of pieces */
    NW_ADVICE_KEEP,       /* what is to be kept */
    NW_ADVICE_KEEP_LIST,  /* the same, and the list of pieces */
    NW_ADVICE_DROP,
    NW_ADVICE_DROP_LIST,
    NW_ADVICE_DIRT,     /* the area of dirt */
    NW_ADVICE_FILL,     /* the area of holes to fill */
    NW_ADVICE_NO_DIRT,  /* take nothing for dirt */
    NW_ADVICE_SMOOTH,   /* the smoothing */
    NW_ADVICE_MIDDLES,  /* the middles of lines: write them, alone */
    NW_ADVICE_SIZE,     /* say the size */
    NW_ADVICE_ONE_SIZE, /* say it once: by pixels per inch or by a side */
    NW_ADVICE_ONE_SIDE, /* leave the height out */
    NW_ADVICE_SIDES,    /* say it by a side, not by pixels per inch */
    NW_ADVICE_EASE,     /* the ease */
    NW_ADVICE_OUTLINES, /* more outlines may be allowed, or small pieces taken for dirt */
    NW_ADVICE_POINTS,   /* more points may be allowed */
    NW_ADVICE_CROP,     /* crop the page of text that it is, or more points may be allowed */
    NW_ADVICE_SIMPLER,  /* more points may be allowed, or what the drawing looks like taken */
    NW_ADVICE_RENDER    /* take what the drawing looks like, as a picture */
} nw_advice;

/* What went wrong, in one line without a final full stop or line end. */
typedef struct {
    nw_status code;
    nw_advice advice;
    char message[480];
} nw_error;

/* Fills *error (which may be NULL) and returns code, so that `return nw_fail(...)` reads well.
 * Control characters in the message become '?', so that a file name cannot forge lines. */
NW_API nw_status nw_fail(nw_error *error, nw_status code, const char *format, ...) NW_PRINTF(3, 4);

/* The same with advice. */
NW_API nw_status nw_fail_advised(nw_error *error, nw_status code, nw_advice advice,
                                 const char *format, ...) NW_PRINTF(4, 5);

/* nw_fail for an allocation that did not succeed; what names the thing, e.g. "the outlines". */
NW_API nw_status nw_fail_memory(nw_error *error, const char *what);

/* A word or two for a status, never NULL. */
NW_API const char *nw_status_name(nw_status code);

/* Told now and then how far a stage of the work is, 0 to 1. */
typedef void (*nw_progress)(void *context, const char *stage, double fraction);

/* ---- memory ------------------------------------------------------------------------------ */

/* Grows an array (capacity *capacity, item_size bytes each) by doubling until it holds needed
 * items; items is the address of the pointer to its first. New memory is not cleared. Returns
 * false, changing nothing, when memory runs out or the size overflows. */
NW_API bool nw_grow(void *items, size_t *capacity, size_t needed, size_t item_size);

/* Appends a copy of the item, growing the array as nw_grow does. */
static inline bool nw_push(void *items, size_t *count, size_t *capacity, const void *item,
                           size_t item_size)
{
    char *first;
    if (*count >= *capacity && !nw_grow(items, capacity, *count + 1, item_size))
        return false;
    memcpy(&first, items, sizeof first); /* all pointers to data look alike in memory */
    memcpy(first + (*count)++ * item_size, item, item_size);
    return true;
}

/* count * size bytes, cleared; NULL when the product overflows or memory runs out. A count of 0
 * still gives a pointer that can be freed. */
NW_API void *nw_alloc(size_t count, size_t size);

/* The same, not cleared: for what is written at once. */
NW_API void *nw_alloc_raw(size_t count, size_t size);

/* Forest of sets (Tarjan, J. ACM 22(2):215-225, 1975); the least member is the root. */
static inline uint32_t nw_set_root(uint32_t *parent, uint32_t i)
{
    while (parent[i] != i) {
        parent[i] = parent[parent[i]];
        i = parent[i];
    }
    return i;
}

static inline void nw_sets_join(uint32_t *parent, uint32_t i, uint32_t j)
{
    i = nw_set_root(parent, i);
    j = nw_set_root(parent, j);
    parent[i > j ? i : j] = i > j ? j : i;
}

/* For sorting: below 0 where a comes first, 0 where they are the same. Whole numbers up to 2^53. */
static inline int nw_order(double a, double b)
{
    return (a > b) - (a < b);
}

/* The same of doubles that are pointed to, for nw_sort. */
static inline int nw_by_number(const void *a, const void *b)
{
    return nw_order(*(const double *)a, *(const double *)b);
}

/* Of numbers, which change places: the one at `at`, below their count, were they sorted. */
NW_API double nw_number_at(double *numbers, size_t count, size_t at);

/* The one at count / 2, of one at least. */
static inline double nw_middle_number(double *numbers, size_t count)
{
    return nw_number_at(numbers, count, count / 2);
}

/* As qsort, but what compares alike keeps its order: the same result everywhere. Of no
 * items `items` may be NULL. */
NW_API void nw_sort(void *items, size_t count, size_t size,
                    int (*compare)(const void *, const void *));

/* Something and its size, to be sorted by size: the largest first, equals by index. */
typedef struct {
    uint64_t size;
    uint32_t index;
} nw_ranked;

NW_API void nw_ranked_sort(nw_ranked *items, size_t count);

/* ---- elementary functions ------------------------------------------------------------------
 * The same bits everywhere, which the C library's are not. Angles in radians, up to 1e6. */

NW_API double nw_sin(double x);
NW_API double nw_cos(double x);
NW_API double nw_tan(double x);
NW_API double nw_atan(double x);
NW_API double nw_atan2(double y, double x); /* of 0, 0: 0 */
NW_API double nw_acos(double x);            /* of -1 to 1 */
NW_API double nw_exp(double x);
NW_API double nw_power(double x, int exponent);
NW_API int nw_decade(double x); /* the power of ten at or below x, which is above 0 */

/* ---- bytes and text ---------------------------------------------------------------------- */

typedef struct {
    uint8_t *data;
    size_t length;
} nw_bytes;

NW_API void nw_bytes_free(nw_bytes *bytes);

/* Text under construction. Start from {0}. A failed allocation sets failed and later calls do
 * nothing, so a writer checks once, at its end. data is always NUL-terminated unless empty. */
typedef struct {
    char *data;
    size_t length, capacity;
    bool failed;
} nw_text;

NW_API void nw_text_free(nw_text *text);

/* The text as a string of its length, as far as memory reached: whoever ends it asks whether it
 * failed. */
NW_API const char *nw_text_string(const nw_text *text);
NW_API void nw_text_add(nw_text *text, const char *string);
NW_API void nw_text_add_bytes(nw_text *text, const char *bytes, size_t length);

/* Appends the other text, right-aligned in `width` columns (0: as it is), and frees it; if that has
 * failed, so has text. */
NW_API void nw_text_take(nw_text *text, nw_text *other, int width);

/* printf into the text. No floating-point conversions: those would follow the locale. */
NW_API void nw_text_format(nw_text *text, const char *format, ...) NW_PRINTF(2, 3);

/* value rounded to at most `decimals` (0 to 9) places, '.' as the point, no trailing zeros, never
 * "-0". Values that are not finite or beyond ±1e12 are written as "0" (callers refuse them first).
 */
NW_API void nw_text_number(nw_text *text, double value, int decimals);

/* As nw_text_number, but with exactly `decimals` places: for columns. */
NW_API void nw_text_fixed(nw_text *text, double value, int decimals);

/* Turns the text's control characters, which would forge lines or move a terminal's cursor, into
 * question marks. */
NW_API void nw_text_one_line(nw_text *text);

/* string with control characters that XML forbids and malformed UTF-8 turned into U+FFFD. */
NW_API void nw_text_clean(nw_text *text, const char *string);

/* string with & < > " ' escaped for XML and HTML text and attributes; control characters that XML
 * forbids and malformed UTF-8 become U+FFFD. */
NW_API void nw_text_escaped(nw_text *text, const char *string);

/* ---- numbers and lengths ----------------------------------------------------------------- */

#define NW_MM_PER_INCH 25.4 /* exact: yard and pound agreement, 1 July 1959 */

/* Reads a decimal number (sign, digits, point, exponent) at text; on success stores the value and
 * the first character after it. Independent of the locale; refuses NaN, infinity and overflow. */
NW_API bool nw_number_read(const char *text, double *value, const char **end);

/* Reads a count above 0, or a range of them as 3-7, at *at and moves on; false where there is none.
 * What is too large for any list stays too large. */
NW_API bool nw_range_read(const char **at, size_t *first, size_t *last);

/* Reads a whole length: "120mm", "4.5in", "1/16in", "1 1/2in", "12cm", a bare number in
 * millimetres. Finite and within ±1e6 mm, else NW_BAD_REQUEST. */
NW_API nw_status nw_length_read(const char *text, double *mm, nw_error *error);

/* ---- files ------------------------------------------------------------------------------- */

#define NW_FIRST_BYTES 65536

typedef struct {
    size_t limit; /* bytes */
    /* Told the first NW_FIRST_BYTES, or all where there are fewer, before any more is read; what it
     * refuses is not read on. NULL: not called. */
    nw_status (*known)(void *context, const nw_bytes *first, nw_error *error);
    void *context;
} nw_read;

/* Reads a whole file or pipe, or standard input when path is "-". NW_CANNOT_READ for folders,
 * sockets, devices and a pipe that nobody writes to; never waits but for who writes to a pipe. */
NW_API nw_status nw_file_read(const char *path, const nw_read *how, nw_bytes *bytes,
                              nw_error *error);

typedef struct {
    const char *name; /* within the folder; not ".names", nor beginning with ".replaced-" */
    const char *data; /* NULL: the file is to go, if it is there */
    size_t length;
} nw_file;

/* Files that have been put in place, and what stood there before, until nw_put_end. */
typedef struct {
    char *path, *staged; /* the folder, and the one in which files are made; NULL: nothing is */
    const char *single;  /* the path of a file that is put alone */
    nw_file own;
    const nw_file *files;
    size_t count, placed;
    int within, stage; /* open folders: that which holds the stage, and the stage */
    bool fresh;        /* the folder was not there */
} nw_put;

/* Puts every file or none: all are written beside first, checked and flushed, and only then
 * renamed. The folder is made when it is missing (its parent must exist); other files in it stay.
 * The list must outlive *put, which must not be copied. On success nw_put_end has to follow. */
NW_API nw_status nw_files_put(const char *folder, const nw_file *files, size_t count, nw_put *put,
                              nw_error *error);

/* The same for one file at path, whose folder must exist; the path must outlive *put. */
NW_API nw_status nw_file_put(const char *path, const char *data, size_t length, nw_put *put,
                             nw_error *error);

/* Forgets what stood there before, or, if the new files are not to be kept, puts it back. */
NW_API void nw_put_end(nw_put *put, bool keep);

/* Removes what a process that was killed while it put files in the folder has left in it or beside
 * it. Unless all new ones are placed, those that are go and what was there before is put back. */
NW_API void nw_put_sweep(const char *folder, long process, bool placed);

/* How long a folder's name is without slashes at its end. */
NW_API size_t nw_folder_name_length(const char *path);

/* Puts and keeps. */
NW_API nw_status nw_files_write(const char *folder, const nw_file *files, size_t count,
                                nw_error *error);

#endif
