/* lettering: which of the pieces are letters. */
#ifndef NARROWS_PIECES_LETTERING_H
#define NARROWS_PIECES_LETTERING_H

#include <pieces/pieces.h>

/* Guesses which of the pieces that may be art are letters. */
void nw_lettering_guess(nw_pieces *pieces);

#endif
