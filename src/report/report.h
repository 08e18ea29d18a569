/*
 * report: spots and outlines -> files. Every writer builds its text in memory; nothing here opens
 * a file.
 */
#ifndef NARROWS_REPORT_H
#define NARROWS_REPORT_H

#include <art/art.h>
#ifdef NARROWS_INSIDE
#include <report/page/page_numbers.h>
#endif

/* What the caller's commands are called and its users write for options, in what reports advise. */
typedef struct {
    const char *check, *widen;               /* the commands: "narrows check" */
    const char *bit, *wide, *blunt, *margin; /* before a length: "--bit" */
    const char *stubs, *misses;              /* that they are opened, or left out: "--stubs open" */
    const char *drop, *stock;                /* before what pieces look like, and a thickness */
    const char *spots, *longer;              /* tell which spots are meant, and give more time */
    const char *all;                         /* lists what is too much for a table */
} nw_option_words;

/* One named group of paths in a written drawing. */
typedef struct {
    const char *name; /* DXF layer and SVG group id: letters, digits, '-' */
    const nw_drawing *drawing;
    const char *colour; /* CSS colour of the line or area; NULL: black */
    bool filled;        /* filled shapes, else lines */
} nw_layer;

/* The drawing as SVG 1.1: width and height in mm, one path per piece, curves kept, y down as SVG
 * has it. title is the document's title, in any UTF-8; origin the place that becomes the origin of
 * user space, NULL: the upper left corner of the page. */
NW_API nw_status nw_write_svg(const nw_layer *layers, size_t count, const char *title,
                              const nw_point *origin, nw_text *svg, nw_error *error);

/* The same as ASCII DXF (AC1015), millimetres, y up: closed polylines whose bulges hold the arcs;
 * curves become arcs within 0.005 mm. origin NULL: the drawing's own. */
NW_API nw_status nw_write_dxf(const nw_layer *layers, size_t count, const nw_point *origin,
                              nw_text *dxf, nw_error *error);

/* What comes loose, what holds it, and the sheet that the job takes. */
typedef struct {
    const nw_loose_list *loose;       /* islands, or outside separate parts; NULL: not told */
    const nw_bridged *bridged;        /* NULL: no bridges were asked for */
    double bridge_width;              /* mm */
    const nw_tabs *tabs;              /* to be marked; NULL: none were asked for */
    double need_width, need_height;   /* of stock, mm; 0: not told */
    double margin;                    /* of it on every side, for clamps */
    double sheet_width, sheet_height; /* of the stock that there is; 0: not given */
    const nw_point *origin; /* where drawings have theirs, from the art's lower left corner; NULL:
                               there */
} nw_held;

/* Where everything lies on a marked drawing. */
typedef struct nw_layout nw_layout;

/* What a report says about where the drawing came from. */
typedef struct {
    const char *art; /* the file's name as given */
    const nw_drawing *drawing;
    const nw_fit *fit;
    bool neck_from_stock;     /* the least neck is the stock's thickness */
    const char *const *notes; /* lines that the reader must know, e.g. what was dropped, */
    size_t note_count;
    size_t detail_count; /* and behind them those for lists alone */
    nw_unread unread;    /* what the verdict is not about */
    double sure;         /* mm to which the art's picture tells a width; 0: exact */
    bool inch;           /* lengths for readers in inches; files for programs stay in millimetres */
    const nw_held *held; /* may be NULL */
    const bool *left; /* of each spot: it stays as it is by choice, which the verdict accepts; NULL:
                         none does */
    const nw_pieces *pieces; /* what the drawing's were recognised as; NULL: not told */
    const nw_layout *layout; /* of its marked drawing; NULL: each form of that finds it anew */
} nw_report;

/* Does what was judged fit, but for what is left by choice? And was all of it judged, too? */
NW_API bool nw_report_rest_fits(const nw_report *report);
NW_API bool nw_report_fits(const nw_report *report);

/* A length as the reports show it: "2.35 mm", or with inch "0.0925 in (3/32 - 0.0012)". */
NW_API void nw_write_length(nw_text *text, double mm, bool inch);
/* Of a sheet that has to be as wide and high at least, so rounded up: "83.18 x 66 mm". */
NW_API void nw_write_sheet_least(nw_text *text, double width, double height, bool inch);
/* The same for an area, "165.7 mm²", and for a place, "186.3, 17.1". */
NW_API void nw_write_area(nw_text *text, double square_mm, bool inch);
NW_API void nw_write_place(nw_text *text, nw_point place, bool inch);

/* Finds where everything lies on the marked drawing of the report, for all forms of it: what they
 * write is the same with it as without. To be freed after them. */
NW_API nw_status nw_layout_find(const nw_report *report, nw_layout **layout, nw_error *error);
NW_API void nw_layout_free(nw_layout *layout); /* NULL is nothing */

/* The marked drawing as PDF at true size on sheets that fit both A4 and Letter: more than one where
 * it is larger, with marks to join them, and a plan before them. *sheets is how many it takes, the
 * plan not counted; beyond the most, pdf stays empty. Same drawing, same bytes. */
#define NW_PDF_SHEETS_MOST 64
NW_API nw_status nw_write_marked_pdf(const nw_report *report, size_t *sheets, nw_text *pdf,
                                     nw_error *error);

/* The marked drawing as SVG at true size. details may be NULL: a second sheet with crowded parts
 * enlarged and the list from where the first sheet's ends; empty where all is on the first. */
NW_API nw_status nw_write_marked(const nw_report *report, nw_text *svg, nw_text *details,
                                 nw_error *error);

/* Places in the lists are from the lower left corner of the art, whatever the origin of drawings.
 * In the JSON each also says whether it is "left" by choice.
 * With report->held the JSON also has "islands" or "parts": [ { "at", "size", "area" } ... ],
 * "tabs": { "width", "missing", "without", "places": [ { "at", "out", "second_best": [reason ...] }
 * ... ] }, null when none were asked for; "bridges": { "width", "length", "nowhere", "places":
 * [ { "from", "to", "length", "second_best" } ... ], "new_spots": [ { "side", "form", "at",
 * "width" } ... ], "missing": [ { "at", "size", "area", "held", "reason" } ... ] }, null when none
 * were asked for, nowhere being the places of --bridge-at where none stands; "stock": { "needed":
 * [w, h], "margin", "sheet": [w, h]|null } and "origin": [x, y]. */
NW_API nw_status nw_write_spots_csv(const nw_report *report, nw_text *csv, nw_error *error);
NW_API nw_status nw_write_spots_json(const nw_report *report, nw_text *json, nw_error *error);

/* The verdict, a paragraph and the table for standard output, at most 80 columns; with ANSI colour
 * if asked. The caution, which belongs below whatever follows. */
NW_API void nw_write_caution(nw_text *text);
NW_API nw_status nw_write_table(const nw_report *report, bool colour, nw_text *table,
                                nw_error *error);

/* What a reader gains by knowing it. */
typedef enum { NW_WEIGHT_DETAIL, NW_WEIGHT_USUAL, NW_WEIGHT_HIGH } nw_weight;

/* Adds words as lines of at most so many columns, the first behind `head`, the others as far in. */
NW_API void nw_write_wrapped(nw_text *text, const char *head, const char *words, size_t columns);

/* ---- what widening did ---------------------------------------------------------------------- */

/* An account of a widening; before, added and removed, as nw_drawing_compare gives them, in the
 * places of widened->before. */
typedef struct {
    const char *art;
    const nw_drawing *before;
    const nw_widen_options *options;
    const nw_widened *widened;
    const nw_drawing *added, *removed;
    double area_added, area_removed;
    bool neck_from_stock;
    const char *const *notes; /* as an nw_report has them */
    size_t note_count, detail_count;
    nw_unread unread; /* what the verdict is not about */
    bool inch;
    const bool *left_before, *left_after; /* as an nw_report has them, of both fits */
    const nw_held *held;                  /* of the drawing as it is now; may be NULL */
    const nw_option_words *named;         /* named in the table; NULL: none are */
} nw_change_report;

/* The share of the art's area that was added or removed, and what is much of it. */
#define NW_REPORT_MUCH 0.1
NW_API double nw_report_change_share(const nw_change_report *change);

/* How many of the pinches that were to be made wide stay, if these are most of them and more than a
 * few: the art is too fine for the bit; else 0. *pinches: how many were to be. */
NW_API size_t nw_report_change_stay(const nw_change_report *change, size_t *pinches);

/* Does the result fit, but for what is left by choice, and was all of it judged? */
NW_API bool nw_report_change_fits(const nw_change_report *change);

/* Old and new on top of one another: what was added and removed, at true size, with the spots as
 * they were and what became of each. */
NW_API nw_status nw_write_widened(const nw_change_report *change, nw_text *svg, nw_error *error);

/* The account for standard output, at most 80 columns. */
NW_API nw_status nw_write_widened_table(const nw_change_report *change, bool colour, nw_text *table,
                                        nw_error *error);

/* { "narrows", "art", "size", "cut", "bit", "least_neck", "ease", "fits", "before": [ spots as in
 * spots.json with "outcome": "widened"|"left"|"gone"|"conflict"|"stuck", "swept" and
 * "size_factor" ],
 * "after": [ spots ], "area": { "before", "added", "removed" }, "dropped": outlines that are no
 * more, "largest_move": of any other, "shift": [x, y], where the new outlines' corner lies in the
 * old ones, "cut_short", "pieces": [before, after], "holes": [before, after] }; with change->held
 * also what spots.json has of it */
NW_API nw_status nw_write_widened_json(const nw_change_report *change, nw_text *json,
                                       nw_error *error);

/* ---- every bit side by side ---------------------------------------------------------------- */

typedef struct {
    const char *art;
    const nw_drawing *drawing;
    nw_cut cut;
    double neck;  /* least neck asked for, mm; 0: it follows the bit and the stock */
    double stock; /* thickness, mm; 0: not known */
    const nw_rack *rack;
    const char *rack_name; /* "built-in", or the file */
    const nw_bits *bits;
    const nw_sample *samples; /* of the outline, for the chart; may be NULL */
    size_t sample_count;
    const nw_pairs *pairs; /* may be NULL */
    nw_unread unread;      /* what the verdict is not about */
    bool inch;
    const nw_option_words *named; /* named in the tables; NULL: none are */
} nw_bits_report;

/* A row for each bit, largest first, the largest that fits marked; at most 80 columns. */
NW_API nw_status nw_write_bits_table(const nw_bits_report *report, bool colour, nw_text *table,
                                     nw_error *error);

/* The best pairs of two bits, one a row; at most 80 columns. */
NW_API nw_status nw_write_pairs_table(const nw_bits_report *report, nw_text *table,
                                      nw_error *error);

/* { "narrows", "art", "size", "cut", "least_neck": n|null, "stock": t|null, "rack", "critical": d,
 * "largest": name|null, "closest": name|null, "bits": [ { "name", "diameter", "judged", "fits",
 * "pinches", "stubs", "misses", "necks", "tightest": { "form", "at", "width" }|null, "unreached",
 * "unreached_share", "outline_share", "path", "flutes_short", "vee_depth": t|null } ... ] } in
 * millimetres; with pairs also "pairs": [ { "large", "small", "large_path", "small_path",
 * "remains", "left", "minutes": m|null, "time_share" } ... ], the best first */
NW_API nw_status nw_write_bits_json(const nw_bits_report *report, nw_text *json, nw_error *error);
NW_API nw_status nw_write_bits_csv(const nw_bits_report *report, nw_text *csv, nw_error *error);

/* A chart of what stays uncut against the diameter, and a small picture of the cut for each bit,
 * what is lost filled. The fits need their shapes. */
NW_API nw_status nw_write_bits_svg(const nw_bits_report *report, nw_text *svg, nw_error *error);

/* ---- every size side by side ----------------------------------------------------------------- */

typedef struct {
    const char *art;
    const nw_drawing *drawing; /* as it is */
    const nw_sizes *sizes;
    nw_unread unread; /* what the verdict is not about */
    bool inch;
} nw_sizes_report;

/* A row for each size, the smallest that fits marked, or the closest; at most 80 columns. */
NW_API nw_status nw_write_sizes_table(const nw_sizes_report *report, bool colour, nw_text *table,
                                      nw_error *error);

/* { "narrows", "art", "size", "cut", "bit", "least_neck", "smallest": w|null, "closest": w|null,
 * "sizes": [ { "width", "height", "fits", "doubts", "pinches", "stubs", "misses", "necks",
 * "unreached_share", "tips", "deepest" } ] }, and the rows of that as CSV. */
NW_API nw_status nw_write_sizes_json(const nw_sizes_report *report, nw_text *json, nw_error *error);
NW_API nw_status nw_write_sizes_csv(const nw_sizes_report *report, nw_text *csv, nw_error *error);

/* What stays uncut against the width, as a chart. */
NW_API nw_status nw_write_sizes_svg(const nw_sizes_report *report, nw_text *svg, nw_error *error);

/* ---- ways out -------------------------------------------------------------------------------- */

/* What the ways out are told of, and the words of the user's command that stay the same in the
 * commands that they name, ready for a shell. */
typedef struct {
    const nw_ways *ways;
    const nw_rack *rack;
    const nw_fit *fit;            /* of the bit in hand */
    const char *art;              /* "shed.png" */
    const char *drop;             /* "--drop edge"; "" where nothing was dropped by choice */
    const char *check;            /* what else check takes: "--cut inside --inch" */
    const char *widen;            /* what else widen takes */
    const char *size;             /* "--wide 120mm"; "" where the art has its own */
    const char *bit;              /* "--bit 1/16in" */
    const char *blunt;            /* "--blunt 5mm"; "" where it was not given */
    const char *sheet;            /* "--stock-size 600,300"; likewise */
    const char *margin;           /* "--margin 10mm"; likewise */
    const char *folder;           /* how the names of their folders begin; NULL: they name none */
    bool inch;                    /* lengths for readers in inches; commands stay in millimetres */
    const nw_option_words *named; /* NULL: no commands are written */
} nw_ways_report;

typedef struct {
    nw_text text; /* one sentence without a full stop; no data: there is no such way to tell of */
    nw_text command; /* that does it; no data where there is none */
    bool open;       /* it is a way out, */
    bool widens;     /* by widening */
    double cost;     /* the share by which it makes the job worse; INFINITY where it is none, less
                        than 0 where it says first that the art is too fine for the bit */
} nw_way_line;

#define NW_WAY_LINES 7

/* The ways out of a fit that fails, cheapest first: bit, size and widening have a line each, a
 * margin and leaving out a caption, dust or what touches the picture's edge where they help; else
 * these come last, without text. The cost of a way is the share by which it makes the job worse: a
 * bit of half the diameter takes twice the time (+1; depth of pass and feed follow the diameter,
 * common practice), art of twice the size four times the stock (+3), widening changes so much of
 * the cut area, and a margin on the same sheet, or such a thing less, costs nothing. Where only
 * tips stand in the way, accepting them takes widening's place. What costs more than it is worth
 * (ways_words.c has the limits) is no way; the line says so, and what it would take. A way that
 * helps only some places comes after those that help all, and what is no way comes last, with the
 * reason; but where widening would be drawing the art anew, that comes first, with the bit and the
 * size that would do or come nearest. The lines must be freed. */
NW_API nw_status nw_ways_lines(const nw_ways_report *report, nw_way_line lines[NW_WAY_LINES],
                               nw_error *error);
NW_API void nw_ways_lines_free(nw_way_line lines[NW_WAY_LINES]);

/* The same as a paragraph for standard output; when the fit does not fail, how much room there is:
 * how small the art may become, and the largest bit that does. */
NW_API nw_status nw_write_ways(const nw_ways_report *report, nw_text *text, nw_error *error);

/* ---- what is in the art ------------------------------------------------------------------- */

/* The pieces of one art, before and after --keep and --drop. */
typedef struct {
    const char *art;
    const nw_pieces *pieces;
    bool y_down;    /* the pieces' y grows downwards, as in pictures */
    double unit_mm; /* millimetres in one unit of the pieces; 0: unknown, all stays in pixels */
    const nw_drawing *kept, *dropped; /* in millimetres, or pixels; the kept art at the origin */
    bool inch;                        /* the table in inches, where the size is known */
} nw_pieces_report;

/* The table for standard output; after the first specks it only counts them. */
NW_API nw_status nw_write_pieces_table(const nw_pieces_report *report, nw_text *table,
                                       nw_error *error);

/* { "narrows", "art", "unit": "mm"|"px", "size": [w, h] of what is kept, "pieces": [ { "number",
 * "at": [x, y] middle of its box from the kept art's lower left corner, "size": [w, h], "area",
 * "holes", "guess", "kept" } ... ] } */
NW_API nw_status nw_write_pieces_json(const nw_pieces_report *report, nw_text *json,
                                      nw_error *error);

/* The pieces with their numbers on them, what is dropped in pale. */
NW_API nw_status nw_write_pieces_svg(const nw_pieces_report *report, nw_text *svg, nw_error *error);

/* ---- many arts ----------------------------------------------------------------------------- */

/* What came of one of many arts. */
typedef struct {
    const char *art;
    const char *folder;  /* with its results, as seen from the index; NULL: nothing was written */
    const char *failure; /* why it could not be checked; NULL: it was */
    bool fits;           /* what was judged; */
    size_t unread;       /* and how much was not */
    double width, height;
    size_t gaps, necks;
    double narrowest_gap, narrowest_neck; /* NW_NONE: no pinch */
    const char *way;                      /* the cheapest way out, as a sentence; "": none */
    bool page, pdf;                       /* the folder has page.html, and marked.pdf */
} nw_many_row;

typedef struct {
    const nw_many_row *rows;
    size_t count;
    nw_cut cut; /* what was asked of all of them */
    double bit;
    bool inch;
} nw_many;

/* A line for each art and one that sums up, at most 80 columns. */
NW_API nw_status nw_write_many_table(const nw_many *many, nw_text *table, nw_error *error);

/* The same as one HTML page with the art as pictures, linked, what needs work first. */
NW_API nw_status nw_write_many_index(const nw_many *many, nw_text *html, nw_error *error);

/* One line of JSON: { "narrows", "art", "failure" }. */
NW_API nw_status nw_write_failure_json(const char *art, const char *failure, nw_text *json,
                                       nw_error *error);

/* ---- the page ------------------------------------------------------------------------------- */

/* The art's own file, or the picture that lies behind the drawing in its place. */
typedef struct {
    nw_text bytes;
    const char *type; /* of media (RFC 2046), static; NULL: there is none */
    bool whole;       /* it is the file */
    bool same;        /* of which every browser reads to the last bit what narrows reads */
    double width, height;
    nw_affine place; /* from its pixels, y down, to the drawing */
} nw_page_picture;

/* bytes are the file that picture was read from. place is left to the caller. */
NW_API nw_status nw_page_picture_make(const nw_bytes *bytes, const nw_picture *picture,
                                      nw_page_picture *behind, nw_error *error);
/* The same of an SVG drawing; empty where it is large or packed. */
NW_API nw_status nw_page_picture_drawn(const uint8_t *bytes, size_t length, nw_page_picture *behind,
                                       nw_error *error);
NW_API void nw_page_picture_free(nw_page_picture *behind);

/* An option of a command and its value, or NULL. */
typedef struct {
    const char *name, *value;
} nw_page_option;

/* The art with all that was asked of it: so the page finds by itself what the report says. */
typedef struct {
    const nw_report *report; /* of what it shows first, for its title and its verdict */
    const nw_report *art;    /* the art that was handed in: its name, drawing, pieces, doubts */
    const char *widened;     /* the folder with what is shown, widened; NULL: that is the art */
    const nw_page_option *options; /* as they were given, the cut and the bit among them */
    size_t option_count;
    const char *const *notes; /* on the art alone, and what a reader gains by each */
    const nw_weight *weights;
    size_t note_count;
    const nw_rack *rack;            /* bits to mark on the slider */
    double ppi;                     /* that the picture states; 0: none */
    const nw_page_picture *picture; /* may be empty */
    /* For browsers that cannot run it: the ways out, and an SVG drawing, the first of these that is
     * not too large for a page. */
    const nw_way_line *ways;
    size_t way_count;
    const nw_text *drawings[2];
} nw_page;

/* One HTML file: the page, with the art in it. Where a browser may read the art's file otherwise,
 * or that is not in the page, its outlines are. */
NW_API nw_status nw_write_page(const nw_page *page, nw_text *html, nw_error *error);

/* Whether pages can be written, and the line that says why not. */
NW_API bool nw_page_built(void);
NW_API const char *nw_page_missing(void);
#ifdef NARROWS_INSIDE
/* ---- for the page's engine ------------------------------------------------------------------- */

/* Where a drawing's millimetres lie on paper: x to the right of left, y down from top, enlarged by
 * scale. */
typedef struct {
    double left, top, scale;
} report_frame;

/* The paths as the value of an SVG "d" attribute. */
void nw_report_path_data(nw_text *text, const nw_path *paths, size_t count, report_frame frame);

/* "Does not fit: 3 gaps are too narrow for the 1.5875 mm bit, 1 neck is thinner than 1.5875 mm" */
void nw_report_verdict(nw_text *text, const nw_report *report);
/* "shed.png, 120 x 84.31 mm, cut inside, bit 1.5875 mm, least neck 1.5875 mm (as the bit)" */
void nw_report_subject(nw_text *text, const nw_report *report);
/* A bit's diameter: "3.175 mm", or with inch "0.1250 in (1/8)". */
void nw_report_bit(nw_text *text, double mm, bool inch);

/* A part of something: "12.34 %"; where so many decimals show none of what there is, or all where
 * there is more, "under 0.01 %" and "over 99.99 %". */
void nw_report_share(nw_text *text, double share, int decimals);
/* "gap that closes to 0.42 mm; it must become 1.17 mm wider" */
void nw_report_spot(nw_text *text, const nw_spot *spot, bool inch);
/* Which pieces are lost as wholes, then what is counted but not listed: corners, lifts, area; ""
 * when there is nothing to say. */
void nw_report_counts(nw_text *text, const nw_report *report);
/* What is wrong with the result itself; "" when nothing is. */
void nw_report_doubts(nw_text *text, const nw_report *report);
/* All of it in a few sentences, as the page has it. */
void nw_report_change_words(nw_text *text, const nw_change_report *change);

/* The caution, once. */
const char *nw_report_caution(void);
#endif

#endif
