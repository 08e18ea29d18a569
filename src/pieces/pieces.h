/*
 * pieces: what is in a picture or a drawing: connected pieces, what each probably is, and which of
 * them stay.
 */
#ifndef NARROWS_PIECES_H
#define NARROWS_PIECES_H

#include <geom/geom.h>
#include <picture/picture.h>

/* Fills the pinholes of the ink: paper of less than least_px pixels that ink encloses, corners
 * included, so that a hair-thin slit, even a slanting one, is none. picture may be NULL. filled
 * tells how many there were. */
NW_API nw_status nw_ink_fill_pinholes(nw_ink *ink, nw_picture *picture, double least_px,
                                      size_t *filled, nw_error *error);

/* The dots of a screen, as print in shades has: how many, and the largest one's pixels. */
typedef struct {
    size_t count;
    double largest;
} nw_dots;

/* Finds them, and the holes that they leave where they run together; none below least_px, and none
 * where there are few or they lie at random. */
NW_API nw_status nw_ink_dots(const nw_ink *ink, double least_px, nw_dots *dots, nw_error *error);

/* What a piece probably is. */
typedef enum {
    NW_PIECE_ART,
    NW_PIECE_SPECK,     /* dirt */
    NW_PIECE_FRAME,     /* a border round everything else */
    NW_PIECE_LETTERING, /* one of a row of small pieces alike in height */
    NW_PIECE_EDGE,      /* touches the picture's edge, like a scanner's shadow */
    NW_PIECE_DUST       /* hardly larger than dirt, and as likely some */
} nw_piece_guess;

#define NW_PIECE_GUESSES 6

/* "art", "speck", "frame", "lettering", "edge", "dust" */
NW_API const char *nw_piece_guess_name(nw_piece_guess guess);

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
NW_API nw_status nw_pieces_find(const nw_ink *ink, double speck_px, nw_pieces *pieces,
                                nw_error *error);
NW_API void nw_pieces_free(nw_pieces *pieces);

/* The number of the piece that pixel (x, y) belongs to, rows from the top; 0: of none. */
NW_API size_t nw_pieces_number(const nw_pieces *pieces, uint32_t x, uint32_t y);
/* Whether the piece of that number is kept; of none (0) and of unknown pieces (NULL) all is. */
NW_API bool nw_pieces_are_kept(const nw_pieces *pieces, size_t number);

/* Sets the guesses from boxes, areas and holes alone; picture_box is the page, speck_area the
 * area under which a piece is a speck. For drawings as well as pictures. */
NW_API void nw_pieces_guess(nw_pieces *pieces, nw_box page, double speck_area);

/* Of a picture of this box that shows a sheet on a table: what touches its edge, and is no speck,
 * is guessed to be that: a frame where it goes all round, else an edge. */
NW_API void nw_pieces_guess_table(nw_pieces *pieces, nw_box page);

/* How many of the kept pieces are letters no higher than that, whatever was guessed of them;
 * turned: in rows that run up or down. 0 when memory runs out. */
NW_API size_t nw_pieces_letters(const nw_pieces *pieces, double tallest, bool turned);

/* Applies --keep or --drop: words separated by commas, each a number, a range 3-7, or a guess's
 * name (a guess that no piece has chooses none). keep: only those stay; drop: those go.
 * NW_BAD_REQUEST names the word that is wrong. Nothing may be left: the caller looks at kept. */
NW_API nw_status nw_pieces_choose(nw_pieces *pieces, const char *words, bool keep, nw_error *error);

/* Clears the ink, and in picture (may be NULL) the density, of all pieces that are not kept. */
NW_API void nw_pieces_clear_dropped(const nw_pieces *pieces, nw_ink *ink, nw_picture *picture);
/* The same of the specks among them alone. */
NW_API void nw_pieces_clear_specks(const nw_pieces *pieces, nw_ink *ink, nw_picture *picture);

/* The pieces of a drawing, for --keep and --drop, with nw_pieces_guess applied. */
NW_API nw_status nw_drawing_pieces(const nw_drawing *drawing, double speck_area, nw_pieces *pieces,
                                   nw_error *error);

/* Removes the pieces that are not kept and moves the art's box back to the origin. */
NW_API nw_status nw_drawing_keep(nw_drawing *drawing, const nw_pieces *pieces, nw_error *error);

#endif
