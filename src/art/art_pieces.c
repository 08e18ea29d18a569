/* pieces: which of them stay, and what is to be known about those that went and those that stay. */
#include <art/loading.h>

#include <math.h>
#include <stdio.h>

#define DUST_PX 100.0   /* area of a piece that may be dirt */
#define DUST_SHARE 2e-4 /* of the art's area */
#define DUST_LEAST 5    /* pieces to speak of; where as many specks were dropped, one is */
#define LIKE_TIMES 2.0  /* the area of a speck: what has more is not like it */
#define LIKE_SHARE 0.01 /* of the art's area: what has more is art */

/* Screenshots and pages of text, from looking at some of each and at clip art. */
#define PRINT_PX 40      /* letters of text are no higher */
#define PRINT_LETTERS 40 /* letters to make a page, where they are at least */
#define PRINT_SHARE 0.25 /* of all pieces, */
#define PRINT_SMALL 0.85 /* of which so many are as low: figures in columns are a pattern; */
#define PRINT_INK 0.6    /* and of the ink so much: labels have less than what they name, */
#define PRINT_MANY 250   /* and are fewer */
#define LINE_LETTERS 16  /* letters to make a line of text by itself, */
#define LINE_PX 24       /* no higher, */
#define LINE_HIGH 1.6    /* and all of them no more than so many letters high */
#define SCREEN_LETTERS 8 /* letters to make a screenshot, where a bar runs across it */
#define SCREEN_BAR 0.15  /* of the picture's height, at most */

static size_t kept_count(const nw_pieces *pieces)
{
    size_t count = 0;
    for (size_t i = 0; i < pieces->count; i++)
        count += pieces->items[i].kept;
    return count;
}

bool nw_art_has_rest(const nw_loading *loading)
{
    const nw_pieces *pieces = &loading->art->pieces;
    return loading->options->need_rest && kept_count(pieces) < pieces->count;
}

void nw_pieces_swap(nw_pieces *pieces)
{
    for (size_t i = 0; i < pieces->count; i++)
        pieces->items[i].kept = !pieces->items[i].kept;
}

/* How many pieces of that kind have less area, and the area of the largest of them. */
static size_t smaller_count(const nw_pieces *pieces, nw_piece_guess guess, double area,
                            double *largest)
{
    size_t count = 0;
    for (size_t i = 0; i < pieces->count; i++) {
        const nw_piece *piece = &pieces->items[i];
        if (piece->guess == guess && piece->area < area) {
            count++;
            *largest = fmax(*largest, piece->area);
        }
    }
    return count;
}

/* Specks go, where nothing was said of what stays. */
static nw_status note_dirt(nw_loading *loading)
{
    nw_note note = {.code = NW_NOTE_DIRT};
    if (!loading->options->keep)
        note.count = smaller_count(&loading->art->pieces, NW_PIECE_SPECK, INFINITY, &note.value);
    return nw_art_note_count(loading, note);
}

/* Of what is called art, and of lettering, before anything is chosen. */
static double drawn_area(const nw_pieces *pieces)
{
    double total = 0;
    for (size_t i = 0; i < pieces->count; i++)
        if (pieces->items[i].guess == NW_PIECE_ART || pieces->items[i].guess == NW_PIECE_LETTERING)
            total += pieces->items[i].area;
    return total;
}

/* What has less is of about the size of the largest speck that was dropped, or of what is, and so
 * on: dust comes in all sizes, without a gap. */
static double like_specks(const nw_pieces *pieces, double largest, double most)
{
    for (double last = 0; largest > last;) {
        last = largest;
        smaller_count(pieces, NW_PIECE_ART, fmin(LIKE_TIMES * largest, most), &largest);
    }
    return fmin(LIKE_TIMES * largest, most);
}

/* Pieces that are hardly larger than dirt: a scan's dust would fill the list of spots. Where the
 * user has said what is dirt, what is like it. */
static void dust_guess(const nw_loading *loading)
{
    nw_pieces *pieces = &loading->art->pieces;
    double speck = 0, largest = 0, total = drawn_area(pieces);
    bool dusty = smaller_count(pieces, NW_PIECE_SPECK, INFINITY, &speck) >= DUST_LEAST;
    bool asked = loading->options->dirt != NW_DIRT_USUAL;
    if (!loading->art->from_picture || nw_art_noted(loading->art, NW_NOTE_DOTS) ||
        (asked && !dusty))
        return;
    double less =
        asked ? like_specks(pieces, speck, LIKE_SHARE * total) : fmin(DUST_PX, DUST_SHARE * total);
    if (smaller_count(pieces, NW_PIECE_ART, less, &largest) < (dusty ? 1 : DUST_LEAST))
        return;
    for (size_t i = 0; i < pieces->count; i++)
        if (pieces->items[i].guess == NW_PIECE_ART && pieces->items[i].area < less)
            pieces->items[i].guess = NW_PIECE_DUST;
}

/* What the user may not have seen among the kept pieces. */
static nw_status note_guess(nw_loading *loading, nw_piece_guess guess, nw_note_code code)
{
    const nw_pieces *pieces = &loading->art->pieces;
    nw_note note = {.code = code};
    for (size_t i = 0; i < pieces->count; i++) {
        if (pieces->items[i].kept && pieces->items[i].guess == guess) {
            note.number = note.count == 0 ? pieces->items[i].number : note.number;
            note.count++;
        }
    }
    return nw_art_note_count(loading, note);
}

/* A bar of a window: flat, from one side of the picture to the other. */
static bool is_bar(const nw_piece *piece, const nw_picture *picture)
{
    return nw_box_width(piece->box) >= picture->width &&
           nw_box_height(piece->box) <= SCREEN_BAR * picture->height;
}

/* Small letters, and of what they are a part. */
typedef struct {
    size_t letters, low, kept; /* low: no higher than letters are */
    double height;             /* of all, across a row */
    double tall;               /* the highest */
    double ink, low_ink;       /* areas of all, and of the low ones */
} print;

/* turned: as seen when the picture lies on its side. */
static print print_find(const nw_pieces *pieces, bool turned)
{
    print p = {.letters = nw_pieces_letters(pieces, PRINT_PX, turned)};
    nw_box all = nw_box_empty();
    for (size_t i = 0; i < pieces->count; i++) {
        nw_box box = pieces->items[i].box;
        double tall = turned ? nw_box_width(box) : nw_box_height(box);
        if (!pieces->items[i].kept)
            continue;
        nw_box_grow(&all, box);
        p.kept++;
        p.low += tall <= PRINT_PX;
        p.ink += pieces->items[i].area;
        p.low_ink += tall <= PRINT_PX ? pieces->items[i].area : 0;
        p.tall = fmax(p.tall, tall);
    }
    p.height = turned ? nw_box_width(all) : nw_box_height(all);
    return p;
}

/* A page of text, or a single line of it as it stands on a screen. */
static bool is_page(const print *p)
{
    double letters = (double)p->letters, kept = (double)p->kept;
    bool page = p->letters >= PRINT_LETTERS && letters >= PRINT_SHARE * kept &&
                (double)p->low >= PRINT_SMALL * kept &&
                (p->letters >= PRINT_MANY || p->low_ink >= PRINT_INK * p->ink);
    bool line = p->letters >= LINE_LETTERS && letters >= PRINT_SMALL * kept && p->tall <= LINE_PX &&
                p->height <= LINE_HIGH * p->tall;
    return page || line;
}

/* What is hardly meant to be cut: a picture of a screen, or of a page, upright or on its side. */
static nw_status note_print(nw_loading *loading)
{
    const nw_pieces *pieces = &loading->art->pieces;
    size_t bars = 0, guessed = 0;
    if (!loading->art->from_picture)
        return NW_OK;
    for (size_t i = 0; i < pieces->count; i++) {
        guessed += pieces->items[i].guess == NW_PIECE_LETTERING;
        bars += pieces->items[i].kept && is_bar(&pieces->items[i], &loading->art->picture);
    }
    print upright = print_find(pieces, false), turned = print_find(pieces, true);
    const print *told =
        upright.letters >= turned.letters || guessed >= turned.letters ? &upright : &turned;
    bool screen = upright.letters >= SCREEN_LETTERS && bars;
    nw_note note = {.code = NW_NOTE_PRINT, .count = told->letters, .number = told->kept};
    return is_page(told) || screen ? nw_art_note(loading, note) : NW_OK;
}

static nw_status note_all(nw_loading *loading)
{
    const nw_art_options *options = loading->options;
    nw_status status = note_dirt(loading);
    if (status == NW_OK && !options->keep)
        status = note_guess(loading, NW_PIECE_DUST, NW_NOTE_DUST);
    if (status == NW_OK && (options->keep || options->drop)) {
        status = nw_art_note(
            loading, (nw_note){.code = NW_NOTE_CHOSEN, .count = kept_count(&loading->art->pieces)});
    }
    if (status == NW_OK)
        status = note_guess(loading, NW_PIECE_FRAME, NW_NOTE_FRAME);
    if (status == NW_OK)
        status = note_guess(loading, NW_PIECE_LETTERING, NW_NOTE_LETTERING);
    if (status == NW_OK)
        status = note_print(loading);
    return status == NW_OK ? note_guess(loading, NW_PIECE_EDGE, NW_NOTE_EDGE) : status;
}

/* What follows takes time and memory for each outline. */
static nw_status outlines_check(const nw_loading *loading)
{
    const nw_pieces *pieces = &loading->art->pieces;
    uint64_t most = loading->options->most_outlines, count = 0;
    most = most ? most : NW_OUTLINES_MOST;
    for (size_t i = 0; i < pieces->count; i++)
        count += pieces->items[i].kept ? 1 + pieces->items[i].holes : 0;
    if (count <= most)
        return NW_OK;
    const nw_note *dots = nw_art_noted(loading->art, NW_NOTE_DOTS);
    char like[64] = "";
    if (dots)
        snprintf(like, sizeof like, ", which looks printed in dots of under %.0f px,", dots->value);
    return nw_fail_advised(loading->error, NW_BAD_INPUT, NW_ADVICE_OUTLINES,
                           "the art%s has %llu outlines, more than %llu", like,
                           (unsigned long long)count, (unsigned long long)most);
}

nw_status nw_art_choose(nw_loading *loading)
{
    const nw_art_options *options = loading->options;
    nw_pieces *pieces = &loading->art->pieces;
    nw_status status = NW_OK;
    dust_guess(loading);
    if (options->keep)
        status = nw_pieces_choose(pieces, options->keep, true, loading->error);
    if (status == NW_OK && options->drop)
        status = nw_pieces_choose(pieces, options->drop, false, loading->error);
    if (status == NW_OK && kept_count(pieces) == 0) {
        if (options->keep || options->drop) {
            return nw_fail_advised(loading->error, NW_BAD_REQUEST, NW_ADVICE_PIECES,
                                   "nothing is left of the art's pieces");
        }
        status = nw_fail_advised(loading->error, NW_BAD_INPUT, NW_ADVICE_NO_DIRT,
                                 "there is nothing but specks of dirt");
    }
    if (status == NW_OK)
        status = outlines_check(loading);
    return status == NW_OK ? note_all(loading) : status;
}

void nw_art_box_outlines(nw_art *art)
{
    const nw_drawing *drawing = &art->drawing;
    double scale = 1 / art->unit_mm, high = art->picture.height;
    double left = -drawing->placed.e * scale, low = -drawing->placed.f * scale;
    for (size_t i = 0; i < drawing->count; i++)
        art->pieces.items[drawing->paths[i].number - 1].box = nw_box_empty();
    for (size_t i = 0; i < drawing->count; i++) {
        nw_box box = nw_path_box(&drawing->paths[i]);
        nw_box_grow(&art->pieces.items[drawing->paths[i].number - 1].box,
                    (nw_box){{left + box.min.x * scale, high - low - box.max.y * scale},
                             {left + box.max.x * scale, high - low - box.min.y * scale}});
    }
}
