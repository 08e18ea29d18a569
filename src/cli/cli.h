/*
 * cli: the command `narrows` itself: arguments in, exit status out. This header belongs to the
 * folder; nothing outside it includes it. A command is one file and one row of the table in
 * commands.c; an option is one row of the table in options.c.
 *
 * Results go to standard output, talk to standard error.
 */
#ifndef NARROWS_CLI_H
#define NARROWS_CLI_H

#include <base/base.h>
#include <fit/fit.h>
#include <outline/outline.h>
#include <picture/picture.h>
#include <report/report.h>

typedef enum {
    EXIT_FITS = 0,  /* everything fits, or there was nothing to judge */
    EXIT_SPOTS = 1, /* ran, and there are spots */
    EXIT_BAD = 2    /* the request or the input is bad; nothing was written */
} exit_code;

/* ---- the request: what the arguments say --------------------------------------------------- */

typedef struct {
    bool given;
    bool pixels; /* in pixels of the picture, else square millimetres */
    double value;
} area_argument;

typedef struct {
    nw_ink_kind kind;
    uint8_t colour[3];
} ink_argument;

typedef struct {
    nw_level_kind kind;
    int level;
} level_argument;

typedef struct {
    bool given;
    nw_cut cut;
} cut_argument;

typedef struct {
    bool given;
    nw_lines mode;
} lines_argument;

typedef enum { ORIGIN_LEFT_BOTTOM, ORIGIN_CENTRE, ORIGIN_PLACE } origin_kind;

typedef struct {
    origin_kind kind;
    nw_point place; /* from the art's lower left corner */
} origin_argument;

typedef struct {
    double width, height; /* 0: not given */
} sheet_argument;

#define TABS_AUTO (-1)

/* Lengths are millimetres; 0 means not given, and so does NULL. */
typedef struct {
    const char **arts;
    size_t art_count;
    const char **texts; /* for each row of cli_options its value as given, NULL: not given */
    bool help, json, csv, pair, quiet, inch, mirror, each, as_cut, bit_path;
    const char *output, *keep, *drop, *rack, *spots;
    nw_remedy stubs, misses;
    double wide, high, ppi;
    double bit, neck, stock;
    double blunt; /* negative: not given */
    double ease, bridge, tab_width, margin;
    int bridge_count;
    int tabs; /* 0: none; TABS_AUTO */
    bool break_tabs;
    origin_argument origin;
    sheet_argument sheet;
    double smooth, turn;
    cut_argument cut;
    ink_argument ink;
    level_argument level;
    lines_argument lines;
    area_argument specks;
    uint64_t max_pixels;
    int threads, jobs;
} cli_request;

/* ---- talk: messages, the progress line ------------------------------------------------------ */

typedef struct {
    char **lines;
    size_t count, capacity;
} note_list;

void notes_free(note_list *notes);

typedef struct {
    bool quiet;    /* no notes */
    bool progress; /* standard error is a terminal */
    bool colour;   /* standard output is a terminal that takes colour */
    bool shown;    /* a progress line stands there */
    double started;
    const char *about; /* the art that messages are about, where there are several; else NULL */
} cli_talk;

void talk_start(cli_talk *talk);

/* One line on standard error. */
void talk_error(cli_talk *talk, const nw_error *error);

/* Says one line on standard error, unless quiet, and keeps it in notes for the reports. Empties
 * *line. */
nw_status talk_note(cli_talk *talk, note_list *notes, nw_text *line, nw_error *error);

/* Adds words without control characters, so that a file's name cannot forge lines. */
void talk_add_line(nw_text *text, const char *words);

/* An nw_progress with the talk as its context. */
void talk_progress(void *context, const char *stage, double fraction);

/* Wipes the progress line. */
void talk_clear(cli_talk *talk);

/* Writes text to standard output, or says why that failed. Frees the text. */
nw_status talk_print(nw_text *text, nw_error *error);

/* ---- commands and options ------------------------------------------------------------------- */

enum {
    CHECK = 1u << 0,
    OUTLINE = 1u << 1,
    PIECES = 1u << 2,
    WIDEN = 1u << 3,
    BITS = 1u << 4,
    ALL_COMMANDS = ~0u
};

typedef nw_status (*command_run)(const cli_request *request, cli_talk *talk, exit_code *exit,
                                 nw_error *error);

typedef struct {
    const char *name;
    unsigned mask; /* its bit in an option's commands */
    command_run run;
    bool many;           /* takes several arts */
    const char *usage;   /* what follows the name */
    const char *summary; /* one line */
    const char *about;   /* a paragraph */
} cli_command;

extern const cli_command cli_commands[];
extern const size_t cli_command_count;
const cli_command *command_find(const char *name);

nw_status bits_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);
nw_status check_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);
nw_status outline_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);
nw_status pieces_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);
nw_status widen_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);

typedef enum {
    GROUP_SIZE,
    GROUP_INK,
    GROUP_CUT,
    GROUP_WIDEN,
    GROUP_HOLD,
    GROUP_OUTPUT,
    GROUP_COUNT
} option_group;

/* Reads an option's argument into its field of the request. */
typedef nw_status (*option_reader)(const char *text, void *field, nw_error *error);

typedef struct {
    const char *name;     /* without dashes; one letter takes one dash, a word two */
    const char *argument; /* NULL: a switch, whose field is a bool */
    const char *choices;  /* the words that it may be, or the usual ones; NULL: no list */
    unsigned commands;    /* which commands take it */
    option_group group;
    option_reader read;
    size_t field; /* its place in the request */
    const char *help;
} cli_option;

extern const cli_option cli_options[];
extern const size_t cli_option_count;
const char *option_group_name(option_group group);
const char *option_dashes(const cli_option *option);

/* Reads what follows the command's name. Free with request_free in any case. */
nw_status request_read(const cli_command *command, int count, char **arguments,
                       cli_request *request, nw_error *error);
void request_free(cli_request *request);

nw_status read_length(const char *text, void *field, nw_error *error);
nw_status read_length_or_zero(const char *text, void *field, nw_error *error);
nw_status read_positive(const char *text, void *field, nw_error *error);
nw_status read_angle(const char *text, void *field, nw_error *error);
nw_status read_threads(const char *text, void *field, nw_error *error);
nw_status read_pixels(const char *text, void *field, nw_error *error);
nw_status read_area(const char *text, void *field, nw_error *error);
nw_status read_cut(const char *text, void *field, nw_error *error);
nw_status read_ink(const char *text, void *field, nw_error *error);
nw_status read_lines(const char *text, void *field, nw_error *error);
nw_status read_level(const char *text, void *field, nw_error *error);
nw_status read_tabs(const char *text, void *field, nw_error *error);
nw_status read_origin(const char *text, void *field, nw_error *error);
nw_status read_sheet(const char *text, void *field, nw_error *error);
nw_status read_bridges(const char *text, void *field, nw_error *error);
nw_status read_stubs(const char *text, void *field, nw_error *error);
nw_status read_misses(const char *text, void *field, nw_error *error);
nw_status read_text(const char *text, void *field, nw_error *error);

/* Whether candidate is like word, and more so than *nearest (start with SIZE_MAX), which it then
 * becomes. */
bool suggest_nearer(const char *word, const char *candidate, size_t *nearest);

/* Help for the whole program, and for one command; at most 80 columns. */
void help_write(nw_text *text);
void help_write_command(nw_text *text, const cli_command *command);

/* ---- the way from ART to a drawing, shared by all commands ---------------------------------- */

typedef struct {
    bool picture;           /* the art is a picture, not an SVG drawing */
    double own_ppi;         /* what the picture states, or 0 */
    bool own_size;          /* the SVG drawing states its size */
    bool sized;             /* unit_mm is a real size, not 1 for want of one */
    double unit_mm;         /* millimetres per pixel; for SVG per millimetre as read */
    nw_box page;            /* the picture in pixels */
    nw_pieces pieces;       /* all that were found, in pixels; for SVG in millimetres as read */
    nw_drawing drawing;     /* the kept art at its real size */
    nw_drawing rest;        /* a picture's dropped pieces beside it, when asked for */
    nw_region region;       /* the drawing as polygons, when asked for */
    nw_point origin;        /* of the traced places in the picture: pixels, y up, from lower left */
    nw_page_picture behind; /* a picture itself, when a page is wanted */
    size_t *numbers;        /* the number of each piece of the drawing, when a page is wanted */
    size_t number_count;
    nw_line_notes lines; /* pieces drawn as lines, their width as that of the pieces */
    note_list notes;
} cli_art;

typedef struct {
    bool size;   /* refuse art without a size; else it stays in pixels */
    bool rest;   /* also give what was dropped */
    bool region; /* also flatten */
    bool page;   /* also what page.html needs besides */
} art_wants;

nw_status art_load(const char *path, const cli_request *request, art_wants wants, cli_talk *talk,
                   cli_art *art, nw_error *error);
void art_free(cli_art *art);

/* The picture's and the drawing's part of art_load. A picture's bytes are freed on the way. */
nw_status art_from_picture(nw_bytes *bytes, const cli_request *request, art_wants wants,
                           cli_talk *talk, cli_art *art, nw_error *error);
nw_status art_from_svg(const nw_bytes *bytes, const cli_request *request, art_wants wants,
                       cli_talk *talk, cli_art *art, nw_error *error);

/* The factor that gives a drawing its real size; 0 when nothing says it and none is wanted. */
nw_status size_factor(const cli_art *art, const nw_drawing *drawing, const cli_request *request,
                      bool wanted, double *factor, nw_error *error);

/* Says how large the art is when the user did not. */
nw_status size_note(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error);

/* Turns, mirrors and scales the drawing; sets sized and unit_mm. */
nw_status art_place(const cli_request *request, bool wanted, cli_art *art, nw_error *error);

/* Replaces art that is drawn as lines as --lines says; before its pieces get their numbers. */
nw_status lines_replace(const cli_request *request, cli_art *art, nw_error *error);

/* Says how much of the art is drawn as lines, and what was or can be done about it. */
nw_status lines_note(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error);

/* Applies --keep and --drop and says what was left out. */
nw_status pieces_select(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error);

/* The box of all pieces that are kept, or of all that are not; inside out when there is none. */
nw_box pieces_box(const nw_pieces *pieces, bool kept);

size_t pieces_kept(const nw_pieces *pieces);

/* Keeps what was dropped, and drops what was kept. */
void pieces_swap(nw_pieces *pieces);

/* Brings art->rest to the size and place of the drawing. */
nw_status rest_place(cli_art *art, nw_error *error);

/* Refuses a request that does not say how the art is cut and with what. */
nw_status cut_check(const cli_request *request, nw_error *error);
nw_fit_options cut_options(const cli_request *request, bool *from_stock);

/* ---- what comes loose, and what holds it (hold.c) -------------------------------------------- */

/* Refuses options that make no sense together. */
nw_status hold_check(const cli_request *request, nw_error *error);

/* Says what comes loose when the art is cut. */
nw_status hold_note(const cli_request *request, const nw_region *region, cli_talk *talk,
                    note_list *notes, nw_error *error);

/* Adds the bridges that were asked for to the drawing, and says so. */
nw_status hold_bridge(const cli_request *request, cli_talk *talk, note_list *notes,
                      nw_drawing *drawing, nw_error *error);

/* Tabs, as lines to be written and as breaks of the outlines. */
typedef struct {
    nw_tabs tabs;
    nw_drawing lines;
} cli_tabs;

/* The tabs that were asked for, and a line about them. */
nw_status hold_tabs(const cli_request *request, const nw_region *region, const nw_fit *fit,
                    cli_talk *talk, note_list *notes, cli_tabs *tabs, nw_error *error);
void tabs_free(cli_tabs *tabs);

/* Says how much stock the art needs; refuses a sheet that is smaller (sheet.c). */
nw_status sheet_note(const cli_request *request, const nw_drawing *drawing, cli_talk *talk,
                     note_list *notes, nw_error *error);

/* Where the sheet lies, with the art in its lower left corner as near as margin and bit allow. */
nw_box sheet_box(const cli_request *request);

/* ---- check, of one art and of many ----------------------------------------------------------- */

/* What came of one art; fixed size, for it goes from one process to another. */
typedef struct {
    bool fits;
    double width, height;
    size_t gaps, necks;
    double narrowest_gap, narrowest_neck;
} check_result;

/* Checks one art and writes its files into the folder. What standard output would get goes to
 * output. */
nw_status check_one(const char *path, const char *folder, const cli_request *request,
                    cli_talk *talk, check_result *result, nw_text *output, nw_error *error);

/* Checks every art in processes of their own; what goes wrong with one stays there. */
nw_status each_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);

/* ---- files ---------------------------------------------------------------------------------- */

/* A file under construction. */
typedef struct {
    const char *name; /* within the folder */
    nw_text text;
} cli_file;

/* Writes all files that have a text into the folder, or none; never over ART itself. */
nw_status files_save(const char *art, const char *folder, const cli_file *files, size_t count,
                     nw_error *error);
void files_free(cli_file *files, size_t count);

/* The folder that -o names, or the one beside the art. */
nw_status folder_choose(const cli_request *request, nw_text *folder, nw_error *error);

/* A file's format, told by its ending; - is SVG. */
typedef enum { FORMAT_NONE, FORMAT_SVG, FORMAT_DXF } cli_format;

cli_format format_of(const char *path);

/* What goes into one written drawing. */
typedef struct {
    nw_layer items[8];
    size_t count;
    nw_drawing broken; /* the outlines with gaps for tabs, where those were asked for */
    nw_point place;    /* of the origin, unless that is the art's lower left corner */
} cli_layers;

/* Whether something is asked for that only the fit knows. */
bool layers_need_fit(const cli_request *request);

/* The outlines, filled when they stand alone, and what else was asked for. tabs may be NULL. Free
 * with layers_free. */
nw_status layers_make(const cli_request *request, const nw_drawing *outline, const nw_fit *fit,
                      const cli_tabs *tabs, cli_layers *layers, nw_error *error);
void layers_free(cli_layers *layers);
nw_status layers_write(const cli_layers *layers, const cli_request *request, cli_format format,
                       const char *title, nw_text *text, nw_error *error);

/* ---- the rack and the ways out -------------------------------------------------------------- */

/* The rack at --rack, else the user's own, else the built-in one; name (may be NULL) says which. */
nw_status rack_load(const cli_request *request, nw_rack *rack, nw_text *name, nw_error *error);

/* The rack, and the ways out of a fit that fails or the room that there is; free the rack. */
typedef struct {
    nw_rack rack;
    nw_ways ways;
} cli_ways;

nw_status ways_find(const cli_request *request, const nw_drawing *drawing, const nw_region *region,
                    const nw_fit *fit, cli_ways *found, nw_error *error);

/* As a paragraph, and one by one, with the user's words in the commands that they name. */
nw_status ways_write(const cli_request *request, const char *path, const cli_ways *found,
                     const nw_fit *fit, nw_text *text, nw_error *error);
nw_status ways_lines(const cli_request *request, const char *path, const cli_ways *found,
                     const nw_fit *fit, nw_way_line lines[NW_WAY_LINES], nw_error *error);

/* ---- print ---------------------------------------------------------------------------------- */

/* The drawing as PDF; where that cannot be, pdf stays empty and a line says so. */
nw_status print_make(const nw_text *svg, const char *name, cli_talk *talk, nw_text *pdf,
                     nw_error *error);

/* ---- names ---------------------------------------------------------------------------------- */

/* True when path is the very file that ART is. */
bool art_is_file(const char *art, const char *path);

/* The folder to write into when the user names none: named after ART, beside it. */
void folder_beside(const char *art, nw_text *folder);

/* The last part of that name: for a folder within another. */
void folder_within(const char *art, nw_text *folder);

/* Refuses to write files into the folder where one of them is ART itself. */
nw_status folder_guard(const char *art, const char *folder, const nw_file *files, size_t count,
                       nw_error *error);

#endif
