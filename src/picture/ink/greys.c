/*
 * greys: densities -> whether a picture is one in shades, with edges only here and there.
 *
 * The border between ink and paper is an edge where, not far on either side, there is ink and paper
 * altogether or nearly so, however blurred. That is looked for in squares: the least and the most
 * density of each and of those around it. What noise alone does is none.
 */
#include <picture/ink/ink_levels.h>
#include <picture/picture.h>

#include <stdlib.h>
#include <string.h>

#define SQUARE_PX 4    /* a square's side, at least; and in large pictures */
#define SQUARES 300    /* so many along the longer side */
#define EDGE 153       /* least and most differ by so much near an edge: 0.6 of all */
#define TABLE_EDGE 102 /* the same round a sheet, whose table may be pale */
#define STEP 100       /* so much within three pixels is an edge too: of a flat grey */
#define EDGE_NOISE 4   /* of its deviations on top of that, for squares are many pixels */
#define STEP_NOISE 3   /* the same of a step, which is two */
#define GREY_LEAST 52  /* densities that are neither ink nor paper, */
#define GREY_MOST 203  /* up to here */
#define SOFT_MUCH 0.1  /* of the border is no edge */
#define SOFT_SOME 0.03 /* the same, where also */
#define GREY_SHARE 0.1 /* of the ink's area, or of the paper's, is greys away from edges */

typedef struct {
    const uint8_t *density;
    uint32_t width, height;
    uint32_t side, across, down; /* of squares, and how many */
    uint8_t *least, *most;       /* of each square */
    bool *edge;                  /* of each square: an edge is near */
    double bar;                  /* EDGE or TABLE_EDGE, and what noise adds */
    double noise;                /* of densities */
} squares;

typedef struct {
    uint64_t ink, greys, border, soft;
} grey_counts;

static size_t square_of(const squares *s, uint32_t x, uint32_t y)
{
    return (size_t)(y / s->side) * s->across + x / s->side;
}

void nw_columns_range(const uint8_t *rows, size_t period, uint32_t first, uint32_t end,
                      uint32_t width, uint8_t *restrict least, uint8_t *restrict most)
{
    memset(least, UINT8_MAX, width);
    memset(most, 0, width);
    for (uint32_t y = first; y < end; y++) {
        const uint8_t *restrict row = rows + y % period * width;
        for (uint32_t x = 0; x < width; x++) {
            least[x] = row[x] < least[x] ? row[x] : least[x];
            most[x] = row[x] > most[x] ? row[x] : most[x];
        }
    }
}

/* columns: room for two rows. */
static void squares_fill(squares *s, uint8_t *columns)
{
    for (uint32_t j = 0; j < s->down; j++) {
        uint32_t first = j * s->side;
        uint32_t rows_end = s->height - first < s->side ? s->height : first + s->side;
        nw_columns_range(s->density, s->height, first, rows_end, s->width, columns,
                         columns + s->width);
        size_t k = (size_t)j * s->across;
        for (uint32_t x = 0; x < s->width; k++) {
            uint32_t end = s->width - x < s->side ? s->width : x + s->side;
            uint8_t least = UINT8_MAX, most = 0;
            for (; x < end; x++) {
                uint8_t low = columns[x], high = columns[s->width + x];
                least = low < least ? low : least;
                most = high > most ? high : most;
            }
            s->least[k] = least;
            s->most[k] = most;
        }
    }
}

static bool edge_near(const squares *s, uint32_t i, uint32_t j)
{
    uint8_t least = 255, most = 0;
    for (uint32_t v = j ? j - 1 : 0; v <= j + 1 && v < s->down; v++) {
        for (uint32_t u = i ? i - 1 : 0; u <= i + 1 && u < s->across; u++) {
            size_t k = (size_t)v * s->across + u;
            least = s->least[k] < least ? s->least[k] : least;
            most = s->most[k] > most ? s->most[k] : most;
        }
    }
    return most - least >= s->bar;
}

/* How far the densities go from one side of a border before a pixel to the other. */
static int step_at(const squares *s, uint32_t x, uint32_t y)
{
    uint32_t left = x > 2 ? x - 2 : 0, right = x + 1 < s->width ? x + 1 : x;
    uint32_t up = y > 2 ? y - 2 : 0, down = y + 1 < s->height ? y + 1 : y;
    const uint8_t *row = s->density + (size_t)y * s->width;
    int along = abs(row[right] - row[left]);
    int across =
        abs(s->density[(size_t)down * s->width + x] - s->density[(size_t)up * s->width + x]);
    return along > across ? along : across;
}

static bool is_grey(uint8_t density)
{
    return density >= GREY_LEAST && density <= GREY_MOST;
}

/* Whether eight pixels are neither greys nor at a border. */
static bool eight_are_plain(const squares *s, uint32_t x, uint32_t y)
{
    const uint8_t *row = s->density + (size_t)y * s->width;
    return x && y && nw_eight_alike(row + x) && !is_grey(row[x]) &&
           nw_are_on_side(row + x - s->width, 8, row[x]) && (row[x] ^ row[x - 1]) >> 7 == 0;
}

static void pixel_count(const squares *s, uint32_t x, uint32_t y, grey_counts *counts)
{
    const uint8_t *row = s->density + (size_t)y * s->width;
    bool ink = row[x] >> 7;
    bool border = (x && row[x - 1] >> 7 != ink) ||
                  (y && s->density[(size_t)(y - 1) * s->width + x] >> 7 != ink);
    bool grey = is_grey(row[x]);
    bool soft = (border || grey) && !s->edge[square_of(s, x, y)];
    soft = soft && !(border && step_at(s, x, y) >= STEP + STEP_NOISE * s->noise);
    counts->ink += ink;
    counts->border += border;
    counts->soft += border && soft;
    counts->greys += grey && soft;
}

static void row_count(const squares *s, uint32_t x, uint32_t end, uint32_t y, grey_counts *counts)
{
    while (x < end) {
        if (x + 8 <= end && eight_are_plain(s, x, y)) {
            counts->ink += 8 * (s->density[(size_t)y * s->width + x] >> 7);
            x += 8;
            continue;
        }
        for (uint32_t stop = x + 8 < end ? x + 8 : end; x < stop; x++)
            pixel_count(s, x, y, counts);
    }
}

/* Whether all of the square is ink altogether, or all paper. */
static bool is_plain(const squares *s, size_t k)
{
    return s->least[k] == s->most[k] && (s->least[k] == 0 || s->least[k] == 255);
}

static bool alike(const squares *s, size_t k, size_t other)
{
    return is_plain(s, other) && s->least[k] == s->least[other];
}

/* In a plain square beside one that is alike there is neither a grey nor a border, but in its first
 * row where the one above is not alike. */
static grey_counts greys_count(const squares *s)
{
    grey_counts counts = {0};
    for (size_t k = 0; k < (size_t)s->across * s->down; k++) {
        uint32_t i = (uint32_t)(k % s->across), j = (uint32_t)(k / s->across);
        uint32_t first = i * s->side, y = j * s->side;
        uint32_t last = s->width - first < s->side ? s->width : first + s->side;
        uint32_t end = s->height - y < s->side ? s->height : y + s->side, look = end;
        if (is_plain(s, k) && (!i || alike(s, k, k - 1)))
            look = y + (j && !alike(s, k, k - s->across));
        for (; y < look; y++)
            row_count(s, first, last, y, &counts);
        counts.ink += s->most[k] ? (uint64_t)(end - y) * (last - first) : 0;
    }
    return counts;
}

bool nw_greys_find(const uint8_t *density, uint32_t width, uint32_t height, double noise,
                   bool on_table, bool *failed)
{
    uint32_t longer = width > height ? width : height;
    squares s = {.density = density, .width = width, .height = height, .noise = 255 * noise};
    s.bar = (on_table ? TABLE_EDGE : EDGE) + EDGE_NOISE * s.noise;
    s.side = longer / SQUARES > SQUARE_PX ? longer / SQUARES : SQUARE_PX;
    s.across = (width - 1) / s.side + 1;
    s.down = (height - 1) / s.side + 1;
    size_t count = (size_t)s.across * s.down;
    s.least = nw_alloc(count, 3);
    uint8_t *columns = nw_alloc(width, 2);
    *failed = !s.least || !columns;
    if (*failed) {
        free(s.least);
        free(columns);
        return false;
    }
    s.most = s.least + count;
    s.edge = (bool *)(s.most + count);
    squares_fill(&s, columns);
    free(columns);
    for (uint32_t j = 0; j < s.down; j++)
        for (uint32_t i = 0; i < s.across; i++)
            s.edge[(size_t)j * s.across + i] = edge_near(&s, i, j);
    grey_counts counts = greys_count(&s);
    free(s.least);
    uint64_t all = (uint64_t)width * height, paper = all - counts.ink;
    uint64_t part = counts.ink < paper ? counts.ink : paper;
    double soft = counts.border ? (double)counts.soft / (double)counts.border : 0;
    return soft > SOFT_MUCH ||
           (soft > SOFT_SOME && (double)counts.greys > GREY_SHARE * (double)part);
}
