/*
 * ground_ways: ways over the sheet's ground to where there is room: of least cost (Dijkstra, A note
 * on two problems in connexion with graphs, 1959), pulled straight where that costs no more.
 */
#include <report/sheet/ground.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NOWHERE UINT32_MAX
#define ROOT (UINT32_MAX - 2) /* before a way's first cell: from the one end; and the other */
/* What a cell costs to cross, beside 1: a long way round is better than a short one through. */
#define COST_ART 60
#define COST_INTO_ART 500 /* from beside it */
#define COST_EDGE 12
#define COST_SPOT 60
#define COST_NEAR 6
#define COST_SHY 1
#define COST_PLAIN                                                                                 \
    4000       /* of a place in plain art: so far a leader runs over art to one beside it */
#define STEP 5 /* from cell to cell, and aslant: about 1 to the root of 2 */
#define STEP_ASLANT 7
/* What a straight line may cost more than the way that it replaces: so much of it, and cells. */
#define SLACK_SHARE 1.05
#define SLACK 4
#define SLACK_MOST 1500 /* where it takes too many lines */

static nw_point middle_of(const report_ground *ground, size_t cell)
{
    return (nw_point){ground->corner.x + ((double)(cell % ground->columns) + 0.5) * ground->cell,
                      ground->corner.y + ((double)(cell / ground->columns) + 0.5) * ground->cell};
}

/* ---- the search ----------------------------------------------------------------------------- */

static void crossing_fill(report_ground *ground, uint32_t past)
{
    static const uint32_t costs[] = {COST_ART, COST_EDGE, 0, 0, COST_NEAR, COST_SPOT, COST_SHY};
    for (int marks = 0; marks < GROUND_MARKS; marks++) {
        bool others = marks & (GROUND_LINE | GROUND_TAKEN);
        uint32_t cost = 1 + (others ? past : 0);
        for (int i = 0; i < (int)(sizeof costs / sizeof *costs); i++)
            cost += marks & 1 << i ? costs[i] : 0;
        ground->crossing[marks] = others && !past ? 0 : cost;
    }
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
static void visit_add(report_ground *ground, uint32_t cell, uint32_t turn)
{
    uint32_t *first = &ground->waiting[turn % GROUND_WAITING];
    ground->visits[ground->visit_count] = (ground_visit){cell, *first};
    *first = (uint32_t)ground->visit_count++;
    ground->waiting_count++;
}

static void visit_push(report_ground *ground, uint32_t cell, uint32_t cost, uint32_t from,
                       uint32_t turn)
{
    ground->cost[cell] = cost;
    ground->from[cell] = from;
    visit_add(ground, cell, turn);
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

static bool is_art(const report_ground *ground, size_t fine_row, size_t fine_column)
{
    return ground->art[fine_row * ground->words + fine_column / 64] >> fine_column % 64 & 1;
}

/* Whether the art begins or ends between the middles of a cell and one aslant in the next row, by
 * places in between. */
static bool is_art_between(const report_ground *ground, size_t a, size_t b)
{
    size_t column = a % ground->columns, row = a / ground->columns * GROUND_FINE + GROUND_FINE / 2;
    bool right = b % ground->columns > column;
    column = column * GROUND_FINE + GROUND_FINE / 2 - !right;
    bool art = ground->marks[a] & GROUND_ART, changes = false;
    for (size_t i = 0; i < GROUND_FINE && !changes; i++)
        changes = is_art(ground, row + i, right ? column + i : column - i) != art;
    return changes;
}

/* Whether an outline lies between the middles of two cells aslant; where both lie between art on
 * either side there may be a passage, where not a line too thin to see. */
static bool is_walled_aslant(const report_ground *ground, size_t first, size_t second)
{
    const uint8_t *walls = ground->walls;
    size_t under = first + ground->columns, over = second - ground->columns;
    bool right = over > first;
    bool barred_over = walls[right ? over : first] & GROUND_ROW || walls[second] & GROUND_COLUMN;
    bool barred_under = walls[under] & GROUND_COLUMN || walls[right ? second : under] & GROUND_ROW;
    bool passage = ground->marks[over] & ground->marks[under] & GROUND_ART;
    return (barred_over && barred_under && !passage) || is_art_between(ground, first, second);
}

/* As above, side by side too. */
static bool is_walled(const report_ground *ground, size_t a, size_t b)
{
    size_t first = a < b ? a : b, second = a < b ? b : a;
    if (second - first == 1)
        return ground->walls[second] & GROUND_ROW;
    if (second - first == ground->columns)
        return ground->walls[second] & GROUND_COLUMN;
    return is_walled_aslant(ground, first, second);
}

/* Whether a step from one cell into another enters the art, be it to cross a thin line of it. */
static bool enters_art(const report_ground *ground, size_t from, size_t into)
{
    int a = ground->marks[from], b = ground->marks[into];
    if ((a ^ b) & GROUND_ART)
        return b & GROUND_ART;
    return (a | b) & (GROUND_EDGE | GROUND_SHY) && is_walled(ground, from, into);
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
    bool joins;     /* to another's leader, not to where there is room */
    uint32_t ahead; /* up to here what is left of a way counts in its turn */
    uint32_t most;  /* the last turn */
} search_kind;

static bool is_joint(const report_ground *ground, uint32_t cell)
{
    return (ground->marks[cell] & (GROUND_LINE | GROUND_TAKEN)) == GROUND_LINE;
}

static uint32_t turn_of(const report_ground *ground, search_kind kind, uint32_t cell, uint32_t cost)
{
    uint32_t home = ground->home[cell];
    return cost + (home < kind.ahead ? home : kind.ahead);
}

static void neighbours_push(report_ground *ground, search_kind kind, uint32_t cell)
{
    uint32_t wide = (uint32_t)ground->columns, column = cell % wide, cost = ground->cost[cell];
    bool within = column > 0 && column + 1 < wide && cell >= wide &&
                  cell + wide < wide * (uint32_t)ground->rows;
    const uint32_t over = cell - wide, under = cell + wide, *costs = ground->cost;
    const uint32_t beside[AROUND] = {over - 1, over,      over + 1, cell - 1,
                                     cell + 1, under - 1, under,    under + 1};
    for (int k = 0; k < AROUND; k++) {
        if (!within && is_beyond(ground, cell, k))
            continue;
        uint32_t next = beside[k], known = costs[next], step = around[k].step;
        if (known <= cost + step)
            continue;
        uint32_t from = kind.back ? next : cell, into = kind.back ? cell : next;
        uint32_t crossing = ground->crossing[ground->marks[into]];
        if (kind.joins && is_joint(ground, into))
            crossing = 1;
        uint32_t reached = cost + step * crossing;
        if (!crossing || reached >= known)
            continue;
        reached += enters_art(ground, from, into) ? step * COST_INTO_ART : 0;
        if (reached < known)
            visit_push(ground, next, reached, cell, turn_of(ground, kind, next, reached));
    }
}

#define ROUNDING 1e-9 /* of a cost, and more */

/* Where that many parts of cells are from the corner. */
static nw_point fine_of(const report_ground *ground, nw_point p)
{
    double parts = GROUND_FINE / ground->cell;
    return (nw_point){(p.x - ground->corner.x) * parts, (p.y - ground->corner.y) * parts};
}

static bool is_art_at(const report_ground *ground, nw_point fine)
{
    return is_art(ground, nw_report_ground_index(fine.y, ground->rows * GROUND_FINE),
                  nw_report_ground_index(fine.x, ground->columns * GROUND_FINE));
}

/* Whether a straight line costs no more than this, by places on it, a part of a cell apart. It
 * enters the art where cells tell so, or such places do. */
static bool line_within(const report_ground *ground, nw_point from, nw_point to, double most)
{
    nw_point start = fine_of(ground, from), end = fine_of(ground, to), way = nw_minus(end, start);
    size_t wide = ground->columns * GROUND_FINE, high = ground->rows * GROUND_FINE;
    double length = nw_distance(start, end), steps = ceil(length) + 1, cost = 0;
    double each = STEP * length / GROUND_FINE / steps;
    double enough = most / each * (1 + ROUNDING);
    double into = STEP * COST_INTO_ART / each;
    size_t last = nw_report_ground_cell(ground, from);
    int entered = 0, seen = 0;
    bool art = is_art_at(ground, start);
    for (double i = 1; i <= steps && !(cost + into * nw_larger(entered, seen) > enough); i++) {
        nw_point p = nw_plus(start, way, i / steps);
        size_t row = nw_report_ground_index(p.y, high), column = nw_report_ground_index(p.x, wide);
        size_t cell = row / GROUND_FINE * ground->columns + column / GROUND_FINE;
        uint32_t crossing = ground->crossing[ground->marks[cell]];
        bool was = art;
        art = is_art(ground, row, column);
        seen += art && !was;
        if (cell != last) {
            if (!crossing)
                return false;
            entered += enters_art(ground, last, cell);
        }
        cost += crossing;
        last = cell;
    }
    return (cost + into * nw_larger(entered, seen)) * each <= most;
}

/* The way along the cells found, from the place back to the end: from each point as far as a
 * straight line costs hardly more. How many points that takes, or more than the most. */
static size_t way_pull(const report_ground *ground, size_t cells, nw_point end, double slack,
                       nw_point *points)
{
    size_t count = 0, at = 0;
    points[count++] = middle_of(ground, ground->trail[0]);
    do {
        size_t next = cells - 1;
        nw_point from = end;
        for (; next > at + 1; from = middle_of(ground, ground->trail[--next])) {
            double most = ground->cost[ground->trail[at]] - ground->cost[ground->trail[next]];
            if (line_within(ground, from, points[count - 1], most * SLACK_SHARE + slack))
                break;
        }
        at = next;
        if (count == GROUND_WAY_MOST)
            return count + 1;
        points[count++] = at + 1 < cells ? middle_of(ground, ground->trail[at]) : end;
    } while (at + 1 < cells);
    return count;
}

/* The way from one of the ends to the place; none where it takes too many points. */
static void way_take(report_ground *ground, uint32_t place, const nw_point ends[2], ground_way *way)
{
    size_t cells = 0, count = GROUND_WAY_MOST + 1;
    nw_point *points = way->points;
    uint32_t k = place;
    for (; k < ROOT; k = ground->from[k])
        ground->trail[cells++] = k;
    nw_point end = ends[k - ROOT];
    for (double slack = STEP * SLACK; count > GROUND_WAY_MOST && slack < SLACK_MOST; slack *= 4)
        count = way_pull(ground, cells, end, slack, points);
    way->count = count > GROUND_WAY_MOST ? 0 : count;
    for (size_t i = 0; i < way->count / 2; i++) {
        nw_point held = points[i];
        points[i] = points[count - 1 - i];
        points[count - 1 - i] = held;
    }
}

static void search_clear(report_ground *ground)
{
    for (size_t i = 0; i < ground->visit_count; i++)
        if (ground->visits[i].cell < ground->columns * ground->rows)
            ground->cost[ground->visits[i].cell] = NOWHERE;
    memset(ground->waiting, UINT8_MAX, sizeof ground->waiting);
    ground->visit_count = ground->waiting_count = 0;
}

/* Whether a way may end in the cell, and what that costs. */
static bool is_place(const report_ground *ground, search_kind kind, uint32_t cell, bool *second)
{
    return kind.joins ? is_joint(ground, cell) : nw_report_ground_has_room(ground, cell, second);
}

static uint32_t place_cost(const report_ground *ground, search_kind kind, uint32_t cell)
{
    return ground->marks[cell] & GROUND_ART && !kind.joins ? COST_PLAIN : 0;
}

/* On to the place that costs least, NOWHERE if there is none; back through all. A place is visited
 * after its cell, as a cell beyond the last. */
static bool search_run(report_ground *ground, search_kind kind, uint32_t turn, uint32_t *place,
                       bool *second)
{
    uint32_t count = (uint32_t)(ground->columns * ground->rows);
    *place = NOWHERE;
    while (ground->waiting_count) {
        uint32_t cell = visit_pop(ground, &turn);
        if (turn > kind.most)
            return true;
        if (cell >= count) {
            *place = cell - count;
            is_place(ground, kind, *place, second);
            return true;
        }
        if (turn > turn_of(ground, kind, cell, ground->cost[cell]))
            continue;
        if (!visits_room(ground, AROUND + 1))
            return false;
        if (!kind.back && is_place(ground, kind, cell, second))
            visit_add(ground, cell + count, ground->cost[cell] + place_cost(ground, kind, cell));
        neighbours_push(ground, kind, cell);
    }
    return true;
}

bool nw_report_ground_homes(report_ground *ground, const nw_box boxes[2])
{
    uint32_t count = (uint32_t)(ground->columns * ground->rows), place;
    search_kind kind = {.back = true, .most = NOWHERE};
    bool second;
    memset(ground->home, 0, count * sizeof *ground->home);
    search_clear(ground);
    nw_report_ground_boxes(ground, boxes);
    crossing_fill(ground, 0);
    ground->barring = 0;
    bool good = visits_room(ground, count);
    for (uint32_t cell = 0; good && cell < count; cell++) {
        uint32_t cost = place_cost(ground, kind, cell);
        if (nw_report_ground_has_room(ground, cell, &second))
            visit_push(ground, cell, cost, NOWHERE, cost);
    }
    good = good && search_run(ground, kind, 0, &place, &second);
    if (good)
        memcpy(ground->home, ground->cost, count * sizeof *ground->home);
    return good;
}

static void start_push(report_ground *ground, search_kind kind, uint32_t cell, uint32_t cost,
                       uint32_t root, uint32_t *turn)
{
    uint32_t at = turn_of(ground, kind, cell, cost);
    if (cost >= ground->cost[cell])
        return;
    visit_push(ground, cell, cost, root, at);
    *turn = at < *turn ? at : *turn;
}

/* A way starts in the end's cell; where that one's middle lies in the art and the end does not, or
 * the other way round, in one beside it to which no outline lies in between, too. */
static void end_push(report_ground *ground, search_kind kind, nw_point end, uint32_t root,
                     uint32_t *turn)
{
    uint32_t cell = (uint32_t)nw_report_ground_cell(ground, end);
    nw_point fine = fine_of(ground, end);
    bool art = is_art_at(ground, fine), changes = art != (ground->marks[cell] & GROUND_ART);
    start_push(ground, kind, cell, changes && !art ? STEP * COST_INTO_ART : 0, root, turn);
    for (int k = 0; k < AROUND && changes; k++) {
        if (is_beyond(ground, cell, k))
            continue;
        uint32_t next = cell + (uint32_t)(around[k].down * (int)ground->columns + around[k].across);
        uint32_t crossing = ground->crossing[ground->marks[next]];
        nw_point way = nw_minus(fine_of(ground, middle_of(ground, next)), fine);
        bool same = crossing;
        for (int i = 1; i <= 2 * GROUND_FINE && same; i++)
            same = is_art_at(ground, nw_plus(fine, way, i / (2.0 * GROUND_FINE))) == art;
        if (same)
            start_push(ground, kind, next, around[k].step * crossing, root, turn);
    }
}

/* From one of the ends, in whatever turns that takes. */
static bool way_search(report_ground *ground, const nw_point ends[2], search_kind kind,
                       ground_way *way)
{
    uint32_t place, turn = NOWHERE;
    way->count = 0;
    search_clear(ground);
    if (!visits_room(ground, 2 * (AROUND + 1)))
        return false;
    for (uint32_t i = 0; i < 2; i++)
        end_push(ground, kind, ends[i], ROOT + i, &turn);
    if (!search_run(ground, kind, turn, &place, &way->second))
        return false;
    if (place == NOWHERE)
        return true;
    way->cost = ground->cost[place] + place_cost(ground, kind, place);
    way_take(ground, place, ends, way);
    return true;
}

/* By ways that seem to lead there first (Hart, Nilsson and Raphael, A formal basis for the
 * heuristic determination of minimum cost paths, 1968). */
bool nw_report_ground_search(report_ground *ground, const nw_point ends[2], const nw_box boxes[2],
                             ground_costs costs, ground_way *way)
{
    uint32_t homes[2] = {ground->home[nw_report_ground_cell(ground, ends[0])],
                         ground->home[nw_report_ground_cell(ground, ends[1])]};
    uint32_t nearer = homes[0] < homes[1] ? homes[0] : homes[1];
    way->count = 0;
    if (nearer == NOWHERE)
        return true;
    nw_report_ground_boxes(ground, boxes);
    crossing_fill(ground, costs.past);
    ground->barring = costs.past ? 0 : GROUND_LETTERED;
    /* The starts' turns lie no further apart than there are lists for. */
    search_kind kind = {.ahead = nearer + GROUND_WAITING / 2,
                        .most = costs.more < NOWHERE - nearer ? nearer + costs.more : NOWHERE};
    return way_search(ground, ends, kind, way);
}

bool nw_report_ground_join(report_ground *ground, const nw_point ends[2], uint32_t most,
                           ground_way *way)
{
    crossing_fill(ground, 0);
    return way_search(ground, ends, (search_kind){.joins = true, .most = most}, way);
}
