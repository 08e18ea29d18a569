/*
 * internal: what the files of this folder share: the readers' face (bytes in, rows of pixels out)
 * and the steps from grey levels to density.
 */
#ifndef NARROWS_PICTURE_INTERNAL_H
#define NARROWS_PICTURE_INTERNAL_H

#include <picture/picture.h>

/* ---- readers -------------------------------------------------------------------------------- */

/* What a file's header says, before any memory is taken. */
typedef struct {
    uint32_t width, height; /* as stored, before turning */
    int orientation;        /* as EXIF has it, 1 to 8; 1 is upright */
    double ppi;             /* 0 when not stated */
} raster_header;

/* Where a reader delivers. begin is called once and may refuse; row then any number of times: the
 * pixels x0, x0 + dx, x0 + 2 dx ... of row y as stored, `channels` bytes each: 1 grey, 2 grey and
 * alpha, 3 red green blue, 4 with alpha (not premultiplied). Every pixel comes exactly once. */
typedef struct {
    nw_status (*begin)(void *context, const raster_header *header, nw_error *error);
    void (*row)(void *context, uint32_t y, uint32_t x0, uint32_t dx, uint32_t count,
                const uint8_t *pixels, int channels);
    void *context;
    uint64_t most_bytes; /* a library may take for the whole picture at a time */
} raster_sink;

/* Refuses a picture for which a library would hold `bytes` in memory, if that is too much. */
nw_status nw_memory_check(const raster_sink *sink, const char *format, double bytes,
                          nw_error *error);

typedef nw_status raster_reader(const uint8_t *data, size_t length, const raster_sink *sink,
                                nw_error *error);

raster_reader nw_png_read, nw_pnm_read, nw_bmp_read, nw_jpeg_read, nw_webp_read, nw_gif_read;

/* What an EXIF block (from "II" or "MM" on) says of orientation and pixels per inch; what it does
 * not say, or says wrongly, is left as it is. */
void nw_exif_read(const uint8_t *data, size_t length, raster_header *header);

/* "this X picture claims W x H pixels, but ...": the file cannot hold what its header says. */
nw_status nw_fail_claim(nw_error *error, const char *format, uint32_t width, uint32_t height);

/* Something and its size, to be sorted by size: the largest first, equals by index. */
typedef struct {
    uint64_t size;
    uint32_t index;
} nw_ranked;

void nw_ranked_sort(nw_ranked *items, size_t count);

/* ---- pieces --------------------------------------------------------------------------------- */

static inline double nw_box_width(nw_box box)
{
    return box.max.x - box.min.x;
}

static inline double nw_box_height(nw_box box)
{
    return box.max.y - box.min.y;
}

/* Guesses which of the pieces that may be art are letters. */
void nw_lettering_guess(nw_pieces *pieces);

/* ---- stored pixels -------------------------------------------------------------------------- */

/* Which one number of a pixel is stored. */
typedef enum {
    VALUE_GREY,  /* luma by ITU-R BT.601, on raster.ground */
    VALUE_ALPHA, /* how opaque it is */
    VALUE_COLOUR /* distance from raster.colour, on raster.ground */
} value_kind;

#define COLOUR_BINS 4096 /* 16 steps of red, green and blue each */

typedef struct {
    uint64_t count, red, green, blue, grey, grey_squared;
    uint64_t repeats; /* of count: the pixel before in the row was in the same bin */
} colour_bin;

/* A picture being read: one byte a pixel, and what is counted on the way. */
typedef struct {
    const nw_picture_options *options;
    const char *stage; /* named to options->progress */
    value_kind value;
    bool counting;     /* the first reading */
    bool may_be_alpha; /* value may become VALUE_ALPHA when the first row is transparent */
    uint8_t colour[3];
    uint8_t ground[3];      /* what transparent pixels are seen on: white in the first reading */
    uint32_t width, height; /* upright */
    ptrdiff_t step_x, step_y, origin;
    double ppi;
    uint64_t pixels, done;
    uint8_t *values;
    /* Counted in the first reading only: */
    colour_bin *colours;  /* composited on white; in large pictures from some of the rows only */
    uint32_t colour_rows; /* every how manieth row */
    uint64_t clear;       /* pixels of hardly any alpha */
    uint64_t opaque;      /* pixels of nearly full alpha */
    uint64_t opaque_pale; /* of these: as good as white */
    uint64_t rims, rims_pale; /* steps from clear to opaque along rows, and those to pale */
} raster;

/* A sink that fills r; everything before width is set by the caller. */
raster_sink nw_raster_sink(raster *r);
void nw_raster_free(raster *r);

void nw_values_count(const uint8_t *values, size_t count, uint64_t histogram[256]);
void nw_values_map(uint8_t *values, size_t count, const uint8_t table[256]);

/* Luma by ITU-R BT.601-7. */
static inline unsigned nw_luma(const uint8_t *pixel)
{
    return (77u * pixel[0] + 150u * pixel[1] + 29u * pixel[2] + 128) >> 8;
}

/* The largest of the differences in red, green and blue. */
unsigned nw_colour_distance(const uint8_t a[3], const uint8_t b[3]);

/* ---- levels --------------------------------------------------------------------------------- */

/* Two classes of values and the straight ramps between them: `ink` becomes 255, `crossing`
 * (between two whole levels) 127.5, `paper` 0. */
typedef struct {
    double ink, crossing, paper;
    bool flat; /* both classes are flat tones */
    bool even; /* nearly all of the paper is one tone */
} nw_ramp;

/* The ramp for the histogram of a picture whose ink is dark (or light); fixed is a level from 0
 * to 255 or -1 to find it by Otsu. False when all pixels are alike or one class is empty. */
bool nw_ramp_find(const uint64_t histogram[256], bool dark, int fixed, nw_ramp *ramp);

/* The density of each level on the ramp. */
void nw_ramp_table(const nw_ramp *ramp, uint8_t table[256]);

/* ---- colours -------------------------------------------------------------------------------- */

#define COLOURS_MOST 32

typedef struct {
    uint8_t colour[3];
    uint8_t grey;
    double share; /* of all pixels counted */
    double even;  /* of its pixels: the share that lies in even areas */
} nw_tone;

/* The main colours of a picture, the most frequent first; returns how many, at most COLOURS_MOST, 0
 * when memory runs out.
 * flat: the share of all pixels that lie in bins of hardly any spread. */
size_t nw_tones_find(const colour_bin *bins, nw_tone *tones, double *flat);

/* Distances from the paper's colour -> density, for ink of several colours. Ink is what is at
 * least half as far from paper as the nearest ink colour (`nearest`); at a rim towards paper the
 * coverage is taken against the strongest ink beside it. False when memory runs out. */
bool nw_rims_normalise(uint8_t *values, uint32_t width, uint32_t height, unsigned nearest);

/* Whether the distances fade from ink into paper over a long way, as where paper is shaded, along
 * much of their border: it is crossed in small steps. */
bool nw_rims_fade(const uint8_t *values, uint32_t width, uint32_t height, unsigned nearest);

/* What to do about a picture that is damaged. */
#define NW_SAVE_AGAIN "; get the file again, or open it elsewhere and save it as PNG"

/* ---- uneven light --------------------------------------------------------------------------- */

#define PAPER_TILES 24 /* along either side, at most */

/* How light the paper is at each place: a quadratic surface over the picture, or, where a shadow
 * falls on it, a level for each tile and straight between their middles. */
typedef struct {
    double c[6], scale_x, scale_y;
    bool tiled;
    uint32_t across, down; /* tiles */
    float tiles[PAPER_TILES * PAPER_TILES];
} nw_paper;

/* Paper whose light changes smoothly, and paper on which a shadow falls. False where there is too
 * little of it. */
bool nw_paper_smooth(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper);
void nw_paper_shaded(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper);

/* One of the two; dark ink. */
bool nw_paper_find(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper);
double nw_paper_at(const nw_paper *paper, double x, double y);

/* True when the single level, the ramp's, would lose ink or catch paper. */
bool nw_light_uneven(const uint8_t *values, uint32_t width, uint32_t height, const nw_ramp *ramp,
                     const nw_paper *paper);

/* Whether the line at the level runs along soft changes of light for much of its length, rather
 * than along edges. */
bool nw_light_soft(const uint8_t *values, uint32_t width, uint32_t height, const nw_ramp *ramp);

/* The threshold of Sauvola and Pietikäinen for each pixel of a row, from the first to the last;
 * reads values, which may be changed up to row y once level has been called for it. */
typedef void nw_local_action(void *context, uint32_t y, const double *thresholds);
bool nw_local_levels(const uint8_t *values, uint32_t width, uint32_t height, uint32_t half,
                     double k, nw_local_action *action, void *context);

/* Grey values of dark ink -> density, by local thresholds. False when memory runs out. */
bool nw_local_apply(uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper);

#endif
