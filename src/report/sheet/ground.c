/*
 * ground: which cells of the sheet are covered by what, and ways between them: of least cost
 * (Dijkstra, A note on two problems in connexion with graphs, 1959), pulled straight where that
 * costs no more.
 */
#include <report/sheet/ground.h>
#include <report/sheet/pen.h>

#include <math.h>
#include <stdlib.h>

#define CELLS_MOST 160000.0
#define NOWHERE UINT32_MAX
/* What a cell costs to cross, beside 1: a long way round is better than a short one through. */
#define COST_ART 60
#define COST_LINE 60
#define COST_TAKEN 1000
#define COST_SHY 1
#define SLACK 1 /* cells that a straight line may cost more than the way that it replaces */

bool nw_report_ground_make(report_ground *ground, nw_box box, double cell)
{
    double wide = nw_box_width(box), high = nw_box_height(box);
    cell = fmax(cell, sqrt(wide * high / CELLS_MOST));
    *ground = (report_ground){.corner = box.min,
                              .cell = cell,
                              .columns = (size_t)ceil(wide / cell) + 1,
                              .rows = (size_t)ceil(high / cell) + 1};
    size_t count = ground->columns * ground->rows;
    ground->marks = nw_alloc(count, sizeof *ground->marks);
    ground->filled = nw_alloc((ground->columns + 1) * (ground->rows + 1), sizeof *ground->filled);
    ground->from = nw_alloc(count, sizeof *ground->from);
    ground->cost = nw_alloc(count, sizeof *ground->cost);
    return ground->marks && ground->filled && ground->from && ground->cost;
}

void nw_report_ground_free(report_ground *ground)
{
    free(ground->marks);
    free(ground->filled);
    free(ground->from);
    free(ground->cost);
    free(ground->visits);
    *ground = (report_ground){.marks = NULL};
}

/* ---- marks ---------------------------------------------------------------------------------- */

static size_t index_of(double at, size_t count)
{
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

void nw_report_ground_line(report_ground *ground, nw_point a, nw_point b, int mark)
{
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
    size_t last = column_of(ground, box.max.x), end = row_of(ground, box.max.y);
    for (size_t r = row_of(ground, box.min.y); r <= end; r++)
        for (size_t c = column_of(ground, box.min.x); c <= last; c++)
            ground->marks[r * ground->columns + c] |= (uint8_t)mark;
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
        for (size_t i = first; i < end; i++)
            act(ground, nw_report_placed(region->points[i], &place),
                nw_report_placed(region->points[i + 1 < end ? i + 1 : first], &place), mark);
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

bool nw_report_ground_drawing(report_ground *ground, const nw_drawing *drawing, report_frame place,
                              int mark)
{
    nw_region region = {0};
    size_t crossings;
    if (nw_drawing_flatten_places(drawing, ground->cell / 4 / place.scale, 0, &region, NULL,
                                  &crossings, NULL) != NW_OK)
        return false;
    region_each(ground, &region, place, mark, turn_over);
    region_each(ground, &region, place, mark, nw_report_ground_line);
    edges_mark(ground, mark);
    nw_region_free(&region);
    return true;
}

/* ---- free boxes (summed areas: Crow 1984) --------------------------------------------------- */

void nw_report_ground_count(report_ground *ground, int marks)
{
    size_t wide = ground->columns + 1;
    for (size_t r = 0; r < ground->rows; r++) {
        uint32_t sum = 0;
        for (size_t c = 0; c < ground->columns; c++) {
            sum += (ground->marks[r * ground->columns + c] & marks) != 0;
            ground->filled[(r + 1) * wide + c + 1] = ground->filled[r * wide + c + 1] + sum;
        }
    }
}

bool nw_report_ground_is_free(const report_ground *ground, nw_box box)
{
    double right = ground->corner.x + (double)ground->columns * ground->cell;
    double below = ground->corner.y + (double)ground->rows * ground->cell;
    if (box.min.x < ground->corner.x || box.min.y < ground->corner.y || box.max.x > right ||
        box.max.y > below)
        return false;
    size_t wide = ground->columns + 1;
    size_t left = column_of(ground, box.min.x), top = row_of(ground, box.min.y);
    size_t end = column_of(ground, box.max.x) + 1, low = row_of(ground, box.max.y) + 1;
    const uint32_t *filled = ground->filled;
    return filled[low * wide + end] + filled[top * wide + left] ==
           filled[top * wide + end] + filled[low * wide + left];
}

/* ---- the search ----------------------------------------------------------------------------- */

static double crossing_cost(const report_ground *ground, size_t cell)
{
    int marks = ground->marks[cell];
    return 1 + (marks & GROUND_ART ? COST_ART : 0) + (marks & GROUND_LINE ? COST_LINE : 0) +
           (marks & GROUND_TAKEN ? COST_TAKEN : 0) + (marks & GROUND_SHY ? COST_SHY : 0);
}

static bool is_before(ground_visit a, ground_visit b)
{
    return a.cost != b.cost ? a.cost < b.cost : a.cell < b.cell;
}

static void swap(ground_visit *a, ground_visit *b)
{
    ground_visit held = *a;
    *a = *b;
    *b = held;
}

static bool visit_push(report_ground *ground, uint32_t cell, double cost, uint32_t from)
{
    if (!(cost < ground->cost[cell]))
        return true;
    ground->cost[cell] = cost;
    ground->from[cell] = from;
    ground_visit visit = {cost, cell};
    if (!nw_push(&ground->visits, &ground->visit_count, &ground->visit_capacity, &visit,
                 sizeof visit))
        return false;
    ground_visit *heap = ground->visits;
    for (size_t k = ground->visit_count - 1; k && is_before(heap[k], heap[(k - 1) / 2]);
         k = (k - 1) / 2)
        swap(&heap[k], &heap[(k - 1) / 2]);
    return true;
}

static ground_visit visit_pop(report_ground *ground)
{
    ground_visit *heap = ground->visits, top = heap[0];
    size_t count = --ground->visit_count;
    heap[0] = heap[count];
    for (size_t k = 0, child; (child = 2 * k + 1) < count; k = child) {
        child += child + 1 < count && is_before(heap[child + 1], heap[child]);
        if (!is_before(heap[child], heap[k]))
            break;
        swap(&heap[child], &heap[k]);
    }
    return top;
}

static bool neighbours_push(report_ground *ground, ground_visit visit)
{
    long column = (long)(visit.cell % ground->columns), row = (long)(visit.cell / ground->columns);
    for (long dy = -1; dy <= 1; dy++) {
        for (long dx = -1; dx <= 1; dx++) {
            long c = column + dx, r = row + dy;
            if ((!dx && !dy) || c < 0 || r < 0 || c >= (long)ground->columns ||
                r >= (long)ground->rows)
                continue;
            uint32_t cell = (uint32_t)((size_t)r * ground->columns + (size_t)c);
            double step = dx && dy ? sqrt(2) : 1;
            double cost = visit.cost + step * crossing_cost(ground, cell);
            if (!visit_push(ground, cell, cost, visit.cell))
                return false;
        }
    }
    return true;
}

static nw_box moved(nw_box box, nw_point by)
{
    return (nw_box){{box.min.x + by.x, box.min.y + by.y}, {box.max.x + by.x, box.max.y + by.y}};
}

/* What a straight line costs. */
static double line_cost(const report_ground *ground, nw_point a, nw_point b)
{
    size_t steps = steps_of(ground, a, b);
    double cost = 0;
    for (size_t i = 1; i <= steps; i++)
        cost += crossing_cost(
            ground, cell_at(ground, nw_plus(a, nw_minus(b, a), (double)i / (double)steps)));
    return cost / (double)steps * nw_distance(a, b) / ground->cell;
}

/* From the place back to the end: from each point as far as a straight line costs no more. */
static size_t way_pull(const report_ground *ground, uint32_t place, nw_point end, nw_point *way,
                       size_t most)
{
    size_t count = 0;
    uint32_t at = place;
    way[count++] = middle_of(ground, at);
    while (ground->from[at] != NOWHERE && count + 1 < most) {
        uint32_t best = ground->from[at];
        for (uint32_t k = best; k != NOWHERE; k = ground->from[k]) {
            nw_point to = ground->from[k] == NOWHERE ? end : middle_of(ground, k);
            if (line_cost(ground, way[count - 1], to) <= ground->cost[at] - ground->cost[k] + SLACK)
                best = k;
        }
        at = best;
        if (ground->from[at] != NOWHERE)
            way[count++] = middle_of(ground, at);
    }
    way[count++] = end;
    for (size_t i = 0; i < count / 2; i++) {
        nw_point held = way[i];
        way[i] = way[count - 1 - i];
        way[count - 1 - i] = held;
    }
    return count;
}

bool nw_report_ground_search(report_ground *ground, const nw_point ends[2], const nw_box boxes[2],
                             nw_point *way, size_t most, size_t *count, bool *second)
{
    for (size_t i = 0; i < ground->columns * ground->rows; i++)
        ground->cost[i] = INFINITY;
    ground->visit_count = 0;
    *count = 0;
    uint32_t starts[2];
    bool good = true;
    for (int i = 0; i < 2; i++) {
        starts[i] = (uint32_t)cell_at(ground, ends[i]);
        good = good && visit_push(ground, starts[i], 0, NOWHERE);
    }
    while (good && ground->visit_count) {
        ground_visit visit = visit_pop(ground);
        if (visit.cost > ground->cost[visit.cell])
            continue;
        nw_point at = middle_of(ground, visit.cell);
        *second = !nw_report_ground_is_free(ground, moved(boxes[0], at));
        if (!*second || nw_report_ground_is_free(ground, moved(boxes[1], at))) {
            uint32_t root = visit.cell;
            while (ground->from[root] != NOWHERE)
                root = ground->from[root];
            *count = way_pull(ground, visit.cell, ends[root != starts[0]], way, most);
            return true;
        }
        good = neighbours_push(ground, visit);
    }
    return good;
}
