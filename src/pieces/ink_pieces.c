/*
 * ink_pieces: the regions of ink -> numbered pieces; which of them stay; and the dropped ones
 * cleared from the ink.
 */
#include <pieces/pieces.h>
#include <pieces/runs.h>

#include <stdlib.h>
#include <string.h>

static const char *const guess_names[NW_PIECE_GUESSES] = {"art",       "speck", "frame",
                                                          "lettering", "edge",  "dust"};

const char *nw_piece_guess_name(nw_piece_guess guess)
{
    return (size_t)guess < NW_PIECE_GUESSES ? guess_names[guess] : "";
}

/* order[k]: the region that becomes piece k + 1; NULL when memory runs out. */
static nw_ranked *rank(const nw_runs *runs)
{
    nw_ranked *order = nw_alloc(runs->region_count, sizeof *order);
    for (size_t k = 0; order && k < runs->region_count; k++)
        order[k] = (nw_ranked){runs->regions[k].area, (uint32_t)k};
    if (order)
        nw_ranked_sort(order, runs->region_count);
    return order;
}

static nw_piece piece_of(const nw_run_region *region, size_t number)
{
    return (nw_piece){.number = number,
                      .box = {{region->x0, region->y0}, {region->x1, region->y1}},
                      .area = (double)region->area,
                      .holes = region->holes,
                      .guess = NW_PIECE_ART,
                      .kept = true};
}

/* Moves the runs over to pieces, renumbered; false when memory runs out. */
static bool take_over(nw_runs *runs, nw_pieces *pieces)
{
    nw_ranked *order = rank(runs);
    uint32_t *number = nw_alloc(runs->region_count, sizeof *number);
    pieces->items = nw_alloc(runs->region_count, sizeof *pieces->items);
    bool done = order && number && pieces->items;
    if (done) {
        pieces->count = runs->region_count;
        for (size_t k = 0; k < pieces->count; k++) {
            pieces->items[k] = piece_of(&runs->regions[order[k].index], k + 1);
            number[order[k].index] = (uint32_t)k;
        }
        for (size_t k = 0; k < runs->run_count; k++)
            runs->runs[k].region = number[runs->runs[k].region];
        pieces->runs = runs->runs;
        pieces->run_count = runs->run_count;
        runs->runs = NULL;
    }
    free(order);
    free(number);
    return done;
}

#define FRAME_ROWS 0.9 /* of a frame's rows reach from its left side to its right */
#define FRAME_REACH 0.85

/* A box and an area cannot tell a frame from an angle along two sides; the runs can. */
static bool goes_round(const nw_pieces *pieces, size_t piece)
{
    const nw_box *box = &pieces->items[piece].box;
    double width = nw_box_width(*box), rows = 0;
    for (size_t k = 0; k < pieces->run_count;) {
        const struct nw_run *first = NULL, *last = NULL;
        uint32_t y = pieces->runs[k].y;
        for (; k < pieces->run_count && pieces->runs[k].y == y; k++) {
            if (pieces->runs[k].region == piece) {
                first = first ? first : &pieces->runs[k];
                last = &pieces->runs[k];
            }
        }
        rows += first && last->x1 - first->x0 >= FRAME_REACH * width;
    }
    return rows >= FRAME_ROWS * (nw_box_height(*box));
}

static void check_frames(nw_pieces *pieces, nw_box page)
{
    for (size_t k = 0; k < pieces->count; k++) {
        nw_piece *piece = &pieces->items[k];
        if (piece->guess == NW_PIECE_FRAME && !goes_round(pieces, k)) {
            bool touches = piece->box.min.x <= page.min.x || piece->box.min.y <= page.min.y ||
                           piece->box.max.x >= page.max.x || piece->box.max.y >= page.max.y;
            piece->guess = touches ? NW_PIECE_EDGE : NW_PIECE_ART;
        }
    }
}

nw_status nw_pieces_find(const nw_ink *ink, double speck_px, nw_pieces *pieces, nw_error *error)
{
    *pieces = (nw_pieces){0};
    nw_runs runs;
    nw_status status = nw_runs_find(ink, false, &runs, error);
    if (status != NW_OK)
        return status;
    bool done = take_over(&runs, pieces);
    nw_runs_free(&runs);
    if (!done) {
        nw_pieces_free(pieces);
        return nw_fail_memory(error, "the pieces of the picture");
    }
    nw_box page = {{0, 0}, {ink->width, ink->height}};
    nw_pieces_guess(pieces, page, speck_px);
    check_frames(pieces, page);
    for (size_t k = 0; k < pieces->count; k++)
        pieces->items[k].kept = pieces->items[k].guess != NW_PIECE_SPECK;
    return NW_OK;
}

bool nw_pieces_are_kept(const nw_pieces *pieces, size_t number)
{
    return !pieces || number == 0 || number > pieces->count || pieces->items[number - 1].kept;
}

size_t nw_pieces_number(const nw_pieces *pieces, uint32_t x, uint32_t y)
{
    size_t first = 0, end = pieces->run_count;
    while (first < end) {
        size_t middle = first + (end - first) / 2;
        const struct nw_run *run = &pieces->runs[middle];
        if (run->y == y && run->x0 <= x && x < run->x1)
            return pieces->items[run->region].number;
        if (run->y < y || (run->y == y && run->x0 < x))
            first = middle + 1;
        else
            end = middle;
    }
    return 0;
}

void nw_pieces_free(nw_pieces *pieces)
{
    if (pieces) {
        free(pieces->items);
        free(pieces->runs);
        *pieces = (nw_pieces){0};
    }
}

/* ---- choosing by words ------------------------------------------------------------------- */

#define WORD_MOST 40

/* A word of a choice: pieces first to last, or all of one guess. */
typedef struct {
    bool by_guess;
    nw_piece_guess guess;
    size_t first, last;
} choice;

static nw_status choice_read(const char *word, size_t count, bool keep, choice *c, nw_error *error)
{
    *c = (choice){0};
    for (size_t g = 0; g < NW_PIECE_GUESSES; g++) {
        if (strcmp(word, guess_names[g]) == 0) {
            c->by_guess = true;
            c->guess = (nw_piece_guess)g;
            return NW_OK;
        }
    }
    const char *at = word;
    if (!nw_range_read(&at, &c->first, &c->last) || *at) {
        return nw_fail_advised(
            error, NW_BAD_REQUEST, keep ? NW_ADVICE_KEEP : NW_ADVICE_DROP,
            "'%s' names no piece; use a number, a range like 3-7, art, speck, dust, "
            "frame, lettering or edge",
            word);
    }
    if (c->last > count) {
        return nw_fail_advised(error, NW_BAD_REQUEST,
                               keep ? NW_ADVICE_KEEP_LIST : NW_ADVICE_DROP_LIST,
                               "there is no piece '%s': there are %zu", word, count);
    }
    return NW_OK;
}

static void choice_mark(const choice *c, const nw_pieces *pieces, bool *chosen)
{
    for (size_t k = 0; c->by_guess && k < pieces->count; k++)
        chosen[k] |= pieces->items[k].guess == c->guess;
    for (size_t k = c->first; !c->by_guess && k <= c->last; k++)
        chosen[k - 1] = true;
}

/* Copies the word at text, without the spaces round it, and returns what follows its comma; NULL
 * after the last one. */
static const char *next_word(const char *text, char word[WORD_MOST])
{
    size_t length = strcspn(text, ",");
    const char *next = text[length] ? text + length + 1 : NULL;
    while (length && *text == ' ') {
        text++;
        length--;
    }
    while (length && text[length - 1] == ' ')
        length--;
    length = length < WORD_MOST ? length : WORD_MOST - 1;
    memcpy(word, text, length);
    word[length] = '\0';
    return next;
}

nw_status nw_pieces_choose(nw_pieces *pieces, const char *words, bool keep, nw_error *error)
{
    bool *chosen = nw_alloc(pieces->count, sizeof *chosen);
    if (!chosen)
        return nw_fail_memory(error, "the choice of pieces");
    nw_status status = NW_OK;
    for (const char *at = words; at && status == NW_OK;) {
        char word[WORD_MOST];
        at = next_word(at, word);
        choice c;
        status = choice_read(word, pieces->count, keep, &c, error);
        if (status == NW_OK)
            choice_mark(&c, pieces, chosen);
    }
    for (size_t k = 0; k < pieces->count && status == NW_OK; k++)
        pieces->items[k].kept = keep ? chosen[k] : pieces->items[k].kept && !chosen[k];
    free(chosen);
    return status;
}

/* ---- clearing ---------------------------------------------------------------------------- */

static bool ink_at(const nw_ink *ink, int64_t x, int64_t y)
{
    return x >= 0 && y >= 0 && x < ink->width && y < ink->height &&
           nw_ink_has(ink, (size_t)x, (size_t)y);
}

static bool ink_near(const nw_ink *ink, int64_t x, int64_t y)
{
    for (int64_t row = y - 1; row <= y + 1; row++)
        if (ink_at(ink, x - 1, row) || ink_at(ink, x, row) || ink_at(ink, x + 1, row))
            return true;
    return false;
}

static void clear_bits(nw_ink *ink, const struct nw_run *run)
{
    for (uint32_t x = run->x0; x < run->x1; x++)
        ink->words[(size_t)run->y * ink->stride + x / 64] &= ~(UINT64_C(1) << (63 - x % 64));
}

/* A dropped run's density and the soft rim round it, but not the rim of what stays. */
static void clear_density(const nw_ink *ink, const struct nw_run *run, nw_picture *picture)
{
    uint32_t y0 = run->y ? run->y - 1 : 0, x0 = run->x0 ? run->x0 - 1 : 0;
    for (uint32_t y = y0; y <= run->y + 1 && y < picture->height; y++) {
        uint8_t *row = picture->density + (size_t)y * picture->width;
        for (uint32_t x = x0; x <= run->x1 && x < picture->width; x++)
            if (row[x] && !ink_near(ink, x, y))
                row[x] = 0;
            else if (row[x] >= 128 && !ink_at(ink, x, y))
                row[x] = 127;
    }
}

/* Of the pieces that are not kept, all or the specks. */
static void clear_pieces(const nw_pieces *pieces, bool all, nw_ink *ink, nw_picture *picture)
{
    for (int round = 0; round < (picture ? 2 : 1); round++) {
        for (size_t k = 0; k < pieces->run_count; k++) {
            const nw_piece *piece = &pieces->items[pieces->runs[k].region];
            if (piece->kept || (!all && piece->guess != NW_PIECE_SPECK))
                continue;
            if (round == 0)
                clear_bits(ink, &pieces->runs[k]);
            else
                clear_density(ink, &pieces->runs[k], picture);
        }
    }
}

void nw_pieces_clear_dropped(const nw_pieces *pieces, nw_ink *ink, nw_picture *picture)
{
    clear_pieces(pieces, true, ink, picture);
}

void nw_pieces_clear_specks(const nw_pieces *pieces, nw_ink *ink, nw_picture *picture)
{
    clear_pieces(pieces, false, ink, picture);
}
