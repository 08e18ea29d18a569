/* check: of one art (check_art.c) and of many (each.c). Internal to cli. */
#ifndef NARROWS_CLI_CHECK_H
#define NARROWS_CLI_CHECK_H

#include <cli/request.h>

/* What came of one art; fixed size, for it goes from one process to another. */
typedef struct {
    bool fits; /* what was judged */
    size_t unread;
    double width, height;
    size_t gaps, necks;
    double narrowest_gap, narrowest_neck;
    char way[240]; /* the cheapest way out; "": there is none */
} check_result;

/* Checks one art and writes its files into the folder. What standard output would get goes to
 * output. */
nw_status check_one(const char *path, const char *folder, const cli_request *request,
                    cli_talk *talk, check_result *result, nw_text *output, nw_error *error);

/* Checks every art in processes of their own; what goes wrong with one stays there. */
nw_status each_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);

#endif
