/*
 * sheet: what the parts of the marked drawing share. Places on the sheet are millimetres from its
 * upper left corner, y down. Sizes of lettering and symbols are multiples of one unit: 1 mm, and
 * more for large art, so that a drawing of any size reads well.
 */
#ifndef NARROWS_REPORT_SHEET_H
#define NARROWS_REPORT_SHEET_H

#include <report/sheet/ground.h>
#include <report/sheet/pen.h>

#define REPORT_MARGIN 8.0 /* of the sheet, in units, as its least width between the margins */
#define REPORT_WIDTH_LEAST 164.0

/* ---- balloons (balloon.c) ------------------------------------------------------------------ */

#define REPORT_BALLOONS_MOST 30 /* more than that nobody reads on one sheet */

/* A balloon with its label beside it, to be placed where the sheet is free. */
typedef struct {
    nw_point ends[2];    /* where its leader may end, the better one is taken */
    double dimension;    /* size of the dimension at its spot, the usual is 1; 0: it has none */
    double radius, room; /* room: to the label, and to anything else */
    double label, lines; /* width and height of the label */
    nw_point centre;     /* result: of the balloon */
    size_t host;         /* result: whose leader its own joins, in whose stack it stands; its own
                            number where its leader goes to the sheet alone */
    bool out;            /* no place is looked for until it joins another */
    bool up;             /* its stack goes up, not down */
    nw_box box;          /* result: of a host's stack, round where its leader ends */
    ground_way way; /* result: the leader, from the spot to the host's centre or leader; the label
                       is left of the balloon where `second`; none: there is no balloon */
} report_balloon;

/* Places them on a ground with all but balloons on it, *placed of them; where more than a few have
 * no room it takes no pains, unless this is the last ground. False when memory runs out. */
bool nw_report_balloons_place(report_balloon *balloons, size_t count, report_ground *ground,
                              bool last, size_t *placed);

/* ---- the sheet's parts --------------------------------------------------------------------- */

typedef struct {
    report_pen pen;
    const nw_report *report;
    const nw_change_report *change; /* the drawing of a widening; else NULL */
    report_frame place;             /* from the drawing to the sheet */
    report_balloon *balloons;       /* of the first spots, worst first */
    size_t balloon_count;
    report_ground ground;
    double left, width; /* of what may be written on, mm */
    double most;        /* how high a sheet may become for its list, mm */
    size_t listed;      /* spots in the list so far */
    const char *more;   /* the file with the others */
} report_sheet;

const char *nw_report_side_colour(nw_side side);

/* Words over the whole width, from y on, in letters of so many units; they are freed. Returns the y
 * below them. */
static inline double nw_report_sheet_words(report_sheet *sheet, double y, double size, bool bold,
                                           nw_text *words)
{
    return nw_report_pen_sentences(
        &sheet->pen, (nw_point){sheet->left, y}, sheet->width,
        (report_lettering){size * sheet->pen.unit, bold, REPORT_START, NULL}, words);
}

/* Dimensions (sheet_dimensions.c): how heavy a spot's is; its ends on the sheet, false for a miss,
 * which has none; and setting the balloons' `dimension`, false when memory runs out. */
double nw_report_spot_weight(size_t index);
bool nw_report_spot_dimension(const report_sheet *sheet, const nw_spot *spot, nw_point ends[2]);
bool nw_report_dimensions_size(report_sheet *sheet);

/* Spots (sheet_spots.c): sizes and leader ends of all balloons; drawing. */
void nw_report_spots_measure(report_sheet *sheet, nw_box *content);
void nw_report_spots_ground(report_sheet *sheet);
void nw_report_spots_draw(report_sheet *sheet);
bool nw_report_spot_has_balloon(const report_sheet *sheet, size_t index);
/* Whether its leader joins another or is joined, and whether any spot's does. */
bool nw_report_spot_shares(const report_sheet *sheet, size_t index);
bool nw_report_any_shares(const report_sheet *sheet);
size_t nw_report_marks_count(const report_sheet *sheet); /* spots without a balloon */
/* The marks and numbers of all spots in this box of the drawing; gives how many numbers cover
 * others, or marks, or find no room at all. */
size_t nw_report_numbers_draw(report_sheet *sheet, nw_box box);
void nw_report_balloon_shape(report_pen *pen, nw_side side, nw_point centre, double radius,
                             bool worst);

/* ---- layout (sheet_layout.c) --------------------------------------------------------------- */

struct nw_layout {
    report_balloon *balloons; /* in their places, on the ground */
    size_t balloon_count;
    report_ground ground; /* with all of them on it */
    nw_box all;           /* that they and the art take */
};

/* A sheet before it is laid out: its scale, its unit, how many balloons it has. */
report_sheet nw_report_sheet_of(const nw_report *report, const nw_change_report *change);
/* As nw_layout_find; change may be NULL. */
nw_status nw_report_layout_find(const nw_report *report, const nw_change_report *change,
                                nw_layout **layout, nw_error *error);
/* Gives the sheet balloons and ground of its own; false when memory runs out. To be freed either
 * way. */
bool nw_report_layout_take(const nw_layout *layout, report_sheet *sheet);

/* Draws the marked drawing, by the report's layout where it has one; change may be NULL
 * (marked_sheet.c). details: where not NULL, the second sheet, in SVG only, with no body where none
 * is needed. The bodies are the caller's to free. */
nw_status nw_report_sheet_draw(const nw_report *report, const nw_change_report *change,
                               const report_canvas *canvas, report_drawn *drawn,
                               report_drawn *details, nw_error *error);

/* The art with all that lies on it (sheet_art.c). */
void nw_report_art_draw(report_sheet *sheet);

/* The second sheet, of a sheet that was laid out (details_sheet.c). False when memory runs out. */
bool nw_report_details_draw(report_sheet *sheet, report_drawn *drawn);

/* The art on the drawing of a widening (change_sheet.c). */
void nw_report_change_draw(report_sheet *sheet);
void nw_report_old_line(report_pen *pen, nw_point a, nw_point b);
void nw_report_change_box(const report_sheet *sheet, nw_box *box);

/* The edges of the stock where they are near to the art, and whether any is (sheet_marks.c). */
void nw_report_edges_draw(report_sheet *sheet);
bool nw_report_edges_near(const report_sheet *sheet);
void nw_report_edge_draw(report_pen *pen, nw_point a, nw_point b);

/* The tabs that the report has, and drawing them (sheet_marks.c). */
const nw_tabs *nw_report_tabs_of(const report_sheet *sheet);
const char *nw_report_tab_ink(const report_sheet *sheet);
void nw_report_tabs_draw(report_sheet *sheet);
/* Marks tabs and lifts on the ground, for lettering to keep clear of. */
void nw_report_marks_ground(report_sheet *sheet);
#define REPORT_LIFTS_MOST 500 /* that are drawn */

/* Where written drawings have their origin, if that was asked for, else NULL; and its mark. */
const nw_point *nw_report_origin_of(const report_sheet *sheet);
void nw_report_origin_draw(report_pen *pen, nw_point at);

/* A triangle: the bit must be raised here. */
void nw_report_lift_draw(report_pen *pen, nw_point at);

#define REPORT_COLUMN 83 /* a column of legend or list */

/* Legend and scale (sheet_legend.c), list (sheet_list.c), which goes on from what is listed up to
 * `end`, as far as the sheet may go: each returns the y below what it drew. */
double nw_report_legend_draw(report_sheet *sheet, double top);
double nw_report_list_draw(report_sheet *sheet, double top, size_t end);

#endif
