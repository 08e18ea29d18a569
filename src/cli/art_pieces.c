/* select: which pieces stay: --dirt, --keep and --drop, and a line about what went. */
#include <cli/art.h>

#include <math.h>
#include <stdlib.h>

#define TINY_PX 100.0   /* area of a piece that may be dirt */
#define TINY_SHARE 2e-4 /* of the art's area */
#define TINY_LEAST 5    /* pieces to speak of */

nw_box pieces_box(const nw_pieces *pieces, bool kept)
{
    nw_box box = nw_box_empty();
    for (size_t i = 0; i < pieces->count; i++) {
        const nw_piece *piece = &pieces->items[i];
        if (piece->kept == kept) {
            nw_box_grow(&box, piece->box);
        }
    }
    return box;
}

size_t pieces_kept(const nw_pieces *pieces)
{
    size_t count = 0;
    for (size_t i = 0; i < pieces->count; i++) {
        count += pieces->items[i].kept;
    }
    return count;
}

/* "dropped 12 specks, the largest 5 px" */
static nw_status note_specks(const cli_request *request, cli_talk *talk, cli_art *art,
                             nw_error *error)
{
    size_t count = 0;
    double largest = 0;
    for (size_t i = 0; i < art->pieces.count; i++) {
        const nw_piece *piece = &art->pieces.items[i];
        if (piece->guess == NW_PIECE_SPECK && !piece->kept) {
            count++;
            largest = fmax(largest, piece->area);
        }
    }
    if (count == 0 || request->keep) {
        return NW_OK;
    }
    nw_text line = {0};
    nw_text_format(&line, "dropped %zu speck%s of dirt, the largest ", count,
                   count == 1 ? "" : "s");
    nw_text_number(&line, largest, art->picture ? 0 : 3);
    nw_text_add(&line, art->picture ? " pixels; --dirt 0 keeps them" : " mm2");
    return talk_note(talk, &art->notes, &line, error);
}

/* Kept pieces that are hardly larger than dirt: a scan's dust would fill the list of spots. */
static nw_status note_tiny(const cli_request *request, cli_talk *talk, cli_art *art,
                           nw_error *error)
{
    double total = 0, largest = 0;
    size_t count = 0;
    for (size_t i = 0; i < art->pieces.count; i++) {
        total += art->pieces.items[i].kept ? art->pieces.items[i].area : 0;
    }
    for (size_t i = 0; i < art->pieces.count; i++) {
        const nw_piece *piece = &art->pieces.items[i];
        if (piece->kept && piece->guess == NW_PIECE_ART &&
            piece->area < fmin(TINY_PX, TINY_SHARE * total)) {
            count++;
            largest = fmax(largest, piece->area);
        }
    }
    if (!art->picture || request->dirt.given || request->keep || count < TINY_LEAST) {
        return NW_OK;
    }
    nw_text line = {0};
    nw_text_format(&line, "%zu pieces are hardly larger than dirt; --dirt %.0fpx leaves them out",
                   count, largest + 1);
    return talk_note(talk, &art->notes, &line, error);
}

/* What the user may not have seen among the kept pieces. */
static nw_status note_guess(nw_piece_guess guess, const char *one, const char *several,
                            cli_talk *talk, cli_art *art, nw_error *error)
{
    size_t count = 0, first = 0;
    for (size_t i = 0; i < art->pieces.count; i++) {
        const nw_piece *piece = &art->pieces.items[i];
        if (piece->kept && piece->guess == guess) {
            first = count == 0 ? piece->number : first;
            count++;
        }
    }
    if (count == 0) {
        return NW_OK;
    }
    nw_text line = {0};
    if (count == 1) {
        nw_text_format(&line, "piece %zu %s", first, one);
    } else {
        nw_text_format(&line, "%zu pieces %s", count, several);
    }
    nw_text_format(&line, "; --drop %s leaves %s out", nw_piece_guess_name(guess),
                   count == 1 ? "it" : "them");
    return talk_note(talk, &art->notes, &line, error);
}

static nw_status note_guesses(cli_talk *talk, cli_art *art, nw_error *error)
{
    static const struct {
        nw_piece_guess guess;
        const char *one, *several;
    } rows[] = {
        {NW_PIECE_FRAME, "looks like a frame round the art", "look like frames round the art"},
        {NW_PIECE_LETTERING, "looks like lettering", "look like lettering"},
        {NW_PIECE_EDGE, "touches the picture's edge and may be cut off there",
         "touch the picture's edge and may be cut off there"},
    };
    nw_status status = NW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof *rows && status == NW_OK; i++) {
        status = note_guess(rows[i].guess, rows[i].one, rows[i].several, talk, art, error);
    }
    return status;
}

static nw_status note_choice(const cli_request *request, cli_talk *talk, cli_art *art,
                             nw_error *error)
{
    if (!request->keep && !request->drop) {
        return NW_OK;
    }
    nw_text line = {0};
    nw_text_format(&line, "kept %zu of %zu pieces", pieces_kept(&art->pieces), art->pieces.count);
    return talk_note(talk, &art->notes, &line, error);
}

nw_status pieces_select(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error)
{
    nw_status status = NW_OK;
    if (request->keep) {
        status =
            option_blame("keep", nw_pieces_choose(&art->pieces, request->keep, true, error), error);
    }
    if (status == NW_OK && request->drop) {
        status = option_blame("drop", nw_pieces_choose(&art->pieces, request->drop, false, error),
                              error);
    }
    if (status == NW_OK && pieces_kept(&art->pieces) == 0) {
        bool asked = request->keep || request->drop;
        return nw_fail(error, asked ? NW_BAD_REQUEST : NW_BAD_INPUT, "%s",
                       asked ? "nothing is left of the art; 'narrows pieces' lists its pieces"
                             : "there is nothing but specks of dirt; --dirt 0 keeps them");
    }
    if (status == NW_OK) {
        status = note_specks(request, talk, art, error);
    }
    if (status == NW_OK) {
        status = note_tiny(request, talk, art, error);
    }
    if (status == NW_OK) {
        status = note_choice(request, talk, art, error);
    }
    return status == NW_OK ? note_guesses(talk, art, error) : status;
}
