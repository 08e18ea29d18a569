/*
 * engine_calls: what the page calls (engine.js) and the fuzzer. Where each is made it says what it
 * takes and gives; int is an nw_status, whose words page_words has.
 */
#ifndef NARROWS_CLI_ENGINE_CALLS_H
#define NARROWS_CLI_ENGINE_CALLS_H

#include <cli/engine/engine.h>

#ifdef __wasm__
#define EXPORT(name) __attribute__((export_name(#name))) name
#else
#define EXPORT(name) name
#endif

/* What the engine asks of its host: row y of the picture that page_picture was called for, four
 * bytes a pixel as nw_pixels has them. */
#ifdef __wasm__
__attribute__((import_module("page"), import_name("row")))
#endif
void page_row(uint8_t *into, uint32_t y);
/* And tells it, of what takes long, how much is done, from 0 to 1, of one stage after another. */
#ifdef __wasm__
__attribute__((import_module("page"), import_name("progress")))
#endif
void page_progress(double share);

/* engine.c: memory, outlines, shape, fit */
page *EXPORT(page_new)(void);
void *EXPORT(page_alloc)(size_t size);
void EXPORT(page_release)(void *memory);
int EXPORT(page_load)(page *p, const char *art, double width, double height, const double *numbers,
                      size_t count);
int EXPORT(page_pieces)(page *p, const double *numbers, size_t count);
void EXPORT(page_doubts)(page *p, double sure, uint32_t texts, uint32_t images, uint32_t marks,
                         uint32_t effects, uint32_t rules, uint32_t shades);
int EXPORT(page_shape)(page *p, double factor, const uint8_t *keep, size_t pieces);
int EXPORT(page_learn)(page *p, double diameter);
int EXPORT(page_fit)(page *p, int quick);
const double *EXPORT(page_shape_result)(const page *p);
const double *EXPORT(page_result)(const page *p);
size_t EXPORT(page_result_length)(const page *p);
const double *EXPORT(page_disc)(page *p, double x, double y, double limit);

/* engine_request.c: what is asked */
int EXPORT(page_request)(page *p, const char *words, size_t length);
const char *EXPORT(page_fault)(const page *p);
const double *EXPORT(page_asked)(page *p);
const char *EXPORT(page_option)(page *p, size_t option);

/* engine_load.c: art to outlines */
int EXPORT(page_picture)(page *p, uint32_t width, uint32_t height, double ppi, int coarse_colour,
                         const uint8_t *exif, size_t exif_length);
int EXPORT(page_svg)(page *p, const char *texts, size_t length, size_t bytes);
int EXPORT(page_outlines)(page *p);
int EXPORT(page_art_notes)(page *p);

/* engine_spots.c: choices for single spots */
void EXPORT(page_choices)(page *p, const double *choices, size_t count);
const char *EXPORT(page_spots)(const page *p);
const char *EXPORT(page_away_word)(const page *p, size_t spot);

/* engine_shapes.c: shapes to look at */
const char *EXPORT(page_path)(page *p, int shape, double skip);

/* engine_words.c: words and files */
const char *EXPORT(page_words)(page *p, int which);
const char *EXPORT(page_spot_words)(page *p, size_t spot);
const char *EXPORT(page_length)(page *p, double mm, int bit, int inch);
const char *EXPORT(page_share)(page *p, double share, int decimals);
const char *EXPORT(page_file)(page *p, const char *name);

/* engine_hold.c: the rack, ways out, notes, what holds */
int EXPORT(page_rack)(page *p, const char *names, const double *numbers, size_t count);
int EXPORT(page_rack_read)(page *p, const char *text, size_t length, const char *file);
int EXPORT(page_rack_bits)(page *p);
const char *EXPORT(page_bit_name)(const page *p, size_t bit);
int EXPORT(page_ways)(page *p, const char *path);
const char *EXPORT(page_way)(const page *p, int line, int command);
void EXPORT(page_told)(page *p, const char *told, size_t length);
const char *EXPORT(page_note)(const page *p, size_t note);
int EXPORT(page_note_weight)(const page *p, size_t note);
const double *EXPORT(page_held)(page *p);
int EXPORT(page_bridges)(page *p);

/* engine_charts.c: every bit, every size */
const char *EXPORT(page_bits)(page *p);
const char *EXPORT(page_sizes)(page *p);

/* engine_widen.c: widening */
int EXPORT(page_widen)(page *p);
const char *EXPORT(page_change)(const page *p, int which);

#endif
