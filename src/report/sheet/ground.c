/*
 * ground: which cells of the sheet are covered by what, and ways between them: of least cost
 * (Dijkstra, A note on two problems in connexion with graphs, 1959), pulled straight where that
 * costs no more.
 */
#include <report/sheet/ground.h>
#include <report/sheet/pen.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CELLS_MOST 160000.0
#define NOWHERE UINT32_MAX
#define ON_BORDER 1e-5 /* cells: on a border is beyond it, whatever the last bits are */
/* What a cell costs to cross, beside 1: a long way round is better than a short one through. */
#define COST_ART 60
#define COST_LINE 60
#define COST_TAKEN 1000
#define COST_SHY 1
#define STEP 5 /* from cell to cell, and aslant: about 1 to the root of 2 */
#define STEP_ASLANT 7
#define SLACK 1 /* cells that a straight line may cost more than the way that it replaces */

static bool ground_alloc(report_ground *ground)
{
    size_t count = ground->columns * ground->rows;
    ground->marks = nw_alloc(count, sizeof *ground->marks);
    ground->filled = nw_alloc((ground->columns + 1) * (ground->rows + 1), sizeof *ground->filled);
    ground->from = nw_alloc(count, sizeof *ground->from);
    ground->cost = nw_alloc(count, sizeof *ground->cost);
    ground->trail = nw_alloc_raw(count, sizeof *ground->trail);
    ground->spans = nw_alloc(2 * (ground->columns + ground->rows), sizeof *ground->spans);
    return ground->marks && ground->filled && ground->from && ground->cost && ground->trail &&
           ground->spans;
}

bool nw_report_ground_make(report_ground *ground, nw_box box, double cell)
{
    double wide = nw_box_width(box), high = nw_box_height(box);
    cell = fmax(cell, sqrt(wide * high / CELLS_MOST));
    *ground = (report_ground){.corner = box.min,
                              .cell = cell,
                              .columns = (size_t)ceil(wide / cell - ON_BORDER) + 1,
                              .rows = (size_t)ceil(high / cell - ON_BORDER) + 1};
    return ground_alloc(ground);
}

bool nw_report_ground_copy(report_ground *ground, const report_ground *other)
{
    *ground = (report_ground){.corner = other->corner,
                              .cell = other->cell,
                              .columns = other->columns,
                              .rows = other->rows};
    bool good = ground_alloc(ground);
    if (good)
        memcpy(ground->marks, other->marks, ground->columns * ground->rows * sizeof *ground->marks);
    return good;
}

void nw_report_ground_free(report_ground *ground)
{
    free(ground->marks);
    free(ground->filled);
    free(ground->from);
    free(ground->cost);
    free(ground->trail);
    free(ground->visits);
    free(ground->spans);
    *ground = (report_ground){.marks = NULL};
}

/* ---- marks ---------------------------------------------------------------------------------- */

static size_t index_of(double at, size_t count)
{
    at += ON_BORDER;
    return at <= 0 ? 0 : at >= (double)count ? count - 1 : (size_t)at;
}

static size_t column_of(const report_ground *ground, double x)
{
    return index_of((x - ground->corner.x) / ground->cell, ground->columns);
}

static size_t row_of(const report_ground *ground, double y)
{
    return index_of((y - ground->corner.y) / ground->cell, ground->rows);
}

static size_t cell_at(const report_ground *ground, nw_point p)
{
    return row_of(ground, p.y) * ground->columns + column_of(ground, p.x);
}

static nw_point middle_of(const report_ground *ground, size_t cell)
{
    return (nw_point){ground->corner.x + ((double)(cell % ground->columns) + 0.5) * ground->cell,
                      ground->corner.y + ((double)(cell / ground->columns) + 0.5) * ground->cell};
}

static size_t steps_of(const report_ground *ground, nw_point a, nw_point b)
{
    return (size_t)ceil(4 * nw_distance(a, b) / ground->cell) + 1;
}

static void cells_mark(report_ground *ground, size_t row, size_t end_row, size_t column,
                       size_t end_column, int mark)
{
    for (size_t r = row; r <= end_row; r++)
        for (size_t c = column; c <= end_column; c++)
            ground->marks[r * ground->columns + c] |= (uint8_t)mark;
}

/* Most lines lie in one row or column; of the others places are taken, four to a cell. */
void nw_report_ground_line(report_ground *ground, nw_point a, nw_point b, int mark)
{
    size_t row = row_of(ground, a.y), end_row = row_of(ground, b.y);
    size_t column = column_of(ground, a.x), end_column = column_of(ground, b.x);
    if (row == end_row || column == end_column) {
        cells_mark(ground, row < end_row ? row : end_row, row < end_row ? end_row : row,
                   column < end_column ? column : end_column,
                   column < end_column ? end_column : column, mark);
        return;
    }
    size_t steps = steps_of(ground, a, b);
    for (size_t i = 0; i <= steps; i++) {
        nw_point p = nw_plus(a, nw_minus(b, a), (double)i / (double)steps);
        ground->marks[cell_at(ground, p)] |= (uint8_t)mark;
    }
}

void nw_report_ground_clear(report_ground *ground, int marks)
{
    for (size_t i = 0; i < ground->columns * ground->rows; i++)
        ground->marks[i] &= (uint8_t)~marks;
}

void nw_report_ground_box(report_ground *ground, nw_box box, int mark)
{
    cells_mark(ground, row_of(ground, box.min.y), row_of(ground, box.max.y),
               column_of(ground, box.min.x), column_of(ground, box.max.x), mark);
}

void nw_report_ground_disc(report_ground *ground, nw_point centre, double radius, int mark)
{
    for (double y = -radius; y < radius + ground->cell; y += ground->cell) {
        double half = sqrt(fmax(0, radius * radius - y * y));
        nw_report_ground_line(ground, (nw_point){centre.x - half, centre.y + y},
                              (nw_point){centre.x + half, centre.y + y}, mark);
    }
}

/* Turns over all cells of each row that lie right of the line, once for each line that its middle
 * crosses: what is turned an odd number of times is inside. */
static void turn_over(report_ground *ground, nw_point a, nw_point b, int mark)
{
    nw_point low = a.y < b.y ? a : b, high = a.y < b.y ? b : a;
    double first = ceil((low.y - ground->corner.y) / ground->cell - 0.5);
    for (double r = fmax(first, 0); r < (double)ground->rows; r++) {
        double y = ground->corner.y + (r + 0.5) * ground->cell;
        if (y >= high.y)
            break;
        double x = low.x + (high.x - low.x) * (y - low.y) / (high.y - low.y);
        double c = fmax(0, ceil((x - ground->corner.x) / ground->cell - 0.5));
        for (size_t k = (size_t)c; k < ground->columns; k++)
            ground->marks[(size_t)r * ground->columns + k] ^= (uint8_t)mark;
    }
}

static void region_each(report_ground *ground, const nw_region *region, report_frame place,
                        int mark, void (*act)(report_ground *, nw_point, nw_point, int))
{
    for (size_t k = 0; k < region->count; k++) {
        size_t first = region->starts[k], end = region->starts[k + 1];
        nw_point from = nw_report_placed(region->points[first], &place);
        for (size_t i = first; i < end; i++) {
            nw_point to = nw_report_placed(region->points[i + 1 < end ? i + 1 : first], &place);
            act(ground, from, to, mark);
            from = to;
        }
    }
}

/* Beside the art: leaders and lettering keep a cell off it where they can. */
static void edges_mark(report_ground *ground, int mark)
{
    size_t wide = ground->columns;
    for (size_t i = 0; i + wide < wide * ground->rows; i++) {
        const size_t others[] = {i + wide, i % wide + 1 < wide ? i + 1 : i};
        for (int k = 0; k < 2; k++) {
            size_t a = i, b = others[k];
            if ((ground->marks[a] ^ ground->marks[b]) & mark)
                ground->marks[ground->marks[a] & mark ? b : a] |= GROUND_SHY;
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
                             int mark)
{
    region_each(ground, region, place, mark, turn_over);
    region_each(ground, region, place, mark, nw_report_ground_line);
    edges_mark(ground, mark);
}

/* ---- free boxes (summed areas: Crow 1984) --------------------------------------------------- */

void nw_report_ground_count(report_ground *ground, int marks)
{
    ground->counted = marks;
    size_t wide = ground->columns + 1;
    for (size_t r = 0; r < ground->rows; r++) {
        uint32_t sum = 0;
        for (size_t c = 0; c < ground->columns; c++) {
            sum += (ground->marks[r * ground->columns + c] & marks) != 0;
            ground->filled[(r + 1) * wide + c + 1] = ground->filled[r * wide + c + 1] + sum;
        }
    }
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

/* What a box from least to most about the middle of a column, or row, covers of them. */
static ground_span span_about(double corner, double cell, size_t count, size_t at, double least,
                              double most)
{
    double middle = corner + ((double)at + 0.5) * cell, from = middle + least, to = middle + most;
    if (from < corner || to > corner + (double)count * cell)
        return (ground_span){0, 0};
    return (ground_span){(uint32_t)index_of((from - corner) / cell, count),
                         (uint32_t)index_of((to - corner) / cell, count) + 1};
}

/* Of the one box and the other, what they cover about each column, and then about each row. */
static void spans_fill(report_ground *ground, const nw_box boxes[2])
{
    ground_span *span = ground->spans;
    for (int k = 0; k < 2; k++) {
        nw_box box = boxes[k];
        for (size_t c = 0; c < ground->columns; c++)
            *span++ = span_about(ground->corner.x, ground->cell, ground->columns, c, box.min.x,
                                 box.max.x);
        for (size_t r = 0; r < ground->rows; r++)
            *span++ =
                span_about(ground->corner.y, ground->cell, ground->rows, r, box.min.y, box.max.y);
    }
}

/* Whether all of a box about the cell is on the ground and nothing in it was counted. */
static bool is_free(const report_ground *ground, size_t box, size_t column, size_t row)
{
    const ground_span *spans = ground->spans + box * (ground->columns + ground->rows);
    ground_span across = spans[column], down = spans[ground->columns + row];
    size_t low = (ground->columns + 1) * down.end, top = (ground->columns + 1) * down.first;
    const uint32_t *filled = ground->filled;
    return across.end && down.end &&
           filled[low + across.end] + filled[top + across.first] ==
               filled[top + across.end] + filled[low + across.first];
}

/* ---- the search ----------------------------------------------------------------------------- */

static uint32_t crossing_cost(int marks)
{
    return 1 + (marks & GROUND_ART ? COST_ART : 0) + (marks & GROUND_LINE ? COST_LINE : 0) +
           (marks & GROUND_TAKEN ? COST_TAKEN : 0) + (marks & GROUND_SHY ? COST_SHY : 0);
}

#define AROUND 8 /* cells */

/* Makes room for so many more. */
static bool visits_room(report_ground *ground, size_t more)
{
    size_t needed = ground->visit_count + more;
    return needed <= ground->visit_capacity ||
           nw_grow(&ground->visits, &ground->visit_capacity, needed, sizeof *ground->visits);
}

/* Costs are whole numbers, so that what waits lies in a list for each (Dial, Algorithm 360:
 * shortest-path forest with topological ordering, 1969). There is room for it. */
static void visit_push(report_ground *ground, uint32_t cell, uint32_t cost, uint32_t from)
{
    ground->cost[cell] = cost;
    ground->from[cell] = from;
    uint32_t *first = &ground->waiting[cost % GROUND_WAITING];
    ground->visits[ground->visit_count] = (ground_visit){cell, *first};
    *first = (uint32_t)ground->visit_count++;
    ground->waiting_count++;
}

/* The next cell of this cost or more. */
static uint32_t visit_pop(report_ground *ground, uint32_t *cost)
{
    while (ground->waiting[*cost % GROUND_WAITING] == NOWHERE)
        ++*cost;
    uint32_t *first = &ground->waiting[*cost % GROUND_WAITING];
    ground_visit visit = ground->visits[*first];
    *first = visit.next;
    ground->waiting_count--;
    return visit.cell;
}

/* The cells around one, row by row. */
static const struct {
    int down, across;
    uint32_t step;
} around[AROUND] = {{-1, -1, STEP_ASLANT}, {-1, 0, STEP},      {-1, 1, STEP_ASLANT},
                    {0, -1, STEP},         {0, 1, STEP},       {1, -1, STEP_ASLANT},
                    {1, 0, STEP},          {1, 1, STEP_ASLANT}};

static bool is_beyond(const report_ground *ground, uint32_t cell, int k)
{
    int wide = (int)ground->columns, high = (int)ground->rows;
    int column = (int)cell % wide + around[k].across, row = (int)cell / wide + around[k].down;
    return column < 0 || column >= wide || row < 0 || row >= high;
}

static bool neighbours_push(report_ground *ground, uint32_t cell, uint32_t cost)
{
    uint32_t wide = (uint32_t)ground->columns, column = cell % wide;
    bool within = column > 0 && column + 1 < wide && cell >= wide &&
                  cell + wide < wide * (uint32_t)ground->rows;
    const uint32_t over = cell - wide, under = cell + wide, *costs = ground->cost;
    const uint32_t beside[AROUND] = {over - 1, over,      over + 1, cell - 1,
                                     cell + 1, under - 1, under,    under + 1};
    if (!visits_room(ground, AROUND))
        return false;
    for (int k = 0; k < AROUND; k++) {
        if (!within && is_beyond(ground, cell, k))
            continue;
        uint32_t next = beside[k], known = costs[next], step = around[k].step;
        if (known <= cost + step)
            continue;
        uint32_t reached = cost + step * ground->crossing[ground->marks[next]];
        if (reached < known)
            visit_push(ground, next, reached, cell);
    }
    return true;
}

#define ROUNDING 1e-9 /* of a cost, and more */

/* Whether a straight line costs no more than this. */
static bool line_within(const report_ground *ground, nw_point a, nw_point b, double most)
{
    size_t steps = steps_of(ground, a, b);
    double length = nw_distance(a, b), cost = 0;
    double enough = most * (double)steps * ground->cell / (STEP * length) * (1 + ROUNDING);
    for (size_t i = 1; i <= steps && !(cost > enough); i++)
        cost += ground->crossing[ground->marks[cell_at(
            ground, nw_plus(a, nw_minus(b, a), (double)i / (double)steps))]];
    return STEP * cost / (double)steps * length / ground->cell <= most;
}

/* From the place back to the end: from each point as far as a straight line costs no more. */
static size_t way_pull(const report_ground *ground, uint32_t place, nw_point end, nw_point *way,
                       size_t most)
{
    size_t count = 0, cells = 0;
    for (uint32_t k = place; k != NOWHERE; k = ground->from[k])
        ground->trail[cells++] = k;
    way[count++] = middle_of(ground, place);
    for (size_t at = 0; at + 1 < cells && count + 1 < most;) {
        uint32_t cost = ground->cost[ground->trail[at]];
        size_t next = cells - 1;
        for (; next > at + 1; next--) {
            uint32_t k = ground->trail[next];
            nw_point to = next + 1 < cells ? middle_of(ground, k) : end;
            if (line_within(ground, way[count - 1], to, cost - ground->cost[k] + STEP * SLACK))
                break;
        }
        at = next;
        if (at + 1 < cells)
            way[count++] = middle_of(ground, ground->trail[at]);
    }
    way[count++] = end;
    for (size_t i = 0; i < count / 2; i++) {
        nw_point held = way[i];
        way[i] = way[count - 1 - i];
        way[count - 1 - i] = held;
    }
    return count;
}

/* The boxes lie round the cell, so that a counted one has no room. */
static bool has_room(const report_ground *ground, uint32_t cell, bool *second)
{
    if (ground->marks[cell] & ground->counted)
        return false;
    size_t column = cell % ground->columns, row = cell / ground->columns;
    *second = !is_free(ground, 0, column, row);
    return !*second || is_free(ground, 1, column, row);
}

bool nw_report_ground_search(report_ground *ground, const nw_point ends[2], const nw_box boxes[2],
                             nw_point *way, size_t most, size_t *count, bool *second)
{
    memset(ground->cost, UINT8_MAX, ground->columns * ground->rows * sizeof *ground->cost);
    memset(ground->waiting, UINT8_MAX, sizeof ground->waiting);
    ground->visit_count = ground->waiting_count = 0;
    *count = 0;
    spans_fill(ground, boxes);
    for (int marks = 0; marks < GROUND_MARKS; marks++)
        ground->crossing[marks] = crossing_cost(marks);
    uint32_t starts[2], cost = 0;
    bool good = visits_room(ground, 2);
    for (int i = 0; good && i < 2; i++) {
        starts[i] = (uint32_t)cell_at(ground, ends[i]);
        if (i == 0 || starts[1] != starts[0])
            visit_push(ground, starts[i], 0, NOWHERE);
    }
    while (good && ground->waiting_count) {
        uint32_t cell = visit_pop(ground, &cost);
        if (cost > ground->cost[cell])
            continue;
        if (has_room(ground, cell, second)) {
            uint32_t root = cell;
            while (ground->from[root] != NOWHERE)
                root = ground->from[root];
            *count = way_pull(ground, cell, ends[root != starts[0]], way, most);
            return true;
        }
        good = neighbours_push(ground, cell, cost);
    }
    return good;
}
