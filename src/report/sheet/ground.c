/*
 * ground: which cells of the sheet are covered by what.
 */
#include <report/sheet/ground.h>
#include <report/sheet/pen.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CELLS_MOST 160000.0
#define ON_BORDER 1e-5 /* cells */

/* What searches need beside the marks. */
static bool ways_alloc(report_ground *ground)
{
    size_t count = ground->columns * ground->rows;
    ground->walls = nw_alloc(count, sizeof *ground->walls);
    ground->filled = nw_alloc((ground->columns + 1) * (ground->rows + 1), sizeof *ground->filled);
    ground->from = nw_alloc_raw(count, sizeof *ground->from);
    ground->cost = nw_alloc_raw(count, sizeof *ground->cost);
    ground->home = nw_alloc(count, sizeof *ground->home);
    ground->words = ground->columns * GROUND_FINE / 64 + 1;
    ground->art = nw_alloc(ground->rows * GROUND_FINE * ground->words, sizeof *ground->art);
    ground->spans = nw_alloc(2 * (ground->columns + ground->rows), sizeof *ground->spans);
    if (ground->cost)
        memset(ground->cost, UINT8_MAX, count * sizeof *ground->cost);
    return ground->walls && ground->filled && ground->from && ground->cost && ground->home &&
           ground->spans && ground->art;
}

bool nw_report_ground_make(report_ground *ground, nw_box box, double cell, bool ways)
{
    double wide = nw_box_width(box), high = nw_box_height(box);
    cell = fmax(cell, sqrt(wide * high / CELLS_MOST));
    *ground = (report_ground){.corner = box.min,
                              .cell = cell,
                              .columns = (size_t)ceil(wide / cell - ON_BORDER) + 1,
                              .rows = (size_t)ceil(high / cell - ON_BORDER) + 1};
    size_t count = ground->columns * ground->rows;
    ground->marks = nw_alloc(count, sizeof *ground->marks);
    ground->trail = nw_alloc_raw(count, sizeof *ground->trail);
    return ground->marks && ground->trail && (!ways || ways_alloc(ground));
}

bool nw_report_ground_copy(report_ground *ground, const report_ground *other)
{
    size_t count = other->columns * other->rows;
    *ground = (report_ground){.corner = other->corner,
                              .cell = other->cell,
                              .columns = other->columns,
                              .rows = other->rows,
                              .marks = nw_alloc_raw(count, sizeof *ground->marks)};
    if (ground->marks)
        memcpy(ground->marks, other->marks, count * sizeof *ground->marks);
    return ground->marks;
}

void nw_report_ground_free(report_ground *ground)
{
    free(ground->marks);
    free(ground->walls);
    free(ground->filled);
    free(ground->from);
    free(ground->cost);
    free(ground->home);
    free(ground->trail);
    free(ground->art);
    free(ground->visits);
    free(ground->spans);
    *ground = (report_ground){.marks = NULL};
}

/* ---- marks ---------------------------------------------------------------------------------- */

static size_t column_of(const report_ground *ground, double x)
{
    return nw_report_ground_index((x - ground->corner.x) / ground->cell, ground->columns);
}

static size_t row_of(const report_ground *ground, double y)
{
    return nw_report_ground_index((y - ground->corner.y) / ground->cell, ground->rows);
}

size_t nw_report_ground_cell(const report_ground *ground, nw_point p)
{
    return row_of(ground, p.y) * ground->columns + column_of(ground, p.x);
}

static void row_mark(report_ground *ground, size_t row, size_t a, size_t b, int mark)
{
    uint8_t *marks = ground->marks + row * ground->columns;
    for (size_t c = a < b ? a : b, end = a < b ? b : a; c <= end; c++)
        marks[c] |= (uint8_t)mark;
}

/* In each row from where the line enters it to where it leaves it. */
void nw_report_ground_line(report_ground *ground, nw_point a, nw_point b, int mark)
{
    nw_point low = a.y < b.y ? a : b, high = a.y < b.y ? b : a, corner = ground->corner;
    size_t row = row_of(ground, low.y), end = row_of(ground, high.y);
    size_t column = column_of(ground, low.x), last = column_of(ground, high.x);
    double slope = (high.x - low.x) / (high.y - low.y);
    for (; row < end; row++) {
        double y = corner.y + (double)(row + 1) * ground->cell;
        size_t left = column == last ? last : column_of(ground, low.x + slope * (y - low.y));
        row_mark(ground, row, column, left, mark);
        column = left;
    }
    row_mark(ground, row, column, last, mark);
}

void nw_report_ground_clear(report_ground *ground, int marks)
{
    for (size_t i = 0; i < ground->columns * ground->rows; i++)
        ground->marks[i] &= (uint8_t)~marks;
}

void nw_report_ground_box(report_ground *ground, nw_box box, int mark)
{
    size_t column = column_of(ground, box.min.x), last = column_of(ground, box.max.x);
    for (size_t row = row_of(ground, box.min.y); row <= row_of(ground, box.max.y); row++)
        row_mark(ground, row, column, last, mark);
}

void nw_report_ground_disc(report_ground *ground, nw_point centre, double radius, int mark)
{
    for (double y = -radius; y < radius + ground->cell; y += ground->cell) {
        double half = sqrt(fmax(0, radius * radius - y * y));
        nw_report_ground_line(ground, (nw_point){centre.x - half, centre.y + y},
                              (nw_point){centre.x + half, centre.y + y}, mark);
    }
}

/* Notes in each row, or column, the first cell whose middle lies beyond the line: that there is a
 * wall before it; and that all from there on in the row are to be turned over, once for each line:
 * what is turned an odd number of times is inside. */
static void crossings_note(report_ground *ground, nw_point a, nw_point b, int mark, bool columns)
{
    nw_point corner = ground->corner;
    size_t count = ground->rows, most = ground->columns;
    if (columns) {
        a = (nw_point){a.y, a.x};
        b = (nw_point){b.y, b.x};
        corner = (nw_point){corner.y, corner.x};
        count = ground->columns;
        most = ground->rows;
    }
    nw_point low = a.y < b.y ? a : b, high = a.y < b.y ? b : a;
    double first = ceil((low.y - corner.y) / ground->cell - 0.5);
    for (double r = fmax(first, 0); r < (double)count; r++) {
        double y = corner.y + (r + 0.5) * ground->cell;
        if (y >= high.y)
            break;
        double x = low.x + (high.x - low.x) * (y - low.y) / (high.y - low.y);
        double c = fmax(0, ceil((x - corner.x) / ground->cell - 0.5));
        if (c >= (double)most)
            continue;
        size_t cell = columns ? (size_t)c * ground->columns + (size_t)r
                              : (size_t)r * ground->columns + (size_t)c;
        if (!columns)
            ground->trail[cell] ^= (uint32_t)mark;
        if (ground->walls && mark & GROUND_ART)
            ground->walls[cell] |= columns ? GROUND_COLUMN : GROUND_ROW;
    }
}

/* As above for the bits of the art, a row of them at a time. */
static void art_note(report_ground *ground, nw_point a, nw_point b)
{
    double fine = ground->cell / GROUND_FINE, most = (double)(ground->columns * GROUND_FINE);
    nw_point low = a.y < b.y ? a : b, high = a.y < b.y ? b : a;
    double first = ceil((low.y - ground->corner.y) / fine - 0.5);
    for (double r = fmax(first, 0); r < (double)(ground->rows * GROUND_FINE); r++) {
        double y = ground->corner.y + (r + 0.5) * fine;
        if (y >= high.y)
            break;
        double x = low.x + (high.x - low.x) * (y - low.y) / (high.y - low.y);
        double c = fmax(0, ceil((x - ground->corner.x) / fine - 0.5));
        if (c < most)
            ground->art[(size_t)r * ground->words + (size_t)c / 64] ^= UINT64_C(1)
                                                                       << (size_t)c % 64;
    }
}

/* Turns over all bits from each noted one on. */
static void art_turn(report_ground *ground)
{
    for (size_t r = 0; r < ground->rows * GROUND_FINE; r++) {
        uint64_t turned = 0;
        for (size_t w = 0; w < ground->words; w++) {
            uint64_t *bits = &ground->art[r * ground->words + w];
            for (int by = 1; by < 64; by *= 2)
                *bits ^= *bits << by;
            *bits ^= turned;
            turned = *bits >> 63 ? UINT64_MAX : 0;
        }
    }
}

static void turn_over(report_ground *ground)
{
    for (size_t r = 0, k = 0; r < ground->rows; r++) {
        uint32_t turned = 0;
        for (size_t c = 0; c < ground->columns; c++, k++)
            ground->marks[k] |= (uint8_t)(turned ^= ground->trail[k]);
    }
}

/* Lines above, below or right of the ground have nothing to do with it; those left of it tell what
 * is inside. */
static void edge_note(report_ground *ground, nw_point a, nw_point b, int area, int line)
{
    nw_point least = ground->corner;
    nw_point most = {least.x + (double)ground->columns * ground->cell,
                     least.y + (double)ground->rows * ground->cell};
    if ((a.y < least.y && b.y < least.y) || (a.y > most.y && b.y > most.y) ||
        (a.x > most.x && b.x > most.x))
        return;
    crossings_note(ground, a, b, area, false);
    if (ground->art && area & GROUND_ART) {
        crossings_note(ground, a, b, area, true);
        art_note(ground, a, b);
    }
    if (a.x >= least.x || b.x >= least.x)
        nw_report_ground_line(ground, a, b, line);
}

/* Beside outlines: leaders and lettering keep a cell off it where they can. */
static void edges_mark(report_ground *ground)
{
    size_t wide = ground->columns;
    for (size_t i = 0; i + wide < wide * ground->rows; i++) {
        const size_t others[] = {i + wide, i % wide + 1 < wide ? i + 1 : i};
        for (int k = 0; k < 2; k++) {
            size_t a = i, b = others[k];
            if ((ground->marks[a] ^ ground->marks[b]) & GROUND_EDGE)
                ground->marks[ground->marks[a] & GROUND_EDGE ? b : a] |= GROUND_SHY;
        }
    }
}

bool nw_report_ground_flatten(const report_ground *ground, const nw_drawing *drawing, double scale,
                              nw_region *region)
{
    return nw_drawing_flatten_places(drawing, ground->cell / 4 / scale, 0, region, NULL, NULL,
                                     NULL) == NW_OK;
}

void nw_report_ground_region(report_ground *ground, const nw_region *region, report_frame place,
                             int area, int line)
{
    memset(ground->trail, 0, ground->columns * ground->rows * sizeof *ground->trail);
    if (ground->art && area & GROUND_ART)
        memset(ground->art, 0, ground->rows * GROUND_FINE * ground->words * sizeof *ground->art);
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], end = region->starts[k + 1];
        nw_point from = nw_report_placed(region->points[first], &place);
        for (size_t i = first; i < end; i++) {
            nw_point to = nw_report_placed(region->points[i + 1 < end ? i + 1 : first], &place);
            edge_note(ground, from, to, area, line);
            from = to;
        }
    }
    turn_over(ground);
    if (ground->art && area & GROUND_ART)
        art_turn(ground);
    edges_mark(ground);
}

static bool is_on(const report_ground *ground, nw_box box)
{
    nw_point size = {(double)ground->columns, (double)ground->rows}, corner = ground->corner;
    return nw_box_surrounds((nw_box){corner, nw_plus(corner, size, ground->cell)}, box);
}

bool nw_report_ground_is_clear(const report_ground *ground, nw_box box, int marks)
{
    if (!is_on(ground, box))
        return false;
    size_t last = column_of(ground, box.max.x), end = row_of(ground, box.max.y);
    for (size_t r = row_of(ground, box.min.y); r <= end; r++)
        for (size_t c = column_of(ground, box.min.x); c <= last; c++)
            if (ground->marks[r * ground->columns + c] & marks)
                return false;
    return true;
}
