/*
 * parts: what the writers share. Internal to report; nothing outside the folder includes it.
 */
#ifndef NARROWS_REPORT_PARTS_H
#define NARROWS_REPORT_PARTS_H

#include <report/report.h>

/* ---- paths (path.c) ---------------------------------------------------------------------- */

/* The number of paths from first on that bound one piece; open paths and the middles of lines stand
 * alone. */
size_t nw_report_piece_length(const nw_drawing *drawing, size_t first);

/* False when a coordinate is not finite or beyond ±1e6 mm. */
bool nw_report_drawing_sound(const nw_drawing *drawing);

/* The box of all layers that have paths; false when there is none. */
bool nw_report_layers_box(const nw_layer *layers, size_t count, nw_box *box);

#define REPORT_LAYERS_MOST 128

/* Checks names and numbers of the layers before anything is written. */
nw_status nw_report_layers_check(const nw_layer *layers, size_t count, nw_error *error);

/* The head of an SVG 1.1 document to look at, whose user unit is a millimetre, with the page's
 * upper left corner at this place of user space (svg_file.c). */
void nw_report_sheet_open(nw_text *svg, nw_point corner, double width, double height);

/* ---- DXF frame (dxf_tables.c) ------------------------------------------------------------ */

/* Everything of the file before the entities, for these layers and this box. */
void nw_report_dxf_head(nw_text *dxf, const nw_layer *layers, size_t count, nw_box box);
/* Everything after them. */
void nw_report_dxf_tail(nw_text *dxf);

/* The first handle that entities may use, and the block record that owns them. */
#define REPORT_DXF_FIRST_HANDLE 0x100
#define REPORT_DXF_MODEL "1F"

/* ---- lengths (lengths.c): every length that a reader sees comes through here --------------- */

/* In a sentence, with its unit: 2 decimals, rounded to nearest; a bit's: up to 4 decimals, and how
 * far off the fraction is only where that is asked for. */
void nw_report_length(nw_text *text, double mm, bool inch);
void nw_report_bit_exactly(nw_text *text, double mm, bool inch);
/* How much to widen: rounded up, so that it is never too little. */
void nw_report_widen(nw_text *text, double mm, bool inch);

/* The same in a column whose head names the unit; an inch still has its fraction. */
void nw_report_length_cell(nw_text *text, double mm, bool inch);
void nw_report_widen_cell(nw_text *text, double mm, bool inch);

/* The same where there is room for decimals only. */
void nw_report_length_short(nw_text *text, double mm, bool inch);
void nw_report_widen_short(nw_text *text, double mm, bool inch);

/* x or y of a place, without unit; in inches one decimal more. */
void nw_report_place(nw_text *text, double mm, int decimals, bool inch);
/* A round length that was chosen, not measured: "50 mm", "2 in". */
void nw_report_round(nw_text *text, double mm, bool inch);
/* "120.00 x 84.31 mm" */
void nw_report_size(nw_text *text, double width, double height, bool inch);
void nw_report_area_cell(nw_text *text, double square_mm, bool inch);
/* An area with its unit. */
void nw_report_area(nw_text *text, double square_mm, int decimals, bool inch);

/* "yes", "no", or "?" where there is no spot, but the result may be incomplete, which the table's
 * last words explain. */
const char *nw_report_fits_word(const nw_fit *fit);
#define REPORT_FITS_UNSURE "?: no spot was found, but the result may be incomplete\n"

/* nw_report_share in a cell: "12.34", "<0.01", ">99.99". */
void nw_report_share_cell(nw_text *text, double share, int decimals, int width);

/* "mm"; and what all figures of a table are, as the beginning of a sentence. */
const char *nw_report_unit(bool inch);
const char *nw_report_units(bool inch);

/* ---- bytes as text (base64.c) -------------------------------------------------------------- */

/* The doubles' bytes, lowest first, whatever the machine's order. */
void nw_report_base64_doubles(nw_text *text, const double *numbers, size_t count);

/* Bytes as they travel in a page (page/page_packed.c): deflated, but for those from `from` until
 * `to`, which are packed already; in letters that stand in a script element as they are. */
void nw_report_packed(nw_text *text, const void *bytes, size_t length, size_t from, size_t to);

/* ---- words (words.c) --------------------------------------------------------------------- */

/* One line of text, well-formed and without control characters, for a terminal or a drawing. */
void nw_report_line(nw_text *text, const char *string);

/* The art's file without its folder, or "standard input" for -. */
void nw_report_art_name(nw_text *text, const char *art);

/* "3 letterings and 1 picture were not judged", with words before it; nothing where all was. */
void nw_report_unread(nw_text *text, const nw_unread *unread, const char *before);
/* Is the spot left as it is by choice? */
bool nw_report_left(const nw_report *report, size_t spot);
size_t nw_report_left_count(const nw_report *report);
/* "2 spots are left as they are by choice" behind `before`; nothing where none is. */
void nw_report_left_write(nw_text *text, const nw_report *report, const char *before);
/* Whether a spot falls short by less than the picture can tell, and how many do. */
bool nw_report_too_close(const nw_report *report, const nw_spot *spot);
size_t nw_report_close_count(const nw_report *report);

/* "The lettering (10 pieces) is not cut at all. " (lost_words.c) */
void nw_report_lost(nw_text *text, const nw_report *report);

/* What became of spot i, in a few words; the sentences of the account (change_words.c). */
void nw_report_outcome(nw_text *text, const nw_change_report *change, size_t i);
void nw_report_change_verdict(nw_text *text, const nw_change_report *change);
/* Whether bridges were put in. */
bool nw_report_change_bridged(const nw_change_report *change);
void nw_report_change_areas(nw_text *text, const nw_change_report *change);
void nw_report_change_counts(nw_text *text, const nw_change_report *change);

/* The report of the fit before, or after. */
nw_report nw_report_of_change(const nw_change_report *change, bool after);

nw_status nw_report_change_check(const nw_change_report *change, nw_error *error);

/* The rows of spots; more says where those are that have no room (spots_table.c). */
void nw_report_spot_rows(nw_text *text, const nw_report *report, bool colour, const char *more);

/* How many columns of a terminal the text takes; how many bytes of its head fit into so many
 * columns; where the tail that fits begins. None of them parts a character (columns.c). */
size_t nw_report_columns(const char *text, size_t length);
size_t nw_report_head(const char *text, size_t columns);
size_t nw_report_tail(const char *text, size_t columns);

/* A number right-aligned in so many columns, "-" for a negative one; and words cut to so many
 * columns, or filled up to them (bits_table.c). */
void nw_report_number_cell(nw_text *text, double value, int decimals, int width);
void nw_report_name_cell(nw_text *text, const char *name, size_t columns);

/* verb, and "0.8 % of the cut area uncut, at 10 spots" (ways_words.c). */
void nw_report_left_uncut(nw_text *text, const char *verb, size_t spots, double share);

/* A bit of a rack: its name in quotes, and its diameter where that says something else. */
void nw_report_bit_named(nw_text *text, const char *name, double mm, bool inch);
/* The same for every bit side by side (bits_table.c). */
void nw_report_bits_verdict(nw_text *text, const nw_bits_report *report);
void nw_report_bits_subject(nw_text *text, const nw_bits_report *report);

/* The places in the text where lines no wider than `width` end; measure gives the width of bytes.
 * Calls line for each. */
typedef double (*report_measure)(const char *text, size_t length, void *context);
typedef void (*report_take_line)(const char *text, size_t length, void *context);
void nw_report_wrap(const char *text, double width, report_measure measure, report_take_line line,
                    void *context);

/* A paragraph for a terminal of 80 columns, every line in a style: an escape, or ""
 * (spots_table.c). */
void nw_report_paragraph(nw_text *text, const char *paragraph, const char *style);
/* The same of words that were composed, if there are any; frees them. */
void nw_report_composed(nw_text *text, nw_text *words, const char *style);

/* Refuses a report that lacks a part or holds numbers that are not finite. */
nw_status nw_report_check(const nw_report *report, nw_error *error);

/* NW_OK, or NW_NO_MEMORY with the text freed when building it failed. */
nw_status nw_report_finish(nw_text *text, const char *what, nw_error *error);

/* ---- many arts (many_table.c) ------------------------------------------------------------------
 */

/* "3 of 5 fit, 1 could not be checked", and "cut inside, bit 3.175 mm". */
void nw_report_many_sum(nw_text *text, const nw_many *many);
void nw_report_many_question(nw_text *text, const nw_many *many);

/* What a comparison of sizes comes to, what it is about, and which row is marked. */
void nw_report_sizes_verdict(nw_text *words, const nw_sizes_report *report);
void nw_report_sizes_subject(nw_text *words, const nw_sizes_report *report);
size_t nw_report_size_marked(const nw_sizes *sizes);

#endif
