/*
 * picture: raster bytes -> ink. Reads PNG, PNM and other formats, decides what is ink and what is
 * paper, drops dirt, and numbers the pieces.
 *
 * Pixels: row 0 is the top row, column 0 the left one; pixel corners lie on integers. Later parts
 * turn the picture over, so that y points up in a drawing.
 */
#ifndef NARROWS_PICTURE_H
#define NARROWS_PICTURE_H

#include <base/base.h>

/* How the ink is told from the paper. */
typedef enum {
    NW_INK_AUTO,
    NW_INK_DARK,  /* dark art on light ground */
    NW_INK_LIGHT, /* light art on dark ground */
    NW_INK_ALPHA, /* whatever is not transparent */
    NW_INK_COLOUR /* what is near a given colour */
} nw_ink_kind;

typedef enum {
    NW_LEVEL_AUTO,  /* one level by Otsu (1979), or local where that would lose ink */
    NW_LEVEL_LOCAL, /* a level for each neighbourhood, Sauvola and Pietikäinen (2000) */
    NW_LEVEL_FIXED
} nw_level_kind;

typedef struct {
    nw_ink_kind ink;
    uint8_t colour[3]; /* NW_INK_COLOUR: red, green, blue */
    nw_level_kind level_kind;
    int level;            /* NW_LEVEL_FIXED: 0 to 255; grey at or below it is ink (dark ink) */
    uint64_t max_pixels;  /* larger pictures are refused before memory is taken */
    nw_progress progress; /* may be NULL */
    void *progress_context;
} nw_picture_options;

NW_API nw_picture_options nw_picture_defaults(void);

/* A decoded picture, reduced to how much of each pixel is ink. */
typedef struct {
    uint32_t width, height;
    uint8_t *density; /* width*height, rows from the top: 0 paper, 255 ink, 128 and more is ink */
    double ppi;       /* such pixels per inch as the file states, 0 when it states none */
    uint32_t squares; /* a pixel is the mean of a square of so many of the file's pixels' sides:
                         1, or more in large pictures with noise or soft edges */
    double sigma;    /* of the Gaussian that smoothed them, twice, against noise, in pixels; or 0 */
    double off;      /* that noise which is left moves an edge by, in pixels, in the mean; or 0 */
    nw_ink_kind ink; /* the choice made, never NW_INK_AUTO */
    nw_level_kind level_kind; /* the choice made, never NW_LEVEL_AUTO */
    int level;                /* the grey level used, for NW_LEVEL_FIXED */
    bool asked;               /* for the level, or local levels */
    uint8_t colour[3];        /* NW_INK_COLOUR: the ink's; where colours is not 0, the paper's */
    size_t colours;           /* NW_INK_COLOUR: so many, which are not the paper's */
    bool several;             /* the ink has several colours; NW_INK_COLOUR: see colours */
    bool on_table;            /* a photograph of a sheet, drawn on, that lies on what is darker */
    bool checkered;           /* the paper is the checkered pattern that stands for transparency */
    int mark_level;           /* a pale mark was taken for paper: up to this grey it is ink; or 0 */
    int palest_level;         /* a pale grey was taken as well: this level leaves it out; or 0 */
    bool greys;               /* much of the ink's border lies in slow changes of light, as in
                                 photographs and drawings in shades */
    bool shaded;              /* the ink is shaded: a level or a colour may find more of it */
    bool dark_too;            /* light ink was chosen, and a dark part can be */
    bool clear_too;           /* what is not transparent can be chosen */
} nw_picture;

/* NW_BAD_INPUT where data, of which the first 64 bytes are enough, does not begin as a picture of a
 * kind that can be read. */
NW_API nw_status nw_picture_known(const uint8_t *data, size_t length, nw_error *error);

/* Decodes data (told by content, never by name): PNG, PNM and BMP always, JPEG, WebP and the first
 * frame of a GIF where their libraries were there when this one was built. NW_BAD_INPUT with one
 * clear line for anything truncated, corrupt, too large, of an unknown kind, or without a shape.
 * Takes one byte a pixel, and less than two more for a WebP picture with loss. Libraries hold some
 * pictures in memory whole: progressive JPEG with up to 6 bytes a pixel, WebP without loss with up
 * to
 * 8. They are refused if that is more than 3 bytes for each of max_pixels. */
NW_API nw_status nw_picture_read(const uint8_t *data, size_t length,
                                 const nw_picture_options *options, nw_picture *picture,
                                 nw_error *error);
NW_API void nw_picture_free(nw_picture *picture);

/* A picture that is decoded already: rows from the top, four bytes a pixel: red, green, blue and
 * alpha, not premultiplied. Its owner holds it whole, or gives row after row, each of which has to
 * last until the next is asked for; they may be asked for again from the first on. */
typedef struct {
    const uint8_t *rgba; /* NULL: row gives them */
    const uint8_t *(*row)(void *context, uint32_t y);
    void *context;
    uint32_t width, height;
    double ppi;          /* that its file states; 0: none */
    bool coarse_colour;  /* its file's colours are coarser than its greys, as JPEG's and WebP's */
    const uint8_t *exif; /* the file's EXIF block where nobody has followed it yet, or NULL */
    size_t exif_length;
} nw_pixels;

/* The same as nw_picture_read of a file that holds these pixels. */
NW_API nw_status nw_picture_of_pixels(const nw_pixels *pixels, const nw_picture_options *options,
                                      nw_picture *picture, nw_error *error);

/* Otsu's threshold of a grey histogram: the level t that maximises the variance between the
 * classes 0..t and t+1..255 (Otsu, IEEE Trans. SMC 9(1):62-66, 1979). The lowest such t. */
NW_API int nw_otsu(const uint64_t histogram[256]);

/* ---- ink and its pieces ------------------------------------------------------------------ */

/* One bit per pixel: rows from the top, `stride` 64-bit words a row, the most significant bit of
 * a word leftmost; bits beyond width are 0. */
typedef struct {
    uint32_t width, height;
    size_t stride;
    uint64_t *words;
} nw_ink;

/* density of 128 and more becomes ink. */
NW_API nw_status nw_ink_from_picture(const nw_picture *picture, nw_ink *ink, nw_error *error);
NW_API void nw_ink_free(nw_ink *ink);

/* How many sides of pixels lie between ink and paper within the picture. */
NW_API uint64_t nw_ink_edges(const nw_ink *ink);

/* *side: in pixels, the side of a pixel of the black and white picture that this one was enlarged
 * from; 0 where it seems to be none of those. Fails for want of memory alone. */
NW_API nw_status nw_ink_lattice(const nw_ink *ink, double *side, nw_error *error);

#ifdef NARROWS_INSIDE
/* Of a pixel within the picture: is it ink; and it becomes ink. */
static inline bool nw_ink_has(const nw_ink *ink, size_t x, size_t y)
{
    return ink->words[y * ink->stride + x / 64] >> (63 - x % 64) & 1;
}

static inline void nw_ink_put(nw_ink *ink, size_t x, size_t y)
{
    ink->words[y * ink->stride + x / 64] |= UINT64_C(1) << (63 - x % 64);
}

#include <picture/ink/ink_levels.h>
#include <picture/reader.h>
#endif

#endif
