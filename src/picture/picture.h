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

#ifdef __cplusplus
extern "C" {
#endif

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

nw_picture_options nw_picture_defaults(void);

/* A decoded picture, reduced to how much of each pixel is ink. */
typedef struct {
    uint32_t width, height;
    uint8_t *density; /* width*height, rows from the top: 0 paper, 255 ink, 128 and more is ink */
    double ppi;       /* pixels per inch that the file states, 0 when it states none */
    nw_ink_kind ink;  /* the choice made, never NW_INK_AUTO */
    nw_level_kind level_kind; /* the choice made, never NW_LEVEL_AUTO */
    int level;                /* the grey level used, for NW_LEVEL_FIXED */
    char how[240];            /* the choice in one line of plain words */
} nw_picture;

/* True when the bytes begin like a picture that could be read if its library is built in. */
bool nw_picture_known(const uint8_t *data, size_t length);

/* Decodes data (told by content, never by name): PNG, PNM and BMP always, JPEG, WebP and the first
 * frame of a GIF where their libraries were there when this one was built. NW_BAD_INPUT with one
 * clear line for anything truncated, corrupt, too large, of an unknown kind, or without a shape.
 * Takes one byte a pixel, and less than two more for a WebP picture with loss. Libraries hold some
 * pictures in memory whole: progressive JPEG with up to 6 bytes a pixel, WebP without loss with up
 * to
 * 8. They are refused if that is more than 3 bytes for each of max_pixels. */
nw_status nw_picture_read(const uint8_t *data, size_t length, const nw_picture_options *options,
                          nw_picture *picture, nw_error *error);
void nw_picture_free(nw_picture *picture);

/* Otsu's threshold of a grey histogram: the level t that maximises the variance between the
 * classes 0..t and t+1..255 (Otsu, IEEE Trans. SMC 9(1):62-66, 1979). The lowest such t. */
int nw_otsu(const uint64_t histogram[256]);

/* ---- ink and its pieces ------------------------------------------------------------------ */

/* One bit per pixel: rows from the top, `stride` 64-bit words a row, the most significant bit of
 * a word leftmost; bits beyond width are 0. */
typedef struct {
    uint32_t width, height;
    size_t stride;
    uint64_t *words;
} nw_ink;

/* density of 128 and more becomes ink. */
nw_status nw_ink_from_picture(const nw_picture *picture, nw_ink *ink, nw_error *error);
void nw_ink_free(nw_ink *ink);

/* Fills the pinholes of the ink: paper of less than least_px pixels that ink encloses, corners
 * included, so that a hair-thin slit, even a slanting one, is none. picture may be NULL. filled
 * tells how many there were. */
nw_status nw_ink_fill_pinholes(nw_ink *ink, nw_picture *picture, double least_px, size_t *filled,
                               nw_error *error);

/* What a piece probably is. */
typedef enum {
    NW_PIECE_ART,
    NW_PIECE_SPECK,     /* dirt */
    NW_PIECE_FRAME,     /* a border round everything else */
    NW_PIECE_LETTERING, /* one of a row of small pieces alike in height */
    NW_PIECE_EDGE       /* touches the picture's edge, like a scanner's shadow */
} nw_piece_guess;

/* "art", "speck", "frame", "lettering", "edge" */
const char *nw_piece_guess_name(nw_piece_guess guess);

/* One connected region of ink (8-connected), in the units of whoever found it: pixels for a
 * picture (y down), millimetres for a drawing (y up). */
typedef struct {
    size_t number; /* from 1, largest area first, ties by place from the top left */
    nw_box box;
    double area;
    size_t holes;
    nw_piece_guess guess;
    bool kept;
} nw_piece;

typedef struct {
    nw_piece *items;
    size_t count;
    /* For a picture, the horizontal runs of ink and the piece each belongs to; else empty. */
    struct nw_run *runs;
    size_t run_count;
} nw_pieces;

/* Finds the pieces of the ink by their runs, in time that follows the number of runs. Pieces
 * under speck_px of area are guessed specks and not kept; frames and edges are guessed but kept
 * unless the caller drops them. */
nw_status nw_pieces_find(const nw_ink *ink, double speck_px, nw_pieces *pieces, nw_error *error);
void nw_pieces_free(nw_pieces *pieces);

/* Sets the guesses from boxes, areas and holes alone; picture_box is the page, speck_area the
 * area under which a piece is a speck. For drawings as well as pictures. */
void nw_pieces_guess(nw_pieces *pieces, nw_box page, double speck_area);

/* Applies --keep or --drop: words separated by commas, each a number, a range 3-7, or a guess's
 * name (a guess that no piece has chooses none). keep: only those stay; drop: those go.
 * NW_BAD_REQUEST names the word that is wrong. Nothing may be left: the caller looks at kept. */
nw_status nw_pieces_choose(nw_pieces *pieces, const char *words, bool keep, nw_error *error);

/* Clears the ink, and in picture (may be NULL) the density, of all pieces that are not kept. */
void nw_pieces_clear_dropped(const nw_pieces *pieces, nw_ink *ink, nw_picture *picture);

#ifdef __cplusplus
}
#endif

#endif
