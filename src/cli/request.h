/*
 * request: what the arguments say, and the table of options that reads them (options.c,
 * readers.c). Internal to cli.
 */
#ifndef NARROWS_CLI_REQUEST_H
#define NARROWS_CLI_REQUEST_H

#include <cli/cli.h>
#include <picture/picture.h>
#include <lines/lines.h>
#include <change/change.h>

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
struct cli_request {
    const cli_command *command;
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
    area_argument dirt;
    uint64_t max_pixels;
    int threads, jobs;
};

/* ---- options --------------------------------------------------------------------------------- */

typedef enum {
    GROUP_SIZE,
    GROUP_INK,
    GROUP_CUT,
    GROUP_WIDEN,
    GROUP_HOLD,
    GROUP_OUTPUT,
    GROUP_RUN, /* how the command runs and where its answer goes, not what the answer is */
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

/* The option whose name, without dashes, is the first `length` characters of name; or NULL. */
const cli_option *option_find(const char *name, size_t length);

/* The option of the command that an unknown one may mean, or NULL (suggest.c). */
const cli_option *suggest_option(const cli_command *command, const char *argument);

/* Puts the option's name before the library's message about its value, where it is one. */
nw_status option_blame(const char *name, nw_status status, nw_error *error);

/* Reads what follows the command's name. Free with request_free in any case. */
nw_status request_read(const cli_command *command, int count, char **arguments,
                       cli_request *request, nw_error *error);
void request_free(cli_request *request);

/* Has the library's loops spread over so many threads; 0: as suits the machine (threads.c). */
void threads_use(int wanted);

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

#endif
