/* What lies where on the marked drawing, in cells: for balloons and leaders to keep clear of it.
 * Internal to the sheet. */
#ifndef NARROWS_REPORT_GROUND_H
#define NARROWS_REPORT_GROUND_H

#include <report/parts.h>

/* Marks of a cell, which add up. */
#define GROUND_ART 1     /* its middle lies in the art */
#define GROUND_EDGE 2    /* an outline of the art */
#define GROUND_TAKEN 4   /* a balloon or its label */
#define GROUND_LINE 8    /* a leader, */
#define GROUND_NEAR 16   /* and beside it */
#define GROUND_SPOT 32   /* where a leader ends */
#define GROUND_SHY 64    /* a disc, a mark, a dimension: leaders may pass, lettering may not */
#define GROUND_LOST 128  /* what the bit misses, or is too thin: balloons keep off it */
#define GROUND_MARKS 256 /* so many sums of them */
#define GROUND_LETTERED (GROUND_TAKEN | GROUND_LINE | GROUND_NEAR | GROUND_SHY) /* all but art */

#define GROUND_ROW 1
#define GROUND_COLUMN 2

#define GROUND_FINE 4

#define GROUND_WAY_MOST 24
#define GROUND_WAITING 16384 /* more than twice what any step costs */

typedef struct {
    uint32_t cell, next; /* of the same cost */
} ground_visit;

/* Columns or rows. */
typedef struct {
    uint32_t first, end; /* end of 0: some lie off the ground */
} ground_span;

typedef struct {
    nw_point corner; /* of the first cell, on the sheet */
    double cell;     /* mm */
    size_t columns, rows;
    uint8_t *marks;
    int counted;      /* the marks that are, */
    int barring;      /* and others that a box has to be free of */
    uint32_t *filled; /* marked cells above and left of each corner of the cells */
    uint32_t *from;   /* the cell before, on the way that a search found */
    uint32_t *cost;
    uint32_t *home;  /* at least what it costs from each cell to where there is room */
    uint32_t *trail; /* the cells of the way found, from its place back to its end; before, what is
                        to be turned over */
    uint64_t *art;   /* bits, GROUND_FINE rows and columns of them to a cell: in the art */
    size_t words;    /* of them in a row */
    uint8_t *walls;  /* bits: an outline lies between the middles of the cell and of the one before
                        it in its row (GROUND_ROW), in its column (GROUND_COLUMN) */
    uint32_t crossing[GROUND_MARKS]; /* what a cell of these marks costs in a search; 0: it is not
                                        crossed */
    ground_visit *visits;            /* of a search, those done included */
    size_t visit_count, visit_capacity, waiting_count;
    ground_span *spans;               /* of a search's boxes, about each column, then each row */
    uint32_t waiting[GROUND_WAITING]; /* the first visit of each cost, in turn */
} report_ground;

/* An empty ground over the box, of cells about so large, larger where there would be too many, for
 * searches where ways are to be found; false when memory runs out. To be freed either way. */
bool nw_report_ground_make(report_ground *ground, nw_box box, double cell, bool ways);
/* One with the same marks, for no searches; false when memory runs out. To be freed either way. */
bool nw_report_ground_copy(report_ground *ground, const report_ground *other);
void nw_report_ground_free(report_ground *ground);

void nw_report_ground_clear(report_ground *ground, int marks);
/* No way leads from cell to cell through the line. */
void nw_report_ground_line(report_ground *ground, nw_point a, nw_point b, int mark);
void nw_report_ground_box(report_ground *ground, nw_box box, int mark);
void nw_report_ground_disc(report_ground *ground, nw_point centre, double radius, int mark);
/* Flattens a drawing as a ground of such cells needs it at that scale; false when memory runs out
 * or it cannot be flattened. The caller frees *region. */
bool nw_report_ground_flatten(const report_ground *ground, const nw_drawing *drawing, double scale,
                              nw_region *region);
/* The area of closed outlines, by the even-odd rule, and what their lines touch; beside lines that
 * is shy. */
void nw_report_ground_region(report_ground *ground, const nw_region *region, report_frame place,
                             int area, int line);

/* After marks were set and before searches: counts what is marked with any of these. */
void nw_report_ground_count(report_ground *ground, int marks);
/* Whether all of a small box is on the ground and nothing in it is marked with any of these. */
bool nw_report_ground_is_clear(const report_ground *ground, nw_box box, int marks);

/* Boxes about the middles of cells, for which room is looked for; whether the one or else the
 * second is free about a cell that lies in both: on the ground, with nothing in it that was counted
 * or bars (ground_room.c). */
void nw_report_ground_boxes(report_ground *ground, const nw_box boxes[2]);
bool nw_report_ground_has_room(const report_ground *ground, uint32_t cell, bool *second);

/* Before searches: the least that a way from each cell costs, as the ground is marked and counted
 * now, to where a box that lies in the one or the other of all searches' is free. Later marks make
 * no way cheaper, so that searches look only where they may come out. False when memory runs out.
 */
bool nw_report_ground_homes(report_ground *ground, const nw_box boxes[2]);

/* The column or row, of so many, in which something lies that many cells from the corner: what is
 * on a border is beyond it, whatever the last bits are. */
static inline size_t nw_report_ground_index(double at, size_t count)
{
    at += 1e-5;
    return at <= 0 ? 0 : at >= (double)count ? count - 1 : (size_t)at;
}

/* The cell in which a point lies. */
size_t nw_report_ground_cell(const report_ground *ground, nw_point p);
/* A way over the ground. */
typedef struct {
    nw_point points[GROUND_WAY_MOST]; /* from an end to the place */
    size_t count;                     /* 0: there is none */
    uint32_t cost;
    bool second; /* the second box is free there, not the first */
} ground_way;

/* past: what a cell of other leaders and balloons costs; 0: no way leads past them, and no box lies
 * on them. more: what a way may cost more than at least. */
typedef struct {
    uint32_t past, more;
} ground_costs;

/* Finds the place that a way from one of the ends reaches at the least cost, crossing art only
 * where nothing leads round it, at which one of two boxes, given about the origin, which lies in
 * both, is free; in plain art where it is far to anything else. False when memory runs out. */
bool nw_report_ground_search(report_ground *ground, const nw_point ends[2], const nw_box boxes[2],
                             ground_costs costs, ground_way *way);

/* Likewise the way to a leader to join, one that is marked as a line and not as taken. */
bool nw_report_ground_join(report_ground *ground, const nw_point ends[2], uint32_t most,
                           ground_way *way);

#endif
