/*
 * raster: a picture being read, one byte a pixel, and the steps from grey levels to density.
 */
#ifndef NARROWS_PICTURE_RASTER_H
#define NARROWS_PICTURE_RASTER_H

#include <picture/picture.h>

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
    uint64_t beside, upright; /* pairs of neighbours that are in it, along rows and columns */
} colour_bin;

#define COLOURS_MOST 32

typedef struct {
    uint8_t colour[3];
    uint8_t grey;
    double share; /* of all pixels counted */
    double even;  /* of its pixels: the share that lies in even areas */
} nw_tone;

/* A picture being read: one byte a pixel, and what is counted on the way. */
typedef struct {
    const nw_picture_options *options;
    const char *stage; /* named to options->progress */
    value_kind value;
    bool counting;     /* the first reading */
    bool may_be_alpha; /* value may become VALUE_ALPHA when the first pixel is clear */
    uint8_t colour[3];
    bool two_papers; /* of its ground, checkered or under a mark, the rest has this grey */
    uint8_t second_paper;
    uint8_t ground[3];      /* what transparent pixels are seen on: white in the first reading */
    uint32_t width, height; /* upright */
    ptrdiff_t step_x, step_y, origin;
    double ppi;
    uint64_t pixels, done; /* pixels: of width x height */
    bool coarse_colour;    /* the file may hold colour in fewer pixels than light */
    nw_coarseness coarse;  /* what is done against noise after each reading */
    double contrast;       /* of ink and paper, in levels of what is stored */
    uint8_t *values;
    /* Counted in the first reading only: */
    colour_bin *colours;  /* composited on white; in large pictures from some of the rows only */
    uint32_t colour_rows; /* every how manieth row */
    uint16_t *above;      /* the bins of the row above_y, and what its pixels are */
    uint32_t above_y;
    uint64_t clear;       /* pixels of hardly any alpha */
    uint64_t opaque;      /* pixels of nearly full alpha */
    uint64_t opaque_pale; /* of these: as good as white */
    uint32_t sheet[4];    /* the first and last column of opaque pixels, and row; upright */
    uint64_t rims[2];     /* between clear and opaque neighbours that are not pale, and that are; in
                             large pictures along rows alone */
    /* Found after the first reading (tones.c): the main colours, the most frequent first, none when
     * memory runs out; and the share of all pixels that lie in bins of hardly any spread. */
    nw_tone tones[COLOURS_MOST];
    size_t tone_count;
    double flat;
    bool on_table;                /* a sheet is, whose paper the rim hardly has */
    bool sides_known, cropped[4]; /* these sides are half the page's white: see nw_side */
    uint64_t among[256];          /* of grey levels, and of how many pixels: see nw_levels_among */
    size_t looked;
} raster;

/* A sink that fills r; everything before width is set by the caller. */
raster_sink nw_raster_sink(raster *r);
void nw_raster_free(raster *r);

/* The largest of the differences in red, green and blue. */
unsigned nw_colour_distance(const uint8_t a[3], const uint8_t b[3]);

/* ---- colours -------------------------------------------------------------------------------- */

/* Sets r->tones and what goes with them. */
void nw_tones_find(raster *r);

/* The largest of the differences between its red, green and blue. */
int nw_tone_chroma(const nw_tone *tone);

#define TONE_NEAR 12 /* levels that a pixel of a tone is off: compression makes it uneven */

/* How many pixels long the edges are, about, at which two tones meet, by their greys, which
 * r->values are; rows that follow on `enough` are not looked at. */
size_t nw_tones_border(const raster *r, const nw_tone *one, const nw_tone *other, size_t enough);

/* The share of the borders between two tones, along rows and columns, that are soft. */
double nw_tones_soft(const raster *r, const nw_tone *one, const nw_tone *other);

/* Distances from the paper's colour -> density, for ink of several colours. Ink is what is at
 * least half as far from paper as the nearest ink colour (`nearest`); at a rim towards paper the
 * coverage is taken against the strongest ink beside it. False when memory runs out. */
bool nw_rims_normalise(uint8_t *values, uint32_t width, uint32_t height, unsigned nearest);

/* Gives those distances that edges beside them take towards paper to the ink. False when memory
 * runs out. (ringing.c) */
bool nw_rings_fill(uint8_t *values, uint32_t width, uint32_t height, unsigned nearest);

/* Whether the distances fade from ink into paper over a long way, as where paper is shaded, along
 * much of their border: it is crossed in small steps. least: how high the border is beside the ink
 * that is nearest to what is none. */
bool nw_rims_fade(const uint8_t *values, uint32_t width, uint32_t height, unsigned nearest,
                  unsigned least);

/* What to do about a picture that is damaged. */
#define NW_SAVE_AGAIN "; get the file again, or open it elsewhere and save it as PNG"

#endif
