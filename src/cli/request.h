/*
 * request: what the arguments say, and the table of options that reads them (options.c,
 * readers.c, request_read.c). Internal to cli.
 */
#ifndef NARROWS_CLI_REQUEST_H
#define NARROWS_CLI_REQUEST_H

#include <cli/cli.h>
#include <report/report.h>

typedef enum { ORIGIN_LEFT_BOTTOM, ORIGIN_CENTRE, ORIGIN_PLACE } origin_kind;

typedef struct {
    origin_kind kind;
    nw_point place; /* from the art's lower left corner */
} origin_argument;

/* Lengths are millimetres; 0 means not given, and so does NULL. */
struct cli_request {
    const cli_command *command;
    const char **arts;
    size_t art_count;
    const char **texts; /* for each row of cli_options its value as given, NULL: not given */
    nw_art_options art;
    nw_job job;
    bool help, json, csv, pair, quiet, verbose, inch, each, as_cut, bit_path, break_tabs;
    const char *output, *rack, *spots;
    nw_remedy stubs, misses;
    double ease;
    origin_argument origin;
    int jobs, file_seconds, longer; /* 0: not given */
    double file_memory;             /* bytes */
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
    option_reader read; /* NULL: one of the choices, whose places are an enumeration's values */
    size_t field;       /* its place in the request */
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

/* Whether a check of the widened outlines takes it over: what changes what that finds, where the
 * size is known. */
bool option_outlasts_widening(const cli_option *option);

/* What the reports call them. */
extern const nw_option_words option_words;

/* Whether the option was. */
bool option_given(const cli_request *request, const char *name);

/* Takes an option with its value, "" for a switch, which must last as long as the request; a
 * message about the value names the option. */
nw_status option_take(const cli_option *option, const char *value, cli_request *request,
                      nw_error *error);

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
nw_status read_memory(const char *text, void *field, nw_error *error);
nw_status read_pixels(const char *text, void *field, nw_error *error);
nw_status read_dirt(const char *text, void *field, nw_error *error);
nw_status read_fill(const char *text, void *field, nw_error *error);
nw_status read_ink(const char *text, void *field, nw_error *error);
nw_status read_level(const char *text, void *field, nw_error *error);
nw_status read_tabs(const char *text, void *field, nw_error *error);
nw_status read_places(const char *text, void *field, nw_error *error);
nw_status read_tab_places(const char *text, void *field, nw_error *error);
nw_status read_origin(const char *text, void *field, nw_error *error);
nw_status read_sheet(const char *text, void *field, nw_error *error);
nw_status read_bridges(const char *text, void *field, nw_error *error);
nw_status read_text(const char *text, void *field, nw_error *error);

/* Words that stand for values in the order of their enumerations: nw_ink_kind, nw_level_kind,
 * origin_kind. */
#define INK_WORDS "auto dark light alpha"
#define LEVEL_WORDS "auto local"
#define ORIGIN_WORDS "left-bottom centre"

/* One of the words, which spaces part: its place among them becomes the field's value. */
nw_status read_word(const char *text, const char *words, void *field, nw_error *error);

#endif
