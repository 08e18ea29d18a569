/*
 * lettering: boxes and areas of pieces -> which of them are letters: rows of small pieces on one
 * line, alike in height but not in shape, with the dots, accents and stops that belong to them.
 *
 * The measures are rules of thumb, from looking at clip art and scans.
 */
#include <pieces/lettering.h>

#include <math.h>
#include <stdlib.h>

/* Letters: height against the whole art's at most; how alike in height; the gap to the next
 * against the larger height; how much of the smaller height must lie on the same line. */
#define LETTER_HEIGHT 0.3
#define LETTER_ALIKE 2.0
#define LETTER_GAP 1.2
#define LETTER_LINE 0.6
#define LETTER_LEAST 4          /* pieces to a row */
#define LETTER_FOOT 0.12        /* of a row's height: as far may feet, or heads, be from a line */
#define LETTER_FEET 0.7         /* of a row's pieces stand on one line, or hang from one */
#define LETTER_SAME 0.06        /* as near in size, two pieces are the same */
#define LETTER_SAME_MOST 0.7    /* of a row's pieces the same make a pattern: a lattice, dots */
#define LETTER_COLUMN 3.5       /* heights: as far above and below a lattice repeats */
#define LETTER_MARK 0.4         /* of a row's height: as far are dots and accents from it */
#define LETTER_AREA 0.1         /* as near in area, two pieces of one size are the same */
#define LETTER_WIDE 3.0         /* heights: wider, it may be letters that touch */
#define LETTER_JOINED 12.0      /* heights: wider, it is a rule or a border */
#define LETTER_DUST 0.04        /* of a row's height: a stop is larger */
#define LETTER_STOP 0.8         /* of a row's height: lower may hang under its line: a comma */
#define LETTER_JOIN_MOST 3      /* to each letter of a row, what else stands on its line */
#define LETTER_SPACE 2.5        /* of a row's height: the space to what else stands on its line */
#define LETTER_CANDIDATES 20000 /* beyond, it is a texture and no lettering */

/* What a row's pieces are compared by. */
enum { FOOT, HEAD, TALL, WIDE, AREA, MEASURES };

typedef struct {
    size_t piece;
    nw_box box;
    double is[MEASURES];
    size_t group, size; /* group: another candidate of the same row, or itself */
} candidate;

static int by_left(const void *a, const void *b)
{
    const candidate *p = a, *q = b;
    return p->box.min.x != q->box.min.x ? nw_order(p->box.min.x, q->box.min.x)
                                        : nw_order(p->piece, q->piece);
}

static size_t group_of(candidate *all, size_t k)
{
    while (all[k].group != k) {
        all[k].group = all[all[k].group].group;
        k = all[k].group;
    }
    return k;
}

static bool same_line(nw_box left, nw_box right)
{
    double a = nw_box_height(left), b = nw_box_height(right), less = fmin(a, b), more = fmax(a, b);
    double shared = fmin(left.max.y, right.max.y) - fmax(left.min.y, right.min.y);
    return more <= LETTER_ALIKE * less && shared >= LETTER_LINE * less &&
           right.min.x - left.max.x <= LETTER_GAP * more;
}

static bool is_wide(nw_box box)
{
    return nw_box_width(box) > LETTER_WIDE * nw_box_height(box);
}

static void group_rows(candidate *all, size_t count, double tallest)
{
    for (size_t k = 0; k < count; k++) {
        if (is_wide(all[k].box))
            continue;
        for (size_t j = k + 1; j < count; j++) {
            if (all[j].box.min.x - all[k].box.max.x > LETTER_GAP * tallest)
                break;
            if (!is_wide(all[j].box) && same_line(all[k].box, all[j].box)) {
                size_t a = group_of(all, k), b = group_of(all, j);
                all[a > b ? a : b].group = a < b ? a : b;
            }
        }
    }
    for (size_t k = 0; k < count; k++)
        all[group_of(all, k)].size++;
}

/* The box of everything that may be art. */
static nw_box art_box(const nw_pieces *pieces)
{
    nw_box box = nw_box_empty();
    for (size_t k = 0; k < pieces->count; k++) {
        const nw_piece *p = &pieces->items[k];
        if (p->guess == NW_PIECE_ART)
            nw_box_grow(&box, p->box);
    }
    return box;
}

static bool may_be_letter(const nw_piece *piece, double tallest)
{
    double w = nw_box_width(piece->box), h = nw_box_height(piece->box);
    return piece->guess == NW_PIECE_ART && h <= tallest && w <= LETTER_JOINED * h;
}

static candidate candidate_of(const nw_piece *piece, size_t number)
{
    nw_box box = piece->box;
    double wide = nw_box_width(box), tall = nw_box_height(box);
    return (candidate){number, box, {box.max.y, box.min.y, tall, wide, piece->area}, 0, 0};
}

/* A row under judgement: its pieces, and values of them to be sorted. */
typedef struct {
    const candidate **members;
    double *values;
    size_t count;
    nw_box box;
} row;

static double median_of(const row *r, int measure)
{
    for (size_t i = 0; i < r->count; i++)
        r->values[i] = r->members[i]->is[measure];
    return nw_middle_number(r->values, r->count);
}

/* The part of the row whose value is as near as that to the middle one. */
static double part_near(const row *r, int measure, double near)
{
    double middle = median_of(r, measure);
    size_t count = 0;
    for (size_t i = 0; i < r->count; i++)
        count += fabs(r->members[i]->is[measure] - middle) <= near;
    return (double)count / (double)r->count;
}

static bool near_in(double a, double b, double share)
{
    return fabs(a - b) <= share * b;
}

static bool same_form(const candidate *a, const candidate *b)
{
    return near_in(b->is[WIDE], a->is[WIDE], LETTER_SAME) &&
           near_in(b->is[AREA], a->is[AREA], LETTER_AREA);
}

/* Whether two of the candidates stand straight above or below this one, and are alike. */
static bool in_column(const candidate *c, const candidate *all, size_t count)
{
    double off = LETTER_SAME * c->is[WIDE], reach = LETTER_COLUMN * c->is[TALL];
    size_t found = 0;
    for (size_t k = 0; k < count && all[k].box.min.x <= c->box.min.x + off; k++) {
        found += &all[k] != c && same_form(c, &all[k]) &&
                 fabs(all[k].box.min.x - c->box.min.x) <= off &&
                 fabs(all[k].box.min.y - c->box.min.y) <= reach;
    }
    return found >= 2;
}

/* Letters stand on one line, or hang from one, whichever way y runs; and they differ. */
static bool is_lettering(const row *r, const candidate *all, size_t count)
{
    double tall = median_of(r, TALL), wide = median_of(r, WIDE), area = median_of(r, AREA);
    double near = LETTER_FOOT * tall;
    if (part_near(r, FOOT, near) < LETTER_FEET && part_near(r, HEAD, near) < LETTER_FEET)
        return false;
    size_t same = 0, columns = 0;
    for (size_t i = 0; i < r->count; i++) {
        const candidate *c = r->members[i];
        same += near_in(c->is[TALL], tall, LETTER_SAME) &&
                near_in(c->is[WIDE], wide, LETTER_SAME) && near_in(c->is[AREA], area, LETTER_AREA);
        columns += in_column(r->members[i], all, count);
    }
    return (double)same <= LETTER_SAME_MOST * (double)r->count && 2 * columns < r->count;
}

static bool is_dust(const candidate *c, double tall)
{
    return fmax(c->is[TALL], c->is[WIDE]) < LETTER_DUST * tall;
}

/* Whether it stands over or under a letter of the row: its dot or accent. */
static bool is_mark(const candidate *c, const row *r, double reach)
{
    nw_box box = c->box;
    if (box.min.y < r->box.min.y - reach || box.max.y > r->box.max.y + reach)
        return false;
    for (size_t i = 0; i < r->count; i++) {
        const nw_box *letter = &r->members[i]->box;
        if (box.min.x < letter->max.x && box.max.x > letter->min.x &&
            box.min.y < letter->max.y + reach && box.max.y > letter->min.y - reach)
            return true;
    }
    return false;
}

/* Whether it stands on the row's line, within a space of it; the row grows then. */
static bool joins_row(row *r, nw_box box, double tall)
{
    bool small = nw_box_height(box) < LETTER_STOP * tall;
    double reach = (small ? LETTER_MARK : LETTER_FOOT) * tall, space = LETTER_SPACE * tall;
    if (box.min.y < r->box.min.y - reach || box.max.y > r->box.max.y + reach ||
        box.min.x > r->box.max.x + space || box.max.x < r->box.min.x - space)
        return false;
    r->box.min.x = fmin(r->box.min.x, box.min.x);
    r->box.max.x = fmax(r->box.max.x, box.max.x);
    return true;
}

/* Stops and commas, letters that touch, and words too short to be told on their own. If these are
 * far more than the letters, the row is no line of text. */
static void mark_line(nw_pieces *pieces, row *r, const candidate *all, size_t count, double tall)
{
    size_t letters = r->count, joined = 0, most = LETTER_JOIN_MOST * letters;
    for (size_t k = 0; k < 2 * count && joined <= most; k++) {
        const candidate *c = &all[k < count ? k : 2 * count - 1 - k]; /* rightwards, then back */
        nw_piece *piece = &pieces->items[c->piece];
        if (piece->guess == NW_PIECE_ART && !is_dust(c, tall) && joins_row(r, c->box, tall)) {
            piece->guess = NW_PIECE_LETTERING;
            r->members[letters + joined++] = c;
        }
    }
    for (size_t k = 0; k < joined && joined > most; k++)
        pieces->items[r->members[letters + k]->piece].guess = NW_PIECE_ART;
}

/* The row with what belongs to it. */
static void mark_row(nw_pieces *pieces, row *r, const candidate *all, size_t count)
{
    double tall = median_of(r, TALL);
    for (size_t i = 0; i < r->count; i++)
        pieces->items[r->members[i]->piece].guess = NW_PIECE_LETTERING;
    for (size_t k = 0; k < count; k++)
        if (all[k].is[TALL] < tall && !is_dust(&all[k], tall) &&
            is_mark(&all[k], r, LETTER_MARK * tall))
            pieces->items[all[k].piece].guess = NW_PIECE_LETTERING;
    mark_line(pieces, r, all, count, tall);
}

static void gather_row(row *r, candidate *all, size_t count, size_t group)
{
    r->count = 0;
    r->box = all[group].box;
    for (size_t k = group; k < count; k++) {
        if (group_of(all, k) == group) {
            r->members[r->count++] = &all[k];
            nw_box_grow(&r->box, all[k].box);
        }
    }
}

static void mark_rows(nw_pieces *pieces, candidate *all, size_t count)
{
    row r = {.members = nw_alloc(count, sizeof *r.members),
             .values = nw_alloc(count, sizeof *r.values)};
    for (size_t k = 0; r.members && r.values && k < count; k++) {
        if (all[k].group != k || all[k].size < LETTER_LEAST)
            continue;
        gather_row(&r, all, count, k);
        if (is_lettering(&r, all, count))
            mark_row(pieces, &r, all, count);
    }
    free(r.members);
    free(r.values);
}

static void letters_mark(nw_pieces *pieces, double tallest)
{
    size_t count = 0;
    for (size_t k = 0; k < pieces->count; k++)
        count += may_be_letter(&pieces->items[k], tallest);
    candidate *all = count <= LETTER_CANDIDATES ? nw_alloc(count, sizeof *all) : NULL;
    if (!all)
        return; /* a guess less is no failure */
    count = 0;
    for (size_t k = 0; k < pieces->count; k++)
        if (may_be_letter(&pieces->items[k], tallest))
            all[count++] = candidate_of(&pieces->items[k], k);
    nw_sort(all, count, sizeof *all, by_left);
    for (size_t k = 0; k < count; k++)
        all[k].group = k;
    group_rows(all, count, tallest);
    mark_rows(pieces, all, count);
    free(all);
}

void nw_lettering_guess(nw_pieces *pieces)
{
    letters_mark(pieces, LETTER_HEIGHT * nw_box_height(art_box(pieces)));
}

size_t nw_pieces_letters(const nw_pieces *pieces, double tallest, bool turned)
{
    nw_pieces kept = {.items = nw_alloc(pieces->count, sizeof *kept.items)};
    size_t letters = 0;
    for (size_t k = 0; kept.items && k < pieces->count; k++) {
        nw_piece piece = pieces->items[k];
        nw_box box = piece.box;
        if (!piece.kept)
            continue;
        if (turned)
            piece.box = (nw_box){{box.min.y, box.min.x}, {box.max.y, box.max.x}};
        piece.guess = NW_PIECE_ART;
        kept.items[kept.count++] = piece;
    }
    letters_mark(&kept, tallest);
    for (size_t k = 0; k < kept.count; k++)
        letters += kept.items[k].guess == NW_PIECE_LETTERING;
    free(kept.items);
    return letters;
}
