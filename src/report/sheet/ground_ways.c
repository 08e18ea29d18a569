/*
 * ground_ways: ways over the sheet's ground to where there is room: of least cost (Dijkstra, A note
 * on two problems in connexion with graphs, 1959), pulled straight where that costs no more.
 */
#include <report/sheet/ground.h>

#include <stdlib.h>
#include <string.h>

#define NOWHERE UINT32_MAX
/* What a cell costs to cross, beside 1: a long way round is better than a short one through. */
#define COST_ART 60
#define COST_LINE 60
#define COST_TAKEN 1000
#define COST_SHY 1
#define STEP 5 /* from cell to cell, and aslant: about 1 to the root of 2 */
#define STEP_ASLANT 7
#define SLACK 1 /* cells that a straight line may cost more than the way that it replaces */

static nw_point middle_of(const report_ground *ground, size_t cell)
{
    return (nw_point){ground->corner.x + ((double)(cell % ground->columns) + 0.5) * ground->cell,
                      ground->corner.y + ((double)(cell / ground->columns) + 0.5) * ground->cell};
}

/* ---- room ------------------------------------------------------------------------------------ */

/* What a box from least to most about the middle of a column, or row, covers of them. */
static ground_span span_about(double corner, double cell, size_t count, size_t at, double least,
                              double most)
{
    double middle = corner + ((double)at + 0.5) * cell, from = middle + least, to = middle + most;
    if (from < corner || to > corner + (double)count * cell)
        return (ground_span){0, 0};
    return (ground_span){(uint32_t)nw_report_ground_index((from - corner) / cell, count),
                         (uint32_t)nw_report_ground_index((to - corner) / cell, count) + 1};
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
static void visit_push(report_ground *ground, uint32_t cell, uint32_t cost, uint32_t from,
                       uint32_t turn)
{
    ground->cost[cell] = cost;
    ground->from[cell] = from;
    uint32_t *first = &ground->waiting[turn % GROUND_WAITING];
    ground->visits[ground->visit_count] = (ground_visit){cell, *first};
    *first = (uint32_t)ground->visit_count++;
    ground->waiting_count++;
}

/* The next cell of this turn or a later one. */
static uint32_t visit_pop(report_ground *ground, uint32_t *turn)
{
    while (ground->waiting[*turn % GROUND_WAITING] == NOWHERE)
        ++*turn;
    uint32_t *first = &ground->waiting[*turn % GROUND_WAITING];
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

typedef struct {
    bool back;      /* from all room, to everywhere */
    uint32_t most;  /* that a whole way may cost */
    uint32_t ahead; /* up to here what is left of a way counts in its turn */
} search_kind;

static uint32_t turn_of(const report_ground *ground, search_kind kind, uint32_t cell, uint32_t cost)
{
    uint32_t home = ground->home[cell];
    return cost + (home < kind.ahead ? home : kind.ahead);
}

static bool neighbours_push(report_ground *ground, search_kind kind, uint32_t cell)
{
    uint32_t wide = (uint32_t)ground->columns, column = cell % wide, cost = ground->cost[cell];
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
        uint32_t into = kind.back ? cell : next;
        uint32_t reached = cost + step * ground->crossing[ground->marks[into]];
        if (reached < known && reached + ground->home[next] <= kind.most)
            visit_push(ground, next, reached, cell, turn_of(ground, kind, next, reached));
    }
    return true;
}

#define ROUNDING 1e-9 /* of a cost, and more */

/* Whether a straight line costs no more than this. */
static bool line_within(const report_ground *ground, nw_point a, nw_point b, double most)
{
    size_t steps = nw_report_ground_steps(ground, a, b);
    double length = nw_distance(a, b), cost = 0;
    double enough = most * (double)steps * ground->cell / (STEP * length) * (1 + ROUNDING);
    for (size_t i = 1; i <= steps && !(cost > enough); i++)
        cost += ground->crossing[ground->marks[nw_report_ground_cell(
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
    uint32_t wide = (uint32_t)ground->columns, column = cell % wide, row = cell / wide;
    *second = !is_free(ground, 0, column, row);
    return !*second || is_free(ground, 1, column, row);
}

static void search_clear(report_ground *ground)
{
    memset(ground->cost, UINT8_MAX, ground->columns * ground->rows * sizeof *ground->cost);
    memset(ground->waiting, UINT8_MAX, sizeof ground->waiting);
    ground->visit_count = ground->waiting_count = 0;
}

/* On to the first cell with room, NOWHERE if there is none; back through all. */
static bool search_run(report_ground *ground, search_kind kind, uint32_t turn, uint32_t *place,
                       bool *second)
{
    *place = NOWHERE;
    while (ground->waiting_count) {
        uint32_t cell = visit_pop(ground, &turn);
        if (turn > turn_of(ground, kind, cell, ground->cost[cell]))
            continue;
        if (!kind.back && has_room(ground, cell, second)) {
            *place = cell;
            return true;
        }
        if (!neighbours_push(ground, kind, cell))
            return false;
    }
    return true;
}

static bool search_from(report_ground *ground, search_kind kind, const uint32_t starts[2],
                        uint32_t *place, bool *second)
{
    uint32_t turns[2];
    search_clear(ground);
    if (!visits_room(ground, 2))
        return false;
    for (int i = 0; i < 2; i++) {
        turns[i] = turn_of(ground, kind, starts[i], 0);
        if ((i == 0 || starts[1] != starts[0]) && ground->home[starts[i]] <= kind.most)
            visit_push(ground, starts[i], 0, NOWHERE, turns[i]);
    }
    return search_run(ground, kind, turns[0] < turns[1] ? turns[0] : turns[1], place, second);
}

static void crossing_fill(report_ground *ground)
{
    for (int marks = 0; marks < GROUND_MARKS; marks++)
        ground->crossing[marks] = crossing_cost(marks);
}

bool nw_report_ground_homes(report_ground *ground, const nw_box boxes[2])
{
    uint32_t count = (uint32_t)(ground->columns * ground->rows), place;
    bool second;
    memset(ground->home, 0, count * sizeof *ground->home);
    search_clear(ground);
    spans_fill(ground, boxes);
    crossing_fill(ground);
    bool good = visits_room(ground, count);
    for (uint32_t cell = 0; good && cell < count; cell++)
        if (has_room(ground, cell, &second))
            visit_push(ground, cell, 0, NOWHERE, 0);
    good = good && search_run(ground, (search_kind){true, NOWHERE, 0}, 0, &place, &second);
    if (good)
        memcpy(ground->home, ground->cost, count * sizeof *ground->home);
    return good;
}

/* The whole cost is found first, by ways that seem to lead there (Hart, Nilsson and Raphael, A
 * formal basis for the heuristic determination of minimum cost paths, 1968); of ways that cost the
 * same the one that a search in the order of costs finds is taken, which needs no cell that lies on
 * none of them. */
bool nw_report_ground_search(report_ground *ground, const nw_point ends[2], const nw_box boxes[2],
                             nw_point *way, size_t most, size_t *count, bool *second)
{
    uint32_t starts[2] = {(uint32_t)nw_report_ground_cell(ground, ends[0]),
                          (uint32_t)nw_report_ground_cell(ground, ends[1])};
    uint32_t place = NOWHERE, homes[2] = {ground->home[starts[0]], ground->home[starts[1]]};
    uint32_t nearer = homes[0] < homes[1] ? homes[0] : homes[1];
    *count = 0;
    spans_fill(ground, boxes);
    crossing_fill(ground);
    /* The starts' turns lie no further apart than there are lists for. */
    search_kind ahead = {false, NOWHERE - 1, nearer + GROUND_WAITING / 2};
    if (nearer < NOWHERE && !search_from(ground, ahead, starts, &place, second))
        return false;
    if (place == NOWHERE)
        return true;
    search_kind again = {false, ground->cost[place], 0};
    if (!search_from(ground, again, starts, &place, second))
        return false;
    uint32_t root = place;
    while (ground->from[root] != NOWHERE)
        root = ground->from[root];
    *count = way_pull(ground, place, ends[root != starts[0]], way, most);
    return true;
}
