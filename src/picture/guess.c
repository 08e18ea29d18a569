/*
 * guess: boxes, areas and holes of pieces -> what each probably is. Nothing is decided here: a
 * guess lets the user drop what he does not want by one word.
 *
 * The measures are rules of thumb, from looking at clip art and scans.
 */
#include <picture/picture.h>

#include <math.h>
#include <stdlib.h>

/* A frame spans the page and is no thicker than this part of its shorter side. */
#define FRAME_SPAN 0.7
#define FRAME_THICK 0.08
/* A shadow at the edge: that long along one side, no thicker than that part of the other. */
#define SHADOW_LONG 0.6
#define SHADOW_THICK 0.15
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
#define LETTER_CANDIDATES 20000 /* beyond, it is a texture and no lettering */

static double width_of(nw_box box)
{
    return box.max.x - box.min.x;
}

static double height_of(nw_box box)
{
    return box.max.y - box.min.y;
}

static bool inside(nw_box inner, nw_box outer)
{
    return inner.min.x >= outer.min.x && inner.min.y >= outer.min.y && inner.max.x <= outer.max.x &&
           inner.max.y <= outer.max.y;
}

/* The thickness of a rectangular ring with this box and area: 2 t (w + h) - 4 t² = area. */
static double ring_thickness(nw_box box, double area)
{
    double half = (width_of(box) + height_of(box)) / 2;
    double root = half * half - area;
    return root > 0 ? (half - sqrt(root)) / 2 : half / 2;
}

static void guess_specks(nw_pieces *pieces, double speck_area)
{
    for (size_t k = 0; k < pieces->count; k++) {
        bool speck = pieces->items[k].area < speck_area;
        pieces->items[k].guess = speck ? NW_PIECE_SPECK : NW_PIECE_ART;
    }
}

static bool is_frame(const nw_pieces *pieces, const nw_piece *piece, nw_box page)
{
    double w = width_of(piece->box), h = height_of(piece->box);
    if (piece->holes == 0 || w < FRAME_SPAN * width_of(page) || h < FRAME_SPAN * height_of(page) ||
        ring_thickness(piece->box, piece->area) > FRAME_THICK * fmin(w, h)) {
        return false;
    }
    size_t within = 0;
    for (size_t k = 0; k < pieces->count; k++) {
        const nw_piece *other = &pieces->items[k];
        if (other == piece || other->guess != NW_PIECE_ART) {
            continue;
        }
        if (!inside(other->box, piece->box)) {
            return false;
        }
        within++;
    }
    return within > 0;
}

static bool touches(nw_box box, nw_box page)
{
    return box.min.x <= page.min.x || box.min.y <= page.min.y || box.max.x >= page.max.x ||
           box.max.y >= page.max.y;
}

/* Long and thin along a side of the page. */
static bool is_shadow(nw_box box, nw_box page)
{
    double w = width_of(box) / width_of(page), h = height_of(box) / height_of(page);
    bool upright = box.min.x <= page.min.x || box.max.x >= page.max.x;
    bool lying = box.min.y <= page.min.y || box.max.y >= page.max.y;
    return (upright && h >= SHADOW_LONG && w <= SHADOW_THICK) ||
           (lying && w >= SHADOW_LONG && h <= SHADOW_THICK);
}

/* What touches the page's edge is a shadow, or cut off. In a picture cut close it is the art: then
 * only long thin strips are guessed to be something else. */
static void guess_edges(nw_pieces *pieces, nw_box page)
{
    double total = 0, cut = 0;
    for (size_t k = 0; k < pieces->count; k++) {
        const nw_piece *piece = &pieces->items[k];
        double area = piece->guess == NW_PIECE_ART ? piece->area : 0;
        total += area;
        cut += touches(piece->box, page) && !is_shadow(piece->box, page) ? area : 0;
    }
    for (size_t k = 0; k < pieces->count; k++) {
        nw_piece *piece = &pieces->items[k];
        if (piece->guess == NW_PIECE_ART && touches(piece->box, page) &&
            (cut < total / 2 || is_shadow(piece->box, page)) && piece->area < total) {
            piece->guess = NW_PIECE_EDGE;
        }
    }
}

/* ---- lettering ----------------------------------------------------------------------------- */

typedef struct {
    size_t piece;
    nw_box box;
    size_t group, size; /* group: another candidate of the same row, or itself */
} candidate;

static int by_left(const void *a, const void *b)
{
    const candidate *p = a, *q = b;
    if (p->box.min.x != q->box.min.x) {
        return p->box.min.x < q->box.min.x ? -1 : 1;
    }
    return p->piece < q->piece ? -1 : p->piece > q->piece;
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
    double a = height_of(left), b = height_of(right), less = fmin(a, b), more = fmax(a, b);
    double shared = fmin(left.max.y, right.max.y) - fmax(left.min.y, right.min.y);
    return more <= LETTER_ALIKE * less && shared >= LETTER_LINE * less &&
           right.min.x - left.max.x <= LETTER_GAP * more;
}

static void group_rows(candidate *all, size_t count, double tallest)
{
    for (size_t k = 0; k < count; k++) {
        for (size_t j = k + 1; j < count; j++) {
            if (all[j].box.min.x - all[k].box.max.x > LETTER_GAP * tallest) {
                break;
            }
            if (same_line(all[k].box, all[j].box)) {
                size_t a = group_of(all, k), b = group_of(all, j);
                all[a > b ? a : b].group = a < b ? a : b;
            }
        }
    }
    for (size_t k = 0; k < count; k++) {
        all[group_of(all, k)].size++;
    }
}

/* The box of everything that may be art. */
static nw_box art_box(const nw_pieces *pieces)
{
    nw_box box = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    for (size_t k = 0; k < pieces->count; k++) {
        const nw_piece *p = &pieces->items[k];
        if (p->guess == NW_PIECE_ART) {
            box.min.x = fmin(box.min.x, p->box.min.x);
            box.min.y = fmin(box.min.y, p->box.min.y);
            box.max.x = fmax(box.max.x, p->box.max.x);
            box.max.y = fmax(box.max.y, p->box.max.y);
        }
    }
    return box;
}

static bool may_be_letter(const nw_piece *piece, double tallest)
{
    double w = width_of(piece->box), h = height_of(piece->box);
    return piece->guess == NW_PIECE_ART && h <= tallest && w <= 3 * h;
}

/* A row under judgement: its pieces, and values of them to be sorted. */
typedef struct {
    const candidate **members;
    double *values;
    size_t count;
    nw_box box;
} row;

static int by_value(const void *a, const void *b)
{
    double p = *(const double *)a, q = *(const double *)b;
    return p < q ? -1 : p > q;
}

static double foot_of(const candidate *c)
{
    return c->box.max.y;
}

static double head_of(const candidate *c)
{
    return c->box.min.y;
}

static double tallness_of(const candidate *c)
{
    return height_of(c->box);
}

static double wideness_of(const candidate *c)
{
    return width_of(c->box);
}

static double median_of(const row *r, double (*value)(const candidate *))
{
    for (size_t i = 0; i < r->count; i++) {
        r->values[i] = value(r->members[i]);
    }
    qsort(r->values, r->count, sizeof *r->values, by_value);
    return r->values[r->count / 2];
}

/* The part of the row whose value is as near as that to the middle one. */
static double part_near(const row *r, double (*value)(const candidate *), double near)
{
    double middle = median_of(r, value);
    size_t count = 0;
    for (size_t i = 0; i < r->count; i++) {
        count += fabs(value(r->members[i]) - middle) <= near;
    }
    return (double)count / (double)r->count;
}

static bool same_width(const candidate *a, const candidate *b)
{
    return fabs(width_of(a->box) - width_of(b->box)) <= LETTER_SAME * width_of(a->box);
}

/* Whether two of the candidates stand straight above or below this one, and are as wide. */
static bool in_column(const candidate *c, const candidate *all, size_t count)
{
    double off = LETTER_SAME * width_of(c->box), reach = LETTER_COLUMN * height_of(c->box);
    size_t found = 0;
    for (size_t k = 0; k < count && all[k].box.min.x <= c->box.min.x + off; k++) {
        found += &all[k] != c && same_width(c, &all[k]) &&
                 fabs(all[k].box.min.x - c->box.min.x) <= off &&
                 fabs(all[k].box.min.y - c->box.min.y) <= reach;
    }
    return found >= 2;
}

/* Letters stand on one line, or hang from one, whichever way y runs; and they differ. */
static bool is_lettering(const row *r, const candidate *all, size_t count)
{
    double tall = median_of(r, tallness_of), wide = median_of(r, wideness_of);
    double near = LETTER_FOOT * tall;
    if (part_near(r, foot_of, near) < LETTER_FEET && part_near(r, head_of, near) < LETTER_FEET) {
        return false;
    }
    size_t same = 0, columns = 0;
    for (size_t i = 0; i < r->count; i++) {
        same += fabs(height_of(r->members[i]->box) - tall) <= LETTER_SAME * tall &&
                fabs(width_of(r->members[i]->box) - wide) <= LETTER_SAME * wide;
        columns += in_column(r->members[i], all, count);
    }
    return (double)same <= LETTER_SAME_MOST * (double)r->count && 2 * columns < r->count;
}

/* Whether it stands over or under a letter of the row: its dot or accent. */
static bool is_mark(const candidate *c, const row *r, double reach)
{
    nw_box box = c->box;
    if (box.min.y < r->box.min.y - reach || box.max.y > r->box.max.y + reach) {
        return false;
    }
    for (size_t i = 0; i < r->count; i++) {
        const nw_box *letter = &r->members[i]->box;
        if (box.min.x < letter->max.x && box.max.x > letter->min.x &&
            box.min.y < letter->max.y + reach && box.max.y > letter->min.y - reach) {
            return true;
        }
    }
    return false;
}

/* The row with its dots and accents. */
static void mark_row(nw_pieces *pieces, const row *r, const candidate *all, size_t count)
{
    double tall = median_of(r, tallness_of);
    for (size_t i = 0; i < r->count; i++) {
        pieces->items[r->members[i]->piece].guess = NW_PIECE_LETTERING;
    }
    for (size_t k = 0; k < count; k++) {
        if (height_of(all[k].box) < tall && is_mark(&all[k], r, LETTER_MARK * tall)) {
            pieces->items[all[k].piece].guess = NW_PIECE_LETTERING;
        }
    }
}

static void gather_row(row *r, candidate *all, size_t count, size_t group)
{
    r->count = 0;
    r->box = all[group].box;
    for (size_t k = group; k < count; k++) {
        if (group_of(all, k) == group) {
            const nw_box *box = &all[k].box;
            r->members[r->count++] = &all[k];
            r->box.min.x = fmin(r->box.min.x, box->min.x);
            r->box.min.y = fmin(r->box.min.y, box->min.y);
            r->box.max.x = fmax(r->box.max.x, box->max.x);
            r->box.max.y = fmax(r->box.max.y, box->max.y);
        }
    }
}

static void mark_rows(nw_pieces *pieces, candidate *all, size_t count)
{
    row r = {.members = nw_alloc(count, sizeof *r.members),
             .values = nw_alloc(count, sizeof *r.values)};
    for (size_t k = 0; r.members && r.values && k < count; k++) {
        if (all[k].group != k || all[k].size < LETTER_LEAST) {
            continue;
        }
        gather_row(&r, all, count, k);
        if (is_lettering(&r, all, count)) {
            mark_row(pieces, &r, all, count);
        }
    }
    free(r.members);
    free(r.values);
}

static void guess_lettering(nw_pieces *pieces)
{
    double tallest = LETTER_HEIGHT * height_of(art_box(pieces));
    size_t count = 0;
    for (size_t k = 0; k < pieces->count; k++) {
        count += may_be_letter(&pieces->items[k], tallest);
    }
    candidate *all = count <= LETTER_CANDIDATES ? nw_alloc(count, sizeof *all) : NULL;
    if (!all) {
        return; /* a guess less is no failure */
    }
    count = 0;
    for (size_t k = 0; k < pieces->count; k++) {
        if (may_be_letter(&pieces->items[k], tallest)) {
            all[count++] = (candidate){.piece = k, .box = pieces->items[k].box};
        }
    }
    qsort(all, count, sizeof *all, by_left);
    for (size_t k = 0; k < count; k++) {
        all[k].group = k;
    }
    group_rows(all, count, tallest);
    mark_rows(pieces, all, count);
    free(all);
}

void nw_pieces_guess(nw_pieces *pieces, nw_box page, double speck_area)
{
    guess_specks(pieces, speck_area);
    for (size_t k = 0; k < pieces->count; k++) {
        if (pieces->items[k].guess == NW_PIECE_ART && is_frame(pieces, &pieces->items[k], page)) {
            pieces->items[k].guess = NW_PIECE_FRAME;
            break; /* all others lie within it */
        }
    }
    guess_edges(pieces, page);
    guess_lettering(pieces);
}
