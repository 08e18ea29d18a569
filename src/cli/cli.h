/*
 * cli: the command `narrows` itself: arguments in, exit status out. This header belongs to the
 * folder; nothing outside it includes it. A command is one file and one row of the table in
 * commands.c; an option is one row of the table in options.c.
 *
 * Results go to standard output, talk to standard error.
 */
#ifndef NARROWS_CLI_H
#define NARROWS_CLI_H

#include <cli/talk.h>

typedef enum {
    EXIT_FITS = 0,  /* everything fits, or there was nothing to judge */
    EXIT_SPOTS = 1, /* ran, and there are spots */
    EXIT_BAD = 2    /* the request or the input is bad; nothing was written */
} exit_code;

/* The request: request.h. */
typedef struct cli_request cli_request;

enum {
    CHECK = 1u << 0,
    OUTLINE = 1u << 1,
    PIECES = 1u << 2,
    WIDEN = 1u << 3,
    BITS = 1u << 4,
    SIZES = 1u << 5,
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
nw_status sizes_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);
nw_status widen_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);

/* Whether candidate is like word, and more so than *nearest (start with SIZE_MAX), which it then
 * becomes. */
bool suggest_nearer(const char *word, const char *candidate, size_t *nearest);

/* Help for the whole program, and for one command; at most 80 columns. */
void help_write(nw_text *text);
void help_write_command(nw_text *text, const cli_command *command);

#endif
